"""Load cases of several strings together: pressure that builds up in trapped annuli."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

import casingloads as cl
from casingloads.annuli import buildup as annuli
from casingloads.annuli.annulus import BurstDisc, OpenShoe, TrappedAnnulus, Wall
from casingloads.annuli.expansion import WATER, ConstantExpansion, Foam, GasCap, LiquidLaw
from casingloads.arrays import Array
from casingloads.constants import ATMOSPHERE
from casingloads.pressure.columns import Pressure as Column
from casingloads.pressure.raised import Raised
from casingloads.stations import Places, places, points_along
from casingloads.units import PRESSURE, VOLUME

_LEAST = 10.0  # an annulus shorter than this holds no liquid worth following [m]


@dataclass(frozen=True, kw_only=True)
class _Gap:
    """The annulus around a string: from the wellhead down to its cement, or to the shoe of what is around it."""

    string: cl.String
    hosts: tuple[cl.String, ...]  # what is around it, from the outermost in
    top: float
    bottom: float
    open_at: float | None  # the shoe of what is around it, where the cement does not reach it [m md]
    grid: Places


def _gaps(well: cl.Well) -> list[_Gap]:
    """Return the annuli that are closed at the wellhead, from the outermost in."""
    found: list[_Gap] = []
    for number, string in enumerate(well.strings):
        earlier = well.strings[:number]
        if string.top > well.wellhead_depth + 1e-3 or not any(host.top <= string.top + 1e-3 for host in earlier):
            continue
        shoe = max(host.shoe for host in earlier)
        cement = min((interval.top for interval in string.cement), default=string.shoe)
        bottom = min(cement, shoe)
        if bottom - string.top < _LEAST:
            continue
        ends = [section.bottom for host in (*earlier, string) for section in host.sections]
        ends += [host.top for host in earlier]
        ends += [edge for host in earlier for interval in host.cement for edge in (interval.top, interval.bottom)]
        grid = places(points_along(string.top, bottom, [well.path.stations, np.array(ends)]), well.path)
        there = {name for name in _along(grid, earlier)[0] if name}
        hosts = tuple(host for host in earlier if host.name in there)
        open_at = shoe if cement > shoe + 1e-3 else None
        found.append(_Gap(string=string, hosts=hosts, top=string.top, bottom=bottom, open_at=open_at, grid=grid))
    return found


def _none_closed(scene: cl.Scene) -> str:
    return "" if _gaps(scene.well) else "no annulus is left open to its wellhead by the cement"


@cl.load_case(
    phase="production",
    source="Halal and Mitchell 1994; Adams and MacEachran 1994 (citations from memory): the problem, and that annuli "
    "act together; the balance of masses and elastic walls is ours",
    scope="well",
    applies=_none_closed,
    assumptions=(
        "an annulus runs from the wellhead to the top of the cement or to the shoe around it; it was closed full of "
        "the fluid its string was run in, at the temperature its cement set at",
        "only the volume of that fluid counts, by the coefficients given or as that of fresh water: solids, and gas "
        "set free by the heat, are left out",
        "a string, and the liquid around it, are as warm as each other; the outermost string as the liquid inside it",
        "behind the outermost of the pipes the pressure does not change; below an annulus strings keep the pressures "
        "as run",
    ),
)
def trapped_annuli(
    scene: cl.Scene,
    *,
    temperature: cl.TemperatureName,
    share: cl.Fraction | None = None,
    expansion: cl.Expansion | None = None,
    compressibility: cl.Compressibility | None = None,
    inside: cl.FluidName | None = None,
    walls: Literal["rigid in cement", "as pipe alone"] = "rigid in cement",
    outside: cl.Outside = "settled mud",
    open_shoes: Literal["leak at fracture pressure", "plugged"] = "leak at fracture pressure",
    bled: str | None = None,
    bleeds_to: cl.Pressure | None = None,
    disc_in: str | None = None,
    disc_depth: cl.MeasuredDepth | None = None,
    disc_opens_at: cl.Pressure | None = None,
    cushion: Literal["none", "gas cap", "foam"] = "none",
    cushion_around: str | None = None,
    cushion_volume: cl.Volume | None = None,
    foam_compressibility: cl.Compressibility | None = None,
) -> cl.Load:
    """Trapped annuli: heat expands the liquid closed in around the strings, and all annuli press on each other.

    Parameters
    ----------
    temperature : TemperatureName
        Of the innermost string and the annulus around it.
    share : Fraction
        Of the rise of temperature of one annulus that the next one outward has; needed where there are several. A
        hotter annulus presses on the string inside it, and backs up the one around it: look at both.
    expansion : Expansion
        Of the liquid in the annuli, by volume; if left out, that of fresh water at its pressure and temperature.
    compressibility : Compressibility
        Of the liquid; needed with expansion, and like it if left out.
    inside : FluidName
        What stands now in the innermost string that has such an annulus around it; if left out, what its cement was
        displaced with.
    walls : str
        How pipe that is cemented on its other side gives way to pressure: not at all, which gives the higher pressure,
        or like a pipe alone.
    outside : str
        What stands behind a string that has no such annulus around it. The rise bursts it, so the default is the
        lightest credible: solids of the mud have settled.
    open_shoes : str
        Whether an annulus above open hole loses liquid at the fracture pressure of the shoe, or is plugged there.
    bled : str
        Name of the string whose annulus (around it) has a valve at the wellhead; if left out, none is bled.
    bleeds_to : Pressure
        What that valve holds; needed with bled.
    disc_in : str
        Name of the string with a burst disc in its wall, which opens outwards; if left out, there is none.
    disc_depth : MeasuredDepth
        Where it is; needed with disc_in.
    disc_opens_at : Pressure
        The difference of pressure at which it opens; needed with disc_in.
    cushion : str
        What else is in one annulus: gas on top of the liquid, or foam that gives way.
    cushion_around : str
        Name of the string around which it is; needed with cushion.
    cushion_volume : Volume
        Its volume when the annulus was closed; needed with cushion.
    foam_compressibility : Compressibility
        Needed with foam.
    """
    gaps = _gaps(scene.well)
    if not gaps:
        raise cl.CannotEvaluate(_none_closed(scene))
    if share is not None and not 0.0 <= share <= 1.0:
        raise cl.CannotEvaluate(f"share = {share:.0%}; need 0 % to 100 %")
    if share is None and len(gaps) > 1:
        raise cl.MissingInput("share, since several annuli are closed in")
    well_heat = _Heat(scene, temperature, 1.0 if share is None else share, len(gaps))
    relief = _Relief(scene, gaps)
    relief.bleed(bled, bleeds_to)
    relief.vent(disc_in, disc_depth, disc_opens_at)
    relief.cushion(cushion, cushion_around, cushion_volume, foam_compressibility)
    if open_shoes == "leak at fracture pressure":
        relief.leak_at_shoes()
    innermost = scene.on(gaps[-1].string.name)
    if inside is not None and any(later.top <= scene.well.wellhead_depth + 1e-3 for later in innermost.later):
        covered = innermost.string.name
        raise cl.CannotEvaluate(f"inside: another string, without such an annulus, stands inside {covered!r}")
    now_inside = _inside_now(innermost, inside)
    trapped = []
    for k, gap in enumerate(gaps):
        own, grid = scene.on(gap.string.name), gap.grid
        trapped.append(
            TrappedAnnulus(
                name=gap.string.name,
                md=grid.md,
                tvd=grid.tvd,
                inner=_inner_wall(own, gap, now_inside if own.string is innermost.string else None),
                outer=_outer_wall(scene, gaps, gap, well_heat, rigid=walls == "rigid in cement"),
                pressure_then=own.outside_as_run().at(grid),
                temperature_then=own.temperature_as_set()(grid.tvd),
                temperature_now=well_heat.at(k)(grid.tvd),
                fluid=_liquid(gap.string, expansion, compressibility),
                **relief.of(gap.string.name),
            )
        )
    found = annuli.build_up(trapped, scene.well.steel)
    changes = {gap.string.name: (gap.grid.md, up.pressure_change) for gap, up in zip(gaps, found, strict=True)}
    states = _states(scene, gaps, changes, now_inside, well_heat, outside)
    return cl.Load(steps=(cl.Step(name="heated", states=states),), remarks=tuple(map(_told, found)))


def _liquid(string: cl.String, expansion: float | None, compressibility: float | None) -> LiquidLaw:
    """Return how the liquid around a string expands: by its own coefficients, or like fresh water."""
    if expansion is None and compressibility is None:
        return WATER
    if expansion is None or compressibility is None:
        raise cl.MissingInput("expansion and compressibility, both or neither")
    return ConstantExpansion(
        reference_density=string.run_in.density,
        expansion=expansion,
        compressibility=compressibility,
        reference_pressure=ATMOSPHERE,
        reference_temperature=293.15,
    )


def _inside_now(innermost: cl.Scene, fluid: cl.Fluid | None) -> Column:
    if fluid is None:
        return innermost.cemented_state().inside
    return cl.column(fluid, top=innermost.own_top(fluid))


class _Heat:
    """How warm each annulus is: the innermost as named, each next one outward by a share of its rise."""

    def __init__(self, scene: cl.Scene, table: cl.Table, share: float, count: int) -> None:
        self.calm, self.hot, self.share, self.count = scene.undisturbed(), table, share, count

    def at(self, number: int) -> cl.Table:
        """Return the temperature of an annulus, counted from the outermost."""
        tvd = np.union1d(self.calm.tvd, self.hot.tvd)
        part = self.share ** (self.count - 1 - number)
        return cl.Table(tvd=tvd, value=self.calm(tvd) + part * (self.hot(tvd) - self.calm(tvd)))


class _Relief:
    """What relieves the annuli, by the name of the string that each is around."""

    def __init__(self, scene: cl.Scene, gaps: Sequence[_Gap]) -> None:
        self.scene, self.gaps = scene, gaps
        self.by_name: dict[str, dict[str, Any]] = {gap.string.name: {} for gap in gaps}

    def of(self, name: str) -> dict[str, Any]:
        """Return what relieves one annulus, as arguments of `TrappedAnnulus`."""
        return self.by_name[name]

    def bleed(self, name: str | None, pressure: float | None) -> None:
        """Let one annulus bleed at the wellhead."""
        if name is not None:
            self._known("bled", name)["bleeds_to"] = _needed("bleeds_to", pressure)

    def vent(self, name: str | None, depth: float | None, opens_at: float | None) -> None:
        """Put a disc into the wall of a string, that opens from the annulus inside it."""
        if name is None:
            return
        inner = next((gap for gap in self.gaps if name in {host.name for host in gap.hosts}), None)
        if inner is None:
            raise cl.CannotEvaluate(f"disc_in = {name!r}: no closed annulus is inside it")
        md = _needed("disc_depth", depth)
        number = int(np.argmin(np.abs(inner.grid.md - md)))
        if not inner.top <= md <= inner.bottom or _along(inner.grid, inner.hosts)[0][number] != name:
            reach = f"{inner.top:g} to {inner.bottom:g} m"
            raise cl.CannotEvaluate(f"disc_depth = {md:g} m is not where {name!r} is around a closed annulus, {reach}")
        beyond = next((gap for gap in self.gaps if gap.string.name == name and gap.top <= md <= gap.bottom), None)
        far = None
        if beyond is None:
            behind = self.scene.on(name).outside_as_run().at(inner.grid)
            far = float(np.interp(md, inner.grid.md, behind))
        opens = _needed("disc_opens_at", opens_at)
        disc = BurstDisc(md=md, side="outer", opens_at=opens, far_pressure=far)
        self.by_name[inner.string.name]["discs"] = (disc,)

    def cushion(self, kind: str, name: str | None, volume: float | None, foam: float | None) -> None:
        """Put gas or foam into one annulus."""
        if kind == "none":
            return
        into = self._known("cushion_around", _needed("cushion_around", name))
        size = _needed("cushion_volume", volume)
        if kind == "gas cap":
            into["cushion"] = GasCap(volume=size)
        else:
            into["cushion"] = Foam(volume=size, compressibility=_needed("foam_compressibility", foam))

    def leak_at_shoes(self) -> None:
        """Let annuli above open hole lose liquid where that breaks."""
        for gap in self.gaps:
            if gap.open_at is not None:
                breaks = float(self.scene.fracture_pressure(float(self.scene.tvd(gap.open_at))))
                self.by_name[gap.string.name]["open_shoe"] = OpenShoe(md=gap.open_at, pressure=breaks)

    def _known(self, key: str, name: str) -> dict[str, Any]:
        if name not in self.by_name:
            there = ", ".join(map(repr, self.by_name))
            raise cl.CannotEvaluate(f"{key} = {name!r}: the closed annuli are those around {there}")
        return self.by_name[name]


def _needed(name: str, value: Any) -> Any:
    if value is None:
        raise cl.MissingInput(name)
    return value


def _along(grid: Places, strings: Sequence[cl.String]) -> tuple[list[str], Array, Array, Array]:
    """Return the innermost of *strings* at each place: name, inside and outside radius, whether it is cemented."""
    count = grid.md.shape[-1]
    names = [""] * count
    inside, outside, cemented = np.zeros(count), np.zeros(count), np.zeros(count, dtype=bool)
    for string in strings:  # from the outermost in, so that the innermost is left
        for section in string.sections:
            here = grid.within(section.top, section.bottom)
            inside = np.where(here, 0.5 * section.pipe.inside_diameter, inside)
            outside = np.where(here, 0.5 * section.pipe.outside_diameter, outside)
            names = [string.name if at else name for at, name in zip(here, names, strict=True)]
            bonded = np.zeros(count, dtype=bool)
            for interval in string.cement:
                bonded |= grid.within(interval.top, interval.bottom)
            cemented = np.where(here, bonded, cemented)
    return names, inside, outside, cemented


def _inner_wall(own: cl.Scene, gap: _Gap, now_inside: Column | None) -> Wall:
    """Return the string as the inner wall; what changes inside it is known where no other annulus is there."""
    names, inside, outside, _ = _along(gap.grid, [own.string])
    far: Array = np.zeros(gap.grid.md.shape)
    if now_inside is not None:
        far = now_inside.at(gap.grid) - own.cemented_state().inside.at(gap.grid)
    return Wall(pipe=names, inside_radius=inside, outside_radius=outside, far_change=far)


def _outer_wall(scene: cl.Scene, gaps: Sequence[_Gap], gap: _Gap, heat: _Heat, *, rigid: bool) -> Wall:
    """Return what is around the annulus as its outer wall, as warm as that string is."""
    names, inside, outside, cemented = _along(gap.grid, gap.hosts)
    moves = ~cemented if rigid else np.ones(cemented.shape, dtype=bool)
    numbers = {other.string.name: number for number, other in enumerate(gaps)}
    warmer = np.zeros(gap.grid.md.shape)
    for host in gap.hosts:
        number = numbers.get(host.name, numbers[gap.string.name])
        rise = heat.at(number)(gap.grid.tvd) - scene.on(host.name).temperature_as_set()(gap.grid.tvd)
        warmer = np.where(np.array(names) == host.name, rise, warmer)
    return Wall(
        pipe=names,
        inside_radius=inside,
        outside_radius=outside,
        far_change=np.zeros(gap.grid.md.shape),
        temperature_rise=warmer,
        moves_with_pressure=moves,
    )


def _states(
    scene: cl.Scene,
    gaps: Sequence[_Gap],
    changes: dict[str, tuple[Array, Array]],
    now_inside: Column,
    heat: _Heat,
    behind: cl.Behind,
) -> dict[str, cl.State]:
    """Return the state of every string that is a wall of an annulus."""
    around = {host.name: gap for gap in reversed(gaps) for host in gap.hosts}
    numbers = {gap.string.name: number for number, gap in enumerate(gaps)}
    states = {}
    for string in scene.well.strings:
        if string.name not in around and string.name not in numbers:
            continue
        own, within = scene.on(string.name), around.get(string.name)
        number = numbers.get(string.name, 0 if within is None else numbers[within.string.name])
        outside = own.outside(behind)
        if string.name in changes:
            outside = _raised(own.outside_as_run(), string.name, changes)
        inside = now_inside
        if within is not None:
            inside = _raised(scene.on(within.string.name).outside_as_run(), within.string.name, changes)
        states[string.name] = own.state(inside=inside, outside=outside, temperature=heat.at(number))
    return states


def _raised(base: Column, name: str, changes: dict[str, tuple[Array, Array]]) -> Raised:
    md, change = changes[name]
    return Raised(base=base, md=md, change=change, reason=f"built up in the annulus around {name}")


def _told(up: annuli.BuildUp) -> cl.Remark:
    values = {"rise": (up.rise, PRESSURE), "expansion": (up.balance.expansion, VOLUME)}
    limits = f", limited by {' and '.join(up.limited_by)}" if up.limited_by else ""
    told = f"the liquid expands by {{expansion}}, the pressure rises by {{rise}} at the top{limits}"
    if up.bled > 0.0 or up.lost_at_shoe > 0.0:
        values["lost"] = (up.bled + up.lost_at_shoe, VOLUME)
        told += "; {lost} let out"
    return cl.Remark(told, values).after(f"annulus around {up.name}: ")


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [trapped_annuli]
