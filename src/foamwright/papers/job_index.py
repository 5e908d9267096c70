"""The job as one page to open in a browser: drawings, numbers, strokes, findings, cautions, its papers."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from urllib.parse import quote

from foamwright.blank.numbers import Face
from foamwright.cuts.run import Run
from foamwright.findings import Finding
from foamwright.papers.drawing import Drawing
from foamwright.papers.drawing_box import Box
from foamwright.papers.html_page import html_page, html_table, inline_figure
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.job_laid import laid, plan_view, side_view
from foamwright.papers.job_overview import board_cells, lay_cells, lay_depths
from foamwright.papers.job_page import ground_for
from foamwright.papers.job_run_view import least_height, run_view
from foamwright.papers.job_views import View, enlargement_for, scale_for
from foamwright.papers.job_words import counted, figures_of
from foamwright.papers.round_view import STYLE as ROUND
from foamwright.papers.round_view import round_figure, taken_off
from foamwright.papers.tiling import Paper
from foamwright.planning.plan import Plan
from foamwright.stages.solids import StageName
from foamwright.units import System

INDEX = "index.html"

WIDTH = 210.0
"""Millimetres of a drawing on the page: lettering of 2.5 mm then reads like the text around it."""

STYLE = """
main>p{max-width:42rem}
dl{display:grid;grid-template-columns:repeat(auto-fill,minmax(9.5rem,1fr));gap:.75rem 1.25rem;margin:1.5rem 0}
dt{font-size:.85rem;color:#444}dd{margin:0;font-size:1.15rem;font-weight:600}
figure{overflow-x:auto}figure svg{min-width:34rem}
figcaption{font-size:.9rem;color:#444}
.caution{border-left:4px solid #111;padding-left:.8rem}
.papers{columns:18rem;padding-left:1.2rem}li{margin:.25rem 0}
table{margin-bottom:1.5rem}summary{cursor:pointer;padding:.4rem 0}
@media print{details{display:block}a{color:inherit}}
"""

_EXTRA = {"pdf": "to print", "svg": "drawing", "dxf": "for machines", "json": "data", "toml": "sheet"}


def job_index(plan: Plan, system: System, names: Sequence[str]) -> bytes:
    """Return the page of a job.

    Parameters
    ----------
    plan
        The plan.
    system
        Inches or millimetres.
    names
        The files that lie beside the page, as paths from it.
    """
    job = PlannedJob(plan, figures_of(plan.bay, system), ground_for(Paper.A4))
    title = f"{plan.board.name}, {job.figures.board_length(plan.board.length)}"
    parts = [
        f"<h1>{escape(title)}</h1>",
        f"<p>Out of blank {escape(plan.blank.id)}. Nose at the right in every drawing.</p>",
        _numbers(job),
        "<h2>The board in the blank</h2>",
        *_views(job),
        "<h2>Stations</h2>",
        _stations(job),
        _depths(job),
        "<h2>What comes off, in the round</h2>",
        round_figure(taken_off(plan), "what comes off both faces", system),
        "<h2>Strokes</h2>",
        _runs(job),
        *(_run(job, number, run) for number, run in enumerate(plan.runs)),
        "<h2>What to know</h2>",
        finding_list(plan.findings, "Nothing was found that the shaper has to know."),
        "<h2>Cautions</h2>",
        *(f'<p class="caution">{escape(words)}</p>' for words in _sentences(plan)),
        "<h2>Papers</h2>",
        _papers(names),
    ]
    return html_page(title, "\n".join(parts), STYLE + ROUND)


def _sentences(plan: Plan) -> list[str]:
    """Every caution once, though it stands next to several steps of the work."""
    return list(dict.fromkeys(caution.sentence for caution in plan.cautions))


def _numbers(job: PlannedJob) -> str:
    cells = [*board_cells(job), *lay_cells(job)]
    pairs = (f"<div><dt>{escape(cell.caption)}</dt><dd>{escape(cell.figure)}</dd></div>" for cell in cells)
    return f"<dl>{''.join(pairs)}</dl>"


def _views(job: PlannedJob) -> list[str]:
    """The side with heights enlarged, and the plan."""
    curves, length = laid(job), job.plan.blank.length
    denominator = scale_for(length, WIDTH)
    tall = float(max(curves.deck.max(), curves.high.max()))
    side = View(0.0, 0.0, denominator, enlargement_for(tall, denominator, 60.0))
    above = View(0.0, 0.0, denominator)
    return [
        _pictured(
            side_view(side, curves), "side", f"From the side, {side.scale}. What comes off is hatched."
        ),
        _pictured(
            plan_view(job, above), "above", f"From above, {above.scale}, nose at the right; saw line dashed."
        ),
    ]


def _pictured(drawing: Drawing, name: str, words: str) -> str:
    caption = f"<figcaption>{escape(words)}</figcaption></figure>"
    return inline_figure(drawing, name, words).removesuffix("</figure>") + caption


def _stations(job: PlannedJob) -> str:
    """The finished board at each station."""
    say = job.figures
    marks = job.marks(StageName.FINISHED, Face.BOTTOM)
    rows = [
        (mark.station.name, *map(say.nearest, (mark.from_new_level, mark.thickness)), say.along(mark.width))
        for mark in marks
    ]
    heads = ("station", f"rocker, {say.unit}", f"thickness, {say.unit}", "width")
    return html_table(heads, rows, "The finished board, at the stringer")


def _depths(job: PlannedJob) -> str:
    """What leaves each face up to the foil at each station."""
    say = job.figures
    rows = [(s.name, *map(say.nearest, lay_depths(job, s))) for s in job.plan.stations]
    heads = ("station", f"off the bottom, {say.unit}", f"off the deck, {say.unit}")
    return html_table(heads, rows, "What comes off at the stringer until the foil is done")


def _runs(job: PlannedJob) -> str:
    rows = [
        (
            _name(run),
            run.plane.name,
            f"{len(run.strokes)}",
            f"{len(run.stops)}",
            f"{len(run.foam_down)}",
            job.figures.along(run.length),
        )
        for run in job.plan.runs
    ]
    heads = ("run", "plane", "strokes", "stops to measure", "foam down", "begins from the tip")
    return html_table(heads, rows, "Run-offs, in the order of the work")


def _run(job: PlannedJob, number: int, run: Run) -> str:
    """One run's picture and every stroke's start, folded."""
    say = job.figures
    words = f"{_name(run)}: {counted(len(run.strokes), 'stroke')}"
    if not run.strokes:
        return ""
    height = max(least_height(run, job.plan, say, WIDTH), 60.0)
    drawing, scale = run_view(run, job.plan, say, Box(0.0, 0.0, WIDTH, height))
    rows = [
        (f"{index}", say.start(stroke.start_from_tip), say.chip(stroke.chip), f"{stroke.tracks}")
        for index, stroke in enumerate(run.strokes, start=1)
    ]
    heads = ("stroke", f"starts from the tip, {say.unit}", "chip", "side by side")
    table = html_table(heads, rows, f"Every stroke of {_name(run).lower()}")
    picture = _pictured(
        drawing, f"run-{number}", f"{_name(run)}, {scale}. The face that is cut is up; numbers are strokes."
    )
    return f"{picture}\n<details><summary>{escape(words)}: the whole list</summary>{table}</details>"


def _name(run: Run) -> str:
    return f"{run.stage.capitalize()} to the {run.end.value}"


def finding_list(findings: Sequence[Finding], none: str) -> str:
    """Return findings as a list, or the sentence that there are none."""
    if not findings:
        return f"<p>{escape(none)}</p>"
    items = (
        f"<li><strong>{escape(one.severity.value)}, {escape(one.where)}:</strong> {escape(one.sentence)} "
        f"{escape(one.remedy)}</li>"
        for one in findings
    )
    return f"<ul>{''.join(items)}</ul>"


def _papers(names: Sequence[str]) -> str:
    items = (
        f'<li><a href="{quote(name)}">{escape(name)}</a> {_EXTRA.get(name.rsplit(".", 1)[-1], "")}</li>'
        for name in names
    )
    return f'<ul class="papers">{"".join(items)}</ul>'
