"""Gauges at full size: closed parts that go over the rail, and a strip that calipers are held against."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.drawing_text import shrunk
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.templates_shapes import (
    MM_PER_METRE,
    SectionShape,
    StationName,
    Wording,
    in_millimetres,
)

REACH = 62.0
"""How far a rail gauge's arms reach in over deck and bottom from the rail, mm."""

WALL = 24.0
"""Foam's distance from the gauge's edge at the rail, above and below, mm: stiff in 3 mm hardboard."""

_COLUMN = 15.0


@dataclass(frozen=True, slots=True)
class ThicknessMark:
    """Thickness at the stringer at one station after the foil and when finished, metres."""

    station: StationName
    foiled: float
    finished: float


def rail_gauge(section: SectionShape) -> Drawing:
    """Return a rail's female gauge as one closed part, open inboard so that it slides on from outside.

    Parameters
    ----------
    section
        The half section that it fits.

    Returns
    -------
    Drawing
        Millimetres, in the section's own place: the stringer at x = 0, the level line at y = 0; only the
        part's edge is drawn with ``Pen.OUTLINE``.
    """
    points = in_millimetres(section.points)
    rail = float(points[:, 0].max())
    inboard = max(rail - REACH, float(points[:, 0].min()))
    edge = _outside(points, inboard)
    low, high = float(edge[:, 1].min()) - WALL, float(edge[:, 1].max()) + WALL
    right = rail + WALL
    corners = [[inboard, high], [right, high], [right, low], [inboard, low]]
    name = Text(
        (inboard + 3.0, high - 5.0),
        f"Rail gauge, {section.station.name}",
        3.2,
        Face.TITLE,
        Anchor.MIDDLE_LEFT,
    )
    foot = Text((inboard + 3.0, low + 4.5), "bottom: slide on from the rail", 2.2, Face.LABEL)
    room = REACH + WALL - 6.0
    return shape(np.vstack((edge, corners)), Pen.OUTLINE) + Drawing(
        (shrunk(name, room, 0.6), shrunk(foot, room, 0.6))
    )


def _outside(points: Points, inboard: float) -> Points:
    """The section's line from the bottom at `inboard` round the rail to the deck at `inboard`."""
    rail = int(np.argmax(points[:, 0]))
    bottom, deck = points[: rail + 1], points[rail:]
    ends = [[[inboard, float(np.interp(inboard, face[:, 0], face[:, 1]))]] for face in (bottom, deck[::-1])]
    inner = bottom[bottom[:, 0] > inboard], deck[deck[:, 0] > inboard][1:]
    return points_of(np.vstack((ends[0], inner[0], inner[1], ends[1])))


def thickness_strip(marks: Sequence[ThicknessMark], wording: Wording) -> Drawing:
    """Return a strip with a column for each station as tall as the board is thick there.

    Calipers are set to the upright line: after the foil its full height, when finished to the dashed one.
    """
    tallest = max(mark.foiled for mark in marks) * MM_PER_METRE
    width = _COLUMN * len(marks)
    edge = shape([(0.0, -8.0), (width, -8.0), (width, tallest + 34.0), (0.0, tallest + 34.0)], Pen.OUTLINE)
    heading = Text(
        (3.0, tallest + 28.0), "Thickness gauge, at the stringer: solid after the foil, dashed finished",
        Lettering.FIGURE, Face.TITLE, Anchor.MIDDLE_LEFT,
    )  # fmt: skip
    base = line([(0.0, 0.0), (width, 0.0)], Pen.CUT)
    columns = [_column(mark, (index + 0.5) * _COLUMN, tallest, wording) for index, mark in enumerate(marks)]
    return drawing_of([edge, base, Drawing((shrunk(heading, width - 6.0, 0.5),)), *columns])


def _column(mark: ThicknessMark, x: float, tallest: float, wording: Wording) -> Drawing:
    foiled, finished = mark.foiled * MM_PER_METRE, mark.finished * MM_PER_METRE
    reach = 0.36 * _COLUMN
    name = Text((x, tallest + 3.0), mark.station.name, 2.6, Face.LABEL, Anchor.MIDDLE_LEFT, math.pi / 2)
    figure = Text((x, -4.5), wording.figure(mark.foiled), 2.6, Face.FIGURES, Anchor.MIDDLE)
    return drawing_of(
        [
            line([(x, 0.0), (x, foiled)], Pen.STATION),
            line([(x - reach, foiled), (x + reach, foiled)], Pen.CUT),
            line([(x - reach, finished), (x + reach, finished)], Pen.TRIM),
            Drawing((shrunk(name, 22.0, 0.7), shrunk(figure, _COLUMN - 1.5, 0.6))),
        ]
    )
