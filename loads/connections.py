"""Connections of casing: what each can bear in each mode, or that nobody has rated it.

The standard's threaded and coupled connections are worked out from their dimensions: joint strength in tension, the
lesser of coupling yield and leak in burst. They have no published rating in compression, outside pressure or combined
load. Other connections have the ratings of their maker.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from .arrays import Array, Floats
from .catalog.couplings import Coupling, standard_couplings
from .errors import CannotEvaluate
from .strength.buttress import buttress_joint_working
from .strength.check import SMALL_FORCE, SMALL_PRESSURE, Caution, Check, Line, Loading, Tube
from .strength.coupling import JointFailure
from .strength.coupling_pressure import coupling_pressure_working
from .strength.envelope import envelope_use
from .strength.round_joint import round_joint_working
from .units import DIAMETER, FORCE, FRACTION, PRESSURE, STRESS

STANDARD = ("STC", "LTC", "BTC", "BTC special clearance")
_SMALL_USE = 1e-3  # share of an envelope below which there is no combined load
_FAILURES = np.array(["fracture of the pipe", "pull-out of the pin", "fracture of the coupling"])
assert [failure.value for failure in JointFailure] == [0, 1, 2]


class Connection(Protocol):
    """A connection on one pipe."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def source(self) -> str:
        """Where its ratings come from."""

    @property
    def unrated(self) -> str:
        """Why it has no rating where it has none."""

    def check(self, mode: str, tube: Tube, loading: Loading, curvature: Array) -> Check | None:
        """Return the check at each place [curvature of the path in rad/m]; None where it has no rating."""


@dataclass(frozen=True, kw_only=True)
class ThreadedAndCoupled:
    """A connection of the standard on pipe of a diameter, wall [m], yield and tensile strength [Pa].

    The coupling is of the pipe's grade.
    """

    coupling: Coupling
    outside_diameter: float
    wall: float
    yield_strength: float
    tensile_strength: float

    @property
    def name(self) -> str:
        """Its name."""
        return self.coupling.label

    @property
    def source(self) -> str:
        """Where its ratings come from."""
        return "API TR 5C3 (ISO/TR 10400) clauses 9 and 10, joint and coupling; formulas and dimensions from memory"

    @property
    def unrated(self) -> str:
        """Why it has no rating where it has none."""
        return "the standard publishes none"

    def check(self, mode: str, tube: Tube, loading: Loading, curvature: Array) -> Check | None:
        """Return joint strength in tension, coupling yield and leak in burst, nothing else."""
        if mode == "tension":
            return self._tension(tube, loading, curvature)
        return self._burst(tube, loading) if mode == "burst" else None

    def _tension(self, tube: Tube, loading: Loading, curvature: Array) -> Check:
        kept = tube.steel_area / (np.pi * (tube.outside_diameter - tube.wall) * tube.wall)  # of the area, by wear
        pipe = (self.outside_diameter, self.wall, self.yield_strength, self.tensile_strength)
        ring = (self.coupling.od, self.coupling.root_diameter)
        if self.coupling.engaged_length is None:
            buttress = buttress_joint_working(*pipe, *ring)
            strength, governing, odd = buttress.rating, buttress.governing, buttress.outside_sizes
        else:
            joint = round_joint_working(*pipe, self.coupling.engaged_length, *ring, curvature=curvature)
            strength, governing, odd = joint.rating, joint.governing, joint.outside_sizes
        rating = strength * tube.yield_factor * kept + np.zeros_like(loading.axial_force)
        lines = (
            *self._dimensions(loading.axial_force),
            Line(symbol="fails by", meaning="what breaks first", value=_FAILURES[governing]),
            Line(symbol="F_j", meaning="joint strength, hot and worn as the pipe", value=rating, dimension=FORCE),
            Line(symbol="F_a", meaning="true axial force", value=loading.axial_force, dimension=FORCE),
        )
        return Check(
            demand=loading.axial_force,
            capacity=rating,
            loaded=loading.axial_force > SMALL_FORCE,
            dimension=FORCE,
            working=lines,
            cautions=(Caution(text="pipe outside 4-1/2 to 20 in, the sizes of the joint formulas", where=odd),),
        )

    def _burst(self, tube: Tube, loading: Loading) -> Check:
        c = self.coupling
        w = coupling_pressure_working(
            c.od, c.root_diameter, self.yield_strength, c.pitch_diameter, c.taper, c.pitch, c.turns
        )
        demand = loading.internal_pressure - loading.external_pressure
        zero = np.zeros_like(demand)
        rating = np.minimum(w.yield_pressure * tube.yield_factor, w.leak_resistance) + zero
        lines = (
            *self._dimensions(demand),
            Line(
                symbol="p_y",
                meaning="coupling internal yield, hot as the yield",
                value=w.yield_pressure * tube.yield_factor + zero,
                dimension=PRESSURE,
                formula="p_y = Y (W - d_1) / W",
            ),
            Line(
                symbol="p_l",
                meaning="leak resistance",
                value=w.leak_resistance + zero,
                dimension=PRESSURE,
                formula="p_l = E T N p (W^2 - E_s^2) / (2 E_s W^2)",
            ),
            Line(symbol="p_j", meaning="lesser of the two", value=rating, dimension=PRESSURE),
            Line(symbol="dp", meaning="burst load", value=demand, dimension=PRESSURE, formula="dp = p_i - p_o"),
        )
        return Check(demand=demand, capacity=rating, loaded=demand > SMALL_PRESSURE, dimension=PRESSURE, working=lines)

    def _dimensions(self, like: Array) -> tuple[Line, ...]:
        numbers = (
            ("D", "outside diameter of the pipe", self.outside_diameter, DIAMETER),
            ("t", "nominal wall", self.wall, DIAMETER),
            ("W", "outside diameter of the coupling", self.coupling.od, DIAMETER),
            ("d_1", "thread root at the end of the pipe", self.coupling.root_diameter, DIAMETER),
            ("Y", "minimum yield of pipe and coupling", self.yield_strength, STRESS),
            ("U", "minimum tensile strength of both", self.tensile_strength, STRESS),
        )
        return tuple(
            Line(symbol=symbol, meaning=meaning, value=np.full_like(like, value), dimension=dimension)
            for symbol, meaning, value, dimension in numbers
        )


@dataclass(frozen=True, kw_only=True)
class RatedConnection:
    """A connection with the ratings of its maker.

    Attributes
    ----------
    name, source : str
        Its name; data sheet and revision.
    ratings : mapping
        By mode (tension, compression, burst, collapse): force [N] or pressure [Pa]; a mode that is missing is unrated.
    envelope : ndarray or None, (n, 2)
        Corners of axial force [N] against inside less outside pressure [Pa], for the triaxial mode.
    """

    name: str
    source: str
    ratings: Mapping[str, float] = field(default_factory=dict)
    envelope: Floats | None = None

    @property
    def unrated(self) -> str:
        """Why it has no rating where it has none."""
        return self.source

    def check(self, mode: str, tube: Tube, loading: Loading, curvature: Array) -> Check | None:
        """Return the maker's rating, hot as the yield, against the load of the mode."""
        if mode == "triaxial":
            return None if self.envelope is None else self._combined(self.envelope, tube, loading)
        if mode not in self.ratings:
            return None
        if np.any(np.asarray(tube.loss_inside) > 0.0) or np.any(np.asarray(tube.loss_outside) > 0.0):
            raise CannotEvaluate(f"connection {self.name!r} is rated as new; its pipe has lost wall")
        difference = loading.internal_pressure - loading.external_pressure
        demand, small, dimension = {
            "tension": (loading.axial_force, SMALL_FORCE, FORCE),
            "compression": (-loading.axial_force, SMALL_FORCE, FORCE),
            "burst": (difference, SMALL_PRESSURE, PRESSURE),
            "collapse": (-difference, SMALL_PRESSURE, PRESSURE),
        }[mode]
        rating = self.ratings[mode] * tube.yield_factor + np.zeros_like(demand)
        lines = (
            Line(
                symbol="rating", meaning=f"{mode}, {self.source}, hot as the yield", value=rating, dimension=dimension
            ),
            Line(symbol="load", meaning=mode, value=demand, dimension=dimension),
        )
        return Check(demand=demand, capacity=rating, loaded=demand > small, dimension=dimension, working=lines)

    def _combined(self, envelope: Floats, tube: Tube, loading: Loading) -> Check:
        difference = loading.internal_pressure - loading.external_pressure
        use = envelope_use(envelope, loading.axial_force, difference)
        left = np.ones_like(use) * tube.yield_factor
        lines = (
            Line(symbol="F_a", meaning="true axial force", value=loading.axial_force, dimension=FORCE),
            Line(symbol="dp", meaning="inside less outside pressure", value=difference, dimension=PRESSURE),
            Line(symbol="use", meaning=f"share of the envelope, {self.source}", value=use),
            Line(symbol="left", meaning="share left, hot as the yield", value=left),
        )
        return Check(demand=use, capacity=left, loaded=use > _SMALL_USE, dimension=FRACTION, working=lines)


def standard_connection(
    name: str, *, outside_diameter: float, wall: float, weight: float, yield_strength: float, tensile_strength: float
) -> ThreadedAndCoupled:
    """Return a connection of the standard on a pipe.

    Parameters
    ----------
    name : str
        One of `STANDARD`.
    outside_diameter, wall : float
        Of the pipe [m].
    weight : float
        Nominal weight [kg/m].
    yield_strength, tensile_strength : float
        Minimum strengths [Pa].

    Returns
    -------
    ThreadedAndCoupled

    Raises
    ------
    CatalogError
        If the catalog has no such coupling for that pipe; says what there is.
    """
    thread, _, clearance = name.partition(" ")
    coupling = standard_couplings().find(
        outside_diameter,
        thread,
        clearance="special" if clearance else "regular",
        weight=weight,
        yield_strength=yield_strength,
    )
    return ThreadedAndCoupled(
        coupling=coupling,
        outside_diameter=outside_diameter,
        wall=wall,
        yield_strength=yield_strength,
        tensile_strength=tensile_strength,
    )
