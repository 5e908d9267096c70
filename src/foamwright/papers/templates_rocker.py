"""The stringer profile at full size: rocker below, foil above, heights from the level line."""

from __future__ import annotations

from foamwright.papers.dimension import Lettered, horizontal_dimension
from foamwright.papers.drawing import Drawing, Text, line, shape
from foamwright.papers.drawing_box import Points
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.templates_labels import Room, Tick, labelled
from foamwright.papers.templates_shapes import (
    MM_PER_METRE,
    StationName,
    TemplateShapes,
    Wording,
    height_at,
    in_millimetres,
    joined_points,
)

_CLEAR = 3.5
_LABEL_REACH = 8.0


def rocker_drawing(shapes: TemplateShapes, wording: Wording) -> Drawing:
    """Return the stringer profile, tail at the left, on its level line; lettering inside its box.

    Parameters
    ----------
    shapes
        The board.
    wording
        How lengths are written.

    Returns
    -------
    Drawing
        Millimetres, the tail tip at x = 0, the level line at y = 0. Only the profile is drawn with
        ``Pen.OUTLINE``.
    """
    bottom, deck = in_millimetres(shapes.bottom), in_millimetres(shapes.deck)
    length, top = shapes.length * MM_PER_METRE, float(deck[:, 1].max())
    level = line([(0.0, 0.0), (length, 0.0)], Pen.LEVEL)
    ticks = [_tick(bottom, deck, station, wording) for station in shapes.stations]
    rooms = [(tick, _room(bottom, deck, tick, top)) for tick in ticks]
    profile = shape(joined_points(bottom, deck), Pen.OUTLINE)
    return level + profile + labelled(rooms, (0.0, length))


def rocker_length(shapes: TemplateShapes, wording: Wording) -> Drawing:
    """Return what stands below `rocker_drawing`: the level line's name and the board's length."""
    length = shapes.length * MM_PER_METRE
    figure = wording.say(shapes.length)
    below = horizontal_dimension((0.0, 0.0), (length, 0.0), figure, -9.0, Lettered(Lettering.FIGURE))
    places = [(share * length, -2.0) for share in (0.1, 0.9)]
    names = tuple(Text(at, "level line", Lettering.LABEL, Face.LABEL, Anchor.TOP) for at in places)
    return below + Drawing(names)


def _tick(bottom: Points, deck: Points, station: StationName, wording: Wording) -> Tick:
    x = station.x * MM_PER_METRE
    low, high = height_at(bottom, x), height_at(deck, x)
    rocker, thickness = low / MM_PER_METRE, (high - low) / MM_PER_METRE
    numbers = (f"rocker {wording.figure(rocker)}", f"thick {wording.say(thickness)}")
    return Tick(x, 0.0, high, station.name, numbers)


def _room(bottom: Points, deck: Points, tick: Tick, top: float) -> Room:
    """The tallest of: below the bottom, inside the foam, above the deck."""
    near = [tick.x + dx for dx in (-_LABEL_REACH, 0.0, _LABEL_REACH)]
    low = [height_at(bottom, x) for x in near if height_at(deck, x) > 0.0]
    high = [height_at(deck, x) for x in near if height_at(deck, x) > 0.0]
    rooms = [
        Room(_CLEAR, min(low) - _CLEAR),
        Room(max(low) + _CLEAR, min(high) - _CLEAR),
        Room(max(high) + _CLEAR, top),
    ]
    return max(rooms, key=lambda room: room.size)
