"""The numbers of a board as a person gave them, in SI: what a board sheet becomes once read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from foamwright.stations import Mark


class TailKind(StrEnum):
    """How the outline ends at the tail."""

    PIN = "pin"
    ROUND = "round"
    ROUNDED_PIN = "rounded pin"
    SQUARE = "square"
    SQUASH = "squash"
    DIAMOND = "diamond"
    SWALLOW = "swallow"


@dataclass(frozen=True, slots=True)
class Tail:
    """Tail form.

    Attributes
    ----------
    kind
        The form.
    corner_radius
        Radius of the corners, metres (square, squash; 0 is a sharp corner).
    depth
        Metres along the stringer: notch of a swallow, point of a diamond; 0 otherwise.
    """

    kind: TailKind
    corner_radius: float = 0.0
    depth: float = 0.0


@dataclass(frozen=True, slots=True)
class RailMark:
    """Rail at a station: `apex` height as a share of the edge thickness, Lamé exponents.

    `lower` may be ``math.inf`` (a hard edge).
    """

    x: float
    apex: float
    lower: float
    upper: float
    place: str


class BottomShape(StrEnum):
    """Lateral shape of the bottom."""

    FLAT = "flat"
    CONCAVE = "concave"
    DOUBLE_CONCAVE = "double concave"
    VEE = "vee"
    ROLLED = "rolled"


@dataclass(frozen=True, slots=True)
class BottomMark:
    """Bottom contour at a station; `depth` metres, positive, 0 for flat."""

    x: float
    shape: BottomShape
    depth: float
    place: str


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
    apex
        Station of the lowest point, or ``None``.
    thickness
        Finished thickness at the stringer, without the thickest point.
    thickest, thickest_at
        Greatest thickness and its station (``None``: where it comes out fairest).
    """

    name: str
    length: float
    outline: tuple[Mark, ...]
    wide: float
    wide_at: float | None
    tail: Tail
    rocker: tuple[Mark, ...]
    apex: float | None
    thickness: tuple[Mark, ...]
    thickest: float
    thickest_at: float | None
    rails: tuple[RailMark, ...]
    bottom: tuple[BottomMark, ...]
    fins: tuple[FinMark, ...] = ()
