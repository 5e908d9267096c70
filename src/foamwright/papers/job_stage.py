"""A stage's page: what comes off where, the marks at the stations, and how to go about it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cautions import cautions_for
from foamwright.papers.dimension import Lettered, arrowhead, vertical_dimension
from foamwright.papers.drawing import Drawing, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Ground, Headed, Told, columns_height, in_columns
from foamwright.papers.job_views import View, enlargement_for, level_line, removed, scale_for, solid
from foamwright.papers.job_words import Figures
from foamwright.papers.style import Anchor, Hatching, Lettering, Pen
from foamwright.papers.style import Face as Type
from foamwright.planning.plan import Plan
from foamwright.shape.curves import Floats
from foamwright.stages.marks import StageMark
from foamwright.stages.solids import Stage, StageName

_SIDE = 15.0
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


def how_columns(step: Step) -> list[Told]:
    """Return the four pieces of text of a step."""
    how = HOW[step]
    return [
        Told("Why", how.why),
        Told("Stand and hold", how.hold),
        Told("Do", how.do),
        Told("If it goes wrong", how.wrong),
    ]


def foot_of_page(job: Job, step: Step) -> tuple[Drawing, float]:
    """Return how-to columns and cautions, standing on the title block, and the height they reach to."""
    body = job.ground.body
    cautions = caution_strip(cautions_for(step.value, polyurethane=job.plan.polyurethane), body.width)
    pieces = how_columns(step)
    height = columns_height(pieces, body.width)
    base = body.bottom + cautions.height + 2.5
    text = in_columns(pieces, Box(body.left, base, body.right, base + height))
    return text + cautions.at(body.left, body.bottom + cautions.height), base + height


def stage_page(job: Job, step: Step, cut: Cut, rows: Sequence[Row]) -> Headed:
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
    """
    foot, top = foot_of_page(job, step)
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


def _station_line(
    view: View, at: float, profile: tuple[Floats, Floats, Floats], foot: float
) -> Drawing:
    """From the upper face through the board down to where the table takes over."""
    x, low, high = profile
    ends = [view.y(float(np.interp(at, x, z))) for z in (low, high)]
    return line([(view.x(at), max(ends)), (view.x(at), foot)], Pen.STATION)


def _levels(job: Job, cut: Cut, view: View) -> Drawing:
    """The blank's level line, and the one that a straight edge shows after the cut."""
    length = job.plan.board.length
    blank = level_line(view, (0.0, length), (0.0, 0.0), "blank's level line")
    if cut.lies > 0 or StageName.THICKNESS is cut.after.name:
        return blank
    level = float(cut.after.bottom.min())
    ends = job.rise(np.array([0.0, length])) + level
    return blank + line([(view.x(0.0), view.y(ends[0])), (view.x(length), view.y(ends[1]))], Pen.HIDDEN)


def _ways(job: Job, cut: Cut, view: View, face: Face) -> Drawing:
    """Arrows beside the face that is cut: which way the plane goes."""
    return Drawing()


def _tip_dimensions(job: Job, cut: Cut, view: View, face: Face) -> Drawing:
    """What comes off at each tip, as a dimension outside it."""
    x, rise = cut.before.x, job.rise(cut.before.x)
    before = (cut.before.bottom if face is Face.BOTTOM else cut.before.deck) + rise
    after = (cut.after.bottom if face is Face.BOTTOM else cut.after.deck) + rise
    parts = []
    for index, side in ((0, -1.0), (-1, 1.0)):
        at = view.x(float(x[index]))
        ends = (at, view.y(float(before[index]))), (at, view.y(float(after[index])))
        words = job.figures.depth(abs(float(after[index] - before[index])))
        parts.append(vertical_dimension(*ends, words, at + side * 5.0, Lettered(Lettering.FIGURE)))
    return drawing_of(parts)


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
            f"mark the {face.value} line above the blank's level line",
            tuple(height(m.from_blank_level) for m in marks),
        ),
        "after": Row(
            "after: bottom from a straight edge laid on it", tuple(say.at_most(m.from_new_level) for m in marks)
        ),
        "thick": Row(
            "after: thickness by calipers", tuple(say.at_least(m.thickness) for m in marks), RowKind.KEY
        ),
        "read": Row("write what you read", (), RowKind.WRITE),
    }
