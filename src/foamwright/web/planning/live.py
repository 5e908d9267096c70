"""What the planning page's script asks for: each answer is a part of the page, or the numbers of a drag."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from fastapi import APIRouter, Depends
from fastapi.responses import JSONResponse

from foamwright.jobs.live_planning import Offer, choice_in, laid_at, settled_at
from foamwright.shop.bays import bay_text
from foamwright.shop.stock import find_blank
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.planning.draft import Draft, draft_of
from foamwright.web.planning.laid import laid_view
from foamwright.web.planning.refusing import is_unknown
from foamwright.web.planning.scene import (
    head_scene,
    lay_scene,
    off_scene,
    offers_of,
    pair_of,
    stock_scene,
)
from foamwright.web.planning.sent import Number, PlanForm, Wish, draft_in, read_plan_form
from foamwright.web.planning.showing import fragment, strokes_or_why, wish_of

Answer = dict[str, Any]

forms = APIRouter(
    prefix="/plan/{number}/live", include_in_schema=False, dependencies=[Depends(read_plan_form)]
)
wishes = APIRouter(prefix="/plan/live", include_in_schema=False)


@forms.post("/board")
def board(here: TeacherHere, number: Number, form: PlanForm) -> Answer:
    """Answer the form as typed: the sheet it makes, what is wrong beside its fields, the board drawn."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
    return {
        "sheet": draft.sheet,
        "stands": draft.checked is not None,
        "changed": draft.is_changed,
        "form": fragment(here, "plan_board", form=draft.form, draft=draft),
        "head": fragment(here, "plan_head", head=head_scene(draft), draft=draft),
    }


@wishes.post("/stock")
def stock(here: TeacherHere, wish: Wish) -> Answer:
    """Answer with the stock ranked."""
    draft, offers = _draft(here, wish)
    ranking = stock_scene(draft, offers)
    best = ranking.best if ranking else None
    html = fragment(here, "plan_stock", ranking=ranking, asked=wish.asked, has_stock=bool(offers))
    return {"best": best, "html": html}


@wishes.post("/blank")
def blank(here: TeacherHere, wish: Wish) -> Answer:
    """Answer with the board drawn in the blank."""
    draft, offers = _draft(here, wish)
    lay = lay_scene(draft, offers, wish.asked)
    slide = lay.laid.slide_m if lay else None
    unknown = is_unknown(offers, wish.blank)
    ranking = stock_scene(draft, offers) if unknown else None
    html = fragment(here, "plan_lay", lay=lay, asked=wish.asked, unknown=unknown, ranking=ranking)
    return {"html": html, "slide": slide, "fits": bool(lay and lay.laid.fits)}


@wishes.post("/lay")
def lay(here: TeacherHere, wish: Wish) -> JSONResponse:
    """Answer a drag: the best lay at a slide, in numbers. This one is asked for sixty times a second."""
    with here.reading() as session:
        row, bay = find_blank(session, wish.blank), bay_text(session)
    offers = [] if row is None else [Offer(row.sheet, row.on_hand)]
    pair = pair_of(draft_of(wish.sheet, {}, here.reader, bay), offers, wish.asked)
    if pair is None or wish.slide is None:
        return JSONResponse({})
    return JSONResponse(laid_view(laid_at(choice_in(pair), wish.slide), here.reader).as_json())


@wishes.post("/off")
def off(here: TeacherHere, wish: Wish) -> Answer:
    """Answer with what comes off."""
    draft, offers = _draft(here, wish)
    pair = pair_of(draft, offers, wish.asked)
    scene = None if pair is None else off_scene(pair, wish.slide)
    html = fragment(here, "plan_off", off=scene)
    laid = None if pair is None else laid_view(settled_at(pair, wish.slide), here.reader).as_json()
    return {"html": html, "fits": scene is not None, "laid": laid}


@wishes.post("/strokes")
def strokes(here: TeacherHere, wish: Wish) -> Answer:
    """Answer with the strokes."""
    draft, offers = _draft(here, wish)
    if draft.checked is None or not wish.blank or is_unknown(offers, wish.blank):
        return {"html": fragment(here, "plan_strokes", strokes=None, why="")}
    scene, why = strokes_or_why(wish_of(draft, offers, wish.asked), here.reader)
    return {"html": fragment(here, "plan_strokes", strokes=scene, why=why)}


def _draft(here: Here, wish: Wish) -> tuple[Draft, Sequence[Offer]]:
    with here.reading() as session:
        offers, bay = offers_of(session), bay_text(session)
    return draft_of(wish.sheet, {}, here.reader, bay), offers
