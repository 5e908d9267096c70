"""The plan of the fin boxes: on every tail no line runs through a number or a name, and none touch."""

from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials
from foamwright.board.board import board_of
from foamwright.board.fin_layouts import LAYOUTS, Layout
from foamwright.board.numbers import Tail, TailKind
from foamwright.board.sheet import read_board
from foamwright.brief.brief import fins_at
from foamwright.brief.drafting import INCHES
from foamwright.finish.finished import Shop, finish_board
from foamwright.papers.drawing import Polygon, Polyline
from foamwright.papers.job_page import ground_for
from foamwright.papers.job_words import Figures
from foamwright.papers.pages_fins import fin_page
from foamwright.papers.style import Pen
from foamwright.papers.tiling import Paper, texts_of
from foamwright.units import INCH

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"
TAILS = {
    "square": (5.5 * INCH, Tail(TailKind.SQUASH, 0.75 * INCH, bow=0.375 * INCH)),
    "swallow": (5.5 * INCH, Tail(TailKind.SWALLOW, 0.0, 3.0 * INCH, tip_width=0.875 * INCH)),
    "round": (0.0, Tail(TailKind.ROUND)),
}
_PENS = {Pen.OUTLINE, Pen.CUT, Pen.HIDDEN, Pen.STATION, Pen.LEVEL, Pen.DIMENSION}


def page_of(tail, layout, paper):
    plain = read_board(EXAMPLE)
    width, form = TAILS[tail]
    plain = replace(plain, tail=form, outline=(replace(plain.outline[0], value=width), *plain.outline[1:]))
    board = board_of(replace(plain, fins=fins_at(plain, LAYOUTS[layout], INCHES)))
    return fin_page(finish_board(board, Shop(Materials(), Prices())), Figures(), ground_for(paper)).body


def dots_of(body):
    """Every line of the plan, looked at every 0.2 mm."""
    dots = []
    for item in body.items:
        if isinstance(item, Polyline | Polygon) and item.pen in _PENS:
            ends = np.asarray(item.points)
            ends = np.vstack([ends, ends[:1]]) if isinstance(item, Polygon) else ends
            for start, end in pairwise(ends):
                count = 2 + int(5.0 * np.hypot(*(end - start)))
                dots.append(start + np.linspace(0.0, 1.0, count)[:, None] * (end - start))
    return np.concatenate(dots)


@pytest.mark.parametrize("tail", TAILS)
@pytest.mark.parametrize("layout", list(Layout))
@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_no_line_runs_through_what_is_written(tail, layout, paper):
    body = page_of(tail, layout, paper)
    dots = dots_of(body)
    texts = [text for text in texts_of(body) if text.words != "!"]  # stands inside the caution's sign
    for text in texts:
        box = text.box().grown(-0.15)
        inside = (dots > (box.left, box.bottom)) & (dots < (box.right, box.top))
        assert not np.any(np.all(inside, axis=1)), text.words
    assert [(a.words, b.words) for a, b in combinations(texts, 2) if a.box().meets(b.box())] == []
    assert all(text.patch is None for text in texts)
