"""The workbench put together: from a draft and what is asked for to the templates' values."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from fastapi import Response
from sqlalchemy.orm import Session

from foamwright.board.written import BoardSheet
from foamwright.errors import FaultError, InputError, NoAnswerError, Problem
from foamwright.jobs.live_planning import Offer, PlanWish
from foamwright.sheets.declared import keys_of
from foamwright.shop.bays import bay_text
from foamwright.shop.boards import board_at, revisions_of
from foamwright.shop.jobs import JobQuery, find_jobs
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRevision, BoardRow, JobRow
from foamwright.shop.told import StaleError, UnknownError
from foamwright.web.forms import Form
from foamwright.web.pages.here import Here
from foamwright.web.planning.ask import Ask, View, ask_of
from foamwright.web.planning.draft import Draft, draft_of
from foamwright.web.planning.scene import BlankScene, BoardScene, StrokeScene, offers_of, stroke_scene
from foamwright.web.planning.sent import draft_in
from foamwright.web.planning.since import Since, are_ranked, since_of
from foamwright.web.rendering import Reader

_LOG = logging.getLogger(__name__)

PAPERS = ("wall.pdf", "job-sheet.pdf", "templates.zip", "plan.json")
"""What can be taken away, most wanted first."""

PARTS = ("head", "views", "stage", "slip", "strip")
"""Parts of the page that follow what is typed and dragged."""


@dataclass(frozen=True, slots=True)
class Told:
    """What came of a form: its problems in the visitor's words, and a board changed by somebody else."""

    problems: Sequence[Problem] = ()
    stale: StaleError | None = None


NOTHING_TOLD = Told()


@dataclass(frozen=True)
class Work:
    """One board on the workbench.

    Attributes
    ----------
    row
        The board as it is stored.
    draft
        As it stands.
    before
        The version that changes are counted from.
    version
        That version.
    versions
        All of them, newest first.
    offers
        The stock.
    ask
        What is asked for.
    """

    row: BoardRow
    draft: Draft
    before: Draft
    version: BoardRevision
    versions: Sequence[BoardRevision]
    offers: Sequence[Offer]
    ask: Ask
    jobs: Sequence[JobRow] = ()

    @cached_property
    def board(self) -> BoardScene:
        """The board on the wall."""
        return BoardScene(self.draft, self.before, self.ask)

    @cached_property
    def blank(self) -> BlankScene:
        """The board in its blank."""
        return BlankScene(self.draft, self.offers, self.ask)

    @cached_property
    def since(self) -> Since | None:
        """What changed in litres, minutes, money; ``None`` while a hand is on it, or it makes no board."""
        return None if self.ask.light else since_of(self.draft, self.before, self.offers, self.ask)

    @property
    def is_more(self) -> bool:
        """Whether minutes and money are still to be worked out."""
        if self.ask.whole or self.ask.light or self.draft.checked is None or not self.offers:
            return False
        return not are_ranked(self.draft, self.before, self.offers)

    @cached_property
    def strokes_or_why(self) -> tuple[StrokeScene | None, str]:
        """The strokes, or why there are none."""
        if self.draft.checked is None or not self.blank.code:
            return None, ""
        return strokes_or_why(self.blank.wish, self.draft.reader)

    @property
    def more(self) -> list[tuple[str, tuple[str, ...]]]:
        """What can be added to the sheet: lists of tables, and the shapes that each offers."""
        found = []
        for table, declared in keys_of(BoardSheet).items():
            for key, inner in keys_of(declared.model).items() if declared.model else ():
                if inner.is_list and inner.model is not None:
                    shape = keys_of(inner.model).get("shape")
                    shapes = shape.reads.choices if shape and shape.reads else ()
                    found.append((f"{table}/{key}", shapes))
        return found


def work_of(session: Session, number: int, draft: Draft, ask: Ask) -> Work:
    """Return a board on the workbench.

    Raises
    ------
    UnknownError
        There is no such board.
    """
    row = require_row(session, BoardRow, number)
    versions = revisions_of(session, number)
    try:
        version = board_at(session, number, ask.since or row.revision)
    except UnknownError:
        version = board_at(session, number, row.revision)
    before = draft_of(version.sheet, {}, draft.reader, draft.bay)
    jobs = (
        [job for job in find_jobs(session, JobQuery(limit=200)) if job.board_id == number]
        if ask.view == View.PAPERS
        else []
    )
    return Work(row, draft, before, version, versions, offers_of(session), ask, jobs)


def show_plan(here: Here, number: int, draft: Draft, ask: Ask, told: Told) -> Response:
    """Return the page of a board.

    Parameters
    ----------
    here
        What every page has at hand.
    number
        The board.
    draft
        The board as it stands.
    ask
        What is asked for.
    told
        What came of a form.
    """
    with here.reading() as session:
        work = work_of(session, number, draft, ask)
    page_words = here.reader.words.under("plan.script")
    return here.show("plan", work=work, told=told, jobs=work.jobs, papers=PAPERS, page_words=page_words)


def show_again(here: Here, number: int, form: Form, told: Told) -> Response:
    """Return the page with everything as it was typed: this browser has no script."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
    return show_plan(here, number, draft, ask_of(form, here.reader), told)


def show_stored(here: Here, number: int, ask: Ask) -> Response:
    """Return the page of a board as it is stored."""
    with here.reading() as session:
        row = require_row(session, BoardRow, number)
        draft = draft_of(row.sheet, {}, here.reader, bay_text(session))
    return show_plan(here, number, draft, ask, NOTHING_TOLD)


def parts_of(here: Here, work: Work) -> dict[str, str]:
    """Return the parts of the page as they are now; while a hand is on it, those that it moves."""
    names = ("stage", "slip") if work.ask.light else PARTS
    return {name: fragment(here, f"plan_{name}", work=work, jobs=work.jobs, papers=PAPERS) for name in names}


def fragment(here: Here, name: str, **values: Any) -> str:
    """Return a part of the page alone."""
    template = here.services.templates.environment.get_template(f"{name}.html")
    shared = {"visitor": here.visitor, "once": ""}
    return template.render(reader=here.reader, t=here.reader.words.say, **shared, **values)


def strokes_or_why(wish: PlanWish, reader: Reader) -> tuple[StrokeScene | None, str]:
    """Return the strokes, or in words why there are none."""
    try:
        return stroke_scene(wish, reader), ""
    except NoAnswerError as why:
        return None, str(why)
    except InputError as wrong:
        return None, " ".join(str(reader.problem(problem)) for problem in wrong.problems)
    except FaultError as fault:
        _LOG.exception("planning")
        return None, reader.words.say("plan.strokes.fault", what=fault)
