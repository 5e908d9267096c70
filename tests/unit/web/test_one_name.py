"""One thing has one name on every page, in the reader's language: stages, stations, planes, people."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from bench_support import add_planned_job
from shop_fixtures import EXAMPLES

from foamwright.blank.sheet import stock_from_text
from foamwright.findings import said
from foamwright.jobs.bench_steps_advice import advise_at_bench
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, open_job, set_stage
from foamwright.shop.kinds import JobState
from foamwright.shop.stock import CountRule, take_in
from foamwright.shop.tables import JobRow
from foamwright.shop.told import told
from foamwright.units import System, Unit
from foamwright.web.app import create_app
from foamwright.web.bench import advice as bench_advice
from foamwright.web.bench.figures import sayer_of
from foamwright.web.catalogue import catalogue_of, said_in
from foamwright.web.planning.places import place_words
from foamwright.web.rendering import Reader
from foamwright.web.settings import Settings

BOARD = (EXAMPLES / "groyne-6-4.board.toml").read_text()
STOCK = (EXAMPLES / "two-yards.stock.toml").read_text()
GERMAN = Reader(catalogue_of("de"), System.MM)


@pytest.fixture
def shop(sqlite_url, open_shop):
    database = open_shop(sqlite_url)
    with database.writing(Actor("host")) as work:
        board = add_board(work, BOARD)
        take_in(work, stock_from_text(STOCK, "s"), "Yard", Unit.INCH, CountRule.SET)
        open_job(work, JobWish("First", board_id=board.id))
    return database


@pytest.fixture
def german(shop, visit):
    visitor = visit(create_app(Settings(shop))).meet()
    visitor.cookies.set("foamwright-language", "de")
    return visitor


def words_of(page):
    return " ".join(unescape(re.sub(r"<script.*?</script>|<[^>]+>", " ", page, flags=re.S)).split())


def refusal_of(page):
    return words_of(re.search(r'<div class="refused" role="alert">.*?</div>', page, re.S)[0])


@pytest.mark.parametrize(
    ("stage", "words"), [("outline", "Umriss"), ("rocker", "Aufbiegung"), ("tip", "tip"), ("", "")]
)
def test_the_list_of_jobs_names_a_stage_as_the_job_does(german, shop, stage, words):
    with shop.writing(Actor("host")) as work:
        set_stage(work, 1, stage, JobState.STARTED)
    row = re.search(r"<td>begonnen</td>\s*<td>(.*?)</td>", german.get("/jobs").text)
    assert row[1] == words
    assert f"begonnen{' · ' if words else ''}{words}" in german.get("/jobs/1").text


def test_what_was_done_at_the_shops_machine_is_told_so(german):
    german.send_form("/jobs/1", "/jobs/1/notes", {"words": "Nase nachmessen"})
    page = german.get("/jobs/1/history").text + german.get("/jobs/1/details").text
    assert "Auftrag angelegt Rechner der Werkstatt" in words_of(page)
    assert re.search(r"Rechner der Werkstatt, [^<]*</span> Nase nachmessen", page)
    assert ">host" not in page


def test_strokes_and_planes_have_the_bench_s_words_in_a_plan(german):
    text = words_of(german.get("/plan/1?view=strokes").text)
    assert re.search(r"\d+ Hübe mit dem Hobel \(Putzhobel\)", text)
    assert not re.search(r"Strich|Gänge|plane\b", text)


def test_a_finding_names_a_plane_as_the_bench_does():
    text = said("run-hollow", "The {plane} leaves {left}.", plane="jack plane", left="10")
    assert "(Langhobel)" in said_in("de", text)
    own = said("run-hollow", "The {plane} leaves {left}.", plane="Grandfather's 2.5", left="10")
    assert "(Grandfather's 2.5)" in said_in("de", own)


def test_a_blank_s_numbers_stand_at_places_in_words(german):
    text = words_of(german.get("/stock/1").text)
    assert "Aufbiegung Heckspitze" in text
    assert "Aufbiegung 12 in vom Heck" in text
    assert not re.search(r"Rocker|from tail|\btail\b|\bnose\b", text)
    german.cookies.set("foamwright-lengths", "mm")
    assert "Aufbiegung 305 mm vom Heck" in words_of(german.get("/stock/1").text)


@pytest.mark.parametrize(("inches", "words"), [(6, "152 mm"), (12, "305 mm"), (18, "457 mm")])
def test_bench_and_plan_round_a_mark_alike(inches, words):
    x, length = inches * 0.0254, 1.9
    assert place_words(GERMAN, x, length) == f"{words} vom Heck"
    assert sayer_of(GERMAN, 16).station(f"{inches} from tail", x, length) == f"{words} vom Heck"


@pytest.mark.parametrize(
    ("name", "x", "words"),
    [
        ("12 from nose", 1.948, "48 mm über die Nase hinaus"),
        ("12 from tail", -0.048, "48 mm über das Heck hinaus"),
        ("12 from nose", 1.9 + 1e-9, "0 mm von der Nase"),
    ],
)
def test_a_station_past_the_tip_is_said_in_words(name, x, words):
    assert sayer_of(GERMAN, 16).station(name, x, 1.9) == words


def test_advice_names_the_marks_that_the_bench_asks_at_in_whatever_unit_it_is_read(desk, database):
    """Planned in inches: who reads millimetres stands before the same marks."""
    job = add_planned_job(database, "First")
    step = desk.get(f"/api/jobs/{job}/steps").json()["steps"][0]
    first = step["detail"]["asks"][0]
    sent = {key: first[key] for key in ("what", "tool", "station", "station_m")}
    sent |= {"client_id": "0" * 32, "sequence": 0, "stage": step["stage"], "value_m": first["expect_m"]}
    desk.post(f"/api/jobs/{job}/readings", json={"readings": [{**sent, "tablet_ms": 1_772_000_000_000}]})
    desk.cookies.set("foamwright-lengths", "mm")
    asks = re.findall(r'data-ask="([^"]*)"', desk.get(f"/jobs/{job}/bench").text)
    marks = {json.loads(unescape(one))["said"] for one in asks}
    advice = words_of(desk.get(f"/jobs/{job}/bench/advice").text)
    places = re.search(r"Measure next: (.*?)\.", advice)[1].split(", ")
    assert len(places) == 3
    assert set(places) <= marks
    assert "305 mm from the tail" in marks
    with database.reading() as session:
        row = session.get(JobRow, job)
        in_mm, in_inches = (advise_at_bench(session, row, system) for system in (System.MM, System.INCH))
    assert in_mm.measure == in_inches.measure


def test_advice_calls_the_middle_by_its_name():
    assert bench_advice._place(0.95, sayer_of(GERMAN, 16), 1.9) == "Mitte"


def test_a_refusal_on_a_page_names_no_field_of_a_program(german):
    old = {"revision": "0", "title": "Second", "rider_id": "", "board_id": "", "note": ""}
    stale = refusal_of(german.send_form("/jobs/1", "/jobs/1", old).text)
    assert "revision" not in stale
    assert "Noch nicht gespeichert." in stale
    missing = german.get("/jobs/999").text
    assert refusal_of(missing).startswith("Es gibt keinen Auftrag Nummer 999.")
    far = german.get("/jobs/99999999999").text
    assert not re.search(r"\bnumber\b", refusal_of(far))


def test_a_refusal_names_a_place_in_words_where_the_page_has_some():
    assert [GERMAN.place(one) for one in ("blank_id", "revision", "--database", "id")] == [
        "Rohling", "", "", "",
    ]  # fmt: skip
    for sheet in ("groyne.toml, [outline] nose", "Zeile 3", "list.csv"):
        assert GERMAN.place(sheet) == sheet


def test_the_interface_for_programs_keeps_the_names_of_fields(german):
    assert german.get("/api/jobs/999").json()["problems"][0]["where"] == "id"


def test_who_changed_a_board_is_said_in_words():
    stale = told("revision", "stale-board", name="Groyne", who="host", current="2", sent="1")
    assert "von der Werkstatt geändert" in GERMAN.problem(stale).what


@pytest.mark.parametrize(
    ("page", "action", "fields", "heading"),
    [
        ("/pair", "/pair", {"code": "000000"}, "Dieses Gerät ist noch nicht verbunden."),
        ("/access", "/access/codes", {"role": "bench", "label": "T", "job_id": ""}, "Das ging nicht."),
        ("/jobs", "/jobs", {"title": ""}, "Noch nicht gespeichert."),
    ],
)
def test_what_heads_a_refusal_is_true_there(german, page, action, fields, heading):
    answer = german.send_form(page, action, fields)
    assert refusal_of(answer.text).startswith(f"× {heading}")


def test_a_paper_that_cannot_be_made_is_not_headed_as_unsaved(german):
    answer = german.get("/jobs/1/job-sheet.pdf")
    assert answer.status_code == 409
    assert refusal_of(answer.text).startswith("× Das ging nicht.")
    assert "gespeichert" not in refusal_of(answer.text)


def test_a_plan_that_cannot_be_given_is_not_headed_as_unsaved(german):
    answer = german.send_form("/plan/1", "/plan/1/job", {"job": "99", "blank": "nothing like it"})
    assert refusal_of(answer.text).startswith("× Das ging nicht. Was Sie geschrieben haben, ist noch da.")


@pytest.mark.parametrize(("path", "limit"), [("/people", "1 MB"), ("/stock/list", "5 MB")])
@pytest.mark.parametrize(("language", "words"), [("en", "larger than {}"), ("de", "größer als {}")])
def test_what_is_too_large_is_told_with_the_limit(german, path, limit, language, words):
    german.cookies.set("foamwright-language", language)
    body = b"x" * 6_000_000
    for content in (body, iter([body[:3_000_000], body[3_000_000:]])):
        headers = {"accept": "text/html", "content-type": "application/x-www-form-urlencoded"}
        answer = german.post(path, content=content, headers=headers)
        assert answer.status_code == 413
        assert words.format(limit) in answer.text
