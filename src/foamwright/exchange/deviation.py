"""How a measured board differs from a board sheet: a map over both faces, and width by station."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.board.board import Board
from foamwright.exchange.scan_measure import Measured
from foamwright.shape.curves import Floats

STATIONS, LANES = 25, 9
"""Rows along the board and lanes across it, stringer in the middle."""

OUTERMOST = 0.9
"""Share of the half-width that is mapped; beyond it the rail turns, and widths say more."""

MOST_POINTS = 150_000
FEWEST = 3
FAR = 0.05
"""Metres: a point that is farther off is not of the board."""


@dataclass(frozen=True, eq=False)
class Deviation:
    """Where a board has more (above 0) or less foam than its sheet, metres, square to the face.

    Attributes
    ----------
    x
        (N,) stations in the sheet's frame.
    share
        (K,) places across as signed shares of the half-width, right to left.
    bottom, deck
        (N, K) mean over each cell; ``nan`` where nothing was scanned.
    width
        (N,) full width less the sheet's.
    root_mean_square, worst
        Over the cells of both faces.
    """

    x: Floats
    share: Floats
    bottom: Floats
    deck: Floats
    width: Floats
    root_mean_square: float
    worst: float

    def as_json(self) -> dict[str, object]:
        """Return the map as plain values; ``null`` where nothing was scanned."""
        return {
            "x_m": self.x,
            "share": self.share,
            "bottom_m": _plain(self.bottom),
            "deck_m": _plain(self.deck),
            "width_m": self.width,
            "root_mean_square_m": self.root_mean_square,
            "worst_m": self.worst,
        }

    def csv(self) -> bytes:
        """Return the map as a table, one row for each cell, millimetres; empty where nothing was scanned."""
        stream = io.StringIO(newline="")
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(["face", "x_mm", "share", "more_mm"])
        for face, cells in (("bottom", self.bottom), ("deck", self.deck)):
            for x, row in zip(self.x, cells, strict=True):
                for share, value in zip(self.share, row, strict=True):
                    told = "" if np.isnan(value) else f"{value * 1000:.2f}"
                    writer.writerow([face, f"{x * 1000:.1f}", f"{share:.3f}", told])
        return stream.getvalue().encode()


def deviation_of(measured: Measured, board: Board) -> Deviation:
    """Return how a measured board differs from a sheet, both level where the sheet's level line touches.

    Parameters
    ----------
    measured
        The scan, levelled at the sheet's apex.
    board
        The sheet, made solid.
    """
    points, signed, more, nearer_deck = _looked_at(measured, board)
    x = points[:, 0]
    edges = np.linspace(0.0, board.length, STATIONS + 1), np.linspace(-OUTERMOST, OUTERMOST, LANES + 1)
    bottom = _cells((x, signed), more["bottom"], ~nearer_deck & (np.abs(more["bottom"]) < FAR), edges)
    deck = _cells((x, signed), more["deck"], nearer_deck & (np.abs(more["deck"]) < FAR), edges)
    middles = (edges[0][:-1] + edges[0][1:]) / 2.0
    both = np.concatenate([bottom, deck]).ravel()
    both = both[~np.isnan(both)]
    return Deviation(
        x=middles,
        share=(edges[1][:-1] + edges[1][1:]) / 2.0,
        bottom=bottom,
        deck=deck,
        width=2.0 * (measured.half_width(middles) - board.half_width(middles)),
        root_mean_square=float(np.sqrt(np.mean(both**2))),
        worst=float(both[int(np.argmax(np.abs(both)))]),
    )


def laid_on(measured: Measured, board: Board) -> Measured:
    """Return a measured board levelled by a sheet: laid on it so that both faces differ by the least.

    A level line from one place of a bottom is never as sure as the whole board. Lift and tilt are found by
    least squares that strays do not pull; they are the last fraction of a degree after `measure`.
    """
    for _ in range(2):
        points, _, more, nearer_deck = _looked_at(measured, board)
        up = np.where(nearer_deck, more["deck"], -more["bottom"])
        near = np.abs(up) < FAR
        matrix = np.stack([np.ones(points.shape[0]), points[:, 0]], axis=1)[near]
        weight = np.ones(matrix.shape[0])
        for _ in range(4):
            found = np.linalg.lstsq(matrix * weight[:, None], up[near] * weight, rcond=None)[0]
            off = np.abs(up[near] - matrix @ found)
            scale = 1.4826 * float(np.median(off)) + 1e-9
            weight = np.sqrt(np.minimum(1.0, 1.5 * scale / np.maximum(off, 1e-12)))
        measured = measured.tilted(float(found[0]), float(found[1]))
    return measured


def _looked_at(
    measured: Measured, board: Board
) -> tuple[Floats, Floats, dict[str, Floats], NDArray[np.bool_]]:
    """Points inboard of the rails, their signed shares, how far out from each face, which face is theirs."""
    points = measured.points[:: max(1, measured.points.shape[0] // MOST_POINTS)]
    points = points[(points[:, 0] > 0.0) & (points[:, 0] < board.length)]
    signed = points[:, 1] / np.maximum(board.half_width(points[:, 0]), 1e-3)
    points, signed = points[np.abs(signed) < OUTERMOST], signed[np.abs(signed) < OUTERMOST]
    more = {face: _more(board, points, face) for face in ("bottom", "deck")}
    return points, signed, more, np.abs(more["deck"]) < np.abs(more["bottom"])


def _more(board: Board, points: Floats, face: str) -> Floats:
    """Distance of points outwards from a face, metres: upright distance over the face's slope."""
    surface, outwards = (board.bottom, -1.0) if face == "bottom" else (board.deck, 1.0)
    x, y = points[:, 0], np.abs(points[:, 1])[:, None]
    step = 1e-4
    height = surface(x, y)[:, 0]
    along = (surface(np.clip(x + step, 0.0, board.length), y)[:, 0] - height) / step
    across = (surface(x, y + step)[:, 0] - height) / step
    return np.asarray(outwards * (points[:, 2] - height) / np.sqrt(1.0 + along**2 + across**2))


def _cells(
    at: tuple[Floats, Floats], values: Floats, mine: NDArray[np.bool_], edges: tuple[Floats, Floats]
) -> Floats:
    """Mean of values in each cell of a grid; ``nan`` where there are hardly any."""
    places = [
        np.clip(np.searchsorted(e, a[mine], side="right") - 1, 0, e.size - 2)
        for a, e in zip(at, edges, strict=True)
    ]
    shape = (edges[0].size - 1, edges[1].size - 1)
    index = np.ravel_multi_index((places[0], places[1]), shape)
    count = np.bincount(index, minlength=shape[0] * shape[1]).reshape(shape)
    total = np.bincount(index, values[mine], shape[0] * shape[1]).reshape(shape)
    return np.where(count >= FEWEST, total / np.maximum(count, 1), np.nan)


def _plain(cells: Floats) -> list[list[float | None]]:
    return [[None if np.isnan(value) else float(value) for value in row] for row in cells]
