"""Readings asked for one by one: answers as people write them, `back`, and what cannot be read."""

import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text
from foamwright.cli.main import main
from foamwright.jobs.by_hand import asked_by_hand, by_hand_job, form_of, questions
from foamwright.jobs.measure import MeasureOrder
from foamwright.units import INCH, System

TOLD = {
    "name": "garage find",
    "length": "6'4\"",
    "tail/width": "5 1/2",
    "tail/thickness": "5/8",
    "tail/rocker": "2 1/8",
    "12 from tail/width": "14 7/8",
    "12 from tail/thickness": "1 11/16",
    "12 from tail/rocker": "13/16",
    "centre/width": "20 3/8",
    "centre/thickness": "63.5 mm",
    "centre/rocker": "0",
    "12 from nose/width": "12 1/8",
    "12 from nose/thickness": "1 1/2",
    "12 from nose/rocker": "1 15/16",
    "nose/width": "0",
    "nose/thickness": "1/2",
    "nose/rocker": "4 3/4",
    "tail_form": "squash",
    "tail_width": "5 1/2",
}


def replies(system=System.INCH, wrong=()):
    """Answers in the order of the questions; `wrong` pairs say what comes first at a question's words."""
    first = {words: list(said) for words, said in wrong}
    told = {}

    def ask(words):
        for start, said in first.items():
            if words.startswith(start) and said:
                return said.pop(0)
        question = next(q for q in questions(told, system) if q.key not in told)
        told[question.key] = TOLD.get(question.key, "")
        return told[question.key]

    return ask


def test_the_answers_become_a_fair_sheet():
    job = by_hand_job(asked_by_hand(replies(), print, System.INCH), MeasureOrder())
    assert job.numbers.name == "garage find"
    board = board_of(board_from_text(job.sheet, "found.board.toml"))
    assert board.length == pytest.approx(76 * INCH)
    assert float(board.rocker(board.length)) == pytest.approx(4.75 * INCH, abs=1e-4)
    assert job.numbers.tail.kind.value == "squash"
    assert job.numbers.outline[0].value == pytest.approx(5.5 * INCH)


def test_what_cannot_be_read_is_asked_again_with_the_remedy():
    lines = []
    wrong = [("Length", ["long", "40 ft", ""]), ("tail: full width", ["wide"]), ("Form", ["fishy"])]
    answers = asked_by_hand(replies(wrong=wrong), lines.append, System.INCH)
    assert answers["length"] == "6'4\""
    assert len(lines) == 5
    assert any("no board is" in line for line in lines)
    assert any("is needed" in line for line in lines)


def test_back_goes_back_one_question():
    said = iter(["", "6'4\"", "5 in", "back", "5 1/2", "back", "back", "back", "back", "other name"])
    seen = []

    def ask(words):
        seen.append(words.split(":")[0].removesuffix(" (empty"))
        try:
            return next(said)
        except StopIteration:
            raise EOFError from None

    with pytest.raises(EOFError):
        asked_by_hand(ask, print, System.INCH)
    name, length = "Name of the board (empty", "Length, tip to tip"
    assert [words.removesuffix(" (empty") for words in seen[:2]] == [name.removesuffix(" (empty"), length]
    assert seen[2] == seen[4] == "tail"
    assert seen[-1] == length


def test_bare_numbers_of_a_tail_get_the_unit():
    text = form_of({**TOLD, "tail_width": "140"}, System.MM)
    assert "# tail_width = 140 mm" in text
    assert "# tail_width = 5 1/2 in" in form_of(TOLD, System.INCH)


def test_the_command_ends_with_nothing_written_when_the_answers_end(monkeypatch, tmp_path, capsys):
    def ended():
        raise EOFError

    monkeypatch.setattr("builtins.input", ended)
    assert main(["measure", "--by-hand", "--out", str(tmp_path / "found")]) == 2
    assert "ended before the last question" in capsys.readouterr().err
    assert not (tmp_path / "found").exists()
