"""The interface for programs: names, one shape of errors, readings that are stored once."""

from __future__ import annotations

from typing import ClassVar

import pytest
from shop_fixtures import EXAMPLES

STOCK = (EXAMPLES / "two-yards.stock.toml").read_bytes()
# A sheet sent as a form loses its blank last lines.
BOARD = (EXAMPLES / "groyne-6-4.board.toml").read_text().rstrip("\n") + "\n"


@pytest.fixture
def job(desk):
    return desk.post("/api/jobs", json={"title": "First"}).json()["id"]


def reading(n, **changed):
    return {
        "client_id": f"tablet-a-{n:016x}", "sequence": n, "stage": "rocker", "station": "12 from nose",
        "station_m": 1.6, "what": "thickness", "value_m": 0.05, "written": "1 31/32 in", "tool": "caliper",
        "tablet_ms": 1_770_000_000_000 + n, **changed,
    }  # fmt: skip


def sent(desk, job, *readings):
    return desk.post(f"/api/jobs/{job}/readings", json={"readings": list(readings)})


def only_problem(answer):
    assert set(answer.json()) == {"problems"}
    (problem,) = answer.json()["problems"]
    assert set(problem) == {"where", "what", "remedy"}
    return problem


def test_who_am_i(desk):
    me = desk.get("/api/me").json()
    assert (me["role"], me["label"], me["job_id"], me["lengths"]) == ("desk", "host", None, "in")


def test_people_come_and_go(desk):
    made = desk.post("/api/people", json={"name": "Ada", "mass_kg": 72.5})
    assert made.status_code == 201
    person = made.json()
    changed = desk.put(f"/api/people/{person['id']}", json={"name": "Ada Brook", "revision": 1}).json()
    assert (changed["name"], changed["mass_kg"], changed["revision"]) == ("Ada Brook", None, 2)
    stale = desk.put(f"/api/people/{person['id']}", json={"name": "Ada Stone", "revision": 1})
    assert stale.status_code == 409
    assert only_problem(stale)["where"] == "revision"
    desk.put(f"/api/people/{person['id']}/shelf", json={"shelf": "archive"})
    assert desk.get("/api/people").json()["people"] == []
    assert len(desk.get("/api/people?shelf=archive").json()["people"]) == 1


@pytest.mark.parametrize(
    ("body", "where"),
    [
        ({}, "name"),
        ({"name": "Ada", "mass_kg": "heavy"}, "mass_kg"),
        ({"name": "Ada", "mass_kg": 9}, "mass_kg"),
        ({"name": "Ada", "nick": "A"}, "nick"),
        ({"name": "a\x00b"}, "name"),
        ({"name": "x" * 201}, "name"),
    ],
)
def test_what_cannot_stand_is_told_at_its_place(desk, body, where):
    answer = desk.post("/api/people", json=body)
    assert answer.status_code == 422
    assert only_problem(answer)["where"] == where


@pytest.mark.parametrize(
    "body", [b"{", b"\xff", b"[1", b'{"name": "\\ud800"}', b"null", b'{"name": "A", "mass_kg": NaN}']
)
def test_a_body_that_is_no_json_is_told(desk, body):
    answer = desk.post("/api/people", content=body, headers={"content-type": "application/json"})
    assert answer.status_code in (400, 422)
    assert answer.json()["problems"]


def test_a_stale_board_is_answered_with_the_other_text_and_the_difference(desk):
    board = desk.post("/api/boards", json={"sheet": BOARD}).json()
    theirs = BOARD.replace("nose = 4.75", "nose = 4.5")
    assert (
        desk.put(f"/api/boards/{board['id']}", json={"sheet": theirs, "revision": 1}).json()["revision"] == 2
    )
    answer = desk.put(
        "/api/boards/1", json={"sheet": BOARD.replace("nose = 4.75", "nose = 5"), "revision": 1}
    )
    assert answer.status_code == 409
    stale = answer.json()
    assert (stale["revision"], stale["sheet"]) == (2, theirs)
    assert "-nose = 4.5" in stale["difference"]
    assert desk.get("/api/boards/1/revisions/1").json()["sheet"] == BOARD


def test_a_bad_sheet_is_told_with_every_line(desk):
    bad = BOARD.replace('length = "6\'4\\""', 'length = "six"').replace("nose = 4.75", "nose = -1")
    answer = desk.post("/api/boards", json={"sheet": bad})
    assert answer.status_code == 422
    assert len(answer.json()["problems"]) >= 2


def test_a_list_is_taken_in_and_blanks_are_counted(desk):
    taken = desk.post("/api/stock/lists", files={"file": ("s.toml", STOCK)}, data={"counts": "set"})
    assert taken.json() == {"added": ["Q-6-8-2.75", "M-6-9"], "changed": [], "bad": []}
    blank = desk.get("/api/stock").json()["blanks"][0]
    counted = desk.put(f"/api/stock/{blank['id']}/count", json={"on_hand": 7, "why": "counted"}).json()
    assert counted["on_hand"] == 7
    assert "on_hand = 7" in desk.get("/api/stock/sheets?unit=mm").json()["sheets"]["EUR"]
    assert desk.put("/api/stock/1/count", json={"on_hand": -1}).status_code == 422


def test_bad_rows_are_told_or_left_out(desk):
    columns = "id,foam,section,length,width,thickness,rocker nose,rocker tail,price"
    rows = f"{columns}\nA,eps,square,2000,500,70,100,50,9\n"
    fields = {"unit": "mm", "bad_rows": "refuse"}
    refused = desk.post("/api/stock/lists", files={"file": ("l.csv", rows.encode())}, data=fields)
    assert refused.status_code == 422
    assert only_problem(refused)["where"] == "l.csv, row 2, foam"
    skipped = desk.post(
        "/api/stock/lists", files={"file": ("l.csv", rows.encode())}, data={**fields, "bad_rows": "skip"}
    )
    assert [row["number"] for row in skipped.json()["bad"]] == [2]


def test_a_job_with_its_blank(desk):
    desk.post("/api/stock/lists", files={"file": ("s.toml", STOCK)})
    board = desk.post("/api/boards", json={"sheet": BOARD}).json()
    job = desk.post("/api/jobs", json={"title": "First", "board_id": board["id"]}).json()
    assert job["board_sheet"] == BOARD
    got = desk.put(f"/api/jobs/{job['id']}/blank", json={"blank_id": 1}).json()
    assert got["blank_id"] == 1
    assert desk.get("/api/stock/1").json()["on_hand"] == 2
    assert desk.put(f"/api/jobs/{job['id']}/blank", json={"blank_id": 77}).status_code == 404
    stage = desk.put(f"/api/jobs/{job['id']}/stage", json={"stage": "rocker", "state": "started"}).json()
    assert (stage["stage"], stage["state"]) == ("rocker", "started")
    words = [h["what"] for h in desk.get(f"/api/jobs/{job['id']}/history").json()["history"]]
    assert words == ["job-stage", "job-blank", "blank-counted", "job-opened"]


class TestReadings:
    """Each stored once, questioned or not, whatever the tablet does."""

    def test_a_batch_sent_twice_is_stored_once(self, desk, job):
        batch = [reading(n) for n in range(5)]
        first, second = sent(desk, job, *batch), sent(desk, job, *batch)
        assert first.json() == second.json()
        assert first.json()["stored"] == [one["client_id"] for one in batch]
        kept = desk.get(f"/api/jobs/{job}/readings").json()["readings"]
        assert [one["sequence"] for one in kept] == [0, 1, 2, 3, 4]
        assert kept[0]["tablet_at"].startswith("2026-02-02T")
        assert len(desk.get(f"/api/jobs/{job}/readings?after={kept[2]['id']}").json()["readings"]) == 2

    def test_one_that_cannot_be_read_does_not_keep_the_others(self, desk, job):
        bad = [
            reading(1, value_m="deep"),
            "nonsense",
            reading(3, what="hue"),
            reading(4, client_id="x"),
            None,
        ]
        answer = sent(desk, job, reading(0), *bad, reading(6))
        assert answer.status_code == 200
        assert answer.json()["stored"] == [reading(0)["client_id"], reading(6)["client_id"]]
        assert [(one["place"], one["client_id"]) for one in answer.json()["refused"]] == [
            (1, reading(1)["client_id"]), (2, ""), (3, reading(3)["client_id"]), (4, "x"), (5, ""),
        ]  # fmt: skip
        assert answer.json()["refused"][0]["problems"][0]["where"] == "value_m"

    def test_foam_that_grows_is_questioned_and_kept(self, desk, job):
        answer = sent(
            desk, job, reading(0, value_m=0.050), reading(1, value_m=0.052), reading(2, value_m=0.060)
        )
        (questioned,) = answer.json()["questioned"]
        assert questioned["client_id"] == reading(2)["client_id"]
        assert "foam does not grow" in questioned["reason"]
        assert len(desk.get(f"/api/jobs/{job}/readings").json()["readings"]) == 3

    @pytest.mark.parametrize("wrong", [{"value_m": -3.0}, {"value_m": 1.6}, {"station_m": -0.2}])
    def test_what_nothing_measures_is_refused_in_our_words(self, desk, job, wrong):
        answer = sent(desk, job, reading(0, **wrong))
        assert answer.status_code == 422
        (problem,) = answer.json()["problems"]
        assert problem["where"] == f"readings.0.{next(iter(wrong))}"
        assert problem["what"].startswith(("Nothing on a board measures", "A station -0.2 m from the tail"))
        assert desk.get(f"/api/jobs/{job}/readings").json()["readings"] == []

    @pytest.mark.parametrize(("what", "value_m"), [("thickness", 0.4), ("rocker", 0.5), ("width", 1.2)])
    def test_what_no_board_has_is_questioned(self, desk, job, what, value_m):
        (questioned,) = sent(desk, job, reading(0, what=what, value_m=value_m)).json()["questioned"]
        assert "beyond any board" in questioned["reason"]

    def test_what_the_blank_never_had_is_questioned(self, desk, job, database):
        from shop_fixtures import TEACHER

        from foamwright.shop.plans import put_plan

        stage = '{"name": "blank", "x_m": [0, 2], "bottom_m": [0, 0], "deck_m": [0.06, 0.08]}'
        with database.writing(TEACHER) as work:
            put_plan(work, job, 1, f'{{"stages": [{stage}]}}', [])
        answer = sent(
            desk, job, reading(0, station_m=1.0, value_m=0.072), reading(1, station_m=1.5, value_m=0.079)
        )
        (questioned,) = answer.json()["questioned"]
        assert questioned == {
            "client_id": reading(1)["client_id"],
            "reason": "The blank was only 2 15/16 in thick there. Read the caliper and the station again.",
        }

    def test_settling(self, desk, job):
        sent(desk, job, reading(0, value_m=0.5))
        kept = desk.get(f"/api/jobs/{job}/readings").json()["readings"][0]
        path = f"/api/jobs/{job}/readings/{kept['id']}"
        assert desk.put(path, json={"state": "set aside", "reason": "slip"}).json()["state"] == "set aside"
        assert (
            desk.put(f"/api/jobs/{job + 1}/readings/{kept['id']}", json={"state": "accepted"}).status_code
            == 404
        )

    def test_a_full_disk_keeps_the_batch_on_the_tablet(self, desk, job, database, monkeypatch):
        if database.engine.dialect.name != "sqlite":
            pytest.skip("PostgreSQL's disk is not ours to fill; its words are tested in test_opening")
        from sqlalchemy import text

        from foamwright.shop import readings

        def on_a_full_disk(work, *_):
            work.session.execute(text("PRAGMA max_page_count = 1"))
            return stored(work, *_)

        stored = readings.store_readings
        monkeypatch.setattr("foamwright.jobs.shop_readings.store_readings", on_a_full_disk)
        answer = sent(desk, job, *(reading(n, written="x" * 60) for n in range(500)))
        assert answer.status_code == 507
        assert "what you sent was not stored" in only_problem(answer)["what"]
        monkeypatch.undo()
        database.close()
        assert desk.get(f"/api/jobs/{job}/readings").json()["readings"] == []

    @pytest.mark.parametrize("batch", [[], [reading(0)] * 501])
    def test_batches_have_a_size(self, desk, job, batch):
        assert sent(desk, job, *batch).status_code == 422

    def test_no_job(self, desk):
        assert sent(desk, 77, reading(0)).status_code == 404


def test_steps_and_strokes(desk, job, database):
    from shop_fixtures import TEACHER

    from foamwright.shop.plans import StepWish, put_plan

    with database.writing(TEACHER) as work:
        put_plan(work, job, 1, "{}", [StepWish("rocker", "run-off", 4, {"from_m": 0.3})])
    batch = {
        "plan_revision": 1,
        "strokes": [
            {"client_id": "stroke-0000000000000001", "step": 1, "count": 3, "tablet_ms": 1},
            {"client_id": "stroke-0000000000000002", "step": 9, "count": 1, "tablet_ms": 1},
            {"client_id": "stroke-0000000000000003", "step": 1},
            {"client_id": {}, "step": 1, "count": 1, "tablet_ms": 1},
        ],
    }
    for _ in range(2):
        answer = desk.post(f"/api/jobs/{job}/strokes", json=batch).json()
        assert answer["stored"] == ["stroke-0000000000000001"]
        refused = sorted((r["place"], r["client_id"][-1:]) for r in answer["refused"])
        assert refused == [(1, "2"), (2, "3"), (3, "")]
    done = desk.put(f"/api/jobs/{job}/steps/1", json={"state": "done"}).json()
    assert (done["strokes_made"], done["strokes_planned"], done["state"]) == (3, 4, "done")
    assert desk.get(f"/api/jobs/{job}/steps").json()["steps"][0]["detail"] == {"from_m": 0.3}
    assert desk.get("/api/class").json()["jobs"][0]["done"] == 1


def test_notes(desk, job):
    note = desk.post(f"/api/jobs/{job}/notes", json={"words": "Turn the plane."}).json()
    assert note["from_role"] == "desk"
    seen = desk.put(f"/api/jobs/{job}/notes/{note['id']}/seen").json()
    assert seen["seen_at"] is not None
    assert len(desk.get(f"/api/jobs/{job}/notes").json()["notes"]) == 1


@pytest.mark.parametrize("path", ["/api/jobs/0", "/api/jobs/2147483648", "/api/jobs/x", "/api/people/-1"])
def test_numbers_beyond_the_database_are_told(desk, path):
    answer = desk.get(path)
    assert answer.status_code == 422
    assert answer.json()["problems"]


class TestWhatCannotBeTaken:
    """Every answer has the one shape: a field, our own words, a remedy."""

    PERSON: ClassVar = {"name": "Ines", "mass_kg": 70}

    @pytest.mark.parametrize(
        ("path", "body", "where", "what"),
        [
            ("people", {}, "name", "This is missing."),
            ("people", {**PERSON, "colour": "red"}, "colour", "Nothing here is called “colour”."),
            ("people", {**PERSON, "name": 7}, "name", "This is no text."),
            ("people", {**PERSON, "name": "n" * 101}, "name", "This is longer than 100 characters."),
            ("people", {**PERSON, "name": "a\x07b"}, "name", "“a\x07b” has signs that may not stand here."),
            ("people", {**PERSON, "mass_kg": "heavy"}, "mass_kg", "“heavy” is not a number."),
            ("people", {**PERSON, "mass_kg": -1}, "mass_kg", "“-1” is less than can be."),
            ("people", {**PERSON, "mass_kg": 1001}, "mass_kg", "“1001” is more than can be."),
            ("people", {**PERSON, "note": "n" * 2001}, "note", "This is longer than 2000 characters."),
            ("people", [], "body", "This does not hold named values."),
            ("jobs", {"title": "t", "board_id": "x"}, "board_id", "“x” is not a whole number."),
            ("jobs", {"title": "t", "note": "n" * 20_000}, "note", "This is longer than 2000 characters."),
            ("boards", {"sheet": "s" * 60_001}, "sheet", "This is longer than 60000 characters."),
        ],
    )  # fmt: skip
    def test_is_told_with_its_field_and_a_remedy(self, desk, path, body, where, what):
        answer = desk.post(f"/api/{path}", json=body)
        assert answer.status_code == 422
        (problem,) = answer.json()["problems"]
        assert (problem["where"], problem["what"]) == (where, what)
        assert problem["remedy"]

    def test_is_told_in_the_language_of_whoever_asks(self, desk):
        answer = desk.post("/api/people", json={}, headers={"accept-language": "de"})
        assert only_problem(answer) == {
            "where": "name",
            "what": "Das fehlt.",
            "remedy": "Senden Sie es mit.",
        }

    def test_a_text_that_is_no_json(self, desk):
        answer = desk.post("/api/people", content=b"{", headers={"content-type": "application/json"})
        assert only_problem(answer)["remedy"] == "Look at its brackets, quotes and commas."

    def test_a_choice_that_is_none_names_the_choices(self, desk, job):
        answer = desk.put(f"/api/jobs/{job}/shelf", json={"shelf": "attic"})
        assert only_problem(answer)["remedy"] == "Choose one of them: in use, archive."

    def test_a_batch_without_entries(self, desk, job):
        answer = desk.post(f"/api/jobs/{job}/readings", json={"readings": []})
        assert only_problem(answer)["what"] == "There are fewer than 1 here."

    def test_an_entry_of_a_batch(self, desk, job):
        answer = sent(desk, job, reading(0), reading(1, what="hue"))
        (refused,) = answer.json()["refused"]
        (problem,) = refused["problems"]
        assert problem == {
            "where": "what",
            "what": "“hue” is none of the choices.",
            "remedy": "Choose one of them: rocker, thickness, width.",
        }


class TestStagesThatReadingsName:
    def test_one_that_no_board_has_is_refused_with_those_there_are(self, desk, job):
        answer = sent(desk, job, reading(0, stage="Nonsense"))
        assert answer.status_code == 422
        assert only_problem(answer) == {
            "where": "readings.0.stage",
            "what": "This job has no stage “Nonsense”.",
            "remedy": "Its stages are outline, thickness, rocker, foil, contours, rails, finished.",
        }
        assert desk.get(f"/api/jobs/{job}/readings").json()["readings"] == []

    def test_one_that_the_plan_lacks_is_refused_and_the_others_are_stored(self, desk, job, database):
        from shop_fixtures import TEACHER

        from foamwright.shop.plans import StepWish, put_plan

        with database.writing(TEACHER) as work:
            put_plan(work, job, 1, "{}", [StepWish("rocker", "run", 4, {}), StepWish("foil", "run", 4, {})])
        answer = sent(desk, job, reading(0), reading(1, stage="rails"), reading(2, stage="foil"))
        assert answer.status_code == 200
        assert answer.json()["stored"] == [reading(0)["client_id"], reading(2)["client_id"]]
        (refused,) = answer.json()["refused"]
        assert (refused["place"], refused["client_id"]) == (1, reading(1)["client_id"])
        assert refused["problems"][0]["remedy"] == "Its stages are rocker, foil."
