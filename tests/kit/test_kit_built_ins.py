"""Every built-in load case, strength model and the standard catalog pass the kit that strangers are asked to pass."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

import casingloads as cl
from casingloads.testing import WELLS, BoundCheck, Examples, checks_of, parametrize_with_checks, run_checks

PLUGINS = cl.load_plugins()


def bed(scene: cl.Scene) -> Mapping[str, object]:
    """A creeping bed in the lower part of the string, below the shoe of the one before."""
    length = scene.string.shoe - scene.string.top
    return {"top": f"{scene.string.shoe - 0.3 * length} m", "bottom": f"{scene.string.shoe - 0.1 * length} m"}


PARAMETERS: dict[str, Examples] = {
    "kick-circulated-out": {"kick_intensity": "0.05 sg", "gas_gravity": 0.65, "spacing": "1000 m"},
    "mobile-formation": bed,
    "wellhead-load": {"weight": "500 kN", "inner_strings": "500 kN"},
    "heat-up-and-quench": {
        "wellhead_pressure": "2 MPa",
        "reservoir_pressure": "8 MPa",
        "shut_in": "steam over hot water",
        "quench_temperature": "cold",
    },
    "heat-through-inner-string": {"cold_temperature": "cold"},
    "rupture": {"imperfection": "5 %", "burst_strength_factor": 2.0},
    "ultimate": {"ovality": "0.2 %", "eccentricity": "3 %", "residual_stress": "100 MPa", "curve_term": 0.017},
    "ultimate-design": {"elastic_factor": 0.825, "yield_factor": 0.855, "decrement": 0.2},
}
"""By name of the load case or strength model."""

FEWER = {"kick-circulated-out": ("drilling", "deviated", "very-deep", "bare")}  # it is slow


@pytest.mark.parametrize("name", sorted(PLUGINS.cases))
def test_every_built_in_load_case_conforms(name: str) -> None:
    wells = [well for well in WELLS if well.name in FEWER.get(name, (well.name,))]
    findings = run_checks(PLUGINS.cases[name], parameters=PARAMETERS.get(name), wells=wells)
    assert not findings, "\n".join(map(str, findings))


def test_the_example_of_the_readme_conforms() -> None:
    file = Path(__file__).parents[2] / "examples" / "swabbed_gas.py"
    case = cl.load_plugins(file, installed=False).cases["swabbed-gas"]
    findings = run_checks(case, parameters={"influx_height": "150 m"})
    assert not findings, "\n".join(map(str, findings))


@parametrize_with_checks([*PLUGINS.models.values(), cl.standard_catalog()], parameters=PARAMETERS)
def test_every_built_in_strength_model_and_the_standard_catalog_conform(check: BoundCheck) -> None:
    check()


@parametrize_with_checks([PLUGINS.cases["evacuation"]], wells=WELLS[:2])
def test_rules_are_tests_of_their_own(check: BoundCheck) -> None:
    check()


def test_ids_name_case_rule_and_well() -> None:
    ids = [check.id for check in checks_of(PLUGINS.cases["evacuation"])]
    assert len(set(ids)) == len(ids)
    assert {"evacuation-finite_profiles-subsea", "evacuation-source", "evacuation-runs_somewhere"} <= set(ids)


def test_every_rule_says_what_it_demands() -> None:
    from casingloads.testing import kit

    rules = (*kit.STATIC_RULES, *kit.CASE_RULES, *kit.WELL_RULES, *kit.MODEL_RULES, *kit.CATALOG_RULES)
    assert len(rules) >= 50
    assert all((rule.__doc__ or "").strip() for rule in rules)


def test_the_wells_of_the_kit_are_of_every_kind() -> None:
    wells = {well.name: well.well() for well in WELLS}
    assert {well.wellhead for well in wells.values()} == {"ground", "deck", "sea floor"}
    assert wells["tie-back"].string("tie-back").tie_back_to == "liner"
    assert wells["one-joint"].strings[0].length < 13.0
    assert wells["very-deep"].strings[0].shoe == 10000.0
    assert wells["bare"].earth == cl.Earth()
    assert len(wells["tapered"].string("production").sections) == 3
    assert float(wells["deviated"].path.tvd(3000.0)) < 2900.0
    assert not wells["uncemented"].string("production").cement


def test_the_kit_does_not_import_pytest_by_itself() -> None:
    code = "import sys, casingloads.testing; sys.exit('pytest' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
