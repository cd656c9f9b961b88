"""Historical collapse rating of the pipe body under axial stress and internal pressure.

Axial tension and internal pressure reduce the yield strength that goes into *all* of the four-regime
formulas, factors and borders included: the form of API TR 5C3 since its addendum of 2015. The rating so
found resists the difference p_o - p_i. The form before 2015 leaves the internal pressure out of the reduced
yield and compares the rating with `equivalent_external_pressure` instead. Never use both: the internal
pressure would count twice.

The standard does not support a reduced yield below 24,000 psi. Our own choice there, not the standard's:
the rating falls in proportion to the reduced yield, from its value at 24,000 psi to nothing at zero, which
is continuous, never negative and never rises with tension. Such numbers are marked
(`CollapseWorking.below_supported_yield`).

References: API Bulletin 5C3, section 1; ISO/TR 10400:2007 (API TR 5C3), clause 8, with the addendum of 2015.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..arrays import Floats
from .collapse_regimes import (
    GREATEST_SUPPORTED_YIELD,
    LEAST_SUPPORTED_YIELD,
    CollapseFactors,
    CollapseLimits,
    CollapseRegime,
    factors_at,
    limits_at,
    pressures_at,
    slenderness,
)
from .geometry import checked

__all__ = [
    "CollapseRegime",
    "CollapseWorking",
    "collapse_pressure",
    "collapse_regime",
    "collapse_working",
    "equivalent_external_pressure",
    "equivalent_yield",
]


@dataclass(frozen=True, kw_only=True)
class CollapseWorking:
    """Every step on the way to a collapse rating; all arrays have the broadcast shape of the arguments.

    Attributes
    ----------
    slenderness : ndarray
        D/t.
    equivalent_yield : ndarray
        Yield strength reduced by axial stress and internal pressure [Pa].
    formula_yield : ndarray
        The same, but at least 24,000 psi: what goes into factors, limits and pressures [Pa].
    factors : CollapseFactors
        A, B, C, F, G.
    limits : CollapseLimits
        Borders of the regimes.
    regime : ndarray of int
        A `CollapseRegime`.
    rating : ndarray
        Collapse pressure [Pa].
    below_supported_yield : ndarray of bool
        Whether the equivalent yield is below 24,000 psi, so that the rating is our own choice.
    """

    slenderness: Floats
    equivalent_yield: Floats
    formula_yield: Floats
    factors: CollapseFactors
    limits: CollapseLimits
    regime: NDArray[np.intp]
    rating: Floats
    below_supported_yield: NDArray[np.bool_]


def equivalent_yield(yield_strength: ArrayLike, axial_stress: ArrayLike, internal_pressure: ArrayLike = 0.0) -> Floats:
    r"""Return the yield strength left for collapse under axial tension and internal pressure.

    .. math:: Y_{pa} = Y \left[\sqrt{1 - 0.75 r^2} - 0.5 r\right], \qquad r = (\sigma_a + p_i)/Y

    with r kept between 0 (compression earns no credit) and 1 (nothing is left).

    Parameters
    ----------
    yield_strength : array_like
        Yield strength at the local temperature [Pa].
    axial_stress : array_like
        True axial force over nominal steel area, without bending [Pa], tension positive.
    internal_pressure : array_like
        Internal pressure [Pa]; zero gives the form before 2015.

    Returns
    -------
    ndarray, broadcast shape
        Equivalent yield strength [Pa], from 0 to *yield_strength*.

    Raises
    ------
    ValueError
        If *yield_strength* is not positive or another argument not finite.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 8, with the addendum of 2015.

    Examples
    --------
    J55 with 24,820 psi of tension has 38,216 psi left (Juvkam-Wold, well-drilling course notes):

    >>> psi = 6894.757293
    >>> round(float(equivalent_yield(55e3 * psi, 24820.2 * psi)) / psi)
    38216
    """
    y = checked("yield_strength", yield_strength, "Pa", above=0.0)
    load = checked("axial_stress", axial_stress, "Pa") + checked("internal_pressure", internal_pressure, "Pa")
    r = np.clip(load / y, 0.0, 1.0)
    return y * (np.sqrt(1.0 - 0.75 * r**2) - 0.5 * r)


def collapse_working(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    axial_stress: ArrayLike = 0.0,
    internal_pressure: ArrayLike = 0.0,
    modulus_factor: ArrayLike = 1.0,
) -> CollapseWorking:
    """Return the collapse rating with every step on the way to it.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength at the local temperature [Pa], at most 180,000 psi (1241 MPa).
    axial_stress : array_like
        True axial force over nominal steel area, without bending [Pa], tension positive; compression earns no
        credit.
    internal_pressure : array_like
        Internal pressure [Pa].

    modulus_factor : array_like
        Modulus at the local temperature over that at room temperature, above 0. Elastic collapse falls with it, and
        transition collapse so that it still meets the elastic one.

    Returns
    -------
    CollapseWorking
        Equivalent yield, factors, limits, regime and rating.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``, *yield_strength* is positive and in range and the loads are finite.

    Examples
    --------
    >>> working = collapse_working(9.625 * 0.0254, 0.545 * 0.0254, 758e6, axial_stress=[0.0, 700e6])
    >>> working.regime.tolist(), working.below_supported_yield.tolist()
    ([1, 0], [False, True])
    """
    checked("yield_strength", yield_strength, "Pa", above=0.0, most=GREATEST_SUPPORTED_YIELD * (1.0 + 1e-9))
    reduced = equivalent_yield(yield_strength, axial_stress, internal_pressure)
    modulus = checked("modulus_factor", modulus_factor, above=0.0)
    x = slenderness(od, wall)  # left in its own shape, often one number for a whole string
    wide_x, reduced, _ = np.broadcast_arrays(x, reduced, modulus)
    y = np.maximum(reduced, LEAST_SUPPORTED_YIELD)
    factors = factors_at(y, modulus)
    limits = limits_at(y, factors)
    pressure, *thinner = pressures_at(x, y, factors, modulus)
    regime = np.zeros(y.shape, dtype=np.intp)  # counts the borders passed
    borders = (limits.yield_plastic, limits.plastic_transition, limits.transition_elastic)
    for border, beyond in zip(borders, thinner, strict=True):
        passed = x > border
        if not passed.any():
            break  # nor does any pipe pass the borders beyond
        regime += passed
        pressure = np.where(passed, beyond, pressure)
    return CollapseWorking(
        slenderness=wide_x,
        equivalent_yield=reduced,
        formula_yield=y,
        factors=factors,
        limits=limits,
        regime=regime,
        rating=pressure * (reduced / y),  # the ratio is 1 where the standard supports it
        below_supported_yield=reduced < y,
    )


def collapse_pressure(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    axial_stress: ArrayLike = 0.0,
    internal_pressure: ArrayLike = 0.0,
) -> Floats:
    """Return the collapse pressure, to be compared with outside less inside pressure.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength at the local temperature [Pa], at most 180,000 psi (1241 MPa).
    axial_stress : array_like
        True axial force over nominal steel area, without bending [Pa], tension positive; compression earns no
        credit.
    internal_pressure : array_like
        Internal pressure [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Resistance to p_o - p_i [Pa], never negative. The module says what happens below 24,000 psi.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``, *yield_strength* is positive and in range and the loads are finite.

    References
    ----------
    .. [1] API Bulletin 5C3, section 1; ISO/TR 10400:2007 (API TR 5C3), clause 8, with the addendum of 2015.

    Examples
    --------
    5-1/2 in 14 lb/ft J55 with 100,000 lbf of tension, 2,551 psi (Juvkam-Wold, well-drilling course notes):

    >>> psi = 6894.757293
    >>> round(float(collapse_pressure(5.5 * 0.0254, 0.244 * 0.0254, 55e3 * psi, 24820.2 * psi)) / psi)
    2551
    """
    return collapse_working(od, wall, yield_strength, axial_stress, internal_pressure).rating


def collapse_regime(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    axial_stress: ArrayLike = 0.0,
    internal_pressure: ArrayLike = 0.0,
) -> NDArray[np.intp]:
    """Return which `CollapseRegime` governs.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength at the local temperature [Pa], at most 180,000 psi (1241 MPa).
    axial_stress : array_like
        True axial force over nominal steel area, without bending [Pa], tension positive.
    internal_pressure : array_like
        Internal pressure [Pa].

    Returns
    -------
    ndarray of int, broadcast shape
        Values of `CollapseRegime`; on a border, the thicker pipe's regime.

    Raises
    ------
    ValueError
        As `collapse_pressure`.

    Examples
    --------
    >>> CollapseRegime(int(collapse_regime(0.244475, 0.0119888, 551.6e6))).name
    'PLASTIC'
    """
    return collapse_working(od, wall, yield_strength, axial_stress, internal_pressure).regime


def equivalent_external_pressure(
    od: ArrayLike, wall: ArrayLike, external_pressure: ArrayLike, internal_pressure: ArrayLike
) -> Floats:
    """Return the outside pressure that the form before 2015 compares with the rating, p_o - (1 - 2t/D) p_i.

    Use it only with a rating in which the internal pressure was left at zero. The rating of the newer form
    has the internal pressure in it already and resists p_o - p_i; together they would count it twice.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    external_pressure, internal_pressure : array_like
        Pressures [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Equivalent external pressure [Pa]; negative where the inside prevails.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and the pressures are finite.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 8, effect of internal pressure on collapse.

    Examples
    --------
    >>> round(float(equivalent_external_pressure(0.2, 0.02, 50.0, 40.0)), 6)
    18.0
    """
    p_o = checked("external_pressure", external_pressure, "Pa")
    p_i = checked("internal_pressure", internal_pressure, "Pa")
    return p_o - (1.0 - 2.0 / slenderness(od, wall)) * p_i
