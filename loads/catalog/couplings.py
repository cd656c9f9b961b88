"""Dimensions of the couplings of standard casing: those of API 5CT with the threads of API 5B.

`standard_couplings` reads ``couplings.csv`` and ``thread_constants.csv`` of `casingloads.catalogs`. What a
`Coupling` holds goes into the formulas of `casingloads.strength` as it is.
"""

from __future__ import annotations

import csv
import functools
import hashlib
import io
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, Literal, get_args

from ..constants import INCH, PSI
from ..errors import near_miss
from ..strength.coupling import coupling_root_diameter
from ..strength.geometry import checked
from ..units import STRESS, show
from .catalog import CatalogError
from .rows import OD_TOLERANCE, POUND_PER_FOOT, WEIGHT_TOLERANCE, CatalogRow, as_pounds, as_size

Thread = Literal["STC", "LTC", "BTC"]
Clearance = Literal["regular", "special"]
THREADS: tuple[Thread, ...] = get_args(Thread)
CLEARANCES: tuple[Clearance, ...] = get_args(Clearance)
_SAME_YIELD = 1e-3  # relative, so that 758 MPa is 110,000 psi
_BOUNDS = {
    **{"weight_from": "weight_from", "weight_to": "weight_to"},
    **{"coupling_yield_from": "yield_from", "coupling_yield_below": "yield_below"},
}
_UNITS = {"in": INCH, "lbft": POUND_PER_FOOT, "psi": PSI, "turns": 1.0}


@dataclass(frozen=True, kw_only=True)
class Coupling(CatalogRow):
    """A coupling and the thread in it. Lengths [m], mass per length [kg/m], stress [Pa].

    Attributes
    ----------
    pipe_od : float
        Outside diameter of the pipe, D.
    thread : {"STC", "LTC", "BTC"}
        Short or long 8-round thread, or buttress.
    clearance : {"regular", "special"}
        Which coupling; a special clearance coupling is thinner.
    weight_from, weight_to : float
        Nominal weights of the pipe that have this coupling, inclusive.
    yield_from, yield_below : float
        Minimum yield strengths of couplings that have this thread, the upper one exclusive.
    od : float
        Outside diameter of the coupling, W.
    later_od : float or None
        Another value that later lists print; in doubt, see `notes`. `od` is the one of the rating tables.
    length : float
        Least length of the coupling.
    pitch_diameter : float
        Where the thread seals: E1 (round thread) or E7 (buttress).
    plane : float
        From the end of the power-tight pipe to that plane: L1 + A (round thread) or L7 + I (buttress).
    engaged_length : float or None
        L = L4 - M of the joint strength; round threads only.
    taper : float
        On the diameter, T.
    pitch : float
        Of the thread.
    turns : float
        Make-up turns from hand tight to power tight, N.
    thread_height : float
        Height of the coupling's thread about the pitch line, on the diameter: H - 2 S_rn or h.
    od_provenance : str
        Where `od` and `length` come from; `provenance` is that of the thread.
    """

    pipe_od: float
    thread: Thread
    clearance: Clearance = "regular"
    weight_from: float = 0.0
    weight_to: float = math.inf
    yield_from: float = 0.0
    yield_below: float = math.inf
    od: float
    later_od: float | None = None
    length: float
    pitch_diameter: float
    plane: float
    engaged_length: float | None = None
    taper: float
    pitch: float
    turns: float
    thread_height: float
    od_provenance: str = ""

    def __post_init__(self) -> None:
        super().__post_init__()
        if not 0.0 < self.root_diameter < self.od:
            raise ValueError(f"{self.label}: thread root {self.root_diameter:g} m is not within od {self.od:g} m")

    @property
    def root_diameter(self) -> float:
        """Thread root at the end of the power-tight pipe, d1 [m]; rating tables round it to 0.001 in."""
        return float(coupling_root_diameter(self.pitch_diameter, self.plane, self.taper, self.thread_height))

    @property
    def label(self) -> str:
        """Size and connection as the trade writes them, for example ``9-5/8 in LTC``."""
        clearance = "" if self.clearance == "regular" else f" {self.clearance} clearance"
        return f"{as_size(self.pipe_od)} {self.thread}{clearance}"

    @property
    def weights(self) -> str:
        """The nominal weights of the pipe that have this coupling, in words."""
        if self.weight_from == 0.0:
            return "any weight"
        least = as_pounds(self.weight_from)
        return f"{least} and heavier" if self.weight_to == math.inf else least

    @property
    def yields(self) -> str:
        """The minimum yield strengths of couplings that have this thread, in words."""
        if self.yield_from > 0.0:
            return f"{show(self.yield_from, STRESS)} and above"
        return "any" if self.yield_below == math.inf else f"below {show(self.yield_below, STRESS)}"

    def fits_weight(self, weight: float) -> bool:
        """Tell whether pipe of nominal *weight* [kg/m] has this coupling, within 0.01 lb/ft."""
        return self.weight_from - WEIGHT_TOLERANCE <= weight <= self.weight_to + WEIGHT_TOLERANCE

    def fits_yield(self, yield_strength: float) -> bool:
        """Tell whether a coupling of minimum *yield_strength* [Pa] has this thread, within 0.1 %."""
        return self.yield_from <= yield_strength * (1.0 + _SAME_YIELD) < self.yield_below


@dataclass(frozen=True, kw_only=True)
class Couplings:
    """Couplings, and the SHA-256 of each file they came from."""

    rows: tuple[Coupling, ...]
    hashes: Mapping[str, str]

    def find(
        self,
        pipe_od: float,
        thread: str,
        *,
        clearance: str = "regular",
        weight: float | None = None,
        yield_strength: float | None = None,
    ) -> Coupling:
        """Return the coupling of a size of pipe and a connection.

        Parameters
        ----------
        pipe_od : float
            Outside diameter of the pipe [m]; 0.005 in is no difference.
        thread : str
            ``"STC"``, ``"LTC"`` or ``"BTC"``.
        clearance : str
            ``"regular"`` or ``"special"``; buttress up to 10-3/4 in has both.
        weight : float, optional
            Nominal weight of the pipe [kg/m]; needed where the lightest pipe has a short thread of its own.
        yield_strength : float, optional
            Minimum yield strength of the coupling's grade, not derated [Pa]; needed for round threads from
            9-5/8 in, which are cut tighter from P110 on.

        Returns
        -------
        Coupling
            Exactly one.

        Raises
        ------
        CatalogError
            A `ValueError`: if there is none, or more than one; says what there is.
        ValueError
            If a number is not positive.

        Examples
        --------
        >>> coupling = standard_couplings().find(0.244475, "LTC", yield_strength=551.6e6)
        >>> coupling.label, round(coupling.od / INCH, 3), round(coupling.root_diameter / INCH, 3)
        ('9-5/8 in LTC', 10.625, 9.346)
        >>> standard_couplings().find(0.27305, "LTC")
        Traceback (most recent call last):
        ...
        casingloads.catalog.catalog.CatalogError: no LTC coupling for 10-3/4 in pipe; in the catalog: STC, BTC
        """
        if thread not in THREADS:
            raise CatalogError(f"thread {thread!r}: {near_miss(thread, THREADS)}")
        if clearance not in CLEARANCES:
            raise CatalogError(f"clearance {clearance!r}: {near_miss(clearance, CLEARANCES)}")
        for name, value, unit in (
            ("pipe_od", pipe_od, "m"),
            ("weight", weight, "kg/m"),
            ("yield_strength", yield_strength, "Pa"),
        ):
            if value is not None:
                checked(name, value, unit, above=0.0)
        rows = [row for row in self.rows if abs(row.pipe_od - pipe_od) <= OD_TOLERANCE]
        if not rows:
            sizes = _listed(as_size(row.pipe_od) for row in sorted(self.rows, key=lambda row: row.pipe_od))
            raise CatalogError(f"no coupling for {as_size(pipe_od)} pipe; in the catalog: {sizes}")
        pipe = f"for {as_size(pipe_od)} pipe; in the catalog: "
        threads = _listed(row.thread for row in rows)
        rows = [row for row in rows if row.thread == thread]
        if not rows:
            raise CatalogError(f"no {thread} coupling {pipe}{threads}")
        clearances = _listed(row.clearance for row in rows)
        rows = [row for row in rows if row.clearance == clearance]
        if not rows:
            raise CatalogError(f"no {clearance} clearance {thread} coupling {pipe}{clearances}")
        return _chosen(rows, weight, yield_strength)


def _chosen(rows: list[Coupling], weight: float | None, yield_strength: float | None) -> Coupling:
    """Return the one row of a size and connection that fits nominal weight and coupling grade."""
    label, weights = rows[0].label, _listed(row.weights for row in rows)
    if weight is not None:
        rows = [row for row in rows if row.fits_weight(weight)]
        if not rows:
            raise CatalogError(f"{label}: no coupling for {as_pounds(weight)} pipe; in the catalog: {weights}")
    elif any(row.weight_from > 0.0 for row in rows):
        raise CatalogError(f"{label}: the nominal weight of the pipe is needed; in the catalog: {weights}")
    yields = _listed(row.yields for row in rows)
    if yield_strength is not None:
        rows = [row for row in rows if row.fits_yield(yield_strength)]
    if len(rows) != 1:
        found = "" if yield_strength is None else f", found {yield_strength:g} Pa"
        raise CatalogError(f"{label}: need the minimum yield strength of the coupling{found}; in the catalog: {yields}")
    return rows[0]


def _listed(words: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(words))


# Reading of the shipped files.


@functools.cache
def standard_couplings() -> Couplings:
    """Return the couplings that come with the package.

    Returns
    -------
    Couplings
        One row for each coupling; a size with a special clearance coupling has two.

    Examples
    --------
    >>> sorted(standard_couplings().hashes)
    ['couplings.csv', 'sources.csv', 'thread_constants.csv']
    """
    folder = files("casingloads.catalogs")
    names = ("couplings.csv", "thread_constants.csv", "sources.csv")
    sources = {row["key"]: row["text"] for row in _records(folder, "sources.csv")}
    constants = _records(folder, "thread_constants.csv")
    rows: list[Coupling] = []
    for record in _records(folder, "couplings.csv"):
        regular = _coupling(record, constants, sources)
        rows.append(regular)
        if record["special_clearance_od_in"]:
            thin = float(record["special_clearance_od_in"]) * INCH
            rows.append(replace(regular, clearance="special", od=thin, later_od=None, od_provenance="from-memory"))
    hashes = {name: hashlib.sha256(folder.joinpath(name).read_bytes()).hexdigest() for name in names}
    return Couplings(rows=tuple(rows), hashes=hashes)


def _records(folder: Traversable, name: str) -> list[dict[str, str]]:
    text = folder.joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in io.StringIO(text) if not line.startswith("#")))


def _coupling(
    record: Mapping[str, str], constants: Iterable[Mapping[str, str]], sources: Mapping[str, str]
) -> Coupling:
    """Return the regular coupling of a row."""
    cells = {
        stem: float(cell) * _UNITS[unit]
        for title, cell in record.items()
        for stem, _, unit in [title.rpartition("_")]
        if cell and unit in _UNITS
    }
    is_round = record["thread"] != "BTC"
    form = _thread_form("round" if is_round else "buttress", float(record["pipe_od_in"]), constants)
    pitch = INCH / form["threads_per_inch"]
    if is_round:
        plane, engaged = cells["L"] + cells["A"] * pitch, cells["L4"] - cells["M"]
        height = form["vee_height"] - 2.0 * form["root_truncation"]
    else:
        plane, engaged, height = cells["L"] + cells["I"], None, form["thread_height"]
    rule: dict[str, Any] = {name: cells[stem] for stem, name in _BOUNDS.items() if stem in cells}
    words: dict[str, Any] = {name: record[name] for name in ("confidence", "provenance", "od_provenance", "notes")}
    return Coupling(
        **rule,
        **words,
        pipe_od=cells["pipe_od"],
        thread=next(thread for thread in THREADS if thread == record["thread"]),
        od=cells["coupling_od"],
        later_od=cells.get("later_od"),
        length=cells["length"],
        pitch_diameter=cells["pitch_diameter"],
        plane=plane,
        engaged_length=engaged,
        taper=form["taper"],
        pitch=pitch,
        turns=cells["A"] + form.get("extra_turns", 0.0),
        thread_height=height * INCH,
        source="; ".join(f"{key}: {sources[key]}" for key in record["source"].split(";")),
        source_keys=record["source"],
        catalog="couplings.csv",
    )


def _thread_form(thread: str, pipe_od_in: float, constants: Iterable[Mapping[str, str]]) -> dict[str, float]:
    """Return the constants of a thread on pipe of a size [in], by name, in the units of the file."""
    return {
        row["name"]: float(row["value"])
        for row in constants
        if row["thread"] == thread
        and float(row["od_from_in"] or 0.0) <= pipe_od_in <= float(row["od_to_in"] or math.inf)
    }
