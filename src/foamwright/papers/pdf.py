"""PDF writer: pages at true size, real text in embedded subset fonts, the same bytes on every run."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import TYPE_CHECKING, Any

from foamwright.papers.drawing import (
    Arc,
    Clip,
    Document,
    Drawing,
    Hatch,
    Item,
    Polygon,
    Polyline,
    Sheet,
    Text,
)
from foamwright.papers.drawing_box import Points
from foamwright.papers.drawing_hatch import hatch_lines
from foamwright.papers.fonts import font_bytes
from foamwright.papers.pdf_tags import PageTags, Tags
from foamwright.papers.style import Face, Pen, Tone

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

POINTS_PER_MM = 72.0 / 25.4

_BUTT, _ROUND_JOIN = 0, 1
_PDF_VERSION = (1, 7)


def pdf_bytes(document: Document) -> bytes:
    """Return `document` as a PDF file.

    Parameters
    ----------
    document
        Sheets in millimetres; each becomes a page of exactly its size.

    Returns
    -------
    bytes
        The file: vector only, tagged, fonts embedded, title, author and language set, viewers asked not to
        scale it when printing; dated as the document is, never by the clock.
    """
    _register_faces()
    with _binary_streams():
        return _written(document)


@contextmanager
def _binary_streams() -> Iterator[None]:
    """Leave out the library's text armour around streams: a fifth smaller and quicker."""
    from reportlab import rl_config

    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


def _written(document: Document) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    buffer = BytesIO()
    canvas = Canvas(
        buffer,
        invariant=1,
        pageCompression=1,
        pdfVersion=_PDF_VERSION,
        lang=document.language,
        # Named, or the library lists a font of its own that is not embedded.
        initialFontName=Face.FIGURES.value.file,
    )
    _set_date(canvas, document.signature.date)
    canvas.setTitle(document.title)
    canvas.setSubject(document.subject)
    canvas.setAuthor(document.signature.author)
    canvas.setCreator("foamwright")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.setViewerPreference("PrintScaling", "None")
    tags = Tags(canvas)
    for number, sheet in enumerate(document.sheets, start=1):
        _draw_sheet(canvas, sheet, number, tags.page(canvas, sheet.title or document.title))
    tags.close()
    canvas.save()
    return buffer.getvalue()


def _set_date(canvas: Canvas, date: datetime.date | None) -> None:
    """Date the file as its document is, or not at all.

    The clock's date would change the bytes of the same plan; the library's own is the year 2000.
    """
    from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFInfo, PDFString

    class Dated(PDFInfo):  # type: ignore[misc]
        def format(self, document: Any) -> Any:
            fields = ("title", "author", "subject", "creator", "producer")
            written = {name.capitalize(): PDFString(getattr(self, name)) for name in fields}
            if date is not None:
                day = PDFString(f"D:{date:%Y%m%d}000000Z")
                written |= {"CreationDate": day, "ModDate": day}
            return PDFDictionary(written).format(document)

    canvas._doc.info = Dated()


def _register_faces() -> None:
    """Make every shipped face known to the PDF library; it embeds only the letters used."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    known = set(pdfmetrics.getRegisteredFontNames())
    for face in Face:
        if face.value.file not in known:
            pdfmetrics.registerFont(TTFont(face.value.file, BytesIO(font_bytes(face))))


def _draw_sheet(canvas: Canvas, sheet: Sheet, number: int, tags: PageTags) -> None:
    canvas.setPageSize((sheet.width * POINTS_PER_MM, sheet.height * POINTS_PER_MM))
    if sheet.title:
        canvas.bookmarkPage(f"sheet-{number}")
        canvas.addOutlineEntry(sheet.title, f"sheet-{number}", level=0)
    canvas.setLineCap(_BUTT)
    canvas.setLineJoin(_ROUND_JOIN)
    canvas.setStrokeGray(0)
    _PageWriter(canvas, tags).draw(sheet.drawing)
    tags.pause()
    canvas.showPage()
    tags.close(canvas._doc.Pages.pages[-1])


def _run(points: Points) -> str:
    """Path operators through `points`, to a thousandth of a point (a third of a micrometre)."""
    steps = [f"{x:.3f} {y:.3f} l" for x, y in (points * POINTS_PER_MM).tolist()]
    return " ".join((f"{steps[0][:-1]}m", *steps[1:]))


class _PageWriter:
    """Draws items on one page; remembers the pen so that it is set only when it changes."""

    def __init__(self, canvas: Canvas, tags: PageTags) -> None:
        self.canvas: Any = canvas
        self.tags = tags
        self.pen: Pen | None = None

    def draw(self, drawing: Drawing) -> None:
        for item in drawing.items:
            self.item(item)

    def item(self, item: Item) -> None:
        if not isinstance(item, (Text, Clip)):
            self.tags.drawn()
        match item:
            case Polyline():
                self.take(item.pen)
                self.write(f"{_run(item.points)} S")
            case Polygon():
                self.polygon(item)
            case Arc():
                self.arc(item)
            case Text():
                self.text(item)
            case Hatch():
                self.hatch(item)
            case Clip():
                self.clip(item)

    def take(self, pen: Pen) -> None:
        if pen is self.pen:
            return
        self.pen = pen
        self.canvas.setLineWidth(pen.width * POINTS_PER_MM)
        self.canvas.setDash([length * POINTS_PER_MM for length in pen.dash])

    def write(self, operators: str) -> None:
        """Add to the page as it stands; the library's own path objects take longer than all else here."""
        self.canvas.addLiteral(operators)

    def polygon(self, item: Polygon) -> None:
        if item.pen:
            self.take(item.pen)
        if item.tone is not Tone.NONE:
            self.canvas.setFillGray(1 if item.tone is Tone.PAPER else 0)
        painted = {(True, False): "s", (True, True): "b", (False, True): "h f", (False, False): "n"}
        self.write(f"{_run(item.points)} {painted[item.pen is not None, item.tone is not Tone.NONE]}")

    def arc(self, item: Arc) -> None:
        self.take(item.pen)
        x, y, r = (value * POINTS_PER_MM for value in (*item.centre, item.radius))
        if item.closed:
            self.canvas.circle(x, y, r, stroke=1, fill=0)
        else:
            degrees = (math.degrees(item.start), math.degrees(item.sweep))
            self.canvas.arc(x - r, y - r, x + r, y + r, *degrees)

    def hatch(self, item: Hatch) -> None:
        self.take(Pen.HATCH)
        self.write(" ".join([*(_run(line.points) for line in hatch_lines(item)), "S"]))

    def clip(self, item: Clip) -> None:
        canvas, window = self.canvas, item.window
        self.tags.pause()
        canvas.saveState()
        self.write(f"{_run(window.corners)} h W n")
        self.draw(Drawing(item.items))
        self.tags.pause()
        canvas.restoreState()
        self.pen = None

    def text(self, item: Text) -> None:
        canvas, setting, start = self.canvas, item.setting(), item.start()
        if item.patch is not None:
            self.tags.drawn()
            self.polygon(Polygon(item.frame(), None, Tone.PAPER))
        self.tags.lettered(start.f if item.angle == 0.0 else None)
        canvas.saveState()
        canvas.setFillGray(0)
        canvas.transform(start.a, start.b, start.c, start.d, start.e * POINTS_PER_MM, start.f * POINTS_PER_MM)
        if setting.has_fraction:
            self.begin_spoken(item.words)
        for run in setting.runs:
            canvas.setFont(run.face.value.file, run.em * POINTS_PER_MM)
            canvas.drawString(run.x * POINTS_PER_MM, run.y * POINTS_PER_MM, run.words)
        if setting.has_fraction:
            self.write("EMC")
        for bar in setting.bars:
            box = (bar.x, bar.y - bar.thickness / 2, bar.width, bar.thickness)
            canvas.rect(*(value * POINTS_PER_MM for value in box), stroke=0, fill=1)
        canvas.restoreState()

    def begin_spoken(self, words: str) -> None:
        """Say what a stacked fraction reads as, so that it is searched for and copied as ``2 3/4``."""
        spoken = ("\N{ZERO WIDTH NO-BREAK SPACE}" + words).encode("utf-16-be").hex().upper()
        self.write(f"/Span <</ActualText <{spoken}>>> BDC")
