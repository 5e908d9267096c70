"""A board as a CSV of stations: what tape, straight edge and calipers would find, with units in the heads.

`measure` reads the same file back; a hand-written one may leave cells empty.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

import numpy as np

from foamwright.board.board import Board
from foamwright.exchange.tail_lines import tail_lines
from foamwright.stages.marks import RackStation
from foamwright.units import INCH, System

COLUMNS = ("x", "width", "rocker", "thickness")
"""Columns that are read back; each head ends in the unit."""


def stations_csv(board: Board, stations: Sequence[RackStation], system: System) -> bytes:
    """Return a board's numbers at stations.

    Parameters
    ----------
    board
        The finished board.
    stations
        Where, tail to nose.
    system
        Inches with four decimals or millimetres with three.

    Returns
    -------
    bytes
        UTF-8, first row the heads: ``station``, ``x_in``, ``width_in``, ``rocker_in``, ``thickness_in``,
        ``pre_contour_bottom_in`` (or ``_mm``); last the lines that say the tail.
    """
    x = np.array([station.x for station in stations])
    columns = {
        "x": x,
        "width": 2.0 * board.half_width(x),
        "rocker": board.rocker(x),
        "thickness": board.thickness(x),
        "pre_contour_bottom": board.pre_contour(x),
    }
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(["station", *(f"{name}_{system}" for name in columns)])
    scale, places = (INCH, 4) if system is System.INCH else (1e-3, 3)
    for row, station in enumerate(stations):
        writer.writerow([station.name, *(_number(v[row] / scale, places) for v in columns.values())])
    stream.writelines(f"{line}\n" for line in tail_lines(board.numbers, system))
    return stream.getvalue().encode()


def _number(value: float, places: int) -> str:
    text = f"{value:.{places}f}"
    return f"{0.0:.{places}f}" if float(text) == 0.0 else text
