"""Pairing codes, sessions, the teacher's password, notes."""

from __future__ import annotations

import pytest
from shop_fixtures import TEACHER
from sqlalchemy import text

from foamwright.shop.about import signing_key
from foamwright.shop.jobs import JobWish, move_job, open_job
from foamwright.shop.kinds import Role, Shelf
from foamwright.shop.notes import add_note, note_seen, notes_of
from foamwright.shop.pairing import make_code, require_paired, try_code
from foamwright.shop.passwords import has_password, password_kept, require_password, set_password
from foamwright.shop.sessions import end_session, find_session, live_sessions
from foamwright.shop.told import RefusedError, ShopError, UnknownError


@pytest.fixture
def job(database):
    with database.writing(TEACHER) as work:
        return open_job(work, JobWish("Board"))


def made(database, role=Role.BENCH, job_id=None):
    with database.writing(TEACHER) as work:
        return make_code(work, role, job_id, "Bench 3")


def tried(database, code):
    with database.writing(TEACHER) as work:
        return try_code(work, code)


def wrong(code):
    return f"{(int(code) + 1) % 10**8:08d}"


def test_a_code_opens_one_session(database, job, clock):
    shown = made(database, job_id=job.id)
    assert len(shown.code) == 8
    session = tried(database, f" {shown.code[:3]} {shown.code[3:]} ")
    assert (session.role, session.job_id) == (Role.BENCH, job.id)
    assert tried(database, shown.code) is None
    with database.reading() as reading:
        found = find_session(reading, session.token, clock)
        assert (found.label, found.job_id) == ("Bench 3", job.id)
        assert find_session(reading, session.token + "x", clock) is None


def test_a_code_lives_five_minutes(database, clock):
    shown = made(database, Role.TEACHER)
    clock.pass_by(minutes=5)
    assert tried(database, shown.code) is None


def test_a_strangers_guesses_never_use_up_a_code(database):
    shown = made(database, Role.TEACHER)
    for _ in range(40):
        assert tried(database, wrong(shown.code)) is None
    assert tried(database, shown.code) is not None
    with pytest.raises(RefusedError, match="not, or no longer, good"):
        require_paired(None)


def test_a_bench_without_a_job_is_refused(database):
    with pytest.raises(ShopError, match="none is named"):
        made(database, Role.BENCH)


def test_neither_code_nor_token_stands_in_the_database(database, job):
    shown = made(database, job_id=job.id)
    session = tried(database, shown.code)
    with database.reading() as reading:
        rows = str(reading.execute(text("SELECT * FROM pairing_codes")).all())
        rows += str(reading.execute(text("SELECT * FROM sessions")).all())
        rows += str(reading.execute(text("SELECT * FROM history")).all())
    assert shown.code not in rows
    assert session.token not in rows


def test_a_session_ends_when_told_with_its_time_and_with_its_job(database, job, clock):
    tokens = [tried(database, made(database, job_id=job.id).code) for _ in range(3)]
    with database.writing(TEACHER) as work:
        end_session(work, tokens[0].id)
    with database.reading() as reading:
        assert find_session(reading, tokens[0].token, clock) is None
        assert len(live_sessions(reading, clock)) == 2
    with database.writing(TEACHER) as work:
        move_job(work, job.id, Shelf.ARCHIVE)
    with database.reading() as reading:
        assert find_session(reading, tokens[1].token, clock) is None
    with database.writing(TEACHER) as work:
        move_job(work, job.id, Shelf.IN_USE)
    with database.reading() as reading:
        assert find_session(reading, tokens[1].token, clock) is not None
        clock.pass_by(days=31)
        assert find_session(reading, tokens[1].token, clock) is None
    with pytest.raises(UnknownError, match="no paired device number 77"), database.writing(TEACHER) as work:
        end_session(work, 77)


def test_a_code_for_no_job_is_refused(database):
    with pytest.raises(UnknownError, match="no job number 5"):
        made(database, job_id=5)


def test_the_teachers_password(database):
    with database.reading() as session:
        nothing = password_kept(session)
    with pytest.raises(RefusedError, match="No teacher's password"):
        require_password(nothing, "anything at all")
    with pytest.raises(ShopError, match="fewer than 12"), database.writing(TEACHER) as work:
        set_password(work, "short")
    with database.writing(TEACHER) as work:
        set_password(work, "foam plane batten tide")
    with database.reading() as session:
        hashed = password_kept(session)
        kept = str(session.execute(text("SELECT value FROM about")).all())
    require_password(hashed, "foam plane batten tide")
    with pytest.raises(RefusedError, match="not the teacher's password"):
        require_password(hashed, "foam plane batten tides")
    assert "$argon2id$" in kept
    assert "batten" not in kept
    with database.writing(TEACHER) as work:
        set_password(work, None)
    with database.reading() as session:
        assert not has_password(session)


def test_the_shops_key_is_made_once(database):
    assert signing_key(database) == signing_key(database)
    assert len(signing_key(database)) == 32


def test_notes(database, job):
    with database.writing(TEACHER) as work:
        note = add_note(work, job.id, Role.TEACHER, "  Turn the plane.  ")
    with database.writing(TEACHER) as work:
        note_seen(work, job.id, note.id)
    with database.reading() as session:
        (kept,) = notes_of(session, job.id)
    assert (kept.words, kept.seen_at is not None) == ("Turn the plane.", True)
    with pytest.raises(ShopError, match="Nothing stands here"), database.writing(TEACHER) as work:
        add_note(work, job.id, Role.TEACHER, " \x07 ")
    with pytest.raises(UnknownError, match="no note number"), database.writing(TEACHER) as work:
        note_seen(work, job.id + 1, note.id)
