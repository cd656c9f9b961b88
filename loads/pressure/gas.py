r"""Density of natural gas from its gravity, by pseudo-critical properties and a compressibility factor.

Meant for sweet hydrocarbon gas. Gas rich in CO2, H2S or N2 needs a correction of the pseudo-critical
properties that is not made here; volcanic and geothermal gas is not covered at all. Pressures are absolute.

Both equations of state reproduce the Standing-Katz chart: z is a function of the pseudo-reduced pressure
:math:`p_{pr} = p / p_{pc}` and temperature :math:`T_{pr} = T / T_{pc}`. Each is solved for a reduced density
by Newton steps kept inside a bracket. Accepted are Tpr from 1.05 to 3 and ppr from 0 to 24 (Hall-Yarborough)
or 30 (Dranchuk-Abou-Kassem). The upper ends are the published ones, from memory. The lower ends are ours: as
p goes to 0 both equations go to z = 1, as they must, and below Tpr 1.05 their isotherms flatten, then fold,
so that the root is no longer unique.

Against the reference equation of state of methane, densities at 5 to 100 MPa and 10 to 170 degC come out
0.8 % high on average and 1.6 % at most; the pressure at the top of a 4000 m column is then up to 0.33 % low.

References
----------
.. [1] K. R. Hall and L. Yarborough, "A new equation of state for Z-factor calculations", Oil & Gas Journal,
   18 June 1973 (citation from memory).
.. [2] P. M. Dranchuk and J. H. Abou-Kassem, "Calculation of Z factors for natural gases using equations of
   state", J. Canadian Petroleum Technology 14(3), 1975 (citation from memory).
.. [3] R. P. Sutton, "Compressibility factors for high-molecular-weight reservoir gases", SPE 14265, 1985
   (citation from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from ..arrays import ArrayLike, Floats
from ..constants import GAS_CONSTANT, MOLAR_MASS_AIR

TPR_RANGE: Final = (1.05, 3.0)
PPR_RANGE_HALL_YARBOROUGH: Final = (0.0, 24.0)
PPR_RANGE_DRANCHUK_ABOU_KASSEM: Final = (0.0, 30.0)
GRAVITY_RANGE: Final = (0.55, 1.68)
"""Gas gravities of Sutton's samples (from memory: 0.571 to 1.679), with pure methane (0.554) let in."""

CONVERGED: Final = 1e-7
"""Relative step of the reduced density at which the iteration stops; of a Newton step the error left is its square."""

_PSI: Final = 6894.757293168361  # Pa
_RANKINE: Final = 5.0 / 9.0  # K


def hall_yarborough_coefficients(tpr: ArrayLike) -> tuple[Floats, Floats, Floats, Floats]:
    r"""Return the temperature coefficients of the Hall-Yarborough equation.

    With :math:`t = 1/T_{pr}`,

    .. math::
        A &= 0.06125\, t\, e^{-1.2 (1 - t)^2} \\
        B &= 14.76 t - 9.76 t^2 + 4.58 t^3 \\
        C &= 90.7 t - 242.2 t^2 + 42.4 t^3 \\
        D &= 2.18 + 2.82 t

    The last term of C is 42.4; copies with 42.2 carry a misprint.

    Parameters
    ----------
    tpr : array_like, any shape
        Pseudo-reduced temperature, 1.05 to 3.

    Returns
    -------
    A, B, C, D : ndarray, shape of *tpr*
        Dimensionless.

    Raises
    ------
    ValueError
        If *tpr* is out of range.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    >>> [round(float(value), 4) for value in hall_yarborough_coefficients(1.618967)[:2]]
    [0.0317, 6.4726]
    """
    t = 1.0 / _within("tpr (temperature over pseudo-critical temperature)", tpr, TPR_RANGE)
    a = 0.06125 * t * np.exp(-1.2 * (1.0 - t) ** 2)
    b = 14.76 * t - 9.76 * t**2 + 4.58 * t**3
    c = 90.7 * t - 242.2 * t**2 + 42.4 * t**3
    return a, b, c, 2.18 + 2.82 * t


def z_hall_yarborough(ppr: ArrayLike, tpr: ArrayLike) -> Floats:
    r"""Return the compressibility factor after Hall and Yarborough.

    .. math::
        A p_{pr} = y z, \qquad
        z = \frac{1 + y + y^2 - y^3}{(1 - y)^3} - B y + C y^{D - 1}

    Parameters
    ----------
    ppr : array_like
        Pseudo-reduced pressure, 0 to 24.
    tpr : array_like, broadcasts with *ppr*
        Pseudo-reduced temperature, 1.05 to 3.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Compressibility factor z.

    Raises
    ------
    ValueError
        If an argument is out of range.
    RuntimeError
        If the iteration does not converge.

    References
    ----------
    [1]_ of the module; coefficients in `hall_yarborough_coefficients`.

    Examples
    --------
    >>> round(float(z_hall_yarborough(2.5, 1.3)), 6)
    0.639902
    """
    pressure = _within("ppr (pressure over pseudo-critical pressure)", ppr, PPR_RANGE_HALL_YARBOROUGH)
    A, B, C, D = hall_yarborough_coefficients(tpr)

    def reduced_pressure(y: Floats) -> tuple[Floats, Floats]:
        power = C * y ** (D - 1.0)
        value = y * ((1.0 + y + y**2 - y**3) / (1.0 - y) ** 3 - B * y + power)
        slope = (1.0 + 4.0 * y + 4.0 * y**2 - 4.0 * y**3 + y**4) / (1.0 - y) ** 4 - 2.0 * B * y + D * power
        return value, slope

    y = _solve(reduced_pressure, A * pressure, upper=0.9)
    return np.asarray((1.0 + y + y**2 - y**3) / (1.0 - y) ** 3 - B * y + C * y ** (D - 1.0), dtype=np.float64)


def z_dranchuk_abou_kassem(ppr: ArrayLike, tpr: ArrayLike) -> Floats:
    r"""Return the compressibility factor after Dranchuk and Abou-Kassem.

    With the reduced density :math:`r = 0.27 p_{pr} / (z T_{pr})` and :math:`T = T_{pr}`,

    .. math::
        z = 1 &+ \left(A_1 + \frac{A_2}T + \frac{A_3}{T^3} + \frac{A_4}{T^4} + \frac{A_5}{T^5}\right) r
        + \left(A_6 + \frac{A_7}T + \frac{A_8}{T^2}\right) r^2 \\
        &- A_9 \left(\frac{A_7}T + \frac{A_8}{T^2}\right) r^5
        + A_{10} \frac{r^2}{T^3} (1 + A_{11} r^2) e^{-A_{11} r^2}

    The last term carries :math:`r^2 (1 + A_{11} r^2)`; copies with another power carry a misprint.

    Parameters
    ----------
    ppr : array_like
        Pseudo-reduced pressure, 0 to 30.
    tpr : array_like, broadcasts with *ppr*
        Pseudo-reduced temperature, 1.05 to 3.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Compressibility factor z.

    Raises
    ------
    ValueError
        If an argument is out of range.
    RuntimeError
        If the iteration does not converge.

    References
    ----------
    [2]_ of the module.

    Examples
    --------
    >>> round(float(z_dranchuk_abou_kassem(2.5, 1.3)), 6)
    0.637787
    """
    pressure = _within("ppr (pressure over pseudo-critical pressure)", ppr, PPR_RANGE_DRANCHUK_ABOU_KASSEM)
    T = _within("tpr (temperature over pseudo-critical temperature)", tpr, TPR_RANGE)
    c1 = 0.3265 - 1.0700 / T - 0.5339 / T**3 + 0.01569 / T**4 - 0.05165 / T**5
    c2 = 0.5475 - 0.7361 / T + 0.1844 / T**2
    c5 = 0.1056 * (0.7361 / T - 0.1844 / T**2)
    c_exp, k = 0.6134 / T**3, 0.7210

    def z_and_slope(r: Floats) -> tuple[Floats, Floats]:
        r2 = r * r
        tail = c_exp * np.exp(-k * r2) * r2
        z = 1.0 + c1 * r + c2 * r2 + c5 * r2 * r2 * r + tail * (1.0 + k * r2)
        r_dz = c1 * r + 2.0 * c2 * r2 + 5.0 * c5 * r2 * r2 * r + tail * 2.0 * (1.0 + k * r2 - (k * r2) ** 2)
        return z, r_dz

    def reduced_pressure(r: Floats) -> tuple[Floats, Floats]:
        z, r_dz = z_and_slope(r)
        return r * z, z + r_dz

    r = _solve(reduced_pressure, 0.27 * pressure / T, upper=3.0)
    return np.asarray(z_and_slope(r)[0], dtype=np.float64)


def sutton_pseudocritical(gravity: ArrayLike) -> tuple[Floats, Floats]:
    r"""Return the pseudo-critical pressure and temperature of a gas of known gravity.

    Published in psia and degrees Rankine, and worked so inside:

    .. math::
        p_{pc} &= 756.8 - 131.0 \gamma - 3.6 \gamma^2 \\
        T_{pc} &= 169.2 + 349.5 \gamma - 74.0 \gamma^2

    Parameters
    ----------
    gravity : array_like, any shape
        Gas gravity, the ratio of its molar mass to that of air, 0.55 to 1.68.

    Returns
    -------
    pressure, temperature : ndarray, shape of *gravity*
        Pseudo-critical pressure [Pa absolute] and temperature [K].

    Raises
    ------
    ValueError
        If *gravity* is out of range.

    References
    ----------
    [3]_ of the module.

    Examples
    --------
    >>> pressure, temperature = sutton_pseudocritical(0.7)
    >>> round(float(pressure) / 1e6, 3), round(float(temperature), 1)
    (4.574, 209.8)
    """
    sg = _within("gravity", gravity, GRAVITY_RANGE)
    pressure = (756.8 - 131.0 * sg - 3.6 * sg**2) * _PSI
    temperature = (169.2 + 349.5 * sg - 74.0 * sg**2) * _RANKINE
    return np.asarray(pressure, dtype=np.float64), np.asarray(temperature, dtype=np.float64)


def gas_density(
    pressure_abs: ArrayLike, temperature: ArrayLike, gravity: ArrayLike, z: ArrayLike | None = None
) -> Floats:
    r"""Return the density of a natural gas.

    .. math:: \rho = \frac{p\, \gamma M_{air}}{z R T}

    Parameters
    ----------
    pressure_abs : array_like
        Absolute pressure [Pa], not below 0.
    temperature : array_like, broadcasts with *pressure_abs*
        Temperature [K], above 0.
    gravity : array_like, broadcasts with *pressure_abs*
        Gas gravity, air = 1.
    z : array_like, optional, broadcasts with *pressure_abs*
        Compressibility factor. If left out, Dranchuk and Abou-Kassem's with Sutton's pseudo-critical
        properties.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Density [kg/m3].

    Raises
    ------
    ValueError
        If an argument is out of the range of the equations used.

    References
    ----------
    Law of real gases; z from [2]_ and [3]_ of the module.

    Examples
    --------
    Dry air of the standard atmosphere at sea level, 1.225 kg/m3.

    >>> round(float(gas_density(101325.0, 288.15, gravity=1.0, z=1.0)), 3)
    1.225
    """
    p = _within("pressure_abs", pressure_abs, (0.0, np.inf))
    T = _within("temperature", temperature, (0.0, np.inf))
    if z is None:
        p_pc, t_pc = sutton_pseudocritical(gravity)
        factor = z_dranchuk_abou_kassem(p / p_pc, T / t_pc)
    else:
        factor = _within("z", z, (0.0, np.inf))
    sg = _within("gravity", gravity, (0.0, np.inf))
    for name, values in (("temperature", T), ("z", factor)):
        if np.any(values == 0.0):
            raise ValueError(f"{name} must be above 0, got 0")
    return np.asarray(p * sg * MOLAR_MASS_AIR / (factor * GAS_CONSTANT * T), dtype=np.float64)


def _within(name: str, values: ArrayLike, allowed: tuple[float, float]) -> Floats:
    """Return *values* as an array, or say which of them is out of range."""
    array = np.asarray(values, dtype=np.float64)
    bad = ~((array >= allowed[0]) & (array <= allowed[1]) & np.isfinite(array))
    if bad.any():
        raise ValueError(f"{name} must be {allowed[0]:g} to {allowed[1]:g}, got {array[bad].flat[0]:g}")
    return array


def _solve(function: Callable[[Floats], tuple[Floats, Floats]], target: Floats, upper: float) -> Floats:
    """Return where an increasing *function* (value, slope) from 0 to *upper* equals *target*, elementwise.

    Newton, replaced by halving the bracket wherever a step would leave it.
    """
    low, high = np.zeros_like(target), np.full_like(target, upper)
    x = np.minimum(target, upper / 2.0)
    for _ in range(100):
        value, slope = function(x)
        low = np.where(value < target, x, low)
        high = np.where(value > target, x, high)
        step = x - (value - target) / slope
        inside = (step >= low) & (step <= high)
        new = np.where(inside, step, (low + high) / 2.0)
        moved = np.abs(new - x)
        if (moved <= np.where(inside, CONVERGED, CONVERGED**2) * new).all():
            return new
        x = new
    raise RuntimeError("the equation of state for the gas did not converge in 100 steps")
