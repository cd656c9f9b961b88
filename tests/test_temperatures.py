"""Temperatures of load cases named in a well file: tables, and flows along the well in closed form."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import casingloads as cl
from casingloads.heat.resistance import formation_resistance, wall_resistance

WELL = """
[well]
name = "warm"
air_gap = "0 m"
[earth]
depth = ["0 m", "1000 m", "3000 m"]
temperature = ["10 degC", "45 degC", "100 degC"]
[fluids]
mud = "1.2 sg"
[temperatures.table]
depth = ["0 m", "3000 m"]
temperature = ["60 degC", "100 degC"]
[temperatures.flow]
FLOW
rate = "6 kg/s"
specific_heat = "4.2 kJ/kg/K"
time = "30 d"
conductivity = "2.2 W/m/K"
diffusivity = "1.0e-6 m2/s"
hole_diameter = "12-1/4 in"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "2900 m"
run_in = "mud"
cement = [{ from = "shoe", to = "2000 m", slurry = "mud" }]
sections = [{ od = "9-5/8 in", wall = "0.472 in", yield = "80 ksi", to = "shoe" }]
[strings.cases.evacuation]
"""
UP = 'flow = "production"\ndepth = "2900 m"\ninlet_temperature = "97.25 degC"\nheat_transfer = "40 W/m2/K"'
DOWN = 'flow = "injection"\ndepth = "2900 m"\ninlet_temperature = "5 degC"'
ROUND = (
    'flow = "circulation"\ndepth = "2900 m"\ninlet_temperature = "20 degC"\npipe_heat_transfer = "60 W/m2/K"\n'
    'pipe_diameter = "5 in"'
)


def read(tmp_path: Path, flow: str, *changes: tuple[str, str]) -> cl.Well:
    text = WELL.replace("FLOW", flow)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "well.toml"
    path.write_text(text, encoding="utf-8")
    return cl.read_well(path)


def ground(tvd: float) -> float:
    return float(np.interp(tvd, [0.0, 1000.0, 3000.0], [10.0, 45.0, 100.0]))


def resistance() -> float:
    rock = formation_resistance(conductivity=2.2, diffusivity=1e-6, hole_radius=12.25 * 0.0127, time=30 * 86400.0)
    return float(rock) + float(wall_resistance(40.0, 12.25 * 0.0127))


def test_a_table_is_taken_as_given(tmp_path: Path) -> None:
    table = read(tmp_path, UP).temperatures["table"]
    assert float(table(1500.0)) == pytest.approx(80.0 + 273.15)


def test_production_by_an_integration_of_its_balance(tmp_path: Path) -> None:
    """dT/dz = (T - T_ground) / A with A = w c R, marched from the inlet up by small steps."""
    well = read(tmp_path, UP)
    length = 6.0 * 4200.0 * resistance()
    temperature, step = 97.25, 0.5
    for z in np.arange(2900.0, 0.0, -step):
        temperature -= step * (temperature - ground(z - step / 2)) / length
    found = float(well.temperatures["flow"](0.0)) - 273.15
    assert found == pytest.approx(temperature, abs=0.02)
    assert 10.0 < found < 97.25


def test_injection_cools_what_it_passes(tmp_path: Path) -> None:
    table = read(tmp_path, DOWN).temperatures["flow"]
    depths = np.linspace(0.0, 2900.0, 30)
    cooled = np.array([float(table(z)) - 273.15 for z in depths])
    assert cooled[0] == pytest.approx(5.0)
    assert np.all(cooled <= [ground(z) for z in depths])


def test_circulation_heats_the_top_and_cools_the_bottom(tmp_path: Path) -> None:
    table = read(tmp_path, ROUND).temperatures["flow"]
    assert float(table(0.0)) > ground(0.0) + 273.15
    assert float(table(2900.0)) < ground(2900.0) + 273.15


def test_it_is_told_where_it_comes_from(tmp_path: Path) -> None:
    assert any("closed form" in line for line in read(tmp_path, UP).assumptions)


@pytest.mark.parametrize(
    ("flow", "change", "key", "said"),
    [
        (UP, ('depth = "2900 m"', 'depth = "0 m"'), "temperatures.flow.depth", "is not below the wellhead"),
        (ROUND.replace('\npipe_diameter = "5 in"', ""), (), "temperatures.flow.pipe_diameter", "missing"),
        (UP, ('rate = "6 kg/s"', 'rate = "6 kg"'), "temperatures.flow.rate", "'6 kg'"),
        (UP, ('time = "30 d"', 'time = "0 d"'), "temperatures.flow.time", "need more than"),
        (UP, ('temperature = ["10 degC", "45 degC", "100 degC"]', ""), "temperatures.flow", "needs earth.temperature"),
        (UP, ('flow = "production"', 'flow = "producing"'), "temperatures.flow.flow", "'production'"),
    ],
)
def test_mistakes_are_told(tmp_path: Path, flow: str, change: tuple[str, str], key: str, said: str) -> None:
    with pytest.raises(cl.InputError) as error:
        read(tmp_path, flow, *([change] if change else []))
    assert key in str(error.value)
    assert said in str(error.value)
