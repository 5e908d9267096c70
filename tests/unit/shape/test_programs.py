"""Small quadratic programs against closed forms and against Clarabel."""

import numpy as np
import pytest

from foamwright.shape.programs import MARGIN, Inequalities, Program, clarabel_minimum

NONE = Inequalities(np.zeros((0, 3)), np.zeros(0))


def above(row: list[float], margin: float = MARGIN) -> Inequalities:
    return Inequalities(np.array([row]), np.array([margin]))


def test_relaxed_is_the_projection() -> None:
    program = Program(np.eye(3), np.array([[1.0, 1.0, 1.0]]), np.array([3.0]), NONE)
    np.testing.assert_allclose(program.relaxed, [1.0, 1.0, 1.0], rtol=1e-15)
    np.testing.assert_allclose(program.solved(), program.relaxed, rtol=0)


def test_an_active_inequality_is_held_at_its_margin() -> None:
    # Nearest to 0 on x + y + z = 3 with x >= 2: (2, 1/2, 1/2).
    rows, values = np.array([[1.0, 1.0, 1.0], [0.0, 0.0, 0.0]])[:1], np.array([3.0])
    program = Program(np.eye(3), rows, values, above([1.0, 0.0, 0.0], margin=2.0))
    np.testing.assert_allclose(program.solved(), [2.0, 0.5, 0.5], rtol=1e-12)
    assert program.energy_of(program.solved()) == pytest.approx(4.5, rel=1e-12)


def test_equalities_hold_to_rounding_whatever_the_energy() -> None:
    dice = np.random.default_rng(3)
    root = dice.normal(size=(30, 30)) * np.logspace(0, 4, 30)
    rows, values = dice.normal(size=(5, 30)), dice.normal(size=5)
    inequalities = Inequalities(dice.normal(size=(10, 30)), np.full(10, MARGIN))
    program = Program(root.T @ root, rows, values, inequalities)
    solved = program.solved()
    np.testing.assert_allclose(rows @ solved, values, rtol=0, atol=1e-13)
    assert np.min(inequalities.rows @ solved) >= 0.0


@pytest.mark.parametrize("seed", range(8))
def test_clarabel_agrees(seed: int) -> None:
    dice = np.random.default_rng(seed)
    root = dice.normal(size=(20, 20))
    energy, rows = root.T @ root, dice.normal(size=(4, 20))
    inside = dice.normal(size=20)
    bounds = dice.normal(size=(40, 20))
    bounds *= np.sign(bounds @ inside)[:, None]
    program = Program(energy, rows, rows @ inside, Inequalities(bounds, np.zeros(40)))
    ours = program.solved()
    zero = np.zeros(20)
    theirs = clarabel_minimum(2 * energy, zero, (rows, rows @ inside), (bounds, np.zeros(40)), 1e-12)
    assert program.energy_of(ours) == pytest.approx(program.energy_of(theirs), rel=1e-7)
    assert program.energy_of(ours) > program.energy_of(program.relaxed)


def test_settled_inequalities_ask_nothing_of_what_is_left_free() -> None:
    # x = 0 is an equality: asking x >= 0 with a margin is not a contradiction.
    program = Program(np.eye(3), np.array([[1.0, 0.0, 0.0]]), np.zeros(1), above([1.0, 0.0, 0.0]))
    np.testing.assert_array_equal(program.solved(), np.zeros(3))


def test_contradiction_is_none_and_told_by_the_nearest() -> None:
    rows, values = np.eye(3)[:2], np.array([-1.0, 5.0])
    program = Program(np.eye(3), rows, values, above([1.0, 0.0, 0.0]))
    assert program.solved() is None
    nearest = program.nearest(np.array([True, True]))
    np.testing.assert_allclose(nearest[:2], [0.0, 5.0], rtol=0, atol=1e-5)


def test_fixed_values_that_contradict_have_no_nearest() -> None:
    program = Program(np.eye(3), np.eye(3)[:1], np.array([-1.0]), above([1.0, 0.0, 0.0]))
    with pytest.raises(ArithmeticError, match="nearest fair curve"):
        program.nearest(np.array([False]))


def test_margin_is_given_up_where_only_equality_will_do() -> None:
    # x >= 0 and -x >= 0 leave x = 0, which no margin allows.
    inequalities = Inequalities(np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]), np.full(2, 1e-3))
    program = Program(np.eye(3), np.array([[0.0, 1.0, 0.0]]), np.ones(1), inequalities)
    np.testing.assert_allclose(program.solved(), [0.0, 1.0, 0.0], rtol=0, atol=1e-6)
    assert program.solved(limit=10.0) is None
