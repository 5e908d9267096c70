"""Outlines in the stretched variable."""

import numpy as np
import pytest

from foamwright.shape.fair import UnfairError
from foamwright.shape.outlines import outline
from foamwright.shape.touching import Point

LENGTH = 1.93
WIDTHS = (Point(0.3, 0.189, "12 from tail"), Point(1.63, 0.154, "12 from nose"))
BLOCK = (Point(0.0, 0.07, "tail"), *WIDTHS, Point(LENGTH, 0.0, "nose"))
ROUND = (Point(0.0, 0.0, "tail"), *WIDTHS, Point(LENGTH, 0.0, "nose"))
TOP = 0.259
X = np.linspace(0.0, LENGTH, 4001)
INSIDE = X[(X > 1e-4) & (X < LENGTH - 1e-4)]


@pytest.mark.parametrize("points", [BLOCK, ROUND])
@pytest.mark.parametrize("at", [None, 0.95, 1.0])
def test_it_meets_the_numbers_and_bulges_everywhere(points: tuple[Point, ...], at: float | None) -> None:
    side, wide_at = outline(points, TOP, at, (None, None))
    assert max(abs(float(side(np.array(p.x))) - p.value) for p in points) < 1e-14
    assert float(side(np.array(wide_at))) == pytest.approx(TOP, abs=1e-15)
    assert np.max(side(X)) <= TOP + 1e-14
    assert np.max(side.bend(INSIDE)) <= 0.0
    assert at is None or wide_at == at


def test_an_ellipse_is_reproduced() -> None:
    # In the stretched variable an ellipse is sin u, which bends for nothing.
    def ellipse(x: np.ndarray) -> np.ndarray:
        return TOP * np.sqrt(np.maximum(1.0 - (2.0 * x / LENGTH - 1.0) ** 2, 0.0))

    points = tuple(Point(x, float(ellipse(np.array(x))), f"{x}") for x in (0.0, 0.3, 0.7, 1.63, LENGTH))
    side, _ = outline(points, TOP, LENGTH / 2, (None, None))
    np.testing.assert_allclose(side(X), ellipse(X), rtol=0, atol=2e-8)


def test_slope_and_bend_are_the_derivatives() -> None:
    side, _ = outline(BLOCK, TOP, 1.0, (None, None))
    x, step = np.linspace(0.05, 1.85, 37), 1e-4
    slope = (side(x + step) - side(x - step)) / (2 * step)
    bend = (side(x + step) - 2 * side(x) + side(x - step)) / step**2
    np.testing.assert_allclose(side.slope(x), slope, rtol=0, atol=2e-6)
    np.testing.assert_allclose(side.bend(x), bend, rtol=0, atol=2e-4)


def test_a_block_leaves_the_tail_with_a_finite_slope() -> None:
    side, _ = outline(BLOCK, TOP, 1.0, (None, None))
    assert 0.1 < float(side.slope(np.array(1e-6))) < 2.0


def test_point_half_round_and_round_tips() -> None:
    pin, half, free = (outline(ROUND, TOP, 1.0, (end, None))[0] for end in (0.0, 0.5, None))
    near = np.array([1e-4, 1e-3, 1e-2])
    assert np.all(pin(near) < half(near))
    assert np.all(half(near) < free(near))
    # A round tip widens as the root of the distance, a pin in proportion to it.
    assert free(near)[1] / free(near)[0] == pytest.approx(np.sqrt(10.0), rel=0.03)
    assert pin(near)[1] / pin(near)[0] == pytest.approx(10.0, rel=0.05)
    assert np.max(pin.bend(INSIDE)) <= 0.0


def test_a_pulled_tail_has_one_hollow() -> None:
    pulled = (Point(0.0, 0.07, "tail"), Point(0.3, 0.1, "12 from tail"), *BLOCK[2:])
    side, _ = outline(pulled, TOP, 1.0, (None, None))
    bend = side.bend(INSIDE)
    strong = bend[np.abs(bend) > 1e-6 * np.max(np.abs(bend))]
    assert int(np.sum(np.diff(np.sign(strong)) != 0)) == 1


def test_a_bump_is_refused() -> None:
    bumped = (BLOCK[0], Point(0.3, 0.23, "12 from tail"), Point(0.6, 0.22, "24 from tail"), *BLOCK[2:])
    with pytest.raises(UnfairError, match="from tail would have to move"):
        outline(bumped, TOP, 1.0, (None, None))


def test_no_place_for_the_wide_point_is_refused_too() -> None:
    humps = (Point(0.3, 0.23, "12 from tail"), Point(0.6, 0.2, "24 from tail"), Point(0.95, 0.24, "37"))
    with pytest.raises(UnfairError, match="24 from tail would have to move"):
        outline((BLOCK[0], *humps, *BLOCK[2:]), TOP, None, (None, None))


def test_a_width_at_the_wide_point_is_the_wide_point() -> None:
    points = (*BLOCK[:2], Point(0.98, TOP, "centre"), *BLOCK[2:])
    assert outline(points, TOP, None, (None, None))[1] == 0.98
