"""The drawings whose documents are kept here, and their readable normal form.

``python tests/golden/drawings.py`` writes the kept files anew; look at what changed before keeping it.
"""

from __future__ import annotations

import io
from pathlib import Path

import pikepdf

from foamwright.papers.dimension import FIGURES, dimension, horizontal_dimension
from foamwright.papers.drawing import Document, Drawing, Sheet, Text, drawing_of, hatch, line, shape
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_table import Aligned, Column, table
from foamwright.papers.drawing_text import paragraph
from foamwright.papers.dxf import dxf_bytes
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.style import Face, Hatching, Lettering, Pen
from foamwright.papers.svg import FontUse, svg_bytes
from foamwright.papers.titleblock import TitleBlock, title_block

FOLDER = Path(__file__).parent


def step_sheet() -> Sheet:
    """A small sheet with one of everything: hatched foam, level line, dimensions, table, title block."""
    foam = [(20.0, 60.0), (120.0, 60.0), (120.0, 75.0), (20.0, 80.0)]
    columns = [
        Column("station", 30.0, Aligned.WORDS),
        Column("thick, in", 18.0),
        Column("read", 18.0, Aligned.WRITE),
    ]
    block = TitleBlock(
        "Rocker, nose", "Job 7", "Groyne", "6'7\" white", "2026-11-25", "Finished bottom.", "1:5"
    )
    parts = [
        hatch(Hatching.BOTTOM, foam),
        shape(foam, Pen.OUTLINE),
        line([(10.0, 55.0), (130.0, 55.0)], Pen.LEVEL),
        horizontal_dimension((20.0, 60.0), (120.0, 60.0), "3 15/16 in", 48.0),
        dimension((120.0, 75.0), (120.0, 60.0), "9/16", 6.0, FIGURES),
        Drawing((Text((10.0, 90.0), "Take 1/8 in off the bottom", Lettering.HEADING, Face.TITLE),)),
        paragraph("Four strokes from 9 in, then measure: 2 7/16 in should be left at the tip.", 70.0).at(
            10.0, 40.0
        ),
        table(columns, [["12 from nose", "2 3/4", "in"], ["nose", "5/8", "in"]]).at(84.0, 42.0),
        title_block(block, Box(10.0, 4.0, 150.0, 18.0)),
    ]
    return Sheet(160.0, 100.0, drawing_of(parts), "Rocker, nose")


def pdf_normal_form(content: bytes) -> str:
    """Titles, page sizes, fonts and page operators of a PDF, one to a line."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        lines = [f"title {pdf.docinfo['/Title']}", f"language {pdf.Root.Lang}"]
        for page in pdf.pages:
            fonts = sorted(str(font.BaseFont) for font in page.Resources.Font.values())
            lines += [
                f"page {[round(float(side), 3) for side in page.mediabox]}",
                *(f"font {name}" for name in fonts),
            ]
            lines += [_operation(*step) for step in pikepdf.parse_content_stream(page)]
    return "\n".join(lines) + "\n"


def _operation(operands: list[object], operator: pikepdf.Operator) -> str:
    return " ".join([*(_operand(operand) for operand in operands), str(operator)])


def _operand(value: object) -> str:
    if isinstance(value, pikepdf.Dictionary):
        return "<<" + " ".join(f"{key} {_operand(value[key])}" for key in sorted(value.keys())) + ">>"
    if isinstance(value, pikepdf.String):
        return repr(bytes(value))
    if isinstance(value, (pikepdf.Array, list)):
        return "[" + " ".join(_operand(item) for item in value) + "]"
    return str(value)


def documents() -> dict[str, str]:
    """Return the kept documents, file name to readable text."""
    sheet = step_sheet()
    return {
        "step.pdf.txt": pdf_normal_form(pdf_bytes(Document("Groyne: rocker", (sheet,)))),
        "step.svg": svg_bytes(sheet, "The nose's rocker, one step", FontUse.NAMED).decode("utf-8"),
        "step.dxf": dxf_bytes(sheet.drawing, "Groyne: rocker").decode("utf-8"),
    }


if __name__ == "__main__":
    for name, text in documents().items():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")
