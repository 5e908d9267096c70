"""A plain run for tests: a bulging face, as deep at the tip as asked."""

from __future__ import annotations

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import Face
from foamwright.cuts.run import End, Run
from foamwright.units import INCH


def bulging_run(depth: float = INCH / 2, length: float = 30.0 * INCH, radius: float = 6.0) -> Run:
    """Return a run towards the nose whose face bulges before and after."""
    x = np.linspace(0.0, length, 241)
    target = -(x**2) / (2.0 * radius)
    before = target + depth * (x / length) ** 2
    plane = Bay().planes[-1]
    return Run(
        "rocker", Face.BOTTOM, End.NOSE, x, before, target, target, target, plane, (), (), (), INCH / 32
    )
