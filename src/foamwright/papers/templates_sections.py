"""Half sections at full size, each with its level line, to cut and hold against the rail."""

from __future__ import annotations

from collections.abc import Sequence

from foamwright.papers.dimension import Lettered, horizontal_dimension, leader, vertical_dimension
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box, Points, box_around
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.templates_shapes import (
    MM_PER_METRE,
    SectionShape,
    Wording,
    in_millimetres,
)

_GAP = 9.0
_FIGURES = Lettered(Lettering.FIGURE)


def section_drawing(section: SectionShape, wording: Wording) -> Drawing:
    """Return one half section: stringer at the left, rail to the right, level line below.

    Parameters
    ----------
    section
        The half section.
    wording
        How lengths are written.

    Returns
    -------
    Drawing
        Millimetres, the stringer at x = 0, the level line at y = 0; only the section is drawn with
        ``Pen.OUTLINE``.
    """
    points = in_millimetres(section.points)
    box = box_around(points)
    low, high = _stringer_heights(points)
    half = wording.say(box.right / MM_PER_METRE)
    parts = [
        line([(-4.0, 0.0), (box.right + 1.0, 0.0)], Pen.LEVEL),
        line([(0.0, min(0.0, low) - 4.0), (0.0, box.top + 5.0)], Pen.LEVEL),
        shape(points, Pen.OUTLINE),
        vertical_dimension((0.0, low), (0.0, high), wording.say((high - low) / MM_PER_METRE), -6.5, _FIGURES),
        _rocker(low, wording),
        horizontal_dimension((0.0, 0.0), (box.right, 0.0), half, -9.0, _FIGURES),
        _names(section, box),
    ]
    return drawing_of(parts)


def _stringer_heights(points: Points) -> tuple[float, float]:
    heights = sorted((float(points[0, 1]), float(points[-1, 1])))
    return heights[0], heights[1]


def _rocker(low: float, wording: Wording) -> Drawing:
    """Height of the bottom at the stringer above the level line, where there is any."""
    if low < 0.5:
        return Drawing()
    words = wording.say(low / MM_PER_METRE)
    if low < 3.0 * Lettering.FIGURE:
        # Too low for a number beside the thickness: told by a leader from the foot of the stringer.
        return leader((0.0, low), (16.0, low / 2), f"rocker {words}", _FIGURES)
    return vertical_dimension((0.0, 0.0), (0.0, low), words, -6.5, _FIGURES)


def _names(section: SectionShape, box: Box) -> Drawing:
    middle = box.left + 0.5 * box.width
    words = f"Half section, {section.station.name}"
    name = Text((middle, box.top + 5.0), words, Lettering.HEADING, Face.TITLE, Anchor.CENTRE)
    rail = Text((0.75 * box.right, -1.6), "level line", Lettering.LABEL, Face.LABEL, Anchor.TOP)
    deck = Text((middle, box.top - 6.0), "deck", Lettering.LABEL, Face.LABEL, Anchor.TOP)
    return Drawing((name, rail, deck))


def stacked_pages(sections: Sequence[Drawing], height: float) -> tuple[Drawing, ...]:
    """Return the sections stacked into drawings no taller than `height` mm where that can be.

    Every section stands whole in one drawing, so that a page's edge does not part it.
    """
    groups: list[list[Drawing]] = []
    for section in sections:
        if groups and stacked_sections([*groups[-1], section]).box().height <= height:
            groups[-1].append(section)
        else:
            groups.append([section])
    return tuple(stacked_sections(group) for group in groups)


def stacked_sections(drawings: Sequence[Drawing]) -> Drawing:
    """Return the sections one above the other, the first at the top."""
    parts: list[Drawing] = []
    top = 0.0
    for drawing in drawings:
        box = drawing.box()
        parts.append(drawing.moved(0.0, top - box.top))
        top -= box.height + _GAP
    return drawing_of(parts)
