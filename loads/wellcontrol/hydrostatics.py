r"""Limits of well control by hydrostatics: surface pressure, kill mud, riser margin, the mud window.

Depths are true vertical [m] below the drill floor, pressures gauge [Pa]. All is at rest: no friction in the annulus, no
surge. Where a function takes exposed depths, they are the last axis; samples stand on leading axes.

References
----------
.. [1] S. Devereux, *Practical Well Planning and Drilling Manual*, PennWell 1998, appendix 1, p. 438.
.. [2] N. J. Lapeyrouse, *Formulas and Calculations for Drilling, Production and Workover*, as followed by an open
   drilling tutorial (secondary copy).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..arrays import Array, ArrayLike
from ..constants import GRAVITY


class Least(NamedTuple):
    """The least value along the last axis, and its place there; both without that axis."""

    value: Array
    index: Array


def least(values: ArrayLike) -> Least:
    """Return the least of *values* along the last axis, the first of several alike.

    Examples
    --------
    >>> least([[3.0, 1.0], [2.0, 4.0]]).value.tolist()
    [1.0, 2.0]
    """
    array = np.asarray(values, dtype=np.float64)
    index = np.argmin(array, axis=-1)
    return Least(taken(array, index), index)


def allowable_surface_pressure(fracture_pressure: ArrayLike, mud_pressure: ArrayLike) -> Least:
    """Return the annular pressure at the surface at which the weakest exposed depth breaks, all at rest.

    Parameters
    ----------
    fracture_pressure : array_like, (..., n)
        At the exposed depths [Pa]; of one depth, the shoe, this is the usual formula.
    mud_pressure : array_like, broadcasts with *fracture_pressure*
        There, of a full column of mud from where the pressure is meant [Pa].

    Returns
    -------
    Least
        Pressure [Pa], negative where the mud alone breaks the hole; and which depth is the weakest.

    References
    ----------
    MAASP of [1]_ and [2]_ of the module.

    Examples
    --------
    >>> found = allowable_surface_pressure([45e6, 44e6, 60e6], [33e6, 35e6, 40e6])
    >>> float(found.value), int(found.index)
    (9000000.0, 1)
    """
    return least(np.subtract(fracture_pressure, mud_pressure))


def adjusted_leak_off(surface_pressure: ArrayLike, depth: ArrayLike, tested: ArrayLike, planned: ArrayLike) -> Array:
    """Return the surface pressure of a leak-off test as it would be with another mud.

    Parameters
    ----------
    surface_pressure : array_like
        Of the test [Pa].
    depth : array_like
        Of the tested shoe, true vertical below where the pressure was read [m].
    tested, planned : array_like
        Density of the mud of the test, and of the other [kg/m3].

    Returns
    -------
    ndarray, broadcast shape of the inputs
        ``p - g z (planned - tested)`` [Pa].

    References
    ----------
    [2]_ of the module.

    Examples
    --------
    >>> round(float(adjusted_leak_off(7e6, 1000.0, 1100.0, 1300.0)))
    5038670
    """
    return np.asarray(surface_pressure) - GRAVITY * np.multiply(depth, np.subtract(planned, tested))


def shut_in_pressure(intensity: ArrayLike, depth: ArrayLike) -> Array:
    """Return the drill pipe pressure [Pa] at which a kick shuts in.

    Its *intensity* is the density [kg/m3] by which the formation at *depth* [m] is above the mud.

    Examples
    --------
    >>> round(float(shut_in_pressure(60.0, 3000.0)))
    1765197
    """
    return GRAVITY * np.multiply(intensity, depth)


def formation_pressure(shut_in: ArrayLike, density: ArrayLike, depth: ArrayLike) -> Array:
    """Return the formation pressure [Pa] at *depth* [m], from the shut-in drill pipe pressure and the mud in the pipe.

    Examples
    --------
    >>> round(float(formation_pressure(3e6, 1400.0, 3000.0)))
    44187930
    """
    return np.asarray(shut_in) + GRAVITY * np.multiply(density, depth)


def kill_density(shut_in: ArrayLike, density: ArrayLike, depth: ArrayLike) -> Array:
    """Return the density of the mud [kg/m3] that balances the formation at *depth* [m], without any margin.

    Examples
    --------
    >>> round(float(kill_density(3e6, 1400.0, 3000.0)), 2)
    1501.97
    """
    return np.asarray(density) + np.divide(shut_in, GRAVITY * np.asarray(depth))


def density_without_riser(pressure: ArrayLike, depth: ArrayLike, at_wellhead: ArrayLike, wellhead: ArrayLike) -> Array:
    """Return the mud [kg/m3] that, from the wellhead down, keeps the pressure at a depth once the riser is gone.

    Parameters
    ----------
    pressure, depth : array_like
        What is to be kept [Pa], and where [m].
    at_wellhead, wellhead : array_like
        Pressure of the sea at the wellhead [Pa], and its depth [m].

    Returns
    -------
    ndarray, broadcast shape of the inputs
        [kg/m3].

    Examples
    --------
    >>> round(float(density_without_riser(40e6, 3000.0, 10e6, 1000.0)), 2)
    1529.57
    """
    return np.subtract(pressure, at_wellhead) / (GRAVITY * np.subtract(depth, wellhead))


def riser_margin(
    density: ArrayLike, sea_density: ArrayLike, depth: ArrayLike, riser: ArrayLike, water_depth: ArrayLike
) -> Array:
    r"""Return how much heavier the mud must be so that loss of the riser leaves the pressure at a depth as it was.

    .. math:: \Delta\rho = \frac{\rho_m D - \rho_{sw} z_w}{D - L} - \rho_m

    Parameters
    ----------
    density, sea_density : array_like
        Of mud and sea water [kg/m3].
    depth : array_like
        Where the pressure is kept, D, below the drill floor [m].
    riser : array_like
        Drill floor to wellhead, L [m].
    water_depth : array_like
        Sea level to wellhead, z_w [m]; the riser is longer by the air gap.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Density [kg/m3], to be added to that of the mud.

    References
    ----------
    [2]_ of the module; the example printed there does not follow from its inputs.

    Examples
    --------
    >>> round(float(riser_margin(1200.0, 1025.0, 3000.0, 1026.0, 1000.0)), 2)
    104.46
    """
    kept = GRAVITY * np.multiply(density, depth)
    needed = density_without_riser(kept, depth, GRAVITY * np.multiply(sea_density, water_depth), riser)
    return needed - np.asarray(density)


class MudWindow(NamedTuple):
    """Mud over pore pressure and fracture pressure over mud [Pa] (..., n), and the least of each."""

    overbalance: Array
    fracture_margin: Array
    least_overbalance: Least
    least_fracture_margin: Least


def mud_window(pore_pressure: ArrayLike, fracture_pressure: ArrayLike, mud_pressure: ArrayLike) -> MudWindow:
    """Return by how much the mud stays within the window of pore and fracture pressure.

    Parameters
    ----------
    pore_pressure, fracture_pressure, mud_pressure : array_like, (..., n)
        At the exposed depths [Pa].

    Returns
    -------
    MudWindow
        Negative overbalance is underbalance; a negative margin below fracture is lost circulation.

    Examples
    --------
    >>> window = mud_window([10e6, 22e6], [15e6, 30e6], [12e6, 21e6])
    >>> float(window.least_overbalance.value), int(window.least_fracture_margin.index)
    (-1000000.0, 0)
    """
    over = np.subtract(mud_pressure, pore_pressure)
    margin = np.subtract(fracture_pressure, mud_pressure)
    return MudWindow(over, margin, least(over), least(margin))


def taken(values: Array, index: Array) -> Array:
    """Return the value at *index* of the last axis."""
    return np.take_along_axis(values, np.expand_dims(index, -1), axis=-1)[..., 0]
