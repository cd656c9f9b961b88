"""The JSON Schema of a well file: sound, says what every key is for, accepts our files and refuses what is misspelt."""

from __future__ import annotations

import copy
import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import casingloads as cl
from casingloads.cli import main
from casingloads.wellfile.schema import WellFile, json_schema

ROOT = Path(__file__).parents[1]
FILES = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "tests").glob("**/wells/*.toml")])
Found = dict[str, Any]


@pytest.fixture(scope="module")
def schema() -> Found:
    return json_schema()


@pytest.fixture
def plain() -> Found:
    return tomllib.loads((ROOT / "tests/wells/plain.toml").read_text(encoding="utf-8"))


# --- A validator of the part of JSON Schema (2020-12) that the schema uses; it knows every keyword or fails -----------

TYPES = {"object": dict, "array": list, "string": str, "boolean": bool, "number": (int, float), "integer": int}
REMARKS = {
    "description",
    "title",
    "default",
    "examples",
    "$schema",
    "$defs",
    "$comment",
    "then",
    "else",
    "discriminator",
}


def faults(value: Any, rule: Any, root: Found, at: str = "") -> Iterator[str]:
    """Yield what *value* has against *rule*, each with its place."""
    if isinstance(rule, bool):
        if not rule:
            yield f"{at}: nothing is accepted here"
        return
    for keyword, wanted in rule.items():
        if keyword not in REMARKS:
            yield from CHECKS[keyword](value, wanted, rule, root, at)


def fits(value: Any, rule: Any, root: Found) -> bool:
    return not any(faults(value, rule, root))


def is_of(value: Any, names: str | list[str]) -> bool:
    of = [names] if isinstance(names, str) else names
    return any(isinstance(value, TYPES[name]) and (isinstance(value, bool) <= (name == "boolean")) for name in of)  # type: ignore[arg-type]


def by_reference(value: Any, wanted: str, rule: Found, root: Found, at: str) -> Iterator[str]:
    yield from faults(value, root["$defs"][wanted.removeprefix("#/$defs/")], root, at)


def by_type(value: Any, wanted: Any, rule: Found, root: Found, at: str) -> Iterator[str]:
    if not is_of(value, wanted):
        yield f"{at}: {value!r} is no {wanted}"


def by_properties(value: Any, wanted: Found, rule: Found, root: Found, at: str) -> Iterator[str]:
    if isinstance(value, dict):
        for key in value.keys() & wanted.keys():
            yield from faults(value[key], wanted[key], root, f"{at}.{key}")


def by_patterns(value: Any, wanted: Found, rule: Found, root: Found, at: str) -> Iterator[str]:
    for pattern, inner in wanted.items():
        for key in value if isinstance(value, dict) else ():
            if re.search(pattern, key):
                yield from faults(value[key], inner, root, f"{at}.{key}")


def by_others(value: Any, wanted: Any, rule: Found, root: Found, at: str) -> Iterator[str]:
    for key in value if isinstance(value, dict) else ():
        patterns = rule.get("patternProperties", {})
        if key not in rule.get("properties", {}) and not any(re.search(pattern, key) for pattern in patterns):
            yield from faults(value[key], wanted, root, f"{at}.{key}")


def by_required(value: Any, wanted: list[str], rule: Found, root: Found, at: str) -> Iterator[str]:
    yield from (f"{at}.{key}: missing" for key in wanted if isinstance(value, dict) and key not in value)


def by_items(value: Any, wanted: Any, rule: Found, root: Found, at: str) -> Iterator[str]:
    for number, item in enumerate(value if isinstance(value, list) else (), start=1):
        yield from faults(item, wanted, root, f"{at}[{number}]")


def by_any(value: Any, wanted: list[Any], rule: Found, root: Found, at: str) -> Iterator[str]:
    if not any(fits(value, option, root) for option in wanted):
        yield f"{at}: {value!r} fits none"


def by_one(value: Any, wanted: list[Any], rule: Found, root: Found, at: str) -> Iterator[str]:
    if sum(fits(value, option, root) for option in wanted) != 1:
        yield f"{at}: {value!r} does not fit just one"


def by_all(value: Any, wanted: list[Any], rule: Found, root: Found, at: str) -> Iterator[str]:
    for option in wanted:
        yield from faults(value, option, root, at)


def by_if(value: Any, wanted: Any, rule: Found, root: Found, at: str) -> Iterator[str]:
    yield from faults(value, rule.get("then" if fits(value, wanted, root) else "else", True), root, at)


def by(test: Any) -> Any:
    """Return a check of one keyword by a plain comparison."""

    def check(value: Any, wanted: Any, rule: Found, root: Found, at: str) -> Iterator[str]:
        if not test(value, wanted):
            yield f"{at}: {value!r} is not as {wanted!r}"

    return check


CHECKS: Found = {
    "$ref": by_reference,
    "type": by_type,
    "properties": by_properties,
    "patternProperties": by_patterns,
    "additionalProperties": by_others,
    "required": by_required,
    "items": by_items,
    "anyOf": by_any,
    "oneOf": by_one,
    "allOf": by_all,
    "if": by_if,
    "enum": by(lambda value, wanted: value in wanted),
    "const": by(lambda value, wanted: value == wanted),
    "pattern": by(lambda value, wanted: not isinstance(value, str) or re.search(wanted, value)),
    "minLength": by(lambda value, wanted: not isinstance(value, str) or len(value) >= wanted),
    "maxLength": by(lambda value, wanted: not isinstance(value, str) or len(value) <= wanted),
    "minItems": by(lambda value, wanted: not isinstance(value, list) or len(value) >= wanted),
    "minimum": by(lambda value, wanted: not is_of(value, "number") or value >= wanted),
    "maximum": by(lambda value, wanted: not is_of(value, "number") or value <= wanted),
    "propertyNames": lambda value, wanted, rule, root, at: by_all(list(value), [{"items": wanted}], rule, root, at),
}


def told(value: Any, root: Found) -> list[str]:
    return list(faults(value, root, root))


# --- what it must do -----------------------------------------------------------------------------------


def every_rule(rule: Any) -> Iterator[Found]:
    if not isinstance(rule, dict):
        return
    yield rule
    for key, inner in rule.items():
        if key in ("properties", "patternProperties", "$defs"):
            parts = list(inner.values())
        elif key in ("items", "additionalProperties", "propertyNames", "if", "then", "else"):
            parts = [inner]
        else:
            parts = inner if key in ("anyOf", "oneOf", "allOf") else []
        for part in parts:
            yield from every_rule(part)


def test_only_known_keywords_and_whole_references(schema: Found) -> None:
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    rules = list(every_rule(schema))
    assert len(rules) > 200
    for rule in rules:
        assert rule.keys() <= CHECKS.keys() | REMARKS
        assert rule.get("$ref", "#/$defs/WellTable").removeprefix("#/$defs/") in schema["$defs"]
        re.compile(rule.get("pattern", ""))
        assert rule.get("enum") != []


def test_every_key_of_every_table_says_what_it_is_for(schema: Found) -> None:
    tables = {"": schema, **schema["$defs"]}
    for name, table in tables.items():
        if name.startswith(("labelled", "case-", "model-")):
            continue
        for key, said in table["properties"].items():
            inner = schema["$defs"].get(said.get("$ref", "").removeprefix("#/$defs/"), {})
            assert said.get("description") or inner.get("description"), f"{name}.{key}"


@pytest.mark.parametrize("file", FILES, ids=[file.name for file in FILES])
def test_our_files_fit(file: Path, schema: Found) -> None:
    assert told(tomllib.loads(file.read_text(encoding="utf-8")), schema) == []


MISTAKES: list[tuple[str, Any]] = [
    ("wel", {}),
    ("well.air_gpa", "1 m"),
    ("well.air_gap", 10),
    ("well.air_gap", "10"),
    ("well.air_gap", "1,5 m"),
    ("well.wellhead", "seafloor"),
    ("well.buckling", 1),
    ("well.survey", 3),
    ("well.survey", {"md": ["1 m"]}),
    ("earth.depth", "10 m"),
    ("fluids.mud", 1.2),
    ("required.burst", 0),
    ("required.brust", 1.1),
    ("strings", []),
    ("strings.0.shoe", "shoe"),
    ("strings.0.top", "wellhed"),
    ("strings.0.sections", []),
    ("strings.0.sections.0.wal", "1 in"),
    ("strings.0.sections.0.yield_", "80 ksi"),
    ("strings.0.cement.0.to", "sheo"),
    ("strings.0.triaxial_wall", "min"),
    ("strings.0.models", {"collapse": "none"}),
    ("strings.0.models", {"burst": {"model": "internal-yield", "factor": 2}}),
    ("strings.0.cases.runing", {}),
    ("strings.0.cases.running", {"speed": 1}),
    ("strings.0.cases.overpull", {}),
    ("strings.0.cases.overpull", {"pull": 100}),
    ("strings.0.cases.pressure-test", {"pressure": "1 MPa", "outside": "x"}),
    ("strings.0.cases.mine", {"case": "runing"}),
    ("strings.0.cases.mine", {"case": "overpull"}),
    ("strings.0.cases.running", {"case": "overpull"}),
    ("cases.running", {}),
]


@pytest.mark.parametrize(("key", "value"), MISTAKES, ids=[f"{key}-{value}" for key, value in MISTAKES])
def test_mistakes_are_refused_where_the_reader_refuses_them(
    key: str, value: Any, plain: Found, schema: Found, tmp_path: Path
) -> None:
    assert told(plain, schema) == []
    spoilt = copy.deepcopy(plain)
    place: Any = spoilt
    *outer, last = key.split(".")
    for part in outer:
        place = place[int(part)] if isinstance(place, list) else place.setdefault(part, {})
    place[last] = value
    assert told(spoilt, schema)


@pytest.mark.parametrize("required", ["well", "earth", "fluids", "strings"])
def test_needed_tables(required: str, plain: Found, schema: Found) -> None:
    del plain[required]
    assert told(plain, schema) == [f".{required}: missing"]


def test_cases_of_plugins_are_known_with_their_parameters(plain: Found) -> None:
    @cl.load_case(phase="other", source="none", scope="well")
    def shaken(scene: cl.Scene, *, height: cl.Length, slowly: bool = True) -> cl.Load:
        """All strings at once."""
        return cl.Load(steps=())

    @cl.hookimpl
    def casingloads_load_cases() -> list[cl.LoadCase]:
        return [shaken]

    module = ModuleType("shaker")
    module.casingloads_load_cases = casingloads_load_cases  # type: ignore[attr-defined]
    schema = json_schema(cl.load_plugins(module))
    case = schema["$defs"]["case-shaken"]
    assert case["description"] == "All strings at once."
    assert case["required"] == ["height"]
    assert case["properties"]["slowly"] == {"type": "boolean", "default": True}
    assert told({**plain, "cases": {"shaken": {"height": "3 m"}}}, schema) == []
    assert told({**plain, "cases": {"twice": {"case": "shaken", "height": "3 m", "slowly": False}}}, schema) == []
    assert told({**plain, "cases": {"shaken": {}}}, schema)
    plain["strings"][0]["cases"]["shaken"] = {"height": "3 m"}
    assert told(plain, schema)


def test_the_command_prints_it(capsys: pytest.CaptureFixture[str], schema: Found) -> None:
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(schema))


def test_it_has_all_tables_of_a_well_file(schema: Found) -> None:
    assert set(schema["properties"]) == set(WellFile.model_fields)
    assert set(schema["required"]) == {"well", "earth", "fluids", "strings"}
