"""Annuli for the tests: pipes, a brine of constant coefficients, heated closed annuli."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from casingloads.annuli.buildup import BuildUp, TrappedAnnulus, Wall, build_up
from casingloads.annuli.expansion import ConstantExpansion, LiquidLaw
from casingloads.constants import ATMOSPHERE, GRAVITY, INCH
from casingloads.well import Steel

STEEL = Steel()
PIPES = {"5-1/2": (5.5, 0.304), "9-5/8": (9.625, 0.472), "13-3/8": (13.375, 0.514), "20": (20.0, 0.635)}
ALPHA, KAPPA = 4e-4, 4.5e-10
BRINE = ConstantExpansion(
    reference_density=1200.0,
    expansion=ALPHA,
    compressibility=KAPPA,
    reference_pressure=ATMOSPHERE,
    reference_temperature=293.15,
)


def wall(pipe: str, **changes: Any) -> Wall:
    od, thickness = PIPES[pipe]
    radii = {"inside_radius": (od / 2.0 - thickness) * INCH, "outside_radius": od / 2.0 * INCH}
    return Wall(pipe=pipe, **({**radii, "far_change": 0.0} | changes))


def rigid(pipe: str) -> Wall:
    return wall(pipe, moves_with_pressure=False, moves_with_heat=False)


def annulus(
    name: str, inner: Wall, outer: Wall, top: float, bottom: float, heat: float = 50.0, n: int = 40, **rest: Any
) -> TrappedAnnulus:
    """Vertical, full of brine; 0.03 K/m; heated by *heat* all along."""
    md = np.linspace(top, bottom, n)
    then = 280.0 + 0.03 * md
    values: dict[str, Any] = {
        "tvd": md,
        "pressure_then": 1200.0 * GRAVITY * md,
        "temperature_then": then,
        "temperature_now": then + heat,
        "fluid": BRINE,
    }
    return TrappedAnnulus(name=name, md=md, inner=inner, outer=outer, **(values | rest))


def lying(name: str, inner: Wall, outer: Wall, heat: float, length: float = 1000.0, **rest: Any) -> TrappedAnnulus:
    """Without hydrostatics, for closed forms."""
    flat = {"tvd": np.full(3, 500.0), "pressure_then": np.zeros(3)}
    then = {"temperature_then": np.full(3, 300.0), "temperature_now": np.full(3, 300.0 + heat)}
    return annulus(name, inner, outer, 0.0, length, n=3, **({**flat, **then} | rest))


def volume(inner: Wall, outer: Wall, length: float = 1000.0) -> float:
    bore, pipe = np.asarray(outer.inside_radius), np.asarray(inner.outside_radius)
    return float(np.pi * (bore**2 - pipe**2) * length)


def three(heat: float = 50.0, fluid: LiquidLaw = BRINE) -> list[TrappedAnnulus]:
    return [
        annulus("A", wall("5-1/2"), wall("9-5/8"), 100.0, 3500.0, 1.4 * heat, fluid=fluid),
        annulus("B", wall("9-5/8"), wall("13-3/8"), 100.0, 2400.0, heat, fluid=fluid),
        annulus("C", wall("13-3/8"), wall("20"), 100.0, 1300.0, 0.5 * heat, fluid=fluid),
    ]


def rises(annuli: Sequence[TrappedAnnulus], steel: Steel = STEEL) -> list[float]:
    return [result.rise for result in build_up(annuli, steel)]


def one(closed: TrappedAnnulus, steel: Steel = STEEL) -> BuildUp:
    (result,) = build_up([closed], steel)
    return result
