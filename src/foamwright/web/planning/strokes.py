"""The strokes of a plan as lists: passes to thickness, and the four run-offs with their stops."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.blank.numbers import Face
from foamwright.cuts.passes import PassPlan
from foamwright.cuts.runs import RunPlan
from foamwright.papers.job_words import Figures, figures_of
from foamwright.planning.plan import Plan
from foamwright.stages.solids import StageName
from foamwright.web.bench.figures import plane_words
from foamwright.web.rendering import Reader


@dataclass(frozen=True, slots=True)
class Group:
    """Equal strokes made one after the other.

    Attributes
    ----------
    count
        How many.
    start
        Where they start, from the tip; for strokes lifted before it, from where to where.
    begin, reach
        The same, as shares of the run in percent: where the bar begins, and how long it is.
    chip, skew
        The iron, and by how many degrees the plane is turned (empty if it is not).
    stop
        What to read at a stop after them; empty if there is none.
    doubt
        How far that may be out.
    """

    count: int
    start: str
    begin: float
    reach: float
    chip: str
    skew: str
    stop: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class RunList:
    """A run as a list.

    Attributes
    ----------
    stage, face, end
        Which run.
    plane
        The plane that it is made with, in the visitor's words.
    strokes
        How many strokes in all.
    depth
        What comes off at the tip.
    groups, lifted
        Strokes that run off the tip in order, and those lifted before it.
    tolerance
        How far above the line the list may end.
    """

    stage: str
    face: str
    end: str
    plane: str
    strokes: int
    depth: str
    groups: tuple[Group, ...]
    lifted: tuple[Group, ...]
    tolerance: str


@dataclass(frozen=True, slots=True)
class PassList:
    """Passes to thickness over one face: how many run the whole length, how many do not, and the iron."""

    face: str
    whole: int
    local: int
    chip: str


@dataclass(frozen=True, slots=True)
class _Sayer:
    """Says lengths as the papers do, with the visitor's decimals."""

    reader: Reader
    figures: Figures

    def unit(self, figure: str) -> str:
        return self.reader.figure(self.figures.with_unit(figure))


def run_lists(plan: Plan, reader: Reader) -> tuple[RunList, ...]:
    """Return the four runs as lists, in the order of the work."""
    say = _Sayer(reader, figures_of(plan.bay, reader.lengths))
    return tuple(_run(run, _thickness_at_tip(plan, run), say) for run in plan.runs)


def pass_lists(plan: Plan, reader: Reader) -> tuple[PassList, ...]:
    """Return the passes to thickness that there are."""
    say = _Sayer(reader, figures_of(plan.bay, reader.lengths))
    return tuple(_passes(face, passes, say) for face, passes in plan.passes.items() if passes.passes)


def _passes(face: Face, passes: PassPlan, say: _Sayer) -> PassList:
    strokes = sum(one.count for one in passes.passes)
    chip = max(one.chip for one in passes.passes)
    return PassList(face.value, passes.whole, strokes - passes.whole, say.unit(say.figures.chip(chip)))


def _thickness_at_tip(plan: Plan, run: RunPlan) -> float:
    """What calipers read at the tip once the run is made."""
    stage = plan.chain.stage(StageName(run.target.stage))
    return float(stage.thickness[-1 if run.target.end.value == "nose" else 0])


def _run(run: RunPlan, thickness: float, say: _Sayer) -> RunList:
    stops = {stop.after: stop for stop in run.stops}
    groups = []
    for number, (group, left) in enumerate(zip(run.strokes, run.left_at_tip, strict=True), start=1):
        stop = stops.get(number)
        groups.append(
            Group(
                count=group.count,
                start=say.unit(say.figures.start(group.start_from_tip)),
                begin=100.0 * (1.0 - group.start_from_tip / run.target.length),
                reach=100.0 * group.start_from_tip / run.target.length,
                chip=say.unit(say.figures.chip(group.chip)),
                skew=f"{group.skew_deg:.0f}" if group.skew_deg else "",
                stop=say.unit(say.figures.at_least(thickness + left)) if stop else "",
                doubt=say.unit(say.figures.nearest(stop.doubt)) if stop else "",
            )
        )
    return RunList(
        stage=run.target.stage,
        face=run.target.face.value,
        end=run.target.end.value,
        plane=plane_words(say.reader, run.plane.name),
        strokes=run.stroke_count + sum(one.count for one in run.lifted),
        depth=say.unit(say.figures.depth(float(run.target.depth[-1]))),
        groups=tuple(groups),
        lifted=_lifted(run, say),
        tolerance=say.unit(say.figures.nearest(run.tolerance)),
    )


def _lifted(run: RunPlan, say: _Sayer) -> tuple[Group, ...]:
    length = run.target.length
    return tuple(
        Group(
            count=one.count,
            start=_between(length - one.begin, length - one.end, say),
            begin=100.0 * one.begin / length,
            reach=100.0 * (one.end - one.begin) / length,
            chip=say.unit(say.figures.chip(one.chip)),
            skew=f"{one.skew_deg:.0f}" if one.skew_deg else "",
        )
        for one in run.lifted
    )


def _between(begin: float, end: float, say: _Sayer) -> str:
    return f"{say.reader.figure(say.figures.start(begin))} – {say.unit(say.figures.lift(end))}"
