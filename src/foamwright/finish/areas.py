"""Areas and lengths of a core's skin: bottom, deck, the way round the edge, the way across."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foamwright.board.board import Board
from foamwright.shape.curves import Floats
from foamwright.shape.solid import surface_area

HeightField = Callable[[Floats, Floats], Floats]

AROUND = 4000
"""Points of the polyline round the outline; its length is then right to a millionth."""

STATIONS, ACROSS = 80, 200


@dataclass(frozen=True, slots=True)
class Skin:
    """A core's skin.

    Attributes
    ----------
    bottom, deck
        m2 of each face, from the stringer to the rail's apex on both sides.
    walls
        m2 that belong to neither: upright edges and the ends of blocked tails.
    around
        Metres round the outline.
    across_bottom, across_deck
        Metres over each face from rail to rail where that is widest.
    along
        Metres along the bottom's stringer.
    stringer
        m2 of the stringer's profile, where there is foam.
    """

    bottom: float
    deck: float
    walls: float
    around: float
    across_bottom: float
    across_deck: float
    along: float
    stringer: float

    @property
    def area(self) -> float:
        """All of the surface, m2."""
        return self.bottom + self.deck + self.walls


class _OneFace:
    """A solid of no thickness, both of whose faces are one face of a board."""

    def __init__(self, board: Board, face: HeightField) -> None:
        self.panels, self.half_width, self.inner = board.panels, board.half_width, board.inner
        self.core, self.kinks = board.core, board.kinks
        self.bottom_at = self.deck_at = face


def skin_of(board: Board) -> Skin:
    """Return the areas and lengths of a core's skin."""
    bottom = surface_area(_OneFace(board, board.bottom_at)) / 2.0
    deck = surface_area(_OneFace(board, board.deck_at)) / 2.0
    x, weight = _gauss(board)
    return Skin(
        bottom=bottom,
        deck=deck,
        walls=max(surface_area(board) - bottom - deck, 0.0),
        around=_around(board),
        across_bottom=_widest(board, board.bottom_at),
        across_deck=_widest(board, board.deck_at),
        along=float(weight @ np.hypot(1.0, board.rocker(x, 1))),
        stringer=float(weight @ board.thickness(x)),
    )


def _gauss(board: Board) -> tuple[Floats, Floats]:
    """Nodes and weights along the stringer, which there is not in a notch."""
    nodes, weights = np.polynomial.legendre.leggauss(64)
    start = board.outline.spine
    half = (board.length - start) / 2.0
    return start + half * (nodes + 1.0), half * weights


def _around(board: Board) -> float:
    """Return the length of the outline: both sides, the block of the tail, the edges of its notches."""
    outline, tip = board.outline, np.array([board.outline.start])
    spans = [(board.half_width, outline.start, board.length)]
    if outline.foot > 0.0:
        last = float(np.nextafter(outline.foot, 0.0))
        spans.append((board.inner, outline.start, last))
        spans += [(board.core, outline.spine, last)] if outline.spine < last else []
    block = float(board.half_width(tip)[0] - board.inner(tip)[0])
    return 2.0 * (block + sum(_way(edge, first, last) for edge, first, last in spans))


def _way(edge: Callable[[Floats], Floats], first: float, last: float) -> float:
    """Return the length of an edge between two stations, where its points crowd."""
    x = first + (last - first) * 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, AROUND)))
    x[0], x[-1] = first, last
    return float(np.sum(np.hypot(np.diff(x), np.diff(edge(x)))))


def _widest(board: Board, face: HeightField) -> float:
    """Return the greatest length over a face from rail to rail."""
    x = np.linspace(0.0, board.length, STATIONS + 2)[1:-1]
    share = 1.0 - (1.0 - np.linspace(0.0, 1.0, ACROSS)) ** 4
    y, z = share * board.half_width(x)[:, None], face(x, np.broadcast_to(share, (x.size, ACROSS)))
    return 2.0 * float(np.max(np.sum(np.hypot(np.diff(y), np.diff(z)), axis=1)))
