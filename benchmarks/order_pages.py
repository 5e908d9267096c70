"""How long the shop's pages take with ten orders and boards, and with 500 orders and 5,000 boards.

Run: ``python benchmarks/order_pages.py``; prints the quickest of nine visits to each page, and the ratio.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from starlette.testclient import TestClient

from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor, Database
from foamwright.shop.opening import open_database
from foamwright.shop.order_kinds import OrderState
from foamwright.shop.orders import OrderWish, take_order
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.price_list import EXAMPLE
from foamwright.shop.price_sheets import save_prices
from foamwright.shop.tables import BoardRow
from foamwright.web.app import create_app
from foamwright.web.settings import Settings

ROOT = Path(__file__).resolve().parents[1]
PAGES = (
    "/orders", "/orders/1", "/orders/new", "/orders?state=asked", "/orders?words=groyne", "/supplies",
    "/prices", "/people",
    "/people/1/data", "/boards", "/jobs", "/class", "/courses",
)  # fmt: skip
VISITS = 9


def filled(folder: Path, orders: int, boards: int) -> Database:
    """Return a shop with so many orders and boards."""
    database = open_database(f"sqlite:///{folder / f'{orders}.sqlite'}")
    sheet = (ROOT / "examples" / "groyne-6-4.board.toml").read_text("utf-8")
    with database.writing(Actor("host")) as work:
        save_prices(work, 0, EXAMPLE)
        first = add_board(work, sheet)
        for n in range(1, boards):
            row = BoardRow(name=f"Board {n}", sheet=sheet, revision=1, made_at=work.now, changed_at=work.now)
            work.session.add(row)
        people = [add_person(work, PersonWish(f"Person {n}")).id for n in range(max(1, orders // 5))]
        states = list(OrderState)
        for n in range(orders):
            wish = OrderWish(people[n % len(people)], f"Groyne {n}", first.id, kind="short board")
            take_order(work, wish).state = states[n % len(states)].value
    return database


def least(database: Database) -> dict[str, float]:
    """Return the least milliseconds of each page: what others do on the machine only adds."""
    found = {}
    with TestClient(
        create_app(Settings(database)), client=("127.0.0.1", 1), base_url="http://127.0.0.1"
    ) as client:
        for page in PAGES:
            client.get(page)
            times = []
            for _ in range(VISITS):
                begun = time.perf_counter()
                assert client.get(page).status_code == 200, page
                times.append(1000 * (time.perf_counter() - begun))
            found[page] = min(times)
    database.close()
    return found


def main() -> int:
    """Measure, print, and say whether every page stays under twice its time."""
    with tempfile.TemporaryDirectory() as folder:
        few = least(filled(Path(folder), 10, 10))
        many = least(filled(Path(folder), 500, 5000))
    print(f"{'page':<26} {'ten, ms':>9} {'many, ms':>9} {'ratio':>6}")
    for page in PAGES:
        print(f"{page:<26} {few[page]:9.1f} {many[page]:9.1f} {many[page] / few[page]:6.2f}")
    return 0 if all(many[page] < 2 * few[page] for page in PAGES) else 1


if __name__ == "__main__":
    sys.exit(main())
