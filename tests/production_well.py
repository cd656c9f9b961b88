"""Wells for the tests of production, on land, deviated and subsea, and what those tests ask of a result."""

from __future__ import annotations

from functools import cache
from math import pi
from pathlib import Path
from tempfile import TemporaryDirectory

import casingloads as cl

G, INCH, FOOT = 9.80665, 0.0254, 0.3048
PSI = 0.45359237 * G / INCH**2
MODULUS, EXPANSION = 30e6 * PSI, 12.42e-6

# 9-5/8 in 47 lb/ft
OUTER, BORE = pi / 4 * (9.625 * INCH) ** 2, pi / 4 * (8.681 * INCH) ** 2
STEEL, WEIGHT = OUTER - BORE, 47 * 0.45359237 / FOOT * G

SETTLED_AT_SHOE = 22e6 + 1000 * G * 1000  # of settled mud in LAND: pore pressure at 2000 m, water in the cement

REQUIRED = """
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
"""

# Ground 10 m below the drill floor; 13-3/8 in to 1500 m, 9-5/8 in to 3000 m cemented up to 2000 m, packer at 2800 m.
# Packer fluid is the brine that displaced the cement; at 2950 m the reservoir has 36 MPa. Earth: 15 degC, 3 degC/100 m.
LAND = """
[well]
name = "land"
air_gap = "10 m"
buckling = false
[earth]
depth = ["0 m", "4000 m"]
pore_pressure = ["0 MPa", "44 MPa"]
temperature = ["15 degC", "135 degC"]
[fluids]
mud = "1200 kg/m3"
brine = "1100 kg/m3"
slurry = "1900 kg/m3"
[temperatures.flowing]
depth = ["0 m", "3000 m"]
temperature = ["85 degC", "105 degC"]
[temperatures.killed]
depth = ["0 m", "3000 m"]
temperature = ["15 degC", "45 degC"]
[[strings]]
name = "surface"
hole_size = "17-1/2 in"
top = "wellhead"
shoe = "1500 m"
run_in = "mud"
cement = [{ from = "shoe", to = "wellhead", slurry = "slurry" }]
next_hole = { to = "3000 m", mud = "mud" }
sections = [{ pipe = "13-3/8 in 68 lb/ft N80", to = "shoe" }]
[[strings]]
name = "production"
hole_size = "12-1/4 in"
top = "wellhead"
shoe = "3000 m"
run_in = "mud"
displaced_with = "brine"
cement = [{ from = "shoe", to = "2000 m", slurry = "slurry" }]
sections = [{ od = "9-5/8 in", wall = "0.472 in", weight = "47 lb/ft", yield = "110 ksi", to = "shoe" }]
"""

# Wellhead on the sea floor at 1030 m; a long string to 4200 m, a liner from 4000 to 5000 m; packer in the liner.
SUBSEA = """
[well]
name = "subsea"
air_gap = "30 m"
water_depth = "1000 m"
buckling = false
[earth]
depth = ["1030 m", "5000 m"]
pore_pressure = ["10.1 MPa", "60 MPa"]
[fluids]
"sea water" = "1025 kg/m3"
mud = "1400 kg/m3"
brine = "1250 kg/m3"
slurry = "1900 kg/m3"
[[strings]]
name = "long"
hole_size = "12-1/4 in"
top = "wellhead"
shoe = "4200 m"
run_in = "mud"
cement = [{ from = "shoe", to = "3500 m", slurry = "slurry" }]
next_hole = { to = "5000 m", mud = "mud" }
sections = [{ pipe = "9-5/8 in 53.5 lb/ft P110", to = "shoe" }]
LONG_CASES
[[strings]]
name = "liner"
hole_size = "8-1/2 in"
top = "4000 m"
shoe = "5000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "top", slurry = "slurry" }]
sections = [{ pipe = "7 in 32 lb/ft P110", to = "shoe" }]
LINER_CASES
"""

# Vertical to 1000 m, then 600 m of arc to 60 degrees, then straight on.
DEVIATED = LAND.replace(
    "buckling = false",
    """buckling = false
survey = { md = ["0 m", "1000 m", "1600 m", "3000 m"], inclination = ["0 deg", "0 deg", "60 deg", "60 deg"], \
azimuth = ["0 deg", "0 deg", "0 deg", "0 deg"] }""",
)


def subsea(*, long: str = "", liner: str = "") -> str:
    """Return the subsea well with load cases under its strings."""
    return SUBSEA.replace("LONG_CASES\n", long).replace("LINER_CASES\n", liner)


@cache
def checked(text: str) -> cl.Result:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text + REQUIRED, encoding="utf-8")
        return cl.check(cl.read_well(path))


def value(text: str, string: str, case: str, step: str, md: float, column: str, side: str = "above") -> float:
    """Return a column of the profile at a depth [m] that is a station; of a jump, the side told."""
    found = checked(text).profile(string, case, step)
    rows = found[(found["md_m"] - md).abs() < 1e-6]
    rows = rows[rows["side"] == side] if len(rows) > 1 else rows
    assert len(rows) == 1
    return float(rows[column].iloc[0])


def inside(text: str, string: str, case: str, step: str, md: float, side: str = "above") -> float:
    return value(text, string, case, step, md, "p_inside_pa", side)


def outside(text: str, string: str, case: str, step: str, md: float, side: str = "above") -> float:
    return value(text, string, case, step, md, "p_outside_pa", side)


def steps(text: str, string: str, case: str) -> list[str]:
    rows = checked(text).factors.query("string == @string and case == @case")
    assert not rows.empty
    return list(dict.fromkeys(rows["step"]))


def reason(text: str, case: str) -> str:
    rows = checked(text).factors.query("case == @case")
    assert set(rows["status"]) == {"not-evaluated"}
    (found,) = set(rows["reason"])
    return str(found)


def remarks(text: str, case: str) -> list[str]:
    return [line for remark in checked(text).remarks if f", {case}: " in (line := remark.text())]


def as_cemented(md: float) -> float:
    """Return the force in the production string at *md* when its cement set: brine inside, mud and slurry outside."""
    end = 1100 * G * 3000 * BORE - (1200 * G * 2000 + 1900 * G * 1000) * OUTER
    return end + WEIGHT * (3000 - md)
