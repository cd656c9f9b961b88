"""`casingloads limits`: limits of well control, and how deep strings can be set."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from ..errors import InputError, Problem
from .common import MEETS, NOT_ALL, Subparsers, plugin_options, plugins_of, quantity, write


def add(commands: Subparsers) -> None:
    """Add the command to *commands*."""
    parser = commands.add_parser("limits", help="surface pressure, kick tolerance, mud window, greatest setting depths")
    parser.add_argument("well", type=Path, metavar="WELL.toml")
    parser.add_argument("--kick-intensity", help="density by which the formation is above the mud, '0.06 sg'")
    parser.add_argument("--influx-gradient", help="of the gas, '2.3 kPa/m'")
    parser.add_argument("--drill-pipe", help="its outside diameter, '5 in'")
    parser.add_argument("--collars", help="outside diameter of the drill collars; left out: none")
    parser.add_argument("--collar-length", help="length of the drill collars; needed with --collars")
    parser.add_argument(
        "--friction", type=float, help="while strings are run, for their setting depths; left out: none"
    )
    parser.add_argument("--json", type=Path, metavar="PATH", help="write them as JSON in SI ('-': standard output)")
    parser.add_argument("--units", choices=["metric", "field"], help="units of the table")
    plugin_options(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from ..output.limitstable import limits_table, setting_lines
    from ..setting import setting_depths
    from ..state import Friction
    from ..units import DENSITY, DIAMETER, GRADIENT, LENGTH
    from ..wellcontrol.limits import DrillString, limits, records
    from ..wellfile.reader import read_well

    plugins = plugins_of(arguments)
    well = read_well(arguments.well, plugins=plugins)
    pipe = quantity(arguments, "drill_pipe", DIAMETER)
    collars = quantity(arguments, "collars", DIAMETER)
    length = quantity(arguments, "collar_length", LENGTH)
    if (collars is None) != (length is None) or (collars is not None and pipe is None):
        raise InputError([Problem("--collars", "needs --collar-length and --drill-pipe, and they need it")])
    try:
        drill_string = (
            None if pipe is None else DrillString(pipe=pipe, collars=collars or pipe, collar_length=length or 0.0)
        )
        found = limits(
            well,
            kick_intensity=quantity(arguments, "kick_intensity", DENSITY),
            influx_gradient=quantity(arguments, "influx_gradient", GRADIENT),
            drill_string=drill_string,
        )
    except ValueError as error:
        raise InputError([Problem("", str(error))]) from None
    rough = arguments.friction
    if rough is not None and not 0.0 <= rough <= 2.0:
        raise InputError([Problem("--friction", f"{rough:g} is not accepted; need a coefficient from 0 to 2")])
    friction = None if rough is None else Friction(cased=rough, open_hole=rough)
    depths = setting_depths(well, friction=friction, plugins=plugins)
    if arguments.json:
        told = {"limits": records(found), "setting_depths": [vars(item) for item in depths]}
        write(arguments.json, json.dumps(told, indent=2, ensure_ascii=False, allow_nan=False) + "\n")
    if arguments.json != Path("-"):
        system = arguments.units or well.units
        print(f"{limits_table(found, system)}\n\n{setting_lines(depths, system)}")
    return MEETS if found and all(item.status != "exceeded" for hole in found for item in hole) else NOT_ALL
