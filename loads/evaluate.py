"""One string in one state: pressures, forces and checks at every place. Knows no load case."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from .arrays import Array, ArrayLike, Floats
from .axial import Axial, Inputs, hanging_force, held_force
from .body import Body, body_along
from .columns import Pressure, Temperature
from .constants import ATMOSPHERE
from .errors import CannotEvaluate
from .situations import cemented
from .state import State
from .stations import Places, places, points_along
from .strength.check import Check, Loading, Tube
from .strength.model import ChosenModel
from .tubes import tube_along
from .well import String, Well

Outcome: TypeAlias = Check | str | None
"""A check; why there is none; or None where there is no rating."""


class Unphysical(ValueError):
    """A state that cannot be: a pressure that is not a number, or below vacuum."""


@dataclass(frozen=True, kw_only=True)
class Evaluation:
    """Everything worked out for one string in one state.

    Attributes
    ----------
    string : String
        Which.
    state : State
        As the load case gave it.
    raised_by : float
        How much higher than its final depth the string hangs [m].
    places, body
        Where, and what pipe is there.
    now : Inputs
        Pressures and temperature.
    then : Inputs or None
        The same when the cement set; None while the string hangs free.
    axial : Axial
        Force and its terms.
    bending : ndarray, (..., n)
        Bending stress of the path at the outer fibre [Pa].
    checks : dict of str to Check or str
        Of the body, by mode; text where the model could not say, and why.
    connections : dict of (int, str) to Check, str or None
        By index of the section and mode; None where the connection has no rating.
    """

    string: String
    state: State
    raised_by: float
    places: Places
    body: Body
    now: Inputs
    then: Inputs | None
    axial: Axial
    bending: Array
    checks: Mapping[str, Outcome]
    connections: Mapping[tuple[int, str], Outcome]

    def section_at(self, md: float) -> int:
        """Return the number of the section at a measured depth [m], counted from one.

        Raises
        ------
        KeyError
            If the string is not there in this step.
        """
        top, bottom = float(np.min(self.places.md)), float(np.max(self.places.md))
        if not top - 1e-6 <= md <= bottom + 1e-6:
            raise KeyError(f"{md:g} m is not along the string in this step, {top:g} to {bottom:g} m")
        return int(self.body.section[np.argmin(np.abs(self.places.md - md))]) + 1


def evaluate(well: Well, string: String, state: State, models: Mapping[str, ChosenModel]) -> Evaluation:
    """Return pressures, forces and checks of *string* in *state*.

    Parameters
    ----------
    well, string
        The string must be one of the well's.
    state : State
        What a load case says.
    models : mapping
        Strength model by mode.

    Returns
    -------
    Evaluation

    Raises
    ------
    Unphysical
        When a pressure is not finite, or below vacuum.
    """
    raised_by = 0.0 if state.shoe_at is None else string.shoe - state.shoe_at
    reference = cemented(well, string)
    where = places(_points(well, string, raised_by, (state, reference)), well.path)
    body = body_along(string, where, raised_by)
    now = _inputs(well, where, state)
    then = _inputs(well, where, reference) if state.held else None
    if then is not None:
        at_set = hanging_force(where, body, then)
        intervals = [(cement.top, cement.bottom) for cement in string.cement]
        axial = held_force(where, body, well.steel, intervals, at_set, then, now, open_end=state.drilled_out)
    else:
        axial = hanging_force(where, body, now, _pull(state, where))
    curvature = well.path.curvature(where.middle)
    bending = 0.5 * well.steel.modulus * body.outside_diameter * curvature
    tube = tube_along(string, well.steel, where, body, now.temperature, worn=state.held)
    loading = Loading(
        internal_pressure=now.inside,
        external_pressure=now.outside,
        axial_force=axial.true,
        bending_stress=bending,
        triaxial_wall=string.triaxial_wall,
    )
    return Evaluation(
        string=string,
        state=state,
        raised_by=raised_by,
        places=where,
        body=body,
        now=now,
        then=then,
        axial=axial,
        bending=bending,
        checks={mode: _tried(model.check, tube, loading) for mode, model in models.items()},
        connections=_connections(string, models, tube, loading, curvature),
    )


def _connections(
    string: String, modes: Iterable[str], tube: Tube, loading: Loading, curvature: Array
) -> dict[tuple[int, str], Outcome]:
    """Return what each section's connection bears, by index of the section and mode."""
    return {
        (index, mode): _tried(connection.check, mode, tube, loading, curvature)
        for index, section in enumerate(string.sections)
        if (connection := section.connection) is not None
        for mode in modes
    }


def _tried(check: Callable[..., Check | None], *arguments: Any) -> Outcome:
    """Return the check, or why there is none: a stranger's model may fail in any way, which harms only its own rows."""
    try:
        return check(*arguments)
    except CannotEvaluate as error:
        return str(error)
    except Exception as error:
        return f"strength model: {type(error).__name__}: {error}"


def _points(well: Well, string: String, raised_by: float, states: tuple[State, ...]) -> Floats:
    """Return the measured depths between which nothing changes its slope."""
    top, bottom = max(0.0, string.top - raised_by), string.shoe - raised_by
    marks: list[ArrayLike] = [well.path.stations]
    marks.extend(section.bottom - raised_by for section in string.sections)
    marks.extend(edge for cement in string.cement for edge in (cement.top, cement.bottom))
    marks.extend(section.wall_loss.md for section in string.sections if section.wall_loss is not None)
    breaks: list[ArrayLike] = [table.tvd for table in (well.earth.temperature, string.set_temperature) if table]
    for state in states:
        for pressure in (state.inside, state.outside):
            marks.extend(pressure.jumps())
            breaks.extend(pressure.breaks())
        if state.event is not None and state.event.stuck_at is not None:
            marks.append(state.event.stuck_at)
    stations = well.path.stations
    reached = well.path.tvd(np.array([top, bottom, *stations[(stations > top) & (stations < bottom)]]))
    shallowest, deepest = float(reached.min()), float(reached.max())  # a path may climb again
    for tvd in breaks:
        depth = np.asarray(tvd, dtype=np.float64)
        if depth.ndim < 2:
            depth = depth[(depth > shallowest) & (depth < deepest)]
        if depth.size:
            marks.append(well.path.md_at_tvd(np.clip(depth, shallowest, deepest)))
    return points_along(top, bottom, marks)


def _inputs(well: Well, where: Places, state: State) -> Inputs:
    temperature = state.temperature or well.earth.temperature
    return Inputs(
        inside=_checked(state.inside, where, "inside"),
        outside=_checked(state.outside, where, "outside"),
        temperature=None if temperature is None else _warm(temperature, where),
    )


def _checked(pressure: Pressure, where: Places, side: str) -> Array:
    raw = np.asarray(pressure.at(where))
    if raw.dtype.kind not in "fiu":
        raise Unphysical(f"the {side} pressure is {raw.dtype}, not real numbers")
    value = raw.astype(np.float64)
    try:
        value = np.broadcast_to(value, np.broadcast_shapes(value.shape, where.md.shape))
    except ValueError:
        raise Unphysical(f"the {side} pressure has shape {value.shape}, the places {where.md.shape}") from None
    if not np.all(np.isfinite(value)):
        raise Unphysical(f"the {side} pressure is not a number everywhere")
    if np.any(value < -ATMOSPHERE):
        raise Unphysical(f"the {side} pressure falls to {float(value.min()) / 1e6:.3f} MPa, below vacuum")
    return value


def _warm(temperature: Temperature, where: Places) -> Array:
    value = np.asarray(temperature(where.tvd), dtype=np.float64)
    if not np.all(np.isfinite(value)) or np.any(value <= 0.0):
        raise Unphysical("the temperature is not above absolute zero everywhere")
    return value


def _pull(state: State, where: Places) -> Array | float:
    if state.event is None:
        return 0.0
    stuck_at = float(np.max(where.md)) if state.event.stuck_at is None else state.event.stuck_at
    return np.where(where.middle <= stuck_at, state.event.force, 0.0)
