"""Reading of catalogs, and the pipe and grade that a designation names."""

import csv
import hashlib
import io
import time
from importlib.resources import files
from pathlib import Path

import pytest
from casingloads.catalog import (
    CONFIDENCE,
    INCH,
    POUND_PER_FOOT,
    Catalog,
    CatalogError,
    CatalogPipe,
    Grade,
    catalog_frames,
    read_catalog,
    standard_catalog,
)
from casingloads.errors import CasingloadsError
from casingloads.units import LINEAR_MASS, UnitSystem, to_si
from hypothesis import given
from hypothesis import strategies as st

PIPE_FILES = ("casing_sizes.csv", "casing_sizes_common_practice.csv")
KSI = 6894757.293168361  # [Pa]
PIPE_HEADER = "od_in,weight_lbft,wall_in,grades,source\n"
PIPE_ROW = "9.625,47,0.480,N80;P110,mill sheet 12\n"
GRADE_HEADER = "grade,min_yield_ksi,min_tensile_ksi,source\n"


def raw_rows(name: str) -> list[dict[str, str]]:
    text = files("casingloads.catalogs").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in io.StringIO(text) if not line.startswith("#")))


def write(folder: Path, text: str, name: str = "own.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


# --- the shipped files ---


@pytest.mark.parametrize("name", PIPE_FILES)
def test_pipe_rows_are_sorted_and_unique(name: str) -> None:
    keys = [tuple(float(row[key]) for key in ("od_in", "weight_lbft", "wall_in")) for row in raw_rows(name)]
    assert keys == sorted(set(keys))


def test_no_size_stands_in_both_files() -> None:
    sizes = [(row["od_in"], float(row["weight_lbft"])) for name in PIPE_FILES for row in raw_rows(name)]
    assert len(sizes) == len(set(sizes)) == 150
    assert standard_catalog().notes == ()


def test_grades_and_sources_are_sorted_and_unique() -> None:
    grades = [
        (float(row["min_yield_psi"]), float(row["min_tensile_psi"]), row["grade"])
        for row in raw_rows("grades.csv")
    ]
    assert grades == sorted(grades)
    assert len({name for _, _, name in grades}) == len(grades)
    keys = [(row["key"][0], int(row["key"][1:])) for row in raw_rows("sources.csv")]
    assert keys == sorted(set(keys))


@pytest.mark.parametrize("name", [*PIPE_FILES, "grades.csv"])
def test_every_row_leads_to_its_source(name: str) -> None:
    sources = {row["key"]: row["text"] for row in raw_rows("sources.csv")}
    for row in raw_rows(name):
        assert row["provenance"] in {"seen-at-source", "seen-in-secondary", "from-memory"}
        assert all(sources[key] for key in row["source"].split(";"))
        memory = {key[0] for key in row["source"].split(";")} == {"M"}
        assert memory == (row["provenance"] == "from-memory")
        assert row["confidence"] in ({"low"} if memory else {"low", "medium"})
        assert row["confidence"] == "medium" or memory or row["notes"], "a doubt needs its reason"


@pytest.mark.parametrize("name", PIPE_FILES)
def test_lists_that_a_pipe_row_holds_have_a_provenance(name: str) -> None:
    for row in raw_rows(name):
        assert bool(row["grades"]) == bool(row["grades_provenance"])
        if row["alternate_drift_in"]:
            assert row["alternate_drift_provenance"] or row["provenance"] == "from-memory"


def test_every_source_is_used() -> None:
    used = {
        key
        for name in (*PIPE_FILES, "grades.csv")
        for row in raw_rows(name)
        for key in row["source"].split(";")
    }
    assert used == {row["key"] for row in raw_rows("sources.csv")}


def test_every_listed_grade_is_in_the_grade_list() -> None:
    catalog = standard_catalog()
    for name in {name for pipe in catalog.pipes for name in pipe.grades}:
        assert catalog.grade(name)[0].name == name


def test_rows_tell_their_source_in_words() -> None:
    pipe = standard_catalog().find("9-5/8 in 47 lb/ft").pipe
    assert pipe.source.startswith("S5: one-page sheet: ERW casing pipes")
    assert (pipe.catalog, pipe.status, pipe.confidence) == ("casing_sizes.csv", "standard", "medium")


def test_hashes_are_those_of_the_files() -> None:
    folder = files("casingloads.catalogs")
    names = [*PIPE_FILES, "grades.csv", "sources.csv"]
    assert standard_catalog().hashes == {
        name: hashlib.sha256(folder.joinpath(name).read_bytes()).hexdigest() for name in names
    }


def test_reading_is_quick() -> None:
    def seconds() -> float:
        start = time.perf_counter()
        standard_catalog.__wrapped__()
        return time.perf_counter() - start

    to_si("1 lb/ft", LINEAR_MASS)  # reading the units is not part of it
    assert min(seconds() for _ in range(5)) < 0.020
    assert standard_catalog() is standard_catalog()


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
def test_a_pipe_is_found_within_the_tolerances(
    pipe: CatalogPipe, d_od: float, d_weight: float, d_wall: float
) -> None:
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
    with pytest.raises(
        CatalogError, match=r"several pipes fit.*46\.5 lb/ft .*own\.csv.*47 lb/ft .*casing_sizes\.csv"
    ):
        catalog.find("9-5/8 in 0.472 in wall")
    assert catalog.find("9-5/8 in 46.5 lb/ft 0.472 in wall").pipe.catalog == "own.csv"


# --- notes ---


def notes(text: str) -> str:
    return "\n".join(standard_catalog().find(text).notes)


def test_nothing_to_note() -> None:
    assert notes("9-5/8 in 47 lb/ft P110") == ""


def test_family_of_a_grade_is_told() -> None:
    assert "read as any of its types L80-1, L80-13Cr, L80-9Cr" in notes("9-5/8 in 47 lb/ft L80")
    assert "grade 'B' read as B PSL2" in notes("30 in 310.01 lb/ft B")
    shared, _ = standard_catalog().grade("L80")
    assert shared.yield_strength == pytest.approx(80 * KSI)
    assert shared.process == "seamless or EW | seamless"
    assert shared.max_hardness_hrc == 23.0


def test_grade_outside_the_list_is_told() -> None:
    assert "X56 is not in the standard list for 20 in 133 lb/ft (listed: J55, K55)" in notes(
        "20 in 133 lb/ft X56"
    )
    assert "not in the standard list" not in notes("9-5/8 in 47 lb/ft N80Q"), (
        "a type of a listed grade is listed"
    )
    assert "B PSL2 is not in the list of casing_sizes_common_practice.csv" in notes("30 in 310.01 lb/ft B")
    assert "list" not in notes("9-7/8 in 62.8 lb/ft P110").replace("casing list", ""), (
        "no list, nothing to tell"
    )


def test_weak_rows_are_told() -> None:
    assert "13-3/8 in 72 lb/ft: confidence in the values is low (casing_sizes.csv: from-memory" in notes(
        "13-3/8 in 72 lb/ft"
    )
    assert "DOUBTFUL grades" in notes("5 in 23.2 lb/ft")
    assert "9-7/8 in 62.8 lb/ft is common practice, not in the standard's casing list" in notes(
        "9-7/8 in 62.8 lb/ft"
    )
    assert "older editions round to whole ksi" in notes("20 in 133 lb/ft X56")


def test_grade_types_that_differ_in_strength(tmp_path: Path) -> None:
    own = read_catalog(write(tmp_path, GRADE_HEADER + "V80-1,80,95,vendor\nV80-2,82,95,vendor\n"))
    with pytest.raises(CatalogError, match="differ in strength; name one of V80-1, V80-2"):
        own.grade("V80")


# --- a user's files ---


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
    assert "confidence in the values is not stated (own.csv: user catalog, mill sheet 12)" in found.notes[0]
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


@pytest.mark.parametrize(
    "columns",
    [
        "od_in,weight_lbft,wall_in",
        "od_mm,weight_kgm,wall_mm",
        "od_m,weight_kgm,wall_m",
        "od_in,weight_kgm,wall_mm",
    ],
)
def test_units_of_pipe_columns(tmp_path: Path, columns: str) -> None:
    factor = {"in": 0.0254, "mm": 1e-3, "m": 1.0, "lbft": 0.45359237 / 0.3048, "kgm": 1.0}
    si = {"od": 0.244475, "weight": 69.943706, "wall": 0.0119888}
    cells = [str(si[c.rsplit("_", 1)[0]] / factor[c.rsplit("_", 1)[1]]) for c in columns.split(",")]
    (pipe,) = read_catalog(write(tmp_path, f"{columns},source\n{','.join(cells)},mill\n")).pipes
    assert (pipe.od, pipe.weight, pipe.wall) == pytest.approx((si["od"], si["weight"], si["wall"]), rel=1e-9)


@pytest.mark.parametrize(("unit", "value"), [("psi", "80000"), ("ksi", "80"), ("MPa", "551.5805834534689")])
def test_units_of_grade_columns(tmp_path: Path, unit: str, value: str) -> None:
    header = f"grade,min_yield_{unit},min_tensile_{unit},elongation_under_load_pct,source"
    text = f"{header}\nV80,{value},{value},0.5,mill\n"
    (grade,) = read_catalog(write(tmp_path, text)).grades
    assert grade.yield_strength == pytest.approx(551.5805834534689e6, rel=1e-12)
    assert grade.elongation_under_load == pytest.approx(0.005)


def test_marks_comments_and_blank_lines_are_borne(tmp_path: Path) -> None:
    lines = [
        "\ufeff# our sizes",
        "",
        '"# as saved, by a spreadsheet",,,,',
        PIPE_HEADER.strip(),
        ",,,,",
        PIPE_ROW.strip(),
    ]
    own = read_catalog(write(tmp_path, "\r\n".join(lines) + "\r\n"))
    assert own.pipes[0].grades == ("N80", "P110")


def test_plain_end_weight_is_computed_and_told(tmp_path: Path) -> None:
    (pipe,) = read_catalog(write(tmp_path, PIPE_HEADER + "9.625,47,0.472,,mill\n")).pipes
    assert pipe.plain_end_weight / POUND_PER_FOOT == pytest.approx(
        46.18, abs=0.01
    )  # printed in the standard's list
    assert pipe.notes == "plain-end weight is that of a tube of steel of 7850 kg/m3"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", r"header \(read as pipes.*'od_in' or 'od_mm' or 'od_m' is missing"),
        (PIPE_HEADER, "no rows below the header"),
        (PIPE_HEADER.replace(",", ";"), "separated by semicolons"),
        (PIPE_HEADER.replace(",", "\t"), "separated by tabs"),
        (
            PIPE_HEADER + '"9,625",47,0.48,,mill\n',
            r"line 2: column 'od_in': found '9,625'; need a number .*decimal point",
        ),
        (PIPE_HEADER + "9,625,47,0,48,,mill\n", "line 2: 7 values for 5 columns; a decimal comma"),
        (PIPE_HEADER + "9.625,47\n", "line 2: 2 values for 5 columns"),
        (PIPE_HEADER + "9.625,,0.48,,mill\n", "line 2: column 'weight_lbft' is empty"),
        (PIPE_HEADER + "nan,47,0.48,,mill\n", "line 2: column 'od_in': found 'nan'"),
        (PIPE_HEADER + "-9.625,47,0.48,,mill\n", "line 2: column 'od_in': found '-9.625'"),
        (PIPE_HEADER + "9.625,47,0.48,,\n", "line 2: column 'source' is empty"),
        (PIPE_HEADER + "9.625,47,5,,mill\n", "line 2: need 0 < 2 wall < od, found wall 127.00 mm"),
        (PIPE_HEADER + PIPE_ROW + PIPE_ROW, "line 3: .*an earlier line has this name or diameter and weight"),
        (
            PIPE_HEADER.replace("lbft", "kgm") + PIPE_ROW,
            "line 2: weight 47.00 kg/m is not that of a steel tube",
        ),
        (PIPE_HEADER.replace("od_in", "od_cm") + PIPE_ROW, "column 'od_cm' is not known; did you mean 'od_"),
        (PIPE_HEADER.replace("od_in", "od") + PIPE_ROW, "'od_in' or 'od_mm' or 'od_m' is missing"),
        (PIPE_HEADER.replace("grades", "od_mm") + PIPE_ROW, "column 'od' stands more than once"),
        (PIPE_HEADER.replace(",source", "") + "9.625,47,0.48,\n", "column 'source' is missing"),
        (
            PIPE_HEADER.replace("grades", "id_in") + "9.625,47,0.48,8.7,mill\n",
            "id 220.98 mm is not od less two walls",
        ),
        (
            PIPE_HEADER.replace("grades", "drift_in") + "9.625,47,0.48,8.7,mill\n",
            "drift 220.98 mm is not below",
        ),
        (
            PIPE_HEADER.replace("grades", "confidence") + "9.625,47,0.48,hgh,mill\n",
            "confidence 'hgh': did you mean 'high'",
        ),
        (PIPE_HEADER + '9.625,47,0.48,"N80,mill\n', "not a CSV file"),
        (
            GRADE_HEADER + "V80,80000,95000,mill\n",
            "line 2: need 100 MPa <= yield <= tensile strength <= 2500 MPa",
        ),
        (GRADE_HEADER + "V80,95,80,mill\n", "need 100 MPa <= yield <= tensile strength"),
        (
            GRADE_HEADER + "V80,80,95,mill\nv80,80,95,mill\n",
            "line 3: grade v80 .*an earlier line has this name",
        ),
        (
            GRADE_HEADER.replace(",source", ",max_yield_ksi,source") + "V80,80,95,75,mill\n",
            "max_yield 517.1 MPa is below the minimum 551.6 MPa",
        ),
    ],
)
def test_bad_file_is_refused(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(CatalogError, match=rf"(?s)^own\.csv.*{message}"):
        read_catalog(write(tmp_path, text))


def test_all_bad_rows_are_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(CatalogError, match=r"(?s)line 2: .*line 4: ") as caught:
        read_catalog(write(tmp_path, PIPE_HEADER + "x,47,0.48,,mill\n" + PIPE_ROW + "9.625,60,y,,mill\n"))
    assert "line 3" not in str(caught.value)


def test_unreadable_files(tmp_path: Path) -> None:
    with pytest.raises(CatalogError, match="cannot be read"):
        read_catalog(tmp_path / "absent.csv")
    (tmp_path / "own.csv").write_bytes(PIPE_HEADER.encode() + "9.625,47,0.48,,Röhrenwerk\n".encode("latin-1"))
    with pytest.raises(CatalogError, match="not UTF-8"):
        read_catalog(tmp_path / "own.csv")


# --- tables ---


@pytest.mark.parametrize("system", ["metric", "field"])
def test_tables_read_back_as_catalogs(tmp_path: Path, system: UnitSystem) -> None:
    frames = dict(zip(("pipes", "grades"), catalog_frames(system), strict=True))
    for kind, frame in frames.items():
        path = write(tmp_path, frame.drop(columns="catalog").to_csv(index=False), f"{kind}.csv")
        again = getattr(read_catalog(path), kind)
        before = getattr(standard_catalog(), kind)
        assert len(again) == len(before)
        for new, old in zip(again, before, strict=True):
            for name, value in vars(old).items():
                if name != "catalog":
                    assert getattr(new, name) == (
                        pytest.approx(value, rel=1e-6) if isinstance(value, float) else value
                    )


def test_table_columns_name_their_unit() -> None:
    metric, field = (frames[0] for frames in (catalog_frames("metric"), catalog_frames("field")))
    assert list(metric.columns[:4]) == ["od_mm", "weight_kgm", "wall_mm", "id_mm"]
    assert list(field.columns[:4]) == ["od_in", "weight_lbft", "wall_in", "id_in"]
    row = field[(field["od_in"] == 9.625) & (field["weight_lbft"] == 47.0)].iloc[0]
    assert (row["wall_in"], row["id_in"], row["drift_in"]) == (0.472, 8.681, 8.525)
    assert "min_yield_MPa" in catalog_frames("metric")[1].columns


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
        CatalogPipe(
            od=0.2445, weight=70.0, wall=0.012, plain_end_weight=68.7, alternate_drift=0.23, source="mill"
        )
    with pytest.raises(CatalogError, match="weight or wall is missing"):
        standard_catalog().pipe(0.244475)
    with pytest.raises(CatalogError, match="od nan m: need a diameter above 0"):
        standard_catalog().pipe(float("nan"), weight=70.0)
    with pytest.raises(CatalogError, match="no pipe of"):
        Catalog(hashes={}).pipe(0.244475, weight=70.0)


def test_confidence_words_run_from_least_to_most() -> None:
    assert CONFIDENCE == ("low", "not stated", "medium", "high")
