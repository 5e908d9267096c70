"""The instruments that take a board's numbers on the wall: jaws, the rod, flags on the tape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foamwright.web.planning.numerals import Bench
from foamwright.web.planning.rows import Numeral, Stop
from foamwright.web.planning.stage import Stage


@dataclass(frozen=True, slots=True)
class Hand:
    """An instrument that takes a number, and where it is held.

    Attributes
    ----------
    numeral
        What it takes.
    kind
        ``jaws`` on the rails, ``deck`` jaw, ``rod`` from the level line, ``flag`` on the tape,
        ``dot`` on an edge.
    x, y
        Where it stands, pixels.
    foot
        Where its other end stands: the other rail, the level line.
    axis
        ``x`` or ``y``: along which it is dragged.
    pull
        Pixels that it moves as its number grows by a mark, along the axis (downwards and right positive).
    label
        Its figure in words, beside it.
    """

    numeral: Numeral
    kind: str
    x: float
    y: float
    foot: float
    axis: str
    pull: float
    label: str
    word: str

    @property
    def grip(self) -> float:
        """Where the grip stands, pixels down."""
        return {"jaws": self.y - 28.0, "deck": self.y - 34.0, "rod": self.foot + 22.0}.get(self.kind, self.y)


def hands_of(stage: Stage, bench: Bench, stop: Stop) -> list[Hand]:
    """Return the instruments of the stop in hand that stand on the wall."""
    found = [_hand(stage, bench, stop, one) for one in stop.numerals]
    return _apart([one for one in found if one is not None and _in_view(stage, one)])


def _in_view(stage: Stage, hand: Hand) -> bool:
    """Whether an instrument stands where its view is shown: close to, a view may not reach so far."""
    if stage.frame.zoom <= 1.0 or hand.kind == "flag":
        return True
    above = hand.kind == "jaws"
    return (0.0 if above else stage.parting) < hand.y < (stage.parting if above else stage.tape)


def _hand(stage: Stage, bench: Bench, stop: Stop, one: Numeral) -> Hand | None:
    """The instrument of a number that has a place on the wall; ``None`` of the others."""
    if one.value is None:
        return None
    board, table, key = stage.board, one.name.partition("/")[0], one.name.rpartition("/")[2]
    px, tall = stage.scale, stage.tall
    if one.kind == "along":
        return _flag(stage, one, one.value, 1.0)
    if one.name == "length":
        return _flag(stage, one, board.length, 1.0)
    place = {"wide": board.outline.wide_at, "thickest": board.thickest_at}.get(key, stop.x)
    if place is None or "/" in one.name.partition("/")[2]:
        return None
    at = np.array(place)
    x = float(stage.x(place))
    own = key not in ("wide", "thickest") and bench.stations.x(key) is None
    if own:
        return None
    if table == "outline":
        half = float(board.half_width(at))
        y = float(stage.y(half))
        return Hand(one, "jaws", x, y, float(stage.y(-half)), "y", -one.mark * px / 2, one.text, "wide")
    low = float(stage.z(board.rocker(at)))
    if table == "thickness":
        high = float(stage.z(board.deck_line(at)))
        return Hand(one, "deck", x, high, low, "y", -one.mark * px * tall, one.text, "thick")
    if table == "rocker":
        return Hand(one, "rod", x, low, stage.origins[2], "y", -one.mark * px * tall, one.text, "up")
    return None


def _flag(stage: Stage, one: Numeral, metres: float, sign: float) -> Hand:
    x = float(stage.x(metres))
    return Hand(
        one, "flag", x, stage.tape, stage.tape, "x", sign * one.mark * stage.scale, one.text, one.label
    )


def _apart(hands: Sequence[Hand]) -> list[Hand]:
    """The hands in the order of their rows; flags of one place stand beside each other."""
    seen: dict[int, int] = {}
    found = []
    for one in hands:
        if one.kind == "flag":
            seat = round(one.x / 26.0)
            shift = seen.get(seat, 0)
            seen[seat] = shift + 1
            if shift:
                one = replace(one, y=one.y - 24.0 * shift)
        found.append(one)
    return found
