"""Three invented wells by a second route: strings that move and are held with buckling, and what well control asks.

Nothing here is of the library but its results: wells are read anew (conftest.py here), mechanics are summed on panels
of at most a metre (`moving_by_hand`), columns and gas are of our own (`control_by_hand`), and so is what each load case
means (`moving_cases_by_hand`, `moving_cases_offshore_by_hand`). Source: our own plain arithmetic, from mechanics and
the published formulas; not published itself.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import moving_cases_by_hand as on_land
import moving_cases_offshore_by_hand as offshore
import numpy as np
import pandas as pd
import pytest
from control_by_hand import Bubble, Real, Straight, column, mass_of
from moving_by_hand import Forces, G, Mover, Now, look
from moving_cases_by_hand import SEA, Cases, Rising, annulus
from scipy.optimize import brentq

import casingloads as cl

WELLS = Path(__file__).parent / "wells"
STRINGS: dict[str, tuple[str, str, Callable[[Any], tuple[Mover, Cases, Rising | None]]]] = {
    "land-surface": ("brackenholt-7", "surface", on_land.land_surface),
    "land-intermediate": ("brackenholt-7", "intermediate", on_land.land_intermediate),
    "land-liner": ("brackenholt-7", "liner", on_land.land_liner),
    "land-tie-back": ("brackenholt-7", "tie-back", on_land.land_tie_back),
    "deep-conductor": ("fennick-deep-3", "conductor", offshore.deep_conductor),
    "deep-surface": ("fennick-deep-3", "surface", offshore.deep_surface),
    "deep-intermediate": ("fennick-deep-3", "intermediate", offshore.deep_intermediate),
    "deck-surface": ("dunmarrow-a5", "surface", offshore.deck_surface),
    "deck-production": ("dunmarrow-a5", "production", offshore.deck_production),
}
MODES = {"burst": ("pa", 1e4), "collapse": ("pa", 1e4), "tension": ("n", 1e3), "compression": ("n", 1e3),
         "triaxial": ("pa", 1e5)}  # fmt: skip
COLUMNS = {"true_force_n": "true", "effective_force_n": "effective", "bending_stress_pa": "bending",
           "side_force_n_per_m": "side", "snaking_force_n": "snaking"}  # fmt: skip
CEMENTED_UP = ("deep-conductor", "wellhead-load")
"""The load is on the very top only: of its two sides the library shows the loaded one."""
PINCHED = ("land-liner", "pressure-test")
"""Where the bend presses pipe off the low side: for some metres nothing holds it, and it is a helix there."""
WORDS = {0.0: "", 1.0: "snake", 2.0: "helix"}
Open = Callable[[str, str], Any]
Step = tuple[str, Now, pd.DataFrame]
Meaning = tuple[Mover, Cases, Rising | None]


@cache
def result(file: str) -> cl.Result:
    return cl.check(cl.read_well(WELLS / f"{file}.toml"))


def cases() -> list[tuple[str, str]]:
    found = []
    for key, (file, name, _) in STRINGS.items():
        data = tomllib.loads((WELLS / f"{file}.toml").read_text(encoding="utf-8"))
        found += [(key, label) for string in data["strings"] if string["name"] == name for label in string["cases"]]
    return found


@pytest.fixture(scope="module")
def meaning(bench: Open) -> Callable[[str, str], Meaning]:
    """Open a string, and say what its cases mean; the second kick of the string on land is put apart."""

    @cache
    def opened(key: str, label: str) -> Meaning:
        file, name, said = STRINGS[key]
        return on_land.land_real_kick(bench(file, name)) if label == "real-kick" else said(bench(file, name))

    return lambda key, label: opened(key, label if label == "real-kick" else "")


def few(names: list[str]) -> list[str]:
    """Of the many moments on the way down: landed, just before, and one between, with all that drag does there."""
    plain = [name for name in names if "," not in name]
    chosen = [*plain[len(plain) // 2 : len(plain) // 2 + 1], *plain[-2:]]
    return [name for name in names if name.split(",")[0] in chosen]


def steps(key: str, label: str, meant: Meaning) -> Iterator[Step]:
    """Yield steps of a case: its name, our moment, and the library's profile."""
    file, name, _ = STRINGS[key]
    mover, known, rising = meant
    found, names = result(file), [s for string, c, s in result(file).evaluations if (string, c) == (name, label)]
    assert names
    if label not in known:
        assert rising
        for step, top in bubbles(mover.bench, names).items():
            yield step, rising(top), found.profile(name, label, step)
    elif isinstance(moments := known[label], list):
        for step, now in zip(names, moments, strict=True):
            yield step, now, found.profile(name, label, step)
    else:
        for step in few(names):
            profile = found.profile(name, label, step)
            yield step, moments(step, float(profile["md_m"].iloc[-1])), profile


def bubbles(b: Any, names: list[str]) -> dict[str, float | None]:
    """Of the many bubbles: as it came in, with its top at the shoe, and at the wellhead."""
    shoe = b.path.tvd(b.shoe)
    at_shoe = next(name for name in names if f"top at {shoe:.1f} m" in name)
    return {names[0]: None, at_shoe: shoe, names[-1]: b.head}


def ours(mover: Mover, now: Now, profile: pd.DataFrame) -> Forces:
    grid = mover.grid(now, sorted(set(profile["md_m"])), 1.0 if now.held else 3.0)
    return mover.held(now, grid) if now.held else mover.free(now, grid)


def checks(mover: Mover, now: Now, md: float, below: bool, at: dict[str, float]) -> dict[str, tuple[float, float]]:
    """Load and rating of each mode by the strength of the other bench."""
    b, tube = mover.bench, mover.bench.tube(md, below, now.moved)
    force, p, q = at["true"], at["inside"], at["outside"]
    body, bend = tube.steel * tube.strength, at["bending"] / (tube.od / 2.0)
    combined = tube.equivalent(force, p, q, bend, b.string.get("triaxial_wall") == "nominal")
    return {"burst": (p - q, tube.burst(False)), "collapse": (q - p, tube.collapse(force / tube.steel + p)),
            "tension": (force, body), "compression": (-force, body), "triaxial": (combined, tube.strength)}  # fmt: skip


def lowest(mover: Mover, now: Now, forces: Forces, stride: int) -> dict[tuple[int, str], float]:
    """Lowest factors by section and mode at every *stride*-th panel of our own, both its ends."""
    grid, best = forces.grid, dict[tuple[int, str], float]()
    for i in range(0, len(grid.tube), stride):
        for row in (0, 2):
            found = checks(mover, now, float(grid.md[row, i]), row == 0, forces.of(row, i))
            for mode, (load, rating) in found.items():
                if load > MODES[mode][1]:
                    which = (grid.tube[i] + 1, mode)
                    best[which] = min(best.get(which, np.inf), rating / load)
    return best


# --- comparison -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("key", "label"), cases())
def test_pressures_forces_and_factors(key: str, label: str, meaning: Callable[[str, str], Meaning]) -> None:
    mover = meaning(key, label)[0]
    for step, now, profile in steps(key, label, meaning(key, label)):
        forces, sides = ours(mover, now, profile), (profile["side"] == "below").tolist()
        at = [forces.at(md, below) for md, below in zip(profile["md_m"], sides, strict=True)]
        mine = pd.DataFrame(at)
        kick = "kick" in label
        _pressures(step, profile, mine, 1e-5 if kick else 1e-6)
        _warmth(now, profile, sides)
        _forces(step, profile, mine, kick, 2e-4 if (key, label) != PINCHED else 6e-4)
        _factors(key, label, step, mover, now, forces)


def _pressures(step: str, profile: pd.DataFrame, mine: pd.DataFrame, near: float) -> None:
    for name in ("inside", "outside"):
        assert profile[f"p_{name}_pa"].tolist() == pytest.approx(mine[name].tolist(), rel=near, abs=20.0), (step, name)


def _warmth(now: Now, profile: pd.DataFrame, sides: list[bool]) -> None:
    if now.warm:
        warm = look(now.warm, profile["tvd_m"].to_numpy(float), np.array(sides))[0]
        assert profile["temperature_k"].tolist() == pytest.approx(warm.tolist(), abs=1e-6)


def _forces(step: str, profile: pd.DataFrame, mine: pd.DataFrame, kick: bool, near: float) -> None:
    """Within 0.02 % of the greatest along the string; where pipe just begins to snake a little less sharp.

    Places of the library at a bubble's end may lie on either side of ours: there what hangs on slopes is left out.
    """
    for title, name in COLUMNS.items():
        if name not in ("true", "effective") and kick:
            continue
        known = profile[title].astype("float64").to_numpy()
        scale = max(float(np.nanmax(np.abs(known), initial=0.0)), 1e3)
        off = float(np.nanmax(np.abs(known - mine[name].to_numpy()) / scale, initial=0.0))
        assert off < (near if name in ("true", "effective") else 10.0 * near), (step, name, off)
    if not kick:
        assert profile["buckled"].tolist() == [WORDS[regime] for regime in mine["regime"]], step


def _factors(key: str, label: str, step: str, mover: Mover, now: Now, forces: Forces) -> None:
    """At the place the library names, and none lower at places of our own."""
    file, name, _ = STRINGS[key]
    frame = result(file).factors
    here = (frame["string"] == name) & (frame["case"] == label) & (frame["step"] == step)
    rows = frame[here & (frame["status"] != "no-load")]
    fine = lowest(mover, now, forces, 7)
    assert set(zip(rows["section"], rows["mode"], strict=True)) >= fine.keys()
    for row in rows.to_dict("records"):
        below, md = row["side"] == "below", row["md_m"]
        load, rating = checks(mover, now, md, below, forces.at(md, below))[row["mode"]]
        where = (step, row["section"], row["mode"], md)
        # where drag changes sides or snaking begins within its long panels, the library's sum is a little less sharp
        near = 4e-4 if now.drag or forces.regime.any() else 1e-4
        assert row["factor"] == pytest.approx(rating / load, rel=near), where
        if (key, label) != CEMENTED_UP:
            assert row["factor"] < fine.get((row["section"], row["mode"]), np.inf) * 1.001, where


# --- beside the cases -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", STRINGS)
def test_what_the_rig_carries(key: str, meaning: Callable[[str, str], Meaning]) -> None:
    """All of it at the drill floor, landed, and when the cement set, with the drag that is left in it then."""
    (file, name, _), mover = STRINGS[key], meaning(key, "")[0]
    b, found = mover.bench, result(file).hook_loads
    run_in = b.fluid(b.string["run_in"])
    mud = column(run_in, 25.0 if run_in == SEA else 0.0)
    landed = Now(inside=mud, outside=mud)
    for known, now in zip(
        found[found["string"] == name].itertuples(),
        (replace(landed, moved=b.top), landed, mover.then),
        strict=True,
    ):
        forces = mover.free(now, mover.grid(now))
        assert known.effective_force_at_top_n == pytest.approx(forces.effective[0, 0], rel=5e-5)
        assert known.true_force_at_top_n == pytest.approx(forces.true[0, 0], rel=1e-4)


@pytest.mark.parametrize(
    ("label", "gas", "influx", "below", "ratio"),
    [("kick-circulated-out", Straight(1900.0), 7.0, 1420.0, 1.032), ("real-kick", None, 5.0, 1460.0, 0.987)],
)
def test_bubble_that_keeps_its_mass(
    label: str, gas: Straight | None, influx: float, below: float, ratio: float, bench: Open
) -> None:
    """The law of gases at the bubble's top only, and the influx at the pressure of the bottom, are near the truth.

    Ours here: the influx fills its volume as the well is shut in, and its mass, summed along the bubble, stays. At the
    wellhead the short form of LeBlanc & Lewis gives 3.2 % more for a gas of constant gradient, 1.3 % less for a real
    one, which is colder at the top of the bubble than along it.
    """
    b = bench("brackenholt-7", "intermediate")
    bottom, cold = b.path.tvd(3700.0), b.warmth(at_set=False)
    held = ((1470.0 if gas else 1460.0) * G) * bottom
    real = gas or Real(0.70, lambda z: float(b.at(cold, z)))
    bubble = Bubble(b, 9.0, (bottom, held), influx, (1420.0, below), real, annulus(b, 5.0, 8.5))
    first = brentq(lambda z: bubble.volume(z, bottom) - influx, 9.0, bottom)
    mass = mass_of(bubble, first, bottom)
    end = brentq(lambda z: mass_of(bubble, 9.0, z) - mass, 10.0, bottom)
    at_top = bubble.stands(9.0, end, held, 40)[0][1]
    found = result("brackenholt-7")
    last = [step for string, case, step in found.evaluations if (string, case) == ("intermediate", label)][-1]
    known = found.profile("intermediate", label, last)["p_inside_pa"].iloc[0]
    assert known / at_top == pytest.approx(ratio, abs=0.002)
