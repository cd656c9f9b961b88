"""Connections in a check: rated by the standard, by a user's file, or not at all; what governs then."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import casingloads as cl
from casingloads.connections import standard_connection
from casingloads.output.table import design_factor_table
from casingloads.result import Result
from casingloads.row import Row
from casingloads.strength import check as strength_check

PSI = 0.45359237 * 9.80665 / 0.0254**2
LBF = 0.45359237 * 9.80665
WELL = (Path(__file__).parent / "wells" / "check-well-1.toml").read_text(encoding="utf-8")
IN_FULL = '{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80000 psi", to = "shoe" }'


def checked(tmp_path: Path, section: str, *, catalog: str = "") -> Result:
    """Return check well 1 with another section, and the user's connections."""
    text = WELL.replace(IN_FULL, section)
    assert text != WELL
    if catalog:
        (tmp_path / "yard.toml").write_text(catalog, encoding="utf-8")
        text = 'catalogs = ["yard.toml"]\n' + text
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    return cl.check(cl.read_well(file))


def row(result: Result, case: str, mode: str) -> Row:
    return next(r for r in result.rows if r.case == case and r.mode == mode and r.step in ("landed", "test", "empty"))


LTC = '{ pipe = "9-5/8 in 47 lb/ft N80", connection = "LTC", to = "shoe" }'


def test_the_standards_joint_governs_tension_where_it_is_weaker(tmp_path: Path) -> None:
    """LTC on 9-5/8 in 47 lb/ft N80: joint strength 905,000 lbf (rating tables, value from memory), body 1,086,000."""
    found = row(checked(tmp_path, LTC), "running", "tension")
    assert found.governs == "connection"
    assert found.rating is not None
    assert round(found.rating / LBF, -3) == 905_000
    assert found.load == pytest.approx(399_494 * LBF, rel=1e-5)


def test_the_body_governs_burst_where_coupling_and_leak_are_stronger(tmp_path: Path) -> None:
    """N80: body 6,870 psi below coupling yield and leak, 8,460 psi (rating tables, value from memory)."""
    found = row(checked(tmp_path, LTC), "pressure-test", "burst")
    assert found.governs == "body"
    assert found.rating == pytest.approx(6865.5 * PSI, rel=1e-4)


def test_an_unrated_mode_is_not_evaluated_only_where_there_is_a_load(tmp_path: Path) -> None:
    result = checked(tmp_path, LTC)
    assert row(result, "evacuation", "collapse").status == "below"  # the body alone is below: so is the row
    found = row(result, "evacuation", "compression")
    assert found.status == "not-evaluated"
    assert "'9-5/8 in LTC' has no compression rating" in found.reason
    assert row(result, "pressure-test", "collapse").status == "no-load"


def test_accepted_as_the_body_by_mode(tmp_path: Path) -> None:
    accepted = '{ compression = "buttressed by cement", triaxial = "tension and burst are checked" }'
    section = LTC.replace('"LTC",', f'"LTC", connection_as_body = {accepted},')
    result = checked(tmp_path, section)
    assert row(result, "evacuation", "compression").status == "meets"
    assert any("in compression: buttressed by cement" in text for text in result.assumptions)
    assert row(result, "running", "tension").governs == "connection"  # still rated where it is not accepted


def test_bending_takes_from_a_round_thread_joint() -> None:
    """5-1/2 in 23 lb/ft Q125: with Y near U the pipe breaks before the pin is pulled out, and bending counts."""
    straight, bent = np.array([0.0]), np.array([20 * np.pi / 180 / 30.48])
    joint = standard_connection(
        "LTC",
        outside_diameter=0.1397,
        wall=0.010541,
        weight=34.23,
        yield_strength=125e3 * PSI,
        tensile_strength=135e3 * PSI,
    )
    tube = strength_check.Tube(
        outside_diameter=np.array([0.1397]), wall=np.array([0.010541]), wall_factor=np.array([0.875]),
        specified_yield=np.array([125e3 * PSI]),
    )  # fmt: skip
    loading = strength_check.Loading(
        internal_pressure=np.zeros(1), external_pressure=np.zeros(1), axial_force=np.array([1e6]),
        bending_stress=np.zeros(1),
    )  # fmt: skip
    outcomes = [joint.check("tension", tube, loading, curve) for curve in (straight, bent)]
    assert outcomes[0] is not None
    assert outcomes[1] is not None
    assert outcomes[1].capacity[0] < outcomes[0].capacity[0]
    assert joint.check("collapse", tube, loading, straight) is None


YARD = """
[[connections]]
name = "Yard Lock"
source = "data sheet 7, revision C"
od = "9-5/8 in"
wall = "0.472 in"
tension = "90 %"
compression = "400 klbf"
internal_pressure = "6000 psi"
external_pressure = "100 %"
[connections.envelope]
axial = ["900 klbf", "900 klbf", "0 klbf", "-400 klbf", "-400 klbf", "0 klbf"]
pressure = ["0 psi", "5000 psi", "6000 psi", "3000 psi", "0 psi", "-4000 psi"]
"""
OWN = '{ pipe = "9-5/8 in 47 lb/ft N80", connection = "Yard Lock", to = "shoe" }'


def test_a_makers_ratings_are_used_in_every_mode(tmp_path: Path) -> None:
    result = checked(tmp_path, OWN, catalog=YARD)
    tension = row(result, "running", "tension")
    assert tension.governs == "connection"
    assert tension.rating == pytest.approx(0.9 * 1_085_789 * LBF, rel=1e-5)
    burst = row(result, "pressure-test", "burst")
    assert burst.governs == "connection"
    assert burst.rating == pytest.approx(6000 * PSI)
    compression = row(result, "evacuation", "compression")
    assert compression.governs == "connection"
    assert compression.rating == pytest.approx(400e3 * LBF)
    assert compression.factor == pytest.approx(400_000 / 290_062, rel=1e-4)
    combined = row(result, "pressure-test", "triaxial")
    assert combined.status in ("meets", "below")
    assert not any(r.status == "not-evaluated" for r in result.rows)


def test_the_envelope_by_hand(tmp_path: Path) -> None:
    """At the top in the pressure test 489,367 lbf and 5000 psi: the edge (900, 5000)-(0, 6000) is met at a share of
    489.4/x + 5000/y along dp = 6000 - F/0.9: (5000 + 489.367/0.9) / 6000 = 0.9240; factor 1.0823."""
    result = checked(tmp_path, OWN, catalog=YARD)
    combined = row(result, "pressure-test", "triaxial")
    assert combined.governs == "connection"
    assert combined.factor == pytest.approx(6000 / (5000 + 489.367 / 0.9), rel=1e-4)
    assert combined.md == pytest.approx(0.0)


def test_the_table_says_that_the_connection_governs(tmp_path: Path) -> None:
    table = design_factor_table(checked(tmp_path, LTC), "field")
    assert "gas-to-surface, full of gas (connection)" in table
    only_pipe = design_factor_table(cl.check(cl.read_well(Path(__file__).parent / "wells" / "check-well-1.toml")))
    assert "(connection)" not in only_pipe


def test_the_working_of_the_connection_is_shown(tmp_path: Path) -> None:
    told = checked(tmp_path, LTC).explain("intermediate", "running", "tension")
    assert "of the connection" in told.title
    assert any(item.symbol == "F_j" for _, items in told.parts for item in items)
    assert "pull-out of the pin" in told.text()


def test_profile_shows_the_connections_ratings(tmp_path: Path) -> None:
    profile = checked(tmp_path, LTC).profile("intermediate", "running", "landed")
    assert round(float(profile["tension_connection_rating_n"].iloc[0]) / LBF, -3) == 905_000
    assert "collapse_connection_rating_pa" not in profile


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('name = "Yard Lock"', ""), "connections[1].name: missing"),
        (('tension = "90 %"', "tension = 0.9"), "0.9 is not text with a unit"),
        (('tension = "90 %"', 'tension = "90 MPa"'), "is a pressure"),
        (('tension = "90 %"', 'tention = "90 %"'), "did you mean 'tension'?"),
        (('"900 klbf", "900 klbf", "0 klbf"', '"-10 klbf", "900 klbf", "0 klbf"'), "without a dent"),
        (('axial = ["900 klbf", ', "axial = ["), "as many values of axial as of pressure"),
        (("[[connections]]", "[[conections]]"), "need tables [[connections]] or [derating.NAME]"),
    ],
)
def test_faults_of_a_connection_file(change: tuple[str, str], message: str, tmp_path: Path) -> None:
    assert change[0] in YARD
    with pytest.raises(cl.InputError) as fault:
        checked(tmp_path, OWN, catalog=YARD.replace(*change))
    assert message in str(fault.value)


def test_rated_for_other_pipe_or_in_no_catalog_is_not_evaluated(tmp_path: Path) -> None:
    other = checked(tmp_path, OWN.replace("47 lb/ft", "53.5 lb/ft"), catalog=YARD)
    assert "rated for other pipe" in row(other, "running", "tension").reason
    unknown = checked(tmp_path, OWN.replace("Yard Lock", "Farm Lock"), catalog=YARD)
    assert "'Farm Lock' has no tension rating (in no catalog)" in row(unknown, "running", "tension").reason
    assert unknown.verdict == "below"  # the body fails elsewhere; nothing of it is a pass
