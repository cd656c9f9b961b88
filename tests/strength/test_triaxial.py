from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from casingloads import strength

OD, WALL = 0.2445, 0.0138
diameters = st.floats(0.05, 1.0)
fractions = st.floats(0.01, 0.45)  # wall over outside diameter
pressures = st.floats(0.0, 2e8)
forces = st.floats(-1e7, 1e7)
stresses = st.floats(-1e9, 1e9)


@pytest.mark.parametrize(("p_i", "p_o"), [(60e6, 0.0), (0.0, 60e6), (60e6, 30e6)])
@pytest.mark.parametrize("wall", [0.008, 0.05, 0.1])
def test_lame_solves_the_equilibrium_of_a_ring(wall: float, p_i: float, p_o: float) -> None:
    """Radial displacement in plane strain: u'' + u'/r - u/r2 = 0, the pressures on its two sides."""
    nu, inner, outer = 0.3, OD / 2.0 - wall, OD / 2.0
    plane = 1.0 / ((1.0 + nu) * (1.0 - 2.0 * nu))  # over E

    def radial_stress(r: Any, state: Any) -> Any:
        return plane * ((1.0 - nu) * state[1] + nu * state[0] / r)

    def ring(r: Any, state: Any) -> Any:
        return np.vstack([state[1], state[0] / r**2 - state[1] / r])

    def sides(at_bore: Any, at_outside: Any) -> Any:
        return np.array([radial_stress(inner, at_bore) + p_i / 1e6, radial_stress(outer, at_outside) + p_o / 1e6])

    r = np.linspace(inner, outer, 41)
    solution = solve_bvp(ring, sides, r, np.zeros((2, r.size)), tol=1e-9, max_nodes=50_000)
    assert solution.success
    u = solution.sol(r)
    route_radial = radial_stress(r, u) * 1e6
    route_hoop = plane * ((1.0 - nu) * u[0] / r + nu * u[1]) * 1e6
    radial, hoop = strength.lame_stresses(OD, wall, p_i, p_o, r)
    np.testing.assert_allclose(radial, route_radial, atol=200.0)  # Pa, of some 1e8
    np.testing.assert_allclose(hoop, route_hoop, atol=200.0)


@given(diameters, fractions, pressures, pressures)
def test_pressure_stands_on_both_sides_of_the_wall(od: float, fraction: float, p_i: float, p_o: float) -> None:
    wall = fraction * od
    radial, hoop = strength.lame_stresses(od, wall, p_i, p_o, np.array([od / 2.0 - wall, od / 2.0]))
    slack = 1e-10 * (p_i + p_o) / fraction + 1e-6
    np.testing.assert_allclose(radial, [-p_i, -p_o], atol=slack)
    assert abs((radial + hoop)[0] - (radial + hoop)[1]) <= slack  # the sum is the same through the wall
    if p_i == p_o:
        np.testing.assert_allclose(hoop, -p_i, atol=slack)


def test_thin_wall_limit_is_the_membrane() -> None:
    _, hoop = strength.lame_stresses(1.0, 1e-5, 1e5, 0.0, 0.5 - 0.5e-5)
    assert float(hoop) == pytest.approx(1e5 * 1.0 / 2e-5, rel=1e-4)


@given(stresses, stresses, stresses, stresses)
def test_von_mises_is_the_norm_of_the_deviator(radial: float, hoop: float, axial: float, shear: float) -> None:
    tensor = np.diag([radial, hoop, axial])
    tensor[1, 2] = tensor[2, 1] = shear
    deviator = tensor - np.trace(tensor) / 3.0 * np.eye(3)
    route = math.sqrt(1.5 * float(np.sum(deviator**2)))
    ours = float(strength.von_mises(radial, hoop, axial, shear))
    assert ours == pytest.approx(route, rel=1e-9, abs=1.0)
    principal = np.linalg.eigvalsh(tensor)
    tresca = float(principal[-1] - principal[0])
    assert ours <= tresca * (1 + 1e-9) + 1.0
    assert ours >= math.sqrt(3.0) / 2.0 * tresca * (1 - 1e-9) - 1.0


@given(stresses, stresses, stresses, stresses, stresses)
def test_von_mises_is_blind_to_a_hydrostatic_part(r: float, h: float, a: float, tau: float, p: float) -> None:
    shifted = float(strength.von_mises(r + p, h + p, a + p, tau))
    assert shifted == pytest.approx(float(strength.von_mises(r, h, a, tau)), rel=1e-9, abs=1e-3)


@given(fractions, pressures, pressures, forces, st.floats(0.0, 3e8), st.floats(-1e5, 1e5), pressures)
def test_pressure_all_round_changes_nothing(
    fraction: float, p_i: float, p_o: float, force: float, bend: float, torque: float, p: float
) -> None:
    """Add p inside, outside and, as compression, to the axial stress."""
    wall = fraction * OD
    squeezed = force - p * float(strength.steel_area(OD, wall))
    before = strength.triaxial_stress(OD, wall, p_i, p_o, force, bend, torque)
    after = strength.triaxial_stress(OD, wall, p_i + p, p_o + p, squeezed, bend, torque)
    np.testing.assert_allclose(after.equivalent, before.equivalent, rtol=1e-9, atol=1.0 / fraction)


@given(
    diameters,
    fractions,
    pressures,
    pressures,
    forces,
    st.floats(0.0, 3e8),
    st.floats(-1e5, 1e5),
    st.floats(0.7, 1.0),
)
def test_four_points_written_out(
    od: float, fraction: float, p_i: float, p_o: float, force: float, bend: float, torque: float, k: float
) -> None:
    """Pressure on the minimum wall, its bore moved out; force, bending and torsion on the nominal section."""
    wall = fraction * od
    d, w = od - 2.0 * wall, od - 2.0 * k * wall
    area, polar = math.pi / 4.0 * (od**2 - d**2), math.pi / 32.0 * (od**4 - d**4)
    route = []
    for r_pressure, r_nominal in ((w / 2.0, d / 2.0), (od / 2.0, od / 2.0)):
        for side in (1.0, -1.0):
            mean = (p_i * w**2 - p_o * od**2) / (od**2 - w**2)
            part = (p_i - p_o) * od**2 * w**2 / (4.0 * r_pressure**2 * (od**2 - w**2))
            s_r, s_h = mean - part, mean + part
            s_z = force / area + side * bend * r_nominal / (od / 2.0)
            tau = torque * r_nominal / polar
            square = s_r**2 + s_h**2 + s_z**2 - s_r * s_h - s_h * s_z - s_z * s_r + 3.0 * tau**2
            route.append(math.sqrt(max(square, 0.0)))
    ours = strength.triaxial_stress(od, wall, p_i, p_o, force, bend, torque, k)
    scale = max(route) + (p_i + p_o) / fraction
    np.testing.assert_allclose(ours.equivalent, route, atol=1e-7 * scale + 1e-3)
    assert float(ours.greatest) == float(ours.equivalent.max())
    assert float(ours.equivalent[ours.governing]) == float(ours.greatest)


def test_which_point_governs() -> None:
    def point(**loads: float) -> str:
        still = {"internal_pressure": 0.0, "external_pressure": 0.0, "axial_force": 0.0}
        return str(strength.triaxial_stress(OD, WALL, **{**still, **loads}).point)

    assert point(internal_pressure=5e7) == "inner wall, tension side"  # both sides alike: the first
    assert point(external_pressure=5e7) == "inner wall, tension side"
    assert point(torque=1e4) == "outer wall, tension side"
    assert point(axial_force=1e6, bending_stress=1e8) == "outer wall, tension side"
    assert point(axial_force=-1e6, bending_stress=1e8) == "outer wall, compression side"
    assert point(internal_pressure=5e7, axial_force=-1e6, bending_stress=2e7) == "inner wall, compression side"
    assert point(internal_pressure=5e7, axial_force=3e6, bending_stress=2e7) == "inner wall, tension side"


def test_single_loads() -> None:
    area, inertia = float(strength.steel_area(OD, WALL)), float(strength.second_moment(OD, WALL))
    at_rest = strength.triaxial_stress(OD, WALL, 3e7, 3e7, -3e7 * area)
    np.testing.assert_allclose(at_rest.equivalent, 0.0, atol=1e-6)  # the same pressure all round
    twisted = strength.triaxial_stress(OD, WALL, 0.0, 0.0, 0.0, torque=-2e4)
    assert float(twisted.greatest) == pytest.approx(math.sqrt(3.0) * 2e4 * (OD / 2.0) / (2.0 * inertia))
    bent = strength.triaxial_stress(OD, WALL, 0.0, 0.0, 0.0, bending_stress=1e8)
    at_bore = 1e8 * (OD - 2.0 * WALL) / OD
    np.testing.assert_allclose(bent.axial, [at_bore, -at_bore, 1e8, -1e8], rtol=1e-12)


@given(fractions, pressures, forces)
def test_a_thinner_minimum_wall_only_touches_the_pressure_stresses(fraction: float, p_i: float, force: float) -> None:
    wall = fraction * OD
    least = strength.triaxial_stress(OD, wall, p_i, 0.0, force)
    nominal = strength.triaxial_stress(OD, wall, p_i, 0.0, force, wall_factor=1.0)
    np.testing.assert_array_equal(least.axial, nominal.axial)
    slack = 1e-10 * p_i / fraction + 1e-6
    np.testing.assert_allclose(least.radial, nominal.radial, atol=slack)
    assert (least.hoop >= nominal.hoop - slack).all()


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    p_i, force = np.linspace(0.0, 5e7, 5), np.linspace(-1e6, 2e6, 12).reshape(3, 4, 1)
    table = strength.triaxial_stress(OD, WALL, p_i, 1e7, force, bending_stress=np.full((4, 1), 3e7), torque=5e3)
    for array in (table.radial, table.hoop, table.axial, table.shear, table.equivalent):
        assert array.shape == (4, 3, 4, 5)
    assert table.greatest.shape == table.governing.shape == table.point.shape == (3, 4, 5)
    one = strength.triaxial_stress(OD, WALL, p_i[4], 1e7, force[2, 3, 0], 3e7, 5e3)
    assert float(one.greatest) == pytest.approx(float(table.greatest[2, 3, 4]), rel=1e-14)
    assert str(one.point) == str(table.point[2, 3, 4])
    radial, hoop = strength.lame_stresses(OD, np.array([[0.01], [0.02]]), p_i, 0.0, OD / 2.0)
    assert radial.shape == hoop.shape == (2, 5)


def test_straight_stations_among_bent_ones_are_as_if_alone() -> None:
    """Where nothing bends or twists, less is worked out: it must not show."""
    bend, torque = np.array([0.0, 4e7, 0.0]), np.array([[0.0], [-2e4]])
    together = strength.triaxial_stress(OD, WALL, 3e7, 1e7, 1.5e6, bend, torque)
    for i, j in np.ndindex(2, 3):
        alone = strength.triaxial_stress(OD, WALL, 3e7, 1e7, 1.5e6, bend[j], torque[i, 0])
        for name, value in vars(alone).items():
            np.testing.assert_allclose(getattr(together, name)[..., i, j], value, rtol=1e-14, atol=0.0)


def test_bad_arguments_are_refused() -> None:
    with pytest.raises(ValueError, match=r"radius = 0.05 m: need a radius within the wall"):
        strength.lame_stresses(OD, WALL, 1e7, 0.0, [0.12, 0.05])
    with pytest.raises(ValueError, match=r"radius = 0.2 m"):
        strength.lame_stresses(OD, WALL, 1e7, 0.0, 0.2)
    with pytest.raises(ValueError, match="internal_pressure = nan Pa"):
        strength.triaxial_stress(OD, WALL, math.nan, 0.0, 0.0)
    with pytest.raises(ValueError, match="external_pressure = inf Pa"):
        strength.triaxial_stress(OD, WALL, 0.0, math.inf, 0.0)
    with pytest.raises(ValueError, match="axial_force = nan N"):
        strength.triaxial_stress(OD, WALL, 0.0, 0.0, math.nan)
    with pytest.raises(ValueError, match=r"bending_stress = -1 Pa: need a finite number of at least 0"):
        strength.triaxial_stress(OD, WALL, 0.0, 0.0, 0.0, bending_stress=-1.0)
    with pytest.raises(ValueError, match="torque = nan N m"):
        strength.triaxial_stress(OD, WALL, 0.0, 0.0, 0.0, torque=math.nan)
    with pytest.raises(ValueError, match="wall_factor = 0"):
        strength.triaxial_stress(OD, WALL, 0.0, 0.0, 0.0, wall_factor=0.0)
    with pytest.raises(ValueError, match=r"need 2\*wall < od"):
        strength.triaxial_stress(OD, 0.12, 0.0, 0.0, 0.0, wall_factor=1.1)
    with pytest.raises(ValueError, match="shear = inf Pa"):
        strength.von_mises(0.0, 0.0, 0.0, math.inf)
