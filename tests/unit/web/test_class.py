"""The class page: stage, last reading, what is left, what wants the teacher; a note to a bench."""

from __future__ import annotations

import re

import pytest
from bench_support import add_planned_job, demo_steps

from foamwright.units import INCH

NUMBERS = iter(range(10_000))


@pytest.fixture
def jobs(database):
    return [add_planned_job(database, title) for title in ("Groyne", "Pool <i>fish</i>")]


def send(desk, job, step, ask, off_m):
    """A reading of one of the demo's steps, so far off what is expected."""
    wish = demo_steps()[1][step - 1]
    asked = wish.detail["asks"][ask]
    number = next(NUMBERS)
    reading = {
        "client_id": f"{number:032d}", "sequence": number, "stage": wish.stage, "station": asked["station"],
        "station_m": asked["station_m"], "what": asked["what"], "value_m": asked["expect_m"] + off_m,
        "tablet_ms": 1_772_000_000_000,
    }  # fmt: skip
    answer = desk.post(f"/api/jobs/{job}/readings", json={"readings": [reading]})
    assert answer.json()["stored"] == [reading["client_id"]]


def last_of(stage, end):
    """The number of the last step of a run that reads something, and so stands at its line."""
    steps = demo_steps()[1]
    return max(
        n
        for n, step in enumerate(steps, start=1)
        if (step.stage, step.detail["end"]) == (stage, end) and step.detail["asks"]
    )


def check_of(stage):
    """The number of the step that reads a whole face, five places or more."""
    steps = demo_steps()[1]
    return next(
        n for n, step in enumerate(steps, start=1) if step.stage == stage and len(step.detail["asks"]) > 4
    )


def test_a_quiet_class(desk, jobs):
    text = desk.get("/class").text
    assert "✓ in order" in text
    assert "no reading yet" in text
    assert f"0 of {len(demo_steps()[1])} steps done" in text
    assert "<i>fish" not in text


def test_no_job_is_no_fault(desk, database):
    assert "No job is open." in desk.get("/class").text


def test_a_reading_past_its_line_is_an_alarm_until_it_is_read_anew(desk, jobs):
    (asked,) = demo_steps()[1][last_of("rocker", "nose") - 1].detail["asks"]
    send(desk, jobs[0], last_of("rocker", "nose"), 0, asked["limit_m"] - asked["expect_m"] - 0.002)
    text = desk.get("/class/rows").text
    assert "3/32 in too deep on the bottom, nose tip" in text
    assert 'data-wanting="1"' in text
    send(desk, jobs[0], last_of("rocker", "nose"), 0, 0.0)
    assert 'data-wanting="0"' in desk.get("/class/rows").text


def test_an_outline_too_narrow_is_told_with_one_figure_that_of_the_figures_shown(desk, jobs):
    limit = demo_steps()[1][0].detail["asks"][1]["limit_m"]
    assert 14 * 32 + 29 < limit / INCH * 32 < 14 * 32 + 30, (
        "should read 14 15/16, a little above the exact one"
    )
    send(desk, jobs[0], 1, 1, 14.5 * INCH - limit)
    rows, advice = desk.get("/class/rows").text, desk.get(f"/jobs/{jobs[0]}/bench/advice").text
    assert "7/16 in too narrow, 12 in from the tail" in re.sub(r"<[^>]*>", "", rows)
    assert "7/16 in too narrow, 12 in from the tail" in advice
    assert "too deep" not in rows + advice


def test_what_was_read_is_not_taken_for_what_is_left(desk, jobs):
    send(desk, jobs[0], 1, 1, 0.05)
    row = " ".join(re.sub(r"<[^>]*>", " ", desk.get("/class/rows").text.partition("Pool")[0]).split())
    assert "in read: more left than planned" in row
    assert "not down to its line yet" in row
    assert "in order" not in row


def test_an_earlier_stages_line_does_not_bind_a_later_stage(desk, jobs):
    send(desk, jobs[0], last_of("rocker", "nose"), 0, 0.0)
    send(desk, jobs[0], last_of("foil", "nose"), 0, 0.0)
    text = desk.get("/class/rows").text
    assert 'data-wanting="0"' in text
    assert "at its line" in text


def test_more_left_than_planned_is_told_and_is_no_alarm(desk, jobs):
    send(desk, jobs[0], last_of("rocker", "nose"), 0, 0.004)
    text = desk.get("/class/rows").text
    assert 'data-means="behind"' in text or 'data-means="as-planned"' in text
    assert 'data-wanting="0"' in text


def test_a_questioned_reading_is_an_alarm(desk, jobs):
    send(desk, jobs[1], check_of("rocker"), 4, 0.03)
    text = desk.get("/class/rows").text
    assert "1 questioned reading" in text
    assert 'data-means="questioned"' in text


def settle(desk, job, state, reason, language="en"):
    desk.cookies.set("foamwright-language", language)
    fields = {"state": state, "reason": reason, "reading": "1"}
    return desk.send_form(f"/jobs/{job}", f"/jobs/{job}/readings/1", fields)


@pytest.mark.parametrize(("state", "reason"), [("accepted", ""), ("set aside", "tape read upside down")])
def test_a_teacher_settles_a_questioned_reading_on_the_jobs_page(desk, jobs, state, reason):
    send(desk, jobs[1], check_of("rocker"), 4, 0.03)
    page = desk.get(f"/jobs/{jobs[1]}").text
    assert f"/jobs/{jobs[1]}/readings/1" in page
    assert "1 questioned reading" in desk.get("/class/rows").text
    assert settle(desk, jobs[1], state, reason).status_code == 303
    assert "questioned reading" not in desk.get("/class/rows").text
    page = desk.get(f"/jobs/{jobs[1]}").text
    assert f"/jobs/{jobs[1]}/readings/1" not in page
    assert reason in desk.get(f"/jobs/{jobs[1]}/readings").text
    kept = desk.get(f"/api/jobs/{jobs[1]}/readings").json()["readings"]
    assert [(one["state"], one["reason"]) for one in kept] == [(state, reason)]


def test_setting_aside_wants_a_reason_in_german_too(desk, jobs):
    send(desk, jobs[1], check_of("rocker"), 4, 0.03)
    answer = settle(desk, jobs[1], "set aside", " ", "de")
    assert answer.status_code == 422
    assert 'id="reason-1-problems"' in answer.text
    assert "Beiseite legen" in answer.text
    assert "from tail" not in answer.text.replace('lang="en"', "")


def test_a_bench_settles_nothing(host, tablet, jobs):
    code = host.post("/api/pairing/codes", json={"role": "bench", "job_id": jobs[0], "label": "T"}).json()
    bench = tablet().meet()
    assert bench.post("/api/pairing", json={"code": code["code"]}).status_code == 200
    assert (
        bench.send_form(f"/jobs/{jobs[0]}", f"/jobs/{jobs[0]}/readings/1", {"state": "accepted"}).status_code
        == 403
    )


def test_a_station_far_off_the_board_is_refused(desk, jobs):
    asked = demo_steps()[1][0].detail["asks"][0]
    for off, status in ((0.09, 200), (0.12, 422)):
        body = {
            "client_id": f"{next(NUMBERS):032d}", "sequence": 1, "stage": "outline", "station": "x",
            "station_m": demo_steps()[1][0].detail["length_m"] + off, "what": "width",
            "value_m": asked["expect_m"], "tablet_ms": 1_772_000_000_000,
        }  # fmt: skip
        assert desk.post(f"/api/jobs/{jobs[0]}/readings", json={"readings": [body]}).status_code == status


def test_waiting_long_is_an_alarm(desk, jobs, clock):
    send(desk, jobs[0], 1, 0, 0.0)
    assert 'data-wanting="0"' in desk.get("/class/rows").text
    clock.pass_by(minutes=34)
    assert "nothing for 34 min" in desk.get("/class/rows").text


def test_done_steps_fill_the_strip(desk, jobs):
    for step in (1, 2, 3):
        assert desk.put(f"/api/jobs/{jobs[0]}/steps/{step}", json={"state": "done"}).status_code == 200
    text = desk.get("/class/rows").text
    assert f"3 of {len(demo_steps()[1])} steps done" in text
    assert text.count('class="made"') == 3


def test_a_note_to_a_bench_is_left_once(desk, jobs):
    fields = {"job_id": str(jobs[1]), "words": "Turn the plane at the nose."}
    assert desk.send_form("/class", "/class/notes", fields).status_code == 303
    notes = desk.get(f"/api/jobs/{jobs[1]}/notes").json()["notes"]
    assert [(one["words"], one["from_role"]) for one in notes] == [("Turn the plane at the nose.", "desk")]


def test_an_empty_note_is_refused_beside_the_field(desk, jobs):
    answer = desk.send_form("/class", "/class/notes", {"job_id": str(jobs[1]), "words": " "})
    assert answer.status_code == 422
    assert 'id="f-words-problems"' in answer.text
    assert f'value="{jobs[1]}" selected' in answer.text


def test_a_job_without_a_plan_says_once_that_it_is_open(desk):
    desk.post("/api/jobs", json={"title": "Bare"})
    row = desk.get("/class/rows").text.partition("Bare</h3>")[2].partition("</li>")[0]
    assert row.count(">open<") == 1
    assert "No plan yet: no steps" in row


def test_the_worst_comes_first(desk, jobs):
    def order():
        return re.findall(r"<h3>(.*?)</h3>", desk.get("/class/rows").text)

    first, second = order()
    send(desk, jobs[1], 1, 1, -0.01)
    assert order() == [second, first]
