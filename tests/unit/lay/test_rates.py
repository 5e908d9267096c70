"""Minutes per depth and length: what they are made of."""

from dataclasses import replace

import numpy as np
import pytest

import lay_cases as cases
from foamwright.bay.bay import Bay, Plane, Rates
from foamwright.blank.numbers import Face, Stringer
from foamwright.lay.profiles import profile_of_board
from foamwright.lay.rates import (
    Doing,
    face_rates,
    kind_of,
    rates_by_doing,
    slower_where_hollow,
    steady_minutes,
)
from lay_cases import INCH

BAY = Bay(rates=Rates(stringer=900.0, foam=2600.0, hollow=1.6, hard=4.0, strip=0, stop=0, reading=0))
PROFILE = profile_of_board(cases.plain_board())
PLANE = Plane("jack", sole=0.35, mouth=0.1, width=0.06, iron=0.05, chips=(0.001, 0.0005))


def rates(**changes):
    return face_rates(PROFILE, kind_of(cases.numbers_of("b", 2.0, **changes), BAY), BAY)


def test_bulging_bottom_is_stringer_and_foam():
    width = 2 * (PROFILE.half_width + BAY.allowances.saw)
    assert rates().bottom == pytest.approx(900.0 + 2600.0 * width, rel=1e-12)


def test_stringer_counts_by_its_width():
    none, usual, double = (rates(stringer=Stringer("basswood", w * INCH)).bottom for w in (0, 1 / 8, 1 / 4))
    assert double - usual == pytest.approx(900.0, abs=1e-9)
    # The line down bare foam is planed too: half of the time of a stringer of 1/8 in.
    assert usual - none == pytest.approx(450.0, abs=1e-9)


def test_hard_face_makes_its_foam_dearer_and_nothing_else():
    soft, hard = rates(), rates(hard_face=Face.DECK)
    slower = slower_where_hollow(PROFILE.hollow_deck, BAY.planes[0], BAY.rates.hollow)
    foam = 2600.0 * 2 * (PROFILE.half_width + BAY.allowances.saw)
    assert np.array_equal(hard.bottom, soft.bottom)
    assert hard.deck - soft.deck == pytest.approx(3 * foam * slower, rel=1e-12)


def test_hollow_deck_is_dearer_than_the_bottom_towards_the_nose():
    found = rates()
    nose = PROFILE.x > 0.85 * PROFILE.length
    assert np.all(found.deck[nose] >= found.bottom[nose])
    assert np.max(found.deck / found.bottom) == pytest.approx(1.6)


def test_a_chip_shrinks_by_the_arc_under_the_sole():
    # Curvature at which half the coarse chip is lost: chip / (m (S - m)).
    half = 0.001 / (0.1 * 0.25)
    assert slower_where_hollow(np.array([0.0, half, 2 * half, 9.0]), PLANE, 3.0) == pytest.approx(
        [1.0, 2.0, 3.0, 3.0]
    )


def test_flat_and_bulging_faces_are_not_slower():
    flat = replace(PROFILE, hollow_deck=np.zeros_like(PROFILE.x))
    assert face_rates(flat, kind_of(cases.numbers_of("b", 2.0), BAY), BAY).deck == pytest.approx(
        rates().bottom, rel=1e-12
    )


def test_an_eighth_off_is_a_strip_a_reading_every_8_in_and_a_stop_at_each_tip():
    bay = Bay(rates=Rates(stringer=0, foam=0, strip=0.5, stop=0.75, reading=0.25))
    kind = kind_of(cases.numbers_of("b", 2.0), bay)
    minutes = {
        doing: float(PROFILE.weight @ rate.deck) * INCH / 8
        for doing, rate in rates_by_doing(PROFILE, kind, bay).items()
    }
    assert minutes[Doing.FOAM_DOWNS] == pytest.approx(0.5 * PROFILE.length)
    assert minutes[Doing.READINGS] == pytest.approx(0.25 * PROFILE.length / (8 * INCH))
    assert minutes[Doing.STOPS] == pytest.approx(2 * 0.75)


def test_first_looks_and_last_stops_of_four_run_offs():
    assert steady_minutes(Rates(stop=1.0, reading=0.0)) == 6.0
    assert steady_minutes(Rates(stop=0.0, reading=1.0)) == 10.0
