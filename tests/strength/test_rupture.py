from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads import strength
from casingloads.strength.rupture import sound_wall, ultimate_pressure

LBF = 0.45359237 * 9.80665
PSI = LBF / 0.0254**2
OD, WALL = 9.625 * 0.0254, 0.545 * 0.0254

fractions = st.floats(0.005, 0.45)  # wall over outside diameter
tensile = st.floats(3e8, 1.3e9)
indices = st.floats(0.0, 0.3)
depths = st.floats(0.0, 0.3)  # imperfection over wall
burst_factors = st.floats(1.0, 2.0)


def capped(
    fraction: float, U: float, n: float, depth: float = 0.0, k_a: float = 1.0, wall_factor: float = 0.875
) -> float:
    """Rupture pressure of a pipe of unit diameter."""
    steel = {"imperfection_depth": depth * fraction, "burst_strength_factor": k_a}
    return float(strength.rupture_pressure(1.0, fraction, U, n, wall_factor=wall_factor, **steel))


# Points of our own calculation, worked apart from this code; not published. 9-5/8 in, 0.545 in, P110


@pytest.mark.parametrize(
    ("depth", "k_a", "expected"),
    [(0.05, 1.0, 12564.0), (0.125, 2.0, 9406.4), (0.0, 1.0, 13365.1)],
    ids=["5 % of the wall, quenched and tempered", "12.5 %, not measured", "no imperfection"],
)
def test_own_points(depth: float, k_a: float, expected: float) -> None:
    rating = strength.rupture_pressure(
        OD,
        WALL,
        125e3 * PSI,
        0.08,
        wall_factor=0.875,
        imperfection_depth=depth * WALL,
        burst_strength_factor=k_a,
    )
    assert float(rating) / PSI == pytest.approx(expected, abs=0.051)


def test_own_point_of_the_deformation_factor() -> None:
    working = strength.rupture_working(
        OD, WALL, 1e9, 0.08, wall_factor=1.0, imperfection_depth=0.0, burst_strength_factor=2.0
    )
    assert float(working.deformation_factor) == pytest.approx(1.025557, abs=5.1e-7)


# Limits


def test_hardening_index_falls_to_nothing_at_the_end_of_its_line() -> None:
    psi = np.array([0.001, 40e3, 125e3, 208.497e3])
    index = strength.hardening_index(psi * PSI)
    assert index[0] == pytest.approx(0.1693)
    assert (np.diff(index) / np.diff(psi)).tolist() == pytest.approx([-8.12e-7] * 3)
    assert 0.0 < index[-1] < 1e-6
    with pytest.raises(ValueError, match=r"yield_strength = .* Pa: need a finite number above 0 Pa and of at most"):
        strength.hardening_index(209e3 * PSI)
    with pytest.raises(ValueError, match="yield_strength = 0 Pa"):
        strength.hardening_index(0.0)


@given(fractions, tensile)
def test_without_hardening_it_is_the_mean_of_tresca_and_von_mises(fraction: float, U: float) -> None:
    hoop = U * 2.0 * fraction / (1.0 - fraction)  # mean hoop stress at U
    expected = (hoop + 2.0 / math.sqrt(3.0) * hoop) / 2.0
    assert capped(fraction, U, 0.0, wall_factor=1.0) == pytest.approx(expected, rel=1e-12)


@given(fractions, tensile, indices, depths)
def test_the_burst_factor_scales_the_imperfection_only(fraction: float, U: float, n: float, depth: float) -> None:
    assert capped(fraction, U, n, 0.0, 2.0) == capped(fraction, U, n, 0.0, 1.0)
    doubled, twice = capped(fraction, U, n, 2.0 * depth, 1.0), capped(fraction, U, n, depth, 2.0)
    assert doubled == pytest.approx(twice, rel=1e-12)


@given(fractions, tensile, indices, depths, burst_factors, st.floats(0.7, 1.0))
def test_an_imperfection_is_a_thinner_wall(
    fraction: float, U: float, n: float, depth: float, k_a: float, wall_factor: float
) -> None:
    left = (wall_factor - k_a * depth) * fraction
    assert capped(fraction, U, n, depth, k_a, wall_factor) == pytest.approx(
        capped(left, U, n, wall_factor=1.0), rel=1e-9
    )


def test_thin_and_thick_limits() -> None:
    k_dr = 0.5**1.1 + 3.0**-0.55
    assert capped(1e-7, 8e8, 0.1, wall_factor=1.0) == pytest.approx(k_dr * 8e8 * 2e-7, rel=1e-6)  # a membrane
    assert capped(0.5 - 1e-9, 8e8, 0.1, wall_factor=1.0) == pytest.approx(2.0 * k_dr * 8e8, rel=1e-6)  # no bore left


# Monotony


@given(fractions, st.floats(1.001, 1.1), tensile, indices, depths, burst_factors)
def test_more_wall_helps_and_more_imperfection_does_not(
    fraction: float, more: float, U: float, n: float, depth: float, k_a: float
) -> None:
    rating = capped(fraction, U, n, depth, k_a)
    assert capped(more * fraction, U, n, depth, k_a) > rating
    assert capped(fraction, more * U, n, depth, k_a) == pytest.approx(more * rating, rel=1e-12)
    assert capped(fraction, U, n, depth + 0.01, k_a) < rating
    assert capped(fraction, U, n, 0.01 + depth, k_a + 0.1) < rating
    assert capped(fraction, U, n + 0.01, depth, k_a) < rating  # the wall thins more before it gives


# Arrays and arguments


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall = np.array([[0.2], [0.3]]), np.array([0.01, 0.02, 0.03])
    U, n, depth = np.full((4, 1, 1), 8e8), np.linspace(0.0, 0.1, 5).reshape(5, 1, 1, 1), 0.001
    working = strength.rupture_working(
        od, wall, U, n, wall_factor=0.875, imperfection_depth=depth, burst_strength_factor=1.5
    )
    assert working.rating.shape == (5, 4, 2, 3)
    for field in vars(working).values():
        np.broadcast_to(field, working.rating.shape)
    alone = strength.rupture_pressure(
        0.3, 0.02, 8e8, 0.1, wall_factor=0.875, imperfection_depth=depth, burst_strength_factor=1.5
    )
    assert float(alone) == pytest.approx(float(working.rating[4, 2, 1, 1]), rel=1e-14)
    assert np.ndim(alone) == 0


def test_inputs_are_left_alone() -> None:
    wall, depth = np.array([0.01, 0.02]), np.array([0.001, 0.0])
    strength.rupture_pressure(
        0.2, wall, 8e8, 0.1, wall_factor=0.875, imperfection_depth=depth, burst_strength_factor=1.0
    )
    assert (wall.tolist(), depth.tolist()) == ([0.01, 0.02], [0.001, 0.0])


def test_nothing_is_taken_for_granted() -> None:
    with pytest.raises(TypeError, match="imperfection_depth"):
        strength.rupture_pressure(0.2, 0.01, 8e8, 0.1, wall_factor=0.875, burst_strength_factor=1.0)  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="burst_strength_factor"):
        strength.rupture_pressure(0.2, 0.01, 8e8, 0.1, wall_factor=0.875, imperfection_depth=0.0)  # type: ignore[call-arg]


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"wall": 0.1}, r"od = 0.2 m, wall = 0.1 m: need 2\*wall < od"),
        ({"tensile_strength": 0.0}, "tensile_strength = 0 Pa: need a finite number above 0 Pa"),
        ({"hardening": -0.01}, "hardening = -0.01: need a finite number of at least 0 and of at most 1"),
        ({"hardening": math.nan}, "hardening = nan"),
        ({"wall_factor": 0.0}, "wall_factor = 0: need a finite number above 0"),
        ({"imperfection_depth": -1e-3}, "imperfection_depth = -0.001 m: need a finite number of at least 0 m"),
        ({"burst_strength_factor": 0.0}, "burst_strength_factor = 0: need a finite number above 0"),
        (
            {"imperfection_depth": [0.0, 0.01]},
            r"wall_factor\*wall - burst_strength_factor\*imperfection_depth = -0.00125 m: need a finite number above 0",
        ),
    ],
)
def test_bad_arguments_are_refused(wrong: dict[str, object], message: str) -> None:
    good: dict[str, object] = {
        "od": 0.2,
        "wall": 0.01,
        "tensile_strength": 8e8,
        "hardening": 0.1,
        "wall_factor": 0.875,
        "imperfection_depth": 0.0005,
        "burst_strength_factor": 1.0,
    }
    for function in (strength.rupture_pressure, strength.rupture_working):
        with pytest.raises(ValueError, match=message):
            function(**{**good, **wrong})  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=message):
        strength.rupture_pressure_combined(axial_force=1e6, external_pressure=1e7, **{**good, **wrong})  # type: ignore[arg-type]


def test_steps_on_the_way_are_checked_too() -> None:
    with pytest.raises(ValueError, match="need 2"):
        sound_wall(0.2, 0.1, 0.875, 0.0, 1.0)
    with pytest.raises(ValueError, match="need 2"):
        ultimate_pressure(0.2, 0.1, 8e8)
