"""Whether a rider gets a board, a word, a warning or none, and what is offered instead."""

import pytest

from foamwright.brief.kinds import Kind, Waves
from foamwright.brief.verdicts import Verdict, advice_for
from foamwright.sheets.rider import AgeGroup, Experience, Lungs, RiderNumbers, Water

B, M, A, E = Experience
OK, NOTE, WARN, REFUSE = Verdict
SMALL, MEDIUM, LARGE, HUGE = Waves


def rider(experience, mass=75.0, age=None):
    return RiderNumbers("Mara", mass, 1.78, experience, Lungs.RESTING, Water(20.0, 35.0), age)


@pytest.mark.parametrize(
    ("experience", "asked", "waves", "kind", "verdict"),
    [
        (B, None, SMALL, Kind.LONG_BOARD, OK),
        (B, None, MEDIUM, Kind.LONG_BOARD, NOTE),
        (B, None, LARGE, Kind.LONG_BOARD, WARN),
        (B, None, HUGE, Kind.LONG_BOARD, REFUSE),
        (B, Kind.GUN, SMALL, Kind.GUN, REFUSE),
        (B, Kind.STEP_UP, MEDIUM, Kind.STEP_UP, REFUSE),
        (B, Kind.FISH, SMALL, Kind.FISH, WARN),
        (B, Kind.TWIN_KEEL, SMALL, Kind.TWIN_KEEL, WARN),
        (M, None, SMALL, Kind.MID_LENGTH, OK),
        (M, None, LARGE, Kind.STEP_UP, NOTE),
        (M, None, HUGE, Kind.GUN, REFUSE),
        (M, Kind.GUN, LARGE, Kind.GUN, WARN),
        (A, None, SMALL, Kind.SMALL_WAVE, OK),
        (A, None, MEDIUM, Kind.PERFORMANCE, OK),
        (A, None, LARGE, Kind.STEP_UP, OK),
        (E, None, HUGE, Kind.GUN, NOTE),
        (E, Kind.FISH, HUGE, Kind.FISH, WARN),
        (E, Kind.LONG_BOARD, LARGE, Kind.LONG_BOARD, NOTE),
        (E, Kind.GUN, SMALL, Kind.GUN, NOTE),
        (M, Kind.FOIL, SMALL, Kind.FOIL, NOTE),
        (M, Kind.PADDLE, SMALL, Kind.PADDLE, REFUSE),
    ],
)
def test_grown_riders(experience, asked, waves, kind, verdict):
    advice = advice_for(rider(experience), asked, waves)
    assert (advice.kind, advice.verdict) == (kind, verdict)
    for finding in advice.findings:
        assert finding.sentence.endswith(".")
        assert finding.remedy.endswith(".")


def test_a_light_beginner_learns_on_a_mid_length():
    assert advice_for(rider(B, 52.0), None, SMALL).kind is Kind.MID_LENGTH


@pytest.mark.parametrize(
    ("asked", "waves", "kind", "verdict"),
    [
        (None, SMALL, Kind.CHILD, OK),
        (Kind.PERFORMANCE, MEDIUM, Kind.CHILD, NOTE),
        (Kind.GUN, MEDIUM, Kind.CHILD, NOTE),
        (Kind.LONG_BOARD, SMALL, Kind.LONG_BOARD, OK),
        (None, LARGE, Kind.CHILD, REFUSE),
        (Kind.LONG_BOARD, HUGE, Kind.LONG_BOARD, REFUSE),
    ],
)
def test_children(asked, waves, kind, verdict):
    advice = advice_for(rider(A, 35.0, AgeGroup.CHILD), asked, waves)
    assert (advice.kind, advice.verdict) == (kind, verdict)


def test_a_grown_rider_is_warned_of_a_child_s_board():
    advice = advice_for(rider(M, 80.0), Kind.CHILD, SMALL)
    assert advice.verdict is WARN
    assert "50 kg" in advice.findings[0].sentence


def test_a_refusal_says_what_to_ride_instead():
    (finding,) = advice_for(rider(B), Kind.GUN, HUGE).findings
    assert "beginner" in finding.sentence
    assert "waves" in finding.sentence
    assert "long board for small, soft waves" in finding.remedy
