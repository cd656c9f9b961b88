"""What a strength model says of a string: the load, what the pipe can bear, the factor, and how it came about.

A rating alone is not enough: the older collapse form has a load of its own, and the most stressed point of the wall
is part of the answer.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, Protocol

import numpy as np

from ..arrays import Array, Bools
from ..units import FRACTION, Dimension

Mode = Literal["burst", "collapse", "tension", "compression", "triaxial"]

SMALL_PRESSURE = 1e4
"""Difference of pressure below which there is no burst or collapse load [Pa]."""
SMALL_FORCE = 1e3
"""Force below which there is no tension or compression [N]."""
SMALL_STRESS = 1e5
"""Equivalent stress below which there is no triaxial load [Pa]."""


@dataclass(frozen=True, kw_only=True)
class Tube:
    """The pipe at each place: diameter, nominal wall [m], minimum over nominal wall [-], yield at temperature [Pa]."""

    outside_diameter: Array
    wall: Array
    wall_factor: Array
    yield_strength: Array


@dataclass(frozen=True, kw_only=True)
class Loading:
    """What acts at each place.

    Attributes
    ----------
    internal_pressure, external_pressure : ndarray, (..., n)
        Gauge [Pa].
    axial_force : ndarray, (..., n)
        True force, tension positive [N].
    bending_stress : ndarray, (..., n)
        Magnitude at the outer fibre [Pa].
    triaxial_wall : {"minimum", "nominal"}
        The wall that the pressure stresses of the triaxial check use.
    """

    internal_pressure: Array
    external_pressure: Array
    axial_force: Array
    bending_stress: Array
    triaxial_wall: Literal["minimum", "nominal"] = "minimum"


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the working: a symbol, what it means, its value at each place and how it was found.

    Attributes
    ----------
    symbol, meaning : str
        As in the source, and in words.
    value : ndarray
        In SI, or names.
    dimension : Dimension
        How to show it.
    formula : str or ndarray of str
        With the symbols of the lines above; empty for what was put in.
    """

    symbol: str
    meaning: str
    value: Array
    dimension: Dimension = FRACTION
    formula: Array | str = ""


@dataclass(frozen=True, kw_only=True)
class Caution:
    """A doubt that travels with a number: text, and where it applies."""

    text: str
    where: Bools


@dataclass(frozen=True, kw_only=True)
class Check:
    """Load against capacity at each place.

    Attributes
    ----------
    demand, capacity : ndarray, (..., n)
        In the same unit.
    loaded : ndarray of bool, (..., n)
        Whether there is a load worth a factor.
    dimension : Dimension
        Of demand and capacity.
    working : tuple of Line
        In the order of the calculation.
    cautions : tuple of Caution
        Outside a formula's published range, for example.
    """

    demand: Array
    capacity: Array
    loaded: Bools
    dimension: Dimension
    working: tuple[Line, ...] = ()
    cautions: tuple[Caution, ...] = field(default=())

    @property
    def factor(self) -> Array:
        """Capacity over demand; infinite where there is no load (never shown)."""
        return np.divide(
            self.capacity,
            self.demand,
            out=np.full(np.broadcast_shapes(np.shape(self.capacity), np.shape(self.demand)), np.inf),
            where=self.loaded,
        )


class StrengthModel(Protocol):
    """A strength model: a mode, a name to ask for it by, a source, and a check."""

    @property
    def mode(self) -> Mode:
        """Which mode it checks."""

    @property
    def name(self) -> str:
        """Its name in a well file."""

    @property
    def source(self) -> str:
        """Standard and clause, or textbook."""

    def check(self, tube: Tube, loading: Loading) -> Check:
        """Return the check at each place."""
