"""Station labels on a template: two lines of upright lettering at each tick, none on top of another."""

from __future__ import annotations

import math
from dataclasses import dataclass

from foamwright.papers.drawing import Drawing, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import shrunk
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Anchor, Face, Lettering, Pen

NAME_HEIGHT = 3.2
NUMBER_HEIGHT = Lettering.FIGURE
_OFFSET = 3.8
_STEP = 6.6
_UPRIGHT = math.pi / 2
_LEAST = 0.7


@dataclass(frozen=True, slots=True)
class Tick:
    """A station's line on the paper, mm: from `foot` to `head` at `x`, its name and its numbers."""

    x: float
    foot: float
    head: float
    name: str
    numbers: tuple[str, ...]

    @property
    def joined(self) -> str:
        """All numbers on one line."""
        return ", ".join(self.numbers)


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
    """Return the name left and the numbers right of the tick, both inside `room` and within `across`.

    Numbers that are too long for one line stand on one each; lettering shrinks a little before it leaves
    the room, and is never shortened.
    """
    one_line = line_width(tick.joined, Face.FIGURES, NUMBER_HEIGHT) <= room.size
    numbers = (tick.joined,) if one_line else tick.numbers
    lines = [
        (tick.name, NAME_HEIGHT, Face.LABEL),
        *((words, NUMBER_HEIGHT, Face.FIGURES) for words in numbers),
    ]
    return tuple(
        shrunk(Text((x, room.low), words, height, face, Anchor.MIDDLE_LEFT, _UPRIGHT), room.size, _LEAST)
        for x, (words, height, face) in zip(_places(tick.x, len(lines), across), lines, strict=True)
        if words
    )


def _places(x: float, count: int, across: tuple[float, float]) -> list[float]:
    """Where the name and the lines of numbers stand: about the tick, or all on the side that has room."""
    left, right = across
    places = [x - _OFFSET, *(x + _OFFSET + index * _STEP for index in range(count - 1))]
    if places[0] - NAME_HEIGHT < left:
        return [x + _OFFSET + index * _STEP for index in range(count)]
    if places[-1] + NUMBER_HEIGHT > right:
        return [x - _OFFSET - index * _STEP for index in reversed(range(count))]
    return places


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
