"""Three invented wells by a second route: what each load case means, the force it puts on the pipe, its factors.

Source: our own plain arithmetic (conftest.py here), from mechanics and the published formulas; not published itself.
A test marked as expected to fail is one where mechanics and the library differ.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from functools import cache
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


@cache
def result(file: str) -> cl.Result:
    return cl.check(cl.read_well(WELLS / f"{file}.toml"))


def cases() -> list[tuple[str, str]]:
    found = []
    for key, (file, name) in STRINGS.items():
        data = tomllib.loads((WELLS / f"{file}.toml").read_text(encoding="utf-8"))
        string = next(s for s in data["strings"] if s["name"] == name)
        found += [(key, label) for label in string["cases"]]
    return found


# --- what the load cases mean ---------------------------------------------------------------------------------------------


def outside_as_cemented(b: Any, top: float, run_in: float) -> Any:
    """Mud from *top*, slurry beside every cemented interval, mud between."""
    layers = []
    for upper, lower, slurry in b.cement:
        layers += [(run_in, b.path.tvd(upper)), (slurry, b.path.tvd(lower))]
    return b.fill(top, 0.0, *layers, (run_in, DEEP))


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
    weak = b.between(fracture, tvd(13000 * ft), end)
    blown = gas(0.15 * psi / ft, (tvd(15500 * ft), 7900 * psi), *[(z, p + 150 * psi) for z, p in weak])
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
    tested = b.fill(1478.0, SEA * G * 1450.0 + 5e6, (SEA, DEEP))
    return then, {
        "running": [b.moment(sea, sea)],
        "overpull": [b.moment(sea, sea, pull=700e3)],
        "cementing": [then],
        "pressure-test": [b.moment(tested, sea, held=True)],
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
    """Wellhead on deck at 22 m. The free shoe is taken as closed, as when it was cemented."""
    mud, brine, tvd = b.fill(0.0, 0.0, (1240.0, DEEP)), b.fill(0.0, 0.0, (1100.0, DEEP)), b.path.tvd
    pore, then = b.earth("pore_pressure"), b.moment(brine, outside_as_cemented(b, 0.0, 1240.0))
    shoe, end, thief = tvd(3000.0), tvd(3650.0), tvd(3500.0)
    full = gas(2100.0, (end, b.at(pore, end)), *b.between(b.earth("fracture"), shoe, end))
    return then, {
        "running": [b.moment(mud, mud)],
        "overpull": [b.moment(mud, mud, pull=450e3)],
        "cementing": [then],
        "pressure-test": [b.moment(b.fill(22.0, 25e6, (1100.0, DEEP)), mud, held=True)],
        "test-at-floor": [b.moment(b.fill(0.0, 22e6, (SEA, DEEP)), pore, held=True)],
        "gas-to-surface": [b.moment(full, mud, held=True)],
        "lost-returns": [b.moment(fallen(b, 1350.0, (thief, 950.0 * G * thief)), mud, held=True)],
        "evacuation": [b.moment([(0.0, 0.0)], mud, held=True)],
        "half-empty": [b.moment(b.fill(tvd(1800.0), 0.0, (1350.0, DEEP)), pore, held=True)],
    }


MEANING: dict[str, Callable[[Any], tuple[Any, dict[str, Any]]]] = {
    "land": land, "riserless": riserless, "subsea": subsea, "liner": liner, "platform": platform,
}  # fmt: skip


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


# --- comparison -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", STRINGS)
def test_depth_is_the_sum_of_small_steps(key: str, bench: Open) -> None:
    path = bench(*STRINGS[key]).path
    for a, b in zip(path.md[:-1], path.md[1:], strict=True):
        width = (b - a) / 2000.0
        depth = sum(path.cosine(a + (k + 0.5) * width) * width for k in range(2000))
        assert depth == pytest.approx(path.tvd(b) - path.tvd(a), rel=1e-7)


@pytest.mark.parametrize(("key", "label"), cases())
def test_profile(key: str, label: str, bench: Open) -> None:
    b = bench(*STRINGS[key])
    for now, then, step, profile in steps(key, label, b):
        mine = pd.DataFrame(
            [b.place(now, then, md, side == "below") for md, side in zip(profile["md_m"], profile["side"], strict=True)]
        )
        for column in mine:
            scale = max(float(mine[column].abs().max()), 1e3 if str(column).endswith(("pa", "n")) else 1.0)
            off = (profile[column].astype(float) - mine[column]).abs() / scale
            assert float(off.max()) < 5e-6, f"{step}, {column}, at {profile['md_m'][off.idxmax()]} m"
