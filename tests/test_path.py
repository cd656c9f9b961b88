"""The well path: a second route by integrating the turning direction, and what must hold for any survey."""

from __future__ import annotations

import dataclasses
import pickle
from collections.abc import Callable
from itertools import accumulate

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from casingloads.path import WellPath

Floats = NDArray[np.float64]

# A build, a turn with a drop, a passage through the horizontal and up, and a straight piece.
MD = np.array([0.0, 400.0, 700.0, 1000.0, 1450.0, 1700.0, 1900.0])
INCLINATION = np.radians([0.0, 0.0, 35.0, 20.0, 70.0, 105.0, 105.0])
AZIMUTH = np.radians([10.0, 10.0, 10.0, 300.0, 345.0, 15.0, 15.0])
SNAKE = WellPath(MD, INCLINATION, AZIMUTH)


def _unit(inclination: float, azimuth: float) -> Floats:
    return np.array([np.sin(inclination) * np.cos(azimuth), np.sin(inclination) * np.sin(azimuth), np.cos(inclination)])


def _turn_and_walk(md: Floats) -> tuple[Floats, Floats]:
    """Return positions and directions, turning evenly about the normal of each pair of directions."""
    position, places, directions = np.zeros(3), [], []
    for k in range(MD.size - 1):
        t1, t2 = _unit(INCLINATION[k], AZIMUTH[k]), _unit(INCLINATION[k + 1], AZIMUTH[k + 1])
        normal = np.cross(t1, t2)
        sine = float(np.linalg.norm(normal))
        rate = np.arctan2(sine, t1 @ t2) / (MD[k + 1] - MD[k])
        axis = normal / sine if sine else normal

        def along(_: float, y: Floats, spin: Floats = rate * axis) -> Floats:
            return np.concatenate([y[3:], np.cross(spin, y[3:])])

        here = np.unique(np.append(md[(md >= MD[k]) & (md < MD[k + 1])], MD[k + 1]))
        walk = solve_ivp(
            along, (MD[k], MD[k + 1]), np.concatenate([position, t1]), "DOP853", here, rtol=1e-12, atol=1e-12
        )
        places.append(walk.y[:3, :-1])
        directions.append(walk.y[3:, :-1])
        position = walk.y[:3, -1]
    return np.concatenate(places, axis=1), np.concatenate(directions, axis=1)


def test_against_integrating_the_direction_along_the_hole() -> None:
    md = np.linspace(0.0, 1899.0, 191)
    place, direction = _turn_and_walk(md)
    assert np.allclose(np.stack([SNAKE.north(md), SNAKE.east(md), SNAKE.tvd(md)]), place, rtol=0.0, atol=1e-8)
    inclination, azimuth = SNAKE.inclination(md), SNAKE.azimuth(md)
    ours = [np.sin(inclination) * np.cos(azimuth), np.sin(inclination) * np.sin(azimuth), np.cos(inclination)]
    assert np.allclose(np.stack(ours), direction, rtol=0.0, atol=1e-10)


def test_between_stations_on_the_arc_not_on_the_chord() -> None:
    """Build to 60 deg over 600 m: halfway, R sin 30 deg, and not half of R sin 60 deg."""
    path = WellPath([0.0, 600.0], np.radians([0.0, 60.0]), [0.0, 0.0])
    radius = 600.0 / np.radians(60.0)
    assert path.tvd(300.0) == pytest.approx(radius * 0.5, rel=1e-13)
    assert path.north(300.0) == pytest.approx(radius * (1.0 - np.cos(np.radians(30.0))), rel=1e-13)
    assert abs(path.tvd(300.0) - path.tvd(600.0) / 2.0) > 30.0


@pytest.mark.parametrize(
    ("md", "below", "interval"),
    [
        pytest.param(700.0, True, 2, id="station, below"),
        pytest.param(700.0, False, 1, id="station, above"),
        pytest.param(700.0 - 9e-7, True, 2, id="a hair above the station, below"),
        pytest.param(700.0 + 9e-7, False, 1, id="a hair below the station, above"),
        pytest.param(850.0, False, 2, id="between, above"),
        pytest.param(850.0, True, 2, id="between, below"),
        pytest.param(0.0, False, 0, id="start, above"),
        pytest.param(1900.0, False, 5, id="end, above"),
    ],
)
def test_curvature_has_sides(md: float, below: bool, interval: int) -> None:
    t1, t2 = (_unit(INCLINATION[k], AZIMUTH[k]) for k in (interval, interval + 1))
    expected = np.arctan2(np.linalg.norm(np.cross(t1, t2)), t1 @ t2) / (MD[interval + 1] - MD[interval])
    assert SNAKE.curvature(md, below) == pytest.approx(expected, abs=1e-9)


def test_curvature_broadcasts_the_side() -> None:
    both = SNAKE.curvature(SNAKE.stations, below=np.array([[True], [False]]))
    assert both.shape == (2, 7)
    assert np.array_equal(both[0, :-1], both[1, 1:])
    assert both[0, -1] == 0.0  # straight below the last station


def test_straight_beyond_the_last_station() -> None:
    path = WellPath([0.0, 600.0], np.radians([0.0, 60.0]), np.radians([90.0, 90.0]))
    assert path.tvd(700.0) - path.tvd(600.0) == pytest.approx(50.0, rel=1e-12)
    assert path.east(700.0) - path.east(600.0) == pytest.approx(100.0 * np.sin(np.radians(60.0)), rel=1e-12)
    assert path.inclination(5000.0) == pytest.approx(np.radians(60.0), rel=1e-14)
    assert path.curvature(601.0) == 0.0
    assert path.md_at_tvd(path.tvd(700.0)) == pytest.approx(700.0, abs=1e-9)
    assert path.end == 600.0


def test_first_station_below_the_start_begins_vertical() -> None:
    path = WellPath([500.0, 600.0], np.radians([0.0, 10.0]), np.radians([20.0, 20.0]))
    assert path.stations.tolist() == [0.0, 500.0, 600.0]
    assert path.tvd(500.0) == 500.0
    assert WellPath([500.0], [0.0], [0.0]) == WellPath.vertical(500.0)


@given(depth=st.floats(1.0, 12000.0), fraction=st.floats(0.0, 1.2, allow_subnormal=False))
def test_vertical_is_exact(depth: float, fraction: float) -> None:
    path, md = WellPath.vertical(depth), depth * fraction
    if md <= depth:
        assert path.tvd(md) == md
        assert path.md_at_tvd(md) == md
    assert path.tvd(md) == pytest.approx(md, rel=1e-15)
    assert path.north(md) == path.east(md) == path.inclination(md) == path.curvature(md) == 0.0


@given(inclination=st.floats(0.0, 3.1), azimuth=st.floats(0.0, 6.28), count=st.integers(2, 9))
def test_straight_hole(inclination: float, azimuth: float, count: int) -> None:
    path = WellPath(np.linspace(0.0, 900.0, count), np.full(count, inclination), np.full(count, azimuth))
    md = np.linspace(0.0, 1000.0, 7)
    assert np.allclose(path.tvd(md), md * np.cos(inclination), rtol=0.0, atol=1e-9)
    assert np.allclose(path.north(md), md * np.sin(inclination) * np.cos(azimuth), rtol=0.0, atol=1e-9)
    assert np.allclose(path.east(md), md * np.sin(inclination) * np.sin(azimuth), rtol=0.0, atol=1e-9)
    assert np.all(path.curvature(md) == 0.0)


@st.composite
def surveys(draw: st.DrawFn, steepest: float = 90.0) -> WellPath:
    """Return a path whose neighbouring directions are less than 120 deg apart."""
    count = draw(st.integers(2, 8))
    steps = draw(st.lists(st.floats(1.0, 500.0), min_size=count - 1, max_size=count - 1))
    inclination = draw(st.lists(st.floats(0.0, steepest), min_size=count, max_size=count))
    turns = draw(st.lists(st.floats(-60.0, 60.0), min_size=count, max_size=count))
    inclination = list(accumulate(inclination, lambda above, here: max(above - 60.0, min(above + 60.0, here))))
    return WellPath(np.cumsum([0.0, *steps]), np.radians(inclination), np.radians(np.cumsum(turns)))


@given(path=surveys(), fractions=st.lists(st.floats(0.0, 1.2), min_size=1, max_size=5))
def test_measured_depth_comes_back_up_to_90_deg(path: WellPath, fractions: list[float]) -> None:
    md = np.array(fractions) * path.end
    tvd = path.tvd(md)
    if np.cos(path.inclination(path.end)) < 1e-3:  # a level end does not reach deeper
        md, tvd = np.minimum(md, path.end), path.tvd(np.minimum(md, path.end))
    found = path.md_at_tvd(tvd)
    assert np.allclose(path.tvd(found), tvd, rtol=0.0, atol=1e-7)
    assert np.all(found <= md + 1e-3)
    steepest = np.max(path.inclination(np.linspace(0.0, path.end, 200)))
    if np.degrees(steepest) < 80.0:
        assert np.allclose(found, md, rtol=0.0, atol=1e-7)


@settings(max_examples=60, deadline=None)
@given(path=surveys(steepest=150.0), fraction=st.floats(0.0, 1.0))
def test_first_crossing_where_the_hole_climbs(path: WellPath, fraction: float) -> None:
    """Against a fine scan from the top: no place above the one found is as deep."""
    md = np.linspace(0.0, path.end, 20001)
    scan = path.tvd(md)
    target = fraction * max(float(np.max(scan)), 0.0)
    found = float(path.md_at_tvd(target))
    assert path.tvd(found) == pytest.approx(target, abs=1e-7)
    above = scan[md < found - path.end / 20000.0]
    assert np.all(above < target + 1e-7)


def test_depth_out_of_reach() -> None:
    deepest = float(np.max(SNAKE.tvd(np.linspace(0.0, 1900.0, 100001))))
    assert SNAKE.tvd(SNAKE.md_at_tvd(deepest - 1e-6)) == pytest.approx(deepest - 1e-6, abs=1e-9)
    with pytest.raises(ValueError, match=r"tvd of 2000 m is deeper than the path reaches.*1900 m"):
        SNAKE.md_at_tvd([[500.0], [2000.0]])
    with pytest.raises(ValueError, match="ends level"):
        WellPath([0.0, 600.0], np.radians([0.0, 90.0]), [0.0, 0.0]).md_at_tvd(600.0)


@given(path=surveys(steepest=150.0), ends=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)), data=st.data())
def test_arc_length_is_kept(path: WellPath, ends: tuple[float, float], data: st.DataObject) -> None:
    """Two places in one interval are a chord apart: 2 sin(k s / 2) / k for a way s at curvature k."""
    interval = data.draw(st.integers(0, path.stations.size - 2))
    top, length = path.stations[interval], np.diff(path.stations)[interval]
    md = top + length * np.sort(ends)
    chord = np.linalg.norm([np.diff(axis(md))[0] for axis in (path.north, path.east, path.tvd)])
    way, curvature = md[1] - md[0], path.curvature(top + length / 2.0)
    assert chord == pytest.approx(way * np.sinc(curvature * way / 2.0 / np.pi), rel=1e-9, abs=1e-9)


@given(path=surveys(steepest=180.0), ends=st.tuples(st.floats(0.0, 1.2), st.floats(0.0, 1.2)))
def test_depth_gained_is_not_more_than_hole_made(path: WellPath, ends: tuple[float, float]) -> None:
    md = np.sort(ends) * path.end
    for axis in (path.north, path.east, path.tvd):
        assert abs(np.diff(axis(md))[0]) <= np.diff(md)[0] + 1e-9


@given(path=surveys(steepest=150.0), fraction=st.floats(0.01, 0.99), data=st.data())
def test_a_station_put_on_the_arc_changes_nothing(path: WellPath, fraction: float, data: st.DataObject) -> None:
    interval = data.draw(st.integers(0, path.stations.size - 2))
    extra = path.stations[interval] + fraction * np.diff(path.stations)[interval]
    md = np.insert(path.stations, interval + 1, extra)
    split = WellPath(md, path.inclination(md), path.azimuth(md))
    dense = np.linspace(0.0, 1.1 * path.end, 57)
    for name in ("north", "east", "tvd", "inclination"):
        assert np.allclose(getattr(split, name)(dense), getattr(path, name)(dense), rtol=0.0, atol=1e-8), name
    sides = np.array([True, False])
    assert np.allclose(split.curvature(extra, sides), path.curvature(extra, sides), rtol=1e-6, atol=1e-12)


@pytest.mark.parametrize("name", ["tvd", "north", "east", "inclination", "azimuth", "curvature", "md_at_tvd"])
def test_leading_axes_equal_looping(name: str) -> None:
    method: Callable[[object], Floats] = getattr(SNAKE, name)
    scalar = 431.7
    row = np.array([0.0, 400.0, 612.5, 1000.0])
    sampled = np.array([[50.0], [400.0], [999.9]])
    block = sampled + row * 0.1
    assert np.shape(method(scalar)) == ()
    for values in (row, sampled, block, np.stack([block, block / 2.0])):
        looped = np.array([method(value) for value in values.flat]).reshape(values.shape)
        assert np.array_equal(method(values), looped)


def test_azimuth_is_interpolated_across_north() -> None:
    path = WellPath([0.0, 100.0], np.radians([60.0, 60.0]), np.radians([350.0, 20.0]))
    assert np.degrees(path.azimuth([0.0, 50.0, 100.0])) == pytest.approx([350.0, 5.0, 20.0], abs=1e-9)


SURVEY_ERRORS = [
    (([0.0, 10.0, 10.0], [0.0] * 3, [0.0] * 3), r"md must increase, got 10 m and then 10 m \(station 3\)"),
    (([0.0, 10.0, 5.0], [0.0] * 3, [0.0] * 3), "md must increase"),
    (([-5.0, 10.0], [0.0] * 2, [0.0] * 2), "md of station 1 is -5 m"),
    (([0.0, 10.0], [0.0, 60.0], [0.0] * 2), r"inclination of station 2 must be 0 to pi rad.*got 60 rad"),
    (([0.0, 10.0], [-0.1, 0.0], [0.0] * 2), "inclination of station 1"),
    (([0.0, 10.0, 20.0], [0.0, np.nan, 0.0], [0.0] * 3), "inclination of station 2 is not a finite number"),
    (([0.0, 10.0], [0.0] * 2, [0.0, np.inf]), "azimuth of station 2 is not a finite number"),
    (([0.0, np.nan], [0.0] * 2, [0.0] * 2), "md of station 2 is not a finite number"),
    (([0.0, 10.0], [0.0] * 3, [0.0] * 2), r"equally long, got shapes \[\(2,\), \(3,\), \(2,\)\]"),
    (([[0.0, 10.0]], [[0.0] * 2], [[0.0] * 2]), "must be 1-D"),
    (([], [], []), "must be 1-D and equally long"),
    (([0.0], [0.0], [0.0]), "two stations"),
    (([0.0, 10.0], [0.0, np.pi], [0.0] * 2), "turns by 180 deg between md 0 m and 10 m"),
    (
        ([0.0, 10.0, 20.0], [0.3, 0.5, np.pi - 0.5], [0.0, 0.0, np.pi]),
        "turns by 180 deg between md 10 m and 20 m",
    ),
]


@pytest.mark.parametrize(("survey", "message"), SURVEY_ERRORS)
def test_survey_errors(survey: tuple[list[float], list[float], list[float]], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        WellPath(*survey)


@pytest.mark.parametrize("name", ["tvd", "north", "east", "inclination", "azimuth", "curvature", "md_at_tvd"])
@pytest.mark.parametrize("depth", [-1.0, np.nan, np.inf, [[10.0], [-2.0]]])
def test_depths_above_the_start_are_refused(name: str, depth: object) -> None:
    with pytest.raises(ValueError, match=r"(md|tvd) must be 0 m or more, the start of the path, got (-1|-2|nan|inf) m"):
        getattr(SNAKE, name)(depth)


@pytest.mark.parametrize("depth", [0.0, -10.0, np.nan, np.inf])
def test_vertical_needs_a_depth(depth: float) -> None:
    with pytest.raises(ValueError, match="depth must be above 0 m"):
        WellPath.vertical(depth)


def test_is_a_value() -> None:
    again = pickle.loads(pickle.dumps(SNAKE))
    assert again == SNAKE
    assert hash(again) == hash(SNAKE)
    assert WellPath.vertical(100.0) != WellPath.vertical(200.0)
    assert WellPath.vertical(100.0) != "vertical"
    assert repr(SNAKE) == "WellPath(7 stations to 1900 m)"


def test_cannot_be_changed() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        SNAKE._md = np.zeros(2)  # type: ignore[misc]
    with pytest.raises(ValueError, match="read-only"):
        SNAKE.stations[0] = 5.0
    md, inclination = np.array([0.0, 100.0]), np.array([0.0, 0.2])
    path = WellPath(md, inclination, np.zeros(2))
    before = float(path.tvd(100.0))
    inclination[1] = 1.0
    md[1] = 50.0
    assert path.tvd(100.0) == before


def test_a_hair_off_vertical_is_not_vertical() -> None:
    """1e-9 rad has a cosine of 1 to all digits, and yet a direction."""
    path = WellPath([0.0, 10.0, 20.0], [0.0, 0.0, 1e-9], [0.0, 0.0, 0.0])
    assert float(path.inclination(20.0)) == pytest.approx(1e-9)
    assert float(WellPath.vertical(20.0).inclination(20.0)) == 0.0
