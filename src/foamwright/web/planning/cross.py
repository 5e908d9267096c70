"""The section at the station in hand, as cut across, and its rail close to."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.board.board import Board
from foamwright.shape.curves import Floats
from foamwright.units import INCH
from foamwright.web.planning.hands import Hand
from foamwright.web.planning.rows import Numeral, Stop
from foamwright.web.planning.stage import ONE_TO_ONE, path

INSET = INCH
"""A section nearer to a tip than this is taken here: at the very tip there is none."""

SHARES = np.sin(np.linspace(0.0, np.pi / 2, 121))
"""Places across, crowded at the rail, where the section turns."""

CLOSE = (3.1 * INCH, 0.4 * INCH)
"""What the view close to shows inboard of the rail, and outboard."""


@dataclass(frozen=True)
class Cross:
    """A section in pixels.

    Attributes
    ----------
    width, height
        Of its picture.
    scale, tall
        Pixels a metre, and how many times too high heights are.
    x
        Where it is taken, metres from the tail.
    half
        Half the width there, metres.
    """

    board: Board
    x: float
    width: float
    tall: int

    @cached_property
    def half(self) -> float:
        """Half the width there, metres."""
        return float(self.board.half_width(np.array(self.x)))

    @cached_property
    def scale(self) -> float:
        """Pixels a metre: as wide as the slip allows, and not so large that a narrow tail fills it."""
        return min((self.width - 48.0) / (2.0 * max(self.half, 0.03)), 1.6 * self.width / (20 * INCH))

    @cached_property
    def thick(self) -> float:
        """Thickness at the stringer, metres."""
        return float(self.board.thickness(np.array(self.x)))

    @cached_property
    def rail(self) -> float:
        """Height of the outermost point above the bottom at the stringer, metres."""
        at = np.array([self.x])
        return float(self.board.bottom_at(at, np.ones(1))[0, 0] - self.board.rocker(at)[0])

    @cached_property
    def foot(self) -> float:
        """Pixels down of the bottom at the stringer."""
        return 34.0 + self.scale * self.tall * self.thick

    @property
    def height(self) -> float:
        """Of the picture."""
        return self.foot + 26.0

    def px(self, y: float) -> float:
        """Return pixels along of a distance from the stringer."""
        return self.width / 2 + self.scale * y

    def pz(self, z: float) -> float:
        """Return pixels down of a height above the bottom at the stringer."""
        return self.foot - self.scale * self.tall * z

    def outline(self, of: Board | None = None) -> str:
        """Return the closed section of a board, by default the section's own."""
        y, z = section(of or self.board, self.x)
        return path(self.width / 2 + self.scale * y, self.foot - self.scale * self.tall * z) + "Z"


def cross_of(board: Board, x: float, width: float, tall: int) -> Cross:
    """Return the section at a station, moved in from the very tips."""
    return Cross(board, float(np.clip(x, INSET, board.length - INSET)), width, tall)


def section(board: Board, x: float) -> tuple[Floats, Floats]:
    """Return the closed section at `x`: distances from the stringer and heights above the bottom there."""
    at = np.array([min(x, board.length - 1e-4)])
    half = float(board.half_width(at)[0])
    low = float(board.rocker(at)[0])
    bottom, deck = board.bottom_at(at, SHARES)[0] - low, board.deck_at(at, SHARES)[0] - low
    y = half * SHARES
    across = np.concatenate([-y[::-1], y, y[::-1], -y])
    return across, np.concatenate([deck[::-1], deck, bottom[::-1], bottom])


@dataclass(frozen=True)
class Close:
    """The rail at about true size, now and before: paths in pixels, and the marks of a tape laid across."""

    width: float
    height: float
    now: str
    before: str
    ticks: tuple[tuple[float, bool, str], ...]
    edge: float


def close_of(cross: Cross, ghost: Board | None, inches: bool) -> Close:
    """Return the rail of a section close to."""
    width, height = cross.width, 132.0
    scale = min(ONE_TO_ONE, (width - 8.0) / sum(CLOSE))
    edge = width - CLOSE[1] * scale
    foot = height - 30.0
    step = INCH / 8 if inches else 0.005
    each = 8 if inches else 2

    def drawn(board: Board) -> str:
        y, z = section(board, cross.x)
        there = (y > 0.0) & (y > cross.half - 1.3 * CLOSE[0])
        if not there.any():
            # The board before ends well inboard of what is shown.
            return ""
        across, up = edge + scale * (y[there] - cross.half), foot - scale * z[there]
        return path(np.concatenate([[-9.0], across, [-9.0]]), np.concatenate([up[:1], up, up[-1:]])) + "Z"

    first = int(np.ceil((cross.half - CLOSE[0]) / step))
    last = int(np.floor((cross.half + CLOSE[1]) / step))
    marks = tuple(
        (
            edge + scale * (n * step - cross.half),
            n % each == 0,
            f"{n * step / (INCH if inches else 0.001):.0f}",
        )
        for n in range(max(first, 0), last + 1)
    )
    return Close(width, height, drawn(cross.board), drawn(ghost) if ghost else "", marks, edge)


def section_hands(cross: Cross, stop: Stop) -> list[Hand]:
    """Return the instruments that stand on the section: each where its number shows."""
    found = [_on_section(cross, one, stop) for one in stop.numerals if one.value is not None]
    return [one for one in found if one is not None]


def _on_section(cross: Cross, one: Numeral, stop: Stop) -> Hand | None:
    """Where a number of the section is held, as a person would point at it."""
    key, value, scale, tall = one.name.rpartition("/")[2], one.value or 0.0, cross.scale, cross.tall
    roll, tuck = (_of(stop, name, share * cross.half) for name, share in (("roll", 0.4), ("tuck", 0.06)))
    edge = cross.half - tuck
    side, up = scale * one.mark, scale * tall * one.mark
    turn = np.radians(value)
    is_contour = one.name.startswith("bottom/")
    rail = float(cross.rail)
    places = {
        "tuck": ("x", edge, 0.0, 0.012, -side),
        "edge-angle": (
            "y",
            edge + ARM * np.cos(turn),
            ARM * np.sin(turn),
            0.0,
            -up * ARM * np.pi / 180.0 / one.mark,
        ),
        "apex": ("y", cross.half, rail, rail, -up * cross.thick),
        "radius": ("x", edge - 0.5 * value, -0.008, -0.002, -side),
        "fullness": ("y", cross.half - 0.3 * tuck, 0.3 * rail, 0.3 * rail, 2.0),
        "roll": ("x", cross.half - value, cross.thick + 0.012, cross.thick - 0.006, -side),
        "crown": ("y", roll - cross.half, cross.thick - value, cross.thick, up),
        "deck-fullness": ("y", 0.35 * roll - cross.half, 0.8 * cross.thick, 0.8 * cross.thick, -2.0),
        "depth": ("y", 0.0, -0.014, 0.0, up),
        "width": ("x", value / 2, -0.01, 0.0, side / 2),
        "first": ("x", value, -0.012, 0.0, side),
        "pitch": ("x", value + 0.05, -0.018, 0.0, side),
        "blend": ("x", edge - value, -0.012, 0.0, -side),
    }
    name = "deck-fullness" if one.name.startswith("deck/") and key == "fullness" else key
    name = "edge-angle" if name == "angle" else name
    if (
        name not in places
        or (is_contour and name in ("radius", "fullness"))
        or one.kind not in ("length", "number")
    ):
        return None
    axis, y, z, foot, pull = places[name]
    return Hand(one, "dot", cross.px(y), cross.pz(z), cross.pz(foot), axis, pull, one.text, "")


ARM = 0.02
"""Metres out from the edge at which its angle is held."""


def _of(stop: Stop, key: str, otherwise: float) -> float:
    """A length of the stop, or what is usual where it has none."""
    found = next((row.value for row in stop.numerals if row.name.endswith(f"/{key}") and row.value), None)
    return otherwise if found is None else found
