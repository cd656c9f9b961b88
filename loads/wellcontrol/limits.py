"""Limits of well control of a well: for each hole drilled below a string, what the hole bears and what the mud holds.

What the well file does not say, the drill string for example, is asked for by name and never guessed: such a limit
is `not-evaluated`, with what it needs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import numpy as np

from ..arrays import Array, Floats
from ..constants import GRAVITY
from ..errors import CannotEvaluate, MissingInput, key_path
from ..remark import Remark
from ..scene import Scene
from ..units import DENSITY, DIAMETER, LENGTH, PRESSURE, VOLUME, Dimension
from ..well import Fluid, NextHole, Well
from .hydrostatics import allowable_surface_pressure, density_without_riser, least, shut_in_pressure
from .kick import Annulus, annular_capacity, kick_tolerance

if TYPE_CHECKING:
    import pandas as pd

Status = Literal["found", "exceeded", "unlimited", "not-evaluated", "does-not-apply"]
"""``exceeded``: the planned mud alone, or a kick without any influx, is beyond it. ``unlimited``: no value is."""

ASSUMPTIONS = (
    "all at rest: no friction, no surge; fracture is searched over the whole open hole, not only at the shoe",
    "allowable pressures are those of the open hole; ratings of casing, wellhead and preventer are not in them",
    "the hole and the line to the drill floor are full of the planned mud",
    "kick: from the bottom of the next hole, its intensity a density over the planned mud counted from the drill floor",
    "influx: one bubble of ideal gas that stays as warm and does not dissolve, its volume as at the bottom",
    "the hole is in gauge, drill collars on its bottom",
)

_NEAR = 0.1  # by which a table may miss the bottom of a hole, for the rounding of a survey [m]
_STATIONS = 400  # along the open hole, for its volume


@dataclass(frozen=True, kw_only=True)
class DrillString:
    """What is in the hole: diameters of pipe and collars, and the collars' length along the hole [m]."""

    pipe: float
    collars: float
    collar_length: float

    def __post_init__(self) -> None:
        for name in ("pipe", "collars"):
            if not 0.0 < getattr(self, name) < DIAMETER.most:
                raise ValueError(f"{name} must be a diameter above 0 m, got {getattr(self, name)}")
        if not 0.0 <= self.collar_length < np.inf:
            raise ValueError(f"collar_length must be 0 m or more, got {self.collar_length}")


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One limit of one hole.

    Attributes
    ----------
    name : str
        What it is, for a table.
    dimension : Dimension
        Of the value.
    status : str
        See `Status`.
    value : float or None
        In SI; None where there is none.
    tvd, md : float or None
        Where it binds [m]; the measured depth is None where the path passes that depth above the open hole too.
    words : Remark
        What breaks it and where, or why it has no value.
    """

    name: str
    dimension: Dimension
    status: Status
    value: float | None = None
    tvd: float | None = None
    md: float | None = None
    words: Remark


@dataclass(frozen=True, kw_only=True)
class HoleLimits:
    """Limits of the hole drilled below a string; iterates over them.

    Attributes
    ----------
    well, string : str
        Names.
    top, bottom : float
        Of the open hole [m md].
    mud : Fluid or None
        Planned.
    riser : bool
        Whether the hole is connected to the drill floor.
    allowable_at_wellhead, allowable_at_drill_floor : Limit
        Pressure at which the weakest exposed depth breaks, the well shut in [Pa].
    kick_tolerance, swab_tolerance : Limit
        Largest influx, as at the bottom, of the intensity asked for, and of none [m3].
    overbalance, fracture_margin : Limit
        Least of mud over pore pressure and of fracture pressure over mud [Pa].
    riser_margin : Limit
        By which the mud must be heavier so that loss of the riser changes nothing at the bottom [kg/m3].
    overbalance_without_riser : Limit
        Least of planned mud under the sea over pore pressure [Pa].
    """

    well: str
    string: str
    top: float
    bottom: float
    mud: Fluid | None
    riser: bool
    allowable_at_wellhead: Limit
    allowable_at_drill_floor: Limit
    kick_tolerance: Limit
    swab_tolerance: Limit
    overbalance: Limit
    fracture_margin: Limit
    riser_margin: Limit
    overbalance_without_riser: Limit

    def __iter__(self) -> Iterator[Limit]:
        return (value for value in vars(self).values() if isinstance(value, Limit))


def limits(
    well: Well,
    *,
    kick_intensity: float | None = None,
    influx_gradient: float | None = None,
    drill_string: DrillString | Mapping[str, DrillString] | None = None,
) -> tuple[HoleLimits, ...]:
    """Return the limits of each hole drilled below a string, in the order of the well.

    Parameters
    ----------
    well : Well
        Its earth, its fluids and each string's next hole are used.
    kick_intensity : float, optional
        Density by which the formation at the bottom is above the planned mud [kg/m3], 0 or more.
    influx_gradient : float, optional
        Of the gas [Pa/m].
    drill_string : DrillString or mapping, optional
        The same in every hole, or by the name of the string it is run through.

    Returns
    -------
    tuple of HoleLimits
        What cannot be worked out is `not-evaluated` and says what it needs.

    Raises
    ------
    ValueError
        If an intensity or gradient is below 0.
    KeyError
        If *drill_string* names a string that the well does not have.
    """
    for name, given in (("kick_intensity", kick_intensity), ("influx_gradient", influx_gradient)):
        if given is not None and not 0.0 <= given < np.inf:
            raise ValueError(f"{name} must be 0 or more, got {given}")
    if isinstance(drill_string, Mapping):
        for name in drill_string:
            well.string(name)
    found = []
    for string in well.strings:
        if string.next_hole is not None:
            inside = drill_string.get(string.name) if isinstance(drill_string, Mapping) else drill_string
            hole = _Hole(Scene(well, string.name), string.next_hole, influx_gradient, inside)
            found.append(hole.limits(kick_intensity))
    return tuple(found)


class _DoesNotApplyError(CannotEvaluate):
    """There is no such limit here."""


class _Found(NamedTuple):
    """A limit worked out: value, where it binds [m tvd], words."""

    value: float | None
    tvd: float
    words: Remark
    status: Status = "found"


@dataclass(frozen=True)
class _Hole:
    """An open hole, and what is known of it."""

    scene: Scene
    hole: NextHole
    influx_gradient: float | None
    drill_string: DrillString | None

    def limits(self, intensity: float | None) -> HoleLimits:
        """Return all limits."""
        scene, tried = self.scene, self._tried
        return HoleLimits(
            well=scene.well.name,
            string=scene.string.name,
            top=scene.string.shoe,
            bottom=self.hole.bottom,
            mud=self.hole.mud,
            riser=self.hole.riser,
            allowable_at_wellhead=tried(
                "allowable pressure at wellhead", PRESSURE, lambda: self._allowable(scene.wellhead_tvd)
            ),
            allowable_at_drill_floor=tried("allowable pressure at drill floor", PRESSURE, lambda: self._allowable(0.0)),
            kick_tolerance=tried("kick tolerance", VOLUME, lambda: self._tolerance(intensity)),
            swab_tolerance=tried("swabbed influx", VOLUME, lambda: self._tolerance(0.0)),
            overbalance=tried("least overbalance", PRESSURE, lambda: self._overbalance(riser=self.hole.riser)),
            fracture_margin=tried("least margin below fracture", PRESSURE, self._fracture_margin),
            riser_margin=tried("riser margin", DENSITY, self._riser_margin),
            overbalance_without_riser=tried("overbalance without riser", PRESSURE, self._overbalance_without_riser),
        )

    def _tried(self, name: str, dimension: Dimension, work: Callable[[], _Found]) -> Limit:
        try:
            value, tvd, words, status = work()
        except CannotEvaluate as reason:
            why: Status = "does-not-apply" if isinstance(reason, _DoesNotApplyError) else "not-evaluated"
            return Limit(name=name, dimension=dimension, status=why, words=Remark("").after(str(reason)))
        md = float(self.scene.path.md_at_tvd(tvd))
        first = md > self.scene.string.shoe - 1e-3  # else the path has been that deep before
        return Limit(
            name=name, dimension=dimension, status=status, value=value, tvd=tvd, md=md if first else None, words=words
        )

    # --- what is known; asking for what is not raises MissingInput ----------------------------------------------------

    @property
    def _mud(self) -> Fluid:
        if self.hole.mud is None:
            raise MissingInput(self._key("mud"))
        return self.hole.mud

    def _key(self, name: str) -> str:
        return key_path("strings", self.scene.string.name, "next_hole", name)

    def _exposed(self, table: Literal["pore_pressure", "fracture"]) -> tuple[Floats, Array]:
        """Return the exposed depths [m tvd] and the table's pressure there [Pa]; the table must reach over all."""
        depths = self.scene.exposed(table)
        last = float(getattr(self.scene.earth, table).tvd[-1])
        if depths[-1] > last + _NEAR:
            raise MissingInput(f"earth.{table} down to {depths[-1]:g} m (last row: {last:g} m)")
        read = self.scene.pore_pressure if table == "pore_pressure" else self.scene.fracture_pressure
        return depths, read(depths)

    def _place(self, tvd: float) -> tuple[str, dict[str, tuple[float, Dimension]]]:
        """Return a place in words, and its depth for them."""
        shoe, bottom = self.scene.shoe_tvd, float(self.scene.tvd(self.hole.bottom))
        at = " (the shoe)" if abs(tvd - shoe) < 1e-6 else " (the bottom)" if abs(tvd - bottom) < 1e-6 else ""
        return f"{{depth}} tvd{at}", {"depth": (tvd, LENGTH)}

    def _must_shut_in(self) -> None:
        if not self.hole.riser:
            raise _DoesNotApplyError("drilled open to the sea: the well cannot be shut in")

    def _must_have_riser(self) -> None:
        if not self.scene.well.subsea:
            raise _DoesNotApplyError("the wellhead is not on the sea floor")
        if not self.hole.riser:
            raise _DoesNotApplyError("drilled without a riser")

    # --- surface pressure and mud window ------------------------------------------------------------------------------

    def _allowable(self, at: float) -> _Found:
        """Return the pressure at a depth *at* [m tvd] of the full, shut-in well that breaks the weakest depth."""
        self._must_shut_in()
        mud = self._mud
        depths, fracture = self._exposed("fracture")
        value, index = allowable_surface_pressure(fracture, mud.gradient * (depths - at))
        alone = bool(np.any(fracture < self.scene.mud_column(mud).pressure(depths)))
        place, values = self._place(float(depths[index]))
        values["fracture"] = (float(fracture[index]), PRESSURE)
        words = Remark(f"{'THE MUD ALONE BREAKS IT: ' if alone else ''}{place} breaks at {{fracture}}", values)
        return _Found(float(value), float(depths[index]), words, "exceeded" if alone else "found")

    def _overbalance(self, *, riser: bool) -> _Found:
        depths, pore = self._exposed("pore_pressure")
        mud = self.scene.mud_column(self._mud, riser=riser).pressure(depths)
        return self._least(depths, mud - pore, ("UNDERBALANCED", "pore pressure", pore), mud)

    def _fracture_margin(self) -> _Found:
        depths, fracture = self._exposed("fracture")
        mud = self.scene.mud_column(self._mud).pressure(depths)
        return self._least(depths, fracture - mud, ("MUD IS LOST", "fracture pressure", fracture), mud)

    def _least(self, depths: Floats, margin: Array, rock: tuple[str, str, Array], mud: Array) -> _Found:
        """Return the least margin to the rock: the word for a negative one, the rock's pressure by name."""
        value, index = least(margin)
        beyond, name, pressure = rock
        place, values = self._place(float(depths[index]))
        values |= {"of_rock": (float(pressure[index]), PRESSURE), "of_mud": (float(mud[index]), PRESSURE)}
        words = Remark(f"{place}: {name} {{of_rock}}, mud {{of_mud}}", values)
        if value >= 0.0:
            return _Found(float(value), float(depths[index]), words)
        return _Found(float(value), float(depths[index]), words.after(f"{beyond} at "), "exceeded")

    # --- kick tolerance -----------------------------------------------------------------------------------------------

    def _tolerance(self, intensity: float | None) -> _Found:
        self._must_shut_in()
        mud, gas, size, inside = self._mud, self.influx_gradient, self.hole.size, self.drill_string
        depths, fracture = self._exposed("fracture")
        if intensity is None or gas is None or size is None or inside is None:
            names = (self._key("size"), "kick_intensity", "influx_gradient", "drill_string")
            given = zip(names, (size, intensity, gas, inside), strict=True)
            raise MissingInput(", ".join(name for name, value in given if value is None))
        if gas >= mud.gradient:
            raise CannotEvaluate("the influx is not lighter than the mud")
        annulus, bottom = self._annulus(size, inside), float(depths[-1])
        formation = float(self.scene.mud_column(mud).pressure(bottom) + shut_in_pressure(intensity, bottom))
        found = kick_tolerance(
            depths, fracture, formation_pressure=formation, mud_gradient=mud.gradient, influx_gradient=gas,
            annulus=annulus,
        )  # fmt: skip
        place, values = self._place(float(found.depth))
        values |= {"formation": (formation, PRESSURE), "height": (float(found.height), LENGTH)}
        values |= {"shut_in": (float(found.shut_in), VOLUME), "circulated": (float(found.circulated), VOLUME)}
        value: float | None = float(found.volume)
        status: Status = "found"
        told = f"shut in {{shut_in}} ({{height}} high), circulated out {{circulated}}; more breaks {place}"
        if found.unlimited:
            value, status, told = None, "unlimited", "influx in all of the open hole, {shut_in}, breaks nothing"
        elif value == 0.0:
            status, told = "exceeded", f"SHUT IN WITHOUT INFLUX IT BREAKS {place}"
        return _Found(value, float(found.depth), Remark(f"formation {{formation}}: {told}", values), status)

    def _annulus(self, size: float, inside: DrillString) -> Annulus:
        """Return the volume of the open hole around the drill string, along the path."""
        widest = max(inside.pipe, inside.collars)
        if widest >= size:
            raise CannotEvaluate(f"a drill string of {widest:g} m does not go into a hole of {size:g} m")
        shoe, bottom = self.scene.string.shoe, self.hole.bottom
        change = bottom - inside.collar_length
        stations = np.append(self.scene.path.stations, change)
        stations = stations[(stations > shoe) & (stations < bottom)]
        md = np.unique(np.concatenate([np.linspace(shoe, bottom, _STATIONS), stations]))
        tvd = np.asarray(self.scene.tvd(md))
        if np.any(np.diff(tvd) < -1e-6):
            raise CannotEvaluate("the open hole climbs: where influx gathers in it is not worked out")
        around = np.where(0.5 * (md[1:] + md[:-1]) > change, inside.collars, inside.pipe)
        volume = np.cumsum(np.append(0.0, annular_capacity(size, around) * np.diff(md)))
        return Annulus(tvd=np.maximum.accumulate(tvd), volume=volume)

    # --- riser --------------------------------------------------------------------------------------------------------

    def _riser_margin(self) -> _Found:
        self._must_have_riser()
        mud, scene = self._mud, self.scene
        bottom = float(scene.tvd(self.hole.bottom))
        kept = float(scene.mud_column(mud).pressure(bottom))
        needed = float(density_without_riser(kept, bottom, scene.ambient_at_wellhead, scene.wellhead_tvd))
        place, values = self._place(bottom)
        values["needed"] = (needed, DENSITY)
        told = f"mud of {{needed}} keeps the pressure at {place}"
        if scene.earth.fracture is not None:
            depths, fracture = self._exposed("fracture")
            margin, index = least(fracture - GRAVITY * needed * depths)
            values |= {"margin": (abs(float(margin)), PRESSURE), "weakest": (float(depths[index]), LENGTH)}
            over = "below fracture" if margin >= 0.0 else "ABOVE FRACTURE"
            told += f"; with the riser on it is {{margin}} {over} at {{weakest}} tvd"
        return _Found(needed - mud.density, bottom, Remark(told, values))

    def _overbalance_without_riser(self) -> _Found:
        self._must_have_riser()
        return self._overbalance(riser=False)


# --- as records and as a table ----------------------------------------------------------------------------------------

_COLUMNS = [
    "well", "string", "top_md_m", "bottom_md_m", "mud", "mud_density_kgm3", "riser", "limit", "value", "unit", "status",
    "tvd_m", "md_m", "words",
]  # fmt: skip


def records(found: Sequence[HoleLimits]) -> list[dict[str, Any]]:
    """Return limits as plain records for JSON, one a hole and limit, in SI; what has no value is None."""
    rows = []
    for hole in found:
        name, density = (None, None) if hole.mud is None else (hole.mud.name, hole.mud.density)
        for limit in hole:
            cells = (
                hole.well, hole.string, hole.top, hole.bottom, name, density, hole.riser, limit.name, limit.value,
                limit.dimension.si, limit.status, limit.tvd, limit.md, limit.words.text(),
            )  # fmt: skip
            rows.append(dict(zip(_COLUMNS, cells, strict=True)))
    return rows


def frame(found: Sequence[HoleLimits]) -> pd.DataFrame:
    """Return limits as a table, one row a hole and limit, in SI. Units in ``attrs``; those of values in ``unit``."""
    import pandas as pd

    table = pd.DataFrame(records(found), columns=_COLUMNS)
    numbers = [name for name in _COLUMNS if name.endswith(("_m", "_kgm3"))]
    for name in (*numbers, "value"):
        table[name] = table[name].astype("Float64")
    table.attrs["units"] = {name: "kg/m3" if name.endswith("_kgm3") else "m" for name in numbers}
    table.attrs["units"]["value"] = "SI, as the column unit says"
    table.attrs["assumptions"] = list(ASSUMPTIONS)
    return table
