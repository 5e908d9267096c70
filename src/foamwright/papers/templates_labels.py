"""Station labels on a template: two lines of upright lettering at each tick, none on top of another."""

from __future__ import annotations

import math
from dataclasses import dataclass

from foamwright.papers.drawing import Drawing, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import fitted
from foamwright.papers.style import Anchor, Face, Lettering, Pen

NAME_HEIGHT = 3.2
NUMBER_HEIGHT = Lettering.FIGURE
_OFFSET = 3.8
_STEP = 6.6
_UPRIGHT = math.pi / 2


@dataclass(frozen=True, slots=True)
class Tick:
    """A station's line on the paper, mm: from `foot` to `head` at `x`, its name and its numbers."""

    x: float
    foot: float
    head: float
    name: str
    numbers: str


@dataclass(frozen=True, slots=True)
class Room:
    """Where lettering may stand at a tick: from height `low` to `high`, mm."""

    low: float
    high: float

    @property
    def size(self) -> float:
        """How long a line of upright lettering may be, mm."""
        return self.high - self.low


def labels(tick: Tick, room: Room, across: tuple[float, float]) -> tuple[Text, ...]:
    """Return the name left and the numbers right of the tick, both inside `room` and within `across`."""
    left, right = across
    before, after = tick.x - _OFFSET, tick.x + _OFFSET
    if before - NAME_HEIGHT < left:
        before, after = after, after + _STEP
    elif after + NUMBER_HEIGHT > right:
        before, after = before - _STEP, before
    return tuple(
        fitted(Text((x, room.low), words, height, face, Anchor.MIDDLE_LEFT, _UPRIGHT), room.size)
        for x, words, height, face in (
            (before, tick.name, NAME_HEIGHT, Face.LABEL),
            (after, tick.numbers, NUMBER_HEIGHT, Face.FIGURES),
        )
        if words
    )


def tick_line(tick: Tick) -> Drawing:
    """Return the tick itself."""
    return line([(tick.x, tick.foot), (tick.x, tick.head)], Pen.STATION)


def labelled(ticks: list[tuple[Tick, Room]], across: tuple[float, float]) -> Drawing:
    """Return all ticks with their labels; a label that would touch an earlier one moves up.

    Parameters
    ----------
    ticks
        Ticks with the room for their lettering, along x.
    across
        Least and greatest x that lettering may reach, mm.
    """
    taken: list[Box] = []
    parts: list[Drawing] = []
    for tick, room in ticks:
        texts = _clear_of(taken, tick, room, across)
        taken += [text.box() for text in texts]
        parts += [tick_line(tick), Drawing(texts)]
    return drawing_of(parts)


def _clear_of(taken: list[Box], tick: Tick, room: Room, across: tuple[float, float]) -> tuple[Text, ...]:
    texts = labels(tick, room, across)
    met = [box for box in taken for text in texts if box.meets(text.box().grown(0.5))]
    if not met:
        return texts
    above = max(box.top for box in met) + 4.0
    if above + max(text.setting().width for text in texts) > room.high:
        return texts
    return _clear_of(taken, tick, Room(above, room.high), across)
