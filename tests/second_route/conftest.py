"""Plain arithmetic for the second route: one number at a time, no arrays, nothing of the library.

A well file is read anew, geometry is worked in closed form, strain is added up in small steps, strength is written
out in inches and psi. Here is only mechanics; what a load case means is said in the test.

Source: mechanics; strength by API TR 5C3 (ISO/TR 10400), values from memory.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
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
HAIR = 1e-6  # depths nearer than this are one [m]
DEEP = 1e5
Line = list[tuple[float, float]]
"""A quantity against true vertical depth: corners, straight between them, constant beyond."""


def si(text: str) -> float:
    number, unit = text.split()
    if "/" in number:
        whole, _, fraction = number.partition("-")
        over, under = fraction.split("/")
        return (float(whole) + float(over) / float(under)) * SCALE[unit]
    if unit == "degF":
        return (float(number) - 32.0) / 1.8 + 273.15
    return float(number) + 273.15 if unit == "degC" else float(number) * SCALE[unit]


def formation(text: str, z: float) -> float:
    """Read a pressure, or a density that counts from the drill floor to *z*."""
    return si(text) * (1.0 if text.split()[1] in ("psi", "MPa") else G * z)


def at(line: Line, z: float) -> float:
    if z <= line[0][0]:
        return line[0][1]
    for (z1, v1), (z2, v2) in pairwise(line):
        if z <= z2:
            return v1 + (v2 - v1) * (z - z1) / (z2 - z1)
    return line[-1][1]


def fill(top: float, pressure: float, *layers: tuple[float, float]) -> Line:
    """Stack fluids, each ``(density, down to)``, under a pressure at *top*; above it that pressure."""
    line = [(top, pressure)]
    for density, bottom in layers:
        z, p = line[-1]
        if bottom > z:
            line.append((bottom, p + density * G * (bottom - z)))
    return line


def between(line: Line, a: float, b: float) -> Line:
    """Both ends and the corners between two depths: extremes of anything straight lie there."""
    return [(a, at(line, a)), *[(z, p) for z, p in line if a < z < b], (b, at(line, b))]


@dataclass
class Path3:
    """Minimum curvature: along each leg the tangent turns evenly from one station's to the next one's."""

    md: list[float]
    tangent: list[tuple[float, float, float]]
    z: list[float] = field(default_factory=lambda: [0.0])

    def __post_init__(self) -> None:
        for i in range(len(self.md) - 1):
            self.z.append(self.z[-1] + self._drop(i, self.md[i + 1] - self.md[i]))

    def _angle(self, i: int) -> float:
        squares = [(q - p) ** 2 for p, q in zip(self.tangent[i], self.tangent[i + 1], strict=True)]
        return 2.0 * math.asin(math.sqrt(sum(squares)) / 2.0)

    def _leg(self, md: float) -> int:
        i = 0
        while i < len(self.md) - 2 and md > self.md[i + 1]:
            i += 1
        return i

    def _drop(self, i: int, x: float) -> float:
        """Vertical depth gained *x* below station *i*."""
        length, angle = self.md[i + 1] - self.md[i], self._angle(i)
        upper, lower = self.tangent[i][2], self.tangent[i + 1][2]
        if angle < 1e-12:
            return upper * x
        turned = angle * x / length
        sines = (math.cos(angle - turned) - math.cos(angle)) * upper + (1.0 - math.cos(turned)) * lower
        return length / (angle * math.sin(angle)) * sines

    def tvd(self, md: float) -> float:
        i = self._leg(md)
        return self.z[i] + self._drop(i, md - self.md[i])

    def cosine(self, md: float) -> float:
        """Cosine of the inclination."""
        i = self._leg(md)
        angle, upper, lower = self._angle(i), self.tangent[i][2], self.tangent[i + 1][2]
        if angle < 1e-12:
            return upper
        turned = angle * (md - self.md[i]) / (self.md[i + 1] - self.md[i])
        return (math.sin(angle - turned) * upper + math.sin(turned) * lower) / math.sin(angle)

    def curvature(self, md: float, below: bool) -> float:
        """Curvature on one side of a depth [1/m]."""
        i = self._leg(md + (HAIR if below else -HAIR))
        return self._angle(i) / (self.md[i + 1] - self.md[i])

    def depth_of(self, z: float) -> float:
        """Measured depth of a vertical depth, by halving."""
        low, high = 0.0, self.md[-1]
        for _ in range(80):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.tvd(middle) < z else (low, middle)
        return 0.5 * (low + high)


def collapse_strength(y: float, x: float) -> float:
    """Four regimes; yield [psi], diameter over wall."""
    a = 2.8762 + 0.10679e-5 * y + 0.21301e-10 * y**2 - 0.53132e-16 * y**3
    b = 0.026233 + 0.50609e-6 * y
    c = -465.93 + 0.030867 * y - 0.10483e-7 * y**2 + 0.36989e-13 * y**3
    q = b / a
    u = 3.0 * q / (2.0 + q)
    f = 46.95e6 * u**3 / (y * (u - q) * (1.0 - u) ** 2)
    if x <= (math.sqrt((a - 2.0) ** 2 + 8.0 * (b + c / y)) + a - 2.0) / (2.0 * (b + c / y)):
        return 2.0 * y * (x - 1.0) / x**2
    if x <= y * (a - f) / (c + y * (b - f * q)):
        return y * (a / x - b) - c
    return y * f * (1.0 / x - q) if x <= (2.0 + q) / (3.0 * q) else 46.95e6 / (x * (x - 1.0) ** 2)


@dataclass
class Tube:
    """A section of a string: its pipe, and where it is in the end."""

    od: float
    wall: float
    weight: float
    strength: float
    least: float
    top: float
    bottom: float

    def __post_init__(self) -> None:
        self.id = self.od - 2.0 * self.wall
        self.thin = self.od - 2.0 * self.least * self.wall  # bore of the least wall
        self.outer, self.bore = math.pi / 4.0 * self.od**2, math.pi / 4.0 * self.id**2
        self.steel = self.outer - self.bore

    def burst(self, thick: bool) -> float:
        """Barlow with the least wall; or initial yield at the bore, capped ends."""
        if not thick:
            return 2.0 * self.strength * self.least * self.wall / self.od
        big, thin, d = self.od**2, self.thin**2, self.id**2
        axial, hoop = d / (big - d), (3.0 * big**2 + thin**2) / (big - thin) ** 2
        return self.strength / math.sqrt(hoop + axial**2 - 2.0 * thin / (big - thin) * axial)

    def collapse(self, stress: float) -> float:
        """Four regimes with the yield that a tensile stress leaves."""
        s = max(stress, 0.0) / self.strength
        left = self.strength * (math.sqrt(1.0 - 0.75 * s * s) - 0.5 * s)
        return collapse_strength(left / PSI, self.od / self.wall) * PSI

    def equivalent(self, force: float, inside: float, outside: float, bend: float, nominal: bool) -> float:
        """Highest von Mises stress, inner and outer wall, both sides of the bend; *bend* is modulus x curvature."""
        big, w2 = self.od**2, (self.id if nominal else self.thin) ** 2
        worst = 0.0
        for r2, arm in ((w2 / 4.0, self.id / 2.0), (big / 4.0, self.od / 2.0)):
            mean = (inside * w2 - outside * big) / (big - w2)
            swing = (inside - outside) * big * w2 / (4.0 * r2) / (big - w2)
            for sign in (-1.0, 1.0):
                axial = force / self.steel + sign * bend * arm
                parts = (2.0 * swing, mean + swing - axial, axial - mean + swing)
                worst = max(worst, math.sqrt(0.5 * sum(part**2 for part in parts)))
        return worst


@dataclass(eq=False)
class Moment:
    """Pressures on a string, whether it is held and its shoe open, how far it has still to go, and a pull."""

    inside: Line
    outside: Line
    held: bool = False
    open: bool = False
    moved: float = 0.0
    pull: float = 0.0
    stuck: float = math.inf

    def with_shoe(self, shoe: float, final: float) -> Moment:
        return self if self.held else replace(self, moved=final - shoe)


@dataclass
class Bench:
    """A string of a well, and the sums."""

    data: dict[str, Any]
    name: str
    fill = staticmethod(fill)
    at = staticmethod(at)
    between = staticmethod(between)
    moment = Moment
    si = staticmethod(si)

    def __post_init__(self) -> None:
        survey, well = self.data["well"]["survey"], self.data["well"]
        angles = [(si(i), si(a)) for i, a in zip(survey["inclination"], survey["azimuth"], strict=True)]
        tangents = [(math.sin(i) * math.cos(a), math.sin(i) * math.sin(a), math.cos(i)) for i, a in angles]
        self.path = Path3([si(text) for text in survey["md"]], tangents)
        self.string = next(s for s in self.data["strings"] if s["name"] == self.name)
        offshore = si(well["air_gap"]) + si(well.get("water_depth", "0 m"))
        self.head = si(well["wellhead_depth"]) if "wellhead_depth" in well else offshore
        self.shoe = si(self.string["shoe"])
        self.top = self._depth(self.string["top"])
        self.tubes: list[Tube] = []
        for s in self.string["sections"]:
            numbers = (si(s["od"]), si(s["wall"]), si(s["weight"]) * G, si(s["yield"]), s.get("wall_factor", 0.875))
            above = self.tubes[-1].bottom if self.tubes else self.top
            self.tubes.append(Tube(*numbers, above, self._depth(s["to"])))
        found = [(self._depth(c["to"]), self._depth(c["from"]), self.fluid(c["slurry"])) for c in self.string["cement"]]
        self.cement = sorted((min(a, b), max(a, b), slurry) for a, b, slurry in found)
        steel = {"modulus": "30e3 ksi", "poisson": 0.30, "expansion": "12.42e-6 1/degC"} | self.data.get("steel", {})
        self.E, self.nu, self.alpha = si(steel["modulus"]), float(steel["poisson"]), si(steel["expansion"])
        self.models = self.string.get("models", {})
        self.known: dict[tuple[Moment, float], float] = {}

    def _depth(self, text: str) -> float:
        words = {"surface": self.head, "wellhead": self.head, "shoe": self.shoe}
        return words[text] if text in words else si(text)

    def fluid(self, name: str) -> float:
        return si(self.data["fluids"][name])

    def earth(self, key: str) -> Line:
        """Pore or fracture pressure."""
        depths = [si(text) for text in self.data["earth"]["depth"]]
        return [(z, formation(text, z)) for z, text in zip(depths, self.data["earth"][key], strict=True)]

    def warmth(self, *, at_set: bool) -> Line:
        """Temperature, undisturbed or when the cement set."""
        table = self.string.get("set_temperature") if at_set else None
        table = table or self.data["earth"]
        return [(si(z), si(t)) for z, t in zip(table["depth"], table["temperature"], strict=True)]

    # --- force: on the lower side of a depth (below) or on the upper one -------------------------------------------

    def tube(self, md: float, below: bool, moved: float = 0.0) -> Tube:
        place = md + moved + (HAIR if below else -HAIR)
        return next((tube for tube in self.tubes if place < tube.bottom), self.tubes[-1])

    def shoulder(self, now: Moment, i: int) -> float:
        """Force just above the lower end of section *i*, less that just below, by pressure on the change of pipe."""
        upper, lower = self.tubes[i], self.tubes[i + 1]
        z = self.path.tvd(upper.bottom - now.moved)
        return at(now.outside, z) * (lower.outer - upper.outer) - at(now.inside, z) * (lower.bore - upper.bore)

    def end_force(self, now: Moment) -> float:
        """True force at the end: closed, or with the inside pressure all around it."""
        z, last = self.path.tvd(self.shoe - now.moved), self.tubes[-1]
        return at(now.inside, z) * last.bore - at(now.inside if now.open else now.outside, z) * last.outer

    def hanging(self, now: Moment, md: float, below: bool) -> float:
        """True force of a string that hangs free: from the end up, weight and shoulders."""
        force, place = self.end_force(now), md + (HAIR if below else -HAIR)
        for i, tube in enumerate(self.tubes):
            top, bottom = tube.top - now.moved, tube.bottom - now.moved
            if bottom > md:
                force += tube.weight * (self.path.tvd(bottom) - self.path.tvd(max(top, md)))
            if i < len(self.tubes) - 1 and bottom > place:
                force += self.shoulder(now, i)
        return force + (now.pull if place < min(now.stuck, self.shoe - now.moved) else 0.0)

    def free(self) -> list[tuple[float, float]]:
        """Lengths without cement."""
        edges = [self.top, *[edge for top, bottom, _ in self.cement for edge in (top, bottom)], self.shoe]
        return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > HAIR]

    def force(self, now: Moment, then: Moment, md: float, below: bool) -> float:
        """True force; *then* is when the cement set."""
        return self.hanging(now if not now.held else then, md, below) + self.change(now, then, md, below)

    def change(self, now: Moment, then: Moment, md: float, below: bool) -> float:
        """Change of the true force since the cement set."""
        if not now.held:
            return 0.0
        place = md + (HAIR if below else -HAIR)
        for a, b in self.free():
            if a < place < b:
                if b == self.shoe:  # nothing holds the lower end: the end force changes, and the shoulders
                    return self.end_force(now) - self.end_force(then) + self.passed(now, then, place, b)
                return self.balance(now, then, a, b) - self.passed(now, then, a, place)
        return self.alone(now, then, md, below)

    def alone(self, now: Moment, then: Moment, md: float, below: bool) -> float:
        """Change of force that keeps a short piece at its length: 2 nu (dp_i A_i - dp_o A_o) - E A alpha dT."""
        z, tube = self.path.tvd(md), self.tube(md, below)
        inside, outside = at(now.inside, z) - at(then.inside, z), at(now.outside, z) - at(then.outside, z)
        rise = at(self.warmth(at_set=False), z) - at(self.warmth(at_set=True), z)
        balloon = 2.0 * self.nu * (inside * tube.bore - outside * tube.outer)
        return float(balloon - self.E * tube.steel * self.alpha * rise)

    def passed(self, now: Moment, then: Moment, a: float, b: float) -> float:
        """Change of the shoulders between two depths."""
        edges = [(i, tube.bottom) for i, tube in enumerate(self.tubes[:-1])]
        return sum(self.shoulder(now, i) - self.shoulder(then, i) for i, edge in edges if a + HAIR / 2.0 < edge < b)

    def balance(self, now: Moment, then: Moment, a: float, b: float) -> float:
        """The change just below *a* that keeps the length from *a* to *b*."""
        if (now, a) not in self.known:
            strain, give = 0.0, 0.0
            for md, width in self.panels(now, then, a, b):
                stiffness = self.E * self.tube(md, True).steel
                strain -= (self.passed(now, then, a, md) + self.alone(now, then, md, True)) / stiffness * width
                give += width / stiffness
            self.known[now, a] = -strain / give
        return self.known[now, a]

    def stretch(self, now: Moment, then: Moment, a: float, b: float, force: Callable[[float], float]) -> float:
        """Change of length since the cement set under a force along it, as a force on the mean steel [N]."""
        strain, give = 0.0, 0.0
        for md, width in self.panels(now, then, a, b):
            stiffness = self.E * self.tube(md, True).steel
            change = force(md) - self.hanging(then, md, True)
            strain += (change - self.alone(now, then, md, True)) / stiffness * width
            give += width / stiffness
        return strain / give

    def panels(self, now: Moment, then: Moment, a: float, b: float) -> Iterator[tuple[float, float]]:
        """Gauss points and weights between all places where anything has a corner."""
        warm = [self.warmth(at_set=False), self.warmth(at_set=True)]
        lines = [now.inside, now.outside, then.inside, then.outside, *warm]
        corners = {self.path.depth_of(z) for line in lines for z, _ in line if 0.0 < z < self.path.z[-1]}
        corners |= {tube.bottom for tube in self.tubes} | set(self.path.md)
        places = [a, *sorted(c for c in corners if a < c < b), b]
        for left, right in pairwise(places):
            half = (right - left) / 12.0
            for k in range(6):
                for x, w in ((-math.sqrt(0.6), 5.0 / 9.0), (0.0, 8.0 / 9.0), (math.sqrt(0.6), 5.0 / 9.0)):
                    yield left + half * (2 * k + 1 + x), half * w

    # --- checks ----------------------------------------------------------------------------------------------------

    def place(self, now: Moment, then: Moment, md: float, below: bool) -> dict[str, float]:
        """Everything at one side of one depth, by the name of the profile's column."""
        z, tube = self.path.tvd(md), self.tube(md, below, now.moved)
        inside, outside, force = at(now.inside, z), at(now.outside, z), self.force(now, then, md, below)
        bend = self.E * self.path.curvature(md, below)
        older = self.models.get("collapse") == "four-regime-equivalent-pressure"
        side = bend * tube.od / 2.0 * tube.steel if "tension" in self.models else 0.0
        nominal = self.string.get("triaxial_wall") == "nominal"
        found = {
            "tvd_m": z, "p_inside_pa": inside, "p_outside_pa": outside, "true_force_n": force,
            "effective_force_n": force - inside * tube.bore + outside * tube.outer,
            "bending_stress_pa": bend * tube.od / 2.0, "burst_load_pa": inside - outside,
            "burst_rating_pa": tube.burst("burst" in self.models),
            "collapse_load_pa": outside - inside * (tube.id / tube.od if older else 1.0),
            "collapse_rating_pa": tube.collapse(force / tube.steel + (0.0 if older else inside)),
            "tension_load_n": force + side, "tension_rating_n": tube.steel * tube.strength,
            "compression_load_n": -force, "compression_rating_n": tube.steel * tube.strength,
            "triaxial_load_pa": tube.equivalent(force, inside, outside, bend, nominal),
            "triaxial_rating_pa": tube.strength,
        }  # fmt: skip
        if now.held:
            found["temperature_k"] = at(self.warmth(at_set=False), z)
        return found


@pytest.fixture(scope="session")
def bench() -> Callable[[str, str], Bench]:
    """Open a string of one of the wells here."""

    def opened(file: str, string: str) -> Bench:
        path = Path(__file__).parent / "wells" / f"{file}.toml"
        return Bench(tomllib.loads(path.read_text(encoding="utf-8")), string)

    return opened
