"""What a planned run has to say in words: where its sole bridges the face, and which plane would not."""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.blank.numbers import Face
from foamwright.cuts.planing import sole_steps
from foamwright.cuts.run import End, Run
from foamwright.findings import Finding, Severity, said
from foamwright.shape.kernels.planing import support_at
from foamwright.units import INCH, System, format_length

Array = NDArray[np.float64]

WHERE = {
    End.NOSE: ("where.run-nose", "{stage}, {face}, {stretch} from the nose tip"),
    End.TAIL: ("where.run-tail", "{stage}, {face}, {stretch} from the tail tip"),
}
FACES = {Face.DECK: ("face.deck", "deck"), Face.BOTTOM: ("face.bottom", "bottom")}
STAGES = {"rocker": ("stage.rocker", "rocker"), "foil": ("stage.foil", "foil")}

LAST = 1.0 * INCH
"""Length at the tip that no stroke starts in: what is left there is told beside the walk."""

SURE = 0.5
"""Share of the chip that a plane which is to do the job may lose by bridging."""

LEAST_SOLE = 2.0 * INCH
"""Shorter planes are not sold."""


def find_in_run(run: Run, system: System = System.INCH) -> tuple[Finding, ...]:
    """Return where the walk leaves more than the tolerance, and what takes it."""
    high = (run.left > run.tolerance + 1e-9) & (run.x < run.length - LAST)
    if not high.any():
        return ()
    gap = bridged(run.x, run.target, run.plane)
    points = np.flatnonzero(high)
    where = _where(run, points[0], points[-1], system)
    left = float(run.left[points].max())
    worst = float(gap[points].max())
    return (_finding(run, where, (left, worst), system),)


def bridged(x: Array, heights: Array, plane: Plane) -> Array:
    """Return the gap between the iron's line and a face that carries the sole, at every point, metres."""
    behind, ahead = sole_steps(plane, float(x[-1]) / (x.size - 1))
    line = heights.copy()
    for i in range(1, x.size - 1):
        line[i] = support_at(heights, i, max(i - behind, 0.0), min(i + ahead, x.size - 1.0))
    return np.asarray(line - heights)


def sole_that_reaches(plane: Plane, gap: float) -> float:
    """Return the length of a sole, with the same share ahead of the iron, that bridges half a chip: metres.

    The gap in a hollow goes with the square of the sole's length.
    """
    return plane.sole * sqrt(SURE * plane.chips[0] / gap)


def stretch_words(begin: float, end: float, system: System, fraction: int = 4) -> str:
    """Return a stretch of board as a tape laid along it says it: a fraction of an inch, or mm."""
    if system is System.MM:
        return said(*_TO, low=f"{1000 * begin:.0f}", high=f"{1000 * end:.0f} mm")
    low, high = (format_length(at, system, fraction) for at in (begin, end))
    return said(*_TO, low=low, high=f"{high} in")


_TO = ("stretch", "{low} to {high}")


def _where(run: Run, first: int, last: int, system: System) -> str:
    stretch = stretch_words(run.length - float(run.x[last]), run.length - float(run.x[first]), system)
    stage = said(*STAGES[run.stage]) if run.stage in STAGES else run.stage
    return said(*WHERE[run.end], stage=stage, face=said(*FACES[run.face]), stretch=stretch)


def _finding(run: Run, where: str, worst: tuple[float, float], system: System) -> Finding:
    left, gap = worst
    words = {"plane": run.plane.name, "left": _amount(left, system)}
    if gap < run.plane.chips[0]:
        sentence = said(
            "run-hollow",
            "The {plane} takes less than its chip where it bridges: {left} stays after the walk.",
            **words,
        )
        remedy = said("run-hollow.remedy", "Strokes from mark to mark take it once it was read.")
        return Finding("run-hollow", Severity.NOTE, where, left, run.tolerance, "m", sentence, remedy)
    sentence = said(
        "run-unreachable", "The {plane} bridges this hollow and cuts nothing in it: {left} stays.", **words
    )
    sole = sole_that_reaches(run.plane, gap)
    remedy = (
        said("run-unreachable.block", "No plane gets there: take it with a curved sole or a flexible block.")
        if sole < LEAST_SOLE
        else said(
            "run-unreachable.remedy",
            "A plane with a sole of {sole} or shorter gets there: put one into the bay sheet.",
            sole=_sole(sole, system),
        )
    )
    return Finding("run-unreachable", Severity.WARNING, where, left, run.tolerance, "m", sentence, remedy)


def _sole(metres: float, system: System) -> str:
    """Return the length of a sole, cut down to half inches or centimetres."""
    if system is System.MM:
        return f"{10 * int(100 * metres)} mm"
    return f"{format_length(int(2 * metres / INCH) * INCH / 2, system, 2)} in"


def _amount(metres: float, system: System) -> str:
    return f"{metres / INCH:.3f} in" if system is System.INCH else f"{1000 * metres:.1f} mm"
