"""Catalogs of pipe sizes and grades, and what a designation such as ``9-5/8 in 47 lb/ft N80`` names.

What an engineer should know of a choice is returned as notes for the list of assumptions, never hidden.
`casingloads.catalog.file` reads the files.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any, NamedTuple

from ..errors import CasingloadsError, near_miss
from ..units import DIAMETER, LINEAR_MASS, UnitSystem, to_si
from .columns import GRADE_COLUMNS, PIPE_COLUMNS, frame
from .rows import (
    CONFIDENCE,
    OD_TOLERANCE,
    WALL_TOLERANCE,
    WEIGHT_TOLERANCE,
    CatalogPipe,
    CatalogRow,
    Grade,
    Row,
    as_mm,
    as_pounds,
    as_size,
    as_wall,
    is_akin,
    is_type,
)
from .words import grade_notes, pipe_notes

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Catalog", "CatalogError", "CatalogPipe", "CatalogRow", "Found", "Grade"]

HOW_TO_NAME = "write it like '9-5/8 in 47 lb/ft N80' or '244.5 mm 11.99 mm wall L80'"
OWN_FILE = "a pipe of your own is given in full, or in a catalog file"

_NUMBER = r"(?:\d+[-\s]+\d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)"
_DESIGNATION = re.compile(
    rf"""\s*(?P<od>{_NUMBER}\s*[A-Za-z]+)
    (?:\s+(?P<weight>{_NUMBER}\s*[A-Za-z]+\s*/\s*[A-Za-z]+))?
    (?:\s+(?P<wall>{_NUMBER}\s*[A-Za-z]+)\s+wall)?
    (?:\s+(?P<grade>[A-Za-z].*?))?\s*""",
    re.VERBOSE,
)


class CatalogError(CasingloadsError, ValueError):
    """A catalog file is wrong, or does not hold what was asked for."""


class Found(NamedTuple):
    """What a designation names, with notes for the list of assumptions."""

    pipe: CatalogPipe
    grade: Grade | None
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Catalog:
    """Pipes and grades, the SHA-256 of each file they came from, and notes on rows that stand for others."""

    pipes: tuple[CatalogPipe, ...] = ()
    grades: tuple[Grade, ...] = ()
    hashes: Mapping[str, str]
    notes: tuple[str, ...] = ()

    def find(self, text: str) -> Found:
        """Return the pipe and grade that a designation names.

        Parameters
        ----------
        text : str
            Outside diameter, then nominal weight or wall (or both), then a grade if wished.

        Returns
        -------
        Found
            Pipe, grade (``None`` if none was named) and notes.

        Raises
        ------
        CatalogError
            If the text names no pipe or grade, or several; says what is near.

        Examples
        --------
        >>> from casingloads import standard_catalog
        >>> pipe, grade, notes = standard_catalog().find("244.5 mm 11.99 mm wall P110")
        >>> pipe.label, grade.name, notes
        ('9-5/8 in 47 lb/ft', 'P110', ())
        """
        match = _DESIGNATION.fullmatch(text)
        if match is None:
            comma = "; write a decimal point, not a comma" if re.search(r"\d,\d", text) else ""
            raise CatalogError(f"{text!r} is no pipe designation{comma}; {HOW_TO_NAME}")
        od, weight, wall, name = match.group("od", "weight", "wall", "grade")
        try:
            pipe = self.pipe(
                to_si(od, DIAMETER),
                weight=to_si(weight, LINEAR_MASS) if weight else None,
                wall=to_si(wall, DIAMETER) if wall else None,
            )
            grade, notes = self.grade(name) if name else (None, ())
        except ValueError as error:
            raise CatalogError(f"{text!r}: {error}") from None
        return Found(pipe, grade, (*pipe_notes(pipe, grade), *notes))

    def pipe(self, od: float, *, weight: float | None = None, wall: float | None = None) -> CatalogPipe:
        """Return the pipe of outside diameter *od* [m] with nominal *weight* [kg/m] or *wall* [m], or both.

        Raises
        ------
        CatalogError
            If no pipe, or more than one, lies within 0.005 in, 0.01 lb/ft and 0.1 mm of them.
        """
        sizes = self._of_diameter(od)
        if weight is None and wall is None:
            raise CatalogError(f"weight or wall is missing; in the catalog: {_sizes(sizes)}")

        def distance(pipe: CatalogPipe) -> float:  # in tolerances
            by_weight = 0.0 if weight is None else abs(pipe.weight - weight) / WEIGHT_TOLERANCE
            return max(by_weight, 0.0 if wall is None else abs(pipe.wall - wall) / WALL_TOLERANCE)

        fitting = [pipe for pipe in sizes if distance(pipe) <= 1.0]
        if len(fitting) > 1:
            several = ", ".join(pipe.summary for pipe in fitting)
            raise CatalogError(f"several pipes fit; give both weight and wall of one of {several}")
        if not fitting:
            near_by = _sizes(sorted(sizes, key=distance)[:4])
            raise CatalogError(f"no such pipe; nearest of {as_size(od)}: {near_by}; {OWN_FILE}")
        return fitting[0]

    def _of_diameter(self, od: float) -> list[CatalogPipe]:
        if not 0.0 < od < math.inf:
            raise CatalogError(f"od {od} m: need a diameter above 0")
        sizes = [pipe for pipe in self.pipes if abs(pipe.od - od) <= OD_TOLERANCE]
        if not sizes:
            near = sorted(sorted({pipe.od for pipe in self.pipes}, key=lambda size: abs(size - od))[:4])
            found, names = f"{as_size(od)} ({as_mm(od)})", ", ".join(map(as_size, near))
            raise CatalogError(f"no pipe of {found}; nearest diameters: {names}; {OWN_FILE}")
        return sizes

    def grade(self, name: str) -> tuple[Grade, tuple[str, ...]]:
        """Return the grade called *name*, or what its types share (N80: N80-1 and N80Q), and notes.

        Raises
        ------
        CatalogError
            If there is none, or its types differ in yield or tensile strength.
        """
        types = [row for row in self.grades if row.name.casefold() == name.casefold()]
        types = types[:1] or [row for row in self.grades if is_type(row.name, name)]
        if not types:
            known = {form for row in self.grades for form in (row.name, re.split(r"(?<=\d)\D", row.name)[0])}
            raise CatalogError(f"grade {name!r} is not in the catalog; {near_miss(name.upper(), known)}")
        if len(types) == 1:
            return types[0], grade_notes(types[0], name)
        names = [row.name for row in types]
        if len({(row.yield_strength, row.tensile_strength) for row in types}) > 1:
            raise CatalogError(f"the types of grade {name!r} differ in strength; name one of {', '.join(names)}")
        shared = _shared(name.upper(), types)
        return shared, grade_notes(shared, name, names)

    def joined(self, other: Catalog) -> Catalog:
        """Return this catalog with the rows of *other* first; `notes` tells each row that they replace.

        Raises
        ------
        CatalogError
            If two different files have the same name, since results tell catalogs by it.
        """
        for name in self.hashes.keys() & other.hashes.keys():
            if self.hashes[name] != other.hashes[name]:
                raise CatalogError(f"{name}: another catalog has this name; give the file a name of its own")
        pipes, told = _stacked(other.pipes, self.pipes)
        grades, told_too = _stacked(other.grades, self.grades)
        for row in other.grades:  # a grade of the full name hides the types that it would mean otherwise
            types = [item.name for item in self.grades if is_type(item.name, row.name)]
            told_too += [f"{row.summary} is meant by {row.name}, not {' or '.join(types)}"] if types else []
        notes = (*self.notes, *other.notes, *told, *told_too)
        return Catalog(pipes=pipes, grades=grades, hashes={**self.hashes, **other.hashes}, notes=notes)

    def select(
        self,
        *,
        od: float | str | None = None,
        weight: float | str | None = None,
        grade: str | None = None,
        text: str | None = None,
    ) -> Catalog:
        """Return the catalog with only those rows that meet every filter given.

        Parameters
        ----------
        od, weight : float or str, optional
            Outside diameter [m] and nominal weight [kg/m] of the pipes, or text with a unit.
        grade : str, optional
            Leaves the pipes that list the grade or its family, and the grade with its types.
        text : str, optional
            Part of any text of the row, in upper or lower case.

        Examples
        --------
        >>> from casingloads import standard_catalog
        >>> [pipe.label for pipe in standard_catalog().select(od="18-5/8 in", grade="H40").pipes]
        ['18-5/8 in 87.5 lb/ft']
        """
        size = to_si(od, DIAMETER) if isinstance(od, str) else od
        mass = to_si(weight, LINEAR_MASS) if isinstance(weight, str) else weight
        pipes = [
            pipe
            for pipe in self.pipes
            if (size is None or abs(pipe.od - size) <= OD_TOLERANCE)
            and (mass is None or abs(pipe.weight - mass) <= WEIGHT_TOLERANCE)
            and (grade is None or pipe.lists(grade))
            and _says(pipe, text)
        ]
        grades = [row for row in self.grades if (grade is None or is_akin(row.name, grade)) and _says(row, text)]
        return replace(self, pipes=tuple(pipes), grades=tuple(grades))

    def pipes_frame(self, system: UnitSystem = "metric") -> pd.DataFrame:
        """Return the pipes as a table with the columns of a catalog file, in the units of *system*."""
        return frame(self.pipes, PIPE_COLUMNS, system)

    def grades_frame(self, system: UnitSystem = "metric") -> pd.DataFrame:
        """Return the grades as a table with the columns of a catalog file, in the units of *system*."""
        return frame(self.grades, GRADE_COLUMNS, system)


def _sizes(pipes: Iterable[CatalogPipe]) -> str:
    """Return the weights of pipes of one diameter, with their walls."""
    rows = sorted((pipe.weight, pipe.wall) for pipe in pipes)
    return ", ".join(f"{as_pounds(weight)} ({as_wall(wall)})" for weight, wall in rows)


def _says(row: CatalogPipe | Grade, text: str | None) -> bool:
    words = [row.summary, *(str(getattr(row, item.name)) for item in fields(row))]
    return text is None or text.casefold() in " ".join(words).casefold()


def _stacked(first: Sequence[Row], then: Sequence[Row]) -> tuple[tuple[Row, ...], list[str]]:
    """Return *first* and what it leaves of *then*, with a note on each row left out."""
    kept, notes = list(first), []
    for row in then:
        over = next((item for item in first if item.is_same(row)), None)
        if over is None:
            kept.append(row)
        elif over != row:
            notes.append(f"{over.summary} stands in place of {row.summary}")
    return tuple(kept), notes


def _shared(name: str, types: Sequence[Grade]) -> Grade:
    """Return what the types of a grade have in common; texts that differ stand side by side."""
    values: dict[str, Any] = {}
    for item in fields(Grade):
        found = list(dict.fromkeys(getattr(grade, item.name) for grade in types))
        texts = [value for value in found if value and isinstance(value, str)]
        values[item.name] = found[0] if len(found) == 1 else " | ".join(texts) if texts else None
    values["confidence"] = min((grade.confidence for grade in types), key=CONFIDENCE.index)
    return Grade(**{**values, "name": name})
