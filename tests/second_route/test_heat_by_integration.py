"""Wellbore temperatures by numbers: the same balances integrated, and conduction into the ground stepped in time.

Source: conservation of heat and Fourier's law, written out here; nothing but numbers of the library is used. The exact
f(t) is the integral of van Everdingen & Hurst, *Trans. AIME*, 1949 (formula from memory), a cylinder that gives off a
constant flow of heat; the finite volumes confirm it.

Two kinds of agreement. The profiles solve their own balance, so they agree to rounding. That f(t) stands for a ground
that has warmed since the flow began is an approximation of the publications; how far off it is is measured here.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_bvp, solve_ivp
from scipy.linalg import solve_banded
from scipy.special import j1, y1

from casingloads.heat.flowing import (
    circulation_temperature,
    flowing_temperature,
    injection_temperature,
    production_temperature,
)
from casingloads.heat.resistance import Flow, Geotherm, formation_resistance, transient_heat_function, wall_resistance
from casingloads.path import WellPath
from casingloads.well import Table

Floats = NDArray[np.float64]
Curve = Callable[[float], float]
Stream = Callable[[Floats, float], Floats]

ROCKS = Geotherm(surface_tvd=30.0, surface_temperature=281.0, gradient=0.031)
WATER = Flow(mass_rate=6.0, specific_heat=4150.0)
CONDUCTIVITY, DIFFUSIVITY, DAY = 2.25, 1e-6, 86400.0


# --- along the well -----------------------------------------------------------------------------------------


def stream(ground: Curve, stops: list[float], entry: float, length: float, at: Floats) -> Floats:
    """Return the temperature at the distances *at*, by dT/ds = (T_ground - T) / length, begun anew at every stop."""
    found = np.full_like(at, entry)
    for here, there in pairwise(stops):
        inside = (at > here) & (at <= there)
        points = np.unique(np.append(at[inside], there))
        walk = solve_ivp(
            lambda s, T: (ground(s) - T) / length, (here, there), [entry], "DOP853", points, rtol=1e-11, atol=1e-10
        )
        found[inside], entry = walk.y[0, np.searchsorted(points, at[inside])], float(walk.y[0, -1])
    return found


@pytest.mark.parametrize("resistance", [0.005, 0.05, 0.3])
@pytest.mark.parametrize("inclination", [0.0, 1.0])
def test_up_and_down_a_straight_hole(inclination: float, resistance: float) -> None:
    way = np.linspace(0.0, 2400.0, 25)
    lean, length = math.cos(inclination), 6.0 * 4150.0 * resistance
    low, high = 100.0 + 2400.0 * lean, 100.0
    up = stream(lambda s: 281.0 + 0.031 * (low - s * lean - 30.0), [0.0, 2400.0], 380.0, length, way)
    down = stream(lambda s: 281.0 + 0.031 * (high + s * lean - 30.0), [0.0, 2400.0], 290.0, length, way)
    produced = production_temperature(
        low - way * lean, flow=WATER, resistance=resistance, geotherm=ROCKS, inlet_tvd=low, inlet_temperature=380.0,
        inclination=inclination,
    )  # fmt: skip
    injected = injection_temperature(
        high + way * lean, flow=WATER, resistance=resistance, geotherm=ROCKS, inlet_tvd=high, inlet_temperature=290.0,
        inclination=inclination,
    )  # fmt: skip
    assert np.allclose(produced, up, rtol=0.0, atol=1e-6)
    assert np.allclose(injected, down, rtol=0.0, atol=1e-6)


TABLE_TVD, TABLE_KELVIN = [0.0, 300.0, 1100.0, 1500.0, 2500.0], [290.0, 277.0, 301.0, 333.0, 362.0]


def table(tvd: float) -> float:
    return float(np.interp(tvd, TABLE_TVD, TABLE_KELVIN))


@pytest.mark.parametrize("upward", [True, False])
@pytest.mark.parametrize("resistance", [0.005, 0.3])
def test_table_of_the_ground_in_a_straight_hole(resistance: float, upward: bool) -> None:
    """Inclined by 0.9 rad all the way; one table with a minimum and four slopes."""
    lean = math.cos(0.9)
    way = np.linspace(0.0, 2400.0 / lean, 31)
    marks = [z / lean for z in TABLE_TVD[1:-1]]
    end, length = float(way[-1]), 6.0 * 4150.0 * resistance
    if upward:
        stops = [0.0, *sorted(end - mark for mark in marks), end]
        expected = stream(lambda s: table((end - s) * lean), stops, 365.0, length, way)
    else:
        expected = stream(lambda s: table(s * lean), [0.0, *marks, end], 365.0, length, way)
    found = flowing_temperature(
        (end - way if upward else way) * lean,
        path=WellPath([0.0, end], [0.9, 0.9], [0.0, 0.0]),
        ground=Table(tvd=np.array(TABLE_TVD), value=np.array(TABLE_KELVIN)),
        flow=WATER,
        resistance=resistance,
        inlet_md=end if upward else 0.0,
        inlet_temperature=365.0,
    )
    assert np.allclose(found, expected, rtol=0.0, atol=1e-6)


BEND, KICK_OFF, ANGLE, TANGENT = 573.0, 700.0, 1.2, 1500.0  # radius [m] for 3 deg/30 m
BENT = KICK_OFF + BEND * ANGLE
END = BENT + TANGENT


def bent_tvd(md: float) -> float:
    if md <= KICK_OFF:
        return md
    turned = min((md - KICK_OFF) / BEND, ANGLE)
    return KICK_OFF + BEND * math.sin(turned) + max(md - BENT, 0.0) * math.cos(ANGLE)


def bent_md(tvd: float) -> float:
    turn = (tvd - KICK_OFF) / BEND
    if turn <= 0.0:
        return tvd
    if turn <= math.sin(ANGLE):
        return KICK_OFF + BEND * math.asin(turn)
    return BENT + (tvd - bent_tvd(BENT)) / math.cos(ANGLE)


@pytest.mark.parametrize("resistance", [0.001, 0.005, 0.05, 0.3])
@pytest.mark.parametrize("upward", [True, False])
def test_path_with_a_bend(upward: bool, resistance: float) -> None:
    """Vertical, a bend of 3 deg/30 m, straight; cut every 30 m, where the chord is 0.2 m off the arc."""
    md = np.linspace(0.0, END, 61)
    marks = sorted([KICK_OFF, BENT, *(bent_md(z) for z in TABLE_TVD[1:] if z < bent_tvd(END))])
    length = 6.0 * 4150.0 * resistance
    if upward:
        stops = [0.0, *sorted(END - mark for mark in marks), END]
        expected = stream(lambda s: table(bent_tvd(END - s)), stops, 350.0, length, (END - md)[::-1])[::-1]
    else:
        expected = stream(lambda s: table(bent_tvd(s)), [0.0, *marks, END], 350.0, length, md)
    found = flowing_temperature(
        np.array([bent_tvd(float(depth)) for depth in md]),
        path=WellPath([0.0, KICK_OFF, BENT, END], [0.0, 0.0, ANGLE, ANGLE], [0.0, 0.0, 0.0, 0.0]),
        ground=Table(tvd=np.array(TABLE_TVD), value=np.array(TABLE_KELVIN)),
        flow=WATER,
        resistance=resistance,
        inlet_md=END if upward else 0.0,
        inlet_temperature=350.0,
    )
    assert np.allclose(found, expected, rtol=0.0, atol=30.0**2 / (8.0 * BEND) * 0.08)  # the steepest ground


@pytest.mark.parametrize("pipe_resistance", [0.004, 0.02, 0.1, 1.0])
@pytest.mark.parametrize("ground_resistance", [0.02, 0.2])
@pytest.mark.parametrize("inclination", [0.0, 0.8])
def test_circulation_down_and_up(inclination: float, pipe_resistance: float, ground_resistance: float) -> None:
    """Both balances as a boundary-value problem, relative to the ground: inlet at the top, no step at the bottom."""
    lean, end, capacity = math.cos(inclination), 3000.0, 25.0 * 3200.0
    slope, start = 0.031 * lean, 305.0 - (281.0 - 0.031 * 10.0)  # the top is 10 m above the ground's surface

    def balances(s: Floats, T: Floats) -> Floats:
        between = (T[1] - T[0]) / pipe_resistance
        return np.array([between / capacity - slope, (between + T[1] / ground_resistance) / capacity - slope])

    grid = np.linspace(0.0, end, 301)
    solved = solve_bvp(
        balances, lambda a, b: np.array([a[0] - start, b[0] - b[1]]), grid, np.zeros((2, grid.size)), tol=1e-10,
        max_nodes=100_000,
    )  # fmt: skip
    assert solved.success
    pipe, annulus = circulation_temperature(
        20.0 + grid * lean,
        flow=Flow(mass_rate=25.0, specific_heat=3200.0),
        pipe_resistance=pipe_resistance,
        ground_resistance=ground_resistance,
        geotherm=ROCKS,
        top_tvd=20.0,
        bottom_tvd=20.0 + end * lean,
        inlet_temperature=305.0,
        inclination=inclination,
    )
    expected = solved.sol(grid) + 281.0 + 0.031 * (20.0 + grid * lean - 30.0)
    assert np.allclose(pipe, expected[0], rtol=0.0, atol=1e-6)
    assert np.allclose(annulus, expected[1], rtol=0.0, atol=1e-6)


# --- into the ground ----------------------------------------------------------------------------------------


def exact_cylinder(t: float) -> float:
    """Return 4/pi^2 times the integral of (1 - exp(-u^2 t)) / (u^3 (J1^2 + Y1^2)) over u, taken over ln u."""
    u = np.exp(np.linspace(-40.0, 14.0, 40_001))
    kernel = -np.expm1(-u * u * t) / (u * u * (j1(u) ** 2 + y1(u) ** 2))
    return float(4.0 / np.pi**2 * np.trapezoid(kernel, np.log(u)))


TIMES = np.array([0.1, 0.5, 1.0, 1.4999, 1.5001, 2.0, 5.0, 10.0, 100.0, 1e3, 1e4])


@cache
def wall_temperature(biot: float | None) -> Floats:
    """Return the temperature of the wall at `TIMES`, by finite volumes of ln r.

    The wall gives off a unit flow of heat, or (with *biot*, r U / k) touches a fluid of temperature 1.
    """
    cells, end = 500, float(TIMES[-1])
    h = math.log(1.0 + 8.0 * math.sqrt(end)) / cells
    x = np.arange(cells + 1) * h
    volume = (np.exp(2.0 * x + h) - np.exp(2.0 * np.maximum(x - h / 2.0, 0.0))) / 2.0

    def rates(_: float, T: Floats) -> Floats:
        into = 1.0 if biot is None else biot * (1.0 - T[0])
        passed = np.concatenate([[into], (T[:-1] - T[1:]) / h, [0.0]])
        return np.asarray(-np.diff(passed) / volume, dtype=np.float64)

    steps = solve_ivp(rates, (0.0, end), np.zeros(cells + 1), "LSODA", TIMES, rtol=1e-8, atol=1e-10, lband=1, uband=1)
    return np.asarray(steps.y[0], dtype=np.float64)


def off(found: Floats, reference: Floats) -> dict[float, float]:
    """Return by how much *found* exceeds *reference*, in percent, by dimensionless time."""
    return dict(zip(TIMES.tolist(), (100.0 * (found / reference - 1.0)).tolist(), strict=True))


def test_finite_volumes_confirm_the_exact_cylinder() -> None:
    exact = np.array([exact_cylinder(t) for t in TIMES])
    assert np.allclose(wall_temperature(None), exact, rtol=2e-4, atol=0.0)


def test_time_function_is_as_far_off_as_its_docstring_says() -> None:
    found = off(transient_heat_function(TIMES), wall_temperature(None))
    assert max(abs(found[t]) for t in (0.1, 0.5, 1.0)) < 3.0
    assert max(abs(found[t]) for t in (5.0, 10.0, 100.0, 1e3, 1e4)) < 0.5
    assert found[1.4999] == pytest.approx(-5.7, abs=0.1)
    assert found[1.5001] == pytest.approx(-8.0, abs=0.1)


def test_line_source_is_as_far_off_as_its_docstring_says() -> None:
    late = TIMES >= 10.0
    found = transient_heat_function(TIMES[late], "line source") / wall_temperature(None)[late] - 1.0
    assert (100.0 * found).tolist() == pytest.approx([-5.8, -0.6, -0.1, 0.0], abs=0.05)


def test_fluid_of_constant_temperature_meets_more_resistance_than_f_says() -> None:
    """A fluid held at one temperature through films of several coefficients: f(t) supposes a constant flow of heat.

    The wall's resistance added, so what counts in the profiles: at worst (no film) 27 % at t_D = 1, 6 % at 100 and 2 %
    at 10,000. Never less than f says.
    """
    exact = np.array([exact_cylinder(t) for t in TIMES])
    worst = dict.fromkeys(TIMES.tolist(), 0.0)
    for biot in (1e6, 10.0, 1.0, 0.1):
        wall = wall_temperature(biot)
        excess = off(1.0 / (biot * (1.0 - wall)), exact + 1.0 / biot)
        assert min(excess.values()) > 0.0
        worst = {t: max(worst[t], excess[t]) for t in worst}
    assert worst[1.0] == pytest.approx(26.7, abs=0.3)
    assert worst[100.0] == pytest.approx(6.3, abs=0.1)
    assert worst[1e4] == pytest.approx(1.9, abs=0.1)


def in_steps(stops: Floats, radius: float, film: float, ground: Floats, stream: Stream) -> Floats:
    """Return the temperatures *stream* finds at each stop in time while the ground beside every depth warms up.

    Implicit steps, each a few percent of the time so far; only radial conduction stores heat. *stream* is given the
    wall's temperatures, had it got no heat in this step, and the resistance on the way to them; the last of its rows is
    the liquid beside the wall.
    """
    cells = 120
    h = math.log(1.0 + 8.0 * math.sqrt(DIFFUSIVITY * stops[-1]) / radius) / cells
    x = np.arange(cells + 1) * h
    volume = (np.exp(2.0 * x + h) - np.exp(2.0 * np.maximum(x - h / 2.0, 0.0))) / 2.0
    bands, unit_flow = np.full((3, cells + 1), -1.0 / h), np.eye(cells + 1, 1) / (2.0 * np.pi * CONDUCTIVITY)
    T, t, dt, found = np.tile(ground, (cells + 1, 1)), 0.0, 1.0, []
    for stop in stops:
        while t < stop * (1.0 - 1e-12):
            step = min(dt, stop - t)
            t, dt = t + step, max(1.0, 0.03 * t)
            storage = volume * radius**2 / (DIFFUSIVITY * step)
            bands[1] = storage + 2.0 / h
            bands[1, [0, -1]] -= 1.0 / h
            solved = solve_banded((1, 1), bands, np.hstack([storage[:, np.newaxis] * T, unit_flow]))
            without, answer = solved[:, :-1], solved[:, -1:]  # without heat from the liquid, and per W/m of it
            total = film + float(answer[0, 0])
            liquid = stream(without[0], total)
            T = without + answer * (liquid[-1] - without[0]) / total
        found.append(liquid)
    return np.array(found)


WAY = np.linspace(0.0, 3000.0, 31)
STEP = 100.0
DIFFERENCE = np.diff(np.eye(WAY.size), axis=0)  # of neighbouring depths; with the mean, second order along the well
MEAN = np.abs(DIFFERENCE) / 2.0
STOPS = np.array([1.0, 10.0, 100.0]) * DAY


@pytest.mark.parametrize("coefficient", [25.0, math.inf])
@pytest.mark.parametrize("mass_rate", [2.0, 6.0, 20.0])
def test_production_while_the_ground_warms_up(coefficient: float, mass_rate: float) -> None:
    """A well of 3000 m, 90 K warmer below, after 1, 10, 100 days: the closed form is up to 2.0, 1.0, 0.5 K too cool."""
    capacity, film = mass_rate * 4200.0, 1.0 / (2.0 * np.pi * 0.1 * coefficient)

    def up(wall: Floats, total: float) -> Floats:
        rows = [np.eye(1, WAY.size), DIFFERENCE + STEP / (capacity * total) * MEAN]
        return np.linalg.solve(np.vstack(rows), np.append(373.15, STEP / (capacity * total) * MEAN @ wall))[np.newaxis]

    expected = in_steps(STOPS, 0.1, film, 373.15 - 0.03 * WAY, up)[:, 0]
    formation = formation_resistance(
        conductivity=CONDUCTIVITY, diffusivity=DIFFUSIVITY, hole_radius=0.1, time=STOPS[:, np.newaxis]
    )
    found = production_temperature(
        3000.0 - WAY,
        flow=Flow(mass_rate=mass_rate, specific_heat=4200.0),
        resistance=wall_resistance(coefficient, 0.1) + formation,
        geotherm=Geotherm(surface_tvd=0.0, surface_temperature=283.15, gradient=0.03),
        inlet_tvd=3000.0,
        inlet_temperature=373.15,
    )
    assert np.all(np.max(expected - found, axis=-1) < [2.05, 1.0, 0.5])
    assert np.all(found < expected + 1e-6)


@pytest.mark.parametrize("mass_rate", [10.0, 20.0, 40.0])
@pytest.mark.parametrize("pipe_resistance", [0.02, 0.1])
def test_circulation_while_the_ground_cools(mass_rate: float, pipe_resistance: float) -> None:
    """The same well in 12-1/4 in hole, after 1, 10 and 100 days: the annulus is up to 1.7, 0.7, 0.3 K off."""
    capacity, radius, end = mass_rate * 3500.0, 6.125 * 0.0254, WAY.size - 1

    def down_and_up(wall: Floats, total: float) -> Floats:
        across, out = STEP / (capacity * pipe_resistance) * MEAN, STEP / (capacity * total) * MEAN
        balances = np.block([[DIFFERENCE + across, -across], [across, DIFFERENCE - across - out]])
        ends = np.zeros((2, 2 * WAY.size))
        ends[0, 0], ends[1, end], ends[1, -1] = 1.0, 1.0, -1.0
        right = np.concatenate([np.zeros(end), -out @ wall, [295.0, 0.0]])
        return np.linalg.solve(np.vstack([balances, ends]), right).reshape(2, WAY.size)

    expected = in_steps(STOPS, radius, 0.0, 283.15 + 0.03 * WAY, down_and_up)
    _, annulus = circulation_temperature(
        WAY,
        flow=Flow(mass_rate=mass_rate, specific_heat=3500.0),
        pipe_resistance=pipe_resistance,
        ground_resistance=formation_resistance(
            conductivity=CONDUCTIVITY, diffusivity=DIFFUSIVITY, hole_radius=radius, time=STOPS[:, np.newaxis]
        ),
        geotherm=Geotherm(surface_tvd=0.0, surface_temperature=283.15, gradient=0.03),
        top_tvd=0.0,
        bottom_tvd=3000.0,
        inlet_temperature=295.0,
    )
    assert np.all(np.max(np.abs(annulus - expected[:, 1]), axis=-1) < [1.7, 0.7, 0.31])
