"""A bound of planing that only the trials use: the sole rides on the face as it was before the stroke."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.planing import support_at

Array = NDArray[np.float64]


@compiled
def bridging_stroke(heights: Array, first: int, last: int, sole: tuple[float, float], chip: float) -> None:
    """Make one stroke with the whole sole on the uncut face; parameters as in `planing.heel_stroke`."""
    before = heights.copy()
    tip = float(heights.shape[0] - 1)
    for i in range(max(first, 0), min(last, heights.shape[0])):
        line = before[i]
        begin, end = max(i - sole[0], 0.0), min(i + sole[1], tip)
        if begin < i < end:
            line = support_at(before, i, begin, end)
        heights[i] = min(heights[i], line - chip)
