"""A finding that stops the work, or a missed wish, answers no: all is told, and the exit code is 1."""

from pathlib import Path

import pytest

from foamwright.cli.main import main

ROOT = Path(__file__).parents[3]
BOARD = ROOT / "examples/groyne-6-4.board.toml"
RIDER = ROOT / "src/foamwright/demo/demo.rider.toml"

THROUGH = """
[[fins.box]]
name = "front"
at = "11 from tail"
offset = "4 1/2"
length = "4 1/2"
width = 1
depth = "2 1/2"
"""


@pytest.mark.parametrize("command", ["check", "finish"])
def test_a_box_through_the_deck_is_a_no_after_everything_is_told(command, tmp_path, capsys):
    board = tmp_path / "holed.board.toml"
    board.write_text(BOARD.read_text("utf-8") + THROUGH, "utf-8")
    out = ["--out", str(tmp_path / "out")] if command == "finish" else []
    assert main([command, str(board), *out]) == 1
    told = capsys.readouterr().out
    assert "stop [finish-box-thin]" in told
    assert (tmp_path / "out/finish.json").is_file() == (command == "finish")
    assert main([command, str(BOARD)]) == 0


def test_a_missed_wish_is_a_no_and_the_usual_trim_is_none(capsys):
    words = ["float", str(BOARD), "--rider", str(RIDER)]
    assert main([*words, "--trim", "80"]) == 1
    told = capsys.readouterr().out
    assert "[float-wish-missed]" in told
    assert "Ask for less" in told
    assert main([*words, "--trim", "5"]) == 0
