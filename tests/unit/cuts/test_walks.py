"""Walks, trenches and stops of single runs."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from foamwright.bay.bay import TRENCH, Bay, Plane
from foamwright.blank.numbers import Face
from foamwright.cuts.counting import MARKS, lifted, walk
from foamwright.cuts.planing import Mechanics, planed
from foamwright.cuts.run import End, Run
from foamwright.cuts.run_findings import find_in_run
from foamwright.cuts.trench import layers_in, tracks_of
from foamwright.cuts.walks import walked, walked_by_first
from foamwright.units import INCH, System

TRIMMING, BLOCK, JACK = Bay().planes
INCHES = MARKS[System.INCH]
X = INCHES.grid * np.arange(241)
RISE = (X / X[-1]) ** 2


def a_run(depth_in: float, radius: float) -> Run:
    """A run of 30 in whose face bulges (radius > 0) or is hollow."""
    target = -(X**2) / (2.0 * radius)
    before = target + depth_in * INCH * RISE
    return Run(
        "foil", Face.DECK, End.NOSE, X, before, target, before, target, TRIMMING, (), (), (), INCH / 32
    )


@pytest.mark.parametrize("radius", [6.0, -2.5])
@pytest.mark.parametrize("depth", [0.11, 0.6, 1.2])
def test_never_below_the_target_and_marks_strictly_inboard(depth: float, radius: float) -> None:
    run = walked(a_run(depth, radius), TRIMMING, INCHES)
    starts = [one.start_from_tip for one in run.strokes]
    assert all(late > early for early, late in pairwise(starts))
    marks = np.array(starts) / INCHES.fine
    np.testing.assert_allclose(marks, np.rint(marks), atol=1e-6)
    deep = planed(run.x, run.before, run.plane, run.strokes, Mechanics.FULL)
    assert (deep >= run.target - 1e-12).all()
    assert (run.predicted >= deep).all()
    assert (deep - run.target).max() <= INCH / 32 + 5e-5 * INCH + INCHES.fine * depth * INCH * 2 / X[-1]


def test_no_stroke_where_less_than_a_chip_is_to_come_off() -> None:
    run = walked(a_run(0.03, 6.0), TRIMMING, INCHES)
    assert (run.strokes, run.stops, run.foam_down) == ((), (), ())
    np.testing.assert_array_equal(run.predicted, run.before)


def test_the_depth_is_taken_as_its_least_from_there_to_the_tip() -> None:
    hump = 0.2 * INCH * np.exp(-(((X - 0.4) / 0.05) ** 2))
    strokes = walk(0.1 * INCH * RISE + hump, INCHES.grid, INCH / 32, INCHES)
    assert len(strokes) == 3


def test_lifted_strokes_take_what_is_left_between_marks_and_leave_the_tip_alone() -> None:
    left = 0.07 * INCH * np.exp(-(((X - 0.4) / 0.08) ** 2)) + 0.05 * INCH * (X > 0.75)
    strokes = lifted(left, INCHES.grid, INCH / 64, INCHES)
    after = planed(X, left, TRIMMING, strokes, Mechanics.FULL)
    assert strokes
    assert (after >= -1e-12).all()
    assert after[X < 0.7].max() < left[X < 0.7].max() / 2
    assert all(one.begin - one.end >= 3 * INCH - 1e-9 for one in strokes)


@pytest.mark.parametrize("plane", [TRIMMING, JACK, replace(JACK, iron=0.04)])
def test_the_trench_is_never_deeper_than_an_eighth_and_the_body_fits_it(plane: Plane) -> None:
    run = walked(a_run(0.9, 6.0), plane, INCHES)
    when = [0, *(one.after_strokes for one in run.foam_down)]
    assert when[-1] == len(run.strokes)
    assert run.foam_down[-1].whole
    assert not any(one.whole for one in run.foam_down[:-1])
    for first, last in pairwise(when):
        assert sum(one.chip for one in run.strokes[first:last]) <= TRENCH + 1e-12
    tracks = run.strokes[0].tracks
    over = plane.width - plane.iron
    if over <= 0.1 * INCH:
        assert tracks == 1
        return
    # From the last layer up: one iron wide, then wide enough for the body under it.
    need = plane.iron
    for _ in range(layers_in(plane.chips[0]) - 1):
        need += over
    assert (tracks - 1) * plane.iron < need <= tracks * plane.iron + 1e-12
    assert tracks == tracks_of(plane, plane.chips[0])


def test_stops_come_after_two_strokes_and_at_every_foam_down_and_foretell_what_the_sole_leaves() -> None:
    run = walked(a_run(0.9, -3.0), TRIMMING, INCHES)
    assert [one.after_strokes for one in run.stops] == sorted({2, *(f.after_strokes for f in run.foam_down)})
    for stop in run.stops:
        now = planed(run.x, run.before, run.plane, run.strokes[: stop.after_strokes])
        deep = planed(run.x, now, run.plane, run.strokes[stop.after_strokes :], Mechanics.FULL)
        for place in stop.places:
            assert place.expect == pytest.approx(run.at(now, place.from_tip))
            # A reading just at its bound ends just on the target, if every chip to come is whole.
            end = place.not_under + run.at(deep, place.from_tip) - run.at(now, place.from_tip)
            assert end == pytest.approx(run.at(run.target, place.from_tip))
            assert place.expect >= place.not_under - 1e-12


def test_a_long_plane_first_is_used_where_the_face_bulges_and_not_in_a_hollow() -> None:
    planes = (JACK, BLOCK, TRIMMING)
    assert walked_by_first(a_run(0.6, 6.0), planes, INCHES).plane is JACK
    assert walked_by_first(a_run(0.6, -2.5), planes, INCHES).plane is TRIMMING


def test_a_bay_whose_plane_cannot_do_the_job_is_told_which_would() -> None:
    (finding,) = find_in_run(walked(a_run(0.6, -2.5), JACK, INCHES))
    assert finding.code == "run-unreachable"
    sole = float(finding.remedy.split("sole of ")[1].split(" in ")[0].replace(" 1/2", ".5"))
    assert 2.0 <= sole < 7.0
    shorter = replace(JACK, sole=sole * INCH, mouth=JACK.mouth * sole * INCH / JACK.sole)
    again = find_in_run(walked(a_run(0.6, -2.5), shorter, INCHES))
    assert all(one.code == "run-hollow" for one in again)
