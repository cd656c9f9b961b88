"""The engine: cases of one and of several strings, steps, isolation of what a plugin does wrong."""

from __future__ import annotations

import pickle
import subprocess
import sys
import types
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import casingloads as cl
from casingloads.output.record import as_csv, as_json
from casingloads.output.table import design_factor_table
from casingloads.stations import Places

WELLS = Path(__file__).parent / "wells"
EXAMPLES = Path(__file__).parent.parent / "examples"


def plugin(*cases: cl.LoadCase) -> types.ModuleType:
    """Return a plugin module that offers *cases*."""
    module = types.ModuleType("site_plugin")

    @cl.hookimpl
    def casingloads_load_cases() -> list[cl.LoadCase]:
        return list(cases)

    module.casingloads_load_cases = casingloads_load_cases  # type: ignore[attr-defined]
    return module


def run(tmp_path: Path, case: cl.LoadCase, asked: str, *, well: str = "check-well-1.toml") -> cl.Result:
    """Return the result of a check well that asks for *case* besides its own."""
    text = (WELLS / well).read_text(encoding="utf-8") + asked
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    plugins = cl.load_plugins(plugin(case))
    return cl.check(cl.read_well(file, plugins=plugins), plugins=plugins)


@cl.load_case(phase="other", source="test")
def plain(scene: cl.Scene, *, pressure: cl.Pressure = "10 MPa") -> cl.Load:
    """A pressure on top of the displacement fluid."""
    inside = cl.column(scene.string.displaced_with, pressure=pressure)
    return scene.load(inside=inside, outside=scene.outside_as_run())


def test_one_string_one_step(tmp_path: Path) -> None:
    result = run(tmp_path, plain, '\n[strings.cases.plain]\npressure = "34.4737864658418 MPa"\n')
    ours = {row.mode: row for row in result.rows if row.case == "plain"}
    test = {row.mode: row for row in result.rows if row.case == "pressure-test"}  # 5000 psi as well
    for mode in ("burst", "tension", "triaxial"):
        assert ours[mode].factor == pytest.approx(test[mode].factor, rel=1e-9)


def test_two_cases_of_one_kind_on_one_string(tmp_path: Path) -> None:
    asked = '\n[strings.cases.low]\ncase = "plain"\n[strings.cases.high]\ncase = "plain"\npressure = "20 MPa"\n'
    result = run(tmp_path, plain, asked)
    low, high = (next(r for r in result.rows if r.case == case and r.mode == "burst") for case in ("low", "high"))
    assert low.load == pytest.approx(10e6)
    assert high.load == pytest.approx(20e6)


@cl.load_case(phase="other", source="test", scope="well")
def sealed(scene: cl.Scene, *, rise: cl.Pressure) -> cl.Load:
    """The pressure between two strings rises: outside one, inside the other."""
    outer, inner = (scene.on(string.name) for string in scene.well.strings[1:3])
    between = cl.column(inner.string.run_in, pressure=rise)
    steps = []
    for name, states in {
        "before": (outer.state(inside=cl.column(inner.string.run_in), outside=outer.outside_as_run()),),
        "risen": (
            outer.state(inside=between, outside=outer.outside_as_run()),
            inner.state(inside=cl.column(inner.string.displaced_with), outside=between),
        ),
    }.items():
        names = (outer.string.name, inner.string.name)
        steps.append(cl.Step(name=name, states=dict(zip(names, states, strict=False))))
    return cl.Load(steps=tuple(steps))


def test_a_case_of_several_strings_and_steps() -> None:
    plugins = cl.load_plugins(plugin(sealed))
    well = cl.read_well(EXAMPLES / "skerrow-3.toml", plugins=plugins)
    request = cl.CaseRequest(label="sealed", case="sealed", parameters={"rise": 5e6})
    result = cl.check(well.with_cases([request]), plugins=plugins)
    rows = [row for row in result.rows if row.case == "sealed"]
    assert {(row.string, row.step) for row in rows} == {
        ("surface", "before"),
        ("surface", "risen"),
        ("intermediate 1", "risen"),
    }
    collapse = next(r for r in rows if r.string == "intermediate 1" and r.mode == "collapse")
    assert collapse.load == pytest.approx(5e6)
    burst = next(r for r in rows if (r.string, r.mode, r.step) == ("surface", "burst", "risen"))
    assert burst.load is not None
    assert burst.load > 5e6  # the mud is heavier than the sea water outside


def fault(function: Callable[[cl.Scene], Any]) -> cl.LoadCase:
    """Return a case called ``faulty`` that does what *function* does."""

    def faulty(scene: cl.Scene) -> cl.Load:
        """A case gone wrong."""
        found: cl.Load = function(scene)
        return found

    return cl.load_case(phase="other", source="test")(faulty)


def with_inside(pressure: Any) -> Callable[[cl.Scene], cl.Load]:
    class Odd(cl.Empty):
        def at(self, places: Places) -> Any:
            return pressure(places)

    return lambda scene: scene.load(inside=Odd(), outside=scene.outside_as_run())


def explode(scene: cl.Scene) -> cl.Load:
    raise ZeroDivisionError("no such luck")


FAULTS: dict[str, tuple[Callable[[cl.Scene], Any], str]] = {
    "raises": (explode, "ZeroDivisionError: no such luck"),
    "returns nothing": (lambda scene: None, "returned NoneType, not a Load"),
    "needs": (lambda scene: scene.next_mud(scene.well.fluids["none"]), "KeyError"),
    "nan": (with_inside(lambda places: np.full(places.md.shape, np.nan)), "the inside pressure is not a number"),
    "complex": (with_inside(lambda places: np.full(places.md.shape, 1j)), "is complex128, not real"),
    "shape": (with_inside(lambda places: np.zeros(3)), "has shape (3,)"),
    "below vacuum": (with_inside(lambda places: np.full(places.md.shape, -1e6)), "below vacuum"),
    "unknown string": (
        lambda scene: cl.Load(steps=(cl.Step(name="x", states={"nobody": scene.cemented_state()}),)),
        "no string 'nobody'",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_faulty_case_harms_only_its_own_rows(name: str, tmp_path: Path) -> None:
    function, message = FAULTS[name]
    good = cl.check(cl.read_well(WELLS / "check-well-1.toml"))
    result = run(tmp_path, fault(function), "\n[strings.cases.faulty]\n")
    bad = [row for row in result.rows if row.case == "faulty"]
    assert {row.status for row in bad} == {"not-evaluated"}
    assert {row.mode for row in bad} == {"burst", "collapse", "tension", "compression", "triaxial"}
    assert all(message in row.reason for row in bad), bad[0].reason
    assert [row for row in result.rows if row.case != "faulty"] == list(good.rows)
    assert result.verdict == "below"  # as the good rows say; without them:
    assert {found.status for found in result.governing} <= {"below", "not-evaluated"}


def test_missing_data_are_asked_for_by_name(tmp_path: Path) -> None:
    text = (WELLS / "check-well-1.toml").read_text(encoding="utf-8")
    file = tmp_path / "well.toml"
    file.write_text("\n".join(line for line in text.splitlines() if not line.startswith("fracture")), encoding="utf-8")
    result = cl.check(cl.read_well(file))
    rows = [row for row in result.rows if row.case == "gas-to-surface"]
    assert {row.reason for row in rows} == {"needs earth.fracture"}
    assert {row.status for row in rows} == {"not-evaluated"}


def test_a_check_of_nothing_is_not_a_pass(tmp_path: Path) -> None:
    text = (WELLS / "check-well-1.toml").read_text(encoding="utf-8")
    file = tmp_path / "well.toml"
    file.write_text(text[: text.index("[strings.cases.running]")], encoding="utf-8")
    result = cl.check(cl.read_well(file))
    assert result.rows == ()
    assert result.verdict == "not-evaluated"


def test_the_same_answer_twice_and_nothing_changed() -> None:
    well = cl.read_well(EXAMPLES / "corvane-4.toml")
    before = pickle.dumps(well)
    first, second = cl.check(well), cl.check(well)
    assert first.rows == second.rows
    assert pickle.dumps(well) == before


def test_a_well_travels_to_another_process(tmp_path: Path) -> None:
    """A check is a pure function of the well, which any executor can run."""
    well = cl.read_well(EXAMPLES / "skerrow-3.toml")
    sent, answer = tmp_path / "well", tmp_path / "rows"
    sent.write_bytes(pickle.dumps(well))
    code = (
        "import pickle, sys, pathlib, casingloads as cl\n"
        "well = pickle.loads(pathlib.Path(sys.argv[1]).read_bytes())\n"
        "pathlib.Path(sys.argv[2]).write_bytes(pickle.dumps(cl.check(well).rows))\n"
    )
    subprocess.run([sys.executable, "-c", code, str(sent), str(answer)], check=True)
    assert pickle.loads(answer.read_bytes()) == cl.check(well).rows


def test_warning_below_supported_yield_travels_with_the_row(tmp_path: Path) -> None:
    @cl.load_case(phase="other", source="test")
    def pulled_apart(scene: cl.Scene) -> cl.Load:
        """A pull near yield, with a little outside pressure."""
        state = scene.running_state(shoe_at=scene.string.shoe)
        event = cl.Overpull(force=4.3e6 - 1.8e6)
        outside = cl.column(scene.string.run_in, pressure=1e6)
        return scene.load(inside=state.inside, outside=outside, held=False, event=event)

    result = run(tmp_path, pulled_apart, "\n[strings.cases.pulled-apart]\n")
    row = next(row for row in result.rows if row.case == "pulled-apart" and row.mode == "collapse")
    assert any("24,000 psi" in text for text in row.warnings)
    assert any("24,000 psi" in text for text in result.warnings)
    told = result.explain("intermediate", "pulled-apart", "collapse")
    assert any("24,000 psi" in text for text in told.warnings)
    assert "warning: equivalent yield below 24,000 psi" in told.text()
    assert "24,000 psi" in as_csv(result)
    assert "24,000 psi" in as_json(result)
    assert "24,000 psi" in design_factor_table(result)
