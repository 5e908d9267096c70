"""Marks: numbers given at places along a board or a blank."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mark:
    """A number given at a station.

    Attributes
    ----------
    x
        Metres from the tail tip along the level line.
    value
        The number there: metres (full width, height, thickness) or a plain ratio.
    place
        The station as the person named it (``"12 from tail"``), for messages.
    """

    x: float
    value: float
    place: str
