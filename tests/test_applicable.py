"""All cases that apply: which ones, to which strings, and why not the others; with cases of the tests' own."""

from __future__ import annotations

from pathlib import Path
from types import ModuleType

import pytest

import casingloads as cl
from casingloads.output.record import as_record
from casingloads.output.table import design_factor_table

WELL = """
[well]
name = "wants all"
air_gap = "10 m"
[earth]
depth = ["0 m", "3000 m"]
pore_pressure = ["1.0 sg", "1.1 sg"]
[fluids]
mud = "1.2 sg"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[cases]
CASES
[[strings]]
name = "outer"
hole_size = "17-1/2 in"
top = "surface"
shoe = "1000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "surface", slurry = "mud" }]
next_hole = { to = "2900 m", mud = "mud" }
sections = [{ od = "13-3/8 in", wall = "0.514 in", yield = "80 ksi", to = "shoe" }]
STRING
[[strings]]
name = "inner"
hole_size = "12-1/4 in"
top = "surface"
shoe = "2900 m"
run_in = "mud"
cement = [{ from = "shoe", to = "2000 m", slurry = "mud" }]
sections = [{ od = "9-5/8 in", wall = "0.472 in", yield = "80 ksi", to = "shoe" }]
cases = "all-applicable"
"""


def _drills_on(scene: cl.Scene) -> str:
    return "" if scene.string.next_hole is not None else "no hole is drilled below it"


@cl.load_case(phase="drilling", source="made for this test", applies=_drills_on)
def emptied(scene: cl.Scene) -> cl.Load:
    """Empty."""
    return scene.load(inside=cl.Empty(), outside=scene.outside_as_run())


@cl.load_case(phase="production", source="made for this test")
def pressed(scene: cl.Scene, *, pressure: cl.Pressure, deeper: cl.Length | None = None) -> cl.Load:
    """Under pressure."""
    return scene.load(inside=cl.column(scene.string.run_in, pressure=pressure), outside=scene.outside_as_run())


@cl.load_case(phase="other", source="made for this test", one_of=[("one", "other")])
def either(scene: cl.Scene, *, one: cl.Pressure | None = None, other: cl.Pressure | None = None) -> cl.Load:
    """One or the other."""
    return scene.load(inside=cl.Empty(), outside=scene.outside_as_run())


@cl.load_case(phase="other", source="made for this test", applies=lambda scene: "never here")
def deep(scene: cl.Scene, *, deeper: cl.Length | None = None) -> cl.Load:
    """Takes a parameter of the name that another case has."""
    raise NotImplementedError


def _breaks(scene: cl.Scene) -> str:
    raise RuntimeError("applies fails")


@cl.load_case(phase="other", source="made for this test", applies=_breaks)
def unsure(scene: cl.Scene) -> cl.Load:
    """A case whose own question fails: it is tried."""
    return scene.load(inside=cl.Empty(), outside=scene.outside_as_run())


def _no_sea(scene: cl.Scene) -> str:
    return "" if scene.well.subsea else "the wellhead is not on the sea floor"


@cl.load_case(phase="other", source="made for this test", scope="well", applies=_no_sea)
def under_the_sea(scene: cl.Scene) -> cl.Load:
    """Of several strings."""
    raise NotImplementedError


@pytest.fixture
def plugins() -> cl.Plugins:
    module = ModuleType("made_for_this_test")
    module.casingloads_load_cases = cl.hookimpl(  # type: ignore[attr-defined]
        lambda: [emptied, pressed, either, unsure, under_the_sea, deep], specname="casingloads_load_cases"
    )
    return cl.load_plugins(module, installed=False)


def checked(tmp_path: Path, plugins: cl.Plugins, string: str = "", cases: str = "") -> cl.Result:
    path = tmp_path / "well.toml"
    path.write_text(WELL.replace("STRING", string).replace("CASES", cases), encoding="utf-8")
    return cl.check(cl.read_well(path, plugins=plugins), plugins=plugins)


def asked(result: cl.Result, string: str) -> list[str]:
    return list(dict.fromkeys(row.case for row in result.rows if row.string == string))


def test_a_string_gets_all_that_apply_in_the_order_of_the_phases(tmp_path: Path, plugins: cl.Plugins) -> None:
    result = checked(tmp_path, plugins)
    assert asked(result, "inner") == ["pressed", "either", "unsure"]
    assert asked(result, "outer") == []
    passed, other = result.passed_over
    assert (other.case, other.reason) == ("deep", "never here")
    assert (passed.string, passed.case, passed.reason) == ("inner", "emptied", "no hole is drilled below it")


def test_a_missing_input_is_asked_for_in_the_rows(tmp_path: Path, plugins: cl.Plugins) -> None:
    result = checked(tmp_path, plugins)
    reasons = {row.case: row.reason for row in result.rows if row.status == "not-evaluated"}
    assert reasons == {"pressed": "needs pressure", "either": "needs one or other"}
    assert result.verdict != "meets"


def test_a_case_named_with_its_inputs_is_not_asked_for_twice(tmp_path: Path, plugins: cl.Plugins) -> None:
    string = '[strings.cases]\nall-applicable = true\n[strings.cases.mine]\ncase = "pressed"\npressure = "5 MPa"'
    result = checked(tmp_path, plugins, string)
    assert asked(result, "outer") == ["mine", "emptied", "either", "unsure"]
    assert {row.status for row in result.rows if row.case == "mine"} <= {"meets", "below", "no-load"}


def test_cases_of_several_strings_are_asked_for_by_themselves(tmp_path: Path, plugins: cl.Plugins) -> None:
    result = checked(tmp_path, plugins, cases="all-applicable = true")
    assert any(item.string == "" and item.case == "under-the-sea" for item in result.passed_over)


def test_every_output_tells_what_does_not_apply(tmp_path: Path, plugins: cl.Plugins) -> None:
    result = checked(tmp_path, plugins)
    assert "emptied: no hole is drilled below it (inner)" in design_factor_table(result)
    assert as_record(result)["not_applicable"] == [
        {"string": "inner", "case": "emptied", "reason": "no hole is drilled below it"},
        {"string": "inner", "case": "deep", "reason": "never here"},
    ]


SHARED = '[strings.cases]\nall-applicable = { pressure = "5 MPa", one = "1 MPa", leave_out = ["unsure"] }'


def test_inputs_that_several_take_are_given_once(tmp_path: Path, plugins: cl.Plugins) -> None:
    result = checked(tmp_path, plugins, SHARED)
    rows = {row.case: row for row in result.rows if row.string == "outer" and row.mode == "burst"}
    assert list(rows) == ["emptied", "pressed", "either"]
    assert rows["pressed"].load == pytest.approx(5e6)
    assert {row.reason for row in result.rows if row.string == "outer"} == {""}
    out = [item for item in result.passed_over if item.string == "outer"]
    assert ("unsure", "left out in the well file") in [(item.case, item.reason) for item in out]


@pytest.mark.parametrize(
    ("change", "key", "said"),
    [
        (('pressure = "5 MPa"', 'presure = "5 MPa"'), "presure", "no load case has such a parameter; did you mean"),
        (('"5 MPa"', '"5 m"'), "pressure", "'5 m' is a length"),
        (('"5 MPa"', '"-5 MPa"'), "pressure", "need zero or more"),
        (
            ('one = "1 MPa"', 'deeper = "1 m"'),
            "deeper",
            "does not mean the same in deep, pressed; give it to a case by",
        ),
        (('["unsure"]', '["unshure"]'), "leave_out", "did you mean 'unsure'?"),
        (('["unsure"]', '"unsure"'), "leave_out", "need a list of names of cases"),
    ],
)
def test_inputs_that_make_no_sense_are_told(
    tmp_path: Path, plugins: cl.Plugins, change: tuple[str, str], key: str, said: str
) -> None:
    with pytest.raises(cl.InputError) as error:
        checked(tmp_path, plugins, SHARED.replace(*change))
    (problem,) = error.value.problems
    assert problem.where == f"strings.outer.cases.all-applicable.{key}"
    assert said in problem.message


def test_anything_else_is_refused(tmp_path: Path, plugins: cl.Plugins) -> None:
    with pytest.raises(cl.InputError, match="all-applicable"):
        checked(tmp_path, plugins, "[strings.cases]\nall-applicable = 3")


def test_a_label_that_is_the_name_of_another_case_hides_nothing(tmp_path: Path, plugins: cl.Plugins) -> None:
    string = '[strings.cases]\nall-applicable = true\n[strings.cases.emptied]\ncase = "pressed"\npressure = "5 MPa"'
    result = checked(tmp_path, plugins, string)
    assert asked(result, "outer") == ["emptied", "emptied itself", "either", "unsure"]
