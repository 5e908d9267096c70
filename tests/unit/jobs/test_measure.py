"""The measure job and its command: scans, readings, forms, refusals, files."""

import argparse
import json
from pathlib import Path

import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text, read_board
from foamwright.cli.commands import measure as command
from foamwright.errors import InputError
from foamwright.exchange.mesh_files import stl_bytes, surface_of
from foamwright.exchange.solids import board_body
from foamwright.jobs.export import ExportOrder, export_job
from foamwright.jobs.measure import As, MeasureOrder, form_job, measure_job
from foamwright.units import System, Unit

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"
BOARD = DEMO / "groyne.board.toml"


@pytest.fixture(scope="module")
def scan(tmp_path_factory):
    """A board exported as STL: no noise, no holes."""
    path = tmp_path_factory.mktemp("scan") / "groyne.stl"
    path.write_bytes(stl_bytes([surface_of(board_body(board_of(read_board(BOARD))), 60, 30)]))
    return path


def test_what_was_exported_is_measured_as_itself(scan, tmp_path):
    job = measure_job(scan, MeasureOrder(unit=Unit.MM, against=BOARD))
    board = board_of(read_board(BOARD))
    found = {mark.place: mark.value for mark in job.numbers.rocker}
    for mark in board.numbers.rocker:
        assert found[mark.place] == pytest.approx(mark.value, abs=0.0006)
    assert job.deviation.root_mean_square < 1e-4
    files = job.files()
    named = ["deviation.csv", "deviation.pdf", "deviation.svg", "measure.json", "measured.board.toml"]
    assert sorted(files) == named
    assert files["deviation.pdf"].startswith(b"%PDF-1.7")
    assert files["deviation.pdf"] == job.files()["deviation.pdf"]
    document = json.loads(files["measure.json"])
    assert document["length_m"] == pytest.approx(board.length, abs=0.0005)
    board_of(board_from_text(files["measured.board.toml"].decode(), "measured.board.toml"))


def test_the_unit_is_asked_for(scan):
    with pytest.raises(InputError, match="Say --unit"):
        measure_job(scan, MeasureOrder())


def test_a_blank_needs_its_foam(scan):
    with pytest.raises(InputError, match="does not show the foam"):
        measure_job(scan, MeasureOrder(unit=Unit.MM, kind=As.BLANK))
    with pytest.raises(InputError, match="--foam"):
        measure_job(scan, MeasureOrder(unit=Unit.MM, kind=As.BLANK, foam="balsa"))


def test_an_unknown_ending_is_told(tmp_path):
    with pytest.raises(InputError, match=r"is no scan. It can be .stl, .obj, .ply, .3mf, .csv"):
        measure_job(tmp_path / "board.step", MeasureOrder(unit=Unit.MM))


def test_a_csv_of_stations_becomes_a_sheet(tmp_path):
    path = tmp_path / "stations.csv"
    path.write_bytes(export_job(BOARD, path, ExportOrder()))
    job = measure_job(path, MeasureOrder(name="again"))
    assert job.numbers.name == "again"
    assert any(finding.code == "readings-assumed" for finding in job.findings)
    board_of(board_from_text(job.sheet, "again.board.toml"))


def test_the_form_is_for_that_length():
    assert "nose,1930.4," in form_job("6'4\"", System.MM)
    with pytest.raises(InputError, match="has no unit"):
        form_job("76", System.MM)
    with pytest.raises(InputError, match="no board is"):
        form_job("40 ft", System.MM)


def arguments(*words):
    parser = argparse.ArgumentParser()
    command.add_arguments(parser)
    args = parser.parse_args(list(words))
    args.json, args.units = "--json" in words, "mm"
    return args


def test_the_command_writes_the_form_or_says_what_is_missing(tmp_path, capsys):
    assert command.run(arguments("--guide", "6'4\"", "--out", str(tmp_path))) == 0
    assert (tmp_path / "readings.csv").read_text().startswith("# Fill in")
    assert command.run(arguments("--guide", "6'4\"")) == 0
    assert "station,x_mm" in capsys.readouterr().out
    with pytest.raises(InputError, match="FILE: is missing"):
        command.run(arguments())


def test_the_command_says_what_it_assumed(tmp_path, capsys):
    path = tmp_path / "stations.csv"
    path.write_bytes(export_job(BOARD, path, ExportOrder()))
    assert command.run(arguments(str(path), "--out", str(tmp_path / "out"))) == 0
    said = capsys.readouterr().out
    assert "readings-assumed" in said
    assert "[rocker]" in said
    assert (tmp_path / "out" / "measured.board.toml").exists()
