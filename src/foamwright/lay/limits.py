"""What the line of a lay must keep between: the two point sets of MODEL 5, at one slide.

Decisions:

- From each face at least ``max(skim of the blank, finishing allowance of the bay)`` comes off: both are
  the least foam that must go, and the sanding takes its share out of the skim.
- Where a blank has a hard face, no more than `hard_most` may come off it where the rider stands, the
  middle half of the board (docs/architecture.md).
- The outline keeps the saw's margin to the blank's outline, sideways and at both tips.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import BlankNumbers, Face
from foamwright.lay.profiles import BlankAt, BlankProfile, BoardProfile, Floats, held
from foamwright.shape.kernels.line_between import Line, line_between


@dataclass(frozen=True, slots=True)
class Lay:
    """Where a board sits in a blank.

    Attributes
    ----------
    slide
        Metres from the blank's tail to the board's tail tip.
    lift
        Metres the board's level line lies above the blank's at the board's tail tip.
    tilt
        Nose up, radians; small, so the board's level line in the blank's frame is ``lift + tilt * x``.
    """

    slide: float
    lift: float
    tilt: float

    def line(self, x: Floats) -> Floats:
        """Return the height of the board's level line in the blank's frame at board stations `x`."""
        return np.asarray(self.lift + self.tilt * x)


@dataclass(frozen=True, slots=True)
class Allowed:
    """Least (`skim`) and most (`most`, infinite where nothing forbids) that comes off each face, metres."""

    skim_bottom: float
    skim_deck: float
    most_bottom: float
    most_deck: float

    @property
    def soft(self) -> Allowed:
        """The same without any limit on the most."""
        return replace(self, most_bottom=np.inf, most_deck=np.inf)

    @property
    def has_hard_face(self) -> bool:
        """Whether a face has a limit on the most."""
        return bool(min(self.most_bottom, self.most_deck) < np.inf)


def allowed_of(blank: BlankNumbers, bay: Bay) -> Allowed:
    """Return what must and what may come off the faces of a blank in a bay."""
    return Allowed(
        skim_bottom=max(blank.skim_bottom, bay.allowances.finish),
        skim_deck=max(blank.skim_deck, bay.allowances.finish),
        most_bottom=blank.hard_most if blank.hard_face is Face.BOTTOM else np.inf,
        most_deck=blank.hard_most if blank.hard_face is Face.DECK else np.inf,
    )


def stands_on(board: BoardProfile) -> Floats:
    """Return (N,) 1 at the stations where the rider stands (the middle half), else 0."""
    quarter = 0.25 * board.length
    stands = (board.x >= quarter - 1e-9) & (board.x <= board.length - quarter + 1e-9)
    return held(stands.astype(np.float64))


@dataclass(frozen=True, eq=False)
class Limits:
    """The two point sets: (N,) stations, and heights that ``lift + tilt * x`` must not go below or above."""

    x: Floats
    lower: Floats
    upper: Floats

    @property
    def room(self) -> Floats:
        """(N,) height between the two at each station: what a blank of matching curve would leave."""
        return np.asarray(self.upper - self.lower)

    def best_line(self, toward: Floats) -> Line:
        """Return the line with the least ``toward[0]*lift + toward[1]*tilt``, or the one that nearly fits."""
        room = np.empty((2, 3, self.x.size))
        return line_between(held(self.x), held(self.lower), held(self.upper), held(toward), room)

    def widest_line(self) -> Line:
        """Return the line halfway between the two where they are farthest apart."""
        return self.best_line(np.zeros(2))

    def tightened(self, lower: Floats, upper: Floats) -> Limits:
        """Return the limits with those of a correction on top."""
        return Limits(self.x, np.maximum(self.lower, lower), np.minimum(self.upper, upper))


def crown_room(board: BoardProfile, dome: Floats) -> Floats:
    """Return (..., N) how much nearer a dome comes to the deck beside the stringer than on it; <= 0."""
    across = board.half_width[:, None] * board.share[None, :]
    return np.asarray(np.min(board.drop - dome[..., None] * across**2, axis=-1, initial=0.0))


def limits_at(board: BoardProfile, blank: BlankAt, allowed: Allowed) -> Limits:
    """Return the limits of a board in a blank that was read at the board's stations.

    Parameters
    ----------
    board
        The board.
    blank
        The blank at ``board.x + slide``.
    allowed
        What must and may come off.

    Returns
    -------
    Limits
        Metres, in the blank's frame.
    """
    lower = blank.bottom - board.bottom + allowed.skim_bottom
    upper = blank.deck - board.deck - allowed.skim_deck + crown_room(board, blank.dome)
    stands = stands_on(board) > 0.0
    lower_hard = np.where(stands, blank.deck - board.deck - allowed.most_deck, -np.inf)
    upper_hard = np.where(stands, blank.bottom - board.bottom + allowed.most_bottom, np.inf)
    return Limits(board.x, np.maximum(lower, lower_hard), np.minimum(upper, upper_hard))


def slide_range(board: BoardProfile, blank: BlankProfile, bay: Bay) -> tuple[float, float]:
    """Return the least and greatest slide; the first is larger where the blank is too short."""
    saw = bay.allowances.saw
    return saw, most_slide(blank.length, board.length, saw)


def most_slide(blank: float, board: float, saw: float) -> float:
    """Return the greatest slide for two lengths; a blank that is just long enough has one for sure."""
    most = blank - board - saw
    return saw if abs(most - saw) < 1e-9 else most
