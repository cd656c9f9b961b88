from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from casingloads import strength

E = 207e9
OD, WALL = 0.2445, 0.012
INERTIA = float(strength.second_moment(OD, WALL))


def test_strain_is_radius_over_radius() -> None:
    stress = strength.bending_stress(0.2, 1.0 / 500.0, E)  # bent to a radius of 500 m
    assert float(stress) == pytest.approx(E * 0.1 / 500.0)
    assert float(strength.bending_stress(0.2, 0.0, E)) == 0.0


def test_a_degree_per_30_m_is_not_one_per_100_ft() -> None:
    per_30_m, per_100_ft = math.radians(1.0) / 30.0, math.radians(1.0) / 30.48
    ratio = strength.bending_stress(OD, per_30_m, E) / strength.bending_stress(OD, per_100_ft, E)
    assert float(ratio) == pytest.approx(1.016)


def peak_of_the_beam(force: float, half: float) -> float:
    """Return the greatest curvature between couplings in a hole of curvature 1, by the beam equation.

    EI y'''' = F y'': state (slope, curvature, its derivative) from mid-joint, where the slope is 0 by
    symmetry, to the coupling, which lies along the hole.
    """
    stiffness = force / (E * INERTIA)

    def beam(_: Any, state: Any) -> Any:
        return np.vstack([state[1], state[2], stiffness * state[1]])

    def ends(middle: Any, coupling: Any) -> Any:
        return np.array([middle[0], middle[2], coupling[0] - half])

    x = np.linspace(0.0, half, 51)
    solution = solve_bvp(beam, ends, x, np.ones((3, x.size)), tol=1e-8, max_nodes=20_000)
    assert solution.success
    return float(solution.y[1].max())


@pytest.mark.parametrize("force", [1e3, 2e5, 1e6, 3e6])
@pytest.mark.parametrize("joint", [9.0, 12.5])
def test_lubinski_factor_solves_the_beam_equation(force: float, joint: float) -> None:
    ours = float(strength.lubinski_factor(force, INERTIA, joint, E))
    assert ours == pytest.approx(peak_of_the_beam(force, joint / 2.0), rel=1e-6)


@given(st.floats(0.0, 1e7), st.floats(0.0, 1e6), st.floats(5.0, 15.0))
def test_lubinski_factor_grows_with_tension_from_one(force: float, more: float, joint: float) -> None:
    factor = float(strength.lubinski_factor(force, INERTIA, joint, E))
    assert factor >= 1.0
    assert float(strength.lubinski_factor(force + more, INERTIA, joint, E)) >= factor * (1.0 - 1e-12)


@given(st.floats(0.0, 0.99), st.floats(5.0, 15.0))
def test_lubinski_factor_grows_with_compression_up_to_the_euler_load(share: float, joint: float) -> None:
    euler = np.pi**2 * E * INERTIA / (joint / 2.0) ** 2
    factor = float(strength.lubinski_factor(-share * euler, INERTIA, joint, E))
    assert factor >= 1.0
    assert factor >= float(strength.lubinski_factor(-0.5 * share * euler, INERTIA, joint, E)) * (1.0 - 1e-12)
    with pytest.raises(ValueError, match="buckles"):
        strength.lubinski_factor(-1.01 * euler, INERTIA, joint, E)


def test_lubinski_factor_in_its_limits() -> None:
    assert float(strength.lubinski_factor(1e-3, INERTIA, 12.0, E)) == pytest.approx(1.0, abs=1e-9)
    rope = math.sqrt(1e8 / (E * INERTIA)) * 6.0  # tanh is 1: KL
    assert float(strength.lubinski_factor(1e8, INERTIA, 12.0, E)) == pytest.approx(rope, rel=1e-9)


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    force = np.array([[-1e6, 0.0, 1e6]])
    factors = strength.lubinski_factor(force, INERTIA, np.array([[[9.0]], [[12.0]]]), E)
    assert factors.shape == (2, 1, 3)
    assert factors[1, 0, 2] == strength.lubinski_factor(1e6, INERTIA, 12.0, E)
    stresses = strength.bending_stress(np.array([[0.2], [0.3]]), np.array([0.0, 1e-3, 2e-3]), E)
    assert stresses.shape == (2, 3)
    assert stresses[1, 2] == strength.bending_stress(0.3, 2e-3, E)


def test_bad_arguments_are_refused() -> None:
    with pytest.raises(ValueError, match=r"curvature = -0.001 rad/m: need a finite number of at least 0"):
        strength.bending_stress(0.2, -1e-3, E)
    with pytest.raises(ValueError, match="modulus = 0 Pa"):
        strength.bending_stress(0.2, 1e-3, 0.0)
    with pytest.raises(ValueError, match=r"od = -0.2 m"):
        strength.bending_stress(-0.2, 1e-3, E)
    with pytest.raises(ValueError, match="effective_force = nan N"):
        strength.lubinski_factor(math.nan, INERTIA, 12.0, E)
    with pytest.raises(ValueError, match="joint_length = 0 m"):
        strength.lubinski_factor(1e6, INERTIA, 0.0, E)
    with pytest.raises(ValueError, match="second_moment = 0 m4"):
        strength.lubinski_factor(1e6, 0.0, 12.0, E)
    with pytest.raises(ValueError, match="modulus = -1 Pa"):
        strength.lubinski_factor(1e6, INERTIA, 12.0, -1.0)
