"""Sections across the bottom with the straight edge laid on them, depths enlarged."""

from __future__ import annotations

import numpy as np

from foamwright.papers.dimension import arrowhead
from foamwright.papers.drawing import Drawing, Text, drawing_of, hatch, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job
from foamwright.papers.job_views import ENLARGED, SCALES, View, closed
from foamwright.papers.style import Anchor, Face, Hatching, Lettering, Pen
from foamwright.shape.curves import Floats

_SHOWN = 4
_GAP = 10.0
_ABOVE = 14.0
_BELOW = 8.0
_MIDDLE = 60
_NARROW = 0.03
"""Half-width, metres, under which a straight edge across says nothing: a pointed tip."""


def scoop_sections(job: Job, room: Box) -> tuple[Drawing, str]:
    """Return sections of the bottom at a few stations, two by two, bottom up, and their scale in words."""
    picks = _picks(job)
    width, height = (room.width - _GAP) / 2, room.height / 2
    widest = 2.0 * float(job.plan.scoop.y[:, -1].max())
    denominator = next((d for d in SCALES if widest * 1000.0 / d <= width - 34.0), SCALES[-1])
    deepest = float(job.plan.scoop.edge_gap.max())
    tall = height - _ABOVE - _BELOW
    times = [e for e in (*ENLARGED, 15, 20, 30) if deepest * e * 1000.0 / denominator <= tall][-1]
    parts = []
    for i, index in enumerate(picks):
        left, top = room.left + (i % 2) * (width + _GAP), room.top - (i // 2) * height
        parts.append(_section(job, index, Box(left, top - height, left + width, top), (denominator, times)))
    return drawing_of(parts), f"1:{denominator}, depths × {times}"


def _picks(job: Job) -> list[int]:
    """Stations that show how the scoop changes: the deepest, and others spread from tail to nose."""
    scoop = job.plan.scoop
    depth, half = scoop.exact.max(axis=1), scoop.y[:, -1]
    wide = half > _NARROW
    deep = [int(i) for i in np.flatnonzero(wide & (depth > 0.3 * depth.max()))] or [int(np.argmax(depth))]
    spread = [deep[i] for i in np.unique(np.rint(np.linspace(0, len(deep) - 1, _SHOWN)).astype(int))]
    deepest = max(deep, key=lambda i: float(depth[i]))
    nearest = min(range(len(spread)), key=lambda k: abs(spread[k] - deepest))
    spread[nearest] = deepest
    return sorted(set(spread))


def _section(job: Job, index: int, box: Box, scale: tuple[int, int]) -> Drawing:
    """One section: foam below, straight edge above, gap at the stringer, what comes off hatched."""
    scoop, say = job.plan.scoop, job.figures
    station = job.plan.stations[index]
    half = float(scoop.y[index, -1])
    y = np.linspace(-half, half, 2 * _MIDDLE + 1)
    lift = _lift(job, station.x, np.abs(y) / half)
    top = float(lift.max())
    # Bottom up: what stands higher above the level line lies lower on the page.
    face, flat = float(np.ptp(lift)) - lift, np.full_like(y, top)
    view = View(box.centre[0], box.top - _ABOVE - top * scale[1] * 1000.0 / scale[0], scale[0], scale[1])
    ring = closed(view, y, face, flat)
    number, rest = say.station(station)
    title = Text(
        (box.left + 1.0, box.top - 1.0),
        f"{number} {rest}".strip(),
        Lettering.FIGURE,
        Face.TITLE,
        Anchor.TOP_LEFT,
    )
    parts = [
        hatch(Hatching.BOTTOM, ring),
        line(view.curve(y, face), Pen.OUTLINE),
        _edge(view, half, float(face.max())),
        _check(job, index, view, face),
        _sides(view, half, face),
        Drawing((title,)),
    ]
    return drawing_of(parts)


def _lift(job: Job, x: float, share: Floats) -> Floats:
    """Height of the contour bottom above the flat it is cut from, metres."""
    shaped = job.plan.board.contour_at(np.array([x]), share[None, :])[0]
    return np.asarray(np.maximum(shaped - float(job.plan.board.pre_contour(x)), 0.0))


def _edge(view: View, half: float, height: float) -> Drawing:
    """The straight edge as a bar resting on the highest places."""
    y = view.y(height) + 0.25
    ends = (view.x(-half) - 3.0, view.x(half) + 3.0)
    bar = [(ends[0], y), (ends[1], y), (ends[1], y + 3.0), (ends[0], y + 3.0), (ends[0], y)]
    return line(bar, Pen.CUT)


def _check(job: Job, index: int, view: View, face: Floats) -> Drawing:
    """What is measured under the straight edge: at the stringer, or at the rail where it rests on wood."""
    scoop, top = job.plan.scoop, float(face.max())
    if not scoop.rocks[index]:
        return _gap(view, 0.0, (float(face[_MIDDLE]), top), _gap_words(job, index, 0))
    words = "rests on the stringer: hold it level"
    text = Text((view.x(0.0), view.y(top) + 5.2), words, Lettering.LABEL, Face.LABEL, Anchor.CENTRE)
    half = float(scoop.y[index, -1])
    low, high = view.y(float(face[-1])), view.y(top)
    rail = Text(
        (view.x(half) + 2.5, (low + high) / 2),
        _gap_words(job, index, -1),
        4.2,
        Face.FIGURES_STRONG,
        Anchor.MIDDLE_LEFT,
    )
    return Drawing((text, rail)) + line([(view.x(half), low), (view.x(half), high)], Pen.DIMENSION)


def _gap_words(job: Job, index: int, place: int) -> str:
    # Rounded as the grid's depths are: the scoop is checked by the figure it was cut to.
    say = job.figures
    return say.with_unit(say.depth(float(job.plan.scoop.edge_gap[index, place])))


def _gap(view: View, y: float, heights: tuple[float, float], words: str) -> Drawing:
    """A gap under the straight edge, its figure above the straight edge."""
    x, bottom, top = view.x(y), view.y(heights[0]), view.y(heights[1])
    text = Text((x, top + 8.0), words, 4.2, Face.FIGURES_STRONG, Anchor.MIDDLE)
    if top - bottom < 0.4:
        return Drawing((text,))
    arrow = line([(x, bottom), (x, top + 3.3)], Pen.DIMENSION) + arrowhead((x, bottom), -np.pi / 2)
    return arrow + Drawing((text,))


def _sides(view: View, half: float, face: Floats) -> Drawing:
    """The rails' edges, a little way down into the foam."""
    return drawing_of(
        line([(view.x(y), view.y(float(z))), (view.x(y), view.y(float(face.min())) - 5.0)], Pen.CUT)
        for y, z in ((-half, face[0]), (half, face[-1]))
    )
