"""Whether two objects of any kind hold the same: dataclasses, arrays, mappings, and what strangers make."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np


def difference(first: Any, second: Any, where: str = "") -> str:
    """Return the dotted place of the first difference of two objects; an empty text if they hold the same.

    Functions and other objects whose inside cannot be seen count as the same if they are of one class.

    Examples
    --------
    >>> difference({"a": [1.0, 2.0]}, {"a": [1.0, 3.0]})
    'a[1]'
    """
    return next(_differences(first, second, where), "")


def _differences(first: Any, second: Any, where: str) -> Iterator[str]:
    here = where or "the object"
    if first is second:
        return
    if type(first) is not type(second):
        yield here
    elif is_dataclass(first):
        for item in fields(first):
            at = f"{where}.{item.name}" if where else item.name
            yield from _differences(getattr(first, item.name), getattr(second, item.name), at)
    elif isinstance(first, np.ndarray):
        if first.shape != second.shape or not _same_values(first, second):
            yield here
    elif isinstance(first, Mapping):
        if list(first) != list(second):
            yield here
            return
        for key in first:
            yield from _differences(first[key], second[key], f"{where}.{key}" if where else str(key))
    elif isinstance(first, list | tuple):
        if len(first) != len(second):
            yield here
            return
        for i, (one, other) in enumerate(zip(first, second, strict=True)):
            yield from _differences(one, other, f"{where}[{i}]")
    elif isinstance(first, bool | int | float | str | complex | np.generic):
        if first != second and not (first != first and second != second):
            yield here
    elif hasattr(first, "__dict__") and not callable(first):
        yield from _differences(vars(first), vars(second), where)


def _same_values(first: Any, second: Any) -> bool:
    numbers = first.dtype.kind in "fc" and second.dtype.kind in "fc"
    return bool(np.array_equal(first, second, equal_nan=numbers))
