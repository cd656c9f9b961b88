"""Mistakes in strings, their pipe, cement and load cases: each with its key, what was found, what is accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

import casingloads as cl

PLAIN = (Path(__file__).parent / "wells" / "plain.toml").read_text(encoding="utf-8")
NAME, SHOE, MUD = 'name = "surface"', 'shoe = "1000 m"', 'run_in = "spud mud"'
PIPE = '{ pipe = "13-3/8 in 68 lb/ft L80", drift = "12-1/4 in", to = "shoe" }'
UPPER = '{ pipe = "9-5/8 in 53.5 lb/ft P110", drift = "8-1/2 in", to = "800 m" }'
LOWER = '{ pipe = "9-5/8 in 47 lb/ft L80", to = "shoe" }'
CEMENT = '[{ from = "shoe", to = "1200 m", slurry = "slurry" }]'
NEXT = '{ to = "2000 m", mud = "mud", size = "12-1/4 in" }'
HALF = 'case = "evacuation"\nlevel = "900 m"\nrequired = { collapse = 1.1 }'
FULL = 'od = "13-3/8 in", wall = "0.48 in"'

Change = tuple[str, str]


def problems(tmp_path: Path, *changes: Change) -> dict[str, str]:
    """Return message by key of all problems of the plain well with *changes*."""
    text = PLAIN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(cl.InputError) as caught:
        cl.read_well(file)
    found = {problem.where: problem.message for problem in caught.value.problems}
    assert len(found) == len(caught.value.problems)
    return found


STRING = [
    (NAME, "", "[1].name", "missing; need a name (each string has its own)"),
    (NAME, 'name = ""', "[1].name", "'' is empty; need a name"),
    (NAME, "name = 7", "[1].name", "7 is not text; write it in quotes"),
    (NAME, 'name = "a\\nb"', "[1].name", "'a\\nb' is not accepted; need a name of at most 100 characters"),
    (NAME, f'name = "{"x" * 200}"', "[1].name", "... is not accepted; need a name of at most 100 characters"),
    (NAME, 'name = "inner"', ".inner.name", "'inner' is the name of two strings; need another"),
    ('hole_size = "17-1/2 in"', "hole_size = 17.5", ".surface.hole_size", "17.5 has no unit"),
    ('hole_size = "17-1/2 in"', 'hole_size = "0 in"', ".surface.hole_size", "need more than 0 mm"),
    ('hole_size = "17-1/2 in"', "", ".surface.hole_size", "missing; need a length, for example '9-5/8 in'"),
    ('hole_size = "17-1/2 in"', 'hole_size = "12-1/4 in"', ".surface.hole_size", "takes no pipe of 339.72 mm"),
    ('top = "wellhead"', 'top = "wellhed"', ".surface.top", "or 'surface', 'wellhead'"),
    ('top = "wellhead"', 'top = "2 m"', ".surface.top", "2.00 m is above the wellhead at 10.00 m"),
    ('top = "1800 m"', 'top = "2900 m"', ".liner.shoe", "2800.00 m is not below the string's top at 2900.00 m"),
    ('top = "1800 m"', 'top = "2100 m"', ".liner.top", "below the shoe of 'inner' at 2000.00 m"),
    (SHOE, 'shoe = "-1 m"', ".surface.shoe", "'-1 m' is not accepted; need at least 0 m"),
    (SHOE, 'shoe = "shoe"', ".surface.shoe", "'shoe' is not a number with a unit"),
    (MUD, 'run_in = "spud mdu"', ".surface.run_in", "is not under [fluids]; did you mean 'spud mud'?"),
    (MUD, "run_in = 1.1", ".surface.run_in", "1.1 is not text; write it in quotes"),
    (MUD, "", ".surface.run_in", "missing; need the name of a fluid under [fluids]"),
    (MUD, f'{MUD}\ndisplaced_with = "mdu"', ".surface.displaced_with", "did you mean 'mud'?"),
    (MUD, f"{MUD}\nriser = false", ".surface.riser", "false, but the wellhead is at surface"),
    (MUD, f'{MUD}\nriser = "no"', ".surface.riser", "'no' is not accepted; need true or false"),
    (MUD, f"{MUD}\nrequired = 3", ".surface.required", "3 is not accepted; need a table"),
    (MUD, f"{MUD}\nrequired = {{ brust = 1 }}", ".surface.required.brust", "did you mean 'burst'?"),
    (MUD, f'{MUD}\ntriaxial_wall = "min"', ".surface.triaxial_wall", "did you mean 'minimum'?"),
    (MUD, f'{MUD}\nmodels = {{ collapse = "x" }}', ".surface.models.collapse", "accepted: 'four-regime'"),
    (MUD, f"{MUD}\nset_temperature = {{ depth = [] }}", ".surface.set_temperature.temperature", "missing; need a list"),
    (MUD, f'{MUD}\nset_temperature = "5 degC"', ".surface.set_temperature", "need a table"),
    (
        MUD,
        f'{MUD}\nset_temperature = {{ depth = [], temperature = ["5 degC"] }}',
        ".surface.set_temperature",
        "has 0 depths and 1 temperatures; need one for each",
    ),
    (
        MUD,
        f'{MUD}\nset_temperature = {{ depth = ["9 m", "8 m"], temperature = ["5 degC", "5 degC"] }}',
        ".surface.set_temperature.depth[2]",
        "need depths that increase",
    ),
    (NEXT, "3", ".surface.next_hole", "3 is not accepted; need a table"),
    (NEXT, '{ to = "900 m" }', ".surface.next_hole.to", "900.00 m is not below the shoe at 1000.00 m"),
    (NEXT, "{}", ".surface.next_hole.to", "missing; need a length"),
    (NEXT, '{ to = "2000 m", mud = "mdu" }', ".surface.next_hole.mud", "did you mean 'mud'?"),
    (NEXT, '{ to = "2000 m", riser = false }', ".surface.next_hole.riser", "leave it out"),
]  # fmt: skip

SECTION = [
    (PIPE, "", ".surface.sections", "is empty; need at least one section"),
    (f"[{PIPE}]", PIPE, ".surface.sections", "a table is not accepted; need a list in brackets"),
    (PIPE, "3", ".surface.sections[1]", "3 is not accepted; need a table"),
    (PIPE, PIPE.replace(', to = "shoe"', ""), ".surface.sections[1].to", "missing; need a measured depth"),
    (UPPER, UPPER.replace('"800 m"', '"shoe"'), ".inner.sections[2].to", "overlaps what is above it, which ends at"),
    (UPPER, UPPER.replace("800 m", "5 m"), ".inner.sections[1].to", "5.00 m overlaps what is above it"),
    (LOWER, LOWER.replace('"shoe"', '"2100 m"'), ".inner.sections[2].to", "2100.00 m is not the shoe, 2000.00 m"),
    (LOWER, LOWER.replace('"shoe"', '"1900 m"'), ".inner.sections[2].to", "1900.00 m is not the shoe, 2000.00 m"),
    (LOWER, LOWER.replace("to", 'from = "700 m", to'), ".inner.sections[2].from", "overlaps the section above"),
    (LOWER, LOWER.replace("to", 'from = "900 m", to'), ".inner.sections[2].from", "leaves a gap below at 800.00 m"),
    (LOWER, LOWER.replace("to", 'from = "top", to'), ".inner.sections[2].from", "10.00 m overlaps the section"),
    (PIPE, PIPE.replace("68", "67"), ".surface.sections[1].pipe", "no such pipe; nearest of 13-3/8 in:"),
    (PIPE, PIPE.replace("L80", "L81"), ".surface.sections[1].pipe", "grade 'L81' is not in the catalog"),
    (PIPE, PIPE.replace("13-3/8 in 68 lb/ft L80", "steel"), ".surface.sections[1].pipe", "is no pipe designation"),
    (PIPE, PIPE.replace(" L80", ""), ".surface.sections[1]", "a grade in pipe, or yield is missing"),
    (PIPE, '{ to = "shoe" }', ".surface.sections[1]", "od, wall, yield is missing; name a catalog pipe"),
    (PIPE, f'{{ {FULL}, to = "shoe" }}', ".surface.sections[1]", "or yield is missing"),
    (PIPE, '{ od = "9 in", wall = "5 in", yield = "80 ksi", to = "shoe" }', ".surface.sections[1].wall", "is no wall"),
    (PIPE, f'{{ {FULL}, yield = "80 MPa", to = "shoe" }}', ".surface.sections[1].yield", "165.5 MPa to 1241.1 MPa"),
    (PIPE, f'{{ {FULL}, yield = "190 ksi", to = "shoe" }}', ".surface.sections[1].yield", "strength 1310.0 MPa is not"),
    (
        PIPE,
        f'{{ {FULL}, yield = "80 ksi", tensile = "70 ksi", to = "shoe" }}',
        ".surface.sections[1].tensile",
        "tensile strength 482.6 MPa is below the yield strength, 551.6 MPa",
    ),
    (PIPE, PIPE.replace("12-1/4", "12.7"), ".surface.sections[1].drift", "is larger than the bore"),
    (LOWER, LOWER.replace("to", 'wall = "15 mm", to'), ".inner.sections[2].wall", "give drift"),
    (PIPE, PIPE.replace("to", "wall_factor = 87.5, to"), ".surface.sections[1].wall_factor", "from 0.5 to 1, for"),
    (PIPE, PIPE.replace("to", "wal = 1, to"), ".surface.sections[1].wal", "is not known; did you mean 'wall'?"),
]  # fmt: skip

CEMENTED = [
    (CEMENT, "3", ".inner.cement", "3 is not accepted; need a list in brackets"),
    (CEMENT, "[3]", ".inner.cement[1]", "3 is not accepted; need a table"),
    (CEMENT, CEMENT.replace("1200 m", "2100 m"), ".inner.cement[1]", "2000.00 m to 2100.00 m is not between top"),
    (CEMENT, CEMENT.replace("1200 m", "5 m"), ".inner.cement[1]", "5.00 m to 2000.00 m is not between top 10.00 m"),
    (CEMENT, CEMENT.replace("1200 m", "shoe"), ".inner.cement[1]", "begins and ends at 2000.00 m; need two depths"),
    (CEMENT, CEMENT.replace("1200 m", "sheo"), ".inner.cement[1].to", "or 'shoe', 'top', 'wellhead', 'surface'"),
    (CEMENT, CEMENT.replace('"slurry"', '"slury"'), ".inner.cement[1].slurry", "did you mean 'slurry'?"),
    ('from = "700 m"', 'from = "750 m"', ".surface.cement", "intervals overlap between 700.00 m and 750.00 m"),
    ('to = "top"', 'to = "wellhead"', ".liner.cement[1]", "is not between top 1800.00 m and shoe 2800.00 m"),
]  # fmt: skip

CASE = [
    ("running = {}", "running = 3", ".surface.cases.running", "3 is not accepted; need a table"),
    ("running = {}", "runing = {}", ".surface.cases.runing", "is not a load case; did you mean 'running'?"),
    ("running = {}", '"" = { case = "running" }', '.surface.cases.""', "'' is empty; need a name"),
    ("running = {}", '"a.b" = { case = "x" }', '.surface.cases."a.b".case', "'x' is not a load case; accepted: "),
    ("running = {}", "running = { speed = 3 }", ".surface.cases.running.speed", "is not a parameter of 'running'"),
    (HALF, HALF.replace('"evacuation"', "3"), ".inner.cases.half-empty.case", "3 is not a load case; accepted: "),
    (HALF, HALF.replace('"evacuation"', "[]"), ".inner.cases.half-empty.case", "a list is not a load case"),
    (HALF, HALF.replace("level", "levle"), ".inner.cases.half-empty.levle", "did you mean 'level'?"),
    (HALF, HALF.replace("900 m", "-900 m"), ".inner.cases.half-empty.level", "'-900 m' is not accepted; need zero"),
    (HALF, HALF.replace("{ collapse = 1.1 }", "3"), ".inner.cases.half-empty.required", "3 is not accepted; need"),
    (HALF, HALF.replace("1.1", "-1"), ".inner.cases.half-empty.required.collapse", "-1 is not accepted; write a"),
    (HALF, HALF.replace("{ coll", "{ c"), ".inner.cases.half-empty.required.capse", "did you mean 'collapse'?"),
    ('pull = "100 kN"', "", ".surface.cases.overpull.pull", "missing; 'overpull' needs a force, for example '500 kN'"),
    ('pull = "100 kN"', "pull = 100", ".surface.cases.overpull.pull", "100 has no unit; need a force"),
    ('pull = "100 kN"', 'pull = "100 kg"', ".surface.cases.overpull.pull", "is in 'kg', did you mean 'kgf'?"),
    ('pull = "100 kN"', 'pull = "-1 kN"', ".surface.cases.overpull.pull", "'-1 kN' is not accepted; need zero or"),
    ('fluid = "mud"', 'fluid = "mdu"', ".surface.cases.pressure-test.fluid", "did you mean 'mud'?"),
    ('"pore pressure"', '"pore presure"', ".surface.cases.pressure-test.outside", "did you mean 'pore pressure'?"),
    (
        HALF,
        'case = "gas-to-surface"\ngas_gravity = nan',
        ".inner.cases.half-empty.gas_gravity",
        "nan",
    ),
]  # fmt: skip

ROWS = [*STRING, *SECTION, *CEMENTED, *CASE]


@pytest.mark.parametrize(("old", "new", "where", "words"), ROWS, ids=[f"{row[1]}-{row[2]}" for row in ROWS])
def test_one_mistake_is_one_problem(tmp_path: Path, old: str, new: str, where: str, words: str) -> None:
    found = problems(tmp_path, (old, new))
    assert list(found) == [f"strings{where}"]
    assert words in found[f"strings{where}"]


def test_a_misspelt_key_that_is_needed_is_told_twice(tmp_path: Path) -> None:
    found = problems(tmp_path, (CEMENT, CEMENT.replace("slurry =", "slury =")))
    assert found["strings.inner.cement[1].slury"] == "is not known; did you mean 'slurry'?"
    assert "missing; need the name of a fluid under [fluids]" in found["strings.inner.cement[1].slurry"]


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        ("strings = 3", "3 is not accepted; a well file needs at least one table [[strings]], in double brackets"),
        ("strings = []", "missing; a well file needs at least one table [[strings]]"),
        ("[strings]\nname = 'x'", "a table is not accepted; a well file needs at least one table [[strings]]"),
    ],
)
def test_strings_that_are_no_list(tmp_path: Path, raw: str, words: str) -> None:
    head = PLAIN[: PLAIN.index("[[strings]]")]
    file = tmp_path / "well.toml"
    file.write_text(f"{head}\n{raw}" if raw.startswith("[") else f"{raw}\n{head}", encoding="utf-8")
    with pytest.raises(cl.InputError) as caught:
        cl.read_well(file)
    assert str(caught.value).splitlines()[1:] == [f"  strings: {caught.value.problems[0].message}"]
    assert words in caught.value.problems[0].message


def test_a_string_that_is_no_table_hides_nothing_of_the_others(tmp_path: Path) -> None:
    head = PLAIN[: PLAIN.index("[[strings]]")]
    file = tmp_path / "well.toml"
    strings = "strings = [1, 'a', { name = 'x', sections = 2 }]\n"
    file.write_text(strings + head, encoding="utf-8")
    with pytest.raises(cl.InputError) as caught:
        cl.read_well(file)
    told = {problem.where: problem.message for problem in caught.value.problems}
    assert told["strings[1]"] == "1 is not accepted; need a table"
    assert told["strings[2]"] == "'a' is not accepted; need a table"
    assert set(told) == {"strings[1]", "strings[2]"} | {
        f"strings.x.{key}" for key in ("hole_size", "top", "shoe", "sections", "run_in")
    }


def test_a_depth_of_a_case_below_the_tables_of_the_earth(tmp_path: Path) -> None:
    found = problems(tmp_path, (HALF, HALF.replace("900 m", "9000 m")))
    told = "end at 3000.00 m, but strings.inner.cases.half-empty.level is 9000.00 m deep (true vertical)"
    assert found == {"earth.depth": f"{told}; need another row"}


def test_names_with_points_are_quoted_in_keys(tmp_path: Path) -> None:
    found = problems(tmp_path, (NAME, 'name = "no. 1"'), (PIPE, PIPE.replace("68", "67")))
    assert list(found) == ['strings."no. 1".sections[1].pipe']
