"""Ductile rupture under axial load and external pressure, after Klever and Stewart.

The rupture pressure p_R stands on both sides of the equation, since it pulls at the ends of the bore:

    p_R = p_o + min[(p_M + p_refT)/2, p_M],    p_M = p_refM sqrt[1 - k_R (F_eff/F_uts)^2],
    F_eff = F_a + p_o A_o - p_R A_i.

Either branch is a quadratic in p_R and is solved exactly. F_eff and F_uts take the nominal wall, the pressures the
sound wall of `rupture.sound_wall`.

It is published for F_eff/F_uts up to (sqrt3/2)^(1-n); beyond, the pipe necks first. Where F_eff reaches F_uts even
with equal pressures, nothing is left for a difference and it is set to zero: our own choice. The equation has no
answer there, or one that a pipe could only reach with the pressure on before the pull.

References: as in `rupture`; Annex B of the standard.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Bools, Floats
from .geometry import bore_area, checked, steel_area
from .rupture import sound_wall, ultimate_pressure

_ROOT_3 = np.sqrt(3.0)


@dataclass(frozen=True, kw_only=True)
class CombinedRuptureWorking:
    """Every step on the way to the rupture pressure under axial load and external pressure.

    What depends on the internal pressure is taken at rupture.

    Attributes
    ----------
    sound_wall : ndarray
        Wall that resists, t_e [m].
    ultimate_pressure : ndarray
        p_uts = 2 U t_e/(D - t_e) [Pa].
    tresca_pressure, mises_pressure : ndarray
        p_refT = (1/2)^n p_uts and p_refM = (2/sqrt3)^(1+n) (1/2)^n p_uts [Pa].
    effective_force, ultimate_force : ndarray
        F_eff = F_a + p_o A_o - p_R A_i and F_uts = pi t (D - t) U [N].
    force_factor : ndarray
        k_R = (4^(1-n) - 1)/3^(1-n).
    loaded_pressure : ndarray
        p_M = p_refM sqrt[1 - k_R (F_eff/F_uts)^2] [Pa].
    difference : ndarray
        min[(p_M + p_refT)/2, p_M], inside above outside pressure [Pa].
    rating : ndarray
        Internal pressure at rupture, p_R = p_o + difference [Pa].
    necking_limit : ndarray
        (sqrt3/2)^(1-n), the greatest F_eff/F_uts for which the formula is published.
    necks_first : ndarray of bool
        Whether F_eff/F_uts is above that limit: the pipe necks before it ruptures, the rating is too high.
    overloaded : ndarray of bool
        Whether F_eff reaches F_uts, in tension or compression, even with equal pressures; the difference is then
        given as 0.
    """

    sound_wall: Floats
    ultimate_pressure: Floats
    tresca_pressure: Floats
    mises_pressure: Floats
    effective_force: Floats
    ultimate_force: Floats
    force_factor: Floats
    loaded_pressure: Floats
    difference: Floats
    rating: Floats
    necking_limit: Floats
    necks_first: Bools
    overloaded: Bools


def rupture_pressure_combined(
    od: ArrayLike,
    wall: ArrayLike,
    tensile_strength: ArrayLike,
    hardening: ArrayLike,
    axial_force: ArrayLike,
    external_pressure: ArrayLike,
    *,
    wall_factor: ArrayLike,
    imperfection_depth: ArrayLike,
    burst_strength_factor: ArrayLike,
) -> Floats:
    """Return the internal pressure at rupture under axial load and external pressure.

    It is the pressure itself, not a difference. See `rupture_working_combined` for the equations and for where they
    do not hold.

    Parameters
    ----------
    od, wall, tensile_strength, hardening, wall_factor, imperfection_depth, burst_strength_factor : array_like
        As in `rupture_pressure`.
    axial_force : array_like
        True axial force [N], tension positive; it stays as it is while the pressure rises.
    external_pressure : array_like
        External pressure [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Internal pressure [Pa]; the external one where the axial force alone is too much.

    Raises
    ------
    ValueError
        As `rupture_pressure`, or if a load is not finite.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 7 and Annex B; from memory.

    Examples
    --------
    The pipe of `rupture_pressure` with 800,000 lbf of tension and 2,000 psi outside; 14,553.2 psi by a calculation
    of our own, not published:

    >>> psi, lbf, wall = 6894.757293, 4.448221615, 0.545 * 0.0254
    >>> steel = {"wall_factor": 0.875, "imperfection_depth": 0.05 * wall, "burst_strength_factor": 1.0}
    >>> loads = (800e3 * lbf, 2000 * psi)
    >>> round(float(rupture_pressure_combined(9.625 * 0.0254, wall, 125e3 * psi, 0.08, *loads, **steel)) / psi, 1)
    14553.2
    """
    return rupture_working_combined(
        od,
        wall,
        tensile_strength,
        hardening,
        axial_force,
        external_pressure,
        wall_factor=wall_factor,
        imperfection_depth=imperfection_depth,
        burst_strength_factor=burst_strength_factor,
    ).rating


def rupture_working_combined(
    od: ArrayLike,
    wall: ArrayLike,
    tensile_strength: ArrayLike,
    hardening: ArrayLike,
    axial_force: ArrayLike,
    external_pressure: ArrayLike,
    *,
    wall_factor: ArrayLike,
    imperfection_depth: ArrayLike,
    burst_strength_factor: ArrayLike,
) -> CombinedRuptureWorking:
    """Return the rupture pressure under combined load with every step on the way to it.

    Parameters
    ----------
    od, wall, tensile_strength, hardening, wall_factor, imperfection_depth, burst_strength_factor : array_like
        As in `rupture_pressure`.
    axial_force, external_pressure : array_like
        As in `rupture_pressure_combined`.

    Returns
    -------
    CombinedRuptureWorking
        Reference pressures, forces at rupture, rating and the two flags.

    Raises
    ------
    ValueError
        As `rupture_pressure_combined`.

    Examples
    --------
    Above the tensile strength nothing is left for pressure:

    >>> working = rupture_working_combined(
    ...     0.2, 0.01, 862e6, 0.08, [0.0, 6e6], 20e6,
    ...     wall_factor=0.875, imperfection_depth=0.0, burst_strength_factor=1.0,
    ... )
    >>> working.overloaded.tolist(), round(float(working.rating[1]))
    ([False, True], 20000000)
    """
    n = checked("hardening", hardening, least=0.0, most=1.0)
    p_o = checked("external_pressure", external_pressure, "Pa")
    F_a = checked("axial_force", axial_force, "N")
    sound = sound_wall(od, wall, wall_factor, imperfection_depth, burst_strength_factor)
    p_uts = ultimate_pressure(od, sound, tensile_strength)
    p_T = 0.5**n * p_uts
    p_M = (2.0 / _ROOT_3) ** (1.0 + n) * p_T
    k_R = (4.0 ** (1.0 - n) - 1.0) / 3.0 ** (1.0 - n)
    limit = (_ROOT_3 / 2.0) ** (1.0 - n)
    steel, bore = steel_area(od, wall), bore_area(od, wall)
    F_uts = steel * np.asarray(tensile_strength)
    even = F_a + p_o * steel  # F_eff with equal pressures, p_i = p_o
    overloaded = np.abs(even) >= F_uts
    rise = _rise(p_M, p_T, k_R, np.where(overloaded, 0.0, even / F_uts), bore / F_uts)
    rise = np.where(overloaded, 0.0, rise)
    F_eff = even - rise * bore
    return CombinedRuptureWorking(
        sound_wall=sound,
        ultimate_pressure=p_uts,
        tresca_pressure=p_T,
        mises_pressure=p_M,
        effective_force=F_eff,
        ultimate_force=F_uts,
        force_factor=k_R,
        loaded_pressure=p_M * np.sqrt(np.maximum(1.0 - k_R * (F_eff / F_uts) ** 2, 0.0)),
        difference=rise,
        rating=p_o + rise,
        necking_limit=limit,
        necks_first=F_eff > limit * F_uts,
        overloaded=overloaded,
    )


def _rise(p_M: Floats, p_T: Floats, k: Floats, start: Floats, slope: Floats) -> Floats:
    """Return the q above zero at which q = min[(p + p_T)/2, p], p = p_M sqrt[1 - k (start - slope q)^2].

    With k at most 1 and start within -1 and 1 there is just one, since the right-hand side is concave in q and
    positive at zero. Either branch squared is a quadratic in q, of which the greater root is meant; q = p holds up
    to q = p_T, where the branches meet.
    """
    bend = k * (p_M * slope) ** 2
    lean = k * p_M**2 * slope * start
    room = p_M**2 * (1.0 - k * start**2)
    alone = _greater_root(1.0 + bend, lean, -room)
    mean = _greater_root(4.0 + bend, 2.0 * p_T + lean, p_T**2 - room)
    return np.where(alone <= p_T, alone, mean)


def _greater_root(a: Floats, h: Floats, c: Floats) -> Floats:
    """Return the greater root of a q^2 - 2 h q + c = 0 without cancellation; a is positive."""
    root = np.sqrt(np.maximum(h**2 - a * c, 0.0))  # negative only in a branch that is not used
    return np.where(h >= 0.0, (h + root) / a, c / np.where(h >= 0.0, 1.0, h - root))
