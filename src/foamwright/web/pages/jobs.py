"""The jobs page: search, the archive, one job with its blank, readings and history."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Response

from foamwright.errors import NoAnswerError, Problem
from foamwright.jobs.shop_papers import after_sheet_of, job_sheet_of, templates_of
from foamwright.shop.boards import offered_boards
from foamwright.shop.database import Work
from foamwright.shop.history import history_of
from foamwright.shop.jobs import JobQuery, JobWish, change_job, find_jobs, give_blank, move_job, open_job
from foamwright.shop.kinds import ReadingState, Shelf
from foamwright.shop.notes import add_note, notes_of
from foamwright.shop.people import offered_people, rider_sheet
from foamwright.shop.plan_blank import blank_at_odds
from foamwright.shop.plans import steps_of
from foamwright.shop.readings import readings_of, settle_reading
from foamwright.shop.rows import require_row
from foamwright.shop.stock import all_stock
from foamwright.shop.tables import BoardRow, JobRow, Person, ReadingRow, StepRow, StockBlank
from foamwright.shop.told import ShopError, told
from foamwright.web.answers import status_of
from foamwright.web.bench.figures import sayer_of
from foamwright.web.forms import Form, Sent, read_form
from foamwright.web.pages.here import Here, SomebodyHere, TeacherHere
from foamwright.web.pages.job_view import job_view
from foamwright.web.pages.shelves import MoveTo, shelf_asked
from foamwright.web.rendering import NOTHING_TYPED, Reader, Typed, see_other
from foamwright.web.visitors import require_job
from foamwright.web.zipped import zipped

router = APIRouter(prefix="/jobs", include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]

ON_A_PAGE = 50

LONGEST_REASON = 200
"""Characters, as the interface takes."""


@router.get("")
def jobs(here: SomebodyHere) -> Response:
    """Show the jobs; a bench is sent to its own."""
    if not here.visitor.teaches:
        return see_other(f"/jobs/{here.visitor.job_id}")
    return _list(here, NOTHING_TYPED)


@router.post("")
def add(here: TeacherHere, form: Sent) -> Response:
    """Open a job."""

    def do(work: Work) -> str:
        return f"/jobs/{open_job(work, _wish(form)).id}?said=job-opened"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


@router.get("/{number}")
def job(here: SomebodyHere, number: Number) -> Response:
    """Show one job."""
    require_job(here.visitor, number)
    return _page(here, number, NOTHING_TYPED)


@router.get("/{number}/details")
def details(here: SomebodyHere, number: Number) -> Response:
    """Show what a job is to be, its blank and its notes."""
    require_job(here.visitor, number)
    return _details(here, number, NOTHING_TYPED)


@router.get("/{number}/readings")
def readings(here: SomebodyHere, number: Number) -> Response:
    """Show every reading of a job."""
    require_job(here.visitor, number)
    with here.reading() as session:
        row = require_row(session, JobRow, number)
        values: dict[str, Any] = {
            "readings": readings_of(session, number),
            **_said(here.reader, steps_of(session, row)),
        }
    return here.show("job_readings", job=row, **values)


@router.get("/{number}/history")
def history(here: TeacherHere, number: Number) -> Response:
    """Show what happened to a job, last first."""
    with here.reading() as session:
        row, happened = require_row(session, JobRow, number), history_of(session, number)
    return here.show("job_history", job=row, history=happened)


@router.post("/{number}")
def change(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Change what a job is to be."""

    def do(work: Work) -> str:
        change_job(work, number, form.number("revision"), _wish(form))
        return f"/jobs/{number}?said=job-saved"

    return here.submit(form, do, lambda typed, _: _details(here, number, typed))


@router.post("/{number}/blank")
def blank(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Give the job a blank off the rack, or put its blank back."""

    def do(work: Work) -> str:
        give_blank(work, number, form.number_or_none("blank_id"))
        return f"/jobs/{number}/details?said=job-blank#blank"

    return here.submit(form, do, lambda typed, _: _details(here, number, typed))


@router.get("/{number}/job-sheet.pdf")
def job_sheet(here: SomebodyHere, number: Number) -> Response:
    """Give the job sheet; where tablets reach the shop, a code on it opens the job's bench."""
    lengths, address = here.reader.lengths, _bench_address(here, number)
    return _paper(here, number, "", "pdf", lambda row: job_sheet_of(row, lengths, address))


@router.get("/{number}/templates.zip")
def templates(here: SomebodyHere, number: Number) -> Response:
    """Give the templates of the job's own plan."""
    return _paper(
        here, number, "-templates", "zip", lambda row: zipped(templates_of(row, here.reader.lengths))
    )


@router.get("/{number}/after-the-foam.pdf")
def after_the_foam(here: SomebodyHere, number: Number) -> Response:
    """Give what comes after the foam: fins, glassing, and the water where enough of the rider is known."""
    require_job(here.visitor, number)
    with here.reading() as session:
        rider = session.get(Person, require_row(session, JobRow, number).rider_id or 0)
        sheet = (rider and rider_sheet(rider)) or ""
    return _paper(here, number, "-after", "pdf", lambda row: after_sheet_of(row, sheet, here.reader.lengths))


@router.post("/{number}/readings/{reading}")
def settle(here: TeacherHere, number: Number, reading: Number, form: Sent) -> Response:
    """Accept a questioned reading, or set it aside; setting aside wants a reason."""

    def do(work: Work) -> str:
        reason, aside = form.text("reason").strip(), form.text("state") != ReadingState.ACCEPTED
        if aside and not reason:
            raise ShopError(told("reason", "empty"))
        state = ReadingState.SET_ASIDE if aside else ReadingState.ACCEPTED
        settle_reading(work, number, reading, state, reason[:LONGEST_REASON])
        return f"/jobs/{number}?said=reading-settled"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.post("/{number}/notes")
def note(here: SomebodyHere, number: Number, form: Sent) -> Response:
    """Leave a note at the job."""
    require_job(here.visitor, number)

    def do(work: Work) -> str:
        assert here.visitor.role is not None
        add_note(work, number, here.visitor.role, form.text("words"))
        return f"/jobs/{number}/details?said=note-left#notes"

    return here.submit(form, do, lambda typed, _: _details(here, number, typed))


@router.post("/{number}/shelf")
def move(here: TeacherHere, number: Number, form: Sent, to: MoveTo) -> Response:
    """Put a job into the archive, or take one out."""

    def do(work: Work) -> str:
        move_job(work, number, to)
        return f"/jobs?said={to.name.casefold()}"

    return here.submit(form, do, lambda typed, _: _details(here, number, typed))


def _list(here: Here, typed: Typed) -> Response:
    asked = here.request.query_params
    start = int(asked["from"]) if asked.get("from", "").isdecimal() and len(asked["from"]) < 7 else 0
    query = JobQuery(asked.get("words", "")[:200], shelf_asked(here.request), ON_A_PAGE + 1, start)
    with here.reading() as session:
        found = find_jobs(session, query)
        chosen = asked.get("board", "")
        wanted = int(chosen) if chosen.isdecimal() and len(chosen) < 10 else None
        people, boards = offered_people(session), offered_boards(session, wanted)
    return here.show(
        "jobs",
        typed,
        jobs=found[:ON_A_PAGE],
        query=query,
        older=start + ON_A_PAGE if len(found) > ON_A_PAGE else None,
        newer=max(start - ON_A_PAGE, 0) if start else None,
        in_use=Shelf.IN_USE,
        people=people,
        boards=boards,
        chosen_board=wanted or "",
        stage_said=sayer_of(here.reader, 16).stage,
    )


def _paper(here: Here, number: int, name: str, kind: str, make: Callable[[JobRow], bytes]) -> Response:
    """Answer with a paper of the job, or with its page and why there is none."""
    require_job(here.visitor, number)
    with here.reading() as session:
        row = require_row(session, JobRow, number)
    try:
        made = make(row)
    except NoAnswerError as why:
        page = _page(here, number, Typed({}, [Problem("", str(why), "")]))
        page.status_code = status_of(why)
        return page
    headers = {"Content-Disposition": f'attachment; filename="job-{number}{name}.{kind}"'}
    return Response(made, media_type=f"application/{kind}", headers=headers)


def _bench_address(here: Here, number: int) -> str:
    """Where a tablet opens the bench; empty if only this machine reaches the shop."""
    address = here.services.settings.address
    return f"{address}/jobs/{number}/bench" if address else ""


def _page(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        row = require_row(session, JobRow, number)
        steps, read = steps_of(session, row), readings_of(session, number)
        board = session.get(BoardRow, row.board_id) if row.board_id else None
        blank = session.get(StockBlank, row.blank_id) if row.blank_id else None
        values: dict[str, Any] = {
            "readings": read,
            "notes": notes_of(session, number),
            "happened": len(history_of(session, number)) if here.visitor.teaches else 0,
            "at_odds": blank_at_odds(session, row),
            "board_name": board.name if board else "",
            "blank_code": blank.code if blank else "",
            "length": steps[0].detail["length_m"] if steps else None,
            "view": job_view(steps, read, here.reader),
            **_said(here.reader, steps),
        }
    return here.show("job", typed, job=row, on_lan=bool(here.services.settings.address), **values)


def _details(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        row = require_row(session, JobRow, number)
        values: dict[str, Any] = {
            "notes": notes_of(session, number),
            "people": offered_people(session, row.rider_id),
            "boards": offered_boards(session, row.board_id),
            "blanks": all_stock(session),
        }
    return here.show("job_details", typed, job=row, **values)


def _said(reader: Reader, steps: Sequence[StepRow]) -> dict[str, Callable[..., str]]:
    """How a page names stages and stations, in the visitor's words and units."""
    tape, length = (steps[0].detail["tape"], steps[0].detail["length_m"]) if steps else (16, None)
    say = sayer_of(reader, tape)

    def station(reading: ReadingRow) -> str:
        return say.station_read(reading.station, reading.station_m, length)

    def where(reading: ReadingRow) -> str:
        return reader.words.say(f"bench.measure.{reading.what}", place=station(reading))

    return {"stage_said": say.stage, "station_said": station, "where": where}


def _wish(form: Form) -> JobWish:
    return JobWish(
        title=form.text("title"),
        rider_id=form.number_or_none("rider_id"),
        board_id=form.number_or_none("board_id"),
        note=form.text("note"),
    )
