"""Load cases of gas in the well while drilling: full of it, partly, or under mud.

Gas stays below what the weakest exposed rock bears. All exposed depths are searched for it: the fill of the well is
carried from each of them, at the pressure it bears, to one depth, and the one that allows least there is the weakest.
A kick on its way up is in `casingloads.plugins.kick`, one pumped back in `casingloads.plugins.bullheading`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

import casingloads as cl
from casingloads.plugins.drilling import heated
from casingloads.pressure.columns import Fill
from casingloads.units import LENGTH, LEVEL, PRESSURE


def no_preventer(scene: cl.Scene) -> str:
    """Return why gas in the next hole cannot be shut in under this string; an empty text where it can."""
    hole = scene.string.next_hole
    if hole is None:
        return "no hole is drilled below it"
    if scene.well.subsea and not hole.riser:
        return "no preventer stands on it: the next hole is drilled without a riser"
    return ""


def gas_of(
    scene: cl.Scene, gradient: float | None, gravity: float | None, temperature: cl.Table | None
) -> cl.Gas | cl.RealGas:
    """Return the gas of a constant gradient [Pa/m] or of a gravity, as warm as the table, or the ground, says."""
    return cl.Gas(gradient) if gravity is None else cl.RealGas(gravity, temperature or scene.undisturbed())


# --- what bounds the pressure -----------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Bound:
    """The pressure [Pa] that bounds a column, its true vertical depth [m], and what it is that of."""

    depth: float
    pressure: float
    by: str
    hole_exposed: bool = True

    def remark(self, at_top: float) -> cl.Remark:
        """Return it in words, with the pressure at the top of the string [Pa]."""
        return cl.Remark(
            f"bounded by {self.by} at {{depth}} tvd, {{there}}; {{top}} at the top of the string",
            {"depth": (self.depth, LENGTH), "there": (self.pressure, PRESSURE), "top": (at_top, PRESSURE)},
        )


def in_open_hole(scene: cl.Scene, what: str, md: float | None, exposed_from: float | None) -> None:
    """Refuse a depth [m md] that lies behind this string or below its next hole, where it has one.

    Below a string that has none the formation is behind the pipe, perforated.
    """
    hole = scene.string.next_hole
    deepest = np.inf if hole is None else hole.bottom + 0.1
    shallowest = 0.0 if hole is None else scene.hole_top
    if md is not None and not shallowest <= md <= deepest:
        where = f"the open hole of this string, {shallowest:g} to {deepest:g} m"
        raise cl.CannotEvaluate(f"{what} at {md:g} m is not in {where}")
    if exposed_from is not None and not scene.hole_top - 1e-3 <= exposed_from <= deepest:
        told = f"exposed_from = {exposed_from:g} m is behind this string, or below its hole"
        raise cl.CannotEvaluate(f"{told}; its shoe is at {scene.hole_top:g} m")


def bound_of(
    scene: cl.Scene, fill: Fill, source: float, pressure: float, by: str, exposed_from: float | None, margin: float
) -> Bound:
    """Return what bounds a column of *fill*: *pressure* at *source* [m md], or the weakest exposed rock above it."""
    tvd = float(scene.tvd(source))
    in_open_hole(scene, by, source, exposed_from)
    top = scene.hole_top if exposed_from is None else exposed_from
    if source <= top:  # it comes in behind this pipe: no hole is exposed
        return Bound(depth=tvd, pressure=pressure, by=by, hole_exposed=False)
    exposed = scene.exposed("fracture", top=top, bottom=source)
    strength = scene.fracture_pressure(exposed) + margin
    if not np.any(fill.carry(exposed, tvd, pressure) > strength):
        return Bound(depth=tvd, pressure=pressure, by=by)
    allowed = fill.carry(scene.top_tvd, exposed[:, np.newaxis], strength[:, np.newaxis])
    weakest = int(np.argmin(allowed))
    return Bound(depth=float(exposed[weakest]), pressure=float(strength[weakest]), by="fracture")


def _gas_bound(
    scene: cl.Scene,
    gas: Fill,
    reservoir: float | None,
    given: cl.FormationPressure | None,
    exposed_from: float | None,
    margin: float,
) -> Bound:
    """Return what bounds gas from the reservoir, by default at the bottom of the next hole with its pore pressure."""
    md = scene.next_hole.bottom if reservoir is None else reservoir
    pressure = scene.formation_pressure(float(scene.tvd(md)), given)
    return bound_of(scene, gas, md, pressure, "the reservoir", exposed_from, margin)


@cl.load_case(
    phase="drilling",
    source="Bourgoyne et al., Applied Drilling Engineering, SPE 1986, ch. 7; Lapeyrouse, 2nd ed., surface pressure",
    assumptions=(
        "the whole string is full of gas; temperature undisturbed, unless a table is named",
        "real gas (gas_gravity) by a correlation: against a reference equation of state for methane its pressure at "
        "the top of 4000 m was found up to 0.3 % too low",
    ),
    one_of=[("gas_gradient", "gas_gravity")],
    applies=no_preventer,
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
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "settled mud",
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
        Of a real gas, relative to air; its density follows pressure and temperature.
    fracture_margin : Pressure
        By which the hole may exceed the fracture pressure.
    exposed_from : MeasuredDepth
        Top of the open hole; if left out, the shoe of this string.
    temperature : TemperatureName
        Of gas and pipe, where hot gas has warmed them; if left out, undisturbed.
    outside : str
        What stands behind the pipe. It loads in burst, so the default is the lightest credible: solids of the mud
        have settled.
    """
    gas = gas_of(scene, gas_gradient, gas_gravity, temperature)
    bound = _gas_bound(scene, gas, reservoir, reservoir_pressure, exposed_from, fracture_margin)
    inside = cl.column_through(gas, depth=bound.depth, pressure=bound.pressure, top=scene.top_tvd)
    return scene.load(
        name="full of gas",
        inside=inside,
        outside=scene.outside(outside),
        temperature=heated(scene, temperature),
        drilled_out=bound.hole_exposed,
        remarks=[bound.remark(float(inside.pressure(scene.top_tvd)))],
    )


@cl.load_case(
    phase="drilling",
    source="common practice, no source (policy of operators for wells of low risk)",
    assumptions=("pressure straight between wellhead and bottom, whatever fills the well",),
    applies=no_preventer,
)
def partial_gas(
    scene: cl.Scene,
    *,
    fraction: cl.Fraction,
    reservoir: cl.MeasuredDepth | None = None,
    reservoir_pressure: cl.FormationPressure | None = None,
    fracture_margin: cl.Pressure = "0 MPa",
    exposed_from: cl.MeasuredDepth | None = None,
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Partial gas: the pressure at the wellhead is a fraction of that at the bottom, and straight between them.

    Where the straight line would exceed what exposed rock bears, it goes from the same pressure at the wellhead through
    the weakest point.

    Parameters
    ----------
    fraction : Fraction
        Pressure at the wellhead over that of the reservoir, by your policy.
    reservoir : MeasuredDepth
        Where gas comes in; if left out, the bottom of the next hole.
    reservoir_pressure : FormationPressure
        There; if left out, the pore pressure.
    fracture_margin : Pressure
        By which the hole may exceed the fracture pressure.
    exposed_from : MeasuredDepth
        Top of the open hole; if left out, the shoe of this string.
    temperature : TemperatureName
        Of the pipe; if left out, undisturbed.
    outside : str
        What stands behind the pipe. It loads in burst, so the default is the lightest credible: solids of the mud
        have settled.
    """
    if not 0.0 <= fraction <= 1.0:
        raise cl.CannotEvaluate(f"fraction = {fraction:g} is not a part of the pressure; need 0 to 1")
    md = scene.next_hole.bottom if reservoir is None else reservoir
    in_open_hole(scene, "the reservoir", scene.next_hole.bottom if reservoir is None else reservoir, exposed_from)
    top = scene.hole_top if exposed_from is None else exposed_from
    depth = np.array([float(scene.tvd(md))])
    allowed = np.array([scene.formation_pressure(depth[0], reservoir_pressure)])
    head, at_head = scene.wellhead_tvd, fraction * float(allowed[0])
    if md > top:
        exposed = scene.exposed("fracture", top=top, bottom=md)
        depth = np.append(depth, exposed)
        allowed = np.append(allowed, scene.fracture_pressure(exposed) + fracture_margin)
    gradients = (allowed - at_head) / (depth - head)
    least = int(np.argmin(gradients))
    if gradients[least] < 0.0:
        raise cl.CannotEvaluate(
            f"fraction = {fraction:g} gives {at_head / 1e6:.2f} MPa at the wellhead, and the rock at "
            f"{depth[least]:.0f} m tvd bears {allowed[least] / 1e6:.2f} MPa; need a smaller one"
        )
    bound = Bound(
        depth=float(depth[least]), pressure=float(allowed[least]), by="fracture" if least else "the reservoir"
    )
    inside = cl.column_through(cl.Gas(float(gradients[least])), depth=head, pressure=at_head, top=scene.top_tvd)
    return scene.load(
        name="partly gas",
        inside=inside,
        outside=scene.outside(outside),
        temperature=heated(scene, temperature),
        drilled_out=md > top,
        remarks=[bound.remark(float(inside.pressure(scene.top_tvd)))],
    )


@cl.load_case(
    phase="drilling",
    source="manual page after Bourgoyne et al., Applied Drilling Engineering, SPE 1986 (secondary copy)",
    assumptions=("mud above, gas below, in contact; temperature undisturbed, unless a table is named",),
    one_of=[("gas_gradient", "gas_gravity")],
    applies=no_preventer,
)
def mud_over_gas(
    scene: cl.Scene,
    *,
    wellhead_pressure: cl.Pressure,
    mud: cl.FluidName | None = None,
    reservoir: cl.MeasuredDepth | None = None,
    reservoir_pressure: cl.FormationPressure | None = None,
    gas_gradient: cl.Gradient | None = None,
    gas_gravity: float | None = None,
    fracture_margin: cl.Pressure = "0 MPa",
    exposed_from: cl.MeasuredDepth | None = None,
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Mud over gas: the pressure at the wellhead is kept to a rating, with as much mud over the gas as that takes.

    Gas below is bounded as in gas to surface. Where gas alone stays below the rating, all is gas; where mud alone
    reaches it, all is mud.

    Parameters
    ----------
    wellhead_pressure : Pressure
        Rating of the wellhead or the preventer, above what stands around it.
    mud : FluidName
        If left out, the mud of the next hole.
    reservoir : MeasuredDepth
        Where gas comes in; if left out, the bottom of the next hole.
    reservoir_pressure : FormationPressure
        There; if left out, the pore pressure.
    gas_gradient : Gradient
        Of a gas of constant gradient; either this or gas_gravity.
    gas_gravity : float
        Of a real gas, relative to air; its density follows pressure and temperature.
    fracture_margin : Pressure
        By which the hole may exceed the fracture pressure.
    exposed_from : MeasuredDepth
        Top of the open hole; if left out, the shoe of this string.
    temperature : TemperatureName
        Of gas and pipe; if left out, undisturbed.
    outside : str
        What stands behind the pipe. It loads in burst, so the default is the lightest credible: solids of the mud
        have settled.
    """
    gas = gas_of(scene, gas_gradient, gas_gravity, temperature)
    bound = _gas_bound(scene, gas, reservoir, reservoir_pressure, exposed_from, fracture_margin)
    heavy, head = scene.next_mud(mud), scene.wellhead_tvd
    cap = scene.ambient_at_wellhead + wellhead_pressure

    def too_much(tvd: float) -> float:
        """Return by how much mud under the cap presses harder than the gas [Pa]."""
        return float(cap + heavy.gradient * (tvd - head) - gas.carry(tvd, bound.depth, bound.pressure))

    if too_much(head) >= 0.0:
        name, told = "full of gas", "the rating is not reached: all is gas"
        contact, inside = head, cl.column_through(gas, depth=bound.depth, pressure=bound.pressure, top=head)
    elif too_much(bound.depth) <= 0.0:
        name, told, contact = "full of mud", "the rating is reached with mud alone", bound.depth
        inside = cl.column(heavy, top=head, pressure=cap)
    else:
        name, told = "mud over gas", "mud stands on gas at {contact} tvd"
        from scipy.optimize import brentq  # slow to import

        contact = float(brentq(too_much, head, bound.depth, xtol=1e-6))
        inside = cl.column(heavy, top=head, pressure=cap).over(gas, contact=contact)
    remarks = [
        bound.remark(float(inside.pressure(scene.top_tvd))),
        cl.Remark(told, {"contact": (contact, LEVEL)}),
    ]
    return scene.load(
        name=name,
        inside=inside,
        outside=scene.outside(outside),
        temperature=heated(scene, temperature),
        drilled_out=bound.hole_exposed,
        remarks=remarks,
    )


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [gas_to_surface, partial_gas, mud_over_gas]
