"""Load cases of a string on its way down: it hangs free, is moved, stopped, or stuck."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Literal, TypeAlias

import numpy as np

import casingloads as cl
from casingloads.evaluate import evaluate
from casingloads.units import FORCE, LENGTH

Filled: TypeAlias = Literal["as the hole", "partly", "not at all", "above a collar"]


@cl.load_case(
    phase="installation",
    source="Bourgoyne et al., Applied Drilling Engineering, SPE 1986, ch. 7; PetroWiki, mechanical loads on casing; "
    "drag: Johancsik et al., J. Petroleum Technology, 1984; sudden stop: Rahman & Chilingarian, Casing Design Theory "
    "and Practice, ch. 2 (citations from memory)",
    assumptions=(
        "filled as the hole is, no drag, no sudden stop, unless the case asks for them",
        "a landing string carries the casing once its top is below the drill floor; its own drag does not count",
        "drag of a soft string, without the side force of pipe that has buckled",
        "a sudden stop comes on the weight hanging still, never on drag as well (common practice, no source)",
        "a string that is not filled as the hole is has a float at its shoe that holds",
    ),
)
def running(
    scene: cl.Scene,
    *,
    filled: Filled = "as the hole",
    fill: cl.FluidName | None = None,
    empty_down_to: cl.MeasuredDepth | None = None,
    flotation_collar: cl.MeasuredDepth | None = None,
    friction_cased: float | None = None,
    friction_open_hole: float | None = None,
    stopping_speed: cl.Speed | None = None,
    wave: Literal["single", "reflected"] = "single",
) -> cl.Load:
    """Running: the string on its way down, at every depth of the shoe where its worst tension can come.

    Weight below, less the pressure on the end. Filled as the hole is, there is neither burst nor collapse; behind a
    closed float the hole presses on whatever is not filled. Friction adds two steps at each depth, moving in and pulled
    back out; a stopping speed adds one.

    Parameters
    ----------
    filled : str
        "as the hole": through an open end or by filling up all the time. "partly": a closed float, filled from the rig
        now and then. "not at all": a closed float, empty. "above a collar": empty below a flotation collar, full above.
    fill : FluidName
        What is filled in from the rig; if left out, what the string is run in.
    empty_down_to : MeasuredDepth
        For "partly": level inside just before it is filled up again, as many joints below the drill floor as are run
        in between; if left out, it is not filled partly.
    flotation_collar : MeasuredDepth
        For "above a collar": its depth once the string is landed; if left out, there is none.
    friction_cased : float
        Coefficient of friction inside earlier strings; needs friction_open_hole. If left out, no drag.
    friction_open_hole : float
        Coefficient of friction in open hole; needs friction_cased. If left out, no drag.
    stopping_speed : Speed
        Greatest speed at which the string is stopped at once, above the mean speed of a joint; if left out, no sudden
        stop.
    wave : str
        "reflected" takes the wave of a sudden stop double, as at a fixed end that throws it back.
    """
    _check_filling(scene, filled, fill=fill, empty_down_to=empty_down_to, flotation_collar=flotation_collar)
    friction = _friction(friction_cased, friction_open_hole)
    stop = _sudden_stop(stopping_speed, wave)
    steps: list[cl.Step] = []
    for depth, name in scene.shoe_depths():
        hung = _hung(scene, depth, filled, fill or scene.string.run_in, empty_down_to, flotation_collar)
        steps.append(scene.step(name, hung))
        steps += [scene.step(f"{name}, {words}", replace(hung, friction=drag)) for words, drag in friction.items()]
        if stop is not None:
            steps.append(scene.step(f"{name}, stopped suddenly", replace(hung, event=stop)))
    remarks = _weight_remarks(scene, steps) if friction or filled != "as the hole" else []
    return cl.Load(steps=tuple(steps), remarks=tuple(remarks))


_NEEDS: dict[Filled, str] = {"partly": "empty_down_to", "above a collar": "flotation_collar"}


def _check_filling(scene: cl.Scene, filled: Filled, **given: Any) -> None:
    """Refuse what the way of filling needs and does not have, or has and cannot use."""
    needed = _NEEDS.get(filled)
    for name, value in given.items():
        if value is not None and not (name == needed or (name == "fill" and needed)):
            ways = " or ".join(repr(way) for way, need in _NEEDS.items() if name in (need, "fill"))
            raise cl.CannotEvaluate(f"{name} is given, but the string is filled {filled!r}; it belongs to {ways}")
    if needed is None:
        return
    depth, top = given[needed], scene.string.top if needed == "flotation_collar" else 0.0
    if depth is None:
        raise cl.MissingInput(needed)
    if not top < depth < scene.string.shoe:
        where = f"between {top:g} m and the shoe at {scene.string.shoe:g} m"
        raise cl.CannotEvaluate(f"{needed} = {depth:g} m; accepted is a depth {where}")


def _friction(cased: float | None, open_hole: float | None) -> dict[str, cl.Friction]:
    """Return the friction of each way the string moves, by words for the step; nothing without drag."""
    if cased is None and open_hole is None:
        return {}
    if cased is None or open_hole is None:
        raise cl.MissingInput("friction_cased" if cased is None else "friction_open_hole")
    for name, value in (("friction_cased", cased), ("friction_open_hole", open_hole)):
        if not 0.0 <= value <= 2.0:
            raise cl.CannotEvaluate(f"{name} = {value:g}; accepted is a coefficient from 0 to 2")
    return {
        "moving in": cl.Friction(cased=cased, open_hole=open_hole, moving="in"),
        "pulled back out": cl.Friction(cased=cased, open_hole=open_hole, moving="out"),
    }


def _sudden_stop(speed: float | None, wave: str) -> cl.SuddenStop | None:
    if speed is None:
        if wave == "reflected":
            raise cl.MissingInput("stopping_speed")
        return None
    if not speed > 0.0:
        raise cl.CannotEvaluate(f"stopping_speed = {speed:g} m/s; accepted is a speed above zero")
    return cl.SuddenStop(speed=speed, reflected=wave == "reflected")


def _hung(
    scene: cl.Scene, shoe_at: float, filled: Filled, fill: cl.Fluid, level: float | None, collar: float | None
) -> cl.State:
    """Return the string hanging still on its way down; what is filled in from the rig stands at the drill floor."""
    if filled == "as the hole":
        return scene.running_state(shoe_at=shoe_at)
    inside: cl.Empty | cl.Column | cl.Intervals = cl.Empty()
    collar_at = None if collar is None else collar - (scene.string.shoe - shoe_at)
    if level is not None:
        inside = cl.column(fill, top=float(scene.tvd(level)))
    elif collar_at is not None and collar_at > 0.0:
        inside = cl.Intervals(tops=(0.0, collar_at), parts=(cl.column(fill), cl.Empty()))
    else:  # not filled at all, or the collar is still to come
        collar_at = None
    return scene.state(inside=inside, outside=scene.outside_as_run(), held=False, shoe_at=shoe_at, plug_at=collar_at)


def _weight_remarks(scene: cl.Scene, steps: Sequence[cl.Step]) -> list[cl.Remark]:
    """Return where the string floats, or does not go in by itself, and with drag what the rig carries at the end."""
    weights: dict[str, dict[float, float]] = {}
    for step in steps:
        state = step.states[scene.string.name]
        weight = None if state.event is not None else weight_on_top(scene, state)
        if weight is not None and state.shoe_at is not None:
            way = "still" if state.friction is None else str(state.friction.moving)
            weights.setdefault(way, {})[state.shoe_at] = weight
    told = {
        "still": "the string floats: with the shoe at {depth} md its buoyed weight is {weight}, the least of all",
        "in": "with drag it does not go in by itself: with the shoe at {depth} md the rig would carry {weight}",
    }
    remarks = []
    for way, words in told.items():
        found = weights.get(way, {})
        depth = min(found, key=lambda shoe_at: found[shoe_at], default=None)
        if depth is not None and found[depth] < 0.0:
            remarks.append(cl.Remark(words, {"depth": (depth, LENGTH), "weight": (found[depth], FORCE)}))
    landed = {way: (found[scene.string.shoe], FORCE) for way, found in weights.items() if scene.string.shoe in found}
    if landed.keys() == {"still", "in", "out"}:
        words = "landed, the rig carries {still} without drag, {in} moving in, {out} pulling back out"
        remarks.append(cl.Remark(words, landed))
    return remarks


def weight_on_top(scene: cl.Scene, state: cl.State) -> float | None:
    """Return what the rig carries of the string, its effective force at the top [N]; None if it cannot be worked."""
    with contextlib.suppress(ValueError):  # the rows of the step say why
        return float(np.min(evaluate(scene.well, scene.string, state, {}).axial.effective[..., 0]))
    return None


def _sticks(scene: cl.Scene) -> str:
    if scene.string.tie_back_to is not None:
        return "it is tied back and stands in no open hole"
    if scene.string.shoe <= _open_hole_top(scene):
        return "it ends inside an earlier string, where nothing sticks"
    return ""


@cl.load_case(
    phase="installation",
    source="common practice, no source; Devereux, Practical Well Planning and Drilling Manual, 1998, 1.4 (air weight, "
    "and at least 100,000 lbf)",
    assumptions=("the pull reaches down to the stuck point without loss by drag",),
    applies=_sticks,
)
def overpull(
    scene: cl.Scene,
    *,
    pull: cl.Force,
    stuck_at: cl.MeasuredDepth | None = None,
    weight: Literal["buoyed", "air"] = "buoyed",
) -> cl.Load:
    """Overpull: a pull beyond the weight of the string while it is stuck in open hole.

    Worked from the moment the string can stick: when its shoe leaves the previous casing, or reaches the stuck point.

    Parameters
    ----------
    pull : Force
        Beyond the weight of the string.
    stuck_at : MeasuredDepth
        Where it is stuck; if left out, the shoe.
    weight : str
        "buoyed": in its fluid. "air": as if nothing carried it, since buoyancy may be lost where it is stuck; then no
        pressure acts on it at all.
    """
    reason = _sticks(scene)
    if reason:
        raise cl.CannotEvaluate(f"nothing to pull free: {reason}")
    shallowest = _open_hole_top(scene)
    if stuck_at is not None:
        if not shallowest <= stuck_at <= scene.string.shoe:
            hole = f"{shallowest:g} to {scene.string.shoe:g} m"
            raise cl.CannotEvaluate(f"stuck_at = {stuck_at:g} m is not in the open hole of this string, {hole}")
        shallowest = stuck_at
    event = cl.Overpull(force=pull, stuck_at=stuck_at)
    steps = []
    for depth, name in scene.shoe_depths(beyond=shallowest):
        hung = scene.running_state(shoe_at=depth)
        if weight == "air":
            hung = replace(hung, inside=cl.Empty(), outside=cl.Empty())
        steps.append(scene.step(name, replace(hung, event=event)))
    return cl.Load(steps=tuple(steps))


def _open_hole_top(scene: cl.Scene) -> float:
    """Return the measured depth [m] below which the string can stick: the deepest earlier shoe, or the ground."""
    ground = scene.well.air_gap if scene.well.sea_floor is None else scene.well.sea_floor
    return max((string.shoe for string in scene.earlier), default=float(scene.path.md_at_tvd(ground)))


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [running, overpull]
