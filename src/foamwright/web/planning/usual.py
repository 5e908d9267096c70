"""What stands for a number that a sheet does not write: a contour's usual ones, what runs between marks."""

from __future__ import annotations

import math

import numpy as np

from foamwright.board.board import Board
from foamwright.board.contours.kinds import KINDS
from foamwright.board.contours.terms import RAIL_TO_RAIL
from foamwright.sheets.declared import Key

Usual = dict[str, float | None]


def contour_usual(entry: object, length: float) -> Usual | None:
    """Return the keys that a contour's kind has, with what is taken where the sheet says nothing.

    Parameters
    ----------
    entry
        The contour's table as it is written.
    length
        Of the board, metres.

    Returns
    -------
    dict or None
        By key; stations as metres from the tail. ``None`` where the shape is not known.
    """
    kind = KINDS.get(str(entry.get("shape"))) if isinstance(entry, dict) else None
    if kind is None:
        return None
    stretch = kind.stretch(length, {})
    usual: Usual = {"shape": None, "from": stretch.begin, "full": stretch.aft, "to": stretch.end}
    for key in kind.keys:
        value = key.usual
        is_number = isinstance(value, int | float) and math.isfinite(value) and value < RAIL_TO_RAIL
        usual[key.name] = float(value) if is_number and value is not None else None
    return usual


def section_fair(board: Board | None, path: tuple[Key, ...], x: float | None) -> Usual:
    """Return what the rail and the deck have at a station between their marks, by key."""
    if board is None or x is None or path[0] not in ("rails", "deck"):
        return {}
    at = float(np.clip(x, 0.01, board.length - 0.01))
    numbers = board.section_numbers(np.array([at]))
    names = ("tuck", "apex") if path[0] == "rails" else ("crown", "roll")
    return {name: float(np.asarray(getattr(numbers, name)).ravel()[0]) for name in names}
