"""The force closes at every place of every step of every well here: the examples, and wells of the second route.

From place to place the true force changes by weight along the path and by pressure on changes of pipe, as it stands
now, and by a pull, drag or a plug where there is one; at the ends of the cement what is left over is the reaction that
the profile tells. To 1e-9 of the largest force. Source: equilibrium; areas and weights worked here from the pipe.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import casingloads as cl
from casingloads.state import Overpull

ROOT = Path(__file__).parents[2]
SECOND_ROUTE = ROOT / "tests/second_route/wells"
OWN = [SECOND_ROUTE / f"{name}.toml" for name in ("farrowmere-5", "hellegrund-1", "sundrake-3")]
WELLS = [*sorted((ROOT / "examples").glob("*.toml")), *OWN]
G, HAIR = 9.80665, 1e-6
Floats = np.ndarray[Any, np.dtype[np.float64]]


class Bars:
    """One step of one string: its stretches, each with the place at its upper and at its lower end."""

    def __init__(self, found: cl.Result, string: str, case: str, step: str) -> None:
        self.frame = found.profile(string, case, step)
        self.state = found.evaluation(string, case, step).state
        self.string = next(s for s in found.well.strings if s.name == string)
        pipes = [section.pipe for section in self.string.sections]
        number = self.frame["section"].to_numpy() - 1
        outside = np.array([pipe.outside_diameter for pipe in pipes])[number]
        inside = np.array([pipe.inside_diameter for pipe in pipes])[number]
        self.outer, self.bore = math.pi / 4.0 * outside**2, math.pi / 4.0 * inside**2
        self.weight = np.array([pipe.weight * G for pipe in pipes])[number]
        self.force, self.md = self.column("true_force_n"), self.column("md_m")
        self.tvd = self.column("tvd_m")
        self.inside, self.outside = self.column("p_inside_pa"), self.column("p_outside_pa")
        self.near = 1e-9 * float(np.max(np.abs(self.force)))

    def column(self, name: str) -> Floats:
        return self.frame[name].to_numpy(dtype=np.float64)

    def added(self) -> Floats:
        """Force besides weight and pressure: a pull down to where it is stuck, drag now or when the cement set."""
        event, more = self.state.event, np.zeros(self.md.size)
        friction = self.string.friction_at_set if self.state.held else None
        if friction is not None:
            then = self.column("force_as_cemented_n")
            shed = then[::2] - then[1::2] - self.weight[::2] * (self.tvd[1::2] - self.tvd[::2])
            assert np.all((shed if friction.moving == "out" else -shed) > -self.near)
            more[:-1:2] += np.cumsum(shed[::-1])[::-1]
            more[1:-1:2] += np.cumsum(shed[::-1])[::-1][1:]
        if isinstance(event, Overpull):
            stuck = math.inf if event.stuck_at is None else event.stuck_at
            below = (self.frame["side"] == "below").to_numpy()
            more += np.where(self.md + np.where(below, HAIR, -HAIR) < stuck, event.force, 0.0)
        if self.state.friction is not None:
            drag = self.column("force_drag_n")
            upward = -np.diff(drag) if self.state.friction.moving == "out" else np.diff(drag)
            assert np.all(upward > -self.near)  # on the way out it adds to the force above, on the way in it carries
            assert drag[-1] == pytest.approx(0.0, abs=self.near)
            more += drag
        return more

    def along(self) -> Floats:
        """What is left over in each stretch when weight is taken off."""
        force, drop = self.force - self.added(), self.tvd[1::2] - self.tvd[::2]
        return np.asarray(force[::2] - force[1::2] - self.weight[::2] * drop)

    def at_joints(self) -> Floats:
        """What is left over between stretches when pressure on the change of pipe, and on a plug, is taken off."""
        above, below, force = slice(1, -1, 2), slice(2, None, 2), self.force - self.added()
        inside = (self.inside[above] + self.inside[below]) / 2.0
        outside = (self.outside[above] + self.outside[below]) / 2.0
        steps = outside * (self.outer[below] - self.outer[above]) - inside * (self.bore[below] - self.bore[above])
        if self.state.plug_at is not None:
            here = np.abs(self.md[above] - self.state.plug_at) < HAIR
            steps += np.where(here, (self.inside[above] - self.inside[below]) * self.bore[above], 0.0)
        return np.asarray(force[above] - force[below] - steps)

    def cemented(self) -> np.ndarray[Any, np.dtype[np.bool_]]:
        """By stretch: whether set cement holds it."""
        middle = (self.md[::2] + self.md[1::2]) / 2.0
        held = [(interval.top < middle) & (middle < interval.bottom) for interval in self.string.cement]
        return np.any(held, axis=0) if held and self.state.held else np.zeros(middle.shape, dtype=bool)

    def reactions(self) -> dict[float, float]:
        return dict(self.frame.attrs["cement_reactions_n"])


@cache
def steps(path: Path) -> list[tuple[tuple[str, str, str], Bars]]:
    found = cl.check(cl.read_well(path))
    assert found.evaluations
    return [(key, Bars(found, *key)) for key in found.evaluations]


DRAGGED = """
float_collar = "2660 m"
friction_at_set = { cased = 0.2, open_hole = 0.3, moved = "in" }
[strings.cases.running]
friction_cased = 0.2
friction_open_hole = 0.3
[strings.cases.plug-bump]
pressure = "12 MPa"
[strings.cases.tubing-leak]"""


@pytest.fixture(scope="session")
def dragged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first well once more, its production casing with a float collar, and with drag."""
    text = (SECOND_ROUTE / "farrowmere-5.toml").read_text(encoding="utf-8")
    assert text.count("[strings.cases.tubing-leak]") == 2
    path = tmp_path_factory.mktemp("dragged") / "well.toml"
    path.write_text(text.replace("[strings.cases.tubing-leak]", DRAGGED.lstrip(), 1), encoding="utf-8")
    return path


def ways_to_end(bars: Bars) -> tuple[float, float]:
    """Force at a lower end that is closed, and at one with the inside pressure all around it."""
    inside, outside, bore, outer = (float(v[-1]) for v in (bars.inside, bars.outside, bars.bore, bars.outer))
    return inside * bore - outside * outer, inside * bore - inside * outer


def closes(path: Path) -> None:
    for key, bars in steps(path):
        cement, along, joints, reactions = bars.cemented(), bars.along(), bars.at_joints(), bars.reactions()
        assert np.all(np.abs(along[~cement]) < bars.near), (key, "along")
        bare = ~cement[:-1] & ~cement[1:]
        assert np.all(np.abs(joints[bare]) < bars.near), (key, "between stretches")
        ends = cement[:-1] != cement[1:]
        told = np.array([reactions[min(reactions, key=lambda edge: abs(edge - md))] for md in bars.md[1:-1:2][ends]])
        assert joints[ends] == pytest.approx(told, abs=bars.near), (key, "reactions")
        if not cement[-1]:
            end, shoe_open = float(bars.force[-1] - bars.added()[-1]), bars.state.held and bars.state.drilled_out
            closed, open_ = ways_to_end(bars)
            assert end == pytest.approx(open_ if shoe_open else closed, abs=bars.near), key


@pytest.mark.parametrize("path", WELLS, ids=lambda path: path.stem)
def test_force_closes_at_every_place(path: Path) -> None:
    closes(path)


@pytest.mark.parametrize("path", WELLS, ids=lambda path: path.stem)
def test_reactions_are_told_for_every_end_of_the_cement(path: Path) -> None:
    for key, bars in steps(path):
        ends = {edge for interval in bars.string.cement for edge in (interval.top, interval.bottom)}
        inner = sorted(e for e in ends if bars.md[0] + HAIR < e < bars.md[-1] - HAIR) if bars.state.held else []
        assert sorted(bars.reactions()) == pytest.approx(inner), key


@pytest.mark.parametrize("path", WELLS, ids=lambda path: path.stem)
def test_effective_force_is_the_true_one_less_the_pressures(path: Path) -> None:
    for key, bars in steps(path):
        effective = bars.force - bars.inside * bars.bore + bars.outside * bars.outer
        assert bars.column("effective_force_n") == pytest.approx(effective, abs=1e-9 * np.max(np.abs(effective))), key


def test_force_closes_with_drag_and_with_a_plug(dragged: Path) -> None:
    found = [bars for _, bars in steps(dragged)]
    moved = [bars.state.friction.moving for bars in found if bars.state.friction is not None]
    assert set(moved) == {"in", "out"}
    assert any(bars.state.plug_at is not None for bars in found)
    closes(dragged)
