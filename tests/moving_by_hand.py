"""Strings that move, buckle and are held, by plain mechanics: for the second route to moving strings and well control.

Rests on the plain arithmetic of ``second_route/conftest.py`` (path, pipe, strength) and on nothing of the library. The
effective force comes first here: it is zero at the lower end, open or closed, and nothing but weight in fluid, drag and
pulls change it; the true force is what pressure adds. Lengths are cut into panels of at most a metre, strain is summed
by Simpson's rule, and a force that keeps a length is found by halving.

Source: mechanics; drag of a soft string by Johancsik et al. 1984, snaking by Dawson & Paslay 1984, strain of a helix by
Lubinski 1962, of snaking by Mitchell (citations and constants from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

G = 9.80665
HAIR, NEAR = 1e-6, 1e-5  # depths nearer than these are one [m]
DEEP = 1e5
Floats = np.ndarray[Any, np.dtype[np.float64]]
Line = list[tuple[float, float]]
"""A quantity against true vertical depth: straight between corners, a jump where a depth comes twice."""


def look(line: Line, z: Floats, below: Floats) -> tuple[Floats, Floats]:
    """Value and slope at depths, on the lower side where *below*, else the upper one; constant beyond the corners."""
    depth, value = np.array([c[0] for c in line]), np.array([c[1] for c in line])
    if len(line) == 1:
        return np.full(z.shape, value[0]), np.zeros(z.shape)
    place = np.searchsorted(depth, np.where(below, z + HAIR, z - HAIR), side="right") - 1
    beyond, i = (place < 0) | (place > len(depth) - 2), np.clip(place, 0, len(depth) - 2)
    width = depth[i + 1] - depth[i]
    slope = np.where(beyond, 0.0, (value[i + 1] - value[i]) / np.where(width > 0.0, width, 1.0))
    return np.where(beyond, np.where(place < 0, value[0], value[-1]), value[i] + slope * (z - depth[i])), slope


@dataclass(eq=False, kw_only=True)
class Now:
    """A moment of a string: what stands in and around it, how warm it is, what holds, drags or pulls it."""

    inside: Line
    outside: Line
    warm: Line | None = None
    held: bool = False
    moved: float = 0.0  # how far it still has to go [m]
    pull: float = 0.0
    stuck: float = math.inf
    drag: int = 0  # -1 moved in, 1 moved out
    friction: tuple[float, float] = (0.0, 0.0)  # inside earlier strings, in open hole
    shock: float = 0.0  # stress of a sudden stop [Pa]
    in_air: bool = False
    top_force: float | None = None  # true force on top of a string that only its cement holds
    loss: float = 0.0  # by friction, off the gradient of pressure inside but not off the weight of what flows [Pa/m]


@dataclass(kw_only=True)
class Grid:
    """Panels between edges; axis 0: upper end, middle and lower end of each."""

    md: Floats
    z: Floats
    cosine: Floats
    lean: Floats  # sine of the inclination squared
    bent: Floats  # curvature squared
    both: Floats  # gravity along the change of direction
    below: Floats
    tube: list[int]
    pipe: dict[str, Floats]  # numbers of the pipe in each panel
    room: Floats  # bore around the pipe, nan where there is nothing to lean on
    cased: Floats


@dataclass(kw_only=True)
class Forces:
    """At the three points of each panel [N], and what follows from them."""

    grid: Grid
    true: Floats
    effective: Floats
    inside: Floats
    outside: Floats
    side: Floats  # [N/m]
    snaking: Floats
    regime: Floats  # 0 straight, 1 snake, 2 helix
    bending: Floats  # of path and buckling [Pa]

    def at(self, md: float, below: bool) -> dict[str, float]:
        """One side of one edge."""
        edges, row = (self.grid.md[0], 0) if below else (self.grid.md[2], 2)
        i = int(np.abs(edges - md).argmin())
        assert abs(edges[i] - md) < 2.0 * NEAR, (md, edges[i])
        return self.of(row, i)

    def of(self, row: int, i: int) -> dict[str, float]:
        names = ("true", "effective", "inside", "outside", "side", "snaking", "regime", "bending")
        return {name: float(getattr(self, name)[row, i]) for name in names}


@dataclass(kw_only=True)
class Mover:
    """A string of a bench, the bores around it, and what is summed along it."""

    bench: Any
    around: list[tuple[float, float, float]]  # from, to [m md], bore
    cased_to: float  # shoe of the string before [m md]
    then: Now  # when the cement set
    landing: float = 0.0
    locked: bool = True
    known: dict[float, tuple[float, ...]] = field(default_factory=dict)

    # --- the path --------------------------------------------------------------------------------------------------

    def turn(self, md: float, below: bool) -> tuple[float, ...]:
        """Vertical depth, cosine, sine squared, curvature squared, and the vertical part of the change of direction."""
        key = md if below else -md
        if key not in self.known:
            path = self.bench.path
            i = path._leg(max(md + (HAIR if below else -HAIR), 0.0))
            t, n, angle, length = path.tangent[i], (0.0, 0.0, 0.0), path._angle(i), path.md[i + 1] - path.md[i]
            if angle > 1e-12:
                done, s, k = angle * (md - path.md[i]) / length, math.sin(angle), angle / length
                legs = list(zip(path.tangent[i], path.tangent[i + 1], strict=True))
                t = tuple((math.sin(angle - done) * p + math.sin(done) * q) / s for p, q in legs)
                n = tuple(k * (math.cos(done) * q - math.cos(angle - done) * p) / s for p, q in legs)
            depth = path.z[i] + path._drop(i, md - path.md[i])
            self.known[key] = (depth, t[2], max(1.0 - t[2] ** 2, 0.0), sum(x * x for x in n), n[2])
        return self.known[key]

    def edges(self, now: Now, extra: Iterable[float], step: float) -> list[float]:
        b = self.bench
        top, bottom = max(0.0, b.top - now.moved), b.shoe - now.moved
        lines = [now.inside, now.outside, *([self.then.inside, self.then.outside] if now.held else [])]
        marks = [b.path.depth_of(z) for line in lines for z, _ in line if 0.0 < z < b.path.z[-1]]
        marks += [tube.bottom - now.moved for tube in b.tubes] + list(b.path.md) + list(extra) + [self.cased_to]
        marks += [edge for upper, lower, _ in b.cement for edge in (upper, lower)] if now.held else []
        marks += [x for a, z, _ in self.around for x in (a, z)] + [now.stuck]
        found = [top]
        for mark in [*sorted(m for m in marks if top + NEAR < m < bottom - NEAR), bottom]:
            if mark - found[-1] > NEAR:
                first, parts = found[-1], math.ceil((mark - found[-1]) / step - 1e-9)
                found += [first + (mark - first) * k / parts for k in range(1, parts)] + [mark]
        return found

    def grid(self, now: Now, extra: Iterable[float] = (), step: float = 1.0) -> Grid:
        edges, b = np.array(self.edges(now, extra, step)), self.bench
        upper, lower = edges[:-1], edges[1:]
        md = np.array([upper, 0.5 * (upper + lower), lower])
        below = np.repeat([[True], [True], [False]], len(upper), axis=1)
        rows = zip(md.tolist(), below.tolist(), strict=True)
        turns = np.array([[self.turn(x, side) for x, side in zip(*row, strict=True)] for row in rows])
        z, cosine, lean, bent, both = (turns[:, :, k] for k in range(5))
        room = np.full(len(upper), np.nan)
        for a, end, bore in self.around:
            room[(md[1] > a) & (md[1] < end)] = bore
        tube = [b.tubes.index(b.tube(x, True, now.moved)) for x in md[1]]
        names = ("od", "id", "weight", "bore", "outer", "steel")
        pipe = {name: np.array([getattr(t, name) for t in b.tubes])[tube] for name in names}
        return Grid(md=md, z=z, cosine=cosine, lean=lean, bent=bent, both=both, below=below, tube=tube, pipe=pipe,
                    room=room, cased=md[1] < self.cased_to)  # fmt: skip

    # --- forces ----------------------------------------------------------------------------------------------------

    def pressures(self, now: Now, grid: Grid) -> tuple[Floats, Floats, Floats]:
        """Inside, outside, and weight in fluid [N/m]."""
        if now.in_air:
            nothing = np.zeros(grid.z.shape)
            return nothing, nothing, nothing + grid.pipe["weight"]
        inside, rise = look(now.inside, grid.z, grid.below)
        outside, rise_out = look(now.outside, grid.z, grid.below)
        rise = rise + now.loss
        weight = grid.pipe["weight"] + rise * grid.pipe["bore"] - rise_out * grid.pipe["outer"]
        return inside, outside, weight

    def hanging(self, now: Now, grid: Grid) -> Floats:
        """Effective force of a string that hangs free: from its end up, zero there."""
        _, _, weight = self.pressures(now, grid)
        end = self.bench.shoe - now.moved
        first = now.pull if now.stuck > end - NEAR else 0.0
        if now.drag:
            up = self._dragged(now, grid, weight, first)
        else:
            gained = weight[1] * (grid.z[2] - grid.z)
            up = first + gained + np.append(np.cumsum(gained[0][::-1])[::-1][1:], 0.0)
        if now.stuck <= end - NEAR:
            up = up + np.where(grid.md[1] < now.stuck, now.pull, 0.0)
        return np.asarray(up)

    def _dragged(self, now: Now, grid: Grid, weight: Floats, force: float) -> Floats:
        """Fourth-order steps of the equation of the soft string, from the lower end up."""
        grip = (now.drag * np.where(grid.cased, *now.friction)).tolist()
        # the wall bears what weight and tension leave across the pipe: (w g + F k)^2
        terms = (weight * grid.cosine, weight**2 * grid.lean, 2.0 * weight * grid.both, grid.bent)
        along, square, mixed, bent = (term.tolist() for term in terms)
        widths, up = (grid.md[2] - grid.md[0]).tolist(), np.empty(grid.md.shape)

        def slope(k: int, i: int, f: float) -> float:
            across = square[k][i] + f * mixed[k][i] + f * f * bent[k][i]
            return float(along[k][i] + grip[i] * math.sqrt(max(across, 0.0)))

        for i in range(len(widths) - 1, -1, -1):
            h = widths[i]
            k1 = slope(2, i, force)
            k2 = slope(1, i, force + 0.5 * h * k1)
            k3 = slope(1, i, force + 0.5 * h * k2)
            above = force + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + slope(0, i, force + h * k3))
            middle = 0.5 * (force + above) + h / 8.0 * (k1 - slope(0, i, above))
            up[:, i] = above, middle, force
            force = above
        return up

    def effective(self, grid: Grid, true: Floats, inside: Floats, outside: Floats) -> Floats:
        return true - inside * grid.pipe["bore"] + outside * grid.pipe["outer"]

    def buckled(
        self, grid: Grid, weight: Floats, effective: Floats, held: bool
    ) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Side force, snaking force, regime, and strain and bending stress by buckling."""
        b, od = self.bench, grid.pipe["od"]
        across = weight**2 * grid.lean + 2.0 * weight * effective * grid.both + effective**2 * grid.bent
        side, push = np.sqrt(np.maximum(across, 0.0)), np.maximum(-effective, 0.0)
        room, stiff = (grid.room - od) / 2.0, b.E * math.pi / 64.0 * (od**4 - grid.pipe["id"] ** 4)
        snaking = 2.0 * np.sqrt(stiff * side / room)
        free = np.isfinite(grid.room)
        for upper, lower, _ in b.cement if held else ():
            free &= ~((grid.md[1] > upper) & (grid.md[1] < lower))
        regime = np.where(free & (push > snaking), np.where(push >= 2.8 * snaking, 2.0, 1.0), 0.0)
        wound = np.where(regime > 1.0, push, 0.7285 * push**0.08 * np.maximum(push - snaking, 0.0) ** 0.92)
        strain = -np.where(regime > 0.0, wound * room**2 / (4.0 * stiff), 0.0)
        # Both turn by k2 = F/2EI. A helix bends by r k2. A snake, A sin kx, shortens by r2 A2 k2/4, which tells A; it
        # bends by r A k2 where it turns back, and by r A2 k2, which is less, where it crosses the low side.
        swing = np.where(regime > 1.0, 1.0, np.sqrt(2.0 * wound / np.where(push > 0.0, push, 1.0)))
        stress = np.where(regime > 0.0, b.E * swing * room * push / (2.0 * stiff) * od / 2.0, 0.0)
        helix = np.where(regime > 1.0, room * push**2 / (4.0 * stiff), 0.0)
        return side + helix, snaking, regime, strain, stress

    def forces(self, now: Now, grid: Grid, true: Floats) -> Forces:
        inside, outside, weight = self.pressures(now, grid)
        effective = self.effective(grid, true, inside, outside)
        side, snaking, regime, _, stress = self.buckled(grid, weight, effective, now.held)
        path = self.bench.E * np.sqrt(grid.bent) * grid.pipe["od"] / 2.0
        return Forces(grid=grid, true=true, effective=effective, inside=inside, outside=outside, side=side,
                      snaking=snaking, regime=regime, bending=path + stress)  # fmt: skip

    def free(self, now: Now, grid: Grid) -> Forces:
        """Forces of a string that hangs free; a sudden stop pulls at its steel all along."""
        inside, outside, _ = self.pressures(now, grid)
        effective = self.hanging(now, grid) + now.shock * grid.pipe["steel"]
        return self.forces(now, grid, self.effective(grid, effective, -inside, -outside))

    # --- held by cement --------------------------------------------------------------------------------------------

    def alone(self, now: Now, grid: Grid) -> Floats:
        """Change of force that keeps a short piece at its length: 2 nu (dp_i A_i - dp_o A_o) - E A alpha dT."""
        b, (p, q, _), (p0, q0, _) = self.bench, self.pressures(now, grid), self.pressures(self.then, grid)
        assert now.warm is not None
        assert self.then.warm is not None
        rise = look(now.warm, grid.z, grid.below)[0] - look(self.then.warm, grid.z, grid.below)[0]
        balloon = 2.0 * b.nu * ((p - p0) * grid.pipe["bore"] - (q - q0) * grid.pipe["outer"])
        return np.asarray(balloon - b.E * grid.pipe["steel"] * b.alpha * rise)

    def shoulders(self, now: Now, grid: Grid, top: float) -> Floats:
        """Change of true force from *top* down, by pressure on the changes of pipe."""
        (p, q, _), (p0, q0, _) = self.pressures(now, grid), self.pressures(self.then, grid)
        bore, outer = np.diff(grid.pipe["bore"]), np.diff(grid.pipe["outer"])
        step = ((p - p0)[0, 1:] * bore - (q - q0)[0, 1:] * outer) * (grid.md[0, 1:] > top + NEAR)
        return np.append(0.0, np.cumsum(step))

    def held(self, now: Now, grid: Grid) -> Forces:
        """Forces once the cement has set: local in it, by the length kept between hanger and cement."""
        pressures = self.pressures(self.then, grid)[:2]
        at_set = self.effective(grid, self.hanging(self.then, grid), -pressures[0], -pressures[1])
        change = self.alone(now, grid)
        for a, z in self.bench.free():
            here, step = (grid.md[1] > a) & (grid.md[1] < z), self.shoulders(now, grid, a)
            hung = abs(a - self.bench.top) < HAIR
            pull = self.landing if hung else 0.0
            x = pull + halve(self._longer(now, grid, at_set, pull, change - step, here), 3e7)
            if hung and now.top_force is not None:
                x = now.top_force - float(at_set[0, 0])
            elif hung and not self.locked:  # the hanger can be pulled down on its seat, not up
                x = max(x, -float(at_set[0, 0]))
            change[:, here] = x + step[here]
        if now.top_force is not None:  # also where the cement takes it below the very top
            change[0, 0] = now.top_force - at_set[0, 0]
        return self.forces(now, grid, at_set + change)

    def _longer(
        self, now: Now, grid: Grid, at_set: Floats, pull: float, local: Floats, here: Floats
    ) -> Callable[[float], float]:
        """By how much a free length would be longer than it was when it was landed, of a change of force."""
        stiff, width = self.bench.E * grid.pipe["steel"], grid.md[2] - grid.md[0]
        step = self.alone(now, grid) - local

        def strain(true: Floats, p: Floats, q: Floats, weight: Floats, held: bool) -> Floats:
            return self.buckled(grid, weight, self.effective(grid, true, p, q), held)[3]

        standing, landed = self.pressures(now, grid), strain(at_set + pull, *self.pressures(self.then, grid), False)

        def longer(x: float) -> float:
            e = (x - local) / stiff + strain(at_set + pull + x + step, *standing, True) - landed
            return float((width / 6.0 * (e[0] + 4.0 * e[1] + e[2]))[here].sum())

        return longer


def halve(rising: Callable[[float], float], bound: float) -> float:
    low, high = -bound, bound
    for _ in range(70):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if rising(middle) < 0.0 else (low, middle)
    return 0.5 * (low + high)
