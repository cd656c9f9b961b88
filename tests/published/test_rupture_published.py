"""Hardening index of ductile rupture against the published table.

ISO/TR 10400:2007 (API TR 5C3), clause 7, hardening-index table: one grade a row of `strength_checks.csv`. All eleven
are values from memory. No published rupture pressure was at hand; the points of our own calculation are in
`tests/strength/test_rupture.py` and are not evidence of this kind.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from casingloads import strength

Row = dict[str, str]
KSI = 0.45359237 * 9.80665 / 0.0254**2 * 1e3

with Path(__file__).with_name("strength_checks.csv").open(encoding="utf-8", newline="") as _file:
    ROWS = [row for row in csv.DictReader(_file) if row["quantity"] == "hardening_n"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['id']}-{row['grade_or_yield_psi']}-{row['provenance']}")
def test_hardening_index(row: Row) -> None:
    """The table is the line rounded to its last printed digit."""
    grade = re.fullmatch(r"[A-Z](\d+)", row["grade_or_yield_psi"])
    assert grade is not None
    ours = float(strength.hardening_index(float(grade[1]) * KSI))
    assert ours == pytest.approx(float(row["expected"]), abs=float(row["rounding"]) / 2.0)
    assert round(ours, 2) == float(row["expected"])


def test_every_row_is_here() -> None:
    assert [row["provenance"] for row in ROWS] == ["from-memory"] * 11
