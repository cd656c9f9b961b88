"""`casingloads models`: the strength models, their parameters and sources."""

from __future__ import annotations

import argparse

from ..well import MODES
from .common import MEETS, Subparsers, plugin_options, plugins_of


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("models", help="the strength models, their parameters and sources")
    plugin_options(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..output.listing import model_text

    models = plugins_of(arguments).models
    for key in sorted(models, key=lambda key: MODES.index(key[0])):
        print(model_text(models[key]) + "\n")
    return MEETS
