"""What an order costs the shop: blank, materials and hours, from the board as it was agreed."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials
from foamwright.bay.sheet import bay_from_text
from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text
from foamwright.errors import FoamwrightError
from foamwright.finish.finished import USUAL_RIDER, Finished, Shop, finish_board
from foamwright.shop.bays import SHEET_NAME, bay_text
from foamwright.shop.database import Work
from foamwright.shop.money import digits_of
from foamwright.shop.order_tables import OrderRow
from foamwright.shop.orders import OrderCost, OrderWish, change_order, prices_of, set_cost, take_order
from foamwright.shop.stock import numbers_of
from foamwright.shop.supplies import set_needs
from foamwright.shop.tables import StockBlank
from foamwright.units import System


def take_order_with_cost(work: Work, wish: OrderWish) -> OrderRow:
    """Take an order, and work out what it costs and needs.

    Raises
    ------
    ShopError
        As `take_order`.
    """
    order = take_order(work, wish)
    _work_out(work, order)
    return order


def change_order_with_cost(work: Work, number: int, revision: int, wish: OrderWish) -> OrderRow:
    """Change an order, and work out anew what it costs and needs.

    Raises
    ------
    ShopError
        As `change_order`.
    """
    order = change_order(work, number, revision, wish)
    _work_out(work, order)
    return order


def _work_out(work: Work, order: OrderRow) -> None:
    """Write down cost and needs; a board that cannot be finished as it stands has none yet."""
    cost = OrderCost()
    if order.board_sheet:
        bay = bay_from_text(text, SHEET_NAME) if (text := bay_text(work.session)) else None
        blank = None if order.blank_id is None else work.session.get(StockBlank, order.blank_id)
        hour = prices_of(work.session, order).hour
        rates = Prices() if bay is None else bay.prices
        cost = cost_of(order.board_sheet, order.currency, rates, blank, hour)
    set_cost(work, order.id, cost)
    set_needs(work, order, cost.needs)


def cost_of(
    sheet: str, currency: str, rates: Prices, blank: StockBlank | None, hour: int | None
) -> OrderCost:
    """Return what a board costs in a currency.

    Parameters
    ----------
    sheet
        Its board sheet.
    currency
        Of the order; figures in another currency are left out rather than mixed.
    rates
        The bay's prices.
    blank
        The stock's, if one is chosen.
    hour
        What an hour costs, in the smallest unit; `None`: the bay's.
    """
    try:
        board = board_of(board_from_text(sheet, "board.toml"))
        chosen = numbers_of(blank) if blank is not None and blank.currency == currency else None
        finished = finish_board(board, Shop(Materials(), rates, blank=chosen), USUAL_RIDER, System.MM)
    except FoamwrightError:
        return OrderCost()
    needs = [
        (line.name, line.unit, int(Decimal(str(line.quantity)) * 1000))
        for line in finished.lines
        if line.unit != "lot"
    ]
    minutes = round(60 * finished.price.hours.total)
    return OrderCost(_parts(finished, currency, hour, minutes, rates.currency == currency), minutes, needs)


def _parts(
    finished: Finished, currency: str, hour: int | None, minutes: int, same_currency: bool
) -> dict[str, int]:
    price = finished.price
    if not same_currency:
        return {} if hour is None else {"labour": _minutes_at(hour, minutes)}
    each_hour = (
        _smallest(price.labour / price.hours.total, currency)
        if hour is None and price.hours.total
        else hour or 0
    )
    return {
        "blank": _smallest(price.foam, currency),
        "materials": _smallest(price.materials, currency),
        "labour": _minutes_at(each_hour, minutes),
    }


def _minutes_at(hour: int, minutes: int) -> int:
    return (2 * hour * minutes + 60) // 120


def _smallest(amount: float, currency: str) -> int:
    """Return a figure of the materials' list, which is no money yet, as money: rounded once, here."""
    exact = Decimal(repr(amount)) * 10 ** digits_of(currency)
    return int(exact.quantize(Decimal(1), ROUND_HALF_UP))
