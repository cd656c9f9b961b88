"""Plain arithmetic for the second route: one number at a time, no arrays, nothing of the library.

A well file is read anew, geometry is worked in closed form, weight and strain are added up in small steps, and
strength is written out in inches and psi. What a load case means is said in the test; here is only mechanics.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

G = 9.80665
INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237
PSI = POUND * G / INCH**2
SCALE = {
    "m": 1.0, "ft": FOOT, "in": INCH, "psi": PSI, "ksi": 1e3 * PSI, "MPa": 1e6, "GPa": 1e9, "lbf": POUND * G,
    "kN": 1e3, "lb/ft": POUND / FOOT, "kg/m3": 1.0, "sg": 1000.0, "ppg": POUND / (231.0 * INCH**3),
    "psi/ft": PSI / FOOT, "kPa/m": 1e3, "deg": math.pi / 180.0, "1/degC": 1.0,
}  # fmt: skip
Line = list[tuple[float, float]]
"""A quantity against true vertical depth: corners, straight between them, constant beyond."""


def si(text: str) -> float:
    """Read a number with its unit: ``"9-5/8 in"``, ``"92 degF"``."""
    number, unit = text.split()
    whole, _, fraction = number.partition("-")
    if "/" in number:
        over, under = fraction.split("/")
        return (float(whole) + float(over) / float(under)) * SCALE[unit]
    if unit == "degF":
        return (float(number) - 32.0) / 1.8 + 273.15
    return float(number) + 273.15 if unit == "degC" else float(number) * SCALE[unit]


def formation(text: str, z: float) -> float:
    """Read a pressure, or a density that counts from the drill floor to *z*."""
    return si(text) * (1.0 if text.split()[1] in ("psi", "MPa") else G * z)


def at(line: Line, z: float) -> float:
    """Read a line at *z*."""
    if z <= line[0][0]:
        return line[0][1]
    for (z1, v1), (z2, v2) in zip(line[:-1], line[1:], strict=True):
        if z <= z2:
            return v1 + (v2 - v1) * (z - z1) / (z2 - z1)
    return line[-1][1]


def fill(top: float, pressure: float, *layers: tuple[float, float]) -> Line:
    """Stack fluids, each ``(density, down to)``, from a pressure at *top*; above it that pressure."""
    line = [(top, pressure)]
    for density, bottom in layers:
        z, p = line[-1]
        if bottom > z:
            line.append((bottom, p + density * G * (bottom - z)))
    return line


@dataclass
class Path3:
    """Minimum curvature through stations, by the tangent turning evenly along each arc."""

    md: list[float]
    tangent: list[tuple[float, float, float]]
    z: list[float] = field(default_factory=lambda: [0.0])

    def __post_init__(self) -> None:
        for i in range(len(self.md) - 1):
            self.z.append(self.z[-1] + self._drop(i, self.md[i + 1] - self.md[i]))

    def _angle(self, i: int) -> float:
        a, b = self.tangent[i], self.tangent[i + 1]
        chord = math.sqrt(sum((q - p) ** 2 for p, q in zip(a, b, strict=True)))
        return 2.0 * math.asin(chord / 2.0)

    def _drop(self, i: int, x: float) -> float:
        """Vertical depth gained *x* below station *i*."""
        length, angle = self.md[i + 1] - self.md[i], self._angle(i)
        down, next_down = self.tangent[i][2], self.tangent[i + 1][2]
        if angle < 1e-12:
            return down * x
        turned = angle * x / length
        start = (math.cos(angle - turned) - math.cos(angle)) * down
        return length / (angle * math.sin(angle)) * (start + (1.0 - math.cos(turned)) * next_down)

    def _leg(self, md: float) -> int:
        i = 0
        while i < len(self.md) - 2 and md > self.md[i + 1]:
            i += 1
        return i

    def tvd(self, md: float) -> float:
        """Vertical depth."""
        i = self._leg(md)
        return self.z[i] + self._drop(i, md - self.md[i])

    def cosine(self, md: float) -> float:
        """Cosine of the inclination."""
        i = self._leg(md)
        angle = self._angle(i)
        if angle < 1e-12:
            return self.tangent[i][2]
        turned = angle * (md - self.md[i]) / (self.md[i + 1] - self.md[i])
        ends = math.sin(angle - turned) * self.tangent[i][2] + math.sin(turned) * self.tangent[i + 1][2]
        return ends / math.sin(angle)

    def curvature(self, md: float, below: bool) -> float:
        """Curvature on one side of a depth [1/m]."""
        i = self._leg(md)
        if below and i < len(self.md) - 2 and abs(md - self.md[i + 1]) < 1e-6:
            i += 1
        return self._angle(i) / (self.md[i + 1] - self.md[i])

    def depth_of(self, z: float) -> float:
        """Measured depth of a vertical depth, by halving."""
        low, high = 0.0, self.md[-1]
        for _ in range(100):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.tvd(middle) < z else (low, middle)
        return 0.5 * (low + high)


@dataclass
class Tube:
    """A section of a string in its final place."""

    od: float
    wall: float
    weight: float
    strength: float
    least: float
    top: float
    bottom: float

    @property
    def outer(self) -> float:
        return math.pi / 4.0 * self.od**2

    @property
    def bore(self) -> float:
        return math.pi / 4.0 * (self.od - 2.0 * self.wall) ** 2

    @property
    def steel(self) -> float:
        return self.outer - self.bore


@dataclass
class Moment:
    """Pressures, temperature and hold at one moment; *end* is the true force at the shoe by pressure."""

    inside: Line
    outside: Line
    end: str = "closed"
    held: bool = False
    warm: Line | None = None
    moved: float = 0.0
    pull: float = 0.0
    stuck: float = math.inf


@dataclass
class Bench:
    """A well and one of its strings."""

    data: dict[str, Any]
    name: str

    def __post_init__(self) -> None:
        self.known: dict[tuple[int, float], float] = {}
        survey = self.data["well"]["survey"]
        angles = [(si(i), si(a)) for i, a in zip(survey["inclination"], survey["azimuth"], strict=True)]
        tangents = [(math.sin(i) * math.cos(a), math.sin(i) * math.sin(a), math.cos(i)) for i, a in angles]
        self.path = Path3([si(text) for text in survey["md"]], tangents)
        self.string = next(s for s in self.data["strings"] if s["name"] == self.name)
        self.head = self._wellhead()
        words = {"surface": self.head, "wellhead": self.head, "shoe": si(self.string["shoe"])}
        self.shoe = words["shoe"]
        self.top = words.get(self.string["top"], -1.0)
        self.top = si(self.string["top"]) if self.top < 0.0 else self.top
        self.tubes: list[Tube] = []
        for s in self.string["sections"]:
            bottom = words.get(s["to"]) or si(s["to"])
            start = self.tubes[-1].bottom if self.tubes else self.top
            numbers = (si(s["od"]), si(s["wall"]), si(s["weight"]) * G, si(s["yield"]), s.get("wall_factor", 0.875))
            self.tubes.append(Tube(*numbers, start, bottom))
        ends = [[words.get(c[k]) or si(c[k]) for k in ("to", "from")] + [self.fluid(c["slurry"])]
                for c in self.string["cement"]]  # fmt: skip
        self.cement = sorted((min(a, b), max(a, b), slurry) for a, b, slurry in ends)
        steel = {"modulus": f"{30e3} ksi", "poisson": 0.30, "expansion": f"{6.9e-6 * 1.8} 1/degC"}
        steel |= self.data.get("steel", {})
        self.E, self.nu, self.alpha = si(steel["modulus"]), steel["poisson"], si(steel["expansion"])

    def _wellhead(self) -> float:
        well = self.data["well"]
        if well.get("wellhead") == "deck":
            return si(well["wellhead_depth"])
        return si(well["air_gap"]) + (si(well["water_depth"]) if "water_depth" in well else 0.0)

    # --- what the file says ---------------------------------------------------------------------------------------

    def fluid(self, name: str) -> float:
        """Density of a fluid."""
        return si(self.data["fluids"][name])

    def earth(self, key: str) -> Line:
        """Pore pressure or fracture pressure against vertical depth."""
        depths = [si(text) for text in self.data["earth"]["depth"]]
        return [(z, formation(text, z)) for z, text in zip(depths, self.data["earth"][key], strict=True)]

    def undisturbed(self) -> Line:
        """Undisturbed temperature."""
        earth = self.data["earth"]
        return [(si(z), si(t)) for z, t in zip(earth["depth"], earth["temperature"], strict=True)]

    def at_set(self) -> Line:
        """Temperature when the cement set."""
        given = self.string.get("set_temperature")
        if given is None:
            return self.undisturbed()
        return [(si(z), si(t)) for z, t in zip(given["depth"], given["temperature"], strict=True)]

    # --- force ----------------------------------------------------------------------------------------------------

    def tube(self, md: float, below: bool, moved: float = 0.0) -> Tube:
        """The section at a place in the hole; on an edge the side decides."""
        place = md + moved
        for tube in self.tubes:
            if place < tube.bottom - 1e-6 or (abs(place - tube.bottom) <= 1e-6 and not below):
                return tube
        return self.tubes[-1]

    def hanging(self, now: Moment, md: float, below: bool) -> float:
        """True force of a string that hangs free: end force, weight and area steps from the shoe up to *md*."""
        lowest, shoe = self.tubes[-1], self.shoe - now.moved
        z = self.path.tvd(shoe)
        force = at(now.inside, z) * lowest.bore - at(now.outside, z) * lowest.outer
        for number in range(len(self.tubes) - 1, -1, -1):
            tube = self.tubes[number]
            top, bottom = tube.top - now.moved, tube.bottom - now.moved
            if number < len(self.tubes) - 1 and self._under(bottom, md, below):
                force += self._step(now, tube, self.tubes[number + 1], bottom)
            if bottom > md:
                force += tube.weight * (self.path.tvd(bottom) - self.path.tvd(max(top, md)))
        stuck = min(now.stuck, shoe)
        if now.pull and (md < stuck - 1e-6 or (abs(md - stuck) <= 1e-6 and not below)):
            force += now.pull
        return force

    @staticmethod
    def _under(edge: float, md: float, below: bool) -> bool:
        """Whether an edge lies below a place."""
        return edge > md + 1e-6 or (abs(edge - md) <= 1e-6 and not below)

    def _step(self, now: Moment, upper: Tube, lower: Tube, md: float) -> float:
        """Force just above a change of pipe less that just below, by pressure on the shoulders."""
        z = self.path.tvd(md)
        return at(now.outside, z) * (lower.outer - upper.outer) - at(now.inside, z) * (lower.bore - upper.bore)

    def force(self, now: Moment, reference: Moment, md: float, below: bool) -> float:
        """True force."""
        if not now.held:
            return self.hanging(now, md, below)
        return self.hanging(reference, md, below) + self.change(now, reference, md, below)

    def change(self, now: Moment, reference: Moment, md: float, below: bool) -> float:
        """Change of the true force since the cement set."""
        for a, b in self.free():
            if a + 1e-6 < md < b - 1e-6 or (abs(md - a) <= 1e-6 and (below or a == self.top)) or (
                abs(md - b) <= 1e-6 and not below
            ):
                if b == self.shoe:
                    return self._end_change(now, reference, md, below)
                return self._held_change(now, reference, a, b) + self._shoulders(now, reference, a, md, below)
        tube = self.tube(md, below)
        return self._poisson(now, reference, md, tube) - self.E * tube.steel * self.alpha * self._warmer(now, md)

    def free(self) -> list[tuple[float, float]]:
        """Lengths without cement, the last one down to a free shoe if there is no cement at it."""
        edges = [self.top]
        for top, bottom, _ in self.cement:
            edges += [top, bottom]
        edges.append(self.shoe)
        return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1e-6]

    def _poisson(self, now: Moment, reference: Moment, md: float, tube: Tube) -> float:
        z = self.path.tvd(md)
        inside = at(now.inside, z) - at(reference.inside, z)
        outside = at(now.outside, z) - at(reference.outside, z)
        return 2.0 * self.nu * (inside * tube.bore - outside * tube.outer)

    def _warmer(self, now: Moment, md: float) -> float:
        z = self.path.tvd(md)
        return at(now.warm or self.undisturbed(), z) - at(self.at_set(), z)

    def _shoulders(self, now: Moment, reference: Moment, a: float, md: float, below: bool) -> float:
        """Change of the force from just below *a* down to *md*: shoulders passed on the way."""
        total = 0.0
        for upper, lower in zip(self.tubes[:-1], self.tubes[1:], strict=True):
            edge = upper.bottom
            if edge > a + 1e-6 and (edge < md - 1e-6 or (abs(edge - md) <= 1e-6 and below)):
                total -= self._step(now, upper, lower, edge) - self._step(reference, upper, lower, edge)
        return total

    def _end_change(self, now: Moment, reference: Moment, md: float, below: bool) -> float:
        """Below the lowest cement nothing holds the pipe: the end force changes, and the shoulders."""
        lowest, z = self.tubes[-1], self.path.tvd(self.shoe)
        before = at(reference.inside, z) * lowest.bore - at(reference.outside, z) * lowest.outer
        after = at(now.inside, z) * lowest.bore - at(now.outside, z) * lowest.outer
        if now.end == "open":
            after = -at(now.inside, z) * lowest.steel
        shoulders = self._shoulders(now, reference, md if below else md - 1e-5, self.shoe, True)
        return after - before - shoulders

    def _held_change(self, now: Moment, reference: Moment, a: float, b: float) -> float:
        """The force change just below *a* that keeps the length from *a* to *b*."""
        if (id(now), a) in self.known:
            return self.known[id(now), a]
        strain, give = 0.0, 0.0
        for md, width in self.panels(now, reference, a, b):
            tube = self.tube(md, True)
            stiffness = self.E * tube.steel
            free = (self._shoulders(now, reference, a, md, True) - self._poisson(now, reference, md, tube)) / stiffness
            strain += (free + self.alpha * self._warmer(now, md)) * width
            give += width / stiffness
        self.known[id(now), a] = -strain / give
        return -strain / give

    def stretch(self, now: Moment, reference: Moment, a: float, b: float, force: Callable[[float], float]) -> float:
        """Elongation of a length under a force along it since the cement set [m]."""
        total = 0.0
        for md, width in self.panels(now, reference, a, b):
            tube = self.tube(md, True)
            change = force(md) - self.hanging(reference, md, True)
            free = (change - self._poisson(now, reference, md, tube)) / (self.E * tube.steel)
            total += (free + self.alpha * self._warmer(now, md)) * width
        return total

    def panels(self, now: Moment, reference: Moment, a: float, b: float) -> Iterator[tuple[float, float]]:
        """Gauss points and weights between all places where anything has a corner."""
        lines = [now.inside, now.outside, reference.inside, reference.outside, now.warm or self.undisturbed(), self.at_set()]
        corners = {self.path.depth_of(z) for line in lines for z, _ in line if 0.0 < z < self.path.z[-1]}
        corners |= {tube.bottom for tube in self.tubes} | set(self.path.md)
        places = [a, *sorted(c for c in corners if a < c < b), b]
        root = math.sqrt(0.6)
        for left, right in zip(places[:-1], places[1:], strict=True):
            for k in range(10):
                half = (right - left) / 20.0
                middle = left + half * (2 * k + 1)
                for x, w in ((-root, 5.0 / 9.0), (0.0, 8.0 / 9.0), (root, 5.0 / 9.0)):
                    yield middle + half * x, half * w


@pytest.fixture(scope="session")
def bench() -> Callable[[str, str], Bench]:
    """Open a string of one of the wells here."""

    def opened(file: str, string: str) -> Bench:
        path = Path(__file__).parent / "wells" / f"{file}.toml"
        return Bench(tomllib.loads(path.read_text(encoding="utf-8")), string)

    return opened
