"""The regression behind the as-is surface against scikit-learn's Gaussian process on the same data."""

from __future__ import annotations

import numpy as np
import pytest

from foamwright.bench.belief import ChipFactor, Errors, FaceDoubt, Height, prior
from foamwright.blank.numbers import Face
from foamwright.cuts.run import End
from foamwright.cuts.runs import RunTarget
from foamwright.cuts.sole import Sole

sklearn = pytest.importorskip("sklearn.gaussian_process")
kernels = pytest.importorskip("sklearn.gaussian_process.kernels")


@pytest.mark.parametrize("seed", range(5))
def test_readings_alone_are_gaussian_process_regression(seed: int) -> None:
    """Mean and standard error agree with ``GaussianProcessRegressor``, its kernel fixed to the prior's."""
    random = np.random.default_rng(seed)
    x = np.linspace(0.0, 1.0, 201)
    flat = RunTarget("rocker", Face.BOTTOM, End.NOSE, x, np.zeros(201), np.zeros(201))
    spread, length, noise = 0.002, 0.15, 0.0004
    belief = prior(flat, Sole(0.2, 0.1), ChipFactor(), Errors(), FaceDoubt(spread, length))
    at = random.choice(belief.from_tip, 9, replace=False)
    told = random.normal(0.0, spread, 9)
    ours = belief.informed([Height(float(a), float(t), noise) for a, t in zip(at, told, strict=True)])

    kernel = kernels.ConstantKernel(spread**2, "fixed") * kernels.RBF(length, "fixed")
    process = sklearn.GaussianProcessRegressor(kernel, alpha=noise**2, optimizer=None)
    process.fit(at[:, None], told)
    mean, error = process.predict(belief.from_tip[:, None], return_std=True)
    assert ours.left == pytest.approx(mean, abs=1e-9 * spread + 1e-12)
    assert ours.doubt == pytest.approx(error, abs=1e-6 * spread)
