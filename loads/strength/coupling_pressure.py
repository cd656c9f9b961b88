"""Internal pressure at which the coupling of a standard threaded connection yields, and at which it leaks.

The coupling yields at its thread root at the end of the pipe. It leaks where the pressure between pin and
coupling falls to the pressure inside. Neither formula has a wall tolerance in it: the 0.875 of the pipe body
does not belong here. A connection is rated at the least of pipe body, coupling and leak. Tables round the root
diameter to 0.001 in first and the pressure to 10 psi; these functions do not round.

Range: the standard's couplings, of pipe from 4-1/2 to 20 in. `casingloads.catalog` has their dimensions.

References: API Bulletin 5C3, sections 3 and 5; ISO/TR 10400:2007 (API TR 5C3), clause 10. Numbers of sections
and clause, and the formulas, from memory; recalled rating tables are reproduced.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Bools, Floats
from ..constants import STEEL_MODULUS
from .coupling import checked_ring
from .geometry import checked

API_MODULUS: Final = STEEL_MODULUS
"""Young's modulus of the leak formula [Pa]."""


@dataclass(frozen=True, kw_only=True)
class CouplingPressureWorking:
    """Every step on the way to a coupling's internal pressure rating; all arrays have the broadcast shape.

    Attributes
    ----------
    root_diameter : ndarray
        Thread root of the coupling at the end of the pipe, d1 [m].
    yield_pressure : ndarray
        Pressure at which the coupling yields there [Pa].
    interference : ndarray
        Tightness on the diameter that the make-up turns give, T N p [m].
    leak_resistance : ndarray
        Pressure at which the thread leaks [Pa].
    rating : ndarray
        The lesser of the two pressures [Pa]; the connection is rated at this or the pipe body's, if less.
    leaks_first : ndarray of bool
        Whether the lesser is the leak.
    """

    root_diameter: Floats
    yield_pressure: Floats
    interference: Floats
    leak_resistance: Floats
    rating: Floats
    leaks_first: Bools


def coupling_yield_pressure(coupling_od: ArrayLike, root_diameter: ArrayLike, yield_strength: ArrayLike) -> Floats:
    """Return the internal pressure at which the coupling yields, Y_c (W - d1)/W.

    This is Barlow's formula for the coupling at the end of the pipe. It has no wall tolerance in it.

    Parameters
    ----------
    coupling_od : array_like
        Outside diameter of the coupling, W [m].
    root_diameter : array_like
        Thread root at the end of the pipe, d1 [m].
    yield_strength : array_like
        Yield strength of the coupling at the local temperature [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Pressure inside above that outside [Pa].

    Raises
    ------
    ValueError
        Unless ``0 < root_diameter < coupling_od`` and *yield_strength* is positive.

    References
    ----------
    .. [1] API Bulletin 5C3, section 3; ISO/TR 10400:2007 (API TR 5C3), clause 10; from memory.

    Examples
    --------
    7 in N80 buttress, regular coupling, 8,460 psi (API Bulletin 5C2, value from memory):

    >>> from casingloads.constants import INCH, PSI
    >>> round(float(coupling_yield_pressure(7.656 * INCH, 6.846 * INCH, 80e3 * PSI)) / PSI, -1)
    8460.0
    """
    w, d1 = checked_ring(coupling_od, "root_diameter", root_diameter)
    return checked("yield_strength", yield_strength, "Pa", above=0.0) * (w - d1) / w


def leak_resistance(
    coupling_od: ArrayLike,
    pitch_diameter: ArrayLike,
    taper: ArrayLike,
    pitch: ArrayLike,
    turns: ArrayLike,
    modulus: ArrayLike = API_MODULUS,
) -> Floats:
    r"""Return the internal pressure at which the thread leaks.

    .. math:: p = \frac{E\,T N p_t\,(W^2 - E_s^2)}{2 E_s W^2}

    It is what make-up and the pressure itself press pin and coupling together with. No strength is in it, but
    round threads from 9-5/8 in are cut tighter for couplings of P110 and above, with half a turn more.

    Parameters
    ----------
    coupling_od : array_like
        Outside diameter of the coupling, W [m].
    pitch_diameter : array_like
        E_s: E1 at the hand-tight plane (round thread), E7 at the end of the perfect threads (buttress) [m].
    taper : array_like
        Taper on the diameter, T.
    pitch : array_like
        Pitch of the thread, p_t: 1/8 in (round thread), 1/5 in (buttress) [m].
    turns : array_like
        Make-up turns past hand tight, N: A (round thread); A + 1.5 up to 13-3/8 in and A + 1 from 16 in
        (buttress).
    modulus : array_like
        Young's modulus [Pa]; the standard's 30e6 psi if left out.

    Returns
    -------
    ndarray, broadcast shape
        Pressure inside above that outside [Pa].

    Raises
    ------
    ValueError
        Unless ``0 < pitch_diameter < coupling_od`` and the others are positive.

    References
    ----------
    .. [1] API Bulletin 5C3, section 5; ISO/TR 10400:2007 (API TR 5C3), clause 10; from memory.

    Examples
    --------
    9-5/8 in long round thread, regular coupling, 8,460 psi (API Bulletin 5C2, value from memory):

    >>> from casingloads.constants import INCH, PSI
    >>> leak = leak_resistance(10.625 * INCH, 9.52418 * INCH, 0.0625, 0.125 * INCH, 3.5)
    >>> round(float(leak) / PSI, -1)
    8460.0
    """
    w, seal = checked_ring(coupling_od, "pitch_diameter", pitch_diameter)
    tightness = _interference(taper, pitch, turns)
    return checked("modulus", modulus, "Pa", above=0.0) * tightness * (w**2 - seal**2) / (2.0 * seal * w**2)


def coupling_pressure_working(
    coupling_od: ArrayLike,
    root_diameter: ArrayLike,
    yield_strength: ArrayLike,
    pitch_diameter: ArrayLike,
    taper: ArrayLike,
    pitch: ArrayLike,
    turns: ArrayLike,
    modulus: ArrayLike = API_MODULUS,
) -> CouplingPressureWorking:
    """Return the internal pressure rating of a coupling with every step on the way to it.

    Parameters
    ----------
    coupling_od : array_like
        Outside diameter of the coupling, W [m].
    root_diameter : array_like
        Thread root at the end of the pipe, d1 [m].
    yield_strength : array_like
        Yield strength of the coupling at the local temperature [Pa].
    pitch_diameter, taper, pitch, turns, modulus : array_like
        As `leak_resistance`.

    Returns
    -------
    CouplingPressureWorking
        Yield, leak and the lesser of them.

    Raises
    ------
    ValueError
        As `coupling_yield_pressure` and `leak_resistance`.

    Examples
    --------
    7-5/8 in P110 long round thread: it leaks at 11,800 psi, before the coupling yields.

    >>> from casingloads.constants import INCH, PSI
    >>> working = coupling_pressure_working(
    ...     8.5 * INCH, 7.385 * INCH, 110e3 * PSI, 7.52418 * INCH, 0.0625, 0.125 * INCH, 3.5
    ... )
    >>> round(float(working.rating) / PSI, -1), bool(working.leaks_first)
    (11800.0, True)
    """
    yields = coupling_yield_pressure(coupling_od, root_diameter, yield_strength)
    leaks = leak_resistance(coupling_od, pitch_diameter, taper, pitch, turns, modulus)
    tightness = _interference(taper, pitch, turns)
    root, yields, leaks, tightness = np.broadcast_arrays(
        checked("root_diameter", root_diameter), yields, leaks, tightness
    )
    return CouplingPressureWorking(
        root_diameter=root,
        yield_pressure=yields,
        interference=tightness,
        leak_resistance=leaks,
        rating=np.minimum(yields, leaks),
        leaks_first=np.less(leaks, yields),
    )


def coupling_pressure_rating(
    coupling_od: ArrayLike,
    root_diameter: ArrayLike,
    yield_strength: ArrayLike,
    pitch_diameter: ArrayLike,
    taper: ArrayLike,
    pitch: ArrayLike,
    turns: ArrayLike,
    modulus: ArrayLike = API_MODULUS,
) -> Floats:
    """Return the lesser of a coupling's yield pressure and its leak resistance.

    Parameters
    ----------
    coupling_od, root_diameter, yield_strength : array_like
        As `coupling_yield_pressure`.
    pitch_diameter, taper, pitch, turns, modulus : array_like
        As `leak_resistance`.

    Returns
    -------
    ndarray, broadcast shape
        Pressure inside above that outside [Pa]. The pipe body has a rating of its own, which may be less.

    Raises
    ------
    ValueError
        As `coupling_yield_pressure` and `leak_resistance`.

    Examples
    --------
    >>> from casingloads.constants import INCH, PSI
    >>> rating = coupling_pressure_rating(
    ...     8.5 * INCH, 7.385 * INCH, [80e3 * PSI, 110e3 * PSI], 7.52418 * INCH, 0.0625, 0.125 * INCH, 3.5
    ... )
    >>> (rating / PSI).round(-1).tolist()
    [10490.0, 11800.0]
    """
    return coupling_pressure_working(
        coupling_od, root_diameter, yield_strength, pitch_diameter, taper, pitch, turns, modulus
    ).rating


def _interference(taper: ArrayLike, pitch: ArrayLike, turns: ArrayLike) -> Floats:
    pitch = checked("pitch", pitch, "m", above=0.0)
    return checked("taper", taper, above=0.0) * checked("turns", turns, above=0.0) * pitch
