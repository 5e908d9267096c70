"""What is cut at the ends and on the edge by itself: a notch, wings, a beak; when, how far, and what to read.

A notch is sawn last, after the faces are sanded: until then the tail is whole, its stringer is there to plane
and to measure, and no step of the work reads a place that has gone.
"""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.board.checks_tips import IN_FROM_TIP, tip_foam
from foamwright.board.numbers import TailKind

Ends = dict[str, object]


def ends_of(board: Board) -> Ends:
    """Return the cuts at the ends as plain values, metres; what a board does not have is left out."""
    found: Ends = {}
    if board.outline.foot > 0.0:
        found["notch"] = _notch(board)
    if board.numbers.wings:
        found["wings"] = [
            {
                "cut": "with the outline",
                "x_m": wing.x,
                "step_m": wing.step,
                "length_m": wing.length,
                "flare_m": wing.flare,
                "fade_forward_m": wing.fade_forward,
            }
            for wing in board.numbers.wings
        ]
    beak = board.numbers.beak
    if beak is not None:
        found["beak"] = {
            "cut": "before the rails",
            "from_nose_m": beak.length,
            "tip_m": beak.tip,
            "foil_at_tip_m": float(board.unrolled(board.length)),
            "marks": [
                {"from_nose_m": u, "take_off_m": float(board.unrolled(x) - board.thickness(x))}
                for u, x in _beak_places(board, beak.length)
            ],
        }
    return found


def _beak_places(board: Board, length: float) -> list[tuple[float, float]]:
    """Places of a beak's depth marks: closer towards the tip, where it turns down."""
    back = length * np.array([0.0, 1 / 24, 1 / 12, 1 / 6, 1 / 3, 1 / 2, 3 / 4, 1.0])
    return [(float(u), board.length - float(u)) for u in back]


def _notch(board: Board) -> Ends:
    tail, outline = board.outline.tail, board.outline
    at = np.array([outline.start + IN_FROM_TIP])
    middle = float((board.half_width(at)[0] + board.inner(at)[0]) / 2.0)
    x = np.linspace(outline.start, outline.foot, 9)
    return {
        "cut": "last",
        "form": tail.kind.value,
        "foot_m": outline.foot,
        "x_m": x,
        "inner_m": board.inner(np.minimum(x, np.nextafter(outline.foot, 0.0))),
        "core_m": board.core(np.minimum(x, np.nextafter(outline.foot, 0.0))),
        "tip_width_m": tail.tip_width,
        "read": {
            "from_tip_m": IN_FROM_TIP,
            "from_stringer_m": middle,
            "foam_m": tip_foam(board),
        },
    }


def notch_words(board: Board) -> str:
    """Return what to do about a notch, in a sentence or two; nothing where there is none."""
    if board.outline.foot == 0.0:
        return ""
    what = {
        TailKind.SWALLOW: "the crack between the tips",
        TailKind.CRESCENT: "the hollow of the tail",
        TailKind.BAT: "the two scallops of the tail",
    }[board.outline.tail.kind]
    return f"Draw {what}, and saw it last: till then its stringer is planed and measured."
