"""One job on one screen: its stages as a timeline, how near the board is, and what waits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.jobs.bench_steps_asked import Means, asked_from
from foamwright.jobs.bench_steps_standing import Told, places_of, standing_of
from foamwright.shop.kinds import ReadingState, StepState
from foamwright.shop.tables import ReadingRow, StepRow
from foamwright.web.bench.figures import Sayer, past_shown, sayer_of
from foamwright.web.rendering import Reader

MARKS_IN_ALL = 48
"""Readings that have room above the whole timeline; a stage shows its newest, as many as it is wide for."""

FULL_M, FULL_PX = 0.0127, 34.0
"""Half an inch off its line is drawn this high; what is farther off stays at the edge."""


@dataclass(frozen=True, slots=True)
class StageView:
    """A stage of the timeline.

    Attributes
    ----------
    words, steps, done
        Its name, how many steps it has and how many of them are done.
    minutes
        Minutes that the plan reckons for it, whole; ``None`` where it reckons none.
    weight
        How wide it is drawn, in minutes.
    is_now
        Whether it holds the step in hand.
    marks
        Its readings in order, each as how it looks: ``good``, ``questioned``, ``deep`` or ``aside``.
    """

    words: str
    steps: int
    done: int
    minutes: int | None
    weight: float
    is_now: bool
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Dot:
    """A place where a stage's line is read: per cent from the tail, pixels above the line, how it looks."""

    x: float
    y: float
    look: str


@dataclass(frozen=True, slots=True)
class NearRow:
    """How near the board is in one stage, and the same in words."""

    words: str
    dots: tuple[Dot, ...]
    summary: str


@dataclass(frozen=True, eq=False)
class JobView:
    """What the job's page shows of its work."""

    steps: int
    done: int
    minutes_left: int | None
    now: str
    stages: tuple[StageView, ...]
    near: tuple[NearRow, ...]
    deep: tuple[str, ...]
    in_line: int


def job_view(steps: Sequence[StepRow], readings: Sequence[ReadingRow], reader: Reader) -> JobView:
    """Return what a job's page shows of its work.

    Parameters
    ----------
    steps
        Of the job's present plan, in order.
    readings
        Of the job, in order.
    reader
        Who looks.
    """
    say = sayer_of(reader, steps[0].detail["tape"] if steps else 16)
    in_hand = next((step.stage for step in steps if step.state != StepState.DONE), "")
    told = places_of(steps, readings)
    deep = standing_of(steps, readings).too_deep
    left = [step.detail.get("minutes") for step in steps if step.state != StepState.DONE]
    return JobView(
        steps=len(steps),
        done=sum(step.state == StepState.DONE for step in steps),
        minutes_left=None if None in left or not steps else round(sum(one or 0.0 for one in left)),
        now=say.stage(in_hand) if in_hand else "",
        stages=_stages(steps, readings, in_hand, {one.reading.id for one in deep}, say),
        near=_near(steps, told, say),
        deep=tuple(_deep_words(one, say, steps[0].detail["length_m"]) for one in deep),
        in_line=sum(one.means in (Means.AS_PLANNED, Means.AHEAD) for one in told),
    )


def _stages(
    steps: Sequence[StepRow], readings: Sequence[ReadingRow], in_hand: str, deep: set[int], say: Sayer
) -> tuple[StageView, ...]:
    views = []
    reckoned: dict[str, float] = {}
    for step in steps:
        reckoned[step.stage] = reckoned.get(step.stage, 0.0) + step.detail.get("minutes", 0.0)
    # A stage that the plan reckons no minutes for is still to be seen and named.
    widths = {stage: max(minutes, 4.0) for stage, minutes in reckoned.items()}
    for stage, minutes in reckoned.items():
        ours = [step for step in steps if step.stage == stage]
        room = max(1, int(MARKS_IN_ALL * widths[stage] / sum(widths.values())))
        marks = [_look(row, deep) for row in readings if row.stage == stage]
        views.append(
            StageView(
                words=say.stage(stage),
                steps=len(ours),
                done=sum(step.state == StepState.DONE for step in ours),
                minutes=round(minutes) if minutes else None,
                weight=widths[stage],
                is_now=stage == in_hand,
                marks=tuple(marks[-room:]),
            )
        )
    return tuple(views)


def _look(row: ReadingRow, deep: set[int]) -> str:
    if row.state == ReadingState.QUESTIONED:
        return "questioned"
    if row.state != ReadingState.ACCEPTED:
        return "aside"
    return "deep" if row.id in deep else "good"


def _near(steps: Sequence[StepRow], told: Sequence[Told], say: Sayer) -> tuple[NearRow, ...]:
    rows = []
    for stage in dict.fromkeys(step.stage for step in steps):
        length = steps[0].detail["length_m"]
        asks = [asked_from(one) for step in steps if step.stage == stage for one in step.detail["asks"]]
        there = [one for one in told if one.reading.stage == stage and one.left_m is not None]
        if not asks or not there:
            continue
        read = {round(one.reading.station_m, 3) for one in there}
        open_places = sorted({round(one.station_m, 3) for one in asks} - read)
        dots = [Dot(100.0 * x / length, 0.0, "open") for x in open_places]
        dots += [_dot(one, length) for one in there]
        rows.append(NearRow(say.stage(stage), tuple(dots), _near_words(there, say)))
    return tuple(rows)


def _dot(told: Told, length: float) -> Dot:
    left = told.left_m or 0.0
    height = max(-1.0, min(1.0, left / FULL_M)) * FULL_PX
    look = {Means.TOO_DEEP: "deep", Means.BEHIND: "left", Means.QUESTIONED: "questioned"}
    return Dot(100.0 * told.reading.station_m / length, height, look.get(told.means, "good"))


def _near_words(there: Sequence[Told], say: Sayer) -> str:
    farthest = max(there, key=lambda one: abs(past_shown(one, say)))
    past = past_shown(farthest, say)
    words = say.reader.words
    if abs(past) < 1e-6:
        return words.say("class.at-line")
    key = "job.near-past" if past > 0.0 else "job.near-left"
    return words.say(key, most=say.unit(say.figures.nearest(abs(past))))


def _deep_words(told: Told, say: Sayer, length: float) -> str:
    row = told.reading
    return say.reader.words.say(
        "class.alarm-deep",
        place=say.station_read(row.station, row.station_m, length),
        past=say.unit(say.figures.nearest(abs(past_shown(told, say)))),
        fault=say.fault(row.stage, row.what),
    )
