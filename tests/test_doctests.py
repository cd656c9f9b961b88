"""Runs the doctests of every module, imported by its installed name."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
import tomllib
from pathlib import Path

import pytest

PROJECT = tomllib.loads((Path(__file__).parent.parent / "pyproject.toml").read_text(encoding="utf-8"))
MODULES = sorted(
    f"{package}.{module.name}"
    for package in PROJECT["tool"]["setuptools"]["packages"]
    for module in pkgutil.iter_modules(importlib.import_module(package).__path__)
    if not module.ispkg and module.name != "__main__"
)


def test_modules_are_found() -> None:
    assert {"casingloads.axial.held", "casingloads.strength.collapse", "casingloads.plugins.drilling"} <= set(MODULES)


@pytest.mark.parametrize("name", MODULES)
def test_doctests(name: str) -> None:
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.failed == 0
