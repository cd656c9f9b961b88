"""The places along a string where everything is worked out.

Between two neighbouring points nothing jumps: points stand at every survey station, change of pipe, top of cement
and contact of fluids. Each inner point is held twice, once as the lower end of the stretch above it and once as the
upper end of the stretch below it, so that jumps of force, wall or pressure keep both their values.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from .arrays import Array, ArrayLike, Bools, Floats, Sampled
from .path import WellPath

SPACING = 30.0
"""Greatest distance of two points [m], about three joints."""
_SAME = 1e-6  # points nearer than this are one [m]


@dataclass(frozen=True, kw_only=True)
class Places:
    """Both ends of every stretch, from the top down.

    Attributes
    ----------
    md, tvd : ndarray, (..., n)
        Measured and true vertical depth [m].
    middle : ndarray, (..., n)
        Measured depth of the middle of the stretch each place belongs to [m]; it tells which side of a jump is meant.
    below : ndarray of bool, (n,)
        Whether the place is the upper end of a stretch, that is, just below its point.
    """

    md: Floats
    tvd: Floats
    middle: Floats
    below: Bools

    def within(self, top: Sampled, bottom: Sampled) -> Array:
        """Return which places belong to stretches between *top* and *bottom* [m md]."""
        return (self.middle >= top) & (self.middle <= bottom)  # equal only for stretches of no length

    def integral(self, values: Array, where: Array) -> Array:
        """Return the integral of *values* along the path over the stretches marked by *where*.

        Linear between the ends of a stretch. Shape ``(..., 1)``.
        """
        upper, lower = slice(0, None, 2), slice(1, None, 2)
        step = self.md[..., lower] - self.md[..., upper]
        mean = 0.5 * (values[..., upper] + values[..., lower])
        return np.sum(np.where(where[..., upper], mean * step, 0.0), axis=-1, keepdims=True)


def places(points: Floats, path: WellPath) -> Places:
    """Return the places of the stretches between *points*.

    Parameters
    ----------
    points : ndarray, (..., k)
        Measured depths, sorted along the last axis [m].
    path : WellPath
        Gives the vertical depths.

    Returns
    -------
    Places
        With ``n = 2 (k - 1)``.
    """
    count = points.shape[-1]
    twice = np.repeat(points, 2, axis=-1)[..., 1:-1]
    middle = np.repeat(0.5 * (points[..., 1:] + points[..., :-1]), 2, axis=-1)
    tvd = np.repeat(path.tvd(points), 2, axis=-1)[..., 1:-1]
    return Places(md=twice, tvd=tvd, middle=middle, below=np.tile([True, False], count - 1))


def points_along(top: float, bottom: float, marks: Iterable[ArrayLike]) -> Floats:
    """Return the points from *top* to *bottom*: both ends, the *marks* between them, and fillers.

    Parameters
    ----------
    top, bottom : float
        Measured depths [m].
    marks : iterable of array_like
        Measured depths where something changes [m]; those outside are ignored.
        Marks of shape ``(samples, 1)`` give every sample its own points.

    Returns
    -------
    ndarray, (k,) or (samples, k)
        Sorted; no two neighbours farther apart than `SPACING` (by the marks that all samples share).

    Examples
    --------
    >>> points_along(0.0, 50.0, [20.0, [49.9999999, 90.0]])
    array([ 0., 20., 50.])
    """
    arrays = [np.asarray(mark, dtype=np.float64) for mark in marks]
    shared = np.concatenate([np.array([top, bottom]), *(a.ravel() for a in arrays if a.ndim < 2)])
    shared = np.unique(shared[(shared >= top) & (shared <= bottom)])
    far_enough = np.concatenate([[True], np.diff(shared) > _SAME])
    shared = shared[far_enough]
    shared[-1] = bottom  # a mark a hair above the end gives way to the end
    pieces = [
        np.linspace(upper, lower, max(1, int(np.ceil((lower - upper) / SPACING))), endpoint=False)
        for upper, lower in pairwise(shared)
    ]
    fixed = np.concatenate([*pieces, [bottom]])
    sampled = [np.clip(a, top, bottom) for a in arrays if a.ndim >= 2]
    if not sampled:
        return fixed
    samples = np.broadcast_shapes(*(a.shape[:-1] for a in sampled))
    wide = [np.broadcast_to(a, (*samples, a.shape[-1])) for a in (fixed, *sampled)]
    return np.sort(np.concatenate(wide, axis=-1), axis=-1)
