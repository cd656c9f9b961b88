"""Tables of a well file made into a `Well`: words become depths, names become fluids and pipes, defaults are told.

A value that could not be read is NaN here: no comparison with it finds a fault, and the well is not handed out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import numpy as np

from ..catalog import Catalog
from ..catalog.connectionfile import ConnectionRow
from ..errors import near_miss
from ..hooks import Plugins
from ..parameters import Known, read_parameters
from ..path import WellPath
from ..pressure.seawater import mean_sea_density
from ..state import Friction
from ..units import DENSITY
from ..well import MODES, Earth, Fluid, Interval, ModelRequest, NextHole, Steel, String, Table, Well, WellheadKind
from . import schema
from .cases import CaseBuilder
from .findings import Findings
from .intervals import cement_intervals, filled_intervals
from .pipe import PipeBuilder
from .temperatures import flowing_table

Where = tuple[str | int, ...]
_USUAL_DENSITY = (500.0, 2600.0)  # of what fills a hole [kg/m3]; outside it is worth a second look


@dataclass(frozen=True, kw_only=True)
class Tables:
    """The tables of a well file, each by itself in order; fluids are None where they could not be read at all."""

    well: schema.WellTable
    earth: schema.EarthTable
    fluids: Mapping[str, float | schema.SeaWaterTable] | None
    steel: schema.SteelTable
    required: schema.RequiredTable
    strings: Sequence[tuple[Where, schema.StringTable]]
    cases: Mapping[str, Mapping[str, Any]]
    derating: Mapping[str, schema.DeratingTable]
    connections: Sequence[ConnectionRow]
    temperatures: dict[str, schema.TemperatureTable | schema.FlowTable]


class Builder:
    """Builds one well; problems and assumptions go to *findings*.

    Parameters
    ----------
    tables : Tables
        What the file says.
    path : WellPath
        The survey.
    catalog : Catalog
        Pipe and grades.
    plugins : Plugins
        Load cases and strength models.
    findings : Findings
        Takes problems and assumptions.
    """

    def __init__(self, tables: Tables, path: WellPath, catalog: Catalog, plugins: Plugins, findings: Findings) -> None:
        self.tables, self.path, self.plugins, self.findings = tables, path, plugins, findings
        self.fluids = {name: self._made_fluid(name, entry) for name, entry in (tables.fluids or {}).items()}
        self.pipes = PipeBuilder(catalog, tables.connections, tables.derating, findings)
        self._lacking: dict[str, list[str]] = {}  # strings without a required factor, by mode
        self.wellhead, self.wellhead_depth = self._wellhead()
        self.earth = self._earth()
        self.temperatures = self._temperatures(self.earth)
        known = Known(fluids=self.fluids, temperatures=self.temperatures)
        self.cases = CaseBuilder(plugins, known, findings, fluids_known=tables.fluids is not None)

    def well(self) -> Well:
        """Return the well; sound only if there are no problems."""
        tables, head = self.tables, self.tables.well
        self._check_survey()
        self._check_fluids()
        strings = tuple(self._string(table, where) for where, table in tables.strings)
        self._check_required()
        self.pipes.condition.tell_unused()
        default, steel = Steel(), tables.steel
        return Well(
            name=head.name,
            air_gap=head.air_gap,
            water_depth=head.water_depth,
            wellhead=self.wellhead,
            wellhead_depth=self.wellhead_depth,
            path=self.path,
            earth=self.earth,
            fluids=self.fluids,
            strings=strings,
            cases=self.cases.requests(tables.cases, ("cases",), scope="well", of="cases"),
            all_applicable=self.cases.all_applicable(tables.cases, ("cases",), scope="well"),
            temperatures=self.temperatures,
            buckling=self._buckling(head),
            tortuosity=head.tortuosity or 0.0,
            units=head.units or "metric",
            steel=Steel(
                modulus=steel.modulus or default.modulus,
                poisson=default.poisson if steel.poisson is None else steel.poisson,
                expansion=steel.expansion or default.expansion,
            ),
        )

    # --- the well ----------------------------------------------------------------------------------------------------

    def _buckling(self, head: schema.WellTable) -> bool:
        if head.buckling is None:
            self.findings.assume("well.buckling left out: the strain of buckled pipe enters the balance of forces")
        return head.buckling is not False

    def _temperatures(self, earth: Earth) -> dict[str, Table]:
        found = {}
        for name, given in self.tables.temperatures.items():
            where = ("temperatures", name)
            if isinstance(given, schema.FlowTable):
                surface = (self.wellhead_depth, self.tables.well.water_depth is not None)
                table = flowing_table(given, where, self.path, earth.temperature, surface, self.findings)
            else:
                table = self._temperature_table(given, where)
            found[name] = table or Table(tvd=np.zeros(1), value=np.full(1, math.nan))
        return found

    def _check_survey(self) -> None:
        if self.tables.well.survey is None:
            self.findings.assume("well.survey left out: the well is vertical")
            return
        bottoms = [table.next_hole.to if table.next_hole else table.shoe for _, table in self.tables.strings]
        if any(bottom > self.path.end + 1e-6 for bottom in bottoms):
            end = self.findings.depth(self.path.end)
            self.findings.assume(f"the survey ends at {end}; below it the path is taken straight")

    def _made_fluid(self, name: str, entry: float | schema.SeaWaterTable) -> Fluid:
        if not isinstance(entry, schema.SeaWaterTable):
            return Fluid(name=name, density=entry)
        depth = self.tables.well.water_depth
        if depth is None or name != "sea water":
            self.findings.fault("is for 'sea water' of an offshore well; write a density", "fluids", name)
            return Fluid(name=name, density=math.nan)
        if not math.isfinite(entry.salinity + entry.temperature + depth):  # could not be read, which has been told
            return Fluid(name=name, density=math.nan)
        try:
            density = mean_sea_density(entry.salinity, entry.temperature, depth)
        except ValueError as error:
            self.findings.fault(f"{error}; write a density", "fluids", name)
            return Fluid(name=name, density=math.nan)
        told = self.findings.shown(density, DENSITY)
        self.findings.assume(f"sea water by EOS-80: mean density {told} down to the sea floor, used at every depth")
        return Fluid(name=name, density=density)

    def _check_fluids(self) -> None:
        if self.tables.well.water_depth is not None and "sea water" not in self.fluids:
            message = "missing; an offshore well needs its density, '1025 kg/m3' for example"
            self.findings.fault(message, "fluids", "sea water")
        for fluid in self.fluids.values():
            low, high = _USUAL_DENSITY
            if fluid.density < low or fluid.density > high:
                told = self.findings.shown(fluid.density, DENSITY)
                usual = f"{self.findings.shown(low, DENSITY)} to {self.findings.shown(high, DENSITY)}"
                self.findings.assume(f"fluid {fluid.name!r} of {told} is used as given; usual are {usual}")

    def _wellhead(self) -> tuple[WellheadKind, float]:
        head, fault = self.tables.well, self.findings.fault
        offshore = head.water_depth is not None
        kind: WellheadKind = head.wellhead or ("sea floor" if offshore else "ground")
        if head.wellhead is None:
            self.findings.assume(f"well.wellhead left out: taken on the {kind}")
        if kind == "deck":
            return kind, self._on_deck(head)
        if head.wellhead_depth is not None:
            message = f"is for a wellhead on 'deck'; this one is on the {kind!r}; leave it out"
            fault(message, "well", "wellhead_depth")
        if kind == "ground":
            if offshore:
                fault("'ground' is for a well without water_depth; need 'sea floor' or 'deck'", "well", "wellhead")
            return kind, head.air_gap
        if not offshore:
            fault("missing; a wellhead on the sea floor needs a length, '350 m' for example", "well", "water_depth")
        return kind, head.air_gap + (head.water_depth or 0.0)

    def _on_deck(self, head: schema.WellTable) -> float:
        where = ("well", "wellhead_depth")
        if head.wellhead_depth is None:
            message = "missing; a wellhead on deck needs its depth below the drill floor, '12 m' for example"
            self.findings.fault(message, *where)
            return math.nan
        if head.water_depth is None:
            message = "missing; a wellhead on deck stands above water; on land write wellhead = 'ground'"
            self.findings.fault(message, "well", "water_depth")
        elif head.wellhead_depth > head.air_gap:
            depth = self.findings.depth
            message = f"{depth(head.wellhead_depth)} is below sea level; a deck is at most at {depth(head.air_gap)}"
            self.findings.fault(message, *where)
        return head.wellhead_depth

    def _earth(self) -> Earth:
        table = self.tables.earth
        depth = np.array(table.depth)
        if len(depth) < 2:
            self.findings.fault(f"has {len(depth)} values; need at least two depths", "earth", "depth")
            return Earth()
        if not self._increases(table.depth, "earth", "depth"):
            return Earth()
        columns: dict[str, Table | None] = {}
        for name in ("pore_pressure", "fracture", "temperature", "overburden"):
            values = getattr(table, name)
            columns[name] = None
            if values is None:
                continue
            if len(values) != len(depth):
                message = f"has {len(values)} values for {len(depth)} depths; need one for each"
                self.findings.fault(message, "earth", name)
                continue
            if name != "temperature":
                values = [pressure.at(tvd) for pressure, tvd in zip(values, table.depth, strict=True)]
            columns[name] = Table(tvd=depth, value=np.array(values))
        if (table.pore_pressure or table.fracture) is not None:
            self.findings.assume(
                "earth: pore and fracture pressure are linear between rows, as pressures, not densities"
            )
        if table.temperature is None:
            self.findings.assume("earth.temperature left out: no change of temperature acts on any string")
        return Earth(**columns)

    def _increases(self, depths: Sequence[float], *where: str | int) -> bool:
        for number, (above, below) in enumerate(pairwise(depths), start=2):
            if below <= above:
                shown = self.findings.depth
                message = f"{shown(below)} is not below {shown(above)}, the depth before it; need depths that increase"
                self.findings.fault(message, *where, number)
                return False
        return True

    # --- a string ----------------------------------------------------------------------------------------------------

    def _string(self, table: schema.StringTable, where: Where) -> String:
        top = self._string_top(table, where)
        run_in = self._fluid(table.run_in, *where, "run_in")
        told = "displaced_with left out: cement displaced with what the string was run in"
        displaced = run_in
        if table.displaced_with is None:
            self.findings.assume(told, of=table.name)
        else:
            displaced = self._fluid(table.displaced_with, *where, "displaced_with")
        return String(
            name=table.name,
            hole_size=table.hole_size,
            top=top,
            shoe=table.shoe,
            sections=self.pipes.sections(table, where, top),
            cement=cement_intervals(table, where, self._words(table, top), self._fluid, self.findings),
            run_in=run_in,
            displaced_with=displaced,
            riser=self._riser(table.riser, run_in, table.name, where, "run"),
            required=self._required(table),
            cases=self.cases.requests(table.cases, (*where, "cases"), scope="string", of=table.name),
            next_hole=self._next_hole(table, where),
            models=self._models(table.models, where),
            triaxial_wall=table.triaxial_wall,
            set_temperature=self._set_temperature(table, where),
            all_applicable=self.cases.all_applicable(table.cases, (*where, "cases"), scope="string"),
            spacers=self._fillings(table, "spacers", where, top),
            contents=self._fillings(table, "contents", where, top),
            float_collar=self._float_collar(table, where, top),
            friction_at_set=None if table.friction_at_set is None else _friction(table.friction_at_set),
            landing=table.landing or 0.0,
            locked=table.hanger == "locked",
            tie_back_to=table.tie_back_to,
        )

    def _fillings(
        self, table: schema.StringTable, key: Literal["spacers", "contents"], where: Where, top: float
    ) -> tuple[Interval, ...]:
        """Return intervals filled with other fluids at the end of cementing, from the top down."""
        words = self._words(table, top)
        taken = [*table.cement] if key == "spacers" else []
        found = filled_intervals(getattr(table, key), key, where, words, self._fluid, self.findings)
        slurries = filled_intervals(taken, "cement", where, words, lambda *_: Fluid(name="", density=0.0), Findings())
        ordered = sorted((*found, *slurries), key=lambda interval: interval.top)
        for above, below in pairwise(ordered if found else ()):
            if below.top < above.bottom - 1e-6:
                told = f"intervals overlap at {self.findings.depth(below.top)}"
                self.findings.fault(f"{told}; need intervals that do not, nor with the cement", *where, key)
        return found

    def _float_collar(self, table: schema.StringTable, where: Where, top: float) -> float | None:
        collar = table.float_collar
        if collar is not None and not top < collar < table.shoe:
            depth = self.findings.depth
            message = f"{depth(collar)} is not between top {depth(top)} and shoe {depth(table.shoe)}"
            self.findings.fault(f"{message}; need a depth in the string", *where, "float_collar")
        return collar

    def _words(self, table: schema.StringTable, top: float) -> dict[str, float]:
        """Return the depth [m] that each word of a cemented interval means."""
        words = {"shoe": table.shoe, "top": top, "wellhead": self.wellhead_depth}
        return words if self.wellhead == "sea floor" else {**words, "surface": self.wellhead_depth}

    def _string_top(self, table: schema.StringTable, where: Where) -> float:
        fault, depth = self.findings.fault, self.findings.depth
        if table.top == "surface" and self.wellhead == "sea floor":
            fault("'surface' is above a wellhead on the sea floor; need 'wellhead' or a depth", *where, "top")
        top = self.wellhead_depth if isinstance(table.top, str) else table.top
        if top < self.wellhead_depth - 1e-6:
            message = f"{depth(top)} is above the wellhead at {depth(self.wellhead_depth)}"
            fault(f"{message}; need 'wellhead', or the depth of a liner hanger", *where, "top")
        if table.shoe <= top:
            message = f"{depth(table.shoe)} is not below the string's top at {depth(top)}; need a depth below it"
            fault(message, *where, "shoe")
            return math.nan  # nothing in between can be right
        return top

    def _riser(self, given: bool | None, fluid: Fluid, name: str, where: Where, what: str) -> bool:
        if self.wellhead != "sea floor":
            if given is False:
                message = "false, but the wellhead is at surface: the hole is always open to the drill floor"
                self.findings.fault(f"{message}; leave it out", *where, "riser")
            return True
        if given is None:
            given = fluid.name != "sea water"
            how = "with" if given else "without"
            reason = f"since the hole is full of {fluid.name!r}"
            self.findings.assume(f"riser left out: {what} {how} a riser, {reason}", of=name)
        return given

    def _set_temperature(self, table: schema.StringTable, where: Where) -> Table | None:
        given, where = table.set_temperature, (*where, "set_temperature")
        if given is not None and self.tables.earth.temperature is None:
            self.findings.fault("needs earth.temperature, from which it differs", *where)
        if given is None:
            told = "set_temperature left out: the cement set at undisturbed temperature"
            self.findings.assume(told, of=table.name)
            return None
        return self._temperature_table(given, where)

    def _temperature_table(self, given: schema.TemperatureTable, where: Where) -> Table | None:
        if not given.depth or len(given.depth) != len(given.temperature):
            message = f"has {len(given.depth)} depths and {len(given.temperature)} temperatures"
            self.findings.fault(f"{message}; need one for each, and at least one", *where)
            return None
        if not self._increases(given.depth, *where, "depth"):
            return None
        return Table(tvd=np.array(given.depth), value=np.array(given.temperature))

    def _required(self, table: schema.StringTable) -> dict[str, float]:
        found = {}
        for mode in MODES:
            own, common = getattr(table.required, mode), getattr(self.tables.required, mode)
            if own is None and common is None:
                self._lacking.setdefault(mode, []).append(repr(table.name))
            else:
                found[mode] = common if own is None else own
        return found

    def _check_required(self) -> None:
        """Tell once for each mode which strings have no required factor."""
        for mode, names in self._lacking.items():
            message = f"missing; need a factor here, or in the table 'required' of {', '.join(names)}"
            self.findings.fault(message, "required", mode)

    def _models(self, table: schema.ModelsTable, where: Where) -> dict[str, ModelRequest]:
        asked = {mode: choice for mode in MODES if (choice := getattr(table, mode)) is not None}
        return {mode: self._model(mode, choice, (*where, "models", mode)) for mode, choice in asked.items()}

    def _model(self, mode: str, choice: str | dict[str, Any], where: Where) -> ModelRequest:
        raw = {"model": choice} if isinstance(choice, str) else dict(choice)
        name = raw.pop("model", None)
        known = [other for other_mode, other in self.plugins.models if other_mode == mode]
        model = self.plugins.models.get((mode, name)) if isinstance(name, str) else None
        if model is None:
            found = "model is missing" if name is None else f"{name!r} is not a strength model of {mode}"
            self.findings.fault(f"{found}; {near_miss(str(name), known)}", *where)
            return ModelRequest(name=str(name))
        values, faults, defaults = read_parameters(model, raw, Known(fluids=self.fluids))
        numbers = {key: value for key, value in values.items() if isinstance(value, float)}
        faults += [(key, f"{v} is not a number to use") for key, v in numbers.items() if not math.isfinite(v)]
        for parameter, message in faults:
            self.findings.fault(message, *where, parameter)
        for default in defaults:
            self.findings.assume(f"{mode} by {name}: {default}", of=str(where[1]))
        return ModelRequest(name=model.name, parameters=values)

    def _next_hole(self, table: schema.StringTable, where: Where) -> NextHole | None:
        given, where = table.next_hole, (*where, "next_hole")
        if given is None:
            return None
        if given.to <= table.shoe:
            depth = self.findings.depth
            message = f"{depth(given.to)} is not below the shoe at {depth(table.shoe)}; need a depth below it"
            self.findings.fault(message, *where, "to")
        mud = None if given.mud is None else self._fluid(given.mud, *where, "mud")
        riser = True if given.riser is None else given.riser
        if given.riser is None and mud is None and self.wellhead == "sea floor":
            self.findings.assume("mud and riser left out: drilled with a riser", of=f"{table.name}, next hole")
        if mud is not None or given.riser is not None:
            filling = mud or Fluid(name="", density=0.0)
            riser = self._riser(given.riser, filling, f"{table.name}, next hole", where, "drilled")
        return NextHole(bottom=given.to, mud=mud, riser=riser, size=given.size)

    def _fluid(self, name: str, *where: str | int) -> Fluid:
        """Return a fluid by its name; one of unknown density after noting that there is none."""
        fluid = self.fluids.get(name)
        if fluid is None and name and self.tables.fluids is not None:
            self.findings.fault(f"{name!r} is not under [fluids]; {near_miss(name, self.fluids)}", *where)
        return fluid or Fluid(name=name, density=math.nan)


def _friction(given: schema.FrictionTable) -> Friction:
    return Friction(cased=given.cased, open_hole=given.open_hole, moving=given.moved)
