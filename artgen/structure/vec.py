"""Arrays of coordinates, for the modules that reckon with numpy; apart, so that others need not load it."""

import numpy as np
from numpy.typing import NDArray

Vec = NDArray[np.float64]
