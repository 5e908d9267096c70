"""Advice: what is left, what to do next and where to measure, what is done, and what is already too deep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import erf, sqrt

import numpy as np

from foamwright.bench.as_is import Stretch
from foamwright.bench.belief import Belief, Made
from foamwright.bench.care import GRID, usual_care
from foamwright.bench.plan_file import JobPlan
from foamwright.shape.kernels.profile_filter import Known, stroke_filter
from foamwright.shape.kernels.stroke_choice import NOT_CUT, Care, choose_place, choose_stroke, settled
from foamwright.shape.kernels.worn_trials import PROBES, probed
from foamwright.stages.solids import StageName

STOP_AFTER = 60
"""Strokes advised at once, at most."""

MARKS = 12
"""Places to measure named at once, at most."""

RISK = 1e-3
"""Chance of ending below the target by more than the tolerance that no advice may pass."""


@dataclass(frozen=True, slots=True)
class Group:
    """Equal strokes to make one after the other: how many, from where to where before the tip, which chip."""

    stage: str
    face: str
    end: str
    count: int
    stroke: Made
    skew_deg: float
    plane: str

    def as_json(self) -> dict[str, object]:
        """Return the group as plain values."""
        return {
            "stage": self.stage,
            "face": self.face,
            "end": self.end,
            "count": self.count,
            "start_from_tip_m": self.stroke.start,
            "end_from_tip_m": self.stroke.end,
            "chip_m": self.stroke.chip,
            "skew_deg": self.skew_deg,
            "plane": self.plane,
        }


@dataclass(frozen=True, slots=True)
class Left:
    """What is left at a station of a stage, metres, and its doubt (standard error)."""

    stage: str
    face: str
    station: float
    left: float
    doubt: float

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "stage": self.stage,
            "face": self.face,
            "station_m": self.station,
            "left_m": self.left,
            "doubt_m": self.doubt,
        }


@dataclass(frozen=True, slots=True)
class Deep:
    """A station that is probably too deep.

    Attributes
    ----------
    at
        What is left there.
    chance
        That it is below its target by more than the tolerance.
    within_finish
        Whether the allowance for sanding takes it up: then less is sanded there and the board is as meant.
    """

    at: Left
    chance: float
    within_finish: bool

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {**self.at.as_json(), "chance": self.chance, "within_finish": self.within_finish}


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a stage's end rests on: readings and strokes behind it, and its worst place (metres)."""

    stage: str
    face: str
    end: str | None
    strokes: int
    readings: int
    station: float
    left: float
    doubt: float
    done: bool

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "stage": self.stage,
            "face": self.face,
            "end": self.end,
            "strokes": self.strokes,
            "readings": self.readings,
            "worst": {"station_m": self.station, "left_m": self.left, "doubt_m": self.doubt},
            "done": self.done,
        }


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do now.

    Attributes
    ----------
    stage
        The stage that is being worked on; ``None``: all are done.
    strokes
        Groups to make before the next stop to measure, in order; none: measure first, or cut as the
        plan says where the stage is not planed by run-offs.
    measure
        Stations (metres from the tail) in the order in which they settle most.
    left
        At every station of every stage that has begun, and of the one being worked on.
    too_deep
        What is probably too deep.
    risk
        Greatest chance, where the strokes cut, of then being below the target by more than the tolerance.
    done
        Stages that are done: within the tolerance with the evidence of readings.
    evidence
        What that rests on, part by part of every stage that has begun.
    """

    stage: StageName | None
    strokes: tuple[Group, ...]
    measure: tuple[float, ...]
    left: tuple[Left, ...]
    too_deep: tuple[Deep, ...]
    risk: float
    done: tuple[StageName, ...]
    evidence: tuple[Evidence, ...]

    @property
    def finished(self) -> bool:
        """Whether every stage is done."""
        return self.stage is None

    def as_json(self) -> dict[str, object]:
        """Return the advice as plain values, keys as in docs/interface."""
        return {
            "stage": None if self.stage is None else self.stage.value,
            "next": [group.as_json() for group in self.strokes],
            "measure": [{"station_m": x} for x in self.measure],
            "left": [one.as_json() for one in self.left],
            "too_deep": [one.as_json() for one in self.too_deep],
            "risk": self.risk,
            "done": [stage.value for stage in self.done],
            "evidence": [one.as_json() for one in self.evidence],
            "finished": self.finished,
        }


TIP = 1e-3
"""Metres from the end of the board within which a station is the tip itself."""

ADVISED = (StageName.OUTLINE, StageName.THICKNESS, StageName.ROCKER, StageName.FOIL)
"""Stages that are judged by readings at the stringer; the rest is cut across it."""


def advise(plan: JobPlan, found: Sequence[Stretch], stations: Sequence[float]) -> Advice:
    """Return what to do now.

    Parameters
    ----------
    plan
        The job.
    found
        The board as it is (`foamwright.bench.as_is.stretches`).
    stations
        Where a tape finds its marks, metres from the tail.
    """
    care = usual_care(plan.tolerance)
    ended = {id(one): _is_done(one, care, stations) for one in found}
    done = tuple(s for s in ADVISED if all(ended[id(one)] for one in found if one.stage is s))
    stage = _working_on(found, done)
    working = next((one for one in found if one.stage is stage and not ended[id(one)]), None)
    strokes, after = _next(working, care) if working is not None else ((), None)
    begun = [one for one in found if one.last or one.stage is stage]
    left = tuple(_left(one, x) for one in begun for x in stations if one.holds(x))
    return Advice(
        stage=stage,
        strokes=strokes,
        measure=_measure(working, after, care, stations),
        left=left,
        too_deep=tuple(_deep(begun, left, plan)),
        risk=_risk(working.belief, after, care) if working is not None and after is not None else 0.0,
        done=done,
        evidence=tuple(_evidence(one, care, ended[id(one)]) for one in found if one.last),
    )


def _working_on(found: Sequence[Stretch], done: Sequence[StageName]) -> StageName | None:
    """Return the stage to work on: the latest that has begun, or what comes after it once it is done.

    Earlier stages of which nothing was told are taken as made; nobody is sent back to the saw.
    """
    begun = [ADVISED.index(one.stage) for one in found if one.last and one.stage in ADVISED]
    return next((s for s in ADVISED[max(begun, default=0) :] if s not in done), None)


def _is_done(stretch: Stretch, care: Care, stations: Sequence[float]) -> bool:
    """Whether a stretch is as it shall be.

    A run-off is when readings came last and every station is surely within the tolerance above. What is not
    cut by run-offs is when every station of the tape was read and has no more left than the tolerance. Where
    nothing was to come off, nothing has to be read.
    """
    belief = stretch.belief
    if not stretch.last:
        return bool(belief.left.max() <= care.tolerance)
    if stretch.readings == 0 or stretch.last != "readings":
        return False
    if stretch.run is not None:
        return bool(settled(belief.known(), care))
    return not _open_stations(stretch, care, stations)


def _open_stations(stretch: Stretch, care: Care, stations: Sequence[float]) -> list[float]:
    """Return the tape's stations between the tips that were not read, or have more left than the tolerance.

    Only a run-off ends at a tip: elsewhere nothing is asked there, and a width has no edges to be read from.
    """
    inside = [x for x in stations if stretch.holds(x) and TIP < x < stretch.length - TIP]
    known = {x: stretch.at(x) for x in inside}
    return [x for x, (left, doubt) in known.items() if doubt > care.tolerance or left > care.tolerance]


def _next(stretch: Stretch, care: Care) -> tuple[tuple[Group, ...], Belief | None]:
    """Return the strokes to make before measuring, and what will be known after them."""
    run, belief = stretch.run, stretch.belief
    if run is None:
        return (), belief
    chips = np.array(sorted(run.plane.chips, reverse=True))
    known, choice = belief.known(), np.zeros(3)
    strokes: list[Made] = []
    # Strokes made since the last reading count as made: they wait for the same reading.
    made = 1 if stretch.last == "strokes" else 0
    probes = min(stretch.strokes, PROBES) * made
    while len(strokes) < STOP_AFTER and not probed(known, len(strokes) + probes, chips[-1], care):
        if not choose_stroke(known, chips, care, made + len(strokes), choice):
            break
        stroke_filter(known, choice[0], choice[1], choice[2])
        strokes.append(_made(choice, belief.size))
    groups = [(one, len(list(same))) for one, same in groupby(strokes)]
    target = run.target
    names = (target.stage, target.face.value, target.end.value)
    told = tuple(Group(*names, count, one, 0.0, run.plane.name) for one, count in groups)
    return told, belief.having(known)


def _made(choice: np.ndarray[tuple[int], np.dtype[np.float64]], size: int) -> Made:
    end = None if choice[1] >= size else (size - 1 - float(choice[1])) * GRID
    return Made((size - 1 - float(choice[0])) * GRID, end, float(choice[2]))


def _measure(
    stretch: Stretch | None, after: Belief | None, care: Care, stations: Sequence[float]
) -> tuple[float, ...]:
    """Return where to measure once the strokes are made: each time the place that then settles most."""
    if stretch is None or after is None:
        return ()
    if stretch.run is None:
        return tuple(_open_stations(stretch, care, stations)[:MARKS]) if stretch.last else ()
    known, finest = after.known(), min(stretch.run.plane.chips)
    places: list[int] = []
    while len(places) < MARKS:
        k = choose_place(known, finest, care)
        if k < 0:
            break
        _suppose_read(known, k, care)
        if k not in places:
            places.append(k)
    return tuple(_station(stretch, float(after.from_tip[k])) for k in places)


def _suppose_read(known: Known, k: int, care: Care) -> None:
    """Take a reading of what is expected anyway: the mean stays, the doubt falls."""
    from foamwright.shape.kernels.profile_filter import take_reading

    take_reading(known, float(k), float(known.mean[k]), (0.6 * care.tolerance) ** 2)


def _station(stretch: Stretch, from_tip: float) -> float:
    return stretch.length - from_tip if stretch.run is None else stretch.run.station(from_tip)


def _left(stretch: Stretch, x: float) -> Left:
    left, doubt = stretch.at(x)
    return Left(stretch.stage.value, stretch.part.value, x, left, doubt)


def _evidence(stretch: Stretch, care: Care, done: bool) -> Evidence:
    belief = stretch.belief
    worst = int(np.argmax(belief.left + care.sure * belief.doubt))
    return Evidence(
        stage=stretch.stage.value,
        face=stretch.part.value,
        end=None if stretch.end is None else stretch.end.value,
        strokes=stretch.strokes,
        readings=stretch.readings,
        station=_station(stretch, float(belief.from_tip[worst])),
        left=float(belief.left[worst]),
        doubt=float(belief.doubt[worst]),
        done=done,
    )


def below(limit: float, mean: float, doubt: float) -> float:
    """Return the chance that a normal number with this mean and standard error lies below `limit`."""
    if doubt <= 0.0:
        return 1.0 if mean < limit else 0.0
    return 0.5 * (1.0 + erf((limit - mean) / doubt / sqrt(2.0)))


def _risk(before: Belief, after: Belief, care: Care) -> float:
    """Return the greatest chance of being too deep where the strokes cut."""
    cut = before.left - after.left > NOT_CUT
    pairs = zip(after.left[cut], after.doubt[cut], strict=True)
    return max((below(-care.tolerance, float(m), float(d)) for m, d in pairs), default=0.0)


def _deep(begun: Sequence[Stretch], left: Sequence[Left], plan: JobPlan) -> list[Deep]:
    """Return stations of stages with readings that are more likely too deep than not."""
    read = {(one.stage.value, one.part.value) for one in begun if one.readings > 0}
    found = []
    for one in left:
        chance = below(-plan.tolerance, one.left, one.doubt)
        if chance > 0.5 and (one.stage, one.face) in read:
            found.append(Deep(one, chance, -one.left <= plan.finish))
    return found
