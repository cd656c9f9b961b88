"""Columns in and around a string by plain hydrostatics: what stands behind it, gas, and a bubble on its way up.

For the second route to moving strings and well control; nothing of the library. Source: hydrostatics; bubble of gas by
LeBlanc & Lewis 1968, compressibility by Dranchuk & Abou-Kassem 1975 with the pseudo-critical point of Sutton 1985
(citations and constants from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from moving_by_hand import DEEP, G, Line
from scipy.optimize import brentq

ATM = 101325.0
WATER = 1000.0
PSI = 6894.757293168361
Filling = float | str
"""A density, or "as run", "pore", "overburden", "nothing"."""


def column(density: float, top: float = 0.0, pressure: float = 0.0) -> Line:
    """A fluid from *top* down, under a pressure there."""
    return [(top, pressure), (DEEP, pressure + density * G * (DEEP - top))]


def raised(line: Line, pressure: float) -> Line:
    return [(z, p + pressure) for z, p in line]


def behind(b: Any, cased_to: float, head: tuple[float, float], run_in: float, fillings: tuple[Filling, ...]) -> Line:
    """What stands behind a pipe: *fillings* above the cement inside earlier pipe, along cement, along open hole.

    A fluid hangs on the pressure at the top of its interval, the first on what is at the wellhead, (depth, pressure).
    """
    edges = {b.top, b.shoe, *(edge for upper, lower, _ in b.cement for edge in (upper, lower))}
    edges |= {cased_to} if b.top < cased_to < b.shoe else set()
    line: Line = []
    for upper, lower in pairwise(sorted(edges)):
        middle, top, bottom = 0.5 * (upper + lower), b.path.tvd(upper), b.path.tvd(lower)
        cemented = any(a < middle < z for a, z, _ in b.cement)
        what = fillings[1] if cemented else fillings[0] if middle < cased_to else fillings[2]
        if isinstance(what, float):
            start = line[-1][1] if line else head[1] + what * G * (top - head[0])
            line += [(top, start), (bottom, start + what * G * (bottom - top))]
        elif what == "nothing":
            line += [(top, 0.0), (bottom, 0.0)]
        elif what == "as run":
            line += [(top, run_in * G * top), (bottom, run_in * G * bottom)]
        else:
            line += b.between(b.earth({"pore": "pore_pressure"}.get(what, what)), top, bottom)
    return line


def through(gradient: float, top: float, *allowed: tuple[float, float]) -> Line:
    """A straight column through the one of the points ``(depth, pressure)`` that lets it press least."""
    least = min(p - gradient * z for z, p in allowed)
    return [(top, least + gradient * top), (DEEP, least + gradient * DEEP)]


def mud_over_gas(top: float, pressure: float, density: float, gradient: float, point: tuple[float, float]) -> Line:
    """Mud under a pressure at *top*, then gas down to a point of known pressure."""
    depth, known = point
    contact = brentq(lambda z: pressure + density * G * (z - top) + gradient * (depth - z) - known, top, depth)
    there = pressure + density * G * (contact - top)
    return [(top, pressure), (contact, there), (DEEP, there + gradient * (DEEP - contact))]


# --- gas --------------------------------------------------------------------------------------------------------------


def compressibility(pressure: float, temperature: float, gravity: float) -> float:
    """Factor z by Dranchuk & Abou-Kassem; absolute pressure [Pa], temperature [K]."""
    pr = pressure / ((756.8 - 131.0 * gravity - 3.6 * gravity**2) * PSI)
    tr = temperature * 1.8 / (169.2 + 349.5 * gravity - 74.0 * gravity**2)
    c1 = 0.3265 - 1.07 / tr - 0.5339 / tr**3 + 0.01569 / tr**4 - 0.05165 / tr**5
    c2 = 0.5475 - 0.7361 / tr + 0.1844 / tr**2
    c3 = 0.1056 * (-0.7361 / tr + 0.1844 / tr**2)

    def off(r: float) -> float:
        last = 0.6134 * (1.0 + 0.7210 * r * r) * r * r / tr**3 * math.exp(-0.7210 * r * r)
        return 1.0 + c1 * r + c2 * r * r - c3 * r**5 + last - 0.27 * pr / (r * tr)

    return 0.27 * pr / (float(brentq(off, 1e-6, 4.0, xtol=1e-14)) * tr)


@dataclass(frozen=True)
class Real:
    """A real gas of a gravity, as warm as a table says."""

    gravity: float
    temperature: Callable[[float], float]

    def density(self, pressure: float, z: float) -> float:
        """Of gauge pressure."""
        p, t = pressure + ATM, self.temperature(z)
        return p * 28.9647e-3 * self.gravity / (compressibility(p, t, self.gravity) * 8.314462618 * t)

    def line(self, start: float, pressure: float, end: float, parts: int = 40) -> Line:
        """Pressure from a known point to another depth, by fourth-order steps; the shallower point first."""
        h, found = (end - start) / parts, [(start, pressure)]
        for _ in range(parts):
            z, p = found[-1]
            k1 = G * self.density(p, z)
            k2 = G * self.density(p + 0.5 * h * k1, z + 0.5 * h)
            k3 = G * self.density(p + 0.5 * h * k2, z + 0.5 * h)
            k4 = G * self.density(p + h * k3, z + h)
            found.append((z + h, p + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)))
        return sorted(found)


@dataclass(frozen=True)
class Straight:
    """A gas of constant gradient; its law is that of an ideal gas that stays as warm."""

    gradient: float

    def density(self, pressure: float, z: float) -> float:
        return pressure + ATM

    def line(self, start: float, pressure: float, end: float, parts: int = 1) -> Line:
        return sorted([(start, pressure), (end, pressure + self.gradient * (end - start))])


@dataclass(frozen=True)
class Bubble:
    """Gas that is circulated out of a hole: the bottom is held, the law of gases counts at the bubble's top."""

    b: Any
    head: float
    bottom: tuple[float, float]  # depth, pressure held
    influx: float
    mud: tuple[float, float]  # density above, density below
    gas: Real | Straight
    annulus: list[tuple[float, float]]  # from the wellhead down: to which depth [m md], area [m2]

    def volume(self, top: float, end: float) -> float:
        upper, lower, total = self.b.path.depth_of(top), self.b.path.depth_of(end), 0.0
        start = 0.0
        for to, area in self.annulus:
            total += area * max(0.0, min(lower, to) - max(upper, start))
            start = to
        return total

    def stands(self, top: float, end: float, held: float, parts: int) -> Line:
        """Pressure along the bubble."""
        at_end = held - self.mud[1] * G * (self.bottom[0] - end)
        return self.gas.line(end, at_end, top, parts)

    def ends(self, top: float | None) -> tuple[float, float]:
        """Top and lower end of the bubble; no top: as it came in, standing on the bottom."""
        bottom, held = self.bottom
        mass = self.influx * self.gas.density(held, bottom)

        def over(top: float, end: float) -> float:
            return self.gas.density(self.stands(top, end, held, 4)[0][1], top) * self.volume(top, end) - mass

        if top is None:
            return float(brentq(lambda z: over(z, bottom), self.head, bottom - 0.1)), bottom
        return top, float(brentq(lambda z: over(top, z), top + 0.1, bottom))

    def column(self, top: float | None, bears: Line) -> Line:
        """All of it, lowered until no exposed rock *bears* less."""
        top, end = self.ends(top)
        (bottom, held), parts = self.bottom, 30
        for _ in range(6):
            inner = self.stands(top, end, held, parts)
            line = [(self.head, inner[0][1] - self.mud[0] * G * (top - self.head)), *inner, (bottom, held)]
            over = max(self.b.at(line, z) - p for z, p in bears)
            if held == self.bottom[1] and over <= 0.0:
                break
            held -= over
        return line


def mass_of(bubble: Bubble, top: float, end: float) -> float:
    """Mass of the gas between two depths, by its density all along (in its own measure for a straight gas)."""
    line = bubble.stands(top, end, bubble.bottom[1], 40)
    total = 0.0
    for (z1, p1), (z2, p2) in pairwise(line):
        total += 0.5 * (bubble.gas.density(p1, z1) + bubble.gas.density(p2, z2)) * bubble.volume(z1, z2)
    return total
