"""Errors a user can act on: which file, key or argument, what was found, what is accepted."""

from __future__ import annotations

import datetime
import difflib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

LONGEST = 60
"""Characters of a value that a message repeats."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong with the input; what a terminal would obey, an escape code for example, is spelled out.

    Attributes
    ----------
    where : str
        Dotted key, argument or file position, for example ``strings.surface.shoe``.
    message : str
        What was found and what is accepted.
    """

    where: str
    message: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "where", printable(self.where))
        lines = [printable(line) for line in self.message.split("\n")]
        object.__setattr__(self, "message", "\n".join(lines))

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message


class CasingloadsError(Exception):
    """Base of every error this package raises on purpose."""


class InputError(CasingloadsError, ValueError):
    """The input is wrong; carries every problem found, not only the first.

    Parameters
    ----------
    problems : sequence of Problem
        What is wrong, in the order of the file.
    source : str, optional
        The file the problems are in.

    Examples
    --------
    >>> print(InputError([Problem("well.air_gap", "missing; give a length such as '26 m'")], "well.toml"))
    well.toml: 1 problem
      well.air_gap: missing; give a length such as '26 m'
    """

    def __init__(self, problems: Sequence[Problem], source: str = "") -> None:
        self.problems = tuple(problems)
        self.source = source
        count = f"{len(self.problems)} problem{'s' if len(self.problems) != 1 else ''}"
        head = f"{printable(source)}: {count}" if source else count
        super().__init__("\n".join([head, *(f"  {problem}" for problem in self.problems)]))


class CannotEvaluate(CasingloadsError, ValueError):
    """A load case makes no sense here; its rows become ``not evaluated`` with this reason."""


class MissingInput(CannotEvaluate):
    """A load case needs something the well does not say; its rows become ``not evaluated: needs ...``.

    Parameters
    ----------
    what : str
        The dotted key that is missing, with a word on what it is for.
    """

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(f"needs {what}")


def printable(text: str) -> str:
    r"""Return *text* on one line, its control and other invisible characters spelled as escapes.

    Examples
    --------
    >>> printable("a\x1b[31mb\n")
    'a\\x1b[31mb\\n'
    """
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def spelled(value: object) -> str:
    """Return a value of a well file as its file spells it, shortened, on one line.

    Examples
    --------
    >>> spelled("26 m"), spelled(True), spelled({"depth": 1}), spelled([1, 2])
    ("'26 m'", 'true', 'a table', 'a list')
    """
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, str) and len(value) > LONGEST:
        return f"{value[: LONGEST - 3]!r}..."
    return str(value).lower() if isinstance(value, bool) else repr(value)


def key_path(*parts: str | int) -> str:
    """Return the dotted key of a place in a well file; numbers count list entries from 1.

    A part that would be read as something else is quoted, as TOML does.

    Examples
    --------
    >>> key_path("strings", "liner", "sections", 2, "pipe"), key_path("fluids", "no. 2")
    ('strings.liner.sections[2].pipe', 'fluids."no. 2"')
    """
    text = ""
    for part in parts:
        if isinstance(part, int):
            text += f"[{part}]"
            continue
        plain = part and part == part.strip() and part.isprintable() and not set(part) & set(".[]\"'=#")
        text += f"{'.' if text else ''}{part if plain else json.dumps(part, ensure_ascii=False)}"
    return text


def near_miss(name: str, known: Iterable[str]) -> str:
    """Return a phrase that suggests what *name* may have been meant to be.

    Parameters
    ----------
    name : str
        The name as found.
    known : iterable of str
        The accepted names.

    Returns
    -------
    str
        ``"did you mean 'x'?"`` or, where nothing is near, the list of accepted names.

    Examples
    --------
    >>> near_miss("walll", ["wall", "weight"])
    "did you mean 'wall'?"
    >>> near_miss("colour", ["wall", "weight"])
    "accepted: 'wall', 'weight'"
    """
    names = list(known)
    near = _nearest(name[:LONGEST], names)
    if near is not None:
        return f"did you mean {near!r}?"
    return "accepted: " + (", ".join(repr(item) for item in sorted(names)) or "nothing")


def _nearest(name: str, names: Sequence[str]) -> str | None:
    """Return what *name* is but for its letters' case, nearly, the beginning of, or the beginning of it."""
    same = [other for other in names if other.casefold() == name.casefold()]
    close = difflib.get_close_matches(name, names, n=1, cutoff=0.65)
    longer = [other for other in names if len(name) > 1 and other.startswith(name)]
    shorter = sorted((other for other in names if len(other) > 1 and name.startswith(other)), key=len)
    return next(iter([*same, *close, *(longer if len(longer) == 1 else []), *shorter[-1:]]), None)
