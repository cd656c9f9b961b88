from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from casingloads import strength
from casingloads.strength.burst import End

diameters = st.floats(0.05, 1.0)
fractions = st.floats(0.01, 0.45)  # wall over outside diameter
yields = st.floats(2e8, 1.2e9)
wall_factors = st.floats(0.7, 1.0)
ENDS: tuple[End, ...] = ("open", "capped", "fixed")


@given(diameters, fractions, yields, wall_factors)
def test_barlow_is_a_force_balance_on_the_outside_diameter(
    od: float, fraction: float, yield_strength: float, wall_factor: float
) -> None:
    wall = fraction * od
    pressure = float(strength.internal_yield_pressure(od, wall, yield_strength, wall_factor))
    assert pressure * od == pytest.approx(2.0 * wall_factor * wall * yield_strength, rel=1e-12)


@given(diameters, fractions, yields, wall_factors)
def test_closed_forms_of_the_standard(od: float, fraction: float, yield_strength: float, wall_factor: float) -> None:
    """ISO/TR 10400:2007 clause 6.6, written out; value from memory."""
    wall = fraction * od
    d, w = od - 2.0 * wall, od - 2.0 * wall_factor * wall
    thick, nominal = od**2 - w**2, od**2 - d**2
    opened = yield_strength * thick / math.sqrt(3.0 * od**4 + w**4)
    capped = yield_strength / math.sqrt(
        (3.0 * od**4 + w**4) / thick**2 + d**4 / nominal**2 - 2.0 * d**2 * w**2 / (nominal * thick)
    )
    for end, expected in (("open", opened), ("capped", capped)):
        ours = strength.thick_wall_yield_pressure(od, wall, yield_strength, wall_factor, end)  # type: ignore[arg-type]
        assert float(ours) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("wall_factor", [0.875, 1.0])
@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("wall", [0.006, 0.0138, 0.05])
def test_yield_is_where_the_equivalent_stress_reaches_it(wall: float, end: End, wall_factor: float) -> None:
    od, yield_strength, poisson = 0.2445, 758e6, 0.28
    bore = od / 2.0 - wall_factor * wall

    def excess(pressure: float) -> float:
        radial, hoop = strength.lame_stresses(od, wall_factor * wall, pressure, 0.0, bore)
        steel = float(strength.steel_area(od, wall))
        force = {
            "open": 0.0,
            "capped": pressure * float(strength.bore_area(od, wall)),
            "fixed": poisson * float(radial + hoop) * steel,  # no axial strain
        }[end]
        stress = strength.triaxial_stress(od, wall, pressure, 0.0, force, wall_factor=wall_factor)
        return float(stress.greatest) - yield_strength

    route = brentq(excess, 0.0, yield_strength, rtol=1e-13)
    ours = strength.thick_wall_yield_pressure(od, wall, yield_strength, wall_factor, end, poisson)
    assert float(ours) == pytest.approx(route, rel=1e-10)


def test_thin_wall_limits() -> None:
    """A membrane: open ends yield at Barlow's pressure, capped ones 2/sqrt(3) above it."""
    barlow = strength.internal_yield_pressure(1.0, 1e-5, 5e8)
    opened = strength.thick_wall_yield_pressure(1.0, 1e-5, 5e8, end="open")
    capped = strength.thick_wall_yield_pressure(1.0, 1e-5, 5e8, wall_factor=1.0)
    assert float(opened / barlow) == pytest.approx(1.0, rel=1e-4)
    whole = strength.internal_yield_pressure(1.0, 1e-5, 5e8, wall_factor=1.0)
    assert float(capped / whole) == pytest.approx(2.0 / math.sqrt(3.0), rel=1e-4)
    incompressible = strength.thick_wall_yield_pressure(1.0, 1e-5, 5e8, 1.0, "fixed", 0.5)
    assert float(incompressible / whole) == pytest.approx(2.0 / math.sqrt(3.0), rel=1e-4)


@given(fractions, fractions, yields)
def test_more_wall_and_more_yield_never_weaken(one: float, other: float, yield_strength: float) -> None:
    thin, thick = sorted((one, other))
    for end in ENDS:
        weaker = strength.thick_wall_yield_pressure(1.0, thin, yield_strength, end=end)
        assert strength.thick_wall_yield_pressure(1.0, thick, yield_strength, end=end) >= weaker * (1 - 1e-12)
        assert strength.thick_wall_yield_pressure(1.0, thin, 1.1 * yield_strength, end=end) > weaker


def test_arrays_broadcast_and_agree_with_scalars() -> None:
    od, wall, yield_strength = np.array([[0.2], [0.3]]), np.array([0.01, 0.02, 0.03]), np.full((4, 1, 1), 5e8)
    table = strength.internal_yield_pressure(od, wall, yield_strength)
    assert table.shape == (4, 2, 3)
    assert table[3, 1, 2] == strength.internal_yield_pressure(0.3, 0.03, 5e8)
    for end in ENDS:
        table = strength.thick_wall_yield_pressure(od, wall, yield_strength, end=end)
        assert table.shape == (4, 2, 3)
        assert table[3, 1, 2] == pytest.approx(
            float(strength.thick_wall_yield_pressure(0.3, 0.03, 5e8, end=end)), rel=1e-14
        )


def test_bad_arguments_are_refused() -> None:
    with pytest.raises(ValueError, match=r"end = 'closed': need 'open', 'capped' or 'fixed'"):
        strength.thick_wall_yield_pressure(0.2, 0.01, 5e8, end="closed")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"poisson = 0.6: need a finite number .* at most 0.5"):
        strength.thick_wall_yield_pressure(0.2, 0.01, 5e8, poisson=0.6)
    for function in (strength.internal_yield_pressure, strength.thick_wall_yield_pressure):
        with pytest.raises(ValueError, match=r"need 2\*wall < od"):
            function(0.2, 0.1, 5e8)
        with pytest.raises(ValueError, match="yield_strength = -5e"):
            function(0.2, 0.01, -5e8)
        with pytest.raises(ValueError, match="wall_factor = 0"):
            function(0.2, 0.01, 5e8, 0.0)
