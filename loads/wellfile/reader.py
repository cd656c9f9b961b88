"""Reading a well file: text to a `Well`, with every problem of the file reported at once.

A well file is data: nothing in it is executed, and it cannot name code to load.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter

from ..catalog import Catalog, CatalogError
from ..catalog.connectionfile import ConnectionRow, read_connections
from ..catalog.couplings import standard_couplings
from ..catalog.file import read_catalog, standard_catalog
from ..errors import InputError, Problem, key_path, near_miss, spelled
from ..hooks import Plugins, load_plugins
from ..path import WellPath
from ..well import Well
from . import schema
from .building import Builder, Tables
from .crosscheck import cross_check
from .faults import MOST_TOLD, Validated, validated
from .findings import Findings
from .survey import read_survey, survey_path
from .tomlfile import read_toml

T = TypeVar("T")
Where = tuple[str | int, ...]
_WELL = TypeAdapter(schema.WellTable)
_EARTH = TypeAdapter(schema.EarthTable)
_STEEL = TypeAdapter(schema.SteelTable)
_REQUIRED = TypeAdapter(schema.RequiredTable)
_STRING = TypeAdapter(schema.StringTable)
_DERATING = TypeAdapter(schema.DeratingTable)
_FLUIDS = TypeAdapter(dict[schema.Name, schema.FluidEntry])
_CASES = TypeAdapter(schema.Cases)
_TEMPERATURE, _FLOW = TypeAdapter(schema.TemperatureTable), TypeAdapter(schema.FlowTable)
_FILES = TypeAdapter(list[schema.FileName])


def read_well(path: str | Path, *, plugins: Plugins | None = None) -> Well:
    """Return the well that a file describes.

    Parameters
    ----------
    path : str or Path
        A well file (TOML, UTF-8). Files it names (survey, catalogs) are sought beside it.
    plugins : Plugins, optional
        Whose load cases may be asked for; by default those installed.

    Returns
    -------
    Well

    Raises
    ------
    InputError
        With every problem found: file, key, value, what is accepted.
    """
    path = Path(path)
    data, digest = read_toml(path)
    reader = _Reader(data, path)
    well = reader.well(plugins or load_plugins())
    if reader.problems or well is None:
        raise InputError(_in_order(reader.problems, data), str(path))
    hashes = {"well_file": {"name": path.name, "sha256": digest}, **well.provenance}
    return replace(well, provenance=hashes)


def _in_order(problems: Iterable[Problem], data: Mapping[str, Any]) -> list[Problem]:
    """Return problems in the order of the file's tables, each once."""
    places = {key_path(key): number for number, key in enumerate(data)}

    def place(problem: Problem) -> int:
        tables = (name for name in schema.WellFile.model_fields if _within(problem.where, name))
        return places.get(next(tables, problem.where), len(places))

    return sorted(dict.fromkeys(problems), key=place)


def _within(inner: str, outer: str) -> bool:
    return inner == outer or inner.startswith((f"{outer}.", f"{outer}["))


class _Reader:
    """Reads the tables of one file, each by itself, so that a fault in one does not hide those of another."""

    def __init__(self, data: Mapping[str, Any], path: Path) -> None:
        self.data, self.path = data, path
        self.problems: list[Problem] = []
        self.connections: list[ConnectionRow] = []
        self.derating: dict[str, tuple[Where, Any]] = {}
        self.digests: dict[str, str] = {}

    def well(self, plugins: Plugins) -> Well | None:
        """Return the well; sound only if there are no problems."""
        self._unknown_tables()
        catalog = self._catalog(plugins)
        tables = self._tables()
        if tables is None:
            return None
        survey = self._survey(tables.well)
        survey_known = not self._told("well.survey") and not self._told("well", exactly=True)
        findings = Findings(tables.well.units or "metric")
        path = survey or WellPath.vertical(_deepest(table for _, table in tables.strings))
        well = Builder(tables, path, catalog, plugins, findings).well()
        complete = len(tables.strings) == len(self.data["strings"]) if tables.strings else False
        if survey_known and complete:
            cross_check(well, plugins, findings)
        told = [problem.where for problem in self.problems]
        self.problems += [p for p in findings.problems if not any(_related(p.where, where) for where in told)]
        notes = dict.fromkeys((*findings.assumptions, *catalog.notes))
        return replace(well, assumptions=tuple(notes), provenance=self._provenance(tables.well, catalog))

    def _unknown_tables(self) -> None:
        unknown = [key for key in self.data if key not in schema.WellFile.model_fields]
        for key in unknown[:MOST_TOLD]:
            hint = near_miss(key, schema.WellFile.model_fields)
            self.problems.append(Problem(key_path(key), f"is not a table of a well file; {hint}"))
        if len(unknown) > MOST_TOLD:
            self.problems.append(Problem("", f"and {len(unknown) - MOST_TOLD} more unknown tables"))

    def _tables(self) -> Tables | None:
        """Return what the file says; None where a table could not be read at all."""
        well = self._read("well", _WELL, schema.WellTable, needed=True)
        earth = self._read("earth", _EARTH, schema.EarthTable, needed=True)
        fluids = self._read("fluids", _FLUIDS, needed=True)
        steel = self._read("steel", _STEEL, schema.SteelTable)
        required = self._read("required", _REQUIRED, schema.RequiredTable)
        cases = self._read("cases", _CASES)
        derating = self._derating()
        strings = self._strings()
        if well is None or earth is None:
            return None
        return Tables(
            well=well,
            earth=earth,
            fluids=None if self._told("fluids", exactly=True) else fluids,
            steel=steel or schema.SteelTable(),
            required=required or schema.RequiredTable(),
            strings=strings,
            cases=cases or {},
            derating=derating or {},
            connections=self.connections,
            temperatures=self._temperatures(),
        )

    def _derating(self) -> dict[str, schema.DeratingTable]:
        """Return the tables of strength against temperature: the file's own, then those of its catalogs."""
        raw = self.data.get("derating", {})
        if not isinstance(raw, dict):
            self.problems.append(Problem("derating", f"{spelled(raw)} is not accepted; need tables [derating.NAME]"))
            raw = {}
        tables: dict[str, tuple[Where, Any]] = {name: (("derating", name), item) for name, item in raw.items()}
        found = {}
        for name, (where, item) in {**tables, **self.derating}.items():
            read = validated(_DERATING, item, where, schema.DeratingTable)
            self.problems += read.problems
            if read.value is not None:
                found[name] = read.value
        return found

    def _temperatures(self) -> dict[str, schema.TemperatureTable | schema.FlowTable]:
        """Return the temperatures by name; a table with the key ``flow`` is worked out."""
        raw = self.data.get("temperatures", {})
        if not isinstance(raw, dict):
            message = f"{spelled(raw)} is not accepted; need tables [temperatures.NAME]"
            self.problems.append(Problem("temperatures", message))
            raw = {}
        found: dict[str, schema.TemperatureTable | schema.FlowTable] = {}
        for name, item in raw.items():
            where = ("temperatures", name)
            read: Validated[schema.FlowTable] | Validated[schema.TemperatureTable]
            if isinstance(item, dict) and "flow" in item:
                read = validated(_FLOW, item, where, schema.FlowTable)
            else:
                read = validated(_TEMPERATURE, item, where, schema.TemperatureTable)
            self.problems += read.problems
            if read.value is not None:
                found[name] = read.value
        return found

    def _read(
        self,
        key: str,
        adapter: TypeAdapter[T],
        model: type[schema.TableModel] | None = None,
        *,
        needed: bool = False,
    ) -> T | None:
        """Return a table of the file; one that is needed and missing is read as one full of unknowns."""
        read = validated(adapter, self.data.get(key, {}), (key,), model)
        if key in self.data:
            self.problems += read.problems
        elif needed:
            self.problems.append(Problem(key, f"missing; a well file needs the table [{key}]"))
        return read.value

    def _strings(self) -> list[tuple[Where, schema.StringTable]]:
        raw = self.data.get("strings", [])
        if not isinstance(raw, list) or not raw:
            found = "missing" if raw == [] else f"{spelled(raw)} is not accepted"
            message = f"{found}; a well file needs at least one table [[strings]], in double brackets"
            self.problems.append(Problem("strings", message))
            return []
        strings: list[tuple[Where, schema.StringTable]] = []
        for number, item in enumerate(raw, start=1):
            name = item.get("name") if isinstance(item, dict) else None
            is_name = isinstance(name, str) and name.isprintable() and 0 < len(name) <= 100
            where: Where = ("strings", name if is_name and isinstance(name, str) else number)
            if any(where == other for other, _ in strings):
                where = ("strings", number)  # its name is not its own, which is told later
            read = validated(_STRING, item, where, schema.StringTable)
            self.problems += read.problems
            if read.value is not None:
                strings.append((where, read.value))
        return strings

    def _catalog(self, plugins: Plugins) -> Catalog:
        catalog = standard_catalog()
        for offered in plugins.catalogs:
            catalog = catalog.joined(offered)
        files = validated(_FILES, self.data.get("catalogs", []), ("catalogs",))
        self.problems += files.problems
        for number, name in enumerate(files.value or [], start=1):
            if not name:
                continue  # could not be read, which has been told
            try:
                if name.endswith(".toml"):
                    rows, derating, digest = read_connections(self._beside(name))
                    self.connections += rows
                    self.derating |= {f"{name}: {key}": (("catalogs", number, key), t) for key, t in derating.items()}
                    self.digests[name] = digest
                else:
                    catalog = catalog.joined(read_catalog(self._beside(name)))
            except (CatalogError, OSError) as error:
                self.problems.append(Problem(key_path("catalogs", number), str(error)))
        return catalog

    def _survey(self, well: schema.WellTable) -> WellPath | None:
        given = well.survey
        if given is None or self._told("well.survey"):
            return None
        try:
            if isinstance(given, str):
                return read_survey(self._beside(given))
            return survey_path(given.md, given.inclination, given.azimuth)
        except InputError as error:
            self.problems += [Problem("well.survey", str(problem)) for problem in error.problems]
        except (ValueError, OSError) as error:
            self.problems.append(Problem("well.survey", str(error)))
        return None

    def _beside(self, name: str) -> Path:
        """Return the path of a file that the well file names.

        Raises
        ------
        OSError
            If there is no such file; a device or pipe, which may never end, is none.
        """
        path = self.path.parent / name
        if not path.is_file():
            raise OSError(f"{name!r} is not a file; need one beside {self.path.name!r}")
        return path

    def _provenance(self, well: schema.WellTable, catalog: Catalog) -> dict[str, Any]:
        found: dict[str, Any] = {}
        if isinstance(well.survey, str) and not self._told("well.survey"):
            content = self._beside(well.survey).read_bytes()
            found["survey"] = {"name": well.survey, "sha256": hashlib.sha256(content).hexdigest()}
        found["catalogs"] = [
            {"name": name, "sha256": digest}
            for name, digest in {**catalog.hashes, **standard_couplings().hashes, **self.digests}.items()
        ]
        return found

    def _told(self, where: str, *, exactly: bool = False) -> bool:
        """Return whether a problem of a key, or of what is in it, has been noted."""
        return any(p.where == where if exactly else _within(p.where, where) for p in self.problems)


def _related(one: str, other: str) -> bool:
    """Return whether two problems may be one: both at the same key, or the one at a key within that of the other."""
    return _within(one, other) or _within(other, one)


def _deepest(strings: Iterable[schema.StringTable]) -> float:
    depths = [1.0]
    for string in strings:
        depths += [string.shoe, string.next_hole.to if string.next_hole is not None else 0.0]
    return max(depth for depth in depths if depth < float("inf"))  # not one that is unknown
