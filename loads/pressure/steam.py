r"""Water and steam of a geothermal well: where water boils, how dense it is, and columns of either.

The industrial formulation of 1997 (IAPWS-IF97) [1]_: the boiling curve by its region 4, liquid water by region 1,
steam by region 2. All pressures in it are absolute. It holds to 623.15 K (350 degC, 16.5 MPa) on the boiling curve;
nearer the critical point its region 3 would be needed, which is not here. Against the reference equation of state the
density was found within 0.004 % for water to 100 MPa, 0.03 % for steam. Fresh water without gas: salt makes water
denser, and carbon dioxide steam.

References
----------
.. [1] International Association for the Properties of Water and Steam, *Revised release on the IAPWS industrial
   formulation 1997*, IAPWS R7-97: equations 7 (region 1), 15 to 17 (region 2), 30 and 31 (region 4). Coefficients
   from memory; they agree with those of CoolProp to rounding, and give the verification values of the release.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from ..arrays import Array, ArrayLike, Floats, Sampled
from ..remark import Remark
from ..strength.geometry import checked
from .compressible import Density, Temperature, integrate_column

COLDEST: Final = 273.15
"""Least temperature of the formulation [K]."""
HOTTEST_LIQUID: Final = 623.15
"""Greatest temperature of liquid water here [K]."""
HOTTEST_STEAM: Final = 1073.15
"""Greatest temperature of steam [K]."""
MOST_STEAM: Final = 16.529164e6
"""Greatest absolute pressure of steam here: that of boiling at `HOTTEST_LIQUID`, by region 4 [Pa]."""
MOST_LIQUID: Final = 100e6
"""Greatest absolute pressure of liquid water [Pa]."""

_CRITICAL = (647.096, 22.0640001e6)  # K, Pa; a hair more than the 22.064 MPa of the release, for rounding
_COLDEST_BOILING = 611.212  # pressure of boiling at `COLDEST`, a hair less [Pa]
_GAS_CONSTANT = 461.526  # of water, as the formulation has it [J/(kg K)]
_SAME = 1e-7  # share of the pressure by which rounding may miss the boiling curve
_STEP = 30.0  # of integration [m]; within 1e-7 of the pressure, 2e-4 where water boils under the atmosphere alone

_BOILING = (
    0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
    0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
)  # fmt: skip

# Exponents I and J, and the coefficient, of each term that depends on pressure.
_LIQUID = np.array([
    (1, -9, 0.28319080123804e-3), (1, -7, -0.60706301565874e-3), (1, -1, -0.18990068218419e-1),
    (1, 0, -0.32529748770505e-1), (1, 1, -0.21841717175414e-1), (1, 3, -0.52838357969930e-4),
    (2, -3, -0.47184321073267e-3), (2, 0, -0.30001780793026e-3), (2, 1, 0.47661393906987e-4),
    (2, 3, -0.44141845330846e-5), (2, 17, -0.72694996297594e-15), (3, -4, -0.31679644845054e-4),
    (3, 0, -0.28270797985312e-5), (3, 6, -0.85205128120103e-9), (4, -5, -0.22425281908000e-5),
    (4, -2, -0.65171222895601e-6), (4, 10, -0.14341729937924e-12), (5, -8, -0.40516996860117e-6),
    (8, -11, -0.12734301741641e-8), (8, -6, -0.17424871230634e-9), (21, -29, -0.68762131295531e-18),
    (23, -31, 0.14478307828521e-19), (29, -38, 0.26335781662795e-22), (30, -39, -0.11947622640071e-22),
    (31, -40, 0.18228094581404e-23), (32, -41, -0.93537087292458e-25),
])  # fmt: skip
_STEAM = np.array([
    (1, 0, -0.17731742473213e-2), (1, 1, -0.17834862292358e-1), (1, 2, -0.45996013696365e-1),
    (1, 3, -0.57581259083432e-1), (1, 6, -0.50325278727930e-1), (2, 1, -0.33032641670203e-4),
    (2, 2, -0.18948987516315e-3), (2, 4, -0.39392777243355e-2), (2, 7, -0.43797295650573e-1),
    (2, 36, -0.26674547914087e-4), (3, 0, 0.20481737692309e-7), (3, 1, 0.43870667284435e-6),
    (3, 3, -0.32277677238570e-4), (3, 6, -0.15033924542148e-2), (3, 35, -0.40668253562649e-1),
    (4, 1, -0.78847309559367e-9), (4, 2, 0.12790717852285e-7), (4, 3, 0.48225372718507e-6),
    (5, 7, 0.22922076337661e-5), (6, 3, -0.16714766451061e-10), (6, 16, -0.21171472321355e-2),
    (6, 35, -0.23895741934104e2), (7, 0, -0.59059564324270e-17), (7, 11, -0.12621808899101e-5),
    (7, 25, -0.38946842435739e-1), (8, 8, 0.11256211360459e-10), (8, 36, -0.82311340897998e1),
    (9, 13, 0.19809712802088e-7), (10, 4, 0.10406965210174e-18), (10, 10, -0.10234747095929e-12),
    (10, 14, -0.10018179379511e-8), (16, 29, -0.80882908646985e-10), (16, 50, 0.10693031879409),
    (18, 57, -0.33662250574171), (20, 20, 0.89185845355421e-24), (20, 35, 0.30629316876232e-12),
    (20, 48, -0.42002467698208e-5), (21, 21, -0.59056029685639e-25), (22, 53, 0.37826947613457e-5),
    (23, 39, -0.12768608934681e-14), (24, 26, 0.73087610595061e-28), (24, 40, 0.55414715350778e-16),
    (24, 58, -0.94369707241210e-6),
])  # fmt: skip


# --- the boiling curve ------------------------------------------------------------------------------------------------


def saturation_pressure(temperature: ArrayLike) -> Floats:
    r"""Return the absolute pressure at which water boils.

    .. math:: p_s = \left( \frac{2 C}{-B + \sqrt{B^2 - 4 A C}} \right)^4 \text{ MPa}, \quad
              \vartheta = T + \frac{n_9}{T - n_{10}}

    with A, B and C quadratic in :math:`\vartheta`.

    Parameters
    ----------
    temperature : array_like
        [K], 273.15 to 647.096.

    Returns
    -------
    ndarray, shape of *temperature*
        Absolute pressure [Pa].

    Raises
    ------
    ValueError
        If *temperature* is out of range.

    References
    ----------
    [1]_ of the module, equation 30.

    Examples
    --------
    A verification value of [1]_:

    >>> round(float(saturation_pressure(500.0)) / 1e6, 8)
    2.63889776
    """
    kelvin = checked("temperature of boiling", temperature, "K", least=COLDEST, most=_CRITICAL[0])
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _BOILING
    theta = kelvin + n9 / (kelvin - n10)
    a, b, c = (theta * (theta * x + y) + z for x, y, z in ((1.0, n1, n2), (n3, n4, n5), (n6, n7, n8)))
    return np.asarray(1e6 * (2.0 * c / (np.sqrt(b * b - 4.0 * a * c) - b)) ** 4, dtype=np.float64)


def saturation_temperature(pressure_abs: ArrayLike) -> Floats:
    r"""Return the temperature at which water boils, the exact inverse of `saturation_pressure`.

    .. math:: T_s = \tfrac12 \left( n_{10} + D - \sqrt{(n_{10} + D)^2 - 4 (n_9 + n_{10} D)} \right), \quad
              D = \frac{2 G}{-F - \sqrt{F^2 - 4 E G}}

    with E, F and G quadratic in the fourth root of the pressure in MPa.

    Parameters
    ----------
    pressure_abs : array_like
        Absolute pressure [Pa], 611.212 Pa to 22.064 MPa.

    Returns
    -------
    ndarray, shape of *pressure_abs*
        [K].

    Raises
    ------
    ValueError
        If *pressure_abs* is out of range.

    References
    ----------
    [1]_ of the module, equation 31.

    Examples
    --------
    A verification value of [1]_:

    >>> round(float(saturation_temperature(1e6)), 6)
    453.035632
    """
    least, most = _COLDEST_BOILING, _CRITICAL[1]
    pressure = checked("absolute pressure of boiling", pressure_abs, "Pa", least=least, most=most)
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _BOILING
    beta = (pressure / 1e6) ** 0.25
    e, f, g = (beta * (beta * x + y) + z for x, y, z in ((1.0, n3, n6), (n1, n4, n7), (n2, n5, n8)))
    d = n10 + 2.0 * g / (-f - np.sqrt(f * f - 4.0 * e * g))
    return np.asarray(0.5 * (d - np.sqrt(d * d - 4.0 * (n9 + n10 * (d - n10)))), dtype=np.float64)


# --- density ----------------------------------------------------------------------------------------------------------


def liquid_density(pressure_abs: ArrayLike, temperature: ArrayLike) -> Floats:
    r"""Return the density of liquid water.

    .. math:: \frac{1}{\rho} = \frac{R T}{p^*}\, \frac{\partial \gamma}{\partial \pi}, \quad
              \gamma = \sum n\, (7.1 - \pi)^I (\tau - 1.222)^J, \quad
              \pi = \frac{p}{p^*}, \quad \tau = \frac{1386\text{ K}}{T}, \quad p^* = 16.53\text{ MPa}

    Parameters
    ----------
    pressure_abs : array_like
        Absolute pressure [Pa], at least that of boiling, at most 100 MPa.
    temperature : array_like, broadcasts with *pressure_abs*
        [K], 273.15 to 623.15.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        [kg/m3].

    Raises
    ------
    ValueError
        If an argument is out of range, or the water would boil.

    References
    ----------
    [1]_ of the module, equation 7 and table 3.

    Examples
    --------
    A verification value of [1]_: 0.120241800e-2 m3/kg at 500 K and 3 MPa.

    >>> f"{1.0 / float(liquid_density(3e6, 500.0)):.11f}"
    '0.00120241800'
    """
    kelvin = checked("temperature of water", temperature, "K", least=COLDEST, most=HOTTEST_LIQUID)
    pressure = checked("absolute pressure of water", pressure_abs, "Pa", above=0.0, most=MOST_LIQUID)
    _refuse(pressure < saturation_pressure(kelvin) * (1.0 - _SAME), pressure, kelvin, "water boils")
    pressure_scale = 16.53e6
    slope = -_slope(_LIQUID, 7.1 - pressure / pressure_scale, 1386.0 / kelvin - 1.222)
    return np.asarray(pressure_scale / (_GAS_CONSTANT * kelvin * slope), dtype=np.float64)


def steam_density(pressure_abs: ArrayLike, temperature: ArrayLike) -> Floats:
    r"""Return the density of steam, dry at boiling or superheated.

    .. math:: \rho = \frac{p}{R T} \left(1 + \pi \frac{\partial \gamma^r}{\partial \pi}\right)^{-1}, \quad
              \gamma^r = \sum n\, \pi^I (\tau - 0.5)^J, \quad
              \pi = \frac{p}{1\text{ MPa}}, \quad \tau = \frac{540\text{ K}}{T}

    Parameters
    ----------
    pressure_abs : array_like
        Absolute pressure [Pa], 0 to that of boiling, at most 16.53 MPa.
    temperature : array_like, broadcasts with *pressure_abs*
        [K], 273.15 to 1073.15.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        [kg/m3].

    Raises
    ------
    ValueError
        If an argument is out of range, or the steam would condense.

    References
    ----------
    [1]_ of the module, equations 15 to 17 and table 11.

    Examples
    --------
    A verification value of [1]_: 92.3015898 m3/kg at 700 K and 3.5 kPa.

    >>> round(1.0 / float(steam_density(3500.0, 700.0)), 7)
    92.3015898
    """
    kelvin = checked("temperature of steam", temperature, "K", least=COLDEST, most=HOTTEST_STEAM)
    pressure = checked("absolute pressure of steam", pressure_abs, "Pa", least=0.0, most=MOST_STEAM * (1.0 + _SAME))
    boiling = saturation_pressure(np.minimum(kelvin, HOTTEST_LIQUID))  # hotter steam does not condense here
    _refuse(pressure > boiling * (1.0 + _SAME), pressure, kelvin, "steam condenses")
    pi = pressure / 1e6
    departure = 1.0 + pi * _slope(_STEAM, pi, 540.0 / kelvin - 0.5)
    return np.asarray(pressure / (_GAS_CONSTANT * kelvin * departure), dtype=np.float64)


def _slope(terms: Floats, x: Floats, y: Floats) -> Array:
    """Return the derivative by *x* of the sum of ``n x^I y^J``."""
    i, j, n = terms.T
    return np.sum(n * i * x[..., np.newaxis] ** (i - 1.0) * y[..., np.newaxis] ** j, axis=-1)


def _refuse(where: Array, pressure: Floats, kelvin: Floats, what: str) -> None:
    if np.any(where):
        first = (float(np.broadcast_to(value, np.shape(where))[where].flat[0]) for value in (pressure, kelvin))
        raise ValueError("{} at {:g} Pa absolute and {:g} K".format(what, *first))


# --- columns ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Steam:
    """Steam that fills a column.

    Attributes
    ----------
    temperature : callable or None
        Absolute [K] against true vertical depth [m]: where it is above boiling the steam is superheated, elsewhere
        dry at boiling. None: dry at boiling everywhere, the densest that steam can be.

    Examples
    --------
    Under 2 MPa (gauge) at the top the steam 2000 m below has 2.22 MPa:

    >>> round(float(Steam().carry(2000.0, 0.0, 2e6)) / 1e6, 2)
    2.22
    """

    temperature: Temperature | None = None

    def carry(self, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled) -> Array:
        """Return the integral of ``dp/dz = rho g``."""
        return _carry(self._density, self.temperature, tvd, from_tvd, from_pressure)

    def _density(self, pressure_abs: Floats, temperature: Floats) -> Floats:
        boiling = saturation_temperature(pressure_abs)
        return steam_density(pressure_abs, boiling if self.temperature is None else np.maximum(temperature, boiling))

    def words(self) -> Remark:
        """Return what it is, in words."""
        return Remark("steam, dry at boiling" if self.temperature is None else "steam of the temperature given")


@dataclass(frozen=True)
class HotWater:
    """Water that fills a column.

    Attributes
    ----------
    temperature : callable or None
        Absolute [K] against true vertical depth [m]; where it is above boiling the water is at boiling instead. None:
        at boiling at every depth, as a well that has boiled, without the bubbles that would make it lighter.

    Examples
    --------
    The pressure 1000 m below ground in a field that boils at every depth is 7.87 MPa (gauge), cold water has 9.81:

    >>> round(float(HotWater().carry(1000.0, 0.0, 0.0)) / 1e6, 2)
    7.87
    """

    temperature: Temperature | None = None

    def carry(self, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled) -> Array:
        """Return the integral of ``dp/dz = rho g``."""
        return _carry(self._density, self.temperature, tvd, from_tvd, from_pressure)

    def _density(self, pressure_abs: Floats, temperature: Floats) -> Floats:
        if self.temperature is None:
            return liquid_density(pressure_abs, saturation_temperature(pressure_abs))
        boiling = saturation_temperature(np.minimum(pressure_abs, MOST_STEAM))
        return liquid_density(pressure_abs, np.minimum(temperature, boiling))

    def words(self) -> Remark:
        """Return what it is, in words."""
        return Remark("water, boiling at every depth" if self.temperature is None else "water of the temperature given")


def _carry(
    density: Density, temperature: Temperature | None, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled
) -> Array:
    farthest = float(np.max(np.abs(np.subtract(tvd, from_tvd)), initial=0.0))
    nodes = 5 + int(farthest / _STEP)
    return integrate_column(density, temperature or _unasked, from_tvd, from_pressure, tvd, nodes)


def _unasked(tvd: Floats) -> Floats:
    """Return any temperature: that of boiling is taken instead."""
    return np.full_like(tvd, COLDEST)
