"""The second sheet: the steps in order with minutes and tools, what to have at hand, general cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foamwright.cautions import DEFER, DUST, POLYURETHANE
from foamwright.papers.drawing import drawing_of
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import Block, TextStyle, numbered, paragraph, stacked
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_code import bench_code
from foamwright.papers.job_howto import Step
from foamwright.papers.job_minutes import minutes_by_step, whole_minutes
from foamwright.papers.job_page import BODY_HEAD, Headed, Told, told
from foamwright.papers.style import Face

_SIDE = 84.0
_GAP = 8.0
_STYLE = TableStyle(row_height=9.0, height=3.0, heading_height=2.4)


def order_page(job: PlannedJob, sheets: Mapping[Step, Sequence[int]]) -> Headed:
    """Return the sheet that says what is done in which order.

    Parameters
    ----------
    job
        The job.
    sheets
        Numbers of the sheets of every step.
    """
    body = job.ground.body
    general = (DEFER, DUST, POLYURETHANE) if job.plan.polyurethane else (DEFER, DUST)
    strip = caution_strip(general, body.width)
    width = body.width - _SIDE - _GAP
    left = stacked([_steps(job, sheets, width), in_pair(_before(job), _reading(), width)], 6.0)
    parts = [
        left.at(body.left, body.top - 2.0),
        _at_hand(job).at(body.right - _SIDE, body.top - 2.0),
        strip.at(body.left, body.bottom + strip.height),
    ]
    return Headed(
        title="Order of the work",
        purpose="Each step is measured before the next one begins.",
        body=drawing_of(parts),
        scale="",
        refers_to="Minutes: what the choice of the blank was reckoned with, from the bay's rates.",
    )


def _steps(job: PlannedJob, sheets: Mapping[Step, Sequence[int]], width: float) -> Block:
    reckoned = minutes_by_step(job.plan)
    minutes = dict(zip(reckoned, whole_minutes(list(reckoned.values())), strict=True))
    columns = [
        Column("", 8.0, Aligned.FIGURES),
        Column("step", 24.0, Aligned.WORDS),
        Column("what is done", width - 8.0 - 24.0 - 20.0 - 17.0 - 15.0, Aligned.WORDS),
        Column("sheets", 20.0, Aligned.CENTRED),
        Column("minutes", 17.0),
        Column("done", 15.0, Aligned.WRITE),
    ]
    rows = [
        [
            f"{step.number}",
            step.value.capitalize(),
            _SHORT[step],
            _span(sheets.get(step, ())),
            f"{minutes[step]}" if step in minutes else "",
            "",
        ]
        for step in Step
        if sheets.get(step) or step in minutes
    ]
    rows.append(["", "", "together", "", f"{job.plan.choice.work_min:.0f}", ""])
    return table(columns, rows, _STYLE)


_SHORT = {
    Step.OUTLINE: "saw outside the line, plane the edge square",
    Step.THICKNESS: "the even part, the whole length",
    Step.ROCKER: "run-offs on the bottom, to nose and tail",
    Step.FOIL: "run-offs on the deck, to nose and tail",
    Step.CONTOURS: "scoop the bottom to the grid",
    Step.RAILS: "flats from pencil line to pencil line",
    Step.FINISH: "screen the rails, sand, read the core",
}


def _span(numbers: Sequence[int]) -> str:
    if not numbers:
        return "none"
    return f"{numbers[0]}" if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}"


def in_pair(left: tuple[str, list[str]], right: tuple[str, list[str]], width: float) -> Block:
    """Return two numbered lists side by side under their headings."""
    half = (width - _GAP) / 2
    blocks = [
        stacked([paragraph(name, half, BODY_HEAD), numbered(steps, half)], 1.0)
        for name, steps in (left, right)
    ]
    both = blocks[0].at(0.0, 0.0) + blocks[1].at(half + _GAP, 0.0)
    return Block(both, max(block.height for block in blocks))


def _before(job: PlannedJob) -> tuple[str, list[str]]:
    """What is drawn on the blank before the first cut."""
    say, plan = job.figures, job.plan
    return "Before the first cut", [
        "Blank bottom up. Lay the straight edge along the stringer and level it over the place where it "
        "touches: the blank's level line.",
        f"Mark the tail tip {say.along(plan.lay.slide)} from the blank's tail end, then every station from "
        "the tip it is named after, square across both faces.",
        "With the edges planed square, draw the bottom and deck lines of every step on them, measured from "
        "the blank's level line: later there is no other mark of it.",
    ]


def _reading() -> tuple[str, list[str]]:
    """How the sheets are to be read."""
    return "How to read the sheets", [
        "A cut that obeys these figures is never deeper than the plan: all are rounded that way. “Skim” is "
        "less than the tape shows.",
        "Minutes are for planing and the foam beside it. Sawing and contours are not counted: they are the "
        "same in every blank.",
        "Foam cannot be put back. Of two readings believe the one with less foam.",
    ]


def _at_hand(job: PlannedJob) -> Block:
    """Tools with their settings, and what to draw and measure with."""
    bay, say = job.plan.bay, job.figures
    planes = [
        f"{plane.name.capitalize()}, sole {say.along(plane.sole)}, iron set to "
        f"{', '.join(say.chip(c) for c in plane.chips)} {say.unit}"
        for plane in bay.planes
    ]
    tape = f"Tape and rule, read to 1/{bay.tape.fraction} in" if say.unit == "in" else "Tape and rule"
    half = say.along(job.plan.board.numbers.wide / 2.0)
    straight = (
        f"Short straight edge, {half}, half the board's width; a long one, or a short one propped level"
    )
    items = [
        *planes,
        f"{tape}; calipers that reach the stringer",
        f"{straight}; a square; a batten",
        "Saw; the half template; section templates",
        "Curved block, long soft block, screen, paper",
        "Soft pencil; low side light; weights for the rack",
        "Fitted respirator, glasses, extraction, vacuum",
    ]
    style = TextStyle(2.7, Face.TEXT, 1.7)
    lines = [paragraph(f"– {item}", _SIDE, style) for item in items]
    allowances = bay.allowances
    left = Told(
        "Left on purpose",
        f"Saw: {say.with_unit(say.nearest(allowances.saw))} outside the outline. "
        f"Run-offs end no more than {say.with_unit(say.nearest(allowances.run_off))} above their line. "
        f"Sanding: {_fine(job, allowances.finish)} on each face and round the edge.",
    )
    hand = stacked([paragraph("Have at hand", _SIDE, BODY_HEAD), *lines], 1.2)
    code = [bench_code(job.bench, _SIDE)] if job.bench else []
    return stacked([*code, hand, told(left, _SIDE), *_mind(job)], 4.0)


def _mind(job: PlannedJob) -> list[Block]:
    """What the plan found that no sheet of a step tells."""
    told_elsewhere = ("run-", "grain-")
    others = [f for f in job.plan.findings if not f.code.startswith(told_elsewhere)]
    words = " ".join(f"{f.sentence} {f.remedy}" for f in others)
    return [told(Told("Mind", words), _SIDE)] if words else []


def _fine(job: PlannedJob, metres: float) -> str:
    return job.figures.with_unit(job.figures.chip(metres))
