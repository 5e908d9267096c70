"""Lamé curves (superellipses) ``|x|^n + |y|^n = 1``: heights, areas; ``n = inf`` is the square, exactly."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gamma

from foamwright.shape.curves import Floats

HARD = 1e-6
"""Inverse exponents below this are the hard edge itself (exponent above a million)."""


def lame_height(share: ArrayLike, inverse: ArrayLike) -> Floats:
    """Return ``(1 - share^n)^(1/n)`` for ``n = 1/inverse``.

    Parameters
    ----------
    share
        Position across, 0 (middle) to 1 (edge); any shape.
    inverse
        Inverse exponent ``1/n`` >= 0, broadcast with `share`; 0 gives 1 up to and including the edge.
    """
    across, turned = np.broadcast_arrays(
        np.clip(np.asarray(share, float), 0.0, 1.0), np.asarray(inverse, float)
    )
    soft = np.maximum(turned, HARD)
    with np.errstate(under="ignore"):
        heights = (1.0 - across ** (1.0 / soft)) ** soft
    return np.where(turned < HARD, 1.0, heights)


def lame_quarter_area(exponent: ArrayLike) -> Floats:
    """Return the area of a unit quarter Lamé curve, ``Gamma(1+1/n)^2 / Gamma(1+2/n)``; 1 for ``n = inf``.

    Source: the superellipse area formula, ``4 a b Gamma(1+1/n)^2 / Gamma(1+2/n)`` for the whole curve.
    """
    inverse = 1.0 / np.asarray(exponent, float)
    return np.asarray(gamma(1.0 + inverse) ** 2 / gamma(1.0 + 2.0 * inverse))
