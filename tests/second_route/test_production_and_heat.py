"""Production, heat and other uses of invented wells by a second route: what each load case means, and its factors.

Nothing here is of the library but its results. The wells are read anew (`scene_by_hand`), each case is said again
(`cases_by_hand`), the force of a held string with buckling and yielding is bisected on pieces of 1 m (`held_by_hand`),
closed annuli on pieces of 1 m (`annuli_by_hand`), and gas, steam and flows are integrated (`fluids_by_hand`).
Source: our own plain arithmetic, from mechanics and the published formulas; not published itself.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from cases_by_hand import MEANING, trapped_annuli
from held_by_hand import HAIR, UNITS, Held, Place, Step
from scene_by_hand import Scene

import casingloads as cl

WELLS = Path(__file__).parent / "wells"
FILES = ("farrowmere-5", "sundrake-3", "hellegrund-1")
Open = Callable[[str, str], Any]
Key = tuple[str, str, str]  # file, string, label
KNOWN: dict[Key, tuple[Held, list[Step]]] = {}
TABLES_OF_FLOWS = 5e-4
"""A flow becomes a table of rows 30 m apart, straight between them: up to 0.02 K off, and 50 kPa of stress."""


@cache
def data(file: str) -> dict[str, Any]:
    return tomllib.loads((WELLS / f"{file}.toml").read_text(encoding="utf-8"))


@cache
def result(file: str) -> cl.Result:
    return cl.check(cl.read_well(WELLS / f"{file}.toml"))


@cache
def profiles(key: Key) -> list[tuple[str, pd.DataFrame]]:
    """Each step of the library, by name."""
    file, name, label = key
    found = result(file)
    return [(step, found.profile(s, c, step)) for s, c, step in found.evaluations if (s, c) == (name, label)]


def keys() -> list[Key]:
    own = [(file, s["name"], label) for file in FILES for s in data(file)["strings"] for label in s["cases"]]
    shared = [(file, label) for file in FILES for label in data(file).get("cases", {})]
    return own + [(file, s["name"], label) for file, label in shared for s in data(file)["strings"]]


def worked(key: Key, bench: Open) -> tuple[Held, list[Step]]:
    """Return the string and its steps, worked once; several strings at a time where a case concerns several."""
    if key not in KNOWN:
        file, name, label = key
        benches = {s["name"]: bench(file, s["name"]) for s in data(file)["strings"]}
        scenes = [Scene(benches, string) for string in benches]
        if label in data(file).get("cases", {}):
            for scene, step in zip(scenes, trapped_annuli(scenes, data(file)["cases"][label]), strict=True):
                KNOWN[file, scene.name, label] = scene.held, [step]
        else:
            scene = next(scene for scene in scenes if scene.name == name)
            case = scene.string["cases"][label]
            KNOWN[key] = scene.held, MEANING[case.get("case", label)](scene, case)
    return KNOWN[key]


def steps(key: Key, bench: Open) -> Iterator[tuple[Held, Step, str, pd.DataFrame]]:
    """Yield each step: the string, the step, its name and the library's profile."""
    held, own = worked(key, bench)
    for step, (told, profile) in zip(own, profiles(key), strict=True):
        yield held, step, told, profile


def places(profile: pd.DataFrame) -> list[Place]:
    return list(zip(profile["md_m"].tolist(), (profile["side"] == "below").tolist(), strict=True))


def tolerance(key: Key) -> float:
    """Of what depends on temperature, and hardly on anything else."""
    file, name, label = key
    case = next(s for s in data(file)["strings"] if s["name"] == name)["cases"].get(label, {})
    tables = data(file)["temperatures"]
    return TABLES_OF_FLOWS if any("flow" in tables.get(v, {}) for v in case.values() if isinstance(v, str)) else 1e-4


@pytest.mark.parametrize("key", keys(), ids="-".join)
def test_profile(key: Key, bench: Open) -> None:
    """Pressure, temperature, forces, bending and ratings, at both sides of every place."""
    for held, step, told, profile in steps(key, bench):
        mine = pd.DataFrame([held.at(step, md, below) for md, below in places(profile)])
        for column in sorted(set(map(str, mine)) & set(map(str, profile))):
            if column == "temperature_k":
                assert (profile[column] - mine[column]).abs().max() < 0.02, (told, column)
                continue
            scale = max(float(mine[column].abs().max()), 1e3 if column.endswith(("pa", "n")) else 1.0)
            off = ((profile[column].astype(float) - mine[column]).abs() / scale).to_numpy()
            near = 2e-3 if column.startswith(("bending", "side")) else tolerance(key)  # of a snake about to begin
            assert off.max() < near, f"{told}, {column}, at {profile['md_m'].iloc[off.argmax()]} m"


@pytest.mark.parametrize("key", keys(), ids="-".join)
def test_factors(key: Key, bench: Open) -> None:
    """Every row: the lowest factor over the library's places, with the load and the rating where it governs."""
    file, name, label = key
    frame = result(file).factors
    frame = frame[(frame["string"] == name) & (frame["case"] == label) & (frame["status"] != "no-load")]
    assert set(frame["status"]) <= {"meets", "below"}
    for held, step, told, profile in steps(key, bench):
        mine = held.lowest(step, places(profile))
        rows = frame[frame["step"] == told].to_dict("records")
        assert {(row["section"], row["mode"]) for row in rows} == mine.keys(), told
        for row in rows:
            which, near = (row["section"], row["mode"]), tolerance(key)
            assert 1.0 / row["factor"] == pytest.approx(1.0 / mine[which], rel=near, abs=2e-6), (told, which)
            there = held.at(step, row["md_m"], row["side"] == "below")
            load, rating = (there[f"{row['mode']}_{what}_{UNITS[row['mode']]}"] for what in ("load", "rating"))
            assert row["rating"] == pytest.approx(rating, rel=near), (told, which)
            assert row["load"] == pytest.approx(load, rel=near, abs=2e-6 * rating), (told, which)


def own_places(held: Held) -> list[Place]:
    """Places of our own: some 20 m apart between all edges, both sides."""
    b = held.b
    marks = {*b.path.md, *(tube.bottom for tube in b.tubes), *(edge for top, low, _ in b.cement for edge in (top, low))}
    edges = [b.top, *sorted(mark for mark in marks if b.top + HAIR < mark < b.shoe - HAIR), b.shoe]
    found: list[Place] = []
    for upper, lower in pairwise(edges):
        parts = int((lower - upper) / 20.0) + 1
        found += [(upper + (lower - upper) * k / parts, k < parts) for k in range(parts + 1)]
    return found


@pytest.mark.parametrize("key", keys(), ids="-".join)
def test_no_lower_factor_between_the_places(key: Key, bench: Open) -> None:
    file, name, label = key
    frame = result(file).factors
    frame = frame[(frame["string"] == name) & (frame["case"] == label)]
    for held, step, told, _ in steps(key, bench):
        own = own_places(held)
        if step.top is not None and not held.free:
            own = own[3:]  # cement that begins at the very top takes the load just there
        mine = held.lowest(step, own)
        for row in frame[frame["step"] == told].to_dict("records"):
            lowest = mine.get((row["section"], row["mode"]))
            if lowest is not None:
                assert row["factor"] < lowest * (1.0 + tolerance(key)) + 1e-5 * lowest**2, (told, row["mode"])


def cemented(held: Held, place: Place) -> bool:
    md = place[0] + (HAIR if place[1] else -HAIR)
    return any(top < md < bottom for top, bottom, _ in held.b.cement)


@pytest.mark.parametrize("key", [key for key in keys() if key[0] == "hellegrund-1"], ids="-".join)
def test_strain_that_stays(key: Key, bench: Open) -> None:
    """Of cemented pipe that has yielded, step after step."""
    for held, step, told, profile in steps(key, bench):
        assert ("strain_left" in profile) == step.yields
        if step.yields:
            own = [held.yielding(step, at)[1] if cemented(held, at) else 0.0 for at in places(profile)]
            assert profile["strain_left"].tolist() == pytest.approx(own, abs=5e-7), told


def test_these_wells_buckle_both_ways_and_yield() -> None:
    """So that the comparison is of something."""
    found = [profile for key in keys() for _, profile in profiles(key)]
    shapes = {shape for profile in found for shape in profile["buckled"]}
    assert shapes == {"", "snake", "helix"}
    assert min(profile["strain_left"].min() for profile in found if "strain_left" in profile) < -1e-4
