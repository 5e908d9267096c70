"""Passes to thickness: over the whole length, then from mark to mark."""

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.cuts.passes import after_passes, plan_passes
from foamwright.cuts.simulation import Workpiece
from foamwright.errors import FaultError
from foamwright.units import INCH

JACK = Bay().planes[0]
X = np.linspace(0.0, 74.0 * INCH, 593)
BOTTOM = -((X - 0.9) ** 2) / 12.0
DECK = (X - 0.9) ** 2 / 12.0
HUMP = 0.3 * INCH * np.exp(-(((X - 0.9) / 0.3) ** 2))


def test_even_removal_from_a_bulging_face_is_whole_passes_of_one_chip():
    plan = plan_passes(X, BOTTOM, BOTTOM - 0.25 * INCH, JACK)
    (only,) = plan.passes
    assert (only.count, only.chip, only.skew_deg) == (8, INCH / 32, 0.0)
    assert plan.whole == 8
    assert plan.left.max() < 1e-12


@pytest.mark.parametrize("face", [BOTTOM, DECK])
@pytest.mark.parametrize("removal", [0.2 * INCH + 0.0 * X, 0.1 * INCH + HUMP, HUMP])
def test_ends_within_tolerance_and_never_below(face, removal):
    plan = plan_passes(X, face, face - removal, JACK)
    assert plan.left.min() >= -1e-12
    assert plan.reached
    assert plan.whole <= int(removal.min() / (INCH / 32) + 1e-9)


def test_hump_is_planed_between_marks():
    plan = plan_passes(X, BOTTOM, BOTTOM - HUMP - 0.1 * INCH, JACK)
    local = [one for one in plan.passes if one.begin > 0.0]
    assert plan.whole == 3
    assert local
    for one in local:
        marks = np.array([one.begin, one.end]) / INCH * 4
        assert np.abs(marks - np.rint(marks)).max() < 1e-9
        assert one.end - one.begin >= INCH


def test_predicted_is_what_the_listed_passes_leave():
    plan = plan_passes(X, DECK, DECK - HUMP - 0.1 * INCH, JACK)
    again = after_passes(Workpiece(X, JACK), DECK, plan.passes)
    assert np.abs(again - plan.predicted).max() < 1e-12


def test_hollow_face_turns_the_plane():
    plan = plan_passes(X, DECK, DECK - 0.25 * INCH, JACK)
    assert {one.skew_deg for one in plan.passes} == {30.0}


def test_json_says_how_many_passes_run_the_whole_length():
    document = plan_passes(X, BOTTOM, BOTTOM - 0.25 * INCH, JACK).as_json()
    assert document["whole_length"] == 8
    assert document["passes"][0]["to_x_m"] == X[-1]


def test_growing_foam_is_refused():
    with pytest.raises(FaultError, match="add foam"):
        plan_passes(X, BOTTOM, BOTTOM + 0.001, JACK)
