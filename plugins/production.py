"""Load cases of production: tubing in a packer leaks, the reservoir is drawn down, gas lifts the oil, the well is hot.

Down to the packer a string is loaded by the annulus around the tubing, below it by the reservoir. Pressures at the
wellhead are against the atmosphere, also on the sea floor.
"""

from __future__ import annotations

from collections.abc import Sequence

import casingloads as cl
from casingloads.plugins.well_control import gas_of
from casingloads.pressure.columns import Pressure
from casingloads.units import LEVEL, PRESSURE

_SAME = 1e-3  # depths told twice may differ by this much [m]

REACHES_ALL = "what is in the well loads all of the string, also where a liner laps it or a tie-back stands in it"


def covered(scene: cl.Scene) -> str:
    """Return why what is in the finished well does not reach a string; nothing where it does.

    It reaches a string where no later one stands inside: the innermost string at the wellhead, a liner below it, a
    liner above another, a tie-back.
    """
    reach = scene.string.top
    for string in sorted(scene.later, key=lambda string: string.top):
        if string.top <= reach + _SAME:
            reach = max(reach, string.shoe)
    return "later strings stand inside all of it" if reach >= scene.string.shoe - _SAME else ""


def no_production(scene: cl.Scene) -> str:
    """Return why a string sees no production; nothing where it does.

    A well file names no string for production, so its geometry tells: what is in the well reaches the string, and the
    well is finished, that is, no hole is left below its deepest string. A well completed in open hole looks like one
    still drilled; there the case is asked for by name.
    """
    deepest = max(scene.well.strings, key=lambda string: string.shoe)
    if deepest.next_hole is not None:
        return f"the hole below {deepest.name!r} is not cased in this file, so the well is not finished"
    return covered(scene)


def around_tubing(scene: cl.Scene, packer: float, above: Pressure, below: Pressure) -> Pressure:
    """Return what stands in a string that the packer [m md] divides: the annulus *above* it, the well *below*."""
    head, deepest = scene.well.wellhead_depth, max(string.shoe for string in scene.well.strings)
    if not head < packer <= deepest:
        reach = f"the wellhead, {head:g} m, and the deepest shoe, {deepest:g} m"
        raise cl.CannotEvaluate(f"packer = {packer:g} m is not between {reach}")
    if packer >= scene.string.shoe:
        return above
    if packer <= scene.string.top:
        return below
    return cl.Intervals(tops=(scene.string.top, packer), parts=(above, below))


def from_wellhead(scene: cl.Scene, fill: cl.Fluid | cl.Gas | cl.RealGas, pressure: float) -> cl.Column:
    """Return a column of *fill* from the wellhead down, with *pressure* [Pa] at its top."""
    return cl.column(fill, top=scene.wellhead_tvd, pressure=pressure)


def _uniform(pressure: float) -> Pressure:
    """Return one pressure at every depth: gas whose weight does not count."""
    return cl.column(cl.Gas(0.0), pressure=pressure) if pressure else cl.Empty()


def _at_rest(scene: cl.Scene, packer: float) -> Pressure:
    """Return the pore pressure for what is below the packer; it is asked for only if the string reaches there."""
    return scene.outside("pore pressure") if scene.string.shoe > packer else cl.Empty()


def moment(scene: cl.Scene, name: str, inside: Pressure, behind: Pressure, temperature: cl.Table | None) -> cl.Step:
    """Return a step of the finished well; the shoe of a string that was drilled out is open."""
    drilled_out = scene.string.next_hole is not None
    state = scene.state(inside=inside, outside=behind, temperature=temperature, drilled_out=drilled_out)
    return scene.step(name, state)


# --- tubing leak ------------------------------------------------------------------------------------------------------


@cl.load_case(
    phase="production",
    source="Devereux, Practical Well Planning and Drilling Manual, 1998, tables 1-4 and 1-6; PetroWiki, internal "
    "pressure loads on casing (from memory)",
    assumptions=(
        "the tubing leaks at the wellhead, where it presses most; the packer and the packer fluid stay",
        "real gas (gas_gravity) has the temperature of the step, so that it is lighter when hot",
        REACHES_ALL,
    ),
    one_of=[("gas_gradient", "gas_gravity", "oil_density")],
    applies=no_production,
)
def tubing_leak(
    scene: cl.Scene,
    *,
    packer: cl.MeasuredDepth,
    packer_fluid: cl.FluidName,
    reservoir: cl.MeasuredDepth,
    reservoir_pressure: cl.FormationPressure | None = None,
    gas_gradient: cl.Gradient | None = None,
    gas_gravity: float | None = None,
    oil_density: cl.Density | None = None,
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Tubing leak: the shut-in tubing pressure comes on top of the packer fluid, at the wellhead.

    Below the packer the reservoir's fluid stands through the reservoir pressure.

    Parameters
    ----------
    packer : MeasuredDepth
        Where the tubing is sealed to the casing or liner.
    packer_fluid : FluidName
        What fills the annulus above it.
    reservoir : MeasuredDepth
        The depth at which the reservoir pressure is known.
    reservoir_pressure : FormationPressure
        There; if left out, the pore pressure.
    gas_gradient : Gradient
        Of a gas of constant gradient in the tubing.
    gas_gravity : float
        Of a real gas in the tubing, relative to air.
    oil_density : Density
        Of oil in the tubing.
    temperature : TemperatureName
        Just shut in, still hot; if left out, only the cold well is worked, at undisturbed temperature.
    outside : str
        What stands behind the pipe. By default settled mud, the lightest credible, since the load is burst.
    """
    depth = float(scene.tvd(reservoir))
    pressure = scene.formation_pressure(depth, reservoir_pressure)
    behind = scene.outside(outside)
    steps, at_wellhead = [], {}
    moments = {"shut in, cold": None} if temperature is None else {"shut in, hot": temperature, "shut in, cold": None}
    for name, hot in moments.items():
        fill = _hydrocarbon(scene, gas_gradient, gas_gravity, oil_density, hot)
        tubing = cl.column_through(fill, depth=depth, pressure=pressure, top=scene.wellhead_tvd)
        shut_in = float(tubing.pressure(scene.wellhead_tvd))
        if shut_in < 0.0:
            lacking = f"{-shut_in / 1e6:.2f} MPa"
            raise cl.CannotEvaluate(f"the reservoir does not lift its fluid to the wellhead; it lacks {lacking}")
        inside = around_tubing(scene, packer, from_wellhead(scene, packer_fluid, shut_in), tubing)
        steps.append(moment(scene, name, inside, behind, hot))
        at_wellhead[name.removeprefix("shut in, ")] = (shut_in, PRESSURE)
    told = ", ".join(f"{{{moment}}} {moment}" for moment in at_wellhead)
    return cl.Load(steps=tuple(steps), remarks=(cl.Remark(f"shut-in tubing pressure {told}", at_wellhead),))


def _hydrocarbon(
    scene: cl.Scene, gradient: float | None, gravity: float | None, oil: float | None, hot: cl.Table | None
) -> cl.Gas | cl.RealGas | cl.Fluid:
    if oil is not None:
        return cl.Fluid(name="oil", density=oil)
    return gas_of(scene, gradient, gravity, hot)


# --- drawdown ---------------------------------------------------------------------------------------------------------


@cl.load_case(
    phase="production",
    source="Devereux, Practical Well Planning and Drilling Manual, 1998, tables 1-4 and 1-6 (drawdown); fall of the "
    "packer fluid: common practice, no source",
    assumptions=(
        "below the packer one pressure at every depth, the weight of what little is left neglected",
        "nothing presses on the packer fluid at the wellhead, and nothing refills the annulus",
        REACHES_ALL,
    ),
    applies=no_production,
)
def plugged_perforations(
    scene: cl.Scene,
    *,
    packer: cl.MeasuredDepth,
    packer_fluid: cl.FluidName,
    pressure: cl.Pressure = "0 MPa",
    packer_leaks: bool = True,
    temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "as run",
) -> cl.Load:
    """Plugged perforations: the well below the packer is drawn down to a low pressure; its packer fluid may leak off.

    Parameters
    ----------
    packer : MeasuredDepth
        Where the tubing is sealed to the casing or liner.
    packer_fluid : FluidName
        What fills the annulus above it.
    pressure : Pressure
        Below the packer, when perforations are plugged or the reservoir is abandoned. Nothing at all, by default, is
        the worst for collapse.
    packer_leaks : bool
        Whether to work, as a second step, the fall of the packer fluid until it balances that pressure at the packer.
    temperature : TemperatureName
        While it is drawn down; if left out, undisturbed.
    outside : str
        What stands behind the pipe. By default the mud as run, the heaviest credible: the hole was drilled with it, so
        it is no lighter than the pore pressure; where old mud has settled for certain, say 'pore pressure'.
    """
    below, behind, head = _uniform(pressure), scene.outside(outside), scene.wellhead_tvd
    annulus = {"drawn down": from_wellhead(scene, packer_fluid, 0.0)}
    level = float(scene.tvd(packer)) - pressure / packer_fluid.gradient
    if packer_leaks and level > head and scene.string.top < packer:
        annulus["packer fluid leaked off"] = cl.column(packer_fluid, top=level)
    remarks = []
    if len(annulus) > 1:
        remarks = [cl.Remark("packer fluid falls to {level} tvd", {"level": (level, LEVEL)})]
    steps = [
        moment(scene, name, around_tubing(scene, packer, above, below), behind, temperature)
        for name, above in annulus.items()
    ]
    return cl.Load(steps=tuple(steps), remarks=tuple(remarks))


# --- gas lift ---------------------------------------------------------------------------------------------------------


@cl.load_case(
    phase="production",
    source="Devereux, Practical Well Planning and Drilling Manual, 1998, table 1-4 (asks for the loads of artificial "
    "lift); construction: common practice, no source",
    assumptions=(
        "gas is injected down the annulus; below the packer the well stands at pore pressure (drawn down, it is the "
        "case plugged-perforations)",
        "before injection the well is at undisturbed temperature",
        REACHES_ALL,
    ),
    one_of=[("gas_gradient", "gas_gravity")],
    applies=no_production,
)
def gas_lift(
    scene: cl.Scene,
    *,
    injection_pressure: cl.Pressure,
    packer: cl.MeasuredDepth,
    packer_fluid: cl.FluidName,
    valve: cl.MeasuredDepth | None = None,
    gas_gradient: cl.Gradient | None = None,
    gas_gravity: float | None = None,
    temperature: cl.TemperatureName | None = None,
    outside_burst: cl.Outside = "settled mud",
    outside_collapse: cl.Outside = "as run",
) -> cl.Load:
    """Gas lift: gas pressure on a full annulus, on one emptied to the deepest valve, and that one bled off.

    Parameters
    ----------
    injection_pressure : Pressure
        Greatest gas pressure at the wellhead.
    packer : MeasuredDepth
        Where the tubing is sealed to the casing or liner.
    packer_fluid : FluidName
        What fills the annulus before the first gas, and stays below the deepest valve.
    valve : MeasuredDepth
        The deepest valve, to which gas displaces the packer fluid; if left out, the packer.
    gas_gradient : Gradient
        Of an injected gas of constant gradient; either this or gas_gravity.
    gas_gravity : float
        Of a real injected gas, relative to air; its density follows pressure and temperature.
    temperature : TemperatureName
        While the well is lifted; if left out, undisturbed.
    outside_burst : str
        What stands behind the pipe under gas pressure. By default settled mud, the lightest credible.
    outside_collapse : str
        What stands behind the pipe once the gas is bled off. By default the mud as run, the heaviest credible.
    """
    if packer <= scene.string.top:
        raise cl.CannotEvaluate(f"packer = {packer:g} m is above this string; gas lift acts in the annulus above it")
    if valve is not None and not scene.well.wellhead_depth < valve <= packer:
        raise cl.CannotEvaluate(f"valve = {valve:g} m is not between the wellhead and packer = {packer:g} m")
    emptied = float(scene.tvd(packer if valve is None else valve))
    gas = gas_of(scene, gas_gradient, gas_gravity, temperature)
    full = from_wellhead(scene, packer_fluid, injection_pressure)
    injecting = from_wellhead(scene, gas, injection_pressure).over(packer_fluid, contact=emptied)
    bled = cl.Empty() if valve is None else cl.column(packer_fluid, top=emptied)
    below = _at_rest(scene, packer)

    def step(name: str, above: Pressure, outside: cl.Outside, hot: cl.Table | None) -> cl.Step:
        return moment(scene, name, around_tubing(scene, packer, above, below), scene.outside(outside), hot)

    return cl.Load(
        steps=(
            step("kick-off, annulus full", full, outside_burst, None),
            step("injecting", injecting, outside_burst, temperature),
            step("bled off", bled, outside_collapse, temperature),
        )
    )


# --- heat -------------------------------------------------------------------------------------------------------------


@cl.load_case(
    phase="production",
    source="PetroWiki, mechanical loads on casing and tubing strings (temperature, ballooning, fixed ends); Lubinski, "
    "Althouse and Logan, 1962 (buckling); steps: common practice, no source",
    assumptions=(
        "the tubing does not leak; pressure that heat builds up in closed annuli is a case of its own",
        "below a packer the well stands at pore pressure once it is shut in or killed",
        "forces are elastic: pipe that would yield when hot shows it by its factors",
        REACHES_ALL,
    ),
    applies=no_production,
)
def hot_production(
    scene: cl.Scene,
    *,
    temperature: cl.TemperatureName,
    packer: cl.MeasuredDepth,
    packer_fluid: cl.FluidName,
    annulus_pressure: cl.Pressure = "0 MPa",
    flowing_pressure: cl.Pressure | None = None,
    kill_temperature: cl.TemperatureName | None = None,
    outside: cl.Outside = "as run",
) -> cl.Load:
    """Hot production: the flowing well heats the string, is shut in hot, and may be killed with cold fluid.

    Parameters
    ----------
    temperature : TemperatureName
        Of the string while the well flows.
    packer : MeasuredDepth
        Where the tubing is sealed to the casing or liner.
    packer_fluid : FluidName
        What fills the annulus above it.
    annulus_pressure : Pressure
        On the packer fluid at the wellhead, while the well is hot.
    flowing_pressure : Pressure
        Below the packer while the well flows, the same all along; if left out, the pore pressure, and flowing and shut
        in are one step.
    kill_temperature : TemperatureName
        Of the string after cold fluid was pumped down the tubing; if left out, the well is not killed.
    outside : str
        What stands behind the pipe. By default the mud as run, the heaviest credible: it adds to collapse and to the
        compression of the hot string.
    """
    annulus, bled = from_wellhead(scene, packer_fluid, annulus_pressure), from_wellhead(scene, packer_fluid, 0.0)
    at_rest, behind = _at_rest(scene, packer), scene.outside(outside)

    def step(name: str, above: Pressure, below: Pressure, warmth: cl.Table) -> cl.Step:
        return moment(scene, name, around_tubing(scene, packer, above, below), behind, warmth)

    if flowing_pressure is None:
        steps = [step("hot", annulus, at_rest, temperature)]
    else:
        steps = [
            step("producing", annulus, _uniform(flowing_pressure), temperature),
            step("shut in, hot", annulus, at_rest, temperature),
        ]
    if kill_temperature is not None:
        steps.append(step("killed, cold", bled, at_rest, kill_temperature))
    return cl.Load(steps=tuple(steps))


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [tubing_leak, plugged_perforations, gas_lift, hot_production]
