"""A board or a blank as a table of stations: what tape, straight edge and calipers would find.

`measure` reads a board's table back; a hand-written one may leave cells empty.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foamwright.blank.blank import Blank
from foamwright.board.board import Board
from foamwright.exchange.tables import Cell, Number, Table
from foamwright.exchange.tail_lines import tail_lines
from foamwright.shape.curves import Floats
from foamwright.stages.marks import RackStation
from foamwright.units import INCH, System

COLUMNS = ("x", "width", "rocker", "thickness")
"""Columns that are read back; each head ends in the unit."""


def stations_table(board: Board, stations: Sequence[RackStation], system: System) -> Table:
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
    Table
        Heads ``station``, ``x_in``, ``width_in``, ``rocker_in``, ``thickness_in``, ``pre_contour_bottom_in``
        (or ``_mm``); below the rows the lines that say the tail.
    """
    x = _places(stations)
    columns = {
        "x": x,
        "width": 2.0 * board.half_width(x),
        "rocker": board.rocker(x),
        "thickness": board.thickness(x),
        "pre_contour_bottom": board.pre_contour(x),
    }
    return _table(board.name, stations, columns, system, tuple(tail_lines(board.numbers, system)))


def blank_table(blank: Blank, stations: Sequence[RackStation], system: System) -> Table:
    """Return a blank's numbers at stations from its own tail.

    Heads ``station``, ``x``, ``width``, ``rocker`` (its bottom above its level line), ``thickness`` at the
    stringer and ``edge_thickness``, each with the unit.
    """
    x = _places(stations)
    bottom, deck = blank.bottom(x), blank.deck(x)
    columns = {
        "x": x,
        "width": 2.0 * blank.half_width(x),
        "rocker": bottom,
        "thickness": deck - bottom,
        "edge_thickness": deck - bottom - blank.dome(x) * blank.half_width(x) ** 2,
    }
    return _table(f"blank {blank.id}", stations, columns, system, ())


def _places(stations: Sequence[RackStation]) -> Floats:
    return np.array([station.x for station in stations])


def _table(
    name: str,
    stations: Sequence[RackStation],
    columns: Mapping[str, Floats],
    system: System,
    lines: tuple[str, ...],
) -> Table:
    scale, places = (INCH, 4) if system is System.INCH else (1e-3, 3)
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (station.name, *(Number(float(values[row]) / scale, places) for values in columns.values()))
        for row, station in enumerate(stations)
    )
    return Table(name, ("station", *(f"{head}_{system}" for head in columns)), rows, lines)
