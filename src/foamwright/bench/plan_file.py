"""A plan read back from its document: what the bench needs of it, and nothing drawn."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

import numpy as np

from foamwright.bay.bay import Plane
from foamwright.bench.belief import Made
from foamwright.bench.course import Course, made_of, target_of
from foamwright.cuts.run import End, run_from_json
from foamwright.cuts.runs import RunTarget
from foamwright.cuts.sole import Sole, sole_of
from foamwright.errors import FaultError, InputError, Problem
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName

T = TypeVar("T")
FORM = "foamwright plan 2"
REMEDY = "Plan the job again into this folder (foamwright plan …); the readings beside it stay."


@dataclass(frozen=True, eq=False)
class StageFaces:
    """One stage: heights at the stringer above the board's level line, half the outline; (N,) metres."""

    bottom: Floats
    deck: Floats
    half_width: Floats


@dataclass(frozen=True, eq=False)
class JobRun:
    """One planned run-off of a job.

    Attributes
    ----------
    target
        What is to be done.
    plane
        With which plane.
    planned
        The planned strokes one by one.
    length
        Of the board, metres.
    """

    target: RunTarget
    plane: Plane
    planned: tuple[Made, ...]
    length: float

    @property
    def stage(self) -> StageName:
        """The stage that this run belongs to."""
        return StageName(self.target.stage)

    @property
    def sole(self) -> Sole:
        """The sole of the plane."""
        return sole_of(self.plane)

    def from_tip(self, x: float) -> float:
        """Return the distance of a station (metres from the tail) from this run's tip."""
        return self.length - x if self.target.end is End.NOSE else x

    def station(self, from_tip: float) -> float:
        """Return the station (metres from the tail) at a distance from this run's tip."""
        return self.length - from_tip if self.target.end is End.NOSE else from_tip

    def course(self) -> Course:
        """Return the run made ready for a trial."""
        chips = np.array(sorted(self.plane.chips, reverse=True))
        return Course(self.target, self.sole, chips, self.planned)


@dataclass(frozen=True, eq=False)
class JobPlan:
    """A job's plan.

    Attributes
    ----------
    board
        The board's name.
    length
        Of the board, metres.
    x
        (N,) stations from the tail tip.
    stages
        What each stage leaves, in the order of the work, the blank first.
    runs
        The four run-offs.
    finish, tolerance
        Allowance for sanding and tolerance of a run-off, metres.
    """

    board: str
    length: float
    x: Floats
    stages: Mapping[StageName, StageFaces]
    runs: tuple[JobRun, ...]
    finish: float
    tolerance: float

    @cached_property
    def order(self) -> tuple[StageName, ...]:
        """The stages in the order of the work."""
        return tuple(self.stages)

    def before(self, stage: StageName) -> StageFaces:
        """Return what the stage before leaves."""
        return self.stages[self.order[max(0, self.order.index(stage) - 1)]]

    def at(self, values: Floats, x: float) -> float:
        """Return values given on the plan's stations at station `x`."""
        return float(np.interp(x, self.x, values))

    def runs_of(self, stage: StageName) -> tuple[JobRun, ...]:
        """Return a stage's run-offs; none for a stage that is not planed so."""
        return tuple(run for run in self.runs if run.stage is stage)


def plan_from(text: str | bytes, name: str) -> JobPlan:
    """Return the plan in a document's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        It is cut short, edited by hand into something that is no plan, or of another form.
    """
    try:
        document = json.loads(text)
    except (ValueError, UnicodeDecodeError) as error:
        raise InputError(Problem(name, f"It is cut short or damaged ({error}).", REMEDY)) from error
    if not isinstance(document, dict) or document.get("format") != FORM:
        found = document.get("format") if isinstance(document, dict) else None
        raise InputError(Problem(name, f"It is no plan of this form (“{FORM}”; found {found!r}).", REMEDY))
    return _sound(name, lambda: _plan(document))


def _sound(name: str, make: Callable[[], T]) -> T:
    """Turn whatever a hand-edited document makes fail into the message that it is damaged."""
    try:
        return make()
    except KeyError as missing:
        raise InputError(Problem(name, f"{missing} is missing from it.", REMEDY)) from missing
    except (TypeError, ValueError, IndexError, AttributeError, FaultError) as wrong:
        raise InputError(Problem(name, f"A value in it cannot stand ({wrong}).", REMEDY)) from wrong


def _plan(document: Mapping[str, Any]) -> JobPlan:
    first = document["stages"][0]
    length = float(document["length_m"])
    return JobPlan(
        board=str(document["board"]),
        length=length,
        x=_floats(first["x_m"]),
        stages={StageName(one["name"]): _faces(one) for one in document["stages"]},
        runs=tuple(_run(one, length) for one in document["runs"]),
        finish=float(document["allowances"]["finish_m"]),
        tolerance=float(document["allowances"]["run_off_m"]),
    )


def _floats(values: Any) -> Floats:
    array = np.asarray(values, dtype=np.float64)
    if not np.isfinite(array).all():
        raise ValueError("a number is not finite")
    return array


def _faces(one: Mapping[str, Any]) -> StageFaces:
    return StageFaces(_floats(one["bottom_m"]), _floats(one["deck_m"]), _floats(one["half_width_m"]))


def _run(one: Mapping[str, Any], length: float) -> JobRun:
    run = run_from_json(one)
    return JobRun(target_of(run), run.plane, made_of(run), length)
