"""Picking the points of a smooth curve so that the polyline through them stays within a chord error."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from foamwright.papers.drawing_box import Points, points_of

CHORD_ERROR = 0.01
"""Default distance between curve and polyline, millimetres: a fifteenth of the thinnest line drawn."""

Indices = npt.NDArray[np.intp]
Curve = Callable[[npt.NDArray[np.float64]], npt.ArrayLike]

_PROBES = np.array([0.25, 0.5, 0.75])
_MOST_HALVINGS = 16


def picked_points(curve: Curve, first: float, last: float, chord_error: float = CHORD_ERROR) -> Points:
    """Return points on `curve` whose polyline stays within `chord_error` of it.

    Parameters
    ----------
    curve
        Takes an array of parameters, shape (n,), returns points, shape (n, 2), millimetres.
    first, last
        Range of the parameter.
    chord_error
        Largest distance of the curve's quarter points from a chord, millimetres. Pieces are halved until
        it is met, at most 16 times (a kink is then missed by less than the range over 65536).

    Returns
    -------
    ndarray, shape (n, 2)
        The points in order, both ends included, read-only.
    """
    t = np.linspace(first, last, 17)
    for _ in range(_MOST_HALVINGS):
        coarse = _too_coarse(curve, t, chord_error)
        if not coarse.any():
            break
        t = np.sort(np.concatenate((t, (t[:-1] + t[1:])[coarse] / 2)))
    return points_of(curve(t))


def _too_coarse(curve: Curve, t: Points, chord_error: float) -> npt.NDArray[np.bool_]:
    """Tell for each piece whether a probe between its ends is further off the chord than allowed."""
    ends = np.asarray(curve(t), dtype=np.float64)
    inner = t[:-1, None] + np.diff(t)[:, None] * _PROBES
    probes = np.asarray(curve(inner.ravel()), dtype=np.float64).reshape(-1, len(_PROBES), 2)
    gaps = _distance_to_chords(probes, ends[:-1, None, :], ends[1:, None, :])
    return np.asarray(gaps.max(axis=1) > chord_error)


def _distance_to_chords(points: Points, starts: Points, ends: Points) -> Points:
    """Distance of points, shape (..., 2), from segments that broadcast against them."""
    along = ends - starts
    square = np.maximum((along**2).sum(axis=-1), 1e-300)
    share = np.clip(((points - starts) * along).sum(axis=-1) / square, 0.0, 1.0)
    off = points - starts - share[..., None] * along
    return np.asarray(np.hypot(off[..., 0], off[..., 1]))


def thinned_points(points: npt.ArrayLike, chord_error: float = CHORD_ERROR) -> Points:
    """Return the fewest-looking subset of `points` whose polyline stays within `chord_error` of the rest.

    Parameters
    ----------
    points
        A polyline, shape (n, 2), millimetres.
    chord_error
        Largest distance of a dropped point from the chord that replaces it, millimetres.

    Returns
    -------
    ndarray, shape (m, 2)
        A subset in order (farthest-point splitting, Douglas and Peucker 1973). Both ends and the outermost
        points are kept, so its box is that of `points` exactly.
    """
    rows = points_of(points)
    kept = np.unique([0, len(rows) - 1, *rows.argmin(axis=0), *rows.argmax(axis=0)])
    while len(more := _worst_between(rows, kept, chord_error)):
        kept = np.union1d(kept, more)
    return points_of(rows[kept])


def _worst_between(rows: Points, kept: Indices, chord_error: float) -> Indices:
    """The point farthest from its chord in every piece between kept points that is not yet close enough."""
    starts, ends = kept[:-1], kept[1:]
    piece = np.repeat(np.arange(len(starts)), ends - starts)
    gaps = _distance_to_chords(rows[:-1], rows[starts[piece]], rows[ends[piece]])
    worst = np.maximum.reduceat(gaps, starts)
    farthest = np.flatnonzero((gaps == worst[piece]) & (worst[piece] > chord_error))
    return farthest[np.unique(piece[farthest], return_index=True)[1]]
