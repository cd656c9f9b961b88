"""Rules of a catalog: sources, one row for each name, sizes that can be, rows that are found again."""

# ruff: noqa: D401 (the docstring of a rule says what it demands)

from __future__ import annotations

from itertools import combinations

from ..catalog import Catalog, CatalogError, standard_catalog
from ..catalog.rows import CatalogRow, is_akin
from ..constants import STEEL_DENSITY
from ..strength.geometry import plain_end_mass
from .finding import demand

_NOMINAL = (0.85, 1.35)
"""Between which shares of the mass of the bare tube a nominal weight lies."""


def _rows(catalog: Catalog) -> tuple[CatalogRow, ...]:
    return (*catalog.pipes, *catalog.grades)


def check_rows(catalog: Catalog) -> None:
    """A catalog holds a pipe or a grade."""
    demand(_rows(catalog), "no pipe and no grade", "offer cl.read_catalog(path) of a file that holds some")


def check_hashes(catalog: Catalog) -> None:
    """It tells the files that it came from by their SHA-256, so that a result can be repeated."""
    wrong = [name for name, digest in catalog.hashes.items() if len(digest) != 64]
    advice = "read it with cl.read_catalog, or give hashes={file name: sha256}"
    demand(catalog.hashes and not wrong, f"hashes are {dict(catalog.hashes)}", advice)


def check_sources(catalog: Catalog) -> None:
    """Every row names its source."""
    for row in _rows(catalog):
        label = getattr(row, "summary", repr(row))
        demand(row.source.strip(), f"{label} has no source", "name a standard, a data sheet, a page")


def check_unique(catalog: Catalog) -> None:
    """No two rows answer to the same name: one pipe for a diameter and weight, one grade for a name."""
    for one, other in combinations(sorted(catalog.pipes, key=lambda pipe: pipe.od), 2):
        demand(not one.is_same(other), f"{one.summary} and {other.summary} are one name", "drop one of them")
    for first, second in combinations(catalog.grades, 2):
        demand(not first.is_same(second), f"{first.summary} and {second.summary} are one name", "drop one of them")


def check_sizes(catalog: Catalog) -> None:
    """Diameters, walls and weights are positive [m, kg/m], and the wall leaves a bore."""
    for pipe in catalog.pipes:
        fits = pipe.weight > 0.0 and 0.0 < 2.0 * pipe.wall < pipe.od < 3.0
        found = f"{pipe.label}: od {pipe.od:g} m, wall {pipe.wall:g} m, weight {pipe.weight:g} kg/m"
        demand(fits, found, "look at the units of the columns")


def check_drift(catalog: Catalog) -> None:
    """A drift is smaller than the bore, but not by a tenth of it."""
    for pipe in catalog.pipes:
        for drift in (pipe.drift, pipe.alternate_drift):
            if drift is not None:
                found = f"{pipe.summary}: drift {drift * 1e3:.2f} mm of bore {pipe.inside_diameter * 1e3:.2f} mm"
                demand(0.9 * pipe.inside_diameter < drift < pipe.inside_diameter, found, "look at wall and drift")


def check_weights(catalog: Catalog) -> None:
    """The nominal weight is near the mass of the bare tube: else weight or wall is of another row, or unit."""
    for pipe in catalog.pipes:
        share = pipe.weight / float(plain_end_mass(pipe.od, pipe.wall, STEEL_DENSITY))
        found = f"{pipe.summary}: nominal weight is {share:.2f} of the mass of the bare tube"
        demand(
            _NOMINAL[0] <= share <= _NOMINAL[1], found, f"{_NOMINAL[0]} to {_NOMINAL[1]} is accepted; look at the row"
        )


def check_found(catalog: Catalog) -> None:
    """Every pipe is found by the name that lists show, and every grade by its own."""
    for pipe in catalog.pipes:
        try:
            found = catalog.pipe(pipe.od, weight=pipe.weight).summary
        except CatalogError as error:
            found = str(error)
        demand(found == pipe.summary, f"{pipe.label} names {found}", "set rows apart by weight or wall")
    for grade in catalog.grades:
        demand(catalog.grade(grade.name)[0] == grade, f"{grade.name} names another grade", "give it a name of its own")


def check_grades_known(catalog: Catalog) -> None:
    """Grades that a size lists are in this catalog or in the standard one."""
    names = {grade.name for grade in (*catalog.grades, *standard_catalog().grades)}
    for pipe in catalog.pipes:
        strange = [grade for grade in pipe.grades if not any(is_akin(grade, name) for name in names)]
        demand(
            not strange, f"{pipe.summary} lists {strange}", "add these grades to the catalog, or spell them as there"
        )


def check_grade_strengths(catalog: Catalog) -> None:
    """Strengths of a grade stand in their order: yield, tensile strength; and each under its maximum [Pa]."""
    for grade in catalog.grades:
        fits = 100e6 <= grade.yield_strength <= grade.tensile_strength <= 2500e6
        fits = fits and (grade.max_yield is None or grade.max_yield >= grade.yield_strength)
        demand(fits, f"{grade.summary}: strengths are out of order", "look at the units of the columns")


def check_tables(catalog: Catalog) -> None:
    """It can be listed in both systems of units."""
    for frame, rows in ((catalog.pipes_frame, catalog.pipes), (catalog.grades_frame, catalog.grades)):
        lengths = {len(frame("metric")), len(frame("field"))}
        demand(
            lengths == {len(rows)}, f"lists have {lengths} rows of {len(rows)}", "offer what cl.read_catalog returns"
        )
