"""Columns of a catalog file: their names with the unit in them, and the attributes of a row that they fill."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from ..units import DIAMETER, FRACTION, LINEAR_MASS, STRESS, Dimension, UnitSystem, to_si
from .rows import CatalogPipe, Grade

if TYPE_CHECKING:
    import pandas as pd

# Kind of column: dimension and suffixes with their unit; the field unit first, then the metric one.
_UNITS: dict[str, tuple[Dimension, dict[str, str]]] = {
    "length": (DIAMETER, {"in": "in", "mm": "mm", "m": "m"}),
    "weight": (LINEAR_MASS, {"lbft": "lb/ft", "kgm": "kg/m"}),
    "stress": (STRESS, {"psi": "psi", "MPa": "MPa", "ksi": "ksi"}),
    "percent": (FRACTION, {"pct": "%"}),
}
_TRUST = ("confidence", "provenance", "source")
PIPE_COLUMNS = {
    **{"od": "length", "weight": "weight", "wall": "length", "id": "length", "drift": "length"},
    **{"alternate_drift": "length", "plain_end_weight": "weight", "grades": "names", "status": "text"},
    **dict.fromkeys((*_TRUST, "grades_provenance", "alternate_drift_provenance", "notes"), "text"),
}
GRADE_COLUMNS = {
    **{"grade": "text", "min_yield": "stress", "max_yield": "stress", "min_tensile": "stress"},
    **{"max_tensile": "stress", "max_hardness_hrc": "number", "max_hardness_hbw": "number"},
    **{"elongation_under_load": "percent"},
    **dict.fromkeys(("process", "heat_treatment", "group", "standard", *_TRUST, "notes"), "text"),
}
REQUIRED = {"od", "weight", "wall", "grade", "min_yield", "min_tensile", "source"}
_ATTRIBUTES = {
    **{"id": "inside_diameter", "grade": "name"},
    **{"min_yield": "yield_strength", "min_tensile": "tensile_strength"},
}


class ColumnForm(NamedTuple):
    """What a column holds: its name without the unit, the kind of its cells and their factor to SI."""

    stem: str
    kind: str
    factor: float

    @property
    def attribute(self) -> str:
        """The attribute of a row that the column fills."""
        return _ATTRIBUTES.get(self.stem, self.stem)


def column_forms(columns: Mapping[str, str]) -> dict[str, ColumnForm]:
    """Return every accepted name of every column with what it holds; *columns* gives kind by stem."""
    forms = {}
    for stem, kind in columns.items():
        dimension, units = _UNITS.get(kind, (FRACTION, {}))
        for suffix, unit in units.items():
            forms[f"{stem}_{suffix}"] = ColumnForm(stem, kind, to_si(f"1 {unit}", dimension))
        if not units:
            forms[stem] = ColumnForm(stem, kind, 1.0)
    return forms


def frame(rows: Iterable[CatalogPipe | Grade], columns: Mapping[str, str], system: UnitSystem) -> pd.DataFrame:
    """Return rows as a table, the columns named as in the files and in the units of *system*."""
    import pandas as pd  # here, so that `import casingloads` need not wait for it

    rows = tuple(rows)
    data = {}
    for stem, kind in columns.items():
        forms = list(column_forms({stem: kind}).items())
        title, form = forms[min(system == "metric", len(forms) - 1)]
        data[title] = [_cell(getattr(row, form.attribute), form.factor) for row in rows]
    return pd.DataFrame({**data, "catalog": [row.catalog for row in rows]})


def _cell(value: Any, factor: float) -> Any:
    if isinstance(value, float):
        return round(value / factor, 6)
    return ";".join(value) if isinstance(value, tuple) else value
