"""Apprentice trials: the advice against both baselines, the same by seed, stoppable and resumable."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.bench.course import Course, course_of
from foamwright.bench.shaper import Hands, Way
from foamwright.bench.trials import TrialSettings, run_trial
from foamwright.cli.main import main
from foamwright.errors import InputError
from tests.bench_jobs import job_folder, job_plan
from tests.plans import demo_plan

FEW = TrialSettings(shapers=12, seed=5)


def courses(name: str = "groyne") -> tuple[Course, ...]:
    return tuple(course_of(run) for run in demo_plan(name).runs)


def test_the_plans_file_makes_the_same_courses() -> None:
    for one, run in zip(courses(), job_plan().runs, strict=True):
        other = run.course()
        assert one.listed().tolist() == other.listed().tolist()
        assert one.foam().height.tolist() == other.foam().height.tolist()


def test_the_advice_keeps_the_board_where_the_baselines_spoil_it() -> None:
    result = run_trial(courses(), FEW)
    advice, listed, rule = (result.tallies[way] for way in Way)
    assert advice.over_shaped == 0
    assert advice.in_tolerance >= 11
    assert listed.over_shaped > 2
    assert rule.over_shaped == 12
    assert max(advice.stops_by_run) <= 11
    assert advice.strokes < 1.3 * result.planned


@pytest.mark.parametrize("name", ["groyne", "breakwater"])
def test_the_stated_doubt_is_honest_on_a_short_board_and_a_long_one(name: str) -> None:
    """Nine in ten stations lie inside the 90 % band; so few shapers tell it to about two in a hundred."""
    outcomes = run_trial(courses(name), replace(FEW, shapers=20)).tallies[Way.ADVICE]
    assert outcomes.covered == pytest.approx(0.9, abs=0.03)


def test_sure_hands_need_no_advice() -> None:
    """With no errors at all the planned list ends in tolerance: the trial's plane is the planner's."""
    sure = replace(FEW, shapers=1, hands=Hands(common=0.0, each=0.0, start=0.0, tape=0.0))
    listed = run_trial(courses(), sure).tallies[Way.LIST]
    assert listed.over_shaped == 0


def test_the_same_seed_gives_the_same_result_however_many_threads() -> None:
    one = run_trial(courses(), replace(FEW, shapers=4, workers=1))
    two = run_trial(courses(), replace(FEW, shapers=4, workers=3))
    other = run_trial(courses(), replace(FEW, shapers=4, seed=6))
    assert one.as_json() == two.as_json()
    assert one.as_json() != other.as_json()


def test_a_stopped_trial_goes_on_where_it_stopped(tmp_path: Path) -> None:
    kept = tmp_path / "trial.jsonl"
    run_trial(courses(), replace(FEW, shapers=3), kept)
    lines = kept.read_text().splitlines()
    done: list[tuple[Way, int]] = []
    again = run_trial(
        courses(), replace(FEW, shapers=5), kept, lambda way, number: done.append((way, number))
    )
    assert kept.read_text().splitlines()[: len(lines)] == lines
    assert again.as_json() == run_trial(courses(), replace(FEW, shapers=5)).as_json()
    assert [number for _, number in done] == [5, 5, 5]
    assert [json.loads(line)["shapers"] for line in kept.read_text().splitlines()[len(lines) :]] == [
        [3, 4]
    ] * 3


def test_a_file_of_another_trial_is_refused(tmp_path: Path) -> None:
    kept = tmp_path / "trial.jsonl"
    run_trial(courses(), replace(FEW, shapers=1), kept)
    with pytest.raises(InputError, match="other settings"):
        run_trial(courses(), replace(FEW, shapers=1, seed=9), kept)


def test_the_command_gives_counts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = str(job_folder(tmp_path))
    assert main(["trial", "--shapers", "2", "--job", job, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert {"shapers", "over_shaped", "in_tolerance", "strokes", "stops"} <= set(told)
    assert set(told["baselines"]) == {"planned_list", "fixed_rule"}
    assert main(["trial", "--shapers", "2", "--job", job, "--mistaken", "0.02"]) == 0
    assert "in tolerance" in capsys.readouterr().out


def test_senseless_settings_are_told_together(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trial", "--shapers", "0", "--workers", "0"]) == 2
    told = capsys.readouterr().err
    assert "--shapers" in told
    assert "--workers" in told
