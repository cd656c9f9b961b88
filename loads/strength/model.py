"""How a strength model is written: a function of the pipe and what acts on it, a mode, a source, parameters."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from ..parameters import Known, Parameter, parameters_of, read_parameters
from .check import Check, Loading, Mode, Tube


@dataclass(frozen=True, kw_only=True)
class StrengthModel:
    """A strength model that a well file can ask for by name.

    Attributes
    ----------
    name : str
        As in files.
    mode : str
        Which mode it checks.
    source : str
        Standard and clause, or textbook.
    function : callable
        ``function(tube, loading, **parameters) -> Check``.
    parameters : tuple of Parameter
        In the order of the function.
    summary : str
        First line of the docstring.
    """

    name: str
    mode: Mode
    source: str
    function: Callable[..., Check]
    parameters: tuple[Parameter, ...]
    summary: str

    @cached_property
    def defaults(self) -> Mapping[str, Any]:
        """The parameters that may be left out, in SI."""
        return read_parameters(self, {}, Known())[0]


@dataclass(frozen=True, kw_only=True)
class ChosenModel:
    """A strength model with its parameters in SI; those left out have their default."""

    model: StrengthModel
    parameters: Mapping[str, Any] = field(default_factory=dict)

    def check(self, tube: Tube, loading: Loading) -> Check:
        """Return the check at each place."""
        return self.model.function(tube, loading, **{**self.model.defaults, **self.parameters})


def strength_model(
    *, mode: Mode, source: str, name: str | None = None
) -> Callable[[Callable[..., Check]], StrengthModel]:
    """Make a strength model of a function.

    Parameters
    ----------
    mode : {"burst", "collapse", "tension", "compression", "triaxial"}
        Which mode it checks.
    source : str
        Standard and clause, or textbook.
    name : str, optional
        Its name in files; by default the function's, with ``-`` for ``_``.

    Returns
    -------
    callable
        A decorator that returns the `StrengthModel`.

    Raises
    ------
    TypeError
        When the function has no docstring, or a parameter whose annotation is not understood.
    """

    def decorate(function: Callable[..., Check]) -> StrengthModel:
        parameters = parameters_of(function, positional=2)
        return StrengthModel(
            name=name or function.__name__.replace("_", "-"),
            mode=mode,
            source=source,
            function=function,
            parameters=parameters,
            summary=(inspect.getdoc(function) or "").splitlines()[0],
        )

    return decorate
