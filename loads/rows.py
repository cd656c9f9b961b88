"""From an evaluation to rows: the lowest factor of each section in each mode, body and connection both looked at."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from .arrays import Bools
from .evaluate import Evaluation, Outcome
from .row import Row
from .strength.check import Check
from .well import MODES, CaseRequest, Section, String

_ROUNDING = 1e-9  # of a factor that is just what is required, after yielding for example


def rows_of(found: Evaluation, request: CaseRequest, step: str) -> Iterator[Row]:
    """Yield one row for each section that is in the hole, and each mode.

    Parameters
    ----------
    found : Evaluation
        One string in one step.
    request : CaseRequest
        Its label, and factors required that differ from the string's.
    step : str
        Name of the step.

    Yields
    ------
    Row
        The place of the lowest factor.
    """
    for index, section in enumerate(found.string.sections):
        inside = found.body.section == index
        if not np.any(inside):
            continue  # not yet run in this step
        for mode in found.checks:
            base = blank_row(found.string, index + 1, request, step, mode)
            yield _row(base, found, index, section, np.asarray(inside))


def blank_row(string: String, section: int, request: CaseRequest, step: str, mode: str) -> Row:
    """Return a row that says there is no load."""
    return Row(
        string=string.name,
        section=section,
        case=request.label,
        step=step,
        mode=mode,
        required=float(request.required.get(mode, string.required[mode])),
        status="no-load",
    )


def failed_rows(string: String, request: CaseRequest, step: str, reason: str) -> Iterator[Row]:
    """Yield rows not evaluated, for every section and mode of *string*."""
    for section in range(1, len(string.sections) + 1):
        for mode in MODES:
            yield blank_row(string, section, request, step, mode).but(status="not-evaluated", reason=reason)


def _row(base: Row, found: Evaluation, index: int, section: Section, inside: Bools) -> Row:
    body = _lowest(base, found, found.checks[base.mode], inside, "body")
    c = section.connection
    if c is None or body.status == "no-load":
        return body
    outcome = found.connections[index, base.mode]
    if outcome is None and base.mode in section.as_body:
        return body.but(reason=body.reason or f"connection {c.name!r} taken as the body: {section.as_body[base.mode]}")
    if outcome is None:
        outcome = f"connection {c.name!r} has no {base.mode} rating ({c.unrated}); rate it, or give connection_as_body"
    connection = _lowest(base, found, outcome, inside, "connection")
    if "below" in (body.status, connection.status):  # whatever the other would say, it is below
        return min((body, connection), key=lambda row: row.margin)
    if "not-evaluated" in (body.status, connection.status):
        return body if body.status == "not-evaluated" else connection
    return min((body, connection), key=lambda row: row.margin)


def _lowest(base: Row, found: Evaluation, outcome: Outcome, inside: Bools, what: str) -> Row:
    """Return the row of the lowest factor of *outcome* in a section."""
    if not isinstance(outcome, Check):
        return base.but(status="not-evaluated", reason=outcome or "no rating")
    shape = found.places.md.shape
    demand, capacity = (np.broadcast_to(value, shape) for value in (outcome.demand, outcome.capacity))
    if not np.all(np.isfinite(demand[inside])) or not np.all(np.isfinite(capacity[inside])):
        return base.but(status="not-evaluated", reason="the strength model gave a load or rating that is not a number")
    loaded = inside & np.broadcast_to(outcome.loaded, shape)
    if not np.any(loaded):
        return base
    factor = np.where(loaded, outcome.factor, np.inf)
    lowest = float(factor.min())
    if not np.isfinite(lowest):
        return base.but(status="not-evaluated", reason="the strength model gave a factor that is not a number")
    place = int(np.argmax(factor <= lowest * (1.0 + 1e-9)))  # of equals the shallowest
    return base.but(
        status="meets" if lowest >= base.required * (1.0 - _ROUNDING) else "below",
        factor=lowest,
        load=float(demand[place]),
        rating=float(capacity[place]),
        governs=what,
        md=float(found.places.md[place]),
        tvd=float(found.places.tvd[place]),
        side="below" if found.places.below[place] else "above",
        place=place,
        warnings=tuple(caution.text for caution in outcome.cautions if np.broadcast_to(caution.where, shape)[place]),
    )
