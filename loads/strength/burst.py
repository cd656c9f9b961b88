"""Internal pressure at which the pipe body yields."""

from __future__ import annotations

from typing import Literal, get_args

from numpy.typing import ArrayLike

from ..arrays import Floats
from .geometry import checked, checked_tube
from .triaxial import lame_stresses, von_mises

End = Literal["open", "capped", "fixed"]


def internal_yield_pressure(
    od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike, wall_factor: ArrayLike = 0.875
) -> Floats:
    """Return the historical minimum internal yield pressure, 2 Y (k t)/D.

    This is Barlow's formula with the outside diameter. It is a rating of the pipe body alone, without axial
    force; tables round it to 10 psi, this function does not round.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength at the local temperature [Pa].
    wall_factor : array_like
        Least wall over nominal wall, above 0; 0.875 is the API tolerance of minus 12.5 %.

    Returns
    -------
    ndarray, broadcast shape
        Pressure inside above that outside [Pa].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and the others are positive.

    References
    ----------
    .. [1] API Bulletin 5C3 and ISO/TR 10400:2007 (API TR 5C3), historical minimum internal yield pressure.

    Examples
    --------
    9-5/8 in 53.50 lb/ft P110, 10,900 psi (Ghalambor & Guo, drilling course notes, 2005):

    >>> psi = 6894.757293
    >>> round(float(internal_yield_pressure(9.625 * 0.0254, 0.545 * 0.0254, 110e3 * psi)) / psi)
    10900
    """
    od, wall = checked_tube(od, wall)
    yield_strength = checked("yield_strength", yield_strength, "Pa", above=0.0)
    return yield_strength * (2.0 * checked("wall_factor", wall_factor, above=0.0) * wall / od)


def thick_wall_yield_pressure(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    wall_factor: ArrayLike = 0.875,
    end: End = "capped",
    poisson: ArrayLike = 0.28,
) -> Floats:
    """Return the internal pressure at which the bore begins to yield, by Lame and von Mises.

    Outside pressure is zero. Hoop and radial stress are those of the minimum wall with the outside diameter
    kept; the end cap's pull is the nominal bore area over the nominal steel area.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength at the local temperature [Pa].
    wall_factor : array_like
        Least wall over nominal wall, above 0; 0.875 is the API tolerance of minus 12.5 %.
    end : {"open", "capped", "fixed"}
        No axial stress; the pull of a closed end; or no axial strain, a textbook case that is not in the
        standard.
    poisson : array_like
        Poisson's ratio, used with fixed ends.

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` (with and without *wall_factor*), the others are positive, *poisson* is at
        most 0.5 and *end* is known.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 6.6, triaxial initial yield.

    Examples
    --------
    With the nominal wall and a capped end it is Y (D^2 - d^2)/(sqrt(3) D^2):

    >>> round(float(thick_wall_yield_pressure(0.2, 0.05, 3**0.5, wall_factor=1.0)), 6)
    0.75
    """
    if end not in get_args(End):
        raise ValueError(f"end = {end!r}: need 'open', 'capped' or 'fixed'")
    od, wall = checked_tube(od, wall)
    least_wall = checked("wall_factor", wall_factor, above=0.0) * wall
    yield_strength = checked("yield_strength", yield_strength, "Pa", above=0.0)
    poisson = checked("poisson", poisson, least=0.0, most=0.5)
    radial, hoop = lame_stresses(od, least_wall, 1.0, 0.0, od / 2.0 - least_wall)  # of a unit pressure
    bore, least_bore = od - 2.0 * wall, od - 2.0 * least_wall
    pull: dict[End, ArrayLike] = {
        "open": 0.0,
        "capped": bore**2 / (od**2 - bore**2),
        "fixed": 2.0 * poisson * least_bore**2 / (od**2 - least_bore**2),
    }
    return yield_strength / von_mises(radial, hoop, pull[end])
