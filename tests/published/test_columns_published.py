"""Published hydrostatics: columns of mud, slurry and water, worked by our `Column`.

The rows stand in `loads_checks.csv` with source and provenance; the tolerance is theirs, the printed precision.

Most of these books multiply by a rounded constant: 0.052 psi/ft for each lb/gal, 0.006944 psi/ft for each lb/ft3. Each
such row is worked twice. With a fluid of exactly the book's gradient our column must give the printed number. With
the density taken at its word (1 lb/gal is 12/231 psi/ft) it must differ by the rounding of the constant, no more.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest
from scipy.optimize import brentq

from casingloads import Column, Fluid, Gas, column, column_through
from casingloads.constants import GRAVITY
from casingloads.pressure.columns import Liquid
from casingloads.units import DENSITY, GRADIENT, LENGTH, PRESSURE, shown, to_si

FOOT, PSI, POUND = 0.3048, 6894.757293168361, 0.45359237
PPG_BOOK = 0.052  # psi/ft for each lb/gal, as the books round it
PPG_EXACT = 12.0 / 231.0  # 1 gal is 231 in3: 0.0519481 psi/ft
PCF_BOOK = 0.006944  # psi/ft for each lb/ft3
PCF_EXACT = 1.0 / 144.0


def _read() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"]: row for row in csv.DictReader(lines)}


def _inputs(row: dict[str, str]) -> dict[str, str]:
    return dict(part.strip().split("=", 1) for part in row["inputs"].split(";"))


ROWS = _read()


def fluid(gradient: float) -> Fluid:
    """Return a liquid of a gradient in psi/ft."""
    return Fluid(name=f"{gradient:.6g} psi/ft", density=gradient * PSI / FOOT / GRAVITY)


def mud(density: str) -> Fluid:
    """Return a liquid of a density with its unit, as a well file has it."""
    return Fluid(name=density, density=to_si(density, DENSITY))


def psi_at(made: Column, depth_ft: float) -> float:
    return float(made.pressure(depth_ft * FOOT)) / PSI


def stacked(densities: str, heights: str, per_ppg: float) -> float:
    """Return the pressure [psi] under fluids [ppg] standing on each other [ft]."""
    fluids = [fluid(per_ppg * float(text)) for text in densities.split("|")]
    bottom = [float(text) for text in heights.split("|")]
    made, depth = column(fluids[0]), bottom[0]
    for below, height in zip(fluids[1:], bottom[1:], strict=True):
        made = made.over(below, contact=depth * FOOT)
        depth += height
    return psi_at(made, depth)


# One function a kind of row; `ppg` and `pcf` are the psi/ft that a unit of density is taken for.
Rule = Callable[[dict[str, str], float, float], float]


def one_mud(x: dict[str, str], ppg: float, pcf: float) -> float:
    if "rho_pcf" in x:
        return psi_at(column(fluid(float(x.get("k", pcf)) * float(x["rho_pcf"]))), float(x["tvd_ft"]))
    depth = float(x["tvd_ft"]) if "tvd_ft" in x else float(x["tvd_m"]) / FOOT
    return psi_at(column(fluid(ppg * float(x["rho_ppg"]))), depth)


def gradient(x: dict[str, str], ppg: float, pcf: float) -> float:
    made = fluid(ppg * float(x["rho_ppg"])) if "rho_ppg" in x else fluid(pcf * float(x["rho_pcf"]))
    return shown(made.gradient, GRADIENT, "field")


def three_fluids(x: dict[str, str], ppg: float, pcf: float) -> float:
    return stacked(x["rho_ppg"], x["height_ft"], ppg)


def outside_less_inside(x: dict[str, str], ppg: float, pcf: float) -> float:
    return stacked(x["rho_out"], x["h_out"], ppg) - stacked(x["rho_in"], x["h_in"], ppg)


def depth_for_pressure(x: dict[str, str], ppg: float, pcf: float) -> float:
    made, allowed = column(fluid(ppg * float(x["rho_ppg"]))), float(x["p_psi"]) / float(x["df"])
    return float(brentq(lambda depth: psi_at(made, depth) - allowed, 0.0, 30_000.0, xtol=1e-6))


def leak_off_less_new_mud(x: dict[str, str], ppg: float, pcf: float) -> float:
    """Return the surface pressure [psi] that breaks the shoe, once the mud is a heavier one."""
    shoe = float(x["shoe_tvd_ft"])
    broken = psi_at(column(fluid(ppg * float(x["mw_test"])), pressure=float(x["lot_psi"]) * PSI), shoe)
    new = Liquid(fluid(ppg * float(x["mw_now"])))
    return psi_at(column_through(new, depth=shoe * FOOT, pressure=broken * PSI), 0.0)


def formation_from_shut_in(x: dict[str, str], ppg: float, pcf: float) -> float:
    shut_in = column(fluid(ppg * float(x["mud_ppg"])), pressure=float(x["sidpp_psi"]) * PSI)
    return psi_at(shut_in, float(x["tvd_ft"]))


def kill_mud(x: dict[str, str], ppg: float, pcf: float) -> float:
    """Return the mud [ppg] whose column alone balances the formation."""
    depth, formation = float(x["tvd_ft"]), formation_from_shut_in(x, ppg, pcf)
    return float(brentq(lambda weight: psi_at(column(fluid(ppg * weight)), depth) - formation, 5.0, 30.0))


def formation_of_kick_factor(x: dict[str, str], ppg: float, pcf: float) -> float:
    return psi_at(column(fluid(ppg * (float(x["ktf_ppg"]) + float(x["mud_ppg"])))), float(x["tvd_ft"]))


RULES: dict[str, Rule] = {
    "hydro_psi": one_mud,
    "hydro_ppg_m_psi": one_mud,
    "hydro_pcf_psi": one_mud,
    "gradient_from_ppg": gradient,
    "gradient_from_pcf": gradient,
    "layered_psi": three_fluids,
    "layered_difference_psi": outside_less_inside,
    "depth_for_pressure_ft": depth_for_pressure,
    "masicp_psi": leak_off_less_new_mud,
    "formation_psi": formation_from_shut_in,
    "kill_mud_ppg": kill_mud,
    "kick_factor_formation_psi": formation_of_kick_factor,
}
BY_RULE = [
    *("L001", "L003", "L004", "L005", "L006", "L007", "L009", "L010", "L021", "L023"),
    *("L036", "L037", "L039", "L040", "L160"),
]
# Rows with tests of their own below. L027, L029 and L034 are columns too, and stand with the load case they belong to.
COVERED = {*BY_RULE, "L002", "L022", "L038", "L159", "L161"}


def _said(key: str) -> str:
    return f"{key} of {ROWS[key]['source']} ({ROWS[key]['provenance']})"


def _ids(key: str) -> str:
    return f"{key}-{ROWS[key]['provenance'].replace('from-memory', 'value-from-memory')}"


@pytest.mark.parametrize("key", BY_RULE, ids=_ids)
def test_printed_with_the_constant_of_the_book(key: str) -> None:
    row = ROWS[key]
    found = RULES[_inputs(row)["calc"]](_inputs(row), PPG_BOOK, PCF_BOOK)
    assert found == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), _said(key)


@pytest.mark.parametrize("key", BY_RULE, ids=_ids)
def test_exact_units_differ_by_the_rounding_of_the_constant(key: str) -> None:
    """Pressures are proportional to the constant: they come out 0.0999 % lower or, from lb/ft3, 0.0064 % higher."""
    x = _inputs(ROWS[key])
    rule = RULES[x["calc"]]
    book, exact = rule(x, PPG_BOOK, PCF_BOOK), rule(x, PPG_EXACT, PCF_EXACT)
    if "k" in x:
        ratio = 1.0  # L021 carries its own constant, all its digits kept
    elif "rho_pcf" in x:
        ratio = PCF_EXACT / PCF_BOOK
    else:
        ratio = PPG_EXACT / PPG_BOOK
    if key == "L023":  # a depth: the lighter column reaches deeper
        ratio = 1.0 / ratio
    fixed = {"L036": 1000.0, "L040": 450.0}.get(key, 0.0)  # surface pressure [psi], which no constant touches
    if key == "L039":
        assert exact == pytest.approx(12.0 + (book - 12.0) / ratio, rel=1e-12)
    else:
        assert exact - fixed == pytest.approx((book - fixed) * ratio, rel=1e-12)


def test_the_constant_is_a_thousandth_high() -> None:
    assert mud("10 ppg").gradient / 10.0 == pytest.approx(PPG_EXACT * PSI / FOOT, rel=1e-12)
    ratio = PPG_BOOK / PPG_EXACT
    assert ratio == pytest.approx(1.001, abs=1e-12)  # 0.052 x 231 / 12, no more and no less
    assert mud("90 pcf").gradient / 90.0 == pytest.approx(PCF_EXACT * PSI / FOOT, rel=1e-12)


def test_gradient_given_as_such() -> None:
    """L002: 0.624 psi/ft over 8500 ft; no constant comes into it."""
    row = ROWS["L002"]
    x = _inputs(row)
    depth = to_si(f"{x['tvd_ft']} ft", LENGTH)
    filled = column(Gas(to_si(f"{x['grad_psi_ft']} psi/ft", GRADIENT)))
    found = shown(float(filled.pressure(depth)), PRESSURE, "field")
    assert found == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), _said("L002")


def test_gradient_in_si() -> None:
    """L161: 0.465 psi/ft is 10500 Pa/m, printed to three digits."""
    row = ROWS["L161"]
    found = to_si(f"{_inputs(row)['g']} psi/ft", GRADIENT)
    assert row["tolerance"] == "0.5%"
    assert found == pytest.approx(float(row["expected"]), rel=0.005), _said("L161")


def test_pressure_at_the_depth_limit() -> None:
    """L022 with L023: at the depth limit of an empty pipe the mud outside presses with rating over design factor."""
    limit, pressure = ROWS["L023"], ROWS["L022"]
    outside = column(fluid(PPG_BOOK * float(_inputs(limit)["rho_ppg"])))
    found = psi_at(outside, float(limit["expected"]))
    assert found == pytest.approx(float(pressure["expected"]), rel=0.0, abs=float(pressure["tolerance"])), _said("L022")


def test_kick_factor_at_the_surface() -> None:
    """L038: what is left at the surface of the formation pressure of L037 under 9.8 ppg mud."""
    deep, row = _inputs(ROWS["L037"]), ROWS["L038"]
    formation = formation_of_kick_factor(deep, PPG_BOOK, PCF_BOOK)
    made = column_through(
        Liquid(fluid(PPG_BOOK * float(deep["mud_ppg"]))), depth=float(deep["tvd_ft"]) * FOOT, pressure=formation * PSI
    )
    assert deep["tvd_ft"] == _inputs(row)["tvd_ft"]
    assert psi_at(made, 0.0) == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), _said(
        "L038"
    )


def test_riser_margin_disagrees_with_its_printed_inputs() -> None:
    """L159: 9.2 ppg mud, 8.6 ppg sea water, 8000 ft of riser in 8000 ft of water, 13000 ft deep; printed 1.2 ppg.

    Without the riser, sea water over a mud heavier by the margin must press at 13000 ft as the mud with riser did. As
    printed the inputs (no air gap) balance at a margin of 0.96 ppg; 1.2 ppg would overbalance by 62 psi.
    """
    row = ROWS["L159"]
    x = {name: float(value) for name, value in _inputs(row).items() if name != "calc"}
    assert x["riser_ft"] == x["water_ft"]
    with_riser = psi_at(column(fluid(PPG_BOOK * x["mud_ppg"])), x["tvd_ft"])
    sea = column(fluid(PPG_BOOK * x["sw_ppg"]))

    def without(margin: float) -> float:
        below = fluid(PPG_BOOK * (x["mud_ppg"] + margin))
        return psi_at(sea.over(below, contact=x["water_ft"] * FOOT), x["tvd_ft"])

    balanced = float(brentq(lambda margin: without(margin) - with_riser, 0.0, 5.0))
    assert abs(balanced - float(row["expected"])) > float(row["tolerance"]), _said("L159")
    assert balanced == pytest.approx((9.2 - 8.6) * 8000.0 / 5000.0, abs=1e-9)  # 0.96 ppg
    assert without(1.2) - with_riser == pytest.approx(0.052 * (1.2 - 0.96) * 5000.0, abs=1e-6)  # 62.4 psi


def test_rows_named_here_are_in_the_table() -> None:
    assert set(ROWS) >= COVERED
    assert {_inputs(ROWS[key])["calc"] for key in BY_RULE} == set(RULES)
