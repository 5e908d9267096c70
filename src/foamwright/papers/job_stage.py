"""A stage's page: what comes off where, the marks at the stations, and how to go about it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cautions import Caution, cautions_for
from foamwright.cuts.grain import PlaningDirections
from foamwright.cuts.runs import End
from foamwright.papers.dimension import arrowhead
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, on_paper
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Ground, Headed, Told, columns_height, in_columns
from foamwright.papers.job_views import View, enlargement_for, removed, scale_for, solid
from foamwright.papers.job_words import Figures
from foamwright.papers.style import Anchor, Hatching, Lettering, Pen
from foamwright.papers.style import Face as Type
from foamwright.planning.plan import Plan
from foamwright.shape.curves import Floats
from foamwright.stages.marks import StageMark
from foamwright.stages.solids import Stage, StageName

_SIDE = 13.5
_STEEP = math.radians(2.0)
_HATCHES = {Face.BOTTOM: Hatching.BOTTOM, Face.DECK: Hatching.DECK}


@dataclass(frozen=True, eq=False)
class Job:
    """What every page is drawn from."""

    plan: Plan
    figures: Figures
    ground: Ground

    def marks(self, stage: StageName, face: Face | None) -> list[StageMark]:
        """Return the marks of one face of one stage, tail to nose."""
        return [m for m in self.plan.marks if m.stage is stage and m.face is face]

    @property
    def heads(self) -> tuple[tuple[str, str], ...]:
        """The stations' names in two lines each."""
        return tuple(self.figures.station(s) for s in self.plan.stations)

    @property
    def contour_marks(self) -> list[StageMark]:
        """The marks after the contours, tail to nose."""
        return self.marks(StageName.CONTOURS, Face.BOTTOM)

    def rise(self, x: Floats) -> Floats:
        """Return the board's level line above the blank's at stations, metres."""
        lay = self.plan.lay
        return np.asarray(lay.lift + lay.tilt * np.asarray(x))


@dataclass(frozen=True, eq=False)
class Cut:
    """What a stage takes: the solids before and after, and the faces that are cut."""

    before: Stage
    after: Stage
    faces: tuple[Face, ...]

    @property
    def lies(self) -> int:
        """1 where the board lies deck up, -1 where it lies bottom up."""
        return 1 if self.faces == (Face.DECK,) else -1


def cut_of(job: Job, name: StageName, faces: tuple[Face, ...]) -> Cut:
    """Return what one stage cuts."""
    names = list(StageName)
    chain = job.plan.chain
    return Cut(chain.stage(names[names.index(name) - 1]), chain.stage(name), faces)


def how_columns(job: Job, step: Step) -> list[Told]:
    """Return the four pieces of text of a step, with what this job's fibres and foam add to them."""
    how = HOW[step]
    hold = " ".join([how.hold, *grain_words(job, step)])
    do = " ".join([how.do, *foam_words(job, step)])
    return [
        Told("Why", how.why),
        Told("Stand and hold", hold),
        Told("Do", do),
        Told("If it goes wrong", how.wrong),
    ]


_FACES = {Step.ROCKER: Face.BOTTOM, Step.FOIL: Face.DECK}


def grain_words(job: Job, step: Step) -> list[str]:
    """Return where the fibres of a straight stringer turn, and where the run-offs go against them."""
    if step not in _FACES:
        return []
    grain, say, length = job.plan.grain[_FACES[step]], job.figures, job.plan.board.length
    turns = " and ".join(say.along(x) for x in grain.turns)
    words = [f"Straight fibres turn about {turns} from the tail."] if turns else []
    against = [end.value for end in End if _against(job, grain, end, length)]
    if against:
        words.append(f"Towards the {' and the '.join(against)} you go against them: fine iron, plane turned.")
    return words


def _against(job: Job, grain: PlaningDirections, end: End, length: float) -> bool:
    """Whether run-offs to one end go against the fibres by more than two degrees anywhere."""
    reach = max(
        (
            group.start_from_tip
            for run in job.plan.runs
            if run.target.face is grain.face and run.target.end is end
            for group in run.strokes
        ),
        default=0.0,
    )
    begin = length - reach if end is End.NOSE else reach
    return any(part.steepest > _STEEP for part in grain.against(end, begin))


def foam_words(job: Job, step: Step) -> list[str]:
    """Return how much foam comes down beside the stringer."""
    if step not in _FACES:
        return []
    work, say = job.plan.foam[_FACES[step]], job.figures
    layer = say.with_unit(say.chip(work.chip))
    return [
        f"That is {work.strips} strips a side, up to {work.layers} layers of {layer}, thickness included."
    ]


Foot = tuple[Drawing, float]
"""What stands on the title block, and the height it reaches to, mm."""


def foot_of_page(job: Job, step: Step) -> Foot:
    """Return how-to columns over the step's cautions."""
    cautions, base = cautions_foot(job, step)
    body, pieces = job.ground.body, how_columns(job, step)
    height = columns_height(pieces, body.width)
    text = in_columns(pieces, Box(body.left, base + 2.5, body.right, base + 2.5 + height))
    return text + cautions, base + 2.5 + height


def cautions_foot(job: Job, step: Step) -> Foot:
    """Return all cautions of a step."""
    return _cautions(job, cautions_for(step.value, polyurethane=job.plan.polyurethane))


def reminder_foot(job: Job, step: Step) -> Foot:
    """Return the step's own cautions, without those that stand on its first page for all steps."""
    return _cautions(job, [c for c in cautions_for(step.value, polyurethane=False) if c.step != "all"])


def _cautions(job: Job, cautions: Sequence[Caution]) -> Foot:
    body = job.ground.body
    strip = caution_strip(cautions, body.width)
    return strip.at(body.left, body.bottom + strip.height), body.bottom + strip.height


def stage_page(job: Job, step: Step, cut: Cut, rows: Sequence[Row], under: Foot | None = None) -> Headed:
    """Return the page of a stage that cuts along the board.

    Parameters
    ----------
    job
        The job.
    step
        Which step of the work.
    cut
        What comes off.
    rows
        The table's rows.
    under
        What stands below the table; the how-to and the cautions if not given.
    """
    foot, top = under or foot_of_page(job, step)
    body = job.ground.body
    offsets = Offsets(job.heads, tuple(rows))
    table_box = Box(body.left, top + 3.0, body.right, top + 3.0 + offsets.height)
    room = Box(body.left + _SIDE, table_box.top + 1.0, body.right - _SIDE, body.top - 1.5)
    picture, view, feet = cut_view(job, cut, room)
    table = offsets_under(offsets, table_box, feet)
    how = HOW[step]
    return Headed(
        title=step.value.capitalize(),
        purpose=how.purpose,
        body=drawing_of([picture, table, foot]),
        scale=view.scale,
        refers_to=refers_to(cut, job.figures),
        step=step.number,
    )


def refers_to(cut: Cut, figures: Figures) -> str:
    """Return what the dimensions of a stage refer to."""
    unit = "inches" if figures.unit == "in" else "millimetres"
    return (
        f"The stringer after this stage, finishing allowance left on; {unit}, "
        "rounded so that no cut goes deeper than the plan."
    )


def cut_view(job: Job, cut: Cut, room: Box) -> tuple[Drawing, View, list[tuple[float, float]]]:
    """Return the side view of a cut as it lies on the rack, its view, and the stations' feet."""
    x, rise = cut.before.x, job.rise(cut.before.x)
    low, high = cut.before.bottom + rise, cut.before.deck + rise
    floor, ceiling = min(0.0, float(low.min())), float(high.max())
    length = job.plan.board.length
    denominator = scale_for(length, room.width)
    times = enlargement_for(ceiling - floor, denominator, room.height)
    view = _placed(room, length, (floor, ceiling), denominator, times * cut.lies)
    stations = [s.x for s in job.plan.stations]
    feet = [(view.x(at), room.bottom) for at in stations]
    parts = [
        *(_station_line(view, at, (x, low, high), room.bottom) for at in stations),
        *(_hatched(view, cut, face, rise) for face in cut.faces),
        solid(view, x, low, high, Pen.CUT),
        solid(view, x, cut.after.bottom + rise, cut.after.deck + rise, Pen.OUTLINE),
        _levels(job, cut, view),
        _lying(job, cut, view),
        *(_ways(job, cut, view, face) for face in cut.faces),
        *(_tip_dimensions(job, cut, view, face) for face in cut.faces),
    ]
    return drawing_of(parts), view, feet


def _placed(room: Box, length: float, heights: tuple[float, float], denominator: int, times: int) -> View:
    """Centred across, standing on the bottom of the room."""
    left = room.centre[0] - length * 500.0 / denominator
    lowest = min(heights[0] * times, heights[1] * times)
    return View(left, room.bottom - lowest * 1000.0 / denominator, denominator, times)


def _hatched(view: View, cut: Cut, face: Face, rise: Floats) -> Drawing:
    if face is Face.BOTTOM:
        low, high = cut.before.bottom, cut.after.bottom
    else:
        low, high = cut.after.deck, cut.before.deck
    return removed(view, cut.before.x, low + rise, high + rise, _HATCHES[face])


def _station_line(view: View, at: float, profile: tuple[Floats, Floats, Floats], foot: float) -> Drawing:
    """From the upper face through the board down to where the table takes over."""
    x, low, high = profile
    ends = [view.y(float(np.interp(at, x, z))) for z in (low, high)]
    return line([(view.x(at), max(ends)), (view.x(at), foot)], Pen.STATION)


def _levels(job: Job, cut: Cut, view: View) -> Drawing:
    """The blank's level line, and the one that a straight edge shows after the bottom is cut."""
    length = job.plan.board.length
    blank = _named_line(view, (0.0, length), (0.0, 0.0), "blank's level line")
    if cut.lies > 0 or cut.after.name is StageName.THICKNESS:
        return blank
    ends = (job.rise(np.array([0.0, length])) + float(cut.after.bottom.min())).tolist()
    return line([(view.x(0.0), view.y(ends[0])), (view.x(length), view.y(ends[1]))], Pen.HIDDEN) + blank


def _named_line(view: View, ends: tuple[float, float], heights: tuple[float, float], words: str) -> Drawing:
    """A level line with its name above its left end."""
    first, last = ((view.x(x), view.y(z)) for x, z in zip(ends, heights, strict=True))
    name = Text((first[0], first[1] + 2.6), words, Lettering.LABEL, Type.LABEL, Anchor.MIDDLE_LEFT)
    return line([first, last], Pen.LEVEL) + on_paper(name, 0.3)


def _lying(job: Job, cut: Cut, view: View) -> Drawing:
    """In the foam beside the middle: which face is up."""
    at = 0.5 * job.plan.board.length + 8.0 * view.denominator / 1000.0
    heights = [float(np.interp(at, cut.after.x, z)) for z in (cut.after.bottom, cut.after.deck)]
    y = view.y(sum(heights) / 2.0 + float(job.rise(np.array(at))))
    words = "lies deck up" if cut.lies > 0 else "lies bottom up"
    return on_paper(Text((view.x(at), y), words, Lettering.LABEL, Type.LABEL, Anchor.MIDDLE_LEFT), 0.8)


def _ways(job: Job, cut: Cut, view: View, face: Face) -> Drawing:
    """Arrows in the foam under the upper face: which way the plane goes."""
    if (face is Face.DECK) != (cut.lies > 0):
        return Drawing()
    x = cut.after.x
    curve = (x, (cut.after.deck if face is Face.DECK else cut.after.bottom) + job.rise(x))
    if cut.after.name is StageName.THICKNESS:
        return _way(view, curve, (0.62, 0.9), "whole length")
    pivot = (job.plan.chain.deck if face is Face.DECK else job.plan.chain.bottom).pivot / (x.size - 1)
    nose = (pivot + 0.3 * (1.0 - pivot), pivot + 0.85 * (1.0 - pivot))
    tail = (pivot - 0.3 * pivot, pivot - 0.85 * pivot)
    return _way(view, curve, nose, "off the nose") + _way(view, curve, tail, "off the tail")


def _way(view: View, curve: tuple[Floats, Floats], shares: tuple[float, float], words: str) -> Drawing:
    """An arrow under a curve from one share of the length to another, with words under its middle."""
    x, z = curve
    first, last = (round(share * (x.size - 1)) for share in shares)
    step = 1 if last > first else -1
    part = slice(first, last + step, step)
    points = view.curve(x[part], z[part]) - np.array([0.0, 3.2])
    (x0, y0), (x1, y1) = points[-2].tolist(), points[-1].tolist()
    middle = points[len(points) // 2].tolist()
    slope = math.atan2(y1 - float(points[0, 1]), x1 - float(points[0, 0]))
    reading = slope if abs(slope) < math.pi / 2 else slope + math.pi
    at = (middle[0] + 2.9 * math.sin(reading), middle[1] - 2.9 * math.cos(reading))
    name = Text(at, words, Lettering.LABEL, Type.LABEL, Anchor.MIDDLE, reading)
    head = arrowhead((x1, y1), math.atan2(y1 - y0, x1 - x0))
    return line(points, Pen.CUT) + head + on_paper(name, 0.4)


def _tip_dimensions(job: Job, cut: Cut, view: View, face: Face) -> Drawing:
    """What comes off at each tip, as a dimension outside it."""
    x, rise = cut.before.x, job.rise(cut.before.x)
    before = (cut.before.bottom if face is Face.BOTTOM else cut.before.deck) + rise
    after = (cut.after.bottom if face is Face.BOTTOM else cut.after.deck) + rise
    parts = []
    for index, side in ((0, -1.0), (-1, 1.0)):
        at = view.x(float(x[index]))
        heights = view.y(float(before[index])), view.y(float(after[index]))
        words = job.figures.depth(abs(float(after[index] - before[index])))
        parts.append(_gap(at, heights, words, side))
    return drawing_of(parts)


def _gap(at: float, heights: tuple[float, float], words: str, side: float) -> Drawing:
    """A small distance between two heights beside a tip, its figure upright beyond the arrows."""
    x = at + side * 4.0
    low, high = sorted(heights)
    arrows = arrowhead((x, low), math.pi / 2) + arrowhead((x, high), -math.pi / 2)
    strokes = [line([(at + side, y), (x + side * 1.2, y)], Pen.DIMENSION) for y in heights] + [
        line([(x, low - 5.0), (x, low)], Pen.DIMENSION),
        line([(x, high), (x, high + 5.0)], Pen.DIMENSION),
    ]
    anchor = Anchor.MIDDLE_LEFT if side > 0 else Anchor.MIDDLE_RIGHT
    figure = Text((x + side * 2.0, (low + high) / 2), words, Lettering.FIGURE, Type.FIGURES_STRONG, anchor)
    return drawing_of([*strokes, arrows, Drawing((figure,))])


def mark_rows(job: Job, stage: StageName, face: Face) -> dict[str, Row]:
    """Return the rows that tell the marks of one face: by name, to be picked in order."""
    marks, say = job.marks(stage, face), job.figures
    height = say.at_least if face is Face.DECK else say.at_most
    return {
        "off": Row(
            f"take off the {face.value}, {say.unit}",
            tuple(say.depth(m.take_off) for m in marks),
            RowKind.KEY,
        ),
        "before": Row(
            f"mark the {face.value} line: up from the blank's level line",
            tuple(height(m.from_blank_level) for m in marks),
        ),
        "after": Row(
            "check: bottom to a straight edge laid on it", tuple(say.at_most(m.from_new_level) for m in marks)
        ),
        "thick": Row(
            "check: thickness by calipers", tuple(say.at_least(m.thickness) for m in marks), RowKind.KEY
        ),
        "read": Row("write what you read", (), RowKind.WRITE),
    }
