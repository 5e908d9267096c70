"""A restore believes nothing of its file: no keys, no strangers' tables or triggers, no damage, no bombs."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import sqlite3
import tracemalloc
import zipfile
from contextlib import closing

import pytest
from shop_fixtures import TEACHER
from sqlalchemy import text

from foamwright.shop.about import signing_key
from foamwright.shop.backup_files import open_backup
from foamwright.shop.backup_rows import LONGEST
from foamwright.shop.exporting import back_up, export_file
from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.kinds import Measured, Role
from foamwright.shop.opening import open_database
from foamwright.shop.pairing import make_code, try_code
from foamwright.shop.passwords import set_password
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.readings import ReadingWish, accept_all, readings_of, store_readings
from foamwright.shop.restoring import restore
from foamwright.shop.schema import require_own_schema
from foamwright.shop.told import UnfitError


def reading(number, clock):
    return ReadingWish(
        f"tablet-{number:032}", number, "rocker", "nose", 1.9, Measured.ROCKER, 0.1, "x", "tape", clock()
    )


@pytest.fixture
def shop(open_shop, sqlite_url, clock):
    one = open_shop(sqlite_url)
    with one.writing(TEACHER) as work:
        add_person(work, PersonWish("Ada", 72.5, 1.78))
        job = open_job(work, JobWish("First"))
        set_password(work, "foam plane batten tide")
        try_code(work, make_code(work, Role.TEACHER, None, "Laptop").code)
        store_readings(work, job.id, [reading(n, clock) for n in range(20)], accept_all)
    signing_key(one)
    return one


def changed(path, table, change):
    """Change the lines of one table of an export, and recompute what the manifest says of them."""
    with zipfile.ZipFile(path) as source:
        files = {name: source.read(name) for name in source.namelist()}
    name = f"rows/{table}.jsonl"
    lines = change(files.get(name, b"").decode().splitlines())
    files[name] = "".join(line + "\n" for line in lines).encode()
    manifest = json.loads(files["manifest.json"])
    digest = hashlib.sha256(files[name]).hexdigest()
    manifest["tables"][table] = {"rows": len(lines), "sha256": digest}
    files["manifest.json"] = json.dumps(manifest).encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for each, content in files.items():
            target.writestr(each, content)


def with_value(name, value):
    return lambda lines: [json.dumps({**json.loads(lines[0]), name: value}), *lines[1:]]


@pytest.mark.parametrize(
    ("table", "change", "match"),
    [
        ("about", lambda rows: [*rows, '{"name": "signing-key", "value": "00"}'], "holds a “signing-key”"),
        ("about", lambda rows: [*rows, '{"name": "teacher-password", "value": "x"}'], "teacher-password"),
        ("sessions", lambda rows: ['{"id": 1, "token_digest": "x"}'], "tables that are not ours"),
        ("pairing_codes", lambda rows: ['{"id": 1, "code_digest": "x"}'], "tables that are not ours"),
        ("alembic_version", lambda rows: ['{"version_num": "0001"}'], "tables that are not ours"),
        ("sqlite_master", lambda rows: ['{"sql": "x"}'], "tables that are not ours"),
        ("people", with_value("mass_kg", "heavy"), r"people\.mass_kg holds a value of another kind"),
        ("people", with_value("mass_kg", float("nan")), "a row of people cannot be read"),
        ("people", with_value("mass_kg", True), r"people\.mass_kg"),
        ("people", with_value("revision", 2**70), r"people\.revision"),
        ("people", with_value("made_at", "yesterday"), r"people\.made_at"),
        ("people", with_value("name", None), r"people\.name"),
        ("people", with_value("name", "\ud800"), "The backup is damaged"),
        ("people", with_value("more", 1), "a row of people has other columns"),
        ("people", lambda rows: ["[" * 100_000], "a row of people cannot be read"),
        ("readings", with_value("job_id", 99), "The backup is damaged"),
        ("history", with_value("detail", [1]), r"history\.detail"),
    ],
)
def test_an_export_that_somebody_wrote_into_is_refused(shop, tmp_path, clock, table, change, match):
    export_file(shop, tmp_path / "b.zip")
    changed(tmp_path / "b.zip", table, change)
    target = tmp_path / "other" / "shop.sqlite"
    with pytest.raises(UnfitError, match=match):
        restore(tmp_path / "b.zip", f"sqlite:///{target}", tmp_path, clock=clock)
    assert not target.exists()
    assert not list(tmp_path.glob("other/.*"))


def test_a_trigger_in_a_copy_is_left_behind_and_readings_stay(shop, tmp_path, clock):
    back_up(shop, tmp_path / "b.sqlite")
    with closing(sqlite3.connect(tmp_path / "b.sqlite")) as copy:
        copy.execute("CREATE TRIGGER gone BEFORE INSERT ON readings BEGIN SELECT RAISE(IGNORE); END")
        copy.execute("DROP TRIGGER history_no_DELETE")
        copy.commit()
    url = f"sqlite:///{tmp_path / 'other.sqlite'}"
    restore(tmp_path / "b.sqlite", url, tmp_path, clock=clock)
    again = open_database(url, clock)
    with again.writing(TEACHER) as work:
        store_readings(work, 1, [reading(99, clock)], accept_all)
    with again.reading() as session:
        assert len(readings_of(session, 1)) == 21
    require_own_schema(again.engine)
    # The copy of one's own database keeps its key: paired tablets go on.
    assert signing_key(again) == signing_key(shop)
    again.close()


@pytest.mark.parametrize(
    "change",
    [
        "CREATE TABLE more (id INTEGER)",
        "ALTER TABLE people ADD COLUMN more TEXT",
        "UPDATE people SET mass_kg = 'heavy'",
        "UPDATE people SET made_at = 'yesterday'",
        "ALTER TABLE notes RENAME TO old_notes; CREATE VIEW notes AS SELECT * FROM old_notes",
    ],
)
def test_a_copy_that_somebody_wrote_into_is_refused(shop, tmp_path, clock, change):
    back_up(shop, tmp_path / "b.sqlite")
    with closing(sqlite3.connect(tmp_path / "b.sqlite")) as copy:
        copy.executescript(change)
    target = tmp_path / "other.sqlite"
    with pytest.raises(UnfitError, match="The backup is damaged"):
        restore(tmp_path / "b.sqlite", f"sqlite:///{target}", tmp_path, clock=clock)
    assert not target.exists()


@pytest.mark.parametrize("kind", ["zip", "sqlite"])
def test_a_damaged_file_is_refused_in_words_or_restored_whole(shop, tmp_path, clock, kind):
    """Sixty damaged files of each kind: no other error than words, and nothing half restored."""
    whole = tmp_path / f"whole.{kind}"
    (export_file if kind == "zip" else back_up)(shop, whole)
    content = whole.read_bytes()
    chance = random.Random(17)
    refused = 0
    for number in range(60):
        spoilt = bytearray(content)
        for _ in range(chance.choice((1, 1, 3, 30))):
            at = chance.randrange(len(spoilt))
            spoilt[at] ^= 1 << chance.randrange(8)
        if chance.random() < 0.2:
            del spoilt[chance.randrange(len(spoilt)) :]
        file, target = tmp_path / f"b.{kind}", tmp_path / f"{number}.sqlite"
        file.write_bytes(spoilt)
        try:
            restore(file, f"sqlite:///{target}", tmp_path, clock=clock)
        except UnfitError:
            refused += 1
            assert not target.exists()
        else:
            require_own_schema(open_database(f"sqlite:///{target}").engine)
    # Damage in what people read (sheets beside the rows), or in free pages, harms nothing.
    assert refused > 10


def test_a_line_that_would_fill_the_memory_is_refused(shop, tmp_path, clock):
    export_file(shop, tmp_path / "b.zip")
    changed(tmp_path / "b.zip", "notes", lambda rows: ["x" * (10 * LONGEST)])
    tracemalloc.start()
    try:
        backup = open_backup(tmp_path / "b.zip")
        whole = tracemalloc.get_traced_memory()[1]
        tracemalloc.reset_peak()
        with pytest.raises(UnfitError, match="a row of notes is longer than any of ours"):
            restore(backup.path, f"sqlite:///{tmp_path / 'other.sqlite'}", tmp_path, clock=clock)
        assert max(whole, tracemalloc.get_traced_memory()[1]) < 6 * LONGEST
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize(
    ("change", "match"),
    [
        (
            {
                "sqlite": "CREATE TRIGGER gone BEFORE INSERT ON readings BEGIN SELECT RAISE(IGNORE); END",
                "postgresql": "CREATE RULE gone AS ON INSERT TO readings DO INSTEAD NOTHING",
            },
            "gone is not ours",
        ),
        (
            {
                "sqlite": "DROP TRIGGER history_no_DELETE",
                "postgresql": "DROP TRIGGER history_no_delete ON history",
            },
            r"history_no_(?i:delete) is missing",
        ),
        (dict.fromkeys(("sqlite", "postgresql"), "CREATE TABLE more (id INTEGER)"), "more is not ours"),
    ],
)
def test_the_check_finds_what_was_added_or_taken(database, change, match):
    require_own_schema(database.engine)
    with database.engine.begin() as connection:
        connection.execute(text(change[connection.dialect.name]))
    with pytest.raises(UnfitError, match=match):
        require_own_schema(database.engine)
    with database.engine.begin() as connection:
        assert connection.scalar(text("SELECT count(*) FROM about")) is not None


def test_a_copy_of_a_copy_is_the_same(shop, tmp_path, clock):
    back_up(shop, tmp_path / "b.sqlite")
    restore(tmp_path / "b.sqlite", f"sqlite:///{tmp_path / 'one.sqlite'}", tmp_path, clock=clock)
    shutil.copy(tmp_path / "one.sqlite", tmp_path / "two.sqlite")
    dumps = []
    for name in ("b", "two"):
        with closing(sqlite3.connect(tmp_path / f"{name}.sqlite")) as copy:
            # Codes are good for minutes: no backup brings them back.
            dumps.append(
                [line for line in copy.iterdump() if not line.startswith('INSERT INTO "pairing_codes"')]
            )
    assert sorted(dumps[0]) == sorted(dumps[1])
