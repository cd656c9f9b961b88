"""Triaxial: the von Mises stress at both walls and on both sides of the bend, against yield."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..units import FORCE, FRACTION, STRESS, Dimension
from .check import SMALL_STRESS, Check, Line, Loading, Tube
from .geometry import steel_area
from .lines import pressure_lines, tube_lines
from .model import StrengthModel, strength_model
from .triaxial import TRIAXIAL_POINTS, triaxial_stress


@strength_model(mode="triaxial", source="API TR 5C3 (ISO/TR 10400) clause 6 and Annex A, triaxial yield")
def von_mises(tube: Tube, loading: Loading) -> Check:
    """Equivalent stress at the most stressed point of the wall."""
    wall_factor = tube.left_wall_factor if loading.triaxial_wall == "minimum" else np.ones_like(tube.wall)
    # a groove leaves the area that carries the force: the same stress as that of the force on the whole area
    area = steel_area(tube.left_diameter, tube.left_wall)
    s = triaxial_stress(
        tube.left_diameter,
        tube.left_wall,
        loading.internal_pressure,
        loading.external_pressure,
        loading.axial_force * (area / tube.steel_area),
        loading.bending_stress,
        wall_factor=wall_factor,
    )

    def there(stress: Array) -> Array:
        return np.take_along_axis(stress, s.governing[np.newaxis], axis=0)[0]

    table: list[tuple[str, str, Array, Dimension, str]] = [
        ("F_a", "true axial force", loading.axial_force, FORCE, ""),
        ("s_b", "bending stress, outer fibre", loading.bending_stress, STRESS, ""),
        ("place", "most stressed point", np.array(TRIAXIAL_POINTS)[s.governing], FRACTION, ""),
        ("s_r", "radial stress there", there(s.radial), STRESS, "Lame, wall k t"),
        ("s_h", "hoop stress there", there(s.hoop), STRESS, "Lame, wall k t"),
        ("s_z", "axial stress there", there(s.axial), STRESS, "s_z = F_a / A +- s_b (less at the bore by d/D)"),
        (
            "s_e",
            "equivalent stress",
            s.greatest,
            STRESS,
            "s_e^2 = [(s_r - s_h)^2 + (s_h - s_z)^2 + (s_z - s_r)^2] / 2",
        ),
    ]
    lines = [Line(symbol=sy, meaning=m, value=v, dimension=d, formula=f) for sy, m, v, d, f in table]
    wall = Line(symbol="k", meaning="wall of the pressure stresses over nominal wall", value=wall_factor)
    return Check(
        demand=s.greatest,
        capacity=tube.yield_strength,
        loaded=s.greatest > SMALL_STRESS,
        dimension=STRESS,
        working=(*tube_lines(tube), wall, *pressure_lines(loading), *lines),
    )


MODELS: tuple[StrengthModel, ...] = (von_mises,)
