"""Tables on an even grid, read between their rows with cubic interpolation."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


@compiled
def cubic_weights(f: float) -> tuple[float, float, float, float]:
    """Return Lagrange's weights of four values at 0, 1, 2, 3 for the cubic's value at `f`."""
    # Products, because the compiler may not turn a division into one.
    half, sixth = 0.5, 1.0 / 6.0
    g, h, k = f - 1.0, f - 2.0, f - 3.0
    fg, hk = f * g, h * k
    return -g * hk * sixth, f * hk * half, -fg * k * half, fg * h * sixth


@compiled
def sample(x: Floats, slide: float, table: Floats, spacing: float, out: Floats) -> None:
    """Read the table (R, 4) at ``x + slide``: Lagrange's cubic through the four nearest rows.

    `out` (4, N) gets the values.
    """
    top = table.shape[0] - 4
    for i in range(x.size):
        place = (x[i] + slide) / spacing
        row = min(max(int(place) - 1, 0), top)
        a, b, c, d = cubic_weights(place - row)
        one, two, three, four = table[row], table[row + 1], table[row + 2], table[row + 3]
        for n in range(4):
            out[n, i] = a * one[n] + b * two[n] + c * three[n] + d * four[n]


@compiled
def sample_on_grid(rows: Indices, weights: Floats, shift: int, table: Floats, out: Floats) -> None:
    """Read the table at a slide of `shift` whole rows, for which rows and weights are known already.

    Parameters
    ----------
    rows, weights
        (N,), (N, 4) first of the four rows at slide 0, and their weights.
    shift
        Whole rows to slide by; every row read must be in the table.
    table
        (R, 4) columns to read.
    out
        (4, N) gets the values.
    """
    for i in range(rows.size):
        row = rows[i] + shift
        one, two, three, four = table[row], table[row + 1], table[row + 2], table[row + 3]
        a, b, c, d = weights[i, 0], weights[i, 1], weights[i, 2], weights[i, 3]
        for n in range(4):
            out[n, i] = a * one[n] + b * two[n] + c * three[n] + d * four[n]
