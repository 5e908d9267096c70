"""The shop's advice in the visitor's words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.bench.advice import Advice, Deep, Group
from foamwright.bench.as_is import Part
from foamwright.jobs.bench_steps_standing import Told
from foamwright.jobs.shop_readings import SAME_STATION
from foamwright.units import System
from foamwright.web.bench.figures import Sayer, past_shown, sayer_of
from foamwright.web.rendering import Reader

MOST_GROUPS = 6
"""Groups told at once: more than a person keeps in mind is not read."""


@dataclass(frozen=True, slots=True)
class AdviceView:
    """Which stage is worked on, strokes (what, how), where to measure then, what is probably too deep."""

    stage: str
    finished: bool
    strokes: Sequence[tuple[str, str]]
    measure: str
    deep: Sequence[str]


def advice_view(
    advice: Advice | None, length: float, reader: Reader, read: Sequence[Told] = ()
) -> AdviceView | None:
    """Return advice in words; ``None`` if there is none.

    Parameters
    ----------
    advice
        What `foamwright.bench` advises.
    length
        Of the board, metres.
    reader
        Who is told.
    read
        Readings that are past their limit: one fault is told with one figure, the one that was read.
    """
    if advice is None:
        return None
    say = sayer_of(reader, 16)
    return AdviceView(
        stage=_stage(advice, reader),
        finished=advice.finished,
        strokes=_strokes(advice.strokes[:MOST_GROUPS], say, length),
        measure=", ".join(_place(x, say, length) for x in advice.measure[:3]),
        deep=[_deep(one, say, length, read) for one in advice.too_deep[:3]],
    )


def _stage(advice: Advice, reader: Reader) -> str:
    if advice.stage is None:
        return ""
    words = reader.words.say(f"bench.stage.{advice.stage.value}")
    end = advice.strokes[0].end if advice.strokes else ""
    return f"{words}, {reader.words.say(f'bench.towards.{end}')}" if end else words


def _strokes(groups: Sequence[Group], say: Sayer, length: float) -> list[tuple[str, str]]:
    kept = [
        {"count": g.count, "start_m": g.stroke.start, "end_m": g.stroke.end, "chip_m": g.stroke.chip}
        | {"skew_deg": g.skew_deg}
        for g in groups
    ]
    return [
        (say.group("run" if one["end_m"] is None else "lifted", one, length), say.how(one, before))
        for one, before in zip(kept, [None, *kept], strict=False)
    ]


def _place(x: float, say: Sayer, length: float) -> str:
    """A station that advice names: from the nearer tip, at a tip by its name."""
    step = 1e-3 if say.reader.lengths is System.MM else 1.6e-3
    if x < step or x > length - step:
        return say.station("tail" if x < step else "nose", x, length)
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
