"""Names for the arrays used throughout; the last axis is always the stations along a string."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]
Array: TypeAlias = Any  # a float array or a numpy scalar: what a ufunc returns for the inputs given
ArrayLike: TypeAlias = npt.ArrayLike
Sampled: TypeAlias = float | Floats  # one number, or one for each sample: shape (samples, 1)
Bools: TypeAlias = npt.NDArray[np.bool_]
Ints: TypeAlias = npt.NDArray[np.intp]
