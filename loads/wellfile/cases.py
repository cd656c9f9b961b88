"""Load cases asked for in a well file: the case by name, its parameters and required factors."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import TypeAdapter

from ..case import LoadCase, Scope
from ..errors import key_path, near_miss, spelled
from ..hooks import Plugins
from ..parameters import (
    MEAN_THE_SAME,
    FluidKind,
    FormationPressureAt,
    Kind,
    Known,
    Parameter,
    Quantity,
    read_parameters,
)
from ..units import (
    COMPRESSIBILITY,
    DENSITY,
    DIAMETER,
    DURATION,
    FORCE,
    GRADIENT,
    LENGTH,
    LINEAR_MASS,
    MASS_RATE,
    PRESSURE,
    SPEED,
    VOLUME,
)
from ..well import MODES, AllApplicable, CaseRequest
from . import schema
from .faults import validated
from .findings import Findings

Where = tuple[str | int, ...]
_REQUIRED = TypeAdapter(schema.RequiredTable)
_UNSIGNED = (  # of which less than zero is a slip
    *(COMPRESSIBILITY, DENSITY, DIAMETER, DURATION, FORCE, GRADIENT, LENGTH, LINEAR_MASS, MASS_RATE, PRESSURE),
    *(SPEED, VOLUME),
)
_PLACES: dict[Scope, str] = {"well": "[cases.LABEL]", "string": "[strings.cases.LABEL]"}


def _is_sound(value: object, kind: Kind) -> bool:
    """Return whether a value is a number to reckon with, and of the sign that its kind has."""
    if isinstance(value, FormationPressureAt):
        return value.value >= 0.0
    if not isinstance(value, float):
        return True
    is_unsigned = isinstance(kind, Quantity) and kind.dimension in _UNSIGNED
    return math.isfinite(value) and (value >= 0.0 or not is_unsigned)


class CaseBuilder:
    """Builds requests for load cases.

    Parameters
    ----------
    plugins : Plugins
        Whose cases may be asked for.
    known : Known
        What the well file names.
    findings : Findings
        Takes problems and assumptions.
    fluids_known : bool
        Whether the fluids could be read; where not, a name of one is no fault.
    """

    def __init__(self, plugins: Plugins, known: Known, findings: Findings, *, fluids_known: bool = True) -> None:
        self.plugins, self.known, self.findings, self.fluids_known = plugins, known, findings, fluids_known

    def requests(
        self, cases: Mapping[str, Mapping[str, Any]], where: Where, *, scope: Scope, of: str
    ) -> tuple[CaseRequest, ...]:
        """Return the cases that stand under *where*; those with problems may be left out.

        Parameters
        ----------
        cases : mapping
            Table by label.
        where : tuple
            Their place in the file.
        scope : {"string", "well"}
            Which kind of case may stand there.
        of : str
            Whose assumptions the defaults are.
        """
        asked = ((label, table) for label, table in cases.items() if label != schema.ALL_APPLICABLE)
        found = (self._request(label, dict(table), (*where, label), scope, of) for label, table in asked)
        return tuple(request for request in found if request is not None)

    def all_applicable(
        self, cases: Mapping[str, Mapping[str, Any]], where: Where, *, scope: Scope
    ) -> AllApplicable | None:
        """Return what is asked of all cases that apply; None where they are not asked for.

        Parameters
        ----------
        cases, where, scope
            As for `requests`.
        """
        table = cases.get(schema.ALL_APPLICABLE)
        if table is None:
            return None
        where = (*where, schema.ALL_APPLICABLE)
        offered = {name: case for name, case in self.plugins.cases.items() if case.scope == scope}
        out = table.get("leave_out", [])
        if not isinstance(out, list) or not all(isinstance(name, str) for name in out):
            self.findings.fault(f"{spelled(out)} is not accepted; need a list of names of cases", *where, "leave_out")
            out = []
        for name in out:
            if name not in offered:
                self.findings.fault(f"{name!r} is not a load case; {near_miss(name, offered)}", *where, "leave_out")
        found: dict[str, dict[str, Any]] = {}
        for key, raw in table.items():
            takers = {case.name: p for case in offered.values() for p in case.parameters if p.name == key}
            if not takers and key != "leave_out":
                names = {p.name for case in offered.values() for p in case.parameters}
                self.findings.fault(f"no load case has such a parameter; {near_miss(key, names)}", *where, key)
            elif len(takers) > 1 and key not in MEAN_THE_SAME:
                told = f"does not mean the same in {', '.join(sorted(takers))}; give it to a case by name"
                self.findings.fault(told, *where, key)
                continue
            for name, parameter in takers.items():
                value = self._shared(parameter, raw, (*where, key), sorted(takers))
                if value is not None:
                    found.setdefault(name, {})[key] = value
        return AllApplicable(parameters=found, leave_out=tuple(out))

    def _shared(self, parameter: Parameter, raw: Any, where: Where, takers: Sequence[str]) -> Any:
        """Return the value of a parameter that several cases take; None after noting that it is none."""
        try:
            value = parameter.kind.read(raw, self.known)
        except ValueError as error:
            if self.fluids_known or not isinstance(parameter.kind, FluidKind):
                self._once(f"{error} ({', '.join(takers)})", where)
            return None
        if not _is_sound(value, parameter.kind):
            self._once(f"{spelled(raw)} is not accepted; need zero or more", where)
            return None
        return value

    def _once(self, message: str, where: Where) -> None:
        if not any(problem.where == key_path(*where) for problem in self.findings.problems):
            self.findings.fault(message, *where)

    def _request(self, label: str, table: dict[str, Any], where: Where, scope: Scope, of: str) -> CaseRequest | None:
        name = table.pop("case", label)
        required = self._required(table.pop("required", {}), where)
        case = self.plugins.cases.get(name) if isinstance(name, str) else None
        if case is None:
            place = where if name == label else (*where, "case")
            hint = near_miss(name if isinstance(name, str) else "", self.plugins.cases)
            self.findings.fault(f"{spelled(name)} is not a load case; {hint}", *place)
            return None
        if case.scope != scope:
            self.findings.fault(f"case {name!r} stands under {_PLACES[case.scope]}", *where)
            return None
        parameters = self._parameters(case, table, where, of)
        return CaseRequest(label=label, case=name, parameters=parameters, required=required)

    def _parameters(self, case: LoadCase, table: Mapping[str, Any], where: Where, of: str) -> dict[str, Any]:
        values, faults, defaults = read_parameters(case, table, self.known)
        unknown = {p.name for p in case.parameters if not self.fluids_known and isinstance(p.kind, FluidKind)}
        for name, message in faults:
            if name not in unknown:
                self.findings.fault(message, *where, name)
        for parameter in case.parameters:
            if not _is_sound(values.get(parameter.name), parameter.kind):
                message = f"{spelled(table.get(parameter.name, parameter.default))} is not accepted; need zero or more"
                self.findings.fault(message, *where, parameter.name)
        for default in defaults:
            self.findings.assume(f"{case.name}: {default}", of=of)
        return values

    def _required(self, raw: Any, where: Where) -> dict[str, float]:
        read = validated(_REQUIRED, raw, (*where, "required"), schema.RequiredTable)
        self.findings.problems.extend(read.problems)
        return {mode: value for mode in MODES if (value := getattr(read.value, mode, None)) is not None}
