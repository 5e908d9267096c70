"""The contours' page: depths to scoop on a grid of stations and places across, and what a straight edge shows."""

from __future__ import annotations

import numpy as np

from foamwright.papers.drawing import Drawing, Text, drawing_of, hatch, line
from foamwright.papers.drawing_box import Box, points_of
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Headed
from foamwright.papers.job_stage import Job, foot_of_page
from foamwright.papers.job_views import View, scale_for
from foamwright.papers.style import Anchor, Face, Hatching, Lettering, Pen

_SIDE = 15.0
_SHOWN = 1e-4


def contour_pages(job: Job) -> list[Headed]:
    """Return the page of the contours; none for a flat bottom."""
    return [_page(job)] if job.plan.scoop.needed else []


def _page(job: Job) -> Headed:
    foot, top = foot_of_page(job, Step.CONTOURS)
    body = job.ground.body
    offsets = Offsets(job.heads, tuple(_rows(job)))
    table_box = Box(body.left, top + 3.0, body.right, top + 3.0 + offsets.height)
    room = Box(body.left + _SIDE, table_box.top, body.right - _SIDE, body.top - 1.0)
    picture, view = _picture(job, room)
    feet = [(view.x(s.x), room.bottom) for s in job.plan.stations]
    how = HOW[Step.CONTOURS]
    return Headed(
        title="Contours",
        purpose=how.purpose,
        body=drawing_of([picture, offsets_under(offsets, table_box, feet), foot]),
        scale=view.scale,
        refers_to="Large: depth under the flat bottom. Small: how far out from the stringer. Both sides alike.",
        step=Step.CONTOURS.number,
    )


def _rows(job: Job) -> list[Row]:
    scoop, say = job.plan.scoop, job.figures
    rows = []
    for k, share in enumerate(scoop.shares.tolist()):
        if not (scoop.exact[:, k] > _SHOWN).any():
            continue
        cells = tuple(
            f"{say.depth(float(depth))}|{say.width(float(y)) if share else ''}"
            for depth, y in zip(scoop.exact[:, k], scoop.y[:, k], strict=True)
        )
        label = "scoop the stringer" if share == 0.0 else _SHARE_NAMES.get(share, f"{share:.2f} out")
        rows.append(Row(f"{label}, {say.unit}" if not rows else label, cells, RowKind.PAIR))
    gap = tuple(say.nearest(float(g)) if g > _SHOWN else "0" for g in scoop.edge_gap[:, 0])
    rows.append(Row("check: under a straight edge across, at the stringer", gap))
    rows.append(Row("write what you read", (), RowKind.WRITE))
    return rows


_SHARE_NAMES = {
    0.25: "a quarter of the way to the rail",
    0.5: "half way to the rail",
    0.75: "three quarters of the way",
    1.0: "at the rail",
}


def _picture(job: Job, room: Box) -> tuple[Drawing, View]:
    """Half the bottom from below, the grid's places on it, the scoop hatched."""
    scoop, board = job.plan.scoop, job.plan.board
    x = np.linspace(0.0, board.length, 401)
    half = board.half_width(x)
    denominator = scale_for(board.length, room.width)
    while float(half.max()) * 1000.0 / denominator > room.height - 7.0:
        denominator += 1
    left = room.centre[0] - board.length * 500.0 / denominator
    view = View(left, room.bottom + 3.5, denominator)
    lines = [
        line(view.curve(scoop.x, scoop.y[:, k]), Pen.STATION if share else Pen.LEVEL)
        for k, share in enumerate(scoop.shares.tolist())
        if share < 1.0
    ]
    stations = [
        line([(view.x(s.x), view.y(_half(job, s.x))), (view.x(s.x), room.bottom)], Pen.STATION)
        for s in job.plan.stations
    ]
    outline = np.vstack([view.curve(x, half)])
    name = Text(
        (view.x(0.5 * board.length), view.y(float(half.max())) + 1.6),
        "half the bottom, from below",
        Lettering.LABEL,
        Face.LABEL,
        Anchor.CENTRE,
    )
    return drawing_of(
        [_hatched(job, view), *stations, *lines, line(outline, Pen.OUTLINE), Drawing((name,))]
    ), view


def _half(job: Job, x: float) -> float:
    return float(job.plan.board.half_width(np.array([x]))[0])


def _hatched(job: Job, view: View) -> Drawing:
    """Hatching as far out as the scoop is deeper than a tape shows."""
    scoop = job.plan.scoop
    reach = np.array([_reach(row, y) for row, y in zip(scoop.exact, scoop.y, strict=True)])
    if not (reach > 0.0).any():
        return Drawing()
    ring = points_of(np.vstack([view.curve(scoop.x, reach), view.curve(scoop.x, np.zeros_like(reach))[::-1]]))
    return hatch(Hatching.BOTTOM, ring)


def _reach(depths: np.ndarray, y: np.ndarray) -> float:
    """Greatest distance out at which something comes off."""
    deep = np.flatnonzero(depths > _SHOWN)
    return float(y[min(deep[-1] + 1, y.size - 1)]) if deep.size else 0.0
