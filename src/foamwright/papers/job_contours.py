"""The contours' pages: depths to scoop on a grid, and sections with the straight edge that checks them."""

from __future__ import annotations

import numpy as np

from foamwright.papers.drawing import Drawing, Text, drawing_of, hatch, line
from foamwright.papers.drawing_box import Box, points_of
from foamwright.papers.job_base import Job
from foamwright.papers.job_foot import cautions_foot, foot_of_page
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Headed
from foamwright.papers.job_scoop_sections import scoop_sections
from foamwright.papers.job_views import SCALES, View
from foamwright.papers.style import Anchor, Face, Hatching, Lettering, Pen
from foamwright.shape.curves import Floats

_SIDE = 8.0
_SHOWN = 1e-4
_NARROW = 5e-3


def contour_pages(job: Job) -> list[Headed]:
    """Return the pages of the contours; none for a flat bottom."""
    return [_grid_page(job), _section_page(job)] if job.plan.scoop.needed else []


def _grid_page(job: Job) -> Headed:
    foot, top = cautions_foot(job, Step.CONTOURS)
    body = job.ground.body
    offsets = Offsets(job.heads, tuple(_rows(job)))
    table_box = Box(body.left, top + 3.0, body.right, top + 3.0 + offsets.height)
    room = Box(body.left + _SIDE, table_box.top, body.right - _SIDE, body.top - 1.0)
    picture, view = _picture(job, room)
    feet = [(view.x(s.x), room.bottom) for s in job.plan.stations]
    return Headed(
        title="Contours",
        purpose=HOW[Step.CONTOURS].purpose,
        body=drawing_of([picture, offsets_under(offsets, table_box, feet), foot]),
        scale=view.scale,
        refers_to="Large: depth under the flat. Small: how far out from the stringer, both sides alike.",
        step=Step.CONTOURS.number,
    )


def _section_page(job: Job) -> Headed:
    foot, top = foot_of_page(job, Step.CONTOURS)
    body = job.ground.body
    sections, scale = scoop_sections(job, Box(body.left, top + 5.0, body.right, body.top - 1.0))
    return Headed(
        title="Contours, sections",
        purpose="Lay the straight edge across and measure under it; deepest station first, then outwards.",
        body=sections + foot,
        scale=scale,
        refers_to="Depth under a straight edge laid level across the bottom, from rail to rail.",
        step=Step.CONTOURS.number,
    )


def _rows(job: Job) -> list[Row]:
    scoop, say = job.plan.scoop, job.figures
    rows: list[Row] = []
    for k, share in enumerate(scoop.shares.tolist()):
        if not (scoop.exact[:, k] > _SHOWN).any():
            continue
        cells = tuple(
            _cell(job, float(depth), float(y), share)
            for depth, y in zip(scoop.exact[:, k], scoop.y[:, k], strict=True)
        )
        label = "take off at the stringer" if share == 0.0 else _SHARE_NAMES.get(share, f"{share:.2f} out")
        rows.append(Row(label if rows else f"{label}, {say.unit}", cells, RowKind.PAIR))
    thick = tuple(say.at_least(m.thickness) for m in job.contour_marks)
    return [
        *rows,
        Row("check: thickness by calipers", thick, RowKind.KEY),
        Row("write what you read", (), RowKind.WRITE),
    ]


def _cell(job: Job, depth: float, y: float, share: float) -> str:
    """A depth and how far out it holds; nothing where the board is too narrow to have such a place."""
    if share == 0.0:
        return job.figures.depth(depth)
    return f"{job.figures.depth(depth)}|at {job.figures.width(y)}" if y > _NARROW else "0"


_SHARE_NAMES = {
    0.25: "a quarter of the way to the rail",
    0.5: "half way to the rail",
    0.75: "three quarters of the way to the rail",
    1.0: "at the rail",
}


def _picture(job: Job, room: Box) -> tuple[Drawing, View]:
    """Half the bottom from below, the grid's places on it, the scoop hatched."""
    scoop, board = job.plan.scoop, job.plan.board
    x = np.linspace(0.0, board.length, 401)
    half = board.half_width(x)
    view = _view(board.length, float(half.max()), room)
    lines = [
        line(view.curve(scoop.x, scoop.y[:, k]), Pen.THIN if share else Pen.LEVEL)
        for k, share in enumerate(scoop.shares.tolist())
        if share < 1.0
    ]
    stations = [
        line(
            [(view.x(s.x), view.y(float(board.half_width(np.array([s.x]))[0]))), (view.x(s.x), room.bottom)],
            Pen.STATION,
        )
        for s in job.plan.stations
    ]
    at = (view.x(0.5 * board.length), view.y(float(half.max())) + 1.6)
    name = Text(at, "half the bottom, from below", Lettering.LABEL, Face.LABEL, Anchor.CENTRE)
    outline = line(view.curve(x, half), Pen.OUTLINE)
    return drawing_of([_hatched(job, view), *stations, *lines, outline, Drawing((name,))]), view


def _view(length: float, half: float, room: Box) -> View:
    fitting = (
        d for d in SCALES if length * 1000.0 / d <= room.width and half * 1000.0 / d <= room.height - 8.0
    )
    denominator = next(fitting, SCALES[-1])
    return View(room.centre[0] - length * 500.0 / denominator, room.bottom + 3.5, denominator)


def _hatched(job: Job, view: View) -> Drawing:
    """Hatching as far out as something comes off."""
    scoop = job.plan.scoop
    reach = np.array([_reach(row, y) for row, y in zip(scoop.exact, scoop.y, strict=True)])
    if not (reach > 0.0).any():
        return Drawing()
    ring = np.vstack([view.curve(scoop.x, reach), view.curve(scoop.x, np.zeros_like(reach))[::-1]])
    return hatch(Hatching.BOTTOM, points_of(ring))


def _reach(depths: Floats, y: Floats) -> float:
    """Greatest distance out at which something comes off."""
    deep = np.flatnonzero(depths > _SHOWN)
    return float(y[min(deep[-1] + 1, y.size - 1)]) if deep.size else 0.0
