"""The pages of orders, prices, supplies and courses: forms done, refused in words, nothing typed lost."""

from __future__ import annotations

import html
import re
from io import BytesIO

import pypdf
import pytest
from bench_support import add_planned_job
from order_support import open_trade, take

from foamwright.shop.plans import steps_of
from foamwright.shop.price_list import EXAMPLE
from foamwright.shop.tables import JobRow


@pytest.fixture
def trade(database):
    open_trade(database)
    return database


def order_of(desk, **fields):
    typed = {
        "customer": "Ada Reef",
        "reach": "ada@reef.example",
        "title": "Groyne",
        "board": "Groyne",
        "kind": "short board",
        **fields,
    }
    return desk.send_form("/orders/new", "/orders/new", typed)


def words(answer):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text)))


def test_from_a_person_to_a_quote_in_two_forms(trade, desk):
    taken = order_of(desk, **{"extra-tint": "1", "due_on": "2026-04-01"})
    assert (taken.status_code, taken.headers["location"]) == (303, "/orders/1?said=order-taken")
    given = desk.send_form("/orders/1", "/orders/1/bill", {"kind": "quote"})
    pdf = desk.get(given.headers["location"])
    text = pypdf.PdfReader(BytesIO(pdf.content)).pages[0].extract_text()
    assert "Quote Q-00001" in text
    assert "750.00 EUR" in text
    assert pdf.headers["content-disposition"] == 'attachment; filename="Q-00001.pdf"'
    assert "quoted" in words(desk.get("/orders/1"))


def test_what_cannot_be_is_told_at_its_field_and_nothing_is_lost(trade, desk):
    answer = order_of(desk, deposit="9000", due_on="2026-01-01", colour="sea green")
    assert answer.status_code == 422
    told = words(answer)
    assert "A deposit of 9000.00 EUR is more than the price, which is 690.00 EUR." in told
    assert "2026-01-01 has gone by; today is 2026-03-02." in told
    assert 'value="sea green"' in answer.text
    assert words(order_of(desk, board="Nobody's")).count("There is no board called “Nobody's”") == 1
    assert "Waiting" not in words(desk.get("/orders"))


def test_a_blank_promised_twice_is_told_with_who_has_it(trade, desk):
    for _ in range(2):
        order_of(desk, blank="M-6-9")
    desk.send_form("/orders/1", "/orders/1/state", {"revision": "1", "state": "agreed"})
    refused = desk.send_form("/orders/2", "/orders/2/state", {"revision": "1", "state": "agreed"})
    assert refused.status_code == 409
    assert "Every blank M-6-9 on the rack is promised: to order 1 (Groyne)." in words(refused)


def test_a_hole_in_the_prices_is_told_and_the_text_stays(trade, desk):
    holed = EXAMPLE.replace('from = "6\'6\\""', 'from = "6\'8\\""') + "# mine\n"
    answer = desk.send_form("/prices", "/prices", {"revision": "1", "sheet": holed})
    assert answer.status_code == 422
    assert "A short board from 6'6\" to 6'8\" has no price." in words(answer)
    assert "# mine" in answer.text


def test_the_pages_speak_german(trade, desk):
    take(trade, due_on="2026-03-20")
    desk.cookies.set("foamwright-language", "de")
    assert "Bestellungen" in words(desk.get("/orders"))
    assert "750,00 EUR" in words(desk.get("/orders/1"))
    assert "Eine Steuer von 190 % ist mehr" in words(
        desk.send_form("/prices", "/prices", {"revision": "1", "sheet": EXAMPLE.replace("19 %", "190 %")})
    )


def test_deleting_one_who_waits_is_refused(trade, desk):
    take(trade)
    refused = desk.send_form("/people/1/data", "/people/1/data", {"name": "Ada Reef"})
    assert refused.status_code == 409
    assert "Ada Reef still waits for 1 of ours: 1 (Groyne)." in words(refused)


def test_a_bench_reads_the_brief_before_its_first_step(trade, desk):
    job = add_planned_job(trade, "Lio's board")
    desk.send_form("/courses", "/courses", {"title": "December"})
    pupil = {"customer": "Lio Sand", "job_id": str(job), "age_group": "teen"}
    desk.send_form("/courses/1", "/courses/1/pupils", pupil)
    assert desk.get(f"/jobs/{job}/bench", follow_redirects=False).headers["location"] == f"/jobs/{job}/brief"
    step = {"state": "started"}
    assert desk.put(f"/api/jobs/{job}/steps/1", json=step).status_code == 409
    desk.send_form(f"/jobs/{job}/brief", f"/jobs/{job}/brief", {"signed_as": "Lio Sand"})
    assert desk.put(f"/api/jobs/{job}/steps/1", json=step).status_code == 200
    wall = words(desk.get("/courses/1/wall"))
    assert "Lio Sand Outline" in wall
    for paper in ("report", "certificate"):
        reader = pypdf.PdfReader(BytesIO(desk.get(f"/pupils/1/{paper}.pdf").content))
        assert "Lio Sand" in reader.pages[0].extract_text()
        assert len(reader.pages) == 1


def test_a_report_has_the_board_as_planned_and_as_finished(trade, desk):
    job = add_planned_job(trade, "Lio's board")
    desk.send_form("/courses", "/courses", {"title": "December"})
    desk.send_form("/courses/1", "/courses/1/pupils", {"customer": "Lio Sand", "job_id": str(job)})
    desk.send_form(f"/jobs/{job}/brief", f"/jobs/{job}/brief", {"signed_as": "Lio Sand"})
    with trade.reading() as session:
        asks = [(s.stage, a) for s in steps_of(session, session.get(JobRow, job)) for a in s.detail["asks"]]
    stage, centre = next(
        (s, a) for s, a in asks if (s, a["what"], a["station"]) == ("finished", "thickness", "centre")
    )
    sent = {
        "client_id": "tablet-000000000001", "sequence": 1, "stage": stage, "station": "centre",
        "station_m": centre["station_m"], "what": "thickness", "value_m": centre["expect_m"] + 0.0254 / 32,
        "written": "2 9/16 in", "tool": "caliper", "tablet_ms": 1,
    }  # fmt: skip
    assert desk.post(f"/api/jobs/{job}/readings", json={"readings": [sent]}).json()["stored"]
    page = pypdf.PdfReader(BytesIO(desk.get("/pupils/1/report.pdf").content)).pages[0].extract_text()
    rows = [line for line in page.splitlines() if line.startswith(("Thickness", "Rocker", "Width"))]
    assert len(rows) >= 10
    assert page.count("not read") == len(rows) - 1
    assert (page.splitlines().count("within"), page.splitlines().count("beyond")) == (1, 0)


def test_the_levels_of_a_study_become_what_is_kept(trade, desk):
    study = ("stocking.json", b'{"keep": [{"blank": "M-6-9"}, {"blank": "nowhere"}]}', "application/json")
    done = desk.send_form("/supplies", "/supplies/levels", {"each": "3"}, files={"file": study})
    assert done.status_code == 303
    assert "M-6-9 2 blank 1 0 3" in words(desk.get("/supplies"))
    wrong = desk.send_form(
        "/supplies", "/supplies/levels", {"each": "3"}, files={"file": ("x.json", b"[]", "text/plain")}
    )
    assert "This is not the answer of a stocking study" in words(wrong)


def test_numbers_by_the_interface(trade, desk):
    made = desk.post(
        "/api/orders",
        json={"person_id": take(trade).person_id, "title": "x", "lines": [{"what": "y", "each": 500}]},
    )
    assert (made.status_code, made.json()["money"]["total"]) == (201, 500)
    number = made.json()["id"]
    assert desk.post(f"/api/orders/{number}/bills", json={"kind": "invoice"}).json()["name"] == "I-00001"
    assert [one["number"] for one in desk.get(f"/api/orders/{number}/bills").json()] == [1]
    bad = desk.post("/api/orders", json={"person_id": 1, "title": "x", "due_on": "2020-01-01", "deposit": 9})
    assert {problem["where"] for problem in bad.json()["problems"]} == {"due_on", "deposit"}
