"""Buckling: limits and invariants, the shapes the formulas describe, and the mean along a stretch by quadrature.

The snaking pipe against a minimum of the energy, and the helix against a rod worked numerically, are in `second_route`.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from casingloads import strength
from casingloads.arrays import Floats
from casingloads.axial.buckling import (
    HELIX,
    angle_of_snaking,
    bending_stiffness,
    buckled_curvature,
    buckling_strain,
    helix_pitch,
    helix_side_force,
    mean_strain,
    snaking_force,
    snaking_force_in_build,
    vertical_critical_forces,
)
from casingloads.axial.contact import Course, side_force

STIFFNESS, CLEARANCE = 12.3e6, 0.033  # 9-5/8 in 47 lb/ft in a hole of 12-1/4 in [N m2], [m]
POSITIVE = st.floats(1e-3, 1e3)
FORCES = st.integers(-2000, 2000).map(lambda kilo: 1e3 * kilo)  # no hair's breadth of buckled pipe, for quadrature
WEIGHTS = st.one_of(st.just(0.0), st.floats(1e-3, 3e3))
STARTS = st.one_of(st.just(0.0), st.floats(1e3, 1e6))


def strain(compression: object, snaking: object) -> Floats:
    return np.asarray(buckling_strain(np.asarray(compression), np.asarray(snaking), STIFFNESS, CLEARANCE))


def mean(compression: tuple[float, float], snaking: tuple[float, float]) -> float:
    upper, lower = (np.array([value]) for value in compression)
    begin, end = (np.array([value]) for value in snaking)
    return float(mean_strain((upper, lower), (begin, end), np.array([STIFFNESS]), np.array([CLEARANCE]))[0])


def test_stiffness_is_the_modulus_times_the_second_moment() -> None:
    od, wall = np.array([0.2445, 0.1778]), np.array([0.01199, 0.01036])
    expected = 206.8e9 * strength.second_moment(od, wall)
    assert bending_stiffness(od, od - 2.0 * wall, 206.8e9) == pytest.approx(expected, rel=1e-12)
    assert bending_stiffness(od, od - 2.0 * wall, np.full((3, 1), 206.8e9)).shape == (3, 2)


# --- the force at which it begins ---


@given(stiffness=POSITIVE, clearance=POSITIVE, side=POSITIVE, times=st.floats(1.0, 100.0))
def test_snaking_force_grows_as_a_root(stiffness: float, clearance: float, side: float, times: float) -> None:
    force = float(snaking_force(stiffness, clearance, side))
    assert force == pytest.approx(2.0 * (stiffness * side / clearance) ** 0.5, rel=1e-12)
    assert snaking_force(stiffness * times, clearance, side) == pytest.approx(force * times**0.5, rel=1e-12)
    assert snaking_force(stiffness, clearance, side * times) == pytest.approx(force * times**0.5, rel=1e-12)
    assert snaking_force(stiffness, clearance * times, side) == pytest.approx(force / times**0.5, rel=1e-12)


def test_without_side_force_it_snakes_at_once_and_without_clearance_never() -> None:
    assert snaking_force(STIFFNESS, CLEARANCE, 0.0) == 0.0
    found = snaking_force(STIFFNESS, [0.0, 0.0, CLEARANCE], [0.0, 400.0, 400.0])
    assert np.isinf(found).tolist() == [True, True, False]


def test_snaking_force_broadcasts() -> None:
    found = snaking_force(np.full((4, 1), STIFFNESS), [CLEARANCE, 0.0, 0.02], 400.0)
    assert found.shape == (4, 3)
    assert found[2, 0] == snaking_force(STIFFNESS, CLEARANCE, 400.0)


@given(stiffness=st.floats(1e4, 1e9), clearance=st.floats(1e-3, 0.5), weight=WEIGHTS, curvature=st.floats(0.0, 0.01))
def test_snaking_force_in_build_solves_its_own_equation(
    stiffness: float, clearance: float, weight: float, curvature: float
) -> None:
    """With the side force that it makes itself, of a hole that builds, the general formula gives it back."""
    force = float(snaking_force_in_build(stiffness, clearance, weight, curvature))
    assert force == pytest.approx(float(snaking_force(stiffness, clearance, weight + force * curvature)), rel=1e-12)
    straight = float(snaking_force(stiffness, clearance, weight))
    assert force >= straight * (1.0 - 1e-12)


def test_snaking_force_in_build_agrees_with_the_contact_in_a_hole_that_builds() -> None:
    """At 40 deg and 3 deg/100 ft: the side force of the path under this very compression."""
    sine, curvature, weight = np.sin(np.radians(40.0)), np.radians(3.0) / 30.48, 580.0
    force = float(snaking_force_in_build(STIFFNESS, CLEARANCE, weight * sine, curvature))
    along = Course(cosine=np.cos(np.radians(40.0)), curvature=curvature, steepening=-sine * curvature)
    side = side_force(np.array(-force), np.array(weight), along)
    assert snaking_force(STIFFNESS, CLEARANCE, side) == pytest.approx(force, rel=1e-12)
    assert float(snaking_force(STIFFNESS, CLEARANCE, weight * sine)) < 0.6 * force  # the bend is not small


def test_snaking_force_in_build_without_weight() -> None:
    assert snaking_force_in_build(STIFFNESS, CLEARANCE, 0.0, 1e-3) == pytest.approx(4e-3 * STIFFNESS / CLEARANCE)
    assert snaking_force_in_build(STIFFNESS, CLEARANCE, [100.0, 400.0], np.zeros((3, 1))).shape == (3, 2)


@given(stiffness=st.floats(1e4, 1e9), weight=WEIGHTS)
def test_vertical_forces_go_with_stiffness_and_weight(stiffness: float, weight: float) -> None:
    first, helix = vertical_critical_forces(stiffness, weight)
    scale = (stiffness * weight**2) ** (1.0 / 3.0)
    assert (first, helix) == pytest.approx((1.94 * scale, 5.55 * scale), rel=1e-12)
    assert vertical_critical_forces(stiffness * 8.0, weight)[0] == pytest.approx(2.0 * float(first), rel=1e-12)


# --- swing, strain and curvature at a place ---


@given(start=st.floats(1e3, 1e6), ratios=st.tuples(st.floats(0.0, 6.0), st.floats(0.0, 6.0)))
def test_it_swings_more_the_harder_it_is_pushed(start: float, ratios: tuple[float, float]) -> None:
    less, more = sorted(ratios)
    swing = angle_of_snaking(np.array([less, more]) * start, start)
    assert 0.0 <= swing[0] <= swing[1] <= 1.0
    assert (swing == 0.0).tolist() == [less <= 1.0, more <= 1.0]


def test_swing_at_its_limits() -> None:
    assert angle_of_snaking([-1.0, 0.0, 1e-9], 0.0).tolist() == [0.0, 0.0, 1.0]  # no side force: a helix at once
    assert angle_of_snaking([1e6, 0.0], np.inf).tolist() == [0.0, 0.0]  # no clearance: straight
    assert angle_of_snaking(HELIX * 5.0, 5.0) == 1.0
    assert 0.9 < angle_of_snaking(HELIX * 5.0 * (1.0 - 1e-9), 5.0) < 1.0


@given(force=FORCES, more=st.floats(0.0, 1e6), start=STARTS)
def test_pushed_harder_it_is_shorter(force: float, more: float, start: float) -> None:
    assert strain(force + more, start) <= strain(force, start) <= 0.0


@given(force=FORCES, start=STARTS, more=st.floats(0.0, 1e6))
def test_pressed_harder_on_its_side_it_buckles_less(force: float, start: float, more: float) -> None:
    assert strain(force, start + more) >= strain(force, start)
    curvatures = [float(buckled_curvature(force, s, STIFFNESS, CLEARANCE)) for s in (start + more, start)]
    assert 0.0 <= curvatures[0] <= curvatures[1]


@given(force=FORCES, start=STARTS)
def test_no_more_than_a_helix(force: float, start: float) -> None:
    """Strain and curvature lie between those of straight pipe and those of a helix under the same force."""
    helix = -(CLEARANCE**2) * max(force, 0.0) / (4.0 * STIFFNESS)
    bent = CLEARANCE * max(force, 0.0) / (2.0 * STIFFNESS)
    found, curvature = float(strain(force, start)), float(buckled_curvature(force, start, STIFFNESS, CLEARANCE))
    assert helix * (1.0 + 1e-12) <= found <= 0.0
    assert 0.0 <= curvature <= bent * (1.0 + 1e-12)
    if force <= start:
        assert found == curvature == 0.0
    elif force >= HELIX * start:
        assert (found, curvature) == pytest.approx((helix, bent), rel=1e-12)


def test_strain_grows_from_nothing_and_jumps_where_the_helix_begins() -> None:
    """From memory the sine's strain at 2.8 times is 0.485 of the helix's: 0.7285 times (1.8/2.8)^0.92."""
    start = 1e5
    assert strain(start * (1.0 + 1e-9), start) == pytest.approx(0.0, abs=1e-11)
    before, after = strain(HELIX * start * np.array([1.0 - 1e-12, 1.0]), start)
    assert before / after == pytest.approx(0.7285 * (1.8 / 2.8) ** 0.92, rel=1e-9)


def test_strain_of_the_sine_as_it_is_published() -> None:
    """-0.7285 r2/(4 E I) F^0.08 (F - F_s)^0.92 (Mitchell 1997; value from memory)."""
    force, start = np.array([1.05e5, 1.5e5, 2.7e5]), 1e5
    expected = -0.7285 * CLEARANCE**2 / (4.0 * STIFFNESS) * force**0.08 * (force - start) ** 0.92
    assert strain(force, start) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("ratio", [1.02, 1.5, 2.0, 2.79])
def test_strain_and_curvature_are_those_of_the_sine_described(ratio: float) -> None:
    """A pipe that lies as theta = a sin(sqrt(F/2EI) s): its slope on the wall is r theta', its bend r theta''."""
    start = 1e5
    force = ratio * start
    swing, wave = float(angle_of_snaking(force, start)), np.sqrt(force / (2.0 * STIFFNESS))
    turn = 2.0 * np.pi * np.arange(1000) / 1000.0
    slope, bend = CLEARANCE * swing * wave * np.cos(turn), -CLEARANCE * swing * wave**2 * np.sin(turn)
    assert strain(force, start) == pytest.approx(-0.5 * np.mean(slope**2), rel=1e-12)
    assert buckled_curvature(force, start, STIFFNESS, CLEARANCE) == pytest.approx(np.max(np.abs(bend)), rel=1e-12)


def test_helix_is_a_screw_line_on_the_wall() -> None:
    """One turn in a pitch: shorter by half the square of its slope, bent by slope squared over the radius."""
    force = 3e5
    rate = 2.0 * np.pi / float(helix_pitch(force, STIFFNESS))
    slope, bend = CLEARANCE * rate, CLEARANCE * rate**2
    assert strain(force, 0.0) == pytest.approx(-(slope**2) / 2.0, rel=1e-12)
    assert buckled_curvature(force, 0.0, STIFFNESS, CLEARANCE) == pytest.approx(bend, rel=1e-12)
    assert STIFFNESS * bend == pytest.approx(CLEARANCE * force / 2.0, rel=1e-12)  # the moment
    # across the axis: the wall carries what the force pushes out less what the stiffness pulls back
    wall = force * bend - STIFFNESS * CLEARANCE * rate**4
    assert helix_side_force(force, STIFFNESS, CLEARANCE) == pytest.approx(wall, rel=1e-12)


def test_places_and_samples_broadcast() -> None:
    force, start = np.linspace(-1e5, 6e5, 8), np.array([[0.0], [1e5], [np.inf]])
    found = buckling_strain(force, start, STIFFNESS, CLEARANCE)
    curvature = buckled_curvature(force, start, STIFFNESS, CLEARANCE)
    assert found.shape == curvature.shape == (3, 8)
    assert np.array_equal(found[1], strain(force, 1e5))
    assert not np.any(found[2])
    assert helix_pitch(force[2:], STIFFNESS * np.ones((2, 1))).shape == (2, 6)
    assert helix_side_force(force, STIFFNESS, np.full((2, 1), CLEARANCE)).shape == (2, 8)


# --- the mean along a stretch ---

ENDS = st.tuples(FORCES, FORCES)
STARTS_OF_ENDS = st.one_of(st.just((0.0, 0.0)), st.tuples(st.floats(1e3, 1e6), st.floats(1e3, 1e6)))


def crossings(compression: tuple[float, float], snaking: tuple[float, float]) -> list[float]:
    """Return where along the stretch it begins to snake and to wind, for the quadrature to cut there."""
    found = []
    for times in (1.0, HELIX):
        upper, lower = (force - times * start for force, start in zip(compression, snaking, strict=True))
        if upper * lower < 0.0:
            found.append(upper / (upper - lower))
    return found


@settings(deadline=None)
@given(compression=ENDS, snaking=STARTS_OF_ENDS)
def test_mean_is_that_of_quadrature(compression: tuple[float, float], snaking: tuple[float, float]) -> None:
    """Three places in each part; by the root-like beginning of the sine they miss no more than 0.2 %."""

    def at(place: float) -> float:
        force, start = (upper + place * (lower - upper) for upper, lower in (compression, snaking))
        return float(strain(force, start)) * 1e6

    cuts = [0.0, *sorted(crossings(compression, snaking)), 1.0]
    exact = sum(quad(at, a, b, epsabs=1e-7, epsrel=1e-7)[0] for a, b in pairwise(cuts))
    assert mean(compression, snaking) * 1e6 == pytest.approx(exact, rel=2e-3, abs=1e-6)


@given(upper=st.floats(-2e6, 2e6), slope=st.floats(1e3, 1e6), start=st.floats(1e3, 1e6))
def test_mean_is_continuous_in_the_force(upper: float, slope: float, start: float) -> None:
    """A newton more changes the mean by what a newton does to a helix, and by the jump of a piece 1 N/slope long."""
    jump = CLEARANCE**2 / (4.0 * STIFFNESS) * HELIX * start
    most = (3.0 * CLEARANCE**2 / (4.0 * STIFFNESS) + jump / slope) * 1.0  # 3: the sine begins steeper than a helix
    one, other = (mean((force, force + slope), (start, start)) for force in (upper, upper + 1.0))
    assert other <= one + 1e-18
    assert one - other <= most + 1e-13


def test_mean_is_continuous_where_the_strain_jumps() -> None:
    """Moved through 2.8 times in 1000 steps the mean never moves by more than 1/400 of the way; the strain does."""
    start, half = 1e5, 2e4
    middle = np.linspace(HELIX * start - 2.0 * half, HELIX * start + 2.0 * half, 1001)
    ones = np.ones_like(middle)
    means = mean_strain((middle - half, middle + half), (start * ones, start * ones), STIFFNESS * ones,
                        CLEARANCE * ones)  # fmt: skip
    way = means[0] - means[-1]
    assert np.all(np.diff(means) < 0.0)
    assert np.max(-np.diff(means)) < way / 400.0
    assert np.max(-np.diff(strain(middle, start))) > 0.6 * way


def test_where_the_force_is_the_same_all_along_the_mean_is_the_strain() -> None:
    """And so it jumps with it: nothing along the stretch smooths it."""
    for force in (0.9e5, 1.5e5, HELIX * 1e5 - 1.0, HELIX * 1e5, 4e5):
        assert mean((force, force), (1e5, 1e5)) == pytest.approx(float(strain(force, 1e5)), rel=1e-12)


@given(compression=ENDS, snaking=STARTS_OF_ENDS)
def test_mean_is_the_same_upside_down(compression: tuple[float, float], snaking: tuple[float, float]) -> None:
    found = mean(compression, snaking)
    assert mean(compression[::-1], snaking[::-1]) == pytest.approx(found, rel=1e-9, abs=1e-16)


@given(compression=ENDS, snaking=STARTS_OF_ENDS, cut=st.floats(0.01, 0.99))
def test_mean_of_the_parts_is_the_mean(
    compression: tuple[float, float], snaking: tuple[float, float], cut: float
) -> None:
    force, start = ((1.0 - cut) * upper + cut * lower for upper, lower in (compression, snaking))
    above = mean((compression[0], force), (snaking[0], start))
    below = mean((force, compression[1]), (start, snaking[1]))
    assert cut * above + (1.0 - cut) * below == pytest.approx(mean(compression, snaking), rel=2e-3, abs=1e-12)


@given(compression=ENDS, more=st.tuples(st.floats(0.0, 1e6), st.floats(0.0, 1e6)), snaking=STARTS_OF_ENDS)
def test_mean_falls_with_the_compression(
    compression: tuple[float, float], more: tuple[float, float], snaking: tuple[float, float]
) -> None:
    """What a search for the force of balance needs; 0.1 % for the three places of the quadrature."""
    pushed = (compression[0] + more[0], compression[1] + more[1])
    assert mean(pushed, snaking) <= mean(compression, snaking) * (1.0 - 1e-3) + 1e-12


def test_vertical_pipe_down_to_its_neutral_point() -> None:
    """Linear from nothing to F over the length F/w: r2 F2/(8 E I w) shorter (Lubinski, Althouse & Logan 1962)."""
    force, weight = 9e4, 600.0
    length = force / weight
    expected = -(CLEARANCE**2) * force**2 / (8.0 * STIFFNESS * weight)
    assert mean((0.0, force), (0.0, 0.0)) * length == pytest.approx(expected, rel=1e-12)
    # with as much pipe in tension above it the neutral point lies in the middle, and the same is shortened
    assert mean((-force, force), (0.0, 0.0)) * 2.0 * length == pytest.approx(expected, rel=1e-12)


def test_no_clearance_is_no_buckling_and_no_missing_number() -> None:
    start = snaking_force(STIFFNESS, np.zeros(3), np.array([0.0, 400.0, 400.0]))
    upper, lower = np.array([-1e5, 0.0, 1e6]), np.array([1e5, 5e6, 1e6])
    found = mean_strain((upper, lower), (start, start), np.full(3, STIFFNESS), np.zeros(3))
    assert found.tolist() == [0.0, 0.0, 0.0]
    assert not np.any(buckling_strain(lower, start, STIFFNESS, 0.0))
    assert not np.any(buckled_curvature(lower, start, STIFFNESS, 0.0))


def test_mean_broadcasts_over_samples_and_stretches() -> None:
    """Of two samples and three stretches one has no clearance, one lies in tension, the others buckle."""
    clearance = np.array([[CLEARANCE, CLEARANCE, 0.0], [0.02, 0.05, 0.0]])
    side = np.array([[0.0, 300.0, 300.0]])
    start = snaking_force(STIFFNESS, clearance, side)
    upper, lower = np.array([[-2e5, 3e5, 3e5]]), np.array([[-1e5, 9e5, 9e5]])
    found = mean_strain((upper, lower), (start, start), np.full((1, 3), STIFFNESS), clearance)
    assert found.shape == (2, 3)
    assert (found < 0.0).tolist() == [[False, True, False]] * 2
    alone = mean_strain((upper[0, 1:2], lower[0, 1:2]), (start[1, 1:2], start[1, 1:2]), np.array([STIFFNESS]),
                        clearance[1, 1:2])  # fmt: skip
    assert found[1, 1] == pytest.approx(alone[0], rel=1e-12)
