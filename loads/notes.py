"""What goes with every result in words: cautions, what is not modelled, the assumptions of this run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .case import LoadCase
from .constants import STEEL_MODULUS
from .running import EVEN_STOPS
from .stations import SPACING
from .strength.check import SMALL_FORCE, SMALL_PRESSURE, SMALL_STRESS
from .strength.model import ChosenModel
from .units import CURVATURE, show
from .well import MODES, Well

CAUTIONS = (
    "Results are for review by a licensed engineer, who answers for the design.",
    "Local regulation and the standards it names govern; required factors are the user's.",
    "Formulas and catalogs carry their provenance: part of it is from memory and must be compared with the standards.",
)

NOT_MODELLED = (
    "connections in compression, outside pressure and combined load, unless their maker's ratings are given",
    "passage of tools through buckled pipe, friction of buckled pipe on the hole, buckling by vessel motion",
    "yielding of pipe that is not cemented; hardening of steel, and what yielding through part of the wall leaves",
    "sour service and fatigue",
    "non-uniform loads of salt or poor cement",
    "bending by vessel offset, vessel motion, wellhead and conductor structure",
    "pressure of wellhead, hanger, packer and preventer equipment",
)


def assumptions(
    well: Well, cases: Sequence[LoadCase], models: Mapping[str, Mapping[str, ChosenModel]]
) -> tuple[str, ...]:
    """Return every default used and choice made, in words.

    Parameters
    ----------
    well : Well
        With the defaults that reading its file has used.
    cases : sequence of LoadCase
        Those that ran.
    models : mapping
        Strength model by string and mode.

    Returns
    -------
    tuple of str
    """
    steel = well.steel
    lines = [
        *well.assumptions,
        f"steel: modulus {steel.modulus / 1e9:.2f} GPa, Poisson's ratio {steel.poisson:.3g}, "
        f"expansion {steel.expansion * 1e6:.4g}e-6 1/K",
        *_of_modulus(well),
        *_of_buckling(well),
        *_of_friction(well),
        *_of_tortuosity(well),
        "the string follows the well path; bending by doglegs and buckling enters the triaxial check, not tension or "
        "compression, "
        "unless the strength model says so",
        "floats hold at the shoe; the reference state is the end of cementing, pump pressure bled off",
        "before cementing the string is filled as the hole is",
        f"places at most {SPACING:.0f} m apart; running checked at {EVEN_STOPS - 1} even depths and the special ones",
        f"no load: less than {SMALL_PRESSURE / 1e3:.0f} kPa in burst and collapse, {SMALL_FORCE / 1e3:.0f} kN in "
        f"tension and compression, {SMALL_STRESS / 1e3:.0f} kPa of equivalent stress",
    ]
    for mode in MODES:
        for model in {chosen[mode].model.name: chosen[mode].model for chosen in models.values()}.values():
            lines.append(f"{mode} by {model.name!r}: {model.source}")
    for case in cases:
        lines.extend(f"{case.name}: {text}" for text in case.assumptions)
    return tuple(dict.fromkeys(lines))


def _of_buckling(well: Well) -> tuple[str, ...]:
    if not well.buckling:
        return ("well.buckling = false: the strain of buckled pipe is left out of the balance, and its bending too",)
    return (
        "pipe without cement buckles where its effective force is compressive beyond 2 sqrt(E I n / r), n the side "
        "force, r the radial clearance of the body; in a vertical hole at once",
        "buckled pipe is a helix from 2.8 times that force on, and snakes below; without friction (constants from "
        "memory)",
        "above the ground or sea floor, outside any other string, nothing is known that pipe could lean on: buckling "
        "is not judged there",
    )


def _of_friction(well: Well) -> tuple[str, ...]:
    rough = [string.name for string in well.strings if string.friction_at_set is not None]
    told = f" except {', '.join(rough)}" if rough else ""
    lines = [f"no drag is left in the strings when they are cemented{told}; hangers are locked unless said otherwise"]
    loose = [string.name for string in well.strings if not string.locked]
    if loose:
        lines.append(
            f"hanger of {', '.join(loose)}, not locked: it rises once the pipe pushes it up; pressure on the hanger "
            "itself is not counted, so that under the sea it may rise earlier, or later"
        )
    return tuple(lines)


def _of_tortuosity(well: Well) -> tuple[str, ...]:
    if well.tortuosity == 0.0:
        return ("well.tortuosity left out: the hole winds no more than its survey says",)
    told = show(well.tortuosity, CURVATURE, well.units)
    return (
        f"well.tortuosity: {told} is added to the doglegs in bending and drag, not in buckling, where it would help",
    )


def _of_modulus(well: Well) -> tuple[str, ...]:
    if well.steel.modulus >= STEEL_MODULUS:
        return ()
    return (
        "steel.modulus is below 30e6 psi: elastic collapse, whose constant stands for that, is lowered in proportion",
    )
