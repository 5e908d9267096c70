"""Boards and blanks as plain arrays along their stringers: all that a lay needs to know of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from foamwright.blank.numbers import BlankNumbers
from foamwright.shape.kernels.table_reading import sample
from foamwright.units import INCH

Floats = NDArray[np.float64]

STATIONS = 129
"""Stations of a board profile. Between two of them (at most 1 in apart) a curve of 1/m sags by 0.1 mm at
most, and far less where boards curve most, at the tips, where the stations crowd."""

ACROSS = 17
"""Places across the half-width; odd, for Simpson's rule."""

GRID = INCH / 8
"""Grid of a blank profile. Cubic interpolation on it misses the fair curves by less than 1e-9 m."""


class BoardShape(Protocol):
    """What a lay asks of a board; see ``board.board.Board``."""

    @property
    def length(self) -> float: ...  # noqa: D102
    def pre_contour(self, x: Floats) -> Floats: ...  # noqa: D102
    def deck_line(self, x: Floats) -> Floats: ...  # noqa: D102
    def half_width(self, x: Floats) -> Floats: ...  # noqa: D102
    def deck(self, x: Floats, y: Floats) -> Floats: ...  # noqa: D102
    def deck_curvature(self, x: Floats) -> Floats: ...  # noqa: D102
    def bottom_curvature(self, x: Floats) -> Floats: ...  # noqa: D102


class BlankShape(Protocol):
    """What a lay asks of a blank; see ``blank.blank.Blank``."""

    @property
    def numbers(self) -> BlankNumbers: ...  # noqa: D102
    @property
    def length(self) -> float: ...  # noqa: D102
    def bottom(self, x: Floats) -> Floats: ...  # noqa: D102
    def deck(self, x: Floats) -> Floats: ...  # noqa: D102
    def half_width(self, x: Floats) -> Floats: ...  # noqa: D102
    def dome(self, x: Floats) -> Floats: ...  # noqa: D102


def held(array: Floats) -> Floats:
    """Return the array as contiguous floats that nobody can write to."""
    out = np.array(array, dtype=np.float64, order="C")
    out.flags.writeable = False
    return out


@dataclass(frozen=True, eq=False)
class BoardProfile:
    """A board before its contours are cut, as arrays; metres, all read-only.

    Attributes
    ----------
    x
        (N,) stations from the tail tip, both tips included, strictly rising.
    bottom
        (N,) lowest height of the finished bottom at the station.
    deck
        (N,) finished deck at the stringer.
    half_width
        (N,) half the outline.
    share
        (K,) places across, as shares of the half-width, 0 to 1.
    drop
        (N, K) how far the finished deck lies below its height at the stringer.
    hollow_bottom, hollow_deck
        (N,) curvature of the face along the board where it is hollow, 1/m; 0 where it is flat or bulges.
    """

    x: Floats
    bottom: Floats
    deck: Floats
    half_width: Floats
    share: Floats
    drop: Floats
    hollow_bottom: Floats
    hollow_deck: Floats

    def __post_init__(self) -> None:
        for name, value in vars(self).copy().items():
            object.__setattr__(self, name, held(value))

    @property
    def length(self) -> float:
        """Tail tip to nose tip."""
        return float(self.x[-1] - self.x[0])

    @cached_property
    def weight(self) -> Floats:
        """(N,) weights of the trapezoidal rule over `x`; they add up to the length."""
        half = 0.5 * np.diff(self.x)
        return held(np.concatenate([half, [0.0]]) + np.concatenate([[0.0], half]))

    @cached_property
    def crown(self) -> Floats:
        """(N,) area between the finished deck and the level of its middle, full width, m2."""
        return held(2.0 * self.half_width * _simpson_over_share(self.share, self.drop))


@dataclass(frozen=True, eq=False)
class BlankProfile:
    """A blank as arrays on an even grid that starts at its tail; metres, all read-only.

    Attributes
    ----------
    numbers
        The supplier's numbers: skims, hard face, stringer, price.
    spacing
        Distance between two rows of the grid.
    bottom, deck
        (M,) heights at the stringer above the blank's level line.
    half_width
        (M,) half the outline.
    dome
        (M,) 1/m: ``deck(x, y) = deck(x) - dome(x) * y^2``; 0 for a square section.
    """

    numbers: BlankNumbers
    spacing: float
    bottom: Floats
    deck: Floats
    half_width: Floats
    dome: Floats

    def __post_init__(self) -> None:
        for name in ("bottom", "deck", "half_width", "dome"):
            object.__setattr__(self, name, held(getattr(self, name)))

    @property
    def length(self) -> float:
        """Tail to nose along the blank's level line."""
        return self.numbers.length

    @cached_property
    def table(self) -> Floats:
        """(M, 4) what the kernels read: bottom, deck, squared half-width, drop of the deck at the edge."""
        squared = self.half_width**2
        return held(np.column_stack([self.bottom, self.deck, squared, self.dome * squared]))

    def at(self, x: Floats) -> BlankAt:
        """Return the blank at places `x` (N,) from its tail, by the same interpolation as the kernels."""
        out = np.empty((4, np.size(x)))
        sample(held(np.atleast_1d(x)), 0.0, self.table, self.spacing, out)
        width = np.sqrt(np.maximum(out[2], 0.0))
        dome = np.divide(out[3], out[2], out=np.zeros_like(width), where=out[3] > 0.0)
        return BlankAt(out[0], out[1], width, dome)


@dataclass(frozen=True, slots=True)
class BlankAt:
    """A blank read at some places: (N,) bottom, deck, half-width (metres) and dome (1/m)."""

    bottom: Floats
    deck: Floats
    half_width: Floats
    dome: Floats


def stretched_stations(length: float, count: int = STATIONS) -> Floats:
    """Return `count` stations over the length that crowd towards both tips, where boards curve most."""
    x = 0.5 * length * (1.0 - np.cos(np.linspace(0.0, np.pi, count)))
    x[-1] = length
    return x


def stretched_shares(count: int = ACROSS) -> Floats:
    """Return `count` shares of the half-width, 0 to 1, that crowd towards the rail."""
    share = np.sin(np.linspace(0.0, 0.5 * np.pi, count))
    share[-1] = 1.0
    return share


def profile_of_board(board: BoardShape, x: Floats | None = None, share: Floats | None = None) -> BoardProfile:
    """Return the board's profile.

    Parameters
    ----------
    board
        A board (or anything with its curves).
    x
        (N,) stations, metres, 0 and the length included; by default `STATIONS` that crowd at the tips.
    share
        (K,) places across; by default `ACROSS` of `stretched_shares`.

    Returns
    -------
    BoardProfile
        Read-only arrays.
    """
    x = stretched_stations(board.length) if x is None else np.asarray(x, dtype=np.float64)
    share = stretched_shares() if share is None else np.asarray(share, dtype=np.float64)
    half = np.maximum(board.half_width(x), 0.0)
    deck = board.deck_line(x)
    across = board.deck(x, half[:, None] * share[None, :])
    return BoardProfile(
        x=x,
        bottom=board.pre_contour(x),
        deck=deck,
        half_width=half,
        share=share,
        drop=np.maximum(deck[:, None] - across, 0.0),
        hollow_bottom=np.maximum(-board.bottom_curvature(x), 0.0),
        hollow_deck=np.maximum(board.deck_curvature(x), 0.0),
    )


def profile_of_blank(blank: BlankShape, grid: float = GRID) -> BlankProfile:
    """Return the blank's profile on an even grid.

    Parameters
    ----------
    blank
        A blank (or anything with its curves).
    grid
        Spacing, metres; the same for all blanks, so that a slide by whole rows needs no new weights. The last
        row stands short of the nose by less than one spacing.

    Returns
    -------
    BlankProfile
        Read-only arrays.
    """
    x: Floats = grid * np.arange(int(blank.length / grid) + 1, dtype=np.float64)
    return BlankProfile(
        numbers=blank.numbers,
        spacing=grid,
        bottom=blank.bottom(x),
        deck=blank.deck(x),
        half_width=np.maximum(blank.half_width(x), 0.0),
        dome=np.maximum(blank.dome(x), 0.0),
    )


def _simpson_over_share(share: Floats, values: Floats) -> Floats:
    """Integrate (N, K) values over the shares: Simpson's rule in the angle of `stretched_shares`."""
    if share.size % 2 == 0 or not np.allclose(share, stretched_shares(share.size), atol=1e-12):
        return np.asarray(np.trapezoid(values, share, axis=1))
    angle = np.linspace(0.0, 0.5 * np.pi, share.size)
    rule = np.ones(share.size)
    rule[1:-1:2], rule[2:-1:2] = 4.0, 2.0
    return np.asarray(values @ (rule * np.cos(angle) * angle[1] / 3.0))
