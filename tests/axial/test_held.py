"""Axial force after the cement has set: what is held keeps its length, what is not follows its end.

Numbers marked `own calculation` are worked by plain arithmetic in the project's references, not published.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casingloads import Column, Fluid, Gas, Pipe, Section, String, column
from casingloads.arrays import Array
from casingloads.axial.hanging import Axial, Inputs, hanging_force
from casingloads.axial.held import held_force
from casingloads.body import Body, body_along
from casingloads.constants import GRAVITY
from casingloads.path import WellPath
from casingloads.stations import Places, places, points_along
from casingloads.well import Steel

INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237
LBF = POUND * GRAVITY
PSI = LBF / INCH**2
STEEL = Steel()  # E = 30e6 psi, nu = 0.30, alpha = 6.9e-6 per degF
MUD, HEAVY = Fluid(name="mud", density=1200.0), Fluid(name="heavy", density=1500.0)
SLURRY = Fluid(name="slurry", density=1900.0)
VERTICAL = WellPath.vertical(6000.0)
BUILD = WellPath(
    [0.0, 400.0, 900.0, 2500.0, 4000.0], np.radians([0, 0, 25, 65, 80.0]), np.radians([0, 0, 20, 40, 40.0])
)
Cement = Sequence[tuple[float, float]]


def pipe(od_in: float, wall_in: float, lb_ft: float) -> Pipe:
    weight = lb_ft * POUND / FOOT
    return Pipe(label="", outside_diameter=od_in * INCH, wall=wall_in * INCH, weight=weight, yield_strength=552e6)


P47, P535, P40 = pipe(9.625, 0.472, 47.0), pipe(9.625, 0.545, 53.5), pipe(8.625, 0.45, 40.0)
A_I, A_O = np.pi / 4 * (8.681 * INCH) ** 2, np.pi / 4 * (9.625 * INCH) ** 2  # of P47
A_S = A_O - A_I


def run(
    *pipes: tuple[Pipe, float],
    path: WellPath = VERTICAL,
    cement: Cement = (),
    marks: Sequence[Array] = (),
) -> tuple[Places, Body]:
    """Return places and body of a string of (pipe, bottom) from the drill floor down [m]."""
    tops = [0.0, *(bottom for _, bottom in pipes)]
    sections = tuple(Section(pipe=p, top=t, bottom=b) for (p, b), t in zip(pipes, tops, strict=False))
    string = String(
        name="", hole_size=0.4, top=0.0, shoe=tops[-1], sections=sections, cement=(), run_in=MUD,
        displaced_with=MUD, riser=True, required={},
    )  # fmt: skip
    edges = np.array([edge for interval in cement for edge in interval])
    where = places(points_along(0.0, tops[-1], [path.stations, np.array(tops), edges, *marks]), path)
    return where, body_along(string, where)


def inputs(where: Places, inside: Column, outside: Column, temperature: Array = 300.0) -> Inputs:
    return Inputs(inside=inside.at(where), outside=outside.at(where), temperature=temperature + 0.0 * where.tvd)


def change(where: Places, body: Body, cement: Cement, then: Inputs, now: Inputs) -> Array:
    """Return the change of true force since the cement set [N]."""
    at_set = hanging_force(where, body, then)
    return held_force(where, body, STEEL, cement, at_set, then, now).true - at_set.true


# --- one pipe, by hand ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("inside", "outside", "heat", "true", "effective"),
    [
        pytest.param(2000.0, 0.0, 0.0, 71_025.0, -47_350.0, id="2000-psi-inside-own-calculation"),
        pytest.param(0.0, 2000.0, 0.0, -87_300.0, None, id="2000-psi-outside-own-calculation"),
        pytest.param(0.0, 0.0, 100.0, -280_900.0, -280_900.0, id="100-degF-own-calculation"),
    ],
)
@pytest.mark.parametrize("cement", [[(0.0, 3000.0)], [(2000.0, 3000.0)]], ids=["all-along", "below-2000-m"])
def test_ballooning_and_heat(
    cement: Cement, inside: float, outside: float, heat: float, true: float, effective: float | None
) -> None:
    """9-5/8 in 47 lb/ft with both ends held, pressure and temperature the same all along [psi, degF, lbf]."""
    where, body = run((P47, 3000.0), cement=cement)
    then = inputs(where, column(MUD), column(MUD))
    now = inputs(where, column(MUD, pressure=inside * PSI), column(MUD, pressure=outside * PSI), 300.0 + heat / 1.8)
    at_set = hanging_force(where, body, then)
    found = held_force(where, body, STEEL, cement, at_set, then, now)
    precision = 50.0 if true % 100 == 0 else 0.5  # as printed
    assert (found.true - at_set.true) / LBF == pytest.approx(true, abs=precision)
    if effective is not None:
        assert (found.effective - at_set.effective) / LBF == pytest.approx(effective, abs=precision)


@settings(max_examples=40, deadline=None)
@given(st.floats(-150.0, 300.0))
def test_the_same_rise_everywhere_in_cement(rise: float) -> None:
    """Cemented all along, each piece of each pipe takes -E alpha A_s dT, whatever its neighbours."""
    cement = [(0.0, 3000.0)]
    where, body = run((P535, 1000.0), (P40, 3000.0), cement=cement)
    mud = column(MUD)
    found = change(where, body, cement, inputs(where, mud, mud), inputs(where, mud, mud, 300.0 + rise))
    local = -STEEL.modulus * STEEL.expansion * body.steel_area * rise
    assert found == pytest.approx(local, rel=1e-9, abs=1e-3)


def test_a_rise_that_grows_with_depth_is_averaged_over_the_free_length() -> None:
    """0 K at the top to 60 K at 3000 m, cement from 2000 m: the mean above is 20 K; below, local."""
    cement = [(2000.0, 3000.0)]
    where, body = run((P47, 3000.0), cement=cement)
    mud = column(MUD)
    found = change(where, body, cement, inputs(where, mud, mud), inputs(where, mud, mud, 300.0 + 0.02 * where.tvd))
    stiffness = -STEEL.modulus * STEEL.expansion * A_S
    free = where.middle < 2000.0
    assert found[free] == pytest.approx(stiffness * 20.0, rel=1e-9)
    assert found[~free] == pytest.approx(stiffness * 0.02 * where.md[~free], rel=1e-9)


def test_a_gap_between_two_cemented_intervals_is_balanced_by_itself() -> None:
    """Mud to heavy mud inside: dp_i = 300 g z; between 1500 and 2500 m its mean is that at 2000 m, a hanger or not."""
    cement = [(500.0, 1500.0), (2500.0, 3000.0)]
    where, body = run((P47, 3000.0), cement=cement)
    found = change(
        where, body, cement, inputs(where, column(MUD), column(MUD)), inputs(where, column(HEAVY), column(MUD))
    )
    per_metre = 2 * 0.3 * 300 * GRAVITY * A_I
    gap, top = where.within(1500.0, 2500.0), where.within(0.0, 500.0)
    assert found[gap] == pytest.approx(per_metre * 2000.0, rel=1e-9)
    assert found[top] == pytest.approx(per_metre * 250.0, rel=1e-9)
    assert found[~gap & ~top] == pytest.approx(per_metre * where.md[~gap & ~top], rel=1e-9)


def test_a_free_lower_end_follows_the_pressure_on_it() -> None:
    """Cement from 500 to 1500 m only: below it the change is dp_i A_i - dp_o A_o at the end, 3000 m, all along."""
    cement = [(500.0, 1500.0)]
    where, body = run((P47, 3000.0), cement=cement)
    now = inputs(where, column(HEAVY), column(Fluid(name="", density=1100.0)), 340.0)
    found = change(where, body, cement, inputs(where, column(MUD), column(MUD)), now)
    end = GRAVITY * 3000.0 * (300.0 * A_I + 100.0 * A_O)
    assert found[where.middle > 1500.0] == pytest.approx(end, rel=1e-9)  # and no heat: it may grow


@settings(max_examples=40, deadline=None)
@given(st.floats(0.0, 40e6), st.floats(0.0, 20e6), st.floats(-50.0, 100.0))
def test_without_cement_the_string_hangs_free_for_life(inside: float, outside: float, rise: float) -> None:
    where, body = run((P535, 1000.0), (P40, 2000.0), (P47, 3000.0))
    then = inputs(where, column(MUD), column(MUD))
    now = inputs(where, column(HEAVY, pressure=inside), column(MUD, pressure=outside), 300.0 + rise)
    held = held_force(where, body, STEEL, [], hanging_force(where, body, then), then, now)
    assert held.true == pytest.approx(hanging_force(where, body, now).true, rel=1e-9, abs=1e-2)


# --- balance, superposition, equilibrium ------------------------------------------------------------------------------

TAPERED = ((P535, 700.0), (P40, 1800.0), (P47, 3600.0))
CEMENT = [(1300.0, 1900.0), (2600.0, 3300.0)]  # a crossover above, one inside the cement; a gap; a free end
LEVELS = st.floats(0.0, 3000.0)


def states(where: Places, level: Array, pressure: Array, rise: Array) -> tuple[Inputs, Inputs]:
    then = inputs(where, column(MUD), column(MUD).over(SLURRY, contact=900.0))
    inside = column(Gas(1e3), pressure=pressure).over(HEAVY, contact=level)
    return then, inputs(where, inside, column(MUD), 300.0 + rise + 0.01 * where.tvd)


@pytest.mark.parametrize("path", [VERTICAL, BUILD], ids=["vertical", "deviated"])
@pytest.mark.parametrize("length", [(0.0, 1300.0), (1900.0, 2600.0)], ids=["above-the-cement", "in-the-gap"])
def test_what_is_held_keeps_its_length(length: tuple[float, float], path: WellPath) -> None:
    """The strains [dF - 2 nu (dp_i A_i - dp_o A_o)] / E A_s + alpha dT add up to nothing, metre by metre."""
    level = 600.0
    marks = [path.md_at_tvd(np.array([level, 900.0]))]
    where, body = run(*TAPERED, path=path, cement=CEMENT, marks=marks)
    then, now = states(where, level, 5e6, 30.0)
    found = change(where, body, CEMENT, then, now)
    md = np.arange(length[0] + 0.125, length[1], 0.25)  # the middle of each 0.25 m: no change of pipe within
    z = path.tvd(md)
    number = np.searchsorted([bottom for _, bottom in TAPERED], md)
    outer = np.array([np.pi / 4 * p.outside_diameter**2 for p, _ in TAPERED])[number]
    bore = np.array([np.pi / 4 * p.inside_diameter**2 for p, _ in TAPERED])[number]
    d_inside = column(Gas(1e3), pressure=5e6).over(HEAVY, contact=level).pressure(z) - column(MUD).pressure(z)
    d_outside = column(MUD).pressure(z) - column(MUD).over(SLURRY, contact=900.0).pressure(z)
    force = found[np.searchsorted(where.md[1::2], md) * 2]  # constant along each pipe of a free length
    stretch = force / (STEEL.modulus * (outer - bore))
    balloon = -0.6 * (d_inside * bore - d_outside * outer) / (STEEL.modulus * (outer - bore))
    heat = STEEL.expansion * (30.0 + 0.01 * z)
    size = np.sum(np.abs(stretch) + np.abs(balloon) + np.abs(heat))
    precision = 1e-9 if path is VERTICAL else 1e-5  # pressure is taken for linear along 30 m of arc
    assert np.sum(stretch + balloon + heat) == pytest.approx(0.0, abs=precision * size)


@settings(max_examples=40, deadline=None)
@given(LEVELS, st.floats(0.0, 40e6), st.floats(-80.0, 150.0), st.floats(0.1, 3.0))
def test_changes_superpose(level: float, pressure: float, rise: float, share: float) -> None:
    """Inside pressure, outside pressure and temperature act each by itself, and in proportion."""
    where, body = run(*TAPERED, cement=CEMENT, marks=[np.array([level, 900.0])])
    then, now = states(where, level, pressure, rise)
    cool, warm = 300.0, 300.0 + rise + 0.01 * where.tvd

    def parts(inside: float, outside: float, heat: float) -> Array:
        return change(
            where, body, CEMENT, then,
            Inputs(
                inside=then.inside + inside * (now.inside - then.inside),
                outside=then.outside + outside * (now.outside - then.outside),
                temperature=cool + heat * (warm - cool),
            ),
        )  # fmt: skip

    whole = parts(1.0, 1.0, 1.0)
    assert parts(1, 0, 0) + parts(0, 1, 0) + parts(0, 0, 1) == pytest.approx(whole, rel=1e-9, abs=1.0)
    assert parts(share, share, share) == pytest.approx(share * whole, rel=1e-9, abs=1.0)
    assert parts(0, 0, 0) == pytest.approx(np.zeros_like(whole), abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(LEVELS, st.floats(0.0, 40e6), st.floats(-80.0, 150.0))
def test_equilibrium_closes_at_every_place(level: float, pressure: float, rise: float) -> None:
    """From the shoe up: end force, weight, pressure on area steps as they are now, and what the cement takes.

    Along a length without cement nothing but weight and area steps may change the force. In cement, and at its ends,
    the rest is the cement's: its sum must be what separates the ends of the string.
    """
    where, body = run(*TAPERED, cement=CEMENT, marks=[np.array([level, 900.0])])
    then, now = states(where, level, pressure, rise)
    at_set = hanging_force(where, body, then)
    found = held_force(where, body, STEEL, CEMENT, at_set, then, now)
    scale = np.max(np.abs(found.true))
    cemented = np.zeros(where.md.shape, dtype=bool)
    for top, bottom in CEMENT:
        cemented |= where.within(top, bottom)
    end = (now.inside * body.bore_area - now.outside * body.outer_area)[-1]
    assert found.true[-1] == pytest.approx(end, rel=1e-9, abs=1e-9 * scale)
    by_cement = 0.0
    for i in range(where.md.size - 2, -1, -1):
        step = found.true[i] - found.true[i + 1]
        if where.below[i]:  # a stretch: its weight
            own = body.weight[i] * (where.tvd[i + 1] - where.tvd[i])
        else:  # a point: pressure on a change of area
            own = now.outside[i] * (body.outer_area[i + 1] - body.outer_area[i])
            own -= now.inside[i] * (body.bore_area[i + 1] - body.bore_area[i])
        if cemented[i] or cemented[i + 1]:
            by_cement += step - own
        else:
            assert step == pytest.approx(own, abs=1e-9 * scale)
    hanging = hanging_force(where, body, now).true[0]
    assert found.true[0] - hanging == pytest.approx(by_cement, abs=1e-9 * scale)


# --- samples ----------------------------------------------------------------------------------------------------------

SAMPLE = st.tuples(st.floats(0.0, 3700.0), st.floats(0.0, 40e6), st.floats(-60.0, 90.0))


@settings(max_examples=40, deadline=None)
@given(st.lists(SAMPLE, min_size=1, max_size=4))
def test_samples_together_are_as_each_alone(samples: list[tuple[float, float, float]]) -> None:
    """Level, pressure and temperature of shape (samples, 1); a level may lie below the shoe or just at a change."""
    level, pressure, rise = (np.array(values)[:, np.newaxis] for values in zip(*samples, strict=True))
    where, body = run(*TAPERED, cement=CEMENT, marks=[np.array([900.0]), level])
    assert where.md.shape[0] == len(samples)
    then, now = states(where, level, pressure, rise)
    at_set = hanging_force(where, body, then)
    held = held_force(where, body, STEEL, CEMENT, at_set, then, now)
    free = hanging_force(where, body, now)
    assert held.true.shape == free.true.shape == where.md.shape
    for i, (one_level, one_pressure, one_rise) in enumerate(samples):
        alone, pipe_alone = run(*TAPERED, cement=CEMENT, marks=[np.array([900.0, one_level])])
        then, now = states(alone, one_level, one_pressure, one_rise)
        lone_set = hanging_force(alone, pipe_alone, then)
        lone_held = held_force(alone, pipe_alone, STEEL, CEMENT, lone_set, then, now)
        lone_free = hanging_force(alone, pipe_alone, now)
        same(where.md[i], held.true[i], alone.md, lone_held)
        same(where.md[i], free.true[i], alone.md, lone_free)


def same(md: Array, force: Array, alone_md: Array, alone: Axial) -> None:
    """Compare at both ends, and on the upper and lower side of every edge that both have."""
    edges = [0.0, 700.0, 1300.0, 1800.0, 1900.0, 2600.0, 3300.0, 3600.0]
    for edge in edges:
        mine, other = force[np.abs(md - edge) < 1e-6], alone.true[np.abs(alone_md - edge) < 1e-6]
        assert mine[0] == pytest.approx(other[0], rel=1e-6, abs=1.0)
        assert mine[-1] == pytest.approx(other[-1], rel=1e-6, abs=1.0)
