"""Three invented wells by a second route: what each load case means, the force it puts on the pipe, its factors.

Source: our own plain arithmetic from mechanics and the published formulas, not published. Strength formulas:
API TR 5C3 (ISO/TR 10400), values from memory where the standard's text could not be read.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

INCH, PSI, G = 0.0254, 0.45359237 * 9.80665 / 0.0254**2, 9.80665
DEEP = 1e5
SEA = 1025.0
Line = list[tuple[float, float]]


# --- strength of one tube at one place, in inches and psi where the standard is ------------------------------------------


def collapse_strength(y: float, x: float) -> float:
    """Four regimes; yield [psi], diameter over wall."""
    a = 2.8762 + 0.10679e-5 * y + 0.21301e-10 * y**2 - 0.53132e-16 * y**3
    b = 0.026233 + 0.50609e-6 * y
    c = -465.93 + 0.030867 * y - 0.10483e-7 * y**2 + 0.36989e-13 * y**3
    q = b / a
    u = 3.0 * q / (2.0 + q)
    f = 46.95e6 * u**3 / (y * (u - q) * (1.0 - u) ** 2)
    g = f * q
    if x <= (math.sqrt((a - 2.0) ** 2 + 8.0 * (b + c / y)) + (a - 2.0)) / (2.0 * (b + c / y)):
        return 2.0 * y * (x - 1.0) / x**2
    if x <= y * (a - f) / (c + y * (b - g)):
        return y * (a / x - b) - c
    if x <= (2.0 + q) / (3.0 * q):
        return y * (f / x - g)
    return 46.95e6 / (x * (x - 1.0) ** 2)


def reduced(y: float, stress: float) -> float:
    """Yield left under a stress; none gained by compression."""
    s = max(stress, 0.0) / y
    return y * (math.sqrt(1.0 - 0.75 * s * s) - 0.5 * s)


def collapse(tube: Any, force: float, inside: float, outside: float, older: bool) -> tuple[float, float]:
    stress = force / tube.steel
    y = reduced(tube.strength, stress if older else stress + inside)
    load = outside - (1.0 - 2.0 * tube.wall / tube.od) * inside if older else outside - inside
    return load, collapse_strength(y / PSI, tube.od / tube.wall) * PSI


def burst(tube: Any, inside: float, outside: float, thick: bool) -> tuple[float, float]:
    if not thick:
        return inside - outside, 2.0 * tube.strength * tube.least * tube.wall / tube.od
    D, d, w = tube.od, tube.od - 2.0 * tube.wall, tube.od - 2.0 * tube.least * tube.wall
    axial = d**2 / (D**2 - d**2)
    total = (3.0 * D**4 + w**4) / (D**2 - w**2) ** 2 + axial**2 - 2.0 * w**2 / (D**2 - w**2) * axial
    return inside - outside, tube.strength / math.sqrt(total)


def equivalent(tube: Any, force: float, inside: float, outside: float, bend: float, nominal: bool) -> float:
    """Highest von Mises stress of inner and outer wall on both sides of the bend; *bend* is E times curvature."""
    D, d = tube.od, tube.od - 2.0 * tube.wall
    w = d if nominal else tube.od - 2.0 * tube.least * tube.wall
    worst = 0.0
    for r, arm in ((w / 2.0, d / 2.0), (D / 2.0, D / 2.0)):
        mean = (inside * w**2 - outside * D**2) / (D**2 - w**2)
        swing = (inside - outside) * D**2 * w**2 / (4.0 * r**2) / (D**2 - w**2)
        radial, hoop = mean - swing, mean + swing
        for sign in (-1.0, 1.0):
            axial = force / tube.steel + sign * bend * arm
            square = 0.5 * ((radial - hoop) ** 2 + (hoop - axial) ** 2 + (axial - radial) ** 2)
            worst = max(worst, math.sqrt(square))
    return worst


# --- what the load cases mean ---------------------------------------------------------------------------------------------


def fill(top: float, pressure: float, *layers: tuple[float, float]) -> Line:
    line = [(top, pressure)]
    for density, bottom in layers:
        z, p = line[-1]
        line.append((bottom, p + density * G * (bottom - z)))
    return line


def stack(b: Any, top: float, run_in: float) -> Line:
    """Outside at the end of cementing: mud from *top*, slurry where there is cement, mud between."""
    layers = []
    for upper, lower, slurry in b.cement:
        layers += [(run_in, b.path.tvd(upper)), (slurry, b.path.tvd(lower))]
    layers.append((run_in, DEEP))
    return fill(top, 0.0, *[layer for layer in layers if layer[1] > top])


def lower(line: Line, a: float, b: float, at: Any) -> list[tuple[float, float]]:
    """Corners of a line between two depths, with both ends."""
    return [(a, at(line, a)), *[(z, p) for z, p in line if a < z < b], (b, at(line, b))]


def lost(pressure: float, z: float, mud: float) -> Line:
    """Mud that balances a pressure at *z*, nothing above it."""
    level = z - pressure / (mud * G)
    return fill(level, 0.0, (mud, DEEP))


def gas(points: list[tuple[float, float]], gradient: float) -> Line:
    """Gas through the point that allows the least pressure."""
    at_zero = min(p - gradient * z for z, p in points)
    return [(0.0, at_zero), (DEEP, at_zero + gradient * DEEP)]
