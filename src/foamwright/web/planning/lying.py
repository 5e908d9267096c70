"""The board in its blank on the wall, from the side, and work or cost against where it lies; in pixels."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.blank.blank import Blank
from foamwright.board.board import Board
from foamwright.jobs.live_planning import slides_of
from foamwright.lay.choice import Choice
from foamwright.shape.curves import Floats
from foamwright.units import INCH, System, format_length
from foamwright.web.planning.ask import By
from foamwright.web.planning.stage import POINTS, Frame, Tick, path

FAR = 4000.0
"""Pixels; beyond anything drawn."""


@dataclass(frozen=True)
class Lying:
    """Where everything of a board in a blank stands on the wall.

    Attributes
    ----------
    board, blank
        Made solid.
    choice
        The board laid where it lies now; with the work at every slide.
    frame
        The wall.
    by
        What the curve shows.
    """

    board: Board
    blank: Blank
    choice: Choice
    frame: Frame
    by: By

    @property
    def margin(self) -> float:
        """Room to either side, pixels."""
        return 20.0 if self.frame.is_narrow else 36.0

    @cached_property
    def scale(self) -> float:
        """Pixels a metre along."""
        return (self.frame.width - 2 * self.margin) / self.blank.length

    @cached_property
    def _heights(self) -> tuple[float, float]:
        """Lowest and highest of the blank, metres."""
        x = np.linspace(0.0, self.blank.length, POINTS)
        return float(self.blank.bottom(x).min()), float(self.blank.deck(x).max())

    @cached_property
    def tall(self) -> float:
        """How many times too high it is drawn: as asked for, or what there is room for."""
        low, high = self._heights
        room = self.frame.height * (0.5 if self.frame.is_narrow else 0.52) - 46.0
        return float(min(self.frame.tall, max(1.0, np.floor(2 * room / (self.scale * (high - low))) / 2)))

    @cached_property
    def tape(self) -> float:
        """Pixels down of the tape along the blank."""
        low, high = self._heights
        return 44.0 + self.scale * self.tall * (high - low) + (14.0 if self.frame.is_narrow else 26.0)

    def x(self, metres: float | Floats) -> Floats:
        """Return pixels along the blank."""
        return np.asarray(self.margin + self.scale * np.asarray(metres))

    def z(self, metres: float | Floats) -> Floats:
        """Return pixels down of a height above the blank's level line."""
        return np.asarray(44.0 + self.scale * self.tall * (self._heights[1] - np.asarray(metres)))

    @cached_property
    def _stations(self) -> Floats:
        return np.asarray(0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS))))

    @cached_property
    def blank_path(self) -> str:
        """The blank's closed outline."""
        x = self._stations * self.blank.length
        across = np.concatenate([x, x[::-1]])
        return (
            path(self.x(across), self.z(np.concatenate([self.blank.deck(x), self.blank.bottom(x)[::-1]])))
            + "Z"
        )

    @cached_property
    def _board(self) -> tuple[Floats, Floats, Floats]:
        """The board's stations, deck and bottom in the blank's frame."""
        x, lay = self._stations * self.board.length, self.choice.placed
        line = lay.line(x)
        return x + lay.slide, line + self.board.deck_line(x), line + self.board.rocker(x)

    @cached_property
    def board_path(self) -> str:
        """The board's closed outline where it lies."""
        x, deck, bottom = self._board
        across = np.concatenate([x, x[::-1]])
        return path(self.x(across), self.z(np.concatenate([deck, bottom[::-1]]))) + "Z"

    @cached_property
    def deck_side(self) -> str:
        """Everything above the board's deck, for the hatching of what comes off it."""
        x, deck, _ = self._board
        across = self.x(np.concatenate([x, x[::-1]]))
        return path(across, np.concatenate([self.z(deck), np.full(x.size, -FAR)])) + "Z"

    @cached_property
    def bottom_side(self) -> str:
        """Everything below the board's bottom."""
        x, _, bottom = self._board
        across = self.x(np.concatenate([x, x[::-1]]))
        return path(across, np.concatenate([self.z(bottom), np.full(x.size, FAR)])) + "Z"

    def ticks(self, system: System) -> list[Tick]:
        """Return the marks of the tape along the blank."""
        step, each = (INCH, 12) if system is System.INCH else (0.05, 4)
        step = step if step * self.scale > 5.0 else 3 * step
        each = each if step in (INCH, 0.05) else each // 3 or 2
        last = int(self.blank.length / step + 1e-9)
        return [
            Tick(
                float(self.x(n * step)),
                14.0 if n % each == 0 else 7.0,
                format_length(n * step, system, 16).removesuffix(".0")
                if n % each == 0 and 0 < n < last - 2
                else "",
            )
            for n in range(last + 1)
        ]

    @cached_property
    def range(self) -> tuple[float, float]:
        """Least and greatest slide, metres."""
        return slides_of(self.choice)

    @cached_property
    def _curve(self) -> tuple[Floats, Floats]:
        curve = self.choice.curve
        return curve.slide, curve.work_min

    def figure(self, minutes: float) -> float:
        """Return what the curve shows of so many minutes: themselves, or the money with the blank."""
        if self.by is By.WORK:
            return minutes
        each = self.choice.labour / self.choice.work_min if self.choice.work_min > 0.0 else 0.0
        return self.choice.numbers.price + minutes * each

    @cached_property
    def room(self) -> tuple[float, float]:
        """Pixels down of the top and the foot of the curve's room."""
        top = self.tape + (54.0 if self.frame.is_narrow else 84.0)
        return top, max(top + 40.0, self.frame.height - (34.0 if self.frame.is_narrow else 58.0))

    @cached_property
    def span(self) -> tuple[float, float]:
        """Least and most minutes on the curve."""
        known = self._curve[1][np.isfinite(self._curve[1])]
        low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 1.0)
        return low, max(high, low + 1.0)

    def across(self, slide: float | Floats) -> Floats:
        """Return pixels along of a slide in the curve's room, where the range fills the wall."""
        least, most = self.range
        share = (np.asarray(slide) - least) / max(most - least, 1e-9)
        return np.asarray(self.margin + 8.0 + share * (self.frame.width - 2 * self.margin - 16.0))

    def down(self, minutes: float | Floats) -> Floats:
        """Return pixels down of minutes in the curve's room."""
        top, foot = self.room
        low, high = self.span
        return np.asarray(foot - 8.0 - (np.asarray(minutes) - low) / (high - low) * (foot - top - 26.0))

    @cached_property
    def curve_path(self) -> str:
        """Work against slide, with gaps where the board does not fit."""
        slide, work = self._curve
        fits = np.isfinite(work)
        pieces = np.split(np.arange(slide.size), np.flatnonzero(np.diff(fits.astype(int))) + 1)
        return "".join(
            path(self.across(slide[one]), self.down(work[one])) for one in pieces if fits[one].all()
        )

    def slide_ticks(self, system: System) -> list[Tick]:
        """Return the marks of the tape under the curve: what the tail tip can move, drawn large."""
        least, most = self.range
        unit = INCH if system is System.INCH else 0.01
        width = float(self.across(most) - self.across(least))
        share = next((s for s in (16, 8, 4, 2, 1) if (most - least) / unit * s * 9.0 < width), 1)
        step = unit / share
        first, last = int(np.ceil(least / step - 1e-9)), int(np.floor(most / step + 1e-9))
        each = max(1, round((last - first) / share / 8)) * share
        return [
            Tick(
                float(self.across(n * step)),
                13.0 if n % each == 0 else 9.0 if n % share == 0 else 5.0,
                format_length(n * step, system, 16).removesuffix(".0") if n % each == 0 else "",
            )
            for n in range(first, last + 1)
        ]

    @property
    def pull(self) -> float:
        """Pixels that the board moves along the blank for a mark of the slide."""
        return self.scale * INCH / 16
