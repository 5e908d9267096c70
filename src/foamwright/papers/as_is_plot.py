"""The as-is surface drawn: what is left along the board, as planned and as known, with its doubt."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.bench.as_is import Stretch
from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.svg import sheet_around
from foamwright.shape.curves import Floats
from foamwright.units import System, format_with_unit

WIDTH = 200.0
HEIGHT = 55.0
GAP = 16.0
BAND = 1.6448536269514722
"""Standard errors on either side that hold 90 %."""

Panel = tuple[Floats, Floats, Floats, Floats]
"""Stations, planned before, expected left and its 90 % doubt; metres."""


def as_is_sheet(found: Sequence[Stretch], length: float, system: System) -> Sheet:
    """Return a sheet with one panel for each part of the board of which anything was told.

    Parameters
    ----------
    found
        The board as it is.
    length
        Of the board, metres.
    system
        What heights are said in.
    """
    begun = [one for one in found if one.last]
    panels = [
        _panel(one, length, system).moved(0.0, -(HEIGHT + GAP) * number) for number, one in enumerate(begun)
    ]
    words = "heavy: as it is; thin: its 90 % band; dashed: before; chain: target; tail at the left"
    foot = Drawing(
        (
            Text(
                (0.0, 8.0 + HEIGHT),
                words if begun else "No readings yet: nothing is known beyond the plan.",
                Lettering.NOTE,
            ),
        )
    )
    return sheet_around(drawing_of([foot, *panels]), "as it is")


def _values(stretch: Stretch, length: float) -> Panel:
    belief = stretch.belief
    run = stretch.run
    x = (
        length - belief.from_tip
        if run is None
        else np.array([run.station(float(d)) for d in belief.from_tip])
    )
    if run is None:
        before = belief.left * np.nan
    else:
        before = np.interp(run.run.length - belief.from_tip, run.run.x, run.run.before - run.run.target)
    return np.asarray(x), before, belief.left, BAND * belief.doubt


def _panel(stretch: Stretch, length: float, system: System) -> Drawing:
    x, before, left, doubt = _values(stretch, length)
    low = min(0.0, float((left - doubt).min()))
    high = max(float((left + doubt).max()), float(np.nanmax(before, initial=0.0)), 1e-4)
    scale = HEIGHT / (high - low)

    def curve(values: Floats, pen: Pen) -> Drawing:
        return line(np.column_stack([x / length * WIDTH, (values - low) * scale]), pen)

    name = f"{stretch.stage.value}, {stretch.part.value}" + (f", {stretch.end.value}" if stretch.end else "")
    return drawing_of(
        [
            frame(Box(0.0, 0.0, WIDTH, HEIGHT), Pen.THIN),
            Drawing((Text((0.0, HEIGHT + 1.5), name, Lettering.LABEL),)),
            line([(0.0, -low * scale), (WIDTH, -low * scale)], Pen.LEVEL),
            *([] if np.isnan(before).any() else [curve(before, Pen.HIDDEN)]),
            curve(left - doubt, Pen.THIN),
            curve(left + doubt, Pen.THIN),
            curve(left, Pen.HEAVY),
            _height(high, HEIGHT, system),
            _height(low, 0.0, system),
        ]
    )


def _height(value: float, up: float, system: System) -> Drawing:
    words = format_with_unit(abs(value), system)
    sign = "-" if value < -1e-9 else ""
    return Drawing(
        (Text((WIDTH + 2.0, up - 1.0), f"{sign}{words}", Lettering.NOTE, Face.FIGURES, Anchor.LEFT),)
    )
