"""Outline: where it is widest, and how sharp the tail's corners are."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import Places
from foamwright.board.checks_size import check_width
from foamwright.board.numbers import TailKind
from foamwright.findings import Finding, Severity, said
from foamwright.units import INCH

AFT, FORWARD = 0.08, 0.10
"""How far aft and forward of the centre the wide point may lie, shares of the length. Common practice, no
source."""

SHARP = INCH / 4
"""Corners rounded less than this chip. Common practice, no source."""


WIDEST = {
    "wide-aft": ("wide-aft", "The wide point lies {off} aft of the centre, more than is usual."),
    "wide-forward": ("wide-forward", "The wide point lies {off} forward of the centre, more than is usual."),
}


def check_outline(board: Board, places: Places) -> list[Finding]:
    """Return what is unusual in the outline."""
    found = [check_width(board, places), _widest(board, places), _corners(board, places)]
    return [finding for finding in found if finding is not None]


def _widest(board: Board, places: Places) -> Finding | None:
    off = board.outline.wide_at - board.length / 2.0
    aft = off < 0.0
    limit = (AFT if aft else FORWARD) * board.length
    if abs(off) <= limit:
        return None
    code = "wide-aft" if aft else "wide-forward"
    return Finding(
        code,
        Severity.NOTE,
        places.at(board.outline.wide_at),
        abs(off),
        limit,
        "m",
        said(*WIDEST[code], off=places.amount(abs(off))),
        said(
            "widest.remedy",
            "Give wide_at, or check the widths 12 in from the tips: the wide point follows the wider end.",
        ),
    )


def _corners(board: Board, places: Places) -> Finding | None:
    tail = board.numbers.tail
    if tail.kind not in (TailKind.SQUARE, TailKind.SQUASH) or tail.corner_radius >= SHARP - 1e-6:
        return None
    return Finding(
        "tail-corner",
        Severity.NOTE,
        said("where.tail-corners", "tail corners"),
        tail.corner_radius,
        SHARP,
        "m",
        said(
            "tail-corner",
            "The tail's corners are rounded to {radius}: so sharp they chip, and cloth does "
            "not lie around them.",
            radius=places.amount(tail.corner_radius),
        ),
        said(
            "tail-corner.remedy",
            "Round them to {limit} or more, or plan to build them in resin.",
            limit=places.amount(SHARP),
        ),
    )
