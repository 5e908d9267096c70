"""The line between two sets of points: closed forms, degenerate sets, ties."""

import numpy as np
import pytest

from foamwright.lay.limits import Limits
from foamwright.shape.kernels.line_between import FITS, NONE_FITS, UNBOUNDED

INF = np.inf


def line(x, lower, upper, toward=(1.0, 0.0)):
    return Limits(*(np.array(v, dtype=float) for v in (x, lower, upper))).best_line(np.array(toward, float))


def test_lowest_line_rests_on_the_edge_under_the_weight():
    found = line([0, 1, 2], [0, 1, 0], [9, 9, 9], toward=(1.0, 0.5))
    assert (found.status, found.lift, found.tilt) == (FITS, 0.0, 1.0)


def test_highest_line_hangs_from_the_edge_over_the_weight():
    found = line([0, 1, 2], [-9, -9, -9], [0, -1, 0], toward=(-1.0, -1.5))
    assert (found.status, found.lift, found.tilt) == (FITS, -2.0, 1.0)


def test_upper_set_stops_the_wished_tilt():
    # Wanted: tilt 1 on the edge (0,0)-(1,1). The ceiling at x = 2 allows only 0.2 above the peak.
    found = line([0, 1, 2], [0, 1, 0], [9, 9, 1.2], toward=(1.0, 0.5))
    assert found.status == FITS
    assert [found.lift, found.tilt] == pytest.approx([0.8, 0.2], abs=1e-15)


def test_gap_is_the_widest_one():
    found = line([0, 1, 2], [0, 1, 0], [3, 2, 3])
    assert found.gap == 1.0


def test_line_that_misses_misses_both_by_half():
    found = line([0, 1, 2], [0, 1, 0], [0.5, 2, 0.5])
    assert (found.status, found.gap) == (NONE_FITS, -0.5)
    assert (found.lift, found.tilt) == (0.75, 0.0)


def test_touching_sets_fit():
    flat = [0.1, 0.1, 0.1, 0.1]
    found = line([0, 1, 2, 3], flat, flat)
    assert (found.status, found.lift, found.tilt, found.gap) == (FITS, 0.1, 0.0, 0.0)


@pytest.mark.parametrize("toward", [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 3), (-1, 0.4), (0, 0)])
def test_touching_sloped_sets_leave_one_line(toward):
    x = np.array([0.0, 0.3, 1.1, 1.7])
    found = line(x, 0.3 - 0.07 * x, 0.3 - 0.07 * x, toward=toward)
    assert found.status == FITS
    assert [found.lift, found.tilt] == pytest.approx([0.3, -0.07], abs=1e-12)


@pytest.mark.parametrize(
    ("toward", "expected"),
    [((1, 0.5), (0, 0)), ((1, 2), (2, -2)), ((-1, -1), (1, 0)), ((0, 1), (1, -1)), ((0, -1), (0, 1))],
)
def test_two_stations(toward, expected):
    found = line([0, 1], [0, 0], [1, 1] if toward != (1, 2) else [2, 1], toward=toward)
    assert found.status == FITS
    assert (found.lift, found.tilt) == expected


def test_equal_tilts_go_to_the_least():
    # Halfway between both stations, every line through (0.5, 0) weighs the same.
    found = line([0, 1], [-1, -1], [2, 2], toward=(0.0, 0.0))
    assert (found.lift, found.tilt) == (0.5, 0.0)
    found = line([0, 1, 2], [0, 1, 0], [9, 9, 9], toward=(1.0, 1.0))
    assert (found.lift, found.tilt) == (1.0, 0.0)


def test_one_station():
    found = line([0.4], [1.0], [3.0], toward=(0.0, 0.0))
    assert (found.status, found.lift, found.tilt, found.gap) == (FITS, 2.0, 0.0, 2.0)


def test_stations_without_limits_do_not_count():
    with_gaps = line([0, 1, 2, 3], [0, -INF, 0, -INF], [INF, 2, INF, 2], toward=(1.0, 0.7))
    alone = line([0, 1, 2, 3], [0, -50, 0, -50], [50, 2, 50, 2], toward=(1.0, 0.7))
    assert with_gaps == alone


def test_unbounded_is_told():
    assert line([0, 1], [0, -INF], [INF, 1], toward=(1.0, 2.0)).status == UNBOUNDED
    assert line([0, 1], [-INF, -INF], [1, 1], toward=(1.0, 0.0)).status == UNBOUNDED
    assert line([0, 1], [0, -INF], [INF, 1], toward=(0.0, 0.0)).status == UNBOUNDED
