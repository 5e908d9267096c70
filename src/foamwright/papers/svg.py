"""SVG writer: true size in millimetres, text that can be read out, the same bytes on every run."""

from __future__ import annotations

import math
from base64 import b64encode
from collections.abc import Iterable
from enum import StrEnum
from xml.sax.saxutils import escape, quoteattr

from foamwright.papers.drawing import Arc, Clip, Drawing, Hatch, Item, Polygon, Polyline, Sheet, Text
from foamwright.papers.drawing_box import Points
from foamwright.papers.drawing_hatch import hatch_lines
from foamwright.papers.fonts import metrics
from foamwright.papers.fonts_outlines import outlines
from foamwright.papers.fonts_setting import GlyphRun
from foamwright.papers.fonts_subset import web_font
from foamwright.papers.style import Face, Pen, Tone

HAIRLINE = 0.01
"""Millimetres: under the width from which cutters' programs take a line for one to engrave."""


FIT = "max-width:100vw;max-height:100vh"
"""A board at full size is longer than any window: a browser shows all; on paper it keeps its size."""


class FontUse(StrEnum):
    """Whether letters travel as a font or as outlines in the file, or the reader must have the fonts."""

    EMBEDDED = "embedded"
    NAMED = "named"
    PATHS = "paths"


def svg_text(sheet: Sheet, description: str = "", fonts: FontUse = FontUse.EMBEDDED) -> str:
    """Return `sheet` as an SVG document.

    Parameters
    ----------
    sheet
        Size and drawing, millimetres; its title becomes the document's ``<title>``.
    description
        What the drawing shows, in words, for people who hear it instead.
    fonts
        Embed the letters used, only name the families, or draw each letter: programs that know no fonts of
        a file, as most that draw or cut, then show them as they are.

    Returns
    -------
    str
        The document, ``width`` and ``height`` in mm and ``viewBox`` in mm, so it prints at true size.
    """
    writer = _SvgWriter(sheet.height, fonts)
    body = "\n".join(writer.items(sheet.drawing.items))
    width, height = _number(sheet.width), _number(sheet.height)
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}" xml:space="preserve" role="img" aria-labelledby="title desc">',
            f'<title id="title">{escape(sheet.title)}</title>',
            f'<desc id="desc">{escape(description or sheet.title)}</desc>',
            f"<style>{_style(writer.letters, fonts)}</style>",
            body,
            "</svg>",
            "",
        ]
    )


def cut_svg_bytes(drawing: Drawing, title: str, margin: float = 2.0) -> bytes:
    """Return only what is cut of `drawing` (``Pen.OUTLINE``) as red hairlines at true size.

    No lettering, no fill, no style sheet: a cutter's program takes width and colour from the line itself.
    """
    items = [item for item in drawing.items if getattr(item, "pen", None) is Pen.OUTLINE]
    box = Drawing(tuple(items)).box().grown(margin)
    writer = _SvgWriter(box.height)
    runs = [
        f'<path d="{writer.run(item.points)}{"Z" if isinstance(item, Polygon) else ""}"/>'
        for item in Drawing(tuple(items)).moved(-box.left, -box.bottom).items
        if isinstance(item, (Polyline, Polygon))
    ]
    width, height = _number(box.width), _number(box.height)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" style="{FIT}">'
    )
    group = f'<g fill="none" stroke="#ff0000" stroke-width="{HAIRLINE}">'
    name = f"<title>{escape(title)}</title>"
    start = '<?xml version="1.0" encoding="UTF-8"?>'
    return "\n".join([start, head, name, group, *runs, "</g>", "</svg>", ""]).encode()


def svg_bytes(sheet: Sheet, description: str = "", fonts: FontUse = FontUse.EMBEDDED) -> bytes:
    """Return ``svg_text`` encoded as the file's bytes."""
    return svg_text(sheet, description, fonts).encode("utf-8")


def _style(letters: dict[Face, set[str]], fonts: FontUse) -> str:
    rules = [
        "path,circle{fill:none;stroke:#000;stroke-linejoin:round}",
        "text{fill:#000;white-space:pre;font-kerning:none}",
        ".ink{fill:#000}",
        ".paper{fill:#fff}",
        ".edgeless{stroke:none}",
    ]
    rules += [f"@media screen{{svg:root{{{FIT}}}}}"]
    rules += [_pen_rule(pen) for pen in Pen]
    rules += [_face_rule(face) for face in Face if face in letters]
    if fonts is FontUse.EMBEDDED:
        rules += [embedded_font(face, "".join(sorted(letters[face]))) for face in Face if face in letters]
    return "".join(rules)


def _pen_rule(pen: Pen) -> str:
    dash = f";stroke-dasharray:{' '.join(map(_number, pen.dash))}" if pen.dash else ""
    return f".{pen.layer}{{stroke-width:{_number(pen.width)}{dash}}}"


def _face_rule(face: Face) -> str:
    kind = face.value
    return f".{face_class(face)}{{font-family:'{kind.family}',sans-serif;font-weight:{kind.weight}}}"


def face_class(face: Face) -> str:
    """Return the class that letters of a face have."""
    return f"face-{face.name.lower().replace('_', '-')}"


def embedded_font(face: Face, letters: str) -> str:
    """Return a font-face rule that carries the outlines of `letters` only."""
    data, kind = b64encode(web_font(face, letters)).decode("ascii"), face.value
    return (
        f"@font-face{{font-family:'{kind.family}';font-weight:{kind.weight};"
        f"src:url(data:font/woff;base64,{data}) format('woff')}}"
    )


def _number(value: float) -> str:
    """A number of millimetres to a tenth of a micrometre, without trailing zeros or a negative nought."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class _SvgWriter:
    """Writes items with y turned downwards and keeps the letters used of each face."""

    def __init__(self, height: float, fonts: FontUse = FontUse.EMBEDDED) -> None:
        self.height = height
        self.fonts = fonts
        self.letters: dict[Face, set[str]] = {}
        self.windows = 0

    def items(self, items: Iterable[Item]) -> list[str]:
        return [self.item(item) for item in items]

    def item(self, item: Item) -> str:
        match item:
            case Polyline():
                return f'<path class="{item.pen.layer}" d="{self.run(item.points)}"/>'
            case Polygon():
                return self.polygon(item)
            case Arc():
                return self.arc(item)
            case Text():
                return self.text(item)
            case Hatch():
                runs = "".join(self.run(line.points) for line in hatch_lines(item))
                return f'<path class="{Pen.HATCH.layer}" d="{runs}"/>'
            case Clip():
                return self.clip(item)

    def place(self, x: float, y: float) -> str:
        return f"{_number(x)} {_number(self.height - y)}"

    def run(self, points: Points) -> str:
        return "M" + "L".join(self.place(x, y) for x, y in points.tolist())

    def polygon(self, item: Polygon) -> str:
        names = [item.pen.layer if item.pen else "edgeless"]
        if item.tone is not Tone.NONE:
            names.append(item.tone.value)
        return f'<path class="{" ".join(names)}" d="{self.run(item.points)}Z"/>'

    def arc(self, item: Arc) -> str:
        if not item.closed:
            return f'<path class="{item.pen.layer}" d="{self.arc_run(item)}"/>'
        x, y, r = _number(item.centre[0]), _number(self.height - item.centre[1]), _number(item.radius)
        return f'<circle class="{item.pen.layer}" cx="{x}" cy="{y}" r="{r}"/>'

    def arc_run(self, item: Arc) -> str:
        (x, y), radius = item.centre, _number(item.radius)
        angles = (item.start, item.start + item.sweep)
        ends = [self.place(x + item.radius * math.cos(a), y + item.radius * math.sin(a)) for a in angles]
        return f"M{ends[0]}A{radius} {radius} 0 {int(item.sweep > math.pi)} 0 {ends[1]}"

    def clip(self, item: Clip) -> str:
        self.windows += 1
        name = f"window-{self.windows}"
        window = self.run(item.window.corners)
        inner = "\n".join(self.items(item.items))
        return (
            f'<clipPath id="{name}"><path d="{window}Z"/></clipPath>\n'
            f'<g clip-path="url(#{name})">\n{inner}\n</g>'
        )

    def text(self, item: Text) -> str:
        setting, start = item.setting(), item.start()
        degrees = -math.degrees(item.angle)
        turned = f" rotate({_number(degrees)})" if abs(degrees) > 1e-9 else ""
        drawn = setting.has_fraction or self.fonts is FontUse.PATHS
        spoken = f' role="img" aria-label={quoteattr(item.words)}' if drawn else ""
        runs = "".join(self.glyphs(run) for run in setting.runs)
        bars = "".join(
            f'<path class="ink edgeless" d="M{_number(bar.x)} {_number(-bar.y - bar.thickness / 2)}'
            f'h{_number(bar.width)}v{_number(bar.thickness)}h{_number(-bar.width)}Z"/>'
            for bar in setting.bars
        )
        patch = self.polygon(Polygon(item.frame(), None, Tone.PAPER)) if item.patch is not None else ""
        place = self.place(start.e, start.f)
        return f'{patch}<g transform="translate({place}){turned}"{spoken}>{runs}{bars}</g>'

    def glyphs(self, run: GlyphRun) -> str:
        """A run of letters; `textLength` holds its width even where another font stands in."""
        words = run.words.strip(" ")
        if not words:
            return ""
        if self.fonts is FontUse.PATHS:
            return (
                f'<path class="ink edgeless" transform="translate({_number(run.x)} {_number(-run.y)}) '
                f'scale({run.em:.6g} {-run.em:.6g})" d="{outlines(run.face, run.words)}"/>'
            )
        self.letters.setdefault(run.face, set()).update(words)
        # Readers drop spaces at the ends of a run, so it starts at its first letter and ends at its last.
        space = run.em * metrics(run.face).widths[ord(" ")]
        before = len(run.words) - len(run.words.lstrip(" "))
        width = run.width - space * (len(run.words) - len(words))
        return (
            f'<text class="{face_class(run.face)}" x="{_number(run.x + before * space)}" '
            f'y="{_number(-run.y)}" font-size="{_number(run.em)}" '
            f'textLength="{_number(width)}">{escape(words)}</text>'
        )


def sheet_around(drawing: Drawing, title: str, margin: float = 10.0) -> Sheet:
    """Return `drawing` on a sheet just large enough for it and `margin` mm on every side."""
    box = drawing.box().grown(margin)
    return Sheet(box.width, box.height, drawing.moved(-box.left, -box.bottom), title)
