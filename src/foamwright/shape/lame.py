"""Lamé curves (superellipses) ``|x|^n + |y|^n = 1``: heights, areas; ``n = inf`` is the square, exactly."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

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


def lame_point(angle: ArrayLike, inverse: ArrayLike) -> tuple[Floats, Floats]:
    """Return the point of the unit Lamé curve in a direction, as ``(across, height)``.

    Unlike heights over shares, points by direction lose no digits at the edge, whatever the exponent.

    Parameters
    ----------
    angle
        Direction, 0 (the edge) to pi/2 (the middle), radians; any shape.
    inverse
        Inverse exponent ``1/n`` >= 0, broadcast with `angle`; 0 gives the unit square.
    """
    across, height = np.cos(angle), np.sin(angle)
    long, short = np.maximum(across, height), np.minimum(across, height)
    soft = np.maximum(np.asarray(inverse, float), HARD)
    with np.errstate(under="ignore"):
        reach = (1.0 + (short / long) ** (1.0 / soft)) ** -soft / long
    reach = np.where(np.asarray(inverse) < HARD, 1.0 / long, reach)
    return np.asarray(reach * across), np.asarray(reach * height)


def lame_angle(share: ArrayLike, inverse: ArrayLike) -> Floats:
    """Return the direction in which the unit Lamé curve is at a share of its half-width, radians."""
    return np.arctan2(lame_height(share, inverse), share)


def lame_quarter_area(exponent: ArrayLike) -> Floats:
    """Return the area of a unit quarter Lamé curve, ``Gamma(1+1/n)^2 / Gamma(1+2/n)``; 1 for ``n = inf``.

    Source: the superellipse area formula, ``4 a b Gamma(1+1/n)^2 / Gamma(1+2/n)`` for the whole curve.
    """
    inverse = 1.0 / np.asarray(exponent, float)
    gamma = np.vectorize(math.gamma, otypes=[float])
    return np.asarray(gamma(1.0 + inverse) ** 2 / gamma(1.0 + 2.0 * inverse))
