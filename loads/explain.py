"""The working behind one factor: the same arrays the check was made of, read at one place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .arrays import Array
from .axial.hanging import TERMS
from .evaluate import Evaluation, Outcome
from .remark import Remark
from .row import Row
from .strength.check import Check, Line
from .strength.model import ChosenModel
from .units import DIAMETER, FORCE, FORCE_PER_LENGTH, FRACTION, LENGTH, STRESS, TEMPERATURE, Dimension, UnitSystem, show
from .well import Well


@dataclass(frozen=True, kw_only=True)
class Item:
    """A line of an explanation: symbol, meaning, SI value (or a name), how to show it, formula."""

    symbol: str
    meaning: str
    value: float | str
    dimension: Dimension = FRACTION
    formula: str = ""

    def text(self, system: UnitSystem) -> str:
        """Return the line as text."""
        value = self.value if isinstance(self.value, str) else show(self.value, self.dimension, system)
        formula = f":  {self.formula}" if self.formula else ""
        return f"  {self.symbol:<8} {value:>14}   {self.meaning}{formula}"


@dataclass(frozen=True, kw_only=True)
class Explanation:
    """The working of one factor.

    Attributes
    ----------
    title : str
        Which factor, where.
    source : str
        Of the strength model.
    parts : tuple of (str, tuple of Item)
        Headed groups of lines.
    origin : tuple of Remark
        Where the pressures come from.
    answer : str
        Factor against what is required, or why there is none.
    warnings : tuple of str
        Doubts that travel with the number.
    """

    title: str
    source: str
    parts: tuple[tuple[str, tuple[Item, ...]], ...]
    origin: tuple[Remark, ...]
    answer: str
    warnings: tuple[str, ...] = ()

    def text(self, system: UnitSystem = "metric") -> str:
        """Return the explanation as text in one unit system."""
        lines = [self.title, f"by: {self.source}"]
        for heading, items in self.parts:
            lines += ["", heading, *(item.text(system) for item in items)]
        if self.origin:
            lines += ["", "pressures", *(f"  {line.text(system)}" for line in self.origin)]
        return "\n".join([*lines, "", self.answer, *(f"warning: {text}" for text in self.warnings)])

    def __str__(self) -> str:
        return self.text()


def explain(
    well: Well,
    found: Evaluation | None,
    model: ChosenModel,
    row: Row,
    md: float | None,
) -> Explanation:
    """Return the working of one factor.

    Parameters
    ----------
    well : Well
        Its place in the title.
    found : Evaluation or None
        None where the case could not be evaluated.
    model : ChosenModel
        That made the check of the body.
    row : Row
        The factor to explain: its place, whether body or connection governs, what is required.
    md : float or None
        Measured depth that overrides the row's place [m]; there the working of the body or connection is shown as
        governs in the row.

    Returns
    -------
    Explanation
    """
    outcome, source = _governing(found, model, row)
    if found is None or not isinstance(outcome, Check) or (row.place is None and md is None):
        answer = f"no factor: {row.reason}" if row.reason else "no load of this kind"
        title = f"{well.name}, {row.string}: {row.mode}, case {row.case!r}, step {row.step!r}"
        return Explanation(title=title, source=source, parts=(), origin=(), answer=answer)
    index = row.place if md is None else int(np.argmin(np.abs(found.places.md - md)))
    assert index is not None
    shape = found.places.md.shape
    loaded = bool(np.broadcast_to(outcome.loaded, shape)[index])
    where = (
        Item(symbol="md", meaning="measured depth", value=float(found.places.md[index]), dimension=LENGTH),
        Item(symbol="tvd", meaning="true vertical depth", value=float(found.places.tvd[index]), dimension=LENGTH),
    )
    factor = float(outcome.factor[index])
    answer = f"factor = rating / load = {factor:.4f}, required {row.required:g}"
    what = f"{row.mode} of the {row.governs or 'body'}"
    return Explanation(
        title=f"{well.name}, {row.string}: {what}, case {row.case!r}, step {row.step!r}",
        source=source,
        parts=(
            ("place", where),
            ("axial force", _axial_items(well, found, index)),
            ("working", tuple(_item(line, index, shape) for line in outcome.working)),
        ),
        origin=(
            *(line.after("inside: ") for line in found.state.inside.origin()),
            *(line.after("outside: ") for line in found.state.outside.origin()),
        ),
        answer=answer if loaded else "no load of this kind here",
        warnings=tuple(c.text for c in outcome.cautions if np.broadcast_to(c.where, shape)[index]),
    )


def _governing(found: Evaluation | None, model: ChosenModel, row: Row) -> tuple[Outcome, str]:
    """Return the check that the row comes from, and its source."""
    if found is None:
        return None, model.model.source
    connection = found.string.sections[row.section - 1].connection
    if row.governs == "connection" and connection is not None:
        return found.connections[row.section - 1, row.mode], f"connection {connection.name!r}, {connection.source}"
    return found.checks[row.mode], model.model.source


def _axial_items(well: Well, found: Evaluation, index: int) -> tuple[Item, ...]:
    shape = found.places.md.shape
    items = [
        Item(
            symbol="",
            meaning=name,
            value=float(np.broadcast_to(value, shape)[index]),
            dimension=FORCE,
            formula=TERMS.get(name, ""),
        )
        for name, value in found.axial.terms.items()
    ]
    items.append(
        Item(
            symbol="F_a",
            meaning="true force, the sum",
            value=float(found.axial.true[index]),
            dimension=FORCE,
        )
    )
    items.append(
        Item(
            symbol="F_e",
            meaning="effective force",
            value=float(found.axial.effective[index]),
            dimension=FORCE,
            formula="F_e = F_a - p_i A_i + p_o A_o",
        )
    )
    items += _buckling_items(well, found, index)
    if found.now.temperature is not None:
        warmth = float(np.broadcast_to(found.now.temperature, shape)[index])
        items.append(Item(symbol="T", meaning="temperature", value=warmth, dimension=TEMPERATURE))
    return tuple(items)


def _buckling_items(well: Well, found: Evaluation, index: int) -> list[Item]:
    """Return why the pipe is straight or buckled here, where its effective force is compressive."""
    shape = found.places.md.shape
    room = float(np.broadcast_to(found.lateral.clearance, shape)[index])
    if float(found.axial.effective[index]) >= 0.0 or room == 0.0:
        return []
    across, effective = found.lateral, found.axial.effective
    swing = float(np.broadcast_to(found.swing, shape)[index])
    shape_word = "helix" if swing >= 1.0 else "snake" if swing > 0.0 else "straight" if well.buckling else "left out"

    def at(values: Array) -> float:
        return float(np.broadcast_to(values, shape)[index])

    stress = 0.5 * found.modulus * found.body.outside_diameter * across.buckled_curvature(effective)
    return [
        Item(symbol="r", meaning="radial clearance", value=room, dimension=DIAMETER),
        Item(symbol="n", meaning="side force", value=at(across.side_force(effective)), dimension=FORCE_PER_LENGTH),
        Item(
            symbol="F_s",
            meaning="compression at which it snakes; helix from 2.8 times that",
            value=at(across.snaking_force(effective)),
            dimension=FORCE,
            formula="F_s = 2 sqrt(E I n / r)",
        ),
        Item(symbol="", meaning="shape of the pipe", value=shape_word),
        Item(symbol="", meaning="of the bending: buckling", value=at(stress) if swing else 0.0, dimension=STRESS),
    ]


def _item(line: Line, index: int, shape: tuple[int, ...]) -> Item:
    raw = np.broadcast_to(line.value, shape)[index]
    formula = line.formula if isinstance(line.formula, str) else str(np.broadcast_to(line.formula, shape)[index])
    return Item(
        symbol=line.symbol,
        meaning=line.meaning,
        value=str(raw) if raw.dtype.kind == "U" else float(raw),
        dimension=line.dimension,
        formula=formula,
    )
