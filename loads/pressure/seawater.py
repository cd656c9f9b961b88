"""Density of sea water and the depth at a sea pressure: the international equation of state of 1980 (EOS-80).

The equation takes practical salinity, temperature in degC (IPTS-68) and sea pressure in bar; SI is converted
inside. The difference between IPTS-68 and today's scale, 0.01 K at most here, is left aside.

References
----------
.. [1] N. P. Fofonoff and R. C. Millard, "Algorithms for computation of fundamental properties of seawater",
   UNESCO Technical Papers in Marine Science 44, 1983, sections on density and on pressure to depth
   (polynomials from memory; they give the published check values).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.polynomial.polynomial import polyval

from ..arrays import ArrayLike, Floats
from ..constants import ATMOSPHERE, GRAVITY
from .compressible import integrate_column

_ZERO_CELSIUS: Final = 273.15
_BAR: Final = 1e5
_DECIBAR: Final = 1e4

# Coefficients of powers of the temperature, constant first; `_S`, `_S15`, `_S2`: times a power of salinity.
_WATER = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
_WATER_S = (8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
_WATER_S15 = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
_WATER_S2 = (4.8314e-4,)
_BULK = (19652.21, 148.4206, -2.327105, 1.360477e-2, -5.155288e-5)
_BULK_S = (54.6746, -0.603459, 1.09987e-2, -6.1670e-5)
_BULK_S15 = (7.944e-2, 1.6483e-2, -5.3009e-4)
_BULK_P = (3.239908, 1.43713e-3, 1.16092e-4, -5.77905e-7)
_BULK_P_S = (2.2838e-3, -1.0981e-5, -1.6078e-6)
_BULK_P_S15 = (1.91075e-4,)
_BULK_P2 = (8.50935e-5, -6.12293e-6, 5.2787e-8)
_BULK_P2_S = (-9.9348e-7, 2.0816e-8, 9.1697e-10)


def seawater_density(salinity: ArrayLike, temperature: ArrayLike, pressure_gauge: ArrayLike) -> Floats:
    r"""Return the density of sea water.

    .. math:: \rho(S, T, p) = \frac{\rho(S, T, 0)}{1 - p / K(S, T, p)}

    with the secant bulk modulus :math:`K = K_0 + A p + B p^2`, all polynomials of [1]_.

    Parameters
    ----------
    salinity : array_like
        Practical salinity, close to g/kg, 0 to 42.
    temperature : array_like, broadcasts with *salinity*
        Temperature [K], 271.15 to 313.15 (-2 to 40 degC).
    pressure_gauge : array_like, broadcasts with *salinity*
        Sea pressure, gauge [Pa], 0 to 100 MPa.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Density [kg/m3].

    Raises
    ------
    ValueError
        If an argument is outside the range of the equation.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    Sea water of salinity 35 at 5 degC and no pressure, a check value of [1]_.

    >>> round(float(seawater_density(35.0, 278.15, 0.0)), 5)
    1027.67547
    """
    s = _within("salinity", salinity, 0.0, 42.0)
    t = _within("temperature", temperature, 271.15, 313.15) - _ZERO_CELSIUS
    p = _within("pressure_gauge", pressure_gauge, 0.0, 1e8) / _BAR
    s15 = s**1.5
    at_surface = polyval(t, _WATER) + s * polyval(t, _WATER_S) + s15 * polyval(t, _WATER_S15)
    at_surface = at_surface + s**2 * polyval(t, _WATER_S2)
    bulk = polyval(t, _BULK) + s * polyval(t, _BULK_S) + s15 * polyval(t, _BULK_S15)
    bulk_p = polyval(t, _BULK_P) + s * polyval(t, _BULK_P_S) + s15 * polyval(t, _BULK_P_S15)
    bulk_p2 = polyval(t, _BULK_P2) + s * polyval(t, _BULK_P2_S)
    return np.asarray(at_surface / (1.0 - p / (bulk + p * (bulk_p + p * bulk_p2))), dtype=np.float64)


def sea_depth(pressure: ArrayLike, latitude: ArrayLike) -> Floats:
    """Return the depth below the sea surface at which a standard ocean has a pressure.

    Standard ocean: salinity 35, 0 degC, with gravity by latitude and depth as in [1]_, not the constant
    gravity used for wells.

    Parameters
    ----------
    pressure : array_like
        Sea pressure, gauge [Pa], 0 to 100 MPa.
    latitude : array_like, broadcasts with *pressure*
        Latitude [rad], -pi/2 to pi/2.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Depth [m].

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    A check value of [1]_: 10,000 dbar at 30 degrees.

    >>> round(float(sea_depth(100e6, np.radians(30.0))), 3)
    9712.653
    """
    p = _within("pressure", pressure, 0.0, 1e8) / _DECIBAR
    x = np.sin(_within("latitude", latitude, -np.pi / 2.0, np.pi / 2.0)) ** 2
    gravity = 9.780318 * (1.0 + (5.2788e-3 + 2.36e-5 * x) * x) + 1.092e-6 * p
    work = p * (9.72659 + p * (-2.2512e-5 + p * (2.279e-10 + p * -1.82e-15)))
    return np.asarray(work / gravity, dtype=np.float64)


def _within(name: str, values: ArrayLike, low: float, high: float) -> Floats:
    """Return *values* as an array, or say which of them is out of range."""
    array = np.asarray(values, dtype=np.float64)
    bad = ~((array >= low) & (array <= high))
    if np.any(bad):
        raise ValueError(f"{name} must be {low:g} to {high:g}, got {array[bad].flat[0]:g}")
    return array


def mean_sea_density(salinity: float, temperature: float, depth: float) -> float:
    """Return the density that gives the sea's pressure at *depth* as a constant.

    Parameters
    ----------
    salinity : float
        Practical salinity, 0 to 42.
    temperature : float
        Of the whole column [K].
    depth : float
        Below the surface, more than zero [m].

    Returns
    -------
    float
        Mean density [kg/m3]; near the surface it is too heavy, by about 0.2 % for each kilometre of *depth*.

    Raises
    ------
    ValueError
        As `seawater_density`.

    References
    ----------
    Hydrostatics with the density of `seawater_density`.

    Examples
    --------
    >>> round(mean_sea_density(35.0, 277.15, 1600.0), 1)
    1031.5
    """

    def density(pressure: Floats, warmth: Floats) -> Floats:
        return seawater_density(salinity, warmth, pressure - ATMOSPHERE)

    def uniform(tvd: Floats) -> Floats:
        return np.full_like(tvd, temperature)

    pressure = float(integrate_column(density, uniform, 0.0, 0.0, depth))
    return pressure / (GRAVITY * depth)
