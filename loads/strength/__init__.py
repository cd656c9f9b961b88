"""Strength of casing: formula functions on numbers and arrays, which know no well."""

from .axial_yield import axial_yield_force
from .bending import bending_stress, lubinski_factor
from .burst import internal_yield_pressure, thick_wall_yield_pressure
from .buttress import (
    ButtressJointWorking,
    buttress_fracture_force,
    buttress_joint_strength,
    buttress_joint_working,
)
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
from .coupling import (
    JointFailure,
    coupling_area,
    coupling_fracture_force,
    coupling_root_diameter,
)
from .coupling_pressure import (
    CouplingPressureWorking,
    coupling_pressure_rating,
    coupling_pressure_working,
    coupling_yield_pressure,
    leak_resistance,
)
from .geometry import API_STEEL_DENSITY, bore_area, outer_area, plain_end_mass, second_moment, steel_area
from .round_joint import RoundJointWorking, round_joint_strength, round_joint_working
from .round_thread import round_bent_fracture_force, round_fracture_force, round_pull_out_force, round_thread_area
from .rupture import RuptureWorking, hardening_index, rupture_pressure, rupture_working
from .rupture_combined import CombinedRuptureWorking, rupture_pressure_combined, rupture_working_combined
from .triaxial import TRIAXIAL_POINTS, TriaxialStress, lame_stresses, triaxial_stress, von_mises
from .ultimate_collapse import (
    UltimateCollapseWorking,
    collapse_decrement,
    collapse_interaction,
    design_collapse_working,
    elastic_buckling_pressure,
    through_wall_yield_pressure,
    ultimate_collapse_working,
)

__all__ = [
    "API_STEEL_DENSITY",
    "GREATEST_SUPPORTED_YIELD",
    "LEAST_SUPPORTED_YIELD",
    "TRIAXIAL_POINTS",
    "ButtressJointWorking",
    "CollapseFactors",
    "CollapseLimits",
    "CollapseRegime",
    "CollapseWorking",
    "CombinedRuptureWorking",
    "CouplingPressureWorking",
    "JointFailure",
    "RoundJointWorking",
    "RuptureWorking",
    "TriaxialStress",
    "UltimateCollapseWorking",
    "axial_yield_force",
    "bending_stress",
    "bore_area",
    "buttress_fracture_force",
    "buttress_joint_strength",
    "buttress_joint_working",
    "collapse_decrement",
    "collapse_factors",
    "collapse_interaction",
    "collapse_limits",
    "collapse_pressure",
    "collapse_regime",
    "collapse_working",
    "coupling_area",
    "coupling_fracture_force",
    "coupling_pressure_rating",
    "coupling_pressure_working",
    "coupling_root_diameter",
    "coupling_yield_pressure",
    "design_collapse_working",
    "elastic_buckling_pressure",
    "elastic_collapse",
    "equivalent_external_pressure",
    "equivalent_yield",
    "hardening_index",
    "internal_yield_pressure",
    "lame_stresses",
    "leak_resistance",
    "lubinski_factor",
    "outer_area",
    "plain_end_mass",
    "plastic_collapse",
    "round_bent_fracture_force",
    "round_fracture_force",
    "round_joint_strength",
    "round_joint_working",
    "round_pull_out_force",
    "round_thread_area",
    "rupture_pressure",
    "rupture_pressure_combined",
    "rupture_working",
    "rupture_working_combined",
    "second_moment",
    "steel_area",
    "thick_wall_yield_pressure",
    "through_wall_yield_pressure",
    "transition_collapse",
    "triaxial_stress",
    "ultimate_collapse_working",
    "von_mises",
    "yield_collapse",
]
