"""What the kit finds: a rule that is broken, by what, on which well, and what to do."""

from __future__ import annotations

from dataclasses import dataclass


class Broken(AssertionError):
    """A rule of the kit is broken; the message says what was found and what to do."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """A rule that is broken.

    Attributes
    ----------
    subject : str
        Name of the load case, strength model or catalog.
    rule : str
        Name of the rule, as in ids of tests: ``finite_profiles``.
    well : str
        Well of the kit on which it is broken; empty where no well is needed.
    message : str
        What was found, and what to do.
    """

    subject: str
    rule: str
    well: str
    message: str

    def __str__(self) -> str:
        return f"{'-'.join(part for part in (self.subject, self.rule, self.well) if part)}: {self.message}"


def demand(holds: object, found: str, advice: str) -> None:
    """Raise `Broken` with what was *found* and *advice* unless something *holds*."""
    if not holds:
        raise Broken(f"{found}; {advice}")
