"""The pipe along a string as arrays, one value at each place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .arrays import Array, Ints, Sampled
from .constants import GRAVITY
from .stations import Places
from .well import String


@dataclass(frozen=True, kw_only=True)
class Body:
    """What the pipe is at each place.

    Attributes
    ----------
    section : ndarray of int, (..., n)
        Index of the section in the string.
    outside_diameter, wall : ndarray, (..., n)
        Nominal [m].
    wall_factor : ndarray, (..., n)
        Minimum over nominal wall [-].
    yield_strength : ndarray, (..., n)
        Specified minimum yield [Pa].
    weight : ndarray, (..., n)
        Line weight as a force per length [N/m].
    steel_area, bore_area, outer_area : ndarray, (..., n)
        From nominal diameter and wall [m2].
    """

    section: Ints
    outside_diameter: Array
    wall: Array
    wall_factor: Array
    yield_strength: Array
    weight: Array
    steel_area: Array
    bore_area: Array
    outer_area: Array


def body_along(string: String, places: Places, raised_by: float = 0.0) -> Body:
    """Return the pipe of *string* at *places*.

    Parameters
    ----------
    string : String
        Its sections hold for the string at its final depth.
    places : Places
        Where it is now.
    raised_by : float
        How much higher than its final depth the string hangs [m].

    Returns
    -------
    Body
    """
    bottoms = np.array([section.bottom for section in string.sections]) - raised_by
    index = np.searchsorted(bottoms, places.middle).clip(max=len(bottoms) - 1)
    pipes = [section.pipe for section in string.sections]
    diameter = _along([pipe.outside_diameter for pipe in pipes], index)
    bore = _along([pipe.inside_diameter for pipe in pipes], index)
    outer_area, bore_area = 0.25 * np.pi * diameter**2, 0.25 * np.pi * bore**2
    return Body(
        section=index,
        outside_diameter=diameter,
        wall=_along([pipe.wall for pipe in pipes], index),
        wall_factor=_along([pipe.wall_factor for pipe in pipes], index),
        yield_strength=_along([pipe.yield_strength for pipe in pipes], index),
        weight=_along([pipe.weight for pipe in pipes], index) * GRAVITY,
        steel_area=outer_area - bore_area,
        bore_area=bore_area,
        outer_area=outer_area,
    )


def _along(values: Sequence[Sampled], index: Ints) -> Array:
    """Return one value a section as one a place; a section's value may be sampled, shape (samples, 1)."""
    columns = np.concatenate(np.broadcast_arrays(*(np.atleast_1d(np.asarray(value)) for value in values)), axis=-1)
    if index.ndim == 1:
        return columns[..., index]
    samples = np.broadcast_shapes(columns.shape[:-1], index.shape[:-1])
    wide = np.broadcast_to(columns, (*samples, columns.shape[-1]))
    return np.take_along_axis(wide, np.broadcast_to(index, (*samples, index.shape[-1])), axis=-1)
