from itertools import pairwise

import numpy as np
import pytest

from foamwright.papers.drawing_points import picked_points, thinned_points


def test_picked_points_keep_the_chord_error_of_a_superellipse():
    def curve(t):
        return np.column_stack((900 * np.cos(t), 250 * np.sin(t)))

    points = picked_points(curve, 0.0, np.pi, 0.02)
    fine = curve(np.linspace(0.0, np.pi, 20_001))
    assert distance(fine, points).max() < 0.02
    # An eye on the count: a circle of this size needs about 150, so the picking is not wasteful.
    assert len(points) < 400


def test_a_straight_line_needs_no_halving():
    assert len(picked_points(lambda t: np.column_stack((t, 2 * t)), 0.0, 1.0)) == 17


def test_thinned_points_stay_within_the_chord_error_and_keep_the_box():
    x = np.linspace(0.0, 1900.0, 5001)
    rows = np.column_stack((x, 250 * np.sin(np.pi * x / 1900) ** 0.7))
    thin = thinned_points(rows, 0.01)
    assert len(thin) < len(rows) / 5
    assert distance(rows, thin).max() <= 0.01
    assert thin.min(axis=0).tolist() == rows.min(axis=0).tolist()
    assert thin.max(axis=0).tolist() == rows.max(axis=0).tolist()


def test_thinning_keeps_corners():
    rows = np.array([(0, 0), (1, 0), (2, 0), (2, 1), (2, 2), (0, 2)])
    assert thinned_points(rows).tolist() == [[0, 0], [2, 0], [2, 2], [0, 2]]


@pytest.mark.parametrize("rows", [[(0, 0), (1, 1)], [(0, 0), (0, 0), (0, 0)]])
def test_short_and_degenerate_lines_pass(rows):
    assert thinned_points(rows).tolist()[0] == [0, 0]


def distance(points, polyline):
    """Distance of each point to the polyline, with numpy alone, the segments in order of x or t."""
    best = np.full(len(points), np.inf)
    for a, b in pairwise(polyline):
        along = b - a
        share = np.clip(((points - a) @ along) / max(along @ along, 1e-300), 0.0, 1.0)
        best = np.minimum(best, np.hypot(*(points - a - share[:, None] * along).T))
    return best
