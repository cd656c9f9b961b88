"""Gas to surface against hand calculations: bounded by the reservoir, by the shoe, by a weaker place below it."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd
import pytest

import casingloads as cl
from casingloads.constants import ATMOSPHERE
from casingloads.pressure.gas import gas_density

G, FOOT = 9.80665, 0.3048
PSI = 0.45359237 * G / 0.0254**2

# 9-5/8 in to 6000 ft, next hole to 12,000 ft; ground 20 ft below the drill floor. The rock breaks at 4800 psi at the
# shoe, at 4800 psi again at 8000 ft and at 8500 at 10,000 ft. With gas of 0.1 psi/ft the place at 8000 ft is weakest.
LAND = """
[well]
name = "land"
air_gap = "20 ft"
units = "field"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[earth]
depth = ["0 ft", "6000 ft", "8000 ft", "10000 ft", "12000 ft"]
pore_pressure = ["0.45 psi/ft", "0.45 psi/ft", "0.50 psi/ft", "0.50 psi/ft", "0.55 psi/ft"]
fracture = ["0.80 psi/ft", "0.80 psi/ft", "0.60 psi/ft", "0.85 psi/ft", "0.85 psi/ft"]
temperature = ["530 degR", "615 degR", "643.3333333 degR", "671.6666667 degR", "700 degR"]
[temperatures.flowing]
depth = ["0 ft", "12000 ft"]
temperature = ["660 degR", "700 degR"]
[fluids]
mud = "10 ppg"
tail = "15 ppg"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "6000 ft"
run_in = "mud"
cement = [{ from = "shoe", to = "5000 ft", slurry = "tail" }]
next_hole = { to = "12000 ft", mud = "mud" }
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases.from-td]
case = "gas-to-surface"
gas_gradient = "0.1 psi/ft"
fracture_margin = "1500 psi"
[strings.cases.margin]
case = "gas-to-surface"
gas_gradient = "0.1 psi/ft"
fracture_margin = "400 psi"
[strings.cases.weak-below]
case = "gas-to-surface"
gas_gradient = "0.1 psi/ft"
[strings.cases.strong]
case = "gas-to-surface"
gas_gradient = "0.1 psi/ft"
reservoir_pressure = "0.9 psi/ft"
fracture_margin = "1000 psi"
[strings.cases.shallow]
case = "gas-to-surface"
gas_gradient = "0.1 psi/ft"
reservoir = "7000 ft"
reservoir_pressure = "6000 psi"
outside = "pore pressure"
[strings.cases.behind]
case = "gas-to-surface"
gas_gradient = "0.1 psi/ft"
reservoir = "5500 ft"
reservoir_pressure = "5000 psi"
[strings.cases.cased-deeper]
case = "gas-to-surface"
gas_gradient = "0.1 psi/ft"
exposed_from = "10000 ft"
[strings.cases.real]
case = "gas-to-surface"
gas_gravity = 0.65
reservoir_pressure = "7985.304 psi"
fracture_margin = "10000 psi"
[strings.cases.hot]
case = "gas-to-surface"
gas_gravity = 0.65
reservoir_pressure = "7985.304 psi"
fracture_margin = "10000 psi"
temperature = "flowing"
"""

# A liner from 4000 to 5000 m of a subsea well whose wellhead is at 1030 m; and the string above it, from the wellhead.
SUBSEA = """
[well]
name = "subsea"
air_gap = "30 m"
water_depth = "1000 m"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[earth]
depth = ["1030 m", "4000 m", "6000 m"]
pore_pressure = ["10.3 MPa", "45 MPa", "80 MPa"]
fracture = ["10.6 MPa", "70 MPa", "120 MPa"]
[fluids]
"sea water" = "1025 kg/m3"
mud = "1400 kg/m3"
slurry = "1900 kg/m3"
[[strings]]
name = "long"
hole_size = "12-1/4 in"
top = "wellhead"
shoe = "4200 m"
run_in = "mud"
cement = [{ from = "shoe", to = "3500 m", slurry = "slurry" }]
next_hole = { to = "5000 m", mud = "mud" }
sections = [{ pipe = "9-5/8 in 53.5 lb/ft P110", to = "shoe" }]
[strings.cases.gas-to-surface]
gas_gradient = "3 kPa/m"
[[strings]]
name = "liner"
hole_size = "8-1/2 in"
top = "4000 m"
shoe = "5000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "top", slurry = "slurry" }]
next_hole = { to = "6000 m", mud = "mud" }
sections = [{ pipe = "7 in 32 lb/ft L80", to = "shoe" }]
[strings.cases.gas-to-surface]
gas_gradient = "3 kPa/m"
"""


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text, encoding="utf-8")
        return cl.check(cl.read_well(path))


def profile(case: str) -> pd.DataFrame:
    return checked(LAND).profile("casing", case)


def ends(case: str) -> tuple[float, float]:
    """Return the inside pressure [psi] at the top of the string (20 ft) and at its shoe (6000 ft)."""
    found = profile(case)
    return float(found["p_inside_pa"].iloc[0]) / PSI, float(found["p_inside_pa"].iloc[-1]) / PSI


def reasons(case: str) -> set[str]:
    rows = checked(LAND).factors.query("case == @case")
    assert set(rows["status"]) == {"not-evaluated"}
    return set(rows["reason"])


def remark(case: str) -> str:
    (found,) = [line for r in checked(LAND).remarks if f", {case}: " in (line := r.text("field"))]
    return found


def test_bounded_by_the_reservoir() -> None:
    """0.55 psi/ft at 12,000 ft is 6600 psi: 6200 psi at 8000 ft, where 4800 + 1500 psi hold; 6000 at the shoe."""
    assert ends("from-td") == pytest.approx((6600 - 0.1 * 11_980, 6000), rel=1e-9)
    assert "bounded by the reservoir" in remark("from-td")


def test_bounded_by_a_place_weaker_than_the_shoe() -> None:
    """4800 psi at 8000 ft: 4600 at the shoe, which would hold 4800; 4002 psi at 20 ft."""
    assert ends("weak-below") == pytest.approx((4800 - 798, 4600), rel=1e-9)
    assert "fracture at 8000 ft" in remark("weak-below")


def test_bounded_by_the_shoe() -> None:
    """With 0.70 psi/ft at 8000 ft, 5600 psi, the gas through the shoe's 4800 psi stands there at 5000 only."""
    text = LAND.replace('"0.60 psi/ft"', '"0.70 psi/ft"')
    found = checked(text).profile("casing", "weak-below")["p_inside_pa"] / PSI
    assert float(found.iloc[-1]) == pytest.approx(4800, rel=1e-9)
    assert float(found.iloc[0]) == pytest.approx(4800 - 598, rel=1e-9)


def test_a_margin_lifts_the_bound() -> None:
    """4800 + 400 psi at 8000 ft."""
    assert ends("margin") == pytest.approx((5200 - 798, 5000), rel=1e-9)


def test_the_lower_of_reservoir_and_fracture_bounds() -> None:
    """0.9 psi/ft at 12,000 ft, 10,800 psi, would stand at 10,400 at 8000 ft; that takes 4800 + 1000."""
    assert ends("strong") == pytest.approx((5800 - 798, 5600), rel=1e-9)


def test_only_the_hole_above_the_reservoir_is_exposed() -> None:
    """Gas comes in at 7000 ft with 6000 psi; 4800 psi break the rock there as at the shoe, so the deeper end bounds."""
    assert ends("shallow") == pytest.approx((4800 - 698, 4700), rel=1e-9)
    assert float(profile("shallow")["p_outside_pa"].iloc[-1]) / PSI == pytest.approx(0.45 * 6000, rel=1e-9)


def test_a_reservoir_behind_the_pipe_is_none_of_its_hole() -> None:
    """5500 ft, while a hole is drilled from 6000 ft on: it would take the place of the deeper one, and is refused."""
    reasons = {row.reason for row in checked(LAND).rows if row.case == "behind"}
    assert reasons == {"the reservoir at 1676.4 m is not in the open hole of this string, 1828.8 to 3657.7 m"}


def test_a_perforated_reservoir_behind_the_last_pipe_exposes_no_hole() -> None:
    """5000 psi at 5500 ft: no fracture bounds it, though the shoe at 6000 ft would break at 4800 psi."""
    start, end = LAND.index("[strings.cases."), LAND.index("[strings.cases.behind]")
    last = "\n".join(line for line in LAND[:start].splitlines() if not line.startswith("next_hole"))
    asked = f"{last}\n{LAND[end : LAND.index('[strings.cases.cased-deeper]')]}"
    profile = checked(asked).profile("casing", "behind")["p_inside_pa"] / PSI
    assert (profile.iloc[0], profile.iloc[-1]) == pytest.approx((5000 - 0.1 * 5480, 5000 + 0.1 * 500), rel=1e-9)


def test_hole_already_cased_is_not_exposed() -> None:
    """Open from 10,000 ft, 0.85 psi/ft there: the reservoir's 6600 psi at 12,000 ft breaks nothing."""
    assert ends("cased-deeper") == pytest.approx((6600 - 1198, 6000), rel=1e-9)


def test_real_gas() -> None:
    """0.65 sg, 8000 psia at 12,000 ft, 700 to 530 degR: at the top 6528 psia (another z: 6532); own calculation.

    The string begins 20 ft lower, where the gas presses with 2 psi more.
    """
    top = ends("real")[0] + ATMOSPHERE / PSI
    assert top == pytest.approx(6528 + 0.12 * 20, abs=1.5)
    assert top > 8000 - 0.15 * 11_980  # denser gas than the rule of thumb of 0.1 psi/ft, lighter than 0.15
    assert top < 8000 - 0.10 * 11_980


def test_hot_gas_is_lighter_and_heats_the_pipe() -> None:
    """At 660 degR instead of 530 the gas at the top is a good deal lighter; the pipe has the gas's temperature.

    A second route: the density at mean pressure and temperature over the whole height, solved for itself.
    """
    assert ends("hot")[0] > ends("real")[0] + 50.0
    assert float(profile("hot")["temperature_k"].iloc[0]) == pytest.approx((660.0 + 20.0 / 300.0) / 1.8)
    bottom, top = 8000.0 * PSI, 6500.0 * PSI
    for _ in range(20):
        mean = gas_density(0.5 * (bottom + top), 680.0 / 1.8, 0.65)
        top = bottom - float(mean) * G * 11_980 * FOOT
    assert ends("hot")[0] + ATMOSPHERE / PSI == pytest.approx(top / PSI, rel=2e-3)


def test_behind_the_pipe_the_light_side_by_default() -> None:
    """Pore pressure of 0.45 psi/ft down to the cement at 5000 ft, water of its pores below: 1000 kg/m3."""
    outside = float(profile("weak-below")["p_outside_pa"].iloc[-1]) / PSI
    assert outside == pytest.approx(0.45 * 5000 + 1000 * G * FOOT / PSI * 1000, rel=1e-9)


@pytest.mark.parametrize("gas", ["", 'gas_gradient = "0.1 psi/ft"\ngas_gravity = 0.65\n'])
def test_exactly_one_gas_must_be_named(gas: str) -> None:
    with pytest.raises(cl.InputError, match="needs exactly one of gas_gradient and gas_gravity"):
        checked(f'{LAND}[strings.cases.unclear]\ncase = "gas-to-surface"\n{gas}')


def test_needs_the_next_hole_unless_the_reservoir_is_named() -> None:
    text = LAND.replace('next_hole = { to = "12000 ft", mud = "mud" }\n', "")
    factors = checked(text).factors
    assert set(factors.query("case == 'from-td'")["reason"]) == {"needs strings.casing.next_hole"}
    found = checked(text).profile("casing", "behind")["p_inside_pa"] / PSI
    assert float(found.iloc[-1]) == pytest.approx(5050, rel=1e-9)


def test_on_the_sea_floor_the_gas_column_ends_at_the_wellhead() -> None:
    """Pore pressure at 5000 m 62.5 MPa; the long string's shoe at 4200 m breaks at 75 MPa. 3 kPa/m of gas.

    At the shoe 60.1 MPa, at the wellhead 50.59 MPa: what the riser holds does not come into it.
    """
    found = checked(SUBSEA).profile("long", "gas-to-surface")
    assert found["md_m"].iloc[0] == 1030.0
    assert float(found["p_inside_pa"].iloc[-1]) == pytest.approx(62.5e6 - 3e3 * 800, rel=1e-9)
    assert float(found["p_inside_pa"].iloc[0]) == pytest.approx(62.5e6 - 3e3 * 3970, rel=1e-9)


def test_a_liner_is_loaded_from_its_own_top() -> None:
    """80 MPa at 6000 m: 77 MPa at the liner's shoe, which breaks at 95 MPa, 74 MPa at its top."""
    found = checked(SUBSEA).profile("liner", "gas-to-surface")
    assert found["md_m"].iloc[0] == 4000.0
    assert float(found["p_inside_pa"].iloc[-1]) == pytest.approx(77e6, rel=1e-9)
    assert float(found["p_inside_pa"].iloc[0]) == pytest.approx(74e6, rel=1e-9)


def test_labels_of_one_case_stand_side_by_side() -> None:
    burst = checked(LAND).factors.query("mode == 'burst'").set_index("case")["factor"]
    assert burst["from-td"] < burst["strong"] < burst["margin"] < burst["weak-below"]
