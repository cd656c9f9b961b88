"""What a load case says: ordered steps, each with the state of one or several strings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from .pressure.columns import Pressure, Temperature
from .remark import Remark


@dataclass(frozen=True, kw_only=True)
class Overpull:
    """A pull beyond the string's weight, carried down to where it is stuck.

    Attributes
    ----------
    force : float
        [N].
    stuck_at : float or None
        Measured depth in the hole [m]; None means the shoe.
    """

    force: float
    stuck_at: float | None = None


@dataclass(frozen=True, kw_only=True)
class SuddenStop:
    """A string that is stopped at once while it moves: a wave of stress ``v sqrt(E rho)`` runs along it.

    Attributes
    ----------
    speed : float
        Greatest speed it has when it is stopped [m/s]; above the mean speed of a joint.
    reflected : bool
        Whether the wave is taken double, as where it is thrown back at a fixed end.
    """

    speed: float
    reflected: bool = False


@dataclass(frozen=True, kw_only=True)
class Friction:
    """Friction on a string that is moved.

    Attributes
    ----------
    cased, open_hole : float
        Coefficient inside earlier strings, and in open hole [-].
    moving : {"in", "out"}
        Into the hole or out of it.
    """

    cased: float
    open_hole: float
    moving: Literal["in", "out"] = "in"


@dataclass(frozen=True, kw_only=True)
class State:
    """Pressures, temperature and hold of one string in one step.

    Attributes
    ----------
    inside, outside : Pressure
        Columns, tables, or anything else that follows the protocol.
    temperature : Temperature or None
        Absolute temperature [K] against true vertical depth; None means undisturbed.
    held : bool
        True: hanger and set cement hold the string. False: it hangs free.
    drilled_out : bool
        Whether the shoe is open to the hole below. It counts only where cement does not reach the shoe: an open end
        has the inside pressure all around it, a closed one the outside pressure on its face.
    shoe_at : float or None
        Measured depth of the shoe while the string is run [m]; None means its final depth.
    event : Overpull, SuddenStop or None
        What acts besides, while it hangs free.
    friction : Friction or None
        While it hangs free and is moved; None means no drag.
    plug_at : float or None
        Measured depth of a plug inside, while it hangs free [m]; the inside pressure may jump there.
    wellhead_load : float or None
        Weight set on the top of a string that its cement holds and nothing else [N]: the top gives way until it
        carries just that. None: the hanger holds it.
    """

    inside: Pressure
    outside: Pressure
    temperature: Temperature | None = None
    held: bool = True
    drilled_out: bool = False
    shoe_at: float | None = None
    event: Overpull | SuddenStop | None = None
    friction: Friction | None = None
    plug_at: float | None = None
    wellhead_load: float | None = None

    def __post_init__(self) -> None:
        hanging = (self.event, self.shoe_at, self.friction, self.plug_at)
        if self.held and any(said is not None for said in hanging):
            raise ValueError("a string held by cement is at its final depth and cannot be moved; say held=False")
        if not self.held and self.wellhead_load is not None:
            raise ValueError("a wellhead load needs a string that its cement holds; say held=True")


@dataclass(frozen=True, kw_only=True)
class Step:
    """One moment of a load case: its name and the state of each string it concerns."""

    name: str
    states: Mapping[str, State]


@dataclass(frozen=True, kw_only=True)
class Load:
    """What a load case returns: its steps in order, and remarks for the reader (results on the way).

    Attributes
    ----------
    steps : tuple of Step
        In the order in which they happen.
    remarks : tuple of Remark
        For the reader.
    follows_yield : bool
        Whether cemented pipe that yields in one step keeps its strain in those after it; else force is elastic.
    """

    steps: tuple[Step, ...]
    remarks: tuple[Remark, ...] = ()
    follows_yield: bool = False

    def __post_init__(self) -> None:
        names = [step.name for step in self.steps]
        if not names:
            raise ValueError("a load needs at least one step")
        doubles = sorted({name for name in names if names.count(name) > 1})
        empty = [step.name for step in self.steps if not step.states]
        if empty:
            raise ValueError(f"step {empty[0]!r} gives no string a state")
        if doubles:
            raise ValueError(f"two steps are called {doubles[0]!r}; give each its own name")
