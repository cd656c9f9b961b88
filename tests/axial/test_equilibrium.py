"""The force along a whole string closes: weight, pressure on areas, and the reactions of the cement as reported."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import casingloads as cl
from casingloads.evaluate import Evaluation, evaluate
from casingloads.profile import cement_reactions

LBF = 0.45359237 * 9.80665
WELLS = Path(__file__).parents[1] / "wells"

# A crossover stands just at the top of the upper cement, where its step and the cement's reaction must not be mixed up;
# another inside the lower cement. The lower end is free.
WELL = """
[well]
name = "equilibrium"
air_gap = "10 m"
survey = { md = ["0 m", "600 m", "1400 m", "3500 m"], inclination = ["0 deg", "0 deg", "35 deg", "50 deg"], azimuth = ["0 deg", "0 deg", "30 deg", "60 deg"] }
[earth]
depth = ["0 m", "3500 m"]
pore_pressure = ["1.0 sg", "1.1 sg"]
temperature = ["10 degC", "110 degC"]
[fluids]
mud = "1.2 sg"
light = "1.0 sg"
slurry = "1.8 sg"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "3400 m"
run_in = "mud"
displaced_with = "light"
set_temperature = { depth = ["0 m", "3500 m"], temperature = ["20 degC", "70 degC"] }
cement = [
  { from = "1900 m", to = "1200 m", slurry = "slurry" },
  { from = "3200 m", to = "2500 m", slurry = "slurry" },
]
sections = [
  { od = "9-5/8 in", wall = "0.545 in", weight = "53.5 lb/ft", yield = "80 ksi", to = "1200 m" },
  { od = "8-5/8 in", wall = "0.450 in", weight = "40 lb/ft", yield = "80 ksi", to = "2800 m" },
  { od = "7 in", wall = "0.408 in", weight = "29 lb/ft", yield = "80 ksi", to = "shoe" },
]
[strings.cases]
pressure-test = { pressure = "20 MPa" }
evacuation = {}
half = { case = "evacuation", level = "1700 m", mud = "mud", outside = "pore pressure" }
"""  # noqa: E501


@pytest.fixture(scope="module")
def result(tmp_path_factory: pytest.TempPathFactory) -> cl.Result:
    path = tmp_path_factory.mktemp("well") / "well.toml"
    path.write_text(WELL, encoding="utf-8")
    return cl.check(cl.read_well(path))


def steps_of_pressure(found: Evaluation) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return the pressure on the change of pipe at each point between two stretches, as it stands now [N]."""
    above, below, body, now = slice(1, -1, 2), slice(2, None, 2), found.body, found.now
    outer = body.outer_area[below] - body.outer_area[above]
    bore = body.bore_area[below] - body.bore_area[above]
    return np.asarray(now.outside[above] * outer - now.inside[above] * bore)


@pytest.mark.parametrize("case", ["pressure-test", "evacuation", "half"])
def test_every_place_is_in_equilibrium(result: cl.Result, case: str) -> None:
    """Outside the cement nothing but weight and pressure on a change of pipe changes the force, to 1e-9 of it.

    At the ends of the cement, what these leave over is the reaction reported there.
    """
    found = result.evaluation("casing", case)
    force, md = found.axial.true, found.places.md
    scale = float(np.max(np.abs(force)))
    cement = np.zeros(md.shape, dtype=bool)
    for interval in found.string.cement:
        cement |= found.places.within(interval.top, interval.bottom)
    weight = found.body.weight[::2] * (found.places.tvd[1::2] - found.places.tvd[::2])
    left_over = force[::2] - force[1::2] - weight
    assert left_over[~cement[::2]] == pytest.approx(0.0, abs=1e-9 * scale)
    jump = force[1:-1:2] - force[2::2] - steps_of_pressure(found)
    outside_cement = ~cement[1:-1:2] & ~cement[2::2]
    assert jump[outside_cement] == pytest.approx(0.0, abs=1e-9 * scale)
    reactions = cement_reactions(found)
    assert sorted(reactions) == pytest.approx([1200.0, 1900.0, 2500.0, 3200.0])
    for depth, reaction in reactions.items():
        (point,) = np.flatnonzero(np.abs(md[1:-1:2] - depth) < 1e-6)
        assert reaction == pytest.approx(jump[point], abs=1e-9 * scale)
    end = found.now.inside * found.body.bore_area - found.now.outside * found.body.outer_area
    assert force[-1] == pytest.approx(end[-1], abs=1e-9 * scale)
    # and the whole: hanger = end + weight + steps + all that the cement takes along its length and at its ends
    by_cement = np.sum(left_over[cement[::2]]) + np.sum(jump[~outside_cement])
    assert force[0] == pytest.approx(
        end[-1] + np.sum(weight) + np.sum(steps_of_pressure(found)) + by_cement, abs=1e-9 * scale
    )


def test_reaction_by_hand() -> None:
    """Check well 1, lost returns: -17,912 lbf just above 6000 ft; below, 29,805 + 0.6 (1267.5 - 3116.9) 59.1875.

    The cement takes the difference, 17,959 lbf. Own calculation.
    """
    well = cl.read_well(WELLS / "check-well-1.toml")
    result = cl.check(well)
    found = result.evaluation("intermediate", "lost-returns", "level fallen")
    (at_top, reaction), *_ = sorted(cement_reactions(found).items())
    assert at_top == pytest.approx(6000 * 0.3048)
    below = 29_805 + 0.6 * (1267.5 - 3116.9) * 59.1875
    assert reaction / LBF == pytest.approx(-17_912 - below, abs=4)
    held = evaluate(well, found.string, found.state, {})
    assert held.axial.true == pytest.approx(found.axial.true, rel=1e-12)  # forces know nothing of strength
