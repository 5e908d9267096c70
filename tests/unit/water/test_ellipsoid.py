"""Ellipsoids cut by a plane, against columns and closed forms."""

import numpy as np
import pytest

from foamwright.water.columns import columns_of
from foamwright.water.ellipsoid import Ellipsoid, Ellipsoids
from foamwright.water.pool import Surface
from tests.closed_forms import Ellipsoid as SolidEllipsoid

LYING = Ellipsoid(np.array([1.0, 0.0, 0.5]), np.diag([1.0, 0.7, 0.5]))


@pytest.mark.parametrize(
    "surface", [Surface(0.3, 0.2, 0.1), Surface(0.9, -0.3, 0.4), Surface(2.0), Surface(-1.0)]
)
def test_same_as_columns(surface):
    """Two ways that share no code: caps of a ball, and columns between two faces."""
    caps, columns = Ellipsoids([LYING]).pool(surface), columns_of(SolidEllipsoid(2.0, 1.4, 1.0)).pool(surface)
    assert caps.volume == pytest.approx(columns.volume, rel=1e-9, abs=1e-15)
    assert caps.moment == pytest.approx(columns.moment, abs=1e-9)
    assert caps.area == pytest.approx(columns.area, rel=2e-6, abs=1e-15)
    assert caps.first == pytest.approx(columns.first, abs=2e-6)
    assert caps.second == pytest.approx(columns.second, abs=2e-6)


def test_turned_ellipsoid_does_not_care_in_which_frame_it_is_described():
    angle = 0.7
    turn = np.array([[np.cos(angle), 0, np.sin(angle)], [0, 1, 0], [-np.sin(angle), 0, np.cos(angle)]])
    ball = Ellipsoid(np.array([0.2, 0.1, 0.3]), 0.4 * turn)
    plain = Ellipsoid(np.array([0.2, 0.1, 0.3]), 0.4 * np.eye(3))
    surface = Surface(0.35, 0.2, -0.1)
    one, other = Ellipsoids([ball]).pool(surface), Ellipsoids([plain]).pool(surface)
    assert one.volume == pytest.approx(other.volume, rel=1e-13)
    assert one.second == pytest.approx(other.second, rel=1e-12)


def test_many_are_the_sum_of_each():
    shapes = [LYING, Ellipsoid(np.array([0.0, 0.3, 0.2]), np.diag([0.2, 0.3, 0.4]))]
    surface = Surface(0.4, 0.05, 0.1)
    both = Ellipsoids(shapes).pool(surface)
    each = Ellipsoids(shapes[:1]).pool(surface) + Ellipsoids(shapes[1:]).pool(surface)
    assert both.volume == pytest.approx(each.volume, rel=1e-14)
    assert both.moment == pytest.approx(each.moment, rel=1e-13)
    assert both.second == pytest.approx(each.second, rel=1e-13)


def test_reach_is_the_support():
    direction = np.array([0.6, 0.0, 0.8])
    assert LYING.reach(direction) == pytest.approx(np.hypot(0.6, 0.4))
