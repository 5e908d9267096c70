"""Apprentice trials: a small sample of the figures, the papers' rule, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from foamwright.bench.belief import Made
from foamwright.bench.paper_job import strokes_of
from foamwright.bench.shaper import Errors, Foam, Mechanics, shaper_of
from foamwright.bench.trial_outcome import tally
from foamwright.bench.trials import Flow, TrialSettings, run_trial
from foamwright.errors import InputError
from foamwright.units import INCH
from tests.runs import bulging_run

RUNS = (bulging_run(INCH / 2), bulging_run(INCH / 4, 24.0 * INCH))


def test_a_small_sample_keeps_the_promise() -> None:
    """Twelve shapers with the usual hands on two faces: no dead end, nothing deeper than 1/16 in."""
    result = tally(run_trial(lambda _: RUNS, TrialSettings(shapers=12, seed=3)))
    assert {"shapers", "over_shaped", "in_tolerance", "dead_ends", "strokes", "stops", "looks"} <= set(result)
    assert (result["shapers"], result["dead_ends"]) == (12, 0)
    assert result["over_shaped"] <= 1  # type: ignore[operator]
    assert result["in_tolerance"] >= 9  # type: ignore[operator]
    assert result["runs_deeper_than_1_16_share"] == 0.0
    assert 0.8 < result["in_90_percent_band"] < 0.97  # type: ignore[operator]


def test_the_same_seed_is_the_same_trial_however_many_work() -> None:
    one, two = (
        tally(run_trial(lambda _: RUNS[1:], TrialSettings(shapers=3, seed=8, workers=workers)))
        for workers in (1, 2)
    )
    assert one == two


@pytest.mark.parametrize(
    "changed",
    [
        {"common": 0.1}, {"each": 0.1}, {"bias": 0.3}, {"start": INCH / 8}, {"step": INCH / 16},
        {"zero": 4e-4}, {"bow": 4e-4}, {"off": 4e-4}, {"bend": 8e-4}, {"face": 4e-4},
        {"missed": 0.2}, {"proud": 1.0}, {"known": True, "start": INCH / 8},
        {"mechanics": Mechanics.FULL}, {"mechanics": Mechanics.BEFORE},
    ],
    ids=lambda changed: "-".join(map(str, changed)),
)  # fmt: skip
def test_everything_that_may_go_wrong_changes_how_jobs_come_out(changed: dict[str, float]) -> None:
    usual = run_trial(lambda _: RUNS[1:], TrialSettings(shapers=2, seed=3))
    other = run_trial(lambda _: RUNS[1:], TrialSettings(shapers=2, seed=3, errors=Errors(**changed)))  # type: ignore[arg-type]
    assert [job.runs for job in usual] != [job.runs for job in other]


def test_a_bent_edge_reads_wrong_at_the_tip_and_right_where_it_rests() -> None:
    errors = Errors(bend=2e-3, gauge=0.0, step=1e-9)
    foam = Foam(RUNS[0], shaper_of(errors, (1, 1)))
    assert foam.gauge(RUNS[0].length) == pytest.approx(foam.left[-1], abs=1e-8)
    assert foam.gauge(0.0) - foam.left[0] == pytest.approx(foam.shaper.bend, abs=1e-8)


def test_foam_left_proud_carries_the_plane() -> None:
    """On foam that stands the iron takes half; once the foam is down again it takes all."""
    errors = Errors(common=0.0, each=0.0, start=0.0, proud=1.0)
    foam, taken = Foam(RUNS[0], shaper_of(errors, (1, 1))), []
    for proud in (True, False):
        foam.foam_down()
        foam.proud = foam.proud and proud
        before = foam.left[0]
        foam.stroke(Made(12.0 * INCH, None, INCH / 32))
        taken.append(before - foam.left[0])
    assert taken == pytest.approx([INCH / 64, INCH / 32])


def test_papers_with_a_gauge_and_never_with_a_tape() -> None:
    usual = TrialSettings(shapers=12, seed=3, flow=Flow.PAPERS)
    result = tally(run_trial(lambda _: RUNS, usual))
    assert result["runs_within_1_16_share"] >= 0.8  # type: ignore[operator]
    tape = TrialSettings(shapers=1, flow=Flow.PAPERS, errors=Errors(step=INCH / 16))
    with pytest.raises(InputError, match="a quarter of the runs go more than 1/16 in too deep"):
        run_trial(lambda _: RUNS, tape)


def test_every_ruled_line_that_is_crossed_is_a_stroke() -> None:
    """A straight drawing from 1/8 in at the tip to nothing at 16 in: lines every 1/32, starts every 4 in."""
    at = np.array([0.0, 16.0]) * INCH
    made = strokes_of(at, np.array([INCH / 8, 0.0]), INCH / 32, INCH / 32)
    assert [round(one.start / INCH, 6) for one in made] == [4.0, 8.0, 12.0]
    humped = strokes_of(
        np.array([0.0, 8.0, 16.0]) * INCH, np.array([0.0, INCH / 16, 0.0]), INCH / 24, INCH / 24
    )
    (lifted,) = humped
    assert lifted.end is not None
    assert lifted.start - lifted.end == pytest.approx(16.0 * INCH / 3.0)


@pytest.mark.parametrize("mechanics", list(Mechanics))
def test_no_mechanics_takes_more_than_the_chip_and_they_are_in_order(mechanics: Mechanics) -> None:
    """Depth order of one stroke: full chip >= heel on the cut >= face before the stroke."""
    errors = Errors(common=0.0, each=0.0, start=0.0, mechanics=mechanics)
    foam = Foam(bulging_run(radius=-4.0), shaper_of(errors, (1, 1)))
    before = foam.left.copy()
    foam.stroke(Made(12.0 * INCH, None, INCH / 32))
    taken = before - foam.left
    assert taken.max() <= INCH / 32 + 1e-12
    assert taken.min() >= -1e-12
