"""The conformance kit: every rule, on every well, for load cases, strength models and catalogs."""

# ruff: noqa: D401 (the docstring of a rule says what it demands)

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeAlias, TypeVar

from ..case import LoadCase
from ..catalog import Catalog
from ..errors import CannotEvaluate
from ..strength.model import StrengthModel
from . import case_rules, catalog_rules, engine_rules, load_rules, model_rules
from .engine_rules import Trend
from .finding import Broken, Finding, demand
from .model_rules import ModelTrial
from .samples import Examples
from .trial import Trial
from .wells import WELLS, KitWell

Test = TypeVar("Test", bound=Callable[..., None])
Subject: TypeAlias = LoadCase | StrengthModel | Catalog

STATIC_RULES: tuple[Callable[[Any], None], ...] = (
    case_rules.check_name,
    case_rules.check_summary,
    case_rules.check_source,
    case_rules.check_parameters_documented,
    case_rules.check_defaults_readable,
)
CASE_RULES: tuple[Callable[[LoadCase], None], ...] = (
    case_rules.check_phase,
    case_rules.check_optional_parameters_explained,
    case_rules.check_one_of_named,
)
WELL_RULES: tuple[Callable[[Trial], None], ...] = (
    case_rules.check_applies,
    case_rules.check_answer,
    case_rules.check_variations,
    case_rules.check_missing_data,
    case_rules.check_same_twice,
    case_rules.check_no_mutation,
    case_rules.check_quiet,
    case_rules.check_fast,
    load_rules.check_named_steps,
    load_rules.check_strings,
    load_rules.check_pressure_protocol,
    load_rules.check_shapes,
    load_rules.check_finite_profiles,
    load_rules.check_above_vacuum,
    load_rules.check_sane_pressures,
    load_rules.check_temperatures,
    load_rules.check_breaks,
    load_rules.check_origin,
    load_rules.check_remarks,
    engine_rules.check_engine,
    engine_rules.check_recorded,
    engine_rules.check_profiles_shown,
)
MODEL_RULES: tuple[Callable[[ModelTrial], None], ...] = (
    model_rules.check_runs,
    model_rules.check_shapes,
    model_rules.check_finite,
    model_rules.check_factor,
    model_rules.check_each_place_by_itself,
    model_rules.check_right_mode,
    model_rules.check_missing_tensile_strength,
    model_rules.check_same_twice,
    model_rules.check_no_mutation,
    model_rules.check_quiet,
    model_rules.check_dimension,
    model_rules.check_working,
    model_rules.check_cautions,
)
CATALOG_RULES: tuple[Callable[[Catalog], None], ...] = (
    catalog_rules.check_rows,
    catalog_rules.check_hashes,
    catalog_rules.check_sources,
    catalog_rules.check_unique,
    catalog_rules.check_sizes,
    catalog_rules.check_drift,
    catalog_rules.check_weights,
    catalog_rules.check_found,
    catalog_rules.check_grades_known,
    catalog_rules.check_grade_strengths,
    catalog_rules.check_tables,
)


@dataclass(frozen=True)
class BoundCheck:
    """One rule, ready to be tried on one subject; call it.

    Attributes
    ----------
    subject, rule, well : str
        Names, as in `Finding`.
    run : callable
        Raises `Broken` when the rule is broken.
    """

    subject: str
    rule: str
    well: str
    run: Callable[[], None]

    @property
    def id(self) -> str:
        """Name of the test: ``swabbed-gas-finite_profiles-subsea``."""
        return "-".join(part for part in (self.subject, self.rule, self.well) if part)

    def __call__(self) -> None:
        """Try the rule.

        Raises
        ------
        Broken
            An `AssertionError` that says what was found and what to do.
        """
        self.run()

    def finding(self) -> Finding | None:
        """Return what is wrong, if anything is."""
        try:
            self.run()
        except Broken as error:
            return Finding(subject=self.subject, rule=self.rule, well=self.well, message=str(error))
        except Exception as error:  # what the kit stumbles over, a rule above it tells in better words
            message = f"the rule itself fails: {type(error).__name__}: {error}; mend what other rules find first"
            return Finding(subject=self.subject, rule=self.rule, well=self.well, message=message)
        return None


def checks_of(
    subject: Subject,
    *,
    parameters: Examples | None = None,
    trends: Sequence[Trend] = (),
    wells: Sequence[KitWell] = WELLS,
) -> tuple[BoundCheck, ...]:
    """Return every rule of the kit for one load case, strength model or catalog.

    Parameters
    ----------
    subject : LoadCase, StrengthModel or Catalog
        What is to conform.
    parameters : mapping or callable, optional
        Values of parameters as a well file would write them; for a load case also ``function(scene) -> mapping``.
        By default the kit chooses what is required by its annotation.
    trends : sequence of Trend
        Responses that the author declares.
    wells : sequence of KitWell
        On which a load case is tried.

    Returns
    -------
    tuple of BoundCheck
        To be called one by one.

    Raises
    ------
    TypeError
        If the subject is none of the three.
    """
    if isinstance(subject, LoadCase):
        return tuple(_of_case(subject, parameters, trends, wells))
    if isinstance(subject, StrengthModel):
        if callable(parameters):
            raise TypeError("parameters of a strength model: need a mapping, found a function; a model knows no scene")
        return tuple(_of_model(subject, parameters, trends))
    if isinstance(subject, Catalog):
        name = next((row.catalog for row in (*subject.pipes, *subject.grades) if row.catalog), "catalog")
        return tuple(_bound(name, "", rule, subject) for rule in CATALOG_RULES)
    raise TypeError(f"need a LoadCase, StrengthModel or Catalog, found {type(subject).__name__}; decorate the function")


def _of_case(
    case: LoadCase, examples: Examples | None, trends: Sequence[Trend], wells: Sequence[KitWell]
) -> Iterator[BoundCheck]:
    yield from (_bound(case.name, "", rule, case) for rule in (*STATIC_RULES, *CASE_RULES))
    trials = [Trial(case, well, examples) for well in wells]
    yield BoundCheck(case.name, "runs_somewhere", "", partial(check_runs_somewhere, trials))
    for trial in trials:
        yield from (_bound(case.name, trial.kit_well.name, rule, trial) for rule in WELL_RULES)
        if trends:
            run = partial(engine_rules.check_trends, trial, trends)
            yield BoundCheck(case.name, "trends", trial.kit_well.name, run)


def _of_model(
    model: StrengthModel, examples: Mapping[str, object] | None, trends: Sequence[Trend]
) -> Iterator[BoundCheck]:
    name = f"{model.mode}-{model.name}"
    yield from (_bound(name, "", rule, model) for rule in STATIC_RULES)
    trial = ModelTrial(model, examples)
    yield from (_bound(name, "", rule, trial) for rule in MODEL_RULES)
    if trends:
        yield BoundCheck(name, "trends", "", partial(model_rules.check_trends, trial, trends))


def _bound(subject: str, well: str, rule: Callable[[Any], None], of: object) -> BoundCheck:
    return BoundCheck(subject, rule.__name__.removeprefix("check_"), well, partial(rule, of))


def check_runs_somewhere(trials: Iterable[Trial]) -> None:
    """The case gives a load on one well of the kit at least: else no rule of its loads means anything."""
    refusals: dict[str, None] = {}
    name = ""
    for trial in trials:
        if trial.concerned:
            return
        name = trial.case.name
        refusals.update((str(call.error), None) for call in trial.attempts if isinstance(call.error, CannotEvaluate))
    told = "; ".join(list(refusals)[:3]) or "no load that concerns a string"
    advice = f"give example values, parameters={{{name!r}: {{'depth': '900 m'}}}}, or a function of the scene"
    demand(False, f"gives a load on no well of the kit ({told})", advice)


def run_checks(
    subject: Subject,
    *,
    parameters: Examples | None = None,
    trends: Sequence[Trend] = (),
    wells: Sequence[KitWell] = WELLS,
) -> list[Finding]:
    """Return every rule that *subject* breaks; nothing if it conforms. For a notebook; see `checks_of`.

    Examples
    --------
    >>> import casingloads as cl
    >>> @cl.strength_model(mode="burst", source="")
    ... def hopeful(tube: cl.Tube, loading: cl.Loading) -> cl.Check:
    ...     "Never bursts."
    ...     zero = 0.0 * tube.wall
    ...     return cl.Check(demand=zero, capacity=zero + 1e9, loaded=zero > 0.0, dimension=cl.PRESSURE)
    >>> [finding.rule for finding in run_checks(hopeful)]
    ['source', 'runs', 'working']
    """
    checks = checks_of(subject, parameters=parameters, trends=trends, wells=wells)
    return [found for check in checks if (found := check.finding()) is not None]


def parametrize_with_checks(
    subjects: Iterable[Subject],
    *,
    parameters: Mapping[str, Examples] | None = None,
    trends: Mapping[str, Sequence[Trend]] | None = None,
    wells: Sequence[KitWell] = WELLS,
) -> Callable[[Test], Test]:
    """Return a pytest decorator that makes one test of each rule: ``def test_conforms(check): check()``.

    Parameters
    ----------
    subjects : iterable of LoadCase, StrengthModel or Catalog
        What is to conform.
    parameters, trends : mapping, optional
        As for `checks_of`, by name of the load case or strength model.
    wells : sequence of KitWell
        On which load cases are tried.

    Returns
    -------
    pytest mark
        ``pytest.mark.parametrize("check", ...)`` with ids such as ``swabbed-gas-finite_profiles-subsea``.
    """
    import pytest  # here only: the package does not need it

    found: list[BoundCheck] = []
    for subject in subjects:
        name = getattr(subject, "name", "")
        chosen, declared = (parameters or {}).get(name), (trends or {}).get(name, ())
        found += checks_of(subject, parameters=chosen, trends=declared, wells=wells)
    decorator: Callable[[Test], Test] = pytest.mark.parametrize(
        "check", [pytest.param(check, id=check.id) for check in found]
    )
    return decorator
