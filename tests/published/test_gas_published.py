"""Published values of natural gas: pseudo-critical properties, compressibility, density, a dry gas column.

The rows stand in `loads_checks.csv` with source and provenance; tolerances are the printed precision.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from casingloads.constants import ATMOSPHERE, GAS_CONSTANT, MOLAR_MASS_AIR
from casingloads.pressure.compressible import integrate_column
from casingloads.pressure.gas import (
    gas_density,
    hall_yarborough_coefficients,
    sutton_pseudocritical,
    z_dranchuk_abou_kassem,
    z_hall_yarborough,
)

FOOT, PSI, POUND = 0.3048, 6894.757293168361, 0.45359237
RANKINE = 5.0 / 9.0
LB_FT3 = POUND / FOOT**3
CALCS = ("gas_bottom_psia", "sutton_ppc", "sutton_tpc", "hy_a", "hy_b", "z_hy", "z_dak", "gas_density_pcf")


def _read() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"]: row for row in csv.DictReader(lines)}


def _inputs(row: dict[str, str]) -> dict[str, str]:
    return dict(part.strip().split("=", 1) for part in row["inputs"].split(";"))


ROWS = {key: row for key, row in _read().items() if _inputs(row)["calc"] in CALCS}

# Rows that the equations, worked exactly, do not give: ours, and why. Each is checked to differ.
DISAGREES = {
    "L052": (
        0.8362286,
        "the example stops at a trial Y with residual -0.000223; the converged z, in the file's column "
        "`reproduced`, is 0.3 % lower",
    ),
    "L053": (
        2000 * 0.7 * 28.9647 / (0.838419 * 10.731577 * 660),
        "the sheet rounds R to 10.73 psia ft3/(lbmol degR) and the molar mass of air to 28.97 (0.04 %); "
        "with them the printed digits come out, as tested below",
    ),
}


def _cases(keys: list[str]) -> list[object]:
    return [
        pytest.param(key, id=f"{key}-{ROWS[key]['provenance'].replace('from-memory', 'value-from-memory')}")
        for key in keys
    ]


def _said(key: str) -> str:
    return f"{key} of {ROWS[key]['source']} ({ROWS[key]['provenance']})"


def _dry_gas_column(top_psia: float, gravity: float, depth_ft: float, rankine: float) -> float:
    bottom = integrate_column(
        lambda p, T: gas_density(p, T, gravity, z=1.0),
        lambda z: np.full_like(z, rankine * RANKINE),
        anchor_tvd=0.0,
        anchor_pressure=top_psia * PSI - ATMOSPHERE,
        tvd=depth_ft * FOOT,
    )
    return float(bottom + ATMOSPHERE) / PSI


def _computed(inputs: dict[str, str]) -> float:
    calc = inputs["calc"]
    x = {name: float(value) for name, value in inputs.items() if name != "calc"}
    match calc:
        case "gas_bottom_psia":
            return _dry_gas_column(x["p_top_psia"], x["sg"], x["depth_ft"], x["t_r"])
        case "sutton_ppc":
            return float(sutton_pseudocritical(x["sg"])[0]) / PSI
        case "sutton_tpc":
            return float(sutton_pseudocritical(x["sg"])[1]) / RANKINE
        case "hy_a":
            return float(hall_yarborough_coefficients(x["tpr"])[0])
        case "hy_b":
            return float(hall_yarborough_coefficients(x["tpr"])[1])
        case "z_hy":
            return float(z_hall_yarborough(x["ppr"], x["tpr"]))
        case "z_dak":
            return float(z_dranchuk_abou_kassem(x["ppr"], x["tpr"]))
        case "gas_density_pcf":
            return float(gas_density(x["p_psia"] * PSI, x["t_r"] * RANKINE, x["sg"], z=x["z"])) / LB_FT3
    raise AssertionError(f"no way to work {calc}")


def test_no_row_is_left_out() -> None:
    assert {key for key in _read() if "L047" <= key <= "L081"} == set(ROWS)
    assert set(DISAGREES) <= set(ROWS)
    assert len(ROWS) == 30


@pytest.mark.parametrize("key", _cases([key for key in ROWS if key not in DISAGREES]))
def test_printed_value(key: str) -> None:
    row = ROWS[key]
    found = _computed(_inputs(row))
    assert found == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), _said(key)


@pytest.mark.parametrize("key", _cases(list(DISAGREES)))
def test_disagreement_is_as_stated(key: str) -> None:
    row, (ours, reason) = ROWS[key], DISAGREES[key]
    found = _computed(_inputs(row))
    assert abs(found - float(row["expected"])) > float(row["tolerance"]), _said(key)
    assert found == pytest.approx(ours, rel=1e-6), reason


def test_printed_density_with_the_rounded_constants_of_its_sheet() -> None:
    exact_r = GAS_CONSTANT / PSI / FOOT**3 * POUND * 1e3 * RANKINE  # psia ft3/(lbmol degR)
    assert exact_r == pytest.approx(10.7316, abs=5e-5)
    rounding = (28.97 / (MOLAR_MASS_AIR * 1e3)) * (exact_r / 10.73)
    row = ROWS["L053"]
    found = _computed(_inputs(row)) * rounding
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), _said("L053")


def test_unconverged_trial_of_the_sheet_leaves_its_printed_residual() -> None:
    """The printed z of L052 belongs to a reduced density Y = A ppr / z that does not solve the equation."""
    inputs = _inputs(ROWS["L052"])
    ppr, tpr = float(inputs["ppr"]), float(inputs["tpr"])
    A, B, C, D = (float(value) for value in hall_yarborough_coefficients(tpr))
    y = A * ppr / float(ROWS["L052"]["expected"])
    residual = (y + y**2 + y**3 - y**4) / (1.0 - y) ** 3 - A * ppr - B * y**2 + C * y**D
    assert residual == pytest.approx(-0.000223, abs=1e-6)
