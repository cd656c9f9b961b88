"""Load cases of cementing: pump pressure, plug bump, test on unset cement, lift; on land and on the sea floor.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2; 1 ppg is 12/231 psi/ft. The end of cementing
itself is in `test_installation.py`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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

# 9-5/8 in 47 lb/ft to 8000 ft, plug at 7900 ft; the ground is 20 ft below the drill floor. A spacer stands on the tail,
# heavy brine follows the plug down to 500 ft.
LAND = """
[well]
name = "land"
air_gap = "20 ft"
units = "field"
[earth]
depth = ["0 ft", "8000 ft"]
temperature = ["70 degF", "180 degF"]
[fluids]
mud = "10 ppg"
water = "8.5 ppg"
brine = "11 ppg"
spacer = "12 ppg"
tail = "15 ppg"
[temperatures.circulating]
depth = ["0 ft", "8000 ft"]
temperature = ["90 degF", "120 degF"]
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "8000 ft"
run_in = "mud"
displaced_with = "water"
float_collar = "7900 ft"
cement = [{ from = "shoe", to = "5000 ft", slurry = "tail" }]
spacers = [{ from = "5000 ft", to = "4000 ft", fluid = "spacer" }]
contents = [{ from = "surface", to = "500 ft", fluid = "brine" }]
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases]
cementing = {}
pumped = { case = "cementing", pump_pressure = "1600 psi" }
too-weak = { case = "cementing", pump_pressure = "1300 psi" }
plug-bump = { pressure = "2000 psi" }
green-test = { case = "plug-bump", pressure = "3500 psi", temperature = "circulating" }
at-wellhead = { case = "plug-bump", pressure = "2000 psi", quoted_at = "wellhead" }
low = { case = "plug-bump", pressure = "500 psi" }
"""
# In inches: A_o 72.760, A_i 59.187 in2. Outside stand 4000 ft of mud, 1000 of spacer and 3000 of tail; inside 20 ft of
# water above the wellhead, 480 of brine, 7400 of water down to the collar and 100 of tail below it.
OUTER, BORE = math.pi / 4 * 9.625**2, math.pi / 4 * 8.681**2
PPG = 12 / 231  # psi/ft
OUTSIDE = PPG * (10 * 4000 + 12 * 1000 + 15 * 3000)  # psi at the shoe
ABOVE_PLUG = PPG * (8.5 * 20 + 11 * 480 + 8.5 * 7400)  # psi on the plug, without pressure at the drill floor
TRACK = PPG * 15 * 100  # psi of slurry below it

NO_COLLAR = LAND.replace('float_collar = "7900 ft"\n', "")

# 20 in from the sea floor at 1030 m to 1630 m, displaced with sea water, pad mud above the cement.
SUBSEA = """
[well]
name = "subsea"
air_gap = "30 m"
water_depth = "1000 m"
[earth]
depth = ["1030 m", "1630 m"]
[fluids]
"sea water" = "1025 kg/m3"
"pad mud" = "1200 kg/m3"
slurry = "1600 kg/m3"
[[strings]]
name = "casing"
hole_size = "26 in"
top = "wellhead"
shoe = "1630 m"
run_in = "pad mud"
riser = false
displaced_with = "sea water"
float_collar = "1615 m"
cement = [{ from = "shoe", to = "1330 m", slurry = "slurry" }]
sections = [{ od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56 ksi", to = "shoe" }]
[strings.cases]
cementing = {}
plug-bump = { pressure = "5 MPa" }
at-wellhead = { case = "plug-bump", pressure = "5 MPa", quoted_at = "wellhead" }
"""
DECK = SUBSEA.replace("water_depth =", 'wellhead = "deck"\nwellhead_depth = "11 m"\nwater_depth =')
DECK = DECK.replace("riser = false\n", "")
OUTER_20 = math.pi / 4 * 0.508**2
BORE_20 = math.pi / 4 * (0.508 - 2 * 0.635 * 0.0254) ** 2
WEIGHT_20 = 133 * LBF / FOOT  # N/m
SEA_OUTSIDE = G * (1025 * 1000 + 1200 * 300 + 1600 * 300)  # Pa at the shoe


@cache
def well_of(text: str) -> cl.Well:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.read_well(path, plugins=PLUGINS)


@cache
def checked(text: str) -> cl.Result:
    return cl.check(well_of(text), plugins=PLUGINS)


def profile(text: str, case: str, step: str | None = None) -> pd.DataFrame:
    return checked(text).profile("casing", case, step)


def remark(text: str, case: str, system: Literal["metric", "field"] = "field") -> str:
    (found,) = [line for r in checked(text).remarks if f", {case}: " in (line := r.text(system))]
    return found


def top(found: pd.DataFrame) -> float:
    return float(found["true_force_n"].iloc[0])


def at(found: pd.DataFrame, md: float, column: str) -> list[float]:
    return found[(found["md_m"] - md).abs() < 1e-6][column].to_list()


# --- pump pressure ----------------------------------------------------------------------------------------------------


def test_pump_pressure_stands_on_what_fills_the_string() -> None:
    """1600 psi at the drill floor, brine, water, and 100 ft of slurry below where the plug will land."""
    found = profile(LAND, "pumped", "pumping, plug not yet landed")
    inside = 1600 + ABOVE_PLUG + TRACK
    assert float(found["p_inside_pa"].iloc[-1]) / PSI == pytest.approx(inside, rel=1e-9)
    assert float(found["p_inside_pa"].iloc[0]) / PSI == pytest.approx(1600 + PPG * 8.5 * 20, rel=1e-9)
    assert float(found["p_outside_pa"].iloc[-1]) / PSI == pytest.approx(OUTSIDE, rel=1e-9)
    assert top(found) / LBF == pytest.approx(47 * 7980 + inside * BORE - OUTSIDE * OUTER, rel=1e-9)


def test_bled_off_afterwards_it_is_the_end_of_cementing() -> None:
    after, plain = profile(LAND, "pumped", "displaced, bled off"), profile(LAND, "cementing")
    assert after["true_force_n"].to_list() == plain["true_force_n"].to_list()
    inside = ABOVE_PLUG + TRACK
    assert top(plain) / LBF == pytest.approx(47 * 7980 + inside * BORE - OUTSIDE * OUTER, rel=1e-9)


def test_pump_pressure_must_hold_the_slurry_up() -> None:
    """The slurry outweighs what is inside by 5038.96 - 3628.57 = 1410.39 psi."""
    assert pytest.approx(1410.39, abs=0.01) == OUTSIDE - ABOVE_PLUG - TRACK
    rows = checked(LAND).factors.query("case == 'too-weak'")
    assert set(rows["status"]) == {"not-evaluated"}
    words = "pump_pressure = 1300 psi lets the slurry outside fall back; accepted is more than 1410 psi"
    assert rows["reason"].str.contains(words).all()


# --- lift -------------------------------------------------------------------------------------------------------------


def test_lift_is_pipe_and_contents_against_the_push_from_below() -> None:
    """Effective force at the top: 47 x 7980 lbf of pipe, contents below the wellhead over the bore, p_o A_o.

    A string that does not float has it in the list of weights, not in a remark besides.
    """
    contents = (ABOVE_PLUG + TRACK - PPG * 8.5 * 20) * BORE
    push = (OUTSIDE - PPG * 10 * 20) * OUTER
    more = (47 * 7980 + contents - push) / 1000
    hung = checked(LAND).hook_loads
    (found,) = hung[hung["moment"] == "end of cementing, bled off"]["effective_force_at_top_n"]
    assert found / LBF / 1000 == pytest.approx(more, rel=1e-9)
    assert not [r for r in checked(LAND).remarks if ", cementing: " in r.text()]


def test_a_string_that_the_slurry_lifts_says_so() -> None:
    """Slurry of 2000 kg/m3 up to the wellhead pushes with 243.2 t; pipe weighs 118.8 t, contents 111.9 t: 12.5 less."""
    text = SUBSEA.replace('slurry = "1600 kg/m3"', 'slurry = "2000 kg/m3"').replace('to = "1330 m"', 'to = "wellhead"')
    push = 2000 * G * 600 * OUTER_20
    less = push - G * (1025 * 585 + 2000 * 15) * BORE_20 - WEIGHT_20 * 600
    assert less / G == pytest.approx(12.5e3, abs=100)
    told = f"the push of the slurry outweighs pipe and contents by {less / 1e3:.1f} kN: hold the string down"
    assert told in remark(text, "cementing", "metric")


# --- plug bump --------------------------------------------------------------------------------------------------------


def test_plug_bump_pulls_on_all_of_the_string_above_the_plug() -> None:
    """At the top: pipe, 2000 psi and the fluids above over the bore on the plug, 100 ft of slurry, less p_o A_o."""
    found = profile(LAND, "plug-bump")
    by_hand = 47 * 7980 + (2000 + ABOVE_PLUG + TRACK) * BORE - OUTSIDE * OUTER
    assert top(found) / LBF == pytest.approx(by_hand, rel=1e-9)
    assert (top(found) - top(profile(LAND, "cementing"))) / LBF == pytest.approx(2000 * BORE, rel=1e-9)  # 118,374 lbf


def test_the_shoe_track_stays_in_balance_with_the_slurry_outside() -> None:
    """Below the plug 5038.96 psi less 77.92 psi of slurry; above it 2000 psi and the fluids: the plug holds 589.6."""
    found = profile(LAND, "plug-bump")
    above, below = at(found, 7900 * FOOT, "p_inside_pa")
    assert above / PSI == pytest.approx(2000 + ABOVE_PLUG, rel=1e-9)
    assert below / PSI == pytest.approx(OUTSIDE - TRACK, rel=1e-9)
    assert found["p_inside_pa"].iloc[-1] == pytest.approx(found["p_outside_pa"].iloc[-1], rel=1e-12)
    upper, lower = at(found, 7900 * FOOT, "true_force_n")
    across = 2000 + ABOVE_PLUG - OUTSIDE + TRACK
    assert (upper - lower) / LBF == pytest.approx(across * BORE, rel=1e-9)
    assert across == pytest.approx(589.6, abs=0.1)
    assert remark(LAND, "plug-bump").endswith("590 psi more above the plug at 7900 ft md than below it")


def test_without_a_float_collar_the_plug_lands_at_the_shoe() -> None:
    found = profile(NO_COLLAR, "plug-bump")
    inside = 2000 + PPG * (8.5 * 20 + 11 * 480 + 8.5 * 7500)
    assert float(found["p_inside_pa"].iloc[-1]) / PSI == pytest.approx(inside, rel=1e-9)
    assert top(found) / LBF == pytest.approx(47 * 7980 + inside * BORE - OUTSIDE * OUTER, rel=1e-9)
    assert remark(NO_COLLAR, "plug-bump").endswith(f"{inside - OUTSIDE:.0f} psi more above the plug at 8000 ft md than"
                                                   " below it")  # fmt: skip


def test_burst_and_tension_come_together_at_the_top() -> None:
    found = profile(LAND, "plug-bump").iloc[0]
    assert found["burst_load_pa"] / PSI == pytest.approx(2000 - PPG * (10 - 8.5) * 20, rel=1e-9)
    assert found["true_force_n"] == profile(LAND, "plug-bump")["true_force_n"].max()


def test_a_test_on_unset_cement_is_the_same_at_its_own_pressure_and_temperature() -> None:
    bump, test = profile(LAND, "plug-bump"), profile(LAND, "green-test")
    assert (top(test) - top(bump)) / LBF == pytest.approx(1500 * BORE, rel=1e-9)
    assert test["temperature_k"].iloc[-1] == pytest.approx((120 + 459.67) / 1.8)
    assert bump["temperature_k"].iloc[-1] == pytest.approx((180 + 459.67) / 1.8)


def test_pressure_quoted_at_the_wellhead_does_not_count_what_stands_above_it() -> None:
    floor, head = profile(LAND, "plug-bump"), profile(LAND, "at-wellhead")
    assert float(head["p_inside_pa"].iloc[0]) / PSI == pytest.approx(2000, rel=1e-9)
    assert (top(floor) - top(head)) / LBF == pytest.approx(PPG * 8.5 * 20 * BORE, rel=1e-6)


def test_a_low_pressure_leaves_the_floats_to_hold() -> None:
    """500 psi and the fluids above the plug are 910.4 psi less than the slurry below the plug."""
    assert remark(LAND, "low").endswith("910 psi more below the plug at 7900 ft md than above it: the floats hold it")


def test_plug_bump_on_the_sea_floor() -> None:
    """5 MPa at the drill floor on sea water that fills the line, its 30 m in the air as well."""
    found = profile(SUBSEA, "plug-bump")
    assert float(found["p_inside_pa"].iloc[0]) == pytest.approx(5e6 + 1025 * G * 1030, rel=1e-9)
    on_plug = 5e6 + 1025 * G * 1615
    assert at(found, 1615.0, "p_inside_pa") == pytest.approx([on_plug, SEA_OUTSIDE - 1600 * G * 15], rel=1e-9)
    by_hand = WEIGHT_20 * 600 + (on_plug + 1600 * G * 15) * BORE_20 - SEA_OUTSIDE * OUTER_20
    assert top(found) == pytest.approx(by_hand, rel=1e-9)
    head = profile(SUBSEA, "at-wellhead")
    assert float(head["p_inside_pa"].iloc[0]) == pytest.approx(5e6 + 1025 * G * 1000, rel=1e-9)  # above the sea's


def test_plug_bump_from_a_deck_fills_the_string_above_the_sea_as_well() -> None:
    """Wellhead at 11 m, sea level at 30 m: at the top 5 MPa and 11 m of sea water stand inside."""
    found = profile(DECK, "plug-bump")
    assert found["md_m"].iloc[0] == 11.0
    assert float(found["p_inside_pa"].iloc[0]) == pytest.approx(5e6 + 1025 * G * 11, rel=1e-9)
    assert float(profile(DECK, "at-wellhead")["p_inside_pa"].iloc[0]) == pytest.approx(5e6, rel=1e-9)


@settings(max_examples=20, deadline=None)
@given(pressure=st.floats(0.0, 40e6))
def test_bumping_changes_true_force_only_by_the_end_cap_and_effective_force_not_at_all(pressure: float) -> None:
    """Above the plug; it closes the string, so the pressure bears on its own plug and cannot buckle the pipe."""
    scene, case = cl.Scene(well_of(LAND), "casing"), PLUGINS.cases["plug-bump"]
    (step,) = case(scene, pressure=pressure, quoted_at="drill floor").steps
    bumped = step.states["casing"]
    found, plain = (
        evaluate(scene.well, scene.string, state, {})
        for state in (bumped, replace(bumped, inside=scene.cemented_state().inside))
    )
    above = found.places.middle < 7900 * FOOT
    area = found.body.bore_area[0]
    assert (found.axial.true - plain.axial.true)[above] == pytest.approx(pressure * area, rel=1e-9, abs=1e-2)
    assert (found.axial.effective - plain.axial.effective)[above] == pytest.approx(0.0, abs=1e-2)


# --- where it applies -------------------------------------------------------------------------------------------------


def test_cases_of_cementing_apply_to_what_is_cemented() -> None:
    well = well_of(LAND)
    bare = replace(well, strings=(replace(well.strings[0], cement=()),))
    for name in ("cementing", "plug-bump"):
        applies: Any = PLUGINS.cases[name].applies
        assert applies(cl.Scene(well, "casing")) == applies(cl.Scene(well_of(SUBSEA), "casing")) == ""
        assert applies(cl.Scene(bare, "casing")) == "it is not cemented"
    with pytest.raises(cl.CannotEvaluate, match="no plug is pumped: it is not cemented"):
        PLUGINS.cases["plug-bump"](cl.Scene(bare, "casing"), pressure=1e6)
