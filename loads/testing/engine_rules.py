"""Rules of a load case in the engine: its rows, its record, how its load answers to a parameter."""

# ruff: noqa: D401 (the docstring of a rule says what it demands)

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from ..output.record import as_csv, as_json
from ..result import Result
from ..scene import Scene
from .finding import demand
from .trial import Attempt, Trial, attempt, kit_places


@dataclass(frozen=True)
class Trend:
    """A response that an author declares, for the kit to try.

    Attributes
    ----------
    of : str
        Parameter of a load case that is a number; of a strength model a field of `Tube` or `Loading`.
    effect : str
        What more of it does, at every place: raise the burst load (inside less outside pressure) or the collapse
        load of a case; raise or lower the factor of a model.
    """

    of: str
    effect: Literal["raises burst", "raises collapse", "raises factor", "lowers factor"]


def check_engine(trial: Trial) -> None:
    """The whole engine runs; no row fails by an error of Python, or by a load or rating that is not a number."""
    result = _result(trial)
    if result is None:
        return
    for row in result.rows:
        bad = any(word in row.reason for word in ("Error", "not a number", "Traceback", "case '", "strength model:"))
        found = f"row {row.string}, {row.case}, {row.step or 'no step'}, {row.mode}: {row.reason}"
        demand(not bad, found, "raise cl.CannotEvaluate in the case where its load would make no sense")


def check_recorded(trial: Trial) -> None:
    """The result can be kept as JSON and CSV, without NaN or infinity, and its rows are of the steps of the load."""
    result = _result(trial)
    if result is None:
        return
    try:
        record = json.loads(as_json(result))
    except (TypeError, ValueError) as error:
        demand(
            False, f"the result is not JSON: {error}", "give names, remarks and assumptions as text, values as float"
        )
    kept = {row["step"] for row in record["factors"]}
    lacking = {step.name for _, load in trial.loads for step in load.steps} - kept
    demand(not lacking, f"steps {sorted(lacking)} are not in the record", "give every step a state of a string")
    demand(as_csv(result).count("\n") > 1, "the CSV has no rows", "give every step a state of a string")


def check_profiles_shown(trial: Trial) -> None:
    """The profile of every step can be made and has numbers all along."""
    result = _result(trial)
    if result is None:
        return
    for key in list(result.evaluations)[:3]:
        frame = result.profile(*key)
        lost = [
            name for name in ("p_inside_pa", "p_outside_pa", "true_force_n") if not np.all(np.isfinite(frame[name]))
        ]
        demand(not lost, f"profile {key}: {lost} are not numbers", "look at the state of that step")


def check_trends(trial: Trial, trends: Sequence[Trend]) -> None:
    """A declared response holds: more of the parameter never lowers the load at any place."""
    for trend in trends:
        for call in trial.concerned[:1]:
            item = next((item for item in trial.case.parameters if item.name == trend.of), None)
            demand(item is not None, f"{trend.of!r} is not a parameter", "declare a trend of a parameter of the case")
            base = call.values.get(trend.of)
            demand(isinstance(base, float), f"{trend.of!r} is {base!r}", "declare a trend of a number that is given")
            less = attempt(trial.case, trial.well, call.string, call.raw)
            more = _with(trial, call, trend.of, 1.1 * float(base or 0.0))
            _compare(trial, less, more, trend)


def _with(trial: Trial, call: Attempt, name: str, value: float) -> Any:
    return trial.case(Scene(trial.kit_well.well(), call.string), **{**call.values, name: value})


def _compare(trial: Trial, less: Attempt, more: Any, trend: Trend) -> None:
    if less.load is None:
        return
    sign = 1.0 if trend.effect == "raises burst" else -1.0
    for before, after in zip(less.load.steps, more.steps, strict=False):
        for name in before.states.keys() & after.states.keys():
            one, two = before.states[name], after.states[name]
            where = kit_places(trial.well, name, one)
            differ = sign * (
                two.inside.at(where) - two.outside.at(where) - one.inside.at(where) + one.outside.at(where)
            )
            found = f"more {trend.of} lowers the load of step {before.name!r} by {-float(np.min(differ)):.3g} Pa"
            demand(np.all(differ >= -1.0), found, f"it is declared to be one that {trend.effect}; mend either")


def _result(trial: Trial) -> Result | None:
    result = trial.result
    if isinstance(result, Exception):
        demand(False, f"the engine stops: {result!r}", "return plain text names and `State`s made by scene.state")
        return None
    return result
