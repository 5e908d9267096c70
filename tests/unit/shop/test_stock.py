"""The stock: counts that go down, and the last blank that only one can take."""

from __future__ import annotations

import threading

import pytest
from shop_fixtures import TEACHER
from sqlalchemy import text

from foamwright.blank.sheet import stock_from_text
from foamwright.shop.database import Actor, Database
from foamwright.shop.history import happened_since
from foamwright.shop.jobs import JobWish, give_blank, open_job
from foamwright.shop.kinds import Shelf
from foamwright.shop.opening import open_database
from foamwright.shop.stock import (
    CountRule,
    all_stock,
    count_blank,
    find_blank,
    move_blank,
    numbers_of,
    stock_as_sheets,
    take_in,
)
from foamwright.shop.told import ConflictError, ShopError
from foamwright.units import Unit


@pytest.fixture
def blanks(stock_sheet_text):
    return stock_from_text(stock_sheet_text, "two-yards.stock.toml")


@pytest.fixture
def stocked(database, blanks) -> Database:
    with database.writing(TEACHER) as work:
        take_in(work, blanks, "Yard", Unit.INCH, CountRule.SET)
    return database


def counts(database):
    with database.reading() as session:
        return {blank.code: blank.on_hand for blank in all_stock(session)}


def opened(database, title="Board"):
    with database.writing(TEACHER) as work:
        return open_job(work, JobWish(title))


def test_a_blank_keeps_its_numbers_bit_for_bit(stocked, blanks):
    with stocked.reading() as session:
        kept = {b.code: numbers_of(b) for b in all_stock(session)}
        sheets = stock_as_sheets(session, Unit.MM)
    for blank in blanks:
        assert kept[blank.id].rocker == blank.rocker
        assert kept[blank.id].on_hand == blank.on_hand
    again = {b.id: b for b in stock_from_text(sheets["EUR"], "out")}
    assert [again[b.id].length for b in blanks] == [b.length for b in blanks]


def test_a_list_that_comes_again(stocked, blanks):
    for rule, expected in ((CountRule.KEEP, 3), (CountRule.ADD, 6), (CountRule.SET, 3)):
        with stocked.writing(TEACHER) as work:
            intake = take_in(work, blanks[:1], "", Unit.INCH, rule)
        assert (intake.added, intake.changed) == ((), ("Q-6-8-2.75",))
        assert counts(stocked)["Q-6-8-2.75"] == expected
    with stocked.reading() as session:
        assert find_blank(session, "Q-6-8-2.75").supplier == "Yard"


def test_a_job_takes_a_blank_and_puts_it_back(stocked):
    job = opened(stocked)
    with stocked.reading() as session:
        first, second = find_blank(session, "M-6-9").id, find_blank(session, "Q-6-8-2.75").id
    for blank, expected in ((first, (0, 3)), (first, (0, 3)), (second, (1, 2)), (None, (1, 3))):
        with stocked.writing(TEACHER) as work:
            give_blank(work, job.id, blank)
        assert (counts(stocked)["M-6-9"], counts(stocked)["Q-6-8-2.75"]) == expected


def test_none_left_is_told_and_the_job_keeps_what_it_had(stocked):
    with stocked.reading() as session:
        last, other = find_blank(session, "M-6-9").id, find_blank(session, "Q-6-8-2.75").id
    one, two = opened(stocked), opened(stocked)
    with stocked.writing(TEACHER) as work:
        give_blank(work, one.id, last)
        give_blank(work, two.id, other)
    with pytest.raises(ConflictError, match="No blank M-6-9 is left"), stocked.writing(TEACHER) as work:
        give_blank(work, two.id, last)
    assert counts(stocked) == {"M-6-9": 0, "Q-6-8-2.75": 2}


@pytest.mark.parametrize("apart", ["one program", "two programs"])
def test_two_who_want_the_last_blank_at_once(stocked, database_url, apart):
    """Eight at once, in one program and in several: one gets it, seven are told, none is made up."""
    with stocked.reading() as session:
        last = find_blank(session, "M-6-9").id
    jobs = [opened(stocked, f"Board {n}").id for n in range(8)]
    shops = [stocked if apart == "one program" else open_database(database_url) for _ in jobs]
    start, told = threading.Barrier(len(jobs)), []

    def take(shop: Database, job: int) -> None:
        start.wait()
        try:
            with shop.writing(Actor(f"bench {job}")) as work:
                give_blank(work, job, last)
            told.append("got it")
        except ConflictError:
            told.append("none left")

    threads = [threading.Thread(target=take, args=pair) for pair in zip(shops, jobs, strict=True)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for shop in shops:
        if shop is not stocked:
            shop.close()
    assert sorted(told) == ["got it"] + ["none left"] * 7
    assert counts(stocked)["M-6-9"] == 0
    with stocked.reading() as session:
        assert session.execute(text("SELECT count(*) FROM jobs WHERE blank_id IS NOT NULL")).scalar() == 1


def test_the_database_itself_keeps_counts_from_going_below_none(stocked):
    with pytest.raises(Exception, match="ck_blanks_on_hand"), stocked.engine.begin() as connection:
        connection.execute(text("UPDATE blanks SET on_hand = -1"))


def test_counting_the_rack(stocked):
    with stocked.reading() as session:
        blank = find_blank(session, "M-6-9")
    with stocked.writing(TEACHER) as work:
        count_blank(work, blank.id, 4, "found three behind the door")
    assert counts(stocked)["M-6-9"] == 4
    with stocked.reading() as session:
        assert happened_since(session, 0)[-1].detail["why"] == "found three behind the door"
    with pytest.raises(ShopError, match="There cannot be -1 of M-6-9"), stocked.writing(TEACHER) as work:
        count_blank(work, blank.id, -1, "")


def test_a_blank_in_the_archive_is_not_taken(stocked):
    job = opened(stocked)
    with stocked.writing(TEACHER) as work:
        blank = find_blank(work.session, "M-6-9")
        move_blank(work, blank.id, Shelf.ARCHIVE)
    assert "M-6-9" not in counts(stocked)
    with pytest.raises(ConflictError, match="M-6-9 is in the archive"), stocked.writing(TEACHER) as work:
        give_blank(work, job.id, blank.id)
