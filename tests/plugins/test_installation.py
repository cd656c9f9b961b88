"""Load cases of installation against hand calculations, on land, with the wellhead on deck, and on the sea floor.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2; 1 ppg is 12/231 psi/ft.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd
import pytest

import casingloads as cl

G, FOOT = 9.80665, 0.3048
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
tail = "15 ppg"
[[strings]]
name = "outer"
hole_size = "17-1/2 in"
top = "surface"
shoe = "3000 ft"
run_in = "mud"
sections = [{ od = "13-3/8 in", wall = "0.480 in", weight = "68 lb/ft", yield = "55 ksi", to = "shoe" }]
[strings.cases.overpull]
pull = "100000 lbf"
[[strings]]
name = "inner"
hole_size = "12-1/4 in"
top = "surface"
shoe = "8000 ft"
run_in = "mud"
displaced_with = "water"
cement = [{ from = "shoe", to = "5000 ft", slurry = "tail" }]
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases]
running = {}
cementing = {}
[strings.cases.overpull]
pull = "100000 lbf"
[strings.cases.stuck-high]
case = "overpull"
pull = "150 klbf"
stuck_at = "6000 ft"
[strings.cases.stuck-too-deep]
case = "overpull"
pull = "150 klbf"
stuck_at = "9000 ft"
"""

# 20 in to 1000 m from a deck 14 m above the sea (drill floor 25 m above it, so the wellhead is at 11 m).
DECK = """
[well]
name = "deck"
air_gap = "25 m"
water_depth = "90 m"
wellhead = "deck"
wellhead_depth = "11 m"
[earth]
depth = ["115 m", "1000 m"]
[fluids]
"sea water" = "1025 kg/m3"
slurry = "1600 kg/m3"
[[strings]]
name = "surface"
hole_size = "26 in"
top = "wellhead"
shoe = "1000 m"
run_in = "sea water"
cement = [{ from = "shoe", to = "115 m", slurry = "slurry" }]
sections = [{ od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56 ksi", to = "shoe" }]
[strings.cases]
running = {}
cementing = {}
"""

# The same pipe from the sea floor at 1030 m to 1630 m, without a riser, pad mud left in the hole below the sea floor.
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
name = "surface"
hole_size = "26 in"
top = "wellhead"
shoe = "1630 m"
run_in = "pad mud"
riser = false
displaced_with = "sea water"
cement = [{ from = "shoe", to = "1330 m", slurry = "slurry" }]
sections = [{ od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56 ksi", to = "shoe" }]
[strings.cases]
running = {}
cementing = {}
"""

# 20 in 133 lb/ft, in metres: A_o 0.202683, A_i 0.177758, A_s 0.024925 m2; 197.926 kg/m
OUTER_20 = math.pi / 4 * 0.508**2
BORE_20 = math.pi / 4 * (0.508 - 2 * 0.635 * 0.0254) ** 2
STEEL_20 = OUTER_20 - BORE_20
WEIGHT_20 = 133 * 0.45359237 / 0.3048 * 9.80665  # N/m
# 9-5/8 in 47 lb/ft, in inches: A_o 72.760, A_i 59.187, A_s 13.572 in2
OUTER_9, BORE_9 = math.pi / 4 * 9.625**2, math.pi / 4 * 8.681**2
STEEL_9 = OUTER_9 - BORE_9


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED if "[required]" not in text else text, encoding="utf-8")
        return cl.check(cl.read_well(path))


def profile(text: str, string: str, case: str, step: str | None = None) -> pd.DataFrame:
    return checked(text).profile(string, case, step)


def steps(text: str, string: str, case: str) -> list[str]:
    factors = checked(text).factors
    return list(dict.fromkeys(factors[(factors["string"] == string) & (factors["case"] == case)]["step"]))


def force(found: pd.DataFrame, md: float, unit: float) -> float:
    """Return the true force just above a depth [m], in *unit*."""
    return float(found[(found["md_m"] - md).abs() < 1e-6]["true_force_n"].iloc[0]) / unit


def at_end(found: pd.DataFrame) -> float:
    return float(found["true_force_n"].iloc[-1])


# --- running ----------------------------------------------------------------------------------------------------------


def test_running_on_land() -> None:
    """7980 ft of 47 lb/ft in 10 ppg mud: 375,060 lbf less 8000 ft x 0.519481 psi/ft x 13.572 in2 = 56,405 lbf."""
    found = profile(LAND, "inner", "running", "landed")
    assert force(found, 20 * FOOT, LBF) == pytest.approx(47 * 7980 - 8000 * 120 / 231 * STEEL_9, rel=1e-9)
    assert force(found, 20 * FOOT, LBF) == pytest.approx(318_655, abs=2)
    assert at_end(found) / LBF == pytest.approx(-56_405, abs=2)
    assert found["effective_force_n"].iloc[-1] == pytest.approx(0.0, abs=1e-3)
    assert (found["p_inside_pa"] == found["p_outside_pa"]).all()


def test_running_names_its_moments() -> None:
    """Shoe at eighths of its depth; with 7980 ft in the hole the string's top is at the drill floor."""
    names = steps(LAND, "inner", "running")
    assert names[:3] == ["shoe at 305 m", "shoe at 610 m", "shoe at 914 m"]  # 1000, 2000, 3000 ft
    assert names[-2:] == ["section 1 top at the drill floor", "landed"]
    assert len(names) == 9


def test_running_half_way_down() -> None:
    """Shoe at 4000 ft: the string hangs from the drill floor, 4000 x 47 lbf less 4000 x 0.519481 x 13.572."""
    found = profile(LAND, "inner", "running", "shoe at 1219 m")
    assert found["md_m"].iloc[0] == 0.0
    by_hand = 4000 * 47 - 4000 * 120 / 231 * STEEL_9
    assert force(found, 0.0, LBF) == pytest.approx(by_hand, rel=1e-9)


def test_running_from_a_deck_through_air_and_sea() -> None:
    """989 m of 20 in from 11 m down; the sea stands at 25 m, so 975 m of it press on the open end."""
    found = profile(DECK, "surface", "running", "landed")
    assert found["md_m"].iloc[0] == 11.0
    at_25 = found[(found["md_m"] - 25.0).abs() < 1e-6]
    assert (at_25["p_outside_pa"] == 0.0).all()
    assert len(at_25) == 2  # a station at sea level, both sides
    end = -1025 * G * 975 * STEEL_20
    assert at_end(found) == pytest.approx(end, rel=1e-9)
    assert force(found, 11.0, 1.0) == pytest.approx(WEIGHT_20 * 989 + end, rel=1e-9)


def test_running_in_open_sea_with_pad_mud_below_the_sea_floor() -> None:
    """At the shoe, 1630 m: 1000 m of sea water and 600 m of pad mud on the open end."""
    found = profile(SUBSEA, "surface", "running", "landed")
    pressure = G * (1025 * 1000 + 1200 * 600)
    assert float(found["p_outside_pa"].iloc[-1]) == pytest.approx(pressure, rel=1e-12)
    assert force(found, 1030.0, 1.0) == pytest.approx(WEIGHT_20 * 600 - pressure * STEEL_20, rel=1e-9)
    assert "section 1 top at the drill floor" in steps(SUBSEA, "surface", "running")


# --- overpull ---------------------------------------------------------------------------------------------------------


def test_overpull_adds_to_the_whole_string_when_the_shoe_is_stuck() -> None:
    running = profile(LAND, "inner", "running", "landed")
    pulled = profile(LAND, "inner", "overpull", "landed")
    assert (pulled["true_force_n"] - running["true_force_n"]).to_numpy() / LBF == pytest.approx(100_000, abs=1e-3)


def test_overpull_ends_at_the_stuck_point() -> None:
    running = profile(LAND, "inner", "running", "landed")
    pulled = profile(LAND, "inner", "stuck-high", "landed")
    assert force(pulled, 20 * FOOT, LBF) - force(running, 20 * FOOT, LBF) == pytest.approx(150_000, abs=1e-3)
    at_stuck = pulled[(pulled["md_m"] - 6000 * FOOT).abs() < 1e-6]["true_force_n"]
    assert len(at_stuck) == 2
    assert float(at_stuck.iloc[0] - at_stuck.iloc[1]) / LBF == pytest.approx(150_000, abs=1e-3)
    assert at_end(pulled) == pytest.approx(at_end(running), rel=1e-12)


def test_overpull_only_in_open_hole() -> None:
    """Inside the previous casing nothing sticks: the first step is the shoe leaving it at 3000 ft, or stuck higher up.

    The outer string sticks from the ground on, 20 ft below the drill floor.
    """
    first = {case: steps(LAND, "inner", case)[0] for case in ("overpull", "stuck-high")}
    assert first == {"overpull": "shoe at 914 m", "stuck-high": "shoe at 1829 m"}  # 3000 and 6000 ft
    assert steps(LAND, "outer", "overpull")[0] == "shoe at 6 m"
    assert steps(LAND, "inner", "overpull")[-1] == "landed"
    pulled = profile(LAND, "inner", "overpull", "shoe at 914 m")
    assert force(pulled, 0.0, LBF) == pytest.approx(100_000 + 3000 * 47 - 3000 * 120 / 231 * STEEL_9, rel=1e-9)


def test_two_pulls_on_one_string_are_two_cases() -> None:
    factors = checked(LAND).factors
    tension = factors[(factors["string"] == "inner") & (factors["mode"] == "tension") & (factors["step"] == "landed")]
    by_case = tension.set_index("case")["factor"]
    assert by_case["stuck-high"] < by_case["overpull"] < by_case["running"]
    # 80,000 psi x 13.572 in2 over 318,655 + 100,000 lbf
    assert by_case["overpull"] == pytest.approx(80_000 * STEEL_9 / 418_655, rel=1e-5)


def test_stuck_below_the_shoe_is_not_evaluated() -> None:
    factors = checked(LAND).factors
    rows = factors[factors["case"] == "stuck-too-deep"]
    assert set(rows["status"]) == {"not-evaluated"}
    assert rows["reason"].str.contains("stuck_at").all()


def test_overpull_without_a_pull_is_refused_by_its_key(tmp_path: Path) -> None:
    path = tmp_path / "well.toml"
    path.write_text(LAND.replace('pull = "100000 lbf"\n', "") + REQUIRED, encoding="utf-8")
    with pytest.raises(cl.InputError, match=r"strings\.inner\.cases\.overpull\.pull: missing"):
        cl.read_well(path)


# --- cementing --------------------------------------------------------------------------------------------------------


def test_cementing_on_land() -> None:
    """Outside at 8000 ft: 5000 ft of 10 ppg and 3000 ft of 15 ppg, 4935.1 psi; inside 8.5 ppg water, 3532.5 psi.

    End force 3532.5 x 59.187 - 4935.1 x 72.760 = -149,996 lbf: the end is pushed up by far more than in plain mud.
    """
    found = profile(LAND, "inner", "cementing")
    inside, outside = 8.5 * 12 / 231 * 8000, 12 / 231 * (10 * 5000 + 15 * 3000)
    assert float(found["p_inside_pa"].iloc[-1]) / PSI == pytest.approx(inside, rel=1e-12)
    assert float(found["p_outside_pa"].iloc[-1]) / PSI == pytest.approx(outside, rel=1e-12)
    end = inside * BORE_9 - outside * OUTER_9
    assert end == pytest.approx(-149_996, abs=10)
    assert at_end(found) / LBF == pytest.approx(end, rel=1e-9)
    assert force(found, 20 * FOOT, LBF) == pytest.approx(end + 47 * 7980, rel=1e-9)
    assert steps(LAND, "inner", "cementing") == ["displaced, bled off"]


def test_cementing_in_stages_leaves_mud_between_and_below() -> None:
    """Cement from 7000 to 6000 and from 4000 to 3000 ft: outside at 8000 ft 6000 ft of 10 ppg and 2000 ft of 15 ppg."""
    stages = """cement = [
      { from = "7000 ft", to = "6000 ft", slurry = "tail" },
      { from = "4000 ft", to = "3000 ft", slurry = "tail" },
    ]"""
    text = LAND.replace('cement = [{ from = "shoe", to = "5000 ft", slurry = "tail" }]', stages)
    found = profile(text, "inner", "cementing")
    by_hand = {3000: 30_000, 4000: 45_000, 6000: 65_000, 7000: 80_000, 8000: 90_000}  # ppg ft
    for depth, head in by_hand.items():
        here = found[(found["md_m"] - depth * FOOT).abs() < 1e-6]["p_outside_pa"]
        assert here.to_numpy() / PSI == pytest.approx(head * 12 / 231, rel=1e-9)


def test_cementing_from_a_deck() -> None:
    """Slurry from 1000 to 115 m under 90 m of sea water; sea water inside from sea level, 25 m."""
    found = profile(DECK, "surface", "cementing")
    outside, inside = G * (1025 * 90 + 1600 * 885), G * 1025 * 975
    assert float(found["p_outside_pa"].iloc[-1]) == pytest.approx(outside, rel=1e-12)
    assert at_end(found) == pytest.approx(inside * BORE_20 - outside * OUTER_20, rel=1e-9)


def test_cementing_on_the_sea_floor_with_a_gap_above_the_cement() -> None:
    """1000 m of sea, 300 m of pad mud, 300 m of slurry outside; sea water inside up the landing string."""
    found = profile(SUBSEA, "surface", "cementing")
    outside, inside = G * (1025 * 1000 + 1200 * 300 + 1600 * 300), G * 1025 * 1600
    assert float(found["p_outside_pa"].iloc[-1]) == pytest.approx(outside, rel=1e-12)
    assert float(found["p_inside_pa"].iloc[-1]) == pytest.approx(inside, rel=1e-12)
    collapse = float(found["collapse_load_pa"].iloc[-1])
    assert collapse == pytest.approx(G * (175 * 300 + 575 * 300), rel=1e-9)  # 2.206 MPa
    assert force(found, 1030.0, 1.0) == pytest.approx(WEIGHT_20 * 600 + inside * BORE_20 - outside * OUTER_20, rel=1e-9)
