"""Rules of the load that a case returns: its steps, the pressures and temperatures in them, the words about them."""

# ruff: noqa: D401 (the docstring of a rule says what it demands)

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, get_args

import numpy as np

from ..constants import ATMOSPHERE
from ..remark import Remark
from ..units import UnitSystem
from .finding import demand
from .trial import Profile, Trial

DEEPEST = 30e3
"""Depth beyond which no break or jump lies [m]."""
SYSTEMS: tuple[UnitSystem, ...] = get_args(UnitSystem)
_FROM = "build it of cl.column, cl.Gas, cl.Intervals, or return an array of the shape of places.md"


def check_named_steps(trial: Trial) -> None:
    """Every step has a name in words, each its own, so that a row of the result can be found again."""
    for call, load in trial.loads:
        names = [step.name for step in load.steps]
        bare = [name for name in names if not (isinstance(name, str) and name.strip())]
        demand(names and not bare, f"{call.words}: steps are called {names!r}", "give each step a name")
        demand(len(set(names)) == len(names), f"{call.words}: steps are called {names!r}", "give each its own name")


def check_strings(trial: Trial) -> None:
    """States are of strings that the well has; a case of one string speaks of that one only."""
    for call, load in trial.loads:
        known = {string.name for string in call.well.strings}
        for step in load.steps:
            strange = sorted(set(step.states) - (known if call.string is None else {call.string}))
            advice = "take names from scene.string or scene.well.strings; for several strings say scope='well'"
            demand(not strange, f"{call.words}: step {step.name!r} has a state of {strange}", advice)


def check_pressure_protocol(trial: Trial) -> None:
    """Inside and outside follow the protocol of a pressure: ``at``, ``breaks``, ``jumps``, ``origin``."""
    for call, load in trial.loads:
        for step in load.steps:
            for state in step.states.values():
                for name, side in (("inside", state.inside), ("outside", state.outside)):
                    lacking = [item for item in ("at", "breaks", "jumps", "origin") if not hasattr(side, item)]
                    found = f"{call.words}: {name} of step {step.name!r} is a {type(side).__name__} without {lacking}"
                    demand(not lacking, found, "give a cl.Column, cl.Intervals, cl.Empty, or a class that has them")


def check_shapes(trial: Trial) -> None:
    """Pressures and temperatures are real numbers that broadcast to the places they are asked for."""
    for profile in trial.profiles:
        value = _value(profile)
        advice = "take the real part only where that has a meaning; else mend the formula"
        demand(value.dtype.kind in "fiu", f"{profile.words} is {value.dtype}, not real numbers", advice)
        demand(_broadcasts(value, profile), f"{profile.words} has shape {value.shape}, not {_shape(profile)}", _FROM)


def check_finite_profiles(trial: Trial) -> None:
    """Pressures are finite everywhere, on both sides of every jump."""
    for profile in trial.profiles:
        value = _value(profile)
        if value.dtype.kind in "fc" and _broadcasts(value, profile):
            lost = ~np.isfinite(np.broadcast_to(value, _shape(profile)))
            at = f"{float(profile.places.md[np.argmax(lost)]):g} m md" if np.any(lost) else ""
            found = f"{profile.words} is not a finite number at {at}"
            demand(not np.any(lost), found, "look for a division by zero, a log, a root of what is negative there")


def check_above_vacuum(trial: Trial) -> None:
    """No pressure is below vacuum: pressures are gauge [Pa], and columns that would pull stand lower or empty."""
    for profile in trial.profiles:
        value = _value(profile)
        if profile.what != "temperature" and value.dtype.kind == "f" and np.all(np.isfinite(value)):
            found = f"{profile.words} falls to {float(np.min(value, initial=0.0)) / 1e6:.3f} MPa"
            advice = f"vacuum is {-ATMOSPHERE / 1e6:.3f} MPa gauge; let the level fall, or raise cl.CannotEvaluate"
            demand(np.all(value >= -ATMOSPHERE), found, advice)


def check_sane_pressures(trial: Trial) -> None:
    """No pressure is above 500 MPa, which shows a unit taken for another."""
    for profile in trial.profiles:
        value = _value(profile)
        if profile.what != "temperature" and value.dtype.kind == "f":
            found = f"{profile.words} reaches {float(np.max(value, initial=0.0)) / 1e6:.3g} MPa"
            demand(not np.any(value > 500e6), found, "everything inside is SI: Pa, m, kg/m3; convert nothing yourself")


def check_temperatures(trial: Trial) -> None:
    """Temperatures are absolute [K], above zero, and below 2000 K."""
    for profile in trial.profiles:
        value = _value(profile)
        if profile.what == "temperature" and value.dtype.kind == "f":
            sane = bool(np.all((value > 150.0) & (value < 2000.0)))
            least = float(np.min(value, initial=np.inf))
            found = f"{profile.words} is {least:g} at its least"
            demand(
                sane, found, "give absolute temperature in kelvin; a parameter cl.TemperatureName gives a table of it"
            )


def check_breaks(trial: Trial) -> None:
    """Breaks (true vertical) and jumps (measured) are finite depths of a well, no matter of which string."""
    for call, load in trial.loads:
        for step in load.steps:
            for state in step.states.values():
                for side in (state.inside, state.outside):
                    for what in ("breaks", "jumps"):
                        depths = _depths(getattr(side, what)())
                        sane = bool(np.all(np.isfinite(depths) & (np.abs(depths) <= DEEPEST)))
                        found = f"{call.words}: {what} of step {step.name!r} are {depths[:4]} m"
                        demand(sane, found, f"return depths in metres, up to {DEEPEST:g}")


def check_origin(trial: Trial) -> None:
    """Every pressure says in words where it comes from, in both systems of units."""
    for call, load in trial.loads:
        for step in load.steps:
            for name, state in step.states.items():
                for side in (state.inside, state.outside):
                    where = f"{call.words}: origin() in step {step.name!r} of {name!r}"
                    _readable(list(side.origin()), where, needed=True)


def check_remarks(trial: Trial) -> None:
    """Remarks can be shown in both systems of units, without NaN or infinity."""
    for call, load in trial.loads:
        _readable(load.remarks, f"{call.words}: remarks", needed=False)


def _readable(remarks: Iterable[Any], where: str, *, needed: bool) -> None:
    remarks = list(remarks)
    advice = "return a tuple of cl.Remark('level at {level}', {'level': (value, LEVEL)})"
    demand(remarks or not needed, f"{where} says nothing", advice)
    for remark in remarks:
        for system in SYSTEMS:
            try:
                text = remark.text(system)
            except Exception as error:  # a plugin may fail in any way: that is what is judged
                demand(False, f"{where}: {remark!r} cannot be shown in {system} units: {error!r}", advice)
            demand(text.strip(), f"{where}: a remark is empty", advice)
        if isinstance(remark, Remark):
            lost = [name for name, (value, _) in remark.values.items() if not np.all(np.isfinite(value))]
            demand(not lost, f"{where}: {', '.join(lost)} in {remark.template!r} is not a finite number", advice)


def _value(profile: Profile) -> Any:
    if profile.error is not None:
        found = f"{profile.words} raised {type(profile.error).__name__}: {profile.error}"
        demand(False, found, "it must answer for every depth of the string; ask for missing input before, in the case")
    return np.asarray(profile.value)


def _depths(found: Iterable[Any]) -> Any:
    return np.concatenate([np.ravel(np.asarray(depth, dtype=np.float64)) for depth in found] or [np.empty(0)])


def _shape(profile: Profile) -> tuple[int, ...]:
    return profile.places.md.shape


def _broadcasts(value: Any, profile: Profile) -> bool:
    try:
        return np.broadcast_shapes(value.shape, _shape(profile))[-1:] == _shape(profile)[-1:]
    except ValueError:
        return False
