"""Drawings of the page as plain paths, in millimetres: side view, plan view, work against slide.

Heights run downwards, as SVG has them. The board is drawn in its own frame and moved by one matrix, so a
page can move it along without asking for another path.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import ArrayLike

from foamwright.blank.blank import Blank
from foamwright.board.board import Board
from foamwright.jobs.live_planning import slides_of
from foamwright.lay.choice import Choice
from foamwright.lay.limits import Lay
from foamwright.shape.curves import Floats
from foamwright.units import INCH, System
from foamwright.web.planning.places import along
from foamwright.web.rendering import Reader

POINTS = 97
MM = 1000.0
ROOMY = 8
"""Numbers that a ruler has room for on a phone."""

FAR = 600.0
"""Millimetres; beyond anything drawn."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of a ruler: where along it, percent, and what it says (small ones nothing).

    `is_spared`: its words are left out where there is little room.
    """

    percent: float
    label: str
    is_spared: bool = False


@dataclass(frozen=True, slots=True)
class SideView:
    """The blank from the side with the board in it.

    Attributes
    ----------
    length, top, height
        Of the view: x from 0 to `length`, y from `top` over `height`.
    blank, board
        Closed outlines, the board's in its own frame.
    deck_side, bottom_side
        In the board's frame: everything above its deck, and everything below its bottom.
    matrix
        Brings the board's frame into the blank's.
    ruler
        Marks along the blank.
    """

    length: float
    top: float
    height: float
    blank: str
    board: str
    deck_side: str
    bottom_side: str
    matrix: str
    ruler: tuple[Tick, ...]


def side_view(board: Board, blank: Blank, lay: Lay, reader: Reader) -> SideView:
    """Return the side view of a board in a blank."""
    x = np.linspace(0.0, blank.length, POINTS)
    low, high = blank.bottom(x), blank.deck(x)
    at = _crowded(board.length)
    rocker, deck = board.rocker(at), board.deck_line(at)
    top, foot = -float(high.max()) * MM, -float(low.min()) * MM
    return SideView(
        length=blank.length * MM,
        top=top - 3.0,
        height=foot - top + 6.0,
        blank=closed(x, high, low),
        board=closed(at, deck, rocker),
        deck_side=closed(at, np.full_like(at, FAR / MM), deck),
        bottom_side=closed(at, rocker, np.full_like(at, -FAR / MM)),
        matrix=matrix_of(lay),
        ruler=ruler(blank.length, reader),
    )


def matrix_of(lay: Lay) -> str:
    """Return the SVG matrix of a lay: the board's frame into the blank's, heights downwards."""
    return f"matrix(1 {-lay.tilt:.6f} 0 1 {lay.slide * MM:.3f} {-lay.lift * MM:.3f})"


@dataclass(frozen=True, slots=True)
class PlanView:
    """The board from above and from the side, for the head of the page."""

    length: float
    width: float
    outline: str
    profile: str
    profile_top: float
    profile_height: float


def plan_view(board: Board) -> PlanView:
    """Return the views of a board alone."""
    x = _crowded(board.length)
    half = board.half_width(x)
    at = _crowded(board.length)
    rocker, deck = board.rocker(at), board.deck_line(at)
    top = -float(deck.max()) * MM
    return PlanView(
        length=board.length * MM,
        width=2.0 * float(half.max()) * MM,
        outline=closed(x, half, -half),
        profile=closed(at, deck, rocker),
        profile_top=top - 2.0,
        profile_height=-top + 4.0,
    )


@dataclass(frozen=True, slots=True)
class SlideView:
    """Work against slide.

    Attributes
    ----------
    path
        In percent of the range across and of the height down: for the stretched drawing.
    own_path
        The same with x in millimetres along the blank.
    least_m, most_m
        The range of slides, metres.
    low_min, high_min
        Minutes at the foot and at the top.
    best_m
        The best slide, metres; ``None`` where nothing fits.
    """

    path: str
    own_path: str
    least_m: float
    most_m: float
    low_min: float
    high_min: float
    best_m: float | None

    def percent(self, slide: float) -> float:
        """Return where a slide stands in the range."""
        span = self.most_m - self.least_m
        return 100.0 * (slide - self.least_m) / span if span > 0 else 50.0

    def drop(self, minutes: float) -> float:
        """Return where minutes stand, in percent down from the top."""
        span = self.high_min - self.low_min
        return 90.0 - 80.0 * (minutes - self.low_min) / span if span > 0 else 90.0


def slide_view(choice: Choice) -> SlideView | None:
    """Return work against slide in a blank; ``None`` if the blank is too short to slide in."""
    least, most = slides_of(choice)
    curve = choice.curve
    if most < least or not curve.slide.size:
        return None
    work = curve.work_min
    known = work[np.isfinite(work)]
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 1.0)
    high = max(high, low + 1.0)
    best = choice.placed.slide if choice.fits else None
    view = SlideView("", "", least, most, low, high, best)
    across = np.array([view.percent(s) for s in curve.slide.tolist()])
    down = np.array([view.drop(w) for w in work.tolist()])
    return SlideView(_runs(across, down), _runs(curve.slide * MM, down), least, most, low, high, best)


def ruler(length: float, reader: Reader) -> tuple[Tick, ...]:
    """Return the marks of a ruler: a foot with its number, 3 in without; or 200 mm and 50 mm."""
    step, labelled = (3 * INCH, 4) if reader.lengths is System.INCH else (0.05, 4)
    count = int(length / step + 1e-9) + 1
    crowded = count > ROOMY * labelled
    return tuple(
        Tick(
            percent=100.0 * n * step / length,
            label=_tick_words(n * step, reader) if n % labelled == 0 else "",
            is_spared=crowded and n // labelled % 2 == 1,
        )
        for n in range(count)
    )


def _tick_words(metres: float, reader: Reader) -> str:
    """The number, with the unit at the first one only."""
    words = along(reader, metres)
    return words.partition(" ")[0] if metres else words


def closed(x: Floats, there: Floats, back: Floats) -> str:
    """Return a closed path: along `x` at the heights `there`, and back at the heights `back`; metres."""
    across = np.concatenate([x, x[::-1]])
    return polyline(across, np.concatenate([there, back[::-1]])) + "Z"


def polyline(x: ArrayLike, height: ArrayLike) -> str:
    """Return an open path in millimetres through places in metres, heights upwards."""
    points = np.stack([np.asarray(x) * MM, -np.asarray(height) * MM], axis=1)
    return plain_path(points)


def plain_path(points: Floats) -> str:
    """Return an open path through (N, 2) points as they are, to a tenth."""
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in points.tolist())


def _runs(x: Floats, y: Floats) -> str:
    """A path broken where there is nothing."""
    paths = []
    for there, group in groupby(
        zip(x.tolist(), y.tolist(), strict=True), key=lambda p: bool(np.isfinite(p[1]))
    ):
        if there:
            paths.append("M" + "L".join(f"{a:.2f} {b:.2f}" for a, b in group))
    return "".join(paths)


def _crowded(length: float) -> Floats:
    return np.asarray(0.5 * length * (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS))))


def _is_there(point: tuple[float, float]) -> bool:
    return bool(np.isfinite(point[1]))
