"""`casingloads plugins`: what is loaded, and from where."""

from __future__ import annotations

import argparse

from .common import MEETS, Subparsers, plugin_options, plugins_of


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("plugins", help="what is loaded, from where, which version, what each adds")
    plugin_options(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..output.listing import plugin_text

    for plugin in plugins_of(arguments).loaded:
        print(plugin_text(plugin) + "\n")
    return MEETS
