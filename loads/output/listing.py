"""Lists for the terminal: load cases and strength models with their parameters, catalog rows."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from itertools import zip_longest
from typing import Literal, NamedTuple

from ..case import LoadCase
from ..catalog import Catalog, CatalogPipe, CatalogRow, Grade
from ..hooks import Loaded
from ..parameters import HasParameters
from ..strength.model import StrengthModel
from ..units import DIAMETER, LINEAR_MASS, STRESS, Dimension, UnitSystem, shown

WIDTH = 120  # [characters] of a terminal
LONGEST = 12  # [characters] of a word column; what is longer goes on in the next line
GAP = "  "
STATUS = {"standard": "std", "common practice": "com."}
LEGEND = (
    "conf.: confidence; low = from memory (keys M) or in doubt, - = not stated.",
    "source: keys stand in sources.csv of casingloads.catalogs, file names are your own; --csv prints all in full.",
)


def case_text(case: LoadCase) -> str:
    """Return a load case as text: what it is, its parameters, assumptions and source."""
    lines = [f"{case.name}  ({case.phase}, for {'one string' if case.scope == 'string' else 'several strings'})"]
    lines += textwrap.wrap(case.summary, 100, initial_indent="  ", subsequent_indent="  ")
    lines += _parameter_lines(case)
    for text in case.assumptions:
        lines += textwrap.wrap(f"assumes: {text}", 100, initial_indent="  ", subsequent_indent="    ")
    lines += textwrap.wrap(f"source: {case.source}", 100, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def plugin_text(plugin: Loaded) -> str:
    """Return a plugin as text: its name, version, module and hash, and what it adds."""
    version = f" {plugin.version}" if plugin.version else ""
    lines = [f"{plugin.name}{version}  (module {plugin.origin}, sha256 {plugin.digest[:12] or 'unknown'})"]
    for what, names in (("load cases", plugin.cases), ("strength models", plugin.models)):
        if names:
            lines += textwrap.wrap(f"{what}: {', '.join(names)}", 100, initial_indent="  ", subsequent_indent="    ",
                                   break_on_hyphens=False)  # fmt: skip
    if plugin.catalogs:
        lines.append(f"  catalogs: {plugin.catalogs}")
    return "\n".join(lines)


def _parameter_lines(owner: HasParameters) -> list[str]:
    lines = []
    for parameter in owner.parameters:
        if parameter.required:
            given = "required"
        elif parameter.default is None:
            given = "optional"
        else:
            given = f"default {parameter.default!r}"
        text = f"{parameter.name}: {parameter.kind.describe()}; {given}. {parameter.text}"
        lines += textwrap.wrap(text, 100, initial_indent="    ", subsequent_indent="      ")
    return lines


def catalog_csv(catalog: Catalog, what: Literal["pipe", "grades"], system: UnitSystem) -> str:
    """Return catalog rows as CSV, with sources, provenance and remarks in full."""
    frame = catalog.pipes_frame(system) if what == "pipe" else catalog.grades_frame(system)
    return str(frame.to_csv(index=False)).rstrip("\n")


def model_text(model: StrengthModel) -> str:
    """Return a strength model as text: what it is, its parameters and source."""
    lines = [f"{model.mode}: {model.name}"]
    lines += textwrap.wrap(model.summary, 100, initial_indent="  ", subsequent_indent="  ")
    lines += _parameter_lines(model)
    lines += textwrap.wrap(f"source: {model.source}", 100, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def catalog_table(catalog: Catalog, what: Literal["pipe", "grades"], system: UnitSystem) -> str:
    """Return catalog rows as a table for a terminal, at most 120 characters wide.

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
        Headings with units, the rows, and how to read source and confidence.
    """
    if not (catalog.pipes if what == "pipe" else catalog.grades):
        return "no row meets these filters"
    if what == "pipe":
        pipes = sorted(catalog.pipes, key=lambda row: (bool(row.source_keys), row.od, row.weight, row.wall))
        lines = _aligned(_pipe_columns(pipes, system), flexible="grades")
        words = "weight: nominal. alt.: alternate. list: std = the standard's casing list, com. = common practice."
    else:
        grades = sorted(
            catalog.grades, key=lambda row: (bool(row.source_keys), row.yield_strength, row.tensile_strength)
        )
        lines = _aligned(_grade_columns(grades, system), flexible="standard")
        words = "yield at: strain at which yield is read."
    return "\n".join([*lines, "", words, *LEGEND])


class _Column(NamedTuple):
    """Heading, a word a line and its unit last; cells; whether they are numbers, which stand to the right."""

    head: list[str]
    cells: list[str]
    is_number: bool


def _pipe_columns(pipes: Sequence[CatalogPipe], system: UnitSystem) -> list[_Column]:
    return [
        _quantity("OD", (row.od for row in pipes), DIAMETER, system),
        _quantity("weight", (row.weight for row in pipes), LINEAR_MASS, system),
        _quantity("wall", (row.wall for row in pipes), DIAMETER, system),
        _quantity("ID", (row.inside_diameter for row in pipes), DIAMETER, system),
        _quantity("drift", (row.drift for row in pipes), DIAMETER, system),
        _quantity("alt. drift", (row.alternate_drift for row in pipes), DIAMETER, system),
        _quantity("plain end", (row.plain_end_weight for row in pipes), LINEAR_MASS, system),
        _words("grades", (" ".join(row.grades) for row in pipes)),
        _words("list", (STATUS.get(row.status, row.status) for row in pipes)),
        *_trust(pipes),
    ]


def _grade_columns(grades: Sequence[Grade], system: UnitSystem) -> list[_Column]:
    return [
        _words("grade", (row.name for row in grades)),
        _quantity("min. yield", (row.yield_strength for row in grades), STRESS, system),
        _quantity("max. yield", (row.max_yield for row in grades), STRESS, system),
        _quantity("min. tensile", (row.tensile_strength for row in grades), STRESS, system),
        _quantity("max. tensile", (row.max_tensile for row in grades), STRESS, system),
        _plain("max. HRC", (row.max_hardness_hrc for row in grades)),
        _plain("max. HBW", (row.max_hardness_hbw for row in grades)),
        _plain("yield at %", (_percent(row.elongation_under_load) for row in grades)),
        _words("group", (row.group for row in grades)),
        _words("standard", (row.standard for row in grades)),
        *_trust(grades),
    ]


def _trust(rows: Sequence[CatalogRow]) -> list[_Column]:
    return [
        _words("conf.", ("-" if row.confidence == "not stated" else row.confidence for row in rows)),
        _words("source", (row.source_keys.replace(";", " ") or row.catalog for row in rows)),
    ]


def _quantity(heading: str, values: Iterable[float | None], dimension: Dimension, system: UnitSystem) -> _Column:
    digits = dimension.digits[0 if system == "metric" else 1]
    cells = ["" if value is None else f"{shown(value, dimension, system):.{digits}f}" for value in values]
    return _Column([*heading.split(), dimension.unit(system)], cells, is_number=True)


def _plain(heading: str, values: Iterable[float | None]) -> _Column:
    return _Column(heading.split(), ["" if value is None else f"{value:g}" for value in values], is_number=True)


def _words(heading: str, values: Iterable[str]) -> _Column:
    return _Column([heading, ""], list(values), is_number=False)


def _percent(fraction: float | None) -> float | None:
    return None if fraction is None else 100.0 * fraction


def _aligned(columns: Sequence[_Column], flexible: str) -> list[str]:
    """Return the lines of a table; the words of column *flexible* take the width that the others leave."""
    natural = [max(map(len, [*column.head, *column.cells])) for column in columns]
    widths = [size if column.is_number else min(size, LONGEST) for size, column in zip(natural, columns, strict=True)]
    place = [column.head[0] for column in columns].index(flexible)
    left = WIDTH - sum(widths) + widths[place] - len(GAP) * (len(columns) - 1)
    widths[place] = min(natural[place], max(left, LONGEST))
    height = max(len(column.head) for column in columns)
    heads = [[""] * (height - len(column.head)) + column.head for column in columns]
    rows = [
        [textwrap.wrap(cell, width, break_on_hyphens=False) for cell, width in zip(cells, widths, strict=True)]
        for cells in zip(*(column.cells for column in columns), strict=True)
    ]
    lines = [line for row in [heads, *rows] for line in zip_longest(*row, fillvalue="")]
    return [
        GAP.join(
            cell.rjust(width) if column.is_number else cell.ljust(width)
            for cell, width, column in zip(line, widths, columns, strict=True)
        ).rstrip()
        for line in lines
    ]
