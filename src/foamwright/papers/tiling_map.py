"""The key map: all tiles of a full-size drawing, small, with the drawing's outline."""

from __future__ import annotations

from functools import reduce

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame
from foamwright.papers.drawing_box import Affine, Box, box_around
from foamwright.papers.drawing_clip import cut_to
from foamwright.papers.drawing_text import shrunk
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone
from foamwright.papers.tiling import OVERLAP, Place, Tile, Tiling

_LABEL_SPOTS = ((0.5, 0.5), (0.2, 0.18), (0.2, 0.82), (0.8, 0.18), (0.8, 0.82))


def key_map(tiling: Tiling, box: Box) -> Drawing:
    """Return the tiles with their labels and the outline, as large as `box` allows, centred in it."""
    by = _fit(tiling, box)
    small = tiling.outlines.mapped(by)
    cells = [(tile.place, _cell(tile, tiling, by)) for tile in tiling.tiles]
    height = min(_label_height(place, cell) for place, cell in cells)
    labels = [_label(place, cell, small, height) for place, cell in cells]
    return drawing_of([*(frame(cell, Pen.GRID) for _, cell in cells), small, *labels])


def key_mark(tiling: Tiling, box: Box, here: Place) -> Drawing:
    """Return the tiles without labels, centred in `box`, the one at `here` filled in."""
    by = _fit(tiling, box)
    cells = [
        frame(_cell(tile, tiling, by), Pen.GRID, Tone.INK if tile.place == here else Tone.NONE)
        for tile in tiling.tiles
    ]
    return drawing_of([*cells, tiling.outlines.mapped(by)])


def _fit(tiling: Tiling, box: Box) -> Affine:
    """The map that brings all tiles into `box`."""
    around = reduce(Box.joined, (tile.window for tile in tiling.tiles))
    scale = min(box.width / around.width, box.height / around.height)
    (x, y), (u, v) = around.centre, box.centre
    return Affine(a=scale, d=scale, e=u - scale * x, f=v - scale * y)


def _cell(tile: Tile, tiling: Tiling, by: Affine) -> Box:
    """The tile on the map; neighbours meet in the middle of what both show."""
    window, place = tile.window, tile.place
    left, right, above, below = (
        OVERLAP / 2 if neighbour in tiling.places else 0.0
        for neighbour in (place.left, place.right, place.above, place.below)
    )
    own = Box(window.left + left, window.bottom + below, window.right - right, window.top - above)
    return box_around(by(own.corners))


def _label_height(place: Place, cell: Box) -> float:
    """Capital height at which the label fits a corner of its cell, mm."""
    most = min(Lettering.HEADING, 0.3 * cell.height)
    return shrunk(Text((0.0, 0.0), str(place), most, Face.FIGURES), 0.36 * cell.width).height


def _label(place: Place, cell: Box, outline: Drawing, height: float) -> Drawing:
    """The label where it is clear of the outline, in the middle if it can be."""
    spots = [
        Text(
            (cell.left + across * cell.width, cell.bottom + up * cell.height),
            str(place),
            height,
            Face.FIGURES,
            Anchor.MIDDLE,
        )
        for across, up in _LABEL_SPOTS
    ]
    clear = [text for text in spots if not cut_to(outline, text.box()).items]
    return Drawing(((clear or spots)[0],))
