"""Creeping beds, a well open to the sea and weight on the wellhead against hand calculations, on land and subsea.

The arithmetic stands beside each check in plain numbers: g = 9.80665 m/s2; 1 psi/ft is 22.6206 kPa/m (Devereux 1998,
1.4.17, as seen in an excerpt). No number here is published otherwise.
"""

from __future__ import annotations

from functools import cache
from math import cos, pi, radians
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

import casingloads as cl
from casingloads.applicable import why_not

G, INCH, FOOT = 9.80665, 0.0254, 0.3048
PSI = 0.45359237 * G / INCH**2

# 13-3/8 in 68 lb/ft, 0.480 in wall
OUTER, BORE = pi / 4 * (13.375 * INCH) ** 2, pi / 4 * (12.415 * INCH) ** 2
WEIGHT = 68 * 0.45359237 / FOOT * G

REQUIRED = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
"""

# Ground at 10 m. 20 in to 300 m, cemented to 50 m; 13-3/8 in to 1200 m, cemented to 700 m; 9-5/8 in to 3000 m.
LAND = """
[well]
name = "land"
air_gap = "10 m"
buckling = false
[earth]
depth = ["0 m", "3000 m"]
pore_pressure = ["0 MPa", "33 MPa"]
[fluids]
mud = "1200 kg/m3"
heavy = "1500 kg/m3"
slurry = "1900 kg/m3"
[[strings]]
name = "conductor"
hole_size = "26 in"
top = "wellhead"
shoe = "300 m"
run_in = "mud"
cement = [{ from = "shoe", to = "50 m", slurry = "slurry" }]
next_hole = { to = "1200 m", mud = "mud" }
sections = [{ pipe = "20 in 133 lb/ft K55", to = "shoe" }]
CONDUCTOR_CASES
[[strings]]
name = "surface"
hole_size = "17-1/2 in"
top = "wellhead"
shoe = "1200 m"
run_in = "mud"
cement = [{ from = "shoe", to = "700 m", slurry = "slurry" }]
next_hole = { to = "3000 m", mud = "heavy" }
sections = [{ od = "13-3/8 in", wall = "0.480 in", weight = "68 lb/ft", yield = "80 ksi", to = "shoe" }]
SURFACE_CASES
[[strings]]
name = "production"
hole_size = "12-1/4 in"
top = "wellhead"
shoe = "3000 m"
run_in = "heavy"
cement = [{ from = "shoe", to = "1500 m", slurry = "slurry" }]
sections = [{ pipe = "9-5/8 in 53.5 lb/ft P110", to = "shoe" }]
PRODUCTION_CASES
"""

# Sea floor at 1030 m; 20 in to 1630 m run in sea water and cemented to the wellhead, 13-3/8 in to 2500 m.
SUBSEA = """
[well]
name = "subsea"
air_gap = "30 m"
water_depth = "1000 m"
buckling = false
[earth]
depth = ["1030 m", "2500 m"]
pore_pressure = ["10.1 MPa", "27 MPa"]
[fluids]
"sea water" = "1025 kg/m3"
mud = "1200 kg/m3"
brine = "1100 kg/m3"
slurry = "1600 kg/m3"
[[strings]]
name = "outer"
hole_size = "26 in"
top = "wellhead"
shoe = "1630 m"
run_in = "sea water"
cement = [{ from = "shoe", to = "wellhead", slurry = "slurry" }]
next_hole = { to = "2500 m", mud = "mud" }
sections = [{ od = "20 in", wall = "0.635 in", weight = "133 lb/ft", yield = "56 ksi", to = "shoe" }]
OUTER_CASES
[[strings]]
name = "inner"
hole_size = "17-1/2 in"
top = "wellhead"
shoe = "2500 m"
run_in = "mud"
cement = [{ from = "shoe", to = "2000 m", slurry = "slurry" }]
sections = [{ od = "13-3/8 in", wall = "0.480 in", weight = "68 lb/ft", yield = "80 ksi", to = "shoe" }]
INNER_CASES
"""


def land(**cases: str) -> str:
    """Return the well on land with load cases under its strings."""
    return _with(LAND, cases, ("conductor", "surface", "production"))


def subsea(**cases: str) -> str:
    """Return the subsea well with load cases under its strings."""
    return _with(SUBSEA, cases, ("outer", "inner"))


def _with(text: str, cases: dict[str, str], names: tuple[str, ...]) -> str:
    for name in names:
        text = text.replace(f"{name.upper()}_CASES", f"[strings.cases]\n{cases.get(name, '')}")
    return text


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.check(cl.read_well(path))


def value(
    text: str, string: str, case: str, md: float, column: str, side: str = "above", step: str | None = None
) -> float:
    """Return a column of the profile at a depth [m] that is a station; of a jump, the side told."""
    found = checked(text).profile(string, case, step)
    rows = found[(found["md_m"] - md).abs() < 1e-6]
    rows = rows[rows["side"] == side] if len(rows) > 1 else rows
    assert len(rows) == 1
    return float(rows[column].iloc[0])


def reason(text: str, case: str) -> str:
    rows = checked(text).factors.query("case == @case")
    assert set(rows["status"]) == {"not-evaluated"}
    (found,) = set(rows["reason"])
    return str(found)


def remark(text: str, case: str) -> str:
    (found,) = [line for r in checked(text).remarks if f", {case}: " in (line := r.text())]
    return found


# --- creeping beds ----------------------------------------------------------------------------------------------------

SALT = 'mobile-formation = { top = "2000 m", bottom = "2400 m" }'


def test_a_bed_presses_with_the_overburden_and_the_rest_as_run() -> None:
    """22.6206 kPa/m from the ground at 10 m: 45.01 MPa at 2000 m, where the mud has 29.42; below 2400 m mud again."""
    text, case = land(production=SALT), "mobile-formation"
    rock, mud = PSI / FOOT, 1500 * G
    expected = {
        (2000.0, "above"): mud * 2000,
        (2000.0, "below"): rock * 1990,
        (2400.0, "above"): rock * 2390,
        (2400.0, "below"): mud * 2400,
        (3000.0, "above"): mud * 3000,
    }
    for (md, side), pressure in expected.items():
        found = value(text, "production", case, md, "p_outside_pa", side)
        assert found == pytest.approx(pressure, rel=1e-9)
    assert value(text, "production", case, 2400.0, "collapse_load_pa") == pytest.approx(rock * 2390, rel=1e-9)
    assert value(text, "production", case, 3000.0, "p_inside_pa") == 0.0
    assert "22.621 kPa/m below 10.00 m tvd, from 2000.0 m to 2400.0 m md" in remark(text, case)


def test_a_bed_across_a_full_string() -> None:
    """1200 kg/m3 from the wellhead at 10 m; a gradient of one's own, 21 kPa/m."""
    case = SALT.replace("}", ', fluid = "mud", gradient = "21 kPa/m", outside = "pore pressure" }')
    text, label = land(production=case), "mobile-formation"
    assert value(text, "production", label, 3000.0, "p_inside_pa") == pytest.approx(1200 * G * 2990, rel=1e-12)
    found = value(text, "production", label, 2400.0, "p_outside_pa")
    assert found == pytest.approx(21e3 * 2390, rel=1e-12)
    assert value(text, "production", label, 3000.0, "p_outside_pa") == pytest.approx(33e6, rel=1e-12)


def test_the_table_of_the_overburden_goes_before_the_usual_gradient() -> None:
    table = 'pore_pressure = ["0 MPa", "33 MPa"]\noverburden = ["0 MPa", "63 MPa"]'
    text = land(production=SALT).replace('pore_pressure = ["0 MPa", "33 MPa"]', table)
    found = value(text, "production", "mobile-formation", 2400.0, "p_outside_pa")
    assert found == pytest.approx(21e3 * 2400, rel=1e-12)
    assert "table earth.overburden from 2000.0 m to 2400.0 m md" in remark(text, "mobile-formation")
    own = text.replace('bottom = "2400 m"', 'bottom = "2400 m", gradient = "22 kPa/m"')
    found = value(own, "production", "mobile-formation", 2400.0, "p_outside_pa")
    assert found == pytest.approx(22e3 * 2390, rel=1e-12)


def test_a_table_that_does_not_cover_the_bed_is_asked_for() -> None:
    """Rows from 2100 m on; the bed begins at 2000 m."""
    text = land(production=SALT).replace(
        'depth = ["0 m", "3000 m"]\npore_pressure = ["0 MPa", "33 MPa"]',
        'depth = ["2100 m", "3000 m"]\noverburden = ["44 MPa", "63 MPa"]',
    )
    assert reason(text, "mobile-formation").startswith("needs earth.overburden from 2000 to 2400 m")


def test_a_bed_behind_an_earlier_string_presses_on_that_one() -> None:
    """900 to 1400 m: on the surface string down to its shoe at 1200 m, on the production string from there on."""
    bed = 'bed = { case = "mobile-formation", top = "900 m", bottom = "1400 m" }'
    text, rock = land(surface=bed, production=bed), PSI / FOOT
    assert value(text, "surface", "bed", 1200.0, "p_outside_pa") == pytest.approx(rock * 1190, rel=1e-9)
    assert value(text, "production", "bed", 1200.0, "p_outside_pa") == pytest.approx(1500 * G * 1200, rel=1e-9)
    found = value(text, "production", "bed", 1200.0, "p_outside_pa", "below")
    assert found == pytest.approx(rock * 1190, rel=1e-9)
    shallow = land(production='bed = { case = "mobile-formation", top = "900 m", bottom = "1100 m" }')
    assert reason(shallow, "bed") == "the bed, 900 to 1100 m, is not in the open hole of this string, 1200 to 3000 m"


def test_a_bed_must_have_its_bottom_below_its_top() -> None:
    text = land(production='bed = { case = "mobile-formation", top = "2400 m", bottom = "2000 m" }')
    assert reason(text, "bed") == "bottom = 2000 m is not below top = 2400 m"


def test_under_the_sea_the_overburden_begins_with_the_sea() -> None:
    """1000 m of sea, 10.05 MPa, and 970 m of rock with 21.94: 31.99 MPa at 2000 m."""
    text = subsea(inner='bed = { case = "mobile-formation", top = "2000 m", bottom = "2300 m", fluid = "brine" }')
    expected = 1025 * G * 1000 + PSI / FOOT * 970
    assert expected / 1e6 == pytest.approx(31.994, abs=1e-3)
    assert value(text, "inner", "bed", 2000.0, "p_outside_pa", "below") == pytest.approx(expected, rel=1e-9)
    full = 1025 * G * 1000 + 1100 * G * 1470  # the sea stands at the wellhead
    assert value(text, "inner", "bed", 2500.0, "p_inside_pa") == pytest.approx(full, rel=1e-12)


def test_a_bed_in_a_deviated_hole_presses_by_its_true_vertical_depth() -> None:
    """Straight at 40 degrees from the drill floor: 2400 m md are 1838.5 m deep."""
    survey = """buckling = false
survey = { md = ["0 m", "3000 m"], inclination = ["40 deg", "40 deg"], azimuth = ["0 deg", "0 deg"] }"""
    text = land(production=SALT).replace("buckling = false", survey)
    depth = 2400 * cos(radians(40))
    found = value(text, "production", "mobile-formation", 2400.0, "p_outside_pa")
    assert found == pytest.approx(PSI / FOOT * (depth - 10), rel=1e-9)


# --- open to the sea --------------------------------------------------------------------------------------------------


def test_a_well_open_to_the_sea() -> None:
    """Sea water to the shoe, 24.83 MPa; mud as run to the drill floor has 29.42 there, the beds 27."""
    text, case = subsea(inner="open-to-sea = {}"), "open-to-sea"
    for step, outside in (("just left", 1200 * G * 2500), ("after years", 27e6)):
        inside = 1025 * G * 2470
        assert value(text, "inner", case, 2500.0, "p_inside_pa", step=step) == pytest.approx(inside, rel=1e-12)
        assert value(text, "inner", case, 2500.0, "p_outside_pa", step=step) == pytest.approx(outside, rel=1e-12)
        load = value(text, "inner", case, 2500.0, "collapse_load_pa", step=step)
        assert load == pytest.approx(outside - inside, rel=1e-9)
    assert value(text, "inner", case, 1030.0, "p_inside_pa", step="just left") == pytest.approx(1025 * G * 1000)


def test_a_well_left_full_of_brine_has_the_sea_on_it() -> None:
    case = 'open-to-sea = { fluid = "brine", outside_later = "settled mud" }'
    text = subsea(inner=case)
    inside = 1025 * G * 1000 + 1100 * G * 1470
    found = value(text, "inner", "open-to-sea", 2500.0, "p_inside_pa", step="after years")
    assert found == pytest.approx(inside, rel=1e-12)
    pore = 10.1e6 + 16.9e6 * 970 / 1470  # at the top of cement, under which there is water
    outside = value(text, "inner", "open-to-sea", 2500.0, "p_outside_pa", step="after years")
    assert outside == pytest.approx(pore + 1000 * G * 500, rel=1e-12)


def test_on_land_no_sea_stands_on_the_well() -> None:
    assert "no sea stands on it" in reason(land(production="open-to-sea = {}"), "open-to-sea")


# --- weight on the wellhead -------------------------------------------------------------------------------------------


def surface_as_cemented(md: float) -> float:
    """Return the force in the surface string when its cement set: mud inside, mud and slurry outside."""
    end = 1200 * G * 1200 * BORE - (1200 * G * 700 + 1900 * G * 500) * OUTER
    return end + WEIGHT * (1200 - md)


def test_the_top_gives_way_to_the_weight() -> None:
    """400 kN of wellhead and preventer, 900 of strings: 1300 kN of push at the top, its own weight more at 700 m.

    In the cement what counts is the change in pressure: heavy mud inside, mud as run where the slurry was.
    """
    text = land(surface='load = { case = "wellhead-load", weight = "400 kN", inner_strings = "900 kN" }')
    for md in (10.0, 700.0):
        found = value(text, "surface", "load", md, "true_force_n")
        assert found == pytest.approx(-1300e3 - WEIGHT * (md - 10.0), rel=1e-9)
    below = value(text, "surface", "load", 1200.0, "true_force_n")
    change = 0.6 * (300 * G * 1200 * BORE + 700 * G * 500 * OUTER)
    assert below == pytest.approx(surface_as_cemented(1200) + change, rel=1e-9)
    assert "1300.0 kN on the top" in remark(text, "load")


def test_a_share_of_the_weight() -> None:
    """Conductor and surface string bear it together: 30 % of 1300 kN."""
    case = 'load = { case = "wellhead-load", weight = "400 kN", inner_strings = "900 kN", share = "30 %" }'
    text = land(surface=case)
    found = value(text, "surface", "load", 10.0, "true_force_n")
    assert found == pytest.approx(-390e3, rel=1e-9)
    for share in ("0 %", "120 %"):
        assert reason(land(surface=case.replace("30 %", share)), "load").startswith(f"share = {share.replace(' ', '')}")


def test_mud_of_the_next_hole_fills_the_string() -> None:
    """1500 kg/m3 to the drill floor, or the mud that is named."""
    case = 'load = { case = "wellhead-load", weight = "400 kN", inner_strings = "0 kN" }'
    text = land(surface=case)
    assert value(text, "surface", "load", 1200.0, "p_inside_pa") == pytest.approx(1500 * G * 1200, rel=1e-12)
    named = land(surface=case.replace("}", ', mud = "mud" }'))
    assert value(named, "surface", "load", 1200.0, "p_inside_pa") == pytest.approx(1200 * G * 1200, rel=1e-12)


def test_the_weight_on_a_subsea_string_that_cement_holds_below_the_sea_floor() -> None:
    """Last string of the well: sea to the sea floor, brine below it; nothing hangs inside."""
    text = subsea(inner='load = { case = "wellhead-load", weight = "2000 kN", mud = "brine" }')
    assert value(text, "inner", "load", 1030.0, "true_force_n") == pytest.approx(-2000e3, rel=1e-9)
    inside = 1025 * G * 1000 + 1100 * G * 1470
    assert value(text, "inner", "load", 2500.0, "p_inside_pa") == pytest.approx(inside, rel=1e-12)


def test_cement_to_the_top_takes_the_weight_below_the_very_top() -> None:
    text = subsea(outer='load = { case = "wellhead-load", weight = "2000 kN", inner_strings = "0 kN" }')
    assert value(text, "outer", "load", 1030.0, "true_force_n") == pytest.approx(-2000e3, rel=1e-9)
    assert value(text, "outer", "load", 1600.0, "true_force_n") > -2000e3


def test_what_a_wellhead_load_needs() -> None:
    text = land(surface='load = { case = "wellhead-load", weight = "400 kN" }')
    assert reason(text, "load") == "needs inner_strings: later strings hang in the wellhead"
    driven = land(conductor='load = { case = "wellhead-load", weight = "400 kN", inner_strings = "0 kN" }')
    driven = driven.replace('cement = [{ from = "shoe", to = "50 m", slurry = "slurry" }]\n', "")
    assert "no cement to stand on" in reason(driven, "load")
    last = land(production='load = { case = "wellhead-load", weight = "400 kN" }')
    assert reason(last, "load").startswith("needs strings.production.next_hole")
    with pytest.raises(cl.InputError, match=r"weight.*missing"):
        checked(land(surface="wellhead-load = {}"))


def test_a_liner_carries_no_wellhead() -> None:
    text = land(production='load = { case = "wellhead-load", weight = "400 kN", mud = "mud" }')
    text = text.replace('top = "wellhead"\nshoe = "3000 m"', 'top = "1100 m"\nshoe = "3000 m"')
    assert reason(text, "load") == "the string hangs at 1100 m, below the wellhead"


# --- which strings they concern ---------------------------------------------------------------------------------------


def concerned(text: str, case: str) -> dict[str, str]:
    """Return for each string why the case does not concern it; an empty text where it does."""
    result = checked(text)
    found = cl.load_plugins().cases[case]
    return {string.name: why_not(found, cl.Scene(result.well, string.name)) for string in result.well.strings}


def test_conductor_and_surface_string_carry_the_wellhead() -> None:
    not_this = "conductor and surface string carry the wellhead"
    assert concerned(land(), "wellhead-load") == {"conductor": "", "surface": "", "production": not_this}
    assert concerned(subsea(), "wellhead-load") == {"outer": "", "inner": ""}


def test_the_sea_stands_in_what_has_no_later_string_inside() -> None:
    assert concerned(subsea(), "open-to-sea") == {"outer": "later strings stand inside all of it", "inner": ""}
    assert set(concerned(land(), "open-to-sea").values()) == {"the wellhead is not on the sea floor"}


def test_no_file_tells_of_creeping_beds() -> None:
    for text in (land(), subsea()):
        assert all("no creeping bed" in why for why in concerned(text, "mobile-formation").values())
