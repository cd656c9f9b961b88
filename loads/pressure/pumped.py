"""A pressure with friction in it, which knows what the same fluid is at rest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..arrays import Array, ArrayLike
from ..remark import Remark
from ..stations import Places
from .columns import Pressure


@dataclass(frozen=True, kw_only=True)
class Pumped:
    """The pressure of fluid that is pumped.

    What the fluid weighs across the pipe follows from the slope of its pressure at rest: friction is no weight.

    Attributes
    ----------
    pressure : Pressure
        With its friction.
    at_rest : Pressure
        The same fluid without.
    """

    pressure: Pressure
    at_rest: Pressure

    def at(self, places: Places) -> Array:
        """Return the pressure at *places*, friction in it."""
        return self.pressure.at(places)

    def breaks(self) -> Sequence[ArrayLike]:
        """Return the breaks of the pressure."""
        return self.pressure.breaks()

    def jumps(self) -> Sequence[ArrayLike]:
        """Return the jumps of the pressure."""
        return self.pressure.jumps()

    def origin(self) -> tuple[Remark, ...]:
        """Return the words of the pressure."""
        return self.pressure.origin()
