"""What time and heat do to a section: derating tables and wall loss, made of a file's tables."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..errors import near_miss
from ..units import DIAMETER
from ..well import Derating, Pipe, WallLoss
from . import schema
from .findings import Findings

Where = tuple[str | int, ...]


class ConditionBuilder:
    """Builds derating and wall loss of sections.

    Parameters
    ----------
    tables : mapping
        Derating tables by name.
    findings : Findings
        Takes problems and assumptions.
    """

    def __init__(self, tables: Mapping[str, schema.DeratingTable], findings: Findings) -> None:
        self.findings = findings
        self.known: dict[str, Derating] = {}
        self.names = list(tables)
        self.by_grade: dict[str, list[str]] = {}
        self.used: set[str] = set()
        for name, table in tables.items():
            found = self._table(name, table)
            if found is not None:
                self.known[name] = found
            for grade in table.grades:
                self.by_grade.setdefault(grade.casefold(), []).append(name)
        for grade, names in self.by_grade.items():
            if len(names) > 1:
                findings.fault(
                    f"{grade!r} is named by {' and '.join(map(repr, names))}; need one", "derating", names[1]
                )

    def derating(self, given: schema.SectionTable, grade: str | None, where: Where, string: str) -> Derating | None:
        """Return the table a section names, or that of its grade.

        None: strength does not change with temperature, which is told.
        """
        if given.derating is None:
            for name in self.by_grade.get((grade or "").casefold(), ()):
                self.used.add(name)
                self.findings.assume(f"derating {name!r}, as for every {grade}", of=string)
                return self.known.get(name)
            self.findings.assume("no derating is named: yield as specified at every temperature (factor 1)", of=string)
            return None
        if given.derating not in self.names:
            hint = near_miss(given.derating, self.names)
            self.findings.fault(f"{given.derating!r} is not a table under [derating]; {hint}", *where, "derating")
        self.used.add(given.derating)
        return self.known.get(given.derating)

    def tell_unused(self) -> None:
        """Tell of tables that hold for none of the well's pipe: a grade may be spelt as no section has it."""
        for name in self.names:
            if name not in self.used:
                self.findings.assume(f"derating {name!r} holds for no pipe of this well: no section has its grades")

    def _table(self, name: str, table: schema.DeratingTable) -> Derating | None:
        modulus = table.modulus_factor
        if modulus is None:
            modulus = [1.0] * len(table.temperature)
            self.findings.assume(f"derating {name!r}: modulus_factor left out: the modulus does not change")
        lengths = {len(table.temperature), len(table.yield_factor), len(modulus)}
        if len(lengths) > 1 or len(table.temperature) < 2:
            self.findings.fault("needs two rows or more, and a factor for each temperature", "derating", name)
            return None
        if np.any(np.diff(table.temperature) <= 0.0):
            self.findings.fault("needs temperatures that increase", "derating", name, "temperature")
            return None
        self.findings.assume(f"derating {name!r}: {table.source}")
        return Derating(
            name=name,
            source=table.source,
            temperature=np.array(table.temperature),
            yield_factor=np.array(table.yield_factor),
            modulus_factor=np.array(modulus),
        )

    def wall_loss(self, given: schema.SectionTable, pipe: Pipe, where: Where) -> WallLoss | None:
        """Return the wall loss of a section; None where the file gives none."""
        table, where = given.wall_loss, (*where, "wall_loss")
        if table is None:
            return None
        depth = [0.0] if table.depth is None else table.depth
        rows = len(depth)
        inside, outside = table.inside or [0.0] * rows, table.outside or [0.0] * rows
        if not table.inside and not table.outside:
            self.findings.fault("needs inside or outside, the wall lost", *where)
        if len(inside) != rows or len(outside) != rows:
            self.findings.fault(f"needs one value for each depth ({rows}); without depth just one", *where)
            return None
        if np.any(np.diff(depth) <= 0.0):
            self.findings.fault("needs depths that increase", *where, "depth")
            return None
        most, least = max(a + b for a, b in zip(inside, outside, strict=True)), pipe.wall_factor * pipe.wall
        if most >= least:
            shown = self.findings.shown
            message = f"{shown(most, DIAMETER)} is lost of a minimum wall of {shown(least, DIAMETER)}; need less"
            self.findings.fault(message, *where)
        self.findings.assume(
            "wall loss comes off the nominal and off the minimum wall, once the cement has set; weight and axial "
            "balance stay those of the new pipe; beyond the depths given it is constant"
        )
        return WallLoss(md=np.array(depth), inside=np.array(inside), outside=np.array(outside), groove=table.groove)
