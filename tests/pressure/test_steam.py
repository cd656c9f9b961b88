"""Water and steam against CoolProp, once by the same formulation and once by the reference equation of state."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

import casingloads as cl
from casingloads.arrays import Floats
from casingloads.constants import ATMOSPHERE, GRAVITY
from casingloads.pressure.steam import (
    MOST_STEAM,
    HotWater,
    Steam,
    liquid_density,
    saturation_pressure,
    saturation_temperature,
    steam_density,
)

DEPTHS = np.array([0.0, 50.0, 300.0, 1000.0, 1700.0, 2000.0])


def uniform(celsius: float) -> cl.Table:
    return cl.Table(tvd=np.zeros(1), value=np.array([celsius + 273.15]))


# --- against the same formulation, another implementation -------------------------------------------------------------


@pytest.mark.parametrize("kelvin", np.linspace(273.16, 647.09, 30))
def test_boiling_is_that_of_the_formulation(kelvin: float) -> None:
    expected = PropsSI("P", "T", kelvin, "Q", 0, "IF97::Water")
    assert saturation_pressure(kelvin) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("kelvin", [273.16, 290.0, 330.0, 373.15, 450.0, 520.0, 570.0, 620.0, 623.15])
@pytest.mark.parametrize("beyond", [1.0001, 1.5, 5.0])
def test_liquid_is_that_of_the_formulation(kelvin: float, beyond: float) -> None:
    pressure = min(beyond * float(saturation_pressure(kelvin)), 100e6)
    for p in (pressure, 60e6, 100e6):
        assert liquid_density(p, kelvin) == pytest.approx(PropsSI("D", "T", kelvin, "P", p, "IF97::Water"), rel=1e-12)


@pytest.mark.parametrize("kelvin", [330.0, 373.15, 450.0, 520.0, 570.0, 620.0, 623.15, 700.0, 900.0, 1070.0])
@pytest.mark.parametrize("share", [0.05, 0.5, 0.9, 0.9999])
def test_steam_is_that_of_the_formulation(kelvin: float, share: float) -> None:
    p = share * float(saturation_pressure(min(kelvin, 623.15)))
    assert steam_density(p, kelvin) == pytest.approx(PropsSI("D", "T", kelvin, "P", p, "IF97::Water"), rel=1e-12)


# --- against the reference equation of state --------------------------------------------------------------------------


@pytest.mark.parametrize("kelvin", [280.0, 350.0, 420.0, 490.0, 550.0, 600.0, 623.0])
def test_the_formulation_is_close_to_the_reference_equation(kelvin: float) -> None:
    """IAPWS-95 on the boiling curve: pressure within 0.03 %, both densities within 0.05 %."""
    boiling = float(saturation_pressure(kelvin))
    assert boiling == pytest.approx(PropsSI("P", "T", kelvin, "Q", 0, "Water"), rel=3e-4)
    assert liquid_density(boiling, kelvin) == pytest.approx(PropsSI("D", "T", kelvin, "Q", 0, "Water"), rel=5e-4)
    assert steam_density(boiling, kelvin) == pytest.approx(PropsSI("D", "T", kelvin, "Q", 1, "Water"), rel=5e-4)


def test_water_expansion_has_the_same_water() -> None:
    """The polynomial for trapped annuli, fitted to the reference equation, where both hold."""
    from casingloads.annuli.expansion import water_boiling_pressure, water_density

    kelvin = np.linspace(280.0, 520.0, 13)
    assert water_density(50e6, kelvin) == pytest.approx(liquid_density(50e6, kelvin), rel=3e-4)
    assert water_boiling_pressure(kelvin) == pytest.approx(saturation_pressure(kelvin), rel=3e-4)


# --- what is true of them ---------------------------------------------------------------------------------------------


@given(st.floats(273.15, 647.096))
def test_boiling_temperature_inverts_boiling_pressure(kelvin: float) -> None:
    assert saturation_temperature(saturation_pressure(kelvin)) == pytest.approx(kelvin, abs=1e-6)


@given(st.floats(273.15, 1073.15))
def test_thin_steam_is_an_ideal_gas(kelvin: float) -> None:
    assert steam_density(1.0, kelvin) == pytest.approx(1.0 / (461.526 * kelvin), rel=1e-5)


@given(st.floats(300.0, 623.15), st.floats(0.01, 1.0))
def test_steam_is_lighter_than_water_and_both_grow_with_pressure(kelvin: float, share: float) -> None:
    boiling = float(saturation_pressure(kelvin))
    thin, dense = (float(steam_density(p, kelvin)) for p in (0.5 * boiling, boiling))
    light, heavy = (float(liquid_density(p, kelvin)) for p in (boiling, boiling + share * 50e6))
    assert 0.0 < thin < dense < light < heavy


def test_broadcast_equals_one_at_a_time() -> None:
    pressure, kelvin = np.array([[2e6], [5e6]]), np.array([300.0, 400.0, 480.0])
    found = liquid_density(pressure, kelvin)
    assert found.shape == (2, 3)
    assert found[1, 2] == liquid_density(5e6, 480.0)
    assert steam_density(pressure, np.array([550.0, 600.0])).shape == (2, 2)
    assert saturation_pressure(kelvin).shape == (3,)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: saturation_pressure(650.0), "temperature of boiling = 650 K"),
        (lambda: saturation_temperature(100.0), "absolute pressure of boiling = 100 Pa"),
        (lambda: liquid_density(1e6, 500.0), r"water boils at 1e\+06 Pa absolute and 500 K"),
        (lambda: liquid_density(50e6, 630.0), "temperature of water = 630 K"),
        (lambda: liquid_density(200e6, 300.0), r"absolute pressure of water = 2e\+08 Pa"),
        (lambda: steam_density(5e6, [600.0, 500.0]), r"steam condenses at 5e\+06 Pa absolute and 500 K"),
        (lambda: steam_density(20e6, 700.0), r"absolute pressure of steam = 2e\+07 Pa"),
        (lambda: steam_density(1e5, 2000.0), "temperature of steam = 2000 K"),
    ],
)
def test_out_of_range(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()


# --- columns ----------------------------------------------------------------------------------------------------------


def marched(density: Callable[[float], float], top: float) -> Floats:
    """Return the pressure at `DEPTHS` under *top* (gauge) by an integrator of scipy, *density* at absolute pressure."""

    def slope(tvd: float, pressure: Floats) -> list[float]:
        return [GRAVITY * density(float(pressure[0]) + ATMOSPHERE)]

    span, start = [0.0, float(DEPTHS[-1])], np.array([top])
    found = solve_ivp(slope, span, start, t_eval=DEPTHS, method="LSODA", rtol=1e-9, atol=1.0)
    return np.asarray(found.y[0], dtype=np.float64)


def test_column_of_dry_steam() -> None:
    expected = marched(lambda p: PropsSI("D", "P", p, "Q", 1, "IF97::Water"), 3e6)
    assert Steam().carry(DEPTHS, 0.0, 3e6) == pytest.approx(expected, rel=1e-6)


def test_column_of_superheated_steam() -> None:
    """300 degC under 2 MPa: steam boils at 215 degC, so all of it is superheated, and lighter than dry steam."""
    expected = marched(lambda p: PropsSI("D", "P", p, "T", 573.15, "IF97::Water"), 2e6)
    found = Steam(uniform(300.0)).carry(DEPTHS, 0.0, 2e6)
    assert found == pytest.approx(expected, rel=1e-6)
    assert np.all(found[1:] < Steam().carry(DEPTHS[1:], 0.0, 2e6))


def test_column_that_boils_at_every_depth() -> None:
    expected = marched(lambda p: PropsSI("D", "P", p, "Q", 0, "IF97::Water"), 0.0)
    found = HotWater().carry(DEPTHS, 0.0, 0.0)
    assert found + ATMOSPHERE == pytest.approx(expected + ATMOSPHERE, rel=2e-4)


def test_column_of_cold_water() -> None:
    expected = marched(lambda p: PropsSI("D", "P", p, "T", 293.15, "IF97::Water"), 0.0)
    assert HotWater(uniform(20.0)).carry(DEPTHS, 0.0, 0.0) == pytest.approx(expected, rel=1e-6, abs=2.0)


def test_water_too_hot_for_its_pressure_is_at_boiling_and_steam_too_cold_is_dry() -> None:
    assert HotWater(uniform(340.0)).carry(300.0, 0.0, 0.0) == pytest.approx(HotWater().carry(300.0, 0.0, 0.0))
    assert Steam(uniform(20.0)).carry(300.0, 0.0, 1e6) == pytest.approx(Steam().carry(300.0, 0.0, 1e6))


def test_water_beyond_the_boiling_curve_is_no_steam_and_none_that_boils() -> None:
    deep = HotWater(uniform(280.0)).carry(2500.0, 0.0, 10e6)  # 28 MPa at the bottom: more than any steam has
    assert float(deep) > MOST_STEAM
    with pytest.raises(ValueError, match="temperature of water"):
        HotWater().carry(2500.0, 0.0, 10e6)
    with pytest.raises(ValueError, match="absolute pressure of steam"):
        Steam().carry(2000.0, 0.0, 16e6)


@settings(max_examples=20, deadline=None)
@given(st.floats(0.2e6, 2e6), st.floats(100.0, 2000.0))
def test_a_column_carried_down_and_up_again_returns(pressure: float, depth: float) -> None:
    for fill in (Steam(), HotWater(), HotWater(uniform(150.0))):
        below = float(fill.carry(depth, 0.0, pressure))
        assert float(fill.carry(0.0, depth, below)) == pytest.approx(pressure, rel=1e-5)


def test_samples_of_the_anchor_and_the_layers_of_a_column() -> None:
    """Steam over hot water: continuous at the contact, and one pass for two samples of the pressure."""
    pressure = np.array([[2e6], [4e6]])
    column = cl.column(Steam(), top=0.0, pressure=pressure).over(HotWater(uniform(200.0)), contact=500.0)
    found = column.pressure(DEPTHS)
    assert found.shape == (2, DEPTHS.size)
    alone = cl.column(Steam(), top=0.0, pressure=4e6).over(HotWater(uniform(200.0)), contact=500.0).pressure(DEPTHS)
    assert found[1] == pytest.approx(alone, rel=1e-12)
    above, below = column.pressure([500.0 - 1e-6, 500.0 + 1e-6]).T
    assert above == pytest.approx(below, abs=0.1)
    assert next(line.text() for line in column.origin()) == "steam, dry at boiling from 0.00 m tvd"


def test_words() -> None:
    words = [f.words().text() for f in (Steam(), Steam(uniform(1.0)), HotWater(), HotWater(uniform(1.0)))]
    assert words == [
        "steam, dry at boiling",
        "steam of the temperature given",
        "water, boiling at every depth",
        "water of the temperature given",
    ]
