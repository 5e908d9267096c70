"""The form of a reference board: its numbers, rails and contours, in the inches that a shaper says.

The boards themselves are `foamwright.brief.families`; `foamwright.brief.drafting` turns them into boards.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from foamwright.board.fin_layouts import Layout, Usual
from foamwright.board.numbers import Edge, TailKind
from foamwright.units import Unit, parse_length

Ends = tuple[float, float, float, float]
"""Numbers at the tail tip, 12 in from it, 12 in from the nose tip, at the nose tip."""


@dataclass(frozen=True, slots=True)
class Rail:
    """A rail at a station, in inches; `apex`: share of its thickness below the outermost point."""

    at: str
    apex: float
    tuck: float
    edge: Edge = Edge.SOFT


@dataclass(frozen=True, slots=True)
class Contour:
    """A contour: its numbers by the sheet's keys (inches, degrees), and the stations of its stretch.

    They are where it begins, is full from and to, and is gone.
    """

    shape: str
    numbers: Mapping[str, float]
    stretch: tuple[str, str, str, str]


@dataclass(frozen=True, slots=True)
class Family:
    """A reference board.

    Attributes
    ----------
    length
        Inches.
    outline, wide, wide_at
        Widths, the widest, and how far forward of the centre it is.
    tail, tail_numbers
        Tail form, and its own numbers by the sheet's keys (``tail_bow`` ...).
    rocker
        Above the level line.
    thickness, thickest, thickest_at
        Thicknesses, the greatest, and how far forward of the centre it is.
    rails
        Tail to nose.
    crown, roll
        Of the deck at the centre.
    bottom
        Contours, which add.
    fins, boxes
        Usual layout, and where its boxes are.
    tail_tip
        Foam in the tips of a swallow; the first thickness is then not looked at.
    """

    length: float
    outline: Ends
    wide: float
    wide_at: float
    tail: TailKind
    rocker: Ends
    thickness: Ends
    thickest: float
    thickest_at: float
    rails: tuple[Rail, ...]
    crown: float
    roll: float
    bottom: tuple[Contour, ...]
    fins: Layout
    boxes: tuple[Usual, ...]
    tail_numbers: Mapping[str, float] = field(default_factory=dict)
    tail_tip: float | None = None


SOFT, TUCKED, HARD = Edge.SOFT, Edge.TUCKED, Edge.HARD
DOWN = 0.06
"""Apex of a rail that is turned down: 0.05 to 0.10."""


def rails(
    fore: tuple[float, float],
    centre: tuple[float, float],
    aft: tuple[float, float],
    edges: tuple[float | None, float],
    tail: float = DOWN,
) -> tuple[Rail, ...]:
    """Return rails from 24 in off the nose, the centre and 12 in off the tail (apex, tuck each).

    `edges` are where it is tucked-under from (``None``: from the centre) and hard from, inches from the tail.
    In the hard part the tuck is at most 1/8, or sanding would round the edge over.
    """
    tucked, hard = edges
    # To a twentieth, as a shaper says it.
    between = (round(10.0 * (centre[0] + aft[0])) / 20.0, 0.5 * (centre[1] + aft[1]))
    under = () if tucked is None else (Rail(f"{tucked:g} from tail", *between, TUCKED),)
    return (
        Rail("tail", tail, 0.0, HARD),
        Rail(f"{hard:g} from tail", aft[0], min(aft[1], 0.125), HARD),
        *under,
        Rail("centre", *centre, TUCKED if tucked is None else SOFT),
        Rail("24 from nose", *fore),
    )


def depth(shape: str, depth: float, *stretch: str, width: float | None = None) -> Contour:
    """Return a contour of a depth; where its last stations are left out it runs out full at the tail."""
    begin, fore, aft, end = (*stretch, *["tail"] * (4 - len(stretch)))
    numbers = {"depth": depth} if width is None else {"depth": depth, "width": width}
    return Contour(shape, numbers, (begin, fore, aft, end))


def three(
    front: float, back: float, rail: float = 1.125, toe: float = 3.0, cant: float = 6.0
) -> tuple[Usual, ...]:
    """Return the boxes of three fins: how far up from the tail the front ones and the centre one stand."""
    return Usual("front", front, rail, toe, cant), Usual("centre", back, None, 0.0, 0.0)


def inches(value: float) -> float:
    """Return inches in metres: the float that a sheet would give, which ``value * 0.0254`` may miss."""
    return parse_length(value, Unit.INCH)
