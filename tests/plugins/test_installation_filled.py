"""Load cases of a string on its way down: how it is filled, overpull in air, what is refused, and `applies`.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2; 1 ppg is 12/231 psi/ft.
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

import casingloads as cl
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
empty = { case = "running", filled = "not at all" }
partly = { case = "running", filled = "partly", empty_down_to = "400 ft", fill = "water" }
partly-mud = { case = "running", filled = "partly", empty_down_to = "400 ft" }
collar = { case = "running", filled = "above a collar", flotation_collar = "5000 ft" }
in-air = { case = "overpull", pull = "100000 lbf", weight = "air" }
one-friction = { case = "running", friction_cased = 0.2 }
other-friction = { case = "running", friction_open_hole = 0.2 }
rough = { case = "running", friction_cased = 0.2, friction_open_hole = 20 }
still = { case = "running", stopping_speed = "0 ft/s" }
no-speed = { case = "running", wave = "reflected" }
no-level = { case = "running", filled = "partly" }
no-collar = { case = "running", filled = "above a collar" }
idle-level = { case = "running", empty_down_to = "400 ft" }
idle-fill = { case = "running", filled = "not at all", fill = "water" }
too-deep = { case = "running", filled = "partly", empty_down_to = "9000 ft" }
collar-too-high = { case = "running", filled = "above a collar", flotation_collar = "10 ft" }
"""
# 9-5/8 in 47 lb/ft, in inches: A_o 72.760, A_i 59.187, A_s 13.572 in2
OUTER_9, BORE_9 = math.pi / 4 * 9.625**2, math.pi / 4 * 8.681**2
STEEL_9 = OUTER_9 - BORE_9
PPG = 12 / 231  # psi/ft

# 20 in 133 lb/ft from the sea floor at 1030 m to 1630 m, without a riser, pad mud in the hole below the sea floor.
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
[[strings]]
name = "inner"
hole_size = "26 in"
top = "wellhead"
shoe = "1630 m"
run_in = "pad mud"
riser = false
sections = [{ od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56 ksi", to = "shoe" }]
[strings.cases]
empty = { case = "running", filled = "not at all" }
partly = { case = "running", filled = "partly", empty_down_to = "60 m" }
"""
OUTER_20 = math.pi / 4 * 0.508**2
WEIGHT_20 = 133 * LBF / FOOT  # N/m


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


# --- how it is filled -------------------------------------------------------------------------------------------------


def test_an_empty_string_is_pressed_on_by_all_of_the_mud() -> None:
    """8000 ft of 10 ppg: 4155.8 psi on the end and on the wall; 375,060 - 4155.8 x 72.760 = 72,680 lbf at the top."""
    found = profile(LAND, "empty")
    pressure = 8000 * 10 * PPG
    assert (found["p_inside_pa"] == 0.0).all()
    assert float(found["collapse_load_pa"].iloc[-1]) / PSI == pytest.approx(pressure, rel=1e-9)
    assert float(found["true_force_n"].iloc[-1]) / LBF == pytest.approx(-pressure * OUTER_9, rel=1e-9)
    assert top(found) / LBF == pytest.approx(47 * 7980 - pressure * OUTER_9, rel=1e-9)
    assert top(found) / LBF == pytest.approx(72_680, abs=20)
    assert steps(LAND, "empty") == steps(LAND, "running")


def test_a_partly_filled_string_holds_what_was_filled_in_below_its_level() -> None:
    """Empty to 400 ft, 8.5 ppg water below: 3355.8 psi at the shoe inside against 4155.8 psi outside."""
    found = profile(LAND, "partly")
    inside, outside = 7600 * 8.5 * PPG, 8000 * 10 * PPG
    assert float(found["p_inside_pa"].iloc[-1]) / PSI == pytest.approx(inside, rel=1e-9)
    at_level = found[(found["md_m"] - 400 * FOOT).abs() < 1e-6]
    assert len(at_level) == 2  # a station at the level
    assert (at_level["p_inside_pa"] == 0.0).all()
    assert float(found["collapse_load_pa"].iloc[-1]) / PSI == pytest.approx(outside - inside, rel=1e-9)
    assert top(found) / LBF == pytest.approx(47 * 7980 + inside * BORE_9 - outside * OUTER_9, rel=1e-9)


def test_filling_in_what_stands_in_the_hole_is_the_default() -> None:
    found = profile(LAND, "partly-mud")
    assert float(found["p_inside_pa"].iloc[-1]) / PSI == pytest.approx(7600 * 10 * PPG, rel=1e-9)
    assert float(found["collapse_load_pa"].iloc[-1]) / PSI == pytest.approx(400 * 10 * PPG, rel=1e-9)


def test_the_level_counts_from_the_drill_floor_at_every_depth() -> None:
    """Shoe at 1000 ft: 600 ft of water above it, and the string hangs from the drill floor."""
    found = profile(LAND, "partly", "shoe at 305 m")
    inside, outside = 600 * 8.5 * PPG, 1000 * 10 * PPG
    assert top(found) / LBF == pytest.approx(47 * 1000 + inside * BORE_9 - outside * OUTER_9, rel=1e-9)


def test_a_flotation_collar_carries_the_fill_above_it() -> None:
    """Landed: 5000 ft of mud push 2597.4 psi x 59.187 in2 on the collar; below it there is nothing inside."""
    found = profile(LAND, "collar")
    on_collar, outside = 5000 * 10 * PPG * BORE_9, 8000 * 10 * PPG * OUTER_9
    at_collar = found[(found["md_m"] - 5000 * FOOT).abs() < 1e-6]
    assert (at_collar["p_inside_pa"] / PSI).to_list() == pytest.approx([5000 * 10 * PPG, 0.0])
    jump = at_collar["true_force_n"].to_numpy()
    assert (jump[0] - jump[1]) / LBF == pytest.approx(on_collar, rel=1e-9)
    assert top(found) / LBF == pytest.approx(47 * 7980 + on_collar - outside, rel=1e-9)


def test_the_flotation_collar_moves_with_the_string() -> None:
    """Shoe at 4000 ft: the collar, 3000 ft above it, is at 1000 ft. Shoe at 1000 ft: it is not in the hole yet."""
    found = profile(LAND, "collar", "shoe at 1219 m")
    on_collar = 1000 * 10 * PPG * BORE_9
    assert top(found) / LBF == pytest.approx(47 * 4000 + on_collar - 4000 * 10 * PPG * OUTER_9, rel=1e-9)
    early = profile(LAND, "collar", "shoe at 305 m")
    assert (early["p_inside_pa"] == 0.0).all()
    assert top(early) / LBF == pytest.approx(47 * 1000 - 1000 * 10 * PPG * OUTER_9, rel=1e-9)


def test_a_subsea_string_that_floats_says_so() -> None:
    """20 in of 197.9 kg/m displaces 243.2 kg/m of pad mud: 600 m of it float by 266.5 kN once they are all in it.

    Hanging at the drill floor, 30 m of it in the air and 570 m in the sea (207.7 kg/m), it still weighs 3.3 kN.
    """
    found = profile(SUBSEA, "empty")
    afloat = (WEIGHT_20 - 1200 * G * OUTER_20) * 600
    assert afloat == pytest.approx(-266.5e3, abs=100)
    assert top(found, "effective_force_n") == pytest.approx(afloat, rel=1e-9)
    at_floor = profile(SUBSEA, "empty", "section 1 top at the drill floor")
    assert top(at_floor) == pytest.approx(WEIGHT_20 * 600 - 1025 * G * OUTER_20 * 570, rel=1e-9)
    (told,) = remarks(SUBSEA, "empty", "metric")
    assert told.endswith(
        f"the string floats: with the shoe at 1630.0 m md its buoyed weight is {afloat / 1e3:.1f} kN, the least of all"
    )
    assert remarks(SUBSEA, "partly") == remarks(LAND, "empty") == remarks(LAND, "running") == []


def test_a_subsea_string_is_filled_through_its_landing_string() -> None:
    """Pad mud from 60 m below the drill floor: at the shoe 1570 m of it, against 1000 m of sea and 600 m of pad mud."""
    found = profile(SUBSEA, "partly")
    assert float(found["p_inside_pa"].iloc[0]) == pytest.approx(1200 * G * 970, rel=1e-9)
    assert float(found["p_inside_pa"].iloc[-1]) == pytest.approx(1200 * G * 1570, rel=1e-9)
    assert float(found["p_outside_pa"].iloc[-1]) == pytest.approx(G * (1025 * 1000 + 1200 * 600), rel=1e-9)


# --- overpull in air --------------------------------------------------------------------------------------------------


def test_overpull_in_air_has_no_buoyancy() -> None:
    """Devereux 1998, 1.4: air weight and 100,000 lbf; 47 x 7980 + 100,000 = 475,060 lbf, and no pressure anywhere."""
    found = profile(LAND, "in-air")
    assert top(found) / LBF == pytest.approx(475_060, rel=1e-9)
    assert float(found["true_force_n"].iloc[-1]) / LBF == pytest.approx(100_000, rel=1e-9)
    assert (found[["p_inside_pa", "p_outside_pa"]] == 0.0).all().all()
    assert steps(LAND, "in-air")[0] == "shoe at 914 m"


# --- what is refused --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("case", "words"),
    [
        ("one-friction", "needs friction_open_hole"),
        ("other-friction", "needs friction_cased"),
        ("rough", "friction_open_hole = 20; accepted is a coefficient from 0 to 2"),
        ("still", "stopping_speed = 0 m/s; accepted is a speed above zero"),
        ("no-speed", "needs stopping_speed"),
        ("no-level", "needs empty_down_to"),
        ("no-collar", "needs flotation_collar"),
        ("idle-level", "empty_down_to is given, but the string is filled 'as the hole'; it belongs to 'partly'"),
        (
            "idle-fill",
            "fill is given, but the string is filled 'not at all'; it belongs to 'partly' or 'above a collar'",
        ),
        ("too-deep", "empty_down_to = 2743.2 m; accepted is a depth between 0 m and the shoe at 2438.4 m"),
        ("collar-too-high", "flotation_collar = 3.048 m; accepted is a depth between 6.096 m and the shoe"),
    ],
)
def test_what_cannot_be_worked_says_why(case: str, words: str) -> None:
    factors = checked(LAND).factors
    rows = factors[factors["case"] == case]
    assert set(rows["status"]) == {"not-evaluated"}
    assert rows["reason"].str.contains(words, regex=False).all(), set(rows["reason"])


# --- where it applies -------------------------------------------------------------------------------------------------


def why_not(text: str, string: str, **changed: Any) -> dict[str, str]:
    """Return why each case of installation does not concern a string of a well, changed as told."""
    well = well_of(text)
    strings = tuple(replace(s, **changed) if s.name == string else s for s in well.strings)
    scene = cl.Scene(replace(well, strings=strings), string)
    cases = PLUGINS.cases
    return {name: "" if (f := cases[name].applies) is None else f(scene) for name in ("running", "overpull")}


def test_every_string_is_run_and_can_stick_in_its_own_hole() -> None:
    applies = {"running": "", "overpull": ""}
    assert why_not(LAND, "outer") == why_not(LAND, "inner") == why_not(SUBSEA, "inner") == applies
    assert why_not(LAND, "inner", top=2900 * FOOT) == applies  # a liner


def test_a_tie_back_or_inner_liner_has_no_hole_to_stick_in() -> None:
    tied = why_not(LAND, "inner", tie_back_to="liner")
    assert tied == {"running": "", "overpull": "it is tied back and stands in no open hole"}
    inside = why_not(LAND, "inner", shoe=2900 * FOOT)
    assert inside["overpull"] == "it ends inside an earlier string, where nothing sticks"


def test_overpull_where_nothing_sticks_is_not_evaluated() -> None:
    well, case = well_of(LAND), PLUGINS.cases["overpull"]
    strings = (well.strings[0], replace(well.strings[1], tie_back_to="liner"))
    with pytest.raises(cl.CannotEvaluate, match="nothing to pull free: it is tied back"):
        case(cl.Scene(replace(well, strings=strings), "inner"), pull=1e5)
