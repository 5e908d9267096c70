"""Rail curves as conics: two end points, their tangents, and one fullness.

The curve is the rational quadratic ``((1-q)^2 P0 + 2 q (1-q) w P1 + q^2 P2) / (...)`` whose middle weight
is ``w = rho / (1 - rho)`` for the fullness ``rho``: 1/2 is a parabola, ``sqrt(2) - 1`` a quarter of an
ellipse, towards 1 a corner. It ends upright, so that it is a function of how far it still has to go outwards,
in closed form.

Source: R. A. Liming, Practical Analytic Geometry with Applications to Aircraft, 1944 (conics by their
shoulder point).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from foamwright.shape.curves import Floats

PARABOLA = 0.5
ELLIPSE = np.sqrt(2.0) - 1.0
"""Fullness of a parabola, and of a quarter of an ellipse."""


def middle_weight(fullness: ArrayLike) -> Floats:
    """Return the weight of the corner for a fullness in 0..1 (both exclusive)."""
    rho = np.asarray(fullness, dtype=float)
    return np.asarray(rho / (1.0 - rho))


def conic_shares(left: ArrayLike, fullness: ArrayLike) -> tuple[Floats, Floats]:
    """Return how much of the corner and of the upright end are in the curve's point.

    Parameters
    ----------
    left
        Root of the share of the way outwards that is left, 1 (beginning) to 0 (upright end); any shape.
        In it the curve is smooth up to its upright end.
    fullness
        0..1, broadcast with `left`.

    Returns
    -------
    corner, end
        Weights of the second and the third point; the first has ``left**2``.
    """
    m, w = np.asarray(left, dtype=float), middle_weight(fullness)
    run = np.sqrt(1.0 + (w * w - 1.0) * m * m) - w * m
    return np.asarray(2.0 * w * m * run), np.asarray(run * run)


def conic_left(share: Floats, span: Floats) -> Floats:
    """Return the root of what is left of a curve over the last `span` before 1, at `share`.

    Parameters
    ----------
    share
        Place outwards, 0 to 1.
    span
        Share that the curve takes, broadcast with `share`; 0 is an upright wall, which lies at its
        beginning wherever it is read.
    """
    wide = np.maximum(span, 1e-300)
    return np.asarray(np.where(span > 0.0, np.sqrt(np.clip((1.0 - share) / wide, 0.0, 1.0)), 1.0))


def conic_from(points: Floats, weight: Floats, left: Floats) -> tuple[Floats, Floats]:
    """Return what remains of conics from a place on them to their upright end: a conic again.

    Parameters
    ----------
    points
        (N, 3, 2) end, corner and upright end; the distance outwards stands first.
    weight
        (N,) of the corner; the ends have 1.
    left
        (N,) root of the share of the way outwards that is left.

    Returns
    -------
    points, weight
        Likewise (de Casteljau on weighted points; the weights of the ends are brought back to 1 by moving
        along the curve at another pace).
    """
    whole = np.maximum(left, 1e-12)
    pace = np.sqrt(weight**2 - 1.0 + 1.0 / whole**2) - weight
    q = (pace / (1.0 + pace))[:, None]
    weights = np.stack([np.ones_like(weight), weight, np.ones_like(weight)], axis=1)[:, :, None]
    heavy = np.concatenate([points * weights, weights], axis=2)
    first = (1.0 - q) * heavy[:, 0] + q * heavy[:, 1]
    corner = (1.0 - q) * heavy[:, 1] + q * heavy[:, 2]
    start = (1.0 - q) * first + q * corner
    cut = np.stack([start, corner, heavy[:, 2]], axis=1)
    return cut[:, :, :2] / cut[:, :, 2:], corner[:, 2] / np.sqrt(start[:, 2])
