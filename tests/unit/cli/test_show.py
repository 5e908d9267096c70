"""Names that the papers cannot print are told once, on standard error."""

from pathlib import Path

import pytest

from foamwright.board.sheet import board_from_text
from foamwright.board.sheet_writing import board_sheet
from foamwright.cli.main import main
from foamwright.cli.show import tell_of_letters
from foamwright.papers.fonts import MISSING, covered_runs
from foamwright.papers.style import Face
from foamwright.units import Unit

EMOJI, ARABIC = "\N{SURFER}", "\N{ARABIC LETTER MEEM}"


@pytest.fixture
def groyne():
    return (Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml").read_text("utf-8")


def test_only_what_is_printed_as_a_question_mark_is_told(capsys):
    tell_of_letters(["Zoë 6'4\"", "plain", "Łódź"])
    assert capsys.readouterr().err == ""
    tell_of_letters([f"Zoë {EMOJI}{EMOJI}", "plain", f"{ARABIC}{EMOJI}"])
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert f"lack {EMOJI} {ARABIC} of “Zoë {EMOJI}{EMOJI}”, “{ARABIC}{EMOJI}”" in told
    assert "".join(words for words, _ in covered_runs(f"{EMOJI}{ARABIC}", Face.TEXT)) == 2 * MISSING


@pytest.mark.parametrize("name", ["Groyne", f"Zoë {EMOJI}"])
def test_finish_tells_of_its_board(tmp_path, capsys, name, groyne):
    sheet = tmp_path / "a.board.toml"
    sheet.write_text(groyne.replace('name = "Groyne"', f'name = "{name}"'), "utf-8")
    assert main(["finish", str(sheet), "--json", "--out", str(tmp_path / "out")]) == 0
    assert ("printed as ?" in capsys.readouterr().err) is (EMOJI in name)


@pytest.mark.parametrize(
    ("units", "given", "shown"),
    [("in", [], "6'4\""), ("mm", [], "1930.4 mm"), ("mm", ["--units", "in"], "6'4\"")],
)
def test_a_sheet_is_read_out_in_its_own_units(groyne, tmp_path, capsys, units, given, shown):
    sheet = tmp_path / "board.toml"
    text = groyne if units == "in" else board_sheet(board_from_text(groyne, "groyne"), Unit.MM)
    sheet.write_text(text, encoding="utf-8")
    assert main(["check", str(sheet), *given]) == 0
    assert shown in capsys.readouterr().out.splitlines()[1]
