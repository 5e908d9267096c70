"""No command's output takes the place of what a job lives by, and nothing that was said is dropped."""

import os

import pytest

from foamwright.cli.main import main
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.files import write_atomically
from foamwright.jobs.job_sheets import refuse_begun, refuse_job_file
from foamwright.jobs.planning import write_papers
from foamwright.units import System
from tests.plans import demo_plan


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    folder = tmp_path_factory.mktemp("kept") / "groyne"
    write_papers(demo_plan(), folder, "a4", System.INCH)
    return folder


@pytest.mark.parametrize("name", ["plan.json", "board.toml", "bay.toml", "history.jsonl"])
@pytest.mark.parametrize("words", [["advise", "--plot"], ["learn", "--out"]])
def test_an_output_is_not_written_over_a_file_of_the_job(job, capsys, words, name):
    kept = {path.name: path.read_bytes() for path in job.iterdir() if path.is_file()}
    command, option = words
    assert main([command, str(job), option, str(job / name)]) == 2
    assert "It belongs to the job there and would be lost." in capsys.readouterr().err
    assert {path.name: path.read_bytes() for path in job.iterdir() if path.is_file()} == kept


def test_the_same_names_are_free_where_no_job_is(tmp_path):
    refuse_job_file(tmp_path / "bay.toml")
    (tmp_path / "plan.json").write_text("{}", "utf-8")
    with pytest.raises(InputError, match="belongs to the job"):
        refuse_job_file(tmp_path / "bay.toml")


def test_another_plan_is_not_written_over_a_job_under_way(job, capsys):
    plan = (job / "plan.json").read_bytes()
    (job / "history.jsonl").write_text('{"kind": "note"}\n', "utf-8")
    try:
        refuse_begun(job, plan)
        with pytest.raises(InputError, match="A job with another plan is under way there: 1 entries"):
            refuse_begun(job, plan + b" ")
        words = [
            "plan",
            str(demo_path("breakwater.board.toml")),
            "--stock",
            str(demo_path("harbour.stock.toml")),
        ]
        assert main([*words, "--out", str(job)]) == 2
        assert "under way there" in capsys.readouterr().err
        assert (job / "plan.json").read_bytes() == plan
    finally:
        (job / "history.jsonl").unlink()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes in folders here")
def test_a_pipe_or_a_device_is_not_replaced(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(InputError, match="a device or pipe of that name stands there"):
        write_atomically(tmp_path / "pipe", b"x")
    assert (tmp_path / "pipe").is_fifo()
    assert [path.name for path in tmp_path.iterdir()] == ["pipe"]


def test_what_is_recorded_is_shown_with_the_number_that_undoes_it(tmp_path, capsys):
    job = tmp_path / "groyne"
    write_papers(demo_plan(), job, "a4", System.INCH)
    stroke = ["--strokes", "2", "--stage", "rocker", "--end", "nose", "--from", "3", "--chip", "1/32"]
    assert main(["read", str(job), *stroke]) == 0
    assert main(["read", str(job), "--undo", "1"]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told == [
        "1. rocker to the nose: 2 strokes from 3 in, off the tip, chip 1/32 in. Recorded.",
        "2. Entry 1 no longer counts. Recorded.",
    ]
    kept = (job / "history.jsonl").read_bytes()
    assert main(["read", str(job), *stroke, "--minutes", "4", "--note", "both"]) == 2
    assert "--strokes and --minutes and --note cannot be told in one go." in capsys.readouterr().err
    assert (job / "history.jsonl").read_bytes() == kept


def test_every_word_of_a_reading_that_cannot_stand_is_told_at_once(tmp_path, capsys):
    job = tmp_path / "groyne"
    write_papers(demo_plan(), job, "a4", System.INCH)
    wrong = [
        "--stage",
        "rokcer",
        "--station",
        "middle",
        "--what",
        "roker",
        "--value",
        "-3",
        "--tool",
        "hammer",
    ]
    assert main(["read", str(job), *wrong]) == 2
    told = capsys.readouterr().err
    assert [word for word in ("stage", "station", "what", "value", "tool") if f", {word}: " not in told] == []
    assert not (job / "history.jsonl").exists()


def test_a_rider_that_is_no_longer_planned_for_is_not_left_in_the_job(tmp_path):
    job = tmp_path / "groyne"
    write_papers(demo_plan(), job, "a4", System.INCH)
    (job / "rider.toml").write_text("[rider]\n", encoding="utf-8")
    before = {path.name: path.stat().st_mtime_ns for path in job.iterdir()}
    with pytest.raises(InputError, match=r"rider\.toml: The job was planned for a rider, and now for none"):
        write_papers(demo_plan(), job, "a4", System.INCH)
    assert {path.name: path.stat().st_mtime_ns for path in job.iterdir()} == before
