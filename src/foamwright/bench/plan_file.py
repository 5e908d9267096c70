"""A plan read back from its document: what the bench needs of it, and nothing drawn."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cuts.run import FARTHEST, End, Run, metres, run_from_json
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
    """One planned run of a job: the run, and the length of its board, metres."""

    run: Run
    length: float

    @property
    def stage(self) -> StageName:
        """The stage that this run belongs to."""
        return StageName(self.run.stage)

    @property
    def end(self) -> End:
        """The end that its strokes run off."""
        return self.run.end

    def from_tip(self, x: float) -> float:
        """Return the distance of a station (metres from the tail) from this run's tip."""
        return self.length - x if self.run.end == End.NOSE else x

    def station(self, from_tip: float) -> float:
        """Return the station (metres from the tail) at a distance from this run's tip."""
        return self.length - from_tip if self.run.end == End.NOSE else from_tip


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
    passes
        Faces that lose an even part to thickness, in order.
    bands
        Names of the rail bands, in order.
    scooped
        Whether anything is scooped out of the bottom.
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
    passes: tuple[Face, ...] = ()
    bands: tuple[str, ...] = ()
    scooped: bool = False

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
    except (ValueError, UnicodeDecodeError, RecursionError) as error:
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
    except (TypeError, ValueError, ArithmeticError, IndexError, AttributeError, FaultError) as wrong:
        raise InputError(Problem(name, f"A value in it cannot stand ({wrong}).", REMEDY)) from wrong


def _plan(document: Mapping[str, Any]) -> JobPlan:
    first = document["stages"][0]
    length = metres(document["length_m"])
    x = _floats(first["x_m"])
    _require_rising(x, length)
    stages = {StageName(one["name"]): _faces(one, x.size) for one in document["stages"]}
    bands = [band["name"] for station in document["bands"] for band in station["bands"]]
    return JobPlan(
        board=str(document["board"]),
        length=length,
        x=x,
        stages=stages,
        runs=tuple(_run(one, length, stages) for one in document["runs"]),
        finish=metres(document["allowances"]["finish_m"]),
        tolerance=metres(document["allowances"]["run_off_m"]),
        passes=tuple(Face(one["face"]) for one in document["passes"] if one["passes"]),
        bands=tuple(dict.fromkeys(map(str, bands))),
        scooped=bool(document["scoop"].get("needed", document["scoop"].get("marks_m"))),
    )


def _run(one: Mapping[str, Any], length: float, stages: Mapping[StageName, StageFaces]) -> JobRun:
    if StageName(one["stage"]) not in stages:
        raise ValueError(f"stage {one['stage']} of a run is not among the stages")
    return JobRun(run_from_json(one), length)


def _require_rising(x: Floats, length: float) -> None:
    if length <= 0.0:
        raise ValueError("its length is none")
    if x.ndim != 1 or x.size < 2 or (np.diff(x) <= 0.0).any():
        raise ValueError("its stations do not rise")


def _floats(values: Any) -> Floats:
    array = np.asarray(values, dtype=np.float64)
    if not (np.abs(array) <= FARTHEST).all():
        raise ValueError("a number is not finite, or no length of a job")
    return array


def _faces(one: Mapping[str, Any], count: int) -> StageFaces:
    faces = [_floats(one[f"{name}_m"]) for name in ("bottom", "deck", "half_width")]
    if any(heights.shape != (count,) for heights in faces):
        raise ValueError(f"stage {one['name']} does not have a height for every station")
    return StageFaces(*faces)
