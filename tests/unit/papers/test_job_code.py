"""The code on the job sheet: every square where the code's maker puts it, read back from the drawing."""

from __future__ import annotations

import numpy as np
import pytest
import segno

from foamwright.papers.drawing import Polygon
from foamwright.papers.job_code import MODULE, QUIET, square_code
from foamwright.papers.job_files import blank_block
from foamwright.papers.job_sheet import job_document
from foamwright.papers.tiling import Paper
from foamwright.units import System
from tests.plans import demo_plan
from tests.unit.papers.job_pages import outside, texts, touching, words_of

ADDRESS = "https://192.168.178.120:8421/jobs/1204/bench"


def squares_of(drawing, corner):
    """The squares that are dark when the code is looked at where each one's middle is."""
    boxes = [item.box() for item in drawing.items if isinstance(item, Polygon) and item.pen is None]
    size = round(max(box.right for box in boxes) / MODULE) - QUIET
    middles = MODULE * (np.arange(size) + 0.5 + QUIET)
    return [
        [
            any(b.left < x + corner[0] < b.right and b.bottom < corner[1] - y < b.top for b in boxes)
            for x in middles
        ]
        for y in middles
    ]


@pytest.mark.parametrize("address", [ADDRESS, "http://[fd00::1]:8420/jobs/1/bench"])
def test_the_drawn_squares_are_the_codes_own(address):
    code = segno.make(address, error="m", micro=False, boost_error=False)
    drawn = squares_of(square_code(address).drawing, (0.0, 0.0))
    assert drawn == [[bool(square) for square in row] for row in code.matrix]
    assert square_code(address).height == pytest.approx(MODULE * len(list(code.matrix_iter(border=QUIET))))


def test_another_address_is_another_code():
    assert squares_of(square_code(ADDRESS).drawing, (0, 0)) != squares_of(
        square_code(ADDRESS.replace("1204", "1205")).drawing, (0, 0)
    )


@pytest.fixture(scope="module", params=[(p, s) for p in (Paper.A4, Paper.LETTER) for s in System], ids=str)
def sheets(request):
    paper, system = request.param
    plan = demo_plan("groyne")
    return job_document(plan, paper, system, blank_block(plan), ADDRESS).sheets


def test_the_sheet_of_the_order_says_the_address_and_touches_nothing(sheets):
    (order,) = [sheet for sheet in sheets if sheet.title == "Order of the work"]
    assert "".join(words_of(order)).count(ADDRESS) == 1
    assert touching(order) == []
    assert outside(order) == []
    assert not [words for words in words_of(order) if "…" in words]


def test_nothing_stands_in_the_quiet_zone(sheets):
    (order,) = [sheet for sheet in sheets if sheet.title == "Order of the work"]
    squares = [
        i.box() for i in order.drawing.items if isinstance(i, Polygon) and i.pen is None and _is_row(i)
    ]
    left, right = min(b.left for b in squares), max(b.right for b in squares)
    foot, top = min(b.bottom for b in squares), max(b.top for b in squares)
    quiet = QUIET * MODULE - 1e-6
    for text in texts(order.drawing.items):
        box = text.box()
        aside = box.right < left - quiet or box.left > right + quiet
        assert aside or box.top < foot - quiet or box.bottom > top + quiet, text.words


def _is_row(polygon):
    return abs(polygon.box().height - MODULE) < 1e-6


def test_without_an_address_there_is_no_code():
    plan = demo_plan("groyne")
    bare = job_document(plan, Paper.A4, System.INCH, blank_block(plan))
    assert not [w for sheet in bare.sheets for w in words_of(sheet) if "tablet" in w]
