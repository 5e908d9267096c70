"""The strict interpreter refuses what the standard refuses and times what the standard times."""

import pytest

from foamwright.making.rs274 import Way, run_program
from foamwright.making.rs274_words import ProgramError, read_block


def test_straight_moves_with_a_feed():
    program = run_program("G21 G90 G94\nG0 X3 Y4\nG1 X6 Y8 F300\nM2\n", "XY")
    assert [move.way for move in program.moves] == [Way.RAPID, Way.FEED]
    assert program.moves[0].seconds is None
    assert program.moves[1].to == (6.0, 8.0)
    assert program.moves[1].seconds == pytest.approx(1.0)


def test_modes_stay_until_changed():
    program = run_program("G21 G91 G1 F60\nX1\nX1\nG90 X5\nM30\n".replace(" G1 F60", "\nF60 G1 X0"), "XY")
    assert [move.to[0] for move in program.moves] == [0.0, 1.0, 2.0, 5.0]


def test_inches_become_millimetres():
    program = run_program("G20 G1 X1 F1\nM2\n", "XY")
    assert program.moves[0].to[0] == 25.4
    assert program.moves[0].seconds == pytest.approx(60.0)


def test_inverse_time_counts_moves_in_a_minute():
    program = run_program("G21 G93\nG1 X9 Z9 F4\nM2\n")
    assert program.moves[0].seconds == pytest.approx(15.0)


def test_feed_in_length_counts_x_y_and_z():
    """NIST 2.1.2.5: with X, Y, Z moving the feed is theirs; the fourth axis follows in the same time."""
    program = run_program("G21 G94\nG1 X3 Z4 A100 F60\nM2\n")
    assert program.moves[0].seconds == pytest.approx(5.0)


def test_comments_pauses_and_optional_lines():
    program = run_program("(one)(two)\nM0\n/G21 G0 X1\nG21 G0 X2\nM2\nrubbish is not read\n", "XY")
    assert program.comments == ("one", "two")
    assert program.pauses == 1
    assert len(program.moves) == 1


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("G1 G0 X1 F1", "two G words of the group"),
        ("M0 M2", "two M words of the group"),
        ("G1 X1 X2 F1", "more than one X"),
        ("G1 U1 F1", "the letter U"),
        ("G1 X1", "no feed"),
        ("G1 X1 F0", "feed of 0"),
        ("G1 X1 F-3", "feed is negative"),
        ("G1 F3", "without a word for an axis"),
        ("X1", "no motion is active"),
        ("G0 B1", "no use for the word B"),
        ("G0 X", "cannot be read"),
        ("G0 X1.2.3", "cannot be read"),
        ("G0 X1e3", "the letter E"),
        ("#1=3", "cannot be read"),
        ("G2 X1 Y1 I1 F1", "not a word of a wire program"),
        ("G0 X1 (open", "not closed"),
        ("G0 X1 (a (b))", "comment inside a comment"),
        ("G0 X1 )", "was not opened"),
        ("M3 M5 M7 M48 M0", "more than four M"),
        ("G4", "needs a P"),
    ],
)
def test_what_the_standard_refuses(line, words):
    with pytest.raises(ProgramError, match=words) as caught:
        run_program(f"G21\n{line}\nM2\n")
    assert caught.value.line == 2


def test_inverse_time_needs_a_feed_on_every_line():
    with pytest.raises(ProgramError, match="every G1 line needs its own F"):
        run_program("G21 G93\nG1 X1 F3\nX2\nM2\n")


def test_units_must_be_said_before_a_move():
    with pytest.raises(ProgramError, match="before G20 or G21"):
        run_program("G0 X1\nM2\n")


def test_extra_letters_of_a_controller():
    assert read_block("G1 U1 V2 F3", 1, "UV").words[1] == ("U", 1.0)
    assert run_program("G21 G93\nG1 X1 Y2 U3 V4 F1\nM2\n", "XYUV").moves[0].to == (1.0, 2.0, 3.0, 4.0)
