"""The run-offs of whole random plans, replayed from their documents by a plane of the tests' own."""

from __future__ import annotations

import json
from itertools import pairwise

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.blank.blank import blank_of
from foamwright.board.board import board_of
from foamwright.cuts.counting import MARKS
from foamwright.cuts.stage_runs import plan_runs, plan_thickness
from foamwright.errors import InputError
from foamwright.planning.build import survey_of
from foamwright.stages.solids import chain_of
from foamwright.units import INCH, System
from tests.planing_reference import replay
from tests.trade import random_blank, random_board

SEEDS = range(30)
"""About two in five fit their blank."""


def random_runs(seed: int) -> list[dict[str, object]]:
    """The documents of a random board's run-offs; none where it does not fit its blank."""
    try:
        board, blank = board_of(random_board(seed)), blank_of(random_blank(seed))
    except InputError:
        return []
    choice = survey_of(board, (blank,), Bay()).choices[0]
    if not choice.fits:
        return []
    chain = chain_of(board, blank, choice.placed, Bay().allowances.finish)
    marks = MARKS[System.INCH]
    runs = plan_runs(chain, Bay(), marks, plan_thickness(chain, Bay(), marks))
    return [json.loads(json.dumps(run.as_json())) for run in runs]


@pytest.mark.parametrize("seed", SEEDS)
def test_no_sole_load_or_pressure_takes_a_planned_walk_below_its_target(seed: int) -> None:
    for run in random_runs(seed):
        target = np.array(run["target_m"])
        heel = replay(run, "heel")
        assert (replay(run, "full") - target).min() >= -1e-12
        assert (replay(run, "between", seed) - target).min() >= -1e-12
        assert (heel - target).min() >= -1e-12
        np.testing.assert_allclose(heel, run["predicted_m"], atol=1e-9)
        starts = [stroke["start_from_tip_m"] for stroke in run["strokes"]]
        assert all(late > early for early, late in pairwise(starts))
        assert run["lifted"] == []
        downs = [0, *(one["after_strokes"] for one in run["foam_down"])]
        chips = [stroke["chip_m"] for stroke in run["strokes"]]
        assert all(sum(chips[a:b]) <= INCH / 8 + 1e-9 for a, b in pairwise(downs))


def test_a_plan_in_millimetres_marks_whole_millimetres() -> None:
    board, blank = board_of(random_board(1)), blank_of(random_blank(1))
    choice = survey_of(board, (blank,), Bay()).choices[0]
    chain = chain_of(board, blank, choice.placed, Bay().allowances.finish)
    marks = MARKS[System.MM]
    for run in plan_runs(chain, Bay(), marks, plan_thickness(chain, Bay(), marks)):
        starts = 1000.0 * np.array([one.start_from_tip for one in run.strokes])
        np.testing.assert_allclose(starts, np.rint(starts), atol=1e-6)
        assert (run.predicted - run.target).min() >= -1e-12
