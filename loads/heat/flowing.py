r"""Temperature of a liquid that flows along a well: up, down, or down the drill string and back up the annulus.

All profiles are exact solutions of the balance of heat of the stream; what it loses meets the resistances of
`casingloads.heat.resistance`.

Assumed: one phase that does not compress (friction heat is left out; the head lost on the way and the heat made of it
then cancel), constant properties, no heat stored in the liquid, and no heat conducted along the well. Gas, boiling and
geothermal steam are not covered.

The formation answers as if each depth had always passed on the heat it passes on now, so it seems to take up more than
it does. Against conduction stepped in time (3000 m, 90 K from end to end) water at 2 to 20 kg/s comes up too cool by up
to 2.0 K after one day, 1.0 K after ten and 0.5 K after a hundred; the annulus temperature of mud that circulates at 10
to 40 kg/s is up to 1.7, 0.7 and 0.3 K off.

References
----------
.. [1] H. J. Ramey, "Wellbore heat transmission", J. Petroleum Technology, April 1962 (citation from memory).
.. [2] A. R. Hasan and C. S. Kabir, "Heat transfer during two-phase flow in wellbores: part I, formation
   temperature", SPE 22866, 1991 (citation from memory).
.. [3] C. S. Holmes and S. C. Swift, "Calculation of circulating mud temperatures", J. Petroleum Technology, June 1970
   (citation from memory).

All formulas are from memory; the tests derive or integrate each of them anew.
"""

from __future__ import annotations

import numpy as np

from ..arrays import Array, ArrayLike, Floats, Ints
from ..path import WellPath
from ..stations import points_along
from ..well import Table
from .resistance import KELVIN, Flow, Geotherm, positive, within

_SAME = 1e-6  # depths nearer than this are one [m]


def production_temperature(
    tvd: ArrayLike,
    *,
    flow: Flow,
    resistance: ArrayLike,
    geotherm: Geotherm,
    inlet_tvd: ArrayLike,
    inlet_temperature: ArrayLike,
    inclination: ArrayLike = 0.0,
) -> Array:
    r"""Return the temperature of a liquid that flows up a straight hole, from its inlet below.

    With the distance s from the inlet along the hole, the ground's gradient G along s and :math:`A = w c R`,

    .. math:: T = T_g(s) - G A\, (1 - e^{-s/A}) + (T_{in} - T_g(0))\, e^{-s/A}

    Parameters
    ----------
    tvd : array_like, (..., m)
        True vertical depths [m], none below *inlet_tvd*. They and the result make a `Table`, whose rows must be near
        each other compared with A.
    flow : Flow
        The stream.
    resistance : array_like, (..., 1)
        From the liquid to the undisturbed ground [K m/W]: `wall_resistance` and `formation_resistance` added.
    geotherm : Geotherm
        Temperature of the ground.
    inlet_tvd, inlet_temperature : array_like, (..., 1)
        Where the liquid enters [m] and how warm [K].
    inclination : array_like, (..., 1)
        Of the hole, from vertical [rad], below pi/2.

    Returns
    -------
    ndarray, broadcast shape
        Temperature [K].

    Raises
    ------
    ValueError
        If a number is out of range or a depth is below the inlet.

    References
    ----------
    [1]_ of the module, formula from memory.

    Examples
    --------
    Water from 3000 m; cement and annulus as U = 25 W/(m2 K) on a radius of 0.1 m, and a million seconds.

    >>> from casingloads.heat.resistance import formation_resistance, wall_resistance
    >>> R = wall_resistance(25.0, 0.1)
    >>> R = R + formation_resistance(conductivity=2.25, diffusivity=1e-6, hole_radius=0.1, time=1e6)
    >>> water, depths = Flow(mass_rate=5.0, specific_heat=4200.0), [0.0, 1500.0, 3000.0]
    >>> rocks = Geotherm(surface_tvd=0.0, surface_temperature=283.15, gradient=0.03)
    >>> T = production_temperature(
    ...     depths, flow=water, resistance=R, geotherm=rocks, inlet_tvd=3000.0, inlet_temperature=373.15
    ... )
    >>> Table(tvd=np.array(depths), value=T).value.round(2).tolist()
    [352.15, 367.43, 373.15]
    """
    depth, lean = within("tvd", tvd, "m"), _leaning(inclination)
    inlet = within("inlet_tvd", inlet_tvd, "m")
    if np.any(depth > inlet):
        raise ValueError(f"tvd must not be below the inlet at {np.min(inlet):g} m, got {np.max(depth):g} m")
    slope = -geotherm.gradient * lean
    return _relaxed((inlet - depth) / lean, _length(flow, resistance), geotherm(inlet), slope, inlet_temperature)


def injection_temperature(
    tvd: ArrayLike,
    *,
    flow: Flow,
    resistance: ArrayLike,
    geotherm: Geotherm,
    inlet_tvd: ArrayLike,
    inlet_temperature: ArrayLike,
    inclination: ArrayLike = 0.0,
) -> Array:
    """Return the temperature of a liquid that flows down a straight hole, from its inlet above.

    All is as in `production_temperature`, but no depth may be above *inlet_tvd*.

    Examples
    --------
    >>> rocks = Geotherm(surface_tvd=0.0, surface_temperature=283.15, gradient=0.03)
    >>> water = Flow(mass_rate=5.0, specific_heat=4200.0)
    >>> T = injection_temperature(
    ...     3000.0, flow=water, resistance=0.25, geotherm=rocks, inlet_tvd=0.0, inlet_temperature=283.15
    ... )
    >>> round(float(T), 2)
    304.59
    """
    depth, lean = within("tvd", tvd, "m"), _leaning(inclination)
    inlet = within("inlet_tvd", inlet_tvd, "m")
    if np.any(depth < inlet):
        raise ValueError(f"tvd must not be above the inlet at {np.max(inlet):g} m, got {np.min(depth):g} m")
    slope = geotherm.gradient * lean
    return _relaxed((depth - inlet) / lean, _length(flow, resistance), geotherm(inlet), slope, inlet_temperature)


def flowing_temperature(
    tvd: ArrayLike,
    *,
    path: WellPath,
    ground: Table,
    flow: Flow,
    resistance: ArrayLike,
    inlet_md: float,
    inlet_temperature: ArrayLike,
) -> Array:
    """Return the temperature of a liquid that flows up or down a well of any path through ground of any table.

    The liquid runs from its inlet to the depths asked for, up or down. The formula of `production_temperature` is
    carried along the path from point to point, 30 m apart at most and one at each row of *ground*: exact where the path
    is straight, and as if the ground were 0.2 m off at most where it bends by 3 deg/30 m.

    Parameters
    ----------
    tvd : array_like, (..., m)
        True vertical depths [m], all above or all below the inlet; the first passage of the path through each counts.
    path : WellPath
        From the drill floor.
    ground : Table
        Undisturbed temperature [K], as far as the liquid runs.
    flow, resistance, inlet_temperature : Flow and array_like, (..., 1)
        As in `production_temperature`.
    inlet_md : float
        Measured depth where the liquid enters [m].

    Returns
    -------
    ndarray, (..., m)
        Temperature [K]; a `Table` of it needs rows as `production_temperature` says.

    Raises
    ------
    ValueError
        If a number is out of range, depths are on both sides of the inlet, or the ground's table is too short.

    References
    ----------
    [1]_ of the module, formula from memory.

    Examples
    --------
    >>> T = flowing_temperature(
    ...     [0.0, 1500.0, 3000.0],
    ...     path=WellPath.vertical(3000.0),
    ...     ground=Table(tvd=np.array([0.0, 1000.0, 3000.0]), value=np.array([283.15, 303.15, 373.15])),
    ...     flow=Flow(mass_rate=5.0, specific_heat=4200.0),
    ...     resistance=0.25,
    ...     inlet_md=3000.0,
    ...     inlet_temperature=373.15,
    ... )
    >>> T.round(2).tolist()
    [349.48, 366.32, 373.15]
    """
    inlet, depth = float(within("inlet_md", inlet_md, "m", 0.0)), within("tvd", tvd, "m", 0.0)
    md = path.md_at_tvd(np.atleast_1d(depth))
    md = np.where(np.abs(md - inlet) < _SAME, inlet, md)
    low, high = min(float(np.min(md)), inlet), max(float(np.max(md)), inlet)
    if low < inlet < high:
        found = f"{np.min(depth):g} to {np.max(depth):g} m"
        raise ValueError(f"tvd must be all above or all below the inlet at {inlet:g} m md, got {found}")
    upward = inlet > 0.0 and high == inlet
    rows = _rows(path, ground, *((0.0, inlet) if upward else (inlet, max(path.end, high))))
    _check_reach(ground, path.tvd(rows[(rows >= low) & (rows <= high)]))
    rows = rows[::-1] if upward else rows
    way, asked, length = np.abs(rows - inlet), np.abs(md - inlet), np.atleast_1d(_length(flow, resistance))
    entry = np.atleast_1d(within("inlet_temperature", inlet_temperature, "K", *KELVIN))
    for name, values in (("flow and resistance", length), ("inlet_temperature", entry)):
        if values.shape[-1] != 1:
            raise ValueError(f"{name} must be scalar or of shape (..., 1), got shape {values.shape}")
    beside = within("ground", ground(path.tvd(rows)), "K", *KELVIN)
    found_at = _relaxed_in_rows(asked, length, way, beside, entry)
    return found_at.reshape(()) if depth.ndim == 0 and found_at.shape == (1,) else found_at


def circulation_temperature(
    tvd: ArrayLike,
    *,
    flow: Flow,
    pipe_resistance: ArrayLike,
    ground_resistance: ArrayLike,
    geotherm: Geotherm,
    top_tvd: ArrayLike,
    bottom_tvd: ArrayLike,
    inlet_temperature: ArrayLike,
    inclination: ArrayLike = 0.0,
) -> tuple[Array, Array]:
    r"""Return the temperatures in the drill string and in the annulus while mud circulates in a straight hole.

    With the distance s from the top along the hole, the ground's gradient G along s, :math:`A = w c R_{pipe}` and
    :math:`C = w c R_{ground}`,

    .. math::
        T_{pipe} &= T_g - A G + k_1 e^{-\lambda_1 (L - s)} + k_2 e^{\lambda_2 s} \\
        T_{annulus} &= T_g + (1 + A \lambda_1) k_1 e^{-\lambda_1 (L - s)} + (1 + A \lambda_2) k_2 e^{\lambda_2 s}

    where :math:`\lambda_{1,2} = (1 \pm \sqrt{1 + 4 C / A}) / 2 C`, and :math:`k_1, k_2` give the inlet temperature at
    the top of the string and one temperature at the bottom. Casing beside the annulus takes the annulus temperature.

    Parameters
    ----------
    tvd : array_like, (..., m)
        True vertical depths [m], from *top_tvd* to *bottom_tvd*.
    flow : Flow
        The mud, down the string and up the annulus.
    pipe_resistance : array_like, (..., 1)
        From inside the drill string to the annulus [K m/W], as by `wall_resistance`.
    ground_resistance : array_like, (..., 1)
        From the annulus to the undisturbed ground [K m/W]: `wall_resistance` and `formation_resistance` added.
    geotherm, inclination : Geotherm and array_like, (..., 1)
        As in `production_temperature`.
    top_tvd, bottom_tvd : array_like, (..., 1)
        Where the mud enters the string, and where it turns [m].
    inlet_temperature : array_like, (..., 1)
        Of the mud that enters [K].

    Returns
    -------
    pipe, annulus : ndarray, broadcast shape
        Temperatures [K].

    Raises
    ------
    ValueError
        If a number is out of range or a depth is not between top and bottom.

    References
    ----------
    [3]_ of the module, formula from memory.

    Examples
    --------
    >>> pipe, annulus = circulation_temperature(
    ...     [0.0, 3000.0],
    ...     flow=Flow(mass_rate=30.0, specific_heat=3000.0),
    ...     pipe_resistance=0.02,
    ...     ground_resistance=0.15,
    ...     geotherm=Geotherm(surface_tvd=0.0, surface_temperature=283.15, gradient=0.03),
    ...     top_tvd=0.0,
    ...     bottom_tvd=3000.0,
    ...     inlet_temperature=300.0,
    ... )
    >>> pipe.round(2).tolist(), annulus.round(2).tolist()
    ([300.0, 306.48], [304.54, 306.48])
    """
    depth, lean = within("tvd", tvd, "m"), _leaning(inclination)
    top, bottom = within("top_tvd", top_tvd, "m"), within("bottom_tvd", bottom_tvd, "m")
    if np.any(depth < top) or np.any(depth > bottom):
        raise ValueError(
            f"tvd must be from top_tvd to bottom_tvd, {np.max(top):g} to {np.min(bottom):g} m, "
            f"got {np.min(depth):g} to {np.max(depth):g} m"
        )
    A = _length(flow, positive("pipe_resistance", pipe_resistance, "K m/W"))
    C = _length(flow, positive("ground_resistance", ground_resistance, "K m/W"))
    s, L, G = (depth - top) / lean, (bottom - top) / lean, geotherm.gradient * lean
    rise = (1.0 + np.sqrt(1.0 + 4.0 * C / A)) / (2.0 * C)
    fall = -1.0 / (A * C * rise)  # the two multiply to -1/(A C); their formula would lose digits here
    start = within("inlet_temperature", inlet_temperature, "K", *KELVIN) - geotherm(top) + A * G
    k1 = -(G + start * fall * np.exp(fall * L)) / (rise - fall * np.exp((fall - rise) * L))
    k2 = start - k1 * np.exp(-rise * L)
    rising, falling, ground = k1 * np.exp(-rise * (L - s)), k2 * np.exp(fall * s), geotherm(depth)
    pipe = ground - A * G + rising + falling
    return pipe, ground + (1.0 + A * rise) * rising + (1.0 + A * fall) * falling


def _rows(path: WellPath, ground: Table, top: float, bottom: float) -> Floats:
    """Return measured depths between which path and ground are as good as straight."""
    stations = points_along(top, bottom, [path.stations])
    tvd = path.tvd(stations)
    kinks = ground.tvd[(ground.tvd > np.min(tvd)) & (ground.tvd < np.max(tvd))]
    return points_along(top, bottom, [stations, path.md_at_tvd(kinks)])


def _check_reach(ground: Table, tvd: Floats) -> None:
    """Refuse depths beyond the ends of the table, where it would be held constant."""
    if np.min(tvd) < ground.tvd[0] - _SAME or np.max(tvd) > ground.tvd[-1] + _SAME:
        raise ValueError(
            f"ground must reach from {np.min(tvd):g} to {np.max(tvd):g} m tvd, "
            f"got a table from {ground.tvd[0]:g} to {ground.tvd[-1]:g} m"
        )


def _leaning(inclination: ArrayLike) -> Floats:
    """Return the cosine of an inclination that is not level."""
    return np.asarray(np.cos(within("inclination", inclination, "rad", 0.0, 0.4999 * np.pi)))


def _length(flow: Flow, resistance: ArrayLike) -> Array:
    """Return the distance over which a stream comes e times closer to the temperature beside it [m]."""
    return flow.mass_rate * flow.specific_heat * positive("resistance", resistance, "K m/W", infinite=True)


def _relaxed(distance: Array, length: Array, ground: Array, slope: Array, entry: ArrayLike) -> Array:
    """Return the temperature at a distance from where *entry* meets the *ground*, which then changes by *slope*."""
    excess = within("inlet_temperature", entry, "K", *KELVIN) - ground
    return ground + slope * distance + _excess(distance, length, slope, excess)


def _excess(distance: Array, length: Array, slope: Array, excess: Array) -> Array:
    """Return how much warmer than the ground a stream is, after a distance with one slope of the ground."""
    x = distance / length
    mean_decay = np.where(x > 0.0, -np.expm1(-x) / np.where(x > 0.0, x, 1.0), 1.0)  # of exp(-x) from 0 to x
    return excess * np.exp(-x) - slope * distance * mean_decay


def _relaxed_in_rows(asked: Floats, length: Floats, way: Floats, ground: Floats, entry: Floats) -> Array:
    """Return the temperature at distances *asked* for; *ground* is known at the distances *way*, (n,)."""
    step = np.diff(way)
    slope = np.diff(ground) / step
    gain, factor = _excess(step, length, slope, 0.0), np.exp(-step / length)  # of each stretch
    excess = _chained(entry - ground[0], gain, factor)
    row = np.minimum(np.searchsorted(way, asked, side="right") - 1, step.size - 1)
    beyond = asked - way[row]
    return ground[row] + slope[row] * beyond + _excess(beyond, length, slope[row], _picked(excess, row))


def _chained(start: Floats, gain: Floats, factor: Floats) -> Floats:
    """Return x_0 = *start* and all x_k+1 = factor_k x_k + gain_k, along the last axis.

    Neighbouring steps are joined to steps twice as long, again and again, instead of walked one after the other.
    """
    samples = np.broadcast_shapes(start.shape[:-1], gain.shape[:-1])
    first, gain, factor = (np.broadcast_to(a, (*samples, a.shape[-1])) for a in (start, gain, factor))
    x, factor = np.concatenate([first, gain], axis=-1), np.concatenate([0.0 * first, factor], axis=-1)
    joined = 1
    while joined < x.shape[-1]:
        x[..., joined:] += factor[..., joined:] * x[..., :-joined]
        factor[..., joined:] *= factor[..., :-joined].copy()
        joined *= 2
    return x


def _picked(values: Floats, row: Ints) -> Floats:
    """Return *values*, (..., n), at rows that may differ from sample to sample, (..., m)."""
    samples = np.broadcast_shapes(values.shape[:-1], row.shape[:-1])
    values = np.broadcast_to(values, (*samples, values.shape[-1]))
    return np.take_along_axis(values, np.broadcast_to(row, (*samples, row.shape[-1])), axis=-1)
