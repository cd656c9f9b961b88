"""Axial force along a string, by pressure areas, while it hangs free.

The true force is what the steel carries, tension positive; stress comes from it. The effective force,
``F_e = F - p_i A_i + p_o A_o``, decides buckling and drag. Until the cement sets the string hangs free; afterwards it
is held at the hanger and by the cement, and only changes against the state at setting count (`casingloads.axial.held`).

References
----------
.. [1] Bourgoyne et al., *Applied Drilling Engineering*, SPE 1986, ch. 7 (pressure-area method; value from memory).
.. [2] PetroWiki, *Mechanical loads on casing and tubing strings* (fixed-end balance, ballooning).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..body import Body
from ..stations import Places

TERMS = {
    "end": "p_i A_i - p_o A_o at the shoe",
    "weight": "w dz, summed from the shoe up",
    "area steps": "p_o dA_o - p_i dA_i at each change of pipe (after set: of the changes in pressure)",
    "plug": "pressure above less below a plug in the string, times A_i",
    "pull": "down to where the string is stuck",
    "drag": "side force times friction, summed from the shoe up",
    "shock": "v A_s sqrt(E rho), by the wave of a sudden stop",
    "as cemented": "hanging free, when the cement set",
    "landing": "pulled (or slacked off) after the cement set, along the free length at the top",
    "ballooning": "2 nu (dp_i A_i - dp_o A_o); mean over a free length, local in cement",
    "temperature": "-E alpha A_s dT; mean over a free length, local in cement",
    "buckling": "what the shortening of buckled pipe relieves of a free length held at both ends",
    "hanger": "what a hanger that is not locked down gives way to",
    "wellhead load": "what the top gives way to until it carries the weight set on it, and nothing else",
    "yielding": "-E A_s times the strain that stays after yielding, in cement",
}
"""What each term of the force is, for showing the working."""


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Pressures [Pa] and temperature [K] at each place, shape ``(..., n)``; temperature None if unknown."""

    inside: Array
    outside: Array
    temperature: Array | None = None


@dataclass(frozen=True, kw_only=True)
class Axial:
    """Axial force and how it came about.

    Attributes
    ----------
    true : ndarray, (..., n)
        Force in the steel, tension positive [N].
    effective : ndarray, (..., n)
        ``F - p_i A_i + p_o A_o`` [N].
    terms : dict of str to ndarray
        What the true force is the sum of, in the order of the working [N].
    lift : ndarray or None, (..., 1)
        How far a hanger that is not locked down has risen [m]; None where it is locked or none is asked about.
    strained : ndarray or None, (..., n)
        Strain that stays after yielding, shortening negative [-]; None where yielding is not followed.
    """

    true: Array
    effective: Array
    terms: dict[str, Array]
    lift: Array | None = None
    strained: Array | None = None


def effective_force(true: Array, inside: Array, outside: Array, body: Body) -> Array:
    """Return the effective force ``F - p_i A_i + p_o A_o`` [N].

    Parameters
    ----------
    true : ndarray, (..., n)
        True force [N].
    inside, outside : ndarray, (..., n)
        Pressures [Pa].
    body : Body
        Gives the areas.

    Returns
    -------
    ndarray, (..., n)
        Tension positive [N].
    """
    return true - inside * body.bore_area + outside * body.outer_area


def hanging_force(
    places: Places,
    body: Body,
    state: Inputs,
    pull: Array | float = 0.0,
    *,
    plug_at: float | None = None,
    drag: Callable[[Array], Array] | None = None,
    shock: Array | float = 0.0,
) -> Axial:
    """Return the force in a string that hangs free, its lower end closed (or open in equal pressures).

    The end carries ``p_i A_i - p_o A_o``; going up the weight of each stretch adds ``w dz`` (only the vertical part
    of the weight pulls along the path) and each change of area the pressure on it.

    Parameters
    ----------
    places, body
        The string where it hangs now.
    state : Inputs
        Pressures on it.
    pull : float or ndarray, (..., n)
        Pull beyond its weight [N].
    plug_at : float, optional
        Measured depth of a plug inside, on which the pressures above and below it push [m].
    drag : callable, optional
        Gives the drag [N] from the effective force without it, while the string is moved; see `casingloads.axial.drag`.
    shock : float or ndarray, (..., n)
        Force of a sudden stop [N].

    Returns
    -------
    Axial
        Terms ``end``, ``weight``, ``area steps`` and those of ``plug``, ``pull``, ``drag``, ``shock`` that act.

    Notes
    -----
    Without drag the side force in a curved hole is carried without friction, so the gradient of the true force is the
    weight times the cosine of the inclination, whatever the fluids are [1]_.
    """
    end = (state.inside * body.bore_area - state.outside * body.outer_area)[..., -1:]
    count = places.md.shape[-1]
    weight = sum_from_below(stretches=_stretch_weights(places, body), count=count)
    steps = sum_from_below(junctions=area_steps(body, state.inside, state.outside), count=count)
    zero = np.zeros_like(weight)
    terms = {"end": end + zero, "weight": weight, "area steps": steps + zero}
    if plug_at is not None:
        terms["plug"] = _on_plug(places, body, state.inside, plug_at) + zero
    if np.any(pull):
        terms["pull"] = pull + zero
    if drag is not None:
        terms["drag"] = drag(effective_force(sum(terms.values()), state.inside, state.outside, body)) + zero
    if np.any(shock):
        terms["shock"] = shock + zero
    return axial_of(terms, state, body)


def _on_plug(places: Places, body: Body, inside: Array, plug_at: float) -> Array:
    """Return the force that the pressures on both faces of a plug add above it [N]."""
    junctions = np.isclose(places.md[..., 1:-1:2], plug_at, rtol=0.0, atol=1e-6)
    difference = inside[..., 1:-1:2] - inside[..., 2::2]
    push = np.where(junctions, difference * body.bore_area[..., 1:-1:2], 0.0)
    return sum_from_below(junctions=push, count=places.md.shape[-1])


def _stretch_weights(places: Places, body: Body) -> Array:
    """Return the weight of each stretch that pulls along the path, ``w dz`` [N], one value a stretch."""
    upper, lower = slice(0, None, 2), slice(1, None, 2)
    return body.weight[..., upper] * (places.tvd[..., lower] - places.tvd[..., upper])


def area_steps(body: Body, inside: Array, outside: Array) -> Array:
    """Return the force that pressure on each change of area adds above it [N], one value a junction of stretches.

    ``F_above - F_below = p_o (A_o,below - A_o,above) - p_i (A_i,below - A_i,above)``.
    """
    above, below = slice(1, -1, 2), slice(2, None, 2)
    outer = body.outer_area[..., below] - body.outer_area[..., above]
    bore = body.bore_area[..., below] - body.bore_area[..., above]
    mean_inside = 0.5 * (inside[..., above] + inside[..., below])
    mean_outside = 0.5 * (outside[..., above] + outside[..., below])
    return mean_outside * outer - mean_inside * bore


def sum_from_below(*, stretches: Array = 0.0, junctions: Array = 0.0, count: int) -> Array:
    """Return at each of *count* places the sum of the stretches and junctions below it.

    Parameters
    ----------
    stretches : ndarray, (..., count / 2)
        One value a stretch; half of the places are upper ends, half lower.
    junctions : ndarray, (..., count / 2 - 1)
        One value a point between two stretches.
    count : int
        Number of places.

    Returns
    -------
    ndarray, (..., count)

    Examples
    --------
    >>> sum_from_below(stretches=np.array([1.0, 2.0]), junctions=np.array([10.0]), count=4).tolist()
    [13.0, 12.0, 2.0, 0.0]
    """
    shape = np.broadcast_shapes(np.shape(stretches)[:-1], np.shape(junctions)[:-1])
    between = np.zeros((*shape, count - 1))
    between[..., 0::2] = stretches
    between[..., 1::2] = junctions
    below = np.cumsum(between[..., ::-1], axis=-1)[..., ::-1]
    return np.concatenate([below, np.zeros((*shape, 1))], axis=-1)


def axial_of(terms: dict[str, Array], state: Inputs, body: Body) -> Axial:
    """Return the force that is the sum of *terms*, with the effective force under the pressures of *state*."""
    true = sum(terms.values())
    return Axial(true=true, effective=effective_force(true, state.inside, state.outside, body), terms=terms)
