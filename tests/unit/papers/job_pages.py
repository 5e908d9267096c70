"""What tests ask of the pages of a job sheet: their words and whether any of them touch."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from foamwright.papers.drawing import Clip, Text
from foamwright.papers.job_files import blank_block
from foamwright.papers.job_sheet import job_document
from tests.plans import demo_plan


@cache
def document(name, paper, system):
    plan = demo_plan(name)
    return job_document(plan, paper, system, blank_block(plan))


def texts(items):
    """Every line of text, those seen through a window too."""
    for item in items:
        if isinstance(item, Clip):
            yield from texts(item.items)
        elif isinstance(item, Text) and item.words.strip():
            yield item


def words_of(sheet):
    return [text.words for text in texts(sheet.drawing.items)]


def touching(sheet):
    """Pairs of lines of text that run into each other by more than a hair."""
    found = list(texts(sheet.drawing.items))
    boxes = [replace(text, patch=None).box() for text in found]
    sides = np.array([(b.left, b.bottom, b.right, b.top) for b in boxes])
    pairs = []
    for i in range(len(found)):
        rest = sides[i + 1 :]
        across = np.minimum(sides[i, 2], rest[:, 2]) - np.maximum(sides[i, 0], rest[:, 0])
        up = np.minimum(sides[i, 3], rest[:, 3]) - np.maximum(sides[i, 1], rest[:, 1])
        pairs += [
            (found[i].words, found[i + 1 + k].words) for k in np.flatnonzero((across > 0.25) & (up > 0.45))
        ]
    return pairs


def outside(sheet, edge=6.0):
    """Lines of text nearer to the paper's edge than a printer prints."""
    room = (edge, edge, sheet.width - edge, sheet.height - edge)
    boxes = [(text, replace(text, patch=None).box()) for text in texts(sheet.drawing.items)]
    return [
        text.words
        for text, b in boxes
        if b.left < room[0] or b.bottom < room[1] or b.right > room[2] or b.top > room[3]
    ]
