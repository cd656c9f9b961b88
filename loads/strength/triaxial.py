"""Triaxial stress: pressure, axial force, bending and torsion in one equivalent stress."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..arrays import Array, Floats
from .geometry import checked, checked_tube, second_moment, steel_area

TRIAXIAL_POINTS = (
    "inner wall, tension side",
    "inner wall, compression side",
    "outer wall, tension side",
    "outer wall, compression side",
)
"""The points looked at, in the order of the first axis in `TriaxialStress`; the sides of the bend."""


@dataclass(frozen=True, kw_only=True)
class TriaxialStress:
    """Stresses at the four points of `TRIAXIAL_POINTS` and the greatest of them.

    All stresses [Pa], tension positive.

    Attributes
    ----------
    radial, hoop, axial, shear, equivalent : ndarray, (4, ...)
        Stresses at the points; ``...`` is the broadcast shape of the arguments.
    greatest : ndarray, (...)
        Greatest equivalent stress.
    governing : ndarray of int, (...)
        Where it stands, an index into `TRIAXIAL_POINTS`; the first of equals.
    """

    radial: Floats
    hoop: Floats
    axial: Floats
    shear: Floats
    equivalent: Floats
    greatest: Floats
    governing: NDArray[np.intp]

    @property
    def point(self) -> NDArray[np.str_]:
        """The governing point by name, shape (...)."""
        return np.asarray(np.array(TRIAXIAL_POINTS)[self.governing])


def lame_stresses(
    od: ArrayLike,
    wall: ArrayLike,
    internal_pressure: ArrayLike,
    external_pressure: ArrayLike,
    radius: ArrayLike,
) -> tuple[Floats, Floats]:
    r"""Return the radial and hoop stress that pressure makes in a thick-walled tube.

    .. math:: \sigma_{r,h} = \frac{(p_i - p_o) d^2}{D^2 - d^2} \left(1 \mp \frac{D^2}{4 r^2}\right) - p_o

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m], the wall that is to carry the pressure.
    internal_pressure, external_pressure : array_like
        Pressures [Pa].
    radius : array_like
        Radius of the point [m], within the wall.

    Returns
    -------
    radial, hoop : ndarray, broadcast shape
        Stresses [Pa], tension positive.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``, the radius is within the wall and the pressures are finite.

    References
    ----------
    .. [1] Lame; ISO/TR 10400:2007 (API TR 5C3), clause 6, triaxial yield.

    Examples
    --------
    At the bore the radial stress is minus the pressure; d = D/2, so the hoop stress is 5/3 of it:

    >>> [round(float(stress), 6) for stress in lame_stresses(0.4, 0.1, 3.0, 0.0, 0.1)]
    [-3.0, 5.0]
    """
    od, wall = checked_tube(od, wall)
    p_i = checked("internal_pressure", internal_pressure, "Pa")
    p_o = checked("external_pressure", external_pressure, "Pa")
    r = checked("radius", radius, "m", above=0.0)
    slack = 1e-9 * od
    outside = (r < od / 2.0 - wall - slack) | (r > od / 2.0 + slack)
    if outside.any():
        found = np.broadcast_to(r, outside.shape)[outside][0]
        raise ValueError(f"radius = {found:g} m: need a radius within the wall, from od/2 - wall to od/2")
    centre, at_outside = _mohr_circle(od, wall, p_i, p_o)
    here = at_outside * (od / (2.0 * r)) ** 2
    return centre - here, centre + here


def axial_yield_bounds(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    internal_pressure: ArrayLike,
    external_pressure: ArrayLike,
) -> tuple[Floats, Floats]:
    r"""Return the axial stresses between which the bore stays elastic under pressure.

    .. math:: \sigma_z = \frac{\sigma_r + \sigma_h}2 \pm \sqrt{Y^2 - \tfrac34 (\sigma_h - \sigma_r)^2}

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m], the wall that is to carry the pressure.
    yield_strength : array_like
        Yield strength at the local temperature [Pa].
    internal_pressure, external_pressure : array_like
        Pressures [Pa].

    Returns
    -------
    least, most : ndarray, broadcast shape
        Axial stress [Pa], tension positive; both the mean of the other two stresses where pressure alone makes it
        yield.

    Raises
    ------
    ValueError
        As `lame_stresses`, or unless *yield_strength* is positive.

    References
    ----------
    [1]_ of `lame_stresses`: the yield condition of von Mises solved for the axial stress.

    Examples
    --------
    Without pressure it is the yield itself; pressure inside takes more from compression than it gives to tension.

    >>> [round(float(stress)) for stress in axial_yield_bounds(0.4, 0.02, 500.0, 0.0, 0.0)]
    [-500, 500]
    >>> [round(float(stress)) for stress in axial_yield_bounds(0.4, 0.02, 500.0, 20.0, 0.0)]
    [-380, 551]
    """
    strength = checked("yield_strength", yield_strength, "Pa", above=0.0)
    bore = np.asarray(od, dtype=np.float64) / 2.0 - np.asarray(wall, dtype=np.float64)
    radial, hoop = lame_stresses(od, wall, internal_pressure, external_pressure, bore)
    centre = 0.5 * (radial + hoop)
    room = np.sqrt(np.maximum(strength**2 - 0.75 * (hoop - radial) ** 2, 0.0))
    return centre - room, centre + room


def von_mises(radial: ArrayLike, hoop: ArrayLike, axial: ArrayLike, shear: ArrayLike = 0.0) -> Floats:
    """Return the equivalent stress of von Mises.

    Parameters
    ----------
    radial, hoop, axial : array_like
        Normal stresses along the axes of the tube [Pa], tension positive.
    shear : array_like
        Shear stress of torsion [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Equivalent stress [Pa], never negative.

    Raises
    ------
    ValueError
        If a stress is not finite.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 6, triaxial yield.

    Examples
    --------
    >>> float(von_mises(0.0, 0.0, -200e6)), float(von_mises(-5e6, -5e6, -5e6))
    (200000000.0, 0.0)
    """
    r, h = checked("radial", radial, "Pa"), checked("hoop", hoop, "Pa")
    a, tau = checked("axial", axial, "Pa"), checked("shear", shear, "Pa")
    return np.asarray(_von_mises((h + r) / 2.0, (h - r) / 2.0, a, tau))


def triaxial_stress(
    od: ArrayLike,
    wall: ArrayLike,
    internal_pressure: ArrayLike,
    external_pressure: ArrayLike,
    axial_force: ArrayLike,
    bending_stress: ArrayLike = 0.0,
    torque: ArrayLike = 0.0,
    wall_factor: ArrayLike = 0.875,
) -> TriaxialStress:
    """Return the stresses at inner and outer wall on both sides of the bend, and the greatest equivalent one.

    Radial and hoop stress are those of the minimum wall, *wall_factor* times *wall*, with the outside
    diameter kept, so that the bore moves out; axial force, bending and torsion act on the nominal section,
    as in the standard.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    internal_pressure, external_pressure : array_like
        Pressures [Pa].
    axial_force : array_like
        True axial force [N], tension positive.
    bending_stress : array_like
        Magnitude at the outer fibre [Pa]; at the inner wall it is less by the ratio of the nominal diameters.
    torque : array_like
        Torque [N m], either sign.
    wall_factor : array_like
        Least wall over nominal wall, above 0; 0.875 is the API tolerance of minus 12.5 %, 1 the nominal wall.

    Returns
    -------
    TriaxialStress
        The four points and the greatest.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` (with and without *wall_factor*), bending is not negative and all is
        finite.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 6 and Annex A.

    Examples
    --------
    Without pressure only force over area is left; with bending the outer wall on the tension side governs:

    >>> pull = triaxial_stress(0.3, 0.05, 0.0, 0.0, axial_force=1e6)
    >>> round(float(pull.greatest) * float(steel_area(0.3, 0.05)))
    1000000
    >>> str(triaxial_stress(0.3, 0.05, 0.0, 0.0, axial_force=1e6, bending_stress=5e7).point)
    'outer wall, tension side'
    """
    od, wall = checked_tube(od, wall)
    _, least_wall = checked_tube(od, checked("wall_factor", wall_factor, above=0.0) * wall)
    p_i = checked("internal_pressure", internal_pressure, "Pa")
    p_o = checked("external_pressure", external_pressure, "Pa")
    pull = checked("axial_force", axial_force, "N") / steel_area(od, wall)
    bend = checked("bending_stress", bending_stress, "Pa", least=0.0)
    twist = checked("torque", torque, "N m")
    if twist.any():
        twist = twist * od / (4.0 * second_moment(od, wall))  # shear stress at the outer fibre, T r / J with J = 2 I
    bent = bool(bend.any())  # without bending the two sides are alike, and one is worked out

    centre, at_outside = _mohr_circle(od, least_wall, p_i, p_o)
    at_bore = at_outside * (od / (od - 2.0 * least_wall)) ** 2
    points: list[tuple[Array, ...]] = []  # in the order of TRIAXIAL_POINTS
    for radius, fibre in ((at_bore, 1.0 - 2.0 * wall / od), (at_outside, 1.0)):
        shear = twist * fibre  # fibre: distance from the axis over that of the outer fibre, nominal
        for side in (1.0, -1.0) if bent else (1.0,):
            axial = pull + side * bend * fibre
            equivalent = _von_mises(centre, radius, axial, shear)
            points.append((centre - radius, centre + radius, axial, shear, equivalent))
    return _at_points(points if bent else [points[0], points[0], points[1], points[1]])


def _at_points(points: Sequence[tuple[Array, ...]]) -> TriaxialStress:
    """Return the result from radial, hoop, axial, shear and equivalent stress at each of `TRIAXIAL_POINTS`."""
    *_, first = points[0]  # an equivalent stress has the shape of all arguments together
    stresses = np.empty((5, 4, *first.shape))
    for index, point in enumerate(points):
        for kind, stress in enumerate(point):
            stresses[kind, index] = stress
    radial, hoop, axial, shear, equivalent = stresses
    greatest, governing = equivalent[0], np.zeros(first.shape, dtype=np.intp)
    for index in range(1, 4):
        if points[index] is points[index - 1]:
            continue  # the other side, alike
        governing = np.where(equivalent[index] > greatest, index, governing)
        greatest = np.maximum(greatest, equivalent[index])
    return TriaxialStress(
        radial=radial,
        hoop=hoop,
        axial=axial,
        shear=shear,
        equivalent=equivalent,
        greatest=greatest,
        governing=governing,
    )


# The formulas themselves, without checks, by Mohr's circle of radial and hoop stress: its centre is half their sum, its
# radius half of hoop less radial stress.


def _mohr_circle(od: Floats, wall: Floats, p_i: Floats, p_o: Floats) -> tuple[Array, Array]:
    """Return the centre, the same all through the wall, and the radius at the outside; it goes with 1/r^2."""
    outer, inner = od**2, (od - 2.0 * wall) ** 2
    radius = (p_i - p_o) * (inner / (outer - inner))
    return radius - p_o, radius


def _von_mises(centre: Array, radius: Array, axial: Array, shear: Array) -> Array:
    # a sum of squares: no square root of a negative rounding error, and blind to a hydrostatic part
    return np.sqrt((axial - centre) ** 2 + 3.0 * (radius**2 + shear**2))
