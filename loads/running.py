"""Where a string is checked on its way down: the moments at which its worst tension can come."""

from __future__ import annotations

import numpy as np

from . import situations
from .arrays import Floats
from .constants import GRAVITY
from .stations import points_along
from .units import WHOLE_LENGTH, show
from .well import Pipe, String, Well

EVEN_STOPS = 8
"""Evenly spaced depths of the shoe besides the special ones."""


def shoe_depths(well: Well, string: String, beyond: float = 0.0) -> list[tuple[float, str]]:
    """Return the depths of the shoe [m md] at which to check a string while it is run, each with a name.

    The string is longest, and pulls hardest, whenever the top of a section passes the drill floor (for a subsea
    string all of it hangs there before the landing string is made up). Steel bends most where a section's top passes
    a dogleg: of all the doglegs it passes the ones with the greatest tension plus bending are taken.

    Parameters
    ----------
    well, string
        The well and one of its strings.
    beyond : float
        Only from this depth of the shoe on, and first of all there [m md].

    Returns
    -------
    list of (float, str)
        Increasing; the last is the final depth.
    """
    named = {string.shoe: "landed"}
    for number, section in enumerate(string.sections):
        hung = string.shoe - section.top
        if hung < string.shoe:
            named.setdefault(hung, f"section {number + 1} top at the drill floor")
        for dogleg in _worst_doglegs(well, string, number):
            place = show(dogleg, WHOLE_LENGTH, well.units)
            named.setdefault(hung + dogleg, f"section {number + 1} top in the dogleg at {place}")
    if beyond > 0.0:
        named = {depth: name for depth, name in named.items() if depth > beyond}
        named[beyond] = f"shoe at {show(beyond, WHOLE_LENGTH, well.units)}"
    for depth in np.linspace(beyond, string.shoe, EVEN_STOPS + 1)[1:-1]:
        if all(abs(depth - known) > 1.0 for known in named):
            named[float(depth)] = f"shoe at {show(float(depth), WHOLE_LENGTH, well.units)}"
    return sorted(named.items())


def _worst_doglegs(well: Well, string: String, number: int) -> list[float]:
    """Return the measured depths [m] at which the top of a section is stressed most on its way; none if it is straight.

    The candidates lie along the path that the section's top passes, no farther apart than stations; the section
    begins there, so the curvature is that of the hole below. Two of them: where tension plus bending is greatest, and
    where the equivalent stress is. With one pressure ``p`` all around, that is the one of tension plus ``p`` plus
    bending, since a hydrostatic part does not count.
    """
    top = string.sections[number].top
    passed = points_along(0.0, top, [well.path.stations])
    curvature = well.path.curvature(passed)
    if not np.any(curvature > 0.0):
        return []
    pipe = string.sections[number].pipe
    bending = 0.5 * well.steel.modulus * pipe.outside_diameter * curvature
    tension = tension_while_passing(well, string, number, passed) / _steel(pipe) + bending
    pressure = situations.outside_as_run(well, string).pressure(well.path.tvd(passed))
    worst = {float(passed[int(np.argmax(stress))]) for stress in (tension, tension + pressure)}
    return sorted(depth for depth in worst if depth < top)  # at its final depth the landed step shows it


def tension_while_passing(well: Well, string: String, number: int, depth: Floats) -> Floats:
    """Return the true force [N] in the top of a section while it passes a depth, the string filled as the hole is.

    With the same pressure ``p`` inside and outside, the end carries ``-p A_s`` and each change of pipe
    ``p (A_s,below - A_s,above)``.

    Parameters
    ----------
    well, string
        The well and one of its strings.
    number : int
        Index of the section.
    depth : ndarray, (k,)
        Measured depths of the section's top [m].

    Returns
    -------
    ndarray, (k,)
    """
    sections = string.sections[number:]
    offsets = np.array([0.0, *(section.bottom - sections[0].top for section in sections)])
    tvd = np.asarray(well.path.tvd(np.asarray(depth)[:, np.newaxis] + offsets))
    pressure = situations.outside_as_run(well, string).pressure(tvd)
    area = np.array([_steel(section.pipe) for section in sections])
    weight = np.array([section.pipe.weight * GRAVITY for section in sections])
    hanging = np.sum(weight * np.diff(tvd, axis=-1), axis=-1)
    steps = np.sum(pressure[:, 1:-1] * np.diff(area), axis=-1)
    return np.asarray(hanging + steps - pressure[:, -1] * area[-1])


def _steel(pipe: Pipe) -> float:
    return 0.25 * np.pi * (pipe.outside_diameter**2 - pipe.inside_diameter**2)
