"""Reading a well file: text to a `Well`, with every problem of the file reported at once.

A well file is data: nothing in it is executed, and it cannot name code to load.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from . import schema
from .building import Builder
from .catalog import Catalog, CatalogError
from .catalogfile import read_catalog, standard_catalog
from .crosscheck import cross_check
from .errors import InputError, Problem, near_miss
from .hooks import Plugins, load_plugins
from .path import WellPath
from .survey import read_survey
from .well import Well

T = TypeVar("T")
_FLUIDS = TypeAdapter(dict[str, schema.Density])
_CASES = TypeAdapter(dict[str, dict[str, Any]])
_NAMES = TypeAdapter(list[str])


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
    data, digest = _parsed(path)
    reader = _Reader(data)
    well = reader.well(path, plugins or load_plugins())
    if reader.problems or well is None:
        raise InputError(reader.problems, str(path))
    hashes = {"well_file": {"name": path.name, "sha256": digest}, **well.provenance}
    return replace(well, provenance=hashes)


def _parsed(path: Path) -> tuple[dict[str, Any], str]:
    try:
        content = path.read_bytes()
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError([Problem("", f"cannot be read: {reason}; give the path of a well file")], str(path)) from None
    try:
        text = content.decode("utf-8-sig")
        return tomllib.loads(text), hashlib.sha256(content).hexdigest()
    except UnicodeDecodeError as error:
        message = f"is not UTF-8 text (byte {error.start}); save it as UTF-8"
    except tomllib.TOMLDecodeError as error:
        message = f"is not valid TOML: {error}"
    except RecursionError:
        message = "is not valid TOML: tables nested too deep"
    raise InputError([Problem("", message)], str(path)) from None


class _Reader:
    """Reads the tables of one file, each by itself, so that a fault in one does not hide those of another."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        self.data = data
        self.problems: list[Problem] = []

    def well(self, path: Path, plugins: Plugins) -> Well | None:
        """Return the well, or None after noting problems."""
        for key in self.data.keys() - schema.WellFile.model_fields.keys():
            hint = near_miss(key, schema.WellFile.model_fields)
            self.problems.append(Problem(key, f"is not a table of a well file; {hint}"))
        head = self._table("well", schema.WellTable, needed=True)
        earth = self._table("earth", schema.EarthTable, needed=True)
        fluids = self._validated("fluids", _FLUIDS, self.data.get("fluids", {}))
        steel = self._table("steel", schema.SteelTable) or schema.SteelTable()
        required = self._table("required", schema.RequiredTable) or schema.RequiredTable()
        cases = self._validated("cases", _CASES, self.data.get("cases", {})) or {}
        catalog = self._catalog(path, plugins)
        strings = self._strings()
        if head is None or fluids is None:
            return None
        survey = self._path(head, path, strings)
        if survey is None:
            return None
        builder = Builder(head, survey, fluids, required, catalog, plugins)
        well = builder.well(earth, steel, strings, cases)
        self.problems.extend(builder.problems)
        if earth is not None:
            self.problems.extend(cross_check(well, self.problems))
        assumptions = (*builder.assumptions, *catalog.notes)
        provenance = {"catalogs": [{"name": name, "sha256": h} for name, h in catalog.hashes.items()]}
        return replace(well, assumptions=tuple(dict.fromkeys(assumptions)), provenance=provenance)

    def _table(self, key: str, model: type[schema.TableModel], *, needed: bool = False) -> Any:
        if key not in self.data:
            if needed:
                self.problems.append(Problem(key, f"missing; a well file needs the table [{key}]"))
            return None
        return self._validated(key, TypeAdapter(model), self.data[key])

    def _strings(self) -> list[schema.StringTable]:
        raw = self.data.get("strings")
        if not isinstance(raw, list) or not raw:
            self.problems.append(Problem("strings", "missing; a well file needs at least one table [[strings]]"))
            return []
        found = []
        for number, item in enumerate(raw, start=1):
            name = item.get("name") if isinstance(item, dict) else None
            where = f"strings.{name}" if isinstance(name, str) and name else f"strings[{number}]"
            string = self._validated(where, TypeAdapter(schema.StringTable), item)
            if string is not None:
                found.append(string)
        return found

    def _validated(self, where: str, adapter: TypeAdapter[T], raw: Any) -> T | None:
        """Return *raw* as the adapter's type; note problems; unknown keys are noted, then dropped to go on."""
        try:
            return adapter.validate_python(raw)
        except ValidationError as error:
            faults = error.errors()
        self.problems.extend(_problem(where, fault, raw) for fault in faults)
        unknown = [fault["loc"] for fault in faults if fault["type"] == "extra_forbidden"]
        if len(unknown) == len(faults):
            return adapter.validate_python(_without(raw, unknown))
        return None

    def _catalog(self, path: Path, plugins: Plugins) -> Catalog:
        catalog = standard_catalog()
        for offered in plugins.catalogs:
            catalog = catalog.joined(offered)
        names = self._validated("catalogs", _NAMES, self.data.get("catalogs", [])) or []
        for number, name in enumerate(names, start=1):
            try:
                catalog = catalog.joined(read_catalog(path.parent / name))
            except CatalogError as error:
                self.problems.append(Problem(f"catalogs[{number}]", str(error)))
        return catalog

    def _path(self, head: schema.WellTable, path: Path, strings: list[schema.StringTable]) -> WellPath | None:
        if head.survey is None:
            depths = [string.shoe for string in strings]
            depths += [string.next_hole.to for string in strings if string.next_hole is not None]
            return WellPath.vertical(max([*depths, 1.0]))
        try:
            if isinstance(head.survey, str):
                return read_survey(path.parent / head.survey)
            return WellPath(head.survey.md, head.survey.inclination, head.survey.azimuth)
        except ValueError as error:
            self.problems.append(Problem("well.survey", str(error)))
            return None


def _problem(where: str, fault: Any, raw: Any) -> Problem:
    """Return a fault found by the validator in our words: dotted key, value found, what is accepted."""
    location = where + "".join(f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in fault["loc"])
    kind, found = fault["type"], fault.get("input")
    if kind == "value_error":
        return Problem(location, str(fault["ctx"]["error"]))
    if kind == "missing":
        return Problem(location, "missing; it has no default")
    if kind == "extra_forbidden":
        siblings = _keys_at(where, fault["loc"][:-1])
        return Problem(location, f"is not known; {near_miss(str(fault['loc'][-1]), siblings)}")
    if kind == "literal_error":
        words = [word.strip("'") for word in str(fault["ctx"]["expected"]).replace(" or ", ", ").split(", ")]
        return Problem(location, f"{found!r} is not accepted; {near_miss(str(found), words)}")
    wanted = {
        "string_type": "text",
        "bool_type": "true or false",
        "list_type": "a list",
        "dict_type": "a table",
        "model_type": "a table",
        "too_short": "at least one entry",
        "string_too_short": "text that is not empty",
    }.get(kind, fault["msg"])
    return Problem(location, f"{_brief(found)} is not accepted; need {wanted}")


def _brief(found: object) -> str:
    text = repr(found)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _keys_at(where: str, location: tuple[int | str, ...]) -> list[str]:
    """Return the keys that the table at *location* may have."""
    if where.startswith("strings"):
        model: Any = schema.StringTable
    else:
        model = schema.WellFile.model_fields[where].annotation
    for part in location:
        if isinstance(part, str) and part in (fields := _fields(model)):
            model = fields[part]
    return sorted(_fields(model))


def _fields(model: Any) -> dict[str, Any]:
    """Return key and inner model of a table model; nothing for anything else."""
    if not (isinstance(model, type) and issubclass(model, schema.TableModel)):
        return {}
    return {field.alias or name: _inner(field.annotation) for name, field in model.model_fields.items()}


def _inner(annotation: Any) -> Any:
    """Return the table model within ``list[X]`` or ``X | None``."""
    for part in getattr(annotation, "__args__", ()):
        if (inner := _inner(part)) is not None:
            return inner
    return annotation if isinstance(annotation, type) and issubclass(annotation, schema.TableModel) else None


def _without(raw: Any, locations: list[tuple[int | str, ...]]) -> Any:
    """Return a copy of *raw* without the keys at *locations*."""
    copy = {k: v for k, v in raw.items()} if isinstance(raw, dict) else list(raw)
    for first in {location[0] for location in locations if len(location) > 1}:
        copy[first] = _without(copy[first], [loc[1:] for loc in locations if len(loc) > 1 and loc[0] == first])
    for location in locations:
        if len(location) == 1:
            copy.pop(location[0], None) if isinstance(copy, dict) else None
    return copy
