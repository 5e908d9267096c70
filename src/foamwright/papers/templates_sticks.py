"""Sticks: a stage's own line at full size near one tip, to glue on hardboard and lay along the stringer."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foamwright.blank.numbers import Face as Side
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.drawing_text import shrunk
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone
from foamwright.papers.templates_shapes import MM_PER_METRE, StationName, Wording
from foamwright.shape.curves import Floats
from foamwright.units import INCH

BACK = 46.0
"""From the line to the back of a stick where it is thinnest, mm: stiff enough in 3 mm hardboard."""

SHIM = INCH / 32.0
"""The wedge under each touch mark, metres: what may still stand on a face when a run ends."""

TOUCH_INSET = INCH
"""The touch mark's distance from the tip, metres: the last inch of a tip is crumbly and springs away."""

_TICK = 9.0
_TITLE_ROOM = 9.0


@dataclass(frozen=True, slots=True, eq=False)
class StickShape:
    """One stage's line near one tip.

    Attributes
    ----------
    name
        What it is: ``rocker, nose``.
    face
        The face that it is laid on.
    tip
        Station of the tip that the strokes run off, metres from the tail tip.
    points
        (n, 2) the stage's line at the stringer, metres, x from the tail tip, z from the level line.
    stations
        Stations on the stick, tips included.
    """

    name: str
    face: Side
    tip: float
    points: Points
    stations: tuple[StationName, ...]

    @property
    def touches(self) -> tuple[float, float]:
        """Stations of the two touch marks: where the walk begins inboard, and `TOUCH_INSET` off the tip."""
        low, high = float(self.points[0, 0]), float(self.points[-1, 0])
        return (low, high - TOUCH_INSET) if self.tip == high else (low + TOUCH_INSET, high)


def stick_drawing(stick: StickShape, wording: Wording) -> Drawing:
    """Return one stick as a closed part, its chord level, the foam's side bare.

    Parameters
    ----------
    stick
        The stage's line.
    wording
        How lengths are written.

    Returns
    -------
    Drawing
        Millimetres. Only the part's edge is drawn with ``Pen.OUTLINE``: the stage's line, then the back. The
        line's inboard end (its tail end, for a nose) stands at the origin.
    """
    placed = _Placed(stick)
    curve = placed.curve
    back = placed.back
    corners = [[curve[-1, 0], back], [curve[0, 0], back]]
    parts = [
        shape(np.vstack((curve, corners)), Pen.OUTLINE),
        line(placed.offset(SHIM * MM_PER_METRE), Pen.TRIM),
        *(placed.tick(station) for station in stick.stations),
        *(placed.touch(x) for x in stick.touches),
        placed.title(wording),
    ]
    return drawing_of(parts)


class _Placed:
    """A stick turned so that its chord is level; `way` is -1 where its body lies below the line."""

    def __init__(self, stick: StickShape) -> None:
        self.stick = stick
        millimetres = np.asarray(stick.points) * MM_PER_METRE
        self.start = millimetres[0]
        dx, dz = millimetres[-1] - self.start
        self.angle = -math.atan2(dz, dx)
        self.turned = np.array(
            [[math.cos(self.angle), -math.sin(self.angle)], [math.sin(self.angle), math.cos(self.angle)]]
        )
        self.curve = points_of((millimetres - self.start) @ self.turned.T)
        self.way = -1.0 if stick.face is Side.BOTTOM else 1.0
        reach = self.curve[:, 1].max() if self.way > 0 else self.curve[:, 1].min()
        self.back = float(reach) + self.way * BACK

    def at(self, x: float) -> tuple[Floats, Floats]:
        """Return the point of the line at a station, and the direction into the body square to level."""
        z = float(np.interp(x, self.stick.points[:, 0], self.stick.points[:, 1]))
        point = (np.array([x, z]) * MM_PER_METRE - self.start) @ self.turned.T
        return np.asarray(point), np.asarray(np.array([0.0, self.way]) @ self.turned.T)

    def offset(self, distance: float) -> Points:
        """Return the line moved into the body by `distance` mm, square to itself."""
        run = np.gradient(self.curve, axis=0)
        normal = np.column_stack((-run[:, 1], run[:, 0])) / np.hypot(run[:, 0], run[:, 1])[:, None]
        return points_of(self.curve + self.way * distance * normal)

    def tick(self, station: StationName) -> Drawing:
        """Return a station's line into the body and its name behind it."""
        point, into = self.at(station.x)
        end = point + _TICK * into
        ends = (self.curve[0, 0] + 3.0, self.curve[-1, 0] - 3.0)
        x = min(max(float(end[0]), ends[0]), ends[1])
        anchor = Anchor.MIDDLE_LEFT if self.way > 0 else Anchor.MIDDLE_RIGHT
        place = (x, float(end[1]) + self.way * 1.5)
        name = Text(place, station.name, 3.2, Face.LABEL, anchor, math.pi / 2)
        room = BACK - _TICK - _TITLE_ROOM - 3.0
        return line([point, end], Pen.STATION) + Drawing((shrunk(name, room, 0.7),))

    def touch(self, x: float) -> Drawing:
        """Return a filled mark where a shim goes under the stick: its point on the line."""
        point, into = self.at(x)
        across = np.array([into[1], -into[0]])
        foot = point + 4.5 * into
        return shape([point, foot + 2.2 * across, foot - 2.2 * across], None, Tone.INK)

    def title(self, wording: Wording) -> Drawing:
        """Return what it is and the two marks' meaning, along the back, in places no page's edge need cut."""
        low, high = float(self.curve[0, 0]), float(self.curve[-1, 0])
        y = self.back - self.way * 4.5
        face = f"lay on the {self.stick.face.value}"
        words = f"{self.stick.name}: {face}"
        shim = f"dashed: {wording.say(SHIM)} shim under both ▲"
        texts = [
            Text((low + 6.0, y), words, Lettering.FIGURE, Face.TITLE, Anchor.MIDDLE_LEFT),
            Text((0.5 * (low + high), y), words, Lettering.LABEL, Face.LABEL, Anchor.MIDDLE),
            Text((high - 6.0, y), shim.replace("▲", "marks"), 2.2, Face.LABEL, Anchor.MIDDLE_RIGHT),
        ]
        return Drawing(tuple(texts))
