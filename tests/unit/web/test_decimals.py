"""Decimals as a German reader writes them, in all that is shown; points where a person or a program reads."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser

import pytest
from bench_support import add_planned_job, demo_steps
from shop_fixtures import EXAMPLES

from foamwright.blank.sheet import stock_from_text
from foamwright.findings import said
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.stock import CountRule, take_in
from foamwright.shop.told import told
from foamwright.units import System, Unit
from foamwright.web.app import create_app
from foamwright.web.catalogue import catalogue_of, said_in
from foamwright.web.rendering import Reader
from foamwright.web.settings import Settings

POINT = re.compile(r"\d\.\d")
COMMA = re.compile(r"\d,\d")

BOARD = (EXAMPLES / "groyne-6-4.board.toml").read_text()
# An odd price, a name that looks like a number, a blank that does not do.
STOCK = (EXAMPLES / "two-yards.stock.toml").read_text().replace("price = 78", "price = 78.5")
NAME = "Q-6-8-2.75"
THIN = """
[[blank]]
id = "thin"
foam = "eps 24 kg/m3"
section = "square"
length = "6'8\\""
width = 22
thickness = "2"
rocker = { nose = 5.0, tail = 2.0 }
stringer = "none"
price = 40
on_hand = 1
"""


DRAWN = re.compile(
    r' (?:d|x|y|x1|x2|cx|cy|r|viewBox|points|data-(?:slide|least|most|low|high|length|top|height))="(.*?)"'
)


class Shown(HTMLParser):
    """Collects what a person reads or hears: texts, and the attributes that are spoken."""

    SPOKEN = frozenset({"title", "alt", "aria-label", "aria-description", "aria-valuetext"})
    UNSEEN = frozenset({"script", "style", "pre", "textarea"})

    def __init__(self, page):
        super().__init__()
        self.inside, self.texts = [], []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        if tag in self.UNSEEN:
            self.inside.append(tag)
        self.texts += [value for name, value in attributes if name in self.SPOKEN and value]

    def handle_endtag(self, tag):
        if self.inside and self.inside[-1] == tag:
            self.inside.pop()

    def handle_data(self, data):
        if not self.inside:
            self.texts.append(data)


def shown(page):
    return Shown(page).texts


TO_WRITE = catalogue_of("de").words["people.stature-hint"]
"""Says how to fill in a field, which takes no comma."""


def with_points(page):
    """What is shown with a decimal point; names of blanks are names."""
    texts = [text for text in shown(page) if text != TO_WRITE]
    return [text for text in texts if POINT.search(re.sub(r"[A-Z]+-[-\d.]+\d", "", text))]


def with_commas(page):
    return [text for text in shown(page) if COMMA.search(text)]


def read_as(visitor, language, lengths="mm"):
    visitor.cookies.set("foamwright-language", language)
    visitor.cookies.set("foamwright-lengths", lengths)
    return visitor


@pytest.fixture
def shop(sqlite_url, open_shop):
    database = open_shop(sqlite_url)
    with database.writing(Actor("seed")) as work:
        add_board(work, BOARD)
        take_in(work, stock_from_text(STOCK + THIN, "s"), "Yard", Unit.INCH, CountRule.SET)
        add_person(work, PersonWish("Mara", 72.5, 1.7825, "beginner", "sea"))
    return database


@pytest.fixture
def visitor(shop, visit):
    return visit(create_app(Settings(shop))).meet()


def sent_reading(visitor, job, written="", **more):
    wish = demo_steps()[1][1]
    asked = wish.detail["asks"][0]
    reading = {
        "client_id": "0" * 31 + "7", "sequence": 1, "stage": wish.stage, "station": asked["station"],
        "station_m": asked["station_m"], "what": asked["what"], "value_m": asked["expect_m"] + 0.0014,
        "written": written, "tablet_ms": 1_772_000_000_000, **more,
    }  # fmt: skip
    answer = visitor.post(f"/api/jobs/{job}/readings", json={"readings": [reading]})
    assert answer.json()["stored"] == [reading["client_id"]]


PAGES = [
    *("/plan/1", "/plan/1?view=blank&slide=31.5", "/plan/1?view=blank&slide=250", "/plan/1?view=off"),
    *(f"/plan/1?view=strokes&blank={NAME}", "/plan/1?view=blank&blank=thin", "/plan/compare?board=1"),
    f"/plan/compare?board=1&blank={NAME}&board=1&blank=thin",
    *("/stock", "/stock/1", "/people", "/jobs", "/jobs/1", "/jobs/1/bench/1", "/class"),
]


@pytest.mark.parametrize("page", PAGES)
def test_a_german_reader_sees_commas_and_no_points(visitor, shop, page):
    add_planned_job(shop, "Read")
    sent_reading(visitor, 1, "12.5 mm", value_m=0.0125)
    german = read_as(visitor, "de").get(page).text
    assert with_points(german) == []
    if page != "/jobs":
        assert with_commas(german)


@pytest.mark.parametrize("page", PAGES)
def test_an_english_reader_sees_points_and_no_commas(visitor, shop, page):
    add_planned_job(shop, "Read")
    sent_reading(visitor, 1, "12.5 mm", value_m=0.0125)
    english = read_as(visitor, "en").get(page).text
    assert with_commas(english) == []
    if page != "/jobs":
        assert with_points(english)


def test_a_name_is_a_name(visitor):
    german = read_as(visitor, "de").get("/stock").text
    assert f">{NAME}</a>" in german
    assert NAME.replace(".", ",") not in german


def test_what_stands_in_a_field_keeps_its_point(visitor):
    """It is read again as it stands, and a comma would not be taken."""
    pages = {
        language: read_as(visitor, language).get("/plan/1?view=blank&slide=31.5").text
        for language in ("en", "de")
    }
    fields = {
        language: re.findall(r'<input[^>]* name="([^"]+)" value="([^"]*)"', page)
        for language, page in pages.items()
    }
    assert ("slide", "31.5") in fields["de"]
    unlike = {"csrf", "once"}
    assert [one for one in fields["de"] if one[0] not in unlike] == [
        one for one in fields["en"] if one[0] not in unlike
    ]
    assert "<strong>31,5</strong> mm" in pages["de"]
    assert 'aria-valuetext="31,5 mm, ' in pages["de"]


def test_drawings_and_data_keep_their_points(visitor):
    """Both languages draw the same paths and give the script the same numbers."""

    def drawn(language):
        page = read_as(visitor, language).get("/plan/1?view=blank&slide=31.5").text
        return DRAWN.findall(page)

    assert drawn("de") == drawn("en")
    assert any(POINT.search(one) for one in drawn("de"))


def test_what_the_script_is_answered_has_commas_where_it_is_shown(visitor):
    read_as(visitor, "de")
    for view in ("board", "blank", "off", "strokes"):
        wish = {"sheet": BOARD, "blank": NAME, "slide": 0.0315, "view": view}
        parts = visitor.post("/plan/1/live", json=wish).json()["parts"]
        assert with_points("".join(parts.values())) == [], view
        assert with_commas("".join(parts.values())), view
    lacking = visitor.post("/plan/1/live", json={"view": "blank", "blank": "thin"}).json()["parts"]["strip"]
    assert COMMA.search(lacking)
    assert not POINT.search(lacking)


def test_inches_have_decimals_too(visitor):
    """Degrees, litres, squares and prices are decimals whatever lengths are read in."""
    page = read_as(visitor, "de", "in").get("/plan/1?view=blank").text
    assert with_points(page) == []
    assert with_commas(page)


@pytest.mark.parametrize(("lengths", "long"), [(System.MM, "1930,4 mm"), (System.INCH, "6'4\"")])
def test_lengths_are_said_with_commas(lengths, long):
    german, english = (Reader(catalogue_of(one), lengths) for one in ("de", "en"))
    assert german.long_length(1.9304) == long
    assert english.long_length(1.9304) == long.replace(",", ".")
    assert (german.point, english.point) == (",", ".")
    assert german.figure("2.75, +1.5. Dann 3.") == "2,75, +1,5. Dann 3."
    assert english.figure("2.75, +1.5. Then 3.") == "2.75, +1.5. Then 3."


def test_findings_say_figures_with_commas_and_names_as_they_are():
    thin = said("tip-thin", "{tip}: {thickness} {limit}", tip="x", thickness="10.2 mm", limit="12.7 mm")
    assert "nur 10,2 mm dick; unter 12,7 mm" in said_in("de", thin)
    assert said_in("de", said("where.blank", "blank {name}", name="2.75")) == "Rohling 2.75"
    boxes = said("where.fin-boxes", "fin boxes {one} and {other}", one="1.5", other="2.5")
    assert said_in("de", boxes) == "Finnenkästen 1.5 und 2.5"
    place = said("where.bottom", "bottom, {place}", place=said("where.blank", "blank {name}", name="2.75"))
    assert said_in("de", place) == "Unterseite, Rohling 2.75"


def test_what_a_sheet_has_and_takes_keeps_its_point():
    """A comma would not be taken there: neither what was written nor what to write may show one."""
    wrong = said("sheet.not-possible", "{written} is not possible.", written="14.5")
    assert said_in("de", wrong) == "14.5 ist nicht möglich."
    reader = Reader(catalogue_of("de"), System.MM)
    assert "„1.5x“" in reader.problem(told("price", "no-number", written="1.5x")).what


def test_what_a_reading_cannot_be_is_told_with_commas():
    reader = Reader(catalogue_of("de"), System.MM)
    problem = reader.problem(told("value_m", "reading-beyond", value="1.75", most="1.5"))
    assert problem.what == "Nichts an einem Brett misst 1,75 m."
    assert "1,5 m" in problem.remedy


def test_the_bench_knows_the_point_of_the_language(visitor, shop):
    job = add_planned_job(shop, "Bench")
    for language, point in (("de", ","), ("en", ".")):
        page = read_as(visitor, language).get(f"/jobs/{job}/bench/1").text
        data = json.loads(re.search(r'id="page-data">(.*?)</script>', page, re.S)[1])
        assert data["point"] == point
        assert f'data-key=".">{point}</button>' in page
