"""Strings held by cement, with buckling and yielding, by plain sums: for the second route to the cases of production.

Rests on the plain arithmetic of ``second_route/conftest.py`` (path, hanging force, strength) and on nothing of the
library. A free length is cut into pieces of 1 m, and the force that keeps its length is found by bisection. Source:
mechanics; strain of buckled pipe after Lubinski and, where it snakes, Mitchell (constants from memory).
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from operator import itemgetter
from typing import Any

import numpy as np

G, ATM = 9.80665, 101325.0
HAIR = 1e-6  # depths nearer than this are one [m]
DEEP = 1e5
HELIX = 2.8  # times the force at which pipe snakes
Line = list[tuple[float, float]]
"""A quantity against true vertical depth: corners, straight between them, constant beyond."""
Column = list[tuple[float, Line]]
"""Stretches from the top down: the measured depth to which each reaches, and its line."""
Floats = np.ndarray[Any, np.dtype[np.float64]]
Place = tuple[float, bool]
"""A measured depth, and whether its lower side is meant."""
SMALL = {"burst": 1e4, "collapse": 1e4, "tension": 1e3, "compression": 1e3, "triaxial": 1e5}
UNITS = {"burst": "pa", "collapse": "pa", "tension": "n", "compression": "n", "triaxial": "pa"}


def value(line: Line, z: float) -> float:
    """The line at a depth; where it jumps, above."""
    i = bisect_left(line, z, key=itemgetter(0))
    if i in (0, len(line)):
        return line[min(i, len(line) - 1)][1]
    (z1, v1), (z2, v2) = line[i - 1], line[i]
    return v1 + (v2 - v1) * (z - z1) / (z2 - z1)


def slope(line: Line, z: float, below: bool) -> float:
    """Slope on one side of a depth; beyond the last corner none."""
    i = bisect_left(line, z + (HAIR if below else -HAIR), key=itemgetter(0))
    if i in (0, len(line)):
        return 0.0
    (z1, v1), (z2, v2) = line[i - 1], line[i]
    return (v2 - v1) / (z2 - z1)


def snaking(stiffness: Any, side: Any, clearance: Any) -> Any:
    """Compression at which pipe leaves the low side: 2 sqrt(E I n / r)."""
    return 2.0 * np.sqrt(stiffness * side / clearance)


def buckled_strain(push: Any, start: Any, stiffness: Any, clearance: Any) -> Any:
    """Strain along the hole of a helix, -r2 F/4EI, or of a snake below 2.8 times its start."""
    over = np.maximum(push - start, 0.0)
    helix = -(clearance**2) * push / (4.0 * stiffness)
    snake = -0.7285 * clearance**2 / (4.0 * stiffness) * np.maximum(push, 0.0) ** 0.08 * over**0.92
    return np.where(push > start, np.where(push >= HELIX * start, helix, snake), 0.0)


def buckled_curvature(push: float, start: float, stiffness: float, clearance: float) -> float:
    """Greatest curvature: of a helix r F/2EI; of a snake r A w.

    The snake is a sine of wave number w = sqrt(F/2EI) whose slope r A cos has the mean square of its strain:
    r2 A2/4 = 0.7285 r2/4EI F^0.08 (F - F_s)^0.92.
    """
    if push <= start or push <= 0.0:
        return 0.0
    if push >= HELIX * start:
        return clearance * push / (2.0 * stiffness)
    amplitude = math.sqrt(0.7285 / stiffness * push**0.08 * (push - start) ** 0.92)
    return clearance * amplitude * math.sqrt(push / (2.0 * stiffness))


@dataclass(eq=False)
class Step:
    """Pressures on a held string and its temperature against vertical depth.

    *friction* is what flow inside loses along the path from the top. A string with *top* is not held there: that force
    stands on it. *after* is the step before, whose yielding stays.
    """

    inside: Column
    outside: Column
    warm: Line
    friction: float = 0.0
    top: float | None = None
    yields: bool = False
    after: Step | None = None


@dataclass
class Cells:
    """A free length in pieces of 1 m, each known by its middle."""

    md: list[float]
    width: Floats
    steel: Floats
    bore: Floats
    outer: Floats
    weight: Floats
    stiffness: Floats
    clearance: Floats
    tangent: Floats
    turn: Floats  # derivative of the tangent along the path


@dataclass(eq=False)
class Held:
    """A string held at its top and by its cement.

    *b* is its bench and *outer* are those of the strings around it; *then* is how it stood when the cement set.
    """

    b: Any
    outer: list[Any]
    then: Step
    found: dict[tuple[Step, float], float] = field(default_factory=dict)
    depths: dict[float, float] = field(default_factory=dict)
    seen: dict[tuple[Step, float, bool], dict[str, float]] = field(default_factory=dict)

    @cached_property
    def hung(self) -> Any:
        """The same as conftest's moment, which knows no stretches."""
        return self.b.moment(self.then.inside[0][1], self.then.outside[0][1])

    def tvd(self, md: float) -> float:
        """True vertical depth; worked once."""
        if md not in self.depths:
            self.depths[md] = float(self.b.path.tvd(md))
        return self.depths[md]

    # --- what there is at a place -------------------------------------------------------------------------------

    def line(self, column: Column, place: Place) -> Line:
        md, below = place
        return next(line for to, line in column if md + (HAIR if below else -HAIR) < to)

    def inside(self, step: Step, place: Place) -> float:
        still = value(self.line(step.inside, place), self.tvd(place[0]))
        return float(still - step.friction * (place[0] - self.b.head))

    def outside(self, step: Step, place: Place) -> float:
        return float(value(self.line(step.outside, place), self.tvd(place[0])))

    def clearance(self, md: float, below: bool = True) -> float:
        """Radial, of the body: in the innermost of the strings around it that reach there, else in its hole."""
        od, place = self.b.tube(md, below).od, md + (HAIR if below else -HAIR)
        bores = [other.tube(md, below).id for other in self.outer if other.top < place < other.shoe]
        return float((bores[-1] if bores else self.b.si(self.b.string["hole_size"])) - od) / 2.0

    def direction(self, md: float, below: bool = True) -> tuple[list[float], list[float]]:
        """Tangent of the path, and its derivative along the path on one side."""
        path = self.b.path
        i = path._leg(md + (HAIR if below else -HAIR))
        angle, length = path._angle(i), path.md[i + 1] - path.md[i]
        pairs = list(zip(path.tangent[i], path.tangent[i + 1], strict=True))
        if angle < 1e-12:
            return [p for p, _ in pairs], [0.0, 0.0, 0.0]
        part = angle * (md - path.md[i]) / length
        rest, whole = angle - part, math.sin(angle)
        unit = [(math.sin(rest) * p + math.sin(part) * q) / whole for p, q in pairs]
        return unit, [angle / length * (math.cos(part) * q - math.cos(rest) * p) / whole for p, q in pairs]

    def buoyant(self, step: Step, place: Place) -> float:
        """Weight a metre, with what is inside and less what is displaced: by the slopes of the pressures at rest."""
        z, tube = self.tvd(place[0]), self.b.tube(*place)
        inside = slope(self.line(step.inside, place), z, place[1])
        outside = slope(self.line(step.outside, place), z, place[1])
        return float(tube.weight + inside * tube.bore - outside * tube.outer)

    def stiffness(self, tube: Any) -> float:
        return float(self.b.E * math.pi / 64.0 * (tube.od**4 - tube.id**4))

    # --- force ------------------------------------------------------------------------------------------------------

    @cached_property
    def free(self) -> list[tuple[float, float]]:
        """Lengths without cement; all of them end in cement here."""
        lengths = [(a, z) for a, z in self.b.free()]
        assert all(z < self.b.shoe for _, z in lengths)
        return lengths

    @cached_property
    def cells(self) -> dict[float, Cells]:
        return {a: self.cut(a, z) for a, z in self.free}

    def cut(self, a: float, z: float) -> Cells:
        edges = [*(float(x) for x in np.arange(a, z - 1e-3, 1.0)), z]
        md = [(u + v) / 2.0 for u, v in pairwise(edges)]
        tubes, ways = [self.b.tube(x, True) for x in md], [self.direction(x) for x in md]
        return Cells(
            md=md,
            width=np.diff(edges),
            steel=np.array([tube.steel for tube in tubes]),
            bore=np.array([tube.bore for tube in tubes]),
            outer=np.array([tube.outer for tube in tubes]),
            weight=np.array([tube.weight for tube in tubes]),
            stiffness=np.array([self.stiffness(tube) for tube in tubes]),
            clearance=np.array([self.clearance(x) for x in md]),
            tangent=np.array([unit for unit, _ in ways]),
            turn=np.array([rate for _, rate in ways]),
        )

    def rise(self, step: Step, md: float) -> float:
        z = self.tvd(md)
        return float(value(step.warm, z) - value(self.then.warm, z))

    def alone(self, step: Step, place: Place) -> float:
        """Change of force that keeps a short piece at its length: 2 nu (dp_i A_i - dp_o A_o) - E A alpha dT."""
        tube = self.b.tube(*place)
        inside = self.inside(step, place) - self.inside(self.then, place)
        outside = self.outside(step, place) - self.outside(self.then, place)
        balloon = 2.0 * self.b.nu * (inside * tube.bore - outside * tube.outer)
        return float(balloon - self.b.E * tube.steel * self.b.alpha * self.rise(step, place[0]))

    def passed(self, step: Step, a: float, place: float) -> float:
        """Change of the pressure on shoulders between two depths."""
        total = 0.0
        for upper, lower in pairwise(self.b.tubes):
            if a + HAIR / 2.0 < upper.bottom < place:
                here = (upper.bottom, True)
                inside = self.inside(step, here) - self.inside(self.then, here)
                outside = self.outside(step, here) - self.outside(self.then, here)
                total += outside * (lower.outer - upper.outer) - inside * (lower.bore - upper.bore)
        return total

    def change(self, step: Step, place: Place) -> float:
        """Change of the true force since the cement set."""
        md = place[0] + (HAIR if place[1] else -HAIR)
        for a, z in self.free:
            if a - HAIR < md < z:
                return self.at_top(step, a) - self.passed(step, a, md)
        if step.top is not None and place[0] == self.b.top:
            return float(step.top - self.b.hanging(self.hung, *place))
        return self.yielding(step, place)[0] if step.yields else self.alone(step, place)

    def at_top(self, step: Step, a: float) -> float:
        """Change just below the upper end of a free length."""
        if step.top is not None and a == self.b.top:
            return float(step.top - self.b.hanging(self.hung, a, True))
        if (step, a) not in self.found:
            self.found[step, a] = self.kept_length(step, a)
        return self.found[step, a]

    def kept_length(self, step: Step, a: float) -> float:
        """Bisect on the change of force with which the pieces of a free length keep their sum."""
        cells = self.cells[a]
        hung = np.array([self.b.hanging(self.hung, x, True) for x in cells.md])
        keeps = np.array([self.alone(step, (x, True)) for x in cells.md])
        passed = np.array([self.passed(step, a, x) for x in cells.md])
        buckled, already = self.strain_by_force(step, cells), self.strain_by_force(self.then, cells)(hung)

        def longer(change: float) -> float:
            elastic = (change - passed - keeps) / (self.b.E * cells.steel)
            return float((elastic + buckled(hung + change - passed) - already) @ cells.width)

        low, high = -5e7, 5e7
        while high - low > 1e-3:
            middle = 0.5 * (low + high)
            low, high = (low, middle) if longer(middle) > 0.0 else (middle, high)
        return 0.5 * (low + high)

    def strain_by_force(self, step: Step, cells: Cells) -> Callable[[Floats], Floats]:
        inside = np.array([self.inside(step, (x, True)) for x in cells.md])
        outside = np.array([self.outside(step, (x, True)) for x in cells.md])
        weight = np.array([self.buoyant(step, (x, True)) for x in cells.md])
        across = weight[:, None] * (np.array([0.0, 0.0, 1.0]) - cells.tangent[:, 2:] * cells.tangent)

        def strain(force: Floats) -> Floats:
            effective = force - inside * cells.bore + outside * cells.outer
            side = np.sqrt(np.sum((across + effective[:, None] * cells.turn) ** 2, axis=1))
            start = snaking(cells.stiffness, side, cells.clearance)
            return np.asarray(buckled_strain(-effective, start, cells.stiffness, cells.clearance))

        return strain

    # --- yielding -----------------------------------------------------------------------------------------------

    def strength(self, step: Step, place: Place) -> float:
        """Yield at the temperature there."""
        tube, tables = self.b.tube(*place), self.b.data.get("derating", {})
        name = self.b.string["sections"][self.b.tubes.index(tube)].get("derating")
        if name is None:
            return float(tube.strength)
        rows = zip(tables[name]["temperature"], tables[name]["yield_factor"], strict=True)
        table = [(self.b.si(t), y) for t, y in rows]
        return float(tube.strength * value(table, value(step.warm, self.tvd(place[0]))))

    def yielding(self, step: Step, place: Place) -> tuple[float, float]:
        """Change of force in cement, and the strain that stays.

        Held along its axis, the pipe yields when the bore does: (s_z - m)^2 + 3 s^2 = Y^2, m the mean of radial and
        hoop stress there, s half their difference (Lame, nominal wall).
        """
        left = self.yielding(step.after, place)[1] if step.after else 0.0
        tube, inside, outside = self.b.tube(*place), self.inside(step, place), self.outside(step, place)
        hung = self.b.hanging(self.hung, *place)
        mean = (inside * tube.bore - outside * tube.outer) / tube.steel
        half = (inside - outside) * tube.outer / tube.steel
        width = math.sqrt(self.strength(step, place) ** 2 - 3.0 * half**2)
        elastic = hung + self.alone(step, place) - self.b.E * tube.steel * left
        force = min(max(elastic, tube.steel * (mean - width)), tube.steel * (mean + width))
        return force - hung, left + (elastic - force) / (self.b.E * tube.steel)

    # --- all of a place -----------------------------------------------------------------------------------------

    def at(self, step: Step, md: float, below: bool) -> dict[str, float]:
        """Everything at one side of a depth, by the names of the profile's columns; worked once."""
        if (step, md, below) not in self.seen:
            self.seen[step, md, below] = self.worked(step, md, below)
        return self.seen[step, md, below]

    def worked(self, step: Step, md: float, below: bool) -> dict[str, float]:
        place, b = (md, below), self.b
        tube = replace(b.tube(md, below), strength=self.strength(step, place))
        inside, outside = self.inside(step, place), self.outside(step, place)
        force = b.hanging(self.hung, md, below) + self.change(step, place)
        effective = force - inside * tube.bore + outside * tube.outer
        unit, turn = self.direction(md, below)
        weight = self.buoyant(step, place)
        across = [weight * ((k == 2) - unit[2] * unit[k]) + effective * turn[k] for k in range(3)]
        side = math.sqrt(sum(part**2 for part in across))
        curvature = b.path.curvature(md, below)
        if any(a - HAIR < md + (HAIR if below else -HAIR) < z for a, z in self.free):
            stiffness, clearance = self.stiffness(tube), self.clearance(md, below)
            start = float(snaking(stiffness, side, clearance))
            curvature += buckled_curvature(-effective, start, stiffness, clearance)
            if -effective > max(HELIX * start, 0.0):
                side = clearance * effective**2 / (4.0 * stiffness)  # of the helix on the wall
        return {
            "tvd_m": self.tvd(md), "p_inside_pa": inside, "p_outside_pa": outside,
            "temperature_k": value(step.warm, self.tvd(md)), "true_force_n": force, "effective_force_n": effective,
            "side_force_n_per_m": side, "bending_stress_pa": b.E * curvature * tube.od / 2.0,
            "burst_load_pa": inside - outside, "burst_rating_pa": tube.burst(False),
            "collapse_load_pa": outside - inside, "collapse_rating_pa": tube.collapse(force / tube.steel + inside),
            "tension_load_n": force, "tension_rating_n": tube.steel * tube.strength,
            "compression_load_n": -force, "compression_rating_n": tube.steel * tube.strength,
            "triaxial_load_pa": tube.equivalent(force, inside, outside, b.E * curvature, False),
            "triaxial_rating_pa": tube.strength,
        }  # fmt: skip

    def lowest(self, step: Step, places: Iterable[Place]) -> dict[tuple[int, str], float]:
        """Return the lowest factor of each section and mode that has a load."""
        best: dict[tuple[int, str], float] = {}
        for md, below in places:
            found, number = self.at(step, md, below), self.b.tubes.index(self.b.tube(md, below)) + 1
            for mode, unit in UNITS.items():
                load = found[f"{mode}_load_{unit}"]
                if load > SMALL[mode]:
                    factor = found[f"{mode}_rating_{unit}"] / load
                    best[number, mode] = min(factor, best.get((number, mode), factor))
        return best
