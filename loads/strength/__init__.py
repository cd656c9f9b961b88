"""Strength of casing: formula functions on numbers and arrays, which know no well."""

from .axial_yield import axial_yield_force
from .bending import bending_stress, lubinski_factor
from .burst import internal_yield_pressure, thick_wall_yield_pressure
from .collapse import (
    CollapseWorking,
    collapse_pressure,
    collapse_regime,
    collapse_working,
    equivalent_external_pressure,
    equivalent_yield,
)
from .collapse_regimes import (
    GREATEST_SUPPORTED_YIELD,
    LEAST_SUPPORTED_YIELD,
    CollapseFactors,
    CollapseLimits,
    CollapseRegime,
    collapse_factors,
    collapse_limits,
    elastic_collapse,
    plastic_collapse,
    transition_collapse,
    yield_collapse,
)
from .geometry import API_STEEL_DENSITY, bore_area, outer_area, plain_end_mass, second_moment, steel_area
from .triaxial import TRIAXIAL_POINTS, TriaxialStress, lame_stresses, triaxial_stress, von_mises

__all__ = [
    "API_STEEL_DENSITY",
    "GREATEST_SUPPORTED_YIELD",
    "LEAST_SUPPORTED_YIELD",
    "TRIAXIAL_POINTS",
    "CollapseFactors",
    "CollapseLimits",
    "CollapseRegime",
    "CollapseWorking",
    "TriaxialStress",
    "axial_yield_force",
    "bending_stress",
    "bore_area",
    "collapse_factors",
    "collapse_limits",
    "collapse_pressure",
    "collapse_regime",
    "collapse_working",
    "elastic_collapse",
    "equivalent_external_pressure",
    "equivalent_yield",
    "internal_yield_pressure",
    "lame_stresses",
    "lubinski_factor",
    "outer_area",
    "plain_end_mass",
    "plastic_collapse",
    "second_moment",
    "steel_area",
    "thick_wall_yield_pressure",
    "transition_collapse",
    "triaxial_stress",
    "von_mises",
    "yield_collapse",
]
