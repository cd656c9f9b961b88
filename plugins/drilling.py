"""Load cases of drilling ahead: hanger and set cement hold the string, the next hole loads it.

Gas and kicks are in `casingloads.plugins.well_control`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

import casingloads as cl
from casingloads.constants import GRAVITY
from casingloads.units import LENGTH, LEVEL, PRESSURE


def _no_hole(scene: cl.Scene) -> str:
    return "" if scene.string.next_hole else "no hole is drilled below it"


def _open_to_the_sea(scene: cl.Scene) -> bool:
    """Return whether the next hole is drilled without a riser, and so without a preventer."""
    hole = scene.string.next_hole
    return scene.well.subsea and hole is not None and not hole.riser


def _no_preventer(scene: cl.Scene) -> str:
    return "no preventer stands on it: the next hole is drilled without a riser" if _open_to_the_sea(scene) else ""


def heated(scene: cl.Scene, temperature: cl.Table | None) -> cl.Table | None:
    """Return *temperature*, after asking for the one the cement set at: without that, heat would act on nothing."""
    if temperature is not None:
        scene.temperature_as_set()
    return temperature


@cl.load_case(
    phase="drilling",
    source="30 CFR 250.721 (pressure tests of casing); PetroWiki, mechanical loads on casing",
    assumptions=("temperature undisturbed, unless a table is named",),
    applies=_no_preventer,
)
def pressure_test(
    scene: cl.Scene,
    *,
    pressure: cl.Pressure,
    fluid: cl.FluidName | None = None,
    quoted_at: Literal["wellhead", "drill floor"] = "wellhead",
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Pressure test after the cement has set.

    Parameters
    ----------
    pressure : Pressure
        Test pressure. At the wellhead it counts above what stands around the wellhead: the sea's pressure on the sea
        floor, the atmosphere elsewhere. At the drill floor it is the pump's, and the line is full of the test fluid.
    fluid : FluidName
        Test fluid; if left out, the one the cement was displaced with.
    quoted_at : str
        Where the test pressure is meant.
    temperature : TemperatureName
        Of the pipe, after circulation for example; if left out, undisturbed.
    outside : str
        What stands behind the pipe. It loads in burst, so the default is the lightest credible: solids of the mud
        have settled.
    """
    filling = fluid or scene.string.displaced_with
    if quoted_at == "drill floor":
        inside = cl.column(filling, top=0.0, pressure=pressure)
    else:
        at_wellhead = scene.ambient_at_wellhead + pressure
        inside = cl.column_through(filling, depth=scene.wellhead_tvd, pressure=at_wellhead, top=scene.wellhead_tvd)
    warm = heated(scene, temperature)
    return scene.load(name="test", inside=inside, outside=scene.outside(outside), temperature=warm)


@cl.load_case(
    phase="drilling",
    source="construction by hydrostatics; Pattillo, Cocales and Morey 2004, SPE 89775 (heat of circulation)",
    assumptions=(
        "mud full and at rest: no friction in the annulus",
        "pressure of trapped annuli not raised by the heat",
    ),
    applies=_no_hole,
)
def circulation(
    scene: cl.Scene,
    *,
    temperature: cl.TemperatureName,
    mud: cl.FluidName | None = None,
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Circulation: mud of the next hole, pumped around, heats the upper part of the string and cools the lower.

    Heat puts held pipe into compression, cold into tension.

    Parameters
    ----------
    temperature : TemperatureName
        Of the pipe after long circulation.
    mud : FluidName
        If left out, the mud of the next hole.
    outside : str
        What stands behind the pipe. The mud inside is as a rule the heavier, so the default is the lightest credible:
        solids of the mud outside have settled.
    """
    return scene.load(
        name="circulating",
        inside=scene.mud_column(scene.next_mud(mud)),
        outside=scene.outside(outside),
        temperature=heated(scene, temperature),
        drilled_out=True,
    )


@cl.load_case(
    phase="drilling",
    source="Devereux, Practical Well Planning and Drilling Manual, 1998, tables 1-2 to 1-6; Bourgoyne et al., ch. 7",
    assumptions=(
        "the mud falls until it balances the thief zone; above its level there is nothing (with a riser "
        "the sea stays out of it); without a riser the sea follows the mud down",
    ),
    applies=_no_hole,
)
def lost_returns(
    scene: cl.Scene,
    *,
    thief_zone: cl.MeasuredDepth | None = None,
    thief_pressure: cl.FormationPressure | None = None,
    mud: cl.FluidName | None = None,
    exposed_from: cl.MeasuredDepth | None = None,
    outside: cl.Outside = "as run",
) -> cl.Load:
    """Lost returns: the mud level falls until its column balances a thief zone.

    Without a named zone the whole exposed hole is searched for the depth that lets the level fall deepest.

    Parameters
    ----------
    thief_zone : MeasuredDepth
        Where mud is lost; if left out, the worst depth of the next hole.
    thief_pressure : FormationPressure
        There; if left out, the pore pressure.
    mud : FluidName
        If left out, the mud of the next hole.
    exposed_from : MeasuredDepth
        Top of the open hole; if left out, the shoe of this string.
    outside : str
        What stands behind the pipe. It loads in collapse, so the default is the heaviest credible: the fluid as run.
    """
    heavy = scene.next_mud(mud)
    if exposed_from is not None and not scene.hole_top - 1e-3 <= exposed_from <= scene.next_hole.bottom:
        told = f"exposed_from = {exposed_from:g} m is behind this string, or below its hole"
        raise cl.CannotEvaluate(f"{told}; its shoe is at {scene.hole_top:g} m")
    zones = _thief_zones(scene, thief_zone, exposed_from)
    pressure = np.array([scene.formation_pressure(float(zone), thief_pressure) for zone in zones])
    if scene.well.subsea and not scene.next_hole.riser:
        return _lost_to_the_sea(scene, heavy, zones, pressure, outside)
    level = zones - pressure / heavy.gradient
    worst = int(np.argmax(level))
    full = scene.own_top(heavy)
    deepest = max(full, float(level[worst]))  # a zone that holds the full column takes nothing
    inside = cl.column(heavy, top=deepest)
    falls = deepest > full
    told = "mud level {level} below the drill floor" if falls else "no loss, the mud stays at the drill floor"
    remark = cl.Remark(
        told + "; thief zone at {depth} tvd with {there}",
        {
            "level": (deepest, LEVEL),
            "depth": (float(zones[worst]), LENGTH),
            "there": (float(pressure[worst]), PRESSURE),
        },
    )
    return scene.load(
        name="level fallen", inside=inside, outside=scene.outside(outside), drilled_out=True, remarks=[remark]
    )


def _thief_zones(
    scene: cl.Scene, zone: float | None, top: float | None
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    if zone is None:
        return scene.exposed("pore_pressure", top=top)
    if zone <= scene.string.shoe:
        raise cl.CannotEvaluate(f"thief_zone {zone:g} m is behind this string; its shoe is at {scene.string.shoe:g} m")
    return np.array([float(scene.tvd(zone))])


def _lost_to_the_sea(
    scene: cl.Scene,
    mud: cl.Fluid,
    zones: np.ndarray[tuple[int], np.dtype[np.float64]],
    pressure: np.ndarray[tuple[int], np.dtype[np.float64]],
    outside: cl.Outside,
) -> cl.Load:
    """Without a riser: sea water down to the contact at which sea and mud together balance the zone."""
    sea = scene.sea_column()
    sea_floor = float(scene.well.sea_floor or 0.0)
    lighter = mud.gradient - _sea_gradient(scene)
    if lighter <= 0.0:
        full_of_mud = scene.mud_column(mud, riser=False)
        return scene.load(name="open to the sea", inside=full_of_mud, outside=scene.outside(outside), drilled_out=True)
    full = scene.mud_column(mud, riser=False).pressure(zones)
    fall = np.clip((full - pressure) / lighter, 0.0, zones - sea_floor)
    contact = sea_floor + float(np.max(fall))
    inside = sea.over(mud, contact=contact)
    remark = cl.Remark("sea water stands on the mud at {contact} tvd", {"contact": (contact, LEVEL)})
    return scene.load(
        name="sea water follows", inside=inside, outside=scene.outside(outside), drilled_out=True, remarks=[remark]
    )


def _sea_gradient(scene: cl.Scene) -> float:
    sea_water = scene.well.sea_water
    if sea_water is None:
        raise cl.MissingInput("fluids.'sea water'")
    return sea_water.density * GRAVITY


def _refilled(scene: cl.Scene) -> str:
    return "without a riser the sea refills the hole" if _open_to_the_sea(scene) else ""


@cl.load_case(
    phase="drilling",
    source="graphical method of university lectures; Bourgoyne et al., Applied Drilling Engineering, SPE 1986, ch. 7; "
    "a level by fraction: common practice, no source",
    assumptions=("nothing inside above the level, temperature undisturbed",),
    applies=_refilled,
)
def evacuation(
    scene: cl.Scene,
    *,
    level: cl.MeasuredDepth | None = None,
    level_fraction: cl.Fraction | None = None,
    mud: cl.FluidName | None = None,
    outside: cl.Outside = "as run",
) -> cl.Load:
    """Evacuation: the string is empty, whole or down to a level.

    Parameters
    ----------
    level : MeasuredDepth
        Down to which it is empty; if left out, all of it is, unless level_fraction is given.
    level_fraction : Fraction
        The level as a fraction of the true vertical depth of the next hole, from the drill floor, a third or a half for
        example; if left out, as level says.
    mud : FluidName
        Below the level; if left out, the mud of the next hole.
    outside : str
        What stands behind the pipe. It loads in collapse, so the default is the heaviest credible: the fluid as run.
    """
    depth = _level(scene, level, level_fraction)
    remarks = [_REFILLED] if _open_to_the_sea(scene) else []
    inside: cl.Empty | cl.Column
    if depth is None:
        name, inside = "empty", cl.Empty()
    else:
        name, inside = "empty to the level", cl.column(scene.next_mud(mud), top=depth)
        remarks.append(cl.Remark("empty to {level} tvd", {"level": (depth, LEVEL)}))
    drilled = scene.string.next_hole is not None
    return scene.load(name=name, inside=inside, outside=scene.outside(outside), drilled_out=drilled, remarks=remarks)


def _level(scene: cl.Scene, level: float | None, fraction: float | None) -> float | None:
    """Return the true vertical depth of the level [m]; None where the string is empty all along."""
    if level is not None and fraction is not None:
        raise cl.CannotEvaluate("level and level_fraction are both given; give one of them")
    if fraction is None:
        return None if level is None else float(scene.tvd(level))
    if not 0.0 <= fraction <= 1.0:
        raise cl.CannotEvaluate(f"level_fraction = {fraction:g} is not a part of the depth; need 0 to 1")
    return fraction * float(scene.tvd(scene.next_hole.bottom))


_REFILLED = cl.Remark("without a riser the sea refills the hole: this load is beyond what can happen")


def _no_riser(scene: cl.Scene) -> str:
    if not scene.well.subsea:
        return "the wellhead is not on the sea floor: there is no riser to lose"
    return "the next hole is drilled without a riser" if _open_to_the_sea(scene) else _no_hole(scene)


@cl.load_case(
    phase="drilling",
    source="30 CFR 250.442 (older edition; duty to compensate hydrostatic head before the riser is removed); "
    "construction by hydrostatics",
    assumptions=("the mud below the wellhead stays in the hole",),
    applies=_no_riser,
)
def riser_loss(scene: cl.Scene, *, mud: cl.FluidName | None = None, outside: cl.Outside = "as run") -> cl.Load:
    """Riser loss or emergency disconnect: the mud in the riser is gone, and sea water stands on the wellhead.

    If the preventer shuts first, the old pressure stays below it; if the well stays open, the pressure at the wellhead
    becomes the sea's, so that the column above the sea, of the air gap's height, is lost as well.

    Parameters
    ----------
    mud : FluidName
        If left out, the mud of the next hole.
    outside : str
        What stands behind the pipe. It loads in collapse, so the default is the heaviest credible: the fluid as run.
    """
    if not scene.well.subsea or not scene.next_hole.riser:
        raise cl.CannotEvaluate(_no_riser(scene))
    heavy = scene.next_mud(mud)
    head = scene.wellhead_tvd
    before = scene.mud_column(heavy, riser=True)
    trapped = cl.column(heavy, top=head, pressure=float(before.pressure(head)))
    open_to_sea = cl.column(heavy, top=head, pressure=scene.ambient_at_wellhead)
    behind = scene.outside(outside)
    return cl.Load(
        steps=(
            scene.step("preventer shut first", scene.state(inside=trapped, outside=behind, drilled_out=True)),
            scene.step("well open to the sea", scene.state(inside=open_to_sea, outside=behind, drilled_out=True)),
        )
    )


def _not_riserless(scene: cl.Scene) -> str:
    if not scene.well.subsea:
        return "the wellhead is not on the sea floor"
    return _no_hole(scene) or ("" if _open_to_the_sea(scene) else "the next hole is drilled with a riser")


@cl.load_case(
    phase="drilling",
    source="construction by hydrostatics; API Std 65-1 and 65-2 (riserless sections; citation from memory)",
    assumptions=(
        "returns flow out at the sea floor; weight of the wellhead and bending by current are not part of it",
    ),
    applies=_not_riserless,
)
def riserless_drilling(scene: cl.Scene, *, mud: cl.FluidName | None = None, outside: cl.Outside = "as run") -> cl.Load:
    """Riserless drilling: the hole is open to the sea at the sea floor, full of mud, or of sea water once that is lost.

    At the sea floor the pressure inside is the sea's. A level that falls is refilled by the sea, so that the string is
    never empty.

    Parameters
    ----------
    mud : FluidName
        If left out, the mud of the next hole.
    outside : str
        What stands behind the pipe. Sea water loads in collapse, so the default is the heaviest credible: the fluid as
        run.
    """
    if not scene.well.subsea or scene.next_hole.riser:
        raise cl.CannotEvaluate(_not_riserless(scene))
    heavy, behind = scene.next_mud(mud), scene.outside(outside)
    full = scene.state(inside=scene.mud_column(heavy, riser=False), outside=behind, drilled_out=True)
    lost = scene.state(inside=scene.sea_column(), outside=behind, drilled_out=True)
    if heavy == scene.well.sea_water:
        return cl.Load(steps=(scene.step("sea water", lost),))
    return cl.Load(steps=(scene.step("mud to the sea floor", full), scene.step("mud lost to the sea", lost)))


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [pressure_test, circulation, lost_returns, evacuation, riser_loss, riserless_drilling]
