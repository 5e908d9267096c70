"""The shop's bay: planned with, kept by each job that was planned with it, and used at its bench."""

from __future__ import annotations

import json
import re

import pytest
from shop_fixtures import EXAMPLES
from sqlalchemy.exc import DBAPIError

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import bay_from_text, bay_sheet
from foamwright.blank.sheet import stock_from_text
from foamwright.jobs.bench_steps_advice import advise_at_bench
from foamwright.shop.bays import bay_text, save_bay
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, give_blank, open_job
from foamwright.shop.plans import StrokesWish, steps_of, store_strokes
from foamwright.shop.stock import CountRule, take_in
from foamwright.shop.tables import BayRevision, JobRow
from foamwright.shop.told import StaleError
from foamwright.units import System, Unit
from foamwright.web.app import create_app
from foamwright.web.settings import Settings

SLOW = bay_sheet(Bay()).replace("stringer_min_per_m2 = 900", "stringer_min_per_m2 = 1800")
COARSE = SLOW.replace("fraction = 16", "fraction = 8").replace(
    'standard_error = "1/64"', 'standard_error = "1/16"'
)
TEACHER = Actor("teacher")


@pytest.fixture
def shop(sqlite_url, open_shop):
    database = open_shop(sqlite_url)
    stock = stock_from_text((EXAMPLES / "two-yards.stock.toml").read_text(), "s")
    with database.writing(TEACHER) as work:
        board = add_board(work, (EXAMPLES / "groyne-6-4.board.toml").read_text())
        take_in(work, stock, "Yard", Unit.INCH, CountRule.SET)
        job = open_job(work, JobWish("Slow one", board_id=board.id))
        give_blank(work, job.id, 1)
    return database


@pytest.fixture
def teacher(shop, visit):
    return visit(create_app(Settings(shop))).meet()


def minutes_of(teacher):
    page = teacher.get("/plan/1?view=blank").text
    return int(re.search(r'<p class="sums"><span><strong>(\d+)</strong> minutes', page)[1])


def test_the_usual_bay_is_shown_written_out(teacher):
    page = teacher.get("/bay").text
    assert "the usual bay" in page
    assert "stringer_min_per_m2 = 900" in page
    assert bay_from_text(teacher.get("/bay/sheet.toml").text, "b") == Bay()


def test_planning_goes_by_the_saved_bay(teacher):
    usual = minutes_of(teacher)
    answer = teacher.send_form("/bay", "/bay", {"revision": "0", "sheet": SLOW})
    assert answer.headers["location"] == "/bay?said=bay-saved"
    assert minutes_of(teacher) > 1.2 * usual
    teacher.send_form("/bay", "/bay", {"revision": "1", "sheet": ""})
    assert minutes_of(teacher) == usual


def test_a_sheet_that_cannot_stand_is_refused_and_stays_in_the_form(teacher, shop):
    wrong = SLOW.replace("fraction = 16", "fractoin = 16")
    answer = teacher.send_form("/bay", "/bay", {"revision": "0", "sheet": wrong})
    assert answer.status_code == 422
    assert "fractoin = 16" in answer.text
    assert "bay.toml" in answer.text
    with shop.reading() as session:
        assert bay_text(session) == ""


def test_the_second_teacher_is_shown_the_difference(teacher, shop):
    with shop.writing(TEACHER) as work:
        save_bay(work, 0, SLOW)
    answer = teacher.send_form("/bay", "/bay", {"revision": "0", "sheet": COARSE})
    assert answer.status_code == 409
    assert re.search(r"<ins>.*fraction = 8</ins>", answer.text)
    assert re.search(r"<del>.*fraction = 16</del>", answer.text)
    with shop.reading() as session:
        assert bay_text(session).strip() == SLOW.strip()


def test_every_bay_there_was_is_kept(shop):
    for revision, sheet in enumerate((SLOW, COARSE, "")):
        with shop.writing(TEACHER) as work:
            assert save_bay(work, revision, sheet) == revision + 1
    with shop.writing(TEACHER) as work, pytest.raises(StaleError, match="changed meanwhile by teacher"):
        save_bay(work, 1, SLOW)
    with shop.writing(TEACHER) as work:
        assert save_bay(work, 3, "") == 3
    with pytest.raises(DBAPIError, match="only ever added to"), shop.writing(TEACHER) as work:
        work.session.get(BayRevision, 1).sheet = ""


def job_of(session):
    return session.get(JobRow, 1)


def plan_at_bench(teacher, shop):
    with shop.reading() as session:
        revision = str(job_of(session).revision)
    answer = teacher.send_form("/jobs/1/bench", "/jobs/1/bench", {"revision": revision})
    assert answer.status_code == 303


def test_a_job_keeps_the_bay_that_it_was_planned_with(teacher, shop):
    with shop.writing(TEACHER) as work:
        save_bay(work, 0, COARSE)
    plan_at_bench(teacher, shop)
    with shop.writing(TEACHER) as work:
        save_bay(work, 1, "")
        job = job_of(work.session)
        assert bay_from_text(job.bay_sheet, "b").tape.fraction == 8
        run = next(step for step in steps_of(work.session, job) if step.kind == "run")
        store_strokes(work, 1, 1, [StrokesWish("tablet-" + "0" * 16, run.number, 2, work.now)])
    with shop.reading() as session:
        as_planned = advise_at_bench(session, job_of(session), System.INCH)
    with shop.writing(TEACHER) as work:
        job_of(work.session).bay_sheet = ""
    with shop.reading() as session:
        usual = advise_at_bench(session, job_of(session), System.INCH)
    # The coarser tape of the bay it was planned with, not the usual one that the shop went back to.
    assert max(one.doubt for one in as_planned.left) > max(one.doubt for one in usual.left)


def test_the_bay_makes_a_difference_to_the_doubt_at_the_bench(teacher, shop):
    """Not only handed on: a coarser tape leaves more doubt about the same strokes."""
    doubts = []
    for sheet in (COARSE, ""):
        with shop.writing(TEACHER) as work:
            save_bay(work, len(doubts), sheet)
        plan_at_bench(teacher, shop)
        with shop.writing(TEACHER) as work:
            job = job_of(work.session)
            run = next(step for step in steps_of(work.session, job) if step.kind == "run")
            name = f"tablet-{len(doubts):016}"
            store_strokes(work, 1, job.plan_revision, [StrokesWish(name, run.number, 2, work.now)])
        with shop.reading() as session:
            found = advise_at_bench(session, job_of(session), System.INCH)
            doubts.append(max(one.doubt for one in found.left))
    assert doubts[0] > doubts[1]


def test_the_jobs_bay_leaves_with_the_export(teacher, shop, tmp_path):
    import zipfile

    from foamwright.shop.exporting import export_file

    with shop.writing(TEACHER) as work:
        save_bay(work, 0, SLOW)
    plan_at_bench(teacher, shop)
    export_file(shop, tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as packed:
        assert bay_from_text(packed.read("jobs/00001-Slow-one/bay.toml").decode(), "b").rates.stringer == 1800
        assert len(packed.read("rows/bay_revisions.jsonl").splitlines()) == 1


def test_the_plan_that_is_given_carries_the_bay(teacher, shop):
    with shop.writing(TEACHER) as work:
        save_bay(work, 0, COARSE)
    answer = teacher.send_form(
        "/plan/1?whole=1", "/plan/1/job", {"revision": "1", "job": "1", "blank": "Q-6-8-2.75"}
    )
    assert answer.headers["location"] == "/jobs/1/bench"
    with shop.reading() as session:
        job = job_of(session)
        assert bay_from_text(job.bay_sheet, "b").tape.fraction == 8
        assert json.loads(job.plan)["format"] == "foamwright plan 2"
