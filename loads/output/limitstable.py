"""The limits of well control for a terminal: plain text, one line a limit, its words beside it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from ..notes import CAUTIONS
from ..setting import SettingDepth
from ..units import DENSITY, LENGTH, UnitSystem, show
from ..wellcontrol.limits import ASSUMPTIONS, HoleLimits, Limit
from .listing import WIDTH

_WORDS = {
    "found": "",
    "exceeded": "EXCEEDED",
    "unlimited": "unlimited",
    "not-evaluated": "NOT EVALUATED",
    "does-not-apply": "–",
}


def limits_table(found: Sequence[HoleLimits], system: UnitSystem = "metric") -> str:
    """Return limits as a table for a terminal, at most 120 characters wide.

    Parameters
    ----------
    found : sequence of HoleLimits
        Of `casingloads.wellcontrol.limits.limits`.
    system : {"metric", "field"}
        Units.

    Returns
    -------
    str
        Hole by hole a line a limit, with what breaks it and where; then what is assumed. No final newline.
    """
    if not found:
        return "No string has a next_hole: there is no open hole to limit."
    lines = [f"{found[0].well}: limits of well control", ""]
    for hole in found:
        lines += [_heading(hole, system), *_rows(list(hole), system), ""]
    lines.append("Assumed")
    for text in ASSUMPTIONS:
        lines += textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="    ")
    return "\n".join([*lines, "", *textwrap.wrap("Caution: " + " ".join(CAUTIONS[:2]), WIDTH)])


def setting_lines(found: Sequence[SettingDepth], system: UnitSystem = "metric") -> str:
    """Return the greatest setting depths as text, one line a string.

    Parameters
    ----------
    found : sequence of SettingDepth
        Of `casingloads.setting.setting_depths`.
    system : {"metric", "field"}
        Units.

    Returns
    -------
    str
        Without a final newline.
    """
    words = {
        "tension": "then it is below its required factor in tension while it is run",
        "friction": "then its weight no longer pulls it in against its friction",
        "nothing": "no farther looked for",
    }
    lines = ["Greatest setting depth, the lowest section made longer, full of what the hole is full of"]
    width = max((len(item.string) for item in found), default=0)
    for item in found:
        depths = f"{show(item.greatest, LENGTH, system):>10}, planned {show(item.planned, LENGTH, system)}"
        lines.append(f"  {item.string:<{width}}  {depths}: {words[item.stopped_by]}")
    return "\n".join(lines)


def _heading(hole: HoleLimits, system: UnitSystem) -> str:
    mud = "no mud named" if hole.mud is None else f"{hole.mud.name} ({show(hole.mud.density, DENSITY, system)})"
    riser = "" if hole.riser else ", open to the sea"
    return f"below {hole.string}: {show(hole.top, LENGTH, system)} to {show(hole.bottom, LENGTH, system)}, {mud}{riser}"


def _rows(limits: Sequence[Limit], system: UnitSystem) -> list[str]:
    """Return one line a limit, its words going on below each other."""
    cells = [(limit.name, _value(limit, system), _WORDS[limit.status]) for limit in limits]
    widths = [max(len(row[column]) for row in cells) for column in range(3)]
    lines = []
    for limit, (name, value, word) in zip(limits, cells, strict=True):
        first = f"  {name:<{widths[0]}}  {value:>{widths[1]}}  {word:<{widths[2]}}  "
        lines += textwrap.wrap(
            limit.words.text(system), WIDTH, initial_indent=first, subsequent_indent=" " * len(first)
        )
    return lines


def _value(limit: Limit, system: UnitSystem) -> str:
    return "" if limit.value is None else show(limit.value, limit.dimension, system)
