"""Why a reading is questioned: kept in English as ever, shown in the visitor's language."""

from __future__ import annotations

import re
from html import unescape

import pytest
from bench_support import add_planned_job, demo_steps
from sqlalchemy import text as sql

from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, open_job

NUMBERS = iter(range(10_000))


def send(desk, job, value_m, what="thickness", written="80 mm"):
    """A thickness at the bench's first stop; what the shop answers to it."""
    wish = next(one for one in demo_steps()[1] if one.detail["asks"])
    asked = wish.detail["asks"][0]
    number = next(NUMBERS)
    reading = {
        "client_id": f"{number:032d}", "sequence": number, "stage": wish.stage, "station": asked["station"],
        "station_m": asked["station_m"], "what": what, "value_m": value_m, "written": written,
        "tablet_ms": 1_772_000_000_000,
    }  # fmt: skip
    (questioned,) = desk.post(f"/api/jobs/{job}/readings", json={"readings": [reading]}).json()["questioned"]
    return questioned["reason"]


def reasons_shown(desk, job, language):
    desk.cookies.set("foamwright-language", language)
    page = "".join(desk.get(f"/jobs/{job}{more}").text for more in ("", "/readings"))
    return [(lang, unescape(text)) for lang, text in re.findall(r'<span lang="(\w\w)">(.*?)</span>', page)]


def test_a_benchs_reason_is_shown_in_german(desk, database):
    job = add_planned_job(database, "Questioned")
    kept = send(desk, job, 0.9, "width")
    assert kept.startswith("Outside the blank: it was only ")
    had = re.search(r"only (.*?) there", kept)[1].replace(".", ",")
    german = f"Außerhalb des Rohlings: er hatte dort nur {had}. Station und Maßband noch einmal ansehen."
    # With the question, and in the list of all readings.
    assert reasons_shown(desk, job, "de") == [("de", german)] * 2
    assert reasons_shown(desk, job, "en") == [("en", kept)] * 2


@pytest.mark.parametrize(
    ("what", "value_m", "kept", "german"),
    [
        (
            "width", 1.2, "A width of 1200.0 mm is beyond any board. Read the tape again.",
            "Eine Breite von 1200,0 mm hat kein Brett. Das Maßband noch einmal ablesen.",
        ),
        (
            "rocker", 0.5, "A rocker of 500.0 mm is beyond any board. Read the tape again.",
            "Eine Aufbiegung von 500,0 mm hat kein Brett. Das Maßband noch einmal ablesen.",
        ),
    ],
)  # fmt: skip
def test_a_reason_of_a_job_without_a_plan_is_shown_in_german(desk, database, what, value_m, kept, german):
    with database.writing(Actor("teacher")) as work:
        job = open_job(work, JobWish("No plan")).id
    assert send(desk, job, value_m, what) == kept
    assert reasons_shown(desk, job, "de") == [("de", german)] * 2


def test_what_is_kept_is_plain_english_text(desk, database):
    """The database, the export and the answers to programs are as they were."""
    job = add_planned_job(database, "Kept")
    told = send(desk, job, 0.2)
    with database.reading() as session:
        assert session.execute(sql("SELECT reason FROM readings")).scalar() == told
    desk.cookies.set("foamwright-language", "de")
    (reading,) = desk.get(f"/api/jobs/{job}/readings").json()["readings"]
    assert reading["reason"] == told


def test_a_reason_that_nobody_knows_any_more_is_named_english(desk, database):
    job = add_planned_job(database, "Old")
    send(desk, job, 0.2)
    with database.writing(Actor("teacher")) as work:
        work.session.execute(sql("UPDATE readings SET reason = 'Worded <b>otherwise</b> once.'"))
    assert reasons_shown(desk, job, "de") == [("en", "Worded <b>otherwise</b> once.")] * 2


def test_a_persons_own_reason_stands_as_it_was_written(desk, database):
    job = add_planned_job(database, "Aside")
    send(desk, job, 0.2)
    page = f"/jobs/{job}"
    desk.send_form(page, f"{page}/readings/1", {"state": "set aside", "reason": "The tape slipped by 1.5."})
    desk.cookies.set("foamwright-language", "de")
    assert ": The tape slipped by 1.5." in desk.get(f"{page}/readings").text
