"""Learning from jobs that were measured and timed: how thick the chips come out, and minutes per area."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foamwright.bay.bay import BETWEEN_READINGS, TRENCH, Bay, Rates
from foamwright.bench.as_is import stretches
from foamwright.bench.belief import ChipFactor
from foamwright.bench.entries import Entry, Timed, counting
from foamwright.bench.plan_file import JobPlan
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName

TIMED = (StageName.THICKNESS, StageName.ROCKER, StageName.FOIL)
"""Stages whose minutes go into the rates: those that plane the faces."""

RATE_DOUBT = 0.5
"""Standard error of the bay's own rates before any job was timed, as a share. Common practice, no source."""

MINUTE_DOUBT = 0.25
"""Standard error of one stage's minutes about what the rates say, a share. Common practice, no source."""

LEAST_STROKES = 5
"""A run with fewer strokes told says nothing of the chip."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A learned number with its standard error, and how many observations are behind it."""

    mean: float
    error: float
    count: int

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {"mean": self.mean, "error": self.error, "count": self.count}


@dataclass(frozen=True, eq=False)
class Learned:
    """What jobs taught.

    Attributes
    ----------
    chips
        By plane: chip taken over chip set.
    stringer
        Minutes per square metre of stringer planed.
    foam
        Minutes per cubic metre of foam brought down beside it.
    """

    chips: dict[str, Figure]
    stringer: Figure
    foam: Figure

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "chips": {name: figure.as_json() for name, figure in self.chips.items()},
            "stringer_min_per_m2": self.stringer.as_json(),
            "foam_min_per_m3": self.foam.as_json(),
        }


Told = tuple[JobPlan, Sequence[Entry]]
"""A job: its plan and its whole history."""


def learn(jobs: Sequence[Told], bay: Bay) -> Learned:
    """Return what jobs teach about a bay.

    The chip is followed from run to run and from job to job by the same filter that advises; the rates are
    a Bayesian linear regression of the minutes on area and volume, with the bay's own rates as prior.
    """
    stringer, foam = _rates(jobs, bay)
    return Learned(_chips(jobs, bay), stringer, foam)


def _chips(jobs: Sequence[Told], bay: Bay) -> dict[str, Figure]:
    found: dict[str, Figure] = {}
    for plan, entries in jobs:
        for plane in dict.fromkeys(run.run.plane.name for run in plan.runs):
            before = found.get(plane, Figure(1.0, ChipFactor().error, 0))
            found[plane] = _after_job((plan, entries), plane, before, bay)
    return {name: figure for name, figure in found.items() if figure.count}


def _after_job(job: Told, plane: str, before: Figure, bay: Bay) -> Figure:
    """Return what is known of a plane's chip after one more job."""
    plan, entries = job
    runs = tuple(run for run in plan.runs if run.run.plane.name == plane)
    own = replace(plan, runs=runs)
    chip, count = ChipFactor(before.mean, before.error), before.count
    for stretch in stretches(own, entries, bay, chip):
        if stretch.run is not None and stretch.strokes >= LEAST_STROKES and stretch.readings > 0:
            chip, count = stretch.belief.chip, count + 1
    return Figure(chip.mean, chip.error, count)


def _rates(jobs: Sequence[Told], bay: Bay) -> tuple[Figure, Figure]:
    prior = np.array([bay.rates.stringer, bay.rates.foam])
    precision = np.diag(1.0 / (RATE_DOUBT * prior) ** 2)
    pull = precision @ prior
    count = 0
    for plan, entries in jobs:
        for stage, minutes in _minutes(entries).items():
            row = work_of(plan, stage)
            expected = float(row @ prior)
            if expected <= 0.0:
                continue
            # Whoever is slow is slow in all: minutes are shared out as the bay's rates would.
            minutes *= expected / (expected + looking_of(plan, stage, bay.rates))
            weight = 1.0 / (MINUTE_DOUBT * expected) ** 2
            precision = precision + weight * np.outer(row, row)
            pull = pull + weight * row * minutes
            count += 1
    cov = np.linalg.inv(precision)
    mean = cov @ pull
    first, second = (Figure(float(mean[k]), float(np.sqrt(cov[k, k])), count) for k in range(2))
    return first, second


def _minutes(entries: Sequence[Entry]) -> dict[StageName, float]:
    """Return the minutes told for each stage that counts, in all."""
    total: dict[StageName, float] = {}
    for entry in counting(entries):
        if isinstance(entry.event, Timed) and entry.event.stage in TIMED:
            total[entry.event.stage] = total.get(entry.event.stage, 0.0) + entry.event.minutes
    return total


def work_of(plan: JobPlan, stage: StageName) -> Floats:
    """Return (2,) what a stage planes: square metres of stringer, cubic metres of foam beside it."""
    before, after = plan.before(stage), plan.stages[stage]
    depth = np.maximum(after.bottom - before.bottom, 0.0) + np.maximum(before.deck - after.deck, 0.0)
    width = 2.0 * after.half_width
    return np.array([np.trapezoid(depth, plan.x), np.trapezoid(depth * width, plan.x)])


def looking_of(plan: JobPlan, stage: StageName, rates: Rates) -> float:
    """Return the minutes of a stage that go into foam-downs, readings and stops, one each eighth of depth."""
    before, after = plan.before(stage), plan.stages[stage]
    depth = np.maximum(after.bottom - before.bottom, 0.0) + np.maximum(before.deck - after.deck, 0.0)
    along = rates.strip + rates.reading / BETWEEN_READINGS
    tips = float(depth[0] + depth[-1])
    return (along * float(np.trapezoid(depth, plan.x)) + rates.stop * tips) / TRENCH


def learned_bay(bay: Bay, learned: Learned) -> Bay:
    """Return the bay with what was learned in place of what was assumed.

    The chips of a plane become what it takes at its settings, so that the next plan counts with them. Rates
    are rounded to three digits, for they are never known better.
    """
    planes = tuple(
        replace(plane, chips=tuple(chip * learned.chips[plane.name].mean for chip in plane.chips))
        if plane.name in learned.chips
        else plane
        for plane in bay.planes
    )
    rates = bay.rates
    if learned.stringer.count:
        stringer, foam = (float(f"{one.mean:.3g}") for one in (learned.stringer, learned.foam))
        rates = replace(rates, stringer=stringer, foam=foam)
    return replace(bay, planes=planes, rates=rates)
