"""The square code that opens a job's bench on a tablet: drawn as squares, so that no printer blurs it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from foamwright.papers.drawing import Drawing, Polygon, Text
from foamwright.papers.drawing_text import Block, TextStyle, fitted, paragraph, stacked
from foamwright.papers.job_page import BODY_HEAD
from foamwright.papers.style import Face, Tone

MODULE = 0.8
"""Side of one square, mm: a tablet held at half a metre reads it."""

QUIET = 4
"""Bare squares around it (ISO/IEC 18004)."""

_STYLE = TextStyle(2.7, Face.TEXT, 1.7)
_SMALL = 2.2
"""Capital height of the address, mm."""


def bench_code(address: str, width: float) -> Block:
    """Return the code of an address, and beside it what it is for.

    Parameters
    ----------
    address
        What the tablet opens.
    width
        Room for code and words together, mm.
    """
    side = code_side(address)
    inset, code = MODULE * QUIET, square_code(address)
    room = width - side + inset
    words = "Read this with the tablet at the rack: it opens these steps there, one after the other."
    beside = stacked([paragraph("The bench", room, BODY_HEAD), paragraph(words, room, _STYLE)], 1.2)
    above = max(side - inset, beside.height)
    under = fitted(Text((0.0, -above - 1.6 * _SMALL), address, _SMALL, Face.TEXT), width)
    return Block(
        code.at(-inset, inset) + beside.at(side - inset, 0.0) + Drawing((under,)), above + 2 * _SMALL
    )


def code_side(address: str) -> float:
    """Return the side of an address's code, quiet zone included, mm."""
    return MODULE * (len(code_rows(address)) + 2 * QUIET)


def square_code(address: str) -> Block:
    """Return the code alone, its quiet zone included, as rows of filled rectangles."""
    rows = code_rows(address)
    drawn = tuple(
        _filled(first, number, count) for number, row in enumerate(rows) for first, count in _dark_runs(row)
    )
    return Block(Drawing(drawn), code_side(address))


def code_rows(address: str) -> list[list[bool]]:
    """Return the code's squares, row by row from the top; True is dark."""
    # Loaded only where a code is drawn.
    import segno

    code = segno.make(address, error="m", micro=False, boost_error=False)
    return [[bool(square) for square in row] for row in code.matrix]


def _dark_runs(row: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """Where each run of dark squares begins, and how many they are."""
    at = 0
    for dark, group in groupby(row):
        count = len(list(group))
        if dark:
            yield at, count
        at += count


def _filled(first: int, row: int, count: int) -> Polygon:
    """One run of dark squares; the top left corner of the quiet zone is the origin, y up."""
    left, top = MODULE * (QUIET + first), -MODULE * (QUIET + row)
    right, foot = left + MODULE * count, top - MODULE
    return Polygon(np.array([(left, top), (right, top), (right, foot), (left, foot)]), None, Tone.INK)
