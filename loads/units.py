"""Units at the two edges: text to SI when reading, SI to text when showing.

Everything between works in SI floats: metre, kilogram, second, kelvin, pascal, newton.
"""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import as_file, files
from typing import Literal

import pint

UnitSystem = Literal["metric", "field"]


@dataclass(frozen=True)
class Dimension:
    """A kind of physical quantity and the units it is read in and shown in.

    Attributes
    ----------
    name : str
        Its name in messages.
    si : str
        The unit it has inside the program.
    metric, field : str
        The units it is shown in.
    digits : tuple of int
        Decimals shown in the metric and in the field unit.
    example : str
        What a user might write.
    difference : bool
        Whether it is a difference of temperature, for which 1 degC is 1 K.
    """

    name: str
    si: str
    metric: str
    field: str
    digits: tuple[int, int]
    example: str
    difference: bool = False

    def unit(self, system: UnitSystem) -> str:
        """Return the unit shown in *system*."""
        return self.metric if system == "metric" else self.field


LENGTH = Dimension("length", "m", "m", "ft", (1, 0), "2250 m")
WHOLE_LENGTH = Dimension("length", "m", "m", "ft", (0, 0), "2250 m")
LEVEL = Dimension("length", "m", "m", "ft", (2, 1), "1209.04 m")
DIAMETER = Dimension("length", "m", "mm", "in", (2, 3), "9-5/8 in")
PRESSURE = Dimension("pressure", "Pa", "MPa", "psi", (2, 0), "35 MPa")
STRESS = Dimension("stress", "Pa", "MPa", "psi", (1, 0), "80 ksi")
FORCE = Dimension("force", "N", "kN", "klbf", (1, 1), "500 kN")
TEMPERATURE = Dimension("temperature", "K", "degC", "degF", (1, 1), "21 degC")
TEMPERATURE_RISE = Dimension("temperature difference", "K", "degC", "degF", (1, 1), "50 degC", difference=True)
DENSITY = Dimension("density", "kg/m3", "kg/m3", "ppg", (0, 2), "1.10 sg")
GRADIENT = Dimension("pressure gradient", "Pa/m", "kPa/m", "psi/ft", (3, 4), "2.3 kPa/m")
LINEAR_MASS = Dimension("mass per length", "kg/m", "kg/m", "lb/ft", (2, 2), "47 lb/ft")
ANGLE = Dimension("angle", "rad", "deg", "deg", (2, 2), "35 deg")
CURVATURE = Dimension("curvature", "rad/m", "deg/30 m", "deg/100 ft", (2, 2), "3 deg/100 ft")
EXPANSION = Dimension("thermal expansion", "1/K", "1/K", "1/K", (8, 8), "12.4e-6 /degC", difference=True)
FRACTION = Dimension("fraction", "", "", "", (4, 4), "0.875")

DIMENSIONS: Mapping[str, Dimension] = {
    "length": LENGTH,
    "diameter": DIAMETER,
    "pressure": PRESSURE,
    "stress": STRESS,
    "force": FORCE,
    "temperature": TEMPERATURE,
    "temperature_rise": TEMPERATURE_RISE,
    "density": DENSITY,
    "gradient": GRADIENT,
    "linear_mass": LINEAR_MASS,
    "angle": ANGLE,
    "curvature": CURVATURE,
    "expansion": EXPANSION,
    "fraction": FRACTION,
}

_QUANTITY = re.compile(
    r"""^\s*(?P<sign>[-+]?)\s*
        (?:(?P<whole>\d+)[-\s]+(?P<over>\d+)/(?P<under>\d+)      # 9-5/8, 12 1/4
          |(?P<over2>\d+)/(?P<under2>\d+)                        # 3/4
          |(?P<number>(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?))     # 2250, 1.025e3
        \s*(?P<unit>.*?)\s*$""",
    re.VERBOSE,
)
_POWER = re.compile(r"(?<=[A-Za-z])([234])(?![\w])")
_PER_STATED_LENGTH = re.compile(r"deg\s*/\s*\(?(?P<length>\d+)[\s*]*(?P<unit>m|ft)\)?$")  # deg/100 ft, deg/30 m


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    """Return the registry of the units a well file may use (`units.txt`), read once."""
    with as_file(files(__package__).joinpath("units.txt")) as path:
        return pint.UnitRegistry(str(path))


def _spelled(unit: str) -> str:
    """Return *unit* in the registry's spelling: ``kg/m3`` becomes ``kg/m**3``, ``/degC`` becomes ``1/degC``."""
    text = _POWER.sub(r"**\1", unit.replace("^", "**"))
    return re.sub(r"^/", "1/", text)


@functools.lru_cache(maxsize=256)
def _scale(unit: str, si: str, difference: bool) -> tuple[float, float]:
    """Return factor and offset that take a number in *unit* to *si*.

    Raises
    ------
    pint.DimensionalityError, pint.UndefinedUnitError
        If the unit is of another dimension, or unknown.
    """
    per_length = _PER_STATED_LENGTH.match(unit)
    if per_length:
        factor, _ = _scale(f"deg/{per_length['unit']}", si, difference)
        return factor / int(per_length["length"]), 0.0
    registry = _registry()
    source, target = _spelled(unit), _spelled(si)
    if difference and "deg" in source:  # a step of 1 degC is a step of 1 K; 1 degF is 5/9 K
        source = re.sub(r"deg(C|ree_Celsius)\b", "K", source)
        source = re.sub(r"deg(F|ree_Fahrenheit)\b", "degR", source)
        target = re.sub(r"deg(C)\b", "K", target)
    if "deg" in source and registry.parse_units(source).dimensionless and target == "":
        raise pint.DimensionalityError(unit, "a plain number")
    offset = float(registry.Quantity(0.0, source).to(target).magnitude)
    factor = float(registry.Quantity(1.0, source).to(target).magnitude) - offset
    if offset == 0.0:
        factor = float(registry.Quantity(1.0, source).to(target).magnitude)
    return factor, offset


def dimension_of(unit: str) -> tuple[str, ...]:
    """Return the names of the dimensions that *unit* can express.

    Parameters
    ----------
    unit : str
        A unit such as ``"ppg"``.

    Returns
    -------
    tuple of str
        Keys of `DIMENSIONS`, empty if the unit is unknown.

    Examples
    --------
    >>> dimension_of("ppg")
    ('density',)
    """
    names = []
    for name, dimension in DIMENSIONS.items():
        try:
            _scale(unit, dimension.si, dimension.difference)
        except Exception:  # any failure of the parser means: not a unit of this dimension
            continue
        names.append(name)
    return tuple(names)


def read_quantity(text: object, *dimensions: Dimension) -> tuple[float, Dimension]:
    """Return the SI value of *text* and which of *dimensions* it is in.

    Parameters
    ----------
    text : object
        What the file holds; only a string with a unit is accepted (a fraction may stand as a bare number).
    *dimensions : Dimension
        The dimensions accepted, tried in order.

    Returns
    -------
    value : float
        In the SI unit of the dimension.
    dimension : Dimension
        The one that matched.

    Raises
    ------
    ValueError
        If a unit is missing, unknown or of another dimension; the message says what to write.

    Examples
    --------
    >>> read_quantity("9-5/8 in", DIAMETER)[0]
    0.244475
    >>> read_quantity("1.03 sg", PRESSURE, DENSITY)[1].name
    'density'
    >>> read_quantity(2250, LENGTH)
    Traceback (most recent call last):
    ...
    ValueError: 2250 has no unit; need a length, for example '2250 m'
    """
    wanted = " or ".join(
        dict.fromkeys(f"{_article(dimension.name)}, for example {dimension.example!r}" for dimension in dimensions)
    )
    if FRACTION in dimensions and isinstance(text, int | float) and not isinstance(text, bool):
        return float(text), FRACTION
    if not isinstance(text, str):
        raise ValueError(f"{text!r} has no unit; need {wanted}")
    match = _QUANTITY.match(text)
    if match is None:
        raise ValueError(f"{text!r} is not a number with a unit; need {wanted}")
    number, unit = _number(match), match["unit"]
    if unit.startswith(","):
        raise ValueError(f"{text!r}: write a decimal point and no thousands separator; need {wanted}")
    if not math.isfinite(number):
        raise ValueError(f"{text!r} is too large a number; need {wanted}")
    if not unit and FRACTION not in dimensions:
        raise ValueError(f"{text!r} has no unit; need {wanted}")
    for dimension in dimensions:
        try:
            factor, offset = _scale(unit, dimension.si, dimension.difference)
        except Exception:  # the parser's own errors are many; all mean "not this dimension"
            continue
        return number * factor + offset, dimension
    kinds = [DIMENSIONS[key].name for key in dimension_of(unit)]
    if kinds:
        found = f"is {_article(kinds[0])}"
    else:
        found = f"is in {unit!r}" if _is_known(unit) else f"has the unknown unit {unit!r}"
    raise ValueError(f"{text!r} {found}; need {wanted}")


def _is_known(unit: str) -> bool:
    try:
        _registry().parse_units(_spelled(unit))
    except Exception:  # as above
        return False
    return True


def _number(match: re.Match[str]) -> float:
    sign = -1.0 if match["sign"] == "-" else 1.0
    if match["number"] is not None:
        return sign * float(match["number"])
    over = match["over"] or match["over2"]
    under = match["under"] or match["under2"]
    if int(under) == 0:
        raise ValueError(f"{match.string!r} divides by zero")
    return sign * (float(match["whole"] or 0) + int(over) / int(under))


def _article(name: str) -> str:
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name}"


def to_si(text: object, dimension: Dimension) -> float:
    """Return the SI value of *text*, a number with a unit of *dimension*.

    Parameters
    ----------
    text : object
        For example ``"10.0 ppg"``.
    dimension : Dimension
        What it must be.

    Returns
    -------
    float
        Value in ``dimension.si``.

    Raises
    ------
    ValueError
        See `read_quantity`.

    Examples
    --------
    >>> round(to_si("212 degF", TEMPERATURE), 6)
    373.15
    >>> round(to_si("100 degF", TEMPERATURE_RISE), 6)
    55.555556
    """
    return read_quantity(text, dimension)[0]


def shown(value: float, dimension: Dimension, system: UnitSystem = "metric") -> float:
    """Return an SI value in the unit in which *system* shows it.

    Parameters
    ----------
    value : float or ndarray
        In SI.
    dimension : Dimension
        What it is.
    system : {"metric", "field"}
        Which units to show.

    Returns
    -------
    float or ndarray
        The number in ``dimension.unit(system)``.

    Examples
    --------
    >>> round(shown(1e6, PRESSURE, "field"), 2)
    145.04
    """
    factor, offset = _scale(dimension.unit(system), dimension.si, dimension.difference)
    return (value - offset) / factor


def show(value: float, dimension: Dimension, system: UnitSystem = "metric") -> str:
    """Return an SI value as text with its unit.

    Parameters
    ----------
    value : float
        In SI.
    dimension : Dimension
        What it is.
    system : {"metric", "field"}
        Which units to show.

    Returns
    -------
    str
        For example ``"2250.0 m"``.

    Examples
    --------
    >>> show(2250.0, LENGTH), show(3048.0, LENGTH, "field")
    ('2250.0 m', '10000 ft')
    """
    digits = dimension.digits[0 if system == "metric" else 1]
    return f"{shown(value, dimension, system):.{digits}f} {dimension.unit(system)}".rstrip()
