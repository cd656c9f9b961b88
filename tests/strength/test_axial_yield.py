from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads import strength


@given(st.floats(0.05, 1.0), st.floats(0.005, 0.49), st.floats(1e8, 1.2e9))
def test_force_over_area_is_the_yield_strength(od: float, fraction: float, yield_strength: float) -> None:
    wall = fraction * od
    force = strength.axial_yield_force(od, wall, yield_strength)
    stress = strength.triaxial_stress(od, wall, 0.0, 0.0, force).greatest  # the wall factor must not touch it
    assert float(stress) == pytest.approx(yield_strength, rel=1e-12)


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    walls, yields = np.array([0.01, 0.02]), np.full((4, 3, 1), 5e8)
    forces = strength.axial_yield_force(0.2, walls, yields)
    assert forces.shape == (4, 3, 2)
    assert forces[3, 2, 1] == strength.axial_yield_force(0.2, 0.02, 5e8)


@pytest.mark.parametrize("bad", [0.0, -5e8, float("nan")])
def test_a_yield_strength_is_positive(bad: float) -> None:
    with pytest.raises(ValueError, match=r"yield_strength = .* Pa: need a finite number above 0 Pa"):
        strength.axial_yield_force(0.2, 0.01, bad)
