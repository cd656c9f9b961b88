"""`casingloads catalog`: pipe and grades, listed and filtered."""

from __future__ import annotations

import argparse

from ..errors import InputError, Problem
from .catalogoptions import catalog_options, catalog_with
from .common import MEETS, Subparsers


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("catalog", help="pipe and grades, listed and filtered")
    parser.add_argument("what", choices=["pipe", "grades"])
    catalog_options(parser, grade="a grade or its family", csv="as CSV, with sources")
    parser.add_argument("--text", help="any text of the row")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..output.listing import catalog_csv, catalog_table

    catalog = catalog_with(arguments.file)
    try:
        chosen = catalog.select(od=arguments.od, weight=arguments.weight, grade=arguments.grade, text=arguments.text)
    except ValueError as error:
        raise InputError([Problem("", str(error))]) from None
    render = catalog_csv if arguments.csv else catalog_table
    print(render(chosen, arguments.what, arguments.units))
    return MEETS
