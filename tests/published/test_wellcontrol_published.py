"""Published well control: the library's own functions against `loads_checks.csv`.

The rows stand there with source and provenance; the tolerance is theirs, the printed precision. Densities are taken at
the constant of the books, 0.052 psi/ft for each lb/gal; `test_columns_published.py` shows what that rounds away.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from casingloads.constants import GRAVITY, PSI
from casingloads.wellcontrol.hydrostatics import (
    adjusted_leak_off,
    formation_pressure,
    kill_density,
    riser_margin,
    shut_in_pressure,
)
from casingloads.wellcontrol.kick import KickTolerance, gas_volume, influx_height, kick_tolerance, two_part_annulus

FOOT, BARREL = 0.3048, 42 * 231 * 0.0254**3
PPG = 0.052 * PSI / FOOT / GRAVITY  # kg/m3, as the books round it
COVERED = {"L036", "L037", "L038", "L039", "L040", "L042", "L043", "L044", "L045", "L159"}

# Printed values that our own number is outside of, with the reason.
DISAGREE = {
    "L044": "derives 3777 psi for the middle of the bubble, then prints 3795 in the last line",
    "L159": "the printed inputs, without air gap, balance at 0.96 ppg",
}


def _read() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"]: row for row in csv.DictReader(lines)}


ROWS = _read()


def inputs(key: str) -> dict[str, float]:
    parts = (part.strip().split("=", 1) for part in ROWS[key]["inputs"].split(";"))
    return {name: float(value) for name, value in parts if name != "calc"}


def agrees(key: str, found: float) -> bool:
    return abs(found - float(ROWS[key]["expected"])) <= float(ROWS[key]["tolerance"])


def printed(key: str, found: object) -> None:
    row, number = ROWS[key], float(str(found))
    assert agrees(key, number), f"{key}: {number} against {row['expected']} of {row['source']} ({row['provenance']})"


def test_leak_off_with_a_new_mud() -> None:
    """L036: 1000 psi with 9.5 ppg at 4500 ft is 415 psi with 12 ppg."""
    x = inputs("L036")
    found = adjusted_leak_off(x["lot_psi"] * PSI, x["shoe_tvd_ft"] * FOOT, x["mw_test"] * PPG, x["mw_now"] * PPG)
    printed("L036", found / PSI)


def test_kick_of_an_intensity() -> None:
    """L037, L038: 1.8 ppg over 9.8 ppg mud at 9500 ft."""
    x = inputs("L037")
    assert {**x, "mud_ppg": 0.0} == {**inputs("L038"), "mud_ppg": 0.0}
    depth = x["tvd_ft"] * FOOT
    at_surface = shut_in_pressure(x["ktf_ppg"] * PPG, depth)
    printed("L038", at_surface / PSI)
    printed("L037", formation_pressure(at_surface, x["mud_ppg"] * PPG, depth) / PSI)


def test_kill_mud_and_formation_pressure_from_shut_in() -> None:
    """L039, L040: 450 psi on 12 ppg mud at 9500 ft."""
    x = inputs("L039")
    shut_in, mud, depth = x["sidpp_psi"] * PSI, x["mud_ppg"] * PPG, x["tvd_ft"] * FOOT
    printed("L039", kill_density(shut_in, mud, depth) / PPG)
    assert inputs("L040") == x
    printed("L040", formation_pressure(shut_in, mud, depth) / PSI)


def handbook(key: str) -> KickTolerance:
    """Return the kick tolerance of the handbook's hole: the shoe 3000 ft above the bottom, one capacity throughout.

    Its depth is of no account, nor is the rock at the bottom as long as it bears the formation.
    """
    x = inputs(key)
    shoe, bottom = 5000.0 * FOOT, (5000.0 + x["open_hole_ft"]) * FOOT
    capacity = inputs("L043")["cap"] * BARREL / FOOT
    return kick_tolerance(
        [shoe, bottom],
        [x["p_shoe"] * PSI, (x["p_form"] + 500.0) * PSI],
        formation_pressure=x["p_form"] * PSI,
        mud_gradient=x["mud_grad"] * PSI / FOOT,
        influx_gradient=x["gas_grad"] * PSI / FOOT,
        annulus=two_part_annulus(shoe, bottom, around_pipe=capacity, around_collars=capacity, collars=0.0),
    )


def test_kick_tolerance_height_and_volume_at_the_shoe() -> None:
    """L042, L043: (0.6 x 3000 - (5280 - 3750)) / 0.5 = 540 ft, of 0.1214 bbl/ft."""
    x = inputs("L042")
    height = influx_height(
        x["open_hole_ft"] * FOOT,
        x["p_shoe"] * PSI,
        x["p_form"] * PSI,
        x["mud_grad"] * PSI / FOOT,
        x["gas_grad"] * PSI / FOOT,
    )
    printed("L042", height / FOOT)
    found = handbook("L043")
    printed("L042", found.height / FOOT)
    printed("L043", found.shut_in / BARREL)  # one capacity throughout: the same volume wherever the bubble is
    assert not found.unlimited


def test_kick_tolerance_volume_at_the_bottom_as_printed() -> None:
    """L045: 65.6 bbl from 3795 psi at the shoe to 5253 psi at the bottom; ours are absolute, a thousandth more."""
    x = inputs("L045")
    half = 0.5 * 540.0 * x["gas_grad"]
    at_shoe = handbook("L045").shut_in
    found = gas_volume(at_shoe, x["p_mid_shoe"] * PSI, (x["p_form"] - half) * PSI) / BARREL
    printed("L045", found)
    in_gauge = float(at_shoe) / BARREL * x["p_mid_shoe"] / (x["p_form"] - half)
    assert in_gauge == pytest.approx(float(ROWS["L045"]["reproduced"].split()[-1]), abs=1e-5)
    assert found / in_gauge == pytest.approx(1.00108, abs=1e-5)


def test_kick_tolerance_volume_at_the_bottom_disagrees_as_derived() -> None:
    """L044: with the 3777 psi that the handbook derives 47.14 bbl in gauge, 47.19 in absolute pressure, not 47.4."""
    found = float(handbook("L044").circulated) / BARREL
    in_gauge = 65.556 * (3750.0 + 27.0) / (5280.0 - 27.0)
    assert in_gauge == pytest.approx(float(ROWS["L044"]["reproduced"].split()[-1]), abs=1e-5)
    assert found == pytest.approx(65.556 * (3777.0 + 14.6959) / (5253.0 + 14.6959), abs=1e-4)
    assert not agrees("L044", found), DISAGREE["L044"]
    assert not agrees("L044", in_gauge), DISAGREE["L044"]
    assert found == pytest.approx(47.19, abs=0.005)


def test_riser_margin_disagrees_with_its_printed_inputs() -> None:
    """L159: (9.2 x 13000 - 8.6 x 8000) / 5000 - 9.2 = 0.96 ppg, printed 1.2."""
    x = inputs("L159")
    found = riser_margin(
        x["mud_ppg"] * PPG, x["sw_ppg"] * PPG, x["tvd_ft"] * FOOT, x["riser_ft"] * FOOT, x["water_ft"] * FOOT
    )
    assert found / PPG == pytest.approx(0.96, abs=1e-9)
    assert not agrees("L159", float(found) / PPG), DISAGREE["L159"]


def test_rows_named_here_are_in_the_table() -> None:
    assert set(ROWS) >= COVERED
    assert COVERED.issuperset(DISAGREE)
