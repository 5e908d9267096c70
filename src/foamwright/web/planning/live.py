"""What the workbench's script asks for: each answer is the sheet as it stands and the page's parts."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from foamwright.shop.bays import bay_text
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.units import format_with_unit
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.planning.ask import Ask
from foamwright.web.planning.draft import Draft, draft_of
from foamwright.web.planning.making import made, moved
from foamwright.web.planning.noticed import made_right
from foamwright.web.planning.sent import Number, older_sheet
from foamwright.web.planning.showing import parts_of, work_of

router = APIRouter(prefix="/plan/{number}/live", include_in_schema=False)

Answer = dict[str, Any]


@router.post("")
def live(here: TeacherHere, number: Number, ask: Ask) -> Answer:
    """Answer with the board as it stands after what was typed, moved or made, and with the page's parts."""
    draft = _draft(here, number, ask)
    with here.reading() as session:
        work = work_of(session, number, draft, ask)
    answer: Answer = {
        "sheet": draft.sheet,
        "stands": draft.board is not None,
        "changed": draft.is_changed,
        "parts": parts_of(here, work),
    }
    if not ask.light:
        answer |= {
            "more": work.is_more,
            "at": work.board.stop.key,
            "blank": work.blank.code if ask.blank else "",
        }
    return answer


@router.post("/remedy")
def remedy(here: TeacherHere, number: Number, ask: Ask) -> Answer:
    """Answer with what each notice of the stop in hand needs: a number and the value at which it is gone."""
    draft = _draft(here, number, ask)
    with here.reading() as session:
        work = work_of(session, number, draft, ask)
    found = {}
    for notice in work.board.notices:
        if notice.stop != work.board.stop.key:
            continue
        right = made_right(draft, notice)
        if right is not None:
            row, value = right
            said = here.reader.figure(format_with_unit(value, here.reader.lengths, 32))
            found[notice.key] = {"name": row.name, "value": value, "text": said}
    return {"remedies": found}


def _draft(here: Here, number: int, ask: Ask) -> Draft:
    with here.reading() as session:
        row = require_row(session, BoardRow, number)
        sheet = older_sheet(session, number, ask.made) or ask.sheet
        draft = draft_of(row.sheet, ask.typed, here.reader, bay_text(session), sheet)
    if ask.moved is not None:
        draft = moved(draft, *ask.moved)
    return made(draft, ask.made)
