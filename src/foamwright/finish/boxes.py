"""Fin boxes in the board: where their corners come out, and the foam that stays above each."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

import numpy as np

from foamwright.board.board import Board
from foamwright.board.numbers import FinMark
from foamwright.errors import InputError, Problem
from foamwright.shape.curves import Floats
from foamwright.units import System, format_with_unit

CORNERS = ("rear inner", "rear outer", "front inner", "front outer")


THICKER = 1e-4
"""Metres over which it is seen how foam grows with thickness: it is linear there."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of a box.

    Attributes
    ----------
    name
        Rear or front, inner or outer.
    rim
        (x, y) where it opens in the bottom, metres.
    floor
        (x, y, z) of its deep end.
    above
        Foam between the deep end and the deck, straight up, metres (negative: it comes through).
    lifts
        How much that grows for each metre that the stringer's thickness grows there.
    """

    name: str
    rim: tuple[float, float]
    floor: tuple[float, float, float]
    above: float
    lifts: float


@dataclass(frozen=True, slots=True)
class BoxFit:
    """A box and what is around it.

    Attributes
    ----------
    fin
        The box.
    corners
        All four.
    front
        (x, y) of the middle of its front end; its rear end is the fin mark itself.
    """

    fin: FinMark
    corners: tuple[Corner, ...]
    front: tuple[float, float]

    @property
    def worst(self) -> Corner:
        """The corner with the least foam above it."""
        return min(self.corners, key=lambda corner: corner.above)

    @property
    def spare(self) -> float:
        """Foam above the worst corner beyond what must remain, metres (negative: too little)."""
        return self.worst.above - self.fin.cover

    @property
    def thicken(self) -> float:
        """Least that the board's thickness must grow so that enough remains above every corner, metres."""
        short = [(self.fin.cover - corner.above) / corner.lifts for corner in self.corners]
        return max(0.0, *short)


def box_fits(board: Board, system: System = System.INCH) -> tuple[BoxFit, ...]:
    """Return every fin box of a board with the foam above its corners.

    Raises
    ------
    InputError
        A box lies (partly) outside the outline: which corner, and by how much.
    """
    fits = tuple(_fit(board, fin) for fin in board.numbers.fins)
    problems = [problem for fit in fits for problem in _outside(board, fit, system)]
    if problems:
        raise InputError(problems)
    return fits


def _fit(board: Board, fin: FinMark) -> BoxFit:
    forward, outward = _ways(fin)
    rear = np.array([fin.x, fin.y])
    front = rear + fin.box_length * forward
    corners = []
    for name, end in zip(CORNERS, (rear, rear, front, front), strict=True):
        side = 1.0 if name.endswith("outer") else -1.0
        corners.append(_corner(board, fin, name, end + side * 0.5 * fin.box_width * cos(fin.cant) * outward))
    return BoxFit(fin, tuple(corners), (float(front[0]), float(front[1])))


def _ways(fin: FinMark) -> tuple[Floats, Floats]:
    """Return the unit vectors forward along a box and outward across it, seen from above."""
    side = -1.0 if fin.y < 0.0 else 1.0
    return (
        np.array([cos(fin.toe), -side * sin(fin.toe)]),
        np.array([sin(fin.toe), side * cos(fin.toe)]),
    )


def _corner(board: Board, fin: FinMark, name: str, rim: Floats) -> Corner:
    """Return a corner; the box goes up along the fin's lean, so its deep end is nearer the stringer."""
    _, outward = _ways(fin)
    deep = rim - fin.box_depth * sin(fin.cant) * outward
    low = _height(board, rim, deck=False) + fin.box_depth * cos(fin.cant)
    return Corner(
        name,
        (float(rim[0]), float(rim[1])),
        (float(deep[0]), float(deep[1]), low),
        _height(board, deep, deck=True) - low,
        _lifts(board, deep, rim),
    )


def _height(board: Board, at: Floats, *, deck: bool, thicker: float = 0.0) -> float:
    """Return the deck or the bottom at (x, y), on a board that is `thicker` at the stringer there."""
    x = at[:1]
    numbers = board.sections.at(x, board.rocker(x), board.thickness(x) + thicker)
    share = np.clip(np.abs(at[None, 1:]) / np.maximum(board.half_width(x), 1e-9)[:, None], 0.0, 1.0)
    return float((numbers.deck if deck else numbers.bottom)(share)[0, 0])


def _lifts(board: Board, deep: Floats, rim: Floats) -> float:
    """Return how the foam above grows with the thickness, which moves the rail's apex too (it is linear)."""
    deck = _height(board, deep, deck=True, thicker=THICKER) - _height(board, deep, deck=True)
    bottom = _height(board, rim, deck=False, thicker=THICKER) - _height(board, rim, deck=False)
    return (deck - bottom) / THICKER


def _outside(board: Board, fit: BoxFit, system: System) -> list[Problem]:
    """Return a problem for the corner that lies farthest outside the outline, if one does."""
    beyond = [(_beyond(board, corner), corner) for corner in fit.corners]
    most, corner = max(beyond, key=lambda pair: pair[0])
    if most <= 0.0:
        return []
    by = format_with_unit(most, system)
    return [
        Problem(
            f"{board.name}, [fins] {fit.fin.name}",
            f"its {corner.name} corner lies {by} outside the outline.",
            "Move the box towards the stringer, or to where the board is wider.",
        )
    ]


def _beyond(board: Board, corner: Corner) -> float:
    x, y = corner.rim
    at = np.array([x])
    off_end = max(-x, x - board.length)
    if off_end > 0.0:
        return off_end
    off_side = abs(y) - float(board.half_width(at)[0])
    in_notch = float(board.inner(at)[0]) - abs(y)
    return max(off_side, in_notch if float(board.inner(at)[0]) > 0.0 else off_side)
