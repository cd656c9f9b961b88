"""A survey file: measured depth, inclination and azimuth, with the unit in each column's name."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from ..errors import InputError, Problem, near_miss, spelled
from ..path import WellPath
from ..units import ANGLE, LENGTH, Dimension, to_si

_COLUMNS: dict[str, tuple[str, Dimension, str]] = {
    "md_m": ("md", LENGTH, "m"),
    "md_ft": ("md", LENGTH, "ft"),
    "inclination_deg": ("inclination", ANGLE, "deg"),
    "azimuth_deg": ("azimuth", ANGLE, "deg"),
}
_ACCEPTED = "need the columns md_m or md_ft, inclination_deg, azimuth_deg"
_NUMBER = re.compile(r"[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?")
_MOST_TOLD = 20  # lines with problems; a file of another kind has thousands


def read_survey(path: Path) -> WellPath:
    """Return the well path of a survey file (CSV).

    Parameters
    ----------
    path : Path
        With the columns ``md_m`` (or ``md_ft``), ``inclination_deg`` and ``azimuth_deg``; other columns are refused,
        lines that begin with ``#`` are skipped.

    Returns
    -------
    WellPath

    Raises
    ------
    InputError
        With the file, line and column of everything that is wrong.
    """
    name = repr(path.name)
    lines = _lines(path, name)
    if not lines:
        raise _wrong(name, f"is empty; {_ACCEPTED}")
    (_, first), rows = lines[0], lines[1:]
    header = [cell.strip() for cell in _cells(first)]
    _check_header(name, first, header)
    columns: dict[str, list[float]] = {"md": [], "inclination": [], "azimuth": []}
    problems: list[Problem] = []
    for number, line in rows:
        where = f"{name}, line {number}"
        for title, cell in _checked_row(where, header, _cells(line), problems):
            try:
                columns[_COLUMNS[title][0]].append(_value(cell, title, columns["md"]))
            except ValueError as error:
                problems.append(Problem(where, f"{title} = {spelled(cell)}: {error}"))
    if problems:
        more = len(problems) - _MOST_TOLD
        rest = [Problem(name, f"and {more} more problems")] if more > 0 else []
        raise InputError([*problems[:_MOST_TOLD], *rest], path.name)
    try:
        return survey_path(columns["md"], columns["inclination"], columns["azimuth"])
    except ValueError as error:
        raise _wrong(name, str(error)) from None


def survey_path(md: Sequence[float], inclination: Sequence[float], azimuth: Sequence[float]) -> WellPath:
    """Return the well path through stations of md [m], inclination [rad] and azimuth [rad].

    Raises
    ------
    ValueError
        If there are no stations, not as many of each, or no path through them.
    """
    if not len(md) == len(inclination) == len(azimuth):
        found = f"{len(md)} depths, {len(inclination)} inclinations and {len(azimuth)} azimuths"
        raise ValueError(f"has {found}; need one of each for every station")
    if not md:
        raise ValueError("has no stations; need at least one below 0")
    return WellPath(md, inclination, azimuth)


def _lines(path: Path, name: str) -> list[tuple[int, str]]:
    """Return the lines that say something, each with its number."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise _wrong(name, f"cannot be read: {error.strerror}") from None
    except UnicodeDecodeError:
        raise _wrong(name, "is not UTF-8 text; save it as CSV in UTF-8") from None
    numbered = enumerate(text.splitlines(), start=1)
    return [(number, line) for number, line in numbered if line.strip() and not line.lstrip().startswith("#")]


def _cells(line: str) -> list[str]:
    try:
        return next(csv.reader([line]))
    except csv.Error:  # a cell of more than 100 kB
        return [line]


def _check_header(name: str, line: str, header: list[str]) -> None:
    for mark, word in ((";", "semicolons"), ("\t", "tabs")):
        if mark in line:
            raise _wrong(name, f"is separated by {word}; save it with commas and decimal points; {_ACCEPTED}")
    unknown = [title for title in header if title not in _COLUMNS]
    if unknown:
        hints = [f"column {spelled(title)} is not known; {near_miss(title, _COLUMNS)}" for title in unknown]
        raise _wrong(name, *hints[:_MOST_TOLD])
    found = sorted(_COLUMNS[title][0] for title in header)
    if found != ["azimuth", "inclination", "md"]:
        raise _wrong(name, f"has the columns {', '.join(header)}; {_ACCEPTED}, each once")


def _checked_row(where: str, header: list[str], cells: list[str], problems: list[Problem]) -> Iterator[tuple[str, str]]:
    """Yield column and cell of a row that has one for each."""
    if len(cells) != len(header):
        message = f"{len(cells)} values for {len(header)} columns; need one for each (and no decimal comma)"
        problems.append(Problem(where, message))
        return
    yield from zip(header, cells, strict=True)


def _value(cell: str, title: str, above: Sequence[float]) -> float:
    """Return the SI value of a cell; *above* are the measured depths so far."""
    column, dimension, unit = _COLUMNS[title]
    if not _NUMBER.fullmatch(cell.strip()):
        raise ValueError("need a number, with a decimal point")
    value = to_si(f"{cell.strip()} {unit}", dimension)
    if column == "inclination" and not 0.0 <= value <= math.pi:
        raise ValueError("need an inclination from 0 to 180 deg")
    if column == "md" and (value < 0.0 or (above and value <= above[-1])):
        raise ValueError("need a depth of 0 or more, below the one before it")
    return value


def _wrong(name: str, *messages: str) -> InputError:
    return InputError([Problem(name, message) for message in messages], "")
