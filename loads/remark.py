"""Sentences with quantities in them, for the reader, in the reader's units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from .units import Dimension, UnitSystem, show


@dataclass(frozen=True)
class Remark:
    """A sentence for the reader with quantities in it, shown in the reader's units.

    Attributes
    ----------
    template : str
        With a place in braces for each quantity: ``"mud level at {level}"``.
    values : mapping
        SI value and dimension by name.

    Examples
    --------
    >>> from casingloads.units import LENGTH
    >>> Remark("mud level at {level}", {"level": (1209.04, LENGTH)}).text("field")
    'mud level at 3967 ft'
    """

    template: str
    values: Mapping[str, tuple[float, Dimension]] = field(default_factory=dict)

    def text(self, system: UnitSystem = "metric") -> str:
        """Return the sentence in one unit system."""
        return self.template.format(
            **{name: show(value, dimension, system) for name, (value, dimension) in self.values.items()}
        )

    def after(self, text: str) -> Remark:
        """Return the sentence with *text*, taken to the letter, before it.

        Examples
        --------
        >>> Remark("mud level").after("a {label}: ").text()
        'a {label}: mud level'
        """
        return replace(self, template=text.replace("{", "{{").replace("}", "}}") + self.template)
