"""A command never writes over a sheet that it reads, under whatever name and through any link."""

import os
from pathlib import Path

import pytest

from foamwright.bay.bay import Bay
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs.brief import BriefOrder, brief_job
from foamwright.jobs.export import ExportOrder, write_export
from foamwright.jobs.job_sheets import refuse_other_file, refuse_own_sheets, write_results
from foamwright.jobs.learning import learn_from, write_learned
from foamwright.jobs.measure import write_form
from foamwright.units import System, Unit


@pytest.fixture
def rider(tmp_path: Path) -> Path:
    path = tmp_path / "r.toml"
    path.write_bytes(demo_path("demo.rider.toml").read_bytes())
    return path


@pytest.mark.parametrize("name", ["r.toml", "sub/../r.toml", "link.toml", "hard.toml"])
def test_a_brief_never_replaces_its_rider(rider: Path, name: str) -> None:
    folder = rider.parent
    (folder / "sub").mkdir()
    (folder / "link.toml").symlink_to("r.toml")
    os.link(rider, folder / "hard.toml")
    before = rider.read_bytes()
    with pytest.raises(InputError, match="would be written over"):
        brief_job(rider, BriefOrder(), System.MM).write(folder / name)
    assert rider.read_bytes() == before


def test_a_brief_never_replaces_the_board_it_is_like(rider: Path) -> None:
    board = rider.parent / "b.toml"
    board.write_bytes(demo_path("groyne.board.toml").read_bytes())
    with pytest.raises(InputError, match=r"b\.toml.*would be written over"):
        brief_job(rider, BriefOrder(like=board), System.MM).write(board)


def test_an_export_never_replaces_its_board(tmp_path: Path) -> None:
    board = tmp_path / "g.toml"
    board.write_bytes(demo_path("groyne.board.toml").read_bytes())
    (tmp_path / "g.stl").symlink_to(board)
    for to in (board, tmp_path / "g.stl"):
        with pytest.raises(InputError, match="would be written over"):
            write_export(board, to, ExportOrder())
    assert write_export(board, tmp_path / "g.csv", ExportOrder()) == (tmp_path / "g.csv").stat().st_size


def test_learning_never_replaces_the_bay_it_starts_from(tmp_path: Path) -> None:
    bay = tmp_path / "bay.toml"
    bay.write_bytes(demo_path("harbour.bay.toml").read_bytes())
    with pytest.raises(InputError, match="would be written over"):
        write_learned(Bay(), learn_from([], bay)[1], bay, Unit.MM, bay)


def test_results_in_a_folder_never_replace_a_sheet_that_was_read(tmp_path: Path) -> None:
    own = tmp_path / "close-cut.stock.toml"
    own.write_bytes(b"mine")
    with pytest.raises(InputError, match="would be written over"):
        write_results(tmp_path, {"close-cut.stock.toml": b"new", "a.json": b"{}"}, [None, own])
    assert own.read_bytes() == b"mine"
    assert not (tmp_path / "a.json").exists()


def test_what_is_not_there_stands_in_nobodys_way(tmp_path: Path) -> None:
    there, gone = tmp_path / "new.toml", tmp_path / "gone.toml"
    refuse_own_sheets([there], [gone, None])
    there.write_text("", "utf-8")
    refuse_own_sheets([there], [gone, None])
    with pytest.raises(InputError, match="would be written over"):
        refuse_own_sheets([there], [gone, None, there])


def test_a_form_that_is_filled_in_is_never_lost(tmp_path: Path) -> None:
    assert write_form("a,b\n", tmp_path) == write_form("a,b\n", tmp_path)
    (tmp_path / "readings.csv").write_text("a,b\n1,2\n")
    with pytest.raises(InputError, match="filled in would be lost"):
        write_form("a,b\n", tmp_path)


SHEETS = {
    "a board sheet": "groyne.board.toml",
    "a stock sheet": "harbour.stock.toml",
    "a rider sheet": "demo.rider.toml",
}


@pytest.mark.parametrize("kind", SHEETS)
def test_a_bay_sheet_never_replaces_a_sheet_of_another_kind(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "there.toml"
    path.write_bytes(before := demo_path(SHEETS[kind]).read_bytes())
    with pytest.raises(InputError, match=f"A{kind[1:]} lies there and would be lost. Name another file"):
        write_learned(Bay(), learn_from([], None)[1], path, Unit.MM)
    assert path.read_bytes() == before


@pytest.mark.parametrize("content", [b"Dear diary,\n", b'name = "mine"\n', b"\xff\x00picture", b"[rocker\n"])
def test_a_brief_never_replaces_what_is_no_sheet(rider: Path, content: bytes) -> None:
    path = rider.parent / "there.toml"
    path.write_bytes(content)
    with pytest.raises(InputError, match="What lies there is not a board sheet and would be lost"):
        brief_job(rider, BriefOrder(), System.MM).write(path)
    assert path.read_bytes() == content


def test_a_sheet_replaces_one_of_its_kind_and_an_empty_file(rider: Path) -> None:
    path = rider.parent / "there.toml"
    for before in (demo_path("groyne.board.toml").read_bytes(), b"", b"\n \n"):
        path.write_bytes(before)
        brief_job(rider, BriefOrder(), System.MM).write(path)
        assert "[outline]" in path.read_text("utf-8")
    path.write_bytes(demo_path("harbour.bay.toml").read_bytes())
    write_learned(Bay(), learn_from([], None)[1], path, Unit.MM)
    assert "Learned from" in path.read_text("utf-8")


def test_a_picture_never_replaces_a_sheet(rider: Path) -> None:
    with pytest.raises(InputError, match="What lies there is not a picture"):
        refuse_other_file(rider, "a picture", lambda content: content.startswith(b"<"))
