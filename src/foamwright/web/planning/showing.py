"""The planning page put together: from a draft and what is asked for to the template's values."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from fastapi.responses import HTMLResponse

from foamwright.errors import FaultError, InputError, NoAnswerError, Problem
from foamwright.jobs.live_planning import Offer, PlanWish
from foamwright.shop.jobs import JobQuery, find_jobs
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.shop.told import StaleError
from foamwright.web.forms import Form
from foamwright.web.pages.here import Here
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.scene import (
    Asked,
    OffScene,
    StrokeScene,
    head_scene,
    is_lay_at_hand,
    is_off_at_hand,
    is_stock_at_hand,
    lay_scene,
    off_scene,
    offers_of,
    pair_of,
    stock_scene,
    stroke_scene,
)
from foamwright.web.planning.sent import asked_in, draft_in
from foamwright.web.rendering import Reader

_LOG = logging.getLogger(__name__)


class Depth(Enum):
    """How much of the page is worked out before it is sent: what is at hand, or all of it."""

    AT_HAND = "at hand"
    WHOLE = "whole"


@dataclass(frozen=True, slots=True)
class Told:
    """What came of a form: its problems in the visitor's words, and a board changed by somebody else."""

    problems: Sequence[Problem] = ()
    stale: StaleError | None = None


NOTHING_TOLD = Told()


def show_plan(here: Here, number: int, draft: Draft, asked: Asked, depth: Depth, told: Told) -> HTMLResponse:
    """Return the page of a board.

    Parameters
    ----------
    here
        What every page has at hand.
    number
        The board.
    draft
        The board as it stands in the form.
    asked
        Blank and slide.
    depth
        How much is worked out before it is sent.
    told
        What came of a form.
    """
    with here.reading() as session:
        row = require_row(session, BoardRow, number)
        offers = offers_of(session)
        jobs = [job for job in find_jobs(session, JobQuery(limit=200)) if job.board_id == number]
    whole = depth is Depth.WHOLE
    ranking = stock_scene(draft, offers) if whole or is_stock_at_hand(draft, offers) else None
    chosen = Asked(asked.blank or (ranking.best if ranking else "") or "", asked.slide)
    lay = lay_scene(draft, offers, chosen) if whole or is_lay_at_hand(draft, offers, chosen) else None
    settled = Asked(chosen.blank, lay.laid.slide_m if lay else None)
    off = _off(draft, offers, settled, depth) if lay and lay.laid.fits else None
    strokes, why = _strokes(draft, offers, settled) if whole and off else (None, "")
    return here.show(
        "plan",
        board=row,
        draft=draft,
        form=draft.form,
        head=head_scene(draft),
        has_stock=bool(offers),
        ranking=ranking,
        asked=chosen,
        lay=lay,
        off=off,
        strokes=strokes,
        why=why,
        told=told,
        jobs=jobs,
        whole=whole,
        tall=tall_asked(here),
        page_words=here.reader.words.under("plan.script"),
        start={"sheet": draft.sheet, "blank": chosen.blank, "slide": settled.slide},
    )


def show_again(here: Here, number: int, form: Form, told: Told) -> HTMLResponse:
    """Return the page with everything as it was typed, worked out whole: this browser has no script."""
    with here.reading() as session:
        draft = draft_in(session, number, form, here.reader)
    return show_plan(here, number, draft, asked_in(form, here.reader), Depth.WHOLE, told)


def fragment(here: Here, name: str, **values: object) -> str:
    """Return a part of the page alone."""
    template = here.services.templates.environment.get_template(f"{name}.html")
    return template.render(reader=here.reader, t=here.reader.words.say, **values)


def tall_asked(here: Here) -> int:
    """Return how many times too high heights are drawn: 1, 3 or 6, as the form or the address asks."""
    form = getattr(here.request.state, "form", None)
    written = here.request.query_params.get("tall", "") or (form.text("tall") if form else "")
    return int(written) if written in ("1", "3", "6") else 1


def _off(draft: Draft, offers: Sequence[Offer], asked: Asked, depth: Depth) -> OffScene | None:
    pair = pair_of(draft, offers, asked)
    if pair is None or (depth is Depth.AT_HAND and not is_off_at_hand(pair, asked.slide)):
        return None
    return off_scene(pair, asked.slide)


def _strokes(draft: Draft, offers: Sequence[Offer], asked: Asked) -> tuple[StrokeScene | None, str]:
    return strokes_or_why(wish_of(draft, offers, asked), draft.reader)


def wish_of(draft: Draft, offers: Sequence[Offer], asked: Asked) -> PlanWish:
    """Return the plan that a draft asks for."""
    return PlanWish(draft.wanted, tuple(offers), asked.blank, asked.slide)


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
