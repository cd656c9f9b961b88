"""A row of factors: one section, in one step of one case, in one mode."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

Status = Literal["meets", "below", "no-load", "not-evaluated"]


@dataclass(frozen=True, kw_only=True)
class Row:
    """The lowest factor of one section, in one step of one case, in one mode; SI, depths from the drill floor.

    ``section`` counts from one at the top. What has no value is None.
    """

    string: str
    section: int
    case: str
    step: str
    mode: str
    required: float
    status: Status
    reason: str = ""
    factor: float | None = None
    load: float | None = None
    rating: float | None = None
    governs: str | None = None
    md: float | None = None
    tvd: float | None = None
    side: str | None = None
    place: int | None = None
    warnings: tuple[str, ...] = ()

    def but(self, **changes: Any) -> Row:
        """Return the row with some values changed."""
        return replace(self, **changes)

    @property
    def margin(self) -> float:
        """Factor over what is required; infinite where there is no factor."""
        return np.inf if self.factor is None else self.factor / self.required
