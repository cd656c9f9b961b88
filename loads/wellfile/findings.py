"""What reading a file brings to light on the way: problems, and the defaults used and choices made."""

from __future__ import annotations

from ..errors import Problem, key_path
from ..units import DIAMETER, LEVEL, Dimension, UnitSystem, show


class Findings:
    """Collects `problems` and `assumptions`; shows numbers in the units of the file's output.

    Parameters
    ----------
    system : {"metric", "field"}
        Units of the numbers in messages.
    """

    def __init__(self, system: UnitSystem = "metric") -> None:
        self.system = system
        self.problems: list[Problem] = []
        self._told: dict[str, list[str]] = {}

    def fault(self, message: str, *where: str | int) -> None:
        """Note a problem at a place, given as for `key_path`."""
        self.problems.append(Problem(key_path(*where), message))

    def assume(self, text: str, *, of: str = "") -> None:
        """Note a default used or a choice made, *of* a string or key; the same text is told once for all of them."""
        places = self._told.setdefault(text, [])
        if of and of not in places:
            places.append(of)

    @property
    def assumptions(self) -> list[str]:
        """What was assumed, in the order of the file."""
        return [f"{', '.join(places)}: {text}" if places else text for text, places in self._told.items()]

    def shown(self, value: float, dimension: Dimension) -> str:
        """Return an SI value with its unit."""
        return show(value, dimension, self.system)

    def depth(self, value: float) -> str:
        """Return a depth [m] with its unit."""
        return show(value, LEVEL, self.system)

    def size(self, value: float) -> str:
        """Return a diameter [m] in both systems, since bits are called in inches everywhere."""
        return f"{show(value, DIAMETER)} ({show(value, DIAMETER, 'field')})"
