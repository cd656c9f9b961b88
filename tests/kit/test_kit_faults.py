"""The kit catches faults: each case, model and catalog here is spoiled in one way, and the expected rule says so."""

from __future__ import annotations

import itertools
import time
import types
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import casingloads as cl
from casingloads.arrays import Array
from casingloads.testing import WELLS, Finding, Trend, run_checks
from casingloads.units import LEVEL

FEW = [well for well in WELLS if well.name in ("land", "bare")]
COUNT = itertools.count()


class Odd(cl.Empty):
    """A pressure that answers as a function says."""

    def __init__(self, answer: Callable[[Any], Any]) -> None:
        object.__setattr__(self, "answer", answer)

    def at(self, places: Any) -> Array:
        found: Array = vars(self)["answer"](places)
        return found


def case_of(body: Callable[[cl.Scene], Any], **more: Any) -> cl.LoadCase:
    """Return a load case that is sound but for its body, or what *more* replaces."""

    @cl.load_case(phase="drilling", source="common practice, no source")
    def faulty(scene: cl.Scene, *, level: cl.MeasuredDepth | None = None) -> cl.Load:
        """Faulty in one way.

        Parameters
        ----------
        level : MeasuredDepth
            Of nothing; if left out, nothing.
        """
        found: cl.Load = body(scene)
        return found

    return replace(faulty, **more)


def sound(scene: cl.Scene) -> cl.Load:
    return scene.load(inside=cl.column(scene.string.run_in), outside=cl.Empty())


def inside(answer: Callable[[Any], Any]) -> Callable[[cl.Scene], cl.Load]:
    return lambda scene: scene.load(inside=Odd(answer), outside=cl.Empty())


def slow(scene: cl.Scene) -> cl.Load:
    time.sleep(0.03)
    return sound(scene)


def prints(scene: cl.Scene) -> cl.Load:
    print("here")
    return sound(scene)


def warns(scene: cl.Scene) -> cl.Load:
    np.log(np.array([0.0]))
    return sound(scene)


def mutates(scene: cl.Scene) -> cl.Load:
    vars(scene.well)["air_gap"] = 99.0
    return sound(scene)


def mutates_table(scene: cl.Scene) -> cl.Load:
    if scene.earth.pore_pressure is not None:
        scene.earth.pore_pressure.value[0] += 1.0
    return sound(scene)


def asks_none(scene: cl.Scene) -> cl.Load:
    return cl.Load(steps=(cl.Step(name="as stated", states={}),))


def reads_none(scene: cl.Scene) -> cl.Load:
    table: Any = scene.earth.temperature
    return scene.load(inside=cl.Empty(), outside=cl.Empty(), temperature=table.plus(10.0))


def mumbles(scene: cl.Scene) -> cl.Load:
    raise cl.CannotEvaluate("no")


def other_string(scene: cl.Scene) -> cl.Load:
    state = scene.state(inside=cl.Empty(), outside=cl.Empty())
    return cl.Load(steps=(cl.Step(name="as stated", states={"stranger": state}),))


def two_of_a_name(scene: cl.Scene) -> cl.Load:
    step = scene.step("same", scene.state(inside=cl.Empty(), outside=cl.Empty()))
    return cl.Load(steps=(step, step))


def nameless(scene: cl.Scene) -> cl.Load:
    return scene.load(name=" ", inside=cl.Empty(), outside=cl.Empty())


def bad_remark(scene: cl.Scene) -> cl.Load:
    return scene.load(inside=cl.Empty(), outside=cl.Empty(), remarks=[cl.Remark("{missing}")])


def lost_remark(scene: cl.Scene) -> cl.Load:
    remark = cl.Remark("level {level}", {"level": (float("nan"), LEVEL)})
    return scene.load(inside=cl.Empty(), outside=cl.Empty(), remarks=[remark])


def celsius(scene: cl.Scene) -> cl.Load:
    table = cl.Table(tvd=np.array([0.0, 3000.0]), value=np.array([15.0, 90.0]))
    return scene.load(inside=cl.Empty(), outside=cl.Empty(), temperature=table)


def a_number(scene: cl.Scene) -> cl.Load:
    pressure: Any = 10e6
    return scene.load(inside=pressure, outside=cl.Empty())


def deep_break(scene: cl.Scene) -> cl.Load:
    side = Odd(lambda places: 0.0 * places.tvd)
    vars(side)["breaks"] = lambda: [float("nan")]
    return scene.load(inside=side, outside=cl.Empty())


def silent_origin(scene: cl.Scene) -> cl.Load:
    side = Odd(lambda places: 0.0 * places.tvd)
    vars(side)["origin"] = tuple
    return scene.load(inside=side, outside=cl.Empty())


def raises_applies(scene: cl.Scene) -> str:
    raise KeyError("next_hole")


CASES: dict[str, tuple[cl.LoadCase, str, str]] = {
    "not a number": (case_of(inside(lambda p: np.full(p.tvd.shape, np.nan))), "finite_profiles", "division by zero"),
    "infinite": (case_of(inside(lambda p: np.where(p.tvd > 500.0, np.inf, 0.0))), "finite_profiles", "m md"),
    "wrong shape": (case_of(inside(lambda p: np.zeros(3))), "shapes", "shape of places.md"),
    "complex": (case_of(inside(lambda p: p.tvd * 1j)), "shapes", "real part"),
    "below vacuum": (case_of(inside(lambda p: -1e6 + 0.0 * p.tvd)), "above_vacuum", "let the level fall"),
    "psi taken for Pa": (
        case_of(inside(lambda p: 7e6 * p.tvd)),
        "sane_pressures",
        "everything inside is SI",
    ),
    "at fails": (case_of(inside(lambda p: p.nowhere)), "shapes", "AttributeError"),
    "random": (case_of(inside(lambda p: float(next(COUNT)) + 0.0 * p.tvd)), "same_twice", "no random number"),
    "raises TypeError": (case_of(lambda scene: sum(["a"])), "answer", r"cl\.MissingInput"),
    "needs an earth that is not there": (case_of(reads_none), "missing_data", "without earth.temperature"),
    "returns None": (case_of(lambda scene: None), "answer", "return scene.load"),
    "mumbles": (case_of(mumbles), "answer", "in plain words"),
    "no state": (case_of(asks_none), "answer", "gives no string a state"),
    "two steps of one name": (case_of(two_of_a_name), "answer", "give each its own name"),
    "nameless step": (case_of(nameless), "named_steps", "give each step a name"),
    "wrong string": (case_of(other_string), "strings", "stranger"),
    "slow": (case_of(slow), "fast", "whole arrays"),
    "prints": (case_of(prints), "quiet", "cl.Remark"),
    "numpy warns": (case_of(warns), "quiet", "divide by zero"),
    "changes the well": (case_of(mutates), "no_mutation", "well.air_gap"),
    "changes a table": (case_of(mutates_table), "no_mutation", r"well.earth.pore_pressure.value"),
    "bad remark": (case_of(bad_remark), "remarks", "cannot be shown in metric"),
    "remark of NaN": (case_of(lost_remark), "remarks", "not a finite number"),
    "Celsius": (case_of(celsius), "temperatures", "kelvin"),
    "a number for a pressure": (case_of(a_number), "pressure_protocol", "cl.Column"),
    "break at NaN": (case_of(deep_break), "breaks", "depths in metres"),
    "no origin": (case_of(silent_origin), "origin", "says nothing"),
    "no source": (case_of(sound, source=" "), "source", "common practice, no source"),
    "no summary": (case_of(sound, summary="faulty"), "summary", "full stop"),
    "unknown phase": (case_of(sound, phase="lunch"), "phase", "'drilling'"),
    "name in capitals": (case_of(sound, name="Faulty One"), "name", "lower case"),
    "one_of of strangers": (case_of(sound, one_of=(("level", "lvl"),)), "one_of_named", "lvl"),
    "applies raises": (case_of(sound, applies=raises_applies), "applies", "return ''"),
    "applies gives no text": (case_of(sound, applies=lambda scene: True), "applies", "True"),
}


def found(findings: Sequence[Finding], rule: str) -> str:
    assert rule in {finding.rule for finding in findings}, [str(finding) for finding in findings]
    return "\n".join(str(finding) for finding in findings if finding.rule == rule)


@pytest.mark.parametrize("name", CASES)
def test_a_faulty_load_case_is_caught(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    case, rule, words = CASES[name]
    monkeypatch.setattr("casingloads.testing.case_rules.SLOWEST", 0.02)
    told = found(run_checks(case, wells=FEW), rule)
    assert words.replace("\\", "") in told


def test_a_sound_case_breaks_no_rule() -> None:
    assert run_checks(case_of(sound)) == []


def test_parameters_are_documented_and_their_defaults_readable() -> None:
    @cl.load_case(phase="drilling", source="common practice, no source")
    def bare(scene: cl.Scene, *, level: cl.Length, drop: cl.Pressure = "5 m") -> cl.Load:
        """Bare of words."""
        return sound(scene)

    findings = run_checks(bare, wells=FEW)
    assert "level, drop; add them to the docstring" in found(findings, "parameters_documented")
    assert "write it as one would in a well file: pressure" in found(findings, "defaults_readable")


def test_a_case_that_runs_nowhere_is_told_how_to_run() -> None:
    def never(scene: cl.Scene) -> cl.Load:
        raise cl.MissingInput("the moon, for the tide")

    told = found(run_checks(case_of(never)), "runs_somewhere")
    assert "needs the moon, for the tide" in told
    assert "give example values, parameters={'faulty'" in told


def test_a_trend_that_does_not_hold_is_caught() -> None:
    @cl.load_case(phase="drilling", source="common practice, no source")
    def upside_down(scene: cl.Scene, *, pressure: cl.Pressure) -> cl.Load:
        """Less pressure is more load.

        Parameters
        ----------
        pressure : Pressure
            Taken off.
        """
        return scene.load(inside=cl.column(cl.Gas(0.0), pressure=30e6 - pressure), outside=cl.Empty())

    assert run_checks(upside_down, wells=FEW, trends=[Trend("pressure", "raises collapse")]) == []
    told = found(run_checks(upside_down, wells=FEW, trends=[Trend("pressure", "raises burst")]), "trends")
    assert "more pressure lowers the load" in told


# --- strength models --------------------------------------------------------------------------------------------------


def model_of(change: Callable[[cl.Tube, cl.Loading, cl.Check], Any], **more: Any) -> cl.StrengthModel:
    """Return a sound burst model, what it returns spoiled by *change*."""

    @cl.strength_model(mode="burst", source="common practice, no source")
    def spoiled(tube: cl.Tube, loading: cl.Loading) -> cl.Check:
        """Thin-wall burst, spoiled."""
        rise = np.asarray(loading.internal_pressure) - loading.external_pressure
        capacity = 1.75 * tube.yield_strength * tube.left_wall / tube.outside_diameter
        line = cl.Line(symbol="p", meaning="pressure inside less outside", value=rise, dimension=cl.PRESSURE)
        check = cl.Check(
            demand=rise, capacity=capacity + 0.0 * rise, loaded=rise > 1e4, dimension=cl.PRESSURE, working=(line,)
        )
        changed: cl.Check = change(tube, loading, check)
        return changed

    return replace(spoiled, **more)


def spoiled(check: cl.Check, **changes: Any) -> cl.Check:
    return replace(check, **changes)


def wears(tube: cl.Tube, loading: cl.Loading, check: cl.Check) -> cl.Check:
    wall: Any = tube.wall
    wall *= 1.0
    pressure: Any = loading.internal_pressure
    pressure += 1.0
    return check


def doubts(tube: cl.Tube, loading: cl.Loading, check: cl.Check) -> cl.Check:
    return replace(check, cautions=(cl.Caution(text="thin", where=np.asarray(check.demand)),))


def fails(tube: cl.Tube, loading: cl.Loading, check: cl.Check) -> cl.Check:
    raise KeyError("grade")


def shadows(tube: cl.Tube, loading: cl.Loading, check: cl.Check) -> cl.Check:
    class Kinder(cl.Check):
        @property
        def factor(self) -> Array:
            return 9.9 + 0.0 * np.asarray(self.demand)

    return Kinder(**vars(check))


def divides(tube: cl.Tube, loading: cl.Loading, check: cl.Check) -> cl.Check:
    np.divide(1.0, 0.0 * np.asarray(tube.wall))
    return check


MODELS: dict[str, tuple[cl.StrengthModel, str, str]] = {
    "NaN": (model_of(lambda t, g, c: replace(c, capacity=c.capacity * np.nan)), "finite", "cl.CannotEvaluate"),
    "shape": (model_of(lambda t, g, c: replace(c, capacity=np.ones((2, 3, 5)))), "shapes", "last axis be the places"),
    "loaded as numbers": (model_of(lambda t, g, c: spoiled(c, loaded=c.loaded * 1.0)), "shapes", "not bool"),
    "complex": (model_of(lambda t, g, c: replace(c, capacity=c.capacity + 0j)), "shapes", "not real numbers"),
    "mean": (
        model_of(lambda t, g, c: replace(c, capacity=np.mean(c.capacity) + 0.0 * c.demand)),
        "each_place_by_itself",
        "no max over an axis",
    ),
    "always loaded": (
        model_of(lambda t, g, c: replace(c, loaded=np.asarray(c.demand) < np.inf)),
        "right_mode",
        "counts as burst",
    ),
    "random": (model_of(lambda t, g, c: replace(c, capacity=c.capacity + next(COUNT))), "same_twice", "capacity"),
    "mutates": (model_of(wears), "no_mutation", "internal_pressure"),
    "caution of numbers": (model_of(doubts), "cautions", "not bool"),
    "raises": (model_of(fails), "runs", "raised KeyError"),
    "not a check": (model_of(lambda t, g, c: c.capacity), "runs", "not a Check"),
    "own factor": (model_of(shadows), "factor", "let it work the factor"),
    "force": (model_of(lambda t, g, c: replace(c, dimension=cl.FORCE)), "dimension", "burst takes"),
    "no working": (model_of(lambda t, g, c: replace(c, working=())), "working", "cl.Line"),
    "warns": (model_of(divides), "quiet", "divide by zero"),
    "no source": (model_of(lambda t, g, c: c, source=""), "source", "source="),
}


@pytest.mark.parametrize("name", MODELS)
def test_a_faulty_strength_model_is_caught(name: str) -> None:
    model, rule, words = MODELS[name]
    assert words in found(run_checks(model), rule)


def test_a_sound_model_breaks_no_rule_and_its_trends_hold() -> None:
    model = model_of(lambda tube, loading, check: check)
    assert run_checks(model, trends=[Trend("wall", "raises factor"), Trend("internal_pressure", "lowers factor")]) == []
    told = found(run_checks(model, trends=[Trend("wall", "lowers factor")]), "trends")
    assert "more wall moves the factor the other way" in told


# --- catalogs ---------------------------------------------------------------------------------------------------------


def spoiled_catalog(**changes: Any) -> cl.Catalog:
    """Return two rows of the standard catalog, the first one changed behind its constructor's back."""
    standard = cl.standard_catalog()
    pipes = [replace(pipe) for pipe in standard.select(od="9-5/8 in").pipes[:2]]
    for name, value in changes.items():
        object.__setattr__(pipes[0], name, value)
    return replace(standard, pipes=tuple(pipes), grades=())


@pytest.mark.parametrize(
    ("changes", "rule", "words"),
    [
        ({"source": " "}, "sources", "name a standard"),
        ({"weight": 3.0}, "weights", "of the mass of the bare tube"),
        ({"wall": -0.01}, "sizes", "units of the columns"),
        ({"drift": 0.5}, "drift", "look at wall and drift"),
        ({"grades": ("Z999",)}, "grades_known", "Z999"),
    ],
)
def test_a_faulty_catalog_is_caught(changes: dict[str, Any], rule: str, words: str) -> None:
    assert words in found(run_checks(spoiled_catalog(**changes)), rule)


def test_a_catalog_with_one_row_twice_and_without_hash_is_caught() -> None:
    catalog = spoiled_catalog()
    findings = run_checks(replace(catalog, pipes=(catalog.pipes[0], catalog.pipes[0]), hashes={}))
    assert "are one name" in found(findings, "unique")
    assert "cl.read_catalog" in found(findings, "hashes")


def test_what_is_none_of_the_three_is_refused() -> None:
    thing: Any = types.SimpleNamespace(name="thing")
    with pytest.raises(TypeError, match="need a LoadCase, StrengthModel or Catalog, found SimpleNamespace"):
        run_checks(thing)
