"""Readings: what was measured, where, with what, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import hypot, sqrt

from foamwright.bay.bay import Tape
from foamwright.cuts.run import End
from foamwright.stages.solids import StageName
from foamwright.units import INCH


class Measured(StrEnum):
    """What a reading measures."""

    ROCKER = "rocker"
    THICKNESS = "thickness"
    WIDTH = "width"
    LEFT_HALF = "left half width"
    RIGHT_HALF = "right half width"
    LEFT_OVER = "left to take off"


class Tool(StrEnum):
    """How it was measured."""

    STRAIGHT_EDGE = "straight edge"
    PROPPED_EDGE = "propped edge"
    CALIPERS = "calipers"
    SQUARED_EDGE = "squared edge"
    TAPE = "tape"
    FEELER = "feeler"
    WITNESS_LINE = "witness line"


TRUST = {
    Tool.STRAIGHT_EDGE: 1.0,
    Tool.PROPPED_EDGE: sqrt(2.0),
    Tool.CALIPERS: 0.5,
    Tool.SQUARED_EDGE: 1.0,
    Tool.TAPE: 1.0,
    Tool.FEELER: 0.3,
    Tool.WITNESS_LINE: 1.0,
}
"""Standard error of each way over the tape's own. A propped edge is measured twice, the height of its spacer
and the gap, so its errors add as squares; the others: common practice, no source."""

FINE = {Tool.CALIPERS: INCH / 64, Tool.FEELER: INCH / 128}
"""Marks that a tool of its own is read to, metres; every other way is read with the tape."""

FITTING: dict[Measured, tuple[Tool, ...]] = {
    Measured.ROCKER: (Tool.STRAIGHT_EDGE, Tool.PROPPED_EDGE),
    Measured.THICKNESS: (Tool.CALIPERS, Tool.SQUARED_EDGE, Tool.TAPE),
    Measured.WIDTH: (Tool.TAPE,),
    Measured.LEFT_HALF: (Tool.TAPE,),
    Measured.RIGHT_HALF: (Tool.TAPE,),
    Measured.LEFT_OVER: (Tool.WITNESS_LINE, Tool.FEELER, Tool.PROPPED_EDGE),
}
"""Tools that can measure each thing, the usual one first."""

SHIMS = (INCH / 32, INCH / 16)
"""Shims that are slid under a stick, metres."""


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
        """Return its standard error, metres: the tool's, and of reading to its finest mark."""
        step = FINE.get(self.tool, INCH / tape.fraction)
        return hypot(TRUST[self.tool] * tape.standard_error, step / sqrt(12.0))


@dataclass(frozen=True, slots=True)
class Zone:
    """A stretch where a shim goes under the stick: from `begin` to `end` before the tip, its thickness."""

    begin: float
    end: float
    shim: float


@dataclass(frozen=True, slots=True)
class Lay:
    """A stick laid on a face: where it touches, where which shim goes under, the largest gap; metres.

    Attributes
    ----------
    touches
        Distances from the tip at which it touches.
    zones
        Where shims go under.
    shims
        Shims that were tried.
    gap, gap_at
        The largest gap, if it was measured, and where.
    """

    touches: tuple[float, ...]
    zones: tuple[Zone, ...] = ()
    shims: tuple[float, ...] = SHIMS
    gap: float | None = None
    gap_at: float | None = None

    def mirrored(self, length: float) -> Lay:
        """Return the same answer of a stick that was laid the wrong way round."""
        turned = tuple(Zone(length - one.end, length - one.begin, one.shim) for one in self.zones)
        at = None if self.gap_at is None else length - self.gap_at
        return Lay(tuple(length - one for one in self.touches), turned, self.shims, self.gap, at)


@dataclass(frozen=True, slots=True)
class StickReading:
    """A stick of one run, as it was laid."""

    stage: StageName
    end: End
    lay: Lay
