"""The four regimes of historical collapse: their factors, their pressures and the borders between them.

Yield, plastic, transition and elastic collapse follow one another as the pipe gets thinner; the border of
two regimes is where their pressures are equal. The factors A, B and C are polynomials in the yield strength
in psi, converted here; after that every formula is homogeneous and stays in pascal. The wall is nominal,
without a wall tolerance: the regression has it in it.

Range. The factors were fitted to J55, K55, N80 and P110 pipe. The standard does not support a yield
strength, reduced by load, below 24,000 psi: some way below, the borders lose their order and the formulas
divide by zero. Up to 162,000 psi a higher yield never gives a lower rating; from there to 180,000 psi, the
highest yield in tables of the factors, the formulas as published lose up to 0.2 % near the border of
plastic and transition collapse; much higher, they turn negative. A yield outside 24,000 to 180,000 psi is
refused.

References: API Bulletin 5C3, section 1; ISO/TR 10400:2007 (API TR 5C3), clause 8.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Floats
from ..constants import PSI
from .geometry import checked, checked_tube

LEAST_SUPPORTED_YIELD = 24_000.0 * PSI
"""Lowest yield strength, reduced by load, that the standard supports [Pa]."""
GREATEST_SUPPORTED_YIELD = 180_000.0 * PSI
"""Highest yield strength in tables of the factors [Pa]."""
_ELASTIC = 46.95e6 * PSI  # modulus, Poisson's ratio and an allowance for the shape of real pipe in one
_SLACK = 1e-9  # a bound may arrive through a conversion of units


class CollapseRegime(IntEnum):
    """The regimes, from thick to thin pipe."""

    YIELD = 0
    PLASTIC = 1
    TRANSITION = 2
    ELASTIC = 3


@dataclass(frozen=True, kw_only=True)
class CollapseFactors:
    """Factors of plastic (A, B, C) and transition (F, G) collapse; C in [Pa], the others without unit."""

    A: Floats
    B: Floats
    C: Floats
    F: Floats
    G: Floats


@dataclass(frozen=True, kw_only=True)
class CollapseLimits:
    """Ratios D/t at which one regime gives way to the next."""

    yield_plastic: Floats
    plastic_transition: Floats
    transition_elastic: Floats


def collapse_factors(yield_strength: ArrayLike) -> CollapseFactors:
    """Return the factors A, B, C, F and G.

    Parameters
    ----------
    yield_strength : array_like
        Yield strength, reduced by load where there is any [Pa], from 24,000 to 180,000 psi.

    Returns
    -------
    CollapseFactors
        In the shape of *yield_strength*.

    Raises
    ------
    ValueError
        If *yield_strength* is out of range.

    References
    ----------
    .. [1] API Bulletin 5C3, 6th edition, 1994, section 1: 3.071, 0.0667, 1955 psi, 1.998 and 0.0434 for N80.

    Examples
    --------
    >>> n80 = collapse_factors(80e3 * PSI)
    >>> round(float(n80.A), 3), round(float(n80.B), 4), round(float(n80.C) / PSI)
    (3.071, 0.0667, 1955)
    >>> round(float(n80.F), 3), round(float(n80.G), 4)
    (1.998, 0.0434)
    """
    return factors_at(_supported(yield_strength))


def collapse_limits(yield_strength: ArrayLike) -> CollapseLimits:
    """Return the ratios D/t between the regimes.

    Parameters
    ----------
    yield_strength : array_like
        Yield strength, reduced by load where there is any [Pa], from 24,000 to 180,000 psi.

    Returns
    -------
    CollapseLimits
        In the shape of *yield_strength*.

    Raises
    ------
    ValueError
        If *yield_strength* is out of range.

    References
    ----------
    .. [1] API Bulletin 5C3, 6th edition, 1994, section 1: 13.38, 22.47 and 31.02 for N80.

    Examples
    --------
    >>> n80 = collapse_limits(80e3 * PSI)
    >>> [round(float(x), 2) for x in (n80.yield_plastic, n80.plastic_transition, n80.transition_elastic)]
    [13.38, 22.47, 31.02]
    """
    y = _supported(yield_strength)
    return limits_at(y, factors_at(y))


def yield_collapse(od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike) -> Floats:
    """Return the yield collapse pressure, 2 Y (D/t - 1)/(D/t)^2: the bore of a thick pipe yields.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength, reduced by load where there is any [Pa], from 24,000 to 180,000 psi.

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa], whether or not this regime governs.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and *yield_strength* is in range.

    Examples
    --------
    Rahman and Chilingarian, *Casing Design*, 1995, Example 2-10 (the same pipe in the examples below):

    >>> round(float(yield_collapse(9.625 * 0.0254, 0.472 * 0.0254, 80e3 * PSI)) / PSI)
    7461
    """
    return _alone(CollapseRegime.YIELD, od, wall, yield_strength)


def plastic_collapse(od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike) -> Floats:
    """Return the plastic collapse pressure, Y (A t/D - B) - C: the regression on tests.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength, reduced by load where there is any [Pa], from 24,000 to 180,000 psi.

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa], whether or not this regime governs.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and *yield_strength* is in range.

    Examples
    --------
    >>> round(float(plastic_collapse(9.625 * 0.0254, 0.472 * 0.0254, 80e3 * PSI)) / PSI)
    4754
    """
    return _alone(CollapseRegime.PLASTIC, od, wall, yield_strength)


def transition_collapse(od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike) -> Floats:
    """Return the transition collapse pressure, Y (F t/D - G): from the plastic to the elastic curve.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].
    yield_strength : array_like
        Yield strength, reduced by load where there is any [Pa], from 24,000 to 180,000 psi.

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa], whether or not this regime governs.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od`` and *yield_strength* is in range.

    Examples
    --------
    The book has 4,366 with its factors rounded first:

    >>> round(float(transition_collapse(9.625 * 0.0254, 0.472 * 0.0254, 80e3 * PSI)) / PSI)
    4364
    """
    return _alone(CollapseRegime.TRANSITION, od, wall, yield_strength)


def elastic_collapse(od: ArrayLike, wall: ArrayLike) -> Floats:
    """Return the elastic collapse pressure, 46.95e6 psi / [D/t (D/t - 1)^2]: a thin pipe buckles.

    It does not depend on the yield strength.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].

    Returns
    -------
    ndarray, broadcast shape
        Pressure [Pa], whether or not this regime governs.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``.

    Examples
    --------
    >>> round(float(elastic_collapse(9.625 * 0.0254, 0.472 * 0.0254)) / PSI)
    6123
    """
    return _elastic(slenderness(od, wall))


def slenderness(od: ArrayLike, wall: ArrayLike) -> Floats:
    """Return D/t.

    Parameters
    ----------
    od, wall : array_like
        Outside diameter and nominal wall [m].

    Returns
    -------
    ndarray, broadcast shape
        The ratio, above 2.

    Raises
    ------
    ValueError
        Unless ``0 < 2*wall < od``.

    Examples
    --------
    >>> round(float(slenderness(9.625, 0.472)), 3)
    20.392
    """
    od, wall = checked_tube(od, wall)
    return od / wall


# The formulas themselves, without checks: x is D/t, y the yield strength and f the factors at that yield.


def factors_at(y: Floats, modulus: ArrayLike = 1.0) -> CollapseFactors:
    """Return the factors; see `collapse_factors`. *modulus* is the modulus over that at room temperature."""
    psi = y / PSI
    A = 2.8762 + psi * (0.10679e-5 + psi * (0.21301e-10 - psi * 0.53132e-16))
    B = 0.026233 + 0.50609e-6 * psi
    C = PSI * (-465.93 + psi * (0.030867 + psi * (-0.10483e-7 + psi * 0.36989e-13)))
    q = B / A
    rest = 1.0 - q
    # Published as E u^3 / [Y (u - q) (1 - u)^2] with u = 3q/(2 + q), where the powers of 2 + q cancel. With this factor
    # transition collapse meets the elastic curve as a tangent.
    F = 27.0 / 4.0 * _ELASTIC * np.asarray(modulus) * q**2 / (y * rest**2 * rest)
    return CollapseFactors(A=A, B=B, C=C, F=F, G=F * q)


def limits_at(y: Floats, f: CollapseFactors) -> CollapseLimits:
    """Return the borders, where the pressures of neighbours are equal; see `collapse_limits`."""
    slope, excess, q = f.B + f.C / y, f.A - 2.0, f.B / f.A  # the published formulas, divided by y throughout
    return CollapseLimits(
        yield_plastic=(np.sqrt(excess**2 + 8.0 * slope) + excess) / (2.0 * slope),
        plastic_transition=(f.A - f.F) / (slope - f.G),
        transition_elastic=(2.0 + q) / (3.0 * q),
    )


def pressures_at(
    x: Floats, y: Floats, f: CollapseFactors, modulus: ArrayLike = 1.0
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the pressure of each regime, in the order of `CollapseRegime`."""
    elastic = _elastic(x) * np.asarray(modulus)
    return y * (2.0 * (x - 1.0) / x**2), y * (f.A / x - f.B) - f.C, y * (f.F / x - f.G), elastic


def _elastic(x: Floats) -> Floats:
    return _ELASTIC / (x * (x - 1.0) ** 2)


def _alone(regime: CollapseRegime, od: ArrayLike, wall: ArrayLike, yield_strength: ArrayLike) -> Floats:
    y = _supported(yield_strength)
    return pressures_at(slenderness(od, wall), y, factors_at(y))[regime]


def _supported(yield_strength: ArrayLike) -> Floats:
    least, most = LEAST_SUPPORTED_YIELD * (1.0 - _SLACK), GREATEST_SUPPORTED_YIELD * (1.0 + _SLACK)
    return checked("yield_strength", yield_strength, "Pa", least=least, most=most)
