"""The picture of a run: the end it runs off, what comes off, a tape from the tip, every start numbered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cuts.runs import End, RunPlan
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, on_paper
from foamwright.papers.drawing_box import Box
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.job_views import SCALES, View, enlargement_for, removed
from foamwright.papers.job_words import Figures
from foamwright.papers.style import Anchor, Hatching, Lettering, Pen
from foamwright.papers.style import Face as Type
from foamwright.planning.plan import Cuts
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System

_FLAG = 2.6
_LANE = 4.0
_TAPE = 12.0
_BESIDE = 8.0
_CLEAR = 3.0
_APART = 11.0
_NEIGHBOURS = 0.02

Flag = tuple[float, str, int]
"""Metres from the tip, the numbers that begin there, the lane they stand in."""


def run_view(run: RunPlan, plan: Cuts, figures: Figures, room: Box) -> tuple[Drawing, str]:
    """Return the picture of a run inside `room`, and its scale in words.

    The nose is at the right: a run to the nose runs to the right, one to the tail to the left. The face
    that is cut is up, and the line it ends on stands level at its ends.
    """
    foam = _foam(run, plan)
    denominator = _denominator(run, figures, room, foam.height)
    flags = flag_lanes(run, figures, denominator)
    times = enlargement_for(foam.height, denominator, _height(room, flags))
    view = _placed(run, room, denominator, times, foam.low)
    from_tip, target = foam.from_tip, foam.target
    hatching = Hatching.BOTTOM if run.target.face is Face.BOTTOM else Hatching.DECK
    parts = [
        removed(view, from_tip, target, foam.before, hatching),
        _open_end(view, from_tip, (foam.other, target), Pen.OUTLINE),
        _open_end(view, from_tip, (target, foam.before), Pen.CUT),
        _break(view, from_tip, (foam.other, foam.before)),
        *(_hollow(view, (from_tip, target), stretch, run) for stretch in turned_stretches(run)),
        _tape(view, run, figures, room.bottom + _TAPE - 1.5),
        _flags(view, (from_tip, foam.before), flags, room.top - _lanes(flags) * _LANE),
    ]
    return drawing_of(parts), view.scale


def least_height(run: RunPlan, plan: Cuts, figures: Figures, width: float) -> float:
    """Return the least height, mm, in which the picture of a run finds room at some scale."""
    height, room = _foam(run, plan).height, width - 2 * _BESIDE
    return min(
        height * 1000.0 / d + _lanes(flag_lanes(run, figures, d)) * _LANE + _TAPE + _CLEAR
        for d in SCALES
        if run.target.length * 1000.0 / d <= room
    )


@dataclass(frozen=True, eq=False)
class _Foam:
    """The run's face before and after and the other face, heights from the chord of the face after."""

    from_tip: Floats
    before: Floats
    target: Floats
    other: Floats

    @property
    def low(self) -> float:
        """Lowest place, metres."""
        return float(self.other.min())

    @property
    def height(self) -> float:
        """From the lowest place to the highest, metres."""
        return float(self.before.max()) - self.low


def _foam(run: RunPlan, plan: Cuts) -> _Foam:
    target = run.target.target
    chord = target[0] + (target[-1] - target[0]) * run.target.x / run.target.length
    from_tip = run.target.length - run.target.x
    return _Foam(from_tip, run.target.before - chord, target - chord, _other_face(run, plan) - chord)


def turned_stretches(run: RunPlan) -> list[tuple[float, float]]:
    """Return the stretches that a plane held straight would bridge, metres along x; neighbours are joined."""
    joined: list[tuple[float, float]] = []
    for region in sorted((r for r in run.hollows if r.skew_deg), key=lambda r: r.begin):
        if joined and region.begin - joined[-1][1] < _NEIGHBOURS:
            joined[-1] = (joined[-1][0], max(joined[-1][1], region.end))
        else:
            joined.append((region.begin, region.end))
    return joined


def _hollow(view: View, face: tuple[Floats, Floats], stretch: tuple[float, float], run: RunPlan) -> Drawing:
    """A bracket in the foam under the stretch that a plane held straight would bridge."""
    from_tip, target = face
    inside = (run.target.x >= stretch[0]) & (run.target.x <= stretch[1])
    if np.count_nonzero(inside) < 3:
        return Drawing()
    points = view.curve(from_tip[inside], target[inside]) - np.array([0.0, 2.4])
    ends = [points[0].tolist(), points[-1].tolist()]
    stops = [line([(x, y), (x, y + 1.6)], Pen.THIN) for x, y in ends]
    x, y = (sum(values) / 2 for values in zip(*ends, strict=True))
    name = Text(
        (x, min(y, float(points[:, 1].min())) - 2.2), "turned", Lettering.LABEL, Type.LABEL, Anchor.MIDDLE
    )
    return drawing_of([line(points, Pen.THIN), *stops, on_paper(name, 0.3)])


def _lanes(flags: list[Flag]) -> int:
    return 1 + max((lane for _, _, lane in flags), default=0)


def _height(room: Box, flags: list[Flag]) -> float:
    """Height that the foam may take, mm."""
    return room.height - _TAPE - _lanes(flags) * _LANE - _CLEAR


def _denominator(run: RunPlan, figures: Figures, room: Box, height: float) -> int:
    """Return the largest scale at which length and height both find room."""
    width = room.width - 2 * _BESIDE
    fitting = (
        d
        for d in SCALES
        if run.target.length * 1000.0 / d <= width
        and height * 1000.0 / d <= _height(room, flag_lanes(run, figures, d))
    )
    return next(fitting, SCALES[-1])


def _open_end(view: View, from_tip: Floats, faces: tuple[Floats, Floats], pen: Pen) -> Drawing:
    """Two faces and the tip between them; inboard the board goes on."""
    first, second = (view.curve(from_tip, face) for face in faces)
    return line(np.vstack((first, second[::-1])), pen)


def _break(view: View, from_tip: Floats, faces: tuple[Floats, Floats]) -> Drawing:
    """A break line across the inboard end."""
    x = view.x(float(from_tip[0]))
    low, high = (view.y(float(face[0])) for face in faces)
    y = (low + high) / 2
    points = [
        (x, low - 2.0),
        (x, y - 1.6),
        (x - 1.3, y - 0.5),
        (x + 1.3, y + 0.5),
        (x, y + 1.6),
        (x, high + 2.0),
    ]
    return line(points, Pen.THIN)


def _placed(run: RunPlan, room: Box, denominator: int, times: int, low: float) -> View:
    """Centred, the tip at the side of its end."""
    half = run.target.length * 500.0 / denominator
    nose = run.target.end is End.NOSE
    left = room.centre[0] + (half if nose else -half)
    base = room.bottom + _TAPE + 1.0 - times * low * 1000.0 / denominator
    return View(left, base, denominator, times, -1 if nose else 1)


def _other_face(run: RunPlan, plan: Cuts) -> Floats:
    """The face that lies below, measured as the run's heights are."""
    stage = plan.chain.stage(StageName(run.target.stage))
    nose = run.target.end is End.NOSE
    from_tip = run.target.length - run.target.x
    x = plan.board.length - from_tip if nose else from_tip
    bottom = run.target.face is Face.BOTTOM
    return np.asarray(np.interp(x, stage.x, -stage.deck if bottom else stage.bottom))


def flag_lanes(run: RunPlan, figures: Figures, denominator: int) -> list[Flag]:
    """Return (metres from the tip, group numbers, lane) of every start; in no lane do two numbers touch."""
    ends: list[float] = []
    flags: list[Flag] = []
    for start, words in starts_of(run):
        centre = start * 1000.0 / denominator
        half = line_width(words, Type.FIGURES, _FLAG) / 2 + 0.7
        lane = next((i for i, end in enumerate(ends) if end <= centre - half), len(ends))
        ends[lane : lane + 1] = [centre + half]
        flags.append((start, words, lane))
    return flags


def starts_of(run: RunPlan) -> list[tuple[float, str]]:
    """Return each start, metres from the tip, with the numbers of the groups that begin there."""
    groups = [group.start_from_tip for group in run.strokes]
    lifted = [run.target.length - one.begin for one in run.lifted]
    numbered = sorted((round(start, 6), n) for n, start in enumerate([*groups, *lifted], start=1))
    return [
        (start, ", ".join(str(n) for _, n in members))
        for start, members in groupby(numbered, key=lambda pair: pair[0])
    ]


def _flags(view: View, face: tuple[Floats, Floats], flags: Iterable[Flag], top: float) -> Drawing:
    """Thin lines from the face up to the numbers."""
    from_tip, before = face
    stems, numbers = [], []
    for start, words, lane in flags:
        x = view.x(start)
        foot = view.y(float(np.interp(start, from_tip[::-1], before[::-1])))
        y = top + (lane + 0.5) * _LANE
        stems.append(line([(x, foot), (x, y)], Pen.STATION))
        numbers.append(on_paper(Text((x, y), words, _FLAG, Type.FIGURES, Anchor.MIDDLE), 0.35))
    return drawing_of([*stems, *numbers])


def _tape(view: View, run: RunPlan, figures: Figures, y: float) -> Drawing:
    """A tape hooked on the tip: ticks, numbers, and what it is."""
    step, every = _tape_steps(view, figures)
    count = int(run.target.length / step)
    places = [(view.x(i * step), i) for i in range(count + 1)]
    ticks = [line([(x, y), (x, y - (2.2 if i % every == 0 else 1.2))], Pen.THIN) for x, i in places]
    numbers = [
        Text((x, y - 3.0), _tape_number(i, step, figures), Lettering.LABEL, Type.FIGURES, Anchor.TOP)
        for x, i in places
        if i % every == 0
    ]
    ends = line([(places[0][0], y), (places[-1][0], y)], Pen.THIN)
    return drawing_of([ends, *ticks, Drawing(tuple(numbers)), _tape_name(view, run, figures, y)])


def _tape_steps(view: View, figures: Figures) -> tuple[float, int]:
    """Metres from tick to tick, and ticks from number to number: numbers stand 11 mm apart at least."""
    step, choices = (INCH, (6, 12, 24)) if figures.system is System.INCH else (0.02, (5, 10, 25))
    apart = step * 1000.0 / view.denominator
    return step, next((n for n in choices if n * apart >= _APART), choices[-1])


def _tape_number(i: int, step: float, figures: Figures) -> str:
    return f"{i}" if figures.system is System.INCH else f"{round(i * step * 1000)}"


def _tape_name(view: View, run: RunPlan, figures: Figures, y: float) -> Drawing:
    words = "inches" if figures.system is System.INCH else "millimetres"
    nose = run.target.end is End.NOSE
    at = (view.x(0.0) + (1.5 if nose else -1.5), y - 6.6)
    name = f"{words} from the {run.target.end.value} tip"
    return Drawing(
        (Text(at, name, Lettering.LABEL, Type.LABEL, Anchor.TOP_RIGHT if nose else Anchor.TOP_LEFT),)
    )
