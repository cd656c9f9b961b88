"""Parameters of load cases and strength models: how the text of a well file is read by their annotation.

`Length`, `Pressure`, ... are read with a unit, `FluidName` by the name of a fluid of the well, a `Literal` by one of
its words. ``X | None`` marks one that may be left out.
"""

from __future__ import annotations

import inspect
import re
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal, Protocol, TypeAlias

from . import units
from .constants import GRAVITY
from .errors import near_miss
from .pressure.outside import PRESETS, WORDS, Behind, Filling
from .well import Fluid, Table, Well


@dataclass(frozen=True, kw_only=True)
class Known:
    """What a well file names, for parameters that name it again: fluids, and tables of temperature [K]."""

    fluids: Mapping[str, Fluid] = field(default_factory=dict)
    temperatures: Mapping[str, Table] = field(default_factory=dict)


@dataclass(frozen=True)
class Quantity:
    """Annotation of a parameter with a unit."""

    dimension: units.Dimension
    words: str = ""

    def read(self, raw: object, known: Known) -> float:
        """Return the SI value of *raw*; raises ValueError."""
        return units.to_si(raw, self.dimension)

    def describe(self) -> str:
        """Return what to write."""
        return f"{self.words or self.dimension.name}, for example {self.dimension.example!r}"


@dataclass(frozen=True)
class FormationPressureAt:
    """A pressure of the formation: given as such, or as a density or gradient from the drill floor."""

    value: float
    per_metre: bool

    def at(self, tvd: float) -> float:
        """Return the pressure [Pa] at *tvd* [m]."""
        return self.value * tvd if self.per_metre else self.value


@dataclass(frozen=True)
class FormationPressureKind:
    """Annotation of a parameter that is a pressure, or a density counted from the drill floor."""

    def read(self, raw: object, known: Known) -> FormationPressureAt:
        """Return *raw* as a pressure at a depth yet to be named; raises ValueError."""
        value, dimension = units.read_quantity(raw, units.PRESSURE, units.DENSITY, units.GRADIENT)
        if dimension is units.DENSITY:
            value *= GRAVITY
        return FormationPressureAt(value, per_metre=dimension is not units.PRESSURE)

    def describe(self) -> str:
        """Return what to write."""
        return "pressure, or density or gradient from the drill floor, for example '1.15 sg'"


@dataclass(frozen=True)
class PercentKind:
    """Annotation of a share that must be written in percent, since a bare number could be either."""

    def read(self, raw: object, known: Known) -> float:
        """Return *raw* as a fraction; raises ValueError."""
        if not isinstance(raw, str) or not raw.strip().endswith("%"):
            raise ValueError(f"{raw!r} is not in percent; write for example '0.5 %'")
        return units.to_si(raw, units.FRACTION)

    def describe(self) -> str:
        """Return what to write."""
        return "share in percent, for example '0.5 %'"


@dataclass(frozen=True)
class FluidKind:
    """Annotation of a parameter that names a fluid of the well."""

    def read(self, raw: object, known: Known) -> Fluid:
        """Return the fluid called *raw*; raises ValueError."""
        if not isinstance(raw, str) or raw not in known.fluids:
            raise ValueError(f"{raw!r} is not under [fluids]; {near_miss(str(raw), known.fluids)}")
        return known.fluids[raw]

    def describe(self) -> str:
        """Return what to write."""
        return "name of a fluid under [fluids]"


@dataclass(frozen=True)
class TemperatureKind:
    """Annotation of a parameter that names a table of temperature of the well."""

    def read(self, raw: object, known: Known) -> Table:
        """Return the table called *raw*; raises ValueError."""
        if not isinstance(raw, str) or raw not in known.temperatures:
            raise ValueError(f"{raw!r} is not under [temperatures]; {near_miss(str(raw), known.temperatures)}")
        return known.temperatures[raw]

    def describe(self) -> str:
        """Return what to write."""
        return "name of a table under [temperatures]"


@dataclass(frozen=True)
class OutsideKind:
    """Annotation of what stands behind a pipe: a composition by name, or what each of the three intervals holds."""

    def read(self, raw: object, known: Known) -> Behind:
        """Return *raw* as a composition; raises ValueError."""
        if isinstance(raw, Behind):
            return raw
        if isinstance(raw, str):
            if raw in PRESETS:
                return PRESETS[raw]
            raise ValueError(f"{raw!r} is not accepted; {near_miss(raw, PRESETS)}, or a table of three intervals")
        if not isinstance(raw, Mapping):
            raise ValueError(f"{raw!r} is not accepted; write {self.describe()}")
        keys = ("above_cement", "cement", "open_hole", "reason")
        for key in raw:
            if key not in keys:
                raise ValueError(f"{key!r} is not an interval behind the pipe; {near_miss(str(key), keys)}")
        for key in keys[:3]:
            if key not in raw:
                raise ValueError(f"{key!r} is missing; need {', '.join(keys[:3])}")
        fillings = [self._filling(raw[key], known) for key in keys[:3]]
        return Behind(
            above_cement=fillings[0], cement=fillings[1], open_hole=fillings[2], reason=str(raw.get("reason", ""))
        )

    @staticmethod
    def _filling(raw: object, known: Known) -> Filling:
        if isinstance(raw, str) and raw in known.fluids:  # a fluid of the file goes before a word
            return known.fluids[raw]
        for word in WORDS:
            if raw == word:
                return word
        raise ValueError(f"{raw!r} stands behind no pipe; {near_miss(str(raw), (*WORDS, *known.fluids))}")

    def describe(self) -> str:
        """Return what to write."""
        names = ", ".join(repr(name) for name in PRESETS)
        return f"{names}, or a table of the three intervals above_cement, cement, open_hole"


@dataclass(frozen=True)
class PlainKind:
    """A bool, number or text, as the file holds it."""

    type: type

    def read(self, raw: object, known: Known) -> Any:
        """Return *raw* if it is of the type; raises ValueError."""
        if self.type is float and isinstance(raw, int) and not isinstance(raw, bool):
            raw = float(raw)
        if not isinstance(raw, self.type) or (self.type is not bool and isinstance(raw, bool)):
            raise ValueError(f"{raw!r} is not a {self.type.__name__}")
        return raw

    def describe(self) -> str:
        """Return what to write."""
        return {bool: "true or false", float: "a number", int: "a whole number", str: "text"}[self.type]


@dataclass(frozen=True)
class ChoiceKind:
    """One of several words."""

    words: tuple[str, ...]

    def read(self, raw: object, known: Known) -> str:
        """Return *raw* if it is one of the words; raises ValueError."""
        if raw not in self.words:
            raise ValueError(f"{raw!r} is not accepted; {near_miss(str(raw), self.words)}")
        return str(raw)

    def describe(self) -> str:
        """Return what to write."""
        return " or ".join(repr(word) for word in self.words)


Kind: TypeAlias = (
    Quantity | FormationPressureKind | PercentKind | FluidKind | TemperatureKind | OutsideKind | PlainKind | ChoiceKind
)

Length: TypeAlias = Annotated[Any, Quantity(units.LENGTH)]
MeasuredDepth: TypeAlias = Annotated[Any, Quantity(units.LENGTH, "measured depth")]
TrueVerticalDepth: TypeAlias = Annotated[Any, Quantity(units.LENGTH, "true vertical depth")]
Pressure: TypeAlias = Annotated[Any, Quantity(units.PRESSURE)]
Force: TypeAlias = Annotated[Any, Quantity(units.FORCE)]
Density: TypeAlias = Annotated[Any, Quantity(units.DENSITY)]
Gradient: TypeAlias = Annotated[Any, Quantity(units.GRADIENT)]
Temperature: TypeAlias = Annotated[Any, Quantity(units.TEMPERATURE)]
TemperatureRise: TypeAlias = Annotated[Any, Quantity(units.TEMPERATURE_RISE)]
Fraction: TypeAlias = Annotated[Any, Quantity(units.FRACTION)]
Torque: TypeAlias = Annotated[Any, Quantity(units.TORQUE)]
Stress: TypeAlias = Annotated[Any, Quantity(units.STRESS)]
Percent: TypeAlias = Annotated[Any, PercentKind()]
FormationPressure: TypeAlias = Annotated[Any, FormationPressureKind()]
FluidName: TypeAlias = Annotated[Any, FluidKind()]
TemperatureName: TypeAlias = Annotated[Any, TemperatureKind()]
Outside: TypeAlias = Annotated[Any, OutsideKind()]
Speed: TypeAlias = Annotated[Any, Quantity(units.SPEED)]
Volume: TypeAlias = Annotated[Any, Quantity(units.VOLUME)]
Duration: TypeAlias = Annotated[Any, Quantity(units.DURATION)]
MassRate: TypeAlias = Annotated[Any, Quantity(units.MASS_RATE)]
Compressibility: TypeAlias = Annotated[Any, Quantity(units.COMPRESSIBILITY)]
Expansion: TypeAlias = Annotated[Any, Quantity(units.EXPANSION)]
Diameter: TypeAlias = Annotated[Any, Quantity(units.DIAMETER, "diameter")]


_ANNOTATIONS = (Quantity, FormationPressureKind, PercentKind, FluidKind, TemperatureKind, OutsideKind)


class _Required:
    def __repr__(self) -> str:
        return "required"


REQUIRED = _Required()

MEAN_THE_SAME = (
    *("gas_gravity", "gas_gradient", "mud", "packer", "packer_fluid", "reservoir", "reservoir_pressure"),
    *("fracture_margin", "exposed_from", "proppant", "grain_density"),
)
"""Parameters that may be given once for all cases that take them."""


@dataclass(frozen=True, kw_only=True)
class Parameter:
    """A parameter of a load case: how it is read, its default as one would write it, what it means."""

    name: str
    kind: Kind
    default: object = REQUIRED
    text: str = ""

    @property
    def required(self) -> bool:
        """Whether the well file must give it."""
        return self.default is REQUIRED


def known_of(well: Well) -> Known:
    """Return what the file of *well* names."""
    return Known(fluids=well.fluids, temperatures=well.temperatures)


class HasParameters(Protocol):
    """A load case or a strength model."""

    @property
    def name(self) -> str:
        """Its name in a well file."""

    @property
    def parameters(self) -> tuple[Parameter, ...]:
        """Its parameters."""


def parameters_of(function: Callable[..., Any], positional: int) -> tuple[Parameter, ...]:
    """Return the keyword-only parameters of *function*, from its annotations and docstring.

    Parameters
    ----------
    function : callable
        A load case or strength model as its author wrote it.
    positional : int
        How many arguments come first, by position.

    Returns
    -------
    tuple of Parameter

    Raises
    ------
    TypeError
        When there is no docstring, or an annotation is not understood.
    """
    doc = inspect.getdoc(function)
    if not doc:
        raise TypeError(f"{function.__name__} needs a docstring: its first line describes it")
    hints = typing.get_type_hints(function, include_extras=True, localns={"Scene": object})
    found = []
    for parameter in list(inspect.signature(function).parameters.values())[positional:]:
        if parameter.kind is not inspect.Parameter.KEYWORD_ONLY:
            raise TypeError(f"{function.__name__}: write parameter {parameter.name!r} after `*`, by keyword only")
        kind = _kind(hints.get(parameter.name), f"{function.__name__}: parameter {parameter.name!r}")
        default = REQUIRED if parameter.default is inspect.Parameter.empty else parameter.default
        text = _text_of(parameter.name, doc)
        found.append(Parameter(name=parameter.name, kind=kind, default=default, text=text))
    return tuple(found)


def _kind(hint: Any, where: str) -> Kind:
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        inner = [part for part in typing.get_args(hint) if part is not type(None)]
        if len(inner) == 1:
            return _kind(inner[0], where)
    if origin is Annotated:
        for extra in typing.get_args(hint)[1:]:
            if isinstance(extra, _ANNOTATIONS):
                return extra
    if origin is Literal:
        return ChoiceKind(tuple(str(word) for word in typing.get_args(hint)))
    if hint in (bool, float, int, str):
        return PlainKind(hint)
    raise TypeError(f"{where} is annotated {hint!r}; use cl.Length, cl.Pressure, ..., a Literal, bool, float or str")


def _text_of(name: str, doc: str) -> str:
    """Return what the docstring's ``Parameters`` section says of *name*."""
    lines = doc.splitlines()
    for i, line in enumerate(lines):
        if line.split(":")[0].strip() == name and line.startswith(name):
            text = []
            for following in lines[i + 1 :]:
                if not following.startswith("    "):
                    break
                text.append(following.strip())
            return " ".join(text)
    return ""


def _without(text: str) -> str:
    """Return what a parameter's text says of leaving it out, or all of it."""
    return re.split("if left out, ", text, flags=re.IGNORECASE)[-1].rstrip(".")  # it may open the text


def read_parameters(
    owner: HasParameters, raw: Mapping[str, object], known: Known
) -> tuple[dict[str, Any], list[tuple[str, str]], list[str]]:
    """Return the parameters of *owner* in SI from what a file says.

    Parameters
    ----------
    owner : LoadCase or StrengthModel
        Tells names, kinds and defaults.
    raw : mapping
        As in the file.
    known : Known
        What the well file names.

    Returns
    -------
    values : dict
        For every parameter of the owner.
    problems : list of (str, str)
        Name and message, empty if all is well.
    defaults : list of str
        ``name = default`` for each default that was used; one of several ways to say a thing is none.
    """
    values: dict[str, Any] = {}
    problems: list[tuple[str, str]] = []
    defaults: list[str] = []
    names = [parameter.name for parameter in owner.parameters]
    for name in raw:
        if name not in names:
            problems.append((name, f"is not a parameter of {owner.name!r}; {near_miss(name, names)}"))
    groups: tuple[tuple[str, ...], ...] = getattr(owner, "one_of", ())
    for group in groups:
        if sum(name in raw for name in group) != 1:
            problems.append((group[0], f"{owner.name!r} needs exactly one of {' and '.join(group)}"))
    for parameter in owner.parameters:
        given = raw.get(parameter.name, parameter.default)
        if given is REQUIRED:
            problems.append((parameter.name, f"missing; {owner.name!r} needs a {parameter.kind.describe()}"))
            continue
        if given is None:
            values[parameter.name] = None
            if not any(parameter.name in group for group in groups):
                defaults.append(f"{parameter.name} left out{': ' if parameter.text else ''}{_without(parameter.text)}")
            continue
        try:
            values[parameter.name] = parameter.kind.read(given, known)
        except ValueError as error:
            problems.append((parameter.name, str(error)))
        if parameter.name not in raw:
            defaults.append(f"{parameter.name} = {given!r}, by default")
    return values, problems, defaults
