"""What stands inside and outside a string at the known moments of its life: as run, as cemented.

Each fluid has its own top: mud stands at the drill floor, sea water at sea level. Without a riser the hole is open
to the sea at the sea floor, so the sea stands on whatever fills it.
"""

from __future__ import annotations

from .columns import Column, column
from .errors import MissingInput
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

    The fluid it was run in fills what slurry does not.
    """
    outside = outside_as_run(well, string)
    for i, cement in enumerate(string.cement):
        outside = outside.over(cement.slurry, contact=float(well.path.tvd(cement.top)))
        below = string.cement[i + 1].top if i + 1 < len(string.cement) else string.shoe
        if cement.bottom < below:
            outside = outside.over(string.run_in, contact=float(well.path.tvd(cement.bottom)))
    return outside


def inside_as_cemented(well: Well, string: String) -> Column:
    """Return the displacement fluid, standing in string and landing string up to its own top."""
    return column(string.displaced_with, top=own_top(well, string.displaced_with))


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
    )
