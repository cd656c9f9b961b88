"""How deep a string could be set: by its weight in closed form, by its friction on a slope."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import casingloads as cl
from casingloads.path import WellPath
from casingloads.setting import setting_depths
from casingloads.state import Friction

G, LBF = 9.80665, 0.45359237 * 9.80665
WELL = """
[well]
name = "deep"
air_gap = "0 ft"
[earth]
depth = ["0 ft", "60000 ft"]
[fluids]
mud = "10 ppg"
[required]
burst = 1.1
collapse = 1.0
tension = 1.6
compression = 1.3
triaxial = 1.25
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "9000 ft"
run_in = "mud"
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80 ksi", to = "shoe" }]
"""


@pytest.fixture
def well(tmp_path: Path) -> cl.Well:
    path = tmp_path / "well.toml"
    path.write_text(WELL, encoding="utf-8")
    return cl.read_well(path)


def test_vertical_string_in_mud(well: cl.Well) -> None:
    """Yield 1,085,789 lbf (13.5724 in2) over 1.6, over 47 lb/ft less 0.51948 psi/ft times the steel area."""
    area = np.pi / 4 * (9.625**2 - 8.681**2)
    in_mud = 47.0 - 10 * 12 / 231 * area
    (found,) = setting_depths(well)
    assert found.stopped_by == "tension"
    assert found.greatest / 0.3048 == pytest.approx(area * 80e3 / 1.6 / in_mud, abs=4)
    assert found.planned == pytest.approx(9000 * 0.3048)


def test_a_weaker_required_factor_lets_it_go_deeper(well: cl.Well) -> None:
    (string,) = well.strings
    (found,) = setting_depths(well)
    eased = replace(well, strings=(replace(string, required={**string.required, "tension": 1.8}),))
    (shorter,) = setting_depths(eased)
    assert shorter.greatest / found.greatest == pytest.approx(1.6 / 1.8, rel=1e-3)


def test_friction_stops_it_on_a_slope(well: cl.Well) -> None:
    """1000 m of plumb hole, then 75 degrees: w 1000 pulls, w x (mu sin a - cos a) holds, by hand."""
    path = WellPath([0.0, 1000.0, 1001.0, 1500.0], np.radians([0.0, 0.0, 75.0, 75.0]), np.zeros(4))
    leaning = replace(well, path=path)
    mu, a = 0.5, np.radians(75.0)
    friction = Friction(cased=mu, open_hole=mu)
    (found,) = setting_depths(leaning, friction=friction)
    assert found.stopped_by == "friction"
    # around the sharp bend the rope also loses exp(-mu a) of what hangs below it, here nothing pulls below
    held = mu * np.sin(a) - np.cos(a)
    pushes = 1000.0 * np.exp(-mu * a)
    assert found.greatest - 1000.0 == pytest.approx(pushes / held, rel=0.05)


def test_nothing_stops_a_short_strong_string(well: cl.Well) -> None:
    (string,) = well.strings
    section = replace(string.sections[0], bottom=300.0)
    light = replace(section, pipe=replace(section.pipe, yield_strength=2e9))
    short = replace(well, strings=(replace(string, shoe=300.0, sections=(light,)),))
    (found,) = setting_depths(short)
    assert found.stopped_by == "nothing"
    assert found.greatest == pytest.approx(15e3)
