"""The close-cut blank: the smallest square-section blank around a board, with chosen allowances.

Along the stringer it follows the board before its contours are cut (the held-back concave is left in), so
rocker and foil are nearly done when it comes off the wire; across it is square. The allowances are what
is left on purpose on each face, at both tips and outside the outline.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from foamwright.blank.numbers import BlankNumbers, Foam, Stringer
from foamwright.board.board import Board
from foamwright.errors import InputError, Problem
from foamwright.lay.limits import Lay
from foamwright.making.closecut_numbers import Pricing, numbers_around
from foamwright.shape.curves import Floats
from foamwright.units import INCH

STATIONS = 2049
"""Rows of a close-cut blank's table: at most 2.5 mm apart, and far closer at the tips, where boards curve.

The line of the lowest place across has a corner where another place becomes the lowest (contours add). No
cubic follows it: the table misses there by a share of the rows' distance, on 12 random boards by 0.015 mm
with 513 rows, 0.011 mm with 1,025 and 0.003 mm with these. The wire's outline of one of them missed by
0.115 mm with 513 rows, by 0.082 mm with 1,025 or these.
"""


@dataclass(frozen=True, slots=True)
class CutAllowances:
    """What is left on purpose: on each face, beyond each tip, outside the outline; metres.

    Common practice, no source. The tips and sides leave the usual margin of a saw.
    """

    bottom: float = INCH / 16
    deck: float = INCH / 16
    tips: float = 0.5 * INCH
    sides: float = 0.25 * INCH


@dataclass(frozen=True, eq=False)
class CloseCut:
    """A close-cut blank in its own frame: `x` from its tail, heights above its own level line; metres.

    Attributes
    ----------
    board
        The board inside.
    allowances
        What is left on purpose.
    foam, stringer, pricing
        What it is made of and on what terms; a stringer of width 0 is none.
    stations, low, high, half
        (N,) the table: stations, bottom, deck, half-width of the outline with its allowance.
    lay
        Where the board sits in it.
    """

    board: Board
    allowances: CutAllowances
    foam: Foam
    stringer: Stringer
    pricing: Pricing
    stations: Floats
    low: Floats
    high: Floats
    half: Floats
    lay: Lay

    @property
    def id(self) -> str:
        """Its name."""
        return f"close-cut {self.board.name}"

    @property
    def length(self) -> float:
        """Tail to nose along its level line."""
        return float(self.stations[-1])

    def bottom(self, x: ArrayLike) -> Floats:
        """Return the bottom at `x`."""
        return _read(self.stations, self.low, x)

    def deck(self, x: ArrayLike) -> Floats:
        """Return the deck at `x`."""
        return _read(self.stations, self.high, x)

    def thickness(self, x: ArrayLike) -> Floats:
        """Return the thickness at `x`."""
        return np.asarray(self.deck(x) - self.bottom(x))

    def half_width(self, x: ArrayLike) -> Floats:
        """Return half its width before the outline is cut, the same everywhere; 0 off the blank."""
        at = np.asarray(x, dtype=float)
        return np.where((at >= 0.0) & (at <= self.length), self.width / 2.0, 0.0)

    def dome(self, x: ArrayLike) -> Floats:
        """Return the deck's drop across: none, its section is square."""
        return np.zeros(np.shape(x))

    @cached_property
    def width(self) -> float:
        """Full width with the stringer: the widest place of the outline and its allowance."""
        return float(2.0 * np.max(self.half))

    @property
    def halves_width(self) -> float:
        """Width of foam on each side of the stringer."""
        return (self.width - self.stringer.width) / 2.0

    @cached_property
    def volume(self) -> float:
        """Foam in it before the outline is cut, m3."""
        area = np.trapezoid(self.high - self.low, self.stations)
        return float(area * (self.width - self.stringer.width))

    @cached_property
    def numbers(self) -> BlankNumbers:
        """The blank as a stock sheet says it; a fair blank through these numbers holds the board too."""
        return numbers_around(self, self.foam, self.stringer, self.pricing)


def close_cut(
    board: Board,
    foam: Foam,
    stringer: Stringer,
    allowances: CutAllowances | None = None,
    pricing: Pricing | None = None,
) -> CloseCut:
    """Return the smallest square-section blank around a board.

    Parameters
    ----------
    board
        The finished board; its held-back contours stay in the blank.
    foam, stringer
        What it is made of; a stringer of width 0 is none.
    allowances
        What is left on each face, at the tips and the sides, metres.
    pricing
        Price and lead time that its numbers carry.

    Returns
    -------
    CloseCut
        In its own frame, which the board's level line is parallel to.

    Raises
    ------
    InputError
        An allowance is below 0, or the stringer is wider than the blank.
    """
    left = CutAllowances() if allowances is None else allowances
    _check(left)
    length = board.length + 2.0 * left.tips
    stations = _stretched(length)
    inside = np.clip(stations - left.tips, 0.0, board.length)
    beyond = stations - left.tips - inside
    bottom = board.pre_contour(inside) + beyond * _end_slopes(board, inside) - left.bottom
    thickness = _thickest_across(board, inside) + left.bottom + left.deck
    floor = float(np.min(bottom))
    blank = CloseCut(
        board=board,
        allowances=left,
        foam=foam,
        stringer=stringer,
        pricing=Pricing() if pricing is None else pricing,
        stations=stations,
        low=bottom - floor,
        high=bottom - floor + thickness,
        half=_outline(board, stations, left),
        lay=Lay(left.tips, -floor, 0.0),
    )
    if stringer.width >= blank.width:
        raise InputError(
            Problem("stringer", "is as wide as the blank.", "Give its width, not that of the board.")
        )
    return blank


def _check(allowances: CutAllowances) -> None:
    wrong = [name for name in CutAllowances.__slots__ if not 0.0 <= getattr(allowances, name) <= 0.5]
    what = "is below 0 or above half a metre."
    if wrong:
        raise InputError([Problem(f"allowance, {name}", what, "Give what is left.") for name in wrong])


def _stretched(length: float) -> Floats:
    x = 0.5 * length * (1.0 - np.cos(np.linspace(0.0, np.pi, STATIONS)))
    x[-1] = length
    return x


def _end_slopes(board: Board, inside: Floats) -> Floats:
    """Slope of the bottom at the tip that each station is nearest to: beyond the tips it runs on straight."""
    step = 1e-3
    aft, fore = board.pre_contour([0.0, step]), board.pre_contour([board.length - step, board.length])
    slopes = (aft[1] - aft[0]) / step, (fore[1] - fore[0]) / step
    return np.where(inside < board.length / 2.0, float(slopes[0]), float(slopes[1]))


def _thickest_across(board: Board, inside: Floats) -> Floats:
    """Highest deck over y less lowest bottom over y; past the tips that of the tip."""
    shares = np.linspace(0.0, 1.0, 33)
    return np.asarray(np.max(board.deck_at(inside, shares), axis=1) - board.pre_contour(inside))


def _outline(board: Board, stations: Floats, left: CutAllowances) -> Floats:
    """Half-width that clears the board's by the sides' allowance, and by the tips' along the board."""
    reach = np.linspace(-left.tips, left.tips, 9)
    near = np.clip(stations[:, None] - left.tips + reach[None, :], 0.0, board.length)
    wide_at = np.clip(board.outline.wide_at, near[:, 0], near[:, -1])
    columns = [board.half_width(near), board.half_width(wide_at)[:, None]]
    return np.asarray(np.max(np.concatenate(columns, axis=1), axis=1) + left.sides)


def _read(stations: Floats, values: Floats, x: ArrayLike) -> Floats:
    """Read a table by local cubics through four rows (Lagrange): it misses a fair curve by under 1e-8 m."""
    at = np.clip(np.asarray(x, dtype=float), stations[0], stations[-1])
    first = np.clip(np.searchsorted(stations, at, side="right") - 2, 0, stations.size - 4)
    rows = stations[first[..., None] + np.arange(4)]
    total: Floats = np.zeros_like(at)
    for j in range(4):
        weight = np.ones_like(at)
        for k in range(4):
            if k != j:
                weight = weight * (at - rows[..., k]) / (rows[..., j] - rows[..., k])
        total += weight * values[first + j]
    return np.asarray(total)
