"""The desk page of ratings, as a reader of the command meets it and as a table in a notebook.

`published/test_ratings_published.py` holds it to rating tables, `test_ratings_own.py` gives it catalogs of the user's.
"""

from __future__ import annotations

import csv
import io

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from ratings_command import output, record, records

import casingloads as cl
from casingloads import standard_catalog, strength
from casingloads.catalog.couplings import standard_couplings
from casingloads.catalog.rows import POUND_PER_FOOT, as_size
from casingloads.constants import INCH, PSI
from casingloads.output.listing import WIDTH
from casingloads.output.rating import CONNECTIONS
from casingloads.output.ratingtable import MOST_NOTES, _rounded
from casingloads.units import UnitSystem

SYSTEMS: tuple[UnitSystem, ...] = ("metric", "field")


Cells = dict[str, str]


def cells(text: str) -> dict[tuple[str, float, str], Cells]:
    """Return the cells of a printed page by size, weight and grade; letters and signs are left out."""
    found: dict[tuple[str, float, str], Cells] = {}
    for block in text.split("\n\n")[:-1]:
        title, _, names, _, *lines = block.splitlines()
        size, groups = title[:16].strip(), [part for part in title[16:].split("  ") if part.strip()]
        assert names[16:46].split() == ["collapse", "yield", "yield"]
        weight = 0.0
        for line in lines:
            if not line.startswith("  "):
                weight = float(line.split()[0])
                continue
            body = dict(zip(("collapse", "internal_yield", "body_yield"), _slices(line, 16, 10, 3), strict=True))
            for group, name in enumerate(part.strip() for part in groups[1:]):
                joint, inside = _slices(line, 46 + 18 * group, 9, 2)
                body |= {f"joint_{name}": joint, f"inside_{name}": inside}
            found[size, weight, line[2:14].strip()] = body
    return found


def _slices(line: str, start: int, width: int, count: int) -> list[str]:
    return [line[start + width * n : start + width * (n + 1)].strip(" cflp") for n in range(count)]


# --- the page ---


def test_page_of_one_pipe() -> None:
    """API Bulletin 5C2, value from memory; the later tables print 4,760 for collapse, with D/t rounded first."""
    lines = output("--pipe", "9-5/8 in 47 lb/ft L80").splitlines()
    assert lines[0].split() == ["9-5/8", "in", "pipe", "body", "STC", "LTC", "BTC", "BTC", "special"]
    assert lines[3].split() == ["psi", "psi", "klbf", *["klbf", "psi"] * 4]
    assert lines[4] == "47 lb/ft  wall 0.472 in, ID 8.681 in, drift 8.525 in, plain end 46.18 lb/ft (S5)"
    assert lines[5].split()[:4] == ["L80", "4750", "6870", "1086"]
    assert "893p    6870     1122f    6870" in lines[5]  # pulls out; breaks in the pipe; the body governs inside
    assert lines[6] == ""


def test_page_in_metric_units() -> None:
    """Worked by hand apart: 4,754.0 psi, 6,865.5 psi and 1,085,789 lbf."""
    text = output("--pipe", "9-5/8 in 47 lb/ft L80", "--units", "metric")
    lines = text.splitlines()
    assert lines[3].split() == ["MPa", "MPa", "kN", *["kN", "MPa"] * 4]
    assert lines[4].startswith(
        "47 lb/ft  69.94 kg/m, wall 11.99 mm, ID 220.50 mm, drift 216.53 mm, plain end 68.72 kg/m"
    )
    assert lines[5].split()[:4] == ["L80", "32.8", "47.3", "4830"]
    assert "pressure to 0.1 MPa, force to 1 kN" in text


def test_letters_tell_what_governs() -> None:
    """7 in 35 lb/ft P110: the special clearance coupling breaks and leaks; buttress: the coupling yields."""
    line = output("--pipe", "7 in 35 lb/ft P110").splitlines()[5]
    found = record("--pipe", "7 in 35 lb/ft P110")
    assert found["btc_special_parts_by"] == "coupling"
    assert found["btc_special_pressure_governs"] == "leak"
    assert found["btc_pressure_governs"] == "coupling"
    assert found["ltc_parts_by"] == "pull-out"
    assert [word[-1] for word in line.split()[4:]] == ["p", "l", "p", "l", "c", "c", "c", "l"]


@pytest.mark.parametrize("system", SYSTEMS)
def test_page_fits_and_is_complete(system: UnitSystem) -> None:
    text = output("--units", system)
    assert max(map(len, text.splitlines())) <= WIDTH == 120
    assert all(line == line.rstrip() for line in text.splitlines())
    rows = cells(text)
    listed = {
        (as_size(pipe.od), round(pipe.weight / POUND_PER_FOOT, 2), grade)
        for pipe in standard_catalog().pipes
        for grade in pipe.grades or ("-",)
    }
    assert set(rows) == listed


def test_sizes_stand_together_and_in_order() -> None:
    sizes = list(dict.fromkeys(size for size, _, _ in cells(output())))
    blocks = [block.splitlines()[0][:16].strip() for block in output().split("\n\n")[:-1]]
    assert blocks == sizes == [as_size(od) for od in sorted({pipe.od for pipe in standard_catalog().pipes})]


def test_reader_is_told_how_to_read() -> None:
    text = " ".join(output("--od", "9-5/8 in").split())
    assert "pressure to 10 psi, force to 1,000 lbf; --csv gives all unrounded, in SI" in text
    assert "Source: API Bulletin 5C2 and 5C3" in text
    assert "review by a licensed engineer" in text
    assert "dimensions of threads and couplings, are mostly from memory" in text
    assert "* confidence low: from memory (keys M), or in doubt." in text
    assert "+ the catalog" not in text
    conductor = " ".join(output("--od", "36 in").split())
    assert "review by a licensed engineer" in conductor
    assert "coupling" not in conductor.replace("coupling yield and leak resistance. Keys", "")


def test_low_confidence_has_a_sign() -> None:
    lines = output("--od", "9-5/8 in").splitlines()
    low = {row.label for row in standard_catalog().select(od="9-5/8 in").pipes if row.confidence == "low"}
    heads = [line.split("  ")[0] for line in lines[4:] if line[:1].isdigit()]
    assert {f"9-5/8 in {head[:-1]}" for head in heads if head.endswith("*")} == low
    assert len(low) < len(heads)


def test_notes_are_told_for_few_rows_and_counted_for_many() -> None:
    few = " ".join(output("--od", "9-5/8 in").split())
    assert "9-5/8 in 53.5 lb/ft: confidence low (casing_sizes.csv, S16:" in few
    many = output()
    assert "stand in --csv; fewer rows print theirs here" in many
    assert "\nNotes\n" not in many
    assert len(cl.ratings(standard_catalog()).attrs["notes"]) > MOST_NOTES


@given(st.integers(0, 10**7), st.sampled_from([10.0, 1.0]))
def test_rounding_is_to_the_nearest_and_up_between(value: int, step: float) -> None:
    rounded = float(_rounded(value / 2.0, step))
    assert rounded % step == 0.0
    assert -step / 2.0 < rounded - value / 2.0 <= step / 2.0


def test_a_rating_between_two_printed_ones_is_rounded_up() -> None:
    """5 in 24.1 lb/ft T95: 2 x 95,000 x 0.875 x 0.500 / 5 = 16,625 psi."""
    assert cells(output("--pipe", "5 in 24.1 lb/ft T95"))["5 in", 24.1, "T95"]["internal_yield"] == "16630"


# --- CSV and frame ---

NUMBERS = ("od_m", "weight_kgm", "wall_m", "id_m", "plain_end_weight_kgm")
RATED = ("min_yield_pa", "min_tensile_pa", "internal_yield_pa", "collapse_pa", "axial_yield_n", "collapse_regime")
JOINT = (
    *("joint_strength_n", "parts_by", "coupling_yield_pa", "leak_resistance_pa", "internal_pressure_pa"),
    *("pressure_governs", "confidence"),
)


def test_csv_is_complete() -> None:
    found, catalog = records(), standard_catalog()
    assert len(found) == sum(len(pipe.grades) or 1 for pipe in catalog.pipes)
    for row in found:
        assert {*NUMBERS, *RATED, "drift_m", "grade", "notes", "source", *_connection_columns()} <= set(row)
        assert all(row[name] for name in (*NUMBERS, "pipe", "source", "confidence", "provenance", "catalog"))
        assert [bool(row[name]) for name in RATED] == [bool(row["grade"])] * len(RATED)
        for prefix in CONNECTIONS:
            assert len({bool(row[f"{prefix}_{name}"]) for name in JOINT}) == 1, "all of a connection, or nothing"


def _connection_columns() -> set[str]:
    return {f"{prefix}_{name}" for prefix in CONNECTIONS for name in JOINT}


def test_csv_is_unrounded_and_in_si() -> None:
    for units in SYSTEMS:
        row = record("--pipe", "9-5/8 in 53.5 lb/ft P110", "--units", units)
        tube = (9.625 * INCH, 0.545 * INCH, 110e3 * PSI)
        steel = (110e3 * PSI, 125e3 * PSI)
        coupling = standard_couplings().find(tube[0], "LTC", yield_strength=steel[0])
        assert coupling.engaged_length is not None
        joint = strength.round_joint_strength(
            *tube[:2], *steel, coupling.engaged_length, coupling.od, coupling.root_diameter
        )
        expected = {
            "internal_yield_pa": strength.internal_yield_pressure(*tube),
            "collapse_pa": strength.collapse_pressure(*tube),
            "axial_yield_n": strength.axial_yield_force(*tube),
            "ltc_joint_strength_n": joint,
        }
        assert {name: float(row[name]) for name in expected} == pytest.approx(
            {name: float(value) for name, value in expected.items()}, rel=1e-12
        )
        assert row["collapse_regime"] == "plastic"


def test_what_governs_is_the_least() -> None:
    frame = cl.ratings(standard_catalog())
    assert set(frame["ltc_parts_by"].dropna()) == {"fracture", "pull-out", "coupling"}
    for prefix in CONNECTIONS:
        rows = frame[frame[f"{prefix}_joint_strength_n"].notna()]
        limits = {
            "pipe body": rows["internal_yield_pa"],
            "coupling": rows[f"{prefix}_coupling_yield_pa"],
            "leak": rows[f"{prefix}_leak_resistance_pa"],
        }
        least = pd.DataFrame(limits).min(axis=1)
        assert (rows[f"{prefix}_internal_pressure_pa"] == least).all()
        for what, limit in limits.items():
            governs = rows[f"{prefix}_pressure_governs"] == what
            assert governs.any()
            assert (limit[governs] == least[governs]).all()


def test_units_of_the_frame() -> None:
    frame = cl.ratings(standard_catalog(), od="7 in")
    units = frame.attrs["units"]
    assert (units["od_m"], units["weight_kgm"], units["collapse_pa"]) == ("m", "kg/m", "Pa")
    assert units["btc_special_joint_strength_n"] == "N"
    assert {name for name in frame if str(frame[name].dtype) == "Float64"} == set(units)
    assert "5C3" in frame.attrs["source"]
    assert frame.attrs["wall_factor"] == 0.875


def test_what_has_no_value_is_na_never_nan() -> None:
    frame = cl.ratings(standard_catalog())
    missing = [cell for column in frame for cell in frame[column] if cell is pd.NA or cell is None or cell != cell]
    assert missing
    assert all(cell is pd.NA for cell in missing)
    text = output("--csv")
    assert not {"nan", "<na>", "none", "inf"} & {cell.lower() for row in csv.reader(io.StringIO(text)) for cell in row}
    assert not {"nan", "<NA>", "None", "inf"} & set(output().split())


def test_wall_factor() -> None:
    whole, thin = (cl.ratings(standard_catalog(), od="7 in", wall_factor=factor) for factor in (1.0, 0.8))
    assert (thin["internal_yield_pa"] / whole["internal_yield_pa"]).tolist() == pytest.approx([0.8] * len(thin))
    for name in ("collapse_pa", "axial_yield_n", "ltc_joint_strength_n", "ltc_leak_resistance_pa"):
        assert thin[name].equals(whole[name])
    assert (thin["ltc_pressure_governs"] == "pipe body").sum() > (whole["ltc_pressure_governs"] == "pipe body").sum()
    with pytest.raises(ValueError, match=r"wall_factor = 0: need a finite number above 0"):
        cl.ratings(standard_catalog(), wall_factor=0.0)


def test_body_alone() -> None:
    body = cl.ratings(standard_catalog(), od="7 in", connections=False)
    both = cl.ratings(standard_catalog(), od="7 in")
    assert set(both) - set(body) == _connection_columns()
    assert body["collapse_pa"].equals(both["collapse_pa"])
    assert not any("coupling" in note for note in body.attrs["notes"])


def test_numbers_and_text_name_the_same() -> None:
    text = cl.ratings(standard_catalog(), od="9-5/8 in", weight="47 lb/ft")
    numbers = cl.ratings(standard_catalog(), od=0.2445, weight=69.94)
    assert len(text) == 7
    pd.testing.assert_frame_equal(text, numbers)


# --- what is not there ---


def test_size_without_a_connection() -> None:
    """13-3/8 in has neither long thread nor special clearance coupling; 20 in has no special clearance coupling."""
    page = output("--od", "13-3/8 in")
    assert page.splitlines()[0].split() == ["13-3/8", "in", "pipe", "body", "STC", "BTC"]
    assert "Blank: the size or weight has no such coupling" in page
    for row in records("--od", "13-3/8 in", "--grade", "P110"):
        assert row["stc_joint_strength_n"]
        assert row["ltc_joint_strength_n"] == row["btc_special_pressure_governs"] == ""


def test_connection_for_one_weight_only() -> None:
    """18-5/8 in STC is for 87.5 lb/ft; the heavier pipes have buttress alone."""
    rows = cells(output("--od", "18-5/8 in", "--grade", "K55"))
    assert {weight: bool(row["joint_STC"]) for (_, weight, _), row in rows.items()} == {
        **{87.5: True, 96.5: False, 115.0: False, 136.0: False}
    }
    assert all(row["joint_BTC"] for row in rows.values())


def test_line_pipe_has_no_casing_connection() -> None:
    rows = {(row["pipe"], row["grade"]): row for row in records("--od", "20 in")}
    assert rows["20 in 129.45 lb/ft", "X56"]["internal_yield_pa"]
    assert rows["20 in 129.45 lb/ft", "X56"]["btc_joint_strength_n"] == ""
    assert rows["20 in 133 lb/ft", "K55"]["btc_joint_strength_n"]


def test_no_drift_in_the_catalog() -> None:
    assert {row["drift_m"] for row in records("--od", "36 in")} == {""}
    assert "no drift known" in output("--od", "36 in")


def test_no_grade_listed() -> None:
    text = output("--pipe", "13-5/8 in 88.2 lb/ft")
    assert list(cells(text)) == [("13-5/8 in", 88.2, "-")]
    assert "- no grade is listed for this size; --grade names one." in text
    row = record("--pipe", "13-5/8 in 88.2 lb/ft")
    assert (row["grade"], row["collapse_pa"], row["is_listed"]) == ("", "", "")
    assert "the catalog lists no grade for this size; name one" in row["notes"]


def test_grade_that_the_size_does_not_list() -> None:
    """C95, withdrawn, is in the catalog of grades and in no list of a size."""
    text = output("--od", "7 in", "--grade", "c95")
    assert {grade.split()[0] for _, _, grade in cells(text)} == {"C95"}
    assert "+ the catalog does not list the grade for this size." in text
    lines = [line for line in text.splitlines() if line.startswith("  C95")]
    assert len(lines) == 13
    assert all(line[14:16].strip() == "+" for line in lines)
    for row in records("--od", "7 in", "--grade", "C95"):
        assert row["is_listed"] == "False"
        assert f"C95 is not in the standard list for {row['pipe']}" in row["notes"]
    unlisted = record("--pipe", "13-5/8 in 88.2 lb/ft P110")
    assert unlisted["is_listed"] == "False"
    assert "the catalog lists no grade for this size" in unlisted["notes"]


# --- families ---


@pytest.mark.parametrize(("family", "types"), [("N80", ["N80-1", "N80Q"]), ("L80", ["L80-1", "L80-13Cr", "L80-9Cr"])])
def test_a_family_stands_for_its_types_in_one_row(family: str, types: list[str]) -> None:
    pipe = ("--od", "9-5/8 in", "--weight", "47 lb/ft")
    row = record(*pipe, "--grade", family)
    assert (row["grade"], row["is_listed"]) == (family, "True")
    assert f"read as any of its types {', '.join(types)}, which share these strengths" in row["notes"]
    for each in types:
        one = record(*pipe, "--grade", each)
        assert one["grade"] == each
        assert {name: one[name] for name in one if name.endswith(("_pa", "_n"))} == {
            name: row[name] for name in row if name.endswith(("_pa", "_n"))
        }
    assert [found["grade"] for found in records(*pipe)].count(family) == 1
