"""The shop's advice in the visitor's words, for each step what belongs to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.bench.advice import Advice, Deep, Group
from foamwright.bench.as_is import Part
from foamwright.bench.next_step import Kind
from foamwright.jobs.bench_steps_standing import Told
from foamwright.jobs.shop_readings import SAME_STATION
from foamwright.shop.tables import StepRow
from foamwright.stages.solids import StageName
from foamwright.units import System
from foamwright.web.bench.figures import Sayer, past_shown, sayer_of
from foamwright.web.rendering import Reader

MOST_GROUPS = 6
"""Groups told at once: more than a person keeps in mind is not read."""


@dataclass(frozen=True, slots=True)
class AdviceView:
    """What is said at a step; all of it empty: nothing.

    Attributes
    ----------
    stage
        Which stage is worked on, where something is said of it.
    strokes
        What to do, and how.
    measure
        Where to measure then, of the places that the step asks for.
    deep
        What is probably too deep.
    as_planned, finished
        Whether to go on as planned; whether all that a plane cuts is done.
    """

    stage: str = ""
    strokes: tuple[tuple[str, str], ...] = ()
    measure: str = ""
    deep: tuple[str, ...] = ()
    as_planned: bool = False
    finished: bool = False


NOTHING = AdviceView()

Views = list[tuple[AdviceView, list[int]]]
"""What is said, each with the steps at which it is, counted from 0."""


def advice_views(
    advice: Advice | None, steps: Sequence[StepRow], reader: Reader, read: Sequence[Told] = ()
) -> Views:
    """Return advice in words, each piece with the steps that it belongs to.

    Parameters
    ----------
    advice
        What `foamwright.bench` advises; ``None``: nothing.
    steps
        The job's steps.
    reader
        Who is told.
    read
        Readings that are past their limit: one fault is told with one figure, the one that was read.
    """
    if advice is None:
        return []
    said: dict[AdviceView, list[int]] = {}
    say = sayer_of(reader, 16)
    for place, step in enumerate(steps):
        said.setdefault(_at_step(step, advice, say, read), []).append(place)
    return [(view, places) for view, places in said.items() if view != NOTHING]


def _at_step(step: StepRow, advice: Advice, say: Sayer, read: Sequence[Told]) -> AdviceView:
    length = step.detail["length_m"]
    deep = [one for one in advice.too_deep if _belongs(one, step.stage)][:3]
    words = tuple(_deep(one, say, length, read) for one in deep)
    if advice.finished:
        return AdviceView(deep=words, finished=step.stage in AFTER_PLANES)
    if advice.step.stage.value != step.stage:
        return AdviceView(deep=words)
    # A step that is worked first is read at its own asks; advice adds no second list.
    reads = advice.step.kind in (Kind.MEASURE, Kind.STICK, Kind.STROKES)
    places = [ask.station for ask in advice.measure] if reads else []
    as_planned = not (advice.strokes or places or deep)
    return AdviceView(
        stage=_stage(advice, say.reader) if advice.strokes or places or as_planned else "",
        strokes=tuple(_strokes(advice.strokes[:MOST_GROUPS], say, length)),
        measure=", ".join(_place(x, say, length) for x in places),
        deep=words,
        as_planned=as_planned,
    )


AFTER_PLANES = [
    one.value for one in (StageName.FOIL, StageName.CONTOURS, StageName.RAILS, StageName.FINISHED)
]
"""Stages at which it is news that all that a plane cuts is done."""


def _belongs(one: Deep, stage: str) -> bool:
    """Whether a place that is too deep is told at a stage: its own, and the sanding that makes up for it."""
    return one.at.stage == stage or (one.within_finish and stage == StageName.FINISHED)


def _stage(advice: Advice, reader: Reader) -> str:
    if advice.finished:
        return ""
    words = reader.words.say(f"bench.stage.{advice.step.stage.value}")
    end = advice.strokes[0].end if advice.strokes else ""
    return f"{words}, {reader.words.say(f'bench.towards.{end}')}" if end else words


def _strokes(groups: Sequence[Group], say: Sayer, length: float) -> list[tuple[str, str]]:
    kept = [
        {"count": g.count, "start_m": g.stroke.start, "end_m": g.stroke.end, "chip_m": g.stroke.chip}
        | {"skew_deg": 0.0}
        for g in groups
    ]
    return [
        (say.group("run" if one["end_m"] is None else "lifted", one, length), say.how(one, before))
        for one, before in zip(kept, [None, *kept], strict=False)
    ]


def _place(x: float, say: Sayer, length: float) -> str:
    """A station that advice names, as its mark is named: from the nearer tip, at tip and centre by name."""
    step = 1e-3 if say.reader.lengths is System.MM else 1.6e-3
    if x < step or x > length - step:
        return say.station("tail" if x < step else "nose", x, length)
    if abs(x - length / 2) < step:
        return say.station("centre", x, length)
    return say.station("from tail" if x < length / 2 else "from nose", x, length)


def _deep(one: Deep, say: Sayer, length: float, read: Sequence[Told]) -> str:
    key = "bench.advice.deep-within" if one.within_finish else "bench.advice.deep"
    there = next((told for told in read if _is_about(told, one)), None)
    # Of an edge advice tells one side; a person reads the full width.
    believed = abs(one.at.left) * (2.0 if one.at.face == Part.EDGE else 1.0)
    past = say.unit(say.figures.nearest(believed if there is None else abs(past_shown(there, say))))
    fault = say.reader.words.say(f"bench.fault.{one.at.face}")
    return say.reader.words.say(key, past=past, fault=fault, place=_place(one.at.station, say, length))


def _is_about(told: Told, deep: Deep) -> bool:
    same_stage = told.reading.stage == deep.at.stage
    return same_stage and abs(told.reading.station_m - deep.at.station) < SAME_STATION
