"""The page that holds two boards, or two blanks, side by side: an address with two pairs, nothing stored."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Response
from sqlalchemy.orm import Session

from foamwright.jobs.live_planning import Offer, code_of
from foamwright.shop.bays import bay_text
from foamwright.shop.boards import all_boards
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.planning.draft import Draft, draft_of
from foamwright.web.planning.scene import offers_of, stock_scene
from foamwright.web.planning.sent import Number, PlanForm, asked_in, draft_in, read_plan_form
from foamwright.web.planning.side_by_side import Comparison, Wished, comparison_of
from foamwright.web.rendering import see_other

router = APIRouter(prefix="/plan", include_in_schema=False, dependencies=[Depends(read_plan_form)])

Boards = Annotated[list[Annotated[int, Query(ge=1, le=2_147_483_647)]], Query(max_length=2)]
Blanks = Annotated[list[Annotated[str, Query(max_length=200)]], Query(max_length=2)]


@router.get("/compare")
def compare(here: TeacherHere, board: Boards, blank: Blanks = ()) -> Response:  # type: ignore[assignment]
    """Show two boards in their blanks; one board alone stands in its two best ones."""
    numbers, blanks = (board[0], board[-1]), [*blank, "", ""][:2]
    with here.reading() as session:
        left, right = (_saved(session, here, *pair) for pair in zip(numbers, blanks, strict=True))
        offers = offers_of(session)
    if not right.blank and numbers[0] == numbers[1]:
        right = Wished(right.number, right.name, right.draft, _second(right.draft, offers, left.blank))
    return _page(here, comparison_of(left, right, offers, here.reader, here.visitor.sees_money), offers)


@router.post("/{number}/compare")
def compare_typed(here: TeacherHere, number: Number, form: PlanForm) -> Response:
    """Hold the board as it is typed against the board as it is saved; unchanged, against other blanks."""
    asked = asked_in(form, here.reader)
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
        saved = _saved(session, here, number, asked.blank)
        offers = offers_of(session)
    if not draft.is_changed:
        return see_other("/plan/compare?" + urlencode({"board": number, "blank": asked.blank}))
    typed = Wished(number, here.reader.words.say("compare.as-typed", name=saved.name), draft, asked.blank)
    return _page(here, comparison_of(saved, typed, offers, here.reader, here.visitor.sees_money), offers)


def _saved(session: Session, here: Here, number: int, blank: str) -> Wished:
    row = require_row(session, BoardRow, number)
    return Wished(number, row.name, draft_of(row.sheet, {}, here.reader, bay_text(session)), blank)


def _second(draft: Draft, offers: Sequence[Offer], first: str) -> str:
    """The best blank besides the first side's."""
    ranking = stock_scene(draft, offers)
    if ranking is None:
        return ""
    fitting = [one.code for one in (*ranking.ready, *ranking.absent)]
    others = [code for code in fitting if code != (first or ranking.best)]
    return others[0] if others else first


def _page(here: Here, comparison: Comparison, offers: Sequence[Offer]) -> Response:
    with here.reading() as session:
        boards = all_boards(session)
    codes = [code_of(offer) for offer in offers]
    return here.show("plan_compare", comparison=comparison, boards=boards, codes=codes)
