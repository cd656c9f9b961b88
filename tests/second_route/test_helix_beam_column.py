"""Buckling worked numerically: a rod on the wall of its hole under a force that varies, and beams of finite elements.

The rod winds at a rate g = theta' around a vertical hole. Its potential for small slopes, with bending and the work of
the force F - w s, is

    E I r2/2 (g'2 + g4) - (F - w s) r2/2 g2

summed along it. Of lengths in (E I/w)^(1/3) and forces in (E I w2)^(1/3) nothing but F is left. The library takes the
helix of each place to be that of a uniform force, g2 = F/(2 E I); this is where the balance of the whole rod is told
from it. Torsion and friction are left out by both.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import eigh, solve_banded
from scipy.optimize import minimize_scalar
from scipy.special import ai_zeros

from casingloads.arrays import Floats
from casingloads.axial.buckling import (
    bending_stiffness,
    buckled_curvature,
    buckling_strain,
    helix_pitch,
    mean_strain,
    snaking_force,
    vertical_critical_forces,
)

STIFFNESS = float(bending_stiffness(0.2445, 0.2205, 206.8e9))  # 9-5/8 in 47 lb/ft
CLEARANCE, WEIGHT = 0.033, 580.0
UNIT = float(np.cbrt(STIFFNESS / WEIGHT))  # of length [m]
SCALE = WEIGHT * UNIT  # of force [N]


def wound(force: float, held: bool, count: int = 4001) -> tuple[Floats, Floats]:
    """Return places and rate of turning of the rod of least potential, by Newton on central differences.

    Up to well above the neutral point. The lower end is free to turn on the wall (without moment), or *held* along the
    hole; the upper end is free to turn.
    """
    places = np.linspace(0.0, force + 8.0, count)
    step = places[1]
    here = force - places
    weight = np.ones(count)
    weight[[0, -1]] = 0.5
    rate = np.sqrt(np.maximum(here, 0.0) / 2.0) + 0.3 * np.exp(-(here**2))  # a start on the side of one hand
    stiff = np.full(count, 2.0 / step**2) * weight
    for _ in range(50):
        pull = np.zeros(count)
        slope = np.diff(rate) / step**2
        pull[:-1] -= slope
        pull[1:] += slope
        pull += weight * (2.0 * rate**3 - here * rate)
        bands = np.zeros((3, count))
        bands[0, 1:] = bands[2, :-1] = -1.0 / step**2
        bands[1] = stiff + weight * (6.0 * rate**2 - here)
        if held:
            pull[0] = rate[0]
            bands[1, 0], bands[0, 1] = 1.0, 0.0
        change = solve_banded((1, 1), bands, -pull)
        rate = rate + change
        if np.max(np.abs(change)) < 1e-12:
            return places, rate
    raise AssertionError("Newton does not converge")


def shorter(places: Floats, rate: Floats) -> float:
    """Return by how much the rod is shorter than the hole [m]."""
    return 0.5 * CLEARANCE**2 / UNIT * float(np.trapezoid(rate**2, places))


def by_library(force: float, stretches: int = 7) -> float:
    """Return the same from the mean strain of stretches that do not end at the neutral point [m]."""
    ends = np.linspace(0.0, force + 8.0, stretches + 1)
    push = (force - ends) * SCALE
    none = np.zeros(stretches)  # no side force, so it snakes at once
    start = snaking_force(STIFFNESS, CLEARANCE, none)
    strain = mean_strain((push[1:], push[:-1]), (start, start), none + STIFFNESS, none + CLEARANCE)
    return -float(np.sum(strain * np.diff(ends))) * UNIT


@pytest.mark.parametrize(("force", "precision"), [(6.0, 6e-3), (10.0, 1e-3), (25.0, 1e-4)])
def test_shortening_of_a_hanging_string_set_on_its_end(force: float, precision: float) -> None:
    """r2 F2/(8 E I w): 96, 160 and 401 kN on the end, the rest of the string hangs above it."""
    formula = CLEARANCE**2 * (force * SCALE) ** 2 / (8.0 * STIFFNESS * WEIGHT)
    assert by_library(force) == pytest.approx(formula, rel=1e-12)
    assert shorter(*wound(force, held=False)) == pytest.approx(formula, rel=precision)


def test_the_end_held_along_the_hole_takes_off_little() -> None:
    """Near a held end the rod is straight: g = sqrt(F/2) tanh(sqrt(F/2) s), so that r2/2 sqrt(F/2EI) is missing."""
    force = 25.0
    missing = 0.5 * CLEARANCE**2 * np.sqrt(force * SCALE / (2.0 * STIFFNESS))
    found = by_library(force) - shorter(*wound(force, held=True))
    assert found == pytest.approx(missing, rel=0.02)
    assert found < 0.025 * by_library(force)


def test_rate_of_turning_strain_and_curvature_place_by_place() -> None:
    """From the end up to a quarter of the buckled length below the neutral point, to 1 %; nothing is left above it."""
    force = 25.0
    places, rate = wound(force, held=False)
    deep = (places > 0.0) & (places < 0.75 * force)
    push = (force - places[deep]) * SCALE
    turns = 2.0 * np.pi / helix_pitch(push, STIFFNESS)
    assert rate[deep] / UNIT == pytest.approx(turns, rel=0.01)
    strain = -0.5 * (CLEARANCE * rate[deep] / UNIT) ** 2
    assert buckling_strain(push, 0.0, STIFFNESS, CLEARANCE) == pytest.approx(strain, rel=0.01)
    bend = CLEARANCE * np.hypot(np.gradient(rate, places)[deep], rate[deep] ** 2) / UNIT**2
    assert buckled_curvature(push, 0.0, STIFFNESS, CLEARANCE) == pytest.approx(bend, rel=0.01)
    assert np.max(np.abs(rate[places > force + 5.0])) < 1e-2 * rate[0]


def test_the_rod_is_converged() -> None:
    coarse, fine = (shorter(*wound(10.0, held=False, count=count)) for count in (1001, 4001))
    assert coarse == pytest.approx(fine, rel=1e-5)


@pytest.mark.parametrize("push", [1e-4, 1e-3, 1e-2])
def test_helix_of_any_slope(push: float) -> None:
    """Without small slopes: a screw line of angle b to the axis has the curvature sin2 b/r and is 1 - cos b shorter.

    Its potential is least where sin2 b cos b = F r2/(2 E I); the library's strain is the beginning of it.
    Here F r2/(E I) is up to 1e-2; casing reaches 1e-4.
    """

    def potential(angle: float) -> float:
        return 0.5 * float(np.sin(angle)) ** 4 - push * (1.0 - float(np.cos(angle)))

    least = minimize_scalar(potential, bounds=(1e-4, 0.3), method="bounded", options={"xatol": 1e-10})
    strain = -(1.0 - np.cos(least.x))
    assert buckling_strain(push, 0.0, 1.0, 1.0) == pytest.approx(strain, rel=0.4 * push + 1e-5)
    assert buckled_curvature(push, 0.0, 1.0, 1.0) == pytest.approx(np.sin(least.x) ** 2, rel=0.4 * push + 1e-5)


# --- beams of two nodes, cubic between them ---


class Beam:
    """A straight beam of equal elements with cubic deflection; sums along it by four places in each element."""

    def __init__(self, length: float, count: int) -> None:
        self.h, self.count = length / count, count
        at, weight = np.polynomial.legendre.leggauss(4)
        x, self.weight = 0.5 * (at + 1.0), 0.5 * weight * self.h
        self.places = self.h * (np.arange(count)[:, np.newaxis] + x)
        h = self.h
        shapes = [1 - 3 * x**2 + 2 * x**3, h * (x - 2 * x**2 + x**3), 3 * x**2 - 2 * x**3, h * (x**3 - x**2)]
        slopes = [6 * x**2 - 6 * x, h * (1 - 4 * x + 3 * x**2), 6 * x - 6 * x**2, h * (3 * x**2 - 2 * x)]
        bends = [12 * x - 6, h * (6 * x - 4), 6 - 12 * x, h * (6 * x - 2)]
        self.derivatives = [np.array(shapes), np.array(slopes) / h, np.array(bends) / h**2]

    def matrix(self, order: int, factor: Floats | float) -> Floats:
        """Return the form of a *factor* along the beam times the square of a derivative of the deflection.

        Hinged at both ends.
        """
        part = self.derivatives[order]
        along = np.broadcast_to(factor, self.places.shape) * self.weight
        elements = np.einsum("ip,ep,jp->eij", part, along, part)
        whole = np.zeros((2 * self.count + 2, 2 * self.count + 2))
        for number, element in enumerate(elements):
            whole[2 * number : 2 * number + 4, 2 * number : 2 * number + 4] += element
        free = np.setdiff1d(np.arange(2 * self.count + 2), [0, 2 * self.count])
        return np.asarray(whole[np.ix_(free, free)])


def lowest(stiff: Floats, geometric: Floats) -> float:
    """Return the least force at which the beam leaves its straight line."""
    last = stiff.shape[0] - 1
    return 1.0 / float(eigh(geometric, stiff, eigvals_only=True, subset_by_index=(last, last))[0])


@pytest.mark.parametrize("side", [100.0, 580.0])
@pytest.mark.parametrize("half_waves", [1.0, 2.0, 8.0, 8.5])
def test_snaking_force_by_elements(side: float, half_waves: float) -> None:
    """On the low side a pipe swung by an angle is pulled back like one on a bedding of n/r a length.

    The force is least where half waves of length pi (E I r/n)^(1/4) fit. Where *half_waves* of them are no whole
    number k, it is higher by the mean of (k/half_waves)2 and its inverse, 0.7 % at 8.5.
    """
    length = half_waves * np.pi * (STIFFNESS * CLEARANCE / side) ** 0.25
    pipe = Beam(length, 48)
    found = lowest(pipe.matrix(2, STIFFNESS) + pipe.matrix(0, side / CLEARANCE), pipe.matrix(1, 1.0))
    fit = min(0.5 * (ratio + 1.0 / ratio) for ratio in ((k / half_waves) ** 2 for k in range(1, 12)))
    assert found == pytest.approx(fit * float(snaking_force(STIFFNESS, CLEARANCE, side)), rel=1e-4)


def vertical(length: float) -> float:
    """Return the same for a vertical beam that hangs, by the compression at its lower end, (E I w2)^(1/3)."""
    pipe = Beam(length, 60)
    return lowest(pipe.matrix(2, 1.0) + pipe.matrix(1, pipe.places), pipe.matrix(1, 1.0))


def test_first_buckling_of_vertical_pipe_by_elements() -> None:
    """1.94 is right for a length of about 8 (E I/w)^(1/3), 220 m of 9-5/8 in casing. Longer pipe buckles earlier.

    The longer it hangs, the less its upper part holds the lower end to the side, and the force falls slowly towards
    1.02, the zero of the derivative of the Airy function, of a lower end without side force.
    """
    first, _ = vertical_critical_forces(STIFFNESS, WEIGHT)
    assert vertical(8.0) * SCALE == pytest.approx(float(first), rel=3e-3)
    forces = [vertical(length) for length in (8.0, 15.0, 30.0)]
    assert forces == pytest.approx([1.937, 1.769, 1.642], abs=1e-3)  # from these elements, no published value
    assert ai_zeros(1)[1][0] == pytest.approx(-1.0188, abs=1e-4)
    assert min(forces) > 1.0188


def test_vertical_pipe_becomes_a_helix_with_its_first_turn() -> None:
    """5.55: there the rod on the wall makes 0.98 of a turn below its neutral point."""
    _, helix = vertical_critical_forces(1.0, 1.0)
    places, rate = wound(float(helix), held=False)
    below = places <= float(helix)
    assert np.trapezoid(rate[below], places[below]) / (2.0 * np.pi) == pytest.approx(1.0, abs=0.05)
    assert np.sqrt(2.0) / 3.0 * float(helix) ** 1.5 / (2.0 * np.pi) == pytest.approx(0.98, abs=0.005)
