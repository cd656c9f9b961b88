"""Columns of fluid against closed forms, and their behaviour with sampled depths and pressures."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casingloads import Column, Empty, Fluid, Formation, Gas, Intervals, RealGas, Table, column, column_through
from casingloads.arrays import Floats
from casingloads.constants import ATMOSPHERE, GRAVITY
from casingloads.path import WellPath
from casingloads.pressure.columns import Layer, Liquid
from casingloads.stations import places

SEA = Fluid(name="sea water", density=1025.0)
MUD = Fluid(name="mud", density=1300.0)
SLURRY = Fluid(name="slurry", density=1900.0)

depths = st.floats(0.0, 6000.0)
densities = st.floats(700.0, 2300.0)
pressures = st.floats(0.0, 80e6)


def test_three_fluids_by_hand() -> None:
    """26 m of air, 1000 m of sea water at 1025 kg/m3, 500 m of mud at 1300, then slurry at 1900."""
    made = column(SEA, top=26.0).over(MUD, contact=1026.0).over(SLURRY, contact=1526.0)
    by_hand = {
        0.0: 0.0,
        26.0: 0.0,
        526.0: 1025 * 9.80665 * 500,
        1026.0: 1025 * 9.80665 * 1000,
        1526.0: 9.80665 * (1025 * 1000 + 1300 * 500),
        2026.0: 9.80665 * (1025 * 1000 + 1300 * 500 + 1900 * 500),
    }
    found = made.pressure(list(by_hand))
    assert found == pytest.approx(list(by_hand.values()), rel=1e-12)


def test_nothing_stands_above_the_top_even_under_pressure() -> None:
    made = column(MUD, top=100.0, pressure=5e6)
    assert made.pressure([0.0, 99.999, 100.0]).tolist() == [0.0, 0.0, 5e6]


def test_a_level_that_has_fallen() -> None:
    made = column(MUD, top=800.0)
    assert float(made.pressure(800.0)) == 0.0
    assert float(made.pressure(1800.0)) == pytest.approx(1300 * 9.80665 * 1000, rel=1e-12)


def test_gas_through_a_reservoir_pressure() -> None:
    """50 MPa at 4000 m less 2.3 kPa/m: 40.8 MPa at the surface."""
    made = column_through(Gas(2300.0), depth=4000.0, pressure=50e6)
    assert float(made.pressure(0.0)) == pytest.approx(40.8e6, rel=1e-12)
    assert float(made.pressure(5000.0)) == pytest.approx(52.3e6, rel=1e-12)


def test_pressure_known_at_the_bottom() -> None:
    """Mud over gas over a reservoir: 30 MPa at 3000 m, 1000 m of gas at 2 kPa/m, mud above."""
    made = Column(
        layers=(Layer(top=0.0, fill=Liquid(MUD)), Layer(top=2000.0, fill=Gas(2000.0))),
        anchor_depth=3000.0,
        anchor_pressure=30e6,
        anchored_in="last",
    )
    assert float(made.pressure(2000.0)) == pytest.approx(28e6, rel=1e-12)
    assert float(made.pressure(500.0)) == pytest.approx(28e6 - 1300 * 9.80665 * 1500, rel=1e-12)


@settings(max_examples=50, deadline=None)
@given(pressures, st.lists(st.tuples(densities, st.floats(1.0, 1500.0)), min_size=1, max_size=4))
def test_first_and_last_anchor_are_the_same_column(top: float, stack: list[tuple[float, float]]) -> None:
    fluids = [Fluid(name="x", density=density) for density, _ in stack]
    tops = np.concatenate([[0.0], np.cumsum([height for _, height in stack])])
    made = column(fluids[0], pressure=top)
    for fluid, contact in zip(fluids[1:], tops[1:-1], strict=True):
        made = made.over(fluid, contact=float(contact))
    turned = Column(
        layers=made.layers,
        anchor_depth=float(tops[-1]),
        anchor_pressure=float(made.pressure(tops[-1])),
        anchored_in="last",
    )
    grid = np.linspace(0.0, tops[-1], 37)
    assert turned.pressure(grid) == pytest.approx(made.pressure(grid), rel=1e-9, abs=1e-3)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(densities, st.floats(1.0, 1500.0)), min_size=1, max_size=4), depths)
def test_the_slope_is_that_of_the_fluid_there(stack: list[tuple[float, float]], depth: float) -> None:
    tops = np.concatenate([[0.0], np.cumsum([height for _, height in stack])])[:-1]
    made = column(Fluid(name="x", density=stack[0][0]))
    for (density, _), contact in zip(stack[1:], tops[1:], strict=True):
        made = made.over(Fluid(name="x", density=density), contact=float(contact))
    if np.min(np.abs(tops[1:] - depth), initial=np.inf) > 0.5:
        density = stack[int(np.searchsorted(tops, depth, side="right")) - 1][0]
        slope = float(made.pressure(depth + 0.25) - made.pressure(max(depth - 0.25, 0.0)))
        assert slope / (depth + 0.25 - max(depth - 0.25, 0.0)) == pytest.approx(density * GRAVITY, rel=1e-4)


def test_contacts_are_breaks_and_nothing_jumps() -> None:
    made = column(SEA, top=26.0).over(MUD, contact=1026.0)
    assert list(made.breaks()) == [26.0, 1026.0]
    assert list(made.jumps()) == []
    assert len(made.origin()) >= 2  # a line a layer at the least


# --- real gas ---------------------------------------------------------------------------------------------------------

GROUND = Table(tvd=np.array([0.0, 2000.0, 6000.0]), value=np.array([288.0, 340.0, 460.0]))


def test_real_gas_at_low_pressure_is_ideal() -> None:
    """At a few bar z is 1 within 1 %: over 500 m of isothermal gas p grows by exp(M g z / R T)."""
    warm = Table(tvd=np.array([0.0, 1.0]), value=np.array([320.0, 320.0]))
    made = column_through(RealGas(0.65, warm), depth=500.0, pressure=2e5)
    exponent = 0.65 * 0.0289647 * 9.80665 * 500.0 / (8.314462618 * 320.0)
    by_hand = (2e5 + ATMOSPHERE) * np.exp(-exponent) - ATMOSPHERE
    assert float(made.pressure(0.0)) == pytest.approx(by_hand, rel=1e-3)


def test_real_gas_is_worked_in_absolute_pressure() -> None:
    """Taken for gauge, 2 bar would weigh a third less: the drop over 500 m would be 2.2 % instead of 3.3 %."""
    warm = Table(tvd=np.array([0.0, 1.0]), value=np.array([320.0, 320.0]))
    made = column_through(RealGas(0.65, warm), depth=500.0, pressure=2e5)
    drop = 2e5 - float(made.pressure(0.0))
    exponent = 0.65 * 0.0289647 * 9.80665 * 500.0 / (8.314462618 * 320.0)
    assert drop == pytest.approx((2e5 + ATMOSPHERE) * (1.0 - np.exp(-exponent)), rel=0.02)
    assert drop > 1.3 * 2e5 * (1.0 - np.exp(-exponent))


@settings(max_examples=50, deadline=None)
@given(st.floats(5e6, 80e6), st.floats(500.0, 6000.0), st.floats(0.6, 0.9))
def test_real_gas_up_and_down_again(pressure: float, depth: float, gravity: float) -> None:
    gas = RealGas(gravity, GROUND)
    top = gas.carry(0.0, depth, pressure)
    assert float(top) < pressure
    assert float(gas.carry(depth, 0.0, top)) == pytest.approx(pressure, rel=1e-6)


def test_real_gas_does_not_depend_on_what_else_is_asked_for() -> None:
    made = column_through(RealGas(0.65, GROUND), depth=5000.0, pressure=60e6)
    grid = np.linspace(0.0, 5000.0, 300)
    one_by_one = [float(made.pressure(z)) for z in grid[::50]]
    assert made.pressure(grid)[::50] == pytest.approx(one_by_one, rel=1e-6)


# --- tables, nothing, intervals ---------------------------------------------------------------------------------------

VERTICAL = WellPath.vertical(3000.0)


def test_formation_reads_its_table() -> None:
    table = Table(tvd=np.array([0.0, 1000.0, 3000.0]), value=np.array([0.0, 10e6, 40e6]))
    where = places(np.array([0.0, 500.0, 2000.0]), VERTICAL)
    made = Formation(table=table, name="pore pressure")
    assert made.at(where).tolist() == [0.0, 5e6, 5e6, 25e6]
    assert np.concatenate([np.ravel(b) for b in made.breaks()]).tolist() == [0.0, 1000.0, 3000.0]


def test_empty_presses_nowhere() -> None:
    where = places(np.array([0.0, 500.0, 2000.0]), VERTICAL)
    assert Empty().at(where).tolist() == [0.0] * 4


def test_intervals_jump_between_their_parts() -> None:
    """Mud to 1000 m and, behind cement, half its pressure: both values stand at 1000 m, one on each side."""
    half = Fluid(name="half", density=0.5 * MUD.density)
    made = Intervals(tops=(0.0, 1000.0), parts=(column(MUD), column(half)))
    where = places(np.array([0.0, 1000.0, 2000.0]), VERTICAL)
    full = 1300 * 9.80665 * 1000
    assert made.at(where) == pytest.approx([0.0, full, 0.5 * full, full], rel=1e-12)
    assert list(made.jumps()) == [1000.0]


# --- sample axes ------------------------------------------------------------------------------------------------------

SAMPLES = st.lists(st.tuples(st.floats(0.0, 900.0), st.floats(1000.0, 3000.0), pressures), min_size=1, max_size=5)
GRID = np.linspace(0.0, 4000.0, 41)


def sampled(values: Sequence[tuple[float, ...]]) -> list[Floats]:
    """Return each variable as a column of samples, shape (samples, 1)."""
    return [np.array(variable)[:, np.newaxis] for variable in zip(*values, strict=True)]


@settings(max_examples=50, deadline=None)
@given(SAMPLES)
def test_sampled_tops_contacts_and_pressures(samples: list[tuple[float, float, float]]) -> None:
    top, contact, pressure = sampled(samples)
    together = column(SEA, top=top, pressure=pressure).over(SLURRY, contact=contact).pressure(GRID)
    assert together.shape == (len(samples), GRID.size)
    for row, (t, c, p) in zip(together, samples, strict=True):
        alone = column(SEA, top=t, pressure=p).over(SLURRY, contact=c).pressure(GRID)
        assert row == pytest.approx(alone, rel=1e-12)


@settings(max_examples=50, deadline=None)
@given(SAMPLES)
def test_sampled_anchor_below(samples: list[tuple[float, float, float]]) -> None:
    _, contact, pressure = sampled(samples)
    layers = (Layer(top=0.0, fill=Liquid(MUD)), Layer(top=contact, fill=Gas(2000.0)))
    made = Column(layers=layers, anchor_depth=4000.0, anchor_pressure=pressure, anchored_in="last")
    together = made.pressure(GRID)
    for row, (_, c, p) in zip(together, samples, strict=True):
        layers = (Layer(top=0.0, fill=Liquid(MUD)), Layer(top=c, fill=Gas(2000.0)))
        alone = Column(layers=layers, anchor_depth=4000.0, anchor_pressure=p, anchored_in="last")
        assert row == pytest.approx(alone.pressure(GRID), rel=1e-12, abs=1e-3)


def test_sampled_gradient_and_density() -> None:
    gradients = np.array([[1500.0], [2500.0]])
    made = column_through(Gas(gradients), depth=4000.0, pressure=50e6).pressure(GRID)
    assert made[:, 0] == pytest.approx([50e6 - 1500 * 4000, 50e6 - 2500 * 4000], rel=1e-12)
    muds = Fluid(name="mud", density=np.array([[1000.0], [1500.0]]))  # type: ignore[arg-type]
    assert column(muds).pressure(GRID)[:, -1] == pytest.approx([1000 * GRAVITY * 4000, 1500 * GRAVITY * 4000])


def test_sampled_anchors_of_real_gas() -> None:
    """Each sample starts from a depth of its own; the shallow one must not make the deep one coarse."""
    gas = RealGas(0.65, GROUND)
    depth, pressure = np.array([[10.0], [3000.0], [6000.0]]), np.array([[30e6], [45e6], [70e6]])
    together = gas.carry(0.0, depth, pressure)
    alone = [float(gas.carry(0.0, z, p)) for z, p in zip(depth.flat, pressure.flat, strict=True)]
    assert together[:, 0] == pytest.approx(alone, rel=1e-6)
    made = column_through(gas, depth=depth, pressure=pressure).pressure(GRID)
    assert made.shape == (3, GRID.size)
    assert made[:, 0] == pytest.approx(alone, rel=1e-6)


def test_sampled_intervals() -> None:
    where = places(np.array([[0.0, 800.0, 2000.0], [0.0, 1000.0, 2000.0]]), VERTICAL)
    made = Intervals(tops=(0.0, np.array([[800.0], [1000.0]])), parts=(column(MUD), Empty()))  # type: ignore[arg-type]
    assert made.at(where)[:, 1] == pytest.approx([1300 * GRAVITY * 800, 1300 * GRAVITY * 1000])
    assert made.at(where)[:, 2:].tolist() == [[0.0, 0.0], [0.0, 0.0]]
