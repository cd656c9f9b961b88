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

from .errors import spelled
from .unitwords import expression, meant, usual

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
    absolute : bool
        Whether it counts from an absolute zero.
    most : float
        Magnitude in SI that no well reaches; what is beyond it is a slip.
    """

    name: str
    si: str
    metric: str
    field: str
    digits: tuple[int, int]
    example: str
    difference: bool = False
    absolute: bool = False
    most: float = math.inf

    def unit(self, system: UnitSystem) -> str:
        """Return the unit shown in *system*."""
        return self.metric if system == "metric" else self.field


_DEEP, _STRONG, _HOT = 30e3, 1e12, 2000.0  # [m], [Pa], [K]

LENGTH = Dimension("length", "m", "m", "ft", (1, 0), "2250 m", most=_DEEP)
WHOLE_LENGTH = Dimension("length", "m", "m", "ft", (0, 0), "2250 m", most=_DEEP)
LEVEL = Dimension("length", "m", "m", "ft", (2, 1), "1209.04 m", most=_DEEP)
DIAMETER = Dimension("length", "m", "mm", "in", (2, 3), "9-5/8 in", most=10.0)
PRESSURE = Dimension("pressure", "Pa", "MPa", "psi", (2, 0), "35 MPa", most=1e9)
STRESS = Dimension("stress", "Pa", "MPa", "psi", (1, 0), "80 ksi", most=_STRONG)
FORCE = Dimension("force", "N", "kN", "klbf", (1, 1), "500 kN", most=1e9)
TEMPERATURE = Dimension("temperature", "K", "degC", "degF", (1, 1), "21 degC", absolute=True, most=_HOT)
TEMPERATURE_RISE = Dimension(
    "temperature difference", "K", "degC", "degF", (1, 1), "50 degC", difference=True, most=_HOT
)
TORQUE = Dimension("torque", "N*m", "kN*m", "ft*lbf", (2, 0), "20 kN*m", most=1e9)
DENSITY = Dimension("density", "kg/m3", "kg/m3", "ppg", (0, 2), "1.10 sg", most=25e3)
GRADIENT = Dimension("pressure gradient", "Pa/m", "kPa/m", "psi/ft", (3, 4), "2.3 kPa/m", most=250e3)
LINEAR_MASS = Dimension("mass per length", "kg/m", "kg/m", "lb/ft", (2, 2), "47 lb/ft", most=1e5)
ANGLE = Dimension("angle", "rad", "deg", "deg", (2, 2), "35 deg", most=4.0 * math.pi)
CURVATURE = Dimension("curvature", "rad/m", "deg/30 m", "deg/100 ft", (2, 2), "3 deg/100 ft", most=10.0)
EXPANSION = Dimension("thermal expansion", "1/K", "1/K", "1/K", (8, 8), "12.4e-6 /degC", difference=True, most=1.0)
FORCE_PER_LENGTH = Dimension("force per length", "N/m", "N/m", "lbf/ft", (1, 1), "500 N/m", most=1e9)
SPEED = Dimension("speed", "m/s", "m/s", "ft/s", (2, 2), "1.5 m/s", most=1e4)
VOLUME = Dimension("volume", "m3", "m3", "bbl", (2, 1), "8 m3", most=1e6)
DURATION = Dimension("duration", "s", "d", "d", (1, 1), "30 d", most=1e11)
MASS_RATE = Dimension("mass rate", "kg/s", "kg/s", "lb/s", (2, 2), "12 kg/s", most=1e5)
COMPRESSIBILITY = Dimension("compressibility", "1/Pa", "1/Pa", "1/psi", (13, 9), "4.5e-10 1/Pa", most=1.0)
CONDUCTIVITY = Dimension("thermal conductivity", "W/m/K", "W/m/K", "W/m/K", (2, 2), "2.4 W/m/K", most=1e4)
DIFFUSIVITY = Dimension("thermal diffusivity", "m2/s", "m2/s", "m2/s", (8, 8), "1.0e-6 m2/s", most=1.0)
SPECIFIC_HEAT = Dimension("specific heat", "J/kg/K", "J/kg/K", "J/kg/K", (0, 0), "4180 J/kg/K", most=1e6)
HEAT_TRANSFER = Dimension(
    "heat transfer coefficient", "W/m2/K", "W/m2/K", "W/m2/K", (1, 1), "30 W/m2/K", difference=True, most=1e7
)
FRACTION = Dimension("fraction", "", "", "", (4, 4), "0.875", most=1e6)

DIMENSIONS: Mapping[str, Dimension] = {
    "length": LENGTH,
    "diameter": DIAMETER,
    "pressure": PRESSURE,
    "stress": STRESS,
    "force": FORCE,
    "torque": TORQUE,
    "temperature": TEMPERATURE,
    "temperature_rise": TEMPERATURE_RISE,
    "density": DENSITY,
    "gradient": GRADIENT,
    "linear_mass": LINEAR_MASS,
    "angle": ANGLE,
    "curvature": CURVATURE,
    "expansion": EXPANSION,
    "speed": SPEED,
    "volume": VOLUME,
    "duration": DURATION,
    "mass_rate": MASS_RATE,
    "compressibility": COMPRESSIBILITY,
    "conductivity": CONDUCTIVITY,
    "diffusivity": DIFFUSIVITY,
    "specific_heat": SPECIFIC_HEAT,
    "heat_transfer": HEAT_TRANSFER,
    "fraction": FRACTION,
}

_QUANTITY = re.compile(
    r"""\s*(?P<sign>[-+]?)\s*
        (?:(?P<whole>[0-9]+)(?:\s*-\s*|\s+)(?P<over>[0-9]+)/(?P<under>[0-9]+)    # 9-5/8, 12 1/4
          |(?P<over2>[0-9]+)/(?P<under2>[0-9]+)                              # 3/4
          |(?P<number>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?))     # 2250, 1.025e3
        \s*(?P<unit>.*?)\s*""",
    re.VERBOSE,
)
_LONGEST_NUMBER = 40  # characters of a quantity, beyond which nobody means it
_PER_STATED_LENGTH = re.compile(
    r"deg\s*/\s*\(?(?P<length>[1-9][0-9]{0,3})[\s*]*(?P<unit>m|ft)\)?"
)  # deg/100 ft, deg/30 m


_HAS_OFFSET = re.compile(r"\b(degC|celsius|degF|fahrenheit)\b")


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    """Return the registry of the units a well file may use (`units.txt`), read once."""
    with as_file(files(__package__).joinpath("units.txt")) as path:
        return pint.UnitRegistry(str(path))


@functools.lru_cache(maxsize=512)
def _scale(unit: str, si: str, difference: bool) -> tuple[float, float]:
    """Return factor and offset that take a number in *unit* to *si*.

    Raises
    ------
    ValueError, pint.PintError
        If the unit is unknown, or of another dimension.
    """
    if (unit in ("", "%")) != (si == ""):  # an angle and a fraction are both pure numbers, and yet not the same
        raise ValueError(f"{unit!r} is not of this dimension")
    if si == "":
        return (0.01 if unit else 1.0), 0.0
    per_length = _PER_STATED_LENGTH.fullmatch(unit)
    if per_length:
        factor, _ = _scale(f"deg/{per_length['unit']}", si, difference)
        return factor / int(per_length["length"]), 0.0
    registry = _registry()
    source, target = expression(unit), expression(si)
    if difference:  # a step of 1 degC is a step of 1 K; 1 degF is 5/9 K
        source = re.sub(r"\b(degC|celsius)\b", "K", source)
        source = re.sub(r"\b(degF|fahrenheit)\b", "degR", source)
    offset = float(registry.convert(0.0, source, target)) if _HAS_OFFSET.search(source) else 0.0
    return float(registry.convert(1.0, source, target)) - offset, offset


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
    return tuple(name for name, dimension in DIMENSIONS.items() if _fits(unit, dimension))


@functools.lru_cache(maxsize=512)
def _fits(unit: str, *dimensions: Dimension) -> bool:
    """Return whether *unit* is one of any of *dimensions*."""
    for dimension in dimensions:
        try:
            _scale(unit, dimension.si, dimension.difference)
        except (ValueError, pint.PintError):
            continue
        return True
    return False


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
    if FRACTION in dimensions and isinstance(text, int | float) and not isinstance(text, bool):
        if not abs(text) <= FRACTION.most:  # NaN as well
            raise ValueError(f"{spelled(text)} is not a number to use; {_need(*dimensions)}")
        return float(text), FRACTION
    if not isinstance(text, str):
        raise ValueError(f"{spelled(text)} has no unit; {_need(*dimensions)}")
    match = _QUANTITY.fullmatch(text) if len(text) <= _LONGEST_NUMBER else None
    if match is None:
        hint = "; write minus as '-'" if set(text) & set("−–—") else ""
        raise ValueError(f"{spelled(text)} is not a number with a unit{hint}; {_need(*dimensions)}")
    unit = match["unit"]
    for dimension in dimensions:
        if _fits(unit, dimension):
            factor, offset = _scale(unit, dimension.si, dimension.difference)
            return _in_reach(_number(match) * factor + offset, text, dimension), dimension
    raise ValueError(f"{spelled(text)} {_fault(unit, dimensions)}; {_need(*dimensions)}")


def _need(*dimensions: Dimension) -> str:
    """Return what to write."""
    words = (f"{_article(dimension.name)}, for example {dimension.example!r}" for dimension in dimensions)
    return f"need {' or '.join(dict.fromkeys(words))}"


def _in_reach(value: float, text: str, dimension: Dimension) -> float:
    """Return *value*; raises ValueError where no well has such a quantity."""
    if abs(value) <= dimension.most * (1.0 + 1e-12) and not (dimension.absolute and value < 0.0):
        return value
    if dimension.absolute and value < 0.0:
        raise ValueError(f"{text!r} is below absolute zero; {_need(dimension)}")
    most = f"{shown(dimension.most, dimension):.6g} {dimension.metric}".rstrip()
    raise ValueError(f"{text!r} is out of reach of any well, more than {most}; {_need(dimension)}")


def _fault(unit: str, dimensions: tuple[Dimension, ...]) -> str:
    """Return what is wrong with a unit that is of none of *dimensions*."""
    kinds = [dimension.name for dimension in dimensions]
    accepted = f"(accepted: {', '.join(other for kind in kinds for other in usual(kind))})"
    if not unit:
        return "has no unit"
    if unit.startswith(",") or unit[0].isdigit():
        return "is not one number; write a decimal point and no thousands separator"
    if others := dimension_of(unit):
        return f"is {_article(DIMENSIONS[others[0]].name)} {accepted}"
    near = meant(unit, kinds, lambda other: _fits(other, *dimensions))
    try:
        expression(unit)
    except ValueError:
        found = f"has the unknown unit {unit!r}"
    else:
        found = f"is in {unit!r}"
    return f"{found}, did you mean {near!r}?" if near else f"{found} {accepted}"


def _number(match: re.Match[str]) -> float:
    sign = -1.0 if match["sign"] == "-" else 1.0
    if match["number"] is not None:
        return sign * float(match["number"])
    over, under = int(match["over"] or match["over2"]), int(match["under"] or match["under2"])
    if under == 0:
        raise ValueError(f"{match.string!r} divides by zero; need a fraction such as 9-5/8")
    return sign * (float(match["whole"] or 0) + over / under)


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
