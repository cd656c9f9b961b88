"""How much wall may be lost: by the same checks that worn pipe is put through."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..arrays import Floats
from .check import Loading, Tube
from .model import ChosenModel

_ROUNDS = 60  # halvings: the interval shrinks below any digit of a float


def allowable_wall_loss(model: ChosenModel, tube: Tube, loading: Loading, required: float) -> Floats:
    """Return the greatest loss of wall from inside at which the factor still meets what is required.

    Parameters
    ----------
    model : ChosenModel
        Strength model with its parameters.
    tube : Tube
        The pipe, with any loss outside, groove and temperature it has; its loss inside is what is looked for.
    loading : Loading
        What acts on it.
    required : float
        Factor.

    Returns
    -------
    ndarray, (..., n)
        Loss [m]; zero where even the whole wall does not meet it, the whole minimum wall where there is no load.

    Notes
    -----
    By halving: the factor falls as wall is lost.

    References
    ----------
    The model's own.

    Examples
    --------
    9-5/8 in 47 lb/ft of 80 ksi under 5000 psi: 2 Y (0.875 t - a)/D = 1.1 p leaves a = 0.0821 in.

    >>> from casingloads.strength.burst_models import internal_yield
    >>> psi, inch = 6894.757293, 0.0254
    >>> tube = Tube(outside_diameter=np.array([9.625 * inch]), wall=np.array([0.472 * inch]),
    ...             wall_factor=np.array([0.875]), specified_yield=np.array([80e3 * psi]))
    >>> loading = Loading(internal_pressure=np.array([5e3 * psi]), external_pressure=np.zeros(1),
    ...                   axial_force=np.zeros(1), bending_stress=np.zeros(1))
    >>> loss = allowable_wall_loss(ChosenModel(model=internal_yield), tube, loading, 1.1)
    >>> round(float(loss[0]) / inch, 4)
    0.0821
    """
    least = np.asarray(tube.wall_factor * tube.wall - tube.loss_outside, dtype=np.float64)
    low, high = np.zeros_like(least), least * (1.0 - 1e-9)  # some wall must be left for a rating
    if not np.all(least > 0.0):
        raise ValueError("loss_outside leaves no wall; need less than the minimum wall")
    for _ in range(_ROUNDS):
        middle = 0.5 * (low + high)
        outcome = model.check(replace(tube, loss_inside=middle), loading)
        meets = ~np.asarray(outcome.loaded) | (outcome.factor >= required)
        low, high = np.where(meets, middle, low), np.where(meets, high, middle)
    return low
