"""The working behind one factor: the same arrays the check was made of, read at one place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .axial import TERMS
from .evaluate import Evaluation
from .remark import Remark
from .strength.check import Line
from .strength.model import ChosenModel
from .units import FORCE, FRACTION, LENGTH, TEMPERATURE, Dimension, UnitSystem, show
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
    """

    title: str
    source: str
    parts: tuple[tuple[str, tuple[Item, ...]], ...]
    origin: tuple[Remark, ...]
    answer: str

    def text(self, system: UnitSystem = "metric") -> str:
        """Return the explanation as text in one unit system."""
        lines = [self.title, f"by: {self.source}"]
        for heading, items in self.parts:
            lines += ["", heading, *(item.text(system) for item in items)]
        if self.origin:
            lines += ["", "pressures", *(f"  {line.text(system)}" for line in self.origin)]
        return "\n".join([*lines, "", self.answer])

    def __str__(self) -> str:
        return self.text()


def explain(
    well: Well,
    mode: str,
    step: str,
    found: Evaluation | None,
    model: ChosenModel,
    place: int | None,
    md: float | None,
    required: float,
    reason: str,
) -> Explanation:
    """Return the working of one factor.

    Parameters
    ----------
    well : Well
        Its place in the title.
    mode, step : str
        Which.
    found : Evaluation or None
        None where the case could not be evaluated.
    model : ChosenModel
        That made the check.
    place : int or None
        Index of the place.
    md : float or None
        Measured depth that overrides *place* [m].
    required : float
        Factor.
    reason : str
        Why there is no factor.

    Returns
    -------
    Explanation
    """
    if found is None or (place is None and md is None):
        title = f"{well.name}: {mode}, step {step!r}"
        answer = f"no factor: {reason}" if reason else "no load of this kind"
        return Explanation(title=title, source=model.model.source, parts=(), origin=(), answer=answer)
    index = int(np.argmin(np.abs(found.places.md - md))) if md is not None else place
    assert index is not None
    outcome = found.checks[mode]
    depth, tvd = float(found.places.md[index]), float(found.places.tvd[index])
    shape = found.places.md.shape
    loaded = bool(np.broadcast_to(outcome.loaded, shape)[index])
    working = tuple(_item(line, index, shape) for line in outcome.working)
    where = (
        Item(symbol="md", meaning="measured depth", value=depth, dimension=LENGTH),
        Item(symbol="tvd", meaning="true vertical depth", value=tvd, dimension=LENGTH),
    )
    factor = float(outcome.factor[index])
    answer = f"factor = rating / load = {factor:.4f}, required {required:g}" if loaded else "no load of this kind here"
    return Explanation(
        title=f"{well.name}, {found.string.name}: {mode}, step {step!r}",
        source=model.model.source,
        parts=(("place", where), ("axial force", _axial_items(found, index)), ("working", working)),
        origin=(
            *(line.after("inside: ") for line in found.state.inside.origin()),
            *(line.after("outside: ") for line in found.state.outside.origin()),
        ),
        answer=answer,
    )


def _axial_items(found: Evaluation, index: int) -> tuple[Item, ...]:
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
    if found.now.temperature is not None:
        warmth = float(np.broadcast_to(found.now.temperature, shape)[index])
        items.append(Item(symbol="T", meaning="temperature", value=warmth, dimension=TEMPERATURE))
    return tuple(items)


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
