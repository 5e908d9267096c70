"""All that the planning page shows for one board, made from its draft, the stock and where it lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from foamwright.errors import InputError, Problem
from foamwright.findings import Finding
from foamwright.jobs.live_kept import Kept
from foamwright.jobs.live_planning import (
    Offer,
    Pair,
    PlanWish,
    Wanted,
    choice_in,
    is_chosen,
    is_ranked,
    laid_at,
    offer_called,
    plan_at,
    ranked,
    settled_at,
    solid_blank,
    solid_board,
)
from foamwright.jobs.live_removal import removal_at
from foamwright.shop.stock import all_stock
from foamwright.web.planning.asked import TYPED, Asked, beyond_slide, slide_problem, unread_slide
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.figures import PlanView, SideView, SlideView, plan_view, side_view, slide_view
from foamwright.web.planning.laid import LaidView, laid_view, slide_text
from foamwright.web.planning.maps import MapView, PlainPicture, map_view, plain_picture, surface_numbers
from foamwright.web.planning.ranking import Ranking, ranking_of
from foamwright.web.planning.strokes import PassList, RunList, pass_lists, run_lists
from foamwright.web.rendering import Reader


@dataclass(frozen=True, slots=True)
class LayScene:
    """The board in one blank, and what is wrong with the slide that was asked for.

    `written` is what its field holds; `beyond` and `unread` are what is told of one that cannot be.
    """

    code: str
    side: SideView
    slides: SlideView
    laid: LaidView
    written: str
    problem: Problem | None
    unread: Problem
    beyond: Problem


@dataclass(frozen=True, slots=True)
class OffScene:
    """What comes off."""

    map: MapView
    picture: PlainPicture
    surface: str


@dataclass(frozen=True, slots=True)
class StrokeScene:
    """The strokes, and what there is to say about the cuts."""

    passes: tuple[PassList, ...]
    runs: tuple[RunList, ...]
    findings: tuple[Finding, ...]


def offers_of(session: Session) -> tuple[Offer, ...]:
    """Return the stock that is in use, as it is offered now."""
    return tuple(Offer(row.sheet, row.on_hand) for row in all_stock(session))


def head_scene(draft: Draft) -> PlanView | None:
    """Return the board alone; ``None`` while its numbers cannot stand."""
    return plan_view(solid_board(draft.wanted)) if draft.checked else None


def stock_scene(draft: Draft, offers: Sequence[Offer]) -> Ranking | None:
    """Return the stock ranked for the board; ``None`` while its numbers cannot stand."""
    if draft.checked is None:
        return None
    return _RANKINGS((draft.wanted, tuple(offers)))


def is_stock_at_hand(draft: Draft, offers: Sequence[Offer]) -> bool:
    """Return whether the stock has been ranked for the board already."""
    return is_ranked(draft.wanted, offers)


def is_lay_at_hand(draft: Draft, offers: Sequence[Offer], asked: Asked) -> bool:
    """Return whether the board has been tried in that blank already."""
    pair = pair_of(draft, offers, asked)
    return pair is not None and is_chosen(pair)


def lay_scene(draft: Draft, offers: Sequence[Offer], asked: Asked) -> LayScene | None:
    """Return the board in the blank asked for; ``None`` if it cannot even be tried in it."""
    pair = pair_of(draft, offers, asked)
    if pair is None:
        return None
    best = choice_in(pair)
    slides = slide_view(best)
    if slides is None:
        return None
    slide = slides.best_m if asked.slide is None else asked.slide
    choice = laid_at(best, slides.least_m if slide is None else slide)
    if choice.fits:
        choice = settled_at(pair, choice.placed.slide)
    side = side_view(solid_board(pair.wanted), solid_blank(pair.offer), choice.placed, draft.reader)
    laid = laid_view(choice, draft.reader)
    problem = slide_problem(asked, slides, draft.reader)
    return LayScene(
        code=asked.blank,
        side=side,
        slides=slides,
        laid=laid,
        written=laid.slide
        if problem is None
        else asked.written or slide_text(asked.slide or 0.0, draft.reader),
        problem=problem,
        unread=unread_slide(TYPED, slides, draft.reader),
        beyond=beyond_slide(TYPED, slides, draft.reader),
    )


def pair_of(draft: Draft, offers: Sequence[Offer], asked: Asked) -> Pair | None:
    """Return board and blank, if there are both and both can be made solid."""
    offer = offer_called(offers, asked.blank)
    if offer is None or draft.checked is None:
        return None
    try:
        solid_blank(offer)
    except InputError:
        return None
    return Pair(draft.wanted, offer)


def off_scene(pair: Pair, slide: float | None) -> OffScene | None:
    """Return what comes off; ``None`` where the board does not lie in the blank."""
    return _OFF((pair, slide))


def stroke_scene(wish: PlanWish, reader: Reader) -> StrokeScene:
    """Return the strokes of a plan.

    Raises
    ------
    NoAnswerError
        The board does not lie in the blank.
    """
    plan = plan_at(wish)
    cuts = tuple(f for f in plan.findings if f.code.startswith(("run-", "grain-")))
    return StrokeScene(pass_lists(plan, reader), run_lists(plan, reader), cuts)


def _ranking(key: tuple[Wanted, tuple[Offer, ...]]) -> Ranking:
    wanted, offers = key
    return ranking_of(ranked(wanted, offers), wanted.system)


def _off(key: tuple[Pair, float | None]) -> OffScene | None:
    pair, slide = key
    if not settled_at(pair, slide).fits:
        return None
    removal = removal_at(pair, slide)
    drawn = map_view(removal, pair.wanted.system)
    return OffScene(drawn, plain_picture(removal, drawn.most_m), surface_numbers(removal))


_RANKINGS = Kept(_ranking, 16)
_OFF = Kept(_off, 16)
