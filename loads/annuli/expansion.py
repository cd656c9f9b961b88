r"""What gives way when a closed annulus is heated: its liquid, a gas cap or foam in it, the walls of its pipes.

Each liquid says its density at an absolute pressure and a temperature; `LiquidLaw` is all that is asked of it.
Two are here. `ConstantExpansion` has one coefficient of expansion and one of compressibility, for brine, mud or
base oil, whose coefficients only their maker or a laboratory knows. `WATER` is fresh water by a polynomial of our
own, fitted to the reference equation of state [1]_:

.. math::
    \frac{1}{\rho} = c_0(x) + c_1(x)\, L + c_2(x)\, L^2, \quad
    L = \ln\!\left(1 + \frac{p}{B(x)}\right), \quad x = \frac{T - 273.15}{125} - 1

with polynomials c in x and the exponential of one for B, an equation of Tait with one more term. Fitted at 126
temperatures from 0 to 250 degC and 80 pressures each, from boiling (at least 0.1 MPa) to 200 MPa, towards the
smallest greatest error: density within 1.2e-5 everywhere, compressibility within 0.4 %, expansion within 6e-6 1/K
(0.3 % above 20 degC). The reference values were worked out with CoolProp.

References
----------
.. [1] W. Wagner and A. Pruss, "The IAPWS formulation 1995 for the thermodynamic properties of ordinary water
   substance", J. Phys. Chem. Ref. Data 31, 2002 (citation from memory), with its equation for the vapour
   pressure (coefficients from memory; they agree with CoolProp to 1e-4).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Protocol, runtime_checkable

import numpy as np
from numpy.polynomial.polynomial import polyval

from ..arrays import Array, ArrayLike, Floats
from ..strength.geometry import checked
from ..well import Steel

WATER_TEMPERATURE_RANGE: Final = (273.15, 523.15)
WATER_PRESSURE_RANGE: Final = (0.0, 200e6)
"""Where the polynomial was fitted [K], [Pa absolute]."""

_POLYNOMIALS = np.array(
    [  # by column: logarithm of B / 100 MPa; the three c, of 1000 kg/m3 over the density. By row: powers of x
        [0.76, 1.06506066, -0.12360487, -0.00323025],
        [-1.05, 0.1178911, 0.04289563, -0.01179643],
        [-0.28, 0.05203482, -0.02404935, 0.01112939],
        [0.0, 0.00965876, 0.00768371, -0.00709521],
        [0.0, 0.00994357, -0.01325434, 0.00297127],
        [0.0, 0.00215293, 0.00440597, -0.00063441],
        [0.0, 0.00056322, -0.00657504, 0.01201952],
        [0.0, -0.00019944, 0.0076666, -0.01715067],
        [0.0, 0.00209914, -0.00493454, 0.0072782],
    ]
)
_CRITICAL = (647.096, 22.064e6)  # K, Pa
_BOILING = ((1.0, -7.85951783), (1.5, 1.84408259), (3.0, -11.7866497), (3.5, 22.6807411), (4.0, -15.9618719),
            (7.5, 1.80122502))  # fmt: skip


class LiquidLaw(Protocol):
    """A liquid whose density depends on pressure and temperature."""

    def density(self, pressure_abs: Array, temperature: Array) -> Array:
        """Return the density [kg/m3] at absolute pressure [Pa] and temperature [K], broadcast."""
        ...


@runtime_checkable
class BoilingLiquid(Protocol):
    """A liquid that says when it boils."""

    def boiling_pressure(self, temperature: Array) -> Array:
        """Return the absolute pressure [Pa] below which it boils at *temperature* [K]."""
        ...


@dataclass(frozen=True, kw_only=True)
class ConstantExpansion:
    r"""A liquid of constant expansion and compressibility, ``rho = rho_0 exp(kappa (p - p_0) - alpha (T - T_0))``.

    Attributes
    ----------
    reference_density : float
        Density at the reference, more than zero [kg/m3].
    expansion : float
        Thermal expansion of its volume [1/K].
    compressibility : float
        Isothermal, more than zero [1/Pa].
    reference_pressure, reference_temperature : float
        Absolute [Pa], [K].

    Examples
    --------
    Heated by 50 K in a rigid vessel, ``alpha dT / kappa``, 44.4 MPa, keeps its density:

    >>> brine = ConstantExpansion(reference_density=1200.0, expansion=4e-4, compressibility=4.5e-10,
    ...                           reference_pressure=101325.0, reference_temperature=293.15)
    >>> round(float(brine.density(101325.0 + 4e-4 * 50.0 / 4.5e-10, 343.15)), 9)
    1200.0
    """

    reference_density: float
    expansion: float
    compressibility: float
    reference_pressure: float
    reference_temperature: float

    def __post_init__(self) -> None:
        checked("reference_density", self.reference_density, "kg/m3", above=0.0)
        checked("expansion", self.expansion, "1/K")
        checked("compressibility", self.compressibility, "1/Pa", above=0.0)
        checked("reference_pressure", self.reference_pressure, "Pa")
        checked("reference_temperature", self.reference_temperature, "K", above=0.0)

    def density(self, pressure_abs: Array, temperature: Array) -> Array:
        """Return the density [kg/m3] at absolute pressure [Pa] and temperature [K], broadcast."""
        squeezed = self.compressibility * (pressure_abs - self.reference_pressure)
        return self.reference_density * np.exp(squeezed - self.expansion * (temperature - self.reference_temperature))


def water_density(pressure_abs: ArrayLike, temperature: ArrayLike) -> Floats:
    """Return the density of fresh water as a liquid, by the polynomial of the module.

    Parameters
    ----------
    pressure_abs : array_like
        Absolute pressure [Pa], 0 to 200 MPa. Below the boiling pressure the polynomial runs on smoothly, as of
        water that does not boil yet; there it is not fitted to anything.
    temperature : array_like, broadcasts with *pressure_abs*
        Temperature [K], 273.15 to 523.15 (0 to 250 degC).

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Density [kg/m3].

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    Fitted to [1]_ of the module.

    Examples
    --------
    The reference equation has 971.79 kg/m3 at 80 degC and one atmosphere:

    >>> f"{float(water_density(101325.0, 353.15)):.2f}"
    '971.80'
    """
    low, high = WATER_TEMPERATURE_RANGE
    x = (checked("temperature of water", temperature, "K", least=low, most=high) - 273.15) / 125.0 - 1.0
    low, high = WATER_PRESSURE_RANGE
    p = checked("absolute pressure of water", pressure_abs, "Pa", least=low, most=high) / 1e8
    scale, c0, c1, c2 = polyval(x, _POLYNOMIALS)
    log = np.log1p(p * np.exp(-scale))
    return np.asarray(1000.0 / (c0 + log * (c1 + log * c2)), dtype=np.float64)


def water_boiling_pressure(temperature: ArrayLike) -> Floats:
    """Return the absolute pressure at which fresh water boils.

    Parameters
    ----------
    temperature : array_like
        Temperature [K], 273.15 to 647.096.

    Returns
    -------
    ndarray, shape of *temperature*
        Vapour pressure [Pa].

    Raises
    ------
    ValueError
        If *temperature* is out of range.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    >>> round(float(water_boiling_pressure(373.15)) / 1e3, 1)
    101.4
    """
    critical, pressure = _CRITICAL
    kelvin = checked("temperature of water", temperature, "K", least=273.15, most=critical)
    away = 1.0 - kelvin / critical
    total = sum(factor * away**power for power, factor in _BOILING)
    return np.asarray(pressure * np.exp(critical / kelvin * total), dtype=np.float64)


@dataclass(frozen=True)
class Water:
    """Fresh water, by `water_density` and `water_boiling_pressure`."""

    def density(self, pressure_abs: Array, temperature: Array) -> Array:
        """Return the density [kg/m3] at absolute pressure [Pa] and temperature [K], broadcast."""
        return water_density(pressure_abs, temperature)

    def boiling_pressure(self, temperature: Array) -> Array:
        """Return the absolute pressure [Pa] below which it boils at *temperature* [K]."""
        return water_boiling_pressure(temperature)


WATER: Final = Water()


@dataclass(frozen=True, kw_only=True)
class GasCap:
    """Ideal gas on top of the liquid; *volume* is what it fills before the heating [m3]."""

    volume: float

    def __post_init__(self) -> None:
        checked("volume", self.volume, "m3", above=0.0)

    def volume_now(self, pressure_then: float, temperature_then: float, pressure: float, temperature: float) -> float:
        """Return its volume [m3] at an absolute pressure [Pa] and a temperature [K], from those before."""
        return self.volume * (pressure_then / pressure) * (temperature / temperature_then)


@dataclass(frozen=True, kw_only=True)
class Foam:
    """Closed-cell foam in the annulus, ``V = V_0 exp(-kappa dp)``; heat does not change it.

    Attributes
    ----------
    volume : float
        What it fills before the heating [m3].
    compressibility : float
        Constant [1/Pa]. A foam that crushes at a threshold is not covered.
    md : float or None
        Where its pressure is taken [m]; None: at the top of the annulus.
    """

    volume: float
    compressibility: float
    md: float | None = None

    def __post_init__(self) -> None:
        checked("volume", self.volume, "m3", above=0.0)
        checked("compressibility", self.compressibility, "1/Pa", above=0.0)

    def volume_now(self, pressure_then: float, temperature_then: float, pressure: float, temperature: float) -> float:
        """Return its volume [m3] at an absolute pressure [Pa], from that before; temperatures [K] play no part."""
        return float(self.volume * np.exp(-self.compressibility * (pressure - pressure_then)))


def radial_displacement(
    inside_radius: ArrayLike,
    outside_radius: ArrayLike,
    radius: ArrayLike,
    inside_pressure: ArrayLike,
    outside_pressure: ArrayLike,
    temperature_rise: ArrayLike,
    steel: Steel,
    held: ArrayLike = True,
) -> Floats:
    r"""Return how far a point in the wall of a thick tube moves outward, by pressure and heat.

    .. math::
        u(r) = \frac{m\, r\,(p_i a^2 - p_o b^2) + (1 + \nu)(p_i - p_o)\, a^2 b^2 / r}{E\,(b^2 - a^2)}
               + n\, \alpha\, \Delta T\, r

    Held along its axis (no axial strain) :math:`m = (1 + \nu)(1 - 2 \nu)` and :math:`n = 1 + \nu`. Free (axial
    force unchanged) :math:`m = 1 - \nu` and :math:`n = 1`.

    Parameters
    ----------
    inside_radius, outside_radius : array_like
        a and b [m].
    radius : array_like
        Of the point, a to b [m].
    inside_pressure, outside_pressure : array_like
        Changes of pressure [Pa].
    temperature_rise : array_like
        Of the steel [K], the same through the wall.
    steel : Steel
        Elastic constants.
    held : array_like of bool
        Whether the pipe is held along its axis.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Displacement [m], outward positive.

    Raises
    ------
    ValueError
        Unless ``0 < a < b`` and *radius* is between them.

    References
    ----------
    Lame's tube in plane strain and with free ends, as in any text on elasticity.

    Examples
    --------
    By an equal pressure all round a free tube shrinks as a solid, by ``(1 - nu) r p / E``, like a hole in it:

    >>> iron = Steel(modulus=200e9, poisson=0.25, expansion=12e-6)
    >>> round(float(radial_displacement(0.1, 0.2, 0.1, 200e6, 200e6, 0.0, iron, held=False)), 12)
    -7.5e-05
    """
    a = checked("inside_radius", inside_radius, "m", above=0.0)
    b = checked("outside_radius", outside_radius, "m", above=0.0)
    r = checked("radius", radius, "m", above=0.0)
    if np.any(a >= b) or np.any(r < a * (1.0 - 1e-12)) or np.any(r > b * (1.0 + 1e-12)):
        raise ValueError("need inside_radius < outside_radius, and radius between them")
    p_i, p_o = np.asarray(inside_pressure, dtype=np.float64), np.asarray(outside_pressure, dtype=np.float64)
    nu, axial = steel.poisson, np.asarray(held, dtype=bool)
    m = np.where(axial, (1.0 + nu) * (1.0 - 2.0 * nu), 1.0 - nu)
    n = np.where(axial, 1.0 + nu, 1.0)
    spread = m * r * (p_i * a**2 - p_o * b**2) + (1.0 + nu) * (p_i - p_o) * (a * b) ** 2 / r
    heat = n * steel.expansion * np.asarray(temperature_rise, dtype=np.float64) * r
    return np.asarray(spread / (steel.modulus * (b**2 - a**2)) + heat, dtype=np.float64)
