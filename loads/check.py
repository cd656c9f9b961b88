"""The engine: runs the load cases a well asks for and collects what every step says of every section.

It loops over cases, not over strings, since a case may concern several; and it knows no case by name.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from .case import LoadCase
from .errors import CannotEvaluate, InputError, Problem, near_miss
from .evaluate import Evaluation, Unphysical, evaluate
from .hooks import Plugins, load_plugins
from .parameters import read_parameters
from .remark import Remark
from .result import Result, Row
from .scene import Scene
from .situations import cemented, running
from .state import Load
from .strength.model import ChosenModel
from .strength.models import DEFAULT_MODELS
from .well import MODES, CaseRequest, Section, String, Well


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
    for request, scene in _requests(well):
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
                rows.extend(
                    _not_evaluated(well, request, scene, f"plugin case {case.name!r}: no string {strangers[0]!r}")
                )
                continue
            for name, state in step.states.items():
                string = well.string(name)
                try:
                    found = evaluate(well, string, state, models[name])
                    rows.extend(list(_rows(found, request, step.name)))
                except Exception as error:  # a plugin's columns or models may fail in any way: only its rows suffer
                    rows.extend(_failed(string, request, step.name, _reason(case, error)))
                else:
                    evaluations[name, request.label, step.name] = found
    return Result(
        well=well,
        plugins=plugins,
        rows=tuple(rows),
        evaluations=evaluations,
        hanging=tuple(_hanging(well, models)),
        cases=tuple(used.values()),
        models=models,
        remarks=tuple(remarks),
    )


def models_of(string: String, plugins: Plugins) -> dict[str, ChosenModel]:
    """Return the strength model of each mode for *string*.

    Raises
    ------
    InputError
        When a name is not known.
    """
    chosen, problems = {}, []
    for mode in MODES:
        name = string.models.get(mode, DEFAULT_MODELS[mode])
        model = plugins.models.get((mode, name))
        if model is None:
            known = [other for other_mode, other in plugins.models if other_mode == mode]
            where = f"strings.{string.name}.models.{mode}"
            problems.append(Problem(where, f"{name!r} is not a strength model; {near_miss(name, known)}"))
        else:
            chosen[mode] = ChosenModel(model=model)
    if problems:
        raise InputError(problems)
    return chosen


def _requests(well: Well) -> Iterator[tuple[CaseRequest, Scene]]:
    for string in well.strings:
        for request in string.cases:
            yield request, Scene(well, string.name)
    for request in well.cases:
        yield request, Scene(well)


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
    defaults, _, _ = read_parameters(case, {}, scene.well.fluids)
    try:
        load = case(scene, **{**defaults, **request.parameters})
    except Exception as error:  # a plugin may fail in any way: only its own rows suffer
        return _reason(case, error)
    if not isinstance(load, Load):
        return f"plugin case {case.name!r}: returned {type(load).__name__}, not a Load"
    return load


def _reason(case: LoadCase, error: Exception) -> str:
    if isinstance(error, CannotEvaluate):
        return str(error)
    kind = "" if isinstance(error, Unphysical) else f"{type(error).__name__}: "
    return f"plugin case {case.name!r}: {kind}{error}"


def _not_evaluated(well: Well, request: CaseRequest, scene: Scene, reason: str) -> Iterator[Row]:
    for string in [scene.string] if scene.string_name else well.strings:
        yield from _failed(string, request, "", reason)


def _failed(string: String, request: CaseRequest, step: str, reason: str) -> Iterator[Row]:
    for number in range(1, len(string.sections) + 1):
        for mode in MODES:
            yield Row(
                string=string.name,
                section=number,
                case=request.label,
                step=step,
                mode=mode,
                required=_required(string, request, mode),
                status="not-evaluated",
                reason=reason,
            )


def _required(string: String, request: CaseRequest, mode: str) -> float:
    return float(request.required.get(mode, string.required[mode]))


def _rows(found: Evaluation, request: CaseRequest, step: str) -> Iterator[Row]:
    """Yield one row for each section that is in the hole, and each mode: the place of the lowest factor."""
    for index, section in enumerate(found.string.sections):
        inside = found.body.section == index
        if not np.any(inside):
            continue  # not yet run in this step
        for mode in found.checks:
            yield _row(found, request, step, mode, index, section, inside)


def _row(
    found: Evaluation,
    request: CaseRequest,
    step: str,
    mode: str,
    index: int,
    section: Section,
    inside: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
) -> Row:
    outcome = found.checks[mode]
    required = _required(found.string, request, mode)
    base = Row(
        string=found.string.name,
        section=index + 1,
        case=request.label,
        step=step,
        mode=mode,
        required=required,
        status="no-load",
        reason="",
    )
    if section.connection is not None and section.connection_as_body is None:
        reason = (
            f"connection {section.connection!r} has no ratings here; give connection_as_body with a reason, "
            "or leave the connection out"
        )
        return base.but(status="not-evaluated", reason=reason)
    factor = np.where(inside & outcome.loaded, outcome.factor, np.inf)
    if not np.any(inside & outcome.loaded):
        return base
    lowest = float(factor.min())
    place = int(np.argmax(factor <= lowest * (1.0 + 1e-9)))  # of equals the shallowest
    if not np.isfinite(lowest):
        return base.but(status="not-evaluated", reason="the strength model gave a factor that is not a number")
    return base.but(
        status="meets" if lowest >= required else "below",
        factor=lowest,
        load=float(np.broadcast_to(outcome.demand, factor.shape)[place]),
        rating=float(np.broadcast_to(outcome.capacity, factor.shape)[place]),
        governs="body",
        md=float(found.places.md[place]),
        tvd=float(found.places.tvd[place]),
        side="below" if found.places.below[place] else "above",
        place=place,
        warnings=tuple(
            caution.text for caution in outcome.cautions if np.broadcast_to(caution.where, factor.shape)[place]
        ),
    )


def _hanging(well: Well, models: Mapping[str, Mapping[str, ChosenModel]]) -> Iterator[tuple[str, Evaluation]]:
    """Yield the moments at which the rig carries a string, whatever cases are asked for."""
    for string in well.strings:
        chosen = models[string.name]
        if string.top > 0.0:
            state = running(well, string, shoe_at=string.length)
            yield "all of it at the drill floor", evaluate(well, string, state, chosen)
        yield (
            "landed, before cementing",
            evaluate(well, string, running(well, string, shoe_at=string.shoe), chosen),
        )
        yield "end of cementing, bled off", evaluate(well, string, cemented(well, string), chosen)
