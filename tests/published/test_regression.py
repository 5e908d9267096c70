"""The regression behind the as-is surface against scikit-learn's Gaussian process on the same data."""

from __future__ import annotations

import numpy as np
import pytest

from foamwright.bench.belief import UNEVEN, ChipFactor, Height, prior
from foamwright.bench.readings import Tool
from tests.runs import bulging_run

sklearn = pytest.importorskip("sklearn.gaussian_process")
kernels = pytest.importorskip("sklearn.gaussian_process.kernels")


@pytest.mark.parametrize("seed", range(5))
def test_readings_alone_are_gaussian_process_regression(seed: int) -> None:
    """Mean and standard error agree with ``GaussianProcessRegressor``, its kernel fixed to the prior's."""
    random = np.random.default_rng(seed)
    spread, length, noise = 0.002, 0.15, 0.0004
    belief = prior(bulging_run(0.0), ChipFactor(), spread, length)
    at = random.choice(belief.from_tip, 9, replace=False)
    told = random.normal(0.0, spread, 9)
    ours = belief.informed(
        [Height(float(a), float(t), noise, Tool.TAPE) for a, t in zip(at, told, strict=True)]
    )

    kernel = kernels.ConstantKernel(spread**2, "fixed") * kernels.RBF(length, "fixed")
    kernel += kernels.WhiteKernel(UNEVEN**2, "fixed")
    process = sklearn.GaussianProcessRegressor(kernel, alpha=noise**2, optimizer=None)
    process.fit(at[:, None], told)
    mean, error = process.predict(belief.from_tip[:, None], return_std=True)
    assert ours.left == pytest.approx(mean, abs=2e-3 * spread)
    assert ours.doubt == pytest.approx(error, abs=1e-2 * spread)
