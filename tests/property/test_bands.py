"""Laws of rail bands: never inside the finished section, more bands leave less, closed forms on ellipses."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.cuts.band_angles import Flat, best_angles
from foamwright.cuts.bands import RailSection, plan_bands
from foamwright.cuts.polygons import outside, polygon_area, support

QUICK = settings(max_examples=25, deadline=None, derandomize=True)


def lame_rail(apex, lower, upper, half=0.25, thick=0.06, n=301):
    """A section of two Lamé quarters that span the half-width, as trade boards have them."""
    turn = np.linspace(0.0, np.pi / 2, n)
    across, up = np.cos(turn), np.sin(turn)
    deck = np.stack(
        [half * across ** (2 / upper), apex * thick + (1 - apex) * thick * up ** (2 / upper)], axis=1
    )
    below = np.stack([half * up ** (2 / lower), apex * thick - apex * thick * across ** (2 / lower)], axis=1)
    return np.concatenate([below, deck[1:]])


rails = st.builds(
    lame_rail, st.floats(0.1, 0.6), st.floats(2.0, 8.0), st.floats(1.8, 3.0), st.floats(0.1, 0.3)
)


def stage_of(finished, spare):
    side, top = finished[:, 0].max() + spare, finished[:, 1].max() + spare
    return np.array([(0.0, 0.0), (side, 0.0), (side, top), (0.0, top)])


def area_left(angles, first, last, section):
    """Area of the chain of flats less the section's, by meeting points and the shoelace."""
    turned = np.concatenate([[first.angle], angles, [last.angle]])
    reach = np.concatenate([[first.reach], support(section, angles), [last.reach]])
    corners = []
    for i in range(turned.size - 1):
        normals = np.array([[np.cos(a), np.sin(a)] for a in turned[i : i + 2]])
        corners.append(np.linalg.solve(normals, reach[i : i + 2]))
    start, end = (np.array([first.reach, 0.0]), np.array([0.0, last.reach]))
    return polygon_area(np.array([(0.0, 0.0), start, *corners, end]))


@QUICK
@given(rails, st.integers(1, 4), st.integers(0, 2), st.sampled_from([0.0, 0.002]))
def test_finished_section_is_inside_every_cut(finished, deck, tuck, spare):
    stage = stage_of(finished, spare)
    plan = plan_bands(RailSection(finished, stage), deck, tuck)
    edges = np.diff(plan.outline, axis=0)
    for (along, up), corner in zip(edges, plan.outline[:-1], strict=True):
        distance = (finished[:, 0] - corner[0]) * up - (finished[:, 1] - corner[1]) * along
        assert distance.max() / np.hypot(along, up) < 1e-10
    assert plan.left >= 0.0


@QUICK
@given(rails)
def test_each_further_band_leaves_less(finished):
    section = RailSection(finished, stage_of(finished, 0.0))
    left = [plan_bands(section, deck, tuck).left for deck, tuck in ((0, 0), (1, 0), (2, 0), (3, 0), (3, 1))]
    assert all(more <= less + 1e-15 for less, more in pairwise(left))
    assert left[3] < left[1] < left[0]


@QUICK
@given(rails, st.integers(1, 4))
def test_every_band_takes_foam_between_its_own_lines(finished, deck):
    plan = plan_bands(RailSection(finished, stage_of(finished, 0.001)), deck, 1)
    for band in plan.bands:
        assert band.takes > 0.0
        assert all(line.from_edge > 0.0 for line in band.lines)
        assert band.lines[0].on != band.lines[1].on
        assert 0.0 < band.slope < np.pi / 2


@QUICK
@given(st.floats(0.2, 5.0), st.floats(0.2, 5.0), st.integers(1, 5))
def test_best_flats_round_a_quarter_ellipse_are_the_stretched_equal_angles(a, b, count):
    # On a circle equal angles leave least: (n + 1) tan(pi / (4 (n + 1))) r^2; stretching keeps shares.
    turn = np.linspace(0.0, np.pi / 2, 20001)
    section = np.stack([a * np.cos(turn), b * np.sin(turn)], axis=1)
    first, last = Flat(0.0, a), Flat(np.pi / 2, b)
    angles = best_angles(section, first, last, count, (0.0, np.pi / 2))
    closed_form = a * b * (count + 1) * np.tan(np.pi / (4 * (count + 1)))
    assert area_left(angles, first, last, section) == pytest.approx(closed_form, rel=1e-6)
    if 0.5 < a / b < 2.0:
        equal = np.arange(1, count + 1) * np.pi / (2 * (count + 1))
        assert np.arctan2(np.sin(angles) * b, np.cos(angles) * a) == pytest.approx(equal, abs=2e-3)


@QUICK
@given(rails, st.integers(1, 3))
def test_no_random_choice_of_flats_leaves_less(finished, count):
    upper = finished[finished[:, 1] >= finished[np.argmax(finished[:, 0]), 1]]
    base = upper[:, 1].min()
    section = upper - [0.0, base]
    first, last = Flat(0.0, float(section[:, 0].max())), Flat(np.pi / 2, float(section[:, 1].max()))
    best = area_left(best_angles(section, first, last, count, (0.0, np.pi / 2)), first, last, section)
    random = np.random.default_rng(count)
    for _ in range(200):
        other = np.sort(random.uniform(0.01, np.pi / 2 - 0.01, count))
        if count == 1 or np.diff(other).min() > 1e-3:
            assert area_left(other, first, last, section) >= best - 1e-12


def test_a_flat_is_a_tangent():
    finished = lame_rail(0.4, 2.5, 2.2)
    angle = 1.1
    reach = float(support(finished, angle))
    assert outside(finished, angle, reach).max() == pytest.approx(0.0, abs=1e-15)
