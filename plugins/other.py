"""Load cases beside drilling and production: creeping beds, a well left open to the sea, weight on the wellhead."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

import casingloads as cl
from casingloads.constants import GRAVITY, INCH, PSI
from casingloads.plugins.production import covered, from_wellhead
from casingloads.pressure.columns import Pressure
from casingloads.units import FORCE, GRADIENT, LENGTH, LEVEL

_SAME = 1e-3  # depths told twice may differ by this much [m]
_NEAR = 0.1  # by which a table may miss a depth, for the rounding of a survey [m]
USUAL_OVERBURDEN = PSI / (12.0 * INCH)
"""Overburden per metre below the ground, 1 psi/ft, 22.6 kPa/m; Devereux 1998, 1.4.17 [Pa/m]."""


# --- creeping beds ----------------------------------------------------------------------------------------------------


def _no_known_bed(scene: cl.Scene) -> str:
    if scene.string.tie_back_to is not None:
        return "a tie-back stands in no hole of its own"
    return "the file names no creeping bed; where there is one, ask for this case by name with its depths"


@cl.load_case(
    phase="other",
    source="Devereux, Practical Well Planning and Drilling Manual, 1998, 1.4.17 and tables 1-2 to 1-6",
    assumptions=(
        "the bed presses evenly all around with the full overburden; one-sided or point loads, as where cement is "
        "poor, are far worse and not covered",
        "where an earlier string stands between, the bed presses on that one alone",
        "temperature undisturbed",
    ),
    applies=_no_known_bed,
)
def mobile_formation(
    scene: cl.Scene,
    *,
    top: cl.MeasuredDepth,
    bottom: cl.MeasuredDepth,
    gradient: cl.Gradient | None = None,
    fluid: cl.FluidName | None = None,
    outside: cl.Outside = "as run",
) -> cl.Load:
    """Mobile formation: salt or another creeping bed closes on the string with the overburden.

    Parameters
    ----------
    top : MeasuredDepth
        Where the string enters the bed.
    bottom : MeasuredDepth
        Where it leaves it.
    gradient : Gradient
        Of the overburden below the ground or the sea floor, where the sea stands on it; if left out, the table
        earth.overburden, and without that 22.6 kPa/m (1 psi/ft).
    fluid : FluidName
        What fills the string from the wellhead, with the pressure around the wellhead on it; if left out, nothing does.
    outside : str
        What stands behind the pipe above and below the bed. By default the mud as run, the heaviest credible.
    """
    if not top < bottom:
        raise cl.CannotEvaluate(f"bottom = {bottom:g} m is not below top = {top:g} m")
    first, last = max(top, _open_hole_top(scene)), min(bottom, scene.string.shoe)
    if last <= first:
        hole = f"{_open_hole_top(scene):g} to {scene.string.shoe:g} m"
        raise cl.CannotEvaluate(f"the bed, {top:g} to {bottom:g} m, is not in the open hole of this string, {hole}")
    overburden, remark = _overburden(scene, gradient, (first, last))
    behind = scene.outside(outside)
    pressing = cl.Intervals(tops=(scene.string.top, first, last), parts=(behind, overburden, behind))
    drilled_out = scene.string.next_hole is not None
    inside: Pressure = cl.Empty()
    if fluid is not None:
        inside = from_wellhead(scene, fluid, scene.ambient_at_wellhead)
    name = "empty" if fluid is None else "full"
    return scene.load(name=name, inside=inside, outside=pressing, drilled_out=drilled_out, remarks=[remark])


def _open_hole_top(scene: cl.Scene) -> float:
    """Return the measured depth below which nothing stands between the string and the ground [m]."""
    return max((string.shoe for string in scene.earlier), default=scene.string.top)


def _overburden(scene: cl.Scene, gradient: float | None, bed: tuple[float, float]) -> tuple[Pressure, cl.Remark]:
    """Return the overburden along the bed [m md], and where it comes from."""
    table, along = scene.earth.overburden, {"first": (bed[0], LENGTH), "last": (bed[1], LENGTH)}
    if gradient is None and table is not None:
        depths = np.asarray(scene.tvd(np.linspace(*bed, 50)))
        if depths.min() < table.tvd[0] - _NEAR or depths.max() > table.tvd[-1] + _NEAR:
            raise cl.MissingInput(f"earth.overburden from {depths.min():g} to {depths.max():g} m, all along the bed")
        return scene.outside(_ALL_OVERBURDEN), cl.Remark(
            "overburden of the table earth.overburden from {first} to {last} md", along
        )
    grows = USUAL_OVERBURDEN if gradient is None else gradient
    well = scene.well
    ground = well.air_gap if well.sea_floor is None else well.sea_floor
    on_it = 0.0 if well.sea_floor is None else float(scene.sea_column().pressure(ground))
    rock = cl.column(cl.Fluid(name="overburden", density=grows / GRAVITY), top=ground, pressure=on_it)
    told = {**along, "gradient": (grows, GRADIENT), "ground": (ground, LEVEL)}
    return rock, cl.Remark("overburden of {gradient} below {ground} tvd, from {first} to {last} md", told)


_ALL_OVERBURDEN = cl.Behind(above_cement="overburden", cement="overburden", open_hole="overburden")


# --- open to the sea --------------------------------------------------------------------------------------------------


def _not_left_open(scene: cl.Scene) -> str:
    return covered(scene) if scene.well.subsea else "the wellhead is not on the sea floor"


@cl.load_case(
    phase="other",
    source="construction by hydrostatics: common practice of scientific ocean drilling, no source",
    assumptions=(
        "the wellhead stands open on the sea floor, and nothing flows: beds in contact with the well take or give "
        "nothing that would change its pressure",
        "temperature undisturbed",
    ),
    applies=_not_left_open,
)
def open_to_sea(
    scene: cl.Scene,
    *,
    fluid: cl.FluidName | None = None,
    outside: cl.Outside = "as run",
    outside_later: cl.Outside = "pore pressure",
) -> cl.Load:
    """Open to the sea: an observation well is left with sea water in it, its wellhead open on the sea floor.

    Parameters
    ----------
    fluid : FluidName
        What fills the well below the wellhead; if left out, sea water.
    outside : str
        What stands behind the pipe just after it is left. By default the mud as run, which is still heavy.
    outside_later : str
        What stands there after years. By default the pore pressure, the heaviest credible once mud has settled.
    """
    if not scene.well.subsea:
        raise cl.CannotEvaluate("the wellhead is not on the sea floor: no sea stands on it")
    sea = scene.sea_column()
    inside = sea if fluid is None else sea.over(fluid, contact=scene.wellhead_tvd)
    drilled_out = scene.string.next_hole is not None
    steps = [
        scene.step(name, scene.state(inside=inside, outside=scene.outside(behind), drilled_out=drilled_out))
        for name, behind in (("just left", outside), ("after years", outside_later))
    ]
    return cl.Load(steps=tuple(steps))


# --- weight on the wellhead -------------------------------------------------------------------------------------------


def _carries_no_wellhead(scene: cl.Scene) -> str:
    """Return why a string carries no wellhead; nothing for the two outermost: conductor and surface string."""
    carrying = [string.name for string in _at_wellhead(scene)][:2]
    return "" if scene.string.name in carrying else "conductor and surface string carry the wellhead"


def _at_wellhead(scene: cl.Scene) -> list[cl.String]:
    return [string for string in scene.well.strings if string.top <= scene.well.wellhead_depth + _SAME]


@cl.load_case(
    phase="other",
    source="PetroWiki, mechanical loads on casing and tubing strings (from memory); construction: common practice, no "
    "source",
    assumptions=(
        "static and along the axis; bending by vessel offset, current and preventer is not modelled",
        "nothing but its cement holds the string: its top carries the weight, and no pull is left in it",
        "where it is cemented to the top, the cement takes the weight below the very top",
        "the ground helps only through the cement: friction of soil on pipe without cement is not counted",
        "temperature undisturbed",
    ),
    applies=_carries_no_wellhead,
)
def wellhead_load(
    scene: cl.Scene,
    *,
    weight: cl.Force,
    inner_strings: cl.Force | None = None,
    share: cl.Percent = "100 %",
    mud: cl.FluidName | None = None,
    outside: cl.Outside = "as run",
) -> cl.Load:
    """Wellhead load: wellhead, preventer and the strings hung inside stand on the top of conductor or surface string.

    Parameters
    ----------
    weight : Force
        Of wellhead and preventer, in what is around them.
    inner_strings : Force
        Weight of all strings hung in the wellhead, in their fluids, as their hangers carry it; if left out, none,
        where the file has no later string that hangs there.
    share : Percent
        Of the load that this string takes, where conductor and surface string bear it together. By default all of it,
        the worst for either.
    mud : FluidName
        What fills the string; if left out, the mud of the next hole.
    outside : str
        What stands behind the pipe. By default the mud as run, the heaviest credible; above the cement the force does
        not depend on it, since the top gives way.
    """
    names = [string.name for string in _at_wellhead(scene)]
    if scene.string.name not in names:
        raise cl.CannotEvaluate(f"the string hangs at {scene.string.top:g} m, below the wellhead")
    if inner_strings is None and scene.string.name != names[-1]:
        raise cl.MissingInput("inner_strings: later strings hang in the wellhead")
    if not 0.0 < share <= 1.0:
        raise cl.CannotEvaluate(f"share = {share:.0%}; need more than 0 % and at most 100 %")
    if not scene.string.cement:
        raise cl.CannotEvaluate("the string has no cement to stand on; soil friction on a driven pipe is not modelled")
    load = share * (weight + (inner_strings or 0.0))
    hole = scene.string.next_hole
    riser = not scene.well.subsea if hole is None else hole.riser
    state = scene.state(
        inside=scene.mud_column(scene.next_mud(mud), riser=riser),
        outside=scene.outside(outside),
        drilled_out=hole is not None,
        wellhead_load=load,
    )
    remark = cl.Remark("{load} on the top of the string", {"load": (load, FORCE)})
    return cl.Load(steps=(scene.step("wellhead loaded", state),), remarks=(remark,))


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [mobile_formation, open_to_sea, wellhead_load]
