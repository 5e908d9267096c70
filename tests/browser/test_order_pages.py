"""Orders and courses in a real browser: axe, widths, and from a person at the door to a quote."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from foamwright.shop.courses import CourseWish, add_course, add_pupil
from foamwright.shop.database import Actor
from foamwright.shop.opening import open_database
from foamwright.shop.orders import OrderWish, take_order
from foamwright.shop.price_list import EXAMPLE
from foamwright.shop.price_sheets import save_prices

PATHS = [
    "/orders", "/orders/new", "/orders/1", "/prices", "/supplies", "/courses", "/courses/1",
    "/courses/1/wall", "/pupils/1", "/jobs/1/brief", "/people/1/data", "/rights",
]  # fmt: skip
MOST_ACTS = 20


@pytest.fixture
def trade(app, seeded_folder, tmp_path):
    """The running app's shop, with prices, an order and a course."""
    database = open_database(f"sqlite:///{tmp_path / 'data' / 'shop.sqlite'}")
    with database.writing(Actor("host")) as work:
        save_prices(work, 0, EXAMPLE)
        take_order(work, OrderWish(1, "Groyne", 1, kind="short board", extras=("tint",)))
        add_course(work, CourseWish("December"))
        add_pupil(work, 1, 1, 1, "adult")
    database.close()
    return app


@pytest.mark.parametrize("width", [1280, 390])
def test_axe_finds_nothing_and_nothing_sticks_out(trade, open_page, width):
    page, _ = open_page("/orders", width)
    for path in PATHS:
        page.goto(trade.host + path)
        found = Axe().run(page).response["violations"]
        assert [(path, one["id"], one["nodes"][0]["html"][:160]) for one in found] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_from_the_door_to_a_quote(trade, open_page):
    """Every act is a field filled, a choice made or a thing pressed."""
    page, _ = open_page("/jobs")
    acts = [
        lambda: page.click("text=Orders"),
        lambda: page.click("text=New order"),
        lambda: page.fill("#f-customer", "Jon Cove"),
        lambda: page.fill("#f-reach", "jon@cove.example"),
        lambda: page.fill("#f-title", "Groyne, a little wider"),
        lambda: page.fill("#f-board", "Groyne"),
        lambda: page.select_option("#f-kind", "short board"),
        lambda: page.check("text=tint"),
        lambda: page.fill("#f-colour", "sea green tint"),
        lambda: page.fill("#f-glass", "4 oz, double deck"),
        lambda: page.fill("#f-due_on", "2030-06-01"),
        lambda: page.select_option("#f-blank", "M-6-9"),
        lambda: page.click("text=Take an order"),
    ]
    for act in acts:
        act()
    with page.expect_download() as quote:
        page.click("text=Give out a quote")
    assert quote.value.suggested_filename == "Q-00001.pdf"
    assert len(acts) + 1 <= MOST_ACTS
