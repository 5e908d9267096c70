"""Lamé curves: the square is exact, points by direction lie on the curve."""

import numpy as np
import pytest

from foamwright.shape.lame import lame_angle, lame_height, lame_point, lame_quarter_area

EXPONENTS = (1.0, 1.7, 2.0, 2.3, 4.0, 9.0, 60.0)


@pytest.mark.parametrize("exponent", EXPONENTS)
def test_heights_lie_on_the_curve(exponent: float) -> None:
    share = np.linspace(0.0, 1.0, 41)
    height = lame_height(share, 1.0 / exponent)
    np.testing.assert_allclose(share**exponent + height**exponent, 1.0, rtol=0, atol=1e-13 * exponent)


def test_the_hard_edge_is_exactly_square() -> None:
    np.testing.assert_array_equal(lame_height(np.array([0.0, 0.5, 1.0]), 0.0), 1.0)
    across, height = lame_point(np.array([0.0, 0.2, np.pi / 4]), 0.0)
    np.testing.assert_array_equal(across, 1.0)
    np.testing.assert_allclose(height, np.tan([0.0, 0.2, np.pi / 4]), rtol=1e-15)


def test_exponents_near_the_hard_edge_come_to_it() -> None:
    share = np.linspace(0.0, 0.999, 30)
    np.testing.assert_allclose(lame_height(share, 1e-5), 1.0, rtol=0, atol=1e-12)


@pytest.mark.parametrize("exponent", EXPONENTS)
def test_points_by_direction_lie_on_the_curve(exponent: float) -> None:
    angle = np.linspace(0.0, np.pi / 2, 61)
    across, height = lame_point(angle, 1.0 / exponent)
    np.testing.assert_allclose(across**exponent + height**exponent, 1.0, rtol=0, atol=1e-13 * exponent)
    np.testing.assert_allclose(np.arctan2(height, across), angle, rtol=0, atol=1e-15)


@pytest.mark.parametrize("exponent", EXPONENTS)
def test_angle_is_the_direction_of_a_share(exponent: float) -> None:
    share = np.linspace(0.0, 0.95, 20)
    across, _ = lame_point(lame_angle(share, 1.0 / exponent), 1.0 / exponent)
    np.testing.assert_allclose(across, share, rtol=0, atol=1e-13)


def test_quarter_area_of_line_circle_and_square() -> None:
    np.testing.assert_allclose(
        lame_quarter_area(np.array([1.0, 2.0, np.inf])), [0.5, np.pi / 4, 1.0], rtol=1e-14
    )
