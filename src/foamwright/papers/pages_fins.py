"""The fin page: every box over the plan of the tail with the marks to pencil, and the foam above it."""

from __future__ import annotations

from math import degrees

from foamwright.finish.box_figures import foam_figure, mark_figure, need_figure
from foamwright.finish.boxes import BoxFit
from foamwright.finish.finished import Finished
from foamwright.papers.drawing import drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_table import Aligned, Column, table
from foamwright.papers.fin_plan import fin_plan
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_page import Ground, Headed
from foamwright.papers.job_words import Figures


def fin_page(finished: Finished, figures: Figures, ground: Ground) -> Headed:
    """Return the page of the fin boxes of a board; it must have some."""
    body = ground.body
    strip = caution_strip([c for c in finished.cautions if c.step == "boxes"], body.width)
    listed = table(_columns(figures), [_row(fit, figures) for fit in finished.boxes])
    low = body.bottom + strip.height + 2.0
    room = Box(body.left, low + listed.height + 4.0, body.right, body.top - 2.0)
    picture, view = fin_plan(finished, figures.system, room)
    return Headed(
        title="Fin boxes",
        purpose="Pencil these marks on the bottom, then look at the foam above before you set the depth.",
        body=drawing_of(
            [
                picture,
                listed.at(body.left, low + listed.height),
                strip.at(body.left, body.bottom + strip.height),
            ]
        ),
        scale=view.scale,
        refers_to="Seen from below, tail to the left; from the tail tip and the stringer's middle.",
    )


def _columns(figures: Figures) -> list[Column]:
    unit = figures.unit
    return [
        Column("box", 30.0, Aligned.WORDS),
        Column(f"rear end from tail, {unit}", 24.0),
        Column(f"rear end from stringer, {unit}", 24.0),
        Column(f"front end from stringer, {unit}", 24.0),
        Column("toe, °", 14.0),
        Column("cant, °", 14.0),
        Column(f"depth, {unit}", 18.0),
        Column(f"least foam above, {unit}", 24.0),
        Column(f"must remain, {unit}", 20.0),
        Column("set", 16.0, Aligned.WRITE),
    ]


def _row(fit: BoxFit, figures: Figures) -> tuple[str, ...]:
    fin = fit.fin
    return (
        fin.name,
        mark_figure(fin.x, figures.system),
        mark_figure(abs(fin.y), figures.system),
        mark_figure(abs(fit.front[1]), figures.system),
        f"{degrees(fin.toe):g}",
        f"{degrees(fin.cant):g}",
        mark_figure(fin.box_depth, figures.system),
        foam_figure(fit, figures.system),
        need_figure(fin.cover, figures.system),
        "",
    )
