"""The package as installed: every folder with modules is in it, every entry point is a module of `plugins/`."""

from __future__ import annotations

import subprocess
import tomllib
from importlib.metadata import entry_points
from importlib.resources import files
from pathlib import Path

import pytest

import casingloads

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_every_folder_with_modules_is_packaged() -> None:
    listed = set(PROJECT["tool"]["setuptools"]["package-dir"].values())
    folders = {
        str(path.parent.relative_to(ROOT))
        for top in ("loads", "plugins", "catalogs")
        for path in (ROOT / top).rglob("*.py")
    }
    assert folders == listed
    assert sorted(PROJECT["tool"]["setuptools"]["packages"]) == sorted(PROJECT["tool"]["setuptools"]["package-dir"])


def test_entry_points_are_the_modules_of_plugins() -> None:
    modules = {path.stem for path in (ROOT / "plugins").glob("*.py")} - {"__init__"}
    points = entry_points(group="casingloads")
    found = {point.value for point in points if point.dist and point.dist.name == "casingloads"}
    assert found == {f"casingloads.plugins.{name}" for name in modules}


def test_data_are_installed() -> None:
    assert files("casingloads").joinpath("units.txt").is_file()
    assert files("casingloads").joinpath("py.typed").is_file()
    assert files("casingloads.catalogs").joinpath("casing_sizes.csv").is_file()


def test_one_version() -> None:
    assert casingloads.__version__ == PROJECT["project"]["version"]


def test_top_level_is_as_agreed() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout, so nothing tells what is part of the project")
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "MANIFEST.in"}
    agreed |= {"loads", "plugins", "catalogs", "tests", "examples"}
    there = {line.split("/")[0] for line in listed.splitlines()}
    assert {name for name in there if not name.startswith(".")} <= agreed
