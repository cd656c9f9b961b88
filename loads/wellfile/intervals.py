"""Stretches of a string filled with slurry or another fluid: their ends by depth or word, from the top down."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from ..well import Cement, Fluid, Interval
from . import schema
from .findings import Findings

Where = tuple[str | int, ...]


def cement_intervals(
    table: schema.StringTable,
    where: Where,
    words: Mapping[str, float],
    fluid: Callable[..., Fluid],
    findings: Findings,
) -> tuple[Cement, ...]:
    """Return the cemented intervals of a string from the top down.

    Parameters
    ----------
    table : StringTable
        The string.
    where : tuple
        Its place in the file.
    words : mapping
        Depth [m] that each word means; ``top`` and ``shoe`` among them.
    fluid : callable
        ``fluid(name, *where)`` returns a fluid by name.
    findings : Findings
        Takes problems and assumptions.
    """
    filled = filled_intervals(table.cement, "cement", where, words, fluid, findings)
    depth = findings.depth
    for above, below in pairwise(interval for interval in filled if interval.bottom > interval.top):
        if below.top < above.bottom - 1e-6:
            message = f"intervals overlap between {depth(below.top)} and {depth(min(above.bottom, below.bottom))}"
            findings.fault(f"{message}; need intervals that do not", *where, "cement")
    if not filled:
        findings.assume("cement left out: the string hangs free for life", of=table.name)
    return tuple(Cement(top=found.top, bottom=found.bottom, slurry=found.fluid) for found in filled)


def filled_intervals(
    tables: Sequence[schema.CementTable | schema.FillingTable],
    key: str,
    where: Where,
    words: Mapping[str, float],
    fluid: Callable[..., Fluid],
    findings: Findings,
) -> tuple[Interval, ...]:
    """Return what fills stretches of a string, from the top down.

    Parameters
    ----------
    tables : sequence
        Stretches as in the file.
    key : str
        Their key in the string's table.
    where : tuple
        The string's place in the file.
    words, fluid, findings
        As for `cement_intervals`.
    """
    found = []
    for number, given in enumerate(tables, start=1):
        here = (*where, key, number)
        upper, lower = _ends(given, here, words, findings)
        name_key = "slurry" if isinstance(given, schema.CementTable) else "fluid"
        found.append(Interval(top=upper, bottom=lower, fluid=fluid(getattr(given, name_key), *here, name_key)))
    return tuple(sorted(found, key=lambda interval: interval.top))


def _ends(
    given: schema.CementTable | schema.FillingTable, here: Where, words: Mapping[str, float], findings: Findings
) -> tuple[float, float]:
    depth, ends = findings.depth, []
    for key, end in (("from", given.from_), ("to", given.to)):
        if isinstance(end, str) and end not in words:
            accepted = ", ".join(repr(word) for word in words)
            findings.fault(f"{end!r} is above the wellhead; need a depth, or {accepted}", *here, key)
        ends.append(words.get(end, math.nan) if isinstance(end, str) else end)
    upper, lower = (math.nan, math.nan) if any(map(math.isnan, ends)) else (min(ends), max(ends))
    outside = upper < words["top"] - 1e-6 or lower > words["shoe"] + 1e-6
    if outside and not math.isnan(words["top"]):
        string = f"top {depth(words['top'])} and shoe {depth(words['shoe'])}"
        findings.fault(f"{depth(upper)} to {depth(lower)} is not between {string}; need depths that are", *here)
        return math.nan, math.nan  # so that it overlaps nothing as well
    if upper == lower:
        findings.fault(f"begins and ends at {depth(upper)}; need two depths", *here)
    return upper, lower
