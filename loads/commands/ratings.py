"""`casingloads ratings`: what catalog pipe and its standard connections bear."""

from __future__ import annotations

import argparse

from ..errors import InputError, Problem
from .catalogoptions import catalog_options, catalog_with
from .common import MEETS, Subparsers


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("ratings", help="ratings of catalog pipe and its standard connections")
    parser.add_argument("--pipe", help="a designation, for example '9-5/8 in 47 lb/ft L80', instead of the next three")
    csv = "as CSV: unrounded, in SI, with notes and sources"
    catalog_options(parser, grade="any grade or family of the catalog; by default those listed for the size", csv=csv)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..output.rating import ratings
    from ..output.ratingtable import ratings_csv, ratings_table

    catalog = catalog_with(arguments.file)
    od, weight, grade = arguments.od, arguments.weight, arguments.grade
    if arguments.pipe is not None and (od, weight, grade) != (None, None, None):
        raise InputError([Problem("--pipe", "names size, weight and grade; leave out --od, --weight and --grade")])
    try:
        if arguments.pipe is not None:
            found = catalog.find(arguments.pipe)
            od, weight, grade = found.pipe.od, found.pipe.weight, found.grade.name if found.grade else None
        frame = ratings(catalog, od=od, weight=weight, grade=grade)
    except ValueError as error:
        raise InputError([Problem("", str(error))]) from None
    print(ratings_csv(frame) if arguments.csv else ratings_table(frame, arguments.units))
    return MEETS
