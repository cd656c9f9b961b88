"""Hot and worn pipe, and strength models with parameters, from the well file to the factor."""

from __future__ import annotations

import types
from pathlib import Path

import numpy as np
import pytest

import casingloads as cl

PSI = 0.45359237 * 9.80665 / 0.0254**2
WELL = (Path(__file__).parent / "wells" / "check-well-1.toml").read_text(encoding="utf-8")
SECTION = 'yield = "80000 psi", to = "shoe" }'
COLD = 'temperature = ["80 degF", "80 degF", "80 degF"]'
HOT = """
[derating."handbook"]
source = "Devereux, Practical Well Planning and Drilling Manual, 1998, p. 65"
temperature = ["20 degC", "50 degC", "100 degC", "150 degC", "200 degC"]
yield_factor = [1.0, 0.95, 0.88, 0.84, 0.81]
"""


def well(tmp_path: Path, *changes: tuple[str, str], more: str = "") -> cl.Well:
    text = WELL + more
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    return cl.read_well(file)


def factor(result: cl.Result, case: str, mode: str) -> float:
    found = next(r.factor for r in result.rows if (r.case, r.mode) == (case, mode) and r.factor is not None)
    assert found is not None
    return found


def test_hot_yield_by_the_handbook_table(tmp_path: Path) -> None:
    """At 100 degC (212 degF) all along, 0.88 of the yield is left (Devereux, p. 65)."""
    warm = (COLD, COLD.replace("80 degF", "212 degF"))
    named = (SECTION, 'yield = "80000 psi", derating = "handbook", to = "shoe" }')
    result = cl.check(well(tmp_path, warm, named, more=HOT))
    assert factor(result, "pressure-test", "burst") == pytest.approx(0.88 * 1.3731, rel=1e-4)
    assert factor(result, "evacuation", "compression") == pytest.approx(0.88 * 3.7433, rel=1e-4)
    assert any("Devereux" in text for text in result.assumptions)
    assert not any("no derating is named" in text for text in result.assumptions)


def test_a_table_that_holds_for_no_pipe_is_told(tmp_path: Path) -> None:
    read = well(tmp_path, more=HOT.replace("source", 'grades = ["L-80"]\nsource'))
    assert any("'handbook' holds for no pipe of this well" in line for line in read.assumptions)


def test_between_rows_the_factor_is_linear(tmp_path: Path) -> None:
    warm = (COLD, COLD.replace("80 degF", "75 degC"))
    named = (SECTION, 'yield = "80000 psi", derating = "handbook", to = "shoe" }')
    result = cl.check(well(tmp_path, warm, named, more=HOT))
    assert factor(result, "pressure-test", "burst") == pytest.approx((0.95 + 0.88) / 2 * 1.3731, rel=1e-4)


def test_without_a_table_it_is_told(tmp_path: Path) -> None:
    result = cl.check(well(tmp_path))
    assert any("no derating is named: yield as specified at every temperature" in text for text in result.assumptions)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('"handbook", to', '"handbok", to'), "did you mean 'handbook'?"),
        (("[1.0, 0.95, 0.88, 0.84, 0.81]", "[1.0, 0.95]"), "a factor for each temperature"),
        (('"20 degC", "50 degC"', '"50 degC", "20 degC"'), "temperatures that increase"),
    ],
)
def test_faults_of_derating(change: tuple[str, str], message: str, tmp_path: Path) -> None:
    named = (SECTION, 'yield = "80000 psi", derating = "handbook", to = "shoe" }')
    with pytest.raises(cl.InputError) as fault:
        well(tmp_path, named, change, more=HOT)
    assert message in str(fault.value)


def test_wear_against_depth_moves_the_governing_place(tmp_path: Path) -> None:
    """A groove of 0.1 in at 3000 ft: 2 Y (0.875 t - a)/D there, against 5000 psi of burst load."""
    loss = (
        'wall_loss = { depth = ["2900 ft", "3000 ft", "3100 ft"], inside = ["0 in", "0.1 in", "0 in"], groove = true }'
    )
    result = cl.check(well(tmp_path, (SECTION, f'yield = "80000 psi", {loss}, to = "shoe" }}')))
    row = next(r for r in result.rows if (r.case, r.mode) == ("pressure-test", "burst"))
    by_hand = 2 * 80_000 * (0.875 * 0.472 - 0.1) / 9.625 / 5000
    assert row.factor == pytest.approx(by_hand, rel=1e-6)
    assert row.md == pytest.approx(3000 * 0.3048)
    running = next(r for r in result.rows if (r.case, r.mode, r.step) == ("running", "tension", "landed"))
    assert running.factor == pytest.approx(2.7179, abs=5e-5)  # new while it is run


def test_uniform_corrosion_outside_thins_every_rating(tmp_path: Path) -> None:
    loss = 'wall_loss = { outside = ["0.05 in"] }'
    worn = cl.check(well(tmp_path, (SECTION, f'yield = "80000 psi", {loss}, to = "shoe" }}')))
    by_hand = 2 * 80_000 * (0.875 * 0.472 - 0.05) / (9.625 - 0.1) / 5000
    assert factor(worn, "pressure-test", "burst") == pytest.approx(by_hand, rel=1e-6)
    left = float(cl.strength.collapse_pressure((9.625 - 0.1) * 0.0254, 0.422 * 0.0254, 80e3 * PSI))
    assert factor(worn, "evacuation", "collapse") == pytest.approx(left / (5194.8 * PSI), rel=1e-4)


def test_no_wall_left_is_a_fault_of_the_file(tmp_path: Path) -> None:
    loss = 'wall_loss = { inside = ["0.42 in"] }'
    with pytest.raises(cl.InputError, match=r"0\.420 in is lost of a minimum wall of 0\.413 in"):
        well(tmp_path, (SECTION, f'yield = "80000 psi", {loss}, to = "shoe" }}'))


def test_hotter_than_the_table_is_not_evaluated(tmp_path: Path) -> None:
    warm = (COLD, COLD.replace("80 degF", "500 degF"))
    named = (SECTION, 'yield = "80000 psi", derating = "handbook", to = "shoe" }')
    result = cl.check(well(tmp_path, warm, named, more=HOT))
    assert {row.status for row in result.rows} == {"not-evaluated"}
    assert "derating 'handbook' ends at 200.0 degC, but the pipe is at 260.0 degC; extend it" in result.rows[0].reason


def test_derating_needs_a_temperature(tmp_path: Path) -> None:
    named = (SECTION, 'yield = "80000 psi", derating = "handbook", to = "shoe" }')
    result = cl.check(well(tmp_path, (COLD, ""), named, more=HOT))
    assert {row.reason for row in result.rows} == {"needs earth.temperature, for derating 'handbook'"}


def test_a_joint_thins_with_its_pipe(tmp_path: Path) -> None:
    """LTC joint strength goes down by the share of the area that wear takes."""
    joint = 'tensile = "100000 psi", connection = "LTC"'
    new = cl.check(well(tmp_path, (SECTION, f'yield = "80000 psi", {joint}, to = "shoe" }}')))
    loss = 'wall_loss = { inside = ["0.05 in"] }'
    worn = cl.check(well(tmp_path, (SECTION, f'yield = "80000 psi", {joint}, {loss}, to = "shoe" }}')))
    share = (9.625 - 0.422) * 0.422 / ((9.625 - 0.472) * 0.472)
    before, after = (factor(result, "pressure-test", "tension") for result in (new, worn))
    assert after == pytest.approx(share * before, rel=1e-9)


def test_another_modulus_reaches_elastic_collapse(tmp_path: Path) -> None:
    """20 in 0.438 in wall in the elastic regime: half the modulus, half the rating."""
    text = (Path(__file__).parent / "wells" / "check-well-2.toml").read_text(encoding="utf-8")
    thin = text.replace('wall = "0.635 in", weight = "133 lb/ft"', 'wall = "0.375 in", weight = "78.6 lb/ft"')
    ratings = []
    for more in ("", '\n[steel]\nmodulus = "15e6 psi"\n'):
        file = tmp_path / "well.toml"
        file.write_text(thin + more, encoding="utf-8")
        profile = cl.check(cl.read_well(file)).profile("surface", "cementing")
        ratings.append(float(profile["collapse_rating_pa"].iloc[-1]))
    assert ratings[1] == pytest.approx(0.5 * ratings[0], rel=1e-9)


def test_a_model_with_parameters_by_name(tmp_path: Path) -> None:
    """Rupture: asks for what has no default, and uses the tensile strength."""
    models = '\nmodels = { burst = { model = "rupture", imperfection = "5 %", burst_strength_factor = 1.0 } }\nsections'
    tensile = (SECTION, 'yield = "80000 psi", tensile = "100000 psi", to = "shoe" }')
    result = cl.check(well(tmp_path, ("\nsections", models), tensile))
    row = next(r for r in result.rows if (r.case, r.mode) == ("pressure-test", "burst"))
    force = result.profile("intermediate", "pressure-test").iloc[0]["true_force_n"]
    at_top = float(
        cl.strength.rupture_working_combined(
            9.625 * 0.0254, 0.472 * 0.0254, 100e3 * PSI, float(cl.strength.hardening_index(80e3 * PSI)), force, 0.0,
            wall_factor=0.875, imperfection_depth=0.05 * 0.472 * 0.0254, burst_strength_factor=1.0,
        ).difference
    )  # fmt: skip
    assert row.factor is not None
    assert row.factor <= at_top / (5000 * PSI) + 1e-9
    assert any("'rupture'" in text for text in result.assumptions)
    without = cl.check(well(tmp_path, ("\nsections", models)))
    reasons = {r.reason for r in without.rows if r.mode == "burst" and r.status == "not-evaluated"}
    assert reasons == {"needs the tensile strength of all of the pipe (key tensile), for rupture"}
    assert any(r.mode == "tension" and r.status == "meets" for r in without.rows)  # the other modes are complete


@pytest.mark.parametrize(
    ("models", "message"),
    [
        ('{ burst = "ruptur" }', "did you mean 'rupture'?"),
        ('{ burst = "rupture" }', "models.burst.imperfection: missing"),
        ('{ burst = { model = "rupture", imperfection = 5, burst_strength_factor = 1.0 } }', "5 is not in percent"),
        ('{ burst = { model = "rupture", imperfektion = "5 %" } }', "did you mean 'imperfection'?"),
        ('{ burst = { imperfection = "5 %" } }', "model is missing"),
    ],
)
def test_faults_of_models(models: str, message: str, tmp_path: Path) -> None:
    with pytest.raises(cl.InputError) as fault:
        well(tmp_path, ("\nsections", f"\nmodels = {models}\nsections"))
    assert message in str(fault.value)


def test_a_strangers_strength_model_is_chosen_like_a_built_in_one(tmp_path: Path) -> None:
    """Half the elastic collapse, whatever the load: by hand from 46.95e6/[x (x-1)^2] psi."""

    @cl.strength_model(mode="collapse", source="site instruction 9, rev A")
    def half_elastic(tube: cl.Tube, loading: cl.Loading, *, share: cl.Fraction = 0.5) -> cl.Check:
        """A share of elastic collapse."""
        rating = share * cl.strength.elastic_collapse(tube.left_diameter, tube.left_wall)
        demand = loading.external_pressure - loading.internal_pressure
        return cl.Check(demand=demand, capacity=rating, loaded=demand > 1e4, dimension=cl.PRESSURE)

    module = types.ModuleType("site_models")

    @cl.hookimpl
    def casingloads_strength_models() -> list[cl.StrengthModel]:
        return [half_elastic]

    module.casingloads_strength_models = casingloads_strength_models  # type: ignore[attr-defined]
    plugins = cl.load_plugins(module)
    text = WELL.replace("\nsections", '\nmodels = { collapse = { model = "half-elastic", share = 0.4 } }\nsections')
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    result = cl.check(cl.read_well(file, plugins=plugins), plugins=plugins)
    x = 9.625 / 0.472
    by_hand = 0.4 * 46.95e6 / (x * (x - 1) ** 2) / 5194.8
    assert factor(result, "evacuation", "collapse") == pytest.approx(by_hand, rel=1e-4)
    assert any("site instruction 9" in text for text in result.assumptions)


def test_a_faulty_strength_model_harms_only_its_mode(tmp_path: Path) -> None:
    @cl.strength_model(mode="burst", source="test")
    def broken(tube: cl.Tube, loading: cl.Loading) -> cl.Check:
        """Divides by zero."""
        raise ZeroDivisionError("no luck")

    @cl.strength_model(mode="triaxial", source="test")
    def not_a_number(tube: cl.Tube, loading: cl.Loading) -> cl.Check:
        """Has no answer."""
        nan = np.full_like(tube.wall, np.nan)
        return cl.Check(demand=nan, capacity=nan, loaded=np.ones(nan.shape, dtype=bool), dimension=cl.PRESSURE)

    module = types.ModuleType("bad_models")

    @cl.hookimpl
    def casingloads_strength_models() -> list[cl.StrengthModel]:
        return [broken, not_a_number]

    module.casingloads_strength_models = casingloads_strength_models  # type: ignore[attr-defined]
    plugins = cl.load_plugins(module)
    text = WELL.replace("\nsections", '\nmodels = { burst = "broken", triaxial = "not-a-number" }\nsections')
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    result = cl.check(cl.read_well(file, plugins=plugins), plugins=plugins)
    assert {r.status for r in result.rows if r.mode in ("burst", "triaxial")} == {"not-evaluated"}
    assert any("ZeroDivisionError: no luck" in r.reason for r in result.rows)
    assert any("not a number" in r.reason for r in result.rows if r.mode == "triaxial")
    good = cl.check(cl.read_well(Path(__file__).parent / "wells" / "check-well-1.toml"))
    same = [r for r in result.rows if r.mode not in ("burst", "triaxial")]
    assert same == [r for r in good.rows if r.mode not in ("burst", "triaxial")]


def test_derating_by_grade_and_from_a_catalog(tmp_path: Path) -> None:
    """A table that names grades holds for every section of that grade, from the file or from a TOML catalog."""
    catalog = HOT.replace('source = "Dev', 'grades = ["N80"]\nsource = "Dev')
    (tmp_path / "heat.toml").write_text(catalog, encoding="utf-8")
    in_full = 'od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "80000 psi"'
    named = (in_full, 'pipe = "9-5/8 in 47 lb/ft N80"')
    warm = (COLD, COLD.replace("80 degF", "212 degF"))
    found = well(tmp_path, named, warm, ("[well]", 'catalogs = ["heat.toml"]\n[well]'))
    assert factor(cl.check(found), "pressure-test", "burst") == pytest.approx(0.88 * 1.3731, rel=1e-4)
    assert any("as for every N80" in text for text in found.assumptions)
    other = (named[0], named[1].replace("N80", "C95"))
    unlike = well(tmp_path, other, warm, ("[well]", 'catalogs = ["heat.toml"]\n[well]'))
    assert factor(cl.check(unlike), "pressure-test", "burst") == pytest.approx(95 / 80 * 1.3731, rel=1e-4)


def test_couplings_alone_touching_the_hole_bend_more(tmp_path: Path) -> None:
    """Triaxial with joints: the dogleg's bending times KL/tanh(KL), by hand at the station that governs."""
    survey = """[well.survey]
md = ["0 ft", "1000 ft", "1200 ft", "10000 ft"]
inclination = ["0 deg", "0 deg", "6 deg", "6 deg"]
azimuth = ["0 deg", "0 deg", "0 deg", "0 deg"]

"""
    models = '\nmodels = { triaxial = { model = "von-mises", joint_length = "40 ft" } }\nsections'
    bent = ("[earth]", survey + "[earth]")
    follows = cl.check(well(tmp_path, bent))
    touches = cl.check(well(tmp_path, bent, ("\nsections", models)))
    told = touches.explain("intermediate", "running", "triaxial", "landed", md=1000 * 0.3048)
    values = {item.symbol: item.value for _, items in told.parts for item in items}
    inertia = np.pi / 64 * ((9.625 * 0.0254) ** 4 - (8.681 * 0.0254) ** 4)
    profile = follows.profile("intermediate", "running", "landed")
    index = int(np.argmin(np.abs(profile["md_m"] - 1000 * 0.3048)))
    kl = np.sqrt(profile["effective_force_n"].iloc[index] / (30e6 * PSI * inertia)) * 20 * 0.3048
    assert values["k_b"] == pytest.approx(kl / np.tanh(kl), rel=1e-6)
    assert factor(touches, "overpull", "triaxial") <= factor(follows, "overpull", "triaxial")


def test_torque_adds_shear(tmp_path: Path) -> None:
    """At the top, landed: s_e^2 = s_a^2 + 3 (T r / J)^2."""
    models = '\nmodels = { triaxial = { model = "von-mises", torque = "40 kN*m" } }\nsections'
    result = cl.check(well(tmp_path, ("\nsections", models)))
    d, b = 9.625 * 0.0254, 8.681 * 0.0254
    axial = 399_494 * 4.4482216152605 / (np.pi / 4 * (d**2 - b**2))
    shear = 40e3 * d / 2 / (np.pi / 32 * (d**4 - b**4))
    row = next(r for r in result.rows if (r.case, r.step, r.mode) == ("running", "landed", "triaxial"))
    assert row.load == pytest.approx(np.sqrt(axial**2 + 3 * shear**2), rel=1e-5)
