"""Axial force at which the pipe body yields."""

from __future__ import annotations

from numpy.typing import ArrayLike

from ..arrays import Floats
from .geometry import checked, steel_area


def axial_yield_force(od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike) -> Floats:
    """Return the pipe-body axial yield force, steel area times yield strength.

    The wall is nominal: the standard puts no wall tolerance on the axial area. Rating tables round the area
    to 0.001 in2 first and the force to 1,000 lbf; this function does not round.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength at the local temperature [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Force [N], the same in tension and (buckling and connections apart) in compression.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and *yield_strength* is positive.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 6, pipe-body yield; API Bulletin 5C3, section 2.

    Examples
    --------
    20 in 133 lb/ft K55, 2,125,000 lbf (Bourgoyne et al., *Applied Drilling Engineering*, 1986, ch. 7):

    >>> round(float(axial_yield_force(20 * 0.0254, 0.635 * 0.0254, 55e3 * 6894.757293)) / 4448.221615)
    2125
    """
    return steel_area(od, wall) * checked("yield_strength", yield_strength, "Pa", above=0.0)
