"""Well path by minimum curvature: between two survey stations the hole is an arc of a circle.

Depths along the path and true vertical depths count from the first station, positive down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from .arc import direction_weights, displacement_weights, dogleg, first_crossing, turning_weights
from .arrays import ArrayLike, Floats, Ints

AT_STATION: Final = 1e-6
"""Two measured depths nearer than this are one place [m]."""


@dataclass(frozen=True, init=False, repr=False, eq=False)
class WellPath:
    """A well path through survey stations, by minimum curvature.

    Places between stations are found on the arc, not linearly in measured depth. Below the last station the
    path goes on straight in the last direction, so that a place a little below the survey can be asked for;
    compare with `end` where that matters.

    Every method takes any shape of measured depth [m] (leading axes are free), returns the same shape, and
    raises ValueError for a depth above 0 or not finite.

    Parameters
    ----------
    md : array_like, (n,)
        Measured depth of the stations [m], increasing, from 0. If the first lies deeper, a vertical station
        at 0 is put before it.
    inclination : array_like, (n,)
        Inclination from the vertical [rad], 0 to pi.
    azimuth : array_like, (n,)
        Azimuth from north, clockwise seen from above [rad].

    Raises
    ------
    ValueError
        If the lengths differ, a value is not finite, the depths do not increase, an inclination is outside 0
        to pi, or the direction reverses (a dogleg of 180 deg), where no single arc exists.

    References
    ----------
    The formulas and their source are in `casingloads.arc`.

    Examples
    --------
    Build at 3 deg/100 ft to 60 deg, then hold; the vertical depth at the end of the build is R sin 60 deg.

    >>> build = 2000 * 0.3048
    >>> path = WellPath([0.0, build, 2 * build], np.radians([0.0, 60.0, 60.0]), np.zeros(3))
    >>> round(float(path.tvd(build)) / 0.3048, 2), round(float(path.north(build)) / 0.3048, 2)
    (1653.99, 954.93)
    >>> round(float(np.degrees(path.inclination(build / 2))), 9)
    30.0
    """

    _md: Floats  # of the stations, (n,)
    _length: Floats  # of the intervals, (n - 1,)
    _dogleg: Floats  # angle across each interval, (n - 1,)
    _direction: Floats  # unit vectors north, east, down, (n, 3)
    _position: Floats  # north, east, down, (n, 3)
    _reach: Floats  # greatest vertical depth down to the end of each interval, (n - 1,)
    _plumb: bool  # vertical all along, which spares most of the work

    def __init__(self, md: ArrayLike, inclination: ArrayLike, azimuth: ArrayLike) -> None:
        depth, incl, azim = _checked_survey(md, inclination, azimuth)
        self._set("_md", depth)
        self._set("_length", np.diff(depth))
        self._set("_dogleg", _checked_doglegs(depth, incl, azim))
        flat = np.sin(incl)
        self._set("_direction", np.stack([flat * np.cos(azim), flat * np.sin(azim), np.cos(incl)], axis=-1))
        intervals = np.arange(depth.size - 1)
        steps = [self._displacement(intervals, self._length, axis) for axis in range(3)]
        self._set("_position", np.concatenate([np.zeros((3, 1)), np.cumsum(steps, axis=1)], axis=1).T)
        self._set("_reach", np.maximum.accumulate(self._deepest()))
        object.__setattr__(
            self, "_plumb", not np.any(self._direction[:, :2]) and not np.any(self._direction[:, 2] < 0.0)
        )

    def _set(self, name: str, value: Floats) -> None:
        value.setflags(write=False)
        object.__setattr__(self, name, value)

    @classmethod
    def vertical(cls, depth: float) -> WellPath:
        """Return a vertical path.

        Parameters
        ----------
        depth : float
            Measured depth of its last station [m], above zero.

        Returns
        -------
        WellPath
            With stations at 0 and *depth*.

        Raises
        ------
        ValueError
            If *depth* is not above zero.

        Examples
        --------
        >>> float(WellPath.vertical(3000.0).tvd(1200.0))
        1200.0
        """
        if not 0.0 < depth < np.inf:
            raise ValueError(f"depth must be above 0 m, got {depth} m")
        return cls([0.0, depth], [0.0, 0.0], [0.0, 0.0])

    @property
    def stations(self) -> Floats:
        """Measured depth of the survey stations, the one at 0 included [m], (n,)."""
        return self._md

    @property
    def end(self) -> float:
        """Measured depth of the last station [m]."""
        return float(self._md[-1])

    def __repr__(self) -> str:
        return f"WellPath({self._md.size} stations to {self.end:g} m)"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, WellPath):
            return NotImplemented
        return np.array_equal(self._md, other._md) and np.array_equal(self._direction, other._direction)

    def __hash__(self) -> int:
        return hash(tuple(self._md.tolist()))

    def tvd(self, md: ArrayLike) -> Floats:
        """Return the true vertical depth.

        Parameters
        ----------
        md : array_like, any shape
            Measured depth [m].

        Returns
        -------
        ndarray, shape of *md*
            True vertical depth below the first station [m].

        Examples
        --------
        >>> WellPath.vertical(3000.0).tvd([[0.0], [3050.0]]).shape
        (2, 1)
        """
        return _checked_depth(md) if self._plumb else self._coordinate(md, 2)

    def north(self, md: ArrayLike) -> Floats:
        """Return the distance north of the first station.

        Parameters
        ----------
        md : array_like, any shape
            Measured depth [m].

        Returns
        -------
        ndarray, shape of *md*
            North coordinate [m].

        Examples
        --------
        >>> path = WellPath([0.0, 100.0], [0.5, 0.5], [0.0, 0.0])
        >>> round(float(path.north(100.0)), 6)
        47.942554
        """
        return self._coordinate(md, 0)

    def east(self, md: ArrayLike) -> Floats:
        """Return the distance east of the first station.

        Parameters
        ----------
        md : array_like, any shape
            Measured depth [m].

        Returns
        -------
        ndarray, shape of *md*
            East coordinate [m].

        Examples
        --------
        >>> path = WellPath([0.0, 100.0], [0.5, 0.5], np.radians([90.0, 90.0]))
        >>> round(float(path.east(100.0)), 6)
        47.942554
        """
        return self._coordinate(md, 1)

    def inclination(self, md: ArrayLike) -> Floats:
        """Return the inclination from the vertical.

        Parameters
        ----------
        md : array_like, any shape
            Measured depth [m].

        Returns
        -------
        ndarray, shape of *md*
            Inclination [rad], 0 to pi.

        Examples
        --------
        >>> path = WellPath([0.0, 100.0], [0.0, 0.5], [0.0, 0.0])
        >>> round(float(path.inclination(50.0)), 12)
        0.25
        """
        if self._plumb:
            return np.zeros_like(_checked_depth(md))
        north, east, down = self._direction_at(md)
        return np.asarray(np.arctan2(np.hypot(north, east), down), dtype=np.float64)

    def azimuth(self, md: ArrayLike) -> Floats:
        """Return the azimuth from north.

        Parameters
        ----------
        md : array_like, any shape
            Measured depth [m].

        Returns
        -------
        ndarray, shape of *md*
            Azimuth [rad], 0 to 2 pi; 0 where the path is vertical and has none.

        Examples
        --------
        >>> path = WellPath([0.0, 100.0], [0.5, 0.5], np.radians([359.0, 1.0]))
        >>> round(float(np.degrees(path.azimuth(75.0))), 3)
        0.5
        """
        north, east, _ = self._direction_at(md)
        return np.asarray(np.mod(np.arctan2(east, north), 2.0 * np.pi), dtype=np.float64)

    def curvature(self, md: ArrayLike, below: ArrayLike = True) -> Floats:
        """Return the curvature of the path, constant between stations.

        Parameters
        ----------
        md : array_like, any shape
            Measured depth [m].
        below : array_like of bool, broadcasts with *md*
            Which side counts at a station (nearer than 1e-6 m): the interval below it, or the one above.

        Returns
        -------
        ndarray, broadcast shape of the inputs
            Curvature [rad/m]; 0 below the last station. Above the first station counts as below it.

        Examples
        --------
        >>> path = WellPath([0.0, 100.0, 200.0], [0.0, 0.0, 0.1], [0.0, 0.0, 0.0])
        >>> np.round(path.curvature(100.0, below=[True, False]), 9).tolist()
        [0.001, 0.0]
        """
        depth = _checked_depth(md)
        if self._plumb:
            return np.zeros(np.broadcast_shapes(depth.shape, np.shape(below)))
        shifted = depth + np.where(np.asarray(below, dtype=bool), AT_STATION, -AT_STATION)
        interval = np.searchsorted(self._md, shifted, side="right") - 1
        by_interval = np.append(self._dogleg / self._length, 0.0)
        return np.asarray(by_interval[np.maximum(interval, 0)], dtype=np.float64)

    def steepening(self, md: ArrayLike, beside: ArrayLike | None = None) -> Floats:
        """Return how fast the path turns downwards, the derivative of the cosine of its inclination.

        It is ``-sin(inclination) d(inclination)/ds``: negative where the hole builds.

        Parameters
        ----------
        md : array_like, any shape
            Measured depth [m].
        beside : array_like, shape of *md*, optional
            A depth [m] in the interval that counts where *md* lies at a station; by default the one below.

        Returns
        -------
        ndarray, shape of *md*
            [1/m]; 0 below the last station.

        Examples
        --------
        >>> path = WellPath([0.0, 100.0, 200.0], [0.0, 0.0, 0.1], [0.0, 0.0, 0.0])
        >>> np.round(path.steepening([100.0, 200.0], beside=[150.0, 150.0]), 9).tolist()
        [0.0, -9.9833e-05]
        """
        depth = _checked_depth(md)
        if self._plumb:
            return np.zeros_like(depth)
        interval, _, beyond = self._place(depth + AT_STATION if beside is None else beside)
        fraction = (np.minimum(depth, self.end) - self._md[interval]) / self._length[interval]
        f1, f2 = turning_weights(self._dogleg[interval], self._length[interval], np.clip(fraction, 0.0, 1.0))
        turning = self._direction[interval, 2] * f1 + self._direction[interval + 1, 2] * f2
        return np.where(beyond > 0.0, 0.0, turning)

    def md_at_tvd(self, tvd: ArrayLike) -> Floats:
        """Return the measured depth where the path first reaches a true vertical depth.

        Parameters
        ----------
        tvd : array_like, any shape
            True vertical depth [m], also sampled, (n, 1).

        Returns
        -------
        ndarray, shape of *tvd*
            Measured depth of the first crossing from the top [m], below `end` if only the straight extension
            gets there.

        Raises
        ------
        ValueError
            If a depth is above 0 or not finite, or deeper than the path reaches: it ends level or climbing.

        Examples
        --------
        >>> path = WellPath([0.0, 1000.0], [0.0, 1.0], [0.0, 0.0])
        >>> round(float(path.md_at_tvd(path.tvd(640.0))), 9)
        640.0
        """
        target = _checked_depth(tvd, "tvd")
        if self._plumb:
            return target
        at = np.minimum(np.searchsorted(self._reach, target), self._reach.size - 1)
        gain = np.minimum(target, self._reach[-1]) - self._position[at, 2]
        v1, v2 = self._direction[at, 2], self._direction[at + 1, 2]
        on_arc = self._md[at] + first_crossing(self._dogleg[at], self._length[at], v1, v2, gain)

        beyond = target - self._reach[-1]
        down = float(self._direction[-1, 2])
        if np.any(beyond > AT_STATION) and down < 1e-9:
            raise ValueError(
                f"tvd of {np.max(target):g} m is deeper than the path reaches: it ends level or climbing at "
                f"{self.end:g} m, and its deepest point is {self._reach[-1]:g} m"
            )
        extended = self.end + (target - self._position[-1, 2]) / max(down, 1e-9)
        return np.where(beyond > 0.0, np.where(down < 1e-9, on_arc, extended), on_arc)

    def _deepest(self) -> Floats:
        """Return the greatest vertical depth of each interval, at an end or a turning point, (n - 1,)."""
        v1, v2, angle = self._direction[:-1, 2], self._direction[1:, 2], self._dogleg
        turns = (v1 > 0.0) & (v2 < 0.0)
        turn = np.arctan2(v1 * np.sin(angle), v1 * np.cos(angle) - v2)
        way = np.divide(self._length * turn, angle, out=self._length.copy(), where=turns)
        start = self._position[:-1, 2]
        lowest = start + self._displacement(np.arange(angle.size), way, 2)  # the end, where it does not turn
        return np.maximum(start, lowest)

    def _place(self, md: ArrayLike) -> tuple[Ints, Floats, Floats]:
        """Return the interval, the way from its start, and the distance below the last station."""
        depth = _checked_depth(md)
        within = np.minimum(depth, self.end)
        interval = np.minimum(np.searchsorted(self._md, within, side="right") - 1, self._md.size - 2)
        return interval, within - self._md[interval], depth - within

    def _displacement(self, interval: Ints, way: Floats, axis: int) -> Floats:
        """Return how far the path goes along *axis* from the start of the interval [m]."""
        f1, f2 = displacement_weights(self._dogleg[interval], self._length[interval], way)
        t1, t2 = self._direction[interval, axis], self._direction[interval + 1, axis]
        return np.asarray(t1 * f1 + (t2 - t1) * f2, dtype=np.float64)

    def _coordinate(self, md: ArrayLike, axis: int) -> Floats:
        interval, way, beyond = self._place(md)
        on_arc = self._position[interval, axis] + self._displacement(interval, way, axis)
        return np.asarray(on_arc + beyond * self._direction[-1, axis], dtype=np.float64)

    def _direction_at(self, md: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Return the north, east and down parts of the unit direction."""
        interval, way, _ = self._place(md)
        f1, f2 = direction_weights(self._dogleg[interval], way / self._length[interval])
        t1, t2 = self._direction[interval], self._direction[interval + 1]
        north, east, down = (t1[..., axis] * f1 + t2[..., axis] * f2 for axis in range(3))
        return north, east, down


def _checked_survey(*survey: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Return depth, inclination and azimuth as arrays that start at 0, or say what is wrong with them."""
    names = ("md", "inclination", "azimuth")
    md, inclination, azimuth = (np.array(values, dtype=np.float64) for values in survey)
    shapes = [values.shape for values in (md, inclination, azimuth)]
    if md.ndim != 1 or md.size == 0 or len(set(shapes)) > 1:
        raise ValueError(f"md, inclination and azimuth must be 1-D and equally long, got shapes {shapes}")
    for name, values in zip(names, (md, inclination, azimuth), strict=True):
        if not np.all(np.isfinite(values)):
            raise ValueError(f"{name} of station {np.argmin(np.isfinite(values)) + 1} is not a finite number")
    if md[0] < -AT_STATION:
        raise ValueError(f"md of station 1 is {md[0]:g} m; depths count from 0")
    steps = np.diff(md) <= 2.0 * AT_STATION
    if np.any(steps):
        at = int(np.argmax(steps))
        raise ValueError(f"md must increase, got {md[at]:g} m and then {md[at + 1]:g} m (station {at + 2})")
    outside = (inclination < 0.0) | (inclination > np.pi)
    if np.any(outside):
        at = int(np.argmax(outside))
        raise ValueError(f"inclination of station {at + 1} must be 0 to pi rad (180 deg), got {inclination[at]:g} rad")
    if md[0] > 2.0 * AT_STATION:
        md, inclination = np.append(0.0, md), np.append(0.0, inclination)
        azimuth = np.append(azimuth[0], azimuth)
    md[0] = 0.0
    if md.size < 2:
        raise ValueError("a path needs two stations, or one below 0")
    return md, inclination, azimuth


def _checked_doglegs(md: Floats, inclination: Floats, azimuth: Floats) -> Floats:
    """Return the angle across each interval [rad], or say which one has no single arc."""
    angle = dogleg(inclination[:-1], azimuth[:-1], inclination[1:], azimuth[1:])
    reverses = angle > np.pi - 1e-6
    if np.any(reverses):
        at = int(np.argmax(reverses))
        raise ValueError(f"the path turns by 180 deg between md {md[at]:g} m and {md[at + 1]:g} m: no single arc does")
    return angle


def _checked_depth(depth: ArrayLike, name: str = "md") -> Floats:
    """Return *depth* as an array, a hair above 0 taken as 0."""
    values = np.asarray(depth, dtype=np.float64)
    bad = ~((values > -AT_STATION) & (values < np.inf))
    if np.any(bad):
        raise ValueError(f"{name} must be 0 m or more, the start of the path, got {values[bad].flat[0]:g} m")
    return np.maximum(values, 0.0)
