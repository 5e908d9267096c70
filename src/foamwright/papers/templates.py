"""Full-size templates of a board: half outline, rocker and foil, rail sections; as pages, SVG and DXF.

In the one-piece DXF of outline and rocker all lettering stays inside the box of the geometry, so that the
file's extents are the board's own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from foamwright.papers.drawing import Document, Drawing, Signature
from foamwright.papers.dxf import Layers, dxf_bytes
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.svg import cut_svg_bytes, sheet_around, svg_bytes
from foamwright.papers.templates_outline import outline_drawing, outline_length, outline_name
from foamwright.papers.templates_rocker import rocker_drawing, rocker_length
from foamwright.papers.templates_roll import Roll, roll_sheet
from foamwright.papers.templates_sections import section_drawing, stacked_pages, stacked_sections
from foamwright.papers.templates_shapes import SectionShape, StationName, TemplateShapes, Wording
from foamwright.papers.tiling import Orientation, Page, Paper
from foamwright.papers.tiling_pages import FullSize, full_size_sheets
from foamwright.papers.titleblock import TitleBlock

__all__ = [
    "SectionShape",
    "StationName",
    "Template",
    "TemplateShapes",
    "Wording",
    "outline_template",
    "rocker_template",
    "section_template",
    "template_files",
]


@dataclass(frozen=True, slots=True)
class Template:
    """One template, ready for every format.

    Attributes
    ----------
    stem
        File name without ending.
    pages
        What goes on tiled pages of each paper.
    picture
        The one-piece drawing with its dimensions.
    geometry
        The one-piece drawing whose extents are those of the board.
    description
        What it shows, in words.
    """

    stem: str
    pages: dict[Paper, FullSize]
    picture: Drawing
    geometry: Drawing
    description: str


def template_files(shapes: TemplateShapes, block: TitleBlock, wording: Wording) -> dict[str, bytes]:
    """Return every template of a board in every format.

    Parameters
    ----------
    shapes
        The finished board.
    block
        Whose it is; name, scale, reference and sheet numbers are filled in here.
    wording
        How lengths are written.

    Returns
    -------
    dict
        File name to bytes: ``outline``, ``rocker`` and (if there are any) ``sections``, each as
        ``-a4.pdf``, ``-letter.pdf``, ``-a3.pdf``, ``.svg`` and ``.dxf``.
    """
    templates = [outline_template(shapes, block, wording), rocker_template(shapes, block, wording)]
    if shapes.sections:
        templates.append(section_template(shapes, block, wording))
    return {name: content for template in templates for name, content in files_of(template).items()}


def files_of(
    template: Template, roll: Roll | None = None, signed: Signature | None = None
) -> dict[str, bytes]:
    """Return one template in every format, file name to bytes; on one page of `roll` instead of tiles."""
    signed = signed or Signature()
    pages = {
        f"{template.stem}-{roll or paper.name.lower()}.pdf": _pdf(full, paper, roll, signed)
        for paper, full in template.pages.items()
    }
    title = next(iter(template.pages.values())).block
    name = f"{title.board}: {title.what}"
    return {
        **pages,
        f"{template.stem}.svg": svg_bytes(sheet_around(template.picture, name), template.description),
        f"{template.stem}.dxf": dxf_bytes(template.geometry, name, layers=Layers.WORK),
        f"{template.stem}-cut.svg": cut_svg_bytes(template.geometry, name),
        f"{template.stem}-cut.dxf": dxf_bytes(template.geometry, name, layers=Layers.CUT_ONLY),
    }


def _pdf(full: FullSize, paper: Paper, roll: Roll | None, signed: Signature) -> bytes:
    title = f"{full.block.board}: {full.block.what}"
    sheets = full_size_sheets(full, paper) if roll is None else (roll_sheet(full, roll),)
    subject = f"Full size, {paper.name.title()} paper" if roll is None else f"Full size on one page, {roll}"
    return pdf_bytes(Document(title, sheets, subject, signature=signed))


def outline_template(shapes: TemplateShapes, block: TitleBlock, wording: Wording) -> Template:
    """Return the half outline."""
    outline, length = outline_drawing(shapes, wording), outline_length(shapes, wording)
    geometry = outline + outline_name(shapes)
    refers = "Finished outline. Stations along the level line. Saw outside the line."
    full = FullSize(
        # On pages the title block says what it is; a large name would be cut by a page's edge.
        (outline + length,),
        replace(block, what="Half outline", board=shapes.board, refers_to=refers, scale="1:1"),
        "nose this way",
        "rail this side, stringer below",
        (
            "Cut out along the heavy line. Lay the straight edge on the stringer line, trace, "
            "turn the template over and trace the other half.",
        ),
    )
    return Template(
        "outline",
        dict.fromkeys(Paper, full),
        geometry + length,
        geometry,
        f"Half outline of {shapes.board} at full size, tail at the left, with widths at stations.",
    )


def rocker_template(shapes: TemplateShapes, block: TitleBlock, wording: Wording) -> Template:
    """Return the rocker and foil."""
    geometry = rocker_drawing(shapes, wording)
    picture = geometry + rocker_length(shapes, wording)
    refers = "Finished bottom and deck at the stringer. Heights from the level line, thickness square to it."
    full = FullSize(
        (picture,),
        replace(block, what="Rocker and foil", board=shapes.board, refers_to=refers, scale="1:1"),
        "nose this way",
        "deck side up",
        (
            "Cut out along the heavy lines. "
            "The level line is a straight edge laid on the bottom at its lowest point.",
        ),
    )
    return Template(
        "rocker",
        dict.fromkeys(Paper, full),
        picture,
        geometry,
        f"Stringer profile of {shapes.board} at full size, tail at the left, with rocker and thickness.",
    )


def section_template(shapes: TemplateShapes, block: TitleBlock, wording: Wording) -> Template:
    """Return the rail sections."""
    refers = "Finished half sections from the stringer. Heights from the board's level line."
    drawings = [section_drawing(section, wording) for section in shapes.sections]
    named = replace(block, what="Rail sections", board=shapes.board, refers_to=refers, scale="1:1")
    notes = (
        "Cut along each heavy line. The paper outside it is the gauge: hold it over the rail at its station, "
        "level line level.",
    )
    pages = {
        paper: FullSize(
            stacked_pages(drawings, Page(paper, Orientation.LANDSCAPE).window.height),
            named,
            "rail this way",
            "deck side up",
            notes,
        )
        for paper in Paper
    }
    stack = stacked_sections(drawings)
    return Template(
        "sections",
        pages,
        stack,
        stack,
        f"Half sections of {shapes.board} at full size, stringer at the left, with the level line.",
    )
