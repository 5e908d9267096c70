"""Foil: where the board is thickest, how evenly it thins, and how full it comes out."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import TIP, Places
from foamwright.board.checks_size import check_thickness
from foamwright.findings import Finding, Severity, said
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


THICKEST = {
    "thick-aft": (
        "thick-aft",
        "The thickest point lies {off} aft of the centre: the tail sinks and paddling suffers.",
    ),
    "thick-forward": (
        "thick-forward",
        "The thickest point lies {off} forward of the centre: it is stiff to turn.",
    ),
}
FROM_THE = {
    "nose": ("place.from-the-nose", "{distance} from the nose"),
    "tail": ("place.from-the-tail", "{distance} from the tail"),
}
ODD_LITTLE = (
    "volume-odd.little",
    "{litres} litres are little for this outline and thickness: they fill {full} of it, where {least} to "
    "{most} is usual.",
)
ODD_MUCH = (
    "volume-odd.much",
    "{litres} litres are much for this outline and thickness: they fill {full} of it, where {least} to "
    "{most} is usual.",
)


def check_foil(board: Board, places: Places) -> list[Finding]:
    """Return what is unusual in the foil."""
    flow = [_flow(board, end, places) for end in ("tail", *(() if board.numbers.beak else ("nose",)))]
    found = [check_thickness(board, places), _thickest(board, places), *flow, _fullness(board)]
    return [finding for finding in found if finding is not None]


def _thickest(board: Board, places: Places) -> Finding | None:
    off = board.thickest_at - board.length / 2.0
    aft = off < 0.0
    limit = (AFT if aft else FORWARD) * board.length
    if abs(off) <= limit:
        return None
    code = "thick-aft" if aft else "thick-forward"
    return Finding(
        code,
        Severity.WARNING if aft else Severity.NOTE,
        places.at(board.thickest_at),
        abs(off),
        limit,
        "m",
        said(*THICKEST[code], off=places.amount(abs(off))),
        said(
            "thickest.remedy",
            "Bring the thickest point within {limit} of the centre.",
            limit=places.amount(limit),
        ),
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
        said("where.foil", "foil, {place}", place=places.between(*sorted((tip, inner)))),
        share,
        STEEP,
        "1",
        said(
            "thickness-flow",
            "{share} of the fall from the thickest point to the {tip} comes in the last {last}: the foil "
            "does not flow.",
            share=f"{share:.0%}",
            tip=said(*TIP[end]),
            last=places.amount(LAST),
        ),
        said(
            "thickness-flow.remedy",
            "Make the board thinner {place}, or the {tip} thicker.",
            place=said(*FROM_THE[end], distance=places.amount(LAST)),
            tip=said(*TIP[end]),
        ),
    )


def _fullness(board: Board) -> Finding | None:
    full = board.mass.volume / (plan_area(board) * board.numbers.thickest)
    if FULL[0] <= full <= FULL[1]:
        return None
    little = full < FULL[0]
    return Finding(
        "volume-odd",
        Severity.NOTE,
        said("where.board", "the whole board"),
        full,
        FULL[0] if little else FULL[1],
        "1",
        said(
            *(ODD_LITTLE if little else ODD_MUCH),
            litres=f"{board.mass.volume * 1000.0:.1f}",
            full=f"{full:.0%}",
            least=f"{FULL[0]:.0%}",
            most=f"{FULL[1]:.0%}",
        ),
        said(
            "volume-odd.remedy",
            "Look at the thickness 12 in from the tips and at the rails: one of them is far from the usual.",
        ),
    )


def plan_area(board: Board) -> float:
    """Return the area inside the outline, m2 (a notch is not inside)."""
    x, weight = stretched(board.panels, 32)
    return float(2.0 * weight @ (board.half_width(x) - board.inner(x) + board.core(x)))
