"""The chain of solids from blank to finished core, each inside the one before.

``blank > outline > thickness > rocker > foil > contours > rails > finished``, all in the board's frame on
the same stations, so that nesting is a comparison of arrays. Every stage before the last leaves the
bay's finishing allowance on each face.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from foamwright.blank.blank import Blank
from foamwright.board.board import Board
from foamwright.errors import FaultError
from foamwright.shape.curves import Floats

STATIONS = 305
"""Stations along the board: at most 10 mm apart on the longest board we take (10 ft)."""
ACROSS = 17
"""Places across the half-width."""
ROUNDING = 1e-9
"""Metres by which two heights may differ by arithmetic alone."""
TOUCHING = 2e-6
"""Metres to which a lay is exact between its own stations."""


class StageName(StrEnum):
    """The stages, in the order they are cut."""

    BLANK = "blank"
    OUTLINE = "outline"
    THICKNESS = "thickness"
    ROCKER = "rocker"
    FOIL = "foil"
    CONTOURS = "contours"
    RAILS = "rails"
    FINISHED = "finished"


class Placed(Protocol):
    """Where the board lies in the blank (see `foamwright.lay`), metres and radians."""

    @property
    def slide(self) -> float:
        """Blank station under the board's tail tip."""

    @property
    def lift(self) -> float:
        """Height of the board's level line above the blank's, at the tail tip."""

    @property
    def tilt(self) -> float:
        """Slope of the board's level line in the blank, nose up."""


@dataclass(frozen=True, eq=False)
class Stage:
    """One solid of the chain on common stations.

    Attributes
    ----------
    name
        Which stage.
    x
        (N,) stations from the board's tail tip.
    bottom, deck
        (N,) heights at the stringer above the board's level line.
    half_width
        (N,) half the outline.
    bottom_across, deck_across
        (N, K) heights at even shares of the finished board's half-width.
    """

    name: StageName
    x: Floats
    bottom: Floats
    deck: Floats
    half_width: Floats
    bottom_across: Floats
    deck_across: Floats

    @property
    def thickness(self) -> Floats:
        """(N,) thickness at the stringer."""
        return np.asarray(self.deck - self.bottom)


@dataclass(frozen=True, eq=False)
class Faces:
    """What has to leave each face at the stringer before the contours, allowance left on: (N,) metres.

    `even` is what the thickness stage takes, `rest` what the rocker or the foil takes.
    """

    removal: Floats
    even: Floats
    rest: Floats
    pivot: int


def split_even(removal: Floats) -> Faces:
    """Split what leaves a face into an even part and a rest that only grows towards each tip.

    The pivot is the place of least removal in the middle third, where no run-off should start. Towards
    each tip the rest is the greatest curve under the removal that never shrinks on the way, less its
    value at the pivot. The even part is what remains, humps included: so the rocker and the foil are true
    run-offs, and the thickness passes take everything else.

    Parameters
    ----------
    removal
        (N,) metres to come off at the stringer, >= 0, on even stations.
    """
    third = removal.size // 3
    pivot = third + int(np.argmin(removal[third : removal.size - third]))
    aft = np.minimum.accumulate(removal[: pivot + 1])
    fore = np.minimum.accumulate(removal[pivot:][::-1])[::-1]
    rest = np.concatenate([(aft - aft[-1])[:-1], fore - fore[0]])
    return Faces(removal, removal - rest, rest, pivot)


@dataclass(frozen=True, eq=False)
class Chain:
    """The stages of one job, with the splits of both faces and the allowance left for sanding."""

    stages: tuple[Stage, ...]
    bottom: Faces
    deck: Faces
    finish: float

    def stage(self, name: StageName) -> Stage:
        """Return one stage by name."""
        return next(s for s in self.stages if s.name is name)

    @property
    def x(self) -> Floats:
        """(N,) the common stations."""
        return self.stages[0].x


def chain_of(board: Board, blank: Blank, lay: Placed, finish: float) -> Chain:
    """Return the nested solids for a board laid in a blank.

    Parameters
    ----------
    board, blank, lay
        The job.
    finish
        Finishing allowance left on each face until the last sanding, metres.

    Raises
    ------
    FaultError
        A stage is not inside the one before (never for a lay that is in the blank).
    """
    builder = _Builder(board, blank, lay, finish)
    chain = Chain(builder.stages(), builder.bottom, builder.deck, finish)
    require_nested(chain.stages)
    return chain


def _just_above(high: Floats, low: Floats) -> NDArray[np.bool_]:
    return np.asarray((high > low) & (high <= low + TOUCHING))


class _Builder:
    """Builds the stages on common stations."""

    def __init__(self, board: Board, blank: Blank, lay: Placed, finish: float) -> None:
        self.board, self.finish = board, finish
        self.x = np.linspace(0.0, board.length, STATIONS)
        self.share = np.linspace(0.0, 1.0, ACROSS)
        line = lay.lift + lay.tilt * self.x
        at = np.clip(self.x + lay.slide, 0.0, blank.length)
        self.blank_bottom, self.blank_deck = blank.bottom(at) - line, blank.deck(at) - line
        self.blank_half = blank.half_width(at)
        self.half = board.half_width(self.x)
        self.dome_drop = blank.dome(at)[:, None] * (self.share * self.half[:, None]) ** 2
        self.pre, self.top = board.pre_contour(self.x), board.deck_line(self.x)
        self.finished_deck = board.deck_at(self.x, self.share)
        self._meet_what_nearly_touches()
        self.bottom = split_even(self.pre - finish - self.blank_bottom)
        self.foil = self._before_a_beak()
        self.deck = split_even(self.blank_deck - self.foil - finish)

    def _before_a_beak(self) -> Floats:
        """Return the deck to plane to: a beak is rolled down by hand afterwards, with the rails."""
        unrolled = self.board.rocker(self.x) + self.board.unrolled(self.x)
        return np.asarray(np.maximum(self.top, np.minimum(unrolled, self.blank_deck - self.finish)))

    def _meet_what_nearly_touches(self) -> None:
        """Let a face that the board reaches to within what a lay is exact to lie on the board.

        A lay is settled on stations of its own; between them a tight blank's curves may be nearer by less
        than `TOUCHING`, which is no foam that anybody could miss.
        """
        planed = self.pre - self.finish
        crown = np.max(self.finished_deck + self.dome_drop, axis=1) + self.finish
        self.blank_bottom = np.where(_just_above(self.blank_bottom, planed), planed, self.blank_bottom)
        self.blank_deck = np.where(_just_above(crown, self.blank_deck), crown, self.blank_deck)

    def _sawn(self) -> Floats:
        """Return the half-widths that are sawn first: a notched tail stays whole, its notch comes last."""
        trimmed, outline = self.half + self.finish, self.board.outline
        if outline.foot == 0.0:
            return trimmed
        whole = np.minimum(outline.drawn(self.x) + self.finish, self.blank_half)
        return np.asarray(np.maximum(trimmed, np.where(self.x < outline.corner, whole, 0.0)))

    def stages(self) -> tuple[Stage, ...]:
        low = self.blank_bottom + self.bottom.even
        high = self.blank_deck - self.deck.even
        planed = self.pre - self.finish
        foil = self.foil + self.finish
        rocker = self.board.rocker(self.x)
        trimmed = self._sawn()
        return (
            self._flat(StageName.BLANK, self.blank_bottom, self.blank_deck, self.blank_half),
            self._flat(StageName.OUTLINE, self.blank_bottom, self.blank_deck, trimmed),
            self._flat(StageName.THICKNESS, low, high, trimmed),
            self._flat(StageName.ROCKER, planed, high, trimmed),
            self._flat(StageName.FOIL, planed, foil, trimmed),
            self._shaped(
                StageName.CONTOURS, (rocker - self.finish, foil), self._contours(), self._domed(foil)
            ),
            self._shaped(
                StageName.RAILS,
                (rocker - self.finish, self.top + self.finish),
                self.board.bottom_at(self.x, self.share) - self.finish,
                self.finished_deck + self.finish,
            ),
            Stage(
                StageName.FINISHED,
                self.x,
                rocker,
                self.top,
                self.half,
                self.board.bottom_at(self.x, self.share),
                self.finished_deck,
            ),
        )

    def _flat(self, name: StageName, bottom: Floats, deck: Floats, half: Floats) -> Stage:
        across = np.repeat(bottom[:, None], ACROSS, axis=1)
        return Stage(name, self.x, bottom, deck, half, across, self._domed(deck))

    def _shaped(
        self, name: StageName, stringer: tuple[Floats, Floats], bottom: Floats, deck: Floats
    ) -> Stage:
        return Stage(name, self.x, stringer[0], stringer[1], self.half + self.finish, bottom, deck)

    def _domed(self, deck: Floats) -> Floats:
        """Return the deck across: the blank's dome, never below the finished deck and its allowance."""
        kept = np.maximum(deck[:, None] - self.dome_drop, self.finished_deck + self.finish)
        return np.asarray(np.minimum(kept, self.blank_deck[:, None] - self.dome_drop))

    def _contours(self) -> Floats:
        shaped = self.board.contour_at(self.x, self.share[None, :])
        return np.asarray(np.maximum(shaped, self.pre[:, None]) - self.finish)


def require_nested(stages: tuple[Stage, ...]) -> None:
    """Raise unless every stage is inside the one before.

    Raises
    ------
    FaultError
        Names the stage, the station and the amount by which foam would have to grow.
    """
    for outer, inner in pairwise(stages):
        excess = {
            "bottom": np.max(outer.bottom_across - inner.bottom_across, axis=1),
            "deck": np.max(inner.deck_across - outer.deck_across, axis=1),
            "edge": inner.half_width - outer.half_width,
        }
        for face, amount in excess.items():
            worst = int(np.argmax(amount))
            if amount[worst] > ROUNDING:
                raise FaultError(
                    f"stage {inner.name} is outside stage {outer.name} at its {face}: "
                    f"{amount[worst] * 1000:.3f} mm at {inner.x[worst] * 1000:.0f} mm from the tail"
                )
