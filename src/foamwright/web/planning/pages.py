"""The planning page's addresses for a browser without script: pages, the sheet, the papers."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Response

from foamwright.documents import json_bytes
from foamwright.errors import FaultError, InputError, NoAnswerError, Problem
from foamwright.jobs.live_planning import PlanWish, plan_at
from foamwright.planning.plan import Plan
from foamwright.shop.boards import add_board, all_boards, change_board
from foamwright.shop.database import Work
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.shop.told import StaleError
from foamwright.units import System
from foamwright.web.answers import status_of
from foamwright.web.forms import Form, done_once
from foamwright.web.pages.boards import toml_file
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.planning.ask import ask_of
from foamwright.web.planning.refusing import require_asked
from foamwright.web.planning.scene import offers_of
from foamwright.web.planning.sent import (
    Number,
    PlanForm,
    asked_in,
    draft_in,
    read_plan_form,
    revision_of,
    sheet_sent,
)
from foamwright.web.planning.sheet_text import changed_text
from foamwright.web.planning.showing import NOTHING_TOLD, Told, show_again, show_stored
from foamwright.web.rendering import NOTHING_TYPED, Typed, see_other
from foamwright.web.zipped import zipped

router = APIRouter(prefix="/plan", include_in_schema=False, dependencies=[Depends(read_plan_form)])


class Paper(StrEnum):
    """What can be taken away."""

    PLAN = "plan.json"
    WALL = "wall.pdf"
    JOB_SHEET = "job-sheet.pdf"
    TEMPLATES = "templates.zip"


KINDS = {
    Paper.PLAN: "application/json",
    Paper.WALL: "application/pdf",
    Paper.JOB_SHEET: "application/pdf",
    Paper.TEMPLATES: "application/zip",
}


@router.get("")
def boards(here: TeacherHere) -> Response:
    """Show the boards that can be planned."""
    return _list(here, NOTHING_TYPED)


@router.post("")
def add(here: TeacherHere, form: PlanForm) -> Response:
    """Add a board from its sheet, sent as a file, and go on to plan it."""

    def do(work: Work) -> str:
        return f"/plan/{add_board(work, sheet_sent(form)).id}?said=board-added"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


@router.get("/{number}")
def plan(here: TeacherHere, number: Number) -> Response:
    """Show the workbench of a board as it is stored."""
    return show_stored(here, number, ask_of(Form(here.request.query_params, {}), here.reader))


@router.post("/{number}")
def work_out(here: TeacherHere, number: Number, form: PlanForm) -> Response:
    """Show the page for the numbers as they were typed; nothing is stored."""
    return show_again(here, number, form, NOTHING_TOLD)


@router.post("/{number}/save")
def save(here: TeacherHere, number: Number, form: PlanForm) -> Response:
    """Store the board as it was typed."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
        current = require_row(session, BoardRow, number).revision
    revision = revision_of(form, current)

    why = " ".join(form.text("why").split())
    return _stored(here, number, form, lambda work: change_board(work, number, revision, draft.sheet, why))


@router.post("/{number}/copy")
def copy(here: TeacherHere, number: Number, form: PlanForm) -> Response:
    """Store the board as it stands as another one: the same again, but."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
        name = require_row(session, BoardRow, number).name
    wanted = form.text("copy_name").strip() or here.reader.words.say("plan.version.copy-of", name=name)

    def once(work: Work) -> str:
        sheet = changed_text(draft.sheet, {("name",): wanted}) if draft.bench.tree else draft.sheet
        return f"/plan/{add_board(work, sheet).id}?said=board-copied"

    return _done(here, number, form, once)


@router.post("/{number}/from-file")
def from_file(here: TeacherHere, number: Number, form: PlanForm) -> Response:
    """Store the board as a file that was sent has it; the sheet before it stays among the revisions."""
    with here.reading() as session:
        current = require_row(session, BoardRow, number).revision
    revision = revision_of(form, current)
    return _stored(here, number, form, lambda work: change_board(work, number, revision, sheet_sent(form)))


@router.post("/{number}/sheet.toml")
def sheet(here: TeacherHere, number: Number, form: PlanForm) -> Response:
    """Give the board as it stands in the form, as a file that the command line reads."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
        name = require_row(session, BoardRow, number).name
    return toml_file(draft.sheet, f"{name}.board.toml")


@router.post("/{number}/papers/{paper}")
def papers(here: TeacherHere, number: Number, form: PlanForm, paper: Paper) -> Response:
    """Give the wall pack, the plan, the job sheet or the templates of the board as it stands in the form."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
        offers = offers_of(session)
    try:
        asked = asked_in(form, here.reader)
        require_asked(draft, offers, asked)
        made = plan_at(PlanWish(draft.wanted, tuple(offers), asked.blank, asked.slide))
    except (NoAnswerError, FaultError) as why:
        page = show_again(here, number, form, Told([Problem("", str(why), "")]))
        page.status_code = status_of(why)
        return page
    except InputError as wrong:
        # What is wrong with the board's numbers is told beside them.
        told = Told() if draft.checked is None else Told(wrong.problems)
        page = show_again(here, number, form, told)
        page.status_code = status_of(wrong)
        return page
    headers = {"Content-Disposition": f'attachment; filename="{paper.value}"'}
    return Response(paper_bytes(made, paper, here.reader.lengths), media_type=KINDS[paper], headers=headers)


def paper_bytes(plan: Plan, paper: Paper, system: System) -> bytes:
    """Return what is taken away, on letter paper for inches and on A4 for millimetres."""
    if paper is Paper.PLAN:
        return json_bytes(plan.as_json())
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.papers.job_sheet import job_document
    from foamwright.papers.pdf import pdf_bytes
    from foamwright.papers.template_files import blank_block, template_files
    from foamwright.papers.tiling import Paper as Size
    from foamwright.papers.wall import wall_document

    size = Size.LETTER if system is System.INCH else Size.A4
    if paper is Paper.WALL:
        return pdf_bytes(wall_document(plan, size.pack, system))
    if paper is Paper.JOB_SHEET:
        return pdf_bytes(job_document(plan, size, system, blank_block(plan)))
    return zipped(template_files(plan, size, system))


def _stored(here: Here, number: int, form: Form, do: Callable[[Work], object]) -> Response:
    """Store a change and show the board anew, or show the form again with what is in the way."""

    def once(work: Work) -> str:
        do(work)
        asked = {
            name: form.text(name) for name in ("view", "at", "blank", "slide", "tall") if form.text(name)
        }
        return f"/plan/{number}?" + urlencode({**asked, "said": "board-saved"})

    return _done(here, number, form, once)


def _done(here: Here, number: int, form: Form, do: Callable[[Work], str]) -> Response:
    try:
        with here.database.writing(here.visitor.actor) as work:
            location = done_once(work, form, lambda: do(work))
    except InputError as wrong:
        stale = wrong if isinstance(wrong, StaleError) else None
        problems = [here.reader.problem(problem) for problem in wrong.problems]
        page = show_again(here, number, form, Told(problems, stale))
        page.status_code = status_of(wrong)
        return page
    return see_other(location)


def _list(here: Here, typed: Typed) -> Response:
    with here.reading() as session:
        rows = all_boards(session)
    return here.show("plan_boards", typed, boards=rows)
