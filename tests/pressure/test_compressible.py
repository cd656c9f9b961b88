"""The column of a compressible fluid: closed forms, another integrator, a reference gas, invariants."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import pairwise

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from casingloads.constants import ATMOSPHERE, GAS_CONSTANT, GRAVITY, MOLAR_MASS_AIR
from casingloads.pressure.compressible import integrate_column
from casingloads.pressure.gas import gas_density
from casingloads.pressure.seawater import sea_depth, seawater_density

Floats = NDArray[np.float64]
Density = Callable[[Floats, Floats], Floats]

METHANE_MASS = 16.0425e-3  # kg/mol
METHANE = METHANE_MASS / MOLAR_MASS_AIR  # gravity 0.5539
SPECIFIC = GAS_CONSTANT / METHANE_MASS
DEPTHS = np.linspace(0.0, 4000.0, 83)
KINKS = [1666.0, 2100.0, 3400.0]  # of `deep_water`


def ideal(p: Floats, T: Floats) -> Floats:
    return p / (SPECIFIC * T)


def real(p: Floats, T: Floats) -> Floats:
    return gas_density(p, T, METHANE)


def reference(p: Floats, T: Floats) -> Floats:
    shape = np.broadcast_shapes(p.shape, T.shape)
    p, T = (np.broadcast_to(x, shape).ravel() for x in (p, T))
    return np.asarray(PropsSI("D", "P", p, "T", T, "Methane"), dtype=np.float64).reshape(shape)


def warm(z: Floats) -> Floats:
    return 350.0 + 0.0 * z


def geothermal(z: Floats) -> Floats:
    return 285.0 + 0.03 * z


def deep_water(z: Floats) -> Floats:
    """Return a temperature that is lowest at the sea floor, with kinks."""
    return np.interp(z, [0.0, 1666.0, 2100.0, 3400.0, 6000.0], [288.0, 276.0, 294.0, 347.0, 447.0])


def _second_route(density: Density, temperature: Callable[[Floats], Floats], z0: float, p0: float) -> Floats:
    """Return gauge pressures at `DEPTHS` by an adaptive method of order 8, restarted at every kink."""

    def slope(z: float, p: Floats) -> Floats:
        return GRAVITY * density(p + ATMOSPHERE, temperature(np.array([z])))

    pressures: dict[float, float] = {}
    for end in (0.0, 4000.0):
        kinks = [kink for kink in KINKS if min(z0, end) < kink < max(z0, end)]
        marks, p = sorted({z0, end, *kinks}, reverse=end < z0), p0
        for here, there in pairwise(marks):
            low, high = min(here, there), max(here, there)
            at = np.unique(np.append(DEPTHS[(low <= DEPTHS) & (high >= DEPTHS)], there))
            at = at if there > here else at[::-1]
            walk = solve_ivp(slope, (here, there), [p], "DOP853", at, rtol=1e-11, atol=1e-3)
            pressures.update(zip(at.tolist(), walk.y[0].tolist(), strict=True))
            p = float(walk.y[0, -1])
    return np.array([pressures[z] for z in DEPTHS.tolist()])


@pytest.mark.parametrize("z0", [0.0, 1500.0, 4000.0])
def test_isothermal_ideal_gas(z0: float) -> None:
    """Absolute pressure grows by exp(g dz / (R T / M)), from the anchor both ways."""
    found = integrate_column(ideal, warm, z0, 20e6, DEPTHS)
    expected = (20e6 + ATMOSPHERE) * np.exp(GRAVITY * (DEPTHS - z0) / (SPECIFIC * 350.0)) - ATMOSPHERE
    assert np.allclose(found, expected, rtol=1e-9, atol=0.0)


def test_ideal_gas_in_a_geothermal_gradient() -> None:
    found = integrate_column(ideal, geothermal, 2500.0, 15e6, DEPTHS)
    warmer = (285.0 + 0.03 * DEPTHS) / (285.0 + 0.03 * 2500.0)
    expected = (15e6 + ATMOSPHERE) * warmer ** (GRAVITY / (SPECIFIC * 0.03)) - ATMOSPHERE
    assert np.allclose(found, expected, rtol=1e-9, atol=0.0)


def test_gauge_is_not_absolute() -> None:
    """At low pressure the atmosphere matters: a gas at 0 gauge still weighs something."""
    found = float(integrate_column(ideal, warm, 0.0, 0.0, 1000.0))
    assert found == pytest.approx(ATMOSPHERE * np.expm1(GRAVITY * 1000.0 / (SPECIFIC * 350.0)), rel=1e-9)


@given(rho=st.floats(100.0, 3000.0), z0=st.floats(0.0, 3000.0), p0=st.floats(100e6, 200e6))
@settings(max_examples=25, deadline=None)
def test_incompressible_is_a_straight_line(rho: float, z0: float, p0: float) -> None:
    found = integrate_column(lambda p, T: rho + 0.0 * p, warm, z0, p0, DEPTHS, nodes=5)
    assert np.allclose(found, p0 + rho * GRAVITY * (DEPTHS - z0), rtol=1e-12, atol=0.0)


def test_liquid_of_constant_compressibility() -> None:
    """With rho = rho0 exp(c (p - p0)): p - p0 = -ln(1 - c rho0 g (z - z0)) / c."""
    c, rho0, p0 = 4.5e-10, 1025.0, ATMOSPHERE
    found = integrate_column(lambda p, T: rho0 * np.exp(c * (p - p0)), warm, 0.0, 0.0, DEPTHS)
    assert np.allclose(found, -np.log1p(-c * rho0 * GRAVITY * DEPTHS) / c, rtol=1e-10, atol=1e-6)


@pytest.mark.parametrize(("z0", "p0"), [(4000.0, 60e6), (0.0, 30e6), (1700.0, 3e6)])
def test_real_gas_against_another_integrator(z0: float, p0: float) -> None:
    """Within 1e-6 although the temperature has kinks."""
    found = integrate_column(real, deep_water, z0, p0, DEPTHS)
    assert np.allclose(found, _second_route(real, deep_water, z0, p0), rtol=1e-6, atol=0.0)


def test_reference_gas_against_another_integrator() -> None:
    found = integrate_column(reference, deep_water, 4000.0, 60e6, DEPTHS)
    assert np.allclose(found, _second_route(reference, deep_water, 4000.0, 60e6), rtol=1e-6, atol=0.0)


@pytest.mark.parametrize("temperature", [geothermal, deep_water])
def test_methane_column_against_a_reference_gas(
    temperature: Callable[[Floats], Floats],
) -> None:
    """Shut-in methane from 4000 m at 20 to 90 MPa: bottom less top pressure is the weight, a mean of density.

    The correlation is good for about 1 % of density on average (see the gas tests): so must the weights be,
    and none may be off by more than twice that. Found: 0.4 to 1.2 % too heavy, the pressure at the top up to
    0.33 % low.
    """
    bottom = np.array([20e6, 30e6, 45e6, 60e6, 90e6])[:, np.newaxis]
    weight = bottom - integrate_column(real, temperature, 4000.0, bottom, 0.0)
    known = bottom - integrate_column(reference, temperature, 4000.0, bottom, 0.0)
    off = np.abs(weight / known - 1.0)
    assert np.mean(off) < 0.01
    assert np.max(off) < 0.02


def test_sea_column_against_the_published_depth() -> None:
    """The standard ocean at 30 degrees, its depth scaled to standard gravity; the fit is good to 0.1 m."""
    pressure = 1e8
    square = 0.25  # sin(30 deg) squared
    local = 9.780318 * (1.0 + 5.2788e-3 * square + 2.36e-5 * square**2) + 1.092e-6 * pressure / 1e4
    depth = float(sea_depth(pressure, np.radians(30.0))) * local / GRAVITY

    def sea(p: Floats, T: Floats) -> Floats:
        return seawater_density(35.0, T, np.maximum(p - ATMOSPHERE, 0.0))

    # Runge-Kutta steps probe a little beyond the last depth's pressure, hence 1 m less and its weight added.
    found = float(integrate_column(sea, lambda z: 273.15 + 0.0 * z, 0.0, 0.0, depth - 1.0)) + 1069.0 * GRAVITY
    assert found == pytest.approx(pressure, abs=0.11 * 1069.0 * GRAVITY)


@settings(max_examples=25, deadline=None)
@given(z0=st.floats(0.0, 4000.0), p0=st.floats(1e6, 60e6), middle=st.floats(0.0, 4000.0))
def test_any_point_of_the_column_can_be_the_anchor(z0: float, p0: float, middle: float) -> None:
    first = integrate_column(ideal, geothermal, z0, p0, [*DEPTHS, middle])
    again = integrate_column(ideal, geothermal, middle, first[-1], DEPTHS)
    assert np.allclose(again, first[:-1], rtol=1e-8, atol=1e-3)


@settings(max_examples=25, deadline=None)
@given(gravity=st.floats(0.56, 1.0), p0=st.floats(5e6, 60e6))
def test_gas_gets_lighter_upward(gravity: float, p0: float) -> None:
    """In one temperature; then pressure falls ever more slowly on the way up, and never rises."""
    found = integrate_column(lambda p, T: gas_density(p, T, gravity), warm, 4000.0, p0, DEPTHS)
    assert np.all(np.diff(found) > 0.0)
    assert np.all(np.diff(found, 2) > 0.0)
    assert np.all(np.diff(gas_density(found + ATMOSPHERE, 350.0, gravity)) > 0.0)


def test_order_of_depths_does_not_matter() -> None:
    shuffled = np.random.default_rng(1).permutation(DEPTHS.size)
    found = integrate_column(real, deep_water, 1700.0, 30e6, DEPTHS)
    assert np.array_equal(integrate_column(real, deep_water, 1700.0, 30e6, DEPTHS[shuffled]), found[shuffled])


def test_the_anchor_keeps_its_pressure() -> None:
    assert float(integrate_column(real, deep_water, 1700.0, 30e6, 1700.0)) == 30e6
    assert integrate_column(real, deep_water, 1700.0, 30e6, [1000.0, 1700.0, 2000.0])[1] == 30e6


def _of_gravity(gravity: float | Floats, p: Floats, T: Floats) -> Floats:
    return gas_density(p, T, gravity)


def _in_gradient(top: float | Floats, z: Floats) -> Floats:
    return top + 0.03 * z


def test_leading_axes_equal_looping() -> None:
    """Sampled anchor depth, pressure, gas gravity and temperature; depths that differ between samples."""
    n = 4
    z0, p0 = np.linspace(500.0, 3500.0, n), np.linspace(10e6, 70e6, n)
    gravity, top = np.linspace(0.56, 0.9, n), np.linspace(280.0, 310.0, n)
    tvd = DEPTHS[::10] + np.arange(n)[:, np.newaxis]
    looped = [
        integrate_column(partial(_of_gravity, gravity[k]), partial(_in_gradient, top[k]), z0[k], p0[k], tvd[k])
        for k in range(n)
    ]
    column = (slice(None), np.newaxis)
    whole = integrate_column(
        partial(_of_gravity, gravity[column]), partial(_in_gradient, top[column]), z0[column], p0[column], tvd
    )
    assert whole.shape == tvd.shape
    assert np.allclose(whole, looped, rtol=1e-10, atol=0.0)


@pytest.mark.parametrize(
    ("z0", "p0", "tvd", "shape"),
    [
        (0.0, 1e6, 100.0, ()),
        (0.0, 1e6, [100.0], (1,)),
        ([0.0], 1e6, 100.0, (1,)),
        (0.0, 1e6, [[100.0, 50.0]], (1, 2)),
        ([[0.0], [10.0], [20.0]], 1e6, 100.0, (3, 1)),
        ([[0.0], [10.0], [20.0]], 1e6, [100.0, 50.0], (3, 2)),
        (0.0, [[1e6], [2e6], [3e6]], [100.0, 50.0], (3, 2)),
        (np.zeros((5, 1, 1)), np.full((3, 1), 1e6), [100.0, 50.0], (5, 3, 2)),
    ],
)
def test_shapes(z0: object, p0: object, tvd: object, shape: tuple[int, ...]) -> None:
    assert integrate_column(ideal, geothermal, z0, p0, tvd).shape == shape  # type: ignore[arg-type]


def test_samples_only_in_the_density() -> None:
    gravity = np.array([[0.6], [0.8]])
    found = integrate_column(lambda p, T: gas_density(p, T, gravity), warm, 0.0, 10e6, 3000.0)
    assert found.shape == (2, 1)
    assert found[0, 0] < found[1, 0]


def test_pressure_that_runs_out() -> None:
    """Water with 0.5 MPa gauge at 100 m stands to 49 m, and to 39 m in a vacuum."""
    with pytest.raises(ValueError, match=r"falls to zero absolute at or before a tvd of (3|4)[0-9](\.\d+)? m"):
        integrate_column(lambda p, T: 1000.0 + 0.0 * p, warm, 100.0, 0.5e6, 0.0)
    with pytest.raises(ValueError, match="falls to zero absolute"):
        integrate_column(ideal, warm, 100.0, -ATMOSPHERE, 0.0)


@pytest.mark.parametrize(
    ("density", "temperature", "message"),
    [
        (lambda p, T: np.nan * p, warm, "density must be a finite number, not negative, got nan"),
        (lambda p, T: np.where(p > 3e6, np.inf, 800.0), warm, r"density .* got inf kg/m3 near a tvd of 2"),
        (lambda p, T: -1.0 + 0.0 * p, warm, "density .* got -1"),
        (ideal, lambda z: 10.0 - 0.03 * z, "temperature must be above 0 K"),
        (ideal, lambda z: np.nan * z, "temperature must be above 0 K, got nan"),
    ],
)
def test_what_the_callables_may_not_return(
    density: Density, temperature: Callable[[Floats], Floats], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        integrate_column(density, temperature, 0.0, 1e6, 1000.0)


@pytest.mark.parametrize(
    ("z0", "p0", "tvd", "nodes", "message"),
    [
        (
            [0.0, 1.0],
            1e6,
            [1.0, 2.0],
            100,
            r"anchor_tvd must be a scalar or of shape \(..., 1\), got shape \(2,\)",
        ),
        (0.0, [1e6, 2e6], [1.0, 2.0], 100, "anchor_pressure must be a scalar"),
        (np.nan, 1e6, 1.0, 100, "anchor_tvd must be finite"),
        (0.0, np.inf, 1.0, 100, "anchor_pressure must be finite"),
        (0.0, 1e6, [1.0, np.nan], 100, "tvd must be finite"),
        (0.0, 1e6, [], 100, "tvd must be finite numbers, at least one"),
        (0.0, 1e6, 1.0, 1, "nodes must be at least 2, got 1"),
    ],
)
def test_bad_arguments(z0: object, p0: object, tvd: object, nodes: int, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        integrate_column(ideal, warm, z0, p0, tvd, nodes)  # type: ignore[arg-type]
