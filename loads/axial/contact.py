r"""Side force between a string and what it lies in, from the balance of a short piece of it.

The pipe is taken to follow the hole (a soft string). Across its axis the effective force in a bend and the weight in
its fluids must be carried by the wall. With the effective force :math:`F_e`, the weight in fluids per length
:math:`w_e`, the inclination :math:`\alpha`, the curvature :math:`\kappa` of the path and the rate
:math:`c = d(\cos\alpha)/ds` at which it turns downwards,

.. math:: n^2 = F_e^2 \kappa^2 + 2 F_e w_e c + w_e^2 \sin^2\alpha

which is the sum of squares of the parts in the vertical plane and across it,
:math:`w_e \sin\alpha - F_e\,d\alpha/ds` and :math:`F_e \sin\alpha\,d\varphi/ds`.

References
----------
.. [1] C. A. Johancsik, D. B. Friesen and R. Dawson, "Torque and drag in directional wells", J. Petroleum
   Technology, June 1984 (SPE 11380; citation from memory). Derived here from the balance of forces.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..arrays import Array
from ..path import WellPath
from ..stations import Places


@dataclass(frozen=True, kw_only=True)
class Course:
    """How the path runs at each place.

    Attributes
    ----------
    cosine : ndarray, (..., n)
        Of the inclination.
    curvature : ndarray, (..., n)
        [1/m].
    steepening : ndarray, (..., n)
        Derivative of the cosine along the path [1/m].
    """

    cosine: Array
    curvature: Array
    steepening: Array

    def with_more(self, curvature: float) -> Course:
        """Return it with *curvature* [1/m] added, of a hole that winds around its path."""
        return replace(self, curvature=self.curvature + curvature)


def course(path: WellPath, places: Places) -> Course:
    """Return how *path* runs at *places*; what belongs to a stretch is looked up by its middle.

    Examples
    --------
    Where a hole begins to build, the curvature jumps.

    >>> from casingloads.stations import places
    >>> path = WellPath([0.0, 100.0, 200.0], [0.0, 0.0, 0.1], [0.0, 0.0, 0.0])
    >>> course(path, places(np.array([0.0, 100.0, 200.0]), path)).curvature.round(9).tolist()
    [0.0, 0.0, 0.001, 0.001]
    """
    return Course(
        cosine=np.cos(path.inclination(places.md)),
        curvature=path.curvature(places.middle),
        steepening=path.steepening(places.md, beside=places.middle),
    )


def side_force(effective: Array, weight_in_fluids: Array, along: Course) -> Array:
    """Return the side force per length between string and hole.

    Parameters
    ----------
    effective : ndarray, (..., n)
        Effective force, tension positive [N].
    weight_in_fluids : ndarray, (..., n)
        Weight of pipe and content less that of the fluid outside, per length [N/m].
    along : Course
        How the path runs.

    Returns
    -------
    ndarray, (..., n)
        [N/m], not negative.

    References
    ----------
    [1]_ of the module.

    Examples
    --------
    On a slope of 30 degrees half the weight rests on the wall.

    >>> slope = Course(cosine=np.cos(np.radians(30.0)), curvature=0.0, steepening=0.0)
    >>> round(float(side_force(1e6, 400.0, slope)), 6)
    200.0
    """
    sine_squared = np.maximum(1.0 - along.cosine**2, 0.0)
    square = (
        (effective * along.curvature) ** 2
        + 2.0 * effective * weight_in_fluids * along.steepening
        + weight_in_fluids**2 * sine_squared
    )
    return np.sqrt(np.maximum(square, 0.0))
