"""Strength of the standard's threaded connections against published rating tables.

Source: API Bulletin 5C2, rating tables, as recalled (`value from memory`, provenance from-memory in every row):
joint strength of short (STC) and long (LTC) round thread and of buttress (BTC), internal yield of the coupling
and leak resistance; regular couplings. One row of `strength_checks.csv` each. The catalog of couplings behind
them is mostly from memory too, so agreement says that formulas, dimensions and ratings belong together.

The tables round joint strength to 1,000 lbf and pressure to 10 psi, and before that the thread root diameter
of the coupling to 0.001 in (API Bulletin 5C3, value from memory). So each row is held to the printed rounding
with the diameter rounded, and to the printed rounding plus what that rounding is worth without, as the
functions do it.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from casingloads import standard_catalog, strength
from casingloads.catalog.couplings import Coupling, standard_couplings
from casingloads.catalog.rows import POUND_PER_FOOT
from casingloads.constants import INCH, PSI
from casingloads.strength import JointFailure

Row = dict[str, str]
LBF = PSI * INCH**2

with Path(__file__).with_name("strength_checks.csv").open(encoding="utf-8", newline="") as _file:
    ALL: list[Row] = list(csv.DictReader(_file))
CASES = [row for row in ALL if row["quantity"].startswith(("joint_", "coupling_yield_", "leak_"))]


def coupling_of(row: Row) -> Coupling:
    od, thread = float(row["od_in"]) * INCH, row["quantity"].rpartition("_")[2]
    if not row["grade_or_yield_psi"]:  # leak resistance, without grade and weight: the common thread of the size
        return standard_couplings().find(od, thread, weight=100.0 * POUND_PER_FOOT, yield_strength=80e3 * PSI)
    grade, _ = standard_catalog().grade(row["grade_or_yield_psi"])
    weight = float(row["weight_lbft"]) * POUND_PER_FOOT
    return standard_couplings().find(od, thread, weight=weight, yield_strength=grade.yield_strength)


def joint_working(row: Row, root: float) -> Any:
    """The working of the joint with *root* [m] as the coupling's thread root."""
    od, wall = float(row["od_in"]) * INCH, float(row["wall_in"]) * INCH
    grade, _ = standard_catalog().grade(row["grade_or_yield_psi"])
    coupling = coupling_of(row)
    pipe, steel = (od, wall), (grade.yield_strength, grade.tensile_strength)
    if coupling.engaged_length is None:
        return strength.buttress_joint_working(*pipe, *steel, coupling.od, root)
    return strength.round_joint_working(*pipe, *steel, coupling.engaged_length, coupling.od, root)


def joint(row: Row, root: float) -> float:
    return float(joint_working(row, root).rating) / LBF


def coupling_yield(row: Row, root: float) -> float:
    grade, _ = standard_catalog().grade(row["grade_or_yield_psi"])
    return float(strength.coupling_yield_pressure(coupling_of(row).od, root, grade.yield_strength)) / PSI


def leak(row: Row, root: float) -> float:
    c = coupling_of(row)
    return float(strength.leak_resistance(c.od, c.pitch_diameter, c.taper, c.pitch, c.turns)) / PSI


RULES: dict[str, Callable[[Row, float], float]] = {
    **{f"joint_{thread}": joint for thread in ("STC", "LTC", "BTC")},
    **{f"coupling_yield_{thread}": coupling_yield for thread in ("LTC", "BTC")},
    **{f"leak_{thread}": leak for thread in ("STC", "LTC", "BTC")},
}

_AREA = "fits where the area is rounded to 0.001 in2 first, which others of the same table do not"
DISAGREES: dict[str, str] = {
    "S0514": f"677,528 would print as 678,000; {_AREA}",
    "S0678": "1,105,713 would print as 1,106,000; value from memory",
    "S0872": "1,285,469 would print as 1,285,000; value from memory",
    "S0915": "1,105,475 would print as 1,105,000; value from memory",
    "S1165": f"1,595,492 would print as 1,595,000; {_AREA}",
}


def name(row: Row) -> str:
    return f"{row['id']}-{row['quantity']}-{row['provenance']}"


def as_tabulated(row: Row) -> float:
    """The coupling's thread root rounded to 0.001 in [m]."""
    return round(coupling_of(row).root_diameter / INCH, 3) * INCH


@pytest.mark.parametrize("row", CASES, ids=name)
def test_published_value(row: Row) -> None:
    ours, step = RULES[row["quantity"]](row, as_tabulated(row)), float(row["rounding"])
    off = abs(ours - float(row["expected"]))
    told = f"{ours:.7g} against {row['expected']} {row['unit']} ({row['source']}; {row['provenance']})"
    if row["id"] in DISAGREES:
        assert off > step / 2, f"agrees after all, take it off DISAGREES: {told}"
        assert off < step, told  # one unit of the last printed digit, not another formula
    else:
        assert off <= step / 2, told


@pytest.mark.parametrize("row", [row for row in CASES if row["id"] not in DISAGREES], ids=name)
def test_published_value_without_rounding_on_the_way(row: Row) -> None:
    rule, root, half = RULES[row["quantity"]], coupling_of(row).root_diameter, 0.0005 * INCH
    ours = rule(row, root)
    worth = max(abs(rule(row, root + half) - ours), abs(rule(row, root - half) - ours))
    assert abs(ours - float(row["expected"])) <= float(row["rounding"]) / 2 + worth


def test_where_the_rounding_of_the_diameter_is_seen() -> None:
    """Without it eight rows would print another last digit: the tables do round, the functions do not."""
    apart = [
        row["id"]
        for row in CASES
        if row["id"] not in DISAGREES
        and abs(RULES[row["quantity"]](row, coupling_of(row).root_diameter) - float(row["expected"]))
        > float(row["rounding"]) / 2
    ]
    assert apart == ["S0243", "S0244", "S0247", "S0249", "S0454", "S0472", "S0601", "S0606"]


@pytest.mark.parametrize(("identity", "fits"), [("S0514", True), ("S1165", True), ("S0569", False), ("S1062", False)])
def test_rounding_of_the_area_is_not_settled(identity: str, fits: bool) -> None:
    """The reason given in `DISAGREES`: no one habit of rounding the area to 0.001 in2 fits all rows."""
    row = next(row for row in CASES if row["id"] == identity)
    w = joint_working(row, as_tabulated(row))
    area = float(w.pipe_area if row["quantity"] == "joint_BTC" else w.root_area) / INCH**2
    rounded = float(w.rating) / LBF * round(area, 3) / area
    assert (abs(rounded - float(row["expected"])) <= float(row["rounding"]) / 2) == fits


def test_engaged_length_of_the_tables_is_that_of_the_common_thread() -> None:
    """P110 and above from 9-5/8 in: M of the tighter thread, 0.713 in, misses five of six, 0.709 in one."""
    tight = [
        row
        for row in CASES
        if row["quantity"] in ("joint_STC", "joint_LTC")
        and row["grade_or_yield_psi"] in ("P110", "Q125")
        and coupling_of(row).yield_from > 0.0
    ]
    misses = {"0.709": 0, "0.713": 0}
    for row in tight:
        coupling, (grade, _) = coupling_of(row), standard_catalog().grade(row["grade_or_yield_psi"])
        assert coupling.engaged_length is not None
        for face, shift in (("0.709", 0.0), ("0.713", 0.004 * INCH)):
            pulled = strength.round_pull_out_force(
                coupling.pipe_od,
                float(row["wall_in"]) * INCH,
                grade.yield_strength,
                grade.tensile_strength,
                coupling.engaged_length - shift,
            )
            misses[face] += abs(float(pulled) / LBF - float(row["expected"])) > 500.0
    assert len(tight) == 6
    assert misses == {"0.709": 1, "0.713": 5}  # the one is S0915, see DISAGREES


def test_what_governs_in_the_tables() -> None:
    """Regular couplings of the pipe's grade: round threads never break the coupling, buttress seldom."""
    found: Counter[tuple[str, str]] = Counter()
    for row in CASES:
        if row["quantity"].startswith("joint_"):
            governing = JointFailure(int(joint_working(row, as_tabulated(row)).governing))
            found[row["quantity"], governing.name] += 1
    assert set(found) == {
        *(("joint_STC", "PULL_OUT"), ("joint_LTC", "PULL_OUT"), ("joint_LTC", "FRACTURE")),
        *(("joint_BTC", "FRACTURE"), ("joint_BTC", "COUPLING")),
    }


def test_every_row_has_its_place() -> None:
    assert {row["quantity"] for row in CASES} == set(RULES)
    assert set(DISAGREES) <= {row["id"] for row in CASES}
    assert Counter(row["provenance"] for row in CASES) == {"from-memory": 283}
    hardening = [row for row in ALL if row["quantity"] == "hardening_n"]  # test_rupture_published
    assert len(ALL) == 627 + 283 + len(hardening) == 921  # 627 in test_body_strength
