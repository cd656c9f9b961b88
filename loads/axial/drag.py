r"""Friction on a string that is moved along its hole.

.. math:: F_e(s) = F_{e,0}(s) \pm \int_s^{shoe} \mu\, n(F_e)\, ds

with the effective force :math:`F_{e,0}` without friction and the side force *n*, which depends on the force itself:
in a bend the rope pulls itself against the wall. The sum is taken again with the force it gave until nothing changes;
being a sum from the shoe up, each turn brings a power more of it, so that few turns suffice.

References
----------
.. [1] C. A. Johancsik, D. B. Friesen and R. Dawson, "Torque and drag in directional wells", J. Petroleum
   Technology, June 1984 (SPE 11380; citation from memory).
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from ..arrays import Array
from ..errors import CannotEvaluate
from ..stations import Places
from .hanging import sum_from_below
from .lateral import Lateral

Moving = Literal["in", "out"]
_TURNS = 100
_SETTLED = 1e-12
_BEYOND = 1e12  # force that no string reaches [N]


def drag_force(free: Array, places: Places, lateral: Lateral, friction: Array | float, moving: Moving) -> Array:
    """Return what friction adds to the force in a string that is moved.

    Parameters
    ----------
    free : ndarray, (..., n)
        Effective force without friction [N].
    places : Places
        Where.
    lateral : Lateral
        Gives the side force.
    friction : float or ndarray, (..., n)
        Coefficient of friction [-].
    moving : {"in", "out"}
        Into the hole friction holds the string up, out of it it holds it back.

    Returns
    -------
    ndarray, (..., n)
        [N]; negative while it is moved in.

    Raises
    ------
    CannotEvaluate
        When the sum does not settle, or the string is stopped by its own friction.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    On a straight slope of 30 degrees half the weight of 500 N/m rests on the wall, whatever the force: 1000 m of it
    with a friction of 0.2 hold back 50 kN.

    >>> from casingloads.axial.contact import Course
    >>> from casingloads.path import WellPath
    >>> from casingloads.stations import places
    >>> where = places(np.array([0.0, 1000.0]), WellPath([0.0, 1000.0], np.radians([30.0, 30.0]), [0.0, 0.0]))
    >>> slope = Course(cosine=np.cos(np.radians(30.0)), curvature=0.0, steepening=0.0)
    >>> pipe = Lateral(stiffness=np.full(2, 1e7), clearance=np.zeros(2), weight_in_fluids=np.full(2, 500.0),
    ...                course=slope)
    >>> drag_force(np.zeros(2), where, pipe, 0.2, "out").round(6).tolist()
    [50000.0, 0.0]
    """
    sign = 1.0 if moving == "out" else -1.0
    step = places.md[..., 1::2] - places.md[..., 0::2]
    drag = np.zeros_like(free)
    for _ in range(_TURNS):
        density = friction * lateral.side_force(free + drag)
        mean = 0.5 * (density[..., 0::2] + density[..., 1::2])
        next_drag = sign * sum_from_below(stretches=mean * step, count=places.md.shape[-1])
        if not np.all(np.abs(next_drag) < _BEYOND):
            break
        settled = np.max(np.abs(next_drag - drag)) <= _SETTLED * max(1.0, float(np.max(np.abs(next_drag))))
        drag = next_drag
        if settled:
            return drag
    raise CannotEvaluate("the drag does not settle: the force grows without bound along the hole; lower the friction")
