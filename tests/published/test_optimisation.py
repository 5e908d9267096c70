"""The line between two sets of points, against published linear programs and minimax fits."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

from foamwright.lay.limits import Limits
from foamwright.shape.kernels.line_between import FITS, NONE_FITS

PUBLISHED = tomllib.loads((Path(__file__).parent / "data" / "optimisation.toml").read_text())
SEVEN = np.array([(1, 3), (2, 5), (3, 7), (5, 11), (7, 14), (8, 15), (10, 19)], dtype=float)


def minimax(x, z):
    """Slope, intercept and largest error of the best line: the one that misses z from both sides by least."""
    line = Limits(x, z, z).widest_line()
    assert line.status == NONE_FITS
    return line.tilt, line.lift, -0.5 * line.gap


@pytest.mark.parametrize(
    ("name", "x", "z"),
    [
        ("minimax_x2", np.linspace(0, 1, 101), np.linspace(0, 1, 101) ** 2),
        ("minimax_seven_points", SEVEN[:, 0], SEVEN[:, 1]),
        (
            "minimax_exp",
            np.sort([*np.linspace(0, 1, 101), math.log(math.e - 1)]),
            np.exp(np.sort([*np.linspace(0, 1, 101), math.log(math.e - 1)])),
        ),
    ],
)
def test_minimax_line_is_the_published_one(name, x, z):
    entry = PUBLISHED[name]
    assert minimax(x, z) == pytest.approx(entry["value"], abs=entry["tol"])


def test_minimax_line_beats_least_squares_as_published():
    least_squares = PUBLISHED["least_squares_seven_points"]
    slope, intercept, error = least_squares["value"]
    assert np.polyfit(*SEVEN.T, 1) == pytest.approx([slope, intercept], abs=least_squares["tol"])
    assert minimax(*SEVEN.T)[2] < error - 0.1


def test_linear_program_of_three_constraints():
    # x is the lift, y the tilt: each constraint is then a point that the line passes above or below.
    entry = PUBLISHED["lp_three_constraints"]
    x = np.array([-3.0, -0.5, 1.0])
    lower = np.array([-12.0, -np.inf, -np.inf])
    upper = np.array([np.inf, 5.0, 8.0])
    line = Limits(x, lower, upper).best_line(np.array([-3.0, -2.0]))
    assert line.status == FITS
    found = [line.lift, line.tilt, 3 * line.lift + 2 * line.tilt]
    assert found == pytest.approx(entry["value"], abs=entry["tol"])
