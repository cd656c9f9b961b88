"""The desk page of ratings: a table for the terminal, rounded as rating tables are, and CSV, which is not.

`casingloads.rating` works the ratings out.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from .catalogrow import as_pounds, as_size
from .listing import WIDTH
from .notes import CAUTIONS
from .rating import CONNECTIONS
from .units import DIAMETER, FORCE, FRACTION, LINEAR_MASS, PRESSURE, Dimension, UnitSystem, show, shown

if TYPE_CHECKING:
    import pandas as pd

MOST_NOTES = 20  # as many as can be read below a table; of more, only their number is told
NAME, SIGNS, BODY, JOINT, INSIDE = 8, 2, 8, 8, 8  # [characters] of columns; a long name of a grade is cut to NAME
_STEPS = {("field", "psi"): 10.0, ("field", "klbf"): 1.0, ("metric", "MPa"): 0.1, ("metric", "kN"): 1.0}
_TITLES = {"stc": "STC", "ltc": "LTC", "btc": "BTC", "btc_special": "BTC special"}
_LETTERS = {"fracture": "f", "pull-out": "p", "coupling": "c", "leak": "l", "pipe body": ""}
