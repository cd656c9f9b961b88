"""Drawdown and hot production against hand calculations, and which strings the cases of production concern.

Tubing leak and gas lift have files of their own. The arithmetic stands beside each check in plain numbers:
g = 9.80665 m/s2. No number here is published.
"""

from __future__ import annotations

import pytest
from production_well import (
    BORE,
    EXPANSION,
    LAND,
    MODULUS,
    STEEL,
    G,
    as_cemented,
    checked,
    inside,
    outside,
    reason,
    remarks,
    steps,
    subsea,
    value,
)

import casingloads as cl
from casingloads.applicable import why_not

DRAWDOWN = """
[strings.cases.worst]
case = "plugged-perforations"
packer = "2800 m"
packer_fluid = "brine"
[strings.cases.some-left]
case = "plugged-perforations"
packer = "2800 m"
packer_fluid = "brine"
pressure = "5 MPa"
temperature = "flowing"
[strings.cases.holds]
case = "plugged-perforations"
packer = "2800 m"
packer_fluid = "brine"
packer_leaks = false
outside = "pore pressure"
[strings.cases.no-fall]
case = "plugged-perforations"
packer = "2800 m"
packer_fluid = "brine"
pressure = "31 MPa"
"""

HOT = """
[strings.cases.simple]
case = "hot-production"
temperature = "flowing"
packer = "2800 m"
packer_fluid = "brine"
[strings.cases.in-full]
case = "hot-production"
temperature = "flowing"
packer = "2800 m"
packer_fluid = "brine"
annulus_pressure = "7 MPa"
flowing_pressure = "18 MPa"
kill_temperature = "killed"
"""

SUBSEA = subsea(
    liner="""
[strings.cases.plugged-above]
case = "plugged-perforations"
packer = "3900 m"
packer_fluid = "brine"
pressure = "2 MPa"
"""
)

# --- drawdown ---------------------------------------------------------------------------------------------------------

DRAWN = LAND + DRAWDOWN


def test_nothing_below_the_packer_is_the_worst() -> None:
    """Mud as run, 1200 kg/m3 to the drill floor, presses with 35.30 MPa at the shoe, on nothing."""
    for step in ("drawn down", "packer fluid leaked off"):
        assert inside(DRAWN, "production", "worst", step, 2800.0, "below") == 0.0
        assert inside(DRAWN, "production", "worst", step, 3000.0) == 0.0
        assert outside(DRAWN, "production", "worst", step, 3000.0) == pytest.approx(1200 * G * 3000, rel=1e-12)
    on_packer = inside(DRAWN, "production", "worst", "drawn down", 2800.0)
    assert on_packer == pytest.approx(1100 * G * 2790, rel=1e-12)
    assert inside(DRAWN, "production", "worst", "packer fluid leaked off", 2800.0) == 0.0


def test_packer_fluid_falls_to_the_level_that_balances() -> None:
    """5 MPa hold 463.5 m of brine: level at 2336.5 m."""
    level = 2800 - 5e6 / (1100 * G)
    assert level == pytest.approx(2336.5, abs=0.05)
    step = "packer fluid leaked off"
    assert inside(DRAWN, "production", "some-left", step, 2000.0) == 0.0
    assert inside(DRAWN, "production", "some-left", step, 2800.0) == pytest.approx(5e6, rel=1e-9)
    assert inside(DRAWN, "production", "some-left", step, 3000.0) == pytest.approx(5e6, rel=1e-12)
    (told,) = remarks(DRAWN, "some-left")
    assert f"{level:.2f} m" in told
    assert value(DRAWN, "production", "some-left", step, 10.0, "temperature_k") == pytest.approx(358.15 + 20 / 300)


def test_a_packer_that_holds_keeps_its_fluid() -> None:
    assert steps(DRAWN, "production", "holds") == ["drawn down"]
    assert outside(DRAWN, "production", "holds", "drawn down", 3000.0) == pytest.approx(33e6, rel=1e-12)


def test_a_pressure_that_holds_the_packer_fluid_lets_none_fall() -> None:
    """31 MPa hold 2873.7 m of brine; there are 2790 m."""
    assert steps(DRAWN, "production", "no-fall") == ["drawn down"]
    assert inside(DRAWN, "production", "no-fall", "drawn down", 3000.0) == pytest.approx(31e6, rel=1e-12)


def test_a_liner_below_the_packer_is_drawn_down_all_along() -> None:
    assert steps(SUBSEA, "liner", "plugged-above") == ["drawn down"]
    assert remarks(SUBSEA, "plugged-above") == []
    for md in (4000.0, 5000.0):
        assert inside(SUBSEA, "liner", "plugged-above", "drawn down", md) == pytest.approx(2e6, rel=1e-12)


# --- hot production ---------------------------------------------------------------------------------------------------

WARM = LAND + HOT


def test_flowing_and_shut_in_are_one_step_unless_a_flowing_pressure_is_told() -> None:
    assert steps(WARM, "production", "simple") == ["hot"]
    assert steps(WARM, "production", "in-full") == ["producing", "shut in, hot", "killed, cold"]


def test_a_hot_string_is_compressed_between_its_holds() -> None:
    """46.55 degC warmer on average over the free length: 119.6 MPa of compression, 1047 kN.

    Packer fluid takes the place of itself, without the 10 m above the wellhead: 0.6 x 0.108 MPa x 38,185 mm2 = 2.5 kN.
    """
    mean = 70 * (1 - 1005 / 3000)
    heat = -MODULUS * EXPANSION * STEEL * mean
    assert -heat / 1e3 == pytest.approx(1047, abs=1)
    force = value(WARM, "production", "simple", "hot", 10.0, "true_force_n")
    assert force == pytest.approx(as_cemented(10) + heat - 0.6 * 1100 * G * 10 * BORE, rel=1e-9)


def test_pressures_of_the_hot_well() -> None:
    """7 MPa on the packer fluid while it is hot, none once it is killed; 18 MPa below the packer while it flows."""
    below = {"producing": 18e6, "shut in, hot": 33e6 * 2800 / 3000, "killed, cold": 33e6 * 2800 / 3000}
    on_top = {"producing": 7e6, "shut in, hot": 7e6, "killed, cold": 0.0}
    for step in steps(WARM, "production", "in-full"):
        assert inside(WARM, "production", "in-full", step, 10.0) == pytest.approx(on_top[step], abs=1e-6)
        column = on_top[step] + 1100 * G * 2790
        assert inside(WARM, "production", "in-full", step, 2800.0) == pytest.approx(column, rel=1e-12)
        found = inside(WARM, "production", "in-full", step, 2800.0, "below")
        assert found == pytest.approx(below[step], rel=1e-12)
        assert outside(WARM, "production", "in-full", step, 3000.0) == pytest.approx(1200 * G * 3000, rel=1e-12)


def test_a_cold_kill_pulls_the_string() -> None:
    """From 0 degC colder at 0 m to 60 at 3000 m: 20.1 on average over 10 to 2000 m."""
    heat = MODULUS * EXPANSION * STEEL * 60 * 1005 / 3000
    force = value(WARM, "production", "in-full", "killed, cold", 10.0, "true_force_n")
    assert force == pytest.approx(as_cemented(10) + heat - 0.6 * 1100 * G * 10 * BORE, rel=1e-9)


def test_hot_production_needs_a_temperature() -> None:
    text = LAND + HOT.replace('temperature = "flowing"\n', "", 1)
    with pytest.raises(cl.InputError, match=r"simple.*temperature.*missing"):
        checked(text)


# --- which strings see production -------------------------------------------------------------------------------------

CASES = ("tubing-leak", "plugged-perforations", "gas-lift", "hot-production")

# As LAND with a production liner, or that and a tie-back, below a drilled-out 9-5/8 in string.
DRILLED_OUT = LAND.replace("sections = [{ od", 'next_hole = { to = "3500 m", mud = "mud" }\nsections = [{ od')
LINER = f"""{DRILLED_OUT}
[[strings]]
name = "liner"
hole_size = "8-1/2 in"
top = "2900 m"
shoe = "3500 m"
run_in = "mud"
cement = [{{ from = "shoe", to = "top", slurry = "slurry" }}]
sections = [{{ pipe = "7 in 32 lb/ft P110", to = "shoe" }}]
"""
TIED_BACK = f"""{LINER}
[[strings]]
name = "tie-back"
hole_size = "8-1/2 in"
top = "wellhead"
shoe = "2910 m"
tie_back_to = "liner"
run_in = "mud"
cement = [{{ from = "shoe", to = "2500 m", slurry = "slurry" }}]
sections = [{{ pipe = "7 in 32 lb/ft P110", to = "shoe" }}]
"""


def concerned(text: str, case: str) -> dict[str, str]:
    """Return for each string why the case does not concern it; an empty text where it does."""
    result = checked(text)
    found = cl.load_plugins().cases[case]
    return {string.name: why_not(found, cl.Scene(result.well, string.name)) for string in result.well.strings}


@pytest.mark.parametrize("case", CASES)
def test_production_reaches_what_has_no_later_string_inside(case: str) -> None:
    inner = "later strings stand inside all of it"
    assert concerned(LAND, case) == {"surface": inner, "production": ""}
    assert concerned(LINER, case) == {"surface": inner, "production": "", "liner": ""}
    assert concerned(TIED_BACK, case) == {"surface": inner, "production": inner, "liner": "", "tie-back": ""}
    assert concerned(SUBSEA, case) == {"long": "", "liner": ""}


@pytest.mark.parametrize("case", CASES)
def test_a_well_whose_last_hole_is_open_is_not_finished(case: str) -> None:
    found = concerned(DRILLED_OUT, case)
    assert set(found) == {"surface", "production"}
    assert all("'production' is not cased" in why for why in found.values())


def test_a_string_that_wants_all_cases_is_told_what_production_needs() -> None:
    text = LAND + 'cases = "all-applicable"\n'
    for case, needed in (("tubing-leak", "needs packer, packer_fluid, reservoir"), ("gas-lift", "needs injection_")):
        assert reason(text, case).startswith(needed)
