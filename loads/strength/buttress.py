"""Joint strength of casing with buttress threads (BTC).

The joint parts where the pipe breaks in its thread or where the coupling breaks; the lesser governs. A thread
of this form does not pull out. Both are ultimate strengths that carry their 0.95 already, unlike the yield of
the pipe body, so the joint may be rated above the body's yield (`ButtressJointWorking.above_body_yield`): the
body then governs. Special clearance couplings are thinner and mostly govern.

Range: pipe of 4-1/2 to 20 in (`ButtressJointWorking.outside_sizes` marks others), minimum strengths of the
standard's grades. Above 23 in the formula loses sense: more tensile strength would weaken the pipe's thread.
Tables round to 1,000 lbf; these functions do not round. The diameter goes into the pipe's formula in inches,
converted here; all else is homogeneous and stays SI.

References: API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9. Numbers of section and
clause, and the formulas, from memory; recalled rating tables are reproduced.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Bools, Floats, Ints
from ..constants import INCH
from .axial_yield import axial_yield_force
from .coupling import (
    JOINT_EFFICIENCY,
    JointFailure,
    checked_strengths,
    coupling_area,
    coupling_fracture_force,
    outside_sizes,
)
from .geometry import checked, steel_area


@dataclass(frozen=True, kw_only=True)
class ButtressJointWorking:
    """Every step on the way to a buttress joint strength; all arrays have the broadcast shape.

    Attributes
    ----------
    pipe_area : ndarray
        Steel of the plain pipe, A_p [m2].
    thread_factor : ndarray
        1.008 - 0.0396 (1.083 - Y/U) D, the strength of the thread over that of the plain pipe.
    fracture : ndarray
        Force that breaks the pipe in its thread [N].
    coupling_area : ndarray
        Steel of the coupling at the end of the pipe, A_c [m2].
    coupling_fracture : ndarray
        Force that breaks the coupling [N].
    governing : ndarray of int
        A `JointFailure`, FRACTURE or COUPLING.
    rating : ndarray
        The lesser of the two forces [N].
    above_body_yield : ndarray of bool
        Whether the pipe body yields before the joint parts.
    outside_sizes : ndarray of bool
        Whether the pipe is smaller than 4-1/2 in or larger than 20 in, beyond the formulas.
    """

    pipe_area: Floats
    thread_factor: Floats
    fracture: Floats
    coupling_area: Floats
    coupling_fracture: Floats
    governing: Ints
    rating: Floats
    above_body_yield: Bools
    outside_sizes: Bools


def buttress_fracture_force(
    od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike, tensile_strength: ArrayLike
) -> Floats:
    """Return the force that breaks the pipe in its thread, 0.95 A_p U [1.008 - 0.0396 (1.083 - Y/U) D].

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall of the pipe [m]; D in the brackets is in inches.
    yield_strength, tensile_strength : array_like
        Minimum strengths of the pipe [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Force [N], not below zero (far beyond the standard's sizes the brackets turn negative).

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and ``0 < yield_strength <= tensile_strength``.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9; from memory.

    Examples
    --------
    9-5/8 in 40 lb/ft L80 BTC, 947,000 lbf (API Bulletin 5C2, value from memory):

    >>> psi = 6894.757293
    >>> force = buttress_fracture_force(9.625 * INCH, 0.395 * INCH, 80e3 * psi, 95e3 * psi)
    >>> round(float(force) / (psi * INCH**2), -3)
    947000.0
    """
    factor = _thread_factor(od, yield_strength, tensile_strength)
    return JOINT_EFFICIENCY * steel_area(od, wall) * checked("tensile_strength", tensile_strength, "Pa") * factor


def buttress_joint_working(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    tensile_strength: ArrayLike,
    coupling_od: ArrayLike,
    root_diameter: ArrayLike,
    coupling_tensile_strength: ArrayLike | None = None,
) -> ButtressJointWorking:
    """Return the strength of a buttress joint with every step on the way to it.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall of the pipe [m].
    yield_strength, tensile_strength : array_like
        Minimum strengths of the pipe [Pa].
    coupling_od, root_diameter : array_like
        Outside diameter W of the coupling, regular or special clearance, and its thread root d1 at the end of
        the pipe [m].
    coupling_tensile_strength : array_like, optional
        Minimum tensile strength of the coupling [Pa]; the pipe's if left out.

    Returns
    -------
    ButtressJointWorking
        Fracture of pipe and of coupling, and the lesser of them.

    Raises
    ------
    ValueError
        As `buttress_fracture_force` and `coupling_fracture_force`.

    Examples
    --------
    7 in 26 and 38 lb/ft L80, regular coupling: in the thick pipe the coupling governs.

    >>> psi = 6894.757293
    >>> working = buttress_joint_working(
    ...     7.0 * INCH, [0.362 * INCH, 0.540 * INCH], 80e3 * psi, 95e3 * psi, 7.656 * INCH, 6.846 * INCH
    ... )
    >>> [JointFailure(failure).name for failure in working.governing]
    ['FRACTURE', 'COUPLING']
    """
    breaking = tensile_strength if coupling_tensile_strength is None else coupling_tensile_strength
    area, factor, fracture, ring, coupling, body, outside = np.broadcast_arrays(
        steel_area(od, wall),
        _thread_factor(od, yield_strength, tensile_strength),
        buttress_fracture_force(od, wall, yield_strength, tensile_strength),
        coupling_area(coupling_od, root_diameter),
        coupling_fracture_force(coupling_od, root_diameter, breaking),
        axial_yield_force(od, wall, yield_strength),
        outside_sizes(od),
    )
    rating = np.minimum(fracture, coupling)
    return ButtressJointWorking(
        pipe_area=area,
        thread_factor=factor,
        fracture=fracture,
        coupling_area=ring,
        coupling_fracture=coupling,
        governing=np.where(coupling < fracture, JointFailure.COUPLING, JointFailure.FRACTURE),
        rating=rating,
        above_body_yield=np.greater(rating, body),
        outside_sizes=outside,
    )


def buttress_joint_strength(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    tensile_strength: ArrayLike,
    coupling_od: ArrayLike,
    root_diameter: ArrayLike,
    coupling_tensile_strength: ArrayLike | None = None,
) -> Floats:
    """Return the tension at which a buttress joint parts: the lesser of pipe thread and coupling.

    Parameters
    ----------
    od, wall, yield_strength, tensile_strength : array_like
        As `buttress_joint_working`.
    coupling_od, root_diameter, coupling_tensile_strength : array_like
        As `buttress_joint_working`.

    Returns
    -------
    ndarray, broadcast shape
        Force [N].

    Raises
    ------
    ValueError
        As `buttress_joint_working`.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9; from memory.

    Examples
    --------
    7 in 35 lb/ft N80 BTC, regular coupling, 876,000 lbf (API Bulletin 5C2, value from memory); the special
    clearance coupling takes a third off:

    >>> psi = 6894.757293
    >>> coupling_od = [7.656 * INCH, 7.375 * INCH]
    >>> force = buttress_joint_strength(7.0 * INCH, 0.498 * INCH, 80e3 * psi, 100e3 * psi, coupling_od, 6.846 * INCH)
    >>> (force / (psi * INCH**2)).round(-3).tolist()
    [876000.0, 561000.0]
    """
    return buttress_joint_working(
        od, wall, yield_strength, tensile_strength, coupling_od, root_diameter, coupling_tensile_strength
    ).rating


def _thread_factor(od: ArrayLike, yield_strength: ArrayLike, tensile_strength: ArrayLike) -> Floats:
    inches = checked("od", od, "m", above=0.0) / INCH
    y, u = checked_strengths(yield_strength, tensile_strength)
    return np.maximum(1.008 - 0.0396 * (1.083 - y / u) * inches, 0.0)
