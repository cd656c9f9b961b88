"""Lists for the terminal: load cases with their parameters, catalog rows."""

from __future__ import annotations

import textwrap
from typing import Literal

from .case import LoadCase
from .catalog import Catalog
from .units import UnitSystem


def case_text(case: LoadCase) -> str:
    """Return a load case as text: what it is, its parameters, assumptions and source."""
    lines = [f"{case.name}  ({case.phase}, for {'one string' if case.scope == 'string' else 'several strings'})"]
    lines += textwrap.wrap(case.summary, 100, initial_indent="  ", subsequent_indent="  ")
    for parameter in case.parameters:
        if parameter.required:
            given = "required"
        elif parameter.default is None:
            given = "optional"
        else:
            given = f"default {parameter.default!r}"
        text = f"{parameter.name}: {parameter.kind.describe()}; {given}. {parameter.text}"
        lines += textwrap.wrap(text, 100, initial_indent="    ", subsequent_indent="      ")
    for text in case.assumptions:
        lines += textwrap.wrap(f"assumes: {text}", 100, initial_indent="  ", subsequent_indent="    ")
    lines += textwrap.wrap(f"source: {case.source}", 100, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def catalog_table(catalog: Catalog, what: Literal["pipe", "grades"], system: UnitSystem) -> str:
    """Return catalog rows as a table for a terminal."""
    frame = catalog.pipes_frame(system) if what == "pipe" else catalog.grades_frame(system)
    if frame.empty:
        return "no row meets these filters"
    shown = [name for name in frame.columns if name not in _LONG]
    return str(frame[shown].to_string(index=False, na_rep=""))


def catalog_csv(catalog: Catalog, what: Literal["pipe", "grades"], system: UnitSystem) -> str:
    """Return catalog rows as CSV, sources included."""
    frame = catalog.pipes_frame(system) if what == "pipe" else catalog.grades_frame(system)
    return str(frame.to_csv(index=False)).rstrip("\n")


_LONG = frozenset(
    {
        "source",
        "notes",
        "grades_provenance",
        "alternate_drift_provenance",
        "catalog",
        "heat_treatment",
        "process",
    }
)
