"""Whatever the board: its close-cut blank holds it, and the wire's program leaves that blank."""

import contextlib
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.bay.machine import Block, Carriages, WireMachine
from foamwright.blank.blank import blank_of
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.board.board import board_of
from foamwright.errors import InputError
from foamwright.making.closecut import CutAllowances, close_cut
from foamwright.making.wire_cut import Wanted, wire_cuts
from foamwright.making.wire_parts import Taper
from trade import random_board

EPS = Foam(FoamFamily.EPS, 20.0)
MACHINE = WireMachine(along=4.0, blocks=(Block(length=3.3),))
TOLERANCE = 1e-4


def boards(count):
    """The first `count` random boards that a fair curve passes through."""
    made, seed = [], 0
    while len(made) < count:
        with contextlib.suppress(InputError):
            made.append(board_of(random_board(seed)))
        seed += 1
    return made


BOARDS = boards(12)


@pytest.mark.parametrize("number", range(len(BOARDS)))
def test_the_blank_holds_the_board(number):
    board = BOARDS[number]
    left = CutAllowances(bottom=0.001 * (number % 4), deck=0.0005 * number, tips=0.01, sides=0.004)
    cut = close_cut(board, EPS, Stringer("basswood", 0.003), left)
    x = np.linspace(0.0, board.length, 1501)
    under = board.pre_contour(x) + cut.lay.lift - cut.bottom(x + left.tips)
    over = cut.deck(x + left.tips) - cut.lay.lift - np.max(board.deck_at(x, np.linspace(0, 1, 41)), axis=1)
    assert np.min(under) > left.bottom - 1e-5
    assert np.min(over) > left.deck - 1e-5
    assert np.max(under) < left.bottom + 1e-5
    fair = blank_of(cut.numbers)
    room = np.min(cut.bottom(cut.stations) - fair.bottom(cut.stations))
    assert np.min(fair.deck(cut.stations) - cut.deck(cut.stations)) + room > 0.0


@pytest.mark.parametrize("number", range(len(BOARDS)))
@pytest.mark.parametrize("taper", Taper)
def test_the_program_leaves_the_blank_within_a_tenth_of_a_millimetre(number, taper):
    cut = close_cut(BOARDS[number], EPS, Stringer("basswood", 0.003))
    machine = replace(
        MACHINE, carriages=Carriages.APART if number % 2 or taper is Taper.FALLING else "together"
    )
    feed = (0.004, 0.006, 0.008)[number % 3] if taper is Taper.LEVEL else 0.006
    for one in wire_cuts(cut, machine, Wanted(feed=feed, taper=taper)):
        assert one.sweep.worst < TOLERANCE, one.name


def test_the_swept_part_is_the_blank_by_its_own_curves():
    """The proof looks at the part's edges; here the blank's own curves are looked at, at other stations."""
    cut = close_cut(BOARDS[0], EPS, Stringer("basswood", 0.003))
    profile = wire_cuts(cut, MACHINE)[0]
    at = profile.part.near[0].points[0] - (0.0, cut.high[0])
    x = np.sort(np.random.default_rng(1).uniform(0.0, cut.length, 700))
    surface = np.concatenate([np.stack([x, f(x)], axis=1) for f in (cut.bottom, cut.deck)]) + at
    wire = profile.path.near
    gap = surface[:, None, :] - wire[None, :-1, :]
    run = np.diff(wire, axis=0)
    share = np.clip(np.sum(gap * run, axis=2) / np.sum(run**2, axis=1), 0.0, 1.0)
    away = np.min(np.hypot(*np.moveaxis(gap - share[..., None] * run, 2, 0)), axis=1)
    assert np.max(np.abs(away - profile.kerf / 2.0)) < TOLERANCE
