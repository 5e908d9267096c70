"""Papers of a course: the safety brief that hangs and is signed, the report of one pupil, the certificate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.papers.drawing import Document, Drawing, Sheet, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import (
    Block,
    TextStyle,
    fitted,
    numbered,
    paragraph,
    stacked,
    wrapped_lines,
)
from foamwright.papers.style import Anchor, Face, Lettering, Pen

WIDTH, HEIGHT = 210.0, 297.0
LEFT, RIGHT, TOP, FOOT = 18.0, 192.0, 280.0, 16.0
_BODY = TextStyle(2.3, Face.TEXT, 1.8)
_HEAD = TextStyle(3.4, Face.TITLE, 1.5)


@dataclass(frozen=True, slots=True)
class BriefPage:
    """The safety brief: its lines, the shop's own, and who signs."""

    title: str
    lead: str
    lines: Sequence[str]
    own_heading: str
    own: Sequence[str]
    defer: str
    signature: str
    language: str = "en"


@dataclass(frozen=True, slots=True)
class ReportPage:
    """A pupil's report: everything in words.

    Attributes
    ----------
    facts
        Name and value: pupil, course, dates, board.
    readings
        Place, what was planned, what was read, how far off, whether within.
    skills, gate
        What and how it was shown.
    texts
        Heading and what the teacher says; an empty text leaves room to write.
    """

    title: str
    facts: Sequence[tuple[str, str]]
    headings: tuple[str, str, str, str, str]
    readings_heading: str
    readings: Sequence[tuple[str, str, str, str, str]]
    no_readings: str
    remarks: Sequence[str]
    skills_heading: str
    skills: Sequence[tuple[str, str]]
    texts: Sequence[tuple[str, str]]
    photographs: str
    signatures: str
    language: str = "en"


@dataclass(frozen=True, slots=True)
class CertificatePage:
    """A certificate: who, what, where, what was shown."""

    title: str
    name: str
    has: str
    course: str
    board: str
    shown_heading: str
    shown: Sequence[str]
    day: str
    signature: str
    language: str = "en"


def brief_document(brief: BriefPage) -> Document:
    """Return the brief as one page, set as large as its lines allow."""
    width = RIGHT - LEFT
    for height in (3.9, 3.6, 3.3, 3.0, 2.7, 2.4, 2.1):
        body = _brief_body(brief, width, TextStyle(height, Face.TEXT, 1.72))
        if body.height <= TOP - 30.0 - FOOT - 62.0:
            break
    parts = [
        Drawing((Text((LEFT, TOP - 9.0), brief.title, Lettering.BENCH, Face.TITLE),)),
        paragraph(brief.lead, width, TextStyle(3.2, Face.STRONG, 1.7)).at(LEFT, TOP - 16.0),
        line([(LEFT, TOP - 24.0), (RIGHT, TOP - 24.0)], Pen.HEAVY),
        body.at(LEFT, TOP - 30.0),
        paragraph(brief.defer, width, _BODY).at(LEFT, FOOT + 4.0),
        _signatures(brief.signature, FOOT + 52.0),
    ]
    sheet = Sheet(WIDTH, HEIGHT, drawing_of(parts), brief.title)
    return Document(brief.title, (sheet,), brief.title, brief.language)


def _brief_body(brief: BriefPage, width: float, style: TextStyle) -> Block:
    blocks = [numbered(brief.lines, width, style)]
    if brief.own:
        blocks.append(paragraph(brief.own_heading, width, _HEAD))
        blocks += [paragraph(one, width, style) for one in brief.own]
    return stacked(blocks, 2.5)


def _signatures(words: str, top: float) -> Drawing:
    """Four lines to sign on, in two columns."""
    parts = [Drawing((Text((LEFT, top), words, 2.3, Face.LABEL, Anchor.TOP_LEFT),))]
    for n in range(4):
        x, y = LEFT + (n % 2) * 90.0, top - 18.0 - (n // 2) * 17.0
        parts.append(line([(x, y), (x + 84.0, y)], Pen.CUT))
    return drawing_of(parts)


def report_document(report: ReportPage) -> Document:
    """Return the report as one page."""
    width, wide = RIGHT - LEFT, 100.0
    right = LEFT + wide + 6.0
    half = RIGHT - right
    facts = _pairs(report.facts, width)
    top = TOP - 19.0 - facts.height
    left = _readings(report, wide)
    skills = stacked([paragraph(report.skills_heading, half, _HEAD), _pairs(report.skills, half, 40.0)], 2.0)
    below = top - max(left.height, skills.height) - 4.0
    parts = [
        Drawing((Text((LEFT, TOP - 6.0), report.title, Lettering.TITLE, Face.TITLE),)),
        line([(LEFT, TOP - 10.0), (RIGHT, TOP - 10.0)], Pen.HEAVY),
        facts.at(LEFT, TOP - 14.0),
        left.at(LEFT, top),
        skills.at(right, top),
        *_texts(report, below),
        _report_foot(report),
    ]
    sheet = Sheet(WIDTH, HEIGHT, drawing_of(parts), report.title)
    return Document(report.title, (sheet,), report.title, report.language)


def _pairs(rows: Sequence[tuple[str, str]], width: float, share: float = 46.0) -> Block:
    """Names and values in two columns, a thin rule under each."""
    parts: list[Drawing] = []
    top = 0.0
    first = width - share if share < width / 2.0 and width < 100.0 else share
    for name, value in rows:
        words = paragraph(name, first - 2.0, _BODY)
        worth = paragraph(value or " ", width - first, TextStyle(2.3, Face.STRONG, 1.8))
        height = max(words.height, worth.height)
        parts += [words.at(0.0, top), worth.at(first, top)]
        top -= height + 0.8
        parts.append(line([(0.0, top), (width, top)], Pen.HATCH))
        top -= 1.0
    return Block(drawing_of(parts), -top)


def _readings(report: ReportPage, width: float) -> Block:
    head = paragraph(report.readings_heading, width, _HEAD)
    remarks = [paragraph(one, width, _BODY) for one in report.remarks]
    if not report.readings:
        return stacked([head, paragraph(report.no_readings, width, _BODY), *remarks], 2.0)
    place, planned, value, off, within = report.headings
    columns = [
        Column(place, width - 62.0, Aligned.WORDS),
        Column(planned, 16.0),
        Column(value, 16.0),
        Column(off, 14.0),
        Column(within, 16.0, Aligned.WORDS),
    ]
    rows = table(columns, report.readings, TableStyle(row_height=4.6, height=2.0, heading_height=1.8))
    return stacked([head, rows, *remarks], 2.0)


def _texts(report: ReportPage, top: float) -> list[Drawing]:
    """What the teacher says, under headings in two columns; a box to write in where nothing is said."""
    half = (RIGHT - LEFT - 8.0) / 2.0
    room = (top - FOOT - 52.0) / max(1, -(-len(report.texts) // 2))
    parts = []
    for n, (heading, words) in enumerate(report.texts):
        x, y = LEFT + (n % 2) * (half + 8.0), top - (n // 2) * room
        parts.append(Drawing((fitted(Text((x, y - 3.0), heading, 2.3, Face.LABEL), half),)))
        box = Box(x, y - room + 2.5, x + half, y - 4.5)
        parts.append(frame(box, Pen.THIN))
        if words:
            parts.append(paragraph(words, half - 3.0, TextStyle(2.0, Face.TEXT, 1.7)).at(x + 1.5, y - 6.0))
    return parts


def _report_foot(report: ReportPage) -> Drawing:
    half = (RIGHT - LEFT - 8.0) / 2.0
    top = FOOT + 46.0
    parts = [Drawing((Text((LEFT, top), report.photographs, 2.0, Face.LABEL),))]
    parts += [frame(Box(x, FOOT + 16.0, x + half, top - 2.0), Pen.THIN) for x in (LEFT, LEFT + half + 8.0)]
    parts.append(Drawing((Text((LEFT, FOOT + 11.0), report.signatures, 2.0, Face.LABEL),)))
    parts += [line([(x, FOOT), (x + half, FOOT)], Pen.CUT) for x in (LEFT, LEFT + half + 8.0)]
    return drawing_of(parts)


def certificate_document(paper: CertificatePage) -> Document:
    """Return the certificate, A4 across."""
    width, height, middle = HEIGHT, WIDTH, HEIGHT / 2.0

    def centred(words: str, y: float, size: float, face: Face) -> Drawing:
        return Drawing((fitted(Text((middle, y), words, size, face, Anchor.CENTRE), width - 60.0),))

    shown = wrapped_lines(" · ".join(paper.shown), width - 90.0, TextStyle(2.6, Face.TEXT, 1.8))
    parts = [
        frame(Box(12.0, 12.0, width - 12.0, height - 12.0), Pen.HEAVY),
        frame(Box(15.0, 15.0, width - 15.0, height - 15.0), Pen.THIN),
        centred(paper.title, 166.0, 12.0, Face.TITLE),
        centred(paper.name, 138.0, 10.0, Face.TITLE),
        line([(70.0, 133.0), (width - 70.0, 133.0)], Pen.CUT),
        centred(paper.has, 122.0, 3.6, Face.TEXT),
        centred(paper.board, 110.0, 5.0, Face.STRONG),
        centred(paper.course, 100.0, 3.6, Face.TEXT),
    ]
    if paper.shown:
        parts.append(centred(paper.shown_heading, 84.0, 2.6, Face.LABEL))
        parts += [centred(words, 76.0 - 6.0 * n, 2.6, Face.TEXT) for n, words in enumerate(shown)]
    parts += [
        line([(45.0, 34.0), (125.0, 34.0)], Pen.CUT),
        line([(width - 125.0, 34.0), (width - 45.0, 34.0)], Pen.CUT),
        Drawing((Text((45.0, 29.0), paper.day, 2.6, Face.FIGURES),)),
        Drawing((Text((width - 125.0, 29.0), paper.signature, 2.6, Face.LABEL),)),
    ]
    sheet = Sheet(width, height, drawing_of(parts), paper.title)
    return Document(paper.title, (sheet,), paper.title, paper.language)
