"""Values for the parameters of a load case or strength model, chosen by annotation, where its author gives none."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import product
from typing import Any, TypeAlias

from .. import units
from ..case import LoadCase
from ..parameters import (
    ChoiceKind,
    FluidKind,
    FormationPressureKind,
    OutsideKind,
    Parameter,
    PercentKind,
    PlainKind,
    Quantity,
    TemperatureKind,
)
from ..scene import Scene

Examples: TypeAlias = Mapping[str, object] | Callable[[Scene], Mapping[str, object]]
"""Values of parameters as a well file would write them, or a function of the scene that returns them."""

_TEXT: dict[units.Dimension, str] = {
    units.LENGTH: "50 m",
    units.DIAMETER: "4 in",
    units.PRESSURE: "10 MPa",
    units.STRESS: "50 MPa",
    units.FORCE: "500 kN",
    units.TEMPERATURE: "20 degC",
    units.TEMPERATURE_RISE: "30 degC",
    units.TORQUE: "5 kN*m",
    units.DENSITY: "1.2 sg",
    units.GRADIENT: "2.3 kPa/m",
    units.EXPANSION: "12.4e-6 /degC",
    units.SPEED: "1 m/s",
    units.VOLUME: "3 m3",
    units.DURATION: "30 d",
    units.MASS_RATE: "12 kg/s",
    units.COMPRESSIBILITY: "4.5e-10 1/Pa",
    units.FRACTION: "0.5",
}
_PLAIN: dict[type, object] = {bool: True, float: 0.6, int: 2, str: "sample"}


def sample(parameter: Parameter, scene: Scene | None = None, share: float = 0.6) -> object:
    """Return a value of *parameter* as a well file would write it.

    Parameters
    ----------
    parameter : Parameter
        Its kind tells.
    scene : Scene, optional
        A depth is taken along its string.
    share : float
        How far down the string.
    """
    kind = parameter.kind
    if isinstance(kind, Quantity):
        if kind.words in ("measured depth", "true vertical depth") and scene is not None:
            return _depth(scene, share, vertical=kind.words == "true vertical depth")
        return _TEXT[kind.dimension]
    if isinstance(kind, ChoiceKind):
        return kind.words[0]
    if isinstance(kind, PlainKind):
        return _PLAIN[kind.type]
    if isinstance(kind, TemperatureKind):
        return "hot"
    named = {FluidKind: "mud", OutsideKind: "settled mud", FormationPressureKind: "1.15 sg", PercentKind: "5 %"}
    return named[type(kind)]


def _depth(scene: Scene, share: float, *, vertical: bool) -> str:
    string = scene.string if scene.string_name else scene.well.strings[-1]
    md = string.top + share * (string.shoe - string.top)
    return f"{float(scene.tvd(md)) if vertical else md} m"


def raw_choices(case: LoadCase, scene: Scene, examples: Examples | None) -> Iterator[dict[str, object]]:
    """Yield the ways to call *case* with what it requires: one for each choice among the groups of ``one_of``.

    Required depths lie below one another in the order of the parameters. What *examples* give is not touched.
    """
    given = dict(examples(scene) if callable(examples) else examples or {})
    required = [item for item in case.parameters if item.required and item.name not in given]
    shares = {item.name: 0.6 + 0.35 * i / max(len(required) - 1, 1) for i, item in enumerate(required)}
    values = {item.name: sample(item, scene, shares[item.name]) for item in required}
    groups = [group for group in case.one_of if not any(name in given for name in group)]
    by_name = {item.name: item for item in case.parameters}
    for names in product(*groups):
        yield {**values, **{name: sample(by_name[name], scene) for name in names}, **given}


def variations(case: LoadCase, scene: Scene, raw: Mapping[str, object]) -> Iterator[dict[str, Any]]:
    """Yield *raw* with each optional parameter given in turn, and each word of each choice."""
    grouped = {name for group in case.one_of for name in group}
    for item in case.parameters:
        if item.name in grouped or (item.required and not isinstance(item.kind, ChoiceKind)):
            continue
        values: list[object] = [sample(item, scene)]
        if isinstance(item.kind, ChoiceKind):
            values = list(item.kind.words)
        elif isinstance(item.kind, PlainKind) and item.kind.type is bool:
            values = [False, True]
        for value in values:
            if value != raw.get(item.name, item.default):
                yield {**raw, item.name: value}
