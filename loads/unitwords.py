"""What a unit may be called: the names of `units.txt`, how they are joined, and what a misspelt one was meant to be."""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Callable, Iterable
from importlib.resources import files

_TERM = r"(?P<name>[A-Za-z°%]+)\s*(?:(?:\*\*|\^)?\s*(?P<power>-?[1-4]))?"
_UNIT = re.compile(r"(?:1?\s*/\s*)?{0}(?:\s*[*·/]\s*{0})*".format(re.sub(r"\?P<\w+>", "?:", _TERM)))
_STEP = re.compile(rf"(?P<join>[*·/]?)\s*{_TERM}")

# What people write, word for word or in other letters, for what `units.txt` calls otherwise.
_HABITS = {
    '"': "in", "″": "in", "ins": "in", "'": "ft", "′": "ft", "mtr": "m", "mtrs": "m", "lbs": "lb", "#": "lb",
    "lbfs": "lbf", "klb": "klbf", "klbs": "klbf", "kips": "kip", "kpsi": "ksi", "ppf": "lb/ft", "psig": "psi",
    "barg": "bar", "c": "degC", "f": "degF", "°": "deg", "r": "degR", "cc": "cm3", "gm": "g", "ton": "t",
    "tons": "t", "tonnes": "t", "usgal": "gal", "pct": "%",
}  # fmt: skip


@functools.cache
def _lines() -> tuple[str, ...]:
    return tuple(files(__package__).joinpath("units.txt").read_text(encoding="utf-8").splitlines())


@functools.cache
def names() -> frozenset[str]:
    """Return every name of a unit in `units.txt`."""
    found: set[str] = set()
    for line in _lines():
        if "=" in line and line[0] not in "# ":
            name, _, *symbols = (part.strip() for part in line.split("="))
            found |= {name, *symbols}
    return frozenset(word for word in found if "_" not in word)


@functools.cache
def usual(kind: str) -> tuple[str, ...]:
    """Return the units a quantity of *kind* is usually written in.

    Examples
    --------
    >>> usual("length")
    ('m', 'cm', 'mm', 'km', 'in', 'ft')
    """
    start = f"#: {kind}: "
    return tuple(unit.strip() for line in _lines() if line.startswith(start) for unit in line[len(start) :].split(","))


def expression(unit: str) -> str:
    """Return *unit* in the spelling of the parser of units: ``kg/m3`` becomes ``kg/m**3``.

    Only names and small powers get through, so that no text of a file makes the parser work out a number.

    Raises
    ------
    ValueError
        If a name is unknown, or the text is no unit.

    Examples
    --------
    >>> expression("kg/m3"), expression("/degC")
    ('kg/m**3', '1/degC')
    """
    text = unit.strip().replace("²", "2").replace("³", "3").replace("°C", "degC").replace("°F", "degF")
    if not _UNIT.fullmatch(text):
        raise ValueError(f"{unit!r} is not a unit")
    parts = []
    for step in _STEP.finditer(text):
        if step["name"] not in names():
            raise ValueError(f"{step['name']!r} is not a unit")
        power = f"**{step['power']}" if step["power"] else ""
        parts.append(f"{step['join'].replace('·', '*')}{step['name']}{power}")
    return f"{'1' if parts[0].startswith('/') else ''}{''.join(parts)}"


def meant(unit: str, kinds: Iterable[str], fits: Callable[[str], bool]) -> str | None:
    """Return what *unit*, which nothing is called, was meant to be.

    Parameters
    ----------
    unit : str
        As found.
    kinds : iterable of str
        What is wanted, ``length`` for example.
    fits : callable
        Whether a unit is of what is wanted.

    Returns
    -------
    str or None
        None where nothing is near.

    Examples
    --------
    >>> meant("lbs/ft", ["mass per length"], lambda unit: True)
    'lb/ft'
    """
    usuals = [other for kind in kinds for other in usual(kind)]
    close = difflib.get_close_matches(unit[:30], usuals, n=1, cutoff=0.6)
    close = [other for other in close if not unit.endswith(other)]  # 2 kft are not 2 ft
    for candidate in (*_respelled(unit), *close):
        if fits(candidate):
            return candidate
    return None


def _respelled(unit: str) -> list[str]:
    """Return *unit* with each word put as people mean it: by habit, in other letters, without spaces and points."""
    joined = re.sub(r"[\s.]+", "", unit)
    by_case = {name.casefold(): name for name in sorted(names(), reverse=True)}
    found = []
    for text in dict.fromkeys((unit, joined)):
        pieces = re.split(r"([*·/]|(?<=[A-Za-z])\d)", text)
        for known in ({**by_case, **_HABITS}, {**_HABITS, **by_case}):  # habit first, then letters
            meant_by = [piece if piece in names() else known.get(piece.casefold(), piece) for piece in pieces]
            found.append("".join(meant_by))
    return found
