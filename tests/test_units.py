"""Numbers with units: published conversions, round trips, and what is said of text that cannot be read."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads.units import (
    ANGLE,
    CURVATURE,
    DENSITY,
    DIAMETER,
    DIMENSIONS,
    EXPANSION,
    FORCE,
    FRACTION,
    GRADIENT,
    LENGTH,
    LINEAR_MASS,
    PRESSURE,
    STRESS,
    TEMPERATURE,
    TEMPERATURE_RISE,
    Dimension,
    UnitSystem,
    dimension_of,
    read_quantity,
    show,
    shown,
    to_si,
)
from casingloads.unitwords import names, usual

# NIST Special Publication 811 (2008), appendix B.8; values from memory, as printed there to seven digits or exact.
NIST = [
    ("in", DIAMETER, 2.54e-2),
    ("ft", LENGTH, 3.048e-1),
    ("lbf", FORCE, 4.448222),
    ("kip", FORCE, 4.448222e3),
    ("kgf", FORCE, 9.80665),
    ("psi", PRESSURE, 6.894757e3),
    ("ksi", STRESS, 6.894757e6),
    ("bar", PRESSURE, 1.0e5),
    ("kgf/cm2", PRESSURE, 9.80665e4),
    ("lb/ft", LINEAR_MASS, 1.488164),
    ("lb/ft3", DENSITY, 1.601846e1),
    ("lb/gal", DENSITY, 1.198264e2),
    ("g/cm3", DENSITY, 1.0e3),
    ("deg", ANGLE, 1.745329e-2),
]


@pytest.mark.parametrize(("unit", "dimension", "factor"), NIST, ids=[row[0] for row in NIST])
def test_published_factors(unit: str, dimension: Dimension, factor: float) -> None:
    assert to_si(f"1 {unit}", dimension) == pytest.approx(factor, rel=1e-6)  # half of the seventh digit at worst


@pytest.mark.parametrize(
    ("text", "kelvin"),
    [("32 degF", 273.15), ("212 degF", 373.15), ("-40 degF", 233.15), ("-40 degC", 233.15), ("0 K", 0.0)],
)
def test_fixed_points_of_temperature(text: str, kelvin: float) -> None:
    assert to_si(text, TEMPERATURE) == pytest.approx(kelvin, abs=1e-9)


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert to_si("180 degF", TEMPERATURE_RISE) == pytest.approx(100.0)
    assert to_si("100 degC", TEMPERATURE_RISE) == pytest.approx(100.0)
    assert to_si("-5 °C", TEMPERATURE_RISE) == pytest.approx(-5.0)
    assert to_si("1.8e-6 /degC", EXPANSION) == pytest.approx(1.8e-6)
    assert to_si("1e-6 1/degF", EXPANSION) == pytest.approx(1.8e-6)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("9-5/8 in", 9.625),
        ("9 5/8 in", 9.625),
        ("9 - 5/8in", 9.625),
        ("3/4 in", 0.75),
        ("9.625 in", 9.625),
        (".5 in", 0.5),
        ("1e1 in", 10.0),
        ("  7 inch ", 7.0),
        ("+7 inches", 7.0),
    ],
)
def test_numbers(text: str, inches: float) -> None:
    assert to_si(text, DIAMETER) == pytest.approx(inches * 0.0254, rel=1e-15)


def test_a_minus_goes_for_the_whole_fraction() -> None:
    assert to_si("-9-5/8 in", DIAMETER) == pytest.approx(-9.625 * 0.0254)


@pytest.mark.parametrize("text", ["3 deg/100 ft", "3 deg/100ft", "3 deg / (100 ft)", "0.03 deg/ft"])
def test_curvature_over_a_stated_length(text: str) -> None:
    assert to_si(text, CURVATURE) == pytest.approx(math.radians(3.0) / 30.48)


def test_curvature_of_thirty_metres_is_not_that_of_a_hundred_feet() -> None:
    assert to_si("1 deg/30 m", CURVATURE) / to_si("1 deg/100 ft", CURVATURE) == pytest.approx(30.48 / 30.0)


@pytest.mark.parametrize("unit", ["kg/m3", "kg/m^3", "kg/m**3", "kg/m³", "kg / m3", "kg*m-3", "kg·m^-3"])
def test_ways_to_write_a_power(unit: str) -> None:
    assert to_si(f"1025 {unit}", DENSITY) == pytest.approx(1025.0)


def test_a_pressure_or_a_density_is_told_apart() -> None:
    assert read_quantity("35 MPa", PRESSURE, DENSITY, GRADIENT) == (35e6, PRESSURE)
    assert read_quantity("1.05 sg", PRESSURE, DENSITY, GRADIENT) == (1050.0, DENSITY)
    assert read_quantity("10 kPa/m", PRESSURE, DENSITY, GRADIENT) == (10e3, GRADIENT)


def test_a_fraction_may_be_bare_or_percent_and_is_no_angle() -> None:
    for written in (0.875, "0.875", "87.5 %"):
        assert to_si(written, FRACTION) == pytest.approx(0.875)
    for written, dimension in (("0.5 rad", FRACTION), ("5 %", ANGLE), ("5", ANGLE)):
        with pytest.raises(ValueError, match=r"need an? (fraction|angle)"):
            to_si(written, dimension)


SYSTEMS: list[UnitSystem] = ["metric", "field"]


@given(st.sampled_from(sorted(DIMENSIONS)), st.sampled_from(SYSTEMS), st.floats(1e-6, 1.0))
def test_what_is_shown_reads_as_it_was(name: str, system: UnitSystem, share: float) -> None:
    dimension = DIMENSIONS[name]
    value = share * min(dimension.most, 1e12)
    text = f"{shown(value, dimension, system):.17g} {dimension.unit(system)}"
    assert to_si(text, dimension) == pytest.approx(value, rel=1e-12, abs=1e-9 if dimension.absolute else 0.0)


@given(st.sampled_from(sorted(DIMENSIONS)), st.sampled_from(SYSTEMS), st.floats(0.01, 0.99))
def test_text_shown_reads_to_its_digits(name: str, system: UnitSystem, share: float) -> None:
    dimension = DIMENSIONS[name]
    value = share * min(dimension.most, 1e9)
    digits = dimension.digits[0 if system == "metric" else 1]
    one = abs(shown(1.0, dimension, system) - shown(0.0, dimension, system))  # of the shown unit in one of SI
    read = to_si(show(value, dimension, system), dimension)
    assert abs(read - value) * one <= 0.5001 * 10.0**-digits + 1e-9 * abs(value) * one


@pytest.mark.parametrize("dimension", DIMENSIONS.values(), ids=DIMENSIONS)
def test_every_example_reads(dimension: Dimension) -> None:
    assert to_si(dimension.example, dimension) > 0.0


@pytest.mark.parametrize("dimension", DIMENSIONS.values(), ids=DIMENSIONS)
def test_every_unit_that_messages_offer_reads(dimension: Dimension) -> None:
    offered = usual(dimension.name)
    assert offered
    for unit in offered:
        assert to_si(f"1e-9 {unit}", dimension) is not None


def test_every_defined_unit_is_offered_or_only_a_part_of_others() -> None:
    offered = " ".join(unit for dimension in DIMENSIONS.values() for unit in usual(dimension.name))
    words = set(offered.replace("/", " ").replace("*", " ").replace("2", " ").replace("3", " ").split())
    other_names = {
        *("meter", "meters", "metre", "metres", "inch", "inches", "foot", "feet", "gram", "grams", "kilogram"),
        *("kilograms", "pound", "lbm", "tonne", "newton", "decanewton", "kilonewton", "meganewton", "pascal"),
        *("kilopascal", "megapascal", "gigapascal", "kelvin", "celsius", "fahrenheit", "degree", "degrees", "radian"),
        *("percent", "millimeter", "millimetre", "centimeter", "centimetre", "kilometer", "kilometre"),
    }
    parts = {"s", "second", "seconds", "min", "minute", "minutes", "h", "hour", "hours", "d", "day", "days"}
    parts |= {"L", "liter", "litre", "gallon", "bbl", "barrel", "joule", "kilojoule", "watt"}
    assert names() - words - other_names - parts == set()


def test_units_without_a_dimension_of_ours_are_none() -> None:
    assert dimension_of("furlong") == ()
    assert dimension_of("kg") == ()
    assert set(dimension_of("psi")) == {"pressure", "stress"}
    assert set(dimension_of("degF")) == {"temperature", "temperature_rise"}
