"""Collapse: the four regimes in their current and older form, and the ultimate strength."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..constants import PSI, STEEL_MODULUS
from ..parameters import Percent, Stress
from ..units import FORCE, FRACTION, PRESSURE, STRESS, Dimension
from .check import SMALL_PRESSURE, Caution, Check, Line, Loading, Tube
from .collapse import CollapseWorking, collapse_working, equivalent_external_pressure
from .collapse_regimes import CollapseRegime
from .lines import pressure_lines, tube_lines
from .model import StrengthModel, strength_model
from .ultimate_collapse import (
    UltimateCollapseWorking,
    design_collapse_working,
    ultimate_collapse_working,
)

_TR = "API TR 5C3 (ISO/TR 10400)"
_NAMES = np.array([regime.name.lower() for regime in CollapseRegime])
_FORMULAS = np.array(
    [
        "p_c = 2 Y_pa (x - 1) / x^2",
        "p_c = Y_pa (A/x - B) - C",
        "p_c = Y_pa (F/x - G)",
        "p_c = 46.95e6 psi / [x (x - 1)^2]",
    ]
)


def _stress_lines(tube: Tube, loading: Loading, stress: Array) -> tuple[Line, ...]:
    return (
        *tube_lines(tube),
        Line(symbol="F_a", meaning="true axial force", value=loading.axial_force, dimension=FORCE),
        Line(
            symbol="s_a",
            meaning="axial stress, without bending",
            value=stress,
            dimension=STRESS,
            formula="s_a = F_a / A",
        ),
        *pressure_lines(loading),
    )


def _regime_lines(tube: Tube, loading: Loading, stress: Array, w: CollapseWorking, reduced: str) -> list[Line]:
    table: list[tuple[str, str, Array, Dimension, Array | str]] = [
        ("x", "slenderness", w.slenderness, FRACTION, "x = D / t"),
        (
            "Y_pa",
            "yield strength left for collapse",
            w.equivalent_yield,
            STRESS,
            f"Y_pa = Y [sqrt(1 - 0.75 r^2) - 0.5 r], r = {reduced}, not below 0",
        ),
        ("A", "plastic factor at Y_pa", w.factors.A, FRACTION, ""),
        ("B", "plastic factor at Y_pa", w.factors.B, FRACTION, ""),
        ("C", "plastic factor at Y_pa", w.factors.C, PRESSURE, ""),
        ("F", "transition factor at Y_pa", w.factors.F, FRACTION, ""),
        ("G", "transition factor at Y_pa", w.factors.G, FRACTION, ""),
        ("x_YP", "border of yield and plastic collapse", w.limits.yield_plastic, FRACTION, ""),
        ("x_PT", "border of plastic and transition", w.limits.plastic_transition, FRACTION, ""),
        ("x_TE", "border of transition and elastic", w.limits.transition_elastic, FRACTION, ""),
        ("regime", "regime of collapse", _NAMES[w.regime], FRACTION, ""),
        ("p_c", "collapse rating", w.rating, PRESSURE, _FORMULAS[w.regime]),
    ]
    lines = [Line(symbol=s, meaning=m, value=v, dimension=d, formula=f) for s, m, v, d, f in table]
    return [*_stress_lines(tube, loading, stress), *lines]


_FITTED = (54.9e3 * PSI, 110.1e3 * PSI)  # J55 to P110, the pipe of the regression
_TABLED = (6.0, 50.0)  # slenderness of the pipe in rating tables (value from memory)


def _regime_cautions(tube: Tube, w: CollapseWorking) -> tuple[Caution, ...]:
    specified, x = np.asarray(tube.specified_yield), w.slenderness
    doubts = (
        (
            "equivalent yield below 24,000 psi, which the standard does not support: rating scaled down in proportion",
            w.below_supported_yield,
        ),
        (
            "the collapse factors were fitted to pipe of J55 to P110; this yield is outside",
            (specified < _FITTED[0]) | (specified > _FITTED[1]),
        ),
        ("D/t is outside that of the casing in rating tables, 6 to 50", (x < _TABLED[0]) | (x > _TABLED[1])),
    )
    return tuple(Caution(text=text, where=where) for text, where in doubts if np.any(where))


def _difference(loading: Loading) -> Line:
    demand = loading.external_pressure - loading.internal_pressure
    return Line(symbol="dp", meaning="collapse load", value=demand, dimension=PRESSURE, formula="dp = p_o - p_i")


@strength_model(mode="collapse", source=f"{_TR} clause 8 with the 2015 addendum")
def four_regime(tube: Tube, loading: Loading) -> Check:
    """Historical collapse in its current form: axial stress and inside pressure reduce the yield."""
    stress = loading.axial_force / tube.steel_area
    w = collapse_working(
        tube.left_diameter,
        tube.left_wall,
        tube.yield_strength,
        stress,
        loading.internal_pressure,
        tube.modulus_factor,
    )
    asked = _difference(loading)
    return Check(
        demand=asked.value,
        capacity=w.rating,
        loaded=asked.value > SMALL_PRESSURE,
        dimension=PRESSURE,
        working=(*_regime_lines(tube, loading, stress, w, "(s_a + p_i) / Y"), asked),
        cautions=_regime_cautions(tube, w),
    )


@strength_model(mode="collapse", source=f"{_TR} clause 8 before 2015; no load where the inside prevails")
def four_regime_equivalent_pressure(tube: Tube, loading: Loading) -> Check:
    """Historical collapse in its older form: an equivalent outside pressure, a rating without inside pressure."""
    stress = loading.axial_force / tube.steel_area
    w = collapse_working(
        tube.left_diameter, tube.left_wall, tube.yield_strength, stress, modulus_factor=tube.modulus_factor
    )
    demand = equivalent_external_pressure(
        tube.left_diameter, tube.left_wall, loading.external_pressure, loading.internal_pressure
    )
    asked = Line(
        symbol="p_e",
        meaning="equivalent outside pressure",
        value=demand,
        dimension=PRESSURE,
        formula="p_e = p_o - (1 - 2 t/D) p_i",
    )
    outside_prevails = loading.external_pressure - loading.internal_pressure > SMALL_PRESSURE
    return Check(
        demand=demand,
        capacity=w.rating,
        loaded=outside_prevails & (demand > SMALL_PRESSURE),
        dimension=PRESSURE,
        working=(*_regime_lines(tube, loading, stress, w, "s_a / Y"), asked),
        cautions=_regime_cautions(tube, w),
    )


def _klever_tamano(tube: Tube, loading: Loading, stress: Array, w: UltimateCollapseWorking) -> Check:
    shape = w.rating
    table: list[tuple[str, str, Array, Dimension, str]] = [
        ("x", "slenderness", w.slenderness, FRACTION, "x = D / t"),
        ("Y_pa", "yield left, by (s_a + p_i)/Y: our substitution", w.equivalent_yield, STRESS, ""),
        ("k_e", "elastic factor", w.elastic_factor + np.zeros_like(shape), FRACTION, ""),
        ("k_y", "yield factor", w.yield_factor + np.zeros_like(shape), FRACTION, ""),
        ("p_e", "elastic collapse", w.elastic_pressure, PRESSURE, "p_e = k_e 2 E / [(1 - nu^2) x (x - 1)^2]"),
        ("p_y", "yield collapse", w.yield_pressure, PRESSURE, "p_y = k_y 2 Y_pa/x [1 + 1/(2 x)]"),
        ("H", "decrement", w.decrement + np.zeros_like(shape), FRACTION, ""),
        ("p_c", "collapse rating", w.rating, PRESSURE, "(p_e - p)(p_y - p) = H p^2"),
    ]
    lines = [Line(symbol=s, meaning=m, value=v, dimension=d, formula=f) for s, m, v, d, f in table]
    asked = _difference(loading)
    return Check(
        demand=asked.value,
        capacity=w.rating,
        loaded=asked.value > SMALL_PRESSURE,
        dimension=PRESSURE,
        working=(*_stress_lines(tube, loading, stress), *lines, asked),
    )


@strength_model(mode="collapse", source=f"{_TR} Annex F (informative), Klever and Tamano, SPE 102403; from memory")
def ultimate(
    tube: Tube,
    loading: Loading,
    *,
    ovality: Percent,
    eccentricity: Percent,
    residual_stress: Stress,
    curve_term: float,
) -> Check:
    """Ultimate collapse strength of pipe as measured: diameter, wall and yield of the file stand for actual averages.

    An ultimate, without margin for scatter. Coefficients are from memory; those in real doubt have no default.

    Parameters
    ----------
    ovality : Percent
        Greatest less least over average outside diameter.
    eccentricity : Percent
        Greatest less least over average wall.
    residual_stress : Stress
        At the bore, negative in compression (which lowers the rating).
    curve_term : float
        0.017 for a rounded stress-strain curve (cold straightened), 0 for a sharp knee: low confidence, from memory.
    """
    stress = loading.axial_force / tube.steel_area
    w = ultimate_collapse_working(
        tube.left_diameter,
        tube.left_wall,
        tube.yield_strength,
        stress,
        loading.internal_pressure,
        ovality=100.0 * ovality,
        eccentricity=100.0 * eccentricity,
        residual_stress=residual_stress,
        curve_term=curve_term,
        modulus=STEEL_MODULUS * np.asarray(tube.modulus_factor),
    )
    return _klever_tamano(tube, loading, stress, w)


@strength_model(mode="collapse", source=f"{_TR} Annex F (informative), Klever and Tamano, SPE 102403; from memory")
def ultimate_design(
    tube: Tube, loading: Loading, *, elastic_factor: float, yield_factor: float, decrement: float
) -> Check:
    """Design form of the ultimate collapse strength, on nominal dimensions and minimum yield.

    Its constants are remembered in two versions that disagree: none is a default, take them from the standard.

    Parameters
    ----------
    elastic_factor : float
        On elastic collapse (0.825 from memory).
    yield_factor : float
        On yield collapse, by grade and straightening (about 0.83 to 0.91 from memory, low confidence).
    decrement : float
        H (0.164 or 0.22 cold, 0.104 or 0.20 hot straightened: unresolved, low confidence).
    """
    stress = loading.axial_force / tube.steel_area
    w = design_collapse_working(
        tube.left_diameter,
        tube.left_wall,
        tube.yield_strength,
        stress,
        loading.internal_pressure,
        elastic_factor=elastic_factor,
        yield_factor=yield_factor,
        decrement=decrement,
        modulus=STEEL_MODULUS * np.asarray(tube.modulus_factor),
    )
    return _klever_tamano(tube, loading, stress, w)


MODELS: tuple[StrengthModel, ...] = (four_regime, four_regime_equivalent_pressure, ultimate, ultimate_design)
