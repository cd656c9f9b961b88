"""What a result offers: frames with units, profiles, what governs, the working."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import casingloads as cl
from casingloads.row import Row

EXAMPLES = Path(__file__).parent.parent / "examples"


@cache
def result(name: str = "corvane-4") -> cl.Result:
    return cl.check(cl.read_well(EXAMPLES / f"{name}.toml"))


def test_summary_has_each_section_and_mode_once() -> None:
    summary = result().summary
    keys = [(s.name, n, m) for s in result().well.strings for n in range(1, len(s.sections) + 1)
            for m in ("burst", "collapse", "tension", "compression", "triaxial")]  # fmt: skip
    assert list(zip(summary["string"], summary["section"], summary["mode"], strict=True)) == keys
    assert summary.attrs["units"]["md_m"] == "m"


def test_summary_is_the_least_margin_of_the_factors() -> None:
    lines = result().summary.to_dict("records")
    rows = [row for row in result().factors.to_dict("records") if not pd.isna(row["factor"])]
    for line in lines:
        same = [row for row in rows if all(row[key] == line[key] for key in ("string", "section", "mode"))]
        if not same:
            assert pd.isna(line["factor"])
            continue
        least = min(float(row["factor"]) / float(row["required"]) for row in same)
        assert float(line["factor"]) / float(line["required"]) == pytest.approx(least, rel=1e-12)


def test_a_higher_requirement_governs_over_a_lower_factor() -> None:
    """The margin decides: 2.0 against 2.5 is worse than 1.5 against 1.1."""
    low = Row(string="a", section=1, case="x", step="", mode="burst", required=1.1, status="meets", factor=1.5)
    high = replace(low, case="y", required=2.5, status="below", factor=2.0)
    assert min([low, high], key=lambda row: row.margin).case == "y"


@pytest.mark.parametrize("name", ["corvane-4", "skerrow-3", "skerrow-3-first-design"])
def test_no_nan_or_infinity_in_any_table(name: str) -> None:
    found = result(name)
    for frame in (found.summary, found.factors, found.hook_loads):
        for column in frame.select_dtypes("number"):
            values = frame[column].dropna().astype(float)
            assert np.isfinite(values).all()
    for string, case, step in found.evaluations:
        profile = found.profile(string, case, step)
        for column in map(str, profile.select_dtypes("number")):
            values = profile[column]
            if not column.endswith(("_factor", "snaking_force_n")):  # none without room to buckle
                assert not values.isna().any(), column
            assert np.isfinite(values.dropna().astype(float)).all(), column


def test_profile_terms_sum_to_the_true_force() -> None:
    for string, case, step in result("skerrow-3").evaluations:
        profile = result("skerrow-3").profile(string, case, step)
        terms = profile.filter(regex=r"^force_.*_n$")
        assert np.asarray(terms.sum(axis=1)) == pytest.approx(np.asarray(profile["true_force_n"]), rel=1e-12, abs=1e-3)


def test_profile_factors_are_those_of_the_table() -> None:
    for row in result().rows:
        if row.factor is None:
            continue
        profile = result().profile(row.string, row.case, row.step)
        section = profile[profile["section"] == row.section]
        assert float(section[f"{row.mode}_factor"].min()) == pytest.approx(row.factor, rel=1e-12)


def test_neutral_point_of_a_hanging_string_by_hand() -> None:
    """In one fluid the effective force of a free string is zero at its shoe only, its true force where w z = p A_s."""
    profile = result().profile("surface", "running", "landed")
    assert profile.attrs["neutral_point_md_m"] == []
    pipe = result().well.strings[0].sections[0].pipe
    area = np.pi / 4 * (pipe.outside_diameter**2 - pipe.inside_diameter**2)
    spud = 8.9 * 0.45359237 / (231 * 0.0254**3) * 9.80665
    weight = pipe.weight * 9.80665
    bottom = float(result().well.path.tvd(result().well.strings[0].shoe))
    neutral = bottom - spud * bottom * area / weight
    assert profile.attrs["zero_true_force_md_m"] == [pytest.approx(neutral, abs=0.2)]  # nearly vertical there


def test_asking_for_what_is_not_there_lists_what_is() -> None:
    with pytest.raises(KeyError, match=r"steps: .*landed"):
        result().profile("surface", "running")
    with pytest.raises(KeyError, match="nothing was evaluated"):
        result().profile("surface", "nothing")
    with pytest.raises(KeyError, match="no burst of string"):
        result().explain("nobody", "running", "burst")


@pytest.mark.parametrize("mode", ["burst", "collapse", "tension", "compression", "triaxial"])
def test_explanation_holds_the_numbers_of_the_row(mode: str) -> None:
    for row in result().rows:
        if row.mode != mode or row.factor is None:
            continue
        told = result().explain(row.string, row.case, mode, row.step, row.section)
        values = {item.symbol: item.value for _, items in told.parts for item in items}
        assert told.answer.startswith(f"factor = rating / load = {row.factor:.4f}")
        assert values["md"] == pytest.approx(row.md)
        assert any(value == pytest.approx(row.load) for value in values.values() if isinstance(value, float))
        assert told.text("field") != told.text("metric")


def test_explanation_of_a_row_without_a_factor() -> None:
    told = result().explain("production", "evacuation", "burst")
    assert told.answer == "no load of this kind"


def test_a_string_that_floats_is_told(tmp_path: Path) -> None:
    """20 in 94 lb/ft full of air-light fluid in heavy slurry: buoyed weight by hand is negative."""
    text = (EXAMPLES / "skerrow-3.toml").read_text(encoding="utf-8")
    light = text.replace('"20 in 169 lb/ft X56"', '"20 in 94 lb/ft K55"')
    light = light.replace('"light lead" = "1.45 sg"', '"light lead" = "2.1 sg"')
    file = tmp_path / "well.toml"
    file.write_text(light.replace('pipe = "13-5/8 in 88.2 lb/ft P110"', 'pipe = "13-3/8 in 72 lb/ft P110"'))
    found = cl.check(cl.read_well(file))
    loads = found.hook_loads.set_index(["string", "moment"])["effective_force_at_top_n"]
    assert loads["surface", "end of cementing, bled off"] < 0.0
    assert any("surface: end of cementing, bled off: the string floats" in text for text in found.warnings)
