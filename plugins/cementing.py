"""Load cases of cementing: the slurry is in place and still fluid, and the string hangs free."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

import casingloads as cl
from casingloads.arrays import Array
from casingloads.plugins.running import weight_on_top
from casingloads.situations import inside_as_cemented, outside_as_cemented
from casingloads.units import FORCE, LENGTH, PRESSURE, show


def _cemented(scene: cl.Scene) -> str:
    return "" if scene.string.cement else "it is not cemented"


@cl.load_case(
    phase="installation",
    source="Lapeyrouse, Formulas and Calculations for Drilling, Production and Workover, 2nd ed., 2.12",
    assumptions=(
        "slurry at full density in all cemented intervals at once, pump pressure bled off, floats hold",
        "displacement fluid fills string and landing string up to the drill floor (sea water: to sea level)",
    ),
    applies=_cemented,
)
def cementing(scene: cl.Scene, *, pump_pressure: cl.Pressure | None = None) -> cl.Load:
    """End of cementing: heavy slurry outside, light fluid inside, the floats hold, the string hangs free.

    The end force at the shoe is ``p_i A_i - p_o A_o``: heavy slurry pushes the string up.

    Parameters
    ----------
    pump_pressure : Pressure
        Last circulating pressure at the drill floor, for a step before it is bled off: floats open, plug not yet
        landed. Its losses are all taken at the shoe, so that the pressure is at its highest inside and at its lowest
        outside; if left out, only the end is worked.
    """
    bled_off = scene.cemented_state()
    steps = [scene.step("displaced, bled off", bled_off)]
    if pump_pressure is not None:
        inside = _under_pressure(scene, pump_pressure, "drill floor")
        lacking = float(np.max(_outside_at_shoe(scene) - inside.pressure(scene.shoe_tvd)))
        if lacking > 0.0:
            given, least = (show(p, PRESSURE, scene.well.units) for p in (pump_pressure, pump_pressure + lacking))
            told = f"pump_pressure = {given} lets the slurry outside fall back; accepted is more than {least}"
            raise cl.CannotEvaluate(told)
        steps.insert(0, scene.step("pumping, plug not yet landed", replace(bled_off, inside=inside)))
    weight = weight_on_top(scene, bled_off)
    remarks = [] if weight is None or weight >= 0.0 else [_floats(weight)]  # a margin stands in the list of weights
    return cl.Load(steps=tuple(steps), remarks=tuple(remarks))


def _floats(weight: float) -> cl.Remark:
    words = "the push of the slurry outweighs pipe and contents by {more}: hold the string down"
    return cl.Remark(words, {"more": (-weight, FORCE)})


def _outside_at_shoe(scene: cl.Scene) -> Array:
    return outside_as_cemented(scene.well, scene.string).pressure(scene.shoe_tvd)


@cl.load_case(
    phase="installation",
    source="PetroWiki, mechanical loads on casing (test on unset cement; from memory); Devereux, Practical Well "
    "Planning and Drilling Manual, 1998 (buoyed weight and test, tension factor 1.5, deviated 1.75)",
    assumptions=(
        "slurry outside at full density in all cemented intervals, string free to stretch; that the pressure of the "
        "slurry falls while it gels is not followed",
        "the line above the string is full, sea water as well; floats were open until the plug landed",
    ),
    applies=_cemented,
)
def plug_bump(
    scene: cl.Scene,
    *,
    pressure: cl.Pressure,
    quoted_at: Literal["drill floor", "wellhead"] = "drill floor",
    temperature: cl.TemperatureName | None = None,
) -> cl.Load:
    """Plug bump, or pressure test on unset cement: pressure on the landed plug while the string hangs free.

    The plug closes the string, so the pressure pulls on all of it above the plug, ``p A_i``, on top of its weight. Both
    readings are one construction: the bump as the plug lands, and a test held on the same plug, at its own and usually
    higher pressure, before the cement sets. What stands above the plug is the displacement fluid in both. Ask for it
    under two labels to see both.

    Parameters
    ----------
    pressure : Pressure
        Of the bump, or of the test.
    quoted_at : str
        "drill floor": at the cementing head. "wellhead": above what stands around the wellhead, the sea's pressure on
        the sea floor, the atmosphere elsewhere.
    temperature : TemperatureName
        Of the string then; if left out, that at which the cement sets.
    """
    reason = _cemented(scene)
    if reason:
        raise cl.CannotEvaluate(f"no plug is pumped: {reason}")
    above = _under_pressure(scene, pressure, quoted_at)
    plug_at = scene.string.float_collar
    inside: cl.Column | cl.Intervals = above
    outside = _outside_at_shoe(scene)
    if plug_at is None:
        across = above.pressure(scene.shoe_tvd) - outside
    else:
        below = cl.column_through(scene.string.cement[-1].slurry, depth=scene.shoe_tvd, pressure=outside)
        inside = cl.Intervals(tops=(0.0, plug_at), parts=(above, below))
        across = above.pressure(scene.tvd(plug_at)) - below.pressure(scene.tvd(plug_at))
    state = replace(scene.cemented_state(), inside=inside, plug_at=plug_at)
    if temperature is not None:
        state = replace(state, temperature=temperature)
    return cl.Load(
        steps=(scene.step("plug held under pressure", state),), remarks=(_on_plug(scene, float(np.mean(across))),)
    )


def _on_plug(scene: cl.Scene, across: float) -> cl.Remark:
    depth = scene.string.shoe if scene.string.float_collar is None else scene.string.float_collar
    words = "{across} more above the plug at {depth} md than below it"
    if across < 0.0:
        words = "{across} more below the plug at {depth} md than above it: the floats hold it"
    return cl.Remark(words, {"across": (abs(across), PRESSURE), "depth": (depth, LENGTH)})


def _under_pressure(scene: cl.Scene, pressure: float, quoted_at: str) -> cl.Column:
    """Return what fills the string at the end of displacement with a pressure on it, the line above it full."""
    filling = inside_as_cemented(scene.well, scene.string)
    first = replace(filling.layers[0], top=0.0)
    known = (0.0, pressure)
    if quoted_at == "wellhead":
        known = (scene.wellhead_tvd, scene.ambient_at_wellhead + pressure)
    layers = (first, *filling.layers[1:])
    return replace(filling, layers=layers, anchor_depth=known[0], anchor_pressure=known[1])


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [cementing, plug_bump]
