"""Strength models: what they ask of the pipe, what it bears, and that the working is the calculation itself."""

from __future__ import annotations

import numpy as np
import pytest

from casingloads import strength
from casingloads.errors import MissingInput
from casingloads.strength.check import SMALL_PRESSURE, Check, Loading, Tube
from casingloads.strength.model import ChosenModel
from casingloads.strength.models import DEFAULT_MODELS, casingloads_strength_models

PSI = 0.45359237 * 9.80665 / 0.0254**2
LBF = 0.45359237 * 9.80665
MODELS = {(model.mode, model.name): model for model in casingloads_strength_models()}
# 9-5/8 in 53.5 lb/ft P110
OD, WALL, YIELD = 9.625 * 0.0254, 0.545 * 0.0254, 110e3 * PSI


def check(
    mode: str, name: str, *, inside: float = 0.0, outside: float = 0.0, force: float = 0.0, bending: float = 0.0,
    wall: str = "minimum", given: dict[str, float] | None = None,
) -> Check:  # fmt: skip
    tube = Tube(
        outside_diameter=np.array([OD]),
        wall=np.array([WALL]),
        wall_factor=np.array([0.875]),
        specified_yield=np.array([YIELD]),
        tensile_strength=np.array([125e3 * PSI]),
    )
    loading = Loading(
        internal_pressure=np.array([inside]),
        external_pressure=np.array([outside]),
        axial_force=np.array([force]),
        bending_stress=np.array([bending]),
        triaxial_wall=wall,  # type: ignore[arg-type]
    )
    return ChosenModel(model=MODELS[mode, name], parameters=given or {}).check(tube, loading)  # type: ignore[index]


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
    assert empty.factor[0] == pytest.approx(
        check("collapse", "four-regime", outside=9000 * PSI, force=800e3 * LBF).factor[0]
    )


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


NEEDED = {
    "rupture": {"imperfection": 0.05, "burst_strength_factor": 1.0, "hardening": 0.08},
    "ultimate": {"ovality": 0.002, "eccentricity": 0.05, "residual_stress": -0.2 * YIELD, "curve_term": 0.0},
    "ultimate-design": {"elastic_factor": 0.825, "yield_factor": 0.855, "decrement": 0.104},
}


@pytest.mark.parametrize(("mode", "name"), sorted(MODELS))
def test_working_holds_demand_and_capacity_themselves(mode: str, name: str) -> None:
    force = -1e6 if mode == "compression" else 1e6
    given = NEEDED.get(name, {})
    outcome = check(mode, name, inside=60e6, outside=10e6, force=force, bending=20e6, given=given)
    if mode == "collapse":
        outcome = check(mode, name, inside=10e6, outside=60e6, force=1e6, given=given)
    values = [line.value for line in outcome.working if line.value.dtype.kind == "f"]
    assert any(np.array_equal(v, outcome.demand) for v in values)
    assert any(np.array_equal(v, outcome.capacity) for v in values)


def test_working_can_be_redone_on_paper() -> None:
    """From the lines shown: Y_pa, then the regime's formula."""
    outcome = check("collapse", "four-regime", inside=3000 * PSI, outside=9000 * PSI, force=800e3 * LBF)
    r = (value(outcome, "s_a") + value(outcome, "p_i")) / value(outcome, "Y")
    reduced = value(outcome, "Y") * (np.sqrt(1 - 0.75 * r**2) - 0.5 * r)
    assert value(outcome, "Y_pa") == pytest.approx(reduced)
    by_hand = reduced * (value(outcome, "A") / value(outcome, "x") - value(outcome, "B")) - value(outcome, "C")
    assert str(next(line.value[0] for line in outcome.working if line.symbol == "regime")) == "plastic"
    assert value(outcome, "p_c") == pytest.approx(by_hand)


def test_rupture_by_name() -> None:
    """Own point, not published: 800 kip and 2000 psi outside, 5 % imperfection: 14,553.2 psi inside at rupture."""
    given = NEEDED["rupture"]
    outcome = check("burst", "rupture", inside=90e6, outside=2000 * PSI, force=800e3 * LBF, given=given)
    assert (outcome.capacity[0] + 2000 * PSI) / PSI == pytest.approx(14553.2, abs=0.05)


def test_rupture_asks_for_the_tensile_strength() -> None:
    tube = Tube(outside_diameter=np.array([OD]), wall=np.array([WALL]), wall_factor=np.array([0.875]),
                specified_yield=np.array([YIELD]))  # fmt: skip
    loading = Loading(internal_pressure=np.array([1e7]), external_pressure=np.array([0.0]),
                      axial_force=np.array([0.0]), bending_stress=np.array([0.0]))  # fmt: skip
    with pytest.raises(MissingInput, match="tensile strength"):
        ChosenModel(model=MODELS["burst", "rupture"], parameters=NEEDED["rupture"]).check(tube, loading)


def test_ultimate_collapse_by_name() -> None:
    """Own points, not published: 9873.2 psi (H 0.1329) and, design form hot straightened, 8283.3 psi."""
    outcome = check("collapse", "ultimate", outside=9e6, given=NEEDED["ultimate"])
    assert outcome.capacity[0] / PSI == pytest.approx(9873.2, abs=0.5)
    design = check("collapse", "ultimate-design", outside=9e6, given=NEEDED["ultimate-design"])
    assert design.capacity[0] / PSI == pytest.approx(8283.3, abs=0.5)


def worn(
    mode: str, name: str, *, inside_loss: float = 0.0, outside_loss: float = 0.0, groove: bool = False,
    hot: float = 1.0, soft: float = 1.0, inside: float = 0.0, outside: float = 0.0, force: float = 0.0,
) -> Check:  # fmt: skip
    tube = Tube(
        outside_diameter=np.array([OD]),
        wall=np.array([WALL]),
        wall_factor=np.array([0.875]),
        specified_yield=np.array([YIELD]),
        yield_factor=np.array([hot]),
        modulus_factor=np.array([soft]),
        loss_inside=np.array([inside_loss]),
        loss_outside=np.array([outside_loss]),
        groove=np.array([groove]),
    )
    loading = Loading(
        internal_pressure=np.array([inside]),
        external_pressure=np.array([outside]),
        axial_force=np.array([force]),
        bending_stress=np.array([0.0]),
    )
    return ChosenModel(model=MODELS[mode, name]).check(tube, loading)  # type: ignore[index]


def test_wear_comes_off_the_minimum_wall_in_burst() -> None:
    """2 Y (0.875 t - a) / D, with t 0.545 in and a 0.05 in, by hand 8757.1 psi."""
    by_hand = 2 * 110e3 * (0.875 * 0.545 - 0.05) / 9.625
    assert worn("burst", "internal-yield", inside_loss=0.05 * 0.0254, inside=5e7).capacity[0] / PSI == pytest.approx(
        by_hand
    )
    grooved = worn("burst", "internal-yield", inside_loss=0.05 * 0.0254, groove=True, inside=5e7)
    assert grooved.capacity[0] / PSI == pytest.approx(by_hand)


def test_loss_outside_shrinks_the_diameter_and_a_groove_does_not() -> None:
    all_round = worn("burst", "internal-yield", outside_loss=0.05 * 0.0254, inside=5e7)
    assert all_round.capacity[0] / PSI == pytest.approx(2 * 110e3 * (0.875 * 0.545 - 0.05) / (9.625 - 0.1))
    grooved = worn("burst", "internal-yield", outside_loss=0.05 * 0.0254, groove=True, inside=5e7)
    assert grooved.capacity[0] / PSI == pytest.approx(2 * 110e3 * (0.875 * 0.545 - 0.05) / 9.625)


def test_collapse_of_worn_pipe_is_that_of_the_wall_left() -> None:
    thinner = float(strength.collapse_pressure(OD, WALL - 0.05 * 0.0254, YIELD))
    assert worn("collapse", "four-regime", inside_loss=0.05 * 0.0254, outside=5e7).capacity[0] == pytest.approx(thinner)


def test_a_groove_leaves_the_tension_rating() -> None:
    whole = worn("tension", "axial-yield", force=1e6).capacity[0]
    assert worn("tension", "axial-yield", inside_loss=0.002, groove=True, force=1e6).capacity[0] == pytest.approx(whole)
    area = np.pi / 4 * (OD**2 - (OD - 2 * (WALL - 0.002)) ** 2)
    assert worn("tension", "axial-yield", inside_loss=0.002, force=1e6).capacity[0] == pytest.approx(area * YIELD)
    pulled = worn("triaxial", "von-mises", inside_loss=0.002, groove=True, force=1e6)
    assert pulled.demand[0] == pytest.approx(1e6 / (whole / YIELD))


def test_heat_takes_its_share_of_every_yield_limit() -> None:
    for mode, name in (("burst", "internal-yield"), ("tension", "axial-yield"), ("triaxial", "von-mises")):
        cold = worn(mode, name, inside=5e7, force=1e6)
        hot = worn(mode, name, inside=5e7, force=1e6, hot=0.88)
        assert hot.factor[0] == pytest.approx(0.88 * cold.factor[0])


def test_elastic_collapse_falls_with_the_modulus_and_not_with_the_yield() -> None:
    """20 in 0.438 in wall is in the elastic regime: 46.95e6/[x (x-1)^2] psi."""
    x = 20 / 0.438
    tube = Tube(
        outside_diameter=np.array([20 * 0.0254]),
        wall=np.array([0.438 * 0.0254]),
        wall_factor=np.array([0.875]),
        specified_yield=np.array([80e3 * PSI]),
        yield_factor=np.array([0.9]),
        modulus_factor=np.array([0.95]),
    )
    loading = Loading(internal_pressure=np.array([0.0]), external_pressure=np.array([1e6]),
                      axial_force=np.array([0.0]), bending_stress=np.array([0.0]))  # fmt: skip
    outcome = ChosenModel(model=MODELS["collapse", "four-regime"]).check(tube, loading)
    assert outcome.capacity[0] / PSI == pytest.approx(0.95 * 46.95e6 / (x * (x - 1) ** 2))
