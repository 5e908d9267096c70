"""The board on the wall, from above and from the side on one x axis, in pixels of the place it is shown in.

Everything is laid out here, once, for the size that the page's script names; the script only moves what is
held in the hand until the next drawing is there. One geometry, in Python.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.board.board import Board
from foamwright.board.numbers import FinMark
from foamwright.shape.curves import Floats
from foamwright.units import INCH, System, format_length
from foamwright.web.planning.numerals import Bench

POINTS = 161
PX_A_MARK = 8.0
"""Pixels that a hand goes for one mark: fine enough that a finger on a tablet hits the mark it means."""

LARGEST_ZOOM = 24.0
ONE_TO_ONE = 96.0 / INCH
"""Pixels a metre at true size: a CSS inch."""

SMALLEST = 0.86
"""The share of the wall's length that the board keeps before its heights are drawn less high."""

LOW = 430.0
"""Pixels; a wall lower than this has less room between the views."""

NARROW = 560.0
"""Pixels; under this the drawing does with smaller margins and shorter words."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the drawing stands.

    Attributes
    ----------
    width, height
        Pixels.
    tall
        How many times too high heights are drawn from the side.
    zoom
        1: all of it.
    centre
        Where the middle is, zoomed, as a share of the length.
    """

    width: float = 829.0
    height: float = 540.0
    tall: int = 3
    zoom: float = 1.0
    centre: float = 0.5

    @property
    def is_narrow(self) -> bool:
        """Whether there is little room."""
        return self.width < NARROW


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of the tape: where, how long, what it says."""

    x: float
    size: float
    words: str = ""


@dataclass(frozen=True)
class Stage:
    """Where everything of one board stands on the wall.

    Parameters
    ----------
    board
        What is drawn.
    frame
        Where.
    """

    board: Board
    frame: Frame

    @cached_property
    def margin(self) -> float:
        """Room to either side, pixels."""
        return 20.0 if self.frame.is_narrow else 36.0

    @cached_property
    def _rows(self) -> tuple[float, float, float]:
        """Room over the plan view, between the views, and under the level line."""
        if self.frame.is_narrow:
            return 40.0, 44.0, 62.0
        return (52.0, 48.0, 82.0) if self.frame.height < LOW else (64.0, 64.0, 92.0)

    @cached_property
    def size(self) -> tuple[float, float]:
        """Greatest width, and how high the deck stands above the level line; metres."""
        x = np.linspace(0.0, self.board.length, POINTS)
        return 2.0 * float(self.board.half_width(x).max()), float(self.board.deck_line(x).max())

    @cached_property
    def _widest(self) -> float:
        """Pixels a metre with the board as long as the wall."""
        return (self.frame.width - 2 * self.margin) / self.board.length

    def _base(self, tall: float) -> float:
        """Pixels a metre with all of the board in view, its heights so many times too high."""
        width, high = self.size
        room = self.frame.height - sum(self._rows)
        return max(min(self._widest, room / (width + tall * high)), 40.0)

    @cached_property
    def tall(self) -> float:
        """How many times too high heights are: as asked for, if that leaves the board its length."""
        fits = [n for n in range(self.frame.tall, 0, -1) if self._base(n) >= SMALLEST * self._widest]
        tall = float(fits[0] if fits else 1)
        if self.frame.zoom <= 1.0:
            return tall
        # Close to, the whole thickness stays in view as long as it can.
        thick = float(self.board.thickness(np.array(self.frame.centre * self.board.length)))
        room = self.frame.height - self._rows[2] - self.frame.height * 0.45 - 50.0
        return float(
            np.clip(np.floor(2.0 * room / (self.frame.zoom * self._base(tall) * thick)) / 2.0, 1.0, tall)
        )

    @cached_property
    def base(self) -> float:
        """Pixels a metre with all of the board in view."""
        return self._base(self.tall if self.frame.zoom <= 1.0 else 1.0)

    @cached_property
    def scale(self) -> float:
        """Pixels a metre."""
        return self.base * self.frame.zoom

    @cached_property
    def _spare(self) -> float:
        width, high = self.size
        return max(0.0, self.frame.height - sum(self._rows) - self.base * (width + self.tall * high))

    @cached_property
    def parting(self) -> float:
        """Where the plan view's room ends and the side view's begins, pixels down."""
        if self.frame.zoom > 1.0:
            return 0.45 * self.frame.height
        over, between, _ = self._rows
        return over + 0.3 * self._spare + self.base * self.size[0] + 0.4 * (between + 0.4 * self._spare)

    @cached_property
    def origins(self) -> tuple[float, float, float]:
        """Pixels of the tail, of the stringer seen from above, and of the level line."""
        over, _, under = self._rows
        width, _ = self.size
        middle = over + 0.3 * self._spare + self.base * width / 2
        level = self.frame.height - under - 0.2 * self._spare
        if self.frame.zoom <= 1.0:
            return (self.frame.width - self.base * self.board.length) / 2, middle, level
        x = self.frame.centre * self.board.length
        at = np.array(x)
        half, thick = float(self.board.half_width(at)), float(self.board.thickness(at))
        mid = float(self.board.rocker(at)) + thick / 2
        side = (self.parting + self.tape - 14.0) / 2
        return (
            self.frame.width / 2 - self.scale * x,
            self.parting * 0.55 + self.scale * half,
            side + self.scale * self.tall * mid,
        )

    @cached_property
    def tape(self) -> float:
        """Pixels down of the tape's edge."""
        return self.frame.height - (36.0 if self.frame.is_narrow else 50.0)

    def x(self, metres: float | Floats) -> Floats:
        """Return pixels along."""
        return np.asarray(self.origins[0] + self.scale * np.asarray(metres))

    def y(self, metres: float | Floats) -> Floats:
        """Return pixels down of a place from above, metres from the stringer, upwards positive."""
        return np.asarray(self.origins[1] - self.scale * np.asarray(metres))

    def z(self, metres: float | Floats) -> Floats:
        """Return pixels down of a height above the level line."""
        return np.asarray(self.origins[2] - self.scale * self.tall * np.asarray(metres))

    @cached_property
    def stations(self) -> Floats:
        """Stations of the curves, metres: crowded at the tips, more of them where the eye is close."""
        share = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS)))
        all_of_it = share * self.board.length
        if self.frame.zoom <= 1.0:
            return np.asarray(all_of_it)
        reach = self.frame.width / self.scale / 2
        near = self.frame.centre * self.board.length + np.linspace(-1.2, 1.2, POINTS) * reach
        inside = near[(near > 0.0) & (near < self.board.length)]
        return np.unique(np.concatenate([all_of_it, inside]))

    def outline(self, of: Board | None = None) -> str:
        """Return the closed outline of a board, by default the stage's own."""
        board = of or self.board
        x = self.stations * (board.length / self.board.length)
        half = board.half_width(x)
        inner = board.inner(x)
        notch = inner > 0.0
        across = [x[::-1], x[notch], x[notch][::-1], x]
        aside = [half[::-1], inner[notch], -inner[notch][::-1], -half]
        if notch.any():
            deep = np.array([float(x[~notch].min()) if (~notch).any() else 0.0])
            across.insert(2, deep)
            aside.insert(2, np.zeros(1))
        return path(self.x(np.concatenate(across)), self.y(np.concatenate(aside))) + "Z"

    def profile(self, of: Board | None = None) -> str:
        """Return the closed profile of a board from the side."""
        board = of or self.board
        x = self.stations * (board.length / self.board.length)
        across = np.concatenate([x, x[::-1]])
        return path(self.x(across), self.z(np.concatenate([board.deck_line(x), board.rocker(x)[::-1]]))) + "Z"


def path(x: Floats, y: Floats) -> str:
    """Return an open path through pixels, to a tenth."""
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))


def ticks(stage: Stage, system: System) -> list[Tick]:
    """Return the tape's marks in view: as fine as there is room for, a number at every foot or 200 mm."""
    steps = (
        [(INCH / 16, 16), (INCH / 4, 4), (INCH, 12), (3 * INCH, 4)]
        if system is System.INCH
        else [(0.001, 10), (0.01, 10), (0.05, 4), (0.1, 5)]
    )
    least = 7.0
    step, each = next((one for one in steps if one[0] * stage.scale >= least), steps[-1])
    length = stage.board.length
    first = max(0, int(np.floor((0.0 - stage.origins[0]) / stage.scale / step)))
    last = min(
        int(length / step + 1e-9), int(np.ceil((stage.frame.width - stage.origins[0]) / stage.scale / step))
    )
    found = []
    for n in range(first, last + 1):
        x = n * step
        numbered = n % each == 0
        room = each * step * stage.scale > 44.0 or (n // each) % 2 == 0
        words = format_length(x, system, 16).removesuffix(".0") if numbered and room and n > 0 else ""
        near_end = (length - x) * stage.scale < 46.0 or x * stage.scale < 46.0
        found.append(Tick(float(stage.x(x)), 14.0 if numbered else 7.0, "" if near_end else words))
    return found


def spans(stage: Stage, bench: Bench) -> list[tuple[str, float, float, float]]:
    """Return the stretches of what has a beginning and an end: its stop, and pixels from, to and down."""
    found = []
    for row, key in enumerate(one for one in bench.keys if "/" in one):
        places = [
            one.value for one in bench.stop(key).numerals if one.kind == "along" and one.value is not None
        ]
        if len(places) > 1:
            begin, end = float(stage.x(min(places))), float(stage.x(max(places)))
            found.append((key, begin, end, stage.tape - 18.0 - 6.0 * (row % 3)))
    return found


def boxes(stage: Stage) -> list[str]:
    """Return the fin boxes from above as closed paths; they lie on the bottom, so they are drawn dashed."""
    return [_box(stage, fin) for fin in stage.board.numbers.fins]


def _box(stage: Stage, fin: FinMark) -> str:
    """A box from its trailing edge forward, turned in by its toe."""
    inward = np.sign(fin.y) * np.sin(fin.toe)
    along, aside = np.array([np.cos(fin.toe), -inward]), np.array([inward, np.cos(fin.toe)])
    corners = ((0.0, -0.5), (1.0, -0.5), (1.0, 0.5), (0.0, 0.5))
    points = np.array(
        [
            np.array([fin.x, fin.y]) + a * fin.box_length * along + b * fin.box_width * aside
            for a, b in corners
        ]
    )
    return path(stage.x(points[:, 0]), stage.y(points[:, 1])) + "Z"
