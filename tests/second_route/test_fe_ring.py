"""Elastic collapse by finite elements: a long tube under outside pressure, as a ring in plane strain.

A quarter of the ring, cut at crest and trough of the buckle of two waves (three waves need 8/3 of the pressure);
nine-node elements with curved sides. Two steps, both by finite elements: the stress that a unit pressure makes, then
the pressure at which stiffness, stress stiffness and pressure stiffness together vanish. The pressure follows the
wall: it stays normal to it and acts on its present area, n da = (div u - grad u^T) N dA to first order. The
eigenvalue is that of linear buckling: the deformation before buckling is neglected, of the order of p/E times R/t,
which is (t/R)^2.

Sources: Bryan, "Application of the energy test to the collapse of a long thin pipe", *Proc. Camb. Phil. Soc.*, 1888,
and Timoshenko & Gere, *Theory of Elastic Stability*, 1961, ch. 7: 3 E' I/R^3 = 2 E' (t/D_m)^3 with E' = E/(1 - nu^2)
and mean diameter D_m; 4 E' I/R^3 if the pressure keeps its direction. API Bulletin 5C3, elastic collapse. All values
from memory.

**Which diameter.** The standard writes D D_m^2 for D_m^3, which balances the pressure on the outer wall by the hoop
force at mid-wall (so we read it). But buckling without stretch keeps the length of every parallel to the middle line,
so the work of the pressure, p times the loss of enclosed area, is the same for all of them: in the ring itself D_m^3
stands, less a part of second order for shear and curvature. The standard's form is below it by t/D, on the safe side.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from scipy.sparse.linalg import eigsh, splu

from casingloads import strength

# the modules are asked for here, not imported, so that the tests skip without them
MISSING = "scikit-fem is not installed, it comes with casingloads[test]"
fem = pytest.importorskip("skfem", reason=MISSING)
helpers = pytest.importorskip("skfem.helpers", reason=MISSING)

PSI = 0.45359237 * 9.80665 / 0.0254**2
E, NU = 30e6 * PSI, 0.3
PLATE = E / (1.0 - NU**2)
LAMBDA, MU = E * NU / ((1.0 + NU) * (1.0 - 2.0 * NU)), E / (2.0 * (1.0 + NU))
OD = 0.2
SLENDER = (30.0, 40.0, 60.0)
FINE = 4
"""Elements through the wall; sixteen times as many around the quarter."""


def quarter(x: float, through: int) -> Any:
    """Return a mesh with curved sides: a flat one of radius and angle, its nodes laid on circles."""
    inner, outer, right = OD / 2.0 - OD / x, OD / 2.0, np.pi / 2.0
    cells = fem.MeshQuad.init_tensor(np.linspace(inner, outer, through + 1), np.linspace(0.0, right, 16 * through + 1))
    flat = fem.MeshQuad2.from_mesh(cells).with_boundaries(
        {
            "bore": lambda at: np.isclose(at[0], inner),
            "outside": lambda at: np.isclose(at[0], outer),
            "along x": lambda at: np.isclose(at[1], 0.0),
            "along y": lambda at: np.isclose(at[1], right),
        }
    )
    r, angle = flat.doflocs
    return replace(flat, doflocs=np.stack([r * np.cos(angle), r * np.sin(angle)]))


def stress(strain: Any) -> Any:
    return LAMBDA * helpers.eye(helpers.trace(strain), 2) + 2.0 * MU * strain


def stiffness(u: Any, v: Any, _: Any) -> Any:
    return helpers.ddot(stress(helpers.sym_grad(u)), helpers.sym_grad(v))


def stress_stiffness(u: Any, v: Any, w: Any) -> Any:
    """Work of the stress made by the displacement *before* on the second-order part of strain."""
    return helpers.ddot(helpers.mul(u.grad, stress(helpers.sym_grad(w.before))), v.grad)


def push(v: Any, w: Any) -> Any:
    """Work of a unit pressure."""
    return -helpers.dot(w.n, v)


def pressure_stiffness(u: Any, v: Any, w: Any) -> Any:
    """Change of that work as the wall turns and stretches, moved to the side of the stiffness."""
    return helpers.div(u) * helpers.dot(w.n, v) - helpers.dot(w.n, helpers.mul(u.grad, v))


@cache
def critical(x: float, through: int, follows: bool = True, inside: float = 0.0) -> float:
    """Return the outside pressure less the inside one at which the ring of D/t = *x* buckles [Pa].

    The *inside* pressure is in the pipe, and added outside, before the rest is raised.
    """
    mesh = quarter(x, through)
    element = fem.ElementVector(fem.ElementQuad2())
    basis = fem.Basis(mesh, element, intorder=6)
    held = [basis.get_dofs("along x").all("u^2"), basis.get_dofs("along y").all("u^1")]
    free = basis.complement_dofs(np.concatenate(held))
    elastic = fem.BilinearForm(stiffness).assemble(basis)[free][:, free].tocsc()
    factors = splu(elastic)

    def geometric(edge: str) -> Any:
        """Stiffness by a unit pressure on an edge."""
        wall = fem.FacetBasis(mesh, element, facets=edge, intorder=6)
        before = np.zeros(basis.N)
        before[free] = factors.solve(fem.LinearForm(push).assemble(wall)[free])
        found = fem.BilinearForm(stress_stiffness).assemble(basis, before=basis.interpolate(before))
        if follows:
            found = found + fem.BilinearForm(pressure_stiffness).assemble(wall)
        return found[free][:, free].tocsc()

    outside = geometric("outside")
    if follows:  # a potential exists: the pressure times the area enclosed
        assert abs(outside - outside.T).max() < 1e-9 * abs(outside).max()
    steady = elastic + inside * (outside + geometric("bore")) if inside else elastic
    return 1.0 / float(eigsh(-(outside + outside.T) / 2.0, k=1, M=steady, which="LA", return_eigenvectors=False)[0])


def thin(x: float) -> float:
    """3 E' I/R^3 with the mean radius [Pa]."""
    return 2.0 * PLATE / (x - 1.0) ** 3


def second_order(x: float) -> float:
    """What the thin ring may be off by, relative: measured 4.77 to 4.89 times (t/D_m)^2, by mesh and D/t."""
    return 5.0 / (x - 1.0) ** 2


@pytest.mark.parametrize("x", SLENDER)
def test_converges_at_fourth_order(x: float) -> None:
    """Meshes of 1 x 16, 2 x 32 and 4 x 64 elements, and 8 x 128 to measure by.

    An eigenvalue errs as the square of strain, and strain at second order. Measured order 3.89 to 3.94, short of 4 as
    long as the elements bend stiffly; the mesh of 4 x 64, used below, is 3e-5 too high at most.
    """
    coarse, middle, fine, finest = (critical(x, through) for through in (1, 2, FINE, 2 * FINE))
    assert coarse > middle > fine > finest
    assert 3.8 < math.log2((coarse - middle) / (middle - fine)) < 4.1
    assert fine == pytest.approx(finest, rel=5e-5)


def test_thin_ring_is_the_classical_one() -> None:
    """Extrapolated along (t/D_m)^2 to no thickness, from D/t = 30 and 60: 3 E' I/R^3.

    Meshes of 8 x 128 elements; measured 6e-6 off. The extrapolation leaves out what is of fourth order in t/D_m: about
    the square of what it takes away at D/t = 30, 3.5e-5.
    """
    thick, slim = ((1.0 / (x - 1.0) ** 2, critical(x, 2 * FINE) / thin(x)) for x in (30.0, 60.0))
    limit = slim[1] - (thick[1] - slim[1]) / (thick[0] - slim[0]) * slim[0]
    assert limit == pytest.approx(1.0, abs=second_order(30.0) ** 2)


def test_pressure_that_keeps_its_direction_is_another_problem() -> None:
    """Without the pressure's stiffness the thin ring bears 4 E' I/R^3: a third too much.

    Meshes of 4 x 64 elements at D_m/t = 60 and 120, extrapolated along t/D_m, because a dead load knows on which wall
    it acts. Measured 3.1e-4 off; left is (t/D_m)^2, 2.8e-4 at 60, and a factor that is not known.
    """
    thick, slim = (critical(x, FINE, follows=False) / critical(x, FINE) for x in (61.0, 121.0))
    assert 2.0 * slim - thick == pytest.approx(4.0 / 3.0, rel=1e-3)


def test_inside_pressure_leaves_the_difference() -> None:
    """What the ring resists is outside less inside pressure: 5,000 psi all round takes 3.1e-4 of it.

    4 x 64 elements, D/t = 30. An equal pressure stresses the steel by p all round and softens it by p/G = 4.3e-4 at
    most, which no formula has.
    """
    inside = 5e3 * PSI
    assert critical(30.0, FINE, inside=inside) == pytest.approx(critical(30.0, FINE), rel=inside / MU)


@pytest.mark.parametrize("x", SLENDER)
def test_elastic_buckling_pressure(x: float) -> None:
    """2 E'/[x (x - 1)^2] is below the ring by one part in x, and else right to second order; 4 x 64 elements.

    Measured ring over formula 1.0285, 1.0224 and 1.0156 at D/t = 30, 40 and 60. The module tells why the formula has
    x where the ring has x - 1; it is the published one and stays.
    """
    formula = float(strength.elastic_buckling_pressure(OD, OD / x, E, NU))
    assert formula < critical(x, FINE)
    assert critical(x, FINE) == pytest.approx(formula * x / (x - 1.0), rel=second_order(x))


def test_constant_of_elastic_collapse() -> None:
    """46.95e6 psi = 0.75 x 62.6e6, and 62.6e6 = 0.95 x 2 E/(1 - nu^2) with E = 30e6 psi and nu = 0.3, 65.93e6.

    Clinedinst's theory for the perfect tube, of which real tubes bear 95 % on average; the rating is 75 % of the
    average. (API Bulletin 5C3, value from memory.) So the rating is 0.7121 of theory, and not 0.7125, for the average
    was rounded to 62.6; half its last digit is the second tolerance.
    """
    x = np.array(SLENDER)
    constant = strength.elastic_collapse(OD, OD / x) / PSI * x * (x - 1.0) ** 2
    theory = 2.0 * PLATE / PSI
    assert constant == pytest.approx(0.75e6 * round(0.95 * theory / 1e6, 1), rel=1e-9)
    assert constant / (0.95 * 0.75) == pytest.approx(theory, rel=0.05 / 62.6)


@pytest.mark.parametrize("x", SLENDER)
def test_elastic_collapse(x: float) -> None:
    """The rating is 0.95 x 0.75 of the ring with x for one x - 1, to second order; 4 x 64 elements.

    Measured rating over ring 0.692, 0.697 and 0.701 at D/t = 30, 40 and 60: what the standard takes off, and the 1 to
    3 % of `test_elastic_buckling_pressure`. The rounded constant adds 6e-4 to the tolerance.
    """
    share = float(strength.elastic_collapse(OD, OD / x)) / critical(x, FINE)
    assert share == pytest.approx(0.95 * 0.75 * (x - 1.0) / x, rel=second_order(x) + 6e-4)
