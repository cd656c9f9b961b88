"""Survey files: what is read, and what is said of every line that is wrong."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import casingloads as cl
from casingloads.path import WellPath
from casingloads.wellfile.survey import read_survey, survey_path

HEAD = "md_m,inclination_deg,azimuth_deg\n"


def read(tmp_path: Path, content: str | bytes) -> WellPath:
    file = tmp_path / "survey.csv"
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_survey(file)


def refusal(tmp_path: Path, content: str | bytes) -> list[str]:
    with pytest.raises(cl.InputError) as caught:
        read(tmp_path, content)
    told = [str(problem) for problem in caught.value.problems]
    assert all("survey.csv" in line and line.isprintable() for line in told)
    return told


def test_columns_in_any_order_remarks_and_empty_lines(tmp_path: Path) -> None:
    text = "# by gyro\n\n azimuth_deg , md_ft,inclination_deg\n# from the rig\n90,0,0\n 90 , 1e3 ,+5.5\n\n90,2000,5.5\n"
    path = read(tmp_path, text)
    assert path.stations == pytest.approx([0.0, 304.8, 609.6])
    assert path.inclination(609.6) == pytest.approx(np.radians(5.5))
    assert float(path.east(609.6)) > 0.0
    assert float(path.north(609.6)) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("mark", [b"\xef\xbb\xbf", b""])
@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_as_spreadsheets_save_it(tmp_path: Path, mark: bytes, end: bytes) -> None:
    path = read(tmp_path, mark + end.join([HEAD.strip().encode(), b"0,0,0", b'"100","2.5","30"']) + end)
    assert path.end == 100.0


def test_metres_and_feet_are_one_path(tmp_path: Path) -> None:
    metres = read(tmp_path, HEAD + "0,0,0\n304.8,3,10\n609.6,6,20\n")
    feet = read(tmp_path, HEAD.replace("md_m", "md_ft") + "0,0,0\n1000,3,10\n2000,6,20\n")
    assert feet.stations == pytest.approx(metres.stations)
    assert float(feet.tvd(600.0)) == pytest.approx(float(metres.tvd(600.0)))


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("", ["is empty; need the columns md_m or md_ft"]),
        ("# nothing\n\n", ["is empty"]),
        ("md;incl;azi\n0;0;0\n", ["separated by semicolons; save it with commas and decimal points"]),
        ("md_m\tinclination_deg\tazimuth_deg\n0\t0\t0\n", ["separated by tabs"]),
        ("md_m,incl_deg,azimuth_deg\n0,0,0\n", ["column 'incl_deg' is not known; did you mean 'inclination_deg'?"]),
        ("depth,dip,dir\n0,0,0\n", ["'depth' is not known; accepted: ", "column 'dip'", "column 'dir'"]),
        ("md_m,inclination_deg\n0,0\n", ["has the columns md_m, inclination_deg; need"]),
        (
            "md_m,md_ft,inclination_deg,azimuth_deg\n0,0,0,0\n",
            ["has the columns md_m, md_ft, inclination_deg, azimuth_deg; need"],
        ),
        ("\x1b[2J,inclination_deg,azimuth_deg\n", ["column '\\x1b[2J' is not known"]),
        (HEAD, ["has no stations"]),
        (HEAD.encode() + "0,0,0 # é\n".encode("latin-1"), ["is not UTF-8 text; save it as CSV in UTF-8"]),
        (HEAD + "0,0\n", ["line 2: 2 values for 3 columns"]),
        (HEAD + "0,0,0\n100,5,3,0\n", ["line 3: 4 values for 3 columns; need one for each (and no decimal comma)"]),
        (HEAD + "0,0,0\n\n100,,0\n", ["line 4: inclination_deg = '': need a number, with a decimal point"]),
        (HEAD + "0,0,0\n100,nan,inf\n", ["line 3: inclination_deg = 'nan'", "line 3: azimuth_deg = 'inf'"]),
        (HEAD + "0,0,0\n1_00,0,0\n", ["line 3: md_m = '1_00': need a number, with a decimal point"]),
        (HEAD + "0,0,0\n1e9,0,0\n", ["line 3: md_m = '1e9': '1e9 m' is out of reach of any well"]),
        (HEAD + "-5,0,0\n100,0,0\n", ["line 2: md_m = '-5': need a depth of 0 or more"]),
        (HEAD + "0,0,0\n100,181,0\n", ["line 3: inclination_deg = '181': need an inclination from 0 to 180 deg"]),
        (HEAD + "0,0,0\n100,-1,0\n", ["line 3: inclination_deg = '-1'"]),
        (HEAD + "0,0,0\n" + "1" * 200_000 + ",0,0\n", ["line 3: 1 values for 3 columns"]),
        (HEAD + "0,0,0\n100,0,0\n50,0,0\n100,0,0\n", ["line 4: md_m = '50': need a depth", "line 5: md_m = '100'"]),
        (HEAD + "0,0,0\n100,90,0\n200,90,180\n", ["the path turns by 180 deg between md 100 m and 200 m"]),
    ],
)
def test_refused(tmp_path: Path, content: str | bytes, told: list[str]) -> None:
    found = refusal(tmp_path, content)
    assert len(found) == len(told)
    for line, words in zip(found, told, strict=True):
        assert words in line


def test_every_wrong_line_is_told_up_to_twenty(tmp_path: Path) -> None:
    found = refusal(tmp_path, HEAD + "0,0,0\n" + "x,y,z\n" * 10)
    assert len(found) == 21
    assert "line 3: md_m = 'x'" in found[0]
    assert found[-1] == "'survey.csv': and 10 more problems"


def test_a_folder_is_no_survey(tmp_path: Path) -> None:
    with pytest.raises(cl.InputError, match="cannot be read"):
        read_survey(tmp_path)


def test_stations_must_be_whole() -> None:
    with pytest.raises(ValueError, match="has 2 depths, 1 inclinations and 0 azimuths; need one of each"):
        survey_path([0.0, 1.0], [0.0], [])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=100)
@given(st.lists(st.tuples(st.floats(1.0, 100.0), st.floats(0.0, 90.0), st.floats(0.0, 359.0)), min_size=1, max_size=8))
def test_what_is_written_is_read(tmp_path: Path, rows: list[tuple[float, float, float]]) -> None:
    md = np.cumsum([row[0] for row in rows])
    inclination, azimuth = (np.array([row[k] for row in rows]) for k in (1, 2))
    lines = [
        f"{depth!r},{i!r},{a!r}"
        for depth, i, a in zip(md.tolist(), inclination.tolist(), azimuth.tolist(), strict=True)
    ]
    path = read(tmp_path, HEAD + "\n".join(lines) + "\n")
    assert path == WellPath(md, np.radians(inclination), np.radians(azimuth))
