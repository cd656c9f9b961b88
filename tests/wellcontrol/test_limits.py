"""Limits of well control of whole wells: hand calculations, what is missing told by name, frame, records and table."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import casingloads as cl
from casingloads.constants import GRAVITY
from casingloads.output.limitstable import limits_table
from casingloads.wellcontrol.limits import DrillString, HoleLimits, Limit, frame, limits, records

REST = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "{top}"
shoe = "{shoe}"
run_in = "run mud"
cement = [{{ from = "shoe", to = "{top}", slurry = "slurry" }}]
sections = [{{ pipe = "9-5/8 in 47 lb/ft L80", to = "shoe" }}]
next_hole = {{ to = "{to}", mud = "mud", size = "8-1/2 in" }}
"""

# The rock is weakest at 1900 m, 400 m below the shoe.
LAND = """
[well]
name = "Hollin 2"
air_gap = "8 m"
[earth]
depth = ["0 m", "1500 m", "1900 m", "2000 m", "2800 m"]
pore_pressure = ["1.00 sg", "1.05 sg", "1.06 sg", "1.10 sg", "1.24 sg"]
fracture = ["1.60 sg", "1.70 sg", "1.55 sg", "1.75 sg", "1.85 sg"]
[fluids]
"run mud" = "1.15 sg"
mud = "1.30 sg"
slurry = "1.9 sg"
""" + REST.format(top="surface", shoe="1500 m", to="2800 m")

DEEP = """
[well]
name = "Skelda 1"
air_gap = "25 m"
water_depth = "1500 m"
[earth]
depth = ["1525 m", "2600 m", "3600 m"]
pore_pressure = ["1.008 sg", "1.06 sg", "1.14 sg"]
fracture = ["1.01 sg", "1.36 sg", "1.50 sg"]
[fluids]
"sea water" = "1025 kg/m3"
"run mud" = "1.10 sg"
mud = "1.20 sg"
slurry = "1.6 sg"
""" + REST.format(top="wellhead", shoe="2600 m", to="3600 m")

INSIDE = DrillString(pipe=0.127, collars=0.1651, collar_length=200.0)  # 5 in pipe, 6-1/2 in collars
ASKED: dict[str, Any] = {"kick_intensity": 60.0, "influx_gradient": 2300.0, "drill_string": INSIDE}
PIPE = math.pi / 4.0 * (0.2159**2 - 0.127**2)  # m3/m in 8-1/2 in hole
COLLARS = math.pi / 4.0 * (0.2159**2 - 0.1651**2)

Read = Callable[[str], cl.Well]


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> Read:
    folder = tmp_path_factory.mktemp("wells")

    def written(text: str) -> cl.Well:
        path = Path(folder) / "well.toml"
        path.write_text(text, encoding="utf-8")
        return cl.read_well(path)

    return written


@pytest.fixture(scope="module")
def land(read: Read) -> cl.Well:
    return read(LAND)


@pytest.fixture(scope="module")
def deep(read: Read) -> cl.Well:
    return read(DEEP)


def only(well: cl.Well, **asked: Any) -> HoleLimits:
    (hole,) = limits(well, **asked)
    return hole


# --- hand calculations ------------------------------------------------------------------------------------------------


def test_land_hole_by_hand(land: cl.Well) -> None:
    hole = only(land, **ASKED)
    at_floor = 9.80665 * (1550.0 - 1300.0) * 1900.0  # 4.658 MPa; at the shoe 9.80665 x 400 x 1500 = 5.884
    assert hole.allowable_at_drill_floor.value == pytest.approx(at_floor)
    assert hole.allowable_at_drill_floor.tvd == 1900.0
    assert hole.allowable_at_wellhead.value == pytest.approx(at_floor + 9.80665 * 1300.0 * 8.0)
    assert hole.fracture_margin.value == pytest.approx(at_floor)  # at rest the two are one
    assert hole.overbalance.value == pytest.approx(9.80665 * (1300.0 - 1240.0) * 2800.0)  # 1.648 MPa
    assert (hole.overbalance.tvd, hole.overbalance.md) == (2800.0, 2800.0)
    assert hole.riser_margin.status == hole.overbalance_without_riser.status == "does-not-apply"


def test_land_kick_tolerance_by_hand(land: cl.Well) -> None:
    """60 kg/m3 over the mud at 2800 m: h = (4.658 - 1.648) MPa / (12.749 - 2.3) kPa/m = 288.14 m at 1900 m."""
    hole = only(land, **ASKED)
    lighter = 9.80665 * 1300.0 - 2300.0
    h = (9.80665 * 250.0 * 1900.0 - 9.80665 * 60.0 * 2800.0) / lighter
    assert h == pytest.approx(288.14, abs=0.01)
    shut_in = 200.0 * COLLARS + (h - 200.0) * PIPE
    formation, fracture = 9.80665 * 1360.0 * 2800.0, 9.80665 * 1550.0 * 1900.0
    ratio = (fracture + 2300.0 * h / 2.0 + 101_325.0) / (formation - 2300.0 * h / 2.0 + 101_325.0)
    circulated = h * PIPE * ratio
    assert hole.kick_tolerance.value == pytest.approx(min(shut_in, circulated), rel=1e-9)
    assert hole.kick_tolerance.tvd == 1900.0
    assert f"shut in {shut_in:.2f} m3 (288.1 m high), circulated out {circulated:.2f} m3" in (
        hole.kick_tolerance.words.text()
    )
    swabbed = 9.80665 * 250.0 * 1900.0 / lighter  # 445.8 m
    formation = 9.80665 * 1300.0 * 2800.0
    ratio = (fracture + 2300.0 * swabbed / 2.0 + 101_325.0) / (formation - 2300.0 * swabbed / 2.0 + 101_325.0)
    assert hole.swab_tolerance.value == pytest.approx(
        min(200.0 * COLLARS + (swabbed - 200.0) * PIPE, swabbed * PIPE * ratio), rel=1e-9
    )


def test_deep_water_hole_by_hand(deep: cl.Well) -> None:
    hole = only(deep, **ASKED)
    at_floor = 9.80665 * (1360.0 - 1200.0) * 2600.0  # 4.080 MPa
    assert hole.allowable_at_drill_floor.value == pytest.approx(at_floor)
    assert hole.allowable_at_wellhead.value == pytest.approx(at_floor + 9.80665 * 1200.0 * 1525.0)
    assert hole.overbalance.value == pytest.approx(9.80665 * (1200.0 - 1140.0) * 3600.0)
    margin = (1200.0 * 3600.0 - 1025.0 * 1500.0) / (3600.0 - 1525.0) - 1200.0  # 140.96 kg/m3
    assert hole.riser_margin.value == pytest.approx(margin)
    with_riser = 9.80665 * (1360.0 - 1200.0 - margin) * 2600.0
    assert f"it is {with_riser / 1e6:.2f} MPa below fracture at 2600.0 m tvd" in hole.riser_margin.words.text()
    left = 9.80665 * (1025.0 * 1500.0 + 1200.0 * (3600.0 - 1525.0) - 1140.0 * 3600.0)  # -0.753 MPa
    assert hole.overbalance_without_riser.value == pytest.approx(left)
    assert hole.overbalance_without_riser.status == "exceeded"
    assert hole.overbalance_without_riser.words.text().startswith("UNDERBALANCED at 3600.0 m tvd (the bottom)")
    h = (at_floor - 9.80665 * 60.0 * 3600.0) / (9.80665 * 1200.0 - 2300.0)  # 206.9 m
    ratio = (9.80665 * 1360.0 * 2600.0 + 1150.0 * h + 101_325.0) / (9.80665 * 1260.0 * 3600.0 - 1150.0 * h + 101_325.0)
    assert hole.kick_tolerance.value == pytest.approx(
        min(200.0 * COLLARS + (h - 200.0) * PIPE, h * PIPE * ratio), rel=1e-9
    )


def test_riserless_hole_cannot_be_shut_in_and_has_the_sea_above_its_mud(read: Read) -> None:
    light = DEEP.replace('mud = "mud", size', 'mud = "mud", riser = false, size')
    hole = only(read(light), **ASKED)
    for limit in (hole.allowable_at_wellhead, hole.allowable_at_drill_floor, hole.kick_tolerance, hole.swab_tolerance):
        assert (limit.status, limit.value) == ("does-not-apply", None)
        assert "open to the sea" in limit.words.text()
    left = 9.80665 * (1025.0 * 1500.0 + 1200.0 * (3600.0 - 1525.0) - 1140.0 * 3600.0)
    assert hole.overbalance.value == pytest.approx(left)
    assert hole.riser_margin.words.text() == "drilled without a riser"


# --- what is beyond its limit, and what has none ----------------------------------------------------------------------


def with_mud(well: cl.Well, density: float) -> cl.Well:
    (string,) = well.strings
    assert string.next_hole is not None
    hole = replace(string.next_hole, mud=cl.Fluid(name="other mud", density=density))
    return replace(well, strings=(replace(string, next_hole=hole),))


def test_mud_that_alone_breaks_the_hole_is_told(land: cl.Well) -> None:
    hole = only(with_mud(land, 1600.0), **ASKED)
    assert hole.allowable_at_drill_floor.value == pytest.approx(-9.80665 * 50.0 * 1900.0)
    assert hole.allowable_at_drill_floor.words.text() == "THE MUD ALONE BREAKS IT: 1900.0 m tvd breaks at 28.88 MPa"
    assert hole.fracture_margin.words.text().startswith("MUD IS LOST at 1900.0 m tvd")
    assert (hole.swab_tolerance.value, hole.kick_tolerance.value) == (0.0, 0.0)
    broken = (hole.allowable_at_wellhead, hole.fracture_margin, hole.swab_tolerance, hole.kick_tolerance)
    assert {limit.status for limit in broken} == {"exceeded"}


def test_tolerance_of_strong_rock_is_unlimited_without_a_number(read: Read) -> None:
    strong = read(LAND.replace('"1.70 sg", "1.55 sg", "1.75 sg", "1.85 sg"', '"2.4 sg", "2.4 sg", "2.4 sg", "2.4 sg"'))
    hole = only(strong, **ASKED)
    assert (hole.swab_tolerance.status, hole.swab_tolerance.value) == ("unlimited", None)
    whole = 200.0 * COLLARS + 1100.0 * PIPE
    assert f"all of the open hole, {whole:.2f} m3, breaks nothing" in hole.swab_tolerance.words.text()


@settings(deadline=None, max_examples=25)
@given(mud=st.floats(1100.0, 1500.0), denser=st.floats(1.0, 100.0))
def test_denser_mud_bears_less_from_above_and_more_from_below(land: cl.Well, mud: float, denser: float) -> None:
    light, heavy = (only(with_mud(land, density), **ASKED) for density in (mud, mud + denser))
    for limit in ("allowable_at_drill_floor", "fracture_margin"):
        assert getattr(heavy, limit).value < getattr(light, limit).value
    assert heavy.overbalance.value is not None
    assert light.overbalance.value is not None
    assert heavy.overbalance.value > light.overbalance.value


@settings(deadline=None, max_examples=25)
@given(one=st.floats(0.0, 300.0), other=st.floats(0.0, 300.0))
def test_larger_intensity_leaves_a_smaller_tolerance(deep: cl.Well, one: float, other: float) -> None:
    small, large = (
        only(deep, **{**ASKED, "kick_intensity": intensity}).kick_tolerance.value for intensity in sorted((one, other))
    )
    assert small is not None
    assert large is not None
    assert large <= small * (1.0 + 1e-9)
    swabbed = only(deep, **ASKED).swab_tolerance.value
    assert swabbed is not None
    assert small <= swabbed


# --- inclined holes ---------------------------------------------------------------------------------------------------


def surveyed(md: str, inclination: str) -> str:
    azimuth = ", ".join(['"0 deg"'] * (md.count(",") + 1))
    survey = f"survey = {{ md = [{md}], inclination = [{inclination}], azimuth = [{azimuth}] }}"
    return LAND.replace('air_gap = "8 m"', f'air_gap = "8 m"\n{survey}')


def test_inclined_hole_has_pressure_by_vertical_and_volume_by_measured_depth(read: Read) -> None:
    """Straight at 60 deg from 1000 m: the shoe, at 1500 m, is 1250 m deep, the bottom, at 2800 m, 1900 m."""
    text = surveyed('"0 m", "1000 m", "1000.01 m", "2800 m"', '"0 deg", "0 deg", "60 deg", "60 deg"')
    hole = only(read(text), **ASKED)
    allowed = hole.allowable_at_drill_floor
    assert allowed.tvd == pytest.approx(1900.0, abs=0.01)
    assert allowed.md == pytest.approx(2800.0, abs=0.02)
    shoe = only(read(text.replace('"1.70 sg", "1.55 sg"', '"1.45 sg", "1.85 sg"')), **ASKED)
    fracture = GRAVITY * np.interp(1250.0, [0.0, 1500.0], [0.0, 1450.0 * 1500.0])
    h = (fracture - GRAVITY * 1300.0 * 1250.0 - GRAVITY * 60.0 * 1900.0) / (GRAVITY * 1300.0 - 2300.0)
    along = 2.0 * h  # at 60 deg
    shut_in = min(along, 200.0) * COLLARS + max(along - 200.0, 0.0) * PIPE
    assert 0.0 < h < 650.0
    assert f"shut in {shut_in:.2f} m3" in shoe.kick_tolerance.words.text()


def test_level_hole_keeps_influx_without_height(read: Read) -> None:
    """Level from 1900 m on, at 1645.6 m tvd: influx fills 900 m along it, and only then stands higher in the bend."""
    text = surveyed('"0 m", "1200 m", "1900 m", "2800 m"', '"0 deg", "0 deg", "90 deg", "90 deg"')
    hole = only(read(text.replace('"1.70 sg", "1.55 sg"', '"1.45 sg", "1.45 sg"')), **ASKED)
    radius = 700.0 / (math.pi / 2.0)
    shoe, level = 1200.0 + radius * math.sin(300.0 / radius), 1200.0 + radius
    h = 9.80665 * (150.0 * shoe - 60.0 * level) / (9.80665 * 1300.0 - 2300.0)  # 115 m of 168
    in_bend = radius * math.acos((radius - h) / radius)
    shut_in = 200.0 * COLLARS + (700.0 + in_bend) * PIPE
    words = re.search(r"shut in ([\d.]+) m3 \(([\d.]+) m high\)", hole.kick_tolerance.words.text())
    assert words is not None
    assert float(words[2]) == pytest.approx(h, abs=0.06)
    assert float(words[1]) == pytest.approx(shut_in, abs=0.02)


def test_climbing_hole_is_not_guessed(read: Read) -> None:
    text = surveyed('"0 m", "1200 m", "1900 m", "2800 m"', '"0 deg", "0 deg", "95 deg", "95 deg"')
    hole = only(read(text), **ASKED)
    assert hole.kick_tolerance.status == "not-evaluated"
    assert "climbs" in hole.kick_tolerance.words.text()
    assert hole.overbalance.value is not None


def test_depth_that_the_path_has_passed_before_the_shoe_has_no_measured_depth(read: Read) -> None:
    """Level at the shoe, then climbing: in the same rock all along, the end of the hole, least deep, is the weakest."""
    text = surveyed('"0 m", "1000 m", "1500 m", "2800 m"', '"0 deg", "0 deg", "90 deg", "110 deg"')
    well = read(text.replace('"1.70 sg", "1.55 sg"', '"1.60 sg", "1.60 sg"'))
    end = float(well.path.tvd(2800.0))
    margin = only(well).fracture_margin
    assert end < float(well.path.tvd(1500.0)) - 100.0
    assert margin.tvd == pytest.approx(end)
    assert margin.md is None
    assert margin.value == pytest.approx(9.80665 * 300.0 * end)


# --- what is missing is asked for by name -----------------------------------------------------------------------------


def told(limit: Limit) -> str:
    assert (limit.status, limit.value, limit.tvd) == ("not-evaluated", None, None)
    return limit.words.text()


def test_drill_string_and_kick_are_asked_for(land: cl.Well) -> None:
    hole = only(land)
    assert told(hole.kick_tolerance) == "needs kick_intensity, influx_gradient, drill_string"
    assert told(hole.swab_tolerance) == "needs influx_gradient, drill_string"
    assert hole.allowable_at_drill_floor.value is not None
    other = only(land, **{**ASKED, "drill_string": {}})
    assert told(other.kick_tolerance) == "needs drill_string"
    assert only(land, **{**ASKED, "drill_string": {"casing": INSIDE}}) == only(land, **ASKED)


@pytest.mark.parametrize(
    ("taken", "needed", "limit"),
    [
        (', mud = "mud"', "needs strings.casing.next_hole.mud", "allowable_at_drill_floor"),
        (', mud = "mud"', "needs strings.casing.next_hole.mud", "overbalance"),
        (', mud = "mud"', "needs strings.casing.next_hole.mud", "riser_margin"),
        (', size = "8-1/2 in"', "needs strings.casing.next_hole.size", "kick_tolerance"),
        ('fracture = ["1.01 sg", "1.36 sg", "1.50 sg"]', "needs earth.fracture", "allowable_at_wellhead"),
        ('fracture = ["1.01 sg", "1.36 sg", "1.50 sg"]', "needs earth.fracture", "fracture_margin"),
        ('fracture = ["1.01 sg", "1.36 sg", "1.50 sg"]', "needs earth.fracture", "kick_tolerance"),
        ('pore_pressure = ["1.008 sg", "1.06 sg", "1.14 sg"]', "needs earth.pore_pressure", "overbalance"),
        (
            'pore_pressure = ["1.008 sg", "1.06 sg", "1.14 sg"]',
            "needs earth.pore_pressure",
            "overbalance_without_riser",
        ),
    ],
)
def test_a_missing_key_is_named(read: Read, taken: str, needed: str, limit: str) -> None:
    assert taken in DEEP
    hole = only(read(DEEP.replace(taken, "")), **ASKED)
    assert told(getattr(hole, limit)) == needed


def test_a_table_that_ends_above_the_hole_is_not_held_below_it(land: cl.Well) -> None:
    fracture = land.earth.fracture
    assert fracture is not None
    short = replace(fracture, tvd=fracture.tvd[:4], value=fracture.value[:4])
    hole = only(replace(land, earth=replace(land.earth, fracture=short)), **ASKED)
    assert told(hole.fracture_margin) == "needs earth.fracture down to 2800 m (last row: 2000 m)"


def test_a_drill_string_that_does_not_fit_is_refused(land: cl.Well) -> None:
    wide = DrillString(pipe=0.127, collars=0.2413, collar_length=100.0)
    assert "0.2413 m does not go into a hole of 0.2159 m" in told(
        only(land, **{**ASKED, "drill_string": wide}).kick_tolerance
    )
    dense = only(land, **{**ASKED, "influx_gradient": 13_000.0})
    assert told(dense.swab_tolerance) == "the influx is not lighter than the mud"
    with pytest.raises(ValueError, match="collars must be a diameter above 0 m"):
        DrillString(pipe=0.127, collars=0.0, collar_length=100.0)
    with pytest.raises(ValueError, match="collar_length must be 0 m or more"):
        DrillString(pipe=0.127, collars=0.2, collar_length=-1.0)
    with pytest.raises(ValueError, match="kick_intensity must be 0 or more, got -1"):
        limits(land, kick_intensity=-1.0)
    with pytest.raises(KeyError, match="no string 'liner'"):
        limits(land, drill_string={"liner": INSIDE})


def test_a_string_without_next_hole_has_no_limits(read: Read) -> None:
    assert limits(read(re.sub(r"next_hole = .*", "", LAND))) == ()
    assert limits_table(()) == "No string has a next_hole: there is no open hole to limit."
    assert frame(()).empty


# --- outputs ----------------------------------------------------------------------------------------------------------


def test_records_are_json_without_nan(deep: cl.Well) -> None:
    found = limits(deep, **ASKED)
    rows = json.loads(json.dumps(records(found), allow_nan=False))
    assert len(rows) == 8
    assert {row["unit"] for row in rows} == {"Pa", "m3", "kg/m3"}
    (margin,) = [row for row in rows if row["limit"] == "riser margin"]
    assert margin["value"] == found[0].riser_margin.value


def test_frame_has_units_and_missing_values(land: cl.Well) -> None:
    table = frame(limits(land))
    assert table.attrs["units"]["tvd_m"] == "m"
    names = [str(name) for name in table]
    assert {name for name in names if name.endswith(("_m", "_kgm3"))} | {"value"} == set(table.attrs["units"])
    assert table.loc[table["limit"] == "kick tolerance", "value"].isna().all()
    assert str(table["value"].dtype) == "Float64"
    assert table.attrs["assumptions"]


def test_table_shows_every_limit_in_either_system(deep: cl.Well) -> None:
    found = limits(deep, **ASKED)
    metric, field = limits_table(found, "metric"), limits_table(found, "field")
    for limit in found[0]:
        assert f"\n  {limit.name} " in metric
    assert max(len(line) for text in (metric, field) for line in text.splitlines()) <= 120
    assert "below casing: 2600.0 m to 3600.0 m, mud (1200 kg/m3)" in metric
    assert re.search(r"allowable pressure at drill floor +4\.08 MPa ", metric)
    assert re.search(r"allowable pressure at drill floor +592 psi ", field)
    assert re.search(r"riser margin +1\.18 ppg ", field)
    assert not re.search(r"\d (MPa|m|m3|kg/m3)\b", field)
    assert re.search(r"overbalance without riser +-0\.75 MPa  EXCEEDED +UNDERBALANCED", metric)


def test_table_says_what_is_not_evaluated(land: cl.Well) -> None:
    text = limits_table(limits(land))
    assert re.search(r"kick tolerance +NOT EVALUATED +needs kick_intensity, influx_gradient, drill_string", text)
    assert re.search(r"riser margin +– +the wellhead is not on the sea floor", text)
    assert "Assumed" in text
