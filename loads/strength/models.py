"""The built-in strength models of the pipe body: formulas made into checks.

They register through the same hook as a stranger's model.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pluggy

from ..arrays import Array
from ..units import DIAMETER, FORCE, PRESSURE, STRESS
from .axial_yield import axial_yield_force
from .burst import End, internal_yield_pressure, thick_wall_yield_pressure
from .check import (
    SMALL_FORCE,
    SMALL_PRESSURE,
    SMALL_STRESS,
    Caution,
    Check,
    Line,
    Loading,
    Mode,
    StrengthModel,
    Tube,
)
from .collapse import CollapseRegime, CollapseWorking, collapse_working, equivalent_external_pressure
from .geometry import steel_area
from .triaxial import TRIAXIAL_POINTS, triaxial_stress

DEFAULT_MODELS: dict[str, str] = {
    "burst": "internal-yield",
    "collapse": "four-regime",
    "tension": "axial-yield",
    "compression": "axial-yield",
    "triaxial": "von-mises",
}


@dataclass(frozen=True, kw_only=True)
class BuiltIn:
    """A strength model made of a function."""

    mode: Mode
    name: str
    source: str
    function: Callable[[Tube, Loading], Check]

    def check(self, tube: Tube, loading: Loading) -> Check:
        """Return the check at each place."""
        return self.function(tube, loading)


def _tube_lines(tube: Tube) -> tuple[Line, ...]:
    return (
        Line(symbol="D", meaning="outside diameter", value=tube.outside_diameter, dimension=DIAMETER),
        Line(symbol="t", meaning="nominal wall", value=tube.wall, dimension=DIAMETER),
        Line(symbol="Y", meaning="minimum yield strength", value=tube.yield_strength, dimension=STRESS),
    )


def _pressure_lines(loading: Loading) -> tuple[Line, ...]:
    return (
        Line(symbol="p_i", meaning="inside pressure", value=loading.internal_pressure, dimension=PRESSURE),
        Line(symbol="p_o", meaning="outside pressure", value=loading.external_pressure, dimension=PRESSURE),
    )


def _burst(tube: Tube, loading: Loading, rating: Array, symbol: str, meaning: str, formula: str) -> Check:
    demand = loading.internal_pressure - loading.external_pressure
    tolerance = Line(symbol="k", meaning="minimum wall over nominal wall", value=tube.wall_factor)
    answer = Line(symbol=symbol, meaning=meaning, value=rating, dimension=PRESSURE, formula=formula)
    asked = Line(symbol="dp", meaning="burst load", value=demand, dimension=PRESSURE, formula="dp = p_i - p_o")
    return Check(
        demand=demand,
        capacity=rating,
        loaded=demand > SMALL_PRESSURE,
        dimension=PRESSURE,
        working=(*_tube_lines(tube), tolerance, answer, *_pressure_lines(loading), asked),
    )


def _internal_yield(tube: Tube, loading: Loading) -> Check:
    rating = internal_yield_pressure(tube.outside_diameter, tube.wall, tube.yield_strength, tube.wall_factor)
    return _burst(tube, loading, rating, "p_yi", "minimum internal yield pressure", "p_yi = 2 k t Y / D")


def _thick_wall(end: End) -> Callable[[Tube, Loading], Check]:
    formulas = {
        "open": "p_iy = Y (D^2 - w^2) / sqrt(3 D^4 + w^4)",
        "capped": "p_iy = Y / sqrt[(3 D^4 + w^4)/(D^2 - w^2)^2 + d^4/(D^2 - d^2)^2 - 2 d^2 w^2/((D^2 - d^2)(D^2 - w^2))]",
        "fixed": "von Mises at the bore = Y with axial stress 2 nu p w^2/(D^2 - w^2)",
    }

    def check(tube: Tube, loading: Loading) -> Check:
        rating = thick_wall_yield_pressure(tube.outside_diameter, tube.wall, tube.yield_strength, tube.wall_factor, end)
        words = f"initial yield pressure at the bore, {end} ends; d = D - 2 t, w = D - 2 k t"
        return _burst(tube, loading, rating, "p_iy", words, formulas[end])

    return check


def _collapse_lines(tube: Tube, loading: Loading, stress: Array, w: CollapseWorking, reduced: str) -> tuple[Line, ...]:
    names = np.array([regime.name.lower() for regime in CollapseRegime])
    formulas = np.array(
        [
            "p_c = 2 Y_pa (x - 1) / x^2",
            "p_c = Y_pa (A/x - B) - C",
            "p_c = Y_pa (F/x - G)",
            "p_c = 46.95e6 psi / [x (x - 1)^2]",
        ]
    )
    return (
        *_tube_lines(tube),
        Line(symbol="x", meaning="slenderness", value=w.slenderness, formula="x = D / t"),
        Line(symbol="F_a", meaning="true axial force", value=loading.axial_force, dimension=FORCE),
        Line(
            symbol="s_a",
            meaning="axial stress, nominal area, without bending",
            value=stress,
            dimension=STRESS,
            formula="s_a = F_a / A",
        ),
        *_pressure_lines(loading),
        Line(
            symbol="Y_pa",
            meaning="yield strength left for collapse",
            value=w.equivalent_yield,
            dimension=STRESS,
            formula=f"Y_pa = Y [sqrt(1 - 0.75 r^2) - 0.5 r], r = {reduced}, not below 0",
        ),
        Line(symbol="A", meaning="plastic factor at Y_pa", value=w.factors.A),
        Line(symbol="B", meaning="plastic factor at Y_pa", value=w.factors.B),
        Line(symbol="C", meaning="plastic factor at Y_pa", value=w.factors.C, dimension=PRESSURE),
        Line(symbol="F", meaning="transition factor at Y_pa", value=w.factors.F),
        Line(symbol="G", meaning="transition factor at Y_pa", value=w.factors.G),
        Line(symbol="x_YP", meaning="border of yield and plastic collapse", value=w.limits.yield_plastic),
        Line(symbol="x_PT", meaning="border of plastic and transition", value=w.limits.plastic_transition),
        Line(symbol="x_TE", meaning="border of transition and elastic", value=w.limits.transition_elastic),
        Line(symbol="regime", meaning="regime of collapse", value=names[w.regime]),
        Line(
            symbol="p_c",
            meaning="collapse rating",
            value=w.rating,
            dimension=PRESSURE,
            formula=formulas[w.regime],  # one formula a place
        ),
    )


def _collapse_cautions(w: CollapseWorking) -> tuple[Caution, ...]:
    text = "equivalent yield below 24,000 psi, which the standard does not support: rating scaled down in proportion"
    return (Caution(text=text, where=w.below_supported_yield),) if np.any(w.below_supported_yield) else ()


def _four_regime(tube: Tube, loading: Loading) -> Check:
    stress = loading.axial_force / steel_area(tube.outside_diameter, tube.wall)
    w = collapse_working(tube.outside_diameter, tube.wall, tube.yield_strength, stress, loading.internal_pressure)
    demand = loading.external_pressure - loading.internal_pressure
    asked = Line(symbol="dp", meaning="collapse load", value=demand, dimension=PRESSURE, formula="dp = p_o - p_i")
    return Check(
        demand=demand,
        capacity=w.rating,
        loaded=demand > SMALL_PRESSURE,
        dimension=PRESSURE,
        working=(*_collapse_lines(tube, loading, stress, w, "(s_a + p_i) / Y"), asked),
        cautions=_collapse_cautions(w),
    )


def _four_regime_older(tube: Tube, loading: Loading) -> Check:
    stress = loading.axial_force / steel_area(tube.outside_diameter, tube.wall)
    w = collapse_working(tube.outside_diameter, tube.wall, tube.yield_strength, stress)
    demand = equivalent_external_pressure(
        tube.outside_diameter, tube.wall, loading.external_pressure, loading.internal_pressure
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
        working=(*_collapse_lines(tube, loading, stress, w, "s_a / Y"), asked),
        cautions=_collapse_cautions(w),
    )


def _axial(sign: float, *, with_bending: bool) -> Callable[[Tube, Loading], Check]:
    word = "tension" if sign > 0 else "compression"

    def check(tube: Tube, loading: Loading) -> Check:
        area = steel_area(tube.outside_diameter, tube.wall)
        rating = axial_yield_force(tube.outside_diameter, tube.wall, tube.yield_strength)
        force = sign * loading.axial_force
        formula = "F = F_a" if sign > 0 else "F = -F_a"
        lines = [
            *_tube_lines(tube),
            Line(
                symbol="F_y",
                meaning="axial yield, nominal area",
                value=rating,
                dimension=FORCE,
                formula="F_y = A Y",
            ),
            Line(symbol="F_a", meaning="true axial force", value=loading.axial_force, dimension=FORCE),
        ]
        demand = force
        if with_bending:
            demand = force + loading.bending_stress * area
            formula += " + A s_b"
            lines.append(Line(symbol="s_b", meaning="bending stress", value=loading.bending_stress, dimension=STRESS))
        lines.append(Line(symbol="F", meaning=word, value=demand, dimension=FORCE, formula=formula))
        return Check(
            demand=demand,
            capacity=rating,
            loaded=demand > SMALL_FORCE,
            dimension=FORCE,
            working=tuple(lines),
        )

    return check


def _von_mises(tube: Tube, loading: Loading) -> Check:
    factor = tube.wall_factor if loading.triaxial_wall == "minimum" else np.ones_like(tube.wall)
    s = triaxial_stress(
        tube.outside_diameter,
        tube.wall,
        loading.internal_pressure,
        loading.external_pressure,
        loading.axial_force,
        loading.bending_stress,
        wall_factor=factor,
    )

    def there(stress: Array) -> Array:
        return np.take_along_axis(stress, s.governing[np.newaxis], axis=0)[0]

    lines = (
        *_tube_lines(tube),
        Line(symbol="k", meaning="wall of the pressure stresses over nominal wall", value=factor),
        *_pressure_lines(loading),
        Line(symbol="F_a", meaning="true axial force", value=loading.axial_force, dimension=FORCE),
        Line(
            symbol="s_b",
            meaning="bending stress, outer fibre",
            value=loading.bending_stress,
            dimension=STRESS,
        ),
        Line(symbol="place", meaning="most stressed point", value=np.array(TRIAXIAL_POINTS)[s.governing]),
        Line(
            symbol="s_r",
            meaning="radial stress there",
            value=there(s.radial),
            dimension=STRESS,
            formula="Lame, wall k t",
        ),
        Line(
            symbol="s_h",
            meaning="hoop stress there",
            value=there(s.hoop),
            dimension=STRESS,
            formula="Lame, wall k t",
        ),
        Line(
            symbol="s_z",
            meaning="axial stress there, nominal area",
            value=there(s.axial),
            dimension=STRESS,
            formula="s_z = F_a / A +- s_b (less at the bore by d/D)",
        ),
        Line(
            symbol="s_e",
            meaning="equivalent stress",
            value=s.greatest,
            dimension=STRESS,
            formula="s_e^2 = [(s_r - s_h)^2 + (s_h - s_z)^2 + (s_z - s_r)^2] / 2",
        ),
    )
    return Check(
        demand=s.greatest,
        capacity=tube.yield_strength,
        loaded=s.greatest > SMALL_STRESS,
        dimension=STRESS,
        working=lines,
    )


_TR = "API TR 5C3 (ISO/TR 10400)"
_ENDS: dict[End, str] = {
    "open": f"{_TR} clause 6, initial yield, open ends",
    "capped": f"{_TR} clause 6, initial yield, capped ends",
    "fixed": "Lame and von Mises in plane strain (textbook; not in the standard)",
}
_SIGNS: dict[Mode, float] = {"tension": 1.0, "compression": -1.0}
_MODELS: tuple[StrengthModel, ...] = (
    BuiltIn(
        mode="burst",
        name="internal-yield",
        source=f"{_TR} historical minimum internal yield (Barlow)",
        function=_internal_yield,
    ),
    *(
        BuiltIn(mode="burst", name=f"thick-wall-{end}", source=source, function=_thick_wall(end))
        for end, source in _ENDS.items()
    ),
    BuiltIn(
        mode="collapse",
        name="four-regime",
        source=f"{_TR} clause 8 with the 2015 addendum",
        function=_four_regime,
    ),
    BuiltIn(
        mode="collapse",
        name="four-regime-equivalent-pressure",
        source=f"{_TR} clause 8 before 2015; no load where the inside prevails",
        function=_four_regime_older,
    ),
    *(
        BuiltIn(
            mode=mode,
            name=name,
            source=f"{_TR} clause 6, pipe-body axial yield" + (" plus dogleg bending" if with_bending else ""),
            function=_axial(sign, with_bending=with_bending),
        )
        for mode, sign in _SIGNS.items()
        for name, with_bending in (("axial-yield", False), ("axial-yield-with-bending", True))
    ),
    BuiltIn(
        mode="triaxial",
        name="von-mises",
        source=f"{_TR} clause 6 and Annex A, triaxial yield",
        function=_von_mises,
    ),
)


@pluggy.HookimplMarker("casingloads")
def casingloads_strength_models() -> Sequence[StrengthModel]:
    """Offer the built-in models."""
    return _MODELS
