"""The independent replay: by hand on a small case, and against the kernel."""

import json

import numpy as np
import pytest

from benchmarks.cuts_cases import Shape, run_target
from foamwright.bay.bay import Bay
from foamwright.cuts.planner import plan_run
from foamwright.cuts.replay import replay

JACK = Bay().planes[0]


def run(strokes, before):
    return {
        "x_m": [0.0, 0.1, 0.2, 0.3],
        "before_m": before,
        "tool": {"sole_m": 0.2, "mouth_m": 0.1, "width_m": 0.05},
        "strokes": strokes,
    }


def test_bulging_face_loses_count_times_chip_from_the_start_on():
    stroke = {"start_from_tip_m": 0.2, "count": 3, "chip_m": 0.001, "skew_deg": 0.0}
    bulge = [0.0, -0.01, -0.04, -0.09]
    assert replay(run([stroke], bulge)) == pytest.approx([0.0, -0.013, -0.043, -0.093])


def test_sole_rests_on_the_edge_of_an_earlier_step():
    # The second stroke at 0.1 m finds the foot 1 mm below the edge behind it and level ahead:
    # the line there is half a chip up, so it takes half a chip.
    stroke = {"start_from_tip_m": 0.2, "count": 2, "chip_m": 0.001, "skew_deg": 0.0}
    assert replay(run([stroke], [0.0] * 4))[1] == pytest.approx(-0.0015)


@pytest.mark.parametrize("radius", [8.0, -3.0])
def test_replay_from_json_text_agrees_with_the_prediction(radius):
    plan = plan_run(run_target(Shape(20.0, 0.6, 2.0, radius)), JACK)
    heights = replay(json.loads(json.dumps(plan.as_json())))
    assert np.abs(heights - plan.predicted).max() < 1e-12
    assert (heights >= plan.target.target - 1e-12).all()
