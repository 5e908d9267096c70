"""Planning as one drags and types: solids, comparisons and plans kept by the text of their sheets.

The app asks for the same things over and over while a person slides a board along a blank, so every
answer is kept under the letters it was made from. Nothing here is a second set of rules: each answer is
what `pick_job` and `plan_job` would give for the same sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import bay_from_text
from foamwright.blank.blank import Blank, blank_of
from foamwright.blank.sheet import stock_from_text
from foamwright.board.board import Board, board_of
from foamwright.board.numbers import BoardNumbers
from foamwright.board.sheet import board_from_text
from foamwright.errors import InputError, NoAnswerError, Problem
from foamwright.findings import said
from foamwright.jobs.check import Checked, checked
from foamwright.jobs.live_kept import Kept
from foamwright.jobs.planning import no_blank_words
from foamwright.lay.choice import Choice
from foamwright.lay.limits import Lay, limits_at, slide_range
from foamwright.lay.rotation import settled
from foamwright.lay.survey import Survey
from foamwright.planning.build import build_plan, survey_of
from foamwright.planning.plan import Plan
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.line_between import FITS
from foamwright.units import System

SHEET_NAME = "board"
"""What messages call a sheet that is being typed."""

BAY = Bay()
"""The workshop as it is usually."""

MOST_STATIONS = 40
"""Stations of a curve that are worked out in the app: half a second's work; the command line takes more."""

SAME_SLIDE = 1e-7
"""Metres: slides nearer than this are one."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A board as it is wanted now: the text of its sheet, the units in which failures are told, and the text
    of the bay sheet that it is planned with (empty: the usual bay).
    """

    sheet: str
    system: System = System.INCH
    bay: str = ""


@dataclass(frozen=True, slots=True)
class Offer:
    """A blank as it is offered now: a stock sheet of this one blank, and how many are on hand."""

    sheet: str
    on_hand: int


@dataclass(frozen=True, slots=True)
class Pair:
    """A board and the one blank it is tried in."""

    wanted: Wanted
    offer: Offer


@dataclass(frozen=True, slots=True)
class PlanWish:
    """A plan as it is wanted: a board, the whole stock, which blank of it, and the slide (``None``: best)."""

    wanted: Wanted
    offers: tuple[Offer, ...]
    blank: str
    slide: float | None


def solid_board(wanted: Wanted) -> Board:
    """Return the board of a sheet.

    Raises
    ------
    InputError
        Anything in it cannot stand, or no fair curve meets its numbers; every problem is held.
    """
    return _BOARDS(wanted)


def bay_of(wanted: Wanted) -> Bay:
    """Return the workshop that a board is planned in.

    Raises
    ------
    InputError
        Anything in its sheet cannot stand.
    """
    return _BAYS(wanted.bay)


def checked_board(wanted: Wanted) -> Checked:
    """Return the board in numbers, with what there is to say about it.

    Raises
    ------
    InputError
        As `solid_board`, or a fin box lies outside the outline.
    """
    return _CHECKED(wanted)


def solid_blank(offer: Offer) -> Blank:
    """Return the blank of an offer, with the count as it is now.

    Raises
    ------
    InputError
        No fair curve meets its numbers.
    """
    return _BLANKS(offer)


def ranked(wanted: Wanted, offers: Sequence[Offer]) -> Survey:
    """Return every blank that can be made solid, best first, or why it fails.

    Raises
    ------
    InputError
        The board cannot be made solid.
    """
    return _SURVEYS((wanted, tuple(offers)))


def is_ranked(wanted: Wanted, offers: Sequence[Offer]) -> bool:
    """Return whether `ranked` would answer at once."""
    return _SURVEYS.has((wanted, tuple(offers)))


def choice_in(pair: Pair) -> Choice:
    """Return the board's best lay in one blank, or where it fails.

    Raises
    ------
    InputError
        Either cannot be made solid.
    """
    return _CHOICES(pair)


def is_chosen(pair: Pair) -> bool:
    """Return whether `choice_in` would answer at once."""
    return _CHOICES.has(pair)


def slides_of(choice: Choice) -> tuple[float, float]:
    """Return least and greatest slide, metres; the first is larger where the blank is too short."""
    return slide_range(choice.board, choice.blank, choice.bay)


def laid_at(choice: Choice, slide: float) -> Choice:
    """Return the board laid best at a slide, by its small tilt, in microseconds; for drawing while dragging.

    What `settled_at` corrects for the true rotation is some tenths of a millimetre. Where the board does
    not fit, it lies where it misses by the least.

    Parameters
    ----------
    choice
        The board in the blank.
    slide
        Metres; held within `slides_of`.
    """
    least, most = slides_of(choice)
    at = float(np.clip(slide, least, max(least, most)))
    if choice.lay is not None and abs(choice.lay.slide - at) < SAME_SLIDE:
        return choice
    under = choice.blank.at(choice.board.x + at)
    line = limits_at(choice.board, under, choice.allowed).best_line(choice.toward)
    fits = line.status == FITS and float(outline_room(choice, at).min()) >= -1e-9 and most >= least
    free = np.full(choice.board.x.size, np.inf)
    laid = choice.laid(Lay(at, line.lift, line.tilt), -free, free)
    return replace(laid, fits=fits)


def outline_room(choice: Choice, slide: float) -> Floats:
    """Return (N,) how far the sawn outline stays inside the blank's at a slide, half the width, metres."""
    under = choice.blank.at(choice.board.x + slide)
    return np.asarray(under.half_width - choice.board.half_width - choice.bay.allowances.saw)


def settled_at(pair: Pair, slide: float | None) -> Choice:
    """Return the board laid at a slide (``None``: the best) and held there with its true rotation.

    Where the turned board does not fit at that very mark, it settles at the nearest that does.

    Raises
    ------
    InputError
        Either cannot be made solid.
    """
    return _SETTLED((pair, slide))


def plan_at(wish: PlanWish) -> Plan:
    """Return the plan of a board in the blank and at the slide that were chosen.

    Raises
    ------
    InputError
        The board cannot be made solid, or the stock has no such blank.
    NoAnswerError
        The board does not lie in the blank; holds the reasons in words.
    """
    return _PLANS(wish)


def offer_called(offers: Sequence[Offer], code: str) -> Offer | None:
    """Return the offer of the blank with this name."""
    return next((offer for offer in offers if code_of(offer) == code), None)


def code_of(offer: Offer) -> str:
    """Return the name of an offer's blank."""
    return _CODES(offer.sheet)


def _board(wanted: Wanted) -> Board:
    numbers = board_from_text(wanted.sheet, SHEET_NAME)
    _require_few(numbers)
    return board_of(numbers, wanted.system)


def _bay(sheet: str) -> Bay:
    return bay_from_text(sheet, "bay") if sheet else BAY


def _require_few(numbers: BoardNumbers) -> None:
    """Refuse a board that would hold up everybody else: the time for a curve grows with its stations."""
    tables = {"outline": numbers.outline, "rocker": numbers.rocker, "thickness": numbers.thickness}
    problems = [
        Problem(
            f"{SHEET_NAME}, [{name}]",
            said(
                "sheet.many-stations",
                "{count} stations are more than are worked out while one waits.",
                count=str(len(marks)),
            ),
            said(
                "sheet.many-stations.remedy",
                "Keep at most {most}; a fair curve needs few.",
                most=str(MOST_STATIONS),
            ),
        )
        for name, marks in tables.items()
        if len(marks) > MOST_STATIONS
    ]
    if problems:
        raise InputError(problems)


def _checked(wanted: Wanted) -> Checked:
    return checked(solid_board(wanted), wanted.system)


def _code(sheet: str) -> str:
    return stock_from_text(sheet, "stock.toml")[0].id


def _blank(offer: Offer) -> Blank:
    solid = _SOLIDS(offer.sheet)
    return replace(solid, numbers=replace(solid.numbers, on_hand=offer.on_hand))


def _solid(sheet: str) -> Blank:
    (numbers,) = stock_from_text(sheet, "stock.toml")
    return blank_of(numbers)


def _survey(key: tuple[Wanted, tuple[Offer, ...]]) -> Survey:
    wanted, offers = key
    return survey_of(solid_board(wanted), _solids(offers), bay_of(wanted))


def _solids(offers: Sequence[Offer]) -> list[Blank]:
    found = []
    for offer in offers:
        try:
            found.append(solid_blank(offer))
        except InputError:
            # Its own page on the rack says what is wrong with it; it is no choice here.
            continue
    return found


def _choice(pair: Pair) -> Choice:
    return survey_of(solid_board(pair.wanted), [solid_blank(pair.offer)], bay_of(pair.wanted)).choices[0]


def _settle(key: tuple[Pair, float | None]) -> Choice:
    pair, slide = key
    best = choice_in(pair)
    if slide is None or (best.lay is not None and abs(best.lay.slide - slide) < SAME_SLIDE):
        return best
    laid = laid_at(best, slide)
    if not laid.fits:
        return laid
    found = settled(laid, solid_board(pair.wanted), solid_blank(pair.offer))
    return replace(laid, fits=False) if found is None else found.choice


def _plan(wish: PlanWish) -> Plan:
    offer = offer_called(wish.offers, wish.blank)
    survey = ranked(wish.wanted, wish.offers)
    if offer is None:
        raise NoAnswerError(no_blank_words(survey, wish.wanted.system))
    choice = settled_at(Pair(wish.wanted, offer), wish.slide)
    if not choice.fits:
        raise NoAnswerError(no_blank_words(Survey((choice,)), wish.wanted.system))
    others = tuple(one for one in survey.choices if one.id != choice.id)
    wanted = wish.wanted
    return build_plan(
        solid_board(wanted), _solids(wish.offers), bay_of(wanted), choice, others, wanted.system
    )


_BAYS = Kept(_bay, 32)
_BOARDS = Kept(_board, 32)
_CHECKED = Kept(_checked, 32)
_SOLIDS = Kept(_solid, 2048)
_BLANKS = Kept(_blank, 2048)
_CODES = Kept(_code, 4096)
_SURVEYS = Kept(_survey, 16)
_CHOICES = Kept(_choice, 64)
_SETTLED = Kept(_settle, 64)
_PLANS = Kept(_plan, 8)
