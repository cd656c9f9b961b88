"""`casingloads explain`: the working behind one factor."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..errors import InputError, Problem
from .common import MEETS, NOT_ALL, Subparsers, plugin_options, plugins_of, quantity


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("explain", help="the working behind one factor")
    parser.add_argument("well", type=Path, metavar="WELL.toml")
    for name, text in (
        ("string", "name of the string"),
        ("case", "label of the case"),
        ("mode", "burst, ..."),
    ):
        parser.add_argument(f"--{name}", required=True, help=text)
    parser.add_argument("--step", help="by default the one with the least margin")
    parser.add_argument("--section", type=int, help="counted from the top")
    parser.add_argument("--md", help="measured depth with its unit; by default where the factor is lowest")
    parser.add_argument("--units", choices=["metric", "field"], help="units shown")
    plugin_options(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..check import check
    from ..units import LENGTH
    from ..wellfile.reader import read_well

    plugins = plugins_of(arguments)
    well = read_well(arguments.well, plugins=plugins)
    md = quantity(arguments, "md", LENGTH)
    result = check(well, plugins=plugins)
    try:
        found = result.explain(arguments.string, arguments.case, arguments.mode, arguments.step, arguments.section, md)
    except KeyError as error:
        raise InputError([Problem("", str(error.args[0]))]) from None
    print(found.text(arguments.units or well.units))
    return MEETS if found.parts else NOT_ALL
