"""A string along depth in one step, as a table."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from .arrays import Array
from .axial.hanging import area_steps
from .evaluate import Evaluation
from .strength.check import Check
from .units import FRACTION
from .well import Well


def profile_frame(well: Well, found: Evaluation) -> pd.DataFrame:
    """Return pressures, temperature, forces and checks along depth.

    Parameters
    ----------
    well : Well
        Its cement is where reactions are.
    found : Evaluation
        One string in one step.

    Returns
    -------
    DataFrame
        See `Result.profile`.
    """
    shape = found.places.md.shape

    def column(values: Array) -> Array:
        return np.broadcast_to(values, shape)

    columns: dict[str, Any] = {
        "md_m": found.places.md,
        "tvd_m": found.places.tvd,
        "side": np.where(found.places.below, "below", "above"),
        "section": found.body.section + 1,
        "p_inside_pa": column(found.now.inside),
        "p_outside_pa": column(found.now.outside),
    }
    if found.now.temperature is not None:
        columns["temperature_k"] = column(found.now.temperature)
    columns["true_force_n"] = column(found.axial.true)
    columns["effective_force_n"] = column(found.axial.effective)
    for name, values in found.axial.terms.items():
        columns[f"force_{name.replace(' ', '_')}_n"] = column(values)
    if found.axial.strained is not None:
        columns["strain_left"] = column(found.axial.strained)
    columns["bending_stress_pa"] = column(found.bending)
    against_wall = found.lateral.contact_force if well.buckling else found.lateral.side_force
    columns["side_force_n_per_m"] = column(against_wall(found.axial.effective))
    columns["snaking_force_n"] = _finite(column(found.lateral.snaking_force(found.axial.effective)))
    columns["buckled"] = np.select([column(found.swing) >= 1.0, column(found.swing) > 0.0], ["helix", "snake"], "")
    for mode, outcome in found.checks.items():
        if not isinstance(outcome, Check):
            continue  # the rows say why
        unit = "n" if mode in ("tension", "compression") else "pa"
        loaded = column(outcome.loaded)
        columns[f"{mode}_load_{unit}"] = column(outcome.demand)
        columns[f"{mode}_rating_{unit}"] = column(outcome.capacity)
        columns[f"{mode}_factor"] = pd.array(
            [float(f) if on else pd.NA for f, on in zip(column(outcome.factor), loaded, strict=True)],
            dtype="Float64",
        )
    for mode in found.checks:
        rating = _connection_rating(found, mode)
        if rating is not None:
            unit = "n" if mode in ("tension", "compression") else "pa"
            columns[f"{mode}_connection_rating_{unit}"] = rating
    frame = pd.DataFrame(columns)
    frame.attrs["units"] = {name: unit for name in columns if (unit := _unit(name))}
    frame.attrs["inside"] = [line.text() for line in found.state.inside.origin()]
    frame.attrs["outside"] = [line.text() for line in found.state.outside.origin()]
    frame.attrs["neutral_point_md_m"] = _crossings(found.places.md, column(found.axial.effective))
    frame.attrs["zero_true_force_md_m"] = _crossings(found.places.md, column(found.axial.true))
    frame.attrs["cement_reactions_n"] = cement_reactions(found)
    return frame


def _finite(values: Array) -> Any:
    """Return values, missing where there is none: pipe without clearance does not buckle."""
    return pd.array([float(value) if np.isfinite(value) else pd.NA for value in values], dtype="Float64")


def _connection_rating(found: Evaluation, mode: str) -> Any:
    """Return the rating of the connections in a mode, missing where there is none; None if there is none at all.

    The share left of an envelope is not a rating in a unit, and not shown.
    """
    rating = np.full(found.places.md.shape, np.nan)
    for (index, of), outcome in found.connections.items():
        if of == mode and isinstance(outcome, Check) and outcome.dimension is not FRACTION:
            rating = np.where(found.body.section == index, outcome.capacity, rating)
    return None if np.all(np.isnan(rating)) else pd.array(rating, dtype="Float64")


def cement_reactions(found: Evaluation) -> dict[float, float]:
    """Return the force that cement takes out of the pipe at each of its ends [N], by measured depth [m].

    It is the jump of the change of force there, above less below, without what pressure does on a change of pipe.
    """
    if found.then is None:
        return {}
    md, reactions = found.places.md, {}
    change = found.axial.true - found.axial.terms["as cemented"]
    steps = area_steps(found.body, found.now.inside - found.then.inside, found.now.outside - found.then.outside)
    for cement in found.string.cement:
        for edge in (cement.top, cement.bottom):
            at = np.flatnonzero(np.isclose(md, edge, rtol=0.0, atol=1e-6))
            if len(at) == 2 and found.places.below[at[1]]:
                reactions[float(edge)] = float(change[at[0]] - change[at[1]] - steps[at[0] // 2])
    return reactions


def _crossings(md: Array, force: Array) -> list[float]:
    """Return the measured depths where a force passes zero, jumps included."""
    sign = np.sign(force)
    found = []
    for i in np.flatnonzero(sign[:-1] * sign[1:] < 0.0):
        share = force[i] / (force[i] - force[i + 1])
        found.append(float(md[i] + share * (md[i + 1] - md[i])))
    return found


def _unit(name: str) -> str:
    for ending, unit in (("_n_per_m", "N/m"), ("_m", "m"), ("_pa", "Pa"), ("_n", "N"), ("_k", "K"), ("_factor", "1")):
        if name.endswith(ending):
            return unit
    return ""
