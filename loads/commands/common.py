"""What several commands share: exit codes, options, reading and writing."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TypeAlias

from ..errors import InputError, Problem
from ..hooks import Plugins, load_plugins
from ..notes import CAUTIONS, NOT_MODELLED
from ..units import Dimension, to_si

Subparsers: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"

MEETS, NOT_ALL, WRONG_INPUT, OUR_ERROR = 0, 1, 2, 3

EPILOG = (
    f"{' '.join(CAUTIONS[:2])} Not modelled: {'; '.join(NOT_MODELLED)}. "
    "Exit code: 0 all meets, 1 below or not evaluated, 2 wrong input, 3 our error."
)


def plugin_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that say which plugins are loaded."""
    parser.add_argument(
        "--plugin",
        action="append",
        default=[],
        metavar="FILE_OR_MODULE",
        help="a plugin of your own; its code is run",
    )


def plugins_of(arguments: argparse.Namespace) -> Plugins:
    """Return the plugins that the options ask for."""
    return load_plugins(*arguments.plugin)


def quantity(arguments: argparse.Namespace, name: str, dimension: Dimension) -> float | None:
    """Return an option's value in SI; None where it is left out."""
    text = getattr(arguments, name)
    try:
        return None if text is None else to_si(text, dimension)
    except ValueError as error:
        raise InputError([Problem(f"--{name.replace('_', '-')}", str(error))]) from None


def write(path: Path, text: str) -> None:
    """Write *text* to a file; ``-`` is standard output."""
    if path == Path("-"):
        sys.stdout.write(text)
        return
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise InputError([Problem(str(path), f"cannot be written: {error.strerror}")]) from None
