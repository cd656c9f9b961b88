"""Load cases of geothermal wells against hand calculations, and the history of yielding against a second route.

The steel of the hand calculations is that of the geothermal texts: 200 GPa and 12e-6 1/K, so 2.4 MPa for each degree.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pandas as pd
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

import casingloads as cl
from casingloads.applicable import why_not
from casingloads.arrays import Array, Floats
from casingloads.axial.hanging import Axial, Inputs, hanging_force
from casingloads.axial.held import Hold, held_force
from casingloads.body import body_along
from casingloads.path import WellPath
from casingloads.plugins.geothermal import heat_through_inner_string, heat_up_and_quench
from casingloads.stations import places, points_along
from casingloads.well import Steel

G, ATM = 9.80665, 101325.0
YIELD = 379e6
PER_DEGREE = 200e9 * 12e-6  # Pa
OUTER, BORE = math.pi / 4 * (9.625 * 0.0254) ** 2, math.pi / 4 * (8.681 * 0.0254) ** 2
STEEL = OUTER - BORE
WEIGHT = 47 * 0.45359237 / 0.3048 * G  # N/m

# A vertical string to 1000 m, cemented to the wellhead in water, so that nothing presses on it but what the case says.
# The reservoir at 2000 m has half the pressure of cold water, 10 MPa.
FILE = """
[well]
name = "by hand"
air_gap = "0 m"
[earth]
depth = ["0 m", "1000 m", "2000 m"]
pore_pressure = ["0 MPa", "5 MPa", "10 MPa"]
temperature = ["20 degC", "200 degC", "320 degC"]
[fluids]
water = "1000 kg/m3"
[steel]
modulus = "200 GPa"
poisson = 0.3
expansion = "12e-6 1/K"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 0.9
triaxial = 0.8
[derating.none]
source = "none: yield the same at every temperature"
temperature = ["0 degC", "400 degC"]
yield_factor = [1.0, 1.0]
[derating.linear]
source = "invented: one part in a thousand of yield lost with each degree"
temperature = ["20 degC", "320 degC"]
yield_factor = [1.0, 0.7]
[temperatures.hot]
depth = ["0 m"]
temperature = ["240 degC"]
[temperatures.cool]
depth = ["0 m", "2000 m"]
temperature = ["20 degC", "60 degC"]
[[strings]]
name = "surface"
hole_size = "26 in"
top = "surface"
shoe = "300 m"
run_in = "water"
cement = [{ from = "shoe", to = "surface", slurry = "water" }]
next_hole = { to = "1000 m", mud = "water", size = "12-1/4 in" }
set_temperature = { depth = ["0 m"], temperature = ["30 degC"] }
sections = [
  { od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "379 MPa", derating = "none", to = "shoe" },
]
[strings.cases.heat-through-inner-string]
hot_temperature = "hot"
uniform_cold = "20 degC"
[[strings]]
name = "production"
hole_size = "12-1/4 in"
top = "surface"
shoe = "1000 m"
run_in = "water"
cement = [{ from = "shoe", to = "surface", slurry = "water" }]
next_hole = { to = "2000 m", mud = "water", size = "8-1/2 in" }
set_temperature = { depth = ["0 m"], temperature = ["40 degC"] }
sections = [
  { od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "379 MPa", derating = "none", to = "shoe" },
]
[strings.cases.heat-up-and-quench]
hot_temperature = "hot"
wellhead_pressure = "1 MPa"
inlet_temperature = "20 degC"
heated_again = true
outside = "as run"
outside_shut_in = "as run"
"""
CASE = FILE[FILE.index("[strings.cases.heat-up-and-quench]") :]


def in_production(old: str, new: str, text: str = FILE) -> str:
    """Return the file with *old* made *new* in the table of the production string."""
    head, mark, tail = text.partition('name = "production"')
    assert old in tail
    return head + mark + tail.replace(old, new)


LABEL = {"production": "heat-up-and-quench", "surface": "heat-through-inner-string"}


@cache
def checked(text: str) -> cl.Result:
    return cl.check(read(text))


def read(text: str) -> cl.Well:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text, encoding="utf-8")
        return cl.read_well(path)


def profile(step: str, text: str = FILE, string: str = "production") -> pd.DataFrame:
    return checked(text).profile(string, LABEL[string], step)


def at(found: pd.DataFrame, md: float, column: str) -> float:
    return float(np.interp(md, found["md_m"], found[column]))


def strain(step: str, text: str = FILE, string: str = "production") -> Floats:
    strained = checked(text).evaluation(string, LABEL[string], step).axial.strained
    assert strained is not None
    return np.asarray(strained, dtype=np.float64)


def reasons(text: str, string: str = "production") -> set[str]:
    factors = checked(text).factors
    rows = factors[(factors["string"] == string) & (factors["status"] == "not-evaluated")]
    return set(rows["reason"])


def told(text: str) -> list[str]:
    return [remark.text() for remark in checked(text).remarks]


# --- the law of the steel, by itself ----------------------------------------------------------------------------------

HELD = Steel(modulus=200e9, poisson=0.3, expansion=12e-6)


def heated(*moments: tuple[float, float], cement: tuple[float, float] = (0.0, 100.0)) -> list[Axial]:
    """Return the forces in a weightless pipe at (rise [K], yield [Pa]) one after the other."""
    pipe = cl.Pipe(label="", outside_diameter=0.3, wall=0.01, weight=0.0, yield_strength=YIELD)
    section = cl.Section(pipe=pipe, top=0.0, bottom=100.0)
    mud = cl.Fluid(name="mud", density=1000.0)
    string = cl.String(
        name="", hole_size=0.4, top=0.0, shoe=100.0, sections=(section,), cement=(), run_in=mud,
        displaced_with=mud, riser=True, required={},
    )  # fmt: skip
    where = places(points_along(0.0, 100.0, [np.array(cement)]), WellPath.vertical(100.0))
    body, zero = body_along(string, where), np.zeros_like(where.md)
    then = Inputs(inside=zero, outside=zero, temperature=zero + 300.0)
    at_set, strained, found = hanging_force(where, body, then), None, []
    for rise, limit in moments:
        now = Inputs(inside=zero, outside=zero, temperature=zero + 300.0 + rise)
        hold = Hold(yield_forces=(-limit * body.steel_area, limit * body.steel_area), strained=strained)
        force = held_force(where, body, HELD, [cement], at_set, then, now, hold=hold)
        strained = force.strained
        found.append(force)
    return found


def stress(force: Axial) -> Array:
    return force.true / (math.pi * (0.3 - 0.01) * 0.01)


def test_steel_of_379_mpa_yields_when_it_is_heated_by_158_degrees() -> None:
    """379 / 2.4 = 157.9 degrees, as the geothermal texts have it (dossier of loads, heating and quench)."""
    assert pytest.approx(157.9, abs=0.05) == YIELD / PER_DEGREE
    (below,), (above,) = heated((157.8, YIELD)), heated((158.0, YIELD))
    assert stress(below) == pytest.approx(-157.8 * PER_DEGREE, rel=1e-12)
    assert below.strained is not None
    assert above.strained is not None
    assert not np.any(below.strained)
    assert stress(above) == pytest.approx(-YIELD, rel=1e-12)
    assert above.strained == pytest.approx(-(158.0 * 12e-6 - YIELD / 200e9), rel=1e-9)


def test_what_yields_in_heat_is_in_tension_when_it_is_as_cold_as_at_first() -> None:
    """By 200 degrees: 480 MPa asked, 379 borne, so 101 MPa of tension and a strain of 101 / 200,000 when it cools."""
    hot, cold = heated((200.0, YIELD), (0.0, YIELD))
    assert stress(hot) == pytest.approx(-379e6, rel=1e-12)
    assert stress(cold) == pytest.approx(101e6, rel=1e-9)
    assert cold.strained == pytest.approx(-101e6 / 200e9, rel=1e-9)
    assert set(cold.terms) == {"as cemented", "ballooning", "temperature", "area steps", "yielding"}


def test_tension_left_is_capped_at_yield() -> None:
    """By 340 degrees: 816 MPa asked, 437 MPa would be left when it cools, 379 are; the strain is 379 / 200,000 then."""
    hot, cold, hot_again = heated((340.0, YIELD), (0.0, YIELD), (340.0, YIELD))
    assert hot.strained == pytest.approx(-437e6 / 200e9, rel=1e-9)
    assert stress(cold) == pytest.approx(379e6, rel=1e-12)
    assert cold.strained == pytest.approx(-379e6 / 200e9, rel=1e-9)
    assert stress(hot_again) == pytest.approx(-379e6, rel=1e-9)
    assert hot_again.strained == pytest.approx(hot.strained, rel=1e-9)


def test_without_yield_the_way_there_does_not_matter() -> None:
    long_way, short = heated((150.0, YIELD), (-100.0, YIELD), (30.0, YIELD)), heated((30.0, YIELD))
    assert stress(long_way[-1]) == pytest.approx(stress(short[-1]), rel=1e-12)
    assert long_way[-1].strained is not None
    assert not np.any(long_way[-1].strained)


def test_with_yield_the_way_there_matters() -> None:
    """Cold after hot is in tension; cold before hot is not."""
    after, before = heated((250.0, YIELD), (0.0, YIELD))[-1], heated((0.0, YIELD), (250.0, YIELD))[0]
    assert stress(after) == pytest.approx(600e6 - 379e6, rel=1e-9)
    assert stress(before) == pytest.approx(0.0, abs=1.0)


def test_a_length_without_cement_is_elastic() -> None:
    """Cement from 40 m on: the 40 m above take 2.4 MPa for each of 200 degrees, whatever the yield is."""
    hot, cold = heated((200.0, YIELD), (0.0, YIELD), cement=(40.0, 100.0))
    free = np.abs(stress(hot) + 480e6) < 1.0
    assert free.any()
    assert not free.all()
    assert hot.strained is not None
    assert not np.any(hot.strained[free])
    assert stress(cold)[free] == pytest.approx(0.0, abs=1.0)
    assert stress(cold)[~free] == pytest.approx(101e6, rel=1e-9)


def yield_at(rise: float) -> float:
    """Return a yield [Pa] that falls with heat as tables of derating have it: by 5 % at 100 degrees, 30 % at 340."""
    return YIELD * float(np.interp(rise, [0.0, 100.0, 250.0, 340.0], [1.0, 0.95, 0.85, 0.70]))


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-60.0, 340.0), min_size=1, max_size=5))
def test_one_step_at_a_time_is_a_march_in_small_steps(rises: list[float]) -> None:
    """Second route: stress carried along in steps of a degree, cut back to the yield of the moment, no strain kept."""
    marched, at_rise, expected = 0.0, 0.0, []
    for rise in rises:
        for to in np.linspace(at_rise, rise, max(2, math.ceil(abs(rise - at_rise)) + 1))[1:]:
            marched -= PER_DEGREE * (float(to) - at_rise)
            marched = float(np.clip(marched, -yield_at(to), yield_at(to)))
            at_rise = float(to)
        at_rise = rise
        expected.append(marched)
    found = heated(*((rise, yield_at(rise)) for rise in rises))
    assert [float(stress(force)[0]) for force in found] == pytest.approx(expected, rel=1e-6, abs=1e3)


# --- heat-up and quench, by hand --------------------------------------------------------------------------------------


def test_steam_while_it_produces() -> None:
    """1 MPa at the wellhead, 240 degC: 1000 m of steam as dense as at half depth, about 5 kg/m3."""
    found = profile("hot production")
    assert at(found, 0.0, "p_inside_pa") == pytest.approx(1e6, rel=1e-12)
    half = 1e6 + 24e3 + ATM
    head = PropsSI("D", "P", half, "T", 513.15, "IF97::Water") * G * 1000.0
    assert head == pytest.approx(4.97 * G * 1000.0, rel=2e-3)
    assert at(found, 1000.0, "p_inside_pa") == pytest.approx(1e6 + head, rel=1e-5)
    assert (found["temperature_k"] == 513.15).all()


def yields_at(inside: Array, outside: Array, limit: Array = YIELD) -> tuple[Array, Array]:
    """Return the axial stresses at which the bore yields by von Mises: Lame's stresses there, written out."""
    square = OUTER / BORE  # of outside over inside diameter
    radial, hoop = -inside, (inside * (square + 1.0) - 2.0 * outside * square) / (square - 1.0)
    room = np.sqrt(limit**2 - 0.75 * (hoop - radial) ** 2)
    return 0.5 * (radial + hoop) - room, 0.5 * (radial + hoop) + room


def test_force_while_it_produces() -> None:
    """At 500 m, heated by 200 degrees: more than yield, so the force is yield and the rest of it a strain.

    Steam inside takes something off the yield in compression.

    As cemented: 500 m of weight less the water's 9.81 MPa on the end. Ballooning by 2 x 0.3 (p - 4.90 MPa) A_i.
    """
    found = profile("hot production")
    as_cemented = WEIGHT * 500.0 - 1000.0 * G * 1000.0 * STEEL
    inside = at(found, 500.0, "p_inside_pa") - 1000.0 * G * 500.0
    asked = as_cemented + 0.6 * inside * BORE - PER_DEGREE * 200.0 * STEEL
    least = STEEL * float(yields_at(at(found, 500.0, "p_inside_pa"), at(found, 500.0, "p_outside_pa"))[0])
    assert asked < least
    assert at(found, 500.0, "true_force_n") == pytest.approx(least, rel=1e-5)  # the bound is curved between stations
    assert at(found, 500.0, "force_yielding_n") == pytest.approx(least - asked, rel=1e-4)
    left = float(np.interp(500.0, found["md_m"], strain("hot production")))
    assert left == pytest.approx((asked - least) / (200e9 * STEEL), rel=1e-4)
    assert at(found, 500.0, "strain_left") == pytest.approx(left, rel=1e-9)


def test_shut_in_full_of_steam() -> None:
    """10 MPa at 2000 m less 2000 m of dry steam as dense as at half depth; 55 kg/m3 there, 1 MPa in all."""
    found = profile("shut in")
    half = PropsSI("D", "P", 9.46e6 + ATM, "Q", 1, "IF97::Water")
    at_top = 10e6 - half * G * 2000.0
    assert at(found, 0.0, "p_inside_pa") == pytest.approx(at_top, rel=2e-3)
    assert at(found, 0.0, "p_inside_pa") == pytest.approx(8.97e6, abs=0.01e6)
    boiling = PropsSI("T", "P", at(found, 0.0, "p_inside_pa") + ATM, "Q", 1, "IF97::Water")
    assert at(found, 0.0, "temperature_k") == pytest.approx(boiling, abs=1e-3)  # 304 degC: steam condenses on the pipe
    assert "production, heat-up-and-quench: shut in: 8.97 MPa at the wellhead" in told(FILE)


def test_quench_stands_where_it_balances_the_reservoir() -> None:
    """10 MPa bear 10e6 / (1000.5 x 9.80665) = 1019 m of water at 20 degC: level at 981 m, and nothing above it."""
    found = profile("quench")
    dense = PropsSI("D", "P", 5e6 + ATM, "T", 293.15, "IF97::Water")
    level = 2000.0 - 10e6 / (dense * G)
    assert at(found, 1000.0, "p_inside_pa") == pytest.approx(dense * G * (1000.0 - level), rel=0.01)
    assert at(found, level - 1.0, "p_inside_pa") == 0.0
    remark = next(text for text in told(FILE) if "cold water" in text)
    assert float(remark.split("cold water from ")[1].split(" m")[0]) == pytest.approx(level, abs=0.05)
    assert (found["temperature_k"] == 293.15).all()


def test_force_in_the_quench_is_elastic_plus_what_the_strain_left() -> None:
    """At 500 m, 20 degrees colder than when it was cemented, empty inside and 4.90 MPa less than there was."""
    as_cemented = WEIGHT * 500.0 - 1000.0 * G * 1000.0 * STEEL
    elastic = as_cemented - 0.6 * 1000.0 * G * 500.0 * BORE + PER_DEGREE * 20.0 * STEEL
    kept = -200e9 * STEEL * float(np.interp(500.0, profile("shut in")["md_m"], strain("shut in")))
    assert kept > 0.0
    assert at(profile("quench"), 500.0, "true_force_n") == pytest.approx(elastic + kept, rel=1e-9)
    assert np.array_equal(strain("quench"), strain("shut in"))  # 379 MPa are not reached again


def test_produced_once_more_after_the_quench() -> None:
    """Hotter before, while it was shut in: on the way back the pipe bears the heat without yielding again."""
    first, again = profile("hot production"), profile("heated again")
    assert np.array_equal(strain("heated again"), strain("quench"))
    more = at(again, 500.0, "true_force_n") - at(first, 500.0, "true_force_n")
    difference = np.interp(500.0, first["md_m"], strain("hot production") - strain("quench"))
    assert more == pytest.approx(200e9 * STEEL * difference, rel=1e-9)


def test_colder_than_yield_nothing_stays() -> None:
    """Heated by 100 degrees (140 degC), 240 MPa: elastic; but shut in, steam condenses at 304 degC."""
    mild = FILE.replace('temperature = ["240 degC"]', 'temperature = ["140 degC"]')
    assert not np.any(strain("hot production", mild))
    assert np.all(strain("shut in", mild) < 0.0)
    known = mild.replace("heated_again = true", 'heated_again = true\nshut_in_temperature = "hot"')
    for step in ("hot production", "shut in", "quench", "heated again"):
        assert not np.any(strain(step, known))
    assert at(profile("quench", known), 500.0, "force_yielding_n") == 0.0


def test_yield_is_that_of_the_temperature() -> None:
    """At 240 degC 0.78 of 379 MPa is left by the linear table; at 20 degC in the quench all of it."""
    soft = FILE.replace('derating = "none"', 'derating = "linear"')
    hot = profile("hot production", soft)
    least, _ = yields_at(hot["p_inside_pa"].to_numpy(), hot["p_outside_pa"].to_numpy(), 0.78 * YIELD)
    assert hot["true_force_n"].to_numpy() == pytest.approx(least * STEEL, rel=1e-9)
    assert np.all(strain("hot production", soft) < strain("hot production"))
    rating = profile("quench", soft)["tension_rating_n"].to_numpy()
    assert rating == pytest.approx(YIELD * STEEL, rel=1e-9)


def test_every_place_of_the_string_is_a_march_of_its_own() -> None:
    """Second route for the whole case: stress carried in small steps of heat, pressure and yield along all steps."""
    soft = FILE.replace('derating = "none"', 'derating = "linear"')
    names = ("hot production", "shut in", "quench", "heated again")
    frames = [profile(name, soft) for name in names]
    stress_now = frames[0]["force_as_cemented_n"].to_numpy() / STEEL
    water = 1000.0 * G * frames[0]["tvd_m"].to_numpy()
    last: tuple[Array, ...] = (np.full_like(stress_now, 313.15), water, frames[0]["p_outside_pa"].to_numpy())
    for name, frame in zip(names, frames, strict=True):
        goal = tuple(frame[key].to_numpy() for key in ("temperature_k", "p_inside_pa", "p_outside_pa"))
        parts = 400
        for part in range(1, parts + 1):
            kelvin, inside, outside = (a + (b - a) * part / parts for a, b in zip(last, goal, strict=True))
            stress_now = stress_now - PER_DEGREE * (goal[0] - last[0]) / parts
            stress_now = stress_now + 0.6 * (goal[1] - last[1]) / parts * BORE / STEEL
            stress_now = np.clip(stress_now, *yields_at(inside, outside, YIELD * (1.0 - 1e-3 * (kelvin - 293.15))))
        last = goal
        assert frame["true_force_n"].to_numpy() / STEEL == pytest.approx(stress_now, rel=1e-6, abs=1e3), name


# --- what else may fill the well --------------------------------------------------------------------------------------

COOLER = FILE.replace('"320 degC"]\n[fluids]', '"280 degC"]\n[fluids]')  # the reservoir


def test_a_reservoir_too_cold_for_steam_of_its_pressure_says_so() -> None:
    """Water of 280 degC boils at 6.42 MPa absolute. The pipe gets no hotter than the reservoir is."""
    assert any("the reservoir, 280.0 degC, makes steam of 6.32 MPa at most" in text for text in told(COOLER))
    assert profile("shut in", COOLER)["temperature_k"].to_numpy() == pytest.approx(553.15, abs=1e-9)


def test_steam_over_hot_water() -> None:
    """280 degC boils at 6.32 MPa; the 3.68 MPa more of the reservoir bear 3.68e6 / (753 x 9.80665) = 499 m of water.

    Above it 1501 m of dry steam, about 32 kg/m3.
    """
    text = COOLER.replace("heated_again = true", 'shut_in = "steam over hot water"')
    boiling = PropsSI("P", "T", 553.15, "Q", 0, "IF97::Water") - ATM
    water = PropsSI("D", "T", 553.15, "P", 8.2e6 + ATM, "IF97::Water")
    level = 2000.0 - (10e6 - boiling) / (water * G)
    steam = PropsSI("D", "P", boiling - 0.23e6 + ATM, "Q", 1, "IF97::Water")
    found = profile("shut in", text)
    assert at(found, 0.0, "p_inside_pa") == pytest.approx(boiling - steam * G * level, rel=2e-3)
    remark = next(text for text in told(text) if "shut in" in text)
    assert float(remark.split("hot water from ")[1].split(" m")[0]) == pytest.approx(level, abs=0.5)
    assert profile("shut in", text)["temperature_k"].iloc[-1] <= 553.15


def test_boiling_water_while_it_produces() -> None:
    """Boiling at every depth from 0.5 MPa on: at 800 m, about 807 kg/m3 so far, 0.5 + 6.3 MPa."""
    text = FILE.replace('wellhead_pressure = "1 MPa"', 'wellhead_pressure = "0.5 MPa"\nfilled_with = "boiling water"')
    text = text.replace('pore_pressure = ["0 MPa", "5 MPa", "10 MPa"]', 'pore_pressure = ["0 MPa", "8 MPa", "16 MPa"]')
    found = profile("hot production", text)
    pressure, thickness = 0.5e6, 2.0
    for _ in range(int(800.0 / thickness)):  # Euler, with the density at the middle of each layer
        guess = pressure + PropsSI("D", "P", pressure + ATM, "Q", 0, "IF97::Water") * G * thickness / 2.0
        pressure += PropsSI("D", "P", guess + ATM, "Q", 0, "IF97::Water") * G * thickness
    assert at(found, 800.0, "p_inside_pa") == pytest.approx(pressure, rel=1e-4)
    assert pressure == pytest.approx(6.83e6, abs=0.01e6)


def test_quench_full_to_the_wellhead_or_to_a_level() -> None:
    full = FILE.replace("heated_again = true", 'quench_level = "0 m"')
    water = PropsSI("D", "P", 2.5e6 + ATM, "T", 293.15, "IF97::Water")
    assert at(profile("quench", full), 500.0, "p_inside_pa") == pytest.approx(water * G * 500.0, rel=1e-3)
    low = FILE.replace("heated_again = true", 'quench_level = "400 m"')
    assert at(profile("quench", low), 400.0, "p_inside_pa") == 0.0
    assert at(profile("quench", low), 500.0, "p_inside_pa") == pytest.approx(water * G * 100.0, rel=2e-3)


def test_a_reservoir_that_holds_more_than_cold_water_keeps_pressure_on_it() -> None:
    """22 MPa at 2000 m less 19.7 MPa of cold water; it is too much for steam, hot water of 250 degC stands in it."""
    text = FILE.replace('"5 MPa", "10 MPa"]', '"11 MPa", "22 MPa"]').replace('"320 degC"]\n[f', '"250 degC"]\n[f')
    assert reasons(text) == {
        "the reservoir has 22.00 MPa, steam is known here to 16.43 MPa; accepted: shut_in = 'steam over hot water'"
    }
    text = text.replace("heated_again = true", 'shut_in = "steam over hot water"')
    cold = PropsSI("D", "P", 12e6, "T", 293.15, "IF97::Water")
    assert at(profile("quench", text), 0.0, "p_inside_pa") == pytest.approx(22e6 - cold * G * 2000.0, rel=5e-3)
    warm = PropsSI("D", "P", 14e6, "T", 523.15, "IF97::Water")
    assert at(profile("shut in", text), 0.0, "p_inside_pa") == pytest.approx(22e6 - warm * G * 2000.0, rel=5e-3)


def test_the_temperature_of_the_quench_may_be_a_table() -> None:
    text = FILE.replace('inlet_temperature = "20 degC"', 'quench_temperature = "cool"')
    assert at(profile("quench", text), 1000.0, "temperature_k") == pytest.approx(313.15, abs=1e-9)


def test_two_compositions_behind_the_pipe() -> None:
    """Mud of 1200 kg/m3 while it produces and is quenched, water while it is shut in."""
    text = FILE.replace('water = "1000 kg/m3"', 'water = "1000 kg/m3"\nmud = "1200 kg/m3"')
    text = in_production('run_in = "water"', 'run_in = "mud"', text)
    text = text.replace('outside_shut_in = "as run"', 'outside_shut_in = "settled mud"')
    for step, density in (("hot production", 1200.0), ("shut in", 1000.0), ("quench", 1200.0)):
        assert at(profile(step, text), 600.0, "p_outside_pa") == pytest.approx(density * G * 600.0, rel=1e-9)


def test_a_top_without_cement_is_told() -> None:
    text = in_production('to = "surface", slurry', 'to = "150 m", slurry')
    assert any("no cement above 150.00 m md: yielding is not followed there" in remark for remark in told(text))
    free = profile("hot production", text)["md_m"].to_numpy() < 150.0 - 1e-6
    assert not np.any(strain("hot production", text)[free])
    assert not any("no cement above" in remark for remark in told(FILE))


# --- behind another string --------------------------------------------------------------------------------------------


def test_a_string_behind_another_is_heated_and_cools() -> None:
    """20 in, from 30 to 240 degC: 504 MPa asked, 379 borne; at 100 m 30 kN of weight less the end of 300 m of water."""
    found, cold = profile("heated", string="surface"), profile("cooled", string="surface")
    area = math.pi * (20.0 - 0.635) * 0.635 * 0.0254**2
    as_cemented = 133 * 0.45359237 / 0.3048 * G * 200.0 - 1000.0 * G * 300.0 * area
    asked = as_cemented - PER_DEGREE * 210.0 * area
    # one pressure p all around: it shifts the axial stress at which the pipe yields by p
    least = (-YIELD - at(found, 100.0, "p_inside_pa")) * area
    assert at(found, 100.0, "true_force_n") == pytest.approx(least, rel=1e-9)
    expected = as_cemented + PER_DEGREE * 10.0 * area - (asked - least)
    assert at(cold, 100.0, "true_force_n") == pytest.approx(expected, rel=1e-9)
    assert (found["p_inside_pa"] == found["p_outside_pa"]).all()


def test_only_one_string_may_stand_inside() -> None:
    text = FILE.replace(CASE, "")
    text += '[strings.cases.heat-through-inner-string]\nhot_temperature = "hot"\nuniform_cold = "20 degC"\n'
    assert reasons(text) == {"no one later string stands inside all of this one"}


# --- what is asked for, and what is refused ---------------------------------------------------------------------------


def lacking(old: str, new: str) -> set[str]:
    return reasons(in_production(old, new))


def test_the_temperature_when_the_cement_set_is_asked_for() -> None:
    given_there = 'set_temperature = { depth = ["0 m"], temperature = ["40 degC"] }\n'
    assert lacking(given_there, "") == {"needs strings.production.set_temperature"}


def test_yield_in_the_heat_is_asked_for() -> None:
    assert lacking(', derating = "none"', "") == {"needs strings.production.sections[1].derating"}


def test_a_table_of_derating_that_ends_too_early_is_refused() -> None:
    text = FILE.replace('temperature = ["0 degC", "400 degC"]', 'temperature = ["0 degC", "200 degC"]')
    assert any("ends at 200.0 degC, but the pipe is at 240.0 degC" in reason for reason in reasons(text))


def test_a_string_without_cement_is_not_strained() -> None:
    (reason,) = lacking('cement = [{ from = "shoe", to = "surface", slurry = "water" }]\n', "")
    assert reason.startswith("no cement holds this string")


def test_a_reservoir_without_a_hole_to_it_is_asked_for() -> None:
    assert lacking('next_hole = { to = "2000 m", mud = "water", size = "8-1/2 in" }\n', "") == {
        "needs reservoir, since no hole is below this string"
    }


def test_more_pressure_at_the_wellhead_than_the_reservoir_can_bear_is_refused() -> None:
    (reason,) = lacking('wellhead_pressure = "1 MPa"', 'wellhead_pressure = "9.5 MPa"')
    assert reason.startswith("wellhead_pressure 9.50 MPa with steam down to the reservoir needs 10.")
    assert reason.endswith("there, but it has 10.00 MPa; less is accepted")


def test_a_reservoir_near_the_critical_point_is_refused() -> None:
    text = FILE.replace('"320 degC"]\n[fluids]', '"360 degC"]\n[fluids]')
    assert reasons(text) == {"the reservoir has 360.0 degC; steam and water are known here to 350.0 degC"}


def test_one_way_to_say_how_cold_the_quench_is() -> None:
    with pytest.raises(cl.InputError, match="needs exactly one of quench_temperature and inlet_temperature"):
        read(FILE.replace('inlet_temperature = "20 degC"\n', ""))


# --- where they apply -------------------------------------------------------------------------------------------------


def why(text: str, string: str) -> tuple[str, str]:
    scene = cl.Scene(read(text), string)
    return why_not(heat_up_and_quench, scene), why_not(heat_through_inner_string, scene)


def test_the_string_that_steam_touches_and_those_behind_it() -> None:
    assert why(FILE, "production") == ("", "no later string stands inside all of it")
    assert why(FILE, "surface") == ("later strings stand inside all of it", "")


def test_a_liner_is_touched_too_and_the_string_above_it_still() -> None:
    text = (
        FILE
        + """
[[strings]]
name = "liner"
hole_size = "8-1/2 in"
top = "950 m"
shoe = "1900 m"
run_in = "water"
cement = [{ from = "shoe", to = "top", slurry = "water" }]
sections = [{ od = "7 in", wall = "0.408 in", yield = "552 MPa", to = "shoe" }]
"""
    )
    assert why(text, "liner")[0] == ""
    assert why(text, "production")[0] == ""


def test_a_well_that_makes_no_steam_is_passed_over() -> None:
    """Ground of 100 degC at 2000 m, 160 at 5000; a well test that brings 130 degC to the wellhead."""
    text = FILE.replace('["20 degC", "200 degC", "320 degC"]\n[fluids]', '["20 degC", "60 degC", "100 degC"]\n[fluids]')
    text = text.replace('temperature = ["240 degC"]', 'temperature = ["130 degC"]')
    cool = "neither the ground nor a table under [temperatures] is hot enough for steam at the wellhead"
    assert why(text, "production") == (cool, cool)
    assert why(text.replace("130 degC", "170 degC"), "production")[0] == ""  # steam injected, for example


def test_hot_ground_tells_even_without_a_table() -> None:
    text = FILE.replace('temperature = ["240 degC"]', 'temperature = ["40 degC"]')
    assert why(text, "production")[0] == ""


def test_a_string_that_hangs_free_for_life_grows_longer() -> None:
    text = in_production('cement = [{ from = "shoe", to = "surface", slurry = "water" }]\n', "")
    assert why(text, "production") == ("no cement holds it", "no cement holds it")


def test_all_applicable_asks_for_what_it_needs() -> None:
    text = FILE.replace(CASE, 'cases = "all-applicable"\n')
    factors = checked(text).factors
    rows = factors[(factors["string"] == "production") & (factors["case"] == "heat-up-and-quench")]
    (reason,) = set(rows["reason"])
    assert reason.startswith("needs hot_temperature, wellhead_pressure")


# --- the example ------------------------------------------------------------------------------------------------------


def test_ulvane_2_meets_its_factors_past_yield() -> None:
    """What the comments of the example say of it."""
    example = Path(__file__).parents[2] / "examples" / "ulvane-2.toml"
    result = cl.check(cl.read_well(example))
    assert result.verdict == "meets"
    shut, cold = (result.evaluation("production", "heat-up-and-quench", step) for step in ("shut in", "quench"))
    assert shut.axial.strained is not None
    yielded = shut.axial.strained < 0.0
    assert shut.places.md[yielded].min() == 9.0
    assert shut.places.md[yielded].max() == pytest.approx(680.0, abs=5.0)
    assert np.all(cold.axial.true[yielded] > 0.0)
    factors = result.factors[result.factors["case"] == "heat-up-and-quench"].set_index(["step", "mode"])["factor"]
    assert factors["hot production", "compression"] == pytest.approx(1.16, abs=0.005)
    assert factors["hot production", "triaxial"] == pytest.approx(1.32, abs=0.005)
    assert factors["quench", "tension"] > 1.8
