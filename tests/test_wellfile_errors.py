"""Mistakes in well, earth, fluids and other tables: each is told with its key, what was found, what is accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

import casingloads as cl

PLAIN = (Path(__file__).parent / "wells" / "plain.toml").read_text(encoding="utf-8")
DEPTHS = 'depth = ["10 m", "1000 m", "3000 m"]'
PORE = '["1.00 sg", "1.05 sg", "1.10 sg"]'
FRACTURE = '["1.30 sg", "1.60 sg", "1.80 sg"]'
WARMTH = '["10 degC", "40 degC", "90 degC"]'
GROUND = 'wellhead = "ground"'
SEA = 'wellhead = "sea floor"\nwater_depth = "300 m"'

Change = tuple[str, str]


def changed(*changes: Change) -> str:
    text = PLAIN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def problems(tmp_path: Path, *changes: Change) -> dict[str, str]:
    """Return message by key of all problems of the plain well with *changes*."""
    file = tmp_path / "well.toml"
    file.write_text(changed(*changes), encoding="utf-8")
    with pytest.raises(cl.InputError) as caught:
        cl.read_well(file)
    assert caught.value.source == str(file)
    found = {problem.where: problem.message for problem in caught.value.problems}
    assert len(found) == len(caught.value.problems)
    return found


def test_the_plain_well_is_sound(tmp_path: Path) -> None:
    file = tmp_path / "well.toml"
    file.write_text(PLAIN, encoding="utf-8")
    assert [string.name for string in cl.read_well(file).strings] == ["surface", "inner", "liner"]


ONE = [
    # --- units and numbers, at one key for all of its kind
    ('air_gap = "10 m"', "air_gap = 10", "well.air_gap", "10 has no unit; need a length, for example '2250 m'"),
    ('air_gap = "10 m"', 'air_gap = "10"', "well.air_gap", "'10' has no unit"),
    ('air_gap = "10 m"', 'air_gap = "ten m"', "well.air_gap", "'ten m' is not a number with a unit"),
    ('air_gap = "10 m"', 'air_gap = "10 psi"', "well.air_gap", "'10 psi' is a pressure"),
    ('air_gap = "10 m"', 'air_gap = "10 mtr"', "well.air_gap", "did you mean 'm'?"),
    ('air_gap = "10 m"', 'air_gap = "10,5 m"', "well.air_gap", "write a decimal point"),
    ('air_gap = "10 m"', 'air_gap = "−10 m"', "well.air_gap", "write minus as '-'"),
    ('air_gap = "10 m"', 'air_gap = "-10 m"', "well.air_gap", "'-10 m' is not accepted; need at least 0 m"),
    ('air_gap = "10 m"', 'air_gap = "1e300 m"', "well.air_gap", "out of reach of any well"),
    ('air_gap = "10 m"', "air_gap = nan", "well.air_gap", "nan has no unit"),
    ('air_gap = "10 m"', "air_gap = true", "well.air_gap", "true has no unit"),
    ('air_gap = "10 m"', "air_gap = 2021-02-03", "well.air_gap", "2021-02-03 has no unit"),
    ('air_gap = "10 m"', 'air_gap = ["10 m"]', "well.air_gap", "a list has no unit"),
    ('air_gap = "10 m"', 'air_gap = { m = "10" }', "well.air_gap", "a table has no unit"),
    ('air_gap = "10 m"', "", "well.air_gap", "missing; need a length, for example '2250 m' (drill floor above"),
    # --- [well]
    ('name = "Plain 1"', "", "well.name", "missing; need a name (name of the well)"),
    ('name = "Plain 1"', 'name = ""', "well.name", "'' is empty; need a name"),
    ('name = "Plain 1"', "name = 3", "well.name", "3 is not text; write it in quotes"),
    ('name = "Plain 1"', 'name = "Plain\\n1"', "well.name", "'Plain\\n1' is not accepted; need a name of at most 100"),
    (GROUND, 'wellhead = "seafloor"', "well.wellhead", "'seafloor' is not accepted; did you mean 'sea floor'?"),
    (GROUND, "wellhead = 3", "well.wellhead", "3 is not accepted; accepted: 'deck', 'ground', 'sea floor'"),
    (GROUND, 'wellhead = "sea floor"', "well.water_depth", "missing; a wellhead on the sea floor needs a length"),
    (GROUND, 'wellhead_depth = "5 m"', "well.wellhead_depth", "this one is on the 'ground'; leave it out"),
    (GROUND, 'buckling = 1', "well.buckling", "1 is not accepted; need true or false"),
    (GROUND, 'units = "imperial"', "well.units", "'imperial' is not accepted; accepted: 'field', 'metric'"),
    (GROUND, 'well_head = "ground"', "well.well_head", "is not known; did you mean 'wellhead'?"),
    (GROUND, "survey = 3", "well.survey", "3 is not accepted; need text in quotes, or a table"),
    (GROUND, 'survey = ""', "well.survey", "'' is empty; need the name of a file beside the well file"),
    (GROUND, 'survey = "none.csv"', "well.survey", "'none.csv' is not a file; need one beside 'well.toml'"),
    (GROUND, 'survey = "a\\u0000b"', "well.survey", "'a\\x00b' is not accepted"),
    # --- [earth]
    (DEPTHS, 'depth = "10 m"', "earth.depth", "'10 m' is not accepted; need a list in brackets"),
    (DEPTHS, "depth = []", "earth.depth", "has 0 values; need at least two depths"),
    (DEPTHS, 'depth = ["10 m"]', "earth.depth", "has 1 values; need at least two depths"),
    (DEPTHS, "", "earth.depth", "missing; need a list (true vertical depths, increasing"),
    (DEPTHS, 'depth = ["10 m", "10 m", "3000 m"]', "earth.depth[2]", "10.00 m is not below 10.00 m, the depth"),
    (DEPTHS, 'depth = ["10 m", "900", "3000 m"]', "earth.depth[2]", "'900' has no unit"),
    (PORE, '["1.00 sg", "1.05 sg"]', "earth.pore_pressure", "has 2 values for 3 depths; need one for each"),
    (PORE, '["1.00 sg", -1.05, "1.1 sg"]', "earth.pore_pressure[2]", "-1.05 has no unit; need a pressure, for example"),
    (PORE, '["-1.00 sg", "1.05 sg", "1.1 sg"]', "earth.pore_pressure[1]", "is not accepted; need zero or more"),
    (PORE, '["10.5 sg", "1.05 sg", "1.1 sg"]', "earth.pore_pressure[1]", "as a density at most 5 sg"),
    (PORE, '["1.00 m", "1.05 sg", "1.1 sg"]', "earth.pore_pressure[1]", "'1.00 m' is a length"),
    (FRACTURE, '["1.3 sg", "1.04 sg", "1.8 sg"]', "earth.fracture[2]", "is below the pore pressure, 10.30 MPa"),
    (WARMTH, '["10 degC", "40", "90 degC"]', "earth.temperature[2]", "'40' has no unit; need a temperature"),
    (WARMTH, '["10 C", "40 degC", "90 degC"]', "earth.temperature[1]", "did you mean 'degC'?"),
    (WARMTH, '["10 degC", "40 degC", "900 degC"]', "earth.temperature[3]", "need at most 600 degC"),
    (WARMTH, '["-300 degC", "40 degC", "90 degC"]', "earth.temperature[1]", "below absolute zero"),
    ("temperature = ", "temprature = ", "earth.temprature", "is not known; did you mean 'temperature'?"),
    # --- [fluids]
    ('mud = "1.20 sg"', "mud = 1.2", "fluids.mud", "1.2 has no unit; need a density, for example '1.10 sg'"),
    ('mud = "1.20 sg"', 'mud = "0 sg"', "fluids.mud", "'0 sg' is not accepted; need more than 0 kg/m3"),
    ('mud = "1.20 sg"', 'mud = "12 sg"', "fluids.mud", "'12 sg' is not accepted; need at most 5000 kg/m3"),
    ('mud = "1.20 sg"', 'mud = "1.2 sg"\n"" = "1 sg"', 'fluids.""', "'' is empty; need a name"),
    ('mud = "1.20 sg"', 'mud = "1.2 sg"\n" x" = "1 sg"', 'fluids." x"', "no space at either end"),
    # --- [required], [steel], catalogs, and tables that are none
    ("burst = 1.1", "burst = -1.1", "required.burst", "-1.1 is not accepted; write a number from 0.1 to 100"),
    ("burst = 1.1", "burst = 0", "required.burst", "0 is not accepted"),
    ("burst = 1.1", "burst = inf", "required.burst", "inf is not accepted"),
    ("burst = 1.1", 'burst = "1.1"', "required.burst", "'1.1' is not accepted"),
    ("burst = 1.1", "burst = true", "required.burst", "true is not accepted"),
    ("burst = 1.1", "", "required.burst", "or in the table 'required' of 'surface', 'inner'"),
    ("[required]", "[[required]]", "required", "a list is not accepted; need a table"),
    ("[required]", "[steel]\nmodulus = '30 psi'\n[required]", "steel.modulus", "need at least 10000 MPa"),
    ("[required]", "[steel]\npoisson = 0.7\n[required]", "steel.poisson", "write a number from 0 to 0.5"),
    ("[required]", "[steel]\nexpansion = '12 /degC'\n[required]", "steel.expansion", "out of reach"),
    ("[required]", "[steel]\nmodulsu = '200 GPa'\n[required]", "steel.modulsu", "did you mean 'modulus'?"),
    ("[well]", 'catalogs = "x.csv"\n[well]', "catalogs", "'x.csv' is not accepted; need a list in brackets"),
    ("[well]", "catalogs = [1]\n[well]", "catalogs[1]", "1 is not text; write it in quotes"),
    ("[well]", 'catalogs = ["x.csv"]\n[well]', "catalogs[1]", "'x.csv' is not a file; need one beside 'well.toml'"),
    ("[well]", 'catalogs = ["../../x.csv"]\n[well]', "catalogs[1]", "is not a file"),
    ("[well]", "title = 'x'\n[well]", "title", "is not a table of a well file; accepted: 'cases', 'catalogs'"),
    ("[well]", "fluid = {}\n[well]", "fluid", "is not a table of a well file; did you mean 'fluids'?"),
    ("[required]", "[cases]\nx = 3\n[required]", "cases.x", "3 is not accepted; need a table"),
    ("[required]", "[cases.running]\n[required]", "cases.running", "case 'running' stands under [strings.cases.LABEL]"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "where", "words"), ONE, ids=[f"{new}-{where}" for _, new, where, _ in ONE])
def test_one_mistake_is_one_problem(tmp_path: Path, old: str, new: str, where: str, words: str) -> None:
    found = problems(tmp_path, (old, new))
    assert list(found) == [where]
    assert words in found[where]


OFFSHORE = [
    (SEA.replace("300 m", "0 m"), {"well.water_depth": "'0 m' is not accepted; need more than 0 m"}),
    (SEA.replace("sea floor", "ground"), {"well.wellhead": "'ground' is for a well without water_depth"}),
    (SEA.replace("sea floor", "deck"), {"well.wellhead_depth": "missing; a wellhead on deck needs its depth"}),
    (
        SEA.replace("sea floor", "deck") + '\nwellhead_depth = "11 m"',
        {"well.wellhead_depth": "11.00 m is below sea level; a deck is at most at 10.00 m"},
    ),
    (
        'wellhead = "deck"\nwellhead_depth = "5 m"',
        {"well.water_depth": "missing; a wellhead on deck stands above water"},
    ),
    (
        SEA + '\nwellhead_depth = "5 m"',
        {"well.wellhead_depth": "this one is on the 'sea floor'; leave it out"},
    ),
]


@pytest.mark.parametrize(("well", "told"), OFFSHORE)
def test_wellheads_that_contradict(tmp_path: Path, well: str, told: dict[str, str]) -> None:
    found = problems(tmp_path, (GROUND, well), ("[fluids]", '[fluids]\n"sea water" = "1025 kg/m3"'))
    assert list(found) == list(told)
    for where, words in told.items():
        assert words in found[where]


def test_offshore_needs_sea_water(tmp_path: Path) -> None:
    found = problems(tmp_path, (GROUND, SEA))
    assert found == {"fluids.sea water": "missing; an offshore well needs its density, '1025 kg/m3' for example"}


@pytest.mark.parametrize("table", ["well", "earth", "fluids", "strings"])
def test_a_table_that_is_missing_is_all_that_is_told(tmp_path: Path, table: str) -> None:
    other = {"strings": "[[strings]]"}.get(table, f"[{table}]")
    before, after = PLAIN.split(other, 1)
    rest = after.split("\n[", 1)[1] if table != "strings" else ""
    file = tmp_path / "well.toml"
    file.write_text(before + (f"[{rest}" if rest else ""), encoding="utf-8")
    with pytest.raises(cl.InputError, match=r"1 problem\n") as caught:
        cl.read_well(file)
    assert caught.value.problems[0].where == table
    assert f"missing; a well file needs {'at least one table' if table == 'strings' else 'the table'}" in str(
        caught.value
    )


def test_wrong_everywhere(tmp_path: Path) -> None:
    file = tmp_path / "well.toml"
    names = ["well", "earth", "fluids", "strings", "required", "steel", "cases", "catalogs", "more"]
    file.write_text("\n".join(f"{name} = {number}" for number, name in enumerate(names)), encoding="utf-8")
    with pytest.raises(cl.InputError) as caught:
        cl.read_well(file)
    assert [problem.where for problem in caught.value.problems] == names


def test_all_mistakes_come_at_once_in_the_order_of_the_tables(tmp_path: Path) -> None:
    changes = [
        ('air_gap = "10 m"', 'air_gap = "10"'),
        ('mud = "1.20 sg"', 'mud = "1.20 gs"'),
        (WARMTH, '["10 degC", "40 C", "90 degC"]'),
        ("burst = 1.1", "brust = 1.1"),
        ('hole_size = "17-1/2 in"', 'hole_sise = "17-1/2 in"'),
        ("13-3/8 in 68 lb/ft L80", "13-3/8 in 67 lb/ft L80"),
        ('to = "700 m", slurry = "slurry"', 'to = "700 m", slurry = "slury"'),
        ('pull = "100 kN"', "pull = 100"),
        ('level = "900 m"', 'levle = "900 m"'),
        ('{ pipe = "9-5/8 in 47 lb/ft L80", to = "shoe" }', '{ pipe = "9-5/8 in 47 lb/ft L80", to = "2100 m" }'),
        ('top = "1800 m"', 'top = "2100 m"'),
    ]
    assert list(problems(tmp_path, *changes)) == [
        "well.air_gap",
        "earth.temperature[2]",
        "fluids.mud",
        "required.brust",
        "required.burst",
        "strings.surface.hole_size",
        "strings.surface.hole_sise",
        "strings.surface.sections[1].pipe",
        "strings.surface.cement[1].slurry",
        "strings.surface.cases.overpull.pull",
        "strings.inner.sections[2].to",
        "strings.inner.cases.half-empty.levle",
        "strings.liner.top",
    ]


def test_messages_are_in_the_units_of_the_file(tmp_path: Path) -> None:
    found = problems(tmp_path, (GROUND, GROUND + '\nunits = "field"'), ('top = "1800 m"', 'top = "7000 ft"'))
    assert "7000.0 ft is below the shoe of 'inner' at 6561.7 ft" in found["strings.liner.top"]
