from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads import strength
from casingloads.catalog.couplings import standard_couplings
from casingloads.constants import INCH, PSI

sizes = st.floats(4.5, 20.0).map(lambda inches: inches * INCH)


def test_coupling_pressure_by_hand() -> None:
    """5-1/2 in P110 long round thread, coupling 6.050 in.

    d1 = 5.40337 - (3.500 - 0.704) 0.0625 + 0.07425 = 5.30287 in.
    Yield 110,000 (6.050 - 5.30287) / 6.050 = 13,584.2 psi.
    T N p = 0.0625 x 3 x 0.125 = 0.0234375 in; leak 30e6 x 0.0234375 (6.050^2 - 5.40337^2) / (2 x 5.40337 x 6.050^2)
    = 13,164.9 psi.
    """
    c = standard_couplings().find(5.5 * INCH, "LTC")
    w = strength.coupling_pressure_working(
        c.od, c.root_diameter, 110e3 * PSI, c.pitch_diameter, c.taper, c.pitch, c.turns
    )
    assert float(w.root_diameter) / INCH == pytest.approx(5.30287, abs=1e-6)
    assert float(w.interference) / INCH == pytest.approx(0.0234375, abs=1e-9)
    assert float(w.yield_pressure) / PSI == pytest.approx(13_584.2, abs=0.1)
    assert float(w.leak_resistance) / PSI == pytest.approx(13_164.9, abs=0.1)
    assert float(w.rating) / PSI == pytest.approx(13_164.9, abs=0.1)
    assert bool(w.leaks_first)


@given(sizes, st.floats(1.02, 1.3), st.floats(1.001, 1.2), st.floats(40e3, 150e3), st.floats(1.0, 4.0))
def test_thicker_coupling_holds_more(od: float, ratio: float, more: float, psi: float, turns: float) -> None:
    seal, root = 0.99 * od, 0.97 * od
    thin, thick = (
        strength.coupling_pressure_working(od * w, root, psi * PSI, seal, 0.0625, 0.125 * INCH, turns)
        for w in (ratio, ratio * more)
    )
    assert thick.yield_pressure > thin.yield_pressure
    assert thick.leak_resistance > thin.leak_resistance
    assert thin.rating == min(thin.yield_pressure, thin.leak_resistance)
    again = strength.coupling_pressure_rating(od * ratio, root, psi * PSI, seal, 0.0625, 0.125 * INCH, turns)
    assert again == thin.rating
    doubled = strength.leak_resistance(od * ratio, seal, 0.0625, 0.125 * INCH, 2.0 * turns)
    assert float(doubled) == pytest.approx(2.0 * float(thin.leak_resistance), rel=1e-12)


def test_coupling_pressure_broadcasts() -> None:
    od, y = np.array([[0.15], [0.2]]), np.array([400e6, 500e6, 600e6])
    w = strength.coupling_pressure_working(od, 0.9 * od, y, 0.92 * od, 0.0625, 0.125 * INCH, 3.0)
    assert {value.shape for value in vars(w).values()} == {(2, 3)}
    alone = strength.coupling_pressure_working(0.2, 0.18, 600e6, 0.184, 0.0625, 0.125 * INCH, 3.0)
    assert w.rating[1, 2] == pytest.approx(float(alone.rating), rel=1e-12)


def test_bad_arguments_are_refused() -> None:
    leak = {"coupling_od": 0.2, "pitch_diameter": 0.18, "taper": 0.0625, "pitch": 0.003, "turns": 3.0}
    for name, value, message in (
        ("pitch_diameter", 0.2, r"pitch_diameter = 0.2 m, coupling_od = 0.2 m: need pitch_diameter < coupling_od"),
        ("taper", 0.0, "taper = 0: need a finite number above 0"),
        ("pitch", -0.003, "pitch = -0.003 m"),
        ("turns", math.nan, "turns = nan"),
        ("modulus", 0.0, "modulus = 0 Pa"),
    ):
        with pytest.raises(ValueError, match=message):
            strength.leak_resistance(**(leak | {name: value}))
    with pytest.raises(ValueError, match="yield_strength = -1 Pa"):
        strength.coupling_yield_pressure(0.2, 0.18, -1.0)
    with pytest.raises(ValueError, match="plane = 0 m"):
        strength.coupling_root_diameter(0.2, 0.0, 0.0625, 0.002)
