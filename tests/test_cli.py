"""The command as a user meets it: exit codes, standard output and error, files written."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest

import casingloads as cl
from casingloads.cli import main
from casingloads.commands import check as check_command

ROOT = Path(__file__).parent.parent
EXAMPLES = ROOT / "examples"
WELL_1 = ROOT / "tests" / "wells" / "check-well-1.toml"
WELL_2 = ROOT / "tests" / "wells" / "check-well-2.toml"


def test_all_meets_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(WELL_2)]) == 0
    out = capsys.readouterr().out
    assert "All that was asked for was evaluated and meets" in out
    assert "review by a licensed engineer" in out
    assert "Local regulation" in out
    assert "Not modelled: connections" in out


def test_below_exits_1_and_says_where(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(WELL_1)]) == 1
    out = capsys.readouterr().out
    assert "intermediate, section 1, collapse: 0.915 against 1.00, evacuation, empty, at 10000 ft md" in out
    assert "\x1b[" not in out  # plain when piped


def flowing(capsys: pytest.CaptureFixture[str]) -> str:
    """Return what was printed, its lines joined."""
    return " ".join(capsys.readouterr().out.split())


def test_a_named_connection_is_not_evaluated_unless_accepted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = WELL_2.read_text(encoding="utf-8")
    named = text.replace('to = "2250 m" }]', 'to = "2250 m", connection = "BTC" }]')
    file = tmp_path / "well.toml"
    file.write_text(named, encoding="utf-8")
    assert main(["check", str(file)]) == 1
    assert "connection 'BTC' has no burst rating (the tensile strength of the pipe is not given" in flowing(capsys)
    accepted = named.replace('"BTC"', '"BTC", connection_as_body = "tested by the maker, report 12"')
    file.write_text(accepted, encoding="utf-8")
    assert main(["check", str(file), "--assumptions"]) == 0
    assert "tested by the maker, report 12" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('pull = "100000 lbf"', ""), "strings.intermediate.cases.overpull.pull: missing"),
        (('pull = "100000 lbf"', 'pull = "100000"'), "'100000' has no unit"),
        (("[strings.cases.evacuation]", "[strings.cases.evacuatoin]"), "did you mean 'evacuation'?"),
        (('name = "Check well 1"', "name ="), "is not valid TOML"),
    ],
)
def test_wrong_input_exits_2(
    change: tuple[str, str], message: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "well.toml"
    file.write_text(WELL_1.read_text(encoding="utf-8").replace(*change), encoding="utf-8")
    assert main(["check", str(file)]) == 2
    captured = capsys.readouterr()
    assert message in captured.err
    assert str(file) in captured.err
    assert "Traceback" not in captured.err
    assert captured.out == ""


def test_missing_file_and_unknown_plugin_exit_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "nowhere.toml"]) == 2
    assert "nowhere.toml" in capsys.readouterr().err
    assert main(["check", str(WELL_1), "--plugin", "nowhere.py"]) == 2
    assert "no such file" in capsys.readouterr().err
    assert main(["check", str(WELL_1), "--plugin", "no_such_module_here"]) == 2
    assert "cannot be imported" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [[], ["check"], ["chekc", "x"], ["check", str(WELL_1), "--units", "imperial"]])
def test_wrong_arguments_exit_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    assert stop.value.code == 2
    assert "usage:" in capsys.readouterr().err


def test_our_error_exits_3_and_says_what_to_send(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(arguments: object) -> int:
        raise RuntimeError("inner fault")

    monkeypatch.setattr(check_command, "run", broken)
    assert main(["check", str(WELL_1)]) == 3
    err = capsys.readouterr().err
    assert "inner fault" in err
    assert "send us" in err


def test_json_follows_the_contract(tmp_path: Path) -> None:
    file = tmp_path / "out.json"
    assert main(["check", str(EXAMPLES / "skerrow-3-first-design.toml"), "--json", str(file)]) == 1
    found = json.loads(file.read_text(encoding="utf-8"), parse_constant=lambda name: pytest.fail(f"{name} in JSON"))
    promised = {"schema", "well", "provenance", "assumptions", "factors", "verdict", "cautions", "not_modelled"}
    assert promised <= set(found)
    assert found["verdict"] == "below"
    assert len(found["provenance"]["well_file"]["sha256"]) == 64
    assert {"casing_sizes.csv", "grades.csv"} <= {item["name"] for item in found["provenance"]["catalogs"]}
    assert {"running", "drilling"} <= {item["name"] for item in found["provenance"]["plugins"]}
    assert found["provenance"]["versions"]["casingloads"]
    keys = {"string", "section", "case", "step", "mode", "factor", "required", "load", "rating", "governs", "md_m"}
    keys |= {"side", "status", "reason"}
    for row in found["factors"]:
        assert keys <= set(row)
        assert row["status"] in ("meets", "below", "no-load", "not-evaluated")
        assert (row["factor"] is None) == (row["status"] in ("no-load", "not-evaluated"))
        if row["factor"] is not None:
            assert row["factor"] == pytest.approx(row["rating"] / row["load"])
            assert row["governs"] == "body"
            assert (row["status"] == "meets") == (row["factor"] >= row["required"])
    assert str(tmp_path) not in file.read_text(encoding="utf-8")
    assert str(ROOT) not in file.read_text(encoding="utf-8")


def test_json_and_csv_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(WELL_2), "--json", "-"]) == 0
    rows = json.loads(capsys.readouterr().out)["factors"]
    assert main(["check", str(WELL_2), "--csv", "-"]) == 0
    table = list(csv.DictReader(capsys.readouterr().out.splitlines()))
    assert len(table) == len(rows)
    for line, row in zip(table, rows, strict=True):
        assert line["status"] == row["status"]
        assert (line["factor"] == "") == (row["factor"] is None)
        if row["factor"] is not None:
            assert float(line["factor"]) == pytest.approx(row["factor"])


def test_a_file_that_cannot_be_written_exits_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(WELL_2), "--json", str(tmp_path / "no" / "such" / "folder.json")]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_field_units_in_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(WELL_2), "--units", "field"]) == 0
    out = capsys.readouterr().out
    assert "at md ft" in out
    assert "klbf" in out
    assert " MPa" not in out


def test_cases_lists_parameters_and_sources(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cases"]) == 0
    out = capsys.readouterr().out
    for name in ("running", "overpull", "cementing", "pressure-test", "gas-to-surface", "lost-returns", "riser-loss"):
        assert f"\n{name}  (" in "\n" + out
    assert "pull: force, for example '500 kN'; required." in out
    assert out.count("\n  source: ") == len(cl.load_plugins().cases)
    assert main(["cases", "lost-return"]) == 2
    assert "did you mean 'lost-returns'?" in capsys.readouterr().err


def test_explain_from_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    base = ["explain", str(WELL_1), "--string", "intermediate", "--case", "evacuation", "--mode", "collapse"]
    assert main(base) == 0
    assert "factor = rating / load = 0.9152, required 1" in capsys.readouterr().out
    assert main([*base, "--md", "6000 ft"]) == 0
    assert "1.5253" in capsys.readouterr().out
    assert main([*base, "--md", "6000"]) == 2
    assert "has no unit" in capsys.readouterr().err
    assert main([*base[:4], "--case", "evacuation", "--mode", "clapse"]) == 2
    capsys.readouterr()
    base[5] = "no-such-case"
    assert main(base) == 2
    assert "no-such-case" in capsys.readouterr().err


def test_run_as_a_module_and_into_a_closed_pipe() -> None:
    command = [sys.executable, "-m", "casingloads", "check", str(WELL_1)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "design factors" in done.stdout
    closed = subprocess.run(
        f'"{sys.executable}" -m casingloads cases | head -n 1', shell=True, capture_output=True, text=True, check=False
    )
    assert closed.stderr == ""


def test_plugins_are_listed_with_what_they_add(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plugins", "--plugin", str(EXAMPLES / "swabbed_gas.py")]) == 0
    out = capsys.readouterr().out
    assert "drilling 0.1.0  (module casingloads.plugins.drilling, sha256 " in out
    assert "swabbed_gas  (module casingloads_plugin_swabbed_gas, sha256 " in out
    assert "  load cases: swabbed-gas\n" in out
    assert "strength models: burst: internal-yield" in out
    assert max(map(len, out.splitlines())) <= 120


# --- limits -----------------------------------------------------------------------------------------------------------

DRILLED = ["--kick-intensity", "0.05 sg", "--influx-gradient", "2.3 kPa/m", "--drill-pipe", "5 in"]


def test_limits_of_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["limits", str(EXAMPLES / "skerrow-3.toml"), *DRILLED, "--friction", "0.3"]) == 0
    out = capsys.readouterr().out
    for word in ("below surface", "kick tolerance", "riser margin", "least overbalance", "Greatest setting depth"):
        assert word in out
    assert "NOT EVALUATED" not in out
    assert max(map(len, out.splitlines())) <= 120


def test_limits_say_what_they_need(capsys: pytest.CaptureFixture[str]) -> None:
    main(["limits", str(EXAMPLES / "corvane-4.toml")])
    out = capsys.readouterr().out
    assert "needs kick_intensity, influx_gradient, drill_string" in out
    assert "klbf" not in out


def test_limits_as_json(tmp_path: Path) -> None:
    file = tmp_path / "limits.json"
    main(["limits", str(EXAMPLES / "skerrow-3.toml"), *DRILLED, "--json", str(file)])
    found = json.loads(file.read_text(encoding="utf-8"), parse_constant=lambda name: pytest.fail(f"{name} in JSON"))
    assert {row["limit"] for row in found["limits"]} >= {"kick tolerance", "riser margin"}
    assert next(iter(found["setting_depths"]))["string"] == "conductor"
    assert all(item["greatest"] >= item["planned"] for item in found["setting_depths"])


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--drill-pipe", "5"], "--drill-pipe"),
        (["--collars", "8 in"], "--collars: needs --collar-length and --drill-pipe"),
        (["--friction", "7"], "--friction: 7 is not accepted"),
        (["--kick-intensity", "-1 sg"], "kick_intensity"),
    ],
)
def test_limits_refuse_what_makes_no_sense(more: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["limits", str(EXAMPLES / "skerrow-3.toml"), *more]) == 2
    assert said in capsys.readouterr().err
