"""Faults of one table in our words: dotted key, value found, what is accepted; and the rest of the table, to go on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Generic, NamedTuple, TypeVar

from pydantic import TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from ..errors import Problem, key_path, near_miss, spelled
from .entries import UNKNOWN, Entry
from .schema import TableModel

T = TypeVar("T")
Place = tuple[int | str, ...]
MOST_TOLD = 200
"""Problems of one table that are told; nobody reads more at a time."""
_ROUNDS = 8  # of reading again; a table nests less deep


class Validated(NamedTuple, Generic[T]):
    """A value, None where nothing could be saved, and what is wrong with it."""

    value: T | None
    problems: list[Problem]


def validated(
    adapter: TypeAdapter[T], raw: Any, where: Sequence[str | int], model: type[TableModel] | None = None
) -> Validated[T]:
    """Return *raw* as the adapter's type, and what is wrong with it.

    Values that are wrong are read as unknown (`Entry`), so that one fault does not hide those of other tables.

    Parameters
    ----------
    adapter : TypeAdapter
        Of the type wanted.
    raw : object
        As the file holds it.
    where : sequence of str or int
        Its place in the file, as for `key_path`.
    model : type, optional
        The table model of the type, whose keys are suggested for misspelt ones.

    Returns
    -------
    Validated
        Without problems if all is well.
    """
    problems: list[Problem] = []
    for reading in range(_ROUNDS):
        try:
            return Validated(adapter.validate_python(raw), problems)
        except ValidationError as error:
            faults = error.errors(include_url=False)
        if reading == 0:
            problems = [_problem(where, fault, model) for fault in faults[:MOST_TOLD]]
            if len(faults) > MOST_TOLD:
                problems.append(Problem(key_path(*where), f"and {len(faults) - MOST_TOLD} more problems"))
        raw = _copied(raw)
        for fault in faults:
            raw = _saved(raw, _place(fault), "key" if fault["loc"][-1:] == ("[key]",) else fault["type"])
    return Validated(None, problems)


def _place(fault: Any) -> Place:
    """Return where a fault is; the validator's own marks are left out."""
    return tuple(part for part in fault["loc"] if part not in ("[key]", "<text>", "<table>"))


def _problem(where: Sequence[str | int], fault: Any, model: type[TableModel] | None) -> Problem:
    place, kind, found = _place(fault), fault["type"], fault.get("input")
    key = key_path(*where, *(part + 1 if isinstance(part, int) else part for part in place))
    if kind == "value_error":
        return Problem(key, str(fault["ctx"]["error"]))
    if kind == "missing":
        field = _field(model, place)
        return Problem(key, f"missing; need {_accepted(field)}")
    if kind == "extra_forbidden":
        siblings = sorted(_fields(_model_at(model, place[:-1])))
        return Problem(key, f"is not known; {near_miss(str(place[-1]), siblings)}")
    if kind == "literal_error":
        words = _literals(_field(model, place))
        return Problem(key, f"{spelled(found)} is not accepted; {near_miss(str(found), words)}")
    wanted = {
        "bool_type": "true or false",
        "list_type": "a list in brackets",
        "dict_type": "a table",
        "model_type": "a table",
        "union_tag_not_found": "text in quotes, or a table",
    }.get(kind, str(fault["msg"]))
    return Problem(key, f"{spelled(found)} is not accepted; need {wanted}")


def _saved(raw: Any, place: Place, kind: str) -> Any:
    """Return *raw*, changed so that the value at *place* will pass: left out, an empty table, or unknown."""
    if not place:
        return {} if kind in ("dict_type", "model_type") else UNKNOWN
    *outer, last = place
    table = raw
    for part in outer:
        if isinstance(table, dict) and part not in table:
            return raw  # left out already, for its name
        table = table[part]
    if kind in ("key", "extra_forbidden", "literal_error", "bool_type", "union_tag_not_found"):
        table.pop(last, None)
    elif kind == "missing" or isinstance(table, list) or last in table:
        table[last] = {} if kind in ("dict_type", "model_type") else UNKNOWN
    return raw


def _copied(raw: Any) -> Any:
    """Return a copy of tables and lists, with the values themselves in it."""
    if isinstance(raw, dict):
        return {key: _copied(value) for key, value in raw.items()}
    return [_copied(value) for value in raw] if isinstance(raw, list) else raw


# --- what a table model says of a place -------------------------------------------------------------------------------


def _model_at(model: type[TableModel] | None, place: Place) -> type[TableModel] | None:
    for part in place:
        if isinstance(part, str):
            field = _fields(model).get(part)
            model = None if field is None else next(_models(field.annotation), None)
    return model


def _field(model: type[TableModel] | None, place: Place) -> FieldInfo | None:
    return _fields(_model_at(model, place[:-1])).get(str(place[-1]))


def _fields(model: type[TableModel] | None) -> dict[str, FieldInfo]:
    if model is None:
        return {}
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _models(annotation: Any) -> Iterator[type[TableModel]]:
    """Yield the table models within an annotation such as ``list[X]`` or ``X | None``."""
    if isinstance(annotation, type) and issubclass(annotation, TableModel):
        yield annotation
    for part in getattr(annotation, "__args__", ()):
        yield from _models(part)


def _literals(field: FieldInfo | None) -> list[str]:
    """Return the words of a ``Literal``, as a file spells them."""
    found: list[str] = []
    parts = [field.annotation] if field is not None else []
    while parts:
        part = parts.pop()
        if isinstance(part, str | bool):
            found.append(part if isinstance(part, str) else spelled(part))
        else:
            parts.extend(getattr(part, "__args__", ()))
    return found


def _accepted(field: FieldInfo | None) -> str:
    """Return what to write for a key."""
    if field is None:
        return "a value"
    words = [item.words for item in field.metadata if isinstance(item, Entry)]
    kind = words[0] if words else "a list"
    article = "" if kind.startswith(("a ", "the ")) else f"{'an' if kind[0] in 'aeiou' else 'a'} "
    return f"{article}{kind}" + (f" ({field.description})" if field.description else "")
