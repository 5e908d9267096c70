"""The title block: in rows of any height and width no caption runs into what it names."""

from itertools import combinations

import pytest

from foamwright.papers.drawing_box import Box
from foamwright.papers.tiling import texts_of
from foamwright.papers.titleblock import TitleBlock, title_block

BLOCKS = {
    "nest": TitleBlock("Blocks for Harbour", refers_to="tail: from the block's tail end", scale="", sheets=4),
    "stocking": TitleBlock("Which 4 blanks to keep", scale="", sheets=3),
    "job": TitleBlock(
        "Rocker",
        job="job 7",
        board="Groyne 6'4 1/2\"",
        blank="Q-6-10 1/2",
        date="25 November 2026",
        refers_to="Seen from below, tail to the left.",
        scale="1:10",
        page="B3",
        sheet=12,
        sheets=14,
    ),
}


@pytest.mark.parametrize("name", BLOCKS)
@pytest.mark.parametrize("width", [90.0, 120.0, 180.0, 273.0])
@pytest.mark.parametrize("height", [9.0, 11.0, 12.0, 13.0, 14.5, 16.0, 20.0, 21.5, 24.0, 30.0])
def test_no_words_of_the_block_touch(name, width, height):
    box = Box(10.0, 10.0, 10.0 + width, 10.0 + height)
    texts = texts_of(title_block(BLOCKS[name], box))
    meeting = [(a.words, b.words) for a, b in combinations(texts, 2) if a.box().grown(-1e-6).meets(b.box())]
    assert meeting == []
    assert all(box.holds(text.box(), 0.6) for text in texts)


def test_a_caption_makes_way_for_what_it_names():
    box = Box(0.0, 0.0, 70.0, 8.0)
    words = [text.words for text in texts_of(title_block(BLOCKS["stocking"], box))]
    assert "1 of 3" in words
