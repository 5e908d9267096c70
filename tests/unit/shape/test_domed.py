"""Curves with one greatest height."""

import numpy as np
import pytest

from foamwright.shape.domed import bend_signs, domed, sign_runs
from foamwright.shape.fair import UnfairError
from foamwright.shape.touching import Point

POINTS = (
    Point(0.0, 0.016, "tail"),
    Point(0.3, 0.043, "12 from tail"),
    Point(1.63, 0.038, "12 from nose"),
    Point(1.93, 0.013, "nose"),
)
TOP = 0.0635
X = np.linspace(0.0, 1.93, 4001)


def inflections(curve) -> int:
    bend = curve(X, 2)
    strong = bend[np.abs(bend) > 1e-6 * np.max(np.abs(bend))]
    return int(np.sum(np.diff(np.sign(strong)) != 0))


@pytest.mark.parametrize("at", [None, 0.9, 1.05])
def test_it_meets_the_numbers_and_has_one_top(at: float | None) -> None:
    found = domed(POINTS, TOP, at)
    assert max(abs(float(found.curve(p.x)) - p.value) for p in POINTS) < 1e-14
    assert float(found.curve(found.at)) == pytest.approx(TOP, abs=1e-15)
    assert np.max(found.curve(X)) <= TOP + 1e-15
    assert np.max(found.curve(X, 2)) <= 0.0
    assert at is None or found.at == at


def test_numbers_that_ask_for_a_hollow_get_one_and_no_more() -> None:
    # The foil pulled thin at 12 from the nose: straight chords already bend the other way there.
    pulled = (*POINTS[:2], Point(1.63, 0.019, "12 from nose"), POINTS[3])
    found = domed(pulled, TOP, 1.0)
    assert inflections(found.curve) == 1
    assert float(found.curve(1.63)) == pytest.approx(0.019, abs=1e-15)
    slope = found.curve(X, 1)
    assert np.min(slope[X < 0.999]) >= 0.0
    assert np.max(slope[X > 1.001]) <= 0.0


def test_hollow_at_both_ends() -> None:
    pulled = (
        POINTS[0], Point(0.3, 0.021, "12 from tail"), Point(1.63, 0.019, "12 from nose"), POINTS[3]
    )  # fmt: skip
    assert inflections(domed(pulled, TOP, None).curve) == 2


def test_a_mark_at_the_top_is_the_top() -> None:
    points = (*POINTS[:2], Point(1.0, TOP, "centre"), *POINTS[2:])
    assert domed(points, TOP, None).at == 1.0


def test_a_bump_is_refused_with_the_number_to_move() -> None:
    bumped = (*POINTS[:2], Point(0.5, 0.0634, "20 from tail"), Point(0.7, 0.059, "28 from tail"), *POINTS[2:])
    with pytest.raises(UnfairError, match="from tail would have to move"):
        domed(bumped, TOP, 1.0)


def test_no_place_for_the_top_is_refused_too() -> None:
    humps = (Point(0.5, 0.0634, "20 from tail"), Point(0.7, 0.05, "28"), Point(1.0, 0.06, "39"))
    bumped = (*POINTS[:2], *humps, *POINTS[2:])
    with pytest.raises(UnfairError, match="would have to move"):
        domed(bumped, TOP, None)


def test_bend_signs_and_runs() -> None:
    x, y = np.array([0.0, 1.0, 2.0, 3.0, 4.0]), np.array([0.0, 1.0, 2.0, 1.0, 0.5])
    assert bend_signs(x, y) == [0.0, -1.0, 1.0]
    assert sign_runs(x, [0.0, -1.0, 1.0]) == [(1.0, 2.0, -1.0), (3.0, 4.0, 1.0)]
