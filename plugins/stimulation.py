"""Load cases of pumping into the reservoir: stimulation and cold injection, down the casing or through tubing.

The string is cold, so that it shrinks against its holds while it is under pressure. Pressures at the wellhead are
against the atmosphere, also on the sea floor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

import casingloads as cl
from casingloads.arrays import Array, ArrayLike
from casingloads.plugins.production import REACHES_ALL, around_tubing, from_wellhead, moment, no_production
from casingloads.stations import Places
from casingloads.units import DENSITY, GRADIENT


def slurry_density(base: ArrayLike, added: ArrayLike, grain: ArrayLike) -> Array:
    """Return the density of a fluid with proppant in it.

    Parameters
    ----------
    base : array_like
        Density of the clean fluid [kg/m3].
    added : array_like
        Mass of proppant added to each volume of clean fluid [kg/m3]; pounds a gallon, as it is told on site, are such.
    grain : array_like
        Density of the grains [kg/m3].

    Returns
    -------
    ndarray, broadcast shape of the inputs
        [kg/m3].

    Raises
    ------
    ValueError
        If a density is not above zero, or *added* is below it.

    References
    ----------
    .. [1] Lecture of A. Ghalambor and B. Guo, 2005 (secondary copy), as a gradient in psi/ft:
       ``0.052 (W_bf + W_p) / (1 + W_p / (8.33 SG_p))`` with pounds a gallon of clean fluid.

    Examples
    --------
    Three quarters of a tonne of sand in a cubic metre of water; the sand takes up 0.3 m3 of its own.

    >>> float(slurry_density(1000.0, 750.0, 2500.0).round(3))
    1346.154
    """
    clean, mass, solid = (np.asarray(value, dtype=np.float64) for value in (base, added, grain))
    if np.any(clean <= 0.0) or np.any(solid <= 0.0) or np.any(mass < 0.0):
        found = f"base {np.min(clean):g}, added {np.min(mass):g}, grain {np.min(solid):g} kg/m3"
        raise ValueError(f"{found}: need base and grain above 0, added 0 or more")
    return np.asarray((clean + mass) / (1.0 + mass / solid))


@dataclass(frozen=True, kw_only=True)
class Pumped:
    """A column that is pumped down a string: friction takes pressure off it along the pipe.

    Attributes
    ----------
    column : Column
        At rest, with the pump's pressure on it.
    friction : float
        Loss of pressure per length of pipe [Pa/m].
    top : float
        Measured depth from which it is lost [m].

    """

    column: cl.Column
    friction: float
    top: float

    def at(self, places: Places) -> Array:
        """Return the pressure at *places*."""
        return self.column.at(places) - self.friction * np.maximum(places.md - self.top, 0.0)

    @property
    def at_rest(self) -> cl.Column:
        """The same fluid without friction, whose slope tells what it weighs."""
        return self.column

    def breaks(self) -> Sequence[ArrayLike]:
        """Return the breaks of the column."""
        return self.column.breaks()

    def jumps(self) -> Sequence[ArrayLike]:
        """Return nothing: it is continuous."""
        return ()

    def origin(self) -> tuple[cl.Remark, ...]:
        """Return the column's lines, and the friction."""
        lost = cl.Remark("less {friction} of friction along the pipe", {"friction": (self.friction, GRADIENT)})
        return (*self.column.origin(), lost)


def _slurry(base: cl.Fluid, proppant: float | None, grain: float) -> cl.Fluid:
    """Return the heaviest fluid that is pumped."""
    if proppant is None:
        return base
    try:
        density = float(slurry_density(base.density, proppant, grain))
    except ValueError as error:
        raise cl.CannotEvaluate(f"proppant and grain_density: {error}") from error
    return cl.Fluid(name=f"{base.name} with proppant", density=density)


def _heaviest(slurry: cl.Fluid, proppant: float | None) -> list[cl.Remark]:
    if proppant is None:
        return []
    return [cl.Remark("heaviest slurry {density}", {"density": (slurry.density, DENSITY)})]


@cl.load_case(
    phase="production",
    source="construction by hydrostatics: common practice, no source; slurry density: lecture of Ghalambor and Guo, "
    "2005 (secondary copy)",
    assumptions=(
        "the string is as cold all along as the named table says, at every step",
        "at screen-out nothing flows: the pump's full pressure stands on the heaviest slurry from wellhead to shoe",
        REACHES_ALL,
    ),
    applies=no_production,
)
def stimulation(
    scene: cl.Scene,
    *,
    pump_pressure: cl.Pressure,
    fluid: cl.FluidName,
    temperature: cl.TemperatureName,
    friction: cl.Gradient | None = None,
    proppant: cl.Density | None = None,
    grain_density: cl.Density = "2650 kg/m3",
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Stimulation or cold injection down the casing: pumping, screen-out, and shut down, all of them cold.

    Parameters
    ----------
    pump_pressure : Pressure
        Greatest at the wellhead, as the pump is limited.
    fluid : FluidName
        What is pumped, without proppant.
    temperature : TemperatureName
        Of the string while it is pumped through.
    friction : Gradient
        Loss of pressure while it flows, per length along the pipe; if left out, none.
    proppant : Density
        Greatest mass of it added to each volume of clean fluid; if left out, none.
    grain_density : Density
        Of the grains of proppant, quartz sand by default.
    outside : str
        What stands behind the pipe. By default settled mud, the lightest credible, since the load is burst.
    """
    slurry, behind = _slurry(fluid, proppant, grain_density), scene.outside(outside)
    clean = from_wellhead(scene, fluid, pump_pressure)
    flowing = Pumped(column=clean, friction=friction, top=scene.well.wellhead_depth) if friction else clean
    steps = [moment(scene, "pumping", flowing, behind, temperature)]
    if friction or proppant:  # else it is the step before
        blocked = from_wellhead(scene, slurry, pump_pressure)
        steps.append(moment(scene, "screen-out", blocked, behind, temperature))
    at_rest = from_wellhead(scene, fluid, scene.ambient_at_wellhead)
    steps.append(moment(scene, "shut down, bled off", at_rest, behind, temperature))
    return cl.Load(steps=tuple(steps), remarks=tuple(_heaviest(slurry, proppant)))


@cl.load_case(
    phase="production",
    source="construction by hydrostatics: common practice, no source; slurry density: lecture of Ghalambor and Guo, "
    "2005 (secondary copy)",
    assumptions=(
        "the string is as cold all along as the named table says, at every step",
        "below the packer the pump's pressure stands on the heaviest slurry without friction",
        "no relief valve opens the annulus when the tubing leaks, at the wellhead, where it presses most",
        REACHES_ALL,
    ),
    applies=no_production,
)
def stimulation_through_tubing(
    scene: cl.Scene,
    *,
    pump_pressure: cl.Pressure,
    backup_pressure: cl.Pressure,
    fluid: cl.FluidName,
    packer: cl.MeasuredDepth,
    packer_fluid: cl.FluidName,
    temperature: cl.TemperatureName,
    proppant: cl.Density | None = None,
    grain_density: cl.Density = "2650 kg/m3",
    outside: cl.Outside = "settled mud",
) -> cl.Load:
    """Stimulation or cold injection through tubing: back-up pressure on the annulus, a leak of the tubing, shut down.

    Parameters
    ----------
    pump_pressure : Pressure
        Greatest at the wellhead, in the tubing.
    backup_pressure : Pressure
        On the annulus at the wellhead, in support of the tubing.
    fluid : FluidName
        What is pumped, without proppant.
    packer : MeasuredDepth
        Where the tubing is sealed to the casing or liner.
    packer_fluid : FluidName
        What fills the annulus above it.
    temperature : TemperatureName
        Of the string while the tubing is pumped through.
    proppant : Density
        Greatest mass of it added to each volume of clean fluid; if left out, none.
    grain_density : Density
        Of the grains of proppant, quartz sand by default.
    outside : str
        What stands behind the pipe. By default settled mud, the lightest credible, since the load is burst.
    """
    slurry, behind = _slurry(fluid, proppant, grain_density), scene.outside(outside)
    pumped, ambient = from_wellhead(scene, slurry, pump_pressure), scene.ambient_at_wellhead
    bled = from_wellhead(scene, fluid, ambient)
    steps = [
        moment(
            scene,
            name,
            around_tubing(scene, packer, from_wellhead(scene, packer_fluid, on_annulus), below),
            behind,
            temperature,
        )
        for name, on_annulus, below in (
            ("pumping", backup_pressure, pumped),
            ("tubing leaks", pump_pressure, pumped),
            ("shut down, bled off", ambient, bled),
        )
    ]
    return cl.Load(steps=tuple(steps), remarks=tuple(_heaviest(slurry, proppant)))


@cl.hookimpl
def casingloads_load_cases() -> Sequence[cl.LoadCase]:
    """Offer the cases of this module."""
    return [stimulation, stimulation_through_tubing]
