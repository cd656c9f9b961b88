"""The coupling of a standard threaded connection: its steel at the end of the pipe, and what breaks it.

The coupling is weakest at its thread root at the end of the pipe, made up power tight; `coupling_root_diameter`
gives that place. Rating tables round this diameter to 0.001 in first; these functions do not round.

Range: the standard's couplings, of pipe from 4-1/2 to 20 in. `casingloads.catalog` has their dimensions.

References: API Bulletin 5C3, sections 3 and 4; ISO/TR 10400:2007 (API TR 5C3), clauses 9 and 10. Numbers of
sections and clauses, and the formulas, from memory; recalled rating tables are reproduced.
"""

from __future__ import annotations

from enum import IntEnum
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Bools, Floats
from ..constants import INCH
from .geometry import checked

LEAST_JOINT_SIZE: Final = 4.5 * INCH
"""Smallest pipe with a standard casing connection [m]."""
GREATEST_JOINT_SIZE: Final = 20.0 * INCH
"""Largest pipe with a standard casing connection [m]."""
JOINT_EFFICIENCY: Final = 0.95  # on every ultimate strength of a standard connection
_SIZE_SLACK = 0.005 * INCH  # a size may arrive through a rounded metric one


class JointFailure(IntEnum):
    """How a threaded joint parts under tension."""

    FRACTURE = 0
    """The pipe breaks at its last engaged thread."""
    PULL_OUT = 1
    """The pin, necked by tension, is pulled out of the coupling; round threads only."""
    COUPLING = 2
    """The coupling breaks at the end of the pipe."""


def coupling_root_diameter(
    pitch_diameter: ArrayLike, plane: ArrayLike, taper: ArrayLike, thread_height: ArrayLike
) -> Floats:
    """Return the thread root diameter of the coupling at the end of the pipe, power tight, d1 = E - L T + h.

    Parameters
    ----------
    pitch_diameter : array_like
        E1 at the hand-tight plane (round thread) or E7 at the end of the perfect threads (buttress) [m].
    plane : array_like
        Distance of that plane from the end of the pipe: L1 + A (round thread), L7 + I (buttress) [m].
    taper : array_like
        Taper on the diameter, T.
    thread_height : array_like
        Height of the coupling's thread about the pitch line, on the diameter: H - 2 S_rn, 0.07425 in (round
        thread), or 0.062 in (buttress) [m].

    Returns
    -------
    ndarray, broadcast shape
        Diameter [m]. Rating tables round it to 0.001 in.

    Raises
    ------
    ValueError
        Unless all are positive.

    References
    ----------
    .. [1] API Bulletin 5C3, section 3; ISO/TR 10400:2007 (API TR 5C3), clause 10; from memory.

    Examples
    --------
    7 in buttress, 6.954 - (2.216 + 0.5) 0.0625 + 0.062 in:

    >>> round(float(coupling_root_diameter(6.954 * INCH, 2.716 * INCH, 0.0625, 0.062 * INCH)) / INCH, 5)
    6.84625
    """
    pitch_diameter = checked("pitch_diameter", pitch_diameter, "m", above=0.0)
    drop = checked("plane", plane, "m", above=0.0) * checked("taper", taper, above=0.0)
    return pitch_diameter - drop + checked("thread_height", thread_height, "m", above=0.0)


def coupling_area(coupling_od: ArrayLike, root_diameter: ArrayLike) -> Floats:
    """Return the area of the coupling's steel at the end of the pipe, pi/4 (W^2 - d1^2).

    Parameters
    ----------
    coupling_od : array_like
        Outside diameter of the coupling, W [m].
    root_diameter : array_like
        Thread root at the end of the pipe, d1 [m].

    Returns
    -------
    ndarray, broadcast shape
        Area [m2].

    Raises
    ------
    ValueError
        Unless ``0 < root_diameter < coupling_od``.

    Examples
    --------
    >>> round(float(coupling_area(0.2, 0.1)), 6)
    0.023562
    """
    w, d1 = checked_ring(coupling_od, "root_diameter", root_diameter)
    return np.pi / 4.0 * (w**2 - d1**2)


def coupling_fracture_force(coupling_od: ArrayLike, root_diameter: ArrayLike, tensile_strength: ArrayLike) -> Floats:
    """Return the force that breaks the coupling, 0.95 A_c U_c.

    Parameters
    ----------
    coupling_od : array_like
        Outside diameter of the coupling, W [m].
    root_diameter : array_like
        Thread root at the end of the pipe, d1 [m].
    tensile_strength : array_like
        Minimum tensile strength of the coupling [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Force [N]. It is an ultimate strength that carries its 0.95 already.

    Raises
    ------
    ValueError
        Unless ``0 < root_diameter < coupling_od`` and *tensile_strength* is positive.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9; from memory.

    Examples
    --------
    5-1/2 in 23 lb/ft N80 buttress, regular coupling, 579,000 lbf (API Bulletin 5C2, value from memory):

    >>> from casingloads.constants import PSI
    >>> force = coupling_fracture_force(6.050 * INCH, 5.370 * INCH, 100e3 * PSI)
    >>> round(float(force) / (PSI * INCH**2), -3)
    579000.0
    """
    strength = checked("tensile_strength", tensile_strength, "Pa", above=0.0)
    return JOINT_EFFICIENCY * coupling_area(coupling_od, root_diameter) * strength


# Checks that round thread and buttress share.


def checked_strengths(yield_strength: ArrayLike, tensile_strength: ArrayLike) -> tuple[Floats, Floats]:
    """Return yield and tensile strength as arrays, or say why they belong to no steel.

    Parameters
    ----------
    yield_strength, tensile_strength : array_like
        Strengths [Pa].

    Returns
    -------
    yield_strength, tensile_strength : ndarray
        The same numbers, each in its own shape.

    Raises
    ------
    ValueError
        Unless ``0 < yield_strength <= tensile_strength`` everywhere.

    Examples
    --------
    >>> checked_strengths(5e8, 4e8)
    Traceback (most recent call last):
    ...
    ValueError: yield_strength = 5e+08 Pa, tensile_strength = 4e+08 Pa: need yield_strength <= tensile_strength
    """
    y = checked("yield_strength", yield_strength, "Pa", above=0.0)
    u = checked("tensile_strength", tensile_strength, "Pa", above=0.0)
    found = "yield_strength = {:g} Pa, tensile_strength = {:g} Pa"
    _all_true(y <= u, f"{found}: need yield_strength <= tensile_strength", y, u)
    return y, u


def checked_ring(coupling_od: ArrayLike, name: str, diameter: ArrayLike) -> tuple[Floats, Floats]:
    """Return outside diameter of a coupling and a diameter within it as arrays, or say why they are no ring.

    Parameters
    ----------
    coupling_od : array_like
        Outside diameter of the coupling [m].
    name : str
        Name of the other, for the message.
    diameter : array_like
        Diameter within [m].

    Returns
    -------
    coupling_od, diameter : ndarray
        The same numbers, each in its own shape.

    Raises
    ------
    ValueError
        Unless ``0 < diameter < coupling_od`` everywhere.

    Examples
    --------
    >>> checked_ring(0.2, "root_diameter", 0.21)
    Traceback (most recent call last):
    ...
    ValueError: root_diameter = 0.21 m, coupling_od = 0.2 m: need root_diameter < coupling_od
    """
    w = checked("coupling_od", coupling_od, "m", above=0.0)
    inner = checked(name, diameter, "m", above=0.0)
    _all_true(inner < w, f"{name} = {{:g}} m, coupling_od = {{:g}} m: need {name} < coupling_od", inner, w)
    return w, inner


def outside_sizes(od: ArrayLike) -> Bools:
    """Return whether the standard has no casing connection as small or as large, below 4-1/2 or above 20 in.

    Parameters
    ----------
    od : array_like
        Outside diameter of the pipe [m].

    Returns
    -------
    ndarray of bool, shape of *od*
        True where the formulas of the joints are beyond their sizes.

    Examples
    --------
    >>> outside_sizes([0.1143, 0.508, 0.6096]).tolist()
    [False, False, True]
    """
    od = np.asarray(od, float)
    return np.asarray((od < LEAST_JOINT_SIZE - _SIZE_SLACK) | (od > GREATEST_JOINT_SIZE + _SIZE_SLACK))


def _all_true(good: Bools, message: str, *values: Floats) -> None:
    """Raise ValueError with the first *values* for which *good* is false."""
    if not np.all(good):
        bad = ~np.asarray(good)
        raise ValueError(message.format(*(np.broadcast_to(value, bad.shape)[bad][0] for value in values)))
