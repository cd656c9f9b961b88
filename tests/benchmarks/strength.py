"""Speed of the strength functions, as ratios of times measured in one run and printed; nothing is judged here.

Least factors along a string, for many samples of it: burst, collapse under axial load, tension, and triaxial stress at
both walls. The library, in blocks of samples, against

* a scalar loop in which every number carries its unit, timed on a few samples and scaled up: the aim is 5000 times faster;
* a loop of the same arithmetic compiled by numba: the aim is at least 0.5 of its speed, without a formula that is harder
  to read. Beside it stands the same loop cut in two by hand, so that the compiler finds vector instructions for it.

All on one core: the process is pinned to it, and nothing here calls a library with threads of its own.
"""

from __future__ import annotations

import importlib
import math
import os
import time
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import numpy as np
import pint
from casingloads import strength
from casingloads.arrays import Floats
from casingloads.strength.collapse_regimes import PSI

SAMPLES, STATIONS = 2000, 200
SAMPLES_WITH_UNITS = 3
BLOCK = 125  # samples: an array of a block has 200 kB, so that those in use stay in a core's cache
BLOCKS = (10, 25, 50, BLOCK, 250, 500, SAMPLES)
RUNS = 15
NAMES = ("burst", "collapse", "tension", "triaxial")


class Study(NamedTuple):
    """Pipe and loads, (samples, stations) or a shape that broadcasts to it; SI."""

    od: Floats
    wall: Floats
    yield_strength: Floats
    p_i: Floats
    p_o: Floats
    force: Floats

    def samples(self, start: int, stop: int) -> Study:
        return Study(*(array[start:stop] for array in self))


def study(*, tapered: bool) -> Study:
    """Return invented samples: gas inside and mud outside, 9-5/8 in P110 above, lighter N80 below if tapered.

    Burst rules at the top and collapse at the bottom. Tapered, every array has an entry for each sample and station.
    """
    rng = np.random.default_rng(20240611)

    def scatter(share: float) -> Floats:
        return 1.0 + share * rng.standard_normal((SAMPLES, 1))

    depth = np.linspace(0.0, 4000.0, STATIONS)
    lower = (depth > 2500.0) if tapered else np.zeros(1, dtype=bool)
    return Study(
        od=np.where(lower, 0.244475, 0.244475) * scatter(0.001),
        wall=np.where(lower, 0.01199, 0.01384) * scatter(0.02),
        yield_strength=np.where(lower, 600e6, 850e6) * scatter(0.03),
        p_i=35e6 * scatter(0.05) + 2.3e3 * scatter(0.1) * depth,
        p_o=17e3 * scatter(0.03) * depth,
        force=2e6 * scatter(0.05) - 700.0 * scatter(0.02) * depth,
    )


# The library


def least_factors(s: Study) -> Floats:
    """Return the least factor along the stations, (4, samples): one over the greatest load per rating."""
    excess = s.p_i - s.p_o
    pull = s.force / strength.steel_area(s.od, s.wall)
    used = (
        excess / strength.internal_yield_pressure(s.od, s.wall, s.yield_strength),
        -excess / strength.collapse_pressure(s.od, s.wall, s.yield_strength, pull, s.p_i),
        s.force / strength.axial_yield_force(s.od, s.wall, s.yield_strength),
        strength.triaxial_stress(s.od, s.wall, s.p_i, s.p_o, s.force).greatest / s.yield_strength,
    )
    return 1.0 / np.array([share.max(axis=-1) for share in used])


def in_blocks(s: Study, block: int) -> Floats:
    starts = range(0, SAMPLES, block)
    return np.concatenate([least_factors(s.samples(start, start + block)) for start in starts], axis=-1)


# A loop with units


def used_with_units(units: Any, od: Any, wall: Any, strength_at_yield: Any, p_i: Any, p_o: Any, force: Any) -> Any:
    """Return load per rating at one station, the arguments being quantities of pint."""
    least = 0.875 * wall
    pull = force / (math.pi * (od - wall) * wall)
    r = min(max(((pull + p_i) / strength_at_yield).to("").magnitude, 0.0), 1.0)
    reduced = strength_at_yield * (math.sqrt(1.0 - 0.75 * r**2) - 0.5 * r)
    y = max(reduced, 24_000.0 * units.psi)
    x = (od / wall).to("").magnitude
    psi = y.to("psi").magnitude
    A = 2.8762 + 0.10679e-5 * psi + 0.21301e-10 * psi**2 - 0.53132e-16 * psi**3
    B = 0.026233 + 0.50609e-6 * psi
    C = (-465.93 + 0.030867 * psi - 0.10483e-7 * psi**2 + 0.36989e-13 * psi**3) * units.psi
    u = 3.0 * B / A / (2.0 + B / A)
    F = (46.95e6 * units.psi * u**3 / (y * (u - B / A) * (1.0 - u) ** 2)).to("").magnitude
    G = F * B / A
    slope = B + (C / y).to("").magnitude
    if x <= (math.sqrt((A - 2.0) ** 2 + 8.0 * slope) + A - 2.0) / (2.0 * slope):
        rating = 2.0 * y * (x - 1.0) / x**2
    elif x <= (y * (A - F) / (C + y * (B - G))).to("").magnitude:
        rating = y * (A / x - B) - C
    elif x <= (2.0 + B / A) / (3.0 * B / A):
        rating = y * (F / x - G)
    else:
        rating = 46.95e6 * units.psi / (x * (x - 1.0) ** 2)
    rating = rating * (reduced / y)
    equivalent = []
    inner, outer = (od - 2.0 * least) ** 2, od**2
    for radius in (od / 2.0 - least, od / 2.0):
        mean = (p_i * inner - p_o * outer) / (outer - inner)
        spread = (p_i - p_o) * inner * outer / (4.0 * radius**2 * (outer - inner))
        r_, h = mean - spread, mean + spread
        equivalent.append((((r_ - h) ** 2 + (h - pull) ** 2 + (pull - r_) ** 2) / 2.0) ** 0.5)
    burst = 2.0 * strength_at_yield * least / od
    used = (
        (p_i - p_o) / burst,
        (p_o - p_i) / rating,
        pull / strength_at_yield,
        max(equivalent) / strength_at_yield,
    )
    return [share.to("").magnitude for share in used]


def loop_with_units(s: Study, samples: int) -> Floats:
    units: Any = pint.UnitRegistry()
    names = ("m", "m", "Pa", "Pa", "Pa", "N")
    least = []
    for sample in range(samples):
        used = []
        for station in range(STATIONS):
            numbers = (float(array[sample, station]) for array in s)
            quantities = (units.Quantity(number, name) for number, name in zip(numbers, names, strict=True))
            used.append(used_with_units(units, *quantities))
        least.append([1.0 / max(shares) for shares in zip(*used, strict=True)])
    return np.array(least).T
