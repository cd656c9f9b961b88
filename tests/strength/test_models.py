"""Strength models: what they ask of the pipe, what it bears, and that the working is the calculation itself."""

from __future__ import annotations

import numpy as np
import pytest

from casingloads import strength
from casingloads.strength.check import SMALL_PRESSURE, Check, Loading, Tube
from casingloads.strength.models import DEFAULT_MODELS, casingloads_strength_models

PSI = 0.45359237 * 9.80665 / 0.0254**2
LBF = 0.45359237 * 9.80665
MODELS = {(model.mode, model.name): model for model in casingloads_strength_models()}
# 9-5/8 in 53.5 lb/ft P110
OD, WALL, YIELD = 9.625 * 0.0254, 0.545 * 0.0254, 110e3 * PSI


def check(
    mode: str, name: str, *, inside: float = 0.0, outside: float = 0.0, force: float = 0.0, bending: float = 0.0,
    wall: str = "minimum",
) -> Check:  # fmt: skip
    tube = Tube(
        outside_diameter=np.array([OD]),
        wall=np.array([WALL]),
        wall_factor=np.array([0.875]),
        yield_strength=np.array([YIELD]),
    )
    loading = Loading(
        internal_pressure=np.array([inside]),
        external_pressure=np.array([outside]),
        axial_force=np.array([force]),
        bending_stress=np.array([bending]),
        triaxial_wall=wall,  # type: ignore[arg-type]
    )
    return MODELS[mode, name].check(tube, loading)  # type: ignore[index]


def value(outcome: Check, symbol: str) -> float:
    return float(next(line.value[0] for line in outcome.working if line.symbol == symbol))


def test_defaults_exist_and_every_model_states_its_source() -> None:
    assert set(DEFAULT_MODELS.items()) <= set(MODELS)
    assert all(model.source for model in MODELS.values())


def test_burst_resists_the_difference_and_wants_a_load() -> None:
    outcome = check("burst", "internal-yield", inside=50e6, outside=20e6)
    assert outcome.demand[0] == pytest.approx(30e6)
    assert outcome.capacity[0] / PSI == pytest.approx(10900, abs=5)  # rating table, to 10 psi; value from memory
    assert outcome.factor[0] == pytest.approx(outcome.capacity[0] / 30e6)
    assert not check("burst", "internal-yield", inside=20e6, outside=20e6 - SMALL_PRESSURE / 2).loaded[0]
    assert not check("burst", "internal-yield", inside=20e6, outside=50e6).loaded[0]


@pytest.mark.parametrize(("end", "psi"), [("open", 10832.3), ("capped", 11934.8), ("fixed", 11716.2)])
def test_thick_wall_burst_by_name(end: str, psi: float) -> None:
    """Own points, not published (nu 0.28 with fixed ends)."""
    assert check("burst", f"thick-wall-{end}", inside=50e6).capacity[0] / PSI == pytest.approx(psi, abs=0.05)


def test_collapse_current_form_has_the_inside_pressure_in_the_yield() -> None:
    """Own point, not published: 800 kip and 3000 psi inside leave 6188.8 psi against the difference."""
    outcome = check("collapse", "four-regime", inside=3000 * PSI, outside=9000 * PSI, force=800e3 * LBF)
    assert outcome.capacity[0] / PSI == pytest.approx(6188.8, abs=0.05)
    assert outcome.demand[0] / PSI == pytest.approx(6000.0)


def test_collapse_older_form_has_its_own_load_and_never_both() -> None:
    """Own points, not published: 6339.5 psi at 800 kip whatever is inside; p_e of 9000 over 3000 psi is 6339.7 psi."""
    outcome = check(
        "collapse", "four-regime-equivalent-pressure", inside=3000 * PSI, outside=9000 * PSI, force=800e3 * LBF
    )
    assert outcome.capacity[0] / PSI == pytest.approx(6339.5, abs=0.05)
    assert outcome.demand[0] / PSI == pytest.approx(6339.7, abs=0.05)
    empty = check("collapse", "four-regime-equivalent-pressure", outside=9000 * PSI, force=800e3 * LBF)
    assert empty.factor[0] == pytest.approx(check("collapse", "four-regime", outside=9000 * PSI, force=800e3 * LBF).factor[0])


def test_older_form_finds_no_collapse_where_the_inside_prevails() -> None:
    """p_e stays positive for equal pressures; that is no collapse load."""
    outcome = check("collapse", "four-regime-equivalent-pressure", inside=50e6, outside=50e6)
    assert outcome.demand[0] > 0.0
    assert not outcome.loaded[0]


def test_tension_and_compression_take_turns() -> None:
    pulled, pushed = 1e6, -1e6
    assert check("tension", "axial-yield", force=pulled).loaded[0]
    assert not check("tension", "axial-yield", force=pushed).loaded[0]
    assert check("compression", "axial-yield", force=pushed).loaded[0]
    area = np.pi / 4 * (OD**2 - (OD - 2 * WALL) ** 2)
    assert check("compression", "axial-yield", force=pushed).factor[0] == pytest.approx(area * YIELD / 1e6)


def test_bending_enters_tension_only_when_asked() -> None:
    area = np.pi / 4 * (OD**2 - (OD - 2 * WALL) ** 2)
    assert check("tension", "axial-yield", force=1e6, bending=50e6).demand[0] == pytest.approx(1e6)
    with_bending = check("tension", "axial-yield-with-bending", force=1e6, bending=50e6)
    assert with_bending.demand[0] == pytest.approx(1e6 + 50e6 * area)


def test_triaxial_wall_is_chosen() -> None:
    minimum = check("triaxial", "von-mises", inside=50e6, force=1e6)
    nominal = check("triaxial", "von-mises", inside=50e6, force=1e6, wall="nominal")
    assert minimum.factor[0] < nominal.factor[0]
    direct = strength.triaxial_stress(OD, WALL, 50e6, 0.0, 1e6, wall_factor=1.0)
    assert nominal.demand[0] == pytest.approx(float(direct.greatest))


def test_hydrostatic_state_is_no_load() -> None:
    area = np.pi / 4 * (OD**2 - (OD - 2 * WALL) ** 2)
    assert not check("triaxial", "von-mises", inside=50e6, outside=50e6, force=-50e6 * area).loaded[0]


def test_caution_below_the_supported_yield() -> None:
    area = np.pi / 4 * (OD**2 - (OD - 2 * WALL) ** 2)
    outcome = check("collapse", "four-regime", outside=5e6, force=0.9 * YIELD * area)
    assert "24,000 psi" in outcome.cautions[0].text
    assert outcome.cautions[0].where[0]
    assert check("collapse", "four-regime", outside=5e6).cautions == ()


@pytest.mark.parametrize(("mode", "name"), sorted(MODELS))
def test_working_holds_demand_and_capacity_themselves(mode: str, name: str) -> None:
    outcome = check(mode, name, inside=60e6, outside=10e6, force=1e6 if mode != "compression" else -1e6, bending=20e6)
    if mode == "collapse":
        outcome = check(mode, name, inside=10e6, outside=60e6, force=1e6)
    values = [line.value for line in outcome.working if line.value.dtype.kind == "f"]
    assert any(v is outcome.demand for v in values)
    assert any(v is outcome.capacity for v in values)


def test_working_can_be_redone_on_paper() -> None:
    """From the lines shown: Y_pa, then the regime's formula."""
    outcome = check("collapse", "four-regime", inside=3000 * PSI, outside=9000 * PSI, force=800e3 * LBF)
    r = (value(outcome, "s_a") + value(outcome, "p_i")) / value(outcome, "Y")
    reduced = value(outcome, "Y") * (np.sqrt(1 - 0.75 * r**2) - 0.5 * r)
    assert value(outcome, "Y_pa") == pytest.approx(reduced)
    by_hand = reduced * (value(outcome, "A") / value(outcome, "x") - value(outcome, "B")) - value(outcome, "C")
    assert str(next(line.value[0] for line in outcome.working if line.symbol == "regime")) == "plastic"
    assert value(outcome, "p_c") == pytest.approx(by_hand)
