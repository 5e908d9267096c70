"""Outcomes of many shapers counted, and the file from which a stopped trial goes on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from statistics import median

from foamwright.bench.shaper import Outcome

ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Tally:
    """How the jobs of many shapers came out.

    Attributes
    ----------
    shapers
        How many.
    over_shaped
        Shapers who took any station below its target by more than the tolerance.
    in_tolerance
        Shapers who finished every station within the tolerance, either way.
    strokes, readings
        Median in a whole job.
    stops
        Median in one run-off (one face towards one tip).
    most_stops
        Median of each job's run-off with the most stops.
    stops_by_run
        Median in each of the job's run-offs, in their order.
    covered
        Share of stations whose truth lay inside the 90 % band stated for them; ``None``: none was stated.
    """

    shapers: int
    over_shaped: int
    in_tolerance: int
    strokes: float
    readings: float
    stops: float
    most_stops: float
    stops_by_run: tuple[float, ...]
    covered: float | None

    def as_json(self) -> dict[str, object]:
        """Return the tally as plain values."""
        return asdict(self)


def tally(outcomes: Sequence[Outcome], tolerance: float) -> Tally:
    """Count outcomes; a station exactly at the tolerance is within it."""
    limit = tolerance + ROUNDING
    judged = sum(one.judged for one in outcomes)
    return Tally(
        shapers=len(outcomes),
        over_shaped=sum(one.lowest < -limit for one in outcomes),
        in_tolerance=sum(one.lowest >= -limit and one.highest <= limit for one in outcomes),
        strokes=median(one.strokes for one in outcomes),
        readings=median(one.readings for one in outcomes),
        stops=median(stop for one in outcomes for stop in one.stops),
        most_stops=median(max(one.stops) for one in outcomes),
        stops_by_run=tuple(median(run) for run in zip(*(one.stops for one in outcomes), strict=True)),
        covered=sum(one.inside for one in outcomes) / judged if judged else None,
    )
