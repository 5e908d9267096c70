"""The numbers of a board as a person gave them, in SI: what a board sheet becomes once read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from foamwright.board.contours.terms import Term
from foamwright.stations import Mark


class TailKind(StrEnum):
    """How the outline ends at the tail."""

    PIN = "pin"
    ROUND = "round"
    ROUNDED_PIN = "rounded pin"
    SQUARE = "square"
    SQUASH = "squash"
    DIAMOND = "diamond"
    CRESCENT = "crescent"
    BAT = "bat"
    SWALLOW = "swallow"


@dataclass(frozen=True, slots=True)
class Tail:
    """Tail form; lengths in metres, 0 where the form has no such thing.

    Attributes
    ----------
    kind
        The form.
    corner_radius
        Radius of the corners, of a diamond's point and of a crescent's tips (0 is sharp).
    depth
        Along the stringer: notch of a swallow, hollow of a crescent, scallops of a bat, point of a diamond.
    bow
        How far forward the corners of a squash lie.
    point
        How far forward the middle point of a bat lies.
    tip_width
        Width of each tip of a swallow.
    crack_bow
        How far a swallow's crack bulges half way.
    """

    kind: TailKind
    corner_radius: float = 0.0
    depth: float = 0.0
    bow: float = 0.0
    point: float = 0.0
    tip_width: float = 0.0
    crack_bow: float = 0.0


@dataclass(frozen=True, slots=True)
class Wing:
    """A step in the outline, each side alike; metres.

    Attributes
    ----------
    x
        Station of the corner.
    step, length
        How far the outline steps in, and over what length aft of the corner.
    flare, fade_forward
        How far it swells at the corner, and how far forward of it that fades out.
    place
        The station as the person named it.
    """

    x: float
    step: float
    length: float
    flare: float
    fade_forward: float
    place: str


@dataclass(frozen=True, slots=True)
class Beak:
    """A deck rolled down to the nose.

    Attributes
    ----------
    length
        Metres of the roll, back from the nose tip.
    tip
        Thickness at the very tip, metres.
    power
        Exponent of the roll: 2 usual, 1.6 softer, 3 blunter.
    """

    length: float
    tip: float
    power: float = 2.0


class Edge(StrEnum):
    """How the rail leaves the bottom."""

    SOFT = "soft"
    TUCKED = "tucked"
    HARD = "hard"


@dataclass(frozen=True, slots=True)
class RailMark:
    """Rail at a station.

    Attributes
    ----------
    x, place
        The station, and its name.
    apex
        Share of the rail's thickness below the apex.
    tuck
        How far in from the edge the bottom's flat ends, metres.
    edge
        How the rail leaves the bottom.
    angle
        Radians at which a tucked-under edge does; ``None``: 45 degrees, or what its apex allows.
    fullness
        Of the curve below the apex (see `shape.conic`).
    radius
        Radius to which the edge is sanded, metres; ``None``: as usual for its kind.
    """

    x: float
    apex: float
    tuck: float
    place: str
    edge: Edge = Edge.SOFT
    angle: float | None = None
    fullness: float = 0.5
    radius: float | None = None


@dataclass(frozen=True, slots=True)
class DeckMark:
    """Deck at a station: `crown` and `roll` in metres, `fullness` of the curve above the apex."""

    x: float
    crown: float
    roll: float
    place: str
    fullness: float = 0.5


@dataclass(frozen=True, slots=True)
class DeckStep:
    """A deck lowered forward of a station: by `step` over `blend`, inside `margin` from the rail; metres."""

    x: float
    step: float
    blend: float
    margin: float
    place: str


@dataclass(frozen=True, slots=True)
class RailStepMark:
    """A deck lowered near the rail: by `step` over `margin`, beginning over `blend`; metres."""

    step: float
    margin: float
    blend: float


@dataclass(frozen=True, slots=True)
class FinMark:
    """One fin box: trailing-edge station `x`, offset `y` from the stringer, `toe` and `cant` (radians).

    `box_length`, `box_width`, `box_depth` and `cover` (foam that must remain above the box) in metres.
    """

    name: str
    x: float
    y: float
    toe: float
    cant: float
    box_length: float
    box_width: float
    box_depth: float
    cover: float


@dataclass(frozen=True, slots=True)
class BoardNumbers:
    """A finished board in numbers (SI). Marks are sorted by `x` and include both tips.

    Attributes
    ----------
    outline
        Full widths, without the wide point.
    wide, wide_at
        Widest full width and its station (``None``: where the outline comes out fairest).
    rocker
        Height of the finished bottom at the stringer above the level line.
    low_at
        Station of the low point, or ``None`` (where the curve comes out fairest).
    thickness
        Finished thickness at the stringer, without the thickest point.
    thickest, thickest_at
        Greatest thickness and its station (``None``: where it comes out fairest).
    rails, deck
        Rails and decks at stations, tail to nose; a deck that is not told is the usual one.
    bottom
        Contours, which add; none is flat.
    assumed
        Keys of what the sheet did not say and the usual was taken for.
    wings
        Steps in the outline; a width given at a station is what a tape reads there, wings included.
    beak
        A nose whose deck is rolled down; ``thickness`` then ends where the roll begins.
    tail_tip
        Thickness of the foam in the tips of a swallow. The first mark of ``thickness`` is then what the
        stringer would have there: imagined, since there is none.
    """

    name: str
    length: float
    outline: tuple[Mark, ...]
    wide: float
    wide_at: float | None
    tail: Tail
    rocker: tuple[Mark, ...]
    low_at: float | None
    thickness: tuple[Mark, ...]
    thickest: float
    thickest_at: float | None
    rails: tuple[RailMark, ...]
    deck: tuple[DeckMark, ...] = ()
    bottom: tuple[Term, ...] = ()
    fins: tuple[FinMark, ...] = ()
    deck_step: DeckStep | None = None
    rail_step: RailStepMark | None = None
    assumed: tuple[str, ...] = ()
    wings: tuple[Wing, ...] = ()
    beak: Beak | None = None
    tail_tip: float | None = None
