"""What a strength model says of a string: the load, what the pipe can bear, the factor, and how it came about.

A rating alone is not enough: the older collapse form has a load of its own, and the most stressed point of the wall
is part of the answer.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

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
    """The pipe at each place, as it is left by wear and as warm as it is.

    Wear and corrosion come off the nominal wall and off the minimum wall alike. A loss all around the pipe thins it:
    from inside the bore grows, from outside the diameter shrinks. A groove is local: what is left at its bottom stands
    for the whole wall under pressure (cautious, above all for collapse), while the area that carries force is kept.

    Attributes
    ----------
    outside_diameter, wall : ndarray, (..., n)
        Nominal [m].
    wall_factor : ndarray, (..., n)
        Minimum over nominal wall as delivered [-].
    specified_yield : ndarray, (..., n)
        Minimum yield at room temperature [Pa].
    yield_factor : array_like
        Yield at the local temperature over that at room temperature [-].
    modulus_factor : array_like
        Modulus at the local temperature over `STEEL_MODULUS` [-].
    tensile_strength : ndarray or None
        Minimum tensile strength [Pa]; None where it is not known for all of the pipe.
    loss_inside, loss_outside : array_like
        Wall lost [m].
    groove : array_like of bool
        Whether the loss is a groove.
    """

    outside_diameter: Array
    wall: Array
    wall_factor: Array
    specified_yield: Array
    yield_factor: Array = 1.0
    modulus_factor: Array = 1.0
    tensile_strength: Array | None = None
    loss_inside: Array = 0.0
    loss_outside: Array = 0.0
    groove: Array = False

    @property
    def yield_strength(self) -> Array:
        """Minimum yield at the local temperature [Pa]."""
        return self.specified_yield * self.yield_factor

    @property
    def left_diameter(self) -> Array:
        """Outside diameter as it is left [m]; a groove leaves it."""
        return self.outside_diameter - 2.0 * self._all_round * self.loss_outside

    @property
    def left_wall(self) -> Array:
        """Nominal wall less what is lost [m]."""
        return self.wall - self.loss_inside - self.loss_outside

    @property
    def left_wall_factor(self) -> Array:
        """Minimum over nominal wall, what is lost taken off both [-]."""
        return 1.0 - (1.0 - self.wall_factor) * self.wall / self.left_wall

    @property
    def _all_round(self) -> Array:
        """1 where the loss is all around the pipe, 0 where it is a groove."""
        return 1.0 - np.asarray(self.groove, dtype=np.float64)

    @property
    def steel_area(self) -> Array:
        """Area that carries the axial force [m2]: the nominal one, or what a loss all around leaves of it."""
        wall = self.wall - self._all_round * (self.loss_inside + self.loss_outside)
        return np.pi * (self.left_diameter - wall) * wall


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
