"""The templates that stay at the rack: sticks of the stages, rail gauges and the thickness strip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from foamwright.papers.templates import Template
from foamwright.papers.templates_gauges import ThicknessMark, rail_gauge, thickness_strip
from foamwright.papers.templates_sections import stacked_pages, stacked_sections
from foamwright.papers.templates_shapes import TemplateShapes, Wording
from foamwright.papers.templates_sticks import SHIM, StickShape, stick_drawing
from foamwright.papers.tiling import Orientation, Page, Paper
from foamwright.papers.tiling_pages import FullSize
from foamwright.papers.titleblock import TitleBlock


def stick_template(board: str, sticks: Sequence[StickShape], block: TitleBlock, wording: Wording) -> Template:
    """Return the sticks of a plan's runs, one part each."""
    drawings = tuple(stick_drawing(stick, wording) for stick in sticks)
    shim = wording.say(SHIM)
    full = FullSize(
        drawings,
        replace(
            block,
            what="Sticks",
            board=board,
            refers_to="Lines of the stages at the stringer, allowance left on. Stations square to level.",
            scale="1:1",
        ),
        "nose this way",
        "deck side up",
        (
            "Glue on hardboard 3 mm thick; cut along the heavy line. Lay it along the stringer, tip to tip.",
            f"Put a {shim} shim under both filled marks: where the stick still touches between them, more "
            f"than {shim} is left. Without shims, a gap between the marks is foam gone too deep.",
        ),
    )
    stack = stacked_sections(drawings)
    words = f"Lines of {board} after the rocker and the foil near each tip, at full size, as closed parts."
    return Template("sticks", dict.fromkeys(Paper, full), stack, stack, words)


def gauge_template(
    shapes: TemplateShapes, marks: Sequence[ThicknessMark], block: TitleBlock, wording: Wording
) -> Template:
    """Return the thickness strip and a rail gauge for each section."""
    drawings = [thickness_strip(marks, wording), *(rail_gauge(section) for section in shapes.sections)]
    named = replace(
        block,
        what="Gauges",
        board=shapes.board,
        refers_to="Rail gauges fit the finished rail; thickness at the stringer.",
        scale="1:1",
    )
    notes = (
        "Glue on hardboard 3 mm thick; cut each part along its heavy line.",
        "A rail gauge slides on from the side at its station. Light between: still to shape, or too deep.",
    )
    pages = {
        paper: FullSize(
            stacked_pages(drawings, Page(paper, Orientation.PORTRAIT).window.height),
            named,
            "rail this way",
            "deck side up",
            notes,
        )
        for paper in Paper
    }
    stack = stacked_sections(drawings)
    words = (
        f"Female rail gauges of {shapes.board} and its thickness at stations, at full size, as closed parts."
    )
    return Template("gauges", pages, stack, stack, words)
