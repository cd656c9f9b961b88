"""What strings, holes and tables must be to each other: faults, and lines under Assumptions for what needs a choice."""

from __future__ import annotations

from pathlib import Path

import pytest

import casingloads as cl

PLAIN = (Path(__file__).parent / "wells" / "plain.toml").read_text(encoding="utf-8")
PIPE = 'pipe = "13-3/8 in 68 lb/ft L80", drift = "12-1/4 in"'
GROUND = 'wellhead = "ground"'

Change = tuple[str, str]


def read(tmp_path: Path, *changes: Change) -> cl.Well:
    text = PLAIN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    return cl.read_well(file)


def faults(tmp_path: Path, *changes: Change) -> dict[str, str]:
    with pytest.raises(cl.InputError) as caught:
        read(tmp_path, *changes)
    return {problem.where: problem.message for problem in caught.value.problems}


def about(well: cl.Well, *words: str) -> list[str]:
    return [line for line in well.assumptions if all(word in line for word in words)]


# --- pipe in pipe -------------------------------------------------------------------------------------------


def test_pipe_that_does_not_drift(tmp_path: Path) -> None:
    heavy = 'pipe = "10-3/4 in 55.5 lb/ft N80"'  # drift 9.604 in
    found = faults(tmp_path, (PIPE, heavy), ("17-1/2 in", "14-3/4 in"))
    words = "244.47 mm (9.625 in) does not drift inside '10-3/4 in 55.5 lb/ft N80' of 'surface'"
    told = f"{words}; need at most 243.94 mm (9.604 in)"
    assert found == {f"strings.inner.sections[{number}]": told for number in (1, 2)}


def test_a_section_need_not_pass_what_hangs_below_it(tmp_path: Path) -> None:
    """A tapered string: its wide upper part ends above the liner, only its slim lower part goes through."""
    tapered = """
[[strings]]
name = "tapered"
hole_size = "6 in"
top = "wellhead"
shoe = "2950 m"
run_in = "mud"
sections = [{ pipe = "5-1/2 in 20 lb/ft L80", to = "DEPTH" }, { pipe = "4-1/2 in 11.6 lb/ft L80", to = "shoe" }]
"""
    slim = PLAIN.replace("7 in 29 lb/ft L80", "5-1/2 in 20 lb/ft L80")  # the liner's drift is 4.653 in
    above = read(tmp_path, (PLAIN, slim + tapered.replace("DEPTH", "1700 m")))
    assert [section.bottom for section in above.strings[3].sections] == [1700.0, 2950.0]
    found = faults(tmp_path, (PLAIN, slim + tapered.replace("DEPTH", "1900 m")))
    assert list(found) == ["strings.tapered.sections[1]"]
    told = "139.70 mm (5.500 in) does not drift inside '5-1/2 in 20 lb/ft L80' of 'liner'"
    assert told in found["strings.tapered.sections[1]"]


def test_a_drift_given_in_full_lets_pipe_pass(tmp_path: Path) -> None:
    wide = ('{ pipe = "7 in 29 lb/ft L80"', '{ od = "8.45 in", wall = "0.4 in", yield = "80 ksi"')
    read(tmp_path, wide, ('hole_size = "8-1/2 in"', 'hole_size = "9 in"'))
    found = faults(tmp_path, wide, (', drift = "8-1/2 in"', ""))  # then 8.379 in, that of the catalog
    assert list(found) == ["strings.liner.sections[1]"]


def test_without_a_drift_the_bore_passes(tmp_path: Path) -> None:
    full = 'od = "10-3/4 in", wall = "0.56 in", yield = "80 ksi"'  # bore 9.63 in
    well = read(tmp_path, (PIPE, full))
    assert about(well, "strings.surface.sections[1]: drift left out")
    found = faults(tmp_path, (PIPE, full.replace("0.56", "0.57")))  # bore 9.61 in
    assert set(found) == {"strings.inner.sections[1]", "strings.inner.sections[2]"}


# --- order and depth ----------------------------------------------------------------------------------------


def test_strings_from_the_outermost_in(tmp_path: Path) -> None:
    head, surface, inner, liner = PLAIN.split("[[strings]]")
    text = "[[strings]]".join([head, inner, surface, liner])
    found = faults(tmp_path, (PLAIN, text))
    assert "1000.00 m is not below the shoe of 'inner' at 2000.00 m" in found["strings.surface.shoe"]
    assert "does not drift inside" in found["strings.surface.sections[1]"]


def test_a_liner_needs_a_string_to_hang_in(tmp_path: Path) -> None:
    head, *_, liner = PLAIN.split("[[strings]]")
    found = faults(tmp_path, (PLAIN, f"{head}[[strings]]{liner}"))
    assert list(found) == ["strings.liner.top"]
    assert "1800.00 m is a liner's, but no string stands before it to hang in" in found["strings.liner.top"]


def test_a_liner_hangs_at_the_shoe_at_the_deepest(tmp_path: Path) -> None:
    read(tmp_path, ('top = "1800 m"', 'top = "2000 m"'))
    assert list(faults(tmp_path, ('top = "1800 m"', 'top = "2000.1 m"'))) == ["strings.liner.top"]


# --- the ground ---------------------------------------------------------------------------------------------


def test_fracture_below_pore_pressure_is_told_row_by_row(tmp_path: Path) -> None:
    found = faults(tmp_path, ('["1.30 sg", "1.60 sg", "1.80 sg"]', '["0.99 sg", "1.05 sg", "1.09 sg"]'))
    assert list(found) == ["earth.fracture[1]", "earth.fracture[3]"]  # equal is accepted
    assert "at 3000.00 m: 32.07 MPa is below the pore pressure, 32.36 MPa" in found["earth.fracture[3]"]


def test_tables_reach_the_deepest_hole(tmp_path: Path) -> None:
    told = faults(tmp_path, ('"3000 m"]', '"2700 m"]'))["earth.depth"]
    assert told.startswith("end at 2700.00 m, but strings.")
    assert "is 2800.00 m deep (true vertical); need another row" in told
    read(tmp_path, ('"3000 m"]', '"2800 m"]'))


def test_depths_are_compared_vertically(tmp_path: Path) -> None:
    survey = 'survey = { md = ["0 m", "1000 m", "2000 m"], inclination = ["0 deg", "0 deg", "60 deg"], '
    survey += 'azimuth = ["0 deg", "0 deg", "0 deg"] }'
    well = read(tmp_path, (GROUND, f"{GROUND}\n{survey}"), ('"3000 m"]', '"2300 m"]'))
    assert float(well.path.tvd(2800.0)) < 2300.0


def test_a_path_that_climbs_is_deepest_before_its_end(tmp_path: Path) -> None:
    survey = (
        'survey = { md = ["0 m", "1000 m", "2000 m", "2800 m"], inclination = ["0 deg", "0 deg", "90 deg", "120 deg"], '
    )
    survey += 'azimuth = ["0 deg", "0 deg", "0 deg", "0 deg"] }'
    found = faults(tmp_path, (GROUND, f"{GROUND}\n{survey}"), ('"3000 m"]', '"1600 m"]'))
    assert "deep (true vertical)" in found["earth.depth"]  # 1636.6 m at md 2000 m, 1431.9 m at its end
    read(tmp_path, (GROUND, f"{GROUND}\n{survey}"), ('"3000 m"]', '"1637 m"]'))


def test_a_temperature_that_begins_below_the_ground_is_told(tmp_path: Path) -> None:
    well = read(tmp_path, ('depth = ["10 m"', 'depth = ["200 m"'))
    assert about(well, "earth.temperature: above 200.00 m, its first row, its value is held")
    assert not about(read(tmp_path), "is held")


# --- what needs a choice: told, not refused -----------------------------------------------------------------


def test_a_hole_larger_than_the_pipe_it_is_drilled_through(tmp_path: Path) -> None:
    well = read(tmp_path, ('size = "8-1/2 in"', 'size = "9 in"'))
    words = "the hole below 'inner', 228.60 mm (9.000 in), is larger than the 215.90 mm (8.500 in) that "
    assert about(well, f"{words}'9-5/8 in 53.5 lb/ft P110' of 'inner' passes")  # the tighter of its two sections
    assert about(well, "the hole below 'inner' is 228.60 mm (9.000 in), though that of 'liner' is 215.90 mm (8.500 in)")
    assert len(about(well, "is larger than")) == 1


def test_a_bit_that_passes_is_not_told(tmp_path: Path) -> None:
    assert not about(read(tmp_path), "is larger than")
    well = read(tmp_path, (', drift = "8-1/2 in"', ""))
    pipe = "the 212.83 mm (8.379 in) that '9-5/8 in 53.5 lb/ft P110' of 'inner' passes"
    how = "it is opened below the shoe, or the pipe has a special drift (give drift)"
    told = f"the hole of 'liner', 215.90 mm (8.500 in), is larger than {pipe}: {how}"
    assert about(well, "is larger than") == [told]


def test_the_last_hole_is_looked_at_too(tmp_path: Path) -> None:
    shoe = 'run_in = "mud"\ncement = [{ from = "shoe", to = "top"'
    well = read(tmp_path, (shoe, f'next_hole = {{ to = "2900 m", size = "6-1/4 in" }}\n{shoe}'))
    assert about(well, "the hole below 'liner', 158.75 mm (6.250 in), is larger than the 153.90 mm (6.059 in)")


def test_a_next_hole_shorter_than_the_next_string(tmp_path: Path) -> None:
    well = read(tmp_path, ('{ to = "2000 m"', '{ to = "1990 m"'))
    assert about(well, "the hole below 'surface' is taken to 1990.00 m, though 'inner' is set at 2000.00 m")
    assert not about(read(tmp_path, ('{ to = "2000 m"', '{ to = "2010 m"')), "is taken to")


def test_pipe_much_heavier_or_lighter_than_its_steel(tmp_path: Path) -> None:
    for weight, word in (("85 lb/ft", "heavier"), ("50 lb/ft", "lighter")):
        well = read(tmp_path, (PIPE, f'{PIPE}, weight = "{weight}"'))
        (line,) = about(well, "strings.surface.sections[1]: weight", f"{word} than its steel")
        assert "% " in line
        assert "used as given" in line
    assert not about(read(tmp_path, (PIPE, f'{PIPE}, weight = "72 lb/ft"')), "than its steel")


def test_fluids_out_of_the_usual(tmp_path: Path) -> None:
    well = read(tmp_path, ('mud = "1.20 sg"', 'mud = "1.20 kg/m3"'))
    assert about(well, "fluid 'mud' of 1 kg/m3 is used as given; usual are 500 kg/m3 to 2600 kg/m3")
    assert not about(read(tmp_path), "is used as given")


# --- landing, named temperatures ----------------------------------------------------------------------------


def test_a_landing_pull_needs_a_free_length_that_cement_holds(tmp_path: Path) -> None:
    shoe = 'shoe = "2000 m"\n'
    pull = f'{shoe}landing = "300 kN"\n'
    cement = 'cement = [{ from = "shoe", to = "1200 m", slurry = "slurry" }]\n'
    assert read(tmp_path, (shoe, pull)).string("inner").landing == 300e3
    assert faults(tmp_path, (shoe, pull), (cement, "")) == {
        "strings.inner.landing": "needs cement that holds the lower end against the pull"
    }
    full = cement.replace("1200 m", "top")
    (message,) = faults(tmp_path, (shoe, pull), (cement, full)).values()
    assert message.startswith("the string is cemented to its top")


def test_a_named_temperature_that_does_not_reach_is_told(tmp_path: Path) -> None:
    table = '[temperatures.warm]\ndepth = ["100 m", "900 m"]\ntemperature = ["40 degC", "70 degC"]\n[fluids]'
    well = read(tmp_path, ("[fluids]", table))
    assert about(well, "temperatures.warm", "above 100.00 m, its first row")
    assert about(well, "temperatures.warm", "below 900.00 m, its last row")


# --- tie-backs ----------------------------------------------------------------------------------------------

TIE_BACK = """
[[strings]]
name = "tie-back"
hole_size = "8.681 in"
top = "wellhead"
shoe = "1805 m"
run_in = "mud"
tie_back_to = "liner"
cement = [{ from = "shoe", to = "1400 m", slurry = "slurry" }]
sections = [{ pipe = "7 in 29 lb/ft L80", to = "shoe" }]
"""
LINER_END = 'sections = [{ pipe = "7 in 29 lb/ft L80", to = "shoe" }]\n'


def tied(*changes: Change) -> Change:
    text = TIE_BACK
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return LINER_END, LINER_END + text


def test_a_tie_back_stands_on_its_liner(tmp_path: Path) -> None:
    well = read(tmp_path, tied())
    assert well.string("tie-back").tie_back_to == "liner"
    asked = well.strings[-1]
    assert not about(well, "hole of 'tie-back'")
    found = cl.check(read(tmp_path, tied(("sections", "cases = { evacuation = {} }\nsections"))))
    rows = {row.mode: row for row in found.rows if row.string == asked.name}
    assert rows["collapse"].status == "meets"
    assert rows["collapse"].md == pytest.approx(1805.0)


@pytest.mark.parametrize(
    ("change", "key", "said"),
    [
        (('tie_back_to = "liner"', 'tie_back_to = "lining"'), "tie_back_to", "accepted: 'liner'"),
        (('tie_back_to = "liner"', 'tie_back_to = "inner"'), "tie_back_to", "is not a liner set before it"),
        (('shoe = "1805 m"', 'shoe = "1500 m"'), "shoe", "is not in 'liner', 1800.00 m to 2800.00 m"),
        (('top = "wellhead"', 'top = "300 m"'), "top", "is below the wellhead"),
        (("run_in", 'next_hole = { to = "2900 m" }\nrun_in'), "next_hole", "a tie-back has no hole of its own"),
    ],
)
def test_a_tie_back_that_is_none(tmp_path: Path, change: Change, key: str, said: str) -> None:
    found = faults(tmp_path, tied(change))
    assert said in found[f"strings.tie-back.{key}"]


def test_hole_lies_open_below_the_liner_that_is_tied_back(tmp_path: Path) -> None:
    well = read(tmp_path, tied())
    assert cl.Scene(well, "tie-back").hole_top == 2800.0
    assert cl.Scene(well, "inner").hole_top == 2000.0
