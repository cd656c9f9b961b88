"""Stations along a string: nothing is missed, both sides of each are there, and integrals over them are right."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casingloads import Fluid, column
from casingloads.path import WellPath
from casingloads.stations import SPACING, places, points_along

VERTICAL = WellPath.vertical(6000.0)
BUILD = WellPath([0.0, 500.0, 1500.0, 4000.0], np.radians([0.0, 0.0, 60.0, 60.0]), np.zeros(4))

ends = st.tuples(st.floats(0.0, 2000.0), st.floats(2010.0, 5000.0))
marks = st.lists(st.floats(0.0, 6000.0), max_size=12)


def test_by_hand() -> None:
    """From 10 to 130 m with marks at 40 and 60: 90 m left below are cut into thirds, none longer than 30 m."""
    found = points_along(10.0, 130.0, [40.0, np.array([60.0, 500.0])])
    assert found == pytest.approx([10.0, 40.0, 60.0, 60.0 + 70 / 3, 60.0 + 140 / 3, 130.0])


@settings(max_examples=60, deadline=None)
@given(ends, marks)
def test_every_mark_is_a_point_and_no_gap_is_wide(limits: tuple[float, float], given_marks: list[float]) -> None:
    top, bottom = limits
    found = points_along(top, bottom, [np.array(given_marks)])
    assert (found[0], found[-1]) == (top, bottom)
    assert np.all(np.diff(found) > 0.0)
    assert np.max(np.diff(found)) <= SPACING + 1e-9
    for mark in given_marks:
        if top <= mark <= bottom:
            assert np.min(np.abs(found - mark)) <= 1e-6


@settings(max_examples=60, deadline=None)
@given(ends, marks)
def test_order_and_grouping_of_marks_do_not_matter(limits: tuple[float, float], given_marks: list[float]) -> None:
    one = points_along(*limits, [np.array(given_marks)])
    other = points_along(*limits, list(reversed(given_marks)))
    assert np.array_equal(one, other)


@pytest.mark.parametrize("hair", [-4e-7, 0.0, 4e-7])
def test_marks_a_hair_from_the_ends_add_no_point(hair: float) -> None:
    found = points_along(100.0, 160.0, [100.0 + hair, 160.0 + hair])
    assert found.tolist() == [100.0, 130.0, 160.0]


def test_both_sides_of_every_inner_point() -> None:
    where = places(np.array([0.0, 10.0, 40.0]), VERTICAL)
    assert where.md.tolist() == [0.0, 10.0, 10.0, 40.0]
    assert where.tvd == pytest.approx([0.0, 10.0, 10.0, 40.0])
    assert where.middle.tolist() == [5.0, 5.0, 25.0, 25.0]
    assert where.below.tolist() == [True, False, True, False]


def test_vertical_depths_are_those_of_the_arc() -> None:
    """1000 m of build to 60 deg has a radius of 954.93 m; after 500 m the inclination is 30 deg."""
    where = places(np.array([500.0, 1000.0, 1500.0]), BUILD)
    radius = 1000.0 / np.radians(60.0)
    expected = [500.0, 500.0 + radius * 0.5, 500.0 + radius * 0.5, 500.0 + radius * np.sin(np.radians(60.0))]
    assert where.tvd == pytest.approx(expected, rel=1e-12)


def test_within_counts_stretches_not_points() -> None:
    where = places(np.array([0.0, 10.0, 40.0, 50.0]), VERTICAL)
    assert where.within(10.0, 40.0).tolist() == [False, False, True, True, False, False]


def test_a_stretch_of_no_length_at_an_end_counts_as_within() -> None:
    """A sampled contact clipped to the end of the string makes one; it must not fall out of its free length."""
    where = places(np.array([0.0, 0.0, 40.0, 40.0, 50.0]), VERTICAL)
    assert where.within(0.0, 40.0).tolist() == [True] * 6 + [False] * 2


@settings(max_examples=60, deadline=None)
@given(ends, marks, st.floats(-10.0, 10.0), st.floats(-1e4, 1e4))
def test_integral_of_a_straight_line_is_exact(
    limits: tuple[float, float], given_marks: list[float], slope: float, level: float
) -> None:
    top, bottom = limits
    where = places(points_along(top, bottom, [np.array(given_marks)]), VERTICAL)
    found = where.integral(slope * where.md + level, np.ones(where.md.shape, dtype=bool))
    exact = 0.5 * slope * (bottom**2 - top**2) + level * (bottom - top)
    assert found.shape == (1,)
    assert float(found[0]) == pytest.approx(exact, rel=1e-9, abs=1e-3)


def test_integral_keeps_to_the_marked_stretches() -> None:
    where = places(points_along(0.0, 300.0, [100.0, 200.0]), VERTICAL)
    found = where.integral(np.full(where.md.shape, 2.0), where.within(100.0, 200.0))
    assert float(found[0]) == pytest.approx(200.0)


def test_a_jump_is_integrated_with_both_its_values() -> None:
    where = places(points_along(0.0, 300.0, [100.0]), VERTICAL)
    values = np.where(where.middle < 100.0, 5.0, -1.0)
    found = where.integral(values, np.ones(where.md.shape, dtype=bool))
    assert float(found[0]) == pytest.approx(5.0 * 100 - 1.0 * 200)


# --- sample axes ------------------------------------------------------------------------------------------------------

SAMPLES = st.lists(st.tuples(st.floats(-100.0, 3000.0), st.floats(-100.0, 3000.0)), min_size=1, max_size=5)


@settings(max_examples=60, deadline=None)
@given(SAMPLES, marks)
def test_sampled_marks_are_points_of_their_sample(samples: list[tuple[float, float]], shared: list[float]) -> None:
    first, second = (np.array(values)[:, np.newaxis] for values in zip(*samples, strict=True))
    points = points_along(50.0, 2500.0, [np.array(shared), first, second])
    assert points.shape[0] == len(samples)
    assert np.all(np.diff(points, axis=-1) >= 0.0)
    fixed = points_along(50.0, 2500.0, [np.array(shared)])
    for row, sample in zip(points, samples, strict=True):
        assert (row[0], row[-1]) == (50.0, 2500.0)
        assert set(fixed) <= set(row)
        assert {mark for mark in sample if 50.0 <= mark <= 2500.0} <= set(row)


@settings(max_examples=60, deadline=None)
@given(SAMPLES)
def test_places_and_integrals_of_samples_are_those_of_each_alone(samples: list[tuple[float, float]]) -> None:
    first, second = (np.array(values)[:, np.newaxis] for values in zip(*samples, strict=True))
    points = points_along(50.0, 2500.0, [first, second])
    together = places(points, BUILD)
    fluid = column(Fluid(name="mud", density=1200.0), top=first)
    pressure = fluid.at(together)
    total = together.integral(pressure, together.within(60.0, 2400.0))
    assert total.shape == (len(samples), 1)
    for i, (top, _) in enumerate(samples):
        alone = places(points[i], BUILD)
        assert together.md[i] == pytest.approx(alone.md)
        assert together.tvd[i] == pytest.approx(alone.tvd)
        assert together.middle[i] == pytest.approx(alone.middle)
        assert pressure[i] == pytest.approx(column(Fluid(name="mud", density=1200.0), top=top).at(alone))
        lone = alone.integral(pressure[i], alone.within(60.0, 2400.0))
        assert float(total[i, 0]) == pytest.approx(float(lone[0]), rel=1e-12)


def test_a_sampled_contact_is_integrated_without_error() -> None:
    """Mud from a sampled level down to 2500 m: the integral of its pressure is rho g h^2 / 2, kink or not."""
    level = np.array([[0.0], [333.3], [1777.7]])
    where = places(points_along(0.0, 2500.0, [level]), VERTICAL)
    pressure = column(Fluid(name="mud", density=1000.0), top=level).at(where)
    found = where.integral(pressure, np.ones(where.md.shape, dtype=bool))
    assert found[:, 0] == pytest.approx(1000.0 * 9.80665 * (2500.0 - level[:, 0]) ** 2 / 2.0, rel=1e-12)
