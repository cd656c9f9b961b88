"""Reading of catalog files: CSV with the unit in each column name (`od_in`) and a source in every row."""

from __future__ import annotations

import csv
import functools
import hashlib
import io
import re
from collections.abc import Mapping, Sequence
from importlib.resources import files
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import near_miss
from ..units import UnitSystem
from .catalog import Catalog, CatalogError
from .columns import GRADE_COLUMNS, PIPE_COLUMNS, REQUIRED, ColumnForm, column_forms
from .rows import WALL_TOLERANCE, CatalogPipe, Grade, as_mm

if TYPE_CHECKING:
    import pandas as pd


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
        The others are those of the shipped files. A weight need not be that of steel; `Catalog.find` notes
        one that is not.

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
    columns = _columns(name, header, GRADE_COLUMNS if is_grades else PIPE_COLUMNS)
    items: list[Any] = []
    problems: list[str] = []
    for line, cells in rows:
        try:
            values = _record(header, cells, columns)
            if sources is not None:
                keys = values["source_keys"] = values["source"]
                values["source"] = "; ".join(f"{key}: {sources[key]}" for key in keys.split(";"))
            item = Grade(catalog=name, **values) if is_grades else _pipe(name, values)
            if any(item.is_same(earlier) for earlier in items):
                raise ValueError(f"{item.summary}: an earlier line has this name or diameter and weight")
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


def _columns(name: str, header: Sequence[str], known: Mapping[str, str]) -> list[ColumnForm]:
    """Return what each column of a file holds."""
    accepted = column_forms(known)
    problems = [f"column {item!r} is not known; {near_miss(item, accepted)}" for item in header if item not in accepted]
    found = [accepted[item] for item in header if item in accepted]
    stems = [form.stem for form in found]
    problems += [f"column {stem!r} stands more than once" for stem in dict.fromkeys(stems) if stems.count(stem) > 1]
    for stem in known:
        if stem in REQUIRED and stem not in stems:
            names = " or ".join(repr(item) for item, form in accepted.items() if form.stem == stem)
            problems.append(f"column {names} is missing")
    what = "grades" if "grade" in header else "pipes, since there is no column 'grade'"
    if problems:
        raise CatalogError("\n  ".join([f"{name}, header (read as {what}):", *problems]))
    return found


def _record(header: Sequence[str], cells: Sequence[str], columns: Sequence[ColumnForm]) -> dict[str, Any]:
    """Return the attributes a row fills; empty cells fill none."""
    values: dict[str, Any] = {}
    for title, cell, form in zip(header, cells, columns, strict=True):
        if not cell:
            if form.stem in REQUIRED:
                raise ValueError(f"column {title!r} is empty")
        elif form.kind == "text":
            values[form.attribute] = cell
        elif form.kind == "names":
            values[form.attribute] = tuple(part.strip() for part in cell.split(";") if part.strip())
        elif re.fullmatch(r"\d+\.?\d*|\.\d+", cell):
            values[form.attribute] = float(cell) * form.factor
        else:
            raise ValueError(f"column {title!r}: found {cell!r}; need a number such as 9.625, with a decimal point")
    return values


def _pipe(name: str, values: dict[str, Any]) -> CatalogPipe:
    """Return the pipe of a row, whose inside diameter must agree with its wall."""
    inside = values.pop("inside_diameter", None)
    pipe = CatalogPipe(catalog=name, **values)
    if inside is not None and abs(inside - pipe.inside_diameter) > WALL_TOLERANCE:
        raise ValueError(f"id {as_mm(inside)} is not od less two walls, {as_mm(pipe.inside_diameter)}")
    return pipe
