"""Gas lift against hand calculations: gas on a full annulus, on an emptied one, and bled off.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2. No number here is published.
"""

from __future__ import annotations

import pytest
from production_well import LAND, SETTLED_AT_SHOE, G, inside, outside, reason, steps, subsea, value

GAS_LIFT = """
[strings.cases.to-packer]
case = "gas-lift"
injection_pressure = "9 MPa"
packer = "2800 m"
packer_fluid = "brine"
gas_gradient = "0.8 kPa/m"
temperature = "flowing"
[strings.cases.to-valve]
case = "gas-lift"
injection_pressure = "9 MPa"
packer = "2800 m"
packer_fluid = "brine"
valve = "2500 m"
gas_gradient = "0.8 kPa/m"
outside_burst = "pore pressure"
outside_collapse = "settled mud"
[strings.cases.valve-too-deep]
case = "gas-lift"
injection_pressure = "9 MPa"
packer = "2800 m"
packer_fluid = "brine"
valve = "2900 m"
gas_gradient = "0.8 kPa/m"
"""

SUBSEA = subsea(
    long="""
[strings.cases.gas-lift]
injection_pressure = "15 MPa"
packer = "4500 m"
packer_fluid = "brine"
gas_gradient = "1 kPa/m"
""",
    liner="""
[strings.cases.lift-above]
case = "gas-lift"
injection_pressure = "15 MPa"
packer = "3900 m"
packer_fluid = "brine"
gas_gradient = "1 kPa/m"
""",
)

# --- gas lift ---------------------------------------------------------------------------------------------------------

LIFT = LAND + GAS_LIFT


def test_gas_lift_down_to_the_packer() -> None:
    """9 MPa on 2790 m of brine: 39.10 MPa on the packer; on gas of 0.8 kPa/m 11.23 MPa; nothing once bled off."""
    kick_off, injecting, bled = steps(LIFT, "production", "to-packer")
    for step in (kick_off, injecting):
        assert inside(LIFT, "production", "to-packer", step, 10.0) == pytest.approx(9e6, rel=1e-12)
        assert outside(LIFT, "production", "to-packer", step, 3000.0) == pytest.approx(SETTLED_AT_SHOE, rel=1e-12)
    on_full = inside(LIFT, "production", "to-packer", kick_off, 2800.0)
    assert on_full == pytest.approx(9e6 + 1100 * G * 2790, rel=1e-12)
    assert inside(LIFT, "production", "to-packer", injecting, 2800.0) == pytest.approx(9e6 + 800 * 2790, rel=1e-12)
    assert inside(LIFT, "production", "to-packer", bled, 2800.0) == 0.0
    assert outside(LIFT, "production", "to-packer", bled, 3000.0) == pytest.approx(1200 * G * 3000, rel=1e-12)
    for step in (kick_off, injecting, bled):  # below the packer, at rest
        pore = inside(LIFT, "production", "to-packer", step, 2800.0, "below")
        assert pore == pytest.approx(33e6 * 2800 / 3000, rel=1e-12)


def test_kick_off_is_cold_and_the_lifted_well_hot() -> None:
    found = [
        value(LIFT, "production", "to-packer", step, 10.0, "temperature_k")
        for step in steps(LIFT, "production", "to-packer")
    ]
    hot = 358.15 + 10 * 20 / 3000
    assert found == pytest.approx([288.15 + 10 * 90 / 3000, hot, hot], rel=1e-12)


def test_below_the_deepest_valve_packer_fluid_stays() -> None:
    """Gas to 2500 m has 10.992 MPa there; 300 m of brine below it 14.228 MPa, or 3.236 once the gas is bled off."""
    _, injecting, bled = steps(LIFT, "production", "to-valve")
    at_valve, column = 9e6 + 800 * 2490, 1100 * G * 300
    assert inside(LIFT, "production", "to-valve", injecting, 2500.0) == pytest.approx(at_valve, rel=1e-12)
    assert inside(LIFT, "production", "to-valve", injecting, 2800.0) == pytest.approx(at_valve + column, rel=1e-12)
    assert inside(LIFT, "production", "to-valve", bled, 2500.0) == 0.0
    assert inside(LIFT, "production", "to-valve", bled, 2800.0) == pytest.approx(column, rel=1e-12)
    assert outside(LIFT, "production", "to-valve", injecting, 3000.0) == pytest.approx(33e6, rel=1e-12)
    assert outside(LIFT, "production", "to-valve", bled, 3000.0) == pytest.approx(SETTLED_AT_SHOE, rel=1e-12)


def test_gas_lift_on_the_sea_floor_counts_from_the_wellhead() -> None:
    """15 MPa at 1030 m, against the atmosphere; 1 kPa/m of gas to the shoe at 4200 m: 18.17 MPa."""
    kick_off, injecting, bled = steps(SUBSEA, "long", "gas-lift")
    assert inside(SUBSEA, "long", "gas-lift", kick_off, 1030.0) == pytest.approx(15e6, rel=1e-12)
    at_shoe = inside(SUBSEA, "long", "gas-lift", kick_off, 4200.0)
    assert at_shoe == pytest.approx(15e6 + 1250 * G * 3170, rel=1e-12)
    assert inside(SUBSEA, "long", "gas-lift", injecting, 4200.0) == pytest.approx(18.17e6, rel=1e-12)
    assert inside(SUBSEA, "long", "gas-lift", bled, 4200.0) == 0.0


def test_gas_lift_refuses_what_makes_no_sense() -> None:
    assert "valve = 2900 m is not between the wellhead and packer = 2800 m" in reason(LIFT, "valve-too-deep")
    assert "packer = 3900 m is above this string" in reason(SUBSEA, "lift-above")
