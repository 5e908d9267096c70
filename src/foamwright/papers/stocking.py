"""The report of a stocking study on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.papers.drawing import Document, Drawing, Sheet
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import HEADING, Block, TextStyle, paragraph, stacked
from foamwright.papers.stocking_plots import ROW, Curve, KeptBlank, cost_plot, roles_plot
from foamwright.papers.style import Face, Lettering
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock, title_block

MARGIN, BLOCK_HEIGHT, GAP = 15.0, 12.0, 6.0
ROWS_ON_A_PAGE = 24
PLOT_HEIGHT = 62.0


@dataclass(frozen=True)
class Figures:
    """What the report shows.

    Attributes
    ----------
    title, summary
        Its name, and the answer in sentences.
    heads, rows
        The table of kept blanks, most used first.
    keep, curve
        How many are kept; cost and bound of a board against how many are kept.
    blanks, unserved
        The kept blanks with the boards they are for; lengths of boards made to order (metres).
    currency, metric
        How money and lengths are said.
    fates
        What became of all lays: words and count.
    said
        The assumptions.
    """

    title: str
    summary: tuple[str, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    keep: int
    curve: Curve
    blanks: tuple[KeptBlank, ...]
    unserved: tuple[float, ...]
    currency: str
    metric: bool
    fates: tuple[tuple[str, str], ...]
    said: tuple[str, ...]


WIDTHS = (54.0, 12.0, 13.0, 29.0, 20.0, 13.0, 14.0, 14.0, 11.0)
"""Millimetres of the table's columns."""


def stocking_document(figures: Figures) -> Document:
    """Return the report on A4 sheets: the answer, what each blank is for, the assumptions."""
    pages = [
        *_answer_pages(figures),
        *_role_pages(figures),
        [_heading("What this rests on"), _assumptions(figures)],
    ]
    width, height = Paper.A4.value
    sheets = tuple(
        Sheet(width, height, _page(blocks, figures, (n, len(pages))), figures.title)
        for n, blocks in enumerate(pages, start=1)
    )
    return Document(figures.title, sheets, "Which blanks to keep, with the proof")


def _page(blocks: Sequence[Block], figures: Figures, number: tuple[int, int]) -> Drawing:
    width, height = Paper.A4.value
    box = Box(MARGIN, MARGIN, width - MARGIN, MARGIN + BLOCK_HEIGHT)
    named = TitleBlock(figures.title, scale="", sheet=number[0], sheets=number[1])
    return stacked(blocks, GAP).at(MARGIN, height - MARGIN) + title_block(named, box)


def _heading(words: str) -> Block:
    return paragraph(words, _inside(), HEADING)


def _inside() -> float:
    return Paper.A4.value[0] - 2.0 * MARGIN


def _answer_pages(figures: Figures) -> list[list[Block]]:
    """The answer in words and its plot, then the table, as many rows on a page as stand there."""
    first = [
        _heading(figures.title),
        paragraph("\n".join(figures.summary), _inside(), TextStyle(Lettering.LABEL, Face.TEXT)),
        cost_block(figures, _inside()),
    ]
    tables = [kept_table(figures, n) for n in range(0, len(figures.rows), ROWS_ON_A_PAGE)]
    if len(figures.rows) <= 10:
        return [[*first, *tables]]
    return [first, *([block] for block in tables)]


def cost_block(figures: Figures, width: float) -> Block:
    """Return the plot of cost against how many are kept, with what its lines mean."""
    box = Box(16.0, -PLOT_HEIGHT - 10.0, width - 2.0, -10.0)
    plot = cost_plot(figures.curve, figures.keep, figures.currency, box)
    words = paragraph(
        "Solid: the best choice found of so many blanks. Dashed: no choice of so many costs less.", width
    )
    return stacked([Block(plot, PLOT_HEIGHT + 20.0), words], 1.0)


def kept_table(figures: Figures, first: int = 0) -> Block:
    """Return the table of kept blanks from one row on."""
    words = {0, 4}
    columns = [
        Column(head, width, Aligned.WORDS if place in words else Aligned.FIGURES)
        for place, (head, width) in enumerate(zip(figures.heads, WIDTHS, strict=True))
    ]
    rows = figures.rows[first : first + ROWS_ON_A_PAGE]
    return table(columns, rows, TableStyle(6.0, 2.2, Face.LABEL, 1.9))


def _role_pages(figures: Figures) -> list[list[Block]]:
    most = 30
    parts = [figures.blanks[n : n + most] for n in range(0, len(figures.blanks), most)]
    return [[_heading("What each is for"), roles_block(figures, part, _inside())] for part in parts]


def roles_block(figures: Figures, blanks: Sequence[KeptBlank], width: float) -> Block:
    """Return the plot of what some kept blanks are for, with what its marks mean."""
    plot = roles_plot(blanks, figures.unserved, figures.metric, width).moved(0.0, -6.0)
    words = paragraph(
        "Rings: boards by their length, more of them a larger ring. Upright line: length of the blank. "
        "Last row: boards that get a blank made to order.",
        width,
    )
    return stacked([Block(plot, 8.0 + ROW * (len(blanks) + 1)), words], 2.0)


def _assumptions(figures: Figures) -> Block:
    fates = [f"{words}: {count}" for words, count in figures.fates]
    lines = [*figures.said, "", "Pairs of board and candidate, each at its best of all slides:", *fates]
    return stacked([paragraph(words, _inside()) for words in lines if words], 2.5)
