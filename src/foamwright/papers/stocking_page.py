"""The report of a stocking study as one HTML page that needs nothing else."""

from __future__ import annotations

from html import escape

from foamwright.papers.html_page import html_page, html_table, inline_figure
from foamwright.papers.stocking import Figures, cost_block, roles_block

PLOT_WIDTH = 180.0
"""Millimetres of a plot on the page."""


def stocking_page(figures: Figures) -> bytes:
    """Return the report as the bytes of an HTML page, plots inside."""
    parts = [
        f"<h1>{escape(figures.title)}</h1>",
        *(f"<p>{escape(words)}</p>" for words in figures.summary),
        "<h2>Cost against how many are kept</h2>",
        inline_figure(
            cost_block(figures, PLOT_WIDTH).drawing, "cost", "Cost and bound of a board against blanks kept"
        ),
        _curve_table(figures),
        "<h2>The blanks to keep</h2>",
        html_table(figures.heads, figures.rows, "Kept blanks, the most used first"),
        "<h2>What each is for</h2>",
        inline_figure(
            roles_block(figures, figures.blanks, PLOT_WIDTH).drawing,
            "roles",
            "Boards of each kept blank by length",
        ),
        "<h2>What this rests on</h2>",
        "<ul>" + "".join(f"<li>{escape(words)}</li>" for words in figures.said) + "</ul>",
        html_table(("pairs of board and candidate", "count"), figures.fates, "What became of all lays"),
    ]
    body = "\n".join(parts)
    return html_page(figures.title, body)


def _curve_table(figures: Figures) -> str:
    rows = [(f"{n}", f"{cost:.2f}", f"{bound:.2f}") for n, cost, bound in figures.curve]
    heads = ("blanks kept", f"{figures.currency} a board", "no choice costs less than")
    table = html_table(heads, rows, "Cost and bound")
    return f"<details><summary>The same as a table</summary>{table}</details>"
