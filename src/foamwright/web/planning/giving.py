"""Giving the plan to a job: the board as saved, the blank off the rack, the steps for the bench."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter, Depends, Response

from foamwright.documents import json_bytes
from foamwright.errors import FaultError, InputError, NoAnswerError, Problem
from foamwright.jobs.bench_steps import step_wishes
from foamwright.jobs.live_planning import PlanWish, plan_at
from foamwright.planning.plan import Plan
from foamwright.shop.database import Work
from foamwright.shop.jobs import give_blank, refresh_board, require_open
from foamwright.shop.plans import put_plan
from foamwright.shop.stock import find_blank
from foamwright.shop.told import ShopError, told
from foamwright.web.answers import status_of
from foamwright.web.forms import Form, done_once
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.refusing import require_asked
from foamwright.web.planning.scene import offers_of
from foamwright.web.planning.sent import Number, PlanForm, asked_in, draft_in, read_plan_form
from foamwright.web.planning.showing import Told, show_again
from foamwright.web.rendering import see_other

router = APIRouter(prefix="/plan", include_in_schema=False, dependencies=[Depends(read_plan_form)])

JOB = "job"
"""The field that names the job."""


@router.post("/{number}/job")
def give(here: TeacherHere, number: Number, form: PlanForm) -> Response:
    """Give a job this very plan, and the blank off the rack; all of it or nothing."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
        offers = offers_of(session)
    try:
        _require_saved(draft, here)
        asked = asked_in(form, here.reader)
        require_asked(draft, offers, asked)
        plan = plan_at(PlanWish(draft.wanted, tuple(offers), asked.blank, asked.slide))
        job = form.number(JOB)
        with here.database.writing(here.visitor.actor) as work:
            location = done_once(work, form, lambda: _given(work, job, number, plan, draft.bay))
    except InputError as wrong:
        problems = [here.reader.problem(problem) for problem in wrong.problems]
        return _refused(here, number, form, problems, status_of(wrong))
    except (NoAnswerError, FaultError) as why:
        return _refused(here, number, form, [Problem("", str(why), "")], status_of(why))
    return see_other(location)


def _given(work: Work, job: int, board: int, plan: Plan, bay: str) -> str:
    row = require_open(work.session, job)
    if row.board_id != board:
        raise ShopError(told(JOB, "unknown-job", id=job))
    blank = find_blank(work.session, plan.blank.id)
    if blank is None:
        raise ShopError(told("blank", "unknown-blank", id=plan.blank.id))
    refresh_board(work, job)
    give_blank(work, job, blank.id)
    document = json_bytes(plan.as_json()).decode()
    put_plan(work, job, row.revision, document, step_wishes(plan), bay)
    return f"/jobs/{job}/bench"


def _require_saved(draft: Draft, here: Here) -> None:
    if draft.checked is None:
        raise InputError(list(draft.problems))
    if draft.is_changed:
        say = here.reader.words.say
        raise InputError(Problem("", say("plan.give.unsaved"), say("plan.give.save-first")))


def _refused(here: Here, number: int, form: Form, problems: Sequence[Problem], status: int) -> Response:
    page = show_again(here, number, form, Told(problems))
    page.status_code = status
    return page
