"""Array types: one name for each kind of array, whatever it holds."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Small = npt.NDArray[np.int16]
Bools = npt.NDArray[np.bool_]
Floats = npt.NDArray[np.float64]
