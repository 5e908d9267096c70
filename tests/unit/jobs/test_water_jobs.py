"""Brief, float and finish as jobs and as commands: JSON keys, exit codes, problems in words."""

import json
import tomllib
from pathlib import Path

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.brief.drafting import Number
from foamwright.cli.commands import brief as brief_command
from foamwright.cli.commands import finish as finish_command
from foamwright.cli.commands import float as float_command
from foamwright.errors import InputError
from foamwright.jobs.brief import BriefOrder, brief_job, parse_fixes
from foamwright.jobs.finish import FinishOrder, finish_job
from foamwright.jobs.water import (
    FloatWish,
    breathing,
    compare_boards,
    compare_riders,
    float_of,
)
from foamwright.sheets.rider import read_rider
from foamwright.units import INCH, System, Unit
from foamwright.water.columns import columns_of
from foamwright.water.pool import Surface

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"
RIDER = 'name = "Mara"\nmass = "70 kg"\nstature = "1.74 m"\nexperience = "advanced"\nwater = "sea, 15 C"\n'


@pytest.fixture
def rider_sheet(tmp_path):
    path = tmp_path / "mara.rider.toml"
    path.write_text(RIDER, "utf-8")
    return path


def run(command, words):
    """Run a command as the main program does, and return its exit code."""
    import argparse

    parser = argparse.ArgumentParser()
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--units", choices=("in", "mm"))
    command.add_arguments(parser)
    return command.run(parser.parse_args([str(word) for word in words]))


def test_float_can_be_proved_again_from_its_own_json(rider_sheet, capsys):
    assert run(float_command, [EXAMPLE, "--rider", rider_sheet, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    surface = Surface(found["surface"]["height_m"], found["surface"]["along"])
    board = board_of(read_board(EXAMPLE))
    wet = columns_of(board).pool(surface).volume * 1000.0
    assert wet == pytest.approx(found["submerged_l"], abs=1e-9)
    carried = (found["submerged_l"] + found["rider_under_l"]) / 1000.0 * found["water_kg_m3"]
    assert carried == pytest.approx(found["board_kg"] + found["rider_kg"], rel=1e-6)
    assert np.tan(found["pitch_rad"]) == pytest.approx(-surface.along)
    middle = np.array([board.length / 2.0, 0.0, 0.0])
    assert found["sinkage_m"] == pytest.approx(-surface.above(middle))
    assert found["litres_per_kg"] == pytest.approx(found["board_l"] / 70.0)
    assert 0.0 < found["lie_at_m"] < board.length
    assert {row["posture"] for row in found["upright"]} <= {"sitting", "kneeling"}
    assert "float-statics" in {w["code"] for w in found["warnings"]}


def test_float_says_no_where_they_sink(tmp_path, capsys):
    sheet = tmp_path / "heavy.rider.toml"
    sheet.write_text(RIDER.replace("70 kg", "240 kg") + 'lungs = "empty"\n', "utf-8")
    words = [EXAMPLE, "--rider", sheet, "--board-mass", "60 kg", "--json"]
    assert run(float_command, words) == 1
    found = json.loads(capsys.readouterr().out)
    assert found["floats"] is False
    assert found["sinkage_m"] is None
    assert found["warnings"][0]["code"] == "float-sinks"


def test_float_in_words_and_at_a_place(rider_sheet, capsys):
    words = [EXAMPLE, "--rider", rider_sheet, "--lie-at", "1200 mm from tail", "--units", "mm"]
    assert run(float_command, words) == 0
    text = capsys.readouterr().out
    assert "1200.0 mm" in text
    assert "righting arm" in text


def floating(sheet, wish):
    return float_of(board_of(read_board(EXAMPLE)), read_rider(sheet), wish, System.INCH)


def test_float_with_a_place_off_the_board(rider_sheet):
    with pytest.raises(InputError, match="beyond the nose"):
        floating(rider_sheet, FloatWish(lie_at="9 ft from tail"))


def test_wanted_pitch(rider_sheet):
    job = floating(rider_sheet, FloatWish(pitch=np.radians(3.0)))
    assert np.degrees(job.lain.afloat.pitch) == pytest.approx(3.0, abs=1e-3)


def test_fresh_water_and_empty_lungs_float_deeper(rider_sheet):
    board, rider = board_of(read_board(EXAMPLE)), read_rider(rider_sheet)
    wish = FloatWish(board_mass=3.0, lie_at="48 in from tail")
    above = [
        float_of(board, person, wish, System.INCH).lain.afloat.breastbone_above for person in breathing(rider)
    ]
    assert above == sorted(above, reverse=True)


def test_comparisons(rider_sheet):
    board, rider = board_of(read_board(EXAMPLE)), read_rider(rider_sheet)
    by_breath = compare_riders(board, breathing(rider))
    assert [row.rider for row in by_breath] == [f"Mara, {s} lungs" for s in ("full", "resting", "empty")]
    (row,) = compare_boards((board,), rider)
    assert row.litres_per_kg == pytest.approx(by_breath[1].litres_per_kg)


def test_finish_json(capsys):
    assert run(finish_command, [EXAMPLE, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["fins"] == []
    assert found["mass_kg"] == pytest.approx(sum(part["mass_kg"] for part in found["mass_parts"]))
    laminate, price = found["laminate"], found["price"]
    assert laminate["area_m2"] == pytest.approx(board_of(read_board(EXAMPLE)).mass.area, rel=1e-9)
    assert price["materials"] == pytest.approx(sum(line["cost"] for line in found["materials"]))
    assert {"resin", "fumes", "dust", "defer"} <= {caution["code"] for caution in found["cautions"]}
    assert "small deflections" in found["stiffness"]["assumptions"]


def test_finish_with_sheets_of_bay_and_materials(tmp_path):
    bay, materials = tmp_path / "bay.toml", tmp_path / "materials.toml"
    bay.write_text('[prices]\nlabour_hour = 80\ncurrency = "GBP"\n', "utf-8")
    materials.write_text("[hours]\nshaping = 5\n", "utf-8")
    usual = finish_job(FinishOrder(EXAMPLE), System.INCH).finished.price
    price = finish_job(FinishOrder(EXAMPLE, bay, materials, 90.0), System.INCH).finished.price
    assert (price.currency, price.foam) == ("GBP", 90.0)
    assert price.labour == pytest.approx(2 * usual.labour + 2 * 80)


def test_finish_in_words(tmp_path, capsys):
    board = tmp_path / "finned.toml"
    board.write_text(EXAMPLE.read_text("utf-8") + '\n[fins]\nlayout = "three"\n', "utf-8")
    assert run(finish_command, [board]) == 0
    text = capsys.readouterr().out
    assert "front left" in text
    assert "data sheet" in text


def test_brief_writes_a_sheet_that_reads(rider_sheet, tmp_path, capsys):
    out = tmp_path / "new" / "fish.toml"
    words = [rider_sheet, "--kind", "fish", "--fix", "wide=20 1/2", "--fix", "volume=31 l", "--out", out]
    assert run(brief_command, words) == 0
    printed = capsys.readouterr().out
    assert tomllib.loads(printed) == tomllib.loads(out.read_text("utf-8"))
    board = read_board(out)
    assert board.wide == 0.5207
    assert board_of(board).mass.volume == pytest.approx(0.031, abs=5e-5)
    assert len(board.fins) == 2


def test_brief_json_in_millimetres(rider_sheet, capsys):
    assert run(brief_command, [rider_sheet, "--json", "--units", "mm", "--waves", "large"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert abs(found["volume_l"] - found["target_l"]) <= 0.05
    sheet = tomllib.loads(found["sheet"])
    assert sheet["units"] == "mm"
    assert "300 mm from tail" in sheet["outline"]
    assert all(choice["why"] and choice["basis"] for choice in found["choices"])
    assert found["choices"][0]["value"] == "step-up"


def test_brief_like_another_board(rider_sheet):
    order = BriefOrder(fixes=("length=6'0\"", "volume=30"), like=EXAMPLE)
    job = brief_job(rider_sheet, order, System.INCH)
    assert job.brief.board.numbers.length == pytest.approx(72 * INCH)
    assert job.brief.board.volume == pytest.approx(0.030, abs=5e-6)
    assert job.brief.choices[0].value == "Groyne"
    kept = brief_job(rider_sheet, BriefOrder(fixes=("wide=20",), like=EXAMPLE), System.INCH).brief.board
    assert kept.numbers.wide == pytest.approx(20 * INCH)
    assert kept.volume == pytest.approx(kept.target, abs=5e-6)


@pytest.mark.parametrize(
    ("fixes", "words"),
    [
        (("wide=20", "thickest=2.5"), "wide and thickest fix the board"),
        (("nose rocker=5",), "cannot be fixed on a board like another"),
        (("length=72", "wide=20", "thickest=2.5", "volume=30"), "all fixed"),
    ],
)
def test_brief_like_another_board_that_cannot_be(rider_sheet, fixes, words):
    with pytest.raises(InputError, match=words):
        brief_job(rider_sheet, BriefOrder(fixes=fixes, like=EXAMPLE), System.INCH)


def test_fixes_in_their_units():
    fixed = parse_fixes(("wide=520", "Nose_Width = 12 in", "volume=30.5 litres"), Unit.MM)
    assert fixed == {Number.WIDE: 0.52, Number.NOSE_WIDTH: 0.3048, Number.VOLUME: 0.0305}


def test_every_wrong_fix_is_told():
    with pytest.raises(InputError) as caught:
        parse_fixes(("width=20", "wide=fat", "volume=lots", "wide"), Unit.INCH)
    words = [str(problem) for problem in caught.value.problems]
    assert len(words) == 4
    assert "“width=20” fixes nothing. Write NAME=VALUE; NAME is length, wide" in words[0]
    assert "--fix wide" in words[1]
    assert "Write litres from 1 to 500" in words[2]


def test_rider_beyond_human_range(tmp_path):
    sheet = tmp_path / "giant.toml"
    sheet.write_text(RIDER.replace("1.74 m", "3.4 m").replace("70 kg", "7 kg"), "utf-8")
    with pytest.raises(InputError) as caught:
        brief_job(sheet, BriefOrder(), System.INCH)
    assert len(caught.value.problems) == 2


def test_water_that_is_ice(tmp_path):
    sheet = tmp_path / "ice.toml"
    text = RIDER.replace('water = "sea, 15 C"\n', "[water]\ntemperature = -2.5\nsalinity = 10\n")
    sheet.write_text(text, "utf-8")
    with pytest.raises(InputError, match="ice"):
        floating(sheet, FloatWish())


def test_finish_writes_its_papers(rider_sheet, tmp_path, capsys):
    words = [EXAMPLE, "--rider", rider_sheet, "--out", tmp_path / "papers", "--paper", "letter"]
    assert run(finish_command, words) == 0
    shown = capsys.readouterr().out
    found = json.loads((tmp_path / "papers" / "finish.json").read_text("utf-8"))
    assert found["name"] == "Groyne"
    assert (tmp_path / "papers" / "after-the-foam.pdf").read_bytes().startswith(b"%PDF")
    assert "after-the-foam.pdf" in shown
