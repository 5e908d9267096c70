"""Where a tablet begins that has no place of its own: the first reading that nobody has taken yet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from foamwright.jobs.bench_steps_asked import Asked, Means, asked_from, means_of
from foamwright.jobs.shop_readings import SAME_STATION
from foamwright.shop.kinds import ReadingState, StepState
from foamwright.shop.tables import ReadingRow, StepRow


@dataclass(frozen=True, eq=False)
class Taken:
    """A reading that the shop has of what a step asks, and what it means."""

    reading: ReadingRow
    means: Means


@dataclass(frozen=True, eq=False)
class Begin:
    """Where to begin.

    Attributes
    ----------
    step, ask
        Which step and which of its readings, counted from 0; the number of steps: all are done.
    taken
        What the shop has of that step's readings, by their place in it.
    held
        Whether all of them are taken and some say stop: then a person goes on only on purpose.
    """

    step: int
    ask: int = 0
    taken: Mapping[int, Taken] = field(default_factory=dict)
    held: bool = False


_Place = tuple[int, int, Asked]


def begin_of(steps: Sequence[StepRow], readings: Sequence[ReadingRow]) -> Begin:
    """Return where to begin, from a plan's steps and the job's readings in order."""
    asked = [
        (step.stage, (number, place, asked_from(ask)))
        for number, step in enumerate(steps)
        for place, ask in enumerate(step.detail["asks"])
    ]
    taken: dict[int, dict[int, Taken]] = {}
    for row in readings:
        there = _asked_by(row, asked)
        if there is not None and row.state != ReadingState.SET_ASIDE:
            taken.setdefault(there[0], {})[there[1]] = Taken(row, _means(row, there[2]))
    shared = _steps_that_share_a_place(asked)
    for number, step in enumerate(steps):
        if step.state == StepState.DONE:
            continue
        found = _in_step(number, len(step.detail["asks"]), taken.get(number, {}))
        if found is not None:
            return found
        if number in shared:
            # Its readings may be those of another stop: only the tablet at it knows that it is done.
            return Begin(number, len(step.detail["asks"]) - 1, taken[number])
    return Begin(len(steps))


def _in_step(number: int, asks: int, taken: Mapping[int, Taken]) -> Begin | None:
    """Where to begin in a step that is not done; ``None``: all its readings are taken, and none says stop."""
    waiting = next((place for place in range(asks) if place not in taken), None)
    if waiting is not None or not asks:
        return Begin(number, waiting or 0, taken)
    if any(one.means in (Means.TOO_DEEP, Means.QUESTIONED) for one in taken.values()):
        return Begin(number, asks - 1, taken, held=True)
    return None


def _asked_by(row: ReadingRow, asked: Sequence[tuple[str, _Place]]) -> _Place | None:
    """Return what asked for a reading; of several stops at one place, the one that expected nearest to it."""
    there = [place for stage, place in asked if stage == row.stage and _is_there(row, place[2])]
    return min(there, key=lambda one: abs(one[2].expect_m - row.value_m), default=None)


def _is_there(row: ReadingRow, one: Asked) -> bool:
    return one.what == row.what and abs(one.station_m - row.station_m) < SAME_STATION


def _means(row: ReadingRow, asked: Asked) -> Means:
    return Means.QUESTIONED if row.state == ReadingState.QUESTIONED else means_of(asked, row.value_m)


def _steps_that_share_a_place(asked: Sequence[tuple[str, _Place]]) -> set[int]:
    keys = [(stage, one.what, one.station, number) for stage, (number, _, one) in asked]
    counts = Counter(key[:3] for key in keys)
    return {key[3] for key in keys if counts[key[:3]] > 1}
