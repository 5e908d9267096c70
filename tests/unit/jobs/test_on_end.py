"""Riders under whom a board stands on end somewhere: told, or found further along where it lies."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.cli.main import main
from foamwright.errors import NoAnswerError
from foamwright.jobs.water import FloatWish, float_of
from foamwright.sheets.rider import read_rider
from foamwright.units import System

ROOT = Path(__file__).parents[3]
BOARD = ROOT / "examples/groyne-6-4.board.toml"
RIDER = ROOT / "src/foamwright/demo/demo.rider.toml"


def under(mass, stature, wish=None):
    rider = replace(read_rider(RIDER), mass=mass, stature=stature)
    return float_of(board_of(read_board(BOARD)), rider, wish or FloatWish(), System.INCH)


def sheet_of(tmp_path, mass, stature):
    path = tmp_path / "heavy.rider.toml"
    text = RIDER.read_text("utf-8").replace('"74 kg"', f'"{mass} kg"').replace('"1.76 m"', f'"{stature} m"')
    path.write_text(text, "utf-8")
    return path


@pytest.mark.parametrize("mass", [130.0, 150.0])
def test_a_heavy_rider_lies_further_forward_than_where_it_stands_on_end(mass):
    """Far back the board stands on end under these riders; the place with the nose as usual is not there."""
    job = under(mass, 1.8)
    assert job.lain.afloat.nose_above == pytest.approx(0.0508, abs=1e-4)
    assert abs(job.lain.afloat.pitch) < 0.3
    assert not job.answer_is_no


@pytest.mark.parametrize(("mass", "stature"), [(90.0, 0.9), (150.0, 0.9), (250.0, 1.8), (250.0, 0.9)])
def test_every_rider_gets_an_answer(mass, stature):
    job = under(mass, stature)
    codes = {finding.code for finding in job.findings}
    assert (job.lain is None) == ("float-on-end" in codes)
    json.dumps(job.as_json(), default=str)


def test_where_it_tips_over_before_the_trim_is_met_that_is_told():
    """Under this one the nose falls from above to under water at one place, through no height between."""
    job = under(150.0, 0.9)
    assert abs(job.lain.afloat.nose_above - 0.0508) > 0.01
    assert "float-trim" in {finding.code for finding in job.findings}


def test_lying_where_it_stands_on_end_is_a_finding_with_what_to_do():
    job = under(150.0, 1.8, FloatWish(lie_at="25 in from tail"))
    (found,) = [finding for finding in job.findings if finding.code == "float-on-end"]
    assert job.lain is None
    assert job.answer_is_no
    assert job.as_json()["floats"] is True
    assert "stands on end" in found.sentence
    assert "25 in from the tail" in found.sentence
    assert "nose up" in found.sentence
    assert found.remedy


def test_float_answers_no_in_words_where_it_stands_on_end(tmp_path, capsys):
    rider = sheet_of(tmp_path, 150, 1.8)
    assert main(["float", str(BOARD), "--rider", str(rider), "--lie-at", "25 in from tail"]) == 1
    told = capsys.readouterr()
    assert "stop [float-on-end]" in told.out
    assert not told.err


def test_finish_writes_its_papers_without_the_water_where_nothing_lies(tmp_path, monkeypatch, capsys):
    def on_end(*_anything):
        from foamwright.water.equilibrium import OnEndError

        raise OnEndError(1.4)

    monkeypatch.setattr("foamwright.jobs.water.lie_for_nose", on_end)
    rider, out = sheet_of(tmp_path, 150, 0.9), tmp_path / "out"
    assert main(["finish", str(BOARD), "--rider", str(rider), "--out", str(out)]) == 0
    assert (out / "after-the-foam.pdf").is_file()


def test_what_stands_on_end_is_an_answer_and_no_fault_of_ours():
    from foamwright.water.equilibrium import OnEndError

    assert issubclass(OnEndError, NoAnswerError)
