"""What a string lies in: the strings set before it, and the hole below them."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..body import Body
from ..stations import Places
from ..well import String, Well


def radial_clearance(well: Well, string: String, places: Places, body: Body) -> Array:
    """Return the gap on each side of the pipe when it lies in the middle of its hole.

    The tightest of the strings set before it that are there, else its hole. Couplings are left out: the gap of the
    pipe body is the wider one, which lets it buckle farther.

    Parameters
    ----------
    well, string
        The string must be one of the well's; those before it in the well are set before it.
    places, body
        Where, and what pipe is there.

    Returns
    -------
    ndarray, (..., n)
        [m]; 0 above the ground or the sea floor where no other string is around it: nothing that it could lean on is
        known there.
    """
    around = np.zeros(places.middle.shape)
    for host in well.strings:
        if host.name == string.name:
            break
        for section in host.sections:
            here = places.within(section.top, section.bottom)
            bore = section.pipe.inside_diameter
            tighter = here & ((around == 0.0) | (around > bore))
            around = np.where(tighter, bore, around)
    ground = well.air_gap if well.sea_floor is None else well.sea_floor
    in_hole = (around == 0.0) & (places.middle > float(well.path.md_at_tvd(ground)))
    around = np.where(in_hole, string.hole_size, around)
    return np.maximum(0.5 * (around - body.outside_diameter), 0.0)
