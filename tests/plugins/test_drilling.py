"""Load cases of drilling ahead against hand calculations: pressure test, circulation, losses, evacuation, the riser.

Gas and kicks have files of their own. The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2; 1 ppg
is 12/231 psi/ft.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd
import pytest

import casingloads as cl
from casingloads.applicable import why_not

G, FOOT = 9.80665, 0.3048
PSI = 0.45359237 * G / 0.0254**2

REQUIRED = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
"""

# 9-5/8 in to 8000 ft, next hole to 12,000 ft in 12 ppg mud; ground 20 ft below the drill floor. The pore pressure sags
# to 8 ppg at 10,000 ft and rises again. Circulation makes the top 60 degF warmer and the shoe 30 degF colder.
LAND = """
[well]
name = "land"
air_gap = "20 ft"
units = "field"
[earth]
depth = ["0 ft", "8000 ft", "10000 ft", "12000 ft"]
pore_pressure = ["9 ppg", "9 ppg", "8 ppg", "9 ppg"]
temperature = ["60 degF", "180 degF", "210 degF", "240 degF"]
[temperatures.circulating]
depth = ["0 ft", "8000 ft"]
temperature = ["120 degF", "150 degF"]
[fluids]
mud = "10 ppg"
brine = "9 ppg"
heavy = "12 ppg"
tail = "15 ppg"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "8000 ft"
run_in = "mud"
displaced_with = "brine"
cement = [{ from = "shoe", to = "5000 ft", slurry = "tail" }]
next_hole = { to = "12000 ft", mud = "heavy" }
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases]
at-wellhead = { case = "pressure-test", pressure = "3000 psi" }
at-drill-floor = { case = "pressure-test", pressure = "3000 psi", quoted_at = "drill floor" }
with-mud = { case = "pressure-test", pressure = "3000 psi", fluid = "heavy", outside = "pore pressure" }
mud-outside = { case = "pressure-test", pressure = "3000 psi", outside = "as run" }
warm-test = { case = "pressure-test", pressure = "3000 psi", temperature = "circulating" }
circulation = { temperature = "circulating" }
circulation-brine = { case = "circulation", temperature = "circulating", mud = "brine" }
at-td = { case = "lost-returns", thief_zone = "12000 ft" }
worst = { case = "lost-returns" }
tight = { case = "lost-returns", thief_zone = "12000 ft", thief_pressure = "13 ppg" }
behind = { case = "lost-returns", thief_zone = "7000 ft" }
empty = { case = "evacuation" }
half = { case = "evacuation", level = "4000 ft" }
half-brine = { case = "evacuation", level = "4000 ft", mud = "brine" }
third = { case = "evacuation", level_fraction = "1/3" }
both = { case = "evacuation", level = "4000 ft", level_fraction = "50 %" }
too-deep = { case = "evacuation", level_fraction = 1.2 }
riser-loss = {}
riserless-drilling = {}
"""

# No hole below: what needs one cannot be worked.
LAST = LAND.replace('next_hole = { to = "12000 ft", mud = "heavy" }\n', "")
NO_MUD = LAND.replace(', mud = "heavy" }\nsections', " }\nsections")

# Deck 14 m above the sea: drill floor at 25 m above it, wellhead at 11 m.
DECK = """
[well]
name = "deck"
air_gap = "25 m"
water_depth = "90 m"
wellhead = "deck"
wellhead_depth = "11 m"
[earth]
depth = ["115 m", "1000 m", "2000 m"]
pore_pressure = ["1.0 sg", "1.0 sg", "1.0 sg"]
[fluids]
"sea water" = "1025 kg/m3"
mud = "1200 kg/m3"
slurry = "1600 kg/m3"
[[strings]]
name = "surface"
hole_size = "26 in"
top = "wellhead"
shoe = "1000 m"
run_in = "sea water"
cement = [{ from = "shoe", to = "115 m", slurry = "slurry" }]
next_hole = { to = "2000 m", mud = "mud" }
sections = [{ od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56 ksi", to = "shoe" }]
[strings.cases]
at-wellhead = { case = "pressure-test", pressure = "3 MPa" }
at-drill-floor = { case = "pressure-test", pressure = "3 MPa", quoted_at = "drill floor" }
lost-returns = { thief_zone = "2000 m" }
evacuation = { level = "500 m" }
riser-loss = {}
"""

# Wellhead on the sea floor at 1030 m, shoe at 1630 m, next hole to 2330 m in 1200 kg/m3 mud.
SUBSEA = """
[well]
name = "subsea"
air_gap = "30 m"
water_depth = "1000 m"
[earth]
depth = ["1030 m", "1630 m", "2330 m"]
pore_pressure = ["1.0 sg", "1.0 sg", "1.0 sg"]
[fluids]
"sea water" = "1025 kg/m3"
mud = "1200 kg/m3"
slurry = "1600 kg/m3"
[[strings]]
name = "surface"
hole_size = "26 in"
top = "wellhead"
shoe = "1630 m"
run_in = "sea water"
cement = [{ from = "shoe", to = "wellhead", slurry = "slurry" }]
next_hole = { to = "2330 m", mud = "mud", riser = RISER }
sections = [{ od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56 ksi", to = "shoe" }]
[strings.cases]
at-wellhead = { case = "pressure-test", pressure = "4 MPa" }
at-drill-floor = { case = "pressure-test", pressure = "4 MPa", quoted_at = "drill floor", fluid = "mud" }
lost-returns = { thief_zone = "2330 m" }
deep-loss = { case = "lost-returns", thief_zone = "2330 m", thief_pressure = "15 MPa" }
no-loss = { case = "lost-returns", thief_zone = "2330 m", thief_pressure = "40 MPa" }
very-deep-loss = { case = "lost-returns", thief_zone = "2330 m", thief_pressure = "1 MPa" }
riser-loss = {}
riserless-drilling = {}
riserless-sea = { case = "riserless-drilling", mud = "sea water" }
half = { case = "evacuation", level_fraction = 0.5 }
"""
RISER, OPEN = SUBSEA.replace("RISER", "true"), SUBSEA.replace("RISER", "false")


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.check(cl.read_well(path))


def profile(text: str, case: str, step: str | None = None) -> pd.DataFrame:
    result = checked(text)
    return result.profile(result.well.strings[0].name, case, step)


def inside(text: str, case: str, md: float, step: str | None = None) -> float:
    """Return the inside pressure [Pa] at a depth [m] that is a station."""
    found = profile(text, case, step)
    return float(found[(found["md_m"] - md).abs() < 1e-6]["p_inside_pa"].iloc[0])


def outside(text: str, case: str, md: float) -> float:
    found = profile(text, case)
    return float(found[(found["md_m"] - md).abs() < 1e-6]["p_outside_pa"].iloc[0])


def reasons(text: str, case: str) -> set[str]:
    factors = checked(text).factors
    rows = factors[factors["case"] == case]
    assert set(rows["status"]) == {"not-evaluated"}
    return set(rows["reason"])


def remark(text: str, case: str, system: str = "metric") -> str:
    found = [line for r in checked(text).remarks if f", {case}: " in (line := r.text(system))]  # type: ignore[arg-type]
    assert len(found) == 1
    return found[0]


# --- pressure test ----------------------------------------------------------------------------------------------------


def test_pressure_test_on_land() -> None:
    """9 ppg brine: 0.467532 psi/ft. At the wellhead 3000 psi stand at 20 ft; at the drill floor, 9.4 psi more."""
    brine = 9 * 12 / 231
    assert inside(LAND, "at-wellhead", 20 * FOOT) / PSI == pytest.approx(3000.0, rel=1e-12)
    assert inside(LAND, "at-wellhead", 8000 * FOOT) / PSI == pytest.approx(3000 + brine * 7980, rel=1e-12)
    assert inside(LAND, "at-drill-floor", 20 * FOOT) / PSI == pytest.approx(3000 + brine * 20, rel=1e-12)
    assert inside(LAND, "at-drill-floor", 8000 * FOOT) / PSI == pytest.approx(3000 + brine * 8000, rel=1e-12)


def test_pressure_test_with_another_fluid_and_outside() -> None:
    """12 ppg mud inside, pore pressure of 9 ppg from the drill floor outside; as run it is 10 ppg mud."""
    mud, pore, run_in = 12 * 12 / 231, 9 * 12 / 231, 10 * 12 / 231
    assert inside(LAND, "with-mud", 8000 * FOOT) / PSI == pytest.approx(3000 + mud * 7980, rel=1e-12)
    assert outside(LAND, "with-mud", 8000 * FOOT) / PSI == pytest.approx(pore * 8000, rel=1e-12)
    assert outside(LAND, "with-mud", 5000 * FOOT) / PSI == pytest.approx(pore * 5000, rel=1e-12)
    assert outside(LAND, "mud-outside", 8000 * FOOT) / PSI == pytest.approx(run_in * 8000, rel=1e-12)


def test_pressure_test_has_the_light_side_behind_the_pipe() -> None:
    """Pore pressure of 9 ppg in the open hole down to 5000 ft, below it water of the cement's pores, 1000 kg/m3."""
    pore, water = 9 * 12 / 231, 1000 * G * FOOT / PSI
    assert outside(LAND, "at-wellhead", 5000 * FOOT) / PSI == pytest.approx(pore * 5000, rel=1e-9)
    assert outside(LAND, "at-wellhead", 8000 * FOOT) / PSI == pytest.approx(pore * 5000 + water * 3000, rel=1e-9)


def test_pressure_test_on_deck() -> None:
    """Sea water in the line and the string: 3 MPa at 11 m, or 3 MPa at the drill floor with the line full."""
    assert inside(DECK, "at-wellhead", 11.0) == pytest.approx(3e6, rel=1e-12)
    assert inside(DECK, "at-wellhead", 1000.0) == pytest.approx(3e6 + 1025 * G * 989, rel=1e-12)
    assert inside(DECK, "at-drill-floor", 1000.0) == pytest.approx(3e6 + 1025 * G * 1000, rel=1e-12)


def test_pressure_test_on_the_sea_floor() -> None:
    """At the wellhead 4 MPa count above the sea, 1025 x 9.80665 x 1000 = 10.0518 MPa; from the rig it is the column."""
    assert inside(RISER, "at-wellhead", 1030.0) == pytest.approx(4e6 + 1025 * G * 1000, rel=1e-12)
    assert inside(RISER, "at-wellhead", 1630.0) == pytest.approx(4e6 + 1025 * G * 1600, rel=1e-12)
    assert inside(RISER, "at-drill-floor", 1030.0) == pytest.approx(4e6 + 1200 * G * 1030, rel=1e-12)
    burst = profile(RISER, "at-wellhead")["burst_load_pa"]  # sea water on both sides: the test pressure, everywhere
    assert burst.to_numpy() == pytest.approx(4e6, rel=1e-9)


# --- heat -------------------------------------------------------------------------------------------------------------

STEEL = math.pi / 4 * (9.625**2 - 8.681**2)  # in2
PER_DEGREE = 30e6 * 6.9e-6 * STEEL * 0.45359237 * G  # E alpha A [N/degF]


@pytest.mark.parametrize("case", ["warm-test", "circulation"])
def test_circulation_heats_the_upper_part_and_cools_the_lower(case: str) -> None:
    """60 degF warmer at the drill floor, 0.01125 degF less for each ft: 31.76 on the mean from 20 to 5000 ft.

    That much compression in the free part, the same all along; in cement each place for itself: 30 degF of cooling at
    8000 ft is tension.
    """
    found = profile(LAND, case)
    assert found["temperature_k"].iloc[-1] == pytest.approx((150 + 459.67) / 1.8)
    heat = found.set_index(found["md_m"] / FOOT)["force_temperature_n"]
    assert heat.loc[:4900.0].to_numpy() == pytest.approx(-PER_DEGREE * (60 - 0.01125 * 2510), rel=1e-6)
    assert heat.iloc[-1] == pytest.approx(PER_DEGREE * 30, rel=1e-6)
    assert profile(LAND, "at-wellhead")["force_temperature_n"].to_numpy() == pytest.approx(0.0, abs=1e-6)


def test_circulation_stands_full_of_mud() -> None:
    assert inside(LAND, "circulation", 8000 * FOOT) / PSI == pytest.approx(12 * 12 / 231 * 8000, rel=1e-12)
    assert inside(LAND, "circulation-brine", 8000 * FOOT) / PSI == pytest.approx(9 * 12 / 231 * 8000, rel=1e-12)


def test_heat_needs_the_temperature_at_setting() -> None:
    """Without one, a table of temperature would act on nothing."""
    text = LAND.replace('temperature = ["60 degF", "180 degF", "210 degF", "240 degF"]\n', "")
    for case in ("warm-test", "circulation"):
        assert reasons(text, case) == {"needs earth.temperature"}
    assert not checked(text).factors.query("case == 'at-wellhead'")["status"].eq("not-evaluated").any()


def test_circulation_has_no_temperature_of_its_own() -> None:
    with pytest.raises(cl.InputError, match=r"temperature: missing; 'circulation' needs a name of a table"):
        checked(LAND.replace('circulation = { temperature = "circulating" }', "circulation = {}"))


# --- lost returns -----------------------------------------------------------------------------------------------------


def test_losses_at_total_depth() -> None:
    """9 ppg at 12,000 ft under 12 ppg mud: 9000 ft of mud stand on it, so the level is at 3000 ft."""
    assert inside(LAND, "at-td", 3000 * FOOT) == pytest.approx(0.0, abs=1.0)
    assert inside(LAND, "at-td", 8000 * FOOT) / PSI == pytest.approx(12 * 12 / 231 * 5000, rel=1e-9)
    assert "3000.0 ft" in remark(LAND, "at-td", "field")


def test_losses_at_the_worst_exposed_depth() -> None:
    """8 ppg at 10,000 ft holds 6667 ft of 12 ppg mud: the level falls to 3333 ft, deeper than total depth lets it.

    At the shoe 9 ppg would hold 6000 ft: 2000 ft. Between the rows pressure is linear, so the level is extreme at one.
    """
    assert inside(LAND, "worst", 10_000 / 3 * FOOT) == pytest.approx(0.0, abs=1.0)
    assert inside(LAND, "worst", 8000 * FOOT) / PSI == pytest.approx(12 * 12 / 231 * (8000 - 10_000 / 3), rel=1e-9)
    text = remark(LAND, "worst", "field")
    assert "3333.3 ft" in text
    assert "10000 ft" in text


def test_a_zone_that_holds_the_column_takes_nothing() -> None:
    assert inside(LAND, "tight", 8000 * FOOT) / PSI == pytest.approx(12 * 12 / 231 * 8000, rel=1e-12)
    assert "no loss" in remark(LAND, "tight", "field")


def test_a_zone_behind_the_pipe_is_not_evaluated() -> None:
    (reason,) = reasons(LAND, "behind")
    assert "thief_zone" in reason
    assert "shoe" in reason


def test_losses_from_a_deck() -> None:
    """1000 kg/m3 from the drill floor at 2000 m holds 1666.7 m of 1200 kg/m3 mud: level at 333.3 m."""
    assert inside(DECK, "lost-returns", 1000.0) == pytest.approx(1200 * G * (1000 - 2000 / 6), rel=1e-9)
    assert "333.33 m" in remark(DECK, "lost-returns")


def test_losses_with_a_riser_level_in_the_riser() -> None:
    """1000 kg/m3 at 2330 m holds 1941.7 m of mud: level 388.3 m below the drill floor, in the riser."""
    level = 2330 - 2330 / 1.2
    assert inside(RISER, "lost-returns", 1030.0) == pytest.approx(1200 * G * (1030 - level), rel=1e-9)
    assert "388.33 m" in remark(RISER, "lost-returns")


def test_losses_with_a_riser_level_below_the_wellhead() -> None:
    """15 MPa hold 1274.6 m of mud: level at 1055.4 m, below the wellhead; the riser stays evacuated, the sea out."""
    level = 2330 - 15e6 / (1200 * G)
    assert level == pytest.approx(1055.35, abs=0.01)
    assert inside(RISER, "deep-loss", 1030.0) == 0.0
    assert inside(RISER, "deep-loss", 1630.0) == pytest.approx(1200 * G * (1630 - level), rel=1e-9)


def test_losses_without_a_riser_sea_water_follows() -> None:
    """Full: 1000 m of sea and 1300 m of mud, 25.350 MPa at 2330 m; the zone holds 22.849 MPa.

    The 2.501 MPa too many go as mud gives way to sea water, 175 kg/m3 lighter: 1457 m of it, more than the 1300 m
    there are. So sea water stands to the zone. With 25 MPa the contact falls by 204.1 m, to 1234.1 m.
    """
    full, held = G * (1025 * 1000 + 1200 * 1300), 1000 * G * 2330
    assert (full - held) / (175 * G) == pytest.approx(1457.1, abs=0.1)
    assert inside(OPEN, "lost-returns", 1630.0) == pytest.approx(1025 * G * 1600, rel=1e-9)
    text = OPEN.replace('thief_pressure = "15 MPa"', 'thief_pressure = "25 MPa"')
    contact = 1030 + (full - 25e6) / (175 * G)
    assert contact == pytest.approx(1234.1, abs=0.1)
    assert inside(text, "deep-loss", 1630.0) == pytest.approx(
        G * (1025 * (contact - 30) + 1200 * (1630 - contact)), rel=1e-9
    )
    assert f"{contact:.2f} m" in remark(text, "deep-loss")


@pytest.mark.parametrize("case", ["no-loss", "very-deep-loss"])
def test_without_a_riser_the_pressure_is_never_below_the_sea_nor_above_the_mud(case: str) -> None:
    pressure = {"no-loss": G * (1025 * 1000 + 1200 * 600), "very-deep-loss": 1025 * G * 1600}[case]
    assert inside(OPEN, case, 1630.0) == pytest.approx(pressure, rel=1e-9)
    assert inside(OPEN, case, 1030.0) == pytest.approx(1025 * G * 1000, rel=1e-9)
    contact = {"no-loss": "1030.00 m", "very-deep-loss": "2330.00 m"}[case]  # the sea floor; the zone, and no deeper
    assert contact in remark(OPEN, case)


def test_losses_need_the_next_hole() -> None:
    assert reasons(LAST, "worst") == {"needs strings.casing.next_hole"}
    (reason,) = reasons(NO_MUD, "worst")
    assert reason.startswith("needs strings.casing.next_hole.mud")


# --- evacuation -------------------------------------------------------------------------------------------------------


def test_evacuation_whole() -> None:
    found = profile(LAND, "empty")
    assert (found["p_inside_pa"] == 0.0).all()
    assert found["collapse_load_pa"].iloc[-1] / PSI == pytest.approx(10 * 12 / 231 * 8000, rel=1e-9)


def test_evacuation_to_a_level() -> None:
    """Empty to 4000 ft, below it the next hole's 12 ppg mud, or 9 ppg brine where that is named."""
    assert inside(LAND, "half", 4000 * FOOT) == pytest.approx(0.0, abs=1e-3)
    assert inside(LAND, "half", 8000 * FOOT) / PSI == pytest.approx(12 * 12 / 231 * 4000, rel=1e-9)
    assert inside(LAND, "half-brine", 8000 * FOOT) / PSI == pytest.approx(9 * 12 / 231 * 4000, rel=1e-9)
    assert inside(DECK, "evacuation", 1000.0) == pytest.approx(1200 * G * 500, rel=1e-9)


def test_evacuation_to_a_fraction_of_the_next_hole() -> None:
    """A third of 12,000 ft is the same 4000 ft; half of 2330 m is 1165 m, below a wellhead on the sea floor."""
    assert inside(LAND, "third", 4000 * FOOT) == pytest.approx(0.0, abs=1e-3)
    assert inside(LAND, "third", 8000 * FOOT) == pytest.approx(inside(LAND, "half", 8000 * FOOT), rel=1e-9)
    assert "empty to 4000.0 ft tvd" in remark(LAND, "third", "field")
    assert inside(RISER, "half", 1630.0) == pytest.approx(1200 * G * (1630 - 1165), rel=1e-9)


def test_a_level_is_told_once_and_is_in_the_hole() -> None:
    assert reasons(LAND, "both") == {"level and level_fraction are both given; give one of them"}
    assert reasons(LAND, "too-deep") == {"level_fraction = 1.2 is not a part of the depth; need 0 to 1"}
    assert reasons(LAST, "third") == {"needs strings.casing.next_hole"}


def test_without_a_riser_the_reader_is_told_that_the_sea_refills_the_hole() -> None:
    assert any("the sea refills the hole" in r.text() for r in checked(OPEN).remarks)
    assert not any("the sea refills the hole" in r.text() for r in checked(RISER).remarks)


def test_evacuation_without_a_next_hole() -> None:
    """Whole, or with a mud of its own, it needs none; to a level it needs to know what is below."""
    assert not checked(LAST).factors.query("case == 'half-brine'")["status"].eq("not-evaluated").any()
    assert not checked(LAST).factors.query("case == 'empty'")["status"].eq("not-evaluated").any()
    assert reasons(LAST, "half") == {"needs strings.casing.next_hole"}


# --- riser loss -------------------------------------------------------------------------------------------------------


def test_riser_loss() -> None:
    """1200 kg/m3 to the drill floor stands at 12.121 MPa on the wellhead, the sea at 10.052: 2.069 MPa are lost.

    Of these 0.353 MPa are the 30 m of air gap. If the preventer shut first, all is as before.
    """
    before, after = 1200 * G * 1030, 1025 * G * 1000
    for depth in (1030.0, 1630.0):
        below = 1200 * G * (depth - 1030)
        assert inside(RISER, "riser-loss", depth, "preventer shut first") == pytest.approx(before + below, rel=1e-12)
        assert inside(RISER, "riser-loss", depth, "well open to the sea") == pytest.approx(after + below, rel=1e-12)
    assert before - after == pytest.approx(1025 * G * -1000 + 1200 * G * 1000 + 1200 * G * 30)
    assert (before - after) / 1e6 == pytest.approx(2.0692, abs=1e-4)


def test_a_hole_drilled_without_a_riser_has_none_to_lose() -> None:
    (reason,) = reasons(OPEN, "riser-loss")
    assert "without a riser" in reason


@pytest.mark.parametrize("text", [LAND, DECK], ids=["land", "deck"])
def test_no_riser_to_lose(text: str) -> None:
    (reason,) = reasons(text, "riser-loss")
    assert "not on the sea floor" in reason
    assert checked(text).verdict != "meets"


# --- without a riser --------------------------------------------------------------------------------------------------


def test_riserless_drilling() -> None:
    """The sea at the sea floor, 1025 x 9.80665 x 1000 = 10.052 MPa, then 600 m of mud; or of sea water, no less."""
    sea = 1025 * G * 1000
    for depth, mud, water in ((1030.0, sea, sea), (1630.0, sea + 1200 * G * 600, 1025 * G * 1600)):
        assert inside(OPEN, "riserless-drilling", depth, "mud to the sea floor") == pytest.approx(mud, rel=1e-12)
        assert inside(OPEN, "riserless-drilling", depth, "mud lost to the sea") == pytest.approx(water, rel=1e-12)
    found = profile(OPEN, "riserless-drilling", "mud lost to the sea")  # run in sea water: nothing presses
    assert (found["p_inside_pa"] - found["p_outside_pa"]).to_numpy() == pytest.approx(0.0, abs=1.0)
    assert (found["p_inside_pa"] >= sea - 1.0).all()


def test_riserless_drilling_with_sea_water_is_one_step() -> None:
    assert inside(OPEN, "riserless-sea", 1630.0, "sea water") == pytest.approx(1025 * G * 1600, rel=1e-12)


def test_riserless_drilling_is_for_holes_without_a_riser() -> None:
    assert reasons(RISER, "riserless-drilling") == {"the next hole is drilled with a riser"}
    assert reasons(LAND, "riserless-drilling") == {"the wellhead is not on the sea floor"}


# --- which strings they concern ---------------------------------------------------------------------------------------

EXAMPLES = Path(__file__).parents[2] / "examples"
SKERROW = ("conductor", "surface", "intermediate 1", "intermediate 2", "liner")  # deep water; the first without riser
CORVANE = ("surface", "intermediate", "production")  # on land
NOT = {  # strings that a case passes over, and why
    "pressure-test": {"conductor": "no preventer stands on it: the next hole is drilled without a riser"},
    "circulation": {"liner": "no hole is drilled below it", "production": "no hole is drilled below it"},
    "lost-returns": {"liner": "no hole is drilled below it", "production": "no hole is drilled below it"},
    "evacuation": {"conductor": "without a riser the sea refills the hole"},
}


@pytest.mark.parametrize("case", NOT)
def test_cases_for_land_and_sea(case: str) -> None:
    found: dict[tuple[str, str], str] = {}
    for file, names in (("skerrow-3", SKERROW), ("corvane-4", CORVANE)):
        well = cl.read_well(EXAMPLES / f"{file}.toml")
        found |= {(file, name): why_not(cl.load_plugins().cases[case], cl.Scene(well, name)) for name in names}
    assert {name: reason for (_, name), reason in found.items() if reason} == NOT[case]


def test_cases_of_the_sea_floor() -> None:
    cases = cl.load_plugins().cases
    deep, land = (cl.read_well(EXAMPLES / f"{file}.toml") for file in ("skerrow-3", "corvane-4"))
    deck = checked(DECK).well
    loss = {name: why_not(cases["riser-loss"], cl.Scene(deep, name)) for name in SKERROW}
    assert loss.pop("conductor") == "the next hole is drilled without a riser"
    assert loss.pop("liner") == "no hole is drilled below it"
    assert set(loss.values()) == {""}
    open_sea = {name: why_not(cases["riserless-drilling"], cl.Scene(deep, name)) for name in SKERROW}
    assert open_sea.pop("conductor") == ""
    assert open_sea.pop("liner") == "no hole is drilled below it"
    assert set(open_sea.values()) == {"the next hole is drilled with a riser"}
    for well in (land, deck):
        for case in ("riser-loss", "riserless-drilling"):
            assert "the wellhead is not on the sea floor" in why_not(cases[case], cl.Scene(well, "surface"))


def test_behind_the_pipe_the_default_is_light_for_burst_and_heavy_for_collapse() -> None:
    default = {
        case: parameter.default
        for case in ("pressure-test", "circulation", "lost-returns", "evacuation", "riser-loss", "riserless-drilling")
        for parameter in cl.load_plugins().cases[case].parameters
        if parameter.name == "outside"
    }
    light = [case for case, outside in default.items() if outside == "settled mud"]
    assert light == ["pressure-test", "circulation"]
    assert set(default.values()) == {"settled mud", "as run"}


# --- two of a kind ----------------------------------------------------------------------------------------------------


def test_one_case_under_several_labels() -> None:
    """Each label has rows of its own; the deeper level is the worse for collapse."""
    collapse = checked(LAND).factors.query("mode == 'collapse'").set_index("case")["factor"]
    assert collapse["empty"] < collapse["worst"] < collapse["at-td"]
    assert set(checked(LAND).factors["case"]) >= {"at-td", "worst", "tight", "behind"}
