"""What stands behind a pipe after its cement has set: three intervals, each by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import casingloads as cl
from casingloads.pressure.outside import PRESETS
from casingloads.stations import places, points_along

G = 9.80665
LAND = """
[well]
name = "three intervals"
air_gap = "8 m"
[earth]
depth = ["8 m", "1500 m", "3000 m"]
pore_pressure = ["1.0 sg", "1.05 sg", "1.20 sg"]
overburden = ["2.0 sg", "2.1 sg", "2.2 sg"]
[fluids]
mud = "1.30 sg"
brine = "1.10 sg"
slurry = "1.90 sg"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[[strings]]
name = "surface"
hole_size = "17-1/2 in"
top = "surface"
shoe = "1000 m"
run_in = "brine"
cement = [{ from = "shoe", to = "surface", slurry = "slurry" }]
sections = [{ od = "13-3/8 in", wall = "0.514 in", yield = "80 ksi", to = "shoe" }]
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "2900 m"
run_in = "mud"
cement = [{ from = "2600 m", to = "2000 m", slurry = "slurry" }]
sections = [{ od = "9-5/8 in", wall = "0.472 in", yield = "80 ksi", to = "shoe" }]
[strings.cases.evacuation]
outside = OUTSIDE
"""
SEA = LAND.replace('air_gap = "8 m"', 'air_gap = "25 m"\nwater_depth = "500 m"').replace(
    '[fluids]', '[fluids]\n"sea water" = "1025 kg/m3"'
).replace('top = "surface"', 'top = "wellhead"').replace('to = "surface"', 'to = "wellhead"').replace(
    'depth = ["8 m"', 'depth = ["525 m"')  # fmt: skip


def read(tmp_path: Path, text: str, outside: str = '"as run"') -> cl.Well:
    path = tmp_path / "well.toml"
    path.write_text(text.replace("OUTSIDE", outside), encoding="utf-8")
    return cl.read_well(path)


def behind(well: cl.Well, depths: list[float], name: str = "casing") -> list[float]:
    """Return the pressure behind the pipe [Pa] just below each depth, as the case of the file asks."""
    string = well.string(name)
    (request,) = string.cases or well.string("casing").cases
    pressure = cl.Scene(well, name).outside(request.parameters["outside"])
    where = places(points_along(string.top, string.shoe, [np.array(depths), *pressure.jumps()]), well.path)
    found = np.broadcast_to(pressure.at(where), where.md.shape)
    return [float(found[np.flatnonzero(np.isclose(where.md, d) & where.below)[0]]) for d in depths]


def pore(depth: float) -> float:
    """Rows as pressures, linear between them."""
    rows = np.array([8.0, 1500.0, 3000.0])
    return float(np.interp(depth, rows, rows * np.array([1000.0, 1050.0, 1200.0]) * G))


def test_as_run_is_the_mud_all_the_way(tmp_path: Path) -> None:
    found = behind(read(tmp_path, LAND), [100.0, 1500.0, 2300.0, 2800.0])
    assert found == pytest.approx([1300 * G * z for z in (100, 1500, 2300, 2800)])


def test_settled_mud(tmp_path: Path) -> None:
    """Fresh water from the wellhead (8 m) where there was mud, also in the cement's pores; open hole by the rock."""
    found = behind(read(tmp_path, LAND, '"settled mud"'), [100.0, 900.0, 1500.0, 2300.0, 2800.0])
    above, cased = (1000 * G * (z - 8.0) for z in (100.0, 900.0))
    rock = pore(1500.0)
    # the cement's water begins with the pressure at its top: that of the rock just above it
    in_cement = pore(2000.0) + 1000 * G * 300.0
    assert found == pytest.approx([above, cased, rock, in_cement, pore(2800.0)])


def test_a_fluid_without_solids_does_not_settle(tmp_path: Path) -> None:
    text = LAND.replace('brine = "1.10 sg"', 'brine = "1.02 sg"')
    assert behind(read(tmp_path, text, '"settled mud"'), [500.0], "surface") == pytest.approx([1020 * G * 492.0])


def test_each_interval_by_name(tmp_path: Path) -> None:
    outside = '{ above_cement = "brine", cement = "overburden", open_hole = "nothing", reason = "a trial" }'
    well = read(tmp_path, LAND, outside)
    found = behind(well, [100.0, 1500.0, 2300.0, 2800.0])
    over = float(np.interp(2300.0, [1500.0, 3000.0], [1500 * 2100 * G, 3000 * 2200 * G]))
    assert found == pytest.approx([1100 * G * 92.0, 0.0, over, 0.0])
    parameters = well.string("casing").cases[0].parameters
    assert parameters["outside"].text() == (
        "above the cement brine, along it overburden, in open hole nothing (a trial)"
    )


def test_pressure_jumps_where_intervals_meet(tmp_path: Path) -> None:
    """Stations stand on both sides of a jump."""
    outside = '{ above_cement = "as run", cement = "pore pressure", open_hole = "pore pressure" }'
    well = read(tmp_path, LAND, outside)
    profile = cl.check(well).profile("casing", "evacuation")
    at = profile[np.isclose(profile.md_m, 1000.0)]
    assert list(at.side) == ["above", "below"]
    assert list(at.p_outside_pa) == pytest.approx([1300 * G * 1000.0, pore(1000.0)])


def test_under_the_sea_columns_begin_at_the_wellhead(tmp_path: Path) -> None:
    """Fresh water on the sea floor under the sea's pressure: 1025 g 500 + 1000 g (z - 525)."""
    well = read(tmp_path, SEA, '"settled mud"')
    (found,) = behind(well, [900.0])
    assert found == pytest.approx(1025 * G * 500.0 + 1000 * G * 375.0)


def test_pore_pressure_as_before(tmp_path: Path) -> None:
    found = behind(read(tmp_path, LAND, '"pore pressure"'), [500.0, 2300.0])
    assert found == pytest.approx([pore(500.0), pore(2300.0)])


def test_a_missing_table_is_asked_for(tmp_path: Path) -> None:
    text = LAND.replace('overburden = ["2.0 sg", "2.1 sg", "2.2 sg"]', "")
    outside = '{ above_cement = "as run", cement = "overburden", open_hole = "as run" }'
    result = cl.check(read(tmp_path, text, outside))
    assert {row.reason for row in result.rows} == {"needs earth.overburden"}
    assert result.verdict == "not-evaluated"


@pytest.mark.parametrize(
    ("outside", "said"),
    [
        ('"as ran"', "'as ran' is not accepted; did you mean 'as run'?"),
        ("5", "5 is not accepted"),
        ('{ above_cement = "as run", cement = "as run" }', "'open_hole' is missing"),
        ('{ above_cement = "mudd", cement = "as run", open_hole = "as run" }', "did you mean 'mud'?"),
        ('{ above = "mud", cement = "as run", open_hole = "as run" }', "'above' is not an interval behind the pipe"),
    ],
)
def test_mistakes_are_told(tmp_path: Path, outside: str, said: str) -> None:
    with pytest.raises(cl.InputError) as error:
        read(tmp_path, LAND, outside)
    assert "strings.casing.cases.evacuation.outside" in str(error.value)
    assert said in str(error.value)


def test_light_and_heavy_are_what_they_say(tmp_path: Path) -> None:
    """At every depth of a string run in mud the settled one is lighter than the fluid as run."""
    light, heavy = (
        np.array(behind(read(tmp_path, LAND, f'"{name}"'), [50.0, 990.0, 1700.0, 2100.0, 2850.0]))
        for name in ("settled mud", "as run")
    )
    assert np.all(light < heavy)
    assert set(PRESETS) == {"as run", "settled mud", "pore pressure"}


def test_slurry_that_stands_above_the_sea(tmp_path: Path) -> None:
    """Wellhead on deck 10 m below the drill floor, sea level at 25 m: cement from the wellhead on, by hand."""
    deck = LAND.replace(
        'air_gap = "8 m"', 'air_gap = "25 m"\nwater_depth = "50 m"\nwellhead = "deck"\nwellhead_depth = "10 m"'
    )
    deck = deck.replace("[fluids]", '[fluids]\n"sea water" = "1025 kg/m3"', 1)
    deck = deck.replace('run_in = "brine"', 'run_in = "sea water"').replace(
        'cement = [{ from = "shoe", to = "surface"',
        'cases = { cementing = {} }\ncement = [{ from = "shoe", to = "surface"',
    )
    profile = cl.check(read(tmp_path, deck)).profile("surface", "cementing")
    assert float(profile.p_outside_pa.iloc[-1]) == pytest.approx(1900 * G * 990.0)
    assert float(profile.p_outside_pa.iloc[0]) == 0.0


def test_a_fluid_of_the_file_goes_before_a_word(tmp_path: Path) -> None:
    text = LAND.replace('brine = "1.10 sg"', 'brine = "1.10 sg"\nwater = "1.15 sg"')
    outside = '{ above_cement = "water", cement = "as run", open_hole = "as run" }'
    assert behind(read(tmp_path, text, outside), [900.0]) == pytest.approx([1150 * G * 892.0])
