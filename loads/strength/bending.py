"""Bending stress of a pipe that follows a curved hole."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Floats
from .geometry import checked


def bending_stress(od: ArrayLike, curvature: ArrayLike, modulus: ArrayLike) -> Floats:
    """Return the bending stress at the outer fibre, E (D/2) kappa.

    It is tension on the outside of the bend and compression on the inside; it is a stress, never to be fed
    back as an axial force.

    Parameters
    ----------
    od : array_like
        Outside diameter [m].
    curvature : array_like
        Curvature of the pipe [rad/m], not negative.
    modulus : array_like
        Young's modulus [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Magnitude of the stress [Pa].

    Raises
    ------
    ValueError
        If *od* or *modulus* is not positive or *curvature* is negative.

    References
    ----------
    .. [1] ISO/TR 10400:2007 (API TR 5C3), clause 6, bending stress; in field units 218 D times deg/100 ft for
       E = 30e6 psi (Bourgoyne et al., *Applied Drilling Engineering*, 1986, ch. 7).

    Examples
    --------
    >>> per_100_ft = 3.141592653589793 / 180 / 30.48
    >>> round(float(bending_stress(0.0254, 1.0 * per_100_ft, 30e6 * 6894.757293)) / 6894.757293)
    218
    """
    radius = checked("od", od, "m", above=0.0) / 2.0
    modulus = checked("modulus", modulus, "Pa", above=0.0)
    return modulus * radius * checked("curvature", curvature, "rad/m", least=0.0)


def lubinski_factor(
    effective_force: ArrayLike, second_moment: ArrayLike, joint_length: ArrayLike, modulus: ArrayLike
) -> Floats:
    r"""Return the local peak of bending when only the couplings touch the hole.

    Tension straightens the joint between its couplings, so that the curvature gathers at them; the bending
    stress of the hole's curvature is to be multiplied by

    .. math:: \frac{KL}{\tanh KL}, \qquad K = \sqrt{\frac{F}{EI}}, \qquad L = \tfrac12 \text{ joint}.

    Parameters
    ----------
    effective_force : array_like
        Effective axial force [N], tension positive. In compression the joint bows, and the greatest curvature is
        at its middle: K L / sin K L, as long as the wall of the hole does not stop it (a bow is a few
        millimetres at usual forces, less than the coupling stands off).
    second_moment : array_like
        Second moment of area of the pipe [m4].
    joint_length : array_like
        Length of a joint, coupling to coupling [m].
    modulus : array_like
        Young's modulus [Pa].

    Returns
    -------
    ndarray, broadcast shape
        Factor on the bending stress, at least 1.

    Raises
    ------
    ValueError
        If a force is not finite, one of the others is not positive, or compression reaches the Euler load of a
        joint held at its couplings (K L = pi).

    References
    ----------
    .. [1] Lubinski, A., "Maximum permissible dog-legs in rotary boreholes", *JPT*, February 1961.
    .. [2] Bourgoyne et al., *Applied Drilling Engineering*, 1986, ch. 7, where it stands as 6KL/tanh(6KL)
       with L the joint in feet and K per inch.

    Examples
    --------
    The dogleg example of [2]_, 7-5/8 in 39 lb/ft with 400,000 lbf in 36-ft joints, 4 deg/100 ft: 55,475 psi,
    of which 35,740 psi is the pull; the curvature alone gives 6,654 psi.

    >>> inertia = 3.141592653589793 / 64 * (7.625**4 - 6.625**4) * 0.0254**4
    >>> factor = lubinski_factor(400e3 * 4.448221615, inertia, 36 * 0.3048, 30e6 * 6894.757293)
    >>> round(float(factor), 2), round((55475 - 35740) / 6654, 2)
    (2.97, 2.97)
    """
    force = checked("effective_force", effective_force, "N")
    second_moment = checked("second_moment", second_moment, "m4", above=0.0)
    joint_length = checked("joint_length", joint_length, "m", above=0.0)
    stiffness = checked("modulus", modulus, "Pa", above=0.0) * second_moment
    half_joint = np.sqrt(np.abs(force) / stiffness) * joint_length / 2.0
    half_joint = np.maximum(half_joint, 1e-8)  # x/tanh(x) is 1 there, not 0/0
    if np.any((force < 0.0) & (half_joint >= np.pi)):
        least = float(np.min(force))
        raise ValueError(
            f"effective_force = {least:g} N: a joint between couplings buckles under it; need less compression"
        )
    pushed = force < 0.0
    bowed = half_joint / np.sin(np.where(pushed, half_joint, 1.0))
    return np.where(pushed, bowed, half_joint / np.tanh(half_joint))
