r"""Circular arc between two survey stations: the formulas of the minimum curvature method.

The arc has a length *L*, unit directions :math:`t_1, t_2` at its ends and the dogleg *b* between them. Every
formula is written with :math:`S(x) = \sin x / x`, so that none is singular or loses digits as b goes to 0.

References
----------
.. [1] S. J. Sawaryn and J. L. Thorogood, "A compendium of directional calculations based on the minimum
   curvature method", SPE Drilling & Completion 20(1), 2005 (SPE 84246); cited from memory. The forms used
   here follow from the geometry of the circle.
"""

from __future__ import annotations

import numpy as np

from .arrays import ArrayLike, Floats


def dogleg(inclination_1: ArrayLike, azimuth_1: ArrayLike, inclination_2: ArrayLike, azimuth_2: ArrayLike) -> Floats:
    r"""Return the angle between two directions.

    .. math:: \sin^2\frac b2 = \sin^2\frac{i_2 - i_1}2 + \sin i_1 \sin i_2 \sin^2\frac{a_2 - a_1}2

    Half angles are used because an arccosine loses the digits of a small angle.

    Parameters
    ----------
    inclination_1, inclination_2 : array_like, broadcast together
        Inclination from the vertical [rad].
    azimuth_1, azimuth_2 : array_like, broadcast together
        Azimuth [rad].

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Angle [rad], 0 to pi.

    Raises
    ------
    ValueError
        If an angle is not finite.

    References
    ----------
    The cosine form in [1]_ of the module, with half angles.

    Examples
    --------
    >>> round(float(np.degrees(dogleg(*np.radians([45.0, 130.0, 52.0, 139.0])))), 3)
    9.706
    """
    i1, a1, i2, a2 = (np.asarray(x, dtype=np.float64) for x in (inclination_1, azimuth_1, inclination_2, azimuth_2))
    if not all(np.all(np.isfinite(x)) for x in (i1, a1, i2, a2)):
        raise ValueError("inclination and azimuth must be finite numbers, got one that is not")
    square = np.sin((i2 - i1) / 2.0) ** 2 + np.sin(i1) * np.sin(i2) * np.sin((a2 - a1) / 2.0) ** 2
    return np.asarray(2.0 * np.arctan2(np.sqrt(square), np.sqrt(np.maximum(1.0 - square, 0.0))), dtype=np.float64)


def displacement_weights(angle: ArrayLike, length: ArrayLike, way: ArrayLike) -> tuple[Floats, Floats]:
    r"""Return the weights of the end directions in the displacement from the start to a point of the arc.

    .. math::
        f_1 = s\, \frac{S(\theta/2) \cos((b - \theta)/2)}{\cos(b/2)}, \qquad
        f_2 = \frac{s^2}{2L} \frac{S(\theta/2)^2}{S(b)}, \qquad \theta = \frac{b s}{L}

    Parameters
    ----------
    angle : array_like
        Dogleg *b* [rad], 0 to below pi.
    length : array_like, broadcasts with *angle*
        Length *L* of the arc [m].
    way : array_like, broadcasts with *angle*
        Way *s* along the arc from its start [m], 0 to *length*.

    Returns
    -------
    f1, f2 : ndarray, broadcast shape of the inputs
        The displacement is ``t1 * f1 + (t2 - t1) * f2`` [m].

    Raises
    ------
    ValueError
        If an angle is outside 0 to pi.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    A quarter circle of length pi/2 has radius 1: from north to east it ends at (1, 1).

    >>> f1, f2 = displacement_weights(np.pi / 2, np.pi / 2, np.pi / 2)
    >>> round(float(f1 - f2), 12), round(float(f2), 12)
    (1.0, 1.0)
    """
    b, whole, s = (
        _checked_angle(angle),
        np.asarray(length, dtype=np.float64),
        np.asarray(way, dtype=np.float64),
    )
    half = b * s / whole / 2.0
    f1 = s * _sinc(half) * np.cos(b / 2.0 - half) / np.cos(b / 2.0)
    f2 = s**2 / (2.0 * whole) * _sinc(half) ** 2 / _sinc(b)
    return f1, f2


def direction_weights(angle: ArrayLike, fraction: ArrayLike) -> tuple[Floats, Floats]:
    r"""Return the weights of the end directions in the direction at a point of the arc.

    .. math:: f_1 = (1 - u) \frac{S(b(1 - u))}{S(b)}, \qquad f_2 = u \frac{S(bu)}{S(b)}

    Parameters
    ----------
    angle : array_like
        Dogleg *b* [rad], 0 to below pi.
    fraction : array_like, broadcasts with *angle*
        Fraction *u* of the arc's length, 0 to 1.

    Returns
    -------
    f1, f2 : ndarray, broadcast shape of the inputs
        The unit direction is ``t1 * f1 + t2 * f2``.

    Raises
    ------
    ValueError
        If an angle is outside 0 to pi.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    >>> [round(float(weight), 12) for weight in direction_weights(0.0, 0.25)]
    [0.75, 0.25]
    """
    b, u = _checked_angle(angle), np.asarray(fraction, dtype=np.float64)
    return (1.0 - u) * _sinc(b * (1.0 - u)) / _sinc(b), u * _sinc(b * u) / _sinc(b)


def turning_weights(angle: ArrayLike, length: ArrayLike, fraction: ArrayLike) -> tuple[Floats, Floats]:
    r"""Return the weights of the end directions in the rate at which the direction turns along the arc.

    .. math:: f_1 = -\frac{\cos(b(1 - u))}{L\,S(b)}, \qquad f_2 = \frac{\cos(bu)}{L\,S(b)}

    Parameters
    ----------
    angle : array_like
        Dogleg *b* [rad], 0 to below pi.
    length : array_like, broadcasts with *angle*
        Length *L* of the arc [m].
    fraction : array_like, broadcasts with *angle*
        Fraction *u* of the arc's length, 0 to 1.

    Returns
    -------
    f1, f2 : ndarray, broadcast shape of the inputs
        The derivative of the unit direction by the way along the arc is ``t1 * f1 + t2 * f2`` [1/m].

    Raises
    ------
    ValueError
        If an angle is outside 0 to pi.

    References
    ----------
    The derivative of the direction in [1]_ of the module.

    Examples
    --------
    >>> [round(float(weight), 12) for weight in turning_weights(0.0, 10.0, 0.25)]
    [-0.1, 0.1]
    """
    b, u = _checked_angle(angle), np.asarray(fraction, dtype=np.float64)
    scale = np.asarray(length, dtype=np.float64) * _sinc(b)
    return -np.cos(b * (1.0 - u)) / scale, np.cos(b * u) / scale


def first_crossing(
    angle: ArrayLike, length: ArrayLike, down_1: ArrayLike, down_2: ArrayLike, gain: ArrayLike
) -> Floats:
    r"""Return the way along the arc to where it first lies a given depth below its start.

    With *h* that depth, :math:`v_1, v_2` the downward parts of the end directions and
    :math:`c = (v_2 - v_1 \cos b)/S(b)`, the half angle of the way *s* solves a quadratic:

    .. math::
        \frac Lb \tan\frac{bs}{2L} = \frac h{v_1 + \sqrt{v_1^2 + 2 c h/L - b^2 h^2/L^2}}

    Parameters
    ----------
    angle : array_like
        Dogleg *b* [rad], 0 to below pi.
    length : array_like, broadcasts with *angle*
        Length *L* of the arc [m].
    down_1, down_2 : array_like, broadcast with *angle*
        Downward part of the unit direction at the start and at the end, -1 to 1.
    gain : array_like, broadcasts with *angle*
        Depth *h* below the start [m], not below 0 and such that the arc gets there.

    Returns
    -------
    ndarray, broadcast shape of the inputs
        Way from the start [m], 0 to *length*.

    Raises
    ------
    ValueError
        If an angle is outside 0 to pi.

    References
    ----------
    Derived here from the vertical part of the displacement along the arc.

    Examples
    --------
    A quarter circle of radius 1 from vertical to level is at half its depth after 30 degrees.

    >>> round(float(np.degrees(first_crossing(np.pi / 2, np.pi / 2, 1.0, 0.0, 0.5))), 12)
    30.0
    """
    b, whole, v1, v2, h = np.broadcast_arrays(
        _checked_angle(angle), *(np.asarray(x, dtype=np.float64) for x in (length, down_1, down_2, gain))
    )
    c = (v2 - v1 * np.cos(b)) / _sinc(b)
    root = np.sqrt(np.maximum(v1**2 + 2.0 * c * h / whole - (b * h / whole) ** 2, 0.0))
    # Of the two equal forms of the root, the one in which nothing cancels.
    over = np.where(v1 >= 0.0, h, whole * (root - v1))
    under = np.where(v1 >= 0.0, v1 + root, 2.0 * c - b**2 * h / whole)
    half = np.divide(over, under, out=np.zeros_like(root), where=(h > 0.0) & (under > 0.0))
    x = b * half / whole
    shrink = np.divide(np.arctan(x), x, out=np.ones_like(x), where=x > 0.0)
    return np.asarray(np.clip(2.0 * half * shrink, 0.0, whole), dtype=np.float64)


def _sinc(x: Floats) -> Floats:
    """Return sin x / x, 1 at 0."""
    return np.asarray(np.sinc(x / np.pi), dtype=np.float64)


def _checked_angle(angle: ArrayLike) -> Floats:
    b = np.asarray(angle, dtype=np.float64)
    bad = ~((b >= 0.0) & (b < np.pi))
    if np.any(bad):
        raise ValueError(f"angle must be from 0 to below pi rad, got {b[bad].flat[0]:g}")
    return b
