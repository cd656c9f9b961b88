"""Closed annuli of a well, all together, in pieces of 1 m: a balance of mass with Lame's tubes, for the second route.

Each annulus is settled by bisection on the pressure at its top while its neighbours stand still, again and again until
nothing moves. The liquid has constant coefficients; the density of the file is that at 20 degC under the atmosphere.
Source: conservation of mass, Lame; our own, not published.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from held_by_hand import Floats, G, Line

WARM = 293.15


@dataclass(eq=False)
class Pipe:
    """A string between two annuli, in pieces from the wellhead down; it is held along its axis."""

    bench: Any
    md: list[float]
    stiff: bool  # where it is cemented, pressure does not move it
    inside: Floats = field(init=False)  # change of pressure
    outside: Floats = field(init=False)

    def __post_init__(self) -> None:
        tubes = [self.bench.tube(x, True) for x in self.md]
        self.bore = np.array([tube.id / 2.0 for tube in tubes])
        self.outer = np.array([tube.od / 2.0 for tube in tubes])
        self.inside, self.outside = np.zeros(len(self.md)), np.zeros(len(self.md))
        cemented = [any(top < x < bottom for top, bottom, _ in self.bench.cement) for x in self.md]
        self.gives = 1.0 - np.array(cemented) * self.stiff

    def moved(self, r: Floats, rise: Floats) -> Floats:
        """Outward, at the radius *r*, warmed by *rise*."""
        a2, d2, nu = self.bore**2, self.outer**2, self.bench.nu
        even = (1.0 - 2.0 * nu) * r * (self.inside * a2 - self.outside * d2) / (d2 - a2)
        bent = a2 * d2 * (self.inside - self.outside) / (r * (d2 - a2))
        return np.asarray((1.0 + nu) * ((even + bent) / self.bench.E * self.gives + self.bench.alpha * r * rise))


@dataclass(eq=False)
class Annulus:
    """What is closed in between two pipes, from the wellhead to *bottom* (measured); a column from the drill floor."""

    inner: Pipe
    outer: Pipe
    density: float
    before: Floats  # temperature [K]
    rise: Floats
    edges: Floats  # true vertical depths between the pieces
    width: Floats  # of the pieces, along the path
    bottom: float
    expansion: float
    compressibility: float
    outer_rise: Floats  # of the outer pipe
    held_top: float | None = None  # a valve there lets no more stand
    held_bottom: float | None = None  # rock there takes liquid at this pressure
    more: float = 0.0  # mass that has come in
    change: Floats = field(init=False)

    def __post_init__(self) -> None:
        self.count = int(np.sum(np.cumsum(self.width) < self.bottom - self.inner.bench.head + 1e-6))
        self.edges = self.edges[: self.count + 1]
        self.change = np.zeros(self.width.size)
        middle = (self.edges[1:] + self.edges[:-1]) / 2.0
        self.then = self.liquid(self.density * G * middle, self.before[: self.count])

    def liquid(self, pressure: Floats, kelvin: Floats) -> Floats:
        """Density at a gauge pressure and a temperature."""
        return np.asarray(self.density * np.exp(self.compressibility * pressure - self.expansion * (kelvin - WARM)))

    def column(self, top: float) -> tuple[Floats, Floats]:
        """Pressure at the edges from that at the top, which density follows, and density between."""
        still, hot = self.density * G * self.edges, (self.before + self.rise)[: self.count]
        at_edges = still + top - still[0]
        for _ in range(5):
            now = self.liquid((at_edges[1:] + at_edges[:-1]) / 2.0, hot)
            grown = np.concatenate([[0.0], np.cumsum((now - self.then) * G * np.diff(self.edges))])
            at_edges = still + top - still[0] + grown
        return at_edges, now

    def put(self, top: float) -> Floats:
        """Let this pressure at the top act on both pipes; return the density."""
        at_edges, now = self.column(top)
        change = at_edges - self.density * G * self.edges
        self.change[: self.count] = (change[1:] + change[:-1]) / 2.0
        self.inner.outside, self.outer.inside = self.change, self.change
        return now

    def excess(self, top: float) -> float:
        """Mass that fits in, less what there is [kg]."""
        now, here = self.put(top), slice(0, self.count)
        r, c = self.inner.outer, self.outer.bore
        room = (c + self.outer.moved(c, self.outer_rise)) ** 2 - (r + self.inner.moved(r, self.rise)) ** 2
        grown = math.pi * (now * room[here] - self.then * (c**2 - r**2)[here])
        return float(grown @ self.width[here]) - self.more

    def settle(self) -> float:
        """Return the pressure at the top that keeps the mass, or that a valve or the rock lets stand."""
        low, high = 0.0, 200e6
        while high - low > 0.1:
            middle = 0.5 * (low + high)
            low, high = (low, middle) if self.excess(middle) > 0.0 else (middle, high)
        if self.held_top is not None:
            low = min(low, self.held_top)
        if self.held_bottom is not None and self.column(low)[0][-1] > self.held_bottom:
            for _ in range(20):
                low += self.held_bottom - float(self.column(low)[0][-1])
        self.put(low)
        return low

    def line(self, top: float) -> Line:
        """Pressure against vertical depth, down to its bottom."""
        return [(float(z), float(p)) for z, p in zip(self.edges, self.column(top)[0], strict=True)]

    def pressure(self, top: float, z: float) -> float:
        return float(np.interp(z, self.edges, self.column(top)[0]))


def together(annuli: list[Annulus]) -> list[float]:
    """Return the pressures at the tops when all have settled."""
    tops = [0.0 for _ in annuli]
    for _ in range(60):
        before, tops = tops, [annulus.settle() for annulus in annuli]
        if max(abs(now - then) for now, then in zip(tops, before, strict=True)) < 2.0:
            return tops
    raise AssertionError("the annuli have not settled")


def with_disc(inner: Annulus, outer: Annulus, z: float, opens_at: float) -> list[float]:
    """Return the same with a disc in the pipe between, that opens outwards once the difference is reached.

    Then liquid goes through until both press alike, and takes the room there that it needs as warm as it is there: with
    the same coefficients, its mass counts by the ratio of the densities. Bisected on the mass.
    """

    def apart(tops: list[float]) -> float:
        return inner.pressure(tops[0], z) - outer.pressure(tops[1], z)

    tops = together([inner, outer])
    if apart(tops) < opens_at:
        return tops
    low, high = 0.0, 1000.0
    while high - low > 1e-3:
        gone = 0.5 * (low + high)
        inner.more, outer.more = -gone, gone * outer.density / inner.density
        tops = together([inner, outer])
        low, high = (gone, high) if apart(tops) > 0.0 else (low, gone)
    return tops
