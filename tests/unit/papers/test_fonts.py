import string
from importlib.resources import files
from io import BytesIO

import pytest
from reportlab.pdfbase.ttfonts import TTFont

from foamwright.papers.fonts import MISSING, covered_runs, em_for, font_bytes, metrics, plain_width
from foamwright.papers.style import Face

NEEDED = string.printable[:95] + "′″×°½¼¾−–—·…±’“”•éöøłńž"


@pytest.mark.parametrize("face", Face)
def test_every_letter_a_paper_needs_is_printed_by_some_face(face):
    runs = covered_runs(NEEDED + "→←≤≥✓", face)
    assert "".join(words for words, _ in runs) == NEEDED + "→←≤≥✓"
    assert all(ord(letter) in metrics(used).widths for words, used in runs for letter in words)


def test_letters_no_face_has_show_as_a_mark():
    assert covered_runs("Ж1", Face.TITLE) == ((f"{MISSING}1", Face.TITLE),)
    assert plain_width(MISSING, Face.TITLE, 3.5) > 0.0


@pytest.mark.parametrize("face", [Face.TITLE, Face.LABEL, Face.FIGURES, Face.FIGURES_STRONG])
def test_figures_are_all_as_wide(face):
    assert len({metrics(face).widths[ord(figure)] for figure in string.digits}) == 1


@pytest.mark.parametrize("face", Face)
def test_widths_agree_with_the_pdf_library(face):
    font = TTFont(f"check-{face.name}", BytesIO(font_bytes(face)))
    words = "Rocker 2 3/4 in, thick 70 mm"
    # The library rounds each advance to a thousandth of the em.
    assert plain_width(words, face, 3.5) == pytest.approx(
        font.stringWidth(words, em_for(3.5, face)), abs=0.002 * len(words)
    )


@pytest.mark.parametrize("face", Face)
def test_capitals_stand_as_tall_as_asked(face):
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.ttLib import TTFont as Outlines

    font = Outlines(BytesIO(font_bytes(face)))
    glyphs = font.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[ord("H")]].draw(pen)
    assert em_for(1.0, face) * pen.bounds[3] / font["head"].unitsPerEm == pytest.approx(1.0, abs=1e-9)


def test_every_font_file_has_its_open_licence_beside_it():
    folder = files("foamwright.papers").joinpath("fonts")
    for face in Face:
        family = face.value.file.split("-")[0]
        licence = folder.joinpath(f"OFL-{family}.txt").read_text("utf-8")
        assert "SIL OPEN FONT LICENSE Version 1.1" in licence
        assert licence.startswith("Copyright")
