"""Dimension lines, leaders and station ladders: functions that return a drawing.

Numbers stand above their line and read from below or from the right. Where a line is too short for its
arrows they stand outside; where it is too short for its number the number stands beside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.papers.drawing import Drawing, Text, drawing_of, line, on_paper, shape
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

ARROW_LENGTH = 2.6
ARROW_HALF_WIDTH = 0.42
EXTENSION_GAP = 1.0
EXTENSION_OVERSHOOT = 1.8
NUMBER_GAP = 1.1

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Lettered:
    """How the number of a dimension is lettered: capital height in mm, face."""

    height: float = Lettering.LABEL
    face: Face = Face.FIGURES


FIGURES = Lettered()


def arrowhead(tip: Place, angle: float) -> Drawing:
    """Return a slender filled arrowhead whose `tip` points in direction `angle` (radians)."""
    back, side = -ARROW_LENGTH, ARROW_HALF_WIDTH
    return shape([(0.0, 0.0), (back, side), (back, -side)], None, Tone.INK).turned(angle).moved(*tip)


def dimension(start: Place, end: Place, words: str, offset: float, lettered: Lettered = FIGURES) -> Drawing:
    """Return an aligned dimension of the distance from `start` to `end`.

    Parameters
    ----------
    start, end
        The points measured, mm.
    words
        What the number says.
    offset
        Distance of the dimension line from the points, mm; positive to the left of start-to-end.
    lettered
        Size and face of the number.

    Returns
    -------
    Drawing
        Extension lines, line with arrowheads, number.
    """
    angle = math.atan2(end[1] - start[1], end[0] - start[0])
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    level = _level_dimension(length, offset, words, angle, lettered)
    return level.turned(angle).moved(*start)


def horizontal_dimension(
    start: Place, end: Place, words: str, y: float, lettered: Lettered = FIGURES
) -> Drawing:
    """Return the dimension of the distance along x between two points, its line at height `y` mm."""
    first, last = sorted((start, end))
    line_ = dimension((first[0], y), (last[0], y), words, 0.0, lettered)
    return drawing_of([_extension(first, (first[0], y)), _extension(last, (last[0], y)), line_])


def vertical_dimension(
    start: Place, end: Place, words: str, x: float, lettered: Lettered = FIGURES
) -> Drawing:
    """Return the dimension of the distance along y between two points, its line at `x` mm."""
    low, high = sorted((start, end), key=lambda place: place[1])
    line_ = dimension((x, low[1]), (x, high[1]), words, 0.0, lettered)
    return drawing_of([_extension(low, (x, low[1])), _extension(high, (x, high[1])), line_])


def _extension(point: Place, foot: Place) -> Drawing:
    """A thin line from just off the measured point to just past the dimension line."""
    dx, dy = foot[0] - point[0], foot[1] - point[1]
    length = math.hypot(dx, dy)
    if length <= EXTENSION_GAP:
        return Drawing()
    ux, uy = dx / length, dy / length
    near = (point[0] + EXTENSION_GAP * ux, point[1] + EXTENSION_GAP * uy)
    far = (foot[0] + EXTENSION_OVERSHOOT * ux, foot[1] + EXTENSION_OVERSHOOT * uy)
    return line([near, far], Pen.DIMENSION)


def _level_dimension(length: float, offset: float, words: str, angle: float, lettered: Lettered) -> Drawing:
    """The dimension before it is turned: from (0, 0) to (length, 0)."""
    parts = [
        _extension((0.0, 0.0), (0.0, offset)),
        _extension((length, 0.0), (length, offset)),
        _line_with_arrows(length, offset),
        _number(length, offset, words, angle, lettered),
    ]
    return drawing_of(parts)


def _line_with_arrows(length: float, y: float) -> Drawing:
    """Arrows point outwards at the ends, or inwards from outside where there is no room."""
    if length >= 3.0 * ARROW_LENGTH:
        heads = arrowhead((0.0, y), math.pi) + arrowhead((length, y), 0.0)
        return line([(0.0, y), (length, y)], Pen.DIMENSION) + heads
    reach = 2.0 * ARROW_LENGTH
    heads = arrowhead((0.0, y), 0.0) + arrowhead((length, y), math.pi)
    return line([(-reach, y), (length + reach, y)], Pen.DIMENSION) + heads


def _number(length: float, y: float, words: str, angle: float, lettered: Lettered) -> Drawing:
    """The number above the line as the reader holds the sheet, beside it where it would not fit."""
    upside_down = not -math.pi / 2 < _wrapped(angle) <= math.pi / 2 + 1e-9
    side = -1.0 if upside_down else 1.0
    rise = NUMBER_GAP + lettered.height * (0.85 if "/" in words else 0.5)
    fits = line_width(words, lettered.face, lettered.height) <= length - 1.0
    if fits:
        at, anchor = (length / 2, y + side * rise), Anchor.MIDDLE
    else:
        beside = length + (2.0 * ARROW_LENGTH if length < 3.0 * ARROW_LENGTH else 0.0) + 1.0
        at, anchor = (beside, y), Anchor.MIDDLE_RIGHT if upside_down else Anchor.MIDDLE_LEFT
    return Drawing(
        (Text(at, words, lettered.height, lettered.face, anchor, math.pi if upside_down else 0.0),)
    )


def _wrapped(angle: float) -> float:
    return math.atan2(math.sin(angle), math.cos(angle))


def leader(target: Place, elbow: Place, words: str, lettered: Lettered = FIGURES) -> Drawing:
    """Return a note with an arrow: from `elbow`, where the words stand, to `target`."""
    angle = math.atan2(target[1] - elbow[1], target[0] - elbow[0])
    rightwards = elbow[0] >= target[0]
    shelf = 2.5 if rightwards else -2.5
    end = (elbow[0] + shelf, elbow[1])
    at = (end[0] + math.copysign(1.0, shelf), end[1])
    anchor = Anchor.MIDDLE_LEFT if rightwards else Anchor.MIDDLE_RIGHT
    note = Text(at, words, lettered.height, lettered.face, anchor)
    return line([target, elbow, end], Pen.DIMENSION) + arrowhead(target, angle) + on_paper(note, 0.4)


def radius_dimension(
    centre: Place, radius: float, angle: float, words: str, lettered: Lettered = FIGURES
) -> Drawing:
    """Return a radius: a leader to the arc of `radius` mm about `centre`, met at direction `angle`."""
    ux, uy = math.cos(angle), math.sin(angle)
    target = (centre[0] + radius * ux, centre[1] + radius * uy)
    elbow = (centre[0] + (radius + 8.0) * ux, centre[1] + (radius + 8.0) * uy)
    return leader(target, elbow, f"R {words}", lettered)


@dataclass(frozen=True, slots=True)
class Rung:
    """A station on a ladder: its place along the rule (mm on the paper) and what it is called."""

    x: float
    words: str


def station_ladder(rungs: Sequence[Rung], y: float, lettered: Lettered = FIGURES) -> Drawing:
    """Return a rule along x with a tick and a name at each station.

    Parameters
    ----------
    rungs
        Stations; where names would touch, they step down to a lower row.
    y
        Height of the rule, mm; names stand below it.
    lettered
        Size and face of the names.

    Returns
    -------
    Drawing
        Rule, ticks and names.
    """
    ordered = sorted(rungs, key=lambda rung: rung.x)
    rows = _rows([(rung.x, line_width(rung.words, lettered.face, lettered.height)) for rung in ordered])
    step = 2.0 * lettered.height
    parts = [line([(ordered[0].x, y), (ordered[-1].x, y)], Pen.THIN)]
    for rung, row in zip(ordered, rows, strict=True):
        foot = y - 2.0 - row * step
        place = (rung.x, foot - 0.6 - 0.5 * lettered.height)
        parts.append(line([(rung.x, y), (rung.x, foot)], Pen.THIN))
        parts.append(on_paper(Text(place, rung.words, lettered.height, lettered.face, Anchor.MIDDLE), 0.3))
    return drawing_of(parts)


def _rows(spans: Sequence[tuple[float, float]], gap: float = 2.0) -> list[int]:
    """The lowest-numbered row for each (centre, width), in order of centre, in which none touch."""
    ends: list[float] = []
    rows: list[int] = []
    for centre, width in spans:
        start = centre - width / 2
        row = next((index for index, end in enumerate(ends) if end + gap <= start), len(ends))
        ends[row : row + 1] = [centre + width / 2]
        rows.append(row)
    return rows
