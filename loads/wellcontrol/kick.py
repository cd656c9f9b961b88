r"""A gas kick by hydrostatics: what influx a hole tolerates, and its pressure on its way up.

Depths are true vertical [m] below the drill floor, pressures gauge [Pa]; the gas law takes absolute pressure and is
given it here. An influx is one bubble: it keeps together, does not dissolve (oil-base mud is not covered) and has the
same gradient everywhere. All is at rest: no friction in the annulus, no surge. Where a function takes exposed depths,
they are the last axis; samples stand on leading axes.

References
----------
.. [1] S. Devereux, *Practical Well Planning and Drilling Manual*, PennWell 1998, appendix 1, p. 438.
.. [2] N. J. Lapeyrouse, *Formulas and Calculations for Drilling, Production and Workover*, as followed by an open
   drilling tutorial (secondary copy).
.. [3] J. L. LeBlanc and R. L. Lewis, "A mathematical model of a gas kick", SPE 1860, 1968 (secondary copy).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..arrays import Array, ArrayLike, Floats
from ..constants import ATMOSPHERE
from .hydrostatics import taken


def annular_capacity(hole: ArrayLike, pipe: ArrayLike) -> Array:
    """Return the volume of the annulus per length of hole [m3/m], of diameters [m].

    Raises
    ------
    ValueError
        If a pipe is not thinner than its hole, or below 0.

    Examples
    --------
    >>> round(float(annular_capacity(0.311, 0.127)), 5)
    0.0633
    """
    if np.any(np.asarray(pipe) >= np.asarray(hole)) or np.any(np.asarray(pipe) < 0.0):
        raise ValueError(f"pipe must be 0 to less than the hole of {np.min(hole):g} m, got {np.max(pipe):g} m")
    return 0.25 * np.pi * (np.square(hole) - np.square(pipe))


@dataclass(frozen=True, kw_only=True)
class Annulus:
    """Volume of the annulus of the open hole, counted from its top down.

    Attributes
    ----------
    tvd : ndarray, (k,)
        Not decreasing, from the top of the open hole to its bottom [m]; alike where the hole is level.
    volume : ndarray, (k,)
        Above each [m3].

    Examples
    --------
    >>> hole = two_part_annulus(1000.0, 2000.0, around_pipe=0.06, around_collars=0.04, collars=150.0)
    >>> float(hole.between(1800.0, 2000.0).round(9))
    9.0
    """

    tvd: Floats
    volume: Floats

    def between(self, top: ArrayLike, bottom: ArrayLike) -> Array:
        """Return the volume [m3] between two true vertical depths [m], any shape."""
        lower, upper = (np.asarray(z, dtype=np.float64) for z in (bottom, top))
        return np.asarray(np.interp(lower, self.tvd, self.volume) - np.interp(upper, self.tvd, self.volume))


def two_part_annulus(
    top: float, bottom: float, *, around_pipe: float, around_collars: float, collars: float
) -> Annulus:
    """Return the annulus of a vertical hole from *top* to *bottom* [m], its capacities [m3/m] given.

    The lowest part, of the length *collars* [m], is around the drill collars; the rest is around drill pipe.

    Examples
    --------
    >>> two_part_annulus(2000.0, 3000.0, around_pipe=0.06, around_collars=0.04, collars=150.0).volume.tolist()
    [0.0, 51.0, 57.0]
    """
    if not bottom > top or collars < 0.0:
        raise ValueError(f"need bottom > top and collars not below 0, got {bottom:g}, {top:g} and {collars:g} m")
    change = max(top, bottom - collars)
    around = np.array([0.0, around_pipe * (change - top), around_collars * (bottom - change)])
    return Annulus(tvd=np.array([top, change, bottom]), volume=np.cumsum(around))


def influx_height(
    above_bottom: ArrayLike,
    fracture_pressure: ArrayLike,
    formation_pressure: ArrayLike,
    mud_gradient: ArrayLike,
    influx_gradient: ArrayLike,
) -> Array:
    r"""Return the height of influx below a depth at which that depth breaks, the formation at the bottom held.

    .. math:: h = \frac{G_m H - (p_{form} - p_{frac})}{G_m - G_g}

    Parameters
    ----------
    above_bottom : array_like
        Height of the depth above the bottom, H [m].
    fracture_pressure, formation_pressure : array_like
        At the depth, and at the bottom [Pa].
    mud_gradient, influx_gradient : array_like
        [Pa/m], the mud's the greater.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        [m]; negative: no influx at all can be shut in. Not below H: influx down to the bottom does not break it.

    Raises
    ------
    ValueError
        If the influx is not lighter than the mud.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    >>> round(float(influx_height(900.0, 26e6, 36.4e6, 13.6e3, 2.3e3)), 2)
    162.83
    """
    lighter = np.subtract(mud_gradient, influx_gradient)
    if not np.all(lighter > 0.0):
        raise ValueError(f"influx_gradient must be below mud_gradient, got one {np.max(-lighter):g} Pa/m above it")
    return (np.multiply(mud_gradient, above_bottom) - np.subtract(formation_pressure, fracture_pressure)) / lighter


def gas_volume(volume: ArrayLike, pressure: ArrayLike, new_pressure: ArrayLike, zeta: ArrayLike = 1.0) -> Array:
    """Return the volume [m3] of gas taken from one gauge pressure [Pa] to another.

    The law of gases holds in absolute pressure. *zeta* is the product of compressibility factor and absolute
    temperature there over that before; 1 is an ideal gas that stays as warm.

    Examples
    --------
    >>> float(gas_volume(1.0, 30e6, 0.0).round(2))
    297.08
    """
    ratio = np.add(pressure, ATMOSPHERE) / np.add(new_pressure, ATMOSPHERE)
    return np.multiply(volume, zeta) * ratio


class KickTolerance(NamedTuple):
    """The largest influx, measured at the bottom, that breaks no exposed depth; of the shape of the leading axes.

    Attributes
    ----------
    height : ndarray
        That may stand at the bottom, shut in [m]; 0 where no influx at all can be shut in.
    shut_in, circulated : ndarray
        Volume that may be shut in, and that may be circulated past every exposed depth [m3].
    shut_in_at, circulated_at : ndarray
        Depth that would break first [m].
    unlimited : ndarray of bool
        Even influx in all of the open hole breaks nothing; height and volumes are then those of the whole hole.
    """

    height: Array
    shut_in: Array
    circulated: Array
    shut_in_at: Array
    circulated_at: Array
    unlimited: Array

    @property
    def volume(self) -> Array:
        """The lesser of the two volumes [m3]."""
        return np.minimum(self.shut_in, self.circulated)

    @property
    def depth(self) -> Array:
        """Depth that breaks first at that volume [m]."""
        return np.where(self.shut_in <= self.circulated, self.shut_in_at, self.circulated_at)


def kick_tolerance(
    depth: ArrayLike,
    fracture_pressure: ArrayLike,
    *,
    formation_pressure: ArrayLike,
    mud_gradient: ArrayLike,
    influx_gradient: ArrayLike,
    annulus: Annulus,
    zeta: ArrayLike = 1.0,
) -> KickTolerance:
    """Return the kick tolerance of an open hole, shut in and circulated out with the mud that is in it.

    Shut in, the influx is at the bottom, around the collars first. Circulated with constant bottom-hole pressure it
    presses hardest on a depth as its top arrives there; its volume then is taken back to the bottom by the law of
    gases at mid-height, with the same height in both places, as the source does. The formation's pressure over the
    mud's sets which kick it is; equal to the mud's, it is swabbed.

    Parameters
    ----------
    depth : array_like, (n,)
        Exposed depths, increasing, from the top of the open hole to its bottom, where the influx comes in [m].
    fracture_pressure : array_like, (..., n)
        There [Pa].
    formation_pressure : array_like, scalar or (..., 1)
        At the bottom [Pa].
    mud_gradient, influx_gradient : array_like, scalar or (..., 1)
        [Pa/m].
    annulus : Annulus
        Of the open hole.
    zeta : array_like, broadcasts with *fracture_pressure*
        Compressibility factor times temperature at each depth over that at the bottom; see `gas_volume`.

    Returns
    -------
    KickTolerance

    Raises
    ------
    ValueError
        If the influx is not lighter than the mud.

    References
    ----------
    [1]_ of the module; search of all exposed depths: ours.

    Examples
    --------
    >>> hole = two_part_annulus(2000.0, 3000.0, around_pipe=0.06, around_collars=0.04, collars=150.0)
    >>> found = kick_tolerance([2000.0, 3000.0], [34e6, 55e6], formation_pressure=42e6, mud_gradient=13e3,
    ...     influx_gradient=2e3, annulus=hole)
    >>> [round(float(x), 2) for x in (found.height, found.shut_in, found.circulated)], bool(found.unlimited)
    ([454.55, 24.27, 22.63], False)
    """
    z, fracture, formation, G_m, G_g = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in
          (depth, fracture_pressure, formation_pressure, mud_gradient, influx_gradient))
    )  # fmt: skip
    bottom = z[..., -1:]
    above = bottom - z
    limit = influx_height(above, fracture, formation, G_m, G_g)
    breaks = limit < above  # else influx from there to the bottom presses less than the fracture pressure
    height = np.clip(limit, 0.0, above)
    mid_above = formation - G_m * (above - height) - G_g * height / 2.0
    mid_below = formation - G_g * height / 2.0
    shut_in = annulus.between(bottom - height, bottom)
    circulated = gas_volume(annulus.between(z, z + height), mid_above, mid_below, 1.0 / np.asarray(zeta))
    first = np.argmin(np.where(breaks, shut_in, np.inf), axis=-1)  # where none breaks, the top of the open hole
    second = np.argmin(np.where(breaks, circulated, np.inf), axis=-1)
    return KickTolerance(
        height=taken(height, first),
        shut_in=taken(shut_in, first),
        circulated=taken(circulated, second),
        shut_in_at=taken(z, first),
        circulated_at=taken(z, second),
        unlimited=~np.any(breaks, axis=-1),
    )


@dataclass(frozen=True, kw_only=True)
class CirculatedKick:
    r"""One bubble of gas circulated out of a hole whose bottom is held at constant pressure.

    With the bubble's top at x, from the bottom up :math:`p_{bh} = p_x + G_g h + G_m (D - x - h)`, and by the gas law
    :math:`h = p_0 V_0 \zeta / (C p_x)`; so :math:`p_x^2 - b p_x - (G_m - G_g) p_0 V_0 \zeta / C = 0` with
    :math:`b = p_{bh} - G_m (D - x)`, and the positive root is the pressure. All of these are absolute; the gas law
    is taken at the bubble's top.

    In the first circulation the original mud is both above and below. Kill mud pumped at once follows the bubble:
    `mud_below` is then the kill mud's (what of the original mud was in the drill pipe is left aside).

    Attributes
    ----------
    bottom : array_like
        Of the hole, D [m].
    bottom_pressure : array_like
        Held there [Pa].
    mud_above, mud_below : array_like
        Gradient of the mud above the bubble, and between it and the bottom [Pa/m].
    influx_gradient : array_like
        Of the gas [Pa/m], less than that of the mud below.
    influx_volume, influx_pressure : array_like
        Of the gas as it came in [m3], and its gauge pressure then, usually the bottom's [Pa].
    capacity : array_like
        Of the annulus where the bubble is [m3/m].

    References
    ----------
    [3]_ of the module.

    Examples
    --------
    >>> kick = CirculatedKick(bottom=3000.0, bottom_pressure=42e6, mud_above=13e3, mud_below=13e3,
    ...     influx_gradient=2e3, influx_volume=5.0, influx_pressure=42e6, capacity=0.05)
    >>> [round(float(kick.pressure(0.0, top)) / 1e6, 2) for top in (2500.0, 1000.0, 0.0)]
    [4.26, 5.49, 8.43]
    """

    bottom: Array
    bottom_pressure: Array
    mud_above: Array
    mud_below: Array
    influx_gradient: Array
    influx_volume: Array
    influx_pressure: Array
    capacity: Array

    def __post_init__(self) -> None:
        if not np.all(np.asarray(self.influx_gradient) < np.asarray(self.mud_below)):
            raise ValueError(f"influx_gradient must be below mud_below, got {self.influx_gradient} Pa/m")
        if not (np.all(np.asarray(self.capacity) > 0.0) and np.all(np.asarray(self.influx_volume) >= 0.0)):
            given = f"{self.capacity} m3/m and {self.influx_volume} m3"
            raise ValueError(f"need capacity above 0 and influx_volume not below 0, got {given}")

    @property
    def _stretch(self) -> Array:
        """Pressure times height of the gas, p_0 V_0 / C, absolute [Pa m]."""
        return (np.asarray(self.influx_pressure) + ATMOSPHERE) * self.influx_volume / self.capacity

    @property
    def deepest_top(self) -> Array:
        """Depth of the bubble's top while the bubble still stands on the bottom [m]."""
        at_bottom = np.asarray(self.bottom_pressure) + ATMOSPHERE
        inside = 0.25 * np.square(at_bottom) - self.influx_gradient * self._stretch
        if not np.all(inside > 0.0):
            raise ValueError(f"influx_volume of {np.max(self.influx_volume):g} m3 cannot stand on this bottom")
        return self.bottom - self._stretch / (0.5 * at_bottom + np.sqrt(inside))

    def top_pressure(self, top: ArrayLike, zeta: ArrayLike = 1.0) -> Array:
        """Return the pressure at the bubble's top [Pa], the top at a depth [m]; *zeta* as in `gas_volume`."""
        above = np.subtract(self.bottom, top)
        b = self.bottom_pressure + ATMOSPHERE - self.mud_below * above
        product = np.subtract(self.mud_below, self.influx_gradient) * self._stretch * zeta
        found = 0.5 * b + np.sqrt(0.25 * np.square(b) + product)
        if np.any(self._stretch * zeta / found > above + 1e-6):
            raise ValueError(f"top of {np.max(top):g} m is too deep: the bubble is longer than the hole below it")
        return found - ATMOSPHERE

    def volume(self, top: ArrayLike, zeta: ArrayLike = 1.0) -> Array:
        """Return the volume of the gas [m3], its top at a depth [m]."""
        return gas_volume(self.influx_volume, self.influx_pressure, self.top_pressure(top, zeta), zeta)

    def pressure(self, depth: ArrayLike, top: ArrayLike, zeta: ArrayLike = 1.0) -> Array:
        """Return the pressure [Pa] at a fixed *depth*, the shoe for example, with the bubble's top at *top* [m]."""
        at_top = self.top_pressure(top, zeta)
        length = self.volume(top, zeta) / self.capacity
        down = np.subtract(depth, top)
        in_gas = at_top + self.influx_gradient * down
        below = self.bottom_pressure - self.mud_below * np.subtract(self.bottom, depth)
        return np.where(down <= 0.0, at_top + self.mud_above * down, np.where(down <= length, in_gas, below))
