"""How the lengths of a fin box are said: one rounding on screen, on paper and in findings."""

from __future__ import annotations

from foamwright.finish.boxes import BoxFit
from foamwright.units import Rounding, System, format_length, settled

FRACTION = 32
"""Finest fraction of an inch that a box is marked and measured to; in millimetres it is tenths."""

_SLACK = 1e-8


def mark_figure(metres: float, system: System) -> str:
    """Return where a mark is pencilled, from the tail or the stringer: to the nearest 1/32 in or 0.1 mm."""
    return format_length(metres, system, FRACTION)


def foam_figure(fit: BoxFit, system: System) -> str:
    """Return the least foam above a box, never more than there is; none where it comes through."""
    return _settled(max(fit.worst.above, 0.0), system, Rounding.DOWN)


def need_figure(metres: float, system: System) -> str:
    """Return how much foam must remain or be added, never less than that."""
    return _settled(metres, system, Rounding.UP)


def _settled(metres: float, system: System, rounding: Rounding) -> str:
    return format_length(settled(metres, system, FRACTION, _SLACK), system, FRACTION, rounding)
