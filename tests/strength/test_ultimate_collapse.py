from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from casingloads import strength

PSI = 0.45359237 * 9.80665 / 0.0254**2
OD, WALL, YIELD = 9.625 * 0.0254, 0.545 * 0.0254, 110e3 * PSI

pressures = st.floats(1e5, 1e9)
decrements = st.floats(0.0, 1.0)
slendernesses = st.floats(2.05, 200.0)
yields = st.floats(2e8, 1.2e9)
MEASURED = {"ovality": 0.2, "eccentricity": 5.0, "residual_stress": -0.2 * YIELD, "curve_term": 0.0}
# Doubtful recollections, good enough to work with in a test.
HOT = {"elastic_factor": 0.825, "yield_factor": 0.855, "decrement": 0.104}
COLD = {"elastic_factor": 0.825, "yield_factor": 0.855, "decrement": 0.164}


def interaction(p_e: float, p_y: float, H: float) -> float:
    return float(strength.collapse_interaction(p_e, p_y, H))


def ultimate(x: float, y: float, stress: float = 0.0, p_i: float = 0.0, **other: float) -> float:
    measured = {"ovality": 0.2, "eccentricity": 5.0, "residual_stress": -0.2 * y, "curve_term": 0.0, **other}
    return float(strength.ultimate_collapse_working(x, 1.0, y, stress, p_i, **measured).rating)


# Points of our own calculation, worked apart from this code; not published. 9-5/8 in, 0.545 in, P110


def test_own_points_of_the_two_limits() -> None:
    assert float(strength.elastic_buckling_pressure(OD, WALL)) / PSI == pytest.approx(13280.8, abs=0.051)
    assert float(strength.through_wall_yield_pressure(OD, WALL, YIELD)) / PSI == pytest.approx(12809.8, abs=0.051)


def test_own_points_of_the_ratings() -> None:
    working = strength.ultimate_collapse_working(OD, WALL, YIELD, **MEASURED)
    assert float(working.decrement) == pytest.approx(0.1329, abs=5e-5)
    assert float(working.rating) / PSI == pytest.approx(9873.2, abs=0.051)
    for factors, expected in ((HOT, 8283.3), (COLD, 7797.0)):
        design = strength.design_collapse_working(OD, WALL, YIELD, **factors)
        assert float(design.rating) / PSI == pytest.approx(expected, abs=0.051)


# The two limits


@given(st.floats(100.0, 10_000.0), st.floats(1e11, 3e11), st.floats(0.0, 0.5))
def test_elastic_limit_of_thin_pipe_is_the_buckling_of_a_ring(x: float, modulus: float, poisson: float) -> None:
    """Timoshenko and Gere, *Theory of Elastic Stability*, 1961, ch. 7: p = 3 E' I/R^3 with E' = E/(1 - nu^2)."""
    second_moment, mean_radius = 1.0 / 12.0, (x - 1.0) / 2.0  # of unit wall
    ring = 3.0 * modulus / (1.0 - poisson**2) * second_moment / mean_radius**3
    ours = float(strength.elastic_buckling_pressure(x, 1.0, modulus, poisson))
    assert ours == pytest.approx(ring, rel=1.01 / x)
    assert ours < ring


def test_elastic_limit_is_what_the_historical_branch_is_derived_from() -> None:
    """API Bulletin 5C3, from memory: 46.95e6 psi is 75 % of 62.6e6 psi, which is 95 % of the theory with nu = 0.3."""
    x = np.array([15.0, 30.0, 60.0])
    theory = strength.elastic_buckling_pressure(x, 1.0, 30e6 * PSI, 0.3)
    assert strength.elastic_collapse(x, 1.0) / theory == pytest.approx([0.75 * 0.95] * 3, rel=1e-3)


@given(slendernesses, yields)
def test_yield_limit_is_between_first_yield_and_full_plasticity(x: float, y: float) -> None:
    """By Tresca: the bore yields first at 2 Y (x - 1)/x^2, the whole wall has yielded at Y ln(D/d)."""
    ours = float(strength.through_wall_yield_pressure(x, 1.0, y))
    assert 2.0 * y * (x - 1.0) / x**2 < ours < y * math.log(x / (x - 2.0))
    assert ours * x / (2.0 * y) == pytest.approx(1.0, abs=0.51 / x)  # a membrane in the limit


# Their interaction


@given(pressures, pressures, st.one_of(st.floats(0.0, 0.99), st.floats(1.01, 3.0)))
def test_stable_form_is_the_published_one(p_e: float, p_y: float, H: float) -> None:
    root = math.sqrt((p_e - p_y) ** 2 + 4.0 * p_e * p_y * H)
    published = ((p_e + p_y) - root) / (2.0 * (1.0 - H))
    lost = 1e-15 * (p_e + p_y) / abs(1.0 - H)  # by the difference in it
    assert interaction(p_e, p_y, H) == pytest.approx(published, rel=1e-12, abs=10.0 * lost)


@given(pressures, st.floats(0.01, 100.0), st.floats(1e-6, 3.0))
def test_it_solves_the_interaction_equation(p_e: float, ratio: float, H: float) -> None:
    p_y = ratio * p_e
    route = brentq(lambda p: (p_e - p) * (p_y - p) - H * p**2, 0.0, min(p_e, p_y), rtol=1e-14, xtol=1e-9)
    assert interaction(p_e, p_y, H) == pytest.approx(route, rel=1e-9)


@given(pressures, pressures)
def test_limits_of_the_decrement(p_e: float, p_y: float) -> None:
    assert interaction(p_e, p_y, 0.0) == pytest.approx(min(p_e, p_y), rel=1e-12)
    at_one = p_e * p_y / (p_e + p_y)
    for H in (1.0 - 1e-12, 1.0, 1.0 + 1e-12):
        assert interaction(p_e, p_y, H) == pytest.approx(at_one, rel=1e-11)
    assert interaction(p_e, 0.0, 0.2) == 0.0


@given(pressures, pressures, decrements, st.floats(1.0, 2.0))
def test_interaction_never_falls_with_either_limit_nor_rises_with_the_decrement(
    p_e: float, p_y: float, H: float, more: float
) -> None:
    rating = interaction(p_e, p_y, H)
    slack = 1.0 - 1e-12
    assert 0.0 < rating <= min(p_e, p_y) / slack
    assert interaction(more * p_e, p_y, H) >= rating * slack
    assert interaction(p_e, more * p_y, H) >= rating * slack
    assert interaction(p_e, p_y, H + (more - 1.0)) <= rating / slack
    assert interaction(p_y, p_e, H) == pytest.approx(rating, rel=1e-12)  # neither limit comes first


# The decrement


def test_each_imperfection_has_its_weight_and_sign() -> None:
    """Annex F; value from memory. Percent, not fractions; compression at the inside weakens."""

    def decrement(ov: float = 0.0, ec: float = 0.0, rs: float = 0.0, h_n: float = 0.0) -> float:
        return float(strength.collapse_decrement(ov, ec, rs, 5e8, h_n))

    assert decrement() == 0.0
    assert decrement(ov=1.0) == pytest.approx(0.127)
    assert decrement(ec=10.0) == pytest.approx(0.039)
    assert decrement(rs=-1e8) == pytest.approx(0.088)
    assert decrement(h_n=0.017) == pytest.approx(0.017)
    assert decrement(ov=1.0, ec=10.0, rs=1e8, h_n=0.017) == pytest.approx(0.127 + 0.039 - 0.088 + 0.017)
    assert decrement(ov=0.1, rs=2e8) == 0.0  # no credit below a perfect pipe


@given(slendernesses, yields, st.floats(0.0, 1.0), st.floats(0.0, 20.0), st.floats(-0.5, 0.5))
def test_no_imperfection_strengthens(x: float, y: float, ov: float, ec: float, share: float) -> None:
    pipe = {"ovality": ov, "eccentricity": ec, "residual_stress": share * y}
    rating = ultimate(x, y, **pipe) * (1.0 + 1e-12)
    assert ultimate(x, y, **{**pipe, "ovality": ov + 0.1}) <= rating
    assert ultimate(x, y, **{**pipe, "eccentricity": ec + 1.0}) <= rating
    assert ultimate(x, y, **{**pipe, "residual_stress": (share - 0.1) * y}) <= rating
    assert ultimate(x, y, **pipe, curve_term=0.017) <= rating


# The ratings


@given(slendernesses, yields, st.floats(1.0, 1.5))
def test_more_wall_and_more_yield_never_weaken(x: float, y: float, more: float) -> None:
    rating = ultimate(x, y) * (1.0 - 1e-12)
    assert ultimate(max(x / more, 2.01), y) >= rating
    assert ultimate(x, more * y, residual_stress=-0.2 * y) >= rating


def test_thin_pipe_buckles_and_thick_pipe_yields() -> None:
    thin = strength.design_collapse_working(1000.0, 1.0, YIELD, **COLD)
    assert float(thin.rating) == pytest.approx(float(thin.elastic_pressure), rel=1e-3)
    thick = strength.design_collapse_working(2.01, 1.0, 0.1 * YIELD, **COLD)
    assert float(thick.rating) == pytest.approx(float(thick.yield_pressure), rel=1e-3)


@given(slendernesses, yields, st.floats(0.0, 1.5))
def test_forms_differ_in_their_factors_only(x: float, y: float, ov: float) -> None:
    measured = {"ovality": ov, "eccentricity": 3.0, "residual_stress": 0.0, "curve_term": 0.0}
    one = strength.ultimate_collapse_working(x, 1.0, y, 1e8, 1e7, **measured)
    factors = {"elastic_factor": 1.089, "yield_factor": 0.9911, "decrement": float(one.decrement)}
    other = strength.design_collapse_working(x, 1.0, y, 1e8, 1e7, **factors)
    assert {name: float(value) for name, value in vars(one).items()} == {
        name: float(value) for name, value in vars(other).items()
    }


# Loads


@given(slendernesses, yields, st.floats(-1e9, 1.5e9), st.floats(0.0, 2e8))
def test_loads_act_through_the_equivalent_yield_alone(x: float, y: float, stress: float, p_i: float) -> None:
    """Our own substitution, not the annex's."""
    working = strength.design_collapse_working(x, 1.0, y, stress, p_i, **COLD)
    left = float(strength.equivalent_yield(y, stress, p_i))
    assert float(working.equivalent_yield) == left
    p_e = 0.825 * float(strength.elastic_buckling_pressure(x, 1.0))
    p_y = 0.855 * float(strength.through_wall_yield_pressure(x, 1.0, left))
    assert (float(working.elastic_pressure), float(working.yield_pressure)) == pytest.approx((p_e, p_y), rel=1e-14)
    assert float(working.rating) == interaction(p_e, p_y, 0.164)
    if stress + p_i <= 0.0:
        assert float(working.rating) == float(strength.design_collapse_working(x, 1.0, y, **COLD).rating)
    if stress + p_i >= y:
        assert float(working.rating) == 0.0


@given(slendernesses, yields, st.floats(-1e9, 1e9), st.floats(0.0, 5e8), st.floats(0.0, 2e8))
def test_rating_never_rises_with_tension_or_internal_pressure(
    x: float, y: float, stress: float, more: float, p_i: float
) -> None:
    rating = ultimate(x, y, stress, p_i) * (1.0 + 1e-12)
    assert 0.0 <= ultimate(x, y, stress + more, p_i) <= rating
    assert 0.0 <= ultimate(x, y, stress, p_i + more) <= rating


def test_heat_goes_to_the_branch_it_belongs_to() -> None:
    cold = strength.design_collapse_working(OD, WALL, YIELD, **COLD)
    softer = strength.design_collapse_working(OD, WALL, YIELD, **COLD, modulus=27e6 * PSI)
    weaker = strength.design_collapse_working(OD, WALL, 0.9 * YIELD, **COLD)
    assert float(softer.elastic_pressure) == pytest.approx(0.9 * float(cold.elastic_pressure))
    assert float(softer.yield_pressure) == float(cold.yield_pressure)
    assert float(weaker.yield_pressure) == pytest.approx(0.9 * float(cold.yield_pressure))
    assert float(weaker.elastic_pressure) == float(cold.elastic_pressure)


# Arrays and arguments


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall = np.array([[0.2], [0.3]]), np.array([0.005, 0.01, 0.02])
    stress, p_i = np.linspace(-1e8, 6e8, 4).reshape(4, 1, 1), np.full((5, 1, 1, 1), 1e7)
    shape = (5, 4, 2, 3)
    measured = strength.ultimate_collapse_working(od, wall, 552e6, stress, p_i, **MEASURED)
    design = strength.design_collapse_working(od, wall, 552e6, stress, p_i, **COLD)
    for table in (measured, design):
        assert table.rating.shape == shape
        for field in vars(table).values():
            np.broadcast_to(field, shape)
    alone = strength.design_collapse_working(0.3, 0.01, 552e6, stress[2, 0, 0], 1e7, **COLD).rating
    assert float(alone) == pytest.approx(float(design.rating[4, 2, 1, 1]), rel=1e-14)
    assert np.ndim(alone) == 0
    ovality: dict[str, Any] = {**MEASURED, "ovality": np.linspace(0.0, 1.0, 7)[:, np.newaxis]}
    assert strength.ultimate_collapse_working(0.2, wall, 552e6, **ovality).rating.shape == (7, 3)


def test_inputs_are_left_alone() -> None:
    wall, stress = np.array([0.01, 0.02]), np.array([-1e8, 5e8])
    strength.design_collapse_working(0.3, wall, 552e6, stress, **COLD)
    assert (wall.tolist(), stress.tolist()) == ([0.01, 0.02], [-1e8, 5e8])


@pytest.mark.parametrize("left_out", [*COLD])
def test_design_factors_are_never_taken_for_granted(left_out: str) -> None:
    given_ = {name: value for name, value in COLD.items() if name != left_out}
    with pytest.raises(TypeError, match=left_out):
        strength.design_collapse_working(0.2, 0.01, 552e6, **given_)


@pytest.mark.parametrize("left_out", [*MEASURED])
def test_measurements_are_never_taken_for_granted(left_out: str) -> None:
    given_ = {name: value for name, value in MEASURED.items() if name != left_out}
    with pytest.raises(TypeError, match=left_out):
        strength.ultimate_collapse_working(0.2, 0.01, 552e6, **given_)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"wall": 0.1}, r"od = 0.2 m, wall = 0.1 m: need 2\*wall < od"),
        ({"yield_strength": 0.0}, "yield_strength = 0 Pa: need a finite number above 0 Pa"),
        ({"axial_stress": math.nan}, "axial_stress = nan Pa"),
        ({"internal_pressure": math.inf}, "internal_pressure = inf Pa"),
        ({"modulus": 0.0}, "modulus = 0 Pa: need a finite number above 0 Pa"),
        ({"poisson": 0.6}, "poisson = 0.6: need a finite number of at least 0 and of at most 0.5"),
        ({"ovality": -0.1}, "ovality = -0.1 %: need a finite number of at least 0 %"),
        ({"eccentricity": -1.0}, "eccentricity = -1 %: need a finite number of at least 0 %"),
        ({"residual_stress": math.nan}, "residual_stress = nan Pa"),
        ({"curve_term": -0.01}, "curve_term = -0.01: need a finite number of at least 0"),
        ({"elastic_factor": 0.0}, "elastic_factor = 0: need a finite number above 0"),
        ({"yield_factor": -1.0}, "yield_factor = -1: need a finite number above 0"),
        ({"decrement": -0.1}, "decrement = -0.1: need a finite number of at least 0"),
    ],
)
def test_bad_arguments_are_refused(wrong: dict[str, float], message: str) -> None:
    (name,) = wrong
    pipe = {"od": 0.2, "wall": 0.01, "yield_strength": 552e6}
    if name not in COLD:
        with pytest.raises(ValueError, match=message):
            strength.ultimate_collapse_working(**{**pipe, **MEASURED, **wrong})
    if name not in MEASURED:
        with pytest.raises(ValueError, match=message):
            strength.design_collapse_working(**{**pipe, **COLD, **wrong})


def test_bad_pressures_are_refused() -> None:
    with pytest.raises(ValueError, match="elastic_pressure = 0 Pa: need a finite number above 0 Pa"):
        strength.collapse_interaction(0.0, 1e7, 0.1)
    with pytest.raises(ValueError, match="yield_pressure = -1 Pa: need a finite number of at least 0 Pa"):
        strength.collapse_interaction(1e7, -1.0, 0.1)
    with pytest.raises(ValueError, match="decrement = nan"):
        strength.collapse_interaction(1e7, 1e7, math.nan)
    with pytest.raises(ValueError, match="yield_strength = -1 Pa"):
        strength.through_wall_yield_pressure(0.2, 0.01, -1.0)
