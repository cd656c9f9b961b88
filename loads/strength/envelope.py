"""A polygon of axial force against pressure within which a connection holds."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Floats


def checked_envelope(axial: ArrayLike, pressure: ArrayLike) -> Floats:
    """Return the corners of an envelope in order, or say what is wrong with them.

    Parameters
    ----------
    axial : array_like, (n,)
        Axial force of each corner, tension positive [N].
    pressure : array_like, (n,)
        Inside less outside pressure of each corner [Pa].

    Returns
    -------
    ndarray, (n, 2)
        Counter-clockwise.

    Raises
    ------
    ValueError
        Unless there are at least three corners of a convex polygon around the unloaded state.

    Examples
    --------
    >>> checked_envelope([1.0, -1.0, -1.0, 1.0], [1.0, 1.0, -1.0, -1.0]).shape
    (4, 2)
    """
    corners = np.column_stack([np.asarray(axial, dtype=np.float64), np.asarray(pressure, dtype=np.float64)])
    if len(corners) < 3 or not np.all(np.isfinite(corners)):
        raise ValueError(f"an envelope needs at least three corners, found {len(corners)}")
    scale = np.max(np.abs(corners), axis=0)
    if np.any(scale == 0.0):
        raise ValueError("an envelope needs corners with axial force and corners with pressure")
    unit = corners / scale
    around = np.roll(unit, -1, axis=0) - unit
    turns = around[:, 0] * np.roll(around[:, 1], -1) - around[:, 1] * np.roll(around[:, 0], -1)
    if np.all(turns <= 1e-12):
        corners, unit, turns = corners[::-1], unit[::-1], -turns
        around = np.roll(unit, -1, axis=0) - unit
    if np.any(turns < -1e-12):
        raise ValueError("the corners of an envelope must go once round a polygon without a dent")
    if np.any(_offsets(unit, around) <= 0.0):
        raise ValueError("an envelope must hold the unloaded state, zero force and zero pressure, in its inside")
    return np.asarray(corners)


def envelope_use(corners: Floats, axial: ArrayLike, pressure: ArrayLike) -> Floats:
    """Return the share of an envelope that a load uses: 1 on its edge, along the line from the unloaded state.

    Parameters
    ----------
    corners : ndarray, (n, 2)
        As `checked_envelope` returns them.
    axial : array_like, (...)
        True axial force, tension positive [N].
    pressure : array_like, (...)
        Inside less outside pressure [Pa].

    Returns
    -------
    ndarray, (...)
        Not negative; a design factor is its inverse.

    References
    ----------
    Plane geometry: a convex polygon is the set of points on the inner side of each of its edges.

    Examples
    --------
    >>> square = checked_envelope([2.0, -2.0, -2.0, 2.0], [2.0, 2.0, -2.0, -2.0])
    >>> [float(use) for use in envelope_use(square, [1.0, 0.0, -2.0], [0.5, -1.0, 2.0])]
    [0.5, 0.5, 1.0]
    """
    scale = np.max(np.abs(corners), axis=0)
    unit = corners / scale
    around = np.roll(unit, -1, axis=0) - unit
    x, y = np.asarray(axial, dtype=np.float64) / scale[0], np.asarray(pressure, dtype=np.float64) / scale[1]
    # outward normal of an edge (dx, dy), going counter-clockwise, is (dy, -dx)
    reach = around[:, 1] * x[..., np.newaxis] - around[:, 0] * y[..., np.newaxis]
    return np.asarray(np.maximum(np.max(reach / _offsets(unit, around), axis=-1), 0.0))


def _offsets(unit: Floats, around: Floats) -> Floats:
    """Return the distance of each edge from the origin, times its length; positive if the origin is inside."""
    return np.asarray(around[:, 1] * unit[:, 0] - around[:, 0] * unit[:, 1])
