"""How a job stands by its readings: what the last one means, how much is left there, what is too deep."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from foamwright.jobs.bench_steps_asked import HALF_MARK, Asked, Means, asked_from, means_of, past_limit
from foamwright.jobs.shop_readings import SAME_STATION
from foamwright.shop.kinds import ReadingState, StepState
from foamwright.shop.tables import ReadingRow, StepRow


@dataclass(frozen=True, slots=True)
class Progress:
    """How many steps a stage has, and how many of them are done."""

    stage: str
    steps: int
    done: int


@dataclass(frozen=True, eq=False)
class Told:
    """A reading with what was asked there (``None``: nothing) and what it means."""

    reading: ReadingRow
    asked: Asked | None
    means: Means

    @property
    def left_m(self) -> float | None:
        """What is left there until the stage ends, metres; negative: it is too deep."""
        return None if self.asked is None else -past_limit(self.asked, self.reading.value_m)


@dataclass(frozen=True, eq=False)
class Standing:
    """How a job stands.

    Attributes
    ----------
    progress
        Stage by stage, in the order of the work.
    last
        The last reading; ``None`` before the first.
    too_deep
        Places that are past where their stage ends, by the newest reading there.
    """

    progress: tuple[Progress, ...]
    last: Told | None
    too_deep: tuple[Told, ...]


def standing_of(steps: Sequence[StepRow], readings: Sequence[ReadingRow]) -> Standing:
    """Return how a job stands, from the steps of its present plan and its readings in order."""
    asked = _asked_in(steps)
    told = places_of(steps, readings)
    return Standing(
        progress=_progress(steps),
        last=_told(readings[-1], asked) if readings else None,
        too_deep=tuple(one for one in told if one.left_m is not None and one.left_m < -HALF_MARK - 1e-9),
    )


def places_of(steps: Sequence[StepRow], readings: Sequence[ReadingRow]) -> tuple[Told, ...]:
    """Return every place that was read, by the newest reading there that was taken."""
    asked = _asked_in(steps)
    newest = {_place(row): row for row in readings if row.state == ReadingState.ACCEPTED}
    return tuple(_told(row, asked) for row in newest.values())


def _asked_in(steps: Iterable[StepRow]) -> list[tuple[str, Asked]]:
    return [(step.stage, asked_from(ask)) for step in steps for ask in step.detail["asks"]]


def _progress(steps: Iterable[StepRow]) -> tuple[Progress, ...]:
    counts: dict[str, list[int]] = {}
    for step in steps:
        count = counts.setdefault(step.stage, [0, 0])
        count[0] += 1
        count[1] += step.state == StepState.DONE
    return tuple(Progress(stage, total, done) for stage, (total, done) in counts.items())


def _place(row: ReadingRow) -> tuple[str, str, int]:
    """Return what a later reading takes the place of: the same thing, station and stage."""
    return row.stage, row.what, round(row.station_m / SAME_STATION)


def _told(row: ReadingRow, asked: Sequence[tuple[str, Asked]]) -> Told:
    there = [
        one
        for stage, one in asked
        if stage == row.stage and one.what == row.what and abs(one.station_m - row.station_m) < SAME_STATION
    ]
    if row.state == ReadingState.QUESTIONED:
        return Told(row, there[0] if there else None, Means.QUESTIONED)
    if not there:
        return Told(row, None, Means.AS_PLANNED)
    # A tip is read at every stop of its run; the one that is meant expected most nearly this.
    nearest = min(there, key=lambda one: abs(one.expect_m - row.value_m))
    return Told(row, nearest, means_of(nearest, row.value_m))
