"""Runs the doctests of every module, imported by its installed name."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import casingloads

MODULES = sorted(
    module.name
    for module in pkgutil.walk_packages(casingloads.__path__, "casingloads.")
    if not module.ispkg and not module.name.endswith("__main__")
)


def test_modules_are_found() -> None:
    assert {"casingloads.axial.held", "casingloads.strength.collapse", "casingloads.plugins.drilling"} <= set(MODULES)


@pytest.mark.parametrize("name", MODULES)
def test_doctests(name: str) -> None:
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.failed == 0
