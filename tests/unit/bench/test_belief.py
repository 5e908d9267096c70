"""What is known of a face: strokes and readings move it as they must, and never certainty out of nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foamwright.bench.belief import MISSED, ChipFactor, Errors, FaceDoubt, Height, Made, prior, vague
from foamwright.bench.care import GRID, usual_care
from foamwright.blank.numbers import Face
from foamwright.cuts.run import End
from foamwright.cuts.runs import RunTarget
from foamwright.cuts.sole import Sole
from foamwright.shape.kernels.compiler import interpreted
from foamwright.shape.kernels.profile_filter import BRIDGED, spread_covariance, stroke_filter
from foamwright.shape.kernels.strokes import stroke_into
from foamwright.shape.kernels.worn_trials import PROBES, probed
from foamwright.units import INCH

SOLE = Sole(9.5 * INCH, 4.5 * INCH)
SURE = Errors(start=1e-9, each=0.0)


def face(depth: float = 1.0 * INCH, length: float = 36 * INCH) -> RunTarget:
    """Return a bulging face with a depth to come off that grows towards the tip."""
    x = np.linspace(0.0, length, 289)
    target = -(x**2) / 6.0
    return RunTarget("rocker", Face.BOTTOM, End.NOSE, x, target + depth * (x / length) ** 2.2, target)


def test_before_anything_the_face_is_as_planned() -> None:
    belief = prior(face(), SOLE, ChipFactor(), Errors())
    assert belief.left[-1] == pytest.approx(INCH, abs=1e-12)
    assert belief.doubt.max() == 0.0
    assert belief.from_tip[-1] == 0.0


def test_sure_hands_take_what_the_stroke_kernel_takes() -> None:
    belief = prior(face(), SOLE, ChipFactor(1.0, 0.0), SURE).after([Made(10.1 * INCH, None, INCH / 32)])
    before = prior(face(), SOLE, ChipFactor(1.0, 0.0), SURE)
    heights, cut = before.target + before.left, np.empty(before.size)
    first = int(np.ceil(before.size - 1 - 10.1 * INCH / GRID))
    window = np.array([SOLE.behind / GRID, SOLE.ahead / GRID, INCH / 32])
    stroke_into(heights, first, window, cut, np.zeros((2, before.size), dtype=np.int64))
    assert belief.target + belief.left == pytest.approx(cut, abs=1e-12)


def test_the_covariance_moves_by_the_strokes_derivative() -> None:
    """Compare with finite differences of the stroke kernel itself."""
    start = prior(face(), SOLE, ChipFactor(1.1, 0.2), SURE, FaceDoubt(0.001, 0.2))
    chip, first, n = INCH / 32, 40, start.size
    window = np.array([SOLE.behind / GRID, SOLE.ahead / GRID, 0.0])

    def cut(
        state: np.ndarray[tuple[int], np.dtype[np.float64]],
    ) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        result = np.empty(n)
        window[2] = chip * state[n]
        stroke_into(start.target + state[:n], first, window, result, np.zeros((2, n), dtype=np.int64))
        return np.append(result - start.target, state[n])

    slope = np.empty((n + 1, n + 1))
    for k in range(n + 1):
        step = np.zeros(n + 1)
        step[k] = 1e-7
        slope[:, k] = (cut(start.mean + step) - cut(start.mean - step)) / 2e-7
    known = start.known()
    known.noise[2] = 0.0
    stroke_filter(known, float(first) - 1e-6, n + 5.0, chip)
    wanted = slope @ start.cov @ slope.T
    assert known.cov == pytest.approx(wanted, abs=1e-6 * wanted.max())


def test_compiling_changes_nothing() -> None:
    known = prior(face(), SOLE, ChipFactor(), Errors(), FaceDoubt(0.0005, 0.2)).known()
    other = known._replace(cov=known.cov.copy(), work=known.work.copy())
    for one in (known, other):
        one.work[known.target.size + 5] = 1.0
        one.work[known.target.size] = 0.5
        one.work[known.target.size + 2 : known.target.size + 4, : known.target.size] = np.arange(
            known.target.size
        )
    spread_covariance(known, 30, 0.001)
    interpreted(spread_covariance)(other, 30, 0.001)
    assert np.array_equal(known.cov, other.cov)


def test_a_reading_draws_the_mean_and_halves_of_doubt_add_up() -> None:
    belief = prior(face(), SOLE, ChipFactor(), Errors(), FaceDoubt(0.001, 0.1))
    told = float(belief.left[-1]) - 0.002
    once = belief.informed([Height(0.0, told, 0.001)])
    assert once.left[-1] == pytest.approx(belief.left[-1] - 0.001)
    assert once.doubt[-1] == pytest.approx(0.001 / np.sqrt(2.0))
    assert once.doubt[0] == pytest.approx(0.001, rel=1e-6)


def test_readings_of_what_thick_chips_left_teach_the_chip() -> None:
    belief = prior(face(), SOLE, ChipFactor(), Errors())
    strokes = [Made(6 * INCH, None, INCH / 32)] * 6
    after = belief.after(strokes)
    told = float(belief.left[-1]) - 6 * 1.4 * INCH / 32
    learned = after.informed([Height(0.0, told, INCH / 64)]).chip
    assert after.chip == ChipFactor(1.0, pytest.approx(0.3))
    assert 1.2 < learned.mean < 1.45
    assert learned.error < 0.17


def test_strokes_only_ever_add_doubt_near_the_tip() -> None:
    belief = prior(face(), SOLE, ChipFactor(), Errors())
    doubts = [belief.doubt[-1]]
    for _ in range(8):
        belief = belief.after([Made(6 * INCH, None, INCH / 32)])
        doubts.append(belief.doubt[-1])
    assert np.all(np.diff(doubts) > 0.0)


def test_a_face_nobody_followed_is_somewhere_between() -> None:
    belief = vague(face(), SOLE, ChipFactor(), Errors())
    assert belief.left[-1] == pytest.approx(INCH / 2)
    assert belief.doubt[-1] == pytest.approx(np.hypot(INCH / 3 + INCH / 64, INCH / 64))


def hollow_face(depth: float = 1.0 * INCH, length: float = 36 * INCH) -> RunTarget:
    """Return the same with a hollow target: the sole bridges it."""
    bulging = face(depth, length)
    return replace(bulging, before=bulging.before - 2.0 * bulging.target, target=-bulging.target)


def test_less_is_missed_where_the_sole_bridges() -> None:
    """Nothing else is uncertain, so what a stroke adds is what the linearisation misses."""

    def added(target: RunTarget) -> float:
        before = prior(target, SOLE, ChipFactor(1.0, 0.0), SURE)
        after = before.after([Made(12.1 * INCH, None, INCH / 4)])
        return float(after.doubt[-13] / (before.left[-13] - after.left[-13]))

    assert added(face()) == pytest.approx(MISSED, rel=1e-6)
    assert added(hollow_face()) == pytest.approx(BRIDGED * MISSED, rel=1e-6)


def test_nobody_stops_to_measure_where_no_reading_is_worth_it() -> None:
    """The chip is unknown after five strokes, but what they can have changed does not matter yet."""
    care, strokes = usual_care(), [Made(4.1 * INCH, None, INCH / 32)] * PROBES
    known = prior(face(2.0 * INCH), SOLE, ChipFactor(), Errors()).after(strokes).known()
    assert known.cov[-1, -1] > 0.2**2
    assert not probed(known, PROBES, INCH / 128, care)
    near = prior(face(0.3 * INCH), SOLE, ChipFactor(), Errors()).after(strokes).known()
    assert probed(near, PROBES, INCH / 128, care)
    assert not probed(near, PROBES - 1, INCH / 128, care)
