"""Planning while dragging: every answer is the one that `pick` and `plan` give, only sooner."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from foamwright.demo import demo_path
from foamwright.documents import json_bytes
from foamwright.errors import InputError, NoAnswerError
from foamwright.jobs.live_kept import Kept
from foamwright.jobs.live_planning import (
    BAY,
    Offer,
    Pair,
    PlanWish,
    Wanted,
    choice_in,
    laid_at,
    plan_at,
    ranked,
    settled_at,
    slides_of,
    solid_blank,
    solid_board,
)
from foamwright.jobs.live_removal import level_lines, removal_at
from foamwright.jobs.picking import Job
from foamwright.jobs.planning import plan_job
from foamwright.lay.rotation import points_of, verify_rotation
from foamwright.stages.solids import chain_of
from foamwright.units import System

SHEET = demo_path("groyne.board.toml").read_text()
SQUARE = """units = "in"
currency = "EUR"
[[blank]]
id = "square"
foam = "eps 24 kg/m3"
section = "square"
length = "6'8\\""
width = 22
thickness = "2 3/4"
rocker = { nose = 5.0, "12 from nose" = 2.15, "12 from tail" = 0.8, tail = 2.0 }
stringer = { wood = "basswood", width = "1/8" }
price = 78
on_hand = 0
"""
SHORT = SQUARE.replace('"square"\nfoam', '"short"\nfoam').replace("6'8", "6'2")
DOMED = (
    SQUARE.replace('"square"\nfoam', '"domed"\nfoam')
    .replace('section = "square"', 'section = "domed"\ndome = { nose = 0.9, centre = 0.9, tail = 0.9 }')
    .replace('"2 3/4"', "3")
)
WANTED = Wanted(SHEET)
OFFERS = (Offer(SQUARE, 2), Offer(SHORT, 1), Offer(DOMED, 1))


@pytest.fixture(scope="module")
def choice():
    return choice_in(Pair(WANTED, OFFERS[0]))


def test_the_count_is_the_one_on_the_rack_now():
    assert solid_blank(Offer(SQUARE, 7)).numbers.on_hand == 7
    assert solid_blank(Offer(SQUARE, 0)).numbers.on_hand == 0


def test_a_lay_at_a_slide_is_the_surveys_own(choice):
    curve = choice.curve
    for slide, fits, work in zip(curve.slide, curve.fits, curve.work_min, strict=True):
        laid = laid_at(choice, float(slide))
        assert laid.fits == fits
        if fits and abs(slide - choice.placed.slide) > 1e-6:
            assert laid.work_min == pytest.approx(work, rel=1e-9)


def test_no_slide_between_the_marks_takes_less_work(choice):
    least, most = slides_of(choice)
    works = [laid_at(choice, s).work_min for s in np.linspace(least, most, 301)]
    assert np.nanmin(works) >= choice.work_min - 0.3


def test_a_slide_is_held_within_the_blank(choice):
    least, most = slides_of(choice)
    assert laid_at(choice, -5.0).placed.slide == least
    assert laid_at(choice, 5.0).placed.slide == most


def test_settled_lays_hold_when_the_board_is_truly_turned(choice):
    pair = Pair(WANTED, OFFERS[0])
    points = points_of(solid_board(WANTED))
    # From about 0.08 m on the turned board no longer fits at the very mark, and settles at the nearest.
    for slide in (0.02, 0.035, 0.05):
        settled = settled_at(pair, slide)
        assert settled.fits
        assert settled.placed.slide == slide
        blank, saw = solid_blank(OFFERS[0]), BAY.allowances.saw
        assert verify_rotation(points, blank, settled.placed, settled.allowed, saw).holds
        assert settled.work_min == pytest.approx(laid_at(choice, slide).work_min, abs=1.0)


def test_a_blank_that_is_too_short_says_so():
    laid = laid_at(choice_in(Pair(WANTED, OFFERS[1])), 0.0)
    assert not laid.fits


def test_the_plan_is_the_command_lines_plan():
    wish = PlanWish(WANTED, OFFERS, "square", None)
    blanks = tuple(solid_blank(offer) for offer in OFFERS)
    theirs = plan_job(Job(solid_board(WANTED), blanks, BAY), "square", System.INCH)
    assert json_bytes(plan_at(wish).as_json()) == json_bytes(theirs.as_json())


def test_a_plan_at_another_slide_lies_there():
    plan = plan_at(PlanWish(WANTED, OFFERS, "square", 0.0508))
    assert plan.lay.slide == 0.0508
    assert plan.choice.work_min > choice_in(Pair(WANTED, OFFERS[0])).work_min


@pytest.mark.parametrize("code", ["short", "no such blank"])
def test_no_plan_where_the_board_does_not_lie(code):
    with pytest.raises(NoAnswerError, match=r"lies in none of these blanks"):
        plan_at(PlanWish(WANTED, OFFERS, code, None))


def test_a_sheet_that_cannot_stand_is_told_every_time():
    for _ in range(2):
        with pytest.raises(InputError, match="is not a length"):
            solid_board(Wanted(SHEET.replace('"12 1/8"', '"12 1/x"')))


def test_a_board_of_very_many_stations_holds_up_nobody():
    rows = "".join(f'"{n / 8} from tail" = {n / 600 + 0.9}\n' for n in range(100, 250) if n not in (96, 512))
    many = SHEET.replace('"12 from nose" = 1.9\n', f'"12 from nose" = 1.9\n{rows}')
    with pytest.raises(InputError, match="154 stations are more than are worked out"):
        solid_board(Wanted(many))


def test_a_blank_whose_numbers_do_not_stand_is_no_choice():
    bumpy = SQUARE.replace('"12 from nose" = 2.15', '"12 from nose" = 4.99').replace(
        '"square"\nfoam', '"bumpy"\nfoam'
    )
    codes = [choice.id for choice in ranked(WANTED, (*OFFERS, Offer(bumpy, 1))).choices]
    assert "bumpy" not in codes
    assert len(codes) == 3


@pytest.mark.parametrize("number", [0, 2])
def test_what_comes_off_is_what_the_stages_take(number):
    pair = Pair(WANTED, OFFERS[number])
    removal = removal_at(pair, None)
    board, blank, lay = solid_board(WANTED), solid_blank(pair.offer), choice_in(pair).placed
    chain = chain_of(board, blank, lay, BAY.allowances.finish)
    first, last = chain.stages[0], chain.stages[-1]
    deck = np.interp(removal.x, chain.x, first.deck - last.deck)
    bottom = np.interp(removal.x, chain.x, last.bottom - first.bottom)
    assert removal.deck_off[:, 0] == pytest.approx(deck, abs=5e-5)
    assert removal.bottom_off[:, 0] == pytest.approx(bottom, abs=5e-5)
    dome = blank.dome(removal.x[60:61] + lay.slide)[0]
    risen = removal.deck_off[60] - removal.deck_off[60, 0]
    drop = removal.deck[60, 0] - removal.deck[60]
    assert risen == pytest.approx(drop - dome * removal.y[60] ** 2, abs=1e-9)


def test_level_lines_of_a_cone_are_circles():
    x, y = np.meshgrid(np.linspace(-1, 1, 201), np.linspace(-1, 1, 161), indexing="ij")
    (line,) = level_lines(x, y, np.hypot(x, y), 0.6)
    assert np.hypot(line[:, 0], line[:, 1]) == pytest.approx(0.6, abs=1e-3)
    assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(2 * np.pi * 0.6, rel=1e-3)
    assert line[0] == pytest.approx(line[-1])


def test_level_lines_of_a_plane_are_straight_and_whole():
    x, y = np.meshgrid(np.linspace(0, 2, 31), np.linspace(0, 1, 11), indexing="ij")
    (line,) = level_lines(x, y, x + y, 1.25)
    assert line[:, 0] + line[:, 1] == pytest.approx(1.25)
    assert sorted(line[[0, -1], 1].tolist()) == pytest.approx([0.0, 1.0])
    assert level_lines(x, y, x + y, 9.0) == []


def test_many_who_ask_at_once_get_one_answer():
    made, gate = [], threading.Event()

    def make(key):
        gate.wait(5)
        made.append(key)
        return key * 2

    kept = Kept(make, 4)
    with ThreadPoolExecutor(6) as pool:
        asked = [pool.submit(kept, 21) for _ in range(6)]
        assert not kept.has(21)
        gate.set()
        assert [one.result(5) for one in asked] == [42] * 6
    assert made == [21]
    assert kept.has(21)


def test_what_was_not_asked_for_longest_goes_first_and_failures_are_not_kept():
    made = []

    def make(key):
        made.append(key)
        if key == "bad":
            raise ValueError(key)
        return key

    kept = Kept(make, 2)
    for key in ("a", "b", "a", "c", "a", "b"):
        kept(key)
    assert made == ["a", "b", "c", "b"]
    for _ in range(2):
        with pytest.raises(ValueError, match="bad"):
            kept("bad")
    assert made.count("bad") == 2
