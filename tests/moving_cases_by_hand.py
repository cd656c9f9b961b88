"""What load cases mean in three invented wells, put as columns of fluid, pulls and temperatures.

For the second route to moving strings and well control; the wells are in ``second_route/wells``. Source: what
`casingloads cases` says of each case, worked by hydrostatics of our own.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from control_by_hand import (
    WATER,
    Bubble,
    Real,
    Straight,
    behind,
    column,
    mud_over_gas,
    raised,
    through,
)
from moving_by_hand import DEEP, G, Line, Mover, Now

INCH, STEEL, SEA = 0.0254, 7850.0, 1025.0
Running = Callable[[str, float], Now]
"""A moment of a string on its way: of the name of the step and the depth of its shoe."""
Rising = Callable[[float | None], Now]
"""A moment of a bubble: of the depth of its top, none as it came in."""
Cases = dict[str, list[Now] | Running]
SETTLED: tuple[float | str, ...] = (WATER, WATER, "pore")


def held(b: Any, inside: Line, outside: Line, warm: Line | None = None) -> Now:
    return Now(inside=inside, outside=outside, warm=warm or b.warmth(at_set=False), held=True)


def table(b: Any, name: str) -> Line:
    rows = b.data["temperatures"][name]
    return [(b.si(z), b.si(t)) for z, t in zip(rows["depth"], rows["temperature"], strict=True)]


def ring(outer: float, pipe: float) -> float:
    """Area between two diameters [in]."""
    return math.pi / 4.0 * (outer**2 - pipe**2) * INCH**2


def annulus(b: Any, pipe: float, hole: float) -> list[tuple[float, float]]:
    inside = [(tube.bottom, tube.bore - ring(pipe, 0.0)) for tube in b.tubes]
    return [*inside, (DEEP, ring(hole, pipe))]


def exposed(b: Any, end: float, top: float | None = None) -> Line:
    """What the rock of the next hole bears, at its ends and at every row between."""
    return list(b.between(b.earth("fracture"), b.path.tvd(top or b.shoe), end))


def down(b: Any, friction: tuple[float, float], mud: Line, inside: Callable[[float], Line] | None = None,
         stop: float = 0.0, pull: float = 0.0, stuck: float = math.inf, in_air: bool = False) -> Running:  # fmt: skip
    """A string on its way; *inside* of how far it still has to go, else as the hole; *stop* a stress [Pa]."""

    def moment(step: str, shoe: float) -> Now:
        moved = b.shoe - shoe
        drag = -1 if "moving in" in step else 1 if "pulled back" in step else 0
        return Now(inside=inside(moved) if inside else mud, outside=mud, moved=moved, drag=drag, friction=friction,
                   shock=stop if "suddenly" in step else 0.0, pull=pull, stuck=stuck, in_air=in_air)  # fmt: skip

    return moment


def wave(b: Any, speed: float) -> float:
    """Stress of a sudden stop: v sqrt(E rho)."""
    return float(speed * math.sqrt(b.E * STEEL))


# --- Brackenholt 7 ------------------------------------------------------------------------------------------------


def land_surface(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """Cement to 350 m, nothing above it but open hole."""
    mud, t, end = column(1120.0), b.path.tvd, b.path.tvd(2800.0)
    then = Now(inside=mud, outside=b.fill(0.0, 0.0, (1120.0, t(350.0)), (1650.0, DEEP)), warm=b.warmth(at_set=True))
    settled, pore = behind(b, 0.0, (9.0, 0.0), 1120.0, SETTLED), b.at(b.earth("pore_pressure"), end)
    # at the wellhead the fraction of the pressure of the reservoir; from there as steep as the rock lets it be
    top, rock = 0.45 * pore, exposed(b, end)
    steep = min((p + 0.5e6 - top) / (z - 9.0) for z, p in rock)
    assert steep < (pore - top) / (end - 9.0)
    weak = min([(end, pore), *rock], key=lambda point: point[1] - 2200.0 * point[0])
    loaded = replace(held(b, column(1240.0), mud), top_force=-0.85 * (320e3 + 1150e3))
    mover = Mover(bench=b, around=[(9.0, DEEP, 17.5 * INCH)], cased_to=0.0, then=then)
    return mover, {
        "wellhead-load": [loaded],
        "partial-gas": [held(b, through(steep, 9.0, (9.0, top)), settled)],
        "mud-over-gas": [held(b, mud_over_gas(9.0, 9e6, 1240.0, 2200.0, weak), settled)],
    }, None  # fmt: skip


def land_moving(b: Any) -> Cases:
    """The ways down of the intermediate string of Brackenholt 7."""
    mud, t, grip, none = column(1240.0), b.path.tvd, (0.22, 0.34), (0.0, 0.0)

    def floated(moved: float) -> Line:
        z = t(max(1500.0 - moved, 0.0))
        return [(0.0, 0.0), (z, 1240.0 * G * z), (z, 0.0), (DEEP, 0.0)]

    return {
        "running": down(b, grip, mud),
        "stopped": down(b, none, mud, stop=2.0 * wave(b, 0.9)),
        "partly": down(b, grip, mud, lambda moved: b.fill(t(400.0), 0.0, (1080.0, DEEP))),
        "empty": down(b, none, mud, lambda moved: [(0.0, 0.0)], stop=wave(b, 0.5)),
        "floated": down(b, grip, mud, floated),
        "overpull": down(b, none, mud, pull=420e3),
        "overpull-air": down(b, none, mud, pull=300e3, stuck=2500.0, in_air=True),
    }


def land_cemented(b: Any) -> tuple[Mover, Cases]:
    """Spacer, lead and tail outside; brine, water and tail inside; moved in while it was cemented."""
    t, set_warm, stirred = b.path.tvd, b.warmth(at_set=True), {"drag": -1, "friction": (0.20, 0.30)}
    stack = ((1240.0, t(1950.0)), (1500.0, t(2250.0)), (1650.0, t(2450.0)), (1900.0, DEEP))
    outside = b.fill(0.0, 0.0, *stack)
    inside = b.fill(0.0, 0.0, (1080.0, t(2600.0)), (WATER, t(2770.0)), (1900.0, DEEP))
    then = Now(inside=inside, outside=outside, warm=set_warm, drag=-1, friction=(0.20, 0.30))
    collar, shoe = t(2770.0), t(2800.0)
    above = [(z, p) for z, p in raised(inside, 14e6) if z < collar - 1e-6]
    # below the plug the float was open: the outside at the shoe, less tail
    left = b.at(outside, shoe) - 1900.0 * G * (shoe - collar)
    bump = [*above, (collar, b.at(inside, collar) + 14e6), (collar, left), (DEEP, left + 1900.0 * G * (DEEP - collar))]
    around = [(9.0, 800.0, 12.415 * INCH), (800.0, DEEP, 13.5 * INCH)]
    mover = Mover(bench=b, around=around, cased_to=800.0, then=then, landing=180e3, locked=False)
    return mover, {
        "cementing": [replace(then, inside=raised(inside, 9e6)), then],
        "plug-bump": [Now(inside=bump, outside=outside, warm=table(b, "circulating"), **stirred)],  # type: ignore[arg-type]
    }


def land_intermediate(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """Buckles in the bend when it is hot; its hanger is not locked."""
    t, head = b.path.tvd, (9.0, 0.0)
    mover, cemented = land_cemented(b)
    settled = behind(b, 800.0, head, 1240.0, SETTLED)
    mixed = behind(b, 800.0, head, 1240.0, (WATER, "pore", "as run"))
    pore, end = b.earth("pore_pressure"), t(3700.0)
    reservoir, rock = (end, b.at(pore, end)), exposed(b, end)
    hot = table(b, "flowing")
    real = Real(0.68, lambda z: float(b.at(hot, z)))
    assert all(b.at(real.line(*reservoir, t(2800.0)), z) < p for z, p in rock)

    loss, cool = 3e6 / (end - 9.0), table(b, "pumping")

    def pumped(gradient: float) -> Line:
        """Less steep by friction; the zone takes it at its fracture pressure, or weaker rock does before it."""
        return through(gradient - loss, 9.0, (end, b.at(b.earth("fracture"), end)), *rock)

    zones = b.between(pore, t(2800.0), end)
    gas = Bubble(
        b, 9.0, (end, (1420.0 + 50.0) * G * end), 7.0, (1420.0, 1420.0), Straight(1900.0), annulus(b, 5.0, 8.5)
    )
    return mover, cemented | land_moving(b) | {
        "pressure-test": [held(b, column(1080.0, 9.0, 28e6), mixed)],
        "test-at-floor": [held(b, column(1420.0, 0.0, 21e6), settled, table(b, "circulating"))],
        "circulation": [held(b, column(1420.0), settled, hot)],
        "gas-to-surface": [held(b, through(2100.0, 9.0, reservoir, *rock), settled)],
        "hot-gas": [held(b, real.line(*reservoir, 9.0, 80), list(pore), hot)],
        "partial-gas": [held(b, [(9.0, 0.5 * reservoir[1]), reservoir], settled)],
        "mud-over-gas": [held(b, mud_over_gas(9.0, 12e6, 1420.0, 2300.0, reservoir), settled)],
        "bullheading": [
            replace(held(b, pumped(g), settled, cool), loss=loss) for g in (2300.0, 1420.0 * G)
        ],
        "lost-returns": [held(b, b.fill(max(z - p / (1420.0 * G) for z, p in zones), 0.0, (1420.0, DEEP)), settled)],
        "evacuation": [held(b, b.fill(0.5 * end, 0.0, (1420.0, DEEP)), column(1240.0))],
    }, lambda top: held(b, gas.column(top, rock), settled)  # fmt: skip


def land_real_kick(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """The same string; real gas, kill mud 40 kg/m3 heavier below it."""
    mover, _ = land_cemented(b)
    end, cold, settled = b.path.tvd(3700.0), b.warmth(at_set=False), behind(b, 800.0, (9.0, 0.0), 1240.0, SETTLED)
    gas = Real(0.70, lambda z: float(b.at(cold, z)))
    bubble = Bubble(b, 9.0, (end, 1460.0 * G * end), 5.0, (1420.0, 1460.0), gas, annulus(b, 5.0, 8.5))
    return mover, {}, lambda top: held(b, bubble.column(top, exposed(b, end)), settled)


def land_liner(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """Hangs in the bend in which the hole drops; free down to 3050 m."""
    t, mud = b.path.tvd, column(1420.0)
    outside = b.fill(0.0, 0.0, (1420.0, t(3050.0)), (1900.0, DEEP))
    then = Now(inside=mud, outside=outside, warm=b.warmth(at_set=True))
    settled, pore = behind(b, 2800.0, (9.0, 0.0), 1420.0, SETTLED), b.earth("pore_pressure")
    end, thief = t(3950.0), t(3900.0)
    around = [(2650.0, 2800.0, 8.535 * INCH), (2800.0, DEEP, 9.5 * INCH)]
    mover = Mover(bench=b, around=around, cased_to=2800.0, then=then)
    return mover, {
        "running": down(b, (0.22, 0.34), mud),
        "overpull": down(b, (0.0, 0.0), mud, pull=200e3),
        "cementing": [then],
        "plug-bump": [replace(then, inside=raised(mud, 12e6))],
        "pressure-test": [held(b, column(1420.0, 9.0, 35e6), settled)],
        "gas-to-surface": [held(b, through(2100.0, 9.0, (end, b.at(pore, end)), *exposed(b, end)), settled)],
        "lost-returns": [held(b, b.fill(thief * (1.0 - 900.0 / 1420.0), 0.0, (1420.0, DEEP)), mud)],
        "evacuation": [held(b, [(0.0, 0.0)], pore)],
    }, None  # fmt: skip


def land_tie_back(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """From the wellhead to the liner's top, all of it inside pipe; slacked off by 90 kN."""
    t, mud, brine = b.path.tvd, column(1240.0), column(1080.0)
    outside = b.fill(0.0, 0.0, (1240.0, t(2400.0)), (1900.0, DEEP))
    then = Now(inside=brine, outside=outside, warm=b.warmth(at_set=True))
    pore, end = b.earth("pore_pressure"), t(3900.0)
    full = through(2100.0, 9.0, (end, b.at(pore, end)), *exposed(b, end, 3700.0))
    around = [(9.0, 900.0, 8.681 * INCH), (900.0, 1700.0, 8.835 * INCH), (1700.0, DEEP, 8.535 * INCH)]
    mover = Mover(bench=b, around=around, cased_to=DEEP, then=then, landing=-90e3)
    return mover, {
        "running": down(b, (0.0, 0.0), mud),
        "cementing": [then],
        "plug-bump": [replace(then, inside=raised(brine, 15e6))],
        "pressure-test": [held(b, column(1240.0, 9.0, 38e6), pore)],
        "gas-to-surface": [held(b, full, column(WATER, 9.0))],
        "evacuation": [held(b, b.fill(t(2000.0), 0.0, (1080.0, DEEP)), mud)],
    }, None  # fmt: skip
