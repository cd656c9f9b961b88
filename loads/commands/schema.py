"""`casingloads schema`: the JSON Schema of a well file, for an editor."""

from __future__ import annotations

import argparse
import json

from .common import MEETS, Subparsers


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("schema", help="the JSON Schema of a well file, for an editor")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..wellfile.schema import json_schema

    print(json.dumps(json_schema(), indent=2))
    return MEETS
