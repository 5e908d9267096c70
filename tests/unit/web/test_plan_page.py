"""The planning page as plain forms, and what its script asks for."""

from __future__ import annotations

import io
import json
import re
import zipfile
from html import unescape

import pytest
from pypdf import PdfReader
from shop_fixtures import EXAMPLES

from foamwright.blank.sheet import stock_from_text
from foamwright.board.sheet import board_from_text
from foamwright.documents import json_bytes
from foamwright.jobs.picking import read_job
from foamwright.jobs.planning import plan_job
from foamwright.shop.boards import add_board, change_board
from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.plans import steps_of
from foamwright.shop.stock import CountRule, count_blank, take_in
from foamwright.shop.tables import JobRow, StockBlank
from foamwright.units import System, Unit
from foamwright.web import rendering, statics
from foamwright.web.app import create_app
from foamwright.web.planning import showing
from foamwright.web.settings import Settings

BOARD = EXAMPLES / "groyne-6-4.board.toml"
STOCK = EXAMPLES / "two-yards.stock.toml"
SCRIPT = '<script>alert(1)</script>" onload="x'


@pytest.fixture
def shop(sqlite_url, open_shop):
    database = open_shop(sqlite_url)
    with database.writing(Actor("seed")) as work:
        add_board(work, BOARD.read_text())
        take_in(work, stock_from_text(STOCK.read_text(), "s"), "Yard", Unit.INCH, CountRule.SET)
    return database


@pytest.fixture
def planner(shop, visit):
    return visit(create_app(Settings(shop))).meet()


def start_of(page):
    return json.loads(re.search(r'id="plan-start" type="application/json">(.*?)</script>', page, re.S)[1])


def fields_of(page):
    """Every text field of the form, as a browser would send it."""
    found = re.findall(r'<input[^>]*? name="([^"]+)" value="([^"]*)"', page)
    return {
        unescape(name): unescape(value)
        for name, value in found
        if name not in ("csrf", "once", "blank", "tall")
    }


def send(planner, action, **changes):
    fields = fields_of(planner.get("/plan/1").text) | {k.replace("__", "/"): v for k, v in changes.items()}
    return planner.send_form("/plan/1", action, fields)


@pytest.mark.parametrize("language", ["en", "de"])
def test_without_script_the_whole_page_is_there(planner, language):
    headers = {"accept-language": language}
    bare = planner.get("/plan/1", headers=headers).text
    assert 'http-equiv="refresh" content="0; url=/plan/1?whole=1' in bare
    page = planner.get("/plan/1?whole=1", headers=headers).text
    assert "http-equiv" not in page
    for part in (
        'class="blank chosen"',
        'class="side"',
        'class="contour"',
        'class="plain-picture"',
        'class="reach"',
    ):
        assert part in page
    assert "waiting" not in page


def test_the_list_of_boards_leads_to_each(planner):
    assert 'href="/plan/1"' in planner.get("/plan").text
    assert planner.get("/plan/2").status_code == 404


def test_a_board_comes_in_as_a_file_and_is_planned(planner):
    files = {"file": ("second.board.toml", BOARD.read_bytes().replace(b"Groyne", b"Second"))}
    answer = planner.send_form("/plan", "/plan", {}, files=files)
    assert answer.headers["location"] == "/plan/2?said=board-added"
    refused = planner.send_form("/plan", "/plan", {}, files={"file": ("x.toml", b"length = 3 in")})
    assert refused.status_code == 422
    assert "stand in quotes" in refused.text


def test_a_number_that_cannot_stand_stays_with_its_remedy(planner):
    answer = send(planner, "/plan/1", **{"outline__12 from nose": "12 1/x", "thickness__thickest": "2 5/8"})
    assert answer.status_code == 200
    fields = fields_of(answer.text)
    assert (fields["outline/12 from nose"], fields["thickness/thickest"]) == ("12 1/x", "2 5/8")
    told = re.search(r'id="told-outline/12 from nose" data-told>(.*?)</div>', answer.text, re.S)[1]
    assert "is not a length" in told
    assert 'aria-invalid="true"' in answer.text


def test_working_out_again_stores_nothing_and_moves_the_numbers(planner, shop):
    answer = send(planner, "/plan/1", length="6'5\"", thickness__thickest="2 5/8")
    assert "not saved yet" in answer.text
    assert re.search(r"<strong>2 <span class=\"fraction\"><sup>5</sup>/<sub>8</sub>", answer.text)
    assert 'thickest = "2 1/2"' in planner.get("/boards/1/sheet.toml").text


def test_the_board_is_saved_with_its_notes(planner):
    answer = send(planner, "/plan/1/save", outline__tail="5 3/4")
    assert answer.headers["location"] == "/plan/1?said=board-saved"
    sheet = planner.get("/boards/1/sheet.toml").text
    assert 'tail = "5 3/4"                 # width of the block at the tip' in sheet
    assert "# A finished board, as its shaper would say it." in sheet


def test_the_sheet_as_typed_is_the_command_lines(planner, tmp_path):
    answer = send(planner, "/plan/1/sheet.toml", length="6'5\"")
    assert answer.headers["content-disposition"] == 'attachment; filename="Groyne.board.toml"'
    assert board_from_text(answer.text, "x").length == 77 * 0.0254


def test_a_sheet_from_a_file_takes_the_boards_place(planner):
    sheet = BOARD.read_bytes().replace(b"20 3/8", b"20 5/8")
    answer = planner.send_form(
        "/plan/1", "/plan/1/from-file", {"revision": "1"}, files={"file": ("a.toml", sheet)}
    )
    assert answer.headers["location"] == "/plan/1?said=board-saved"
    refused = planner.send_form(
        "/plan/1", "/plan/1/from-file", {"revision": "2"}, files={"file": ("a.toml", b"length = 'long'")}
    )
    assert refused.status_code == 422
    assert "is missing" in refused.text


def test_a_stale_change_is_shown_the_difference_and_overwrites_nothing(planner, shop):
    page = planner.get("/plan/1").text
    with shop.writing(Actor("somebody else")) as work:
        change_board(work, 1, 1, BOARD.read_text().replace("20 3/8", "20 5/8"))
    fields = fields_of(page) | {"outline/tail": "5 3/4"}
    answer = planner.send_form("/plan/1", "/plan/1/save", fields)
    assert answer.status_code == 409
    assert fields_of(answer.text)["outline/tail"] == "5 3/4"
    assert re.search(r"<ins>.*5 3/4", answer.text)
    assert "20 5/8" in planner.get("/boards/1/sheet.toml").text


def test_the_plan_that_is_downloaded_is_the_command_lines(planner):
    answer = send(planner, "/plan/1/papers/plan.json", blank="Q-6-8-2.75", slide="1/4")
    plan = plan_job(read_job(BOARD, STOCK, None), "Q-6-8-2.75", System.INCH)
    assert answer.content == json_bytes(plan.as_json())


def test_job_sheet_and_templates_are_downloaded_for_the_slide_in_hand(planner):
    sheet = send(planner, "/plan/1/papers/job-sheet.pdf", blank="Q-6-8-2.75", slide="2")
    text = PdfReader(io.BytesIO(sheet.content)).pages[0].extract_text()
    assert "Groyne" in text
    templates = send(planner, "/plan/1/papers/templates.zip", blank="Q-6-8-2.75", slide="2")
    names = zipfile.ZipFile(io.BytesIO(templates.content)).namelist()
    assert {"templates/outline-letter.pdf", "templates/outline.svg", "templates/outline.dxf"} <= set(names)


def test_papers_that_cannot_be_are_refused_in_words(planner):
    answer = send(planner, "/plan/1/papers/plan.json", blank="Q-6-8-2.75", length="7'2\"")
    assert answer.status_code == 409
    assert "lies in none of these blanks" in answer.text
    answer = send(planner, "/plan/1/papers/plan.json", blank="Q-6-8-2.75", length="long")
    assert answer.status_code == 422
    assert fields_of(answer.text)["length"] == "long"
    assert planner.post("/plan/1/papers/passwd", data={}).status_code in (403, 422)


def test_a_name_is_never_read_as_html(planner):
    send(planner, "/plan/1/save", name=SCRIPT)
    page = planner.get("/plan/1?whole=1").text
    assert "<script>alert" not in page
    assert 'onload="x' not in page.replace("&#34;", "'")


def test_millimetres_stand_everywhere_once_chosen(planner):
    planner.cookies.set("foamwright-lengths", "mm")
    page = planner.get("/plan/1?whole=1").text
    assert fields_of(page)["outline/wide"] == "517.5"
    assert "305 mm from nose" in page
    assert "sup>" not in page


def wish(planner, **more):
    start = start_of(planner.get("/plan/1").text)
    return {"sheet": start["sheet"], "blank": "Q-6-8-2.75", "slide": None} | more


def test_the_script_is_answered_part_by_part(planner):
    stock = planner.post("/plan/live/stock", json=wish(planner)).json()
    assert stock["best"] == "Q-6-8-2.75"
    blank = planner.post("/plan/live/blank", json=wish(planner)).json()
    assert blank["fits"]
    off = planner.post("/plan/live/off", json=wish(planner, slide=0.03)).json()
    assert off["laid"]["slide_m"] == 0.03
    assert 'class="run"' in planner.post("/plan/live/strokes", json=wish(planner)).json()["html"]


def test_a_drag_is_answered_in_numbers_that_add_up(planner):
    near = planner.post("/plan/live/lay", json=wish(planner, slide=0.00635)).json()
    far = planner.post("/plan/live/lay", json=wish(planner, slide=0.0889)).json()
    assert near["fits"]
    assert far["minutes_exact"] > near["minutes_exact"]
    parts = [float(n) for one in far["parts"] for n in one[1:]] + [float(far["rails"])]
    assert sum(parts) == pytest.approx(far["minutes_exact"], abs=4)
    assert far["slide"] == "3 1/2"
    assert len(far["deck"]) == len(far["bottom"]) == 11


def test_where_it_does_not_fit_the_place_and_the_amount_are_told(planner):
    thick = wish(planner)["sheet"].replace('thickest = "2 1/2"', 'thickest = "2 11/16"')
    laid = planner.post("/plan/live/lay", json=wish(planner, sheet=thick, slide=0.03)).json()
    assert not laid["fits"]
    # Two stations lack the same to a nanometre: the one nearer the tail is told, on any processor.
    assert laid["why"].startswith("Here 1/16 in of foam is missing under the bottom at centre. ")


def test_typing_is_answered_with_the_sheet_and_the_form(planner):
    fields = fields_of(planner.get("/plan/1").text)
    good = planner.post("/plan/1/live/board", data=fields | {"outline/tail": "5 3/4"}).json()
    assert good["stands"]
    assert 'tail = "5 3/4"' in good["sheet"]
    bad = planner.post("/plan/1/live/board", data=fields | {"outline/tail": "?"}).json()
    assert not bad["stands"]
    assert "is not a length" in bad["form"]


@pytest.mark.parametrize(
    "sent",
    [
        {"sheet": "x = [", "blank": "", "slide": None},
        {"sheet": "", "blank": "Q-6-8-2.75", "slide": 0.1},
        {"sheet": "length = 1\noutline = 3", "blank": "Q-6-8-2.75", "slide": 0.1},
    ],
)
def test_a_sheet_that_is_none_is_no_fault(planner, sent):
    for part in ("stock", "blank", "lay", "off", "strokes"):
        assert planner.post(f"/plan/live/{part}", json=sent).status_code == 200


@pytest.mark.parametrize(
    "change", [{"slide": 1e9}, {"slide": "NaN"}, {"sheet": "x" * 70_000}, {"more": 1}, {"blank": "b" * 300}]
)
def test_a_wish_that_cannot_be_is_refused(planner, change):
    assert planner.post("/plan/live/lay", json=wish(planner) | change).status_code == 422


def test_nobody_but_a_teacher_plans_and_no_other_site_sends_forms(shop, tablet, planner):
    stranger = tablet()
    assert stranger.get("/plan/1", follow_redirects=False).headers["location"].startswith("/pair")
    sent = stranger.post("/plan/live/stock", json={"sheet": ""}, follow_redirects=False)
    assert sent.headers["location"].startswith("/pair")
    token = planner.headers.pop("x-foamwright-csrf")
    assert planner.post("/plan/live/stock", json={"sheet": ""}).status_code == 403
    assert planner.post("/plan/1/save", data={"length": "7'"}).status_code == 403
    planner.headers["x-foamwright-csrf"] = token


def test_an_empty_shop_says_what_is_missing(sqlite_url, open_shop, visit):
    database = open_shop(sqlite_url)
    with database.writing(Actor("seed")) as work:
        add_board(work, BOARD.read_text())
    page = visit(create_app(Settings(database))).meet().get("/plan/1?whole=1")
    assert page.status_code == 200
    assert "There is no blank in the stock yet." in page.text


def test_the_pages_script_is_small():
    found = statics.all_statics()
    assert len(found["plan.js"].plain) + len(found["surface.js"].plain) < 32_000


@pytest.fixture
def job(shop):
    with shop.writing(Actor("seed")) as work:
        return open_job(work, JobWish("First", None, 1, "")).id


def test_a_job_takes_board_blank_and_plan_together(planner, shop, job):
    answer = send(planner, "/plan/1/job", blank="Q-6-8-2.75", slide="2", job=str(job))
    assert answer.headers["location"] == f"/jobs/{job}/bench"
    with shop.reading() as session:
        row = session.get(JobRow, job)
        assert json.loads(row.plan)["lay"]["slide_m"] == 2 * 0.0254
        assert row.board_revision == 1
        assert len(steps_of(session, row)) > 10
        blank = session.get(StockBlank, row.blank_id)
        assert (blank.code, blank.on_hand) == ("Q-6-8-2.75", 2)


def test_nothing_of_it_is_taken_where_a_part_cannot_be(planner, shop, job):
    unsaved = send(planner, "/plan/1/job", blank="Q-6-8-2.75", job=str(job), length="6'5\"")
    assert unsaved.status_code == 422
    assert "Save the board first" in unsaved.text
    assert send(planner, "/plan/1/job", blank="Q-6-8-2.75", job="99").status_code == 404
    with shop.writing(Actor("seed")) as work:
        count_blank(work, 1, 0, "all gone")
        count_blank(work, 2, 0, "all gone")
    gone = send(planner, "/plan/1/job", blank="Q-6-8-2.75", job=str(job))
    assert gone.status_code == 409
    assert "the last one has been taken" in gone.text
    with shop.reading() as session:
        row = session.get(JobRow, job)
        assert (row.plan, row.blank_id) == (None, None)


@pytest.mark.parametrize(
    ("slide", "why"),
    [
        ("x", "“x” is not a length."),
        ("-3", "The board cannot lie at “-3” in this blank."),
        ("99", "The board cannot lie at “99” in this blank."),
    ],
)
def test_a_slide_that_cannot_be_is_refused_and_not_taken_as_the_best(planner, shop, job, slide, why):
    for action in ("job", "papers/plan.json"):
        sent = send(planner, f"/plan/1/{action}", blank="Q-6-8-2.75", slide=slide, job=str(job))
        assert sent.status_code == 422
        # Above the form, and beside the field, which keeps what was typed.
        assert sent.text.count(f"<strong>{why}</strong> Write one from 1/4 to 3 3/4 in.") == 2
        assert fields_of(sent.text)["slide"] == slide
        assert re.search(r'<input id="slide"[^>]* aria-invalid="true"', sent.text)
    with shop.reading() as session:
        assert session.get(JobRow, job).plan is None
    again = send(planner, "/plan/1", blank="Q-6-8-2.75", slide=slide)
    assert again.status_code == 200
    assert why in again.text


def test_a_slide_takes_the_comma_that_its_range_is_told_with(planner):
    planner.cookies.set("foamwright-lengths", "mm")
    german = {"accept-language": "de"}
    page = planner.get("/plan/1?whole=1&blank=Q-6-8-2.75&slide=250", headers=german).text
    assert "Schreiben Sie eine von 6,4 bis 95,2 mm." in page
    page = planner.get("/plan/1?whole=1&blank=Q-6-8-2.75&slide=95,2", headers=german).text
    assert fields_of(page)["slide"] == "95.2"
    assert 'class="problem"' not in page.partition('id="told-slide"')[2][:400]


def test_a_blank_that_is_not_in_the_stock_is_said_so(planner, job):
    told = "There is no blank “NOPE” in the stock"
    page = planner.get("/plan/1?blank=NOPE&slide=1&whole=1").text
    assert told in page
    assert 'name="blank" value="Q-6-8-2.75">Take the best one, Q-6-8-2.75' in page
    for action in ("job", "papers/plan.json"):
        sent = send(planner, f"/plan/1/{action}", blank="NOPE", job=str(job))
        assert sent.status_code == 422
        assert told in sent.text
        assert "none of these blanks" not in sent.text
    strokes = planner.post("/plan/live/strokes", json=wish(planner, blank="NOPE")).json()
    assert "none of these blanks" not in strokes["html"]


def test_a_station_that_stands_there_already_is_not_added_again(planner):
    for place in ("12 from nose", "12 in from nose", "nose"):
        page = send(planner, "/plan/1", new_place=place).text
        assert f"“{place}” stands there already." in page
        assert fields_of(page)["new_place"] == place
    assert "“nowhere” is no station of this board." in send(planner, "/plan/1", new_place="nowhere").text
    page = send(planner, "/plan/1", new_place="18 from tail").text
    assert "outline/18 from tail" in fields_of(page)
    assert fields_of(page)["new_place"] == ""


@pytest.mark.parametrize("data", [b"\xff\xfe\x00\x01", b'name = "a\0b"'])
@pytest.mark.parametrize("path", ["/plan/1/from-file", "/plan", "/boards"])
def test_a_file_that_is_no_text_is_told_so_in_words_for_sheets(planner, path, data):
    page = "/plan/1" if path.startswith("/plan/1") else path
    answer = planner.send_form(page, path, {}, files={"file": ("b.toml", data, "application/toml")})
    assert answer.status_code == 422
    assert "This file is no text, and so no sheet." in answer.text
    assert "CSV" not in answer.text


def test_findings_and_what_is_wrong_with_a_blank_are_told_in_german(planner, shop):
    with shop.writing(Actor("seed")) as work:
        change_board(work, 1, 1, BOARD.read_text().replace("nose = 4.75", "nose = 7.2"))
    page = planner.get("/plan/1?whole=1", headers={"accept-language": "de"}).text
    told = " ".join(
        unescape(re.sub(r"<[^>]+>", "", one))
        for one in re.findall(r"<p class=\"(?:finding|reason).*?</p>", page)
    )
    assert "Aufbiegung an der Nase sind mehr als" in told
    assert "Einen Rohling mit mehr Aufbiegung an der Nase nehmen" in told
    assert not re.search(r"\b(the|than|blank|rocker|board)\b", told), told


def test_a_page_that_is_sent_as_it_is_made_ends_with_words_when_a_part_of_it_fails(planner, monkeypatch):
    monkeypatch.setattr("foamwright.web.planning.showing.stock_scene", lambda *_: 1 / 0)
    page = planner.get("/plan/1?whole=1").text
    assert "<h1>Groyne</h1>" in page
    assert 'name="outline/wide"' in page
    assert "This is a fault of ours; nothing was stored." in page.partition('id="blank-title"')[2]


def test_the_page_begins_before_its_end_is_worked_out(planner, monkeypatch):
    """What is seen first is on its way when the stock is ranked."""
    sent = []
    parts = rendering._parts

    def noted(*asked):
        for part in parts(*asked):
            sent.append(part)
            yield part

    monkeypatch.setattr(rendering, "_parts", noted)
    monkeypatch.setattr(showing, "is_stock_at_hand", lambda *_: sent.append("ranked"))
    planner.get("/plan/1")
    begun = sent[: sent.index("ranked")]
    assert "<h1>Groyne</h1>" in begun[0]
    assert any('name="outline/wide"' in part for part in begun)
