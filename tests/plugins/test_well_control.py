"""Gas in part of the well and bullheading against hand calculations, on land and on the sea floor.

Gas to surface and the circulated kick have files of their own. The arithmetic stands beside each check in plain
numbers: g = 9.80665 m/s2; 1 ppg is 12/231 psi/ft, so 12 ppg is 0.623377 psi/ft.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

import casingloads as cl
from casingloads.applicable import why_not

G, FOOT = 9.80665, 0.3048
PSI = 0.45359237 * G / 0.0254**2
MUD = 12 * 12 / 231  # psi/ft

REQUIRED = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
"""

# Ground 20 ft below the drill floor, shoe at 6000 ft, next hole to 12,000 ft in 12 ppg mud. The shoe breaks at 4800
# psi, the rock at 12,000 ft at 10,200 psi; that holds gas of 6600 psi.
LAND = """
[well]
name = "land"
air_gap = "20 ft"
units = "field"
[earth]
depth = ["0 ft", "6000 ft", "12000 ft"]
pore_pressure = ["0.45 psi/ft", "0.45 psi/ft", "0.55 psi/ft"]
fracture = ["0.80 psi/ft", "0.80 psi/ft", "0.85 psi/ft"]
temperature = ["60 degF", "150 degF", "240 degF"]
[temperatures.cold]
depth = ["0 ft", "12000 ft"]
temperature = ["60 degF", "100 degF"]
[fluids]
mud = "10 ppg"
heavy = "12 ppg"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "6000 ft"
run_in = "mud"
cement = [{ from = "shoe", to = "5000 ft", slurry = "mud" }]
next_hole = { to = "12000 ft", mud = "heavy" }
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases.load]
"""

# Wellhead on the sea floor at 1000 m (30 m of air gap), shoe at 2000 m, next hole to 3000 m in 1200 kg/m3 mud.
SUBSEA = """
[well]
name = "subsea"
air_gap = "30 m"
water_depth = "970 m"
[earth]
depth = ["1000 m", "2000 m", "3000 m"]
pore_pressure = ["10 MPa", "21 MPa", "36 MPa"]
fracture = ["10.2 MPa", "34 MPa", "54 MPa"]
[fluids]
"sea water" = "1025 kg/m3"
mud = "1200 kg/m3"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "wellhead"
shoe = "2000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "1500 m", slurry = "mud" }]
next_hole = { to = "3000 m", mud = "mud", riser = true }
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases.load]
"""
SEA = 1025.0 * G * 970.0  # around the wellhead
LAST = 'next_hole = { to = "12000 ft", mud = "heavy" }\n'


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.check(cl.read_well(path))


def step_of(text: str, number: int = 0) -> str:
    return [step for _, _, step in checked(text).evaluations][number]


def inside(text: str, md: float, number: int = 0) -> float:
    """Return the inside pressure [Pa] in a step, at a depth [m] that is a station."""
    found = checked(text).profile("casing", "load", step_of(text, number))
    return float(found[(found["md_m"] - md).abs() < 1e-6]["p_inside_pa"].iloc[0])


def psi(text: str, depth: float, number: int = 0) -> float:
    return inside(text, depth * FOOT, number) / PSI


def reason(text: str) -> str:
    assert set(checked(text).factors["status"]) == {"not-evaluated"}
    (found,) = set(checked(text).factors["reason"])
    return str(found)


def remarks(text: str) -> str:
    return " ".join(remark.text(checked(text).well.units) for remark in checked(text).remarks)


def case(name: str, *lines: str, well: str = LAND) -> str:
    return f'{well}case = "{name}"\n' + "".join(f"{line}\n" for line in lines)


# --- partial gas ------------------------------------------------------------------------------------------------------


def test_partial_gas_is_straight_between_wellhead_and_reservoir() -> None:
    """40 % of 6600 psi: 2640 at 20 ft, 3960 psi more over 11,980 ft; 4616.7 at the shoe, which bears 4800."""
    text = case("partial-gas", 'fraction = "40 %"')
    assert psi(text, 20.0) == pytest.approx(2640.0, rel=1e-9)
    assert psi(text, 6000.0) == pytest.approx(2640.0 + 3960.0 / 11_980.0 * 5980.0, rel=1e-9)
    assert psi(text, 6000.0) == pytest.approx(4616.7, abs=0.1)
    assert "bounded by the reservoir at 12000 ft" in remarks(text)


def test_partial_gas_goes_through_the_weakest_rock() -> None:
    """60 %: 3960 psi at the wellhead, a straight line to 6600 would stand at 5278 at the shoe, which bears 4800."""
    text = case("partial-gas", "fraction = 0.6")
    assert psi(text, 20.0) == pytest.approx(3960.0, rel=1e-9)
    assert psi(text, 6000.0) == pytest.approx(4800.0, rel=1e-9)
    assert "bounded by fracture at 6000 ft" in remarks(text)
    more = case("partial-gas", "fraction = 0.6", 'fracture_margin = "500 psi"')
    assert psi(more, 6000.0) == pytest.approx(3960.0 + 2640.0 / 11_980.0 * 5980.0, rel=1e-9)


def test_partial_gas_beyond_what_the_shoe_bears_is_not_evaluated() -> None:
    """80 % of 6600 psi, 5280 psi, at the wellhead; the shoe bears 4800 (33.09 MPa)."""
    text = reason(case("partial-gas", "fraction = 0.8"))
    assert "fraction = 0.8 gives 36.40 MPa at the wellhead, and the rock at 1829 m tvd bears 33.09 MPa" in text


def test_partial_gas_from_below_other_pipe() -> None:
    """From 12,000 ft with the hole cased to there no rock bounds it; a reservoir behind this pipe is not in it."""
    behind = case("partial-gas", "fraction = 0.9", 'reservoir = "5500 ft"', 'reservoir_pressure = "5000 psi"')
    assert reason(behind) == "the reservoir at 1676.4 m is not in the open hole of this string, 1828.8 to 3657.7 m"
    cased = case("partial-gas", "fraction = 0.8", 'exposed_from = "12000 ft"')
    assert psi(cased, 20.0) == pytest.approx(5280.0, rel=1e-9)


def test_partial_gas_on_the_sea_floor() -> None:
    """Half of 36 MPa at the wellhead, the rest over 2000 m: 27 MPa at the shoe."""
    text = case("partial-gas", "fraction = 0.5", well=SUBSEA)
    assert inside(text, 1000.0) == pytest.approx(18e6, rel=1e-9)
    assert inside(text, 2000.0) == pytest.approx(27e6, rel=1e-9)


@pytest.mark.parametrize("fraction", ["-0.1", "1.01"])
def test_partial_gas_needs_a_fraction_of_the_pressure(fraction: str) -> None:
    assert "need 0 to 1" in reason(case("partial-gas", f"fraction = {fraction}"))


def test_partial_gas_has_no_fraction_of_its_own() -> None:
    with pytest.raises(cl.InputError, match=r"fraction: missing; 'partial-gas' needs a fraction"):
        checked(case("partial-gas"))


# --- mud over gas -----------------------------------------------------------------------------------------------------

GAS = 'gas_gradient = "0.1 psi/ft"'


def test_mud_over_gas() -> None:
    """4800 psi at the shoe, 3000 at the wellhead: (4800 - 3000 - 598) / (0.623377 - 0.1) = 2296.6 ft of mud."""
    text = case("mud-over-gas", 'wellhead_pressure = "3000 psi"', GAS)
    contact = 20.0 + (4800.0 - 3000.0 - 0.1 * 5980.0) / (MUD - 0.1)
    assert contact == pytest.approx(2316.6, abs=0.1)
    assert psi(text, 20.0) == pytest.approx(3000.0, rel=1e-9)
    assert psi(text, contact) == pytest.approx(3000.0 + MUD * (contact - 20.0), rel=1e-6)
    assert psi(text, 6000.0) == pytest.approx(4800.0, rel=1e-9)
    assert f"mud stands on gas at {contact:.1f} ft" in remarks(text)
    assert "bounded by fracture at 6000 ft" in remarks(text)


def test_mud_over_gas_with_another_mud() -> None:
    text = case("mud-over-gas", 'wellhead_pressure = "3000 psi"', GAS, 'mud = "mud"')
    contact = 20.0 + (4800.0 - 3000.0 - 0.1 * 5980.0) / (10 * 12 / 231 - 0.1)
    assert f"mud stands on gas at {contact:.1f} ft" in remarks(text)


def test_a_rating_that_gas_does_not_reach_does_not_bind() -> None:
    """Gas to surface has 4202 psi at the wellhead; a rating of 5000 psi changes nothing."""
    text = case("mud-over-gas", 'wellhead_pressure = "5000 psi"', GAS)
    assert psi(text, 20.0) == pytest.approx(4800.0 - 598.0, rel=1e-9)
    assert psi(text, 6000.0) == pytest.approx(4800.0, rel=1e-9)
    assert "all is gas" in remarks(text)
    gas = checked(case("gas-to-surface", GAS)).profile("casing", "load")
    mine = checked(text).profile("casing", "load")
    assert mine["p_inside_pa"].to_numpy() == pytest.approx(gas["p_inside_pa"].to_numpy(), rel=1e-12)


def test_a_rating_that_mud_alone_reaches() -> None:
    """1000 psi and 5980 ft of mud, 3728 psi, stay below the shoe's 4800: no gas is needed to reach the rating."""
    text = case("mud-over-gas", 'wellhead_pressure = "1000 psi"', GAS)
    assert psi(text, 20.0) == pytest.approx(1000.0, rel=1e-9)
    assert psi(text, 6000.0) == pytest.approx(1000.0 + MUD * 5980.0, rel=1e-9)
    assert "with mud alone" in remarks(text)


def test_mud_over_gas_on_the_sea_floor_counts_from_the_sea() -> None:
    """36 MPa at 3000 m, 2 kPa/m: 34 MPa at the shoe just held. 15 MPa above the sea's 9.750 at the wellhead."""
    text = case("mud-over-gas", 'wellhead_pressure = "15 MPa"', 'gas_gradient = "2 kPa/m"', well=SUBSEA)
    cap = SEA + 15e6
    contact = 1000.0 + (34e6 - cap - 2e3 * 1000.0) / (1200.0 * G - 2e3)
    assert inside(text, 1000.0) == pytest.approx(cap, rel=1e-9)
    assert inside(text, 2000.0) == pytest.approx(34e6, rel=1e-9)
    assert 1000.0 < contact < 2000.0
    assert f"mud stands on gas at {contact:.2f} m" in remarks(text)


def test_mud_over_real_gas_meets_it() -> None:
    """Above the contact mud under the rating, below it the same pressures as gas to surface."""
    text = case("mud-over-gas", 'wellhead_pressure = "3000 psi"', "gas_gravity = 0.7")
    gas = case("gas-to-surface", "gas_gravity = 0.7")
    assert step_of(text) == "mud over gas"
    assert psi(text, 20.0) == pytest.approx(3000.0, rel=1e-9)
    for depth in (5000.0, 6000.0):
        assert psi(text, depth) == pytest.approx(psi(gas, depth), rel=1e-6)
    assert psi(text, 20.0) < psi(gas, 20.0)


# --- bullheading ------------------------------------------------------------------------------------------------------


def test_bullheading_into_open_hole_breaks_its_weakest_rock() -> None:
    """The rock at 12,000 ft would take 10,200 psi, but gas through it has 9600 psi at the shoe, which breaks at 4800.

    First 4800 - 598 psi at the wellhead; then, with 12 ppg mud down to the shoe, 4800 - 3728.
    """
    text = case("bullheading", GAS)
    assert psi(text, 20.0, 0) == pytest.approx(4800.0 - 598.0, rel=1e-9)
    assert psi(text, 20.0, 1) == pytest.approx(4800.0 - MUD * 5980.0, rel=1e-9)
    assert psi(text, 6000.0, 0) == psi(text, 6000.0, 1) == pytest.approx(4800.0, rel=1e-9)
    assert step_of(text, 0) == "pumping begins, full of gas"
    assert step_of(text, 1) == "kill fluid down to the zone"


def test_bullheading_into_a_zone_that_takes_less() -> None:
    """A zone at 7000 ft takes 4700 psi: gas has 4600 at the shoe, which bears it; kill mud is 623 psi less there."""
    text = case("bullheading", GAS, 'zone = "7000 ft"', 'injection_pressure = "4700 psi"')
    assert psi(text, 6000.0, 0) == pytest.approx(4600.0, rel=1e-9)
    assert psi(text, 20.0, 0) == pytest.approx(4700.0 - 698.0, rel=1e-9)
    assert psi(text, 6000.0, 1) == pytest.approx(4700.0 - MUD * 1000.0, rel=1e-9)
    assert "bounded by the zone at 7000 ft tvd, 4700 psi" in remarks(text)


def test_friction_is_pumped_against() -> None:
    """500 psi between wellhead and zone add to the wellhead; half-way down the vertical depth, half of them."""
    lines = ("bullheading", GAS, 'zone = "6020 ft"', 'injection_pressure = "4000 psi"')
    still, pumped = case(*lines), case(*lines, 'friction = "500 psi"')
    for number in (0, 1):
        assert psi(pumped, 20.0, number) - psi(still, 20.0, number) == pytest.approx(500.0, rel=1e-9)
        assert psi(pumped, 5000.0, number) - psi(still, 5000.0, number) == pytest.approx(500.0 * 1020 / 6000, rel=1e-6)
    told = checked(pumped).profile("casing", "load", step_of(pumped)).attrs["inside"]
    assert any("gas of 2.262 kPa/m, less 1.885 kPa/m of friction" in line for line in told)  # 500 psi over 6000 ft


def test_friction_is_no_weight_of_the_fluid() -> None:
    """What presses the pipe to the wall is the same with friction as without, and the zone lies below the wellhead."""
    lines = ("bullheading", GAS, 'zone = "6020 ft"', 'injection_pressure = "4000 psi"')
    still, pumped = (checked(case(*lines, more)) for more in ("", 'friction = "500 psi"'))
    name = step_of(case(*lines), 1)
    weights = [found.evaluation("casing", "load", name).lateral.weight_in_fluids for found in (still, pumped)]
    assert weights[1] == pytest.approx(weights[0], rel=1e-12)
    assert reason(case("bullheading", GAS, 'zone = "20 ft"')) == "zone = 6.096 m is not below the wellhead"


def test_kill_fluid_falls_where_the_zone_takes_it() -> None:
    """7000 psi at 12,000 ft below other pipe hold 11,229 ft of 12 ppg mud: nothing above 770.8 ft, no vacuum."""
    text = case("bullheading", GAS, 'injection_pressure = "7000 psi"', 'exposed_from = "12000 ft"')
    level = 12_000.0 - 7000.0 / MUD
    assert level == pytest.approx(770.8, abs=0.1)
    assert psi(text, 20.0, 0) == pytest.approx(7000.0 - 1198.0, rel=1e-9)
    assert psi(text, 20.0, 1) == 0.0
    assert psi(text, level, 1) == pytest.approx(0.0, abs=1e-3)
    assert psi(text, 6000.0, 1) == pytest.approx(7000.0 - MUD * 6000.0, rel=1e-6)


def test_bullheading_a_perforated_string() -> None:
    """No hole below it: the zone is named, 5500 psi at 5800 ft, and the fluid; the pipe is open to nothing else."""
    last = LAND.replace(LAST, "")
    text = case(
        "bullheading", GAS, 'zone = "5800 ft"', 'injection_pressure = "5500 psi"', 'kill_fluid = "mud"', well=last
    )
    assert psi(text, 20.0, 0) == pytest.approx(5500.0 - 578.0, rel=1e-9)
    assert psi(text, 20.0, 1) == pytest.approx(5500.0 - 10 * 12 / 231 * 5780.0, rel=1e-9)
    for lines in ([], ['zone = "5800 ft"'], ['kill_fluid = "mud"']):
        assert reason(case("bullheading", GAS, *lines, well=last)).startswith("needs zone and kill_fluid")


def test_bullheading_on_the_sea_floor() -> None:
    """The shoe breaks at 34 MPa: 2 MPa of gas up to the wellhead at 1000 m, or 11.768 MPa of mud."""
    text = case("bullheading", 'gas_gradient = "2 kPa/m"', well=SUBSEA)
    assert inside(text, 1000.0, 0) == pytest.approx(32e6, rel=1e-9)
    assert inside(text, 1000.0, 1) == pytest.approx(34e6 - 1200.0 * G * 1000.0, rel=1e-9)


def test_what_is_pumped_may_cool_the_pipe() -> None:
    """100 degF at 12,000 ft and 60 at the drill floor: 80 degF at the shoe, where the ground has 150."""
    text = case("bullheading", GAS, 'temperature = "cold"')
    shoe = checked(text).profile("casing", "load", step_of(text)).iloc[-1]
    assert shoe["temperature_k"] == pytest.approx((80.0 + 459.67) / 1.8)
    steel = 3.141592653589793 / 4 * (9.625**2 - 8.681**2)
    pull = 30e6 * 6.9e-6 * steel * 70.0 * 0.45359237 * G  # in cement: -E alpha A dT
    assert shoe["force_temperature_n"] == pytest.approx(pull, rel=1e-6)


# --- which strings they concern ---------------------------------------------------------------------------------------

CASES = ("gas-to-surface", "partial-gas", "mud-over-gas", "bullheading")
EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("name", CASES)
def test_they_concern_strings_under_a_preventer_that_are_drilled_out(name: str) -> None:
    """The conductor of the deepwater well is drilled out in open sea; nothing is drilled below its liner."""
    found: dict[tuple[str, str], str] = {}
    for file in ("skerrow-3", "corvane-4"):
        well = cl.read_well(EXAMPLES / f"{file}.toml")
        found |= {(file, s.name): why_not(cl.load_plugins().cases[name], cl.Scene(well, s.name)) for s in well.strings}
    assert "without a riser" in found.pop(("skerrow-3", "conductor"))
    assert found.pop(("skerrow-3", "liner")).startswith("no hole is drilled below it")
    assert found.pop(("corvane-4", "production")).startswith("no hole is drilled below it")
    assert len(found) == 5
    assert set(found.values()) == {""}


@pytest.mark.parametrize("name", CASES)
def test_they_load_in_burst_and_take_the_light_side_behind_the_pipe(name: str) -> None:
    (default,) = [p.default for p in cl.load_plugins().cases[name].parameters if p.name == "outside"]
    assert default == "settled mud"
