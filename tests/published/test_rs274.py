"""The strict RS-274 reader against the published rules, and our programs in a published interpreter.

Rules: data/exchange_formats.toml. The interpreter is the one of Debian's linuxcnc-uspace package; where it is
not installed (nor named by FOAMWRIGHT_RS274) that test is skipped, and the strict reader stands alone.
"""

import os
import shutil
import subprocess
import tomllib
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from foamwright.bay.machine import Carriages, WireMachine
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.making.closecut import close_cut
from foamwright.making.rs274 import run_program
from foamwright.making.rs274_words import (
    INTEGER_TOLERANCE,
    LAST_LINE_NUMBER,
    LONGEST_LINE,
    ProgramError,
    read_block,
    whole,
)
from foamwright.making.wire_cut import Wanted, wire_cuts
from foamwright.making.wire_parts import Taper

PUBLISHED = tomllib.loads((Path(__file__).parent / "data" / "exchange_formats.toml").read_text("utf-8"))
DEMO = Path(__file__).parents[2] / "src" / "foamwright" / "demo" / "groyne.board.toml"
INTERPRETER = os.environ.get("FOAMWRIGHT_RS274") or shutil.which("rs274")


def test_limits_are_the_published_ones():
    assert PUBLISHED["gcode_line_max"]["value"] == LONGEST_LINE
    assert PUBLISHED["gcode_line_number_max"]["value"] == LAST_LINE_NUMBER
    assert PUBLISHED["gcode_integer_tolerance"]["value"] == INTEGER_TOLERANCE


def test_the_longest_line_is_read_and_one_more_is_not():
    longest = "(" + "x" * (LONGEST_LINE - 3) + ")"
    read_block(longest, 1)
    with pytest.raises(ProgramError, match="longer than 256"):
        read_block(longest + " ", 1)


def test_the_published_example_of_spaces():
    """ "G0X +0. 12 34Y 7" means "G0 x+0.1234 Y7"."""
    assert PUBLISHED["gcode_spaces_ignored"]["value"]
    assert read_block("G0X +0. 12 34Y 7", 1).words == read_block("g0 x+0.1234 Y7", 1).words


def test_line_numbers_end_at_the_published_one():
    read_block(f"N{LAST_LINE_NUMBER} G0 X1", 1)
    with pytest.raises(ProgramError, match="above 99999"):
        read_block(f"N{LAST_LINE_NUMBER + 1} G0 X1", 1)


def test_nearly_whole_counts_as_whole():
    assert whole(2.00009, 1, "P") == 2
    with pytest.raises(ProgramError, match="not a whole number"):
        whole(2.0002, 1, "P")


def test_percent_lines_are_needed_unless_the_program_ends_itself():
    assert PUBLISHED["gcode_percent_rule"]["value"]
    line = "G21 G0 X1\n"
    assert run_program(f"%\n{line}%\n").moves[0].to[0] == 1.0
    assert run_program(f"{line}M2\n").moves[0].to[0] == 1.0
    with pytest.raises(ProgramError, match="no M2, M30 or percent"):
        run_program(line)


@pytest.mark.skipif(INTERPRETER is None, reason="no RS-274 interpreter here (Debian: linuxcnc-uspace)")
@pytest.mark.parametrize(
    ("carriages", "taper"),
    # One carriage cuts no taper.
    [pair for pair in product(Carriages, Taper) if pair != (Carriages.TOGETHER, Taper.FALLING)],
)
def test_a_real_interpreter_runs_our_programs_and_goes_where_we_say(tmp_path, carriages, taper):
    machine = replace(WireMachine(), carriages=carriages)
    blank = close_cut(board_of(read_board(DEMO)), Foam(FoamFamily.EPS, 20.0), Stringer("basswood", 0.003))
    for cut in wire_cuts(blank, machine, Wanted(taper=taper)):
        ends = interpreted(tmp_path, cut.text)
        ours = run_program(cut.text, "XYZA" if carriages is Carriages.APART else "XY")
        mine = np.array([move.to for move in ours.moves])
        assert ends[:, : mine.shape[1]] == pytest.approx(mine, abs=1e-4)


def interpreted(folder, text):
    """Run a program in the interpreter; (N, 4) where it goes, millimetres."""
    (folder / "program.ngc").write_text(text)
    (folder / "tools.tbl").write_text("T1 P1 Z0.0 D0.1\n")
    (folder / "numbers.var").write_text("")
    done = subprocess.run(
        [INTERPRETER, "-g", "-v", "numbers.var", "-t", "tools.tbl", "program.ngc", "moves.txt"],
        cwd=folder, capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    moves = [line for line in (folder / "moves.txt").read_text().splitlines() if "STRAIGHT_" in line]
    return np.array([[float(n) for n in m[m.index("(") + 1 : -1].split(",")[:4]] for m in moves])
