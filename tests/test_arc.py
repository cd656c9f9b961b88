"""The arc between two stations, against the circle written out in the plane."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from casingloads.arc import direction_weights, displacement_weights, dogleg, first_crossing

DIRECTIONS = st.tuples(st.floats(0.0, np.pi), st.floats(-7.0, 7.0))  # inclination, azimuth
ANGLES = st.one_of(st.floats(1e-12, 3.0), st.sampled_from([1e-12, 1e-9, 1e-8, 1e-6, 1e-4, 1e-2]))


@given(angle=ANGLES, fraction=st.floats(0.0, 1.0), length=st.floats(1.0, 3000.0))
def test_displacement_is_that_of_the_circle(angle: float, fraction: float, length: float) -> None:
    """A build in a plane from the vertical: down R sin a, out R (1 - cos a), however small the dogleg."""
    f1, f2 = displacement_weights(angle, length, fraction * length)
    down = f1 + (np.cos(angle) - 1.0) * f2
    out = np.sin(angle) * f2
    turned, radius = fraction * angle, length / angle
    assert down == pytest.approx(radius * np.sin(turned), rel=1e-12, abs=1e-12)
    assert out == pytest.approx(radius * 2.0 * np.sin(turned / 2.0) ** 2, rel=1e-11, abs=1e-12)


@given(angle=ANGLES, fraction=st.floats(0.0, 1.0))
def test_direction_turns_evenly(angle: float, fraction: float) -> None:
    f1, f2 = direction_weights(angle, fraction)
    assert f1 + f2 * np.cos(angle) == pytest.approx(np.cos(fraction * angle), abs=1e-13)
    assert f2 * np.sin(angle) == pytest.approx(np.sin(fraction * angle), rel=1e-12, abs=1e-15)


def test_a_straight_hole_is_exact() -> None:
    f1, f2 = displacement_weights(0.0, 3000.1, 1234.5678)
    assert float(f1) == 1234.5678
    assert float(first_crossing(0.0, 3000.1, 1.0, 1.0, 1234.5678)) == 1234.5678
    assert f2 > 0.0  # weighs a difference of directions that is zero


@given(first=DIRECTIONS, second=DIRECTIONS)
def test_dogleg_is_the_angle_between_directions(first: tuple[float, float], second: tuple[float, float]) -> None:
    t1, t2 = (np.array([np.sin(i) * np.cos(a), np.sin(i) * np.sin(a), np.cos(i)]) for i, a in (first, second))
    expected = np.arctan2(np.linalg.norm(np.cross(t1, t2)), np.dot(t1, t2))
    assert dogleg(*first, *second) == pytest.approx(expected, abs=1e-9)


def test_small_dogleg_keeps_its_digits() -> None:
    """An arccosine would give 0 here: cos(1e-9) rounds to 1."""
    assert dogleg(0.7, 1.0, 0.7 + 1e-9, 1.0) == pytest.approx(1e-9, rel=1e-6)
    assert dogleg(0.7, 1.0, 0.7, 1.0 + 1e-9) == pytest.approx(1e-9 * np.sin(0.7), rel=1e-6)


def test_azimuth_wraps() -> None:
    assert dogleg(0.5, np.radians(359.0), 0.5, np.radians(1.0)) == pytest.approx(
        dogleg(0.5, np.radians(10.0), 0.5, np.radians(12.0)), rel=1e-12
    )


@given(start=st.floats(0.0, 1.5), turn=st.floats(-1.5, 1.5), fraction=st.floats(0.01, 1.0))
def test_crossing_of_an_arc_in_the_vertical_plane(start: float, turn: float, fraction: float) -> None:
    """Inclination goes from *start* to *start + turn*, always downward, so that each depth is met once."""
    end = start + turn
    assume(abs(turn) > 1e-6 and abs(end) < 1.5)
    radius = 100.0 / abs(turn)
    inclination = start + fraction * turn
    gain = 100.0 / turn * (np.sin(inclination) - np.sin(start))
    found = first_crossing(abs(turn), 100.0, np.cos(start), np.cos(end), gain)
    assert found == pytest.approx(100.0 * fraction, abs=1e-9 * radius)


def test_crossing_after_climbing_first() -> None:
    """From 120 to 30 deg of inclination, radius 1: after 60 deg at the depth of the start, then deeper."""
    angle, (down_1, down_2) = np.pi / 2.0, np.cos(np.radians([120.0, 30.0]))
    turned = np.radians([61.0, 75.0, 90.0])
    gain = np.sin(np.radians(120.0)) - np.sin(np.radians(120.0) - turned)
    assert np.allclose(first_crossing(angle, angle, down_1, down_2, gain), turned, rtol=0.0, atol=1e-13)
    assert first_crossing(angle, angle, down_1, down_2, 0.0) == 0.0  # where it starts


@pytest.mark.parametrize("angle", [-0.1, np.pi, np.nan, [0.1, 4.0]])
def test_angle_out_of_range(angle: float) -> None:
    with pytest.raises(ValueError, match="angle must be from 0 to below pi"):
        displacement_weights(angle, 1.0, 0.5)
    with pytest.raises(ValueError, match="angle must be from 0 to below pi"):
        direction_weights(angle, 0.5)
    with pytest.raises(ValueError, match="angle must be from 0 to below pi"):
        first_crossing(angle, 1.0, 1.0, 1.0, 0.5)


def test_dogleg_of_a_missing_value() -> None:
    with pytest.raises(ValueError, match="finite"):
        dogleg(0.0, np.nan, 0.0, 0.0)
