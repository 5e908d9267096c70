"""Sheet 3 of the wall pack: depth of the contours, three rails at full size, first flats, finish, fins."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.blank.numbers import Face as Side
from foamwright.cuts.bands import Band, Where
from foamwright.cuts.stage_rails import StationBands
from foamwright.papers.drawing import Drawing, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import fitted
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.job_rail_shape import section_cut
from foamwright.papers.style import Anchor, Face, Pen
from foamwright.papers.tiling import Page
from foamwright.papers.wall_frame import WORDS, Hung, Kind, Row, body_of, station_table, write_line
from foamwright.papers.wall_marks import NAMES, heads, shown_depth, wall_stations
from foamwright.shape.curves import Floats
from foamwright.stages.marks import RackStation
from foamwright.stages.solids import StageName

RAILS = 83.0
"""Height of the three sections at full size, mm."""

SHOWN = 78.0
"""How far in from the edge a rail is shown, mm: the roll of most boards ends there."""


def finish_sheet(job: PlannedJob, page: Page) -> Hung:
    """Return sheet 3."""
    body = body_of(page)
    rails = Box(body.left, body.top - RAILS, body.right, body.top - 2.0)
    table_box = Box(body.left, body.bottom, body.right, rails.bottom - 1.0)
    table, height = station_table(_rows(job), table_box, NAMES)
    foot = Box(body.left, body.bottom, body.right, table_box.top - height - 2.0)
    return Hung("3", "Bottom, rails, finish", drawing_of([_rails(job, rails), table, _foot(job, foot)]))


def _chosen(job: PlannedJob) -> Sequence[StationBands]:
    """Three stations: near the nose, the middle, near the tail, as far as rails have bands there."""
    bands = sorted(job.plan.bands, key=lambda one: one.station.x)
    length = job.plan.board.length
    wanted = (12 * 0.0254, length / 2.0, length - 12 * 0.0254)
    picked = [min(bands, key=lambda one: abs(one.station.x - x)) for x in wanted] if bands else []
    return list({id(one): one for one in picked}.values())


def _rails(job: PlannedJob, box: Box) -> Drawing:
    chosen = _chosen(job)
    parts = []
    for index, one in enumerate(chosen):
        width = box.width / len(chosen)
        parts.append(
            _rail(
                job, one, Box(box.left + index * width, box.bottom, box.left + (index + 1) * width, box.top)
            )
        )
    return drawing_of(parts)


def _rail(job: PlannedJob, station: StationBands, box: Box) -> Drawing:
    """One rail at full size with its flats, tuck, apex and deck line, the outer part of the half section."""
    x = station.station.x
    sections = job.plan.board.section_numbers(np.array([x]))
    half = float(job.plan.board.half_width(np.array([x]))[0])
    base = float(station.section.finished[:, 1].min())
    right = box.left + SHOWN + 4.0

    def at(points: Floats) -> Floats:
        return np.column_stack(
            (right + (points[:, 0] - half) * 1000.0, box.bottom + 9.0 + (points[:, 1] - base) * 1000.0)
        )

    window = Box(right - SHOWN, box.bottom + 5.0, right + 4.0, box.top - 6.0)
    outline = line(at(station.section.finished), Pen.OUTLINE)
    cuts = [line(at(flat), Pen.THIN) for flat in _flats(station)]
    seen = drawing_of([*cuts, outline]).clipped_to(window)
    name = " ".join(job.figures.station(station.station)) or station.station.name
    title = Text((right - SHOWN, box.top - 4.0), f"{name}: full size, flats thin", 3.6, Face.TITLE)
    tuck = float(np.ravel(sections.tuck)[0])
    roll = float(np.ravel(sections.roll)[0])
    apex = float(job.plan.board.bottom_at(np.array([x]), np.array([[1.0]]))[0, 0])
    low = box.bottom + 9.0
    edge_x, roll_x = right - tuck * 1000.0, max(right - roll * 1000.0, right - SHOWN)
    apex_y = low + (apex - base) * 1000.0
    say = job.figures
    marks = [
        line([(edge_x, low - 4.0), (edge_x, low + 3.0)], Pen.CUT),
        line([(right - 6.0, apex_y), (right + 4.0, apex_y)], Pen.LEVEL),
        line([(roll_x, apex_y + 4.0), (roll_x, box.top - 10.0)], Pen.STATION),
    ]
    hard = bool(np.ravel(sections.steep)[0] > 0.05)
    edge_words = "edge: do not sand over" if hard else "flat ends"
    words = [
        Text(
            (edge_x - 1.0, low - 4.4),
            f"{edge_words}, {say.pencil(tuck)} {say.unit}",
            WORDS,
            Face.STRONG,
            Anchor.RIGHT,
        ),
        Text((right - 7.0, apex_y), "apex", WORDS, Face.LABEL, Anchor.MIDDLE_RIGHT),
        Text((right - SHOWN, box.top - 9.0), f"deck turns, {say.pencil(roll)} {say.unit}", WORDS, Face.LABEL),
    ]
    return drawing_of([seen, *marks, Drawing((title, *words))])


def _flats(station: StationBands) -> list[Floats]:
    """The corners of the foam after the flats of deck and bottom, as drawn lines."""
    return [np.asarray(section_cut(station, side).after) for side in (Where.DECK, Where.BOTTOM)]


def _rows(job: PlannedJob) -> list[Row]:
    say, stations = job.figures, wall_stations(job)
    rows = [Row(f"from the tip, {say.unit}", heads(job), Kind.HEAD)]
    rows += _contours(job, stations)
    for side in (Where.DECK, Where.BOTTOM):
        rows += _flat_rows(job, stations, side)
    finished = {m.station.name: m for m in job.marks(StageName.FINISHED, Side.BOTTOM)}
    there = [float(job.plan.board.inner(np.array([s.x]))[0]) <= 0.0 for s in stations]
    rows.append(
        Row(
            "finished: calipers, not under",
            tuple(
                say.at_least(finished[s.name].thickness) if has else "–"
                for s, has in zip(stations, there, strict=True)
            ),
        )
    )
    rows.append(Row("read", kind=Kind.WRITE))
    return rows


def _contours(job: PlannedJob, stations: Sequence[RackStation]) -> list[Row]:
    """Depth at the stringer under the chord line; the foot says what is left of it further out."""
    if not job.plan.scoop.needed:
        return []
    board = job.plan.board
    x = np.array([s.x for s in stations])
    held = board.held_back(x)
    deep = tuple(shown_depth(job, float(value)) for value in held)
    return [Row("depth under the chord line at its middle", deep)]


def _flat_rows(job: PlannedJob, stations: Sequence[RackStation], side: Where) -> list[Row]:
    """Both pencil lines of the first flat on one side; the others are in the folder pack."""
    by_name = {one.station.name: [b for b in one.bands.bands if b.side is side] for one in job.plan.bands}
    if not any(by_name.values()):
        return []
    say = job.figures

    def cells(which: int) -> tuple[str, ...]:
        found: list[Band | None] = [next(iter(by_name.get(s.name, [])), None) for s in stations]
        return tuple("–" if band is None else say.pencil(band.lines[which].from_edge) for band in found)

    surfaces = {which: next(one[0].lines[which].on for one in by_name.values() if one) for which in (0, 1)}
    return [Row(f"flat 1, {side.value}: line on the {surfaces[which]}", cells(which)) for which in (0, 1)]


def _foot(job: PlannedJob, box: Box) -> Drawing:
    """Fin marks in one line, and the signatures."""
    say = job.figures
    fins = "; ".join(
        f"{fin.name.removesuffix(' left')} {say.along(fin.x)} from the tail, "
        + (f"{say.along(fin.y)} from the middle on both sides" if fin.y > 0.0 else "on the middle")
        for fin in job.plan.board.numbers.fins
        if fin.y >= 0.0
    )
    parts: list[Drawing] = []
    top = box.top - 4.0
    if job.plan.scoop.needed:
        words = (
            "Concave: three quarters of the depth half way from the middle to the edge line, then nothing."
        )
        parts.append(Drawing((fitted(Text((box.left, top), words, WORDS, Face.TEXT), box.width),)))
        top -= 5.2
    if fins:
        words = f"Fin boxes, trailing edge: {fins}."
        parts.append(Drawing((fitted(Text((box.left, top), words, WORDS, Face.TEXT), box.width),)))
    names = ("shaped by", "checked by", "date")
    width = box.width / len(names)
    for index, name in enumerate(names):
        left = box.left + index * width
        low = box.bottom + 0.4
        parts.append(write_line(name, Box(left, low, left + width - 5.0, low + 6.0)))
    return drawing_of(parts)
