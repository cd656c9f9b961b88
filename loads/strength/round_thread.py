"""Casing with 8-round threads, short (STC) or long (LTC): what breaks the pin, and what pulls it out.

The pipe breaks at its last engaged thread, and bending brings that on; or the pin, necked by tension, is pulled
out of the coupling. Both are ultimate strengths that carry their 0.95 already, unlike the yield of the pipe
body. Both are proportional to the steel under the last thread, hence the wall does not decide between them: a
long engaged thread, a small size and a high ratio of yield to tensile strength favour fracture. `round_joint`
makes the strength of the joint of them.

Range: pipe of 4-1/2 to 20 in, minimum strengths of the standard's grades, nominal make-up. Tables round to
1,000 lbf; these functions do not round. The diameter goes into the pull-out formula in inches to the power
-0.59, converted here; all else is homogeneous and stays SI.

References: API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9. Numbers of section and
clause, and the formulas, from memory; recalled rating tables are reproduced.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Bools, Floats
from ..constants import INCH, PSI
from .coupling import JOINT_EFFICIENCY, checked_strengths
from .geometry import checked, checked_tube

ROUND_THREAD_HEIGHT: Final = 0.07125 * INCH
"""What the 8-round thread cuts from the wall [m]; the formula has twice this, 0.1425 in, off the diameter."""
_PER_100_FT = math.radians(1.0) / (100.0 * 0.3048)  # [rad/m]


def round_thread_area(od: ArrayLike, wall: ArrayLike) -> Floats:
    """Return the area of the pipe's steel under the last perfect thread, pi/4 [(D - 0.1425 in)^2 - d^2].

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall of the pipe [m].

    Returns
    -------
    ndarray, broadcast shape
        Area A_jp [m2].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and the wall is more than the thread's height, 0.07125 in.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9; from memory.

    Examples
    --------
    7 in 26 lb/ft, 0.7854 (6.8575^2 - 6.276^2) in2:

    >>> round(float(round_thread_area(7.0 * INCH, 0.362 * INCH)) / INCH**2, 3)
    5.998
    """
    od, wall = checked_tube(od, wall)
    wall = checked("wall", wall, "m", above=ROUND_THREAD_HEIGHT)
    return np.pi / 4.0 * ((od - 2.0 * ROUND_THREAD_HEIGHT) ** 2 - (od - 2.0 * wall) ** 2)


def round_fracture_force(od: ArrayLike, wall: ArrayLike, tensile_strength: ArrayLike) -> Floats:
    """Return the force that breaks the pipe at its last engaged thread, 0.95 A_jp U.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall of the pipe [m].
    tensile_strength : array_like
        Minimum tensile strength of the pipe [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Force [N].

    Raises
    ------
    ValueError
        As `round_thread_area`, or if *tensile_strength* is not positive.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9; from memory.

    Examples
    --------
    5-1/2 in 23 lb/ft P110 LTC, 643,000 lbf (API Bulletin 5C2, value from memory):

    >>> force = round_fracture_force(5.5 * INCH, 0.415 * INCH, 125e3 * PSI)
    >>> round(float(force) / (PSI * INCH**2), -3)
    643000.0
    """
    strength = checked("tensile_strength", tensile_strength, "Pa", above=0.0)
    return JOINT_EFFICIENCY * round_thread_area(od, wall) * strength


def round_bent_fracture_force(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    tensile_strength: ArrayLike,
    curvature: ArrayLike,
) -> Floats:
    r"""Return the force that breaks the pipe at its last engaged thread in a bend (historical).

    With :math:`\alpha` in deg/100 ft, D in inches and stresses in psi, converted here,

    .. math:: 0.95 A_{jp} \left\{U - \left[\frac{140.5\,\alpha D}{(U - Y)^{0.8}}\right]^5\right\}

    where the braces are at least Y, and in a sharper bend
    :math:`0.95 A_{jp} \{(U - Y)/0.644 + Y - 218.15\,\alpha D\}`, not below zero. The two meet, but for the
    rounding of their coefficients. Without curvature it is `round_fracture_force`. Pull-out is not affected.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall of the pipe [m].
    yield_strength, tensile_strength : array_like
        Minimum strengths of the pipe [Pa].
    curvature : array_like
        Curvature of the path, not negative [rad/m].

    Returns
    -------
    ndarray, broadcast shape
        Force [N], not negative.

    Raises
    ------
    ValueError
        As `round_thread_area`, if the yield strength is above the tensile strength, or *curvature* negative.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4, effect of bending on round thread casing; from memory. That the form
       changes where the braces, rather than 0.95 of them, reach Y is our reading: there the two forms meet.

    Examples
    --------
    5-1/2 in 17 lb/ft J55, straight and at 10 deg/100 ft:

    >>> per_100_ft = 3.141592653589793 / 180.0 / 30.48
    >>> force = round_bent_fracture_force(
    ...     5.5 * INCH, 0.304 * INCH, 55e3 * PSI, 75e3 * PSI, [0.0, 10.0 * per_100_ft]
    ... )
    >>> (force / (PSI * INCH**2)).round(-2).tolist()
    [267000.0, 266400.0]
    """
    stress, _ = fracture_stress_at(od, yield_strength, tensile_strength, curvature)
    return JOINT_EFFICIENCY * round_thread_area(od, wall) * stress


def round_pull_out_force(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    tensile_strength: ArrayLike,
    engaged_length: ArrayLike,
) -> Floats:
    r"""Return the force that pulls the pin out of the coupling (jump-out).

    .. math:: 0.95 A_{jp} L \left[\frac{0.74 D^{-0.59} U}{0.5 L + 0.14 D} + \frac{Y}{L + 0.14 D}\right]

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall of the pipe [m]; the power of D is that of its inches.
    yield_strength, tensile_strength : array_like
        Minimum strengths of the pipe [Pa].
    engaged_length : array_like
        Engaged thread L = L4 - M at nominal make-up [m].

    Returns
    -------
    ndarray, broadcast shape
        Force [N].

    Raises
    ------
    ValueError
        As `round_thread_area`, if the yield strength is above the tensile strength, or *engaged_length* is not
        positive.

    References
    ----------
    .. [1] API Bulletin 5C3, section 4; ISO/TR 10400:2007 (API TR 5C3), clause 9; from memory.

    Examples
    --------
    7 in 26 lb/ft J55 LTC, 367,000 lbf (API Bulletin 5C2, value from memory):

    >>> force = round_pull_out_force(7.0 * INCH, 0.362 * INCH, 55e3 * PSI, 75e3 * PSI, 3.296 * INCH)
    >>> round(float(force) / (PSI * INCH**2), -3)
    367000.0
    """
    by_tensile, by_yield = pull_out_terms(od, yield_strength, tensile_strength, engaged_length)
    length = checked("engaged_length", engaged_length, "m")
    return JOINT_EFFICIENCY * round_thread_area(od, wall) * length * (by_tensile + by_yield)


# The formulas themselves, which `round_joint` shows term by term.


def pull_out_terms(od: ArrayLike, y: ArrayLike, u: ArrayLike, engaged_length: ArrayLike) -> tuple[Floats, Floats]:
    """Return the two terms in the brackets of the pull-out formula [Pa/m]."""
    od = checked("od", od, "m", above=0.0)
    length = checked("engaged_length", engaged_length, "m", above=0.0)
    y, u = checked_strengths(y, u)
    return 0.74 * (od / INCH) ** -0.59 * u / (0.5 * length + 0.14 * od), y / (length + 0.14 * od)


def fracture_stress_at(od: ArrayLike, y: ArrayLike, u: ArrayLike, curvature: ArrayLike) -> tuple[Floats, Bools]:
    """Return the braces of the bending formulas [Pa], and whether the second of them holds."""
    od = checked("od", od, "m", above=0.0)
    y, u = checked_strengths(y, u)
    bend = checked("curvature", curvature, "rad/m", least=0.0) / _PER_100_FT * od / INCH * PSI
    reserve, bend = np.broadcast_arrays(u - y, bend)
    past_yield = 140.5 * bend > reserve  # [140.5 alpha D/(U - Y)^0.8]^5 > U - Y, taken to the power 1/5
    used = np.divide(140.5 * bend, reserve, out=np.zeros(reserve.shape), where=(reserve > 0.0) & ~past_yield)
    within, beyond = u - reserve * used**5, reserve / 0.644 + y - 218.15 * bend
    return np.where(past_yield, np.maximum(beyond, 0.0), within), np.asarray(past_yield)
