"""The strokes of a plan as lists: passes to thickness, and the four run-offs with their stops."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.blank.numbers import Face
from foamwright.cuts.passes import PassPlan
from foamwright.cuts.run import Run
from foamwright.papers.job_words import Figures, figures_of
from foamwright.planning.plan import Plan
from foamwright.stages.solids import StageName
from foamwright.web.bench.figures import plane_words
from foamwright.web.rendering import Reader


@dataclass(frozen=True, slots=True)
class Group:
    """Strokes between two stops, one from each mark.

    Attributes
    ----------
    count
        How many.
    start
        Where they start, from the tip, in order.
    begin, reach
        The longest of them as shares of the run in percent: where the bar begins, and how long it is.
    chip
        The iron.
    stop
        What to read at the tip after them.
    least
        What it must not be under.
    foam
        ``"strip"`` or ``"whole"`` where the foam comes down then; empty if it does not.
    """

    count: int
    start: str
    begin: float
    reach: float
    chip: str
    stop: str
    least: str
    foam: str


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
    groups
        Strokes in order.
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


def _thickness_at_tip(plan: Plan, run: Run) -> float:
    """What calipers read at the tip once the run is made."""
    stage = plan.chain.stage(StageName(run.stage))
    return float(stage.thickness[-1 if run.end.value == "nose" else 0])


def _run(run: Run, thickness: float, say: _Sayer) -> RunList:
    groups, made = [], 0
    for stop in run.stops:
        strokes = run.strokes[made : stop.after_strokes]
        made = stop.after_strokes
        down = next((one for one in run.foam_down if one.after_strokes == made), None)
        tip, reach = stop.places[0], strokes[-1].start_from_tip
        line = run.at(run.target, tip.from_tip)
        groups.append(
            Group(
                count=len(strokes),
                start=" · ".join(say.unit(say.figures.start(one.start_from_tip)) for one in strokes),
                begin=100.0 * (1.0 - reach / run.length),
                reach=100.0 * reach / run.length,
                chip=say.unit(say.figures.chip(strokes[0].chip)),
                stop=say.unit(say.figures.at_least(thickness + tip.expect - line)),
                least=say.unit(say.figures.at_least(thickness + tip.not_under - line)),
                foam="" if down is None else "whole" if down.whole else "strip",
            )
        )
    return RunList(
        stage=run.stage,
        face=run.face.value,
        end=run.end.value,
        plane=plane_words(say.reader, run.plane.name),
        strokes=len(run.strokes),
        depth=say.unit(say.figures.depth(float(run.before[-1] - run.target[-1]))),
        groups=tuple(groups),
        tolerance=say.unit(say.figures.nearest(run.tolerance)),
    )
