"""What stands behind a pipe after its cement has set, composed of three intervals.

Above the cement, inside the string before; along the cement; and along open hole without cement. Each holds the fluid
as run, a fluid of the well, water, the pore pressure, the overburden, or nothing. Between two of them the pressure may
jump. A fluid is carried from the pressure at the top of its interval; the first begins at the wellhead.

References
----------
PetroWiki, *External pressure loads on casing*; that set cement transmits the pressure of the water in its pores, and
that solids of an old mud settle: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from .. import situations
from ..errors import MissingInput
from ..well import Fluid, String, Well
from .columns import Empty, Formation, Intervals, Pressure, column_through

Word = Literal["as run", "water", "pore pressure", "overburden", "nothing"]
Filling: TypeAlias = Word | Fluid
WORDS: Final[tuple[Word, ...]] = ("as run", "water", "pore pressure", "overburden", "nothing")

FRESH_WATER: Final = Fluid(name="water", density=1000.0)
"""What is left of a mud when its solids have settled; also the water in the pores of cement. Handbook value."""
NO_SOLIDS: Final = 1030.0
"""A fluid no denser than this [kg/m3] is taken as water, with no solids that could settle."""


@dataclass(frozen=True, kw_only=True)
class Behind:
    """What stands in each of the three intervals behind the pipe.

    Attributes
    ----------
    above_cement, cement, open_hole : str or Fluid
        One of `WORDS`, or a fluid.
    reason : str
        Why, for the reader.
    """

    above_cement: Filling
    cement: Filling
    open_hole: Filling
    reason: str = ""

    def text(self) -> str:
        """Return it in words."""
        parts = [("above the cement", self.above_cement), ("along it", self.cement), ("in open hole", self.open_hole)]
        told = ", ".join(f"{where} {what if isinstance(what, str) else what.name}" for where, what in parts)
        return f"{told} ({self.reason})" if self.reason else told


PRESETS: Final = {
    "as run": Behind(
        above_cement="as run", cement="as run", open_hole="as run", reason="heavy: right soon after cementing"
    ),
    "settled mud": Behind(
        above_cement="water",
        cement="water",
        open_hole="pore pressure",
        reason="light: solids of the mud have settled, cement carries the water of its pores",
    ),
    "pore pressure": Behind(
        above_cement="pore pressure",
        cement="pore pressure",
        open_hole="pore pressure",
        reason="each bed presses on the pipe for itself",
    ),
}
"""Whole compositions by name."""


def pressure_behind(well: Well, string: String, behind: Behind) -> Pressure:
    """Return the pressure behind *string* after its cement has set.

    Parameters
    ----------
    well, string
        The string must be one of the well's.
    behind : Behind
        What each interval holds.

    Returns
    -------
    Pressure
        Of one part where all intervals hold the same, else `Intervals`; the string as run where all are as run.

    Raises
    ------
    MissingInput
        When a table of the earth is needed and missing, or does not reach up to the string.
    """
    if {behind.above_cement, behind.cement, behind.open_hole} == {"as run"}:
        return situations.outside_as_run(well, string)
    tops: list[float] = []
    parts: list[Pressure] = []
    fillings: list[Filling] = []
    for top, filling in _intervals(well, string, behind):
        actual = _as_water(string) if filling == "water" else filling
        if fillings and actual == fillings[-1]:
            continue
        tvd = float(well.path.tvd(top))
        known = (tvd, _value(parts[-1], tvd)) if parts else _at_wellhead(well)
        tops.append(top)
        parts.append(_part(well, string, actual, known))
        fillings.append(actual)
    return parts[0] if len(parts) == 1 else Intervals(tops=tuple(tops), parts=tuple(parts))


def _intervals(well: Well, string: String, behind: Behind) -> Iterator[tuple[float, Filling]]:
    """Yield the top of each interval [m md] with what fills it, from the top of the string down."""
    hosts = [host.shoe for host in well.strings[: _number(well, string)] if host.shoe > string.top]
    previous = max(hosts, default=string.top)
    depth = string.top
    for cement in (*string.cement, None):
        end = string.shoe if cement is None else cement.top
        if depth < end and depth < previous:
            yield depth, behind.above_cement
        if max(depth, previous) < end:
            yield max(depth, previous), behind.open_hole
        if cement is not None:
            yield cement.top, behind.cement
            depth = cement.bottom


def _number(well: Well, string: String) -> int:
    return next(number for number, other in enumerate(well.strings) if other.name == string.name)


def _as_water(string: String) -> Filling:
    """Return what water there is behind the string: the fluid it was run in, if that holds no solids."""
    return string.run_in if string.run_in.density <= NO_SOLIDS else FRESH_WATER


def _at_wellhead(well: Well) -> tuple[float, float]:
    """Return where a column behind the string begins: at the wellhead, under what stands around it."""
    return float(well.path.tvd(well.wellhead_depth)), situations.ambient_at_wellhead(well)


def _value(pressure: Pressure, tvd: float) -> float:
    if isinstance(pressure, Formation):
        return float(pressure.table(tvd))
    if isinstance(pressure, Empty):
        return 0.0
    if isinstance(pressure, Intervals):  # the pore pressure under the sea
        return _value(pressure.parts[-1], tvd)
    return float(pressure.pressure(tvd))  # type: ignore[attr-defined]


def _part(well: Well, string: String, filling: Filling, known: tuple[float, float]) -> Pressure:
    depth, pressure = known
    if isinstance(filling, Fluid):
        return column_through(filling, depth=depth, pressure=pressure, top=depth)
    if filling == "as run":
        return situations.outside_as_run(well, string)
    if filling == "nothing":
        return Empty()
    if filling == "overburden":
        return _overburden(well)
    return _pore_pressure(well, string)


def _pore_pressure(well: Well, string: String) -> Pressure:
    """Return the pore pressure in the ground, the sea above the sea floor, and nothing in the air."""
    table = well.earth.pore_pressure
    if table is None:
        raise MissingInput("earth.pore_pressure")
    ground, top = _ground(well), float(well.path.tvd(string.top))
    if table.tvd[0] > max(ground, top) + 1e-6:
        raise MissingInput(f"earth.pore_pressure from {max(ground, top):g} m on (first row: {table.tvd[0]:g} m)")
    rock = Formation(table=table, name="pore pressure")
    if well.sea_floor is None or top >= ground - 1e-6:
        return rock
    floor = float(well.path.md_at_tvd(ground))
    return Intervals(tops=(0.0, floor), parts=(situations.sea_column(well), rock))


def _ground(well: Well) -> float:
    return well.air_gap if well.sea_floor is None else well.sea_floor


def _overburden(well: Well) -> Formation:
    if well.earth.overburden is None:
        raise MissingInput("earth.overburden")
    return Formation(table=well.earth.overburden, name="overburden")
