"""From a rider's brief to the numbers of a board: judged, every choice explained, every number adjustable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import copysign

from foamwright.board.board import board_of
from foamwright.board.fin_layouts import Layout, Usual, boxes_at
from foamwright.board.numbers import BoardNumbers, FinMark
from foamwright.board.tail_words import POINTED
from foamwright.brief.choosing import FIXED, Choice, Chosen, choices_of
from foamwright.brief.drafting import INCHES, MILLIMETRES, Draft, Grid, Number, with_soft_tail
from foamwright.brief.families import FAMILIES
from foamwright.brief.kinds import Kind, Pattern, Waves, board_word, pattern_of
from foamwright.brief.law import Size, size_for
from foamwright.brief.sizing import Sized, fill_of, sized
from foamwright.brief.verdicts import Advice, Verdict, advice_for, verdict_of
from foamwright.errors import InputError, Problem
from foamwright.findings import Finding, Severity
from foamwright.sheets.rider import Experience, RiderNumbers
from foamwright.stations import Mark
from foamwright.units import INCH, System

MET = 5e-5
"""m3 within which a volume counts as met: 0.05 litres."""


@dataclass(frozen=True)
class Wish:
    """What is wanted besides the rider.

    Attributes
    ----------
    kind
        `None`: what suits.
    waves
        How big.
    fixed
        Numbers that stand: metres, and m3 for the volume.
    grid
        The tape that the numbers are put on.
    """

    kind: Kind | None = None
    waves: Waves = Waves.MEDIUM
    fixed: Mapping[Number, float] = field(default_factory=dict)
    grid: Grid = INCHES


@dataclass(frozen=True, eq=False)
class Made:
    """A board from a brief: its numbers, the m3 that it has and that were wanted, and its layout of fins."""

    numbers: BoardNumbers
    volume: float
    target: float
    fins: Layout | None = None

    @property
    def nose_tip(self) -> float:
        """Foam at the nose tip, metres."""
        return self.numbers.thickness[-1].value

    @property
    def tail_tip(self) -> float:
        """Foam at the tail tip, or in the tips of a swallow, metres."""
        tip = self.numbers.tail_tip
        return self.numbers.thickness[0].value if tip is None else tip


@dataclass(frozen=True, eq=False)
class Brief:
    """What comes of a brief.

    Attributes
    ----------
    kind
        What the board is.
    made
        The board; ``None`` where it is refused.
    choices
        What was chosen, and why.
    findings
        What there is to say: notes, warnings, why it is refused, what could not be had.
    """

    kind: Kind
    made: Made | None
    choices: tuple[Choice, ...]
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of what is said."""
        return verdict_of(self.findings)

    @property
    def board(self) -> Made:
        """The board, of a brief that was not refused.

        Raises
        ------
        ValueError
            It was refused.
        """
        if self.made is None:
            raise ValueError(f"no {self.kind} was drawn: {self.findings[0].sentence}")
        return self.made


def brief_for(rider: RiderNumbers, wish: Wish | None = None) -> Brief:
    """Return starting numbers of a board for a rider, or why there are none.

    Parameters
    ----------
    rider
        Mass, stature, experience, age, suit.
    wish
        Kind, waves, fixed numbers, tape.

    Raises
    ------
    InputError
        The fixed numbers contradict each other, or no fair board has them.
    """
    wish = Wish() if wish is None else wish
    _require_freedom(wish.fixed)
    advice = advice_for(rider, wish.kind, wish.waves)
    if advice.verdict is Verdict.REFUSE:
        return Brief(advice.kind, None, (), advice.findings)
    pattern = pattern_of(advice.kind, wish.waves)
    _require_tail(advice.kind, pattern, wish.fixed)
    size = size_for(rider, pattern, wish.waves, fill_of(pattern))
    if size.short > MET and not wish.fixed:
        return Brief(advice.kind, None, (), (_not_carried(advice.kind, rider, size),))
    return _drawn(rider, wish, advice, pattern, size)


def _drawn(rider: RiderNumbers, wish: Wish, advice: Advice, pattern: Pattern, size: Size) -> Brief:
    target = wish.fixed.get(Number.VOLUME, size.volume)
    made = sized(_draft(pattern, size, wish), target, wish.grid, f"{rider.name}, {advice.kind}")
    family = FAMILIES[pattern]
    numbers = replace(made.numbers, fins=fins_at(made.numbers, family.boxes, wish.grid))
    if pattern is Pattern.CHILD and rider.experience is Experience.BEGINNER:
        numbers = with_soft_tail(numbers, SOFT_RADIUS)
    system = System.MM if wish.grid == MILLIMETRES else System.INCH
    chosen = Chosen(rider, advice.kind, pattern, wish.waves, size, numbers, system)
    return Brief(
        advice.kind,
        Made(numbers, made.volume, target, family.fins),
        _choices(chosen, wish),
        (*advice.findings, *_missed(made, target, wish)),
    )


SOFT_RADIUS = INCH / 4
"""Radius of the edges of a child's board who begins: it will hit heads."""

NEXT = {
    Kind.PERFORMANCE: Kind.SMALL_WAVE,
    Kind.SMALL_WAVE: Kind.FISH,
    Kind.FISH: Kind.MID_LENGTH,
    Kind.TWIN_KEEL: Kind.MID_LENGTH,
    Kind.CHILD: Kind.PERFORMANCE,
    Kind.STEP_UP: Kind.GUN,
    Kind.FOIL: Kind.MID_LENGTH,
    Kind.MID_LENGTH: Kind.LONG_BOARD,
}
"""What carries more than a kind; long boards and guns carry most."""


def _not_carried(kind: Kind, rider: RiderNumbers, size: Size) -> Finding:
    more = NEXT.get(kind)
    remedy = "Fix its volume or its width yourself (--fix), or have a board drawn by hand."
    if more is not None:
        remedy = f'Take a {board_word(more)} (--kind "{more}").'
    return Finding(
        "brief-carries",
        Severity.STOP,
        "rider",
        size.volume - size.short,
        size.volume,
        "m3",
        f"A {board_word(kind)} does not carry {rider.mass:.0f} kg: at its widest, longest and thickest it "
        f"lacks {1e3 * size.short:.1f} of {1e3 * size.volume:.0f} litres.",
        remedy,
    )


def _require_freedom(fixed: Mapping[Number, float]) -> None:
    size = {Number.LENGTH, Number.WIDE, Number.THICKEST}
    if size <= fixed.keys() and Number.VOLUME in fixed:
        raise InputError(
            Problem(
                "--fix",
                "length, wide, thickest and volume are all fixed, so nothing is left to meet it with.",
                "Free one of them.",
            )
        )


def _require_tail(kind: Kind, pattern: Pattern, fixed: Mapping[Number, float]) -> None:
    """Refuse a block at a tail that comes to a point, and a point where there is a block."""
    tail, block = FAMILIES[pattern].tail, fixed.get(Number.BLOCK)
    if block is None or (block == 0.0) == (tail in POINTED):
        return
    width = "no width" if tail in POINTED else "a width"
    what = f"A {board_word(kind)} has a {tail} tail here, and that has {width} at the tip."
    raise InputError(
        Problem("--fix tail block", what, "Choose another --kind, or leave the tail block free.")
    )


def _draft(pattern: Pattern, size: Size, wish: Wish) -> Draft:
    own: dict[Number, float] = {n: value for n, value in wish.fixed.items() if n is not Number.VOLUME}
    return Draft(
        pattern,
        length=own.get(Number.LENGTH, size.length),
        wide=own.get(Number.WIDE, size.wide),
        thickest=own.get(Number.THICKEST, size.thickest),
        rise=size.rise,
        own=own,
    )


def fins_at(numbers: BoardNumbers, boxes: tuple[Usual, ...], grid: Grid) -> tuple[FinMark, ...]:
    """Return fin boxes on a board, their distances from the stringer on the tape."""
    wide_at = numbers.wide_at if numbers.wide_at is not None else board_of(numbers).outline.wide_at
    wide = Mark(wide_at, numbers.wide, "wide")
    fins = boxes_at(boxes, sorted([*numbers.outline, wide], key=lambda mark: mark.x))
    return tuple(replace(fin, y=copysign(Grid.on(abs(fin.y), grid.width), fin.y)) for fin in fins)


def _choices(chosen: Chosen, wish: Wish) -> tuple[Choice, ...]:
    usual = (choice for choice in choices_of(chosen, wish.kind) if choice.name not in wish.fixed)
    return (*usual, *(fixed_choice(number, value) for number, value in wish.fixed.items()))


def fixed_choice(number: Number, value: float) -> Choice:
    """Return a number that was fixed, as a choice."""
    volume = number is Number.VOLUME
    return Choice(
        str(number), value * 1000.0 if volume else value, "l" if volume else "m", "it was fixed.", FIXED
    )


def _missed(made: Sized, target: float, wish: Wish) -> tuple[Finding, ...]:
    missed, has = made.volume - target, made.volume * 1000.0
    if abs(missed) <= MET:
        return ()
    more = "more" if missed > 0.0 else "less"
    size = {Number.LENGTH, Number.WIDE, Number.THICKEST}
    free = size - wish.fixed.keys()
    return (
        Finding(
            "brief-volume-missed",
            Severity.WARNING,
            "volume",
            made.volume,
            target,
            "m3",
            f"The board has {has:.2f} litres, {abs(missed) * 1000.0:.2f} {more} than wanted: "
            + ("its sizes are at their limits." if free else "length, wide and thickest are fixed."),
            "Free a number, or choose another kind."
            if not free
            else "Choose another kind or another volume.",
        ),
    )
