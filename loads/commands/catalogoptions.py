"""Options of the commands that list a catalog."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from ..catalog import Catalog


def catalog_options(parser: argparse.ArgumentParser, *, grade: str, csv: str) -> None:
    """Add them to *parser*."""
    parser.add_argument("--od", help="outside diameter, for example '9-5/8 in'")
    parser.add_argument("--weight", help="nominal weight, for example '47 lb/ft'")
    parser.add_argument("--grade", help=grade)
    parser.add_argument("--file", type=Path, action="append", default=[], help="your own catalog, listed first")
    parser.add_argument("--units", choices=["metric", "field"], default="field", help="units shown")
    parser.add_argument("--csv", action="store_true", help=csv)


def catalog_with(files: Sequence[Path]) -> Catalog:
    """Return the shipped catalog with the user's own in front of it."""
    from ..catalog.file import read_catalog, standard_catalog

    catalog = standard_catalog()
    for file in files:
        catalog = catalog.joined(read_catalog(file))
    return catalog
