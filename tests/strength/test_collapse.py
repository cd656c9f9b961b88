from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads import strength
from casingloads.constants import PSI
from casingloads.strength import GREATEST_SUPPORTED_YIELD, LEAST_SUPPORTED_YIELD, CollapseRegime
from casingloads.strength.collapse_regimes import factors_at, limits_at, pressures_at

slendernesses = st.floats(2.01, 200.0)
monotone_yields = st.floats(10_000.0, 160_000.0).map(lambda psi: psi * PSI)
yields = st.floats(1_000.0, 180_000.0).map(lambda psi: psi * PSI)
formula_yields = st.floats(24_000.0, 180_000.0).map(lambda psi: psi * PSI)
loads = st.floats(-2e9, 2e9)
SAME = 1e-12  # of rounding


# The regimes


@given(formula_yields)
def test_neighbours_meet_at_the_borders(yield_strength: float) -> None:
    y = np.asarray(yield_strength)
    factors = factors_at(y)
    limits = limits_at(y, factors)
    borders = (limits.yield_plastic, limits.plastic_transition, limits.transition_elastic)
    assert 2.0 < borders[0] < borders[1] < borders[2]
    for regime, x in enumerate(borders):
        pressures = pressures_at(x, y, factors)
        assert abs(float(pressures[regime] - pressures[regime + 1])) / PSI < 1e-9


@given(formula_yields)
def test_transition_touches_the_elastic_curve(yield_strength: float) -> None:
    x = float(strength.collapse_limits(yield_strength).transition_elastic)
    transition = -yield_strength * float(strength.collapse_factors(yield_strength).F) / x**2
    elastic = -46.95e6 * PSI * (3.0 * x - 1.0) / (x**2 * (x - 1.0) ** 3)  # derivative of 1/[x (x - 1)2]
    assert transition == pytest.approx(elastic, rel=1e-9)


@given(formula_yields)
def test_factors_and_borders_are_the_published_ones(yield_strength: float) -> None:
    """As API Bulletin 5C3 writes them; value from memory."""
    f, limits = strength.collapse_factors(yield_strength), strength.collapse_limits(yield_strength)
    A, B, C, F, G = (float(factor) for factor in (f.A, f.B, f.C, f.F, f.G))
    u = 3.0 * (B / A) / (2.0 + B / A)
    published = 46.95e6 * PSI * u**3 / (yield_strength * (u - B / A) * (1.0 - u) ** 2)
    assert pytest.approx(published, rel=1e-12) == F
    assert pytest.approx(F * B / A, rel=1e-12) == G
    border = yield_strength * (A - F) / (C + yield_strength * (B - G))
    assert float(limits.plastic_transition) == pytest.approx(border, rel=1e-11)


@given(formula_yields, st.sampled_from(["yield_plastic", "plastic_transition", "transition_elastic"]))
def test_rating_does_not_jump_at_a_border(yield_strength: float, border: str) -> None:
    x = float(getattr(strength.collapse_limits(yield_strength), border))
    thick, thin = strength.collapse_pressure(np.array([x * (1 - 1e-13), x * (1 + 1e-13)]), 1.0, yield_strength)
    assert abs(float(thick - thin)) / PSI < 1e-6


@given(slendernesses, yields, loads, st.floats(0.0, 3e8))
def test_rating_is_the_pressure_of_its_regime(x: float, yield_strength: float, load: float, p_i: float) -> None:
    working = strength.collapse_working(x, 1.0, yield_strength, load, p_i)
    y = float(working.formula_yield)
    alone = (
        strength.yield_collapse(x, 1.0, y),
        strength.plastic_collapse(x, 1.0, y),
        strength.transition_collapse(x, 1.0, y),
        strength.elastic_collapse(x, 1.0),
    )
    left = min(float(working.equivalent_yield) / (24_000.0 * PSI), 1.0)
    assert float(working.rating) == pytest.approx(left * float(alone[int(working.regime)]), rel=1e-12)
    assert int(strength.collapse_regime(x, 1.0, yield_strength, load, p_i)) == int(working.regime)
    assert float(strength.collapse_pressure(x, 1.0, yield_strength, load, p_i)) == float(working.rating)
    # the reduced yield goes into the factors and the borders as well
    for name, value in vars(strength.collapse_factors(y)).items():
        assert float(getattr(working.factors, name)) == float(value)
    for name, value in vars(strength.collapse_limits(y)).items():
        assert float(getattr(working.limits, name)) == float(value)


def test_regimes_by_name() -> None:
    """N80: borders at 13.38, 22.47 and 31.02 (API Bulletin 5C3)."""
    regimes = strength.collapse_regime(np.array([13.37, 13.40, 22.46, 22.49, 31.00, 31.03]), 1.0, 80e3 * PSI)
    assert [CollapseRegime(int(regime)).name for regime in regimes] == [
        *("YIELD", "PLASTIC", "PLASTIC", "TRANSITION", "TRANSITION", "ELASTIC")
    ]


# The reduced yield


@given(yields, loads)
def test_equivalent_yield_solves_the_ellipse(yield_strength: float, load: float) -> None:
    """Hoop compression -Y_pa and tension s on the von Mises ellipse of the bore: Y2 = s2 + s Y_pa + Y_pa2."""
    left = float(strength.equivalent_yield(yield_strength, load))
    assert 0.0 <= left <= yield_strength
    if load <= 0.0:
        assert left == yield_strength  # compression earns nothing
    elif load >= yield_strength:
        assert left == 0.0
    else:
        assert load**2 + load * left + left**2 == pytest.approx(yield_strength**2, rel=1e-9)


@given(slendernesses, yields, st.floats(-1e9, 1e9), st.floats(0.0, 3e8))
def test_internal_pressure_acts_like_tension(x: float, yield_strength: float, load: float, p_i: float) -> None:
    one = strength.collapse_pressure(x, 1.0, yield_strength, load, p_i)
    assert float(one) == float(strength.collapse_pressure(x, 1.0, yield_strength, load + p_i))


@given(slendernesses, monotone_yields, loads, st.floats(0.0, 1e9), st.floats(0.0, 3e8))
def test_rating_never_rises_with_tension(x: float, yield_strength: float, load: float, more: float, p_i: float) -> None:
    rating = float(strength.collapse_pressure(x, 1.0, yield_strength, load, p_i))
    assert float(strength.collapse_pressure(x, 1.0, yield_strength, load + more, p_i)) <= rating * (1 + SAME)
    assert float(strength.collapse_pressure(x, 1.0, yield_strength, load, p_i + more)) <= rating * (1 + SAME)


@given(slendernesses, monotone_yields, st.floats(1.0, 1.5), st.floats(0.0, 1e9))
def test_rating_never_falls_with_yield_or_wall(x: float, yield_strength: float, more: float, load: float) -> None:
    rating = float(strength.collapse_pressure(x, 1.0, yield_strength, load)) * (1 - SAME)
    stronger = min(more * yield_strength, 160e3 * PSI)
    assert float(strength.collapse_pressure(x, 1.0, stronger, load)) >= rating
    thicker = max(x / more, 2.001)
    assert float(strength.collapse_pressure(thicker, 1.0, yield_strength, load)) >= rating


@given(slendernesses, yields, loads, st.floats(0.0, 1e9))
def test_rating_is_a_number_and_not_negative(x: float, yield_strength: float, load: float, p_i: float) -> None:
    rating = float(strength.collapse_pressure(x, 1.0, yield_strength, load, p_i))
    assert math.isfinite(rating)
    assert rating >= 0.0


# The edges of the standard


def test_fine_sweep_over_supported_yields_is_monotone() -> None:
    x = np.linspace(2.01, 60.0, 1500)[:, np.newaxis]
    ratings = strength.collapse_pressure(x, 1.0, np.arange(1_000.0, 162_000.0, 250.0) * PSI)
    assert (np.diff(ratings, axis=1) >= -SAME * ratings[:, 1:]).all()


def test_published_formulas_lose_a_little_near_their_upper_end() -> None:
    """As the module says: up to 0.2 % between 162,000 and 180,000 psi, a property of the polynomials."""
    x = np.linspace(2.01, 60.0, 3000)[:, np.newaxis]
    ratings = strength.collapse_pressure(x, 1.0, np.arange(150_000.0, 180_001.0, 250.0) * PSI)
    loss = np.max(np.maximum.accumulate(ratings, axis=1) / ratings - 1.0)
    assert 0.001 < loss < 0.002


@given(slendernesses, st.floats(0.0, 1.0))
def test_below_24000_psi_the_rating_falls_in_proportion(x: float, share: float) -> None:
    """Our own choice where the standard is silent."""
    at_limit = strength.collapse_working(x, 1.0, LEAST_SUPPORTED_YIELD)
    assert not at_limit.below_supported_yield
    below = strength.collapse_working(x, 1.0, max(share, 1e-6) * LEAST_SUPPORTED_YIELD)
    assert bool(below.below_supported_yield) == (share < 1.0)
    assert float(below.rating) == pytest.approx(max(share, 1e-6) * float(at_limit.rating), rel=1e-12)
    assert float(below.formula_yield) == LEAST_SUPPORTED_YIELD


def test_nothing_is_left_at_yield() -> None:
    working = strength.collapse_working(20.0, 1.0, 552e6, [551.9e6, 552e6, 600e6])
    assert working.below_supported_yield.all()
    assert working.rating[0] > 0.0
    assert working.rating[1:].tolist() == [0.0, 0.0]


def test_yields_out_of_range_are_refused() -> None:
    for function in (strength.collapse_factors, strength.collapse_limits):
        with pytest.raises(ValueError, match=r"yield_strength = .* Pa: need a finite number of at least"):
            function(0.99 * LEAST_SUPPORTED_YIELD)
        with pytest.raises(ValueError, match=r"of at most 1.24106e\+09 Pa"):
            function(1.01 * GREATEST_SUPPORTED_YIELD)
    for single in (strength.yield_collapse, strength.plastic_collapse, strength.transition_collapse):
        with pytest.raises(ValueError, match="yield_strength"):
            single(20.0, 1.0, 0.99 * LEAST_SUPPORTED_YIELD)
    with pytest.raises(ValueError, match=r"of at most 1.24106e\+09 Pa"):
        strength.collapse_pressure(20.0, 1.0, 1.01 * GREATEST_SUPPORTED_YIELD)


# The form before 2015


@given(slendernesses, st.floats(0.0, 1e8), st.floats(0.0, 1e8))
def test_equivalent_external_pressure_in_its_limits(x: float, p_o: float, p_i: float) -> None:
    p_e = float(strength.equivalent_external_pressure(x, 1.0, p_o, p_i))
    assert float(strength.equivalent_external_pressure(x, 1.0, p_o, 0.0)) == p_o
    assert p_o - p_i - 1e-6 <= p_e <= p_o  # the wall is squeezed by what stands on both sides
    force = p_o * x - p_i * (x - 2.0)  # on a half ring of unit wall, over its outside diameter
    assert p_e == pytest.approx(force / x, rel=1e-9, abs=1e-6)


def test_two_forms_agree_without_internal_pressure_and_differ_with_it() -> None:
    x, y, p_o, p_i = 17.66, 758e6, 40e6, 20e6
    newer = (p_o - p_i) / float(strength.collapse_pressure(x, 1.0, y, 2e8, p_i))
    p_e = float(strength.equivalent_external_pressure(x, 1.0, p_o, p_i))
    older = p_e / float(strength.collapse_pressure(x, 1.0, y, 2e8))
    twice = p_e / float(strength.collapse_pressure(x, 1.0, y, 2e8, p_i))
    assert twice > max(newer, older)
    assert newer != pytest.approx(older, rel=1e-3)


# Arrays and arguments


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall = np.array([[0.2], [0.3]]), np.array([0.005, 0.01, 0.02])
    stress, p_i = np.linspace(-1e8, 6e8, 4).reshape(4, 1, 1), np.full((5, 1, 1, 1), 1e7)
    working = strength.collapse_working(od, wall, 552e6, stress, p_i)
    fields = [value for value in vars(working).values() if isinstance(value, np.ndarray)]
    fields += [*vars(working.factors).values(), *vars(working.limits).values()]
    assert len(fields) == 6 + 5 + 3
    assert {array.shape for array in fields} == {(5, 4, 2, 3)}
    for index in [(0, 0, 0, 0), (4, 2, 1, 1), (3, 3, 1, 2)]:
        alone = strength.collapse_pressure(
            od[index[2], 0], wall[index[3]], 552e6, stress[index[1], 0, 0], p_i[index[0], 0, 0, 0]
        )
        assert float(alone) == pytest.approx(float(working.rating[index]), rel=1e-14)
    assert np.ndim(strength.collapse_pressure(0.2, 0.01, 552e6)) == 0


def test_every_regime_at_once_agrees_with_scalars() -> None:
    """A column of pipes against a row of tensions, none of which is alone in its regime."""
    x, stress = np.linspace(8.0, 45.0, 30)[:, np.newaxis], np.linspace(-1e8, 5e8, 7)
    modulus = np.linspace(0.8, 1.0, 2)[:, np.newaxis, np.newaxis]
    working = strength.collapse_working(x, 1.0, 552e6, stress, modulus_factor=modulus)
    assert set(working.regime.flat) == set(CollapseRegime)
    assert working.rating.shape == working.slenderness.shape == working.factors.A.shape == (2, 30, 7)
    for index in np.ndindex(2, 30, 7):
        alone = strength.collapse_working(x[index[1], 0], 1.0, 552e6, stress[index[2]], 0.0, modulus[index[0], 0, 0])
        assert float(working.rating[index]) == pytest.approx(float(alone.rating), rel=1e-14)
        assert int(working.regime[index]) == int(alone.regime)


def test_inputs_are_left_alone() -> None:
    od, stress = np.array([0.2, 0.3]), np.array([-1e8, 5e8])
    strength.collapse_working(od, 0.01, 552e6, stress)
    assert (od.tolist(), stress.tolist()) == ([0.2, 0.3], [-1e8, 5e8])


def test_bad_arguments_are_refused() -> None:
    with pytest.raises(ValueError, match=r"od = 0.2 m, wall = 0.1 m: need 2\*wall < od"):
        strength.collapse_pressure(0.2, 0.1, 552e6)
    with pytest.raises(ValueError, match="yield_strength = 0 Pa: need a finite number above 0 Pa"):
        strength.collapse_pressure(0.2, 0.01, 0.0)
    with pytest.raises(ValueError, match="yield_strength = -1 Pa"):
        strength.equivalent_yield(-1.0, 0.0)
    with pytest.raises(ValueError, match="axial_stress = nan Pa"):
        strength.collapse_pressure(0.2, 0.01, 552e6, math.nan)
    with pytest.raises(ValueError, match="internal_pressure = inf Pa"):
        strength.collapse_pressure(0.2, 0.01, 552e6, 0.0, math.inf)
    with pytest.raises(ValueError, match="external_pressure = nan Pa"):
        strength.equivalent_external_pressure(0.2, 0.01, math.nan, 0.0)
    with pytest.raises(ValueError, match=r"od = -0.2 m"):
        strength.elastic_collapse(-0.2, 0.01)
