"""The JSON Schema of a well file made helpful: cases and models by name with their parameters, nothing TOML lacks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .. import units
from ..case import LoadCase
from ..parameters import (
    MEAN_THE_SAME,
    ChoiceKind,
    FluidKind,
    FormationPressureKind,
    Kind,
    OutsideKind,
    Parameter,
    PercentKind,
    PlainKind,
    Quantity,
    TemperatureKind,
)
from ..pressure.outside import PRESETS, WORDS
from ..strength.model import StrengthModel
from .entries import text_schema

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def editor_schema(
    schema: Mapping[str, Any], cases: Mapping[str, LoadCase], models: Mapping[tuple[str, str], StrengthModel]
) -> dict[str, Any]:
    """Return the schema that an editor is given.

    Parameters
    ----------
    schema : mapping
        Of the tables, as the validation library makes it.
    cases : mapping
        Load case by name.
    models : mapping
        Strength model by mode and name.

    Returns
    -------
    dict
        JSON Schema (draft 2020-12).
    """
    tidy = _tidied(schema)
    definitions = tidy["$defs"]
    definitions.update({f"case-{name}": _case(case) for name, case in cases.items()})
    for scope, properties in (("string", definitions["StringTable"]), ("well", tidy)):
        named = [name for name, case in cases.items() if case.scope == scope]
        table = properties["properties"]["cases"]
        del table["patternProperties"]  # any table under any label, which says less than what follows
        table["properties"] = {name: _by_label(name, scope) for name in named}
        table["properties"]["all-applicable"] = _all_applicable([cases[name] for name in named])
        table["additionalProperties"] = _reference(f"labelled-{scope}-case") if named else False
        said = table.pop("description")
        properties["properties"]["cases"] = {"anyOf": [{"const": "all-applicable"}, table], "description": said}
        if named:
            definitions[f"labelled-{scope}-case"] = _choice("case", {name: f"case-{name}" for name in named})
    definitions.update({f"model-{mode}-{name}": _model(model) for (mode, name), model in models.items()})
    for mode, said in definitions["ModelsTable"]["properties"].items():
        of_mode = {name: f"model-{of}-{name}" for of, name in models if of == mode}
        options = [{"enum": sorted(of_mode)}, _choice("model", of_mode)]
        definitions["ModelsTable"]["properties"][mode] = {"anyOf": options, "description": said["description"]}
    return {"$schema": _DIALECT, **tidy, "title": "casingloads well file"}


def _reference(name: str) -> dict[str, str]:
    return {"$ref": f"#/$defs/{name}"}


def _by_label(name: str, scope: str) -> dict[str, Any]:
    """Return what stands under a label that is the name of a case: that case, unless the table names another."""
    return {
        "if": {"required": ["case"]},
        "then": _reference(f"labelled-{scope}-case"),
        "else": _reference(f"case-{name}"),
    }


def _choice(key: str, names: Mapping[str, str]) -> dict[str, Any]:
    """Return a table that names one of several things under *key*, with the parameters of that one."""
    chosen = [
        {"if": {"properties": {key: {"const": name}}, "required": [key]}, "then": _reference(definition)}
        for name, definition in names.items()
    ]
    return {"type": "object", "properties": {key: {"enum": sorted(names)}}, "required": [key], "allOf": chosen}


def _case(case: LoadCase) -> dict[str, Any]:
    own = {"case": {"const": case.name, "description": "left out where the label is the case's name"}}
    return _with_parameters({**own, "required": _reference("RequiredTable")}, case.parameters, case.summary)


def _model(model: StrengthModel) -> dict[str, Any]:
    return _with_parameters({"model": {"const": model.name}}, model.parameters, model.summary)


def _with_parameters(own: Mapping[str, Any], parameters: Sequence[Parameter], summary: str) -> dict[str, Any]:
    properties = dict(own)
    for parameter in parameters:
        said = _kind(parameter.kind)
        text = "; ".join(filter(None, [parameter.text.rstrip("."), said.get("description")]))
        properties[parameter.name] = {**said, **({"description": text} if text else {})}
        if not parameter.required and parameter.default is not None:
            properties[parameter.name]["default"] = parameter.default
    return {
        "type": "object",
        "description": summary,
        "properties": properties,
        "required": [parameter.name for parameter in parameters if parameter.required],
        "additionalProperties": False,
    }


def _kind(kind: Kind) -> dict[str, Any]:
    match kind:
        case Quantity():
            return text_schema(kind.dimension, kind.words)
        case FormationPressureKind():
            return {**text_schema(units.DENSITY), "description": kind.describe()}
        case PercentKind():
            return {"type": "string", "pattern": r"%\s*$", "description": kind.describe()}
        case FluidKind() | TemperatureKind():
            return {"type": "string", "description": kind.describe()}
        case OutsideKind():
            return {"anyOf": [{"enum": [*PRESETS]}, _outside()], "description": kind.describe()}
        case ChoiceKind():
            return {"enum": list(kind.words)}
        case PlainKind():
            types = {bool: "boolean", int: "integer", float: "number", str: "string"}
            return {"type": types[kind.type]}


def _all_applicable(cases: Sequence[LoadCase]) -> dict[str, Any]:
    """Return what stands under ``all-applicable``: true, or shared inputs, and what to leave out."""
    taken = [parameter.name for case in cases for parameter in case.parameters]
    shared: dict[str, Any] = {
        name: {"description": f"for all cases that take {name}"}
        for name in dict.fromkeys(taken)
        if taken.count(name) == 1 or name in MEAN_THE_SAME
    }
    names = {"type": "array", "items": {"enum": sorted(case.name for case in cases)}}
    said = {**shared, "leave_out": {**names, "description": "cases that are not wanted"}}
    options = [{"const": True}, {"type": "object", "properties": said, "additionalProperties": False}]
    return {"anyOf": options, "description": "every case that applies, with inputs that several of them take"}


def _outside() -> dict[str, Any]:
    """Return a table of the three intervals behind a pipe, each a word or the name of a fluid."""
    keys = ("above_cement", "cement", "open_hole")
    said: dict[str, Any] = {key: {"type": "string", "examples": [*WORDS]} for key in keys}
    return {
        "type": "object",
        "properties": {**said, "reason": {"type": "string"}},
        "required": [*keys],
        "additionalProperties": False,
    }


def _tidied(schema: Any) -> Any:
    """Return a schema without null, which TOML cannot write, and without titles that only repeat the key."""
    if isinstance(schema, list):
        return [_tidied(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    tidy = {}
    for key, value in schema.items():
        is_keys = key in ("properties", "$defs")
        if (key == "title" and isinstance(value, str)) or (key == "default" and value is None):
            continue
        tidy[key] = {name: _tidied(item) for name, item in value.items()} if is_keys else _tidied(value)
    if {"type": "null"} in tidy.get("anyOf", ()):
        options = [option for option in tidy.pop("anyOf") if option != {"type": "null"}]
        return {**(options[0] if len(options) == 1 else {"anyOf": options}), **tidy}
    return tidy
