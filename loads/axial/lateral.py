"""A string against the wall of its hole: side force, buckling and the curvature that follows, at each place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..body import Body
from ..pressure.columns import Pressure
from ..stations import Places
from . import buckling
from .contact import Course, side_force
from .hanging import Inputs

_PROBE = 0.5  # half of the height over which a gradient is taken, where a stretch is flatter than that [m]


@dataclass(frozen=True, kw_only=True)
class Lateral:
    """The string across its axis, in one state.

    Attributes
    ----------
    stiffness : ndarray, (..., n)
        ``E I`` [N m2].
    clearance : ndarray, (..., n)
        Radial gap to the hole [m]; 0 where it cannot buckle.
    weight_in_fluids : ndarray, (..., n)
        Per length [N/m].
    course : Course
        How the path runs.
    """

    stiffness: Array
    clearance: Array
    weight_in_fluids: Array
    course: Course

    def side_force(self, effective: Array) -> Array:
        """Return the side force per length of unbuckled pipe under an effective force [N/m]."""
        return side_force(effective, self.weight_in_fluids, self.course)

    def snaking_force(self, effective: Array) -> Array:
        """Return the compression at which pipe that is pressed to the wall as now begins to snake [N]."""
        return buckling.snaking_force(self.stiffness, self.clearance, self.side_force(effective))

    def swing(self, effective: Array) -> Array:
        """Return 0 where the pipe is straight, up to 1 where it snakes, 1 where it is a helix."""
        swing = buckling.angle_of_snaking(-effective, self.snaking_force(effective))
        return np.where(self.clearance > 0.0, swing, 0.0)

    def buckled_curvature(self, effective: Array) -> Array:
        """Return the greatest curvature that buckling adds [1/m]."""
        snaking = self.snaking_force(effective)
        return buckling.buckled_curvature(-effective, snaking, self.stiffness, self.clearance)

    def contact_force(self, effective: Array) -> Array:
        """Return the greatest side force per length, that of a helix added where there is one [N/m]."""
        force = self.side_force(effective)
        wound = (-effective >= buckling.HELIX * self.snaking_force(effective)) & (effective < 0.0)
        helix = buckling.helix_side_force(effective, self.stiffness, self.clearance)
        return force + np.where(wound & (self.clearance > 0.0), helix, 0.0)

    def shortening(self, effective: Array, places: Places, where: Array) -> Array:
        """Return the length that buckling takes up along the stretches marked by *where*, below zero [m].

        Shape ``(..., 1)``.
        """
        upper, lower = slice(0, None, 2), slice(1, None, 2)
        counts = where[..., upper] & ((effective[..., upper] < 0.0) | (effective[..., lower] < 0.0))
        if not np.any(counts):
            return np.zeros((*np.shape(effective)[:-1], 1))
        snaking = self.snaking_force(effective)
        strain = buckling.mean_strain(
            (-effective[..., upper], -effective[..., lower]),
            (snaking[..., upper], snaking[..., lower]),
            self.stiffness[..., upper],
            self.clearance[..., upper],
        )
        step = places.md[..., lower] - places.md[..., upper]
        return np.sum(np.where(counts, strain * step, 0.0), axis=-1, keepdims=True)


def hydrostatic_gradients(places: Places, state: Inputs, pressures: tuple[Pressure, Pressure]) -> tuple[Array, Array]:
    """Return ``dp/dz`` inside and outside along each stretch, at both its ends [Pa/m].

    Parameters
    ----------
    places : Places
        The stretches.
    state : Inputs
        The pressures at their ends.
    pressures : tuple of Pressure
        Inside and outside, asked again around the middle of stretches too flat for a quotient.

    Returns
    -------
    tuple of ndarray, (..., n)
        Inside and outside [Pa/m]; of a fluid that flows, as if it stood (`at_rest`).
    """
    upper, lower = slice(0, None, 2), slice(1, None, 2)
    height = places.tvd[..., lower] - places.tvd[..., upper]
    flat = np.abs(height) < 2.0 * _PROBE
    found = []
    for at_ends, flowing in zip((state.inside, state.outside), pressures, strict=True):
        pressure: Pressure = getattr(flowing, "at_rest", flowing)  # friction is no weight of the fluid
        values = at_ends if pressure is flowing else np.asarray(pressure.at(places))
        rise = values[..., lower] - values[..., upper]
        gradient = np.divide(rise, height, out=np.zeros(np.broadcast_shapes(rise.shape, height.shape)), where=~flat)
        if np.any(flat):
            gradient = np.where(flat, _probed(places, pressure), gradient)
        found.append(np.repeat(gradient, 2, axis=-1))
    return found[0], found[1]


def _probed(places: Places, pressure: Pressure) -> Array:
    upper, lower = slice(0, None, 2), slice(1, None, 2)
    middle = np.repeat(0.5 * (places.tvd[..., upper] + places.tvd[..., lower]), 2, axis=-1)
    ends = np.tile([-_PROBE, _PROBE], places.md.shape[-1] // 2)
    around = Places(md=places.md, tvd=np.maximum(middle + ends, 0.0), middle=places.middle, below=places.below)
    values = np.asarray(pressure.at(around))
    return (values[..., lower] - values[..., upper]) / (around.tvd[..., lower] - around.tvd[..., upper])


def lateral(
    places: Places, body: Body, modulus: float, clearance: Array, along: Course, gradients: tuple[Array, Array]
) -> Lateral:
    """Return the string across its axis.

    Parameters
    ----------
    places, body
        Where, and what pipe is there.
    modulus : float
        Of elasticity [Pa].
    clearance : ndarray, (..., n)
        Radial gap to the hole [m].
    along : Course
        How the path runs.
    gradients : tuple of ndarray, (..., n)
        ``dp/dz`` inside and outside [Pa/m].

    Returns
    -------
    Lateral
    """
    inside, outside = gradients
    weight = body.weight + inside * body.bore_area - outside * body.outer_area
    bore = body.outside_diameter - 2.0 * body.wall
    stiffness = buckling.bending_stiffness(body.outside_diameter, bore, modulus)
    return Lateral(
        stiffness=stiffness + np.zeros(places.md.shape),
        clearance=clearance,
        weight_in_fluids=weight + np.zeros(places.md.shape),
        course=along,
    )
