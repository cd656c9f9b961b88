"""`casingloads ratings` run as a reader would, for the tests of its page."""

from __future__ import annotations

import contextlib
import csv
import io

from casingloads.cli import main


def output(*arguments: str) -> str:
    """Return what `casingloads ratings` prints."""
    text = io.StringIO()
    with contextlib.redirect_stdout(text):
        assert main(["ratings", *arguments]) == 0
    return text.getvalue()


def records(*arguments: str) -> list[dict[str, str]]:
    """Return the rows of its CSV."""
    return list(csv.DictReader(io.StringIO(output(*arguments, "--csv"))))


def record(*arguments: str) -> dict[str, str]:
    """Return the only row of its CSV."""
    (only,) = records(*arguments)
    return only
