"""The three writers: real text, true size, the same bytes on every run."""

import datetime
import io
import os
import subprocess
import sys
import time
import xml.etree.ElementTree as ElementTree
from base64 import b64decode
from hashlib import sha256
from pathlib import Path

import ezdxf
import numpy as np
import pikepdf
import pytest
from ezdxf import bbox

from foamwright.papers.dimension import horizontal_dimension
from foamwright.papers.drawing import (
    Arc,
    Document,
    Drawing,
    Sheet,
    Signature,
    Text,
    drawing_of,
    hatch,
    line,
    shape,
)
from foamwright.papers.drawing_box import Box
from foamwright.papers.dxf import dxf_bytes
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.style import Face, Hatching, Pen, Tone
from foamwright.papers.svg import FontUse, svg_bytes

SVG = "{http://www.w3.org/2000/svg}"
HERE = Path(__file__).parent


def trial_sheet():
    ring = [(20.0, 20.0), (80.0, 20.0), (80.0, 50.0), (20.0, 60.0)]
    parts = [
        hatch(Hatching.DECK, ring),
        shape(ring, Pen.OUTLINE),
        line([(10.0, 15.0), (90.0, 15.0)], Pen.LEVEL),
        shape([(60.0, 70.0), (70.0, 70.0), (65.0, 75.0)], None, Tone.INK),
        Drawing((Arc((30.0, 70.0), 6.0, Pen.THIN), Arc((50.0, 70.0), 6.0, Pen.CUT, 0.5, 2.0))),
        horizontal_dimension((20.0, 20.0), (80.0, 20.0), "2 3/8 in", 8.0),
        Drawing((Text((10.0, 90.0), "Łódź → 6'2\"", 5.0, Face.TITLE),)),
        line([(0.0, 0.0), (200.0, 200.0)], Pen.GRID).clipped_to(Box(70.0, 70.0, 95.0, 95.0)),
    ]
    return Sheet(100.0, 100.0, drawing_of(parts), "A trial & its <signs>")


@pytest.fixture(scope="module")
def pdf():
    return pikepdf.open(io.BytesIO(pdf_bytes(Document("Trial", (trial_sheet(), trial_sheet())))))


def test_pdf_pages_have_the_sheet_size(pdf):
    assert len(pdf.pages) == 2
    sides = [float(side) for side in pdf.pages[0].mediabox]
    assert sides == pytest.approx([0, 0, 100 * 72 / 25.4, 100 * 72 / 25.4], abs=1e-3)


def test_pdf_names_itself_and_asks_not_to_be_scaled(pdf):
    assert str(pdf.docinfo["/Title"]) == "Trial"
    assert str(pdf.Root.Lang) == "en"
    assert str(pdf.Root.ViewerPreferences.PrintScaling) == "/None"


def test_every_font_in_the_pdf_is_embedded(pdf):
    fonts = list(pdf.pages[0].Resources.Font.values())
    assert fonts
    assert all("/FontFile2" in font.FontDescriptor for font in fonts)


def test_pdf_is_vector_only(pdf):
    assert "/XObject" not in pdf.pages[0].Resources or not pdf.pages[0].Resources.XObject.keys()


def test_a_fraction_in_the_pdf_reads_as_it_was_written(pdf):
    spoken = [
        bytes(operands[1].ActualText).decode("utf-16")
        for operands, operator in pikepdf.parse_content_stream(pdf.pages[0])
        if str(operator) == "BDC" and str(operands[0]) == "/Span"
    ]
    assert spoken == ["2 3/8 in"]


def test_every_letter_and_line_of_the_pdf_is_tagged(pdf):
    assert pdf.Root.MarkInfo.Marked is True
    tree = pdf.Root.StructTreeRoot
    parents = list(tree.ParentTree.Nums)[1::2]
    (document,) = tree.K
    assert [str(section.T) for section in document.K] == ["A trial & its <signs>"] * 2
    for page, own, section in zip(pdf.pages, parents, document.K, strict=True):
        assert parents[int(page.StructParents)] == own
        kinds = {int(mark): str(kind) for kind, mark in marked(page)}
        assert sorted(kinds) == list(range(len(own)))
        for mark, element in enumerate(own):
            assert str(element.S) == kinds[mark]
            kids = [element.K] if isinstance(element.K, int) else [int(kid) for kid in element.K]
            assert mark in kids
            assert element.Pg.objgen == page.objgen
            assert element.P.objgen == section.objgen
        (figure,) = {one.objgen: one for one in own if str(one.S) == "/Figure"}.values()
        assert str(figure.Alt) == "A trial & its <signs>"


def marked(page):
    """Kind and number of every mark; whatever paints must stand inside one."""
    paints = {"S", "s", "b", "f", "B", "Tj", "TJ", "'"}
    open_marks, found = [], []
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "BDC":
                inherited = open_marks[-1] if open_marks else None
                number = operands[1].get("/MCID")
                open_marks.append(inherited if number is None else (str(operands[0]), number))
                if number is not None:
                    found.append(open_marks[-1])
            case "EMC":
                open_marks.pop()
            case name if name in paints:
                wanted = "/P" if name in ("Tj", "TJ", "'") else ("/Figure", "/P")
                assert open_marks
                assert open_marks[-1][0] in wanted
    assert not open_marks
    return found


def test_pdf_is_dated_as_its_document_and_never_by_the_clock(pdf):
    assert "/CreationDate" not in pdf.docinfo
    signature = Signature("foamwright, Groyne bay", datetime.date(2026, 5, 31))
    dated = pdf_bytes(Document("Trial", (trial_sheet(),), signature=signature))
    opened = pikepdf.open(io.BytesIO(dated))
    info = opened.docinfo
    assert str(info["/Author"]) == "foamwright, Groyne bay"
    assert {str(info["/CreationDate"]), str(info["/ModDate"])} == {"D:20260531000000Z"}
    assert dated == pdf_bytes(Document("Trial", (trial_sheet(),), signature=signature))


def test_svg_is_true_size_and_says_what_it_shows():
    root = ElementTree.fromstring(svg_bytes(trial_sheet(), "A shape and its width"))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("100mm", "100mm", "0 0 100 100")
    assert root.find(f"{SVG}title").text == "A trial & its <signs>"
    assert root.find(f"{SVG}desc").text == "A shape and its width"
    spoken = [g.get("aria-label") for g in root.iter(f"{SVG}g") if g.get("aria-label")]
    assert spoken == ["2 3/8 in"]


def test_svg_carries_the_letters_it_uses():
    from fontTools.ttLib import TTFont

    text = svg_bytes(trial_sheet()).decode("utf-8")
    fonts = [
        TTFont(io.BytesIO(b64decode(part.split(")")[0]))) for part in text.split("font/woff;base64,")[1:]
    ]
    drawn = {
        chr(code)
        for font in fonts
        for code, name in font.getBestCmap().items()
        if font["glyf"][name].numberOfContours != 0
    }
    root = ElementTree.fromstring(text.encode("utf-8"))
    used = {letter for node in root.iter(f"{SVG}text") for letter in node.text if letter != " "}
    assert used <= drawn
    assert "base64" not in svg_bytes(trial_sheet(), fonts=FontUse.NAMED).decode("utf-8")


def dxf_document():
    return ezdxf.read(io.StringIO(dxf_bytes(trial_sheet().drawing, "Trial").decode("utf-8")))


def test_dxf_is_sound_and_in_millimetres():
    document = dxf_document()
    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert document.header["$INSUNITS"] == 4
    assert document.dxfversion == "AC1024"


def test_dxf_layers_carry_the_weights_of_their_pens():
    document = dxf_document()
    assert document.layers.get("outline").dxf.lineweight == 50
    assert document.layers.get("hatch").dxf.lineweight == 13
    dashes = document.linetypes.get(document.layers.get("level").dxf.linetype).simplified_line_pattern()
    assert tuple(dashes) == Pen.LEVEL.dash
    assert document.layers.get("outline").dxf.linetype == "CONTINUOUS"


def test_dxf_extents_are_those_of_the_outline():
    document = dxf_document()
    found = bbox.extents(document.modelspace().query('*[layer=="outline"]'))
    assert tuple(document.header["$EXTMIN"])[:2] == tuple(found.extmin)[:2] == (20.0, 20.0)
    assert tuple(document.header["$EXTMAX"])[:2] == tuple(found.extmax)[:2] == (80.0, 60.0)


def test_dxf_has_no_window_so_lines_are_cut():
    (piece,) = dxf_document().modelspace().query('LWPOLYLINE[layer=="grid"]')
    assert np.array(piece.get_points("xy")).tolist() == [[70, 70], [95, 95]]


_WRITE_ALL = """
import sys
sys.path.insert(0, sys.argv[1])
from test_writers import digests
print(*digests())
"""


def digests():
    sheet = trial_sheet()
    contents = [pdf_bytes(Document("T", (sheet,))), svg_bytes(sheet), dxf_bytes(sheet.drawing, "T")]
    return [sha256(content).hexdigest() for content in contents]


def test_every_format_is_the_same_bytes_in_other_processes_with_other_hash_seeds():
    command = [sys.executable, "-c", _WRITE_ALL, str(HERE)]
    # Two unordered things fall the same way half the time, so more than one other process is asked.
    others = [
        subprocess.Popen(
            command, env={**os.environ, "PYTHONHASHSEED": seed}, stdout=subprocess.PIPE, text=True
        )
        for seed in "1234"
    ]
    said = [other.communicate()[0].split() for other in others]
    assert said == [digests()] * 4


def test_no_clock_in_any_format():
    before = digests()
    time.sleep(1.1)
    assert digests() == before
