"""What stands inside and outside a string at the known moments of its life: as run, as cemented.

Each fluid has its own top: mud stands at the drill floor, sea water at sea level. Without a riser the hole is open
to the sea at the sea floor, so the sea stands on whatever fills it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .errors import CannotEvaluate, MissingInput
from .pressure.columns import Column, column
from .state import State
from .well import Fluid, String, Well


def own_top(well: Well, fluid: Fluid) -> float:
    """Return the depth at which a column of *fluid* begins [m tvd]: sea level for sea water, else the drill floor."""
    offshore_sea_water = well.water_depth is not None and fluid == well.sea_water
    return well.air_gap if offshore_sea_water else 0.0


def open_column(well: Well, fluid: Fluid, *, riser: bool) -> Column:
    """Return the column of *fluid* that fills a hole up to where it flows out.

    Parameters
    ----------
    well : Well
        Gives the sea, if any.
    fluid : Fluid
        What fills the hole.
    riser : bool
        Whether the hole is connected to the drill floor.

    Returns
    -------
    Column
        From the fluid's own top; without a riser, sea water down to the sea floor and *fluid* below it.
    """
    if riser or fluid == well.sea_water:
        return column(fluid, top=own_top(well, fluid))
    return sea_column(well).over(fluid, contact=_sea_floor(well))


def sea_column(well: Well) -> Column:
    """Return the sea: sea water from sea level down.

    Raises
    ------
    MissingInput
        On land, or where the file names no sea water.
    """
    sea_water = well.sea_water
    if well.water_depth is None or sea_water is None:
        raise MissingInput("well.water_depth and fluids.'sea water': there is no sea here")
    return column(sea_water, top=well.air_gap)


def ambient_at_wellhead(well: Well) -> float:
    """Return the pressure around the wellhead: the sea's on the sea floor, zero (gauge) elsewhere [Pa]."""
    return float(sea_column(well).pressure(well.wellhead_depth)) if well.subsea else 0.0


def _sea_floor(well: Well) -> float:
    depth = well.sea_floor
    if depth is None:
        raise MissingInput("well.water_depth: there is no sea here")
    return depth


def outside_as_run(well: Well, string: String) -> Column:
    """Return what stood in the hole while the string was run."""
    return open_column(well, string.run_in, riser=string.riser)


def outside_as_cemented(well: Well, string: String) -> Column:
    """Return what stands outside when the last slurry is in place and still fluid.

    Slurries and spacers; the fluid it was run in fills what they do not.
    """
    stretches = [(cement.top, cement.bottom, cement.slurry) for cement in string.cement]
    stretches += [(spacer.top, spacer.bottom, spacer.fluid) for spacer in string.spacers]
    return _stacked(well, outside_as_run(well, string), stretches, string.run_in, string.shoe)


def inside_as_cemented(well: Well, string: String) -> Column:
    """Return what fills the string then, up to the top of the displacement fluid in the landing string.

    Displacement fluid and what follows or leads it; slurry below the float collar.
    """
    fluid = string.displaced_with
    stretches = [(content.top, content.bottom, content.fluid) for content in string.contents]
    if string.float_collar is not None and string.cement:
        stretches.append((string.float_collar, string.shoe, string.cement[-1].slurry))
    return _stacked(well, column(fluid, top=own_top(well, fluid)), stretches, fluid, string.shoe)


_CLIMB = 5.0  # up to which fluids are stacked by their depth all the same; 0.05 MPa at most [m]


def _climb(well: Well, top: float, bottom: float) -> float:
    """Return by how much the path climbs again between two measured depths [m]."""
    passed = well.path.stations[(well.path.stations > top) & (well.path.stations < bottom)]
    tvd = well.path.tvd(np.array([top, *passed, bottom]))
    return float(np.max(np.maximum.accumulate(tvd) - tvd))


def _stacked(
    well: Well, first: Column, stretches: Sequence[tuple[float, float, Fluid]], between: Fluid, shoe: float
) -> Column:
    """Return *first* with the fluids of *stretches* in it (top, bottom [m md], fluid), and *between* after each."""
    found = first
    ordered = sorted(stretches, key=lambda stretch: stretch[0])
    if ordered and _climb(well, ordered[0][0], shoe) > _CLIMB:
        raise CannotEvaluate(f"the hole climbs by more than {_CLIMB:g} m: a stack of fluids in it is not worked out")
    for i, (top, bottom, fluid) in enumerate(ordered):
        contact = float(well.path.tvd(top))
        begins = i == 0 and contact < float(np.max(first.layers[0].top))  # slurry that stands above the sea
        found = column(fluid, top=contact) if begins else found.over(fluid, contact=contact)
        below = ordered[i + 1][0] if i + 1 < len(ordered) else shoe
        if bottom < below - 1e-6:
            found = found.over(between, contact=float(well.path.tvd(bottom)))
    return found


def running(well: Well, string: String, *, shoe_at: float) -> State:
    """Return the string on its way down, filled as the hole is, its shoe at a measured depth [m]."""
    hole = outside_as_run(well, string)
    return State(inside=hole, outside=hole, held=False, shoe_at=shoe_at)


def cemented(well: Well, string: String) -> State:
    """Return the end of cementing: slurry in place, pump pressure bled off, floats hold, the string hangs free.

    This is the state the cement sets in, and so the reference of every later change of force.
    """
    return State(
        inside=inside_as_cemented(well, string),
        outside=outside_as_cemented(well, string),
        temperature=string.set_temperature,
        held=False,
        friction=string.friction_at_set,
    )
