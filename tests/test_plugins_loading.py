"""Putting plugins together: entry points, files, modules, clashes; and how a load case's parameters are understood."""

from __future__ import annotations

import types
from pathlib import Path
from typing import Any, Literal

import pytest

import casingloads as cl
from casingloads.parameters import Known, read_parameters
from casingloads.strength.models import DEFAULT_MODELS


def test_built_in_cases_and_models_come_through_the_hooks() -> None:
    plugins = cl.load_plugins()
    assert {"running", "overpull", "cementing", "pressure-test", "gas-to-surface"} <= set(plugins.cases)
    assert {"lost-returns", "evacuation", "riser-loss"} <= set(plugins.cases)
    assert {(mode, name) for mode, name in DEFAULT_MODELS.items()} <= set(plugins.models)
    assert [plugin.name for plugin in plugins.loaded][:3] == ["annuli", "bullheading", "cementing"]


def test_without_installed_plugins_there_is_no_load_case() -> None:
    assert cl.load_plugins(installed=False).cases == {}


def test_every_built_in_case_states_source_and_summary() -> None:
    for case in cl.load_plugins().cases.values():
        assert case.source
        assert case.summary.endswith(".")
        for parameter in case.parameters:
            assert parameter.text, f"{case.name}: {parameter.name} is not described"


def test_a_name_taken_twice_names_both_owners() -> None:
    clash = types.ModuleType("clash")

    @cl.load_case(phase="other", source="test")
    def running(scene: cl.Scene) -> cl.Load:
        """Takes a built-in's name."""
        raise NotImplementedError

    @cl.hookimpl
    def casingloads_load_cases() -> list[cl.LoadCase]:
        return [running]

    clash.casingloads_load_cases = casingloads_load_cases  # type: ignore[attr-defined]
    with pytest.raises(cl.InputError, match=r"'clash'.*offers 'running', as plugin 'running' does"):
        cl.load_plugins(clash)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("raise RuntimeError('at import')", "at import"),
        ("def broken(:", "SyntaxError"),
    ],
)
def test_a_file_that_does_not_load(text: str, message: str, tmp_path: Path) -> None:
    file = tmp_path / "bad.py"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(cl.InputError, match=message):
        cl.load_plugins(file)


def test_parameters_are_read_by_their_annotation() -> None:
    @cl.load_case(phase="other", source="test")
    def sample(
        scene: cl.Scene,
        *,
        height: cl.Length,
        gradient: cl.Gradient = "2.3 kPa/m",
        mud: cl.FluidName | None = None,
        zone: cl.FormationPressure = "1.1 sg",
        side: Literal["in", "out"] = "in",
        share: float = 0.5,
        wet: bool = False,
    ) -> cl.Load:
        """A sample.

        Parameters
        ----------
        height : Length
            How high.
        """
        raise NotImplementedError

    assert sample.name == "sample"
    assert sample.parameters[0].text == "How high."
    known = Known(fluids={"mud": cl.Fluid(name="mud", density=1100.0)})
    values, problems, defaults = read_parameters(sample, {"height": "100 ft", "mud": "mud", "share": 1}, known)
    assert problems == []
    assert values["height"] == pytest.approx(30.48)
    assert values["gradient"] == pytest.approx(2300.0)
    assert values["mud"] is known.fluids["mud"]
    assert values["zone"].at(1000.0) == pytest.approx(1100 * 9.80665 * 1000)
    assert values["share"] == 1.0
    assert "gradient = '2.3 kPa/m', by default" in defaults
    wrong: dict[str, Any] = {"hight": "1 m", "mud": "mdu", "side": "inn", "share": "x", "wet": 1, "gradient": "3 MPa"}
    _, problems, _ = read_parameters(sample, wrong, known)
    told = dict(problems)
    assert "did you mean 'height'?" in told["hight"]
    assert "missing" in told["height"]
    assert "did you mean 'mud'?" in told["mud"]
    assert "'inn' is not accepted" in told["side"]
    assert "not a float" in told["share"]
    assert "not a bool" in told["wet"]
    assert "is a pressure" in told["gradient"]


def test_what_the_decorator_refuses() -> None:
    decorate = cl.load_case(phase="other", source="test")

    def undocumented(scene: cl.Scene) -> cl.Load:
        raise NotImplementedError

    def positional(scene: cl.Scene, height: cl.Length) -> cl.Load:
        """Takes a parameter by position."""
        raise NotImplementedError

    def strange(scene: cl.Scene, *, height: list[int]) -> cl.Load:
        """Takes a list."""
        raise NotImplementedError

    with pytest.raises(TypeError, match="needs a docstring"):
        decorate(undocumented)
    with pytest.raises(TypeError, match="by keyword only"):
        decorate(positional)
    with pytest.raises(TypeError, match=r"use cl\.Length"):
        decorate(strange)
