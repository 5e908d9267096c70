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
    steps = desk.get(f"/api/jobs/{job}/steps").json()["steps"]
    assert len(re.findall(r'<section class="step" data-step=', text)) == len(steps)
    assert len(re.findall(r"data-ask=", text)) == sum(len(step["detail"]["asks"]) for step in steps)
    assert "by calipers" in text


def test_millimetres_and_german(desk, job):
    desk.cookies.set("foamwright-lengths", "mm")
    desk.cookies.set("foamwright-language", "de")
    text = desk.get(f"/jobs/{job}/bench").text
    assert 'data-key="."' in text
    assert "1/16" not in text
    assert re.search(r"1 Hub ab \d+ mm", text)
    assert "Aufbiegung, zur Nase hinaus" in text
    assert "Putzhobel" in text
    assert re.search(r'class="ask-want">\d+,\d<', text)
    assert not re.search(r'class="ask-want">\d+\.', text)
    for english in ("Strokes", "Bottom up", "calipers", "Why", "respirator", "trimming plane"):
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


def test_the_worker_may_keep_pages(desk):
    answer = desk.get("/bench-worker.js")
    assert answer.headers["service-worker-allowed"] == "/"
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
    assert "1 stroke from" in desk.get(page).text


def tell(desk, job, asks, **more):
    """Tell the shop these readings: (stage, ask, value in metres)."""
    sent = []
    for stage, ask, value_m in asks:
        told = {key: ask[key] for key in ("what", "tool", "station", "station_m")}
        told |= {"client_id": f"{len(sent):032d}", "sequence": len(sent), "stage": stage, "value_m": value_m}
        sent.append(told | {"tablet_ms": 1_772_000_000_000 + 60_000 * len(sent)} | more)
    answer = desk.post(f"/api/jobs/{job}/readings", json={"readings": sent})
    assert answer.status_code == 200
    return answer.json()


def asks_of(desk, job, count):
    steps = desk.get(f"/api/jobs/{job}/steps").json()["steps"][:count]
    return [(step["stage"], ask, ask["expect_m"]) for step in steps for ask in step["detail"]["asks"]]


def said_at(desk, job):
    """What the shop's advice says at each step, counted from 1."""
    text = desk.get(f"/jobs/{job}/bench/advice").text
    parts = re.findall(r'<div data-steps="([\d ]+)" hidden>(.*?)</div>', text, re.S)
    words = [" ".join(html.unescape(re.sub("<[^>]*>", " ", part)).split()) for _, part in parts]
    return {
        int(step) + 1: said for (steps, _), said in zip(parts, words, strict=True) for step in steps.split()
    }


def test_an_outline_read_as_planned_is_done_and_nothing_empty_is_said_of_it(desk, job):
    tell(desk, job, asks_of(desk, job, 1))
    said = said_at(desk, job)
    assert 1 not in said
    assert all(len(words) > len("What the shop makes of it ") for words in said.values())


def test_what_is_still_to_be_read_is_what_the_step_asks_for(desk, job):
    asks = asks_of(desk, job, 1)
    tell(desk, job, asks[:2])
    (said,) = said_at(desk, job).items()
    assert said[0] == 1
    assert said[1].endswith("Outline. Measure next: centre, 12 in from the nose.")


def test_advice_about_the_rocker_stands_at_the_rockers_steps_alone(desk, job):
    tell(desk, job, asks_of(desk, job, 7))
    steps = desk.get(f"/api/jobs/{job}/steps").json()["steps"]
    rocker = {step["number"] for step in steps if step["stage"] == "rocker"}
    said = said_at(desk, job)
    assert said
    assert set(said) <= rocker


def begun(desk, job):
    data = page_data(desk.get(f"/jobs/{job}/bench").text)
    return data["begin"], data["begun"]


def test_another_tablet_begins_with_the_first_reading_that_nobody_took(desk, job):
    assert begun(desk, job) == (0, {"ask": 0, "phase": "do", "told": {}, "hold": None})
    asks = asks_of(desk, job, 1)
    tell(desk, job, [asks[0], asks[2]])
    step, begin = begun(desk, job)
    assert (step, begin["ask"], begin["phase"]) == (0, 1, "read")
    assert begin["told"]["0/2"] == {"id": f"{1:032d}", "means": "as-planned", "what": "width"}


def test_a_step_whose_readings_say_stop_is_held_on_another_tablet_too(desk, job):
    asks = asks_of(desk, job, 1)
    stage, ask, value_m = asks[3]
    tell(desk, job, [*asks[:3], (stage, ask, value_m - 0.01), *asks[4:]])
    step, begin = begun(desk, job)
    assert (step, begin["ask"], begin["hold"]) == (0, 8, "step")
    assert begin["told"]["0/3"]["means"] == "too-deep"


def test_a_stop_at_a_tip_is_done_when_its_tablet_says_so(desk, job):
    for number in (1, 2):
        assert desk.put(f"/api/jobs/{job}/steps/{number}", json={"state": "done"}).status_code == 200
    tell(desk, job, asks_of(desk, job, 3)[-1:])
    step, begin = begun(desk, job)
    assert (step, begin["ask"], begin["phase"]) == (2, 0, "read")
    for number in range(3, 31):
        desk.put(f"/api/jobs/{job}/steps/{number}", json={"state": "done"})
    assert begun(desk, job)[0] == 30
