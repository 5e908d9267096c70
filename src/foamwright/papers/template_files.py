"""The full-size templates of a board as files."""

from __future__ import annotations

from dataclasses import replace

from foamwright.bay.bay import Bay
from foamwright.papers.drawing import Signature
from foamwright.papers.plan_shapes import shapes_of
from foamwright.papers.rack_shapes import sticks_of, thickness_marks
from foamwright.papers.templates import (
    Wording,
    files_of,
    outline_template,
    rocker_template,
    section_template,
)
from foamwright.papers.templates_rack import gauge_template, stick_template
from foamwright.papers.templates_roll import Roll
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.planning.plan import Cuts, Plan
from foamwright.units import System

TEMPLATES = "templates"
"""The folder they go to."""


def template_files(
    plan: Cuts, paper: Paper, system: System, block: TitleBlock | None = None, roll: Roll | None = None
) -> dict[str, bytes]:
    """Return every template tiled for `paper` (or on `roll`), and in one piece as SVG and DXF."""
    wording = Wording(system, plan.bay.tape.fraction)
    shapes = shapes_of(plan.board, plan.stations)
    named, signed = block or blank_block(plan), signature_of(plan)
    templates = (
        *(make(shapes, named, wording) for make in (outline_template, rocker_template, section_template)),
        stick_template(plan.board.name, sticks_of(plan), named, wording),
        gauge_template(shapes, thickness_marks(plan), named, wording),
    )
    made: dict[str, bytes] = {}
    for template in templates:
        chosen = replace(template, pages={paper: template.pages[paper]})
        made |= {f"{TEMPLATES}/{name}": content for name, content in files_of(chosen, roll, signed).items()}
    return made


def blank_block(plan: Cuts) -> TitleBlock:
    """Return the title block with the job left blank to write, and the date where the plan has none."""
    date = signature_of(plan).date
    written = " " if date is None else date.isoformat()
    return TitleBlock("", job=" ", board=plan.board.name, blank=plan.blank.id, date=written)


def signature_of(plan: Cuts) -> Signature:
    """Return who made a plan's papers (foamwright in a bay, where that has a name of its own), and when."""
    bay = "" if plan.bay.name == Bay().name else f", {plan.bay.name}"
    return Signature(f"foamwright{bay}", plan.date if isinstance(plan, Plan) else None)
