"""One string in one state: pressures, forces and checks at every place. Knows no load case."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

import numpy as np

from .arrays import Array, ArrayLike, Floats
from .axial.confinement import radial_clearance
from .axial.contact import Course, course
from .axial.drag import drag_force
from .axial.hanging import Axial, Inputs, hanging_force
from .axial.held import Hold, held_force
from .axial.lateral import Lateral, hydrostatic_gradients, lateral
from .body import Body, body_along
from .constants import ATMOSPHERE, STEEL_DENSITY
from .errors import CannotEvaluate, MissingInput
from .pressure.columns import Pressure, Temperature
from .situations import cemented
from .state import Friction, Overpull, State, SuddenStop
from .stations import Places, places, points_along
from .strength.check import Check, Loading, Tube
from .strength.model import ChosenModel
from .strength.triaxial import axial_yield_bounds
from .tubes import tube_along
from .well import String, Table, Well

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
    lateral : Lateral
        The string across its axis.
    swing : ndarray, (..., n)
        0 where it is straight, up to 1 where it snakes, 1 where it is a helix; all 0 if buckling is left out.
    modulus : float
        Of elasticity [Pa].
    bending : ndarray, (..., n)
        Bending stress at the outer fibre, of the path and of buckling together [Pa].
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
    lateral: Lateral
    swing: Array
    modulus: float
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


def evaluate(
    well: Well,
    string: String,
    state: State,
    models: Mapping[str, ChosenModel],
    *,
    before: Evaluation | None = None,
    steps: Sequence[State] | None = None,
    reference: State | None = None,
) -> Evaluation:
    """Return pressures, forces and checks of *string* in *state*.

    Parameters
    ----------
    well, string
        The string must be one of the well's.
    state : State
        What a load case says.
    models : mapping
        Strength model by mode.
    before : Evaluation, optional
        Of the step before, whose yielding stays in cemented pipe.
    steps : sequence of State, optional
        The string's states in all steps of a load that follows yielding, so that they share their places; by default
        force stays elastic.
    reference : State, optional
        The string when its cement set, where it is known already.

    Returns
    -------
    Evaluation

    Raises
    ------
    Unphysical
        When a pressure is not finite, or below vacuum.
    """
    raised_by = 0.0 if state.shoe_at is None else string.shoe - state.shoe_at
    reference = reference or cemented(well, string)
    where = places(_points(well, string, raised_by, (*(steps or (state,)), reference)), well.path)
    body = body_along(string, where, raised_by)
    now = _inputs(well, where, state)
    then = _inputs(well, where, reference) if state.held else None
    if then is not None and then.temperature is None and state.temperature is not None:
        raise MissingInput("earth.temperature, against which the temperature of the case is a change")
    tube = tube_along(string, well.steel, where, body, now.temperature, worn=state.held)
    setting = _Setting(well, string, where, body)
    across = setting.lateral(now, state)
    if then is not None:
        yields = _yield_forces(tube, now) if steps is not None else None
        axial = setting.held(state, now, across, reference, then, yields, before)
    else:
        axial = setting.hanging(state, now, across)
    swing = across.swing(axial.effective) if well.buckling else np.zeros_like(axial.effective)
    curvature = across.course.curvature + well.tortuosity
    if np.any(swing):
        curvature = curvature + across.buckled_curvature(axial.effective)
    bending = 0.5 * well.steel.modulus * body.outside_diameter * curvature
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
        lateral=across,
        swing=swing,
        modulus=well.steel.modulus,
        bending=bending,
        checks={mode: _tried(model.check, tube, loading) for mode, model in models.items()},
        connections=_connections(string, models, tube, loading, curvature),
    )


def _yield_forces(tube: Tube, now: Inputs) -> tuple[Array, Array]:
    """Return the forces between which the pipe is elastic under its pressures [N]: those at which the bore yields."""
    bounds = axial_yield_bounds(tube.left_diameter, tube.left_wall, tube.yield_strength, now.inside, now.outside)
    return bounds[0] * tube.steel_area, bounds[1] * tube.steel_area


class _Setting:
    """A string where it is: what is needed to work out its force in any state."""

    def __init__(self, well: Well, string: String, where: Places, body: Body) -> None:
        self.well, self.string, self.where, self.body = well, string, where, body
        self.course: Course = course(well.path, where)
        self.clearance = radial_clearance(well, string, where, body)

    def lateral(self, now: Inputs, state: State) -> Lateral:
        """Return the string across its axis; set cement leaves it no room."""
        clearance = self.clearance
        if state.held:
            for cement in self.string.cement:
                clearance = np.where(self.where.within(cement.top, cement.bottom), 0.0, clearance)
        gradients = hydrostatic_gradients(self.where, now, (state.inside, state.outside))
        return lateral(self.where, self.body, self.well.steel.modulus, clearance, self.course, gradients)

    def hanging(self, state: State, now: Inputs, across: Lateral) -> Axial:
        """Return the force while the string hangs free."""
        event, drag = state.event, None
        if state.friction is not None:
            friction = state.friction
            coefficient = self._coefficient(friction)
            rough = replace(across, course=across.course.with_more(self.well.tortuosity))

            def drag(free: Array) -> Array:
                return drag_force(free, self.where, rough, coefficient, friction.moving)

        shock: Array | float = 0.0
        if isinstance(event, SuddenStop):
            impedance = float(np.sqrt(self.well.steel.modulus * STEEL_DENSITY))
            shock = event.speed * (2.0 if event.reflected else 1.0) * impedance * self.body.steel_area
        pull = _pull(event, self.where) if isinstance(event, Overpull) else 0.0
        return hanging_force(self.where, self.body, now, pull, plug_at=state.plug_at, drag=drag, shock=shock)

    def held(
        self,
        state: State,
        now: Inputs,
        across: Lateral,
        reference: State,
        then: Inputs,
        yields: tuple[Array, Array] | None,
        before: Evaluation | None,
    ) -> Axial:
        """Return the force after the cement has set."""
        across_then = self.lateral(then, reference)
        hold = Hold(
            landing=self.string.landing,
            locked=self.string.locked,
            wellhead_load=state.wellhead_load,
            lateral=across if self.well.buckling else None,
            lateral_at_set=across_then if self.well.buckling else None,
            yield_forces=yields,
            strained=None if before is None else before.axial.strained,
        )
        return held_force(
            self.where,
            self.body,
            self.well.steel,
            [(cement.top, cement.bottom) for cement in self.string.cement],
            self.hanging(reference, then, across_then),
            then,
            now,
            open_end=state.drilled_out,
            hold=hold,
        )

    def _coefficient(self, friction: Friction) -> Array:
        """Return the coefficient of friction at each place: inside earlier strings, or in open hole."""
        cased = np.zeros(self.where.md.shape, dtype=bool)
        for host in self.well.strings:
            if host.name == self.string.name:
                break
            cased |= self.where.within(host.top, host.shoe)
        return np.where(cased, friction.cased, friction.open_hole)


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


def _points(well: Well, string: String, raised_by: float, states: Sequence[State]) -> Floats:
    """Return the measured depths between which nothing changes its slope."""
    top, bottom = max(0.0, string.top - raised_by), string.shoe - raised_by
    marks: list[ArrayLike] = [well.path.stations]
    marks.extend(section.bottom - raised_by for section in string.sections)
    marks.extend(edge for cement in string.cement for edge in (cement.top, cement.bottom))
    marks.extend(edge for host in well.strings for s in host.sections for edge in (s.top, s.bottom))  # its gap changes
    marks.extend(section.wall_loss.md for section in string.sections if section.wall_loss is not None)
    breaks: list[ArrayLike] = [table.tvd for table in (well.earth.temperature, string.set_temperature) if table]
    if well.sea_floor is not None:
        breaks.append([well.sea_floor])
    for state in states:
        if isinstance(state.temperature, Table):
            breaks.append(state.temperature.tvd)
        for pressure in (state.inside, state.outside):
            marks.extend(pressure.jumps())
            breaks.extend(pressure.breaks())
        if isinstance(state.event, Overpull) and state.event.stuck_at is not None:
            marks.append(state.event.stuck_at)
        if state.plug_at is not None:
            marks.append(state.plug_at)
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


def _pull(event: Overpull, where: Places) -> Array:
    stuck_at = float(np.max(where.md)) if event.stuck_at is None else event.stuck_at
    return np.where(where.middle <= stuck_at, event.force, 0.0)
