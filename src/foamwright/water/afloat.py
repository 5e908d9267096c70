"""A board and its rider at rest in the water: how deep, what trim, how much is under. Statics only."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.optimize import brentq

from foamwright.board.board import Board
from foamwright.errors import NoAnswerError
from foamwright.shape.curves import Floats
from foamwright.water.body import Body
from foamwright.water.columns import Columns, columns_of
from foamwright.water.equilibrium import Floating, Load, Rest, float_at_rest
from foamwright.water.pool import Pool, Surface, Together
from foamwright.water.postures import PlacedBody, Posture, placed


@dataclass(frozen=True, eq=False)
class Craft:
    """A board ready for the water: its shape as columns, its mass with fins and all."""

    board: Board
    columns: Columns
    load: Load

    @property
    def mass(self) -> float:
        """Kilograms."""
        return self.load.mass


def craft_of(board: Board, mass: float) -> Craft:
    """Return a board of a finished mass (kg) ready for the water.

    Its mass is taken to be centred where its volume is; the skin's own thickness displaces nothing.
    """
    columns = columns_of(board)
    centre = columns.pool(Surface(1e3)).centre
    return Craft(board, columns, Load(mass, centre))


@dataclass(frozen=True, eq=False)
class Afloat:
    """A board and its rider at rest.

    Attributes
    ----------
    craft, rider
        The board and the body on it.
    density
        kg/m3 of the water.
    rest
        Where they come to rest.
    """

    craft: Craft
    rider: PlacedBody
    density: float
    rest: Rest

    @property
    def sinkage(self) -> float:
        """How deep the middle of the level line is under water, square to the water, metres."""
        return -self.rest.surface.above(np.array([0.5 * self.craft.board.length, 0.0, 0.0]))

    @property
    def pitch(self) -> float:
        """Nose up, radians."""
        return self.rest.pitch

    @property
    def moment(self) -> float:
        """What is left of the moment in pitch, kg m over the whole mass: above 0 the nose still rises."""
        return float(self.rest.residual[1])

    @cached_property
    def wet_board(self) -> Pool:
        """What of the board is under water."""
        return self.craft.columns.pool(self.rest.surface)

    @cached_property
    def wet_rider(self) -> Pool:
        """What of the rider is under water."""
        return self.rider.displacer.pool(self.rest.surface)

    @property
    def share_under(self) -> float:
        """Share of the board's volume under water."""
        return self.wet_board.volume / self.craft.columns.volume

    @property
    def nose_above(self) -> float:
        """How far the deck at the nose tip is above the water, metres (negative: under)."""
        return self.rest.surface.above(self._deck(self.craft.board.length))

    @property
    def tail_above(self) -> float:
        """How far the deck at the tail tip is above the water, metres (negative: under)."""
        return self.rest.surface.above(self._deck(0.0))

    @property
    def breastbone_above(self) -> float:
        """How far the top of the breastbone is above the water, metres."""
        return self.rest.surface.above(self.rider.breastbone)

    def _deck(self, x: float) -> Floats:
        return np.array([x, 0.0, float(self.craft.board.deck_line(x))])


def floating(craft: Craft, rider: PlacedBody, density: float) -> Floating:
    """Return board and rider as one rigid body in water of a density."""
    return Floating(Together((craft.columns, rider.displacer)), craft.load + rider.load, density)


def sinks(craft: Craft, body: Body, density: float) -> bool:
    """Tell whether board and rider are heavier than all the water they can push away."""
    return craft.mass + body.mass >= density * (craft.columns.volume + body.volume)


def at_rest(craft: Craft, body: Body, density: float, posture: Posture, place: float) -> Afloat:
    """Return a board and its rider at rest, balanced in roll.

    Parameters
    ----------
    craft, body
        Board and rider; together they must float (ask `sinks`).
    density
        kg/m3 of the water.
    posture, place
        How, and at which station, the rider is on the board (see `PlacedBody`).
    """
    if posture is Posture.PRONE:
        return _at_rest(craft, placed(craft.board, body, posture, place), density)
    return _upright_at_rest(craft, (body, posture, place), density)


def _at_rest(craft: Craft, rider: PlacedBody, density: float) -> Afloat:
    rest = float_at_rest(floating(craft, rider, density), Surface(0.1))
    return Afloat(craft, rider, density, rest)


STEEPEST_SEAT = 1.2
"""Radians of pitch beyond which no seat is looked for."""


def _upright_at_rest(craft: Craft, sitter: tuple[Body, Posture, float], density: float) -> Afloat:
    """Return the rest of a rider who stays upright in the world, whatever the board does under them.

    Board and rider are then no longer one rigid body (that would topple); of all pitches, with the rider
    upright on each, rest is where no moment is left and a little more pitch is righted.
    """
    body, posture, place = sitter

    def held(nose_up: float) -> Afloat:
        return held_at(craft, placed(craft.board, body, posture, place, nose_up), density, nose_up)

    def moment(nose_up: float) -> float:
        return held(nose_up).moment

    low, high = _righted(moment)
    return held(float(brentq(moment, low, high, xtol=1e-13, rtol=1e-14)))


def held_at(craft: Craft, rider: PlacedBody, density: float, nose_up: float) -> Afloat:
    """Return a board and a rider held at a pitch (radians), the weight carried, a moment left."""
    start = Surface(0.1, -float(np.tan(nose_up)))
    rest = float_at_rest(floating(craft, rider, density), start, free=(False, False))
    return Afloat(craft, rider, density, rest)


def _righted(moment: Callable[[float], float]) -> tuple[float, float]:
    """Return the bracket nearest to level in which the moment turns from nose-up to nose-down."""
    pitches = np.linspace(-0.3, STEEPEST_SEAT, 16)
    moments = [moment(float(p)) for p in pitches]
    brackets = [
        (float(low), float(high))
        for low, high, one, other in zip(pitches, pitches[1:], moments, moments[1:], strict=False)
        if one > 0.0 >= other
    ]
    if not brackets:
        raise NoAnswerError("nobody can sit or kneel there: the board turns under them at every pitch")
    return min(brackets, key=lambda b: abs(b[0] + b[1]))
