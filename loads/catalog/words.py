"""What an engineer must know of a catalog row before relying on it, as notes for the list of assumptions.

One line a row. Silence means: a row of the standard's list, read in a copy of it, that lists the grade.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ..strength.geometry import plain_end_mass
from .rows import CatalogPipe, CatalogRow, Grade

# A shipped remark is told clause by clause: those that bear on a number the check uses. A misprint that another
# source settles does not, nor does a kind of pipe, a rule for hardness or the alternate drift.
_NUMBERS = re.compile(r"\b(wall|ID|OD|diameter|weight|drift|strength|psi|ksi)\b")
_ASIDES = re.compile(r"misprint|heavy wall|hardness|alternate_drift")


def pipe_notes(pipe: CatalogPipe, grade: Grade | None) -> tuple[str, ...]:
    """Return what to know of a pipe, and of a grade that is not listed for it."""
    practice = ["common practice, not in the standard's casing list"] if pipe.status == "common practice" else []
    notes = [*_line(pipe.label, [*practice, *_doubts(pipe)])]
    ratio = pipe.weight / float(plain_end_mass(pipe.od, pipe.wall))
    if not 0.8 < ratio < 1.25:  # titanium 0.57, aluminium 0.35; a wrong unit: 1 lb/ft is 1.49 kg/m
        of_steel = f"weight is {100.0 * ratio:.0f} % of that of a steel tube of this size"
        notes.append(f"{pipe.label}: {of_steel}: check the unit")
    if grade is not None and pipe.grades and not pipe.lists(grade.name):
        which = "the standard list" if pipe.status == "standard" else f"the list of {pipe.catalog}"
        listed = "listed, from memory" if pipe.grades_provenance == "from-memory" else "listed"
        names = ", ".join(pipe.grades)
        notes.append(f"{grade.name} is not in {which} for {pipe.label} ({listed}: {names})")
    return tuple(notes)


def grade_notes(grade: Grade, name: str, types: Sequence[str] = ()) -> tuple[str, ...]:
    """Return what to know of a grade.

    Parameters
    ----------
    grade : Grade
        As used.
    name : str
        As asked for.
    types : sequence of str
        The types that *grade* stands for, if it is a family.

    Returns
    -------
    tuple of str
        One line, or none.
    """
    doubts = _doubts(grade)
    if types:
        read_as = f"{grade.summary} read as any of its types {', '.join(types)}, which share these strengths"
    elif name.casefold() != grade.name.casefold():
        read_as = f"{name!r} read as {grade.summary}"
    else:
        return _line(grade.summary, doubts)
    return _line(read_as, doubts) or (read_as,)


def _doubts(row: CatalogRow) -> list[str]:
    """Return weak evidence and the row's own remark, so far as it bears on a number."""
    from_memory = row.provenance == "from-memory"
    doubts = []
    if from_memory or row.confidence in ("low", "not stated"):
        values = "values from memory, " if from_memory else ""
        doubts.append(f"{values}confidence {row.confidence} ({row.catalog}, {row.source})")
    is_own, is_reason = not row.source_keys, row.confidence == "low" and not from_memory
    clauses = row.notes.split("; ")
    doubts += filter(None, clauses if is_own or is_reason else _bearing(clauses))
    return doubts


def _bearing(clauses: Iterable[str]) -> list[str]:
    return [clause for clause in clauses if _NUMBERS.search(clause) and not _ASIDES.search(clause)]


def _line(subject: str, parts: Sequence[str]) -> tuple[str, ...]:
    return (f"{subject}: {'; '.join(parts)}",) if parts else ()
