"""A database of an older form is brought up to date; a step that fails changes nothing."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from shop_fixtures import TEACHER
from sqlalchemy import inspect, text
from sqlalchemy.exc import OperationalError

import foamwright.shop.migrations
from foamwright.shop import forms
from foamwright.shop.exporting import export_file
from foamwright.shop.opening import open_database
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.restoring import restore
from foamwright.shop.told import UnfitError

STEP = """
import sqlalchemy as sa
from alembic import op

revision = "next"
down_revision = "{head}"


def upgrade():
    op.add_column("people", sa.Column("nickname", sa.Text(), nullable=False, server_default="none"))
    {more}
"""


@pytest.fixture
def next_form(tmp_path, monkeypatch):
    """Makes a foamwright that is one form newer than this one."""

    def make(more: str = "") -> None:
        scripts = tmp_path / "migrations"
        shutil.copytree(Path(foamwright.shop.migrations.__file__).parent, scripts, dirs_exist_ok=True)
        (scripts / "versions" / "form_next.py").write_text(STEP.format(head=head, more=more))

        def config():
            from alembic.config import Config

            one = Config()
            one.set_main_option("script_location", str(scripts))
            return one

        monkeypatch.setattr(forms, "_config", config)
        forms._scripts.cache_clear()

    head = forms.head()
    yield make
    monkeypatch.undo()
    forms._scripts.cache_clear()


def with_a_rider(database):
    with database.writing(TEACHER) as work:
        add_person(work, PersonWish("Ada"))
    database.close()


def nicknames(database):
    with database.reading() as session:
        return session.execute(text("SELECT name, nickname FROM people")).all()


def test_an_older_database_is_brought_up_to_date(database, database_url, open_shop, next_form):
    with_a_rider(database)
    next_form()
    newer = open_shop(database_url)
    assert nicknames(newer) == [("Ada", "none")]


def test_a_copy_is_put_beside_it_first(open_shop, sqlite_url, tmp_path, next_form):
    with_a_rider(open_shop(sqlite_url))
    next_form()
    open_shop(sqlite_url)
    with closing(sqlite3.connect(tmp_path / "shop.before-next.sqlite")) as copy:
        assert copy.execute("SELECT name FROM people").fetchall() == [("Ada",)]
        assert "nickname" not in {row[1] for row in copy.execute("PRAGMA table_info(people)")}


def test_a_step_that_fails_changes_nothing(database, database_url, next_form):
    with_a_rider(database)
    next_form('op.execute("INSERT INTO nowhere VALUES (1)")')
    with pytest.raises((UnfitError, OperationalError), match=r"nowhere"):
        open_database(database_url)
    assert "nickname" not in {column["name"] for column in inspect(database.engine).get_columns("people")}


def test_an_export_of_an_older_form_is_brought_up_to_date(database, open_shop, tmp_path, clock, next_form):
    with database.writing(TEACHER) as work:
        add_person(work, PersonWish("Ada"))
    export_file(database, tmp_path / "old.zip")
    next_form()
    url = f"sqlite:///{tmp_path / 'new.sqlite'}"
    restore(tmp_path / "old.zip", url, tmp_path, clock=clock)
    assert nicknames(open_shop(url)) == [("Ada", "none")]
