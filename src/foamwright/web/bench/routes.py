"""The bench page's addresses. The plan's revision stands in the address, so a browser may keep the page."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Response

from foamwright.errors import InputError, NoAnswerError, Problem
from foamwright.jobs.bench_steps_advice import advise_at_bench
from foamwright.jobs.bench_steps_planning import plan_of_sheets
from foamwright.jobs.bench_steps_standing import standing_of
from foamwright.shop.bays import bay_text
from foamwright.shop.courses import is_brief_missing
from foamwright.shop.database import Work
from foamwright.shop.plan_blank import blank_at_odds
from foamwright.shop.plans import put_plan, steps_of, strokes_made
from foamwright.shop.readings import readings_of
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow
from foamwright.web.answers import status_of
from foamwright.web.bench.advice import advice_views
from foamwright.web.bench.view import page_data, step_views
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.here import Here, SomebodyHere, TeacherHere
from foamwright.web.rendering import NOTHING_TYPED, Typed, see_other
from foamwright.web.statics import all_statics
from foamwright.web.visitors import give_secret, require_job

router = APIRouter(include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]

KEEP = "private, max-age=604800"
"""A week: a tablet that was away that long has been put away."""


@router.get("/jobs/{number}/bench")
def bench(here: SomebodyHere, number: Number) -> Response:
    """Send a bench to its job's present plan; say so if there is none."""
    require_job(here.visitor, number)
    with here.reading() as session:
        job = require_row(session, JobRow, number)
        unsigned = is_brief_missing(session, number)
    if unsigned:
        return see_other(f"/jobs/{number}/brief")
    if not job.plan:
        return _no_plan(here, job, NOTHING_TYPED)
    answer = see_other(f"/jobs/{number}/bench/{job.plan_revision}")
    # The page that is kept is kept by its cookies: the browser needs them before it asks for it.
    give_secret(here.request, answer, here.visitor)
    return answer


@router.post("/jobs/{number}/bench")
def make_plan(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Make the job's plan from the sheets it took, and open its bench."""
    with here.reading() as session:
        job, bay = require_row(session, JobRow, number), bay_text(session)
    try:
        plan, steps = plan_of_sheets(job.board_sheet, job.blank_sheet, bay, here.reader.lengths)
    except InputError as wrong:
        return _no_plan(here, job, here.typed(form, wrong), status_of(wrong))
    except NoAnswerError as why:
        said = Typed(form.fields, [Problem("", str(why), "")])
        return _no_plan(here, job, said, status_of(why))

    def do(work: Work) -> str:
        put_plan(work, number, form.number("revision"), plan, steps, bay)
        return f"/jobs/{number}/bench"

    return here.submit(form, do, lambda typed, _: _no_plan(here, job, typed))


@router.get("/jobs/{number}/bench/advice")
def advice(here: SomebodyHere, number: Number) -> Response:
    """Show what the shop makes of what was told so far, to be put into the bench page."""
    require_job(here.visitor, number)
    with here.reading() as session:
        job = require_row(session, JobRow, number)
        found = advise_at_bench(session, job, here.reader.lengths)
        steps = steps_of(session, job)
        read = standing_of(steps, readings_of(session, number)).too_deep
    return here.show("bench_advice", advice=advice_views(found, steps, here.reader, read))


@router.get("/jobs/{number}/bench/{plan}")
def bench_of_plan(here: SomebodyHere, number: Number, plan: Number) -> Response:
    """Show the bench page of a plan; an earlier plan's address leads to the present one."""
    require_job(here.visitor, number)
    with here.reading() as session:
        job = require_row(session, JobRow, number)
        if job.plan_revision != plan or not job.plan:
            return see_other(f"/jobs/{number}/bench")
        steps, readings = steps_of(session, job), readings_of(session, number)
        made, at_odds = strokes_made(session, job), blank_at_odds(session, job)
    values: dict[str, Any] = {
        "at_odds": at_odds,
        "job": job,
        "steps": step_views(steps, here.reader),
        "data": page_data(job, steps, readings, here.reader) | {"made": made},
    }
    page = here.show("bench", **values)
    page.headers["Cache-Control"] = KEEP
    page.headers["Vary"] = "Cookie, Accept-Language"
    return page


@router.get("/bench-worker.js")
def worker() -> Response:
    """Give the script that keeps the bench pages on the tablet, and a page for when the shop is away."""
    found = all_statics()["worker.js"]
    headers = {"Cache-Control": "no-cache", "Service-Worker-Allowed": "/"}
    return Response(found.plain, media_type=found.kind, headers=headers)


def _no_plan(here: Here, job: JobRow, typed: Typed, status: int = 200) -> Response:
    return here.show("bench_none", typed, status, job=job)
