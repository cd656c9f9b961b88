"""Lists for the terminal: what the reader finds in them, and that they fit."""

import csv
import io
from importlib.resources import files
from pathlib import Path
from typing import Literal

import pytest

import casingloads as cl
from casingloads.case import LoadCase
from casingloads.catalog import Catalog, CatalogPipe, Grade
from casingloads.catalog.file import read_catalog, standard_catalog
from casingloads.cli import main
from casingloads.output.listing import WIDTH, case_text, catalog_csv, catalog_table
from casingloads.units import UnitSystem

SYSTEMS: tuple[UnitSystem, ...] = ("metric", "field")


def table(what: Literal["pipe", "grades"], system: UnitSystem = "field", **filters: str) -> list[str]:
    return catalog_table(standard_catalog().select(**filters), what, system).splitlines()


def rows_of(lines: list[str]) -> list[str]:
    """Return the lines of the rows, without those in which the words of one go on."""
    return [line for line in lines[3 : lines.index("")] if line[:8].strip()]


def records(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


# --- pipe and grades as a table ---


def test_pipe_in_field_units() -> None:
    lines = table("pipe", od="13-3/8 in")
    assert [line.split() for line in lines[:3]] == [
        ["alt.", "plain"],
        ["OD", "weight", "wall", "ID", "drift", "drift", "end", "grades", "list", "conf.", "source"],
        ["in", "lb/ft", "in", "in", "in", "in", "lb/ft"],
    ]
    row = "13.375 72.00 0.514 12.347 12.191 12.250 70.67 N80 R95 L80 C90 T95 P110 Q125 std low M1"  # value from memory
    assert row.split() in [line.split() for line in lines]


def test_pipe_in_metric_units() -> None:
    lines = table("pipe", "metric", od="20 in", weight="133 lb/ft")
    assert lines[2].split() == ["mm", "kg/m", "mm", "mm", "mm", "mm", "kg/m"]
    # 0.635, 18.730 and 18.542 in; 133 and 131.45 lb/ft (value from memory), converted by hand
    row = "508.00 197.93 16.13 475.74 470.97 195.62 J55 K55 std low M1"
    assert lines[3].split() == row.split()


def test_grades_in_field_units() -> None:
    lines = table("grades", grade="X56")
    assert lines[2].split() == ["psi", "psi", "psi", "psi", "HRC", "HBW", "%"]
    # API 5L as the copy S12 prints it, seen in secondary
    row = "X56 56600 79000 71100 110200 0.5 line pipe API 5L / ISO 3183 PSL2 medium S12"
    assert lines[3].split() == row.split()


def test_grades_in_metric_units() -> None:
    lines = table("grades", "metric", grade="L80-13Cr")
    assert lines[2].split() == ["MPa", "MPa", "MPa", "MPa", "HRC", "HBW", "%"]
    # 80 and 95 ksi, converted by hand; S9, S10 and S11, seen in secondary
    row = "L80-13Cr 551.6 655.0 655.0 23 241 0.5 2 API 5CT medium S9 S10 S11"
    assert lines[3].split() == row.split()


def test_numbers_stand_under_their_unit() -> None:
    lines = table("pipe", od="9-5/8 in")
    ends = [lines[2].index(unit, start) + len(unit) for unit, start in (("in", 0), ("lb/ft", 0))]
    for line in rows_of(lines):
        assert line[: ends[0]].strip() == "9.625"
        assert line[: ends[1]].split()[1] == f"{float(line.split()[1]):.2f}"
        assert line[ends[1]] == " "


@pytest.mark.parametrize("system", SYSTEMS)
def test_pipes_stand_in_order_of_size(system: UnitSystem) -> None:
    lines = table("pipe", system)
    keys = [tuple(float(cell) for cell in line.split()[:3]) for line in rows_of(lines)]
    assert len(keys) == len(standard_catalog().pipes)
    assert keys == sorted(keys)


@pytest.mark.parametrize("system", SYSTEMS)
def test_grades_stand_in_order_of_strength(system: UnitSystem) -> None:
    lines = table("grades", system)
    names = [line[:8].strip() for line in rows_of(lines)]
    assert sorted(names) == sorted(grade.name for grade in standard_catalog().grades)
    yields = [float(line[8:].split()[0]) for line in rows_of(lines)]
    assert yields == sorted(yields)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("what", ["pipe", "grades"])
def test_table_fits(what: Literal["pipe", "grades"], system: UnitSystem) -> None:
    catalog = standard_catalog()
    lines = table(what, system)
    assert max(map(len, lines)) <= WIDTH == 120
    assert all(line == line.rstrip() for line in lines)
    rows = len(catalog.pipes if what == "pipe" else catalog.grades)
    assert len(rows_of(lines)) == rows
    assert lines.index("") - 3 <= rows + 1, "hardly any shipped row needs a second line"


@pytest.mark.parametrize("what", ["pipe", "grades"])
def test_reader_is_told_what_confidence_and_source_mean(what: Literal["pipe", "grades"]) -> None:
    lines = table(what)
    closing = " ".join(lines[lines.index("") :])
    assert "low = from memory (keys M) or in doubt" in closing
    assert "sources.csv of casingloads.catalogs" in closing
    assert "--csv" in closing
    known = {row["key"] for row in records_of_sources()}
    assert known >= {word for line in lines[3 : lines.index("")] for word in line[100:].split() if word[1:].isdigit()}


def records_of_sources() -> list[dict[str, str]]:
    text = files("casingloads.catalogs").joinpath("sources.csv").read_text(encoding="utf-8")
    return records(text[text.index("key,") :])


OWN_PIPE = CatalogPipe(
    od=0.5, weight=100.0, wall=0.01, source="mill sheet", grades=tuple(f"V{n}-13Cr" for n in range(100, 130)),
    catalog="a file with a name that is long.csv", status="agreed with the mill in 2019",
)  # fmt: skip
OWN_GRADE = Grade(
    name="a very long name of a grade V150", yield_strength=1000e6, tensile_strength=1100e6, source="mill sheet",
    catalog="a file with a name that is long.csv", standard="an agreement with the mill that runs to many words",
    group="special, for sour service", confidence="high",
)  # fmt: skip
OWN = Catalog(pipes=(OWN_PIPE,), grades=(OWN_GRADE,), hashes={})


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("what", ["pipe", "grades"])
def test_long_words_go_on_in_the_next_line(what: Literal["pipe", "grades"], system: UnitSystem) -> None:
    text = catalog_table(standard_catalog().joined(OWN), what, system)
    assert max(map(len, text.splitlines())) <= WIDTH
    own = text.splitlines()[3:20]
    if what == "pipe":
        words = [word for line in own for word in line.split()]
        assert [word for word in words if word.endswith("-13Cr")] == list(OWN_PIPE.grades)
        assert own[0].split()[0] == {"metric": "500.00", "field": "19.685"}[system], "the user's own come first"
        assert " -  " in own[0], "confidence is not stated"
    else:
        assert [line[:12].strip() for line in own[:3]] == ["a very long", "name of a", "grade V150"]


def test_own_rows_are_told_by_their_file(tmp_path: Path) -> None:
    path = tmp_path / "own.csv"
    path.write_text("od_in,weight_lbft,wall_in,source\n9.625,50,0.5,mill sheet\n", encoding="utf-8")
    lines = catalog_table(read_catalog(path), "pipe", "field").splitlines()
    assert lines[3].split() == ["9.625", "50.00", "0.500", "8.625", "user", "-", "own.csv"]


@pytest.mark.parametrize("what", ["pipe", "grades"])
def test_nothing_found_is_said(what: Literal["pipe", "grades"]) -> None:
    assert table(what, text="no such text") == ["no row meets these filters"]


# --- pipe and grades as CSV ---


@pytest.mark.parametrize("system", SYSTEMS)
def test_csv_holds_the_words_in_full(system: UnitSystem) -> None:
    catalog = standard_catalog()
    for what, rows in (("pipe", catalog.pipes), ("grades", catalog.grades)):
        found = records(catalog_csv(catalog, "pipe" if what == "pipe" else "grades", system))
        assert len(found) == len(rows)
        for record, row in zip(found, rows, strict=True):
            for name in ("source", "provenance", "confidence", "notes", "catalog"):
                assert record[name] == getattr(row, name)
            if isinstance(row, CatalogPipe):
                for name in ("grades_provenance", "alternate_drift_provenance"):
                    assert record[name] == getattr(row, name)


def test_csv_explains_the_source() -> None:
    (record,) = records(catalog_csv(standard_catalog().select(od="10-3/4 in", weight="45.5 lb/ft"), "pipe", "field"))
    words = {row["key"]: row["text"] for row in records_of_sources()}
    assert record["source"] == f"S5: {words['S5']}; S6: {words['S6']}"
    assert (record["od_in"], record["wall_in"], record["grades"]) == ("10.75", "0.4", "J55;K55")


# --- on the command line ---


def test_commands(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(["catalog", "pipe", "--od", "13-3/8 in"]) == 0
    assert capsys.readouterr().out.splitlines() == table("pipe", od="13-3/8 in")
    assert main(["catalog", "grades", "--units", "metric"]) == 0
    assert capsys.readouterr().out.splitlines() == table("grades", "metric")
    path = tmp_path / "own.csv"
    path.write_text("od_in,weight_lbft,wall_in,source\n9.625,50,0.5,mill sheet 7\n", encoding="utf-8")
    assert main(["catalog", "pipe", "--od", "9-5/8 in", "--file", str(path), "--csv"]) == 0
    found = records(capsys.readouterr().out)
    assert [(row["source"], row["provenance"]) for row in found][:2] == [
        ("mill sheet 7", "user catalog"),
        (standard_catalog().find("9-5/8 in 32.3 lb/ft").pipe.source, "seen-in-secondary"),
    ]


# --- load cases ---


@cl.load_case(phase="drilling", source="site instruction 7, rev B", assumptions=["nothing leaks"])
def filled(
    scene: cl.Scene,
    *,
    level: cl.MeasuredDepth,
    mud: cl.FluidName | None = None,
    margin: cl.Pressure = "2 MPa",
    outside: Literal["as run", "pore pressure"] = "as run",
) -> cl.Load:
    """Filled to a level.

    Parameters
    ----------
    scene : Scene
        The string and its well.
    level : depth
        Of the fluid.
    mud : str, optional
        What it is.
    margin : pressure
        On top.
    outside : str
        What stands behind the pipe.
    """
    raise NotImplementedError


def test_case_as_text() -> None:
    assert isinstance(filled, LoadCase)
    lines = case_text(filled).splitlines()
    assert lines[0] == "filled  (drilling, for one string)"
    assert lines[1] == "  Filled to a level."
    assert lines[2].startswith("    level: measured depth")
    assert lines[2].endswith("; required. Of the fluid.")
    assert "; optional. What it is." in lines[3]
    assert lines[4].startswith("    margin: pressure")
    assert "; default '2 MPa'. On top." in lines[4]
    assert lines[5] == "    outside: 'as run' or 'pore pressure'; default 'as run'. What stands behind the pipe."
    assert lines[6:] == ["  assumes: nothing leaks", "  source: site instruction 7, rev B"]


def test_every_case_as_text_fits_and_tells_all_its_parameters() -> None:
    cases = cl.load_plugins().cases
    assert cases
    for case in cases.values():
        text = case_text(case)
        assert max(map(len, text.splitlines())) <= 100
        words = " ".join(text.split())
        for parameter in case.parameters:
            assert f"{parameter.name}: {parameter.kind.describe()}; " in words
        for said in (*case.assumptions, case.source):
            assert " ".join(said.split()) in words


def test_case_for_several_strings_says_so() -> None:
    @cl.load_case(phase="other", source="a textbook", scope="well")
    def both(scene: cl.Scene) -> cl.Load:
        """Two strings at once."""
        raise NotImplementedError

    assert case_text(both).splitlines()[0] == "both  (other, for several strings)"
