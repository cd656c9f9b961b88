"""Catalogs of pipe sizes and grades, and what a designation such as ``9-5/8 in 47 lb/ft N80`` names.

A file is CSV with the unit in each column name (`od_in`, `min_yield_psi`) and a source in every row. What an
engineer should know of a choice is returned as notes for the list of assumptions, never hidden.
"""

from __future__ import annotations

import csv
import functools
import hashlib
import io
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from importlib.resources import files
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from .errors import CasingloadsError, near_miss
from .units import DIAMETER, FRACTION, LINEAR_MASS, STRESS, Dimension, UnitSystem, show, to_si

if TYPE_CHECKING:
    import pandas as pd

STEEL_DENSITY = 7850.0  # [kg/m3]; gives the 10.69 (D-t) t lb/ft of API 5CT (value from memory)
INCH, POUND_PER_FOOT = 0.0254, 0.45359237 / 0.3048
OD_TOLERANCE = 0.005 * INCH + 1e-9  # [m], so that 244.5 mm names 9-5/8 in
WEIGHT_TOLERANCE = 0.01 * POUND_PER_FOOT + 1e-9  # [kg/m]
WALL_TOLERANCE = 0.1e-3 + 1e-9  # [m]
HOW_TO_NAME = "write it like '9-5/8 in 47 lb/ft N80' or '244.5 mm 11.99 mm wall L80'"
OWN_FILE = "a pipe of your own is given in full, or in a catalog file"
CONFIDENCE = ("low", "not stated", "medium", "high")  # least first; `casingloads.catalogs` explains the words


Row = TypeVar("Row", bound="CatalogRow")


class CatalogError(CasingloadsError, ValueError):
    """A catalog file is wrong, or does not hold what was asked for."""


@dataclass(frozen=True, kw_only=True)
class CatalogRow:
    """What every row says of itself: where it comes from, how far to trust it, in which file it stands."""

    source: str
    provenance: str = "user catalog"
    confidence: str = "not stated"
    notes: str = ""
    catalog: str = ""

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise ValueError("source is empty; name where the row comes from")
        if self.confidence not in CONFIDENCE:
            raise ValueError(f"confidence {self.confidence!r}: {near_miss(self.confidence, CONFIDENCE)}")


@dataclass(frozen=True, kw_only=True)
class CatalogPipe(CatalogRow):
    """A size of pipe. Lengths [m], mass per length [kg/m].

    `weight` is the nominal line weight, a label; `plain_end_weight` that of the bare tube; `grades` those
    listed for the size; `status` says whether the standard lists the size.
    """

    od: float
    weight: float
    wall: float
    plain_end_weight: float
    drift: float | None = None
    alternate_drift: float | None = None
    grades: tuple[str, ...] = ()
    status: str = "user"
    grades_provenance: str = ""
    alternate_drift_provenance: str = ""

    def __post_init__(self) -> None:
        super().__post_init__()
        if not 0.0 < 2.0 * self.wall < self.od:
            raise ValueError(f"need 0 < 2 wall < od, found wall {_mm(self.wall)} and od {_mm(self.od)}")
        steel = _tube_weight(self.od, self.wall)
        for name in ("weight", "plain_end_weight"):  # shows a wrong unit: 1 lb/ft is 1.49 kg/m
            if not 0.8 * steel < getattr(self, name) < 1.25 * steel:
                found = show(getattr(self, name), LINEAR_MASS)
                raise ValueError(f"{name} {found} is not that of a steel tube, {show(steel, LINEAR_MASS)}")
        for name in ("drift", "alternate_drift"):
            drift, inside = getattr(self, name), self.inside_diameter
            if drift is not None and not 0.0 < drift < inside:
                raise ValueError(f"{name} {_mm(drift)} is not below the inside diameter {_mm(inside)}")

    @property
    def inside_diameter(self) -> float:
        """Outside diameter less two walls [m]."""
        return self.od - 2.0 * self.wall

    @property
    def label(self) -> str:
        """Size and nominal weight as the trade writes them, for example ``9-5/8 in 47 lb/ft``."""
        return f"{_size(self.od)} {_pounds(self.weight)}"


@dataclass(frozen=True, kw_only=True)
class Grade(CatalogRow):
    """A grade of steel. Strengths [Pa]; `elongation_under_load` [-] is the strain at which yield is read.

    `yield_strength` and `tensile_strength` are the specified minimum. ``None``: no such limit is known.
    """

    name: str
    yield_strength: float
    tensile_strength: float
    max_yield: float | None = None
    max_tensile: float | None = None
    max_hardness_hrc: float | None = None
    max_hardness_hbw: float | None = None
    elongation_under_load: float | None = None
    process: str = ""
    heat_treatment: str = ""
    group: str = ""
    standard: str = ""

    def __post_init__(self) -> None:
        super().__post_init__()
        least, most = self.yield_strength, self.tensile_strength
        if not 100e6 <= least <= most <= 2500e6:  # shows a wrong unit
            found = f"{show(least, STRESS)} and {show(most, STRESS)}"
            raise ValueError(f"need 100 MPa <= yield <= tensile strength <= 2500 MPa, found {found}")
        for name, limit in (("max_yield", least), ("max_tensile", most)):
            value = getattr(self, name)
            if value is not None and value < limit:
                raise ValueError(f"{name} {show(value, STRESS)} is below the minimum {show(limit, STRESS)}")


class Found(NamedTuple):
    """What a designation names, with notes for the list of assumptions."""

    pipe: CatalogPipe
    grade: Grade | None
    notes: tuple[str, ...]


_NUMBER = r"(?:\d+[-\s]+\d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)"
_DESIGNATION = re.compile(
    rf"""\s*(?P<od>{_NUMBER}\s*[A-Za-z]+)
    (?:\s+(?P<weight>{_NUMBER}\s*[A-Za-z]+\s*/\s*[A-Za-z]+))?
    (?:\s+(?P<wall>{_NUMBER}\s*[A-Za-z]+)\s+wall)?
    (?:\s+(?P<grade>[A-Za-z].*?))?\s*""",
    re.VERBOSE,
)


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
        >>> pipe, grade, notes = standard_catalog().find("244.5 mm 11.99 mm wall P110")
        >>> pipe.label, grade.name, notes
        ('9-5/8 in 47 lb/ft', 'P110', ())
        """
        match = _DESIGNATION.fullmatch(text)
        if match is None:
            comma = "; write a decimal point, not a comma" if re.search(r"\d,\d", text) else ""
            raise CatalogError(f"{text!r} is no pipe designation{comma}; {HOW_TO_NAME}")
        try:
            weight, wall = match["weight"], match["wall"]
            pipe = self.pipe(
                to_si(match["od"], DIAMETER),
                weight=to_si(weight, LINEAR_MASS) if weight else None,
                wall=to_si(wall, DIAMETER) if wall else None,
            )
            grade, notes = self.grade(match["grade"]) if match["grade"] else (None, ())
        except ValueError as error:
            raise CatalogError(f"{text!r}: {error}") from None
        return Found(pipe, grade, (*_pipe_notes(pipe, grade), *notes))

    def pipe(self, od: float, *, weight: float | None = None, wall: float | None = None) -> CatalogPipe:
        """Return the pipe of outside diameter *od* [m] with nominal *weight* [kg/m] or *wall* [m], or both.

        Raises
        ------
        CatalogError
            If no pipe, or more than one, lies within 0.005 in, 0.01 lb/ft and 0.1 mm of them.
        """
        if not 0.0 < od < math.inf:
            raise CatalogError(f"od {od} m: need a diameter above 0")
        sizes = [pipe for pipe in self.pipes if abs(pipe.od - od) <= OD_TOLERANCE]
        if not sizes:
            near = sorted(sorted({pipe.od for pipe in self.pipes}, key=lambda size: abs(size - od))[:4])
            found = f"{_size(od)} ({_mm(od)})"
            raise CatalogError(
                f"no pipe of {found}; nearest diameters: {', '.join(map(_size, near))}; {OWN_FILE}"
            )
        if weight is None and wall is None:
            raise CatalogError(f"weight or wall is missing; in the catalog: {_sizes(sizes)}")

        def distance(pipe: CatalogPipe) -> float:  # in tolerances
            by_weight = 0.0 if weight is None else abs(pipe.weight - weight) / WEIGHT_TOLERANCE
            return max(by_weight, 0.0 if wall is None else abs(pipe.wall - wall) / WALL_TOLERANCE)

        fitting = [pipe for pipe in sizes if distance(pipe) <= 1.0]
        if len(fitting) > 1:
            several = ", ".join(map(_summary, fitting))
            raise CatalogError(f"several pipes fit; give both weight and wall of one of {several}")
        if not fitting:
            near_by = _sizes(sorted(sizes, key=distance)[:4])
            raise CatalogError(f"no such pipe; nearest of {_size(od)}: {near_by}; {OWN_FILE}")
        return fitting[0]

    def grade(self, name: str) -> tuple[Grade, tuple[str, ...]]:
        """Return the grade called *name*, or what its types share (N80: N80-1 and N80Q), and notes.

        Raises
        ------
        CatalogError
            If there is none, or its types differ in yield or tensile strength.
        """
        types = [row for row in self.grades if row.name.casefold() == name.casefold()]
        types = types[:1] or [row for row in self.grades if _is_type(row.name, name)]
        if not types:
            known = {form for row in self.grades for form in (row.name, re.split(r"(?<=\d)\D", row.name)[0])}
            raise CatalogError(f"grade {name!r} is not in the catalog; {near_miss(name.upper(), known)}")
        if len(types) == 1:
            read_as = [f"grade {name!r} read as {types[0].name}"] if _is_type(types[0].name, name) else []
            return types[0], (*read_as, *_trust_notes(_summary(types[0]), types[0]))
        names = ", ".join(row.name for row in types)
        if len({(row.yield_strength, row.tensile_strength) for row in types}) > 1:
            raise CatalogError(f"the types of grade {name!r} differ in strength; name one of {names}")
        shared = _shared(name.upper(), types)
        note = f"{_summary(shared)} read as any of its types {names}, which share these strengths"
        return shared, (note, *_trust_notes(_summary(shared), replace(shared, notes="")))

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
            types = [item.name for item in self.grades if _is_type(item.name, row.name)]
            told_too += [f"{_summary(row)} is meant by {row.name}, not {' or '.join(types)}"] if types else []
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
            and (grade is None or _lists(pipe, grade))
            and _says(pipe, text)
        ]
        grades = [
            row for row in self.grades if (grade is None or _akin(row.name, grade)) and _says(row, text)
        ]
        return replace(self, pipes=tuple(pipes), grades=tuple(grades))

    def pipes_frame(self, system: UnitSystem = "metric") -> pd.DataFrame:
        """Return the pipes as a table with the columns of a catalog file, in the units of *system*."""
        return _frame(self.pipes, _PIPE_COLUMNS, system)

    def grades_frame(self, system: UnitSystem = "metric") -> pd.DataFrame:
        """Return the grades as a table with the columns of a catalog file, in the units of *system*."""
        return _frame(self.grades, _GRADE_COLUMNS, system)


# --- Words and comparisons ---


def _size(od: float) -> str:
    """Return a diameter as the trade writes it, ``9-5/8 in``; with decimals where it is no sixteenth."""
    sixteenths = round(od / INCH * 16)
    if abs(od / INCH - sixteenths / 16) > 5e-4:
        return f"{od / INCH:.3f} in"
    whole, part = divmod(Fraction(sixteenths, 16), 1)
    return f"{whole}-{part} in" if part else f"{whole} in"


def _pounds(weight: float) -> str:
    return f"{round(weight / POUND_PER_FOOT, 2):g} lb/ft"


def _mm(length: float) -> str:
    return show(length, DIAMETER)


def _summary(row: CatalogRow) -> str:
    if isinstance(row, CatalogPipe):
        return f"{row.label} ({row.wall / INCH:.3f} in = {_mm(row.wall)} wall; {row.catalog})"
    assert isinstance(row, Grade)
    strengths = (
        f"{show(row.yield_strength, STRESS)} yield, {show(row.tensile_strength, STRESS)} tensile strength"
    )
    return f"grade {row.name} ({strengths}; {row.catalog})"


def _sizes(pipes: Iterable[CatalogPipe]) -> str:
    """Return the weights of pipes of one diameter, with their walls."""
    rows = sorted((pipe.weight, pipe.wall) for pipe in pipes)
    return ", ".join(f"{_pounds(weight)} ({wall / INCH:.3f} in = {_mm(wall)} wall)" for weight, wall in rows)


def _tube_weight(od: float, wall: float) -> float:
    """Return the mass per length of a plain steel tube [kg/m]."""
    return math.pi * (od - wall) * wall * STEEL_DENSITY


def _is_type(name: str, family: str) -> bool:
    """Tell whether grade *name* is a type of *family*: N80-1 and N80Q of N80, B PSL2 of B."""
    return re.fullmatch(re.escape(family) + r"(-.+|Q| .+)", name, re.IGNORECASE) is not None


def _akin(name: str, other: str) -> bool:
    return name.casefold() == other.casefold() or _is_type(name, other) or _is_type(other, name)


def _lists(pipe: CatalogPipe, grade: str) -> bool:
    return any(_akin(grade, listed) for listed in pipe.grades)


def _says(row: CatalogRow, text: str | None) -> bool:
    words = [_summary(row), *(str(getattr(row, item.name)) for item in fields(row))]
    return text is None or text.casefold() in " ".join(words).casefold()


def _same(one: CatalogRow, other: CatalogRow) -> bool:
    """Tell whether two rows answer to the same diameter and weight, or to the same name."""
    if isinstance(one, CatalogPipe) and isinstance(other, CatalogPipe):
        near = abs(one.weight - other.weight) <= WEIGHT_TOLERANCE
        return near and abs(one.od - other.od) <= OD_TOLERANCE
    names = [row.name.casefold() for row in (one, other) if isinstance(row, Grade)]
    return len(names) == 2 and names[0] == names[1]


def _stacked(first: Sequence[Row], then: Sequence[Row]) -> tuple[tuple[Row, ...], list[str]]:
    """Return *first* and what it leaves of *then*, with a note on each row left out."""
    kept, notes = list(first), []
    for row in then:
        over = next((item for item in first if _same(item, row)), None)
        if over is None:
            kept.append(row)
        elif over != row:
            notes.append(f"{_summary(over)} stands in place of {_summary(row)}")
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


def _trust_notes(label: str, row: CatalogRow) -> list[str]:
    """Return what to know before relying on a row: weak evidence, and what the catalog remarks."""
    notes = []
    if row.confidence in ("low", "not stated"):
        origin = f"{row.catalog}: {row.provenance}, {row.source}"
        notes.append(f"{label}: confidence in the values is {row.confidence} ({origin})")
    return [*notes, f"{label}: the catalog remarks: {row.notes}"] if row.notes else notes


def _pipe_notes(pipe: CatalogPipe, grade: Grade | None) -> list[str]:
    notes = _trust_notes(pipe.label, pipe)
    if pipe.status == "common practice":
        notes.insert(0, f"{pipe.label} is common practice, not in the standard's casing list")
    if grade is not None and pipe.grades and not _lists(pipe, grade.name):
        which = "the standard list" if pipe.status == "standard" else f"the list of {pipe.catalog}"
        notes.append(f"{grade.name} is not in {which} for {pipe.label} (listed: {', '.join(pipe.grades)})")
    return notes


# --- Files ---

# Kind of column: dimension and suffixes with their unit; the field unit first, then the metric one.
_UNITS: dict[str, tuple[Dimension, dict[str, str]]] = {
    "length": (DIAMETER, {"in": "in", "mm": "mm", "m": "m"}),
    "weight": (LINEAR_MASS, {"lbft": "lb/ft", "kgm": "kg/m"}),
    "stress": (STRESS, {"psi": "psi", "MPa": "MPa", "ksi": "ksi"}),
    "percent": (FRACTION, {"pct": "%"}),
}
_TRUST = ("confidence", "provenance", "source")
_PIPE_COLUMNS = {
    **{"od": "length", "weight": "weight", "wall": "length", "id": "length", "drift": "length"},
    **{"alternate_drift": "length", "plain_end_weight": "weight", "grades": "names", "status": "text"},
    **dict.fromkeys((*_TRUST, "grades_provenance", "alternate_drift_provenance", "notes"), "text"),
}
_GRADE_COLUMNS = {
    **{"grade": "text", "min_yield": "stress", "max_yield": "stress", "min_tensile": "stress"},
    **{"max_tensile": "stress", "max_hardness_hrc": "number", "max_hardness_hbw": "number"},
    **{"elongation_under_load": "percent"},
    **dict.fromkeys(("process", "heat_treatment", "group", "standard", *_TRUST, "notes"), "text"),
}
_ATTRIBUTES = {
    **{"id": "inside_diameter", "grade": "name"},
    **{"min_yield": "yield_strength", "min_tensile": "tensile_strength"},
}
_REQUIRED = {"od", "weight", "wall", "grade", "min_yield", "min_tensile", "source"}


@functools.cache
def standard_catalog() -> Catalog:
    """Return the catalog that comes with the package: standard sizes, sizes of common practice, grades.

    Examples
    --------
    >>> sorted(standard_catalog().hashes)
    ['casing_sizes.csv', 'casing_sizes_common_practice.csv', 'grades.csv', 'sources.csv']
    """
    folder = files("casingloads.catalogs")
    content = folder.joinpath("sources.csv").read_bytes()
    sources = {key: text for _, (key, text) in _table("sources.csv", content)[1]}
    whole = Catalog(hashes={"sources.csv": hashlib.sha256(content).hexdigest()})
    for name in ("grades.csv", "casing_sizes_common_practice.csv", "casing_sizes.csv"):
        whole = whole.joined(_read(name, folder.joinpath(name).read_bytes(), sources))
    return whole


def catalog_frames(system: UnitSystem = "metric") -> tuple[pd.DataFrame, pd.DataFrame]:
    """Return the pipes and the grades of `standard_catalog` as tables, in the units of *system*.

    Examples
    --------
    >>> pipes, grades = catalog_frames("field")
    >>> pipes[["od_in", "weight_lbft", "wall_in"]].iloc[0].tolist()
    [4.5, 9.5, 0.205]
    """
    return standard_catalog().pipes_frame(system), standard_catalog().grades_frame(system)


def read_catalog(path: str | PathLike[str]) -> Catalog:
    """Read pipes or grades from a CSV file of the user's.

    Parameters
    ----------
    path : path
        Comma-separated, decimal points, UTF-8; lines before the header may start with ``#``. Pipes need
        columns `od`, `weight` (nominal), `wall`; grades `grade`, `min_yield`, `min_tensile`; both `source`.
        A column of numbers ends in its unit: ``_in _mm _m``, ``_lbft _kgm``, ``_psi _ksi _MPa``, ``_pct``.
        The others are those of the shipped files. Without a plain-end weight that of a steel tube is taken,
        and the row's notes say so.

    Returns
    -------
    Catalog
        To be used by ``standard_catalog().joined(...)``.

    Raises
    ------
    CatalogError
        With the file, and line and column of everything that is wrong.
    """
    try:
        content = Path(path).read_bytes()
    except OSError as error:
        raise CatalogError(f"{path}: cannot be read: {error.strerror}") from None
    return _read(Path(path).name, content)


def _read(name: str, content: bytes, sources: Mapping[str, str] | None = None) -> Catalog:
    """Return the rows of a file; *sources* explains the keys in its column `source`."""
    header, rows = _table(name, content)
    is_grades = "grade" in header
    columns = _columns(name, header, _GRADE_COLUMNS if is_grades else _PIPE_COLUMNS)
    items: list[Any] = []
    problems: list[str] = []
    for line, cells in rows:
        try:
            values = _record(header, cells, columns)
            if sources is not None:
                values["source"] = "; ".join(f"{key}: {sources[key]}" for key in values["source"].split(";"))
            item = Grade(catalog=name, **values) if is_grades else _pipe(name, values)
            if any(_same(item, earlier) for earlier in items):
                raise ValueError(f"{_summary(item)}: an earlier line has this name or diameter and weight")
            items.append(item)
        except ValueError as error:
            problems.append(f"line {line}: {error}")
    if problems or not items:
        raise CatalogError("\n  ".join([f"{name}:", *(problems or ["no rows below the header"])]))
    hashes = {name: hashlib.sha256(content).hexdigest()}
    return Catalog(**{"grades" if is_grades else "pipes": tuple(items)}, hashes=hashes)


def _table(name: str, content: bytes) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Return the header and the rows of a CSV file, each row with its line in the file."""
    try:
        lines = list(io.StringIO(content.decode("utf-8-sig"), newline=None))
        marks = [line.strip('" ,\n')[:1] for line in lines]  # a spreadsheet quotes and pads its comment lines
        start = next((number for number, mark in enumerate(marks) if mark not in ("", "#")), len(lines))
        header_line = "".join(lines[start : start + 1])
        for mark, word in ((";", "semicolons"), ("\t", "tabs")):
            if mark in header_line:
                raise CatalogError(f"{name}: separated by {word}; save it with commas and decimal points")
        reader = csv.reader(lines[start:], strict=True)
        header = [cell.strip() for cell in next(reader, [])]
        rows = [(start + reader.line_num, [cell.strip() for cell in row]) for row in reader]
    except UnicodeDecodeError:
        raise CatalogError(f"{name}: not UTF-8 text; save it as CSV in UTF-8") from None
    except csv.Error as error:
        raise CatalogError(f"{name}: not a CSV file: {error}") from None
    rows = [(line, cells) for line, cells in rows if any(cells)]
    for line, cells in rows:
        if len(cells) != len(header):
            raise CatalogError(
                f"{name}, line {line}: {len(cells)} values for {len(header)} columns; "
                "a decimal comma, or a text with commas that is not in quotes?"
            )
    return header, rows


def _accepted(columns: Mapping[str, str]) -> dict[str, tuple[str, str, float]]:
    """Return every accepted name of a column with its stem, kind and factor to SI."""
    names = {}
    for stem, kind in columns.items():
        dimension, units = _UNITS.get(kind, (FRACTION, {}))
        for suffix, unit in units.items():
            names[f"{stem}_{suffix}"] = (stem, kind, to_si(f"1 {unit}", dimension))
        if not units:
            names[stem] = (stem, kind, 1.0)
    return names


def _columns(name: str, header: list[str], known: Mapping[str, str]) -> list[tuple[str, str, float]]:
    """Return what each column of a file holds: stem, kind and factor to SI."""
    accepted = _accepted(known)
    problems = [
        f"column {item!r} is not known; {near_miss(item, accepted)}"
        for item in header
        if item not in accepted
    ]
    found = [accepted[item] for item in header if item in accepted]
    stems = [stem for stem, _, _ in found]
    problems += [
        f"column {stem!r} stands more than once" for stem in dict.fromkeys(stems) if stems.count(stem) > 1
    ]
    for stem in known:
        if stem in _REQUIRED and stem not in stems:
            forms = " or ".join(repr(item) for item, (other, _, _) in accepted.items() if other == stem)
            problems.append(f"column {forms} is missing")
    what = "grades" if "grade" in header else "pipes, since there is no column 'grade'"
    if problems:
        raise CatalogError("\n  ".join([f"{name}, header (read as {what}):", *problems]))
    return found


def _record(header: list[str], cells: list[str], columns: list[tuple[str, str, float]]) -> dict[str, Any]:
    """Return the attributes a row fills; empty cells fill none."""
    values: dict[str, Any] = {}
    for title, cell, (stem, kind, factor) in zip(header, cells, columns, strict=True):
        attribute = _ATTRIBUTES.get(stem, stem)
        if not cell:
            if stem in _REQUIRED:
                raise ValueError(f"column {title!r} is empty")
        elif kind == "text":
            values[attribute] = cell
        elif kind == "names":
            values[attribute] = tuple(part.strip() for part in cell.split(";") if part.strip())
        elif re.fullmatch(r"\d+\.?\d*|\.\d+", cell):
            values[attribute] = float(cell) * factor
        else:
            raise ValueError(
                f"column {title!r}: found {cell!r}; need a number such as 9.625, with a decimal point"
            )
    return values


def _pipe(name: str, values: dict[str, Any]) -> CatalogPipe:
    """Return the pipe of a row, whose inside diameter must agree with its wall."""
    inside = values.pop("inside_diameter", None)
    if "plain_end_weight" not in values:
        remark = f"plain-end weight is that of a tube of steel of {STEEL_DENSITY:g} kg/m3"
        values["plain_end_weight"] = _tube_weight(values["od"], values["wall"])
        values["notes"] = "; ".join(filter(None, [values.get("notes"), remark]))
    pipe = CatalogPipe(catalog=name, **values)
    if inside is not None and abs(inside - pipe.inside_diameter) > WALL_TOLERANCE:
        raise ValueError(f"id {_mm(inside)} is not od less two walls, {_mm(pipe.inside_diameter)}")
    return pipe


def _frame(rows: Sequence[CatalogRow], columns: Mapping[str, str], system: UnitSystem) -> pd.DataFrame:
    """Return rows as a table, the columns named as in the files."""
    import pandas as pd  # here, so that `import casingloads` need not wait for it

    def cell(row: CatalogRow, attribute: str, factor: float) -> Any:
        value = getattr(row, attribute)
        if isinstance(value, float):
            return round(value / factor, 6)
        return ";".join(value) if isinstance(value, tuple) else value

    data = {}
    for stem in columns:
        forms = list(_accepted({stem: columns[stem]}).items())
        title, (_, _, factor) = forms[min(system == "metric", len(forms) - 1)]
        data[title] = [cell(row, _ATTRIBUTES.get(stem, stem), factor) for row in rows]
    return pd.DataFrame({**data, "catalog": [row.catalog for row in rows]})
