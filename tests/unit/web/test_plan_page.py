"""The workbench as plain forms, and what its script asks for."""

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
from foamwright.shop.tables import BoardRevision, JobRow, StockBlank
from foamwright.units import System, Unit
from foamwright.web import statics
from foamwright.web.app import create_app
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


def fields_of(page):
    """Every field of the form, as a browser would send it."""
    found = re.findall(r'<input[^>]*? name="([^"]+)"[^>]*? value="([^"]*)"', page)
    fields = {unescape(n): unescape(v) for n, v in found if n not in ("csrf", "once", "lengths", "back")}
    sheet = re.search(r'<textarea name="sheet"[^>]*>\n(.*?)</textarea>', page, re.S)
    return fields | {"sheet": unescape(sheet[1])}


def send(planner, action, at="centre", **changes):
    """Send the page's form at a stop with some rows changed, as a browser without script does."""
    fields = fields_of(planner.get(f"/plan/1?at={at}").text)
    rows = {
        f"n:{k.replace('__', '/')}" if "__" in k or k in ("name", "length") else k: v
        for k, v in changes.items()
    }
    return planner.send_form("/plan/1", action, fields | rows)


def ask(planner, **more):
    return planner.post("/plan/1/live", json=more)


def stored(planner):
    return planner.get("/boards/1/sheet.toml").text


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize(
    ("view", "part"),
    [
        ("board", 'class="hand jaws"'),
        ("blank", 'class="work-curve"'),
        ("off", 'class="contour"'),
        ("strokes", 'class="reach"'),
        ("papers", "/papers/job-sheet.pdf"),
    ],
)
def test_every_view_is_there_without_script(planner, language, view, part):
    page = planner.get(f"/plan/1?view={view}", headers={"accept-language": language})
    assert page.status_code == 200
    assert part in page.text
    assert 'class="waiting"' not in page.text


def test_a_board_comes_in_as_a_file_and_is_planned(planner):
    assert planner.get("/plan/2").status_code == 404
    files = {"file": ("second.board.toml", BOARD.read_bytes().replace(b"Groyne", b"Second"))}
    answer = planner.send_form("/plan", "/plan", {}, files=files)
    assert answer.headers["location"] == "/plan/2?said=board-added"
    refused = planner.send_form("/plan", "/plan", {}, files={"file": ("x.toml", b"length = 3 in")})
    assert refused.status_code == 422
    assert "stand in quotes" in refused.text


def test_a_number_that_cannot_stand_stays_with_its_remedy(planner):
    answer = send(planner, "/plan/1", "12 from nose", **{"outline__12 from nose": "12 1/x"})
    assert fields_of(answer.text)["n:outline/12 from nose"] == "12 1/x"
    told = re.search(r'data-notice="wrong outline/12 from nose">(.*?)</div>', answer.text, re.S)[1]
    assert "is not a length" in told
    assert 'aria-invalid="true"' in answer.text
    assert (
        send(planner, "/plan/1/save", "12 from nose", **{"outline__12 from nose": "12 1/x"}).status_code
        == 422
    )
    assert '"12 from nose" = "12 1/8"' in stored(planner)


def test_a_number_no_fair_curve_takes_shows_the_nearest_board_and_what_would_make_it(planner):
    sheet = BOARD.read_text().replace('"12 from nose" = 1.9', '"12 from nose" = 4.5')
    answer = ask(planner, sheet=sheet, at="12 from nose").json()
    assert not answer["stands"]
    assert 'id="outline"' in answer["parts"]["stage"]
    assert "The nearest fair curve needs it" in answer["parts"]["slip"]
    found = planner.post("/plan/1/live/remedy", json={"sheet": sheet, "at": "12 from nose"}).json()[
        "remedies"
    ]
    right = next(iter(found.values()))
    assert right["name"] == "rocker/12 from nose"
    moved = ask(planner, sheet=sheet, moved=[right["name"], right["value"]]).json()
    assert moved["stands"]
    # It is the nearest mark, a thirty-second of an inch: the one before it is no board yet.
    nearer = ask(planner, sheet=sheet, moved=[right["name"], right["value"] + 0.0254 / 32]).json()
    assert not nearer["stands"]


def test_working_out_again_stores_nothing_and_moves_the_numbers(planner):
    answer = send(planner, "/plan/1", thickness__thickest="2 5/8")
    assert 'thickest = "2 5/8"' in fields_of(answer.text)["sheet"]
    assert 'value="2 5/8"' in answer.text
    assert 'thickest = "2 1/2"' in stored(planner)


def test_a_step_without_script_moves_one_mark(planner):
    answer = send(planner, "/plan/1", "tail", make="outline/tail|-1")
    assert 'tail = "5 7/16" ' in fields_of(answer.text)["sheet"]


def test_the_board_is_saved_with_its_notes_and_the_words_of_the_version(planner, shop):
    answer = send(planner, "/plan/1/save", "tail", outline__tail="5 3/4", why="wider tail for small days")
    assert answer.headers["location"].endswith("said=board-saved")
    assert 'tail = "5 3/4"                 # width of the block at the tip' in stored(planner)
    with shop.reading() as session:
        assert session.get(BoardRevision, (1, 2)).why == "wider tail for small days"
    page = planner.get("/plan/1").text
    assert "wider tail for small days" in page
    back = send(planner, "/plan/1", back_to="1")
    assert 'tail = "5 1/2"' in fields_of(back.text)["sheet"]


def test_the_same_again_is_a_board_of_its_own(planner):
    answer = send(planner, "/plan/1/copy", "tail", outline__tail="6", copy_name="Groyne, wide")
    assert answer.headers["location"] == "/plan/2?said=board-copied"
    copy = planner.get("/boards/2/sheet.toml").text
    assert 'name = "Groyne, wide"' in copy
    assert "tail = 6" in copy
    assert 'tail = "5 1/2"' in stored(planner)


def test_the_sheet_as_typed_is_the_command_lines(planner):
    answer = send(planner, "/plan/1/sheet.toml", "whole", length="6'5\"")
    assert answer.headers["content-disposition"] == 'attachment; filename="Groyne.board.toml"'
    assert board_from_text(answer.text, "x").length == 77 * 0.0254


def test_a_sheet_from_a_file_takes_the_boards_place(planner):
    sheet = BOARD.read_bytes().replace(b"20 3/8", b"20 5/8")
    sent = {"file": ("a.toml", sheet)}
    answer = planner.send_form("/plan/1", "/plan/1/from-file", {"revision": "1"}, files=sent)
    assert answer.headers["location"] == "/plan/1?said=board-saved"
    bad = {"file": ("a.toml", b"length = 'long'")}
    refused = planner.send_form("/plan/1", "/plan/1/from-file", {"revision": "2"}, files=bad)
    assert refused.status_code == 422
    assert "is missing" in refused.text


def test_a_stale_change_is_shown_the_difference_and_overwrites_nothing(planner, shop):
    page = planner.get("/plan/1?at=tail").text
    with shop.writing(Actor("somebody else")) as work:
        change_board(work, 1, 1, BOARD.read_text().replace("20 3/8", "20 5/8"))
    answer = planner.send_form("/plan/1", "/plan/1/save", fields_of(page) | {"n:outline/tail": "5 3/4"})
    assert answer.status_code == 409
    assert 'tail = "5 3/4"' in fields_of(answer.text)["sheet"]
    assert re.search(r"<ins>.*5 3/4", answer.text)
    assert "20 5/8" in stored(planner)


def test_the_plan_that_is_downloaded_is_the_command_lines(planner):
    answer = send(planner, "/plan/1/papers/plan.json", blank="Q-6-8-2.75", slide="1/4")
    plan = plan_job(read_job(BOARD, STOCK, None), "Q-6-8-2.75", System.INCH)
    assert answer.content == json_bytes(plan.as_json())


def test_job_sheet_and_templates_are_downloaded_for_the_slide_in_hand(planner):
    sheet = send(planner, "/plan/1/papers/job-sheet.pdf", blank="Q-6-8-2.75", slide="2")
    assert "Groyne" in PdfReader(io.BytesIO(sheet.content)).pages[0].extract_text()
    templates = send(planner, "/plan/1/papers/templates.zip", blank="Q-6-8-2.75", slide="2")
    names = zipfile.ZipFile(io.BytesIO(templates.content)).namelist()
    assert {"templates/outline-letter.pdf", "templates/outline.svg", "templates/outline.dxf"} <= set(names)


def test_papers_that_cannot_be_are_refused_in_words(planner):
    answer = send(planner, "/plan/1/papers/plan.json", "whole", blank="Q-6-8-2.75", length="7'2\"")
    assert answer.status_code == 409
    assert "lies in none of these blanks" in answer.text
    answer = send(planner, "/plan/1/papers/plan.json", "whole", blank="Q-6-8-2.75", length="long")
    assert answer.status_code == 422
    assert fields_of(answer.text)["n:length"] == "long"
    assert planner.post("/plan/1/papers/passwd", data={}).status_code in (403, 422)


def test_a_name_is_never_read_as_html(planner):
    send(planner, "/plan/1/save", "whole", name=SCRIPT)
    page = planner.get("/plan/1").text
    assert "<script>alert" not in page
    assert 'onload="x' not in page.replace("&#34;", "'")


def test_millimetres_stand_everywhere_once_chosen(planner):
    planner.cookies.set("foamwright-lengths", "mm")
    page = planner.get("/plan/1").text
    assert fields_of(page)["n:outline/wide"] == "517.5"
    assert "305 mm from nose" in page
    assert "<sup>" not in page
    answer = ask(
        planner, sheet=BOARD.read_text(), at="12 from nose", moved=["outline/12 from nose", 0.310]
    ).json()
    assert '"12 from nose" = "310 mm"' in answer["sheet"]


def test_a_hand_moves_its_number_to_a_mark_and_within_its_limits(planner):
    sheet = BOARD.read_text()
    answer = ask(planner, sheet=sheet, moved=["outline/12 from tail", 0.3801], light=True).json()
    assert '"12 from tail" = "14 15/16"' in answer["sheet"]
    assert set(answer["parts"]) == {"stage", "slip"}
    far = ask(planner, sheet=sheet, moved=["outline/12 from tail", 99.0]).json()
    assert '"12 from tail" = 30' in far["sheet"]
    along = ask(planner, sheet=sheet, moved=["outline/wide_at", 0.9652]).json()
    assert 'wide_at = "centre"' in along["sheet"]


def test_a_place_that_is_no_station_becomes_one_with_its_first_number(planner):
    sheet = BOARD.read_text()
    free = ask(planner, sheet=sheet, at="30 in from tail").json()
    assert free["at"] == "30 from tail"
    assert "No station yet" in free["parts"]["slip"]
    pinned = ask(planner, sheet=sheet, at="30 from tail", moved=["outline/30 from tail", 0.512]).json()
    assert '"30 from tail" = "20 3/16"' in pinned["sheet"]
    gone = ask(planner, sheet=pinned["sheet"], made="outline/30 from tail|let go").json()
    assert gone["sheet"] == sheet


def test_what_changed_is_counted_since_the_version_that_was_chosen(planner):
    sheet = BOARD.read_text()
    assert "nothing changed" in ask(planner, sheet=sheet).json()["parts"]["strip"]
    wider = sheet.replace("20 3/8", "20 5/8")
    strip = ask(planner, sheet=wider, whole=True).json()["parts"]["strip"]
    assert re.search(r"<strong>\+0\.\d</strong> litres", strip)
    assert "minutes" in strip
    assert "EUR" in strip


def test_the_stock_is_ranked_by_money_or_by_work_with_one_sentence_each(planner):
    for by in ("cost", "work"):
        slip = ask(planner, view="blank", by=by).json()["parts"]["slip"]
        assert re.findall(r'data-blank="([^"]+)"', slip) == ["Q-6-8-2.75", "M-6-9"]
        assert len(re.findall(r'class="reason">\s*\S', slip)) == 2


def test_where_it_does_not_fit_the_place_and_the_amount_are_told(planner):
    thick = BOARD.read_text().replace('thickest = "2 1/2"', 'thickest = "2 11/16"')
    answer = ask(planner, sheet=thick, view="blank", blank="Q-6-8-2.75", slide=0.03).json()
    told = unescape(re.sub(r"<[^>]+>", "", answer["parts"]["strip"]))
    # Two stations lack the same to a nanometre: the one nearer the tail is told, on any processor.
    assert "Here 3/32 in of foam is missing under the bottom at 37 in from nose. " in told


@pytest.mark.parametrize("sheet", ["x = [", "length = 1\noutline = 3", "rails = 1\n[bottom]\nnose = 2"])
@pytest.mark.parametrize("view", ["board", "blank", "off", "strokes", "papers"])
def test_a_sheet_that_is_none_is_no_fault(planner, sheet, view):
    answer = ask(planner, sheet=sheet, view=view, blank="Q-6-8-2.75", slide=0.1, at="rails/0")
    assert answer.status_code == 200
    assert not answer.json()["stands"]


@pytest.mark.parametrize(
    "made",
    ["outline|1", "+outline", "+nothing/there", "-fins/box/3", "=nowhere", "|", "name|1", "version|99"],
)
def test_a_key_that_makes_nothing_leaves_the_sheet(planner, made):
    answer = ask(planner, sheet=BOARD.read_text(), made=made)
    assert answer.status_code in (200, 404)
    if answer.status_code == 200:
        assert answer.json()["sheet"] == BOARD.read_text()


@pytest.mark.parametrize(
    "change", [{"slide": 1e9}, {"slide": "NaN"}, {"sheet": "x" * 70_000}, {"more": 1}, {"blank": "b" * 300}]
)
def test_a_wish_that_cannot_be_is_refused(planner, change):
    assert ask(planner, **change).status_code == 422


def test_nobody_but_a_teacher_plans_and_no_other_site_sends_forms(shop, tablet, planner):
    stranger = tablet()
    assert stranger.get("/plan/1", follow_redirects=False).headers["location"].startswith("/pair")
    sent = stranger.post("/plan/1/live", json={"sheet": ""}, follow_redirects=False)
    assert sent.headers["location"].startswith("/pair")
    token = planner.headers.pop("x-foamwright-csrf")
    assert planner.post("/plan/1/live", json={"sheet": ""}).status_code == 403
    assert planner.post("/plan/1/save", data={"length": "7'"}).status_code == 403
    planner.headers["x-foamwright-csrf"] = token


def test_a_shop_without_stock_says_what_is_missing(sqlite_url, open_shop, visit):
    database = open_shop(sqlite_url)
    with database.writing(Actor("seed")) as work:
        add_board(work, BOARD.read_text())
    page = visit(create_app(Settings(database))).meet().get("/plan/1?view=blank")
    assert page.status_code == 200
    assert "There is no blank in the stock yet." in page.text


def test_the_scripts_are_small():
    found = statics.all_statics()
    scripts = {name: one for name, one in found.items() if name.endswith(".js")}
    assert sum(len(one.packed or one.plain) for one in scripts.values()) < 60_000
    own = ("work.js", "morph.js", "off.js", "surface.js")
    assert sum(len(scripts[name].plain) for name in own) < 60_000


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
    unsaved = send(planner, "/plan/1/job", "whole", blank="Q-6-8-2.75", job=str(job), length="6'5\"")
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
        sent = send(planner, f"/plan/1/{action}", blank="Q-6-8-2.75", slide=slide, job=str(job), view="blank")
        assert sent.status_code == 422
        # Above the slip, and beside the field, which keeps what was typed.
        plain = re.sub(r"<(?!/?strong).*?>", "", sent.text)
        assert plain.count(f"<strong>{why}</strong> Write one from") == 2
        assert fields_of(sent.text)["slide"] == slide
        assert re.search(r'<input id="slide"[^>]* aria-invalid="true"', sent.text)
    with shop.reading() as session:
        assert session.get(JobRow, job).plan is None


def test_a_slide_takes_the_comma_that_its_range_is_told_with(planner):
    planner.cookies.set("foamwright-lengths", "mm")
    german = {"accept-language": "de"}
    page = planner.get("/plan/1?view=blank&blank=Q-6-8-2.75&slide=250", headers=german).text
    assert "Schreiben Sie eine von 6,4 bis 95,2 mm." in page
    page = planner.get("/plan/1?view=blank&blank=Q-6-8-2.75&slide=31,5", headers=german).text
    assert fields_of(page)["slide"] == "31.5"
    assert 'id="told-slide"' not in page


def test_a_blank_that_is_not_in_the_stock_is_said_so(planner, job):
    told = "There is no blank “NOPE” in the stock"
    assert told in planner.get("/plan/1?view=blank&blank=NOPE&slide=1").text
    for action in ("job", "papers/plan.json"):
        sent = send(planner, f"/plan/1/{action}", blank="NOPE", job=str(job))
        assert sent.status_code == 422
        assert told in sent.text
        assert "none of these blanks" not in sent.text


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
    german = {"accept-language": "de"}
    pages = [planner.get(f"/plan/1?{one}", headers=german).text for one in ("at=nose", "view=blank")]
    told = " ".join(
        unescape(re.sub(r"<[^>]+>", "", one))
        for page in pages
        for one in re.findall(r'<p><span class="mark".*?</p>|<span class="reason">.*?</span>', page, re.S)
    )
    assert "Aufbiegung an der Nase sind mehr als" in told
    assert not re.search(r"\b(the|than|blank|rocker|board)\b", told), told
