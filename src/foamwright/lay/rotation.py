"""The lay with its true rotation: the small tilt checked, and corrected where it promised too much.

The best lay is found with the board's level line as ``lift + tilt * x`` and stations kept where they
are. Truly the board turns about its tail tip, so a point ``(x, z)`` comes to
``(slide + x cos t - z sin t, lift + x sin t + z cos t)``: a nose that stands 5 in high moves back by a
sixteenth of an inch in a tilt of a degree and a half, to where the blank's rocker is another.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.lay.choice import Choice
from foamwright.lay.limits import Allowed, Lay, Limits, limits_at, slide_range
from foamwright.lay.profiles import BlankShape, BoardShape, Floats, held, stretched_shares, stretched_stations
from foamwright.shape.kernels.line_between import FITS
from foamwright.units import INCH

DENSE, DENSE_ACROSS = 1025, 33
"""Stations and places across at which the turned board is checked."""

CLOSE = 1e-9
"""Metres: clearance short by no more than this is rounding."""

ROUNDS = 8
"""A correction is some tenths of a millimetre and changes the next one by thousandths of itself."""

NEARBY = 16
"""Marks of the tape tried to either side when the turned board does not fit at the best slide."""


@dataclass(frozen=True, eq=False)
class Points:
    """The board's surface before its contours, as points in its own frame; computed once for many lays.

    `x`, `bottom`, `half_width` are (N,), `y` and `deck` (N, K), metres.
    """

    x: Floats
    bottom: Floats
    half_width: Floats
    y: Floats
    deck: Floats


@dataclass(frozen=True, eq=False)
class Clearance:
    """Foam left over everything that must come off, metres; negative where the board sticks out.

    Attributes
    ----------
    x
        (N,) stations of the points.
    bottom, deck
        (N,) beyond the skims, measured upright; the deck's is the least across the station.
    outline
        (N,) beyond the saw's margin, half the width.
    """

    x: Floats
    bottom: Floats
    deck: Floats
    outline: Floats

    @property
    def least(self) -> float:
        """The least of the three anywhere."""
        return float(min(self.bottom.min(), self.deck.min(), self.outline.min()))


@dataclass(frozen=True, eq=False)
class RotationCheck:
    """What the true rotation of a lay does.

    Attributes
    ----------
    true
        Clearances of the turned board.
    tilted
        Gives the clearances of the same points as the best lay was computed.
    """

    true: Clearance
    tilted: Callable[[], Clearance]

    @cached_property
    def small_tilt(self) -> Clearance:
        """Clearances of the same points as the best lay was computed; worked out only if asked for."""
        return self.tilted()

    @property
    def holds(self) -> bool:
        """Whether the turned board lies in the blank with its skims and the saw's margin."""
        return self.true.least >= -CLOSE

    @property
    def difference(self) -> float:
        """Largest difference in clearance that the small tilt makes on either face, metres."""
        bottom = np.max(np.abs(self.true.bottom - self.small_tilt.bottom))
        return float(max(bottom, np.max(np.abs(self.true.deck - self.small_tilt.deck))))


@dataclass(frozen=True, eq=False)
class Settled:
    """A lay that truly fits, under the corrections it took, and its check."""

    choice: Choice
    check: RotationCheck


def points_of(board: BoardShape) -> Points:
    """Return the board's surface as points that crowd at the tips and towards the rails."""
    x = stretched_stations(board.length, DENSE)
    half = np.maximum(board.half_width(x), 0.0)
    y = half[:, None] * stretched_shares(DENSE_ACROSS)
    return Points(x, board.pre_contour(x), half, y, board.deck(x, y))


def verify_rotation(
    points: Points, blank: BlankShape, lay: Lay, allowed: Allowed, saw: float
) -> RotationCheck:
    """Turn the board by the lay's true angle and measure what is left of the blank around it.

    Parameters
    ----------
    points
        The board's surface.
    blank
        The blank's true curves.
    lay
        Slide, lift, tilt.
    allowed
        What must come off; the most that may is not looked at.
    saw
        Margin outside the outline, metres.

    Returns
    -------
    RotationCheck
        Clearances of the turned and of the merely tilted board.
    """
    return RotationCheck(
        true=_clearance(points, blank, lay, allowed, saw, np.array([np.cos(lay.tilt), np.sin(lay.tilt)])),
        tilted=lambda: _clearance(points, blank, lay, allowed, saw, None),
    )


def settled(
    choice: Choice, board: BoardShape, blank: BlankShape, surface: Points | None = None
) -> Settled | None:
    """Return the choice with a lay that truly fits: the best one under corrected limits.

    Where the turned board lacks clearance, the limits of the line are tightened there by what it lacks
    and the lay is solved again. If the best slide cannot be saved, the nearest marks of the tape are tried.

    Parameters
    ----------
    choice
        A choice that fits by its small tilt.
    board, blank
        The true curves it was made from.
    surface
        The board's `points_of`, where many blanks are tried; made here if not given.

    Returns
    -------
    Settled or None
        ``None`` if no slide near the best one fits once the board is turned.
    """
    points = points_of(board) if surface is None else surface
    for slide in _slides_near(choice):
        found = _settled_at(choice, points, blank, slide)
        if found is not None:
            return found
    return None


def _clearance(
    points: Points, blank: BlankShape, lay: Lay, allowed: Allowed, saw: float, turn: Floats | None
) -> Clearance:
    bottom_x, bottom_z = _moved(points.x, points.bottom, lay, turn)
    deck_x, deck_z = _moved(points.x[:, None], points.deck, lay, turn)
    over = blank.deck(deck_x) - blank.dome(deck_x) * points.y**2 - deck_z - allowed.skim_deck
    half = np.minimum(blank.half_width(bottom_x), blank.half_width(deck_x[:, 0]))
    return Clearance(
        x=points.x,
        bottom=bottom_z - blank.bottom(bottom_x) - allowed.skim_bottom,
        deck=np.min(over, axis=1),
        outline=half - points.half_width - saw,
    )


def _moved(x: Floats, z: Floats, lay: Lay, turn: Floats | None) -> tuple[Floats, Floats]:
    """Return points in the blank's frame; `turn` is cosine and sine of the tilt, or None if it is small."""
    if turn is None:
        return x + lay.slide + 0.0 * z, lay.line(x) + z
    cosine, sine = turn
    return lay.slide + x * cosine - z * sine, lay.lift + x * sine + z * cosine


def _slides_near(choice: Choice) -> list[float]:
    """Return the choice's slide and the marks of the tape around it, nearest first."""
    best, tape = choice.placed.slide, INCH / choice.bay.tape.fraction
    least, most = slide_range(choice.board, choice.blank, choice.bay)
    marks = [(round(best / tape) + n) * tape for n in range(-NEARBY, NEARBY + 1)]
    near = [s for s in marks if least <= s <= most and abs(s - best) > CLOSE]
    return [best, *sorted(near, key=lambda s: (abs(s - best), s))]


def _settled_at(choice: Choice, points: Points, blank: BlankShape, slide: float) -> Settled | None:
    board, saw = choice.board, choice.bay.allowances.saw
    limits = limits_at(board, choice.blank.at(board.x + slide), choice.allowed)
    lower, upper = choice.lower, choice.upper
    for _ in range(ROUNDS):
        line = limits.tightened(lower, upper).best_line(choice.toward)
        if line.status != FITS:
            return None
        lay = Lay(slide, line.lift, line.tilt)
        check = verify_rotation(points, blank, lay, choice.allowed, saw)
        if check.holds:
            return Settled(choice.laid(lay, held(lower), held(upper)), check)
        if check.true.outline.min() < -CLOSE:
            return None
        lower, upper = _corrected(limits, lay, check.true, (lower, upper))
    return None


def _corrected(
    limits: Limits, lay: Lay, true: Clearance, kept: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """Return limits that this line breaks, at both stations around each point, by what the point lacks."""
    lower, upper = kept[0].copy(), kept[1].copy()
    left = np.clip(np.searchsorted(limits.x, true.x, side="right") - 1, 0, limits.x.size - 2)
    height = lay.line(limits.x)
    for side in (left, left + 1):
        lack = np.where(true.bottom < 0.0, height[side] - true.bottom, -np.inf)
        np.maximum.at(lower, side, lack)
        lack = np.where(true.deck < 0.0, height[side] + true.deck, np.inf)
        np.minimum.at(upper, side, lack)
    return lower, upper
