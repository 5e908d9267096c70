"""A map of deviation: both faces seen from above, with how much more or less foam in each cell."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.exchange.deviation import Deviation
from foamwright.papers.drawing import Document, Drawing, Sheet, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.job_page import Headed, ground_for
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.svg import sheet_around
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.shape.curves import Floats

LONG, ACROSS = 0.2, 0.3
"""Scales along and across: numbers need room."""

FACES = {"deck": "seen from above", "bottom": "seen through the deck"}

GAP, CAPTION = 22.0, 8.0
ABOVE = 1.6
MARKED = 0.001
"""Metres: more than that either way is set in a strong face."""


def deviation_sheet(board: Board, deviation: Deviation) -> Sheet:
    """Return the map as a sheet just large enough for it; tenths of a millimetre, + is more foam."""
    scale = np.array([LONG, ACROSS]) * 1000.0
    deck = _face(board, deviation, deviation.deck, scale) + _named(board, "deck, seen from above", scale)
    bottom = _face(board, deviation, deviation.bottom, scale)
    bottom += _named(board, "bottom, seen through the deck", scale)
    bottom = bottom.moved(0.0, deck.box().bottom - GAP - bottom.box().top)
    words = (
        f"More (+) or less (-) foam than {board.name}, mm; root mean square "
        f"{deviation.root_mean_square * 1000:.2f}, worst {deviation.worst * 1000:+.2f}. Empty: not scanned. "
        "Along 1:5, across 3:10."
    )
    box = deck.box()
    heading = Drawing((Text((box.left, box.top + 9.0), words, Lettering.LABEL, Face.TEXT),))
    return sheet_around(heading + deck + bottom, f"Deviation from {board.name}")


def deviation_document(board: Board, deviation: Deviation) -> Document:
    """Return the map as A4 pages, a face on each, as large as stands there."""
    ground = ground_for(Paper.A4)
    room = ground.body
    along = room.width / board.length
    wide = 2.0 * float(np.max(board.half_width(np.linspace(0.0, board.length, 201))))
    scale = np.array([along, min((room.height - CAPTION) / wide, 2.0 * along)])
    pages = [_page(board, deviation, face, (room, scale)) for face in FACES]
    block = TitleBlock("", board=board.name)
    sheets = tuple(ground.sheet(page, block, n, len(pages)) for n, page in enumerate(pages, start=1))
    return Document(f"Deviation from {board.name}", sheets, "More or less foam than a board sheet says")


def _page(board: Board, deviation: Deviation, face: str, at: tuple[Box, Floats]) -> Headed:
    room, scale = at
    cells = deviation.deck if face == "deck" else deviation.bottom
    middle = (room.bottom + CAPTION + room.top) / 2.0
    told = (
        f"Root mean square of both faces {deviation.root_mean_square * 1000:.2f} mm, worst "
        f"{deviation.worst * 1000:+.2f} mm. Strong: more than {MARKED * 1000:.0f} mm. Empty: not scanned. "
        "The tail is at the left."
    )
    note = Drawing((Text((room.left, room.bottom + 2.0), told, Lettering.LABEL, Face.TEXT),))
    ratios = tuple(f"1:{1000.0 / ratio:.1f}" for ratio in scale)
    return Headed(
        f"Deviation, {face}",
        f"More (+) or less (-) foam than {board.name} has, mm; {FACES[face]}.",
        _face(board, deviation, cells, scale).moved(room.left, middle) + note,
        f"{ratios[0]} along, {ratios[1]} across",
        "the board sheet",
    )


def _face(board: Board, deviation: Deviation, cells: Floats, scale: Floats) -> Drawing:
    x = board.length * (1.0 - np.cos(np.linspace(0.0, np.pi, 401))) / 2.0
    half = board.half_width(x)
    ring = np.vstack([np.stack([x, half], axis=1), np.stack([x, -half], axis=1)[::-1]])
    outline = shape(thinned_points(ring * scale), Pen.OUTLINE)
    stringer = line([(0.0, 0.0), (board.length * scale[0], 0.0)], Pen.LEVEL)
    return drawing_of([outline, stringer, Drawing(tuple(_figures(board, deviation, cells, scale)))])


def _named(board: Board, name: str, scale: Floats) -> Drawing:
    half = float(np.max(board.half_width(np.linspace(0.0, board.length, 401))))
    return Drawing((Text((0.0, half * scale[1] + 3.0), name, Lettering.LABEL, Face.TITLE),))


def _figures(board: Board, deviation: Deviation, cells: Floats, scale: Floats) -> list[Text]:
    half = board.half_width(deviation.x)
    texts = []
    for i, x in enumerate(deviation.x):
        for j, share in enumerate(deviation.share):
            value = cells[i, j]
            if np.isnan(value) or half[i] * scale[1] < 12.0:
                continue
            # Beside the stringer's line, not across it.
            lift = ABOVE if abs(share) < 1e-9 else 0.0
            place = (float(x * scale[0]), float(share * half[i] * scale[1]) + lift)
            face = Face.FIGURES_STRONG if abs(value) > MARKED else Face.FIGURES
            texts.append(Text(place, _signed(value), Lettering.NOTE, face, Anchor.MIDDLE))
    return texts


def _signed(metres: float) -> str:
    words = f"{metres * 1000:+.1f}"
    return "0.0" if float(words) == 0.0 else words
