"""Published values of the minimum curvature method.

The rows stand in `loads_checks.csv` with source and provenance; tolerances are the printed precision.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from casingloads.arc import displacement_weights, dogleg
from casingloads.path import WellPath

FOOT = 0.3048
HUNDRED_FEET = 100.0 * FOOT


def _read() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"]: row for row in csv.DictReader(lines)}


def _inputs(row: dict[str, str]) -> dict[str, str]:
    return dict(part.strip().split("=", 1) for part in row["inputs"].split(";"))


ROWS = {key: row for key, row in _read().items() if _inputs(row)["calc"].startswith(("mc_", "build_"))}

# Rows that our method, worked exactly, does not give; each is checked to differ by what is said here.
DISAGREES = {
    "L124": (
        1.00428,
        "the source's own dogleg gives a ratio factor of 1.00428, and its north and vertical (L120, L122) "
        "agree with ours",
    ),
}

# Rows of other survey methods. The package has minimum curvature only; the old methods are worked here, in a
# line each, to show that our reading of the table (stations, direction, units) is the table's own.
NOT_OURS = {
    "L127": "tangential method: the direction of the lower station over the whole interval",
    "L128": "tangential method",
    "L129": "balanced tangential method: half the interval in either direction",
    "L130": "balanced tangential method",
    "L131": "average angle method: the mean inclination over the whole interval",
    "L132": "average angle method",
}

OURS = [key for key in ROWS if key not in DISAGREES and key not in NOT_OURS]


def _cases(keys: list[str]) -> list[object]:
    return [
        pytest.param(key, id=f"{key}-{ROWS[key]['provenance'].replace('from-memory', 'value-from-memory')}")
        for key in keys
    ]


def _said(key: str) -> str:
    return f"{key} of {ROWS[key]['source']} ({ROWS[key]['provenance']})"


def _computed(inputs: dict[str, str]) -> float:
    if inputs["calc"].startswith("build_"):
        md = np.arange(0.0, float(inputs["md_ft"]) + 1.0, float(inputs["step_ft"]))
        path = WellPath(md * FOOT, np.radians(md * float(inputs["dls100"]) / 100.0), np.zeros(md.size))
        axis = path.north if inputs["calc"] == "build_north" else path.tvd
        return float(axis(path.end)) / FOOT
    md1, md2 = float(inputs["md1"]) * FOOT, float(inputs["md2"]) * FOOT
    i1, a1, i2, a2 = np.radians([float(inputs[name]) for name in ("inc1", "az1", "inc2", "az2")])
    path = WellPath([0.0, md1, md2], [0.0, i1, i2], [a1, a1, a2])
    match inputs["calc"]:
        case "mc_north":
            return float(path.north(md2) - path.north(md1)) / FOOT
        case "mc_tvd":
            return float(path.tvd(md2) - path.tvd(md1)) / FOOT
        case "mc_dls":
            return float(np.degrees(path.curvature(md2, below=False))) * HUNDRED_FEET
        case "mc_ratio":  # both weights are half the ratio factor
            f1, f2 = displacement_weights(dogleg(i1, a1, i2, a2), 1.0, 1.0)
            assert float(f1 - f2) == pytest.approx(float(f2), rel=1e-12)
            return 2.0 * float(f2)
    raise AssertionError(f"no way to work {inputs['calc']}")


def _older_method(inputs: dict[str, str]) -> float:
    md = np.arange(0.0, float(inputs["md_ft"]) + 1.0, float(inputs["step_ft"]))
    inclination = np.radians(md * float(inputs["dls100"]) / 100.0)
    part = np.sin if inputs["calc"] == "build_north" else np.cos
    above, below = inclination[:-1], inclination[1:]
    mean = {
        "tangential": part(below),
        "balanced": (part(above) + part(below)) / 2.0,
        "average": part((above + below) / 2.0),
    }[inputs["method"]]
    return float(np.sum(np.diff(md) * mean))


def test_no_row_is_left_out() -> None:
    assert set(OURS) == {"L120", "L122", "L125", "L126", "L133", "L134"}
    assert set(ROWS) == set(OURS) | set(DISAGREES) | set(NOT_OURS)


@pytest.mark.parametrize("key", _cases(OURS))
def test_printed_value(key: str) -> None:
    row = ROWS[key]
    found = _computed(_inputs(row))
    assert found == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), _said(key)


@pytest.mark.parametrize("key", _cases(list(DISAGREES)))
def test_disagreement_is_as_stated(key: str) -> None:
    row, (ours, reason) = ROWS[key], DISAGREES[key]
    found = _computed(_inputs(row))
    assert abs(found - float(row["expected"])) > float(row["tolerance"]), _said(key)
    assert found == pytest.approx(ours, abs=5e-6), reason


@pytest.mark.parametrize("key", _cases(list(NOT_OURS)))
def test_older_methods_in_the_same_table(key: str) -> None:
    row = ROWS[key]
    expected, tolerance = float(row["expected"]), float(row["tolerance"])
    assert _older_method(_inputs(row)) == pytest.approx(expected, rel=0.0, abs=tolerance), _said(key)
    assert abs(_computed(_inputs(row)) - expected) > tolerance, "minimum curvature is another method"
