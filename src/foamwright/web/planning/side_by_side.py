"""Two sides held against each other, in the visitor's words: figures in a table, drawings at one scale."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from foamwright.jobs.live_comparing import Kind, Row, Side, board_rows, cost_rows, lay_rows, tip_rows
from foamwright.jobs.live_planning import Offer, choice_in, solid_blank, solid_board
from foamwright.papers.job_words import Figures, figures_of
from foamwright.units import format_length, parse_length
from foamwright.web.planning.asked import Asked
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.figures import PlanView, plan_view, side_view
from foamwright.web.planning.figures import SideView as Lengthwise
from foamwright.web.planning.laid import LaidView, laid_view
from foamwright.web.planning.scene import lay_scene, pair_of, stock_scene
from foamwright.web.rendering import Reader, long_length

NOTHING = "–"

SKIM = "skim"
"""What stands for a depth that is less than the tape shows."""

DIGITS = {Kind.LITRES: 1, Kind.SQUARE_METRES: 2, Kind.MINUTES: 0, Kind.MONEY: 0}
"""Decimals that a figure is written with."""


@dataclass(frozen=True, slots=True)
class Wished:
    """What is asked for on one side: a board as it stands in a draft, what it is called, and a blank.

    Attributes
    ----------
    number, name
        The board; `name` says which text of it is meant.
    draft
        Its numbers.
    blank
        The blank's name; empty: the best one for it.
    """

    number: int
    name: str
    draft: Draft
    blank: str


@dataclass(frozen=True, slots=True)
class LayScene:
    """The board in one blank, from the side, and its numbers."""

    side: Lengthwise
    laid: LaidView


@dataclass(frozen=True, eq=False)
class SideView:
    """One side as it is shown.

    Attributes
    ----------
    number, name, blank
        Which board, and the blank that it is tried in (empty: none fits).
    view
        The board from above and from the side; ``None`` while its numbers cannot stand.
    lay
        The board in the blank; ``None`` if it cannot be tried.
    problems
        Why the numbers cannot stand, in words.
    side
        The figures.
    """

    number: int
    name: str
    blank: str
    view: PlanView | None
    lay: LayScene | None
    problems: Sequence[str]
    side: Side


@dataclass(frozen=True, slots=True)
class RowView:
    """A figure of both sides as it is written; `difference` is the right one less the left one."""

    name: str
    left: str
    right: str
    difference: str


@dataclass(frozen=True, eq=False)
class Comparison:
    """Both sides with their tables, and what the drawings share.

    Attributes
    ----------
    left, right
        The sides.
    tables
        Rows by the table that they stand in.
    reach, half
        The longer board and the greater half-width, millimetres: both boards are drawn to one scale.
    blank_reach
        The longer blank, millimetres.
    """

    left: SideView
    right: SideView
    tables: Sequence[tuple[str, Sequence[RowView]]]
    reach: float
    half: float
    blank_reach: float

    @property
    def sides(self) -> tuple[SideView, SideView]:
        """Left and right."""
        return self.left, self.right

    @property
    def is_one_board(self) -> bool:
        """Whether both sides hold the same board, so that only the blanks differ."""
        return self.left.side.board is self.right.side.board


def comparison_of(
    left: Wished, right: Wished, offers: Sequence[Offer], reader: Reader, with_money: bool = True
) -> Comparison:
    """Return two sides held against each other.

    Parameters
    ----------
    left, right
        What is asked for.
    offers
        The stock.
    reader
        How the visitor reads.
    with_money
        Whether what each costs is held against each other as well.
    """
    sides = _side(left, offers), _side(right, offers)
    views = [side.view for side in sides if side.view]
    lays = [side.lay for side in sides if side.lay]
    return Comparison(
        left=sides[0],
        right=sides[1],
        tables=_tables(sides[0].side, sides[1].side, reader, with_money),
        reach=max((view.length for view in views), default=0.0),
        half=max((view.width / 2.0 for view in views), default=0.0),
        blank_reach=max((lay.side.length for lay in lays), default=0.0),
    )


def _side(wished: Wished, offers: Sequence[Offer]) -> SideView:
    draft = wished.draft
    blank = wished.blank or _best(draft, offers)
    lay = _lay(draft, offers, blank) if blank else None
    problems = [draft.reader.problem(problem) for problem in draft.problems]
    return SideView(
        number=wished.number,
        name=wished.name,
        blank=blank,
        view=plan_view(solid_board(draft.wanted)) if draft.checked else None,
        lay=lay,
        problems=[f"{problem.what} {problem.remedy}" for problem in problems],
        side=_figures(draft, offers, blank),
    )


def _lay(draft: Draft, offers: Sequence[Offer], blank: str) -> LayScene | None:
    lying, pair = lay_scene(draft, offers, Asked(blank)), pair_of(draft, offers, Asked(blank))
    if lying is None or pair is None:
        return None
    drawn = side_view(lying.board, solid_blank(pair.offer), lying.choice.placed)
    return LayScene(drawn, laid_view(lying.choice, draft.reader))


def _best(draft: Draft, offers: Sequence[Offer]) -> str:
    ranking = stock_scene(draft, offers)
    return (ranking.best or "") if ranking else ""


def _figures(draft: Draft, offers: Sequence[Offer], blank: str) -> Side:
    pair = pair_of(draft, offers, Asked(blank))
    choice = choice_in(pair) if pair else None
    return Side(draft.checked, choice if choice and choice.fits else None)


def _tables(
    left: Side, right: Side, reader: Reader, with_money: bool
) -> Sequence[tuple[str, Sequence[RowView]]]:
    currency = next((one.choice.numbers.currency for one in (left, right) if one.choice), "")
    say = _Sayer(reader, _figures_said(left, right, reader), currency)
    lays = (*lay_rows(left, right), *(cost_rows(left, right) if with_money else ()))
    boards = ("board", [say.row(row) for row in board_rows(left, right)])
    blanks = (
        ("lay", [say.row(row) for row in lays]),
        ("tips", [say.row(row) for row in tip_rows(left, right)]),
    )
    # What differs is read first.
    return (*blanks, boards) if left.board is right.board else (boards, *blanks)


def _figures_said(left: Side, right: Side, reader: Reader) -> Figures:
    bays = [one.choice.bay for one in (left, right) if one.choice]
    return figures_of(bays[0], reader.lengths) if bays else Figures(reader.lengths)


@dataclass(frozen=True, slots=True)
class _Sayer:
    """Writes figures as the planning page does."""

    reader: Reader
    figures: Figures
    currency: str

    def row(self, row: Row) -> RowView:
        left, right = (NOTHING if one is None else self.said(row.kind, one) for one in (row.left, row.right))
        return RowView(row.name, left, right, self.difference(row))

    def said(self, kind: Kind, value: float) -> str:
        return self.reader.figure(self._ways[kind](value))

    def difference(self, row: Row) -> str:
        """A difference with its sign; a dash where there is none, and where it does not show."""
        if row.difference is None:
            return NOTHING
        size = self._difference_shown(row)
        said = self._plain(row.kind, abs(size))
        if not any(sign in said for sign in "123456789"):
            return "="
        return ("+" if size > 0 else "−") + said

    def _difference_shown(self, row: Row) -> float:
        """The difference of the two figures as they stand there: 112 and 104 differ by 8."""
        assert row.left is not None
        assert row.right is not None
        digits = DIGITS.get(row.kind)
        if digits is not None:
            # Rounded as they are written, by the same rule.
            return float(f"{row.right:.{digits}f}") - float(f"{row.left:.{digits}f}")
        said = [self._ways[row.kind](one) for one in (row.left, row.right)]
        if SKIM in said:
            return row.right - row.left
        left, right = (parse_length(one, self.reader.unit) for one in said)
        return right - left

    def _plain(self, kind: Kind, size: float) -> str:
        """A difference is rounded to the nearest: no cut depends on it."""
        if kind in (Kind.LONG, Kind.ALONG, Kind.LENGTH, Kind.DEPTH):
            return self.reader.figure(self._length(size))
        return self.said(kind, size)

    @property
    def _ways(self) -> dict[Kind, Callable[[float], str]]:
        return {
            Kind.LONG: lambda metres: long_length(metres, self.reader.lengths),
            Kind.ALONG: self.figures.along,
            Kind.LENGTH: self._length,
            Kind.DEPTH: lambda metres: self.figures.with_unit(self.figures.depth(metres)),
            Kind.LITRES: lambda litres: f"{litres:.{DIGITS[Kind.LITRES]}f} l",
            Kind.SQUARE_METRES: lambda area: f"{area:.{DIGITS[Kind.SQUARE_METRES]}f} m²",
            Kind.MINUTES: lambda minutes: f"{minutes:.0f} {self.reader.words.say('plan.minutes')}",
            Kind.MONEY: lambda money: f"{money:.0f} {self.currency}",
        }

    def _length(self, metres: float) -> str:
        return f"{format_length(metres, self.reader.lengths, 32)} {self.reader.lengths}"
