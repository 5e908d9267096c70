"""Trade-like runs, shared by the benchmarks and the tests of cuts; inches go in, metres come out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cuts.runs import End, RunTarget

INCH = 0.0254


@dataclass(frozen=True)
class Shape:
    """A run: length and depth at the tip in inches, power of the depth's rise, radius of the face before.

    `radius` in metres, positive where the face bulges, negative where it is hollow.
    """

    length: float
    depth: float
    power: float
    radius: float


def run_target(shape: Shape, spacing: float = 1 / 8) -> RunTarget:
    """Return the run on a grid of about `spacing` inches."""
    length = shape.length * INCH
    x = np.linspace(0.0, length, int(shape.length / spacing) + 1)
    before = -(x**2) / (2.0 * shape.radius)
    target = before - shape.depth * INCH * (x / length) ** shape.power
    return RunTarget("rocker", Face.BOTTOM, End.NOSE, x, before, target)


def bulging(random: np.random.Generator) -> RunTarget:
    """Return a random run whose faces bulge before and after: the bottom's rocker."""
    return run_target(
        Shape(
            length=random.uniform(15.0, 40.0),
            depth=random.uniform(0.1, 1.5),
            power=random.uniform(1.0, 3.5),
            radius=random.uniform(3.0, 30.0),
        )
    )


def hollow(random: np.random.Generator) -> RunTarget:
    """Return a random run on a hollow face: the deck towards a flipped nose."""
    return run_target(
        Shape(
            length=random.uniform(15.0, 36.0),
            depth=random.uniform(0.1, 1.2),
            power=random.uniform(1.2, 2.5),
            radius=-random.uniform(1.8, 8.0),
        )
    )
