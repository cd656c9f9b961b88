"""Rows of `loads_checks.csv` on a liquid that is heated in a closed steel pipe.

The formula is ``dp/dT = (beta - 3 alpha) / (kappa + D / (E t))``: a thin pipe free to grow also along its axis, whose
wall only the hoop stress stretches. An annulus keeps its length, so here the third alpha is taken off the liquid's
expansion; the pipe has no Poisson effect, and D is its mean diameter (with the bore the second row would be 0.6 %
lower). A needle of no volume stands in for the inner pipe.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from casingloads.annuli.buildup import TrappedAnnulus, Wall, build_up
from casingloads.annuli.expansion import ConstantExpansion
from casingloads.well import Steel


def _rows() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"]: row for row in csv.DictReader(lines)}


def _inputs(row: dict[str, str]) -> dict[str, str]:
    return dict(part.strip().split("=", 1) for part in row["inputs"].split(";"))


ROWS = {key: row for key, row in _rows().items() if _inputs(row)["calc"] == "trapped_liquid_mpa_per_c"}


def bore(diameter_over_wall: float, beta: float, alpha: float, kappa: float) -> TrappedAnnulus:
    """A pipe of 0.2 m mean diameter, 1 m long and lying, its liquid 1 K warmer. No D/t: pressure does not move it."""
    wall = 0.2 / diameter_over_wall if diameter_over_wall else 0.002
    return TrappedAnnulus(
        name="pipe",
        md=np.array([0.0, 1.0]),
        tvd=np.zeros(2),
        inner=Wall(
            pipe="needle",
            inside_radius=5e-7,
            outside_radius=1e-6,
            moves_with_pressure=False,
            moves_with_heat=False,
        ),
        outer=Wall(
            pipe="pipe",
            inside_radius=0.1 - wall / 2.0,
            outside_radius=0.1 + wall / 2.0,
            far_change=0.0,
            held=False,
            moves_with_pressure=diameter_over_wall > 0.0,
        ),
        pressure_then=np.zeros(2),
        temperature_then=np.full(2, 293.15),
        temperature_now=np.full(2, 294.15),
        fluid=ConstantExpansion(
            reference_density=998.0,
            expansion=beta - alpha,
            compressibility=kappa,
            reference_pressure=101325.0,
            reference_temperature=293.15,
        ),
    )


def test_no_row_is_left_out() -> None:
    assert set(ROWS) == {"L135", "L137"}


@pytest.mark.parametrize("key", [pytest.param(key, id=f"{key}-{row['provenance']}") for key, row in ROWS.items()])
def test_printed_value(key: str) -> None:
    row = ROWS[key]
    given = {name: float(value) for name, value in _inputs(row).items() if name != "calc"}
    alpha, kappa = given["alpha_v_wall"] / 3.0, given["comp_per_mpa"] / 1e6
    steel = Steel(modulus=given["E_mpa"] * 1e6, poisson=0.0, expansion=alpha)
    (pipe,) = build_up([bore(given["d_over_t"], given["beta_f"], alpha, kappa)], steel)
    said = f"{key} of {row['source']} ({row['provenance']})"
    assert pipe.rise / 1e6 == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), said
