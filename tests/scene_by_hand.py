"""A string of a well file read once more: what fills it, what stands behind it, how warm it is; for the second route.

As the README says; nothing of the library is used.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import Any

from fluids_by_hand import FlowOfHeat, ground_resistance
from held_by_hand import DEEP, HAIR, Column, G, Held, Line, Step, value

Case = dict[str, Any]
MORE = {"kPa/m": 1e3, "kg/s": 1.0, "kJ/kg/K": 1e3, "d": 86400.0, "h": 3600.0, "W/m/K": 1.0, "W/m2/K": 1.0, "m2/s": 1.0,
        "1/Pa": 1.0, "%": 0.01, "m3": 1.0}  # fmt: skip
KELVIN = 273.15


def one(line: Line) -> Column:
    """One line all along."""
    return [(DEEP, line)]


class Scene:
    """One string of a well, as its cases meet it. *benches* are those of all strings, by name."""

    def __init__(self, benches: dict[str, Any], name: str) -> None:
        names = list(benches)
        self.benches, self.name, self.b = benches, name, benches[name]
        self.earlier = [benches[other] for other in names[: names.index(name)]]
        self.later = [benches[other] for other in names[names.index(name) + 1 :]]
        well, self.string = self.b.data["well"], self.b.string
        self.air_gap = self.si(well["air_gap"])
        self.sea = "water_depth" in well
        self.ambient = self.fluid("sea water") * G * self.si(well["water_depth"]) if self.sea else 0.0
        self.head = self.b.head

    def si(self, text: str) -> float:
        number, unit = text.split()
        return float(number) * MORE[unit] if unit in MORE else float(self.b.si(text))

    def fluid(self, name: str) -> float:
        return float(self.b.fluid(name))

    def z(self, md: float | str) -> float:
        return float(self.b.path.tvd(self.si(md) if isinstance(md, str) else md))

    # --- columns ----------------------------------------------------------------------------------------------------

    def standing(self, name: str) -> Line:
        """A fluid that fills the well: mud from the drill floor, sea water from sea level."""
        top = self.air_gap if name == "sea water" else 0.0
        return [(top, 0.0), (DEEP, self.fluid(name) * G * (DEEP - top))]

    def from_head(self, density: float, pressure: float) -> Line:
        return [(self.head, pressure), (DEEP, pressure + density * G * (DEEP - self.head))]

    @cached_property
    def pore(self) -> Line:
        rows: Line = self.b.earth("pore_pressure")
        return rows

    def pore_at(self, md: float) -> float:
        return value(self.pore, self.z(md))

    def outside(self, what: str | dict[str, str]) -> Column:
        """What stands behind the pipe, in its three intervals."""
        if what in ("as run", "pore pressure"):
            return one(self.standing(self.string["run_in"]) if what == "as run" else self.pore)
        if what == "settled mud":
            run_in = self.string["run_in"]  # sea water has no solids that could settle
            water = run_in if run_in == "sea water" else "water"
            what = {"above_cement": water, "cement": water, "open_hole": "pore pressure"}
        assert isinstance(what, dict)
        marks = [edge for top, bottom, _ in self.b.cement for edge in (top, bottom)]
        last = max((other.shoe for other in self.earlier), default=self.head)
        marks = sorted({*marks, last, self.b.shoe})
        stretches: Column = []
        for a, bottom in zip([self.b.top, *marks], marks, strict=False):
            if bottom < self.b.top + HAIR:
                continue
            middle = (a + bottom) / 2.0
            cemented = any(top < middle < low for top, low, _ in self.b.cement)
            kind = what["cement" if cemented else "above_cement" if middle < last else "open_hole"]
            stretches.append((bottom, self._behind(kind, cemented, a, stretches)))
        return [*stretches[:-1], (DEEP, stretches[-1][1])]

    def _behind(self, kind: str, cemented: bool, a: float, above: Column) -> Line:
        if kind == "pore pressure":
            return self.pore
        if kind == "as run":
            return self.standing(self.string["run_in"])
        density = 1000.0 if kind == "water" else self.fluid(kind)
        if not cemented or not above:
            return self.from_head(density, self.ambient)
        top = self.z(a)  # in the pores of the cement, from the pressure at its top
        pressure = value(above[-1][1], top)
        return [(top, pressure), (DEEP, pressure + density * G * (DEEP - top))]

    def above_packer(self, case: Case, pressure: float, below: Line) -> Column:
        brine = self.from_head(self.fluid(case["packer_fluid"]), pressure)
        return [(self.si(case["packer"]), brine), (DEEP, below)]

    # --- temperature --------------------------------------------------------------------------------------------------

    @cached_property
    def undisturbed(self) -> Line:
        table: Line = self.b.warmth(at_set=False)
        return table

    def warm(self, name: str | None) -> Line:
        if name is None:
            return self.undisturbed
        table = self.b.data["temperatures"][name]
        if "flow" in table:
            return self.flow(table)
        return [(self.si(z), self.si(t)) for z, t in zip(table["depth"], table["temperature"], strict=True)]

    def flow(self, table: Case) -> Line:
        radius = self.si(table["hole_diameter"]) / 2.0
        out = ground_resistance(
            self.si(table["conductivity"]), self.si(table["diffusivity"]), radius, self.si(table["time"])
        )
        if "heat_transfer" in table:
            out += 1.0 / (2.0 * math.pi * radius * self.si(table["heat_transfer"]))
        across = math.inf
        if table["flow"] == "circulation":
            across = 1.0 / (math.pi * self.si(table["pipe_diameter"]) * self.si(table["pipe_heat_transfer"]))
        bottom, tvd, ground = self.si(table["depth"]), self.z, self.undisturbed
        if table["flow"] == "circulation":  # as Assumptions say: ground and hole even between wellhead and depth
            ends = self.head, self.z(bottom)
            ground = [(z, value(ground, z)) for z in ends]
            tvd = lambda md: ends[0] + (ends[1] - ends[0]) * (md - self.head) / (bottom - self.head)  # noqa: E731
        return FlowOfHeat(
            kind=table["flow"], capacity=self.si(table["rate"]) * self.si(table["specific_heat"]),
            inlet=self.si(table["inlet_temperature"]), ground=lambda md: value(ground, tvd(md)),
            tvd=tvd, top=self.head, bottom=bottom, out=out, across=across,
        ).temperatures()  # fmt: skip

    # --- the string ---------------------------------------------------------------------------------------------------

    @cached_property
    def held(self) -> Held:
        """The string as cemented: displacement fluid inside; mud and slurry outside, each from its own top."""
        run_in = self.fluid(self.string["run_in"])
        layers: list[tuple[float, float]] = []
        for top, bottom, slurry in self.b.cement:
            layers += [(run_in, self.z(top)), (slurry, self.z(bottom))]
        start = self.air_gap if self.string["run_in"] == "sea water" else 0.0
        outside = self.b.fill(start, 0.0, *layers, (run_in, DEEP))
        inside = self.standing(self.string.get("displaced_with", self.string["run_in"]))
        return Held(self.b, self.earlier, Step(one(inside), one(outside), self.b.warmth(at_set=True)))
