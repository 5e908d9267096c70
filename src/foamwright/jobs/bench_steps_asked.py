"""What is measured at a step, what should be read, and what a reading means at once, without the shop.

A tablet has no plan to reckon with: it gets, for each reading asked, the ranges in which a reading means one
thing, and only looks the value up in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from foamwright.bench.readings import FITTING, Measured
from foamwright.cuts.run import End, Run, Stop, Stroke
from foamwright.jobs.shop_readings import GROWTH, MOST
from foamwright.planning.plan import Plan
from foamwright.shape.curves import Floats
from foamwright.shop.kinds import Measured as Kept
from foamwright.stages.marks import RackStation
from foamwright.stages.solids import StageName
from foamwright.units import INCH

HALF_MARK = INCH / 64
"""Metres; half the finest mark: a reading may be out by so much without anybody's fault."""

CHIP_DOUBT = 0.3
"""Standard error of a chip as a share of it. Common practice, no source."""

LEAST_ROCKER = INCH / 16
"""Metres; nearer to the level line there is nothing to read under a straight edge."""


class Means(StrEnum):
    """What a reading means."""

    TOO_DEEP = "too-deep"
    AHEAD = "ahead"
    AS_PLANNED = "as-planned"
    BEHIND = "behind"
    QUESTIONED = "questioned"


@dataclass(frozen=True, slots=True)
class Asked:
    """A reading that a step asks for; metres.

    Attributes
    ----------
    what, tool
        What is measured, with what.
    station, station_m
        Where: as the tape names it, and from the tail tip.
    expect_m
        What should be read.
    doubt_m
        How far from it a reading is still as planned.
    limit_m
        Where this stage ends: past it foam is gone that should have stayed.
    most_m
        Past it the reading cannot be: the blank was never so large.
    chip_m
        What a stroke takes; 0 where strokes are not counted.
    least_m
        Under it the strokes up to the next stop would go past the limit; ``None`` where none are to come.
    """

    what: str
    tool: str
    station: str
    station_m: float
    expect_m: float
    doubt_m: float
    limit_m: float
    most_m: float
    chip_m: float = 0.0
    least_m: float | None = None

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {name: getattr(self, name) for name in self.__slots__}


@dataclass(frozen=True, slots=True)
class Range:
    """Readings up to `upto_m` (metres; ``None``: all that are larger) mean this; `off_m` is counted from."""

    upto_m: float | None
    means: Means
    off_m: float


def asked_from(kept: dict[str, Any]) -> Asked:
    """Return what `Asked.as_json` wrote."""
    return Asked(**kept)


def meaning_of(asked: Asked) -> tuple[Range, ...]:
    """Return what readings mean, from the smallest to the largest."""
    if asked.what == Measured.ROCKER:
        return _of_rocker(asked)
    deep = asked.limit_m - HALF_MARK
    low = max(deep, asked.expect_m - asked.doubt_m if asked.least_m is None else asked.least_m - HALF_MARK)
    high = asked.expect_m + asked.doubt_m
    found = [
        Range(deep, Means.TOO_DEEP, asked.limit_m),
        Range(low, Means.AHEAD, asked.expect_m),
        Range(high, Means.AS_PLANNED, asked.expect_m),
        Range(max(high, asked.most_m), Means.BEHIND, asked.expect_m),
        Range(None, Means.QUESTIONED, asked.most_m),
    ]
    return _without_empty(found)


def _of_rocker(asked: Asked) -> tuple[Range, ...]:
    """Return the same for rocker, which grows as foam goes."""
    deep = asked.limit_m + HALF_MARK
    found = [
        Range(asked.expect_m - asked.doubt_m, Means.BEHIND, asked.expect_m),
        Range(deep, Means.AS_PLANNED, asked.expect_m),
        Range(max(deep, asked.most_m), Means.TOO_DEEP, asked.limit_m),
        Range(None, Means.QUESTIONED, asked.most_m),
    ]
    return _without_empty(found)


def _without_empty(ranges: list[Range]) -> tuple[Range, ...]:
    """Leave out ranges that end where the one before does."""
    kept: list[Range] = []
    for one in ranges:
        before = kept[-1].upto_m if kept else None
        if one.upto_m is None or before is None or one.upto_m > before + 1e-9:
            kept.append(one)
    return tuple(kept)


def means_of(asked: Asked, value_m: float) -> Means:
    """Return what a reading means."""
    return next(one.means for one in meaning_of(asked) if one.upto_m is None or value_m <= one.upto_m + 1e-9)


def past_limit(asked: Asked, value_m: float) -> float:
    """Return by how much a reading is past where the stage ends, metres; negative: foam is left."""
    return value_m - asked.limit_m if asked.what == Measured.ROCKER else asked.limit_m - value_m


def asked_at_tip(plan: Plan, run: Run, stop: Stop, made: Sequence[Stroke]) -> Asked:
    """Return the reading at a stop of a run: the thickness at the tip it runs off."""
    stage = StageName(run.stage)
    last = len(plan.stations) - 1
    station = plan.stations[last if run.end is End.NOSE else 0]
    least = _at(plan, plan.chain.stage(stage).thickness, station)
    tip = stop.places[0]
    line = run.at(run.target, tip.from_tip)
    return Asked(
        what=Measured.THICKNESS.value,
        tool=FITTING[Measured.THICKNESS][0].value,
        station=station.name,
        station_m=station.x,
        expect_m=least + tip.expect - line,
        doubt_m=max(2 * CHIP_DOUBT * sum(one.chip for one in made), 2 * HALF_MARK),
        limit_m=least,
        most_m=_most_thickness(plan, station),
        chip_m=made[0].chip,
        least_m=least + tip.not_under - line,
    )


def asked_at_marks(plan: Plan, stage: StageName, what: str) -> Iterator[Asked]:
    """Give the readings after a stage at every station that a tape finds, tail to nose."""
    after = plan.chain.stage(stage)
    sizes = {
        "width": 2.0 * after.half_width,
        "thickness": after.thickness,
        "rocker": after.bottom - float(after.bottom.min()),
    }
    for station in plan.stations:
        if _can_be_read(plan, station, what, sizes[what]):
            yield _asked(plan, station, Measured(what), _at(plan, sizes[what], station))


def asked_between(plan: Plan, before: StageName, taken: Floats) -> Iterator[Asked]:
    """Give the thicknesses that stand once `taken` (metres, on the chain's stations) has left a stage."""
    left = plan.chain.stage(before).thickness - taken
    for station in plan.stations[1:-1]:
        yield _asked(plan, station, Measured.THICKNESS, _at(plan, left, station))


def _can_be_read(plan: Plan, station: RackStation, what: str, size: Floats) -> bool:
    inside = station not in (plan.stations[0], plan.stations[-1])
    return inside if what != "rocker" else _at(plan, size, station) >= LEAST_ROCKER


def _asked(plan: Plan, station: RackStation, what: Measured, value: float) -> Asked:
    return Asked(
        what=what.value,
        tool=FITTING[what][0].value,
        station=station.name,
        station_m=station.x,
        expect_m=value,
        doubt_m=_doubt(plan, what),
        limit_m=value,
        most_m=_most(plan, station, what),
    )


def _doubt(plan: Plan, what: Measured) -> float:
    """A width is told rounded up to a whole mark of the tape: what is asked for is no fault."""
    usual = plan.bay.allowances.run_off + HALF_MARK
    return max(usual, INCH / plan.bay.tape.fraction) if what is Measured.WIDTH else usual


def _most(plan: Plan, station: RackStation, what: Measured) -> float:
    return _most_thickness(plan, station) if what is Measured.THICKNESS else MOST[Kept(what.value)]


def _most_thickness(plan: Plan, station: RackStation) -> float:
    return _at(plan, plan.chain.stage(StageName.BLANK).thickness, station) + GROWTH


def _at(plan: Plan, values: Floats, station: RackStation) -> float:
    return float(np.interp(station.x, plan.chain.x, values))
