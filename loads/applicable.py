"""Which load cases a well asks for: those named in its file, and where it wants all that apply, those that do."""

from __future__ import annotations

from dataclasses import dataclass

from .case import LoadCase
from .errors import CannotEvaluate
from .hooks import Plugins
from .scene import Scene
from .well import AllApplicable, CaseRequest, Well


@dataclass(frozen=True, kw_only=True)
class PassedOver:
    """A case that does not concern a string, and why; the string is empty for a case of several."""

    string: str
    case: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """The requests of a well, each with its scene, and the cases that do not apply where all that do are wanted."""

    requests: tuple[tuple[CaseRequest, Scene], ...]
    passed_over: tuple[PassedOver, ...]


def wanted_cases(well: Well, plugins: Plugins) -> Wanted:
    """Return the load cases that *well* asks for.

    A string with ``all-applicable`` gets every case of one string that it does not name itself and that says it
    applies; a missing input of such a case is told in its rows, ``not evaluated: needs ...``.

    Parameters
    ----------
    well : Well
        With its requests.
    plugins : Plugins
        Whose cases there are.

    Returns
    -------
    Wanted
        In the order of the file, then of the cases' phases and names.
    """
    requests: list[tuple[CaseRequest, Scene]] = []
    passed: list[PassedOver] = []
    for string in well.strings:
        scene = Scene(well, string.name)
        requests += [(request, scene) for request in string.cases]
        if string.all_applicable is not None:
            _add_applicable(requests, passed, plugins, scene, string.cases, string.all_applicable)
    requests += [(request, Scene(well)) for request in well.cases]
    if well.all_applicable is not None:
        _add_applicable(requests, passed, plugins, Scene(well), well.cases, well.all_applicable)
    return Wanted(requests=tuple(requests), passed_over=tuple(passed))


_PHASES = ("installation", "drilling", "production", "other")


def _add_applicable(
    requests: list[tuple[CaseRequest, Scene]],
    passed: list[PassedOver],
    plugins: Plugins,
    scene: Scene,
    named: tuple[CaseRequest, ...],
    wanted: AllApplicable,
) -> None:
    scope = "string" if scene.string_name else "well"
    taken, labels = {request.case for request in named}, {request.label for request in named}
    for case in sorted(plugins.cases.values(), key=lambda case: (_PHASES.index(case.phase), case.name)):
        if case.scope != scope or case.name in taken:
            continue
        reason = "left out in the well file" if case.name in wanted.leave_out else why_not(case, scene)
        if reason:
            passed.append(PassedOver(string=scene.string_name or "", case=case.name, reason=reason))
        else:
            label = f"{case.name} itself" if case.name in labels else case.name  # a label may be another case's name
            parameters = wanted.parameters.get(case.name, {})
            requests.append((CaseRequest(label=label, case=case.name, parameters=parameters), scene))


def why_not(case: LoadCase, scene: Scene) -> str:
    """Return why *case* does not concern the string of *scene*; an empty text where it does, or where it cannot tell.

    Parameters
    ----------
    case : LoadCase
        Its ``applies`` is asked.
    scene : Scene
        Of the string, or of the whole well for a case of several.

    Returns
    -------
    str
        Why not, in plain words.
    """
    if case.applies is None:
        return ""
    try:
        return str(case.applies(scene) or "")
    except CannotEvaluate:
        return ""  # it applies as far as can be told; its rows say what it needs
    except Exception:  # a plugin may fail in any way: then the case is tried, and its rows say what is wrong
        return ""
