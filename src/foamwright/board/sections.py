"""How a board's sections vary along it: what is given at stations becomes numbers everywhere.

Tuck, apex, roll and fullness run monotone between their stations; an edge fades by the share of the rise that
its first tangent takes, so that what holds at the stations holds between them; the crown falls with the
thickness and with the root of the width.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from foamwright.board.contours.terms import Term
from foamwright.board.numbers import BoardNumbers, DeckMark, DeckStep, Edge, RailMark
from foamwright.board.section import InnerStep, RailStep, SectionNumbers, terms_at
from foamwright.shape.curves import Floats
from foamwright.shape.fade import fade
from foamwright.shape.monotone import Monotone
from foamwright.units import INCH

MOST_TUCK, MOST_ROLL = 0.3, 0.42
"""Most that tuck and roll take of the half-width (of the foam beside a notch). Common practice, no source."""

MOST_ROLL_AT_NOTCH = 0.5
"""Beside a notch the roll takes at most half of the foam's width. Common practice, no source."""

EDGE_FADE = 8 * INCH
"""An edge begins over the last 8 in before it is full. Common practice, no source."""

USUAL_ANGLE = math.radians(45.0)
"""Of a tucked-under edge, where the apex is high enough. Common practice, no source."""

STEEPEST = 0.9
"""Else it takes this share of what the apex allows. Common practice, no source."""

USUAL_TUCK = INCH / 2
USUAL_CROWN, USUAL_ROLL = 5 * INCH / 16, 9 * INCH / 4
"""What a sheet means that does not say. Common practice, no source."""

PARTS, PARTINGS = 16, 10
"""A place is searched in so many parts at once, so many times: some 1e-14 of the board's length."""

Line = Callable[[Floats], Floats]


@dataclass(frozen=True, eq=False)
class Edges:
    """The share `steep` (see `SectionNumbers`) along a board, from stations."""

    x: Floats
    steep: Floats
    soft: tuple[bool, ...]

    def __call__(self, at: Floats) -> Floats:
        """Return the share at stations (N,)."""
        total = np.full(np.shape(at), self.steep[0])
        for n, (start, stop) in enumerate(self.spans):
            total = total + (self.steep[n + 1] - self.steep[n]) * fade((at - start) / max(stop - start, 1e-9))
        return total

    @property
    def spans(self) -> list[tuple[float, float]]:
        """Where each change between two stations takes place."""
        found = []
        for n in range(self.x.size - 1):
            start, stop = float(self.x[n]), float(self.x[n + 1])
            if self.soft[n] and not self.soft[n + 1]:
                start = max(start, stop - EDGE_FADE)
            elif self.soft[n + 1] and not self.soft[n]:
                stop = min(stop, start + EDGE_FADE)
            found.append((start, stop))
        return found

    @property
    def marks(self) -> list[float]:
        """Stations where a change begins or ends."""
        return [x for n, span in enumerate(self.spans) if self.steep[n] != self.steep[n + 1] for x in span]


@dataclass(frozen=True, slots=True)
class TipLimits:
    """Most crown and roll of a swallow's tips, metres; they fade out forward, by `until`."""

    crown: float
    roll: float
    until: float

    def kept(self, value: Floats, most: float, x: Floats) -> Floats:
        """Return a crown or a roll (N,), in the tips no more than it may be."""
        share = fade(x / self.until)
        return np.where(value > most, most + (value - most) * share, value)


@dataclass(frozen=True, eq=False)
class Sections:
    """How the section varies along a board; `crown` is over thickness and root of the half-width."""

    half_width: Line
    inner: Line
    foil: Line
    tuck: Monotone
    apex: Monotone
    lower: Monotone
    edges: Edges
    roll: Monotone
    crown: Monotone
    upper: Monotone
    terms: tuple[Term, ...]
    deck_step: DeckStep | None = None
    rail_step: RailStep | None = None
    length: float = 0.0
    tips: TipLimits | None = None

    def tuck_at(self, x: Floats) -> Floats:
        """Return the tuck (N,), never more than its share of the foam's width."""
        return self._tuck(x, self.foam(x))

    def _tuck(self, x: Floats, foam: Floats) -> Floats:
        return np.minimum(self.tuck(x), MOST_TUCK * foam)

    def roll_at(self, x: Floats) -> Floats:
        """Return the roll (N,), never more than its share of the foam's width."""
        half = self.half_width(x)
        return self._roll(x, half, half - self.inner(x))

    def _roll(self, x: Floats, half: Floats, foam: Floats) -> Floats:
        roll = np.minimum(self.roll(x), _most_roll(half, foam))
        return roll if self.tips is None else self.tips.kept(roll, self.tips.roll, x)

    def _crown(self, x: Floats, half: Floats) -> Floats:
        """Return the crown (N,) by thickness and width, before a swallow's tips limit it."""
        return np.asarray(self.crown(x) * self.foil(x) * np.sqrt(half))

    def most_roll(self, x: Floats) -> Floats:
        """Return the most that the roll takes (N,)."""
        half = self.half_width(x)
        return _most_roll(half, half - self.inner(x))

    def foam(self, x: Floats) -> Floats:
        """Return the width of the foam (N,) from stringer or notch to the edge."""
        return np.asarray(self.half_width(x) - self.inner(x))

    def at(self, x: Floats, rocker: Floats, thickness: Floats) -> SectionNumbers:
        """Return the section's numbers at `x` (N,) with the finished stringer line there (N,)."""
        half = self.half_width(x)
        foam = half - self.inner(x)
        crown = self._crown(x, half)
        if self.tips is not None:
            crown = self.tips.kept(crown, self.tips.crown, x)
        inner = self._inner_step(x, half)
        whole = thickness[:, None] if inner is None else thickness[:, None] + inner.step
        return SectionNumbers(
            rocker=rocker[:, None],
            thickness=whole,
            half=half[:, None],
            tuck=self._tuck(x, foam)[:, None],
            roll=self._roll(x, half, foam)[:, None],
            crown=crown[:, None],
            apex=self.apex(x)[:, None],
            steep=self.edges(x)[:, None],
            lower=self.lower(x)[:, None],
            upper=self.upper(x)[:, None],
            terms=terms_at(self.terms, x),
            rail_steps=(
                *(() if self.rail_step is None else (self._rail_step(half),)),
                *(() if inner is None else (inner,)),
            ),
        )

    def lowered(self, x: Floats) -> Floats:
        """Return what a step of the deck takes off at the stringer (N,)."""
        step = self.deck_step
        return np.zeros_like(x) if step is None else np.asarray(step.step * fade((x - step.x) / step.blend))

    def _inner_step(self, x: Floats, half: Floats) -> InnerStep | None:
        """A step of the deck that leaves a margin along the rail, which is at most the half-width."""
        if self.deck_step is None or self.deck_step.margin == 0.0:
            return None
        margin = np.maximum(np.minimum(self.deck_step.margin, half), 1e-9)
        return InnerStep(self.lowered(x)[:, None], margin[:, None])

    def _rail_step(self, half: Floats) -> RailStep:
        """The step along the rail, drawn together where the board is too narrow for it."""
        assert self.rail_step is not None
        step = self.rail_step
        room = np.minimum(1.0, half[:, None] / (2.0 * (step.margin + step.blend)))
        small = np.maximum(room, 1e-9)
        return RailStep(step.step * room, step.margin * small, step.blend * small)

    @property
    def marks(self) -> list[float]:
        """Stations where the sections may have a kink along the board."""
        curves = (self.tuck, self.apex, self.lower, self.roll, self.crown, self.upper)
        found = [float(x) for curve in curves if np.ptp(curve.value) > 0.0 for x in curve.x]
        found += [x for term in self.terms for x in term.stretch.marks]
        found += self.edges.marks
        if self.deck_step is not None:
            found += [self.deck_step.x, self.deck_step.x + self.deck_step.blend]
        return [*found, *self._limited()]

    def _limited(self) -> list[float]:
        """Stations where tuck and roll begin to be all that the width allows, or a tip's limits to bind."""
        found = [] if self.tips is None else [self.tips.until]
        limits: list[tuple[Line, Line, float]] = [
            (self.tuck, lambda at: MOST_TUCK * self.foam(at), self.length),
            (self.roll, self.most_roll, self.length),
        ]
        if self.tips is not None:
            roll, crown = np.array(self.tips.roll), np.array(self.tips.crown)
            limits += [
                (lambda at: np.minimum(self.roll(at), self.most_roll(at)), lambda at: roll, self.tips.until),
                (lambda at: self._crown(at, self.half_width(at)), lambda at: crown, self.tips.until),
            ]
        for wanted, most, until in limits:
            x = np.linspace(0.0, until, 129)
            over = wanted(x) > most(x)
            for n in np.flatnonzero(over[:-1] != over[1:]):
                low, high = float(x[n]), float(x[n + 1])
                for _ in range(PARTINGS):
                    at = np.linspace(low, high, PARTS + 1)
                    turned = (wanted(at) > most(at)) != over[n]
                    # The first place that has turned; the far end had, whatever rounding says now.
                    first = int(np.argmax(turned[1:])) + 1 if np.any(turned[1:]) else PARTS
                    low, high = float(at[first - 1]), float(at[first])
                found.append(high)
        return found


def _most_roll(half: Floats, foam: Floats) -> Floats:
    return np.minimum(MOST_ROLL * half, MOST_ROLL_AT_NOTCH * foam)


def sections_of(
    board: BoardNumbers, half_width: Line, inner: Line, foil: Line, tips: TipLimits | None = None
) -> Sections:
    """Return how a board's sections vary along it; `foil` is the thickness before any step of the deck."""
    rails, deck = board.rails, board.deck or (usual_deck(board.length),)
    soft = tuple(mark.edge is Edge.SOFT for mark in rails)
    x = np.array([mark.x for mark in rails])
    size = np.array([_size(mark, board.length, half_width, foil) for mark in deck])
    sections = Sections(
        half_width=half_width,
        inner=inner,
        foil=foil,
        tuck=Monotone(x, np.array([mark.tuck for mark in rails])),
        apex=Monotone(x, np.array([mark.apex for mark in rails])),
        lower=Monotone(x, np.array([mark.fullness for mark in rails])),
        edges=Edges(x, np.zeros(x.size), soft),
        roll=_deck(deck, [mark.roll for mark in deck]),
        crown=_deck(deck, [mark.crown / one for mark, one in zip(deck, size, strict=True)]),
        upper=_deck(deck, [mark.fullness for mark in deck]),
        terms=board.bottom,
        deck_step=board.deck_step,
        rail_step=None
        if board.rail_step is None
        else RailStep(
            *(np.array([[v]]) for v in (board.rail_step.step, board.rail_step.margin, board.rail_step.blend))
        ),
        length=board.length,
        tips=tips,
    )
    sections = replace(sections, terms=tuple(_anchored(term, sections) for term in board.bottom))
    steep = np.array([min(steepness(mark, sections), 1.0) for mark in rails])
    return replace(sections, edges=Edges(x, steep, soft))


def usual_deck(length: float) -> DeckMark:
    """Return the deck of a board whose sheet does not say it."""
    return DeckMark(length / 2.0, USUAL_CROWN, USUAL_ROLL, "centre")


def _deck(marks: tuple[DeckMark, ...], values: list[float]) -> Monotone:
    return Monotone(np.array([mark.x for mark in marks]), np.array(values))


def _size(mark: DeckMark, length: float, half_width: Line, foil: Line) -> float:
    """Thickness and root of the half-width where a crown is given; at a tip, 1 in in from it."""
    at = np.array([min(max(mark.x, INCH), length - INCH)])
    return float(foil(at)[0] * np.sqrt(half_width(at)[0]))


def _anchored(term: Term, sections: Sections) -> Term:
    """A term that runs along the rail keeps the distance from the edge that it has where it is full."""
    if term.words.get("along") != "rail":
        return term
    at = np.array([term.stretch.fore])
    edge = float((sections.half_width(at) - sections.tuck_at(at))[0])
    return replace(term, numbers={**term.numbers, "anchor": edge})


def steepness(mark: RailMark, sections: Sections) -> float:
    """Return the share of the rise that an edge's first tangent takes; over 1 its angle is too steep."""
    if mark.edge is not Edge.TUCKED:
        return float(mark.edge is Edge.HARD)
    if mark.angle is None:
        usual = _share_of(math.tan(USUAL_ANGLE), mark, sections)
        return min(usual, STEEPEST)
    return _share_of(math.tan(mark.angle), mark, sections)


def _share_of(slope: float, mark: RailMark, sections: Sections) -> float:
    x = np.array([mark.x])
    numbers = sections.at(x, np.zeros(1), sections.foil(x) - sections.lowered(x))
    rise = float(numbers.rise[0, 0])
    return float(numbers.tuck[0, 0]) * slope / rise if rise > 1e-9 else 0.0
