"""The edges that must stay on the rails' page: hard and tucked-under ones are not sanded over."""

from __future__ import annotations

import math

import numpy as np

from foamwright.cuts.stage_rails import StationBands
from foamwright.papers.drawing import Drawing, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job
from foamwright.papers.job_offsets import Row, RowKind
from foamwright.papers.job_views import View
from foamwright.papers.style import Anchor, Pen
from foamwright.papers.style import Face as Type

FELT = math.radians(10.0)
"""An edge that turns by less cannot be felt, nor lost under the paper. Common practice, no source."""

_WORDS = "do not sand over this line"
_SIZE = 2.8
_DROP = 10.0


def edge_in(job: Job, x: float) -> float | None:
    """Return how far in from the finished edge a felt edge lies at `x`, metres; ``None``: soft there."""
    numbers = job.plan.board.section_numbers(np.array([x]))
    tuck, rise = float(numbers.tuck[0, 0]), float(numbers.steep[0, 0] * numbers.rise[0, 0])
    return tuck if math.atan2(rise, tuck) > FELT else None


def edge_rows(job: Job) -> list[Row]:
    """Return the row that says where the edge lies from the squared side; none on a soft board."""
    found = [edge_in(job, s.station.x) for s in job.plan.bands]
    if all(one is None for one in found):
        return []
    finish = job.plan.chain.finish
    cells = tuple("soft" if one is None else job.figures.pencil(one + finish) for one in found)
    return [Row(f"{_WORDS}: the edge, from the side, {job.figures.unit}", cells, RowKind.KEY)]


def edge_mark(job: Job, station: StationBands, view: View, box: Box) -> Drawing:
    """Return the edge on a section: a leader from it, down to the words."""
    tuck = edge_in(job, station.station.x)
    if tuck is None:
        return Drawing(())
    half = float(job.plan.board.half_width(station.station.x))
    finished = station.section.finished
    # The finished section runs along the bottom first, stringer to edge.
    bottom = finished[: len(finished) // 2]
    at = half - tuck
    x, y = view.x(at), view.y(float(np.interp(at, bottom[:, 0], bottom[:, 1])))
    foot = max(y - _DROP, box.bottom + _SIZE + 1.0)
    words = Text((x + 1.0, foot - 1.0), _WORDS, _SIZE, Type.FIGURES, Anchor.TOP_RIGHT)
    return drawing_of([line([(x, y - 0.6), (x, foot)], Pen.OUTLINE), Drawing((words,))])
