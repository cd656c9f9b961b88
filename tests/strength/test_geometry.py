from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from casingloads import strength
from casingloads.strength.geometry import checked, checked_tube

diameters = st.floats(0.05, 1.0)
fractions = st.floats(0.005, 0.49)  # wall over outside diameter


@given(diameters, fractions)
def test_steel_and_bore_fill_the_outside(od: float, fraction: float) -> None:
    wall = fraction * od
    filled = strength.steel_area(od, wall) + strength.bore_area(od, wall)
    assert float(filled) == pytest.approx(float(strength.outer_area(od)), rel=1e-12)


@given(diameters, fractions)
def test_second_moment_is_the_integral_of_distance_squared(od: float, fraction: float) -> None:
    wall = fraction * od
    polar, _ = quad(lambda r: 2.0 * math.pi * r**3, od / 2.0 - wall, od / 2.0)
    assert 2.0 * float(strength.second_moment(od, wall)) == pytest.approx(polar, rel=1e-9)


def test_plain_end_mass_is_proportional_to_density() -> None:
    """0.0246615 (D - t) t kg/m with D and t in mm: API 5CT; value from memory."""
    assert float(strength.plain_end_mass(0.2, 0.01)) == pytest.approx(0.0246615 * 190 * 10, rel=1e-5)
    chrome = strength.plain_end_mass(0.2, 0.01, 0.989 * strength.API_STEEL_DENSITY)
    assert float(chrome / strength.plain_end_mass(0.2, 0.01)) == pytest.approx(0.989)


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall = np.array([[0.2], [0.3]]), np.array([0.01, 0.02, 0.03])
    for function in (
        strength.steel_area,
        strength.bore_area,
        strength.second_moment,
        strength.plain_end_mass,
    ):
        table = function(od, wall)
        assert table.shape == (2, 3)
        assert table[1, 2] == function(0.3, 0.03)


@pytest.mark.parametrize(
    ("od", "wall", "message"),
    [
        (0.2, 0.1, r"od = 0.2 m, wall = 0.1 m: need 2\*wall < od"),
        ([0.3, 0.2], 0.12, r"od = 0.2 m, wall = 0.12 m: need 2\*wall < od"),
        (0.2, 0.0, "wall = 0 m: need a finite number above 0 m"),
        (0.2, [0.01, -0.01], "wall = -0.01 m: need a finite number above 0 m"),
        (-0.2, 0.01, "od = -0.2 m: need a finite number above 0 m"),
        (math.nan, 0.01, "od = nan m: need a finite number"),
        (math.inf, 0.01, "od = inf m: need a finite number"),
    ],
)
def test_what_is_no_tube_is_refused(od: float, wall: float, message: str) -> None:
    for function in (
        checked_tube,
        strength.steel_area,
        strength.bore_area,
        strength.second_moment,
        strength.plain_end_mass,
    ):
        with pytest.raises(ValueError, match=message):
            function(od, wall)


def test_bounds_are_told() -> None:
    with pytest.raises(ValueError, match=r"x = 3 m: need a finite number above 0 m and of at most 2 m"):
        checked("x", 3.0, "m", above=0.0, most=2.0)
    with pytest.raises(ValueError, match=r"x = -1: need a finite number of at least 0$"):
        checked("x", -1.0, least=0.0)
    with pytest.raises(ValueError, match=r"density = 0 kg/m3"):
        strength.plain_end_mass(0.2, 0.01, 0.0)
    with pytest.raises(ValueError, match=r"od = -1 m"):
        strength.outer_area(-1.0)
    assert checked("x", [0.0, 2.0], least=0.0, most=2.0).tolist() == [0.0, 2.0]


@pytest.mark.parametrize(("bad", "word"), [(math.nan, "nan"), (math.inf, "inf"), (-math.inf, "-inf"), (-2.0, "-2")])
def test_one_bad_number_among_good_ones_is_found(bad: float, word: str) -> None:
    table = np.ones((3, 40))
    table[1, 7] = bad
    with pytest.raises(ValueError, match=f"^x = {word} m: need a finite number of at least 0 m$"):
        checked("x", table, "m", least=0.0)
    if not math.isfinite(bad):
        with pytest.raises(ValueError, match=f"^x = {word}: need a finite number$"):
            checked("x", table)


def test_nothing_is_no_bad_number() -> None:
    assert checked("x", [], above=0.0).shape == (0,)
    assert strength.steel_area(np.empty((0, 1)), [0.01, 0.02]).shape == (0, 2)
