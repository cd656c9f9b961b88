"""What the load cases of production and other uses mean, read from the well file once more, for the second route.

Each function here is one load case, as ``casingloads cases`` describes it: columns, temperatures and steps.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from annuli_by_hand import Annulus, Pipe, together, with_disc
from fluids_by_hand import boils_at, gas_density, marched, steam_density, steam_pressure, water_density
from held_by_hand import DEEP, Column, G, Line, Step, value
from scene_by_hand import Case, Scene, one

# --- production -----------------------------------------------------------------------------------------------------


def tubing_leak(s: Scene, case: Case) -> list[Step]:
    deep = s.si(case["reservoir"])
    pressure = s.pore_at(deep)
    if "reservoir_pressure" in case:
        text = case["reservoir_pressure"]
        pressure = s.si(text) * (1.0 if text.endswith("MPa") else G * s.z(deep))
    outside, steps = s.outside(case.get("outside", "settled mud")), []
    for warm in [*([s.warm(case["temperature"])] if "temperature" in case else []), s.undisturbed]:
        if "gas_gravity" in case:
            gravity = case["gas_gravity"]
            oil = marched(s.z(deep), pressure, s.head, _real_gas(s, gravity, warm))
        else:
            gradient = s.si(case["gas_gradient"]) if "gas_gradient" in case else s.si(case["oil_density"]) * G
            oil = [(z, pressure + gradient * (z - s.z(deep))) for z in (s.head, DEEP)]
        steps.append(Step(s.above_packer(case, oil[0][1], oil), outside, warm))
    return steps


def _real_gas(s: Scene, gravity: float, warm: Line) -> Callable[[float, float], float]:
    return lambda pressure, z: gas_density(gravity, value(warm, z), pressure)


def plugged_perforations(s: Scene, case: Case) -> list[Step]:
    pressure = s.si(case.get("pressure", "0 MPa"))
    warm, outside = s.warm(case.get("temperature")), s.outside(case.get("outside", "as run"))
    nothing = [(0.0, pressure), (DEEP, pressure)]
    packer, density = s.z(case["packer"]), s.fluid(case["packer_fluid"])
    level = packer - pressure / (density * G)
    fallen = [(level, 0.0), (DEEP, density * G * (DEEP - level))]
    return [
        Step(s.above_packer(case, 0.0, nothing), outside, warm),
        Step([(s.si(case["packer"]), fallen), (DEEP, nothing)], outside, warm),
    ]


def gas_lift(s: Scene, case: Case) -> list[Step]:
    pressure, valve = s.si(case["injection_pressure"]), s.si(str(case.get("valve", case["packer"])))
    warm, brine = s.warm(case.get("temperature")), s.fluid(case["packer_fluid"])
    if "gas_gravity" in case:
        gas = marched(s.head, pressure, s.z(valve), _real_gas(s, case["gas_gravity"], warm))
    else:
        gas = [(s.head, pressure), (s.z(valve), pressure + s.si(case["gas_gradient"]) * (s.z(valve) - s.head))]
    burst, packer = s.outside(case.get("outside_burst", "settled mud")), s.si(case["packer"])
    collapse, steps = s.outside(case.get("outside_collapse", "as run")), []
    for line, outside in ((gas, burst), ([(s.head, 0.0), (s.z(valve), 0.0)], collapse)):
        rest = [(s.z(valve), line[-1][1]), (DEEP, line[-1][1] + brine * G * (DEEP - s.z(valve)))]
        steps.append(Step([(valve, line), (packer, rest), (DEEP, s.pore)], outside, warm))
    return [Step(s.above_packer(case, pressure, s.pore), burst, s.undisturbed), *steps]


def slurry(s: Scene, case: Case) -> float:
    """Density of the fluid with the proppant that was added to each volume of it."""
    added = s.si(case.get("proppant", "0 kg/m3"))
    grain = s.si(case.get("grain_density", "2650 kg/m3"))
    return (s.fluid(case["fluid"]) + added) / (1.0 + added / grain)


def stimulation(s: Scene, case: Case) -> list[Step]:
    pump, clean, warm = s.si(case["pump_pressure"]), s.fluid(case["fluid"]), s.warm(case["temperature"])
    outside = s.outside(case.get("outside", "settled mud"))
    return [
        Step(one(s.from_head(clean, pump)), outside, warm, friction=s.si(case.get("friction", "0 kPa/m"))),
        Step(one(s.from_head(slurry(s, case), pump)), outside, warm),
        Step(one(s.from_head(clean, s.ambient)), outside, warm),
    ]


def stimulation_through_tubing(s: Scene, case: Case) -> list[Step]:
    pump, backup, warm = s.si(case["pump_pressure"]), s.si(case["backup_pressure"]), s.warm(case["temperature"])
    outside, clean = s.outside(case.get("outside", "settled mud")), s.fluid(case["fluid"])
    heavy = s.from_head(slurry(s, case), pump)
    return [
        Step(s.above_packer(case, backup, heavy), outside, warm),
        Step(s.above_packer(case, pump, heavy), outside, warm),
        Step(s.above_packer(case, s.ambient, s.from_head(clean, s.ambient)), outside, warm),
    ]


def hot_production(s: Scene, case: Case) -> list[Step]:
    hot, outside = s.warm(case["temperature"]), s.outside(case.get("outside", "as run"))
    on_top, steps = s.si(case.get("annulus_pressure", "0 MPa")), []
    if "flowing_pressure" in case:
        flowing = s.si(case["flowing_pressure"])
        steps.append(Step(s.above_packer(case, on_top, [(0.0, flowing), (DEEP, flowing)]), outside, hot))
    steps.append(Step(s.above_packer(case, on_top, s.pore), outside, hot))
    if "kill_temperature" in case:
        steps.append(Step(s.above_packer(case, 0.0, s.pore), outside, s.warm(case["kill_temperature"])))
    return steps


# --- other uses -----------------------------------------------------------------------------------------------------


def mobile_formation(s: Scene, case: Case) -> list[Step]:
    top, bottom = s.si(case["top"]), s.si(case["bottom"])
    ground = s.air_gap + (s.si(s.b.data["well"]["water_depth"]) if s.sea else 0.0)
    gradient = s.si(case.get("gradient", "1 psi/ft"))
    bed: Line = [(ground, s.ambient), (DEEP, s.ambient + gradient * (DEEP - ground))]
    if "gradient" not in case and "overburden" in s.b.data["earth"]:
        bed = s.b.earth("overburden")
    ((_, other),) = s.outside(case.get("outside", "as run"))
    inside = s.from_head(s.fluid(case["fluid"]), s.ambient) if "fluid" in case else [(0.0, 0.0), (DEEP, 0.0)]
    return [Step(one(inside), [(top, other), (bottom, bed), (DEEP, other)], s.undisturbed)]


def open_to_sea(s: Scene, case: Case) -> list[Step]:
    inside = one(s.from_head(s.fluid(case.get("fluid", "sea water")), s.ambient))
    behind = case.get("outside", "as run"), case.get("outside_later", "pore pressure")
    return [Step(inside, s.outside(what), s.undisturbed) for what in behind]


def wellhead_load(s: Scene, case: Case) -> list[Step]:
    weight = s.si(case["weight"]) + s.si(case["inner_strings"])
    inside = one(s.standing(case.get("mud", s.string["next_hole"]["mud"])))
    outside = s.outside(case.get("outside", "as run"))
    return [Step(inside, outside, s.undisturbed, top=-weight * s.si(case.get("share", "100 %")))]


def pressure_test(s: Scene, case: Case) -> list[Step]:
    """Of drilling, here for its temperature."""
    fluid = s.fluid(s.string.get("displaced_with", s.string["run_in"]))
    inside = one(s.from_head(fluid, s.si(case["pressure"]) + s.ambient))
    return [Step(inside, s.outside(case["outside"]), s.warm(case["temperature"]))]


def circulation(s: Scene, case: Case) -> list[Step]:
    """Of drilling, here for its temperature."""
    inside = one(s.standing(s.string["next_hole"]["mud"]))
    return [Step(inside, s.outside("settled mud"), s.warm(case["temperature"]))]


# --- heat -----------------------------------------------------------------------------------------------------------


def heat_through_inner_string(s: Scene, case: Case) -> list[Step]:
    between = one(s.standing(s.later[0].string["run_in"]))
    outside = s.outside(case.get("outside", "as run"))
    hot = Step(between, outside, s.warm(case["hot_temperature"]), yields=True)
    cold = [(0.0, s.si(case["uniform_cold"]))]
    return [hot, Step(between, outside, cold, yields=True, after=hot)]


def heat_up_and_quench(s: Scene, case: Case) -> list[Step]:
    deep = s.z(case["reservoir"])
    reservoir = s.si(case["reservoir_pressure"]) if "reservoir_pressure" in case else value(s.pore, deep)
    hot, behind = s.warm(case["hot_temperature"]), s.outside(case.get("outside", "as run"))
    if case.get("filled_with", "steam") == "steam":
        up = marched(s.head, s.si(case["wellhead_pressure"]), deep, lambda p, z: steam_density(p, value(hot, z)))
    else:
        up = marched(s.head, s.si(case["wellhead_pressure"]), deep, lambda p, _: water_density(p, None))
    steps = [Step(one(up), behind, hot, yields=True)]
    shut, condensed = _shut_in(s, case, deep, reservoir, hot)
    light = s.outside(case.get("outside_shut_in", "settled mud"))
    steps.append(Step(one(shut), light, condensed, yields=True, after=steps[-1]))
    cold = [(0.0, s.si(case.get("inlet_temperature", "0 degC")))]
    if "quench_temperature" in case:
        cold = s.warm(case["quench_temperature"])
    if "quench_level" in case:
        level = max(s.head, s.z(case["quench_level"]))
    else:
        upwards = marched(deep, reservoir, s.head, lambda p, z: water_density(max(p, 0.0), value(cold, z)))
        level = _depth_of(upwards, 0.0)
    still = marched(level, 0.0, deep, lambda p, z: water_density(p, value(cold, z)))
    steps.append(Step(one(still), behind, cold, yields=True, after=steps[-1]))
    if case.get("heated_again", False):
        steps.append(Step(one(up), behind, hot, yields=True, after=steps[-1]))
    return steps


def _shut_in(s: Scene, case: Case, deep: float, reservoir: float, hot: Line) -> tuple[Line, Line]:
    """Pressure and temperature of the pipe: no colder than steam condenses there, up to the reservoir's temperature."""
    boils = value(s.undisturbed, deep)

    def warm(p: float, z: float) -> float:
        return max(value(hot, z), min(boils_at(p), boils))

    def steam(p: float, z: float) -> float:
        return steam_density(p, warm(p, z))

    if case.get("shut_in", "full of steam") == "full of steam":
        shut = marched(deep, reservoir, s.head, steam)
    else:
        least = steam_pressure(boils)
        column = marched(deep, reservoir, s.head, lambda p, _: water_density(max(p, least + 1.0), boils))
        contact = _depth_of(column, least)
        shut = [*marched(contact, least, s.head, steam), *((z, p) for z, p in column if z > contact)]
    return shut, [(z, warm(p, z)) for z, p in shut]


def _depth_of(line: Line, pressure: float) -> float:
    """Where a pressure stands on a line that grows downwards."""
    for (z1, p1), (z2, p2) in pairwise(line):
        if p1 <= pressure <= p2:
            return z1 + (z2 - z1) * (pressure - p1) / (p2 - p1)
    raise AssertionError("no such pressure on the line")


# --- closed annuli --------------------------------------------------------------------------------------------------


def trapped_annuli(scenes: list[Scene], case: Case) -> list[Step]:
    """One step of each of three strings, from the outermost in; the innermost is the warmest.

    The liquid around a string is as warm as it; the outermost string is as warm as the liquid inside it.
    """
    outermost, between, inner = scenes
    b, share = inner.b, inner.si(case["share"])
    hot, calm = inner.warm(case["temperature"]), inner.undisturbed
    ends = [min(top for top, _, _ in inner.b.cement), min(outermost.b.shoe, min(top for top, _, _ in between.b.cement))]
    edges = [float(x) for x in np.arange(inner.head, ends[0] + 0.5, 1.0)]
    md = [(u + v) / 2.0 for u, v in pairwise(edges)]
    z = np.array([b.path.tvd(x) for x in md])
    before = np.array([value(calm, x) for x in z])
    rise = np.array([value(hot, x) for x in z]) - before
    stiff = case.get("walls", "rigid in cement") == "rigid in cement"
    pipes = [Pipe(s.b, md, stiff) for s in scenes]
    now_inside = inner.standing(case.get("inside", inner.string.get("displaced_with", inner.string["run_in"])))
    pipes[2].inside = np.array([value(now_inside, x) - value(inner.held.then.inside[0][1], x) for x in z])
    rings = [
        Annulus(
            pipes[k], pipes[k - 1], s.fluid(s.string["run_in"]), before, heat, np.array([b.path.tvd(x) for x in edges]),
            np.diff(edges), bottom, s.si(case["expansion"]), s.si(case["compressibility"]), share * rise,
        )
        for k, s, heat, bottom in ((2, inner, rise, ends[0]), (1, between, share * rise, ends[1]))
    ]  # fmt: skip
    if "bled" in case:
        rings[0 if case["bled"] == inner.name else 1].held_top = inner.si(case["bleeds_to"])
    if case.get("open_shoes", "leak") != "plugged":
        rings[1].held_bottom = float(value(b.earth("fracture"), b.path.tvd(ends[1])))
    if "disc_in" in case:
        tops = with_disc(rings[0], rings[1], inner.z(case["disc_depth"]), inner.si(case["disc_opens_at"]))
    else:
        tops = together(rings)
    filled: list[Column] = [
        [(end, ring.line(top)), (DEEP, s.standing(s.string["run_in"]))]
        for end, ring, top, s in zip(ends, rings, tops, (inner, between), strict=True)
    ]
    depths = sorted({x for line in (hot, calm) for x, _ in line})
    warm = [(x, value(calm, x) + share * (value(hot, x) - value(calm, x))) for x in depths]
    return [
        Step(filled[1], outermost.outside(case.get("outside", "settled mud")), warm),
        Step(filled[0], filled[1], warm),
        Step(one(now_inside), filled[0], hot),
    ]


MEANING: dict[str, Callable[[Scene, Case], list[Step]]] = {
    "tubing-leak": tubing_leak,
    "plugged-perforations": plugged_perforations,
    "gas-lift": gas_lift,
    "stimulation": stimulation,
    "stimulation-through-tubing": stimulation_through_tubing,
    "hot-production": hot_production,
    "mobile-formation": mobile_formation,
    "open-to-sea": open_to_sea,
    "wellhead-load": wellhead_load,
    "pressure-test": pressure_test,
    "circulation": circulation,
    "heat-through-inner-string": heat_through_inner_string,
    "heat-up-and-quench": heat_up_and_quench,
}
