"""`casingloads cases`: the load cases, their parameters and sources."""

from __future__ import annotations

import argparse

from ..errors import InputError, Problem
from .common import MEETS, Subparsers, plugin_options, plugins_of


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("cases", help="the load cases, their parameters and sources")
    parser.add_argument("name", nargs="*", help="only these")
    plugin_options(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..errors import near_miss
    from ..output.listing import case_text

    cases = plugins_of(arguments).cases
    for name in arguments.name or sorted(cases, key=lambda name: (cases[name].phase, name)):
        if name not in cases:
            raise InputError([Problem("", f"{name!r} is not a load case; {near_miss(name, cases)}")])
        print(case_text(cases[name]) + "\n")
    return MEETS
