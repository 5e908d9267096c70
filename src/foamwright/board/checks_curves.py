"""Long curves: bumps, straight parts, and places that bend much harder than what is beside them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from foamwright.board.board import Board
from foamwright.board.check_places import Places, grid, stretches, together
from foamwright.findings import Finding, Severity, said
from foamwright.shape.curves import Floats
from foamwright.units import INCH

SEEN = INCH / 64
"""A hollow or a straight part counts when it lies this far from its chord. What a batten shows; no source."""

LONGEST_FLAT = 24 * INCH
"""Longest straight part of a rocker or an outline that is no matter. Common practice, no source."""

BESIDE = 6 * INCH
"""How far off a place is compared with what is beside it. Common practice, no source."""

TIGHTEST = 2.5
"""Bend of a place as a multiple of the bend on either side. Common practice, no source."""


SAID = {
    "rocker": said("curve.rocker", "rocker"),
    "foil": said("curve.foil", "foil"),
    "outline": said("curve.outline", "outline"),
}
"""Long curves by name, as findings say them."""


@dataclass(frozen=True, eq=False)
class LongCurve:
    """A long curve of a board, with the sign of its bend that the trade expects (+1 hollow, seen from above).

    Attributes
    ----------
    name
        As the sheet calls it.
    height, bend
        The curve and its second derivative over stations.
    sign
        -1 for foil and outline, +1 for the rocker.
    start, stop
        Where it is a curve at all: the outline's tips are round, and the tail's form is not its own.
    """

    name: str
    height: Callable[[Floats], Floats]
    bend: Callable[[Floats], Floats]
    sign: float
    start: float
    stop: float

    @property
    def said(self) -> str:
        """Its name, as findings say it."""
        return SAID[self.name]

    def where(self, place: str) -> str:
        """Return a place on the curve."""
        return said("where.curve", "{curve}, {place}", curve=self.said, place=place)

    def stations(self, board: Board) -> Floats:
        """Return the stations at which it is looked over."""
        x = grid(board)
        return x[(x >= self.start) & (x <= self.stop)]


def long_curves(board: Board) -> tuple[LongCurve, ...]:
    """Return the rocker, the foil and the outline of a board."""
    side, length = board.outline.side, board.length
    rocker = LongCurve("rocker", board.rocker, partial(board.rocker, derivative=2), 1.0, 0.0, length)
    # A beak is rolled down, not part of the fair foil.
    foiled = length - (board.numbers.beak.length if board.numbers.beak else 0.0)
    foil = LongCurve("foil", board.thickness, partial(board.thickness, derivative=2), -1.0, 0.0, foiled)
    start = max(board.outline.corner, side.start) + INCH
    return rocker, foil, LongCurve("outline", side, side.bend, -1.0, start, length - INCH)


def check_curves(board: Board, places: Places) -> list[Finding]:
    """Return bumps, straight parts and tight places of the long curves."""
    found: list[Finding] = []
    for curve in long_curves(board):
        x = curve.stations(board)
        found += _bumps(curve, x, places)
        found += _tight(curve, x, places)
        found += _flats(curve, x, places) if curve.name != "foil" else []
    return found


def _bumps(curve: LongCurve, x: Floats, places: Places) -> list[Finding]:
    """Where a curve bends the other way: its numbers ask for it, and a person may not have meant it."""
    runs = stretches(x, curve.sign * curve.bend(x) < 0.0)
    deep = [(_sagitta(curve, x[a : b + 1]), places.between(float(x[a]), float(x[b]))) for a, b in runs]
    seen = [(depth, where) for depth, where in deep if depth > SEEN]
    return [_bump(curve, seen, places)] if seen else []


def _sagitta(curve: LongCurve, x: Floats) -> float:
    height = curve.height(x)
    chord = np.interp(x, x[[0, -1]], height[[0, -1]])
    return float(np.max(np.abs(height - chord)))


def _bump(curve: LongCurve, seen: list[tuple[float, str]], places: Places) -> Finding:
    depth, where = max(seen)[0], together([place for _, place in seen])
    return Finding(
        "curve-bump",
        Severity.WARNING,
        curve.where(where),
        depth,
        SEEN,
        "m",
        said(
            "curve-bump",
            "The {curve} bends the other way at {place}, by {depth}: so its numbers ask.",
            curve=curve.said,
            place=where,
            depth=places.amount(depth),
        ),
        said(
            "curve-bump.remedy",
            "If that is not meant, bring the numbers of the {curve} there nearer to the even curve.",
            curve=curve.said,
        ),
    )


def _flats(curve: LongCurve, x: Floats, places: Places) -> list[Finding]:
    straight = np.abs(curve.bend(x)) < 8.0 * SEEN / LONGEST_FLAT**2
    ends = [(float(x[a]), float(x[b])) for a, b in stretches(x, straight)]
    return [_flat(curve, e, places) for e in ends if e[1] - e[0] > LONGEST_FLAT]


def _flat(curve: LongCurve, ends: tuple[float, float], places: Places) -> Finding:
    where, run = places.between(*ends), ends[1] - ends[0]
    return Finding(
        "curve-flat",
        Severity.NOTE,
        curve.where(where),
        run,
        LONGEST_FLAT,
        "m",
        said(
            "curve-flat",
            "The {curve} is straight for {run}, from {place}.",
            curve=curve.said,
            run=places.amount(run),
            place=where,
        ),
        said(
            "curve-flat.remedy",
            "A long straight is fast and hard to turn: bend it a little if the board should turn.",
        ),
    )


def _tight(curve: LongCurve, x: Floats, places: Places) -> list[Finding]:
    inside = x[(x > curve.start + 2.0 * BESIDE) & (x < curve.stop - 2.0 * BESIDE)]
    bend = np.abs(curve.bend(inside))
    beside = np.maximum(np.abs(curve.bend(inside - BESIDE)), np.abs(curve.bend(inside + BESIDE)))
    ratio = bend / np.maximum(beside, 1e-9)
    worst = [a + int(np.argmax(ratio[a : b + 1])) for a, b in stretches(inside, ratio > TIGHTEST)]
    where = [places.at(float(inside[w])) for w in worst]
    return [_kink(curve, float(np.max(ratio[worst])), together(where), places)] if worst else []


def _kink(curve: LongCurve, ratio: float, where: str, places: Places) -> Finding:
    return Finding(
        "curve-tight",
        Severity.WARNING,
        curve.where(where),
        ratio,
        TIGHTEST,
        "1",
        said(
            "curve-tight",
            "The {curve} bends {times} times harder at {place} than {beside} beside it.",
            curve=curve.said,
            times=f"{ratio:.1f}",
            place=where,
            beside=places.amount(BESIDE),
        ),
        said(
            "curve-tight.remedy",
            "Move a number of the {curve} near there until the bend spreads out.",
            curve=curve.said,
        ),
    )
