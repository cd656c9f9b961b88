"""Wellbore temperatures: numbers by hand, limits, invariants, shapes. Integrated anew in the second route.

Source of the formulas: as cited in the module, from memory; the numbers here are worked out beside the tests.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

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

DEPTHS = np.linspace(0.0, 3000.0, 31)
ROCKS = Geotherm(surface_tvd=0.0, surface_temperature=280.0, gradient=0.03)
WATER = Flow(mass_rate=5.0, specific_heat=4000.0)
RATE, RESISTANCE = st.floats(0.1, 100.0), st.floats(0.003, 2.0)
ENTRY, GRADIENT, LEAN = st.floats(275.0, 450.0), st.floats(-0.01, 0.08), st.floats(0.0, 1.4)


def up(tvd: Any = DEPTHS, **changed: Any) -> Any:
    usual: dict[str, Any] = {
        "flow": WATER,
        "resistance": 0.05,
        "geotherm": ROCKS,
        "inlet_tvd": 3000.0,
        "inlet_temperature": 380.0,
    }
    return production_temperature(tvd, **(usual | changed))


def down(tvd: Any = DEPTHS, **changed: Any) -> Any:
    usual: dict[str, Any] = {
        "flow": WATER,
        "resistance": 0.05,
        "geotherm": ROCKS,
        "inlet_tvd": 0.0,
        "inlet_temperature": 300.0,
    }
    return injection_temperature(tvd, **(usual | changed))


def around(tvd: Any = DEPTHS, **changed: Any) -> Any:
    usual: dict[str, Any] = {
        "flow": Flow(mass_rate=20.0, specific_heat=3500.0),
        "pipe_resistance": 0.02,
        "ground_resistance": 0.15,
        "geotherm": ROCKS,
        "top_tvd": 0.0,
        "bottom_tvd": 3000.0,
        "inlet_temperature": 300.0,
    }
    return circulation_temperature(tvd, **(usual | changed))


def along(tvd: Any = DEPTHS, **changed: Any) -> Any:
    usual: dict[str, Any] = {
        "path": WellPath.vertical(3000.0),
        "ground": Table(tvd=np.array([0.0, 3000.0]), value=np.array([280.0, 370.0])),
        "flow": WATER,
        "resistance": 0.05,
        "inlet_md": 3000.0,
        "inlet_temperature": 380.0,
    }
    return flowing_temperature(tvd, **(usual | changed))


# --- by hand ------------------------------------------------------------------------------------------------


def test_time_function_by_hand() -> None:
    assert float(transient_heat_function(0.25)) == pytest.approx(1.1281 * 0.5 * (1.0 - 0.3 * 0.5), rel=1e-12)  # 0.47944
    # ln 100 = 4.605170: (0.4063 + 2.302585) * 1.006 = 2.725138; ln(2 * 10) - 0.29 = 2.995732 - 0.29 = 2.705732
    assert float(transient_heat_function(100.0)) == pytest.approx(2.725138, abs=1e-6)
    assert float(transient_heat_function(100.0, "line source")) == pytest.approx(2.705732, abs=1e-6)


def test_resistances_by_hand() -> None:
    """U = 20 W/(m2 K) at 0.1 m: 1/(2 pi 0.1 20) = 0.0795775. t_D = 1e-6 1e6 / 0.1^2 = 100: 2.725138/(2 pi 2.5)."""
    assert float(wall_resistance(20.0, 0.1)) == pytest.approx(0.0795775, abs=1e-7)
    found = formation_resistance(conductivity=2.5, diffusivity=1e-6, hole_radius=0.1, time=1e6)
    assert float(found) == pytest.approx(0.1734877, abs=1e-7)


def test_straight_holes_by_hand() -> None:
    """A = 5 * 4000 * 0.05 = 1000 m, e^-1 = 0.3678794.

    Up, from 10 K above the ground's 370 K at 3000 m, 1000 m on: 340 + 0.03 * 1000 * (1 - e^-1) + 10 e^-1
    = 340 + 18.9636 + 3.6788. Down, from 300 K into 280 K: 310 - 18.9636 + 20 e^-1 = 310 - 18.9636 + 7.3576.
    """
    assert float(up(2000.0)) == pytest.approx(362.6424, abs=1e-4)
    assert float(down(1000.0)) == pytest.approx(298.3940, abs=1e-4)


def test_inclined_hole_by_hand() -> None:
    """At 60 deg, 500 m of depth are 1000 m of hole, with half the gradient: 355 + 15 (1 - e^-1) + 10 e^-1."""
    assert float(up(2500.0, inclination=math.pi / 3.0)) == pytest.approx(355.0 + 9.4818 + 3.6788, abs=1e-4)


def test_injection_in_field_units() -> None:
    """Cold water down casing, only the formation resists: figures in the manner of Ramey's example, from memory.

    Its printed answer is not remembered; this is the same formula in barrels, feet, days and degF.
    """
    foot, day, barrel, btu, pound, kelvin = 0.3048, 86400.0, 0.158987295, 1055.05585, 0.45359237, 1.0 / 1.8
    time = math.log(2.0 * math.sqrt(0.96 * 75.0) / (3.5 / 12.0)) - 0.29
    relaxation = 4790.0 * 350.0 * 1.0 * time / (2.0 * math.pi * 33.6)  # lb/d Btu/(lb degF) / (Btu/(d ft degF)): ft
    decay = math.exp(-6000.0 / relaxation)
    expected = 70.0 + 0.0083 * 6000.0 - 0.0083 * relaxation * (1.0 - decay) + (58.5 - 70.0) * decay
    formation = formation_resistance(
        conductivity=33.6 * btu / (day * foot * kelvin),
        diffusivity=0.96 * foot**2 / day,
        hole_radius=3.5 / 12.0 * foot,
        time=75.0 * day,
        form="line source",
    )
    found = injection_temperature(
        6000.0 * foot,
        flow=Flow(mass_rate=4790.0 * barrel * (350.0 * pound / barrel) / day, specific_heat=btu / (pound * kelvin)),
        resistance=formation,
        geotherm=Geotherm(
            surface_tvd=0.0, surface_temperature=(70.0 + 459.67) * kelvin, gradient=0.0083 * kelvin / foot
        ),
        inlet_tvd=0.0,
        inlet_temperature=(58.5 + 459.67) * kelvin,
    )
    assert float(found) / kelvin - 459.67 == pytest.approx(expected, abs=1e-6)
    assert expected == pytest.approx(65.2, abs=0.1)  # of ground at 119.8 degF


def test_circulation_by_hand() -> None:
    """A = 1000 m, C = 2000 m: the root is sqrt(1 + 8) = 3, the exponents 4/4000 and -2/4000 per metre; L = 2000 m.

    Inlet less ground plus A G: 300 - 280 + 30 = 50. k1 = -(0.03 - 0.025 e^-1) / (0.001 + 0.0005 e^-3)
    = -0.0208030 / 0.00102489 = -20.2977; k2 = 50 + 20.2977 e^-2 = 52.7470. Bottom: 340 - 30 - 20.2977 + 52.7470 e^-1
    = 309.107. Annulus at the top: 280 - 2 * 20.2977 e^-2 + 0.5 * 52.7470 = 300.880.
    """
    pipe, annulus = around([0.0, 2000.0], flow=WATER, pipe_resistance=0.05, ground_resistance=0.1, bottom_tvd=2000.0)
    assert pipe.tolist() == pytest.approx([300.0, 309.107], abs=1e-3)
    assert annulus.tolist() == pytest.approx([300.880, 309.107], abs=1e-3)


# --- limits and invariants ----------------------------------------------------------------------------------


@given(t=st.floats(1e-10, 1e9))
def test_formation_resists_more_with_time(t: float) -> None:
    """But for the step of the published fit at 1.5, where it falls."""
    before, after = transient_heat_function([t, t * 1.01])
    assert after > before or t <= 1.5 < t * 1.01
    assert before > 0.0


def test_published_fit_falls_at_its_seam() -> None:
    before, after = transient_heat_function([1.5, np.nextafter(1.5, 2.0)])
    assert after / before - 1.0 == pytest.approx(-0.024, abs=0.001)


def test_both_time_functions_meet_late() -> None:
    late = np.geomspace(100.0, 1e8, 20)
    assert np.allclose(transient_heat_function(late), transient_heat_function(late, "line source"), rtol=0.01, atol=0.0)


@given(resistance=RESISTANCE, entry=ENTRY, lean=LEAN)
def test_without_flow_the_ground_keeps_its_temperature(resistance: float, entry: float, lean: float) -> None:
    trickle: dict[str, Any] = {"flow": Flow(mass_rate=1e-9, specific_heat=4000.0), "inlet_temperature": entry}
    trickle["inclination"] = lean
    ground = ROCKS(DEPTHS)
    assert np.allclose(up(resistance=resistance, **trickle)[:-1], ground[:-1], rtol=0.0, atol=1e-4)
    assert np.allclose(down(resistance=resistance, **trickle)[1:], ground[1:], rtol=0.0, atol=1e-4)
    _, annulus = around(ground_resistance=resistance, **trickle)
    assert np.allclose(annulus[1:-1], ground[1:-1], rtol=0.0, atol=1e-3)


@given(resistance=RESISTANCE, entry=ENTRY, lean=LEAN)
def test_a_very_large_rate_carries_the_inlet_temperature(resistance: float, entry: float, lean: float) -> None:
    flood: dict[str, Any] = {"flow": Flow(mass_rate=1e8, specific_heat=4000.0), "inlet_temperature": entry}
    flood["inclination"] = lean
    profiles = [up(resistance=resistance, **flood), down(resistance=resistance, **flood)]
    profiles += around(ground_resistance=resistance, **flood)
    assert np.allclose(profiles, entry, rtol=0.0, atol=0.01)


@given(entry=ENTRY, lean=LEAN)
def test_after_infinite_time_nothing_is_lost(entry: float, lean: float) -> None:
    never = formation_resistance(conductivity=2.0, diffusivity=1e-6, hole_radius=0.1, time=math.inf)
    assert np.isinf(never)
    for profile in (up, down):
        assert np.allclose(
            profile(resistance=never, inlet_temperature=entry, inclination=lean), entry, rtol=0.0, atol=1e-9
        )
    assert np.allclose(along(resistance=never, inlet_temperature=entry), entry, rtol=0.0, atol=1e-9)


@given(rate=RATE, resistance=RESISTANCE, entry=st.floats(370.0, 450.0), lean=LEAN)
def test_a_producer_is_between_the_ground_and_its_inlet(
    rate: float, resistance: float, entry: float, lean: float
) -> None:
    """And the warmer the faster it flows."""

    def at(mass_rate: float) -> Any:
        flow = Flow(mass_rate=mass_rate, specific_heat=4000.0)
        return up(flow=flow, resistance=resistance, inlet_temperature=entry, inclination=lean)

    found = at(rate)
    assert np.all(found >= ROCKS(DEPTHS) - 1e-9)
    assert np.all(found <= entry + 1e-9)
    assert np.all(np.diff(found) >= -1e-9)
    assert np.all(at(1.5 * rate) >= found - 1e-9)
    assert at(1.5 * rate)[0] > found[0]


@given(rate=RATE, resistance=RESISTANCE, entry=ENTRY, gradient=GRADIENT, lean=LEAN)
def test_no_profile_leaves_the_temperatures_it_comes_from(
    rate: float, resistance: float, entry: float, gradient: float, lean: float
) -> None:
    """Neither warmer than the warmest, nor colder than the coldest, of the ground passed and the inlet."""
    rocks = Geotherm(surface_tvd=0.0, surface_temperature=290.0, gradient=gradient)
    common: dict[str, Any] = {"flow": Flow(mass_rate=rate, specific_heat=4000.0), "geotherm": rocks}
    common |= {"inlet_temperature": entry, "inclination": lean}
    profiles = [up(resistance=resistance, **common), down(resistance=resistance, **common)]
    profiles += around(ground_resistance=resistance, **common)
    limits = [entry, *rocks(DEPTHS[[0, -1]])]
    assert np.min(profiles) >= min(limits) - 1e-7
    assert np.max(profiles) <= max(limits) + 1e-7


@given(middle=st.floats(0.0, 3000.0), rate=RATE, resistance=RESISTANCE)
def test_any_depth_on_the_way_can_be_the_inlet(middle: float, rate: float, resistance: float) -> None:
    same: dict[str, Any] = {"flow": Flow(mass_rate=rate, specific_heat=4000.0), "resistance": resistance}
    above, below = DEPTHS[middle >= DEPTHS], DEPTHS[middle <= DEPTHS]
    again = up(above, inlet_tvd=middle, inlet_temperature=up(middle, **same), **same)
    assert np.allclose(again, up(above, **same), rtol=0.0, atol=1e-8)
    again = down(below, inlet_tvd=middle, inlet_temperature=down(middle, **same), **same)
    assert np.allclose(again, down(below, **same), rtol=0.0, atol=1e-8)


@given(rate=RATE, resistance=RESISTANCE, lean=LEAN, entry=ENTRY)
@settings(deadline=None)
def test_any_path_and_table_agree_with_the_straight_hole(
    rate: float, resistance: float, lean: float, entry: float
) -> None:
    same: dict[str, Any] = {"flow": Flow(mass_rate=rate, specific_heat=4000.0), "resistance": resistance}
    same["inlet_temperature"] = entry
    end = 3000.0 / math.cos(lean)
    path = WellPath([0.0, end], [lean, lean], [0.0, 0.0])
    ground = Table(tvd=np.array([-10.0, 700.0, 3010.0]), value=ROCKS([-10.0, 700.0, 3010.0]))
    found = along(path=path, ground=ground, inlet_md=end, **same)
    assert np.allclose(found, up(inclination=lean, **same), rtol=0.0, atol=1e-6)
    found = along(path=path, ground=ground, inlet_md=0.0, **same)
    assert np.allclose(found, down(inclination=lean, **same), rtol=0.0, atol=1e-6)


def test_a_level_stretch_of_hole_counts_with_its_length() -> None:
    """A toe 1000 m from where the path turns level, all in ground of one temperature, and 1000 m up at A = 1000 m.

    370 K at the toe in ground of 310 K: 310 + 60 e^-1 = 332.07 K at the turn, then with 0.03 K/m: see the sum.
    """
    path = WellPath([0.0, 1000.0, 1000.0001, 2000.0001], [0.0, 0.0, math.pi / 2.0, math.pi / 2.0], [0.0] * 4)
    ground = Table(tvd=np.array([0.0, 1001.0]), value=np.array([280.0, 310.03]))
    found = along([0.0, 1000.0], path=path, ground=ground, inlet_md=2000.0001, inlet_temperature=370.0)
    turn = 310.0 + 60.0 * math.exp(-1.0)
    top = 280.0 + 30.0 * (1.0 - math.exp(-1.0)) + (turn - 310.0) * math.exp(-1.0)
    assert found.tolist() == pytest.approx([top, turn], abs=1e-4)


def test_ground_above_what_is_asked_for_does_not_matter() -> None:
    """A stream that goes up has not met it yet, so the table may begin at the sea floor."""
    whole = Table(tvd=np.array([0.0, 1000.0, 3000.0]), value=np.array([290.0, 277.0, 360.0]))
    part = Table(tvd=whole.tvd[1:], value=whole.value[1:])
    asked = DEPTHS[DEPTHS >= 1000.0]
    assert np.allclose(along(asked, ground=part), along(ground=whole)[DEPTHS >= 1000.0], rtol=0.0, atol=1e-9)


@given(rate=st.floats(0.5, 100.0), inner=st.floats(0.003, 1.0), outer=st.floats(0.01, 1.0), lean=LEAN)
def test_circulating_mud_keeps_the_heat_it_gains(rate: float, inner: float, outer: float, lean: float) -> None:
    """Mud out less mud in is the heat from the ground, summed along the annulus; ends as prescribed."""
    depths = np.linspace(0.0, 3000.0, 20_001)
    flow = Flow(mass_rate=rate, specific_heat=3500.0)
    pipe, annulus = around(depths, flow=flow, pipe_resistance=inner, ground_resistance=outer, inclination=lean)
    gained = np.trapezoid((ROCKS(depths) - annulus) / outer, depths / math.cos(lean))
    assert rate * 3500.0 * (annulus[0] - 300.0) == pytest.approx(gained, rel=1e-3, abs=1.0)
    assert pipe[0] == pytest.approx(300.0, abs=1e-8)
    assert pipe[-1] == pytest.approx(annulus[-1], abs=1e-8)


@given(rate=st.floats(1.0, 100.0), outer=RESISTANCE, lean=LEAN, entry=ENTRY)
def test_behind_an_insulated_string_mud_comes_up_like_a_producer(
    rate: float, outer: float, lean: float, entry: float
) -> None:
    same: dict[str, Any] = {"flow": Flow(mass_rate=rate, specific_heat=3500.0), "inlet_temperature": entry}
    pipe, annulus = around(pipe_resistance=1e7, ground_resistance=outer, inclination=lean, **same)
    assert np.allclose(pipe, entry, rtol=0.0, atol=1e-3)
    assert np.allclose(annulus, up(resistance=outer, inclination=lean, **same), rtol=0.0, atol=1e-3)


def test_circulation_cools_below_and_warms_above() -> None:
    pipe, annulus = around()
    ground = ROCKS(DEPTHS)
    assert annulus[-1] < ground[-1]
    assert annulus[0] > ground[0]
    assert np.all(annulus[:-1] > pipe[:-1])
    assert np.max(annulus) > annulus[-1]  # the warmest mud is on its way up, not at the bottom


# --- shapes and tables --------------------------------------------------------------------------------------


def test_rows_near_each_other_make_a_good_table() -> None:
    """Every 50 m with A = 1000 m: between rows a chord differs by h^2/(8 A^2) of what still decays."""
    rows = np.linspace(0.0, 3000.0, 61)
    table = Table(tvd=rows, value=up(rows))
    asked = np.linspace(0.0, 3000.0, 1001)
    assert np.max(np.abs(table(asked) - up(asked))) < (50.0 / 1000.0) ** 2 / 8.0 * 40.0


SAMPLES = 4
COLUMN = np.linspace(0.0, 1.0, SAMPLES)[:, np.newaxis]
SAMPLED: dict[str, Any] = {
    "flow": Flow(mass_rate=3.0 + COLUMN, specific_heat=4000.0 + 100.0 * COLUMN),
    "inlet_temperature": 350.0 + 20.0 * COLUMN,
}
STRAIGHT: dict[str, Any] = {
    "geotherm": Geotherm(
        surface_tvd=-5.0 * COLUMN, surface_temperature=280.0 + 5.0 * COLUMN, gradient=0.03 + 0.01 * COLUMN
    ),
    "inclination": 0.5 * COLUMN,
}


def picked(value: Any, k: int) -> Any:
    if isinstance(value, Flow | Geotherm):
        return type(value)(**{name: picked(part, k) for name, part in vars(value).items()})
    return float(value[k, 0]) if isinstance(value, np.ndarray) else value


@pytest.mark.parametrize(
    ("profile", "arguments"),
    [
        (up, {**STRAIGHT, "resistance": 0.05 + COLUMN, "inlet_tvd": 3000.0 + COLUMN}),
        (down, {**STRAIGHT, "resistance": 0.05 + COLUMN, "inlet_tvd": -COLUMN}),
        (along, {"resistance": 0.05 + COLUMN}),
        (around, {**STRAIGHT, "pipe_resistance": 0.02 + COLUMN, "ground_resistance": 0.1 + COLUMN,
                  "top_tvd": -COLUMN, "bottom_tvd": 3000.0 + COLUMN}),
    ],
)  # fmt: skip
def test_leading_axes_equal_looping(profile: Any, arguments: dict[str, Any]) -> None:
    """Also with depths that differ between samples."""
    arguments = SAMPLED | arguments
    for depths in (DEPTHS, DEPTHS - 10.0 * COLUMN * (DEPTHS > 0.0)):
        whole = np.array(profile(depths, **arguments))
        each = np.broadcast_to(depths, (SAMPLES, DEPTHS.size))
        looped = [profile(each[k], **{name: picked(v, k) for name, v in arguments.items()}) for k in range(SAMPLES)]
        assert whole.shape[-2:] == (SAMPLES, DEPTHS.size)
        assert np.allclose(np.moveaxis(whole, -2, 0), looped, rtol=0.0, atol=1e-9)


@pytest.mark.parametrize("profile", [up, down, along])
@pytest.mark.parametrize(
    ("tvd", "resistance", "shape"),
    [
        (1000.0, 0.05, ()),
        ([1000.0], 0.05, (1,)),
        (1000.0, [[0.05], [0.1]], (2, 1)),
        ([1000.0, 50.0, 2000.0], [[0.05], [0.1]], (2, 3)),
        (np.zeros((2, 3)), 0.05, (2, 3)),
        (np.zeros((2, 3)), np.full((5, 1, 1), 0.05), (5, 2, 3)),
    ],
)
def test_shapes(profile: Any, tvd: Any, resistance: Any, shape: tuple[int, ...]) -> None:
    assert profile(tvd, resistance=np.array(resistance)).shape == shape


def test_order_of_depths_does_not_matter() -> None:
    shuffled = np.random.default_rng(1).permutation(DEPTHS.size)
    assert np.array_equal(along(DEPTHS[shuffled]), along()[shuffled])


def test_only_the_inlet_asked_for() -> None:
    assert float(along(3000.0)) == float(up(3000.0)) == 380.0
    assert float(along(0.0, inlet_md=0.0)) == 380.0


# --- what is refused ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (lambda: transient_heat_function(0.0), "dimensionless_time must be a number above 0, got 0"),
        (lambda: transient_heat_function([1.0, np.nan]), "dimensionless_time must be .*, got nan"),
        (lambda: transient_heat_function(5.0, "line source"), "at least 10 for a line source, got 5"),
        (lambda: transient_heat_function(5.0, "late"), "form = 'late': need 'all times' or 'line source'"),  # type: ignore[arg-type]
        (lambda: wall_resistance(0.0, 0.1), "heat_transfer_coefficient must be a number above 0"),
        (lambda: wall_resistance(10.0, math.inf), "radius must be a finite number above 0 m, got inf"),
        (
            lambda: formation_resistance(conductivity=-2.0, diffusivity=1e-6, hole_radius=0.1, time=1.0),
            r"conductivity must be a finite number above 0 W/\(m K\), got -2",
        ),
        (lambda: Flow(mass_rate=0.0, specific_heat=4000.0), "mass_rate must be a finite number above 0 kg/s, got 0"),
        (
            lambda: Geotherm(surface_tvd=0.0, surface_temperature=15.0, gradient=0.03),
            "surface_temperature must be from 200 to 1500 K, got 15",
        ),
        (
            lambda: Geotherm(surface_tvd=0.0, surface_temperature=288.0, gradient=3.0),
            r"gradient must be from -1 to 1 K/m \(not degC for each 100 m\), got 3",
        ),
        (lambda: up(3001.0), "tvd must not be below the inlet at 3000 m, got 3001 m"),
        (lambda: down(-1.0), "tvd must not be above the inlet at 0 m, got -1 m"),
        (lambda: up(inclination=30.0), "inclination must be from 0 to 1.57.* rad, got 30"),
        (lambda: up(inlet_temperature=100.0), "inlet_temperature must be from 200 to 1500 K, got 100"),
        (lambda: up(resistance=0.0), "resistance must be a number above 0 K m/W, got 0"),
        (lambda: up([0.0, np.nan]), "tvd must be a finite number of m, got nan"),
        (lambda: around(3100.0), "tvd must be from top_tvd to bottom_tvd, 0 to 3000 m, got 3100 to 3100 m"),
        (lambda: around(pipe_resistance=math.inf), "pipe_resistance must be a finite number above 0 K m/W, got inf"),
        (lambda: around(ground_resistance=math.inf), "ground_resistance must be a finite number above 0"),
        (lambda: along(inlet_md=1500.0), "all above or all below the inlet at 1500 m md, got 0 to 3000 m"),
        (
            lambda: along(ground=Table(tvd=np.array([0.0, 2500.0]), value=np.array([280.0, 350.0]))),
            "ground must reach from 0 to 3000 m tvd, got a table from 0 to 2500 m",
        ),
        (
            lambda: along(ground=Table(tvd=np.array([0.0, 3000.0]), value=np.array([15.0, 90.0]))),
            "ground must be from 200 to 1500 K, got",
        ),
        (lambda: along(resistance=np.full(31, 0.05)), r"flow and resistance must be scalar or of shape \(..., 1\)"),
        (lambda: along(inlet_md=-1.0), "inlet_md must be a finite number of at least 0 m, got -1"),
    ],
)
def test_wrong_arguments_are_named(wrong: Any, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        wrong()
