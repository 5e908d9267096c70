"""The power planer's ladder stays a pass above the line."""

import numpy as np

from foamwright.bay.bay import Plane, PowerPlaner
from foamwright.blank.numbers import Face
from foamwright.cuts.counting import MARKS
from foamwright.cuts.ladder import ladder_of
from foamwright.cuts.run import End, Run
from foamwright.units import INCH, System

PLANE = Plane("block", 0.18, 0.045, 0.05, 0.04, (INCH / 32,))


def test_passes_end_a_sixteenth_above_the_line_at_least() -> None:
    x = np.arange(241) * INCH / 8
    depth = (x / x[-1]) ** 2 * INCH
    run = Run("rocker", Face.BOTTOM, End.NOSE, x, depth, 0 * x, depth, 0 * x, PLANE, (), (), (), INCH / 32)
    ladder = ladder_of(run, PowerPlaner(cutter=0.08), 0.25, MARKS[System.INCH])
    over = sum((x >= x[-1] - start - 1e-9).astype(int) for start in ladder.starts)
    left = depth - over * INCH / 16
    assert left[over > 0].min() >= INCH / 16 - 1e-9
    # Of fifteen passes that fit, three would start in the last 2 in.
    assert len(ladder.starts) == 12
    assert ladder.starts[0] >= 2 * INCH
    assert list(ladder.starts) == sorted(ladder.starts)
    assert ladder.strips == 5
