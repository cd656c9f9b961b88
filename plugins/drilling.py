"""Load cases of drilling ahead: hanger and set cement hold the string, the next hole loads it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

import casingloads as cl
from casingloads.constants import GRAVITY
from casingloads.scene import OutsideChoice
from casingloads.units import LENGTH, LEVEL, PRESSURE


@cl.load_case(
    phase="drilling",
    source="30 CFR 250.721 (pressure tests of casing); PetroWiki, mechanical loads on casing",
    assumptions=("temperature undisturbed",),
)
def pressure_test(
    scene: cl.Scene,
    *,
    pressure: cl.Pressure,
    fluid: cl.FluidName | None = None,
    quoted_at: Literal["wellhead", "drill floor"] = "wellhead",
    outside: OutsideChoice = "as run",
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
    outside : str
        What stands behind the pipe.
    """
    filling = fluid or scene.string.displaced_with
    if quoted_at == "drill floor":
        inside = cl.column(filling, top=0.0, pressure=pressure)
    else:
        at_wellhead = scene.ambient_at_wellhead + pressure
        inside = cl.column_through(filling, depth=scene.wellhead_tvd, pressure=at_wellhead, top=scene.wellhead_tvd)
    return scene.load(name="test", inside=inside, outside=scene.outside(outside))


@cl.load_case(
    phase="drilling",
    source="Bourgoyne et al., Applied Drilling Engineering, SPE 1986, ch. 7; Lapeyrouse, 2nd ed., surface pressure",
    assumptions=(
        "the whole string is full of gas, temperature undisturbed",
        "real gas (gas_gravity) by a correlation: against a reference equation of state for methane its pressure at "
        "the top of 4000 m was found up to 0.3 % too low",
    ),
    one_of=[("gas_gradient", "gas_gravity")],
)
def gas_to_surface(
    scene: cl.Scene,
    *,
    reservoir: cl.MeasuredDepth | None = None,
    reservoir_pressure: cl.FormationPressure | None = None,
    gas_gradient: cl.Gradient | None = None,
    gas_gravity: float | None = None,
    fracture_margin: cl.Pressure = "0 MPa",
    exposed_from: cl.MeasuredDepth | None = None,
    outside: OutsideChoice = "as run",
) -> cl.Load:
    """Gas to surface: gas fills well and string, bounded by the reservoir or by the weakest fracture.

    The gas column through the reservoir pressure would break down the hole wherever it exceeds the fracture pressure;
    then the column through the weakest point takes its place. All exposed depths are searched.

    Parameters
    ----------
    reservoir : MeasuredDepth
        Where gas comes in; if left out, the bottom of the next hole.
    reservoir_pressure : FormationPressure
        There; if left out, the pore pressure.
    gas_gradient : Gradient
        Of a gas of constant gradient; either this or gas_gravity.
    gas_gravity : float
        Of a real gas, relative to air; its density follows pressure and undisturbed temperature.
    fracture_margin : Pressure
        By which the hole may exceed the fracture pressure.
    exposed_from : MeasuredDepth
        Top of the open hole; if left out, the shoe of this string.
    outside : str
        What stands behind the pipe.
    """
    gas = _gas(scene, gas_gradient, gas_gravity)
    depth = scene.next_hole.bottom if reservoir is None else reservoir
    tvd = float(scene.tvd(depth))
    at_reservoir = _formation(scene, reservoir_pressure, tvd)
    anchor, pressure, bound = tvd, at_reservoir, "the reservoir"
    top = scene.string.shoe if exposed_from is None else exposed_from
    drilled = depth > top
    if drilled:  # else the gas comes in behind this pipe, and no hole is exposed
        exposed = scene.exposed("fracture", top=top, bottom=depth)
        strength = scene.fracture_pressure(exposed) + fracture_margin
        if np.any(gas.carry(exposed, tvd, at_reservoir) > strength):
            # carried to one depth, the weakest point is the one that allows least there
            allowed = gas.carry(scene.top_tvd, exposed[:, np.newaxis], strength[:, np.newaxis])
            weakest = int(np.argmin(allowed))
            anchor, pressure, bound = float(exposed[weakest]), float(strength[weakest]), "fracture"
    inside = cl.column_through(gas, depth=anchor, pressure=pressure, top=scene.top_tvd)
    at_top = float(inside.pressure(scene.top_tvd))
    remark = cl.Remark(
        f"bounded by {bound} at {{depth}} tvd, {{there}}; {{top}} at the top of the string",
        {"depth": (anchor, LENGTH), "there": (pressure, PRESSURE), "top": (at_top, PRESSURE)},
    )
    return scene.load(
        name="full of gas", inside=inside, outside=scene.outside(outside), remarks=[remark], drilled_out=drilled
    )


def _gas(scene: cl.Scene, gradient: float | None, gravity: float | None) -> cl.Gas | cl.RealGas:
    return cl.RealGas(gravity, scene.undisturbed()) if gravity is not None else cl.Gas(gradient)


def _formation(scene: cl.Scene, given: cl.FormationPressure | None, tvd: float) -> float:
    return float(scene.pore_pressure(tvd) if given is None else given.at(tvd))


@cl.load_case(
    phase="drilling",
    source="Devereux, Practical Well Planning and Drilling Manual, 1998, tables 1-2 to 1-6; Bourgoyne et al., ch. 7",
    assumptions=(
        "the mud falls until it balances the thief zone; above its level there is nothing (with a riser "
        "the sea stays out of it); without a riser the sea follows the mud down",
    ),
)
def lost_returns(
    scene: cl.Scene,
    *,
    thief_zone: cl.MeasuredDepth | None = None,
    thief_pressure: cl.FormationPressure | None = None,
    mud: cl.FluidName | None = None,
    exposed_from: cl.MeasuredDepth | None = None,
    outside: OutsideChoice = "as run",
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
        What stands behind the pipe.
    """
    heavy = scene.next_mud(mud)
    zones = _thief_zones(scene, thief_zone, exposed_from)
    pressure = np.array([_formation(scene, thief_pressure, float(zone)) for zone in zones])
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
    outside: OutsideChoice,
) -> cl.Load:
    """Without a riser: sea water down to the contact at which sea and mud together balance the zone."""
    sea = scene.sea_column()
    sea_floor = float(scene.well.sea_floor or 0.0)
    lighter = mud.gradient - _sea_gradient(scene)
    if lighter <= 0.0:
        return scene.load(
            name="open to the sea", inside=scene.mud_column(mud, riser=False), outside=scene.outside(outside)
        )
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


@cl.load_case(
    phase="drilling",
    source="graphical method of university lectures; Bourgoyne et al., Applied Drilling Engineering, SPE 1986, ch. 7",
    assumptions=("nothing inside above the level, temperature undisturbed",),
)
def evacuation(
    scene: cl.Scene,
    *,
    level: cl.MeasuredDepth | None = None,
    mud: cl.FluidName | None = None,
    outside: OutsideChoice = "as run",
) -> cl.Load:
    """Evacuation: the string is empty, whole or down to a level.

    Parameters
    ----------
    level : MeasuredDepth
        Down to which it is empty; if left out, all of it.
    mud : FluidName
        Below the level; if left out, the mud of the next hole.
    outside : str
        What stands behind the pipe.
    """
    hole = scene.string.next_hole
    refilled = scene.well.subsea and hole is not None and not hole.riser
    remarks = [_REFILLED] if refilled else []
    inside: cl.Empty | cl.Column
    if level is None:
        name, inside = "empty", cl.Empty()
    else:
        name, inside = "empty to the level", cl.column(scene.next_mud(mud), top=float(scene.tvd(level)))
    return scene.load(
        name=name, inside=inside, outside=scene.outside(outside), drilled_out=hole is not None, remarks=remarks
    )


_REFILLED = cl.Remark("without a riser the sea refills the hole: this load is beyond what can happen")


@cl.load_case(
    phase="drilling",
    source="30 CFR 250.442 (older edition; duty to compensate hydrostatic head before the riser is removed); "
    "construction by hydrostatics",
    assumptions=("the mud below the wellhead stays in the hole",),
)
def riser_loss(scene: cl.Scene, *, mud: cl.FluidName | None = None, outside: OutsideChoice = "as run") -> cl.Load:
    """Riser loss: the mud in the riser is gone, and sea water stands on the wellhead in its place.

    If the preventer shuts first, the old pressure stays below it; if the well stays open, the pressure at the wellhead
    becomes the sea's, so that the column above the sea, of the air gap's height, is lost as well.

    Parameters
    ----------
    mud : FluidName
        If left out, the mud of the next hole.
    outside : str
        What stands behind the pipe.
    """
    if not scene.well.subsea:
        raise cl.CannotEvaluate("the wellhead is not on the sea floor: there is no riser to lose")
    if not scene.next_hole.riser:
        raise cl.CannotEvaluate("the next hole is drilled without a riser")
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


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [pressure_test, gas_to_surface, lost_returns, evacuation, riser_loss]
