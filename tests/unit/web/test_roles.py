"""Nobody without the right gets a field of money or contacts: every route by every role, from the schema."""

from __future__ import annotations

import re
import shutil
from io import BytesIO

import pypdf
import pytest
from bench_support import add_planned_job
from fastapi.routing import APIRoute
from order_support import OWNER, open_trade

from foamwright.jobs.order_costs import take_order_with_cost
from foamwright.shop.bills import give_bill, note_payment
from foamwright.shop.contacts import ContactWish, set_contact
from foamwright.shop.courses import CourseWish, add_course, add_pupil, sign_brief
from foamwright.shop.grants import give_grants
from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.kinds import Role
from foamwright.shop.money import Line
from foamwright.shop.order_kinds import BillKind, Grant
from foamwright.shop.orders import OrderWish
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.price_list import EXAMPLE
from foamwright.shop.price_sheets import save_prices
from foamwright.shop.sessions import open_session
from foamwright.web.app import API, PAGES
from foamwright.web.visitors import SESSION_COOKIE, signed

MONEY = ("7654.32", "765432", "7654,32", "4321.09", "432109", "1234.56", "123456", "8642.1", "Q-00001")
"""Prices, a deposit, a payment, a blank's price, a quote's number, as stored and as shown."""

CONTACT = ("sentinel@reef.example", "only-by-boat")
KINDS_OF_FIELD = re.compile(r"price|cost|total|deposit|amount|currency|tax|reach|contact")


@pytest.fixture
def database_url(tmp_path, sqlite_form):
    """One kind of database: what a visitor may see hangs on none."""
    shutil.copy(sqlite_form, tmp_path / "shop.sqlite")
    return f"sqlite:///{tmp_path / 'shop.sqlite'}"


@pytest.fixture
def trade(database):
    """A shop in which every figure of money and every contact can be known again."""
    open_trade(database)
    with database.writing(OWNER) as work:
        dear = EXAMPLE.replace('price = "690"', 'price = "7654.32"').replace(
            'price = "60"', 'price = "1234.56"'
        )
        save_prices(work, 1, dear)
        person = add_person(work, PersonWish("Ada Reef"))
        set_contact(work, person.id, ContactWish(CONTACT[0], CONTACT[1]))
        wish = OrderWish(
            person.id, "Groyne", 1, kind="short board", lines=[Line("x", 1, 765432)], deposit=432109
        )
        order = take_order_with_cost(work, wish)
        give_bill(work, order.id, BillKind.QUOTE)
        note_payment(work, order.id, 123456)
        from foamwright.shop.tables import StockBlank

        blank = work.session.get(StockBlank, 1)
        blank.price, blank.sheet = 8642.1, re.sub(r"(?m)^price = .*$", "price = 8642.1", blank.sheet)
        open_job(work, JobWish("Ada's", person.id, 1))
        add_course(work, CourseWish("First"))
    job = add_planned_job(database, "planned")
    with database.writing(OWNER) as work:
        pupil = add_pupil(work, 1, 1, job)
        sign_brief(work, job, "Ada Reef", "")
        assert pupil.id == 1
    return database


@pytest.fixture
def as_role(trade, lan_app, tablet):
    """Makes visitors: a stranger, a bench, a teacher, a teacher with rights."""

    def make(role, *grants, job=None):
        visitor = tablet()
        with trade.writing(OWNER) as work:
            give_grants(work, grants)
            if role is not None:
                token = open_session(work, role, job, "device").token
                value = signed(lan_app.state.services.key, token)
                visitor.cookies.set(f"__Host-{SESSION_COOKIE}", value)
        return visitor

    return make


def reads():
    """Every address that is read, with its places filled by what is there."""
    for prefix, routers in (("", PAGES), ("/api", API)):
        for router in routers:
            for route in router.routes:
                if isinstance(route, APIRoute) and "GET" in route.methods and route.path != "/live":
                    path = re.sub(r"\{currency\}", "EUR", route.path)
                    yield prefix + re.sub(r"\{[^}]*\}", "1", path)


ADDRESSES = sorted(set(reads()))


def seen_by(visitor):
    """What every address that answers with something gives a visitor, by the address."""
    found = {}
    for address in [*ADDRESSES, "/stock/sheet/EUR", "/plan/compare?board=1", "/jobs/2", "/jobs/2/bench/1"]:
        answer = visitor.get(address, follow_redirects=False)
        assert answer.status_code < 500 or address.endswith("pdf"), (address, answer.status_code)
        if answer.status_code == 200:
            found[address] = answer
    return found


def leaks(found, words):
    texts = {address: text_of(answer) for address, answer in found.items()}
    return sorted((address, word) for address, text in texts.items() for word in words if word in text)


def text_of(answer):
    """What a person can read of an answer, in a PDF too."""
    if answer.headers["content-type"] != "application/pdf":
        return answer.text
    return "".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(answer.content)).pages)


def test_the_routes_are_all_there():
    assert len(ADDRESSES) > 60
    for one in (
        "/orders/1",
        "/prices",
        "/api/orders",
        "/api/people/1/data",
        "/people/1/data.json",
        "/export.zip",
    ):
        assert one in ADDRESSES


@pytest.mark.parametrize(("role", "job"), [(None, None), (Role.BENCH, 2), (Role.TEACHER, None)])
def test_without_the_right_no_address_gives_money_or_contacts(as_role, role, job):
    found = seen_by(as_role(role, job=job))
    assert leaks(found, (*MONEY, *CONTACT)) == []
    for forbidden in (
        "/export.zip",
        "/api/export",
        "/prices",
        "/api/prices",
        "/orders/new",
        "/people/1/data",
    ):
        assert forbidden not in found
    for address, answer in found.items():
        if answer.headers["content-type"].startswith("application/json") and "openapi" not in address:
            assert filled_fields(answer.json()) == [], address


def filled_fields(node, name=""):
    """Names of fields of money or contacts that hold something."""
    if isinstance(node, dict):
        return [found for key, value in node.items() for found in filled_fields(value, key)]
    if isinstance(node, list):
        return [found for value in node for found in filled_fields(value, name)]
    is_ours = KINDS_OF_FIELD.search(name) and name != "currency"
    return [name] if is_ours and node not in (None, "", 0) else []


def test_with_rights_a_teacher_sees_what_was_given_and_no_more(as_role):
    with_money = seen_by(as_role(Role.TEACHER, Grant.MONEY))
    assert {"/prices", "/orders/1", "/api/prices"} <= {address for address, _ in leaks(with_money, MONEY)}
    assert leaks(with_money, CONTACT) == []
    with_contacts = seen_by(as_role(Role.TEACHER, Grant.CONTACTS))
    assert {address for address, _ in leaks(with_contacts, CONTACT)} == {
        "/api/orders",
        "/api/orders/1",
        "/orders/1",
    }
    assert leaks(with_contacts, MONEY) == []


def test_the_owner_sees_both(trade, host):
    found = {address: host.get(address) for address in ("/orders/1", "/api/orders/1", "/people/1/data")}
    assert {address for address, _ in leaks(found, CONTACT)} == set(found)
    assert {address for address, _ in leaks(found, MONEY)} == set(found)


def test_a_teacher_changes_nothing_of_money(as_role):
    teacher = as_role(Role.TEACHER).meet()
    changes = [
        ("POST", "/api/orders", {"person_id": 1, "title": "x"}),
        ("POST", "/api/orders/1/bills", {"kind": "quote"}),
        ("PUT", "/api/prices", {"revision": 2, "sheet": "x"}),
        ("PUT", "/api/people/1/contact", {"reach": "x"}),
        ("POST", "/api/people/1/forget", {"name": "Ada Reef"}),
        ("PUT", "/api/grants", {"grants": ["money"]}),
    ]
    for method, address, sent in changes:
        answer = teacher.request(method, address, json=sent)
        assert answer.status_code == 403, address
