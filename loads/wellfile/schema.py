"""The well file as the user writes it: its tables and keys, each with its unit checked.

Only what one table can know of itself is checked here; `casingloads.wellfile` checks the tables against each other.
The descriptions are what an editor shows; `casingloads.wellfile.editor` makes a JSON Schema of it all.
"""

from __future__ import annotations

import math
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Discriminator, Field, Tag

from .. import units
from ..hooks import Plugins, load_plugins
from .editor import editor_schema
from .entries import HEAVIEST_FLUID, UNKNOWN, depth, formation_pressure, name, number, quantity

Length = Annotated[float, quantity(units.LENGTH, least=0.0)]
WaterDepth = Annotated[float, quantity(units.LENGTH, above=0.0)]
Diameter = Annotated[float, quantity(units.DIAMETER, above=0.0)]
LinearMass = Annotated[float, quantity(units.LINEAR_MASS, above=0.0)]
Stress = Annotated[float, quantity(units.STRESS, above=0.0)]
Modulus = Annotated[float, quantity(units.STRESS, least=10e9, most=1000e9)]
Density = Annotated[float, quantity(units.DENSITY, above=0.0, most=HEAVIEST_FLUID)]
Temperature = Annotated[float, quantity(units.TEMPERATURE, least=173.15, most=873.15)]
Expansion = Annotated[float, quantity(units.EXPANSION, least=1e-6, most=1e-4)]
Angle = Annotated[float, quantity(units.ANGLE)]
Curvature = Annotated[float, quantity(units.CURVATURE, least=0.0)]
Inclination = Annotated[float, quantity(units.ANGLE, least=0.0, most=math.pi)]
WallFactor = Annotated[float, number(0.5, 1.0, "0.875")]
Factor = Annotated[float, number(0.1, 100.0, "1.25")]
Salinity = Annotated[float, number(0.0, 42.0, "35")]
SeaTemperature = Annotated[float, quantity(units.TEMPERATURE, least=271.15, most=313.15)]
HeatFactor = Annotated[float, number(0.2, 1.1, "0.95")]
Loss = Annotated[float, quantity(units.DIAMETER, least=0.0)]
MassRate = Annotated[float, quantity(units.MASS_RATE, above=0.0)]
SpecificHeat = Annotated[float, quantity(units.SPECIFIC_HEAT, above=0.0)]
Duration = Annotated[float, quantity(units.DURATION, above=0.0)]
Conductivity = Annotated[float, quantity(units.CONDUCTIVITY, above=0.0)]
Diffusivity = Annotated[float, quantity(units.DIFFUSIVITY, above=0.0)]
HeatTransfer = Annotated[float, quantity(units.HEAT_TRANSFER, above=0.0)]
FrictionFactor = Annotated[float, number(0.0, 2.0, "0.3")]
Force = Annotated[float, quantity(units.FORCE)]
Poisson = Annotated[float, number(0.0, 0.5, "0.3")]
CementDepth = Annotated[float | str, depth("shoe", "top", "wellhead", "surface")]
TopDepth = Annotated[float | str, depth("surface", "wellhead")]
SectionTop = Annotated[float | str, depth("top")]
SectionBottom = Annotated[float | str, depth("shoe")]
FormationPressure = Annotated[Any, formation_pressure()]
Name = Annotated[str, name("a name")]
FluidName = Annotated[str, name("the name of a fluid under [fluids]")]
FileName = Annotated[str, name("the name of a file beside the well file", longest=250)]
Reason = Annotated[str, name("a reason", longest=500)]

_List = BeforeValidator(lambda raw: [] if raw is UNKNOWN else raw)  # an unknown list is empty
ALL_APPLICABLE = "all-applicable"
"""Asks for every load case that applies: in place of the table of cases, or as a key of it."""


def _asks_for_all(raw: object) -> object:
    if raw == ALL_APPLICABLE:
        return {ALL_APPLICABLE: {}}
    if isinstance(raw, dict) and raw.get(ALL_APPLICABLE) is True:
        return {**raw, ALL_APPLICABLE: {}}
    return raw


Cases = Annotated[dict[Name, dict[str, Any]], BeforeValidator(_asks_for_all)]


class TableModel(BaseModel):
    """A table of the file: strict, and without unknown keys."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class SurveyTable(TableModel):
    """A survey written in the file, one value a station."""

    md: Annotated[list[Length], _List] = Field(description="measured depths from the drill floor, increasing")
    inclination: Annotated[list[Inclination], _List] = Field(description="from the vertical, one for each depth")
    azimuth: Annotated[list[Angle], _List] = Field(description="from north, clockwise, one for each depth")


def _text_or_table(raw: object) -> str | None:
    if isinstance(raw, dict):
        return "<table>"
    return "<text>" if isinstance(raw, str) else None


Survey = Annotated[
    Annotated[FileName, Tag("<text>")] | Annotated[SurveyTable, Tag("<table>")],
    Discriminator(_text_or_table),
]


def _table_or_else(raw: object) -> str:
    return "<table>" if isinstance(raw, dict) else "<text>"  # what is neither is told by the reader of text


class WellTable(TableModel):
    """Well and datum; every depth counts from the drill floor."""

    name: Name = Field(description="name of the well")
    air_gap: Length = Field(description="drill floor above sea level; on land, above ground")
    water_depth: WaterDepth | None = Field(None, description="left out on land")
    wellhead: Literal["ground", "deck", "sea floor"] | None = Field(
        None, description="what the wellhead stands on; left out: the sea floor where there is water, else the ground"
    )
    wellhead_depth: Length | None = Field(
        None, description="below the drill floor; for a wellhead on deck, and only there"
    )
    survey: Survey | None = Field(None, description="a CSV file beside the well file, or a table; left out: vertical")
    buckling: bool | None = Field(
        None, description="whether the strain of buckled pipe enters the balance of forces; left out: true"
    )
    tortuosity: Curvature | None = Field(
        None, description="added to the doglegs of a planned survey, in bending and drag; left out: none"
    )
    units: Literal["metric", "field"] | None = Field(None, description="of the output; left out: metric")


class EarthTable(TableModel):
    """The ground against true vertical depth below the drill floor; linear between rows."""

    depth: Annotated[list[Length], _List] = Field(description="true vertical depths, increasing, two or more")
    pore_pressure: Annotated[list[FormationPressure], _List] | None = Field(
        None, description="one for each depth; a density counts from the drill floor"
    )
    fracture: Annotated[list[FormationPressure], _List] | None = Field(
        None, description="fracture pressure, one for each depth; a density counts from the drill floor"
    )
    temperature: Annotated[list[Temperature], _List] | None = Field(
        None, description="undisturbed temperature, one for each depth"
    )
    overburden: Annotated[list[FormationPressure], _List] | None = Field(
        None, description="pressure of what lies above, one for each depth; a density counts from the drill floor"
    )


class SteelTable(TableModel):
    """Elastic constants of all pipe."""

    modulus: Modulus | None = Field(None, description="modulus of elasticity; left out: 30e6 psi")
    poisson: Poisson | None = Field(None, description="Poisson's ratio; left out: 0.3")
    expansion: Expansion | None = Field(None, description="linear, by heat; left out: 12.42e-6 /degC")


class RequiredTable(TableModel):
    """Required design factors by mode."""

    burst: Factor | None = Field(None, description="internal pressure")
    collapse: Factor | None = Field(None, description="external pressure")
    tension: Factor | None = Field(None, description="axial pull")
    compression: Factor | None = Field(None, description="axial push")
    triaxial: Factor | None = Field(None, description="equivalent stress by von Mises")


class CementTable(TableModel):
    """An interval filled with cement."""

    from_: CementDepth = Field(alias="from", description="one end of the interval")
    to: CementDepth = Field(description="its other end")
    slurry: FluidName = Field(description="a fluid, by its density when it was pumped")


class FillingTable(TableModel):
    """An interval filled with another fluid at the end of cementing."""

    from_: CementDepth = Field(alias="from", description="one end of the interval")
    to: CementDepth = Field(description="its other end")
    fluid: FluidName = Field(description="what stands there")


class FrictionTable(TableModel):
    """Friction that stays in the string when it is cemented."""

    cased: FrictionFactor = Field(description="coefficient inside earlier strings")
    open_hole: FrictionFactor = Field(description="coefficient in open hole")
    moved: Literal["in", "out"] = Field(description="which way it moved last")


class AsBodyTable(TableModel):
    """Modes in which a connection is accepted as strong as the pipe body, each with the reason."""

    burst: Reason | None = Field(None, description="internal pressure")
    collapse: Reason | None = Field(None, description="external pressure")
    tension: Reason | None = Field(None, description="axial pull")
    compression: Reason | None = Field(None, description="axial push")
    triaxial: Reason | None = Field(None, description="loads combined")


AsBody = Annotated[
    Annotated[Reason, Tag("<text>")] | Annotated[AsBodyTable, Tag("<table>")], Discriminator(_table_or_else)
]


class WallLossTable(TableModel):
    """Wall lost to wear and corrosion, all along a section or against depth, once the cement has set."""

    depth: Annotated[list[Length], _List] | None = Field(
        None, description="measured depths, increasing; left out: the same all along"
    )
    inside: Annotated[list[Loss], _List] = Field(default_factory=list, description="one for each depth, or just one")
    outside: Annotated[list[Loss], _List] = Field(default_factory=list, description="one for each depth, or just one")
    groove: bool = Field(False, description="a groove on one side; left out: all around the pipe")


class DeratingTable(TableModel):
    """Strength against temperature, linear between rows."""

    source: Reason = Field(description="where the factors come from")
    grades: Annotated[list[Name], _List] = Field(
        default_factory=list, description="grades of pipe it holds for unless a section names another"
    )
    temperature: Annotated[list[Temperature], _List] = Field(description="increasing, two or more")
    yield_factor: Annotated[list[HeatFactor], _List] = Field(description="yield over that at room temperature")
    modulus_factor: Annotated[list[HeatFactor], _List] | None = Field(
        None, description="modulus over that at room temperature; left out: 1"
    )


class SectionTable(TableModel):
    """A stretch of one pipe, from a catalog (``pipe``) or given in full; what is given in full goes first."""

    pipe: Name | None = Field(None, description="from a catalog, for example '9-5/8 in 47 lb/ft N80'")
    od: Diameter | None = Field(None, description="outside diameter")
    wall: Diameter | None = Field(None, description="nominal wall thickness")
    weight: LinearMass | None = Field(None, description="nominal weight with couplings; left out: plain end")
    yield_: Stress | None = Field(None, alias="yield", description="specified minimum yield strength")
    tensile: Stress | None = Field(None, description="specified minimum tensile strength")
    drift: Diameter | None = Field(None, description="drift diameter, special drift for example")
    wall_factor: WallFactor | None = Field(None, description="least wall over nominal; left out: 0.875")
    from_: SectionTop | None = Field(None, alias="from", description="left out: where the section above ends")
    to: SectionBottom = Field(description="lower end")
    connection: Name | None = Field(None, description="left out: the pipe body alone is checked")
    connection_as_body: AsBody | None = Field(
        None, description="reason why it is as strong as the body, for all modes or by mode"
    )
    derating: Name | None = Field(None, description="strength against temperature: a table under [derating]")
    wall_loss: WallLossTable | None = Field(None, description="wear and corrosion; left out: none")


class SeaWaterTable(TableModel):
    """Sea water by salinity and temperature; its mean density down to the sea floor follows."""

    salinity: Salinity = Field(description="practical salinity, close to grams a kilogram; 35 in the open ocean")
    temperature: SeaTemperature = Field(description="mean temperature of the water")


FluidEntry = Annotated[
    Annotated[Density, Tag("<text>")] | Annotated[SeaWaterTable, Tag("<table>")], Discriminator(_table_or_else)
]


class NextHoleTable(TableModel):
    """The hole drilled below a string, which it must survive."""

    to: Length = Field(description="measured depth of its bottom")
    mud: FluidName | None = Field(None, description="what it is drilled with")
    size: Diameter | None = Field(None, description="diameter of the hole")
    riser: bool | None = Field(None, description="left out: with a riser, unless the mud is sea water")


class TemperatureTable(TableModel):
    """Temperature against true vertical depth."""

    depth: Annotated[list[Length], _List] = Field(description="true vertical depths, increasing")
    temperature: Annotated[list[Temperature], _List] = Field(description="one for each depth")


class FlowTable(TableModel):
    """Temperature of a liquid that flows along the well, worked out in closed form."""

    flow: Literal["production", "injection", "circulation"] = Field(
        description="up from depth, down from the wellhead, or down the drill string to depth and up outside it"
    )
    rate: MassRate = Field(description="mass of liquid in a time")
    specific_heat: SpecificHeat = Field(description="of the liquid")
    depth: Length = Field(description="measured depth from or to which it flows")
    inlet_temperature: Temperature = Field(
        description="where it comes in: at depth in production, else at the wellhead"
    )
    time: Duration = Field(description="since the flow began")
    conductivity: Conductivity = Field(description="of the ground")
    diffusivity: Diffusivity = Field(description="thermal diffusivity of the ground")
    hole_diameter: Diameter = Field(description="where the ground begins")
    heat_transfer: HeatTransfer | None = Field(
        None, description="overall, from the liquid to the ground, at hole_diameter; left out: only the ground resists"
    )
    pipe_heat_transfer: HeatTransfer | None = Field(
        None, description="overall, through the drill string, at pipe_diameter; needed in circulation only"
    )
    pipe_diameter: Diameter | None = Field(None, description="of the drill string; needed in circulation only")


TemperatureEntry = Annotated[
    Annotated[TemperatureTable, Tag("<table>")] | Annotated[FlowTable, Tag("<flow>")],
    Discriminator(lambda raw: "<flow>" if isinstance(raw, dict) and "flow" in raw else "<table>"),
]

ModelChoice = Annotated[
    Annotated[Name, Tag("<text>")] | Annotated[dict[str, Any], Tag("<table>")], Discriminator(_table_or_else)
]


class ModelsTable(TableModel):
    """Strength model by mode: its name, or a table with ``model`` and the parameters of the model."""

    burst: ModelChoice | None = Field(None, description="internal pressure")
    collapse: ModelChoice | None = Field(None, description="external pressure")
    tension: ModelChoice | None = Field(None, description="axial pull")
    compression: ModelChoice | None = Field(None, description="axial push")
    triaxial: ModelChoice | None = Field(None, description="equivalent stress")


class StringTable(TableModel):
    """A casing string or liner; the outermost stands first."""

    name: Name = Field(description="each string has its own")
    hole_size: Diameter = Field(description="diameter of the hole it is run in; of a tie-back, the bore around it")
    top: TopDepth = Field(description="where it hangs: 'surface', 'wellhead', or the depth of a liner hanger")
    shoe: Length = Field(description="measured depth of its lower end")
    sections: Annotated[list[SectionTable], _List] = Field(
        description="from the top down, without gaps", json_schema_extra={"minItems": 1}
    )
    cement: Annotated[list[CementTable], _List] = Field(
        default_factory=list, description="cemented intervals; left out: the string hangs free for life"
    )
    run_in: FluidName = Field(description="what stands in the hole while it is run")
    displaced_with: FluidName | None = Field(None, description="what the cement is displaced with; left out: run_in")
    riser: bool | None = Field(None, description="left out: run with a riser, unless run in sea water")
    required: RequiredTable = Field(RequiredTable(), description="goes before [required]")
    cases: Cases = Field(default_factory=dict, description="load cases, by a label of your own")
    next_hole: NextHoleTable | None = Field(None, description="left out: nothing is drilled below it")
    models: ModelsTable = Field(ModelsTable(), description="left out: those of the standard")
    triaxial_wall: Literal["minimum", "nominal"] = Field(
        "minimum", description="wall of the pressure stresses in the triaxial check"
    )
    set_temperature: TemperatureTable | None = Field(None, description="when the cement set; left out: undisturbed")
    spacers: Annotated[list[FillingTable], _List] = Field(
        default_factory=list, description="outside besides the slurries when they are in place; left out: none"
    )
    contents: Annotated[list[FillingTable], _List] = Field(
        default_factory=list, description="inside besides the displacement fluid then; left out: none"
    )
    float_collar: Length | None = Field(None, description="where the plug lands; left out: at the shoe")
    friction_at_set: FrictionTable | None = Field(None, description="drag when it was cemented; left out: none")
    landing: Force | None = Field(
        None, description="pull on the free length after the cement set, slack-off negative; left out: none"
    )
    hanger: Literal["locked", "not locked"] = Field(
        "locked", description="one that is not locked down rises when the pipe pushes it up"
    )
    tie_back_to: Name | None = Field(None, description="the liner it is tied back to; left out: no tie-back")


class WellFile(TableModel):
    """A well file."""

    well: WellTable
    earth: EarthTable
    fluids: dict[Name, FluidEntry] = Field(description="density by name; offshore, 'sea water' is one of them")
    strings: list[StringTable] = Field(min_length=1, description="from the outermost in")
    steel: SteelTable = Field(SteelTable(), description="left out: usual constants")
    required: RequiredTable = Field(RequiredTable(), description="for all strings")
    cases: Cases = Field(default_factory=dict, description="load cases of several strings, by label")
    derating: dict[Name, DeratingTable] = Field(
        default_factory=dict, description="strength against temperature, by name"
    )
    temperatures: dict[Name, TemperatureEntry] = Field(
        default_factory=dict, description="temperatures of load cases by name: a table against depth, or a flow"
    )
    catalogs: list[FileName] = Field(
        default_factory=list,
        description="beside the well file: CSV with your own pipe or grades, TOML with connections",
    )


def json_schema(plugins: Plugins | None = None) -> dict[str, Any]:
    """Return the JSON Schema of a well file, for an editor.

    Parameters
    ----------
    plugins : Plugins, optional
        Whose load cases and strength models it names; by default those installed.

    Returns
    -------
    dict
        JSON Schema (draft 2020-12).
    """
    offered = plugins or load_plugins()
    return editor_schema(WellFile.model_json_schema(by_alias=True), offered.cases, offered.models)
