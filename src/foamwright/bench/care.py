"""How careful the advice is: the numbers behind it, found by apprentice trials (see docs/bench.md)."""

from __future__ import annotations

from foamwright.shape.kernels.stroke_choice import Care
from foamwright.units import INCH

GRID = INCH / 2
"""Spacing of the points at which a face is followed, from the tip inboard."""

STATION = 3.0 * INCH
"""Spacing of the stations that must be finished, from the tip inboard. Common practice, no source."""


def usual_care(tolerance: float = INCH / 32) -> Care:
    """Return the care with which strokes and readings are advised.

    Parameters
    ----------
    tolerance
        How far a finished station may be off its target either way, metres.
    """
    return Care(
        tolerance=tolerance,
        caution=4.2,
        sure=3.2,
        high=0.36 * tolerance,
        low=-0.38 * tolerance,
        behind=2.0,
        first=4.0 * INCH / GRID,
        shortest=3.0,
        aside=1.0,
        worth=4e-8,
        patience=0.4,
        opened=0.7,
        steepness=(0.5, 3.0),
        least_doubt=0.18 * tolerance,
        share_doubt=0.12,
        need=0.35,
        station=STATION / GRID,
    )
