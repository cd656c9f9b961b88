"""What the engine costs over the bare formulas on the same arrays, and how it grows; ratios of one run, not judged.

Bare formulas: for every string in every step of the largest example, the pressures of its columns now and when the
cement set, side force, the balance of axial force, bending and the strength checks, on places and pipe that stand
ready; and what the load cases work out (gas columns against all exposed depths), once each. The engine finds the
places, looks up path, pipe and temperature, reads parameters and makes the rows besides. Aims: at most 1.5 times, and
growth in proportion with stations, cases and strings (time a station, case or string against that of the smallest: 1.0
or less).
"""

from __future__ import annotations

import cProfile
import io
import pstats
import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import casingloads as cl
from casingloads import stations
from casingloads.axial.hanging import hanging_force
from casingloads.axial.held import Hold, held_force
from casingloads.evaluate import Evaluation
from casingloads.strength.check import Loading
from casingloads.tubes import tube_along

LARGEST = Path(__file__).parent.parent.parent / "examples" / "skerrow-3.toml"
RUNS = 7


def seconds(work: Callable[[], object]) -> float:
    """Return the median time of some runs, after one that does not count."""
    work()
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def bare(result: cl.Result) -> Callable[[], object]:
    """Return the bare formulas of everything that *result* holds, ready to run."""
    well = result.well
    jobs: list[Callable[[], object]] = [
        _job(well, result, name, found) for (name, _, _), found in result.evaluations.items()
    ]
    jobs += [_case(result, string, request) for string in well.strings for request in string.cases]

    def run() -> None:
        for job in jobs:
            job()

    return run


def _job(well: cl.Well, result: cl.Result, name: str, found: Evaluation) -> Callable[[], None]:
    string, state, places, body = found.string, found.state, found.places, found.body
    tube = tube_along(string, well.steel, places, body, found.now.temperature, worn=state.held)
    loading = Loading(
        internal_pressure=found.now.inside,
        external_pressure=found.now.outside,
        axial_force=found.axial.true,
        bending_stress=found.bending,
        triaxial_wall=string.triaxial_wall,
    )
    cement = [(interval.top, interval.bottom) for interval in string.cement]
    hold = Hold(lateral=found.lateral, lateral_at_set=found.lateral)
    reference = cl.Scene(well, name).cemented_state()
    models = list(result.models[name].values())

    def job() -> None:
        state.inside.at(places)
        state.outside.at(places)
        found.lateral.swing(found.axial.effective)
        0.5 * well.steel.modulus * body.outside_diameter * found.lateral.course.curvature
        if found.then is None:
            hanging_force(places, body, found.now)
        else:
            reference.inside.at(places)
            reference.outside.at(places)
            at_set = hanging_force(places, body, found.then)
            held_force(places, body, well.steel, cement, at_set, found.then, found.now, hold=hold)
        for model in models:
            model.check(tube, loading)

    return job


def _case(result: cl.Result, string: cl.String, request: cl.CaseRequest) -> Callable[[], object]:
    case, scene = result.plugins.cases[request.case], cl.Scene(result.well, string.name)
    return partial(case, scene, **request.parameters)


def more_cases(well: cl.Well, times: int) -> cl.Well:
    """Return the well with every case asked for several times."""

    def repeated(string: cl.String) -> cl.String:
        cases = (replace(case, label=f"{case.label} {k}") for k in range(times) for case in string.cases)
        return replace(string, cases=tuple(cases))

    return replace(well, strings=tuple(map(repeated, well.strings)))


def more_strings(well: cl.Well, times: int) -> cl.Well:
    """Return the well with every string several times, under other names: no well, but the engine does not mind."""
    strings = tuple(replace(string, name=f"{string.name} {k}") for k in range(times) for string in well.strings)
    return replace(well, strings=strings)


def growth(what: str, times: dict[int, float]) -> None:
    """Print how the time of one of them changes."""
    least = min(times)
    shares = ", ".join(f"x{n}: {times[n] / n / (times[least] / least):.2f}" for n in times if n > least)
    print(f"  time a {what} against that of the fewest: {shares}")


def main() -> None:
    """Print the ratios."""
    plugins = cl.load_plugins()
    well = cl.read_well(LARGEST, plugins=plugins)

    def check(of: cl.Well = well) -> cl.Result:
        return cl.check(of, plugins=plugins)

    result = check()
    engine, formulas = seconds(check), seconds(bare(result))
    count = len(result.evaluations)
    print(f"engine on {LARGEST.name}, {count} strings in a step: {engine:.3f} s; bare formulas: {formulas:.3f} s")
    print(f"ratio: {engine / formulas:.2f} (aim: at most 1.5)")
    growth("case", {n: seconds(partial(check, more_cases(well, n))) for n in (1, 2, 4)})
    growth("string", {n: seconds(partial(check, more_strings(well, n))) for n in (1, 2, 4)})
    usual, by_stations = stations.SPACING, {}
    for n in (1, 4, 16):
        stations.SPACING = usual / n
        by_stations[n] = seconds(check)
    stations.SPACING = usual
    growth("station", by_stations)
    profile = cProfile.Profile()
    profile.runcall(check)
    text = io.StringIO()
    pstats.Stats(profile, stream=text).sort_stats("cumulative").print_stats("loads|plugins", 18)
    print("  where the time goes (cumulative):")
    print("\n".join(f"    {line}" for line in text.getvalue().splitlines() if "(" in line and "function" not in line))


if __name__ == "__main__":
    main()
