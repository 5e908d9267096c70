"""Drawings of blocks and what is cut from them: the end of a block, and every strip from the side."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.making.nest.layout import LaidBlock, LaidStrip, Layout, alike, from_the_top
from foamwright.making.nest.order import Order
from foamwright.making.nest.stacks import Lain
from foamwright.papers.dimension import Lettered, horizontal_dimension, vertical_dimension
from foamwright.papers.drawing import Document, Drawing, Sheet, Text, drawing_of, frame, hatch, line, shape
from foamwright.papers.drawing_box import Box, Points, points_of
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import HEADING, Block, TextStyle, fitted, paragraph, stacked
from foamwright.papers.nest_words import (
    answer_lines,
    content_words,
    cutting_words,
    slicing_words,
    strip_title,
    way_rows,
)
from foamwright.papers.style import Anchor, Face, Hatching, Lettering, Pen, Tone
from foamwright.papers.titleblock import TitleBlock, title_block
from foamwright.units import System, format_with_unit

WIDTH, HEIGHT, MARGIN, FOOT, GAP = 297.0, 210.0, 12.0, 12.0, 6.0
INSIDE = WIDTH - 2.0 * MARGIN
LIST = 84.0
"""Millimetres for the list of cuts beside a strip."""

SCALES = (10, 12, 15, 20, 25, 30, 40, 50, 100)
MM = 1000.0
SMALL = Lettered(1.8)
PLAIN = TextStyle(2.2, Face.TEXT)


def nest_document(layout: Layout, cautions: Sequence[str], system: System) -> Document:
    """Return the whole order on A4 sheets: the answer, then every way a block is cut.

    Parameters
    ----------
    layout
        The order laid out.
    cautions
        Sentences said beside the cuts.
    system
        Units of every number.
    """
    first = [
        paragraph(layout.order.name, INSIDE, HEADING),
        paragraph("\n".join(answer_lines(layout)), INSIDE, TextStyle(Lettering.LABEL, Face.TEXT)),
        _ways(layout),
        paragraph("\n".join(cautions), INSIDE, PLAIN),
    ]
    pages = _paged(first) + [
        page for block in layout.blocks for page in _paged(_block_parts(layout, block, cautions, system))
    ]
    sheets = tuple(_sheet(page, layout.order, (n, len(pages))) for n, page in enumerate(pages, start=1))
    return Document(f"Blocks for {layout.order.name}", sheets, "How blanks are cut from blocks of foam")


def block_sheet(layout: Layout, block: LaidBlock, cautions: Sequence[str], system: System) -> Sheet:
    """Return one way a block is cut on one sheet as high as it takes."""
    body = stacked(_block_parts(layout, block, cautions, system), GAP)
    height = body.height + 2.0 * MARGIN
    return Sheet(WIDTH, height, body.at(MARGIN, height - MARGIN), f"Block {block.number}")


def _paged(parts: Sequence[Block]) -> list[list[Block]]:
    """Parts on pages, as many on each as stand there."""
    room = HEIGHT - 2.0 * MARGIN - FOOT - GAP
    pages: list[list[Block]] = []
    left = 0.0
    for part in parts:
        if not pages or part.height > left:
            pages.append([])
            left = room
        pages[-1].append(part)
        left -= part.height + GAP
    return pages


def _sheet(parts: Sequence[Block], order: Order, number: tuple[int, int]) -> Sheet:
    box = Box(MARGIN, MARGIN, WIDTH - MARGIN, MARGIN + FOOT)
    named = TitleBlock(
        f"Blocks for {order.name}",
        refers_to="tail: from the block's tail end; level line: above the face the block lies on",
        scale="",
        sheet=number[0],
        sheets=number[1],
    )
    drawing = stacked(parts, GAP).at(MARGIN, HEIGHT - MARGIN) + title_block(named, box)
    return Sheet(WIDTH, HEIGHT, drawing, f"Blocks for {order.name}")


def _ways(layout: Layout) -> Block:
    columns = [
        Column("way", 14.0, Aligned.FIGURES),
        Column("blocks", 16.0, Aligned.FIGURES),
        Column("kind", 36.0, Aligned.WORDS),
        Column("strips", 16.0, Aligned.FIGURES),
        Column("what one gives", 169.0, Aligned.WORDS),
        Column("yield", 16.0, Aligned.FIGURES),
    ]
    return table(columns, way_rows(layout), TableStyle(6.0, 2.2, Face.LABEL, 1.9))


def _block_parts(layout: Layout, block: LaidBlock, cautions: Sequence[str], system: System) -> list[Block]:
    """The parts of one way at the largest usual scale; a little smaller where one page then holds it."""
    least = _scale(block)
    room = HEIGHT - 2.0 * MARGIN - FOOT - GAP
    near = [scale for scale in SCALES if least <= scale <= 1.4 * least]
    for scale in near:
        parts = _parts_at(layout, block, cautions, (scale, system))
        if sum(part.height + GAP for part in parts) - GAP <= room:
            return parts
    return _parts_at(layout, block, cautions, (least, system))


def _parts_at(
    layout: Layout, block: LaidBlock, cautions: Sequence[str], shown: tuple[int, System]
) -> list[Block]:
    scale, system = shown
    strips = [_strip(layout.order, block, run, scale, system) for run in alike(block.strips)]
    return [_head(layout, block, cautions, shown), *strips]


def _scale(block: LaidBlock) -> int:
    """The first usual scale at which the block's side stands beside its list of cuts."""
    room = INSIDE - LIST - 14.0
    return next((s for s in SCALES if block.block.length * MM / s <= room), SCALES[-1])


def _head(layout: Layout, block: LaidBlock, cautions: Sequence[str], shown: tuple[int, System]) -> Block:
    """The end of the block with its slices, and in words what it is, how it is sliced, what can hurt."""
    scale, system = shown
    kind = block.block
    wide, high = kind.width * MM / scale, kind.height * MM / scale
    sides = " x ".join(format_with_unit(side, system) for side in (kind.length, kind.width, kind.height))
    times = "once" if block.times == 1 else f"{block.times} times"
    title = f"Block {block.number}, cut {times}: {kind.name}, {sides}"
    column = INSIDE - wide - 26.0
    text = stacked(
        [paragraph(words, column, style) for words, style in _words(layout, block, cautions, shown)], 1.2
    )
    end = _end_view(layout.order, block, scale, system).moved(8.0, -high - 8.0)
    top = paragraph(title, INSIDE, TextStyle(Lettering.FIGURE, Face.TITLE))
    below = Block(end + text.at(wide + 26.0, -4.0), max(high + 17.0, text.height + 4.0))
    return stacked([top, below], 1.0)


def _words(
    layout: Layout, block: LaidBlock, cautions: Sequence[str], shown: tuple[int, System]
) -> list[tuple[str, TextStyle]]:
    scale, system = shown
    return [
        (f"Gives {content_words(layout.order, block)}; {block.share(layout.order):.0%} of its foam.", PLAIN),
        (slicing_words(layout, block, system), PLAIN),
        (cutting_words(layout, system), PLAIN),
        (" ".join(cautions), TextStyle(1.8, Face.STRONG, 1.7)),
        (
            f"1:{scale}. Left: cut through at the middle of the block, seen from its tail end.",
            TextStyle(1.8, Face.TEXT),
        ),
    ]


def _end_view(order: Order, block: LaidBlock, scale: int, system: System) -> Drawing:
    """The block cut through at its middle, seen from the tail: strips, their letters, their pieces."""
    kind = block.block
    whole = Box(0.0, 0.0, kind.width * MM / scale, kind.height * MM / scale)
    parts = [hatch(Hatching.CORE, whole.corners)]
    for strip in block.strips:
        parts += [_piece_end(order, block, strip, lain, scale) for lain in strip.stack]
        left, right = strip.start * MM / scale, strip.stop * MM / scale
        parts += [line([(x, 0.0), (x, whole.top)], Pen.CUT) for x in (left, right)]
        at = ((left + right) / 2.0, whole.top + 3.4)
        parts.append(Drawing((Text(at, strip.name, Lettering.LABEL, Face.STRONG, Anchor.MIDDLE),)))
    parts.append(frame(whole, Pen.OUTLINE))
    words = format_with_unit(kind.width, system)
    parts.append(horizontal_dimension((0.0, 0.0), (whole.right, 0.0), words, -6.0, SMALL))
    up = format_with_unit(kind.height, system)
    parts.append(vertical_dimension((0.0, 0.0), (0.0, whole.top), up, -5.0, SMALL))
    return drawing_of(parts)


def _piece_end(order: Order, block: LaidBlock, strip: LaidStrip, lain: Lain, scale: int) -> Drawing:
    """A piece cut through at the middle of the block."""
    piece = order.pieces[lain.piece]
    at = block.block.length / 2.0 - lain.along
    low, high = (
        lain.up + float(np.interp(at, piece.profile.stations, side))
        for side in (piece.profile.low, piece.profile.high)
    )
    box = Box(strip.start, low, strip.start + piece.width, high)
    return shape(points_of(np.asarray(box.corners) * (MM / scale)), Pen.CUT, Tone.PAPER)


def _strip(order: Order, block: LaidBlock, run: tuple[LaidStrip, ...], scale: int, system: System) -> Block:
    """A strip from the side with its cuts numbered, and their list beside it."""
    kind, strip = block.block, run[0]
    whole = Box(0.0, 0.0, kind.length * MM / scale, kind.height * MM / scale)
    rings = [_ring(order, lain, scale) for lain in strip.stack]
    parts = [hatch(Hatching.CORE, whole.corners, *rings), frame(whole, Pen.OUTLINE)]
    parts += [shape(ring, Pen.CUT, Tone.PAPER) for ring in rings]
    cuts = from_the_top(strip.stack)
    parts += [_label(order, lain, (n, scale)) for n, lain in enumerate(cuts, start=1)]
    length = format_with_unit(kind.length, system)
    parts.append(horizontal_dimension((0.0, 0.0), (whole.right, 0.0), length, -6.0, SMALL))
    ends = [("tail end", 0.5, Anchor.LEFT), ("nose end", whole.right - 0.5, Anchor.RIGHT)]
    parts += [Drawing((Text((x, -4.0), words, 1.8, Face.LABEL, side),)) for words, x, side in ends]
    title = Text((0.0, whole.top + 3.0), strip_title(run, system), Lettering.LABEL, Face.STRONG)
    view = drawing_of([*parts, Drawing((title,))]).moved(0.0, -whole.top - 6.0)
    listed = _list(order, cuts, system)
    return Block(
        view + listed.at(min(INSIDE - LIST, whole.width + 16.0), -1.0),
        max(whole.height + 14.0, listed.height + 3.0),
    )


def _ring(order: Order, lain: Lain, scale: int) -> Points:
    profile = order.pieces[lain.piece].profile
    every = slice(None, None, max(1, profile.stations.size // 160))
    kept = np.unique(np.append(np.arange(profile.stations.size)[every], profile.stations.size - 1))
    x = (profile.stations[kept] + lain.along) * MM / scale
    low, high = ((side[kept] + lain.up) * MM / scale for side in (profile.low, profile.high))
    return points_of(np.concatenate([np.stack([x, low], 1), np.stack([x, high], 1)[::-1]]))


def _label(order: Order, lain: Lain, named: tuple[int, int]) -> Drawing:
    """The number of the cut and the blank's name, set along the piece at its middle."""
    number, scale = named
    piece = order.pieces[lain.piece]
    profile = piece.profile
    middle = 0.45 * profile.length
    height = float(np.interp(middle, profile.stations, (profile.low + profile.high) / 2.0)) + lain.up
    thick = float(np.interp(middle, profile.stations, profile.high - profile.low)) * MM / scale
    size = min(Lettering.LABEL, 0.5 * thick)
    at = ((middle + lain.along) * MM / scale, height * MM / scale)
    words = f"{number}  {piece.blank}{' half' if piece.halves else ''}"
    return Drawing(
        (fitted(Text(at, words, size, Face.LABEL, Anchor.MIDDLE), 0.8 * profile.length * MM / scale),)
    )


def _list(order: Order, cuts: Sequence[Lain], system: System) -> Block:
    columns = [
        Column("cut", 9.0, Aligned.FIGURES),
        Column("piece", 31.0, Aligned.WORDS),
        Column("tail", 21.0, Aligned.FIGURES),
        Column("level line", 23.0, Aligned.FIGURES),
    ]
    rows = [
        (
            str(n),
            f"{order.pieces[lain.piece].blank}{' half' if order.pieces[lain.piece].halves else ''}",
            format_with_unit(lain.along, system),
            format_with_unit(lain.up, system),
        )
        for n, lain in enumerate(cuts, start=1)
    ]
    return table(columns, rows, TableStyle(4.6, 1.9, Face.LABEL, 1.7))
