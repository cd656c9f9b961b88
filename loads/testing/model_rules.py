"""Rules of a strength model: shapes, numbers, the factor, words about it; tried on a pipe under many loads."""

# ruff: noqa: D401 (the docstring of a rule says what it demands)

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from ..constants import INCH, PSI
from ..errors import CannotEvaluate
from ..parameters import Known, read_parameters
from ..strength.check import Check, Loading, Tube
from ..strength.model import StrengthModel
from ..units import FORCE, FRACTION, PRESSURE, STRESS, show
from .compare import difference
from .engine_rules import Trend
from .finding import Broken, demand
from .load_rules import SYSTEMS
from .samples import sample
from .trial import listening

_DIMENSIONS = {
    "burst": (PRESSURE,),
    "collapse": (PRESSURE,),
    "tension": (FORCE,),
    "compression": (FORCE,),
    "triaxial": (STRESS, PRESSURE),
}
_PLACES = 7


@dataclass(frozen=True)
class ModelTrial:
    """A strength model with its parameters, to be tried.

    Attributes
    ----------
    model : StrengthModel
        Which.
    examples : mapping or None
        Parameters that its author gives, as in a well file.
    """

    model: StrengthModel
    examples: Mapping[str, object] | None = None

    def parameters(self) -> dict[str, Any]:
        """Return the parameters in SI; raises `Broken` where they cannot be read."""
        required = {item.name: sample(item) for item in self.model.parameters if item.required}
        values, problems, _ = read_parameters(self.model, {**required, **(self.examples or {})}, Known())
        told = "; ".join(f"{name}: {message}" for name, message in problems)
        if told:
            raise Broken(f"the parameters cannot be read: {told}; mend the default, or give parameters=")
        return values

    def check(self, tube: Tube, loading: Loading) -> Check | CannotEvaluate:
        """Return what the model says, or why it does not; raises `Broken` for any other error."""
        try:
            answer = self.model.function(tube, loading, **self.parameters())
        except CannotEvaluate as error:
            return error
        except Broken:
            raise
        except Exception as error:  # a plugin may fail in any way: that is what is judged
            found = f"raised {type(error).__name__}: {error}"
            raise Broken(f"{found}; ask first, and raise cl.CannotEvaluate('why, and what is accepted')") from error
        if not isinstance(answer, Check):
            raise Broken(f"returned {type(answer).__name__}, not a Check; return cl.Check(demand=, capacity=, ...)")
        return answer


def kit_tube() -> Tube:
    """Return 9-5/8 in pipe of two walls along seven places, a little worn and warm below."""
    wall = np.array([0.545, 0.545, 0.545, 0.472, 0.472, 0.472, 0.472]) * INCH
    return Tube(
        outside_diameter=np.full(_PLACES, 9.625 * INCH),
        wall=wall,
        wall_factor=np.full(_PLACES, 0.875),
        specified_yield=np.array([110.0, 110.0, 110.0, 80.0, 80.0, 80.0, 80.0]) * 1e3 * PSI,
        yield_factor=np.linspace(1.0, 0.95, _PLACES),
        tensile_strength=np.array([125.0, 125.0, 125.0, 95.0, 95.0, 95.0, 95.0]) * 1e3 * PSI,
        loss_inside=np.array([0.0, 0.0, 0.5, 0.5, 0.0, 0.0, 1.0]) * 1e-3,
        loss_outside=np.zeros(_PLACES),
        groove=np.array([False, False, True, False, False, False, False]),
    )


def kit_loading(mode: str = "burst") -> Loading:
    """Return a load of *mode*, of each size along seven places."""
    small, large = np.linspace(5e6, 10e6, _PLACES), np.linspace(15e6, 45e6, _PLACES)
    force = np.linspace(2e6, 0.3e6, _PLACES)
    return Loading(
        internal_pressure=small if mode == "collapse" else large,
        external_pressure=large if mode == "collapse" else small,
        axial_force=-force if mode == "compression" else force,
        bending_stress=np.linspace(0.0, 60e6, _PLACES),
    )


def _sampled() -> tuple[Tube, Loading]:
    """Return a pipe with sampled walls and a load with sampled pressure, shapes (3, 1) and (3, n)."""
    tube, loading = kit_tube(), kit_loading()
    factor = np.array([[0.95], [1.0], [1.05]])
    return replace(tube, wall=tube.wall * factor), replace(
        loading, internal_pressure=loading.internal_pressure * factor
    )


def _at(item: Any, index: Any, names: Sequence[str]) -> Any:
    """Return *item* with only one place, or one sample, of its arrays."""
    shape = np.broadcast_shapes(*(np.shape(getattr(item, name)) for name in names))
    changes = {name: np.broadcast_to(getattr(item, name), shape)[index] for name in names}
    return replace(item, **changes)


_TUBE = tuple(item.name for item in fields(Tube))
_LOADING = ("internal_pressure", "external_pressure", "axial_force", "bending_stress")


def _answers(trial: ModelTrial) -> list[tuple[str, tuple[int, ...], Check]]:
    """Return what the model says of loads of every kind, with a name and the shape expected."""
    mode, tube = trial.model.mode, kit_tube()
    asked: dict[str, tuple[Tube, Loading]] = {
        **{f"a load of {kind}": (tube, kit_loading(kind)) for kind in ("burst", "collapse", "compression")},
        "samples": _sampled(),
        "one place": (_at(tube, 0, _TUBE), _at(kit_loading(mode), 0, _LOADING)),
    }
    shapes = {"samples": (3, _PLACES), "one place": ()}
    found = {name: trial.check(*pair) for name, pair in asked.items()}
    return [(name, shapes.get(name, (_PLACES,)), answer) for name, answer in found.items() if isinstance(answer, Check)]


def check_runs(trial: ModelTrial) -> None:
    """It rates the pipe of the kit under a load of its mode: else no other rule means anything."""
    answer = trial.check(kit_tube(), kit_loading(trial.model.mode))
    example = f"parameters={{{trial.model.name!r}: {{...}}}}"
    demand(isinstance(answer, Check), f"says {answer} of 9-5/8 in pipe", f"give parameters that fit it: {example}")
    if isinstance(answer, Check):
        advice = "set loaded= where the load of the model's mode is worth a factor"
        demand(np.any(answer.loaded), f"sees no load in a load of {trial.model.mode}", advice)


def check_shapes(trial: ModelTrial) -> None:
    """Demand, capacity and loaded broadcast to the places and samples asked for; loaded is bool, the others real."""
    for name, shape, answer in _answers(trial):
        for what in ("demand", "capacity", "loaded"):
            value = np.asarray(getattr(answer, what))
            kinds, words = ("b", "bool") if what == "loaded" else ("fiu", "real numbers")
            demand(value.dtype.kind in kinds, f"{name}: {what} is {value.dtype}, not {words}", "mend the formula")
            advice = "let the last axis be the places, leading axes samples; keep reductions off it"
            demand(_fits(value, shape), f"{name}: {what} has shape {value.shape}, not {shape}", advice)


def _fits(value: Any, shape: tuple[int, ...]) -> bool:
    try:
        return np.broadcast_shapes(np.shape(value), shape) == shape
    except ValueError:
        return False


def check_finite(trial: ModelTrial) -> None:
    """Demand and capacity are finite everywhere, and positive where there is a load."""
    for name, shape, answer in _answers(trial):
        if not all(_fits(value, shape) for value in (answer.demand, answer.capacity, answer.loaded)):
            continue
        demanded, capacity, loaded = (
            np.broadcast_to(v, shape) for v in (answer.demand, answer.capacity, answer.loaded)
        )
        for what, value in (("demand", demanded), ("capacity", capacity)):
            advice = "look for a division by zero or a root of what is negative; raise cl.CannotEvaluate instead"
            demand(np.all(np.isfinite(value)), f"{name}: {what} is not a finite number everywhere", advice)
        fits = np.all(demanded[loaded] > 0.0) and np.all(capacity[loaded] >= 0.0)
        demand(fits, f"{name}: demand or capacity is below zero where loaded", "give both as magnitudes")


def check_factor(trial: ModelTrial) -> None:
    """The factor is capacity over demand: the check is a plain `Check`, and its factor is not overridden."""
    for name, _, answer in _answers(trial):
        with np.errstate(all="ignore"):
            expected = np.where(answer.loaded, np.asarray(answer.capacity) / np.asarray(answer.demand), np.inf)
        same = np.allclose(answer.factor, expected, rtol=1e-12, equal_nan=True)
        demand(same, f"{name}: the factor is not capacity over demand", "return cl.Check and let it work the factor")


def check_each_place_by_itself(trial: ModelTrial) -> None:
    """What is said of one place does not depend on its neighbours, nor that of a sample on the others."""
    tube, loading = kit_tube(), kit_loading(trial.model.mode)
    pairs = [("place", tube, loading, range(_PLACES), (_PLACES,)), ("sample", *_sampled(), range(3), (3, _PLACES))]
    for word, pipe, load, indices, shape in pairs:
        whole = trial.check(pipe, load)
        for index in indices:
            one = trial.check(_at(pipe, index, _TUBE), _at(load, index, _LOADING))
            if not (isinstance(whole, Check) and isinstance(one, Check)):
                continue
            for what in ("demand", "capacity", "loaded"):
                full, alone = getattr(whole, what), np.asarray(getattr(one, what), dtype=np.float64)
                if _fits(full, shape):
                    same = np.allclose(np.broadcast_to(full, shape)[index], alone, rtol=1e-9, equal_nan=True)
                    found = f"{what} of {word} {index} differs when it is asked for alone"
                    demand(same, found, "work each place and sample by itself: no mean, no max over an axis")


def check_right_mode(trial: ModelTrial) -> None:
    """A load the other way is no load: outside pressure does not burst, a push is no tension; nothing is nothing."""
    mode = trial.model.mode
    loading = kit_loading(mode)
    zero = np.zeros(_PLACES)
    nothing = replace(loading, internal_pressure=zero, external_pressure=zero, axial_force=zero, bending_stress=zero)
    others = {"burst": "collapse", "collapse": "burst", "tension": "compression", "compression": "burst"}
    asked = {"no load at all": nothing}
    if mode in others:
        asked[f"a load of {others[mode]}"] = replace(kit_loading(others[mode]), bending_stress=zero)
    for name, load in asked.items():
        answer = trial.check(kit_tube(), load)
        if isinstance(answer, Check):
            advice = "set loaded=False where the load of the mode is small, or the other way"
            demand(not np.any(answer.loaded), f"{name} counts as {mode}", advice)


def check_missing_tensile_strength(trial: ModelTrial) -> None:
    """Where the tensile strength is not known the model works without it, or says that it needs it."""
    trial.check(replace(kit_tube(), tensile_strength=None), kit_loading(trial.model.mode))


def check_same_twice(trial: ModelTrial) -> None:
    """Two calls say the same."""
    first, second = (trial.check(kit_tube(), kit_loading(trial.model.mode)) for _ in range(2))
    if isinstance(first, Check) and isinstance(second, Check):
        other = difference(first, second)
        demand(
            not other, f"two calls differ in {other}", "use no random number, clock or variable that outlives the call"
        )


def check_no_mutation(trial: ModelTrial) -> None:
    """The pipe and the load are as they were before the call."""
    tube, loading = kit_tube(), kit_loading(trial.model.mode)
    before = copy.deepcopy((tube, loading))
    trial.check(tube, loading)
    changed = difference(before, (tube, loading))
    demand(not changed, f"changed {changed} of (tube, loading)", "work on copies: `a = a * 2`, not `a *= 2`")


def check_quiet(trial: ModelTrial) -> None:
    """It prints nothing, and lets out no warning of Python or numpy, under any load of the kit."""
    with listening() as said:
        _answers(trial)
    heard = said()
    demand(not heard.printed, f"printed {heard.printed[:60]!r}", "use a line of working or a caution instead")
    told = "; ".join(heard.warnings[:2])
    demand(not told, f"warned {told}", "keep what cannot be out of the arithmetic; np.where is too late")


def check_dimension(trial: ModelTrial) -> None:
    """Demand and capacity are in the dimension in which the mode is shown."""
    mode = trial.model.mode
    accepted = (*_DIMENSIONS[mode], FRACTION)
    for _, _, answer in _answers(trial):
        names = ", ".join(sorted({item.name for item in accepted}))
        demand(answer.dimension in accepted, f"the dimension is {answer.dimension.name}", f"{mode} takes {names}")


def check_working(trial: ModelTrial) -> None:
    """The working says how the number came about: symbols with a meaning, values that can be shown at each place."""
    for name, shape, answer in _answers(trial):
        advice = "give working=(cl.Line(symbol=, meaning=, value=, dimension=, formula=), ...)"
        demand(answer.working, f"{name}: no working", advice)
        for line in answer.working:
            demand(line.symbol and line.meaning, f"{name}: line {line!r} has no symbol or meaning", advice)
            demand(_fits(line.value, shape), f"{name}: {line.symbol} has shape {np.shape(line.value)}", advice)
            first = np.ravel(np.broadcast_to(line.value, shape))[0]
            if np.asarray(first).dtype.kind in "fiu":
                shown = [show(float(first), line.dimension, system) for system in SYSTEMS]
                demand(all(shown), f"{name}: {line.symbol} cannot be shown", advice)


def check_cautions(trial: ModelTrial) -> None:
    """A caution has a text, and a bool array that says where it holds."""
    for name, shape, answer in _answers(trial):
        for caution in answer.cautions:
            advice = "give cl.Caution(text=, where=) with where of the shape of the places"
            where = np.asarray(caution.where)
            demand(caution.text.strip(), f"{name}: a caution says nothing", advice)
            demand(where.dtype == bool, f"{name}: {caution.text!r} holds where {where.dtype}, not bool", advice)
            demand(_fits(where, shape), f"{name}: {caution.text!r} has shape {where.shape}", advice)


def check_trends(trial: ModelTrial, trends: Sequence[Trend]) -> None:
    """A declared response holds: more of the quantity never moves the factor the other way."""
    for trend in trends:
        tube, loading = kit_tube(), kit_loading(trial.model.mode)
        advice = f"declare a trend of one of {', '.join((*_TUBE, *_LOADING))}"
        demand(trend.of in (*_TUBE, *_LOADING), f"{trend.of!r} is unknown", advice)
        before = trial.check(tube, loading)
        if trend.of in _TUBE:
            tube = replace(tube, **{trend.of: np.asarray(getattr(tube, trend.of)) * 1.02})
        else:
            more: dict[str, Any] = {trend.of: np.asarray(getattr(loading, trend.of)) * 1.02}
            loading = replace(loading, **more)
        after = trial.check(tube, loading)
        if isinstance(before, Check) and isinstance(after, Check):
            sign = 1.0 if trend.effect == "raises factor" else -1.0
            both = np.asarray(before.loaded) & np.asarray(after.loaded)
            worse = both & (sign * (after.factor - before.factor) < -1e-12 * before.factor)
            found = f"more {trend.of} moves the factor the other way at places {np.flatnonzero(worse).tolist()}"
            demand(not np.any(worse), found, f"it is declared to be one that {trend.effect}; mend either")
