"""A pressure with a change on top of it along part of the string, such as that which builds up in a closed annulus."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike, Floats
from ..remark import Remark
from ..stations import Places
from ..units import LEVEL, PRESSURE
from .columns import Pressure


@dataclass(frozen=True, kw_only=True, eq=False)
class Raised:
    """A pressure, and what is added to it between two depths.

    Attributes
    ----------
    base : Pressure
        Without the change.
    md : ndarray, (k,)
        Measured depths, increasing [m]; outside them nothing is added.
    change : ndarray, (k,)
        Added there, linear between [Pa].
    reason : str
        Why, for the reader.

    Examples
    --------
    >>> from casingloads.path import WellPath
    >>> from casingloads.pressure.columns import Empty
    >>> from casingloads.stations import places
    >>> shut = Raised(base=Empty(), md=np.array([0.0, 500.0]), change=np.array([2e6, 1e6]), reason="heat")
    >>> shut.at(places(np.array([0.0, 500.0, 900.0]), WellPath.vertical(900.0))).tolist()
    [2000000.0, 1000000.0, 0.0, 0.0]
    """

    base: Pressure
    md: Floats
    change: Floats
    reason: str

    def at(self, places: Places) -> Array:
        """Return the sum at *places*."""
        added = np.interp(places.md, self.md, self.change)
        return self.base.at(places) + np.where(places.within(self.md[0], self.md[-1]), added, 0.0)

    def breaks(self) -> Sequence[ArrayLike]:
        """Return the breaks of the base."""
        return self.base.breaks()

    def jumps(self) -> Sequence[ArrayLike]:
        """Return the jumps of the base, and both ends of the change."""
        return (*self.base.jumps(), float(self.md[0]), float(self.md[-1]))

    def origin(self) -> tuple[Remark, ...]:
        """Return the base's words, and the change."""
        values = {
            "added": (float(self.change[0]), PRESSURE),
            "top": (float(self.md[0]), LEVEL),
            "end": (float(self.md[-1]), LEVEL),
        }
        return (
            *self.base.origin(),
            Remark("{added} added at {top}, down to {end} md", values).after(f"{self.reason}: "),
        )
