"""Random boards and blanks as the trade writes them: few numbers, on a tape's grid, of every kind.

Every range here is common practice, no source. The numbers are drawn, not fitted: whether a fair curve
passes through them is for the program to say (`tests/property/test_fair_curves.py` counts how often).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from foamwright.blank.numbers import BlankNumbers, Face, Foam, FoamFamily, Section, Stringer
from foamwright.board.contours.kinds import term_of
from foamwright.board.contours.terms import Stretch, Term
from foamwright.board.fin_layouts import Layout, usual_fins
from foamwright.board.numbers import (
    BoardNumbers,
    DeckMark,
    Edge,
    FinMark,
    RailMark,
    Tail,
    TailKind,
)
from foamwright.board.tail_forms import tail_of
from foamwright.stations import Mark
from foamwright.units import INCH

T = TypeVar("T")

SIXTEENTH, EIGHTH = INCH / 16, INCH / 8
SPOT = 12 * INCH


@dataclass(frozen=True)
class Draw:
    """Draws on a tape's grid; lengths are asked for in inches and come back in metres."""

    dice: np.random.Generator

    def between(self, low: float, high: float) -> float:
        return float(self.dice.uniform(low, high))

    def length(self, low: float, high: float, grid: float = SIXTEENTH) -> float:
        return on_tape(self.between(low, high) * INCH, grid)

    def chance(self, share: float) -> bool:
        return bool(self.dice.random() < share)

    def one_of(self, *choices: T) -> T:
        return choices[int(self.dice.integers(len(choices)))]


def on_tape(metres: float, grid: float = SIXTEENTH) -> float:
    return round(metres / grid) * grid


def random_board(seed: int) -> BoardNumbers:
    """Return a board of 5 to 10 ft with any tail, rails and contours."""
    draw = Draw(np.random.default_rng([seed, 1]))
    length = draw.length(60, 120, INCH)
    share = (length / INCH - 60) / 60
    wide, wide_at = _wide(draw, length, share)
    tail, tail_width = _tail(draw)
    outline = _more(draw, _outline(draw, length, share, (wide, tail_width)), wide, wide_at or length / 2)
    lowest = length * draw.between(0.42, 0.52)
    rocker = _more(draw, _rocker(draw, length, share, lowest), 0.0, lowest)
    thickest, thickness = _thickness(draw, length, share)
    thickness = _more(draw, thickness, thickest, length / 2)
    return BoardNumbers(
        name=f"trade-like {seed}",
        length=length,
        outline=outline,
        wide=wide,
        wide_at=wide_at,
        tail=tail,
        rocker=rocker,
        low_at=draw.one_of(None, None, on_tape(lowest)),
        thickness=thickness,
        thickest=thickest,
        thickest_at=draw.one_of(None, on_tape(length / 2 + draw.between(-2, 4) * INCH)),
        rails=_rails(draw, length),
        deck=_deck(draw, length),
        bottom=_bottom(draw, length),
        fins=_fins(draw, outline, Mark(length / 2, wide, "wide")),
    )


def _marks(*pairs: tuple[float, float]) -> tuple[Mark, ...]:
    return tuple(Mark(x, value, f"{x / INCH:g} from tail") for x, value in pairs)


def _power(tip: float, middle: float, reach: float, spot: float) -> float:
    """The number 24 in from a tip on the power curve from `tip` through `spot` (12 in) to `middle`."""
    power = math.log((spot - middle) / (tip - middle)) / math.log(1 - SPOT / reach)
    return on_tape(middle + (tip - middle) * (1 - 2 * SPOT / reach) ** power)


def _more(draw: Draw, marks: tuple[Mark, ...], middle: float, lowest: float) -> tuple[Mark, ...]:
    """Sometimes the sheet has numbers 24 in from the tips too, as measured off a fair board."""
    length = marks[-1].x
    if length < 72 * INCH or not draw.chance(0.3):
        return marks
    tail, near_tail, near_nose, nose = (m.value for m in marks)
    ends = (
        (2 * SPOT, _power(tail, middle, lowest, near_tail)),
        (length - 2 * SPOT, _power(nose, middle, length - lowest, near_nose)),
    )
    return tuple(sorted((*marks, *_marks(*ends)), key=lambda mark: mark.x))


def _wide(draw: Draw, length: float, share: float) -> tuple[float, float | None]:
    wide = draw.length(18.5 + 3 * share, 21 + 3 * share, EIGHTH)
    at = on_tape(length / 2 + draw.between(-4, 4) * INCH, INCH / 2)
    return wide, draw.one_of(at, at, None)


def _tail(draw: Draw) -> tuple[Tail, float]:
    kind = draw.one_of(*TailKind)
    if kind in (TailKind.PIN, TailKind.ROUND, TailKind.ROUNDED_PIN):
        return Tail(kind), 0.0
    width, given = draw.length(*_TAIL_WIDTHS[kind], EIGHTH), {}
    if kind is TailKind.SQUARE:
        given = {"tail_corner": draw.one_of(0.0, 0.75 * INCH, 1.25 * INCH)}
    if kind is TailKind.SWALLOW:
        given = {"tail_depth": draw.length(2, 6, EIGHTH), "tail_tip_width": draw.length(0.5, 1.25, EIGHTH)}
    if kind is TailKind.DIAMOND:
        given = {"tail_depth": draw.length(1.5, 4, EIGHTH)}
    if kind is TailKind.BAT:
        given = {"tail_point": draw.one_of(0.0, 0.25 * INCH, 0.5 * INCH)}
    return tail_of(kind, width, given), width


_TAIL_WIDTHS = {
    TailKind.SQUARE: (5, 7),
    TailKind.SQUASH: (4, 7),
    TailKind.DIAMOND: (4, 7),
    TailKind.CRESCENT: (5, 8),
    TailKind.BAT: (6, 9),
    TailKind.SWALLOW: (5, 10),
}


def _outline(draw: Draw, length: float, share: float, wide_and_tail: tuple[float, float]) -> tuple[Mark, ...]:
    wide, tail = wide_and_tail
    near_tail = on_tape(wide * draw.between(0.68, 0.8), EIGHTH)
    near_nose = on_tape(wide * draw.between(0.55 + 0.18 * share, 0.66 + 0.18 * share), EIGHTH)
    return _marks((0.0, tail), (SPOT, near_tail), (length - SPOT, near_nose), (length, 0.0))


def _run(draw: Draw, height: float, reach: float, powers: tuple[float, float]) -> float:
    """Height 12 in from a tip on a power curve from the lowest point to the tip."""
    return on_tape(height * ((reach - SPOT) / reach) ** draw.between(*powers))


def _rocker(draw: Draw, length: float, share: float, lowest: float) -> tuple[Mark, ...]:
    nose, tail = draw.length(4.25 - 1.25 * share, 5.75 - 1.5 * share), draw.length(1.25, 2.75)
    near_nose = _run(draw, nose, length - lowest, (2.0, 2.9))
    near_tail = _run(draw, tail, lowest, (1.8, 2.6))
    return _marks((0.0, tail), (SPOT, near_tail), (length - SPOT, near_nose), (length, nose))


def _thickness(draw: Draw, length: float, share: float) -> tuple[float, tuple[Mark, ...]]:
    thickest = draw.length(2.125 + 0.4 * share, 2.75 + 0.5 * share)
    nose, tail = draw.length(0.5, 0.75), draw.length(0.5625, 1.0)
    near_nose = on_tape(nose + (thickest - nose) * draw.between(0.45, 0.62))
    near_tail = on_tape(tail + (thickest - tail) * draw.between(0.48, 0.65))
    return thickest, _marks((0.0, tail), (SPOT, near_tail), (length - SPOT, near_nose), (length, nose))


def _rails(draw: Draw, length: float) -> tuple[RailMark, ...]:
    places = (0.0, SPOT, length / 2, length - 2 * SPOT)
    edges = draw.one_of(
        (Edge.HARD, Edge.TUCKED, Edge.SOFT, Edge.SOFT),
        (Edge.HARD, Edge.HARD, Edge.TUCKED, Edge.SOFT),
        (Edge.SOFT, Edge.SOFT, Edge.SOFT, Edge.SOFT),
    )
    apex = np.linspace(draw.between(0.05, 0.3), draw.between(0.4, 0.5), len(places))
    tuck = (
        0.0,
        draw.length(0.125, 0.5, EIGHTH),
        draw.length(0.25, 1.0, EIGHTH),
        draw.length(0.25, 1.0, EIGHTH),
    )
    return tuple(
        RailMark(x, float(a), t, f"{x / INCH:g} from tail", edge)
        for x, a, t, edge in zip(places, apex, tuck, edges, strict=True)
    )


def _deck(draw: Draw, length: float) -> tuple[DeckMark, ...]:
    return (DeckMark(length / 2, draw.length(0.0, 0.625), draw.length(1.0, 3.25, EIGHTH), "centre"),)


def _bottom(draw: Draw, length: float) -> tuple[Term, ...]:
    places = (length - 18 * INCH, length / 2, SPOT, INCH)
    aft = (2 * SPOT, SPOT, 0.0, 0.0)
    wanted = {
        "concave": Stretch(*places),
        "double concave": Stretch(2 * SPOT, SPOT, 6 * INCH, INCH),
        "vee": Stretch(*aft),
        "roll": Stretch(length, length, length - SPOT, length / 2),
    }
    most = {"double concave": 0.1875, "roll": 0.125}
    return tuple(
        term_of(shape, stretch, depth=draw.length(0.0625, most.get(shape, 0.25)))
        for shape, stretch in wanted.items()
        if draw.chance(0.5)
    )


def _fins(draw: Draw, outline: tuple[Mark, ...], wide: Mark) -> tuple[FinMark, ...]:
    layout = draw.one_of(None, *Layout)
    marks = sorted([*outline, wide], key=lambda mark: mark.x)
    return usual_fins(layout, marks) if layout else ()


def random_blank(seed: int) -> BlankNumbers:
    """Return a blank that often, not always, contains ``random_board(seed)``."""
    draw = Draw(np.random.default_rng([seed, 2]))
    board = random_board(seed)
    family = draw.one_of(FoamFamily.EPS, FoamFamily.XPS, FoamFamily.PU)
    domed = family is FoamFamily.PU
    length = board.length + draw.length(-1, 5, INCH)
    return BlankNumbers(
        id=f"trade-like {seed}",
        foam=Foam(family, draw.one_of(20.0, 24.0, 32.0, 40.0)),
        section=Section.DOMED if domed else Section.SQUARE,
        length=length,
        rocker=_blank_rocker(draw, board, length),
        stringer=Stringer("basswood", draw.one_of(0.0, EIGHTH, 3 * SIXTEENTH)),
        price=round(draw.between(60, 140), 2),
        currency="EUR",
        on_hand=draw.one_of(0, 1, 2, 5),
        lead_time_days=draw.one_of(0.0, 7.0, 21.0),
        hard_face=Face.DECK if domed else None,
        hard_most=EIGHTH if domed else math.inf,
        skim_bottom=INCH / 32,
        skim_deck=INCH / 32,
        **(_domed(draw, board, length) if domed else _square(draw, board, length)),
    )


def _four(marks: tuple[Mark, ...]) -> tuple[float, float, float, float]:
    """Numbers at the tips and 12 in from them."""
    return marks[0].value, marks[1].value, marks[-2].value, marks[-1].value


def _blank_rocker(draw: Draw, board: BoardNumbers, length: float) -> tuple[Mark, ...]:
    tail, near_tail, near_nose, nose = _four(board.rocker)
    more = draw.length(-0.25, 1.0)
    return _marks(
        (0.0, tail + draw.length(-0.25, 0.75)),
        (SPOT, near_tail),
        (length - SPOT, near_nose + on_tape(more / 3)),
        (length, nose + more),
    )


def _square(draw: Draw, board: BoardNumbers, length: float) -> dict[str, object]:
    thick = on_tape(board.thickest + draw.between(0.0, 0.5) * INCH, INCH / 4)
    width = board.wide + draw.length(0.5, 3, INCH / 4)
    return {
        "thickness": _marks((0.0, thick), (length, thick)),
        "outline": _marks((0.0, width), (length, width)),
        "wide": None,
        "wide_at": None,
        "dome": (),
    }


def _domed(draw: Draw, board: BoardNumbers, length: float) -> dict[str, object]:
    tail, near_tail, near_nose, nose = _four(board.thickness)
    more, wide = draw.length(0.4, 1.0), board.wide + draw.length(1, 3, INCH / 4)
    return {
        "thickness": _marks(
            (0.0, tail + more),
            (SPOT, near_tail + more),
            (on_tape(length / 2), board.thickest + more),
            (length - SPOT, near_nose + more),
            (length, nose + more),
        ),
        "outline": _marks(
            (0.0, draw.length(9, 12)),
            (SPOT, on_tape(wide * 0.82)),
            (length - SPOT, on_tape(wide * 0.72)),
            (length, draw.length(4, 7)),
        ),
        "wide": wide,
        "wide_at": on_tape(length / 2),
        "dome": _marks((0.0, 0.6), (on_tape(length / 2), 0.7), (length, 0.55)),
    }
