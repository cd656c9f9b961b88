"""Single values of a well file: how text becomes SI, and what the JSON Schema says of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic_core import core_schema

from .. import units
from ..constants import GRAVITY
from ..errors import spelled
from ..parameters import FormationPressureAt, FormationPressureKind, Known
from ..unitwords import usual

_NUMBER = r"[-+]?\s*([0-9]+(\s*-\s*|\s+)[0-9]+/[0-9]+|[0-9]+/[0-9]+|([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?)"
_NUMBER_WITH_UNIT = rf"^\s*{_NUMBER}\s*[A-Za-z°%/1][^,]*$"
HEAVIEST_FLUID = 5000.0
"""Density that no mud or slurry reaches [kg/m3]."""


class Unknown:
    """Stands for a value that could not be read, so that the rest of the file can still be looked through."""


UNKNOWN = Unknown()


class Entry:
    """What stands in an annotation: how raw text is read, what the JSON Schema says, what to write in words.

    `unknown` is what is read from `UNKNOWN`: NaN for numbers, since no comparison with it finds a fault.
    """

    def __init__(
        self, read: Callable[[object], Any], schema: dict[str, Any], words: str, unknown: Any = float("nan")
    ) -> None:
        self.schema, self.words = schema, words
        self._read, self._unknown = read, unknown

    def read(self, raw: object) -> Any:
        """Return the value of *raw*; raises ValueError."""
        return self._unknown if raw is UNKNOWN else self._read(raw)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        return self.schema


def text_schema(dimension: units.Dimension, name: str = "") -> dict[str, Any]:
    """Return the JSON Schema of text with a unit of *dimension*, called *name*."""
    described = f"{name or dimension.name} in {', '.join(usual(dimension.name))}"
    if dimension is units.FRACTION:
        return {"type": ["number", "string"], "description": f"{name or 'fraction'}, for example 0.5 or '50 %'"}
    return {
        "type": "string",
        "pattern": _NUMBER_WITH_UNIT,
        "description": described,
        "examples": [dimension.example],
    }


def quantity(
    dimension: units.Dimension, *, above: float | None = None, least: float | None = None, most: float = 1e300
) -> Entry:
    """Return an entry of text with a unit, in SI more than *above* or at least *least*, and at most *most*."""

    def read(raw: object) -> float:
        value = units.to_si(raw, dimension)
        if above is not None and not value > above:
            raise ValueError(f"{raw!r} is not accepted; need more than {_shown(above, dimension)}")
        if least is not None and not value >= least:
            raise ValueError(f"{raw!r} is not accepted; need at least {_shown(least, dimension)}")
        if not value <= most:
            raise ValueError(f"{raw!r} is not accepted; need at most {_shown(most, dimension)}")
        return value

    return Entry(read, text_schema(dimension), f"{dimension.name}, for example {dimension.example!r}")


def _shown(value: float, dimension: units.Dimension) -> str:
    return f"{units.shown(value, dimension):.6g} {dimension.metric}"


def number(low: float, high: float, example: str) -> Entry:
    """Return an entry of a plain number from *low* to *high*."""

    def read(raw: object) -> float:
        if isinstance(raw, bool) or not isinstance(raw, int | float) or not low <= raw <= high:
            words = f"write a number from {low:g} to {high:g}, for example {example}"
            raise ValueError(f"{spelled(raw)} is not accepted; {words}")
        return float(raw)

    schema = {"type": "number", "minimum": low, "maximum": high}
    return Entry(read, schema, f"number, for example {example}")


def depth(*words: str) -> Entry:
    """Return an entry of a measured depth, or one of some words."""
    said = ", ".join(repr(word) for word in words)

    def read(raw: object) -> float | str:
        if isinstance(raw, str) and raw in words:
            return raw
        try:
            value = units.to_si(raw, units.LENGTH)
        except ValueError as error:
            raise ValueError(f"{error}, or {said}") from None
        if value < 0.0:
            raise ValueError(f"{raw!r} is not accepted; need 0 m or more, or {said}")
        return value

    schema = {"anyOf": [{"enum": list(words)}, text_schema(units.LENGTH, "measured depth")]}
    return Entry(read, schema, f"measured depth, for example '2250 m', or {said}")


def name(words: str = "text", *, longest: int = 100) -> Entry:
    """Return an entry of text that names or explains something: on one line, with nothing a terminal would obey."""

    def read(raw: object) -> str:
        if not isinstance(raw, str):
            raise ValueError(f"{spelled(raw)} is not text; write it in quotes")
        if not raw.strip():
            raise ValueError(f"{raw!r} is empty; need {words}")
        if raw != raw.strip() or not raw.isprintable() or len(raw) > longest:
            accepted = f"at most {longest} characters, none invisible, no space at either end"
            raise ValueError(f"{spelled(raw)} is not accepted; need {words} of {accepted}")
        return raw

    schema = {"type": "string", "minLength": 1, "maxLength": longest, "pattern": r"^\S(.*\S)?$"}
    return Entry(read, schema, words, unknown="")


def formation_pressure() -> Entry:
    """Return an entry of a pressure of the ground, or a density or gradient counted from the drill floor."""
    kind = FormationPressureKind()

    def read(raw: object) -> FormationPressureAt:
        found = kind.read(raw, Known())
        if found.value < 0.0 or (found.per_metre and found.value > HEAVIEST_FLUID * GRAVITY):
            most = f"{HEAVIEST_FLUID / 1000.0:g} sg"
            raise ValueError(f"{raw!r} is not accepted; need zero or more, as a density at most {most}")
        return found

    schema = {**text_schema(units.DENSITY), "description": kind.describe()}
    unknown = FormationPressureAt(float("nan"), per_metre=False)
    return Entry(read, schema, kind.describe(), unknown=unknown)
