"""What the planning page is asked for, blank and slide, and what is told where it cannot be."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.errors import InputError, Problem
from foamwright.units import Rounding, System, format_length, parse_length
from foamwright.web.planning.laid import slide_text
from foamwright.web.rendering import Reader

Slides = tuple[float, float]
"""Least and greatest slide, metres."""

OVER = 0.001
"""Metres; a slide that is out by less is the last one written to a mark, and is taken."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the page is asked for.

    Attributes
    ----------
    blank
        Its name; empty: the best.
    slide
        Metres; ``None``: the best.
    written
        The slide as it was written; with no `slide`, it cannot be read.
    """

    blank: str = ""
    slide: float | None = None
    written: str = ""


def asked_of(blank: str, slide: str, reader: Reader) -> Asked:
    """Return what a form or an address asks for; a slide that cannot be read is kept as written.

    Parameters
    ----------
    blank
        Its name; may be empty.
    slide
        As a person wrote it, bare in their own unit; may be empty.
    reader
        How they read.
    """
    try:
        metres = parse_length(slide.replace(",", "."), reader.unit) if slide.strip() else None
    except InputError:
        metres = None
    return Asked(blank, metres, slide.strip())


def slide_problem(asked: Asked, slides: Slides, reader: Reader) -> Problem | None:
    """Return why the board cannot be slid to where it is asked for; ``None`` if it can."""
    if asked.slide is None:
        return unread_slide(asked.written, slides, reader) if asked.written else None
    if slides[0] - OVER <= asked.slide <= slides[1] + OVER:
        return None
    return beyond_slide(asked.written or slide_text(asked.slide, reader), slides, reader)


def unread_slide(typed: str, slides: Slides, reader: Reader) -> Problem:
    """Return that something typed is no length, and from where to where the board can be slid."""
    return Problem("", reader.words.say("plan.lay.slide-unread", typed=typed[:60]), _range(slides, reader))


def beyond_slide(typed: str, slides: Slides, reader: Reader) -> Problem:
    """Return that the board would stick out of the blank, and from where to where it can be slid."""
    return Problem("", reader.words.say("plan.lay.slide-beyond", typed=typed[:60]), _range(slides, reader))


def _range(slides: Slides, reader: Reader) -> str:
    """From where to where, rounded inwards, decimals as the visitor writes them: the field takes both."""
    least = format_length(slides[0], reader.lengths, rounding=Rounding.UP)
    most = format_length(slides[1], reader.lengths, rounding=Rounding.DOWN)
    if reader.lengths is System.MM:
        least, most = least.removesuffix(".0"), most.removesuffix(".0")
    least, most = reader.figure(least), reader.figure(most)
    return reader.words.say("plan.lay.slide-range", least=least, most=most, unit=reader.lengths.value)
