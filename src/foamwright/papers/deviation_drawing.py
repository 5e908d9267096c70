"""A map of deviation: both faces seen from above at 1:10, with how much more or less foam in each cell."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.exchange.deviation import Deviation
from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, line, shape
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.svg import sheet_around
from foamwright.shape.curves import Floats

LONG, ACROSS = 0.2, 0.3
"""Scales along and across: numbers need room."""

GAP = 22.0
MARKED = 0.001
"""Metres: more than that either way is set in a strong face."""


def deviation_sheet(board: Board, deviation: Deviation) -> Sheet:
    """Return the map as a sheet just large enough for it; tenths of a millimetre, + is more foam."""
    deck = _face(board, deviation, deviation.deck, "deck, seen from above")
    bottom = _face(board, deviation, deviation.bottom, "bottom, seen through the deck")
    bottom = bottom.moved(0.0, deck.box().bottom - GAP - bottom.box().top)
    words = (
        f"More (+) or less (-) foam than {board.name}, mm; root mean square "
        f"{deviation.root_mean_square * 1000:.2f}, worst {deviation.worst * 1000:+.2f}. Empty: not scanned. "
        "Along 1:5, across 3:10."
    )
    box = deck.box()
    heading = Drawing((Text((box.left, box.top + 9.0), words, Lettering.LABEL, Face.TEXT),))
    return sheet_around(heading + deck + bottom, f"Deviation from {board.name}")


def _face(board: Board, deviation: Deviation, cells: Floats, name: str) -> Drawing:
    x = board.length * (1.0 - np.cos(np.linspace(0.0, np.pi, 401))) / 2.0
    half = board.half_width(x)
    ring = np.vstack([np.stack([x, half], axis=1), np.stack([x, -half], axis=1)[::-1]])
    scale = np.array([LONG, ACROSS]) * 1000.0
    outline = shape(thinned_points(ring * scale), Pen.OUTLINE)
    stringer = line([(0.0, 0.0), (board.length * scale[0], 0.0)], Pen.LEVEL)
    label = Drawing((Text((0.0, float(np.max(half)) * scale[1] + 3.0), name, Lettering.LABEL, Face.TITLE),))
    return drawing_of([outline, stringer, label, Drawing(tuple(_figures(board, deviation, cells, scale)))])


def _figures(board: Board, deviation: Deviation, cells: Floats, scale: Floats) -> list[Text]:
    half = board.half_width(deviation.x)
    texts = []
    for i, x in enumerate(deviation.x):
        for j, share in enumerate(deviation.share):
            value = cells[i, j]
            if np.isnan(value) or half[i] * scale[1] < 12.0:
                continue
            place = (float(x * scale[0]), float(share * half[i] * scale[1]))
            face = Face.FIGURES_STRONG if abs(value) > MARKED else Face.FIGURES
            texts.append(Text(place, f"{value * 1000:+.1f}", Lettering.NOTE, face, Anchor.MIDDLE))
    return texts
