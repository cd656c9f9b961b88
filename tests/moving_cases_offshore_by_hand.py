"""What load cases mean in two invented wells at sea: one with its wellhead on the sea floor, one with it on deck.

See `moving_cases_by_hand`, the same for a well on land.
"""

from __future__ import annotations

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
from moving_cases_by_hand import INCH, SEA, SETTLED, Cases, Rising, annulus, down, exposed, held, table, wave

# --- Fennick Deep 3: drill floor 25 m above the sea, its floor and the wellhead at 1525 m ---------------------------

FLOOR, AROUND = 1525.0, SEA * G * 1500.0
OPEN = column(SEA, 25.0)
"""The sea, also inside what is open to it."""


def from_floor(density: float, pressure: float = AROUND) -> Line:
    return column(density, FLOOR, pressure)


def deep_conductor(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """Cemented up to the sea floor, drilled out without a riser."""
    then = Now(inside=OPEN, outside=b.fill(25.0, 0.0, (SEA, FLOOR), (1560.0, DEEP)), warm=b.warmth(at_set=True))
    zone = (2050.0, b.at(b.earth("pore_pressure"), 2050.0))
    # sea water follows the mud down until both balance the zone
    contact = (zone[1] + SEA * G * 25.0 - 1200.0 * G * zone[0]) / ((SEA - 1200.0) * G)
    assert FLOOR < contact < zone[0]
    return (
        Mover(bench=b, around=[(FLOOR, DEEP, 36.0 * INCH)], cased_to=0.0, then=then),
        {
            "riserless-drilling": [held(b, from_floor(1200.0), OPEN), held(b, OPEN, OPEN)],
            "lost-returns": [held(b, b.fill(25.0, 0.0, (SEA, contact), (1200.0, DEEP)), OPEN)],
            "wellhead-load": [replace(held(b, from_floor(1200.0), OPEN), top_force=-0.6 * (420e3 + 1300e3))],
        },
        None,
    )


def deep_surface(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """Run in open sea; slurry fills it below its float collar. The next hole is drilled with a riser."""
    collar, shoe, end = 2090.0, 2100.0, b.path.tvd(3400.0)
    outside = b.fill(25.0, 0.0, (SEA, 1680.0), (1560.0, 1950.0), (1900.0, DEEP))
    then = Now(inside=b.fill(25.0, 0.0, (SEA, collar), (1900.0, DEEP)), outside=outside, warm=b.warmth(at_set=True))
    at_collar, below = AROUND + 6e6 + SEA * G * (collar - FLOOR), b.at(outside, shoe) - 1900.0 * G * (shoe - collar)
    bump = [(0.0, AROUND + 6e6 - SEA * G * FLOOR), (collar, at_collar), (collar, below), (shoe, b.at(outside, shoe))]
    pore, rock, settled = (
        b.earth("pore_pressure"),
        exposed(b, end),
        behind(b, 1700.0, (FLOOR, AROUND), SEA, (SEA, SEA, "pore")),
    )
    full = through(1800.0, FLOOR, (end, b.at(pore, end)), *raised(rock, 0.4e6))
    level = max(z - p / (1260.0 * G) for z, p in b.between(pore, shoe, end))
    bottom, ways = (end, (1260.0 + 60.0) * G * end), annulus(b, 5.5, 17.5)
    bubble = Bubble(b, FLOOR, bottom, 6.0, (1260.0, 1260.0), Straight(1800.0), ways)
    around = [(FLOOR, 1700.0, 27.0 * INCH), (1700.0, DEEP, 28.0 * INCH)]
    return Mover(bench=b, around=around, cased_to=1700.0, then=then), {
        "running": down(b, (0.0, 0.0), OPEN),
        "cementing": [then],
        "plug-bump": [replace(then, inside=bump)],
        "pressure-test": [held(b, from_floor(SEA, AROUND + 7e6), settled)],
        "gas-to-surface": [held(b, full, settled)],
        "riser-loss": [held(b, column(1260.0), OPEN), held(b, from_floor(1260.0), OPEN)],
        "lost-returns": [held(b, b.fill(level, 0.0, (1260.0, DEEP)), OPEN)],
        "wellhead-load": [replace(held(b, column(1260.0), OPEN), top_force=-4500e3)],
    }, lambda top: held(b, bubble.column(top, rock), settled)  # fmt: skip


def deep_cemented(b: Any) -> tuple[Mover, Cases]:
    """Run with riser mud, from the drill floor on both sides; slacked off by 150 kN."""
    t, mud = b.path.tvd, column(1260.0)
    outside = b.fill(0.0, 0.0, (1260.0, t(2600.0)), (1350.0, t(2800.0)), (1900.0, DEEP))
    then = Now(inside=column(1200.0), outside=outside, warm=b.warmth(at_set=True))
    around = [(FLOOR, 1650.0, 18.376 * INCH), (1650.0, 2100.0, 18.73 * INCH), (2100.0, DEEP, 20.0 * INCH)]
    return Mover(bench=b, around=around, cased_to=2100.0, then=then, landing=-150e3), {
        "running": down(b, (0.20, 0.30), mud),
        "stopped": down(b, (0.0, 0.0), mud, stop=wave(b, 1.1)),
        "partly": down(b, (0.0, 0.0), mud, lambda moved: column(1260.0, 300.0)),
        "overpull": down(b, (0.0, 0.0), mud, pull=700e3, stuck=3000.0),
        "overpull-air": down(b, (0.0, 0.0), mud, pull=500e3, in_air=True),
        "cementing": [replace(then, inside=raised(then.inside, 6e6)), then],
        "plug-bump": [replace(then, inside=raised(then.inside, 11e6))],
    }


def deep_intermediate(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """What well control asks of it, with a riser up to the drill floor or without."""
    t, mud, head = b.path.tvd, column(1260.0), (FLOOR, AROUND)
    mover, moving = deep_cemented(b)
    settled, mixed, squeezed = (behind(b, 2100.0, head, 1260.0, what) for what in (
        SETTLED, (SEA, "as run", "pore"), ("as run", WATER, "overburden")))  # fmt: skip
    end, shoe, pore, cold = t(4800.0), t(3400.0), b.earth("pore_pressure"), b.warmth(at_set=False)
    rock, real = exposed(b, end), Real(0.66, lambda z: float(b.at(cold, z)))
    weak = rock[0]  # at the shoe, by far
    zone, thief = t(4500.0), t(4700.0)
    level = max(z - p / (1400.0 * G) for z, p in b.between(pore, shoe, end))
    bubble = Bubble(b, FLOOR, (end, 1460.0 * G * end), 10.0, (1400.0, 1400.0), real, annulus(b, 5.5, 12.25))

    def lost(top: float) -> Line:
        return list(b.fill(top, 0.0, (1400.0, DEEP)))

    return mover, moving | {
        "pressure-test": [held(b, from_floor(SEA, AROUND + 25e6), settled)],
        "test-at-floor": [held(b, column(1200.0, 0.0, 22e6), mixed)],
        "circulation": [held(b, column(1400.0), settled, table(b, "circulating"))],
        "gas-to-surface": [held(b, real.line(*weak, FLOOR, 150), settled)],
        "partial-gas": [held(b, [(FLOOR, 0.55 * 1300.0 * G * end), (end, 1300.0 * G * end)], settled)],
        "mud-over-gas": [held(b, mud_over_gas(FLOOR, AROUND + 14e6, 1400.0, 2400.0, weak), settled)],
        "bullheading": [held(b, through(g, FLOOR, (zone, 62e6)), settled) for g in (2400.0, 1400.0 * G)],
        "lost-returns": [held(b, lost(thief * (1.0 - 820.0 / 1400.0)), mud)],
        "shallow-losses": [held(b, lost(level), squeezed)],
        "evacuation": [held(b, lost(t(2900.0)), settled)],
        "third-empty": [held(b, lost(0.5 * end), mud)],
        "riser-loss": [held(b, column(1400.0), pore), held(b, from_floor(1400.0), pore)],
    }, lambda top: held(b, bubble.column(top, rock), settled)  # fmt: skip


# --- Dunmarrow A5: wellhead on deck at 21 m, the sea from 32 to 142 m ----------------------------------------------


def deck_surface(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """Slacked off so far that it is a helix before anything else happens; nothing around it above the sea floor."""
    mud = column(1150.0)
    then = Now(inside=mud, outside=b.fill(0.0, 0.0, (1150.0, 320.0), (1600.0, DEEP)), warm=b.warmth(at_set=True))
    mover = Mover(bench=b, around=[(142.0, DEEP, 17.5 * INCH)], cased_to=0.0, then=then, landing=-430e3)
    return (
        mover,
        {
            "wellhead-load": [replace(held(b, column(1280.0), mud), top_force=-1650e3)],
            "evacuation": [held(b, [(0.0, 0.0)], mud)],
            "pressure-test": [held(b, column(1150.0, 21.0, 8e6), mud)],
        },
        None,
    )


def deck_production(b: Any) -> tuple[Mover, Cases, Rising | None]:
    """Two cemented stages with a free length between them, pulled back out before it was cemented."""
    t, mud, head = b.path.tvd, column(1280.0), (21.0, 0.0)
    stack = ((1280.0, t(1350.0)), (1600.0, t(1800.0)), (1280.0, t(2500.0)), (1880.0, DEEP))
    then = Now(inside=column(1090.0), outside=b.fill(0.0, 0.0, *stack), warm=b.warmth(at_set=True), drag=1,
               friction=(0.18, 0.28))  # fmt: skip
    settled, bare = (behind(b, 900.0, head, 1280.0, (above, WATER, "pore")) for above in (WATER, "nothing"))
    pore = [(0.0, 0.0), (32.0, 0.0), *b.earth("pore_pressure")]  # its first row is what the sea presses at its floor
    end, thief, hot = t(3600.0), t(3400.0), table(b, "hot")
    reservoir, rock = (end, b.at(pore, end)), exposed(b, end)
    around = [(21.0, 900.0, 12.415 * INCH), (900.0, DEEP, 13.5 * INCH)]
    # swabbed: the mud holds the bottom
    bubble = Bubble(b, 21.0, (end, 1380.0 * G * end), 4.0, (1380.0, 1380.0), Straight(2000.0), annulus(b, 5.0, 8.5))
    return Mover(bench=b, around=around, cased_to=900.0, then=then), {
        "running": down(b, (0.25, 0.30), mud),
        "overpull": down(b, (0.0, 0.0), mud, pull=380e3),
        "cementing": [then],
        "plug-bump": [replace(then, inside=raised(then.inside, 13e6))],
        "pressure-test": [held(b, column(1090.0, 21.0, 26e6), settled)],
        "test-at-floor": [held(b, column(SEA, 0.0, 24e6), bare)],
        "circulation": [held(b, column(1380.0), mud, hot)],
        "gas-to-surface": [held(b, through(2000.0, 21.0, reservoir, *rock), settled, hot)],
        "mud-over-gas": [held(b, mud_over_gas(21.0, 15e6, 1380.0, 2000.0, reservoir), settled)],
        "lost-returns": [held(b, b.fill(thief * (1.0 - 950.0 / 1380.0), 0.0, (1380.0, DEEP)), mud)],
        "evacuation": [held(b, [(0.0, 0.0)], pore)],
    }, lambda top: held(b, bubble.column(top, rock), settled)  # fmt: skip
