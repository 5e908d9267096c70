"""Cutting a full-size drawing into pages: sizes of paper, the window of a page, the grid of windows."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, StrEnum

import numpy as np

from foamwright.papers.drawing import Clip, Drawing, Polygon, Polyline, Text, drawing_of, line
from foamwright.papers.drawing_box import Box, Points, points_of
from foamwright.papers.drawing_clip import Cutter, cutter
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.style import Pen

OVERLAP = 12.0
"""What neighbouring pages show twice, millimetres: room for a registration mark with paper around it."""

MARGIN = 7.0
"""Bare edge of the paper, millimetres: a little more than the quarter inch that common printers need."""

GUTTER = 5.0
"""Room outside the window for the neighbours' labels, millimetres."""


_WORDS_CLEAR = 2.0
"""Paper kept between lettering and a cut edge where the grid can be laid so, millimetres."""


class Paper(Enum):
    """Paper by its short and long side, millimetres: ISO 216 A4 and A3, ANSI A (8 1/2 by 11 in)."""

    A4 = (210.0, 297.0)
    LETTER = (215.9, 279.4)
    A3 = (297.0, 420.0)

    @property
    def pack(self) -> Paper:
        """What the sheets that are read are printed on: A4 where only the templates want A3."""
        return Paper.A4 if self is Paper.A3 else self


class Orientation(StrEnum):
    """Which side of the paper lies level."""

    LANDSCAPE = "landscape"
    PORTRAIT = "portrait"


@dataclass(frozen=True, slots=True)
class Page:
    """A page: paper and how it lies."""

    paper: Paper
    orientation: Orientation

    @property
    def width(self) -> float:
        """Level side, millimetres."""
        return self.paper.value[self.orientation is Orientation.LANDSCAPE]

    @property
    def height(self) -> float:
        """Upright side, millimetres."""
        return self.paper.value[self.orientation is Orientation.PORTRAIT]

    @property
    def strip(self) -> Box:
        """Foot of the page for the scale bars and the title block."""
        tall = 25.0 if self.orientation is Orientation.LANDSCAPE else 46.0
        return Box(MARGIN, MARGIN, self.width - MARGIN, MARGIN + tall)

    @property
    def window(self) -> Box:
        """The part of the page that shows the drawing, in the page's frame."""
        return Box(
            MARGIN + GUTTER,
            self.strip.top + GUTTER,
            self.width - MARGIN - GUTTER,
            self.height - MARGIN - GUTTER,
        )


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Part (a letter where there are several), row (1 at the top) and column (1 at the left) of a tile.

    A part that is whole on one page has row and column 0 and is called by its letter alone.
    """

    part: str
    row: int
    column: int

    def __str__(self) -> str:
        """Return ``row-column``, after the part's letter."""
        return f"{self.part} {self.row}-{self.column}".strip() if self.row else self.part

    @property
    def left(self) -> Place:
        """The place to the left."""
        return Place(self.part, self.row, self.column - 1)

    @property
    def right(self) -> Place:
        """The place to the right."""
        return Place(self.part, self.row, self.column + 1)

    @property
    def above(self) -> Place:
        """The place above."""
        return Place(self.part, self.row - 1, self.column)

    @property
    def below(self) -> Place:
        """The place below."""
        return Place(self.part, self.row + 1, self.column)


@dataclass(frozen=True, slots=True)
class Tile:
    """One page's worth: where it is in the grid, what it sees (in the drawing's frame), what is there."""

    place: Place
    window: Box
    drawing: Drawing


@dataclass(frozen=True, slots=True)
class Tiling:
    """A drawing cut into tiles; empty ones are left out.

    Attributes
    ----------
    page
        Paper and how it lies, the same for every tile.
    whole
        The drawing that was cut, ready for cutting.
    outlines
        Its outlines, with only as many points as a key map shows.
    tiles
        In reading order.
    """

    page: Page
    whole: Cutter
    outlines: Drawing
    tiles: tuple[Tile, ...]

    @property
    def places(self) -> frozenset[Place]:
        """Where there is a tile."""
        return frozenset(tile.place for tile in self.tiles)


def tiled(drawings: Sequence[Drawing], paper: Paper) -> tuple[Tiling, ...]:
    """Return each of `drawings` cut into pages of `paper`, all lying the way that takes fewest.

    Parameters
    ----------
    drawings
        At full size, millimetres, anywhere in the plane; parts of one template. Several are lettered.
    paper
        Size of paper.

    Returns
    -------
    tuple of Tiling
        Every point of a drawing lies in the window of at least one of its tiles. Lettering stands whole
        on at least one where the grid can be laid so; else each tile shows the part it sees.
    """
    pages = [Page(paper, orientation) for orientation in Orientation]
    wholes = [cutter(drawing) for drawing in drawings]
    ways = [[_needed(whole, page) for whole in wholes] for page in pages]
    page, windows = min(zip(pages, ways, strict=True), key=lambda way: sum(map(len, way[1])))
    return tuple(
        _tiling(whole, page, _named(kept, part))
        for whole, kept, part in zip(wholes, windows, part_names(len(drawings)), strict=True)
    )


def part_names(count: int) -> list[str]:
    """Return a letter for each of `count` parts; a single part needs none."""
    letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    if count == 1:
        return [""]
    return [letters[i] if i < len(letters) else f"Z{i - len(letters) + 2}" for i in range(count)]


def _tiling(whole: Cutter, page: Page, windows: Mapping[Place, Box]) -> Tiling:
    held = list(windows.values())
    orphans = tuple(text for text in texts_of(whole.drawing) if not any(w.holds(text.box()) for w in held))
    tiles = tuple(
        Tile(place, window, whole.cut(window) + _seen(orphans, window))
        for place, window in sorted(windows.items(), key=lambda pair: pair[0])
    )
    return Tiling(page, whole, _outlines(whole.drawing), tiles)


def _named(windows: Mapping[Place, Box], part: str) -> dict[Place, Box]:
    """The windows with their part's letter; a lettered part with one page needs no row and column."""
    if part and len(windows) == 1:
        return dict.fromkeys([Place(part, 0, 0)], next(iter(windows.values())))
    return {Place(part, place.row, place.column): window for place, window in windows.items()}


def _outlines(drawing: Drawing) -> Drawing:
    """Outlines with as few points as stay within a third of a millimetre at full size."""
    return drawing_of(
        line(thinned_points(_run(item), 0.3), Pen.CUT)
        for item in drawing.items
        if isinstance(item, (Polyline, Polygon)) and item.pen is Pen.OUTLINE
    )


def _run(item: Polyline | Polygon) -> Points:
    return points_of(np.vstack((item.points, item.points[:1]))) if isinstance(item, Polygon) else item.points


def _seen(orphans: tuple[Text, ...], window: Box) -> Drawing:
    """Lettering that no window holds whole, as far as this one shows it."""
    met = tuple(item for item in orphans if item.box().meets(window))
    return Drawing((Clip(window, met),)) if met else Drawing()


def _windows(drawing: Drawing, page: Page) -> dict[Place, Box]:
    """The grid of windows around the drawing, rows counted from the top."""
    box, window = drawing.box(), page.window
    frames = [text.box().grown(_WORDS_CLEAR) for text in texts_of(drawing)]
    lefts = _starts((box.left, box.right), window.width, [(f.left, f.right) for f in frames])
    bottoms = _starts((box.bottom, box.top), window.height, [(f.bottom, f.top) for f in frames])
    return {
        Place("", row, column): Box(left, bottom, left + window.width, bottom + window.height)
        for row, bottom in enumerate(reversed(bottoms), start=1)
        for column, left in enumerate(lefts, start=1)
    }


def _starts(extent: tuple[float, float], size: float, words: list[tuple[float, float]]) -> list[float]:
    """Where windows of `size` start along one axis, so that as little lettering as possible is cut."""
    low, high = extent
    step = size - OVERLAP
    count = max(1, math.ceil((high - low - OVERLAP) / step))
    spare = count * step + OVERLAP - (high - low)
    middle = low - spare / 2
    shifts = sorted(
        (index * spare / 32 - spare / 2 for index in range(33)), key=lambda shift: (abs(shift), shift)
    )
    grids = ([middle + shift + index * step for index in range(count)] for shift in shifts)
    return min(grids, key=_cut_words(size, words))


def _cut_words(size: float, words: list[tuple[float, float]]) -> Callable[[list[float]], int]:
    def count(starts: list[float]) -> int:
        return sum(not any(s <= low and high <= s + size for s in starts) for low, high in words)

    return count


def _needed(whole: Cutter, page: Page) -> dict[Place, Box]:
    """Windows of the grid without those whose drawing is all in the overlap with neighbours that stay."""
    windows = _windows(whole.drawing, page)
    kept = dict(windows)
    for place, window in windows.items():
        own = _own_part(place, window, kept)
        if not whole.touches(own):
            del kept[place]
    return kept


def _own_part(place: Place, window: Box, kept: dict[Place, Box]) -> Box:
    """The window without the strips that neighbours show too."""
    left, right, above, below = (
        OVERLAP if neighbour in kept else 0.0
        for neighbour in (place.left, place.right, place.above, place.below)
    )
    return Box(window.left + left, window.bottom + below, window.right - right, window.top - above)


def texts_of(drawing: Drawing) -> Iterator[Text]:
    """Yield every line of text in `drawing`, those inside windows too."""
    for item in drawing.items:
        if isinstance(item, Text):
            yield item
        elif isinstance(item, Clip):
            yield from texts_of(Drawing(item.items))
