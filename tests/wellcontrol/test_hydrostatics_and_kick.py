"""Well control by hydrostatics: each formula beside a second route, limits and invariants by hypothesis."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from casingloads import Fluid, Gas, column, column_through
from casingloads.arrays import Floats
from casingloads.constants import ATMOSPHERE, GRAVITY, PSI
from casingloads.pressure.gas import sutton_pseudocritical, z_dranchuk_abou_kassem
from casingloads.wellcontrol.hydrostatics import (
    adjusted_leak_off,
    allowable_surface_pressure,
    density_without_riser,
    formation_pressure,
    kill_density,
    mud_window,
    riser_margin,
    shut_in_pressure,
)
from casingloads.wellcontrol.kick import (
    Annulus,
    CirculatedKick,
    KickTolerance,
    annular_capacity,
    gas_volume,
    influx_height,
    kick_tolerance,
    two_part_annulus,
)

DEPTH = np.array([2000.0, 2300.0, 2600.0, 3000.0])
FRACTURE = np.array([34e6, 40e6, 46e6, 56e6])
HOLE = two_part_annulus(2000.0, 3000.0, around_pipe=0.06, around_collars=0.04, collars=150.0)
G_MUD, G_GAS = 13e3, 2e3

density = st.floats(1000.0, 2200.0)


def tolerance(fracture: Any = FRACTURE, **changed: Any) -> KickTolerance:
    given_ = {"formation_pressure": 42e6, "mud_gradient": G_MUD, "influx_gradient": G_GAS, "annulus": HOLE}
    return kick_tolerance(DEPTH, fracture, **{**given_, **changed})


# --- surface pressure and mud -----------------------------------------------------------------------------------------


def test_weakest_depth_need_not_be_the_shoe() -> None:
    """9.80665 x (1550 - 1300) x 1900 = 4.658 MPa at 1900 m, against 9.80665 x (1700 - 1300) x 1500 = 5.884 MPa."""
    depth = np.array([1500.0, 1900.0, 2800.0])
    fracture = GRAVITY * np.array([1700.0, 1550.0, 1850.0]) * depth
    found = allowable_surface_pressure(fracture, GRAVITY * 1300.0 * depth)
    assert found.value == pytest.approx(9.80665 * 250.0 * 1900.0)
    assert found.index == 1


@given(density, density)
def test_denser_mud_allows_less_at_the_surface(one: float, other: float) -> None:
    light, dense = sorted((one, other))
    allowed = [float(allowable_surface_pressure(FRACTURE, GRAVITY * rho * DEPTH).value) for rho in (light, dense)]
    assert allowed[1] <= allowed[0]


def test_samples_of_mud_give_samples_of_allowable_pressure() -> None:
    muds = np.array([[1100.0], [1300.0], [1500.0]])
    found = allowable_surface_pressure(FRACTURE, GRAVITY * muds * DEPTH)
    assert found.value.shape == (3,)
    for mud, value in zip(muds[:, 0], found.value, strict=True):
        assert value == allowable_surface_pressure(FRACTURE, GRAVITY * mud * DEPTH).value


@given(st.floats(0.0, 30e6), st.floats(100.0, 6000.0), density, density)
def test_leak_off_adjusted_breaks_the_shoe_at_the_same_pressure(
    test: float, shoe: float, tested: float, planned: float
) -> None:
    adjusted = adjusted_leak_off(test, shoe, tested, planned)
    broken = column(Fluid(name="old", density=tested), pressure=test).pressure(shoe)
    with_new = column(Fluid(name="new", density=planned), pressure=float(adjusted)).pressure(shoe)
    assert float(with_new) == pytest.approx(float(broken), rel=1e-12)
    assert float(allowable_surface_pressure([broken], [GRAVITY * planned * shoe]).value) == pytest.approx(
        float(adjusted), abs=1e-6 * float(broken)
    )


@given(st.floats(0.0, 400.0), st.floats(500.0, 8000.0), density)
def test_kill_mud_balances_what_shuts_in(intensity: float, depth: float, mud: float) -> None:
    shut_in = shut_in_pressure(intensity, depth)
    killed = kill_density(shut_in, mud, depth)
    assert killed == pytest.approx(mud + intensity, rel=1e-12)
    there = formation_pressure(shut_in, mud, depth)
    assert float(column(Fluid(name="kill", density=float(killed))).pressure(depth)) == pytest.approx(float(there))


@given(st.floats(5.0, 40.0), st.floats(50.0, 3000.0), st.floats(100.0, 5000.0), density)
def test_mud_with_riser_margin_under_the_sea_presses_as_before(
    air_gap: float, water: float, below: float, mud: float
) -> None:
    wellhead = air_gap + water
    depth = wellhead + below
    heavier = mud + float(riser_margin(mud, 1025.0, depth, wellhead, water))
    sea = column(Fluid(name="sea", density=1025.0), top=air_gap)
    without = sea.over(Fluid(name="heavier", density=heavier), contact=wellhead).pressure(depth)
    before = column(Fluid(name="mud", density=mud)).pressure(depth)
    assert float(without) == pytest.approx(float(before), rel=1e-9)
    assert density_without_riser(before, depth, sea.pressure(wellhead), wellhead) == pytest.approx(heavier)


def test_mud_window_names_the_depths_of_least_margin() -> None:
    pore, fracture = np.array([20e6, 29e6, 30e6]), np.array([26e6, 35e6, 33e6])
    found = mud_window(pore, fracture, np.array([22e6, 28e6, 34e6]))
    assert found.overbalance.tolist() == [2e6, -1e6, 4e6]
    assert found.fracture_margin.tolist() == [4e6, 7e6, -1e6]
    assert (float(found.least_overbalance.value), int(found.least_overbalance.index)) == (-1e6, 1)
    assert (float(found.least_fracture_margin.value), int(found.least_fracture_margin.index)) == (-1e6, 2)


# --- kick tolerance ---------------------------------------------------------------------------------------------------


def test_annulus_of_two_parts_by_hand() -> None:
    """150 m around the collars and 50 m around pipe: 150 x 0.04 + 50 x 0.06 = 9 m3."""
    assert float(HOLE.between(2800.0, 3000.0)) == pytest.approx(9.0)
    assert float(HOLE.between(2000.0, 3000.0)) == pytest.approx(850.0 * 0.06 + 6.0)
    assert annular_capacity(0.2159, 0.127) == pytest.approx(math.pi / 4.0 * (0.2159**2 - 0.127**2))
    all_collars = two_part_annulus(2000.0, 2100.0, around_pipe=0.06, around_collars=0.04, collars=150.0)
    assert float(all_collars.between(2000.0, 2100.0)) == pytest.approx(4.0)


def test_influx_of_the_height_found_just_breaks_the_depth() -> None:
    height = float(influx_height(700.0, 40e6, 45e6, G_MUD, G_GAS))
    gas = column_through(Gas(G_GAS), depth=3000.0, pressure=45e6)
    top = 3000.0 - height
    mud = column_through(Gas(G_MUD), depth=top, pressure=float(gas.pressure(top)))
    assert float(mud.pressure(2300.0)) == pytest.approx(40e6)


def shut_in_profile(height: float, formation: float, z: Floats) -> Floats:
    """Return the pressure over *height* of gas at the bottom, integrated up from the formation's."""
    gas = np.minimum(3000.0 - z, height)
    return np.asarray(formation - G_GAS * gas - G_MUD * (3000.0 - z - gas))


fractures = st.lists(st.floats(11.5e3, 20e3), min_size=4, max_size=4)


@given(fractures, st.floats(0.0, 6e6))
def test_shut_in_tolerance_is_the_most_that_breaks_nothing(gradients: list[float], intensity: float) -> None:
    """A second route: the pressure along the whole hole under that much gas, against the fracture pressure."""
    fracture, formation = DEPTH * np.array(gradients), 3000.0 * G_MUD + intensity
    found = tolerance(fracture, formation_pressure=formation)
    height = float(found.height)
    if height > 0.0:
        assert np.all(shut_in_profile(height, formation, DEPTH) <= fracture + 1.0)
    more = height + 1.0
    if not found.unlimited:
        assert np.any(shut_in_profile(more, formation, DEPTH) > fracture)
    else:
        assert np.all(shut_in_profile(1000.0, formation, DEPTH) <= fracture)
        assert height == 1000.0
    assert float(found.shut_in) == pytest.approx(float(HOLE.between(3000.0 - height, 3000.0)))


def test_circulated_tolerance_breaks_the_depth_as_the_top_arrives() -> None:
    """A second route: the bubble's own formula, which takes the gas law at its top and not at mid-height."""
    uniform = two_part_annulus(2000.0, 3000.0, around_pipe=0.06, around_collars=0.06, collars=0.0)
    found = tolerance(annulus=uniform)
    kick = CirculatedKick(
        bottom=3000.0, bottom_pressure=42e6, mud_above=G_MUD, mud_below=G_MUD, influx_gradient=G_GAS,
        influx_volume=found.circulated, influx_pressure=42e6, capacity=0.06,
    )  # fmt: skip
    at_top = [float(kick.top_pressure(z)) - p for z, p in zip(DEPTH[:3], FRACTURE[:3], strict=True)]
    assert found.circulated_at == 2000.0
    assert at_top[0] == pytest.approx(0.0, abs=0.01 * 34e6)
    assert max(at_top[1:]) < -1e6


def test_circulated_tolerance_by_hand() -> None:
    """At 2000 m: h = (13000 x 1000 - 8e6) / 11000 = 454.55 m of 0.06 m3/m, from mid-height 34.4545 to 41.5455 MPa."""
    found = tolerance()
    h = (13_000.0 * 1000.0 - (42e6 - 34e6)) / 11_000.0
    assert found.height == pytest.approx(h)
    assert found.shut_in == pytest.approx(150.0 * 0.04 + (h - 150.0) * 0.06)
    ratio = (34e6 + 1000.0 * h + 101_325.0) / (42e6 - 1000.0 * h + 101_325.0)
    assert found.circulated == pytest.approx(0.06 * h * ratio)
    assert found.volume == found.circulated
    assert found.depth == 2000.0


def worst_excess(volume: float) -> float:
    """Return by how much a bubble on its way up breaks a depth at worst, in all its places; negative: nowhere.

    Each place by bracketing: the height at which gas law (at mid-height) and the columns above and below agree.
    """
    started = float(brentq(lambda h: float(HOLE.between(3000.0 - h, 3000.0)) - volume, 0.0, 1000.0))
    product = volume * (42e6 - G_GAS * started / 2.0 + ATMOSPHERE)
    worst = -np.inf
    for top in np.linspace(2000.0, 3000.0 - started, 101):

        def excess(h: float, top: float = top) -> float:
            middle = 42e6 - G_MUD * (3000.0 - top - h) - G_GAS * h / 2.0 + ATMOSPHERE
            return middle * float(HOLE.between(top, top + h)) - product

        h = float(brentq(excess, 0.0, 3000.0 - top + 1e-3))
        gas = np.clip(top + h - DEPTH, 0.0, h)
        pressure = 42e6 - G_GAS * gas - G_MUD * (3000.0 - DEPTH - gas)
        pressure = np.where(top + h < DEPTH, 42e6 - G_MUD * (3000.0 - DEPTH), pressure)
        worst = max(worst, float(np.max(pressure - FRACTURE)))
    return worst


def test_no_place_of_the_bubble_on_its_way_up_is_worse_than_the_two_ends() -> None:
    """A second route: the whole way up, past the collars. The volume found breaks nothing, 2 % more does."""
    volume = float(tolerance().volume)
    assert abs(worst_excess(volume)) < 0.003 * 34e6  # the source takes the same height at the bottom
    assert worst_excess(0.98 * volume) < 0.0 < worst_excess(1.02 * volume)


def test_a_bubble_that_reaches_down_to_the_collars_counts_their_annulus() -> None:
    """39 MPa at 2000 m: h = (13000 x 1000 - 3e6) / 11000 = 909.09 m, of which 59.09 m around the collars."""
    found = tolerance(FRACTURE + np.array([5e6, 9e6, 9e6, 9e6]))
    h = (13_000.0 * 1000.0 - 3e6) / 11_000.0
    at_shoe = 850.0 * 0.06 + (h - 850.0) * 0.04
    ratio = (39e6 + 1000.0 * h + ATMOSPHERE) / (42e6 - 1000.0 * h + ATMOSPHERE)
    assert found.circulated_at == 2000.0
    assert found.circulated == pytest.approx(at_shoe * ratio)


def test_swabbed_influx_is_allowable_pressure_over_the_difference_of_gradients() -> None:
    mud = 13.5e3
    found = tolerance(formation_pressure=mud * 3000.0, mud_gradient=mud)
    allowed = allowable_surface_pressure(FRACTURE, mud * DEPTH)
    assert found.height == pytest.approx(float(allowed.value) / (mud - G_GAS))
    assert found.shut_in_at == DEPTH[int(allowed.index)]


@given(fractures, st.floats(0.0, 400.0), st.floats(0.0, 400.0))
def test_larger_intensity_leaves_a_smaller_tolerance(gradients: list[float], one: float, other: float) -> None:
    small, large = (
        tolerance(DEPTH * np.array(gradients), formation_pressure=3000.0 * (G_MUD + GRAVITY * intensity))
        for intensity in sorted((one, other))
    )
    assert large.volume <= small.volume * (1.0 + 1e-9)
    assert not (large.unlimited and not small.unlimited)


def test_unlimited_is_a_flag_with_the_whole_hole_and_no_infinity() -> None:
    found = tolerance(FRACTURE + 20e6)
    assert bool(found.unlimited)
    assert found.shut_in == pytest.approx(float(HOLE.between(2000.0, 3000.0)))
    assert found.height == 1000.0
    assert all(np.all(np.isfinite(values)) for values in found)


def test_what_breaks_without_influx_has_no_tolerance() -> None:
    found = tolerance(FRACTURE - 6e6)
    assert (found.height, found.volume, bool(found.unlimited)) == (0.0, 0.0, False)
    weak_bottom = tolerance(np.array([34e6, 40e6, 46e6, 41e6]))  # formation of 42 MPa in rock that breaks at 41
    assert (weak_bottom.volume, weak_bottom.depth) == (0.0, 3000.0)


def test_tolerance_of_samples_is_that_of_each() -> None:
    formation = np.array([[39e6], [42e6], [46e6]])
    fracture = FRACTURE + np.array([[0.0], [30e6], [0.0]])
    found = tolerance(fracture, formation_pressure=formation)
    assert found.volume.shape == (3,)
    for i in range(3):
        alone = tolerance(fracture[i], formation_pressure=float(formation[i, 0]))
        for together, single in zip(found, alone, strict=True):
            assert together[i] == single


def test_cooler_gas_on_its_way_up_allows_more() -> None:
    """With zeta 0.8 at the depth that breaks, the same bubble there was a quarter larger at the bottom."""
    assert tolerance(zeta=0.8).circulated == pytest.approx(tolerance().circulated / 0.8)
    assert tolerance(zeta=0.8).shut_in == tolerance().shut_in


def test_influx_in_a_level_end_of_the_hole_takes_no_height() -> None:
    level = Annulus(tvd=np.array([2000.0, 3000.0, 3000.0]), volume=np.array([0.0, 60.0, 90.0]))
    found = tolerance(annulus=level)
    assert found.shut_in == pytest.approx(30.0 + 0.06 * float(found.height))


# --- a kick on its way up ---------------------------------------------------------------------------------------------


def kick(**changed: Any) -> CirculatedKick:
    usual = {
        "bottom": 3000.0, "bottom_pressure": 42e6, "mud_above": G_MUD, "mud_below": G_MUD, "influx_gradient": G_GAS,
        "influx_volume": 5.0, "influx_pressure": 42e6, "capacity": 0.05,
    }  # fmt: skip
    return CirculatedKick(**{**usual, **changed})


kicks = st.builds(
    kick,
    bottom_pressure=st.floats(30e6, 60e6),
    influx_gradient=st.floats(0.0, 4e3),
    mud_below=st.floats(10e3, 20e3),
    influx_volume=st.floats(0.1, 10.0),
    capacity=st.floats(0.03, 0.3),
)
rising = st.floats(0.0, 2400.0)


@given(kicks, rising, st.floats(0.6, 1.2))
def test_bubble_satisfies_gas_law_and_hydrostatics(bubble: CirculatedKick, top: float, zeta: float) -> None:
    """A second route: the height at which gas law and the two columns below the top agree, by bracketing."""
    above = bubble.bottom - top
    stretch = (bubble.influx_pressure + ATMOSPHERE) * bubble.influx_volume * zeta / bubble.capacity

    def excess(height: float) -> float:
        below = bubble.influx_gradient * height + bubble.mud_below * (above - height)
        return float(stretch / height + below - bubble.bottom_pressure - ATMOSPHERE)

    height = float(brentq(excess, 1e-6, 1e8, xtol=1e-10, rtol=1e-14))  # falls all the way: one root
    if height > above:
        with pytest.raises(ValueError, match="longer than the hole"):
            bubble.top_pressure(top, zeta)
        return
    assert bubble.top_pressure(top, zeta) + ATMOSPHERE == pytest.approx(stretch / height, rel=1e-9)
    assert bubble.volume(top, zeta) == pytest.approx(bubble.capacity * height, rel=1e-9)


def fitting(bubble: CirculatedKick, tops: Floats) -> Floats:
    """Return those depths of the top at which the bubble is not longer than the hole below it."""
    kept = []
    for top in tops:
        try:
            bubble.top_pressure(top)
        except ValueError:
            continue
        kept.append(top)
    return np.array(kept)


@settings(deadline=None)
@given(kicks)
def test_bubble_is_between_its_limits_and_grows_as_it_rises(bubble: CirculatedKick) -> None:
    tops = fitting(bubble, np.linspace(0.0, 2900.0, 12))
    if tops.size == 0:
        return
    pressure, volume = bubble.top_pressure(tops), bubble.volume(tops)
    above = bubble.bottom - tops
    assert np.all(pressure >= bubble.bottom_pressure - bubble.mud_below * above - 1.0)  # mud all the way down
    assert np.all(pressure <= bubble.bottom_pressure - bubble.influx_gradient * above + 1.0)  # gas all the way down
    assert np.all(np.diff(volume) <= 1e-9 * volume[:-1])


def test_pressure_at_a_fixed_depth_rises_until_the_bubble_arrives_then_falls() -> None:
    tops = np.linspace(float(kick().deepest_top) - 1.0, 0.0, 200)
    shoe = kick().pressure(2000.0, tops)
    below = tops > 2000.0
    assert np.all(np.diff(shoe[below]) > 0.0)
    arrived = float(kick().pressure(2000.0, 2000.0))
    assert np.all(shoe <= arrived + 1e-6)
    assert np.all(np.diff(shoe[~below]) <= 1e-6)
    gone = 42e6 - G_MUD * 1000.0
    assert shoe[-1] == pytest.approx(gone)  # bubble past the shoe: mud down to the bottom
    wellhead = kick().pressure(10.0, tops)
    assert np.all(np.diff(wellhead[tops > 10.0]) > 0.0)


def test_pressure_is_continuous_past_the_bubble() -> None:
    top = 1500.0
    length = float(kick().volume(top)) / 0.05
    for edge in (top, top + length):
        above, below = kick().pressure([edge - 1e-6, edge + 1e-6], top)
        assert above == pytest.approx(below, abs=1.0)
    assert kick().pressure(3000.0, top) == 42e6
    assert kick().pressure(top, top) == kick().top_pressure(top)


@given(st.floats(0.0, 2500.0))
def test_kill_mud_following_gives_less_pressure_than_original_mud(top: float) -> None:
    kill = 42e6 / 3000.0
    first, waited = kick(), kick(mud_below=kill)
    assert waited.top_pressure(top) <= first.top_pressure(top)
    assert waited.pressure(0.0, top) <= first.pressure(0.0, top)
    assert waited.pressure(0.0, top) == pytest.approx(float(waited.top_pressure(top)) - G_MUD * top)  # original above


def test_bubble_that_stands_on_the_bottom() -> None:
    bubble = kick()
    deepest = float(bubble.deepest_top)
    height = float(bubble.volume(deepest)) / 0.05
    assert deepest + height == pytest.approx(3000.0, abs=1e-3)
    assert bubble.top_pressure(deepest) == pytest.approx(42e6 - G_GAS * height, rel=1e-9)
    with pytest.raises(ValueError, match="longer than the hole below it"):
        bubble.top_pressure(deepest + 1.0)


def test_gas_at_surface_over_kill_mud_is_the_rule_of_thumb() -> None:
    """Without b and gas weight p = sqrt(12/231) sqrt(P V KWM / C) = 0.228 sqrt(...), psia, bbl, ppg, bbl/ft.

    Trade books print 0.2 (secondary copy); 0.228 is the ideal gas that stays as warm.
    """
    barrel, foot, ppg = 42 * 231 * 0.0254**3, 0.3048, 0.45359237 / (231 * 0.0254**3)
    P, V, kill, C, depth = 6000.0, 20.0, 12.0, 0.05, 10_000.0
    formation = kill * ppg * GRAVITY * depth * foot - ATMOSPHERE  # b is then nothing, in absolute pressure
    bubble = kick(
        bottom=depth * foot, bottom_pressure=formation, influx_pressure=P * PSI - ATMOSPHERE, influx_gradient=0.0,
        mud_below=kill * ppg * GRAVITY, influx_volume=V * barrel, capacity=C * barrel / foot,
    )  # fmt: skip
    found = (float(bubble.top_pressure(0.0)) + ATMOSPHERE) / PSI
    assert found == pytest.approx(math.sqrt(12.0 / 231.0) * math.sqrt(P * V * kill / C), rel=1e-9)
    assert math.sqrt(12.0 / 231.0) == pytest.approx(0.228, abs=5e-4)


def test_real_gas_through_zeta() -> None:
    """A second route: pressure, compressibility factor and height of a 0.65 gas solved together at 1000 m."""
    critical_pressure, critical_temperature = sutton_pseudocritical(0.65)

    def z_t(pressure_abs: float, temperature: float) -> float:
        ppr, tpr = pressure_abs / critical_pressure, temperature / critical_temperature
        return float(z_dranchuk_abou_kassem(ppr, tpr)) * temperature

    deep, here = z_t(42e6 + ATMOSPHERE, 370.0), 310.0

    def excess(p: float) -> float:
        height = (42e6 + ATMOSPHERE) * 5.0 * z_t(p, here) / deep / 0.05 / p
        return p + G_GAS * height + G_MUD * (2000.0 - height) - 42e6 - ATMOSPHERE

    p = float(brentq(excess, 5e6, 41e6))
    assert kick().top_pressure(1000.0, z_t(p, here) / deep) + ATMOSPHERE == pytest.approx(p, rel=1e-9)


def test_samples_of_kicks_broadcast_against_depths_of_the_top() -> None:
    volumes, tops = np.array([[2.0], [5.0], [8.0]]), np.array([2000.0, 1000.0, 0.0])
    found = kick(influx_volume=volumes).pressure(500.0, tops)
    assert found.shape == (3, 3)
    for i, volume in enumerate(volumes[:, 0]):
        for j, top in enumerate(tops):
            assert found[i, j] == kick(influx_volume=float(volume)).pressure(500.0, float(top))


def test_gas_law_is_in_absolute_pressure() -> None:
    """One cubic metre at 9 bar gauge (10.01 bar absolute) is 9.88 m3 at the surface, not infinitely many."""
    assert gas_volume(1.0, 9e5, 0.0) == pytest.approx((9e5 + 101_325.0) / 101_325.0)
    assert gas_volume(gas_volume(2.0, 30e6, 5e6, 0.9), 5e6, 30e6, 1.0 / 0.9) == pytest.approx(2.0)


# --- what makes no sense ----------------------------------------------------------------------------------------------


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="influx_gradient must be below mud_gradient, got one 500 Pa/m above it"):
        influx_height(100.0, 30e6, 30e6, 10e3, 10.5e3)
    with pytest.raises(ValueError, match="influx_gradient must be below mud_below"):
        kick(influx_gradient=14e3)
    with pytest.raises(ValueError, match="capacity above 0"):
        kick(capacity=0.0)
    with pytest.raises(ValueError, match=r"pipe must be 0 to less than the hole of 0\.2 m, got 0\.25 m"):
        annular_capacity(0.2, 0.25)
    with pytest.raises(ValueError, match="bottom > top"):
        two_part_annulus(2000.0, 1000.0, around_pipe=0.06, around_collars=0.04, collars=0.0)
    with pytest.raises(ValueError, match="cannot stand on this bottom"):
        _ = kick(influx_volume=1e5).deepest_top
