"""Ratings of catalog pipe, grade by grade: pipe body and standard connections, unrounded and in SI.

`casingloads.output.ratingtable` prints them as rating tables do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from ..arrays import Floats
from ..catalog import Catalog, CatalogError
from ..catalog.couplings import Coupling, standard_couplings
from ..catalog.rows import CatalogPipe, Grade, is_type
from ..catalog.words import pipe_notes
from ..strength.axial_yield import axial_yield_force
from ..strength.burst import internal_yield_pressure
from ..strength.buttress import buttress_joint_working
from ..strength.collapse import CollapseRegime, collapse_working
from ..strength.collapse_regimes import GREATEST_SUPPORTED_YIELD, LEAST_SUPPORTED_YIELD
from ..strength.coupling import JointFailure
from ..strength.coupling_pressure import coupling_pressure_working
from ..strength.geometry import plain_end_mass
from ..strength.round_joint import round_joint_working
from ..strength.round_thread import ROUND_THREAD_HEIGHT
from ..units import DIAMETER, LINEAR_MASS, STRESS, show, to_si

if TYPE_CHECKING:
    import pandas as pd

CONNECTIONS: Mapping[str, tuple[str, str]] = {
    "stc": ("STC", "regular"),
    "ltc": ("LTC", "regular"),
    "btc": ("BTC", "regular"),
    "btc_special": ("BTC", "special"),
}
"""Thread and clearance by the prefix of its columns."""
SOURCE = (
    "API Bulletin 5C2 and 5C3, ISO/TR 10400:2007 (API TR 5C3): historical internal yield and collapse, body yield, "
    "joint strength, coupling yield and leak resistance"
)
_LINE_PIPE = "line pipe"
_FAILURES = np.array([failure.name.lower().replace("_", "-") for failure in JointFailure])
_REGIMES = np.array([regime.name.lower() for regime in CollapseRegime])
_LIMITS = np.array(["pipe body", "coupling", "leak"])

Columns = dict[str, list[Any]]


class _Named(NamedTuple):
    """A grade as a row names it, its steel, and notes on them; see `_Rated`."""

    name: str | None
    steel: Grade | None
    notes: tuple[str, ...]


class _Rated(NamedTuple):
    """A row of the table.

    `name` is the grade's, None where the size lists none; `steel` is None where no catalog knows the grade;
    `couplings` has those of the size by prefix.
    """

    pipe: CatalogPipe
    name: str | None
    steel: Grade | None
    couplings: Mapping[str, Coupling]
    notes: tuple[str, ...]


def ratings(
    catalog: Catalog,
    *,
    od: float | str | None = None,
    weight: float | str | None = None,
    grade: str | None = None,
    wall_factor: float = 0.875,
    connections: bool = True,
) -> pd.DataFrame:
    """Return the ratings of every pipe of a catalog, or of some, in each of its grades.

    Parameters
    ----------
    catalog : Catalog
        Its pipes and grades.
    od, weight : float or str, optional
        Outside diameter [m] and nominal weight [kg/m], or text with a unit; by default every one.
    grade : str, optional
        A grade of the catalog, or its family, whether or not the size lists it. By default those that it lists.
    wall_factor : float
        Least wall over nominal wall, above 0; 0.875 is the API tolerance of minus 12.5 %.
    connections : bool
        Whether to rate the standard connections that the size has, with couplings of the pipe's grade.

    Returns
    -------
    DataFrame
        One row for each pipe and grade, in order of size, unrounded and in SI; the unit ends the column's name. A
        family such as N80 stands in one row for its types if they share strengths. What has no value is ``pd.NA``:
        no drift in the catalog, no grade listed, no such connection. ``plain_end_weight_kgm`` is the catalog's, or
        that of a steel tube. For each connection (``stc``, ``ltc``, ``btc``, ``btc_special``: special clearance)

        - ``_joint_strength_n``, tension at which it parts, and ``_parts_by``, whose values are ``fracture`` and
          ``pull-out`` of the pipe, or ``coupling``;
        - ``_coupling_yield_pa``, ``_leak_resistance_pa``, the least of them and of the pipe body's internal yield
          as ``_internal_pressure_pa``, and which it is, ``_pressure_governs``.

        ``attrs`` holds the `units`, the `wall_factor`, the `source` of the formulas and all `notes`.

    Raises
    ------
    CatalogError
        A `ValueError`: if the catalog has no such pipe or grade; says what is near.
    ValueError
        If a text is no quantity, or *wall_factor* is not positive.

    References
    ----------
    .. [1] API Bulletin 5C3 and ISO/TR 10400:2007 (API TR 5C3); see the functions of `casingloads.strength`.

    Examples
    --------
    9-5/8 in 47 lb/ft L80 LTC: 6,870 psi and 893,000 lbf (API Bulletin 5C2, value from memory).

    >>> from casingloads import standard_catalog
    >>> frame = ratings(standard_catalog(), od="9-5/8 in", weight="47 lb/ft", grade="L80")
    >>> row = frame.iloc[0]
    >>> round(float(row["internal_yield_pa"]) / 6894.757293, -1)
    6870.0
    >>> round(float(row["ltc_joint_strength_n"]) / 4.448221615, -3), row["ltc_pressure_governs"]
    (893000.0, 'pipe body')
    """
    prefixes = tuple(CONNECTIONS) if connections else ()
    rated = _rated(catalog, _pipes(catalog, od, weight), grade, prefixes)
    columns = {**_sizes(rated), **_body(rated, wall_factor)}
    for prefix in prefixes:
        columns |= _connection(prefix, rated, wall_factor)
    columns |= _trust(rated)
    return _frame(columns, rated, wall_factor)


# --- which pipes in which grades ---


def _pipes(catalog: Catalog, od: float | str | None, weight: float | str | None) -> list[CatalogPipe]:
    pipes = catalog.select(od=od, weight=weight).pipes
    if not pipes and od is not None:  # this raises, and says what is near
        size = to_si(od, DIAMETER) if isinstance(od, str) else od
        catalog.pipe(size, weight=to_si(weight, LINEAR_MASS) if isinstance(weight, str) else weight)
    if not pipes:
        of_weight = "" if weight is None else f" of weight {weight}{'' if isinstance(weight, str) else ' kg/m'}"
        raise CatalogError(f"no pipe{of_weight} in the catalog; give the outside diameter to see what is near")
    return sorted(pipes, key=lambda pipe: (pipe.od, pipe.weight, pipe.wall))


def _rated(catalog: Catalog, pipes: Sequence[CatalogPipe], grade: str | None, prefixes: Sequence[str]) -> list[_Rated]:
    names = dict.fromkeys(name for pipe in pipes for name in pipe.grades) if grade is None else {grade: None}
    steels = {name: _steels(catalog, name, is_asked=grade is not None) for name in names}
    rows: list[_Rated] = []
    for pipe in pipes:
        listed = pipe.grades if grade is None else (grade,)
        found = [steel for name in listed for steel in steels[name]] or [_Named(None, None, ())]
        rows += [_row(catalog, pipe, named, prefixes) for named in found]
    return rows


def _steels(catalog: Catalog, name: str, *, is_asked: bool) -> list[_Named]:
    """Return the grade called *name*; of a family whose types differ in strength, each type."""
    try:
        steel, notes = catalog.grade(name)
    except CatalogError as error:
        types = [row.name for row in catalog.grades if is_type(row.name, name)]
        if types:
            return [found for each in types for found in _steels(catalog, each, is_asked=True)]
        if is_asked:
            raise
        return [_Named(name, None, (str(error),))]
    if not _collapse_holds(steel):
        least, most = show(LEAST_SUPPORTED_YIELD, STRESS), show(GREATEST_SUPPORTED_YIELD, STRESS)
        holds = f"the collapse formulas hold for a yield strength of {least} to {most}; no collapse rating"
        notes = (*notes, f"{steel.summary}: {holds}")
    return [_Named(steel.name, steel, notes)]


def _row(catalog: Catalog, pipe: CatalogPipe, named: _Named, prefixes: Sequence[str]) -> _Rated:
    name, steel, notes = named
    couplings = {prefix: found for prefix in prefixes if (found := _coupling(pipe, steel, *CONNECTIONS[prefix]))}
    told = [*pipe_notes(pipe, steel), *notes]
    if not pipe.grades:
        told.append(f"{pipe.label}: the catalog lists no grade for this size{'' if name else '; name one'}")
    regular = [coupling for coupling in couplings.values() if coupling.clearance == "regular"]  # it speaks for both
    told += [f"{coupling.label}: {coupling.notes}" for coupling in regular if coupling.notes]
    rows = (pipe,) if steel is None else (pipe, steel)
    told += [note for note in catalog.notes if any(note.startswith(row.summary) for row in rows)]
    return _Rated(pipe, name, steel, couplings, tuple(dict.fromkeys(told)))


def _coupling(pipe: CatalogPipe, steel: Grade | None, thread: str, clearance: str) -> Coupling | None:
    """Return the coupling for a pipe, if there is one; line pipe and a wall that takes no thread have none."""
    if steel is None or steel.group == _LINE_PIPE or pipe.wall <= ROUND_THREAD_HEIGHT:
        return None
    try:
        return standard_couplings().find(
            pipe.od, thread, clearance=clearance, weight=pipe.weight, yield_strength=steel.yield_strength
        )
    except CatalogError:
        return None


def _collapse_holds(steel: Grade) -> bool:
    slack = 1.0 + 1e-9
    return LEAST_SUPPORTED_YIELD / slack <= steel.yield_strength <= GREATEST_SUPPORTED_YIELD * slack


# --- columns ---


def _sizes(rated: Sequence[_Rated]) -> Columns:
    pipes = [row.pipe for row in rated]
    return {
        "pipe": [pipe.label for pipe in pipes],
        "od_m": [pipe.od for pipe in pipes],
        "weight_kgm": [pipe.weight for pipe in pipes],
        "wall_m": [pipe.wall for pipe in pipes],
        "id_m": [pipe.inside_diameter for pipe in pipes],
        "drift_m": [pipe.drift for pipe in pipes],
        "plain_end_weight_kgm": [pipe.plain_end_weight or float(plain_end_mass(pipe.od, pipe.wall)) for pipe in pipes],
        "grade": [row.name for row in rated],
        "min_yield_pa": [row.steel and row.steel.yield_strength for row in rated],
        "min_tensile_pa": [row.steel and row.steel.tensile_strength for row in rated],
    }


def _body(rated: Sequence[_Rated], wall_factor: float) -> Columns:
    places = [place for place, row in enumerate(rated) if row.steel is not None]
    od, wall, least, _ = _tubes(rated, places)
    columns = {
        "internal_yield_pa": internal_yield_pressure(od, wall, least, wall_factor),
        "axial_yield_n": axial_yield_force(od, wall, least),
    }
    holds = [place for place in places if (steel := rated[place].steel) is not None and _collapse_holds(steel)]
    od, wall, least, _ = _tubes(rated, holds)
    collapse = collapse_working(od, wall, least)
    return {
        **{name: _spread(values, places, len(rated)) for name, values in columns.items()},
        "collapse_pa": _spread(collapse.rating, holds, len(rated)),
        "collapse_regime": _spread(_REGIMES[collapse.regime], holds, len(rated)),
    }


def _connection(prefix: str, rated: Sequence[_Rated], wall_factor: float) -> Columns:
    places = [place for place, row in enumerate(rated) if prefix in row.couplings]
    couplings = [rated[place].couplings[prefix] for place in places]
    od, wall, least, _ = tube = _tubes(rated, places)
    ring = _array(c.od for c in couplings), _array(c.root_diameter for c in couplings)
    if CONNECTIONS[prefix][0] == "BTC":
        buttress = buttress_joint_working(*tube, *ring)
        joint, failure = buttress.rating, buttress.governing
    else:
        made = round_joint_working(*tube, _array(c.engaged_length or 0.0 for c in couplings), *ring)
        joint, failure = made.rating, made.governing
    pressure = coupling_pressure_working(
        *ring,
        least,
        *(_array(getattr(c, name) for c in couplings) for name in ("pitch_diameter", "taper", "pitch", "turns")),
    )
    body = internal_yield_pressure(od, wall, least, wall_factor)
    limits = np.stack([body, pressure.yield_pressure, pressure.leak_resistance])  # in the order of _LIMITS
    columns: dict[str, ArrayLike] = {
        "joint_strength_n": joint,
        "parts_by": _FAILURES[failure],
        "coupling_yield_pa": pressure.yield_pressure,
        "leak_resistance_pa": pressure.leak_resistance,
        "internal_pressure_pa": np.min(limits, axis=0),
        "pressure_governs": _LIMITS[np.argmin(limits, axis=0)],
        "confidence": [c.confidence for c in couplings],
    }
    return {f"{prefix}_{name}": _spread(values, places, len(rated)) for name, values in columns.items()}


def _trust(rated: Sequence[_Rated]) -> Columns:
    return {
        "is_listed": [None if row.name is None else row.pipe.lists(row.name) for row in rated],
        "status": [row.pipe.status for row in rated],
        "confidence": [row.pipe.confidence for row in rated],
        "provenance": [row.pipe.provenance for row in rated],
        "source_keys": [row.pipe.source_keys or None for row in rated],
        "source": [row.pipe.source for row in rated],
        "catalog": [row.pipe.catalog for row in rated],
        "grade_confidence": [row.steel and row.steel.confidence for row in rated],
        "grade_source": [row.steel and row.steel.source for row in rated],
        "notes": ["; ".join(row.notes) or None for row in rated],
    }


def _tubes(rated: Sequence[_Rated], places: Iterable[int]) -> tuple[Floats, Floats, Floats, Floats]:
    """Return od, wall [m], yield and tensile strength [Pa] of rows whose steel is known."""
    rows = [(rated[place].pipe, steel) for place in places if (steel := rated[place].steel) is not None]
    return (
        _array(pipe.od for pipe, _ in rows),
        _array(pipe.wall for pipe, _ in rows),
        _array(steel.yield_strength for _, steel in rows),
        _array(steel.tensile_strength for _, steel in rows),
    )


def _array(values: Iterable[float]) -> Floats:
    return np.array(list(values), dtype=np.float64)


def _spread(values: ArrayLike, places: Iterable[int], count: int) -> list[Any]:
    """Return *count* cells, those at *places* filled."""
    filled = dict(zip(places, np.asarray(values).tolist(), strict=True))
    return [filled.get(place) for place in range(count)]


# --- the table ---

_ENDS = {"_m": "m", "_kgm": "kg/m", "_pa": "Pa", "_n": "N"}


def _frame(columns: Columns, rated: Sequence[_Rated], wall_factor: float) -> pd.DataFrame:
    import pandas as pd  # here, so that `import casingloads` need not wait for it

    units = {name: unit for name in columns for end, unit in _ENDS.items() if name.endswith(end)}
    kinds = {name: "Float64" if name in units else "string" for name in columns} | {"is_listed": "boolean"}
    frame = pd.DataFrame(columns, dtype=object).astype(kinds)
    notes = tuple(dict.fromkeys(note for row in rated for note in row.notes))
    frame.attrs.update(units=units, wall_factor=wall_factor, source=SOURCE, notes=notes)
    return frame
