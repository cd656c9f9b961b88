"""Ratings of pipe and steel of the user's own, and what the command says when it is asked for what is not there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ratings_command import output, record, records

import casingloads as cl
from casingloads import standard_catalog, strength
from casingloads.cli import main
from casingloads.constants import INCH, PSI
from casingloads.output.listing import WIDTH

# --- catalogs of the user's ---


def own(folder: Path, name: str, text: str) -> list[str]:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return ["--file", str(file)]


PIPES = "od_in,weight_lbft,wall_in,grades,source\n"
GRADES = "grade,min_yield_psi,min_tensile_psi,source\n"


def test_own_pipe_stands_in_place_of_a_shipped_one(tmp_path: Path) -> None:
    files = own(tmp_path, "yard.csv", PIPES + "9.625,47.00,0.500,L80,mill sheet 7\n")
    text = output(*files, "--od", "9-5/8 in", "--weight", "47 lb/ft")
    assert "47 lb/ft?  wall 0.500 in" in text
    assert "(yard.csv)" in text
    assert "? confidence not stated." in text
    assert "yard.csv) stands in place of 9-5/8 in 47 lb/ft" in " ".join(text.split())
    row = record(*files, "--od", "9-5/8 in", "--weight", "47 lb/ft")
    tube = (9.625 * INCH, 0.5 * INCH)
    assert float(row["internal_yield_pa"]) == pytest.approx(2.0 * 80e3 * PSI * 0.875 * 0.5 / 9.625)
    assert float(row["plain_end_weight_kgm"]) == pytest.approx(float(strength.plain_end_mass(*tube)))
    assert (row["source"], row["catalog"], row["source_keys"]) == ("mill sheet 7", "yard.csv", "")
    assert "stands in place of" not in output(*files, "--od", "7 in")


def test_own_pipe_of_another_metal_is_doubted(tmp_path: Path) -> None:
    files = own(tmp_path, "light.csv", PIPES + "5.5,9.80,0.361,P110,mill sheet 8\n")
    assert "weight is 49 % of that of a steel tube of this size: check the unit" in " ".join(
        output(*files, "--pipe", "5-1/2 in 9.8 lb/ft").split()
    )


def test_own_list_names_a_grade_that_nobody_knows(tmp_path: Path) -> None:
    files = own(tmp_path, "yard.csv", PIPES + "7,28,0.4,L80;V150,mill sheet 7\n")
    lines = output(*files, "--pipe", "7 in 28 lb/ft").splitlines()
    assert lines[5].split()[0] == "L80"
    assert lines[6] == "  V150"
    assert "A grade without any number is not in the catalog." in lines
    known, unknown = records(*files, "--pipe", "7 in 28 lb/ft")
    assert known["collapse_pa"]
    assert (unknown["grade"], unknown["internal_yield_pa"], unknown["is_listed"]) == ("V150", "", "True")
    assert "grade 'V150' is not in the catalog" in unknown["notes"]


def test_own_family_whose_types_differ_in_strength(tmp_path: Path) -> None:
    files = own(tmp_path, "yard.csv", PIPES + "7,28,0.4,V150,mill sheet 7\n")
    files += own(tmp_path, "steel.csv", GRADES + "V150-1,150000,160000,mill\nV150-13Cr,145000,155000,mill\n")
    found = records(*files, "--pipe", "7 in 28 lb/ft")
    assert [row["grade"] for row in found] == ["V150-1", "V150-13Cr"]
    yields = [float(row["axial_yield_n"]) for row in found]
    assert yields[0] / yields[1] == pytest.approx(150.0 / 145.0)
    asked = records(*files, "--od", "7 in", "--weight", "28 lb/ft", "--grade", "V150")
    assert [row["grade"] for row in asked] == ["V150-1", "V150-13Cr"]
    assert {row["is_listed"] for row in asked} == {"True"}


@pytest.mark.parametrize("ksi", [20, 190])
def test_no_collapse_rating_beyond_its_formulas(ksi: int, tmp_path: Path) -> None:
    files = own(tmp_path, "steel.csv", GRADES + f"Z1,{ksi}000,{ksi + 10}000,mill\n")
    row = record(*files, "--od", "7 in", "--weight", "26 lb/ft", "--grade", "Z1")
    assert (row["collapse_pa"], row["collapse_regime"]) == ("", "")
    assert float(row["internal_yield_pa"]) == pytest.approx(2.0 * ksi * 1e3 * PSI * 0.875 * 0.362 / 7.0)
    assert "the collapse formulas hold for a yield strength of 165.5 MPa to 1241.1 MPa" in row["notes"]
    text = output(*files, "--od", "7 in", "--weight", "26 lb/ft", "--grade", "Z1")
    assert "No collapse: the formulas do not hold for this yield strength." in text


def test_wall_that_takes_no_thread(tmp_path: Path) -> None:
    files = own(tmp_path, "thin.csv", PIPES + "9.625,7,0.07,J55,mill sheet 9\n")
    row = record(*files, "--pipe", "9-5/8 in 7 lb/ft")
    assert row["internal_yield_pa"]
    assert row["stc_joint_strength_n"] == row["btc_joint_strength_n"] == ""


def test_long_names_and_great_numbers_fit(tmp_path: Path) -> None:
    long = "a very long name of a file of catalog rows that somebody keeps in the yard of the mill by the river.csv"
    files = own(tmp_path, long, PIPES + "40,9999,10,VERY-LONG-NAME-150,mill\n7,300,3.4,VERY-LONG-NAME-150,mill\n")
    files += own(tmp_path, "steel.csv", GRADES + "VERY-LONG-NAME-150,170000,362000,mill\n")
    for units in ("metric", "field"):
        for size in ("40 in", "7 in"):
            text = output(*files, "--od", size, "--grade", "VERY-LONG-NAME-150", "--units", units)
            assert max(map(len, text.splitlines())) <= WIDTH
            assert "VERY-LONG-N…" in text


def test_result_does_not_hang_on_catalog_order(tmp_path: Path) -> None:
    files = own(tmp_path, "yard.csv", PIPES + "7,38.5,0.55,L80,mill\n7,19,0.25,L80,mill\n")
    heads = [line.split()[0] for line in output(*files, "--od", "7 in").splitlines()[4:] if " lb/ft" in line[:12]]
    weights = [float(head) for head in heads]
    assert {19.0, 38.5} < set(weights)
    assert weights == sorted(weights)


# --- wrong input ---


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--od", "9 in"], "no pipe of 9 in (228.60 mm); nearest diameters: 7-3/4 in, 8-5/8 in, 9-5/8 in"),
        (["--od", "9-5/8 in", "--weight", "48 lb/ft"], "no such pipe; nearest of 9-5/8 in: 40 lb/ft"),
        (["--weight", "3 lb/ft"], "no pipe of weight 3 lb/ft in the catalog"),
        (["--od", "9-5/8"], "'9-5/8' has no unit; need a length, for example '9-5/8 in'"),
        (["--od", "9-5/8 in", "--weight", "47 ppg"], "'47 ppg' is a density"),
        (["--od", "9-5/8 in", "--grade", "L81"], "grade 'L81' is not in the catalog; did you mean 'L80"),
        (["--pipe", "9-5/8 in 47 lb/ft L81"], "grade 'L81' is not in the catalog"),
        (["--pipe", "9-5/8 in"], "weight or wall is missing; in the catalog: 32.3 lb/ft"),
        (["--pipe", "47 lb/ft"], "is no pipe designation"),
        (["--pipe", "7 in 26 lb/ft", "--grade", "L80"], "--pipe: names size, weight and grade; leave out --od"),
        (["--file", "nowhere.csv"], "nowhere.csv: cannot be read"),
    ],
)
def test_wrong_input_exits_2(arguments: list[str], message: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ratings", *arguments]) == 2
    captured = capsys.readouterr()
    assert message in captured.err
    assert "Traceback" not in captured.err
    assert captured.out == ""


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"od": 0.2286}, "no pipe of 9 in"),
        ({"od": float("nan")}, "need a diameter above 0"),
        ({"weight": 3.0}, "no pipe of weight 3.0 kg/m in the catalog"),
        ({"od": "7 in", "weight": 3.0}, "no such pipe; nearest of 7 in"),
        ({"grade": "Z"}, "grade 'Z' is not in the catalog"),
    ],
)
def test_wrong_arguments_say_what_is_there(arguments: dict[str, Any], message: str) -> None:
    with pytest.raises(cl.CasingloadsError, match=message):
        cl.ratings(standard_catalog(), **arguments)


def test_catalog_without_pipes() -> None:
    empty = cl.Catalog(hashes={})
    with pytest.raises(cl.CasingloadsError, match="no pipe in the catalog"):
        cl.ratings(empty)


def test_pipe_is_named_by_weight_or_wall() -> None:
    by_wall = output("--pipe", "244.5 mm 11.99 mm wall P110")
    assert by_wall == output("--pipe", "9-5/8 in 47 lb/ft P110")
    assert by_wall == output("--od", "9-5/8 in", "--weight", "47 lb/ft", "--grade", "P110")
