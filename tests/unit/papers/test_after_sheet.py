"""Pages of what comes after the foam: fins at scale with their marks, materials, the water, nothing lost."""

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials
from foamwright.board.board import board_of
from foamwright.board.fin_layouts import LAYOUTS, Layout
from foamwright.board.sheet import read_board
from foamwright.brief.brief import fins_at
from foamwright.brief.drafting import INCHES
from foamwright.finish.finished import Shop, finish_board
from foamwright.papers.after_sheet import After, after_document
from foamwright.papers.drawing import Polygon
from foamwright.papers.job_page import ground_for
from foamwright.papers.job_words import Figures
from foamwright.papers.pages_fins import fin_page
from foamwright.papers.pages_materials import materials_page
from foamwright.papers.pages_water import WaterWords, water_page
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.style import Pen
from foamwright.papers.tiling import Paper, texts_of
from foamwright.papers.titleblock import TitleBlock
from foamwright.sheets.rider import Experience, Lungs, RiderNumbers, Water
from foamwright.units import System
from foamwright.water.afloat import craft_of
from foamwright.water.body import body_of
from foamwright.water.trim import lie_for_nose

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"
FIGURES = Figures(System.MM)
WORDS = WaterWords("Groyne", "Mara", 0.47)


@pytest.fixture(scope="module")
def finished():
    plain = read_board(EXAMPLE)
    board = board_of(replace(plain, fins=fins_at(plain, LAYOUTS[Layout.THREE], INCHES)))
    return finish_board(board, Shop(Materials(), Prices()))


@pytest.fixture(scope="module")
def afloat(finished):
    rider = RiderNumbers("Mara", 72.0, 1.74, Experience.ADVANCED, Lungs.RESTING, Water(15.0, 35.0))
    return lie_for_nose(craft_of(finished.board, 2.6), body_of(rider), 1025.8).afloat


def words_of(page):
    return [text.words for text in texts_of(page.body)]


def denominator(page):
    return float(page.scale.split(":")[1])


def rings(page, pen):
    return [item.points for item in page.body.items if isinstance(item, Polygon) and item.pen is pen]


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_everything_stands_on_the_page(finished, afloat, paper):
    ground = ground_for(paper)
    for page in (
        fin_page(finished, FIGURES, ground),
        materials_page(finished, FIGURES, ground),
        water_page(afloat, WORDS, FIGURES, ground),
    ):
        box, body = page.body.box(), ground.body
        assert box.left >= body.left - 0.5, page.title
        assert box.right <= body.right + 0.5, page.title
        assert box.bottom >= body.bottom - 0.5, page.title
        assert box.top <= body.top + 0.5, page.title


def test_boxes_are_drawn_to_scale_on_the_side_they_have_from_below(finished):
    page = fin_page(finished, FIGURES, ground_for(Paper.A4))
    scale = denominator(page)
    drawn = rings(page, Pen.CUT)[: len(finished.boxes)]
    stringer = np.mean([ring[:, 1].mean() for ring in drawn])
    for fit, ring in zip(finished.boxes, drawn, strict=True):
        long = max(np.hypot(*step) for step in np.diff(ring, axis=0))
        assert long == pytest.approx(1000.0 * fit.fin.box_length / scale, rel=1e-6)
        if fit.fin.y:
            assert math.copysign(1.0, ring[:, 1].mean() - stringer) == -math.copysign(1.0, fit.fin.y)


def test_fin_page_says_every_mark(finished):
    words = words_of(fin_page(finished, FIGURES, ground_for(Paper.A4)))
    for fit in finished.boxes:
        assert fit.fin.name in words
        assert FIGURES.nearest(fit.fin.x) in words
        assert FIGURES.at_most(fit.worst.above) in words
    assert any("router" in line for line in words)


@pytest.mark.parametrize(("system", "unit", "other"), [(System.INCH, "in", "mm"), (System.MM, "mm", "in")])
def test_bending_is_told_in_the_asked_unit(finished, system, unit, other):
    page = materials_page(finished, Figures(system), ground_for(Paper.A4))
    words = " ".join(words_of(page))
    start = words.index("On supports")
    told = words[start : words.index("Textbook", start)]
    assert re.search(rf"bends it by [\d/ .]+ {unit}, of which [\d/ .]+ {unit} are", told)
    assert not re.search(rf"\d {other}\b", told)


def test_materials_page_adds_up_and_warns_and_shows_no_money(finished):
    """Money is shown only to those whom the owner lets see it; this page hangs in the bay."""
    words = words_of(materials_page(finished, FIGURES, ground_for(Paper.A4)))
    assert f"{1000 * finished.mass.total:.0f}" in words
    assert f"{finished.price.total:.2f}" not in words
    for line in finished.lines:
        assert line.name in words
    assert not any(finished.price.currency in word for word in words)
    text = " ".join(words)
    for word in ("styrene", "gloves", "data sheet"):
        assert word in text


def test_water_page_is_to_scale_and_says_statics(afloat):
    page = water_page(afloat, WORDS, FIGURES, ground_for(Paper.A4))
    words = words_of(page)
    assert FIGURES.nearest(afloat.rider.place) in words
    assert f"{math.degrees(afloat.pitch):.1f}" in words
    assert any(line.startswith("Statics") for line in words)
    (board,) = rings(page, Pen.OUTLINE)
    long = np.max(np.hypot(*(board[:, None] - board[None, :]).transpose(2, 0, 1)))
    assert long == pytest.approx(1000.0 * afloat.craft.board.length / denominator(page), rel=0.01)


def test_document_is_the_same_twice_and_numbers_its_sheets(finished, afloat):
    block = TitleBlock("", job=" ", board="Groyne", date=" ")
    both = [after_document(After(finished, afloat, WORDS), Paper.A4, FIGURES, block) for _ in range(2)]
    assert [sheet.title for sheet in both[0].sheets] == ["Fin boxes", "Glassing", "In the water"]
    assert pdf_bytes(both[0]) == pdf_bytes(both[1])


def test_no_boxes_no_rider_no_pages_of_them(finished):
    bare = replace(finished, boxes=())
    document = after_document(After(bare), Paper.LETTER, FIGURES, TitleBlock(""))
    assert [sheet.title for sheet in document.sheets] == ["Glassing"]
