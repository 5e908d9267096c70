"""Plots of a stocking study as drawings: cost against how many are kept, and what each kept blank is for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.papers.drawing import Arc, Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import fitted
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.units import INCH

Curve = Sequence[tuple[int, float, float]]
"""How many are kept, cost, bound."""


@dataclass(frozen=True)
class KeptBlank:
    """A kept blank: its name, its length, and the lengths of the boards made from it (metres, rising)."""

    name: str
    length: float
    boards: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """Maps values from `low` to `high` onto the paper from `start` to `end`, millimetres."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Return where a value stands."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def round_ticks(low: float, high: float, about: int = 5) -> list[float]:
    """Return about so many round numbers from below `low` to above `high`.

    Examples
    --------
    >>> round_ticks(0.0, 9.3)
    [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]
    """
    rough = max(high - low, 1e-9) / about
    ten = 10.0 ** math.floor(math.log10(rough))
    step = next(ten * m for m in (1.0, 2.0, 5.0, 10.0) if ten * m >= rough - 1e-12)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [step * n for n in range(first, last + 1)]


def cost_plot(curve: Curve, keep: int, currency: str, box: Box) -> Drawing:
    """Return cost (solid) and bound (dashed) for each board against how many blanks are kept.

    Parameters
    ----------
    curve
        From one kept blank on.
    keep
        The choice, which is marked.
    currency
        Of the costs.
    box
        Where the axes stand; their words stand outside.
    """
    counts = [point[0] for point in curve]
    ticks = round_ticks(min(point[2] for point in curve), max(point[1] for point in curve))
    across = Scale(min(counts) - 0.5, max(counts) + 0.5, box.left, box.right)
    up = Scale(ticks[0], ticks[-1], box.bottom, box.top)
    cost = line([(across.at(n), up.at(c)) for n, c, _ in curve], Pen.OUTLINE)
    bound = line([(across.at(n), up.at(b)) for n, _, b in curve], Pen.HIDDEN)
    dots = Drawing(tuple(Arc((across.at(n), up.at(c)), 0.7, Pen.CUT) for n, c, _ in curve))
    return drawing_of(
        [
            _grid(up, ticks, box),
            _counts(across, counts, box),
            bound,
            cost,
            dots,
            _marked(curve, keep, (across, up), currency),
            _axis_words(box, "blanks kept", f"{currency} a board, blank and work"),
            frame(box, Pen.THIN),
        ]
    )


def _grid(up: Scale, ticks: Sequence[float], box: Box) -> Drawing:
    parts = []
    for tick in ticks:
        y = up.at(tick)
        words = Text((box.left - 2.0, y), f"{tick:g}", Lettering.LABEL, Face.FIGURES, Anchor.MIDDLE_RIGHT)
        parts += [line([(box.left, y), (box.right, y)], Pen.GRID), Drawing((words,))]
    return drawing_of(parts)


def _counts(across: Scale, counts: Sequence[int], box: Box) -> Drawing:
    step = 1 if len(counts) <= 12 else 5
    shown = [n for n in counts if n == counts[0] or n % step == 0]
    return Drawing(
        tuple(
            Text((across.at(n), box.bottom - 2.0), f"{n}", Lettering.LABEL, Face.FIGURES, Anchor.TOP)
            for n in shown
        )
    )


def _marked(curve: Curve, keep: int, scales: tuple[Scale, Scale], currency: str) -> Drawing:
    across, up = scales
    found = [point for point in curve if point[0] == keep]
    if not found:
        return Drawing()
    place = (across.at(keep), up.at(found[0][1]))
    words = Text(
        (place[0] + 2.0, place[1] + 4.0), f"{keep} kept: {found[0][1]:.2f} {currency}", Lettering.LABEL,
        Face.LABEL, Anchor.LEFT, patch=0.6,
    )  # fmt: skip
    return Drawing((Arc(place, 1.8, Pen.OUTLINE), words))


def _axis_words(box: Box, below: str, above: str) -> Drawing:
    return Drawing(
        (
            Text((box.right, box.bottom - 8.0), below, Lettering.LABEL, Face.LABEL, Anchor.TOP_RIGHT),
            Text((box.left, box.top + 3.0), above, Lettering.LABEL, Face.LABEL, Anchor.LEFT),
        )
    )


NAME_WIDTH = 62.0
"""Millimetres for the names of the blanks at the left."""

ROW = 6.5
"""Millimetres for each blank."""


def roles_plot(blanks: Sequence[KeptBlank], unserved: Sequence[float], metric: bool, width: float) -> Drawing:
    """Return the boards each kept blank is for as dots over their length, and the blank's own length.

    One row for each blank, its top left corner at the origin; the last row holds the boards made to order.
    """
    rows = [*((b.name, b.boards, b.length) for b in blanks), ("made to order", tuple(unserved), 0.0)]
    lengths = [x for _, boards, own in rows for x in (*boards, *((own,) if own else ()))]
    unit = 0.1 if metric else 6.0 * INCH
    low = unit * math.floor(min(lengths) / unit)
    high = max(unit * math.ceil(max(lengths) / unit), low + unit)
    across = Scale(low, high, NAME_WIDTH, width)
    parts = [_length_ticks(across, metric, ROW * len(rows))]
    for n, (name, boards, own) in enumerate(rows):
        y = -(n + 0.5) * ROW
        words = Text((0.0, y), name, Lettering.LABEL, Face.LABEL, Anchor.MIDDLE_LEFT)
        parts += [Drawing((fitted(words, NAME_WIDTH - 4.0),)), _dots(boards, across, y)]
        if own:
            x = across.at(own)
            parts.append(line([(x, y - 0.4 * ROW), (x, y + 0.4 * ROW)], Pen.OUTLINE))
    return drawing_of(parts)


def _dots(boards: Sequence[float], across: Scale, y: float) -> Drawing:
    """One ring for each length, larger for more boards (its area grows with their number)."""
    lengths, counts = np.unique(np.round(np.array(boards), 4), return_counts=True)
    most = float(0.42 * ROW)
    return Drawing(
        tuple(
            Arc((across.at(x), y), min(0.45 * math.sqrt(count), most), Pen.THIN)
            for x, count in zip(lengths.tolist(), counts.tolist(), strict=True)
        )
    )


def _length_ticks(across: Scale, metric: bool, height: float) -> Drawing:
    unit = 0.25 if metric else 12.0 * INCH
    first, last = math.ceil(across.low / unit - 1e-9), math.floor(across.high / unit + 1e-9)
    parts = []
    for n in range(first, last + 1):
        x = across.at(n * unit)
        words = f"{n * unit:g} m" if metric else f"{n}'"
        label = Text((x, 2.0), words, Lettering.LABEL, Face.FIGURES, Anchor.CENTRE)
        parts += [line([(x, 0.0), (x, -height)], Pen.GRID), Drawing((label,))]
    return drawing_of(parts)
