"""Trapped annuli solved: which valves and shoes are at their limits, and when a disc opens on the way to the heat."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from ..arrays import Floats
from ..constants import ATMOSPHERE
from ..errors import CannotEvaluate
from .system import MASS_SCALE, PRESSURE_SCALE, State, System

CONVERGED = 1e-8
"""Largest imbalance left, in `MASS_SCALE` and `PRESSURE_SCALE`: 5e-11 of the mass, 0.1 Pa."""
STEPS = 4
"""Parts of the heating looked at one after the other where a disc may open."""


def settle(system: System, share: float, state: State) -> State:
    """Return the state at a share of the heating, discs as they are in *state*, nothing lost returned.

    Annuli that open discs join have one cap at most at work. All begin at the tightest of their caps, where the
    pressures are the highest they can be; a cap that would have to give liquid back is let go, one that is exceeded
    takes over.

    Parameters
    ----------
    system : System
        The annuli.
    share : float
        Of the heating, 0 to 1.
    state : State
        Where it starts from.

    Returns
    -------
    State

    Raises
    ------
    CannotEvaluate
        If no solution is found.
    """
    links, group, vented = _joined(system, state.opened)
    at_work = _tightest(system, group, vented)
    for _ in range(3 * len(system.caps) + 2):
        found = _root(system, share, state, links, sorted(at_work.values()))
        change = _next_cap(system, share, found, state, group, at_work)
        if change is None:
            return found
        owner, cap = change
        if cap is None:
            del at_work[owner]
        elif owner in vented:
            raise CannotEvaluate("liquid would flow through an annulus, from an open disc to where it is let out")
        else:
            at_work[owner] = cap
    raise CannotEvaluate("trapped annuli: no set of valves and shoes at their limits was found that agrees")


def follow(system: System) -> State:
    """Return the state after the heating, opening each disc at the share of the heating that its pressure needs.

    Temperatures and the pressures around the annuli are taken to change in step. A disc that has opened stays open,
    and what an annulus has lost by then stays lost. Where discs are closed the heating is looked at in `STEPS` parts; a
    disc whose pressure difference rose and fell again within one would be missed.

    Parameters
    ----------
    system : System
        The annuli.

    Returns
    -------
    State

    Raises
    ------
    CannotEvaluate
        If no solution is found.
    """
    from scipy.optimize import brentq  # here, for scipy.optimize is slow to import

    if not system.discs:
        return settle(system, 1.0, system.start())
    share, state = 0.0, _opened(system, 0.0, system.start())
    for end in np.linspace(0.0, 1.0, STEPS + 1)[1:].tolist():
        while _worst(system, end, trial := settle(system, end, state))[1] > 0.0:

            def excess(part: float, since: State = state) -> float:
                return _worst(system, part, settle(system, part, since))[1]

            if excess(share) < 0.0:
                share = brentq(excess, share, end, xtol=1e-6)
            state = settle(system, share, state)
            first = _worst(system, share, state)[0]
            state = _opened(system, share, _open(state, first, share))
        share, state = end, trial
    return state


def _worst(system: System, share: float, state: State) -> tuple[int, float]:
    """Return the closed disc that is nearest to opening, or farthest beyond it, and by how much [Pa]."""
    closed = np.flatnonzero(np.isnan(state.opened))
    if not closed.size:
        return -1, -np.inf
    now = system.now(state.rises, share)
    beyond = [system.difference(system.discs[i], now) - system.discs[i].opens_at for i in closed]
    return int(closed[np.argmax(beyond)]), float(max(beyond))


def _open(state: State, disc: int, share: float) -> State:
    opened = state.opened.copy()
    opened[disc] = share
    return replace(state, opened=opened)


def _opened(system: System, share: float, state: State) -> State:
    """Return the state when every disc has opened that opens at once."""
    state = settle(system, share, state)
    while (worst := _worst(system, share, state))[1] > 0.0:
        state = settle(system, share, _open(state, worst[0], share))
    return state


def _joined(system: System, opened: Floats) -> tuple[list[int], list[int], set[int]]:
    """Return the open discs that make two pressures one, the group of each annulus, and the groups open to beyond."""
    group, vented, links = list(range(len(system.members))), set[int](), []
    for i in np.flatnonzero(~np.isnan(opened)).tolist():
        disc = system.discs[i]
        here = group[disc.annulus]
        there = group[disc.other] if disc.other >= 0 else None
        if there == here:
            continue  # joined already, elsewhere
        if here in vented and (there is None or there in vented):
            raise CannotEvaluate("liquid would flow through an annulus, from one open disc to another")
        links.append(i)
        if there is None:
            vented.add(here)
            continue
        group = [here if one == there else one for one in group]
        if there in vented:
            vented = vented - {there} | {here}
    return links, group, vented


def _tightest(system: System, group: Sequence[int], vented: set[int]) -> dict[int, int]:
    """Return one cap for each group that has any, but for groups open to beyond: that of the least rise."""
    tightest: dict[int, int] = {}
    for j in sorted(range(len(system.caps)), key=lambda j: -_headroom(system, j)):
        owner = group[system.caps[j].annulus]
        if owner not in vented:
            tightest[owner] = j
    return tightest


def _headroom(system: System, j: int) -> float:
    """Return the rise of pressure that brings an annulus to its cap, but for what density adds [Pa]."""
    cap = system.caps[j]
    return cap.limit + ATMOSPHERE - float(system.members[cap.annulus].pressure_then[cap.place])


def _next_cap(
    system: System, share: float, found: State, before: State, group: Sequence[int], at_work: dict[int, int]
) -> tuple[int, int | None] | None:
    """Return a group and the cap it should be at, None for none; or None if all is well."""
    for owner, j in at_work.items():
        mass = system.mass_then[system.caps[j].annulus]
        if found.lost[j] < before.lost[j] - CONVERGED * MASS_SCALE * mass:
            return owner, None
    now = system.now(found.rises, share)
    over = [system.excess(cap, now) for cap in system.caps]
    if over and max(over) > 10.0 * CONVERGED * PRESSURE_SCALE:
        j = int(np.argmax(over))
        return group[system.caps[j].annulus], j
    return None


def _root(system: System, share: float, state: State, links: Sequence[int], caps: Sequence[int]) -> State:
    """Return the state without imbalance: rises, masses through the *links* and masses lost at the *caps*."""
    annuli = len(system.members)
    owners = [*(system.discs[i].annulus for i in links), *(system.caps[j].annulus for j in caps)]
    scale = np.array([*[PRESSURE_SCALE] * annuli, *MASS_SCALE * system.mass_then[owners]])

    def spread(unknowns: Floats) -> State:
        rises, through, lost = np.split(unknowns * scale, [annuli, annuli + len(links)])
        changed = replace(state, rises=rises, through=state.through.copy(), lost=state.lost.copy())
        changed.through[links] = through
        changed.lost[caps] = lost
        return changed

    refused: list[CannotEvaluate] = []

    def imbalance(unknowns: Floats) -> Floats:
        try:
            return system.imbalance(spread(unknowns), share, links, caps)
        except CannotEvaluate as error:  # a trial too far, which the solver takes back; or there is no solution
            refused.append(error)
            return np.full_like(unknowns, 1e3)

    rises = state.rises.copy()
    for j in caps:
        rises[system.caps[j].annulus] = _headroom(system, j)
    lowest = np.array([1e3 - member.pressure_then[0] for member in system.members])  # nearly no pressure at the top
    least = np.concatenate([lowest, np.full(len(owners), -np.inf)]) / scale
    found, left = _zero(imbalance, np.concatenate([rises, state.through[links], state.lost[caps]]) / scale, least)
    if left <= CONVERGED:
        return spread(found)
    if refused:
        raise refused[-1]
    names = ", ".join(repr(member.annulus.name) for member in system.members)
    raise CannotEvaluate(
        f"trapped annuli {names}: the pressures did not converge, an imbalance of {left:.1g} is left where "
        f"{CONVERGED:g} is accepted"
    )


def _zero(function: Callable[[Floats], Floats], start: Floats, least: Floats) -> tuple[Floats, float]:
    """Return where *function* is zero, and the largest of what is left there."""
    from scipy.optimize import least_squares, root  # here, for scipy.optimize is slow to import

    found = np.asarray(root(function, start, tol=1e-10).x)
    left = float(np.max(np.abs(function(found))))
    if not left <= CONVERGED:  # gas that expands may throw it off to negative pressures; bounded steps are slower
        tight: dict[str, Any] = dict.fromkeys(("xtol", "ftol", "gtol"), 1e-15)
        inside = np.maximum(start, least + 1e-4)
        found = least_squares(function, inside, bounds=(least, np.inf), x_scale="jac", max_nfev=60, **tight).x
        left = float(np.max(np.abs(function(found))))
    return found, left
