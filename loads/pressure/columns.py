"""Pressure along a well, described by columns of fluid: a top, what fills it, where one fluid meets the next.

A column knows its own breaks, so that stations can be put on both sides of each. Depths are true vertical [m] from
the drill floor, pressures gauge [Pa]. Depths and pressures may carry leading sample axes, shape ``(samples, 1)``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal, Protocol

import numpy as np

from ..arrays import Array, ArrayLike, Sampled
from ..errors import CannotEvaluate
from ..remark import Remark
from ..stations import Places
from ..units import DENSITY, GRADIENT, LEVEL, PRESSURE
from ..well import Fluid, Table
from .compressible import integrate_column
from .gas import gas_density

_GAS_STEP = 200.0  # step of integration [m]; a tenth of it changes the pressure by about 1e-6 of it


class Pressure(Protocol):
    """Anything that gives a pressure along a string."""

    def at(self, places: Places) -> Array:
        """Return the gauge pressure [Pa] at *places*."""

    def breaks(self) -> Sequence[ArrayLike]:
        """Return the true vertical depths [m] where its slope changes."""

    def jumps(self) -> Sequence[ArrayLike]:
        """Return the measured depths [m] where its value jumps."""

    def origin(self) -> tuple[Remark, ...]:
        """Return in words where the pressure comes from, one line a part."""


class Fill(Protocol):
    """What fills a stretch of column: it carries a pressure from one depth to another."""

    def carry(self, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled) -> Array:
        """Return the pressure at *tvd*, given that at *from_tvd*."""

    def words(self) -> Remark:
        """Return what it is, in words."""


@dataclass(frozen=True)
class Gas:
    """Gas of a constant pressure gradient [Pa/m]."""

    gradient: Any

    def carry(self, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled) -> Array:
        """Return ``p + G dz``."""
        return np.asarray(from_pressure) + self.gradient * (np.asarray(tvd) - from_tvd)

    def words(self) -> Remark:
        """Return what it is, in words."""
        return Remark("gas of {gradient}", {"gradient": (float(np.mean(self.gradient)), GRADIENT)})


@dataclass(frozen=True)
class Liquid:
    """Liquid of a constant density."""

    fluid: Fluid

    def carry(self, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled) -> Array:
        """Return ``p + rho g dz``."""
        return np.asarray(from_pressure) + self.fluid.gradient * (np.asarray(tvd) - from_tvd)

    def words(self) -> Remark:
        """Return what it is, in words."""
        density = (float(np.mean(self.fluid.density)), DENSITY)
        return Remark("({density})", {"density": density}).after(f"{self.fluid.name} ")


@dataclass(frozen=True)
class RealGas:
    """Hydrocarbon gas of a gravity (air = 1), its density integrated along the column.

    The temperature is that of a table against depth. See `casingloads.pressure.gas` for range and source of density.
    """

    gravity: float
    temperature: Table

    def carry(self, tvd: ArrayLike, from_tvd: Sampled, from_pressure: Sampled) -> Array:
        """Return the integral of ``dp/dz = rho(p, T) g``."""
        farthest = float(np.max(np.abs(np.subtract(tvd, from_tvd)), initial=0.0))  # of all samples
        nodes = 3 + int(farthest / _GAS_STEP)
        return integrate_column(self._density, self.temperature, from_tvd, from_pressure, tvd, nodes)

    def _density(self, pressure: Array, temperature: Array) -> Array:
        try:
            return gas_density(pressure, temperature, self.gravity)
        except ValueError as error:
            raise CannotEvaluate(f"real gas of gravity {self.gravity:g}: {error}; give gas_gradient instead") from None

    def words(self) -> Remark:
        """Return what it is, in words."""
        return Remark(f"real gas of gravity {float(np.mean(self.gravity)):.3f}")


@dataclass(frozen=True, kw_only=True)
class Layer:
    """A fill from its top down to the next layer's top."""

    top: Sampled
    fill: Fill


@dataclass(frozen=True, kw_only=True)
class Column:
    """Layers in contact, top to bottom, with the pressure known at one depth; nothing (zero) above the first.

    Attributes
    ----------
    layers : tuple of Layer
        From the top down.
    anchor_depth, anchor_pressure : array_like
        Where the pressure is known [m, Pa].
    anchored_in : {"first", "last"}
        The layer that the known depth lies in.

    Examples
    --------
    Sea water to 1666 m below the drill floor with 26 m of air gap, slurry below it.

    >>> sea, lead = Fluid(name="sea water", density=1025.0), Fluid(name="lead", density=1500.0)
    >>> outside = column(sea, top=26.0).over(lead, contact=1666.0)
    >>> outside.pressure([0.0, 1666.0, 2250.0]).round(-2)
    array([       0., 16485000., 25075600.])
    """

    layers: tuple[Layer, ...]
    anchor_depth: Sampled
    anchor_pressure: Sampled = 0.0
    anchored_in: Literal["first", "last"] = "first"

    def over(self, below: Fluid | Fill, contact: Sampled) -> Column:
        """Return this column with *below* under it, from *contact* [m tvd] down.

        Raises
        ------
        ValueError
            If the contact is above the top of what it lies under.
        """
        if np.any(np.asarray(contact) < np.asarray(self.layers[-1].top) - 1e-6):
            raise ValueError(
                f"contact at {np.min(contact):g} m tvd is above the layer it ends, {self.layers[-1].top} m"
            )
        return replace(self, layers=(*self.layers, Layer(top=contact, fill=_fill(below))))

    def pressure(self, tvd: ArrayLike) -> Array:
        """Return the gauge pressure [Pa] at *tvd* [m]."""
        z = np.asarray(tvd, dtype=np.float64)
        result = np.zeros(np.broadcast_shapes(z.shape, *(np.shape(known) for _, known in self._known)))
        ends = [*(layer.top for layer in self.layers[1:]), np.inf]
        for layer, end, (depth, known) in zip(self.layers, ends, self._known, strict=True):
            inside = z >= layer.top
            if np.any(inside):
                # evaluated between its own ends only: a gas law has no business beyond them
                own = np.minimum(np.maximum(z, layer.top), end)
                result = np.where(inside, layer.fill.carry(own, depth, known), result)
        return result

    @cached_property
    def _known(self) -> list[tuple[Sampled, Array]]:
        """Return a depth and the pressure there for each layer, walking from contact to contact."""
        tops = [layer.top for layer in self.layers]
        fills = [layer.fill for layer in self.layers]
        anchor: tuple[Sampled, Array] = (self.anchor_depth, self.anchor_pressure)
        known = [anchor] * len(tops)
        if self.anchored_in == "first":
            for i in range(1, len(tops)):
                known[i] = (tops[i], fills[i - 1].carry(tops[i], *known[i - 1]))
        else:
            for i in range(len(tops) - 2, -1, -1):
                known[i] = (tops[i + 1], fills[i + 1].carry(tops[i + 1], *known[i + 1]))
        return known

    def at(self, places: Places) -> Array:
        """Return the pressure at *places*."""
        return self.pressure(places.tvd)

    def breaks(self) -> Sequence[ArrayLike]:
        """Return the contacts."""
        return tuple(layer.top for layer in self.layers)

    def jumps(self) -> Sequence[ArrayLike]:
        """Return nothing: a column is continuous."""
        return ()

    def origin(self) -> tuple[Remark, ...]:
        """Return one line a layer, and the known pressure."""
        known = {
            "depth": (float(np.mean(self.anchor_depth)), LEVEL),
            "pressure": (float(np.mean(self.anchor_pressure)), PRESSURE),
        }
        return (*map(_layer_words, self.layers), Remark("{pressure} known at {depth} tvd", known))


def _layer_words(layer: Layer) -> Remark:
    what = layer.fill.words()
    top = (float(np.mean(layer.top)), LEVEL)
    return Remark(f"{what.template} from {{top}} tvd", {**what.values, "top": top})


def _fill(what: Fluid | Fill) -> Fill:
    return Liquid(what) if isinstance(what, Fluid) else what


def column(fill: Fluid | Fill, *, top: Sampled = 0.0, pressure: Sampled = 0.0) -> Column:
    """Return a column that begins at *top* [m tvd] with *pressure* [Pa] on it.

    Parameters
    ----------
    fill : Fluid or Fill
        What fills it.
    top : array_like
        True vertical depth of its top [m]; above it there is nothing.
    pressure : array_like
        Gauge pressure at the top [Pa].

    Returns
    -------
    Column
        To be continued downwards by `Column.over`.
    """
    return Column(layers=(Layer(top=top, fill=_fill(fill)),), anchor_depth=top, anchor_pressure=pressure)


def column_through(fill: Fluid | Fill, *, depth: Sampled, pressure: Sampled, top: Sampled = 0.0) -> Column:
    """Return a column of one fill through a known pressure at any depth, for example gas from a reservoir.

    Parameters
    ----------
    fill : Fluid or Fill
        What fills it.
    depth, pressure : array_like
        Where the pressure is known [m tvd], and its gauge value [Pa].
    top : array_like
        Where the column begins [m tvd].

    Returns
    -------
    Column
        Of one layer.
    """
    layer = Layer(top=top, fill=_fill(fill))
    return Column(layers=(layer,), anchor_depth=depth, anchor_pressure=pressure)


@dataclass(frozen=True, kw_only=True)
class Formation:
    """A pressure read off a table against true vertical depth, for example the pore pressure."""

    table: Table
    name: str

    def at(self, places: Places) -> Array:
        """Return the table's pressure at *places*."""
        return self.table(places.tvd)

    def breaks(self) -> Sequence[ArrayLike]:
        """Return the depths of the table."""
        return (self.table.tvd,)

    def jumps(self) -> Sequence[ArrayLike]:
        """Return nothing: the table is continuous."""
        return ()

    def origin(self) -> tuple[Remark, ...]:
        """Return its name."""
        return (Remark(f"{self.name} of the table"),)


@dataclass(frozen=True, kw_only=True)
class Empty:
    """No pressure at all: gas at atmospheric pressure, its weight neglected."""

    def at(self, places: Places) -> Array:
        """Return zero."""
        return np.zeros_like(places.tvd)

    def breaks(self) -> Sequence[ArrayLike]:
        """Return nothing."""
        return ()

    def jumps(self) -> Sequence[ArrayLike]:
        """Return nothing."""
        return ()

    def origin(self) -> tuple[Remark, ...]:
        """Return that it is empty."""
        return (Remark("empty: no pressure"),)


@dataclass(frozen=True, kw_only=True)
class Intervals:
    """Different pressures along different stretches of the hole; the value may jump between them.

    Attributes
    ----------
    tops : tuple of float
        Measured depth where each part begins, increasing [m]; the first also serves above it.
    parts : tuple of Pressure
        One for each.
    """

    tops: tuple[float, ...]
    parts: tuple[Pressure, ...]

    def at(self, places: Places) -> Array:
        """Return the pressure of the part that each place's stretch lies in."""
        result = self.parts[0].at(places)
        for top, part in zip(self.tops[1:], self.parts[1:], strict=True):
            result = np.where(places.middle > top, part.at(places), result)
        return result

    def breaks(self) -> Sequence[ArrayLike]:
        """Return the breaks of all parts."""
        return tuple(b for part in self.parts for b in part.breaks())

    def jumps(self) -> Sequence[ArrayLike]:
        """Return where the parts meet, and the jumps of the parts."""
        return (*self.tops[1:], *(jump for part in self.parts for jump in part.jumps()))

    def origin(self) -> tuple[Remark, ...]:
        """Return the parts, each with its depth."""
        return tuple(
            Remark(f"from {{part_top}} md: {line.template}", {**line.values, "part_top": (top, LEVEL)})
            for top, part in zip(self.tops, self.parts, strict=True)
            for line in part.origin()
        )


Temperature = Callable[[ArrayLike], Array]
"""Absolute temperature [K] against true vertical depth [m]."""
