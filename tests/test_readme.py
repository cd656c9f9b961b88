"""What the README shows is run, so that it cannot rot."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

import casingloads as cl
from casingloads.cli import main

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)


def test_first_two_shell_blocks_are_the_two_commands() -> None:
    first, second = blocks("sh")[:2]
    assert first.count("\n") == second.count("\n") == 1
    assert "casingloads check examples/skerrow-3.toml" in first
    assert "pytest" in second


def test_the_well_file_is_read_and_checked(tmp_path: Path) -> None:
    file = tmp_path / "well.toml"
    file.write_text(blocks("toml")[0], encoding="utf-8")
    result = cl.check(cl.read_well(file))
    assert {row.case for row in result.rows} == {"running", "cementing", "pressure-test", "half-empty"}
    assert result.verdict == "meets"


def test_the_table_shown_is_the_table_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(ROOT / "examples" / "skerrow-3-first-design.toml")]) == 1
    assert blocks("text")[0] in capsys.readouterr().out


def test_the_notebook_lines_run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    exec(compile(blocks("python")[0], "README", "exec"), {})
    assert "lost-returns" in blocks("python")[0]
    assert "collapse" in capsys.readouterr().out


def test_the_plugin_is_the_example() -> None:
    code = (ROOT / "examples" / "swabbed_gas.py").read_text(encoding="utf-8")
    assert blocks("python")[1] == code.split('"""\n\n', 1)[1]


def test_the_plugin_runs_on_an_example(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (ROOT / "examples" / "skerrow-3.toml").read_text(encoding="utf-8")
    asked = text.replace("riser-loss = {}\n", 'swabbed-gas = { influx_height = "150 m" }\n', 1)
    file = tmp_path / "well.toml"
    file.write_text(asked, encoding="utf-8")
    assert main(["check", str(file), "--plugin", str(ROOT / "examples" / "swabbed_gas.py")]) == 0
    assert main(["check", str(file)]) == 2
    assert "'swabbed-gas' is not a load case" in capsys.readouterr().err


def test_the_plugin_by_hand() -> None:
    """150 m of gas at 2.3 kPa/m under mud of 1100 kg/m3, from pore pressure at 2900 m (1.035 sg), seen at 1208 m."""
    plugins = cl.load_plugins(ROOT / "examples" / "swabbed_gas.py")
    scene = cl.Scene(cl.read_well(ROOT / "examples" / "skerrow-3.toml", plugins=plugins), "surface")
    load = plugins.cases["swabbed-gas"](scene, influx_height=150.0, gas_gradient=2300.0)
    inside = load.steps[0].states["surface"].inside
    assert isinstance(inside, cl.Column)
    pore = 1035 * 9.80665 * 2900
    at_wellhead = pore - 2300 * 150 - 1100 * 9.80665 * (2750 - 1208)
    assert float(inside.pressure(1208.0)) == pytest.approx(at_wellhead, rel=1e-12)
    assert float(inside.pressure(2900.0)) == pytest.approx(pore, rel=1e-12)


def test_explain_command(capsys: pytest.CaptureFixture[str]) -> None:
    well = str(ROOT / "examples" / "skerrow-3.toml")
    command = ["explain", well, "--string", "intermediate 1", "--case", "half-empty", "--mode", "collapse"]
    assert 'explain examples/skerrow-3.toml --string "intermediate 1" --case half-empty --mode collapse' in README
    assert main(command) == 0
    assert "Y_pa" in capsys.readouterr().out


def test_temperatures_and_what_stands_behind_the_pipe(tmp_path: Path) -> None:
    """Named by cases of the README's own well: production heats it, injection cools it."""
    behind = re.search(r"`(\{ above_cement = .*? \})`", README)
    assert behind is not None
    well = blocks("toml")[0] + blocks("toml")[1]
    well = well.replace('depth = "3700 m"', 'depth = "2900 m"')
    well += f"""
[strings.cases.circulation]
temperature = "producing"
outside = {behind[1]}
"""
    first = well.index("[temperatures.producing]")
    last = well.index("[strings.cases.circulation]")
    start = well.index("[[strings]]")
    text = well[:start] + well[first:last] + well[start:first] + well[last:]
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    read = cl.read_well(file)
    assert {row.status for row in cl.check(read).rows} <= {"meets", "no-load"}
    calm = float(read.temperatures["producing"](2000.0)) - 273.15
    assert 62.0 < calm < 84.0
    assert float(read.temperatures["injecting"](2900.0)) < 55.0 + 273.15


def test_all_cases_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    """The table of load cases names what there is, each under its phase."""
    there = {(case.phase, name) for name, case in cl.load_plugins().cases.items()}
    rows = re.findall(r"^\| (installation|drilling|production|other) \| (.*) \|$", README, re.MULTILINE)
    told = {(phase, name) for phase, names in rows for name in re.findall(r"`([a-z-]+)`", names)}
    assert there == told


def test_what_a_section_may_say_more(tmp_path: Path) -> None:
    more = blocks("toml")[2]
    text = (ROOT / "examples" / "skerrow-3.toml").read_text(encoding="utf-8")
    start = text.index('sections = [\n  { pipe = "9-5/8 in 53.5')
    end = text.index("]\n", start) + 2
    hot = """
[derating."maker's table"]
source = "data sheet"
temperature = ["20 degC", "100 degC"]
yield_factor = [1.0, 0.95]
"""
    file = tmp_path / "well.toml"
    file.write_text(text[:start] + more + text[end:] + hot, encoding="utf-8")
    result = cl.check(cl.read_well(file))
    ours = [row for row in result.rows if row.string == "intermediate 2"]
    assert {row.status for row in ours} == {"meets", "no-load"}
    assert "connection" in {row.governs for row in ours}
    assert any("'rupture'" in text for text in result.assumptions)


def test_the_strength_model_runs(tmp_path: Path) -> None:
    module = tmp_path / "site_models.py"
    module.write_text(blocks("python")[2], encoding="utf-8")
    text = (ROOT / "tests" / "wells" / "check-well-1.toml").read_text(encoding="utf-8")
    asked = 'models = { collapse = { model = "tested-collapse", share = 0.8 } }'
    assert asked in README
    file = tmp_path / "well.toml"
    file.write_text(text.replace("\nsections", f"\n{asked}\nsections"), encoding="utf-8")
    plugins = cl.load_plugins(module)
    result = cl.check(cl.read_well(file, plugins=plugins), plugins=plugins)
    row = next(row for row in result.rows if (row.case, row.mode) == ("evacuation", "collapse"))
    elastic = float(cl.strength.elastic_collapse(0.244475, 0.0119888))
    assert row.rating == pytest.approx(0.8 * elastic)


def test_the_kit_finds_nothing_wrong_with_the_example(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(ROOT)
    exec(compile(blocks("python")[3], "README", "exec"), {})
    assert "run_checks" in blocks("python")[3]
    assert capsys.readouterr().out == ""


def test_derating_and_connections_are_read(tmp_path: Path) -> None:
    derating, connections = blocks("toml")[3:5]
    (tmp_path / "yard.toml").write_text(connections, encoding="utf-8")
    text = (ROOT / "tests" / "wells" / "check-well-1.toml").read_text(encoding="utf-8")
    text = text.replace('od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80000 psi"',
                        'pipe = "9-5/8 in 47 lb/ft P110", connection = "Yard Lock"')  # fmt: skip
    file = tmp_path / "well.toml"
    file.write_text('catalogs = ["yard.toml"]\n' + text + derating, encoding="utf-8")
    result = cl.check(cl.read_well(file))
    assert "connection" in {row.governs for row in result.rows}
    assert not any(row.status == "not-evaluated" for row in result.rows)
    assert any("as for every P110" in line for line in result.assumptions)


@pytest.mark.parametrize("command", re.findall(r"`(casingloads [^`]*)`", README))
def test_commands_named_in_the_text_run(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "WELL.toml").write_text((ROOT / "tests" / "wells" / "check-well-2.toml").read_text(encoding="utf-8"))
    assert main(shlex.split(command)[1:]) == 0
    assert capsys.readouterr().out
