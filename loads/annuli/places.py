"""Annuli brought onto places common to all: the mass of each, its pressure, and how its walls move.

The places are both ends of every stretch between two depths at which any annulus has a point (as `stations.Places`),
so that what two annuli share is looked up, not searched, and nothing jumps within a stretch.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from ..arrays import Array, Bools, Floats, Ints
from ..constants import ATMOSPHERE, GRAVITY
from ..errors import CannotEvaluate
from ..well import Steel
from .annulus import SideName, TrappedAnnulus, Wall
from .expansion import Foam, radial_displacement

SWEEPS = 3
"""Rounds of hydrostatics in which density and pressure follow each other. Each takes off a factor of compressibility
times hydrostatic pressure, 0.01 to 0.05; what is left is below 100 Pa."""
_SIDES: Final[tuple[SideName, SideName]] = ("inner", "outer")
_SAME_RADIUS = 1e-6  # radii nearer than this are one [m]


@dataclass(frozen=True, kw_only=True, eq=False)
class Surface:
    """A wall's surface towards the annulus at its places: where it is, and how far it moves outward.

    *near* and *far* are displacements per pressure on this side and beyond [m/Pa], *heat* that of the whole warming
    [m], *known* the change of pressure beyond where no annulus is [Pa], *neighbour* which annulus is there, else -1.
    """

    radius: Floats
    near: Floats
    far: Floats
    heat: Floats
    known: Floats
    neighbour: Ints

    def moved(self, own: Array, changes: Floats, share: float) -> tuple[Array, Array]:
        """Return its displacement by heat alone, and by all, from the changes of pressure here and in all annuli."""
        there = changes[self.neighbour, np.arange(changes.shape[-1])]
        beyond = np.where(self.neighbour >= 0, there, share * self.known)
        by_heat = share * self.heat
        return by_heat, by_heat + self.near * own + self.far * beyond


@dataclass(frozen=True, kw_only=True, eq=False)
class Now:
    """An annulus at some share of the heating: absolute pressure, its change, and so on at each place."""

    change: Floats
    pressure: Floats
    temperature: Floats
    density: Floats
    inner: tuple[Array, Array]
    outer: tuple[Array, Array]
    area: Floats
    cushion: float
    mass: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Member:
    """An annulus at its places; *span* is which of the common places they are."""

    annulus: TrappedAnnulus
    span: slice
    md: Floats
    tvd: Floats
    pressure_then: Floats
    temperature_then: Floats
    warming: Floats
    inner: Surface
    outer: Surface

    @cached_property
    def weight(self) -> Floats:
        """Length that each place stands for, half its stretch [m]."""
        return np.repeat(0.5 * (self.md[1::2] - self.md[::2]), 2)

    @cached_property
    def area_then(self) -> Floats:
        """Cross-section of the annulus [m2]."""
        return np.asarray(np.pi * (self.outer.radius**2 - self.inner.radius**2))

    @cached_property
    def density_then(self) -> Floats:
        """Density of the liquid [kg/m3]."""
        return np.asarray(self.density(self.pressure_then, self.temperature_then))

    @cached_property
    def cushion_place(self) -> int:
        """Where the pressure on gas cap or foam is taken."""
        cushion = self.annulus.cushion
        return self.place(cushion.md) if isinstance(cushion, Foam) and cushion.md is not None else 0

    @cached_property
    def cushion_then(self) -> float:
        """Volume of gas cap or foam [m3]."""
        return 0.0 if self.annulus.cushion is None else self.annulus.cushion.volume

    @cached_property
    def mass_then(self) -> float:
        """Mass of the liquid [kg]."""
        mass = float(self.weight @ (self.density_then * self.area_then))
        left = mass - float(self.density_then[self.cushion_place]) * self.cushion_then
        if left <= 0.0:
            volume = float(self.weight @ self.area_then)
            raise ValueError(
                f"annulus {self.annulus.name!r}: the cushion's volume must be less than its {volume:g} m3, "
                f"got {self.cushion_then:g} m3"
            )
        return left

    def place(self, md: float) -> int:
        """Return which of its places is at a depth that has a point."""
        return int(np.searchsorted(self.md, md))

    def density(self, pressure: Array, temperature: Array) -> Array:
        """Return the liquid's density [kg/m3] at absolute pressure [Pa] and temperature [K], or refuse."""
        if np.min(pressure) <= 0.0:
            raise CannotEvaluate(
                f"annulus {self.annulus.name!r}: the pressure would fall to zero absolute: the liquid boils or its "
                "level falls; only annuli full of liquid are worked out"
            )
        try:
            return self.annulus.fluid.density(pressure, temperature)
        except ValueError as error:
            raise CannotEvaluate(f"annulus {self.annulus.name!r}: {error}") from error

    def change(self, rise: float, share: float) -> Floats:
        """Return the change of pressure at each place, *rise* at the top and what the density adds below [Pa]."""
        temperature = self.temperature_then + share * self.warming
        step = 0.5 * GRAVITY * np.diff(self.tvd)
        change = np.full_like(self.tvd, rise)
        for _ in range(SWEEPS):
            lighter = self.density(self.pressure_then + change, temperature) - self.density_then
            change[1:] = rise + np.cumsum(step * (lighter[1:] + lighter[:-1]))
        return change

    def now(self, own: Floats, changes: Floats, share: float) -> Now:
        """Return it at a share of the heating, under its *own* change of pressure and the *changes* of all annuli.

        *own* has shape (n,), *changes* (annuli, n), both at its places.
        """
        pressure, temperature = self.pressure_then + own, self.temperature_then + share * self.warming
        density = self.density(pressure, temperature)
        inner, outer = self.inner.moved(own, changes, share), self.outer.moved(own, changes, share)
        area = np.pi * ((self.outer.radius + outer[1]) ** 2 - (self.inner.radius + inner[1]) ** 2)
        at, cushion = self.cushion_place, 0.0
        if self.annulus.cushion is not None:
            then = float(self.pressure_then[at]), float(self.temperature_then[at])
            cushion = self.annulus.cushion.volume_now(*then, float(pressure[at]), float(temperature[at]))
        return Now(
            change=own,
            pressure=pressure,
            temperature=temperature,
            density=density,
            inner=inner,
            outer=outer,
            area=area,
            cushion=cushion,
            mass=float(self.weight @ (density * area)) - float(density[at]) * cushion,
        )


def members_of(annuli: Sequence[TrappedAnnulus], steel: Steel) -> tuple[Member, ...]:
    """Return the annuli on places common to all of them.

    Parameters
    ----------
    annuli : sequence of TrappedAnnulus
        In any order.
    steel : Steel
        Of every pipe.

    Returns
    -------
    tuple of Member
        In the same order.

    Raises
    ------
    ValueError
        If two annuli claim the same side of a pipe or give it two radii, or if the change of pressure beyond a wall is
        missing.
    """
    points = np.unique(np.concatenate([part for a in annuli for part in (a.md, [md for _, md in a.places()])]))
    places = np.repeat(points, 2)[1:-1]
    middle = np.repeat(0.5 * (points[1:] + points[:-1]), 2)
    grids = [_Grid(annulus, places, middle) for annulus in annuli]
    owners: dict[SideName, dict[str, Ints]] = {side: _owners(grids, side, places.size) for side in _SIDES}
    return tuple(_member(grid, grids, owners, steel) for grid in grids)


class _Grid:
    """Carries what an annulus has along its own depths to the common places that it spans."""

    def __init__(self, annulus: TrappedAnnulus, places: Floats, middle: Floats) -> None:
        self.annulus = annulus
        own = annulus.md
        inside = np.flatnonzero((middle > own[0]) & (middle < own[-1]))
        self.span = slice(int(inside[0]), int(inside[-1]) + 1)
        self.md = places[self.span]
        self.above = np.searchsorted(own, middle[self.span], side="right") - 1
        self.way = (self.md - own[self.above]) / (own[self.above + 1] - own[self.above])

    def linear(self, values: Floats) -> Floats:
        """Return numbers, linear between its own depths."""
        return np.asarray(values[self.above] + self.way * (values[self.above + 1] - values[self.above]))

    def stepped(self, name: str, values: object) -> Array:
        """Return what belongs to a whole stretch, a name or a flag."""
        array = np.asarray(values)
        own = self.annulus.md
        if array.shape not in ((), (1,), own.shape):
            raise ValueError(f"{self._where(name)} must be single or have shape {own.shape}, got {array.shape}")
        array = np.broadcast_to(array, own.shape)
        changes = array[self.above] != array[self.above + 1]
        if np.any(changes):
            at = own[self.above[changes][0]]
            raise ValueError(f"{self._where(name)} changes below md {at:g} m: give the depth of the change twice")
        return array[self.above]

    def _where(self, name: str) -> str:
        return f"annulus {self.annulus.name!r}: {name}"


def _pipes(grid: _Grid, side: SideName) -> Array:
    """Return the name of the pipe on one side at each place."""
    wall: Wall = getattr(grid.annulus, side)
    return grid.stepped(f"{side}.pipe", np.asarray(wall.pipe, dtype=object))


def _owners(grids: Sequence[_Grid], side: SideName, count: int) -> dict[str, Ints]:
    """Return which annulus has a pipe as its wall on one *side*, -1 for none, at each of *count* places, by pipe."""
    owners: dict[str, Ints] = {}
    for k, grid in enumerate(grids):
        pipes = _pipes(grid, side)
        for pipe in dict.fromkeys(pipes):
            owner = owners.setdefault(str(pipe), np.full(count, -1))[grid.span]
            here = pipes == pipe
            if np.any(owner[here] >= 0):
                other = grids[int(owner[here].max())].annulus.name
                raise ValueError(
                    f"annuli {other!r} and {grid.annulus.name!r} both have {pipe!r} as {side} wall at a depth"
                )
            owner[here] = k
    return owners


def _member(grid: _Grid, grids: Sequence[_Grid], owners: dict[SideName, dict[str, Ints]], steel: Steel) -> Member:
    annulus = grid.annulus
    return Member(
        annulus=annulus,
        span=grid.span,
        md=grid.md,
        tvd=grid.linear(annulus.tvd),
        pressure_then=grid.linear(annulus.pressure_then) + ATMOSPHERE,
        temperature_then=grid.linear(annulus.temperature_then),
        warming=grid.linear(annulus.temperature_now - annulus.temperature_then),
        inner=_surface(grid, grids, "inner", owners["outer"], steel),
        outer=_surface(grid, grids, "outer", owners["inner"], steel),
    )


def _surface(grid: _Grid, grids: Sequence[_Grid], side: SideName, beyond: dict[str, Ints], steel: Steel) -> Surface:
    """Return one wall; *beyond* says which annulus has a pipe on its other side."""
    wall: Wall = getattr(grid.annulus, side)
    pipes = _pipes(grid, side)
    neighbour = np.full(pipes.size, -1)
    for pipe in dict.fromkeys(pipes):
        if str(pipe) in beyond:
            neighbour = np.where(pipes == pipe, beyond[str(pipe)][grid.span], neighbour)
    yields = grid.stepped(f"{side}.moves_with_pressure", wall.moves_with_pressure).astype(bool)
    warms = grid.stepped(f"{side}.moves_with_heat", wall.moves_with_heat).astype(bool)
    held = grid.stepped(f"{side}.held", wall.held).astype(bool)
    a, b = _radii(grid, side)
    _same_radii(grid, grids, side, neighbour, (a, b))
    own = side == "outer"  # the annulus is inside its outer pipe
    radius = a if own else b
    rise = grid.annulus.temperature_now - grid.annulus.temperature_then
    if wall.temperature_rise is not None:
        rise = grid.annulus.along(f"{side}.temperature_rise", wall.temperature_rise, "K")
    inside, outside = (radial_displacement(a, b, radius, *p, 0.0, steel, held) for p in ((1.0, 0.0), (0.0, 1.0)))
    near, far = (inside, outside) if own else (outside, inside)
    heat = radial_displacement(a, b, radius, 0.0, 0.0, grid.linear(rise), steel, held)
    return Surface(
        radius=radius,
        near=np.where(yields, near, 0.0),
        far=np.where(yields, far, 0.0),
        heat=np.where(warms, heat, 0.0),
        known=_known(grid, side, wall, yields & (neighbour < 0)),
        neighbour=neighbour,
    )


def _radii(grid: _Grid, side: SideName) -> tuple[Floats, Floats]:
    wall: Wall = getattr(grid.annulus, side)
    inside = grid.annulus.along(f"{side}.inside_radius", wall.inside_radius, "m")
    outside = grid.annulus.along(f"{side}.outside_radius", wall.outside_radius, "m")
    return grid.linear(inside), grid.linear(outside)


def _same_radii(
    grid: _Grid, grids: Sequence[_Grid], side: SideName, neighbour: Ints, radii: tuple[Floats, Floats]
) -> None:
    """Refuse a pipe that two annuli give different radii."""
    for k in set(neighbour.tolist()) - {-1}:
        other = grids[k]
        both = np.flatnonzero(neighbour == k)
        there = both + grid.span.start - other.span.start
        for mine, its in zip(radii, _radii(other, "inner" if side == "outer" else "outer"), strict=True):
            apart = np.abs(mine[both] - its[there]) > _SAME_RADIUS
            if np.any(apart):
                at = grid.md[both[apart][0]]
                raise ValueError(
                    f"annuli {grid.annulus.name!r} and {other.annulus.name!r} give the pipe between them two radii at "
                    f"md {at:g} m, {mine[both][apart][0]:g} and {its[there][apart][0]:g} m"
                )


def _known(grid: _Grid, side: SideName, wall: Wall, needed: Bools) -> Floats:
    """Return the change of pressure beyond a wall where no annulus is."""
    if wall.far_change is not None:
        return grid.linear(grid.annulus.along(f"{side}.far_change", wall.far_change, "Pa"))
    if np.any(needed):
        raise ValueError(
            f"annulus {grid.annulus.name!r}: {side}.far_change is missing: at md {grid.md[needed][0]:g} m no other "
            "annulus is beyond the wall, and pressure moves it"
        )
    return np.zeros(needed.size)
