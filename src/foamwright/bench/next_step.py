"""The next step of a job: what the bench shows, `advise` prints, and the papers foretell.

`next_step(plan, history)` always returns one step: what to do now, with its strokes, its at most three places
to measure, what they should read and may not be under, and why. It asks `face_step` for the run in hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from foamwright.bay.bay import Bay
from foamwright.bench.as_is import FOAM_DOWN, LEVELLED, Memory, Part, Stretch, stretches
from foamwright.bench.belief import RUB, ChipFactor, Made
from foamwright.bench.entries import Entry, Laid, State, Stroked, Taken, Worked, counting
from foamwright.bench.face_step import RUBS, STOPS, Act, FaceState, FaceStep, face_step, usual_care
from foamwright.bench.plan_file import JobPlan
from foamwright.bench.readings import SHIMS, Measured, Tool
from foamwright.shape.kernels.face_choice import Care
from foamwright.stages.solids import StageName
from foamwright.units import INCH

MOST_PLACES = 3
"""Places to measure named in one step."""


class Kind(StrEnum):
    """Kinds of step."""

    SAW = "saw"
    STROKES = "strokes"
    PASSES = "passes"
    FOAM_DOWN = "foam_down"
    MEASURE = "measure"
    STICK = "stick"
    SCOOP = "scoop"
    BAND = "band"
    SAND = "sand"
    RESCUE = "rescue"
    DONE = "done"


class Why(StrEnum):
    """Why a step comes now."""

    ORDER = "the next step of the plan"
    SAFE = "these strokes are safe by what is known"
    TRENCH = "the trench is as deep as the plane's body allows"
    DOUBT = "no stroke is safe before something is measured"
    HIGH_PLACES = "what is left is for the block, not for the iron"
    LEVEL = "the stringer is at its depth and the foam stands beside it"
    TOO_DEEP = "more is gone than sanding takes up"
    REST = "within what readings can tell; the last sanding takes the rest"
    FINISHED = "everything is as it should be"


@dataclass(frozen=True, slots=True)
class Ask:
    """One place to measure; metres.

    Attributes
    ----------
    station
        From the tail tip.
    what, tool
        What is measured, with what.
    expect, not_under
        What should be read, and the least that leaves the stage unharmed.
    left, doubt
        What is expected to be left there, and its standard error.
    """

    station: float
    what: Measured
    tool: Tool
    expect: float
    not_under: float
    left: float
    doubt: float

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "station_m": self.station,
            "what": self.what.value,
            "tool": self.tool.value,
            "expect_m": self.expect,
            "not_under_m": self.not_under,
            "left_m": self.left,
            "doubt_m": self.doubt,
        }


@dataclass(frozen=True, eq=False)
class Step:
    """The next step of a job.

    Attributes
    ----------
    kind, stage, face, end
        What is to be done, at which stage, on which face towards which end (empty where it has none).
    why
        Why now.
    plane
        Which plane; empty where none is used.
    strokes
        In order.
    places
        Where to measure, at most three.
    left_to_sand
        Where more than the tolerance may be left for the last sanding: (station, most left), metres.
    name
        Of a band.
    """

    kind: Kind
    stage: StageName
    why: Why
    face: str = ""
    end: str = ""
    plane: str = ""
    strokes: tuple[Made, ...] = ()
    places: tuple[Ask, ...] = ()
    left_to_sand: tuple[tuple[float, float], ...] = ()
    name: str = ""

    def as_json(self) -> dict[str, object]:
        """Return the step as plain values, keys as in docs/interface."""
        return {
            "kind": self.kind.value,
            "stage": self.stage.value,
            "face": self.face,
            "end": self.end,
            "name": self.name,
            "why": self.why.value,
            "plane": self.plane,
            "strokes": [_stroke_json(one) for one in self.strokes],
            "places": [one.as_json() for one in self.places],
            "shims_m": list(SHIMS) if self.kind is Kind.STICK else [],
            "left_to_sand": [{"station_m": x, "left_m": left} for x, left in self.left_to_sand],
        }


def _stroke_json(made: Made) -> dict[str, object]:
    return {
        "start_from_tip_m": made.start,
        "end_from_tip_m": made.end,
        "chip_m": made.chip,
        "rubbed": made.rubbed,
        "rubs": round(made.chip / RUB) if made.rubbed else 0,
    }


@dataclass(frozen=True, eq=False)
class Bench:
    """A job as its history has it.

    Attributes
    ----------
    plan
        The job's plan.
    entries
        Its whole history.
    found
        Every part of the board as it is known.
    """

    plan: JobPlan
    entries: tuple[Entry, ...]
    found: tuple[Stretch, ...]

    @property
    def worked(self) -> tuple[Worked, ...]:
        """Steps without numbers that were done."""
        return tuple(e.event for e in counting(self.entries) if isinstance(e.event, Worked))

    def has_worked(self, stage: StageName, step: str, face: str = "", end: str = "") -> bool:
        """Tell whether a step was done."""
        return Worked(stage, step, face, end) in self.worked

    @property
    def begun(self) -> int:
        """Place in the order of the work of the latest stage of which anything was told; 0: none."""
        stages = [_stage_of(e) for e in counting(self.entries)]
        return max((self.plan.order.index(s) for s in stages if s in self.plan.order), default=0)


def _stage_of(entry: Entry) -> StageName | None:
    """Return the stage that an entry tells of; a questioned one tells of none: its stage may be the slip."""
    match entry.event:
        case Taken(state=State.ACCEPTED):
            return entry.event.reading.stage
        case Laid(state=State.ACCEPTED):
            return entry.event.stick.stage
        case Stroked() | Worked():
            return entry.event.stage
    return None


def bench_of(
    plan: JobPlan,
    entries: Sequence[Entry],
    bay: Bay,
    chip: ChipFactor | None = None,
    memory: Memory | None = None,
) -> Bench:
    """Return a job as its history has it."""
    found = stretches(plan, entries, bay, chip or ChipFactor(), memory=memory)
    return Bench(plan, tuple(entries), found)


def next_step(bench: Bench) -> Step:
    """Return the next step of a job: never none."""
    for stage in bench.plan.order[max(1, bench.begun) :]:
        step = _of_stage(bench, stage)
        if step is not None:
            return step
    return Step(Kind.DONE, StageName.FINISHED, Why.FINISHED)


def _of_stage(bench: Bench, stage: StageName) -> Step | None:
    """Return the next step of a stage, or nothing: it is done."""
    if bench.plan.runs_of(stage):
        return _of_runs(bench, stage)
    match stage:
        case StageName.OUTLINE:
            return _plain(bench, stage, Kind.SAW, "")
        case StageName.THICKNESS:
            steps = [_plain(bench, stage, Kind.PASSES, face.value) for face in bench.plan.passes]
        case StageName.CONTOURS:
            steps = [_plain(bench, stage, Kind.SCOOP, "bottom")] if bench.plan.scooped else []
        case StageName.RAILS:
            steps = [_band(bench, name) for name in bench.plan.bands]
        case _:
            steps = [_plain(bench, stage, Kind.SAND, "")]
    return next((one for one in steps if one is not None), None)


def _band(bench: Bench, name: str) -> Step | None:
    if bench.has_worked(StageName.RAILS, Kind.BAND, name):
        return None
    return Step(Kind.BAND, StageName.RAILS, Why.ORDER, face=name.partition(" ")[0], name=name)


def _plain(bench: Bench, stage: StageName, kind: Kind, face: str) -> Step | None:
    """Return a step that is not counted in strokes: the work, then what to measure, then nothing."""
    stretch = next((one for one in bench.found if one.stage is stage), None)
    # Who reads a stage has worked it, ticked or not.
    read = stretch is not None and stretch.readings > 0
    if not read and not bench.has_worked(stage, kind.value, face):
        # What the papers say is read afterwards: nothing is left then.
        places = () if stretch is None else _asks(bench, stretch, _unread(stretch), worked=True)
        return Step(kind, stage, Why.ORDER, face=face, places=places, left_to_sand=_rest(bench, kind))
    if stretch is None or stage is StageName.CONTOURS:
        return None
    deep = _too_deep(bench, stretch)
    if deep is not None:
        return deep
    open_places = _unread(stretch)
    if not open_places or stretch.readings >= MOST_PLACES:
        return None
    return Step(Kind.MEASURE, stage, Why.DOUBT, face=face, places=_asks(bench, stretch, open_places))


def _unread(stretch: Stretch) -> tuple[float, ...]:
    """Return stations at which a stage not planed by strokes is still to be read: centre and 12 in."""
    foot = 12.0 * INCH
    stations = (foot, stretch.length / 2.0, stretch.length - foot)
    return tuple(x for x in stations if not stretch.readings or stretch.at(x)[1] > INCH / 32)


def _of_runs(bench: Bench, stage: StageName) -> Step | None:
    runs = [one for one in bench.found if one.stage is stage and one.run is not None]
    for stretch in runs:
        step = _of_run(bench, stretch)
        if step is not None:
            return step
    return None


def state_of(stretch: Stretch) -> FaceState:
    """Return a run's face as `face_step` takes it."""
    assert stretch.run is not None
    assert stretch.trench is not None
    # A chip finer than 1/64 in is not an iron's: below it the block rubs (docs/bench.md).
    chips = tuple(c for c in sorted(stretch.run.run.plane.chips, reverse=True) if c > INCH / 100)
    return FaceState(stretch.belief, stretch.trench, stretch.since, chips, RUBS)


def _of_run(bench: Bench, stretch: Stretch) -> Step | None:
    """Return a run's next step; nothing once it is done and its foam is level."""
    assert stretch.run is not None
    face, end = stretch.part.value, stretch.run.end.value
    deep = _too_deep(bench, stretch)
    if deep is not None:
        return deep
    step = face_step(state_of(stretch), usual_care(bench.plan.tolerance))
    if step.act in (Act.DONE, Act.LEFT):
        if stretch.levelled or not stretch.strokes:
            return None
        return Step(Kind.FOAM_DOWN, stretch.stage, Why.LEVEL, face, end, name=LEVELLED)
    return _as_step(bench, stretch, step)


ACTS = {
    Act.STROKES: (Kind.STROKES, Why.SAFE),
    Act.RUB: (Kind.SAND, Why.HIGH_PLACES),
    Act.FOAM: (Kind.FOAM_DOWN, Why.TRENCH),
    Act.STICK: (Kind.STICK, Why.DOUBT),
    Act.GAUGE: (Kind.MEASURE, Why.DOUBT),
}


def _as_step(bench: Bench, stretch: Stretch, step: FaceStep) -> Step:
    run = stretch.run
    assert run is not None
    kind, why = ACTS[step.act]
    known = stretch if step.after is None else _after(stretch, step)
    places = step.places or ((0.0,) if step.strokes else ())
    return Step(
        kind,
        stretch.stage,
        why,
        face=stretch.part.value,
        end=run.end.value,
        plane=run.run.plane.name if kind is Kind.STROKES else "",
        strokes=step.strokes,
        places=_asks(bench, known, tuple(run.station(one) for one in places)),
        name=FOAM_DOWN if kind is Kind.FOAM_DOWN else "",
    )


def _after(stretch: Stretch, step: FaceStep) -> Stretch:
    assert step.after is not None
    return replace(stretch, belief=step.after)


def _asks(
    bench: Bench, stretch: Stretch, stations: Sequence[float], *, worked: bool = False
) -> tuple[Ask, ...]:
    """Return what to measure at stations: what should be read, and what may not be under.

    `worked`: once the whole stage is worked down, so that nothing is left.
    """
    plan, faces = bench.plan, bench.plan.stages[stretch.stage]
    asks = []
    for x in stations[:MOST_PLACES]:
        left, doubt = (0.0, 0.0) if worked else stretch.at(x)
        if stretch.part is Part.EDGE:
            what, tool, size = Measured.WIDTH, Tool.TAPE, 2.0 * plan.at(faces.half_width, x)
            asks.append(Ask(x, what, tool, size + 2.0 * left, size, left, doubt))
            continue
        size = plan.at(faces.deck - faces.bottom, x)
        asks.append(Ask(x, Measured.THICKNESS, Tool.CALIPERS, size + left, size, left, doubt))
    return tuple(asks)


SURE_DEEP = 2.0
"""Standard errors below what sanding takes up beyond which a place is too deep."""


def _too_deep(bench: Bench, stretch: Stretch) -> Step | None:
    """Return what to do about a place that is too deep: measure it again first, then change the board."""
    if not stretch.readings or bench.has_worked(
        stretch.stage, Kind.RESCUE, stretch.part.value, _end(stretch)
    ):
        return None
    left, doubt = stretch.belief.left, stretch.belief.doubt
    spare = bench.plan.tolerance + bench.plan.finish
    k = int((left + SURE_DEEP * doubt).argmin())
    if left[k] + SURE_DEEP * doubt[k] >= -spare:
        return None
    at = float(stretch.belief.from_tip[k])
    x = stretch.length - at if stretch.run is None else stretch.run.station(at)
    places = _asks(bench, stretch, (x,))
    kind = Kind.RESCUE if stretch.readings >= 2 and stretch.since.gauges else Kind.MEASURE
    return Step(kind, stretch.stage, Why.TOO_DEEP, stretch.part.value, _end(stretch), places=places)


def _end(stretch: Stretch) -> str:
    return "" if stretch.end is None else stretch.end.value


def _rest(bench: Bench, kind: Kind) -> tuple[tuple[float, float], ...]:
    """Return where runs left more than their tolerance, for the last sanding."""
    if kind is not Kind.SAND:
        return ()
    care = usual_care(bench.plan.tolerance)
    return tuple(place for one in bench.found if one.run is not None for place in left_to_sand(one, care))


def left_to_sand(stretch: Stretch, care: Care) -> tuple[tuple[float, float], ...]:
    """Return the highest place of each stretch that may stand more than the tolerance proud."""
    if not stretch.last or stretch.run is None or stretch.since.sticks < STOPS:
        return ()
    high = stretch.belief.left + care.sure * stretch.belief.doubt
    found = []
    for k in range(stretch.belief.size):
        near = high[max(0, k - 2) : k + 3]
        if high[k] > care.tolerance and high[k] >= near.max():
            found.append((stretch.run.station(float(stretch.belief.from_tip[k])), float(high[k])))
    return tuple(found)
