"""An empty shop's doors: from a rider, like another board, from a sheet; and the sample shop."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Depends, Response

from foamwright.brief.kinds import Kind, Waves
from foamwright.demo import demo_path
from foamwright.errors import InputError, Problem
from foamwright.jobs.sample_shop import put_sample_in, sample_plans
from foamwright.jobs.starting import USUAL, Answers, Did, First, first_board, what_each_did
from foamwright.sheets.rider import Experience, Suit
from foamwright.shop.boards import add_board, all_boards
from foamwright.shop.database import Work
from foamwright.shop.rows import require_row
from foamwright.shop.samples import has_sample, put_sample_away
from foamwright.shop.tables import BoardRow
from foamwright.units import System
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.planning.sheet_text import changed_text
from foamwright.web.planning.since import signed
from foamwright.web.planning.stage import Frame, Stage
from foamwright.web.rendering import Reader

router = APIRouter(prefix="/start", include_in_schema=False, dependencies=[Depends(read_form)])

DEMO = ("groyne", "breakwater")
KINDS = (None, *(kind for kind in Kind if kind not in (Kind.PADDLE, Kind.CHILD, Kind.FOIL)))
MASSES, STATURES = (25.0, 140.0), (1.1, 2.1)
"""Kilograms and metres that the sliders reach."""


@dataclass(frozen=True)
class RiderScene:
    """The answers, the board they make, the board of the usual answers, and what each did."""

    answers: Answers
    first: First | None
    problems: tuple[Problem, ...]
    did: tuple[tuple[str, str, str], ...]

    @property
    def stage(self) -> Stage | None:
        """Where the board stands on the wall."""
        board = self.first.board if self.first else None
        return Stage(board, Frame(853.0, 500.0, 2)) if board else None

    @property
    def usual(self) -> First:
        """The board of the usual answers, drawn dashed."""
        return first_board(Answers(system=self.answers.system))


@router.get("")
def doors(here: TeacherHere) -> Response:
    """Show the ways to a first board."""
    with here.reading() as session:
        boards, sample = all_boards(session), has_sample(session)
    return here.show("start", boards=boards, demo=DEMO, sample=sample)


@router.get("/rider")
def rider(here: TeacherHere) -> Response:
    """Show the questions, and the board that the answers make."""
    return _page(here, answers_of(here.request.query_params, here.reader))


@router.post("/rider")
def take(here: TeacherHere, form: Sent) -> Response:
    """Store the board that the answers make, under the name that was given."""
    answers = answers_of(form.fields, here.reader)

    def do(work: Work) -> str:
        first = first_board(answers)
        if not first.sheet:
            raise InputError(Problem("", " ".join(one.sentence for one in first.brief.findings), ""))
        name = form.text("name").strip() or here.reader.words.say("start.name-none")
        board = add_board(work, changed_text(first.sheet, {("name",): name}))
        return f"/plan/{board.id}?said=board-added&tour=1"

    return here.submit(form, do, lambda *_: _page(here, answers))


@router.post("/like")
def like(here: TeacherHere, form: Sent) -> Response:
    """Store a copy of a demo's board, or of one of the shop's, to go on from."""

    def do(work: Work) -> str:
        name = form.text("board")
        if name in DEMO:
            sheet = demo_path(f"{name}.board.toml").read_text("utf-8")
        else:
            row = require_row(work.session, BoardRow, form.number("board"))
            named = here.reader.words.say("plan.version.copy-of", name=row.name)
            sheet = changed_text(row.sheet, {("name",): named})
        return f"/plan/{add_board(work, sheet).id}?said=board-added&tour=1"

    return here.submit(form, do, lambda *_: doors(here))


@router.post("/sample")
def sample(here: TeacherHere, form: Sent) -> Response:
    """Put the sample shop in."""
    plans = sample_plans(here.reader.lengths)

    def do(work: Work) -> str:
        put_sample_in(work, plans)
        return "/start?said=sample-in"

    return here.submit(form, do, lambda *_: doors(here))


@router.post("/sample/away")
def sample_away(here: TeacherHere, form: Sent) -> Response:
    """Put the sample shop away."""

    def do(work: Work) -> str:
        put_sample_away(work)
        return "/start?said=sample-away"

    return here.submit(form, do, lambda *_: doors(here))


def _page(here: Here, answers: Answers) -> Response:
    scene = _scene(answers, here.reader)
    return here.show(
        "start_rider",
        scene=scene,
        experiences=tuple(Experience),
        waves=tuple(Waves),
        suits=tuple(Suit),
        kinds=KINDS,
    )


def answers_of(query: Mapping[str, str], reader: Reader) -> Answers:
    """Return the answers in an address or a form; what is missing, or none, is as usual."""

    def number(name: str, least: float, most: float, usual: float) -> float:
        try:
            value = float(query.get(name, ""))
        except ValueError:
            return usual
        return min(max(value, least), most) if math.isfinite(value) else usual

    def one_of(name: str, words: Mapping[str, str]) -> str:
        return words.get(query.get(name, ""), "")

    experience = one_of("experience", {one.value: one.value for one in Experience})
    waves = one_of("waves", {one.value: one.value for one in Waves})
    suit = one_of("suit", {one.value: one.value for one in Suit})
    kind = one_of("kind", {one.value: one.value for one in Kind})
    return Answers(
        number("mass", *MASSES, USUAL.mass),
        round(number("stature", *STATURES, USUAL.stature), 3),
        Experience(experience) if experience else USUAL.experience,
        Waves(waves) if waves else USUAL.waves,
        Suit(suit) if suit else USUAL.suit,
        Kind(kind) if kind else None,
        reader.lengths,
    )


def _scene(answers: Answers, reader: Reader) -> RiderScene:
    try:
        first = first_board(answers)
    except InputError as wrong:
        return RiderScene(answers, None, tuple(reader.problem(one) for one in wrong.problems), ())
    did = (
        tuple(
            (one.name, signed(one.litres, 1, reader), _words(one, reader)) for one in what_each_did(answers)
        )
        if first.board
        else ()
    )
    return RiderScene(answers, first, (), did)


def _words(did: Did, reader: Reader) -> str:
    """What an answer did in lengths: only what a tape shows."""
    mark = 0.0254 / 32 if reader.lengths is System.INCH else 0.0005
    parts = []
    for name in ("length", "width", "thickness", "rocker"):
        value = getattr(did, name)
        if abs(value) >= mark:
            length = ("+" if value > 0 else "−") + reader.length(abs(value))
            parts.append(reader.words.say(f"start.did-{name}", length=length))
    return ", ".join(parts) or reader.words.say("start.did-nothing")
