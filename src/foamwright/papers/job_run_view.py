"""The picture of a run: the end it runs off, what comes off, a tape from the tip, the starts at the stops."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cuts.run import End, Run
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

Flag = tuple[float, str, int]
"""Metres from the tip, the numbers that begin there, the lane they stand in."""


def run_view(run: Run, plan: Cuts, figures: Figures, room: Box) -> tuple[Drawing, str]:
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
    hatching = Hatching.BOTTOM if run.face is Face.BOTTOM else Hatching.DECK
    parts = [
        removed(view, from_tip, target, foam.before, hatching),
        _open_end(view, from_tip, (foam.other, target), Pen.OUTLINE),
        _open_end(view, from_tip, (target, foam.before), Pen.CUT),
        _break(view, from_tip, (foam.other, foam.before)),
        _tape(view, run, figures, room.bottom + _TAPE - 1.5),
        _flags(view, (from_tip, foam.before), flags, room.top - _lanes(flags) * _LANE),
    ]
    return drawing_of(parts), view.scale


def least_height(run: Run, plan: Cuts, figures: Figures, width: float) -> float:
    """Return the least height, mm, in which the picture of a run finds room at some scale."""
    height, room = _foam(run, plan).height, width - 2 * _BESIDE
    return min(
        height * 1000.0 / d + _lanes(flag_lanes(run, figures, d)) * _LANE + _TAPE + _CLEAR
        for d in SCALES
        if run.length * 1000.0 / d <= room
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


def _foam(run: Run, plan: Cuts) -> _Foam:
    chord = run.target[0] + (run.target[-1] - run.target[0]) * run.x / run.length
    return _Foam(run.length - run.x, run.before - chord, run.target - chord, _other_face(run, plan) - chord)


def _lanes(flags: list[Flag]) -> int:
    return 1 + max((lane for _, _, lane in flags), default=0)


def _height(room: Box, flags: list[Flag]) -> float:
    """Height that the foam may take, mm."""
    return room.height - _TAPE - _lanes(flags) * _LANE - _CLEAR


def _denominator(run: Run, figures: Figures, room: Box, height: float) -> int:
    """Return the largest scale at which length and height both find room."""
    width = room.width - 2 * _BESIDE
    fitting = (
        d
        for d in SCALES
        if run.length * 1000.0 / d <= width
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


def _placed(run: Run, room: Box, denominator: int, times: int, low: float) -> View:
    """Centred, the tip at the side of its end."""
    half = run.length * 500.0 / denominator
    nose = run.end is End.NOSE
    left = room.centre[0] + (half if nose else -half)
    base = room.bottom + _TAPE + 1.0 - times * low * 1000.0 / denominator
    return View(left, base, denominator, times, -1 if nose else 1)


def _other_face(run: Run, plan: Cuts) -> Floats:
    """The face that lies below, measured as the run's heights are."""
    stage = plan.chain.stage(StageName(run.stage))
    nose = run.end is End.NOSE
    from_tip = run.length - run.x
    x = plan.board.length - from_tip if nose else from_tip
    bottom = run.face is Face.BOTTOM
    return np.asarray(np.interp(x, stage.x, -stage.deck if bottom else stage.bottom))


def flag_lanes(run: Run, figures: Figures, denominator: int) -> list[Flag]:
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


def starts_of(run: Run) -> list[tuple[float, str]]:
    """Return the first start and those at the stops, metres from the tip, with the number of the stroke."""
    numbers = sorted({1, *(stop.after_strokes for stop in run.stops)})
    return [(run.strokes[n - 1].start_from_tip, f"{n}") for n in numbers if n <= len(run.strokes)]


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


def _tape(view: View, run: Run, figures: Figures, y: float) -> Drawing:
    """A tape hooked on the tip: ticks, numbers, and what it is."""
    step, every = _tape_steps(view, figures)
    count = int(run.length / step)
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


def _tape_name(view: View, run: Run, figures: Figures, y: float) -> Drawing:
    words = "inches" if figures.system is System.INCH else "millimetres"
    nose = run.end is End.NOSE
    at = (view.x(0.0) + (1.5 if nose else -1.5), y - 6.6)
    name = f"{words} from the {run.end.value} tip"
    return Drawing(
        (Text(at, name, Lettering.LABEL, Type.LABEL, Anchor.TOP_RIGHT if nose else Anchor.TOP_LEFT),)
    )
