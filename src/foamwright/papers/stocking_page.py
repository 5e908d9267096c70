"""The report of a stocking study as one HTML page that needs nothing else."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape

from foamwright.papers.drawing import Sheet
from foamwright.papers.drawing_text import Block
from foamwright.papers.stocking import Figures, cost_block, roles_block
from foamwright.papers.svg import svg_text

PLOT_WIDTH = 180.0
"""Millimetres of a plot on the page."""

STYLE = """
:root{color-scheme:light}
body{margin:2rem auto;max-width:60rem;padding:0 1rem;color:#111;background:#fff}
body{font:1rem/1.5 Archivo,system-ui,sans-serif}
h1,h2{font-weight:600;line-height:1.2}h2{margin-top:2.5rem}
.wide{overflow-x:auto}
table{border-collapse:collapse;font-variant-numeric:tabular-nums;width:100%}
th,td{padding:.4rem .6rem;text-align:right;border-bottom:1px solid #767676;white-space:nowrap}
th{border-bottom:2px solid #111;vertical-align:bottom;white-space:normal}
th:first-child,td:first-child,.word{text-align:left}
figure{margin:1rem 0}svg{width:100%;height:auto}
"""


def stocking_page(figures: Figures) -> bytes:
    """Return the report as the bytes of an HTML page, plots inside."""
    parts = [
        f"<h1>{escape(figures.title)}</h1>",
        *(f"<p>{escape(words)}</p>" for words in figures.summary),
        "<h2>Cost against how many are kept</h2>",
        _figure(cost_block(figures, PLOT_WIDTH), "cost", "Cost and bound of a board against blanks kept"),
        _curve_table(figures),
        "<h2>The blanks to keep</h2>",
        _table(figures.heads, figures.rows, "Kept blanks, the most used first"),
        "<h2>What each is for</h2>",
        _figure(
            roles_block(figures, figures.blanks, PLOT_WIDTH), "roles", "Boards of each kept blank by length"
        ),
        "<h2>What this rests on</h2>",
        "<ul>" + "".join(f"<li>{escape(words)}</li>" for words in figures.said) + "</ul>",
        _table(("pairs of board and candidate", "count"), figures.fates, "What became of all lays"),
    ]
    body = "\n".join(parts)
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(figures.title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n{body}\n"
        "</main>\n</body>\n</html>\n"
    ).encode()


def _figure(block: Block, name: str, words: str) -> str:
    """Return a block as inline SVG; its ids get the figure's name, since a page holds several."""
    box = block.drawing.box().grown(2.0)
    sheet = Sheet(box.width, box.height, block.drawing.moved(-box.left, -box.bottom), words)
    text = svg_text(sheet, words).split("\n", 1)[1]
    text = re.sub(r'id="(title|desc)"', rf'id="{name}-\1"', text)
    text = text.replace('aria-labelledby="title desc"', f'aria-labelledby="{name}-title {name}-desc"')
    return f"<figure>\n{text}</figure>"


def _curve_table(figures: Figures) -> str:
    rows = [(f"{n}", f"{cost:.2f}", f"{bound:.2f}") for n, cost, bound in figures.curve]
    heads = ("blanks kept", f"{figures.currency} a board", "no choice costs less than")
    return f"<details><summary>The same as a table</summary>{_table(heads, rows, 'Cost and bound')}</details>"


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]], caption: str) -> str:
    head = "".join(f'<th scope="col">{escape(words)}</th>' for words in heads)
    body = "".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>\n" for row in rows)
    return (
        f'<div class="wide"><table><caption>{escape(caption)}</caption><thead><tr>{head}</tr></thead>'
        f"<tbody>\n{body}</tbody></table></div>"
    )
