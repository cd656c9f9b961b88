"""The desk page of ratings: a table for the terminal, rounded as rating tables are, and CSV, which is not.

`casingloads.output.rating` works the ratings out.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any, NamedTuple

from ..catalog.rows import as_pounds, as_size
from ..notes import CAUTIONS
from ..units import DIAMETER, FORCE, LINEAR_MASS, PRESSURE, Dimension, UnitSystem, show, shown
from .listing import WIDTH
from .rating import CONNECTIONS

if TYPE_CHECKING:
    import pandas as pd

MOST_NOTES = 20  # as many as are read below a table; of more, only the number is told
_NAME = 12  # [characters] of a grade; what is longer is cut
_STEPS = {"psi": 10.0, "klbf": 1.0, "MPa": 0.1, "kN": 1.0}  # to which rating tables round, in the unit shown
_TITLES = {"stc": "STC", "ltc": "LTC", "btc": "BTC", "btc_special": "BTC special"}
_LETTERS = {"fracture": "f", "pull-out": "p", "coupling": "c", "leak": "l"}
_SIGNS = {"low": "*", "not stated": "?"}

_Row = Mapping[str, Any]


class _Column(NamedTuple):
    """Two words of heading, column of the frame, what it is, width; the column whose value is told by a letter."""

    head: tuple[str, str]
    name: str
    dimension: Dimension
    width: int
    letter: str = ""


_BODY = (
    _Column(("", "collapse"), "collapse_pa", PRESSURE, 10),
    _Column(("internal", "yield"), "internal_yield_pa", PRESSURE, 10),
    _Column(("axial", "yield"), "axial_yield_n", FORCE, 10),
)


def ratings_csv(frame: pd.DataFrame) -> str:
    """Return ratings as CSV: every column, unrounded, in SI."""
    return str(frame.to_csv(index=False)).rstrip("\n")


def ratings_table(frame: pd.DataFrame, system: UnitSystem) -> str:
    """Return ratings as a table for a terminal, at most 120 characters wide.

    Parameters
    ----------
    frame : DataFrame
        Of `casingloads.ratings`.
    system : {"metric", "field"}
        Units.

    Returns
    -------
    str
        Size by size, each pipe with its grades; pressure rounded to 10 psi or 0.1 MPa, force to 1,000 lbf or 1 kN;
        then how to read it, sources and cautions.
    """
    rows = _records(frame)
    lines: list[str] = []
    for size, block in groupby(rows, key=lambda row: as_size(row["od_m"])):
        lines += [*_block(size, list(block), system), ""]
    for text in _closing(rows, frame.attrs, system):
        indent = "    " if text.startswith("  ") else "  "
        lines += textwrap.wrap(text, WIDTH, subsequent_indent=indent)
    return "\n".join(lines)


def _records(frame: pd.DataFrame) -> list[_Row]:
    """Return the rows by column; None for what has no value."""
    cells = zip(*(frame[name] for name in frame.columns), strict=True)
    there = zip(*(frame[name].notna() for name in frame.columns), strict=True)
    return [
        {name: cell if is_there else None for name, cell, is_there in zip(frame.columns, *row, strict=True)}
        for row in zip(cells, there, strict=True)
    ]


# --- one size ---


def _block(size: str, block: Sequence[_Row], system: UnitSystem) -> Iterator[str]:
    groups = {"pipe body": _BODY} | {
        _TITLES[prefix]: _joint(prefix)
        for prefix in CONNECTIONS
        if any(row.get(f"{prefix}_joint_strength_n") is not None for row in block)
    }
    columns = [column for group in groups.values() for column in group]
    titles = (title.center(sum(map(_width, group))) for title, group in groups.items())
    yield _line(size, "", titles)
    yield _line("", "", (_padded(column.head[0], column) for column in columns))
    yield _line("  grade", "", (_padded(column.head[1], column) for column in columns))
    yield _line("", "", (_padded(column.dimension.unit(system), column) for column in columns))
    for _, group_of_pipe in groupby(block, key=lambda row: (row["weight_kgm"], row["wall_m"], row["catalog"])):
        pipe = list(group_of_pipe)
        yield from _pipe_lines(pipe[0], system)
        for row in pipe:
            yield _line(f"  {_cut(row['grade'])}", _signs(row), (_cell(row, column, system) for column in columns))


def _joint(prefix: str) -> tuple[_Column, ...]:
    joint, inside = f"{prefix}_joint_strength_n", f"{prefix}_internal_pressure_pa"
    return (
        _Column(("", "joint"), joint, FORCE, 8, f"{prefix}_parts_by"),
        _Column(("int.", "press."), inside, PRESSURE, 8, f"{prefix}_pressure_governs"),
    )


def _pipe_lines(row: _Row, system: UnitSystem) -> list[str]:
    """Return what a pipe is, before the lines of its grades."""
    weight = "" if system == "field" else f"{show(row['weight_kgm'], LINEAR_MASS, system)}, "
    drift = "no drift known" if row["drift_m"] is None else f"drift {show(row['drift_m'], DIAMETER, system)}"
    wall, inside = (show(row[name], DIAMETER, system) for name in ("wall_m", "id_m"))
    plain_end = show(row["plain_end_weight_kgm"], LINEAR_MASS, system)
    source = " ".join((row["source_keys"] or row["catalog"]).split(";"))
    sign = _SIGNS.get(row["confidence"], "")
    text = f"{weight}wall {wall}, ID {inside}, {drift}, plain end {plain_end} ({source})"
    return textwrap.wrap(f"{as_pounds(row['weight_kgm'])}{sign}  {text}", WIDTH, subsequent_indent="  ")


def _signs(row: _Row) -> str:
    return _SIGNS.get(row["grade_confidence"], "") + ("+" if _is_unlisted(row) else "")


def _is_unlisted(row: _Row) -> bool:
    return row["is_listed"] is not None and not row["is_listed"]


def _cut(name: str | None) -> str:
    name = "-" if name is None else name
    return name if len(name) <= _NAME else f"{name[: _NAME - 1]}…"


def _cell(row: _Row, column: _Column, system: UnitSystem) -> str:
    value = row[column.name]
    if value is None:
        return " " * _width(column)
    unit = column.dimension.unit(system)
    letter = _LETTERS.get(row[column.letter], " ") if column.letter else ""
    return _rounded(shown(value, column.dimension, system), _STEPS[unit]).rjust(column.width) + letter


def _rounded(value: float, step: float) -> str:
    """Return a number to the nearest *step*, the higher of two as near, as printed tables do."""
    whole = math.floor(value / step + 0.5 + 1e-9)
    return f"{whole * step:.{0 if step >= 1.0 else 1}f}"


def _padded(word: str, column: _Column) -> str:
    return word.rjust(column.width).ljust(_width(column))


def _width(column: _Column) -> int:
    return column.width + bool(column.letter)


def _line(first: str, signs: str, cells: Iterator[str]) -> str:
    return f"{first:<{_NAME + 2}}{signs:<2}{''.join(cells)}".rstrip()


# --- how to read it ---


def _closing(rows: Sequence[_Row], attrs: Mapping[Any, Any], system: UnitSystem) -> Iterator[str]:
    steps = "pressure to 10 psi, force to 1,000 lbf" if system == "field" else "pressure to 0.1 MPa, force to 1 kN"
    joints = [row.get(f"{prefix}_joint_strength_n") for row in rows for prefix in CONNECTIONS]
    has_joints = any(joint is not None for joint in joints)
    yield (
        f"Rounded as rating tables are: {steps}; --csv gives all unrounded, in SI. Printed tables round on the way "
        "too (D/t, areas, thread roots), so that their last digit may differ by one."
    )
    yield (
        "pipe body: collapse without other load, by the four regimes; minimum internal yield, on a wall of "
        f"{attrs['wall_factor']:g} of nominal; axial yield, on the nominal wall. Weight: nominal."
    )
    if has_joints:
        yield from _about_joints(are_all_there=None not in joints)
    yield from _about_signs(rows)
    yield from _notes(rows, attrs["notes"])
    yield f"Source: {attrs['source']}. Keys: sources.csv of casingloads.catalogs; --csv prints sources in full."
    memory = ["Connections: formulas, and dimensions of threads and couplings, are mostly from memory."]
    yield " ".join([f"Cautions: {CAUTIONS[0]}", *CAUTIONS[1:], *(memory if has_joints else [])])


def _about_joints(are_all_there: bool) -> Iterator[str]:
    yield (
        "joint: tension at which it parts, an ultimate strength with its 0.95 (axial yield has no such factor); "
        "f the pipe breaks at its thread, p the pin pulls out, c the coupling breaks."
    )
    yield (
        "int. press.: least of the pipe body's internal yield, coupling yield and leak resistance; c the coupling "
        "yields, l the thread leaks, no letter: pipe body. BTC special: special clearance coupling."
    )
    yield (
        "Couplings are of the pipe's grade. A connection stands here if the size has its coupling, whether or not "
        "it is made in that weight and grade."
        + ("" if are_all_there else " Blank: the size or weight has no such coupling, or it is line pipe (API 5L).")
    )


def _about_signs(rows: Sequence[_Row]) -> Iterator[str]:
    signs = {_SIGNS.get(row[name]) for row in rows for name in ("confidence", "grade_confidence")}
    if "*" in signs:
        yield "* confidence low: from memory (keys M), or in doubt."
    if "?" in signs:
        yield "? confidence not stated."
    if any(map(_is_unlisted, rows)):
        yield "+ the catalog does not list the grade for this size."
    if any(row["grade"] is None for row in rows):
        yield "- no grade is listed for this size; --grade names one."
    if any(row["grade"] is not None and row["min_yield_pa"] is None for row in rows):
        yield "A grade without any number is not in the catalog."
    if any(row["axial_yield_n"] is not None and row["collapse_pa"] is None for row in rows):
        yield "No collapse: the formulas do not hold for this yield strength."


def _notes(rows: Sequence[_Row], notes: Sequence[str]) -> Iterator[str]:
    if len(notes) > MOST_NOTES:
        count = sum(row["notes"] is not None for row in rows)
        yield f"Notes on {count} of {len(rows)} rows stand in --csv; fewer rows print theirs here."
    elif notes:
        yield "Notes"
        yield from (f"  {note}" for note in notes)
