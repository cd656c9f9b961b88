"""The command line: a thin layer over the library. Exit codes: 0 meets, 1 not all of it, 2 wrong input, 3 our error."""

from __future__ import annotations

import argparse
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from typing import NoReturn

from . import __version__
from .commands import cases, catalog, check, explain, limits, models, plugins, ratings, schema
from .commands.common import EPILOG, NOT_ALL, OUR_ERROR, WRONG_INPUT
from .errors import CasingloadsError

COMMANDS = (check, explain, limits, cases, plugins, models, catalog, ratings, schema)


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments; by default those of the process.

    Returns
    -------
    int
        0: everything asked for was evaluated and meets its required factor. 1: at least one is below, or was not
        evaluated, or nothing was. 2: the input is wrong. 3: an error of ours.
    """
    arguments = _parser().parse_args(argv)
    run: Callable[[argparse.Namespace], int] = arguments.run
    try:
        return run(arguments)
    except CasingloadsError as error:
        print(f"casingloads: {error}", file=sys.stderr)
        return WRONG_INPUT
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader has gone; nothing more to say
        return NOT_ALL
    except Exception:
        traceback.print_exc()
        print(
            f"casingloads {__version__}: this is an error of ours. Please send us the text above and the well file.",
            file=sys.stderr,
        )
        return OUR_ERROR


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        self.exit(WRONG_INPUT, f"{self.prog}: {message}\n")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="casingloads", description="Design factors of well casing.", epilog=EPILOG)
    parser.add_argument("--version", action="version", version=f"casingloads {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND", parser_class=_Parser)
    for command in COMMANDS:
        command.add(commands)
    return parser
