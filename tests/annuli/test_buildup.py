"""Trapped annuli, closed: limits, hand calculations and invariants. The second route is in tests/second_route."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from closed_annuli import ALPHA, BRINE, KAPPA, PIPES, STEEL, annulus, lying, one, rigid, rises, three, wall
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from casingloads.annuli.buildup import BuildUp, TrappedAnnulus, Wall, build_up
from casingloads.annuli.expansion import WATER, LiquidLaw, radial_displacement
from casingloads.arrays import Floats
from casingloads.constants import ATMOSPHERE, GRAVITY, INCH
from casingloads.pressure.compressible import integrate_column
from casingloads.well import Steel

FEW = settings(max_examples=25, deadline=None)


# --- limits and hand calculations ------------------------------------------------------------------------------------


@pytest.mark.parametrize("heat", [0.0, 10.0, 50.0, 120.0])
def test_rigid_annulus_rises_by_expansion_over_compressibility(heat: float) -> None:
    """``alpha dT / kappa``; evenly, since each place keeps its density."""
    result = one(annulus("B", rigid("9-5/8"), rigid("13-3/8"), 0.0, 2000.0, heat))
    assert result.pressure_change == pytest.approx(np.full(40, ALPHA * heat / KAPPA), rel=1e-9, abs=1e-3)


def lame_estimate(steel: Steel, *, inner: bool = True, outer: bool = True, heat: float = 50.0) -> float:
    """First order by hand: room that heat leaves over the sum of the compliances, thick walls, held ends."""
    (od_i, t_i), (od_o, t_o) = PIPES["9-5/8"], PIPES["13-3/8"]
    b, a = od_i / 2.0 * INCH, (od_i / 2.0 - t_i) * INCH
    c, d = (od_o / 2.0 - t_o) * INCH, od_o / 2.0 * INCH
    nu, e = steel.poisson, steel.modulus
    lam = (1.0 + nu) / e
    u_in = inner * lam * ((1.0 - 2.0 * nu) * b**3 + a**2 * b) / (b**2 - a**2)  # inward, per pressure outside
    u_out = outer * lam * ((1.0 - 2.0 * nu) * c**3 + d**2 * c) / (d**2 - c**2)  # outward, per pressure inside
    area, warm = c**2 - b**2, (1.0 + nu) * steel.expansion
    free = area * ALPHA - 2.0 * warm * (outer * c**2 - inner * b**2)
    return heat * free / (area * KAPPA + 2.0 * (b * u_in + c * u_out))


def test_small_heating_is_the_first_order_by_hand() -> None:
    hot = lying("B", wall("9-5/8"), wall("13-3/8"), 0.01)
    assert one(hot).rise == pytest.approx(lame_estimate(STEEL, heat=0.01), rel=1e-4)
    half = replace(hot, outer=rigid("13-3/8"))
    assert one(half).rise == pytest.approx(lame_estimate(STEEL, heat=0.01, outer=False), rel=1e-4)


def test_our_case_of_thin_walls_is_nearly_that_of_thick_ones() -> None:
    """9-5/8 in 47 lb/ft in 13-3/8 in 72 lb/ft, 50 K, 4e-4 and 4.5e-10: 44 MPa rigid, 38 outer rigid, 21 both elastic.

    Source: our own calculation with thin walls, not published. The radii of the surfaces, ends held and
    ``p r^2 (1 - nu^2) / (E t)`` give 44.4, 38.2 and 21.4. Thick walls, to first order, 44.4, 39.0 and 21.2: the outer
    rigid case is 1 MPa above the 38 that is quoted. Keeping mass and areas instead of first order 44.4, 39.2, 21.4.
    """
    (od_i, t_i), (od_o, t_o) = PIPES["9-5/8"], PIPES["13-3/8"]
    b, c = od_i / 2.0, od_o / 2.0 - t_o
    area, warm = c**2 - b**2, 2.0 * 1.3 * STEEL.expansion
    thin_in, thin_out = (2.0 * r**3 * 0.91 / (STEEL.modulus * t) for r, t in ((b, t_i), (c, t_o)))
    thin_rigid = 50.0 * (area * ALPHA + warm * b**2) / (area * KAPPA + thin_in)
    thin_both = 50.0 * (area * ALPHA - warm * area) / (area * KAPPA + thin_in + thin_out)
    assert [round(p / 1e6) for p in (ALPHA * 50.0 / KAPPA, thin_rigid, thin_both)] == [44, 38, 21]

    first_order = [
        lame_estimate(STEEL, inner=i, outer=o) / 1e6 for i, o in ((False, False), (True, False), (True, True))
    ]
    assert first_order == pytest.approx([44.44, 39.02, 21.20], abs=0.01)
    closed = [
        lying("B", rigid("9-5/8"), rigid("13-3/8"), 50.0),
        lying("B", wall("9-5/8"), rigid("13-3/8"), 50.0),
        lying("B", wall("9-5/8"), wall("13-3/8"), 50.0),
    ]
    assert [one(case).rise / 1e6 for case in closed] == pytest.approx(first_order, rel=0.01)


def test_pressure_below_the_top_is_that_of_the_hot_column() -> None:
    """Water, integrated by `integrate_column` from the pressure at the top; within 1 kPa."""
    md = np.linspace(500.0, 4000.0, 100)

    def cold(z: Floats) -> Floats:
        return 278.0 + 0.03 * z

    def hot(z: Floats) -> Floats:
        return 340.0 + 0.02 * z

    then = integrate_column(WATER.density, cold, 500.0, 5e6, md)
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 500.0, 4000.0, n=100, fluid=WATER, pressure_then=then)
    result = one(replace(closed, temperature_then=cold(md), temperature_now=hot(md)))
    column = integrate_column(WATER.density, hot, 500.0, result.pressure_now[0], md)
    assert np.max(np.abs(result.pressure_now - column)) < 1e3
    assert result.pressure_change[0] - result.pressure_change[-1] > 3e5  # what a uniform rise would leave out


def test_depth_points_do_not_matter_once_there_are_enough() -> None:
    coarse, fine = (
        one(annulus("B", wall("9-5/8"), wall("13-3/8"), 100.0, 3000.0, n=n, fluid=WATER)) for n in (26, 401)
    )
    assert coarse.rise == pytest.approx(fine.rise, rel=2e-4)


def test_pipe_free_along_its_axis() -> None:
    """By heat a free pipe widens less than a held one, ``alpha`` for ``(1 + nu) alpha``; here the outer pipe wins."""
    held, free = (
        one(lying("B", wall("9-5/8", held=h, moves_with_pressure=False), wall("13-3/8", held=h), 50.0)) for h in (1, 0)
    )
    c = np.asarray(wall("13-3/8").inside_radius)
    for result, grow in ((held, 1.3), (free, 1.0)):
        swept = 1000.0 * np.pi * ((c * (1.0 + grow * STEEL.expansion * 50.0)) ** 2 - c**2)
        assert result.balance.outer_heat == pytest.approx(swept, rel=1e-9)


def test_wall_warmer_than_the_liquid() -> None:
    hot = lying("B", wall("9-5/8", temperature_rise=100.0), wall("13-3/8"), 50.0)
    same = lying("B", wall("9-5/8"), wall("13-3/8"), 50.0)
    ratio = one(hot).balance.inner_heat * one(hot).balance.density / one(same).balance.inner_heat
    assert ratio / one(same).balance.density == pytest.approx(2.0, rel=0.02)
    assert one(hot).rise > one(same).rise


# --- several annuli --------------------------------------------------------------------------------------------------


def alone(closed: TrappedAnnulus, others: Sequence[TrappedAnnulus], found: Sequence[BuildUp]) -> float:
    """Return the rise of one annulus by itself, the others' pressures put in as known."""
    md = np.unique(np.concatenate([closed.md, *(o.md[(o.md > closed.md[0]) & (o.md < closed.md[-1])] for o in others)]))
    md = np.repeat(md, 2)[1:-1]
    middle = np.repeat(0.5 * (md[::2] + md[1::2]), 2)
    sides: dict[str, Any] = {"inner": closed.inner, "outer": closed.outer}
    for side, other_side in (("inner", "outer"), ("outer", "inner")):
        change = np.zeros_like(md)
        for other, result in zip(others, found, strict=True):
            if getattr(other, other_side).pipe == sides[side].pipe:
                here = (middle > other.md[0]) & (middle < other.md[-1])
                change = np.where(here, np.interp(md, other.md, result.pressure_change), change)
        sides[side] = replace(sides[side], far_change=change)
    names = ("tvd", "pressure_then", "temperature_then", "temperature_now")
    arrays = {name: np.interp(md, closed.md, getattr(closed, name)) for name in names}
    return one(replace(closed, md=md, **sides, **arrays)).rise


@pytest.mark.parametrize("fluid", [BRINE, WATER], ids=["brine", "water"])
def test_each_annulus_agrees_with_its_neighbours(fluid: LiquidLaw) -> None:
    """One at a time, with the pressures of the others as known from the solution together."""
    annuli = three(fluid=fluid)
    found = build_up(annuli, STEEL)
    for k, closed in enumerate(annuli):
        others, results = annuli[:k] + annuli[k + 1 :], found[:k] + found[k + 1 :]
        assert alone(closed, others, results) == pytest.approx(found[k].rise, rel=1e-6)


def test_three_annuli_are_not_three_single_ones() -> None:
    together = rises(three())
    single = [rises([closed])[0] for closed in three()]
    assert all(t > s + 1e6 for t, s in zip(together, single, strict=True))  # neighbours press on every wall


def test_heating_one_annulus_raises_the_others() -> None:
    """Reciprocal, too: what A's pressure does to B's volume B's does to A's (Betti)."""
    cold = [replace(a, temperature_now=a.temperature_then) for a in three()]
    warm = [cold[0], three()[1], cold[2]]
    a, b, c = rises(warm)
    assert b > a > 1e5
    assert b > c > 1e5


def test_order_does_not_matter() -> None:
    annuli = three()
    assert rises(annuli[::-1]) == pytest.approx(rises(annuli)[::-1], rel=1e-9)


def test_neighbours_touch_only_where_both_are() -> None:
    """C ends above the top of a deeper annulus around the same pipe: neither feels the other."""
    upper = annulus("upper", wall("9-5/8"), wall("13-3/8"), 100.0, 900.0)
    lower = annulus("lower", wall("9-5/8"), wall("13-3/8"), 900.0, 2000.0)
    assert rises([upper, lower]) == pytest.approx([rises([upper])[0], rises([lower])[0]], rel=1e-9)


def test_outer_wall_of_two_pipes() -> None:
    """Tubing in 9-5/8 in down to a liner hanger, in 13-3/8 in above it: each stretch has its own neighbour.

    An annulus outside the liner alone presses on the lower stretch; the same room as if it were given as known.
    """
    md = np.array([0.0, 1000.0, 1000.0, 2000.0])
    upper, lower = wall("13-3/8"), wall("9-5/8")
    outer = Wall(
        pipe=("13-3/8", "13-3/8", "9-5/8", "9-5/8"),
        inside_radius=np.repeat(np.array([upper.inside_radius, lower.inside_radius], dtype=float), 2),
        outside_radius=np.repeat(np.array([upper.outside_radius, lower.outside_radius], dtype=float), 2),
        far_change=0.0,
    )
    base = annulus("A", wall("5-1/2"), outer, 0.0, 2000.0, n=4)
    then = 280.0 + 0.03 * md
    base = replace(base, md=md, tvd=md, pressure_then=11768.0 * md, temperature_then=then, temperature_now=then + 60.0)
    liner = annulus("liner", wall("9-5/8"), wall("13-3/8"), 1000.0, 2000.0)
    a, b = build_up([base, liner], STEEL)
    known = np.interp(md, liner.md, b.pressure_change) * np.array([0.0, 0.0, 1.0, 1.0])
    known_a = one(replace(base, outer=replace(outer, far_change=known)))
    assert known_a.rise == pytest.approx(a.rise, rel=1e-4)
    assert known_a.rise > one(base).rise + 1e5
    assert b.rise > rises([liner])[0] + 1e5


# --- invariants ------------------------------------------------------------------------------------------------------


def mass_now(closed: TrappedAnnulus, result: BuildUp) -> float:
    """Mass of the liquid now, worked out again from the pressures found; trapezium rule."""
    own = result.pressure_change
    heat = closed.temperature_now - closed.temperature_then
    r_i, r = (np.asarray(radius) for radius in (closed.inner.inside_radius, closed.inner.outside_radius))
    c, c_o = (np.asarray(radius) for radius in (closed.outer.inside_radius, closed.outer.outside_radius))
    r_now = r + radial_displacement(r_i, r, r, 0.0, own, heat, STEEL)
    c_now = c + radial_displacement(c, c_o, c, own, 0.0, heat, STEEL)
    rho = closed.fluid.density(result.pressure_now + ATMOSPHERE, closed.temperature_now)
    return float(trapezoid(rho * np.pi * (c_now**2 - r_now**2), closed.md))


@FEW
@given(heat=st.floats(1.0, 120.0), bottom=st.floats(500.0, 4500.0), water=st.booleans())
def test_mass_is_kept(heat: float, bottom: float, water: bool) -> None:
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 100.0, bottom, heat, fluid=WATER if water else BRINE)
    result = one(closed)
    assert abs(result.mass_error) < 1e-9
    assert mass_now(closed, result) == pytest.approx(result.mass_then, rel=1e-9)
    assert abs(result.balance.left_over) < 1e-9 * result.balance.expansion


@FEW
@given(heat=st.floats(1.0, 90.0), more=st.floats(0.5, 30.0), which=st.integers(0, 2))
def test_more_heat_in_any_annulus_is_more_pressure_in_all(heat: float, more: float, which: int) -> None:
    annuli = three(heat)
    before = rises(annuli)
    annuli[which] = replace(annuli[which], temperature_now=annuli[which].temperature_now + more)
    assert all(after > b for after, b in zip(rises(annuli), before, strict=True))


@FEW
@given(heat=st.floats(5.0, 90.0), modulus=st.floats(50e9, 300e9))
def test_softer_walls_are_less_pressure(heat: float, modulus: float) -> None:
    stiff, soft = Steel(modulus=1.3 * modulus), Steel(modulus=modulus)
    assert all(s < h for s, h in zip(rises(three(heat), soft), rises(three(heat), stiff), strict=True))
    (b,) = rises([three(heat)[1]], soft)
    bound = replace(three(heat)[1], inner=rigid("9-5/8"), outer=rigid("13-3/8"))
    assert b < rises([bound])[0]


def test_backed_pipe_lies_between_soft_and_rigid() -> None:
    """Cemented to rock: heat moves it, pressure does not."""
    soft = annulus("B", wall("9-5/8"), wall("13-3/8"), 100.0, 2000.0)
    backed = replace(soft, outer=wall("13-3/8", moves_with_pressure=False, far_change=None))
    stiff = replace(soft, outer=rigid("13-3/8"))
    low, middle, high = (one(case).rise for case in (soft, backed, stiff))
    assert low < middle < high


def test_partly_cemented_outer_pipe() -> None:
    """Rigid below 1200 m only, the depth given twice: between all soft and all rigid."""
    soft = annulus("B", wall("9-5/8"), wall("13-3/8"), 100.0, 2000.0)
    md = np.array([100.0, 1200.0, 1200.0, 2000.0])
    then = 280.0 + 0.03 * md
    part = replace(
        soft, md=md, tvd=md, pressure_then=1200.0 * GRAVITY * md, temperature_then=then, temperature_now=then + 50.0,
        outer=wall("13-3/8", moves_with_pressure=[True, True, False, False]),
    )  # fmt: skip
    backed = replace(soft, outer=wall("13-3/8", moves_with_pressure=False))
    assert one(soft).rise + 1e6 < one(part).rise < one(backed).rise - 1e6


def test_cooling_lowers_the_pressure() -> None:
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 2000.0, 3000.0, -10.0)
    assert one(closed).rise < -1e6


# --- effort ----------------------------------------------------------------------------------------------------------


class Counting:
    """Counts how often the density is asked for."""

    calls = 0

    def density(self, pressure_abs: Any, temperature: Any) -> Any:
        Counting.calls += 1
        return BRINE.density(pressure_abs, temperature)


def test_few_rounds_are_needed() -> None:
    """Each of three annuli asks four times a round; some twelve rounds, about ten milliseconds for all."""
    Counting.calls = 0
    build_up(three(fluid=Counting()), STEEL)
    assert Counting.calls < 3 * 4 * 25
