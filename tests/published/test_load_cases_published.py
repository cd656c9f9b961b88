"""Published exercises worked as whole wells: file in, load case run, pressures read off the profile.

The rows stand in `loads_checks.csv` with source and provenance; the tolerance is theirs, the printed precision. The
books take 1 lb/gal for 0.052 psi/ft, a thousandth too much, so the well files give gradients in psi/ft; a second
file with the densities in ppg must come out lower by that thousandth.
"""

from __future__ import annotations

import csv
import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

import casingloads as cl
from casingloads.constants import GRAVITY
from casingloads.units import FORCE, PRESSURE, shown

FOOT, PSI = 0.3048, 6894.757293168361
BOOK = 0.052  # psi/ft for each lb/gal
EXACT = 12.0 / 231.0
COVERED = {"L007", "L021", "L025", "L027", "L028", "L029", "L031", "L032", "L033", "L034", "L035"}


def _read() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"]: row for row in csv.DictReader(lines)}


ROWS = _read()


def printed(key: str, found: float) -> None:
    row = ROWS[key]
    said = f"{key} of {row['source']} ({row['provenance']})"
    assert found == pytest.approx(float(row["expected"]), rel=0.0, abs=float(row["tolerance"])), said


def density(ppg: float, per_ppg: float) -> str:
    """Return the density of a fluid whose gradient is *per_ppg* psi/ft for each lb/gal."""
    return f"{ppg * per_ppg * PSI / FOOT / GRAVITY!r} kg/m3"


HEAD = """
[well]
name = "exercise"
air_gap = "0 ft"
[required]
burst = 1.1
collapse = 1.0
tension = 1.6
compression = 1.3
triaxial = 1.25
"""

# University lecture exercise on a land well: shoe at 3000 ft, next hole to 6000 ft, 13 ppg fracture at the shoe.
LECTURE = """
[earth]
depth = ["0 ft", "6000 ft"]
pore_pressure = ["{pore}", "{pore}"]
fracture = ["{fracture}", "{fracture}"]
[fluids]
mud = "1.1 sg"
[[strings]]
name = "surface"
hole_size = "17-1/2 in"
top = "surface"
shoe = "3000 ft"
run_in = "mud"
cement = [{{ from = "shoe", to = "surface", slurry = "mud" }}]
next_hole = {{ to = "6000 ft", mud = "mud" }}
sections = [{{ pipe = "13-3/8 in 68 lb/ft K55", to = "shoe" }}]
[strings.cases]
limited = {{ case = "gas-to-surface", reservoir_pressure = "2964 psi", gas_gradient = "0.1 psi/ft", outside = "pore pressure" }}
unlimited = {{ case = "gas-to-surface", reservoir_pressure = "2964 psi", gas_gradient = "0.1 psi/ft", fracture_margin = "1000 psi" }}
"""  # noqa: E501

# Lapeyrouse, anticipated surface pressure: shoe at 4000 ft, 14.2 ppg fracture and a margin of 1 ppg (208 psi at the
# shoe), 12 ppg mud and a margin of 4 ppg at 12,000 ft, gas of 0.12 psi/ft.
ANTICIPATED = """
[earth]
depth = ["0 ft", "12000 ft"]
pore_pressure = ["0.45 psi/ft", "0.45 psi/ft"]
fracture = ["0.7384 psi/ft", "0.7384 psi/ft"]
[fluids]
mud = "1.44 sg"
[[strings]]
name = "casing"
hole_size = "17-1/2 in"
top = "surface"
shoe = "4000 ft"
run_in = "mud"
cement = [{ from = "shoe", to = "surface", slurry = "mud" }]
next_hole = { to = "12000 ft", mud = "mud" }
sections = [{ pipe = "13-3/8 in 68 lb/ft K55", to = "shoe" }]
[strings.cases.from-td]
case = "gas-to-surface"
reservoir_pressure = "0.832 psi/ft"
gas_gradient = "0.12 psi/ft"
fracture_margin = "10000 psi"
[strings.cases.from-shoe]
case = "gas-to-surface"
reservoir_pressure = "0.832 psi/ft"
gas_gradient = "0.12 psi/ft"
fracture_margin = "208 psi"
"""

# Lapeyrouse, cement job: 10 ppg mud, 2000 ft of 13.8 ppg lead, 1000 ft of 15.8 ppg tail, shoe at 8000 ft.
CEMENT = """
[earth]
depth = ["0 ft", "8000 ft"]
[fluids]
mud = "{mud}"
lead = "{lead}"
tail = "{tail}"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "8000 ft"
run_in = "mud"
cement = [
  {{ from = "shoe", to = "7000 ft", slurry = "tail" }},
  {{ from = "7000 ft", to = "5000 ft", slurry = "lead" }},
]
sections = [{{ pipe = "9-5/8 in 47 lb/ft N80", to = "shoe" }}]
[strings.cases.cementing]
"""


# University lecture, graphical method: pipe empty, 73 lb/ft3 of mud outside, shoe at 10,400 ft.
EMPTY = """
[earth]
depth = ["0 ft", "10400 ft"]
[fluids]
mud = "73 lb/ft3"
[[strings]]
name = "casing"
hole_size = "12-1/4 in"
top = "surface"
shoe = "10400 ft"
run_in = "mud"
cement = [{ from = "shoe", to = "8000 ft", slurry = "mud" }]
sections = [{ pipe = "9-5/8 in 47 lb/ft N80", to = "shoe" }]
[strings.cases.evacuation]
"""


@cache
def checked(body: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(HEAD + body, encoding="utf-8")
        return cl.check(cl.read_well(path))


def lecture(per_ppg: float) -> cl.Result:
    return checked(LECTURE.format(pore=f"{8.6 * per_ppg} psi/ft", fracture=f"{13.0 * per_ppg} psi/ft"))


def psi(result: cl.Result, case: str, place: int, column: str = "p_inside_pa") -> float:
    """Return a pressure at the top (place 0) or the shoe (place -1) of the one string."""
    profile = result.profile(result.well.strings[0].name, case)
    return shown(float(profile[column].iloc[place]), PRESSURE, "field")


def test_gas_to_surface_from_the_reservoir() -> None:
    """L025: 2964 psi at 6000 ft less 0.1 psi/ft; the fracture pressure is set aside by a margin of 1000 psi."""
    printed("L025", psi(lecture(BOOK), "unlimited", 0))


def test_gas_to_surface_limited_by_the_shoe() -> None:
    """L027, L028: unlimited gas would stand at 2664 psi at the shoe, which breaks at 2028; so 1728 psi at surface."""
    result = lecture(BOOK)
    assert psi(result, "unlimited", -1) == pytest.approx(2664.0, abs=1e-6)
    printed("L027", psi(result, "limited", -1))
    printed("L028", psi(result, "limited", 0))
    remarks = [remark.text("field") for remark in result.remarks]
    assert any("limited" in text and "fracture" in text and "3000 ft" in text for text in remarks)


def test_outside_and_the_design_loads_of_the_exercise() -> None:
    """L029: 8.6 ppg of pore pressure outside; L031, L032: burst load times 1.1 at surface and at the shoe."""
    result = lecture(BOOK)
    required = result.well.strings[0].required["burst"]
    printed("L029", psi(result, "limited", -1, "p_outside_pa"))
    printed("L031", required * psi(result, "limited", 0, "burst_load_pa"))
    printed("L032", required * psi(result, "limited", -1, "burst_load_pa"))


def test_the_governing_burst_row_is_the_one_at_surface() -> None:
    result = lecture(BOOK)
    factors = result.factors
    row = factors[(factors["case"] == "limited") & (factors["mode"] == "burst")].iloc[0]
    assert row["md_m"] == 0.0
    printed("L031", 1.1 * shown(float(row["load"]), PRESSURE, "field"))


def test_exact_densities_give_a_thousandth_less() -> None:
    """13 ppg taken exactly breaks the shoe at 2026.0 psi, not 2028: all that differs by it is the rounded 0.052."""
    ratio = EXACT / BOOK
    result = lecture(EXACT)
    assert psi(result, "limited", -1) == pytest.approx(2028.0 * ratio, abs=1e-6)
    assert psi(result, "limited", 0) == pytest.approx(2028.0 * ratio - 300.0, abs=1e-6)
    assert psi(result, "limited", -1, "p_outside_pa") == pytest.approx(1341.6 * ratio, abs=1e-6)
    in_ppg = checked(LECTURE.format(pore="8.6 ppg", fracture="13 ppg"))
    assert psi(in_ppg, "limited", 0) == pytest.approx(2028.0 * ratio - 300.0, abs=1e-6)


def test_anticipated_surface_pressure_from_total_depth() -> None:
    """L033, L034: 16 ppg at 12,000 ft is 9984 psi; gas of 0.12 psi/ft takes off 1440."""
    result = checked(ANTICIPATED)
    at_top = psi(result, "from-td", 0)
    printed("L033", at_top)
    printed("L034", at_top + 0.12 * 12_000.0)


def test_anticipated_surface_pressure_from_the_shoe() -> None:
    """L035 (value from memory): 15.2 ppg at 4000 ft less 480 psi of gas; the shoe is the weakest exposed depth."""
    result = checked(ANTICIPATED)
    assert psi(result, "from-shoe", -1) == pytest.approx(0.052 * 15.2 * 4000.0, abs=1e-6)
    printed("L035", psi(result, "from-shoe", 0))


def test_empty_pipe_in_the_mud_it_was_run_in() -> None:
    """L021: 73 lb/ft3 over 144 in2/ft2 at 10,400 ft, 5272 psi outside and nothing inside."""
    result = checked(EMPTY)
    assert psi(result, "evacuation", -1) == 0.0
    printed("L021", psi(result, "evacuation", -1, "collapse_load_pa"))


def cement_job(per_ppg: float) -> cl.Result:
    fluids = {name: density(ppg, per_ppg) for name, ppg in (("mud", 10.0), ("lead", 13.8), ("tail", 15.8))}
    return checked(CEMENT.format(**fluids))


def test_cement_job() -> None:
    """L007: outside at the shoe 4857 psi with all slurry fluid. The end force pushes the string up."""
    result = cement_job(BOOK)
    outside = psi(result, "cementing", -1, "p_outside_pa")
    printed("L007", outside)
    assert psi(cement_job(EXACT), "cementing", -1, "p_outside_pa") == pytest.approx(4856.8 * EXACT / BOOK, abs=1e-6)
    inside = psi(result, "cementing", -1)
    assert inside == pytest.approx(0.052 * 10.0 * 8000.0, abs=1e-6)  # ours: displacement mud down to the shoe
    bore, outer = 0.25 * math.pi * 8.681**2, 0.25 * math.pi * 9.625**2  # in2
    end = result.profile("casing", "cementing")["true_force_n"].iloc[-1]
    assert 1e3 * shown(float(end), FORCE, "field") == pytest.approx(inside * bore - outside * outer, rel=1e-9)


def test_rows_named_here_are_in_the_table() -> None:
    assert set(ROWS) >= COVERED
