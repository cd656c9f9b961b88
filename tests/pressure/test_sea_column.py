"""The sea by salinity and temperature: its mean density, from the file to the pressure on the sea floor."""

from __future__ import annotations

from pathlib import Path

import pytest
from scipy.integrate import quad, solve_ivp

import casingloads as cl
from casingloads.pressure.seawater import mean_sea_density, sea_depth, seawater_density

WELL = (Path(__file__).parents[1] / "wells" / "check-well-2.toml").read_text(encoding="utf-8")


def test_mean_density_by_an_ode_solver() -> None:
    solved = solve_ivp(
        lambda z, p: 9.80665 * seawater_density(35.0, 278.15, p), (0.0, 3000.0), [0.0], rtol=1e-12, atol=1e-3
    )
    assert mean_sea_density(35.0, 278.15, 3000.0) == pytest.approx(solved.y[0, -1] / (9.80665 * 3000.0), rel=1e-9)


def test_mean_density_against_the_published_pressure_to_depth() -> None:
    """UNESCO 44: 5000 dbar at 30 degrees of latitude is 4908.5595 m, S 35 at 0 degC; with the gravity there."""
    depth = float(sea_depth(50e6, 0.5235987755982988))
    assert depth == pytest.approx(4908.5595, abs=1e-3)
    lat = 0.25  # sin^2 of 30 degrees
    gravity = 9.780318 * (1.0 + (5.2788e-3 + 2.36e-5 * lat) * lat)  # as in that paper, at the surface
    mean_gravity = quad(lambda z: gravity + 2.226e-6 * z, 0.0, depth)[0] / depth
    assert mean_sea_density(35.0, 273.15, depth) == pytest.approx(50e6 / (mean_gravity * depth), rel=2e-4)


def test_from_the_file_to_the_sea_floor(tmp_path: Path) -> None:
    file = tmp_path / "well.toml"
    sea = '"sea water" = { salinity = 35, temperature = "4 degC" }'
    file.write_text(WELL.replace('"sea water" = "1025 kg/m3"', sea), encoding="utf-8")
    result = cl.check(cl.read_well(file))
    density = mean_sea_density(35.0, 277.15, 1640.0)
    profile = result.profile("surface", "riser-loss", "well open to the sea")
    assert profile["p_outside_pa"].iloc[0] == pytest.approx(density * 9.80665 * 1640.0, rel=1e-12)
    assert any(f"sea water by EOS-80: mean density {density:.0f} kg/m3" in text for text in result.assumptions)


@pytest.mark.parametrize(
    ("fluid", "message"),
    [
        ('"sea water" = { salinity = 35 }', "temperature"),
        ('"sea water" = { salinity = 350, temperature = "4 degC" }', "350"),
        ('"sea water" = { salinity = 35, temperature = "80 degC" }', "80 degC"),
        ('"sea water" = "1025 kg/m3"\nbrine = { salinity = 35, temperature = "4 degC" }', "write a density"),
    ],
)
def test_faults(fluid: str, message: str, tmp_path: Path) -> None:
    file = tmp_path / "well.toml"
    file.write_text(WELL.replace('"sea water" = "1025 kg/m3"', fluid), encoding="utf-8")
    with pytest.raises(cl.InputError) as fault:
        cl.read_well(file)
    assert message in str(fault.value)
