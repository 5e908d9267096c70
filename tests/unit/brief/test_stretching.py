"""Scaling, stretching and volume-matching of any board."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.board.numbers import Edge
from foamwright.board.sheet import board_from_text, board_sheet, read_board
from foamwright.brief.stretching import (
    Keep,
    Stretch,
    scaled,
    stretched,
    stretched_to,
    volume_matched,
    volume_of,
)
from foamwright.errors import NoAnswerError
from foamwright.units import Unit

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"


@pytest.fixture(scope="module")
def groyne():
    return read_board(EXAMPLE)


@pytest.mark.parametrize("factor", [0.7, 1.0, 1.25])
def test_scaled_by_k_has_k_cubed_the_volume_and_the_same_shape(groyne, factor):
    # Edges fade over 8 in whatever the board, so the law holds for soft ones.
    groyne = replace(groyne, rails=tuple(replace(rail, edge=Edge.SOFT) for rail in groyne.rails))
    one, other = board_of(groyne), board_of(scaled(groyne, factor))
    assert other.mass.volume == pytest.approx(factor**3 * one.mass.volume, rel=1e-7)
    x = np.linspace(0.0, one.length, 50)
    assert other.rocker(factor * x) == pytest.approx(factor * one.rocker(x), abs=1e-6)
    assert other.half_width(factor * x) == pytest.approx(factor * one.half_width(x), abs=1e-6)


def test_thicker_alone_is_as_much_more_volume(groyne):
    deeper = stretched(groyne, Stretch(deep=1.2))
    assert volume_of(deeper) == pytest.approx(1.2 * volume_of(groyne), rel=2e-3)
    assert deeper.outline == groyne.outline
    assert deeper.rocker == groyne.rocker


def test_stretched_to_sizes(groyne):
    board = stretched_to(groyne, length=2.0, wide=0.53, thickest=0.066)
    assert (board.length, board.wide, board.thickest) == pytest.approx((2.0, 0.53, 0.066))
    assert board.rocker[-1].value == pytest.approx(groyne.rocker[-1].value * 2.0 / groyne.length)
    assert stretched_to(groyne) == groyne


@pytest.mark.parametrize("keep", Keep)
@pytest.mark.parametrize("litres", [25.0, 40.0])
def test_volume_is_matched(groyne, keep, litres):
    board = volume_matched(groyne, litres / 1000.0, keep)
    assert volume_of(board) == pytest.approx(litres / 1000.0, abs=5e-6)
    assert (board.length == groyne.length) is (keep is not Keep.NOTHING)
    assert (board.wide == groyne.wide) is (keep is Keep.PLAN)
    assert (board.thickest == groyne.thickest) is (keep is Keep.PROFILE)


def test_a_volume_too_far_away_has_no_answer(groyne):
    with pytest.raises(NoAnswerError, match=r"cannot be stretched to 2000\.0 litres"):
        volume_matched(groyne, 2.0)


def test_a_stretched_board_is_a_sheet_again(groyne):
    board = stretched_to(groyne, length=1.95)
    again = board_from_text(board_sheet(board, Unit.MM), "sheet")
    assert [mark.x for mark in again.outline] == [mark.x for mark in board.outline]
    assert again.thickness[1].value == board.thickness[1].value
