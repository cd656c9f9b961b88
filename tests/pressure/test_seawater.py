"""Sea water: invariants and the range of the equation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from casingloads.pressure.seawater import sea_depth, seawater_density

SALINITY, KELVIN, PRESSURE = st.floats(0.0, 42.0), st.floats(271.15, 313.15), st.floats(0.0, 99e6)


@given(salinity=SALINITY, kelvin=KELVIN, pressure=PRESSURE)
def test_denser_with_pressure_and_salt(salinity: float, kelvin: float, pressure: float) -> None:
    here = seawater_density(salinity, kelvin, pressure)
    assert seawater_density(salinity, kelvin, pressure + 1e5) > here
    assert seawater_density(min(salinity + 0.5, 42.0), kelvin, pressure) >= here
    assert 990.0 < here < 1090.0


def test_fresh_water_is_densest_near_4_deg_c() -> None:
    celsius = np.linspace(0.0, 10.0, 1001)
    densest = celsius[np.argmax(seawater_density(0.0, celsius + 273.15, 0.0))]
    assert densest == pytest.approx(3.98, abs=0.02)


@pytest.mark.parametrize("latitude", [0.0, 30.0, 60.0, 90.0])
@pytest.mark.parametrize("pressure", [5e6, 30e6, 100e6])
def test_depth_is_the_hydrostatic_integral(latitude: float, pressure: float) -> None:
    """Depth times mean gravity is the integral of 1/rho at 0 degC, salinity 35; the fit is good to 0.1 m."""
    work, _ = quad(lambda p: 1.0 / float(seawater_density(35.0, 273.15, p)), 0.0, pressure, epsrel=1e-10)
    square = np.sin(np.radians(latitude)) ** 2
    surface = 9.780318 * (1.0 + 5.2788e-3 * square + 2.36e-5 * square**2)  # international formula of 1967
    mean = surface + 1.092e-6 * pressure / 1e4  # half of 2.184e-6 m/s2 per dbar
    assert float(sea_depth(pressure, np.radians(latitude))) == pytest.approx(work / mean, abs=0.11)


@given(latitude=st.floats(-np.pi / 2, np.pi / 2), pressure=PRESSURE)
def test_depth_is_even_in_latitude_and_grows(latitude: float, pressure: float) -> None:
    assert sea_depth(pressure, latitude) == sea_depth(pressure, -latitude)
    assert sea_depth(pressure + 1e4, latitude) > sea_depth(pressure, latitude)
    assert sea_depth(0.0, latitude) == 0.0


def test_broadcasting_equals_looping() -> None:
    salinity, kelvin = np.array([0.0, 20.0, 35.0]), np.array([[275.0], [290.0]])
    whole = seawater_density(salinity, kelvin, 20e6)
    assert np.array_equal(whole, [[float(seawater_density(s, t, 20e6)) for s in salinity] for t in kelvin[:, 0]])
    assert seawater_density(35.0, 280.0, 0.0).shape == ()
    assert sea_depth([[1e6], [2e6]], [0.1, 0.2, 0.3]).shape == (2, 3)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((-1.0, 280.0, 0.0), "salinity must be 0 to 42, got -1"),
        ((43.0, 280.0, 0.0), "salinity must be"),
        ((35.0, 4.0, 0.0), r"temperature must be 271.15 to 313.15, got 4"),  # degC given for K
        ((35.0, 280.0, -1e3), "pressure_gauge must be"),
        ((35.0, 280.0, [1e6, 2e8]), "pressure_gauge must be 0 to 1e\\+08, got 2e\\+08"),
        ((35.0, np.nan, 0.0), "temperature must be .*, got nan"),
    ],
)
def test_out_of_range(arguments: tuple[float, float, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        seawater_density(*arguments)


def test_depth_out_of_range() -> None:
    with pytest.raises(ValueError, match="latitude must be"):
        sea_depth(1e6, 30.0)  # degrees given for radians
    with pytest.raises(ValueError, match="pressure must be"):
        sea_depth(-1.0, 0.5)
