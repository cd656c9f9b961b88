"""Burst: yield of the wall by three formulas, and ductile rupture."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..errors import MissingInput
from ..parameters import Percent
from ..units import DIAMETER, FORCE, FRACTION, PRESSURE, STRESS, Dimension
from .burst import End, internal_yield_pressure, thick_wall_yield_pressure
from .check import SMALL_PRESSURE, Caution, Check, Line, Loading, Tube
from .lines import pressure_lines, tolerance_line, tube_lines
from .model import StrengthModel, strength_model
from .rupture import hardening_index
from .rupture_combined import CombinedRuptureWorking, rupture_working_combined

_TR = "API TR 5C3 (ISO/TR 10400)"


def _check(tube: Tube, loading: Loading, rating: Array, *lines: Line, cautions: tuple[Caution, ...] = ()) -> Check:
    demand = loading.internal_pressure - loading.external_pressure
    asked = Line(symbol="dp", meaning="burst load", value=demand, dimension=PRESSURE, formula="dp = p_i - p_o")
    return Check(
        demand=demand,
        capacity=rating,
        loaded=demand > SMALL_PRESSURE,
        dimension=PRESSURE,
        working=(*tube_lines(tube), *lines, *pressure_lines(loading), asked),
        cautions=cautions,
    )


@strength_model(mode="burst", source=f"{_TR} historical minimum internal yield (Barlow)")
def internal_yield(tube: Tube, loading: Loading) -> Check:
    """Minimum internal yield pressure after Barlow, on the minimum wall."""
    rating = internal_yield_pressure(tube.left_diameter, tube.left_wall, tube.yield_strength, tube.left_wall_factor)
    answer = Line(
        symbol="p_yi",
        meaning="minimum internal yield pressure",
        value=rating,
        dimension=PRESSURE,
        formula="p_yi = 2 k t Y / D",
    )
    return _check(tube, loading, rating, tolerance_line(tube), answer)


_FORMULAS: dict[End, str] = {
    "open": "p_iy = Y (D^2 - w^2) / sqrt(3 D^4 + w^4)",
    "capped": "p_iy = Y / sqrt[(3 D^4 + w^4)/(D^2 - w^2)^2 + d^4/(D^2 - d^2)^2 - 2 d^2 w^2/((D^2 - d^2)(D^2 - w^2))]",
    "fixed": "von Mises at the bore = Y, with the axial stress 2 nu p w^2/(D^2 - w^2)",
}


def _thick_wall(tube: Tube, loading: Loading, end: End) -> Check:
    rating = thick_wall_yield_pressure(
        tube.left_diameter, tube.left_wall, tube.yield_strength, tube.left_wall_factor, end
    )
    answer = Line(
        symbol="p_iy",
        meaning=f"initial yield pressure at the bore, {end} ends; d = D - 2 t, w = D - 2 k t",
        value=rating,
        dimension=PRESSURE,
        formula=_FORMULAS[end],
    )
    return _check(tube, loading, rating, tolerance_line(tube), answer)


@strength_model(mode="burst", source=f"{_TR} clause 6, initial yield, open ends")
def thick_wall_open(tube: Tube, loading: Loading) -> Check:
    """Initial yield at the bore, ends open."""
    return _thick_wall(tube, loading, "open")


@strength_model(mode="burst", source=f"{_TR} clause 6, initial yield, capped ends")
def thick_wall_capped(tube: Tube, loading: Loading) -> Check:
    """Initial yield at the bore, ends capped."""
    return _thick_wall(tube, loading, "capped")


@strength_model(mode="burst", source="Lame and von Mises in plane strain (textbook; not in the standard)")
def thick_wall_fixed(tube: Tube, loading: Loading) -> Check:
    """Initial yield at the bore, ends held."""
    return _thick_wall(tube, loading, "fixed")


@strength_model(mode="burst", source=f"{_TR} clause 7 and Annex B, ductile rupture (Klever and Stewart); from memory")
def rupture(
    tube: Tube,
    loading: Loading,
    *,
    imperfection: Percent,
    burst_strength_factor: float,
    hardening: float | None = None,
) -> Check:
    """Ductile rupture under axial load and outside pressure: an ultimate, not a yield limit.

    Assumes ductile pipe without environmental cracking. The constants are from memory and have no default here: the
    depth of imperfection depends on the inspection of the grade, the burst strength factor on its heat treatment.

    Parameters
    ----------
    imperfection : Percent
        Depth of the largest crack-like imperfection that can pass inspection, in percent of the nominal wall;
        5 % or 12.5 % by the inspection level of the grade (value from memory).
    burst_strength_factor : float
        1.0 for quenched and tempered steel or 13Cr, 2.0 as rolled, normalised or not measured (value from memory).
    hardening : float
        Hardening index; if left out, the standard's line on the specified yield (value from memory).
    """
    if tube.tensile_strength is None:
        raise MissingInput("the tensile strength of all of the pipe (key tensile), for rupture")
    index = hardening_index(tube.specified_yield) if hardening is None else np.full_like(tube.wall, hardening)
    w = rupture_working_combined(
        tube.left_diameter,
        tube.left_wall,
        tube.tensile_strength * tube.yield_factor,
        index,
        loading.axial_force,
        loading.external_pressure,
        wall_factor=tube.left_wall_factor,
        imperfection_depth=imperfection * tube.wall,
        burst_strength_factor=burst_strength_factor,
    )
    return _check(tube, loading, w.difference, *_rupture_lines(tube, loading, index, w), cautions=_doubts(w))


def _rupture_lines(tube: Tube, loading: Loading, index: Array, w: CombinedRuptureWorking) -> list[Line]:
    table: list[tuple[str, str, Array, Dimension, str]] = [
        ("U", "minimum tensile strength, hot as the yield", tube.tensile_strength, STRESS, ""),
        ("n", "hardening index", index, FRACTION, ""),
        ("t_e", "sound wall", w.sound_wall, DIAMETER, "t_e = k t - k_a a"),
        ("p_u", "ultimate pressure", w.ultimate_pressure, PRESSURE, "p_u = 2 U t_e / (D - t_e)"),
        ("p_T", "Tresca reference", w.tresca_pressure, PRESSURE, "p_T = (1/2)^n p_u"),
        ("F_a", "true axial force", loading.axial_force, FORCE, ""),
        ("F_e", "effective force at rupture", w.effective_force, FORCE, "F_e = F_a + p_o A_o - p_R A_i"),
        ("p_M", "von Mises reference", w.loaded_pressure, PRESSURE, "p_M = p_refM sqrt[1 - k_R (F_e/F_u)^2]"),
        ("p_r", "rupture, inside over outside pressure", w.difference, PRESSURE, "p_r = min[(p_M + p_T)/2, p_M]"),
    ]
    return [Line(symbol=s, meaning=m, value=v, dimension=d, formula=f) for s, m, v, d, f in table]


def _doubts(w: CombinedRuptureWorking) -> tuple[Caution, ...]:
    found = [
        Caution(text="the pipe necks before it ruptures: the rupture rating is too high here", where=w.necks_first),
        Caution(text="the axial load alone reaches the pipe's ultimate: no rupture rating is left", where=w.overloaded),
    ]
    return tuple(caution for caution in found if np.any(caution.where))


MODELS: tuple[StrengthModel, ...] = (internal_yield, thick_wall_open, thick_wall_capped, thick_wall_fixed, rupture)
