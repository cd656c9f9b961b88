"""What is said of a quantity that cannot be read: the text found, what is wrong with it, what to write."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads.units import (
    ANGLE,
    CURVATURE,
    DENSITY,
    DIAMETER,
    DIMENSIONS,
    FORCE,
    FRACTION,
    GRADIENT,
    LENGTH,
    LINEAR_MASS,
    PRESSURE,
    STRESS,
    TEMPERATURE,
    Dimension,
    to_si,
)


@pytest.mark.parametrize(
    ("text", "dimension", "meant"),
    [
        ("47 lbs/ft", LINEAR_MASS, "lb/ft"),
        ("47 ppf", LINEAR_MASS, "lb/ft"),
        ("47 #/ft", LINEAR_MASS, "lb/ft"),
        ("35 PSI", PRESSURE, "psi"),
        ("35 psig", PRESSURE, "psi"),
        ("35 Psi", PRESSURE, "psi"),
        ("35 mpa", PRESSURE, "MPa"),
        ("35 mPa", PRESSURE, "MPa"),  # a milli-pascal would be read silently if prefixes were free
        ("80 kpsi", STRESS, "ksi"),
        ("3 mtr", LENGTH, "m"),
        ("3 METERS", LENGTH, "meters"),
        ("100'", LENGTH, "ft"),
        ('9-5/8"', DIAMETER, "in"),
        ("9-5/8 Inch", DIAMETER, "inch"),
        ("1.1 SG", DENSITY, "sg"),
        ("1.1 s.g.", DENSITY, "sg"),
        ("1.1 g/cc", DENSITY, "g/cm3"),
        ("10 PPG", DENSITY, "ppg"),
        ("10 lbs/gal", DENSITY, "lb/gal"),
        ("70 deg F", TEMPERATURE, "degF"),
        ("70 F", TEMPERATURE, "degF"),
        ("21 C", TEMPERATURE, "degC"),
        ("21 Celcius", TEMPERATURE, None),
        ("100 klb", FORCE, "klbf"),
        ("100 kips", FORCE, "kip"),
        ("100 lb", FORCE, "lbf"),  # a mass: known, but of no use here
        ("5 KPA/M", GRADIENT, "kPa/m"),
        ("3 deg/100 feet", CURVATURE, "deg/100 ft"),
        ("3 °/30 m", CURVATURE, "deg/30 m"),
        ("5°", ANGLE, "deg"),
        ("2 kft", LENGTH, None),  # 2 kft are not 2 ft
        ("2 furlongs", LENGTH, None),
    ],
)
def test_unit_meant(text: str, dimension: Dimension, meant: str | None) -> None:
    with pytest.raises(ValueError, match=re.escape(repr(text))) as caught:
        to_si(text, dimension)
    if meant is None:
        assert "did you mean" not in str(caught.value)
        assert f"accepted: {'degC' if dimension is TEMPERATURE else 'm'}, " in str(caught.value)
    else:
        assert f"did you mean {meant!r}?" in str(caught.value)
        to_si(f"1 {meant}", dimension)  # what is suggested reads


@pytest.mark.parametrize(
    ("raw", "dimension", "words"),
    [
        (2250, LENGTH, "2250 has no unit; need a length, for example '2250 m'"),
        (True, LENGTH, "true has no unit"),
        (None, LENGTH, "None has no unit"),
        ({"m": 3}, LENGTH, "a table has no unit"),
        ("2250", LENGTH, "'2250' has no unit"),
        ("", LENGTH, "'' is not a number with a unit"),
        ("m", LENGTH, "'m' is not a number with a unit"),
        ("nan m", LENGTH, "'nan m' is not a number with a unit"),
        ("inf m", LENGTH, "'inf m' is not a number with a unit"),
        ("٢٧ m", LENGTH, "is not a number with a unit"),  # digits, but not ours
        ("−5 degC", TEMPERATURE, "write minus as '-'"),
        ("1,03 sg", DENSITY, "write a decimal point and no thousands separator"),
        ("1 027 m", LENGTH, "write a decimal point and no thousands separator"),
        ("9-5/0 in", DIAMETER, "divides by zero"),
        ("35 MPa", LENGTH, "'35 MPa' is a pressure (accepted: m, cm, mm, km, in, ft); need a length"),
        ("10 m", PRESSURE, "'10 m' is a length (accepted: Pa, kPa, MPa, bar, psi, ksi, kgf/cm2)"),
        ("5 m**2", LENGTH, "'5 m**2' is in 'm**2'"),
        ("3 deg/0 ft", CURVATURE, "unknown unit"),
        ("1e300 m", LENGTH, "out of reach of any well, more than 30000 m"),
        ("1e999 m", LENGTH, "out of reach of any well"),
        ("2250 km", LENGTH, "out of reach of any well"),
        ("-300 degC", TEMPERATURE, "below absolute zero"),
        ("-1 K", TEMPERATURE, "below absolute zero"),
        (float("nan"), FRACTION, "nan is not a number to use"),
        (float("inf"), FRACTION, "inf is not a number to use"),
        ("9" * 5000 + " m", LENGTH, "... is not a number with a unit"),
    ],
)
def test_refused(raw: object, dimension: Dimension, words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)) as caught:
        to_si(raw, dimension)
    assert len(str(caught.value)) < 250


@pytest.mark.parametrize(
    "unit",
    [
        "m**9**9**9",  # a parser that works out powers would not come back
        "m**(9**9)",
        "m*9**9**9",
        "__import__('os')",
        "m; import os",
        "(m)",
        "m/1",
        "m*2",
        "degree_Celsius",
        "m\x1b[31m",
    ],
)
def test_only_names_and_small_powers_are_units(unit: str) -> None:
    with pytest.raises(ValueError, match=r"unknown unit") as caught:
        to_si(f"10 {unit}", LENGTH)
    assert str(caught.value).isprintable()


def read_or_refused(text: str, dimension: Dimension) -> float | str:
    try:
        return to_si(text, dimension)
    except ValueError as error:
        return str(error)


@given(st.text(max_size=30), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_read_or_refused_in_words(text: str, name: str) -> None:
    found = read_or_refused(text, DIMENSIONS[name])
    if isinstance(found, str):
        assert found.isprintable()
        assert "need" in found
    else:
        assert abs(found) <= DIMENSIONS[name].most


@given(st.from_regex(r"[-+]?[0-9]{1,3}([.][0-9])? ?[a-zA-Z°%]{0,4}([/*^][a-zA-Z0-9]{1,3})?", fullmatch=True))
def test_anything_like_a_quantity_is_read_or_refused_in_words(text: str) -> None:
    for dimension in DIMENSIONS.values():
        found = read_or_refused(text, dimension)
        assert "need" in found if isinstance(found, str) else abs(found) <= dimension.most
