"""The pipe and grade that a designation names, what is noted of them, and catalogs joined and filtered."""

import hashlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casingloads.catalog import Catalog, CatalogError, CatalogPipe, Grade
from casingloads.catalog.file import read_catalog, standard_catalog
from casingloads.catalog.rows import CONFIDENCE, POUND_PER_FOOT
from casingloads.catalog.words import grade_notes, pipe_notes
from casingloads.constants import INCH
from casingloads.errors import CasingloadsError

KSI = 6894757.293168361  # [Pa]
PIPE_HEADER = "od_in,weight_lbft,wall_in,grades,source\n"
PIPE_ROW = "9.625,47,0.480,N80;P110,mill sheet 12\n"
GRADE_HEADER = "grade,min_yield_ksi,min_tensile_ksi,source\n"


def write(folder: Path, text: str, name: str = "own.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


# --- designations ---


@pytest.mark.parametrize(
    ("text", "label", "grade"),
    [
        ("9-5/8 in 47 lb/ft N80", "9-5/8 in 47 lb/ft", "N80"),
        ("9 5/8 in 47lb/ft n80q", "9-5/8 in 47 lb/ft", "N80Q"),
        ("20 in 133 lb/ft X56", "20 in 133 lb/ft", "X56"),
        ("13.375 in 72 lb/ft", "13-3/8 in 72 lb/ft", None),
        ("20 in 0.635 in wall X56", "20 in 133 lb/ft", "X56"),
        ("244.5 mm 11.99 mm wall L80", "9-5/8 in 47 lb/ft", "L80"),
        ("  0.2445 m   69.94 kg/m  L80-13Cr ", "9-5/8 in 47 lb/ft", "L80-13Cr"),
        ("7 in 29 lb/ft 0.408 in wall P110", "7 in 29 lb/ft", "P110"),
        ("30 in 310.01 lb/ft B", "30 in 310.01 lb/ft", "B PSL2"),
    ],
)
def test_designation(text: str, label: str, grade: str | None) -> None:
    found = standard_catalog().find(text)
    assert found.pipe.label == label
    assert (found.grade.name if found.grade else None) == grade


@given(
    st.sampled_from(standard_catalog().pipes),
    st.floats(-0.12, 0.12),
    st.floats(-0.009, 0.009),
    st.floats(-0.09, 0.09),
)
def test_a_pipe_is_found_within_the_tolerances(pipe: CatalogPipe, d_od: float, d_weight: float, d_wall: float) -> None:
    catalog = standard_catalog()
    od = f"{pipe.od * 1e3 + d_od:.6f} mm"
    weight = f"{pipe.weight / POUND_PER_FOOT + d_weight:.6f} lb/ft"
    wall = f"{pipe.wall * 1e3 + d_wall:.6f} mm wall"
    assert catalog.find(f"{od} {weight}").pipe is pipe
    assert catalog.find(f"{od} {wall}").pipe is pipe
    assert catalog.find(f"{od} {weight} {wall}").pipe is pipe


@pytest.mark.parametrize("pipe", standard_catalog().pipes, ids=lambda pipe: pipe.label)
def test_label_names_its_own_pipe(pipe: CatalogPipe) -> None:
    assert standard_catalog().find(pipe.label).pipe is pipe


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("9-5/8 in", r"weight or wall is missing; in the catalog: 32\.3 lb/ft \(0\.312 in"),
        (
            "9-5/8 in 48 lb/ft N80",
            r"no such pipe; nearest of 9-5/8 in: .*47 lb/ft \(0\.472 in = 11\.99 mm wall\)",
        ),
        ("9-5/8 in 47.02 lb/ft", "no such pipe"),
        ("9-5/8 in 12.2 mm wall", r"nearest of 9-5/8 in: 40 .*43\.5 lb/ft .*47 lb/ft"),
        ("9-5/8 in 47 lb/ft 0.545 in wall", "no such pipe"),
        ("23 in 100 lb/ft", r"no pipe of 23 in \(584\.20 mm\); nearest diameters: .*22 in, 24 in"),
        ("9-5/8 in 47 lb/ft N08", "grade 'N08' is not in the catalog; did you mean 'N80'"),
        ("9-5/8 in 47 lb/ft N80 BTC", "grade 'N80 BTC' is not in the catalog; did you mean 'N80'"),
        ("9-5/8 in 47 lb/ft 80", "no pipe designation"),
        ("244,5 mm 11,99 mm wall L80", "write a decimal point, not a comma"),
        ("9-5/8 47 lb/ft N80", "no pipe designation; write it like '9-5/8 in 47 lb/ft N80'"),
        ("20 in 133 m/s X56", "need a mass per length"),
        ("20 kg 133 lb/ft X56", "need a length"),
        ("9-5/0 in 47 lb/ft", "divides by zero"),
        ("", "no pipe designation"),
    ],
)
def test_designation_refused(text: str, message: str) -> None:
    with pytest.raises(CatalogError, match=message) as caught:
        standard_catalog().find(text)
    assert repr(text) in str(caught.value)
    assert isinstance(caught.value, ValueError)
    assert isinstance(caught.value, CasingloadsError)


def test_several_pipes_of_one_wall(tmp_path: Path) -> None:
    own = read_catalog(write(tmp_path, PIPE_HEADER + "9.625,46.5,0.472,,mill sheet 12\n"))
    catalog = standard_catalog().joined(own)
    with pytest.raises(CatalogError, match=r"several pipes fit.*46\.5 lb/ft .*own\.csv.*47 lb/ft .*casing_sizes\.csv"):
        catalog.find("9-5/8 in 0.472 in wall")
    assert catalog.find("9-5/8 in 46.5 lb/ft 0.472 in wall").pipe.catalog == "own.csv"


# --- notes ---


def notes(text: str) -> tuple[str, ...]:
    return standard_catalog().find(text).notes


def test_nothing_to_note() -> None:
    assert notes("9-5/8 in 47 lb/ft P110") == ()
    assert notes("9-5/8 in 47 lb/ft N80Q") == (), "a type of a listed grade is listed"
    assert notes("9-5/8 in 47 lb/ft") == ()


def test_family_of_a_grade_is_told() -> None:
    assert notes("9-5/8 in 47 lb/ft L80") == (
        "grade L80 (551.6 MPa yield, 655.0 MPa tensile strength; grades.csv) "
        "read as any of its types L80-1, L80-13Cr, L80-9Cr, which share these strengths",
    )
    shared, _ = standard_catalog().grade("L80")
    assert shared.yield_strength == pytest.approx(80 * KSI)
    assert shared.process == "seamless or EW | seamless"
    assert shared.max_hardness_hrc == 23.0


def test_grade_outside_the_list_is_told() -> None:
    told = "X56 is not in the standard list for 20 in 133 lb/ft (listed, from memory: J55, K55)"
    assert told in notes("20 in 133 lb/ft X56")
    told = "H40 is not in the standard list for 4-1/2 in 10.5 lb/ft (listed: J55, K55)"
    assert notes("4-1/2 in 10.5 lb/ft H40") == (told,)
    where = "B PSL2 is not in the list of casing_sizes_common_practice.csv for 30 in 310.01 lb/ft (listed: X42,"
    assert notes("30 in 310.01 lb/ft B")[1].startswith(where)
    assert len(notes("9-7/8 in 62.8 lb/ft P110")) == 1, "no list, nothing to tell"


def test_all_that_is_to_know_of_a_pipe_stands_in_one_line() -> None:
    assert notes("13-3/8 in 72 lb/ft") == (
        "13-3/8 in 72 lb/ft: values from memory, confidence low "
        "(casing_sizes.csv, M1: recalled table of API 5CT / ISO 11960 casing list)",
    )
    assert notes("9-7/8 in 62.8 lb/ft P110") == (
        "9-7/8 in 62.8 lb/ft: common practice, not in the standard's casing list; values from memory, confidence low "
        "(casing_sizes_common_practice.csv, M2: recalled oilfield practice); "
        "drift computed from the standard's rule, not read from a sheet",
    )


def test_all_that_is_to_know_of_a_grade_stands_in_one_line() -> None:
    assert notes("30 in 310.01 lb/ft B")[2:] == (
        "'B' read as grade B PSL2 (244.8 MPa yield, 415.1 MPa tensile strength; grades.csv): "
        "psi as printed (converted from MPa); older editions round to whole ksi",
    )
    assert notes("9-5/8 in 47 lb/ft C90") == (), "no word of a misprint that other sources settle"


def test_a_doubt_is_told_with_its_reason() -> None:
    (note,) = notes("5 in 23.2 lb/ft Q125")
    assert note.startswith("5 in 23.2 lb/ft: confidence low (casing_sizes.csv, S3: ")
    assert "DOUBTFUL grades: S3 lists C90/T95 only; L80" in note


# What the shipped rows remark, clause by clause. A new remark must be put into one of the two.
TOLD = {
    "psi as printed (converted from MPa)",
    "older editions round to whole ksi",
    "S5 prints wall 0.452 but its own ID 7.725 and plain-end 39.33 fit 0.450",
    "16 x 0.375 wall, ID 15.250 seen in S13 as steel pipe",
    "S6 shows the size and weight, excerpt cut before the wall",
    "drift computed from the standard's rule, not read from a sheet",
    "line-pipe size: nominal weight taken equal to the calculated plain-end weight",
    "weight as printed (10.68 factor)",
    # why confidence is low
    "DOUBTFUL grades: S3 lists C90/T95 only",
    "L80,R95,N80,P110,Q125 are from memory of later editions",
    "ID 8.535 read in S16, OD inferred from the bit size there",
    "wall follows from the ID",
}
LEFT_OUT = {
    # misprints that another source settles
    "S10 prints max yield 110 ksi beside 724 MPa: misprint, 724 MPa = 105 ksi (S9, S11)",
    "S3 prints wall 9.56 mm beside 0.337 in: misprint for 8.56 mm (S4 has 8.56)",
    # said by another note
    "the label 65 and casing status from memory",
    "9-7/8 in is not a size of the standard's casing list",
    # no number of the row that a check uses
    "HRC 30 / HBW 286 as printed in S9",
    "yield 758-828 MPa",
    "no hardness limit, only maximum variation by wall",
    "yield/tensile ratio max 0.93",
    "heat-treatment wording from memory",
    "process and heat treatment from memory",
    "absent from the 10th edition scope (value from memory)",
    "replaced C95",
    "withdrawn",
    "replaced by R95 (edition of withdrawal from memory)",
    "Q125 from memory",
    "other grades seen in S3",
    "alternate_drift is the special drift in common use",
    "heavy wall, plain end, C90/T95 only",
    "plain end, C90/T95 only",
    "plain end only",
    "line-pipe size, API 5L grades",
    # what the size is used for
    "conductor / structural pipe",
    "deepwater liner",
    "drilling liner (10-5/8 in bit)",
    "drilling liner, intermediate",
    "intermediate",
    "intermediate (12-1/4 in bit)",
    "intermediate, deepwater (12-1/4 in bit)",
    "intermediate, heavy",
    "production casing",
    "production casing or tie-back (8-1/2 in bit)",
    "surface",
    "surface / liner",
    "surface, high-pressure housing string",
}


def test_every_shipped_remark_is_told_or_left_out_on_purpose() -> None:
    catalog, seen = standard_catalog(), set()
    told = [(pipe.notes, pipe_notes(pipe, None)) for pipe in catalog.pipes]
    told += [(grade.notes, grade_notes(grade, grade.name)) for grade in catalog.grades]
    for remark, notes in told:
        parts = "".join(notes).split("; ")
        for clause in filter(None, remark.split("; ")):
            seen.add(clause)
            assert any(part.endswith(clause) for part in parts) == (clause in TOLD), (clause, notes)
    assert seen == TOLD | LEFT_OUT


def test_a_users_own_remark_is_told(tmp_path: Path) -> None:
    header = PIPE_HEADER.replace("grades", "notes")
    own = read_catalog(write(tmp_path, header + "9.625,47,0.472,used in 2019; Wand nachgemessen,mill\n"))
    assert own.find("9-5/8 in 47 lb/ft").notes == (
        "9-5/8 in 47 lb/ft: confidence not stated (own.csv, mill); used in 2019; Wand nachgemessen",
    )


def test_memory_is_told_whatever_the_confidence(tmp_path: Path) -> None:
    header = "od_in,weight_lbft,wall_in,provenance,confidence,source\n"
    own = read_catalog(write(tmp_path, header + "9.625,47,0.472,from-memory,high,our driller\n"))
    (note,) = own.find("9-5/8 in 47 lb/ft").notes
    assert note == "9-5/8 in 47 lb/ft: values from memory, confidence high (own.csv, our driller)"


# Density over that of steel: titanium 4430 kg/m3 (grade 5), aluminium 2780 kg/m3 (2024); handbook values, from
# memory. pi (D - t) t for 9-5/8 in x 0.545 in is 0.0100300 m2, worked by hand.
@pytest.mark.parametrize(
    ("weight", "percent"),
    [(0.01003 * 4430, "56 %"), (0.01003 * 2780, "35 %"), (0.01003 * 7850 * 1.488, "149 %")],
    ids=["titanium", "aluminium", "kg/m taken for lb/ft"],
)
def test_weight_that_is_not_of_steel_is_told(tmp_path: Path, weight: float, percent: str) -> None:
    text = f"od_in,weight_kgm,wall_in,confidence,source\n9.625,{weight},0.545,high,mill\n"
    catalog = standard_catalog().joined(read_catalog(write(tmp_path, text)))
    found = catalog.find(f"9-5/8 in {weight} kg/m")
    assert found.pipe.weight == weight
    assert found.pipe.plain_end_weight is None
    told = f": weight is {percent} of that of a steel tube of this size: check the unit"
    assert found.notes == (found.pipe.label + told,)


def test_grade_types_that_differ_in_strength(tmp_path: Path) -> None:
    own = read_catalog(write(tmp_path, GRADE_HEADER + "V80-1,80,95,vendor\nV80-2,82,95,vendor\n"))
    with pytest.raises(CatalogError, match="differ in strength; name one of V80-1, V80-2"):
        own.grade("V80")


# --- catalogs joined ---


def test_user_pipes_shadow_and_it_is_told(tmp_path: Path) -> None:
    own = read_catalog(write(tmp_path, PIPE_HEADER + PIPE_ROW + "11,60,0.5,,mill sheet 13\n"))
    catalog = standard_catalog().joined(own)
    (note,) = catalog.notes
    assert note == (
        "9-5/8 in 47 lb/ft (0.480 in = 12.19 mm wall; own.csv) stands in place of "
        "9-5/8 in 47 lb/ft (0.472 in = 11.99 mm wall; casing_sizes.csv)"
    )
    assert catalog.pipes[:2] == own.pipes
    assert len(catalog.pipes) == 151
    found = catalog.find("9-5/8 in 47 lb/ft N80")
    assert found.pipe.wall == pytest.approx(0.480 * INCH)
    assert found.notes[0] == "9-5/8 in 47 lb/ft: confidence not stated (own.csv, mill sheet 12)"
    assert catalog.hashes["own.csv"] == hashlib.sha256((tmp_path / "own.csv").read_bytes()).hexdigest()
    assert set(standard_catalog().hashes) < set(catalog.hashes)


def test_user_grades_shadow_and_it_is_told(tmp_path: Path) -> None:
    text = GRADE_HEADER + "x56,56,71,mill\nN80,80,98,mill\nV140,140,150,mill\n"
    catalog = standard_catalog().joined(read_catalog(write(tmp_path, text)))
    assert len(catalog.notes) == 2
    assert catalog.notes[0].startswith("grade x56 (386.1 MPa yield")
    assert "stands in place of grade X56 (390.2 MPa yield" in catalog.notes[0]
    assert catalog.notes[1].endswith("is meant by N80, not N80-1 or N80Q")
    assert catalog.grade("N80")[0].tensile_strength == pytest.approx(98 * KSI)
    assert catalog.grade("V140")[0].catalog == "own.csv"


def test_a_file_needs_a_name_of_its_own(tmp_path: Path) -> None:
    own = read_catalog(write(tmp_path, PIPE_HEADER + PIPE_ROW, name="casing_sizes.csv"))
    with pytest.raises(CatalogError, match="give the file a name of its own"):
        standard_catalog().joined(own)
    assert own.joined(own) == own


# --- catalogs filtered ---


def test_select() -> None:
    catalog = standard_catalog()
    chosen = catalog.select(od="9-5/8 in", grade="P110")
    assert [round(pipe.weight / POUND_PER_FOOT, 1) for pipe in chosen.pipes] == [43.5, 47.0, 53.5, 58.4]
    assert [grade.name for grade in chosen.grades] == ["P110"]
    assert chosen.pipes == catalog.select(od=0.244475, grade="P110").pipes
    assert [pipe.label for pipe in catalog.select(weight="133 lb/ft").pipes] == ["20 in 133 lb/ft"]
    assert {grade.name for grade in catalog.select(grade="N80").grades} == {"N80-1", "N80Q"}
    assert catalog.select(grade="N80Q").pipes == catalog.select(grade="N80").pipes
    assert all(pipe.status == "common practice" for pipe in catalog.select(text="Deepwater").pipes)
    assert len(catalog.select(text="Deepwater").pipes) == 3
    assert catalog.select() == catalog
    assert catalog.select(od="1 in").pipes == ()
    assert catalog.select(od="1 in").hashes == catalog.hashes


# --- rows cannot be wrong ---


def test_objects_refuse_what_cannot_be() -> None:
    with pytest.raises(ValueError, match="source is empty"):
        Grade(name="V80", yield_strength=550e6, tensile_strength=650e6, source=" ")
    with pytest.raises(ValueError, match="alternate_drift"):
        CatalogPipe(od=0.2445, weight=70.0, wall=0.012, plain_end_weight=68.7, alternate_drift=0.23, source="mill")
    with pytest.raises(ValueError, match=r"weight 0\.00 kg/m: need a weight above 0"):
        CatalogPipe(od=0.2445, weight=0.0, wall=0.012, source="mill")
    with pytest.raises(ValueError, match="plain_end_weight inf kg/m: need a weight above 0"):
        CatalogPipe(od=0.2445, weight=70.0, wall=0.012, plain_end_weight=float("inf"), source="mill")
    with pytest.raises(CatalogError, match="weight or wall is missing"):
        standard_catalog().pipe(0.244475)
    with pytest.raises(CatalogError, match="od nan m: need a diameter above 0"):
        standard_catalog().pipe(float("nan"), weight=70.0)
    with pytest.raises(CatalogError, match="no pipe of"):
        Catalog(hashes={}).pipe(0.244475, weight=70.0)


def test_confidence_words_run_from_least_to_most() -> None:
    assert CONFIDENCE == ("low", "not stated", "medium", "high")
