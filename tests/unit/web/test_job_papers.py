"""A job's page leads to its bench, its planning and its sheet; the code on the sheet opens the bench."""

from __future__ import annotations

import io
import re
import zipfile

import pytest
import segno
from pypdf import PdfReader
from shop_fixtures import EXAMPLES

from foamwright.blank.sheet import stock_from_text
from foamwright.papers.drawing import Polygon
from foamwright.papers.job_code import MODULE
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, change_job, open_job
from foamwright.shop.people import PersonWish, add_person, change_person
from foamwright.shop.stock import CountRule, take_in
from foamwright.shop.tables import JobRow
from foamwright.units import Unit
from foamwright.web.app import create_app
from foamwright.web.settings import Reach, Settings

HOST = "192.168.7.20"
ADDRESS = f"https://{HOST}:8421"
SCRIPT = '<script>alert("✂ Über 漢")</script>'


@pytest.fixture
def shop(sqlite_url, open_shop):
    database = open_shop(sqlite_url)
    with database.writing(Actor("seed")) as work:
        board = add_board(work, (EXAMPLES / "groyne-6-4.board.toml").read_text())
        stock = stock_from_text((EXAMPLES / "two-yards.stock.toml").read_text(), "s")
        take_in(work, stock, "Yard", Unit.INCH, CountRule.SET)
        open_job(work, JobWish(SCRIPT, board_id=board.id))
    return database


@pytest.fixture
def host(shop, visit):
    return visit(create_app(Settings(shop, Reach.LAN, frozenset({HOST}), ADDRESS, b"PEM"))).meet()


@pytest.fixture
def given(host):
    """The host, after the job was given a plan at a slide chosen by hand."""
    answer = host.send_form(
        "/plan/1?whole=1",
        "/plan/1/job",
        {"revision": "1", "job": "1", "blank": "Q-6-8-2.75", "slide": "1 1/2"},
    )
    assert answer.headers["location"] == "/jobs/1/bench"
    return host


def test_a_job_without_a_plan_leads_to_its_planning(host):
    page = host.get("/jobs/1").text
    assert 'href="/plan/1"' in page
    assert "job-sheet.pdf" not in page
    refused = host.get("/jobs/1/job-sheet.pdf")
    assert refused.status_code == 409
    assert "This job has no plan yet" in refused.text


def test_a_planned_job_leads_to_bench_sheet_and_planning(given):
    page = given.get("/jobs/1").text
    for address in ("/jobs/1/bench", "/jobs/1/job-sheet.pdf", "/plan/1?blank=Q-6-8-2.75"):
        assert f'href="{address}"' in page
        assert given.get(address).status_code == 200
    assert "<script>alert" not in page


@pytest.mark.parametrize("lengths", ["in", "mm"])
def test_the_sheet_is_the_plan_that_the_bench_works_by(given, lengths):
    given.cookies.set("foamwright-lengths", lengths)
    answer = given.get("/jobs/1/job-sheet.pdf")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    assert f"{ADDRESS}/jobs/1/bench" in text
    slide = {"in": r"tail tip 1\s*1\s*2 in", "mm": r"tail tip 38 mm"}[lengths]
    assert re.search(slide, re.sub(r"[\s⁄/]+", " ", text))


def test_the_code_on_the_sheet_holds_the_benchs_own_address(given, monkeypatch):
    documents = []
    import foamwright.papers.job_sheet as sheets

    whole = sheets.job_document
    monkeypatch.setattr(
        sheets, "job_document", lambda *asked: documents.append(whole(*asked)) or documents[-1]
    )
    given.get("/jobs/1/job-sheet.pdf")
    (order,) = [sheet for sheet in documents[0].sheets if sheet.title == "Order of the work"]
    boxes = [item.box() for item in order.drawing.items if isinstance(item, Polygon) and item.pen is None]
    boxes = [box for box in boxes if abs(box.height - MODULE) < 1e-6]
    left, top = min(box.left for box in boxes), max(box.top for box in boxes)
    matrix = segno.make(f"{ADDRESS}/jobs/1/bench", error="m", micro=False, boost_error=False).matrix
    for y, row in enumerate(matrix):
        for x, dark in enumerate(row):
            at = left + MODULE * (x + 0.5), top - MODULE * (y + 0.5)
            covered = any(b.left < at[0] < b.right and b.bottom < at[1] < b.top for b in boxes)
            assert covered == bool(dark), (x, y)


def test_what_the_code_opens_is_the_bench(given, shop):
    """A paired tablet that follows the printed address comes to the steps."""
    assert given.get("/jobs/1/bench").url.path == "/jobs/1/bench/1"


def test_without_the_network_there_is_no_code(shop, given, visit):
    alone = visit(create_app(Settings(shop))).meet()
    text = alone.get("/jobs/1/job-sheet.pdf")
    assert text.status_code == 200
    pages = PdfReader(io.BytesIO(text.content)).pages
    assert "/bench" not in "".join(page.extract_text() for page in pages)


def test_a_board_changed_since_is_not_printed_as_the_benchs(given, shop):
    with shop.writing(Actor("somebody")) as work:
        job = work.session.get(JobRow, 1)
        job.board_sheet = job.board_sheet.replace('thickest = "2 1/2"', 'thickest = "2 7/16"')
    answer = given.get("/jobs/1/job-sheet.pdf")
    assert answer.status_code == 409
    assert "no longer those that its bench works by" in answer.text


def test_a_job_offers_the_templates_and_what_comes_after_the_foam(given):
    page = given.get("/jobs/1").text
    assert 'href="/jobs/1/templates.zip"' in page
    assert 'href="/jobs/1/after-the-foam.pdf"' in page
    answer = given.get("/jobs/1/templates.zip")
    assert answer.headers["content-type"] == "application/zip"
    names = zipfile.ZipFile(io.BytesIO(answer.content)).namelist()
    assert {name.rpartition(".")[2] for name in names} == {"pdf", "svg", "dxf"}
    after = PdfReader(io.BytesIO(given.get("/jobs/1/after-the-foam.pdf").content))
    text = "".join(one.extract_text() for one in after.pages)
    assert "fin" in text.casefold()


def test_a_job_whose_rider_is_known_has_a_page_of_the_water_after_the_foam(given, shop):
    def text():
        answer = given.get("/jobs/1/after-the-foam.pdf")
        return "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)

    with shop.writing(Actor("seed")) as work:
        rider = add_person(work, PersonWish("Mara", 72.5, 1.78, "beginner"))
        job = work.session.get(JobRow, 1)
        change_job(work, 1, job.revision, JobWish(job.title, rider.id, job.board_id))
    assert "Mara" not in text()
    with shop.writing(Actor("seed")) as work:
        change_person(work, rider.id, 1, PersonWish("Mara", 72.5, 1.78, "beginner", "sea, 18 C"))
    assert "Mara" in text()


def test_a_job_without_a_plan_has_no_papers(host):
    for name in ("templates.zip", "after-the-foam.pdf"):
        answer = host.get(f"/jobs/1/{name}")
        assert answer.status_code == 409
        assert "no plan yet" in answer.text


def test_a_plan_in_a_job_that_got_another_blank_stops_bench_and_class(given):
    say = "Stop cutting"
    assert say not in given.get("/jobs/1").text + given.get("/jobs/1/bench").text
    assert given.send_form("/jobs/1", "/jobs/1/blank", {"blank_id": "2"}).status_code == 303
    for page in ("/jobs/1", "/jobs/1/bench"):
        text = given.get(page).text
        assert say in text
        assert "The plan is for Q-6-8-2.75, and the job now has M-6-9." in text
    assert "planned in Q-6-8-2.75, has M-6-9: plan it again" in given.get("/class").text
    assert given.send_form("/jobs/1", "/jobs/1/blank", {"blank_id": "1"}).status_code == 303
    assert say not in given.get("/jobs/1").text + given.get("/jobs/1/bench").text


def test_a_planned_job_whose_blank_was_put_back_says_why_there_are_no_papers(given):
    assert given.send_form("/jobs/1", "/jobs/1/blank", {"blank_id": ""}).status_code == 303
    assert "the job has no blank off the rack: take Q-6-8-2.75" in given.get("/jobs/1").text
