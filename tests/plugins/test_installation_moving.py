"""Running a string that is moved: drag by closed forms and by integration, and a sudden stop.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

import casingloads as cl
from casingloads.evaluate import evaluate
from casingloads.plugins import cementing, running

G, FOOT = 9.80665, 0.3048
PLUGINS = cl.load_plugins(running, cementing, installed=False)
LBF = 0.45359237 * G
PSI = LBF / 0.0254**2

REQUIRED = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
"""

# 13-3/8 in to 3000 ft, then 9-5/8 in 47 lb/ft to 8000 ft; the ground is 20 ft below the drill floor.
LAND = """
[well]
name = "land"
air_gap = "20 ft"
[earth]
depth = ["0 ft", "8000 ft"]
[fluids]
mud = "10 ppg"
water = "8.5 ppg"
[[strings]]
name = "outer"
hole_size = "17-1/2 in"
top = "surface"
shoe = "3000 ft"
run_in = "mud"
sections = [{ od = "13-3/8 in", wall = "0.480 in", weight = "68 lb/ft", yield = "55 ksi", to = "shoe" }]
[[strings]]
name = "inner"
hole_size = "12-1/4 in"
top = "surface"
shoe = "8000 ft"
run_in = "mud"
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases]
running = {}
stop = { case = "running", stopping_speed = "5 ft/s" }
stop-reflected = { case = "running", stopping_speed = "3.054 ft/s", wave = "reflected" }
all-at-once = { case = "running", stopping_speed = "5 ft/s", friction_cased = 0.2, friction_open_hole = 0.3 }
"""
# 9-5/8 in 47 lb/ft, in inches: A_o 72.760, A_i 59.187, A_s 13.572 in2
OUTER_9, BORE_9 = math.pi / 4 * 9.625**2, math.pi / 4 * 8.681**2
STEEL_9 = OUTER_9 - BORE_9
PPG = 12 / 231  # psi/ft

# One string of 9-5/8 in 47 lb/ft from 5 m to 3000 m below another to 1000 m; the survey is put in.
DEVIATED = """
[well]
name = "deviated"
air_gap = "5 m"
survey = {{ md = [{md}], inclination = [{inclination}], azimuth = [{azimuth}] }}
[earth]
depth = ["0 m", "3000 m"]
[fluids]
mud = "1250 kg/m3"
[[strings]]
name = "outer"
hole_size = "17-1/2 in"
top = "surface"
shoe = "1000 m"
run_in = "mud"
sections = [{{ od = "13-3/8 in", wall = "0.480 in", weight = "68 lb/ft", yield = "55 ksi", to = "shoe" }}]
[[strings]]
name = "inner"
hole_size = "12-1/4 in"
top = "surface"
shoe = "3000 m"
run_in = "mud"
sections = [{{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }}]
[strings.cases]
drag = {{ case = "running", friction_cased = {cased}, friction_open_hole = {open_hole} }}
smooth = {{ case = "running", friction_cased = 0, friction_open_hole = 0.0 }}
"""
WEIGHT_9 = 47 * LBF / FOOT  # N/m
IN_MUD_9 = WEIGHT_9 - 1250 * G * STEEL_9 * 0.0254**2  # N/m


@cache
def well_of(text: str) -> cl.Well:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.read_well(path, plugins=PLUGINS)


@cache
def checked(text: str) -> cl.Result:
    return cl.check(well_of(text), plugins=PLUGINS)


def profile(text: str, case: str, step: str = "landed") -> pd.DataFrame:
    return checked(text).profile("inner", case, step)


def steps(text: str, case: str) -> list[str]:
    factors = checked(text).factors
    return list(dict.fromkeys(factors[factors["case"] == case]["step"]))


def remarks(text: str, case: str, system: Literal["metric", "field"] = "field") -> list[str]:
    return [line for remark in checked(text).remarks if f", {case}: " in (line := remark.text(system))]


def top(found: pd.DataFrame, force: str = "true_force_n") -> float:
    return float(found[force].iloc[0])


def surveyed(*stations: tuple[float, float, float], cased: float = 0.2, open_hole: float = 0.35) -> str:
    md, inclination, azimuth = zip(*stations, strict=True)
    return DEVIATED.format(
        md=", ".join(f'"{x:g} m"' for x in md),
        inclination=", ".join(f'"{x:g} deg"' for x in inclination),
        azimuth=", ".join(f'"{x:g} deg"' for x in azimuth),
        cased=cased,
        open_hole=open_hole,
    )


# --- drag -------------------------------------------------------------------------------------------------------------

SLANT = surveyed((0, 40, 0), (3000, 40, 0), cased=0.3, open_hole=0.3)


@pytest.mark.parametrize(("way", "sign"), [("moving in", -1), ("pulled back out", 1)])
def test_drag_on_a_slant_by_the_closed_form(way: str, sign: int) -> None:
    """F_e = w_e L (cos a -+ mu sin a), Johancsik et al. 1984 without bends (from memory); 2995 m at 40 deg, mu 0.3."""
    slope = math.cos(math.radians(40)) + sign * 0.3 * math.sin(math.radians(40))
    found = profile(SLANT, "drag", f"landed, {way}")
    assert top(found, "effective_force_n") == pytest.approx(IN_MUD_9 * 2995 * slope, rel=1e-9)
    half = profile(SLANT, "drag", f"shoe at 1500 m, {way}")
    assert top(half, "effective_force_n") == pytest.approx(IN_MUD_9 * 1500 * slope, rel=1e-9)
    assert found["force_drag_n"].iloc[-1] == 0.0


def test_drag_has_steps_of_its_own_beside_the_weight_hanging_still() -> None:
    names = steps(SLANT, "drag")
    assert names[-3:] == ["landed", "landed, moving in", "landed, pulled back out"]
    assert len(names) == 3 * len(cl.Scene(well_of(SLANT), "inner").shoe_depths())
    slope = math.cos(math.radians(40))
    assert top(profile(SLANT, "drag"), "effective_force_n") == pytest.approx(IN_MUD_9 * 2995 * slope, rel=1e-9)


def test_remark_gives_what_the_rig_carries_each_way() -> None:
    down, across = math.cos(math.radians(40)), 0.3 * math.sin(math.radians(40))
    still, moving_in, out = (IN_MUD_9 * 2995 * slope / 1e3 for slope in (down, down - across, down + across))
    (told,) = remarks(SLANT, "drag", "metric")
    assert told.endswith(
        f"the rig carries {still:.1f} kN without drag, {moving_in:.1f} kN moving in, {out:.1f} kN pulling back out"
    )


def test_a_string_that_does_not_go_in_by_itself_says_so() -> None:
    """At 80 deg a friction of 0.5 is more than cos/sin = 0.176: every metre along the tangent takes more push."""
    flat = surveyed((0, 0, 0), (300, 0, 0), (900, 80, 0), (3000, 80, 0), cased=0.5, open_hole=0.5)
    carried = top(profile(flat, "drag", "landed, moving in"), "effective_force_n")
    assert carried < 0.0 < top(profile(flat, "drag"), "effective_force_n")
    pushed, _ = remarks(flat, "drag", "metric")
    told = f"it does not go in by itself: with the shoe at 3000.0 m md the rig would carry {carried / 1e3:.1f} kN"
    assert pushed.endswith(told)


ARC = surveyed((0, 0, 30), (500, 0, 30), (1500, 60, 30), (3000, 60, 30))
TURN = surveyed((0, 0, 30), (500, 0, 30), (1500, 60, 30), (2500, 60, 30), (3000, 45, 30))


@pytest.mark.parametrize(("way", "sign"), [("moving in", -1.0), ("pulled back out", 1.0)])
@pytest.mark.parametrize("text", [ARC, TURN], ids=["build and hold", "build, hold and drop"])
def test_drag_in_a_vertical_plane_by_integration(text: str, way: str, sign: float) -> None:
    """dF/ds = w_e cos a +- mu |w_e sin a - F da/ds| from the shoe up: Johancsik et al. 1984, citation from memory.

    Friction 0.2 above 1000 m, 0.35 below. Our own takes stretches of 30 m at most, hence the tolerance.
    """
    survey = [(0.0, 0.0), (500.0, 0.0), (1500.0, 60.0), (3000.0, 60.0)]
    if text is TURN:
        survey = [*survey[:-1], (2500.0, 60.0), (3000.0, 45.0)]
    md, inclination = np.array(survey).T
    angle = np.radians(inclination)
    edges = [3000.0, *sorted({*md[1:-1], 1000.0}, reverse=True), 5.0]
    force = 0.0
    for lower, upper in pairwise(edges):
        middle = 0.5 * (lower + upper)
        number = int(np.searchsorted(md, middle)) - 1
        build = (angle[number + 1] - angle[number]) / (md[number + 1] - md[number])
        friction = 0.2 if middle < 1000.0 else 0.35

        def slope(up: float, F: np.ndarray, build: float = build, mu: float = friction, lower: float = lower) -> Any:
            a = np.interp(lower - up, md, angle)
            return IN_MUD_9 * np.cos(a) + sign * mu * np.abs(IN_MUD_9 * np.sin(a) - F * build)

        force = float(solve_ivp(slope, (0.0, lower - upper), [force], rtol=1e-9, atol=1e-3, max_step=5.0).y[0, -1])
    found = profile(text, "drag", f"landed, {way}")
    assert top(found, "effective_force_n") == pytest.approx(force, rel=2e-4)
    still = top(profile(text, "drag"), "effective_force_n")
    assert abs(force / still - 1.0) > 0.1  # drag is no small part


def test_no_friction_no_drag() -> None:
    for step in ("landed, moving in", "landed, pulled back out"):
        found, still = profile(TURN, "smooth", step), profile(TURN, "smooth")
        assert found["true_force_n"].to_numpy() == pytest.approx(still["true_force_n"].to_numpy(), rel=1e-12)


@settings(max_examples=15, deadline=None)
@given(cased=st.floats(0.0, 0.5), open_hole=st.floats(0.0, 0.5), filled=st.sampled_from(["as the hole", "not at all"]))
def test_it_pulls_more_out_than_still_and_less_in(cased: float, open_hole: float, filled: str) -> None:
    well, case = well_of(TURN), PLUGINS.cases["running"]
    load = case(cl.Scene(well, "inner"), filled=filled, friction_cased=cased, friction_open_hole=open_hole)
    still, moving_in, out = (
        evaluate(well, well.string("inner"), step.states["inner"], {}).axial.true for step in load.steps[-3:]
    )
    assert np.all(moving_in <= still + 1e-6)
    assert np.all(still <= out + 1e-6)


# --- sudden stop ------------------------------------------------------------------------------------------------------


def shock(case: str) -> np.ndarray:
    """Return what the stop adds along the landed string [lbf]."""
    stopped = profile(LAND, case, "landed, stopped suddenly")["true_force_n"]
    return np.asarray((stopped - profile(LAND, case)["true_force_n"]) / LBF)


def test_shock_by_the_published_forms() -> None:
    """L114: 1780 psi per ft/s, to 0.3 % (acoustic impedance of steel; Vreeland 1961 and Rabia 1987, from memory).

    At 5 ft/s and 13.572 in2: 120.8 klbf, the same all along the string.
    """
    assert shock("stop") / STEEL_9 / 5 == pytest.approx(1780, rel=3e-3)
    assert shock("stop") == pytest.approx(math.sqrt(30e6 * PSI * 7850) * FOOT / PSI * 5 * STEEL_9, rel=1e-6)


def test_the_short_forms_are_the_same_formula_at_two_speeds() -> None:
    """L115, L116: 3200 W lbf is 3.04 ft/s doubled, to 1 % (Rahman & Chilingarian; from memory). L117: 1500 W is
    2.9 ft/s not doubled, to 2 % (Rabia; from memory). W is the weight of the plain body, 3.4 lb/ft a square inch.

    With the nominal 47 lb/ft for W, couplings included, 3200 W is 150,400 lbf, 1.9 % more than the wave in the body.
    """
    body = 3.4 * STEEL_9
    assert shock("stop-reflected") == pytest.approx(3200 * body, rel=1e-3)  # at 3.054 ft/s
    assert shock("stop-reflected") * 3.04 / 3.054 == pytest.approx(3200 * body, rel=1e-2)
    assert shock("stop") / 5 * 2.9 == pytest.approx(1500 * body, rel=2e-2)
    assert 3200 * 47 == 150_400
    assert shock("stop-reflected") == pytest.approx(150_400 * body / 47, rel=1e-3)


def test_a_reflected_wave_counts_double() -> None:
    assert shock("stop-reflected") / 3.054 == pytest.approx(2 * shock("stop") / 5, rel=1e-9)


def test_shock_never_comes_on_top_of_drag() -> None:
    names = steps(LAND, "all-at-once")[-4:]
    assert names == ["landed", "landed, moving in", "landed, pulled back out", "landed, stopped suddenly"]
    found = profile(LAND, "all-at-once", "landed, stopped suddenly")
    assert "force_drag_n" not in found
    assert found["force_shock_n"].to_numpy() / LBF == pytest.approx(shock("stop"), rel=1e-9)
    assert shock("all-at-once") == pytest.approx(shock("stop"), rel=1e-9)
