"""Rules of a load case as it is written, and of how it answers when it is called."""

# ruff: noqa: D401 (the docstring of a rule says what it demands)

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any, get_args

from ..case import LoadCase, Phase
from ..errors import CannotEvaluate, MissingInput
from ..parameters import REQUIRED, Known
from ..scene import Scene
from ..state import Load
from ..strength.model import StrengthModel
from ..well import Earth, Well
from .compare import difference
from .finding import demand
from .samples import variations
from .trial import Attempt, Trial, attempt

SLOWEST = 1.0
"""Time that one call of a load case may take [s]."""
_LEAKED = re.compile(r"Traceback|NoneType|object at 0x|<[a-z_.]+ |\b[A-Z][a-z]+(?:[A-Z][a-z]+)*Error\b")


# --- as it is written -------------------------------------------------------------------------------------------------


def check_summary(case: LoadCase | StrengthModel) -> None:
    """The docstring's first line says what happens, as a sentence; it stands in lists of load cases."""
    advice = "say in the docstring's first line what happens, and end it with a full stop"
    demand(len(case.summary.split()) >= 2 and case.summary.endswith("."), f"the summary is {case.summary!r}", advice)


def check_name(case: LoadCase | StrengthModel) -> None:
    """A name is lower case, with hyphens, so that it can be a key of a well file."""
    fits = re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", case.name)
    demand(fits, f"the name is {case.name!r}", "name the function in lower case with _ between words")


def check_source(case: LoadCase | StrengthModel) -> None:
    """It says where the construction comes from."""
    advice = "give source= a standard with clause, a textbook with chapter, or 'common practice, no source'"
    demand(len(str(case.source).strip()) >= 4, f"the source is {case.source!r}", advice)


def check_phase(case: LoadCase) -> None:
    """The phase is one that the outputs know."""
    phases = get_args(Phase)
    demand(case.phase in phases, f"the phase is {case.phase!r}", f"give phase= one of {', '.join(map(repr, phases))}")


def check_parameters_documented(case: LoadCase | StrengthModel) -> None:
    """Every parameter is told in the docstring's ``Parameters`` section; what it says is shown to users."""
    bare = [item.name for item in case.parameters if not item.text.strip()]
    demand(
        not bare, f"not documented: {', '.join(bare)}", "add them to the docstring under 'Parameters', text indented"
    )


def check_optional_parameters_explained(case: LoadCase) -> None:
    """The text of a parameter that may be left out is a sentence, so that the assumptions can repeat it."""
    grouped = {name for group in case.one_of for name in group}
    for item in case.parameters:
        if item.default is None and item.name not in grouped:
            advice = "say what happens without it: 'if left out, ...'"
            demand(len(item.text.split()) >= 3, f"the text of {item.name} is {item.text!r}", advice)


def check_defaults_readable(case: LoadCase | StrengthModel) -> None:
    """Every default is written as in a well file, and can be read; ``None`` where it may be left out."""
    for item in case.parameters:
        if item.default is REQUIRED or item.default is None:
            continue
        try:
            item.kind.read(item.default, Known())
            problem = ""
        except ValueError as error:
            problem = str(error)
        advice = f"write it as one would in a well file: {item.kind.describe()}"
        demand(not problem, f"the default of {item.name} cannot be read: {problem}", advice)


def check_one_of_named(case: LoadCase) -> None:
    """Groups of which exactly one is given name parameters of the case, each of them optional by itself."""
    optional = {item.name for item in case.parameters if item.default is None}
    for group in case.one_of:
        wrong = [name for name in group if name not in optional]
        advice = "name parameters whose default is None"
        demand(len(group) >= 2 and not wrong, f"one_of has {group!r}, and {wrong} are not optional", advice)


# --- how it answers ---------------------------------------------------------------------------------------------------


def check_applies(trial: Trial) -> None:
    """``applies`` returns text and never raises but to ask for an input; an empty text means that it does."""
    if trial.case.applies is None:
        return
    for scene in trial.scenes:
        try:
            said: object = trial.case.applies(scene)
        except CannotEvaluate:
            continue
        except Exception as error:  # a plugin may fail in any way: that is what is judged
            said = error
        advice = "return '' where the case concerns the string, else why not in a few words"
        demand(isinstance(said, str), f"applies of {scene.string_name!r} gave {said!r}", advice)


def check_answer(trial: Trial) -> None:
    """A call gives a `Load`, or says with `CannotEvaluate` or `MissingInput` why there is none."""
    for call in trial.attempts:
        _judge_answer(call)


def check_variations(trial: Trial) -> None:
    """The same with each optional parameter given, and with each word of a choice."""
    for call in trial.concerned[:1]:
        scene = Scene(trial.well, call.string)
        for raw in variations(trial.case, scene, call.raw):
            _judge_answer(attempt(trial.case, trial.well, call.string, raw))


def check_missing_data(trial: Trial) -> None:
    """Without a table of the earth, the next hole or its mud, the case works or names what it needs."""
    for call in trial.concerned[:1]:
        for lacking, well in _stripped(trial.well, call.string):
            _judge_answer(attempt(trial.case, well, call.string, call.raw), f"without {lacking}, ")


def _stripped(well: Well, name: str | None) -> list[tuple[str, Well]]:
    tables = ("pore_pressure", "fracture", "temperature", "overburden")
    found = [(f"earth.{table}", replace(well, earth=replace(well.earth, **{table: None}))) for table in tables]
    found.append(("earth", replace(well, earth=Earth())))
    for what, hole in (("next_hole", None), ("next_hole.mud", "no mud")):
        strings = []
        for string in well.strings:
            kept: Any = string.next_hole
            if name in (None, string.name) and kept is not None:
                kept = None if hole is None else replace(kept, mud=None)
            strings.append(replace(string, next_hole=kept))
        found.append((what, replace(well, strings=tuple(strings))))
    return found


def _judge_answer(call: Attempt, lacking: str = "") -> None:
    where = f"{lacking}{call.words}"
    error = call.error
    if error is None:
        advice = "return scene.load(...), or cl.Load(steps=...)"
        demand(isinstance(call.answer, Load), f"{where}: returned {type(call.answer).__name__}, not a Load", advice)
        return
    advice = "ask first, and raise cl.MissingInput('the.key') or cl.CannotEvaluate('why, and what is accepted')"
    demand(isinstance(error, CannotEvaluate), f"{where}: raised {type(error).__name__}: {error}", advice)
    told = error.what if isinstance(error, MissingInput) else str(error)
    advice = "say in plain words which value is wrong or missing, and what is accepted"
    demand(len(told.strip()) >= 3 and not _LEAKED.search(told), f"{where}: says only {told!r}", advice)


def check_same_twice(trial: Trial) -> None:
    """Two calls give the same load: same steps, same remarks, same pressures."""
    again = Trial(trial.case, trial.kit_well, trial.examples)
    advice = "use no random number, clock, file or variable that outlives the call"
    for first, second in zip(trial.attempts, again.attempts, strict=True):
        other = difference(first.answer, second.answer)
        demand(not other, f"{first.words}: two calls differ in {other}", advice)
        demand(str(first.error) == str(second.error), f"{first.words}: two calls raise different errors", advice)
    for one, two in zip(trial.profiles, again.profiles, strict=True):
        demand(not difference(one.value, two.value), f"two calls differ in {one.words}", advice)


def check_no_mutation(trial: Trial) -> None:
    """The well and the parameters are as they were before the call."""
    for call in trial.attempts:
        advice = "make new objects (dataclasses.replace, arithmetic on copies) instead of changing what is given"
        demand(not call.changed, f"{call.words}: changed {call.changed}", advice)


def check_quiet(trial: Trial) -> None:
    """It prints nothing, and lets out no warning of Python or numpy."""
    for call in trial.attempts:
        demand(not call.heard.printed, f"{call.words}: printed {call.heard.printed[:60]!r}", "use a cl.Remark instead")
        told = "; ".join(call.heard.warnings[:2])
        demand(
            not told, f"{call.words}: warned {told}", "keep what cannot be out of the arithmetic, np.where is too late"
        )


def check_fast(trial: Trial) -> None:
    """One call takes less than a second; a slow one is tried again, since a machine may be busy."""
    for call in trial.attempts:
        if call.seconds > SLOWEST:
            call = min(call, attempt(trial.case, trial.well, call.string, call.raw), key=lambda one: one.seconds)
        found = f"{call.words}: takes {call.seconds:.2f} s"
        demand(call.seconds <= SLOWEST, found, f"{SLOWEST:g} s is accepted; let numpy work on whole arrays")
