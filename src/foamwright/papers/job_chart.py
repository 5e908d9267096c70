"""The chart of work against slide for one blank."""

from __future__ import annotations

import math

import numpy as np

from foamwright.lay.choice import Choice
from foamwright.papers.drawing import Arc, Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_words import Figures
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.shape.curves import Floats
from foamwright.units import INCH, System


def slide_chart(choice: Choice, figures: Figures, box: Box) -> Drawing:
    """Return minutes of work over the slide of the board in the blank, the chosen slide marked.

    Parameters
    ----------
    choice
        The blank.
    figures
        How lengths are said.
    box
        Room for plot, axes and their names, mm.
    """
    curve = choice.curve
    plot = Box(box.left + 13.0, box.bottom + 11.0, box.right - 3.0, box.top - 5.0)
    fits = np.isfinite(curve.work_min)
    slides, minutes = curve.slide[fits], curve.work_min[fits]
    across = _axis(float(curve.slide[0]), float(curve.slide[-1]), _slide_step(figures, curve.slide))
    least = min(float(minutes.min()), choice.work_min)
    up = _axis(least, float(minutes.max()), _minute_step(least, float(minutes.max())))
    to_x = _Scale(across, plot.left, plot.right)
    to_y = _Scale(up, plot.bottom, plot.top)
    points = np.column_stack([to_x(slides), to_y(minutes)])
    parts = [
        frame(plot, Pen.THIN),
        *(_grid_x(float(to_x(v)), plot, _slide_name(v, figures)) for v in across),
        *(_grid_y(float(to_y(v)), plot, f"{v:.0f}") for v in up),
        _curve(points),
        _chosen((float(to_x(choice.placed.slide)), float(to_y(choice.work_min))), plot, choice),
        _names(plot, box, figures),
    ]
    return drawing_of(parts)


def _curve(points: Floats) -> Drawing:
    return line(points, Pen.OUTLINE) if len(points) > 1 else Drawing()


def _slide_step(figures: Figures, slides: Floats) -> float:
    span = max(float(np.ptp(slides)), 1e-3)
    steps = (
        [s * INCH for s in (0.25, 0.5, 1, 2, 4, 6, 12, 24)]
        if figures.system is System.INCH
        else [0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5]
    )
    return next((s for s in steps if span / s <= 7), steps[-1])


def _minute_step(low: float, high: float) -> float:
    span = max(high - low, 0.5)
    return next((s for s in (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0) if span / s <= 6), 200.0)


def _axis(low: float, high: float, step: float) -> list[float]:
    """Multiples of `step` that hold the range between them."""
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [n * step for n in range(first, max(last, first + 1) + 1)]


class _Scale:
    """Maps an axis onto the page."""

    def __init__(self, marks: list[float], first: float, last: float) -> None:
        self.low, self.first = marks[0], first
        self.factor = (last - first) / (marks[-1] - marks[0])

    def __call__(self, value: float | Floats) -> Floats:
        return np.asarray(self.first + (np.asarray(value) - self.low) * self.factor)


def _grid_x(x: float, plot: Box, words: str) -> Drawing:
    name = Text((x, plot.bottom - 1.6), words, Lettering.LABEL, Face.FIGURES, Anchor.TOP)
    return line([(x, plot.bottom), (x, plot.top)], Pen.GRID) + Drawing((name,))


def _grid_y(y: float, plot: Box, words: str) -> Drawing:
    name = Text((plot.left - 1.6, y), words, Lettering.LABEL, Face.FIGURES, Anchor.MIDDLE_RIGHT)
    return line([(plot.left, y), (plot.right, y)], Pen.GRID) + Drawing((name,))


def _slide_name(metres: float, figures: Figures) -> str:
    return figures.start(metres) if metres > 1e-9 else "0"


def _chosen(at: tuple[float, float], plot: Box, choice: Choice) -> Drawing:
    """A ring at the chosen slide, and its minutes."""
    right = at[0] < plot.centre[0]
    place = (at[0] + (3.5 if right else -3.5), min(at[1] + 6.5, plot.top - 2.5))
    words = f"{choice.work_min:.0f} min"
    name = Text(
        place,
        words,
        Lettering.FIGURE,
        Face.FIGURES_STRONG,
        Anchor.MIDDLE_LEFT if right else Anchor.MIDDLE_RIGHT,
        patch=0.6,
    )
    return Drawing((Arc(at, 1.6, Pen.OUTLINE), name))


def _names(plot: Box, box: Box, figures: Figures) -> Drawing:
    below = f"slide: tail tip in from the blank's tail, {figures.unit}"
    return Drawing(
        (
            Text((plot.centre[0], box.bottom), below, Lettering.LABEL, Face.LABEL, Anchor.CENTRE),
            Text((box.left, box.top), "minutes of work", Lettering.LABEL, Face.LABEL, Anchor.TOP_LEFT),
        )
    )
