"""What the tables of a well file must be to each other: strings that fit, tables that reach, pressures in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from ..errors import key_path, near_miss
from ..hooks import Plugins
from ..parameters import Quantity
from ..units import LENGTH, PRESSURE
from ..well import CaseRequest, Section, String, Well
from .findings import Findings

_FIT = 1e-6  # a diameter may equal the one it must pass [m]
_NEAR = 0.1  # by which a table may miss the bottom of a hole, for the rounding of a survey [m]
_SAME = 1e-3  # depths and sizes of one hole told twice [m]


def cross_check(well: Well, plugins: Plugins, findings: Findings) -> None:
    """Note what does not fit together, and what fits only by a choice that the reader must know.

    Parameters
    ----------
    well : Well
        As built from all tables of its file; what could not be read is NaN, and passes.
    plugins : Plugins
        Tell which parameters of its cases are depths.
    findings : Findings
        Takes problems and assumptions.
    """
    _pressures_in_order(well, findings)
    _temperatures_reach(well, findings)
    _tables_reach(well, plugins, findings)
    names = [string.name for string in well.strings]
    for number, string in enumerate(well.strings):
        where = ("strings", string.name)
        if string.name and string.name in names[:number]:
            findings.fault(f"{string.name!r} is the name of two strings; need another", *where, "name")
        _fits_its_hole(string, findings)
        _landing(string, findings)
        if string.tie_back_to is not None:
            _ties_back(well, string, well.strings[:number], findings)
        elif number == 0:
            _hangs_in_nothing(well, string, findings)
        else:
            _below_earlier(string, well.strings[:number], findings)
        if number > 0:
            _drifts(string, well.strings[:number], findings)
        if number > 0 and string.tie_back_to is None:
            _drilled_through(string, well.strings[:number], findings)
        below = [other for other in well.strings[number + 1 :] if other.tie_back_to is None]
        _next_hole(string, well.strings[: number + 1], below[0] if below else None, findings)


# --- the ground -------------------------------------------------------------------------------------------------------


def _pressures_in_order(well: Well, findings: Findings) -> None:
    pore, fracture = well.earth.pore_pressure, well.earth.fracture
    if pore is None or fracture is None:
        return
    for row in np.flatnonzero(fracture.value < pore.value):
        told, limit = (findings.shown(float(table.value[row]), PRESSURE) for table in (fracture, pore))
        message = f"at {findings.depth(fracture.tvd[row])}: {told} is below the pore pressure, {limit}"
        findings.fault(f"{message}; need as much or more", "earth", "fracture", int(row) + 1)


def _tables_reach(well: Well, plugins: Plugins, findings: Findings) -> None:
    """Check that the rows of the earth cover all holes and every depth that a case names."""
    tables = [well.earth.pore_pressure, well.earth.fracture, well.earth.temperature]
    table = next((table for table in tables if table is not None), None)
    if table is None or not np.all(np.isfinite(table.tvd)):
        return
    last, first = float(table.tvd[-1]), float(table.tvd[0])
    depths = [*_bottoms(well), *_named_depths(well, plugins)]
    reached = [(_deepest_tvd(well, md), what) for md, what in depths if md >= 0.0]  # not one that is unknown
    deepest, what = max(reached, default=(0.0, ""))
    if deepest > last + _NEAR:
        reach = f"end at {findings.depth(last)}, but {what} is {findings.depth(deepest)} deep (true vertical)"
        findings.fault(f"{reach}; need another row", "earth", "depth")
    ground = well.air_gap + (well.water_depth or 0.0)
    if first > ground + _NEAR and well.earth.temperature is not None:
        findings.assume(f"earth.temperature: above {findings.depth(first)}, its first row, its value is held")


def _temperatures_reach(well: Well, findings: Findings) -> None:
    """Tell of named temperatures that do not reach from the wellhead to the deepest string: their ends are held."""
    deepest = max((_deepest_tvd(well, s.shoe) for s in well.strings if s.shoe >= 0.0), default=0.0)  # not unknown ones
    for name, table in well.temperatures.items():
        first, last = float(table.tvd[0]), float(table.tvd[-1])
        for held, where in ((first > well.wellhead_depth + _NEAR, "above"), (last < deepest - _NEAR, "below")):
            if held:
                row = f"{where} {findings.depth(first if where == 'above' else last)}"
                findings.assume(f"{row}, its {'first' if where == 'above' else 'last'} row, its value is held",
                                of=f"temperatures.{name}")  # fmt: skip


def _landing(string: String, findings: Findings) -> None:
    """Check that a landing pull has a free length to go to, held at its lower end."""
    if string.landing == 0.0:
        return
    where = ("strings", string.name, "landing")
    if not string.cement:
        findings.fault("needs cement that holds the lower end against the pull", *where)
    elif string.cement[0].top <= string.top + _SAME:
        findings.fault("the string is cemented to its top: no free length is left to pull or slack off", *where)


def _bottoms(well: Well) -> Iterator[tuple[float, str]]:
    for string in well.strings:
        yield string.shoe, key_path("strings", string.name, "shoe")
        if string.next_hole is not None:
            yield string.next_hole.bottom, key_path("strings", string.name, "next_hole", "to")


def _named_depths(well: Well, plugins: Plugins) -> Iterator[tuple[float, str]]:
    """Yield the measured depths [m] that cases are given, each with its key."""
    requests: list[tuple[tuple[str, ...], CaseRequest]] = [
        (("strings", string.name, "cases", request.label), request)
        for string in well.strings
        for request in string.cases
    ]
    requests += [(("cases", request.label), request) for request in well.cases]
    for where, request in requests:
        for parameter in plugins.cases[request.case].parameters:
            kind, value = parameter.kind, request.parameters.get(parameter.name)
            is_depth = isinstance(kind, Quantity) and kind.dimension == LENGTH and kind.words == "measured depth"
            if is_depth and isinstance(value, float):
                yield value, key_path(*where, parameter.name)


def _deepest_tvd(well: Well, bottom: float) -> float:
    """Return the greatest true vertical depth [m] of the path down to *bottom* [m md]."""
    stations = well.path.stations[well.path.stations < bottom]
    return float(np.max(well.path.tvd(np.concatenate([stations, np.linspace(0.0, bottom, 100)]))))


# --- pipe in holes and pipe in pipe -----------------------------------------------------------------------------------


def _fits_its_hole(string: String, findings: Findings) -> None:
    for number, section in enumerate(string.sections, start=1):
        if section.pipe.outside_diameter > string.hole_size + _FIT:
            hole, pipe = findings.size(string.hole_size), findings.size(section.pipe.outside_diameter)
            message = f"{hole} takes no pipe of {pipe} (sections[{number}]); need a larger hole"
            findings.fault(message, "strings", string.name, "hole_size")
            return


def _hangs_in_nothing(well: Well, string: String, findings: Findings) -> None:
    if string.top > well.wellhead_depth + _SAME:
        message = f"{findings.depth(string.top)} is a liner's, but no string stands before it to hang in"
        findings.fault(f"{message}; need 'wellhead', or the outermost string first", "strings", string.name, "top")


def _ties_back(well: Well, string: String, earlier: Sequence[String], findings: Findings) -> None:
    """Check that a tie-back reaches from the wellhead to the top of a liner set before it."""
    where, depth = ("strings", string.name), findings.depth
    liners = {host.name: host for host in earlier if host.top > well.wellhead_depth + _SAME}
    liner = liners.get(string.tie_back_to or "")
    if liner is None:
        accepted = near_miss(string.tie_back_to or "", liners) if liners else "there is no liner before it"
        findings.fault(f"{string.tie_back_to!r} is not a liner set before it; {accepted}", *where, "tie_back_to")
        return
    if not liner.top - _SAME <= string.shoe <= liner.shoe:
        reach = f"{depth(string.shoe)} is not in {liner.name!r}, {depth(liner.top)} to {depth(liner.shoe)}"
        findings.fault(f"{reach}; need the depth to which it reaches into it", *where, "shoe")
    if string.top > well.wellhead_depth + _SAME:
        findings.fault(f"{depth(string.top)} is below the wellhead; need 'wellhead'", *where, "top")
    if not string.cement:
        message = "missing; a tie-back that no cement holds at its lower end, by a seal or a latch, is not worked out"
        findings.fault(message, *where, "cement")
    if string.next_hole is not None:
        findings.fault("a tie-back has no hole of its own below it; give it to the liner", *where, "next_hole")


def _below_earlier(string: String, earlier: Sequence[String], findings: Findings) -> None:
    hosts = [host for host in earlier if host.tie_back_to is None]
    previous, where, depth = (hosts or earlier)[-1], ("strings", string.name), findings.depth
    if string.shoe <= previous.shoe:
        message = f"{depth(string.shoe)} is not below the shoe of {previous.name!r} at {depth(previous.shoe)}"
        findings.fault(f"{message}; need a depth below it, strings from the outermost in", *where, "shoe")
    if string.top > previous.shoe:
        message = f"{depth(string.top)} is below the shoe of {previous.name!r} at {depth(previous.shoe)}"
        findings.fault(f"{message}; need a depth above it", *where, "top")


def _drifts(string: String, earlier: Sequence[String], findings: Findings) -> None:
    """Check that each section passes what it stands in."""
    where = ("strings", string.name)
    earlier = [host for host in earlier if host.name != string.tie_back_to]  # it stands on that one
    for number, section in enumerate(string.sections, start=1):
        hosts = [(host, other) for host in earlier for other in host.sections if other.top < section.bottom]
        for host, other in hosts:
            if section.pipe.outside_diameter > _passes(other) + _FIT:
                pipe, drift = findings.size(section.pipe.outside_diameter), findings.size(_passes(other))
                message = f"{pipe} does not drift inside {other.pipe.label!r} of {host.name!r}"
                findings.fault(f"{message}; need at most {drift}", *where, "sections", number)
                break


def _passes(section: Section) -> float:
    """Return the diameter that passes a section [m]: its drift, or its bore where no drift is known."""
    return section.pipe.drift or section.pipe.inside_diameter


# --- holes drilled through pipe: possible with an underreamer, so a line under Assumptions --------------------------


def _drilled_through(string: String, earlier: Sequence[String], findings: Findings) -> None:
    _tell_bit(string.hole_size, f"the hole of {string.name!r}", earlier, findings)


def _next_hole(string: String, through: Sequence[String], following: String | None, findings: Findings) -> None:
    hole = string.next_hole
    if hole is None:
        return
    what = f"the hole below {string.name!r}"
    if following is not None and hole.bottom < following.shoe - _SAME:
        to, shoe = findings.depth(hole.bottom), findings.depth(following.shoe)
        findings.assume(f"{what} is taken to {to}, though {following.name!r} is set at {shoe}")
    if hole.size is None:
        return
    if following is None or abs(hole.size - following.hole_size) > _SAME:
        if following is not None:
            sizes = f"{findings.size(hole.size)}, though that of {following.name!r} is"
            findings.assume(f"{what} is {sizes} {findings.size(following.hole_size)}")
        _tell_bit(hole.size, what, through, findings)


def _tell_bit(size: float, what: str, through: Sequence[String], findings: Findings) -> None:
    """Tell the tightest section of all that a hole is drilled through, if a bit of the hole's size does not pass."""
    sections = [(_passes(section), section, host) for host in through for section in host.sections]
    tight = [item for item in sections if size > item[0] + _FIT]
    if tight:
        drift, section, host = min(tight, key=lambda item: item[0])
        passed = f"{findings.size(drift)} that {section.pipe.label!r} of {host.name!r} passes"
        how = "it is opened below the shoe, or the pipe has a special drift (give drift)"
        findings.assume(f"{what}, {findings.size(size)}, is larger than the {passed}: {how}")
