"""Axial force of a string that hangs free, against closed forms: weight, buoyancy, pressure on ends and steps.

Numbers marked `own calculation` are worked by plain arithmetic in the project's references, not published.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casingloads import Column, Fluid, Pipe, Section, String, column
from casingloads.arrays import Array
from casingloads.axial.hanging import Inputs, hanging_force
from casingloads.body import Body, body_along
from casingloads.constants import GRAVITY
from casingloads.path import WellPath
from casingloads.stations import Places, places, points_along

INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237
LBF = POUND * GRAVITY
PSI = LBF / INCH**2
PPG = POUND / (231 * INCH**3)
MUD_10 = Fluid(name="mud 10.0", density=10.0 * PPG)
VERTICAL = WellPath.vertical(20_000 * FOOT)
BUILD = WellPath(
    [0.0, 400.0, 900.0, 2500.0, 4000.0], np.radians([0, 0, 25, 65, 80.0]), np.radians([0, 0, 20, 40, 40.0])
)


def pipe(od_in: float, wall_in: float, lb_ft: float) -> Pipe:
    weight = lb_ft * POUND / FOOT
    return Pipe(label="", outside_diameter=od_in * INCH, wall=wall_in * INCH, weight=weight, yield_strength=552e6)


P47, P535 = pipe(9.625, 0.472, 47.0), pipe(9.625, 0.545, 53.5)
P40 = pipe(8.625, 0.45, 40.0)


def run(
    *pipes: tuple[Pipe, float], path: WellPath = VERTICAL, top: float = 0.0, marks: Sequence[Array] = ()
) -> tuple[Places, Body]:
    """Return places and body of a string of (pipe, bottom) from *top* down [m]."""
    tops = [top, *(bottom for _, bottom in pipes)]
    sections = tuple(Section(pipe=p, top=t, bottom=b) for (p, b), t in zip(pipes, tops, strict=False))
    string = String(
        name="", hole_size=0.4, top=top, shoe=tops[-1], sections=sections, cement=(), run_in=MUD_10,
        displaced_with=MUD_10, riser=True, required={},
    )  # fmt: skip
    where = places(points_along(top, tops[-1], [path.stations, np.array(tops), *marks]), path)
    return where, body_along(string, where)


def inputs(where: Places, inside: Column, outside: Column) -> Inputs:
    return Inputs(inside=inside.at(where), outside=outside.at(where))


@settings(max_examples=50, deadline=None)
@given(st.floats(700.0, 2300.0), st.floats(5.0, 20.0), st.floats(0.2, 0.8), st.floats(100.0, 4000.0))
def test_one_fluid_on_both_sides(density: float, od: float, wall: float, shoe: float) -> None:
    """Effective force zero at the end and tension above it: hung in one fluid a string cannot buckle.

    The hook carries the buoyancy factor times the weight where the line weight is all steel.
    """
    area = np.pi / 4 * ((od * INCH) ** 2 - ((od - 2 * wall) * INCH) ** 2)
    made = Pipe(label="", outside_diameter=od * INCH, wall=wall * INCH, weight=7850 * area, yield_strength=552e6)
    where, body = run((made, shoe))
    mud = column(Fluid(name="", density=density))
    found = hanging_force(where, body, inputs(where, mud, mud))
    weight = 7850 * area * GRAVITY * shoe
    assert found.effective[-1] == pytest.approx(0.0, abs=1e-9 * weight)
    assert np.all(found.effective[:-1] > 0.0)
    assert found.true[0] == pytest.approx(weight * (1.0 - density / 7850.0), rel=1e-9)


def test_weight_along_a_deviated_hole_is_that_of_its_depth() -> None:
    where, body = run((P47, 3800.0), path=BUILD)
    mud = column(MUD_10)
    found = hanging_force(where, body, inputs(where, mud, mud))
    depth = float(BUILD.tvd(3800.0))
    pressure = MUD_10.density * GRAVITY * depth
    by_hand = P47.weight * GRAVITY * depth - pressure * body.steel_area[0]
    assert found.true[0] == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize("inside", [600.0, 1200.0, 2000.0])
def test_gradient_is_the_weight_along_the_path_whatever_the_fluids(inside: float) -> None:
    """By differences over the stretches: dF/ds = -w cos(inclination), a crossover or a contact notwithstanding."""
    where, body = run((P535, 1500.0), (P40, 3800.0), path=BUILD, marks=[np.array([1100.0])])
    filling = column(Fluid(name="", density=inside))
    outside = column(MUD_10).over(Fluid(name="", density=1900.0), contact=float(BUILD.tvd(1100.0)))
    found = hanging_force(where, body, inputs(where, filling, outside))
    length = where.md[1::2] - where.md[::2]
    slope = (found.true[::2] - found.true[1::2]) / length
    middle = 0.5 * (where.md[1::2] + where.md[::2])
    along = body.weight[::2] * np.cos(BUILD.inclination(middle))
    assert slope == pytest.approx(along, rel=5e-5)  # the mean of a cosine over 30 m


def test_tapered_string_by_hand() -> None:
    """5000 ft of 53.5 over 5000 ft of 47 lb/ft in 10 ppg mud; own calculation, klbf to 0.1.

    The references worked it with 0.052 psi/ft for 1 lb/gal. With 12/231 the end force is 0.1 % less: -70.5 klbf.
    """
    where, body = run((P535, 5000 * FOOT), (P47, 10_000 * FOOT))
    at_step = np.flatnonzero(np.isclose(where.md, 5000 * FOOT))
    assert len(at_step) == 2
    book = column(Fluid(name="0.52 psi/ft", density=0.52 * PSI / FOOT / GRAVITY))
    found = hanging_force(where, body, inputs(where, book, book))
    numbers = [found.true[0], *found.true[at_step], found.true[-1]]
    assert np.array(numbers) / LBF / 1e3 == pytest.approx([426.8, 159.3, 164.4, -70.6], abs=0.05)
    exact = hanging_force(where, body, inputs(where, column(MUD_10), column(MUD_10)))
    end = -10_000 * 120 / 231 * np.pi / 4 * (9.625**2 - 8.681**2)  # lbf: 0.519481 psi/ft on 13.572 in2
    assert exact.true[-1] / LBF == pytest.approx(end, rel=1e-9)


def test_crossover_to_a_smaller_outside() -> None:
    """9-5/8 over 8-5/8 in: pressure lifts the shoulder outside and pushes the ledge inside down, both at 1000 m.

    Outside 20 MPa, inside 12 MPa there. P535 over P40: A_o 0.046942 and 0.037695 m2, A_i 0.036912 and 0.030238 m2.
    """
    where, body = run((P535, 1000.0), (P40, 2000.0))
    inside = column(Fluid(name="", density=12e6 / 1000 / GRAVITY))
    outside = column(Fluid(name="", density=20e6 / 1000 / GRAVITY))
    found = hanging_force(where, body, inputs(where, inside, outside))
    above, below = found.true[np.flatnonzero(np.isclose(where.md, 1000.0))]
    assert above - below == pytest.approx(20e6 * (0.037695 - 0.046942) - 12e6 * (0.030238 - 0.036912), rel=5e-4)


def test_effective_force_passes_a_crossover_without_a_step() -> None:
    """The effective force carries weight only: its jump at a change of pipe is nil."""
    where, body = run((P535, 1000.0), (P40, 2000.0))
    found = hanging_force(where, body, inputs(where, column(MUD_10), column(Fluid(name="", density=1900.0))))
    above, below = found.effective[np.flatnonzero(np.isclose(where.md, 1000.0))]
    assert above == pytest.approx(below, rel=1e-12)


def test_closed_end_carries_the_pressures_on_it() -> None:
    where, body = run((P47, 2000.0))
    found = hanging_force(where, body, inputs(where, column(MUD_10), column(Fluid(name="", density=1900.0))))
    inside, outside = MUD_10.density * GRAVITY * 2000, 1900 * GRAVITY * 2000
    outer, bore = np.pi / 4 * (9.625 * INCH) ** 2, np.pi / 4 * (8.681 * INCH) ** 2
    assert found.true[-1] == pytest.approx(inside * bore - outside * outer, rel=1e-12)


@settings(max_examples=50, deadline=None)
@given(st.floats(0.0, 60e6))
def test_pressure_on_an_unset_string_pulls_its_whole_length(pressure: float) -> None:
    """A bumped plug under pressure adds the end cap p A_i everywhere while the string is free."""
    where, body = run((P47, 2000.0))
    mud = column(MUD_10)
    before = hanging_force(where, body, inputs(where, mud, mud))
    after = hanging_force(where, body, inputs(where, column(MUD_10, pressure=pressure), mud))
    assert after.true - before.true == pytest.approx(pressure * np.pi / 4 * (8.681 * INCH) ** 2, abs=1e-3)


def test_terms_add_up_and_pull_is_one_of_them() -> None:
    where, body = run((P535, 1000.0), (P40, 2000.0))
    mud = column(MUD_10)
    pull = np.where(where.middle < 1500.0, 4e5, 0.0)
    found = hanging_force(where, body, inputs(where, mud, mud), pull)
    plain = hanging_force(where, body, inputs(where, mud, mud))
    assert sum(found.terms.values()) == pytest.approx(found.true, rel=1e-12)
    assert set(found.terms) == {"end", "weight", "area steps", "pull"}
    assert found.true - plain.true == pytest.approx(pull, abs=1e-6)


@pytest.mark.parametrize("path", [VERTICAL, BUILD], ids=["vertical", "deviated"])
def test_equilibrium_at_every_change(path: WellPath) -> None:
    """Force = end force + weight below + pressure on the area steps below, added up from the shoe in a plain loop."""
    string = [(P535, 0.0, 700.0), (P40, 700.0, 1800.0), (P47, 1800.0, 3600.0)]
    where, body = run(*((made, bottom) for made, _, bottom in string), path=path)
    inside, outside = column(Fluid(name="", density=1050.0), pressure=4e6), column(Fluid(name="", density=1700.0))
    found = hanging_force(where, body, inputs(where, inside, outside))
    force = area_out = area_in = 0.0
    for made, top, bottom in reversed(string):
        at = float(path.tvd(bottom))
        bore, outer = np.pi / 4 * made.inside_diameter**2, np.pi / 4 * made.outside_diameter**2
        # the face that looks down: the whole end, or what this pipe has more than the one below
        force += float(outside.pressure(at)) * (area_out - outer) - float(inside.pressure(at)) * (area_in - bore)
        assert found.true[(np.abs(where.md - bottom) < 1e-6) & ~where.below] == pytest.approx([force], rel=1e-9)
        force += made.weight * GRAVITY * (at - float(path.tvd(top)))
        assert found.true[(np.abs(where.md - top) < 1e-6) & where.below] == pytest.approx([force], rel=1e-9)
        area_out, area_in = outer, bore
