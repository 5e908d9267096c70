"""A job done by the papers alone: the picture of the walk, and the rule of a stop that sheet 2a prints.

Dots every 4 in of what is left, joined with straight lines; a share of that is drawn, ruled in chips, and
every ruled line that the drawing crosses is a stroke. Nothing here knows the filter.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.bench.belief import Made
from foamwright.bench.shaper import Errors, Foam, Shaper, shaper_of
from foamwright.bench.trial_outcome import JobOutcome, RunOutcome, judged_run
from foamwright.cuts.run import Run
from foamwright.shape.curves import Floats
from foamwright.units import INCH

DOTS = 4.0 * INCH
"""Spacing of the dots."""

FIRST_SHARE, SHARE, LESS = 0.35, 0.75, INCH / 64
"""Share of the height that the first list takes, and every later one, each less 1/64 in."""

FINE_UNDER = 5.0 * INCH / 32
"""With no dot higher the iron is set to 1/64 in and all of the share is drawn."""

COARSE, FINE = INCH / 32, INCH / 64
LEAST_CHIP = 0.75
"""A chip is never reckoned with less than this share of what was set."""

NEAREST, SHORTEST = INCH, 3.0 * INCH
TRENCH = INCH / 8
END = INCH / 32
MOST_STOPS = 60


def do_job_on_paper(runs: Sequence[Run], errors: Errors, key: tuple[int, int]) -> JobOutcome:
    """Return how one shaper's job comes out by the papers alone.

    Parameters
    ----------
    runs, errors, key
        The job's runs in order, what goes wrong, seed and the shaper's number.
    """
    shaper = shaper_of(errors, key)
    return JobOutcome(tuple(_run(run, shaper) for run in runs))


def _run(run: Run, shaper: Shaper) -> RunOutcome:
    foam = Foam(run, shaper)
    at = np.append(np.arange(0.0, run.length, DOTS), run.length)
    dots = np.interp(run.length - at, run.x, run.before - run.target)
    share, chip, tip_before = FIRST_SHARE, COARSE, float(dots[0])
    counts = {"strokes": 0, "stops": 0, "looks": 0, "foam_downs": 0}
    metres, ended = 0.0, False
    while counts["stops"] < MOST_STOPS and not ended:
        fine = float(dots.max()) <= FINE_UNDER
        set_to = FINE if fine else COARSE
        drawn = np.maximum((SHARE if fine else share) * dots - (0.0 if fine else LESS), 0.0)
        made = strokes_of(at, drawn, set_to if fine else chip, set_to)
        ended = not made or bool(dots.max() <= END)
        if ended:
            break
        trench = 0.0
        for one in made:
            if trench + set_to > TRENCH:
                counts["foam_downs"], trench = counts["foam_downs"] + 1, 0.0
            foam.stroke(one)
            trench += set_to
            metres += one.start - (one.end or 0.0)
        counts["foam_downs"] += 1
        counts["strokes"] += len(made)
        counts["stops"] += 1
        counts["looks"] += at.size
        dots = np.array([foam.gauge(float(d)) for d in at])
        off = sum(one.end is None for one in made)
        if off:
            chip = max((tip_before - float(dots[0])) / off, LEAST_CHIP * set_to) if not fine else chip
        tip_before, share = float(dots[0]), SHARE
    return judged_run(foam, counts, metres, called_done=ended)


def strokes_of(at: Floats, drawn: Floats, ruled: float, set_to: float) -> tuple[Made, ...]:
    """Return the strokes of a drawing: one for each ruled line crossed, from where it crosses.

    Parameters
    ----------
    at, drawn
        The drawing's corners: distances from the tip, and depths, metres.
    ruled, set_to
        Distance of the ruled lines, and the chip that the iron is set to.
    """
    found = []
    for level in np.arange(1, int(drawn.max() / ruled + 1e-9) + 1) * ruled:
        for begin, end in _over(at, drawn, float(level)):
            if begin <= 0.0 and end >= NEAREST:
                found.append(Made(end, None, set_to))
            elif begin > 0.0 and end - begin >= SHORTEST:
                found.append(Made(end, begin, set_to))
    return tuple(sorted(found, key=lambda one: one.start))


def _over(at: Floats, drawn: Floats, level: float) -> list[tuple[float, float]]:
    """Return the stretches in which a polyline is not under a level."""
    crossings = [0.0] if drawn[0] >= level else []
    for k in range(at.size - 1):
        low, high = drawn[k], drawn[k + 1]
        if (low >= level) != (high >= level):
            crossings.append(float(at[k] + (level - low) / (high - low) * (at[k + 1] - at[k])))
    if drawn[-1] >= level:
        crossings.append(float(at[-1]))
    return list(zip(crossings[::2], crossings[1::2], strict=True))
