"""The command line: a thin layer over the library. Exit codes: 0 meets, 1 not all of it, 2 wrong input, 3 our error."""

from __future__ import annotations

import argparse
import json
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn, TextIO

from . import __version__
from .catalog import Catalog
from .errors import CasingloadsError, InputError, Problem
from .hooks import Plugins, load_plugins
from .notes import CAUTIONS, NOT_MODELLED
from .units import Dimension, to_si
from .well import MODES

MEETS, NOT_ALL, WRONG_INPUT, OUR_ERROR = 0, 1, 2, 3


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments; by default those of the process.

    Returns
    -------
    int
        0: everything asked for was evaluated and meets its required factor. 1: at least one is below, or was not
        evaluated, or nothing was. 2: the input is wrong. 3: an error of ours.
    """
    arguments = _parser().parse_args(argv)
    run: Callable[[argparse.Namespace], int] = arguments.run
    try:
        return run(arguments)
    except CasingloadsError as error:
        print(f"casingloads: {error}", file=sys.stderr)
        return WRONG_INPUT
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader has gone; nothing more to say
        return NOT_ALL
    except Exception:
        traceback.print_exc()
        print(
            f"casingloads {__version__}: this is an error of ours. Please send us the text above and the well file.",
            file=sys.stderr,
        )
        return OUR_ERROR


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        self.exit(WRONG_INPUT, f"{self.prog}: {message}\n")


def _parser() -> argparse.ArgumentParser:
    epilog = (
        f"{' '.join(CAUTIONS[:2])} Not modelled: {'; '.join(NOT_MODELLED)}. "
        "Exit code: 0 all meets, 1 below or not evaluated, 2 wrong input, 3 our error."
    )
    parser = _Parser(prog="casingloads", description="Design factors of well casing.", epilog=epilog)
    parser.add_argument("--version", action="version", version=f"casingloads {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND", parser_class=_Parser)

    check = commands.add_parser("check", help="design factors of a well file", epilog=epilog)
    check.add_argument("well", type=Path, metavar="WELL.toml")
    check.add_argument("--json", type=Path, metavar="PATH", help="write the result as JSON ('-': standard output)")
    check.add_argument("--csv", type=Path, metavar="PATH", help="write all factors as CSV ('-': standard output)")
    check.add_argument("--units", choices=["metric", "field"], help="units of the table")
    check.add_argument("--assumptions", action="store_true", help="list every default used and choice made")
    _plugin_option(check)
    check.set_defaults(run=_check)

    explain = commands.add_parser("explain", help="the working behind one factor")
    explain.add_argument("well", type=Path, metavar="WELL.toml")
    for name, text in (
        ("string", "name of the string"),
        ("case", "label of the case"),
        ("mode", "burst, ..."),
    ):
        explain.add_argument(f"--{name}", required=True, help=text)
    explain.add_argument("--step", help="by default the one with the least margin")
    explain.add_argument("--section", type=int, help="counted from the top")
    explain.add_argument("--md", help="measured depth with its unit; by default where the factor is lowest")
    explain.add_argument("--units", choices=["metric", "field"], help="units shown")
    _plugin_option(explain)
    explain.set_defaults(run=_explain)

    limits = commands.add_parser("limits", help="surface pressure, kick tolerance, mud window, greatest setting depths")
    limits.add_argument("well", type=Path, metavar="WELL.toml")
    limits.add_argument("--kick-intensity", help="density by which the formation is above the mud, '0.06 sg'")
    limits.add_argument("--influx-gradient", help="of the gas, '2.3 kPa/m'")
    limits.add_argument("--drill-pipe", help="its outside diameter, '5 in'")
    limits.add_argument("--collars", help="outside diameter of the drill collars; left out: none")
    limits.add_argument("--collar-length", help="length of the drill collars; needed with --collars")
    limits.add_argument(
        "--friction", type=float, help="while strings are run, for their setting depths; left out: none"
    )
    limits.add_argument("--json", type=Path, metavar="PATH", help="write them as JSON in SI ('-': standard output)")
    limits.add_argument("--units", choices=["metric", "field"], help="units of the table")
    _plugin_option(limits)
    limits.set_defaults(run=_limits)

    cases = commands.add_parser("cases", help="the load cases, their parameters and sources")
    cases.add_argument("name", nargs="*", help="only these")
    _plugin_option(cases)
    cases.set_defaults(run=_cases)

    plugins = commands.add_parser("plugins", help="what is loaded, from where, which version, what each adds")
    _plugin_option(plugins)
    plugins.set_defaults(run=_list_plugins)

    models = commands.add_parser("models", help="the strength models, their parameters and sources")
    _plugin_option(models)
    models.set_defaults(run=_models)

    catalog = commands.add_parser("catalog", help="pipe and grades, listed and filtered")
    catalog.add_argument("what", choices=["pipe", "grades"])
    _catalog_options(catalog, grade="a grade or its family", csv="as CSV, with sources")
    catalog.add_argument("--text", help="any text of the row")
    catalog.set_defaults(run=_catalog)

    ratings = commands.add_parser("ratings", help="ratings of catalog pipe and its standard connections")
    ratings.add_argument("--pipe", help="a designation, for example '9-5/8 in 47 lb/ft L80', instead of the next three")
    csv = "as CSV: unrounded, in SI, with notes and sources"
    _catalog_options(ratings, grade="any grade or family of the catalog; by default those listed for the size", csv=csv)
    ratings.set_defaults(run=_ratings)

    schema = commands.add_parser("schema", help="the JSON Schema of a well file, for an editor")
    schema.set_defaults(run=_schema)
    return parser


def _catalog_options(parser: argparse.ArgumentParser, *, grade: str, csv: str) -> None:
    parser.add_argument("--od", help="outside diameter, for example '9-5/8 in'")
    parser.add_argument("--weight", help="nominal weight, for example '47 lb/ft'")
    parser.add_argument("--grade", help=grade)
    parser.add_argument("--file", type=Path, action="append", default=[], help="your own catalog, listed first")
    parser.add_argument("--units", choices=["metric", "field"], default="field", help="units shown")
    parser.add_argument("--csv", action="store_true", help=csv)


def _plugin_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--plugin",
        action="append",
        default=[],
        metavar="FILE_OR_MODULE",
        help="a plugin of your own; its code is run",
    )


def _plugins(arguments: argparse.Namespace) -> Plugins:
    return load_plugins(*arguments.plugin)


def _check(arguments: argparse.Namespace) -> int:
    from .check import check
    from .output.record import as_csv, as_json
    from .output.table import design_factor_table
    from .wellfile.reader import read_well

    plugins = _plugins(arguments)
    well = read_well(arguments.well, plugins=plugins)
    result = check(well, plugins=plugins)
    if arguments.json:
        _write(arguments.json, as_json(result) + "\n")
    if arguments.csv:
        _write(arguments.csv, as_csv(result))
    if Path("-") not in (arguments.json, arguments.csv):
        print(design_factor_table(result, arguments.units or well.units, colour=_wants_colour(sys.stdout)))
        if arguments.assumptions:
            print("\nAssumptions")
            print("\n".join(f"  {line}" for line in result.assumptions))
    return MEETS if result.verdict == "meets" else NOT_ALL


def _explain(arguments: argparse.Namespace) -> int:
    from .check import check
    from .units import LENGTH
    from .wellfile.reader import read_well

    plugins = _plugins(arguments)
    well = read_well(arguments.well, plugins=plugins)
    md = _quantity(arguments, "md", LENGTH)
    result = check(well, plugins=plugins)
    try:
        found = result.explain(arguments.string, arguments.case, arguments.mode, arguments.step, arguments.section, md)
    except KeyError as error:
        raise InputError([Problem("", str(error.args[0]))]) from None
    print(found.text(arguments.units or well.units))
    return MEETS if found.parts else NOT_ALL


def _limits(arguments: argparse.Namespace) -> int:
    from .output.limitstable import limits_table, setting_lines
    from .setting import setting_depths
    from .state import Friction
    from .units import DENSITY, DIAMETER, GRADIENT, LENGTH
    from .wellcontrol.limits import DrillString, limits, records
    from .wellfile.reader import read_well

    plugins = _plugins(arguments)
    well = read_well(arguments.well, plugins=plugins)
    pipe = _quantity(arguments, "drill_pipe", DIAMETER)
    collars = _quantity(arguments, "collars", DIAMETER)
    length = _quantity(arguments, "collar_length", LENGTH)
    if (collars is None) != (length is None) or (collars is not None and pipe is None):
        raise InputError([Problem("--collars", "needs --collar-length and --drill-pipe, and they need it")])
    try:
        drill_string = (
            None if pipe is None else DrillString(pipe=pipe, collars=collars or pipe, collar_length=length or 0.0)
        )
        found = limits(
            well,
            kick_intensity=_quantity(arguments, "kick_intensity", DENSITY),
            influx_gradient=_quantity(arguments, "influx_gradient", GRADIENT),
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
        _write(arguments.json, json.dumps(told, indent=2, ensure_ascii=False, allow_nan=False) + "\n")
    if arguments.json != Path("-"):
        system = arguments.units or well.units
        print(f"{limits_table(found, system)}\n\n{setting_lines(depths, system)}")
    return MEETS if found and all(item.status != "exceeded" for hole in found for item in hole) else NOT_ALL


def _quantity(arguments: argparse.Namespace, name: str, dimension: Dimension) -> float | None:
    """Return an option's value in SI; None where it is left out."""
    text = getattr(arguments, name)
    try:
        return None if text is None else to_si(text, dimension)
    except ValueError as error:
        raise InputError([Problem(f"--{name.replace('_', '-')}", str(error))]) from None


def _cases(arguments: argparse.Namespace) -> int:
    from .errors import near_miss
    from .output.listing import case_text

    cases = _plugins(arguments).cases
    for name in arguments.name or sorted(cases, key=lambda name: (cases[name].phase, name)):
        if name not in cases:
            raise InputError([Problem("", f"{name!r} is not a load case; {near_miss(name, cases)}")])
        print(case_text(cases[name]) + "\n")
    return MEETS


def _list_plugins(arguments: argparse.Namespace) -> int:
    from .output.listing import plugin_text

    for plugin in _plugins(arguments).loaded:
        print(plugin_text(plugin) + "\n")
    return MEETS


def _models(arguments: argparse.Namespace) -> int:
    from .output.listing import model_text

    models = _plugins(arguments).models
    for key in sorted(models, key=lambda key: MODES.index(key[0])):
        print(model_text(models[key]) + "\n")
    return MEETS


def _catalog(arguments: argparse.Namespace) -> int:
    from .output.listing import catalog_csv, catalog_table

    catalog = _catalog_with(arguments.file)
    try:
        chosen = catalog.select(od=arguments.od, weight=arguments.weight, grade=arguments.grade, text=arguments.text)
    except ValueError as error:
        raise InputError([Problem("", str(error))]) from None
    render = catalog_csv if arguments.csv else catalog_table
    print(render(chosen, arguments.what, arguments.units))
    return MEETS


def _ratings(arguments: argparse.Namespace) -> int:
    from .output.rating import ratings
    from .output.ratingtable import ratings_csv, ratings_table

    catalog = _catalog_with(arguments.file)
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


def _catalog_with(files: Sequence[Path]) -> Catalog:
    """Return the shipped catalog with the user's own in front of it."""
    from .catalog.file import read_catalog, standard_catalog

    catalog = standard_catalog()
    for file in files:
        catalog = catalog.joined(read_catalog(file))
    return catalog


def _schema(arguments: argparse.Namespace) -> int:
    from .wellfile.schema import json_schema

    print(json.dumps(json_schema(), indent=2))
    return MEETS


def _write(path: Path, text: str) -> None:
    if path == Path("-"):
        sys.stdout.write(text)
        return
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise InputError([Problem(str(path), f"cannot be written: {error.strerror}")]) from None


def _wants_colour(stream: TextIO) -> bool:
    return stream.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"
