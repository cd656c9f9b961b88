"""Joint strength of casing with 8-round threads, short (STC) or long (LTC).

The joint parts where the pipe breaks at its last engaged thread, where the pin is pulled out, or where the
coupling breaks; the least governs. All three are ultimate strengths that carry their 0.95 already, unlike the
yield of the pipe body, so a joint may be rated above the body's yield.

Range: pipe of 4-1/2 to 20 in (`RoundJointWorking.outside_sizes` marks others), minimum strengths of the
standard's grades, nominal make-up. Tables round to 1,000 lbf; these functions do not round.

References: API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9. Numbers of section and
clause, and the formulas, from memory; recalled rating tables are reproduced.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Bools, Floats, Ints
from .coupling import coupling_area, coupling_fracture_force, outside_sizes
from .round_thread import (
    fracture_stress_at,
    pull_out_terms,
    round_bent_fracture_force,
    round_pull_out_force,
    round_thread_area,
)


@dataclass(frozen=True, kw_only=True)
class RoundJointWorking:
    """Every step on the way to a round-thread joint strength; all arrays have the broadcast shape.

    Attributes
    ----------
    root_area : ndarray
        Steel of the pipe under the last perfect thread, A_jp [m2].
    fracture_stress : ndarray
        Stress there at which the pipe breaks: the tensile strength, less what bending takes [Pa].
    fracture : ndarray
        Force that breaks the pipe at its last engaged thread [N].
    pull_out_tensile, pull_out_yield : ndarray
        The two terms in the brackets of the pull-out formula [Pa/m].
    pull_out : ndarray
        Force that pulls the pin out of the coupling [N].
    coupling_area : ndarray
        Steel of the coupling at the end of the pipe, A_jc [m2].
    coupling_fracture : ndarray
        Force that breaks the coupling [N].
    governing : ndarray of int
        A `JointFailure`.
    rating : ndarray
        The least of the three forces [N].
    bent_past_yield : ndarray of bool
        Whether bending is so strong that the second of its two formulas holds.
    outside_sizes : ndarray of bool
        Whether the pipe is smaller than 4-1/2 in or larger than 20 in, beyond the formulas.
    """

    root_area: Floats
    fracture_stress: Floats
    fracture: Floats
    pull_out_tensile: Floats
    pull_out_yield: Floats
    pull_out: Floats
    coupling_area: Floats
    coupling_fracture: Floats
    governing: Ints
    rating: Floats
    bent_past_yield: Bools
    outside_sizes: Bools


def round_joint_working(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    tensile_strength: ArrayLike,
    engaged_length: ArrayLike,
    coupling_od: ArrayLike,
    root_diameter: ArrayLike,
    coupling_tensile_strength: ArrayLike | None = None,
    curvature: ArrayLike = 0.0,
) -> RoundJointWorking:
    """Return the strength of a round-thread joint with every step on the way to it.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall of the pipe [m].
    yield_strength, tensile_strength : array_like
        Minimum strengths of the pipe [Pa].
    engaged_length : array_like
        Engaged thread L = L4 - M at nominal make-up [m].
    coupling_od, root_diameter : array_like
        Outside diameter W of the coupling and its thread root d1 at the end of the pipe [m].
    coupling_tensile_strength : array_like, optional
        Minimum tensile strength of the coupling [Pa]; the pipe's if left out.
    curvature : array_like
        Curvature of the path, not negative [rad/m]; see `round_bent_fracture_force`.

    Returns
    -------
    RoundJointWorking
        Fracture, pull-out, coupling fracture, and the least of them.

    Raises
    ------
    ValueError
        As `round_bent_fracture_force`, `round_pull_out_force` and `coupling_fracture_force`.

    Examples
    --------
    7 in 26 lb/ft, J55 and K55, long thread; it pulls out:

    >>> from casingloads.constants import INCH, PSI
    >>> from casingloads.strength.coupling import JointFailure
    >>> working = round_joint_working(
    ...     7.0 * INCH, 0.362 * INCH, 55e3 * PSI, [75e3 * PSI, 95e3 * PSI], 3.296 * INCH, 7.656 * INCH, 6.772 * INCH
    ... )
    >>> [JointFailure(failure).name for failure in working.governing]
    ['PULL_OUT', 'PULL_OUT']
    """
    breaking = tensile_strength if coupling_tensile_strength is None else coupling_tensile_strength
    stress, past_yield = fracture_stress_at(od, yield_strength, tensile_strength, curvature)
    by_tensile, by_yield = pull_out_terms(od, yield_strength, tensile_strength, engaged_length)
    area, stress, fracture, by_tensile, by_yield, pull_out, ring, coupling, past_yield, outside = np.broadcast_arrays(
        round_thread_area(od, wall),
        stress,
        round_bent_fracture_force(od, wall, yield_strength, tensile_strength, curvature),
        by_tensile,
        by_yield,
        round_pull_out_force(od, wall, yield_strength, tensile_strength, engaged_length),
        coupling_area(coupling_od, root_diameter),
        coupling_fracture_force(coupling_od, root_diameter, breaking),
        past_yield,
        outside_sizes(od),
    )
    forces = np.stack([fracture, pull_out, coupling])  # in the order of `JointFailure`
    return RoundJointWorking(
        root_area=area,
        fracture_stress=stress,
        fracture=fracture,
        pull_out_tensile=by_tensile,
        pull_out_yield=by_yield,
        pull_out=pull_out,
        coupling_area=ring,
        coupling_fracture=coupling,
        governing=np.argmin(forces, axis=0),
        rating=np.min(forces, axis=0),
        bent_past_yield=past_yield,
        outside_sizes=outside,
    )


def round_joint_strength(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    tensile_strength: ArrayLike,
    engaged_length: ArrayLike,
    coupling_od: ArrayLike,
    root_diameter: ArrayLike,
    coupling_tensile_strength: ArrayLike | None = None,
    curvature: ArrayLike = 0.0,
) -> Floats:
    """Return the tension at which a round-thread joint parts: the least of fracture, pull-out and coupling.

    Parameters
    ----------
    od, wall, yield_strength, tensile_strength, engaged_length : array_like
        As `round_joint_working`.
    coupling_od, root_diameter, coupling_tensile_strength, curvature : array_like
        As `round_joint_working`.

    Returns
    -------
    ndarray, broadcast shape
        Force [N].

    Raises
    ------
    ValueError
        As `round_joint_working`.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9; from memory.

    Examples
    --------
    9-5/8 in 47 lb/ft N80 LTC, 905,000 lbf (API Bulletin 5C2, value from memory):

    >>> from casingloads.constants import INCH, PSI
    >>> force = round_joint_strength(
    ...     9.625 * INCH, 0.472 * INCH, 80e3 * PSI, 100e3 * PSI, 4.041 * INCH, 10.625 * INCH, 9.346 * INCH
    ... )
    >>> round(float(force) / (PSI * INCH**2), -3)
    905000.0
    """
    return round_joint_working(
        od,
        wall,
        yield_strength,
        tensile_strength,
        engaged_length,
        coupling_od,
        root_diameter,
        coupling_tensile_strength,
        curvature,
    ).rating
