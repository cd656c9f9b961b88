"""Trapped annuli by a second route: tubes by finite elements, columns by an ordinary differential equation.

Nothing here uses the library's formulas. Each pipe is a mesh of quadratic elements along the radius (plane strain;
heat as an initial stress), solved for a pressure of one inside, one outside and for one kelvin. The pressure along an
annulus is integrated from its top by scipy's solver; its mass is a sum over Gauss points between the depths where
anything changes. The annuli are solved one after the other, each by bisection of its top pressure, until none moves.
Water is CoolProp's reference equation, not our polynomial.

Source: equations of elasticity in weak form (Zienkiewicz & Taylor, *The Finite Element Method*), conservation of mass;
our own, not published.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from casingloads.annuli.buildup import TrappedAnnulus, Wall, build_up
from casingloads.annuli.expansion import WATER, ConstantExpansion, LiquidLaw
from casingloads.well import Steel

G, ATM, INCH = 9.80665, 101325.0, 0.0254
E, NU, ALPHA = 206e9, 0.29, 12.2e-6
Law = Callable[[float, float], float]


# --- a tube by finite elements -----------------------------------------------------------------------------------


def tube(a: float, b: float, elements: int = 6) -> Any:
    """Displacement of bore and outside (rows) by a pressure of 1 Pa inside, 1 Pa outside, and 1 K (columns)."""
    lame, shear = E * NU / ((1.0 + NU) * (1.0 - 2.0 * NU)), E / (2.0 * (1.0 + NU))
    elastic = np.array([[lame + 2.0 * shear, lame], [lame, lame + 2.0 * shear]])
    hot = (3.0 * lame + 2.0 * shear) * ALPHA * np.ones(2)
    nodes = np.linspace(a, b, 2 * elements + 1)
    stiffness, force = np.zeros((nodes.size, nodes.size)), np.zeros((nodes.size, 3))
    points, weights = np.polynomial.legendre.leggauss(4)
    for e in range(elements):
        here = slice(2 * e, 2 * e + 3)
        half = (nodes[2 * e + 2] - nodes[2 * e]) / 2.0
        for x, w in zip(points, weights, strict=True):
            shape = np.array([x * (x - 1.0) / 2.0, 1.0 - x * x, x * (x + 1.0) / 2.0])
            slope = np.array([x - 0.5, -2.0 * x, x + 0.5]) / half
            r = shape @ nodes[here]
            strain = np.array([slope, shape / r])
            stiffness[here, here] += strain.T @ elastic @ strain * r * half * w
            force[here, 2] += strain.T @ hot * r * half * w
    force[0, 0], force[-1, 1] = a, -b
    moved = np.linalg.solve(stiffness, force)
    return moved[[0, -1]]


def test_elements_have_converged() -> None:
    assert tube(0.1, 0.12, 6) == pytest.approx(tube(0.1, 0.12, 24), rel=1e-7)


# --- the well ----------------------------------------------------------------------------------------------------

TOP, CHANGE, FAR_IN = 120.0, 1500.0, 6e6
PIPES = {  # radii above and below the change of pipe [m]
    "tubing": ((2.446 * INCH, 2.75 * INCH),) * 2,
    "9-5/8": ((8.535 / 2 * INCH, 9.625 / 2 * INCH), (8.681 / 2 * INCH, 9.625 / 2 * INCH)),
    "13-3/8": ((12.347 / 2 * INCH, 13.375 / 2 * INCH),) * 2,
    "20": ((18.73 / 2 * INCH, 10.0 * INCH),) * 2,
}
ANNULI = {  # inner, outer, bottom, pressure at the top then, temperature now at the top and its slope
    "A": ("tubing", "9-5/8", 3400.0, 2.0e6, 352.0, 0.012),
    "B": ("9-5/8", "13-3/8", 2500.0, 1.5e6, 330.0, 0.015),
    "C": ("13-3/8", "20", 1300.0, 1.0e6, 304.0, 0.022),
}
BREAKS = sorted({TOP, CHANGE, *(bottom for _, _, bottom, *_ in ANNULI.values())})


def then(z: float) -> float:
    return 277.0 + 0.031 * z


def column(law: Law, top: float, bottom: float, pressure: float, kelvin: Callable[[float], float], z: Any) -> Any:
    """Absolute pressure at *z* [Pa]."""

    def slope(depth: float, p: Any) -> list[float]:
        return [G * law(float(p[0]), kelvin(depth))]

    solution = solve_ivp(slope, (top, bottom), [pressure], t_eval=[*z, bottom], rtol=1e-9, atol=1.0)
    return solution.y[0][:-1]


@dataclass
class Ring:
    """An annulus at its Gauss points; *all_z* are those of the whole well, of which it has the first ones."""

    name: str
    law: Law
    all_z: Any
    all_w: Any

    def __post_init__(self) -> None:
        self.inner, self.outer, self.bottom, self.head, self.warm, self.slope = ANNULI[self.name]
        self.count = int(np.sum(self.all_z < self.bottom))
        self.z, self.w = self.all_z[: self.count], self.all_w[: self.count]
        lower = (self.z > CHANGE).astype(int)
        self.tubes = {p: np.array([tube(*PIPES[p][i]) for i in (0, 1)])[lower] for p in (self.inner, self.outer)}
        self.r = np.array([PIPES[self.inner][i][1] for i in (0, 1)])[lower]
        self.c = np.array([PIPES[self.outer][i][0] for i in (0, 1)])[lower]
        self.rise = np.array([self.now(z) - then(z) for z in self.z])
        self.before = column(self.law, TOP, self.bottom, self.head + ATM, then, self.z)
        rho = np.array([self.law(p, then(z)) for p, z in zip(self.before, self.z, strict=True)])
        self.mass = float(self.w @ (rho * math.pi * (self.c**2 - self.r**2)))
        self.change = np.zeros(self.all_z.size)

    def now(self, z: float) -> float:
        return self.warm + self.slope * (z - TOP)

    def excess(self, top: float, inside: Any, outside: Any) -> float:
        """Mass that fits in less the mass there is [kg], from the gauge pressure at the top; keeps the changes."""
        pressure = column(self.law, TOP, self.bottom, top + ATM, self.now, self.z)
        own = pressure - self.before
        self.change[: self.count] = own
        load_in = np.array([inside[: self.count], own, self.rise])
        load_out = np.array([own, outside[: self.count], self.rise])
        u_r = np.einsum("zl,lz->z", self.tubes[self.inner][:, 1], load_in)
        u_c = np.einsum("zl,lz->z", self.tubes[self.outer][:, 0], load_out)
        rho = np.array([self.law(p, self.now(z)) for p, z in zip(pressure, self.z, strict=True)])
        return float(self.w @ (rho * math.pi * ((self.c + u_c) ** 2 - (self.r + u_r) ** 2))) - self.mass


def solved(law: Law, held: dict[str, float] | None = None) -> tuple[dict[str, float], dict[str, float]]:
    """Return gauge pressures at the tops, and what the annuli *held* at a pressure have lost [kg]."""
    points, weights = np.polynomial.legendre.leggauss(6)
    half = [(b - a) / 2.0 for a, b in pairwise(BREAKS)]
    z = np.concatenate([a + h * (1.0 + points) for a, h in zip(BREAKS, half, strict=False)])
    w = np.concatenate([h * weights for h in half])
    rings = [Ring(name, law, z, w) for name in ANNULI]
    beyond_in, beyond_out = np.full(z.size, FAR_IN), np.zeros(z.size)
    tops, lost = {ring.name: ring.head + 10e6 for ring in rings}, {}
    for _ in range(40):
        before = dict(tops)
        for k, ring in enumerate(rings):
            inside = rings[k - 1].change if k else beyond_in
            outside = rings[k + 1].change if k < 2 else beyond_out
            if held and ring.name in held:
                tops[ring.name] = held[ring.name]
                lost[ring.name] = -ring.excess(held[ring.name], inside, outside)
                continue

            def balance(top: float, at: Any = (ring, inside, outside)) -> float:
                return float(at[0].excess(top, at[1], at[2]))

            guess = tops[ring.name]
            tops[ring.name] = brentq(balance, guess - 30e6 if guess > 30e6 else 0.0, guess + 60e6, xtol=10.0)
            balance(tops[ring.name])
        if max(abs(tops[name] - before[name]) for name in tops) < 50.0:
            return tops, lost
    raise AssertionError("the second route has not settled")


def ours(fluid: LiquidLaw, law: Law, **relief: Any) -> tuple[Any, ...]:
    annuli = []
    for name, (inner, outer, bottom, head, warm, slope) in ANNULI.items():
        md = np.linspace(TOP, bottom, 90)
        if bottom > CHANGE:
            md = np.sort([*md, CHANGE, CHANGE])
        lower = md > CHANGE
        lower[np.flatnonzero(md == CHANGE)[1:]] = True
        walls = {}
        for side, pipe, far in (("inner", inner, FAR_IN), ("outer", outer, 0.0)):
            (a, b), (c, d) = PIPES[pipe]
            walls[side] = Wall(
                pipe=pipe, inside_radius=np.where(lower, c, a), outside_radius=np.where(lower, d, b), far_change=far
            )
        unique = np.unique(md)
        pressure = column(law, TOP, bottom, head + ATM, then, unique[:-1])
        last = column(law, TOP, bottom + 1e-6, head + ATM, then, [bottom])
        annuli.append(
            TrappedAnnulus(
                name=name, md=md, tvd=md, fluid=fluid, inner=walls["inner"], outer=walls["outer"],
                pressure_then=np.interp(md, unique, [*pressure, *last]) - ATM,
                temperature_then=277.0 + 0.031 * md, temperature_now=warm + slope * (md - TOP),
                **relief.get(name, {}),
            )
        )  # fmt: skip
    return build_up(annuli, Steel(modulus=E, poisson=NU, expansion=ALPHA))


BRINE = ConstantExpansion(
    reference_density=1150.0,
    expansion=4.2e-4,
    compressibility=4.1e-10,
    reference_pressure=1e5,
    reference_temperature=290.0,
)


def brine(p: float, kelvin: float) -> float:
    return 1150.0 * math.exp(4.1e-10 * (p - 1e5) - 4.2e-4 * (kelvin - 290.0))


def water(p: float, kelvin: float) -> float:
    return float(PropsSI("D", "P", p, "T", kelvin, "Water"))


def heads(results: tuple[Any, ...]) -> list[float]:
    return [float(result.pressure_now[0]) for result in results]


def test_three_annuli_of_brine() -> None:
    """31.888, 22.002 and 12.390 MPa at the tops; they agree to 2e-7."""
    tops, _ = solved(brine)
    assert heads(ours(BRINE, brine)) == pytest.approx([*tops.values()], rel=2e-6)


def test_three_annuli_of_water() -> None:
    """Our polynomial against the reference equation: 39.69, 23.95 and 10.34 MPa at the tops; they agree to 2.2e-4."""
    tops, _ = solved(water)
    assert heads(ours(WATER, water)) == pytest.approx([*tops.values()], rel=5e-4)


def test_bled_annulus_between_two_closed_ones() -> None:
    tops, lost = solved(brine, held={"B": 8e6})
    results = ours(BRINE, brine, B={"bleeds_to": 8e6})
    assert heads(results) == pytest.approx([*tops.values()], rel=2e-6)
    at_head = brine(8e6 + ATM, ANNULI["B"][4])
    assert results[1].bled == pytest.approx(lost["B"] / at_head, rel=1e-6)
