"""Sheet 2a of the wall pack: passes to thickness, the four walks as pictures, and the depths to read."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.bench.paper_job import DOTS, FIRST_SHARE, LESS, strokes_of
from foamwright.blank.numbers import Face as Side
from foamwright.cuts.run import Run
from foamwright.papers.drawing import Drawing, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import TextStyle, fitted, paragraph
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.style import Anchor, Face, Pen
from foamwright.papers.tiling import Page
from foamwright.papers.wall_frame import (
    FIGURE,
    WORDS,
    Hung,
    Kind,
    Row,
    body_of,
    figures_in_lines,
    station_table,
)
from foamwright.papers.wall_marks import NAMES, heads, shown_depth, wall_stations
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System

GAP = 6.0
WALKS = 93.2
"""Height of all the walks with their marks, mm."""

LINE = 8.4
"""From one line of marks to the next, mm."""

RULE = (
    "First list: 30 % of the plan's picture, less {fine}. At a stop put dots every {dots} from the tip "
    "of what is left (every second stop half-way between, and one at the tip) and join them. More than "
    "{coarse} left anywhere: draw 3/4 of that, less {fine}, iron at {end}; else 3/4, iron at {fine}. "
    "Rule it in chips: as set, times what went at the tip over what was set to go there (3/4 at least; "
    "fine iron 1 at least). One stroke for each line crossed, from where it crosses, the shortest "
    "first, none nearer the tip than {near}; lifted where it comes down again, nothing shorter than "
    "{short}. Foam down at every {trench}. Twice in a row all dots at {end} or less, or no stroke: "
    "stop."
)
"""The rule of a stop, as simulated by `foamwright trial --flow papers`."""

PROMISE = (
    "With a gauge read to {fine}: 19 run-offs in 20 end within {within} everywhere, one in forty goes more "
    "than {end} too deep, one in a thousand more than {within}. A tape is too coarse for it; the app's bench "
    "does better."
)
"""Measured: 97.6 % within 1/16 in, 2.2 and 0.10 % too deep of 10,000 run-offs that nothing was tuned on
(docs/bench.md)."""

LENGTHS = {
    System.INCH: {
        "fine": "1/64 in", "dots": "4 in", "coarse": "5/32 in", "near": "2 in", "short": "3 in",
        "trench": "1/8 in", "end": "1/32 in", "within": "1/16 in",
    },
    System.MM: {
        "fine": "0.4 mm", "dots": "100 mm", "coarse": "4 mm", "near": "50 mm", "short": "75 mm",
        "trench": "3 mm", "end": "0.8 mm", "within": "1.6 mm",
    },
}  # fmt: skip


FINEST_RULING = 0.7
"""Millimetres between ruled lines; nearer ones would print as one grey field, so only every fourth (or
sixteenth) is drawn."""


def depths_sheet(job: PlannedJob, page: Page) -> Hung:
    """Return sheet 2a."""
    body = body_of(page)
    tools = Box(body.left, body.top - 7.5, body.right, body.top - 1.5)
    parts = [_tools(job, tools)]
    runs = job.plan.runs
    half, top = (body.width - GAP) / 2, tools.bottom
    for pair, height in zip(_pairs(runs), _heights(job, runs, half), strict=True):
        for index, run in enumerate(pair):
            left = body.left + index * (half + GAP)
            parts.append(_walk(job, run, Box(left, top - height + 1.5, left + half, top)))
        top -= height
    table_top = tools.bottom - WALKS - 0.5
    table, height = station_table(depth_rows(job), Box(body.left, body.bottom, body.right, table_top), NAMES)
    rules = _rules(job, body.left, table_top - height - 1.0, body.width)
    return Hung("2a", "Depths, hand tools", drawing_of([*parts, table, rules]))


def _pairs(runs: Sequence[Run]) -> list[Sequence[Run]]:
    return [runs[index : index + 2] for index in range(0, len(runs), 2)]


def _heights(job: PlannedJob, runs: Sequence[Run], width: float) -> list[float]:
    """Return the height of each row of walks, mm: what its marks need, and even pictures."""
    needed = [LINE * max(len(_lines(job, run, width)) for run in pair) for pair in _pairs(runs)]
    spare = WALKS - sum(needed)
    return [marks + spare / len(needed) for marks in needed]


def _lines(job: PlannedJob, run: Run, width: float) -> list[str]:
    """Return the first list of a run as lines of figures."""
    figures = [job.figures.start(start) for start in first_list(run)]
    return figures_in_lines(figures, width) if figures else ["No stroke."]


def _tools(job: PlannedJob, box: Box) -> Drawing:
    """The iron and how it is set, and the passes to thickness that there are."""
    say = job.figures
    planes = list(dict.fromkeys((run.plane.name, run.plane.chips[0]) for run in job.plan.runs))
    irons = "; ".join(f"{name}, iron at {say.chip(chip)} {say.unit}" for name, chip in planes)
    passes = [
        f"{face.value} {sum(one.count for one in plan.passes)} passes of "
        f"{say.chip(plan.passes[0].chip)} {say.unit} ({plan.plane.name})"
        for face, plan in job.plan.passes.items()
        if plan.passes
    ]
    through = "To thickness: " + "; ".join(passes) + "." if passes else "To thickness: nothing to plane."
    proof = "Prove the iron: ten strokes in one place on an offcut, measure the step, divide by ten."
    words = f"{through} {irons[0].upper()}{irons[1:]}. {proof}"
    return Drawing((fitted(Text((box.left, box.bottom + 0.8), words, WORDS, Face.STRONG), box.width),))


def _walk(job: PlannedJob, run: Run, box: Box) -> Drawing:
    """One run: what is to come off against the distance from the tip, ruled in chips, and its first list."""
    name = f"{run.stage} to the {run.end.value}: {run.face.value}, {len(run.strokes)} strokes in all"
    title = fitted(Text((box.left, box.top - 4.2), name[0].upper() + name[1:], 3.6, Face.TITLE), box.width)
    marks = first_list(run)
    lines = _lines(job, run, box.width)
    low = box.bottom + LINE * len(lines)
    listed = [
        Text((box.left, low - 6.8 - index * LINE), words, FIGURE, Face.TITLE)
        for index, words in enumerate(lines)
    ]
    picture = _picture(job, run, Box(box.left + 14.0, low + 6.0, box.right - 2.0, box.top - 5.6), marks)
    return drawing_of([Drawing((title, *listed)), picture])


def first_list(run: Run) -> tuple[float, ...]:
    """Return the starts of the first list from the tip, metres: the printed rule on the plan's depths."""
    at, dots = _dots(run)
    drawn = np.maximum(FIRST_SHARE * dots - LESS, 0.0)
    chip = run.plane.chips[0]
    return tuple(one.start for one in strokes_of(at, drawn, chip, chip) if one.end is None)


def _dots(run: Run) -> tuple[Floats, Floats]:
    """Return the places of the dots from the tip, and what the plan has to come off there, metres."""
    at = np.append(np.arange(0.0, run.length, DOTS), run.length)
    return at, np.interp(run.length - at, run.x, run.before - run.target)


def _picture(job: PlannedJob, run: Run, box: Box, marks: Sequence[float]) -> Drawing:
    """The curve over its ruled chips; columns every 4 in wait for dots, a strong line is a foam-down."""
    depth = np.maximum(run.before - run.target, 0.0)[::-1]
    from_tip = run.length - run.x[::-1]
    chip = run.plane.chips[0]
    reach = float(from_tip[depth >= 0.5 * chip].max(initial=DOTS))
    levels = int(depth.max() / chip + 1e-9)
    to_x, to_y = box.width / reach, box.height / max(float(depth.max()), chip)
    parts = [line([(box.left, box.bottom), (box.right, box.bottom)], Pen.CUT)]
    parts.append(line([(box.left, box.bottom), (box.left, box.top)], Pen.CUT))
    every = next((n for n in (1, 4, 16) if n * chip * to_y >= FINEST_RULING), 64)
    for level in range(every, levels + 1, every):
        y = box.bottom + level * chip * to_y
        inside = from_tip[depth >= level * chip - 1e-9]
        far = box.left + min(float(inside.max(initial=0.0)), reach) * to_x
        parts.append(line([(box.left, y), (far, y)], Pen.CUT if _foam_comes_down(level, chip) else Pen.GRID))
    for place in np.arange(0.0, reach + 1e-9, DOTS):
        x = box.left + float(place) * to_x
        parts.append(line([(x, box.bottom - 1.2), (x, box.top)], Pen.STATION))
        if x > box.right - 2.0:
            continue
        figure = Text((x, box.bottom - 5.4), job.figures.about(float(place)).split()[0], 3.4, Face.FIGURES)
        parts.append(Drawing((Text(figure.at, figure.words, 3.4, Face.FIGURES, Anchor.CENTRE),)))
    shown = from_tip <= reach + 1e-9
    curve = np.column_stack((box.left + from_tip[shown] * to_x, box.bottom + depth[shown] * to_y))
    parts.append(line(curve, Pen.OUTLINE))
    parts.append(_tip_depth(job, float(depth[0]), box, to_y))
    return drawing_of([*parts, *(_start_mark(box, start * to_x) for start in marks)])


def _foam_comes_down(level: int, chip: float) -> bool:
    """Whether the trench is 1/8 in deep after this many chips."""
    return level % max(1, round(0.125 * INCH / chip)) == 0


def _tip_depth(job: PlannedJob, depth: float, box: Box, to_y: float) -> Drawing:
    """What is to come off at the very tip, beside the curve's begin."""
    y = min(box.bottom + depth * to_y, box.top) - FIGURE - 1.5
    at = (box.left - 1.5, max(box.bottom + 1.0, y))
    return Drawing((Text(at, shown_depth(job, depth), FIGURE, Face.TITLE, Anchor.RIGHT),))


def _start_mark(box: Box, along: float) -> Drawing:
    """A short stroke under the axis where a stroke of the first list starts."""
    x = min(box.left + along, box.right)
    return line([(x, box.bottom), (x, box.bottom + 2.4)], Pen.HEAVY)


def depth_rows(job: PlannedJob) -> list[Row]:
    """Return what the calipers and the straight edge may not be under, stage by stage, with room to write."""
    say, stations = job.figures, wall_stations(job)
    there = [float(job.plan.board.inner(np.array([s.x]))[0]) <= 0.0 for s in stations]

    def row(name: str, stage: StageName, face: Side | None, what: str) -> Row:
        marks = {m.station.name: m for m in job.marks(stage, face)}
        rounded = say.at_most if what == "from_new_level" else say.at_least
        cells = [
            rounded(getattr(marks[s.name], what)) if has else "–"
            for s, has in zip(stations, there, strict=True)
        ]
        return Row(name, tuple(cells))

    where = "at the stringer" if job.plan.blank.numbers.stringer.width > 0.0 else "on the centre line"
    return [
        Row(f"{where}, {say.unit}; from the tip", heads(job), Kind.HEAD),
        row(
            "after the rocker: gap at the straight edge",
            StageName.ROCKER,
            Side.BOTTOM,
            "from_new_level",
        ),
        row("after the rocker: calipers, not under", StageName.ROCKER, Side.BOTTOM, "thickness"),
        Row("read", kind=Kind.WRITE),
        row("after the foil: calipers, not under", StageName.FOIL, Side.DECK, "thickness"),
        Row("read", kind=Kind.WRITE),
    ]


def _rules(job: PlannedJob, left: float, top: float, width: float) -> Drawing:
    lengths = LENGTHS[job.figures.system]
    style = TextStyle(2.2, Face.LABEL, 1.45)
    rule = paragraph(RULE.format(**lengths), width, style)
    promise = paragraph(PROMISE.format(**lengths), width, TextStyle(2.2, Face.STRONG, 1.45))
    return drawing_of([rule.at(left, top), promise.at(left, top - rule.height - 0.4)])
