"""The wells of the kit: small well files, each of another kind, on which a load case is tried. All are invented."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from ..hooks import load_plugins
from ..well import Well
from ..wellfile.reader import read_well

_REQUIRED = "[required]\nburst = 1.1\ncollapse = 1.0\ntension = 1.3\ncompression = 1.3\ntriaxial = 1.25\n"
_FLUIDS = """[fluids]
"spud mud" = "1.10 sg"
mud = "1.25 sg"
brine = "1.05 sg"
slurry = "1.90 sg"
"""
_SEA = '"sea water" = "1025 kg/m3"\n'
_TEMPERATURES = """[temperatures.hot]
depth = ["{top}", "{bottom}"]
temperature = ["{warm}", "{hottest}"]
[temperatures.cold]
depth = ["{top}", "{bottom}"]
temperature = ["10 degC", "{cool}"]
"""
_EARTH = """[earth]
depth = ["{top}", "{bottom}"]
pore_pressure = ["1.02 sg", "1.10 sg"]
fracture = ["{weak}", "1.80 sg"]
overburden = ["{weak}", "2.10 sg"]
temperature = ["10 degC", "{hot}"]
"""


@dataclass(frozen=True)
class KitWell:
    """A well of the kit.

    Attributes
    ----------
    name : str
        In the names of tests: ``subsea``.
    text : str
        Its well file.
    """

    name: str
    text: str

    def well(self) -> Well:
        """Return the well, a copy that may be spoiled."""
        return copy.deepcopy(_read(self.text))


@cache
def _read(text: str) -> Well:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "well.toml"
        path.write_text(text, encoding="utf-8")
        return read_well(path, plugins=load_plugins(installed=False))


def _head(
    name: str, *lines: str, top: str, bottom: str, weak: str = "1.25 sg", hot: str = "100 degC", flowing: str = ""
) -> str:
    """Return the parts of a well file before its strings, with tables of the earth from *top* to *bottom*."""
    sea = _SEA if any("water_depth" in line for line in lines) else ""
    earth = _EARTH.format(top=top, bottom=bottom, weak=weak, hot=hot)
    well = "\n".join(["[well]", f'name = "{name}"', *lines, ""])
    return well + earth + _FLUIDS + sea + (flowing or _temperatures(top, bottom)) + _REQUIRED


def _temperatures(top: str, bottom: str, warm: str = "70 degC", hottest: str = "110 degC") -> str:
    return _TEMPERATURES.format(top=top, bottom=bottom, warm=warm, hottest=hottest, cool="60 degC")


def _string(
    name: str, pipe: str, shoe: str, *more: str, hole: str, cement: str = "", top: str = "wellhead", mud: str = "mud"
) -> str:
    """Return a string of a well file; *cement* is the depth to which it is cemented, *pipe* may be its sections."""
    sections = pipe if pipe.startswith("[") else f'[{{ pipe = "{pipe}", to = "shoe" }}]'
    lines = [f'name = "{name}"', f'hole_size = "{hole}"', f'top = "{top}"', f'shoe = "{shoe}"', f'run_in = "{mud}"']
    if cement:
        lines.append(f'cement = [{{ from = "shoe", to = "{cement}", slurry = "slurry" }}]')
    return "\n".join(["[[strings]]", *lines, f"sections = {sections}", *more, ""])


def _hole(to: str, mud: str = "mud", size: str = "8-1/2 in", riser: bool = True) -> str:
    given = f', mud = "{mud}"' if mud else ""
    return f'next_hole = {{ to = "{to}"{given}, size = "{size}", riser = {str(riser).lower()} }}'


def _surface(shoe: str, to: str, *, top: str = "wellhead", mud: str = "spud mud") -> str:
    next_hole = _hole(to, size="12-1/4 in")
    return _string(
        "surface", "13-3/8 in 72 lb/ft P110", shoe, next_hole, hole="17-1/2 in", cement="wellhead", top=top, mud=mud
    )


_LONG, _SEVEN, _CROOKED = "9-5/8 in 53.5 lb/ft P110", "7 in 32 lb/ft P110", '"0 deg", "0 deg", "50 deg", "50 deg"'
_BUILD = (
    'survey = { md = ["0 ft", "2500 ft", "5000 ft", "16000 ft"], '
    f'inclination = [{_CROOKED}], azimuth = ["30 deg", "30 deg", "30 deg", "30 deg"] }}'
)
_LAND = {"top": "10 m", "bottom": "5000 m"}
_DEEP_SEA = {"top": "1030 m", "bottom": "6000 m", "weak": "1.04 sg"}


def _land(name: str, *strings: str, more: str = "") -> str:
    return _head(name, 'air_gap = "10 m"', **_LAND) + more + "".join(strings)


_PRODUCTION = _string("production", _LONG, "3000 m", hole="12-1/4 in", cement="1900 m")
_DRILLING = _string("intermediate", _LONG, "3000 m", _hole("4000 m"), hole="12-1/4 in", cement="1900 m")
_LINER = _string("liner", _SEVEN, "4000 m", hole="8-1/2 in", top="2850 m", cement="top")
_TAPERED = (
    '[{ pipe = "9-5/8 in 53.5 lb/ft P110", to = "900 m" }, { pipe = "9-5/8 in 47 lb/ft L80", to = "2200 m" }, '
    '{ pipe = "9-5/8 in 53.5 lb/ft P110", to = "shoe" }]'
)
_AS_SET = 'set_temperature = { depth = ["10 m", "2000 m"], temperature = ["20 degC", "60 degC"] }'
_STEAM = _temperatures("10 m", "2000 m", "240 degC", "280 degC")
_DERATING = """[derating.hot]
source = "invented for this well"
grades = ["P110"]
temperature = ["20 degC", "350 degC"]
yield_factor = [1.0, 0.8]
modulus_factor = [1.0, 0.9]
"""
_BARE = (
    '[well]\nname = "bare"\nair_gap = "10 m"\n[earth]\ndepth = ["10 m", "5000 m"]\n'
    + _FLUIDS
    + _temperatures(**_LAND)
    + _REQUIRED
)


def _subsea(name: str, *strings: str) -> str:
    return _head(name, 'air_gap = "30 m"', 'water_depth = "1000 m"', **_DEEP_SEA) + "".join(strings)


WELLS: tuple[KitWell, ...] = (
    KitWell("land", _land("land", _surface("1000 m", "3000 m"), _PRODUCTION)),
    KitWell("drilling", _land("drilling", _surface("1000 m", "3000 m"), _DRILLING)),
    KitWell(
        "deviated",
        _head("deviated", 'air_gap = "30 ft"', 'units = "field"', _BUILD, top="30 ft", bottom="14000 ft")
        + _surface("3000 ft", "10000 ft")
        + _string("intermediate", _LONG, "10000 ft", _hole("14000 ft"), hole="12-1/4 in", cement="7000 ft")
        + _string("production", _SEVEN, "14000 ft", hole="8-1/2 in", cement="9000 ft"),
    ),
    KitWell(
        "subsea",
        _subsea(
            "subsea",
            _surface("2000 m", "3500 m", mud="sea water"),
            _string("intermediate", _LONG, "3500 m", _hole("4500 m"), hole="12-1/4 in", cement="2600 m"),
        ),
    ),
    KitWell(
        "riserless",
        _subsea(
            "riserless",
            _string(
                "conductor",
                "30 in 234.51 lb/ft X52",
                "1110 m",
                _hole("1900 m", "sea water", "17-1/2 in", riser=False),
                hole="36 in",
                cement="wellhead",
                mud="sea water",
            ),
        ),
    ),
    KitWell(
        "deck",
        _head(
            "deck",
            'air_gap = "25 m"',
            'water_depth = "80 m"',
            'wellhead = "deck"',
            'wellhead_depth = "8 m"',
            top="105 m",
            bottom="5000 m",
            weak="1.10 sg",
        )
        + _surface("900 m", "3000 m")
        + _PRODUCTION,
    ),
    KitWell("liner", _land("liner", _surface("1000 m", "3000 m"), _DRILLING, _LINER)),
    KitWell(
        "tapered",
        _land(
            "tapered",
            _surface("1000 m", "3000 m"),
            _string("production", _TAPERED, "3000 m", hole="12-1/4 in", cement="1900 m"),
        ),
    ),
    KitWell(
        "tie-back",
        _land(
            "tie-back",
            _surface("1000 m", "3000 m"),
            _DRILLING,
            _LINER,
            _string("tie-back", _SEVEN, "2850 m", 'tie_back_to = "liner"', hole="8.535 in", cement="2600 m"),
        ),
    ),
    KitWell(
        "one-joint",
        _land(
            "one-joint",
            _string("surface", "13-3/8 in 72 lb/ft P110", "22 m", _hole("300 m", size="12-1/4 in"), hole="17-1/2 in"),
        ),
    ),
    KitWell(
        "very-deep",
        _head("very-deep", 'air_gap = "10 m"', top="10 m", bottom="11000 m", hot="220 degC")
        + _string("long", "9-5/8 in 53.5 lb/ft P110", "10000 m", _hole("11000 m"), hole="12-1/4 in", cement="8000 m"),
    ),
    KitWell(
        "uncemented",
        _land("uncemented", _surface("1000 m", "3000 m"), _string("production", _LONG, "3000 m", hole="12-1/4 in")),
    ),
    KitWell(
        "cemented",
        _land(
            "cemented",
            _surface("1000 m", "3000 m"),
            _string("production", _LONG, "3000 m", _hole("4000 m"), hole="12-1/4 in", cement="wellhead"),
        ),
    ),
    KitWell(
        "bare",
        _BARE
        + _surface("1000 m", "3000 m")
        + _string("intermediate", _LONG, "3000 m", _hole("4000 m"), hole="12-1/4 in", cement="1900 m"),
    ),
    KitWell(
        "geothermal",
        _head("geothermal", 'air_gap = "10 m"', top="10 m", bottom="2000 m", hot="280 degC", flowing=_STEAM + _DERATING)
        + _surface("500 m", "1200 m").rstrip()
        + f"\n{_AS_SET}\n"
        + _string("production", _LONG, "1200 m", _hole("2000 m"), _AS_SET, hole="12-1/4 in", cement="wellhead"),
    ),
    KitWell(
        "no-mud",
        _land(
            "no-mud",
            _surface("1000 m", "3000 m"),
            _string("intermediate", _LONG, "3000 m", _hole("4000 m", ""), hole="12-1/4 in", cement="1900 m"),
        ),
    ),
)
"""Every well of the kit; `bare` has no table of the earth, `no-mud` says no mud for its next hole."""
