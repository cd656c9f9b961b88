"""The built-in strength models of the pipe body; they register through the same hook as a stranger's."""

from __future__ import annotations

from collections.abc import Sequence

import pluggy

from ..strength import axial_models, burst_models, collapse_models, triaxial_models
from .model import StrengthModel

DEFAULT_MODELS: dict[str, str] = {
    "burst": "internal-yield",
    "collapse": "four-regime",
    "tension": "axial-yield",
    "compression": "axial-yield",
    "triaxial": "von-mises",
}


@pluggy.HookimplMarker("casingloads")
def casingloads_strength_models() -> Sequence[StrengthModel]:
    """Offer the built-in models."""
    return (*burst_models.MODELS, *collapse_models.MODELS, *axial_models.MODELS, *triaxial_models.MODELS)
