"""Annuli that press on each other, with what relieves them: the equations. `casingloads.annuli.solve` solves them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..arrays import Floats
from ..constants import ATMOSPHERE
from ..well import Steel
from .annulus import BurstDisc, TrappedAnnulus
from .places import Member, Now, members_of

PRESSURE_SCALE, MASS_SCALE = 1e7, 0.005
"""A change of pressure [Pa] and of mass [-] of about the same weight in a liquid."""


@dataclass(frozen=True, kw_only=True)
class Cap:
    """A place [of an annulus's own] where its gauge pressure stays at or below a *limit* by losing liquid."""

    annulus: int
    place: int
    limit: float
    kind: str


@dataclass(frozen=True, kw_only=True)
class Disc:
    """A burst disc between place *place* of an annulus and *other_place* of an *other*, -1 where none is beyond."""

    annulus: int
    place: int
    other: int
    other_place: int
    opens_at: float
    far_pressure: float


@dataclass(frozen=True, kw_only=True, eq=False)
class State:
    """What the annuli have come to.

    *rises* of pressure at their tops [Pa]; mass that left *through* each disc [kg]; mass *lost* at each cap [kg];
    share of the heating at which each disc *opened*, NaN where it is closed.
    """

    rises: Floats
    through: Floats
    lost: Floats
    opened: Floats


class System:
    """Annuli on common places, with their caps and discs; what must be zero is their `imbalance`."""

    def __init__(self, annuli: Sequence[TrappedAnnulus], steel: Steel) -> None:
        self.members = members_of(annuli, steel)
        self.count = max(member.span.stop for member in self.members)
        self.mass_then = np.array([member.mass_then for member in self.members])
        self.caps = tuple(_caps(self.members))
        self.discs = tuple(
            _disc(k, disc, self.members) for k, member in enumerate(self.members) for disc in member.annulus.discs
        )

    def start(self) -> State:
        """Return the state before the heating."""
        discs = len(self.discs)
        return State(
            rises=np.zeros(len(self.members)),
            through=np.zeros(discs),
            lost=np.zeros(len(self.caps)),
            opened=np.full(discs, np.nan),
        )

    def now(self, rises: Floats, share: float) -> list[Now]:
        """Return every annulus at a share of the heating, from the rises of pressure at their tops [Pa]."""
        changes = np.zeros((len(self.members), self.count))
        for k, member in enumerate(self.members):
            changes[k, member.span] = member.change(float(rises[k]), share)
        return [m.now(changes[k, m.span], changes[:, m.span], share) for k, m in enumerate(self.members)]

    def excess(self, cap: Cap, now: Sequence[Now]) -> float:
        """Return by how much the pressure at a cap is above its limit [Pa]."""
        return float(now[cap.annulus].pressure[cap.place]) - ATMOSPHERE - cap.limit

    def difference(self, disc: Disc, now: Sequence[Now]) -> float:
        """Return the pressure of a disc's annulus less that beyond it [Pa]."""
        here = float(now[disc.annulus].pressure[disc.place])
        if disc.other < 0:
            return here - ATMOSPHERE - disc.far_pressure
        return here - float(now[disc.other].pressure[disc.other_place])

    def arrived(self, disc: Disc, mass: float, now: Sequence[Now]) -> float:
        """Return the *mass* that went through a disc [kg] as one of the liquid beyond it, of the same volume there."""
        if mass == 0.0:
            return 0.0
        there, at = now[disc.other], disc.other_place
        foreign = self.members[disc.annulus].density(there.pressure[at], there.temperature[at])
        return mass * float(there.density[at] / foreign)

    def imbalance(self, state: State, share: float, links: Sequence[int], caps: Sequence[int]) -> Floats:
        """Return what must be zero: mass of each annulus, pressures across the *links* (discs), those at the *caps*.

        Mass as a share of the annulus's, over `MASS_SCALE`; pressures over `PRESSURE_SCALE`.
        """
        now = self.now(state.rises, share)
        mass = np.array([annulus.mass for annulus in now]) - self.mass_then
        for cap, lost in zip(self.caps, state.lost, strict=True):
            mass[cap.annulus] += lost
        for disc, gone in zip(self.discs, state.through, strict=True):
            mass[disc.annulus] += gone
            if disc.other >= 0:
                mass[disc.other] -= self.arrived(disc, float(gone), now)
        across = [self.difference(self.discs[i], now) for i in links]
        above = [self.excess(self.caps[j], now) for j in caps]
        return np.concatenate([mass / self.mass_then / MASS_SCALE, np.array([*across, *above]) / PRESSURE_SCALE])


def _caps(members: Sequence[Member]) -> list[Cap]:
    caps = []
    for k, member in enumerate(members):
        bleeds_to, shoe = member.annulus.bleeds_to, member.annulus.open_shoe
        if bleeds_to is not None:
            caps.append(Cap(annulus=k, place=0, limit=bleeds_to, kind="bleed-off"))
        if shoe is not None:
            caps.append(Cap(annulus=k, place=member.place(shoe.md), limit=shoe.pressure, kind="open shoe"))
    return caps


def _disc(k: int, disc: BurstDisc, members: Sequence[Member]) -> Disc:
    member = members[k]
    place = member.place(disc.md)
    surface = member.outer if disc.side == "outer" else member.inner
    other = int(surface.neighbour[place])
    where = f"annulus {member.annulus.name!r}: disc at md {disc.md:g} m"
    if other < 0 and disc.far_pressure is None:
        raise ValueError(f"{where}: far_pressure is missing, no other annulus is beyond it")
    if other >= 0 and disc.far_pressure is not None:
        raise ValueError(f"{where}: annulus {members[other].annulus.name!r} is beyond it, leave far_pressure out")
    return Disc(
        annulus=k,
        place=place,
        other=other,
        other_place=place + member.span.start - members[other].span.start,
        opens_at=disc.opens_at,
        far_pressure=0.0 if disc.far_pressure is None else disc.far_pressure,
    )
