"""Rows of a catalog: a size of pipe, a grade of steel, and when two of them answer to the same name."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from ..constants import INCH
from ..errors import near_miss
from ..units import DIAMETER, LINEAR_MASS, STRESS, show

POUND_PER_FOOT = 0.45359237 / 0.3048
OD_TOLERANCE = 0.005 * INCH + 1e-9  # [m], so that 244.5 mm names 9-5/8 in
WEIGHT_TOLERANCE = 0.01 * POUND_PER_FOOT + 1e-9  # [kg/m]
WALL_TOLERANCE = 0.1e-3 + 1e-9  # [m]
CONFIDENCE = ("low", "not stated", "medium", "high")  # least first; `casingloads.catalogs` explains the words


@dataclass(frozen=True, kw_only=True)
class CatalogRow:
    """What every row says of itself: where it comes from, how far to trust it, in which file it stands.

    `source_keys` are the keys of the sources in ``sources.csv``; rows of a user's file have none.
    """

    source: str
    source_keys: str = ""
    provenance: str = "user catalog"
    confidence: str = "not stated"
    notes: str = ""
    catalog: str = ""

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise ValueError("source is empty; name where the row comes from")
        if self.confidence not in CONFIDENCE:
            raise ValueError(f"confidence {self.confidence!r}: {near_miss(self.confidence, CONFIDENCE)}")


@dataclass(frozen=True, kw_only=True)
class CatalogPipe(CatalogRow):
    """A size of pipe. Lengths [m], mass per length [kg/m].

    `weight` is the nominal line weight, a label; `plain_end_weight` that of the bare tube, ``None`` where the
    catalog does not say it; `grades` those listed for the size; `status` says whether the standard lists it.
    """

    od: float
    weight: float
    wall: float
    plain_end_weight: float | None = None
    drift: float | None = None
    alternate_drift: float | None = None
    grades: tuple[str, ...] = ()
    status: str = "user"
    grades_provenance: str = ""
    alternate_drift_provenance: str = ""

    def __post_init__(self) -> None:
        super().__post_init__()
        if not 0.0 < 2.0 * self.wall < self.od < math.inf:
            raise ValueError(f"need 0 < 2 wall < od, found wall {as_mm(self.wall)} and od {as_mm(self.od)}")
        for name in ("weight", "plain_end_weight"):
            weight = getattr(self, name)
            if weight is not None and not 0.0 < weight < math.inf:
                raise ValueError(f"{name} {show(weight, LINEAR_MASS)}: need a weight above 0")
        for name in ("drift", "alternate_drift"):
            drift, inside = getattr(self, name), self.inside_diameter
            if drift is not None and not 0.0 < drift < inside:
                raise ValueError(f"{name} {as_mm(drift)} is not below the inside diameter {as_mm(inside)}")

    @property
    def inside_diameter(self) -> float:
        """Outside diameter less two walls [m]."""
        return self.od - 2.0 * self.wall

    @property
    def label(self) -> str:
        """Size and nominal weight as the trade writes them, for example ``9-5/8 in 47 lb/ft``."""
        return f"{as_size(self.od)} {as_pounds(self.weight)}"

    @property
    def summary(self) -> str:
        """Label, wall and file: what tells the row from every other."""
        return f"{self.label} ({as_wall(self.wall)}; {self.catalog})"

    def lists(self, grade: str) -> bool:
        """Tell whether the grade, its family or one of its types is listed for the size."""
        return any(is_akin(grade, listed) for listed in self.grades)

    def is_same(self, other: CatalogPipe) -> bool:
        """Tell whether two rows answer to the same diameter and weight."""
        is_near = abs(self.weight - other.weight) <= WEIGHT_TOLERANCE
        return is_near and abs(self.od - other.od) <= OD_TOLERANCE


@dataclass(frozen=True, kw_only=True)
class Grade(CatalogRow):
    """A grade of steel. Strengths [Pa]; `elongation_under_load` [-] is the strain at which yield is read.

    `yield_strength` and `tensile_strength` are the specified minimum. ``None``: no such limit is known.
    """

    name: str
    yield_strength: float
    tensile_strength: float
    max_yield: float | None = None
    max_tensile: float | None = None
    max_hardness_hrc: float | None = None
    max_hardness_hbw: float | None = None
    elongation_under_load: float | None = None
    process: str = ""
    heat_treatment: str = ""
    group: str = ""
    standard: str = ""

    def __post_init__(self) -> None:
        super().__post_init__()
        least, most = self.yield_strength, self.tensile_strength
        if not 100e6 <= least <= most <= 2500e6:  # shows a wrong unit
            found = f"{show(least, STRESS)} and {show(most, STRESS)}"
            raise ValueError(f"need 100 MPa <= yield <= tensile strength <= 2500 MPa, found {found}")
        for name, limit in (("max_yield", least), ("max_tensile", most)):
            value = getattr(self, name)
            if value is not None and value < limit:
                raise ValueError(f"{name} {show(value, STRESS)} is below the minimum {show(limit, STRESS)}")

    @property
    def summary(self) -> str:
        """Name, strengths and file: what tells the row from every other."""
        yields, breaks = show(self.yield_strength, STRESS), show(self.tensile_strength, STRESS)
        return f"grade {self.name} ({yields} yield, {breaks} tensile strength; {self.catalog})"

    def is_same(self, other: Grade) -> bool:
        """Tell whether two rows answer to the same name."""
        return self.name.casefold() == other.name.casefold()


Row = TypeVar("Row", CatalogPipe, Grade)


# --- Names of grades ---


def is_type(name: str, family: str) -> bool:
    """Tell whether grade *name* is a type of *family*: N80-1 and N80Q of N80, B PSL2 of B."""
    return re.fullmatch(re.escape(family) + r"(-.+|Q| .+)", name, re.IGNORECASE) is not None


def is_akin(name: str, other: str) -> bool:
    """Tell whether two names of grades are one name, or a family and one of its types."""
    return name.casefold() == other.casefold() or is_type(name, other) or is_type(other, name)


# --- Dimensions as the trade writes them ---


def as_size(od: float) -> str:
    """Return a diameter as ``9-5/8 in``; with decimals where it is no sixteenth."""
    sixteenths = round(od / INCH * 16)
    if abs(od / INCH - sixteenths / 16) > 5e-4:
        return f"{od / INCH:.3f} in"
    whole, part = divmod(Fraction(sixteenths, 16), 1)
    return f"{whole}-{part} in" if part else f"{whole} in"


def as_pounds(weight: float) -> str:
    """Return a mass per length in lb/ft."""
    return f"{round(weight / POUND_PER_FOOT, 2):g} lb/ft"


def as_wall(wall: float) -> str:
    """Return a wall in both units."""
    return f"{wall / INCH:.3f} in = {as_mm(wall)} wall"


def as_mm(length: float) -> str:
    """Return a diameter or wall in millimetres."""
    return show(length, DIAMETER)
