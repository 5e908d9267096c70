"""Riders."""

from __future__ import annotations

import pytest
from shop_fixtures import TEACHER

from foamwright.shop.jobs import JobQuery, JobWish, find_jobs, open_job
from foamwright.shop.kinds import Shelf
from foamwright.shop.people import PersonWish, add_person, all_people, change_person, move_person
from foamwright.shop.told import ConflictError, ShopError, UnknownError


def added(database, name="Ada Brook", **numbers):
    with database.writing(TEACHER) as work:
        return add_person(work, PersonWish(name, **numbers))


def test_a_rider_is_kept_as_written(database):
    person = added(
        database, "  Ada   Brook\x00 ", mass_kg=72.5, stature_m=1.78, note="likes <b>vee</b>\r\nwide tails"
    )
    with database.reading() as session:
        (found,) = all_people(session)
    assert (found.id, found.name, found.mass_kg) == (person.id, "Ada Brook", 72.5)
    assert found.note == "likes <b>vee</b>\nwide tails"


@pytest.mark.parametrize(
    ("wish", "field", "match"),
    [
        (PersonWish(" "), "name", "Nothing stands here"),
        (PersonWish("x" * 121), "name", "longer than 120"),
        (PersonWish("Ada", mass_kg=7), "mass_kg", "“7” is beyond what can be. It lies between 10 and 250"),
        (PersonWish("Ada", stature_m=float("nan")), "stature_m", "beyond what can be"),
        (PersonWish("Ada", note="x" * 4001), "note", "longer than 4000"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(database, wish, field, match):
    with pytest.raises(ShopError, match=match) as refusal, database.writing(TEACHER) as work:
        add_person(work, wish)
    assert refusal.value.problems[0].where == field


def test_two_who_change_one_rider(database):
    person = added(database)
    with database.writing(TEACHER) as work:
        assert change_person(work, person.id, 1, PersonWish("Ada Stone")).revision == 2
    with (
        pytest.raises(ConflictError, match="revision 2, yours began at 1"),
        database.writing(TEACHER) as work,
    ):
        change_person(work, person.id, 1, PersonWish("Ada Brooks"))
    with pytest.raises(UnknownError, match="no person number 99"), database.writing(TEACHER) as work:
        change_person(work, 99, 1, PersonWish("Nobody"))


def test_a_job_is_found_by_its_riders_new_name(database):
    person = added(database, "Öhm Ärger")
    with database.writing(TEACHER) as work:
        open_job(work, JobWish("First board", rider_id=person.id))
    with database.writing(TEACHER) as work:
        change_person(work, person.id, 1, PersonWish("Zoë Straße"))
    with database.reading() as session:
        assert len(find_jobs(session, JobQuery("STRASSE zoË"))) == 1
        assert find_jobs(session, JobQuery("ärger")) == []


def test_the_archive(database):
    person = added(database)
    with database.writing(TEACHER) as work:
        move_person(work, person.id, Shelf.ARCHIVE)
    with database.reading() as session:
        assert all_people(session) == []
        assert [one.name for one in all_people(session, Shelf.ARCHIVE)] == ["Ada Brook"]
    with pytest.raises(ConflictError, match="Ada Brook is in the archive"), database.writing(TEACHER) as work:
        open_job(work, JobWish("Board", rider_id=person.id))
