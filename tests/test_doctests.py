"""Runs the doctests of every module, imported by its installed name."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import casingloads
import casingloads.catalog
import casingloads.output
import casingloads.plugins
import casingloads.strength
import casingloads.wellfile

PACKAGES = (
    casingloads,
    casingloads.catalog,
    casingloads.output,
    casingloads.plugins,
    casingloads.strength,
    casingloads.wellfile,
)
MODULES = sorted(
    f"{package.__name__}.{module.name}"
    for package in PACKAGES
    for module in pkgutil.iter_modules(package.__path__)
    if module.name != "__main__"
)


def test_modules_are_found() -> None:
    assert {"casingloads.axial", "casingloads.strength.collapse", "casingloads.plugins.drilling"} <= set(MODULES)


@pytest.mark.parametrize("name", MODULES)
def test_doctests(name: str) -> None:
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.failed == 0
