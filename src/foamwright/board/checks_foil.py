"""Foil: where the board is thickest, how evenly it thins, and how full it comes out."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import Places
from foamwright.findings import Finding, Severity
from foamwright.shape.quadrature import stretched
from foamwright.units import INCH

AFT, FORWARD = 0.045, 0.10
"""How far aft and forward of the centre the thickest point may lie, shares of the length. Common practice,
no source."""

LAST = 12 * INCH
"""The stretch before a tip in which thickness may fall too fast."""

STEEP = 0.75
"""Share of the whole fall in thickness that may lie in the last stretch. Common practice, no source."""

FULL = (0.55, 0.82)
"""Volume as a share of plan area times thickest: what rails and foil usually leave. Common practice, no
source."""


def check_foil(board: Board, places: Places) -> list[Finding]:
    """Return what is unusual in the foil."""
    flow = [_flow(board, end, places) for end in ("tail", "nose")]
    found = [_thickest(board, places), *flow, _fullness(board)]
    return [finding for finding in found if finding is not None]


def _thickest(board: Board, places: Places) -> Finding | None:
    off = board.thickest_at - board.length / 2.0
    aft = off < 0.0
    limit = (AFT if aft else FORWARD) * board.length
    if abs(off) <= limit:
        return None
    way, cost = ("aft", "the tail sinks and paddling suffers") if aft else ("forward", "it is stiff to turn")
    return Finding(
        "thick-aft" if aft else "thick-forward",
        Severity.WARNING if aft else Severity.NOTE,
        places.at(board.thickest_at),
        abs(off),
        limit,
        "m",
        f"The thickest point lies {places.amount(abs(off))} {way} of the centre: {cost}.",
        f"Bring the thickest point within {places.amount(limit)} of the centre.",
    )


def _flow(board: Board, end: str, places: Places) -> Finding | None:
    tip, inner = (0.0, LAST) if end == "tail" else (board.length, board.length - LAST)
    at_tip, thickest = float(board.thickness(tip)), board.numbers.thickest
    share = (float(board.thickness(inner)) - at_tip) / max(thickest - at_tip, 1e-9)
    if share <= STEEP:
        return None
    return Finding(
        "thickness-flow",
        Severity.WARNING,
        f"foil, {places.between(*sorted((tip, inner)))}",
        share,
        STEEP,
        "1",
        f"{share:.0%} of the fall from the thickest point to the {end} tip comes in the last "
        f"{places.amount(LAST)}: the foil does not flow.",
        f"Make the board thinner {places.amount(LAST)} from the {end}, or the {end} tip thicker.",
    )


def _fullness(board: Board) -> Finding | None:
    full = board.mass.volume / (plan_area(board) * board.numbers.thickest)
    if FULL[0] <= full <= FULL[1]:
        return None
    word, limit = ("little", FULL[0]) if full < FULL[0] else ("much", FULL[1])
    return Finding(
        "volume-odd",
        Severity.NOTE,
        "the whole board",
        full,
        limit,
        "1",
        f"{board.mass.volume * 1000.0:.1f} litres are {word} for this outline and thickness: they fill "
        f"{full:.0%} of it, where {FULL[0]:.0%} to {FULL[1]:.0%} is usual.",
        "Look at the thickness 12 in from the tips and at the rails: one of them is far from the usual.",
    )


def plan_area(board: Board) -> float:
    """Return the area inside the outline, m2 (a notch is not inside)."""
    x, weight = stretched(board.panels, 32)
    return float(2.0 * weight @ (board.half_width(x) - board.inner(x)))
