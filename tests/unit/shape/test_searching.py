"""The search for a free point, on functions whose valley is known."""

import numpy as np
import pytest

from foamwright.shape.programs import Inequalities, Program
from foamwright.shape.searching import fairest_place, lowest


@pytest.mark.parametrize(
    ("function", "bottom", "most"),
    [
        (lambda x: (x - 0.3) ** 2, 0.3, 6),
        (lambda x: np.cosh(4 * (x - 0.71)), 0.71, 14),
        (lambda x: abs(x - 0.123), 0.123, 40),
        (lambda x: np.inf if x < 0.4 else x, 0.4, 40),
        (lambda x: -x, 1.0, 40),
        (lambda x: x, 0.0, 40),
    ],
)
def test_lowest_finds_the_valley(function, bottom: float, most: int) -> None:
    asked = []

    def watched(x: float) -> float:
        asked.append(x)
        return float(function(x))

    found = lowest(watched, (0.0, 1.0), (0.5, float(function(0.5))), 1e-5)
    assert found == pytest.approx(bottom, abs=3e-5)
    assert len(asked) <= most
    assert min(asked) >= 0.0
    assert max(asked) <= 1.0


class Valley:
    """Stands for a program of least energy (place - bottom)^2 + 1, a share `bare` of it without its shape."""

    def __init__(self, place: float, bottom: float, bare: float, solved: list[float]) -> None:
        self.place, self.least, self.all_solved = place, (place - bottom) ** 2 + 1.0, solved
        self.relaxed = bare * self.least

    def energy_of(self, unknowns: float) -> float:
        return unknowns

    def solved(self, limit: float = np.inf) -> float | None:
        self.all_solved.append(self.place)
        return self.least if self.least <= limit else None


@pytest.mark.parametrize("bare", [0.0, 0.3, 1.0])
def test_fairest_place_is_the_valley_on_its_grid(bare: float) -> None:
    place = fairest_place(lambda x: Valley(x, 0.4567, bare, []), (0.0, 1.0), 1e-3)
    assert place == pytest.approx(0.457, abs=1e-12)


def test_trials_that_cannot_win_are_not_solved() -> None:
    solved: list[float] = []
    fairest_place(lambda x: Valley(x, 0.05, 0.9, solved), (0.0, 12.0), 1e-3)
    assert max(solved) < 1.5


def test_no_answer_anywhere_is_none() -> None:
    contradiction = Inequalities(np.array([[1.0, 0.0]]), np.array([1e-7]))

    def impossible(place: float) -> Program:
        return Program(np.eye(2), np.array([[1.0, 0.0]]), np.array([-1.0 - place]), contradiction)

    assert fairest_place(impossible, (0.0, 1.0), 1e-3) is None
