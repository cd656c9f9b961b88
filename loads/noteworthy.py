"""What a reader must know of a string besides its factors: that it buckles, lifts its hanger, keeps a strain."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from .evaluate import Evaluation
from .remark import Remark
from .units import DIAMETER, FORCE, LENGTH, STRESS

Key = tuple[str, str, str]
"""String, case label, step."""


@dataclass(frozen=True, kw_only=True)
class Buckled:
    """Where a string is buckled in one step.

    Attributes
    ----------
    string, case, step : str
        Which.
    top, bottom : float
        Between which measured depths some of it is buckled [m].
    helix : bool
        Whether it is a helix where it bends most; else it snakes there.
    effective_force : float
        The most compressive, tension positive [N].
    snaking_force : float
        Compression at which the pipe begins to snake there [N].
    bending_stress : float
        Greatest that buckling adds [Pa].
    side_force : float
        Greatest [N/m].
    md : float
        Measured depth of that greatest bending [m].
    """

    string: str
    case: str
    step: str
    top: float
    bottom: float
    helix: bool
    effective_force: float
    snaking_force: float
    bending_stress: float
    side_force: float
    md: float


def buckled(evaluations: Mapping[Key, Evaluation]) -> tuple[Buckled, ...]:
    """Return where strings are buckled, in the order of the cases.

    Parameters
    ----------
    evaluations : mapping
        By string, case label and step.

    Returns
    -------
    tuple of Buckled
        One for each string and step in which any of it is.
    """
    return tuple(found for key, evaluation in evaluations.items() for found in _buckled(key, evaluation))


def _buckled(key: Key, found: Evaluation) -> Iterator[Buckled]:
    shape = found.places.md.shape
    if np.ndim(found.swing) > 1 or not np.any(found.swing > 0.0):
        return
    swing = np.broadcast_to(found.swing, shape)
    here = swing > 0.0
    effective = np.broadcast_to(found.axial.effective, shape)
    curvature = found.lateral.buckled_curvature(effective)
    stress = np.where(here, 0.5 * found.modulus * found.body.outside_diameter * curvature, 0.0)
    worst = int(np.argmax(stress))
    yield Buckled(
        string=key[0],
        case=key[1],
        step=key[2],
        top=float(found.places.md[here].min()),
        bottom=float(found.places.md[here].max()),
        helix=bool(swing[worst] >= 1.0),
        effective_force=float(effective[worst]),
        snaking_force=float(np.broadcast_to(found.lateral.snaking_force(effective), shape)[worst]),
        bending_stress=float(stress[worst]),
        side_force=float(np.broadcast_to(found.lateral.contact_force(effective), shape)[here].max()),
        md=float(found.places.md[worst]),
    )


def noteworthy(evaluations: Mapping[Key, Evaluation]) -> tuple[Remark, ...]:
    """Return what to tell of buckling, lifting hangers and strain that stays, the worst of each string.

    Parameters
    ----------
    evaluations : mapping
        By string, case label and step.

    Returns
    -------
    tuple of Remark
        Empty where there is nothing to tell.
    """
    return (
        *_buckling_remarks(buckled(evaluations)),
        *_lifts(evaluations.items()),
        *_strains(evaluations.items()),
    )


def _buckling_remarks(found: Iterable[Buckled]) -> Iterator[Remark]:
    by_string: dict[str, list[Buckled]] = {}
    for one in found:
        by_string.setdefault(one.string, []).append(one)
    for string, ones in by_string.items():
        worst = max(ones, key=lambda one: one.bending_stress)
        shape = "a helix" if worst.helix else "a snake"
        where = "buckles between {top} and {bottom} md, most at {md}"
        if worst.bottom - worst.top < 1.0:  # where the hole's bend takes the side force away
            where = "buckles at {md} md"
        others = len(ones) - 1
        more = f" (and in {others} other step{'s' if others > 1 else ''})" if others else ""
        yield Remark(
            f"{where}, {shape}: effective force {{force}}, bending {{stress}}{more}",
            {
                "top": (worst.top, LENGTH),
                "bottom": (worst.bottom, LENGTH),
                "md": (worst.md, LENGTH),
                "force": (worst.effective_force, FORCE),
                "stress": (worst.bending_stress, STRESS),
            },
        ).after(f"{string}, {worst.case}, {worst.step}: ")


def _lifts(found: Iterable[tuple[Key, Evaluation]]) -> Iterator[Remark]:
    worst: dict[str, tuple[float, Key]] = {}
    for key, evaluation in found:
        lift = evaluation.axial.lift
        if lift is not None and float(np.max(lift)) > max(0.0, worst.get(key[0], (0.0, key))[0]):
            worst[key[0]] = float(np.max(lift)), key
    for string, (rise, key) in worst.items():
        yield Remark("the hanger rises by {rise}", {"rise": (rise, DIAMETER)}).after(f"{string}, {key[1]}, {key[2]}: ")


def _strains(found: Iterable[tuple[Key, Evaluation]]) -> Iterator[Remark]:
    worst: dict[str, tuple[float, float, Key]] = {}
    for key, evaluation in found:
        strained = evaluation.axial.strained
        if strained is None or strained.ndim > 1 or not np.any(strained):
            continue
        place = int(np.argmax(np.abs(strained)))
        strain = float(strained[place])
        if abs(strain) > abs(worst.get(key[0], (0.0, 0.0, key))[0]):
            worst[key[0]] = strain, float(evaluation.places.md[place]), key
    for string, (strain, md, key) in worst.items():
        told = f"the pipe yields, a strain of {100.0 * strain:.3f} % stays in it at {{md}} md"
        yield Remark(told, {"md": (md, LENGTH)}).after(f"{string}, {key[1]}, {key[2]}: ")
