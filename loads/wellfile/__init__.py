"""Reading a well file: text to a `Well`, with every problem of the file told at once."""

from .reader import read_well
from .schema import json_schema

__all__ = ["json_schema", "read_well"]
