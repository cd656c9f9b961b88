"""Load cases of pumping into the reservoir against hand calculations, on land, deviated, and on the sea floor.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2. The density of slurry is compared with the
printed formula (lecture of Ghalambor and Guo, 2005, secondary copy); no other number here is published.
"""

from __future__ import annotations

from functools import cache
from math import pi
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

import casingloads as cl
from casingloads.applicable import why_not
from casingloads.plugins.stimulation import slurry_density

PLUGINS = cl.load_plugins("casingloads.plugins.stimulation", installed=False)

G, INCH, FOOT = 9.80665, 0.0254, 0.3048
PSI = 0.45359237 * G / INCH**2
PPG = 0.45359237 / (231 * INCH**3)
MODULUS, EXPANSION = 30e6 * PSI, 12.42e-6

# 7 in 32 lb/ft, 0.453 in wall
OUTER, BORE = pi / 4 * (7 * INCH) ** 2, pi / 4 * (6.094 * INCH) ** 2
STEEL, WEIGHT = OUTER - BORE, 32 * 0.45359237 / FOOT * G

REQUIRED = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
"""

# Ground at 5 m; 7 in to 3000 m, cemented up to 2000 m. 20 degC at 0 m and 110 at 3000; pumped through 15 and 30.
LAND = """
[well]
name = "land"
air_gap = "5 m"
buckling = false
[earth]
depth = ["0 m", "3000 m"]
pore_pressure = ["0 MPa", "33 MPa"]
temperature = ["20 degC", "110 degC"]
[fluids]
mud = "1200 kg/m3"
gel = "1020 kg/m3"
brine = "1100 kg/m3"
slurry = "1900 kg/m3"
[temperatures.pumped]
depth = ["0 m", "3000 m"]
temperature = ["15 degC", "30 degC"]
[[strings]]
name = "production"
hole_size = "8-1/2 in"
top = "wellhead"
shoe = "3000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "2000 m", slurry = "slurry" }]
sections = [{ od = "7 in", wall = "0.453 in", weight = "32 lb/ft", yield = "110 ksi", to = "shoe" }]
"""

DOWN_CASING = """
[strings.cases.injection]
case = "stimulation"
pump_pressure = "50 MPa"
fluid = "gel"
temperature = "pumped"
outside = "as run"
[strings.cases.sand]
case = "stimulation"
pump_pressure = "50 MPa"
fluid = "gel"
temperature = "pumped"
friction = "4 kPa/m"
proppant = "6 ppg"
[strings.cases.friction-alone]
case = "stimulation"
pump_pressure = "50 MPa"
fluid = "gel"
temperature = "pumped"
friction = "4 kPa/m"
[strings.cases.weightless-grain]
case = "stimulation"
pump_pressure = "50 MPa"
fluid = "gel"
temperature = "pumped"
proppant = "1 ppg"
grain_density = "0 kg/m3"
[strings.cases.too-much-friction]
case = "stimulation"
pump_pressure = "5 MPa"
fluid = "gel"
temperature = "pumped"
friction = "15 kPa/m"
"""

THROUGH_TUBING = """
[strings.cases.tubing]
case = "stimulation-through-tubing"
pump_pressure = "60 MPa"
backup_pressure = "20 MPa"
fluid = "gel"
packer = "2700 m"
packer_fluid = "brine"
temperature = "pumped"
proppant = "500 kg/m3"
grain_density = "3200 kg/m3"
outside = "pore pressure"
"""

# Vertical to 1000 m, 600 m of arc to 60 degrees, then straight on: at 3000 m md 2196.2 m deep.
DEVIATED = LAND.replace(
    "buckling = false",
    """buckling = false
survey = { md = ["0 m", "1000 m", "1600 m", "3000 m"], inclination = ["0 deg", "0 deg", "60 deg", "60 deg"], \
azimuth = ["0 deg", "0 deg", "0 deg", "0 deg"] }""",
)

# Wellhead on the sea floor at 530 m.
SUBSEA = (
    LAND.replace('air_gap = "5 m"', 'air_gap = "30 m"\nwater_depth = "500 m"')
    .replace('mud = "1200', '"sea water" = "1025 kg/m3"\nmud = "1200')
    .replace('name = "land"', 'name = "subsea"')
)


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.check(cl.read_well(path, plugins=PLUGINS), plugins=PLUGINS)


def value(text: str, case: str, step: str, md: float, column: str, side: str = "above") -> float:
    """Return a column of the profile at a depth [m] that is a station; of a jump, the side told."""
    found = checked(text).profile("production", case, step)
    rows = found[(found["md_m"] - md).abs() < 1e-6]
    rows = rows[rows["side"] == side] if len(rows) > 1 else rows
    assert len(rows) == 1
    return float(rows[column].iloc[0])


def inside(text: str, case: str, step: str, md: float, side: str = "above") -> float:
    return value(text, case, step, md, "p_inside_pa", side)


def steps(text: str, case: str) -> list[str]:
    return list(dict.fromkeys(checked(text).factors.query("case == @case")["step"]))


def reason(text: str, case: str) -> str:
    rows = checked(text).factors.query("case == @case and status == 'not-evaluated'")
    (found,) = set(rows["reason"])
    return str(found)


def as_cemented(md: float) -> float:
    """Return the force at *md* when the cement set: mud inside to the drill floor, mud and slurry outside."""
    end = 1200 * G * 3000 * BORE - (1200 * G * 2000 + 1900 * G * 1000) * OUTER
    return end + WEIGHT * (3000 - md)


# --- slurry -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("base", "added", "grain"), [(8.4, 4.0, 2.65), (8.6, 10.0, 2.65), (8.34, 6.0, 3.6)])
def test_slurry_density_by_the_printed_formula(base: float, added: float, grain: float) -> None:
    """Printed in psi/ft with 0.052 for 0.0519481 and 8.33 ppg for water: 0.1 % high; grain as many times 8.33 ppg."""
    printed = 0.052 * (base + added) / (1 + added / (8.33 * grain))
    density = float(slurry_density(base * PPG, added * PPG, 8.33 * grain * PPG))
    assert density * G / (PSI / FOOT) == pytest.approx(printed, rel=1.1e-3)


@given(st.floats(700, 2000), st.floats(0, 3000), st.floats(2000, 5000))
def test_slurry_lies_between_its_fluid_and_its_grains(base: float, added: float, grain: float) -> None:
    density = float(slurry_density(base, added, grain))
    assert min(base, grain) * (1 - 1e-12) <= density <= max(base, grain) * (1 + 1e-12)


def test_slurry_of_nothing_added_is_the_fluid() -> None:
    assert slurry_density([1000.0, 1200.0], 0.0, 2650.0).tolist() == [1000.0, 1200.0]


@pytest.mark.parametrize("wrong", [(0.0, 100.0, 2650.0), (1000.0, -1.0, 2650.0), (1000.0, 100.0, 0.0)])
def test_slurry_of_what_cannot_be(wrong: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="need base and grain above 0, added 0 or more"):
        slurry_density(*wrong)


# --- down the casing --------------------------------------------------------------------------------------------------

CASING = LAND + DOWN_CASING


def test_cold_injection_has_no_screen_out() -> None:
    """50 MPa at 5 m, gel of 1020 kg/m3: 79.96 MPa at the shoe; bled off, the gel alone stands there."""
    assert steps(CASING, "injection") == ["pumping", "shut down, bled off"]
    for step, on_top in (("pumping", 50e6), ("shut down, bled off", 0.0)):
        assert inside(CASING, "injection", step, 5.0) == pytest.approx(on_top, abs=1e-6)
        assert inside(CASING, "injection", step, 3000.0) == pytest.approx(on_top + 1020 * G * 2995, rel=1e-12)


def test_cold_and_pressure_pull_together() -> None:
    """5 degC colder at 0 m, 80 at 3000 m: 30.06 on average from 5 to 2000 m, so 464.2 kN; gel where mud was.

    Mean of the change in pressure: 50 MPa - 1020 g 5 m - 180 g 1002.5 m = 48.18 MPa: 2 x 0.3 of it on the bore, 544 kN.
    """
    heat = MODULUS * EXPANSION * STEEL * (5 + 75 * 1002.5 / 3000)
    balloon = 0.6 * BORE * (50e6 - 1020 * G * 5 - 180 * G * 1002.5)
    force = value(CASING, "injection", "pumping", 5.0, "true_force_n")
    assert force == pytest.approx(as_cemented(5) + heat + balloon, rel=1e-9)
    assert heat / 1e3 == pytest.approx(464.2, abs=0.1)
    assert balloon / 1e3 == pytest.approx(544.0, abs=0.1)
    shut_down = value(CASING, "injection", "shut down, bled off", 5.0, "true_force_n")
    assert force - shut_down == pytest.approx(0.6 * BORE * 50e6, rel=1e-9)


def test_screen_out_stops_the_flow_on_the_heaviest_slurry() -> None:
    """6 ppg of sand, 719.0 kg/m3 of gel, take up 0.2713 m3: (1020 + 719.0) / 1.2713 = 1367.9 kg/m3.

    Pumping, 4 kPa/m of friction over 2995 m take 11.98 MPa off the shoe.
    """
    assert steps(CASING, "sand") == ["pumping", "screen-out", "shut down, bled off"]
    added = 6 * PPG
    density = (1020 + added) / (1 + added / 2650)
    assert density == pytest.approx(1367.9, abs=0.1)
    assert inside(CASING, "sand", "screen-out", 5.0) == pytest.approx(50e6, rel=1e-12)
    assert inside(CASING, "sand", "screen-out", 3000.0) == pytest.approx(50e6 + density * G * 2995, rel=1e-12)
    pumping = 50e6 + 1020 * G * 2995 - 4e3 * 2995
    assert inside(CASING, "sand", "pumping", 3000.0) == pytest.approx(pumping, rel=1e-12)
    (told,) = [line for remark in checked(CASING).remarks if "sand" in (line := remark.text())]
    assert "1368 kg/m3" in told


def test_friction_alone_makes_a_step_of_blocked_flow() -> None:
    assert steps(CASING, "friction-alone") == ["pumping", "screen-out", "shut down, bled off"]
    assert inside(CASING, "friction-alone", "screen-out", 3000.0) == pytest.approx(50e6 + 1020 * G * 2995, rel=1e-12)


def test_friction_is_lost_along_the_pipe_and_weight_gained_in_depth() -> None:
    """At 3000 m md, 2196.2 m deep: 2191.2 m of gel, but 2995 m of friction."""
    text = DEVIATED + DOWN_CASING
    depth = 1000 + 600 / (pi / 3) * 0.75**0.5 + 1400 / 2
    assert depth == pytest.approx(2196.2, abs=0.05)
    pumping = 50e6 + 1020 * G * (depth - 5) - 4e3 * 2995
    assert inside(text, "sand", "pumping", 3000.0) == pytest.approx(pumping, rel=1e-9)


def test_behind_the_pipe_stands_settled_mud_unless_told_otherwise() -> None:
    """No string before it: pore pressure to the top of cement, 22 MPa at 2000 m, water of it along the cement."""
    assert value(CASING, "sand", "pumping", 3000.0, "p_outside_pa") == pytest.approx(22e6 + 1000 * G * 1000, rel=1e-12)
    assert value(CASING, "injection", "pumping", 3000.0, "p_outside_pa") == pytest.approx(1200 * G * 3000, rel=1e-12)


def test_what_cannot_be_pumped_is_not_evaluated() -> None:
    assert "need base and grain above 0, added 0 or more" in reason(CASING, "weightless-grain")
    assert "below vacuum" in reason(CASING, "too-much-friction")


def test_cold_injection_needs_a_temperature() -> None:
    text = LAND + DOWN_CASING.replace('temperature = "pumped"\n', "", 1)
    with pytest.raises(cl.InputError, match=r"injection.*temperature.*missing"):
        checked(text)


def test_on_the_sea_floor_a_bled_well_holds_the_sea() -> None:
    """Pump pressure is against the atmosphere; bled off, 500 m of sea stand at the wellhead, 5.03 MPa."""
    text = SUBSEA + DOWN_CASING
    assert inside(text, "injection", "pumping", 530.0) == pytest.approx(50e6, rel=1e-12)
    bled = 1025 * G * 500 + 1020 * G * 2470
    assert inside(text, "injection", "shut down, bled off", 3000.0) == pytest.approx(bled, rel=1e-12)


# --- through tubing ---------------------------------------------------------------------------------------------------

TUBING = LAND + THROUGH_TUBING


def test_through_tubing_the_annulus_has_back_up_or_the_leak() -> None:
    """Slurry of 1520 / (1 + 500/3200) = 1314.6 kg/m3 below the packer at 2700 m; brine and 20 or 60 MPa above it."""
    density = 1520 / (1 + 500 / 3200)
    assert density == pytest.approx(1314.6, abs=0.05)
    assert steps(TUBING, "tubing") == ["pumping", "tubing leaks", "shut down, bled off"]
    for step, on_top in (("pumping", 20e6), ("tubing leaks", 60e6)):
        assert inside(TUBING, "tubing", step, 5.0) == pytest.approx(on_top, rel=1e-12)
        assert inside(TUBING, "tubing", step, 2700.0) == pytest.approx(on_top + 1100 * G * 2695, rel=1e-12)
        below = inside(TUBING, "tubing", step, 2700.0, "below")
        assert below == pytest.approx(60e6 + density * G * 2695, rel=1e-12)
    bled = "shut down, bled off"
    assert inside(TUBING, "tubing", bled, 2700.0) == pytest.approx(1100 * G * 2695, rel=1e-12)
    assert inside(TUBING, "tubing", bled, 2700.0, "below") == pytest.approx(1020 * G * 2695, rel=1e-12)
    assert value(TUBING, "tubing", bled, 3000.0, "p_outside_pa") == pytest.approx(33e6, rel=1e-12)
    for step in steps(TUBING, "tubing"):  # cold at every step
        assert value(TUBING, "tubing", step, 3000.0, "temperature_k") == pytest.approx(303.15, rel=1e-12)


@pytest.mark.parametrize("case", ["stimulation", "stimulation-through-tubing"])
def test_it_concerns_what_sees_production(case: str) -> None:
    finished = checked(LAND + DOWN_CASING).well
    assert why_not(PLUGINS.cases[case], cl.Scene(finished, "production")) == ""
    drilling = LAND.replace("sections = [", 'next_hole = { to = "3000 m", mud = "mud" }\nsections = [')
    drilling = drilling.replace('shoe = "3000 m"', 'shoe = "2500 m"')
    reason = why_not(PLUGINS.cases[case], cl.Scene(checked(drilling).well, "production"))
    assert "not finished" in reason
