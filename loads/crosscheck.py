"""What the tables of a well file must be to each other: strings that fit, tables that reach, pressures in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from .errors import Problem
from .well import Section, String, Table, Well

_FIT = 1e-6  # a diameter may equal the one it must pass [m]


def cross_check(well: Well, known: Sequence[Problem]) -> list[Problem]:
    """Return what does not fit together.

    Parameters
    ----------
    well : Well
        As built; strings with problems of their own may be missing from it.
    known : sequence of Problem
        Already found, so that one mistake is not told twice.

    Returns
    -------
    list of Problem
    """
    told = {problem.where for problem in known}
    found = [*_earth(well), *_names(well), *_strings(well)]
    return [problem for problem in found if problem.where not in told]


def _earth(well: Well) -> Iterator[Problem]:
    pore, fracture = well.earth.pore_pressure, well.earth.fracture
    if pore is not None and fracture is not None:
        for row in np.flatnonzero(fracture.value < pore.value):
            depth = f"{fracture.tvd[row]:g} m"
            values = f"{fracture.value[row] / 1e6:.3f} MPa is below the pore pressure {pore.value[row] / 1e6:.3f} MPa"
            yield Problem(f"earth.fracture[{row + 1}]", f"at {depth}: {values}")
    deepest = max(
        [float(well.path.tvd(s.next_hole.bottom if s.next_hole else s.shoe)) for s in well.strings],
        default=0.0,
    )
    for name in ("pore_pressure", "fracture", "temperature"):
        table: Table | None = getattr(well.earth, name)
        if table is not None and table.tvd[-1] < deepest - 1e-6:
            reach = f"ends at {table.tvd[-1]:g} m, but the holes reach {deepest:g} m true vertical depth"
            yield Problem("earth.depth", f"{reach}; add a row")
            return


def _names(well: Well) -> Iterator[Problem]:
    names = [string.name for string in well.strings]
    for name in sorted({name for name in names if names.count(name) > 1}):
        yield Problem(f"strings.{name}", "two strings have this name")


def _strings(well: Well) -> Iterator[Problem]:
    for number, string in enumerate(well.strings):
        where = f"strings.{string.name}"
        for index, section in enumerate(string.sections, start=1):
            if section.pipe.outside_diameter > string.hole_size + _FIT:
                sizes = f"{_mm(string.hole_size)} takes no pipe of {_mm(section.pipe.outside_diameter)}"
                yield Problem(f"{where}.hole_size", f"{sizes} (sections[{index}])")
                break
        if number > 0:
            yield from _inside_previous(string, well.strings[:number], where)


def _inside_previous(string: String, earlier: Sequence[String], where: str) -> Iterator[Problem]:
    previous = earlier[-1]
    if string.shoe <= previous.shoe:
        yield Problem(f"{where}.shoe", f"{string.shoe:g} m is not below the shoe of {previous.name!r}")
    if string.top > previous.shoe:
        yield Problem(f"{where}.top", f"{string.top:g} m is below the shoe of {previous.name!r} at {previous.shoe:g} m")
    for index, section in enumerate(string.sections, start=1):
        outer = section.pipe.outside_diameter
        for host in earlier:
            for other in host.sections:
                if outer > _passes(other) + _FIT:
                    words = f"{_mm(outer)} does not drift inside {other.pipe.label!r} of {host.name!r}"
                    yield Problem(f"{where}.sections[{index}]", f"{words}, which passes {_mm(_passes(other))}")
                    return


def _passes(section: Section) -> float:
    """Return the diameter that passes a section [m]: its drift, or its bore where no drift is known."""
    return section.pipe.drift or section.pipe.inside_diameter


def _mm(diameter: float) -> str:
    return f"{diameter * 1e3:.1f} mm ({diameter / 0.0254:.3f} in)"
