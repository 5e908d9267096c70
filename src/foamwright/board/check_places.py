"""Where along a board something was found, as a person measures it, and how much, as a tape shows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from foamwright.board.board import Board
from foamwright.findings import said
from foamwright.shape.curves import Floats
from foamwright.units import Rounding, System, format_length, format_with_unit

GRID = 481
"""Stations at which a board is looked over."""


TIP = {"nose": ("place.nose-tip", "nose tip"), "tail": ("place.tail-tip", "tail tip")}
FROM = {
    "nose": ("place.from-nose", "{distance} from nose"),
    "tail": ("place.from-tail", "{distance} from tail"),
}
STRETCH = {
    "nose": ("place.stretch-nose", "{low} to {high} from nose"),
    "tail": ("place.stretch-tail", "{low} to {high} from tail"),
}
"""Places by the end they are measured from: the key of the wording, and the wording."""


@dataclass(frozen=True, slots=True)
class Places:
    """A board's stations in words.

    Attributes
    ----------
    length
        Tail tip to nose tip, metres.
    system
        Inches or millimetres.
    """

    length: float
    system: System

    def at(self, x: float) -> str:
        """Return a station from the nearer tip: ``12 in from tail``, ``nose tip``."""
        end, distance = self._nearer(x)
        return said(*TIP[end]) if distance < 1e-6 else said(*FROM[end], distance=self._along(distance))

    def between(self, start: float, stop: float) -> str:
        """Return a stretch: ``12 to 18 in from tail``, ``24 in from tail to 12 in from nose``."""
        (first, near), (last, far) = self._nearer(start), self._nearer(stop)
        if self._whole(near) == self._whole(far) and first == last:
            return self.at(start)
        if first != last:
            return said("place.to", "{first} to {last}", first=self.at(start), last=self.at(stop))
        low, high = sorted((near, far))
        return said(*STRETCH[first], low=self._whole(low), high=self._along(high))

    def amount(self, metres: float, rounding: Rounding = Rounding.NEAREST) -> str:
        """Return a length with its unit, to 1/32 in or a tenth of a millimetre."""
        return format_with_unit(metres, self.system, 32, rounding)

    def _nearer(self, x: float) -> tuple[str, float]:
        return ("tail", x) if 2.0 * x <= self.length else ("nose", self.length - x)

    def _along(self, metres: float) -> str:
        return f"{self._whole(metres)} {self.system}"

    def _whole(self, metres: float) -> str:
        """A distance to half an inch or five millimetres: nobody looks for a stretch more exactly."""
        if self.system is System.INCH:
            return format_length(metres, self.system, 2)
        return f"{round(metres * 200.0) * 5}"


def together(places: Sequence[str]) -> str:
    """Return one or more places joined by ``and``."""
    return reduce(lambda first, last: said("place.and", "{first} and {last}", first=first, last=last), places)


def grid(board: Board) -> Floats:
    """Return the stations at which a board is looked over, tips included."""
    return np.linspace(0.0, board.length, GRID)


def stretches(x: Floats, found: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return first and last index of every run of stations where something was found."""
    edges = np.diff(np.concatenate([[0], found.astype(int), [0]]))
    starts, stops = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1
    return [(int(a), int(b)) for a, b in zip(starts, stops, strict=True)]
