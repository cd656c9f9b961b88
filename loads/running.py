"""Where a string is checked on its way down: the moments at which its worst tension can come."""

from __future__ import annotations

import numpy as np

from . import situations
from .arrays import Floats
from .constants import GRAVITY
from .units import WHOLE_LENGTH, show
from .well import Pipe, String, Well

EVEN_STOPS = 8
"""Evenly spaced depths of the shoe besides the special ones."""


def shoe_depths(well: Well, string: String) -> list[tuple[float, str]]:
    """Return the depths of the shoe [m md] at which to check a string while it is run, each with a name.

    The string is longest, and pulls hardest, whenever the top of a section passes the drill floor (for a subsea
    string all of it hangs there before the landing string is made up). Steel bends most where a section's top passes
    a dogleg: of all the doglegs it passes the one with the greatest stress from tension plus bending is taken.

    Parameters
    ----------
    well, string
        The well and one of its strings.

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
        dogleg = _worst_dogleg(well, string, number)
        if dogleg is not None:
            place = show(dogleg, WHOLE_LENGTH, well.units)
            named.setdefault(hung + dogleg, f"section {number + 1} top in the dogleg at {place}")
    for depth in np.linspace(0.0, string.shoe, EVEN_STOPS + 1)[1:-1]:
        if all(abs(depth - known) > 1.0 for known in named):
            named[float(depth)] = f"shoe at {show(float(depth), WHOLE_LENGTH, well.units)}"
    return sorted(named.items())


def _worst_dogleg(well: Well, string: String, number: int) -> float | None:
    """Return the measured depth [m] at which the top of a section is stressed most on its way, None if it is straight.

    The candidates are the stretches of the path that the section's top passes, each at its lower end, where the
    string below is longest.
    """
    top = string.sections[number].top
    ends = well.path.stations
    passed = np.append(ends[(ends > 0.0) & (ends < top)], top)
    curvature = well.path.curvature(passed, below=False)
    if not np.any(curvature > 0.0):
        return None
    pipe = string.sections[number].pipe
    bending = 0.5 * well.steel.modulus * pipe.outside_diameter * curvature
    tension = tension_while_passing(well, string, number, passed) / _steel(pipe)
    worst = float(passed[int(np.argmax(tension + bending))])
    return worst if worst < top else None  # at its final depth the landed step shows it


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
