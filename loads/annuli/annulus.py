"""A closed annulus full of liquid: its walls, its liquid, and what may relieve it.

Depths named ``md`` are measured along the path, ``tvd`` vertically, both from the drill floor [m]. Pressures are
gauge [Pa]. ``then`` is when the annulus was closed, ``now`` when it is hot. Arrays run along the annulus's own
depths, from the top down; where something jumps (a change of pipe) the depth stands twice, as the end of the stretch
above and of the stretch below.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from ..arrays import ArrayLike, Floats
from ..constants import ATMOSPHERE
from ..strength.geometry import checked
from .expansion import Foam, GasCap, LiquidLaw

SideName = Literal["inner", "outer"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Wall:
    """A pipe as the wall of an annulus. Each array is a scalar or has shape ``(n,)``, along the annulus.

    Attributes
    ----------
    pipe : str or sequence of str
        Its name. Two annuli with a pipe of the same name at the same depth share it, and each feels the other.
    inside_radius, outside_radius : array_like
        As made [m].
    far_change : array_like or None
        Change of pressure on its side away from the annulus, where no annulus of the same calculation is [Pa]. None
        where it has no part: other annuli all along it, or a wall that pressure does not move.
    temperature_rise : array_like or None
        Of the steel [K]; None: that of the liquid beside it.
    held : array_like of bool
        Held along its axis, by hanger and cement: no axial strain. False: free to grow, its axial force unchanged.
    moves_with_pressure, moves_with_heat : array_like of bool
        False: pressure, or heat, does not move it. A pipe cemented to rock lies between a pipe that pressure moves
        as if it stood alone and one that it does not move; both False is the bound of a rigid wall.
    """

    pipe: str | tuple[str, ...] | list[str]
    inside_radius: ArrayLike
    outside_radius: ArrayLike
    far_change: ArrayLike | None = None
    temperature_rise: ArrayLike | None = None
    held: ArrayLike = True
    moves_with_pressure: ArrayLike = True
    moves_with_heat: ArrayLike = True


@dataclass(frozen=True, kw_only=True)
class BurstDisc:
    """A disc in a wall of the annulus that opens once the annulus presses enough more than what is beyond it.

    Attributes
    ----------
    md : float
        Where it is [m].
    side : {"inner", "outer"}
        In which wall.
    opens_at : float
        Pressure of the annulus less that beyond, at its depth, at which it opens [Pa].
    far_pressure : float or None
        Pressure beyond it all along [Pa]; None where another annulus of the same calculation is beyond.
    """

    md: float
    side: SideName
    opens_at: float
    far_pressure: float | None = None


@dataclass(frozen=True, kw_only=True)
class OpenShoe:
    """Open hole below the outer pipe's shoe at *md* [m], which takes liquid at its fracture *pressure* [Pa]."""

    md: float
    pressure: float


@dataclass(frozen=True, kw_only=True, eq=False)
class TrappedAnnulus:
    """A closed annulus.

    Attributes
    ----------
    name : str
        Its name.
    md, tvd : ndarray, (n,)
        From its top to its bottom [m].
    inner, outer : Wall
        The pipe inside it, and the pipe around it.
    pressure_then : ndarray, (n,)
        Before the heating [Pa].
    temperature_then, temperature_now : ndarray, (n,)
        Of the liquid [K].
    fluid : LiquidLaw
        The liquid.
    cushion : GasCap or Foam, optional
        What else is in it.
    bleeds_to : float, optional
        Its valve at the wellhead, that is at its top, lets out what exceeds this pressure [Pa].
    open_shoe : OpenShoe, optional
        Where it loses liquid to the open hole.
    discs : tuple of BurstDisc
        In its walls.

    Raises
    ------
    ValueError
        If an array has the wrong shape or a number makes no sense; the message names annulus and argument.
    """

    name: str
    md: Floats
    tvd: Floats
    inner: Wall
    outer: Wall
    pressure_then: Floats
    temperature_then: Floats
    temperature_now: Floats
    fluid: LiquidLaw
    cushion: GasCap | Foam | None = None
    bleeds_to: float | None = None
    open_shoe: OpenShoe | None = None
    discs: tuple[BurstDisc, ...] = field(default=())

    def __post_init__(self) -> None:
        md = checked(f"annulus {self.name!r}: md", self.md, "m")
        if md.ndim != 1 or md.size < 2 or np.any(np.diff(md) < 0.0) or md[0] >= md[-1]:
            raise ValueError(f"annulus {self.name!r}: md must be depths from the top down, at least two, got {md}")
        object.__setattr__(self, "md", md)
        for name, unit, above in (
            ("tvd", "m", -np.inf),
            ("pressure_then", "Pa", -ATMOSPHERE),
            ("temperature_then", "K", 0.0),
            ("temperature_now", "K", 0.0),
        ):
            object.__setattr__(self, name, self.along(name, getattr(self, name), unit, above=above))
        self._check_pipes()
        self._check_reliefs()

    def _check_pipes(self) -> None:
        for side in ("inner", "outer"):
            wall: Wall = getattr(self, side)
            inside = self.along(f"{side}.inside_radius", wall.inside_radius, "m", above=0.0)
            if np.any(inside >= self.along(f"{side}.outside_radius", wall.outside_radius, "m")):
                raise ValueError(f"annulus {self.name!r}: {side}.inside_radius must be less than its outside_radius")
        gap = self.along("", self.outer.inside_radius) - self.along("", self.inner.outside_radius)
        if np.any(gap <= 0.0):
            raise ValueError(
                f"annulus {self.name!r}: the pipes overlap at md {self.md[gap <= 0.0][0]:g} m: "
                "need inner.outside_radius < outer.inside_radius"
            )

    def _check_reliefs(self) -> None:
        top, bottom = self.md[0], self.md[-1]
        for what, depth in self.places():
            if not top <= depth <= bottom:
                raise ValueError(
                    f"annulus {self.name!r}: {what} at md {depth:g} m must be within it, {top:g} to {bottom:g} m"
                )
        for disc in self.discs:
            checked(f"annulus {self.name!r}: opens_at of a disc", disc.opens_at, "Pa", above=0.0)
            if disc.far_pressure is not None:
                checked(f"annulus {self.name!r}: far_pressure of a disc", disc.far_pressure, "Pa", above=-ATMOSPHERE)
        if self.open_shoe is not None:
            checked(f"annulus {self.name!r}: pressure of the open shoe", self.open_shoe.pressure, "Pa", above=0.0)
        if self.bleeds_to is not None:
            checked(f"annulus {self.name!r}: bleeds_to", self.bleeds_to, "Pa", least=0.0)

    def along(self, name: str, value: ArrayLike, unit: str = "", *, above: float = -np.inf) -> Floats:
        """Return numbers along the annulus, shape ``(n,)``, or say which argument has the wrong ones."""
        array = checked(f"annulus {self.name!r}: {name}", value, unit, above=above)
        if array.shape not in ((), (1,), self.md.shape):
            raise ValueError(
                f"annulus {self.name!r}: {name} must be a number or have shape {self.md.shape}, got {array.shape}"
            )
        return np.broadcast_to(array, self.md.shape)

    def places(self) -> Iterator[tuple[str, float]]:
        """Return what is at one depth in it, each with its measured depth [m]."""
        if self.open_shoe is not None:
            yield "open shoe", self.open_shoe.md
        if isinstance(self.cushion, Foam) and self.cushion.md is not None:
            yield "foam", self.cushion.md
        for disc in self.discs:
            yield "disc", disc.md
