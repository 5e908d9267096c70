"""A board as one page to open in a browser: drawings, numbers at stations, in the round, findings."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

from foamwright.board.board import Board
from foamwright.exchange.solids import board_body
from foamwright.findings import Finding
from foamwright.papers.body_drawing import bodies_drawing
from foamwright.papers.html_page import html_page, html_table, inline_figure
from foamwright.papers.job_index import STYLE, WIDTH, finding_list
from foamwright.papers.round_view import STYLE as ROUND
from foamwright.papers.round_view import round_figure, thick_everywhere
from foamwright.stages.marks import rack_stations
from foamwright.units import System, format_feet, format_with_unit


def board_index(board: Board, findings: Sequence[Finding], system: System) -> bytes:
    """Return the page of a board that has no blank yet.

    Parameters
    ----------
    board
        The finished board.
    findings
        What there is to say about it.
    system
        Inches or millimetres.
    """
    length = format_feet(board.length) if system is System.INCH else format_with_unit(board.length, system)
    title = f"{board.name}, {length}"
    drawing = bodies_drawing([board_body(board)], ())
    drawing = drawing.scaled(WIDTH / drawing.box().width)
    parts = [
        f"<h1>{escape(title)}</h1>",
        _numbers(board, length, system),
        "<h2>From above and from the side</h2>",
        inline_figure(drawing, "views", "From above and from the side, to one scale, nose at the right."),
        "<h2>In the round</h2>",
        round_figure(thick_everywhere(board), "how thick it is", system),
        "<h2>Stations</h2>",
        _stations(board, system),
        "<h2>What to look at</h2>",
        finding_list(findings, "Nothing to warn of."),
    ]
    return html_page(title, "\n".join(parts), STYLE + ROUND)


def _numbers(board: Board, length: str, system: System) -> str:
    pairs = (
        ("length", length),
        ("width", format_with_unit(board.numbers.wide, system)),
        ("thickness", format_with_unit(board.numbers.thickest, system)),
        ("volume", f"{1000.0 * board.mass.volume:.1f} l"),
        ("surface", f"{board.mass.area:.2f} m2"),
    )
    cells = (f"<div><dt>{escape(name)}</dt><dd>{escape(said)}</dd></div>" for name, said in pairs)
    return f"<dl>{''.join(cells)}</dl>"


def _stations(board: Board, system: System) -> str:
    stations = rack_stations(board.length, system)
    x = np.array([station.x for station in stations])
    columns = (board.rocker(x), board.thickness(x), 2.0 * board.half_width(x))
    rows = [
        (station.name, *(format_with_unit(float(values[row]), system) for values in columns))
        for row, station in enumerate(stations)
    ]
    return html_table(
        ("station", "rocker", "thickness", "width"), rows, "The finished board, at the stringer"
    )
