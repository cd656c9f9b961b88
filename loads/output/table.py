"""The design-factor table for a terminal: plain text, its words carry the meaning and colour only repeats it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from ..result import Governing, Result
from ..units import FORCE, LENGTH, UnitSystem, show, shown
from ..well import MODES

_WORDS = {"meets": "meets", "below": "BELOW", "no-load": "no load", "not-evaluated": "NOT EVALUATED"}
_COLOURS = {"BELOW": "31;1", "NOT EVALUATED": "33;1"}
_VERDICTS = {
    "meets": "All that was asked for was evaluated and meets its required factor.",
    "below": "At least one factor is BELOW what is required:",
    "not-evaluated": "NOT EVALUATED in full: this is not a pass.",
}


def design_factor_table(result: Result, system: UnitSystem = "metric", *, colour: bool = False) -> str:
    """Return the table of what governs, with the verdict, remarks and cautions under it.

    Parameters
    ----------
    result : Result
        Of a check.
    system : {"metric", "field"}
        Units shown.
    colour : bool
        Whether to colour the words that call for attention.

    Returns
    -------
    str
        Several lines, without a final newline.
    """
    lines = [f"{result.well.name}: design factors", ""]
    for string in result.well.strings:
        lines += _string_table(result, string.name, system, colour=colour)
    lines += _hanging(result, system)
    lines += _listed("Besides factors", [remark.text(system) for remark in result.noteworthy])
    lines += _listed("Found on the way", [remark.text(system) for remark in result.remarks])
    lines += _listed("Accepted in the well file", result.accepted)
    lines += _listed("Warnings", result.warnings)
    lines += [
        "",
        _painted(_VERDICTS[result.verdict], result.verdict.replace("-", " ").upper(), colour=colour),
    ]
    lines += _listed("", [_told(item, system) for item in result.governing if item.status == "below"])
    unasked = [string.name for string in result.well.strings if all(row.string != string.name for row in result.rows)]
    if unasked:
        lines += _listed("", [f"NOT CHECKED, since no load case is asked for: {', '.join(unasked)}."])
    if result.verdict == "meets":
        closest = min(result.governing, key=lambda item: item.row.margin)
        lines += _listed("", [f"Closest to its limit: {_told(closest, system)}."])
    lines += _listed("", _unevaluated(result))
    lines += _listed("Cases that do not apply", _passed_over(result))
    lines += ["", *textwrap.wrap("Caution: " + " ".join(result.cautions[:2]), 110)]
    lines += textwrap.wrap("Not modelled: " + "; ".join(result.not_modelled) + ".", 110)
    lines += [f"{len(result.assumptions)} assumptions: --assumptions lists them, so does --json."]
    return "\n".join(lines)


def _string_table(result: Result, name: str, system: UnitSystem, *, colour: bool) -> list[str]:
    string = result.well.string(name)
    lines = [f"{name}: {show(string.top, LENGTH, system)} to {show(string.shoe, LENGTH, system)}"]
    found = [item for item in result.governing if item.row.string == name]
    if not found:
        return [*lines, "  NOT CHECKED: no load case is asked for", ""]
    depth = f"at md {LENGTH.unit(system)}"
    header = ["", "factor", "required", "", "governing case", depth]
    for number, section in enumerate(string.sections, start=1):
        span = f"{shown(section.top, LENGTH, system):.0f} to {show(section.bottom, LENGTH, system)}"
        lines.append(f"  section {number}: {section.pipe.label}, {span}")
        rows = [_cells(item, system) for mode in MODES for item in found if _is(item, number, mode)]
        lines += _aligned([header, *rows], colour=colour)
    return [*lines, ""]


def _is(item: Governing, number: int, mode: str) -> bool:
    return item.row.section == number and item.row.mode == mode


def _cells(item: Governing, system: UnitSystem) -> list[str]:
    row = item.row
    factor = "–" if row.factor is None else f"{row.factor:.2f}"
    case = row.case if row.factor is not None or item.status == "not-evaluated" else ""
    step = f", {row.step}" if row.step and row.factor is not None else ""
    step += " (connection)" if row.governs == "connection" else ""
    depth = "" if row.md is None else f"{shown(row.md, LENGTH, system):.0f}"
    return [row.mode, factor, f"{row.required:.2f}", _WORDS[item.status], f"{case}{step}", depth]


def _aligned(rows: Sequence[Sequence[str]], *, colour: bool) -> list[str]:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    right = {1, 2, 5}
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        cells[3] = _painted(cells[3], row[3], colour=colour)
        lines.append("    " + "  ".join(cells).rstrip())
    return lines


def _painted(text: str, word: str, *, colour: bool) -> str:
    code = _COLOURS.get(word)
    return f"\x1b[{code}m{text}\x1b[0m" if colour and code else text


def _hanging(result: Result, system: UnitSystem) -> list[str]:
    lines = ["Weight the rig carries, without landing string and block (end of cementing: margin against floating off)"]
    rows = [
        [found.string.name, moment, show(float(found.axial.effective[0]), FORCE, system)]
        for moment, found in result.hanging
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    for name, moment, force in rows:
        lines.append(f"  {name.ljust(widths[0])}  {moment.ljust(widths[1])}  {force.rjust(widths[2])}")
    return lines


def _told(item: Governing, system: UnitSystem) -> str:
    row = item.row
    depth = "" if row.md is None else f", at {show(row.md, LENGTH, system)} md"
    what = " of the connection" if row.governs == "connection" else ""
    return (
        f"{row.string}, section {row.section}, {row.mode}{what}: {row.factor:.3f} against {row.required:.2f}, "
        f"{row.case}, {row.step}{depth}"
    )


def _unevaluated(result: Result) -> list[str]:
    """Return why rows could not be evaluated, each reason once with where it holds."""
    reasons: dict[str, list[str]] = {}
    for row in result.rows:
        if row.status == "not-evaluated":
            where = f"{row.string}, {row.case}"
            places = reasons.setdefault(row.reason, [])
            if where not in places:
                places.append(where)
    return [f"not evaluated: {reason} ({'; '.join(places)})" for reason, places in reasons.items()]


def _passed_over(result: Result) -> list[str]:
    """Return which cases do not concern which strings, those of one reason together."""
    found: dict[tuple[str, str], list[str]] = {}
    for item in result.passed_over:
        found.setdefault((item.case, item.reason), []).append(item.string or "the well")
    return [f"{case}: {reason} ({', '.join(strings)})" for (case, reason), strings in found.items()]


def _listed(heading: str, lines: Sequence[str]) -> list[str]:
    if not lines:
        return []
    wrapped = [
        part
        for line in lines
        for part in textwrap.wrap(line, 106, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)
    ]
    return ["", heading, *wrapped] if heading else wrapped
