"""Check values of the 1980 equation of state of sea water, UNESCO Tech. Pap. Mar. Sci. 44 (1983).

The rows stand in `loads_checks.csv` with source and provenance; tolerances are the printed precision.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from casingloads.pressure.seawater import sea_depth, seawater_density


def _read() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"]: row for row in csv.DictReader(lines)}


def _inputs(row: dict[str, str]) -> dict[str, str]:
    return dict(part.strip().split("=", 1) for part in row["inputs"].split(";"))


ROWS = {key: row for key, row in _read().items() if _inputs(row)["calc"] in ("eos80_kg_m3", "sea_depth_m")}


def test_no_row_is_left_out() -> None:
    assert {key for key in _read() if "L138" <= key <= "L148"} == set(ROWS)
    assert len(ROWS) == 10


@pytest.mark.parametrize("key", [pytest.param(key, id=f"{key}-{row['provenance']}") for key, row in ROWS.items()])
def test_printed_value(key: str) -> None:
    row = ROWS[key]
    inputs = _inputs(row)
    if inputs["calc"] == "eos80_kg_m3":
        salinity, celsius, bar = (float(inputs[name]) for name in ("S", "T", "p_bar"))
        found = float(seawater_density(salinity, celsius + 273.15, bar * 1e5))
    else:
        found = float(sea_depth(float(inputs["p_dbar"]) * 1e4, np.radians(float(inputs["lat"]))))
    said = f"{key} of {row['source']} ({row['provenance']})"
    assert found == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), said
