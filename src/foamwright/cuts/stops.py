"""When to stop and measure: before what is left is within the doubt of the strokes made so far."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot, sqrt

from foamwright.bay.bay import Tape
from foamwright.cuts.runs import Stop, Strokes

COVERAGE = 2.0
"""Standard errors that count as the doubt (about 95 % of a normal error)."""


@dataclass(frozen=True, slots=True)
class ChipDoubt:
    """Standard error of a chip as a share of it: one part common to all strokes, one new with each stroke.

    Common practice, no source; the bench learns both from jobs that were measured.
    """

    common: float = 0.3
    each: float = 0.3

    def of(self, chips: list[float]) -> float:
        """Return the standard error (metres) of the depth that strokes with these chips (metres) took."""
        return hypot(self.common * sum(chips), self.each * sqrt(sum(chip * chip for chip in chips)))


def place_stops(
    strokes: tuple[Strokes, ...],
    depth_at_tip: float,
    left_at_tip: tuple[float, ...],
    tape: Tape,
    doubt: ChipDoubt,
) -> tuple[Stop, ...]:
    """Return where to stop and measure at the tip, and always after the last group.

    A stop comes before the group that would bring what is left within the doubt of the strokes since
    the last measurement (whose own doubt is the tape's). Where the doubt is below what the tape shows,
    measuring would tell nothing, and there is no stop.

    Parameters
    ----------
    strokes
        Groups in order.
    depth_at_tip
        Depth to come off at the tip, metres.
    left_at_tip
        Predicted height above the target at the tip after each group, metres.
    tape
        Its standard error is the doubt right after measuring.
    doubt
        Of the chips.
    """
    stops: list[tuple[int, float, float]] = []
    since: list[float] = []
    left_before = depth_at_tip
    for number, group in enumerate(strokes):
        coming = since + [group.chip] * group.count
        limit = _doubt(coming, tape, doubt)
        if (
            since
            and left_at_tip[number] <= limit
            and _doubt(since, tape, doubt) > 2 * _doubt([], tape, doubt)
        ):
            stops.append((number, left_before, _doubt(since, tape, doubt)))
            coming = [group.chip] * group.count
        since = coming
        left_before = left_at_tip[number]
    if strokes:
        stops.append((len(strokes), left_before, _doubt(since, tape, doubt)))
    # Nothing is taken after the last stop; before it, a reading must leave what the next strokes take.
    to_next = [here[1] - later[1] for here, later in pairwise(stops)] + [0.0]
    return tuple(Stop(*stop, least) for stop, least in zip(stops, to_next, strict=False))


def _doubt(chips: list[float], tape: Tape, doubt: ChipDoubt) -> float:
    return COVERAGE * hypot(doubt.of(chips), tape.standard_error)
