"""The engine: runs the load cases a well asks for and collects what every step says of every section.

It loops over cases, not over strings, since a case may concern several; and it knows no case by name.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from .applicable import wanted_cases
from .case import LoadCase
from .errors import CannotEvaluate, InputError, Problem, near_miss
from .evaluate import Evaluation, Unphysical, evaluate
from .hooks import Plugins, load_plugins
from .parameters import known_of, read_parameters
from .remark import Remark
from .result import Result
from .row import Row
from .rows import failed_rows, rows_of
from .scene import Scene
from .situations import cemented, running
from .state import Load, State
from .strength.model import ChosenModel
from .strength.models import DEFAULT_MODELS
from .well import MODES, CaseRequest, ModelRequest, String, Well


def check(well: Well, *, plugins: Plugins | None = None) -> Result:
    """Return the design factors of every string of *well* in the load cases it asks for.

    Parameters
    ----------
    well : Well
        See `read_well`.
    plugins : Plugins, optional
        Load cases and strength models; by default those installed.

    Returns
    -------
    Result
        Factors, profiles, verdict.

    Raises
    ------
    InputError
        When a case or a strength model is not known by the name given.
    """
    plugins = plugins or load_plugins()
    models = {string.name: models_of(string, plugins) for string in well.strings}
    rows: list[Row] = []
    evaluations: dict[tuple[str, str, str], Evaluation] = {}
    remarks: list[Remark] = []
    used: dict[str, LoadCase] = {}
    references: dict[str, State] = {}
    wanted = wanted_cases(well, plugins)
    for request, scene in wanted.requests:
        case = _case_named(request, plugins)
        used[case.name] = case
        load = _load(case, request, scene)
        if isinstance(load, str):
            rows.extend(_not_evaluated(well, request, scene, load))
            continue
        remarks.extend(remark.after(f"{_owner(scene)}{request.label}: ") for remark in load.remarks)
        for step in load.steps:
            strangers = [name for name in step.states if name not in models]
            if strangers:
                rows.extend(_not_evaluated(well, request, scene, f"case {case.name!r}: no string {strangers[0]!r}"))
                continue
            for name, state in step.states.items():
                string = well.string(name)
                try:
                    if name not in references:
                        references[name] = cemented(well, string)
                    known = _Known(load, request, step.name, evaluations, references[name])
                    found = known.evaluated(well, string, state, models[name])
                    rows.extend(list(rows_of(found, request, step.name)))
                except Exception as error:  # a plugin's columns or models may fail in any way: only its rows suffer
                    rows.extend(failed_rows(string, request, step.name, _reason(case, error)))
                else:
                    evaluations[name, request.label, step.name] = found
    return Result(
        well=well,
        plugins=plugins,
        rows=tuple(rows),
        evaluations=evaluations,
        hanging=tuple(_hanging(well)),
        cases=tuple(used.values()),
        models=models,
        remarks=tuple(remarks),
        passed_over=wanted.passed_over,
    )


@dataclass(frozen=True)
class _Known:
    """What is known when one step of a load is worked out."""

    load: Load
    request: CaseRequest
    step: str
    evaluations: Mapping[tuple[str, str, str], Evaluation]
    reference: State

    def evaluated(self, well: Well, string: String, state: State, models: Mapping[str, ChosenModel]) -> Evaluation:
        """Return the evaluation of one step; where the load follows yielding, after the steps before it."""
        if not self.load.follows_yield:
            return evaluate(well, string, state, models, reference=self.reference)
        states = [step.states[string.name] for step in self.load.steps if string.name in step.states]
        before = self._before(string.name)
        return evaluate(well, string, state, models, before=before, steps=states, reference=self.reference)

    def _before(self, name: str) -> Evaluation | None:
        before = None
        for step in self.load.steps:
            if step.name == self.step:
                break
            if name in step.states:
                before = self.evaluations.get((name, self.request.label, step.name))
                if before is None:
                    raise CannotEvaluate(f"step {step.name!r}, on which it follows, could not be evaluated")
        return before


def models_of(string: String, plugins: Plugins) -> dict[str, ChosenModel]:
    """Return the strength model of each mode for *string*.

    Raises
    ------
    InputError
        When a name is not known.
    """
    chosen, problems = {}, []
    for mode in MODES:
        request = string.models.get(mode, ModelRequest(name=DEFAULT_MODELS[mode]))
        name = request.name
        model = plugins.models.get((mode, name))
        if model is None:
            known = [other for other_mode, other in plugins.models if other_mode == mode]
            where = f"strings.{string.name}.models.{mode}"
            problems.append(Problem(where, f"{name!r} is not a strength model; {near_miss(name, known)}"))
        else:
            chosen[mode] = ChosenModel(model=model, parameters=request.parameters)
    if problems:
        raise InputError(problems)
    return chosen


def _owner(scene: Scene) -> str:
    return f"{scene.string_name}, " if scene.string_name else ""


def _case_named(request: CaseRequest, plugins: Plugins) -> LoadCase:
    case = plugins.cases.get(request.case)
    if case is None:
        message = f"{request.case!r} is not a load case; {near_miss(request.case, plugins.cases)}"
        raise InputError([Problem(f"cases.{request.label}", message)])
    return case


def _load(case: LoadCase, request: CaseRequest, scene: Scene) -> Load | str:
    """Return the load, or why there is none."""
    defaults, _, _ = read_parameters(case, {}, known_of(scene.well))
    given = {**defaults, **request.parameters}
    lacking = [parameter.name for parameter in case.parameters if parameter.name not in given]
    unchosen = [group for group in case.one_of if all(given.get(name) is None for name in group)]
    if lacking or unchosen:
        return f"needs {', '.join([*lacking, *(' or '.join(group) for group in unchosen)])}"
    try:
        load = case(scene, **given)
    except Exception as error:  # a plugin may fail in any way: only its own rows suffer
        return _reason(case, error)
    if not isinstance(load, Load):
        return f"case {case.name!r}: returned {type(load).__name__}, not a Load"
    try:
        for remark in load.remarks:
            remark.text()
    except Exception as error:  # as above
        return f"case {case.name!r}: a remark is not a Remark that can be shown: {error!r}"
    return load


def _reason(case: LoadCase, error: Exception) -> str:
    if isinstance(error, CannotEvaluate):
        return str(error)
    kind = "" if isinstance(error, Unphysical) else f"{type(error).__name__}: "
    return f"case {case.name!r}: {kind}{error}"


def _not_evaluated(well: Well, request: CaseRequest, scene: Scene, reason: str) -> Iterator[Row]:
    for string in [scene.string] if scene.string_name else well.strings:
        yield from failed_rows(string, request, "", reason)


def _hanging(well: Well) -> Iterator[tuple[str, Evaluation]]:
    """Yield the moments at which the rig carries a string, whatever cases are asked for; without those that fail."""
    for string in well.strings:
        depths = {"landed, before cementing": string.shoe}
        if string.top > 0.0:
            depths = {"all of it at the drill floor": string.length, **depths}
        moments = {name: running(well, string, shoe_at=depth) for name, depth in depths.items()}
        with contextlib.suppress(ValueError):  # the rows of the cases say why
            moments["end of cementing, bled off"] = cemented(well, string)
            for name, state in moments.items():
                yield name, evaluate(well, string, state, {})  # its forces only
