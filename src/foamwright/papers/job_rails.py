"""The rails' pages: pencil lines of every flat at every station, and sections with the flats drawn in."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.cautions import cautions_for
from foamwright.cuts.bands import Band, Where
from foamwright.cuts.stage_rails import StationBands
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box, Points
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Headed, columns_height, in_columns
from foamwright.papers.job_stage import Job, how_columns
from foamwright.papers.job_views import SCALES
from foamwright.papers.style import Anchor, Lettering, Pen
from foamwright.papers.style import Face as Type

_SHOWN = 4
_GAP = 6.0


def rail_pages(job: Job) -> list[Headed]:
    """Return the pages of the rails: the flats from the deck, then those from the bottom."""
    sides = [Where.DECK, Where.BOTTOM]
    with_bands = [side for side in sides if any(_of(s, side) for s in job.plan.bands)]
    return [_page(job, side, first=side is with_bands[0]) for side in with_bands]


def _of(station: StationBands, side: Where) -> list[Band]:
    return [band for band in station.bands.bands if band.side is side]


def _page(job: Job, side: Where, *, first: bool) -> Headed:
    body = job.ground.body
    cautions = cautions_for(Step.RAILS.value, polyurethane=job.plan.polyurethane)
    strip = caution_strip(cautions if first else cautions[:1], body.width)
    pieces = how_columns(job, Step.RAILS)
    base = body.bottom + strip.height + 2.5
    height = columns_height(pieces, body.width) if first else 0.0
    text = in_columns(pieces, Box(body.left, base, body.right, base + height)) if first else Drawing()
    rows = _rows(job, side)
    offsets = Offsets(tuple(job.figures.station(s.station) for s in job.plan.bands), tuple(rows))
    top = base + height + 1.0
    box = Box(body.left, top, body.right, top + offsets.height)
    sections, scale, feet = _sections(
        job, side, Box(body.left, box.top + 1.0, body.right, body.top - 1.0), offsets
    )
    table = offsets_under(offsets, box, feet)
    how = HOW[Step.RAILS]
    name = "from the deck" if side is Where.DECK else "from the bottom"
    return Headed(
        title=f"Rails, {name}",
        purpose=how.purpose,
        body=drawing_of([sections, table, text, strip.at(body.left, body.bottom + strip.height)]),
        scale=scale,
        refers_to="Lines from the edge that the flat takes away, over the surface they are drawn on.",
        step=Step.RAILS.number,
    )


def _rows(job: Job, side: Where) -> list[Row]:
    """Two rows for every flat: its outer line and its inner one."""
    most = max(len(_of(s, side)) for s in job.plan.bands)
    rows = []
    for number in range(most):
        for which in (0, 1):
            cells = tuple(_cell(job, _of(s, side), number, which) for s in job.plan.bands)
            rows.append(Row(_label(job, side, number, which), cells, RowKind.KEY if which else RowKind.PLAIN))
    return rows


def _cell(job: Job, bands: Sequence[Band], number: int, which: int) -> str:
    if number >= len(bands):
        return "–"
    return job.figures.depth(bands[number].lines[which].from_edge)


def _label(job: Job, side: Where, number: int, which: int) -> str:
    face = side.value
    place = (
        f"on the {face}, in from the edge"
        if which
        else ("on the side, from the edge" if number == 0 else f"on flat {number}, from the edge")
    )
    unit = f", {job.figures.unit}" if number == 0 and which == 0 else ""
    return f"flat {number + 1}: {place}{unit}"


def _sections(
    job: Job, side: Where, room: Box, offsets: Offsets
) -> tuple[Drawing, str, list[tuple[float, float]]]:
    """A few sections to scale, rails to the right, and where every station's column begins."""
    bands = [s for s in job.plan.bands if _of(s, side)]
    picks = np.unique(np.rint(np.linspace(0, len(bands) - 1, _SHOWN)).astype(int))
    shown = [bands[i] for i in picks]
    width = (room.width - (len(shown) - 1) * _GAP) / len(shown)
    zones = [_zone(s, side) for s in shown]
    widest = max(z[0] for z in zones)
    tallest = max(z[1] for z in zones)
    d = next(
        d for d in SCALES if widest * 1000.0 / d <= width - 16.0 and tallest * 1000.0 / d <= room.height - 9.0
    )
    parts = [
        _section(
            job,
            s,
            side,
            Box(
                room.left + i * (width + _GAP), room.bottom, room.left + i * (width + _GAP) + width, room.top
            ),
            d,
        )
        for i, s in enumerate(shown)
    ]
    from foamwright.papers.job_offsets import LABEL_WIDTH

    column = (room.width - LABEL_WIDTH) / len(offsets.heads)
    feet = [
        (room.left + LABEL_WIDTH + (i + 0.5) * column, room.bottom - 1.0) for i in range(len(offsets.heads))
    ]
    return drawing_of(parts), f"1:{d}", feet


def _zone(station: StationBands, side: Where) -> tuple[float, float]:
    """Width and height of the part of a section that the flats concern, metres."""
    stage = station.section.stage
    width = sum(0.0 for _ in ()) + _inward(station, side) * 1.15 + 0.01
    return width, float(np.ptp(stage[:, 1]))


def _inward(station: StationBands, side: Where) -> float:
    """How far in from the side the innermost line of the flats stands, metres."""
    inner = station.bands.outline[:, 0]
    widest = float(station.section.stage[:, 0].max())
    inside = inner[(inner > 1e-6) & (inner < widest - 1e-6)]
    return widest - float(inside.min()) if inside.size else widest


def _section(job: Job, station: StationBands, side: Where, box: Box, d: int) -> Drawing:
    """One section: foam before thin, flats heavy and numbered, the finished rail dashed."""
    factor = 1000.0 / d
    widest = float(station.section.stage[:, 0].max())
    low = float(station.section.stage[:, 1].min())
    right = box.right - 8.0

    def place(points: Points) -> Points:
        return thinned_points(
            np.column_stack(
                [right - (widest - points[:, 0]) * factor, box.bottom + 4.0 + (points[:, 1] - low) * factor]
            )
        )

    number, rest = job.figures.station(station.station)
    title = Text(
        (box.left + 2.0, box.top - 1.0),
        f"{number} {rest}".strip(),
        Lettering.FIGURE,
        Type.TITLE,
        Anchor.TOP_LEFT,
    )
    window = Box(box.left, box.bottom, box.right, box.top - 5.0)
    inside = drawing_of(
        [
            shape(place(station.section.stage), Pen.CUT),
            line(place(station.section.finished), Pen.HIDDEN),
            line(place(station.bands.outline), Pen.OUTLINE),
        ]
    ).clipped_to(window)
    return inside + Drawing((title,)) + _numbers(place(station.bands.outline), station, side)


def _numbers(outline: Points, station: StationBands, side: Where) -> Drawing:
    return Drawing()
