"""What relieves a trapped annulus: valve, shoe, gas, foam and discs; and what is refused."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from closed_annuli import ALPHA, BRINE, KAPPA, STEEL, annulus, lying, one, rigid, three, volume, wall
from hypothesis import given, settings
from hypothesis import strategies as st

from casingloads.annuli.buildup import BurstDisc, OpenShoe, TrappedAnnulus, build_up
from casingloads.annuli.expansion import WATER, Foam, GasCap
from casingloads.constants import ATMOSPHERE
from casingloads.errors import CannotEvaluate

FEW = settings(max_examples=25, deadline=None)


@FEW
@given(cap=st.floats(0.0, 60e6), heat=st.floats(5.0, 80.0))
def test_bleeding_caps(cap: float, heat: float) -> None:
    a, b, c = three(heat)
    shut = build_up([a, b, c], STEEL)
    bled = build_up([a, replace(b, bleeds_to=cap), c], STEEL)
    head = float(b.pressure_then[0])
    assert bled[1].pressure_now[0] == pytest.approx(min(cap, head + shut[1].rise), abs=1.0)
    assert (bled[1].bled > 0.0) == (shut[1].rise + head > cap + 1.0) == ("bleed-off" in bled[1].limited_by)
    assert all(after.rise <= before.rise + 1.0 for after, before in zip(bled, shut, strict=True))


def test_volume_bled_by_hand() -> None:
    """Rigid, lying: held at p the liquid fills ``exp(alpha dT - kappa p)`` of the room, the rest is let out."""
    closed = lying("B", rigid("9-5/8"), rigid("13-3/8"), 50.0, bleeds_to=10e6)
    excess = volume(closed.inner, closed.outer) * (np.exp(ALPHA * 50.0 - KAPPA * 10e6) - 1.0)
    result = one(closed)
    assert result.bled == pytest.approx(excess, rel=1e-9)
    assert result.balance.lost == pytest.approx(excess, rel=1e-9)
    assert (result.lost_at_shoe, result.limited_by) == (0.0, ("bleed-off",))


def test_shoe_leaks_at_its_fracture_pressure() -> None:
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0, open_shoe=OpenShoe(md=1500.0, pressure=25e6))
    result = one(closed)
    assert np.interp(1500.0, closed.md, result.pressure_now) == pytest.approx(25e6, abs=1e3)  # interpolated
    assert result.lost_at_shoe > 0.0
    assert result.bled == 0.0
    assert result.limited_by == ("open shoe",)
    strong = one(replace(closed, open_shoe=OpenShoe(md=1500.0, pressure=80e6)))
    assert strong.lost_at_shoe == 0.0
    assert strong.rise == pytest.approx(one(replace(closed, open_shoe=None)).rise, rel=1e-9)


def test_valve_and_shoe_in_one_annulus_the_tighter_governs() -> None:
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0, bleeds_to=10e6)
    shoe_first = one(replace(closed, open_shoe=OpenShoe(md=1500.0, pressure=25e6)))
    valve_first = one(replace(closed, open_shoe=OpenShoe(md=1500.0, pressure=30e6)))
    assert (shoe_first.limited_by, valve_first.limited_by) == (("open shoe",), ("bleed-off",))
    assert shoe_first.rise < valve_first.rise == pytest.approx(10e6, abs=1.0)


def test_gas_cap_by_hand() -> None:
    """Rigid, lying: ``(V - V_g) exp(alpha dT - kappa p) = V - V_g p_0 T_1 / (p_1 T_0)``."""
    closed = lying("B", rigid("9-5/8"), rigid("13-3/8"), 50.0, cushion=GasCap(volume=1.0))
    p = one(closed).rise
    whole = volume(closed.inner, closed.outer)
    gas = 1.0 * ATMOSPHERE / (ATMOSPHERE + p) * 350.0 / 300.0
    assert (whole - 1.0) * np.exp(ALPHA * 50.0 - KAPPA * p) == pytest.approx(whole - gas, rel=1e-9)
    assert 0.0 < p < ALPHA * 50.0 / KAPPA


@FEW
@given(gas=st.floats(0.001, 30.0), pressure=st.floats(0.0, 20e6))
def test_more_gas_is_less_pressure(gas: float, pressure: float) -> None:
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 100.0, 2000.0)
    closed = replace(closed, pressure_then=closed.pressure_then + pressure)
    little, much = (one(replace(closed, cushion=GasCap(volume=v))).rise for v in (gas, 1.5 * gas))
    assert 0.0 < much < little < one(closed).rise


def test_foam_by_hand() -> None:
    closed = lying("B", rigid("9-5/8"), rigid("13-3/8"), 50.0, cushion=Foam(volume=2.0, compressibility=1e-8))
    p, whole = one(closed).rise, volume(closed.inner, closed.outer)
    left = (whole - 2.0) * np.exp(ALPHA * 50.0 - KAPPA * p)
    assert left == pytest.approx(whole - 2.0 * np.exp(-1e-8 * p), rel=1e-9)


def two_rigid(disc: BurstDisc, warm: float = 40.0, cool: float = 0.0, **rest: Any) -> list[TrappedAnnulus]:
    return [
        lying("A", rigid("5-1/2"), rigid("9-5/8"), warm, discs=(disc,), **rest),
        lying("B", rigid("9-5/8"), rigid("13-3/8"), cool),
    ]


def test_disc_opens_into_the_next_annulus() -> None:
    """Rigid, lying: shut until alpha dT / kappa reaches 20 MPa, then one pressure, the masses together kept."""
    a, b = build_up(two_rigid(BurstDisc(md=400.0, side="outer", opens_at=20e6)), STEEL)
    v_a, v_b = volume(wall("5-1/2"), wall("9-5/8")), volume(wall("9-5/8"), wall("13-3/8"))
    shared = np.log((v_a + v_b) / (v_a * np.exp(-ALPHA * 40.0) + v_b)) / KAPPA
    assert (a.rise, b.rise) == pytest.approx((shared, shared), rel=1e-9)
    assert a.discs_opened == pytest.approx((20e6 / (ALPHA * 40.0 / KAPPA),), rel=1e-5)
    assert b.discs_opened == ()
    assert a.limited_by == b.limited_by == ("burst disc",)
    assert a.mass_then + b.mass_then == pytest.approx(
        (v_a * np.exp(-ALPHA * 40.0) + v_b) * np.exp(KAPPA * shared) * BRINE.density(ATMOSPHERE, 300.0), rel=1e-9
    )
    gone = v_a * (np.exp(ALPHA * 40.0 - KAPPA * shared) - 1.0)  # as it is in A
    assert a.through_discs == pytest.approx((gone,), rel=1e-6)


def test_disc_that_is_not_reached_stays_shut() -> None:
    a, b = build_up(two_rigid(BurstDisc(md=400.0, side="outer", opens_at=40e6)), STEEL)
    assert a.discs_opened == (None,)
    assert a.through_discs == (0.0,)
    assert (a.rise, b.rise) == pytest.approx((ALPHA * 40.0 / KAPPA, 0.0), rel=1e-9, abs=1e-3)


def test_disc_into_another_liquid_displaces_its_own_volume() -> None:
    """B holds a lighter, softer liquid; lying and rigid: volumes at the shared pressure add up."""
    oil = replace(BRINE, reference_density=800.0, expansion=8e-4, compressibility=8e-10)
    brine, light = two_rigid(BurstDisc(md=400.0, side="outer", opens_at=20e6))
    a, b = build_up([brine, replace(light, fluid=oil)], STEEL)
    v_a, v_b = volume(wall("5-1/2"), wall("9-5/8")), volume(wall("9-5/8"), wall("13-3/8"))
    p = a.rise
    gone = v_a * (1.0 - np.exp(KAPPA * p - ALPHA * 40.0))  # of A's liquid, as it was before
    assert gone * np.exp(-KAPPA * p) + v_b * np.exp(-8e-10 * p) == pytest.approx(v_b, rel=1e-9)
    assert b.rise == pytest.approx(p, rel=1e-9)


def test_disc_to_a_known_pressure_holds_it_there() -> None:
    disc = BurstDisc(md=800.0, side="outer", opens_at=12e6, far_pressure=12e6)
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0, n=41, discs=(disc,))
    result = one(closed)
    assert np.interp(800.0, closed.md, result.pressure_now) == pytest.approx(12e6, abs=1.0)
    assert result.through_discs[0] > 0.0
    assert result.limited_by == ("burst disc",)


def test_what_a_shoe_took_before_a_disc_opened_stays_lost() -> None:
    """A at its fracture pressure loses liquid; B cools until the disc between them gives; lying and rigid.

    At a share s of the changes A has lost ``V (1 - exp(kappa p - alpha s dT))`` of its liquid and B has fallen by
    ``alpha s |dT| / kappa`` from 30 MPa. Then one pressure, below the fracture pressure; both masses kept since.
    """
    disc = BurstDisc(md=400.0, side="outer", opens_at=5e6)
    warm, cool = two_rigid(disc, 40.0, -30.0, open_shoe=OpenShoe(md=1000.0, pressure=15e6))
    cool = replace(cool, pressure_then=np.full(3, 30e6))
    v_a, v_b = volume(warm.inner, warm.outer), volume(cool.inner, cool.outer)
    share = (30e6 - (15e6 - 5e6)) * KAPPA / (ALPHA * 30.0)
    kept = np.exp(KAPPA * 15e6 - ALPHA * share * 40.0)
    start_b = np.exp(KAPPA * 30e6)
    shared = np.log((v_a * kept + v_b * start_b) / (v_a * np.exp(-ALPHA * 40.0) + v_b * np.exp(ALPHA * 30.0))) / KAPPA
    a, b = build_up([warm, cool], STEEL)
    assert a.discs_opened == pytest.approx((share,), rel=1e-5)
    assert (a.rise, b.rise + 30e6) == pytest.approx((shared, shared), rel=1e-5)
    assert a.balance.lost * a.balance.density == pytest.approx(a.mass_then * (1.0 - kept), rel=1e-5)
    assert shared < 15e6


@FEW
@given(
    heat=st.floats(5.0, 100.0),
    cap=st.floats(2e6, 40e6),
    gas=st.floats(0.01, 20.0),
    shoe=st.floats(20e6, 60e6),
)
def test_balance_closes_whatever_relieves(heat: float, cap: float, gas: float, shoe: float) -> None:
    a, b, c = three(heat)
    a = replace(
        a,
        open_shoe=OpenShoe(md=3400.0, pressure=shoe + 30e6),
        discs=(BurstDisc(md=900.0, side="outer", opens_at=15e6),),
    )
    b = replace(b, cushion=GasCap(volume=gas), pressure_then=b.pressure_then + 2e6)
    c = replace(c, bleeds_to=cap, cushion=Foam(volume=1.0, compressibility=2e-9, md=700.0))
    for result in build_up([a, b, c], STEEL):
        assert abs(result.mass_error) < 1e-9
        assert abs(result.balance.left_over) < 1e-9 * result.balance.expansion


# --- refusals --------------------------------------------------------------------------------------------------------


def test_boiling_is_refused() -> None:
    closed = annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0, 100.0, fluid=WATER, bleeds_to=0.0)
    with pytest.raises(CannotEvaluate, match=r"annulus 'B': its liquid boils at md 0 m, at 0.101 MPa absolute and 107"):
        build_up([closed], STEEL)
    assert one(replace(closed, bleeds_to=5e6)).bled > 0.0


def test_cooling_to_nothing_is_refused() -> None:
    with pytest.raises(CannotEvaluate, match="annulus 'B': the pressure would fall to zero absolute"):
        build_up([annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0, -20.0)], STEEL)


def test_range_of_the_liquid_is_told_with_the_annulus() -> None:
    with pytest.raises(CannotEvaluate, match="annulus 'B': temperature of water = 530"):
        build_up([annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0, 250.0, fluid=WATER)], STEEL)


class Stubborn:
    """A liquid whose density jumps, so that no pressure balances it."""

    def density(self, pressure_abs: Any, temperature: Any) -> Any:
        heavy = BRINE.density(pressure_abs, temperature)
        return np.where(np.mean(heavy) < 1195.0, 0.97, 1.03) * heavy


def test_no_solution_is_told() -> None:
    closed = lying("B", wall("9-5/8"), wall("13-3/8"), 50.0, fluid=Stubborn())
    with pytest.raises(CannotEvaluate, match="annuli 'B': the pressures did not converge, an imbalance of"):
        build_up([closed], STEEL)


@pytest.mark.parametrize(
    ("way_out", "message"),
    [
        ({"bleeds_to": 5e6}, "from an open disc to where it is let out"),
        (
            {"discs": (BurstDisc(md=1.0, side="outer", opens_at=10e6, far_pressure=2e6),)},
            "from one open disc to another",
        ),
    ],
)
def test_flow_through_is_refused(way_out: dict[str, Any], message: str) -> None:
    """A opens to a zone of 18 MPa; B cools until the disc between them gives, and lets out what the zone feeds."""
    zone = BurstDisc(md=400.0, side="inner", opens_at=1e6, far_pressure=18e6)
    to_b = BurstDisc(md=600.0, side="outer", opens_at=16e6)
    a, b = two_rigid(to_b, 40.0, -4.0)
    a, b = replace(a, discs=(zone, to_b)), replace(b, pressure_then=np.full(3, 5e6), **way_out)
    with pytest.raises(CannotEvaluate, match=f"liquid would flow through an annulus, {message}"):
        build_up([a, b], STEEL)
    shut = build_up([a, replace(b, pressure_then=np.full(3, 6e6), temperature_now=b.temperature_then)], STEEL)
    assert shut[0].discs_opened[1] is None


def test_missing_pressure_beyond_is_asked_for() -> None:
    with pytest.raises(ValueError, match=r"annulus 'B': outer.far_change is missing: at md 0 m no other annulus"):
        build_up([annulus("B", wall("9-5/8"), wall("13-3/8", far_change=None), 0.0, 2000.0)], STEEL)
    disc = BurstDisc(md=400.0, side="outer", opens_at=5e6)
    with pytest.raises(ValueError, match="annulus 'B': disc at md 400 m: far_pressure is missing"):
        build_up([lying("B", wall("9-5/8"), wall("13-3/8"), 10.0, discs=(disc,))], STEEL)
    with pytest.raises(ValueError, match="annulus 'B' is beyond it, leave far_pressure out"):
        build_up(two_rigid(replace(disc, far_pressure=0.0)), STEEL)


def test_annuli_that_contradict_each_other_are_refused() -> None:
    b = annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0)
    with pytest.raises(ValueError, match="each needs a name of its own, got 'B', 'B'"):
        build_up([b, b], STEEL)
    with pytest.raises(ValueError, match="annuli 'B' and 'C' both have '9-5/8' as inner wall"):
        build_up([b, replace(b, name="C")], STEEL)
    with pytest.raises(ValueError, match="annuli: need at least one"):
        build_up([], STEEL)
    thinner = annulus("A", wall("5-1/2"), wall("9-5/8", inside_radius=0.112), 0.0, 2000.0)
    with pytest.raises(
        ValueError, match=r"'A' and 'B' give the pipe between them two radii at md 0 m, 0.112 and 0.110"
    ):
        build_up([thinner, b], STEEL)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"md": np.array([3.0, 2.0])}, "annulus 'B': md must be depths from the top down, at least two"),
        ({"tvd": np.zeros(3)}, r"annulus 'B': tvd must be a number or have shape \(40,\), got \(3,\)"),
        ({"temperature_now": np.full(40, -3.0)}, "annulus 'B': temperature_now = -3 K"),
        ({"pressure_then": np.full(40, np.nan)}, "annulus 'B': pressure_then = nan Pa"),
        ({"outer": wall("9-5/8")}, "annulus 'B': the pipes overlap at md 0 m"),
        ({"outer": wall("13-3/8", inside_radius=0.2)}, "annulus 'B': outer.inside_radius must be less than"),
        ({"open_shoe": OpenShoe(md=2500.0, pressure=3e7)}, "open shoe at md 2500 m must be within it, 0 to 2000 m"),
        ({"open_shoe": OpenShoe(md=1500.0, pressure=np.nan)}, "pressure of the open shoe = nan Pa"),
        ({"bleeds_to": -1.0}, "annulus 'B': bleeds_to = -1 Pa"),
        ({"discs": (BurstDisc(md=1.0, side="outer", opens_at=0.0),)}, "annulus 'B': opens_at of a disc = 0 Pa"),
    ],
)
def test_annulus_that_makes_no_sense_is_refused(changes: dict[str, Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(annulus("B", wall("9-5/8"), wall("13-3/8"), 0.0, 2000.0), **changes)


def test_pipe_that_changes_without_its_depth_is_refused() -> None:
    changing = wall("13-3/8", moves_with_pressure=np.arange(40) < 20)
    with pytest.raises(ValueError, match=r"outer.moves_with_pressure changes below md 974.359 m: give the depth"):
        build_up([annulus("B", wall("9-5/8"), changing, 0.0, 2000.0)], STEEL)
    with pytest.raises(ValueError, match=r"inner.pipe must be single or have shape \(40,\), got \(2,\)"):
        build_up([annulus("B", replace(wall("9-5/8"), pipe=("x", "y")), wall("13-3/8"), 0.0, 2000.0)], STEEL)


def test_cushion_larger_than_the_annulus_is_refused() -> None:
    with pytest.raises(ValueError, match=r"annulus 'B': the cushion's volume must be less than its 30.3051 m3"):
        build_up([lying("B", wall("9-5/8"), wall("13-3/8"), 10.0, cushion=GasCap(volume=40.0))], STEEL)
