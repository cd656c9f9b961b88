"""How deep a string could be set: until its weight, or its own friction, stops it while it is run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from .errors import CannotEvaluate
from .evaluate import evaluate
from .hooks import Plugins, load_plugins
from .rows import rows_of
from .situations import running
from .state import Friction
from .strength.model import ChosenModel
from .well import CaseRequest, String, Well

DEEPEST = 15e3
"""Measured depth down to which is searched [m]."""
_NEAR = 1.0  # to which the depth is found [m]

Stop = Literal["tension", "friction", "nothing"]


@dataclass(frozen=True, kw_only=True)
class SettingDepth:
    """The greatest depth of a string's shoe.

    Attributes
    ----------
    string : str
        Its name.
    planned, greatest : float
        Measured depth of the shoe as planned, and at most [m].
    stopped_by : {"tension", "friction", "nothing"}
        What stops it there: the required factor in tension while it is run, or its weight, which no longer pulls it
        in against its friction; nothing, where the search ended.
    """

    string: str
    planned: float
    greatest: float
    stopped_by: Stop


def setting_depths(
    well: Well, *, friction: Friction | None = None, plugins: Plugins | None = None
) -> tuple[SettingDepth, ...]:
    """Return the greatest setting depth of each string of *well*.

    The lowest section is made longer, along the path and straight on below its survey. The string hangs full of what
    the hole is full of, from the drill floor or, below a wellhead, on its landing string: both are looked at, body and
    connections by the strength models of the well.

    Parameters
    ----------
    well : Well
        With its strings; tie-backs are left out, since they end at their liner.
    friction : Friction, optional
        While it goes in; without it only tension stops it.
    plugins : Plugins, optional
        Strength models; by default those installed.

    Returns
    -------
    tuple of SettingDepth
        In the order of the well.

    Raises
    ------
    InputError
        When a strength model is not known.
    """
    from .check import models_of

    offered = plugins or load_plugins()
    found = []
    for string in well.strings:
        if string.tie_back_to is None:
            models = {"tension": models_of(string, offered)["tension"]}
            found.append(_greatest(well, string, models, friction))
    return tuple(found)


def _greatest(well: Well, string: String, models: Mapping[str, ChosenModel], friction: Friction | None) -> SettingDepth:
    tests: dict[Stop, Callable[[float], bool]] = {"tension": lambda shoe: _bears(well, string, models, shoe)}
    if friction is not None:
        tests["friction"] = lambda shoe: _sinks(well, string, shoe, friction)
    end = max(DEEPEST, string.shoe)
    shortest = max(string.sections[-1].top, string.top) + _NEAR
    greatest: float = end
    stopped_by: Stop = "nothing"
    for name, holds in tests.items():
        depth = _last(holds, shortest, end)
        if depth < greatest:
            greatest, stopped_by = depth, name
    return SettingDepth(string=string.name, planned=string.shoe, greatest=greatest, stopped_by=stopped_by)


def _last(holds: Callable[[float], bool], low: float, high: float) -> float:
    """Return the greatest depth [m] down to which something holds that fails from some depth on."""
    if holds(high):
        return high
    if not holds(low):
        return low
    while high - low > _NEAR:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _deepened(string: String, shoe: float) -> String:
    """Return the string with its lowest section down to *shoe* [m md], as it is run: without cement."""
    lowest = replace(string.sections[-1], bottom=shoe)
    return replace(string, shoe=shoe, sections=(*string.sections[:-1], lowest), cement=(), spacers=(), contents=())


def _bears(well: Well, string: String, models: Mapping[str, ChosenModel], shoe: float) -> bool:
    deep = _deepened(string, shoe)
    request = CaseRequest(label="", case="")
    for hung_at in {shoe, deep.length}:  # landed, and all of it at the drill floor
        found = evaluate(well, deep, running(well, deep, shoe_at=hung_at), models)
        if any(row.status not in ("meets", "no-load") for row in rows_of(found, request, "")):
            return False
    return True


def _sinks(well: Well, string: String, shoe: float, friction: Friction) -> bool:
    """Return whether its weight still pulls the string in: some effective force is left at the top."""
    deep = _deepened(string, shoe)
    state = replace(running(well, deep, shoe_at=shoe), friction=friction)
    try:
        return float(evaluate(well, deep, state, {}).axial.effective[0]) > 0.0
    except CannotEvaluate:  # the drag does not settle
        return False
