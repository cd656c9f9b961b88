"""Tension and compression: yield of the nominal area, with or without the bending of the path."""

from __future__ import annotations

from ..units import FORCE, STRESS
from .check import SMALL_FORCE, Check, Line, Loading, Tube
from .lines import tube_lines
from .model import StrengthModel, strength_model

_SOURCE = "API TR 5C3 (ISO/TR 10400) clause 6, pipe-body axial yield"


def _axial(tube: Tube, loading: Loading, sign: float, word: str, *, with_bending: bool = False) -> Check:
    area = tube.steel_area
    rating = area * tube.yield_strength
    force = Line(symbol="F_a", meaning="true axial force, tension positive", value=loading.axial_force, dimension=FORCE)
    lines = [
        *tube_lines(tube),
        Line(symbol="F_y", meaning="axial yield, A the steel area", value=rating, dimension=FORCE, formula="F_y = A Y"),
        force,
    ]
    demand, formula = sign * loading.axial_force, "F = F_a" if sign > 0.0 else "F = -F_a"
    if with_bending:
        demand, formula = demand + loading.bending_stress * area, f"{formula} + A s_b"
        lines.append(Line(symbol="s_b", meaning="bending stress", value=loading.bending_stress, dimension=STRESS))
    lines.append(Line(symbol="F", meaning=word, value=demand, dimension=FORCE, formula=formula))
    return Check(
        demand=demand,
        capacity=rating,
        loaded=demand > SMALL_FORCE,
        dimension=FORCE,
        working=tuple(lines),
    )


@strength_model(mode="tension", name="axial-yield", source=_SOURCE)
def tension(tube: Tube, loading: Loading) -> Check:
    """Axial yield in tension; bending is left to the triaxial check."""
    return _axial(tube, loading, 1.0, "tension")


@strength_model(mode="tension", name="axial-yield-with-bending", source=f"{_SOURCE}, plus dogleg bending")
def tension_with_bending(tube: Tube, loading: Loading) -> Check:
    """Axial yield of the fibre that is pulled most, in tension and bending."""
    return _axial(tube, loading, 1.0, "tension with bending", with_bending=True)


@strength_model(mode="compression", name="axial-yield", source=_SOURCE)
def compression(tube: Tube, loading: Loading) -> Check:
    """Axial yield in compression: says nothing of buckling, and is not the whole story under pressure."""
    return _axial(tube, loading, -1.0, "compression")


@strength_model(mode="compression", name="axial-yield-with-bending", source=f"{_SOURCE}, plus dogleg bending")
def compression_with_bending(tube: Tube, loading: Loading) -> Check:
    """Axial yield of the fibre that is pushed most, in compression and bending."""
    return _axial(tube, loading, -1.0, "compression with bending", with_bending=True)


MODELS: tuple[StrengthModel, ...] = (tension, tension_with_bending, compression, compression_with_bending)
