"""Backup, export, restore: the way round, and what is refused on it."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
import zipfile
from contextlib import closing

import pytest
from shop_fixtures import TEACHER
from sqlalchemy import select, text

from foamwright.blank.sheet import stock_from_text
from foamwright.board.sheet import board_from_text
from foamwright.shop.about import signing_key
from foamwright.shop.boards import add_board
from foamwright.shop.database import Database
from foamwright.shop.exporting import back_up, export, export_file
from foamwright.shop.jobs import JobWish, give_blank, open_job
from foamwright.shop.kinds import Measured, Role
from foamwright.shop.opening import open_database
from foamwright.shop.pairing import make_code, try_code
from foamwright.shop.passwords import set_password
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.plans import StepWish, put_plan
from foamwright.shop.portable import tables_in_order
from foamwright.shop.readings import ReadingWish, accept_all, store_readings
from foamwright.shop.restoring import Existing, restore
from foamwright.shop.stock import CountRule, take_in
from foamwright.shop.told import ConflictError, UnfitError
from foamwright.units import Unit


@pytest.fixture
def filled(database, board_sheet_text, stock_sheet_text, clock) -> Database:
    blanks = stock_from_text(stock_sheet_text, "s")
    with database.writing(TEACHER) as work:
        take_in(work, blanks, "Yard", Unit.INCH, CountRule.SET)
        board = add_board(work, board_sheet_text)
        rider = add_person(work, PersonWish("=Ada(1)", 72.5, 1.78))
        job = open_job(work, JobWish("Ada's first / board", rider.id, board.id))
        give_blank(work, job.id, 1)
        put_plan(
            work, job.id, job.revision, '{"π": [0.1, 1e-9]}', [StepWish("rocker", "run-off", 3, {"a": [1.5]})]
        )
        set_password(work, "foam plane batten tide")
        try_code(work, make_code(work, Role.TEACHER, None, "Laptop").code)
        sent = [
            ReadingWish(
                f"tablet-{n:032}",
                n,
                "rocker",
                "nose",
                1.9,
                Measured.ROCKER,
                0.1 + n / 7,
                "x",
                "tape",
                clock(),
            )
            for n in range(20)
        ]
        store_readings(work, job.id, sent, accept_all)
    signing_key(database)
    return database


def everything(database):
    with database.reading() as session:
        return {
            t.name: [tuple(row) for row in session.execute(select(t).order_by(*t.primary_key))]
            for t in tables_in_order()
        }


def without_secrets(rows):
    return {**rows, "about": [row for row in rows["about"] if row[0] == "version"]}


def new_url(request, tmp_path, kind):
    if kind == "postgres":
        server = request.getfixturevalue("postgres")
        server.count += 1
        return server.create(f"empty_{server.count}")
    return f"sqlite:///{tmp_path / 'other' / 'shop.sqlite'}"


@pytest.mark.parametrize("target", ["sqlite", "postgres"])
def test_an_export_brings_everything_back_into_either_database(filled, request, tmp_path, clock, target):
    export_file(filled, tmp_path / "shop.zip")
    url = new_url(request, tmp_path, target)
    assert restore(tmp_path / "shop.zip", url, tmp_path / "kept", clock=clock) is None
    again = open_database(url, clock)
    assert everything(again) == without_secrets(everything(filled))
    # The counters go on behind the highest number.
    with again.writing(TEACHER) as work:
        assert open_job(work, JobWish("Next")).id == 2
    again.close()


def test_a_backup_of_sqlite_is_a_file_taken_while_others_write(open_shop, sqlite_url, tmp_path, clock):
    shop = open_shop(sqlite_url)
    with shop.writing(TEACHER) as work:
        add_person(work, PersonWish("Ada"))
    with shop.writing(TEACHER) as work:
        add_person(work, PersonWish("Ben"))
        work.session.flush()
        back_up(shop, tmp_path / "b.sqlite")
    url = f"sqlite:///{tmp_path / 'other.sqlite'}"
    restore(tmp_path / "b.sqlite", url, tmp_path, clock=clock)
    again = open_database(url, clock)
    assert [row[1] for row in everything(again)["people"]] == ["Ada"]
    again.close()
    assert not list(tmp_path.glob(".*"))


def test_what_is_there_stays_unless_told_and_is_kept_then(filled, database_url, request, tmp_path, clock):
    backup = tmp_path / "b.zip"
    export_file(filled, backup)
    with filled.writing(TEACHER) as work:
        add_person(work, PersonWish("Late"))
    after = everything(filled)
    filled.close()
    with pytest.raises(ConflictError, match="holds 6 jobs, people, boards and blanks"):
        restore(backup, database_url, tmp_path / "kept", clock=clock)
    kept = restore(backup, database_url, tmp_path / "kept", Existing.GIVE_WAY, clock)
    again = open_database(database_url, clock)
    assert [row[1] for row in everything(again)["people"]] == ["=Ada(1)"]
    again.close()
    # And what was kept brings the late one back.
    url = new_url(request, tmp_path, "sqlite")
    restore(kept, url, tmp_path, clock=clock)
    before = open_database(url, clock)
    assert everything(before)["people"] == after["people"]
    before.close()


def test_a_database_in_use_is_not_pulled_away(open_shop, sqlite_url, tmp_path, clock):
    shop = open_shop(sqlite_url)
    with shop.writing(TEACHER) as work:
        add_person(work, PersonWish("Ada"))
    back_up(shop, tmp_path / "b.sqlite")
    with pytest.raises(UnfitError, match="Another foamwright has the database open"):
        restore(tmp_path / "b.sqlite", sqlite_url, tmp_path, Existing.GIVE_WAY, clock)


def test_an_export_holds_the_sheets_as_the_command_line_reads_them(filled):
    stream = io.BytesIO()
    export(filled, stream)
    with zipfile.ZipFile(stream) as packed:
        names = set(packed.namelist())
        board = packed.read("boards/00001-Groyne.board.toml").decode()
        stock = packed.read("stock/EUR.stock.toml").decode()
        readings = list(
            csv.DictReader(
                packed.read("jobs/00001-Ada-s-first-board/readings.csv").decode("utf-8-sig").splitlines()
            )
        )
        people = packed.read("people.csv").decode("utf-8-sig")
        everything_in_it = b"".join(packed.read(name) for name in names)
    assert board_from_text(board, "b").name == "Groyne"
    assert {b.id: b.on_hand for b in stock_from_text(stock, "s")} == {"M-6-9": 1, "Q-6-8-2.75": 2}
    assert [float(r["value_m"]) for r in readings] == [0.1 + n / 7 for n in range(20)]
    assert "'=Ada(1)" in people
    assert "jobs/00001-Ada-s-first-board/plan.json" in names
    assert signing_key(filled).hex().encode() not in everything_in_it
    assert b"argon2" not in everything_in_it
    assert "rows/sessions.jsonl" not in names


def test_the_same_shop_gives_the_same_bytes(filled):
    streams = [io.BytesIO(), io.BytesIO()]
    for stream in streams:
        export(filled, stream)
    assert streams[0].getvalue() == streams[1].getvalue()


def repacked(path, change):
    with zipfile.ZipFile(path) as source:
        files = {name: source.read(name) for name in source.namelist()}
    change(files)
    with zipfile.ZipFile(path, "w") as target:
        for name, content in files.items():
            target.writestr(name, content)


def tampered(files):
    files["rows/people.jsonl"] = files["rows/people.jsonl"].replace(b"72.5", b"95.0")


def newer(files):
    manifest = json.loads(files["manifest.json"])
    files["manifest.json"] = json.dumps({**manifest, "form": "9999"}).encode()


@pytest.mark.parametrize(
    ("change", "match"),
    [
        (tampered, "people is not as it was written"),
        (newer, r"written by a newer foamwright \(form 9999\)"),
        (lambda files: files.pop("rows/jobs.jsonl"), "is not a backup of a shop"),
        (lambda files: files.pop("manifest.json"), "is not a backup of a shop"),
        (lambda files: files.update({"manifest.json": b"[1"}), "is not a backup of a shop"),
    ],
)
def test_a_spoilt_export_is_refused_and_nothing_is_touched(filled, tmp_path, clock, change, match):
    export_file(filled, tmp_path / "b.zip")
    repacked(tmp_path / "b.zip", change)
    target = tmp_path / "other" / "shop.sqlite"
    with pytest.raises(UnfitError, match=match):
        restore(tmp_path / "b.zip", f"sqlite:///{target}", tmp_path, clock=clock)
    assert not target.exists()


def test_a_file_that_is_no_backup_is_refused(tmp_path, clock):
    (tmp_path / "letter.txt").write_text("Dear all")
    for name in ("letter.txt", "missing.zip"):
        with pytest.raises(UnfitError, match="is not a backup of a shop"):
            restore(tmp_path / name, f"sqlite:///{tmp_path / 'x.sqlite'}", tmp_path, clock=clock)


def test_a_copy_of_sqlite_does_not_go_into_postgres(open_shop, sqlite_url, request, tmp_path, clock):
    back_up(open_shop(sqlite_url), tmp_path / "b.sqlite")
    with pytest.raises(UnfitError, match="cannot be brought back into PostgreSQL"):
        restore(tmp_path / "b.sqlite", new_url(request, tmp_path, "postgres"), tmp_path, clock=clock)


def test_a_damaged_database_gives_way_to_its_backup(open_shop, sqlite_url, tmp_path, clock):
    shop = open_shop(sqlite_url)
    with shop.writing(TEACHER) as work:
        add_person(work, PersonWish("Ada"))
    back_up(shop, tmp_path / "b.sqlite")
    shop.close()
    path = tmp_path / "shop.sqlite"
    with closing(sqlite3.connect(path)) as whole:
        whole.execute("PRAGMA journal_mode=DELETE")
    path.write_bytes(path.read_bytes()[:4096] + b"\xff" * 200_000)
    kept = restore(tmp_path / "b.sqlite", sqlite_url, tmp_path / "kept", Existing.GIVE_WAY, clock)
    assert kept is not None
    assert kept.stat().st_size > 0
    again = open_database(sqlite_url, clock)
    with again.reading() as session:
        assert session.execute(text("SELECT name FROM people")).scalar() == "Ada"
    again.close()
