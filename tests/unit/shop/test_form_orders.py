"""The step to the form with orders: from a database with data in it, and back out of one that fails."""

from __future__ import annotations

import pytest
from order_support import open_trade, take
from sqlalchemy import inspect, text
from sqlalchemy.exc import DBAPIError

import foamwright.shop.opening as opening
from foamwright.shop import forms
from foamwright.shop.engines import WRITING, engine_of
from foamwright.shop.forms import form_of
from foamwright.shop.jobs import JobQuery, find_jobs
from foamwright.shop.opening import open_database
from foamwright.shop.people import all_people

BEFORE = "0002"


@pytest.fixture
def older_url(request, tmp_path, postgres_or_sqlite):
    """A database of the form before, with a rider, a job and a history in it."""
    url = postgres_or_sqlite
    engine = engine_of(url)
    with engine.execution_options(**{WRITING: True}).begin() as connection:
        forms.step_up(connection, BEFORE)
        now = (
            "'2026-03-02 09:00:00+00'" if engine.dialect.name != "sqlite" else "'2026-03-02 09:00:00.000000'"
        )
        connection.execute(
            text(
                "INSERT INTO people (name, experience, water, note, revision, made_at) "
                f"VALUES ('Ada', 'beginner', 'sea', '', 1, {now})"
            )
        )
        connection.execute(
            text(
                "INSERT INTO jobs (title, rider_id, board_sheet, blank_sheet, bay_sheet, plan_revision, "
                "stage, state, note, search, revision, made_at, changed_at) "
                "VALUES ('First', 1, '', '', '', 0, '', "
                f"'open', '', 'first ada', 1, {now}, {now})"
            )
        )
        connection.execute(
            text(
                "INSERT INTO history (at, who, what, detail) "
                f"VALUES ({now}, 'host', 'person-saved', '{{\"name\": \"Ada\"}}')"
            )
        )
    engine.dispose()
    return url


@pytest.fixture(params=["sqlite", "postgres"])
def postgres_or_sqlite(request, tmp_path):
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'older.sqlite'}"
    server = request.getfixturevalue("postgres")
    server.count += 1
    return server.create(f"older_{server.count}")


def test_data_is_all_there_and_orders_can_be_taken(older_url):
    database = open_database(older_url)
    try:
        with database.reading() as session:
            assert [person.name for person in all_people(session)] == ["Ada"]
            assert [job.title for job in find_jobs(session, JobQuery())] == ["First"]
        open_trade(database)
        assert take(database, who="Ada").person_id == 1
    finally:
        database.close()


def test_a_step_that_fails_half_way_leaves_the_older_form_with_its_data(older_url, monkeypatch):
    """The step itself is done, then something breaks before it is over: nothing of it stays."""

    def breaks(connection):
        connection.execute(text("INSERT INTO nowhere VALUES (1)"))

    monkeypatch.setattr(opening, "write_version", breaks)
    with pytest.raises(Exception, match="nowhere"):
        open_database(older_url)
    monkeypatch.undo()
    engine = engine_of(older_url)
    with engine.connect() as connection:
        assert form_of(connection) == BEFORE
        assert "orders" not in inspect(connection).get_table_names()
        assert connection.execute(text("SELECT name FROM people")).scalar() == "Ada"
    # The guard that the step replaces is back as well.
    with pytest.raises(DBAPIError, match="only ever added to"), engine.begin() as connection:
        connection.execute(text("UPDATE history SET detail = '{\"erased\": true}'"))
    engine.dispose()
    open_database(older_url).close()


def test_history_lets_a_person_be_erased_and_nothing_else(older_url):
    database = open_database(older_url)
    try:
        for change in (
            "detail = '{}'",
            "who = 'x'",
            "what = 'x'",
            "detail = '{\"erased\": true}', job_id = 1",
        ):
            with pytest.raises(DBAPIError, match="only ever added to"), database.engine.begin() as connection:
                connection.execute(text(f"UPDATE history SET {change}"))
        with database.engine.begin() as connection:
            connection.execute(text("UPDATE history SET who = '', detail = '{\"erased\": true}'"))
    finally:
        database.close()
