"""HTML pages that need nothing else: one file with its style, tables and drawings inside."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape

from foamwright.papers.drawing import Drawing, Sheet
from foamwright.papers.style import Face
from foamwright.papers.svg import FontUse, embedded_font, face_class, svg_text

STYLE = """
:root{color-scheme:light}
body{margin:2rem auto;max-width:60rem;padding:0 1rem;color:#111;background:#fff}
body{font:1rem/1.5 Archivo,system-ui,sans-serif}
h1,h2{font-weight:600;line-height:1.2}h2{margin-top:2.5rem}
.wide{overflow-x:auto}
table{border-collapse:collapse;font-variant-numeric:tabular-nums;width:100%}
caption{text-align:left;padding:.4rem 0}
th,td{padding:.4rem .6rem;text-align:right;border-bottom:1px solid #767676;white-space:nowrap}
th{border-bottom:2px solid #111;vertical-align:bottom;white-space:normal}
th:first-child,td:first-child,.word{text-align:left}
figure{margin:1rem 0}svg{width:100%;height:auto}
"""


def html_page(title: str, body: str, style: str = "") -> bytes:
    """Return a whole page; `body` is HTML, `title` plain text.

    The letters of every face used stand in the page once: several subsets under one family's name would
    hide each other.
    """
    letters = "".join(sorted({letter for letter in body if letter.isprintable()}))
    used = [face for face in Face if face is Face.TEXT or f'"{face_class(face)}"' in body]
    fonts = "".join(embedded_font(face, letters) for face in used)
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}{style}{fonts}</style>\n</head>\n<body>\n<main>\n{body}\n"
        "</main>\n</body>\n</html>\n"
    ).encode()


def inline_figure(drawing: Drawing, name: str, words: str) -> str:
    """Return a drawing as inline SVG; its ids get the figure's `name`, since a page holds several."""
    box = drawing.box().grown(2.0)
    sheet = Sheet(box.width, box.height, drawing.moved(-box.left, -box.bottom), words)
    text = svg_text(sheet, words, FontUse.NAMED).split("\n", 1)[1]
    text = re.sub(r'id="(title|desc)"', rf'id="{name}-\1"', text)
    text = text.replace('aria-labelledby="title desc"', f'aria-labelledby="{name}-title {name}-desc"')
    return f"<figure>\n{text}</figure>"


def html_table(heads: Sequence[str], rows: Sequence[Sequence[str]], caption: str) -> str:
    """Return a table that scrolls sideways where it is wider than the window."""
    head = "".join(f'<th scope="col">{escape(words)}</th>' for words in heads)
    body = "".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>\n" for row in rows)
    return (
        f'<div class="wide" tabindex="0" role="region" aria-label="{escape(caption, quote=True)}">'
        f"<table><caption>{escape(caption)}</caption><thead><tr>{head}</tr></thead>"
        f"<tbody>\n{body}</tbody></table></div>"
    )
