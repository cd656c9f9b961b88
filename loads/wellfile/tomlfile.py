"""The text of a well file: TOML read into plain data, with limits on what only a slip or a joke would write."""

from __future__ import annotations

import hashlib
import re
import tomllib
from pathlib import Path
from typing import Any

from ..errors import InputError, Problem

LARGEST = 1_000_000
"""Bytes of a well file; a survey of thousands of stations still fits."""
DEEPEST = 12
"""Tables and lists within one another; a well file has six."""
_LARGEST_INTEGER = 2**63 - 1  # as TOML says
_LONG_DOTTED_KEY = re.compile(r"(?:\.[ \t]*(?:[\w-]{1,64}|\"[^\"\n]{0,64}\"|'[^'\n]{0,64}')[ \t]*){32}")


def read_toml(path: Path) -> tuple[dict[str, Any], str]:
    """Return the data of a TOML file and the SHA-256 of its bytes.

    Raises
    ------
    InputError
        If the file cannot be read, or is no TOML.
    """
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _wrong(path, f"cannot be read: {reason}; give the path of a well file") from None
    if len(content) > LARGEST:
        raise _wrong(path, f"is larger than {LARGEST / 1e6:g} MB; a long survey stands in a file of its own")
    return _parsed(path, content), hashlib.sha256(content).hexdigest()


def _parsed(path: Path, content: bytes) -> dict[str, Any]:
    try:
        text = content.decode("utf-8-sig")
        if _LONG_DOTTED_KEY.search(text):
            raise _wrong(path, "is not a well file: a key of more than 32 parts")
        data = tomllib.loads(text)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise _wrong(path, f"is not UTF-8 text (line {line}, byte {error.start}); save it as UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise _wrong(path, f"is not valid TOML: {error}") from None
    except RecursionError:
        raise _wrong(path, "is not a well file: tables nested too deep") from None
    except InputError:
        raise
    except ValueError:
        raise _wrong(path, "is not valid TOML: a number of thousands of digits") from None
    _check_plain(path, data)
    return data


def _check_plain(path: Path, data: dict[str, Any]) -> None:
    """Refuse what no key of a well file takes and messages could not show: deep nesting, integers beyond 64 bits."""
    level: list[object] = [data]
    for _ in range(DEEPEST):
        inner: list[object] = []
        for item in level:
            parts = item.values() if isinstance(item, dict) else item if isinstance(item, list) else ()
            inner.extend(parts)
            if isinstance(item, int) and abs(item) > _LARGEST_INTEGER:
                raise _wrong(path, "is not valid TOML: a whole number of more than 64 bits")
        level = inner
    if level:
        raise _wrong(path, f"is not a well file: tables nested more than {DEEPEST} deep")


def _wrong(path: Path, message: str) -> InputError:
    return InputError([Problem("", message)], str(path))
