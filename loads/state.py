"""What a load case says: ordered steps, each with the state of one or several strings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .columns import Pressure, Temperature
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
    event : Overpull or None
        What acts besides.
    """

    inside: Pressure
    outside: Pressure
    temperature: Temperature | None = None
    held: bool = True
    drilled_out: bool = False
    shoe_at: float | None = None
    event: Overpull | None = None

    def __post_init__(self) -> None:
        if self.held and (self.event is not None or self.shoe_at is not None):
            raise ValueError("a string held by cement is at its final depth and cannot be pulled; say held=False")


@dataclass(frozen=True, kw_only=True)
class Step:
    """One moment of a load case: its name and the state of each string it concerns."""

    name: str
    states: Mapping[str, State]


@dataclass(frozen=True, kw_only=True)
class Load:
    """What a load case returns: its steps in order, and remarks for the reader (results on the way)."""

    steps: tuple[Step, ...]
    remarks: tuple[Remark, ...] = ()

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
