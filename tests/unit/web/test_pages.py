"""The pages as plain forms: everything works without script, and nothing typed is cleared."""

from __future__ import annotations

import io
import re
import zipfile

import pytest
from shop_fixtures import EXAMPLES

from foamwright.blank.sheet import stock_from_text
from foamwright.board.sheet import board_from_text

STOCK = (EXAMPLES / "two-yards.stock.toml").read_bytes()
BOARD = (EXAMPLES / "groyne-6-4.board.toml").read_text()
SCRIPT = '<script>alert(1)</script>" onload="x'


def list_form(desk, name, data, **fields):
    form = {
        "supplier": "Yard",
        "unit": "in",
        "currency": "EUR",
        "counts": "keep",
        "bad_rows": "refuse",
        **fields,
    }
    return desk.send_form("/stock", "/stock/list", form, files={"file": (name, data)})


@pytest.fixture
def job(desk):
    list_form(desk, "s.toml", STOCK)
    desk.send_form("/boards", "/boards", {"sheet": BOARD})
    desk.send_form("/people", "/people", {"name": "Ada", "mass": "72 kg", "stature": "1.78 m"})
    answer = desk.send_form(
        "/jobs", "/jobs", {"title": "First", "rider_id": "1", "board_id": "1", "note": ""}
    )
    assert answer.headers["location"] == "/jobs/1?said=job-opened"
    return 1


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("shelf", ["", "?shelf=archive"])
def test_every_page_shows_in_both_languages(desk, job, language, shelf):
    pages = [
        "/jobs",
        f"/jobs/{job}",
        "/boards",
        "/boards/1",
        "/stock",
        "/stock/1",
        "/people",
        "/people/1",
        "/access",
    ]
    for page in [*pages, "/pair", "/trust"]:
        answer = desk.get(page + shelf, headers={"accept-language": language})
        assert answer.status_code == 200
        assert f'<html lang="{language}">' in answer.text
        assert answer.text.count("<h1") == 1


def test_the_first_page_is_the_start_until_there_is_something_and_then_the_jobs(desk):
    assert desk.get("/", follow_redirects=False).headers["location"] == "/start"
    desk.send_form("/boards", "/boards", {"sheet": BOARD})
    assert desk.get("/", follow_redirects=False).headers["location"] == "/jobs"


def test_a_form_that_cannot_be_taken_comes_back_as_it_was_typed(desk):
    answer = desk.send_form(
        "/people", "/people", {"name": "Ada", "mass": "72", "stature": "1,78 m", "note": SCRIPT}
    )
    assert answer.status_code == 422
    for kept in ('value="Ada"', 'value="72"', 'value="1,78 m"'):
        assert kept in answer.text
    assert "has no unit" in answer.text
    assert "A comma could mean two things" in answer.text
    assert 'aria-describedby="f-mass-hint f-mass-problems"' in answer.text
    assert 'aria-invalid="true"' in answer.text
    assert desk.get("/api/people").json() == {"people": []}


def test_problems_are_told_in_the_visitors_language(desk):
    desk.cookies.set("foamwright-language", "de", domain="127.0.0.1")
    answer = desk.send_form("/people", "/people", {"name": " "})
    assert "Hier steht nichts." in answer.text
    assert desk.get("/api/people/7").json()["problems"][0]["what"] == "Es gibt keine Person Nummer 7."


def test_script_in_a_name_stays_a_name(desk):
    desk.send_form("/people", "/people", {"name": SCRIPT})
    desk.send_form("/jobs", "/jobs", {"title": SCRIPT, "rider_id": "1", "note": SCRIPT})
    for page in ("/people", "/people/1", "/jobs", "/jobs/1", "/access", f"/jobs?words={SCRIPT}"):
        text = desk.get(page).text
        assert "<script>alert" not in text
        assert '" onload="' not in text
        assert "&lt;script&gt;" in text


def test_a_form_sent_twice_is_done_once(desk):
    fields = {**desk.tokens("/people"), "name": "Ada"}
    first = desk.post("/people", data=fields, follow_redirects=False)
    second = desk.post("/people", data=fields, follow_redirects=False)
    assert first.headers["location"] == second.headers["location"]
    assert len(desk.get("/api/people").json()["people"]) == 1


def test_two_who_edit_one_rider(desk):
    desk.send_form("/people", "/people", {"name": "Ada", "note": "first"})
    desk.send_form("/people/1", "/people/1", {"name": "Ada Stone", "note": "theirs", "revision": "1"})
    stale = desk.send_form("/people/1", "/people/1", {"name": "Ada Brook", "note": "mine", "revision": "1"})
    assert stale.status_code == 409
    assert "it is at revision 2, yours began at 1" in stale.text
    assert 'value="Ada Brook"' in stale.text
    assert "theirs" in stale.text
    # What is shown now carries the newer revision: sent again, it is taken.
    assert 'name="revision" value="2"' in stale.text
    again = desk.send_form("/people/1", "/people/1", {"name": "Ada Brook", "note": "both", "revision": "2"})
    assert again.status_code == 303


def test_the_second_editor_of_a_board_is_shown_the_difference(desk):
    desk.send_form("/boards", "/boards", {"sheet": BOARD})
    theirs, mine = BOARD.replace("nose = 4.75", "nose = 4.5"), BOARD.replace("nose = 4.75", "nose = 5")
    assert desk.send_form("/boards/1", "/boards/1", {"sheet": theirs, "revision": "1"}).status_code == 303
    stale = desk.send_form("/boards/1", "/boards/1", {"sheet": mine, "revision": "1"})
    assert stale.status_code == 409
    assert re.search(r"<del>.*theirs</span> nose = 4.5</del>", stale.text)
    assert re.search(r"<ins>.*yours</span> nose = 5</ins>", stale.text)
    assert "nose = 5\n" in stale.text[stale.text.index("<textarea") :]
    assert desk.get("/boards/1/sheet.toml").text.rstrip() == theirs.rstrip()
    # A text field of a form begins and ends where its text does.
    assert desk.get("/boards/1/revisions/1").text.rstrip() == BOARD.rstrip()


def test_a_board_sheet_comes_in_and_goes_out_as_a_file(desk):
    answer = desk.send_form(
        "/boards", "/boards", {"sheet": ""}, files={"file": ("b.toml", b"\xef\xbb\xbf" + BOARD.encode())}
    )
    assert answer.headers["location"] == "/boards/1?said=board-added"
    out = desk.get("/boards/1/sheet.toml")
    assert out.headers["content-disposition"] == 'attachment; filename="Groyne.board.toml"'
    assert board_from_text(out.text, "b").name == "Groyne"
    bad = desk.send_form(
        "/boards", "/boards", {"sheet": "keep me"}, files={"file": ("b.toml", b"\xff\xfe\x00")}
    )
    assert bad.status_code == 422
    assert "keep me" in bad.text


def test_every_problem_of_a_sheet_is_shown(desk):
    bad = BOARD.replace('length = "6\'4\\""', 'length = "six"').replace("nose = 4.75", "nose = -1")
    answer = desk.send_form("/boards", "/boards", {"sheet": bad})
    assert answer.status_code == 422
    assert "board.toml, line 4, length" in answer.text
    assert "[rocker] nose" in answer.text
    assert "length = &#34;six&#34;" in answer.text


def test_a_stock_sheet_comes_in_and_goes_out(desk):
    answer = list_form(desk, "s.toml", STOCK)
    assert answer.headers["location"] == "/stock?said=list-taken&added=2&changed=0"
    page = desk.get("/stock").text
    assert page.count('class="foam') == 2
    assert "6&#39;8&#34;" in page
    out = desk.get("/stock/sheet/EUR").text
    assert {b.id: b.on_hand for b in stock_from_text(out, "s")} == {"Q-6-8-2.75": 3, "M-6-9": 1}
    assert desk.get("/stock/sheet/XXX").status_code == 404


def test_a_list_with_bad_rows_is_explained_and_taken_in_only_if_told(desk):
    numbers = "square;6'8\";22;2.75;5;2;78"
    columns = "id;foam;section;length;width;thickness;rocker nose;rocker tail;price"
    rows = f"{columns}\nA;eps 24 kg/m3;{numbers}\nB;eps;{numbers}\n"
    refused = list_form(desk, "list.csv", rows.encode())
    assert refused.status_code == 422
    assert "1 row of list.csv cannot be taken in" in refused.text
    assert "One row is good." in refused.text
    assert "“eps” is not a foam and its density." in refused.text
    assert desk.get("/api/stock").json()["blanks"] == []
    taken = list_form(desk, "list.csv", rows.encode(), bad_rows="skip")
    assert taken.status_code == 303
    assert "those with something wrong were left out" in desk.get(taken.headers["location"]).text
    assert [b["code"] for b in desk.get("/api/stock").json()["blanks"]] == ["A"]


@pytest.mark.parametrize(
    ("name", "data", "match"),
    [
        ("list.csv", b"", "This list has no rows."),
        ("list.exe", b"MZ", "is neither CSV, XLSX nor a stock sheet"),
        ("../../etc/passwd.csv", b"id\n", "passwd.csv"),
    ],
)
def test_files_that_are_no_list(desk, name, data, match):
    answer = list_form(desk, name, data)
    assert answer.status_code == 422
    assert match in answer.text
    assert "../" not in answer.text


def test_a_job_takes_the_last_blank_and_the_next_one_is_told(desk, job):
    desk.send_form("/jobs", "/jobs", {"title": "Second"})
    last = next(b["id"] for b in desk.get("/api/stock").json()["blanks"] if b["code"] == "M-6-9")
    assert desk.send_form("/jobs/1", "/jobs/1/blank", {"blank_id": str(last)}).status_code == 303
    told = desk.send_form("/jobs/2", "/jobs/2/blank", {"blank_id": str(last)})
    assert told.status_code == 409
    assert "No blank M-6-9 is left; the last one has been taken." in told.text
    assert desk.send_form("/jobs/1", "/jobs/1/blank", {"blank_id": ""}).status_code == 303
    assert desk.send_form("/jobs/2", "/jobs/2/blank", {"blank_id": str(last)}).status_code == 303


@pytest.mark.parametrize("written", ["many", "", "1e9", "９", "1.5", "99999999999999999999"])
def test_a_count_that_is_no_number_is_told(desk, job, written):
    answer = desk.send_form("/stock/1", "/stock/1/count", {"on_hand": written, "why": "counted"})
    assert answer.status_code == 422
    assert 'value="counted"' in answer.text


def test_search_and_archive(desk, job):
    desk.send_form("/jobs", "/jobs", {"title": "Blue fish"})
    assert "Blue fish" in desk.get("/jobs?words=FISH").text
    assert "No job has all these words." in desk.get("/jobs?words=whale").text
    assert "First" in desk.get("/jobs?words=groyne%20ada").text
    desk.send_form("/jobs/2", "/jobs/2/shelf", {"shelf": "archive"})
    assert "Blue fish" not in desk.get("/jobs").text
    assert "Blue fish" in desk.get("/jobs?shelf=archive").text
    assert desk.send_form("/jobs/2", "/jobs/2/shelf", {"shelf": "attic"}).status_code == 422


def test_many_jobs_are_shown_in_pages(desk):
    for n in range(53):
        desk.post("/api/jobs", json={"title": f"Job {n:02}"})
    first, second = desk.get("/jobs").text, desk.get("/jobs?words=job&from=50").text
    assert first.count("<tr><td") == 50
    assert "from=50" in first
    assert second.count("<tr><td") == 3
    assert "from=0" in second
    assert desk.get("/jobs?from=-1").status_code == desk.get("/jobs?from=x").status_code == 200


def test_a_note_is_left(desk, job):
    desk.send_form("/jobs/1", "/jobs/1/notes", {"words": "Turn the plane."})
    assert "Turn the plane." in desk.get("/jobs/1").text


def test_language_and_lengths_are_kept(desk, job):
    answer = desk.send_form(
        "/people", "/reading-habits", {"language": "de", "lengths": "mm", "back": "/stock"}
    )
    assert answer.headers["location"] == "/stock"
    page = desk.get("/stock").text
    assert "Rohlinge" in page
    assert "2032,0 mm" in page
    for back in ("//evil.example", "https://evil.example", "/\\evil.example"):
        answer = desk.send_form(
            "/people", "/reading-habits", {"language": "en", "lengths": "in", "back": back}
        )
        assert answer.headers["location"] == "/"


def test_everything_comes_as_one_file(desk, job):
    answer = desk.get("/export.zip")
    assert answer.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(answer.content)) as packed:
        assert packed.testzip() is None
        assert "boards/00001-Groyne.board.toml" in packed.namelist()


@pytest.mark.parametrize(
    "path", ["/people/0", "/people/99999999999", "/people/x", "/jobs/77", "/boards/1/revisions/9"]
)
def test_what_is_not_there_is_told_on_a_page(desk, path):
    answer = desk.get(path)
    assert answer.status_code in (404, 422)
    assert "This did not work" in answer.text
