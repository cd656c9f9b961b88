"""Errors a user can act on: which file, key or argument, what was found, what is accepted."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing wrong with the input.

    Attributes
    ----------
    where : str
        Dotted key, argument or file position, for example ``strings.surface.shoe``.
    message : str
        What was found and what is accepted.
    """

    where: str
    message: str

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
        head = f"{source}: {count}" if source else count
        super().__init__("\n".join([head, *(f"  {problem}" for problem in self.problems)]))


class MissingInput(CasingloadsError, LookupError):
    """A load case needs something the well does not say; its rows become ``not evaluated: needs ...``.

    Parameters
    ----------
    what : str
        The dotted key that is missing, with a word on what it is for.
    """

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(f"needs {what}")


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
    close = difflib.get_close_matches(name, names, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    return "accepted: " + (", ".join(repr(item) for item in sorted(names)) or "nothing")
