"""The planning page put together: from a draft and what is asked for to the template's values."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property

from fastapi import Response

from foamwright.errors import FaultError, InputError, NoAnswerError, Problem
from foamwright.jobs.live_planning import Offer, PlanWish
from foamwright.shop.jobs import JobQuery, find_jobs
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.shop.told import StaleError
from foamwright.web.forms import Form
from foamwright.web.pages.here import Here
from foamwright.web.planning.asked import Asked
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.fields import BoardForm
from foamwright.web.planning.figures import PlanView
from foamwright.web.planning.ranking import Ranking
from foamwright.web.planning.refusing import is_unknown
from foamwright.web.planning.scene import (
    LayScene,
    OffScene,
    StrokeScene,
    head_scene,
    is_lay_at_hand,
    is_stock_at_hand,
    lay_scene,
    off_scene,
    offers_of,
    pair_of,
    stock_scene,
    stroke_scene,
)
from foamwright.web.planning.sent import FARTHEST, asked_in, draft_in
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


class Scene:
    """What the page shows, each part worked out when the page comes to it: what is above is sent meanwhile.

    Parameters
    ----------
    draft
        The board as it stands in the form.
    offers
        The stock.
    asked
        Blank and slide.
    depth
        How much is worked out; what is not at hand is ``None`` otherwise.
    """

    def __init__(self, draft: Draft, offers: Sequence[Offer], asked: Asked, depth: Depth) -> None:
        self._draft, self._offers, self._asked = draft, offers, asked
        self._whole = depth is Depth.WHOLE

    @cached_property
    def form(self) -> BoardForm:
        """The board's fields."""
        return self._draft.form

    @cached_property
    def head(self) -> PlanView | None:
        """The board alone."""
        return head_scene(self._draft)

    @cached_property
    def ranking(self) -> Ranking | None:
        """The stock, best first."""
        if self._whole or is_stock_at_hand(self._draft, self._offers):
            return stock_scene(self._draft, self._offers)
        return None

    @cached_property
    def asked(self) -> Asked:
        """Blank and slide: the blank asked for, or the best of the stock."""
        best = self.ranking.best if self.ranking else None
        return replace(self._asked, blank=self._asked.blank or best or "")

    @cached_property
    def is_unknown(self) -> bool:
        """Whether a blank is asked for that is not in the stock."""
        return is_unknown(self._offers, self.asked.blank)

    @cached_property
    def lay(self) -> LayScene | None:
        """The board in its blank."""
        if self._whole or is_lay_at_hand(self._draft, self._offers, self.asked):
            return lay_scene(self._draft, self._offers, self.asked)
        return None

    @property
    def is_settled(self) -> bool:
        """Whether nothing more comes where the board lies: else the page's script asks for it."""
        return self._whole or not self.asked.blank

    @cached_property
    def off(self) -> OffScene | None:
        """What comes off; a browser with script asks for it once the page is there."""
        if not self._whole or self.lay is None or not self.lay.laid.fits:
            return None
        pair = pair_of(self._draft, self._offers, self._settled)
        return off_scene(pair, self._settled.slide) if pair else None

    @cached_property
    def strokes_or_why(self) -> tuple[StrokeScene | None, str]:
        """The strokes, or why there are none; a browser with script asks for them, too."""
        if self.off is None:
            return None, ""
        return strokes_or_why(wish_of(self._draft, self._offers, self._settled), self._draft.reader)

    @property
    def start(self) -> dict[str, object]:
        """What the page's script begins from."""
        slide = self.asked.slide if self.lay is None else self.lay.laid.slide_m
        wanted = slide if slide is not None and abs(slide) <= FARTHEST else None
        return {"sheet": self._draft.sheet, "blank": self.asked.blank, "slide": wanted}

    @property
    def _settled(self) -> Asked:
        return replace(self.asked, slide=self.lay.laid.slide_m if self.lay else None)


def show_plan(here: Here, number: int, draft: Draft, asked: Asked, depth: Depth, told: Told) -> Response:
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
    scene = Scene(draft, offers, asked, depth)
    return here.show_as_it_comes(
        "plan",
        board=row,
        draft=draft,
        has_stock=bool(offers),
        scene=scene,
        told=told,
        jobs=jobs,
        whole=depth is Depth.WHOLE,
        tall=tall_asked(here),
        page_words=here.reader.words.under("plan.script"),
    )


def show_again(here: Here, number: int, form: Form, told: Told) -> Response:
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
