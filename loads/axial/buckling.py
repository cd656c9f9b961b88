r"""Buckling of pipe that lies in a hole: when it leaves its straight shape, and what it is like afterwards.

Compression here is the effective force with its sign turned, :math:`F = -F_e`. Under a growing compression pipe on the
low side of a hole first snakes (a sine on the wall), then winds into a helix; in a vertical hole, where no weight
presses it to a side, it winds as soon as it is compressed. Both shapes touch the wall, so that the radial clearance *r*
between pipe and hole sets their size. A buckled pipe is shorter than the hole, which relieves the compression where
both its ends are held.

References
----------
.. [1] A. Lubinski, W. S. Althouse and J. L. Logan, "Helical buckling of tubing sealed in packers", J. Petroleum
   Technology, June 1962: pitch, strain, moment of a helix.
.. [2] R. Dawson and P. R. Paslay, "Drillpipe buckling in inclined holes", J. Petroleum Technology, October 1984:
   force at which pipe snakes.
.. [3] R. F. Mitchell, "Effects of well deviation on helical buckling", SPE Drilling & Completion, March 1997: a helix
   is certain from 2.8 times that force on, and strain of the snaking pipe (constants from memory; compared with a
   minimum of the energy in the tests).
.. [4] A. Lubinski, "A study of the buckling of rotary drilling strings", API Drilling and Production Practice, 1950
   (constants from memory).
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np

from ..arrays import Array, ArrayLike

HELIX: Final = 2.8
"""A helix is certain from this many times the force at which pipe snakes; value from memory [3]_."""
_NEVER = 1e15  # stands for an infinite force where infinity times nothing would not be a number [N]
_GAUSS_PLACES = np.array([0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15)])
_GAUSS_WEIGHTS = np.array([5.0, 8.0, 5.0]) / 18.0


def bending_stiffness(outside_diameter: ArrayLike, inside_diameter: ArrayLike, modulus: ArrayLike) -> Array:
    """Return ``E I`` of a tube [N m2] from its diameters [m] and modulus [Pa].

    Examples
    --------
    >>> round(float(bending_stiffness(0.2445, 0.2205, 206.8e9)) / 1e6, 2)
    12.28
    """
    outer, bore = np.asarray(outside_diameter), np.asarray(inside_diameter)
    return np.asarray(modulus) * np.pi / 64.0 * (outer**4 - bore**4)


def snaking_force(stiffness: ArrayLike, clearance: ArrayLike, side_force: ArrayLike) -> Array:
    r"""Return the compression at which pipe begins to snake, :math:`2\sqrt{E I\,n/r}`.

    Parameters
    ----------
    stiffness : array_like
        ``E I`` [N m2].
    clearance : array_like
        Radial clearance [m]; 0 means that the pipe cannot leave its place.
    side_force : array_like
        Side force per length [N/m]: in a straight hole the weight in fluids times the sine of the inclination.

    Returns
    -------
    ndarray, broadcast shape
        [N], not negative; infinite without clearance.

    References
    ----------
    [2]_ of the module; the side force in place of the weight in a curved hole, common practice.

    Examples
    --------
    With unit data the factor is 2.

    >>> float(snaking_force(1.0, 1.0, 1.0))
    2.0
    """
    stiffness, clearance, side = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (stiffness, clearance, side_force))
    )
    ratio = np.divide(side, clearance, out=np.full(side.shape, np.inf), where=clearance > 0.0)
    return 2.0 * np.sqrt(stiffness * ratio)


def snaking_force_in_build(
    stiffness: ArrayLike, clearance: ArrayLike, side_weight: ArrayLike, curvature: ArrayLike
) -> Array:
    r"""Return the compression at which pipe begins to snake in a hole that builds.

    .. math:: F_s = \frac{2 E I \kappa}{r} \left(1 + \sqrt{1 + \frac{w_e \sin\alpha\, r}{E I \kappa^2}}\right)

    It solves `snaking_force` with the side force that this compression itself makes,
    :math:`n = w_e \sin\alpha + F_s \kappa`.

    Parameters
    ----------
    stiffness, clearance : array_like
        ``E I`` [N m2], radial clearance above zero [m].
    side_weight : array_like
        Weight in fluids times the sine of the inclination [N/m].
    curvature : array_like
        Of the path, not negative [1/m].

    Returns
    -------
    ndarray, broadcast shape
        [N].

    References
    ----------
    Formula from memory; it follows from [2]_ of the module as said.

    Examples
    --------
    Without curvature it is the force in a straight hole.

    >>> float(snaking_force_in_build(1.0, 1.0, 1.0, 0.0))
    2.0
    """
    stiffness, clearance, weight, curvature = (
        np.asarray(x, dtype=np.float64) for x in (stiffness, clearance, side_weight, curvature)
    )
    bend = stiffness * curvature  # multiplied out, so that no curvature is no division by zero
    return 2.0 / clearance * (bend + np.sqrt(bend**2 + weight * clearance * stiffness))


def vertical_critical_forces(stiffness: ArrayLike, weight_in_fluids: ArrayLike) -> tuple[Array, Array]:
    r"""Return the compression at the lower end at which vertical pipe first buckles, and becomes a helix.

    :math:`1.94 (E I w_e^2)^{1/3}` and :math:`5.55 (E I w_e^2)^{1/3}`. They are small; the balance of forces here takes
    vertical pipe as buckled wherever the effective force is compressive, which is common practice for casing. The first
    is right for pipe about eight lengths ``(E I / w)^(1/3)`` long; longer pipe buckles earlier still.

    Parameters
    ----------
    stiffness : array_like
        ``E I`` [N m2].
    weight_in_fluids : array_like
        Per length [N/m], not negative.

    Returns
    -------
    tuple of ndarray
        [N].

    References
    ----------
    [4]_ of the module, constants from memory.

    Examples
    --------
    >>> [round(float(force), 2) for force in vertical_critical_forces(1.0, 1.0)]
    [1.94, 5.55]
    """
    scale = np.cbrt(np.asarray(stiffness, dtype=np.float64) * np.asarray(weight_in_fluids, dtype=np.float64) ** 2)
    return 1.94 * scale, 5.55 * scale


def angle_of_snaking(compression: ArrayLike, snaking: ArrayLike) -> Array:
    r"""Return how far buckled pipe swings around the hole: 0 straight, 1 where it is a helix.

    Between *snaking* and 2.8 times it the pipe lies as :math:`\theta = a \sin(\sqrt{F/2EI}\,s)` on the wall, with
    :math:`a^2 = 1.457 (1 - F_s/F)^{0.92}` [rad2]; from there on it winds steadily, which in the formulas below is the
    same as *a* squared being 2 in the mean and 1 at its greatest.

    Parameters
    ----------
    compression : array_like
        Effective compression [N].
    snaking : array_like
        Force at which it begins [N].

    Returns
    -------
    ndarray, broadcast shape
        *a* [rad]; 1 stands for the helix.

    Notes
    -----
    Against the minimum of the energy the strain of this law is up to 27 % high close to the start, right at 1.7 times
    it, 19 % low at 2.6 times, and 8 % low over all: less is relieved, which is the safe side. The curvature is 6 to
    14 % high. By that energy the snake is lost at 2.63 times the start, not 2.8, and a helix holds from 1.4 times on.

    References
    ----------
    [3]_ of the module (constants from memory): there as the strain
    :math:`-0.7285\, r^2/(4EI)\, F^{0.08} (F - F_s)^{0.92}`, which is that of the sine.

    Examples
    --------
    >>> angle_of_snaking([0.5, 2.0, 3.0], 1.0).round(3).tolist()
    [0.0, 0.878, 1.0]
    """
    force, start = np.broadcast_arrays(np.asarray(compression, dtype=np.float64), np.asarray(snaking, dtype=np.float64))
    over = np.divide(force - start, force, out=np.zeros(force.shape), where=force > np.maximum(start, 0.0))
    swing = np.sqrt(2.0 * 0.7285) * over**0.46
    return np.where((force >= HELIX * start) & (force > 0.0), 1.0, swing)


def buckling_strain(compression: ArrayLike, snaking: ArrayLike, stiffness: ArrayLike, clearance: ArrayLike) -> Array:
    r"""Return the mean axial strain by which buckled pipe is shorter than the hole.

    Helix: :math:`-r^2 F/(4 E I)`. Sine: :math:`-a^2 r^2 F/(8 E I)` with *a* of `angle_of_snaking`.

    Parameters
    ----------
    compression, snaking : array_like
        Effective compression, and that at which it begins to snake [N].
    stiffness, clearance : array_like
        ``E I`` [N m2], radial clearance [m].

    Returns
    -------
    ndarray, broadcast shape
        Not above zero [-].

    References
    ----------
    [1]_ and [3]_ of the module.

    Examples
    --------
    >>> round(float(buckling_strain(20e3, 0.0, 2e6, 0.04)) * 1e6, 3)
    -4.0
    """
    force = np.maximum(np.asarray(compression, dtype=np.float64), 0.0)
    swing = angle_of_snaking(force, snaking)
    wound = force >= HELIX * np.asarray(snaking)
    mean_square = np.where(wound, 2.0, swing**2) * (swing > 0.0)
    return -mean_square * np.asarray(clearance) ** 2 * force / (8.0 * np.asarray(stiffness))


def mean_strain(
    compression: tuple[Array, Array], snaking: tuple[Array, Array], stiffness: Array, clearance: Array
) -> Array:
    """Return the mean of `buckling_strain` along stretches on which both forces are linear.

    Each stretch is cut where it begins to snake and where the helix begins, so that the mean changes smoothly with the
    force though the strain does not.

    Parameters
    ----------
    compression, snaking : tuple of ndarray, (..., m)
        At the upper and the lower end of each stretch [N].
    stiffness, clearance : ndarray, (..., m)
        ``E I`` [N m2], radial clearance [m].

    Returns
    -------
    ndarray, (..., m)
        Not above zero [-].

    Examples
    --------
    A helix whose compression grows from nothing has half the strain of its lower end.

    >>> helix = mean_strain((np.array([0.0]), np.array([20e3])), (np.zeros(1), np.zeros(1)), np.array([2e6]),
    ...                     np.array([0.04]))
    >>> (helix * 1e6).round(3).tolist()
    [-2.0]
    """
    snaking = (np.minimum(snaking[0], _NEVER), np.minimum(snaking[1], _NEVER))
    first = _crossing(compression[0] - snaking[0], compression[1] - snaking[1])
    second = _crossing(compression[0] - HELIX * snaking[0], compression[1] - HELIX * snaking[1])
    cuts = [np.zeros_like(first), np.minimum(first, second), np.maximum(first, second), np.ones_like(first)]
    total: Array = 0.0
    for start, end in pairwise(cuts):
        at = start[..., np.newaxis] + (end - start)[..., np.newaxis] * _GAUSS_PLACES
        force, begin = (upper[..., np.newaxis] * (1.0 - at) + lower[..., np.newaxis] * at
                        for upper, lower in (compression, snaking))  # fmt: skip
        strain = buckling_strain(force, begin, stiffness[..., np.newaxis], clearance[..., np.newaxis])
        total = total + (end - start) * (strain @ _GAUSS_WEIGHTS)
    return total


def _crossing(upper: Array, lower: Array) -> Array:
    """Return where between the ends (0 to 1) a linear function passes zero; 0 where it does not."""
    passes = upper * lower < 0.0
    return np.divide(upper, upper - lower, out=np.zeros(np.shape(passes)), where=passes)


def buckled_curvature(compression: ArrayLike, snaking: ArrayLike, stiffness: ArrayLike, clearance: ArrayLike) -> Array:
    r"""Return the greatest curvature of buckled pipe, :math:`a\, r F/(2 E I)` with *a* = 1 for a helix.

    Parameters
    ----------
    compression, snaking : array_like
        Effective compression, and that at which it begins to snake [N].
    stiffness, clearance : array_like
        ``E I`` [N m2], radial clearance [m].

    Returns
    -------
    ndarray, broadcast shape
        [1/m]; bending stress is ``E D/2`` times it.

    References
    ----------
    [1]_ of the module: a moment of ``r F / 2``; the sine's is that of its own shape.

    Examples
    --------
    >>> float(buckled_curvature(20e3, 0.0, 2e6, 0.04))
    0.0002
    """
    force = np.maximum(np.asarray(compression, dtype=np.float64), 0.0)
    return angle_of_snaking(force, snaking) * np.asarray(clearance) * force / (2.0 * np.asarray(stiffness))


def helix_pitch(compression: ArrayLike, stiffness: ArrayLike) -> Array:
    r"""Return the length of one turn of a helix, :math:`\pi\sqrt{8 E I/F}`.

    Parameters
    ----------
    compression : array_like
        Effective compression, above zero [N].
    stiffness : array_like
        ``E I`` [N m2].

    Returns
    -------
    ndarray, broadcast shape
        Along the hole [m].

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    >>> round(float(helix_pitch(20e3, 2e6)), 3)
    88.858
    """
    return np.pi * np.sqrt(8.0 * np.asarray(stiffness) / np.asarray(compression))


def helix_side_force(compression: ArrayLike, stiffness: ArrayLike, clearance: ArrayLike) -> Array:
    r"""Return the side force of a helix per length, :math:`r F^2/(4 E I)`.

    Parameters
    ----------
    compression : array_like
        Effective compression [N]; its sign does not count, so ask only where there is a helix.
    stiffness, clearance : array_like
        ``E I`` [N m2], radial clearance [m].

    Returns
    -------
    ndarray, broadcast shape
        [N/m], not negative.

    References
    ----------
    [1]_ of the module; weight, which adds to it on the low side, apart.

    Examples
    --------
    >>> float(helix_side_force(20e3, 2e6, 0.04))
    2.0
    """
    return np.asarray(clearance) * np.asarray(compression) ** 2 / (4.0 * np.asarray(stiffness))
