"""Tubing leak against hand calculations: the annulus under shut-in tubing pressure, on land, deviated and subsea.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2. No number here is published.
"""

from __future__ import annotations

from math import cos, exp, radians, sin

import pytest
from production_well import (
    BORE,
    DEVIATED,
    EXPANSION,
    LAND,
    MODULUS,
    OUTER,
    PSI,
    SETTLED_AT_SHOE,
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
from casingloads.constants import ATMOSPHERE
from casingloads.pressure.gas import z_hall_yarborough

TUBING_LEAK = """
[strings.cases.leak]
case = "tubing-leak"
packer = "2800 m"
packer_fluid = "brine"
reservoir = "2950 m"
reservoir_pressure = "36 MPa"
gas_gradient = "2 kPa/m"
temperature = "flowing"
outside = "as run"
[strings.cases.light-outside]
case = "tubing-leak"
packer = "2800 m"
packer_fluid = "brine"
reservoir = "2950 m"
oil_density = "800 kg/m3"
[strings.cases.real-gas]
case = "tubing-leak"
packer = "2800 m"
packer_fluid = "brine"
reservoir = "2950 m"
reservoir_pressure = "36 MPa"
gas_gravity = 0.65
temperature = "flowing"
[strings.cases.dead]
case = "tubing-leak"
packer = "2800 m"
packer_fluid = "brine"
reservoir = "2950 m"
reservoir_pressure = "20 MPa"
oil_density = "800 kg/m3"
[strings.cases.too-deep]
case = "tubing-leak"
packer = "3100 m"
packer_fluid = "brine"
reservoir = "2950 m"
gas_gradient = "2 kPa/m"
"""

SUBSEA = subsea(
    long="""
[strings.cases.tubing-leak]
packer = "4500 m"
packer_fluid = "brine"
reservoir = "4900 m"
gas_gradient = "2.5 kPa/m"
""",
    liner="""
[strings.cases.tubing-leak]
packer = "4500 m"
packer_fluid = "brine"
reservoir = "4900 m"
gas_gradient = "2.5 kPa/m"
[strings.cases.packer-above]
case = "tubing-leak"
packer = "3900 m"
packer_fluid = "brine"
reservoir = "4900 m"
gas_gradient = "2.5 kPa/m"
""",
)

LEAK = LAND + TUBING_LEAK


@pytest.mark.parametrize("step", ["shut in, hot", "shut in, cold"])
def test_shut_in_pressure_stands_on_the_packer_fluid(step: str) -> None:
    """36 MPa at 2950 m, 2 kPa/m of gas: 30.12 MPa at 10 m; brine of 1100 kg/m3 down to 2800 m: 60.22 MPa.

    Just below the packer there is gas: 36 - 0.3 = 35.70 MPa.
    """
    at_wellhead = 36e6 - 2e3 * 2940
    assert inside(LEAK, "production", "leak", step, 10.0) == pytest.approx(at_wellhead, rel=1e-12)
    on_packer = at_wellhead + 1100 * G * 2790
    assert on_packer / 1e6 == pytest.approx(60.217, abs=1e-3)
    assert inside(LEAK, "production", "leak", step, 2800.0) == pytest.approx(on_packer, rel=1e-12)
    assert inside(LEAK, "production", "leak", step, 2800.0, "below") == pytest.approx(35.7e6, rel=1e-12)
    assert inside(LEAK, "production", "leak", step, 3000.0) == pytest.approx(36.1e6, rel=1e-12)


def test_a_cold_leak_pulls_the_free_length_by_twice_poisson() -> None:
    """Brine was inside, mud outside, to 2000 m: only the wellhead pressure is new, less the 10 m of brine above it.

    2 x 0.3 x 30.01 MPa x 38,185 mm2 = 687.6 kN, all along the free length; behind the cement the slurry has become
    mud as run, 700 kg/m3 lighter.
    """
    new = 36e6 - 2e3 * 2940 - 1100 * G * 10
    balloon = 0.6 * new * BORE
    assert balloon / 1e3 == pytest.approx(687.6, abs=0.1)
    for md in (10.0, 2000.0):
        force = value(LEAK, "production", "leak", "shut in, cold", md, "true_force_n")
        assert force == pytest.approx(as_cemented(md) + balloon, rel=1e-9)
    lighter = 700 * G * 800  # at 2800 m, 800 m below the top of cement
    force = value(LEAK, "production", "leak", "shut in, cold", 2800.0, "true_force_n")
    assert force == pytest.approx(as_cemented(2800) + 0.6 * (new * BORE + lighter * OUTER), rel=1e-9)


def test_a_hot_leak_adds_thermal_compression() -> None:
    """70 degC warmer at 0 m, none at 3000 m: at 10 to 2000 m 69.77 and 23.33 degC, 46.55 on average."""
    mean = 70 * (1 - (10 + 2000) / 2 / 3000)
    balloon = 0.6 * (36e6 - 2e3 * 2940 - 1100 * G * 10) * BORE
    heat = -MODULUS * EXPANSION * STEEL * mean
    force = value(LEAK, "production", "leak", "shut in, hot", 10.0, "true_force_n")
    assert force == pytest.approx(as_cemented(10) + balloon + heat, rel=1e-9)


def test_behind_a_leak_stands_settled_mud_unless_told_otherwise() -> None:
    """Water from the wellhead to the shoe before, pore pressure of 11 kPa/m in open hole, water of it along cement.

    14.61 MPa at 1500 m, and 16.5 below it; 22 MPa at 2000 m, and 1000 m of water: 31.81 at the shoe. Inside, oil of
    800 kg/m3 under the pore pressure at 2950 m.
    """
    step = "shut in, cold"
    settled = {(1500.0, "above"): 1000 * G * 1490, (1500.0, "below"): 16.5e6, (3000.0, "above"): SETTLED_AT_SHOE}
    for (md, side), pressure in settled.items():
        assert outside(LEAK, "production", "light-outside", step, md, side) == pytest.approx(pressure, rel=1e-12)
    shut_in = 11e3 * 2950 - 800 * G * 2940
    assert inside(LEAK, "production", "light-outside", step, 10.0) == pytest.approx(shut_in, rel=1e-12)
    assert steps(LEAK, "production", "light-outside") == [step]


def by_mean_temperature(bottom: float, temperature: float) -> float:
    """Return the absolute pressure [Pa] at the top of 2940 m of gas of gravity 0.65, from that at its bottom."""
    top = bottom
    for _ in range(30):
        mean = 0.5 * (top + bottom)
        z = float(z_hall_yarborough(mean / (670.13 * PSI), temperature / (365.11 / 1.8)))
        top = bottom / exp(0.65 * 0.0289647 * G * 2940 / (z * 8.314463 * temperature))
    return top


def test_hot_gas_is_lighter_so_more_pressure_reaches_the_wellhead() -> None:
    """Second route: one temperature and one z for the whole column, by another equation of state; within 0.4 %.

    Gas of 0.65: 670.1 psia and 365.1 degR pseudo-critical. Mean temperatures between 10 and 2950 m: 94.9 and 59.4 degC.
    """
    hot = inside(LEAK, "production", "real-gas", "shut in, hot", 10.0)
    cold = inside(LEAK, "production", "real-gas", "shut in, cold", 10.0)
    assert hot > cold + 0.5e6
    for found, mean in ((hot, 85 + 1480 * 20 / 3000), (cold, 15 + 1480 * 0.03)):
        assert found + ATMOSPHERE == pytest.approx(by_mean_temperature(36e6 + ATMOSPHERE, mean + 273.15), rel=4e-3)
    (told,) = remarks(LEAK, "real-gas")
    assert f"{hot / 1e6:.2f} MPa hot" in told
    assert f"{cold / 1e6:.2f} MPa cold" in told


def test_a_reservoir_that_does_not_lift_its_oil_leaks_nothing() -> None:
    """20 MPa at 2950 m; 2940 m of oil weigh 23.06 MPa."""
    assert f"{(800 * G * 2940 - 20e6) / 1e6:.2f} MPa" in reason(LEAK, "dead")


def test_a_packer_must_be_in_the_well() -> None:
    assert reason(LEAK, "too-deep") == "packer = 3100 m is not between the wellhead, 10 m, and the deepest shoe, 3000 m"


def test_a_leak_needs_one_fluid_in_the_tubing() -> None:
    text = LAND + TUBING_LEAK.replace('gas_gradient = "2 kPa/m"\n', "", 1)
    with pytest.raises(cl.InputError, match="exactly one of gas_gradient and gas_gravity and oil_density"):
        checked(text)


def test_a_leak_on_the_sea_floor_loads_long_string_and_liner() -> None:
    """Pore pressure at 4900 m 10.1 + 49.9 x 3870/3970 = 58.743 MPa; gas of 2.5 kPa/m: 49.068 MPa at 1030 m.

    Brine of 1250 kg/m3 stands on the packer at 4500 m with 91.60 MPa; below it the gas has 57.743 MPa.
    """
    reservoir = 10.1e6 + 49.9e6 * 3870 / 3970
    head = reservoir - 2.5e3 * 3870
    assert inside(SUBSEA, "long", "tubing-leak", "shut in, cold", 1030.0) == pytest.approx(head, rel=1e-12)
    at_shoe = head + 1250 * G * (4200 - 1030)
    assert inside(SUBSEA, "long", "tubing-leak", "shut in, cold", 4200.0) == pytest.approx(at_shoe, rel=1e-12)
    at_hanger = head + 1250 * G * (4000 - 1030)
    assert inside(SUBSEA, "liner", "tubing-leak", "shut in, cold", 4000.0) == pytest.approx(at_hanger, rel=1e-12)
    on_packer = head + 1250 * G * (4500 - 1030)
    assert inside(SUBSEA, "liner", "tubing-leak", "shut in, cold", 4500.0) == pytest.approx(on_packer, rel=1e-12)
    below = inside(SUBSEA, "liner", "tubing-leak", "shut in, cold", 4500.0, "below")
    assert below == pytest.approx(reservoir - 2.5e3 * 400, rel=1e-12)


def test_a_liner_below_the_packer_sees_the_reservoir_alone() -> None:
    reservoir = 10.1e6 + 49.9e6 * 3870 / 3970
    for md in (4000.0, 5000.0):
        found = inside(SUBSEA, "liner", "packer-above", "shut in, cold", md)
        assert found == pytest.approx(reservoir - 2.5e3 * (4900 - md), rel=1e-12)


def test_in_a_deviated_well_pressure_follows_true_vertical_depth() -> None:
    """Radius 600/(pi/3) = 573.0 m: 496.2 m down the arc, then half of the length.

    The packer at 2800 m md is 1000 + 496.2 + 600 = 2096.2 m deep, the reservoir at 2950 m md 2171.2 m.
    """
    text = DEVIATED + TUBING_LEAK
    radius = 600 / radians(60)
    arc = radius * sin(radians(60))
    packer, reservoir = 1000 + arc + 1200 * cos(radians(60)), 1000 + arc + 1350 * cos(radians(60))
    assert packer == pytest.approx(2096.2, abs=0.05)
    head = 36e6 - 2e3 * (reservoir - 10)
    step = "shut in, cold"
    on_packer = head + 1100 * G * (packer - 10)
    assert inside(text, "production", "leak", step, 2800.0) == pytest.approx(on_packer, rel=1e-9)
    below = 36e6 - 2e3 * (reservoir - packer)
    assert inside(text, "production", "leak", step, 2800.0, "below") == pytest.approx(below, rel=1e-9)
