"""A kick circulated out against hand calculations: one bubble, the law of gases in absolute pressure.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2, one atmosphere 101,325 Pa.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pandas as pd
import pytest

import casingloads as cl
from casingloads.applicable import why_not
from casingloads.constants import PSI
from casingloads.pressure.gas import gas_density
from casingloads.wellcontrol.kick import CirculatedKick

G, ATMOSPHERE, FOOT = 9.80665, 101_325.0, 0.3048
BARREL = 42 * 231 * 0.0254**3

REQUIRED = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
"""

# Wellhead at 10 m, shoe at 2000 m, hole to 3000 m. The hole is as wide as the bore of the pipe, so that the annulus
# around 5 in drill pipe has one width.
LAND = """
[well]
name = "land"
air_gap = "10 m"
[earth]
depth = ["0 m", "2000 m", "3000 m"]
pore_pressure = ["1.1 sg", "1.1 sg", "1.2 sg"]
fracture = ["1.9 sg", "1.9 sg", "1.9 sg"]
temperature = ["15 degC", "75 degC", "105 degC"]
[temperatures.warm]
depth = ["0 m", "3000 m"]
temperature = ["60 degC", "80 degC"]
[fluids]
mud = "1200 kg/m3"
tail = "1900 kg/m3"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "2000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "1500 m", slurry = "tail" }]
next_hole = { to = "3000 m", mud = "mud", size = "8.681 in" }
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases.kick-circulated-out]
influx = "5 m3"
drill_pipe = "5 in"
kick_intensity = "60 kg/m3"
gas_gradient = "2 kPa/m"
"""
KICK = "kick-circulated-out"
GAS = 'gas_gradient = "2 kPa/m"'
REAL_GAS = 'gas_gravity = 0.65\nspacing = "500 m"'
MUD, MUD_GRADIENT, GAS_GRADIENT = 1200.0, 1200.0 * G, 2e3
HELD = (1200.0 + 60.0) * G * 3000.0  # formation pressure at 3000 m, 37.069 MPa
CAPACITY = math.pi / 4.0 * (8.681**2 - 5.0**2) * 0.0254**2  # 0.025518 m3/m


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.check(cl.read_well(path))


def changed(*pairs: tuple[str, str], text: str = LAND) -> str:
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return text


def steps(text: str, string: str = "casing") -> list[str]:
    return [step for name, _, step in checked(text).evaluations if name == string]


def column(text: str, step: str, string: str = "casing") -> cl.Column:
    found = checked(text).evaluation(string, KICK, step).state.inside
    assert isinstance(found, cl.Column)
    return found


def inside(text: str, md: float, step: str, string: str = "casing") -> float:
    found = checked(text).profile(string, KICK, step)
    return float(found[(found["md_m"] - md).abs() < 1e-6]["p_inside_pa"].iloc[0])


def reason(text: str) -> str:
    (found,) = set(checked(text).factors["reason"])
    assert set(checked(text).factors["status"]) == {"not-evaluated"}
    return str(found)


def remarks(text: str) -> str:
    return " ".join(remark.text() for remark in checked(text).remarks)


def by_hand(top: float, held: float = HELD, influx: float = 5.0, capacity: float = CAPACITY) -> float:
    """Return the pressure [Pa] at the bubble's top: b/2 + sqrt(b2/4 + (G_m - G_g) p0 V0 / C), absolute."""
    b = held + ATMOSPHERE - MUD_GRADIENT * (3000.0 - top)
    product = (MUD_GRADIENT - GAS_GRADIENT) * (held + ATMOSPHERE) * influx / capacity
    return b / 2.0 + math.sqrt(b**2 / 4.0 + product) - ATMOSPHERE


# --- the bubble on its way up -----------------------------------------------------------------------------------------


def test_bubble_at_the_shoe_and_at_the_wellhead() -> None:
    """b = 37.170 - 11.768 = 25.402 MPa at the shoe: 27.847 MPa there. At the wellhead b = 1.984 MPa: 9.384 MPa."""
    assert by_hand(2000.0) / 1e6 == pytest.approx(27.847, abs=0.001)
    assert by_hand(10.0) / 1e6 == pytest.approx(9.384, abs=0.001)
    assert inside(LAND, 2000.0, "bubble's top at 2000.0 m tvd") == pytest.approx(by_hand(2000.0), rel=1e-9)
    assert inside(LAND, 10.0, "bubble's top at 10.0 m tvd") == pytest.approx(by_hand(10.0), rel=1e-9)


def test_mud_stands_on_the_bubble_and_below_it() -> None:
    """With its top at 1500 m: mud of 11.768 kPa/m above; below it, back to what is held at the bottom."""
    step = "bubble's top at 1500.0 m tvd"
    assert inside(LAND, 10.0, step) == pytest.approx(by_hand(1500.0) - MUD_GRADIENT * 1490.0, rel=1e-9)
    found = column(LAND, step)
    assert found.pressure(3000.0) == pytest.approx(HELD, rel=1e-12)
    height = (HELD + ATMOSPHERE) * 5.0 / CAPACITY / (by_hand(1500.0) + ATMOSPHERE)
    assert found.layers[2].top == pytest.approx(1500.0 + height, abs=1e-4)
    assert found.pressure(1500.0 + height) == pytest.approx(by_hand(1500.0) + GAS_GRADIENT * height, rel=1e-9)


def test_one_width_agrees_with_the_formula_at_every_step() -> None:
    formula = CirculatedKick(
        bottom=3000.0, bottom_pressure=HELD, mud_above=MUD_GRADIENT, mud_below=MUD_GRADIENT,
        influx_gradient=GAS_GRADIENT, influx_volume=5.0, influx_pressure=HELD, capacity=CAPACITY,
    )  # fmt: skip
    depth = np.linspace(10.0, 2000.0, 50)
    tops = [float(column(LAND, step).layers[1].top) for step in steps(LAND)]
    assert tops[0] == pytest.approx(float(formula.deepest_top), abs=1e-3)
    assert tops[-1] == 10.0
    for top, step in zip(tops, steps(LAND), strict=True):
        assert column(LAND, step).pressure(depth) == pytest.approx(formula.pressure(depth, min(top, tops[0])), rel=1e-6)


def test_first_step_is_the_bubble_shut_in_on_the_bottom() -> None:
    """5 m3 at 37.069 MPa are 196 m: the wellhead has 37.069 - 0.4 - 11.768 x 2.794 MPa."""
    first = steps(LAND)[0]
    assert first.startswith("shut in, bubble's top at 28")
    top = float(column(LAND, first).layers[1].top)
    assert 3000.0 - top == pytest.approx(5.0 / CAPACITY, rel=0.012)  # its top stands under 1 % less pressure
    expected = HELD - GAS_GRADIENT * (3000.0 - top) - MUD_GRADIENT * (top - 10.0)
    assert inside(LAND, 10.0, first) == pytest.approx(expected, rel=1e-9)


def test_pressure_at_the_wellhead_rises_all_the_way() -> None:
    at_head = [inside(LAND, 10.0, step) for step in steps(LAND)]
    assert np.all(np.diff(at_head) > 0.0)
    assert f"{at_head[-1] / 1e6:.2f} MPa at the top of the string with the bubble's top at 10.0 m" in remarks(LAND)


def test_steps_are_where_something_changes_and_no_farther_apart_than_asked() -> None:
    tops = [float(column(LAND, step).layers[1].top) for step in steps(LAND)]
    assert np.all(np.diff(tops) < 0.0)
    assert np.max(-np.diff(tops)) <= 200.0 + 1e-6
    assert {2000.0, 1500.0, 10.0} <= set(tops)  # shoe, top of cement, top of the string


TWO_PIPES = changed(
    ('sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]',
     'sections = [{ od = "9-5/8 in", wall = "0.545 in", weight = "53.5 lb/ft", yield = "80 ksi", to = "730 m" },\n'
     '{ od = "9-5/8 in", wall = "0.395 in", weight = "40 lb/ft", yield = "55 ksi", to = "shoe" }]'),
    ('size = "8.681 in"', 'size = "8-1/2 in"'),
)  # fmt: skip


def lowest(text: str) -> pd.Series[float]:
    factors = checked(text).factors
    return factors[factors["status"] != "no-load"].groupby(["section", "mode"])["factor"].min()


@pytest.mark.parametrize(
    ("influx", "more"), [("9 m3", ""), ("3 m3", 'outside = "as run"\n'), ("3 m3", 'circulated_with = "kill mud"\n')]
)
def test_half_the_spacing_finds_nothing_worse(more: str, influx: str) -> None:
    """Within 0.1 %: the even steps are fine enough that the worst is found, whatever governs."""
    text = changed(("5 m3", influx), text=TWO_PIPES) + more
    coarse, fine = lowest(text), lowest(text + 'spacing = "50 m"\n')
    assert len(coarse) >= 7
    assert fine.to_numpy() == pytest.approx(coarse.to_numpy(), rel=1e-3)
    assert len(steps(text + 'spacing = "50 m"\n')) > 1.6 * len(steps(text))


def test_a_weaker_pipe_below_is_worst_as_the_bubble_arrives_at_it() -> None:
    burst = checked(TWO_PIPES).factors.query("mode == 'burst' and section == 2").sort_values("factor").iloc[0]
    assert burst["step"] == "bubble's top at 730.0 m tvd"
    assert burst["md_m"] == 730.0


# --- annuli of several widths -----------------------------------------------------------------------------------------


def by_small_cells(top: float, wide: float, narrow: float, shoe: float = 2000.0) -> float:
    """Return the pressure [Pa] at the bubble's top in an annulus of two capacities: cells of 1 cm, summed."""
    depth = np.arange(top, 3000.0, 0.01)
    volume = np.cumsum(np.where(depth < shoe, wide, narrow)) * 0.01
    height = depth + 0.01 - top
    at_top = HELD - MUD_GRADIENT * (3000.0 - top - height) - GAS_GRADIENT * height
    left = (at_top + ATMOSPHERE) * volume - (HELD + ATMOSPHERE) * 5.0
    return float(np.interp(0.0, left, at_top))


@pytest.mark.parametrize(("size", "width"), [("8-1/2 in", 8.5), ("7.5 in", 7.5), ("14 in", 14.0)])
def test_bubble_across_the_shoe(size: str, width: float) -> None:
    """Half in the pipe and half in a hole that is narrower, or reamed much wider."""
    text = changed(("8.681 in", size))
    narrow = math.pi / 4.0 * (width**2 - 25.0) * 0.0254**2
    crossing = 0
    for step in steps(text)[1:]:
        found = column(text, step)
        top, end = float(found.layers[1].top), float(found.layers[2].top)
        crossing += top < 1999.0 < end
        expected = by_small_cells(top, CAPACITY, narrow)
        assert float(found.pressure(top)) == pytest.approx(expected, rel=2e-5)
    assert crossing >= 1


def test_volume_of_a_deviated_hole_goes_by_measured_depth() -> None:
    """At 60 degrees below 500 m there are two metres of hole for each of depth: the bubble is half as high."""
    text = changed(
        ('air_gap = "10 m"', 'air_gap = "10 m"\nsurvey = { md = ["0 m", "500 m", "501 m", "6000 m"], '
         'inclination = ["0 deg", "0 deg", "60 deg", "60 deg"], azimuth = ["0 deg", "0 deg", "0 deg", "0 deg"] }'),
        ('to = "3000 m"', 'to = "5498 m"'),
        ('shoe = "2000 m"', 'shoe = "3500 m"'),
    )  # fmt: skip
    well = checked(text).well
    bottom = float(well.path.tvd(5498.0))
    held = 1260.0 * G * bottom
    found = column(text, steps(text)[len(steps(text)) // 2])
    top = float(found.layers[1].top)
    height = float(found.layers[2].top) - top
    at_top = float(found.pressure(top)) + ATMOSPHERE
    assert height * 2.0 * CAPACITY * at_top == pytest.approx(5.0 * (held + ATMOSPHERE), rel=1e-6)


LINER = changed(
    ("[strings.cases.kick-circulated-out]", """[[strings]]
name = "liner"
hole_size = "8.681 in"
top = "1800 m"
shoe = "2600 m"
run_in = "mud"
cement = [{ from = "shoe", to = "top", slurry = "tail" }]
next_hole = { to = "3000 m", mud = "mud", size = "6 in" }
sections = [{ pipe = "7 in 29 lb/ft L80", to = "shoe" }]
[strings.cases.kick-circulated-out]"""),
    ('to = "3000 m", mud = "mud", size = "8.681 in"', 'to = "2600 m", mud = "mud", size = "8.681 in"'),
    ('drill_pipe = "5 in"', 'drill_pipe = "4 in"'),
)  # fmt: skip


def test_a_liner_is_loaded_until_the_bubble_leaves_it() -> None:
    """Bore 6.184 in from 1800 to 2600 m, 8.681 in above: as wide as the hole, C = 0.011 m3/m at 1800 m and below."""
    tops = [float(column(LINER, step, "liner").layers[1].top) for step in steps(LINER, "liner")]
    assert tops[-1] == 1800.0
    last = column(LINER, steps(LINER, "liner")[-1], "liner")
    height = float(last.layers[2].top) - 1800.0
    assert height < 800.0  # all of it in the liner
    capacity = math.pi / 4.0 * (6.184**2 - 16.0) * 0.0254**2
    at_top = float(last.pressure(1800.0)) + ATMOSPHERE
    assert height * capacity * at_top == pytest.approx(5.0 * (HELD + ATMOSPHERE), rel=1e-6)
    assert inside(LINER, 2600.0, steps(LINER, "liner")[-1], "liner") == pytest.approx(
        HELD - MUD_GRADIENT * 400.0, rel=1e-9
    )


def test_a_bubble_longer_than_liner_and_hole_is_one_step() -> None:
    """20 m3 at the bottom reach 1800 m in hole and liner of 7.8 m3 and go on above the liner."""
    text = changed(("5 m3", "20 m3"), text=LINER)
    (only,) = steps(text, "liner")
    assert float(column(text, only, "liner").layers[1].top) < 1800.0
    assert inside(text, 2600.0, only, "liner") == pytest.approx(HELD - GAS_GRADIENT * 400.0, rel=1e-9)


# --- on the sea floor -------------------------------------------------------------------------------------------------

SUBSEA = """
[well]
name = "subsea"
air_gap = "30 m"
water_depth = "970 m"
[earth]
depth = ["1000 m", "2000 m", "3000 m"]
pore_pressure = ["1.0 sg", "1.05 sg", "1.1 sg"]
fracture = ["1.02 sg", "1.7 sg", "1.8 sg"]
[fluids]
"sea water" = "1025 kg/m3"
mud = "1200 kg/m3"
slurry = "1700 kg/m3"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "wellhead"
shoe = "2000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "1500 m", slurry = "slurry" }]
next_hole = { to = "3000 m", mud = "mud", size = "8.681 in", riser = true }
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
[strings.cases.kick-circulated-out]
influx = "5 m3"
drill_pipe = "5 in"
kick_intensity = "60 kg/m3"
gas_gradient = "2 kPa/m"
"""


def test_on_the_sea_floor_the_bubble_is_followed_to_the_wellhead() -> None:
    """Mud from the drill floor as on land; above the wellhead at 1000 m the gas is in the choke line."""
    last = steps(SUBSEA)[-1]
    assert last == "bubble's top at 1000.0 m tvd"
    assert inside(SUBSEA, 1000.0, last) == pytest.approx(by_hand(1000.0), rel=1e-9)
    first = steps(SUBSEA)[0]
    assert inside(SUBSEA, 1000.0, first) < inside(SUBSEA, 1000.0, last)


def test_without_a_riser_there_is_no_preventer_to_shut() -> None:
    assert "without a riser" in reason(changed(("riser = true", "riser = false"), text=SUBSEA))


# --- which kick -------------------------------------------------------------------------------------------------------


def test_intensity_or_reservoir_pressure() -> None:
    """1200 + 60 kg/m3 at 3000 m may be said as such."""
    text = changed(('kick_intensity = "60 kg/m3"', 'reservoir_pressure = "1260 kg/m3"'))
    step = "bubble's top at 10.0 m tvd"
    assert inside(text, 10.0, step) == pytest.approx(inside(LAND, 10.0, step), rel=1e-12)
    with pytest.raises(cl.InputError, match="needs exactly one of kick_intensity and reservoir_pressure"):
        checked(LAND + 'reservoir_pressure = "1260 kg/m3"\n')


def test_a_swabbed_kick_is_held_by_the_mud() -> None:
    """1100 kg/m3 of formation under 1200 of mud: the mud's pressure is held, as with an intensity of nothing."""
    swabbed = changed(('kick_intensity = "60 kg/m3"', 'reservoir_pressure = "1100 kg/m3"'))
    none = changed(('kick_intensity = "60 kg/m3"', 'kick_intensity = "0 sg"'))
    step, of_mud = "bubble's top at 10.0 m tvd", MUD_GRADIENT * 3000.0
    for text in (swabbed, none):
        assert inside(text, 10.0, step) == pytest.approx(by_hand(10.0, held=of_mud), rel=1e-9)
    assert "by the mud: a swabbed kick" in remarks(swabbed)
    assert "swabbed" not in remarks(LAND)


def test_kill_mud_gives_less_pressure_than_the_original_mud() -> None:
    """Kill mud of 1260 kg/m3 from the bottom up: b is 37.170 - 12.356 x 2.99 = 0.225 MPa at the wellhead."""
    text = LAND + 'circulated_with = "kill mud"\n'
    step = "bubble's top at 10.0 m tvd"
    assert inside(text, 10.0, step) < inside(LAND, 10.0, step)
    kill = 1260.0 * G
    b = HELD + ATMOSPHERE - kill * 2990.0
    expected = b / 2 + math.sqrt(b**2 / 4 + (kill - GAS_GRADIENT) * (HELD + ATMOSPHERE) * 5.0 / CAPACITY) - ATMOSPHERE
    assert inside(text, 10.0, step) == pytest.approx(expected, rel=1e-9)
    assert inside(text, 10.0, steps(text)[0]) == pytest.approx(inside(LAND, 10.0, steps(LAND)[0]), rel=1e-9)


def test_gas_at_surface_over_kill_mud_has_the_size_of_the_rule_of_thumb() -> None:
    """0.2 sqrt(P V KWM / C) psi, of trade books (secondary copy): an ideal gas without weight has 0.228.

    450 psi on 12 ppg mud at 9500 ft (L039, L040: 6378 psi, kill mud 12.91 ppg), 20 bbl in 0.0459 bbl/ft.
    """
    text = changed(
        ('air_gap = "10 m"', 'air_gap = "0 ft"\nunits = "field"'),
        ('depth = ["0 m", "2000 m", "3000 m"]', 'depth = ["0 ft", "8000 ft", "9500 ft"]'),
        ('to = "3000 m"', 'to = "9500 ft"'),
        ('shoe = "2000 m"', 'shoe = "8000 ft"'),
        ("1200 kg/m3", "12 ppg"),
        ('kick_intensity = "60 kg/m3"', 'reservoir_pressure = "6378 psi"'),
        ("5 m3", "20 bbl"),
        ('"2 kPa/m"', '"0 psi/ft"\ncirculated_with = "kill mud"'),
    )
    capacity = CAPACITY * FOOT / BARREL
    assert capacity == pytest.approx(0.0489, abs=1e-4)
    last = steps(text)[-1]
    assert last == "bubble's top at 0 ft tvd"
    root = math.sqrt(6378.0 * 20.0 * 12.91 / capacity)
    found = inside(text, 0.0, last) / PSI
    assert found == pytest.approx(0.228 * root, rel=5e-3)
    assert found == pytest.approx(0.2 * root, rel=0.15)


def test_real_gas_keeps_its_mass() -> None:
    """Density times volume is what came in: 5 m3 at the bottom; its column is integrated, the bottom still held."""
    text = changed((GAS, REAL_GAS))
    mass = float(gas_density(HELD + ATMOSPHERE, 378.15, 0.65)) * 5.0  # 105 degC
    for step in steps(text):
        found = column(text, step)
        top, end = float(found.layers[1].top), float(found.layers[2].top)
        kelvin = 288.15 + 0.03 * top  # 15 degC, 60 degrees in 2000 m and 30 in the next 1000
        here = float(gas_density(float(found.pressure(top)) + ATMOSPHERE, kelvin, 0.65))
        assert here * CAPACITY * (end - top) == pytest.approx(mass, rel=1e-6)
        assert float(found.pressure(3000.0)) == pytest.approx(HELD, rel=1e-12)


def test_warm_gas_needs_more_room() -> None:
    step, cold = "bubble's top at 10.0 m tvd", changed((GAS, REAL_GAS))
    assert inside(cold + '\ntemperature = "warm"\n', 10.0, step) > inside(cold, 10.0, step)
    found = checked(cold + '\ntemperature = "warm"\n').profile("casing", KICK, step)
    assert float(found["temperature_k"].iloc[0]) == pytest.approx(333.15 + 10.0 / 150.0)


# --- what the rock bears ----------------------------------------------------------------------------------------------


def test_where_the_rock_would_break_pressures_are_lowered() -> None:
    """Fracture of 1.4 sg at the shoe, 27.459 MPa: with the bubble there 27.847 MPa would stand, 0.388 too many."""
    text = changed(('fracture = ["1.9 sg", "1.9 sg", "1.9 sg"]', 'fracture = ["1.4 sg", "1.4 sg", "1.9 sg"]'))
    step, strength = "bubble's top at 2000.0 m tvd", 1400.0 * G * 2000.0
    assert inside(text, 2000.0, step) == pytest.approx(strength, rel=1e-9)
    over = by_hand(2000.0) - strength
    assert over / 1e6 == pytest.approx(0.388, abs=0.001)
    assert inside(text, 10.0, step) == pytest.approx(by_hand(2000.0) - MUD_GRADIENT * 1990.0 - over, rel=1e-9)
    last = "bubble's top at 10.0 m tvd"  # the bubble has passed the hole
    assert inside(text, 10.0, last) == pytest.approx(by_hand(10.0), rel=1e-9)
    assert "circulation is lost: with the bubble's top at 2000.0 m tvd the rock at 2000.0 m" in remarks(text)
    assert "circulation is lost" not in remarks(LAND)
    more = text + 'fracture_margin = "0.6 MPa"\n'
    assert inside(more, 2000.0, step) == pytest.approx(by_hand(2000.0), rel=1e-9)


def test_weak_rock_below_the_shoe_is_found() -> None:
    """1.36 sg at 2400 m, 32.009 MPa; with the bubble's top there 32.210 MPa would stand, 0.20 too many."""
    text = changed(
        ('depth = ["0 m", "2000 m", "3000 m"]', 'depth = ["0 m", "2000 m", "2400 m", "3000 m"]'),
        ('pore_pressure = ["1.1 sg", ', 'pore_pressure = ["1.1 sg", "1.1 sg", '),
        ('fracture = ["1.9 sg", "1.9 sg", "1.9 sg"]', 'fracture = ["1.9 sg", "1.9 sg", "1.36 sg", "1.9 sg"]'),
        ('["15 degC", "75 degC", "105 degC"]', '["15 degC", "75 degC", "85 degC", "105 degC"]'),
    )
    assert by_hand(2400.0) / 1e6 == pytest.approx(32.210, abs=0.001)
    told = "with the bubble's top at 2400.0 m tvd the rock at 2400.0 m tvd would be 0.20 MPa above"
    assert told in remarks(text)
    assert told in remarks(text + 'outside = "as run"\n')


def test_real_gas_is_lowered_to_what_the_rock_bears() -> None:
    weak = ('fracture = ["1.9 sg", "1.9 sg", "1.9 sg"]', 'fracture = ["1.36 sg", "1.36 sg", "1.9 sg"]')
    text = changed(weak, (GAS, REAL_GAS))
    assert inside(text, 2000.0, "bubble's top at 2000.0 m tvd") == pytest.approx(1360.0 * G * 2000.0, rel=1e-7)


# --- what it asks for -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (', size = "8.681 in"', "", "needs strings.casing.next_hole.size"),
        (', mud = "mud", size', ", size", "needs strings.casing.next_hole.mud"),
        ('fracture = ["1.9 sg", "1.9 sg", "1.9 sg"]\n', "", "needs earth.fracture"),
        ('"5 in"', '"8.7 in"', "drill_pipe must be more than nothing and less than the bore around it; it is 221.0 mm"),
        ("5 m3", "200 m3", "influx = 200 m3 fills the annulus up to the wellhead; gas-to-surface is the case then"),
        ("5 m3", "0 m3", "influx = 0 m3"),
        (GAS, f'{GAS}\nspacing = "0 m"', "spacing = 0 m"),
        (GAS, f'{GAS}\nreservoir = "1900 m"', "reservoir 1900 m is behind this string; its shoe is at 2000 m"),
        ('next_hole = { to = "3000 m", mud = "mud", size = "8.681 in" }\n', "", "needs strings.casing.next_hole"),
    ],
)
def test_not_evaluated(old: str, new: str, words: str) -> None:
    assert words in reason(changed((old, new)))


def test_a_temperature_needs_the_one_at_setting() -> None:
    text = changed(('temperature = ["15 degC", "75 degC", "105 degC"]\n', ""))
    assert "earth.temperature" in reason(text + '\ntemperature = "warm"\n')


def test_a_path_that_climbs_is_not_evaluated() -> None:
    text = changed(
        ('air_gap = "10 m"', 'air_gap = "10 m"\nsurvey = { md = ["0 m", "2000 m", "2500 m", "3000 m"], '
         'inclination = ["0 deg", "0 deg", "80 deg", "100 deg"], azimuth = ["0 deg", "0 deg", "0 deg", "0 deg"] }'),
    )  # fmt: skip
    assert "the well path climbs" in reason(text)


def test_influx_may_lie_in_a_level_hole() -> None:
    """500 m of level hole hold 12.8 m3: the 5 m3 that came in have no height, and the wellhead the mud's column."""
    text = changed(
        ('air_gap = "10 m"', 'air_gap = "10 m"\nsurvey = { md = ["0 m", "2000 m", "2500 m", "3000 m"], '
         'inclination = ["0 deg", "0 deg", "90 deg", "90 deg"], azimuth = ["0 deg", "0 deg", "0 deg", "0 deg"] }'),
    )  # fmt: skip
    first = steps(text)[0]
    assert inside(text, 10.0, first) == pytest.approx(
        60.0 * G * float(checked(text).well.path.tvd(3000.0)) + MUD_GRADIENT * 10.0, rel=1e-6
    )
    assert inside(text, 10.0, "bubble's top at 10.0 m tvd") > inside(text, 10.0, first)


def test_where_it_applies() -> None:
    case = cl.load_plugins().cases[KICK]
    assert why_not(case, cl.Scene(checked(LAND).well, "casing")) == ""
    assert why_not(case, cl.Scene(checked(LINER).well, "liner")) == ""
    assert why_not(case, cl.Scene(checked(SUBSEA).well, "casing")) == ""
    open_sea = checked(changed(("riser = true", "riser = false"), text=SUBSEA)).well
    assert "without a riser" in why_not(case, cl.Scene(open_sea, "casing"))
    last = checked(changed(('next_hole = { to = "3000 m", mud = "mud", size = "8.681 in" }\n', ""))).well
    assert why_not(case, cl.Scene(last, "casing")) == "no hole is drilled below it"


def test_behind_the_pipe_the_light_side_by_default() -> None:
    """Solids of the mud have settled: pore pressure in the open hole, water of the pores along the cement."""
    found = checked(LAND).profile("casing", KICK, "bubble's top at 10.0 m tvd")["p_outside_pa"].to_numpy()
    assert found[-1] == pytest.approx(1100.0 * G * 1500.0 + 1000.0 * G * 500.0, rel=1e-9)
