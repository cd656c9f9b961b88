"""Lists for the terminal: load cases with their parameters, catalog rows."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any, Generic, Literal

from .case import LoadCase
from .catalog import Catalog, CatalogPipe, Grade
from .catalogrow import Row
from .units import DIAMETER, FRACTION, LINEAR_MASS, STRESS, Dimension, UnitSystem, shown

WIDTH = 120  # of a terminal [columns]
GAP = "  "
STATUS = {"standard": "std", "common practice": "pract."}


def case_text(case: LoadCase) -> str:
    """Return a load case as text: what it is, its parameters, assumptions and source."""
    lines = [f"{case.name}  ({case.phase}, for {'one string' if case.scope == 'string' else 'several strings'})"]
    lines += textwrap.wrap(case.summary, 100, initial_indent="  ", subsequent_indent="  ")
    for parameter in case.parameters:
        if parameter.required:
            given = "required"
        elif parameter.default is None:
            given = "optional"
        else:
            given = f"default {parameter.default!r}"
        text = f"{parameter.name}: {parameter.kind.describe()}; {given}. {parameter.text}"
        lines += textwrap.wrap(text, 100, initial_indent="    ", subsequent_indent="      ")
    for text in case.assumptions:
        lines += textwrap.wrap(f"assumes: {text}", 100, initial_indent="  ", subsequent_indent="    ")
    lines += textwrap.wrap(f"source: {case.source}", 100, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def catalog_csv(catalog: Catalog, what: Literal["pipe", "grades"], system: UnitSystem) -> str:
    """Return catalog rows as CSV, with sources, provenance and remarks in full."""
    frame = catalog.pipes_frame(system) if what == "pipe" else catalog.grades_frame(system)
    return str(frame.to_csv(index=False)).rstrip("\n")


def catalog_table(catalog: Catalog, what: Literal["pipe", "grades"], system: UnitSystem) -> str:
    """Return catalog rows as a table for a terminal, at most 120 columns wide.

    Parameters
    ----------
    catalog : Catalog
        Its rows are shown in order of size or strength, those of a user's file first.
    what : {"pipe", "grades"}
        Which rows.
    system : {"metric", "field"}
        Units.

    Returns
    -------
    str
        Headings with units, one row a pipe or grade, and how to read sources and confidence.
    """
    if what == "pipe":
        pipes = sorted(catalog.pipes, key=lambda row: (bool(row.source_keys), row.od, row.weight, row.wall))
        lines = _table(pipes, _PIPE_COLUMNS, system)
        more = " List: std = the standard's casing list, pract. = common practice outside it."
    else:
        grades = sorted(catalog.grades, key=lambda row: (bool(row.source_keys), row.yield_strength, row.tensile_strength))
        lines = _table(grades, _GRADE_COLUMNS, system)
        more = " Yield at: strain at which yield is read."
    if not lines:
        return "no row meets these filters"
    return "\n".join([*lines, "", *textwrap.wrap(_LEGEND + more, WIDTH)])


_LEGEND = (
    "Sources: the keys are explained in sources.csv of casingloads.catalogs, and with provenance in the CSV form of "
    "this list; a file name is a catalog of the user's. Confidence low: from memory (M keys) or in doubt; "
    "-: not stated."
)


@dataclass(frozen=True)
class _Column(Generic[Row]):
    """A column: heading, a word a line; what it shows of a row; dimension of numbers, None for words."""

    heading: str
    value: Callable[[Row], Any]
    dimension: Dimension | None = None
    unit: str = ""
    is_flexible: bool = False  # takes the width that the others leave

    def cells(self, rows: Sequence[Row], system: UnitSystem) -> list[str]:
        return [self._cell(self.value(row), system) for row in rows]

    def _cell(self, value: Any, system: UnitSystem) -> str:
        if value is None:
            return ""
        if self.dimension is None:
            return str(value)
        if self.dimension is FRACTION:
            return f"{value:g}"
        return f"{shown(value, self.dimension, system):.{self.dimension.digits[system == 'field']}f}"

    def head(self, system: UnitSystem) -> list[str]:
        unit = self.dimension.unit(system) if self.dimension is not None else ""
        return [*self.heading.split(), unit or self.unit]


def _table(rows: Sequence[Row], columns: Sequence[_Column[Row]], system: UnitSystem) -> list[str]:
    """Return the lines of a table; words that are too long for it go on in the next line."""
    if not rows:
        return []
    heads = [column.head(system) for column in columns]
    height = max(map(len, heads))
    heads = [[""] * (height - len(head)) + head for head in heads]
    body = [column.cells(rows, system) for column in columns]
    widths = [max(map(len, [*head, *cells])) for head, cells in zip(heads, body, strict=True)]
    ...
