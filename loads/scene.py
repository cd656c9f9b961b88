"""The author's view: what a load case may ask of the well, and how it says what happens."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from . import situations
from .arrays import Array, ArrayLike, Floats
from .errors import MissingInput
from .parameters import FormationPressureAt
from .path import WellPath
from .pressure.columns import Column, Pressure, Temperature
from .pressure.outside import PRESETS, Behind, pressure_behind
from .remark import Remark
from .running import shoe_depths
from .state import Friction, Load, Overpull, State, Step, SuddenStop
from .well import Earth, Fluid, NextHole, String, Table, Well


@dataclass(frozen=True)
class Scene:
    """A well, seen from one of its strings.

    Attributes
    ----------
    well : Well
        The whole well, read-only.
    string_name : str or None
        The string the case stands under; None for a case of several strings (see `on`).
    """

    well: Well
    string_name: str | None = None

    # --- where ---------------------------------------------------------------------------------------------------

    @property
    def string(self) -> String:
        """The string.

        Raises
        ------
        MissingInput
            In a case of several strings: choose one with `on`.
        """
        if self.string_name is None:
            raise MissingInput("a string: this case concerns several, choose one with scene.on(name)")
        return self.well.string(self.string_name)

    def on(self, name: str) -> Scene:
        """Return the scene seen from another string."""
        self.well.string(name)
        return Scene(self.well, name)

    @property
    def earlier(self) -> tuple[String, ...]:
        """The strings set before this one."""
        return self.well.strings[: self._number]

    @property
    def later(self) -> tuple[String, ...]:
        """The strings set after this one."""
        return self.well.strings[self._number + 1 :]

    @property
    def _number(self) -> int:
        return [string.name for string in self.well.strings].index(self.string.name)

    @property
    def path(self) -> WellPath:
        """The well path."""
        return self.well.path

    @property
    def earth(self) -> Earth:
        """Tables of the ground."""
        return self.well.earth

    def tvd(self, md: ArrayLike) -> Array:
        """Return the true vertical depth [m] of a measured depth [m]."""
        return self.path.tvd(md)

    @property
    def wellhead_tvd(self) -> float:
        """True vertical depth of the wellhead [m]."""
        return float(self.path.tvd(self.well.wellhead_depth))

    @property
    def shoe_tvd(self) -> float:
        """True vertical depth of the shoe [m]."""
        return float(self.path.tvd(self.string.shoe))

    @property
    def hole_top(self) -> float:
        """Measured depth from which hole lies open below it [m]: its shoe, or that of the liner it is tied back to."""
        liner = self.string.tie_back_to
        return self.string.shoe if liner is None else self.well.string(liner).shoe

    @property
    def top_tvd(self) -> float:
        """True vertical depth of the string's top [m]."""
        return float(self.path.tvd(self.string.top))

    # --- what is known; asking for what is not raises MissingInput -------------------------------------------------

    @property
    def next_hole(self) -> NextHole:
        """The hole drilled below the string."""
        hole = self.string.next_hole
        if hole is None:
            raise MissingInput(f"strings.{self.string.name}.next_hole")
        return hole

    def next_mud(self, mud: Fluid | None = None) -> Fluid:
        """Return *mud*, or the mud of the next hole where that is None."""
        chosen = mud or self.next_hole.mud
        if chosen is None:
            raise MissingInput(f"strings.{self.string.name}.next_hole.mud, or the case's own mud")
        return chosen

    def pore_pressure(self, tvd: ArrayLike) -> Array:
        """Return the pore pressure [Pa] at *tvd* [m]; the table must reach up to there."""
        return self._covered("pore_pressure", tvd)

    def fracture_pressure(self, tvd: ArrayLike) -> Array:
        """Return the fracture pressure [Pa] at *tvd* [m]; the table must reach up to there."""
        return self._covered("fracture", tvd)

    def formation_pressure(self, tvd: float, given: FormationPressureAt | None = None) -> float:
        """Return the pressure of the formation [Pa] at *tvd* [m]: as *given*, else the pore pressure."""
        return float(self.pore_pressure(tvd) if given is None else given.at(tvd))

    def undisturbed(self) -> Table:
        """Return the undisturbed temperature [K]."""
        return self._table("temperature")

    def temperature_as_set(self) -> Table:
        """Return the temperature when the cement set [K]."""
        return self.string.set_temperature or self.undisturbed()

    def _covered(self, name: str, tvd: ArrayLike) -> Array:
        table = self._table(name)
        least = float(np.min(tvd))
        if least < table.tvd[0] - 1e-6:
            raise MissingInput(f"earth.{name} from {least:g} m on (first row: {table.tvd[0]:g} m)")
        return table(tvd)

    def _table(self, name: str) -> Table:
        table: Table | None = getattr(self.earth, name)
        if table is None:
            raise MissingInput(f"earth.{name}")
        return table

    def exposed(self, table: str, top: float | None = None, bottom: float | None = None) -> Floats:
        """Return true vertical depths [m] that cover the open hole below the string.

        Parameters
        ----------
        table : {"pore_pressure", "fracture"}
            Whose depths must be among them, since extremes lie there.
        top, bottom : float, optional
            Measured depths of the open hole [m]; by default `hole_top` and the bottom of the next hole.

        Returns
        -------
        ndarray, (n,)
            Increasing.
        """
        first = self.hole_top if top is None else top
        last = self.next_hole.bottom if bottom is None else bottom
        grid = np.asarray(self.tvd(np.linspace(first, last, 200)))
        nodes = self._table(table).tvd
        nodes = nodes[(nodes > grid.min()) & (nodes < grid.max())]
        return np.unique(np.concatenate([grid, nodes]))

    # --- columns ----------------------------------------------------------------------------------------------------

    def mud_column(self, mud: Fluid, *, riser: bool | None = None) -> Column:
        """Return a full column of *mud* in the hole below this string, up to where it flows out.

        Parameters
        ----------
        mud : Fluid
            What fills it.
        riser : bool, optional
            Whether it reaches the drill floor; by default as `NextHole` says.
        """
        return situations.open_column(self.well, mud, riser=self.next_hole.riser if riser is None else riser)

    def own_top(self, fluid: Fluid) -> float:
        """Return where a column of *fluid* begins [m tvd]: sea level for sea water, else the drill floor."""
        return situations.own_top(self.well, fluid)

    def sea_column(self) -> Column:
        """Return the sea."""
        return situations.sea_column(self.well)

    def inside_as_run(self) -> Pressure:
        """Return what fills the string while it is run."""
        return situations.outside_as_run(self.well, self.string)

    def outside_as_run(self) -> Pressure:
        """Return what stood in the hole while the string was run."""
        return situations.outside_as_run(self.well, self.string)

    def outside(self, behind: Behind | str) -> Pressure:
        """Return what stands behind the pipe after the cement has set.

        Parameters
        ----------
        behind : Behind or str
            Composition of three intervals, as a parameter ``cl.Outside`` gives it, or its name: ``as run``,
            ``settled mud``, ``pore pressure``.
        """
        return pressure_behind(self.well, self.string, PRESETS[behind] if isinstance(behind, str) else behind)

    @property
    def ambient_at_wellhead(self) -> float:
        """Pressure around the wellhead [Pa]: the sea's on the sea floor, else zero."""
        return situations.ambient_at_wellhead(self.well)

    # --- known moments ----------------------------------------------------------------------------------------------

    def shoe_depths(self, beyond: float = 0.0) -> list[tuple[float, str]]:
        """Return the depths of the shoe [m md], each with a name, at which to check the string while it is run.

        Parameters
        ----------
        beyond : float
            Only from this depth on, and first of all there [m md].
        """
        return shoe_depths(self.well, self.string, beyond)

    def running_state(self, *, shoe_at: float) -> State:
        """Return the string on its way down, hanging free, filled as the hole is."""
        return situations.running(self.well, self.string, shoe_at=shoe_at)

    def cemented_state(self) -> State:
        """Return the end of cementing, the string hanging free: the state the cement sets in."""
        return situations.cemented(self.well, self.string)

    # --- saying what happens ----------------------------------------------------------------------------------------

    def state(
        self,
        *,
        inside: Pressure,
        outside: Pressure,
        temperature: Temperature | None = None,
        held: bool = True,
        drilled_out: bool = False,
        shoe_at: float | None = None,
        event: Overpull | SuddenStop | None = None,
        friction: Friction | None = None,
        plug_at: float | None = None,
        wellhead_load: float | None = None,
    ) -> State:
        """Return a state of the string; see `State`."""
        return State(
            inside=inside,
            outside=outside,
            temperature=temperature,
            held=held,
            drilled_out=drilled_out,
            shoe_at=shoe_at,
            event=event,
            friction=friction,
            plug_at=plug_at,
            wellhead_load=wellhead_load,
        )

    def step(self, name: str, state: State) -> Step:
        """Return a step of this one string."""
        return Step(name=name, states={self.string.name: state})

    def load(self, *, name: str = "as stated", remarks: Sequence[Remark] = (), **state: Any) -> Load:
        """Return a load of one string and one step, held by the cement if it has set.

        Parameters
        ----------
        name : str
            Of the step.
        remarks : sequence of Remark
            For the reader.
        **state
            As for `state`: at least ``inside`` and ``outside``.
        """
        return Load(steps=(self.step(name, self.state(**state)),), remarks=tuple(remarks))
