"""Cross-section of a round tube, and the checks of arguments that every strength formula shares."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Floats

API_STEEL_DENSITY = 7850.0
"""Density of carbon steel behind the plain-end masses of API 5CT and 5C3 [kg/m3] (0.2836 lb/in3)."""


def checked(
    name: str,
    value: ArrayLike,
    unit: str = "",
    *,
    above: float = -np.inf,
    least: float = -np.inf,
    most: float = np.inf,
) -> Floats:
    """Return an argument as a float array, or say what is wrong with it.

    Parameters
    ----------
    name : str
        The argument's name, for the message.
    value : array_like
        What was given.
    unit : str
        The unit it is in, for the message.
    above, least, most : float
        Exclusive lower, inclusive lower and inclusive upper bound.

    Returns
    -------
    ndarray
        The same numbers.

    Raises
    ------
    ValueError
        If any number is not finite or out of bounds; the message shows the first such number.

    Examples
    --------
    >>> checked("wall", [0.01, -0.01], "m", above=0.0)
    Traceback (most recent call last):
    ...
    ValueError: wall = -0.01 m: need a finite number above 0 m
    """
    array = np.asarray(value, dtype=np.float64)
    if array.size == 0:
        return array
    low, high = array.min(), array.max()  # NaN if there is one, which no comparison lets pass
    if not (above < low and least <= low and high <= most and high < np.inf):
        good = np.isfinite(array) & (array > above) & (array >= least) & (array <= most)
        bounds = {"above": above, "of at least": least, "of at most": most}
        words = [f"{word} {bound:g} {unit}".rstrip() for word, bound in bounds.items() if np.isfinite(bound)]
        found = f"{array[~good].flat[0]:g} {unit}".rstrip()
        raise ValueError(f"{name} = {found}: need a finite number {' and '.join(words)}".rstrip())
    return array


def checked_tube(od: ArrayLike, wall: ArrayLike) -> tuple[Floats, Floats]:
    """Return outside diameter and wall as arrays, or say why they make no tube.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m].

    Returns
    -------
    od, wall : ndarray
        The same numbers, each in its own shape.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` everywhere.

    Examples
    --------
    >>> checked_tube(0.02, 0.01)
    Traceback (most recent call last):
    ...
    ValueError: od = 0.02 m, wall = 0.01 m: need 2*wall < od, to leave a bore
    """
    od = checked("od", od, "m", above=0.0)
    wall = checked("wall", wall, "m", above=0.0)
    solid = 2.0 * wall >= od
    if solid.any():
        first = (np.broadcast_to(value, solid.shape)[solid][0] for value in (od, wall))
        raise ValueError("od = {:g} m, wall = {:g} m: need 2*wall < od, to leave a bore".format(*first))
    return od, wall


def steel_area(od: ArrayLike, wall: ArrayLike) -> Floats:
    """Return the area of the steel, pi (D - t) t.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m].

    Returns
    -------
    ndarray, broadcast shape
        Area [m2].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``.

    Examples
    --------
    20 in 133 lb/ft, 38.63 in2 (Bourgoyne et al., *Applied Drilling Engineering*, 1986, ch. 7):

    >>> round(float(steel_area(20 * 0.0254, 0.635 * 0.0254)) / 0.0254**2, 2)
    38.63
    """
    od, wall = checked_tube(od, wall)
    return np.pi * (od - wall) * wall


def bore_area(od: ArrayLike, wall: ArrayLike) -> Floats:
    """Return the area of the bore, pi/4 (D - 2t)^2.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m].

    Returns
    -------
    ndarray, broadcast shape
        Area [m2].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``.

    Examples
    --------
    >>> round(float(bore_area(0.3, 0.05)), 6)
    0.031416
    """
    od, wall = checked_tube(od, wall)
    return np.pi / 4.0 * (od - 2.0 * wall) ** 2


def outer_area(od: ArrayLike) -> Floats:
    """Return the area within the outside diameter, pi/4 D^2.

    Parameters
    ----------
    od : array_like
        Outside diameter [m].

    Returns
    -------
    ndarray, shape of *od*
        Area [m2].

    Raises
    ------
    ValueError
        Unless *od* is positive.

    Examples
    --------
    >>> round(float(outer_area(0.2)), 6)
    0.031416
    """
    return np.pi / 4.0 * checked("od", od, "m", above=0.0) ** 2


def second_moment(od: ArrayLike, wall: ArrayLike) -> Floats:
    """Return the second moment of area about a diameter, pi/64 (D^4 - d^4).

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m].

    Returns
    -------
    ndarray, broadcast shape
        Second moment [m4]; the polar one, for torsion, is twice this.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``.

    Examples
    --------
    >>> round(float(second_moment(2.0, 0.5)) * 64 / 3.141592653589793, 6)
    15.0
    """
    od, wall = checked_tube(od, wall)
    outer, inner = od**2, (od - 2.0 * wall) ** 2
    return np.pi / 64.0 * (outer + inner) * (outer - inner)  # a square is one multiplication, a fourth power is not


def plain_end_mass(od: ArrayLike, wall: ArrayLike, density: ArrayLike = API_STEEL_DENSITY) -> Floats:
    """Return the mass per length of the tube without threads and couplings.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m].
    density : array_like
        Density of the steel [kg/m3]. The default is the one behind 10.69 (D - t) t lb/ft in API 5CT and in
        5C3 since its supplement of April 1999; editions before it have 0.2833 lb/in3 (7842 kg/m3).
        Martensitic 13Cr is 0.989 of carbon steel.

    Returns
    -------
    ndarray, broadcast shape
        Mass per length [kg/m]. The nominal weight of a pipe is a label, not this.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and *density* is positive.

    References
    ----------
    .. [1] API Bulletin 5C3, 6th edition, supplement 1, 1999: plain-end weight.

    Examples
    --------
    4-1/2 in 11.60 lb/ft has 11.36 lb/ft plain-end:

    >>> round(float(plain_end_mass(4.5 * 0.0254, 0.250 * 0.0254)) * 0.3048 / 0.45359237, 2)
    11.36
    """
    return steel_area(od, wall) * checked("density", density, "kg/m3", above=0.0)
