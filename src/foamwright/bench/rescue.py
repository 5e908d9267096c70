"""Rescue: the nearest board that is still inside the remaining foam.

A fair curve is linear in its numbers as long as its apex (top, widest point) stays and no shape condition
starts or stops to bind. So the least weighted change of the numbers that brings bottom, deck and outline
inside the foam is a small convex quadratic program; the board is then built anew through the changed
numbers, fair as ever, and the program is set up again there until the true board is inside.

The board may also be lifted and tilted in the foam: that changes nothing about it, and costs next to nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from foamwright.bay.bay import Weights
from foamwright.bench.foam_left import FoamLeft
from foamwright.bench.knobs import Knob, knobs_of, turned_by
from foamwright.board.board import Board, board_of
from foamwright.board.numbers import BoardNumbers
from foamwright.errors import InputError, NoAnswerError
from foamwright.shape.curves import Floats
from foamwright.shape.programs import clarabel_minimum
from foamwright.units import INCH

SPARE = 1e-5
"""Metres by which the board is kept inside the foam, so that what the tangent misses does not matter."""

STEP = 2e-4
"""Metres by which a number is changed to see what the curves do."""

INSIDE = 1e-9
"""Metres of arithmetic."""

ROUNDS = 8
PLACES = 305
"""Stations at which the program asks for foam: those of the stages, at which the foam is known."""

LEAST = 1e-3
"""No number that is above 0 is brought below this (metres), or below itself if it was less."""


LIFT = INCH
"""Metres of lift, and of rise from tail to nose by tilt, that cost as much as one knob's weight."""


@dataclass(frozen=True, slots=True)
class Shift:
    """How the board is laid anew in the foam: metres up at the tail tip, and radians nose up."""

    lift: float = 0.0
    tilt: float = 0.0

    def at(self, x: Floats) -> Floats:
        """Return how far the board is lifted at stations `x`, metres."""
        return np.asarray(self.lift + self.tilt * x)


@dataclass(frozen=True, eq=False)
class Outside:
    """How a board meets its limits.

    Attributes
    ----------
    short
        (3, M) metres by which it stands out of the foam (bottom, deck, edge) at the stations.
    bend
        (2, M) of rocker and of thickness, second derivatives along the board, 1/m.
    """

    short: Floats
    bend: Floats


@dataclass(frozen=True, eq=False)
class Tangent:
    """A board and how its limits move with its numbers.

    Attributes
    ----------
    at
        The board's own.
    slope
        Change per metre of each knob: short (3, M, K), bend (2, M, K).
    """

    at: Outside
    slope: tuple[Floats, Floats]


@dataclass(frozen=True, slots=True)
class Change:
    """One number that changes: its name, and its old and new value in metres."""

    name: str
    before: float
    after: float

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "name": self.name,
            "before_m": self.before,
            "after_m": self.after,
            "change_m": self.after - self.before,
        }


@dataclass(frozen=True, eq=False)
class Rescue:
    """The nearest board inside the foam.

    Attributes
    ----------
    board
        The new board; the old one itself if it was inside.
    before
        The old one.
    changes
        The numbers that change, the greatest first by weight.
    shift
        How it is laid anew.
    spare
        Least foam to spare over the whole board, metres.
    """

    board: Board
    before: Board
    changes: tuple[Change, ...]
    shift: Shift
    spare: float

    @property
    def volume(self) -> float:
        """Volume of the new board, cubic metres."""
        return float(self.board.mass.volume)

    @cached_property
    def lost(self) -> float:
        """Volume that the old board had more, cubic metres."""
        return float(self.before.mass.volume) - self.volume if self.changes else 0.0


class Rescuer:
    """Rescues one board from any foam; what its curves do under changes is worked out once."""

    def __init__(self, board: Board, weights: Weights | None = None) -> None:
        self.board = board
        settled = replace(
            board.numbers, low_at=board.low_at, thickest_at=board.thickest_at, wide_at=board.outline.wide_at
        )
        self.numbers: BoardNumbers = settled
        self.knobs: tuple[Knob, ...] = knobs_of(settled, weights or Weights())
        self.x = np.linspace(0.0, board.length, PLACES)

    def rescued(self, foam: FoamLeft) -> Rescue:
        """Return the nearest board inside the foam.

        Raises
        ------
        NoAnswerError
            No board with these stations, fair and with every number above 0, is inside.
        """
        spare = -self._worst(self.board, foam, Shift())
        if spare >= -INSIDE:
            return Rescue(self.board, self.board, (), Shift(), spare)
        changes, board = self._found(foam)
        shift = self._shift(changes)
        told = [
            Change(knob.name, knob.value, knob.value + float(change))
            for knob, change in sorted(
                zip(self.knobs, changes[:-2], strict=True), key=lambda pair: -abs(pair[1]) / pair[0].weight
            )
            if change != 0.0
        ]
        return Rescue(board, self.board, tuple(told), shift, -self._worst(board, foam, shift))

    def _found(self, foam: FoamLeft) -> tuple[Floats, Board]:
        changes = np.zeros(len(self.knobs) + 2)
        tangent, spare = self.tangent_at_board, SPARE
        for number in range(ROUNDS):
            changes = _felt(self._nearest(tangent, changes, foam, spare))
            board = self._built(changes[:-2])
            worst = self._worst(board, foam, self._shift(changes))
            if worst <= 0.0:
                return changes, board
            # The next program is drawn through this board; it stands out by less and less.
            spare = max(spare, 2.0 * worst) if number >= ROUNDS // 2 else spare
            tangent = self._moved(tangent, changes, board)
        raise NoAnswerError("No board with these stations came out inside the remaining foam.")

    def _built(self, changes: Sequence[float] | Floats) -> Board:
        numbers = turned_by(self.numbers, self.knobs, list(changes))
        try:
            return board_of(numbers)
        except InputError:
            # A thinner rail may be too low for an edge's own angle; then it has as much as its apex allows.
            eased = tuple(replace(rail, angle=None) for rail in numbers.rails)
        try:
            return board_of(replace(numbers, rails=eased))
        except InputError as unfair:
            raise NoAnswerError(f"The nearest numbers inside the foam are not fair: {unfair}") from unfair

    def _shift(self, changes: Floats) -> Shift:
        return Shift(float(changes[-2]), float(changes[-1]))

    def _worst(self, board: Board, foam: FoamLeft, shift: Shift) -> float:
        x = self.x
        up = shift.at(x)
        low, high = board.pre_contour(x) + up, board.deck_line(x) + up
        return float(foam.short(x, low, high, board.half_width(x)).max())

    def faces(self, board: Board) -> tuple[Floats, Floats]:
        """Return bottom, deck and half-width (3, M), and bends of rocker and thickness (2, M)."""
        x = self.x
        sizes = np.array([board.pre_contour(x), board.deck_line(x), board.half_width(x)])
        return sizes, np.array([board.rocker(x, 2), board.thickness(x, 2)])

    @cached_property
    def tangent_at_board(self) -> Tangent:
        """The old board and what its faces do when a number changes, by central differences."""
        sizes, bends = self.faces(self.board)
        moves = [self._moves(k) for k in range(len(self.knobs))]
        moves += [self._raised(np.ones_like(self.x)), self._raised(self.x)]
        slope = np.stack([m[0] for m in moves], axis=-1), np.stack([m[1] for m in moves], axis=-1)
        return Tangent(Outside(sizes, bends), slope)

    def _raised(self, by: Floats) -> tuple[Floats, Floats]:
        """Return what lifting the board by a straight line does to its faces: bottom and deck go along."""
        still = np.zeros_like(by)
        return np.array([by, by, still]), np.array([still, still])

    def _moves(self, k: int) -> tuple[Floats, Floats]:
        step = np.zeros(len(self.knobs))
        step[k] = min(STEP, self.knobs[k].value / 4.0)
        high, low = (self.faces(self._built(sign * step)) for sign in (1.0, -1.0))
        return (high[0] - low[0]) / (2.0 * step[k]), (high[1] - low[1]) / (2.0 * step[k])

    def _moved(self, tangent: Tangent, changes: Floats, board: Board) -> Tangent:
        """Return the tangent through a board that was built: its own faces, the slopes as before."""
        sizes, bends = self.faces(board)
        sizes[:2] += self._shift(changes).at(self.x)
        back = sizes - tangent.slope[0] @ changes, bends - tangent.slope[1] @ changes
        return Tangent(Outside(back[0], back[1]), tangent.slope)

    def _nearest(self, tangent: Tangent, start: Floats, foam: FoamLeft, spare: float) -> Floats:
        """Return the changes of least weighted square that the tangent brings inside."""
        quadratic, rows, right = self.program(tangent, foam, spare)
        none = np.zeros((0, start.size)), np.zeros(0)
        changes = clarabel_minimum(quadratic, np.zeros(start.size), none, (rows, right))
        if changes is None:
            raise NoAnswerError("No board with these stations is inside the remaining foam.")
        return changes * self.scale

    @cached_property
    def scale(self) -> Floats:
        """The weights of the knobs and of the lay: the program is solved in changes that each cost one."""
        return np.array([*(knob.weight for knob in self.knobs), LIFT, LIFT / self.board.length])

    def program(self, tangent: Tangent, foam: FoamLeft, spare: float) -> tuple[Floats, Floats, Floats]:
        """Return ``Q, G, g``: minimise ``p'Qp/2`` with ``G p >= g``, `p` the changes over their weights."""
        x, (sizes, bends) = self.x, (tangent.at.short, tangent.at.bend)
        low, high, wide = (np.interp(x, foam.x, face) for face in (foam.bottom, foam.deck, foam.half))
        size, bend = tangent.slope
        least = np.eye(len(self.knobs), len(self.knobs) + 2)
        hollow = np.minimum(0.0, -bends[1])
        rows = np.vstack([size[0], -size[1], -size[2], bend[0], -bend[1], least])
        right = np.concatenate(
            [
                low - sizes[0] + spare,
                sizes[1] - high + spare,
                sizes[2] - wide + np.where(wide > spare, spare, 0.0),
                np.minimum(0.0, bends[0]) - bends[0],
                hollow + bends[1],
                [min(LEAST, knob.value) - knob.value for knob in self.knobs],
            ]
        )
        kept = np.linalg.norm(rows, axis=1) > 1e-9
        _require_room(rows, right, kept)
        return np.eye(self.scale.size), rows[kept] * self.scale, right[kept]


def _felt(changes: Floats) -> Floats:
    """Return changes without those that are arithmetic alone: these numbers stay as they were written."""
    return np.where(np.abs(changes) > 1e-7, changes, 0.0)


def _require_room(rows: Floats, right: Floats, kept: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> None:
    """Raise where the board stands out of the foam and no number changes that."""
    if np.any(right[~kept] > 1e-6):
        raise NoAnswerError("The foam is gone where no number of the board can give way.")
