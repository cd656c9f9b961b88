"""The tube along a string as it is in one state: how warm, how worn."""

from __future__ import annotations

import numpy as np

from .arrays import Array
from .body import Body
from .constants import STEEL_MODULUS
from .errors import CannotEvaluate, MissingInput
from .stations import Places
from .strength.check import Tube
from .units import TEMPERATURE, show
from .well import Derating, Steel, String


def tube_along(
    string: String, steel: Steel, places: Places, body: Body, temperature: Array | None, *, worn: bool
) -> Tube:
    """Return the tube of *string* at *places*.

    Parameters
    ----------
    string : String
        Gives derating and wall loss by section.
    steel : Steel
        Gives the modulus.
    places, body
        Where, and what pipe is there.
    temperature : ndarray or None, (..., n)
        Absolute [K]; None where it is not known.
    worn : bool
        Whether wall has been lost; not while the string is new and hangs free.

    Returns
    -------
    Tube
    """
    shape = places.md.shape
    hot, soft = np.ones(shape), np.ones(shape)
    inside, outside, groove = np.zeros(shape), np.zeros(shape), np.zeros(shape, dtype=bool)
    for index, section in enumerate(string.sections):
        here = body.section == index
        if section.derating is not None:
            hot, soft = _derated(section.derating, temperature, here, hot, soft)
        loss = section.wall_loss
        if worn and loss is not None:
            inside = np.where(here, np.interp(places.md, loss.md, loss.inside), inside)
            outside = np.where(here, np.interp(places.md, loss.md, loss.outside), outside)
            groove = groove | (here & loss.groove)
    return Tube(
        outside_diameter=body.outside_diameter,
        wall=body.wall,
        wall_factor=body.wall_factor,
        specified_yield=body.yield_strength,
        yield_factor=hot,
        modulus_factor=soft * min(1.0, steel.modulus / STEEL_MODULUS),  # stiffer steel gains nothing
        tensile_strength=_tensile(string, body),
        loss_inside=inside,
        loss_outside=outside,
        groove=groove,
    )


def _derated(table: Derating, temperature: Array | None, here: Array, hot: Array, soft: Array) -> tuple[Array, Array]:
    if temperature is None:
        raise MissingInput(f"earth.temperature, for derating {table.name!r}")
    hottest, last = float(np.max(temperature[here], initial=0.0)), float(table.temperature[-1])
    if hottest > last + 1e-6:
        reach = f"ends at {show(last, TEMPERATURE)}, but the pipe is at {show(hottest, TEMPERATURE)}"
        raise CannotEvaluate(f"derating {table.name!r} {reach}; extend it")
    return (
        np.where(here, np.interp(temperature, table.temperature, table.yield_factor), hot),
        np.where(here, np.interp(temperature, table.temperature, table.modulus_factor), soft),
    )


def _tensile(string: String, body: Body) -> Array | None:
    found = [section.pipe.tensile_strength for section in string.sections]
    known = [strength for strength in found if strength is not None]
    return np.array(known)[body.section] if len(known) == len(found) else None
