"""Riders."""

from __future__ import annotations

import pytest
from shop_fixtures import TEACHER

from foamwright.sheets.rider import rider_from_text
from foamwright.shop.jobs import JobQuery, JobWish, find_jobs, open_job
from foamwright.shop.kinds import Shelf
from foamwright.shop.people import (
    PersonWish,
    add_person,
    all_people,
    change_person,
    move_person,
    rider_sheet,
)
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
        (PersonWish("x" * 101), "name", "longer than 100"),
        (PersonWish("Ada", mass_kg=7), "mass_kg", "is from 15 kg to 250 kg|not possible"),
        (PersonWish("Ada", stature_m=float("nan")), "stature_m", "nan"),
        (PersonWish("Ada", experience="wizard"), "experience", "“wizard” is not an experience"),
        (PersonWish("Ada", water="tea"), "water", "“tea” is not a water"),
        (PersonWish("Ada", water="sea, -3 C"), "water", "is ice at -3 C"),
        (PersonWish("Ada", note="x" * 4001), "note", "longer than 2000"),
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


def test_a_rider_comes_out_as_a_sheet_once_everything_is_known(database):
    person = added(database, "Ada “B”", mass_kg=72.5, stature_m=1.778, experience="beginner")
    assert rider_sheet(person) is None
    with database.writing(TEACHER) as work:
        full = change_person(work, person.id, 1, PersonWish("Ada", 72.5, 1.778, "beginner", "sea, 18 C"))
    rider = rider_from_text(rider_sheet(full), "rider.toml")
    assert (rider.mass, rider.stature, rider.water.temperature_c) == (72.5, 1.778, 18.0)
