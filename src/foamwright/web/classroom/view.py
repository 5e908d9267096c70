"""The rows of the class page: stage, last reading, what is left, what wants the teacher."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from foamwright.jobs.bench_steps_asked import HALF_MARK
from foamwright.jobs.bench_steps_standing import Standing, Told, standing_of
from foamwright.shop.overview import Glance, glance_at
from foamwright.shop.plan_blank import blank_at_odds
from foamwright.shop.plans import steps_of
from foamwright.shop.readings import readings_of
from foamwright.shop.tables import JobRow, StepRow
from foamwright.web.bench.figures import Sayer, past_shown, sayer_of
from foamwright.web.rendering import Reader

MARKS = {"too-deep": "×", "ahead": "▼", "as-planned": "✓", "behind": "▲", "questioned": "?"}


@dataclass(frozen=True, slots=True)
class StripView:
    """A stage of the strip: its words, its steps, how many are done, whether it is the one in hand."""

    words: str
    steps: int
    done: int
    now: bool


@dataclass(frozen=True, slots=True)
class LastView:
    """The last reading: where, what was read, what it means, what is left there."""

    place: str
    value: str
    means: str
    meaning: str
    mark: str
    left: str


@dataclass(frozen=True, eq=False)
class RowView:
    """One job."""

    job: JobRow
    stage: str
    steps: int
    done: int
    strip: Sequence[StripView]
    last: LastView | None
    behind: bool
    alarms: Sequence[str]
    rank: int


def class_rows(session: Session, now: datetime, reader: Reader) -> list[RowView]:
    """Return a row for every job that is not in the archive, the worst first."""
    rows = [_row(session, glance, now, reader) for glance in glance_at(session, now)]
    return sorted(rows, key=lambda row: (row.rank, row.job.id))


def _row(session: Session, glance: Glance, now: datetime, reader: Reader) -> RowView:
    job = glance.job
    steps = steps_of(session, job)
    standing = standing_of(steps, readings_of(session, job.id))
    say = sayer_of(reader, steps[0].detail["tape"] if steps else 16)
    length = steps[0].detail["length_m"] if steps else 0.0
    spoilt = [*_other_blank(session, job, reader), *_deep(standing, say, length)]
    questions, waits = _questioned(glance, reader), _waiting(glance, now, reader)
    behind = standing.last is not None and standing.last.means == "behind"
    # What may spoil the board comes first, then what waits for an answer, then what is merely slow.
    rank = next((n for n, one in enumerate((spoilt, questions, waits, behind)) if one), 4)
    return RowView(
        job=job,
        stage=say.stage(job.stage or (steps[0].stage if steps else "")),
        steps=glance.steps,
        done=glance.done,
        strip=_strip(standing, _in_hand(steps), reader),
        last=_last(standing.last, say, length),
        behind=behind,
        alarms=[*spoilt, *questions, *waits],
        rank=rank,
    )


def _short(reader: Reader, stage: str) -> str:
    key = f"class.short.{stage}"
    return reader.words.say(key) if reader.words.has(key) else stage


def _in_hand(steps: Sequence[StepRow]) -> str:
    return next((step.stage for step in steps if step.state != "done"), "")


def _strip(standing: Standing, in_hand: str, reader: Reader) -> list[StripView]:
    return [
        StripView(_short(reader, one.stage), one.steps, one.done, one.stage == in_hand)
        for one in standing.progress
    ]


def _last(told: Told | None, say: Sayer, length: float) -> LastView | None:
    if told is None:
        return None
    row, words = told.reading, say.reader.words
    station = say.station_read(row.station, row.station_m, length)
    return LastView(
        place=words.say(f"bench.measure.{row.what}", place=station),
        value=say.unit(say.figures.nearest(row.value_m)),
        means=told.means.value,
        meaning=(
            say.fault(row.stage, row.what)
            if told.means == "too-deep"
            else words.say(f"class.means.{told.means.value}")
        ),
        mark=MARKS[told.means.value],
        left=_left(told, say),
    )


def _left(told: Told, say: Sayer) -> str:
    if told.left_m is None or told.means == "questioned":
        return ""
    shown = past_shown(told, say)
    if abs(told.left_m) <= HALF_MARK or abs(shown) < HALF_MARK:
        return say.reader.words.say("class.at-line")
    past = say.unit(say.figures.nearest(abs(shown)))
    if told.left_m > 0.0:
        return say.reader.words.say("class.left-here", left=past)
    fault = say.fault(told.reading.stage, told.reading.what)
    return say.reader.words.say("class.past", past=past, fault=fault)


def _other_blank(session: Session, job: JobRow, reader: Reader) -> list[str]:
    found = blank_at_odds(session, job)
    if found is None or not found.now:
        return []
    return [reader.words.say("class.alarm-blank", planned=found.planned, now=found.now)]


def _deep(standing: Standing, say: Sayer, length: float) -> list[str]:
    return [
        say.reader.words.say(
            "class.alarm-deep",
            place=say.station(told.reading.station, told.reading.station_m, length),
            past=say.unit(say.figures.nearest(abs(past_shown(told, say)))),
            fault=say.fault(told.reading.stage, told.reading.what),
        )
        for told in standing.too_deep
    ]


def _questioned(glance: Glance, reader: Reader) -> list[str]:
    return [reader.words.say("class.alarm-question", n=glance.questioned)] if glance.questioned else []


def _waiting(glance: Glance, now: datetime, reader: Reader) -> list[str]:
    if not glance.waits_long:
        return []
    minutes = int((now - glance.quiet_since).total_seconds() // 60)
    return [reader.words.say("class.alarm-wait", minutes=minutes)]
