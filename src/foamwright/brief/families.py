"""Patterns that boards are cut after: one reference board each, from which the others follow by stretching.

For a rider of 75 kg and 178 cm who is intermediate (a gun for huge waves: an expert; a child's board: 35 kg
and 142 cm). Generic kinds and our own numbers: common practice, no source. Lengths here are in inches, as a
shaper says them; `foamwright.brief.drafting` turns them into boards.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from foamwright.board.fin_layouts import KEEL_BOX, LARGE_BOX, MOUNT_BOX, Layout, Usual
from foamwright.board.numbers import Edge, TailKind
from foamwright.brief.kinds import Pattern
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


def _rails(
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


def _depth(shape: str, depth: float, *stretch: str, width: float | None = None) -> Contour:
    """Return a contour of a depth; where its last stations are left out it runs out full at the tail."""
    begin, fore, aft, end = (*stretch, *["tail"] * (4 - len(stretch)))
    numbers = {"depth": depth} if width is None else {"depth": depth, "width": width}
    return Contour(shape, numbers, (begin, fore, aft, end))


def _three(
    front: float, back: float, rail: float = 1.125, toe: float = 3.0, cant: float = 6.0
) -> tuple[Usual, ...]:
    return Usual("front", front, rail, toe, cant), Usual("centre", back, None, 0.0, 0.0)


_LARGE = Usual("centre", 6.5, None, 0.0, 0.0, LARGE_BOX)
_ONE_AND_TWO = (_LARGE, Usual("side", 12.5, 1.25, 3.0, 5.0))

FAMILIES: dict[Pattern, Family] = {
    Pattern.NOSERIDER: Family(
        length=114.0,
        outline=(7.0, 15.25, 18.75, 0.0),
        wide=23.0,
        wide_at=0.5,
        tail=TailKind.SQUARE,
        rocker=(3.375, 1.3125, 1.875, 4.0),
        thickness=(0.875, 1.8125, 1.6875, 0.75),
        thickest=3.0,
        thickest_at=1.0,
        rails=(
            Rail("tail", 0.30, 0.25),
            Rail("12 from tail", 0.40, 0.875),
            Rail("centre", 0.50, 1.25),
            Rail("24 from nose", 0.50, 1.25),
        ),
        crown=0.5,
        roll=3.0,
        bottom=(
            _depth(
                "concave", 0.1875, "3 from nose", "14 from nose", "14 from nose", "34 from nose", width=14.0
            ),
            _depth("roll", 0.125, "36 from nose", "60 from tail", "40 from tail", "20 from tail"),
        ),
        fins=Layout.ONE,
        boxes=(Usual("centre", 7.5, None, 0.0, 0.0, LARGE_BOX),),
    ),
    Pattern.LONG_BOARD: Family(
        length=110.0,
        outline=(6.0, 15.0, 17.5, 0.0),
        wide=22.75,
        wide_at=2.0,
        tail=TailKind.SQUASH,
        tail_numbers={"tail_bow": 0.25},
        rocker=(2.875, 1.125, 2.1875, 4.875),
        thickness=(0.75, 1.75, 1.625, 0.625),
        thickest=2.8125,
        thickest_at=2.0,
        rails=_rails((0.5, 1.0), (0.4, 0.875), (0.2, 0.5), (30.0, 18.0)),
        crown=0.625,
        roll=3.25,
        bottom=(
            _depth("roll", 0.0625, "4 from nose", "14 from nose", "16 from nose", "36 from nose"),
            _depth(
                "concave", 0.125, "60 from tail", "48 from tail", "32 from tail", "20 from tail", width=15.0
            ),
            _depth("vee", 0.125, "24 from tail", "10 from tail"),
        ),
        fins=Layout.ONE_LARGE_TWO_SMALL,
        boxes=_ONE_AND_TWO,
    ),
    Pattern.MID_LENGTH: Family(
        length=88.0,
        outline=(0.0, 14.75, 16.25, 0.0),
        wide=21.5,
        wide_at=1.5,
        tail=TailKind.ROUND,
        rocker=(2.0, 0.75, 1.75, 4.25),
        thickness=(0.6875, 1.75, 1.625, 0.5625),
        thickest=2.75,
        thickest_at=2.0,
        rails=_rails((0.5, 1.0), (0.45, 0.875), (0.3, 0.5), (26.0, 14.0), 0.2),
        crown=0.4375,
        roll=2.75,
        bottom=(
            _depth("roll", 0.125, "4 from nose", "14 from nose", "16 from nose", "50 from tail"),
            _depth("vee", 0.125, "22 from tail", "10 from tail"),
        ),
        fins=Layout.ONE_LARGE_TWO_SMALL,
        boxes=_ONE_AND_TWO,
    ),
    Pattern.FISH: Family(
        length=70.0,
        outline=(9.0, 16.0, 15.25, 0.0),
        wide=21.375,
        wide_at=2.0,
        tail=TailKind.SWALLOW,
        tail_numbers={"tail_depth": 4.0, "tail_tip_width": 0.875},
        tail_tip=0.6875,
        rocker=(1.5, 0.5, 1.5, 3.75),
        thickness=(0.75, 1.8125, 1.625, 0.5),
        thickest=2.5625,
        thickest_at=2.0,
        rails=_rails((0.5, 0.625), (0.4, 0.5), (0.2, 0.25), (24.0, 14.0)),
        crown=0.3125,
        roll=2.0,
        bottom=(
            _depth("concave", 0.125, "44 from tail", "34 from tail", "26 from tail", "18 from tail"),
            _depth("vee", 0.125, "16 from tail", "8 from tail"),
        ),
        fins=Layout.TWO,
        boxes=(Usual("side", 7.75, 1.25, 3.0, 6.0),),
    ),
    Pattern.TWIN_KEEL: Family(
        length=68.0,
        outline=(10.5, 17.0, 16.25, 0.0),
        wide=21.75,
        wide_at=3.0,
        tail=TailKind.SWALLOW,
        tail_numbers={"tail_depth": 5.0, "tail_tip_width": 1.0},
        tail_tip=0.6875,
        rocker=(1.25, 0.375, 1.375, 3.375),
        thickness=(0.75, 1.8125, 1.6875, 0.5625),
        thickest=2.5625,
        thickest_at=2.0,
        rails=(
            Rail("tail", DOWN, 0.0, HARD),
            Rail("12 from tail", 0.3, 0.125, HARD),
            Rail("centre", 0.4, 0.625),
            Rail("24 from nose", 0.5, 0.75),
        ),
        crown=0.3125,
        roll=2.0,
        bottom=(_depth("vee", 0.125, "20 from tail", "8 from tail"),),
        fins=Layout.TWO_KEELS,
        boxes=(Usual("keel", 5.25, 1.0, 0.5, 3.0, KEEL_BOX),),
    ),
    Pattern.SMALL_WAVE: Family(
        length=71.0,
        outline=(6.75, 15.5, 13.5, 0.0),
        wide=20.5,
        wide_at=1.0,
        tail=TailKind.SQUASH,
        tail_numbers={"tail_bow": 0.375},
        rocker=(1.875, 0.625, 1.6875, 4.25),
        thickness=(0.75, 1.75, 1.5625, 0.5),
        thickest=2.625,
        thickest_at=1.5,
        rails=_rails((0.5, 0.5), (0.4, 0.5), (0.2, 0.25), (None, 18.0)),
        crown=0.3125,
        roll=2.0,
        bottom=(
            _depth("concave", 0.15625, "46 from tail", "34 from tail", "24 from tail", "12 from tail"),
            _depth("double concave", 0.09375, "24 from tail", "16 from tail", "10 from tail", "2 from tail"),
            _depth("vee", 0.0625, "8 from tail", "2 from tail"),
        ),
        fins=Layout.THREE,
        boxes=_three(11.0, 3.5),
    ),
    Pattern.PERFORMANCE: Family(
        length=73.0,
        outline=(5.5, 14.625, 12.125, 0.0),
        wide=19.5,
        wide_at=-0.5,
        tail=TailKind.SQUASH,
        tail_numbers={"tail_bow": 0.375},
        rocker=(2.25, 0.875, 2.125, 4.875),
        thickness=(0.625, 1.625, 1.4375, 0.5),
        thickest=2.5625,
        thickest_at=1.0,
        rails=_rails((0.45, 0.375), (0.4, 0.375), (0.2, 0.25), (None, 20.0)),
        crown=0.3125,
        roll=2.25,
        bottom=(
            _depth("concave", 0.1875, "56 from tail", "26 from tail", "12 from tail", "1 from tail"),
            _depth("double concave", 0.09375, "22 from tail", "14 from tail", "8 from tail", "2 from tail"),
            _depth("vee", 0.0625, "6 from tail", "2 from tail"),
        ),
        fins=Layout.THREE,
        boxes=_three(11.0, 3.5),
    ),
    Pattern.STEP_UP: Family(
        length=80.0,
        outline=(0.0, 13.75, 11.75, 0.0),
        wide=19.375,
        wide_at=0.5,
        tail=TailKind.ROUNDED_PIN,
        rocker=(2.375, 0.9375, 2.25, 5.25),
        thickness=(0.625, 1.5625, 1.4375, 0.5),
        thickest=2.6875,
        thickest_at=1.5,
        rails=_rails((0.45, 0.375), (0.35, 0.375), (0.2, 0.25), (None, 24.0)),
        crown=0.375,
        roll=2.5,
        bottom=(
            _depth("concave", 0.125, "46 from tail", "34 from tail", "24 from tail", "12 from tail"),
            _depth("vee", 0.0625, "14 from tail", "5 from tail"),
        ),
        fins=Layout.THREE,
        boxes=_three(11.25, 3.75),
    ),
    Pattern.GUN: Family(
        length=92.0,
        outline=(0.0, 13.0, 11.5, 0.0),
        wide=19.75,
        wide_at=1.5,
        tail=TailKind.ROUNDED_PIN,
        rocker=(2.375, 0.9375, 2.375, 5.5),
        thickness=(0.625, 1.5625, 1.5625, 0.5625),
        thickest=2.8125,
        thickest_at=2.0,
        rails=_rails((0.45, 0.375), (0.35, 0.375), (0.2, 0.25), (40.0, 26.0)),
        crown=0.4375,
        roll=2.75,
        bottom=(
            _depth("roll", 0.0625, "4 from nose", "14 from nose", "16 from nose", "60 from tail"),
            _depth("vee", 0.1875, "30 from tail", "12 from tail"),
        ),
        fins=Layout.THREE,
        boxes=_three(12.5, 4.5, 1.0, 2.0, 5.0),
    ),
    Pattern.GUN_HUGE: Family(
        length=117.0,
        outline=(0.0, 12.25, 12.0, 0.0),
        wide=20.5,
        wide_at=4.0,
        tail=TailKind.PIN,
        rocker=(2.75, 1.1875, 2.875, 6.25),
        thickness=(0.6875, 1.5, 1.5, 0.625),
        thickest=3.1875,
        thickest_at=3.0,
        rails=_rails((0.45, 0.375), (0.35, 0.375), (0.2, 0.25), (40.0, 30.0)),
        crown=0.4375,
        roll=2.75,
        bottom=(
            _depth("roll", 0.0625, "4 from nose", "14 from nose", "16 from nose", "60 from tail"),
            _depth("vee", 0.1875, "30 from tail", "12 from tail"),
        ),
        fins=Layout.FOUR,
        boxes=(Usual("front", 12.5, 1.0, 2.0, 5.0), Usual("rear", 7.5, 1.5, 1.5, 4.0)),
    ),
    Pattern.CHILD: Family(
        length=61.0,
        outline=(5.25, 14.25, 12.75, 0.0),
        wide=18.25,
        wide_at=0.5,
        tail=TailKind.SQUASH,
        tail_numbers={"tail_bow": 0.375, "tail_corner": 1.25},
        rocker=(1.75, 0.625, 1.625, 3.875),
        thickness=(0.625, 1.5, 1.4375, 0.5),
        thickest=2.3125,
        thickest_at=1.0,
        rails=(
            Rail("tail", 0.2, 0.0, HARD),
            Rail("10 from tail", 0.3, 0.125, HARD),
            Rail("centre", 0.45, 0.5),
            Rail("24 from nose", 0.5, 0.625),
        ),
        crown=0.25,
        roll=2.0,
        bottom=(_depth("concave", 0.09375, "44 from tail", "34 from tail", "24 from tail", "14 from tail"),),
        fins=Layout.THREE,
        boxes=_three(9.5, 3.0, 1.0, 2.0, 5.0),
    ),
    Pattern.FOIL: Family(
        length=58.0,
        outline=(13.0, 16.5, 15.5, 0.0),
        wide=19.75,
        wide_at=1.0,
        tail=TailKind.SQUARE,
        tail_numbers={"tail_corner": 1.25},
        rocker=(0.875, 0.1875, 1.1875, 2.875),
        thickness=(1.375, 2.34375, 2.09375, 1.0),
        thickest=2.9375,
        thickest_at=0.5,
        rails=(
            Rail("tail", DOWN, 0.0, HARD),
            Rail("12 from tail", 0.2, 0.125, HARD),
            Rail("centre", 0.4, 0.75),
            Rail("24 from nose", 0.4, 0.75),
        ),
        crown=0.0625,
        roll=1.5,
        bottom=(
            Contour(
                "chine",
                {"width": 1.0, "angle": 30.0},
                ("nose", "10 from nose", "24 from tail", "12 from tail"),
            ),
        ),
        fins=Layout.FOIL_MOUNT,
        boxes=(Usual("mount", 7.0, None, 0.0, 0.0, MOUNT_BOX, 1.75),),
    ),
}


def inches(value: float) -> float:
    """Return inches in metres: the float that a sheet would give, which ``value * 0.0254`` may miss."""
    return parse_length(value, Unit.INCH)
