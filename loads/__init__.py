"""Design factors of well casing: load cases, axial mechanics, strength, and the working behind every number."""

from . import strength
from .case import LoadCase, load_case
from .catalog import Catalog
from .catalog.file import read_catalog, standard_catalog
from .check import check
from .errors import CannotEvaluate, CasingloadsError, InputError, MissingInput
from .hooks import Plugins, hookimpl, load_plugins
from .output.rating import ratings
from .parameters import (
    Compressibility,
    Density,
    Diameter,
    Duration,
    Expansion,
    FluidName,
    Force,
    FormationPressure,
    Fraction,
    Gradient,
    Length,
    MassRate,
    MeasuredDepth,
    Outside,
    Percent,
    Pressure,
    Speed,
    Stress,
    Temperature,
    TemperatureName,
    TemperatureRise,
    Torque,
    TrueVerticalDepth,
    Volume,
)
from .pressure.columns import Column, Empty, Formation, Gas, Intervals, RealGas, column, column_through
from .pressure.outside import Behind
from .remark import Remark
from .result import Result
from .scene import Scene
from .state import Friction, Load, Overpull, State, Step, SuddenStop
from .strength.check import Caution, Check, Line, Loading, Tube
from .strength.model import StrengthModel, strength_model
from .units import FORCE, PRESSURE, STRESS
from .well import CaseRequest, Earth, Fluid, Interval, Pipe, Section, String, Table, Well
from .wellfile.reader import read_well

__version__ = "0.1.0"

__all__ = [
    "FORCE",
    "PRESSURE",
    "STRESS",
    "Behind",
    "CannotEvaluate",
    "CaseRequest",
    "CasingloadsError",
    "Catalog",
    "Caution",
    "Check",
    "Column",
    "Compressibility",
    "Density",
    "Diameter",
    "Duration",
    "Earth",
    "Empty",
    "Expansion",
    "Fluid",
    "FluidName",
    "Force",
    "Formation",
    "FormationPressure",
    "Fraction",
    "Friction",
    "Gas",
    "Gradient",
    "InputError",
    "Interval",
    "Intervals",
    "Length",
    "Line",
    "Load",
    "LoadCase",
    "Loading",
    "MassRate",
    "MeasuredDepth",
    "MissingInput",
    "Outside",
    "Overpull",
    "Percent",
    "Pipe",
    "Plugins",
    "Pressure",
    "RealGas",
    "Remark",
    "Result",
    "Scene",
    "Section",
    "Speed",
    "State",
    "Step",
    "StrengthModel",
    "Stress",
    "String",
    "SuddenStop",
    "Table",
    "Temperature",
    "TemperatureName",
    "TemperatureRise",
    "Torque",
    "TrueVerticalDepth",
    "Tube",
    "Volume",
    "Well",
    "check",
    "column",
    "column_through",
    "hookimpl",
    "load_case",
    "load_plugins",
    "ratings",
    "read_catalog",
    "read_well",
    "standard_catalog",
    "strength",
    "strength_model",
]
