"""Why a blank fails: the right obstacle, in the right place, by the right amount."""

from dataclasses import replace

import numpy as np
import pytest

import lay_cases as cases
from foamwright.bay.bay import Bay
from foamwright.blank.numbers import Face
from foamwright.findings import Severity
from foamwright.lay.failure import Obstacle, Sense, failures_of, least_easing
from foamwright.lay.limits import Limits
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.reasons import reasons_for
from foamwright.lay.survey import survey
from foamwright.lay.words import Words
from foamwright.units import System
from lay_cases import INCH

BAY = Bay()
BOARD = cases.plain_board()
PROFILE = profile_of_board(BOARD)


def choice_of(blank, board=PROFILE):
    return survey(board, Rack((profile_of_blank(blank),)), BAY).choices[0]


def only(choice):
    (failure,) = failures_of(choice)
    return failure


def test_a_blank_that_fits_has_nothing_to_say():
    choice = choice_of(cases.plain_blank())
    assert choice.fits
    assert failures_of(choice) == ()
    assert reasons_for(choice) == ()


def test_too_short():
    choice = choice_of(cases.plain_blank(longer=-INCH))
    failure = only(choice)
    assert failure.obstacle is Obstacle.SHORT
    assert failure.missing == pytest.approx(1.5 * INCH, abs=1e-12)
    (finding,) = reasons_for(choice)
    assert finding.sentence.startswith("Too short by 1 1/2 in ")
    assert (finding.code, finding.severity) == ("lay-too-short", Severity.STOP)


def test_too_narrow():
    blank = replace(cases.plain_blank(), width=20 * INCH)
    failure = only(choice_of(blank))
    assert failure.obstacle is Obstacle.NARROW
    # The nearest miss is at the wide point, but for what the blank tapers away from its own middle.
    need = 20.4 * INCH + 2 * BAY.allowances.saw
    assert failure.missing == pytest.approx(need - 20 * INCH, abs=2e-4)
    assert abs(failure.x - BOARD.length / 2) < 4 * INCH
    wider = replace(blank, width=blank.width + failure.missing + 2e-4)
    assert choice_of(wider).fits


def test_too_thin():
    blank = cases.flat_blank(BOARD, thick=2.5 * INCH)
    failure = only(choice_of(blank))
    assert failure.obstacle is Obstacle.THIN
    assert failure.missing == pytest.approx(INCH / 8, abs=1e-5)  # both skims of 1/16
    assert abs(failure.x - BOARD.length / 2) < INCH
    assert not choice_of(replace(blank, thick=2.5 * INCH + failure.missing - 1e-5)).fits
    assert choice_of(replace(blank, thick=2.5 * INCH + failure.missing + 1e-5)).fits


def test_two_and_a_half_needs_two_and_three_quarters():
    # Common practice, no source: a board of 2 1/2 in comes from a 2 3/4 in blank.
    fits = {t: choice_of(cases.flat_blank(BOARD, thick=t * INCH)).fits for t in (2.25, 2.5, 2.75, 3.0)}
    assert fits == {2.25: False, 2.5: False, 2.75: True, 3.0: True}


@pytest.mark.parametrize(
    ("nose", "tail", "obstacle", "sense"),
    [
        (-3.0, 0.0, Obstacle.NOSE_ROCKER, Sense.LITTLE),
        (3.0, 0.0, Obstacle.NOSE_ROCKER, Sense.MUCH),
        (0.0, -3.0, Obstacle.TAIL_ROCKER, Sense.LITTLE),
        (0.0, 3.0, Obstacle.TAIL_ROCKER, Sense.MUCH),
    ],
)
def test_rocker_is_told_from_thickness(nose, tail, obstacle, sense):
    straight = cases.flat_blank(BOARD, thick=2.75 * INCH)
    assert choice_of(straight).fits
    choice = choice_of(cases.BentBlank(**vars(straight), nose=nose * INCH, tail=tail * INCH))
    failure = only(choice)
    assert (failure.obstacle, failure.sense) == (obstacle, sense)
    assert 0 < failure.missing < 3 * INCH
    (finding,) = reasons_for(choice)
    end = "nose" if obstacle is Obstacle.NOSE_ROCKER else "tail"
    assert f"{sense.value} rocker in the {end} by " in finding.sentence.lower()


def test_rocker_in_both_ends_has_one_sense_and_an_amount():
    straight = cases.flat_blank(BOARD, thick=2.75 * INCH)
    choice = choice_of(cases.BentBlank(**vars(straight), nose=5 * INCH, tail=5 * INCH))
    failures = failures_of(choice)
    assert {f.sense for f in failures} == {Sense.MUCH}
    assert all(np.isfinite(f.missing) for f in failures)


def test_hard_deck():
    blank = cases.flat_blank(BOARD, thick=3.5 * INCH, hard_face=Face.DECK, hard_most=INCH / 8)
    soft = cases.flat_blank(BOARD, thick=3.5 * INCH)
    assert choice_of(soft).fits
    choice = choice_of(blank)
    assert not choice.fits
    failure = only(choice)
    assert failure.obstacle is Obstacle.HARD_FACE
    eased = cases.flat_blank(
        BOARD, thick=3.5 * INCH, hard_face=Face.DECK, hard_most=INCH / 8 + failure.missing + 1e-6
    )
    barely = cases.flat_blank(
        BOARD, thick=3.5 * INCH, hard_face=Face.DECK, hard_most=INCH / 8 + failure.missing - 1e-5
    )
    assert choice_of(eased).fits
    assert not choice_of(barely).fits
    assert "Only 1/8 in may come off its hard deck where the rider stands" in reasons_for(choice)[0].sentence


def test_none_on_hand_is_a_note():
    choice = choice_of(cases.plain_blank(on_hand=0))
    assert choice.fits
    (finding,) = reasons_for(choice)
    assert (finding.code, finding.severity) == ("lay-none-on-hand", Severity.NOTE)
    assert finding.sentence.endswith("7 days to come.")


def test_millimetres_are_said_where_they_are_asked_for():
    (finding,) = reasons_for(choice_of(cases.plain_blank(longer=-INCH)), Words(System.MM))
    assert "Too short by 38.1 mm" in finding.sentence


def test_every_obstacle_of_random_blanks_is_true():
    """The amount said to be missing is: with it the blank takes the board, without half of it it does not."""
    rng = np.random.default_rng(21)
    seen = set()
    for n in range(150):
        blank = cases.random_blank(rng, BOARD, f"B{n}")
        choice = choice_of(blank)
        failures = failures_of(choice)
        assert bool(failures) != choice.fits
        for failure in failures:
            seen.add(failure.obstacle)
            assert failure.missing > 0
        if failures and failures[0].obstacle is Obstacle.THIN:
            thicker = replace(blank, thick=blank.thick + 0.5 * failures[0].missing)
            assert not choice_of(thicker).fits
    assert {Obstacle.THIN, Obstacle.HARD_FACE, Obstacle.NOSE_ROCKER} <= seen


def test_least_easing_finds_the_amount():
    x = np.array([0.0, 1.0, 2.0])
    found = least_easing(lambda a: Limits(x, np.array([0.0, 0.1 - a, 0.0]), np.zeros(3)))
    assert found == pytest.approx(0.1, abs=1e-9)
    assert least_easing(lambda a: Limits(x, np.array([0.0, 0.1, 0.0]), np.zeros(3))) == np.inf


@pytest.mark.parametrize(
    ("x", "said"),
    [
        (0.0, "the tail tip"),
        (12 * INCH, "12 in from the tail"),
        (64 * INCH, "12 in from the nose"),
        (76 * INCH, "the nose tip"),
    ],
)
def test_places_are_measured_from_the_nearer_tip(x, said):
    assert Words().place(x, 76 * INCH) == said


def test_missing_amounts_are_rounded_up():
    assert Words().amount(0.1 * INCH) == "1/8 in"
    assert Words().amount(30.5 * INCH + 1e-15) == "30 1/2 in"
