"""The outcome of a check: rows of factors, what governs, profiles along depth, the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from .applicable import PassedOver
from .case import LoadCase
from .evaluate import Evaluation
from .explain import Explanation, explain
from .hooks import Plugins
from .notes import CAUTIONS, NOT_MODELLED, assumptions
from .noteworthy import buckled, noteworthy
from .remark import Remark
from .row import Row, Status
from .strength.model import ChosenModel
from .well import MODES, Well

if TYPE_CHECKING:
    import pandas as pd

Verdict = Literal["meets", "below", "not-evaluated"]


@dataclass(frozen=True, kw_only=True)
class Governing:
    """What governs one section in one mode: a row, and how many rows of it could not be evaluated.

    Attributes
    ----------
    row : Row
        The one with the least margin; without any factor, one that says why.
    status : str
        ``below`` if any row is; else ``not-evaluated`` if any row is; else as the row says.
    open_rows : tuple of Row
        Those not evaluated.
    """

    row: Row
    status: Status
    open_rows: tuple[Row, ...]


@dataclass(frozen=True, kw_only=True, repr=False)
class Result:
    """What `casingloads.check` returns.

    Attributes
    ----------
    well : Well
        What was checked.
    plugins : Plugins
        With what.
    rows : tuple of Row
        Every string, section, case, step and mode.
    evaluations : mapping
        By string, case label and step.
    hanging : tuple of (str, Evaluation)
        The moments at which the rig carries each string.
    cases : tuple of LoadCase
        Those that ran.
    models : mapping
        Strength model by string and mode.
    remarks : tuple of Remark
        What the load cases found on the way.
    passed_over : tuple of PassedOver
        Cases that do not concern a string, and why, where all that apply were asked for.
    """

    well: Well
    plugins: Plugins
    rows: tuple[Row, ...]
    evaluations: Mapping[tuple[str, str, str], Evaluation]
    hanging: tuple[tuple[str, Evaluation], ...]
    cases: tuple[LoadCase, ...]
    models: Mapping[str, Mapping[str, ChosenModel]]
    remarks: tuple[Remark, ...]
    passed_over: tuple[PassedOver, ...] = ()

    def __repr__(self) -> str:
        return f"<Result of {self.well.name!r}: {self.verdict}, {len(self.rows)} rows>"

    @property
    def verdict(self) -> Verdict:
        """``meets`` only if all that was asked for was evaluated and meets its required factor."""
        statuses = {row.status for row in self.rows}
        if "below" in statuses:
            return "below"
        if "not-evaluated" in statuses or "meets" not in statuses:
            return "not-evaluated"
        return "meets"

    @property
    def cautions(self) -> tuple[str, ...]:
        """What every reader must know."""
        return CAUTIONS

    @property
    def not_modelled(self) -> tuple[str, ...]:
        """What the calculation leaves out."""
        return NOT_MODELLED

    @cached_property
    def assumptions(self) -> tuple[str, ...]:
        """Every default that was used and every choice that was made."""
        return assumptions(self.well, self.cases, self.models)

    @property
    def warnings(self) -> tuple[str, ...]:
        """What was not asked for, doubts that travel with numbers, strings that would float while they are cemented."""
        found = self._unasked() + [
            f"{row.string}, section {row.section}, {row.case}, {row.step}, {row.mode}: {text}"
            for row in self.rows
            for text in row.warnings
        ]
        for moment, evaluation in self.hanging:
            if float(evaluation.axial.effective[0]) < 0.0:
                name = evaluation.string.name
                found.append(
                    f"{name}: {moment}: the string floats (its buoyed weight is negative); it must be held down"
                )
        return tuple(found)

    @cached_property
    def noteworthy(self) -> tuple[Remark, ...]:
        """What to know of strings besides factors: buckling, lifting hangers, strain that stays; the worst of each."""
        return noteworthy(self.evaluations)

    def _unasked(self) -> list[str]:
        """Return which strings no load case is asked of, or none that loads them in burst or in collapse."""
        told = []
        for string in self.well.strings:
            rows = [row for row in self.rows if row.string == string.name]
            if not rows:
                told.append(f"{string.name}: no load case is asked for, so it is NOT CHECKED")
                continue
            for mode in ("burst", "collapse"):
                if all(row.status == "no-load" for row in rows if row.mode == mode):
                    told.append(f"{string.name}: no case asked for loads it in {mode}")
        return told

    @property
    def accepted(self) -> tuple[str, ...]:
        """Where a connection without a rating was taken as strong as the body, and why."""
        found = [f"{row.string}, section {row.section}, {row.mode}: {row.reason}" for row in self.rows
                 if row.reason and row.status in ("meets", "below")]  # fmt: skip
        return tuple(dict.fromkeys(found))

    @cached_property
    def governing(self) -> tuple[Governing, ...]:
        """What governs each section of each string in each mode, in the order of the well."""
        groups: dict[tuple[str, int, str], list[Row]] = {
            (string.name, number, mode): []
            for string in self.well.strings
            for number in range(1, len(string.sections) + 1)
            for mode in MODES
        }
        for row in self.rows:
            groups[row.string, row.section, row.mode].append(row)
        return tuple(_governing(rows) for rows in groups.values() if rows)

    # --- frames ------------------------------------------------------------------------------------------------------

    @property
    def summary(self) -> pd.DataFrame:
        """Per string, section and mode: governing case and step, depth, factor, required. Units in ``attrs``."""
        return _frame(
            (
                {
                    **_cells(found.row),
                    "pipe": self._pipe(found.row),
                    "status": found.status,
                    "not_evaluated": len(found.open_rows),
                    "reason": found.open_rows[0].reason if found.open_rows else found.row.reason,
                }
                for found in self.governing
            ),
            [
                "string", "section", "pipe", "mode", "factor", "required", "status", "case", "step", "md_m",
                "tvd_m", "load", "rating", "governs", "not_evaluated", "reason",
            ],
        )  # fmt: skip

    @property
    def factors(self) -> pd.DataFrame:
        """Every string, section, case, step and mode. Units in ``attrs``."""
        return _frame((_cells(row) for row in self.rows), FACTOR_COLUMNS)

    @property
    def hook_loads(self) -> pd.DataFrame:
        """What the rig carries, without landing string and travelling block, at each moment a string hangs free.

        ``effective_force_at_top_n`` is the buoyed weight: what the rig lifts, and the margin against floating off.
        ``true_force_at_top_n`` is what the steel carries just below the top; the two differ where the top is under
        pressure. A positive margin means that the string does not float.
        """
        return _frame(
            (
                {
                    "string": found.string.name,
                    "moment": moment,
                    "top_md_m": float(found.places.md[0]),
                    "effective_force_at_top_n": float(found.axial.effective[0]),
                    "true_force_at_top_n": float(found.axial.true[0]),
                }
                for moment, found in self.hanging
            ),
            ["string", "moment", "top_md_m", "effective_force_at_top_n", "true_force_at_top_n"],
        )

    @property
    def buckling(self) -> pd.DataFrame:
        """Where strings are buckled, one row for each string and step. Units in ``attrs``."""
        columns = {
            "top": "top_md_m",
            "bottom": "bottom_md_m",
            "effective_force": "effective_force_n",
            "snaking_force": "snaking_force_n",
            "bending_stress": "bending_stress_pa",
            "side_force": "side_force_n_per_m",
            "md": "md_m",
        }
        rows = [{columns.get(name, name): value for name, value in vars(one).items()}
                for one in buckled(self.evaluations)]  # fmt: skip
        order = ["string", "case", "step", "helix", *columns.values()]
        return _frame(rows, order)

    def profile(self, string: str, case: str, step: str | None = None) -> pd.DataFrame:
        """Return a string along depth in one step of a case.

        Parameters
        ----------
        string, case : str
            Names; *case* is the label in the well file.
        step : str, optional
            May be left out where the case has one step only.

        Returns
        -------
        DataFrame
            One row a place, from the top down: pressures, temperature, true and effective force and its terms,
            bending, and per mode load, rating and factor (missing where there is no load). ``attrs`` holds the units,
            the origin of the pressures, the neutral points and the cement's reactions.

        Raises
        ------
        KeyError
            If there is no such string, case or step; the message lists what there is.
        """
        from .profile import profile_frame

        return profile_frame(self.well, self.evaluation(string, case, step))

    def explain(
        self,
        string: str,
        case: str,
        mode: str,
        step: str | None = None,
        section: int | None = None,
        md: float | None = None,
    ) -> Explanation:
        """Return the working behind one factor, line by line.

        Parameters
        ----------
        string, case, mode : str
            Which factor.
        step : str, optional
            By default the step with the least margin.
        section : int, optional
            By default the section with the least margin.
        md : float, optional
            Measured depth [m]; by default where the factor is lowest.

        Returns
        -------
        Explanation
            Prints as text.

        Raises
        ------
        KeyError
            If there is no such factor.
        """
        rows = [row for row in self.rows if (row.string, row.case, row.mode) == (string, case, mode)]
        if not rows:
            cases = sorted({row.case for row in self.rows if row.string == string})
            there = f"its cases: {cases}" if cases else f"strings: {[s.name for s in self.well.strings]}"
            raise KeyError(f"no {mode} of string {string!r} in case {case!r}; {there}; modes: {', '.join(MODES)}")
        if step is not None:
            steps = list(dict.fromkeys(row.step for row in rows))
            rows = [row for row in rows if row.step == step]
            if not rows:
                raise KeyError(f"no step {step!r} in case {case!r}; its steps: {steps}")
        if md is not None:
            found = self.evaluations.get((string, case, min(rows, key=lambda row: row.margin).step))
            place = None if found is None else found.section_at(md)
            if section is not None and place is not None and place != section:
                raise KeyError(f"{md:g} m is in section {place} of string {string!r}, not in section {section}")
            section = section or place
        if section is not None:
            rows = [row for row in rows if row.section == section]
            if not rows:
                raise KeyError(f"no section {section} of string {string!r} in this case and step; they count from one")
        row = min(rows, key=lambda row: row.margin)
        found = self.evaluations.get((string, case, row.step))
        if found is not None and md is not None:
            found.section_at(md)
        return explain(self.well, found, self.models[string][mode], row, md)

    def evaluation(self, string: str, case: str, step: str | None = None) -> Evaluation:
        """Return everything worked out in one step; see `profile` for the arguments."""
        steps = [key[2] for key in self.evaluations if key[:2] == (string, case)]
        if not steps:
            there = sorted({key[:2] for key in self.evaluations})
            raise KeyError(f"nothing was evaluated for case {case!r} on string {string!r}; there are {there}")
        if step is None and len(steps) == 1:
            step = steps[0]
        if step is None or step not in steps:
            word = "name a step of" if step is None else f"no step {step!r} in"
            raise KeyError(f"{word} case {case!r} on string {string!r}; steps: {steps}")
        return self.evaluations[string, case, step]

    def _pipe(self, row: Row) -> str:
        return self.well.string(row.string).sections[row.section - 1].pipe.label


FACTOR_COLUMNS = [
    "string", "section", "case", "step", "mode", "factor", "required", "load", "rating", "governs", "md_m", "tvd_m",
    "side", "status", "reason", "warnings",
]  # fmt: skip


def _cells(row: Row) -> dict[str, Any]:
    return {
        "string": row.string,
        "section": row.section,
        "case": row.case,
        "step": row.step,
        "mode": row.mode,
        "factor": row.factor,
        "required": row.required,
        "load": row.load,
        "rating": row.rating,
        "governs": row.governs,
        "md_m": row.md,
        "tvd_m": row.tvd,
        "side": row.side,
        "status": row.status,
        "reason": row.reason,
        "warnings": list(row.warnings),
    }


UNITS = {
    "md_m": "m",
    "tvd_m": "m",
    "load": "Pa; N in tension and compression; share of the envelope where a connection governs triaxial",
    "rating": "Pa; N in tension and compression; share left where a connection governs triaxial",
    "factor": "1",
    "required": "1",
}


_ENDINGS = (("_n_per_m", "N/m"), ("_m", "m"), ("_n", "N"), ("_pa", "Pa"))


def _frame(rows: Iterable[dict[str, Any]], columns: list[str]) -> pd.DataFrame:
    import pandas as pd

    frame = pd.DataFrame(list(rows), columns=columns)
    for name in ("factor", "load", "rating", "md_m", "tvd_m"):
        if name in frame:
            frame[name] = frame[name].astype("Float64")
    frame.attrs["units"] = {
        name: UNITS.get(name) or next(unit for ending, unit in _ENDINGS if name.endswith(ending))
        for name in columns
        if name in UNITS or name.endswith(tuple(ending for ending, _ in _ENDINGS))
    }
    return frame


def _governing(rows: list[Row]) -> Governing:
    open_rows = tuple(row for row in rows if row.status == "not-evaluated")
    worst = min(rows, key=lambda row: row.margin)
    if worst.factor is None and open_rows:
        worst = open_rows[0]
    status: Status = worst.status
    if status != "below" and open_rows:
        status = "not-evaluated"
    return Governing(row=worst, status=status, open_rows=open_rows)


def factor_records(result: Result) -> list[dict[str, Any]]:
    """Return the rows as plain records, for JSON."""
    return [_cells(row) for row in result.rows]
