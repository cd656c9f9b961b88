"""Connections of the user's own, and derating tables: a TOML file with the maker's data, a unit on each number."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .. import units
from ..arrays import Floats
from ..connections import RatedConnection
from ..errors import near_miss
from ..strength import axial_yield_force, collapse_pressure, internal_yield_pressure
from ..strength.envelope import checked_envelope
from ..units import FORCE, FRACTION, PRESSURE, Dimension
from ..well import Pipe
from .catalog import CatalogError

_SAME = 1e-4  # diameters and walls nearer than this are one [m]
_KEYS: dict[str, tuple[str, Dimension]] = {
    "tension": ("tension", FORCE),
    "compression": ("compression", FORCE),
    "internal_pressure": ("burst", PRESSURE),
    "external_pressure": ("collapse", PRESSURE),
}
_OTHERS = ("name", "source", "od", "wall", "envelope")


@dataclass(frozen=True, kw_only=True)
class ConnectionRow:
    """A connection of a user's file.

    Attributes
    ----------
    name, source : str
        Its name; data sheet and revision.
    outside_diameter, wall : float or None
        The pipe it is rated for [m]; None: any.
    ratings : mapping
        By mode: value and dimension, a fraction being of the pipe body.
    envelope : ndarray or None, (n, 2)
        Axial force [N] against inside less outside pressure [Pa].
    """

    name: str
    source: str
    outside_diameter: float | None
    wall: float | None
    ratings: Mapping[str, tuple[float, Dimension]]
    envelope: Floats | None

    def fits(self, pipe: Pipe) -> bool:
        """Return whether it is rated for *pipe*."""
        sizes = ((self.outside_diameter, pipe.outside_diameter), (self.wall, pipe.wall))
        return all(own is None or abs(own - size) < _SAME for own, size in sizes)

    def on(self, pipe: Pipe) -> RatedConnection:
        """Return the connection on *pipe*, percentages worked out from its body."""
        tube = (pipe.outside_diameter, pipe.wall, pipe.yield_strength)
        body = {
            "tension": axial_yield_force(*tube),
            "compression": axial_yield_force(*tube),
            "burst": internal_yield_pressure(*tube, pipe.wall_factor),
            "collapse": collapse_pressure(*tube),
        }
        ratings = {
            mode: value * float(body[mode]) if dimension is FRACTION else value
            for mode, (value, dimension) in self.ratings.items()
        }
        return RatedConnection(name=self.name, source=self.source, ratings=ratings, envelope=self.envelope)


def read_connections(path: Path) -> tuple[list[ConnectionRow], dict[str, Any], str]:
    """Return the connections of a file, its derating tables as they stand in it, and its SHA-256.

    Parameters
    ----------
    path : Path
        TOML with tables ``[[connections]]``: ``name``, ``source``, and any of ``tension``, ``compression``,
        ``internal_pressure``, ``external_pressure`` (with a unit, or in percent of the pipe body), ``envelope`` with
        the lists ``axial`` and ``pressure``; ``od`` and ``wall`` of the pipe they hold for. And tables
        ``[derating.NAME]`` as in a well file.

    Returns
    -------
    rows : list of ConnectionRow
    derating : dict
        Raw tables by name.
    digest : str

    Raises
    ------
    CatalogError
        With the file, table and key of what is wrong.
    """
    try:
        content = path.read_bytes()
        data = tomllib.loads(content.decode("utf-8-sig"))
    except OSError as error:
        raise CatalogError(f"{path.name!r} cannot be read: {error.strerror}") from None
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise CatalogError(f"{path.name!r} is not valid TOML: {error}") from None
    tables, derating = data.get("connections", []), data.get("derating", {})
    sound = isinstance(tables, list) and isinstance(derating, dict) and (tables or derating)
    if not sound or not set(data) <= {"connections", "derating"}:
        raise CatalogError(f"{path.name!r}: need tables [[connections]] or [derating.NAME] and nothing else")
    rows = [_row(f"{path.name!r}, connections[{number}]", table) for number, table in enumerate(tables, start=1)]
    return rows, derating, hashlib.sha256(content).hexdigest()


def _row(where: str, table: Any) -> ConnectionRow:
    if not isinstance(table, dict):
        raise CatalogError(f"{where}: need a table")
    known = (*_OTHERS, *_KEYS)
    for key in table:
        if key not in known:
            raise CatalogError(f"{where}.{key}: is not known; {near_miss(key, known)}")
    for key in ("name", "source"):
        if not isinstance(table.get(key), str) or not table[key].strip():
            raise CatalogError(f"{where}.{key}: missing; need text")
    ratings = {}
    for key, (mode, dimension) in _KEYS.items():
        if key in table:
            value, kind = _read(f"{where}.{key}", table[key], dimension, FRACTION)
            if value <= 0.0:
                raise CatalogError(f"{where}.{key}: {table[key]!r} must be more than zero")
            ratings[mode] = (value, kind)
    size = {key: _read(f"{where}.{key}", table[key], units.DIAMETER)[0] for key in ("od", "wall") if key in table}
    return ConnectionRow(
        name=table["name"],
        source=table["source"],
        outside_diameter=size.get("od"),
        wall=size.get("wall"),
        ratings=ratings,
        envelope=_envelope(f"{where}.envelope", table.get("envelope")),
    )


def _read(where: str, raw: object, *dimensions: Dimension) -> tuple[float, Dimension]:
    if not isinstance(raw, str):
        raise CatalogError(f"{where}: {raw!r} is not text with a unit; for example {dimensions[0].example!r} or '85 %'")
    try:
        return units.read_quantity(raw, *dimensions)
    except ValueError as error:
        raise CatalogError(f"{where}: {error}") from None


def _envelope(where: str, table: Any) -> Floats | None:
    if table is None:
        return None
    if not isinstance(table, dict) or set(table) != {"axial", "pressure"}:
        raise CatalogError(f"{where}: need the lists axial and pressure, and nothing else")
    axial, pressure = table["axial"], table["pressure"]
    if not isinstance(axial, list) or not isinstance(pressure, list) or len(axial) != len(pressure):
        raise CatalogError(f"{where}: need as many values of axial as of pressure")
    try:
        return checked_envelope(
            [_read(f"{where}.axial[{i}]", raw, FORCE)[0] for i, raw in enumerate(axial, start=1)],
            [_read(f"{where}.pressure[{i}]", raw, PRESSURE)[0] for i, raw in enumerate(pressure, start=1)],
        )
    except CatalogError:
        raise
    except ValueError as error:
        raise CatalogError(f"{where}: {error}") from None
