"""Axial force along a string, by pressure areas.

The true force is what the steel carries, tension positive; stress comes from it. The effective force,
``F_e = F - p_i A_i + p_o A_o``, decides buckling. Until the cement sets the string hangs free; afterwards it is held
at the hanger and by the cement, and only changes against the state at setting count.

Left out, and said so in every output: buckling strain, drag and shock. A buckling strain would be one more term of
the balance in `_free_length`; drag one more term of the sum in `hanging_force`.

References
----------
.. [1] Bourgoyne et al., *Applied Drilling Engineering*, SPE 1986, ch. 7 (pressure-area method; value from memory).
.. [2] PetroWiki, *Mechanical loads on casing and tubing strings* (fixed-end balance, ballooning).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .arrays import Array
from .body import Body
from .stations import Places
from .well import Steel

TERMS = {
    "end": "p_i A_i - p_o A_o at the shoe",
    "weight": "w dz, summed from the shoe up",
    "area steps": "p_o dA_o - p_i dA_i at each change of pipe (after set: of the changes in pressure)",
    "pull": "down to where the string is stuck",
    "as cemented": "hanging free, when the cement set",
    "ballooning": "2 nu (dp_i A_i - dp_o A_o); mean over a free length, local in cement",
    "temperature": "-E alpha A_s dT; mean over a free length, local in cement",
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
    """

    true: Array
    effective: Array
    terms: dict[str, Array]


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
    """
    return true - inside * body.bore_area + outside * body.outer_area


def hanging_force(places: Places, body: Body, state: Inputs, pull: Array | float = 0.0) -> Axial:
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

    Returns
    -------
    Axial
        Terms ``end``, ``weight``, ``area steps`` and, if pulled, ``pull``.

    Notes
    -----
    No drag: in a curved hole the side force is carried without friction, so the gradient of the true force is the
    weight times the cosine of the inclination, whatever the fluids are [1]_.
    """
    end = (state.inside * body.bore_area - state.outside * body.outer_area)[..., -1:]
    count = places.md.shape[-1]
    weight = _sum_from_below(stretches=_stretch_weights(places, body), count=count)
    steps = _sum_from_below(junctions=area_steps(body, state.inside, state.outside), count=count)
    zero = np.zeros_like(weight)
    terms = {"end": end + zero, "weight": weight, "area steps": steps + zero}
    if np.any(pull):
        terms["pull"] = pull + zero
    return _axial(terms, state, body)


def held_force(
    places: Places,
    body: Body,
    steel: Steel,
    cement: Sequence[tuple[float, float]],
    at_set: Axial,
    reference: Inputs,
    state: Inputs,
    *,
    open_end: bool = False,
) -> Axial:
    """Return the force in a string that hanger and set cement hold.

    Where it is cemented the change is local, ``2 nu (dp_i A_i - dp_o A_o) - E alpha A_s dT``. A length without cement
    between two holds (hanger and top of cement, or two cemented intervals) keeps its length: the same strains,
    integrated, are balanced by one unknown force. A length with its lower end free follows its end.

    Parameters
    ----------
    places, body
        The string at its final depth.
    steel : Steel
        Elastic constants.
    cement : sequence of (float, float)
        Cemented intervals, top and bottom [m md].
    at_set : Axial
        Force when the cement set.
    reference, state : Inputs
        Pressures and temperature then, and now.
    open_end : bool
        Whether a lower end without cement is open now: then the inside pressure is all around it.

    Returns
    -------
    Axial
        Terms ``as cemented``, ``ballooning``, ``temperature``, ``area steps``. The true force jumps where a free
        length meets cement: the jump is the cement's reaction.
    """
    inside, outside = state.inside - reference.inside, state.outside - reference.outside
    balloon = 2.0 * steel.poisson * (inside * body.bore_area - outside * body.outer_area)
    heat = _thermal_force(body, steel, reference, state)
    steps = np.zeros_like(balloon)
    junctions = area_steps(body, inside, outside)
    facing = state.inside - reference.outside if open_end else outside  # on the face of the lower end
    end = (inside * body.bore_area - facing * body.outer_area)[..., -1:]
    for top, bottom in _free_lengths(places, cement):
        free = places.within(top, bottom)
        hangs = bottom >= float(np.max(places.md))
        length_balloon, length_heat, length_steps = _free_length(
            places, body, free, junctions, balloon, heat, end if hangs else None
        )
        balloon = np.where(free, length_balloon, balloon)
        heat = np.where(free, length_heat, heat)
        steps = np.where(free, length_steps, steps)
    terms = {"as cemented": at_set.true, "ballooning": balloon, "temperature": heat, "area steps": steps}
    return _axial(terms, state, body)


def _free_lengths(places: Places, cement: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the intervals without cement, from the top down."""
    lengths, above = [], float(np.min(places.md))
    for top, bottom in sorted(cement):
        if top > above:
            lengths.append((above, top))
        above = max(above, bottom)
    end = float(np.max(places.md))
    if above < end:
        lengths.append((above, end))
    return lengths


def _free_length(
    places: Places,
    body: Body,
    free: Array,
    junctions: Array,
    balloon: Array,
    heat: Array,
    end: Array | None,
) -> tuple[Array, Array, Array]:
    """Return the change of force along one free length: by ballooning, by temperature, by area steps.

    Along it the change is one number plus the steps at changes of area below the place. Held at both ends, the number
    makes the integral of ``(dF - local dF) / A_s`` zero (E is common). Hanging, it is the change at the *end*.
    """
    inner = free[..., 1:-1:2] & free[..., 2::2]  # junctions with both sides in this length
    steps = _sum_from_below(junctions=np.where(inner, junctions, 0.0), count=places.md.shape[-1])
    if end is not None:
        zero = np.zeros_like(balloon)
        return zero, zero, end + steps
    compliance = 1.0 / body.steel_area
    total = places.integral(compliance, free)
    return (
        places.integral(balloon * compliance, free) / total + np.zeros_like(balloon),
        places.integral(heat * compliance, free) / total + np.zeros_like(heat),
        steps - places.integral(steps * compliance, free) / total,
    )


def _thermal_force(body: Body, steel: Steel, reference: Inputs, state: Inputs) -> Array:
    if state.temperature is None or reference.temperature is None:
        return np.zeros_like(state.inside)
    rise = state.temperature - reference.temperature
    return -steel.modulus * steel.expansion * body.steel_area * rise


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


def _sum_from_below(*, stretches: Array = 0.0, junctions: Array = 0.0, count: int) -> Array:
    """Return at each of *count* places the sum of the stretches and junctions below it."""
    shape = np.broadcast_shapes(np.shape(stretches)[:-1], np.shape(junctions)[:-1])
    between = np.zeros((*shape, count - 1))
    between[..., 0::2] = stretches
    between[..., 1::2] = junctions
    below = np.cumsum(between[..., ::-1], axis=-1)[..., ::-1]
    return np.concatenate([below, np.zeros((*shape, 1))], axis=-1)


def _axial(terms: dict[str, Array], state: Inputs, body: Body) -> Axial:
    true = sum(terms.values())
    return Axial(true=true, effective=effective_force(true, state.inside, state.outside, body), terms=terms)
