"""A command never writes over a sheet that it reads, under whatever name and through any link."""

import os
from pathlib import Path

import pytest

from foamwright.bay.bay import Bay
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs.brief import BriefOrder, brief_job
from foamwright.jobs.export import ExportOrder, write_export
from foamwright.jobs.job_sheets import refuse_own_sheets, write_results
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
    refuse_own_sheets([tmp_path / "new.toml"], [tmp_path / "gone.toml", None])


def test_a_form_that_is_filled_in_is_never_lost(tmp_path: Path) -> None:
    assert write_form("a,b\n", tmp_path) == write_form("a,b\n", tmp_path)
    (tmp_path / "readings.csv").write_text("a,b\n1,2\n")
    with pytest.raises(InputError, match="filled in would be lost"):
        write_form("a,b\n", tmp_path)
