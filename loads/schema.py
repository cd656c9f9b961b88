"""The well file as the user writes it: its tables and keys, each with its unit checked, and the JSON Schema of it.

Only what one table can know of itself is checked here; `casingloads.wellfile` checks the tables against each other.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic_core import core_schema

from . import units
from .case import FormationPressureAt, FormationPressureKind

_NUMBER_WITH_UNIT = r"^\s*[-+]?\s*(\d+[- ]+\d+/\d+|\d+/\d+|\d+\.?\d*([eE][-+]?\d+)?|\.\d+)\s*\S.*$"


class _Field:
    """What stands in an annotation: how raw text is read, and what the JSON Schema says of it."""

    def __init__(self, read: Callable[[object], Any], schema: dict[str, Any]) -> None:
        self.read, self.schema = read, schema

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        return self.schema


def _quantity(dimension: units.Dimension, *, zero: bool = False, signed: bool = False) -> _Field:
    """Return a field for text with a unit, read into SI: more than zero, *zero* or more, or of any sign."""

    def read(raw: object) -> float:
        value = units.to_si(raw, dimension)
        if not signed and (value < 0.0 or (value == 0.0 and not zero)):
            raise ValueError(f"{raw!r} must be {'zero or more' if zero else 'more than zero'}")
        return value

    return _Field(read, _text(dimension.name, dimension.example))


def _text(name: str, example: str) -> dict[str, Any]:
    words = f"{name} with its unit, for example {example!r}"
    return {"type": "string", "pattern": _NUMBER_WITH_UNIT, "description": words, "examples": [example]}


def _number(low: float, high: float) -> _Field:
    """Return a field for a plain number above *low*, at most *high*."""

    def read(raw: object) -> float:
        if isinstance(raw, bool) or not isinstance(raw, int | float) or not low < raw <= high:
            raise ValueError(f"{raw!r} is not accepted; write a number above {low:g}, at most {high:g}")
        return float(raw)

    return _Field(read, {"type": "number", "exclusiveMinimum": low, "maximum": high})


def _depth(*words: str) -> _Field:
    """Return a field for a measured depth, or one of some words."""

    def read(raw: object) -> float | str:
        if isinstance(raw, str) and raw in words:
            return raw
        try:
            value = units.to_si(raw, units.LENGTH)
        except ValueError as error:
            raise ValueError(f"{error}, or one of {', '.join(repr(word) for word in words)}") from None
        if value < 0.0:
            raise ValueError(f"{raw!r} must be zero or more")
        return value

    return _Field(read, {"anyOf": [{"enum": list(words)}, _text("measured depth", "2250 m")]})


def _formation_pressure(raw: object) -> FormationPressureAt:
    found = FormationPressureKind().read(raw, {})
    if found.value < 0.0:
        raise ValueError(f"{raw!r} must be zero or more")
    return found


Length = Annotated[float, _quantity(units.LENGTH, zero=True)]
Diameter = Annotated[float, _quantity(units.DIAMETER)]
LinearMass = Annotated[float, _quantity(units.LINEAR_MASS)]
Stress = Annotated[float, _quantity(units.STRESS)]
Density = Annotated[float, _quantity(units.DENSITY)]
Temperature = Annotated[float, _quantity(units.TEMPERATURE)]
Expansion = Annotated[float, _quantity(units.EXPANSION)]
Angle = Annotated[float, _quantity(units.ANGLE, signed=True)]
Fraction = Annotated[float, _number(0.0, 1.0)]
Factor = Annotated[float, _number(0.0, 100.0)]
Poisson = Annotated[float, _number(0.0, 0.5)]
CementDepth = Annotated[float | str, _depth("shoe", "top", "wellhead", "surface")]
TopDepth = Annotated[float | str, _depth("surface", "wellhead")]
SectionTop = Annotated[float | str, _depth("top")]
SectionBottom = Annotated[float | str, _depth("shoe")]
FormationPressure = Annotated[
    FormationPressureAt,
    _Field(_formation_pressure, _text("pressure, or density or gradient counted from the drill floor", "1.05 sg")),
]
Name = Annotated[str, Field(min_length=1)]


class TableModel(BaseModel):
    """A table of the file: strict, and without unknown keys."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, populate_by_name=True)


class SurveyTable(TableModel):
    """A survey written in the file: measured depth, inclination, azimuth, one value a station."""

    md: list[Length]
    inclination: list[Angle]
    azimuth: list[Angle]


class WellTable(TableModel):
    """The table ``[well]``."""

    name: Name
    air_gap: Length = Field(description="drill floor above sea level; on land, above ground")
    water_depth: Length | None = Field(None, description="left out on land")
    wellhead: Literal["ground", "deck", "sea floor"] | None = None
    wellhead_depth: Length | None = Field(None, description="below the drill floor, for a wellhead on deck")
    survey: str | SurveyTable | None = Field(None, description="file name, or a table; left out: vertical")
    buckling: Literal[False] | None = Field(None, description="buckling strain is left out in this version")
    units: Literal["metric", "field"] | None = Field(None, description="units of the output")


class EarthTable(TableModel):
    """The table ``[earth]``: against true vertical depth below the drill floor."""

    depth: list[Length]
    pore_pressure: list[FormationPressure] | None = None
    fracture: list[FormationPressure] | None = None
    temperature: list[Temperature] | None = None


class SteelTable(TableModel):
    """The table ``[steel]``."""

    modulus: Stress | None = None
    poisson: Poisson | None = None
    expansion: Expansion | None = None


class RequiredTable(TableModel):
    """Required factors by mode."""

    burst: Factor | None = None
    collapse: Factor | None = None
    tension: Factor | None = None
    compression: Factor | None = None
    triaxial: Factor | None = None


class CementTable(TableModel):
    """A cemented interval."""

    from_: CementDepth = Field(alias="from")
    to: CementDepth
    slurry: Name


class SectionTable(TableModel):
    """A stretch of one pipe, from a catalog (``pipe``) or given in full."""

    pipe: Name | None = Field(None, description="from a catalog, for example '9-5/8 in 47 lb/ft N80'")
    od: Diameter | None = None
    wall: Diameter | None = None
    weight: LinearMass | None = None
    yield_: Stress | None = Field(None, alias="yield")
    tensile: Stress | None = None
    drift: Diameter | None = None
    wall_factor: Fraction | None = Field(None, description="minimum over nominal wall; 0.875 if left out")
    from_: SectionTop | None = Field(None, alias="from")
    to: SectionBottom
    connection: Name | None = None
    connection_as_body: Name | None = Field(None, description="reason why it is as strong as the body")


class NextHoleTable(TableModel):
    """The hole drilled below a string."""

    to: Length
    mud: Name | None = None
    size: Diameter | None = None
    riser: bool | None = None


class TemperatureTable(TableModel):
    """Temperature against true vertical depth."""

    depth: list[Length]
    temperature: list[Temperature]


class ModelsTable(TableModel):
    """Strength model by mode."""

    burst: Name | None = None
    collapse: Name | None = None
    tension: Name | None = None
    compression: Name | None = None
    triaxial: Name | None = None


class StringTable(TableModel):
    """A table ``[[strings]]``."""

    name: Name
    hole_size: Diameter
    top: TopDepth
    shoe: Length
    sections: list[SectionTable] = Field(min_length=1)
    cement: list[CementTable] = Field(default_factory=list)
    run_in: Name
    displaced_with: Name | None = None
    riser: bool | None = None
    required: RequiredTable = RequiredTable()
    cases: dict[str, dict[str, Any]] = Field(default_factory=dict)
    next_hole: NextHoleTable | None = None
    models: ModelsTable = ModelsTable()
    triaxial_wall: Literal["minimum", "nominal"] = "minimum"
    set_temperature: TemperatureTable | None = None


class WellFile(TableModel):
    """A well file."""

    well: WellTable
    earth: EarthTable
    fluids: dict[str, Density]
    strings: list[StringTable] = Field(min_length=1)
    steel: SteelTable = SteelTable()
    required: RequiredTable = RequiredTable()
    cases: dict[str, dict[str, Any]] = Field(default_factory=dict)
    catalogs: list[str] = Field(default_factory=list, description="files with your own pipe or grades")


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema of a well file, for an editor.

    Returns
    -------
    dict
        JSON Schema (draft 2020-12).
    """
    schema = WellFile.model_json_schema(by_alias=True)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "casingloads well file",
    }
