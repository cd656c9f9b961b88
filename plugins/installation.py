"""Load cases of installation: the string hangs free, on its way down and until the cement has set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import casingloads as cl


@cl.load_case(
    phase="installation",
    source="Bourgoyne et al., Applied Drilling Engineering, SPE 1986, ch. 7; PetroWiki, mechanical loads on casing",
    assumptions=(
        "the string is filled as the hole is; no drag, no shock",
        "a landing string carries the casing once its top is below the drill floor",
    ),
)
def running(scene: cl.Scene) -> cl.Load:
    """Running: the string on its way down, at every depth of the shoe where its worst tension can come.

    Weight below, less the pressure on the open end. Same fluid inside and outside, so neither burst nor collapse.
    """
    steps = [scene.step(name, scene.running_state(shoe_at=depth)) for depth, name in scene.shoe_depths()]
    return cl.Load(steps=tuple(steps))


@cl.load_case(
    phase="installation",
    source="common practice, no source; Devereux, Practical Well Planning and Drilling Manual, 1998, 1.4 (air weight)",
    assumptions=("the pull reaches down to the stuck point without loss by drag",),
)
def overpull(scene: cl.Scene, *, pull: cl.Force, stuck_at: cl.MeasuredDepth | None = None) -> cl.Load:
    """Overpull: a pull beyond the buoyed weight while the string is stuck in open hole.

    Worked from the moment the string can stick: when its shoe leaves the previous casing, or reaches the stuck point.

    Parameters
    ----------
    pull : Force
        Beyond the weight of the string in its fluid.
    stuck_at : MeasuredDepth
        Where it is stuck; if left out, the shoe.
    """
    shallowest = _open_hole_top(scene)
    if stuck_at is not None:
        if not shallowest <= stuck_at <= scene.string.shoe:
            hole = f"{shallowest:g} to {scene.string.shoe:g} m"
            raise cl.CannotEvaluate(f"stuck_at = {stuck_at:g} m is not in the open hole of this string, {hole}")
        shallowest = stuck_at
    event = cl.Overpull(force=pull, stuck_at=stuck_at)
    steps = [
        scene.step(name, replace(scene.running_state(shoe_at=depth), event=event))
        for depth, name in scene.shoe_depths(beyond=shallowest)
    ]
    return cl.Load(steps=tuple(steps))


def _open_hole_top(scene: cl.Scene) -> float:
    """Return the measured depth [m] below which the string can stick: the previous shoe, or the ground."""
    names = [string.name for string in scene.well.strings]
    number = names.index(scene.string.name)
    if number > 0:
        return scene.well.strings[number - 1].shoe
    return scene.well.sea_floor or scene.well.air_gap


@cl.load_case(
    phase="installation",
    source="Lapeyrouse, Formulas and Calculations for Drilling, Production and Workover, 2nd ed., 2.12",
    assumptions=(
        "slurry at full density in all cemented intervals at once, pump pressure bled off, floats hold",
        "displacement fluid fills string and landing string up to the drill floor (sea water: to sea level)",
    ),
)
def cementing(scene: cl.Scene) -> cl.Load:
    """End of cementing: heavy slurry outside, light fluid inside, the floats hold, the string hangs free.

    The end force at the shoe is ``p_i A_i - p_o A_o``: heavy slurry pushes the string up.
    """
    return cl.Load(steps=(scene.step("displaced, bled off", scene.cemented_state()),))


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [running, overpull, cementing]
