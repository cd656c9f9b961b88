"""Side force between string and hole: by its parts in and across the vertical plane, by the path, by equilibrium."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from casingloads.arc import direction_weights, turning_weights
from casingloads.arrays import Floats
from casingloads.axial.contact import Course, course, side_force
from casingloads.path import WellPath
from casingloads.stations import Places, places, points_along

# A build, a turn with a drop, a passage through the horizontal and up, and a straight piece.
MD = np.array([0.0, 400.0, 700.0, 1000.0, 1450.0, 1700.0, 1900.0])
PATH = WellPath(MD, np.radians([0.0, 0.0, 35.0, 20.0, 70.0, 105.0, 105.0]),
                np.radians([10.0, 10.0, 10.0, 300.0, 345.0, 15.0, 15.0]))  # fmt: skip
WEIGHT = 580.0
FORCES = st.floats(-3e6, 3e6)
ANGLES = st.one_of(st.floats(1e-12, 3.0), st.sampled_from([0.0, 1e-12, 1e-8, 1e-4]))


def along(path: WellPath, md: Floats) -> Course:
    """Return how *path* runs at places within its intervals."""
    return Course(cosine=np.cos(path.inclination(md)), curvature=path.curvature(md), steepening=path.steepening(md))


def within(path: WellPath, count: int = 40) -> Floats:
    """Return places inside the intervals, no nearer to a station than 2 % of the interval."""
    start, length = path.stations[:-1, np.newaxis], np.diff(path.stations)[:, np.newaxis]
    return np.asarray((start + length * np.linspace(0.02, 0.98, count)).ravel())


def tangent(path: WellPath, md: Floats, step: float = 0.05) -> Floats:
    """Return the direction, north, east and down, by differences of the place."""
    ends = [np.stack([path.north(at), path.east(at), path.tvd(at)], axis=-1) for at in (md + step, md - step)]
    return np.asarray((ends[0] - ends[1]) / (2.0 * step))


def turning(path: WellPath, md: Floats, step: float = 0.5) -> Floats:
    """Return the derivative of the direction [1/m] by differences of the place."""
    return (tangent(path, md + step) - tangent(path, md - step)) / (2.0 * step)


@st.composite
def arcs(draw: st.DrawFn) -> WellPath:
    """One arc of 300 m between two directions."""
    inclination = [draw(st.floats(0.05, 1.8)) for _ in range(2)]
    azimuth = [draw(st.floats(0.0, 1.2)) for _ in range(2)]
    return WellPath([0.0, 300.0], inclination, azimuth)


# --- the side force ---


@given(path=arcs(), at=st.floats(10.0, 290.0), effective=FORCES, weight=st.floats(0.0, 3e3))
def test_side_force_by_its_parts(path: WellPath, at: float, effective: float, weight: float) -> None:
    """In the vertical plane w sin a - F a', across it F sin a phi'; the rates by differences of the angles."""
    inclination, azimuth = ((angle(at + 0.1) - angle(at - 0.1)) / 0.2 for angle in (path.inclination, path.azimuth))
    sine = float(np.sin(path.inclination(at)))
    turned = np.sin(azimuth * 0.2) / 0.2  # past north the azimuth falls back to 0
    parts = np.hypot(weight * sine - effective * inclination, effective * sine * turned)
    found = side_force(np.array(effective), np.array(weight), along(path, np.array(at)))
    assert found == pytest.approx(float(parts), rel=1e-4, abs=1e-4 * (weight + abs(effective) * 1e-3) + 1e-6)


@pytest.mark.parametrize("effective", [-4e5, -1e3, 0.0, 2e5, 1.5e6])
def test_side_force_against_the_turning_of_the_path(effective: float) -> None:
    """Across the axis: effective force times the turning of the direction, and the weight less its part along it."""
    md = within(PATH)
    direction, turn = tangent(PATH, md), turning(PATH, md)
    down = np.array([0.0, 0.0, 1.0])
    pull = effective * turn + WEIGHT * (down - direction[:, 2:] * direction)
    found = side_force(np.full(md.shape, effective), np.full(md.shape, WEIGHT), along(PATH, md))
    assert found == pytest.approx(np.linalg.norm(pull, axis=-1), rel=2e-4, abs=2e-6 * abs(effective) + 1e-6)


def test_a_string_hung_along_the_path_is_in_equilibrium() -> None:
    """Without friction: the pull on its two ends, its weight and all side forces together are nothing."""
    top, bottom = 450.0, 1650.0
    where = places(points_along(top, bottom, [PATH.stations, np.arange(top, bottom, 0.5)]), PATH)
    force = 1e5 + WEIGHT * (PATH.tvd(bottom) - where.tvd)
    side = side_force(force, np.full(force.shape, WEIGHT), course(PATH, where))

    inside = where.md + np.where(where.below, 1e-3, -1e-3)  # in the stretch, for the direction in which it acts
    direction, turn = tangent(PATH, inside, 5e-4), turning(PATH, where.middle, 1e-2)
    push = -(force[:, np.newaxis] * turn + WEIGHT * (np.array([0.0, 0.0, 1.0]) - direction[:, 2:] * direction))
    push *= (side / np.linalg.norm(push, axis=-1))[:, np.newaxis]  # the direction only: the size is ours
    carried = [float(where.integral(push[:, axis], where.within(top, bottom))[0]) for axis in range(3)]
    ends = force[-1] * tangent(PATH, np.array(bottom)) - force[0] * tangent(PATH, np.array(top))
    left = ends + carried + [0.0, 0.0, WEIGHT * (bottom - top)]
    assert left == pytest.approx([0.0, 0.0, 0.0], abs=20.0)
    assert np.linalg.norm(carried) > 1e5  # what closes to 20 N is not small


@settings(max_examples=8, deadline=None)
@given(angle=st.floats(0.1, 2.0), friction=st.floats(0.05, 0.6), pull=st.floats(1e3, 1e6))
def test_capstan(angle: float, friction: float, pull: float) -> None:
    """A string without weight drawn around a bend: its pull grows by exp(mu times the angle), any way it turns."""
    path = WellPath([0.0, 500.0], [0.6, 0.6 + 0.4 * angle], [0.0, 2.0 * angle])

    def drag(md: float, force: Floats) -> Floats:
        return np.asarray(friction * side_force(force, np.zeros(1), along(path, np.array([md]))))

    walk = solve_ivp(drag, (0.0, 500.0), [pull], rtol=1e-8, atol=1e-5)
    bend = float(path.curvature(250.0)) * 500.0
    assert walk.y[0, -1] == pytest.approx(pull * np.exp(friction * bend), rel=1e-6)


def test_pushed_up_the_low_side_of_a_bend_that_builds() -> None:
    """Against the closed form of a circle in the vertical plane.

    With the inclination a, which grows on the way down, and f = F/(w R): f' = -cos a - mu (sin a - f). Going up it is
    compressed all the way, so that bend and weight both press it to the low side.
    """
    radius, friction, weight, lowest = 400.0, 0.3, 600.0, -3e5
    start, end = np.radians(20.0), np.radians(70.0)
    path = WellPath([0.0, radius * (end - start)], [start, end], [0.0, 0.0])

    def going_up(way: float, force: Floats) -> Floats:
        here = along(path, np.array([max(path.end - way, 0.0)]))
        return np.asarray(weight * here.cosine + friction * side_force(force, np.array([weight]), here))

    def particular(a: float) -> float:
        b = 2.0 * friction / (1.0 + friction**2)
        return (friction * b - 1.0) * float(np.sin(a)) + b * float(np.cos(a))

    walk = solve_ivp(going_up, (0.0, path.end), [lowest], rtol=1e-10, atol=1e-6)
    grown = (lowest / (weight * radius) - particular(end)) * np.exp(friction * (start - end))
    assert walk.y[0, -1] == pytest.approx(weight * radius * (particular(start) + grown), rel=1e-7)
    assert lowest < walk.y[0, -1] < 0.0


def test_where_bend_and_weight_balance_nothing_is_left() -> None:
    """In a drop the pull presses down like the weight, in a build up: there one tension carries the pipe freely."""
    path = WellPath([0.0, 300.0], [0.5, 1.0], [0.0, 0.0])
    here = along(path, np.array(150.0))
    free = WEIGHT * np.sin(0.75) / (0.5 / 300.0)
    assert side_force(np.array(free), np.array(WEIGHT), here) == pytest.approx(0.0, abs=1e-5 * WEIGHT)
    assert side_force(np.array(-free), np.array(WEIGHT), here) == pytest.approx(2.0 * WEIGHT * np.sin(0.75), rel=1e-9)
    dropping = along(WellPath([0.0, 300.0], [1.0, 0.5], [0.0, 0.0]), np.array(150.0))
    assert side_force(np.array(free), np.array(WEIGHT), dropping) == pytest.approx(
        2.0 * WEIGHT * np.sin(0.75), rel=1e-9
    )


@given(effective=FORCES, weight=st.floats(-1e3, 3e3), inclination=st.floats(0.0, np.pi))
def test_in_a_straight_hole_the_force_along_it_does_not_matter(
    effective: float, weight: float, inclination: float
) -> None:
    slope = Course(cosine=np.cos(inclination), curvature=np.array(0.0), steepening=np.array(0.0))
    found = float(side_force(np.array(effective), np.array(weight), slope))
    assert found == pytest.approx(abs(weight) * np.sin(inclination), rel=1e-7, abs=1e-4)


def test_a_straight_vertical_hole_has_no_side_force() -> None:
    path = WellPath.vertical(3000.0)
    where = places(points_along(0.0, 3000.0, []), path)
    here = course(path, where)
    assert not np.any(side_force(np.full(where.md.shape, -1e6), np.full(where.md.shape, WEIGHT), here))


def test_side_force_broadcasts_over_samples() -> None:
    where = places(points_along(0.0, 1900.0, [MD]), PATH)
    here = course(PATH, where)
    found = side_force(np.full((3, 1), -2e5), np.array([[100.0], [WEIGHT], [900.0]]), here)
    assert found.shape == (3, where.md.size)
    one = side_force(np.full(where.md.shape, -2e5), np.full(where.md.shape, WEIGHT), here)
    assert found[1] == pytest.approx(one, rel=1e-12, abs=1e-9)


# --- how the path runs ---


def test_course_has_two_sides_at_a_station() -> None:
    """At each station once as the interval above has it, once as the one below; beyond the survey it is straight."""
    where = places(points_along(0.0, 1950.0, [MD]), PATH)
    here = course(PATH, where)
    inside = where.md + np.where(where.below, 1e-4, -1e-4)  # the interval's own, next to the place
    assert here.curvature == pytest.approx(PATH.curvature(inside), abs=1e-15)
    assert here.steepening == pytest.approx(PATH.steepening(inside), abs=1e-9)
    assert here.cosine == pytest.approx(np.cos(PATH.inclination(where.md)), abs=1e-15)
    beyond = where.middle > PATH.end
    assert np.count_nonzero(beyond) >= 2
    assert not np.any(here.curvature[beyond])
    assert not np.any(here.steepening[beyond])
    at_400 = np.flatnonzero(np.abs(where.md - 400.0) < 1e-9)
    assert here.curvature[at_400].tolist() == [0.0, pytest.approx(np.radians(35.0) / 300.0)]
    assert here.steepening[at_400].tolist() == [0.0, pytest.approx(0.0, abs=1e-15)]  # it is still vertical there
    at_700 = np.flatnonzero(np.abs(where.md - 700.0) < 1e-9)
    assert here.steepening[at_700][0] < 0.0 < here.steepening[at_700][1]  # the build ends, the drop begins


def test_steepening_against_differences_of_the_cosine() -> None:
    md = within(PATH)
    cosines = [np.cos(PATH.inclination(at)) for at in (md + 0.05, md - 0.05)]
    assert PATH.steepening(md) == pytest.approx((cosines[0] - cosines[1]) / 0.1, rel=1e-6, abs=1e-11)


def test_steepening_against_second_differences_of_the_vertical_depth() -> None:
    md = within(PATH)
    second = (PATH.tvd(md + 0.5) - 2.0 * PATH.tvd(md) + PATH.tvd(md - 0.5)) / 0.25
    assert PATH.steepening(md) == pytest.approx(second, rel=1e-5, abs=1e-10)


@pytest.mark.parametrize("number", range(1, 6))
def test_steepening_at_a_station_is_that_of_the_side_asked_for(number: int) -> None:
    """One-sided differences of second order, of the interval in which *beside* lies."""
    at, step = MD[number], 0.05
    for side, beside in ((-1.0, at - 60.0), (1.0, at + 60.0)):
        cosines = np.cos(PATH.inclination(at + side * step * np.arange(3)))
        expected = side * float(cosines @ [-1.5, 2.0, -0.5]) / step
        assert PATH.steepening(at, beside=beside) == pytest.approx(expected, rel=1e-5, abs=1e-9)
    assert PATH.steepening(at) == PATH.steepening(at, beside=at + 60.0)


def test_steepening_takes_a_side_for_each_place() -> None:
    found = PATH.steepening(np.full((2, 2), 700.0), beside=[[600.0, 800.0], [699.0, 701.0]])
    assert found.shape == (2, 2)
    assert np.array_equal(found[0], found[1])
    assert found[0, 0] == pytest.approx(-np.sin(np.radians(35.0)) * np.radians(35.0) / 300.0, rel=1e-12)


def test_steepening_below_the_last_station_is_none() -> None:
    path = WellPath([0.0, 100.0], [0.2, 0.7], [0.0, 0.0])
    assert path.steepening([100.001, 250.0]).tolist() == [0.0, 0.0]
    assert path.steepening([100.0, 100.0], beside=[50.0, 150.0]).tolist() == [
        pytest.approx(-np.sin(0.7) * 0.005, rel=1e-12),
        0.0,
    ]


@given(path=arcs(), fraction=st.floats(0.0, 1.0))
def test_steepening_is_no_more_than_the_curvature(path: WellPath, fraction: float) -> None:
    at = 300.0 * fraction
    curvature = float(path.curvature(150.0))
    sine = np.sin(float(path.inclination(at)))
    assert abs(float(path.steepening(at, beside=150.0))) <= curvature * sine * (1.0 + 1e-9) + 1e-12


@given(angle=ANGLES, length=st.floats(1.0, 3000.0), fraction=st.floats(0.001, 0.999))
def test_turning_weights_are_the_derivative_of_the_direction_weights(
    angle: float, length: float, fraction: float
) -> None:
    after, before = (np.array(direction_weights(angle, fraction + step)) for step in (1e-4, -1e-4))
    found = np.array(turning_weights(angle, length, fraction))
    assert found * length == pytest.approx((after - before) / 2e-4, rel=1e-6, abs=1e-6)


@given(angle=ANGLES, length=st.floats(1.0, 3000.0), fraction=st.floats(0.0, 1.0))
def test_the_direction_turns_by_the_curvature_and_across_itself(angle: float, length: float, fraction: float) -> None:
    """Between directions an angle apart, as (1, 0) and (cos, sin)."""
    ends = np.array([[1.0, 0.0], [np.cos(angle), np.sin(angle)]])
    direction = np.array(direction_weights(angle, fraction)) @ ends
    turn = np.array(turning_weights(angle, length, fraction)) @ ends
    assert np.linalg.norm(turn) * length == pytest.approx(angle, rel=1e-9, abs=1e-13)
    assert direction @ turn * length == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("angle", [-0.1, np.pi, np.nan])
def test_turning_weights_refuse_an_angle_without_an_arc(angle: float) -> None:
    with pytest.raises(ValueError, match="angle must be from 0 to below pi"):
        turning_weights(angle, 1.0, 0.5)


def test_places_are_what_course_reads() -> None:
    """Places of samples, each with its own points: the same as one by one."""
    path = WellPath([0.0, 300.0, 600.0], [0.0, 0.6, 0.9], [0.0, 0.4, 0.4])
    marks = np.array([[310.0], [450.0]])
    together: Places = places(points_along(0.0, 600.0, [[300.0], marks]), path)
    found = course(path, together)
    assert found.steepening.shape == found.curvature.shape == found.cosine.shape == together.md.shape
    for sample in range(2):
        alone = course(path, places(together.md[sample, ::2][: together.md.shape[-1] // 2].copy(), path))
        count = alone.cosine.size
        assert found.cosine[sample, :count] == pytest.approx(alone.cosine, abs=1e-15)
        assert found.steepening[sample, :count] == pytest.approx(alone.steepening, abs=1e-15)
