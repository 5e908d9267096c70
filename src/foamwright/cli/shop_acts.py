"""What ``foamwright shop`` does with orders, money, supplies, courses and people's data."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from foamwright.shop.database import Database

Done = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Act:
    """An act: what it takes, what it does, and the line that tells it was done (none: a list)."""

    takes: str
    do: Callable[[argparse.Namespace, Database], Done]
    line: str = ""


def act_on_shop(args: argparse.Namespace, database: Database) -> int:
    """Do an act, and tell what was done."""
    from foamwright.cli.show import print_json
    from foamwright.errors import InputError, Problem

    act = ACTS[args.act]
    if len(args.words) != len(act.takes.split()):
        what = f"{args.act} takes {act.takes or 'nothing more'}."
        write = f"Write: foamwright shop {args.act} {act.takes}".rstrip()
        raise InputError(Problem("WORD", what, write))
    done = {"done": args.act, **act.do(args, database)}
    if args.json:
        print_json(done)
    elif act.line:
        print(act.line.format(**done))
    else:
        print("\n".join(done["lines"]) or "None.")
    return 0


def _actor() -> Any:
    from foamwright.shop.database import Actor

    return Actor("host")


def _text(path: str) -> str:
    from foamwright.sheets.files import read_text

    return read_text(Path(path))


def _write(path: str, content: bytes) -> Done:
    from foamwright.files import final_place, unwritten, write_atomically

    target = Path(path)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(final_place(target), content)
    except OSError as why:
        raise unwritten(why, target.parent) from why
    return {"file": path, "bytes": len(content)}


def _number(written: str, where: str = "N") -> int:
    from foamwright.errors import InputError, Problem

    if not written.isdecimal() or not 0 < int(written) < 2**31:
        raise InputError(
            Problem(where, f"“{written[:40]}” is no number.", "Write it as the list shows it, like 3.")
        )
    return int(written)


def _say(args: argparse.Namespace) -> Any:
    from foamwright.web.catalogue import catalogue_of

    return catalogue_of(args.language).say


def _point(args: argparse.Namespace) -> str:
    from foamwright.web.decimals import point_of

    return point_of(args.language)


def _prices(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.price_list import prices_from_text
    from foamwright.shop.price_sheets import price_sheet, save_prices

    text = _text(args.words[0])
    currency = prices_from_text(text, args.words[0]).currency
    with database.writing(_actor()) as work:
        stored = price_sheet(work.session, currency)
        row = save_prices(work, stored.revision if stored else 0, text)
        return {"currency": row.currency, "revision": row.revision}


def _order(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.jobs.order_costs import take_order_with_cost
    from foamwright.jobs.order_sheet import order_wish
    from foamwright.shop.bills import order_sums

    text = _text(args.words[0])
    with database.writing(_actor()) as work:
        order = take_order_with_cost(work, order_wish(work, text, args.words[0]))
        total = order_sums(work.session, order).total
        return {"order": order.id, "title": order.title, "total": total, "currency": order.currency}


def _orders(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.days import today
    from foamwright.shop.order_round import OrderQuery, find_orders

    day = today(database.clock())
    with database.reading() as session:
        found = find_orders(session, OrderQuery(limit=200), day)
    rows = [
        {"order": w.order.id, "title": w.order.title, "who": w.who, "state": w.order.state,
         "due_on": w.order.due_on, "late": w.is_late}
        for w in found
    ]  # fmt: skip
    lines = [
        f"{r['order']:5d}  {r['state']:<12} {r['due_on'] or '-':<10} {'late  ' if r['late'] else '      '}"
        f"{r['title']}, {r['who']}"
        for r in rows
    ]
    return {"orders": rows, "lines": lines}


def _state(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.order_kinds import OrderState
    from foamwright.shop.order_round import set_state
    from foamwright.shop.orders import require_order
    from foamwright.shop.told import ShopError, told

    written = args.words[1].replace("-", " ")
    if written not in list(OrderState):
        choices = ", ".join(OrderState)
        raise ShopError(told("STATE", "no-choice", written=written[:40], choices=choices))
    with database.writing(_actor()) as work:
        order = require_order(work.session, _number(args.words[0]))
        set_state(work, order.id, order.revision, OrderState(written))
        return {"order": order.id, "state": order.state}


def _bill(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.jobs.bill_papers import bill_pdf
    from foamwright.shop.bills import bill_of, give_bill
    from foamwright.shop.order_kinds import BillKind

    number = _number(args.words[0])
    with database.writing(_actor()) as work:
        row = give_bill(work, number, BillKind(args.act))
    # The number is stored before any paper bears it: a paper that was not written can be printed again.
    written = _write(args.words[1], bill_pdf(bill_of(row), _say(args), args.language, _point(args)))
    return {"number": row.name, "total": row.total, "currency": row.currency, **written}


def _print_again(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.jobs.bill_papers import bill_pdf
    from foamwright.shop.bills import bill_called, bill_of

    with database.reading() as session:
        row = bill_called(session, args.words[0])
    written = _write(args.words[1], bill_pdf(bill_of(row), _say(args), args.language, _point(args)))
    return {"number": row.name, **written}


def _bills(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.jobs.bill_lists import bills_csv

    with database.reading() as session:
        return _write(args.words[0], bills_csv(session))


def _calendar(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.calendar_file import calendar_file
    from foamwright.shop.order_round import orders_due

    with database.reading() as session:
        return _write(args.words[0], calendar_file(orders_due(session), database.clock()))


def _purchase(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.jobs.bill_lists import purchase_csv

    with database.reading() as session:
        return _write(args.words[0], purchase_csv(session))


def _put_away(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.order_round import put_old_away

    with database.writing(_actor()) as work:
        numbers = list(put_old_away(work))
    return {"orders": numbers, "count": len(numbers)}


def _reader(args: argparse.Namespace) -> Any:
    from foamwright.units import System
    from foamwright.web.catalogue import catalogue_of
    from foamwright.web.rendering import Reader

    return Reader(catalogue_of(args.language), System(args.units or "in"))


def _brief(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.web.classroom.reports import brief_pdf

    with database.reading() as session:
        return _write(args.words[0], brief_pdf(session, _reader(args), None))


def _pupil_paper(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.class_tables import PupilRow
    from foamwright.shop.days import today
    from foamwright.shop.rows import require_row
    from foamwright.web.classroom.reports import certificate_pdf, report_pdf

    with database.reading() as session:
        pupil = require_row(session, PupilRow, _number(args.words[0]))
        if args.act == "report":
            content = report_pdf(session, _reader(args), pupil)
        else:
            content = certificate_pdf(session, _reader(args), pupil, today(database.clock()))
    return _write(args.words[1], content)


def _pupils(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.courses import all_courses, name_of, pupils_of

    with database.reading() as session:
        rows = [
            {"pupil": one.id, "course": course.title, "name": name_of(session, one), "job": one.job_id,
             "signed": one.signed_at is not None}
            for course in all_courses(session)
            for one in pupils_of(session, course.id)
        ]  # fmt: skip
    lines = [
        f"{r['pupil']:5d}  {r['course']}, {r['name']}, {'signed' if r['signed'] else 'not signed'}"
        for r in rows
    ]
    return {"pupils": rows, "lines": lines}


def _person(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.privacy import data_of

    with database.reading() as session:
        return _write(args.words[1], data_of(session, _number(args.words[0])).as_json())


def _forget(args: argparse.Namespace, database: Database) -> Done:
    from foamwright.shop.privacy import forget_person

    with database.writing(_actor()) as work:
        forget_person(work, _number(args.words[0]), args.words[1])
    return {"person": int(args.words[0])}


ACTS: Mapping[str, Act] = {
    "prices": Act("FILE", _prices, "The prices in {currency} were saved: revision {revision}."),
    "order": Act("FILE", _order, "Order {order}: {title}."),
    "orders": Act("", _orders),
    "state": Act("N STATE", _state, "Order {order} is {state}."),
    "quote": Act("N FILE", _bill, "{number} is in {file}."),
    "invoice": Act("N FILE", _bill, "{number} is in {file}."),
    "reprint": Act("NUMBER FILE", _print_again, "{number} is in {file}."),
    "bills": Act("FILE", _bills, "Quotes and invoices are in {file}."),
    "calendar": Act("FILE", _calendar, "The days at which orders are due are in {file}."),
    "purchase": Act("FILE", _purchase, "What is short is in {file}."),
    "put-away": Act("", _put_away, "Put away: {count}."),
    "brief": Act("FILE", _brief, "The safety brief is in {file}."),
    "pupils": Act("", _pupils),
    "report": Act("N FILE", _pupil_paper, "The report is in {file}."),
    "certificate": Act("N FILE", _pupil_paper, "The certificate is in {file}."),
    "person": Act("N FILE", _person, "All that is stored of this person is in {file}."),
    "forget": Act("N NAME", _forget, "Person {person} was deleted; boards, numbers and sums stay."),
}
"""Every act by its name."""
