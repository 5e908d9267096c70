"""Readings: what was measured, where, with what, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import hypot, sqrt

from foamwright.bay.bay import Tape
from foamwright.stages.solids import StageName
from foamwright.units import INCH


class Measured(StrEnum):
    """What a reading measures."""

    ROCKER = "rocker"
    THICKNESS = "thickness"
    WIDTH = "width"


class Tool(StrEnum):
    """How it was measured."""

    STRAIGHT_EDGE = "straight edge"
    PROPPED_EDGE = "propped edge"
    CALIPERS = "calipers"
    SQUARED_EDGE = "squared edge"
    TAPE = "tape"


TRUST = {
    Tool.STRAIGHT_EDGE: 1.0,
    Tool.PROPPED_EDGE: sqrt(2.0),
    Tool.CALIPERS: 0.5,
    Tool.SQUARED_EDGE: 1.0,
    Tool.TAPE: 1.0,
}
"""Standard error of each way over the tape's own. A propped edge is measured twice, the height of its spacer
and the gap, so its errors add as squares; the others: common practice, no source."""

FITTING: dict[Measured, tuple[Tool, ...]] = {
    Measured.ROCKER: (Tool.STRAIGHT_EDGE, Tool.PROPPED_EDGE),
    Measured.THICKNESS: (Tool.CALIPERS, Tool.SQUARED_EDGE),
    Measured.WIDTH: (Tool.TAPE,),
}
"""Tools that can measure each thing, the usual one first."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One measurement; metres.

    Attributes
    ----------
    stage
        At which stage it was taken: the stage being cut.
    x
        Station from the tail tip.
    what, value
        What was measured, and what the tool showed.
    tool
        How.
    spacer
        Height of the spacer under a propped edge.
    station, written
        Station and value as the person wrote them.
    note
        Anything in words.
    """

    stage: StageName
    x: float
    what: Measured
    value: float
    tool: Tool
    spacer: float = 0.0
    station: str = ""
    written: str = ""
    note: str = ""

    @property
    def height(self) -> float:
        """What was measured, freed from the tool: a propped edge stands its spacer too high."""
        return self.value - self.spacer

    def error(self, tape: Tape) -> float:
        """Return its standard error, metres: the tool's, and of reading to the tape's finest mark."""
        return hypot(TRUST[self.tool] * tape.standard_error, INCH / tape.fraction / sqrt(12.0))
