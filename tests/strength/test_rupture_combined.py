from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from casingloads import strength
from casingloads.strength import CombinedRuptureWorking

LBF = 0.45359237 * 9.80665
PSI = LBF / 0.0254**2


@dataclass(frozen=True, kw_only=True)
class Pipe:
    """A pipe of 0.25 m with a sound wall that is *sound* of the nominal one."""

    fraction: float  # wall over outside diameter
    U: float
    n: float
    sound: float = 0.8
    od: float = 0.25

    @property
    def wall(self) -> float:
        return self.fraction * self.od

    @property
    def steel(self) -> float:
        return math.pi * (self.od - self.wall) * self.wall

    @property
    def bore(self) -> float:
        return math.pi * (self.od / 2.0 - self.wall) ** 2

    @property
    def p_uts(self) -> float:
        left = self.sound * self.wall
        return 2.0 * self.U * left / (self.od - left)

    def working(self, force: float, p_o: float = 0.0) -> CombinedRuptureWorking:
        return strength.rupture_working_combined(
            *(self.od, self.wall, self.U, self.n, force, p_o),
            wall_factor=1.0,
            imperfection_depth=(1.0 - self.sound) * self.wall,
            burst_strength_factor=1.0,
        )

    def capped(self) -> float:
        rating = strength.rupture_pressure(
            *(self.od, self.wall, self.U, self.n),
            wall_factor=1.0,
            imperfection_depth=(1.0 - self.sound) * self.wall,
            burst_strength_factor=1.0,
        )
        return float(rating)


pipes = st.builds(
    Pipe,
    fraction=st.floats(0.005, 0.45),
    U=st.floats(3e8, 1.3e9),
    n=st.floats(0.0, 0.3),
    sound=st.floats(0.3, 1.0),
)
pulls = st.floats(-0.999, 0.999)  # effective force with equal pressures, over F_uts
outside = st.floats(0.0, 2e8)


def force_for(pipe: Pipe, pull: float, p_o: float) -> float:
    return (pull * pipe.U - p_o) * pipe.steel


def excess(pipe: Pipe, rise: float, force: float, p_o: float) -> float:
    """The published equation, written out: right-hand side less left-hand side."""
    F_eff = force + p_o * math.pi * pipe.od**2 / 4.0 - (p_o + rise) * pipe.bore
    k_R = (4.0 ** (1.0 - pipe.n) - 1.0) / 3.0 ** (1.0 - pipe.n)
    p_T: float = 0.5**pipe.n * pipe.p_uts
    p_refM = (2.0 / math.sqrt(3.0)) ** (1.0 + pipe.n) * p_T
    p_M = p_refM * math.sqrt(max(1.0 - k_R * (F_eff / (pipe.U * pipe.steel)) ** 2, 0.0))
    return float(min((p_M + p_T) / 2.0, p_M) - rise)


def test_own_point() -> None:
    """Worked apart from this code; not published. 9-5/8 in, 0.545 in, P110, a = 5 % of the wall."""
    wall = 0.545 * 0.0254
    rating = strength.rupture_pressure_combined(
        *(9.625 * 0.0254, wall, 125e3 * PSI, 0.08, 800e3 * LBF, 2000.0 * PSI),
        wall_factor=0.875,
        imperfection_depth=0.05 * wall,
        burst_strength_factor=1.0,
    )
    assert float(rating) / PSI == pytest.approx(14553.2, abs=0.051)


@given(pipes, pulls, outside)
def test_closed_form_agrees_with_a_search_for_the_root(pipe: Pipe, pull: float, p_o: float) -> None:
    """The right-hand side is concave in p_i, so that there is one root above p_o; find it by bisection."""
    force = force_for(pipe, pull, p_o)
    route = brentq(lambda rise: excess(pipe, rise, force, p_o), 0.0, 2.0 * pipe.p_uts, xtol=1e-3, rtol=1e-14)
    working = pipe.working(force, p_o)
    assert not working.overloaded
    assert float(working.difference) == pytest.approx(route, rel=1e-9, abs=1.0)
    assert float(working.rating) == pytest.approx(p_o + route, rel=1e-9, abs=1.0)


def test_both_branches_are_met() -> None:
    pipe = Pipe(fraction=0.05, U=8e8, n=0.1)
    workings = [pipe.working(pull * pipe.U * pipe.steel) for pull in (-0.5, 0.5)]
    assert [bool(w.difference < w.tresca_pressure) for w in workings] == [True, False]


@given(pipes, pulls, outside)
def test_the_working_is_consistent(pipe: Pipe, pull: float, p_o: float) -> None:
    w = pipe.working(force_for(pipe, pull, p_o), p_o)
    assume(float(w.loaded_pressure) > 0.01 * float(w.mises_pressure))  # the root of a small number loses digits
    again = min((float(w.loaded_pressure) + float(w.tresca_pressure)) / 2.0, float(w.loaded_pressure))
    assert float(w.difference) == pytest.approx(again, rel=1e-8)
    F_eff = force_for(pipe, pull, p_o) + p_o * pipe.steel - float(w.difference) * pipe.bore
    assert float(w.effective_force) == pytest.approx(F_eff, rel=1e-9, abs=1e-6 * float(w.ultimate_force))


# Limits


@given(pipes, outside)
def test_without_effective_force_it_is_the_capped_end_pressure(pipe: Pipe, p_o: float) -> None:
    pressure = pipe.capped()
    force = (p_o + pressure) * pipe.bore - p_o * math.pi * pipe.od**2 / 4.0
    assert abs(force + p_o * pipe.steel) < pipe.U * pipe.steel  # caps alone never pull a pipe apart
    working = pipe.working(force, p_o)
    assert float(working.difference) == pytest.approx(pressure, rel=1e-9)
    assert abs(float(working.effective_force)) < 1e-6 * float(working.ultimate_force)


@given(pipes, pulls)
def test_nothing_holds_more_than_capped_ends(pipe: Pipe, pull: float) -> None:
    assert float(pipe.working(force_for(pipe, pull, 0.0)).difference) <= pipe.capped() * (1.0 + 1e-12)


@pytest.mark.parametrize("pull", [-0.9, -0.5, -0.1, 0.0])
def test_without_hardening_a_membrane_yields_by_von_mises(pull: float) -> None:
    """s_h^2 - s_h s_a + s_a^2 = U^2, while the hoop stress is the lesser of the Tresca and von Mises answers."""
    pipe = Pipe(fraction=1e-5, U=1.0, n=0.0, sound=1.0)
    working = pipe.working(pull * pipe.steel)
    assert float(working.force_factor) == 1.0
    hoop = (pull + math.sqrt(4.0 - 3.0 * pull**2)) / 2.0
    assert float(working.difference) / pipe.p_uts == pytest.approx(hoop, rel=1e-4)


@given(pipes, pulls, outside, st.floats(0.0, 1e8))
def test_pressure_on_both_sides_changes_nothing_but_the_axial_force(
    pipe: Pipe, pull: float, p_o: float, more: float
) -> None:
    force = force_for(pipe, pull, p_o)
    one = pipe.working(force, p_o)
    other = pipe.working(force - more * pipe.steel, p_o + more)
    assert float(other.difference) == pytest.approx(float(one.difference), rel=1e-6)


# Where the formula ends


@given(st.floats(0.3, 0.45), st.floats(0.0, 0.3), st.booleans())
def test_necking_is_told_from_the_published_limit_on(fraction: float, n: float, beyond: bool) -> None:
    """A thick pipe with deep imperfections: at the limit p_M is p_refM/2^(1-n), from which the force follows."""
    pipe = Pipe(fraction=fraction, U=8e8, n=n, sound=0.2)
    limit = (math.sqrt(3.0) / 2.0) ** (1.0 - n)
    p_T = 0.5**n * pipe.p_uts
    p_M = (2.0 / math.sqrt(3.0)) ** (1.0 + n) * p_T / 2.0 ** (1.0 - n)
    force = limit * pipe.U * pipe.steel + min((p_M + p_T) / 2.0, p_M) * pipe.bore
    working = pipe.working(force * (1.0 + (1e-6 if beyond else -1e-6)))
    assert not working.overloaded
    assert float(working.necking_limit) == pytest.approx(limit)
    assert float(working.effective_force) == pytest.approx(limit * pipe.U * pipe.steel, rel=1e-4)
    assert float(working.loaded_pressure) == pytest.approx(p_M, rel=1e-3)
    assert bool(working.necks_first) is beyond


@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_nothing_is_left_beyond_the_ultimate_force(sign: float) -> None:
    pipe, p_o = Pipe(fraction=0.05, U=8e8, n=0.1), 3e7
    below, beyond = (pipe.working(force_for(pipe, sign * pull, p_o), p_o) for pull in (0.99999, 1.00001))
    assert not below.overloaded
    assert float(below.difference) > 0.0
    assert beyond.overloaded
    assert (float(beyond.difference), float(beyond.rating)) == (0.0, p_o)
    assert bool(beyond.necks_first) is (sign > 0.0)
    assert float(beyond.effective_force) == pytest.approx(sign * float(beyond.ultimate_force), rel=1e-4)
    assert all(np.isfinite(np.asarray(value)).all() for value in vars(beyond).values())


# Monotony: these raise the right-hand side at every pressure, hence the root


@given(pipes, pulls, st.floats(1.0, 1.2), outside)
def test_more_strength_and_more_sound_wall_never_weaken(pipe: Pipe, pull: float, more: float, p_o: float) -> None:
    force = force_for(pipe, pull, p_o)
    rating = float(pipe.working(force, p_o).rating) * (1.0 - 1e-9)
    stronger = Pipe(fraction=pipe.fraction, U=more * pipe.U, n=pipe.n, sound=pipe.sound)
    sounder = Pipe(fraction=pipe.fraction, U=pipe.U, n=pipe.n, sound=min(more * pipe.sound, 1.0))
    assert float(stronger.working(force, p_o).rating) >= rating
    assert float(sounder.working(force, p_o).rating) >= rating


# Arrays and arguments


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall = np.array([[0.2], [0.3]]), np.array([0.01, 0.02, 0.03])
    force, p_o = np.array([-2e7, -1e6, 2e6, 2e7]).reshape(4, 1, 1), np.linspace(0.0, 5e7, 5).reshape(5, 1, 1, 1)
    steel = {"wall_factor": 0.875, "imperfection_depth": 0.001, "burst_strength_factor": 2.0}
    table = strength.rupture_working_combined(od, wall, 8e8, 0.1, force, p_o, **steel)
    shape = (5, 4, 2, 3)
    assert table.rating.shape == table.difference.shape == table.overloaded.shape == table.necks_first.shape == shape
    assert set(np.unique(table.overloaded).tolist()) == {False, True}
    for i, j, k, m in [(0, 0, 0, 0), (4, 1, 1, 1), (2, 2, 0, 2), (3, 3, 1, 2)]:
        alone = strength.rupture_pressure_combined(
            od[k, 0], wall[m], 8e8, 0.1, force[j, 0, 0], p_o[i, 0, 0, 0], **steel
        )
        assert float(alone) == pytest.approx(float(table.rating[i, j, k, m]), rel=1e-13)
        assert np.ndim(alone) == 0
    for field in vars(table).values():
        np.broadcast_to(field, shape)


def test_lists_and_untouched_inputs() -> None:
    steel = {"wall_factor": 0.875, "imperfection_depth": 0.0, "burst_strength_factor": 1.0}
    force = np.array([1e6, 9e6])
    listed = strength.rupture_pressure_combined(0.2, 0.01, [8e8, 9e8], [0.1, 0.1], [1e6, 9e6], 1e7, **steel)
    assert (
        listed.tolist()
        == strength.rupture_pressure_combined(0.2, 0.01, np.array([8e8, 9e8]), 0.1, force, 1e7, **steel).tolist()
    )
    assert force.tolist() == [1e6, 9e6]


@pytest.mark.parametrize(
    ("force", "p_o", "message"),
    [
        (math.nan, 0.0, "axial_force = nan N: need a finite number"),
        (0.0, math.inf, "external_pressure = inf Pa: need a finite number"),
    ],
)
def test_bad_loads_are_refused(force: float, p_o: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Pipe(fraction=0.05, U=8e8, n=0.1).working(force, p_o)
