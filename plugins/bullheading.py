"""Load case of bullheading: gas in the well is pumped back where it came from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

import casingloads as cl
from casingloads.arrays import Array, ArrayLike, Sampled
from casingloads.plugins.drilling import heated
from casingloads.plugins.well_control import Bound, bound_of, gas_of, no_preventer
from casingloads.pressure.columns import Fill, Liquid
from casingloads.pressure.pumped import Pumped
from casingloads.units import GRADIENT


@dataclass(frozen=True)
class _Pumped:
    """A fill that is pumped down: friction takes *loss* [Pa] a metre of true vertical depth off its gradient."""

    fill: Fill
    loss: float

    def carry(self, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled) -> Array:
        """Return the pressure at *tvd*, given that at *from_tvd*."""
        return self.fill.carry(tvd, from_tvd, from_pressure) - self.loss * np.subtract(tvd, from_tvd)

    def words(self) -> cl.Remark:
        """Return what it is, in words."""
        what = self.fill.words()
        if self.loss == 0.0:
            return what
        return cl.Remark(f"{what.template}, less {{loss}} of friction,", {**what.values, "loss": (self.loss, GRADIENT)})


def _no_open_zone(scene: cl.Scene) -> str:
    if scene.string.next_hole is None:
        return "no hole is drilled below it; name the case, with its zone, where the pipe is perforated"
    return no_preventer(scene)


@cl.load_case(
    phase="drilling",
    source="NORSOK D-010, table 2 (well control loads to be covered; secondary copy); construction: common practice, "
    "no source",
    assumptions=(
        "steady pumping; friction spread evenly over the vertical depth from wellhead to zone; its drag along the pipe "
        "is left out",
        "temperature undisturbed, unless a table is named",
    ),
    one_of=[("gas_gradient", "gas_gravity")],
    applies=_no_open_zone,
)
def bullheading(
    scene: cl.Scene,
    *,
    zone: cl.MeasuredDepth | None = None,
    injection_pressure: cl.FormationPressure | None = None,
    kill_fluid: cl.FluidName | None = None,
    gas_gradient: cl.Gradient | None = None,
    gas_gravity: float | None = None,
    friction: cl.Pressure = "0 MPa",
    fracture_margin: cl.Pressure = "0 MPa",
    exposed_from: cl.MeasuredDepth | None = None,
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Bullheading: gas in the well is pumped back into the open zone, first full of gas, then of kill fluid.

    The zone takes what is pumped at its injection pressure, or weaker exposed rock does before it. The wellhead sees
    most at the beginning.

    Parameters
    ----------
    zone : MeasuredDepth
        What takes the fluid; if left out, the bottom of the next hole.
    injection_pressure : FormationPressure
        At which it takes fluid: that of the reservoir with what drives the flow, for example; if left out, the fracture
        pressure there.
    kill_fluid : FluidName
        What is pumped; if left out, the mud of the next hole.
    gas_gradient : Gradient
        Of a gas of constant gradient; either this or gas_gravity.
    gas_gravity : float
        Of a real gas, relative to air; its density follows pressure and temperature.
    friction : Pressure
        Lost between wellhead and zone at the rate of pumping.
    fracture_margin : Pressure
        By which the hole may exceed the fracture pressure.
    exposed_from : MeasuredDepth
        Top of the open hole; if left out, the shoe of this string.
    temperature : TemperatureName
        Of the pipe, cooled by what is pumped, for example; if left out, undisturbed.
    outside : str
        What stands behind the pipe. It loads in burst, so the default is the lightest credible: solids of the mud
        have settled.
    """
    if scene.string.next_hole is None and (zone is None or kill_fluid is None):
        raise cl.MissingInput("zone and kill_fluid: no hole is drilled below this string")
    md = scene.next_hole.bottom if zone is None else zone
    tvd = float(scene.tvd(md))
    if tvd <= scene.wellhead_tvd + 1.0:
        raise cl.CannotEvaluate(f"zone = {md:g} m is not below the wellhead")
    taken = scene.fracture_pressure(tvd) + fracture_margin if injection_pressure is None else injection_pressure.at(tvd)
    loss = friction / (tvd - scene.wellhead_tvd)
    kill = kill_fluid or scene.next_mud()
    fills = {
        "pumping begins, full of gas": _Pumped(gas_of(scene, gas_gradient, gas_gravity, temperature), loss),
        "kill fluid down to the zone": _Pumped(Liquid(kill), loss),
    }
    steps, remarks, behind, warm = [], [], scene.outside(outside), heated(scene, temperature)
    for name, fill in fills.items():
        bound = bound_of(scene, fill, md, float(taken), "the zone", exposed_from, fracture_margin)
        top = scene.top_tvd
        at_top = float(fill.carry(top, bound.depth, bound.pressure))
        if at_top < 0.0:  # what is pumped falls until it balances the zone
            top, at_top = _level(fill, bound, top), 0.0
        inside = cl.column_through(fill, depth=bound.depth, pressure=bound.pressure, top=top)
        calm = cl.column_through(fill.fill, depth=bound.depth, pressure=bound.pressure, top=top)
        pumped = Pumped(pressure=inside, at_rest=calm)
        state = scene.state(inside=pumped, outside=behind, temperature=warm, drilled_out=bound.hole_exposed)
        steps.append(scene.step(name, state))
        remarks.append(bound.remark(at_top).after(f"{name}: "))
    return cl.Load(steps=tuple(steps), remarks=tuple(remarks))


def _level(fill: Fill, bound: Bound, above: float) -> float:
    """Return the true vertical depth [m], below *above*, at which a column of *fill* has no pressure left."""
    from scipy.optimize import brentq  # slow to import

    return float(brentq(lambda tvd: float(fill.carry(tvd, bound.depth, bound.pressure)), above, bound.depth, xtol=1e-6))


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the case of this module."""
    return [bullheading]
