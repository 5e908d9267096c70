"""The bench page's addresses, who may come in, how long it is kept, and its lessons in both languages."""

from __future__ import annotations

import html
import json
import re
import tomllib
from importlib import resources

import pytest
from bench_support import add_planned_job

from foamwright.blank.sheet import stock_from_text
from foamwright.cautions import STEPS
from foamwright.papers.job_howto import HOW, Step
from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, give_blank, open_job
from foamwright.shop.stock import CountRule, take_in
from foamwright.units import Unit, parse_length
from foamwright.web.bench.lessons import PARTS, lesson_of


@pytest.fixture
def job(database):
    return add_planned_job(database, "Groyne <b>for</b> Ines")


def page_data(text):
    return json.loads(re.search(r'id="page-data">(.*?)</script>', text, re.S)[1])


def test_the_bench_leads_to_the_present_plan_and_may_be_kept(desk, job):
    led = desk.get(f"/jobs/{job}/bench", follow_redirects=False)
    assert (led.status_code, led.headers["location"]) == (303, f"/jobs/{job}/bench/1")
    page = desk.get(led.headers["location"])
    assert page.status_code == 200
    assert page.headers["cache-control"].startswith("private, max-age=")
    assert "Cookie" in page.headers["vary"]
    assert "<b>for" not in page.text
    data = page_data(page.text)
    assert (data["job"], data["plan"], data["begin"], data["known"]) == (job, 1, 0, [])


def test_every_step_and_reading_stands_in_the_page(desk, job):
    text = desk.get(f"/jobs/{job}/bench").text
    assert len(re.findall(r'<section class="step" data-step=', text)) == 30
    assert len(re.findall(r"data-ask=", text)) == 83
    assert "3 strokes from 3 in" in text
    assert "2 1/32 in by calipers" in text


def test_millimetres_and_german(desk, job):
    desk.cookies.set("foamwright-lengths", "mm")
    desk.cookies.set("foamwright-language", "de")
    text = desk.get(f"/jobs/{job}/bench").text
    assert 'data-key="."' in text
    assert "1/16" not in text
    assert "3 Hübe ab 76 mm" in text
    assert "Aufbiegung, zur Nase hinaus" in text
    assert "Langhobel" in text
    assert re.search(r'class="ask-want">\d+,\d<', text)
    assert not re.search(r'class="ask-want">\d+\.', text)
    for english in ("Strokes", "Bottom up", "calipers", "Why", "respirator", "jack plane"):
        assert english not in re.sub(r"data-ask=\"[^\"]*\"|<script.*?</script>", "", text, flags=re.S)


@pytest.mark.parametrize("lengths", ["in", "mm"])
def test_what_is_asked_for_is_as_planned_and_differences_are_those_of_the_figures(desk, job, lengths):
    desk.cookies.set("foamwright-lengths", lengths)
    asks = re.findall(r'data-ask="([^"]*)"', desk.get(f"/jobs/{job}/bench").text)
    for ask in (json.loads(html.unescape(one)) for one in asks):
        want, limit = parse_length(ask["want"]), parse_length(ask["limit"])
        range_there = next(one for one in ask["ranges"] if one["upto"] is None or want <= one["upto"] + 1e-9)
        assert range_there["means"] == "as-planned", ask
        assert {one["off"] for one in ask["ranges"] if one["means"] == "too-deep"} == {limit}
        assert {one["off"] for one in ask["ranges"] if one["means"] == "behind"} == {want}


def test_a_job_without_a_plan_says_so(desk, database):
    with database.writing(Actor("teacher")) as work:
        number = open_job(work, JobWish("Bare")).id
    assert "no plan yet" in desk.get(f"/jobs/{number}/bench").text


def test_an_earlier_plans_address_leads_to_the_present_one(desk, job):
    led = desk.get(f"/jobs/{job}/bench/7", follow_redirects=False)
    assert (led.status_code, led.headers["location"]) == (303, f"/jobs/{job}/bench")


def test_a_bench_sees_its_own_job_only(host, tablet, database):
    mine, other = add_planned_job(database, "Mine"), add_planned_job(database, "Other")
    code = host.post("/api/pairing/codes", json={"role": "bench", "job_id": mine, "label": "Tablet"}).json()
    bench = tablet().meet()
    assert bench.get(f"/jobs/{mine}/bench", follow_redirects=False).headers["location"].startswith("/pair")
    assert bench.post("/api/pairing", json={"code": code["code"]}).status_code == 200
    assert bench.get(f"/jobs/{mine}/bench").status_code == 200
    assert bench.get(f"/jobs/{other}/bench").status_code == 403
    assert bench.get("/class").status_code == 403


def test_the_worker_may_keep_jobs_pages(desk):
    answer = desk.get("/bench-worker.js")
    assert answer.headers["service-worker-allowed"] == "/jobs/"
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"


def test_an_accepted_reading_is_known_to_the_page(desk, job):
    reading = {
        "client_id": "a" * 32, "sequence": 0, "stage": "outline", "station": "centre", "station_m": 0.9652,
        "what": "width", "value_m": 0.5, "tablet_ms": 1_772_000_000_000,
    }  # fmt: skip
    assert desk.post(f"/api/jobs/{job}/readings", json={"readings": [reading]}).status_code == 200
    known = page_data(desk.get(f"/jobs/{job}/bench").text)["known"]
    assert known == [{"what": "width", "station_m": 0.9652, "value_m": 0.5}]


def test_english_lessons_are_the_papers_own_words():
    for step in Step:
        stage = "finished" if step is Step.FINISH else step.value
        lesson = lesson_of(stage, "en", True)
        assert dict(lesson.parts) == {part: getattr(HOW[step], part) for part in PARTS}
        assert lesson.purpose == HOW[step].purpose


def test_the_german_lessons_are_complete():
    text = resources.files("foamwright.web.bench").joinpath("lessons.de.toml").read_text("utf-8")
    kept = tomllib.loads(text)
    assert set(kept) == {step.value for step in Step} | {"caution"}
    for step in Step:
        assert set(kept[step.value]) == {"purpose", *PARTS}
    assert set(kept["caution"]) == {one.code for one in STEPS} | {"dust", "polyurethane"}
    for step in Step:
        assert lesson_of(step.value.replace("finish", "finished"), "de", True).cautions


def test_the_shops_advice_follows_what_was_told(desk, job):
    assert desk.get(f"/jobs/{job}/bench/advice").text.strip() == ""
    steps = desk.get(f"/api/jobs/{job}/steps").json()["steps"]
    sent, at = [], 1_772_000_000_000
    for step in steps[:7]:
        for ask in step["detail"]["asks"]:
            at += 60_000
            told = {key: ask[key] for key in ("what", "tool", "station", "station_m")}
            told |= {"client_id": f"{len(sent):032d}", "sequence": len(sent), "stage": step["stage"]}
            sent.append(told | {"value_m": ask["expect_m"], "tablet_ms": at})
    assert desk.post(f"/api/jobs/{job}/readings", json={"readings": sent}).json()["questioned"] == []
    text = desk.get(f"/jobs/{job}/bench/advice").text
    assert "Rocker" in text
    assert "Measure next" in text


def test_a_teacher_makes_the_plan_from_the_jobs_own_sheets(
    desk, database, board_sheet_text, stock_sheet_text
):
    board = desk.post("/api/boards", json={"sheet": board_sheet_text}).json()["id"]
    numbers = stock_from_text(stock_sheet_text, "stock")
    with database.writing(Actor("teacher")) as work:
        take_in(work, numbers, "Yard", Unit.INCH, CountRule.SET)
        number = open_job(work, JobWish("Groyne", board_id=board)).id
    page = f"/jobs/{number}/bench"
    assert "First give the job a board and a blank." in desk.get(page).text
    with database.writing(Actor("teacher")) as work:
        give_blank(work, number, 1)
    revision = desk.get(f"/api/jobs/{number}").json()["revision"]
    answer = desk.send_form(page, page, {"revision": str(revision)})
    assert answer.status_code == 303
    assert "strokes from" in desk.get(page).text
