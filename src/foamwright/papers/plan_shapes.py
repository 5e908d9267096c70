"""From a plan to the shapes that full-size templates are drawn from."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.board.board import Board
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.templates_shapes import SectionShape, StationName, TemplateShapes
from foamwright.planning.plan import Cuts
from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import low_share
from foamwright.stages.marks import RackStation

ALONG = 1601
"""Points along the board before thinning: under 2 mm apart on the longest board."""

AROUND = 241
"""Points on each face of a section."""


def template_shapes(plan: Cuts) -> TemplateShapes:
    """Return the finished board of a plan as templates want it: `shapes_of` at the plan's stations."""
    return shapes_of(plan.board, plan.stations)


def shapes_of(board: Board, stations: Sequence[RackStation]) -> TemplateShapes:
    """Return a finished board as templates want it: SI, x from the tail tip.

    Sections stand at the stations but for the tips, where there is nothing to hold one to.
    """
    x = _stretched(board.length)
    return TemplateShapes(
        board=board.name,
        length=board.length,
        outline=outline_points(board),
        bottom=points_of(np.column_stack((x, board.rocker(x)))),
        deck=points_of(np.column_stack((x, board.deck_line(x)))),
        stations=tuple(StationName(s.x, s.name) for s in stations),
        sections=tuple(
            SectionShape(StationName(s.x, s.name), section_points(board, s.x)) for s in stations[1:-1]
        ),
    )


def outline_points(board: Board) -> Points:
    """Return the half outline (x, y), metres, from the stringer at the tail round the rail to the nose."""
    start, foot = board.outline.start, board.outline.foot
    x = np.unique(np.concatenate((_stretched(board.length), board.panels)))
    x = x[x >= start]
    outer = np.column_stack((x, board.half_width(x)))
    if foot == 0.0:
        return points_of(np.vstack(([[start, 0.0]], outer, [[board.length, 0.0]])))
    # A notched tail begins in its notch and comes back along the notch's edge to the tip.
    within = np.unique(np.concatenate((x[x < foot], np.linspace(start, np.nextafter(foot, 0.0), ALONG))))
    edge = np.column_stack((within, board.inner(within)))[::-1]
    core = board.core(within)
    middle = np.column_stack((within, core))[core > 0.0]
    first = middle if middle.size else [[foot, 0.0]]
    return points_of(np.vstack((first, edge, outer, [[board.length, 0.0]])))


def section_points(board: Board, x: float) -> Points:
    """Return the half section (y, z) at a station, metres, from the bottom centre to the deck centre.

    In a notch there is no centre: the section begins at the notch's wall, and its two halves are two pieces.
    """
    at = np.array([x])
    half, low = float(board.half_width(at)[0]), float(low_share(board, at)[0])
    share = low + (1.0 - low) * _round_rail(AROUND)
    bottom, deck = board.bottom_at(at, share)[0], board.deck_at(at, share)[0]
    out = np.column_stack((half * share, bottom))
    back = np.column_stack((half * share, deck))[::-1]
    return points_of(np.vstack((out, back)))


def _stretched(length: float) -> Floats:
    """Stations crowding towards both tips, where outlines turn fastest."""
    return np.asarray(length * (1.0 - np.cos(np.linspace(0.0, np.pi, ALONG))) / 2.0)


def _round_rail(count: int) -> Floats:
    """Shares of the half-width crowding towards the rail, where sections turn fastest."""
    return np.asarray(np.sin(np.linspace(0.0, np.pi / 2.0, count)))
