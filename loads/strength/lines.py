"""Lines of working that several strength models share."""

from __future__ import annotations

import numpy as np

from ..units import DIAMETER, PRESSURE, STRESS
from .check import Line, Loading, Tube


def tube_lines(tube: Tube) -> tuple[Line, ...]:
    """Return diameter, wall and yield strength; what is lost, and how hot the yield is, only where that counts."""
    lines = [
        Line(symbol="D", meaning="outside diameter", value=tube.outside_diameter, dimension=DIAMETER),
        Line(symbol="t", meaning="nominal wall", value=tube.wall, dimension=DIAMETER),
    ]
    if np.any(np.asarray(tube.loss_inside) > 0.0) or np.any(np.asarray(tube.loss_outside) > 0.0):
        lost = np.asarray(tube.loss_inside) + np.asarray(tube.loss_outside)
        lines += [
            Line(symbol="a", meaning="wall lost", value=lost, dimension=DIAMETER),
            Line(symbol="D'", meaning="diameter left, in the place of D", value=tube.left_diameter, dimension=DIAMETER),
            Line(
                symbol="t'",
                meaning="wall left, in the place of t",
                value=tube.left_wall,
                dimension=DIAMETER,
                formula="t' = t - a",
            ),
        ]
    lines.append(Line(symbol="Y", meaning="minimum yield", value=tube.specified_yield, dimension=STRESS))
    if np.any(np.asarray(tube.yield_factor) != 1.0):
        lines += [
            Line(symbol="k_T", meaning="yield at this temperature over that at room", value=tube.yield_factor),
            Line(
                symbol="Y_T",
                meaning="yield at this temperature, in the place of Y",
                value=tube.yield_strength,
                dimension=STRESS,
            ),
        ]
    return tuple(lines)


def tolerance_line(tube: Tube) -> Line:
    """Return the minimum wall over the nominal one, as it is left."""
    return Line(symbol="k", meaning="minimum wall over nominal wall", value=tube.left_wall_factor)


def pressure_lines(loading: Loading) -> tuple[Line, ...]:
    """Return inside and outside pressure."""
    return (
        Line(symbol="p_i", meaning="inside pressure", value=loading.internal_pressure, dimension=PRESSURE),
        Line(symbol="p_o", meaning="outside pressure", value=loading.external_pressure, dimension=PRESSURE),
    )
