"""Tips: thick enough to survive the shaping, the glassing and the beach."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import TIP, Places
from foamwright.findings import Finding, Severity, said
from foamwright.units import INCH

NOSE_TIP = INCH / 2
"""Thinnest nose tip. Common practice, no source."""

TAIL_TIP = 5 * INCH / 8
"""Thinnest tail tip (3/4 in for small waves). Common practice, no source."""

LEAST_TIP = INCH / 8
"""A tip thinner than this cannot be shaped at all. Common practice, no source."""

ROUNDING = 1e-6
"""Numbers given as the limit itself pass."""


HOPELESS = ("tip-thin.stop", "The {tip} is {thickness} thick; no foam can be shaped to that.")
THIN = ("tip-thin", "The {tip} is {thickness} thick; under {limit} it breaks easily.")


def check_tips(board: Board, places: Places) -> list[Finding]:
    """Return what is wrong with the thickness of the tips."""
    found = [
        _thin(end, float(board.thickness(x)), limit, places)
        for end, x, limit in (("nose", board.length, NOSE_TIP), ("tail", 0.0, TAIL_TIP))
    ]
    return [finding for finding in found if finding is not None]


def _thin(end: str, thickness: float, limit: float, places: Places) -> Finding | None:
    if thickness >= limit - ROUNDING:
        return None
    stop = thickness < LEAST_TIP
    tip, thick, least = said(*TIP[end]), places.amount(thickness), places.amount(limit)
    return Finding(
        "tip-thin",
        Severity.STOP if stop else Severity.WARNING,
        tip,
        thickness,
        limit,
        "m",
        said(*HOPELESS, tip=tip, thickness=thick)
        if stop
        else said(*THIN, tip=tip, thickness=thick, limit=least),
        said("tip-thin.remedy", "Give the {tip} {limit} or more.", tip=tip, limit=least),
    )
