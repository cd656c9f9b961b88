"""The terminal table: its words carry the meaning, colour only repeats it; a person finds what governs at once."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import casingloads as cl
from casingloads.output.table import design_factor_table

ROOT = Path(__file__).parent.parent


@cache
def result(path: str) -> cl.Result:
    return cl.check(cl.read_well(ROOT / path))


def failing() -> cl.Result:
    return result("examples/skerrow-3-first-design.toml")


def test_every_section_and_mode_has_one_line_in_order() -> None:
    text = design_factor_table(failing())
    modes = re.findall(r"^    (burst|collapse|tension|compression|triaxial) ", text, re.MULTILINE)
    sections = sum(len(string.sections) for string in failing().well.strings)
    assert modes == ["burst", "collapse", "tension", "compression", "triaxial"] * sections


def test_numbers_of_the_table_are_those_of_the_summary() -> None:
    text = design_factor_table(failing())
    shown = re.findall(
        r"^    (?:burst|collapse|tension|compression|triaxial) +(–|[\d.]+) +([\d.]+)", text, re.MULTILINE
    )
    for (factor, required), found in zip(shown, failing().governing, strict=True):
        assert factor == ("–" if found.row.factor is None else f"{found.row.factor:.2f}")
        assert required == f"{found.row.required:.2f}"


def test_colour_is_never_the_only_signal() -> None:
    plain, coloured = design_factor_table(failing()), design_factor_table(failing(), colour=True)
    assert "\x1b[" not in plain
    assert "\x1b[31;1m" in coloured
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == plain
    assert "BELOW" in plain


def test_verdict_names_what_is_below_or_closest() -> None:
    assert (
        "intermediate 1, section 1, collapse: 0.921 against 1.00, half-empty, empty to the level"
        in design_factor_table(failing())
    )
    assert "Closest to its limit: liner, section 1, triaxial" in design_factor_table(result("examples/skerrow-3.toml"))


def test_field_units_leave_no_metric_unit_behind() -> None:
    text = design_factor_table(result("examples/corvane-4.toml"), "field")
    body = text[: text.index("Caution:")]
    assert not re.search(r"\d (MPa|kN|m|mm)\b", body)


def test_lines_fit_a_terminal() -> None:
    for path in ("examples/skerrow-3.toml", "examples/corvane-4.toml"):
        assert max(map(len, design_factor_table(result(path)).splitlines())) <= 120


def test_a_string_without_cases_is_not_evaluated(tmp_path: Path) -> None:
    text = (ROOT / "tests" / "wells" / "check-well-1.toml").read_text(encoding="utf-8")
    file = tmp_path / "well.toml"
    file.write_text(text[: text.index("[strings.cases.running]")], encoding="utf-8")
    table = design_factor_table(cl.check(cl.read_well(file)))
    assert "NOT CHECKED: no load case is asked for" in table
    assert "NOT EVALUATED in full: this is not a pass." in table
