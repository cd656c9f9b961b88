"""Ultimate-strength collapse after Klever and Tamano: elastic buckling and yield through the wall, as they interact.

Two forms, which differ in where their factors come from:

- *ultimate*: what a pipe will bear, from its actual average diameter, wall and yield strength, its ovality,
  eccentricity and residual stress;
- *design*: what a kind of pipe can be relied on for, from nominal dimensions and minimum yield strength with two
  down-rating factors and a decrement. This module holds no such factors: the recollections of them do not agree, so
  that they must be copied from the standard. Its own are for API pipe; other pipe needs data of its own.

Axial stress and internal pressure are not treated here as the standard's annex does, whose text was not at hand. By
a substitution of our own they reduce the yield strength as in the historical collapse formulas (`equivalent_yield`),
in the yield branch only; the elastic branch is left alone. The rating so found resists the difference p_o - p_i. A
hot pipe loses modulus in the elastic branch and yield strength in the other: give both as they are when hot.

References: ISO/TR 10400:2007 (API TR 5C3), Annex F (informative); Klever, F.J. and Tamano, T., "A new OCTG strength
equation for collapse under combined loads", SPE 102403, 2006. The equations are from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Floats
from ..constants import STEEL_MODULUS
from .collapse import equivalent_yield
from .collapse_regimes import slenderness
from .geometry import checked

MODULUS, POISSON = STEEL_MODULUS, 0.28
"""Young's modulus [Pa] and Poisson's ratio of the annex."""
_ELASTIC_FACTOR, _YIELD_FACTOR = 1.089, 0.9911  # k_els, k_yls: how pipe in tests compares with the two formulas


@dataclass(frozen=True, kw_only=True)
class UltimateCollapseWorking:
    """Every step on the way to an ultimate or design collapse rating.

    Attributes
    ----------
    slenderness : ndarray
        D/t.
    equivalent_yield : ndarray
        Yield strength reduced by axial stress and internal pressure [Pa].
    elastic_factor, yield_factor : ndarray
        What the two pressures below were multiplied by.
    elastic_pressure, yield_pressure : ndarray
        Elastic buckling and yield through the wall, times their factors [Pa].
    decrement : ndarray
        H.
    rating : ndarray
        Collapse pressure [Pa].
    """

    slenderness: Floats
    equivalent_yield: Floats
    elastic_factor: Floats
    yield_factor: Floats
    elastic_pressure: Floats
    yield_pressure: Floats
    decrement: Floats
    rating: Floats


def elastic_buckling_pressure(
    od: ArrayLike, wall: ArrayLike, modulus: ArrayLike = MODULUS, poisson: ArrayLike = POISSON
) -> Floats:
    """Return the pressure at which a perfect long tube buckles elastically, 2E/[(1 - nu^2) x (x - 1)^2], x = D/t.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m].
    modulus : array_like
        Young's modulus at the local temperature [Pa].
    poisson : array_like
        Poisson's ratio.

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa], without any allowance for real pipe.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``, *modulus* is positive and *poisson* from 0 to 0.5.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), Annex F; from memory.

    Examples
    --------
    9-5/8 in 53.50 lb/ft: 13,280.8 psi by a calculation of our own, not published.

    >>> from casingloads.constants import PSI
    >>> round(float(elastic_buckling_pressure(9.625 * 0.0254, 0.545 * 0.0254)) / PSI, 1)
    13280.8
    """
    x = slenderness(od, wall)
    modulus = checked("modulus", modulus, "Pa", above=0.0)
    poisson = checked("poisson", poisson, least=0.0, most=0.5)
    return 2.0 * modulus / ((1.0 - poisson**2) * x * (x - 1.0) ** 2)


def through_wall_yield_pressure(od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike) -> Floats:
    """Return the pressure at which a perfect tube yields through its wall, 2 Y/x [1 + 1/(2x)], x = D/t.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and wall [m].
    yield_strength : array_like
        Yield strength, reduced by load where there is any [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa].

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and *yield_strength* is not negative.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), Annex F; from memory.

    Examples
    --------
    9-5/8 in 53.50 lb/ft P110: 12,809.8 psi by a calculation of our own, not published.

    >>> from casingloads.constants import PSI
    >>> round(float(through_wall_yield_pressure(9.625 * 0.0254, 0.545 * 0.0254, 110e3 * PSI)) / PSI, 1)
    12809.8
    """
    x = slenderness(od, wall)
    return 2.0 * checked("yield_strength", yield_strength, "Pa", least=0.0) / x * (1.0 + 0.5 / x)


def collapse_interaction(elastic_pressure: ArrayLike, yield_pressure: ArrayLike, decrement: ArrayLike) -> Floats:
    r"""Return the collapse pressure between elastic buckling and yield.

    It is the root of (p_e - p)(p_y - p) = H p^2 that is above zero and below both pressures, published as

    .. math:: p = \frac{(p_e + p_y) - \sqrt{(p_e - p_y)^2 + 4 p_e p_y H}}{2 (1 - H)}.

    Multiplied above and below by the sum in place of the difference, 1 - H cancels, and with it the 0/0 at H = 1:

    .. math:: p = \frac{2 p_e p_y}{(p_e + p_y) + \sqrt{(p_e - p_y)^2 + 4 p_e p_y H}},

    which is what is computed. H = 0 gives the lesser of both, H = 1 gives p_e p_y/(p_e + p_y).

    Parameters
    ----------
    elastic_pressure, yield_pressure : array_like
        p_e, above zero, and p_y, not below zero, each times its factor [Pa].
    decrement : array_like
        H, not below zero.

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa].

    Raises
    ------
    ValueError
        If an argument is out of these bounds.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), Annex F; Klever and Tamano, SPE 102403, 2006; from memory.

    Examples
    --------
    >>> [round(float(p), 6) for p in collapse_interaction(3.0, 6.0, [0.0, 1.0])]
    [3.0, 2.0]
    """
    p_e = checked("elastic_pressure", elastic_pressure, "Pa", above=0.0)
    p_y = checked("yield_pressure", yield_pressure, "Pa", least=0.0)
    H = checked("decrement", decrement, least=0.0)
    return 2.0 * p_e * p_y / (p_e + p_y + np.sqrt((p_e - p_y) ** 2 + 4.0 * p_e * p_y * H))


def collapse_decrement(
    ovality: ArrayLike,
    eccentricity: ArrayLike,
    residual_stress: ArrayLike,
    yield_strength: ArrayLike,
    curve_term: ArrayLike,
) -> Floats:
    """Return the decrement by imperfections, H = 0.127 ov + 0.0039 ec - 0.440 rs/Y + h_n, not below zero.

    Parameters
    ----------
    ovality : array_like
        100 (D_max - D_min)/D_average, in percent.
    eccentricity : array_like
        100 (t_max - t_min)/t_average, in percent.
    residual_stress : array_like
        Residual hoop stress at the inside [Pa], negative where compressive, which weakens the pipe.
    yield_strength : array_like
        Actual yield strength, without regard to load [Pa].
    curve_term : array_like
        h_n, for the shape of the stress-strain curve, not negative. From memory with low confidence, hence without
        default: 0 for a curve with a sharp knee, 0.017 for a rounded one (cold rotary straightened pipe).

    Returns
    -------
    ndarray, broadcast shape
        H, without unit.

    Raises
    ------
    ValueError
        If *yield_strength* is not positive, *residual_stress* not finite or another argument negative.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), Annex F; from memory.

    Examples
    --------
    0.1329 by a calculation of our own, not published:

    >>> round(float(collapse_decrement(0.2, 5.0, -0.2 * 758e6, 758e6, curve_term=0.0)), 4)
    0.1329
    """
    ov = checked("ovality", ovality, "%", least=0.0)
    ec = checked("eccentricity", eccentricity, "%", least=0.0)
    y = checked("yield_strength", yield_strength, "Pa", above=0.0)
    ratio = checked("residual_stress", residual_stress, "Pa") / y
    h_n = checked("curve_term", curve_term, least=0.0)
    return np.maximum(0.127 * ov + 0.0039 * ec - 0.440 * ratio + h_n, 0.0)


def ultimate_collapse_working(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    axial_stress: ArrayLike = 0.0,
    internal_pressure: ArrayLike = 0.0,
    *,
    ovality: ArrayLike,
    eccentricity: ArrayLike,
    residual_stress: ArrayLike,
    curve_term: ArrayLike,
    modulus: ArrayLike = MODULUS,
    poisson: ArrayLike = POISSON,
) -> UltimateCollapseWorking:
    """Return the collapse pressure that a pipe will bear, from what was measured on it, with every step.

    The factors on the two pressures are 1.089 (elastic) and 0.9911 (yield), from memory.

    Parameters
    ----------
    od, wall : array_like
        Actual average outside diameter and wall [m].
    yield_strength : array_like
        Actual yield strength at the local temperature [Pa].
    axial_stress : array_like
        True axial force over steel area, without bending [Pa], tension positive; compression earns no credit.
    internal_pressure : array_like
        Internal pressure [Pa]. How it and the axial stress act is our own substitution, see the module.
    ovality, eccentricity, residual_stress, curve_term : array_like
        In percent, percent, [Pa] and without unit, as in `collapse_decrement`.
    modulus, poisson : array_like
        Young's modulus at the local temperature [Pa] and Poisson's ratio.

    Returns
    -------
    UltimateCollapseWorking
        The rating in it resists p_o - p_i.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``, strengths are positive, loads finite and the rest as `collapse_decrement` and
        `elastic_buckling_pressure` ask.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), Annex F; from memory.

    Examples
    --------
    9-5/8 in 53.50 lb/ft P110 without loads: 9,873.2 psi by a calculation of our own, not published.

    >>> from casingloads.constants import PSI
    >>> pipe = (9.625 * 0.0254, 0.545 * 0.0254, 110e3 * PSI)
    >>> measured = {"ovality": 0.2, "eccentricity": 5.0, "residual_stress": -22e3 * PSI}
    >>> round(float(ultimate_collapse_working(*pipe, **measured, curve_term=0.0).rating) / PSI, 1)
    9873.2
    """
    H = collapse_decrement(ovality, eccentricity, residual_stress, yield_strength, curve_term)
    left = equivalent_yield(yield_strength, axial_stress, internal_pressure)
    elastic = elastic_buckling_pressure(od, wall, modulus, poisson)
    return _working(od, wall, left, elastic, np.asarray(_ELASTIC_FACTOR), np.asarray(_YIELD_FACTOR), H)


def design_collapse_working(
    od: ArrayLike,
    wall: ArrayLike,
    yield_strength: ArrayLike,
    axial_stress: ArrayLike = 0.0,
    internal_pressure: ArrayLike = 0.0,
    *,
    elastic_factor: ArrayLike,
    yield_factor: ArrayLike,
    decrement: ArrayLike,
    modulus: ArrayLike = MODULUS,
    poisson: ArrayLike = POISSON,
) -> UltimateCollapseWorking:
    """Return the collapse pressure to design with, from minimum strength and given factors, with every step.

    Parameters
    ----------
    od, wall : array_like
        Nominal outside diameter and wall [m].
    yield_strength : array_like
        Minimum yield strength at the local temperature [Pa].
    axial_stress : array_like
        True axial force over nominal steel area, without bending [Pa], tension positive; compression earns no
        credit.
    internal_pressure : array_like
        Internal pressure [Pa]. How it and the axial stress act is our own substitution, see the module.
    elastic_factor, yield_factor, decrement : array_like
        k_e,des and k_y,des, above zero, and H_des, not below zero, for the grade and the way it was straightened.
        Copy them from the standard: from memory, k_e,des is 0.825, H_des is 0.164 (cold rotary straightened) and
        0.104 (hot) or, by another recollection, 0.22 and 0.20, and k_y,des from 0.83 to 0.91 by grade.
    modulus, poisson : array_like
        Young's modulus at the local temperature [Pa] and Poisson's ratio.

    Returns
    -------
    UltimateCollapseWorking
        The rating in it resists p_o - p_i.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``, strengths and factors are positive, loads finite, *decrement* not negative and
        *poisson* from 0 to 0.5.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), Annex F; from memory.

    Examples
    --------
    9-5/8 in 53.50 lb/ft P110, with doubtful factors: 7,797.0 psi by a calculation of our own, not published.

    >>> from casingloads.constants import PSI
    >>> pipe = (9.625 * 0.0254, 0.545 * 0.0254, 110e3 * PSI)
    >>> factors = {"elastic_factor": 0.825, "yield_factor": 0.855, "decrement": 0.164}
    >>> round(float(design_collapse_working(*pipe, **factors).rating) / PSI, 1)
    7797.0
    """
    k_e = checked("elastic_factor", elastic_factor, above=0.0)
    k_y = checked("yield_factor", yield_factor, above=0.0)
    left = equivalent_yield(yield_strength, axial_stress, internal_pressure)
    elastic = elastic_buckling_pressure(od, wall, modulus, poisson)
    return _working(od, wall, left, elastic, k_e, k_y, checked("decrement", decrement, least=0.0))


def _working(
    od: ArrayLike, wall: ArrayLike, left: Floats, elastic: Floats, k_e: Floats, k_y: Floats, H: Floats
) -> UltimateCollapseWorking:
    p_e, p_y = k_e * elastic, k_y * through_wall_yield_pressure(od, wall, left)
    return UltimateCollapseWorking(
        slenderness=slenderness(od, wall),
        equivalent_yield=left,
        elastic_factor=k_e,
        yield_factor=k_y,
        elastic_pressure=p_e,
        yield_pressure=p_y,
        decrement=H,
        rating=collapse_interaction(p_e, p_y, H),
    )
