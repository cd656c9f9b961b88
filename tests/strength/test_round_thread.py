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
from casingloads.strength.round_thread import ROUND_THREAD_HEIGHT

LBF = PSI * INCH**2
PER_100_FT = math.radians(1.0) / 30.48

sizes = st.floats(4.5, 20.0).map(lambda inches: inches * INCH)
walls = st.floats(0.2, 0.8).map(lambda inches: inches * INCH)
lengths = st.floats(1.5, 5.0).map(lambda inches: inches * INCH)
strengths = st.tuples(st.floats(40e3, 150e3), st.floats(1.0, 1.8)).map(lambda s: (s[0] * PSI, s[0] * s[1] * PSI))
bends = st.floats(0.0, 60.0).map(lambda degrees: degrees * PER_100_FT)


def test_by_hand() -> None:
    """7 in 26 lb/ft J55 LTC: 7.000 x 6.276 in, L = 4.000 - 0.704 in, coupling 7.656 in, Y 55,000, U 75,000 psi.

    A_jp = 0.785398 (6.8575^2 - 6.276^2) = 5.99819 in2; fracture 0.95 x 5.99819 x 75,000 = 427,371 lbf.
    7^-0.59 = 0.317243; 0.74 x 0.317243 x 75,000 / (1.648 + 0.98) = 6,699.8; 55,000 / (3.296 + 0.98) = 12,862.5;
    pull-out 0.95 x 5.99819 x 3.296 x 19,562.3 = 367,409 lbf.
    d1 = 6.90337 - 3.296 x 0.0625 + 0.10825 - 0.034 = 6.77162 in; A_jc = 0.785398 (7.656^2 - 6.77162^2) = 10.02129 in2;
    coupling 0.95 x 10.02129 x 75,000 = 714,017 lbf.
    """
    coupling = standard_couplings().find(7.0 * INCH, "LTC", weight=38.69)
    assert coupling.root_diameter / INCH == pytest.approx(6.77162, abs=1e-6)
    assert coupling.engaged_length == pytest.approx(3.296 * INCH)
    w = strength.round_joint_working(
        7.0 * INCH, 0.362 * INCH, 55e3 * PSI, 75e3 * PSI, 3.296 * INCH, 7.656 * INCH, 6.77162 * INCH
    )
    assert float(w.root_area) / INCH**2 == pytest.approx(5.99819, abs=1e-5)
    assert float(w.pull_out_tensile) / PSI * INCH == pytest.approx(6_699.8, abs=0.1)
    assert float(w.pull_out_yield) / PSI * INCH == pytest.approx(12_862.5, abs=0.1)
    assert float(w.coupling_area) / INCH**2 == pytest.approx(10.02129, abs=1e-5)
    forces = [float(force) / LBF for force in (w.fracture, w.pull_out, w.coupling_fracture, w.rating)]
    assert forces == pytest.approx([427_371.0, 367_409.0, 714_017.0, 367_409.0], abs=2.0)
    assert JointFailure(int(w.governing)) is JointFailure.PULL_OUT


def test_bending_by_hand() -> None:
    """5-1/2 in 17 lb/ft J55, U - Y = 20,000 psi, 20,000^0.8 = 2,759.46.

    20 deg/100 ft: 140.5 x 20 x 5.5 / 2,759.46 = 5.60073; 75,000 - 5.60073^5 = 69,489 psi.
    40 deg/100 ft: 140.5 x 40 x 5.5 = 30,910 > 20,000; 20,000/0.644 + 55,000 - 218.15 x 220 = 38,063 psi.
    A_jp = 0.785398 (5.3575^2 - 4.892^2) = 3.74725 in2.
    """
    pipe = (5.5 * INCH, 0.304 * INCH)
    curvature = np.array([0.0, 20.0, 40.0]) * PER_100_FT
    w = strength.round_joint_working(
        *pipe, 55e3 * PSI, 75e3 * PSI, 2.796 * INCH, 6.05 * INCH, 5.303 * INCH, curvature=curvature
    )
    assert (w.fracture_stress / PSI).tolist() == pytest.approx([75_000.0, 69_489.0, 38_063.0], abs=1.0)
    assert w.bent_past_yield.tolist() == [False, False, True]
    assert float(w.fracture[2]) / LBF == pytest.approx(0.95 * 3.74725 * 38_063.0, rel=1e-4)
    assert w.fracture[0] == strength.round_fracture_force(*pipe, 75e3 * PSI)
    assert np.ptp(w.pull_out) == 0.0
    names = [JointFailure(int(failure)).name for failure in w.governing]
    assert names == ["PULL_OUT", "PULL_OUT", "FRACTURE"]


@given(sizes, walls, walls, strengths, lengths)
def test_wall_does_not_decide_between_fracture_and_pull_out(
    od: float, one: float, other: float, steel: tuple[float, float], length: float
) -> None:
    """Both are proportional to the steel under the last thread."""
    ratios = [
        float(
            strength.round_pull_out_force(od, wall, *steel, length) / strength.round_fracture_force(od, wall, steel[1])
        )
        for wall in (one, other)
    ]
    assert ratios[0] == pytest.approx(ratios[1], rel=1e-12)


def test_pull_out_gives_way_to_fracture_with_engaged_length() -> None:
    """7 in 35 lb/ft L80: the short thread pulls out, a thread long enough breaks the pipe."""
    length = np.linspace(2.0, 5.0, 301) * INCH
    w = strength.round_joint_working(7.0 * INCH, 0.498 * INCH, 80e3 * PSI, 95e3 * PSI, length, 9.0 * INCH, 6.77 * INCH)
    pulls = w.governing == JointFailure.PULL_OUT
    assert pulls[0]
    assert not pulls[-1]
    assert np.count_nonzero(np.diff(pulls.astype(int))) == 1
    crossing = int(np.argmin(pulls))
    assert w.fracture[crossing] == pytest.approx(w.pull_out[crossing], rel=5e-3)
    assert np.all(w.rating == np.minimum(w.fracture, w.pull_out))


def test_coupling_governs_where_it_is_thin() -> None:
    thin, thick = strength.round_joint_working(
        7.0 * INCH, 0.540 * INCH, 80e3 * PSI, 100e3 * PSI, 3.296 * INCH, [7.2 * INCH, 7.656 * INCH], 6.772 * INCH
    ).governing
    assert JointFailure(int(thin)) is JointFailure.COUPLING
    assert JointFailure(int(thick)) is not JointFailure.COUPLING
    soft = strength.round_joint_strength(
        7.0 * INCH, 0.540 * INCH, 80e3 * PSI, 100e3 * PSI, 3.296 * INCH, 7.656 * INCH, 6.772 * INCH, 60e3 * PSI
    )
    assert soft == strength.coupling_fracture_force(7.656 * INCH, 6.772 * INCH, 60e3 * PSI)


@pytest.mark.parametrize(("better", "worse"), [((55.0, 95.0), (55.0, 75.0)), ((80.0, 100.0), (80.0, 95.0))])
def test_tensile_strength_tells_grades_of_one_yield_apart(
    better: tuple[float, float], worse: tuple[float, float]
) -> None:
    """K55 above J55, N80 above L80."""
    for thread in ("STC", "LTC"):
        coupling = standard_couplings().find(7.0 * INCH, thread, weight=38.69)
        assert coupling.engaged_length is not None
        high, low = (
            strength.round_joint_strength(
                *(7.0 * INCH, 0.362 * INCH, y * 1e3 * PSI, u * 1e3 * PSI),
                *(coupling.engaged_length, coupling.od, coupling.root_diameter),
            )
            for y, u in (better, worse)
        )
        assert high > low


@given(sizes, walls, strengths, lengths, st.floats(1.0001, 1.5))
def test_more_is_never_less(od: float, wall: float, steel: tuple[float, float], length: float, more: float) -> None:
    y, u = steel
    ring = (1.1 * od, 0.98 * od)
    base = strength.round_joint_strength(od, wall, y, u, length, *ring)
    for stronger in (
        strength.round_joint_strength(od, more * wall, y, u, length, *ring),
        strength.round_joint_strength(od, wall, y, more * u, length, *ring),
        strength.round_joint_strength(od, wall, min(more * y, u), u, length, *ring),
        strength.round_joint_strength(od, wall, y, u, more * length, *ring),
        strength.round_joint_strength(od, wall, y, u, length, more * ring[0], ring[1]),
    ):
        assert stronger >= base * (1.0 - 1e-12)
    assert strength.round_pull_out_force(od, more * wall, y, u, length) > strength.round_pull_out_force(
        od, wall, y, u, length
    )


@given(sizes, walls, strengths, bends, bends)
def test_bending_never_helps(od: float, wall: float, steel: tuple[float, float], one: float, other: float) -> None:
    mild, sharp = sorted((one, other))
    straight = float(strength.round_fracture_force(od, wall, steel[1]))
    gentle, hard = (float(strength.round_bent_fracture_force(od, wall, *steel, bend)) for bend in (mild, sharp))
    assert 0.0 <= hard <= gentle * (1.0 + 1e-12) + 2e-4 * straight  # the two forms meet to four digits
    assert gentle <= straight * (1.0 + 1e-4)
    assert float(strength.round_bent_fracture_force(od, wall, *steel, 0.0)) == straight


@given(sizes, walls, strengths)
def test_the_two_bending_formulas_meet(od: float, wall: float, steel: tuple[float, float]) -> None:
    y, u = steel
    border = (u - y) / PSI / (140.5 * od / INCH) * PER_100_FT
    before, after = (
        float(strength.round_bent_fracture_force(od, wall, y, u, border * near)) for near in (1 - 1e-9, 1 + 1e-9)
    )
    force = 0.95 * float(strength.round_thread_area(od, wall))
    assert before == pytest.approx(force * y, rel=1e-7)
    assert after == pytest.approx(force * y, abs=1.3e-4 * force * (u - y) + 1e-7 * force * y)  # 1/0.644 - 218.15/140.5


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall = np.array([[5.5], [7.0]]) * INCH, np.array([0.3, 0.4, 0.5]) * INCH
    y = np.full((4, 1, 1), 55e3 * PSI)
    w = strength.round_joint_working(od, wall, y, 75e3 * PSI, 3.0 * INCH, 1.1 * od, 0.97 * od, curvature=0.001)
    assert {value.shape for value in vars(w).values()} == {(4, 2, 3)}
    alone = strength.round_joint_working(
        *(7.0 * INCH, 0.5 * INCH, 55e3 * PSI, 75e3 * PSI, 3.0 * INCH, 7.7 * INCH, 6.79 * INCH), curvature=0.001
    )
    for key, value in vars(alone).items():
        assert vars(w)[key][3, 1, 2] == pytest.approx(value.item(), rel=1e-12)


def test_sizes_beyond_the_standard_are_marked() -> None:
    od = np.array([4.0, 4.5, 20.0, 24.0]) * INCH
    w = strength.round_joint_working(od, 0.4 * INCH, 55e3 * PSI, 75e3 * PSI, 3.0 * INCH, 1.1 * od, 0.97 * od)
    assert w.outside_sizes.tolist() == [True, False, False, True]


def test_bad_arguments_are_refused() -> None:
    good = {
        **{"od": 7.0 * INCH, "wall": 0.362 * INCH, "yield_strength": 55e3 * PSI, "tensile_strength": 75e3 * PSI},
        **{"engaged_length": 3.296 * INCH, "coupling_od": 7.656 * INCH, "root_diameter": 6.77 * INCH, "curvature": 0.0},
    }
    strength.round_joint_strength(**good)
    for change, message in (
        ({"wall": 0.1}, r"need 2\*wall < od"),
        ({"wall": ROUND_THREAD_HEIGHT}, r"wall = 0.00180975 m: need a finite number above 0.00180975 m"),
        ({"yield_strength": 600e6}, r"yield_strength = 6e\+08 Pa, .*: need yield_strength <= tensile_strength"),
        ({"tensile_strength": math.nan}, "tensile_strength = nan Pa"),
        ({"engaged_length": 0.0}, "engaged_length = 0 m: need a finite number above 0 m"),
        ({"coupling_od": 0.1}, r"root_diameter = 0.171958 m, coupling_od = 0.1 m: need root_diameter < coupling_od"),
        ({"curvature": -0.001}, "curvature = -0.001 rad/m: need a finite number of at least 0 rad/m"),
    ):
        with pytest.raises(ValueError, match=message):
            strength.round_joint_strength(**(good | change))
