"""The choice explained: the stock ranked, why the others fail, and what sliding the board would change."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from foamwright.lay.alternatives import alternatives_to
from foamwright.lay.choice import Choice
from foamwright.lay.reasons import reasons_for
from foamwright.lay.survey import Survey
from foamwright.lay.words import Words
from foamwright.papers.drawing import drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import Block, TextStyle, paragraph, stacked
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.job_chart import slide_chart
from foamwright.papers.job_minutes import whole_minutes
from foamwright.papers.job_page import BODY_HEAD, Headed
from foamwright.papers.style import Face, Lettering

_LEFT = 0.52
_GAP = 8.0
_RANKED_HEAD = 22.0
_STYLE = TableStyle(row_height=6.6, height=Lettering.LABEL, heading_height=2.0)
_SMALL = TextStyle(Lettering.LABEL, Face.TEXT, 1.6)


def choice_page(job: PlannedJob) -> Headed:
    """Return the page that explains why this blank."""
    body = job.ground.body
    left_width = _LEFT * body.width
    right = Box(body.left + left_width + _GAP, body.bottom, body.right, body.top)
    fails = _failures(job, left_width, 0.5 * body.height)
    ranked = _ranked(job, left_width, body.height - fails.height - 8.0)
    chart_box = Box(right.left, right.top - 72.0, right.right, right.top - 9.0)
    heading = paragraph("Work against where the board lies along the blank", right.width, BODY_HEAD)
    parts = [
        stacked([ranked, fails], 4.0).at(body.left, body.top - 2.0),
        heading.at(right.left, right.top - 2.0),
        slide_chart(job.plan.choice, job.figures, chart_box),
        stacked([_where(job, right.width), _thicker(job, right.width)], 4.0).at(
            right.left, chart_box.bottom - 6.0
        ),
    ]
    return Headed(
        title="Which blank",
        purpose=f"{job.plan.blank.id}, and what the others would take.",
        body=drawing_of(parts),
        scale="",
        refers_to="Minutes from the bay's rates; litres without the saw's offcuts; prices of the stock.",
    )


def _ranked(job: PlannedJob, width: float, height: float) -> Block:
    """The blanks that take the board, best first, as many as find room."""
    most = int((height - _RANKED_HEAD) / _STYLE.row_height)
    plan = job.plan
    fitting = [plan.choice, *(c for c in plan.others if c.fits)]
    columns = [
        Column("", 7.0),
        Column("blank", width - 7.0 - 5 * 17.5 - 15.0, Aligned.WORDS),
        Column("minutes", 17.5),
        Column("litres off", 17.5),
        Column(f"price, {plan.bay.prices.currency}", 17.5),
        Column("price with the work", 17.5),
        Column(f"slide, {job.figures.unit}", 17.5),
        Column("on hand", 15.0),
    ]
    rows = [_ranked_row(number, choice, job) for number, choice in enumerate(fitting[:most], start=1)]
    blocks = [paragraph("Blanks that take the board", width, BODY_HEAD), table(columns, rows, _STYLE)]
    if len(fitting) > most:
        blocks.append(paragraph(f"And {len(fitting) - most} more.", width, _SMALL))
    return stacked(blocks, 1.5)


def _ranked_row(number: int, choice: Choice, job: PlannedJob) -> list[str]:
    return [
        f"{number}",
        choice.id,
        f"{choice.work_min:.0f}",
        f"{choice.foam_off.planed:.1f}",
        f"{choice.numbers.price:.0f}",
        f"{choice.cost:.0f}",
        job.figures.start(choice.placed.slide),
        f"{choice.numbers.on_hand}",
    ]


def _failures(job: PlannedJob, width: float, height: float) -> Block:
    """Why the others do not take the board: for each reason the nearest miss in full, then the names."""
    words = Words(job.figures.system, job.figures.tape)
    failing = [(reasons_for(c, words)[0], c) for c in job.plan.others if not c.fits]
    if not failing:
        return stacked([paragraph("Every blank of the stock takes the board.", width, _SMALL)], 0.0)
    ordered = sorted(failing, key=lambda pair: pair[0].code)
    blocks = [paragraph("Blanks that do not", width, BODY_HEAD)]
    for _, group in groupby(ordered, key=lambda pair: pair[0].code):
        members = list(group)
        finding, nearest = members[0]
        said = f"{nearest.id}: {finding.sentence}"
        others = ", ".join(choice.id for _, choice in members[1:])
        more = f" So too: {others}." if others else ""
        blocks.append(paragraph(said + more, width, _SMALL))
    return stacked(_within(blocks, height, width), 1.2)


def _within(blocks: list[Block], height: float, width: float) -> list[Block]:
    """As many blocks as find room, and a word of those that do not."""
    kept: list[Block] = []
    used = 0.0
    for block in blocks:
        used += block.height + 1.2
        if used > height - 6.0 and kept:
            kept.append(paragraph("The others are listed by foamwright pick.", width, _SMALL))
            break
        kept.append(block)
    return kept


def _where(job: PlannedJob, width: float) -> Block:
    """Where the work is: tail, middle and nose, on either face."""
    parts = job.plan.choice.parts
    columns = [Column("minutes", 24.0, Aligned.WORDS), *(Column(name, (width - 24.0) / 4) for name in _PARTS)]
    ends = parts.by_end
    *cut, rails = whole_minutes([*(end[i] for i in (0, 1) for end in ends), parts.rails])
    faces = {"bottom": cut[:3], "deck": cut[3:]}
    rows = [[face, *map(str, minutes), str(sum(minutes))] for face, minutes in faces.items()]
    rows.append(["rails", "", "", "", str(rails)])
    rows.append(["together", "", "", "", str(sum(cut) + rails)])
    return stacked([paragraph("Where the work is", width, BODY_HEAD), table(columns, rows, _STYLE)], 1.0)


_PARTS = ("tail, last foot", "middle", "nose, last foot", "together")


def _thicker(job: PlannedJob, width: float) -> Block:
    """The same blank a little thicker or thinner."""
    words = Words(job.figures.system, job.figures.tape)
    survey = Survey((job.plan.choice, *job.plan.others))
    said = [one.sentence(words) for one in alternatives_to(job.plan.choice, survey)]
    lines: Sequence[str] = said or ["The stock has this blank in one thickness only."]
    return stacked(
        [
            paragraph("The same blank, thicker or thinner", width, BODY_HEAD),
            *(paragraph(sentence, width, _SMALL) for sentence in lines),
        ],
        1.0,
    )
