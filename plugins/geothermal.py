"""Load cases of geothermal wells: the well is hot and full of steam, it is quenched, and its pipe remembers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

import casingloads as cl
from casingloads.constants import ATMOSPHERE
from casingloads.errors import key_path
from casingloads.plugins.production import covered
from casingloads.pressure.steam import (
    HOTTEST_LIQUID,
    MOST_STEAM,
    HotWater,
    Steam,
    saturation_pressure,
    saturation_temperature,
)
from casingloads.units import LEVEL, PRESSURE, TEMPERATURE, show

MAKES_STEAM: Final = 423.15
"""Temperature [K] at the wellhead, or in the ground not too deep, that tells of steam. Common practice, no source."""
NOT_TOO_DEEP: Final = 2000.0
"""Below the wellhead [m]; with `MAKES_STEAM` a gradient of about twice the common one. Common practice, no source."""

YIELDING = (
    "cemented pipe is elastic, then perfectly plastic along its axis, from where its bore yields by von Mises under "
    "its pressures at the yield of its temperature; bending does not count; modulus and expansion do not change with "
    "heat",
    "past yield the triaxial factor is close to 1 and says nothing more: the strain that stays decides, "
    "and is told beside the factors but not judged",
    "heat counts from the temperature when the cement set; a length without cement stays elastic",
)
_SOURCE = "NZS 2403:2015, Code of practice for deep geothermal wells, as carried in the African Union Code of Practice "
_SOURCE += "for Geothermal Drilling, 2016 (secondary copy, citation from memory)"


@dataclass(frozen=True, kw_only=True)
class _Reservoir:
    """Where hot water or steam comes in: depth [m tvd], gauge pressure [Pa], temperature [K]."""

    tvd: float
    pressure: float
    temperature: float

    @property
    def boiling_pressure(self) -> float:
        """Gauge pressure at which its water boils: the most that steam of it can have [Pa]."""
        return float(saturation_pressure(self.temperature)) - ATMOSPHERE


# --- where they apply -------------------------------------------------------------------------------------------------


def _no_heat(scene: cl.Scene) -> str:
    """Return why heat does no harm to a string; nothing where it may.

    A well file does not say that a well is geothermal. Two things tell: a temperature under [temperatures] at which
    steam comes to the wellhead, and ground so hot so near that water from it boils on its way up.
    """
    if not scene.string.cement:
        return "no cement holds it"
    head, ground = scene.wellhead_tvd, scene.earth.temperature
    named = any(float(table(head)) >= MAKES_STEAM for table in scene.well.temperatures.values())
    if named or (ground is not None and float(ground(head + NOT_TOO_DEEP)) >= MAKES_STEAM):
        return ""
    return "neither the ground nor a table under [temperatures] is hot enough for steam at the wellhead"


def _no_steam(scene: cl.Scene) -> str:
    return _no_heat(scene) or covered(scene)


def _not_behind(scene: cl.Scene) -> str:
    return _no_heat(scene) or ("" if covered(scene) else "no later string stands inside all of it")


# --- steam in the string ----------------------------------------------------------------------------------------------


@cl.load_case(
    phase="production",
    source=f"{_SOURCE}; loads by Hole, lectures on geothermal well design, 2008 (citation from memory)",
    assumptions=(
        *YIELDING,
        "steam and water as IAPWS-IF97 has them, fresh and without gas",
        "above the level of the quenching water there is nothing: the vacuum that condensing steam may leave, at most "
        "0.1 MPa, is not counted",
    ),
    one_of=[("quench_temperature", "inlet_temperature")],
    applies=_no_steam,
)
def heat_up_and_quench(
    scene: cl.Scene,
    *,
    hot_temperature: cl.TemperatureName,
    wellhead_pressure: cl.Pressure,
    filled_with: Literal["steam", "boiling water"] = "steam",
    reservoir: cl.MeasuredDepth | None = None,
    reservoir_pressure: cl.FormationPressure | None = None,
    shut_in: Literal["full of steam", "steam over hot water"] = "full of steam",
    shut_in_temperature: cl.TemperatureName | None = None,
    quench_temperature: cl.TemperatureName | None = None,
    inlet_temperature: cl.Temperature | None = None,
    quench_level: cl.MeasuredDepth | None = None,
    heated_again: bool = False,
    outside: cl.Outside = "as run",
    outside_shut_in: cl.Outside = "settled mud",
) -> cl.Load:
    """Heat-up and quench: hot production, shut in on steam, then cold water; pipe that yields is followed.

    Cemented pipe that is heated past yield is shorter than it was, so that it is in tension when it cools.

    Parameters
    ----------
    hot_temperature : TemperatureName
        Of the pipe while the well produces.
    wellhead_pressure : Pressure
        While it produces.
    filled_with : str
        What fills it then; a flow of both lies between the two.
    reservoir : MeasuredDepth
        Where the pressure of the reservoir is known; if left out, the bottom of the next hole.
    reservoir_pressure : FormationPressure
        There; if left out, the pore pressure.
    shut_in : str
        Full of steam, down to the reservoir and at its pressure, as codes ask; or hot water of the reservoir stands
        up to where it boils, with steam above.
    shut_in_temperature : TemperatureName
        Of the pipe while it is shut in; if left out, as while it produces, but no colder than the steam condenses,
        up to the temperature of the reservoir.
    quench_temperature : TemperatureName
        Of the pipe when it is quenched; either this or inlet_temperature.
    inlet_temperature : Temperature
        Of the water, which cools the whole string to it.
    quench_level : MeasuredDepth
        Where the cold water stands ('0 m': full to the wellhead); if left out, where it balances the reservoir.
    heated_again : bool
        Whether it produces once more, on what the quench has left.
    outside : str
        Behind the pipe while it produces and when it is quenched: heavy, since collapse of hot pipe is at stake, and
        then of pipe without steam in it.
    outside_shut_in : str
        While it is shut in: light, since burst is at stake.
    """
    _ask_for_heat(scene)
    feed = _feed(scene, reservoir, reservoir_pressure)
    producing = _producing(scene, feed, filled_with, hot_temperature, wellhead_pressure)
    shut = _shut_in(scene, feed, shut_in, hot_temperature)
    cold = _cold(quench_temperature, inlet_temperature)
    water = _quenched(scene, feed, cold, quench_level)
    warm = _condensing(scene, feed, shut, hot_temperature) if shut_in_temperature is None else shut_in_temperature
    heavy, light = scene.outside(outside), scene.outside(outside_shut_in)
    moments = [
        ("hot production", producing, heavy, hot_temperature),
        ("shut in", shut, light, warm),
        ("quench", water, heavy, cold),
    ]
    if heated_again:
        moments.append(("heated again", producing, heavy, hot_temperature))
    steps = [
        scene.step(name, scene.state(inside=inside, outside=behind, temperature=kelvin, drilled_out=_open_below(scene)))
        for name, inside, behind, kelvin in moments
    ]
    remarks = (_told_of_steam(scene, feed, shut), _told_of_water(water), *_told_of_gaps(scene))
    return cl.Load(steps=tuple(steps), remarks=remarks, follows_yield=True)


def _ask_for_heat(scene: cl.Scene) -> None:
    """Ask for what decides everything and has no fair default: the temperature at setting, and yield in the heat."""
    string = scene.string
    if not string.cement:
        raise cl.CannotEvaluate("no cement holds this string: heat makes it longer and does not strain it")
    if string.set_temperature is None:  # the undisturbed one would hide most of the heating
        raise cl.MissingInput(key_path("strings", string.name, "set_temperature"))
    for number, section in enumerate(string.sections, start=1):
        if section.derating is None:
            raise cl.MissingInput(key_path("strings", string.name, "sections", number, "derating"))


def _open_below(scene: cl.Scene) -> bool:
    return scene.string.next_hole is not None


def _uniform(temperature: float) -> cl.Table:
    return cl.Table(tvd=np.zeros(1), value=np.array([temperature]))


def _cold(table: cl.Table | None, uniform: float | None) -> cl.Table:
    if table is not None:
        return table
    if uniform is None:
        raise cl.MissingInput("a cold temperature")
    return _uniform(uniform)


def _feed(scene: cl.Scene, reservoir: float | None, given: cl.FormationPressure | None) -> _Reservoir:
    if reservoir is None and scene.string.next_hole is None:
        raise cl.MissingInput("reservoir, since no hole is below this string")
    tvd = float(scene.tvd(scene.next_hole.bottom if reservoir is None else reservoir))
    pressure = scene.formation_pressure(tvd, given)
    temperature = float(scene.undisturbed()(tvd))
    if temperature > HOTTEST_LIQUID:
        found, most = show(temperature, TEMPERATURE), show(HOTTEST_LIQUID, TEMPERATURE)
        raise cl.CannotEvaluate(f"the reservoir has {found}; steam and water are known here to {most}")
    return _Reservoir(tvd=tvd, pressure=pressure, temperature=temperature)


def _producing(scene: cl.Scene, feed: _Reservoir, filled_with: str, hot: cl.Table, pressure: float) -> cl.Column:
    fill = Steam(hot) if filled_with == "steam" else HotWater()
    inside = cl.column(fill, top=scene.wellhead_tvd, pressure=pressure)
    below = float(inside.pressure(feed.tvd))
    if below > feed.pressure:
        asked, there = show(below, PRESSURE), show(feed.pressure, PRESSURE)
        raise cl.CannotEvaluate(
            f"wellhead_pressure {show(pressure, PRESSURE)} with {filled_with} down to the reservoir needs {asked} "
            f"there, but it has {there}; less is accepted"
        )
    return inside


def _shut_in(scene: cl.Scene, feed: _Reservoir, how: str, hot: cl.Table) -> cl.Column:
    top = scene.wellhead_tvd
    if how == "full of steam" or feed.pressure <= feed.boiling_pressure:
        if feed.pressure + ATMOSPHERE > MOST_STEAM:
            there, most = show(feed.pressure, PRESSURE), show(MOST_STEAM - ATMOSPHERE, PRESSURE)
            raise cl.CannotEvaluate(
                f"the reservoir has {there}, steam is known here to {most}; accepted: shut_in = 'steam over hot water'"
            )
        return cl.column_through(Steam(hot), depth=feed.tvd, pressure=feed.pressure, top=top)
    water = HotWater(_uniform(feed.temperature))
    level = _level(water, feed.boiling_pressure, top, feed)
    if level <= top:  # it boils nowhere
        return cl.column_through(water, depth=feed.tvd, pressure=feed.pressure, top=top)
    steam = cl.column_through(Steam(hot), depth=level, pressure=feed.boiling_pressure, top=top)
    return steam.over(water, contact=level)


def _quenched(scene: cl.Scene, feed: _Reservoir, cold: cl.Table, level: float | None) -> cl.Column:
    top, water = scene.wellhead_tvd, HotWater(cold)
    stands = _level(water, 0.0, top, feed) if level is None else max(top, float(scene.tvd(level)))
    if level is None and stands <= top:  # the reservoir holds more than a full column
        return cl.column_through(water, depth=feed.tvd, pressure=feed.pressure, top=top)
    return cl.column(water, top=stands)


def _level(water: HotWater, pressure: float, top: float, feed: _Reservoir) -> float:
    """Return the depth [m tvd] at which a column of *water* under *pressure* begins that balances the reservoir.

    The *top* where the reservoir holds as much or more; the reservoir's depth where it holds nothing.
    """
    levels = np.linspace(top, feed.tvd, 200)
    reached = water.carry(feed.tvd, levels[:, np.newaxis], pressure)[..., 0]
    return float(np.interp(-feed.pressure, -reached, levels))


def _condensing(scene: cl.Scene, feed: _Reservoir, inside: cl.Column, hot: cl.Table) -> cl.Table:
    """Return *hot*, but no colder than what fills the well boils at, and that no hotter than the reservoir."""
    bottom = max(feed.tvd, scene.shoe_tvd)
    tvd = np.unique(np.clip([*np.linspace(scene.wellhead_tvd, bottom, 100), *hot.tvd], scene.wellhead_tvd, bottom))
    boiling = saturation_temperature(np.minimum(inside.pressure(tvd) + ATMOSPHERE, MOST_STEAM))
    return cl.Table(tvd=tvd, value=np.maximum(hot(tvd), np.minimum(boiling, feed.temperature)))


# --- what to tell -----------------------------------------------------------------------------------------------------


def _told_of_steam(scene: cl.Scene, feed: _Reservoir, inside: cl.Column) -> cl.Remark:
    told, at_head = "shut in: {head} at the wellhead", float(inside.pressure(scene.wellhead_tvd))
    values = {"head": (at_head, PRESSURE)}
    if len(inside.layers) > 1:
        told += ", hot water from {level} tvd on"
        values["level"] = (float(np.mean(inside.layers[-1].top)), LEVEL)
    elif isinstance(inside.layers[0].fill, Steam) and feed.pressure > feed.boiling_pressure:
        told += "; the reservoir, {there}, makes steam of {most} at most: more is gas that has pushed its water down"
        values |= {"there": (feed.temperature, TEMPERATURE), "most": (feed.boiling_pressure, PRESSURE)}
    return cl.Remark(told, values)


def _told_of_water(inside: cl.Column) -> cl.Remark:
    top = float(np.mean(inside.layers[0].top))
    values = {"level": (top, LEVEL), "pressure": (float(inside.pressure(top)), PRESSURE)}
    return cl.Remark("quench: cold water from {level} tvd on, with {pressure} on it", values)


def _told_of_gaps(scene: cl.Scene) -> tuple[cl.Remark, ...]:
    """Tell of a length at the top that no cement holds: its yielding is not followed."""
    string = scene.string
    top = min(cement.top for cement in string.cement)
    if top <= string.top + 1.0:
        return ()
    return (cl.Remark("no cement above {top} md: yielding is not followed there", {"top": (top, LEVEL)}),)


# --- behind another string --------------------------------------------------------------------------------------------


@cl.load_case(
    phase="production",
    source=f"{_SOURCE}: every cemented string is heated, the outer ones less",
    assumptions=(
        *YIELDING,
        "pressures on the string do not change between heat and cold; what heat does to fluid that is shut in between "
        "strings is a case of its own",
    ),
    one_of=[("cold_temperature", "uniform_cold")],
    applies=_not_behind,
)
def heat_through_inner_string(
    scene: cl.Scene,
    *,
    hot_temperature: cl.TemperatureName,
    cold_temperature: cl.TemperatureName | None = None,
    uniform_cold: cl.Temperature | None = None,
    between: cl.Outside = "settled mud",
    outside: cl.Outside = "as run",
) -> cl.Load:
    """Heat through an inner string: a string behind another is heated by it and cools; yield is followed.

    Parameters
    ----------
    hot_temperature : TemperatureName
        Of this string, when the well is hot.
    cold_temperature : TemperatureName
        When it has cooled; either this or uniform_cold.
    uniform_cold : Temperature
        When it has cooled, all along.
    between : str
        What stands between the two strings.
    outside : str
        What stands behind this one: heavy, since hot pipe is at stake in collapse.
    """
    _ask_for_heat(scene)
    cold = _cold(cold_temperature, uniform_cold)
    inside, behind = scene.on(_inner(scene)).outside(between), scene.outside(outside)
    steps = [
        scene.step(name, scene.state(inside=inside, outside=behind, temperature=kelvin))
        for name, kelvin in (("heated", hot_temperature), ("cooled", cold))
    ]
    return cl.Load(steps=tuple(steps), remarks=_told_of_gaps(scene), follows_yield=True)


def _inner(scene: cl.Scene) -> str:
    """Return the name of the next string inside, from the top of this one to its shoe."""
    for later in scene.later:
        if later.top <= scene.string.top + 1e-3 and later.shoe >= scene.string.shoe:
            return later.name
    raise cl.CannotEvaluate("no one later string stands inside all of this one")


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [heat_up_and_quench, heat_through_inner_string]
