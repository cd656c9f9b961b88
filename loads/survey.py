"""A survey file: measured depth, inclination and azimuth, with the unit in each column's name."""

from __future__ import annotations

import csv
from pathlib import Path

from .path import WellPath
from .units import ANGLE, LENGTH, Dimension, to_si

_COLUMNS: dict[str, tuple[str, Dimension, str]] = {
    "md_m": ("md", LENGTH, "m"),
    "md_ft": ("md", LENGTH, "ft"),
    "inclination_deg": ("inclination", ANGLE, "deg"),
    "azimuth_deg": ("azimuth", ANGLE, "deg"),
}
_ACCEPTED = "accepted: md_m or md_ft, inclination_deg, azimuth_deg"


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
    ValueError
        With the file, line and column of what is wrong.
    """
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except OSError as error:
        raise ValueError(f"{path.name!r} cannot be read: {error.strerror}") from None
    except UnicodeDecodeError:
        raise ValueError(f"{path.name!r} is not UTF-8 text; save it as UTF-8") from None
    numbered = [(number, line) for number, line in enumerate(lines, start=1) if line.strip()]
    numbered = [(number, line) for number, line in numbered if not line.lstrip().startswith("#")]
    if not numbered:
        raise ValueError(f"{path.name!r} is empty; need a header line; {_ACCEPTED}")
    header = [name.strip() for name in next(csv.reader([numbered[0][1]]))]
    unknown = [name for name in header if name not in _COLUMNS]
    if unknown:
        hint = "; separate columns by commas" if ";" in numbered[0][1] else ""
        raise ValueError(f"{path.name!r}: column {unknown[0]!r} is not known; {_ACCEPTED}{hint}")
    columns: dict[str, list[float]] = {"md": [], "inclination": [], "azimuth": []}
    names = [_COLUMNS[name][0] for name in header]
    if sorted(names) != sorted(columns):
        raise ValueError(f"{path.name!r}: need each of the columns once; {_ACCEPTED}; found: {', '.join(header)}")
    for number, line in numbered[1:]:
        cells = next(csv.reader([line]))
        if len(cells) != len(header):
            raise ValueError(f"{path.name!r}, line {number}: {len(cells)} values for {len(header)} columns")
        for name, cell in zip(header, cells, strict=True):
            column, dimension, unit = _COLUMNS[name]
            try:
                columns[column].append(to_si(f"{float(cell)!r} {unit}", dimension))
            except ValueError:
                raise ValueError(f"{path.name!r}, line {number}: {name} = {cell!r} is not a number") from None
    try:
        return WellPath(columns["md"], columns["inclination"], columns["azimuth"])
    except ValueError as error:
        raise ValueError(f"{path.name!r}: {error}") from None
