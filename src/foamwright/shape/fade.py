"""Fades: from nothing to full over a stretch, level at both ends."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from foamwright.shape.curves import Floats


def fade(share: ArrayLike, derivative: int = 0) -> Floats:
    """Return ``s^2 (3 - 2 s)`` (or a derivative by `s`, up to the second), 0 below 0 and 1 above 1."""
    s = np.asarray(share, dtype=float)
    within = np.clip(s, 0.0, 1.0)
    if derivative == 0:
        return np.asarray(within * within * (3.0 - 2.0 * within))
    slope = 6.0 * within * (1.0 - within) if derivative == 1 else 6.0 - 12.0 * within
    return np.asarray(np.where((s > 0.0) & (s < 1.0), slope, 0.0))
