"""The estimate of a face against dense linear algebra and against numerical integration."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, stats

from foamwright.bench.belief import GRID, ChipFactor, Height, Made, prior
from foamwright.bench.readings import Lay, Tool, Zone
from foamwright.shape.kernels.face_filter import FACTOR, Face, stick_row, take_between
from foamwright.units import INCH
from tests.runs import bulging_run


def test_a_stroke_on_a_bulging_face_is_the_linear_step_of_a_kalman_filter() -> None:
    """Well inside a stroke the whole chip goes: ``h' = h - f c - e c`` in mean and covariance.

    Dense algebra: F P F' + Q, F from the step itself; the start's wandering is beyond the places compared.
    """
    belief = prior(bulging_run(radius=3.0), ChipFactor(1.0, 0.4), 2e-4)
    chip, n = INCH / 32, belief.size
    after = belief.after([Made(20.0 * INCH, None, chip)])
    inside = slice(0, 30)
    size = belief.face.mean.size
    step = np.eye(size)
    step[inside, n + FACTOR] = -chip
    noise = np.zeros((size, size))
    noise[inside, inside] = (0.3 * chip) ** 2 + np.diag(np.full(30, (0.3 * chip) ** 2))
    mean = step @ belief.face.mean
    cov = step @ belief.face.cov @ step.T + noise
    assert after.left[inside] == pytest.approx(mean[inside], abs=1e-12)
    # The hull passes through the place itself on a bulging face, so nothing else couples.
    assert after.face.cov[inside, inside] == pytest.approx(cov[inside, inside], rel=1e-6, abs=1e-14)
    assert after.face.cov[inside, n + FACTOR] == pytest.approx(cov[inside, n + FACTOR], rel=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_readings_condition_the_joint_normal(seed: int) -> None:
    """Several readings one by one are the one dense update of the textbook."""
    dice = np.random.default_rng(seed)
    belief = prior(bulging_run(), ChipFactor(), 8e-4).after([Made(15.0 * INCH, None, INCH / 32)])
    places = dice.choice(belief.size, 5, replace=False)
    told = belief.left[places] + 5e-4 * dice.standard_normal(5)
    ours = belief.informed([Height(k * GRID, float(v), 2e-4) for k, v in zip(places, told, strict=True)])
    rows = np.zeros((5, belief.face.mean.size))
    rows[np.arange(5), places] = 1.0
    rows[:, belief.size + 1] = 1.0  # the gauge's own zero
    cov = belief.face.cov
    gain = cov @ rows.T @ np.linalg.inv(rows @ cov @ rows.T + (2e-4) ** 2 * np.eye(5))
    mean = belief.face.mean + gain @ (told - rows @ belief.face.mean)
    assert ours.face.mean == pytest.approx(mean, abs=1e-10)
    assert ours.face.cov == pytest.approx(cov - gain @ rows @ cov, abs=1e-12)


@pytest.mark.parametrize(("low", "high"), [(0.0, 1e-3), (2e-3, 3e-3), (-5e-3, -1e-3)])
def test_an_interval_has_the_moments_of_the_cut_off_normal(low: float, high: float) -> None:
    """Mean and variance after "the gap lies between" against quadrature of the same density."""
    face = Face(np.array([4e-4, 0.0]), np.diag([(8e-4) ** 2, 1e-12]), np.zeros(1))
    noise = 2e-4
    take_between(face, np.array([1.0, 0.0]), low, high, noise**2)

    def weight(h: float) -> float:
        seen = stats.norm.cdf((high - h) / noise) - stats.norm.cdf((low - h) / noise)
        return float(stats.norm.pdf(h, 4e-4, 8e-4) * seen)

    ends = (4e-4 - 8 * 8e-4, 4e-4 + 8 * 8e-4)
    mass, mean, square = (
        integrate.quad(lambda h, p=p: h**p * weight(h), *ends, limit=400, points=[low, high])[0]
        for p in range(3)
    )
    mean /= mass
    assert face.mean[0] == pytest.approx(mean, abs=2e-6)
    assert np.sqrt(face.cov[0, 0]) == pytest.approx(np.sqrt(square / mass - mean**2), rel=0.02)


def test_a_stick_tells_shape_and_never_height() -> None:
    """A face raised or tilted as a whole leaves every gap as it was; a place raised alone changes it."""
    face = prior(bulging_run(), ChipFactor()).face
    n = face.line.size
    row, at = np.zeros(face.mean.size), np.arange(n)
    for place in (0.0, 7.25, 20.0, n - 1.0):
        stick_row(face, 40, 3, place, row)
        assert row[:n].sum() == pytest.approx(0.0, abs=1e-12)
        assert row[:n] @ at == pytest.approx(0.0, abs=1e-10)
    stick_row(face, 40, 3, 20.0, row)
    assert row[20] == pytest.approx(-1.0)


def test_zones_of_a_stick_tell_its_middle() -> None:
    belief = prior(bulging_run(depth=INCH / 16), ChipFactor(), 6e-4, 3.0 * INCH)
    lay = Lay((0.0, (belief.size - 1) * GRID), (Zone(8.0 * INCH, 20.0 * INCH, INCH / 32),))
    middle = belief.size // 2
    assert belief.laid(lay).doubt[middle] < 0.9 * belief.doubt[middle]


def test_a_tool_that_is_off_is_off_at_every_place() -> None:
    """Many readings with one gauge leave its zero's doubt; the textbook's floor of a shared error."""
    belief = prior(bulging_run(), ChipFactor(), 2e-3, 5.0)
    many = belief.informed([Height(k * GRID, 1e-3, 1e-4, Tool.STRAIGHT_EDGE) for k in range(belief.size)])
    assert many.doubt.min() > 1.5e-4
