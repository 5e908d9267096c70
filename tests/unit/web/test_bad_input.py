"""What people send by mistake or on purpose: answered in words, in time, and nothing is lost."""

from __future__ import annotations

import io
import re
import time
import zipfile

import pytest
from bench_support import add_planned_job
from shop_fixtures import EXAMPLES, TEACHER
from sqlalchemy import func, select, text

from foamwright.blank.sheet import stock_from_text
from foamwright.shop.boards import add_board
from foamwright.shop.jobs import JobWish, give_blank, open_job
from foamwright.shop.stock import CountRule, take_in
from foamwright.shop.tables import BoardRow, JobRow, StockBlank
from foamwright.units import Unit
from foamwright.web.app import create_app
from foamwright.web.settings import Settings

BOARD = (EXAMPLES / "groyne-6-4.board.toml").read_text()
STOCK = (EXAMPLES / "two-yards.stock.toml").read_text()
SCRIPT = '<script>alert(1)</script>"><img src=x onerror=alert(2)>'


@pytest.fixture
def shop(sqlite_url, open_shop):
    database = open_shop(sqlite_url)
    with database.writing(TEACHER) as work:
        add_board(work, BOARD)
        take_in(work, stock_from_text(STOCK, "s"), "Yard", Unit.INCH, CountRule.SET)
    return database


@pytest.fixture
def teacher(shop, visit):
    return visit(create_app(Settings(shop))).meet()


def with_stations(count):
    """The board with so many more stations in its rocker, a hair apart."""
    away = [11.9 - 11.5 * n / count for n in range(count)]
    more = "\n".join(f'"{d:.4f} from tail" = {0.85 + 1.275 * (1.0 - d / 12.0) ** 1.2:.6f}' for d in away)
    return re.sub(r"(\[rocker\].*\n)", lambda found: f"{found[1]}{more}\n", BOARD, count=1)


def boards_in(shop):
    with shop.reading() as session:
        return session.scalar(select(func.count()).select_from(BoardRow))


@pytest.mark.parametrize("page", ["/boards", "/plan"])
def test_a_sheet_with_ten_thousand_stations_is_refused_at_once(teacher, shop, page):
    files = {"file": ("many.toml", with_stations(10_000).encode())}
    answer = teacher.send_form(page, page, {}, files=files)
    assert answer.status_code == 422
    assert "is longer than" in answer.text
    assert boards_in(shop) == 1


def test_a_sheet_of_as_many_stations_as_are_taken_holds_nobody_up(teacher, shop):
    with shop.writing(TEACHER) as work:
        board = add_board(work, with_stations(190))
        job = open_job(work, JobWish("Many", board_id=board.id))
        give_blank(work, job.id, 1)
        number, revision = board.id, str(job.revision)
    begun = time.perf_counter()
    for address in (f"/plan/{number}?whole=1", f"/plan/compare?board={number}&board=1"):
        page = teacher.get(address)
        assert page.status_code == 200
        assert "stations are more than are worked out while one waits" in page.text
    refused = teacher.send_form("/jobs/1/bench", "/jobs/1/bench", {"revision": revision})
    assert refused.status_code == 422
    assert "stations are more than are worked out while one waits" in refused.text
    assert time.perf_counter() - begun < 20.0


@pytest.mark.parametrize("page", ["/plan", "/boards", "/stock", "/bay"])
def test_an_upload_that_is_too_large_is_refused_in_words(teacher, shop, page):
    files = {"file": ("large.toml", b"x" * 6_000_000)}
    action = "/stock/list" if page == "/stock" else page
    for accept, kind in (("text/html", "text/html"), ("application/json", "application/json")):
        headers = {"accept": accept}
        answer = teacher.send_form(page, action, {"revision": "0"}, files=files, headers=headers)
        assert answer.status_code == 413
        assert answer.headers["content-type"].startswith(kind)
        assert "larger than" in answer.text
    assert boards_in(shop) == 1


def test_a_zip_bomb_among_the_lists_is_refused_before_it_bursts(teacher, shop):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 200_000_000)
    files = {"file": ("bomb.xlsx", stream.getvalue())}
    fields = {"supplier": "", "unit": "in", "currency": "EUR", "counts": "keep", "bad_rows": "refuse"}
    answer = teacher.send_form("/stock", "/stock/list", fields, files=files)
    assert answer.status_code == 422
    assert "Unpacked, this file would be larger" in answer.text
    with shop.reading() as session:
        assert session.scalar(select(func.count()).select_from(StockBlank)) == 2


def test_script_in_a_jobs_name_stays_a_name_on_every_page_that_shows_it(teacher, shop):
    number = add_planned_job(shop, SCRIPT)
    for address in ("/jobs", f"/jobs/{number}", f"/jobs/{number}/bench", "/class", "/class/rows", "/access"):
        answer = teacher.get(address)
        assert answer.status_code == 200, address
        assert "<script>alert" not in answer.text, address
        assert "<img src=x" not in answer.text, address
    assert "&lt;script&gt;alert(1)" in teacher.get(f"/jobs/{number}/bench").text


def test_a_job_opened_twice_by_one_press_is_opened_once(teacher, shop):
    tokens = teacher.tokens("/jobs")
    for _ in range(2):
        answer = teacher.post("/jobs", data={**tokens, "title": "Once"}, follow_redirects=False)
        assert answer.headers["location"].startswith("/jobs/1?")
    with shop.reading() as session:
        assert session.scalar(select(func.count()).select_from(JobRow)) == 1


def test_a_full_disk_is_told_on_the_page_and_what_was_typed_is_still_there(teacher, shop):
    with shop.engine.connect() as connection:
        pages = connection.execute(text("PRAGMA page_count")).scalar()
    tokens = teacher.tokens("/jobs")
    from sqlalchemy import event

    def hold(connection, _record, _proxy):
        connection.execute(f"PRAGMA max_page_count={pages}")

    event.listen(shop.engine, "checkout", hold)
    try:
        for n in range(40):
            once = {"once": f"{n:032d}"}
            note = "long " * 390
            answer = teacher.post("/jobs", data={**tokens, **once, "title": f"Job {n}", "note": note})
            if answer.status_code != 200:
                break
    finally:
        event.remove(shop.engine, "checkout", hold)
    assert answer.status_code == 507
    assert "The disk is full" in answer.text
    assert f'value="Job {n}"' in answer.text
    assert note.strip() in answer.text
    with shop.reading() as session:
        assert session.scalar(select(func.count()).select_from(JobRow)) == n
