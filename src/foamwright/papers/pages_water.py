"""The water page: the board and its rider at rest, to scale, with the numbers that go with it."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

import numpy as np

from foamwright.papers.dimension import leader
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box, points_of
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import paragraph, stacked
from foamwright.papers.job_page import BODY_TEXT, Ground, Headed
from foamwright.papers.job_views import View, scale_for
from foamwright.papers.job_words import Figures
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone
from foamwright.water.afloat import Afloat
from foamwright.water.checks import STATICS
from foamwright.water.picture import Outline, WaterPicture, picture_of

_STYLE = TableStyle(row_height=6.0)


@dataclass(frozen=True, slots=True)
class WaterWords:
    """What the page calls board and rider, and the litres per kilogram between them."""

    board: str
    rider: str
    litres_per_kg: float


def water_page(afloat: Afloat, words: WaterWords, figures: Figures, ground: Ground) -> Headed:
    """Return the page of a rider lying on a board in still water."""
    body = ground.body
    notes = stacked(
        [
            table(_COLUMNS, _rows(afloat, words, figures), _STYLE),
            paragraph(f"{STATICS.sentence} {STATICS.remedy}", body.width, BODY_TEXT),
        ],
        3.0,
    )
    room = Box(body.left, body.bottom + notes.height + 6.0, body.right, body.top - 2.0)
    picture, view = _picture(picture_of(afloat), room)
    return Headed(
        title="In the water",
        purpose=f"{words.board} under {words.rider}, lying still.",
        body=drawing_of([picture, notes.at(body.left, body.bottom + notes.height)]),
        scale=view.scale,
        refers_to="Seen from the side, nose to the right; heights from the water's surface.",
    )


_COLUMNS = [Column("what", 150.0, Aligned.WORDS), Column("figure", 40.0)]


def _rows(afloat: Afloat, words: WaterWords, figures: Figures) -> list[tuple[str, str]]:
    unit = figures.unit
    return [
        (f"breastbone from the tail, {unit}", figures.nearest(afloat.rider.place)),
        ("nose up, degrees", f"{degrees(afloat.pitch):.1f}"),
        ("of the board under water, %", f"{100 * afloat.share_under:.0f}"),
        (f"nose above water, {unit}", figures.nearest(afloat.nose_above)),
        (f"tail above water, {unit}", figures.nearest(afloat.tail_above)),
        (f"breastbone above water, {unit}", figures.nearest(afloat.breastbone_above)),
        ("litres of board for each kilogram of rider", f"{words.litres_per_kg:.2f}"),
        ("water, kg/m3", f"{afloat.density:.1f}"),
    ]


def _picture(picture: WaterPicture, room: Box) -> tuple[Drawing, View]:
    outlines = (*picture.rider, picture.board)
    points = np.concatenate([outline.points for outline in outlines])
    low, high = points.min(axis=0), points.max(axis=0)
    size = high - low
    scale = max(scale_for(float(size[0]), room.width - 30.0), scale_for(float(size[1]), room.height - 8.0))
    view = View(room.left + 15.0 - float(low[0]) * 1000.0 / scale, 0.0, scale)
    base = room.bottom + 3.0 - float(low[1]) * 1000.0 / scale
    view = View(view.left, base, scale)
    water = [(room.left, view.y(0.0)), (room.right, view.y(0.0))]
    drawn = [_shape(outline, view, Pen.THIN) for outline in picture.rider]
    board = _shape(picture.board, view, Pen.OUTLINE)
    return drawing_of([*drawn, board, line(water, Pen.LEVEL), *_labels(picture, view, room)]), view


def _shape(outline: Outline, view: View, pen: Pen) -> Drawing:
    placed = points_of([(view.x(float(x)), view.y(float(z))) for x, z in outline.points])
    return shape(placed, pen, Tone.PAPER)


def _labels(picture: WaterPicture, view: View, room: Box) -> list[Drawing]:
    level = Text((room.left, view.y(0.0) + 1.2), "water", Lettering.LABEL, Face.LABEL, Anchor.LEFT)
    drawn = [Drawing((level,))]
    for n, spot in enumerate(s for s in picture.spots if s.name.startswith(("centre", "breastbone"))):
        at = (view.x(spot.forward), view.y(spot.above))
        drawn.append(leader(at, (at[0] + 16.0, room.top - 3.0 - 6.0 * n), spot.name))
    return drawn
