"""Speed of the strength functions: ratios of times, measured in one run and printed; nothing is judged here.

The least factors along a string, for many samples of it: burst, collapse under axial load, tension, and triaxial stress
at both walls. The library, in blocks of samples, against

* a scalar loop in which every number carries its unit, timed on one sample and scaled up: the aim is to be at least
  5,000 times faster;
* a loop of the same arithmetic compiled by numba: the aim is at least 0.5 of its speed, without a formula that is
  harder to read. Beside it, for information, the same loop cut in two, so that the compiler finds vector instructions.

All on one core: none of it starts threads. The time taken is the least of several runs in turns: whatever else the
machine does can only add to it.
"""

from __future__ import annotations

import importlib
import importlib.util
import math
import time
from collections.abc import Callable
from functools import partial
from typing import Any, NamedTuple

import numpy as np
import pint

from casingloads import strength
from casingloads.arrays import Floats
from casingloads.constants import PSI

SAMPLES, STATIONS = 2000, 200
CHECKED_WITH_UNITS = 3
BLOCK = 80  # samples: arrays of 128 kB; the few in use stay in a core's cache, and their memory with the process
OTHER_BLOCKS = (10, 20, 40, 160, 400, SAMPLES)
RUNS = 15


class Study(NamedTuple):
    """Pipe and loads in SI, (samples, stations) or (samples, 1)."""

    od: Floats
    wall: Floats
    yield_strength: Floats
    p_i: Floats
    p_o: Floats
    force: Floats


def study(*, tapered: bool) -> Study:
    """Return invented samples: gas inside, mud outside; burst rules at the top of the string, collapse at the bottom.

    Tapered, 9-7/8 in Q125 hangs above 9-5/8 in P110, and every array has an entry for each sample and station;
    otherwise it is all the latter, and each sample has one diameter, wall and yield strength.
    """
    rng = np.random.default_rng(20240611)

    def scatter(share: float) -> Floats:
        return 1.0 + share * rng.standard_normal((SAMPLES, 1))

    depth = np.linspace(0.0, 4000.0, STATIONS)
    upper = depth < 2500.0 if tapered else np.zeros(1, dtype=bool)
    return Study(
        od=np.where(upper, 0.250825, 0.244475) * scatter(0.001),
        wall=np.where(upper, 0.01588, 0.01199) * scatter(0.02),
        yield_strength=np.where(upper, 900e6, 800e6) * scatter(0.03),
        p_i=35e6 * scatter(0.05) + 2.3e3 * scatter(0.1) * depth,
        p_o=17e3 * scatter(0.03) * depth,
        force=2e6 * scatter(0.05) - 700.0 * scatter(0.02) * depth,
    )


# The library: the greatest share of a rating in use along the stations, (samples,)


def burst(s: Study) -> Floats:
    rating = strength.internal_yield_pressure(s.od, s.wall, s.yield_strength)
    return greatest((s.p_i - s.p_o) / rating)


def collapse(s: Study) -> Floats:
    pull = s.force / strength.steel_area(s.od, s.wall)
    rating = strength.collapse_pressure(s.od, s.wall, s.yield_strength, pull, s.p_i)
    return greatest((s.p_o - s.p_i) / rating)


def tension(s: Study) -> Floats:
    return greatest(s.force / strength.axial_yield_force(s.od, s.wall, s.yield_strength))


def triaxial(s: Study) -> Floats:
    stress = strength.triaxial_stress(s.od, s.wall, s.p_i, s.p_o, s.force)
    return greatest(stress.greatest / s.yield_strength)


def greatest(share: Floats) -> Floats:
    return np.asarray(share.max(axis=-1))


MODES = {"burst": burst, "collapse": collapse, "tension": tension, "triaxial": triaxial}


def every_mode(s: Study) -> Floats:
    return np.array([mode(s) for mode in MODES.values()])


def in_blocks(work: Callable[[Study], Floats], s: Study, block: int = BLOCK) -> Floats:
    """Return what *work* finds, (..., samples), for so many samples at a time."""
    blocks = (Study(*(array[start : start + block] for array in s)) for start in range(0, SAMPLES, block))
    return np.concatenate([work(part) for part in blocks], axis=-1)


def least_factors(s: Study, block: int = BLOCK) -> Floats:
    """Return the least factor of each mode, (4, samples)."""
    return 1.0 / in_blocks(every_mode, s, block)


# The loop with units

UNITS: Any = pint.UnitRegistry()


def with_units(s: Study, samples: int) -> Floats:
    """Return the least factors of the first samples, every number with its unit."""
    least = []
    for sample in range(samples):
        along = []
        for station in range(STATIONS):
            numbers = (float(array[sample, station]) for array in s)
            names = ("m", "m", "Pa", "Pa", "Pa", "N")
            arguments = [UNITS.Quantity(number, name) for number, name in zip(numbers, names, strict=True)]
            along.append(shares_with_units(*arguments))
        least.append([1.0 / max(shares) for shares in zip(*along, strict=True)])
    return np.array(least).T


def shares_with_units(od: Any, wall: Any, specified: Any, p_i: Any, p_o: Any, force: Any) -> list[float]:
    """Return the shares of the ratings in use at one station; all arguments are quantities."""
    area = math.pi * (od - wall) * wall
    pull = force / area
    burst = 2.0 * specified * 0.875 * wall / od

    r = min(max(((pull + p_i) / specified).to("").magnitude, 0.0), 1.0)
    reduced = specified * (math.sqrt(1.0 - 0.75 * r**2) - 0.5 * r)
    y = max(reduced, 24_000.0 * UNITS.psi)
    x = (od / wall).to("").magnitude
    psi = y.to("psi").magnitude
    A = 2.8762 + 0.10679e-5 * psi + 0.21301e-10 * psi**2 - 0.53132e-16 * psi**3
    B = 0.026233 + 0.50609e-6 * psi
    C = (-465.93 + 0.030867 * psi - 0.10483e-7 * psi**2 + 0.36989e-13 * psi**3) * UNITS.psi
    q = B / A
    u = 3.0 * q / (2.0 + q)
    F = (46.95e6 * UNITS.psi * u**3 / (y * (u - q) * (1.0 - u) ** 2)).to("").magnitude
    G = F * q
    slope = B + (C / y).to("").magnitude
    if x <= (math.sqrt((A - 2.0) ** 2 + 8.0 * slope) + A - 2.0) / (2.0 * slope):
        collapse = 2.0 * y * (x - 1.0) / x**2
    elif x <= (y * (A - F) / (C + y * (B - G))).to("").magnitude:
        collapse = y * (A / x - B) - C
    elif x <= (2.0 + q) / (3.0 * q):
        collapse = y * (F / x - G)
    else:
        collapse = 46.95e6 * UNITS.psi / (x * (x - 1.0) ** 2)
    collapse = collapse * (reduced / y)

    bore = od - 2.0 * 0.875 * wall
    equivalent = []
    for diameter in (bore, od):
        mean = (p_i * bore**2 - p_o * od**2) / (od**2 - bore**2)
        spread = (p_i - p_o) * od**2 * bore**2 / (diameter**2 * (od**2 - bore**2))
        radial, hoop = mean - spread, mean + spread
        square = ((radial - hoop) ** 2 + (hoop - pull) ** 2 + (pull - radial) ** 2) / 2.0
        equivalent.append(square**0.5)

    shares = ((p_i - p_o) / burst, (p_o - p_i) / collapse, force / (area * specified), max(equivalent) / specified)
    return [share.to("").magnitude for share in shares]


# The compiled loop


def compiled(numba: Any) -> tuple[Callable[[Study], Floats], Callable[[Study], Floats]]:
    """Return the compiled loop as one writes it, and cut in two for vector instructions."""
    jit = numba.njit(error_model="numpy")  # no exception for a division by zero, as in numpy

    @numba.njit(error_model="numpy", inline="always")  # type: ignore[untyped-decorator, unused-ignore]
    def station(
        od: float, wall: float, specified: float, p_i: float, p_o: float, force: float
    ) -> tuple[float, float, float, float]:
        area = math.pi * (od - wall) * wall
        pull = force / area
        burst = 2.0 * specified * 0.875 * wall / od

        r = min(max((pull + p_i) / specified, 0.0), 1.0)
        reduced = specified * (math.sqrt(1.0 - 0.75 * r * r) - 0.5 * r)
        y = max(reduced, 24_000.0 * PSI)
        x = od / wall
        psi = y / PSI
        A = 2.8762 + psi * (0.10679e-5 + psi * (0.21301e-10 - psi * 0.53132e-16))
        B = 0.026233 + 0.50609e-6 * psi
        C = PSI * (-465.93 + psi * (0.030867 + psi * (-0.10483e-7 + psi * 0.36989e-13)))
        q = B / A
        F = 6.75 * 46.95e6 * PSI * q * q / (y * (1.0 - q) * (1.0 - q) * (1.0 - q))
        G = F * q
        slope, more = B + C / y, A - 2.0
        collapse = 46.95e6 * PSI / (x * (x - 1.0) * (x - 1.0))
        collapse = y * (F / x - G) if x <= (2.0 + q) / (3.0 * q) else collapse
        collapse = y * (A / x - B) - C if x <= (A - F) / (slope - G) else collapse
        thick = x <= (math.sqrt(more * more + 8.0 * slope) + more) / (2.0 * slope)
        collapse = 2.0 * y * (x - 1.0) / (x * x) if thick else collapse
        collapse *= reduced / y

        bore = od - 2.0 * 0.875 * wall
        outer, inner = od * od, bore * bore
        membrane = (p_i - p_o) * inner / (outer - inner)
        centre = pull - (membrane - p_o)  # of Mohr's circle of radial and hoop stress, the same at both walls
        at_bore = math.sqrt(centre * centre + 3.0 * (membrane * outer / inner) ** 2)
        at_outside = math.sqrt(centre * centre + 3.0 * membrane**2)
        equivalent = max(at_bore, at_outside)
        return (p_i - p_o) / burst, (p_o - p_i) / collapse, force / (area * specified), equivalent / specified

    @jit  # type: ignore[untyped-decorator, unused-ignore]
    def plain(od: Any, wall: Any, specified: Any, p_i: Any, p_o: Any, force: Any) -> Any:
        least = np.empty((4, od.shape[0]))
        for i in range(od.shape[0]):
            burst = collapse = tension = triaxial = 0.0
            for j in range(od.shape[1]):
                shares = station(od[i, j], wall[i, j], specified[i, j], p_i[i, j], p_o[i, j], force[i, j])
                burst, collapse = max(burst, shares[0]), max(collapse, shares[1])
                tension, triaxial = max(tension, shares[2]), max(triaxial, shares[3])
            least[0, i], least[1, i], least[2, i], least[3, i] = 1 / burst, 1 / collapse, 1 / tension, 1 / triaxial
        return least

    @jit  # type: ignore[untyped-decorator, unused-ignore]
    def cut(od: Any, wall: Any, specified: Any, p_i: Any, p_o: Any, force: Any) -> Any:
        least = np.empty((4, od.shape[0]))
        burst, collapse, tension, triaxial = np.empty((4, od.shape[1]))
        for i in range(od.shape[0]):
            D, t, Y, inside, outside, F = od[i], wall[i], specified[i], p_i[i], p_o[i], force[i]
            for j in range(D.size):
                shares = station(D[j], t[j], Y[j], inside[j], outside[j], F[j])
                burst[j], collapse[j], tension[j], triaxial[j] = shares
            least[0, i], least[1, i] = 1.0 / burst.max(), 1.0 / collapse.max()
            least[2, i], least[3, i] = 1.0 / tension.max(), 1.0 / triaxial.max()
        return least

    return (lambda s: plain(*s)), (lambda s: cut(*s))


# The times


def least_times(**functions: Callable[[], object]) -> dict[str, float]:
    """Return the least time of each function [s], run in turns."""
    times: dict[str, list[float]] = {name: [] for name in functions}
    for _ in range(RUNS):
        for name, function in functions.items():
            start = time.perf_counter()
            function()
            times[name].append(time.perf_counter() - start)
    return {name: min(found) for name, found in times.items()}


def library(s: Study) -> None:
    one_pipe = study(tapered=False)
    times = least_times(all=lambda: least_factors(s), one=lambda: least_factors(one_pipe))
    parts = least_times(**{name: partial(in_blocks, mode, s) for name, mode in MODES.items()})
    blocks = least_times(**{str(block): partial(least_factors, s, block) for block in OTHER_BLOCKS})
    print(
        f"library, blocks of {BLOCK} samples: {times['all'] * 1e3:.1f} ms, {nanoseconds(times['all']):.0f} ns a station"
    )
    print("  of it: " + ", ".join(f"{name} {nanoseconds(part):.1f} ns" for name, part in parts.items()))
    print(f"  a string of one pipe, numbers of the pipe in shape (samples, 1): {times['one'] * 1e3:.1f} ms")
    print("  other blocks: " + ", ".join(f"{block}: {taken * 1e3:.0f} ms" for block, taken in blocks.items()))


def nanoseconds(seconds: float) -> float:
    """Return the time for one station of one sample."""
    return seconds * 1e9 / (SAMPLES * STATIONS)


def against_units(s: Study) -> None:
    np.testing.assert_allclose(least_factors(s)[:, :CHECKED_WITH_UNITS], with_units(s, CHECKED_WITH_UNITS), rtol=1e-10)
    times = least_times(ours=lambda: least_factors(s), one_sample=lambda: with_units(s, 1))
    slow = times["one_sample"] * SAMPLES
    print(f"loop with units: {slow:.0f} s, scaled up from one sample of {SAMPLES}")
    print(f"  the library is {slow / times['ours']:,.0f} times faster (aim: at least 5,000)")


def against_compiled(s: Study) -> None:
    if importlib.util.find_spec("numba") is None:
        print("compiled loop: left out, numba is not installed")
        return
    numba: Any = importlib.import_module("numba")
    numba.set_num_threads(1)
    plain, cut = compiled(numba)
    for loop in (plain, cut):
        np.testing.assert_allclose(least_factors(s), loop(s), rtol=1e-10)  # compiles it as well
    times = least_times(ours=lambda: least_factors(s), plain=lambda: plain(s), cut=lambda: cut(s))
    print(f"compiled loop: {times['plain'] * 1e3:.1f} ms, with vector instructions {times['cut'] * 1e3:.1f} ms")
    print(f"  the library has {times['plain'] / times['ours']:.2f} of its speed (aim: at least 0.5)", end=", ")
    print(f"and {times['cut'] / times['ours']:.2f} of that with vector instructions")


def main() -> None:
    """Check that the three ways agree, and print the times and ratios."""
    s = study(tapered=True)
    print(f"{SAMPLES} samples of {STATIONS} stations, numpy {np.__version__}")
    library(s)
    against_units(s)
    against_compiled(s)


if __name__ == "__main__":
    main()
