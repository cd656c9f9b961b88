"""How a load case is written: a function, its phase and source, and parameters (see `casingloads.parameters`)."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from .parameters import Parameter, parameters_of
from .state import Load

if TYPE_CHECKING:
    from .scene import Scene

Phase = Literal["installation", "drilling", "production", "other"]
Scope = Literal["string", "well"]


@dataclass(frozen=True, kw_only=True)
class LoadCase:
    """A load case that a well file can ask for by name.

    Attributes
    ----------
    name : str
        As in files: ``lost-returns``.
    function : callable
        ``function(scene, **parameters) -> Load``.
    phase : str
        Of the well's life.
    source : str
        Standard, textbook or instruction it follows.
    scope : {"string", "well"}
        Whether it stands under one string, or concerns several.
    assumptions : tuple of str
        Shown in every output that holds the case.
    parameters : tuple of Parameter
        In the order of the function.
    summary : str
        First line of the docstring.
    one_of : tuple of tuple of str
        Groups of parameters of which a file must give exactly one.
    applies : callable or None
        ``applies(scene)`` says why the case does not concern a string, or nothing where it does; None: always.
    """

    name: str
    function: Callable[..., Load]
    phase: str
    source: str
    scope: Scope
    assumptions: tuple[str, ...]
    parameters: tuple[Parameter, ...]
    summary: str
    one_of: tuple[tuple[str, ...], ...] = ()
    applies: Callable[[Scene], str] | None = None

    def __call__(self, scene: Scene, **parameters: Any) -> Load:
        """Return the load; parameters in SI, as the function takes them."""
        return self.function(scene, **parameters)


def load_case(
    *,
    phase: Phase,
    source: str,
    scope: Scope = "string",
    assumptions: Sequence[str] = (),
    one_of: Sequence[tuple[str, ...]] = (),
    applies: Callable[[Scene], str] | None = None,
) -> Callable[[Callable[..., Load]], LoadCase]:
    """Make a load case of a function.

    Parameters
    ----------
    phase : {"installation", "drilling", "production", "other"}
        Of the well's life.
    source : str
        Where the construction comes from; ``common practice, no source`` where there is none.
    scope : {"string", "well"}
        ``"well"`` for a case that concerns several strings and stands under ``[cases.LABEL]``.
    assumptions : sequence of str
        What the reader of its results must know.
    one_of : sequence of tuple of str
        Groups of parameters of which a file must give exactly one; each of them is optional by itself.
    applies : callable, optional
        ``applies(scene)`` returns why the case does not concern this string, in plain words, or an empty text where it
        does. It is asked where a well file wants all cases that apply; left out, the case always does.

    Returns
    -------
    callable
        A decorator that returns the `LoadCase`. The function's name, with ``-`` for ``_``, is the case's name.

    Raises
    ------
    TypeError
        When the function has no docstring, or a parameter whose annotation is not understood.
    """

    def decorate(function: Callable[..., Load]) -> LoadCase:
        parameters = parameters_of(function, positional=1)
        return LoadCase(
            name=function.__name__.replace("_", "-"),
            function=function,
            phase=phase,
            source=source,
            scope=scope,
            assumptions=tuple(assumptions),
            parameters=parameters,
            summary=(inspect.getdoc(function) or "").splitlines()[0],
            one_of=tuple(one_of),
            applies=applies,
        )

    return decorate
