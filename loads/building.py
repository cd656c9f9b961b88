"""Tables of a well file made into a `Well`: words become depths, names become fluids and pipes, defaults are told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from pydantic import ValidationError

from . import schema
from .case import read_parameters
from .catalog import Catalog, CatalogError
from .errors import Problem, near_miss
from .hooks import Plugins
from .path import WellPath
from .strength.geometry import plain_end_mass
from .units import LINEAR_MASS, STRESS, show
from .well import (
    MODES,
    CaseRequest,
    Cement,
    Earth,
    Fluid,
    NextHole,
    Pipe,
    Section,
    Steel,
    String,
    Table,
    Well,
)


class Builder:
    """Builds one well; collects `problems` and `assumptions` on the way.

    Parameters
    ----------
    head : WellTable
        The table ``[well]``.
    path : WellPath
        The survey.
    fluids : mapping
        Density by name [kg/m3].
    required : RequiredTable
        Required factors of all strings.
    catalog : Catalog
        Pipe and grades.
    plugins : Plugins
        Load cases.
    """

    def __init__(
        self,
        head: schema.WellTable,
        path: WellPath,
        fluids: Mapping[str, float],
        required: schema.RequiredTable,
        catalog: Catalog,
        plugins: Plugins,
    ) -> None:
        self.head, self.path, self.required, self.catalog, self.plugins = (
            head,
            path,
            required,
            catalog,
            plugins,
        )
        self.fluids = {name: Fluid(name=name, density=density) for name, density in fluids.items()}
        self.problems: list[Problem] = []
        self._told: dict[str, list[str]] = {}
        self.wellhead, self.wellhead_depth = self._wellhead()

    def well(
        self,
        earth: schema.EarthTable | None,
        steel: schema.SteelTable,
        strings: Sequence[schema.StringTable],
        cases: Mapping[str, Mapping[str, Any]],
    ) -> Well:
        """Return the well; sound only if there are no `problems`."""
        head = self.head
        if head.survey is None:
            self._assume("well.survey left out: the well is vertical")
        elif any(self._bottom(table) > self.path.end + 1e-6 for table in strings):
            self._assume(f"the survey ends at {self.path.end:g} m; below it the path is taken straight")
        if head.water_depth is not None and "sea water" not in self.fluids:
            self._fault(
                "fluids",
                "'sea water' is missing; an offshore well needs its density, '1025 kg/m3' for example",
            )
        default = Steel()
        return Well(
            name=head.name,
            air_gap=head.air_gap,
            water_depth=head.water_depth,
            wellhead=self.wellhead,
            wellhead_depth=self.wellhead_depth,
            path=self.path,
            earth=self._earth(earth) if earth is not None else Earth(),
            fluids=self.fluids,
            strings=tuple(string for table in strings if (string := self._string(table)) is not None),
            cases=self._cases("cases", cases, scope="well"),
            units=head.units or "metric",
            steel=Steel(
                modulus=steel.modulus or default.modulus,
                poisson=steel.poisson or default.poisson,
                expansion=steel.expansion or default.expansion,
            ),
        )

    @staticmethod
    def _bottom(table: schema.StringTable) -> float:
        return table.next_hole.to if table.next_hole is not None else table.shoe

    # --- the well ----------------------------------------------------------------------------------------------------

    def _wellhead(self) -> tuple[Any, float]:
        head = self.head
        offshore = head.water_depth is not None
        kind = head.wellhead or ("sea floor" if offshore else "ground")
        if head.wellhead is None:
            self._assume(f"well.wellhead left out: taken on the {kind}")
        if kind == "deck":
            if head.wellhead_depth is None:
                self._fault("well.wellhead_depth", "missing; a wellhead on deck needs its depth below the drill floor")
            elif offshore and head.wellhead_depth > head.air_gap:
                self._fault("well.wellhead_depth", "is below sea level; a wellhead on deck stands above the sea")
            return kind, head.wellhead_depth or 0.0
        if head.wellhead_depth is not None:
            self._fault("well.wellhead_depth", f"is for a wellhead on 'deck'; this one is on the {kind!r}")
        if kind == "ground":
            if offshore:
                self._fault("well.wellhead", "'ground' has no water_depth; write 'sea floor' or 'deck'")
            return kind, head.air_gap
        if not offshore:
            self._fault("well.water_depth", "missing; a wellhead on the sea floor needs it")
        return kind, head.air_gap + (head.water_depth or 0.0)

    def _earth(self, table: schema.EarthTable) -> Earth:
        depth = np.array(table.depth)
        if len(depth) < 2 or np.any(np.diff(depth) <= 0.0):
            self._fault("earth.depth", "need at least two depths, each deeper than the one before")
            return Earth()
        columns: dict[str, Table | None] = {}
        for name in ("pore_pressure", "fracture", "temperature"):
            values = getattr(table, name)
            columns[name] = None
            if values is None:
                continue
            if len(values) != len(depth):
                self._fault(f"earth.{name}", f"has {len(values)} values for {len(depth)} depths")
                continue
            if name != "temperature":
                values = [pressure.at(tvd) for pressure, tvd in zip(values, table.depth, strict=True)]
            columns[name] = Table(tvd=depth, value=np.array(values))
        if table.temperature is None:
            self._assume("earth.temperature left out: no change of temperature acts on any string")
        return Earth(**columns)

    # --- a string ----------------------------------------------------------------------------------------------------

    def _string(self, table: schema.StringTable) -> String | None:
        where = f"strings.{table.name}"
        top = self._string_top(table, where)
        run_in = self._fluid(table.run_in, f"{where}.run_in")
        if run_in is None:
            return None
        if table.displaced_with is None:
            self._assume("displaced_with left out: cement displaced with what the string was run in", of=table.name)
        displaced = self._fluid(table.displaced_with or table.run_in, f"{where}.displaced_with") or run_in
        if table.set_temperature is None:
            self._assume("set_temperature left out: the cement set at undisturbed temperature", of=table.name)
        sections = self._sections(table, where, top)
        return String(
            name=table.name,
            hole_size=table.hole_size,
            top=top,
            shoe=table.shoe,
            sections=sections,
            cement=self._cement(table, where, top),
            run_in=run_in,
            displaced_with=displaced,
            riser=self._riser(table.riser, run_in, table.name, "run"),
            required=self._required(table.required, where),
            cases=self._cases(f"{where}.cases", table.cases, scope="string"),
            next_hole=self._next_hole(table, where),
            models=self._models(table.models, where),
            triaxial_wall=table.triaxial_wall,
            set_temperature=self._set_temperature(table, where),
        )

    def _string_top(self, table: schema.StringTable, where: str) -> float:
        if table.top == "surface" and self.wellhead == "sea floor":
            self._fault(f"{where}.top", "'surface' is above a wellhead on the sea floor; write 'wellhead' or a depth")
        top = self.wellhead_depth if isinstance(table.top, str) else table.top
        if table.shoe <= top:
            self._fault(f"{where}.shoe", f"{table.shoe:g} m is not below the string's top at {top:g} m")
        return top

    def _riser(self, given: bool | None, fluid: Fluid, where: str, what: str) -> bool:
        if self.wellhead != "sea floor":
            if given is False:
                self._fault(
                    f"strings.{where}.riser",
                    "false, but the wellhead is at surface: the hole is always open to the drill floor",
                )
            return True
        if given is None:
            given = fluid.name != "sea water"
            how = "with" if given else "without"
            self._assume(f"riser left out: {what} {how} a riser, since the hole is full of {fluid.name!r}", of=where)
        return given

    def _set_temperature(self, table: schema.StringTable, where: str) -> Table | None:
        given = table.set_temperature
        if given is None:
            return None
        if len(given.depth) != len(given.temperature) or np.any(np.diff(given.depth) <= 0.0):
            self._fault(f"{where}.set_temperature", "need as many temperatures as depths, and depths that increase")
            return None
        return Table(tvd=np.array(given.depth), value=np.array(given.temperature))

    def _required(self, table: schema.RequiredTable, where: str) -> dict[str, float]:
        found = {}
        for mode in MODES:
            value = getattr(table, mode)
            value = getattr(self.required, mode) if value is None else value
            if value is None:
                self._fault(f"{where}.required.{mode}", "missing; give it here, or for all strings under [required]")
            else:
                found[mode] = value
        return found

    def _models(self, table: schema.ModelsTable, where: str) -> dict[str, str]:
        chosen = {mode: name for mode in MODES if (name := getattr(table, mode)) is not None}
        for mode, name in chosen.items():
            known = [other for other_mode, other in self.plugins.models if other_mode == mode]
            if name not in known:
                self._fault(f"{where}.models.{mode}", f"{name!r} is not a strength model; {near_miss(name, known)}")
        return chosen

    def _next_hole(self, table: schema.StringTable, where: str) -> NextHole | None:
        given = table.next_hole
        if given is None:
            return None
        if given.to <= table.shoe:
            self._fault(f"{where}.next_hole.to", f"{given.to:g} m is not below the shoe at {table.shoe:g} m")
        mud = None if given.mud is None else self._fluid(given.mud, f"{where}.next_hole.mud")
        riser = True if given.riser is None else given.riser
        if mud is not None or given.riser is not None:
            riser = self._riser(given.riser, mud or Fluid(name="", density=0.0), f"{table.name}, next hole", "drilled")
        return NextHole(bottom=given.to, mud=mud, riser=riser, size=given.size)

    # --- pipe and cement ---------------------------------------------------------------------------------------------

    def _sections(self, table: schema.StringTable, where: str, top: float) -> tuple[Section, ...]:
        sections, above = [], top
        for number, given in enumerate(table.sections, start=1):
            here = f"{where}.sections[{number}]"
            bottom = table.shoe if isinstance(given.to, str) else given.to
            start = top if isinstance(given.from_, str) else given.from_
            if start is not None and abs(start - above) > 1e-3:
                word = "overlaps the section above, which ends" if start < above else "leaves a gap below"
                self._fault(f"{here}.from", f"{start:g} m {word} at {above:g} m")
            if bottom <= above:
                self._fault(f"{here}.to", f"{bottom:g} m overlaps what is above it, which ends at {above:g} m")
            pipe = self._pipe(given, here)
            if given.connection_as_body is not None and given.connection is None:
                self._fault(f"{here}.connection_as_body", "names no connection; give connection too")
            if given.connection is None:
                self._assume("no connection is named, so the pipe body alone is checked", of=table.name)
            elif given.connection_as_body is not None:
                reason = given.connection_as_body
                self._assume(f"connection {given.connection!r} accepted as equal to the body: {reason}", of=here)
            if pipe is not None:
                sections.append(
                    Section(
                        pipe=pipe,
                        top=above,
                        bottom=bottom,
                        connection=given.connection,
                        connection_as_body=given.connection_as_body,
                    )
                )
            above = bottom
        if abs(above - table.shoe) > 1e-3:
            self._fault(f"{where}.sections", f"end at {above:g} m, but the shoe is at {table.shoe:g} m")
        return tuple(sections)

    def _pipe(self, given: schema.SectionTable, here: str) -> Pipe | None:
        """Return the pipe of a section: from the catalog, with what is given in full taking precedence."""
        values: dict[str, Any] = {}
        if given.pipe is not None:
            try:
                found = self.catalog.find(given.pipe)
            except CatalogError as error:
                self._fault(f"{here}.pipe", str(error))
                return None
            for note in found.notes:
                self._assume(note)
            values = {
                "label": given.pipe,
                "outside_diameter": found.pipe.od,
                "wall": found.pipe.wall,
                "weight": found.pipe.weight,
                "drift": found.pipe.drift,
            }
            if found.grade is not None:
                values["yield_strength"] = found.grade.yield_strength
                values["tensile_strength"] = found.grade.tensile_strength
        in_full = {
            "outside_diameter": given.od,
            "wall": given.wall,
            "weight": given.weight,
            "yield_strength": given.yield_,
            "tensile_strength": given.tensile,
            "drift": given.drift,
        }
        values.update({name: value for name, value in in_full.items() if value is not None})
        return self._made_pipe(values, given, here)

    def _made_pipe(self, values: dict[str, Any], given: schema.SectionTable, here: str) -> Pipe | None:
        keys = {"outside_diameter": "od", "wall": "wall", "yield_strength": "yield"}
        missing = [key for name, key in keys.items() if name not in values]
        if missing:
            names = "a grade in pipe, or yield" if missing == ["yield"] else ", ".join(missing)
            self._fault(
                here,
                f"{names} is missing; name a catalog pipe with its grade, or give od, wall, weight, yield",
            )
            return None
        diameter, wall = values["outside_diameter"], values["wall"]
        if 2.0 * wall >= diameter:
            self._fault(f"{here}.wall", f"{wall * 1e3:.2f} mm is no wall for a diameter of {diameter * 1e3:.1f} mm")
            return None
        if "weight" not in values:
            values["weight"] = float(plain_end_mass(diameter, wall))
            words = show(values["weight"], LINEAR_MASS)
            self._assume(f"weight left out: plain-end weight of the wall, {words}", of=here)
        if given.wall_factor is None:
            self._assume("wall_factor left out: minimum wall 0.875 of nominal, the standard's tolerance")
        else:
            values["wall_factor"] = given.wall_factor
        if given.yield_ is not None and given.pipe is not None:
            self._assume(f"yield as given, {show(given.yield_, STRESS)}, not the catalog's", of=here)
        values.setdefault("label", f"{diameter / 0.0254:g} in, {wall / 0.0254:g} in wall, given in full")
        return Pipe(**values)

    def _cement(self, table: schema.StringTable, where: str, top: float) -> tuple[Cement, ...]:
        words = {
            "shoe": table.shoe,
            "top": top,
            "wellhead": self.wellhead_depth,
            "surface": self.wellhead_depth,
        }
        found = []
        for number, given in enumerate(table.cement, start=1):
            here = f"{where}.cement[{number}]"
            ends = [words[end] if isinstance(end, str) else end for end in (given.from_, given.to)]
            upper, lower = min(ends), max(ends)
            if upper < top - 1e-6 or lower > table.shoe + 1e-6:
                self._fault(here, f"{upper:g} to {lower:g} m is not between top {top:g} m and shoe {table.shoe:g} m")
            if upper == lower:
                self._fault(here, f"begins and ends at {upper:g} m")
            slurry = self._fluid(given.slurry, f"{here}.slurry")
            if slurry is not None:
                found.append(Cement(top=upper, bottom=lower, slurry=slurry))
        found.sort(key=lambda cement: cement.top)
        for above, below in zip(found[:-1], found[1:], strict=True):
            if below.top < above.bottom - 1e-6:
                self._fault(f"{where}.cement", f"intervals overlap at {below.top:g} m")
        if not found:
            self._assume("cement left out: the string hangs free for life", of=table.name)
        return tuple(found)

    # --- load cases --------------------------------------------------------------------------------------------------

    def _cases(self, where: str, cases: Mapping[str, Mapping[str, Any]], *, scope: str) -> tuple[CaseRequest, ...]:
        requests = []
        for label, table in cases.items():
            request = self._case(f"{where}.{label}", label, dict(table), scope)
            if request is not None:
                requests.append(request)
        return tuple(requests)

    def _case(self, where: str, label: str, table: dict[str, Any], scope: str) -> CaseRequest | None:
        name = table.pop("case", label)
        required = self._case_required(table.pop("required", {}), where)
        case = self.plugins.cases.get(name) if isinstance(name, str) else None
        if case is None:
            key = where if name == label else f"{where}.case"
            self._fault(key, f"{name!r} is not a load case; {near_miss(str(name), self.plugins.cases)}")
            return None
        if case.scope != scope:
            place = "[cases.LABEL]" if case.scope == "well" else "[strings.cases.LABEL]"
            self._fault(where, f"case {name!r} stands under {place}")
            return None
        values, faults, defaults = read_parameters(case, table, self.fluids)
        for parameter, message in faults:
            self._fault(f"{where}.{parameter}", message)
        for default in defaults:
            self._assume(f"{name}: {default}, by default", of=where.removeprefix("strings.").split(".")[0])
        return CaseRequest(label=label, case=name, parameters=values, required=required)

    def _case_required(self, raw: Any, where: str) -> dict[str, float]:
        try:
            table = schema.RequiredTable.model_validate(raw)
        except ValidationError as error:
            for fault in error.errors():
                key = ".".join(str(part) for part in fault["loc"])
                hint = near_miss(key, MODES) if fault["type"] == "extra_forbidden" else fault["msg"]
                self._fault(f"{where}.required.{key}", f"is not accepted; {hint}")
            return {}
        return {mode: value for mode in MODES if (value := getattr(table, mode)) is not None}

    def _fluid(self, name: str, where: str) -> Fluid | None:
        fluid = self.fluids.get(name)
        if fluid is None:
            self._fault(where, f"{name!r} is not under [fluids]; {near_miss(name, self.fluids)}")
        return fluid

    def _fault(self, where: str, message: str) -> None:
        self.problems.append(Problem(where, message))

    def _assume(self, text: str, *, of: str = "") -> None:
        """Note a default used or a choice made, *of* a string or key; the same text is told once for all of them."""
        places = self._told.setdefault(text, [])
        if of and of not in places:
            places.append(of)

    @property
    def assumptions(self) -> list[str]:
        """What was assumed, in the order of the file."""
        return [f"{', '.join(places)}: {text}" if places else text for text, places in self._told.items()]
