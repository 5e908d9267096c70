"""How simulated jobs came out, and the tally of many."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass

import numpy as np

from foamwright.bench.shaper import TRUE_GRID, Foam
from foamwright.units import INCH

ROUNDING = 1e-9

STROKE_MINUTES, RUB_MINUTES, FOAM_MINUTES = 0.15, 0.4, 3.0
"""Minutes of one stroke with the way back, of one place rubbed down, of bringing a strip of foam down."""

LOOK_MINUTES, STOP_MINUTES = 0.5, 0.5
"""Minutes of one look, and of laying the plane down and taking it up. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class RunOutcome:
    """How one run came out; metres.

    Attributes
    ----------
    lowest, highest
        Least and most left above the target at any judged place.
    deepest
        The least left at any place of which something was taken: no shaper answers for a face that was too
        low before the first stroke.
    lowest_at, highest_at
        Where, from the tip.
    done, dead
        Whether it was called done; whether its steps came to no end.
    strokes, rubs, stops, looks, foam_downs
        How many.
    metres
        Length planed.
    inside, judged
        Places whose truth lay inside the stated 90 % band, and all that had one.
    """

    lowest: float
    highest: float
    deepest: float
    lowest_at: float
    highest_at: float
    done: bool
    dead: bool = False
    strokes: int = 0
    rubs: int = 0
    stops: int = 0
    looks: int = 0
    foam_downs: int = 0
    metres: float = 0.0
    inside: int = 0
    judged: int = 0


@dataclass(frozen=True, slots=True)
class JobOutcome:
    """How one shaper's job came out, run by run."""

    runs: tuple[RunOutcome, ...]

    def sum(self, name: str) -> int:
        """Return a count over all runs."""
        return sum(int(getattr(one, name)) for one in self.runs)

    @property
    def minutes(self) -> Mapping[str, float]:
        """Minutes of planing, of bringing foam down, of looking."""
        return {
            "planing": STROKE_MINUTES * self.sum("strokes") + RUB_MINUTES * self.sum("rubs"),
            "foam": FOAM_MINUTES * self.sum("foam_downs"),
            "looking": LOOK_MINUTES * self.sum("looks") + STOP_MINUTES * self.sum("stops"),
        }

    def within(self, limit: float) -> bool:
        """Tell whether every place of every run is within a limit either way, metres."""
        edge = limit + ROUNDING
        return all(one.lowest >= -edge and one.highest <= edge for one in self.runs)

    def deeper(self, limit: float) -> bool:
        """Tell whether any place is more than a limit too deep, metres."""
        return any(one.deepest < -limit - ROUNDING for one in self.runs)


def judged_run(
    foam: Foam, counts: Mapping[str, int], metres: float, *, called_done: bool, dead: bool = False
) -> RunOutcome:
    """Return how a run came out, judged every 1/4 in to the very tip."""
    left = foam.left
    return RunOutcome(
        lowest=float(left.min()),
        highest=float(left.max()),
        deepest=float(left.min(where=foam.cut, initial=left.max())),
        lowest_at=float(left.argmin()) * TRUE_GRID,
        highest_at=float(left.argmax()) * TRUE_GRID,
        done=called_done,
        dead=dead,
        metres=metres,
        **counts,
    )


def _spread(values: Sequence[float]) -> dict[str, float]:
    return {"median": float(np.median(values)), "p90": float(np.quantile(values, 0.9))}


def tally(jobs: Sequence[JobOutcome]) -> dict[str, object]:
    """Return the tally of many jobs as plain values, keys as in docs/interface."""
    runs = [run for job in jobs for run in job.runs]
    fine, mid, coarse = INCH / 32, 3.0 * INCH / 64, INCH / 16

    def share(test: Callable[[RunOutcome], bool]) -> float:
        return sum(map(test, runs)) / max(len(runs), 1)

    judged = sum(one.judged for one in runs)
    parts = {key: _spread([job.minutes[key] for job in jobs]) for key in ("planing", "foam", "looking")}
    return {
        "shapers": len(jobs),
        "over_shaped": sum(job.deeper(fine) for job in jobs),
        "in_tolerance": sum(job.within(fine) for job in jobs),
        "dead_ends": sum(any(run.dead for run in job.runs) for job in jobs),
        "strokes": _spread([job.sum("strokes") for job in jobs]),
        "stops": _spread([job.sum("stops") for job in jobs]),
        "looks": _spread([job.sum("looks") for job in jobs]),
        "rubs": _spread([job.sum("rubs") for job in jobs]),
        "foam_downs": _spread([job.sum("foam_downs") for job in jobs]),
        "minutes": _spread([sum(job.minutes.values()) for job in jobs]),
        "minutes_of": parts,
        "within_3_64": sum(job.within(mid) for job in jobs),
        "runs": len(runs),
        "runs_too_deep_share": share(lambda one: one.deepest < -fine - ROUNDING),
        "runs_deeper_than_1_16_share": share(lambda one: one.deepest < -coarse - ROUNDING),
        "runs_deeper_than_1_8_share": share(lambda one: one.deepest < -2.0 * coarse - ROUNDING),
        "runs_within_1_16_share": share(lambda one: -coarse <= one.lowest and one.highest <= coarse),
        "called_done_and_not_share": share(
            lambda one: one.done and (one.lowest < -fine - ROUNDING or one.highest > fine + ROUNDING)
        ),
        "left_to_sand_share": share(lambda one: not one.done),
        "in_90_percent_band": sum(one.inside for one in runs) / judged if judged else None,
    }


def plain(job: JobOutcome) -> list[dict[str, object]]:
    """Return a job's outcome as plain values."""
    return [asdict(run) for run in job.runs]
