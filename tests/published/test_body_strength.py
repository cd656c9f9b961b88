"""Strength of the pipe body against published values.

`strength_checks.csv` has one value a row with its source and its provenance (seen-at-source,
seen-in-secondary or from-memory: value from memory). Main sources:

- API Bulletin 5C2, 21st edition, 1999, and 5C3, 6th edition, 1994: rating tables, factors of collapse.
- API 5CT: plain-end weights.
- Bourgoyne, Millheim, Chenevert and Young, *Applied Drilling Engineering*, SPE, 1986, ch. 7.
- Rahman and Chilingarian, *Casing Design - Theory and Practice*, 1995, Example 2-10.

Tolerances are the printed rounding and the rounding that the source did on the way, where it is known:

- Body yield: the area was rounded to 0.001 in2 first.
- Collapse, rows marked ``coef=later``: D/t was rounded to 0.01 first, worth up to 11 psi. Rows marked
  ``coef=earlier`` come from coarser factors; they are held to the same 11 psi, and those that miss it
  stand in `DISAGREES`. The label was inferred by which factors fit, so it is weak evidence.
- Plain-end weight: the coefficient was rounded to 10.69 first; the test takes the density that it stands for.
"""

from __future__ import annotations

import csv
import math
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from casingloads import strength
from casingloads.strength import CollapseFactors
from casingloads.strength.collapse_regimes import limits_at, pressures_at

Row = dict[str, str]
Answer = tuple[float, float]  # our value in the row's unit, and how far off it may be

INCH, FOOT = 0.0254, 0.3048
POUND, LBF = 0.45359237, 0.45359237 * 9.80665
PSI = LBF / INCH**2
DEG_PER_100FT = math.radians(1.0) / (100.0 * FOOT)

with Path(__file__).with_name("strength_checks.csv").open(encoding="utf-8", newline="") as _file:
    ROWS: dict[str, Row] = {row["id"]: row for row in csv.DictReader(_file)}


def tube(row: Row) -> tuple[float, float]:
    return float(row["od_in"]) * INCH, float(row["wall_in"]) * INCH


def yield_psi(row: Row) -> float:
    number = re.search(r"\d+$", row["grade_or_yield_psi"])
    assert number is not None, row
    return float(number[0]) * (1e3 if row["grade_or_yield_psi"][0].isalpha() else 1.0)


def yield_strength(row: Row) -> float:
    return yield_psi(row) * PSI


def given(row: Row) -> dict[str, float]:
    pairs = (item.split("=") for item in row["other_inputs"].split(";"))
    return {name: float(value) for name, value in pairs}


def printed(row: Row) -> float:
    """Half a unit of the last printed digit, with room for the binary fraction."""
    return float(row["rounding"]) / 2.0 * (1.0 + 1e-9)


def factor(letter: str, unit: float = 1.0) -> Callable[[Row], Answer]:
    def rule(row: Row) -> Answer:
        return float(getattr(strength.collapse_factors(yield_strength(row)), letter)) / unit, printed(row)

    return rule


def limit(name: str) -> Callable[[Row], Answer]:
    def rule(row: Row) -> Answer:
        return float(getattr(strength.collapse_limits(yield_strength(row)), name)), printed(row)

    return rule


def regime_pressure(function: Callable[..., object]) -> Callable[[Row], Answer]:
    def rule(row: Row) -> Answer:
        return float(np.asarray(function(*tube(row), yield_strength(row)))) / PSI, printed(row)

    return rule


def elastic(row: Row) -> Answer:
    return float(strength.elastic_collapse(*tube(row))) / PSI, printed(row)


def dt_ratio(row: Row) -> Answer:
    return float(strength.collapse_working(*tube(row), yield_strength(row)).slenderness), printed(row)


def internal_yield(row: Row) -> Answer:
    od, wall = tube(row)
    worn = given(row)["wall_factor"] if row["other_inputs"] else 1.0  # wear, on top of the tolerance
    return float(strength.internal_yield_pressure(od, worn * wall, yield_strength(row))) / PSI, printed(row)


def collapse(row: Row) -> Answer:
    rounded_dt = 11.0 if row["rounding"] == "10" else printed(row)
    return float(strength.collapse_pressure(*tube(row), yield_strength(row))) / PSI, rounded_dt


def pull(row: Row) -> float:
    return given(row)["F"] * LBF / float(strength.steel_area(*tube(row)))


def axial_stress(row: Row) -> Answer:
    return pull(row) / PSI, printed(row)


def y_pa(row: Row) -> Answer:
    return float(strength.equivalent_yield(yield_strength(row), pull(row))) / PSI, printed(row)


def collapse_biaxial(row: Row) -> Answer:
    rating = strength.collapse_pressure(*tube(row), yield_strength(row), pull(row))
    return float(rating) / PSI, printed(row)


def yield_mode_collapse(row: Row) -> Answer:
    load = given(row)
    left = strength.equivalent_yield(yield_strength(row), load["sa"] * PSI, load["pi"] * PSI)
    outside = float(strength.yield_collapse(*tube(row), left)) / PSI + load["pi"]  # the book asks for p_o
    return outside, printed(row)


def depth_limit(row: Row) -> Answer:
    """Depth at which mud outside an empty pipe reaches the rating; the slides take S0191's pipe and 0.052."""
    load, pipe = given(row), ROWS["S0191"]
    assert (pipe["source"], float(pipe["expected"])) == (row["source"], load["rating"])
    psi_per_foot = load["df"] * 0.052 * load["mw"]
    rating, slack = collapse(pipe)
    return rating / psi_per_foot, slack / psi_per_foot + printed(row)


def body_yield(row: Row) -> Answer:
    force = float(strength.axial_yield_force(*tube(row), yield_strength(row))) / LBF
    return force, printed(row) + 0.0005 * yield_psi(row)


def area(row: Row) -> Answer:
    return float(strength.steel_area(*tube(row))) / INCH**2, printed(row)


def bending_coef(row: Row) -> Answer:
    stress = strength.bending_stress(INCH, given(row)["dls"] * DEG_PER_100FT, 30e6 * PSI)
    return float(stress) / PSI, printed(row)


def plain_end_coef(row: Row) -> Answer:
    density = given(row)["density"] * POUND / INCH**3
    return float(strength.plain_end_mass(3 * INCH, INCH, density)) / (POUND / FOOT) / 2.0, printed(row)


def plain_end_weight(row: Row) -> Answer:
    density = given(row)["k"] * POUND / FOOT / (math.pi * INCH**2)
    return float(strength.plain_end_mass(*tube(row), density)) / (POUND / FOOT), printed(row)


RULES: dict[str, Callable[[Row], Answer]] = {
    **{f"coef_{letter}": factor(letter) for letter in "ABFG"},
    "coef_C": factor("C", PSI),
    **{f"dt_{name}": limit(name) for name in ("yield_plastic", "plastic_transition", "transition_elastic")},
    "p_yield": regime_pressure(strength.yield_collapse),
    "p_plastic": regime_pressure(strength.plastic_collapse),
    "p_transition": regime_pressure(strength.transition_collapse),
    "p_elastic": elastic,
    "dt_ratio": dt_ratio,
    "internal_yield": internal_yield,
    "collapse": collapse,
    "depth_limit": depth_limit,
    "axial_stress": axial_stress,
    "y_pa": y_pa,
    "collapse_biaxial": collapse_biaxial,
    "body_yield": body_yield,
    "area": area,
    "yield_mode_collapse": yield_mode_collapse,
    "bending_coef": bending_coef,
    "plain_end_coef": plain_end_coef,
    "plain_end_weight": plain_end_weight,
}

# Rows with tests of their own: connections in test_connection_strength, hardening index in test_rupture_published.
CONNECTIONS = ("joint_", "coupling_yield_", "leak_")
ELSEWHERE = {"hardening_n"}

_EARLIER = "coarser factors of the earlier rating tables"
_ROUNDED = "the source rounded the factors before it went on"
DISAGREES: dict[str, str] = {
    "S0178": _ROUNDED + " (1.998, 0.0434)",
    "S0181": _ROUNDED,
    "S0183": _ROUNDED,
    "S0187": _EARLIER,
    "S0189": _EARLIER,
    "S0190": "the source cut the digits off",
    "S0200": _ROUNDED + " (1.989, 0.036)",
    "S0202": "the source rounded Y_pa/Y to 0.5284 first; result recalled",
    "S1108": "8,406.5 would print as 8,410; value from memory",
    **dict.fromkeys(
        [
            *("S0316", "S0322", "S0328", "S0375", "S0380", "S0462", "S0523", "S0529", "S0534", "S0639"),
            *("S0645", "S0657", "S0669", "S0734", "S0740", "S0803", "S0821", "S0899", "S0905", "S0911"),
            *("S0917", "S0923", "S0939", "S0980", "S0992"),
        ],
        _EARLIER,
    ),
}

CASES = [row for row in ROWS.values() if row["quantity"] in RULES]


def name(row: Row) -> str:
    return f"{row['id']}-{row['quantity']}-{row['provenance']}"


@pytest.mark.parametrize("row", CASES, ids=name)
def test_published_value(row: Row) -> None:
    ours, tolerance = RULES[row["quantity"]](row)
    off = abs(ours - float(row["expected"]))
    told = f"{ours:.6g} against {row['expected']} {row['unit']} ({row['source']}; {row['provenance']})"
    if row["id"] in DISAGREES:
        assert off > tolerance, f"agrees after all, take it off DISAGREES: {told}"
        assert off < 0.035 * float(row["expected"]), told  # coarse factors, not another formula
    else:
        assert off <= tolerance, told


def test_every_row_has_its_place() -> None:
    here = {row["quantity"] for row in ROWS.values() if not row["quantity"].startswith(CONNECTIONS)}
    assert here == set(RULES) | ELSEWHERE
    assert set(DISAGREES) <= {row["id"] for row in CASES}
    assert Counter(row["provenance"] for row in CASES) == {
        "from-memory": 553,
        "seen-in-secondary": 72,
        "seen-at-source": 2,
    }


COLLAPSE_TABLE = [row for row in CASES if row["quantity"] == "collapse" and row["rounding"] == "10"]


@pytest.mark.parametrize("row", [r for r in COLLAPSE_TABLE if r["other_inputs"] == "coef=later"], ids=name)
def test_later_collapse_ratings_with_rounded_slenderness(row: Row) -> None:
    """With D/t rounded to 0.01 first, as the tables seem to do, nothing but the printed rounding is left."""
    od, wall = tube(row)
    rating = float(strength.collapse_pressure(round(od / wall, 2), 1.0, yield_strength(row))) / PSI
    off = abs(rating - float(row["expected"]))
    if row["id"] == "S0675":  # recalled with low confidence
        assert off > printed(row)
    else:
        assert off <= printed(row)


# A, B, C [psi], F, G of the earlier tables. N80 and P110: A, B, C seen in a secondary copy; all else from
# memory, low confidence. L80 takes N80's, K55 takes J55's.
EARLIER_FACTORS: dict[str, tuple[float, float, float, float, float]] = {
    "40": (2.950, 0.0463, 755.0, 2.047, 0.03125),
    "55": (2.990, 0.0541, 1205.0, 1.990, 0.0360),
    "80": (3.070, 0.0667, 1955.0, 1.998, 0.0434),
    "95": (3.125, 0.0745, 2405.0, 2.047, 0.0490),
    "110": (3.180, 0.0820, 2855.0, 2.075, 0.0535),
}


@pytest.mark.parametrize(
    "row",
    [row for row in CASES if row["quantity"] == "collapse" and row["other_inputs"] == "coef=earlier"],
    ids=name,
)
def test_earlier_collapse_ratings_follow_from_earlier_factors(row: Row) -> None:
    """The reason given in `DISAGREES`: with coarse factors, the same formulas give the earlier ratings."""
    A, B, C, F, G = EARLIER_FACTORS[row["grade_or_yield_psi"][1:]]
    factors = CollapseFactors(A=np.array(A), B=np.array(B), C=np.array(C * PSI), F=np.array(F), G=np.array(G))
    od, wall = tube(row)
    x, y = np.asarray(od / wall), np.asarray(yield_strength(row))
    limits = limits_at(y, factors)
    regime = sum(x > b for b in (limits.yield_plastic, limits.plastic_transition, limits.transition_elastic))
    rating = float(pressures_at(x, y, factors)[int(regime)]) / PSI
    off = abs(rating - float(row["expected"]))
    if row["id"] in {"S0939", "S1074"}:  # recalled with low confidence; fit neither set of factors
        assert off > printed(row)
    else:
        assert off <= printed(row), (rating, row)


@pytest.mark.parametrize(
    ("couplings_only", "expected"),
    [
        pytest.param(False, 42385.0, id="L112-Bourgoyne-1986-ch7-contact-along-the-pipe-from-memory"),
        pytest.param(True, 55475.0, id="L113-Bourgoyne-1986-ch7-contact-at-36-ft-couplings-from-memory"),
    ],
)
def test_axial_and_bending_stress_in_a_dogleg(couplings_only: bool, expected: float) -> None:
    """7-5/8 in 39 lb/ft, 400,000 lbf, 4 deg/100 ft: Bourgoyne et al., 1986, ch. 7; value from memory."""
    od, wall, force, modulus = 7.625 * INCH, 0.5 * INCH, 400e3 * LBF, 30e6 * PSI
    bending = strength.bending_stress(od, 4.0 * DEG_PER_100FT, modulus)
    if couplings_only:
        inertia = strength.second_moment(od, wall)
        bending = bending * strength.lubinski_factor(force, inertia, 36.0 * FOOT, modulus)
    stress = float(force / strength.steel_area(od, wall) + bending) / PSI
    assert stress == pytest.approx(expected, rel=0.002)  # the book rounds on the way
