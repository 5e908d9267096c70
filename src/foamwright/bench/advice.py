"""Advice: the next step of a job, what is left, and what is already too deep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import erf, sqrt

from foamwright.bench.as_is import Stretch
from foamwright.bench.belief import Made
from foamwright.bench.next_step import Ask, Bench, Kind, Step, next_step
from foamwright.bench.plan_file import JobPlan


@dataclass(frozen=True, slots=True)
class Group:
    """Equal strokes to make one after the other: how many, from where to where before the tip, which chip."""

    stage: str
    face: str
    end: str
    count: int
    stroke: Made
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
            "rubbed": self.stroke.rubbed,
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


@dataclass(frozen=True, eq=False)
class Advice:
    """What to do now.

    Attributes
    ----------
    step
        The next step.
    left
        At every station of every stage that has begun, and of the one being worked on.
    too_deep
        What is probably too deep.
    """

    step: Step
    left: tuple[Left, ...]
    too_deep: tuple[Deep, ...]

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return f"<Advice: {self.step.kind.value}, {len(self.too_deep)} places too deep>"

    @property
    def strokes(self) -> tuple[Group, ...]:
        """The step's strokes, equal ones that follow each other as one group."""
        step = self.step
        names = (step.stage.value, step.face, step.end)
        return tuple(Group(*names, len(list(same)), made, step.plane) for made, same in groupby(step.strokes))

    @property
    def measure(self) -> tuple[Ask, ...]:
        """Where to measure, at most three places."""
        return self.step.places

    @property
    def finished(self) -> bool:
        """Whether every step is done."""
        return self.step.kind is Kind.DONE

    def as_json(self) -> dict[str, object]:
        """Return the advice as plain values, keys as in docs/interface."""
        return {
            "step": self.step.as_json(),
            "next": [group.as_json() for group in self.strokes],
            "measure": [one.as_json() for one in self.measure],
            "left": [one.as_json() for one in self.left],
            "too_deep": [one.as_json() for one in self.too_deep],
            "finished": self.finished,
        }


def advise(bench: Bench, stations: Sequence[float]) -> Advice:
    """Return what to do now.

    Parameters
    ----------
    bench
        The job as its history has it.
    stations
        Where a tape finds its marks, metres from the tail.
    """
    step = next_step(bench)
    begun = [one for one in bench.found if one.last or one.stage is step.stage]
    left = tuple(_left(one, x) for one in begun for x in stations if one.holds(x))
    return Advice(step, left, tuple(_deep(begun, left, bench.plan)))


def _left(stretch: Stretch, x: float) -> Left:
    left, doubt = stretch.at(x)
    return Left(stretch.stage.value, stretch.part.value, x, left, doubt)


def below(limit: float, mean: float, doubt: float) -> float:
    """Return the chance that a normal number with this mean and standard error lies below `limit`."""
    if doubt <= 0.0:
        return 1.0 if mean < limit else 0.0
    return 0.5 * (1.0 + erf((limit - mean) / doubt / sqrt(2.0)))


def _deep(begun: Sequence[Stretch], left: Sequence[Left], plan: JobPlan) -> list[Deep]:
    """Return stations of stages with readings that are more likely too deep than not."""
    read = {(one.stage.value, one.part.value) for one in begun if one.readings > 0}
    found = []
    for one in left:
        chance = below(-plan.tolerance, one.left, one.doubt)
        if chance > 0.5 and (one.stage, one.face) in read:
            found.append(Deep(one, chance, -one.left <= plan.finish))
    return found
