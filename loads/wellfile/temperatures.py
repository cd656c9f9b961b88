"""Temperatures of load cases that follow from a flow along the well, made into tables."""

from __future__ import annotations

import math

import numpy as np

from ..arrays import Array, Floats
from ..heat.flowing import circulation_temperature, flowing_temperature
from ..heat.resistance import Flow, Geotherm, formation_resistance, wall_resistance
from ..path import WellPath
from ..stations import points_along
from ..well import Table
from . import schema
from .findings import Findings

Where = tuple[str | int, ...]


def flowing_table(
    given: schema.FlowTable,
    where: Where,
    path: WellPath,
    ground: Table | None,
    wellhead: tuple[float, bool],
    findings: Findings,
) -> Table | None:
    """Return the temperature of a flow along the well against true vertical depth.

    Parameters
    ----------
    given : FlowTable
        As in the file.
    where : tuple
        Its place in the file.
    path : WellPath
        Of the well.
    ground : Table or None
        Undisturbed temperature.
    wellhead : tuple of float and bool
        Its depth [m], and whether there is sea.
    findings : Findings
        Takes problems and assumptions.

    Returns
    -------
    Table or None
        None where something is wrong, which has been noted.
    """
    if ground is None:
        findings.fault("needs earth.temperature, the ground it flows through", *where)
        return None
    numbers = [value for value in dict(given).values() if isinstance(value, float)]
    if not all(map(math.isfinite, numbers)) or not np.all(np.isfinite(ground.value)):
        return None  # what could not be read has been told
    top, at_sea = wellhead
    if given.depth <= top:
        told = f"{findings.depth(given.depth)} is not below the wellhead at {findings.depth(top)}"
        findings.fault(f"{told}; need the measured depth from or to which it flows", *where, "depth")
        return None
    if given.flow == "circulation":
        if at_sea:
            message = "'circulation' is worked out for a well on land only; give depth and temperature"
            findings.fault(message, *where, "flow")
            return None
        for key in ("pipe_heat_transfer", "pipe_diameter"):
            if getattr(given, key) is None:
                findings.fault("missing; circulation needs the drill string", *where, key)
                return None
    name = str(where[-1])
    even = ", ground and hole even between wellhead and depth" if given.flow == "circulation" else ""
    told = f"flow {given.flow!r}: a closed form for liquid, formulas from memory{even}"
    findings.assume(told, of=f"temperatures.{name}")
    try:
        return (
            _circulating(given, path, ground, top)
            if given.flow == "circulation"
            else _flowing(given, path, ground, top)
        )
    except ValueError as error:
        findings.fault(str(error), *where)
        return None


def _flowing(given: schema.FlowTable, path: WellPath, ground: Table, top: float) -> Table:
    tvd = _rows(given, path, ground, top)
    found = flowing_temperature(
        tvd,
        path=path,
        ground=ground,
        flow=_flow(given),
        resistance=_to_ground(given),
        inlet_md=given.depth if given.flow == "production" else top,
        inlet_temperature=given.inlet_temperature,
    )
    return Table(tvd=tvd, value=np.asarray(found))


def _circulating(given: schema.FlowTable, path: WellPath, ground: Table, top: float) -> Table:
    """Return the temperature of the annulus; hole and ground are taken as even between wellhead and depth."""
    assert given.pipe_heat_transfer is not None
    assert given.pipe_diameter is not None
    tvd = _rows(given, path, ground, top)
    head, bottom = float(tvd[0]), float(path.tvd(given.depth))
    gradient = float(ground(bottom) - ground(head)) / (bottom - head)
    _, annulus = circulation_temperature(
        tvd,
        flow=_flow(given),
        pipe_resistance=wall_resistance(given.pipe_heat_transfer, 0.5 * given.pipe_diameter),
        ground_resistance=_to_ground(given),
        geotherm=Geotherm(surface_tvd=head, surface_temperature=float(ground(head)), gradient=gradient),
        top_tvd=head,
        bottom_tvd=bottom,
        inlet_temperature=given.inlet_temperature,
        inclination=math.acos(min(1.0, (bottom - head) / (given.depth - top))),
    )
    return Table(tvd=tvd, value=np.asarray(annulus))


def _rows(given: schema.FlowTable, path: WellPath, ground: Table, top: float) -> Floats:
    """Return the depths of the table [m tvd]: close together, and where the ground's table turns."""
    points = points_along(top, given.depth, [path.stations])
    tvd = np.unique(path.tvd(points))
    turns = ground.tvd[(ground.tvd > tvd[0]) & (ground.tvd < tvd[-1])]
    return np.unique(np.concatenate([tvd, turns]))


def _flow(given: schema.FlowTable) -> Flow:
    return Flow(mass_rate=given.rate, specific_heat=given.specific_heat)


def _to_ground(given: schema.FlowTable) -> Array:
    radius = 0.5 * given.hole_diameter
    rock = formation_resistance(
        conductivity=given.conductivity, diffusivity=given.diffusivity, hole_radius=radius, time=given.time
    )
    return rock if given.heat_transfer is None else rock + wall_resistance(given.heat_transfer, radius)
