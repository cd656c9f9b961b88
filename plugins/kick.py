"""Load case of a kick of gas that is circulated out: one bubble on its way up the annulus."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal

import numpy as np

import casingloads as cl
from casingloads.arrays import Array, Floats, Sampled
from casingloads.constants import ATMOSPHERE
from casingloads.plugins.drilling import heated
from casingloads.plugins.well_control import gas_of, no_preventer
from casingloads.pressure.columns import Pressure
from casingloads.pressure.gas import gas_density
from casingloads.units import LENGTH, PRESSURE, VOLUME, show
from casingloads.wellcontrol.hydrostatics import kill_density, shut_in_pressure
from casingloads.wellcontrol.kick import Annulus, annular_capacity, gas_volume

_CLOSEST = 10.0  # of two depths of the bubble's top [m]
_FOUND = 1e-6  # to which the bubble's ends are found [m]


@dataclass(frozen=True, kw_only=True)
class Bubble:
    """One bubble of gas on its way up an annulus of several widths, the bottom held at constant pressure.

    `casingloads.wellcontrol.kick.CirculatedKick` has the formula for an annulus of one width. Here the height of the
    bubble is sought at which the law of gases, at the bubble's top, agrees with the columns below it.

    Attributes
    ----------
    head, bottom : float
        True vertical depth of the wellhead, and where the gas came in [m].
    held : float
        Pressure there, now and as the gas came in [Pa].
    influx : float
        Its volume then [m3].
    above, below : Fluid
        Mud above and below the bubble.
    gas : Gas or RealGas
        What it is.
    annulus : Annulus
        From the wellhead to the bottom.
    """

    head: float
    bottom: float
    held: float
    influx: float
    above: cl.Fluid
    below: cl.Fluid
    gas: cl.Gas | cl.RealGas
    annulus: Annulus

    def _volume(self, tvd: Array, pressure: Array) -> Array:
        """Return the volume [m3] of the gas with its top at a depth [m] and pressure [Pa]."""
        zeta: Array = 1.0  # a gas of constant gradient is taken as ideal, and as warm as at the bottom
        if isinstance(self.gas, cl.RealGas):
            zeta = _specific(self.gas, tvd, pressure) / self._at_bottom
        return gas_volume(self.influx, self.held, pressure, zeta)

    @cached_property
    def _at_bottom(self) -> Array:
        return _specific(self.gas, self.bottom, self.held) if isinstance(self.gas, cl.RealGas) else 1.0

    def _excess(self, top: Array, end: Array) -> Array:
        """Return by how much the annulus between *top* and *end* [m] is larger than the gas that would stand there.

        Both of shape ``(k,)``, one bubble each.
        """
        at_end = self.held - self.below.gradient * (self.bottom - end)
        at_top = self.gas.carry(top[:, np.newaxis], end[:, np.newaxis], at_end[:, np.newaxis])[:, 0]
        return self.annulus.between(top, end) - self._volume(top, at_top)

    @property
    def deepest_top(self) -> float:
        """True vertical depth of the bubble's top as it stands on the bottom [m]."""
        bottom = np.array([self.bottom])
        if self._excess(np.array([self.head]), bottom)[0] < 0.0:
            raise cl.CannotEvaluate(
                f"influx = {self.influx:g} m3 fills the annulus up to the wellhead; gas-to-surface is the case then"
            )
        nearly = bottom - 1e-6
        if self._excess(nearly, bottom)[0] >= 0.0:  # all of it lies in a level hole
            return self.bottom
        head = np.array([self.head])
        return float(_root(lambda top, _: self._excess(top, bottom), head, nearly)[0])

    def ends(self, tops: Array) -> Array:
        """Return the true vertical depths of the bubble's lower end [m], its top at each of *tops*, shape ``(k,)``.

        None of them below `deepest_top`.
        """
        bottom = np.full(tops.shape, self.bottom)
        lies = self._excess(tops, bottom) <= 0.0
        found = bottom.copy()
        if not np.all(lies):
            rising = tops[~lies]
            found[~lies] = _root(lambda end, number: self._excess(rising[number], end), rising, bottom[~lies])
        return found

    def column(self, top: Sampled, end: Sampled) -> cl.Column:
        """Return mud, bubble between *top* and *end* [m tvd], and mud; of many bubbles with shape ``(k, 1)``."""
        stacked = cl.column(self.above, top=self.head).over(self.gas, top).over(self.below, end)
        return replace(stacked, anchor_depth=self.bottom, anchor_pressure=self.held, anchored_in="last")


def _root(function: Callable[[Array, Array], Array], low: Array, high: Array) -> Array:
    """Return where each of several functions, told by number, passes zero between *low* and *high* [m]."""
    from scipy.optimize import elementwise  # slow to import

    def numbered(depth: Array, number: Array) -> Array:
        return function(depth, number.astype(np.intp))

    numbers = np.arange(low.size, dtype=np.float64)
    tolerances: Any = {"xatol": _FOUND, "fatol": 0.0}
    found = elementwise.find_root(numbered, (low, high), args=(numbers,), tolerances=tolerances)
    if not np.all(found.success):
        raise cl.CannotEvaluate("the bubble's length does not come out: its gas leaves the range of its law")
    return np.asarray(found.x, dtype=np.float64)


def _specific(gas: cl.RealGas, tvd: Array, pressure: Array) -> Array:
    """Return pressure over density, which goes as compressibility factor times temperature."""
    absolute = pressure + ATMOSPHERE
    return absolute / gas_density(absolute, gas.temperature(tvd), gas.gravity)


def _annulus(scene: cl.Scene, drill_pipe: float, reservoir: float) -> Annulus:
    """Return the annulus around the drill pipe, from the wellhead through the innermost pipe and the next hole."""
    size = scene.next_hole.size
    if size is None:
        raise cl.MissingInput(f"strings.{scene.string.name}.next_hole.size")
    head = scene.well.wellhead_depth
    sections = [section for string in (*scene.earlier, scene.string) for section in string.sections]
    edges = [edge for section in sections for edge in (section.top, section.bottom)]
    md = np.unique([*np.linspace(head, reservoir, 400), *(edge for edge in edges if head < edge < reservoir)])
    middle, width = 0.5 * (md[1:] + md[:-1]), np.full(md.size - 1, size)
    for section in sections:  # the inner strings come after the outer
        width[(middle > section.top) & (middle < section.bottom)] = section.pipe.inside_diameter
    if not 0.0 < drill_pipe < np.min(width):
        found = f"{1e3 * drill_pipe:.1f} mm, the narrowest bore is {1e3 * np.min(width):.1f} mm"
        raise cl.CannotEvaluate(f"drill_pipe must be more than nothing and less than the bore around it; it is {found}")
    tvd = np.asarray(scene.tvd(md))
    if np.any(np.diff(tvd) < -1e-6):
        raise cl.CannotEvaluate("the well path climbs: gas stays at its high places, and does not rise as one bubble")
    volume = np.cumsum([0.0, *(annular_capacity(width, drill_pipe) * np.diff(md))])
    return Annulus(tvd=np.maximum.accumulate(tvd), volume=volume)


def _tops(scene: cl.Scene, behind: Pressure, deepest: float, spacing: float) -> dict[str, float]:
    """Return the true vertical depths of the bubble's top to look at [m], each with a name, from the bottom up.

    Pressure at a depth is greatest as the bubble's top arrives there. So a worst place is at the upper end of something
    (string, section, annulus, fluid outside), at a row of the rock's strength, or between, where it changes gently.
    """
    well, rock = scene.well, scene.earth.fracture
    marks = [section.top for string in well.strings for section in string.sections]
    marks += [*(string.shoe for string in well.strings), *np.ravel([*behind.jumps()])]
    named = [
        *np.asarray(scene.tvd(marks)),
        *(rock.tvd if rock else ()),
        *(z for tvd in behind.breaks() for z in np.ravel(tvd)),
    ]
    shallowest = min(scene.top_tvd, deepest)  # a long bubble may reach above a liner from the start
    even = np.linspace(deepest, shallowest, 1 + int(np.ceil((deepest - shallowest) / spacing)))
    tops = {show(float(z), LENGTH, well.units): float(z) for z in (*named, *even) if shallowest <= z <= deepest}
    rising = sorted(((f"bubble's top at {told} tvd", z) for told, z in tops.items()), key=lambda item: -item[1])
    (first, z), *rest = rising
    return {f"shut in, {first}": z, **dict(rest)}


def _kept_by_rock(column: cl.Column, over: float, exposed: Floats, strength: Floats) -> cl.Column:
    """Return the column, lowered to what the rock bears where that is *over* zero [Pa] too much."""
    if over <= 0.0:
        return column
    for _ in range(4):  # a real gas weighs less under less pressure
        most = float(np.max(np.asarray(column.pressure(exposed)) - strength))
        column = replace(column, anchor_pressure=column.anchor_pressure - most)
    return column


@cl.load_case(
    phase="drilling",
    source="J. L. LeBlanc and R. L. Lewis, A mathematical model of a gas kick, SPE 1860, 1968 (secondary copy)",
    assumptions=(
        "one bubble that keeps together and does not dissolve (oil-base mud is not covered), moved without friction; "
        "the bottom is held at the pressure of the formation, or of the mud where that is more",
        "drill pipe all along the annulus, no collars; a gas of constant gradient stays as warm as it came in",
        "kill mud, if that circulates, stands everywhere below the bubble; original mud in the drill pipe is left out",
        "the law of gases is taken at the bubble's top: against a bubble that keeps its mass the pressure at the "
        "wellhead was found 3 % high with a constant gradient, 1.3 % low with real gas",
        "where exposed rock would break, all pressures are lowered until it does not: circulation is lost then, and "
        "gas to surface is the load to look at",
    ),
    one_of=[("kick_intensity", "reservoir_pressure"), ("gas_gradient", "gas_gravity")],
    applies=no_preventer,
)
def kick_circulated_out(
    scene: cl.Scene,
    *,
    influx: cl.Volume,
    drill_pipe: cl.Diameter,
    kick_intensity: cl.Density | None = None,
    reservoir_pressure: cl.FormationPressure | None = None,
    reservoir: cl.MeasuredDepth | None = None,
    gas_gradient: cl.Gradient | None = None,
    gas_gravity: float | None = None,
    circulated_with: Literal["original mud", "kill mud"] = "original mud",
    mud: cl.FluidName | None = None,
    fracture_margin: cl.Pressure = "0 MPa",
    spacing: cl.Length = "200 m",
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Kick circulated out: gas of a limited volume, one bubble, rises to the wellhead under constant bottom pressure.

    One step for each depth of the bubble's top, from the bottom to the top of the string: even steps, and where pipe,
    annulus or the fluid outside changes.

    Parameters
    ----------
    influx : Volume
        Gained in the pits when the well was shut in.
    drill_pipe : Diameter
        Outside diameter of the pipe in the annulus.
    kick_intensity : Density
        By which the formation is above the mud, counted from the drill floor; 0 sg is a swabbed kick. Either this or
        reservoir_pressure.
    reservoir_pressure : FormationPressure
        Where the gas comes in; either this or kick_intensity.
    reservoir : MeasuredDepth
        Where the gas comes in; if left out, the bottom of the next hole.
    gas_gradient : Gradient
        Of a gas of constant gradient; either this or gas_gravity.
    gas_gravity : float
        Of a real gas, relative to air; its density follows pressure and temperature.
    circulated_with : str
        What comes after the bubble. The original mud gives the higher pressure.
    mud : FluidName
        Original mud; if left out, the mud of the next hole.
    fracture_margin : Pressure
        By which the hole may exceed the fracture pressure.
    spacing : Length
        Greatest distance between two depths of the bubble's top.
    temperature : TemperatureName
        Of gas and pipe; if left out, undisturbed.
    outside : str
        What stands behind the pipe. It loads in burst, so the default is the lightest credible: solids of the mud
        have settled.
    """
    if influx <= 0.0:
        raise cl.CannotEvaluate(f"influx = {influx:g} m3; it must be above 0")
    if spacing < _CLOSEST:
        raise cl.CannotEvaluate(f"spacing = {spacing:g} m; need {_CLOSEST:g} m or more, closer changes nothing")
    if not scene.next_hole.riser:
        raise cl.CannotEvaluate(no_preventer(scene))
    md = scene.next_hole.bottom if reservoir is None else reservoir
    if md <= scene.string.shoe:
        raise cl.CannotEvaluate(f"reservoir {md:g} m is behind this string; its shoe is at {scene.string.shoe:g} m")
    heavy, bottom = scene.next_mud(mud), float(scene.tvd(md))
    of_mud = float(scene.mud_column(heavy).pressure(bottom))
    formation = _formation(of_mud, bottom, kick_intensity, reservoir_pressure)
    held = max(of_mud, formation)
    kill = cl.Fluid(name="kill mud", density=float(kill_density(held - of_mud, heavy.density, bottom)))
    bubble = Bubble(
        head=scene.wellhead_tvd,
        bottom=bottom,
        held=held,
        influx=influx,
        above=heavy,
        below=heavy if circulated_with == "original mud" else kill,
        gas=gas_of(scene, gas_gradient, gas_gravity, temperature),
        annulus=_annulus(scene, drill_pipe, md),
    )
    exposed, behind = scene.exposed("fracture", bottom=md), scene.outside(outside)
    strength = scene.fracture_pressure(exposed) + fracture_margin
    named, warm = _tops(scene, behind, bubble.deepest_top, spacing), heated(scene, temperature)
    tops = np.array(list(named.values()))
    ends = bubble.ends(tops)
    asked = bubble.column(tops[:, np.newaxis], ends[:, np.newaxis]).pressure(exposed) - strength  # (bubbles, depths)
    steps, seen = [], []
    for name, top, end, over in zip(named, tops.tolist(), ends.tolist(), asked, strict=True):
        worst = int(np.argmax(over))
        inside = _kept_by_rock(bubble.column(top, end), float(over[worst]), exposed, strength)
        state = scene.state(inside=inside, outside=behind, temperature=warm, drilled_out=True)
        steps.append(scene.step(name, state))
        at_top = float(inside.pressure(scene.top_tvd))
        seen.append(_Seen(top, end, at_top, max(0.0, float(over[worst])), float(exposed[worst])))
    return cl.Load(steps=tuple(steps), remarks=(_held_remark(held, formation, bottom), *_told(bubble, seen)))


def _formation(of_mud: float, bottom: float, intensity: float | None, given: cl.FormationPressure | None) -> float:
    """Return the pressure of the formation that kicks [Pa], at *bottom* [m tvd]."""
    if given is not None:
        return float(given.at(bottom))
    return of_mud + float(shut_in_pressure(float(intensity or 0.0), bottom))


@dataclass(frozen=True)
class _Seen:
    """A step: the bubble's ends [m], pressure at the top of the string, what the rock bears less, and where [m]."""

    top: float
    end: float
    at_top: float
    over: float
    weakest: float


def _held_remark(held: float, formation: float, bottom: float) -> cl.Remark:
    told = "{held} held at {depth} tvd"
    if formation <= held:
        told += ", by the formation" if formation == held else ", by the mud: a swabbed kick of {formation}"
    values = {"held": (held, PRESSURE), "depth": (bottom, LENGTH), "formation": (formation, PRESSURE)}
    return cl.Remark(told, values)


def _told(bubble: Bubble, seen: Sequence[_Seen]) -> list[cl.Remark]:
    """Return what the reader should know of the bubble's way up."""
    worst, broken = max(seen, key=lambda step: step.at_top), max(seen, key=lambda step: step.over)
    told = [
        cl.Remark(
            "{most} at the top of the string with the bubble's top at {top} tvd, {volume} of gas; shut in {first}",
            {
                "most": (worst.at_top, PRESSURE),
                "top": (worst.top, LENGTH),
                "volume": (float(bubble.annulus.between(worst.top, worst.end)), VOLUME),
                "first": (seen[0].at_top, PRESSURE),
            },
        )
    ]
    if broken.over > 0.0:
        values = {"over": (broken.over, PRESSURE), "depth": (broken.weakest, LENGTH), "top": (broken.top, LENGTH)}
        told.append(
            cl.Remark(
                "circulation is lost: with the bubble's top at {top} tvd the rock at {depth} tvd would be {over} above "
                "what it bears; pressures are lowered by that, see gas-to-surface",
                values,
            )
        )
    return told


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [kick_circulated_out]
