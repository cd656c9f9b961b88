"""The polygon of axial force against pressure: closed forms, invariants, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from casingloads.strength.envelope import checked_envelope, envelope_use

HEXAGON = ([900.0, 900.0, 0.0, -400.0, -400.0, 0.0], [0.0, 5000.0, 6000.0, 3000.0, 0.0, -4000.0])


def inside(axial: float, pressure: float) -> bool:
    """Second route: a point is inside when it is on one side of every edge (cross products)."""
    corners = list(zip(*HEXAGON, strict=True))
    crosses = []
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        crosses.append((x2 - x1) * (pressure - y1) - (y2 - y1) * (axial - x1))
    return all(c >= 0 for c in crosses) or all(c <= 0 for c in crosses)


@given(st.floats(0.0, 2 * np.pi))
def test_use_is_one_on_the_edge_found_by_bisection(angle: float) -> None:
    dx, dy = 900.0 * np.cos(angle), 6000.0 * np.sin(angle)
    edge = brentq(lambda s: 0.5 if inside(s * dx, s * dy) else -0.5, 1e-3, 3.0, xtol=1e-12)
    use = envelope_use(checked_envelope(*HEXAGON), edge * dx, edge * dy)
    assert float(use) == pytest.approx(1.0, abs=1e-9)


@given(st.floats(-2000.0, 2000.0), st.floats(-9000.0, 9000.0), st.floats(0.0, 5.0))
def test_use_grows_in_proportion(axial: float, pressure: float, times: float) -> None:
    corners = checked_envelope(*HEXAGON)
    once = float(envelope_use(corners, axial, pressure))
    assert float(envelope_use(corners, times * axial, times * pressure)) == pytest.approx(times * once, abs=1e-9)


def test_corners_either_way_round_and_any_start() -> None:
    axial, pressure = HEXAGON
    for turned in (1, 3):
        other = checked_envelope(np.roll(axial, turned)[::-1], np.roll(pressure, turned)[::-1])
        assert float(envelope_use(other, 500.0, 1000.0)) == pytest.approx(
            float(envelope_use(checked_envelope(axial, pressure), 500.0, 1000.0))
        )


def test_broadcasts() -> None:
    use = envelope_use(checked_envelope(*HEXAGON), np.ones((3, 1)), np.linspace(0.0, 1.0, 5))
    assert use.shape == (3, 5)


@pytest.mark.parametrize(
    ("axial", "pressure", "message"),
    [
        ([1.0, 2.0], [1.0, 2.0], "at least three corners"),
        ([1.0, np.nan, -1.0], [1.0, 2.0, -1.0], "at least three corners"),
        ([1.0, 2.0, 3.0], [1.0, 3.0, 1.0], "unloaded state"),
        ([2.0, 0.1, -2.0, 0.0], [0.0, 0.1, 2.0, -3.0], "without a dent"),
        ([0.0, 0.0, 0.0], [1.0, -1.0, 0.5], "axial force"),
    ],
)
def test_refused(axial: list[float], pressure: list[float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        checked_envelope(axial, pressure)
