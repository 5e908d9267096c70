"""The shop's advice in the visitor's words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.bench.advice import Advice, Deep, Group
from foamwright.units import System
from foamwright.web.bench.figures import Sayer, sayer_of
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


def advice_view(advice: Advice | None, length: float, reader: Reader) -> AdviceView | None:
    """Return advice in words; ``None`` if there is none."""
    if advice is None:
        return None
    say = sayer_of(reader, 16)
    return AdviceView(
        stage=_stage(advice, reader),
        finished=advice.finished,
        strokes=_strokes(advice.strokes[:MOST_GROUPS], say, length),
        measure=", ".join(_place(x, say, length) for x in advice.measure[:3]),
        deep=[_deep(one, say, length) for one in advice.too_deep[:3]],
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


def _deep(one: Deep, say: Sayer, length: float) -> str:
    key = "bench.advice.deep-within" if one.within_finish else "bench.advice.deep"
    past = say.unit(say.figures.nearest(abs(one.at.left)))
    return say.reader.words.say(key, past=past, place=_place(one.at.station, say, length))
