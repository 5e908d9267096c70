"""Planning runs: what is asked, what the trade says, and what a flat plane cannot do."""

from dataclasses import replace

import numpy as np
import pytest

from benchmarks.cuts_cases import INCH, Shape, run_target
from foamwright.bay.bay import Bay, Tape
from foamwright.blank.numbers import Face
from foamwright.cuts.planner import RunSettings, plan_run
from foamwright.cuts.run_findings import find_in_run
from foamwright.cuts.runs import End, Obstacle, RunTarget, Strokes
from foamwright.cuts.simulation import Workpiece
from foamwright.errors import FaultError
from foamwright.units import System

JACK, BLOCK = Bay().planes[:2]
ROCKER = run_target(Shape(30.0, 1.0, 2.2, 6.0))


def nose_deck(radius, depth=0.4, length=24.0, power=2.5):
    """A foil run on a deck that is straight inboard and hollow over the last foot before the nose."""
    x = np.linspace(0.0, length * INCH, 193)
    flip = np.maximum(x - 12.0 * INCH, 0.0)
    before = flip**2 / (2.0 * radius)
    target = before - depth * INCH * (x / x[-1]) ** power
    return RunTarget("foil", Face.DECK, End.NOSE, x, before, target)


def test_ends_on_or_above_the_target_and_within_tolerance():
    plan = plan_run(ROCKER, JACK)
    assert plan.left.min() >= 0.0
    assert plan.left.max() <= plan.tolerance
    assert plan.reached
    assert find_in_run(plan) == ()


def test_strokes_are_close_to_the_fewest_possible():
    plan = plan_run(ROCKER, JACK)
    assert plan.fewest == 31
    assert plan.fewest <= plan.stroke_count <= 1.5 * plan.fewest


def test_starts_are_what_the_tape_shows():
    for fraction in (16, 8):
        plan = plan_run(ROCKER, JACK, Tape(fraction=fraction))
        steps = np.array([group.start_from_tip for group in plan.strokes]) / INCH * fraction
        assert np.abs(steps - np.rint(steps)).max() < 1e-9


def test_first_walk_starts_near_three_inches_and_goes_inboard():
    # Common practice, no source: run-offs start about 3 in from the tip and walk inboard.
    starts = [group.start_from_tip / INCH for group in plan_run(ROCKER, JACK).strokes]
    turns = [i for i in range(1, len(starts)) if starts[i] < starts[i - 1]]
    assert 2.5 < starts[0] < 3.5
    assert turns[0] >= 4
    assert starts[turns[0] - 1] > 15.0


def test_coarse_chips_come_before_fine_ones_inboard_of_the_last_inches():
    plan = plan_run(ROCKER, JACK)
    chips = [group.chip for group in plan.strokes]
    assert chips[0] == max(JACK.chips)
    assert chips[-1] < chips[0]


def test_same_input_gives_the_same_plan():
    assert plan_run(ROCKER, JACK).as_json() == plan_run(ROCKER, JACK).as_json()


def test_one_stroke_turned_45_degrees_cuts_the_hollow_of_the_nose_deck_and_a_straight_one_does_not():
    # Common practice, no source: a plane turned about 45 degrees reaches where it does not straight.
    target = nose_deck(radius=2.4)
    work = Workpiece(target.x, JACK)
    middle = (target.x > 15.0 * INCH) & (target.x < 18.0 * INCH)

    def taken(skew):
        stroke = Strokes(work.length, 1, max(JACK.chips), skew)
        return (target.before - work.after_stroke(target.before, stroke))[middle]

    assert taken(0.0).max() == 0.0
    assert taken(45.0).min() > max(JACK.chips) / 3


def test_plan_says_where_to_turn_the_plane_and_reaches_there():
    plan = plan_run(nose_deck(radius=2.4), JACK)
    assert plan.reached
    assert {region.obstacle for region in plan.hollows} == {Obstacle.STRAIGHT}
    assert max(region.skew_deg for region in plan.hollows) == 45.0
    assert min(group.skew_deg for group in plan.strokes) >= 45.0
    assert min(region.begin for region in plan.hollows) > 7.5 * INCH
    assert {finding.code for finding in find_in_run(plan)} == {"run-turn-plane"}


def test_findings_are_said_in_the_units_asked_for():
    plan = plan_run(nose_deck(radius=2.4), replace(JACK, width=10.0))
    assert all(" in from the nose tip" in finding.where for finding in find_in_run(plan))
    in_mm = find_in_run(plan, System.MM)
    assert all(" mm from the nose tip" in finding.where for finding in in_mm)
    assert " in stays" not in " ".join(finding.sentence for finding in in_mm)
    assert " mm stays" in " ".join(finding.sentence for finding in in_mm)


def test_plane_that_gains_nothing_by_turning_leaves_that_hollow_high():
    stiff = replace(JACK, width=10.0)
    plan = plan_run(nose_deck(radius=2.4), stiff)
    assert plan.left.min() >= 0.0
    (region,) = [region for region in plan.hollows if region.obstacle is Obstacle.HOLLOW]
    assert region.left == plan.left.max() > 4.0 * plan.tolerance
    assert (plan.left[plan.target.x < 5.0 * INCH] <= plan.tolerance).all()
    assert [finding.measured for finding in find_in_run(plan) if finding.code == "run-unreachable"] == [
        region.left
    ]


def test_tip_that_is_done_first_is_said_and_lifted_strokes_finish_the_rest():
    plan = plan_run(run_target(Shape(30.0, 1.0, 1.2, -1.9)), JACK)
    assert not plan.reached
    assert "run-tip-first" in [finding.code for finding in find_in_run(plan)]
    assert plan.completed
    assert plan.lifted
    assert all(one.end < plan.target.length for one in plan.lifted)
    assert (plan.finished >= plan.target.target).all()
    assert (plan.finished <= plan.predicted).all()


def test_nothing_to_take_off_is_an_empty_list():
    x = np.linspace(0.0, 0.5, 101)
    plan = plan_run(RunTarget("rocker", Face.BOTTOM, End.TAIL, x, -(x**2), -(x**2)), JACK)
    assert (plan.strokes, plan.stops, plan.fewest, plan.reached) == ((), (), 0, True)


def test_less_than_the_tolerance_needs_no_stroke():
    x = np.linspace(0.0, 0.5, 101)
    plan = plan_run(RunTarget("rocker", Face.BOTTOM, End.TAIL, x, -(x**2), -(x**2) - 0.0005), JACK)
    assert plan.reached
    assert plan.fewest == 0


def test_removal_that_shrinks_a_little_towards_the_tip_is_borne():
    random = np.random.default_rng(4)
    noise = 2e-5 * random.uniform(size=ROCKER.x.size)
    target = RunTarget("rocker", Face.BOTTOM, End.NOSE, ROCKER.x, ROCKER.before + noise, ROCKER.target)
    plan = plan_run(target, JACK)
    assert plan.left.min() >= 0.0
    assert plan.reached


def test_tighter_tolerance_is_met_with_finer_chips():
    plan = plan_run(ROCKER, JACK, settings=RunSettings(tolerance=INCH / 48))
    assert plan.reached
    assert plan.left.max() <= INCH / 48 + 1e-9


def test_block_plane_plans_the_same_run():
    plan = plan_run(ROCKER, BLOCK)
    assert plan.reached
    assert plan.as_json()["tool"]["sole_m"] == BLOCK.sole


def test_json_has_what_the_interface_names():
    run = plan_run(ROCKER, JACK).as_json()
    assert {
        *("stage", "face", "end", "x_m", "before_m", "target_m", "predicted_m"),
        *("tool", "strokes", "tolerance_m"),
    } <= run.keys()
    assert {"sole_m", "mouth_m", "width_m"} <= run["tool"].keys()
    assert {"start_from_tip_m", "count", "chip_m", "skew_deg"} <= run["strokes"][0].keys()
    assert run["strokes"][-1]["left_at_tip_m"] == pytest.approx(run["predicted_m"][-1] - run["target_m"][-1])


def _grid(**change):
    x = np.linspace(0.0, 0.5, 11)
    return {"x": x, "before": 0.0 * x, "target": 0.0 * x - 0.001} | change


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"x": np.linspace(0.0, 0.5, 11) ** 2}, "equal steps"),
        ({"x": np.linspace(0.1, 0.5, 11)}, "start at 0"),
        ({"before": np.zeros(10)}, "one length"),
        ({"before": np.full(11, np.nan)}, "finite"),
        ({"target": np.full(11, 0.001)}, "add foam"),
    ],
)
def test_a_run_that_makes_no_sense_is_refused(change, words):
    with pytest.raises(FaultError, match=words):
        RunTarget("rocker", Face.BOTTOM, End.NOSE, **_grid(**change))
