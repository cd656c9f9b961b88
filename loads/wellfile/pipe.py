"""Sections and cement of a string: names become pipes, words become depths, what does not add up is told."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from ..catalog import Catalog, CatalogError
from ..catalog.connectionfile import ConnectionRow
from ..errors import key_path
from ..strength import GREATEST_SUPPORTED_YIELD, LEAST_SUPPORTED_YIELD
from ..strength.geometry import plain_end_mass
from ..units import LINEAR_MASS, STRESS
from ..well import Pipe, Section
from . import schema
from .condition import ConditionBuilder
from .connection import connection_of
from .findings import Findings

Where = tuple[str | int, ...]
_SAME = 1e-3  # depths nearer than this are one [m]
_USUAL_WEIGHT = 0.15  # share by which couplings and upsets may move a line weight from the plain-end weight


class PipeBuilder:
    """Builds the sections of strings.

    Parameters
    ----------
    catalog : Catalog
        Pipe and grades.
    connections : sequence of ConnectionRow
        Of the user's own files.
    derating : mapping
        Tables of strength against temperature, by name.
    findings : Findings
        Takes problems and assumptions.
    """

    def __init__(
        self,
        catalog: Catalog,
        connections: Sequence[ConnectionRow],
        derating: Mapping[str, schema.DeratingTable],
        findings: Findings,
    ) -> None:
        self.catalog, self.connections, self.findings = catalog, connections, findings
        self.condition = ConditionBuilder(derating, findings)

    def sections(self, table: schema.StringTable, where: Where, top: float) -> tuple[Section, ...]:
        """Return the sections of a string from *top* [m] down; those whose pipe is not known are left out."""
        found, above = [], top
        if not table.sections:
            self.findings.fault("is empty; need at least one section", *where, "sections")
        for number, given in enumerate(table.sections, start=1):
            here = (*where, "sections", number)
            bottom = table.shoe if isinstance(given.to, str) else given.to
            self._check_ends(given, here, top, above, bottom)
            pipe = self._pipe(given, here)
            if pipe is not None:
                name = table.name if len(table.sections) == 1 else f"{table.name} section {number}"
                connection, as_body = connection_of(given, pipe, self.connections, here, name, self.findings)
                found.append(
                    Section(
                        pipe=pipe,
                        top=above,
                        bottom=bottom,
                        connection=connection,
                        as_body=as_body,
                        derating=self.condition.derating(given, pipe.grade, here, name),
                        wall_loss=self.condition.wall_loss(given, pipe, here),
                    )
                )
            above = above if bottom < above else bottom
        if table.sections and abs(above - table.shoe) > _SAME:
            depth = self.findings.depth
            message = f"{depth(above)} is not the shoe, {depth(table.shoe)}; the last section ends there ('shoe')"
            self.findings.fault(message, *where, "sections", len(table.sections), "to")
        return tuple(found)

    def _check_ends(self, given: schema.SectionTable, here: Where, top: float, above: float, bottom: float) -> None:
        depth = self.findings.depth
        start = top if isinstance(given.from_, str) else given.from_
        if start is not None and abs(start - above) > _SAME:
            word = "overlaps the section above, which ends" if start < above else "leaves a gap below"
            self.findings.fault(f"{depth(start)} {word} at {depth(above)}; leave 'from' out", *here, "from")
        if bottom <= above:
            message = f"{depth(bottom)} overlaps what is above it, which ends at {depth(above)}; need more"
            self.findings.fault(message, *here, "to")

    def _pipe(self, given: schema.SectionTable, here: Where) -> Pipe | None:
        """Return the pipe of a section: from the catalog, with what is given in full taking precedence."""
        values: dict[str, Any] = {}
        if given.pipe:
            try:
                found = self.catalog.find(given.pipe)
            except CatalogError as error:
                self.findings.fault(str(error), *here, "pipe")
                return None
            for note in found.notes:
                self.findings.assume(note)
            values = {
                "label": given.pipe,
                "outside_diameter": found.pipe.od,
                "wall": found.pipe.wall,
                "weight": found.pipe.weight,
                "drift": found.pipe.drift,
            }
            if found.grade is not None:
                values["grade"] = found.grade.name
                values["yield_strength"] = found.grade.yield_strength
                values["tensile_strength"] = found.grade.tensile_strength
        elif given.pipe is not None:  # could not be read, which has been told
            return None
        in_full = {
            "outside_diameter": given.od,
            "wall": given.wall,
            "weight": given.weight,
            "yield_strength": given.yield_,
            "tensile_strength": given.tensile,
            "drift": given.drift,
        }
        values.update({name: value for name, value in in_full.items() if value is not None})
        return self._made_pipe(values, given, here)

    def _made_pipe(self, values: dict[str, Any], given: schema.SectionTable, here: Where) -> Pipe | None:
        keys = {"outside_diameter": "od", "wall": "wall", "yield_strength": "yield"}
        missing = [key for name, key in keys.items() if name not in values]
        if missing:
            names = "a grade in pipe, or yield" if missing == ["yield"] else ", ".join(missing)
            self.findings.fault(
                f"{names} is missing; name a catalog pipe with its grade, or give od, wall, weight, yield", *here
            )
            return None
        diameter, wall = values["outside_diameter"], values["wall"]
        if 2.0 * wall >= diameter:
            size = self.findings.size
            self.findings.fault(
                f"{size(wall)} is no wall for a diameter of {size(diameter)}; need less than half", *here, "wall"
            )
            return None
        self._check_strength(values, given, here)
        self._check_drift(values, given, here)
        self._check_weight(values, given, here)
        if given.wall_factor is None:
            self.findings.assume("wall_factor left out: minimum wall 0.875 of nominal, the standard's tolerance")
        else:
            values["wall_factor"] = given.wall_factor
        values.setdefault("label", f"{diameter / 0.0254:g} in, {wall / 0.0254:g} in wall, given in full")
        return Pipe(**values)

    def _check_strength(self, values: Mapping[str, Any], given: schema.SectionTable, here: Where) -> None:
        shown = self.findings.shown
        least, tensile = values["yield_strength"], values.get("tensile_strength")
        key = "pipe" if given.yield_ is None else "yield"
        low, high = LEAST_SUPPORTED_YIELD, GREATEST_SUPPORTED_YIELD
        if least < low * (1.0 - 1e-9) or least > high * (1.0 + 1e-9):
            reach = f"{shown(low, STRESS)} to {shown(high, STRESS)}, where the collapse formulas hold"
            self.findings.fault(f"yield strength {shown(least, STRESS)} is not accepted; need {reach}", *here, key)
        if tensile is not None and tensile < least:
            message = f"tensile strength {shown(tensile, STRESS)} is below the yield strength"
            key = "yield" if given.tensile is None else "tensile"
            self.findings.fault(f"{message}, {shown(least, STRESS)}; need as much or more", *here, key)
        if given.yield_ is not None and given.pipe is not None:
            self.findings.assume(f"yield as given, {shown(least, STRESS)}, not the catalog's", of=key_path(*here))

    def _check_drift(self, values: Mapping[str, Any], given: schema.SectionTable, here: Where) -> None:
        size = self.findings.size
        bore, drift = values["outside_diameter"] - 2.0 * values["wall"], values.get("drift")
        if drift is None:
            self.findings.assume("drift left out: what is no larger than the bore passes", of=key_path(*here))
        elif drift > bore and given.drift is not None:
            self.findings.fault(f"{size(drift)} is larger than the bore, {size(bore)}", *here, "drift")
        elif drift > bore:
            message = f"leaves a bore of {size(bore)}, below the catalog's drift of {size(drift)}; give drift"
            self.findings.fault(message, *here, "od" if given.wall is None else "wall")

    def _check_weight(self, values: dict[str, Any], given: schema.SectionTable, here: Where) -> None:
        diameter, wall = values["outside_diameter"], values["wall"]
        if not math.isfinite(diameter + wall):
            values.setdefault("weight", math.nan)
            return
        steel = float(plain_end_mass(diameter, wall))
        told = self.findings.shown(steel, LINEAR_MASS)
        if "weight" not in values:
            values["weight"] = steel
            self.findings.assume(f"weight left out: plain-end weight of the wall, {told}", of=key_path(*here))
        elif (given.weight, given.wall, given.od) != (None, None, None):  # the catalog speaks for its own
            off = values["weight"] / steel - 1.0
            if abs(off) > _USUAL_WEIGHT:
                weight = self.findings.shown(values["weight"], LINEAR_MASS)
                words = f"{'heavier' if off > 0.0 else 'lighter'} than its steel, {told} plain end; used as given"
                self.findings.assume(f"weight {weight} is {abs(off):.0%} {words}", of=key_path(*here))
