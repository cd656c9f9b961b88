"""`casingloads check`: the design factors of a well file."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TextIO

from .common import EPILOG, MEETS, NOT_ALL, Subparsers, plugin_options, plugins_of, write


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("check", help="design factors of a well file", epilog=EPILOG)
    parser.add_argument("well", type=Path, metavar="WELL.toml")
    parser.add_argument("--json", type=Path, metavar="PATH", help="write the result as JSON ('-': standard output)")
    parser.add_argument("--csv", type=Path, metavar="PATH", help="write all factors as CSV ('-': standard output)")
    parser.add_argument("--units", choices=["metric", "field"], help="units of the table")
    parser.add_argument("--assumptions", action="store_true", help="list every default used and choice made")
    plugin_options(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..check import check
    from ..output.record import as_csv, as_json
    from ..output.table import design_factor_table
    from ..wellfile.reader import read_well

    plugins = plugins_of(arguments)
    well = read_well(arguments.well, plugins=plugins)
    result = check(well, plugins=plugins)
    if arguments.json:
        write(arguments.json, as_json(result) + "\n")
    if arguments.csv:
        write(arguments.csv, as_csv(result))
    if Path("-") not in (arguments.json, arguments.csv):
        print(design_factor_table(result, arguments.units or well.units, colour=_wants_colour(sys.stdout)))
        if arguments.assumptions:
            print("\nAssumptions")
            print("\n".join(f"  {line}" for line in result.assumptions))
    return MEETS if result.verdict == "meets" else NOT_ALL


def _wants_colour(stream: TextIO) -> bool:
    return stream.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"
