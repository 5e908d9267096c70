"""Orders for tests: a shop with prices, a board and a stock, and a hand that takes orders."""

from __future__ import annotations

from pathlib import Path

from foamwright.blank.sheet import stock_from_text
from foamwright.jobs.order_costs import take_order_with_cost
from foamwright.shop.boards import add_board
from foamwright.shop.contacts import find_or_add_person
from foamwright.shop.database import Actor, Database
from foamwright.shop.order_tables import OrderRow
from foamwright.shop.orders import OrderWish
from foamwright.shop.price_list import EXAMPLE
from foamwright.shop.price_sheets import price_sheet, save_prices
from foamwright.shop.stock import CountRule, take_in
from foamwright.units import Unit

EXAMPLES = Path(__file__).parents[2] / "examples"
OWNER = Actor("host")
REACH = "ada@reef.example\n+49 30 5550100"


def open_trade(database: Database) -> None:
    """Give the shop a stock, a board and a price list."""
    stock = stock_from_text((EXAMPLES / "two-yards.stock.toml").read_text("utf-8"), "stock")
    with database.writing(OWNER) as work:
        take_in(work, stock, "Yard by the harbour", Unit.INCH, CountRule.SET)
        add_board(work, (EXAMPLES / "groyne-6-4.board.toml").read_text("utf-8"))
        if price_sheet(work.session, "EUR") is None:
            save_prices(work, 0, EXAMPLE)


def take(database: Database, who: str = "Ada Reef", **wish: object) -> OrderRow:
    """Take an order of the stock's board."""
    asked = {"title": "Groyne", "board_id": 1, "kind": "short board", "extras": ("tint",), **wish}
    with database.writing(OWNER) as work:
        person = find_or_add_person(work, who, REACH)
        return take_order_with_cost(work, OrderWish(person.id, **asked))
