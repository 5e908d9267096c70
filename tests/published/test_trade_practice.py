"""Facts of the trade that every plan should agree with. All of them: common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.blank.blank import Blank, blank_of
from foamwright.blank.sheet import stock_from_text
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import board_from_text
from foamwright.lay.limits import limits_at
from foamwright.planning.build import survey_of
from foamwright.stages.solids import StageName
from foamwright.units import INCH
from tests.plans import demo_job, demo_plan

BOARD = """
name = "Plain"
units = "in"
length = "6'2"
[outline]
nose = 0
"12 from nose" = 12
wide = 20
wide_at = "centre"
"12 from tail" = 14.5
tail = 5
tail_form = "square"
[rocker]
nose = 4.75
"12 from nose" = 1.9
"12 from tail" = 0.85
tail = 2
[thickness]
nose = "1/2"
"12 from nose" = "1 1/2"
thickest = "{thickest}"
thickest_at = "centre"
"12 from tail" = "1 11/16"
tail = "5/8"
[rails]
nose = {{ apex = "50/50", tuck = "1/2" }}
tail = {{ apex = 0.1, tuck = 0, edge = "hard" }}
{contour}"""

BLANK = """
[[blank]]
id = "T-{thickness}"
foam = "eps 24 kg/m3"
section = "square"
length = "6'6"
width = 22
thickness = {thickness}
rocker = {{ nose = 5.1, "14 from nose" = 1.95, "14 from tail" = 0.87, tail = 2.25 }}
stringer = {{ wood = "basswood", width = "1/8" }}
price = 70
on_hand = 1
"""


def plain_board(thickest: str, concave: str = "") -> Board:
    contour = (
        f'[[bottom.contour]]\nshape = "concave"\ndepth = "{concave}"\nfull = "centre"\n' if concave else ""
    )
    return board_of(board_from_text(BOARD.format(thickest=thickest, contour=contour), "plain"))


def steps() -> tuple[Blank, ...]:
    text = 'units = "in"\ncurrency = "EUR"\n' + "".join(
        BLANK.format(thickness=t) for t in (2.25, 2.5, 2.75, 3.0)
    )
    return tuple(blank_of(numbers) for numbers in stock_from_text(text, "steps"))


def test_a_board_of_two_and_a_half_comes_from_a_blank_of_two_and_three_quarters() -> None:
    best = survey_of(plain_board("2 1/2"), steps(), Bay()).best
    assert best is not None
    assert best.id == "T-2.75"


def test_a_board_of_two_and_five_eighths_in_it_leaves_an_eighth_to_take_off() -> None:
    choice = survey_of(plain_board("2 5/8"), steps(), Bay()).of("T-2.75")
    assert choice.fits
    middle = np.argmin(np.abs(choice.board.x - 37 * INCH))
    assert choice.bottom_off[middle] + choice.deck_off[middle] == pytest.approx(INCH / 8, abs=2e-5)


def test_the_concave_is_held_back_in_the_thickness_until_the_contours_are_cut() -> None:
    board = plain_board("2 1/2", concave="1/8")
    x = np.array([37 * INCH])
    assert board.held_back(x)[0] == pytest.approx(INCH / 8, abs=1e-9)
    assert board.pre_contour_thickness(x)[0] == pytest.approx(2.625 * INCH, abs=1e-9)


def test_the_planned_thickness_before_contours_holds_it_back_too() -> None:
    plan = demo_plan()
    foil, contours = plan.chain.stage(StageName.FOIL), plan.chain.stage(StageName.CONTOURS)
    at = 12 * INCH
    held = np.interp(at, foil.x, foil.thickness) - np.interp(at, contours.x, contours.thickness)
    assert held == pytest.approx(3 / 16 * INCH, abs=1e-5)


def test_a_long_boards_nose_mark_is_measured_from_the_level_line() -> None:
    plan = demo_plan("breakwater")
    marks = [m for m in plan.marks if m.stage is StageName.FINISHED and m.station.name == "nose"]
    assert marks[0].from_new_level == pytest.approx(3 * INCH, abs=1e-6)


def test_a_board_moved_to_the_nose_uses_the_blanks_nose_rocker_and_is_cut_at_the_tail() -> None:
    job = demo_job()
    choice = survey_of(job.board, job.blanks, job.bay).of("Q-6-10-2.75")
    board, blank = choice.board, choice.blank
    tip = 12 * INCH
    nose_less_tail = []
    for slide in (0.5 * INCH, 3.0 * INCH, 5.5 * INCH):
        under = blank.at(board.x + slide)
        line = limits_at(board, under, choice.allowed).best_line(choice.toward)
        bottom = line.lift + line.tilt * board.x + board.bottom - under.bottom
        level = np.polynomial.polynomial.polyfit(board.x, bottom, 1)
        bent = bottom - np.polynomial.polynomial.polyval(board.x, level)
        nose_less_tail.append(bent[board.x > board.length - tip].mean() - bent[board.x < tip].mean())
    assert nose_less_tail[0] > nose_less_tail[1] > nose_less_tail[2]


def test_moulded_polyurethane_keeps_the_decks_hard_foam() -> None:
    job = demo_job()
    for choice in survey_of(job.board, job.blanks, job.bay).choices:
        if not (choice.fits and choice.id.startswith("M-")):
            continue
        length = choice.board.length
        stands = (choice.board.x > length / 4) & (choice.board.x < 3 * length / 4)
        assert choice.deck_off[stands].max() <= choice.numbers.hard_most + 1e-9
        assert choice.deck_off[stands].mean() < choice.bottom_off[stands].mean()


@pytest.mark.parametrize("name", ["groyne", "breakwater"])
def test_run_offs_begin_within_three_inches_of_the_tip_and_walk_inboard(name: str) -> None:
    # The trade begins about 3 in from the tip. A wedge left there would lift the toe of every later stroke,
    # so the walk begins nearer where the depth asks for it (docs/planing.md), and never further in.
    for run in demo_plan(name).runs:
        starts = [one.start_from_tip for one in run.strokes]
        assert starts == sorted(starts)
        assert not starts or starts[0] <= 3.0 * INCH, run.stage
