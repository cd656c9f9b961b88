"""Drag of a string that is moved, a plug inside it, and a sudden stop: closed forms and an integration of the rope."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

import casingloads as cl
from casingloads.axial.drag import drag_force
from casingloads.errors import CannotEvaluate
from casingloads.evaluate import Evaluation, evaluate
from casingloads.path import WellPath
from casingloads.state import Friction, State, SuddenStop
from casingloads.well import Earth, Section, String, Well

G, MUD = 9.80665, cl.Fluid(name="mud", density=1150.0)
PIPE = cl.Pipe(label="", outside_diameter=0.2445, wall=0.012, weight=70.0, yield_strength=552e6)
WEIGHT = 70.0 * G - MUD.density * G * np.pi / 4 * (0.2445**2 - 0.2205**2)  # in mud [N/m]
SLANT = WellPath([0.0, 3000.0], np.radians([50.0, 50.0]), [0.0, 0.0])
BUILD = WellPath([0.0, 500.0, 2000.0, 3000.0], np.radians([0.0, 0.0, 75.0, 75.0]), np.radians([20.0, 20.0, 20.0, 20.0]))
TURN = WellPath([0.0, 400.0, 1500.0, 3000.0], np.radians([0.0, 5.0, 60.0, 85.0]), np.radians([0.0, 0.0, 70.0, 150.0]))


def well_of(path: WellPath) -> Well:
    string = String(
        name="casing", hole_size=0.3111, top=0.0, shoe=3000.0, sections=(Section(pipe=PIPE, top=0.0, bottom=3000.0),),
        cement=(), run_in=MUD, displaced_with=MUD, riser=True, required={},
    )  # fmt: skip
    return Well(
        name="slant", air_gap=0.0, water_depth=None, wellhead="ground", wellhead_depth=0.0, path=path, earth=Earth(),
        fluids={}, strings=(string,),
    )  # fmt: skip


def moved(path: WellPath, friction: Friction | None, event: SuddenStop | None = None) -> Evaluation:
    well = well_of(path)
    mud = cl.column(MUD)
    state = State(inside=mud, outside=mud, held=False, friction=friction, event=event)
    return evaluate(well, well.strings[0], state, {})


@pytest.mark.parametrize(("moving", "sign"), [("in", -1.0), ("out", 1.0)])
def test_on_a_slant(moving: str, sign: float) -> None:
    """F_e = w L (cos a +/- mu sin a), Johancsik, Friesen & Dawson 1984 (the formula follows from the slope)."""
    found = moved(SLANT, Friction(cased=0.2, open_hole=0.3, moving=moving))  # type: ignore[arg-type]
    hand = WEIGHT * 3000.0 * (np.cos(np.radians(50.0)) + sign * 0.3 * np.sin(np.radians(50.0)))
    assert float(found.axial.effective[0]) == pytest.approx(hand, rel=1e-9)
    assert "drag" in found.axial.terms


@pytest.mark.parametrize("path", [BUILD, TURN], ids=["build", "turn"])
@pytest.mark.parametrize(("moving", "sign"), [("in", -1.0), ("out", 1.0)])
def test_against_the_rope_equation(path: WellPath, moving: str, sign: float) -> None:
    """Second route: the rope's equation integrated upwards, its side force from differences of the path's direction."""
    friction = 0.35

    def rate(s: float, force: Any) -> list[float]:
        h = 1e-3
        i, a = float(path.inclination(s)), float(path.azimuth(s))
        low, high = max(s - h, 0.0), s + h
        build = (float(path.inclination(high)) - float(path.inclination(low))) / (high - low)
        walk = (float(path.azimuth(high)) - float(path.azimuth(low))) / (high - low)
        assert np.isfinite(a)
        side = np.hypot(WEIGHT * np.sin(i) - force[0] * build, force[0] * np.sin(i) * walk)
        return [-(WEIGHT * np.cos(i) + sign * friction * side)]

    force = [0.0]
    stations = path.stations[path.stations <= 3000.0]
    for lower, upper in zip(stations[:0:-1], stations[-2::-1], strict=True):
        eps = 2e-3  # beside the stations the differences would take both arcs
        solved = solve_ivp(rate, (lower - eps, upper + eps), force, rtol=1e-9, atol=1e-3)
        force = [float(solved.y[0, -1])]
    found = moved(path, Friction(cased=0.1, open_hole=friction, moving=moving))  # type: ignore[arg-type]
    assert float(found.axial.effective[0]) == pytest.approx(force[0], rel=1e-4)  # stretches of 30 m, trapezoids


def test_weightless_rope_on_an_arc() -> None:
    """The capstan: F2 = F1 exp(mu theta)."""
    found = moved(BUILD, None)
    light = replace(found.lateral, weight_in_fluids=np.zeros(found.places.md.shape))
    pull = np.full(found.places.md.shape, 1e5)
    drag = drag_force(pull, found.places, light, 0.3, "out")
    assert float(pull[0] + drag[0]) == pytest.approx(1e5 * np.exp(0.3 * np.radians(75.0)), rel=1e-5)


@settings(max_examples=20, deadline=None)
@given(st.floats(0.0, 0.5))
def test_in_and_out_lie_on_both_sides(friction: float) -> None:
    both = [
        moved(TURN, Friction(cased=0.0, open_hole=friction, moving=way)).axial.effective[0] for way in ("in", "out")
    ]
    free = float(moved(TURN, None).axial.effective[0])
    assert both[0] <= free <= both[1]


def test_friction_beyond_reason_is_refused() -> None:
    wild = WellPath(np.arange(0.0, 3100.0, 100.0), np.full(31, 1.5), np.cumsum(np.full(31, 1.2)))
    with pytest.raises(CannotEvaluate, match="drag does not settle"):
        moved(wild, Friction(cased=2.0, open_hole=60.0, moving="out"))


def test_inside_earlier_strings_the_other_coefficient_counts() -> None:
    """Hand: on the slant, 1000 m cased with 0.2, 2000 m open with 0.3."""
    well = well_of(SLANT)
    outer_pipe = replace(PIPE, outside_diameter=0.34, wall=0.012)
    outer = replace(
        well.strings[0], name="outer", shoe=1000.0, sections=(Section(pipe=outer_pipe, top=0.0, bottom=1000.0),)
    )
    well = replace(well, strings=(outer, well.strings[0]))
    mud = cl.column(MUD)
    friction = Friction(cased=0.2, open_hole=0.3, moving="out")
    found = evaluate(well, well.strings[1], State(inside=mud, outside=mud, held=False, friction=friction), {})
    sine, cosine = np.sin(np.radians(50.0)), np.cos(np.radians(50.0))
    hand = WEIGHT * (3000.0 * cosine + sine * (0.2 * 1000.0 + 0.3 * 2000.0))
    assert float(found.axial.effective[0]) == pytest.approx(hand, rel=1e-9)


@pytest.mark.parametrize("reflected", [False, True])
def test_sudden_stop(reflected: bool) -> None:
    """40.3 MPa per m/s (sqrt(E rho) of steel), doubled by a fixed end."""
    found = moved(SLANT, None, SuddenStop(speed=1.5, reflected=reflected))
    plain = moved(SLANT, None)
    stress = (found.axial.true - plain.axial.true) / found.body.steel_area
    assert stress == pytest.approx(1.5 * 40.3e6 * (2.0 if reflected else 1.0), rel=1e-3)


def test_a_plug_carries_the_difference_of_pressure() -> None:
    """Hand: 10 MPa above the plug at 2950 m, p A_i on it; below it nothing changes."""
    well = well_of(SLANT)
    mud = cl.column(MUD)
    inside = cl.Intervals(tops=(0.0, 2950.0), parts=(cl.column(MUD, pressure=10e6), mud))
    bumped = evaluate(well, well.strings[0], State(inside=inside, outside=mud, held=False, plug_at=2950.0), {})
    plain = moved(SLANT, None)
    assert len(plain.places.md) + 2 == len(bumped.places.md)
    above = bumped.places.middle < 2950.0
    push = 10e6 * np.pi / 4 * 0.2205**2
    own = np.interp(bumped.places.md, plain.places.md, plain.axial.true)
    assert (bumped.axial.true - own)[above] == pytest.approx(push, rel=1e-6)
    assert (bumped.axial.true - own)[~above] == pytest.approx(0.0, abs=1e-3)


# --- a hole that winds more than its plan -----------------------------------------------------------------------------


def test_tortuosity_bends_and_drags() -> None:
    """Vertical on paper, 1 deg/30 m in truth: bending E D/2 k; pulled out, F = w (e^(mu k L) - 1) / (mu k) at the top.

    dF/ds = -(w + mu k F) from the shoe up, by hand; buckling takes no help from it.
    """
    plumb = well_of(WellPath.vertical(3000.0))
    winding = replace(plumb, tortuosity=float(np.radians(1.0) / 30.0))
    mud = cl.column(MUD)
    state = State(inside=mud, outside=mud, held=False, friction=Friction(cased=0.3, open_hole=0.3, moving="out"))
    straight, bent = (evaluate(well, well.strings[0], state, {}) for well in (plumb, winding))
    mu_k = 0.3 * winding.tortuosity
    assert float(bent.axial.effective[0]) == pytest.approx(WEIGHT * np.expm1(mu_k * 3000.0) / mu_k, rel=1e-4)
    assert float(straight.axial.effective[0]) == pytest.approx(WEIGHT * 3000.0, rel=1e-9)
    assert bent.bending == pytest.approx(0.5 * 30e6 * 6894.757293168361 * 0.2445 * winding.tortuosity, rel=1e-9)
    assert np.all(straight.bending == 0.0)
    assert np.all(bent.lateral.side_force(bent.axial.effective) == 0.0)
