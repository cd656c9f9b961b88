"""The balance of a held length whose pipe buckles, against closed forms and against a dense sum of its own strains."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

import casingloads as cl
from casingloads.arrays import Array
from casingloads.axial.confinement import radial_clearance
from casingloads.axial.hanging import Inputs, hanging_force
from casingloads.axial.held import Hold, held_force
from casingloads.axial.lateral import Lateral
from casingloads.evaluate import Evaluation, evaluate
from casingloads.path import WellPath
from casingloads.state import State
from casingloads.well import Cement, Earth, Section, Steel, String, Table, Well

INCH, FOOT, POUND, G = 0.0254, 0.3048, 0.45359237, 9.80665
LBF = POUND * G
WELLS = Path(__file__).parents[1] / "wells"
STEEL = Steel()
MUD = cl.Fluid(name="mud", density=1200.0)
LIGHT = cl.Fluid(name="light", density=1020.0)
SLURRY = cl.Fluid(name="slurry", density=1850.0)
COLD = Table(tvd=np.array([0.0, 5000.0]), value=np.array([280.0, 400.0]))
BENDY = WellPath(
    [0.0, 300.0, 900.0, 1800.0, 2300.0, 4000.0],
    np.radians([0.0, 0.0, 40.0, 62.0, 35.0, 20.0]),
    np.radians([10.0, 10.0, 30.0, 80.0, 95.0, 140.0]),
)


def pipe(od_in: float, wall_in: float, lb_ft: float) -> cl.Pipe:
    weight = lb_ft * POUND / FOOT
    return cl.Pipe(label="", outside_diameter=od_in * INCH, wall=wall_in * INCH, weight=weight, yield_strength=758e6)


def well_of(path: WellPath, *, buckling: bool = True, **string: object) -> Well:
    """Return a well with one string to 3000 m, free above 2400 m unless said otherwise."""
    given_string = String(
        **{  # type: ignore[arg-type]
            "name": "casing",
            "hole_size": 12.25 * INCH,
            "top": 0.0,
            "shoe": 3000.0,
            "sections": (
                Section(pipe=pipe(9.625, 0.545, 53.5), top=0.0, bottom=1100.0),
                Section(pipe=pipe(8.625, 0.450, 40.0), top=1100.0, bottom=3000.0),
            ),
            "cement": (Cement(top=2400.0, bottom=3000.0, slurry=SLURRY),),
            "run_in": MUD,
            "displaced_with": LIGHT,
            "riser": True,
            "required": {},
            **string,
        }
    )
    return Well(
        name="bendy", air_gap=0.0, water_depth=None, wellhead="ground", wellhead_depth=0.0, path=path,
        earth=Earth(temperature=COLD), fluids={}, strings=(given_string,), buckling=buckling,
    )  # fmt: skip


def worked(well: Well, pressure: float, warmer: float) -> Evaluation:
    inside = cl.column(LIGHT, top=0.0, pressure=pressure)
    state = State(inside=inside, outside=cl.column(MUD), temperature=COLD.plus(warmer))
    return evaluate(well, well.strings[0], state, {})


def lengthening(found: Evaluation, well: Well, top: float, bottom: float) -> float:
    """Return by how much the pipe between two depths has grown since the cement set [m], by its own dense sum.

    Forces, pressures and temperature are linear along a stretch. The side force comes from numerical derivatives of
    the path's direction, the strain of buckling from the formulas written out anew.
    """
    assert found.then is not None
    total = 0.0
    md = found.places.md
    for upper in range(0, len(md), 2):
        lower = upper + 1
        if md[upper] < top - 1e-6 or md[lower] > bottom + 1e-6:
            continue
        s = md[upper] + (md[lower] - md[upper]) * (np.arange(400) + 0.5) / 400

        def along(values: Array, upper: int = upper, lower: int = lower, s: Array = s) -> Array:
            return np.interp(s, md[[upper, lower]], np.broadcast_to(values, md.shape)[[upper, lower]])

        body, now, then = found.body, found.now, found.then
        area = body.steel_area[upper]
        force = along(found.axial.true - found.axial.terms["as cemented"])
        pressure = along((now.inside - then.inside) * body.bore_area - (now.outside - then.outside) * body.outer_area)
        assert now.temperature is not None
        assert then.temperature is not None
        heat = along(now.temperature - then.temperature)
        strain = (force - 2 * STEEL.poisson * pressure) / (STEEL.modulus * area) + STEEL.expansion * heat
        strain += buckled(found, well, s, along(found.axial.effective), upper)
        total += float(np.mean(strain) * (md[lower] - md[upper]))
    return total


def buckled(found: Evaluation, well: Well, s: Array, effective: Array, upper: int) -> Array:
    """Return the strain of buckling along a stretch, straight from the formulas of the references."""
    body = found.body
    od, bore = body.outside_diameter[upper], body.outside_diameter[upper] - 2 * body.wall[upper]
    stiffness = STEEL.modulus * np.pi / 64 * (od**4 - bore**4)
    clearance = (well.strings[0].hole_size - od) / 2
    rise = found.places.tvd[upper + 1] - found.places.tvd[upper]
    gradient = [(p[upper + 1] - p[upper]) / rise for p in (found.now.inside, found.now.outside)]
    weight = body.weight[upper] + gradient[0] * body.bore_area[upper] - gradient[1] * body.outer_area[upper]
    h = 1e-2
    inclination, turn = well.path.inclination(s), well.path.azimuth(s)
    build = (well.path.inclination(s + h) - well.path.inclination(s - h)) / (2 * h)
    walk = np.unwrap(np.stack([well.path.azimuth(s - h), turn, well.path.azimuth(s + h)]), axis=0)
    walk = (walk[2] - walk[0]) / (2 * h)
    in_plane = weight * np.sin(inclination) - effective * build
    across = effective * np.sin(inclination) * walk
    start = 2 * np.sqrt(stiffness * np.hypot(in_plane, across) / clearance)
    force = -effective
    size = clearance**2 / (4 * stiffness)
    with np.errstate(invalid="ignore"):
        snake = 0.7285 * size * force**0.08 * (force - start) ** 0.92
    strain = np.where(force > 2.8 * start, size * force, np.where(force > start, snake, 0.0))
    return -np.where(force > 0, strain, 0.0)


@pytest.mark.parametrize(("pressure", "warmer"), [(0.0, 60.0), (45e6, 0.0), (45e6, 45.0), (0.0, 90.0), (10e6, -40.0)])
def test_a_held_length_keeps_its_length(pressure: float, warmer: float) -> None:
    """Snaking, winding and straight parts in one bent, tapered string; all strains together make nothing of it."""
    well = well_of(BENDY)
    found = worked(well, pressure, warmer)
    grown = lengthening(found, well, 0.0, 2400.0)
    scale = STEEL.expansion * max(abs(warmer), 1.0) * 2400.0 + pressure / STEEL.modulus * 2400.0
    assert abs(grown) < 3e-4 * scale  # stretches of 30 m with the snaking force linear along them
    assert (np.any(found.swing > 0.0)) == (warmer >= 0.0)


def test_all_three_shapes_are_met() -> None:
    swing = np.concatenate([worked(well_of(BENDY), 45e6, warmer).swing for warmer in (0.0, 45.0)])
    assert np.any(swing == 0.0)
    assert np.any((swing > 0.0) & (swing < 1.0))
    assert np.any(swing == 1.0)


def test_vertical_pipe_by_the_closed_form() -> None:
    """Heated pipe in a vertical hole: thermal, elastic and helical shortening balance.

    Helix with the force linear to zero: ``r^2 F^2 / (8 E I w)`` (Lubinski, Althouse & Logan 1962), F at the top of
    cement; the neutral point lies within the free length.
    """
    p = pipe(7.0, 0.408, 29.0)
    section = Section(pipe=p, top=0.0, bottom=3000.0)
    vertical = WellPath.vertical(4000.0)
    well = well_of(vertical, sections=(section,), displaced_with=MUD, hole_size=8.5 * INCH)
    found = worked(
        replace(well, earth=Earth(temperature=Table(tvd=np.array([0.0]), value=np.array([300.0])))), 0.0, 0.0
    )
    state = replace(
        found.state,
        inside=cl.column(MUD),
        temperature=Table(tvd=np.array([0.0]), value=np.array([370.0])),
    )
    flat = replace(well, earth=Earth(temperature=Table(tvd=np.array([0.0]), value=np.array([300.0]))))
    found = evaluate(flat, flat.strings[0], state, {})
    area = np.pi / 4 * (p.outside_diameter**2 - p.inside_diameter**2)
    moment = np.pi / 64 * (p.outside_diameter**4 - p.inside_diameter**4)
    r = (8.5 * INCH - p.outside_diameter) / 2
    weight = p.weight * G - MUD.density * G * area
    top = int(np.argmin(np.abs(found.places.md - 2400.0)))
    assert not found.places.below[top]
    at_set = hanging_force(found.places, found.body, found.then or found.now)  # slurry outside: some compression
    before = max(0.0, -float(at_set.effective[top]))
    e_set = float(at_set.effective[top] - found.axial.effective[top]) + float(found.axial.effective[top])

    # The outside pressure below 2400 m does not touch the free length; above it nothing has changed but the heat.
    def balance(change: float) -> float:
        force = -(e_set + change)
        wound = r**2 / (8 * STEEL.modulus * moment * weight) * (max(force, 0.0) ** 2 - before**2)
        return change * 2400.0 / (STEEL.modulus * area) + STEEL.expansion * 70.0 * 2400.0 - wound

    change = brentq(balance, -2e6, 0.0, xtol=1e-3)
    assert float(found.axial.true[top] - at_set.true[top]) == pytest.approx(change, rel=1e-6)
    straight = -STEEL.modulus * STEEL.expansion * area * 70.0
    assert change > straight * 0.99  # buckling relieves
    assert float(found.axial.terms["buckling"][top]) == pytest.approx(change - straight, rel=1e-5)


def test_check_well_with_buckling() -> None:
    """The check wells leave buckling out and say that it changes 0.1 % of the pressure test, 1.3 % of the heating.

    Source: the note on check well 1, own calculation, not published. In a 12-1/4 in hole.
    """
    well = replace(cl.read_well(WELLS / "check-well-1.toml"), buckling=True)
    string = well.strings[0]
    state = cl.check(well).evaluation("intermediate", "pressure-test").state
    test = evaluate(well, string, state, {})
    free = test.places.md < 6000 * FOOT - 1.0
    share = test.axial.terms["buckling"][free] / (177_562 * LBF)
    assert share == pytest.approx(0.001, abs=0.0005)
    reference = cl.Scene(well, "intermediate").cemented_state()
    assert well.earth.temperature is None or reference.temperature is None
    even = Table(tvd=np.array([0.0]), value=np.array([300.0]))
    warm = replace(well, earth=replace(well.earth, temperature=even))
    hot = State(inside=reference.inside, outside=cl.column(well.fluids[string.run_in.name]),
                temperature=even.plus(100.0 * 5 / 9))  # fmt: skip
    heated = evaluate(warm, string, hot, {})
    share = heated.axial.terms["buckling"][free] / (280_948 * LBF)
    assert share == pytest.approx(0.013, abs=0.001)


@settings(max_examples=25, deadline=None)
@given(pressure=st.floats(0.0, 60e6), warmer=st.floats(-60.0, 120.0))
def test_buckling_only_relieves(pressure: float, warmer: float) -> None:
    with_it, without = (worked(well_of(BENDY, buckling=b), pressure, warmer) for b in (True, False))
    free = with_it.places.md < 2399.0
    assert np.all(with_it.axial.true[free] >= without.axial.true[free] - 1.0)
    assert with_it.axial.true[~free][2:] == pytest.approx(without.axial.true[~free][2:], rel=1e-12)
    assert not np.any(without.swing)


def test_samples_are_solved_one_by_one() -> None:
    """Leading axes: each sample's balance is its own, also those that do not buckle."""
    well = well_of(BENDY)
    single = [worked(well, 30e6, warmer) for warmer in (-20.0, 30.0, 80.0)]
    one = single[0]
    assert one.then is not None
    warm = np.stack([np.asarray(found.now.temperature) for found in single])
    state = Inputs(inside=one.now.inside, outside=one.now.outside, temperature=warm)
    hold = Hold(lateral=one.lateral, lateral_at_set=one.lateral)
    at_set = hanging_force(one.places, one.body, one.then)
    cement = [(2400.0, 3000.0)]
    found = held_force(one.places, one.body, STEEL, cement, at_set, one.then, state, hold=hold)
    alone = [
        held_force(one.places, one.body, STEEL, cement, at_set, one.then,
                   Inputs(inside=one.now.inside, outside=one.now.outside, temperature=warm[k]), hold=hold)
        for k in range(3)
    ]  # fmt: skip
    for k in range(3):
        assert found.true[k] == pytest.approx(alone[k].true, abs=0.1)
    assert isinstance(one.lateral, Lateral)


# --- hanger, landing, wellhead load -----------------------------------------------------------------------------------


def test_landing_pull_goes_to_the_free_length_at_the_top() -> None:
    plain, pulled = (worked(well_of(BENDY, landing=f), 45e6, 45.0) for f in (0.0, 300e3))
    free = plain.places.md < 2399.0
    more, fewer = pulled.axial.true - plain.axial.true, plain.axial.terms["buckling"] - pulled.axial.terms["buckling"]
    assert more[~free][2:] == pytest.approx(0.0, abs=1.0)
    # the pull takes out some of the buckles, so that less is relieved
    assert np.all(fewer[free] > 1e3)
    assert more[free] == pytest.approx(300e3 - fewer[free], rel=1e-6)
    assert np.all(pulled.axial.terms["landing"][free] == 300e3)
    cold = [worked(well_of(BENDY, landing=f), 0.0, -30.0).axial.true for f in (0.0, 300e3)]
    assert (cold[1] - cold[0])[free] == pytest.approx(300e3, rel=1e-9)


def test_a_hanger_that_is_not_locked_rises() -> None:
    """Hot pipe, uniform: the top carries nothing, and rises by what heat grows less what the force pressed.

    Hand calculation: alpha dT L - |dF| L / (E A), dF the force at the top when the cement set.
    """
    p = pipe(7.0, 0.408, 29.0)
    section = Section(pipe=p, top=0.0, bottom=3000.0)
    well = well_of(WellPath.vertical(4000.0), buckling=False, sections=(section,), displaced_with=MUD, locked=False)
    found = worked_even(well, 100.0)
    area = np.pi / 4 * (p.outside_diameter**2 - p.inside_diameter**2)
    at_set = float(found.axial.terms["as cemented"][0])
    assert at_set > 0.0
    assert float(found.axial.true[0]) == pytest.approx(0.0, abs=1e-6)
    rise = STEEL.expansion * 100.0 * 2400.0 - at_set * 2400.0 / (STEEL.modulus * area)
    assert found.axial.lift is not None
    assert float(found.axial.lift[0]) == pytest.approx(rise, rel=1e-9)
    cool = worked_even(well, -20.0)
    assert cool.axial.lift is not None
    assert float(cool.axial.lift[0]) == 0.0
    assert "hanger" not in cool.axial.terms


def worked_even(well: Well, warmer: float) -> Evaluation:
    """Return a string under unchanged pressures, warmer by as much everywhere."""
    even = Table(tvd=np.array([0.0]), value=np.array([300.0]))
    well = replace(well, earth=Earth(temperature=even))
    reference = cl.Scene(well, "casing").cemented_state()
    state = State(inside=reference.inside, outside=reference.outside, temperature=even.plus(warmer))
    return evaluate(well, well.strings[0], state, {})


def test_a_hanger_gives_way_with_buckling_too() -> None:
    """The top carries nothing; what it rises is all the pipe grew, by the dense sum."""
    well = well_of(BENDY, locked=False)
    found = worked(well, 0.0, 90.0)
    assert float(found.axial.true[0]) == pytest.approx(0.0, abs=1e-3)
    assert found.axial.lift is not None
    assert float(found.axial.lift[0]) == pytest.approx(lengthening(found, well, 0.0, 2400.0), rel=2e-3)


@pytest.mark.parametrize("cement_top", [2400.0, 0.0])
def test_wellhead_load_is_carried_at_the_top(cement_top: float) -> None:
    """Nothing but the cement holds the string, so that its very top carries the load, and no pull of its own."""
    cement = (Cement(top=cement_top, bottom=3000.0, slurry=SLURRY),)
    well = well_of(BENDY, cement=cement)
    reference = cl.Scene(well, "casing").cemented_state()
    state = State(inside=reference.inside, outside=reference.outside, wellhead_load=2.0e6)
    found = evaluate(well, well.strings[0], state, {})
    assert float(found.axial.true[0]) == pytest.approx(-2.0e6, rel=1e-9)
    below = found.places.md > 2500.0
    assert found.axial.true[below] == pytest.approx(found.axial.terms["as cemented"][below], rel=1e-9)


def test_pipe_inside_earlier_casing_leans_on_that() -> None:
    """9-5/8 in in 13-3/8 in 68 lb/ft (12.415 in): (12.415 - 9.625) / 2 in, whatever bit drilled the hole below."""
    well = well_of(WellPath.vertical(4000.0))
    inner = replace(well.strings[0], sections=(Section(pipe=pipe(9.625, 0.472, 47.0), top=0.0, bottom=3000.0),))
    host = Section(pipe=pipe(13.375, 0.480, 68.0), top=0.0, bottom=1000.0)
    outer = replace(inner, name="outer", shoe=1000.0, sections=(host,), cement=())
    both = replace(well, strings=(outer, inner))
    state = State(inside=cl.column(LIGHT), outside=cl.column(MUD))
    worked_out = evaluate(both, inner, state, {})
    gap = radial_clearance(both, inner, worked_out.places, worked_out.body) / INCH
    assert gap[worked_out.places.middle < 1000.0] == pytest.approx((12.415 - 9.625) / 2)
    assert gap[worked_out.places.middle > 1000.0] == pytest.approx((12.25 - 9.625) / 2)
