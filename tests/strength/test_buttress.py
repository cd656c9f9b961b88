from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads import strength
from casingloads.catalog.couplings import standard_couplings
from casingloads.constants import INCH, PSI
from casingloads.strength import JointFailure

LBF = PSI * INCH**2

sizes = st.floats(4.5, 20.0).map(lambda inches: inches * INCH)
walls = st.floats(0.2, 0.8).map(lambda inches: inches * INCH)
strengths = st.tuples(st.floats(40e3, 150e3), st.floats(1.0, 1.8)).map(lambda s: (s[0] * PSI, s[0] * s[1] * PSI))


def test_by_hand() -> None:
    """9-5/8 in 53.5 lb/ft P110: 9.625 x 8.535 in, coupling 10.625 in, special clearance 10.125 in.

    A_p = 0.785398 (9.625^2 - 8.535^2) = 15.54649 in2; 1.008 - 0.0396 (1.083 - 0.88) 9.625 = 0.930627;
    pipe 0.95 x 15.54649 x 125,000 x 0.930627 = 1,718,073 lbf.
    d1 = 9.579 - 3.0285 x 0.0625 + 0.062 = 9.451719 in; A_c = 0.785398 (10.625^2 - 9.451719^2) = 18.50055 in2;
    coupling 0.95 x 18.50055 x 125,000 = 2,196,941 lbf; special clearance 0.785398 (10.125^2 - 9.451719^2)
    = 10.35205 in2, 1,229,306 lbf.
    """
    steel = (110e3 * PSI, 125e3 * PSI)
    found = []
    for clearance in ("regular", "special"):
        c = standard_couplings().find(9.625 * INCH, "BTC", clearance=clearance)
        assert c.root_diameter / INCH == pytest.approx(9.451719, abs=1e-6)
        w = strength.buttress_joint_working(9.625 * INCH, 0.545 * INCH, *steel, c.od, c.root_diameter)
        found.append(w)
        assert float(w.pipe_area) / INCH**2 == pytest.approx(15.54649, abs=1e-5)
        assert float(w.thread_factor) == pytest.approx(0.930627, abs=1e-6)
        assert float(w.fracture) / LBF == pytest.approx(1_718_073.0, abs=3.0)
    assert [float(w.coupling_area) / INCH**2 for w in found] == pytest.approx([18.50055, 10.35205], abs=1e-5)
    assert [float(w.coupling_fracture) / LBF for w in found] == pytest.approx([2_196_941.0, 1_229_306.0], abs=3.0)
    assert [float(w.rating) / LBF for w in found] == pytest.approx([1_718_073.0, 1_229_306.0], abs=3.0)
    assert [JointFailure(int(w.governing)).name for w in found] == ["FRACTURE", "COUPLING"]
    assert [bool(w.above_body_yield) for w in found] == [True, False]  # A_p Y = 1,710,113 lbf


@pytest.mark.parametrize("pipe_od", [4.5, 5.0, 5.5, 6.625, 7.0, 7.625, 8.625, 9.625, 10.75])
def test_special_clearance_is_never_above_regular(pipe_od: float) -> None:
    wall = np.linspace(0.2, 0.7, 51) * INCH
    special, regular = (
        strength.buttress_joint_strength(pipe_od * INCH, wall, 80e3 * PSI, 95e3 * PSI, c.od, c.root_diameter)
        for c in (standard_couplings().find(pipe_od * INCH, "BTC", clearance=word) for word in ("special", "regular"))
    )
    assert np.all(special <= regular)
    assert special[-1] < regular[-1]


def test_coupling_takes_over_as_the_wall_grows() -> None:
    """7 in L80: the pipe's thread grows with the wall, the coupling does not."""
    wall = np.linspace(0.25, 0.60, 351) * INCH
    w = strength.buttress_joint_working(7.0 * INCH, wall, 80e3 * PSI, 95e3 * PSI, 7.656 * INCH, 6.846 * INCH)
    by_coupling = w.governing == JointFailure.COUPLING
    assert not by_coupling[0]
    assert by_coupling[-1]
    assert np.count_nonzero(np.diff(by_coupling.astype(int))) == 1
    assert np.ptp(w.coupling_fracture) == 0.0
    assert np.all(np.diff(w.fracture) > 0.0)
    assert np.all(w.rating == np.minimum(w.fracture, w.coupling_fracture))


@pytest.mark.parametrize(("better", "worse"), [((55.0, 95.0), (55.0, 75.0)), ((80.0, 100.0), (80.0, 95.0))])
def test_tensile_strength_tells_grades_of_one_yield_apart(
    better: tuple[float, float], worse: tuple[float, float]
) -> None:
    """K55 above J55, N80 above L80, by pipe thread and by coupling."""
    for coupling_od in (7.656, 7.375):
        high, low = (
            strength.buttress_joint_strength(
                7.0 * INCH, 0.362 * INCH, y * 1e3 * PSI, u * 1e3 * PSI, coupling_od * INCH, 6.846 * INCH
            )
            for y, u in (better, worse)
        )
        assert high > low


@given(sizes, walls, strengths, st.floats(1.0001, 1.5))
def test_more_is_never_less(od: float, wall: float, steel: tuple[float, float], more: float) -> None:
    y, u = steel
    ring = (1.1 * od, 0.98 * od)
    base = strength.buttress_joint_strength(od, wall, y, u, *ring)
    for stronger in (
        strength.buttress_joint_strength(od, more * wall, y, u, *ring),
        strength.buttress_joint_strength(od, wall, y, more * u, *ring),
        strength.buttress_joint_strength(od, wall, min(more * y, u), u, *ring),
        strength.buttress_joint_strength(od, wall, y, u, more * ring[0], ring[1]),
    ):
        assert stronger >= base * (1.0 - 1e-12)


def test_a_stronger_coupling_counts_alone() -> None:
    """A special clearance coupling of the next grade: only the coupling's part rises."""
    args = (7.0 * INCH, 0.408 * INCH, 80e3 * PSI, 95e3 * PSI, 7.375 * INCH, 6.846 * INCH)
    own, stronger = strength.buttress_joint_working(*args), strength.buttress_joint_working(*args, 125e3 * PSI)
    assert stronger.fracture == own.fracture
    assert float(stronger.coupling_fracture / own.coupling_fracture) == pytest.approx(125.0 / 95.0)


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall = np.array([[5.5], [7.0]]) * INCH, np.array([0.3, 0.4, 0.5]) * INCH
    y = np.full((4, 1, 1), 55e3 * PSI)
    w = strength.buttress_joint_working(od, wall, y, 75e3 * PSI, 1.1 * od, 0.98 * od)
    assert {value.shape for value in vars(w).values()} == {(4, 2, 3)}
    alone = strength.buttress_joint_working(7.0 * INCH, 0.5 * INCH, 55e3 * PSI, 75e3 * PSI, 7.7 * INCH, 6.86 * INCH)
    for key, value in vars(alone).items():
        assert vars(w)[key][3, 1, 2] == pytest.approx(value.item(), rel=1e-12)


def test_far_beyond_the_sizes_the_rating_is_zero_and_marked() -> None:
    od = np.array([4.0, 4.5, 20.0, 80.0]) * INCH
    w = strength.buttress_joint_working(od, 0.5 * INCH, 40e3 * PSI, 60e3 * PSI, 1.1 * od, 0.98 * od)
    assert w.outside_sizes.tolist() == [True, False, False, True]
    assert w.rating[3] == 0.0


def test_bad_arguments_are_refused() -> None:
    pipe, steel, ring = (7.0 * INCH, 0.362 * INCH), (55e3 * PSI, 75e3 * PSI), (7.656 * INCH, 6.846 * INCH)
    for args, message in (
        (((0.1, 0.05), steel, ring), r"need 2\*wall < od"),
        ((pipe, (600e6, 500e6), ring), "need yield_strength <= tensile_strength"),
        ((pipe, (0.0, 500e6), ring), "yield_strength = 0 Pa"),
        (
            (pipe, steel, (0.2, [0.1, 0.21])),
            r"root_diameter = 0.21 m, coupling_od = 0.2 m: need root_diameter < coupling_od",
        ),
        ((pipe, steel, (math.inf, 0.17)), "coupling_od = inf m"),
    ):
        with pytest.raises(ValueError, match=message):
            strength.buttress_joint_strength(*(value for group in args for value in group))
