"""Liquids, cushions and the wall of a tube: limits, invariants, and water against the reference equation of state."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from casingloads.annuli.expansion import (
    WATER,
    BoilingLiquid,
    ConstantExpansion,
    Foam,
    GasCap,
    radial_displacement,
    water_boiling_pressure,
    water_density,
)
from casingloads.strength import lame_stresses
from casingloads.well import Steel

STEEL = Steel()
KELVIN, PASCAL = st.floats(273.15, 523.15), st.floats(0.0, 200e6)


def liquid_states() -> tuple[Any, Any]:
    """Temperatures and pressures between those of the fit, from boiling up, as two flat arrays."""
    kelvin = np.linspace(274.0, 523.0, 38)
    least = np.maximum(1.001 * PropsSI("P", "T", kelvin, "Q", 0, "Water"), 1e5)[:, None]
    pressure = least + (200e6 - least) * np.linspace(0.0, 1.0, 31) ** 1.7
    return np.repeat(kelvin, 31), pressure.ravel()


def test_water_has_the_density_of_the_reference_equation() -> None:
    """IAPWS-95 as CoolProp 8 has it. Greatest difference found 1.1e-5, 6e-6 on average."""
    kelvin, pressure = liquid_states()
    reference = PropsSI("D", "T", kelvin, "P", pressure, "Water")
    ratio = water_density(pressure, kelvin) / reference - 1.0
    assert np.max(np.abs(ratio)) < 1.2e-5
    assert np.std(ratio) < 7e-6


def test_water_expands_as_the_reference_equation() -> None:
    """Expansion, by differences of the polynomial: greatest difference found 5.5e-6 1/K, above 20 degC 0.27 %."""
    kelvin, pressure = liquid_states()
    within = (kelvin < 522.0) & (pressure < 199e6)
    kelvin, pressure = kelvin[within], pressure[within] + 1e5  # 0.1 K more must not boil
    reference = PropsSI("isobaric_expansion_coefficient", "T", kelvin, "P", pressure, "Water")
    ours = np.log(water_density(pressure, kelvin - 0.1) / water_density(pressure, kelvin + 0.1)) / 0.2
    assert np.max(np.abs(ours - reference)) < 6e-6
    warm = kelvin > 293.15
    assert np.max(np.abs(ours / reference - 1.0)[warm]) < 0.004


def test_water_is_compressed_as_the_reference_equation() -> None:
    """Compressibility: greatest difference found 0.37 %, near 0 degC and 200 MPa; 0.07 % on average."""
    kelvin, pressure = liquid_states()
    kelvin, pressure = kelvin[pressure < 199e6], pressure[pressure < 199e6] + 1e5
    reference = PropsSI("isothermal_compressibility", "T", kelvin, "P", pressure, "Water")
    ours = np.log(water_density(pressure + 5e4, kelvin) / water_density(pressure - 5e4, kelvin)) / 1e5
    assert np.max(np.abs(ours / reference - 1.0)) < 0.004
    assert np.std(ours / reference - 1.0) < 0.001


def test_water_boils_at_the_pressure_of_the_reference_equation() -> None:
    kelvin = np.linspace(273.2, 640.0, 100)
    assert water_boiling_pressure(kelvin) == pytest.approx(PropsSI("P", "T", kelvin, "Q", 0, "Water"), rel=1e-4)


@given(kelvin=KELVIN, pressure=PASCAL)
def test_water_is_denser_under_more_pressure_also_where_it_would_boil(kelvin: float, pressure: float) -> None:
    assert water_density(min(pressure + 1e5, 200e6), kelvin) >= water_density(pressure, kelvin)
    assert 780.0 < water_density(pressure, kelvin) < 1090.0


@pytest.mark.parametrize(
    ("pressure", "kelvin", "message"),
    [
        (1e5, 273.0, "temperature of water = 273 K: need a finite number of at least 273.15 K and of at most 523.15 K"),
        (1e5, 524.0, "temperature of water = 524 K"),
        (-1.0, 300.0, "absolute pressure of water = -1 Pa: need a finite number of at least 0 Pa and of at most 2e"),
        (201e6, 300.0, "absolute pressure of water"),
        (np.nan, 300.0, "absolute pressure of water = nan"),
    ],
)
def test_water_out_of_range_is_refused(pressure: float, kelvin: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        water_density(pressure, kelvin)
    with pytest.raises(ValueError, match="temperature of water"):
        water_boiling_pressure(650.0)


def test_water_broadcasts() -> None:
    pressure, kelvin = np.array([[1e6], [2e6]]), np.array([300.0, 350.0, 400.0])
    each = [[float(water_density(p, t)) for t in kelvin] for p in pressure[:, 0]]
    assert water_density(pressure, kelvin) == pytest.approx(np.array(each), rel=1e-15)
    assert water_density(1e6, 300.0).shape == ()
    assert isinstance(WATER, BoilingLiquid)


def brine(**changes: float) -> ConstantExpansion:
    values = {"reference_density": 1200.0, "expansion": 4e-4, "compressibility": 4.5e-10,
              "reference_pressure": 1e5, "reference_temperature": 300.0}  # fmt: skip
    return ConstantExpansion(**(values | changes))


@given(pressure=st.floats(0.0, 100e6), kelvin=st.floats(270.0, 500.0))
def test_coefficients_are_constant(pressure: float, kelvin: float) -> None:
    liquid = brine()
    here = liquid.density(pressure, kelvin)
    assert np.log(liquid.density(pressure + 1e6, kelvin) / here) == pytest.approx(4.5e-4, rel=1e-9)
    assert np.log(here / liquid.density(pressure, kelvin + 1.0)) == pytest.approx(4e-4, rel=1e-9)
    assert liquid.density(1e5, 300.0) == 1200.0


@pytest.mark.parametrize("name", ["reference_density", "compressibility", "reference_temperature", "expansion"])
def test_coefficients_that_make_no_sense_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match=f"{name} = nan"):
        brine(**{name: np.nan})
    if name != "expansion":
        with pytest.raises(ValueError, match=f"{name} = 0 .*above 0"):
            brine(**{name: 0.0})


def test_gas_is_ideal_and_foam_has_a_constant_compressibility() -> None:
    assert GasCap(volume=2.0).volume_now(1e5, 300.0, 4e5, 330.0) == pytest.approx(2.0 / 4.0 * 1.1)
    foam = Foam(volume=2.0, compressibility=1e-8)
    assert foam.volume_now(1e5, 300.0, 1e5 + 1e6, 400.0) == pytest.approx(2.0 * np.exp(-0.01))
    for wrong in (0.0, -1.0, np.inf):
        with pytest.raises(ValueError, match="volume = "):
            GasCap(volume=wrong)
        with pytest.raises(ValueError, match="compressibility = "):
            Foam(volume=1.0, compressibility=wrong)


# --- the wall --------------------------------------------------------------------------------------------------


@given(share=st.floats(0.001, 0.4), held=st.booleans(), p_i=st.floats(-1e8, 1e8), p_o=st.floats(-1e8, 1e8))
def test_displacement_agrees_with_lames_stresses(share: float, held: bool, p_i: float, p_o: float) -> None:
    """Hoop strain by Hooke's law from the stresses of `strength.lame_stresses`, times the radius."""
    b, a = 0.12, 0.12 * (1.0 - share)
    e, nu = STEEL.modulus, STEEL.poisson
    for r in (a, 0.5 * (a + b), b):
        radial, hoop = lame_stresses(2 * b, b - a, p_i, p_o, r)
        axial = nu * (radial + hoop) if held else 0.0
        strain = (hoop - nu * (radial + axial)) / e
        found = radial_displacement(a, b, r, p_i, p_o, 0.0, STEEL, held)
        assert found == pytest.approx(strain * r, rel=1e-9, abs=1e-15)


def test_thin_wall_limit() -> None:
    """``p r^2 (1 - nu^2) / (E t)`` held, ``p r^2 / (E t)`` free; an error of the order of t/r."""
    r, t = 0.1, 1e-5
    for held, stiffer in ((True, 1.0 - STEEL.poisson**2), (False, 1.0)):
        found = radial_displacement(r - t / 2, r + t / 2, r, 1e6, 0.0, 0.0, STEEL, held)
        assert found == pytest.approx(1e6 * r**2 * stiffer / (STEEL.modulus * t), rel=2e-4)


def test_heat_moves_every_radius_alike() -> None:
    for r in (0.1, 0.11, 0.12):
        held, free = (radial_displacement(0.1, 0.12, r, 0.0, 0.0, 50.0, STEEL, h) for h in (True, False))
        assert free == pytest.approx(STEEL.expansion * 50.0 * r)
        assert held == pytest.approx(1.3 * free)


def test_inside_and_outside_are_reciprocal() -> None:
    """Betti: pressure inside moves the outside as much, by area, as pressure outside moves the inside."""
    a, b = 0.1, 0.13
    for held in (True, False):
        out_by_in = radial_displacement(a, b, b, 1.0, 0.0, 0.0, STEEL, held)
        in_by_out = radial_displacement(a, b, a, 0.0, 1.0, 0.0, STEEL, held)
        assert a * in_by_out == pytest.approx(-b * out_by_in)


def test_displacement_broadcasts_and_refuses_what_is_no_tube() -> None:
    held = np.array([[True], [False]])
    found = radial_displacement(0.1, 0.12, np.array([0.1, 0.12]), 1e6, 0.0, 0.0, STEEL, held)
    assert found.shape == (2, 2)
    for a, b, r in ((0.1, 0.1, 0.1), (0.1, 0.12, 0.13), (0.1, 0.12, 0.09)):
        with pytest.raises(ValueError, match="need inside_radius < outside_radius"):
            radial_displacement(a, b, r, 1e6, 0.0, 0.0, STEEL)
