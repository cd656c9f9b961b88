"""What must never look like a pass: each test here was once a way to get one."""

from __future__ import annotations

import types
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import casingloads as cl
from casingloads.cli import main

ROOT = Path(__file__).parent.parent
WELL = (ROOT / "tests" / "wells" / "check-well-2.toml").read_text(encoding="utf-8")


def module(**hooks: Callable[..., Any]) -> types.ModuleType:
    """Return a plugin module with hooks of these names."""
    made = types.ModuleType("site")
    for name, function in hooks.items():
        setattr(made, name, cl.hookimpl(function))
    return made


def write(tmp_path: Path, *changes: tuple[str, str], more: str = "") -> Path:
    text = WELL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    file = tmp_path / "well.toml"
    file.write_text(text + more, encoding="utf-8")
    return file


def test_nan_of_a_strength_model_is_not_no_load(tmp_path: Path) -> None:
    @cl.strength_model(mode="burst", source="test")
    def empty(tube: cl.Tube, loading: cl.Loading) -> cl.Check:
        """Has no number at all."""
        nan = np.full(np.shape(tube.wall), np.nan)
        return cl.Check(demand=nan, capacity=nan, loaded=nan > 0.0, dimension=cl.PRESSURE)

    plugins = cl.load_plugins(module(casingloads_strength_models=lambda: [empty]))
    well = cl.read_well(write(tmp_path, ("\nsections", '\nmodels = { burst = "empty" }\nsections')), plugins=plugins)
    result = cl.check(well, plugins=plugins)
    assert {row.status for row in result.rows if row.mode == "burst"} == {"not-evaluated"}
    assert result.verdict == "not-evaluated"


def test_a_string_held_by_cement_is_not_pulled_or_moved() -> None:
    empty = cl.Empty()
    with pytest.raises(ValueError, match="say held=False"):
        cl.State(inside=empty, outside=empty, event=cl.Overpull(force=1e6))
    with pytest.raises(ValueError, match="say held=False"):
        cl.State(inside=empty, outside=empty, shoe_at=1000.0)


def test_a_step_gives_some_string_a_state() -> None:
    with pytest.raises(ValueError, match="gives no string a state"):
        cl.Load(steps=(cl.Step(name="idle", states={}),))


def test_what_was_not_asked_for_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    inner = """
[[strings]]
name = "inner"
hole_size = "17-1/2 in"
top = "wellhead"
shoe = "2500 m"
cement = [{ from = "shoe", to = "2200 m", slurry = "slurry" }]
run_in = "mud"
required = { burst = 1.1, collapse = 1.0, tension = 1.3, compression = 1.3, triaxial = 1.25 }
sections = [{ pipe = "13-3/8 in 72 lb/ft L80", to = "shoe" }]
"""
    assert main(["check", str(write(tmp_path, more=inner))]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "NOT CHECKED, since no load case is asked for: inner." in out
    assert "inner: no load case is asked for, so it is NOT CHECKED" in out
    only_running = inner + "[strings.cases.running]\n"
    assert main(["check", str(write(tmp_path, more=only_running))]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "inner: no case asked for loads it in burst" in out
    assert "inner: no case asked for loads it in collapse" in out


def test_a_rating_is_not_overridden_by_a_reason(tmp_path: Path) -> None:
    """13-3/8 in 72 lb/ft Q125 BTC leaks at 4,930 psi (rating tables, value from memory), whatever reason is given."""
    pipe = 'pipe = "13-3/8 in 72 lb/ft Q125", connection = "BTC", connection_as_body = "trust me"'
    file = write(
        tmp_path,
        ('od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56000 psi"', pipe),
        ('pressure = "6 MPa"', 'pressure = "5000 psi"'),
    )
    result = cl.check(cl.read_well(file))
    row = next(row for row in result.rows if (row.case, row.mode) == ("pressure-test", "burst"))
    assert row.status == "below"
    assert row.governs == "connection"
    assert row.rating is not None
    assert row.rating / 6894.757 == pytest.approx(4930, abs=5)
    accepted = [row for row in result.rows if row.mode == "compression" and row.status == "meets"]
    assert accepted
    assert all("taken as the body: trust me" in row.reason for row in accepted)
    assert any("trust me" in text for text in result.accepted)


def test_pore_pressure_above_its_table_is_asked_for(tmp_path: Path) -> None:
    file = write(
        tmp_path,
        ('depth = ["1666 m", "2250 m", "2600 m"]', 'depth = ["2000 m", "2250 m", "2600 m"]'),
        ('fluid = "sea water"', 'fluid = "sea water"\noutside = "pore pressure"'),
    )
    result = cl.check(cl.read_well(file))
    reasons = {row.reason for row in result.rows if row.case == "pressure-test"}
    assert len(reasons) == 1
    assert "needs earth.pore_pressure from 1666 m on" in reasons.pop()


def fails() -> list[cl.LoadCase]:
    raise RuntimeError("hook fails")


@pytest.mark.parametrize(
    ("hooks", "message"),
    [
        ({"casingloads_load_case": lambda: []}, "the hooks are casingloads_load_cases"),
        ({"casingloads_load_cases": lambda: [len]}, "not a LoadCase; decorate it"),
        ({"casingloads_load_cases": fails}, "hook fails"),
        ({"casingloads_load_cases": lambda unknown: []}, "unknown"),
    ],
)
def test_faults_of_a_plugins_hooks_are_input_errors(hooks: dict[str, Callable[..., Any]], message: str) -> None:
    with pytest.raises(cl.InputError, match=message):
        cl.load_plugins(module(**hooks))


def test_a_plugin_that_leaves_does_not_end_the_run_as_a_pass(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    leaver = tmp_path / "leaver.py"
    leaver.write_text("import sys\nsys.exit(0)\n", encoding="utf-8")
    assert main(["check", str(write(tmp_path)), "--plugin", str(leaver)]) == 2
    assert "SystemExit" in capsys.readouterr().err


def test_a_bad_remark_harms_only_its_case(tmp_path: Path) -> None:
    @cl.load_case(phase="other", source="test")
    def chatty(scene: cl.Scene) -> cl.Load:
        """Says something that cannot be shown."""
        return scene.load(inside=cl.Empty(), outside=cl.Empty(), remarks=[cl.Remark("{missing}")])

    plugins = cl.load_plugins(module(casingloads_load_cases=lambda: [chatty]))
    result = cl.check(cl.read_well(write(tmp_path, more="[strings.cases.chatty]\n"), plugins=plugins), plugins=plugins)
    assert {row.status for row in result.rows if row.case == "chatty"} == {"not-evaluated"}
    assert any(row.status == "meets" for row in result.rows)


@pytest.mark.parametrize("value", ['yield = "80 kg"', 'yield = "400 ksi"', 'od = "x in"', 'wall = "x mm"'])
def test_a_faulty_pipe_with_a_connection_is_a_users_mistake(
    value: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pipe = f'pipe = "13-3/8 in 72 lb/ft L80", connection = "BTC", {value}'
    file = write(tmp_path, ('od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56000 psi"', pipe))
    assert main(["check", str(file)]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_explain_keeps_to_the_place_asked_for() -> None:
    result = cl.check(cl.read_well(ROOT / "examples" / "corvane-4.toml"))
    told = result.explain("intermediate", "pressure-test", "burst", md=1000.0)
    assert next(item.value for item in told.parts[0][1] if item.symbol == "md") == pytest.approx(1000.0, abs=16.0)
    with pytest.raises(KeyError, match="is not along the string"):
        result.explain("intermediate", "pressure-test", "burst", md=9000.0)
    section_2 = result.explain("intermediate", "pressure-test", "burst", md=2000.0)
    thickness = next(item.value for _, items in section_2.parts for item in items if item.symbol == "t")
    assert thickness == pytest.approx(0.472 * 0.0254)


def test_explain_does_not_mix_section_and_depth() -> None:
    result = cl.check(cl.read_well(ROOT / "examples" / "corvane-4.toml"))
    with pytest.raises(KeyError, match="not in section 2"):
        result.explain("intermediate", "pressure-test", "burst", section=2, md=500.0)
