"""The half outline at full size: laid on the stringer line, traced, turned over, traced again."""

from __future__ import annotations

from foamwright.papers.dimension import Lettered, horizontal_dimension
from foamwright.papers.drawing import Drawing, Text, shape
from foamwright.papers.drawing_box import Points, box_around
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.templates_labels import NUMBER_HEIGHT, Room, Tick, labelled
from foamwright.papers.templates_shapes import (
    MM_PER_METRE,
    StationName,
    TemplateShapes,
    Wording,
    foot_at,
    height_at,
    in_millimetres,
)

_FOOT = 4.0
_CLEAR = 4.0
_LABEL_REACH = 9.0


def outline_drawing(shapes: TemplateShapes, wording: Wording) -> Drawing:
    """Return the half outline, tail at the left, stringer below; lettering inside the outline's box.

    Parameters
    ----------
    shapes
        The board.
    wording
        How lengths are written.

    Returns
    -------
    Drawing
        Millimetres, the tail tip at x = 0, the stringer at y = 0. Only the board's own line is drawn with
        ``Pen.OUTLINE``.
    """
    points = in_millimetres(shapes.outline)
    box = box_around(points)
    ticks = [_tick(points, station, wording) for station in shapes.stations]
    rooms = [(tick, _room(points, tick, box.top)) for tick in ticks if tick.head > 0.0]
    return shape(points, Pen.OUTLINE) + labelled(rooms, (box.left, box.right))


def outline_length(shapes: TemplateShapes, wording: Wording) -> Drawing:
    """Return the dimension of the board's length, to stand below the stringer of `outline_drawing`."""
    ends = (0.0, 0.0), (shapes.length * MM_PER_METRE, 0.0)
    return horizontal_dimension(*ends, wording.say(shapes.length), -9.0, Lettered(Lettering.FIGURE))


def _tick(points: Points, station: StationName, wording: Wording) -> Tick:
    x = station.x * MM_PER_METRE
    half = height_at(points, x)
    width = half / MM_PER_METRE
    numbers = (f"half {wording.figure(width)}", f"full {wording.say(2.0 * width)}") if half > 1.0 else ()
    return Tick(x, foot_at(points, x), half, station.name, numbers)


def _room(points: Points, tick: Tick, top: float) -> Room:
    """Inside the outline where the words fit, else above it."""
    needed = line_width(tick.joined or tick.name, Face.FIGURES, NUMBER_HEIGHT) + _FOOT + _CLEAR
    near = [tick.x + dx for dx in (-_LABEL_REACH, 0.0, _LABEL_REACH)]
    heads = [height for x in near if (height := height_at(points, x)) > 0.0]
    foot = max(foot_at(points, x) for x in near)
    if min(heads, default=0.0) - foot >= needed:
        return Room(foot + _FOOT, min(heads) - _CLEAR)
    return Room(max(heads, default=0.0) + _CLEAR, top)


def outline_name(shapes: TemplateShapes) -> Drawing:
    """Return what it is, large, to stand inside `outline_drawing` half way along the board."""
    points = in_millimetres(shapes.outline)
    middle = 0.5 * shapes.length * MM_PER_METRE
    y = 0.62 * height_at(points, middle)
    lines = (
        (y, shapes.board, Lettering.TITLE, Face.TITLE),
        (y - 8.0, "half outline, full size", Lettering.FIGURE, Face.LABEL),
    )
    return Drawing(
        tuple(
            Text((middle, at), words, height, face, Anchor.CENTRE, patch=1.0)
            for at, words, height, face in lines
        )
    )
