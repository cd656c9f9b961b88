"""Facts of the trade that the deepwater example must show. Common practice, no source: no number here is published."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

import casingloads as cl
from casingloads.well import CaseRequest

EXAMPLE = Path(__file__).parents[2] / "examples" / "skerrow-3.toml"


@cache
def example() -> cl.Well:
    return cl.read_well(EXAMPLE)


def evacuated(string: str, level: float) -> cl.Result:
    """Return the example with one string alone, empty down to *level* [m md]."""
    well = example()
    request = CaseRequest(label="evacuation", case="evacuation", parameters={"level": level})
    strings = tuple(replace(s, cases=(request,) if s.name == string else ()) for s in well.strings)
    return cl.check(replace(well, strings=strings, cases=()))


def test_casing_below_the_conductor_is_half_a_metre_across() -> None:
    conductor, below = example().strings[:2]
    assert conductor.name == "conductor"
    assert {round(section.pipe.outside_diameter, 1) for section in below.sections} == {0.5}


def test_each_string_is_narrower_than_the_one_before() -> None:
    widths = [[section.pipe.outside_diameter for section in string.sections] for string in example().strings]
    for outer, inner in pairwise(widths):
        assert max(inner) < min(outer)


def test_mud_presses_harder_than_sea_water_at_equal_depth() -> None:
    well = example()
    sea = cl.column(well.fluids["sea water"], top=well.air_gap)
    depth = np.linspace(100.0, 4000.0, 40)
    muds = [fluid for name, fluid in well.fluids.items() if name.startswith("mud")]
    assert len(muds) == 3
    for mud in muds:
        assert np.all(cl.column(mud).pressure(depth) > sea.pressure(depth))
    lightest, *_, heaviest = sorted(muds, key=lambda mud: mud.density)
    assert np.all(cl.column(heaviest).pressure(depth) > cl.column(lightest).pressure(depth))


def test_the_wall_gives_way_beyond_some_outside_pressure() -> None:
    """Deeper levels leave less inside: the factor in collapse only falls, and passes 1 on the way to empty."""
    factors = []
    for level in np.linspace(1300.0, 3650.0, 12):
        rows = evacuated("intermediate 2", float(level)).factors
        collapse = rows[(rows["mode"] == "collapse") & (rows["case"] == "evacuation")]
        factors.append(float(collapse["factor"].min()))  # of both sections
    assert np.all(np.diff(factors) < 0.0)
    assert factors[0] > 1.0 > factors[-1]


def at_top(string: str, case: str, **parameters: object) -> float:
    """Return the greatest inside pressure [Pa] at the top of a string of the example in one more case."""
    well = example()
    request = CaseRequest(label="load", case=case, parameters=parameters)
    strings = tuple(replace(s, cases=(request,) if s.name == string else ()) for s in well.strings)
    result = cl.check(replace(well, strings=strings, cases=()))
    steps = [step for name, _, step in result.evaluations if name == string]
    return max(float(result.profile(string, "load", step)["p_inside_pa"].iloc[0]) for step in steps)


@pytest.mark.parametrize("string", ["surface", "intermediate 1", "intermediate 2"])
def test_a_kick_of_limited_volume_is_milder_than_a_well_full_of_gas(string: str) -> None:
    """And the more so the smaller it is; mud alone, at the end of it, is milder still."""
    kick = {"drill_pipe": 0.127, "kick_intensity": 30.0, "gas_gradient": 2e3}
    small, large = (at_top(string, "kick-circulated-out", influx=v, **kick) for v in (3.0, 8.0))
    full = at_top(string, "gas-to-surface", gas_gradient=2e3)
    scene = cl.Scene(example(), string)
    mud = float(scene.mud_column(scene.next_mud()).pressure(scene.wellhead_tvd))
    assert mud < small < large < full


def test_a_rating_or_a_policy_only_ever_takes_pressure_away() -> None:
    """Mud over gas and partial gas stand in place of gas to surface, and are no worse at the wellhead."""
    full = at_top("intermediate 2", "gas-to-surface", gas_gradient=2e3)
    assert at_top("intermediate 2", "partial-gas", fraction=0.6) < full
    sea = cl.Scene(example(), "intermediate 2").ambient_at_wellhead
    rated = at_top("intermediate 2", "mud-over-gas", wellhead_pressure=15e6, gas_gradient=2e3)
    assert rated < full
    assert rated == sea + 15e6
    assert at_top("intermediate 2", "mud-over-gas", wellhead_pressure=69e6, gas_gradient=2e3) == full


def test_riser_loss_only_ever_takes_pressure_away() -> None:
    """The sea is lighter than the mud and begins below the drill floor, so an open well is emptier than a shut one."""
    result = cl.check(example())
    for string in ("surface", "intermediate 1", "intermediate 2"):
        shut = result.profile(string, "riser-loss", "preventer shut first")["p_inside_pa"]
        opened = result.profile(string, "riser-loss", "well open to the sea")["p_inside_pa"]
        assert (opened < shut).all()
