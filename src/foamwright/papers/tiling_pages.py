"""Full-size pages: each tile with its frame, marks, neighbours, scale bars and title block; and a cover."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from foamwright.papers.dimension_marks import (
    REGISTRATION_RADIUS,
    inch_bar,
    millimetre_bar,
    registration_mark,
    write_in_box,
)
from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import TextStyle, numbered, paragraph, stacked
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone
from foamwright.papers.tiling import (
    GUTTER,
    OVERLAP,
    Orientation,
    Page,
    Paper,
    Place,
    Tile,
    Tiling,
    tiled,
)
from foamwright.papers.tiling_map import key_map, key_mark
from foamwright.papers.titleblock import TitleBlock, title_block

BARS_WIDTH = 116.0
_MAP_WIDTH = 40.0
_TICK = 4.0

# Shares of an edge at which its two marks may stand, the wanted one first.
_MARK_SHARES = (
    (0.25, 0.3, 0.2, 0.35, 0.15, 0.4, 0.1, 0.45),
    (0.75, 0.7, 0.8, 0.65, 0.85, 0.6, 0.9, 0.55),
)


@dataclass(frozen=True, slots=True)
class FullSize:
    """Full-size drawings to be put together from pages.

    Attributes
    ----------
    drawings
        Parts of one template, millimetres, at full size.
    block
        Title block; sheets are numbered here.
    rightwards, upwards
        What lies to the right and above ("nose this way", "deck side up").
    notes
        How to use it, one sentence each, for the cover.
    """

    drawings: tuple[Drawing, ...]
    block: TitleBlock
    rightwards: str
    upwards: str
    notes: tuple[str, ...] = ()


def full_size_sheets(full: FullSize, paper: Paper) -> tuple[Sheet, ...]:
    """Return the cover and the pages of `full` on `paper`, in reading order."""
    tilings = tiled(full.drawings, paper)
    pairs = [(tiling, tile) for tiling in tilings for tile in tiling.tiles]
    count = len(pairs) + 1
    cover = _cover(full, tilings, count)
    pages = [
        _page(full, tiling, tile, (number, count)) for number, (tiling, tile) in enumerate(pairs, start=2)
    ]
    return (cover, *pages)


def millimetre_bar_place(page: Page) -> tuple[float, float]:
    """Return the lower left end of the 100 mm bar on every full-size `page`, mm from its lower left."""
    strip = page.strip
    low = strip.top - 25.0 if page.orientation is Orientation.PORTRAIT else strip.bottom
    return strip.left + 2.0, low + 13.0


def _page(full: FullSize, tiling: Tiling, tile: Tile, sheet: tuple[int, int]) -> Sheet:
    page = tiling.page
    window = page.window
    dx, dy = window.left - tile.window.left, window.bottom - tile.window.bottom
    parts = [
        tile.drawing.moved(dx, dy),
        _frame(window, tile.place, tiling),
        _registration(tile, tiling).moved(dx, dy),
        _neighbours(window, tile.place, tiling),
        _ways(window, full),
        _strip(replace(full.block.numbered(*sheet), page=str(tile.place)), tiling, tile.place),
    ]
    return Sheet(page.width, page.height, drawing_of(parts), f"{full.block.what}, page {tile.place}")


def _frame(window: Box, place: Place, tiling: Tiling) -> Drawing:
    """Edges of the window: dashed where the page is to be cut, thin elsewhere; ticks where the next lies."""
    left, bottom, right, top = window.left, window.bottom, window.right, window.top
    has = tiling.places.__contains__
    edges = [
        line([(left, bottom), (left, top)], Pen.TRIM if has(place.left) else Pen.GRID),
        line([(left, bottom), (right, bottom)], Pen.TRIM if has(place.below) else Pen.GRID),
        line([(right, bottom), (right, top)], Pen.GRID),
        line([(left, top), (right, top)], Pen.GRID),
    ]
    if has(place.right):
        x = right - OVERLAP
        edges += [line([(x, y), (x, y + way * _TICK)], Pen.THIN) for y, way in ((bottom, -1), (top, 1))]
    if has(place.above):
        y = top - OVERLAP
        edges += [line([(x, y), (x + way * _TICK, y)], Pen.THIN) for x, way in ((left, -1), (right, 1))]
    return drawing_of(edges)


def _registration(tile: Tile, tiling: Tiling) -> Drawing:
    """Marks in every strip that a neighbour shows too, in the drawing's own frame."""
    window, place, has = tile.window, tile.place, tiling.places.__contains__
    inset = OVERLAP / 2
    upright = [
        x
        for x, there in ((window.left + inset, place.left), (window.right - inset, place.right))
        if has(there)
    ]
    level = [
        y
        for y, there in ((window.bottom + inset, place.below), (window.top - inset, place.above))
        if has(there)
    ]
    marks = [
        _clear_mark(tiling, [(x, window.bottom + share * window.height) for share in shares])
        for x in upright
        for shares in _MARK_SHARES
    ]
    marks += [
        _clear_mark(tiling, [(window.left + share * window.width, y) for share in shares])
        for y in level
        for shares in _MARK_SHARES
    ]
    return drawing_of(registration_mark(at) for at in marks)


def _clear_mark(tiling: Tiling, places: list[tuple[float, float]]) -> tuple[float, float]:
    """The first place with nothing of the drawing under the mark; both pages find the same one."""
    reach = 2.0 * REGISTRATION_RADIUS
    clear = (at for at in places if not tiling.whole.touches(Box(*at, *at).grown(reach)))
    return next(clear, places[0])


def _neighbours(window: Box, place: Place, tiling: Tiling) -> Drawing:
    """Labels of the neighbours in the gutter, and what to do at each edge."""
    x, y = window.centre
    gap = GUTTER / 2
    edges = [
        (place.left, (window.left - gap, y), math.pi / 2, "cut here, lay over page {}"),
        (place.right, (window.right + gap, y), math.pi / 2, "page {} lies over this edge"),
        (place.below, (x, window.bottom - gap), 0.0, "cut here, lay over page {}"),
        (place.above, (x, window.top + gap), 0.0, "page {} lies over this edge"),
    ]
    return Drawing(
        tuple(
            Text(at, words.format(neighbour), 2.2, Face.LABEL, Anchor.MIDDLE, angle)
            for neighbour, at, angle, words in edges
            if neighbour in tiling.places
        )
    )


def _ways(window: Box, full: FullSize) -> Drawing:
    """In the upper gutter: what lies to the right and what is up."""
    y = window.top + GUTTER / 2 + 0.2
    end = window.right - OVERLAP - 2.0
    up = Text((window.left + 4.0, y), full.upwards, 2.2, Face.LABEL, Anchor.MIDDLE_LEFT)
    right = Text((end - 10.5, y), full.rightwards, 2.2, Face.LABEL, Anchor.MIDDLE_RIGHT)
    return drawing_of(
        [
            _arrow(math.pi / 2, 4.0).moved(window.left + 1.5, y - 2.0),
            _arrow(0.0, 9.0).moved(end - 9.0, y),
            Drawing((up, right)),
        ]
    )


def _arrow(angle: float, length: float) -> Drawing:
    head = min(2.4, 0.6 * length)
    tip = shape([(length, 0.0), (length - head, 0.9), (length - head, -0.9)], None, Tone.INK)
    return (line([(0.0, 0.0), (length - head, 0.0)], Pen.CUT) + tip).turned(angle)


def _strip(block: TitleBlock, tiling: Tiling, place: Place | None) -> Drawing:
    """Foot of the page: scale bars, key map with this page marked, title block."""
    strip = tiling.page.strip
    if tiling.page.orientation is Orientation.LANDSCAPE:
        map_box = Box(
            strip.left + BARS_WIDTH + 2.0, strip.bottom, strip.left + BARS_WIDTH + _MAP_WIDTH, strip.top
        )
        block_box = Box(map_box.right + 4.0, strip.bottom, strip.right, strip.top)
    else:
        map_box = Box(strip.left + BARS_WIDTH + 4.0, strip.top - 23.0, strip.right, strip.top)
        block_box = Box(strip.left, strip.bottom, strip.right, strip.top - 25.0)
    parts = [_bars(tiling.page), title_block(block, block_box)]
    if place is not None and len(tiling.tiles) > 1:
        parts.append(key_mark(tiling, map_box.grown(-2.0), place))
    return drawing_of(parts)


def _bars(page: Page) -> Drawing:
    """The two bars that tell whether the printer kept the size."""
    x, y = millimetre_bar_place(page)
    words = "Check the printer: measure both bars. If either is off, print again at 100 %."
    note = Text((x, y + 8.4), words, 1.8, Face.LABEL, Anchor.LEFT)
    return millimetre_bar((x, y)) + inch_bar((x, y - 10.5)) + Drawing((note,))


def _cover(full: FullSize, tilings: Sequence[Tiling], count: int) -> Sheet:
    """How the pages go together, the key map, and boxes to note the measured bars in."""
    page = tilings[0].page
    area = Box(page.strip.left, page.strip.top + 6.0, page.strip.right, page.height - 10.0)
    heading = paragraph(full.block.what, area.width, TextStyle(Lettering.TITLE, Face.TITLE, 1.4))
    lead = paragraph(_lead(full, count), area.width, TextStyle(Lettering.LABEL, Face.TEXT))
    head = stacked([heading, lead], 2.0)
    steps = numbered(_steps(tilings, full.notes), _steps_width(area))
    foot = area.bottom + max(steps.height, 30.0)
    map_box = Box(area.left, foot + 6.0, area.right, area.top - head.height - 4.0)
    parts = [
        head.at(area.left, area.top),
        _maps(tilings, map_box),
        steps.at(area.left, foot),
        _readings(area, foot),
        _strip(full.block.numbered(1, count), tilings[0], None),
    ]
    return Sheet(page.width, page.height, drawing_of(parts), f"{full.block.what}, how the pages go together")


def _maps(tilings: Sequence[Tiling], box: Box) -> Drawing:
    """Key maps side by side, in as many rows as keep them about square."""
    columns = math.ceil(math.sqrt(len(tilings)))
    rows = math.ceil(len(tilings) / columns)
    width, height = box.width / columns, box.height / rows
    cells = [
        Box(0.0, 0.0, width, height).moved(
            box.left + (i % columns) * width, box.top - (i // columns + 1) * height
        )
        for i in range(len(tilings))
    ]
    return drawing_of(
        key_map(tiling, cell.grown(-2.0) if len(tilings) > 1 else cell)
        for tiling, cell in zip(tilings, cells, strict=True)
    )


def _steps_width(area: Box) -> float:
    return area.width - 62.0


def _lead(full: FullSize, count: int) -> str:
    pages = "one page" if count == 2 else f"{count - 1} pages"
    lettered = "A letter stands for each drawing; where" if len(full.drawings) > 1 else "Where"
    return (
        f"{full.block.board}. Full size on {pages}. {lettered} a drawing takes several pages they are "
        "numbered row-column, row 1 at the top."
    )


def _steps(tilings: Sequence[Tiling], notes: Sequence[str]) -> list[str]:
    first = (
        "Print every page at 100 %, with no fitting to the page. "
        "Measure both bars with the tape you work with."
    )
    if all(len(tiling.tiles) == 1 for tiling in tilings):
        return [first, *notes]
    return [
        first,
        "Where an edge is dashed (left, below), cut along it. The other edges stay.",
        "Begin at the lower left. Lay each cut edge over its neighbour so that the crosses meet and the edge "
        "lies on the short ticks; tape it down.",
        *notes,
    ]


def _readings(area: Box, top: float) -> Drawing:
    """Boxes for what the bars measured on this printer."""
    left, right = area.right - 54.0, area.right
    boxes = [
        write_in_box(Box(left, top - 12.0, right, top), "the 100 mm bar measures", "mm"),
        write_in_box(Box(left, top - 26.0, right, top - 14.0), "the 4 in bar measures", "in"),
    ]
    return drawing_of(boxes)
