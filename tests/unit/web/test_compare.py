"""Two boards, or two blanks, side by side: planning's own figures, without script, in both languages."""

from __future__ import annotations

import re
from html import unescape

import pytest
from shop_fixtures import EXAMPLES

from foamwright.blank.sheet import stock_from_text
from foamwright.jobs.check import check_job
from foamwright.jobs.live_comparing import Kind, Row
from foamwright.jobs.picking import pick_job, read_job
from foamwright.papers.job_words import Figures
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.stock import CountRule, take_in
from foamwright.units import System, Unit, format_with_unit
from foamwright.web.app import create_app
from foamwright.web.catalogue import catalogue_of
from foamwright.web.planning.side_by_side import _Sayer
from foamwright.web.rendering import Reader
from foamwright.web.settings import Settings

BOARD = EXAMPLES / "groyne-6-4.board.toml"
STOCK = EXAMPLES / "two-yards.stock.toml"
SHORT = """units = "in"
currency = "EUR"
[[blank]]
id = "too short"
foam = "eps 24 kg/m3"
section = "square"
length = "6'2\\""
width = 22
thickness = "2 3/4"
rocker = { nose = 5.0, tail = 2.0 }
stringer = { wood = "basswood", width = "1/8" }
price = 78
on_hand = 1
"""
OTHER = (
    BOARD.read_text()
    .replace("Groyne", "Groyne <b>& longer</b>", 1)
    .replace('thickest = "2 1/2"', 'thickest = "2 5/8"')
)


@pytest.fixture
def planner(sqlite_url, open_shop, visit):
    database = open_shop(sqlite_url)
    with database.writing(Actor("seed")) as work:
        add_board(work, BOARD.read_text())
        add_board(work, OTHER)
        take_in(work, stock_from_text(STOCK.read_text(), "s"), "Yard", Unit.INCH, CountRule.SET)
        take_in(work, stock_from_text(SHORT, "s"), "Yard", Unit.INCH, CountRule.SET)
    return visit(create_app(Settings(database))).meet()


@pytest.fixture(scope="module")
def picked():
    return {choice.id: choice for choice in pick_job(read_job(BOARD, STOCK, None)).choices}


def rows(page):
    """Every row of the tables: what, left, right, difference, as they are read."""
    found = re.findall(
        r'<th scope="row">(.*?)</th><td[^>]*>(.*?)</td><td[^>]*>(.*?)</td><td[^>]*>(.*?)</td>', page
    )
    plain = [[unescape(re.sub(r"<[^>]+>", "", cell)) for cell in row] for row in found]
    return {row[0]: row[1:] for row in plain}


def test_two_blanks_show_the_figures_that_pick_gives(planner, picked):
    fitting = [choice for choice in picked.values() if choice.fits][:2]
    one, two = fitting
    page = planner.get(f"/plan/compare?board=1&blank={one.id}&board=1&blank={two.id}").text
    found = rows(page)
    assert found["Work"][:2] == [f"{one.work_min:.0f} min", f"{two.work_min:.0f} min"]
    litres = [f"{choice.foam_off.planed:.1f} l" for choice in fitting]
    assert found["Foam planed off"][:2] == litres
    assert found["Volume"] == [found["Volume"][0]] * 2 + ["="]


def test_the_difference_is_the_right_one_less_the_left_one(planner, picked):
    one, two = [choice for choice in picked.values() if choice.fits][:2]
    address = "/plan/compare?board=1&blank={}&board=1&blank={}"
    there, back = (
        rows(planner.get(address.format(a, b)).text) for a, b in ((one.id, two.id), (two.id, one.id))
    )
    minutes = round(two.work_min) - round(one.work_min)
    sign = "+" if minutes > 0 else "−"
    assert there["Work"][2] in (f"{sign}{abs(minutes):.0f} min", "=")
    swapped = {"+": "−", "−": "+"}
    for name, (left, right, difference) in there.items():
        assert back[name][:2] == [right, left], name
        assert back[name][2] == swapped.get(difference[0], difference[0]) + difference[1:], name


def said(language, lengths, kind, left, right):
    reader = Reader(catalogue_of(language), lengths)
    row = _Sayer(reader, Figures(lengths), "EUR").row(Row("work", kind, left, right))
    return row.left, row.right, row.difference


def test_differences_are_those_of_the_figures_shown():
    assert said("en", System.INCH, Kind.MINUTES, 111.6, 104.4) == ("112 min", "104 min", "−8 min")
    assert said("en", System.INCH, Kind.LITRES, 12.26, 16.94) == ("12.3 l", "16.9 l", "+4.6 l")
    assert said("de", System.INCH, Kind.LITRES, 12.26, 16.94) == ("12,3 l", "16,9 l", "+4,6 l")
    assert said("de", System.MM, Kind.LENGTH, 0.01004, 0.01026) == ("10,0 mm", "10,3 mm", "+0,3 mm")
    assert said("en", System.INCH, Kind.LENGTH, 0.0254, 0.0254 * (1 + 1 / 70)) == ("1 in", "1 in", "=")
    assert said("en", System.INCH, Kind.LONG, 1.8796, 1.905)[2] == "+1 in"
    assert said("en", System.INCH, Kind.DEPTH, 0.0254 / 50, 0.0254)[0] == "skim"


def test_the_marks_at_the_tips_are_the_lays_own(planner, picked):
    one = next(choice for choice in picked.values() if choice.fits)
    found = rows(planner.get(f"/plan/compare?board=1&blank={one.id}").text)
    # What is to come off is never told deeper than it is.
    for name, depth in (
        ("Off the bottom, nose tip", one.bottom_off[-1]),
        ("Off the deck, tail tip", one.deck_off[0]),
    ):
        told = found[name][0]
        assert told.removesuffix(" in") in ("0", "skim") or told == _down(float(depth)), name


def _down(metres):
    from foamwright.bay.bay import Bay
    from foamwright.papers.job_words import figures_of

    figures = figures_of(Bay(), System.INCH)
    return figures.with_unit(figures.depth(metres))


def test_two_boards_show_the_numbers_that_check_gives(planner):
    page = planner.get("/plan/compare?board=1&board=2").text
    found, checked = rows(page), check_job(BOARD)
    assert found["Thickness, greatest"] == ["2 1/2 in", "2 5/8 in", "+1/8 in"]
    assert found["Volume"][0] == f"{checked.volume * 1000:.1f} l"
    assert found["Length"] == ["6'4\"", "6'4\"", "="]
    assert found["Width at the wide point"][0] == format_with_unit(checked.width, System.INCH, 32)
    assert 'class="over-each-other"' in page
    assert "<b>" not in page


def test_one_board_alone_stands_in_its_two_best_blanks(planner, picked):
    page = planner.get("/plan/compare?board=1").text
    best = [choice.id for choice in picked.values() if choice.fits][:2]
    chosen = re.findall(r"<option selected>(.*?)</option>", page)
    assert chosen == best


def test_a_blank_in_which_the_board_does_not_lie_says_why(planner):
    page = planner.get("/plan/compare?board=1&blank=too%20short&board=1").text
    assert "does not lie in too short" in page
    assert rows(page)["Work"][0] == "–"
    assert rows(page)["Work"][2] == "–"


def test_the_board_as_typed_is_held_against_the_board_as_saved(planner):
    page = planner.get("/plan/1").text
    fields = {
        unescape(name): unescape(value)
        for name, value in re.findall(r'<input[^>]*? name="([^"]+)"[^>]*? value="([^"]*)"', page)
        if name not in ("csrf", "once", "blank", "lengths", "back")
    }
    same = planner.send_form("/plan/1", "/plan/1/compare", fields)
    assert same.headers["location"].startswith("/plan/compare?board=1")
    typed = planner.send_form("/plan/1", "/plan/1/compare", fields | {"n:thickness/thickest": "2 3/4"})
    assert rows(typed.text)["Thickness, greatest"] == ["2 1/2 in", "2 3/4 in", "+1/4 in"]
    assert "as typed, not saved" in typed.text
    wrong = planner.send_form("/plan/1", "/plan/1/compare", fields | {"n:thickness/thickest": "2 x"})
    assert wrong.status_code == 200
    assert "is not a length" in wrong.text


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/plan/compare", 422),
        ("/plan/compare?board=0", 422),
        ("/plan/compare?board=77", 404),
        ("/plan/compare?board=1&board=1&board=1", 422),
        ("/plan/compare?board=1&blank=no-such-blank&board=1", 200),
        ("/plan/compare?board=1&blank=%3Cscript%3E", 200),
    ],
)
def test_an_address_that_names_nothing_is_answered_in_words(planner, address, status):
    answer = planner.get(address)
    assert answer.status_code == status
    assert "<script>" not in answer.text


def test_the_page_is_whole_in_german_and_in_millimetres(planner):
    planner.cookies.set("foamwright-lengths", "mm")
    page = planner.get("/plan/compare?board=1&board=2", headers={"accept-language": "de"}).text
    assert rows(page)["Dicke, größte"] == ["63,5 mm", "66,7 mm", "+3,2 mm"]
    planner.cookies.clear()


def test_a_bench_does_not_see_it(tablet):
    assert tablet().get("/plan/compare?board=1", follow_redirects=False).status_code == 303
