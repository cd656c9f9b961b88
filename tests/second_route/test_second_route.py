"""Three invented wells by a second route: what each load case means, the force it puts on the pipe, its factors.

Source: our own plain arithmetic (conftest.py here), from mechanics and the published formulas; not published itself.
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

import casingloads as cl

WELLS = Path(__file__).parent / "wells"
STRINGS = {
    "land": ("tarn-hollow-2", "intermediate"),
    "riserless": ("quillon-deep-1", "surface"),
    "subsea": ("quillon-deep-1", "intermediate"),
    "liner": ("quillon-deep-1", "liner"),
    "platform": ("maren-bank-a3", "production"),
}
MODES = {"burst": ("pa", 1e4), "collapse": ("pa", 1e4), "tension": ("n", 1e3), "compression": ("n", 1e3),
         "triaxial": ("pa", 1e5)}  # fmt: skip
DEEP, G, SEA = 1e5, 9.80665, 1025.0
Open = Callable[[str, str], Any]
Lowest = tuple[float, float, float]  # factor, load, rating


@cache
def result(file: str) -> cl.Result:
    return cl.check(cl.read_well(WELLS / f"{file}.toml"))


def cases() -> list[tuple[str, str]]:
    found = []
    for key, (file, name) in STRINGS.items():
        data = tomllib.loads((WELLS / f"{file}.toml").read_text(encoding="utf-8"))
        found += [(key, label) for string in data["strings"] if string["name"] == name for label in string["cases"]]
    return found


# --- what the load cases mean -------------------------------------------------------------------------------


def outside_as_cemented(b: Any, top: float, run_in: float) -> Any:
    """Mud from *top*, slurry beside every cemented interval, mud between."""
    layers = [((run_in, b.path.tvd(upper)), (slurry, b.path.tvd(lower))) for upper, lower, slurry in b.cement]
    return b.fill(top, 0.0, *[layer for pair in layers for layer in pair], (run_in, DEEP))


def gas(gradient: float, *allowed: tuple[float, float]) -> Any:
    """Gas through the point ``(depth, pressure)`` that lets it press least."""
    least = min(p - gradient * z for z, p in allowed)
    return [(0.0, least), (DEEP, least + gradient * DEEP)]


def fallen(b: Any, mud: float, *zones: tuple[float, float]) -> Any:
    """Mud that balances the zone which takes most, nothing above it."""
    return b.fill(max(z - p / (mud * G) for z, p in zones), 0.0, (mud, DEEP))


def sea_over(b: Any, mud: float, z: float, pressure: float) -> Any:
    """Sea water from sea level at 28 m, then mud, which together balance a zone."""
    contact = min(z, (pressure + SEA * G * 28.0 - mud * G * z) / ((SEA - mud) * G))
    return b.fill(28.0, 0.0, (SEA, contact), (mud, DEEP))


def land(b: Any) -> tuple[Any, dict[str, Any]]:
    """Wellhead on the ground, 25 ft below the drill floor, where all mud begins."""
    ft, psi, ppg, tvd = 0.3048, b.si("1 psi"), b.si("1 ppg"), b.path.tvd
    mud, brine = b.fill(0.0, 0.0, (10.2 * ppg, DEEP)), b.fill(0.0, 0.0, (9.8 * ppg, DEEP))
    pore, fracture, shoe, end = b.earth("pore_pressure"), b.earth("fracture"), tvd(b.shoe), tvd(16000 * ft)
    weak = [(z, p + 150 * psi) for z, p in b.between(fracture, tvd(13000 * ft), end)]
    blown = gas(0.15 * psi / ft, (tvd(15500 * ft), 7900 * psi), *weak)
    full = gas(0.1 * psi / ft, (end, 12.2 * ppg * G * end), *b.between(fracture, shoe, end))
    assert b.at(full, 10400 * ft) == pytest.approx(b.at(fracture, 10400 * ft))  # bounded there, not at the shoe
    then = b.moment(brine, outside_as_cemented(b, 0.0, 10.2 * ppg))
    return then, {
        "running": [b.moment(mud, mud)],
        "overpull": [b.moment(mud, mud, pull=b.si("120000 lbf"))],
        "stuck-above": [b.moment(mud, mud, pull=b.si("90000 lbf"), stuck=9000 * ft)],
        "cementing": [then],
        "pressure-test": [b.moment(b.fill(25 * ft, 3100 * psi, (9.8 * ppg, DEEP)), mud, held=True)],
        "test-at-floor": [b.moment(b.fill(0.0, 2900 * psi, (8.34 * ppg, DEEP)), pore, held=True)],
        "gas-to-surface": [b.moment(full, mud, held=True)],
        "gas-margin": [b.moment(blown, pore, held=True)],
        "lost-returns": [b.moment(fallen(b, 12.4 * ppg, *b.between(pore, shoe, end)), mud, held=True)],
        "evacuation": [b.moment([(0.0, 0.0)], mud, held=True)],
        "half-empty": [b.moment(b.fill(tvd(6000 * ft), 0.0, (10.2 * ppg, DEEP)), mud, held=True)],
    }


def riserless(b: Any) -> tuple[Any, dict[str, Any]]:
    """Run in open sea, cemented to below the wellhead at 1478 m; drilled out without a riser, with heavier mud."""
    sea, pore = b.fill(28.0, 0.0, (SEA, DEEP)), b.earth("pore_pressure")
    then = b.moment(sea, outside_as_cemented(b, 28.0, SEA))
    return then, {
        "running": [b.moment(sea, sea)],
        "overpull": [b.moment(sea, sea, pull=700e3)],
        "cementing": [then],
        "pressure-test": [b.moment(b.fill(1478.0, SEA * G * 1450.0 + 5e6, (SEA, DEEP)), sea, held=True)],
        "lost-returns": [b.moment(sea_over(b, 1250.0, 2600.0, b.at(pore, 2600.0)), sea, held=True)],
        "deep-losses": [b.moment(sea_over(b, 1250.0, 2700.0, 26.5e6), pore, held=True)],
    }


def subsea(b: Any) -> tuple[Any, dict[str, Any]]:
    """Run with riser mud, which begins at the drill floor on both sides."""
    mud, pore, tvd, ambient = b.fill(0.0, 0.0, (1280.0, DEEP)), b.earth("pore_pressure"), b.path.tvd, SEA * G * 1450.0
    then, shoe, end, thief = b.moment(mud, outside_as_cemented(b, 0.0, 1280.0)), tvd(3300.0), tvd(4400.0), tvd(4200.0)
    full = gas(2400.0, (end, 46e6), *b.between(b.earth("fracture"), shoe, end))
    assert b.at(full, end) == pytest.approx(46e6)  # bounded by the reservoir
    low = fallen(b, 1400.0, (thief, 800.0 * G * thief))
    assert low[0][0] > 1478.0  # the level is below the wellhead
    shut, lost = b.fill(0.0, 0.0, (1400.0, DEEP)), b.fill(1478.0, ambient, (1400.0, DEEP))
    return then, {
        "running": [b.moment(mud, mud)],
        "overpull": [b.moment(mud, mud, pull=900e3, stuck=3000.0)],
        "cementing": [then],
        "pressure-test": [b.moment(b.fill(1478.0, ambient + 20e6, (1280.0, DEEP)), mud, held=True)],
        "test-at-floor": [b.moment(b.fill(0.0, 18e6, (1280.0, DEEP)), pore, held=True)],
        "gas-to-surface": [b.moment(full, pore, held=True)],
        "riser-loss": [b.moment(shut, mud, held=True), b.moment(lost, mud, held=True)],
        "lost-returns": [b.moment(low, mud, held=True)],
        "evacuation": [b.moment(b.fill(tvd(2900.0), 0.0, (1400.0, DEEP)), pore, held=True)],
    }


def liner(b: Any) -> tuple[Any, dict[str, Any]]:
    """Hung at 3100 m, in the bend; free from there to the top of its cement at 3500 m."""
    mud, pore, tvd, ambient = b.fill(0.0, 0.0, (1400.0, DEEP)), b.earth("pore_pressure"), b.path.tvd, SEA * G * 1450.0
    then, shoe, end = b.moment(mud, outside_as_cemented(b, 0.0, 1400.0)), tvd(4400.0), tvd(5300.0)
    full = gas(2600.0, (end, b.at(pore, end)), *b.between(b.earth("fracture"), shoe, end))
    shut, lost = b.fill(0.0, 0.0, (1500.0, DEEP)), b.fill(1478.0, ambient, (1500.0, DEEP))
    return then, {
        "running": [b.moment(mud, mud)],
        "overpull": [b.moment(mud, mud, pull=600e3)],
        "cementing": [then],
        "pressure-test": [b.moment(b.fill(1478.0, ambient + 25e6, (SEA, DEEP)), mud, held=True)],
        "gas-to-surface": [b.moment(full, mud, held=True)],
        "riser-loss": [b.moment(shut, pore, held=True), b.moment(lost, pore, held=True)],
        "lost-returns": [b.moment(fallen(b, 1500.0, *b.between(pore, shoe, end)), mud, held=True)],
        "evacuation": [b.moment([(0.0, 0.0)], mud, held=True)],
    }


def platform(b: Any) -> tuple[Any, dict[str, Any]]:
    """Wellhead on deck at 22 m, the sea from 30 to 125 m. No cement at the shoe: closed until it is drilled out."""
    mud, brine, tvd = b.fill(0.0, 0.0, (1240.0, DEEP)), b.fill(0.0, 0.0, (1100.0, DEEP)), b.path.tvd
    rock, then = b.earth("pore_pressure"), b.moment(brine, outside_as_cemented(b, 0.0, 1240.0))
    pore = [(0.0, 0.0), (30.0, 0.0), *rock]  # its first row is what the sea presses at its floor
    assert rock[0] == pytest.approx((125.0, SEA * G * 95.0))
    shoe, end, thief = tvd(3000.0), tvd(3650.0), tvd(3500.0)
    full = gas(2100.0, (end, b.at(rock, end)), *b.between(b.earth("fracture"), shoe, end))
    return then, {
        "running": [b.moment(mud, mud)],
        "overpull": [b.moment(mud, mud, pull=450e3)],
        "cementing": [then],
        "pressure-test": [b.moment(b.fill(22.0, 25e6, (1100.0, DEEP)), mud, held=True)],
        "test-at-floor": [b.moment(b.fill(0.0, 22e6, (SEA, DEEP)), pore, held=True)],
        "gas-to-surface": [b.moment(full, mud, held=True, open=True)],
        "lost-returns": [b.moment(fallen(b, 1350.0, (thief, 950.0 * G * thief)), mud, held=True, open=True)],
        "evacuation": [b.moment([(0.0, 0.0)], mud, held=True, open=True)],
        "half-empty": [b.moment(b.fill(tvd(1800.0), 0.0, (1350.0, DEEP)), pore, held=True, open=True)],
    }


MEANING = dict(zip(STRINGS, (land, riserless, subsea, liner, platform), strict=True))


def steps(key: str, label: str, b: Any) -> Iterator[tuple[Any, Any, str, pd.DataFrame]]:
    """Yield each step of a case: the moment, the moment of setting, its name and the library's profile."""
    file, name = STRINGS[key]
    then, moments = MEANING[key](b)
    found = result(file)
    names = [step for string, case, step in found.evaluations if (string, case) == (name, label)]
    assert names
    mine = moments[label] if len(moments[label]) == len(names) else moments[label] * len(names)
    for now, step in zip(mine, names, strict=True):
        profile = found.profile(name, label, step)
        yield now.with_shoe(float(profile["md_m"].iloc[-1]), b.shoe), then, step, profile


def rows(key: str, label: str) -> list[dict[Any, Any]]:
    """Return the rows of factors of a case that have a load."""
    frame = result(STRINGS[key][0]).factors
    here = (frame["string"] == STRINGS[key][1]) & (frame["case"] == label) & (frame["status"] != "no-load")
    return frame[here].to_dict("records")


# --- comparison ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", STRINGS)
def test_depth_is_the_sum_of_small_steps(key: str, bench: Open) -> None:
    path = bench(*STRINGS[key]).path
    for a, b in pairwise(path.md):
        width = (b - a) / 2000.0
        depth = sum(path.cosine(a + (k + 0.5) * width) * width for k in range(2000))
        assert depth == pytest.approx(path.tvd(b) - path.tvd(a), rel=1e-7)


@pytest.mark.parametrize(("key", "label"), cases())
def test_profile(key: str, label: str, bench: Open) -> None:
    b = bench(*STRINGS[key])
    for now, then, step, profile in steps(key, label, b):
        sides = zip(profile["md_m"], profile["side"] == "below", strict=True)
        mine = pd.DataFrame([b.place(now, then, md, below) for md, below in sides])
        for column in map(str, mine):
            scale = max(float(mine[column].abs().max()), 1e3 if column.endswith(("pa", "n")) else 1.0)
            off = ((profile[column].astype(float) - mine[column]).abs() / scale).to_numpy()
            assert off.max() < 1e-5, f"{step}, {column}, at {profile['md_m'].iloc[off.argmax()]} m"


def lowest(b: Any, now: Any, then: Any, places: Iterator[tuple[float, bool]]) -> dict[tuple[int, str], Lowest]:
    """Return by section and mode the lowest factor, its load and its rating."""
    best: dict[tuple[int, str], Lowest] = {}
    for md, below in places:
        found, number = b.place(now, then, md, below), b.tubes.index(b.tube(md, below, now.moved)) + 1
        for mode, (unit, small) in MODES.items():
            load, rating = found[f"{mode}_load_{unit}"], found[f"{mode}_rating_{unit}"]
            if load > small and loaded(mode, found):
                here = (rating / load, load, rating)
                best[number, mode] = min(best.get((number, mode), here), here)
    return best


def loaded(mode: str, found: dict[str, float]) -> bool:
    """Whether there is such a load: by the older form no collapse where the inside prevails."""
    return mode != "collapse" or found["p_outside_pa"] - found["p_inside_pa"] > 1e4


def own_places(b: Any, now: Any, parts: int) -> Iterator[tuple[float, bool]]:
    """Places of our own: even parts between all edges, both sides."""
    top, bottom = max(0.0, b.top - now.moved), b.shoe - now.moved
    marks = [tube.bottom - now.moved for tube in b.tubes] + b.path.md
    marks += [edge for upper, lower, _ in b.cement for edge in (upper, lower)] if now.held else []
    edges = [top, *sorted({mark for mark in marks if top + 1e-6 < mark < bottom - 1e-6}), bottom]
    for upper, lower in pairwise(edges):
        yield from ((upper + (lower - upper) * k / parts, k < parts) for k in range(parts + 1))


@pytest.mark.parametrize(("key", "label"), cases())
def test_factors(key: str, label: str, bench: Open) -> None:
    """Every row, at the library's places; and no lower factor between them."""
    b = bench(*STRINGS[key])
    for now, then, step, profile in steps(key, label, b):
        sides = zip(profile["md_m"], profile["side"] == "below", strict=True)
        mine, fine = lowest(b, now, then, sides), lowest(b, now, then, own_places(b, now, 25))
        found = [row for row in rows(key, label) if row["step"] == step]
        assert {(row["section"], row["mode"]) for row in found} == mine.keys()
        for row in found:
            which, unit = (row["section"], row["mode"]), MODES[row["mode"]][0]
            assert row["factor"] == pytest.approx(mine[which][0], rel=3e-5), (step, which)
            there = b.place(now, then, row["md_m"], row["side"] == "below")
            # of equal factors any place may be shown, with its own load and rating
            load, rating = there[f"{row['mode']}_load_{unit}"], there[f"{row['mode']}_rating_{unit}"]
            assert (row["load"], row["rating"]) == pytest.approx((load, rating), rel=3e-5), (step, which)
            assert rating / load == pytest.approx(mine[which][0], rel=3e-5), (step, which, row["md_m"])
            assert row["factor"] < fine[which][0] * 1.0001, (step, which)


@pytest.mark.parametrize(("key", "label"), cases())
def test_forces_balance(key: str, label: str, bench: Open) -> None:
    """From place to place: weight, pressure on shoulders as it is now, the pull, and what the cement takes."""
    b = bench(*STRINGS[key])
    for now, then, _, profile in steps(key, label, b):
        md, force = profile["md_m"].tolist(), profile["true_force_n"].tolist()
        taken = dict(profile.attrs["cement_reactions_n"])
        ends = {edge for top, bottom, _ in b.cement for edge in (top, bottom) if edge < b.shoe}
        assert sorted(taken) == pytest.approx(sorted(ends if now.held else []))
        near = 1e-6 * max(abs(f) for f in force)
        for i, (upper, lower) in enumerate(pairwise(md)):
            cemented = now.held and any(a - 1e-6 < upper and lower < z + 1e-6 for a, z, _ in b.cement)
            if upper < lower:
                acting = b.tube(upper, True, now.moved).weight * (b.path.tvd(lower) - b.path.tvd(upper))
                if cemented:
                    acting += b.alone(now, then, upper, True) - b.alone(now, then, lower, False)
            else:
                changes = [k for k, tube in enumerate(b.tubes[:-1]) if abs(tube.bottom - now.moved - upper) < 1e-6]
                acting = sum(b.shoulder(now, k) for k in changes)
                acting += now.pull if abs(now.stuck - upper) < 1e-6 else 0.0
                at_end = [reaction for edge, reaction in taken.items() if abs(edge - upper) < 1e-6]
                acting += sum(at_end)
                if cemented and not at_end:
                    held = b.alone(now, then, upper, False) - b.alone(now, then, upper, True)
                    acting += held - sum(b.shoulder(now, k) - b.shoulder(then, k) for k in changes)
            assert force[i] - force[i + 1] == pytest.approx(acting, abs=near), f"at {upper} m"
        if not now.held or b.cement[-1][1] < b.shoe:
            end = b.end_force(now) + (now.pull if now.stuck > b.shoe - now.moved - 1e-6 else 0.0)
            assert force[-1] == pytest.approx(end, abs=near)


@pytest.mark.parametrize(("key", "label"), cases())
def test_free_lengths_keep_their_length(key: str, label: str, bench: Open) -> None:
    """The library's own force, put into our strain: between two holds nothing stretches."""
    b = bench(*STRINGS[key])
    for now, then, _, profile in steps(key, label, b):
        if not now.held:
            continue
        md, force = profile["md_m"].tolist(), profile["true_force_n"].tolist()

        def carried(place: float, md: list[float] = md, force: list[float] = force) -> float:
            i = max(k for k in range(len(md) - 1) if md[k] <= place)
            z, upper, lower = (float(b.path.tvd(x)) for x in (place, md[i], md[i + 1]))
            return force[i] + (force[i + 1] - force[i]) * (z - upper) / (lower - upper)

        for a, z in [(a, z) for a, z in b.free() if z < b.shoe]:
            left = b.stretch(now, then, a, z, carried)
            assert abs(left) < 1e-5 * max(abs(f) for f in force), (a, z)


@pytest.mark.parametrize("key", STRINGS)
def test_what_the_rig_carries(key: str, bench: Open) -> None:
    file, name = STRINGS[key]
    b, found = bench(file, name), result(file).hook_loads
    then, moments = MEANING[key](b)
    landed = moments["running"][0]
    ways = (landed.with_shoe(b.shoe - b.top, b.shoe), landed, then)
    for row, now in zip(found[found["string"] == name].itertuples(), ways, strict=True):
        here = b.place(now, then, max(b.top - now.moved, 0.0), True)
        assert row.effective_force_at_top_n == pytest.approx(here["effective_force_n"], rel=1e-9)
        assert row.true_force_at_top_n == pytest.approx(here["true_force_n"], rel=1e-9)


# --- nothing worse left out ---------------------------------------------------------------------------------

WAYS_DOWN = [
    ("land", "running"), ("land", "overpull"), ("land", "stuck-above"), ("riserless", "running"),
    ("riserless", "overpull"), ("subsea", "running"), ("subsea", "overpull"), ("liner", "running"),
    ("liner", "overpull"), ("platform", "running"), ("platform", "overpull"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "label"), WAYS_DOWN)
def test_no_worse_moment_on_the_way_down(key: str, label: str, bench: Open) -> None:
    """Against a string lowered in 400 small steps; overpull from where it can be stuck."""
    b = bench(*STRINGS[key])
    then, moments = MEANING[key](b)
    before = {"land": b.top, "riserless": 1478.0, "subsea": 2150.0, "liner": 3300.0, "platform": 125.0}[key]
    now = moments[label][0]
    first = max(before, now.stuck if now.stuck < b.shoe else 0.0) if now.pull else 5.0
    worst: dict[tuple[int, str], Lowest] = {}
    for i in range(401):
        moved = now.with_shoe(first + (b.shoe - first) * i / 400, b.shoe)
        for which, found in lowest(b, moved, then, own_places(b, moved, 1)).items():
            worst[which] = min(worst.get(which, found), found)
    known = rows(key, label)
    for which, found in worst.items():
        assert min(r["factor"] for r in known if (r["section"], r["mode"]) == which) < found[0] * 1.001, which


@pytest.mark.parametrize("label", ["gas-to-surface", "lost-returns", "evacuation", "half-empty"])
def test_drilled_out_free_shoe_is_open(label: str, bench: Open) -> None:
    """The hole below the shoe is drilled: its fluid, the one inside, presses on the end of the steel."""
    b = bench(*STRINGS["platform"])
    for now, _, _, profile in steps("platform", label, b):
        open_end = -b.at(now.inside, b.path.tvd(b.shoe)) * b.tubes[-1].steel
        assert profile["true_force_n"].iloc[-1] == pytest.approx(open_end, abs=1.0)


def test_reaction_where_the_pipe_changes(bench: Open) -> None:
    """At 800 m cement begins and the pipe changes: force above less below is pressure on the shoulder and reaction."""
    b = bench(*STRINGS["platform"])
    for now, _, _, profile in steps("platform", "pressure-test", b):
        above, below = profile[(profile["md_m"] - 800.0).abs() < 1e-6]["true_force_n"]
        reaction = above - below - b.shoulder(now, 0)
        assert profile.attrs["cement_reactions_n"][800.0] == pytest.approx(reaction, abs=100.0)


def test_no_pore_pressure_in_air(bench: Open) -> None:
    """The wellhead on deck is 8 m above the sea: nothing but air can stand behind the pipe there."""
    b = bench(*STRINGS["platform"])
    for _, _, _, profile in steps("platform", "test-at-floor", b):
        assert profile["p_outside_pa"].iloc[0] == 0.0
