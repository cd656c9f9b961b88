"""Where a string is checked while it is run: the moments named are the worst there are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casingloads import Earth, Fluid, Pipe, Section, String, Well
from casingloads.constants import GRAVITY
from casingloads.evaluate import Evaluation, evaluate
from casingloads.path import WellPath
from casingloads.running import EVEN_STOPS, shoe_depths, tension_while_passing
from casingloads.situations import running
from casingloads.stations import SPACING

INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237
MUD, SEA = Fluid(name="mud", density=1250.0), Fluid(name="sea water", density=1025.0)


def pipe(od_in: float, wall_in: float, lb_ft: float) -> Pipe:
    weight = lb_ft * POUND / FOOT
    return Pipe(label="", outside_diameter=od_in * INCH, wall=wall_in * INCH, weight=weight, yield_strength=552e6)


P47, P535, P40 = pipe(9.625, 0.472, 47.0), pipe(9.625, 0.545, 53.5), pipe(8.625, 0.45, 40.0)


def well_with(path: WellPath, *pipes: tuple[Pipe, float], top: float = 0.0) -> Well:
    """Return a land well with one string of (pipe, bottom) from *top* down [m], run in mud."""
    tops = [top, *(bottom for _, bottom in pipes)]
    sections = tuple(Section(pipe=p, top=t, bottom=b) for (p, b), t in zip(pipes, tops, strict=False))
    string = String(
        name="casing", hole_size=0.4, top=top, shoe=tops[-1], sections=sections, cement=(), run_in=MUD,
        displaced_with=MUD, riser=True, required={},
    )  # fmt: skip
    return Well(
        name="", air_gap=0.0, water_depth=None, wellhead="ground", wellhead_depth=0.0, path=path, earth=Earth(),
        fluids={"mud": MUD, "sea water": SEA}, strings=(string,),
    )  # fmt: skip


def subsea(water: float, shoe: float) -> Well:
    """Return a well with 26 m of air gap and one string from the sea floor to *shoe*, run in sea water."""
    well = well_with(WellPath.vertical(5000.0), (P47, shoe), top=26.0 + water)
    string = replace(well.strings[0], run_in=SEA, displaced_with=SEA, riser=False)
    return replace(
        well, air_gap=26.0, water_depth=water, wellhead="sea floor", wellhead_depth=26.0 + water, strings=(string,)
    )


def hung(well: Well, shoe_at: float) -> Evaluation:
    string = well.strings[0]
    return evaluate(well, string, running(well, string, shoe_at=shoe_at), {})


def outer_fibre(well: Well, shoe_at: float, number: int) -> float:
    """Return the greatest stress from tension plus bending in a section [Pa]; none if it is not in the hole."""
    found = hung(well, shoe_at)
    inside = found.body.section == number
    stress = found.axial.true / found.body.steel_area + found.bending
    return float(np.max(stress[inside], initial=-np.inf))


# --- the moments ------------------------------------------------------------------------------------------------------


def test_vertical_string_of_one_pipe() -> None:
    well = well_with(WellPath.vertical(4000.0), (P47, 3200.0))
    named = shoe_depths(well, well.strings[0])
    assert [depth for depth, _ in named] == pytest.approx([400.0 * i for i in range(1, EVEN_STOPS + 1)])
    assert named[-1] == (3200.0, "landed")
    assert named[0][1] == "shoe at 400 m"


def test_a_subsea_string_hangs_whole_at_the_drill_floor() -> None:
    """584 m of casing to 2250 m: all of it hangs there when the shoe is at 584 m, before the landing string."""
    well = subsea(1640.0, 2250.0)
    named = dict(shoe_depths(well, well.strings[0]))
    assert named[584.0] == "section 1 top at the drill floor"
    assert named[2250.0] == "landed"
    found = hung(well, 584.0)
    assert found.places.md[0] == 0.0
    # in air to 26 m, in sea water below: the sea presses on the open end with 558 m of it
    steel = np.pi / 4 * (P47.outside_diameter**2 - P47.inside_diameter**2)
    by_hand = P47.weight * 9.80665 * 584 - 1025 * 9.80665 * 558 * steel
    assert found.axial.true[0] == pytest.approx(by_hand, rel=1e-12)
    assert found.axial.true[0] > hung(well, 2250.0).axial.true[0]


def test_worst_tension_of_a_subsea_string_is_at_the_drill_floor() -> None:
    """By brute force over the shoe's depth: no other moment pulls harder."""
    well = subsea(1640.0, 2250.0)
    all_depths = np.linspace(5.0, 2250.0, 450)
    worst = max(hung(well, float(depth)).axial.true[0] for depth in all_depths)
    assert hung(well, 584.0).axial.true[0] >= worst


def test_lower_section_pulls_hardest_at_the_drill_floor() -> None:
    """1000 m of 53.5 over 2000 m of 40 lb/ft: the top of the lower section is at the drill floor with 2000 m in."""
    well = well_with(WellPath.vertical(4000.0), (P535, 1000.0), (P40, 3000.0))
    named = dict(shoe_depths(well, well.strings[0]))
    assert named[2000.0] == "section 2 top at the drill floor"
    brute = max(outer_fibre(well, depth, 1) for depth in np.linspace(10.0, 3000.0, 300))
    assert outer_fibre(well, 2000.0, 1) == pytest.approx(brute, rel=1e-12)


def test_a_straight_hole_has_no_dogleg_to_pass() -> None:
    slant = WellPath([0.0, 4000.0], np.radians([30.0, 30.0]), [0.0, 0.0])
    well = well_with(slant, (P535, 1000.0), (P40, 3000.0))
    assert not any("dogleg" in name for _, name in shoe_depths(well, well.strings[0]))


def test_dogleg_by_hand() -> None:
    """10 deg over 100 m from 500 m: bending of 9-5/8 in is E D k / 2 = 44.13 MPa; tension is greatest at its upper end.

    When the lower section's top is at 500 m, its 2000 m reach to 2500 m. The step must show that bending in the
    section itself, so its top must stand in the arc and not just below it.
    """
    path = WellPath([0.0, 500.0, 600.0, 3000.0], np.radians([0.0, 0.0, 10.0, 10.0]), np.zeros(4))
    well = well_with(path, (P47, 1000.0), (P535, 3000.0))
    named = dict(shoe_depths(well, well.strings[0]))
    assert named[2500.0] == "section 2 top in the dogleg at 500 m"
    found = hung(well, 2500.0)
    first = int(np.argmax(found.body.section == 1))
    assert found.places.md[first] == pytest.approx(500.0)
    assert found.bending[first] == pytest.approx(206.8427e9 * 0.244475 / 2 * np.radians(10.0) / 100, rel=1e-6)


ANGLES = st.lists(st.floats(0.0, 70.0), min_size=2, max_size=6)


@settings(max_examples=25, deadline=None)
@given(ANGLES, st.floats(200.0, 1500.0), st.sampled_from([P40, P47, P535]))
def test_no_other_moment_is_worse_in_any_section(inclinations: list[float], change: float, lower: Pipe) -> None:
    """Tension plus bending over a fine grid of shoe depths: the named moments miss at most a spacing's worth."""
    stations = np.linspace(0.0, 3000.0, len(inclinations) + 1)
    path = WellPath(stations, np.radians([0.0, *inclinations]), np.zeros(stations.size))
    well = well_with(path, (P535, change), (lower, 2900.0))
    named = [depth for depth, _ in shoe_depths(well, well.strings[0])]
    grid = np.linspace(20.0, 2900.0, 145)
    for number in (0, 1):
        found = max(outer_fibre(well, depth, number) for depth in named)
        brute = max(outer_fibre(well, float(depth), number) for depth in grid)
        # per metre of shoe the force changes by the weight at most, and a step of pressure area is less
        assert found >= brute - SPACING * 1.5 * 7850 * GRAVITY


# --- tension while passing, by the other route ------------------------------------------------------------------------

BUILD = WellPath(
    [0.0, 400.0, 900.0, 2500.0, 4000.0], np.radians([0, 0, 25, 65, 80.0]), np.radians([0, 0, 20, 40, 40.0])
)


@pytest.mark.parametrize("number", [0, 1, 2])
@pytest.mark.parametrize("path", [WellPath.vertical(4000.0), BUILD], ids=["vertical", "deviated"])
def test_tension_while_passing_is_that_of_the_hanging_string(path: WellPath, number: int) -> None:
    well = well_with(path, (P535, 700.0), (P40, 1900.0), (P47, 3500.0), top=30.0)
    string = well.strings[0]
    top = string.sections[number].top
    depths = np.linspace(0.0, top, 7)
    short = tension_while_passing(well, string, number, depths)
    for depth, force in zip(depths, short, strict=True):
        found = hung(well, string.shoe - top + float(depth))
        first = int(np.argmax(found.body.section == number))
        assert found.places.md[first] == pytest.approx(depth, abs=1e-6)
        assert force == pytest.approx(found.axial.true[first], rel=1e-9)


def test_tension_while_passing_in_open_sea() -> None:
    """With the sea's own top at 26 m: above it the string hangs in air."""
    well = subsea(1640.0, 2250.0)
    string = well.strings[0]
    depths = np.array([0.0, 10.0, 26.0, 500.0, 1666.0])
    for depth, force in zip(depths, tension_while_passing(well, string, 0, depths), strict=True):
        assert force == pytest.approx(hung(well, 584.0 + float(depth)).axial.true[0], rel=1e-9)
