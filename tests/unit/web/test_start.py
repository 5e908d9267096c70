"""The first minutes: three doors to a first board, and a sample shop that can be put away again."""

from __future__ import annotations

import re
import struct

import pytest
from shop_fixtures import EXAMPLES

from foamwright.board.sheet import board_from_text
from foamwright.shop.boards import all_boards
from foamwright.shop.kinds import JobState, Shelf
from foamwright.shop.overview import glance_at
from foamwright.shop.people import all_people
from foamwright.shop.stock import all_stock
from foamwright.web.app import create_app
from foamwright.web.settings import Settings


@pytest.fixture
def shop(sqlite_url, open_shop):
    return open_shop(sqlite_url)


@pytest.fixture
def teacher(shop, visit):
    return visit(create_app(Settings(shop))).meet()


def names(shop):
    with shop.reading() as session:
        return [row.name for row in all_boards(session)]


def test_an_empty_shop_offers_three_doors_and_a_sample(teacher):
    page = teacher.get("/start").text
    assert re.search(r'href="/start/rider"', page)
    assert set(re.findall(r'<form method="post" action="([^"]+)"', page)) >= {
        "/start/like",
        "/plan",
        "/start/sample",
    }


def test_from_a_rider_the_board_is_stored_that_was_drawn(teacher, shop):
    query = "mass=92&stature=1.88&experience=beginner&waves=small&suit=3/2&kind=mid-length"
    drawn = re.search(r'<p class="spoken"><b>(.*?)</b>', teacher.get(f"/start/rider?{query}").text, re.S)[1]
    fields = dict(pair.split("=") for pair in query.split("&")) | {"name": "Sandbar"}
    answer = teacher.send_form("/start/rider", "/start/rider", fields)
    assert answer.headers["location"] == "/plan/1?said=board-added&tour=1"
    assert names(shop) == ["Sandbar"]
    assert drawn in teacher.get("/plan/1").text


def test_what_an_answer_did_is_told_beside_the_usual_board(teacher):
    usual = teacher.get("/start/rider").text
    heavy = teacher.get("/start/rider?mass=110").text
    assert '<table class="did">' not in usual
    (litres,) = re.findall(r'<td class="number">([+−][\d.]+) ', heavy)
    assert litres.startswith("+")
    assert float(litres[1:]) > 1.0


def test_answers_that_are_none_are_as_usual(teacher):
    wild = teacher.get("/start/rider?mass=heavy&stature=nan&experience=wizard&waves=&suit=%00&kind=boat")
    assert wild.status_code == 200
    assert '<table class="did">' not in wild.text


def test_like_the_demos_board_or_one_of_the_shop(teacher, shop):
    teacher.send_form("/start", "/start/like", {"board": "groyne"})
    teacher.send_form("/start", "/start/like", {"board": "1"})
    first, second = names(shop)
    assert first == "Groyne"
    assert second != first
    assert "Groyne" in second
    assert teacher.send_form("/start", "/start/like", {"board": "77"}).status_code == 404


def test_a_sheet_is_a_door_and_one_that_is_none_says_why(teacher, shop):
    sheet = (EXAMPLES / "groyne-6-4.board.toml").read_bytes()
    teacher.send_form("/start", "/plan", {}, files={"file": ("mine.toml", sheet)})
    assert names(shop) == ["Groyne"]
    refused = teacher.send_form(
        "/start", "/plan", {}, files={"file": ("holiday.jpg", b"\xff\xd8\xff\xe0 no sheet")}
    )
    assert refused.status_code == 422
    assert 'role="alert"' in refused.text
    assert names(shop) == ["Groyne"]


def test_the_sample_shop_has_a_class_in_the_middle_of_its_work_and_goes_away_again(teacher, shop):
    own = teacher.send_form("/start", "/start/like", {"board": "groyne"})
    assert own.status_code == 303
    teacher.send_form("/start", "/start/sample", {})
    with shop.reading() as session:
        glances = glance_at(session, shop.clock())
        assert len(all_stock(session)) > 20
    assert [glance.done > 0 for glance in glances] == [True, False, True]
    assert all(glance.done < glance.steps for glance in glances if glance.steps)
    page = teacher.get("/class").text
    assert "too deep" in page or "too thin" in page
    for _ in range(2):
        teacher.send_form("/start", "/start/sample/away", {})
        with shop.reading() as session:
            assert not glance_at(session, shop.clock())
            assert not all_stock(session)
            assert not all_people(session)
            assert [row.name for row in all_boards(session) if row.archived_at is None] == ["Groyne"]
        teacher.send_form("/start", "/start/sample", {})
        with shop.reading() as session:
            assert len(all_stock(session)) > 20
            assert (
                sum(glance.job.state == JobState.STARTED for glance in glance_at(session, shop.clock())) == 2
            )


def test_the_sample_leaves_a_blank_that_the_shop_counted_itself(teacher, shop):
    sheet = (EXAMPLES / "two-yards.stock.toml").read_bytes()
    fields = {"supplier": "Mine", "unit": "in", "currency": "EUR", "counts": "set", "bad_rows": "refuse"}
    taken = teacher.send_form("/stock", "/stock/list", fields, files={"file": ("mine.toml", sheet)})
    assert taken.status_code in (200, 303)
    with shop.reading() as session:
        before = {row.code: row.on_hand for row in all_stock(session)}
    teacher.send_form("/start", "/start/sample", {})
    teacher.send_form("/start", "/start/sample/away", {})
    with shop.reading() as session:
        assert {row.code: row.on_hand for row in all_stock(session, Shelf.IN_USE)} == before


def test_every_board_of_a_door_is_a_sheet_that_stands(teacher, shop):
    teacher.send_form("/start/rider", "/start/rider", {"name": "One"})
    with shop.reading() as session:
        sheet = all_boards(session)[0].sheet
    assert board_from_text(sheet, "one").name == "One"


def test_the_app_can_be_installed_and_says_so_when_the_shop_is_away(teacher):
    page = teacher.get("/start").text
    manifest = teacher.get(re.search(r'<link rel="manifest" href="([^"]+)"', page)[1])
    assert manifest.headers["content-type"].startswith("application/manifest+json")
    icons = manifest.json()["icons"]
    assert {"192x192", "512x512"} <= {icon["sizes"] for icon in icons}
    for icon in icons:
        answer = teacher.get(icon["src"])
        assert answer.status_code == 200
        assert answer.headers["content-type"] == icon["type"]
        if icon["type"] == "image/png":
            width, height = struct.unpack(">II", answer.content[16:24])
            assert f"{width}x{height}" == icon["sizes"]
    assert "The shop does not answer" in teacher.get("/offline").text


def test_the_tour_is_left_out_unless_it_is_asked_for(teacher):
    teacher.send_form("/start", "/start/like", {"board": "groyne"})
    assert 'id="tour"' in teacher.get("/plan/1?tour=1").text
    assert 'id="tour"' not in teacher.get("/plan/1").text
