"""Boards: every text kept, a stale change shown the difference."""

from __future__ import annotations

import pytest
from shop_fixtures import TEACHER
from sqlalchemy import select

from foamwright.errors import InputError
from foamwright.shop.boards import add_board, all_boards, board_at, change_board, move_board
from foamwright.shop.database import Actor
from foamwright.shop.kinds import Shelf
from foamwright.shop.tables import BoardRevision
from foamwright.shop.told import ShopError, StaleError, UnknownError


def added(database, sheet):
    with database.writing(TEACHER) as work:
        return add_board(work, sheet)


def changed(database, board, revision, sheet, who="teacher"):
    with database.writing(Actor(who)) as work:
        return change_board(work, board.id, revision, sheet)


def test_a_board_is_called_what_its_sheet_calls_it(database, board_sheet_text):
    board = added(database, board_sheet_text)
    assert (board.name, board.revision) == ("Groyne", 1)
    with database.reading() as session:
        assert [one.name for one in all_boards(session)] == ["Groyne"]


def test_a_sheet_that_cannot_stand_is_refused_with_every_problem(database, board_sheet_text):
    bad = board_sheet_text.replace('length = "6\'4\\""', 'length = "six"').replace("nose = 4.75", "nose = -1")
    with pytest.raises(InputError) as refusal:
        added(database, bad)
    assert len(refusal.value.problems) >= 2
    with database.reading() as session:
        assert all_boards(session) == []


def test_a_sheet_of_ten_thousand_stations_is_refused_at_once(database, board_sheet_text):
    stations = "\n".join(f'"{n / 1000} from nose" = 2' for n in range(10_000))
    with pytest.raises(ShopError, match="longer than 60000 characters"):
        added(database, board_sheet_text.replace("[rocker]", f"[rocker]\n{stations}"))


def test_every_text_is_kept(database, board_sheet_text):
    board = added(database, board_sheet_text)
    changed(database, board, 1, board_sheet_text.replace("4.75", "4.5"))
    with database.reading() as session:
        assert "4.75" in board_at(session, board.id, 1).sheet
        assert "4.75" not in board_at(session, board.id, 2).sheet
        with pytest.raises(UnknownError, match="no board number"):
            board_at(session, board.id, 3)


def test_the_second_editor_is_shown_the_difference_and_nothing_is_overwritten(database, board_sheet_text):
    board = added(database, board_sheet_text)
    changed(database, board, 1, board_sheet_text.replace("nose = 4.75", "nose = 4.5"), who="Ada")
    with pytest.raises(
        StaleError, match="changed meanwhile by Ada: it is at revision 2, yours began at 1"
    ) as stale:
        changed(database, board, 1, board_sheet_text.replace("nose = 4.75", "nose = 5"), who="Ben")
    assert [line for line in stale.value.difference if line[0] in "+-"] == ["-nose = 4.5", "+nose = 5"]
    assert not any(line.startswith("@") for line in stale.value.difference)
    assert stale.value.revision == 2
    with database.reading() as session:
        assert len(session.scalars(select(BoardRevision)).all()) == 2


def test_sending_the_same_text_twice_is_one_change(database, board_sheet_text):
    board = added(database, board_sheet_text)
    text = board_sheet_text.replace("4.75", "4.5")
    assert changed(database, board, 1, text).revision == 2
    assert changed(database, board, 1, text).revision == 2


def test_a_board_in_the_archive_is_not_listed_and_comes_back(database, board_sheet_text):
    board = added(database, board_sheet_text)
    with database.writing(TEACHER) as work:
        move_board(work, board.id, Shelf.ARCHIVE)
    with database.reading() as session:
        assert all_boards(session) == []
        assert len(all_boards(session, Shelf.ARCHIVE)) == 1
    with database.writing(TEACHER) as work:
        move_board(work, board.id, Shelf.IN_USE)
    with database.reading() as session:
        assert len(all_boards(session)) == 1
