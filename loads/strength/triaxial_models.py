"""Triaxial: the von Mises stress at both walls and on both sides of the bend, against yield."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..constants import STEEL_MODULUS
from ..parameters import Length, Torque
from ..units import FORCE, FRACTION, STRESS, Dimension
from .bending import lubinski_factor
from .check import SMALL_STRESS, Check, Line, Loading, Tube
from .geometry import bore_area, outer_area, second_moment, steel_area
from .lines import pressure_lines, tube_lines
from .model import StrengthModel, strength_model
from .triaxial import TRIAXIAL_POINTS, triaxial_stress


@strength_model(mode="triaxial", source="API TR 5C3 (ISO/TR 10400) clause 6 and Annex A, triaxial yield")
def von_mises(tube: Tube, loading: Loading, *, joint_length: Length | None = None, torque: Torque = "0 N*m") -> Check:
    """Equivalent stress at the most stressed point of the wall.

    Parameters
    ----------
    joint_length : Length
        If given, only the couplings touch the hole: the bending of the path is multiplied by its local peak (Lubinski).
        If left out, the pipe follows the path all along.
    torque : Torque
        All along the string.
    """
    wall_factor = tube.left_wall_factor if loading.triaxial_wall == "minimum" else np.ones_like(tube.wall)
    # a groove leaves the area that carries the force: the same stress as that of the force on the whole area
    area = steel_area(tube.left_diameter, tube.left_wall)
    peak = np.ones_like(tube.wall) if joint_length is None else _peak(tube, loading, joint_length)
    bending = loading.bending_stress * peak
    s = triaxial_stress(
        tube.left_diameter,
        tube.left_wall,
        loading.internal_pressure,
        loading.external_pressure,
        loading.axial_force * (area / tube.steel_area),
        bending,
        torque,
        wall_factor=wall_factor,
    )

    def there(stress: Array) -> Array:
        return np.take_along_axis(stress, s.governing[np.newaxis], axis=0)[0]

    table: list[tuple[str, str, Array, Dimension, str]] = [
        ("F_a", "true axial force", loading.axial_force, FORCE, ""),
        ("k_b", "local peak of bending between couplings", peak, FRACTION, "K L / tanh K L; 1 where the pipe follows"),
        ("s_b", "bending stress, outer fibre", bending, STRESS, "s_b = k_b E D/2 x curvature"),
        ("tau", "shear stress there", there(s.shear), STRESS, "torque x radius / polar moment"),
        ("place", "most stressed point", np.array(TRIAXIAL_POINTS)[s.governing], FRACTION, ""),
        ("s_r", "radial stress there", there(s.radial), STRESS, "Lame, wall k t"),
        ("s_h", "hoop stress there", there(s.hoop), STRESS, "Lame, wall k t"),
        ("s_z", "axial stress there", there(s.axial), STRESS, "s_z = F_a / A +- s_b (less at the bore by d/D)"),
        (
            "s_e",
            "equivalent stress",
            s.greatest,
            STRESS,
            "s_e^2 = [(s_r - s_h)^2 + (s_h - s_z)^2 + (s_z - s_r)^2] / 2 + 3 tau^2",
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


def _peak(tube: Tube, loading: Loading, joint_length: float) -> Array:
    """Return the local peak of bending, by the effective force."""
    effective = (
        loading.axial_force
        - loading.internal_pressure * bore_area(tube.outside_diameter, tube.wall)
        + loading.external_pressure * outer_area(tube.outside_diameter)
    )
    inertia = second_moment(tube.outside_diameter, tube.wall)
    return lubinski_factor(effective, inertia, joint_length, STEEL_MODULUS * np.asarray(tube.modulus_factor))


MODELS: tuple[StrengthModel, ...] = (von_mises,)
