"""Areas and lengths of the skin, against other ways of measuring them."""

import numpy as np
import pytest

from foamwright.finish.areas import skin_of


def test_faces_and_walls_are_the_whole_surface(board):
    skin = skin_of(board)
    assert skin.area == pytest.approx(board.mass.area, rel=1e-9)
    assert 0.0 <= skin.walls < 0.01 * skin.area


def test_faces_against_many_flat_triangles(board):
    """A fine mesh of each face; its area approaches from below."""
    skin = skin_of(board)
    u, t = np.linspace(0, np.pi, 500), np.linspace(0, 1, 301)
    x = board.length * 0.5 * (1 - np.cos(u))
    share = np.broadcast_to(1 - (1 - t) ** 3, (x.size, t.size))
    y = share * board.half_width(x)[:, None]
    for field, area in ((board.bottom_at, skin.bottom), (board.deck_at, skin.deck)):
        points = np.stack([np.broadcast_to(x[:, None], y.shape), y, field(x, share)], axis=-1)
        a, b = points[1:, :-1] - points[:-1, :-1], points[:-1, 1:] - points[:-1, :-1]
        c, d = points[1:, :-1] - points[1:, 1:], points[:-1, 1:] - points[1:, 1:]
        pieces = np.linalg.norm(np.cross(a, b), axis=-1) + np.linalg.norm(np.cross(c, d), axis=-1)
        assert area == pytest.approx(float(np.sum(pieces)), rel=3e-4)


def test_lengths(board):
    skin = skin_of(board)
    x = np.linspace(0, board.length, 20001)
    assert skin.along == pytest.approx(
        float(np.sum(np.hypot(np.diff(x), np.diff(board.rocker(x))))), rel=1e-7
    )
    assert skin.stringer == pytest.approx(float(np.trapezoid(board.thickness(x), x)), rel=1e-6)
    half = board.half_width(x)
    around = 2 * float(np.sum(np.hypot(np.diff(x), np.diff(half)))) + 2 * half[0]
    assert skin.around == pytest.approx(around, rel=1e-3)
    assert board.numbers.wide < skin.across_bottom < board.numbers.wide * 1.1
