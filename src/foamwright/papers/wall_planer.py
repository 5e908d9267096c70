"""Sheet 2b of the wall pack: the power planer's ladder, and the depths to read; only where there is one."""

from __future__ import annotations

from foamwright.cuts.ladder import ADVANCE, LEAVES, Ladder
from foamwright.papers.drawing import Drawing, Text, drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import TextStyle, fitted, paragraph
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.style import Face
from foamwright.papers.tiling import Page
from foamwright.papers.wall_depths import LINE, depth_rows
from foamwright.papers.wall_frame import FIGURE, WORDS, Hung, body_of, figures_in_lines, station_table
from foamwright.papers.wall_marks import NAMES

CAUTION = (
    "Cord over the shoulder, both hands on it, plug out before anything near the cutter is touched, set down "
    "only when it has stopped. Never on contours, or on stringer wood that stands alone. "
    "Only whom the teacher has cleared."
)
"""Common practice, no source."""


def planer_sheet(job: PlannedJob, page: Page) -> Hung:
    """Return sheet 2b."""
    body, say, ladders = body_of(page), job.figures, job.plan.ladders
    first = ladders[0]
    words = (
        f"Set to {say.with_unit(say.chip(first.chip))} a pass. Start at each mark in turn, off the tip: "
        f"every start lies further in. Strip beside strip by {ADVANCE * 100:.0f} % of the cutter "
        f"({say.with_unit(say.nearest(first.advance))}), {first.strips} a side at the widest. The last pass "
        f"leaves {say.with_unit(say.chip(LEAVES))} above the line at least: the rest by hand, sheet 2a."
    )
    head = paragraph(words, body.width, TextStyle(WORDS, Face.STRONG, 1.4))
    caution = paragraph(CAUTION, body.width, TextStyle(WORDS, Face.LABEL, 1.4))
    top = body.top - 2.0
    parts = [head.at(body.left, top), caution.at(body.left, top - head.height - 1.5)]
    top -= head.height + caution.height + 6.0
    for ladder in ladders:
        drawing, height = _listed(job, ladder, body.left, top, body.width)
        parts.append(drawing)
        top -= height
    table, _ = station_table(depth_rows(job), Box(body.left, body.bottom, body.right, top), NAMES)
    return Hung("2b", "Depths, power planer", drawing_of([*parts, table]))


def _listed(job: PlannedJob, ladder: Ladder, left: float, top: float, width: float) -> tuple[Drawing, float]:
    """One face towards one end: its name over its marks, and the height they take."""
    name = f"{ladder.stage} to the {ladder.end}: {ladder.face}, {len(ladder.starts)} passes"
    title = fitted(Text((left, top - 4.2), name[0].upper() + name[1:], 3.6, Face.TITLE), width)
    lines = figures_in_lines([job.figures.start(s) for s in ladder.starts], width) or ["No pass."]
    marks = [
        Text((left, top - 12.0 - index * LINE), words, FIGURE, Face.TITLE)
        for index, words in enumerate(lines)
    ]
    return Drawing((title, *marks)), 8.0 + LINE * len(lines)
