"""A plan as steps at the bench: what to do, where, how often, when to stop, and what to read then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cuts.run import End, Run, Stop, Stroke
from foamwright.jobs.bench_steps_asked import Asked, asked_at_marks, asked_at_tip, asked_between
from foamwright.jobs.bench_steps_groups import Group, passes_group, run_group
from foamwright.jobs.bench_steps_shapes import from_above, from_the_side, of_bands, of_run, of_scoop
from foamwright.papers.job_howto import Step
from foamwright.papers.job_minutes import minutes_by_step
from foamwright.planning.plan import Plan
from foamwright.shop.plans import StepWish
from foamwright.stages.solids import StageName

RECKONED = {
    StageName.THICKNESS: Step.THICKNESS,
    StageName.ROCKER: Step.ROCKER,
    StageName.FOIL: Step.FOIL,
    StageName.RAILS: Step.RAILS,
    StageName.FINISHED: Step.FINISH,
}
"""The stages whose minutes the plan reckons; sawing and contours take the same in every blank."""


class Kind(StrEnum):
    """Kinds of step; each has its lesson, its picture and its words."""

    SAW = "saw"
    PASSES = "passes"
    RUN = "run"
    LIFTED = "lifted"
    CHECK = "check"
    SCOOP = "scoop"
    BAND = "band"
    SAND = "sand"


@dataclass(frozen=True, eq=False)
class BenchStep:
    """One step at the bench.

    Attributes
    ----------
    stage, kind
        Which stage of the work, which kind of step.
    face, end
        Face that is cut and end that it is cut towards, if any.
    groups
        Strokes in order.
    tool
        Name of the plane; empty where no stroke is counted.
    asks
        What is measured then, in order.
    shape
        What the picture is drawn from: plain values.
    more
        What only this kind of step has: plain values.
    """

    stage: StageName
    kind: Kind
    face: Face | None = None
    end: End | None = None
    groups: tuple[Group, ...] = ()
    tool: str = ""
    asks: tuple[Asked, ...] = ()
    shape: dict[str, Any] | None = None
    more: dict[str, Any] | None = None

    @property
    def strokes(self) -> int:
        """Strokes in all."""
        return sum(group.count for group in self.groups)

    def detail(self, plan: Plan) -> dict[str, Any]:
        """Return what the step's page needs, as plain values."""
        return {
            "length_m": plan.board.length,
            "face": None if self.face is None else self.face.value,
            "end": None if self.end is None else self.end.value,
            "groups": [group.as_json() for group in self.groups],
            "tool": self.tool,
            "asks": [ask.as_json() for ask in self.asks],
            "shape": self.shape,
            "more": self.more or {},
            "tape": plan.bay.tape.fraction,
            "polyurethane": plan.polyurethane,
        }


def step_wishes(plan: Plan) -> tuple[StepWish, ...]:
    """Return the steps of a plan as the shop keeps them, each with its share of the plan's minutes."""
    steps = bench_steps(plan)
    minutes = minutes_by_step(plan)
    made: list[StepWish] = []
    for step in steps:
        # Reckoned for the whole stage; its steps share it by their strokes, one without any counting as one.
        weights = [max(one.strokes, 1) for one in steps if one.stage == step.stage]
        whole = minutes.get(RECKONED[step.stage], 0.0) if step.stage in RECKONED else 0.0
        share = whole * max(step.strokes, 1) / sum(weights)
        detail = step.detail(plan) | {"minutes": round(share, 2)}
        made.append(StepWish(step.stage.value, step.kind.value, step.strokes, detail))
    return tuple(made)


def bench_steps(plan: Plan) -> tuple[BenchStep, ...]:
    """Return the steps of a plan in the order of the work."""
    return (
        _saw(plan),
        *_thickness(plan),
        *_runs(plan, StageName.ROCKER),
        *_runs(plan, StageName.FOIL),
        *_scoop(plan),
        *_bands(plan),
        _sand(plan),
    )


def _saw(plan: Plan) -> BenchStep:
    return BenchStep(
        StageName.OUTLINE,
        Kind.SAW,
        Face.BOTTOM,
        asks=tuple(asked_at_marks(plan, StageName.OUTLINE, "width")),
        shape=from_above(plan),
        more={"saw_m": plan.bay.allowances.saw},
    )


def _thickness(plan: Plan) -> Iterator[BenchStep]:
    """Both faces in turn; a face that loses nothing has no step."""
    taken = np.zeros_like(plan.chain.x)
    for face, passes in plan.passes.items():
        if not passes.passes:
            continue
        even = plan.chain.bottom.even if face is Face.BOTTOM else plan.chain.deck.even
        asks = asked_between(plan, StageName.OUTLINE, taken + even)
        taken = taken + even
        yield BenchStep(
            StageName.THICKNESS,
            Kind.PASSES,
            face,
            groups=tuple(passes_group(one) for one in passes.passes),
            tool=passes.plane.name,
            asks=tuple(asks),
            shape=from_the_side(plan, StageName.THICKNESS, (face,)),
        )


def _runs(plan: Plan, stage: StageName) -> Iterator[BenchStep]:
    runs = [run for run in plan.runs if run.stage == stage.value]
    for run in runs:
        yield from _run(plan, run)
    if runs:
        yield _check(plan, stage, runs[0].face)


def _run(plan: Plan, run: Run) -> Iterator[BenchStep]:
    """A run in steps: strokes up to a stop, and the reading there."""
    done = 0
    for stop in run.stops:
        made = run.strokes[done : stop.after_strokes]
        if made:
            yield _stretch(plan, run, made, stop, done)
        done = stop.after_strokes


def _stretch(plan: Plan, run: Run, made: Sequence[Stroke], stop: Stop, first: int) -> BenchStep:
    return BenchStep(
        StageName(run.stage),
        Kind.RUN,
        run.face,
        run.end,
        groups=tuple(run_group(one) for one in made),
        tool=run.plane.name,
        asks=(asked_at_tip(plan, run, stop, made),),
        shape=of_run(plan, run),
        more={
            "first": first,
            "sole_m": run.plane.sole,
            "mouth_m": run.plane.mouth,
            "width_m": run.plane.width,
            **_grain(plan, run),
        },
    )


def _grain(plan: Plan, run: Run) -> dict[str, Any]:
    """Where straight fibres turn, and how much foam comes down beside the stringer."""
    foam = plan.foam[run.face]
    return {
        "turns_m": list(plan.grain[run.face].turns) if run.face in plan.grain else [],
        "strips": foam.strips,
        "layers": foam.layers,
        "layer_m": foam.chip,
    }


def _check(plan: Plan, stage: StageName, face: Face) -> BenchStep:
    what = "rocker" if stage is StageName.ROCKER else "thickness"
    return BenchStep(
        stage,
        Kind.CHECK,
        face,
        asks=tuple(asked_at_marks(plan, stage, what)),
        shape=from_the_side(plan, stage, (face,)),
        more={"strips": plan.foam[face].strips, "layers": plan.foam[face].layers},
    )


def _scoop(plan: Plan) -> Iterator[BenchStep]:
    scoop = plan.scoop
    if not scoop.needed:
        return
    rows = [
        {
            "station": station.name,
            "x_m": station.x,
            "y_m": scoop.y[place].tolist(),
            "mark_m": scoop.marks[place].tolist(),
        }
        for place, station in enumerate(plan.stations)
        if scoop.x.size == len(plan.stations) and scoop.exact[place].max() > 0.0
    ]
    yield BenchStep(
        StageName.CONTOURS,
        Kind.SCOOP,
        Face.BOTTOM,
        asks=tuple(asked_at_marks(plan, StageName.CONTOURS, "thickness")),
        shape=of_scoop(plan),
        more={"rows": rows},
    )


def _bands(plan: Plan) -> Iterator[BenchStep]:
    """One step a band: its two pencil lines at every station that has it."""
    for name in _names(band.name for station in plan.bands for band in station.bands.bands):
        rows = [
            {
                "station": station.station.name,
                "x_m": station.station.x,
                "lines": [{"on": line.on, "from_edge_m": line.from_edge} for line in band.lines],
            }
            for station in plan.bands
            for band in station.bands.bands
            if band.name == name
        ]
        yield BenchStep(
            StageName.RAILS,
            Kind.BAND,
            Face(name.partition(" ")[0]),
            shape=of_bands(plan, name),
            more={"band": name, "rows": rows},
        )


def _names(names: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(names))


def _sand(plan: Plan) -> BenchStep:
    return BenchStep(
        StageName.FINISHED,
        Kind.SAND,
        asks=(
            *asked_at_marks(plan, StageName.FINISHED, "thickness"),
            *asked_at_marks(plan, StageName.FINISHED, "width"),
        ),
        shape=from_the_side(plan, StageName.FINISHED, (Face.BOTTOM, Face.DECK)),
        more={"finish_m": plan.bay.allowances.finish},
    )
