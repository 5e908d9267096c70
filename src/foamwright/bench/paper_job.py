"""A job done by the papers alone: the picture of the walk, and the rule of a stop that sheet 2a prints.

Dots every 4 in of what is left, half-way between the last ones at every second stop, joined with straight
lines; a share of that is drawn, ruled in chips, and every ruled line that the drawing crosses is a stroke.
Nothing here knows the filter.
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

FIRST_SHARE, SHARE, LESS = 0.3, 0.75, INCH / 64
"""Share of the height that the first list takes, and every later one, each less 1/64 in.

With 0.35, starts down to 1 in from the tip and fine lines 1/64 in apart whatever the hands, 1.0 % of 600
run-offs went more than 1/16 in too deep, all of them by hands that take half a chip more than they set; so,
found by trials on seed 777, 1 run-off of 1,200 does.
"""

FINE_UNDER = 5.0 * INCH / 32
"""With no dot higher the iron is set to 1/64 in and all of the share is drawn. The lines stand as far apart
as the chip that was found, however it was set: hands that cut too much cut too much of a fine chip also."""

COARSE, FINE = INCH / 32, INCH / 64
LEAST_CHIP = 0.75
"""A chip is never reckoned with less than this share of what was set."""

LEAST_OFF = 3
"""Strokes off the tip from which the chip is reckoned: a gauge is off a third of a chip."""

NEAREST, SHORTEST = 2.0 * INCH, 3.0 * INCH
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
    return JobOutcome(tuple(_Sheet(run, shaper).done() for run in runs))


class _Sheet:
    """Does one run as the sheet says."""

    def __init__(self, run: Run, shaper: Shaper) -> None:
        self.run, self.foam = run, Foam(run, shaper)
        self.counts = {"strokes": 0, "stops": 0, "looks": 0, "foam_downs": 0}
        # What a stroke took at the tip over what was set, as found at the last stop that tells.
        self.metres, self.chip = 0.0, 1.0
        self.at = self._places(0.0)
        self.dots = np.interp(run.length - self.at, run.x, run.before - run.target)

    def done(self) -> RunOutcome:
        """Do the run to its end and return how it came out."""
        idle = 0
        while self.counts["stops"] < MOST_STOPS and idle < 2:
            made = () if self.dots.max() <= END else self._listed()
            idle = 0 if made else idle + 1
            if idle < 2:
                self._make(made)
                self._read(made)
        return judged_run(self.foam, self.counts, self.metres, called_done=idle >= 2)

    def _places(self, shift: float) -> Floats:
        """Return where dots stand: at the tip, from `shift` on every 4 in, at the inboard end."""
        inboard = np.arange(DOTS + shift, self.run.length, DOTS)
        return np.concatenate([[0.0], inboard, [self.run.length]])

    def _listed(self) -> tuple[Made, ...]:
        first = self.counts["stops"] == 0
        fine = float(self.dots.max()) <= FINE_UNDER and not first
        set_to = FINE if fine else COARSE
        drawn = np.maximum((FIRST_SHARE if first else SHARE) * self.dots - (0.0 if fine else LESS), 0.0)
        return strokes_of(self.at, drawn, set_to * max(self.chip, 1.0 if fine else LEAST_CHIP), set_to)

    def _make(self, made: Sequence[Made]) -> None:
        trench = 0.0
        for one in made:
            if trench + one.chip > TRENCH:
                trench = 0.0
                self._foam_down()
            self.foam.stroke(one)
            trench += one.chip
            self.metres += one.start - (one.end or 0.0)
        if made:
            self._foam_down()
        self.counts["strokes"] += len(made)

    def _foam_down(self) -> None:
        self.counts["foam_downs"] += 1
        self.foam.foam_down()

    def _read(self, made: Sequence[Made]) -> None:
        """Put new dots, every second time half-way between those before; the tip tells the chip."""
        before = float(self.dots[0])
        self.counts["stops"] += 1
        self.at = self._places(-DOTS / 2.0 if self.counts["stops"] % 2 else 0.0)
        self.counts["looks"] += self.at.size
        self.dots = np.array([self.foam.gauge(float(d)) for d in self.at])
        off = [one.chip for one in made if one.end is None]
        if len(off) >= LEAST_OFF:
            self.chip = (before - float(self.dots[0])) / sum(off)


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
