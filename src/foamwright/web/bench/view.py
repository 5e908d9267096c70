"""A job's steps as the bench page shows them: words, figures and pictures, nothing left to reckon."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from foamwright.jobs.bench_steps_asked import Asked, Means, Range, asked_from, meaning_of
from foamwright.jobs.bench_steps_begin import Begin, begin_of
from foamwright.jobs.bench_steps_drawing import Picture
from foamwright.jobs.bench_steps_lessons import lesson_picture
from foamwright.jobs.bench_steps_pictures import picture_of
from foamwright.jobs.shop_readings import GROWTH, NEVER, SAME_STATION
from foamwright.shop.kinds import ReadingState
from foamwright.shop.tables import JobRow, ReadingRow, StepRow
from foamwright.units import INCH, System
from foamwright.web.bench.figures import Sayer, sayer_of
from foamwright.web.bench.lessons import Lesson, lesson_of
from foamwright.web.rendering import Reader


@dataclass(frozen=True, slots=True)
class GroupView:
    """A group of strokes: what, what changes for it, and how many they are."""

    words: str
    how: str
    count: int


@dataclass(frozen=True, slots=True)
class AskView:
    """A reading that is asked: where, with what, what should be read, and what the tablet needs of it."""

    what: str
    tool: str
    station: str
    figure: str
    want: str
    limit: str
    doubt: str
    data: str


@dataclass(frozen=True, eq=False)
class StepView:
    """One step of the page."""

    number: int
    stage: str
    kind: str
    face: str
    end: str
    band: str
    tool: str
    groups: Sequence[GroupView]
    asks: Sequence[AskView]
    rows: Sequence[tuple[str, Sequence[tuple[str, str]]]]
    notes: Sequence[str]
    picture: Picture | None
    lesson: Lesson
    drawing: Picture | None


def step_views(steps: Sequence[StepRow], reader: Reader) -> list[StepView]:
    """Return a job's steps in the visitor's words."""
    return [_step(step, reader) for step in steps]


def page_data(
    job: JobRow, steps: Sequence[StepRow], readings: Sequence[ReadingRow], reader: Reader
) -> dict[str, Any]:
    """Return what the page's script needs besides the steps: who, in which unit, where to begin."""
    begin = begin_of(steps, readings)
    return {
        "job": job.id,
        "plan": job.plan_revision,
        "unit": reader.lengths.value,
        "unit_m": 0.001 if reader.lengths is System.MM else INCH,
        "growth_m": GROWTH,
        "same_station_m": SAME_STATION,
        "never_m": NEVER,
        "point": reader.point,
        "begin": begin.step,
        "begun": _begun(begin),
        "known": [
            {"what": one.what, "station_m": one.station_m, "value_m": one.value_m}
            for one in readings
            if one.state == ReadingState.ACCEPTED
        ],
        "words": reader.words.under("bench.script"),
    }


def _begun(begin: Begin) -> dict[str, Any]:
    """How far the step is that a tablet begins with, as the tablet keeps it itself."""
    told = {
        f"{begin.step}/{place}": {"id": one.reading.client_id, "means": one.means, "what": one.reading.what}
        for place, one in begin.taken.items()
    }
    return {
        "ask": begin.ask,
        "phase": "read" if told else "do",
        "told": told,
        "hold": "step" if begin.held else None,
    }


def _step(step: StepRow, reader: Reader) -> StepView:
    detail, length = step.detail, step.detail["length_m"]
    say = sayer_of(reader, detail["tape"])
    more = detail["more"]
    return StepView(
        number=step.number,
        stage=step.stage,
        kind=step.kind,
        face=detail["face"] or "",
        end=detail["end"] or "",
        band=more.get("band", "").rpartition(" ")[2],
        tool=say.plane(detail["tool"]),
        groups=_groups(step.kind, detail["groups"], say, length),
        asks=[_ask(step.stage, asked_from(ask), say, length) for ask in detail["asks"]],
        rows=_rows(step.kind, more, say, length),
        notes=_notes(more, say),
        picture=picture_of(detail, reader.lengths),
        lesson=lesson_of(step.stage, reader.words.language, detail["polyurethane"]),
        drawing=lesson_picture(step.kind, detail, reader.lengths),
    )


def _groups(kind: str, groups: Sequence[Mapping[str, Any]], say: Sayer, length: float) -> list[GroupView]:
    befores = [None, *groups]
    return [
        GroupView(say.group(kind, group, length), say.how(group, before), group["count"])
        for group, before in zip(groups, befores, strict=False)
    ]


def _ask(stage: str, asked: Asked, say: Sayer, length: float) -> AskView:
    kept = asked.as_json()
    station = say.station(asked.station, asked.station_m, length)
    want = say.expected(kept)
    ranges = [_range(one, asked, say) for one in meaning_of(asked)]
    data = {
        "stage": stage,
        "station": asked.station,
        "station_m": asked.station_m,
        "what": asked.what,
        "tool": asked.tool,
        "said": station,
        "want": say.unit(want),
        "limit": say.limit(kept),
        "most": say.unit(say.figures.nearest(asked.most_m)),
        "chip": say.unit(say.figures.chip(asked.chip_m)) if asked.chip_m else "",
        "ranges": ranges,
    }
    figures = say.unit(want), say.limit(kept), say.doubt(kept)
    return AskView(asked.what, asked.tool, station, say.bare(want), *figures, json.dumps(data))


def _range(one: Range, asked: Asked, say: Sayer) -> dict[str, Any]:
    """A range of readings; its difference is counted from the figure that the page shows."""
    shown = say.shown(asked.what, one.off_m)
    upto = one.upto_m
    if one.means is Means.AS_PLANNED and upto is not None:
        # What is asked for is as planned, however coarse the tape that it is rounded to.
        upto = max(upto, shown)
    return {"upto": upto, "means": one.means.value, "off": shown}


def _rows(
    kind: str, more: Mapping[str, Any], say: Sayer, length: float
) -> list[tuple[str, list[tuple[str, str]]]]:
    """The table of a scoop (depths by distance from the stringer) or of a band (its two pencil lines)."""
    found = []
    for row in more.get("rows", ()):
        station = say.station(row["station"], row["x_m"], length)
        if kind == "scoop":
            pairs = zip(row["y_m"], row["mark_m"], strict=True)
            cells = [
                (say.bare(say.figures.nearest(y)), say.bare(say.figures.depth(mark))) for y, mark in pairs
            ]
        else:
            cells = [
                (_surface(line["on"], say), say.bare(say.figures.pencil(line["from_edge_m"])))
                for line in row["lines"]
            ]
        found.append((station, cells))
    return found


def _surface(on: str, say: Sayer) -> str:
    """What a pencil line is drawn on: a face, the side, or an earlier flat."""
    words = say.reader.words
    if " " not in on:
        return words.say(f"bench.on.{on}")
    return words.say(f"bench.band.{on.partition(' ')[0]}", number=on.rpartition(" ")[2])


def _notes(more: Mapping[str, Any], say: Sayer) -> list[str]:
    """What this job's own fibres and foam add to the lesson."""
    words, notes = say.reader.words, []
    for turn in more.get("turns_m", ()):
        notes.append(words.say("bench.note.fibres", place=say.figures.along(turn)))
    if "strips" in more:
        notes.append(words.say("bench.note.foam", strips=more["strips"], layers=more["layers"]))
    if "sole_m" in more:
        notes.append(words.say("bench.note.sole", sole=say.unit(say.figures.nearest(more["sole_m"]))))
    if "saw_m" in more:
        notes.append(words.say("bench.note.saw", away=say.unit(say.figures.nearest(more["saw_m"]))))
    if "finish_m" in more:
        notes.append(words.say("bench.note.finish", left=say.unit(say.figures.chip(more["finish_m"]))))
    return notes
