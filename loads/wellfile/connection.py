"""The connection of a section: a name becomes ratings, or is known to have none."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from ..catalog import CatalogError
from ..catalog.connectionfile import ConnectionRow
from ..connections import STANDARD, Connection, RatedConnection, standard_connection
from ..errors import key_path
from ..well import MODES, Pipe
from . import schema
from .findings import Findings

Where = tuple[str | int, ...]


def connection_of(
    given: schema.SectionTable, pipe: Pipe, rows: Sequence[ConnectionRow], where: Where, name: str, findings: Findings
) -> tuple[Connection | None, Mapping[str, str]]:
    """Return the connection of a section, and the modes in which it is accepted as strong as the body, with reasons.

    Parameters
    ----------
    given : SectionTable
        As the file says.
    pipe : Pipe
        Of the section.
    rows : sequence of ConnectionRow
        From the user's catalogs.
    where : tuple
        Of the section, for messages.
    name : str
        Of the string.
    findings : Findings
        Takes problems and assumptions.

    Returns
    -------
    connection : Connection or None
        None where none is named.
    as_body : mapping
        Reason by mode.
    """
    if given.connection is None:
        if given.connection_as_body is not None:
            findings.fault("names no connection; give connection too", *where, "connection_as_body")
        findings.assume("no connection is named, so the pipe body alone is checked", of=name)
        return None, {}
    as_body = _as_body(given)
    for mode, reason in as_body.items():
        text = f"connection {given.connection!r} accepted as equal to the body in {mode}: {reason}"
        findings.assume(text, of=key_path(*where))
    numbers = (pipe.outside_diameter, pipe.wall, pipe.weight, pipe.yield_strength, pipe.tensile_strength or 1.0)
    if not all(math.isfinite(number) for number in numbers):  # a fault of the pipe, which has been told
        return None, as_body
    try:
        return _named(given.connection, pipe, rows, findings), as_body
    except ValueError as error:
        findings.fault(f"{given.connection!r} on this pipe: {error}", *where, "connection")
        return None, as_body


def _as_body(given: schema.SectionTable) -> dict[str, str]:
    accepted = given.connection_as_body
    if accepted is None:
        return {}
    if isinstance(accepted, str):
        return dict.fromkeys(MODES, accepted)
    return {mode: reason for mode in MODES if (reason := getattr(accepted, mode)) is not None}


def _named(name: str, pipe: Pipe, rows: Sequence[ConnectionRow], findings: Findings) -> Connection:
    """Return the connection of a name; one without ratings says why, and its rows are not evaluated."""
    own = [row for row in rows if row.name == name]
    for row in own:
        if row.fits(pipe):
            return row.on(pipe)
    if own:
        return RatedConnection(name=name, source=f"rated for other pipe than {pipe.label}")
    if name not in STANDARD:
        return RatedConnection(name=name, source="in no catalog")
    if pipe.tensile_strength is None:
        return RatedConnection(name=name, source="the tensile strength of the pipe is not given, key tensile")
    try:
        found = standard_connection(
            name,
            outside_diameter=pipe.outside_diameter,
            wall=pipe.wall,
            weight=pipe.weight,
            yield_strength=pipe.yield_strength,
            tensile_strength=pipe.tensile_strength,
        )
    except CatalogError as error:
        return RatedConnection(name=name, source=str(error))
    findings.assume(f"{found.name}: coupling of the pipe's grade; its dimensions and formulas are from memory")
    if found.coupling.notes:
        findings.assume(f"{found.name}: {found.coupling.notes}")
    return found
