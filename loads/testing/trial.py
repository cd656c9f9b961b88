"""A load case tried on one well of the kit: called under each string, everything it does written down."""

from __future__ import annotations

import contextlib
import copy
import io
import time
import warnings
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from ..applicable import why_not
from ..arrays import Array
from ..case import LoadCase
from ..check import check
from ..hooks import Plugins, load_plugins
from ..parameters import known_of, read_parameters
from ..result import Result
from ..scene import Scene
from ..state import Load, State
from ..stations import Places, places, points_along
from ..well import CaseRequest, Well
from .compare import difference
from .finding import Broken
from .samples import Examples, raw_choices
from .wells import KitWell


@dataclass(frozen=True)
class Heard:
    """What a stretch of code said besides: text it printed, warnings it let out."""

    printed: str
    warnings: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Attempt:
    """One call of a load case.

    Attributes
    ----------
    well : Well
        On which, as it was after the call.
    string : str or None
        Under which; None for a case of several.
    raw, values : mapping
        Parameters as a file would write them, and in SI.
    answer : object
        What it returned; a `Load` if all is well.
    error : Exception or None
        What it raised.
    seconds : float
        How long it took.
    heard : Heard
        What it said besides.
    changed : str
        Dotted place of the well or the parameters that it changed.
    """

    well: Well
    string: str | None
    raw: Mapping[str, object]
    values: Mapping[str, Any]
    answer: object
    error: Exception | None
    seconds: float
    heard: Heard
    changed: str

    @property
    def load(self) -> Load | None:
        """The load, if there is one."""
        return self.answer if isinstance(self.answer, Load) else None

    @property
    def words(self) -> str:
        """Where it was called and with what, for messages."""
        given = ", ".join(f"{name}={value!r}" for name, value in self.raw.items())
        return (
            f"under {self.string!r} with {given or 'no parameters'}" if self.string else f"with {given or 'defaults'}"
        )


@dataclass(frozen=True, kw_only=True)
class Profile:
    """One side of a state, or its temperature, along a string: which, where, and what it gave."""

    step: str
    string: str
    what: str
    places: Places
    value: object
    error: Exception | None

    @property
    def words(self) -> str:
        """Which one, for messages."""
        return f"step {self.step!r}, {self.what} of {self.string!r}"


def attempt(case: LoadCase, well: Well, string: str | None, raw: Mapping[str, object]) -> Attempt:
    """Call *case* once on a copy of *well*.

    Raises
    ------
    Broken
        When the parameters cannot be read: a default, or an example of the author's, is wrong.
    """
    well = copy.deepcopy(well)
    values, problems, _ = read_parameters(case, raw, known_of(well))
    if problems:
        told = "; ".join(f"{name}: {message}" for name, message in problems)
        raise Broken(
            f"the parameters cannot be read: {told}; mend the default, or give parameters={{{case.name!r}: ...}}"
        )
    before, values_before = copy.deepcopy(well), copy.deepcopy(values)
    answer, error = None, None
    with listening() as said:
        start = time.perf_counter()
        try:
            answer = case(Scene(well, string), **values)
        except Exception as found:  # a plugin may fail in any way: the rules judge it
            error = found
        seconds = time.perf_counter() - start
    return Attempt(
        well=well,
        string=string,
        raw=raw,
        values=values,
        answer=answer,
        error=error,
        seconds=seconds,
        heard=said(),
        changed=difference(before, well, "well") or difference(values_before, values, "parameters"),
    )


@contextlib.contextmanager
def listening() -> Iterator[Callable[[], Heard]]:
    """Give a function that returns what was printed and warned of meanwhile."""
    text = io.StringIO()
    with (
        warnings.catch_warnings(record=True) as caught,
        np.errstate(all="warn", under="ignore"),
        contextlib.redirect_stdout(text),
        contextlib.redirect_stderr(text),
    ):
        warnings.simplefilter("always")
        yield lambda: Heard(text.getvalue(), tuple(f"{item.category.__name__}: {item.message}" for item in caught))


@dataclass(frozen=True)
class Trial:
    """A load case on one well of the kit.

    Attributes
    ----------
    case : LoadCase
        Which.
    kit_well : KitWell
        On which well.
    examples : mapping, callable or None
        Parameters that its author gives.
    """

    case: LoadCase
    kit_well: KitWell
    examples: Examples | None = None

    @cached_property
    def well(self) -> Well:
        """The well as it is before any call."""
        return self.kit_well.well()

    @cached_property
    def scenes(self) -> tuple[Scene, ...]:
        """One for each string, or one for the whole well."""
        if self.case.scope == "well":
            return (Scene(self.well),)
        return tuple(Scene(self.well, string.name) for string in self.well.strings)

    @cached_property
    def attempts(self) -> tuple[Attempt, ...]:
        """Every call: under each string, with each choice of what is required."""
        return tuple(
            attempt(self.case, self.well, scene.string_name, raw)
            for scene in self.scenes
            for raw in raw_choices(self.case, scene, self.examples)
        )

    @property
    def loads(self) -> tuple[tuple[Attempt, Load], ...]:
        """The calls that gave a load."""
        return tuple((call, call.load) for call in self.attempts if call.load is not None)

    @cached_property
    def concerned(self) -> tuple[Attempt, ...]:
        """The calls that gave a load, under strings which the case says it concerns; all of them if it says of none."""
        calls = tuple(call for call, _ in self.loads)
        return tuple(call for call in calls if not why_not(self.case, Scene(self.well, call.string))) or calls

    @cached_property
    def profiles(self) -> tuple[Profile, ...]:
        """Pressures and temperature of every state, on both sides of everything that the load says jumps."""
        return tuple(
            profile
            for call, load in self.loads
            for step in load.steps
            for name, state in step.states.items()
            if name in {string.name for string in call.well.strings}
            for profile in _profiles(call.well, name, step.name, state)
        )

    @cached_property
    def result(self) -> Result | Exception | None:
        """The engine's result with every call that gave a load; what it raised; None if there is none."""
        if not self.loads:
            return None
        try:
            return check(_asking(self.well, self.case, self.loads), plugins=_plugins(self.case))
        except Exception as error:  # as above
            return error


def _asking(well: Well, case: LoadCase, loads: tuple[tuple[Attempt, Load], ...]) -> Well:
    asked: dict[str | None, list[CaseRequest]] = {}
    for call, _ in loads:
        labels = asked.setdefault(call.string, [])
        labels.append(CaseRequest(label=f"{case.name} {len(labels) + 1}", case=case.name, parameters=call.values))
    strings = tuple(replace(string, cases=tuple(asked.get(string.name, []))) for string in well.strings)
    return copy.deepcopy(replace(well, strings=strings, cases=tuple(asked.get(None, []))))


def _plugins(case: LoadCase) -> Plugins:
    core = load_plugins(installed=False)
    return Plugins(cases={case.name: case}, models=core.models, loaded=core.loaded)


def _profiles(well: Well, name: str, step: str, state: State) -> list[Profile]:
    where = kit_places(well, name, state)
    asked: dict[str, Any] = {"inside pressure": state.inside, "outside pressure": state.outside}
    found = [_profile(name, step, what, where, lambda side=side: side.at(where)) for what, side in asked.items()]
    if state.temperature is not None:
        warm = state.temperature
        found.append(_profile(name, step, "temperature", where, lambda: warm(where.tvd)))
    return found


def _profile(string: str, step: str, what: str, where: Places, ask: Any) -> Profile:
    value, error = None, None
    try:
        value = ask()
    except Exception as found:  # as above
        error = found
    return Profile(step=step, string=string, what=what, places=where, value=value, error=error)


def kit_places(well: Well, name: str, state: State) -> Places:
    """Return places along a string, on both sides of the jumps and breaks of *state* that can be read."""
    string = well.string(name)
    raised_by = 0.0 if state.shoe_at is None else string.shoe - state.shoe_at
    top, bottom = max(0.0, string.top - raised_by), string.shoe - raised_by
    marks: list[Array] = [np.linspace(top, bottom, 12)]
    for side in (state.inside, state.outside):
        with contextlib.suppress(Exception):  # a rule of its own judges them
            marks += [np.ravel(np.asarray(md, dtype=np.float64)) for md in side.jumps()]
            tvd = np.concatenate([np.ravel(np.asarray(b, dtype=np.float64)) for b in side.breaks()] or [np.empty(0)])
            reached = np.asarray(well.path.tvd(np.array([top, bottom])))
            marks.append(well.path.md_at_tvd(tvd[(tvd > reached.min()) & (tvd < reached.max())]))
    return places(points_along(top, bottom, marks), well.path)
