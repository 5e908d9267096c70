"""A board as a small picture, for a notebook: from above and from the side."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

import numpy as np

from foamwright.shape.curves import Floats

if TYPE_CHECKING:
    from foamwright.board.board import Board

POINTS = 240
"""Points a line: at a picture's usual width of some 900 pixels, four pixels from one to the next."""

MARGIN = 0.02
"""Metres around each view."""


def board_svg(board: Board) -> str:
    """Return the board as an SVG document: its outline from above and its side.

    Both are in metres to one scale; the nose is to the right.
    """
    x = np.linspace(0.0, board.length, POINTS)
    half = np.asarray(board.half_width(x))
    rocker = np.asarray(board.rocker(x))
    deck = rocker + np.asarray(board.thickness(x))
    above = np.stack([np.concatenate([x, x[::-1]]), np.concatenate([half, -half[::-1]])])
    side = np.stack([np.concatenate([x, x[::-1]]), np.concatenate([deck, rocker[::-1]])])
    views = [above, side]
    tall = [float(np.ptp(view[1])) for view in views]
    width = board.length + 2.0 * MARGIN
    height = sum(tall) + 3.0 * MARGIN
    lines, top = [], MARGIN
    for view, rise in zip(views, tall, strict=True):
        lines.append(_path(view[0] + MARGIN, top + float(view[1].max()) - view[1]))
        top += rise + MARGIN
    stringer = top - MARGIN - tall[1] - MARGIN - tall[0] / 2.0
    lines.append(
        f'<path d="M{MARGIN} {stringer:.4f}H{board.length + MARGIN:.4f}" stroke-dasharray="0.02 0.01"/>'
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.4f} {height:.4f}" width="100%" '
        f'role="img"><title>{escape(board.name)}</title>'
        f'<g fill="#f3f1ea" stroke="#1d2421" stroke-width="0.003">{"".join(lines)}</g></svg>'
    )


def _path(x: Floats, y: Floats) -> str:
    points = " ".join(f"{a:.4f} {b:.4f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))
    return f'<path d="M{points}Z"/>'
