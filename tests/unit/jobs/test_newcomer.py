"""What a newcomer stumbled over: limits that may be reached, options not ignored, words that read."""

from pathlib import Path

import pytest

from foamwright.bay.bay import Bay
from foamwright.bench.learning import learn
from foamwright.brief.brief import Wish, brief_for
from foamwright.brief.kinds import Kind, Waves
from foamwright.cli.main import main
from foamwright.errors import InputError
from foamwright.jobs.learning import learned_sheet
from foamwright.jobs.stocking import StockingOrder
from foamwright.jobs.stocking_asked import StockingAsked, asked_order
from foamwright.jobs.stocking_demand import Sources
from foamwright.jobs.wire_asked import WireAsked
from foamwright.making.closecut_numbers import _stations
from foamwright.sheets.rider import Experience, Lungs, RiderNumbers, Water
from foamwright.units import Unit

ROOT = Path(__file__).parents[3]
BOARD = ROOT / "examples/groyne-6-4.board.toml"


def test_the_most_that_a_wire_may_leave_is_allowed_itself():
    assert WireAsked(left={"bottom": "12 in"}, stringer="2 in").order().allowances.bottom == 0.3048


def test_stations_of_a_close_cut_blank_are_rounded_once():
    assert _stations(2.0, 1)["12 from tail"] == 0.3048


def test_boards_to_sample_are_not_asked_for_beside_boards_that_are_named():
    order = StockingOrder(5, 1, 1, sources=Sources(sheets=(BOARD,)))
    with pytest.raises(InputError, match="--boards: nothing is sampled where boards are named"):
        asked_order(StockingAsked("1", boards=5), order)
    assert asked_order(StockingAsked("1"), order).keep == 1
    assert asked_order(StockingAsked("1", boards=5), StockingOrder(5, 1, 1)).boards == 5


def test_a_brief_tells_its_choices_in_words_that_read():
    rider = RiderNumbers("Mara", 78.0179, 1.76, Experience.INTERMEDIATE, Lungs.RESTING, Water(15.0, 35.0))
    medium, large = (
        {choice.name: choice.why for choice in brief_for(rider, Wish(Kind.FISH, waves)).choices}
        for waves in (Waves.MEDIUM, Waves.LARGE)
    )
    assert "rider of 78 kg" in medium["volume"]
    assert "for the suit (4/3)" in medium["volume"]
    assert "medium waves take it as it is" in medium["rocker"]
    assert "large waves take 5 % more" in large["rocker"]


def test_rates_that_were_learned_are_written_as_well_as_they_are_known():
    from dataclasses import replace

    learned = learn([], Bay())
    one = replace(learned.stringer, mean=803.2886595801253, error=345.0, count=1)
    learned = replace(learned, stringer=one, foam=replace(one, mean=12345.678))
    from foamwright.bench.learning import learned_bay

    text = learned_sheet(learned_bay(Bay(), learned), learned, Unit.INCH)
    assert "803 ± 345 minutes per m2 of stringer (1 timed stage)" in text
    assert "stringer_min_per_m2 = 803\n" in text
    assert "foam_min_per_m3 = 12300\n" in text


def test_a_rescue_tells_every_sheet_that_is_wrong(tmp_path, capsys):
    empty = tmp_path / "empty.toml"
    empty.write_text("", "utf-8")
    rider = ROOT / "src/foamwright/demo/demo.rider.toml"
    words = ["rescue", str(tmp_path / "nowhere"), "--rider", str(empty), "--board", str(rider)]
    assert main(words) == 2
    told = capsys.readouterr().err
    assert "nowhere" in told
    assert "empty.toml" in told
    assert "demo.rider.toml" in told


def test_an_export_tells_every_option_and_sheet_that_is_wrong(tmp_path, capsys):
    rider = ROOT / "src/foamwright/demo/demo.rider.toml"
    words = ["export", str(BOARD), "--to", str(tmp_path / "g.xyz"), "--what", "nonsense"]
    assert main([*words, "--stock", str(BOARD), "--blank", "nope", "--bay", str(rider)]) == 2
    told = capsys.readouterr().err
    for word in (".xyz", "--what: “nonsense”", "a stock sheet is needed", "a bay sheet is needed"):
        assert word in told


@pytest.mark.parametrize("words", [["--units", "mm", "check", "x"], ["check", "x", "--units", "km"]])
def test_wrong_choices_are_told_in_foamwrights_words(words, capsys):
    with pytest.raises(SystemExit) as stop:
        main(words)
    assert stop.value.code == 2
    told = capsys.readouterr().err
    assert "error:" not in told
    assert "not possible. It can be in, mm." in told or "stands before the command" in told
    assert ("Options come after the command" in told) == (words[0] == "--units")
