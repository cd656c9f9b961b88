"""Axial force after the cement has set: hanger and cement hold the string, and only changes count.

Where it is cemented the change is local, ``2 nu (dp_i A_i - dp_o A_o) - E alpha A_s dT``. A length without cement
between two holds (hanger and top of cement, or two cemented intervals) keeps its length: the same strains and that of
buckling, integrated, are balanced by one unknown force. A length with its lower end free follows its end.

References
----------
.. [1] PetroWiki, *Mechanical loads on casing and tubing strings* (fixed-end balance, ballooning).
.. [2] A. Lubinski, W. S. Althouse and J. L. Logan, "Helical buckling of tubing sealed in packers", 1962.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, Ints
from ..body import Body
from ..errors import CannotEvaluate
from ..stations import Places
from ..well import Steel
from .hanging import Axial, Inputs, area_steps, axial_of, effective_force, sum_from_below
from .lateral import Lateral

_SMALL = 1e-3  # force to which the balance with buckling is solved [N]
_TURNS = 60  # doublings that a bracket of the balance may take


@dataclass(frozen=True, kw_only=True)
class Hold:
    """How a string is held besides its cement.

    Attributes
    ----------
    landing : float
        Pull on the free length at the top after the cement set, before the hanger was closed; slack-off negative [N].
    locked : bool
        Whether the hanger is locked down. One that is not rises when the pipe would push it up; pressure on the hanger
        itself does not count.
    wellhead_load : float or None
        Weight set on the string's top, which is free to give way until it carries just that [N]; None: it is held.
    lateral, lateral_at_set : Lateral or None
        The string across its axis, now and when the cement set; None leaves buckling out.
    yield_forces : tuple of ndarray or None, (..., n)
        Forces between which cemented pipe is elastic, the least first [N]; None leaves yielding out.
    strained : ndarray or None, (..., n)
        Strain that earlier steps have left [-].
    """

    landing: float = 0.0
    locked: bool = True
    wellhead_load: float | None = None
    lateral: Lateral | None = None
    lateral_at_set: Lateral | None = None
    yield_forces: tuple[Array, Array] | None = None
    strained: Array | None = None


@dataclass(frozen=True, kw_only=True)
class _Change:
    """The changes since the cement set, local, and the force then.

    Attributes
    ----------
    base : ndarray, (..., n)
        Force after landing [N].
    balloon, heat : ndarray, (..., n)
        Change of force where nothing can move [N].
    junctions : ndarray, (..., n/2 - 1)
        Change of the force of pressure on each change of pipe [N].
    end : ndarray, (..., 1)
        Change of the force on the lower end, where that is free [N].
    """

    base: Array
    balloon: Array
    heat: Array
    junctions: Array
    end: Array


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
    hold: Hold | None = None,
) -> Axial:
    """Return the force in a string that hanger and set cement hold.

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
    hold : Hold, optional
        Landing, hanger, wellhead load, buckling and yielding; by default a locked hanger and none of the others.

    Returns
    -------
    Axial
        Terms ``as cemented``, ``ballooning``, ``temperature``, ``area steps``, and those of ``landing``,
        ``buckling``, ``hanger``, ``wellhead load``, ``yielding`` that act. The true force jumps where a free length
        meets cement: the jump is the cement's reaction.

    Raises
    ------
    CannotEvaluate
        When the balance with buckling does not converge.
    """
    hold = hold or Hold()
    lengths = free_lengths(places, cement)
    first = bool(lengths) and lengths[0][0] <= float(np.min(places.md))
    at_top = places.within(*lengths[0]) if first else np.zeros(places.md.shape, dtype=bool)
    landing = np.where(at_top, hold.landing, 0.0)
    change = _change(body, steel, at_set.true + landing, reference, state, open_end=open_end)
    cemented = np.ones(places.md.shape, dtype=bool)
    zero = np.zeros_like(change.balloon)
    terms = {"ballooning": change.balloon, "temperature": change.heat, "area steps": zero}
    lift = None
    for number, (top, bottom) in enumerate(lengths):
        free = places.within(top, bottom)
        cemented &= ~free
        length = _FreeLength(places, body, steel, free, change, hold, reference, state)
        if bottom >= float(np.max(places.md)):
            found = {"area steps": change.end + length.steps}
        else:
            found = length.held()
            if number == 0 and first:
                found, lift = length.topped(found)
        for name in {**terms, **found}:
            terms[name] = np.where(free, found.get(name, 0.0), terms.get(name, zero))
    strained = None
    if hold.yield_forces is not None:
        strained = _strain_left(change, cemented, body, steel, hold)
        terms["yielding"] = -steel.modulus * body.steel_area * strained
    if hold.wellhead_load is not None and not first:  # the cement takes it at once, but the very top carries it
        there: Array = change.base + sum(terms.values())
        topmost = np.arange(places.md.shape[-1]) == 0
        terms["wellhead load"] = np.where(topmost, -hold.wellhead_load - there, 0.0)
    if hold.landing and first:
        terms = {"landing": landing + zero, **terms}
    found_force = axial_of({"as cemented": at_set.true, **terms}, state, body)
    return Axial(
        true=found_force.true, effective=found_force.effective, terms=found_force.terms, lift=lift, strained=strained
    )


def free_lengths(places: Places, cement: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the intervals without cement [m md], from the top down.

    Parameters
    ----------
    places : Places
        From the top of the string to its shoe.
    cement : sequence of (float, float)
        Cemented intervals, top and bottom [m md], in any order.

    Returns
    -------
    list of (float, float)
        Top and bottom of each; empty where all of the string is cemented.

    Examples
    --------
    >>> from casingloads.path import WellPath
    >>> from casingloads.stations import places
    >>> free_lengths(places(np.array([0.0, 1000.0]), WellPath.vertical(1000.0)), [(800.0, 1000.0), (300.0, 500.0)])
    [(0.0, 300.0), (500.0, 800.0)]
    """
    lengths, above = [], float(np.min(places.md))
    for top, bottom in sorted(cement):
        if top > above:
            lengths.append((above, top))
        above = max(above, bottom)
    end = float(np.max(places.md))
    if above < end:
        lengths.append((above, end))
    return lengths


def _change(body: Body, steel: Steel, base: Array, reference: Inputs, state: Inputs, *, open_end: bool) -> _Change:
    inside, outside = state.inside - reference.inside, state.outside - reference.outside
    facing = state.inside - reference.outside if open_end else outside  # on the face of the lower end
    balloon = 2.0 * steel.poisson * (inside * body.bore_area - outside * body.outer_area)
    return _Change(
        base=base,
        balloon=balloon,
        heat=_thermal_force(body, steel, reference, state),
        junctions=area_steps(body, inside, outside),
        end=(inside * body.bore_area - facing * body.outer_area)[..., -1:],
    )


def _thermal_force(body: Body, steel: Steel, reference: Inputs, state: Inputs) -> Array:
    if state.temperature is None or reference.temperature is None:
        return np.zeros_like(state.inside)
    rise = state.temperature - reference.temperature
    return -steel.modulus * steel.expansion * body.steel_area * rise


def _strain_left(change: _Change, cemented: Array, body: Body, steel: Steel, hold: Hold) -> Array:
    """Return the strain that stays where cemented pipe cannot move and its stress would be beyond yield.

    Elastic, then perfectly plastic along the axis; what earlier steps have left counts. Along lengths without cement
    yielding is not followed.
    """
    assert hold.yield_forces is not None
    stiffness = steel.modulus * body.steel_area
    before = np.zeros_like(change.balloon) if hold.strained is None else hold.strained
    trial = change.base + change.balloon + change.heat - stiffness * before
    beyond = trial - np.clip(trial, *hold.yield_forces)
    return np.where(cemented, before + beyond / stiffness, 0.0)


class _FreeLength:
    """A length without cement: the force that keeps its length."""

    def __init__(
        self,
        places: Places,
        body: Body,
        steel: Steel,
        free: Array,
        change: _Change,
        hold: Hold,
        reference: Inputs,
        state: Inputs,
    ) -> None:
        self.places, self.body, self.free, self.change, self.hold = places, body, free, change, hold
        self.reference, self.state = reference, state
        inner = free[..., 1:-1:2] & free[..., 2::2]  # junctions with both sides in this length
        junctions = np.where(inner, change.junctions, 0.0)
        self.steps = sum_from_below(junctions=junctions, count=places.md.shape[-1])
        self.compliance = 1.0 / (steel.modulus * body.steel_area)
        self.total = places.integral(self.compliance + np.zeros_like(change.balloon), free)

    def held(self) -> dict[str, Array]:
        """Return the change of force with both ends held, by terms."""
        terms = {
            "ballooning": self._mean(self.change.balloon),
            "temperature": self._mean(self.change.heat),
            "area steps": self.steps - self._mean(self.steps),
        }
        relief = self._relief(sum(terms.values()))
        return terms if relief is None else {**terms, "buckling": relief + np.zeros_like(self.change.balloon)}

    def topped(self, found: dict[str, Array]) -> tuple[dict[str, Array], Array | None]:
        """Return *found* with what the top gives way to, and how far it rises."""
        load = self.hold.wellhead_load
        change: Array = sum(found.values())
        at_top = change[..., :1]
        if load is not None:
            give = -load - self.change.base[..., :1] - at_top
            return {**found, "wellhead load": give + np.zeros_like(change)}, None
        if self.hold.locked:
            return found, None
        push = np.minimum(self.change.base[..., :1] + at_top, 0.0)
        found = {**found, "hanger": -push + np.zeros_like(change)} if np.any(push < 0.0) else found
        return found, np.where(push < 0.0, self._longer(sum(found.values())), 0.0)

    def _mean(self, force: Array) -> Array:
        mean = self.places.integral(force * self.compliance, self.free) / self.total
        return mean + np.zeros_like(self.change.balloon)

    def _longer(self, change: Array) -> Array:
        """Return by how much the length grows under a change of force [m], (..., 1)."""
        strain = (change - self.change.balloon - self.change.heat) * self.compliance
        return self.places.integral(strain, self.free) + self._shortening(change)

    def _shortening(self, change: Array) -> Array:
        """Return what buckling adds to the length since the cement set, below zero where it grew worse [m]."""
        now, then = self.hold.lateral, self.hold.lateral_at_set
        if now is None or then is None:
            return np.zeros_like(self.total)
        true = self.change.base + change
        effective = effective_force(true, self.state.inside, self.state.outside, self.body)
        before = effective_force(self.change.base, self.reference.inside, self.reference.outside, self.body)
        return now.shortening(effective, self.places, self.free) - then.shortening(before, self.places, self.free)

    def _relief(self, straight: Array) -> Array | None:
        """Return the force by which buckling changes the balance of *straight* pipe, (..., 1); None if it does not.

        In a level hole the force is the same all along, and a helix appears at once: then the force is found at which
        it does, and the helix takes up as much of the length as the balance needs.
        """
        first = self._shortening(straight)
        if not np.any(first):
            return None

        def left_over(relief: Array) -> Array:
            return self.total * relief + self._shortening(straight + relief)

        # the relief that would make up for all the shortening of the straight state is too much of it
        return _root(left_over, np.zeros_like(first), -first / self.total)


def _root(function: Callable[[Array], Array], start: Array, guess: Array) -> Array:
    """Return where a growing function of shape (..., 1) passes zero, between *start* and *guess* or a little beyond."""
    from scipy.optimize import elementwise  # slow to import, and needed only where something buckles

    shape = np.broadcast_shapes(start.shape, guess.shape)
    low, high = (np.broadcast_to(pick(start, guess), shape).copy() for pick in (np.minimum, np.maximum))
    for _ in range(_TURNS):
        short, long = function(low) > 0.0, function(high) < 0.0
        if not np.any(short) and not np.any(long):
            break
        width = high - low
        low, high = np.where(short, low - width, low), np.where(long, high + width, high)
    else:
        raise CannotEvaluate("the balance of forces with buckling has no solution within reach")

    def of_sample(value: Array, index: Ints) -> Array:
        whole = low.copy()
        whole.flat[index.astype(np.intp)] = value
        return function(whole).ravel()[index.astype(np.intp)]

    index = np.arange(low.size, dtype=np.float64)
    found = elementwise.find_root(
        of_sample, (low.ravel(), high.ravel()), args=(index,), tolerances={"xatol": _SMALL, "fatol": 0.0}
    )
    if not np.all(found.success):
        raise CannotEvaluate("the balance of forces with buckling does not converge")
    return np.asarray(found.x, dtype=np.float64).reshape(shape)
