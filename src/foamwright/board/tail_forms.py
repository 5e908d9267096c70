"""What numbers each tail form has: keys, usual values and limits (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foamwright.board.numbers import Tail, TailKind
from foamwright.units import parse_length


@dataclass(frozen=True, slots=True)
class Limit:
    """What a number of a tail usually is and between what it must lie, metres."""

    usual: float
    least: float
    most: float


def _limit(usual: str, least: str, most: str) -> Limit:
    return Limit(*(parse_length(f"{written} in") for written in (usual, least, most)))


FIELDS = {
    "tail_bow": "bow",
    "tail_corner": "corner_radius",
    "tail_depth": "depth",
    "tail_point": "point",
    "tail_tip_width": "tip_width",
    "tail_crack_bow": "crack_bow",
}
"""Keys of the sheet and what they are in `Tail`."""

FORMS: Mapping[TailKind, Mapping[str, Limit]] = {
    TailKind.SQUASH: {"tail_bow": _limit("3/8", "1/8", "3/4"), "tail_corner": _limit("1 1/4", "3/8", "2")},
    TailKind.SQUARE: {"tail_bow": _limit("0", "0", "1/8"), "tail_corner": _limit("3/4", "0", "1 1/4")},
    TailKind.DIAMOND: {"tail_depth": _limit("2", "1", "4"), "tail_corner": _limit("1/2", "0", "1 1/4")},
    TailKind.CRESCENT: {
        "tail_depth": _limit("1 1/4", "3/4", "2 1/2"),
        "tail_corner": _limit("1/4", "0", "1/2"),
    },
    TailKind.BAT: {
        "tail_depth": _limit("3/4", "1/2", "1 1/4"),
        "tail_point": _limit("0", "0", "3/4"),
    },
    TailKind.SWALLOW: {
        "tail_depth": _limit("4", "1", "6"),
        "tail_tip_width": _limit("7/8", "1/2", "2"),
        "tail_crack_bow": _limit("0", "0", "1/2"),
        "tail_corner": _limit("1/4", "0", "1"),
    },
}
"""Forms that have numbers of their own; pins and rounds have none."""

MOST_OF_WIDTH = 0.25
"""Corners are at most this share of the tail's width, so that an end is left between them."""


def most_corner(kind: TailKind, width: float, tip_width: float) -> float:
    """Return the greatest corner radius that fits a tail of that width (or swallow tips of theirs)."""
    return tip_width / 2.0 if kind is TailKind.SWALLOW else MOST_OF_WIDTH * width


def tail_of(kind: TailKind, width: float, given: Mapping[str, float | None] | None = None) -> Tail:
    """Return a tail of a form and full width; what `given` (the sheet's keys, metres) leaves out is usual."""
    found = {key: limit.usual for key, limit in FORMS.get(kind, {}).items()}
    said = {key: value for key, value in (given or {}).items() if value is not None and key in found}
    found |= said
    if "tail_corner" in found and "tail_corner" not in said:
        room = most_corner(kind, width, found.get("tail_tip_width", 0.0))
        found["tail_corner"] = min(found["tail_corner"], room)
    return Tail(kind, **{FIELDS[key]: value for key, value in found.items()})
