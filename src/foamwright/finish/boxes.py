"""Fin boxes in the board: where their corners come out, and the foam that stays above each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, sin

import numpy as np

from foamwright.board.board import Board
from foamwright.board.numbers import FinMark
from foamwright.board.sections import Sections, sections_of
from foamwright.errors import InputError, Problem
from foamwright.shape.curves import Floats
from foamwright.units import System, format_with_unit

CORNERS = ("rear inner", "rear outer", "front inner", "front outer")


ENOUGH, ROUNDS = 1e-10, 30
"""Metres to which the missing thickness is settled, and most steps to it: it is nearly linear, so few."""


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
    thicken
        Least that the board's thickness must grow so that the box's cover remains there, metres.
    """

    name: str
    rim: tuple[float, float]
    floor: tuple[float, float, float]
    above: float
    thicken: float


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
        return max(corner.thicken for corner in self.corners)


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
    high = fin.box_depth * cos(fin.cant)

    def above(by: float) -> float:
        sections = board.sections if by == 0.0 else _thicker(board, by)
        return (
            _height(board, sections, deep, by, deck=True)
            - _height(board, sections, rim, by, deck=False)
            - high
        )

    return Corner(
        name,
        (float(rim[0]), float(rim[1])),
        (float(deep[0]), float(deep[1]), _height(board, board.sections, rim, 0.0, deck=False) + high),
        above(0.0),
        _needed(above, fin.cover),
    )


def _needed(above: Callable[[float], float], cover: float) -> float:
    """Return by how much the board must grow so that the foam above is `cover`, by secants."""
    if above(0.0) >= cover:
        return 0.0
    last, by = 0.0, cover - above(0.0)
    for _ in range(ROUNDS):
        short, before = cover - above(by), cover - above(last)
        if abs(short) < ENOUGH or short == before:
            break
        last, by = by, by - short * (by - last) / (short - before)
    return by


def _thicker(board: Board, by: float) -> Sections:
    """Return the sections of the board with all its thickness grown: crown and edges follow it."""
    old = board.sections
    return sections_of(
        board.numbers, old.half_width, old.inner, lambda x: np.asarray(old.foil(x) + by), old.tips
    )


def _height(board: Board, sections: Sections, at: Floats, by: float, *, deck: bool) -> float:
    """Return the deck or the bottom at (x, y) of a board thicker by `by`, whose sections are those."""
    x = at[:1]
    numbers = sections.at(x, board.rocker(x), board.thickness(x) + by)
    share = np.clip(np.abs(at[None, 1:]) / np.maximum(board.half_width(x), 1e-9)[:, None], 0.0, 1.0)
    return float((numbers.deck if deck else numbers.bottom)(share)[0, 0])


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
