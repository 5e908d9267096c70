"""What comes off a blank, place by place: depths on a grid over both faces, and lines of equal depth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.jobs.live_kept import Kept
from foamwright.jobs.live_planning import Pair, settled_at, solid_blank, solid_board
from foamwright.lay.profiles import stretched_shares, stretched_stations
from foamwright.shape.curves import Floats

ALONG, ACROSS = 153, 21
"""Stations along the board and places across its half-width."""


@dataclass(frozen=True, eq=False)
class Removal:
    """What comes off both faces of a blank, down to the finished core; metres.

    Attributes
    ----------
    x
        (N,) stations from the board's tail, crowding towards both tips.
    share
        (K,) shares of the half-width, crowding towards the rail.
    half_width
        (N,) half the outline.
    bottom, deck
        (N, K) heights of the finished core in the board's frame.
    bottom_off, deck_off
        (N, K) depths that come off.
    """

    x: Floats
    share: Floats
    half_width: Floats
    bottom: Floats
    deck: Floats
    bottom_off: Floats
    deck_off: Floats

    @property
    def y(self) -> Floats:
        """(N, K) distances from the stringer."""
        return np.asarray(self.half_width[:, None] * self.share)


def removal_at(pair: Pair, slide: float | None) -> Removal:
    """Return what comes off where the board lies at a slide (``None``: the best).

    Raises
    ------
    InputError
        The board or the blank cannot be made solid.
    """
    return _REMOVALS((pair, slide))


def _removal(key: tuple[Pair, float | None]) -> Removal:
    pair, slide = key
    board, blank = solid_board(pair.wanted), solid_blank(pair.offer)
    lay = settled_at(pair, slide).placed
    x = stretched_stations(board.length, ALONG)
    share = stretched_shares(ACROSS)
    half = np.maximum(board.half_width(x), 0.0)
    bottom, deck = board.bottom_at(x, share), board.deck_at(x, share)
    at = np.clip(x + lay.slide, 0.0, blank.length)
    line = lay.line(x)[:, None]
    crown = blank.dome(at)[:, None] * (half[:, None] * share) ** 2
    return Removal(
        x=x,
        share=share,
        half_width=half,
        bottom=bottom,
        deck=deck,
        bottom_off=np.maximum(line + bottom - blank.bottom(at)[:, None], 0.0),
        deck_off=np.maximum(blank.deck(at)[:, None] - crown - line - deck, 0.0),
    )


_REMOVALS = Kept(_removal, 16)

Points = NDArray[np.float64]


def level_lines(x: Floats, y: Floats, values: Floats, level: float) -> list[Points]:
    """Return the lines on which `values` equal `level`, each as (M, 2) points.

    Every cell of the grid is cut into two triangles, in each of which the values are a plane, so a line
    never branches.

    Parameters
    ----------
    x, y, values
        (N, K) places and what stands there.
    level
        The height of the lines.
    """
    n, k = values.shape
    index = np.arange(n * k).reshape(n, k)
    a, b, c, d = (part.ravel() for part in (index[:-1, :-1], index[1:, :-1], index[1:, 1:], index[:-1, 1:]))
    triangles = np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)])
    above = values.ravel()[triangles] > level
    cut = triangles[(above.any(axis=1)) & (~above.all(axis=1))]
    if not cut.size:
        return []
    edges = np.stack([cut, np.roll(cut, -1, axis=1)], axis=2)
    high = values.ravel()[edges] > level
    crossed = high[:, :, 0] != high[:, :, 1]
    pairs = np.sort(edges[crossed], axis=1)
    places = _crossings(pairs, (x.ravel(), y.ravel(), values.ravel()), level)
    names = pairs[:, 0] * (n * k) + pairs[:, 1]
    return _chained(names.reshape(-1, 2), places.reshape(-1, 2, 2))


def _crossings(pairs: NDArray[np.int64], field: tuple[Floats, Floats, Floats], level: float) -> Points:
    x, y, values = field
    low, high = values[pairs[:, 0]], values[pairs[:, 1]]
    part = (level - low) / (high - low)
    return np.stack(
        [axis[pairs[:, 0]] + part * (axis[pairs[:, 1]] - axis[pairs[:, 0]]) for axis in (x, y)], 1
    )


def _chained(names: NDArray[np.int64], places: Points) -> list[Points]:
    """Return segments joined end to end; `names` say which edge of the grid each end lies on."""
    ends: dict[int, list[int]] = {}
    point: dict[int, Points] = {}
    for number, (pair, both) in enumerate(zip(names.tolist(), places, strict=True)):
        for name, place in zip(pair, both, strict=True):
            ends.setdefault(name, []).append(number)
            point[name] = place
    free = set(range(len(names)))
    pairs = names.tolist()
    # Open lines are walked from an end, closed ones from anywhere.
    starts = [name for name, segments in ends.items() if len(segments) == 1]
    lines = []
    for start in [*starts, *(pair[0] for pair in pairs)]:
        line = _walk(start, ends, pairs, free)
        if len(line) > 1:
            lines.append(np.array([point[name] for name in line]))
    return lines


def _walk(
    start: int, ends: dict[int, list[int]], pairs: Sequence[Sequence[int]], free: set[int]
) -> list[int]:
    line = [start]
    while True:
        segment = next((one for one in ends[line[-1]] if one in free), None)
        if segment is None:
            return line
        free.discard(segment)
        first, second = pairs[segment]
        line.append(second if first == line[-1] else first)
