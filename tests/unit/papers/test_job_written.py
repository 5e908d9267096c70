"""The papers of a plan are written all together or not at all."""

import json

import pytest

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import bay_sheet, read_bay
from foamwright.blank.sheet import read_stock
from foamwright.board.sheet import read_board
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs.job_sheets import GivenSheets, sheets_of
from foamwright.jobs.planning import write_papers
from foamwright.units import System
from tests.plans import demo_plan


def test_plan_and_papers_are_written_for_one_paper(tmp_path):
    written = write_papers(demo_plan(), tmp_path / "job", "letter", System.MM)
    names = {path.relative_to(tmp_path / "job").as_posix() for path in written}
    assert {"plan.json", "wall.pdf", "templates/outline-letter.pdf", "templates/outline.dxf"} <= names
    assert not [name for name in names if "a4" in name]
    assert all(path.is_file() for path in written)
    assert json.loads((tmp_path / "job" / "plan.json").read_text("utf-8"))["board"] == "Groyne"
    assert (tmp_path / "job" / "wall.pdf").read_bytes().startswith(b"%PDF")


def test_nothing_is_left_where_one_paper_cannot_be_written(tmp_path):
    (tmp_path / "job" / "templates").mkdir(parents=True)
    (tmp_path / "job" / "templates" / "rocker.svg").mkdir()
    with pytest.raises(InputError, match="a folder of that name stands there"):
        write_papers(demo_plan(), tmp_path / "job", "a4", System.INCH)
    left = sorted(path.relative_to(tmp_path / "job").as_posix() for path in (tmp_path / "job").rglob("*"))
    assert left == ["templates", "templates/rocker.svg"]


def test_the_jobs_sheets_go_along(tmp_path):
    plan = demo_plan()
    for name, content in sheets_of(plan, GivenSheets(), tmp_path, System.INCH).items():
        (tmp_path / name).write_bytes(content)
    assert read_board(tmp_path / "board.toml") == plan.board.numbers
    assert read_bay(tmp_path / "bay.toml") == plan.bay
    assert read_stock(tmp_path / "blank.toml") == (plan.blank.numbers,)
    assert not (tmp_path / "rider.toml").exists()


def test_sheets_that_are_files_go_along_word_for_word(tmp_path):
    board, rider = demo_path("groyne.board.toml"), demo_path("demo.rider.toml")
    sheets = sheets_of(demo_plan(), GivenSheets(board, None, rider), tmp_path, System.INCH)
    assert sheets["board.toml"] == board.read_bytes()
    assert sheets["rider.toml"] == rider.read_bytes()


@pytest.mark.parametrize("name", ["board.toml", "bay.toml", "blank.toml"])
def test_a_sheet_in_a_folder_that_is_no_job_is_not_overwritten(tmp_path, name):
    (tmp_path / name).write_text("# mine")
    with pytest.raises(InputError, match=f"{name}: Another sheet lies there and would be lost"):
        write_papers(demo_plan(), tmp_path, "a4", System.INCH)
    assert [path.name for path in tmp_path.iterdir()] == [name]
    assert (tmp_path / name).read_text() == "# mine"


def test_a_jobs_bay_is_not_lost_when_it_is_planned_again_without_one(tmp_path):
    plan = demo_plan()
    (tmp_path / "plan.json").write_text("{}")
    (tmp_path / "board.toml").write_text("# an earlier one")
    assert "board.toml" in sheets_of(plan, GivenSheets(), tmp_path, System.INCH)
    (tmp_path / "bay.toml").write_text(bay_sheet(Bay(name="learned")))
    with pytest.raises(InputError, match="Plan with it"):
        sheets_of(plan, GivenSheets(), tmp_path, System.INCH)
    bay = demo_path("harbour.bay.toml")
    assert sheets_of(plan, GivenSheets(bay=bay), tmp_path, System.INCH)["bay.toml"] == bay.read_bytes()
