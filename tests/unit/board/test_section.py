"""Sections: contours, rails, hard edges, and the pre-contour flat."""

import math
from dataclasses import replace

import numpy as np
import pytest

from foamwright.board.board import Board, board_of
from foamwright.board.numbers import BottomMark, BottomShape, RailMark
from foamwright.board.section import SCOOP_SHARE
from foamwright.units import INCH
from tests.boards import GROYNE, groyne

AT = np.array([38 * INCH])
DEEP = 0.25 * INCH


def board(shape: BottomShape, lower: float = 2.3, apex: float = 0.4) -> Board:
    return board_of(
        replace(
            GROYNE,
            bottom=(BottomMark(0.0, shape, DEEP if shape is not BottomShape.FLAT else 0.0, "all"),),
            rails=(RailMark(0.0, apex, lower, 2.1, "all"),),
        )
    )


def bottom(shaped: Board, *shares: float) -> np.ndarray:
    """Heights above the finished stringer line at the centre."""
    return shaped.bottom_at(AT, np.array([shares]))[0] - shaped.rocker(AT)[0]


@pytest.mark.parametrize("shape", BottomShape)
def test_the_stringer_is_where_the_numbers_say(shape: BottomShape) -> None:
    shaped = board(shape)
    assert bottom(shaped, 0.0)[0] == pytest.approx(0.0, abs=1e-15)
    deck = shaped.deck_at(AT, np.array([[0.0]]))[0, 0]
    assert deck == pytest.approx(float(shaped.deck_line(AT)[0]), abs=1e-15)


def test_concave_is_lowest_where_its_scoop_ends() -> None:
    shaped = board(BottomShape.CONCAVE)
    share = np.linspace(0.0, 1.0, 401)
    heights = bottom(shaped, *share)
    assert np.min(heights) == pytest.approx(-DEEP, abs=1e-12)
    assert share[np.argmin(heights)] == pytest.approx(SCOOP_SHARE, abs=5e-3)
    assert float(shaped.held_back(AT)[0]) == pytest.approx(DEEP, abs=1e-12)


def test_double_concave_has_its_deepest_between_stringer_and_rail() -> None:
    shaped = board(BottomShape.DOUBLE_CONCAVE)
    heights = bottom(shaped, 0.0, SCOOP_SHARE / 2, SCOOP_SHARE)
    np.testing.assert_allclose(heights, [0.0, DEEP, 0.0], rtol=0, atol=1e-12)


@pytest.mark.parametrize(("shape", "power"), [(BottomShape.VEE, 1), (BottomShape.ROLLED, 2)])
def test_vee_and_roll_rise_towards_the_edge(shape: BottomShape, power: int) -> None:
    shaped = board(shape, lower=math.inf)
    np.testing.assert_allclose(
        bottom(shaped, 0.25, 0.5, 1.0), DEEP * np.array([0.25, 0.5, 1.0]) ** power, rtol=0, atol=1e-12
    )
    assert float(shaped.held_back(AT)[0]) == pytest.approx(0.0, abs=1e-12)


def test_a_hard_edge_is_flat_to_the_very_edge() -> None:
    np.testing.assert_allclose(
        bottom(board(BottomShape.FLAT, lower=math.inf), 0.0, 0.9, 0.999999, 1.0), 0.0, rtol=0, atol=1e-12
    )


def test_faces_meet_at_the_apex() -> None:
    shaped = board(BottomShape.FLAT)
    edge = np.array([[1.0]])
    low, high = shaped.bottom_at(AT, edge)[0, 0], shaped.deck_at(AT, edge)[0, 0]
    assert low == pytest.approx(high, abs=1e-15)
    assert (low - shaped.rocker(AT)[0]) / shaped.thickness(AT)[0] == pytest.approx(0.4, abs=1e-12)


def test_rail_is_the_lame_curve() -> None:
    shaped = board(BottomShape.FLAT, lower=2.0, apex=0.5)
    half = float(shaped.thickness(AT)[0]) / 2.0
    share = np.array([0.3, 0.6, 0.9])
    np.testing.assert_allclose(bottom(shaped, *share), half * (1 - np.sqrt(1 - share**2)), rtol=0, atol=1e-12)


def test_the_bottom_is_never_below_the_pre_contour_flat() -> None:
    x = np.linspace(0.0, GROYNE.length, 200)
    share = np.tile(np.linspace(0.0, 1.0, 101), (x.size, 1))
    heights = groyne().bottom_at(x, share)
    assert np.min(heights - groyne().pre_contour(x)[:, None]) >= -1e-12
    assert np.min(groyne().deck_at(x, share) - heights) >= -1e-12


@pytest.mark.parametrize("depth", [1 / 16, 1 / 8, 3 / 16])
def test_an_eighth_of_concave_is_an_eighth_held_back(depth: float) -> None:
    # Common practice, no source: the concave's depth is held back in the thickness until it is cut.
    mark = BottomMark(0.0, BottomShape.CONCAVE, depth * INCH, "all")
    shaped = board_of(replace(GROYNE, bottom=(mark,)))
    x = np.linspace(0.05, 1.85, 30)
    np.testing.assert_allclose(shaped.held_back(x), depth * INCH, rtol=0, atol=1e-12)
    np.testing.assert_allclose(
        shaped.pre_contour_thickness(x), shaped.thickness(x) + depth * INCH, rtol=0, atol=1e-12
    )
