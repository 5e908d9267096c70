"""The as-is surface: bottom, deck and outline as plan, strokes and readings together tell, with their doubt.

A run-off is followed stroke by stroke (`foamwright.bench.belief`). What is cut otherwise, and a run whose
strokes nobody recorded, is estimated from the readings alone: Gaussian process regression on what is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import hypot

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.bench.belief import FACE_ERROR, GRID, Belief, ChipFactor, Height, flat, prior, vague
from foamwright.bench.entries import Entry, Event, Laid, State, Stroked, Taken, Worked, counting
from foamwright.bench.plan_file import JobPlan, JobRun
from foamwright.bench.readings import Measured, Reading
from foamwright.blank.numbers import Face
from foamwright.cuts.run import End
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName


class Part(StrEnum):
    """What of the board a stage changes."""

    BOTTOM = "bottom"
    DECK = "deck"
    BOTH = "thickness"
    EDGE = "edge"


CUT = {
    StageName.OUTLINE: Part.EDGE,
    StageName.THICKNESS: Part.BOTH,
    StageName.ROCKER: Part.BOTTOM,
    StageName.FOIL: Part.DECK,
    StageName.CONTOURS: Part.BOTTOM,
    StageName.RAILS: Part.BOTTOM,
    StageName.FINISHED: Part.DECK,
}
"""What each stage changes at the stringer, and is judged by."""

UNTOLD = 2.0
"""Standard errors under what was expected from which a reading tells of strokes that nobody told."""

SURPRISE = 0.3
"""Metres along which something unforeseen is taken to go together. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Since:
    """What was measured since the last stroke: sticks laid, gauge readings taken."""

    sticks: int = 0
    gauges: int = 0


@dataclass(frozen=True, eq=False)
class Stretch:
    """A part of a face as it is known.

    Attributes
    ----------
    stage, part
        Judged against which stage, and what of the board it is.
    end, run
        For a run-off: its end and its plan; otherwise the belief counts from the nose.
    belief
        What is left above the target.
    strokes, readings
        How many are behind it.
    last
        ``"strokes"`` or ``"readings"``, whichever came last; empty before both.
    since
        What happened since the last stroke.
    trench
        (n,) how deep each place lies below the foam beside it; ``None`` where nothing is planed.
    levelled
        Whether the foam came down over the full width at the end of the run.
    """

    stage: StageName
    part: Part
    belief: Belief
    length: float
    end: End | None = None
    run: JobRun | None = None
    strokes: int = 0
    readings: int = 0
    last: str = ""
    since: Since = Since()
    trench: Floats | None = None
    levelled: bool = False

    def from_tip(self, x: float) -> float:
        """Return how far a station (metres from the tail) is from the tip that the belief counts from."""
        return self.length - x if self.run is None else self.run.from_tip(x)

    def holds(self, x: float) -> bool:
        """Tell whether a station lies on this stretch."""
        distance = self.from_tip(x)
        return -1e-9 <= distance <= float(self.belief.from_tip[-1]) + GRID

    def at(self, x: float) -> tuple[float, float]:
        """Return what is left at a station, and its doubt (standard error); metres."""
        return self.belief.at(self.from_tip(x))


def stretches(
    plan: JobPlan,
    entries: Sequence[Entry],
    bay: Bay,
    chip: ChipFactor,
    judging: StageName | None = None,
    memory: Memory | None = None,
) -> tuple[Stretch, ...]:
    """Return every part of the board as it is known, in the order of the work.

    Parameters
    ----------
    plan, entries
        The job.
    bay
        Its tape.
    chip
        What is known of each plane's chip before its first stroke.
    judging
        Stage of which a reading is about to be judged: somebody has begun to cut it.
    memory
        What was worked out for the same job before.
    """
    memory = memory or Memory()
    kept = counting(entries)
    # A questioned reading is not used: nor does it tell that somebody has begun.
    read = {judging} | {
        e.event.reading.stage for e in kept if isinstance(e.event, Taken) and e.event.state is State.ACCEPTED
    }
    read |= {e.event.stage for e in kept if isinstance(e.event, Worked)}
    found = []
    chips: dict[str, ChipFactor] = {}
    for stage in plan.order[1:]:
        runs = plan.runs_of(stage)
        if not runs:
            found.append(_followed(_plain(plan, stage, stage in read), kept, plan, bay, memory))
        for run in runs:
            known = chips.get(run.run.plane.name, chip)
            first = _run(run, Follow.UNTOUCHED, bay, known)
            way = _way(first, kept, plan, judging)
            first = _run(run, way, bay, known)
            stretch = _followed(first, kept, plan, bay, memory)
            chips[run.run.plane.name] = _handed_on(stretch.belief.chip)
            found.append(stretch)
    return tuple(found)


class Follow(StrEnum):
    """How a run is followed: untouched, by strokes that were told, or by readings alone."""

    UNTOUCHED = "untouched"
    STROKES = "strokes"
    READINGS = "readings"


def _way(untouched: Stretch, entries: Iterable[Entry], plan: JobPlan, judging: StageName | None) -> Follow:
    """Return how a run is followed. What was read or done at the other tip tells nothing of this one."""
    events = [e.event for e in entries if _concerns(untouched, e.event, plan)]
    if any(isinstance(one, Stroked) for one in events):
        return Follow.STROKES
    return Follow.READINGS if events or untouched.stage is judging else Follow.UNTOUCHED


LEAST_CHIP_DOUBT = 0.03
"""Standard error of the chip's factor from one run to the next: another fibre, another edge on the iron."""


def _handed_on(chip: ChipFactor) -> ChipFactor:
    return ChipFactor(chip.mean, max(chip.error, LEAST_CHIP_DOUBT))


def _run(run: JobRun, way: Follow, bay: Bay, chip: ChipFactor) -> Stretch:
    """Return a run before its first entry."""
    if way is Follow.READINGS:
        belief = vague(run.run, chip, habits=bay.hands)
    else:
        doubt = bay.tape.standard_error if way is Follow.STROKES else FACE_ERROR
        belief = prior(run.run, chip, doubt, habits=bay.hands)
    part = Part.BOTTOM if run.run.face is Face.BOTTOM else Part.DECK
    level = np.zeros(belief.size)
    return Stretch(run.stage, part, belief, run.length, run.end, run, trench=level)


def _plain(plan: JobPlan, stage: StageName, read: bool) -> Stretch:
    """Return a stage that is not followed stroke by stroke, before its first entry."""
    part = CUT[stage]
    before, after = (_size(plan, s, part) for s in (_earlier(plan, stage), stage))
    count = int(plan.length / GRID + 1e-9)
    at = plan.length - np.arange(count + 1) * GRID
    depth = np.interp(at, plan.x, np.maximum(before - after, 0.0))
    return Stretch(stage, part, flat(depth, known=not read), plan.length)


def _earlier(plan: JobPlan, stage: StageName) -> StageName:
    return plan.order[plan.order.index(stage) - 1]


def _size(plan: JobPlan, stage: StageName, part: Part) -> Floats:
    """Return the height outwards from the foam that a stage leaves of a part."""
    faces = plan.stages[stage]
    sizes = {
        Part.EDGE: faces.half_width,
        Part.BOTH: faces.deck - faces.bottom,
        Part.BOTTOM: -faces.bottom,
        Part.DECK: faces.deck,
    }
    return np.asarray(sizes[part])


def _in_run(event: Stroked, run: JobRun) -> bool:
    return event.stage is run.stage and event.end == run.end


class Memory:
    """What was worked out before, so that one more entry costs one more step and not the whole history."""

    def __init__(self) -> None:
        self._kept: dict[tuple[object, ...], tuple[tuple[Event, ...], Stretch]] = {}

    def latest(self, first: Stretch, events: tuple[Event, ...]) -> tuple[Stretch, tuple[Event, ...]]:
        """Return the stretch after what is known of the events, and the events still to come."""
        known, stretch = self._kept.get(_mark(first), ((), first))
        if events[: len(known)] == known:
            return stretch, events[len(known) :]
        return first, events

    def keep(self, first: Stretch, events: tuple[Event, ...], stretch: Stretch) -> None:
        """Keep a stretch as it is after all of the events."""
        self._kept[_mark(first)] = events, stretch


def _mark(first: Stretch) -> tuple[object, ...]:
    """Return what tells one beginning from another."""
    chip = first.belief.chip
    return first.stage, first.end, chip, float(first.belief.doubt.sum()), float(first.belief.left.sum())


def _followed(first: Stretch, entries: Iterable[Entry], plan: JobPlan, bay: Bay, memory: Memory) -> Stretch:
    """Return the stretch after all entries that concern it, in order."""
    events = tuple(e.event for e in entries if _concerns(first, e.event, plan))
    stretch, coming = memory.latest(first, events)
    for event in coming:
        match event:
            case Stroked():
                stretch = _stroked(stretch, event)
            case Taken():
                stretch = _informed(stretch, event, plan, bay)
            case Laid():
                stretch = _laid(stretch, event)
            case Worked():
                stretch = _levelled(stretch, event)
    memory.keep(first, events, stretch)
    return stretch


def _concerns(stretch: Stretch, event: Event, plan: JobPlan) -> bool:
    run = stretch.run
    match event:
        case Stroked():
            return run is not None and _in_run(event, run)
        case Taken(state=State.ACCEPTED):
            return left_of(stretch, event.reading, plan) is not None
        case Laid(state=State.ACCEPTED):
            return run is not None and (event.stick.stage, event.stick.end) == (run.stage, run.end)
        case Worked():
            return run is not None and (event.stage, event.end) == (run.stage, run.end.value)
    return False


FOAM_DOWN, LEVELLED = "foam_down", "level"
"""Words of steps done: the strip beside the stringer came down; the full width did."""


def _stroked(stretch: Stretch, event: Stroked) -> Stretch:
    belief = stretch.belief.after([event.stroke] * event.count)
    trench = stretch.trench
    if trench is not None and not event.stroke.rubbed:
        trench = trench + np.maximum(stretch.belief.left - belief.left, 0.0)
    count = stretch.strokes + event.count
    return replace(
        stretch, belief=belief, strokes=count, trench=trench, since=Since(), last="strokes", levelled=False
    )


def _laid(stretch: Stretch, event: Laid) -> Stretch:
    since = replace(stretch.since, sticks=stretch.since.sticks + 1)
    belief = stretch.belief.laid(event.stick.lay)
    return replace(stretch, belief=belief, readings=stretch.readings + 1, since=since, last="readings")


def _levelled(stretch: Stretch, event: Worked) -> Stretch:
    level = None if stretch.trench is None else np.zeros_like(stretch.trench)
    return replace(stretch, trench=level, levelled=stretch.levelled or event.step == LEVELLED)


def _informed(stretch: Stretch, event: Taken, plan: JobPlan, bay: Bay) -> Stretch:
    told = left_of(stretch, event.reading, plan)
    if told is None:
        return stretch
    belief, from_tip = stretch.belief, stretch.from_tip(event.reading.x)
    error = event.reading.error(bay.tape)
    expected, doubt = belief.at(from_tip)
    cut_since = stretch.strokes == 0 and expected - told > UNTOLD * hypot(doubt, error)
    if event.reason or cut_since:
        # Twice the same against what was expected, or lower where nobody tells strokes: something was done
        # that no entry tells of, and what was read before it counts for less.
        belief = belief.shaken(abs(told - expected), SURPRISE)
    belief = belief.informed([Height(from_tip, told, error, event.reading.tool)])
    since = replace(stretch.since, gauges=stretch.since.gauges + 1)
    return replace(stretch, belief=belief, readings=stretch.readings + 1, since=since, last="readings")


def left_of(stretch: Stretch, reading: Reading, plan: JobPlan) -> float | None:
    """Return what a reading says is left on a stretch, metres; ``None`` if it says nothing of it.

    Rocker is measured from a straight edge on the bottom, which lies on the stage's own lowest line;
    thickness at the stage's own thickness, the other face taken as the plan has it then.
    """
    if reading.stage is not stretch.stage or not stretch.holds(reading.x):
        return None
    faces = plan.stages[stretch.stage]
    if reading.what is Measured.WIDTH and stretch.part is Part.EDGE:
        return reading.height / 2.0 - plan.at(faces.half_width, reading.x)
    if reading.what is Measured.LEFT_OVER:
        return reading.height
    if reading.what in (Measured.LEFT_HALF, Measured.RIGHT_HALF) and stretch.part is Part.EDGE:
        return reading.height - plan.at(faces.half_width, reading.x)
    if reading.what is Measured.THICKNESS and stretch.part is not Part.EDGE:
        return reading.height - plan.at(faces.deck - faces.bottom, reading.x)
    if reading.what is Measured.ROCKER and stretch.part is Part.BOTTOM:
        return plan.at(faces.bottom, reading.x) - float(faces.bottom.min()) - reading.height
    return None


def wanted_value(plan: JobPlan, reading: Reading, left: float) -> float:
    """Return what the tool would show if `left` metres were left where a reading was taken."""
    faces = plan.stages[reading.stage]
    if reading.what is Measured.LEFT_OVER:
        return left + reading.spacer
    if reading.what in (Measured.LEFT_HALF, Measured.RIGHT_HALF):
        return plan.at(faces.half_width, reading.x) + left
    if reading.what is Measured.WIDTH:
        return 2.0 * (plan.at(faces.half_width, reading.x) + left) + reading.spacer
    if reading.what is Measured.THICKNESS:
        return plan.at(faces.deck - faces.bottom, reading.x) + left + reading.spacer
    level = float(faces.bottom.min())
    return plan.at(faces.bottom, reading.x) - level - left + reading.spacer
