"""Ductile rupture: the internal pressure that tears the pipe body open, after Klever and Stewart.

An ultimate limit, from the tensile strength and not from the yield strength. It holds for ductile steel without
environmental cracking; brittle fracture is another matter. The wall that resists is

    t_e = k_wall t - k_a a,

the least wall less the deepest crack-like imperfection a that can pass inspection, times the burst strength factor
k_a. Neither a nor k_a has a default here: what the standard says of them is known from memory only and has to be
compared with its text for the pipe at hand.

References: ISO/TR 10400:2007 (API TR 5C3), clause 7 and Annex B; Klever, F.J. and Stewart, G., "Analytical burst
strength prediction of OCTG with and without defects", SPE 48329, 1998. The equations are from memory; they were
derived again as far as their limits go: without effective force the combined form is the capped-end one, without
hardening it is the ellipse of von Mises.
"""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from ..arrays import Floats
from ..constants import PSI
from .geometry import checked, checked_tube

_INDEX, _SLOPE = 0.1693, 8.12e-4 / (1e3 * PSI)  # n = 0.1693 - 8.12e-4 Y, Y in ksi


@dataclass(frozen=True, kw_only=True)
class RuptureWorking:
    """Every step on the way to the capped-end rupture pressure.

    Attributes
    ----------
    sound_wall : ndarray
        Wall that resists, t_e [m].
    ultimate_pressure : ndarray
        p_uts = 2 U t_e/(D - t_e) [Pa].
    deformation_factor : ndarray
        k_dr = (1/2)^(n+1) + (1/sqrt3)^(n+1).
    rating : ndarray
        Rupture pressure k_dr p_uts, inside above outside [Pa].
    """

    sound_wall: Floats
    ultimate_pressure: Floats
    deformation_factor: Floats
    rating: Floats


def hardening_index(yield_strength: ArrayLike) -> Floats:
    """Return the hardening index of a casing steel, n = 0.1693 - 8.12e-4 Y with Y in ksi.

    The standard's table is this line rounded to 0.01: H40 0.14; J55, K55 and M65 0.12; L80, N80 and C90 0.10; C95
    and T95 0.09; P110 0.08; Q125 0.07. The line is not rounded here. Above Q125 it is an extrapolation.

    Parameters
    ----------
    yield_strength : array_like
        Specified minimum yield strength [Pa], before any derating for temperature; at most 208 ksi, where the line
        reaches zero.

    Returns
    -------
    ndarray, shape of *yield_strength*
        Hardening index, without unit.

    Raises
    ------
    ValueError
        If *yield_strength* is not positive or beyond the line.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 7; value from memory.

    Examples
    --------
    P110, 0.08 in the table:

    >>> round(float(hardening_index(110e3 * PSI)), 5)
    0.07998
    """
    yield_strength = checked("yield_strength", yield_strength, "Pa", above=0.0, most=_INDEX / _SLOPE)
    return _INDEX - _SLOPE * yield_strength


def rupture_pressure(
    od: ArrayLike,
    wall: ArrayLike,
    tensile_strength: ArrayLike,
    hardening: ArrayLike,
    *,
    wall_factor: ArrayLike,
    imperfection_depth: ArrayLike,
    burst_strength_factor: ArrayLike,
) -> Floats:
    """Return the rupture pressure of a pipe with capped ends, 2 k_dr U t_e/(D - t_e).

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    tensile_strength : array_like
        Minimum tensile strength, not the yield strength [Pa].
    hardening : array_like
        Hardening index from 0 to 1, such as `hardening_index` gives.
    wall_factor : array_like
        Least wall over nominal wall, above 0; 0.875 by the API tolerance.
    imperfection_depth : array_like
        Depth of the deepest crack-like imperfection that can pass inspection [m]. From memory: 5 % or 12.5 % of the
        wall, by the inspection that the grade gets.
    burst_strength_factor : array_like
        How much an imperfection of that depth takes from the wall. From memory, hence without default: 1.0 for
        quenched and tempered steel and 13Cr, 2.0 for others or where it was not measured.

    Returns
    -------
    ndarray, broadcast shape
        Pressure inside above that outside [Pa].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``, *tensile_strength* and the two factors are positive, *hardening* is from 0 to 1,
        *imperfection_depth* not negative, and a wall is left.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 7; from memory.

    Examples
    --------
    9-5/8 in 53.50 lb/ft P110, imperfections up to 5 % of the wall; 12,564.0 psi by a calculation of our own, not
    published:

    >>> inch, wall = 0.0254, 0.545 * 0.0254
    >>> steel = {"imperfection_depth": 0.05 * wall, "burst_strength_factor": 1.0}
    >>> round(float(rupture_pressure(9.625 * inch, wall, 125e3 * PSI, 0.08, wall_factor=0.875, **steel)) / PSI, 1)
    12564.0
    """
    return rupture_working(
        od,
        wall,
        tensile_strength,
        hardening,
        wall_factor=wall_factor,
        imperfection_depth=imperfection_depth,
        burst_strength_factor=burst_strength_factor,
    ).rating


def rupture_working(
    od: ArrayLike,
    wall: ArrayLike,
    tensile_strength: ArrayLike,
    hardening: ArrayLike,
    *,
    wall_factor: ArrayLike,
    imperfection_depth: ArrayLike,
    burst_strength_factor: ArrayLike,
) -> RuptureWorking:
    """Return the capped-end rupture pressure with every step on the way to it.

    Parameters
    ----------
    od, wall, tensile_strength, hardening, wall_factor, imperfection_depth, burst_strength_factor : array_like
        As in `rupture_pressure`.

    Returns
    -------
    RuptureWorking
        Sound wall, deformation factor and rating.

    Raises
    ------
    ValueError
        As `rupture_pressure`.

    Examples
    --------
    k_dr of P110, 1.025557 by a calculation of our own, not published:

    >>> working = rupture_working(
    ...     0.2, 0.01, 862e6, 0.08, wall_factor=0.875, imperfection_depth=0.0, burst_strength_factor=1.0
    ... )
    >>> round(float(working.deformation_factor), 6), round(float(working.sound_wall), 5)
    (1.025557, 0.00875)
    """
    n = checked("hardening", hardening, least=0.0, most=1.0)
    sound = sound_wall(od, wall, wall_factor, imperfection_depth, burst_strength_factor)
    p_uts = ultimate_pressure(od, sound, tensile_strength)
    factor = 0.5 ** (n + 1.0) + 3.0 ** (-0.5 * (n + 1.0))
    return RuptureWorking(sound_wall=sound, ultimate_pressure=p_uts, deformation_factor=factor, rating=factor * p_uts)


def sound_wall(
    od: ArrayLike,
    wall: ArrayLike,
    wall_factor: ArrayLike,
    imperfection_depth: ArrayLike,
    burst_strength_factor: ArrayLike,
) -> Floats:
    """Return the wall that resists rupture, k_wall t - k_a a.

    Parameters
    ----------
    od, wall, wall_factor, imperfection_depth, burst_strength_factor : array_like
        As in `rupture_pressure`.

    Returns
    -------
    ndarray, broadcast shape
        Wall [m].

    Raises
    ------
    ValueError
        As `rupture_pressure`; no wall left is refused, not rated zero.

    Examples
    --------
    >>> round(float(sound_wall(0.2, 0.01, 0.875, 0.000625, 2.0)), 6)
    0.0075
    """
    od, wall = checked_tube(od, wall)
    least_wall = checked("wall_factor", wall_factor, above=0.0) * wall
    depth = checked("imperfection_depth", imperfection_depth, "m", least=0.0)
    lost = checked("burst_strength_factor", burst_strength_factor, above=0.0) * depth
    name = "wall_factor*wall - burst_strength_factor*imperfection_depth"
    return checked_tube(od, checked(name, least_wall - lost, "m", above=0.0))[1]


def ultimate_pressure(od: ArrayLike, wall: ArrayLike, tensile_strength: ArrayLike) -> Floats:
    """Return the pressure at which the mean hoop stress reaches the tensile strength, p_uts = 2 U t/(D - t).

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall, here the sound one [m].
    tensile_strength : array_like
        Tensile strength [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and *tensile_strength* is positive.

    Examples
    --------
    >>> round(float(ultimate_pressure(0.21, 0.01, 500e6)))
    50000000
    """
    od, wall = checked_tube(od, wall)
    return 2.0 * checked("tensile_strength", tensile_strength, "Pa", above=0.0) * wall / (od - wall)
