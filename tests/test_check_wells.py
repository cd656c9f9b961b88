"""Two wells worked through by independent arithmetic, compared to the printed digits.

Source: our own plain arithmetic, not published; it fixes what the words mean. Line weight is the nominal weight,
buckling is left out, floats take the end force at the shoe. Every number of both wells is compared.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import casingloads as cl
from casingloads.axial.hanging import effective_force
from casingloads.constants import GRAVITY
from casingloads.evaluate import evaluate

WELLS = Path(__file__).parent / "wells"
PSI = 0.45359237 * GRAVITY / 0.0254**2
LBF = 0.45359237 * GRAVITY
UNITS = {"1": (0.3048, PSI, LBF), "2": (1.0, 1e6, 1e3)}  # depth, pressure, force
FILES = {"1": "check-well-1.toml", "2": "check-well-2.toml"}


def rows() -> list[dict[str, str]]:
    with (WELLS / "check_wells.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@cache
def result(well: str, wall: str) -> cl.Result:
    read = cl.read_well(WELLS / FILES[well])
    strings = tuple(replace(string, triaxial_wall=wall) for string in read.strings)  # type: ignore[arg-type]
    return cl.check(replace(read, strings=strings))


def at(row: dict[str, str], wall: str = "minimum") -> pd.Series[float]:
    """Return the profile at the row's depth; of two sides the upper one."""
    found = result(row["well"], wall)
    profile = found.profile(found.well.strings[0].name, row["case"], row["step"])
    depth = float(row["depth"]) * UNITS[row["well"]][0]
    near = profile[np.abs(profile["md_m"] - depth) < 0.2]
    assert len(near) >= 1, f"no place at {depth} m"
    first: pd.Series[float] = near.iloc[0]
    return first


def printed(text: str) -> float:
    """Return half a unit of the last printed digit, with a hair for the rounding itself."""
    digits = len(text.partition(".")[2])
    return 0.5001 * 10.0**-digits


def ids(row: dict[str, str]) -> str:
    return f"well{row['well']}-{row['case']}-{row['step']}-{row['depth']}".replace(" ", "_")


def test_all_rows_are_here() -> None:
    assert len(rows()) == 34


@pytest.mark.parametrize("row", rows(), ids=ids)
def test_pressures_and_force(row: dict[str, str]) -> None:
    _, pressure, force = UNITS[row["well"]]
    place = at(row)
    assert place["p_inside_pa"] / pressure == pytest.approx(float(row["p_inside"]), abs=printed(row["p_inside"]))
    assert place["p_outside_pa"] / pressure == pytest.approx(float(row["p_outside"]), abs=printed(row["p_outside"]))
    assert place["true_force_n"] / force == pytest.approx(float(row["true_force"]), abs=printed(row["true_force"]))


@pytest.mark.parametrize("row", rows(), ids=ids)
def test_rating_and_factors(row: dict[str, str]) -> None:
    _, pressure, _ = UNITS[row["well"]]
    place = at(row)
    rating = place["collapse_rating_pa"] / pressure
    assert rating == pytest.approx(float(row["collapse_rating"]), abs=printed(row["collapse_rating"]))
    assert_factor(place["burst_factor"], row["burst"])
    assert_factor(place["collapse_factor"], row["collapse"])
    axial = place["tension_factor"] if place["true_force_n"] > 0.0 else place["compression_factor"]
    assert_factor(axial, row["axial"])
    assert_factor(place["triaxial_factor"], row["triaxial_minimum_wall"])
    assert_factor(at(row, "nominal")["triaxial_factor"], row["triaxial_nominal_wall"])


def assert_factor(found: float, expected: str) -> None:
    if expected == "-":
        assert pd.isna(found)
    else:
        assert found == pytest.approx(float(expected), abs=printed(expected))


@pytest.mark.parametrize(
    ("case", "step", "change"),
    [
        ("pressure-test", "test", 177_562),
        ("gas-to-surface", "full of gas", 196_518),
        ("lost-returns", "level fallen", -47_717),
        ("evacuation", "empty", -55_344),
    ],
)
def test_force_change_above_cement(case: str, step: str, change: float) -> None:
    profile = result("1", "minimum").profile("intermediate", case, step)
    free = profile[profile["md_m"] < 6000 * 0.3048 - 1.0]
    terms = free["force_ballooning_n"] + free["force_temperature_n"] + free["force_area_steps_n"]
    assert np.asarray(terms) / LBF == pytest.approx(change, abs=0.5001)


def test_heating_along_the_whole_string() -> None:
    """Heating by 100 degF, pressures as cemented inside, mud outside: force change -280,948 lbf."""
    well = cl.read_well(WELLS / FILES["1"])
    scene = cl.Scene(well, "intermediate")
    state = scene.state(
        inside=scene.cemented_state().inside,
        outside=scene.outside_as_run(),
        temperature=scene.temperature_as_set().plus(100.0 / 1.8),
    )
    found = evaluate(well, scene.string, state, result("1", "minimum").models["intermediate"])
    change = (found.axial.true - found.axial.terms["as cemented"]) / LBF
    assert change[0] == pytest.approx(-280_948, abs=0.5001)


def test_ratings_without_load() -> None:
    inch, ksi = 0.0254, 1000 * PSI
    one, two = (9.625 * inch, 0.472 * inch, 80 * ksi), (20 * inch, 0.635 * inch, 56 * ksi)
    assert cl.strength.internal_yield_pressure(*one) / PSI == pytest.approx(6865.5, abs=0.05)
    assert cl.strength.axial_yield_force(*one) / LBF == pytest.approx(1_085_789, abs=0.5001)
    assert cl.strength.collapse_pressure(*one) / PSI == pytest.approx(4754.0, abs=0.05)
    assert cl.strength.internal_yield_pressure(*two) / 1e6 == pytest.approx(21.4530, abs=5.001e-5)
    assert cl.strength.axial_yield_force(*two) / 1e3 == pytest.approx(9623.1, abs=0.05)
    assert cl.strength.collapse_pressure(*two) / 1e6 == pytest.approx(10.3752, abs=5.001e-5)


def test_numbers_told_on_the_way() -> None:
    """Well 1: 8,363.6 psi at 14,000 ft, 7,963.6 at the shoe against fracture 7,792.2; level 3,966.7 ft.

    Well 2: mud column with riser at the sea floor 17.9717 MPa, after riser loss 16.4850; thief 26.2622 MPa,
    level 165.45 m.
    """
    one, two = result("1", "minimum").well, result("2", "minimum").well
    fluids = one.fluids
    at_td = fluids["mud 10.0"].gradient * 1.15 * 14_000 * 0.3048
    assert at_td / PSI == pytest.approx(8363.6, abs=0.05)
    assert (at_td / PSI) - 0.1 * 4000 == pytest.approx(7963.6, abs=0.05)
    assert float(one.earth.fracture(3048.0)) / PSI == pytest.approx(7792.2, abs=0.05)  # type: ignore[misc]
    remarks = " ".join(text.text("field") for text in result("1", "minimum").remarks)
    assert "7792 psi" in remarks
    assert "3966.7 ft" in remarks
    assert float(two.earth.pore_pressure(2600.0)) / 1e6 == pytest.approx(26.2622, abs=5e-5)  # type: ignore[misc]
    assert "165.45 m" in " ".join(text.text("metric") for text in result("2", "minimum").remarks)


def test_floating_off_goes_by_the_effective_force() -> None:
    """The 25 kN printed for well 2 are the true force just below the wellhead, and agree.

    What the rig would have to lose before the string floats is its buoyed weight, the effective force there:
    weight in air plus sea water inside less slurry displaced, worked here by hand. The two differ by the sea's
    pressure on the steel, p A_s. We report the larger number as the margin, with the true force beside it.
    """
    loads = result("2", "minimum").hook_loads.set_index("moment").loc["end of cementing, bled off"]
    assert loads["true_force_at_top_n"] == pytest.approx(25_000, abs=5)
    length, outer, bore = 584.0, np.pi / 4 * 0.508**2, np.pi / 4 * (0.508 - 2 * 0.635 * 0.0254) ** 2
    in_air = 133 * 0.45359237 / 0.3048 * GRAVITY * length
    buoyed = in_air + 1025 * GRAVITY * bore * length - 1500 * GRAVITY * outer * length
    assert loads["effective_force_at_top_n"] == pytest.approx(buoyed, rel=1e-9)
    found = result("2", "minimum").evaluation("surface", "cementing")
    assert effective_force(found.axial.true, found.now.inside, found.now.outside, found.body)[0] == pytest.approx(
        buoyed
    )
