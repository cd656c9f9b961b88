"""Reading of catalog files: those of the package, those of a user, and the tables that read back as catalogs."""

import csv
import hashlib
import io
import time
from importlib.resources import files
from pathlib import Path

import pytest

from casingloads.catalog import CatalogError
from casingloads.catalog.file import catalog_frames, read_catalog, standard_catalog
from casingloads.units import LINEAR_MASS, UnitSystem, to_si

PIPE_FILES = ("casing_sizes.csv", "casing_sizes_common_practice.csv")
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
        (float(row["min_yield_psi"]), float(row["min_tensile_psi"]), row["grade"]) for row in raw_rows("grades.csv")
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
    files = (*PIPE_FILES, "grades.csv", "couplings.csv", "thread_constants.csv")
    used = {key for name in files for row in raw_rows(name) for key in row["source"].split(";")}
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


# --- a user's files ---


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


def test_plain_end_weight_is_not_made_up(tmp_path: Path) -> None:
    (pipe,) = read_catalog(write(tmp_path, PIPE_HEADER + PIPE_ROW)).pipes
    assert pipe.plain_end_weight is None


def test_own_rows_have_no_source_keys(tmp_path: Path) -> None:
    own = read_catalog(write(tmp_path, PIPE_HEADER + PIPE_ROW))
    assert [(row.source, row.source_keys) for row in own.pipes] == [("mill sheet 12", "")]
    assert all(row.source_keys for row in (*standard_catalog().pipes, *standard_catalog().grades))


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
        (PIPE_HEADER + "9.625,0,0.48,,mill\n", r"line 2: weight 0\.00 kg/m: need a weight above 0"),
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
                if name not in ("catalog", "source_keys"):  # which file it was, and its keys
                    assert getattr(new, name) == (pytest.approx(value, rel=1e-6) if isinstance(value, float) else value)


def test_table_columns_name_their_unit() -> None:
    metric, field = (frames[0] for frames in (catalog_frames("metric"), catalog_frames("field")))
    assert list(metric.columns[:4]) == ["od_mm", "weight_kgm", "wall_mm", "id_mm"]
    assert list(field.columns[:4]) == ["od_in", "weight_lbft", "wall_in", "id_in"]
    row = field[(field["od_in"] == 9.625) & (field["weight_lbft"] == 47.0)].iloc[0]
    assert (row["wall_in"], row["id_in"], row["drift_in"]) == (0.472, 8.681, 8.525)
    assert "min_yield_MPa" in catalog_frames("metric")[1].columns
