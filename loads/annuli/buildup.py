r"""Pressure that builds up in closed annuli when a well is heated, all annuli solved together.

In each annulus the mass of the liquid is kept. Its density follows pressure and temperature at each depth, its room
the radial displacement of the inner pipe's outer wall and of the outer pipe's inner wall:

.. math::
    \int \rho(p_1, T_1)\, \pi \left[(R + u_R)^2 - (r + u_r)^2\right] ds - \rho\, V_{gas}\Big|_1 + m_{lost}
    = \int \rho(p_0, T_0)\, \pi (R^2 - r^2)\, ds - \rho\, V_{gas}\Big|_0

The displacements are those of thick tubes (`expansion.radial_displacement`), each under the change of pressure on
both its sides, so that the pressure in one annulus moves the walls of its neighbours. The unknown is the rise of
pressure at the top of each annulus; below it the weight of the lighter liquid takes a little off.

What is assumed: pipes have their radii as made before the heating; a pipe held along its axis keeps its length place
by place (over a free length between two holds this is right for the whole volume of a uniform annulus, not for each
depth); the annulus keeps its length; the steel is elastic; gas cap and foam stand at one depth; liquids do not mix or
settle, and no vapour forms: an annulus that would boil is refused. Heat and the pressures around the annuli change in
step; that matters only where a burst disc opens on the way.

References
----------
.. [1] A. S. Halal and R. F. Mitchell, "Casing design for trapped annular pressure buildup", SPE Drilling &
   Completion, 1994; A. J. Adams and A. MacEachran, "Impact on casing design of thermal expansion of fluids in confined
   annuli", SPE Drilling & Completion, 1994 (citations from memory): the problem and that annuli act together. The
   balance here is our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from ..arrays import Array, Floats
from ..errors import CannotEvaluate
from ..well import Steel
from .annulus import BurstDisc, OpenShoe, TrappedAnnulus, Wall
from .expansion import BoilingLiquid
from .places import Member, Now
from .solve import follow
from .system import State, System

__all__ = ["Balance", "BuildUp", "BurstDisc", "OpenShoe", "TrappedAnnulus", "Wall", "build_up"]


@dataclass(frozen=True, kw_only=True)
class Balance:
    """Where the expansion of a liquid went: masses over its mean *density* now, so that they add up exactly.

    Attributes
    ----------
    density : float
        Mean density of the liquid now [kg/m3].
    expansion : float
        Volume the heating adds at the pressure before it [m3].
    compression : float
        Volume the rise of pressure takes off [m3].
    inner_heat, inner_pressure, outer_heat, outer_pressure : float
        Room that heat and pressure make at the two walls [m3], negative where they take room.
    cushion : float
        Room that gas cap or foam give [m3].
    lost : float
        Let out at the valve or lost at the shoe [m3].
    through_discs : float
        Gone through open discs, less what came [m3].
    """

    density: float
    expansion: float
    compression: float
    inner_heat: float
    inner_pressure: float
    outer_heat: float
    outer_pressure: float
    cushion: float
    lost: float
    through_discs: float

    @property
    def left_over(self) -> float:
        """Expansion less everything it went into [m3]: zero, but for rounding and the last digits of the solution."""
        into = [getattr(self, f.name) for f in fields(self) if f.name not in ("density", "expansion")]
        return self.expansion - float(sum(into))


@dataclass(frozen=True, kw_only=True, eq=False)
class BuildUp:
    """What has become of one annulus.

    Attributes
    ----------
    name : str
        Of the annulus.
    rise : float
        Of the pressure at its top [Pa].
    pressure_change, pressure_now : ndarray, (n,)
        At its depths, gauge [Pa].
    limited_by : tuple of str
        What holds its pressure: ``"bleed-off"``, ``"open shoe"``, ``"burst disc"`` (open, in one of its walls, its own
        or a neighbour's); empty where it is closed.
    bled, lost_at_shoe : float
        Volume let out at the valve and lost at the shoe, each as it is there now [m3].
    discs_opened : tuple of (float or None)
        For each of its discs the share of the heating at which it opened, None where it has not.
    through_discs : tuple of float
        Volume that left through each disc, at its pressure and temperature now [m3]; negative: came in.
    balance : Balance
        Where the expansion went.
    mass_then, mass_error : float
        Mass of the liquid before [kg]; share of it by which the masses differ.
    """

    name: str
    rise: float
    pressure_change: Floats
    pressure_now: Floats
    limited_by: tuple[str, ...]
    bled: float
    lost_at_shoe: float
    discs_opened: tuple[float | None, ...]
    through_discs: tuple[float, ...]
    balance: Balance
    mass_then: float
    mass_error: float


def build_up(annuli: Sequence[TrappedAnnulus], steel: Steel) -> tuple[BuildUp, ...]:
    """Return the pressure that heating builds up in closed annuli, all solved together.

    Annuli that have a pipe in common, by its name, press on each other over the depths that both span. What is beyond
    the other walls is known: `Wall.far_change`.

    Parameters
    ----------
    annuli : sequence of TrappedAnnulus
        In any order, at least one; one well, no samples.
    steel : Steel
        Of every pipe.

    Returns
    -------
    tuple of BuildUp
        In the same order.

    Raises
    ------
    ValueError
        If there are no annuli, two have the same name, claim the same side of a pipe or give it two radii; or if the
        change of pressure beyond a wall is missing.
    CannotEvaluate
        If a liquid boils or leaves the range of its law, liquid would flow through, or the pressures do not converge.

    References
    ----------
    [1]_ of the module, for the problem.

    Examples
    --------
    9-5/8 in 47 lb/ft in 13-3/8 in 72 lb/ft, a liquid of constant coefficients heated by 50 K. Rigid it would be
    44.4 MPa; the two pipes give room for half of it (at the top; the lighter column takes a little off below):

    >>> from casingloads.annuli.expansion import ConstantExpansion
    >>> brine = ConstantExpansion(reference_density=1200.0, expansion=4e-4, compressibility=4.5e-10,
    ...                           reference_pressure=101325.0, reference_temperature=300.0)
    >>> annulus = TrappedAnnulus(
    ...     name="B", md=np.array([0.0, 2000.0]), tvd=np.array([0.0, 2000.0]), fluid=brine,
    ...     inner=Wall(pipe="9-5/8 in", inside_radius=0.11025, outside_radius=0.12224, far_change=0.0),
    ...     outer=Wall(pipe="13-3/8 in", inside_radius=0.15681, outside_radius=0.16986, far_change=0.0),
    ...     pressure_then=np.array([0.0, 23.5e6]),
    ...     temperature_then=np.array([290.0, 340.0]), temperature_now=np.array([340.0, 390.0]))
    >>> (b,) = build_up([annulus], Steel())
    >>> round(b.rise / 1e6, 1)
    21.4
    >>> abs(b.balance.left_over) < 1e-9 * b.balance.expansion
    True
    """
    if not annuli:
        raise ValueError("annuli: need at least one")
    names = [annulus.name for annulus in annuli]
    if len(set(names)) < len(names):
        raise ValueError(f"annuli: each needs a name of its own, got {', '.join(map(repr, names))}")
    system = System(annuli, steel)
    state = follow(system)
    now = system.now(state.rises, 1.0)
    for member, here in zip(system.members, now, strict=True):
        _refuse_boiling(member, here)
    return tuple(_built(system, state, k, now) for k in range(len(annuli)))


def _refuse_boiling(member: Member, now: Now) -> None:
    """Refuse an annulus that boils."""
    if not isinstance(member.annulus.fluid, BoilingLiquid):
        return
    boiling = member.annulus.fluid.boiling_pressure(now.temperature)
    boils = now.pressure < boiling
    if np.any(boils):
        raise CannotEvaluate(
            f"annulus {member.annulus.name!r}: its liquid boils at md {member.md[boils][0]:g} m, at "
            f"{now.pressure[boils][0] / 1e6:.3g} MPa absolute and {now.temperature[boils][0] - 273.15:.0f} degC; "
            "only annuli full of liquid are worked out"
        )


def _built(system: System, state: State, k: int, every: Sequence[Now]) -> BuildUp:
    """Return the result of annulus *k*."""
    member, now = system.members[k], every[k]
    caps = [(cap, lost) for cap, lost in zip(system.caps, state.lost, strict=True) if cap.annulus == k]
    discs = list(zip(system.discs, state.through.tolist(), state.opened.tolist(), strict=True))
    own = [(gone / float(now.density[disc.place]), at) for disc, gone, at in discs if disc.annulus == k]
    through = sum(gone for disc, gone, _ in discs if disc.annulus == k)
    through -= sum(system.arrived(disc, gone, every) for disc, gone, _ in discs if disc.other == k)
    lost = float(sum(mass for _, mass in caps))
    volume = {cap.kind: float(mass / now.density[cap.place]) for cap, mass in caps}
    limited = [cap.kind for cap, _ in caps if abs(system.excess(cap, every)) < 1.0]
    if any(k in (disc.annulus, disc.other) and not np.isnan(at) for disc, _, at in discs):
        limited.append("burst disc")
    change = np.interp(member.annulus.md, member.md, now.change)
    return BuildUp(
        name=member.annulus.name,
        rise=float(state.rises[k]),
        pressure_change=change,
        pressure_now=member.annulus.pressure_then + change,
        limited_by=tuple(limited),
        bled=volume.get("bleed-off", 0.0),
        lost_at_shoe=volume.get("open shoe", 0.0),
        discs_opened=tuple(None if np.isnan(at) else at for _, at in own),
        through_discs=tuple(volume for volume, _ in own),
        balance=_balance(member, now, lost, through),
        mass_then=member.mass_then,
        mass_error=(now.mass + lost + through - member.mass_then) / member.mass_then,
    )


def _balance(member: Member, now: Now, lost: float, through: float) -> Balance:
    """Return where the expansion went, from masses *lost* and gone *through* discs [kg].

    The masses are differences of neighbouring sums (heat before pressure, then the walls), so they add up exactly.
    """
    density = float(member.weight @ (now.density * now.area)) / float(member.weight @ now.area)
    warm = member.density(member.pressure_then, now.temperature)
    at = member.cushion_place
    cushion = float(member.density_then[at]) * member.cushion_then - float(now.density[at]) * now.cushion

    def room(radius: Floats, start: Array, end: Array) -> float:
        """Return what a surface sweeps outward between two displacements, filled with the liquid of now [m3]."""
        swept = np.pi * ((radius + end) ** 2 - (radius + start) ** 2)
        return float(member.weight @ (now.density * swept)) / density

    (inner_heat, inner), (outer_heat, outer) = now.inner, now.outer
    return Balance(
        density=density,
        expansion=float(member.weight @ ((member.density_then - warm) * member.area_then)) / density,
        compression=float(member.weight @ ((now.density - warm) * member.area_then)) / density,
        inner_heat=-room(member.inner.radius, np.zeros_like(inner), inner_heat),
        inner_pressure=-room(member.inner.radius, inner_heat, inner),
        outer_heat=room(member.outer.radius, np.zeros_like(outer), outer_heat),
        outer_pressure=room(member.outer.radius, outer_heat, outer),
        cushion=cushion / density,
        lost=lost / density,
        through_discs=through / density,
    )
