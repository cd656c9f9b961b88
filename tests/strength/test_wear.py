"""The wall loss that still meets a factor: closed forms, and the check put through it again."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from casingloads.strength.check import Loading, Tube
from casingloads.strength.model import ChosenModel
from casingloads.strength.models import casingloads_strength_models
from casingloads.strength.wear import allowable_wall_loss

PSI, INCH = 6894.757293168362, 0.0254
MODELS: dict[tuple[str, str], ChosenModel] = {
    (model.mode, model.name): ChosenModel(model=model) for model in casingloads_strength_models()
}


def tube(count: int = 1, **changes: float) -> Tube:
    whole = Tube(
        outside_diameter=np.full(count, 9.625 * INCH),
        wall=np.full(count, 0.472 * INCH),
        wall_factor=np.full(count, 0.875),
        specified_yield=np.full(count, 80e3 * PSI),
    )
    return replace(whole, **{name: np.full(count, value) for name, value in changes.items()})


def loading(inside: object = 0.0, outside: object = 0.0, force: object = 0.0) -> Loading:
    arrays = [np.atleast_1d(np.asarray(value, dtype=np.float64)) for value in (inside, outside, force)]
    inside, outside, force = np.broadcast_arrays(*arrays)
    return Loading(
        internal_pressure=inside, external_pressure=outside, axial_force=force, bending_stress=np.zeros(inside.shape)
    )


def test_burst_by_hand() -> None:
    loss = allowable_wall_loss(MODELS["burst", "internal-yield"], tube(), loading(inside=5e3 * PSI), 1.1)
    assert loss[0] / INCH == pytest.approx(0.875 * 0.472 - 1.1 * 5e3 * 9.625 / (2 * 80e3), rel=1e-9)


def test_tension_by_hand() -> None:
    """Area left for 1.6 of 3 MN: pi (D - t') t' = 1.6 F / Y."""
    loss = allowable_wall_loss(MODELS["tension", "axial-yield"], tube(), loading(force=2.8e6), 1.6)
    d, area = 9.625 * INCH, 1.6 * 2.8e6 / (80e3 * PSI)
    left = (d - np.sqrt(d**2 - 4 * area / np.pi)) / 2
    assert loss[0] == pytest.approx(0.472 * INCH - left, rel=1e-9)


@pytest.mark.parametrize(
    ("mode", "name", "load"),
    [
        ("collapse", "four-regime", {"outside": 15e6}),
        ("triaxial", "von-mises", {"inside": 30e6, "force": 1e6}),
        ("burst", "thick-wall-capped", {"inside": 30e6}),
    ],
)
def test_at_the_loss_found_the_factor_is_the_one_required(mode: str, name: str, load: dict[str, float]) -> None:
    model = MODELS[mode, name]
    loss = allowable_wall_loss(model, tube(), loading(**load), 1.2)
    at_it = model.check(replace(tube(), loss_inside=loss), loading(**load))
    assert at_it.factor[0] == pytest.approx(1.2, rel=1e-6)


def test_none_where_the_whole_wall_fails_and_all_where_nothing_acts() -> None:
    loss = allowable_wall_loss(MODELS["burst", "internal-yield"], tube(2), loading(inside=[9e3 * PSI, 0.0]), 1.1)
    assert loss[0] == pytest.approx(0.0, abs=1e-12)
    assert loss[1] == pytest.approx(0.875 * 0.472 * INCH, rel=1e-6)


def test_no_wall_left_outside_is_refused() -> None:
    with pytest.raises(ValueError, match="leaves no wall"):
        allowable_wall_loss(MODELS["burst", "internal-yield"], tube(loss_outside=0.5 * INCH), loading(inside=1e6), 1.1)
