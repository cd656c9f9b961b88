"""The well as the calculation sees it: plain frozen dataclasses, SI floats and arrays.

Depths named ``md`` are measured along the path from the drill floor, depths named ``tvd`` vertically below it.
Pressures are gauge [Pa], temperatures absolute [K], densities [kg/m3], line weights are masses [kg/m].
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from .arrays import Array, ArrayLike, Floats
from .constants import GRAVITY, STEEL_MODULUS
from .path import WellPath
from .units import UnitSystem

if TYPE_CHECKING:
    from .connections import Connection
    from .state import Friction

MODES = ("burst", "collapse", "tension", "compression", "triaxial")
WellheadKind = Literal["ground", "deck", "sea floor"]


@dataclass(frozen=True, kw_only=True)
class Fluid:
    """A liquid of constant density [kg/m3]."""

    name: str
    density: float

    @property
    def gradient(self) -> float:
        """Hydrostatic gradient [Pa/m]."""
        return self.density * GRAVITY


@dataclass(frozen=True, kw_only=True)
class Steel:
    """Elastic constants: modulus [Pa], Poisson's ratio [-], linear thermal expansion [1/K]."""

    modulus: float = STEEL_MODULUS
    poisson: float = 0.30
    expansion: float = 12.42e-6  # 6.9e-6 per degF


@dataclass(frozen=True, kw_only=True)
class Pipe:
    """A casing tube.

    Attributes
    ----------
    label : str
        As written in the well file or catalog.
    outside_diameter, wall : float
        Nominal [m].
    weight : float
        Line weight, a mass per length [kg/m].
    yield_strength : float
        Specified minimum yield [Pa].
    tensile_strength : float or None
        Specified minimum tensile strength [Pa].
    wall_factor : float
        Smallest wall the maker may deliver over the nominal wall [-].
    drift : float or None
        Drift diameter [m].
    grade : str or None
        Its grade in the catalog; None where strength is given in full.
    """

    label: str
    outside_diameter: float
    wall: float
    weight: float
    yield_strength: float
    tensile_strength: float | None = None
    wall_factor: float = 0.875
    drift: float | None = None
    grade: str | None = None

    @property
    def inside_diameter(self) -> float:
        """Nominal bore [m]."""
        return self.outside_diameter - 2.0 * self.wall


@dataclass(frozen=True, kw_only=True)
class Derating:
    """Strength against temperature: yield and modulus over those at room temperature, linear between rows.

    Attributes
    ----------
    name, source : str
        As in the file or catalog.
    temperature : ndarray, (n,)
        Increasing [K].
    yield_factor, modulus_factor : ndarray, (n,)
        [-].
    """

    name: str
    source: str
    temperature: Floats
    yield_factor: Floats
    modulus_factor: Floats


@dataclass(frozen=True, kw_only=True)
class WallLoss:
    """Wall lost to wear and corrosion along the pipe, linear between rows and constant beyond them.

    Attributes
    ----------
    md : ndarray, (n,)
        Measured depth, increasing [m].
    inside, outside : ndarray, (n,)
        Wall lost there [m].
    groove : bool
        Whether it is a groove, or all around the pipe.
    """

    md: Floats
    inside: Floats
    outside: Floats
    groove: bool = False


@dataclass(frozen=True, kw_only=True)
class Section:
    """A stretch of one pipe.

    Attributes
    ----------
    pipe : Pipe
        The tube.
    top, bottom : float
        Where it is in the string at its final depth [m md].
    connection : Connection or None
        None where none is named: the body alone is checked.
    as_body : mapping
        Modes in which the connection is accepted as strong as the body, each with the reason.
    derating : Derating or None
        None: yield and modulus do not change with temperature.
    wall_loss : WallLoss or None
        None: no wear and no corrosion.
    """

    pipe: Pipe
    top: float
    bottom: float
    connection: Connection | None = None
    as_body: Mapping[str, str] = field(default_factory=dict)
    derating: Derating | None = None
    wall_loss: WallLoss | None = None


@dataclass(frozen=True, kw_only=True)
class Cement:
    """An interval behind the pipe filled with set cement, ``top`` to ``bottom`` [m md]."""

    top: float
    bottom: float
    slurry: Fluid


@dataclass(frozen=True, kw_only=True)
class Interval:
    """A stretch filled with a fluid at the end of cementing, ``top`` to ``bottom`` [m md]."""

    top: float
    bottom: float
    fluid: Fluid


@dataclass(frozen=True, kw_only=True)
class NextHole:
    """The hole drilled out of a string: to ``bottom`` [m md], with a mud, with or without a riser."""

    bottom: float
    mud: Fluid | None
    riser: bool
    size: float | None = None


@dataclass(frozen=True, kw_only=True)
class CaseRequest:
    """A load case asked for in the well file.

    Attributes
    ----------
    label : str
        Its key in the file; the same case may be asked for twice under two labels.
    case : str
        The name of the load case.
    parameters : mapping
        Values in SI, or objects of this package (a `Fluid`, for example).
    required : mapping
        Required factors that differ from the string's.
    """

    label: str
    case: str
    parameters: Mapping[str, Any] = field(default_factory=dict)
    required: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class AllApplicable:
    """Every load case that applies, asked for at once.

    Attributes
    ----------
    parameters : mapping
        Values in SI by case and parameter, for all cases that take them.
    leave_out : tuple of str
        Names of cases that are not wanted.
    """

    parameters: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    leave_out: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ModelRequest:
    """A strength model asked for by name, with its parameters in SI."""

    name: str
    parameters: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Table:
    """A quantity against true vertical depth, linear between rows and constant beyond them.

    Attributes
    ----------
    tvd : ndarray, (n,)
        Increasing [m].
    value : ndarray, (n,)
        In SI.
    """

    tvd: Floats
    value: Floats

    def __post_init__(self) -> None:
        for name in ("tvd", "value"):
            kept = np.array(getattr(self, name), dtype=np.float64)
            kept.setflags(write=False)
            object.__setattr__(self, name, kept)

    def __call__(self, tvd: ArrayLike) -> Array:
        """Return the value at *tvd* [m], any shape."""
        return np.interp(np.asarray(tvd, dtype=np.float64), self.tvd, self.value)

    def plus(self, rise: float) -> Table:
        """Return the table with *rise* added to every value."""
        return replace(self, value=self.value + rise)


@dataclass(frozen=True, kw_only=True)
class Earth:
    """Pore, fracture and overburden pressure [Pa], undisturbed temperature [K]; None where not given."""

    pore_pressure: Table | None = None
    fracture: Table | None = None
    temperature: Table | None = None
    overburden: Table | None = None


@dataclass(frozen=True, kw_only=True)
class String:
    """A casing string or liner.

    Attributes
    ----------
    name : str
        Its name, also in dotted keys.
    hole_size : float
        Diameter of the hole it is run in [m].
    top, shoe : float
        Where it hangs and where it ends [m md].
    sections : tuple of Section
        From the top down, without gaps.
    cement : tuple of Cement
        From the top down.
    run_in, displaced_with : Fluid
        What stands in the hole while it is run; what displaces the cement.
    riser : bool
        Whether the hole is connected to the drill floor (by a riser, or because the wellhead is at surface).
    required : mapping
        Required factor by mode.
    cases : tuple of CaseRequest
        In the order of the file.
    all_applicable : AllApplicable or None
        Every load case that applies, asked for besides; None: only those of `cases`.
    next_hole : NextHole or None
        The hole drilled below it, which it must survive.
    models : mapping
        Strength model asked for, by mode; the others are the default ones.
    set_temperature : Table or None
        Temperature when the cement set; None means undisturbed.
    spacers, contents : tuple of Interval
        Fluids outside besides the slurries, and inside besides the displacement fluid, at the end of cementing.
    float_collar : float or None
        Where the plug lands [m md]; slurry fills the string below it. None: at the shoe.
    friction_at_set : Friction or None
        Drag that stays in the string when it is cemented; None means none.
    landing : float
        Pull on its free length after the cement set; slack-off negative [N].
    locked : bool
        Whether its hanger is locked down.
    tie_back_to : str or None
        Name of the liner that it is tied back to; it stands in no hole of its own.
    """

    name: str
    hole_size: float
    top: float
    shoe: float
    sections: tuple[Section, ...]
    cement: tuple[Cement, ...]
    run_in: Fluid
    displaced_with: Fluid
    riser: bool
    required: Mapping[str, float]
    cases: tuple[CaseRequest, ...] = ()
    next_hole: NextHole | None = None
    models: Mapping[str, ModelRequest] = field(default_factory=dict)
    triaxial_wall: Literal["minimum", "nominal"] = "minimum"
    set_temperature: Table | None = None
    spacers: tuple[Interval, ...] = ()
    contents: tuple[Interval, ...] = ()
    float_collar: float | None = None
    friction_at_set: Friction | None = None
    landing: float = 0.0
    locked: bool = True
    tie_back_to: str | None = None
    all_applicable: AllApplicable | None = None

    @property
    def length(self) -> float:
        """Length along the path [m]."""
        return self.shoe - self.top


@dataclass(frozen=True, kw_only=True, repr=False)
class Well:
    """A well and its candidate strings; immutable.

    Attributes
    ----------
    name : str
        Its name.
    air_gap : float
        Drill floor above sea level, or above ground on land [m].
    water_depth : float or None
        None on land [m].
    wellhead : {"ground", "deck", "sea floor"}
        What the wellhead stands on.
    wellhead_depth : float
        Below the drill floor [m].
    path : WellPath
        From the drill floor.
    earth : Earth
        Pressures and temperature of the ground.
    fluids : mapping
        By name.
    strings : tuple of String
        From the outermost in.
    cases : tuple of CaseRequest
        Load cases that concern several strings.
    all_applicable : AllApplicable or None
        Every such case that applies, asked for besides; None: only those of `cases`.
    steel : Steel
        Elastic constants.
    assumptions : tuple of str
        Every default that was used in reading the file.
    provenance : mapping
        Hash of the well file and of each catalog used.
    units : {"metric", "field"}
        In which its outputs are shown unless asked otherwise.
    temperatures : mapping
        Tables of temperature [K] by name, for load cases.
    buckling : bool
        Whether the strain of buckled pipe enters the balance of forces.
    tortuosity : float
        Curvature that a drilled hole has besides that of its path [1/m].
    """

    name: str
    air_gap: float
    water_depth: float | None
    wellhead: WellheadKind
    wellhead_depth: float
    path: WellPath
    earth: Earth
    fluids: Mapping[str, Fluid]
    strings: tuple[String, ...]
    cases: tuple[CaseRequest, ...] = ()
    steel: Steel = field(default_factory=Steel)
    assumptions: tuple[str, ...] = ()
    provenance: Mapping[str, Any] = field(default_factory=dict)
    units: UnitSystem = "metric"
    temperatures: Mapping[str, Table] = field(default_factory=dict)
    buckling: bool = True
    all_applicable: AllApplicable | None = None
    tortuosity: float = 0.0

    def __repr__(self) -> str:
        return f"<Well {self.name!r}: {', '.join(string.name for string in self.strings)}>"

    @property
    def sea_floor(self) -> float | None:
        """True vertical depth of the sea floor [m]; None on land."""
        return None if self.water_depth is None else self.air_gap + self.water_depth

    @property
    def subsea(self) -> bool:
        """Whether the wellhead is on the sea floor."""
        return self.wellhead == "sea floor"

    @property
    def sea_water(self) -> Fluid | None:
        """The fluid named ``sea water``; None where the file names none."""
        return self.fluids.get("sea water")

    def with_cases(self, cases: Sequence[CaseRequest]) -> Well:
        """Return the well with *cases* as its load cases of several strings."""
        return replace(self, cases=tuple(cases))

    def string(self, name: str) -> String:
        """Return the string called *name*.

        Raises
        ------
        KeyError
            If there is none.
        """
        for string in self.strings:
            if string.name == name:
                return string
        raise KeyError(f"no string {name!r}; this well has {', '.join(repr(s.name) for s in self.strings)}")
